//! A first plan of many weeks out of the relaxation, a week after another (`search::relax_and_fix`).
//!
//! What a week needs of time grows faster than the program does, so it is worth trying from so much time on (`pays`).

use crate::compile::context::Context;
use crate::highs::{Purpose, Relaxation};
use crate::search::relax_and_fix::{Good, Step, Steps};

use super::Climb;

/// Days whose whole numbers are decided at once, the first time and, where there is time for more, the second.
pub const DAYS: [usize; 2] = [7, 4];
/// Share of what is left of the time that the first week may take, and that each later one may; the rest is for the parts.
const FIRST: f64 = 0.4;
const LATER: f64 = 0.3;
/// Share of what is earned that a week may be away from its best.
const NEAR: f64 = 0.005;
/// How far from what is known to what the relaxation is worth the first point must come.
const HALFWAY: f64 = 0.5;
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
    let halfway = known + HALFWAY * (relaxation.bound - known);
    let mut search = |program: &_, step| {
        let is_first = step == Step::First;
        let of_what_is_left = if is_first { FIRST } else { LATER };
        let share = of_what_is_left * climb.left() / climb.asked.options.seconds;
        let is_limited = is_first && halfway.is_finite();
        let purpose = if is_limited { Purpose::Above(halfway) } else { Purpose::PlanAndBound };
        climb.search(program, purpose, share, NEAR)
    };
    let steps = Steps::of_days(context, days, 0);
    climb.order.decide(&context.program, relaxation, steps, &|| Good::ANY, &mut search, &|| climb.is_over())
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
