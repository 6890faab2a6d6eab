//! One program tried: whether orders can be filled in a case with only some things in force.

use std::time::Instant;

use cellarwright_model::case::Case;
use cellarwright_model::ids::OrderId;
use cellarwright_model::units::Volume;

use super::{Deliverable, What, parts};
use crate::answer::{NoObserver, Options};
use crate::compile::compile;
use crate::compile::context::Context;
use crate::compile::objective::scale;
use crate::compile::program::Program;
use crate::compile::rules::orders;
use crate::compile::without::Without;
use crate::conflict::with;
use crate::highs::{self, HighsError};
use crate::side_by_side::alone;

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
        let whole = compile(&case, &Without::default());
        self.judge(&case, &parts::without(&whole, kept), asked, in_fractions)
    }

    /// Whether orders cannot be filled with one thing alone left out.
    pub fn is_impossible_without(&self, one: What, asked: &[OrderId]) -> Result<Option<bool>, HighsError> {
        let mut kept = parts::all(self.case);
        kept.retain(|&what| what != one);
        let case = with(self.case, &parts::settled(&kept));
        let whole = compile(&case, &Without::default());
        let asked: Vec<OrderId> = asked.iter().copied().filter(|&order| one != What::Order(order)).collect();
        self.judge(&case, &parts::without_one(&whole, one), &asked, false)
    }

    fn judge(
        &self,
        case: &Case,
        without: &Without,
        asked: &[OrderId],
        in_fractions: bool,
    ) -> Result<Option<bool>, HighsError> {
        let mut context = compile(case, without);
        if !asked.iter().all(|&order| orders::fill(&mut context, order)) {
            return Ok(Some(true));
        }
        free_of_cost(&mut context.program);
        let fractions = alone(|| highs::is_impossible_in_fractions(&context.program, self.left()))?;
        if in_fractions || fractions == Some(true) {
            return Ok(fractions);
        }
        let left = self.left();
        if left <= 0.0 {
            return Ok(None);
        }
        let options = Options { seconds: left, threads: 1, ..self.options };
        let searched = alone(|| highs::solve(&context.program, &options, scale(&case.aim), &NoObserver));
        match searched {
            Err(HighsError::Infeasible) => Ok(Some(true)),
            Err(error) => Err(error),
            Ok(solved) => Ok(solved.values.map(|_| false)),
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
