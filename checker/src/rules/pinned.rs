//! R16: a vessel to be left alone is left alone.

use cellarwright_model::rule::RuleId;

use super::{Breaches, outage};
use crate::ledger::Ledger;

/// Work with vessels that are to be left alone.
pub fn check(ledger: &Ledger, breaches: &mut Breaches) {
    outage::check_of(ledger, RuleId::Pinned, breaches);
}
