//! What is known of a program while it is searched: the best plan and the bound.

use crate::compile::program::Program;
use crate::highs::Solved;

/// The best plan and the bound so far.
#[derive(Debug)]
pub struct Known<'a> {
    program: &'a Program,
    /// Relative gap to be reached.
    gap: f64,
    /// Absolute gap at which bound and objective meet.
    unit: f64,
    values: Option<Vec<f64>>,
    objective: f64,
    bound: f64,
}

impl<'a> Known<'a> {
    /// Nothing but a bound.
    pub fn new(program: &'a Program, gap: f64, unit: f64, bound: f64) -> Self {
        Self { program, gap, unit, values: None, objective: f64::NEG_INFINITY, bound }
    }

    /// Objective of the best plan, if there is a plan.
    pub fn best(&self) -> Option<f64> {
        self.values.is_some().then_some(self.objective)
    }

    /// The best plan, if there is one.
    pub fn values(&self) -> Option<&Vec<f64>> {
        self.values.as_ref()
    }

    /// The bound.
    pub fn bound(&self) -> f64 {
        self.bound
    }

    /// The most that a plan may be worth if one worth `objective` is to be near enough to it.
    pub fn near(&self, objective: f64) -> f64 {
        objective + (self.gap * objective.abs()).max(self.unit)
    }

    /// What a plan is worth at least that is near enough to the bound.
    pub fn enough(&self) -> f64 {
        let share = 1.0 + self.gap * self.bound.signum();
        (self.bound / share).min(self.bound - self.unit)
    }

    /// Whether a plan worth so much is near enough to the bound.
    pub fn is_enough(&self, objective: f64) -> bool {
        self.bound <= self.near(objective)
    }

    /// Whether the plan is near enough to the bound.
    pub fn is_near_enough(&self) -> bool {
        self.values.is_some() && self.is_enough(self.objective)
    }

    /// Takes a plan, if it is the best so far.
    pub fn plan(&mut self, values: Vec<f64>) {
        let objective = self.program.objective(&values);
        if objective > self.objective {
            (self.values, self.objective) = (Some(values), objective);
        }
    }

    /// Takes a bound, if it is the lowest so far.
    pub fn no_plan_above(&mut self, bound: f64) {
        self.bound = self.bound.min(bound);
    }

    /// Takes what a search of the program came to.
    pub fn take(&mut self, solved: Solved) {
        self.no_plan_above(solved.bound);
        if let Some(values) = solved.values {
            self.plan(values);
        }
    }

    /// What all of it comes to. A bound that the plan beats is no bound.
    pub fn solved(self) -> Solved {
        let is_sound = self.bound >= self.objective - 1e-6 * self.objective.abs().max(1.0);
        let is_complete = is_sound && self.is_near_enough();
        let bound = if is_sound { self.bound.max(self.objective) } else { f64::INFINITY };
        Solved { values: self.values, bound, is_complete }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// One column that earns its value.
    fn one_column() -> Program {
        let mut program = Program::default();
        let column = program.column(-200.0, 200.0, false);
        program.earn(column, 1.0);
        program
    }

    #[test]
    fn the_best_plan_and_the_lowest_bound_count() {
        let program = one_column();
        let mut known = Known::new(&program, 0.01, 0.01, 130.0);
        assert!(known.best().is_none() && !known.is_near_enough());
        known.plan(vec![100.0]);
        known.plan(vec![90.0]);
        known.no_plan_above(120.0);
        known.no_plan_above(125.0);
        assert_eq!((known.best(), known.bound()), (Some(100.0), 120.0));
        assert!(!known.is_near_enough());
        known.no_plan_above(101.0);
        assert!(known.is_near_enough());
        let solved = known.solved();
        assert_eq!((solved.values, solved.bound, solved.is_complete), (Some(vec![100.0]), 101.0, true));
    }

    #[test]
    fn a_bound_that_the_plan_beats_is_not_believed() {
        let program = one_column();
        let mut known = Known::new(&program, 0.01, 0.01, 99.0);
        known.plan(vec![100.0]);
        let solved = known.solved();
        assert!(solved.bound.is_infinite() && !solved.is_complete && solved.values.is_some());
    }

    #[test]
    fn near_is_a_share_of_what_a_plan_is_worth_or_loses() {
        let program = one_column();
        let known = Known::new(&program, 0.01, 0.5, f64::INFINITY);
        assert_eq!([100.0, -100.0, 0.0].map(|objective| known.near(objective)), [101.0, -99.0, 0.5]);
        for bound in [101.0, -99.0, 0.5, 0.0] {
            let known = Known::new(&program, 0.01, 0.5, bound);
            let enough = known.enough();
            assert!(known.is_enough(enough + 1e-9) && !known.is_enough(enough - 1e-6), "{bound}: {enough}");
        }
    }
}
