//! What is shown, from a plan written by hand.

mod reasons;
mod slack;

use cellarwright_model::calendar::Shift;
use cellarwright_model::case::{Aim, Case};
use cellarwright_model::ids::FormatId;
use cellarwright_model::testkit::{B1, F1, F2, PALE, PlanBuilder, beer, bright, fermenter, hours};
use cellarwright_model::units::Minutes;

use super::testcase::{case, plan, view};
use super::view::{Caution, Verdict, View};
use super::{WIDTH, json, text, words};

fn judged(mut view: View, status: &'static str) -> View {
    let (objective, interrupted, complete) = (view.objective, false, status != "stopped");
    let bound = Some(objective * 1.01);
    let (gap, gap_asked, seconds) = (Some(0.01), 0.02, 1.5);
    view.verdict = Some(Verdict { status, objective, bound, gap, seconds, gap_asked, interrupted, complete });
    view
}

fn assert_fits(text: &str) {
    for line in text.lines() {
        assert!(line.chars().count() <= WIDTH, "{} characters: {line}", line.chars().count());
        assert_eq!(line, line.trim_end());
    }
}

#[test]
fn the_plan_by_hand_keeps_every_rule() {
    let case = case();
    let view = view(&case, &plan(&case));
    assert_eq!(view.violations, Vec::new());
    assert!(text::check(&view).contains("keeps every rule"));
}

#[test]
fn sections_stand_in_their_order_and_fit() {
    let case = case();
    let screen = text::plan(&judged(view(&case, &plan(&case)), "within_gap"));
    assert_fits(&screen);
    let places: Vec<Option<usize>> = [
        "Tiny week",
        "within the gap asked for",
        "Packaged Mon 7 Dec to Sun 13 Dec:",
        "Work by day",
        "Vessels by day",
        "Orders",
        "Slack, tightest first",
        "What the objective is made of",
        "Cautions",
    ]
    .iter()
    .map(|part| screen.find(part))
    .collect();
    assert!(places.iter().all(Option::is_some) && places.is_sorted(), "{places:?}\n{screen}");
    assert!(!screen.contains('\u{1b}'), "no colour");
}

/// The tiny brewery with long names, many vessels, two shifts and three weeks.
fn crowded() -> Case {
    let mut case = case();
    case.calendar.planned_days = 21;
    case.calendar.look_ahead_days = 14;
    case.calendar.shifts.push(Shift { name: "late".into(), starts: hours(14), hours: hours(8) });
    case.vessels.extend((0..12).map(|number| fermenter(&format!("Outdoor fermenter no. {number}"))));
    case.vessels.push(bright("A bright tank whose name nobody can say in one breath"));
    case.beers[0].name = "An exceedingly long-winded autumnal farmhouse beer of two grains".into();
    case.beers.extend((0..9).map(|_| beer("Another exceedingly long-winded beer", FormatId(0))));
    case.formats[0].name = "tall can in a case of twenty-four".into();
    case.lines[0].name = "the line at the far end of the hall".into();
    case.crews[1].name = "the packers of the morning".into();
    for order in &mut case.orders {
        order.name = "A wholesaler with branches in every town of the county, number 12".into();
    }
    case
}

#[test]
fn long_names_shifts_and_weeks_fit() {
    let case = crowded();
    let view = judged(view(&case, &plan(&case)), "stopped");
    let screen = text::plan(&view);
    assert_fits(&screen);
    assert_fits(&text::check(&view));
    let codes: std::collections::BTreeSet<&str> = view.codes.iter().map(|code| code.code.as_str()).collect();
    assert_eq!(codes.len(), case.beers.len(), "{codes:?}");
    let headers = screen
        .lines()
        .filter(|line| line.contains("Mon 7 ") || line.contains("Mon 14") || line.contains("Mon 21"));
    assert!(headers.count() >= 2, "{screen}");
}

#[test]
fn cells_tell_what_happens_in_a_vessel() {
    let case = case();
    let view = view(&case, &plan(&case));
    let cells: Vec<Vec<&str>> =
        view.vessels.iter().map(|row| row.cells.iter().map(String::as_str).collect()).collect();
    assert_eq!(view.codes[0].code, "Pa");
    assert_eq!(cells[F1.0][..2], ["Pa=>~", "."]);
    assert_eq!(cells[F2.0], ["~+Pa", "Pa", "Pa=", "Pa=*", "Pa=#", "-", "-"]);
    assert_eq!(cells[B1.0][..3], ["~+Pa", "Pa#", "."]);
}

#[test]
fn work_has_its_clock_and_people() {
    let case = case();
    let view = view(&case, &plan(&case));
    let brew = view.work.iter().find(|row| row.work == "brew").unwrap();
    assert_eq!((brew.clock_hours, brew.person_hours, brew.volume_hl), (Some(4.0), Some(4.0), Some(20.0)));
    // Two hours of cleaning and two of transfer; an hour of each and half an hour of carbonating for the crew.
    let transfer = view.work.iter().find(|row| row.work == "transfer").unwrap();
    assert_eq!((transfer.clock_hours, transfer.person_hours), (Some(4.0), Some(2.5)));
    assert_eq!((transfer.volume_hl, transfer.yields_hl), (Some(19.0), Some(18.81)));
    // 18.81 hL at 8 hL an hour with start-up and clean-down, two people; 0.5 hL and then 2 % are lost.
    let package = view.work.iter().find(|row| row.work == "package").unwrap();
    assert_eq!(package.clock_hours, Some(232.0 / 60.0));
    assert_eq!(package.person_hours, Some(2.0 * 232.0 / 60.0));
    assert_eq!((package.yields_hl, package.packages), (Some(17.9438), Some(169)));
    let packaged: f64 = view.packaged.iter().map(|row| row.packaged_hl).sum();
    assert!((packaged - view.packaged_hl).abs() < 1e-9);
}

#[test]
fn clock_times_stand_beside_the_work_in_order_of_time() {
    let mut case = case();
    case.clock_times = true;
    let untimed = plan(&case);
    let lacks = |view: &View| view.cautions.iter().any(|caution| caution.text.contains("no clock times"));
    assert!(lacks(&view(&case, &untimed)));
    let mut timed = untimed;
    for (task, minutes) in timed.tasks.iter_mut().zip([90, 0, 60, 240, 0, 0, 0]) {
        task.begins = Some(Minutes(minutes));
    }
    let view = view(&case, &timed);
    assert!(!lacks(&view));
    let monday: Vec<String> =
        view.work.iter().filter(|row| row.day == 0 && row.role == "cellar").map(words::work::what).collect();
    assert_eq!(monday.len(), 3);
    assert!(monday[0].starts_with("07:00 clean B1, transfer Pale"), "{monday:?}");
    assert_eq!(monday[1..], ["07:30 clean", "10:00 clean"]);
    assert!(super::json::document(&view).unwrap().contains("\"begins\": \"07:30\""));
}

#[test]
fn a_fill_says_what_comes_first_in_its_shift() {
    let case = case();
    let cleaned = view(&case, &plan(&case)).work.remove(0);
    assert_eq!(super::words::work::what(&cleaned), "1 turn Pale, after cleaning");
    let cleaned_later = PlanBuilder::new().brew(0, F2, 1).clean(1, F2).clean(0, F1).plan();
    let view_of = |plan| view(&case, &plan);
    assert_eq!(view_of(cleaned_later).work[0].after, None);
    let sanitised = view_of(PlanBuilder::new().sanitise(0, F2).brew(0, F2, 1).plan());
    assert_eq!((sanitised.work[0].work, sanitised.work[0].after), ("brew", Some("sanitise")));
    assert!(super::words::work::what(&sanitised.work[0]).ends_with(", after sanitising"));
}

#[test]
fn the_parts_add_up_to_the_objective() {
    let mut output = case();
    output.aim = Aim::Output(None);
    let mut ahead = case();
    ahead.calendar.look_ahead_days = 7;
    for case in [case(), output, ahead] {
        let view = view(&case, &plan(&case));
        let sum: f64 = view.breakdown.iter().map(|row| row.amount).sum();
        assert!((sum - view.objective).abs() < 1e-6, "{sum} and {}", view.objective);
        assert!(view.objective != 0.0);
        for row in &view.breakdown {
            if let (Some(planned), Some(look_ahead)) = (row.planned, row.look_ahead) {
                assert!((planned + look_ahead - row.amount).abs() < 1e-6, "{row:?}");
            }
        }
    }
}

#[test]
fn slack_puts_what_binds_first_and_adds_vessels_up() {
    let case = case();
    let view = view(&case, &plan(&case));
    let binding: Vec<bool> = view.slack.iter().map(|row| row.binding).collect();
    assert!(binding.is_sorted_by(|one, other| one >= other), "{binding:?}");
    let fermenters = view.slack.iter().find(|row| row.resource.contains("F1, F2")).unwrap();
    assert_eq!((fermenters.unit, fermenters.available), ("vessel-days", 14.0));
    // F1 on Monday, F2 from Monday to Friday.
    assert_eq!((fermenters.used, fermenters.left, fermenters.left_then), (6.0, 8.0, 0.0));
    for row in &view.slack {
        assert!((row.used + row.left - row.available).abs() < 1e-9, "{row:?}");
    }
}

#[test]
fn breaches_are_shown_with_rule_place_and_both_values() {
    let case = case();
    let plan = PlanBuilder::new().brew_beer(0, PALE, F1, 5).plan();
    let view = view(&case, &plan);
    let screen = text::check(&view);
    assert_fits(&screen);
    assert!(!view.violations.is_empty());
    for breach in &view.violations {
        assert!(screen.contains(breach.rule) && screen.contains(&breach.about), "{breach:?}\n{screen}");
    }
    assert!(screen.contains("turns: 5 in the plan, allowed: 2"), "{screen}");
}

#[test]
fn json_is_one_document_with_what_scripts_ask_for() {
    let case = case();
    let view = judged(view(&case, &plan(&case)), "optimal");
    let text = json::document(&view).unwrap();
    assert_eq!(text, json::document(&view).unwrap());
    let document: serde_json::Value = serde_json::from_str(&text).unwrap();
    assert_eq!(document["status"], "optimal");
    for key in ["objective", "bound", "gap", "seconds", "packaged_hl"] {
        assert!(document[key].is_number(), "{key}");
    }
    for key in ["work", "orders", "slack", "breakdown", "vessels", "cautions", "outlook"] {
        assert!(document[key].is_array(), "{key}");
    }
    assert_eq!(document["units"]["objective"], "money");
    assert_eq!(document["orders"][0]["reason"]["why"], "no_delivery_before");
    assert_eq!(document["vessels"][0]["days"][0]["signs"], "Pa=>~");
    assert_eq!(document["work"].as_array().map(Vec::len), Some(view.work.len()));
}

#[test]
fn every_status_says_how_sure_it_is() {
    let case = case();
    for (status, words) in [
        ("optimal", "The best there is"),
        ("within_gap", "within the gap asked for"),
        ("stopped", "Time was up"),
    ] {
        let screen = text::plan(&judged(view(&case, &plan(&case)), status));
        assert!(screen.contains(words) && screen.contains("1.00 %"), "{screen}");
    }
    let mut stopped = judged(view(&case, &plan(&case)), "stopped");
    if let Some(verdict) = &mut stopped.verdict {
        verdict.interrupted = true;
    }
    assert!(text::plan(&stopped).contains("Stopped by hand"));
    if let Some(verdict) = &mut stopped.verdict {
        (verdict.bound, verdict.gap) = (None, None);
    }
    assert!(text::plan(&stopped).contains("Nothing is proven yet"));
}

#[test]
fn cautions_of_one_kind_are_counted_and_output_has_no_orders() {
    let mut case = case();
    case.aim = Aim::Output(None);
    let mut view = view(&case, &plan(&case));
    let caution = |text: &str| Caution { code: Some("V403"), text: text.into() };
    view.cautions.splice(0..0, [caution("the first"), caution("the second"), caution("the third")]);
    let screen = text::plan(&view);
    assert_fits(&screen);
    assert!(screen.contains("V403: the first; and 2 more of this kind") && !screen.contains("the second"));
    assert!(screen.contains("5 orders of these days do not count") && !screen.contains("SHORT"), "{screen}");
}

#[test]
fn volumes_are_told_by_batch_and_in_packages() {
    let mut case = case();
    case.formats[0].overfill = cellarwright_model::units::Share(5_000);
    let view = view(&case, &plan(&case));
    let volumes = &view.volumes;
    assert_eq!(volumes.batches.len(), 2);
    let first = &volumes.batches[0];
    assert_eq!((first.vessel.as_str(), first.brewed.as_deref(), first.filled), ("F1", None, "wort"));
    let fates = &first.fates;
    assert_eq!((fates.filled_hl, fates.tank_loss_hl, fates.transfer_loss_hl), (20.0, 1.0, 0.19));
    assert_eq!((fates.filled_bbl.as_deref(), fates.line_loss_hl), (Some("17.04336"), 0.5));
    let goods: f64 = volumes.packaged.iter().map(|row| row.packaged_hl).sum();
    assert!((goods - view.packaged_hl).abs() < 1e-9);
    assert_eq!(text::volumes_if(false, &view), "");
    let screen = text::volumes_if(true, &view);
    assert_fits(&screen);
    for part in ["F1 Pale, before", "F2 Pale, Mon 7", "all Pale", "overfill", "34.08672", "0.08999"] {
        assert!(screen.contains(part), "{part}\n{screen}");
    }
    assert!(!screen.contains("on tap hL"), "{screen}");
    let mut pouring = view.clone();
    for fates in [&mut pouring.volumes.batches[0].fates, &mut pouring.volumes.beers[0].fates] {
        (fates.poured_hl, fates.poured_bbl) = (3.9, Some("3.32345".to_owned()));
    }
    let screen = text::volumes_if(true, &pouring);
    assert_fits(&screen);
    for part in ["on tap hL", "on tap bbl", "3.90     3.32345"] {
        assert!(screen.contains(part), "{part}\n{screen}");
    }
    let crowd = crowded();
    assert_fits(&text::volumes_if(true, &super::testcase::view(&crowd, &plan(&crowd))));
    let document: serde_json::Value = serde_json::from_str(&json::document(&view).unwrap()).unwrap();
    assert_eq!(document["volumes"]["batches"][0]["tank_loss_hl"], 1.0);
}
