//! A plan that carries on an earlier one: what is done stands in it as it was done, and where the earlier plan is still good enough it is kept.

use cellarwright_checker::{Report, check};
use cellarwright_model::case::Case;
use cellarwright_model::plan::Plan;

/// Puts what is done in the place of what the program says of the same days (it may differ by millilitres); where that breaks a rule the
/// program's own words stay.
pub fn with_what_is_done(case: &Case, plan: Plan, report: Report) -> (Plan, Report) {
    let Some(earlier) = case.fixed.earlier.as_deref().filter(|earlier| earlier.is_done_kept) else {
        return (plan, report);
    };
    let mut joined = plan.clone();
    joined.tasks.retain(|task| !earlier.is_done(case, task.slot));
    joined.overtime.retain(|one| !earlier.is_done(case, one.slot));
    joined.pours.retain(|pour| pour.day >= earlier.from_day);
    let done = &earlier.plan;
    joined.tasks.splice(0..0, done.tasks.iter().filter(|task| earlier.is_done(case, task.slot)).copied());
    joined.overtime.splice(0..0, done.overtime.iter().filter(|one| earlier.is_done(case, one.slot)).copied());
    joined.pours.splice(0..0, done.pours.iter().filter(|pour| pour.day < earlier.from_day).copied());
    let checked = check(case, &joined);
    if checked.violations.is_empty() { (joined, checked) } else { (plan, report) }
}

/// The earlier plan itself, if it keeps every rule as things are now.
pub fn unchanged(case: &Case) -> Option<(Plan, Report)> {
    let earlier = case.fixed.earlier.as_deref()?;
    let report = check(case, &earlier.plan);
    report.violations.is_empty().then(|| (earlier.plan.clone(), report))
}
