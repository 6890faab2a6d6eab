//! One program tried: whether orders can be filled in a case with only some things in force.

use std::time::Instant;

use cellarwright_checker::check;
use cellarwright_model::case::Case;
use cellarwright_model::ids::OrderId;
use cellarwright_model::plan::Plan;
use cellarwright_model::units::Volume;

use super::{Deliverable, What, parts};
use crate::answer::{ANY_GAP, NoObserver, Options};
use crate::compile::compile;
use crate::compile::context::Context;
use crate::compile::objective::scale;
use crate::compile::program::Program;
use crate::compile::rules::orders;
use crate::compile::without::Without;
use crate::conflict::with;
use crate::decode::decode;
use crate::highs::{self, HighsError};
use crate::side_by_side::alone;
use crate::solve::{SolveError, fills, solve_filling};

/// Seconds for one program at most.
const STEP: f64 = 30.0;

/// What all programs that are tried share.
#[derive(Clone, Copy)]
pub struct Trial<'a> {
    /// The case.
    pub case: &'a Case,
    /// How to search.
    pub options: Options,
    /// When time is up.
    pub until: Instant,
}

impl Trial<'_> {
    fn left(&self) -> f64 {
        self.until.saturating_duration_since(Instant::now()).as_secs_f64().min(STEP)
    }

    /// Whether some orders cannot be filled even with fractions of batches and tanks, everything in force; none if that is not known in time.
    pub fn is_impossible_in_fractions(
        &self,
        case: &Case,
        asked: &[OrderId],
    ) -> Result<Option<bool>, HighsError> {
        self.judge(case, &Without::default(), asked, true)
    }

    /// The same with only some things in force (and orders among them filled), with fractions or without.
    pub fn is_impossible(
        &self,
        kept: &[What],
        asked: &[OrderId],
        in_fractions: bool,
    ) -> Result<Option<bool>, HighsError> {
        let case = with(self.case, &parts::settled(kept));
        let without = parts::without(&Context::new(&case, Without::default()), kept);
        self.judge(&case, &without, asked, in_fractions)
    }

    /// Whether orders cannot be filled with one thing alone left out.
    pub fn is_impossible_without(&self, one: What, asked: &[OrderId]) -> Result<Option<bool>, HighsError> {
        let mut kept = parts::all(self.case);
        kept.retain(|&what| what != one);
        let case = with(self.case, &parts::settled(&kept));
        let without = parts::without_one(&Context::new(&case, Without::default()), one);
        let asked: Vec<OrderId> = asked.iter().copied().filter(|&order| one != What::Order(order)).collect();
        self.judge(&case, &without, &asked, false)
    }

    fn judge(
        &self,
        case: &Case,
        without: &Without,
        asked: &[OrderId],
        in_fractions: bool,
    ) -> Result<Option<bool>, HighsError> {
        let Some(context) = filled(case, without, asked) else { return Ok(Some(true)) };
        if in_fractions {
            return alone(|| highs::is_impossible_in_fractions(&context.program, self.left()));
        }
        Ok(match self.point(&context.program, self.options.gap, scale(&case.aim))? {
            Point::None => Some(true),
            Point::At(_) => Some(false),
            Point::Unknown => None,
        })
    }

    /// A point of a program, in fractions first: those are soon proven impossible.
    pub fn point(&self, program: &Program, gap: f64, to_units: f64) -> Result<Point, HighsError> {
        if alone(|| highs::is_impossible_in_fractions(program, self.left()))? == Some(true) {
            return Ok(Point::None);
        }
        let seconds = self.left();
        if seconds <= 0.0 {
            return Ok(Point::Unknown);
        }
        let options = Options { seconds, threads: 1, gap, ..self.options };
        match alone(|| highs::solve(program, &options, to_units, &NoObserver)) {
            Err(HighsError::Infeasible) => Ok(Point::None),
            Err(error) => Err(error),
            Ok(solved) => Ok(solved
                .values
                .map_or(Point::Unknown, |values| Point::At(Found { values, bound: solved.bound }))),
        }
    }

    /// Whether a case has a plan that fills orders and that the checker passes, whatever it is worth; none if that is not known in time.
    pub fn has_plan(&self, case: &Case, asked: &[OrderId]) -> Result<Option<bool>, SolveError> {
        let Some(context) = filled(case, &Without::default(), asked) else { return Ok(Some(false)) };
        match self.point(&context.program, ANY_GAP, scale(&case.aim))? {
            Point::None => return Ok(Some(false)),
            Point::Unknown => return Ok(None),
            Point::At(found) if is_plan(case, &decode(&context, &found.values), asked) => {
                return Ok(Some(true));
            }
            Point::At(_) => {}
        }
        // A point that nobody pays for may be careless, and knows no clock: another one by the ordinary way.
        let options = Options { seconds: self.left(), threads: 1, gap: ANY_GAP, ..self.options };
        match alone(|| solve_filling(case, asked, &options, &NoObserver)) {
            Ok(_) => Ok(Some(true)),
            Err(
                SolveError::NotInTime
                | SolveError::BrokenPlan(_)
                | SolveError::Conflict(_)
                | SolveError::Highs(HighsError::Infeasible),
            ) => Ok(None),
            Err(error) => Err(error),
        }
    }

    /// The most of orders that can be delivered by their due days, all together.
    pub fn deliverable(&self, asked: &[OrderId]) -> Result<Deliverable, HighsError> {
        let mut context = compile(self.case, &Without::default());
        free_of_cost(&mut context.program);
        let mut has_any = false;
        for &order in asked {
            let due = self.case.order(order).due;
            if let Some(&column) = context.columns.deliver.get(&(order, due)) {
                context.program.earn(column, 1.0);
                has_any = true;
            }
        }
        if !has_any {
            return Ok(Deliverable { at_least: Some(Volume::ZERO), at_most: Some(Volume::ZERO) });
        }
        let options = Options { seconds: self.left(), threads: 1, gap: 0.0, ..self.options };
        let solved = alone(|| highs::solve(&context.program, &options, LITRES, &NoObserver))?;
        let volume = |hectolitres: f64| Volume((hectolitres * Volume::HECTOLITRE.0 as f64).round() as i64);
        let most: Volume = asked.iter().map(|&order| self.case.order(order).quantity).sum();
        let found = solved.values.as_ref().map(|values| volume(context.program.objective(values)).min(most));
        let bound = solved.bound.is_finite().then(|| volume(solved.bound).min(most));
        Ok(Deliverable { at_least: found, at_most: bound.max(found) })
    }
}

/// Litres of a hectolitre: the most is found to the litre.
const LITRES: f64 = 100.0;

/// What a search for a point of a program says.
pub enum Point {
    /// There is none: proven.
    None,
    /// There is one.
    At(Found),
    /// Not found out in time.
    Unknown,
}

/// A point of a program.
pub struct Found {
    /// Values of the columns.
    pub values: Vec<f64>,
    /// No point is better.
    pub bound: f64,
}

/// The program of a case with orders filled and nothing else asked for; none where an order cannot be delivered on its due day.
pub fn filled<'a>(case: &'a Case, without: &Without, asked: &[OrderId]) -> Option<Context<'a>> {
    let mut context = compile(case, without);
    if !asked.iter().all(|&order| orders::fill(&mut context, order)) {
        return None;
    }
    free_of_cost(&mut context.program);
    Some(context)
}

/// Whether the checker passes a plan of a case, and the plan fills orders. Where times of day are asked for, a plan without them is none.
pub fn is_plan(case: &Case, plan: &Plan, asked: &[OrderId]) -> bool {
    let report = check(case, plan);
    !case.clock_times && report.violations.is_empty() && fills(case, &report, asked)
}

fn free_of_cost(program: &mut Program) {
    for column in &mut program.columns {
        column.cost = 0.0;
    }
    program.constant = 0.0;
}

/// The program of a case with nothing left out, for what its parts are.
pub fn whole(case: &Case) -> Context<'_> {
    compile(case, &Without::default())
}
