//! From a case to a mixed-integer program.
//!
//! Columns first (`columns/`), then rows rule by rule (`rules/`), then the objective. Times in hours, volumes in hectolitres.

pub mod columns;
pub mod context;
pub mod earlier;
pub mod format_sequence;
pub mod grid;
pub mod groups;
pub mod objective;
pub mod ordering;
pub mod program;
pub mod rules;
pub mod sequence;
pub mod taproom;
pub mod without;

use cellarwright_model::case::Case;

use context::Context;
use without::Without;

/// Compiles a case, leaving out what is named (nothing for a plan).
pub fn compile<'a>(case: &'a Case, without: &Without) -> Context<'a> {
    let mut context = Context::new(case, without.clone());
    add_columns_and_rows(&mut context);
    objective::add(&mut context);
    taproom::value(&mut context);
    earlier::add(&mut context);
    let Context { program, without, .. } = &mut context;
    program.leave_out(without);
    context
}

/// Compiles a case in which a cycle repeats: without what is left, delivered and valued when the horizon ends.
pub fn compile_repeating<'a>(case: &'a Case, without: &Without) -> Context<'a> {
    let mut context = Context::new(case, without.clone());
    context.repeats = true;
    add_columns_and_rows(&mut context);
    objective::add_costs(&mut context);
    taproom::value(&mut context);
    context
}

fn add_columns_and_rows(context: &mut Context) {
    columns::fermenting::kinds(context);
    columns::fermenting::add(context);
    columns::moving::add(context);
    columns::holding::add(context);
    columns::filtering::add(context);
    columns::packaging::add(context);
    rules::early::add_columns(context);
    columns::formats::add(context);
    columns::sequences::add(context);
    rules::tank_work::add_columns(context);
    columns::kegs::add(context);
    columns::serving::add(context);
    rules::yeast::add_columns(context);
    columns::resources::add(context);
    rules::full_clean::add_columns(context);
    rules::add_rows(context);
}
