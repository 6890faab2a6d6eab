//! Why an order is short.

use crate::render::numbers::{UnitSystem, volume_of};
use crate::render::view::{OrderRow, Reason};

/// The nearest reason in a sentence.
#[must_use]
pub fn reason(order: &OrderRow, reason: &Reason, units: UnitSystem) -> String {
    let beer = &order.beer;
    let due = &order.due_label;
    match reason {
        Reason::NoDeliveryBefore { first } => {
            format!("nothing packaged in this plan can be delivered before {}", short(first))
        }
        Reason::NotBrewedInTime { ready } => {
            format!("no {beer} in tank; brewed on the first brewing day it is ready on {}", short(ready))
        }
        Reason::ReadyLater { packaged_from, needed, vessel } => format!(
            "the earliest {beer} ({vessel}) can be packaged from {}; {} was the last day for it",
            short(packaged_from),
            short(needed)
        ),
        Reason::LineFull { line, from, to } => {
            format!("line {line} or its people had no time left {}", span(from, to))
        }
        Reason::LineNotThere { line, from, to } => {
            format!("line {line} does not come {}", span(from, to))
        }
        Reason::NoCleanKegs { kegs, from, to } => {
            format!("no clean {kegs} were left {}", span(from, to))
        }
        Reason::KegWasherFull { kegs, from, to } => format!(
            "no clean {kegs} were left {}, and the keg washer or its people had no time left for dirty ones",
            span(from, to)
        ),
        Reason::MaterialUsedUp { material, from, to } => {
            format!("{material} were used up {}, and no more can be had", span(from, to))
        }
        Reason::NoFurtherOrder { material } => {
            format!("{material} were used up, and ordering more is not worth it in this plan")
        }
        Reason::WarmStoreFull { from, to } => format!("the warm store was full {}", span(from, to)),
        Reason::ColdStoreFull { on } => format!("the cold store was full in the night of {}", short(on)),
        Reason::BrightTanksFull { from, to } => {
            format!("every bright tank was in use {}", span(from, to))
        }
        Reason::OtherOrders { volume_hl } => {
            format!("{} of it went to other orders by then", volume_of(units, *volume_hl))
        }
        Reason::FilterFull { filter, from, to } => {
            format!("{filter} had no time left {}", span(from, to))
        }
        Reason::NoPitch { yeast, from, to } => {
            format!(
                "brewhouse and a fermenter were free for a batch, but no pitch of {yeast} {}",
                span(from, to)
            )
        }
        Reason::AllThereWas { volume_hl } => {
            format!("all {} of it that was there by then went to this order", volume_of(units, *volume_hl))
        }
        Reason::WholeOrNothing { volume_hl } => {
            format!(
                "it is delivered whole or not at all, and only {} of it was left by then",
                volume_of(units, *volume_hl)
            )
        }
        Reason::TooOld { volume_hl, days } => format!(
            "the {} of it that was left by then was packaged more than {days} days before",
            volume_of(units, *volume_hl)
        ),
        Reason::OtherFormats { volume_hl } => {
            format!(
                "the {beer} ready by then was packaged in other formats ({})",
                volume_of(units, *volume_hl)
            )
        }
        Reason::WorthMore => {
            "beer and line were there by then; in this plan other work is worth more".to_owned()
        }
        Reason::LookAhead => {
            format!("the look-ahead counts on no more of it by {due} (coarse: not a promise)")
        }
        Reason::NotAimed => "the plan aims at output; orders do not count".to_owned(),
    }
}

fn span(from: &str, to: &str) -> String {
    if from == to { format!("on {}", short(from)) } else { format!("from {} to {}", short(from), short(to)) }
}

/// `Mon 7 Dec` of `2026-12-07`.
fn short(date: &str) -> String {
    let day: Result<jiff::civil::Date, _> = date.parse();
    day.map_or_else(|_| date.to_owned(), |day| day.strftime("%a %-d %b").to_string())
}
