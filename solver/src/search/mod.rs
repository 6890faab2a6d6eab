//! The search of a program: HiGHS as it is for small programs, towards a goal (`goal`) for large ones.

mod by_days;
mod goal;
mod known;
pub mod relax_and_fix;
mod thinned;

use crate::answer::{NO_BOUND, NoObserver, Observer, Options};
use crate::compile::context::Context;
use crate::compile::program::Program;
use crate::highs::{self, HighsError, Solved};
use by_days::ByDays;
use goal::Learnt;

/// Nonzeros from which a goal pays. Measured: see DEVELOPERS.md.
const LEAST_NONZEROS: usize = 30_000;
/// Nonzeros from which a plan worth a goal is seldom found in time: plans are made by days alone, which leaves a thread to others.
pub const TOO_MANY_NONZEROS: usize = 60_000;
/// Gap from which a goal pays: nearer to the best, a goal can hardly be guessed.
const LEAST_GAP: f64 = 0.001;
/// Gap up to which a goal pays: further from the best any plan will do.
const MOST_GAP: f64 = 0.5;

/// Searches programs one after another, each of which is the one before with more rows, and columns that only these name.
pub struct Searches {
    /// The days of the first program, where a plan can be made day by day.
    by_days: Option<ByDays>,
    learnt: Option<Learnt>,
    /// A point that is known of the first program.
    known: Option<Vec<f64>>,
}

impl Searches {
    /// Of a first program. Where a point of it is known, what is left to do is to find a better one, or to prove that there is none.
    pub fn of(context: &Context, known: Option<Vec<f64>>) -> Self {
        let is_small = context.program.size().nonzeros < LEAST_NONZEROS;
        let by_days = if is_small { None } else { ByDays::new(context) };
        Self { by_days, learnt: None, known }
    }

    /// Solves a program to a gap.
    ///
    /// # Errors
    /// If HiGHS fails or says that there is no solution.
    pub fn solve(
        &mut self,
        program: &Program,
        options: &Options,
        scale: f64,
        observer: &dyn Observer,
    ) -> Result<Solved, HighsError> {
        if program.size().nonzeros < LEAST_NONZEROS || !(LEAST_GAP..=MOST_GAP).contains(&options.gap) {
            return highs::solve(program, options, scale, observer);
        }
        let (learnt, by_days) = (&mut self.learnt, self.by_days.as_ref());
        goal::solve(program, learnt, self.known.take(), by_days, options, scale, observer)
    }
}

/// The best of a program in fractions, in units of the objective, rounded up; none if there was no time for it.
///
/// # Errors
/// If HiGHS fails.
pub fn relaxed(program: &Program, options: &Options, to_units: f64) -> Result<Option<i64>, HighsError> {
    let solved = highs::solve(&program.relaxed(), options, to_units, &NoObserver)?;
    // A plan keeps the rows to a tolerance, and its items are rounded to the cent: a millionth is more than that can be worth.
    let best = solved.bound * to_units;
    Ok(Some((best + 1e-6 * best.abs()).ceil() as i64)
        .filter(|_| best.is_finite() && best.abs() < NO_BOUND as f64))
}
