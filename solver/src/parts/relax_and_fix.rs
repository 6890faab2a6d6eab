//! A first plan of many weeks out of the relaxation (relax and fix): the whole numbers of a week are decided while all later ones may be
//! fractions, then they are kept and those of the next week are decided, to the end.
//!
//! Batches and lots that the relaxation leaves out and that would cost it much are left out. What a week needs of time grows faster than the
//! program does, so it is worth trying from so much time on (`pays`).

use std::collections::BTreeSet;

use crate::compile::columns::beers::of_batches;
use crate::compile::columns::{Emptied, Leaving};
use crate::compile::context::Context;
use crate::compile::grid::PeriodId;
use crate::compile::program::Program;
use crate::highs::{Purpose, Relaxation};

use super::Climb;
use super::columns::Columns;

/// Days whose whole numbers are decided at once, the first time and, where there is time for more, the second.
pub const DAYS: [usize; 2] = [7, 4];
/// Share of the batches and lots left out by the relaxation that stay: those that cost it least. Measured: see DEVELOPERS.md.
const KEPT: f64 = 0.2;
/// Share of what is left of the time that the first week may take, and that each later one may; the rest is for the parts.
const FIRST: f64 = 0.4;
const LATER: f64 = 0.3;
/// Share of what is earned that a week may be away from its best.
const NEAR: f64 = 0.005;
/// How far from what is known to what the relaxation is worth the first point must come.
const HALFWAY: f64 = 0.5;
/// Times at most that more is decided anew because a week has no plan after those before it.
const AGAIN: usize = 4;
/// Seconds that it needs, by the square of nonzeros. Measured: see DEVELOPERS.md.
const SECONDS: f64 = 2e-9;

/// Whether there are weeks to be decided one after another.
pub fn are_weeks(context: &Context) -> bool {
    context.case.calendar.planned_days > DAYS[0]
}

/// Whether there are, and time enough for the program where nothing else is done meanwhile.
pub fn pays(context: &Context, seconds: f64) -> bool {
    are_weeks(context) && seconds >= (context.program.size().nonzeros as f64).powi(2) * SECONDS
}

/// A point of the whole program, if one is found in time, so many days decided at once. Where a point is known that is worth something,
/// the first days are to leave room for a much better one: with that limit HiGHS finds good ones sooner.
pub fn relax_and_fix(climb: &Climb, relaxation: &Relaxation, days: usize, known: f64) -> Option<Vec<f64>> {
    let context = climb.context;
    let is_over = climb.asked.is_over;
    let thinned = without_dear_batches(context, relaxation);
    let step = days * context.case.calendar.shifts.len();
    let (mut kept, mut end) = (Kept { before: 0, reaches: true }, step);
    let mut again = AGAIN;
    let mut point = relaxation.values.clone();
    let halfway = known + HALFWAY * (relaxation.bound - known);
    while climb.left() > 0.0 && !is_over() {
        let program = with_whole_numbers(&thinned, &climb.columns, &point, kept, end);
        let of_what_is_left = if kept.before == 0 { FIRST } else { LATER };
        let share = of_what_is_left * climb.left() / climb.asked.options.seconds;
        let is_limited = kept.before == 0 && halfway.is_finite();
        let purpose = if is_limited { Purpose::Above(halfway) } else { Purpose::PlanAndBound };
        match climb.search(&program, purpose, share, NEAR) {
            Some(found) if end >= context.grid.len() => return Some(found),
            Some(found) => {
                point = found;
                (kept, end) = (Kept { before: end, reaches: true }, end + step);
            }
            None if kept.before > 0 && again > 0 => {
                // First what reaches into the week is decided anew, then the week before.
                kept = if kept.reaches {
                    Kept { reaches: false, ..kept }
                } else {
                    Kept { before: kept.before - step, reaches: true }
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

    use super::super::elsewhere::Elsewhere;
    use super::super::{Asked, as_planned, part, planned};
    use super::*;
    use crate::answer::{NoObserver, Options};
    use crate::compile::compile;
    use crate::highs::relax;

    /// A point of a case in `cases/`.
    fn point_of(name: &str) -> (f64, f64, bool) {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../cases").join(name);
        let case = read_case(&path).case.unwrap();
        let context = compile(&case, &Default::default());
        let (is_over, tell) = (|| false, |_: &_| {});
        let options = Options { seconds: 120.0, gap: 0.0, threads: 1, seed: 0 };
        let asked = Asked { options, to_units: 1.0, is_over: &is_over, tell: &tell, elsewhere: None };
        let climb = Climb::new(&context, &asked, 1_000);
        let relaxation = relax(&context.program, 60.0, &NoObserver).unwrap().unwrap();
        let point = relax_and_fix(&climb, &relaxation, DAYS[0], f64::NEG_INFINITY).unwrap();
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
    fn a_better_point_from_elsewhere_is_taken_even_when_time_is_over_and_a_worse_one_is_not() {
        let path =
            Path::new(env!("CARGO_MANIFEST_DIR")).join("../cases/tiny/three-in-two-weeks/brewplan.yaml");
        let case = read_case(&path).case.unwrap();
        let context = compile(&case, &Default::default());
        let (is_over, tell) = (|| true, |_: &_| {});
        let options = Options { seconds: 60.0, gap: 0.0, threads: 1, seed: 0 };
        let relaxed = relax(&context.program, 60.0, &NoObserver).unwrap().unwrap();
        let asked = Asked { options, to_units: 1.0, is_over: &|| false, tell: &tell, elsewhere: None };
        let best = relax_and_fix(&Climb::new(&context, &asked, 1_000), &relaxed, DAYS[0], f64::NEG_INFINITY)
            .unwrap();
        let idle = crate::decode::idle_plan(&context);
        let nothing = Climb::new(&context, &asked, 1_000).first(&as_planned(&context, &idle), 1.0).unwrap();
        let worth = |point: &[f64]| context.program.objective(point);
        assert!(worth(&best) > worth(&nothing));
        for (from, given) in [(&nothing, &best), (&best, &nothing)] {
            let elsewhere = Elsewhere::awaited();
            elsewhere.give(given.clone());
            let asked = Asked { is_over: &is_over, elsewhere: Some(&elsewhere), ..asked };
            let up = Climb::new(&context, &asked, 1_000).up(from.clone(), &part::all(&context)).unwrap();
            assert_eq!((&up.point, elsewhere.worth()), (&best, worth(&best)));
            assert!(elsewhere.is_awaited() && elsewhere.take().is_none());
            elsewhere.no_more();
            assert!(!elsewhere.is_awaited());
        }
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
