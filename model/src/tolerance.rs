//! Tolerances, all in one place.

use crate::units::{Minutes, Volume};

/// A resource of time may be exceeded by so much (rounding of volumes to whole millilitres).
pub const TIME: Minutes = Minutes(1);
/// A volume may be off by so much where parts are rounded to whole millilitres.
pub const VOLUME: Volume = Volume(20);
/// Feasibility and integrality in the program.
pub const FEASIBILITY: f64 = 1e-6;
/// Relative agreement between the objective of the solver and that of the checker.
pub const OBJECTIVE: f64 = 1e-5;
