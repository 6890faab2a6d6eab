//! The least that must be done: where something is pinned or a vessel must be empty, a program in which no beer is brewed that no pin
//! names. It is small, and its first plan is taken.

use std::collections::BTreeSet;

use cellarwright_checker::Report;
use cellarwright_model::case::{Case, PinnedWork};
use cellarwright_model::ids::BeerId;
use cellarwright_model::plan::Plan;

use crate::answer::{ANY_GAP, NoObserver, Options};
use crate::compile::context::{Context, Origin};
use crate::solve::search_for;

/// Clock time for it, even where the time asked for is over: without it there is no plan at all.
const SECONDS: f64 = 20.0;

/// A plan that keeps what is pinned and settled, if one is found: with the beers of the pins alone, else of the whole program.
pub fn least(context: &mut Context, to_units: f64) -> Option<(Plan, Report)> {
    let whole = context.program.clone();
    leave_out(context);
    let small = any(context, to_units);
    context.program = whole;
    small.or_else(|| any(context, to_units))
}

/// Any plan that keeps the rules, if one is found.
fn any(context: &mut Context, to_units: f64) -> Option<(Plan, Report)> {
    let options = Options { seconds: SECONDS, gap: ANY_GAP, threads: 1, seed: 0 };
    let found = search_for(context, &options, to_units, &NoObserver).ok()?.best;
    found.filter(|(_, report)| report.violations.is_empty())
}

/// Beers that a pin names.
fn pinned(case: &Case) -> BTreeSet<BeerId> {
    let beers = case.fixed.pins.iter().filter_map(|pin| match pin.work {
        PinnedWork::Brew { beer, .. }
        | PinnedWork::Transfer { beer, .. }
        | PinnedWork::Tank { beer, .. }
        | PinnedWork::Package { beer, .. } => Some(beer),
        PinnedWork::Crop { .. } | PinnedWork::Clean { .. } | PinnedWork::Dump { .. } => None,
    });
    beers.collect()
}

/// Batches of no pinned beer, and of the look-ahead, are not brewed.
fn leave_out(context: &mut Context) {
    let pinned = pinned(context.case);
    for ferment in &context.columns.ferments {
        let kind = &context.kinds[ferment.kind.0];
        let is_ahead = ferment.filled.is_some_and(|period| !context.grid.is_fine(period));
        if matches!(kind.origin, Origin::New { .. }) && (is_ahead || !pinned.contains(&kind.beer)) {
            let column = &mut context.program.columns[ferment.column.0];
            column.upper = column.lower;
        }
    }
}
