//! Makes the view: rows from a case, a plan and its report.

mod breakdown;
mod changes;
mod crews;
mod kept_up;
mod layout;
mod levers;
mod model;
mod names;
mod orders;
mod reasons;
mod rehearsal;
mod runs;
mod slack;
mod stock;
mod study;
mod taproom;
mod vessels;
mod volumes;
mod why;
mod work;

use std::collections::BTreeMap;

use cellarwright_checker::Report;
use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::case::{Aim, Case, Order};
use cellarwright_model::finding::{Finding, Severity};
use cellarwright_model::ids::{BeerId, FormatId, VesselId};
use cellarwright_model::measures::Unit;
use cellarwright_model::plan::{Plan, Source, Work};
use cellarwright_model::units::Volume;
use cellarwright_model::violation::Violation;
use cellarwright_solver::answer::{Answer, Status};

use super::view::{BreachRow, Caution, Day, FormatRow, KegRow, OutlookRow, ToOrderRow, Units, Verdict, View};
use super::words;
pub use kept_up::of_kept;
pub use layout::{of_laid, with_peak};
pub use levers::of_levers;
pub use names::{date, day_label, slot_label};
pub use rehearsal::{batch_name, of_rehearsal};
pub use study::of_study;
pub use why::of_why;

/// What a view is made of.
#[derive(Clone, Copy, Debug)]
pub struct Facts<'a> {
    /// The case.
    pub case: &'a Case,
    /// The plan.
    pub plan: &'a Plan,
    /// Its report.
    pub report: &'a Report,
}

impl Facts<'_> {
    /// The beer that a vessel holds when work in a slot begins.
    #[must_use]
    pub fn held(&self, vessel: VesselId, slot: Slot) -> Option<BeerId> {
        let stays = self.report.usage.stays.iter().filter(|stay| stay.vessel == vessel);
        let mut held = stays.filter(|stay| {
            stay.from.is_none_or(|from| from < slot) && stay.until.is_none_or(|until| until >= slot)
        });
        held.next_back().map(|stay| stay.beer)
    }

    /// The first day from which beer packaged on a day can be delivered, if there is one within a year.
    #[must_use]
    pub fn deliverable_from(&self, day: i64, beer: BeerId) -> Option<i64> {
        let calendar = &self.case.calendar;
        let next = (day + 1..=day + 366).find(|&day| calendar.delivers(day))?;
        Some(next + self.case.beer(beer).release)
    }

    /// Whether an order can be served only by what is packaged in the planned days or before.
    #[must_use]
    pub fn hangs_on_planned_days(&self, order: &Order) -> bool {
        let calendar = &self.case.calendar;
        let mut ahead = calendar.planned_days..calendar.days();
        let first = ahead.find(|&day| self.works_on(Role::Package, day));
        let from = first.and_then(|day| self.deliverable_from(day as i64, order.beer));
        from.is_none_or(|from| from > order.due)
    }

    /// Whether a role works in any shift of a day.
    #[must_use]
    pub fn works_on(&self, role: Role, day: usize) -> bool {
        let calendar = &self.case.calendar;
        (0..calendar.shifts.len()).any(|shift| self.case.works(role, calendar.slot(day, shift)))
    }

    /// Packaged volume of the planned days by beer, format and day.
    #[must_use]
    pub fn packaged(&self) -> BTreeMap<(BeerId, FormatId, usize), Volume> {
        let mut packaged = BTreeMap::new();
        for &(position, volume) in &self.report.usage.packaged {
            let Some(task) = self.plan.tasks.get(position) else { continue };
            let Work::Package { format, vessel, .. } = task.work else { continue };
            let Some(beer) = self.held(vessel, task.slot) else { continue };
            let day = self.case.calendar.day(task.slot);
            *packaged.entry((beer, format, day)).or_insert(Volume::ZERO) += volume;
        }
        packaged
    }
}

/// An objective in the unit in which it is shown: money, or volume.
#[must_use]
pub fn objective_units(case: &Case, objective: i64) -> f64 {
    match case.aim {
        Aim::Orders => objective as f64 / 100.0,
        Aim::Output(_) => output(case, objective),
    }
}

/// Hundredths of a millilitre in the unit in which volumes are shown.
#[must_use]
pub fn output(case: &Case, hundredths: i64) -> f64 {
    let unit = case.show_units.volume();
    Unit { micro: 100 * unit.micro, ..unit }.number(hundredths, 7)
}

/// The unit of an objective.
#[must_use]
pub fn objective_unit(case: &Case) -> &'static str {
    match case.aim {
        Aim::Orders => "money",
        Aim::Output(_) => case.show_units.volume().name,
    }
}

/// The view of a plan that was only checked.
#[must_use]
pub fn of_report(case: &Case, plan: &Plan, report: &Report, findings: &[Finding]) -> View {
    let facts = Facts { case, plan, report };
    let calendar = &case.calendar;
    let last = calendar.days() as i64 - 1;
    let first_ahead = calendar.planned_days as i64;
    let has_outlook = calendar.look_ahead_days > 0;
    View {
        title: case.name.clone(),
        cellar: case.cellar.clone(),
        units: Units::of(case.show_units, objective_unit(case)),
        verdict: None,
        objective: objective_units(case, report.objective(&case.aim)),
        packaged_hl: report.breakdown.packaged_planned.hectolitres(),
        packaged: formats(&facts),
        days: days(&facts),
        has_shifts: calendar.shifts.len() > 1,
        crews: crews::rows(&facts),
        work: work::rows(&facts),
        vessels: vessels::rows(&facts),
        codes: vessels::codes(case),
        orders: orders::rows(&facts),
        stock: stock::rows(&facts),
        to_order: to_order(&facts),
        kegs: kegs(&facts),
        pours: taproom::pours(&facts),
        taps: taproom::taps(&facts),
        slack: slack::rows(&facts),
        breakdown: breakdown::rows(&facts),
        outlook: outlook(&facts),
        outlook_label: has_outlook.then(|| (day_label(case, first_ahead), day_label(case, last))),
        violations: report.violations.iter().map(|violation| breach(case, violation)).collect(),
        volumes: volumes::volumes(&facts),
        model: None,
        changes: changes::view(&facts),
        cautions: cautions(&facts, findings),
    }
}

/// From this on a bound of the solver says that there is none yet.
const NO_BOUND: i64 = 900_000_000_000_000_000;

/// The view of an answer of the solver to the gap asked for.
#[must_use]
pub fn of_answer(case: &Case, answer: &Answer, findings: &[Finding], asked: f64, interrupted: bool) -> View {
    let mut view = of_report(case, &answer.plan, &answer.report, findings);
    view.model = Some(model::size(answer));
    let has_bound = answer.bound < NO_BOUND;
    view.verdict = Some(Verdict {
        status: status_word(answer, asked),
        objective: objective_units(case, answer.objective),
        bound: has_bound.then(|| objective_units(case, answer.bound)),
        gap: has_bound.then_some(answer.gap),
        seconds: answer.seconds,
        gap_asked: asked,
        interrupted: interrupted && answer.status == Status::Stopped,
        complete: answer.status != Status::Stopped,
    });
    view
}

/// The word of JSON and plan files for how a search ended. A search may be complete and its plan still not within the
/// gap asked for, because the plan is worth a little less once it is in whole millilitres and minutes.
#[must_use]
pub fn status_word(answer: &Answer, asked: f64) -> &'static str {
    match answer.status {
        Status::Optimal => "optimal",
        Status::WithinGap if answer.gap <= asked + 1e-9 => "within_gap",
        Status::WithinGap | Status::Stopped => "stopped",
    }
}

fn days(facts: &Facts) -> Vec<Day> {
    let days = 0..facts.case.calendar.planned_days;
    days.map(|day| Day {
        date: date(facts.case, day as i64),
        label: day_label(facts.case, day as i64),
        worked: Role::ALL.iter().any(|&role| facts.works_on(role, day)),
    })
    .collect()
}

fn formats(facts: &Facts) -> Vec<FormatRow> {
    let mut volumes = vec![Volume::ZERO; facts.case.formats.len()];
    for ((_, format, _), volume) in facts.packaged() {
        volumes[format.0] += volume;
    }
    let rows = facts.case.formats.iter().zip(volumes);
    rows.map(|(format, volume)| FormatRow { format: format.name.clone(), packaged_hl: volume.hectolitres() })
        .collect()
}

fn to_order(facts: &Facts) -> Option<Vec<ToOrderRow>> {
    if facts.case.materials.is_empty() {
        return None;
    }
    let rows = facts.report.usage.to_order.iter().map(|order| ToOrderRow {
        material: facts.case.materials[order.material.0].name.clone(),
        pieces: order.pieces,
        packs: order.packs,
        cost: order.cost.units(),
        by: order.by.map(|day| date(facts.case, day)),
        by_label: order.by.map(|day| day_label(facts.case, day)),
        needed: date(facts.case, order.needed),
        needed_label: day_label(facts.case, order.needed),
    });
    Some(rows.collect())
}

fn kegs(facts: &Facts) -> Vec<KegRow> {
    let rows = facts.report.usage.kegs.iter().map(|of_day| KegRow {
        kegs: facts.case.kegs[of_day.pool.0].name.clone(),
        date: date(facts.case, of_day.day as i64),
        clean: of_day.clean,
        dirty: of_day.dirty,
        full: of_day.full,
        out: of_day.out,
    });
    rows.collect()
}

fn outlook(facts: &Facts) -> Vec<OutlookRow> {
    let outlook = &facts.plan.outlook;
    let rows = outlook.periods.iter().enumerate().map(|(number, period)| {
        let new = outlook
            .batches
            .iter()
            .filter(|batch| matches!(batch.source, Source::New { period, .. } if period == number));
        let packaged = outlook.packaging.iter().filter(|packaging| packaging.period == number);
        OutlookRow {
            from: date(facts.case, period.first_day as i64),
            to: date(facts.case, period.last_day as i64),
            batches: new.map(|batch| batch.count.0).sum::<i64>() as f64 / 1e6,
            packaged_hl: packaged.map(|packaging| packaging.packaged).sum::<Volume>().hectolitres(),
        }
    });
    rows.collect()
}

fn breach(case: &Case, violation: &Violation) -> BreachRow {
    BreachRow {
        rule: violation.rule.code(),
        sentence: violation.rule.sentence(),
        about: words::breaches::about(case, violation.about),
        when: violation.slot.map(|slot| slot_label(case, slot)),
        what: words::breaches::what(violation.what),
        found: words::breaches::amount(case, violation.what, &violation.found),
        allowed: words::breaches::amount(case, violation.what, &violation.allowed),
    }
}

/// Cautions about what was read.
fn cautions_of_input(findings: &[Finding]) -> Vec<Caution> {
    let of_input = findings.iter().filter(|finding| finding.severity == Severity::Caution);
    of_input
        .map(|finding| Caution { code: Some(finding.code), text: words::findings::caution(finding) })
        .collect()
}

fn cautions(facts: &Facts, findings: &[Finding]) -> Vec<Caution> {
    let mut cautions = cautions_of_input(findings);
    let does = |wanted: fn(&Work) -> bool| facts.plan.tasks.iter().any(|task| wanted(&task.work));
    let is_pressed =
        does(|work| matches!(work, Work::Transfer { .. } | Work::Carbonate { .. } | Work::Package { .. }));
    let is_cleaned =
        does(|work| matches!(work, Work::Clean { .. } | Work::Sanitise { .. } | Work::Transfer { .. }));
    let is_over = facts.report.breakdown.last_resort.0 > 0;
    let has_times = facts.plan.tasks.iter().any(|task| task.begins.is_some());
    let lacks_times = facts.case.clock_times && !facts.plan.tasks.is_empty() && !has_times;
    for (holds, text) in [
        (lacks_times, words::cautions::NO_TIMES),
        (is_over, words::cautions::LAST_RESORT),
        (is_pressed, words::cautions::PRESSURE),
        (is_cleaned, words::cautions::CLEANING),
        (true, words::cautions::GAS),
    ] {
        if holds {
            cautions.push(Caution { code: None, text: text.to_owned() });
        }
    }
    cautions
}
