//! Every sentence that people read.

pub mod begin;
pub mod breaches;
pub mod calendar;
pub mod cautions;
pub mod changes;
pub mod compare;
pub mod findings;
pub mod kept_up;
pub mod layout;
pub mod levers;
pub mod model;
pub mod orders;
pub mod parts;
pub mod pins;
pub mod pressure;
pub mod reasons;
pub mod rehearsal;
pub mod report;
pub mod resources;
pub mod rules;
pub mod sheets;
pub mod signs;
pub mod study;
pub mod taproom;
pub mod volumes;
pub mod watch;
pub mod why;
pub mod work;

use super::numbers::{grouped, is_volume, volume, volume_of, volume_to};
use super::view::{Caution, Verdict, View};

/// An objective with its unit.
#[must_use]
pub fn amount(value: f64, unit: &str) -> String {
    format!("{} {unit}", grouped(value, decimals(unit)))
}

/// Decimals of an objective with this unit.
#[must_use]
pub fn decimals(unit: &str) -> usize {
    if is_volume(unit) { 3 } else { 2 }
}

/// What nothing is proven to be more than, with its unit: rounded up, so that it stays true.
#[must_use]
pub fn at_most(value: f64, unit: &str) -> String {
    amount(limit(value, unit), unit)
}

/// The same as a number.
#[must_use]
pub fn limit(value: f64, unit: &str) -> f64 {
    towards(value, unit, f64::ceil)
}

/// A proven range, without its unit: the least rounded down, the most rounded up.
#[must_use]
pub fn range(least: Option<f64>, most: Option<f64>, unit: &str) -> [String; 2] {
    [(least, f64::floor as fn(f64) -> f64), (most, f64::ceil)].map(|(value, rounded)| {
        value.map_or_else(String::new, |value| grouped(towards(value, unit, rounded), decimals(unit)))
    })
}

/// What something is proven to be at least, with its unit: rounded down, so that it stays true.
#[must_use]
pub fn at_least(value: f64, unit: &str) -> String {
    amount(towards(value, unit, f64::floor), unit)
}

/// A value of the digits that `amount` shows; a thousandth of the last of them is no more than a matter of binary fractions.
fn towards(value: f64, unit: &str, rounded: fn(f64) -> f64) -> f64 {
    let scale = 10_f64.powi(decimals(unit) as i32);
    let (digits, near) = (value * scale, (value * scale).round());
    (if (digits - near).abs() < 1e-3 { near } else { rounded(digits) }) / scale
}

/// How far a search has come.
#[must_use]
pub fn progress(best: Option<f64>, bound: Option<f64>, unit: &str) -> String {
    match (best, bound) {
        (Some(best), Some(bound)) if best != 0.0 && bound.is_finite() => {
            let gap = (bound - best) / best.abs() * 100.0;
            let (best, bound) = (amount(best, unit), amount(bound, unit));
            format!("best plan {best}, bound {bound}, gap {gap:.2} %  (Ctrl-C keeps the best plan)")
        }
        (Some(best), _) => format!("best plan {}  (Ctrl-C keeps it)", amount(best, unit)),
        (None, Some(bound)) if bound.is_finite() => format!("no plan yet, bound {}", amount(bound, unit)),
        (None, _) => "building the program".to_owned(),
    }
}

/// The same once Ctrl-C was pressed.
#[must_use]
pub fn stopping(progress: &str) -> String {
    format!("stopping: {progress}")
}

/// A gap in per cent.
fn per_cent(gap: f64) -> String {
    let percent = gap * 100.0;
    if percent > 1_000.0 { "more than 1000 %".to_owned() } else { format!("{percent:.2} %") }
}

/// How good the plan is, and how sure; one sentence each. `seconds`, where they are to be told, differ from run to run.
#[must_use]
pub fn verdict(view: &View, verdict: &Verdict, seconds: Option<f64>) -> Vec<String> {
    let unit = view.units.objective;
    let objective = amount(verdict.objective, unit);
    let time =
        |word: &str| seconds.map_or_else(String::new, |took| format!(" {word} {} s", grouped(took, 1)));
    let (after, within) = (time("after"), time("in"));
    let model = if view.outlook_label.is_some() { "plan of this model" } else { "plan" };
    let (proof, sure) = match (verdict.bound, verdict.gap) {
        (Some(bound), Some(gap)) => {
            let apart = amount(bound - verdict.objective, unit);
            let (bound, gap) = (at_most(bound, unit), per_cent(gap));
            (
                format!("No {model} is worth more than {bound}; the gap is {apart} ({gap})."),
                format!("No {model} is worth more (bound {bound}, gap {apart}, {gap})."),
            )
        }
        _ => {
            let none = "Nothing is proven yet: there was no time for a bound.".to_owned();
            (none.clone(), none)
        }
    };
    let mut sentences = match verdict.status {
        "optimal" => vec![format!("The best there is: {objective}, proven{within}."), sure],
        "within_gap" => {
            vec![format!("A plan worth {objective}, within the gap asked for{after}."), proof]
        }
        _ if verdict.complete => {
            let asked = per_cent(verdict.gap_asked);
            let took = if after.is_empty() { String::new() } else { format!(",{after}") };
            let why = "the search is complete by its own count, but the replayed plan is worth less";
            vec![
                format!(
                    "A plan worth {objective}{took}. The gap is wider than the {asked} asked for: {why}."
                ),
                proof,
            ]
        }
        _ if verdict.interrupted => {
            vec![format!("Stopped by hand{after}; the best plan so far is worth {objective}."), proof]
        }
        _ => {
            vec![format!("Time was up{after}; the best plan so far is worth {objective}."), proof]
        }
    };
    if let (Some((from, to)), Some(_)) = (&view.outlook_label, verdict.bound) {
        sentences.push(format!(
            "Bound and gap speak of the model, in which the look-ahead ({from} to {to}) is counted in coarse periods."
        ));
    }
    sentences
}

/// What is packaged in the planned days, by format.
#[must_use]
pub fn packaged(view: &View) -> String {
    let (first, last) = match (view.days.first(), view.days.last()) {
        (Some(first), Some(last)) => (first.label.as_str(), last.label.as_str()),
        _ => ("", ""),
    };
    let units = view.units.system;
    let filled = view.packaged.iter().filter(|row| row.packaged_hl > 0.0);
    let formats: Vec<String> =
        filled.map(|row| format!("{} {}", row.format, volume(units, row.packaged_hl))).collect();
    let by_format = if formats.is_empty() { String::new() } else { format!(" ({})", formats.join(", ")) };
    let all = volume_to(units, view.packaged_hl, 1);
    format!("Packaged {first} to {last}: {all} {}{by_format}.", units.volume().name)
}

/// Cautions as they are listed: of those with a code the first of each kind, with the number of the others.
#[must_use]
pub fn listed_cautions(view: &View) -> Vec<String> {
    listed(&view.cautions)
}

/// The same of any cautions.
#[must_use]
pub fn listed(cautions: &[Caution]) -> Vec<String> {
    let mut lines = Vec::new();
    let mut shown: Vec<&str> = Vec::new();
    for caution in cautions {
        let Some(code) = caution.code else {
            lines.push(caution.text.clone());
            continue;
        };
        if shown.contains(&code) {
            continue;
        }
        shown.push(code);
        let more = cautions.iter().filter(|other| other.code == caution.code).count() - 1;
        let more = if more > 0 { format!("; and {more} more of this kind") } else { String::new() };
        lines.push(format!("{code}: {}{more}", caution.text));
    }
    lines
}

/// What a plan that was only checked is worth.
#[must_use]
pub fn checked(view: &View) -> String {
    let worth = amount(view.objective, view.units.objective);
    match view.violations.len() {
        0 => format!("The plan keeps every rule. It is worth {worth}."),
        1 => format!("The plan breaks a rule once. As far as it can be replayed it is worth {worth}."),
        many => {
            format!("The plan breaks rules {many} times. As far as it can be replayed it is worth {worth}.")
        }
    }
}

/// A file that cannot be read.
#[must_use]
pub fn unreadable(file: &str, why: &str) -> String {
    // The system's number of the error says nothing to a reader.
    let why = why.split(" (os error").next().unwrap_or(why);
    format!("cannot read {file}: {why}")
}

/// A file that cannot be written.
#[must_use]
pub fn unwritable(file: &str, why: &str) -> String {
    format!("cannot write {file}: {why}")
}

/// A file whose directory is missing.
#[must_use]
pub fn no_directory(file: &str, directory: &str) -> String {
    format!("cannot write {file}: there is no directory {directory}; make it first or name another")
}

/// A model file whose name does not end as it must.
#[must_use]
pub fn not_mps(file: &str) -> String {
    format!("cannot write the model to {file}: its name must end in .mps")
}

/// How many findings stand in the way.
#[must_use]
pub fn nothing_planned(errors: usize) -> String {
    let them = if errors == 1 { "one finding has".to_owned() } else { format!("{errors} findings have") };
    format!("Nothing was done: {them} to be mended first (shown above).")
}

/// Something inside failed.
#[must_use]
pub fn internal(why: &str) -> String {
    format!("no plan is shown because something in the program failed: {why}")
}

/// What the look-ahead counts on.
#[must_use]
pub fn outlook(view: &View, batches: &str, packaged_hl: f64) -> String {
    let (from, to) = view.outlook_label.clone().unwrap_or_default();
    let packaged = volume_of(view.units.system, packaged_hl);
    format!(
        "The look-ahead, {from} to {to}, counts on {batches} batches brewed and {packaged} packaged; it is counted in \
         coarse periods and commits to nothing."
    )
}

/// A plan that the checker does not pass.
#[must_use]
pub fn broken(times: usize) -> String {
    internal(&format!("the plan breaks {times} of its own rules"))
}

/// A number of things, in the singular where it is one.
#[must_use]
pub fn count(number: usize, one: &str, many: &str) -> String {
    if number == 1 { format!("1 {one}") } else { format!("{number} {many}") }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_proven_limit_stays_true_when_it_is_rounded() {
        assert_eq!(
            (at_most(49.980_5, "hL"), at_least(9.994_625, "hL")),
            ("49.981 hL".into(), "9.994 hL".into())
        );
        assert_eq!(
            (at_most(-0.005_6, "hL"), at_least(-0.005_6, "hL")),
            ("-0.005 hL".into(), "-0.006 hL".into())
        );
        // A whole number of cents stays what it is, however binary fractions count it.
        assert_eq!(
            (at_most(0.1 + 0.2, "money"), at_least(0.1 + 0.2, "money")),
            ("0.30 money".into(), "0.30 money".into())
        );
        assert_eq!(range(Some(4.997_9), Some(5.001_2), "hL"), ["4.997", "5.002"]);
        assert_eq!(range(None, Some(1.0), "money"), ["", "1.00"]);
    }
}
