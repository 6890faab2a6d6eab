//! R14 start: what is in tank on day 0 stays what it is.
//!
//! Rows: every opening batch leaves in exactly one way (or stays). Opening bright lots likewise: their row is written with
//! the other lots in `volume`, opening counts of clean and dirty vessels with `clean`.

use std::collections::BTreeMap;

use cellarwright_model::rule::RuleId;

use crate::compile::context::{Context, KindId, Origin};
use crate::compile::program::Terms;

/// Writes the rows of the rule.
pub fn add(context: &mut Context) {
    let mut ways: BTreeMap<KindId, Terms> = BTreeMap::new();
    for ferment in &context.columns.ferments {
        if let Origin::Opening { .. } = context.kind(ferment.kind).origin {
            ways.entry(ferment.kind).or_default().push((ferment.column, 1.0));
        }
    }
    for terms in ways.into_values() {
        context.program.equal(RuleId::Start, terms, 1.0);
    }
}
