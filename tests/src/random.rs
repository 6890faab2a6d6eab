//! Pseudo-random numbers with a fixed sequence for every seed (`SplitMix64`, Steele, Lea and Flood 2014, from memory).

/// A generator.
#[derive(Clone, Copy, Debug)]
pub struct Random(u64);

impl Random {
    /// The sequence of a seed.
    #[must_use]
    pub fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15))
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        mixed ^ (mixed >> 31)
    }

    /// A whole number from `least` to `most`, both included.
    pub fn between(&mut self, least: i64, most: i64) -> i64 {
        let span = (most - least + 1).max(1) as u64;
        least + (self.next() % span) as i64
    }

    /// True in so many of a hundred draws.
    pub fn percent(&mut self, percent: i64) -> bool {
        self.between(1, 100) <= percent
    }

    /// One of some values.
    pub fn one_of<T: Copy>(&mut self, values: &[T]) -> T {
        values[self.between(0, values.len() as i64 - 1) as usize]
    }
}
