//! Words about one unit more of something.

use cellarwright_model::case::Case;
use cellarwright_model::ids::VesselId;
use cellarwright_model::lever::{Lever, alike, longest_stage, with};

use super::{amount, at_most, count, per_cent};
use crate::render::numbers::{grouped, pressure, volume_of};
use crate::render::view::LeversView;

/// Heading of the levers.
pub const HEADING: &str = "What one unit more adds, best first";
/// Heading of the levers for ever, where both are shown.
pub const HEADING_FOR_EVER: &str = "What one unit more adds for ever, best first";
/// Heading of a report's verdict for ever.
pub const AS_IT_IS_FOR_EVER: &str = "As it is, for ever";
/// Heading of pairs for ever.
pub const PAIRS_FOR_EVER: &str = "Pairs for ever, those first that add most beyond the sum of their parts";
/// Heading of pairs.
pub const PAIRS: &str = "Pairs, those first that add most beyond the sum of their parts";
/// Heading of what a cycle leaves out.
pub const LEFT_OUT: &str = super::kept_up::LEFT_OUT;
/// Heading of a report's verdict.
pub const AS_IT_IS: &str = "As it is";
/// Heads the first column.
pub const ONE_MORE: &str = "one unit more";
/// Heads the first column of pairs.
pub const BOTH: &str = "both together";
/// Heads the proven least.
pub const AT_LEAST: &str = "at least";
/// Heads the proven most.
pub const AT_MOST: &str = "at most";
/// Heads a pair's least beyond its parts.
pub const BEYOND: &str = "beyond sum";
/// Heads prices.
pub const PRICE: &str = "price";
/// Heads payback.
pub const PAYBACK: &str = "pays back in weeks";
/// Heads the bars of a report.
pub const RANGE: &str = "range";
/// Said of a pair that is proven to be more than the sum of its parts.
pub const MORE_THAN_SUM: &str = "more than its parts";
/// Where there is nothing to be had.
pub const NO_LEVERS: &str = "Nothing can be had more of here.";
/// Caption of the report's table.
pub const CAPTION: &str = "What one unit more of each resource adds a week";
/// Caption of the report's table of pairs.
pub const PAIR_CAPTION: &str = "What two levers add together a week";
/// Said above the bars of a report.
pub const ABOUT_BARS: &str = "A bar reaches from the proven least to the proven most, all to one scale; the mark in it is what was found.";
/// About ratings.
pub const RATING: &str = "A higher rating is another vessel, or one that its maker or a licensed body rates anew: a data plate and a relief device \
    are never changed for a plan.";
/// About stays.
pub const BREWER: &str = "Whether a beer may stay shorter or wait longer is for the brewer to say; only what it would add is counted here.";

/// A lever, or several, in a few words.
#[must_use]
pub fn levers(case: &Case, levers: &[Lever]) -> String {
    let names: Vec<String> = levers.iter().map(|&one| lever(case, one)).collect();
    names.join(" + ")
}

fn lever(case: &Case, lever: Lever) -> String {
    match lever {
        Lever::Vessel { like } => {
            format!("{} of {} (as {})", kind(case, like), size(case, like), names(case, like))
        }
        Lever::FirstBright { like } => format!("a first bright tank of {}", size(case, like)),
        Lever::Person { crew, shift } => {
            let crew = case.crew(crew);
            let shift = match crew.further_shifts.is_empty() {
                true => String::new(),
                false => format!(", {}", case.calendar.shifts[shift].name),
            };
            format!("person in {}{shift}", crew.name)
        }
        Lever::Hour { crew } => format!("hour a shift of {}", case.crew(crew).name),
        Lever::Turn => "turn a day".to_owned(),
        Lever::CleaningSet => "cleaning set".to_owned(),
        Lever::SecondShift { crew } => format!("second shift of {}", case.crew(crew).name),
        Lever::Stay { beer } => {
            let stage =
                longest_stage(case, beer).map_or("stay", |stage| case.beer(beer).stay[stage].name.as_str());
            format!("{}: {stage} a day shorter", case.beer(beer).name)
        }
        Lever::Wait { beer } => format!("{}: may wait a day longer", case.beer(beer).name),
        Lever::Rating { like } => {
            let raised = with(case, &[lever]);
            let to = raised.map_or_else(String::new, |raised| {
                format!(" to {}", pressure(case.show_units, raised.vessel(like).rated))
            });
            format!("rating of {}{to}", names(case, like))
        }
        Lever::Pump { line } => format!("pump before {}", case.line(line).name),
    }
}

/// The vessels of one kind, by the first of them.
#[must_use]
pub fn vessels(case: &Case, like: VesselId) -> String {
    let number = alike(case, like).count();
    let many = if number == 1 { "" } else { "s" };
    format!("{number} {}{many} of {} ({})", kind(case, like), size(case, like), names(case, like))
}

/// What a vessel holds.
fn size(case: &Case, vessel: VesselId) -> String {
    case.show_units.exact_volume(case.vessel(vessel).holds)
}

/// What a vessel is for.
fn kind(case: &Case, vessel: VesselId) -> &'static str {
    let uses = case.vessel(vessel).uses;
    match (uses.ferment, uses.condition, uses.serve) {
        (true, _, _) => "fermenter",
        (false, true, _) => "conditioning tank",
        (false, false, true) => "serving tank",
        (false, false, false) => "bright tank",
    }
}

/// Names of the vessels of one kind.
fn names(case: &Case, like: VesselId) -> String {
    let names: Vec<&str> = alike(case, like).map(|id| case.vessel(id).name.as_str()).collect();
    match names.as_slice() {
        [first, .., last] if names.len() > 2 => format!("{first} .. {last}"),
        few => few.join(", "),
    }
}

/// Columns of what is added, in the unit of the objective.
#[must_use]
pub fn unit_a_week(unit: &str) -> String {
    format!("{unit} a week")
}

/// How good the plan as it is is, what the table says, and what was not finished; one sentence each.
#[must_use]
pub fn verdict(view: &LeversView, seconds: Option<f64>) -> Vec<String> {
    let mut sentences = vec![as_it_is(view)];
    sentences.push(format!(
        "At least and at most are proven: the best plan with one unit more, less the best without it, a week of {}. Found is the difference of the \
         best plans found.",
        match view.cycle {
            Some(weeks) => format!("a cycle of {}", count(weeks, "week", "weeks")),
            None => format!("the {} that count", weeks(view.weeks)),
        }
    ));
    if view.looks_ahead {
        sentences.push(
            "All of it speaks of the model, in which the look-ahead is counted in coarse periods.".to_owned(),
        );
    }
    let nothing = view.count("nothing");
    let less = format!("{} {}", grouped(view.nothing_a_week, 2), view.unit);
    if nothing > 0 {
        sentences.push(format!("Nothing: proven to add no more than {less} a week."));
    }
    let took = seconds.map_or_else(String::new, |seconds| format!(" in {} s", grouped(seconds, 1)));
    let tried = view.rows.len() + view.pairs.len() - view.count("not_tried");
    let mut ended = format!("{} tried{took}", count(tried, "case", "cases"));
    for (state, what) in [
        ("cut", "cut short (its range is true, and wider than it need be)"),
        ("not_tried", "not tried"),
        ("failed", "failed"),
    ] {
        let number = view.count(state);
        if number > 0 {
            ended.push_str(&format!("; {number} {what}"));
        }
    }
    let unfinished = view.count("cut") + view.count("not_tried");
    ended.push_str(match (unfinished > 0, view.interrupted) {
        (_, true) => ". Stopped by hand.",
        (true, false) => ". More --seconds finish more.",
        (false, false) => ".",
    });
    sentences.push(ended);
    if view.has_pairs && view.pairs.len() < view.all_pairs {
        let all = view.all_pairs;
        sentences.push(format!("{} of {all} pairs were chosen; --pairs-of takes more.", view.pairs.len()));
    }
    sentences
}

fn as_it_is(view: &LeversView) -> String {
    let objective = amount(view.objective, view.unit);
    let made = format!("{} a week", volume_of(view.units, view.volume_a_week_hl));
    let what = match view.cycle {
        Some(weeks) => {
            format!("the best cycle of {} found is worth {objective} ({made})", count(weeks, "week", "weeks"))
        }
        None => format!("the best plan found is worth {objective} ({made})"),
    };
    let sure = match view.bound {
        Some(bound) => {
            let gap = (bound - view.objective) / view.objective.abs().max(0.01);
            format!("none is worth more than {}, {} above it", at_most(bound, view.unit), per_cent(gap))
        }
        None => "there was no time to prove anything of it".to_owned(),
    };
    format!("As it is, {what}; {sure}.")
}

fn weeks(weeks: f64) -> String {
    if (weeks - weeks.round()).abs() < 1e-9 {
        count(weeks.round() as usize, "week", "weeks")
    } else {
        format!("{} weeks", grouped(weeks, 1))
    }
}

/// A state in the place of a number that is not there.
#[must_use]
pub fn state(state: &str) -> &'static str {
    match state {
        "nothing" => "nothing",
        "not_tried" => "not tried",
        "failed" => "failed",
        "cut" => "cut short",
        _ => "",
    }
}

/// What it costs, once and a week.
#[must_use]
pub fn price(once: Option<f64>, a_week: Option<f64>) -> String {
    let a_week = a_week.map(|a_week| format!("{} a week", grouped(a_week, 0)));
    match (once.map(|once| grouped(once, 0)), a_week) {
        (Some(once), Some(a_week)) => format!("{once}, {a_week}"),
        (Some(one), None) | (None, Some(one)) => one,
        (None, None) => String::new(),
    }
}

/// Whether what is paid a week comes back.
#[must_use]
pub fn pays_its_week(pays: &str) -> &'static str {
    match pays {
        "yes" => "earns it",
        "no" => "never",
        _ => "not proven",
    }
}

/// How many weeks it takes until a price is earned.
#[must_use]
pub fn payback(found: Option<f64>, least: Option<f64>, most: Option<f64>, is_proven: bool) -> String {
    let number = |weeks: f64| grouped(weeks, usize::from(weeks < 10.0));
    match (found, least, most) {
        (_, Some(least), Some(most)) if number(least) == number(most) => number(least),
        (_, Some(least), Some(most)) => format!("{} to {}", number(least), number(most)),
        (_, Some(least), None) => format!("{} or more", number(least)),
        (Some(found), None, _) if !is_proven => format!("about {}", number(found)),
        _ => "never".to_owned(),
    }
}

/// Why a lever could not be tried to its end.
#[must_use]
pub fn failure(lever: &str, why: &str) -> String {
    format!("{lever} failed: {why}")
}

/// How many searches are over.
#[must_use]
pub fn step(done: usize, of: usize) -> String {
    format!("{done} of {of} cases tried  (Ctrl-C keeps what is known)")
}
