//! From a plan to text.

use std::fmt::Write;

use crate::calendar::Slot;
use crate::case::{Aim, Case};
use crate::ids::{BeerId, CrewId, FormatId, LineId, VesselId, YeastId};
use crate::plan::{Count, Leaving, Outlook, PitchFrom, Plan, Source, Used, Work};
use crate::units::{Money, Volume, decimal};

use super::{PlanSummary, words};

/// A plan as YAML text. The case must be the one that the plan was made for; reading the text back with it
/// gives the same plan, provided that its tasks are in the order of slots and its deliveries in that of orders.
#[must_use]
pub fn write_plan(case: &Case, plan: &Plan, summary: &PlanSummary) -> String {
    let mut out = String::new();
    line(&mut out, &format!("plan: {}", scalar(&case.name)));
    line(&mut out, &format!("objective: {}", objective(case, summary.objective)));
    line(&mut out, &format!("bound: {}", objective(case, summary.bound)));
    line(&mut out, &format!("status: {}", scalar(&summary.status)));
    let tasks = plan.tasks.iter().map(|task| {
        let begins = task.begins.map_or_else(String::new, |begins| {
            format!(", begins: \"{}\"", case.calendar.time_of_day(task.slot, begins))
        });
        format!("{}, {}{begins}", when(case, task.slot), work(case, task.work))
    });
    list(&mut out, "", "tasks", tasks);
    let overtime = plan.overtime.iter().map(|overtime| {
        let crew = crew(case, overtime.crew);
        format!("{}, crew: {crew}, time: {}", when(case, overtime.slot), overtime.time)
    });
    list(&mut out, "", "overtime", overtime);
    let pours = plan.pours.iter().map(|pour| {
        let on = date(case, pour.day);
        format!("on: {on}, vessel: {}, volume: {}", vessel(case, pour.vessel), pour.volume)
    });
    if !plan.pours.is_empty() {
        list(&mut out, "", "pours", pours);
    }
    let deliveries = plan.deliveries.iter().map(|delivery| {
        let order = scalar(&case.order(delivery.order).name);
        let on = case.calendar.date(delivery.day);
        format!("order: {order}, on: {on}, volume: {}", delivery.volume)
    });
    list(&mut out, "", "deliveries", deliveries);
    if plan.outlook != Outlook::default() {
        line(&mut out, "outlook:");
        outlook(&mut out, case, &plan.outlook);
    }
    out
}

fn outlook(out: &mut String, case: &Case, outlook: &Outlook) {
    let periods = outlook
        .periods
        .iter()
        .map(|period| format!("from: {}, to: {}", date(case, period.first_day), date(case, period.last_day)));
    list(out, "  ", "periods", periods);
    let begin =
        |period: usize| outlook.periods.get(period).map_or_else(String::new, |p| date(case, p.first_day));
    let source = |source: Source| match source {
        Source::InTank(id) => format!("in_tank: {}", vessel(case, id)),
        Source::New { like, period } => {
            format!("like: {}, filled: {}", vessel(case, like), begin(period))
        }
    };
    let batches = outlook.batches.iter().map(|batch| {
        let mut text = format!(
            "{}, beer: {}, turns: {}{}, count: {}, leaves: {}",
            source(batch.source),
            beer(case, batch.beer),
            batch.turns,
            part_turn(batch.part),
            count(batch.count),
            words::leaving(batch.leaving),
        );
        if let Some(moved) = batch.moved {
            let to = vessel(case, moved.like);
            text.push_str(&format!(", moved: {}, moved_to: {to}", begin(moved.period)));
        }
        match batch.leaving {
            Leaving::Bright(period) | Leaving::Direct(period) | Leaving::Dump(period) => {
                let _ = write!(text, ", period: {}", begin(period));
            }
            Leaving::Stays => {}
        }
        text
    });
    list(out, "  ", "batches", batches);
    let lots = outlook.lots.iter().map(|lot| {
        format!(
            "{}, beer: {}, volume: {}, count: {}, emptied: {}",
            source(lot.source),
            beer(case, lot.beer),
            lot.volume,
            count(lot.count),
            lot.emptied.map_or_else(|| words::NEVER.to_owned(), begin),
        )
    });
    list(out, "  ", "lots", lots);
    let packaging = outlook.packaging.iter().map(|packaging| {
        format!(
            "period: {}, beer: {}, format: {}, drawn: {}, packaged: {}",
            begin(packaging.period),
            beer(case, packaging.beer),
            format_name(case, packaging.format),
            packaging.drawn,
            packaging.packaged,
        )
    });
    list(out, "  ", "packaging", packaging);
    let pours = outlook.pours.iter().map(|pour| {
        format!("period: {}, beer: {}, volume: {}", begin(pour.period), beer(case, pour.beer), pour.volume)
    });
    if !outlook.pours.is_empty() {
        list(out, "  ", "pours", pours);
    }
    let uses = outlook.uses.iter().map(|item| {
        let of_what = match item.what {
            Used::BrewDay => String::new(),
            Used::LineShift(id) => format!(", line: {}", line_name(case, id)),
            Used::Run(id, of) => format!(", line: {}, beer: {}", line_name(case, id), beer(case, of)),
            Used::SecondTransfer(of) => format!(", beer: {}", beer(case, of)),
            Used::Clean(id) => format!(", like: {}", vessel(case, id)),
            Used::BoughtYeast(id) => format!(", yeast: {}", yeast_name(case, id)),
            Used::OvertimeMinutes(id) => format!(", crew: {}", crew(case, id)),
        };
        let what = words::used(item.what);
        format!("period: {}, what: {what}{of_what}, count: {}", begin(item.period), count(item.count))
    });
    list(out, "  ", "uses", uses);
}

fn part_turn(part: Option<Volume>) -> String {
    part.map_or_else(String::new, |part| format!(", part_turn: {part}"))
}

/// What is written of a full clean; a short one needs no word.
fn in_full(full: bool) -> &'static str {
    if full { ", full: yes" } else { "" }
}

fn work(case: &Case, work: Work) -> String {
    let what = match work {
        Work::Brew { beer: id, vessel: into, turns, part } => {
            let (of, into) = (beer(case, id), vessel(case, into));
            format!("beer: {of}, vessel: {into}, turns: {turns}{}", part_turn(part))
        }
        Work::Transfer { from, to, volume, full } => {
            let (from, to) = (vessel(case, from), vessel(case, to));
            format!("from: {from}, to: {to}, volume: {volume}{}", in_full(full))
        }
        Work::Package { line, format, vessel: from, volume } => format!(
            "line: {}, format: {}, vessel: {}, volume: {volume}",
            line_name(case, line),
            format_name(case, format),
            vessel(case, from),
        ),
        Work::Tank { beer: id, work, vessel: at } => {
            let name = case.beer(id).tank_work.get(work).map_or("", |work| &work.name);
            format!("beer: {}, work: {}, vessel: {}", beer(case, id), scalar(name), vessel(case, at))
        }
        Work::Wash { pool, kegs } => {
            format!("pool: {}, kegs: {kegs}", scalar(&case.kegs[pool.0].name))
        }
        Work::Pitch { vessel: into, yeast, from, pitches } => {
            let source = match from {
                PitchFrom::Bought => "source: bought".to_owned(),
                PitchFrom::Store(position) => format!("source: store, store: {}", position + 1),
                PitchFrom::Crop { vessel: cropped, day } => {
                    format!("source: crop, from: {}, cropped: {}", vessel(case, cropped), date(case, day))
                }
            };
            let (into, yeast) = (vessel(case, into), yeast_name(case, yeast));
            format!("vessel: {into}, yeast: {yeast}, pitches: {pitches}, {source}")
        }
        Work::Clean { vessel: id, full } => format!("vessel: {}{}", vessel(case, id), in_full(full)),
        Work::Sanitise { vessel: id }
        | Work::Carbonate { vessel: id }
        | Work::Crop { vessel: id }
        | Work::Dump { vessel: id } => format!("vessel: {}", vessel(case, id)),
    };
    format!("do: {}, {what}", words::work(work))
}

fn when(case: &Case, slot: Slot) -> String {
    let calendar = &case.calendar;
    let on = date(case, calendar.day(slot));
    if calendar.shifts.len() < 2 {
        return format!("on: {on}");
    }
    format!("on: {on}, shift: {}", scalar(&calendar.shifts[calendar.shift(slot)].name))
}

fn date(case: &Case, day: usize) -> String {
    case.calendar.date(i64::try_from(day).unwrap_or(i64::MAX)).to_string()
}

fn objective(case: &Case, value: i64) -> String {
    match case.aim {
        Aim::Orders => format!("{} in money", Money(value)),
        Aim::Output(_) => format!("{} hL", decimal(value, 7)),
    }
}

fn count(count: Count) -> String {
    let sign = if count.0 < 0 { "-" } else { "" };
    let size = count.0.unsigned_abs();
    format!("{sign}{}.{:06}", size / 1_000_000, size % 1_000_000)
}

fn beer(case: &Case, id: BeerId) -> String {
    scalar(&case.beer(id).name)
}

fn vessel(case: &Case, id: VesselId) -> String {
    scalar(&case.vessel(id).name)
}

fn line_name(case: &Case, id: LineId) -> String {
    scalar(&case.line(id).name)
}

fn yeast_name(case: &Case, id: YeastId) -> String {
    scalar(&case.yeast.strain(id).name)
}

fn format_name(case: &Case, id: FormatId) -> String {
    scalar(&case.format(id).name)
}

fn crew(case: &Case, id: CrewId) -> String {
    scalar(&case.crew(id).name)
}

fn line(out: &mut String, text: &str) {
    out.push_str(text);
    out.push('\n');
}

fn list(out: &mut String, indent: &str, key: &str, items: impl Iterator<Item = String>) {
    let mut items = items.peekable();
    if items.peek().is_none() {
        line(out, &format!("{indent}{key}: []"));
        return;
    }
    line(out, &format!("{indent}{key}:"));
    for item in items {
        line(out, &format!("{indent}  - {{{item}}}"));
    }
}

/// Text as a YAML scalar that stands in a flow mapping: plain where every YAML reader takes it for the same text,
/// otherwise in double quotes.
pub(super) fn scalar(text: &str) -> String {
    const TAKEN: [&str; 9] = ["true", "false", "yes", "no", "on", "off", "null", "y", "n"];
    let begins = text.chars().next().is_some_and(char::is_alphabetic);
    let ends = text.chars().last().is_some_and(char::is_alphanumeric);
    let plain = |character: char| character.is_alphanumeric() || " -_./".contains(character);
    if begins && ends && text.chars().all(plain) && !TAKEN.contains(&text.to_lowercase().as_str()) {
        return text.to_owned();
    }
    let mut quoted = String::from("\"");
    for character in text.chars() {
        match character {
            '"' => quoted.push_str("\\\""),
            '\\' => quoted.push_str("\\\\"),
            '\u{20}'..='\u{7e}' => quoted.push(character),
            _ if character.is_alphanumeric() => quoted.push(character),
            _ => {
                let _ = write!(quoted, "\\U{:08x}", u32::from(character));
            }
        }
    }
    quoted.push('"');
    quoted
}
