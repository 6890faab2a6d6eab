//! The cheapest order of beers on a line in a shift, by trying every subset once.

use cellarwright_model::case::Line;
use cellarwright_model::ids::BeerId;
use cellarwright_model::units::Minutes;

use super::ordering;

/// A beer in an order, or any beer that no pair of the line names.
pub type Place = Option<BeerId>;

/// Clock time of the changes and the order of least changes; none if no order keeps "never after".
pub fn cheapest(line: &Line, places: &[Place], keeps_never_after: bool) -> Option<(Minutes, Vec<Place>)> {
    let count = places.len();
    let change = |from: usize, to: usize| match (places[from], places[to]) {
        (Some(from), Some(to)) => line.change(from, to),
        _ => line.change_beer,
    };
    let may_follow = |before: usize, next: usize| {
        !keeps_never_after
            || !(0..count).any(|other| {
                before & (1 << other) != 0
                    && line
                        .never_after
                        .iter()
                        .any(|pair| Some(pair.beer) == places[next] && Some(pair.after) == places[other])
            })
    };
    let step = |before: usize, next: usize, set: usize| may_follow(set, next).then(|| change(before, next));
    let (time, order) = ordering::cheapest_order(count, step)?;
    Some((time, order.into_iter().map(|place| places[place]).collect()))
}

/// Whether a beer costs more than the usual change if it is followed by another one, or must not be.
fn comes_after(line: &Line, beer: BeerId, other: BeerId) -> bool {
    let never = line.never_after.iter().any(|pair| (pair.after, pair.beer) == (beer, other));
    beer != other && (never || line.change(beer, other) > line.change_beer)
}

/// Whether no pair of a line takes less than the usual change.
pub fn has_no_quick_pair(line: &Line) -> bool {
    line.change_pairs.iter().all(|pair| pair.takes >= line.change_beer)
}

/// Beers in an order in which no change takes longer than the usual one and none is forbidden, whichever of them are left out;
/// none if there is no such order.
pub fn free_order(line: &Line, beers: &[BeerId]) -> Option<Vec<BeerId>> {
    let mut waiting = beers.to_vec();
    let mut order = Vec::new();
    while !waiting.is_empty() {
        let is_free = |beer: &BeerId| !waiting.iter().any(|&other| comes_after(line, *beer, other));
        let next = waiting.iter().position(is_free)?;
        order.push(waiting.remove(next));
    }
    Some(order)
}

#[cfg(test)]
mod tests {
    use super::*;
    use cellarwright_model::case::{ChangePair, NeverAfter};
    use cellarwright_model::testkit::line;

    fn beers(ids: &[usize]) -> Vec<Place> {
        ids.iter().map(|&id| Some(BeerId(id))).collect()
    }

    #[test]
    #[allow(clippy::unwrap_used, reason = "a test may fail loudly")]
    fn the_cheapest_order_is_found() {
        // By default 45 min. Worked by hand: 0 before 1 is dear, so 1 comes before 0; with a third the dear change is avoided at 20.
        let mut one = line("cans");
        one.change_pairs = vec![
            ChangePair { from: BeerId(0), to: BeerId(1), takes: Minutes(90) },
            ChangePair { from: BeerId(0), to: BeerId(2), takes: Minutes(20) },
        ];
        let (time, order) = cheapest(&one, &beers(&[0, 1]), true).unwrap();
        assert_eq!((time, order), (Minutes(45), beers(&[1, 0])));
        let (time, order) = cheapest(&one, &beers(&[0, 1, 2]), true).unwrap();
        assert_eq!(time, Minutes(65));
        assert!(order == beers(&[1, 0, 2]) || order == beers(&[0, 2, 1]), "{order:?}");
        one.never_after = vec![NeverAfter { beer: BeerId(0), after: BeerId(1) }];
        assert_eq!(cheapest(&one, &beers(&[0, 1]), true).unwrap().0, Minutes(90));
        assert_eq!(cheapest(&one, &[Some(BeerId(0)), Some(BeerId(1)), None], true).unwrap().0, Minutes(90));
        one.never_after.push(NeverAfter { beer: BeerId(1), after: BeerId(0) });
        assert_eq!(cheapest(&one, &beers(&[0, 1]), true), None);
        assert_eq!(cheapest(&one, &beers(&[0, 1]), false).unwrap().0, Minutes(45));
    }

    #[test]
    fn beers_that_are_dear_to_follow_come_last() {
        let pair = |from, to| ChangePair { from: BeerId(from), to: BeerId(to), takes: Minutes(90) };
        let all: Vec<BeerId> = (0..4).map(BeerId).collect();
        let mut one = line("cans");
        one.change_pairs = vec![pair(0, 1), pair(0, 2), pair(2, 1)];
        one.never_after = vec![NeverAfter { beer: BeerId(3), after: BeerId(2) }];
        let order = [1, 3, 2, 0].map(BeerId).to_vec();
        assert_eq!(free_order(&one, &all), Some(order));
        // Nut beer last or first, one of its changes is dear.
        one.change_pairs.push(pair(1, 0));
        assert_eq!(free_order(&one, &all), None);
        assert_eq!(free_order(&one, &all[1..]), Some([1, 3, 2].map(BeerId).to_vec()));
    }
}
