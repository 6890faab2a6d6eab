//! Helpers of the whole-program tests: a brute force, seeded random cases, cases built by hand.

pub mod brute;
pub mod export;
pub mod generator;
pub mod python;
pub mod random;
pub mod referee;
pub mod scale;
pub mod small;
pub mod taps;
