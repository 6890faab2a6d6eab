//! R16 pinned: a vessel to be left alone is left alone.
//!
//! No rows: it is away like in an outage (`outage`), so no column does anything with it.

use cellarwright_model::rule::RuleId;

use crate::compile::context::Context;

/// Whether vessels to be left alone are left alone.
pub fn leaves_alone(context: &Context) -> bool {
    context.keeps(RuleId::Pinned)
}
