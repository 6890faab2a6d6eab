//! Words about a cycle that can be kept up for ever.

use cellarwright_model::case::Case;
use cellarwright_solver::repeating::{LeftOut, Refused};

use super::{amount, at_most, count, per_cent};
use crate::render::numbers::{grouped, volume_of};
use crate::render::view::KeptView;

/// Heading of what is made.
#[must_use]
pub fn goods(unit: &str) -> String {
    format!("Kept up every week, {unit}")
}

/// Columns of what is made.
pub const GOODS_COLUMNS: [&str; 5] = ["", "", "packaged", "asked for", "short"];
/// The sum of all.
pub const TOGETHER: &str = "together";
/// Where nothing is made.
pub const NOTHING: &str = "Nothing is packaged.";
/// Heading of slack.
pub const HELD_BACK: &str = "What holds it back, tightest first";
/// Heading of the work.
pub const WORK: &str = "Work by day, again and again";
/// Heading of the vessels.
pub const VESSELS: &str = "Vessels by day";
/// Said below the vessels.
pub const NAMES: &str = "Vessels that are alike may change places from one cycle to the next.";
/// Heading of the objective's parts.
pub const PARTS: &str = "What the objective of a cycle is made of";
/// What a cycle sells.
pub const SOLD: &str = "what is sold";
/// Heading of what is left out.
pub const LEFT_OUT: &str = "Left out of the brew plan, as a cycle has no dates";

/// A day of a cycle: `Mon`, or `Mon 2nd week`; before and after it, by how many weeks.
#[must_use]
pub fn day(weekday: &str, week: i64, weeks: usize) -> String {
    const NUMBERS: [&str; 4] = ["1st", "2nd", "3rd", "4th"];
    let in_cycle = usize::try_from(week).ok().filter(|&week| week < weeks);
    match in_cycle {
        Some(_) if weeks == 1 => weekday.to_owned(),
        Some(week) => format!("{weekday} {} week", NUMBERS.get(week).unwrap_or(&"later")),
        None if week < 0 => {
            format!("{weekday}, {} before", count(usize::try_from(-week).unwrap_or(0), "week", "weeks"))
        }
        None => {
            let after = usize::try_from(week).unwrap_or(0) + 1 - weeks;
            format!("{weekday}, {} after", count(after, "week", "weeks"))
        }
    }
}

/// How good the cycle is, and how sure; one sentence each.
#[must_use]
pub fn verdict(kept: &KeptView) -> Vec<String> {
    let Some(verdict) = &kept.view.verdict else { return Vec::new() };
    let (unit, units) = (kept.view.units.objective, kept.view.units.system);
    let seconds = grouped(verdict.seconds, 1);
    let cycle = count(kept.weeks, "week", "weeks");
    let (objective, a_week) = (amount(verdict.objective, unit), volume_of(units, kept.a_week_hl));
    let poured = match kept.poured_a_week_hl {
        poured if poured > 0.0 => format!(", {} poured", volume_of(units, poured)),
        _ => String::new(),
    };
    let mut sentences = vec![format!("For ever, in a cycle of {cycle}: {a_week} packaged{poured} a week.")];
    sentences.push(match verdict.status {
        "optimal" => format!("It is the best cycle of {cycle} there is: {objective} a cycle, proven in {seconds} s."),
        "within_gap" => format!("A cycle is worth {objective}, within the gap asked for after {seconds} s."),
        _ if verdict.interrupted => {
            format!("Stopped by hand after {seconds} s; the best cycle so far is worth {objective}.")
        }
        _ if verdict.complete => format!(
            "A cycle is worth {objective}, after {seconds} s. The gap is wider than the {} asked for: the search is complete \
             by its own count, but the replayed cycle is worth less.",
            per_cent(verdict.gap_asked)
        ),
        _ => format!("Time was up after {seconds} s; the best cycle so far is worth {objective}."),
    });
    sentences.push(match (verdict.bound, verdict.gap) {
        (Some(bound), Some(gap)) => format!(
            "No cycle of {cycle} is worth more than {}; the gap is {} ({}).",
            at_most(bound, unit),
            amount(bound - verdict.objective, unit),
            per_cent(gap)
        ),
        _ => "Nothing is proven yet: there was no time for a bound.".to_owned(),
    });
    if let Some(for_ever) = kept.for_ever {
        let of_cycle = for_ever * kept.weeks as f64;
        let longer = verdict.bound.is_some_and(|bound| of_cycle - bound > 1e-3 * of_cycle.abs());
        let longer = if longer { "; a longer cycle may come nearer to that" } else { "" };
        sentences.push(format!(
            "In no cycle of any length is a week worth more than {}{longer}.",
            at_most(for_ever, unit)
        ));
    }
    sentences
}

/// Why a brew plan has no cycle, and what to try.
#[must_use]
pub fn refused(case: &Case, refused: Refused) -> String {
    let (what, instead) = match refused {
        Refused::Kegs => (
            "kegs that go round, or a keg washer".to_owned(),
            "take `kegs` and `keg_washer` out of the files",
        ),
        Refused::ColdStore => ("a cold store with a limit".to_owned(), "take the limit out of the file"),
        Refused::LeastStock => ("stock that is to be kept".to_owned(), "take it out of the brew plan"),
        Refused::MobileLine(line) => (
            format!(
                "the line {}, which comes on dates, or not every time on the same days of the cycle",
                case.line(line).name
            ),
            "let it come every 7, 14 or 28 d and take a cycle of as many weeks, or leave `comes` out",
        ),
    };
    format!("a repeating week cannot count {what}: {instead}")
}

/// What of a brew plan a cycle leaves out.
#[must_use]
pub fn left_out(left_out: LeftOut) -> &'static str {
    match left_out {
        LeftOut::BeerInTank => "beer in tank and dirty vessels on day 0: the cycle begins as it ends",
        LeftOut::Stock => "packaged stock on day 0",
        LeftOut::YeastInStore => "yeast in store on day 0",
        LeftOut::DueDates => {
            "the days on which orders are due: asked for in a week is the volume of the orders over the weeks that they are due in"
        }
        LeftOut::TermsOfDelivery => {
            "late, whole and fresh deliveries: what is packaged is sold as it is asked for"
        }
        LeftOut::ClosedDays => "closed days",
        LeftOut::Absences => "days off and absences of crews",
        LeftOut::Outages => "outages and upkeep",
        LeftOut::Pins => "pinned work",
        LeftOut::MaterialsByDate => {
            "stock, deliveries, packs and least orders of materials: they are bought by the piece as they are used"
        }
        LeftOut::ClockTimes => "clock times: the hours of each shift are counted in totals, not put in order",
    }
}
