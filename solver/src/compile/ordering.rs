//! Orders by least time of the changes, by trying every subset once.

use cellarwright_model::units::Minutes;

/// Things that are put in order so at most: the time doubles with each.
pub const MOST_ORDERED: usize = 14;

/// For each set and last of it: least time and the one before the last.
pub type Table = Vec<Vec<Option<(Minutes, usize)>>>;

/// Fills the table; `step` says what the next one takes after one that ends a set, where it may follow.
pub fn table(
    count: usize,
    may_start: impl Fn(usize) -> bool,
    step: impl Fn(usize, usize, usize) -> Option<Minutes>,
) -> Table {
    let mut best: Table = vec![vec![None; count]; 1 << count];
    for first in (0..count).filter(|&first| may_start(first)) {
        best[1 << first][first] = Some((Minutes::ZERO, first));
    }
    for set in 1..1_usize << count {
        for last in 0..count {
            let Some((so_far, _)) = best[set][last] else { continue };
            for next in (0..count).filter(|&next| set & (1 << next) == 0) {
                let Some(takes) = step(last, next, set) else { continue };
                let entry = &mut best[set | (1 << next)][next];
                if entry.is_none_or(|(known, _)| so_far + takes < known) {
                    *entry = Some((so_far + takes, last));
                }
            }
        }
    }
    best
}

/// Least time and an order that takes it; none if no order is allowed.
pub fn cheapest_order(
    count: usize,
    step: impl Fn(usize, usize, usize) -> Option<Minutes>,
) -> Option<(Minutes, Vec<usize>)> {
    if count == 0 {
        return Some((Minutes::ZERO, Vec::new()));
    }
    let best = table(count, |_| true, step);
    let mut set = (1_usize << count) - 1;
    let ends = (0..count).filter_map(|last| best[set][last].map(|(time, _)| (time, last)));
    let (time, mut last) = ends.min()?;
    let mut order = Vec::new();
    while set != 0 {
        order.push(last);
        let before = best[set][last].map_or(last, |(_, before)| before);
        set &= !(1 << last);
        last = before;
    }
    order.reverse();
    Some((time, order))
}
