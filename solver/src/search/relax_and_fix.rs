//! A plan out of the relaxation (relax and fix): the whole numbers of some periods are decided while all later ones may be fractions, then they
//! are kept and those of the next periods are decided, to the end.
//!
//! Batches and lots that the relaxation leaves out and that would cost it much are left out.

use crate::compile::columns::about::About;
use crate::compile::columns::beers::of_batches;
use crate::compile::columns::{Emptied, Leaving};
use crate::compile::context::Context;
use crate::compile::grid::PeriodId;
use crate::compile::program::Program;
use crate::highs::Relaxation;

/// Share of the batches and lots left out by the relaxation that stay: those that cost it least. Measured: see DEVELOPERS.md.
const KEPT: f64 = 0.2;
/// Times at most that more is decided anew because some periods have no plan after those before them.
const AGAIN: usize = 4;

/// What is decided at once.
#[derive(Clone, Copy, Debug)]
pub struct Steps {
    /// Periods.
    pub length: usize,
    /// How many of them are decided anew with the next.
    pub overlap: usize,
    /// Periods that are planned.
    pub planned: usize,
    /// Those and the periods of the look-ahead, which all belong to the last step.
    pub all: usize,
}

impl Steps {
    /// Of so many days, and so many of them decided anew.
    pub fn of_days(context: &Context, days: usize, anew: usize) -> Self {
        let shifts = context.case.calendar.shifts.len();
        let (planned, all) = (context.grid.fine(), context.grid.len());
        Self { length: days * shifts, overlap: anew * shifts, planned, all }
    }

    /// Where a step ends that was to end here.
    fn end(self, end: PeriodId) -> PeriodId {
        if end >= self.planned { self.all } else { end }
    }
}

/// Which search a step is asked of.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Step {
    /// The first step.
    First,
    /// One after it.
    Later,
    /// One that came to so much, in units of the program, and is tried again with more decided anew; minus infinity if it came to nothing.
    Again(f64),
}

/// When a step is good.
#[derive(Clone, Copy, Debug)]
pub struct Good {
    /// It loses so much at most, in units of the program,
    pub loss: f64,
    /// or is worth so much.
    pub worth: f64,
}

impl Good {
    /// Every step that comes to something is.
    pub const ANY: Self = Self { loss: f64::INFINITY, worth: f64::NEG_INFINITY };
}

/// What of a program is decided when, and what of it may be left out.
#[derive(Debug)]
pub struct Order {
    /// What each column is about.
    pub about: About,
    /// Batches and lots, but for those that are the last resort of others.
    may_be_left_out: Vec<bool>,
}

impl Order {
    /// That of a program.
    pub fn new(context: &Context) -> Self {
        let may_be_left_out = of_batches(context).iter().map(Option::is_some).collect();
        let mut order = Self { about: About::new(context), may_be_left_out };
        order.keep_last_resorts(context);
        order
    }

    /// Batches and lots that stay where they are or are poured away: without them some periods may have no plan.
    fn keep_last_resorts(&mut self, context: &Context) {
        let ferments = context.columns.ferments.iter();
        let ferments =
            ferments.filter(|ferment| matches!(ferment.leaving, Leaving::Dump(_) | Leaving::Stays));
        let holds = context.columns.holds.iter();
        let holds = holds.filter(|hold| matches!(hold.emptied, Emptied::Dump(_) | Emptied::Stays));
        for column in ferments.map(|ferment| ferment.column).chain(holds.map(|hold| hold.column)) {
            self.may_be_left_out[column.0] = false;
        }
    }

    /// The program without the batches and lots that the relaxation leaves out and that cost it more by the piece than most do.
    fn without_dear_batches(&self, program: &Program, relaxation: &Relaxation) -> Program {
        let mut program = program.clone();
        let is_out = |position: usize| {
            let column = &program.columns[position];
            self.may_be_left_out[position]
                && column.is_integer
                && column.lower == 0.0
                && relaxation.values[position] < 1e-7
        };
        let out: Vec<usize> = (0..self.may_be_left_out.len()).filter(|&position| is_out(position)).collect();
        let cost = |position: usize| relaxation.reduced_costs[position].abs();
        let mut costs: Vec<f64> = out.iter().map(|&position| cost(position)).collect();
        costs.sort_by(f64::total_cmp);
        let Some(&much) = costs.get((costs.len() as f64 * KEPT) as usize) else { return program };
        for position in out {
            if cost(position) > much.max(1e-9) {
                program.columns[position].upper = 0.0;
            }
        }
        program
    }

    /// A point of a program, step by step. `search` is given the program of each step, and finds a point of it, or none; where that is none or
    /// not good, more is decided anew a few times. None where it is over, or a step has no point.
    pub fn decide(
        &self,
        program: &Program,
        relaxation: &Relaxation,
        steps: Steps,
        good: &dyn Fn() -> Good,
        search: &mut dyn FnMut(&Program, Step) -> Option<Vec<f64>>,
        is_over: &dyn Fn() -> bool,
    ) -> Option<Vec<f64>> {
        let thinned = self.without_dear_batches(program, relaxation);
        let worth = |point: &[f64]| program.objective(point);
        let (mut kept, mut end) = (Kept { before: 0, reaches: true }, steps.end(steps.length));
        let (mut point, mut from) = (relaxation.values.clone(), relaxation.bound);
        let (mut again, mut step, mut best) = (AGAIN, Step::First, None::<Vec<f64>>);
        while !is_over() {
            let found = search(&with_whole_numbers(&thinned, &self.about, &point, kept, end), step);
            let found = best.take().into_iter().chain(found);
            best = found.max_by(|one, other| worth(one).total_cmp(&worth(other)));
            let came_to = best.as_ref().map_or(f64::NEG_INFINITY, |best| worth(best));
            let Good { loss, worth: enough } = good();
            let is_good = best.is_some() && came_to >= enough.min(from - loss);
            if !is_good && kept.before > 0 && again > 0 {
                // First what reaches into the step is decided anew, then the periods before.
                kept = if kept.reaches {
                    Kept { reaches: false, ..kept }
                } else {
                    Kept { before: kept.before.saturating_sub(steps.length), reaches: true }
                };
                (again, step) = (again - 1, Step::Again(came_to));
                continue;
            }
            point = best.take()?;
            if end >= steps.all {
                return Some(point);
            }
            let before = end - steps.overlap;
            (kept, end) = (Kept { before, reaches: true }, steps.end(before + steps.length));
            (from, step) = (came_to, Step::Later);
        }
        None
    }
}

/// What stays as it is at a point.
#[derive(Clone, Copy)]
struct Kept {
    /// What begins before this period,
    before: PeriodId,
    /// with what reaches into it, or not.
    reaches: bool,
}

impl Kept {
    fn has(self, (begins, ends): (PeriodId, PeriodId)) -> bool {
        begins < self.before && (self.reaches || ends < self.before)
    }
}

/// The program with the whole numbers of what is kept as they are at a point, and with fractions for what begins from `end` on.
fn with_whole_numbers(program: &Program, about: &About, point: &[f64], kept: Kept, end: PeriodId) -> Program {
    let mut program =
        program.as_at(point, |column| about.periods(column).is_none_or(|periods| !kept.has(periods)));
    for (position, column) in program.columns.iter_mut().enumerate() {
        column.is_integer &= about.periods(position).is_none_or(|(begins, _)| begins < end);
    }
    program
}

#[cfg(test)]
mod tests {
    use std::path::Path;

    use cellarwright_model::yaml::read_case;

    use super::*;
    use crate::answer::NoObserver;
    use crate::compile::compile;
    use crate::highs::relax;

    /// The steps in which the brewpub's two weeks are decided where `found` says what comes of the relaxation's own point in each, with how many whole
    /// numbers are left to decide in them; and whether there is a point in the end.
    fn steps(
        good: Good,
        found: &dyn Fn(Vec<f64>, usize) -> Option<Vec<f64>>,
    ) -> (Vec<(Step, usize)>, Option<Vec<f64>>) {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../cases/brewpub/brewplan.yaml");
        let case = read_case(&path).case.unwrap();
        let context = compile(&case, &Default::default());
        let relaxation = relax(&context.program, 60.0, &NoObserver).unwrap().unwrap();
        let mut all = Vec::new();
        let mut search = |program: &Program, step| {
            let free = program.columns.iter().filter(|one| one.is_integer && one.lower < one.upper).count();
            all.push((step, free));
            found(relaxation.values.clone(), all.len())
        };
        let (order, days) = (Order::new(&context), Steps::of_days(&context, 2, 1));
        let point = order.decide(&context.program, &relaxation, days, &|| good, &mut search, &|| false);
        (all, point)
    }

    #[test]
    fn two_days_are_decided_at_once_and_the_second_of_them_anew_with_the_next_to_the_last() {
        let (all, point) = steps(Good::ANY, &|point, _| Some(point));
        assert!(point.is_some());
        let kinds: Vec<Step> = all.iter().map(|one| one.0).collect();
        assert_eq!(kinds[0], Step::First);
        // Days 1 and 2, 2 and 3, and so on to 13 and 14, the last one planned.
        assert_eq!(kinds[1..], [Step::Later; 12]);
        assert!(all.iter().all(|one| one.1 > 0), "{all:?}");
    }

    #[test]
    fn a_step_that_comes_to_nothing_or_too_little_is_tried_again_with_more_decided_anew() {
        let (all, point) = steps(Good::ANY, &|point, tried| (tried != 3 && tried != 4).then_some(point));
        assert!(point.is_some());
        let is_again = |step: Step| matches!(step, Step::Again(worth) if worth == f64::NEG_INFINITY);
        assert_eq!(all.iter().filter(|one| is_again(one.0)).count(), 2);
        assert!(is_again(all[3].0) && is_again(all[4].0));
        assert!(all[3].1 >= all[2].1 && all[4].1 > all[2].1, "{all:?}");
        // What is never good is tried again a few times, then it counts as it is.
        let (all, point) = steps(Good { loss: -1.0, worth: f64::INFINITY }, &|point, _| Some(point));
        assert!(point.is_some());
        let again = all.iter().filter(|one| matches!(one.0, Step::Again(worth) if worth.is_finite()));
        assert_eq!(again.count(), AGAIN);
        // Where the first step has no point, there is none.
        assert!(steps(Good::ANY, &|_, _| None).1.is_none());
        assert!(steps(Good::ANY, &|point, tried| (tried == 1).then_some(point)).1.is_none());
    }
}
