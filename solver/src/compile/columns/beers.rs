//! Which beer the columns are about.

use cellarwright_model::ids::BeerId;

use super::super::context::Context;
use super::super::program::ColumnId;
use super::super::rules::volume::beer_of;

/// The beer whose batches and lots each column counts, by its position; none for what all beers share.
pub fn of_batches(context: &Context) -> Vec<Option<BeerId>> {
    let mut beers = vec![None; context.program.columns.len()];
    let mut give = |column: ColumnId, beer: BeerId| beers[column.0] = Some(beer);
    let columns = &context.columns;
    let of = |kind| context.kind(kind).beer;
    columns.brews.iter().for_each(|brew| give(brew.column, of(brew.kind)));
    columns.ferments.iter().for_each(|ferment| give(ferment.column, of(ferment.kind)));
    columns.tank_ways.iter().for_each(|way| give(way.column, of(way.kind)));
    columns.movements.iter().for_each(|movement| give(movement.column, of(movement.kind)));
    columns.blends.iter().for_each(|blend| give(blend.column, blend.lot.beer));
    columns.holds.iter().for_each(|hold| give(hold.column, beer_of(context, hold.source)));
    beers
}

/// The same with fills of tanks that are only poured from, and with what lines and filters do.
pub fn of_all(context: &Context) -> Vec<Option<BeerId>> {
    let mut beers = of_batches(context);
    let mut give = |column: ColumnId, beer: BeerId| beers[column.0] = Some(beer);
    let columns = &context.columns;
    columns.serve_fills.iter().for_each(|fill| give(fill.filled, fill.to.beer));
    columns.runs.iter().for_each(|(&(beer, ..), &column)| give(column, beer));
    let formats = columns.format_runs.iter().chain(&columns.kegs);
    formats.for_each(|(&(beer, ..), &column)| give(column, beer));
    columns.filter_runs.iter().for_each(|(&(beer, _), &column)| give(column, beer));
    beers
}

/// Each pair of beers once: neighbours first, those that lie far apart later.
pub fn pairs(beers: &[BeerId]) -> Vec<Vec<BeerId>> {
    let mut pairs = Vec::new();
    for apart in 1..beers.len() {
        pairs.extend(beers.iter().zip(&beers[apart..]).map(|(&one, &other)| vec![one, other]));
    }
    pairs
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_pair_comes_once_and_neighbours_first() {
        let beers: Vec<BeerId> = (0..4).map(BeerId).collect();
        let places: Vec<Vec<usize>> =
            pairs(&beers).iter().map(|pair| pair.iter().map(|beer| beer.0).collect()).collect();
        assert_eq!(places, [[0, 1], [1, 2], [2, 3], [0, 2], [1, 3], [0, 3]]);
        assert!(pairs(&beers[..1]).is_empty() && pairs(&[]).is_empty());
    }
}
