//! Why no plan keeps all that is pinned: a smallest set of pins, outages and rules that cannot be kept together.
//!
//! Deletion filter: what the brewer has settled is left out piece by piece, outages first; where the rest is still impossible the piece does
//! not matter and stays out, otherwise it is needed and stays in. Then the same with the rules, those first that explain the
//! least. What is left is smallest in the sense that without any one of its members the others can be kept together.
//! Each step is the same program without an objective, solved until it has a point or is proven to have none.

use std::collections::BTreeSet;
use std::time::Instant;

use cellarwright_model::case::{Case, Fixed};
use cellarwright_model::rule::RuleId;

use crate::answer::{NoObserver, Options};
use crate::compile::compile;
use crate::compile::objective::scale;
use crate::highs::{self, HighsError};

/// Something that the brewer has settled.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Settled {
    /// A position in `Fixed::outages`.
    Outage(usize),
    /// A position in `Fixed::pins`.
    Pin(usize),
    /// What is done of an earlier plan.
    Done,
    /// The most changes of it.
    Changes,
}

/// What cannot be kept together.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Conflict {
    /// Pins and outages.
    pub settled: Vec<Settled>,
    /// Rules.
    pub rules: Vec<RuleId>,
    /// Every member was shown to be needed; if not, time was up before all were tried.
    pub is_smallest: bool,
}

impl Conflict {
    /// Everything that is settled, where no shift can be put in order with it by the clock; which part of it is to blame is not tried.
    #[must_use]
    pub fn by_the_clock(case: &Case) -> Self {
        Self { settled: everything(&case.fixed), rules: vec![RuleId::Hours], is_smallest: false }
    }
}

/// Seconds for one step at most.
const STEP: f64 = 20.0;

/// Rules that are the last to be left out, because they tell a brewer most; the one that tells most is last.
pub(crate) const TELLING: [RuleId; 9] = [
    RuleId::Crew,
    RuleId::Clean,
    RuleId::OneBatch,
    RuleId::Direct,
    RuleId::BrightRest,
    RuleId::Wait,
    RuleId::Turns,
    RuleId::Ready,
    RuleId::Calendar,
];

/// Rules that cannot be left out: a program without them is another program, or they are what the brewer has settled.
pub(crate) const KEPT: [RuleId; 5] =
    [RuleId::Volume, RuleId::Start, RuleId::Outage, RuleId::Pinned, RuleId::Stages];

/// Explains why a case has no plan at all; none if nothing is settled, or if its program has a point after all.
///
/// # Errors
/// If HiGHS fails.
pub fn explain(case: &Case, options: &Options) -> Result<Option<Conflict>, HighsError> {
    let mut search =
        Search { options: *options, started: Instant::now(), case: case.clone(), is_smallest: true };
    // Pins are about the planned days: where the look-ahead has no part in the conflict it is left out of it.
    let mut short = case.clone();
    short.calendar.look_ahead_days = 0;
    let all = everything(&case.fixed);
    if search.is_impossible(&short, &all, &BTreeSet::new())? == Some(true) {
        search.case = short;
    } else if search.is_impossible(case, &all, &BTreeSet::new())? != Some(true) {
        return Ok(None);
    }
    let settled = search.needed_settled(all)?;
    let rules = search.needed_rules(&settled)?;
    let found = !settled.is_empty();
    Ok(found.then_some(Conflict { settled, rules, is_smallest: search.is_smallest }))
}

pub(crate) fn everything(fixed: &Fixed) -> Vec<Settled> {
    let outages = (0..fixed.outages.len()).map(Settled::Outage);
    let earlier = fixed.earlier.as_deref();
    let changes = earlier.and_then(|earlier| earlier.at_most).map(|_| Settled::Changes);
    let done = earlier.filter(|earlier| earlier.is_done_kept).map(|_| Settled::Done);
    changes.into_iter().chain(outages).chain((0..fixed.pins.len()).map(Settled::Pin)).chain(done).collect()
}

/// A case with some of what is settled in it.
pub(crate) fn with(case: &Case, settled: &[Settled]) -> Case {
    let (late, measured) = (case.fixed.late.clone(), case.fixed.measured.clone());
    let mut fixed = Fixed { late, measured, ..Fixed::default() };
    if settled.contains(&Settled::Done) || settled.contains(&Settled::Changes) {
        fixed.earlier.clone_from(&case.fixed.earlier);
    }
    if let Some(earlier) = fixed.earlier.as_deref_mut() {
        earlier.is_done_kept = settled.contains(&Settled::Done);
        earlier.at_most = earlier.at_most.filter(|_| settled.contains(&Settled::Changes));
    }
    for one in settled {
        match *one {
            Settled::Outage(position) => fixed.outages.push(case.fixed.outages[position].clone()),
            Settled::Pin(position) => fixed.pins.push(case.fixed.pins[position]),
            Settled::Done | Settled::Changes => {}
        }
    }
    Case { fixed, ..case.clone() }
}

struct Search {
    options: Options,
    started: Instant,
    case: Case,
    is_smallest: bool,
}

impl Search {
    /// Whether a case has no plan; none if that is not known in time.
    fn is_impossible(
        &self,
        case: &Case,
        settled: &[Settled],
        without: &BTreeSet<RuleId>,
    ) -> Result<Option<bool>, HighsError> {
        let left = self.options.seconds - self.started.elapsed().as_secs_f64();
        if left <= 0.0 {
            return Ok(None);
        }
        let case = with(case, settled);
        let mut context = compile(&case, &without.into());
        for column in &mut context.program.columns {
            column.cost = 0.0;
        }
        let options = Options { seconds: left.min(STEP), ..self.options };
        match highs::solve(&context.program, &options, scale(&case.aim), &NoObserver) {
            Err(HighsError::Infeasible) => Ok(Some(true)),
            Err(error) => Err(error),
            Ok(solved) => Ok(solved.values.map(|_| false)),
        }
    }

    fn needed_settled(&mut self, all: Vec<Settled>) -> Result<Vec<Settled>, HighsError> {
        let mut kept = all.clone();
        for one in all {
            let others: Vec<Settled> = kept.iter().copied().filter(|&other| other != one).collect();
            match self.is_impossible(&self.case, &others, &BTreeSet::new())? {
                Some(true) => kept = others,
                Some(false) => {}
                None => self.is_smallest = false,
            }
        }
        Ok(kept)
    }

    fn needed_rules(&mut self, settled: &[Settled]) -> Result<Vec<RuleId>, HighsError> {
        let others = RuleId::ALL.into_iter().filter(|rule| !TELLING.contains(rule) && !KEPT.contains(rule));
        let mut left_out = BTreeSet::new();
        let mut needed = Vec::new();
        for rule in others.chain(TELLING) {
            left_out.insert(rule);
            match self.is_impossible(&self.case, settled, &left_out)? {
                Some(true) => continue,
                Some(false) => {}
                None => self.is_smallest = false,
            }
            left_out.remove(&rule);
            needed.push(rule);
        }
        needed.sort_unstable();
        Ok(needed)
    }
}
