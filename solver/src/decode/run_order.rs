//! In which order a line runs its beers and formats in a shift.

use cellarwright_model::case::Line;
use cellarwright_model::ids::{BeerId, FormatId};
use cellarwright_model::rule::RuleId;

use crate::compile::context::Context;
use crate::compile::format_sequence::{self, Filling};
use crate::compile::ordering::MOST_ORDERED;
use crate::compile::sequence::{Place, cheapest, free_order, has_no_quick_pair};

/// A beer with what each of its formats draws.
type Run = (BeerId, Vec<(FormatId, i64)>);

/// Runs in the order of least changes that keeps the line's rules.
pub fn in_order(context: &Context, line: &Line, mut runs: Vec<Run>) -> Vec<Run> {
    let order = if line.format_pairs.is_empty() { None } else { by_format(context, line, &runs) };
    if let Some(order) = order {
        let place = |beer: BeerId, format: FormatId| order.iter().position(|&one| one == (beer, format));
        for (beer, quotas) in &mut runs {
            quotas.sort_by_key(|&(format, _)| place(*beer, format));
        }
        runs.sort_by_key(|(beer, _)| order.iter().position(|one| one.0 == *beer));
    } else {
        let beers: Vec<BeerId> = runs.iter().map(|run| run.0).collect();
        let order = in_best_order(context, line, &beers);
        runs.sort_by_key(|(beer, _)| order.iter().position(|one| one == beer));
    }
    runs
}

fn by_format(context: &Context, line: &Line, runs: &[Run]) -> Option<Vec<Filling>> {
    let fillings: Vec<Filling> =
        runs.iter().flat_map(|(beer, quotas)| quotas.iter().map(|quota| (*beer, quota.0))).collect();
    if fillings.len() > MOST_ORDERED {
        return None;
    }
    format_sequence::cheapest_order(line, &fillings, context.keeps(RuleId::Line))
}

/// Beers in the order of least changes that keeps the line's "never after"; otherwise by their ids.
fn in_best_order(context: &Context, line: &Line, beers: &[BeerId]) -> Vec<BeerId> {
    if line.change_pairs.is_empty() {
        return in_allowed_order(line, beers);
    }
    if let Some(order) = free_order(line, beers).filter(|_| has_no_quick_pair(line)) {
        return order;
    }
    if beers.len() > MOST_ORDERED {
        return in_allowed_order(line, beers);
    }
    let places: Vec<Place> = beers.iter().copied().map(Some).collect();
    let order = cheapest(line, &places, context.keeps(RuleId::Line)).map(|(_, order)| order);
    order.map_or_else(|| in_allowed_order(line, beers), |order| order.into_iter().flatten().collect())
}

/// Beers in an order that keeps the line's "never after", otherwise by their ids.
fn in_allowed_order(line: &Line, beers: &[BeerId]) -> Vec<BeerId> {
    let mut waiting = beers.to_vec();
    let mut order = Vec::new();
    while !waiting.is_empty() {
        // A beer may come next if no beer still waiting must not run after it.
        let next = waiting.iter().position(|&beer| {
            !line
                .never_after
                .iter()
                .any(|pair| pair.after == beer && pair.beer != beer && waiting.contains(&pair.beer))
        });
        order.push(waiting.remove(next.unwrap_or(0)));
    }
    order
}
