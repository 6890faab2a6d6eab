//! Orders of formats on a line in a shift, for lines with changes of format by pair, by trying every subset once.

use cellarwright_model::case::Line;
use cellarwright_model::ids::{BeerId, FormatId};
use cellarwright_model::units::Minutes;

use super::ordering;

/// A beer in a format.
pub type Filling = (BeerId, FormatId);

/// Clock time of the change between two fillings; none where it is never made and the rule is kept.
fn change(line: &Line, before: Filling, next: Filling, keeps: bool) -> Option<Minutes> {
    let by_beer = (before.0 != next.0).then(|| line.change(before.0, next.0));
    from_to(line, by_beer, before.1, next.1, keeps)
}

/// The same, by the time that the change of beer takes, where there is one.
pub fn from_to(
    line: &Line,
    by_beer: Option<Minutes>,
    before: FormatId,
    next: FormatId,
    keeps: bool,
) -> Option<Minutes> {
    let by_pair = match line.format_pair(before, next) {
        Some(pair) if keeps => Some(pair.takes?),
        Some(pair) => pair.takes,
        None => None,
    };
    Some(match by_beer {
        Some(by_beer) => by_beer.max(by_pair.unwrap_or(Minutes::ZERO)),
        None if before == next => Minutes::ZERO,
        None => by_pair.unwrap_or(line.change_format),
    })
}

/// Least clock time of the changes of one beer from its first format to its last by way of all others; none if there is no way.
pub fn cheapest_between(
    line: &Line,
    formats: &[FormatId],
    first: usize,
    last: usize,
    keeps: bool,
) -> Option<Minutes> {
    let whole = (1_usize << formats.len()) - 1;
    let may_start = |at: usize| at == first && (first != last || formats.len() == 1);
    let step = |before: usize, next: usize, set: usize| {
        let is_too_early = next == last && set | (1 << next) != whole;
        if is_too_early { None } else { from_to(line, None, formats[before], formats[next], keeps) }
    };
    let best = ordering::table(formats.len(), may_start, step);
    best[whole][last].map(|(time, _)| time)
}

/// The order of least changes in which every beer runs in one piece; none if no order keeps what is never done.
pub fn cheapest_order(line: &Line, fillings: &[Filling], keeps: bool) -> Option<Vec<Filling>> {
    let count = fillings.len();
    let is_done = |set: usize, beer: BeerId| {
        (0..count).all(|other| fillings[other].0 != beer || set & (1 << other) != 0)
    };
    let step = |before: usize, next: usize, set: usize| {
        let (one, other) = (fillings[before], fillings[next]);
        let forbidden = |place: usize| {
            let after = fillings[place].0;
            line.never_after.iter().any(|pair| (pair.beer, pair.after) == (other.0, after))
        };
        if one.0 != other.0
            && (!is_done(set, one.0)
                || keeps && (0..count).any(|place| set & (1 << place) != 0 && forbidden(place)))
        {
            return None;
        }
        change(line, one, other, keeps)
    };
    let (_, order) = ordering::cheapest_order(count, step)?;
    Some(order.into_iter().map(|place| fillings[place]).collect())
}

#[cfg(test)]
mod tests {
    use cellarwright_model::case::{FormatPair, NeverAfter};
    use cellarwright_model::testkit::line;

    use super::*;

    const PALE: BeerId = BeerId(0);
    const DARK: BeerId = BeerId(1);
    const CAN: FormatId = FormatId(0);
    const TRAY: FormatId = FormatId(1);
    const KEG: FormatId = FormatId(2);

    /// Changes of beer 45 min, of format 15; can to tray 60, tray to keg never, keg to can 5.
    fn by_pair() -> Line {
        let mut one = line("cans");
        let pair = |from, to, takes| FormatPair { from, to, takes };
        one.format_pairs =
            vec![pair(CAN, TRAY, Some(Minutes(60))), pair(TRAY, KEG, None), pair(KEG, CAN, Some(Minutes(5)))];
        one
    }

    #[test]
    fn a_beer_goes_through_its_formats_the_cheapest_way() {
        let line = by_pair();
        let all = [CAN, TRAY, KEG];
        // By hand: tray, can, keg 15 + 15; keg, can, tray 5 + 60; can, keg, tray 15 + 15; tray, keg, can is never done.
        assert_eq!(cheapest_between(&line, &all, 1, 2, true), Some(Minutes(30)));
        assert_eq!(cheapest_between(&line, &all, 2, 1, true), Some(Minutes(65)));
        assert_eq!(cheapest_between(&line, &all, 0, 1, true), Some(Minutes(30)));
        assert_eq!(cheapest_between(&line, &all, 1, 0, true), None);
        assert_eq!(cheapest_between(&line, &all, 1, 0, false), Some(Minutes(20)));
        assert_eq!(cheapest_between(&line, &[CAN], 0, 0, true), Some(Minutes::ZERO));
        assert_eq!(cheapest_between(&line, &all, 0, 0, true), None);
    }

    #[test]
    fn beers_run_in_one_piece_in_the_cheapest_order() {
        let mut line = by_pair();
        let two = [(PALE, CAN), (PALE, TRAY), (DARK, TRAY)];
        // Dark trays, pale trays, pale cans: 45 + 15; or pale trays, pale cans, dark trays: 15 + 60.
        assert_eq!(cheapest_order(&line, &two, true), Some(vec![(DARK, TRAY), (PALE, TRAY), (PALE, CAN)]));
        line.never_after = vec![NeverAfter { beer: PALE, after: DARK }];
        // Now pale comes first: cans, trays, dark trays 60 + 45, or trays, cans, dark trays 15 + 60.
        assert_eq!(cheapest_order(&line, &two, true), Some(vec![(PALE, TRAY), (PALE, CAN), (DARK, TRAY)]));
        line.format_pairs.push(FormatPair { from: TRAY, to: CAN, takes: None });
        assert_eq!(cheapest_order(&line, &two, true), Some(vec![(PALE, CAN), (PALE, TRAY), (DARK, TRAY)]));
        line.format_pairs[0].takes = None;
        assert_eq!(cheapest_order(&line, &two, true), None);
        assert_eq!(cheapest_order(&line, &[], true), Some(Vec::new()));
    }
}
