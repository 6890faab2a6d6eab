//! Words about cellars side by side.

use super::{count, decimals};
use crate::render::compare::{Comparison, Difference, Proven};
use crate::render::numbers::grouped;

/// A brew plan.
pub const BREW_PLAN: &str = "brew plan";
/// A cellar.
pub const CELLAR: &str = "cellar";
/// A change.
pub const CHANGE: &str = "change";
/// Heads the column of units.
pub const UNIT: &str = "unit";
/// Heads the column of figures, and of pairs of cases.
pub const FIGURE: &str = "what";
/// Heads the column of what is proven.
pub const PROVEN: &str = "proven";
/// Heads the table of the cases.
pub const CASES_CAPTION: &str = "The cases";
/// Its columns.
pub const CASE_COLUMNS: [&str; 4] = ["case", "title", "file", "search"];
/// Heads the table of figures.
pub const FIGURES_CAPTION: &str = "Figures of the planned days, or of the cycle";
/// Said above the differences.
pub const ABOUT_DIFFERENCES: &str = "At least: its own plan less the other's bound. At most: its bound less the other's own plan. Where that leaves \
    room for both more and less than nothing, no difference is proven.";
/// Heading of the figures.
pub const FIGURES: &str = "Side by side";
/// Heading of the proven differences.
pub const DIFFERENCES: &str = "What is proven of the differences";
/// Columns of the differences.
pub const DIFFERENCE_COLUMNS: [&str; 5] = ["", "plan against plan", "at least", "at most", ""];
/// Heading of what binds.
pub const BINDS: &str = "What binds in one and not in another";
/// Heading of all resources.
pub const USES: &str = "Use of every resource, of what there is";
/// Heading of the objective's parts.
pub const PARTS: &str = "What the objective is made of";
/// Heading of all that is left out of cycles.
pub const LEFT_OUT: &str = "Left out of the brew plans, as a cycle has no dates";
/// The same things bind in all.
pub const SAME_BINDS: &str = "The same resources bind in all of them.";
/// Said where a case has no such resource, or no such number.
pub const NONE: &str = "-";
/// Said above the resources that bind.
pub const ABOUT_BINDS: &str = "A resource binds where nothing worth speaking of is left on its tightest day: the whole time where nearly all of it is \
    used, a day now and then where little is. Each cell: used of what there is in all these days, and what is left on the tightest day. \
    Those that are used most come first.";
/// Columns of the resources before those of the cases.
pub const RESOURCE_COLUMNS: [&str; 2] = ["rule", "resource"];
/// A resource that binds.
pub const BOUND: &str = "binds";

/// Names of the figures.
pub mod figures {
    pub const WORTH: &str = "worth of the plan";
    pub const BOUND: &str = "no plan is worth more than";
    pub const PACKAGED: &str = "packaged";
    pub const PACKAGED_A_WEEK: &str = "packaged a week";
    pub const POURED: &str = "poured in the taproom";
    pub const ORDERS: &str = "orders";
    pub const ORDERS_FILLED: &str = "orders filled";
    pub const DELIVERED: &str = "delivered to orders";
    pub const SHORT: &str = "short of orders";
    pub const ASKED: &str = "asked for";
    pub const BATCHES: &str = "batches brewed";
    pub const TURNS: &str = "turns of the brewhouse";
    pub const TRANSFERS: &str = "transfers from tank to tank";
    pub const MOVED: &str = "moved by them";
    pub const MOVES: &str = "times that beer is moved on its way";
    pub const FROM_FERMENTERS: &str = "drawn for lines from fermenters";
    pub const FROM_BRIGHT_TANKS: &str = "drawn for lines from bright tanks";
    pub const SHORT_CLEANS: &str = "short cleans of vessels";
    pub const FULL_CLEANS: &str = "full cleans of vessels";
    pub const SANITISED: &str = "vessels sanitised";
    pub const BREW: &str = "people, brewing";
    pub const CELLAR: &str = "people, cellar";
    pub const PACKAGE: &str = "people, packaging";
    pub const ALL_PEOPLE: &str = "people, all work";
    pub const WAITING_DAYS: &str = "days that ready batches wait";
    pub const WAITING: &str = "the same by volume";
    pub const STAY: &str = "days in the fermenter, a batch";
    pub const SAVED: &str = "fermenter days that bright tanks save";
    pub const PRICE: &str = "price of the vessels";
}

/// Overtime of a crew.
#[must_use]
pub fn overtime(crew: &str) -> String {
    format!("overtime of {crew}")
}

/// What a case is, for its line at the top.
#[must_use]
pub fn what(kind: &str, file: &str) -> String {
    format!("{kind} {file}")
}

/// The title of the whole.
#[must_use]
pub fn title(comparison: &Comparison) -> String {
    let cases = count(comparison.cases.len(), "case", "cases");
    match comparison.weeks {
        Some(weeks) => {
            format!("{cases} side by side, for ever, in a cycle of {}", count(weeks, "week", "weeks"))
        }
        None => format!("{cases} side by side, each with its best plan"),
    }
}

/// The title of the page: the base.
#[must_use]
pub fn page_title(comparison: &Comparison) -> String {
    comparison.cases.first().map_or_else(String::new, |case| case.title.clone())
}

/// How a search ended.
#[must_use]
pub fn status(status: &str) -> &'static str {
    match status {
        "optimal" => "to the end",
        "within_gap" => "to the gap asked for",
        _ => "stopped before the gap asked for",
    }
}

/// A rule with what it is about.
#[must_use]
pub fn rule(code: &str, about: &str) -> String {
    format!("{code} {about}")
}

/// How well each was searched.
#[must_use]
pub fn searched(comparison: &Comparison) -> Vec<String> {
    let letters = |wanted: &dyn Fn(&str) -> bool| -> Vec<&str> {
        let cases = comparison.cases.iter().filter(|case| wanted(case.status));
        cases.map(|case| case.letter.as_str()).collect()
    };
    let mut sentences = Vec::new();
    let stopped = letters(&|status| status == "stopped");
    if !stopped.is_empty() {
        sentences.push(format!(
            "The gap asked for was not reached for {}: more `--seconds` may tell more.",
            stopped.join(", ")
        ));
    }
    if comparison.looks_ahead {
        sentences.push(
            "Bounds speak of the model, in which the look-ahead is counted in coarse periods.".to_owned(),
        );
    }
    if !comparison.is_comparable {
        sentences.push(
            "One aims at orders and another at output: money and volume cannot be compared, so no difference is shown."
                .to_owned(),
        );
    }
    if comparison.days_differ {
        sentences.push("The planned days differ from case to case: so do all sums over days.".to_owned());
    }
    sentences
}

/// Which is best, and whether that is proven.
#[must_use]
pub fn answer(comparison: &Comparison) -> Option<String> {
    let best = comparison.best?;
    let name = |place: usize| {
        let case = &comparison.cases[place];
        format!("{} ({})", case.letter, case.title)
    };
    let letter = |place: usize| comparison.cases[place].letter.clone();
    let against: Vec<&Difference> =
        comparison.differences.iter().filter(|difference| difference.to == best).collect();
    let of = |wanted: Proven| -> Vec<&Difference> {
        against.iter().copied().filter(|difference| difference.proven == wanted).collect()
    };
    let letters = |all: &[&Difference]| {
        all.iter().map(|difference| letter(difference.from)).collect::<Vec<_>>().join(", ")
    };
    let (alike, open) = (of(Proven::Alike), of(Proven::Not));
    if !open.is_empty() {
        return Some(format!(
            "The plan of {} is worth most, but it is not proven that it is better than {}: a smaller `--gap` may tell.",
            name(best),
            letters(&open)
        ));
    }
    let unit = comparison.unit;
    if alike.iter().any(|difference| difference.from == 0) || best == 0 {
        let at_least = of(Proven::Better).iter().filter_map(|difference| difference.low).reduce(f64::min);
        let worse = at_least.map_or_else(String::new, |low| {
            format!(" The others are worth at least {} less.", super::at_least(low, unit))
        });
        let alike: Vec<String> = alike
            .iter()
            .map(|difference| difference.from)
            .chain([best])
            .filter(|&place| place != 0)
            .map(letter)
            .collect();
        let as_good = if alike.is_empty() {
            String::new()
        } else {
            format!(
                " {} worth the same.",
                if alike.len() == 1 {
                    format!("{} is", alike[0])
                } else {
                    format!("{} are", alike.join(", "))
                }
            )
        };
        return Some(format!("Proven: nothing is better than {}.{as_good}{worse}", name(0)));
    }
    let at_least = of(Proven::Better).iter().filter_map(|difference| difference.low).reduce(f64::min)?;
    let also = if alike.is_empty() { String::new() } else { format!(", as is {}", letters(&alike)) };
    Some(format!(
        "Proven: {} is best{also}, worth at least {} more than each of the others.",
        name(best),
        super::at_least(at_least, unit)
    ))
}

/// A difference's names.
#[must_use]
pub fn pair(comparison: &Comparison, difference: &Difference) -> String {
    let case = |place: usize| &comparison.cases[place];
    let (to, from) = (case(difference.to), case(difference.from));
    format!("{} ({}) less {} ({})", to.letter, to.title, from.letter, from.title)
}

/// A difference in the objective's unit as `shown` writes it (`amount`, or as a limit `at_least` and `at_most`), with its sign.
#[must_use]
pub fn signed(value: Option<f64>, unit: &str, shown: fn(f64, &str) -> String) -> String {
    let Some(value) = value else { return NONE.to_owned() };
    let text = shown(value, unit);
    if value > 0.0 { format!("+{text}") } else { text }
}

/// What is proven of a difference.
#[must_use]
pub fn proven(difference: &Difference) -> &'static str {
    match difference.proven {
        Proven::Better => "proven better",
        Proven::Worse => "proven worse",
        Proven::Alike => "worth the same",
        Proven::Not => "no difference is proven",
    }
}

/// Vessels of a kind in a comparison, where names and numbers differ from case to case.
#[must_use]
pub fn used_of(used: &str, available: &str) -> String {
    format!("{used} of {available}")
}

/// What is left on the tightest day.
#[must_use]
pub fn left(left: &str) -> String {
    format!("{left} left")
}

/// How many of the cases are being searched, and how far one of them has come.
#[must_use]
pub fn progress(done: usize, of: usize, letter: &str, message: &str) -> String {
    format!("{done} of {of} done; {letter}: {message}")
}

/// Why a case has no plan, before the reasons.
#[must_use]
pub fn no_plan(title: &str, file: &str) -> String {
    format!("no plan for {title} ({file})")
}

/// A number of the objective's parts.
#[must_use]
pub fn part(value: f64, unit: &str) -> String {
    grouped(value, decimals(unit))
}
