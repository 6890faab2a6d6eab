//! Draws that depend on nothing but the seed and on what is drawn for: whichever thread asks, and in whichever order.

/// A number from 0 to 999 999 for a draw, drawn evenly.
///
/// The mixing is that of SplitMix64 (constants from memory).
#[must_use]
pub fn millionths(seed: u64, what: [u64; 4]) -> i64 {
    let mixed = what.into_iter().fold(seed, |state, part| {
        let mut state = state.wrapping_add(part).wrapping_add(0x9e37_79b9_7f4a_7c15);
        state = (state ^ (state >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        state = (state ^ (state >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        state ^ (state >> 31)
    });
    (mixed % 1_000_000) as i64
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn draws_are_even_and_repeat() {
        let all: Vec<i64> = (0..10_000).map(|draw| millionths(7, [draw, 1, 2, 3])).collect();
        let again: Vec<i64> = (0..10_000).map(|draw| millionths(7, [draw, 1, 2, 3])).collect();
        assert_eq!(all, again);
        // Each tenth of the range gets a tenth of ten thousand, give or take five standard deviations (30 each).
        for tenth in 0..10 {
            let range = tenth * 100_000..(tenth + 1) * 100_000;
            let count = all.iter().filter(|one| range.contains(*one)).count();
            assert!((850..=1_150).contains(&count), "{tenth}: {count}");
        }
        assert_ne!(all, (0..10_000).map(|draw| millionths(8, [draw, 1, 2, 3])).collect::<Vec<_>>());
    }
}
