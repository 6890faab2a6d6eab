//! R02 fill level: every fill ends between `least` and `holds`.
//!
//! No rows: batches and lots are of fixed volumes, those that do not fit have no column.

use cellarwright_model::case::Vessel;
use cellarwright_model::rule::RuleId;
use cellarwright_model::units::Volume;

use crate::compile::context::Context;

/// Whether a volume may be filled into a vessel.
pub fn fits(context: &Context, vessel: &Vessel, volume: Volume) -> bool {
    !context.keeps(RuleId::FillLevel) || (vessel.least <= volume && volume <= vessel.holds)
}
