//! Words about a rehearsal.

use super::count;
use crate::render::numbers::{volume, volume_of};
use crate::render::view::{BatchRow, FallRow, LateRow, RehearsalView};

/// Heading of the batches.
pub const BATCHES: &str = "Each batch late";
/// Heading of what fails.
pub const FAILS: &str = "What fails";
/// Heading of the draws.
pub const DRAWS: &str = "Many things at once";
/// Heads the batches.
pub const BATCH: &str = "batch";
/// Heads the day on which it is ready.
pub const READY: &str = "ready";
/// Heads the day on which it is used.
pub const USED: &str = "used from";
/// Heads the days that nothing changes.
pub const SPARE: &str = "spare d";
/// Heads the last day.
pub const MUST: &str = "in time until";
/// Said of a batch that bears all that is tried.
pub const LATER: &str = "later";
/// Said of spare days.
pub const AT_LEAST_THREE: &str = "3+";
/// Said where the search had not enough time to tell.
pub const NOT_KNOWN: &str = "not known";
/// Stands behind what a search that was cut by time said.
pub const CUT: &str = " *";
/// Heads orders.
pub const ORDER: &str = "order";
/// Heads how often.
pub const FAILS_IN: &str = "fails in";
/// What a rehearsed plan must be.
pub const WITHOUT_BREACH: &str = "a plan without a breach: `check` tells what is wrong";
/// What a rehearsal needs.
pub const READY_IN_TIME: &str = "a batch that is to be ready in the planned days";
/// Of batches left out.
pub const STAYS: &str = "only batches that stay in their fermenter are rehearsed";
/// Said where no batch can be late.
pub const NO_BATCHES: &str = "No batch is rehearsed.";
/// Said where nothing fails.
pub const NOTHING_FAILS: &str = "No order fails, whichever batch is up to three days late.";

/// A batch.
#[must_use]
pub fn batch(beer: &str, vessel: &str) -> String {
    format!("{beer} in {vessel}")
}

/// How many rules the plan breaks.
#[must_use]
pub fn breaches(number: usize) -> String {
    count(number, "breach", "breaches")
}

/// How far the rehearsal has come.
#[must_use]
pub fn progress(done: usize, of: usize) -> String {
    format!("{done} of {of} rehearsals done  (Ctrl-C shows what there is)")
}

/// Heads the column of so many days.
#[must_use]
pub fn days_late(days: i64) -> String {
    format!("{days} d late")
}

/// How it is rehearsed.
#[must_use]
pub fn about(view: &RehearsalView) -> String {
    let (gap, unit) = (share(view.gap), view.units.volume().name);
    format!(
        "What is late is known on the day on which it should be ready, what stops on the day itself; where the plan cannot be kept then, the rest is \
         planned again with few changes, within {gap}. An order fails that gets less than by the plan, or gets it after its due day; short and \
         late are told in {unit}. A batch is in time until the last day on which it can become ready with no order failing."
    )
}

/// The batches in a sentence.
#[must_use]
pub fn verdict(view: &RehearsalView) -> String {
    let all = view.batches.len();
    let none: Vec<&str> =
        view.batches.iter().filter(|row| row.spare_days == 0).map(|row| row.batch.as_str()).collect();
    match (all, none.len()) {
        (0, _) => NO_BATCHES.to_owned(),
        (_, 0) => format!("{}; each has a day to spare.", count(all, "batch", "batches")),
        (all, _) => {
            let which = none.join(", ");
            format!("{}; without a spare day: {which}.", count(all, "batch", "batches"))
        }
    }
}

/// What comes of a batch that is late, in a cell.
#[must_use]
pub fn cell(view: &RehearsalView, row: &LateRow) -> String {
    let short: f64 = row.orders.iter().map(|order| order.short_hl).sum();
    let late: f64 = row.orders.iter().map(|order| order.late_hl).sum();
    let cut = if row.is_cut { CUT } else { "" };
    let text = match row.course {
        "stands" => "stands".to_owned(),
        "no_plan" => "no plan".to_owned(),
        "not_in_time" => "not in time".to_owned(),
        "not_done" => "not done".to_owned(),
        _ if short > 0.0 => format!("short {}", volume(view.units, short)),
        _ if late > 0.0 => format!("late {}", volume(view.units, late)),
        _ => count(row.changes, "change", "changes"),
    };
    text + cut
}

/// Said where a search was cut.
#[must_use]
pub fn cut() -> &'static str {
    "* The search was cut by time: a better plan may be there."
}

/// What fails with a batch that is late.
#[must_use]
pub fn falls(view: &RehearsalView, batch: &BatchRow, row: &LateRow) -> String {
    let days = count(usize::try_from(row.days).unwrap_or_default(), "day", "days");
    let orders: Vec<String> = row.orders.iter().map(|order| fall(view, order)).collect();
    format!("{}, {days} late, known on {}: {}", batch.batch, batch.known_label, orders.join("; "))
}

fn fall(view: &RehearsalView, order: &FallRow) -> String {
    let mut parts = Vec::new();
    if order.short_hl > 0.0 {
        parts.push(format!("short {}", volume_of(view.units, order.short_hl)));
    }
    if order.late_hl > 0.0 {
        parts.push(format!("{} late", volume_of(view.units, order.late_hl)));
    }
    format!("{} {}", order.order, parts.join(", "))
}

/// What is drawn.
#[must_use]
pub fn drawn(view: &RehearsalView) -> String {
    let [one, two, three] = view.chance_late.map(share);
    let stop = share(view.chance_stop);
    let done = view.draws.len();
    let of = if done < view.draws_asked { format!(" of {}", view.draws_asked) } else { String::new() };
    format!(
        "{}{of}, seed {}: a batch is one, two or three days late with {one}, {two} and {three}; a line that is to run stops for the day with {stop}.",
        count(done, "draw", "draws"),
        view.seed
    )
}

/// What is kept up.
#[must_use]
pub fn kept_up(view: &RehearsalView) -> Vec<String> {
    let (Some(average), Some(worst), Some(nine)) =
        (view.kept_up, view.kept_up_at_worst, view.kept_up_in_nine_of_ten)
    else {
        return Vec::new();
    };
    let promised = volume_of(view.units, view.promised_hl);
    let [average, worst, nine] = [average, worst, nine].map(share);
    vec![
        format!("No order fails in {} of {} draws.", view.draws_without_fall, view.draws.len()),
        format!(
            "Kept up of the {promised} that the plan packages and pours: {average} on average, at least {nine} in nine draws of ten, \
             {worst} in the worst."
        ),
    ]
}

/// A share to a tenth of a per cent.
fn share(share: f64) -> String {
    format!("{} %", (share * 1_000.0).round() / 10.0)
}
