//! From a case to a mixed-integer program.
//!
//! Columns first (`columns/`), then rows rule by rule (`rules/`), then the objective. Times in hours, volumes in hectolitres.

pub mod columns;
pub mod context;
pub mod format_sequence;
pub mod grid;
pub mod groups;
pub mod objective;
pub mod ordering;
pub mod program;
pub mod rules;
pub mod sequence;
pub mod taproom;

use std::collections::BTreeSet;

use cellarwright_model::case::Case;
use cellarwright_model::rule::RuleId;

use context::Context;

/// Compiles a case, leaving out the rules that are named (none for a plan).
pub fn compile<'a>(case: &'a Case, without: &BTreeSet<RuleId>) -> Context<'a> {
    let mut context = Context::new(case, without.clone());
    columns::fermenting::kinds(&mut context);
    columns::fermenting::add(&mut context);
    columns::moving::add(&mut context);
    columns::holding::add(&mut context);
    columns::filtering::add(&mut context);
    columns::packaging::add(&mut context);
    columns::formats::add(&mut context);
    columns::sequences::add(&mut context);
    rules::tank_work::add_columns(&mut context);
    columns::kegs::add(&mut context);
    columns::serving::add(&mut context);
    rules::yeast::add_columns(&mut context);
    columns::resources::add(&mut context);
    rules::full_clean::add_columns(&mut context);
    rules::add_rows(&mut context);
    objective::add(&mut context);
    taproom::value(&mut context);
    context
}
