//! R21 use: a vessel serves only the uses it lists, a beer leaves only by the routes it lists.
//!
//! No rows: other pairs have no column.

use cellarwright_model::case::{Beer, Vessel};
use cellarwright_model::rule::RuleId;

use crate::compile::context::Context;

/// Whether wort may be filled into a vessel.
pub fn may_ferment(vessel: &Vessel) -> bool {
    vessel.uses.ferment
}

/// Whether a beer may be packaged straight from a fermenter.
pub fn may_package_from(context: &Context, beer: &Beer, vessel: &Vessel) -> bool {
    !context.keeps(RuleId::Use) || (beer.direct && vessel.uses.package)
}

/// Whether a beer may be moved into a vessel to be packaged from there.
pub fn may_be_bright(beer: &Beer, vessel: &Vessel) -> bool {
    beer.bright && vessel.uses.bright
}
