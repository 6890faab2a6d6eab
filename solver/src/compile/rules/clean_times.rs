//! For which cleans and fills there is time in one slot, and how long a clean vessel stays clean.

use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::case::{Turnaround, Vessel};
use cellarwright_model::units::Minutes;

use super::{calendar, filter};
use crate::compile::context::{Context, KindId};
use crate::compile::grid::PeriodId;

/// Whether a vessel can be cleaned in a slot.
pub fn may_clean(context: &Context, vessel: &Vessel, slot: Slot) -> bool {
    calendar::works(context, Role::Cellar, slot) && vessel.clean.takes <= context.case.shift_hours(slot)
}

/// Whether a vessel emptied by a transfer of some clock time may be cleaned in the same slot.
pub fn may_clean_at_once(context: &Context, vessel: &Vessel, slot: Slot, emptying: Minutes) -> bool {
    vessel.clean_after == Turnaround::SameShift
        && emptying + vessel.clean.takes <= context.case.shift_hours(slot)
}

/// How a vessel is filled.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fill {
    /// With wort.
    Brew,
    /// By a transfer: it conditions, or is used as a bright tank.
    Transfer,
}

impl Fill {
    /// Both, in their fixed order.
    pub const ALL: [Self; 2] = [Self::Brew, Self::Transfer];

    /// Whether a vessel is ever filled so.
    pub(super) fn is_of(self, vessel: &Vessel) -> bool {
        match self {
            Self::Brew => vessel.uses.ferment,
            Self::Transfer => vessel.uses.bright || vessel.uses.condition,
        }
    }

    /// Clock time, purging included.
    fn takes(self, context: &Context, vessel: &Vessel) -> Minutes {
        match self {
            Self::Brew => context.case.brewhouse.next_turn.takes,
            Self::Transfer => vessel.purge.job.takes + filter::longest_filling(context, vessel, 1),
        }
    }
}

/// Whether a vessel may be filled so in the slot in which it is cleaned.
pub fn may_fill_at_once(context: &Context, vessel: &Vessel, fill: Fill, slot: Slot) -> bool {
    vessel.clean.takes + fill.takes(context, vessel) <= context.case.shift_hours(slot)
}

/// Whether a vessel may be emptied by a transfer of some clock time, cleaned and filled so in one slot. A vessel of several uses
/// is not filled by a transfer then: two of them could be filled from each other.
pub fn may_turn_around_at_once(
    context: &Context,
    vessel: &Vessel,
    fill: Fill,
    slot: Slot,
    emptying: Minutes,
) -> bool {
    let uses = [vessel.uses.ferment, vessel.uses.condition, vessel.uses.bright];
    let has_one_use = uses.into_iter().filter(|&used| used).count() == 1;
    let chain = emptying + vessel.clean.takes + fill.takes(context, vessel);
    (fill == Fill::Brew || has_one_use)
        && may_clean_at_once(context, vessel, slot, emptying)
        && chain <= context.case.shift_hours(slot)
}

/// Whether a vessel cleaned in `cleaned` (none: before day 0) is still clean at `filled`, and later than or equal to it.
pub fn is_fresh(context: &Context, vessel: &Vessel, cleaned: Option<PeriodId>, filled: PeriodId) -> bool {
    let times = &context.case.calendar;
    match cleaned {
        None => times.start(Slot(filled)) <= times.start(Slot(0)),
        Some(cleaned) if cleaned == filled => Fill::ALL
            .into_iter()
            .any(|fill| fill.is_of(vessel) && may_fill_at_once(context, vessel, fill, Slot(filled))),
        Some(cleaned) => {
            let stood = times.start(Slot(filled)) - times.start(Slot(cleaned));
            cleaned < filled && stood <= context.case.cleaning.stays_clean
        }
    }
}

/// Whether a vessel cleaned in `cleaned` has been clean for too long at `filled`.
pub(super) fn is_stale(context: &Context, cleaned: Option<PeriodId>, filled: PeriodId) -> bool {
    let times = &context.case.calendar;
    match cleaned {
        None => times.start(Slot(filled)) > times.start(Slot(0)),
        Some(cleaned) => {
            times.start(Slot(filled)) - times.start(Slot(cleaned)) > context.case.cleaning.stays_clean
        }
    }
}

/// Clock time of the transfer that empties the fermenter of a batch; through a filter, of the whole batch.
pub fn emptying_takes(context: &Context, kind: KindId) -> Minutes {
    let kind = context.kind(kind);
    context.case.transfer_takes(context.case.beer(kind.beer), kind.tank_volume)
}
