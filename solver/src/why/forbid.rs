//! What forbids filling orders: a smallest set of pins, outages, rules and their parts.
//!
//! Deletion filter by halves: a block is left out; where the rest still forbids it, the block has no part in it, otherwise it is halved until
//! one thing is left, which is needed. First by rules, then the rules that are needed by what they are about, then by days. As long as fractions of
//! batches and tanks are forbidden too, that is proven by the relaxation alone; what is left is then tried with whole ones. In the end each
//! claim is proven once more by itself (`confirm`).

use cellarwright_model::ids::OrderId;

use super::trial::{self, Trial};
use super::{Changes, Forbidden, Part, Step, Steps, Verdict, What, confirm, parts};
use crate::highs::HighsError;
use crate::solve::SolveError;

/// Finds what forbids filling orders.
///
/// # Errors
/// If HiGHS fails.
pub fn find(trial: &Trial, asked: &[OrderId], steps: &dyn Steps) -> Result<Verdict, SolveError> {
    // What the clock forbids, and no total does, has no proof here.
    if trial.is_impossible(&parts::all(trial.case), asked, false)? != Some(true) {
        return Ok(Verdict::NotInTime);
    }
    // Where the look-ahead has no part in it, it is left out.
    let mut short = trial.case.clone();
    short.calendar.look_ahead_days = 0;
    let is_near = asked.iter().all(|&order| short.order(order).due <= short.calendar.planned_days as i64);
    let in_planned_days = trial.case.calendar.look_ahead_days == 0
        || is_near
            && Trial { case: &short, ..*trial }.is_impossible(&parts::all(&short), asked, false)?
                == Some(true);
    let trial = &Trial { case: if in_planned_days { &short } else { trial.case }, ..*trial };
    let deliverable = trial.deliverable(asked)?;
    let mut filter = Filter { trial, steps, asked: asked.to_vec(), in_fractions: false, tried: 0 };
    let mut kept = parts::all(trial.case);
    filter.in_fractions = filter.forbids(&kept, true)? == Some(true);
    filter.fewer_orders(&kept)?;
    let everything = kept.clone();
    filter.fewer(&mut kept, &everything)?;
    let context = trial::whole(trial.case);
    filter.finer(&mut kept, |part| match part.of {
        None => {
            parts::subjects(&context, part.rule).into_iter().map(|one| Part::of(part.rule, one)).collect()
        }
        Some(_) => Vec::new(),
    })?;
    filter.finer(
        &mut kept,
        |part| if part.days.is_none() { parts::days(&context, part) } else { Vec::new() },
    )?;
    let in_fractions = filter.in_fractions;
    if in_fractions {
        // What fractions need, whole batches and tanks may not.
        filter.in_fractions = false;
        let left = kept.clone();
        filter.each(&mut kept, &left)?;
    }
    kept.sort_unstable();
    let asked = filter.asked.clone();
    let (members, is_confirmed) = confirm::members(trial, kept, &asked)?;
    let all_in_fractions = in_fractions && filter.forbids_all(&members)?;
    Ok(Verdict::Forbidden(Box::new(Forbidden {
        members,
        is_confirmed,
        in_fractions: all_in_fractions,
        in_planned_days,
        deliverable,
        changes: Changes::default(),
    })))
}

struct Filter<'a> {
    trial: &'a Trial<'a>,
    steps: &'a dyn Steps,
    asked: Vec<OrderId>,
    in_fractions: bool,
    tried: usize,
}

impl Filter<'_> {
    fn forbids(&mut self, kept: &[What], in_fractions: bool) -> Result<Option<bool>, HighsError> {
        self.tried += 1;
        self.steps.at(Step::Forbids(self.tried));
        if self.steps.stop() {
            return Ok(None);
        }
        self.trial.is_impossible(kept, &self.asked, in_fractions)
    }

    /// Whether the members of a set forbid it with fractions too.
    fn forbids_all(&mut self, members: &[super::Member]) -> Result<bool, HighsError> {
        let kept: Vec<What> = members.iter().map(|member| member.what).collect();
        Ok(self.forbids(&kept, true)? == Some(true))
    }

    /// Leaves out orders as long as the others cannot be filled.
    fn fewer_orders(&mut self, kept: &[What]) -> Result<(), HighsError> {
        for order in self.asked.clone() {
            if self.asked.len() == 1 {
                break;
            }
            let before = self.asked.clone();
            self.asked.retain(|&other| other != order);
            if self.forbids(kept, self.in_fractions)? != Some(true) {
                self.asked = before;
            }
        }
        Ok(())
    }

    /// Leaves out what has no part in it, of a block of what is kept.
    fn fewer(&mut self, kept: &mut Vec<What>, block: &[What]) -> Result<(), HighsError> {
        if block.is_empty() {
            return Ok(());
        }
        let others: Vec<What> = kept.iter().copied().filter(|what| !block.contains(what)).collect();
        if self.forbids(&others, self.in_fractions)? == Some(true) {
            *kept = others;
            return Ok(());
        }
        if block.len() > 1 {
            let (first, second) = block.split_at(block.len() / 2);
            self.fewer(kept, first)?;
            self.fewer(kept, second)?;
        }
        Ok(())
    }

    /// The same one by one.
    fn each(&mut self, kept: &mut Vec<What>, all: &[What]) -> Result<(), HighsError> {
        for &one in all {
            self.fewer(kept, &[one])?;
        }
        Ok(())
    }

    /// Puts parts in the place of what is kept, as far as they forbid it too.
    fn finer(&mut self, kept: &mut Vec<What>, divide: impl Fn(Part) -> Vec<Part>) -> Result<(), HighsError> {
        for what in kept.clone() {
            let What::Rule(part) = what else { continue };
            let pieces: Vec<What> = divide(part).into_iter().map(What::Rule).collect();
            if pieces.is_empty() {
                continue;
            }
            let mut divided: Vec<What> = kept.iter().copied().filter(|&other| other != what).collect();
            divided.extend(&pieces);
            if self.forbids(&divided, self.in_fractions)? != Some(true) {
                continue;
            }
            self.fewer(&mut divided, &pieces)?;
            *kept = divided;
        }
        Ok(())
    }
}
