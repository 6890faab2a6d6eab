//! The report as a file: what a reader, a screen reader and a browser need of it.

use std::collections::BTreeSet;

use cellarwright_model::calendar::Role;
use cellarwright_model::case::Case;
use cellarwright_model::testkit::{CAN, CANS, F1, F2, beer, bright, crew, fermenter};
use cellarwright_model::units::Minutes;

use super::of_plan;
use super::patterns;
use crate::render::testcase::{case, plan, view};
use crate::render::view::View;

fn page(case: &Case) -> String {
    of_plan(&view(case, &plan(case)))
}

/// What stands between quotes after each `name=`.
fn values<'a>(page: &'a str, name: &str) -> Vec<&'a str> {
    let mark = format!(" {name}=\"");
    let marks = page.split(&mark).skip(1);
    marks.filter_map(|rest| rest.split('"').next()).collect()
}

/// Everything from each `<tag` to its `</tag>`.
fn elements<'a>(page: &'a str, tag: &str) -> Vec<&'a str> {
    let (open, close) = (format!("<{tag}"), format!("</{tag}>"));
    page.split(&open)
        .skip(1)
        .filter(|part| part.starts_with(['>', ' ']))
        .filter_map(|part| part.split(&close).next())
        .collect()
}

/// The tiny brewery with hostile names everywhere, many vessels and beers, three weeks.
fn hostile() -> Case {
    let mut case = case();
    case.calendar.planned_days = 21;
    let evil = "</title><script>alert('x')</script>\"'&<img src=x onerror=y>";
    case.name = format!("plan {evil}");
    case.cellar = format!("cellar {evil}");
    case.beers[0].name = "<script>".to_owned();
    case.beers.extend((0..30).map(|number| beer(&format!("{evil} {number}"), CAN)));
    for vessel in &mut case.vessels {
        vessel.name = format!("{} {evil}", vessel.name);
    }
    case.vessels.extend((0..14).map(|number| fermenter(&format!("{evil}{number}"))));
    case.vessels.push(bright(&"w".repeat(200)));
    case.formats[CAN.0].name = format!("format {evil}");
    case.lines[CANS.0].name = format!("line {evil}");
    for crew in &mut case.crews {
        crew.name = format!("{} {evil}", crew.name);
    }
    for order in &mut case.orders {
        order.name = format!("order {evil}");
    }
    case
}

#[test]
fn every_name_of_the_input_is_escaped() {
    let page = page(&hostile());
    for wrong in ["<script", "<img", "onerror=y>", "'x')<"] {
        assert!(!page.contains(wrong), "{wrong}");
    }
    assert_eq!(page.matches("<title").count(), page.matches("</title>").count());
    for name in ["plan", "cellar", "format", "line", "order"] {
        assert!(page.contains(&format!("{name} &lt;/title&gt;&lt;script&gt;")), "{name}");
    }
    // An attribute that a quote could have left early would hold no whole name.
    assert!(values(&page, "aria-label").iter().any(|label| label.contains("&quot;")));
}

#[test]
fn nothing_is_fetched_and_nothing_runs() {
    let page = page(&hostile());
    assert!(page.contains("default-src 'none'"));
    for link in values(&page, "href") {
        assert!(link.starts_with('#') || link == "data:,", "{link}");
    }
    assert_eq!(values(&page, "src"), Vec::<&str>::new());
    for wrong in ["@import", "url(http", "javascript:", "<link rel=\"stylesheet"] {
        assert!(!page.contains(wrong), "{wrong}");
    }
    let namespaces: BTreeSet<&str> = values(&page, "xmlns").into_iter().collect();
    assert_eq!(namespaces, BTreeSet::from(["http://www.w3.org/2000/svg"]));
    assert_eq!(page.matches("http").count(), values(&page, "xmlns").len() + 1, "one more: http-equiv");
}

#[test]
fn headings_stand_in_order_and_every_part_is_in_the_contents() {
    for case in [case(), hostile()] {
        let page = page(&case);
        let levels: Vec<usize> =
            page.split("<h").skip(1).filter_map(|rest| rest.split(['>', ' ']).next()?.parse().ok()).collect();
        assert_eq!(levels.iter().filter(|&&level| level == 1).count(), 1);
        assert_eq!(levels[0], 1);
        for pair in levels.windows(2) {
            assert!(pair[1] <= pair[0] + 1, "{levels:?}");
        }
        let parts = page.matches("<section id=").count();
        assert!(parts >= 8, "{parts}");
        assert_eq!(values(&page, "href").iter().filter(|link| link.starts_with('#')).count(), parts);
    }
}

#[test]
fn marks_are_unique_and_what_is_referred_to_is_there() {
    let page = page(&hostile());
    let all = values(&page, "id");
    let unique: BTreeSet<&str> = all.iter().copied().collect();
    assert_eq!(unique.len(), all.len());
    for name in ["aria-labelledby", "aria-describedby"] {
        assert!(!values(&page, name).is_empty(), "{name}");
        for id in values(&page, name) {
            assert!(unique.contains(id), "{id}");
        }
    }
    for link in values(&page, "href").iter().filter_map(|link| link.strip_prefix('#')) {
        assert!(unique.contains(link), "{link}");
    }
    for fill in values(&page, "fill") {
        let id = fill.trim_start_matches("url(#").trim_end_matches(')');
        assert!(unique.contains(id), "{fill}");
    }
}

#[test]
fn tables_have_captions_and_headed_columns_and_rows() {
    let page = page(&hostile());
    let tables = elements(&page, "table");
    assert!(tables.len() >= 6, "{}", tables.len());
    for table in tables {
        let caption = elements(table, "caption");
        assert!(caption.len() == 1 && caption[0].len() > 1, "{table}");
        for head in elements(table, "th") {
            assert!(head.contains("scope=\""), "{head}");
        }
        assert!(table.contains("scope=\"col\"") && table.contains("scope=\"row"), "{table}");
    }
}

#[test]
fn drawings_say_what_they_show_and_decoration_is_silent() {
    let page = page(&hostile());
    let drawings = elements(&page, "svg");
    let said = drawings.iter().filter(|drawing| drawing.contains("role=\"img\"")).count();
    // Three weeks of vessels, several drawings each, and the stock of a beer.
    assert!(said >= 7, "{said}");
    for drawing in drawings {
        if drawing.contains("role=\"img\"") {
            assert!(drawing.contains("<title id=") && drawing.contains("<desc id="), "{drawing}");
        } else {
            assert!(drawing.contains("aria-hidden=\"true\""), "{drawing}");
        }
    }
}

#[test]
fn the_same_plan_gives_the_same_page_however_long_the_search_took() {
    use crate::render::view::Verdict;
    let case = case();
    let judged = |seconds: f64| {
        let mut view = view(&case, &plan(&case));
        let (objective, bound, gap) = (view.objective, Some(view.objective * 1.01), Some(0.01));
        let (status, gap_asked, interrupted, complete) = ("within_gap", 0.02, false, true);
        let verdict = Verdict { status, objective, bound, gap, seconds, gap_asked, interrupted, complete };
        view.verdict = Some(verdict);
        of_plan(&view)
    };
    assert_eq!(judged(1.5), judged(2.5));
    assert!(judged(1.5).contains("within the gap asked for."));
}

#[test]
fn breaches_stand_in_the_report() {
    let case = case();
    let broken = cellarwright_model::testkit::PlanBuilder::new().brew(0, F1, 5).plan();
    let page = of_plan(&view(&case, &broken));
    assert!(page.contains("id=\"breaches\"") && page.contains("turns: 5 in the plan, allowed: 2"));
    assert!(!page.contains("id=\"sheets\"") || page.contains("class=\"sheet\""));
}

#[test]
fn a_vessel_is_cleaned_before_it_is_filled_and_ready_only_while_the_beer_is_there() {
    let case = case();
    let view = view(&case, &plan(&case));
    let events = |vessel: usize, day| super::vessel_table::events(&view, &view.vessels[vessel], day);
    assert_eq!(events(F2.0, 0), ["cleaned", "brewed, 1 turn"]);
    assert_eq!(events(F1.0, 0), ["ready", "to B1", "cleaned"]);
    assert_eq!(events(F2.0, 4), ["packaged, cans"]);
    assert_eq!(events(F1.0, 3), Vec::<String>::new());
}

#[test]
fn beers_are_told_apart_without_colour() {
    let page = patterns::definitions(&["beer"; 27]).into_string();
    let drawn: BTreeSet<(&str, &str)> = page
        .split("<pattern id=\"beer-")
        .skip(1)
        .map(|pattern| {
            let scale = values(pattern, "patternTransform")[0];
            (scale, values(pattern, "d")[0])
        })
        .collect();
    assert_eq!(drawn.len(), 27);
}

#[test]
fn stock_is_what_was_there_and_packaged_less_what_is_delivered() {
    let case = case();
    let view = view(&case, &plan(&case));
    assert_eq!(view.stock.len(), 1);
    let row = &view.stock[0];
    assert_eq!(row.days.len(), 8, "seven days, and the day after for the last deliveries");
    let sum = |of: fn(&crate::render::view::StockDays) -> f64| row.days.iter().map(of).sum::<f64>();
    assert!((sum(|days| days.packaged_hl) - view.packaged_hl).abs() < 1e-9);
    let left = row.opening_hl + sum(|days| days.packaged_hl) - sum(|days| days.delivered_hl);
    assert!((row.days.last().unwrap().left_hl - left).abs() < 1e-9);
    let due: f64 = view.orders.iter().map(|order| order.quantity_hl).sum();
    assert!((sum(|days| days.due_hl) - due).abs() < 1e-9);
    let missed: f64 = view.orders.iter().filter(|row| row.short).map(|order| order.missed_hl).sum();
    assert!((sum(|days| days.missed_hl) - missed).abs() < 1e-9 && missed > 0.0);
    assert!(row.days.iter().all(|days| days.left_hl >= 0.0), "{row:?}");
}

#[test]
fn work_names_the_crews_that_may_do_it() {
    let mut case = case();
    case.crews.push(crew("helper", 1, &[Role::Cellar, Role::Package]));
    let crews = |view: &View, work: &str| {
        view.work.iter().find(|row| row.work == work).map(|row| row.crews.clone()).unwrap_or_default()
    };
    let with_helper = view(&case, &plan(&case));
    let cleaned = crews(&with_helper, "clean");
    assert!(cleaned.contains(&"helper".to_owned()) && cleaned.len() > 1, "{cleaned:?}");
    assert!(crews(&with_helper, "package").contains(&"helper".to_owned()));
    assert!(!crews(&with_helper, "brew").contains(&"helper".to_owned()));
    let page = of_plan(&with_helper);
    assert!(page.contains("<h3>helper</h3>") && page.contains(&cleaned.join(" / ")), "{cleaned:?}");
    // On a day off nobody of the crew is asked.
    let date = case.calendar.date(0);
    let days = cellarwright_model::calendar::DateRange { first: date, last: date };
    case.crews.last_mut().unwrap().off.push(days);
    assert!(!crews(&view(&case, &plan(&case)), "clean").contains(&"helper".to_owned()));
}

#[test]
fn pieces_on_a_line_end_where_the_next_begins() {
    let mut case = case();
    case.clock_times = true;
    let mut timed = plan(&case);
    for (task, minutes) in timed.tasks.iter_mut().zip([90, 0, 60, 240, 0, 0, 30]) {
        task.begins = Some(Minutes(minutes));
    }
    let view = view(&case, &timed);
    let package = view.work.iter().find(|row| row.work == "package").unwrap();
    assert_eq!((package.starts, package.lasts), (Some(6 * 60), Some(232)));
    // An hour of a person for six hours of carbonating that run on.
    let carbonate = view.work.iter().find(|row| row.work == "carbonate").unwrap();
    assert!(carbonate.lasts.unwrap() < (carbonate.clock_hours.unwrap() * 60.0) as i64, "{carbonate:?}");
}

/// Red, green and blue of a colour as the style sheet writes it.
fn channels(colour: &str) -> [f64; 3] {
    let digits = colour.trim_start_matches('#');
    [0, 2, 4].map(|at| f64::from(u8::from_str_radix(&digits[at..at + 2], 16).unwrap()) / 255.0)
}

/// Contrast of two colours: W3C, Web Content Accessibility Guidelines 2.2, "relative luminance" and "contrast ratio".
fn contrast(one: &str, other: &str) -> f64 {
    let luminance = |colour: &str| {
        let linear =
            channels(colour).map(|c| if c <= 0.04045 { c / 12.92 } else { ((c + 0.055) / 1.055).powf(2.4) });
        0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]
    };
    let (one, other) = (luminance(one) + 0.05, luminance(other) + 0.05);
    one.max(other) / one.min(other)
}

#[test]
fn words_and_patterns_stand_out_from_their_ground_in_light_dark_and_print() {
    let style = include_str!("style.css");
    assert!((contrast("#ffffff", "#000000") - 21.0).abs() < 1e-9, "the largest there is");
    let (light, rest) = style.split_once("@media screen and (prefers-color-scheme: dark)").unwrap();
    let (dark, print) = rest.split_once("@media print").unwrap();
    let colour = |from: &str, name: &str| {
        let after = from.split(&format!("{name}: #")).nth(1)?;
        Some(format!("#{}", &after[..6]))
    };
    for (from, where_) in [(light, "light"), (dark, "dark"), (print, "print")] {
        let paper = colour(from, "--paper").unwrap();
        let shade = colour(from, "--shade").unwrap();
        for name in ["--ink", "--soft"] {
            let ink = colour(from, name).unwrap();
            assert!(contrast(&ink, &paper) >= 4.5 && contrast(&ink, &shade) >= 4.5, "{where_} {name}");
        }
        if where_ != "print" {
            assert!(contrast(&colour(from, "--link").unwrap(), &paper) >= 4.5, "{where_}");
            assert!(contrast(&colour(from, "--away").unwrap(), &paper) >= 3.0, "{where_}");
            let tints: Vec<&str> = from.lines().filter(|line| line.contains("--strokes:")).collect();
            assert_eq!(tints.len(), 7, "six tints, and what is short");
            for tint in tints {
                let of = |name| colour(tint, name).unwrap();
                assert!(contrast(&of("--strokes"), &of("--ground")) >= 3.0, "{where_} {tint}");
            }
        }
    }
}
