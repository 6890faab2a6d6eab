//! R07 direct: a fermenter may be carbonated and packaged from within two working cellar shifts; it stays occupied
//! through its last packaging.
//!
//! Formula: carbonating slot `c` is one of the last two working cellar slots with `c < f` and `start(c) + carbonate <= start(f)`
//! for the first packaging slot `f`; beer that is not forced has none. Rows: batches that begin direct packaging = fermenters packaged from.

use std::collections::BTreeMap;

use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::case::Beer;
use cellarwright_model::rule::RuleId;

use super::calendar;
use crate::compile::columns::{DirectLot, Leaving, Source};
use crate::compile::context::Context;
use crate::compile::program::Terms;

/// Working cellar slots in which a fermenter first packaged from in `first` may be carbonated, the latest first.
pub fn carbonating_slots(context: &Context, beer: &Beer, first: Slot) -> Vec<Slot> {
    let times = &context.case.calendar;
    let takes = context.case.carbonating_takes(beer);
    let mut found = Vec::new();
    for slot in (0..first.0).rev().map(Slot) {
        let is_early_enough =
            !context.keeps(RuleId::Direct) || times.start(slot) + takes <= times.start(first);
        if is_early_enough && calendar::works(context, Role::Cellar, slot) {
            found.push(slot);
        }
        if found.len() == 2 {
            break;
        }
    }
    found
}

/// Batches that leave by direct packaging become fermenters packaged from.
pub fn add(context: &mut Context) {
    let mut balance: BTreeMap<DirectLot, Terms> = BTreeMap::new();
    for ferment in &context.columns.ferments {
        if let Leaving::Direct { first, .. } = ferment.leaving {
            let lot = DirectLot { kind: ferment.kind, group: ferment.group, first };
            balance.entry(lot).or_default().push((ferment.column, 1.0));
        }
    }
    for hold in &context.columns.holds {
        if let Source::Direct(lot) = hold.source {
            balance.entry(lot).or_default().push((hold.column, -1.0));
        }
    }
    for terms in balance.into_values() {
        context.program.equal(RuleId::Direct, terms, 0.0);
    }
}
