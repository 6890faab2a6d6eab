//! A first plan of many weeks out of the relaxation (relax and fix): the whole numbers of a week are decided while all later ones may be
//! fractions, then they are kept and those of the next week are decided, to the end.
//!
//! Batches and lots that the relaxation leaves out and that would cost it much are left out. What a week needs of time grows faster than the
//! program does, so it is worth trying from so much time on (`pays`).

use std::collections::BTreeSet;

use crate::answer::OnlyStop;
use crate::compile::columns::beers::of_batches;
use crate::compile::columns::{Emptied, Leaving};
use crate::compile::context::Context;
use crate::compile::grid::PeriodId;
use crate::compile::program::Program;
use crate::highs::{self, Purpose, Relaxation};

use super::Climb;
use super::columns::Columns;

/// Days whose whole numbers are decided at once.
const DAYS: usize = 7;
/// Share of the batches and lots left out by the relaxation that stay: those that cost it least. Measured: see DEVELOPERS.md.
const KEPT: f64 = 0.2;
/// Share of what is left of the time that the relaxation may take, that the first week may, and that each later one may; the rest is for
/// the parts.
const RELAXATION: f64 = 0.3;
const FIRST: f64 = 0.4;
const LATER: f64 = 0.3;
/// Share of what is earned that a week may be away from its best.
const NEAR: f64 = 0.005;
/// Times at most that more is decided anew because a week has no plan after those before it.
const AGAIN: usize = 4;
/// Seconds that it needs, by the square of nonzeros. Measured: see DEVELOPERS.md.
const SECONDS: f64 = 2e-9;

/// Whether there are weeks to be decided one after another, and time enough for the program.
pub fn pays(context: &Context, seconds: f64) -> bool {
    let are_weeks = context.case.calendar.planned_days > DAYS;
    are_weeks && seconds >= (context.program.size().nonzeros as f64).powi(2) * SECONDS
}

/// A point of the whole program, if one is found in time.
pub fn relax_and_fix(climb: &Climb) -> Option<Vec<f64>> {
    let context = climb.context;
    let is_over = climb.asked.is_over;
    let relaxation = highs::relax(&context.program, climb.left() * RELAXATION, &OnlyStop(is_over)).ok()??;
    let thinned = without_dear_batches(context, &relaxation);
    let week = DAYS * context.case.calendar.shifts.len();
    let (mut kept, mut end) = (Kept { before: 0, reaches: true }, week);
    let mut again = AGAIN;
    let mut point = relaxation.values;
    while climb.left() > 0.0 && !is_over() {
        let program = with_whole_numbers(&thinned, &climb.columns, &point, kept, end);
        let of_what_is_left = if kept.before == 0 { FIRST } else { LATER };
        let share = of_what_is_left * climb.left() / climb.asked.options.seconds;
        match climb.search(&program, Purpose::PlanAndBound, share, NEAR) {
            Some(found) if end >= context.grid.len() => return Some(found),
            Some(found) => {
                point = found;
                (kept, end) = (Kept { before: end, reaches: true }, end + week);
            }
            None if kept.before > 0 && again > 0 => {
                // First what reaches into the week is decided anew, then the week before.
                kept = if kept.reaches {
                    Kept { reaches: false, ..kept }
                } else {
                    Kept { before: kept.before - week, reaches: true }
                };
                again -= 1;
            }
            None => return None,
        }
    }
    None
}

/// The program without the batches and lots that the relaxation leaves out and that cost it more by the piece than most do.
fn without_dear_batches(context: &Context, relaxation: &Relaxation) -> Program {
    let mut program = context.program.clone();
    let beers = of_batches(context);
    let never_out = last_resorts(context);
    let is_out = |position: usize| {
        let column = &context.program.columns[position];
        column.is_integer
            && column.lower == 0.0
            && beers[position].is_some()
            && relaxation.values[position] < 1e-7
            && !never_out.contains(&position)
    };
    let out: Vec<usize> = (0..beers.len()).filter(|&position| is_out(position)).collect();
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

/// Batches and lots that stay where they are or are poured away: without them a week may have no plan.
fn last_resorts(context: &Context) -> BTreeSet<usize> {
    let ferments = context.columns.ferments.iter();
    let ferments = ferments.filter(|ferment| matches!(ferment.leaving, Leaving::Dump(_) | Leaving::Stays));
    let holds = context.columns.holds.iter();
    let holds = holds.filter(|hold| matches!(hold.emptied, Emptied::Dump(_) | Emptied::Stays));
    ferments.map(|ferment| ferment.column.0).chain(holds.map(|hold| hold.column.0)).collect()
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
fn with_whole_numbers(
    program: &Program,
    columns: &Columns,
    point: &[f64],
    kept: Kept,
    end: PeriodId,
) -> Program {
    let mut program =
        program.as_at(point, |column| columns.periods(column).is_none_or(|periods| !kept.has(periods)));
    for (position, column) in program.columns.iter_mut().enumerate() {
        column.is_integer &= columns.periods(position).is_none_or(|(begins, _)| begins < end);
    }
    program
}

#[cfg(test)]
mod tests {
    use std::path::Path;

    use cellarwright_model::tolerance::FEASIBILITY;
    use cellarwright_model::yaml::read_case;

    use super::super::{Asked, planned};
    use super::*;
    use crate::answer::Options;
    use crate::compile::compile;

    /// A point of a case in `cases/`.
    fn point_of(name: &str) -> (f64, f64, bool) {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../cases").join(name);
        let case = read_case(&path).case.unwrap();
        let context = compile(&case, &Default::default());
        let (is_over, tell) = (|| false, |_: &_| {});
        let options = Options { seconds: 120.0, gap: 0.0, threads: 1, seed: 0 };
        let asked = Asked { options, to_units: 1.0, is_over: &is_over, tell: &tell };
        let climb = Climb::new(&context, &asked, 1_000);
        let point = relax_and_fix(&climb).unwrap();
        let best = climb.first(&context.program, 1.0).unwrap();
        let breach = context.program.worst_breach(&point);
        assert!(breach <= FEASIBILITY, "{name}: {breach}");
        (
            context.program.objective(&point),
            context.program.objective(&best),
            planned(&context, &point).is_some(),
        )
    }

    #[test]
    fn two_weeks_decided_one_after_the_other_are_a_plan_that_keeps_the_rules() {
        let (found, best, is_plan) = point_of("tiny/three-in-two-weeks/brewplan.yaml");
        assert!(is_plan && found > 0.9 * best, "{found} of {best}");
    }

    #[test]
    fn from_so_much_time_on_it_pays() {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../cases/scale/brewpub-1/all-weeks.yaml");
        let case = read_case(&path).case.unwrap();
        let context = compile(&case, &Default::default());
        assert!(!pays(&context, 1.0) && pays(&context, 10.0));
        let path = path.with_file_name("next-week.yaml");
        let case = read_case(&path).case.unwrap();
        assert!(!pays(&compile(&case, &Default::default()), 1000.0), "one week is not decided week by week");
    }
}
