//! Turns, cleaning, people and lines of the look-ahead, by period.

use std::collections::BTreeSet;

use cellarwright_model::calendar::Role;
use cellarwright_model::case::{Job, RoleTimes};
use cellarwright_model::ids::{BeerId, CrewId, LineId, VesselId};
use cellarwright_model::plan::{Count, Leaving, Used};
use cellarwright_model::rule::RuleId;
use cellarwright_model::units::{Minutes, Volume};
use cellarwright_model::violation::{About, Amount, Violation};

use super::entry::{Batch, Entries, From, Lot, holding, kind, last_vessel, slack};
use crate::exact::Fine;
use crate::ledger::{Carbonated, Ledger};
use crate::rules::{Breaches, clean_at_end};

const ONE: i128 = Count::ONE.0 as i128;

/// R03, R08, R09 and R10 of the look-ahead.
pub fn check(ledger: &Ledger, entries: &Entries, all: &mut Vec<Violation>) {
    for period in 0..entries.periods.len() {
        let mut breaches = Breaches::of(RuleId::Turns);
        check_turns(ledger, entries, period, &mut breaches);
        all.extend(breaches.into_violations());
        let mut breaches = Breaches::of(RuleId::Clean);
        cleaning_sets(ledger, entries, period, &mut breaches);
        all.extend(breaches.into_violations());
        let mut breaches = Breaches::of(RuleId::Crew);
        crews(ledger, entries, period, &mut breaches);
        all.extend(breaches.into_violations());
        let mut breaches = Breaches::of(RuleId::Line);
        lines(ledger, entries, period, &mut breaches);
        all.extend(breaches.into_violations());
    }
    let mut breaches = Breaches::of(RuleId::Clean);
    cleaned(ledger, entries, &mut breaches);
    all.extend(breaches.into_violations());
}

fn number(wide: i128) -> Amount {
    Amount::Number(i64::try_from(wide).unwrap_or(i64::MAX))
}

fn add(
    ledger: &Ledger,
    entries: &Entries,
    period: usize,
    breaches: &mut Breaches,
    what: &'static str,
    found: Amount,
    allowed: Amount,
) {
    let slot = ledger.case.calendar.slot(entries.periods[period].first_day, 0);
    breaches.add(About::Outlook, slot, what, found, allowed);
}

/// Whether the first turn of a day is any different, so that days with brewing are counted.
#[must_use]
pub fn counts_brew_days(ledger: &Ledger) -> bool {
    ledger.case.brewhouse.first_turn != ledger.case.brewhouse.next_turn
}

/// Turns of a period, in millionths.
#[must_use]
pub fn turns(entries: &Entries, period: usize) -> i128 {
    let here = entries.batches.iter().filter(|batch| batch.from == From::Period(period));
    here.map(|batch| i128::from(batch.turns) * i128::from(batch.count)).sum()
}

/// What turns of a period take longer for their beer, with so many turns in millionths.
pub fn longer_turns<'a>(
    ledger: &'a Ledger,
    entries: &'a Entries,
    period: usize,
) -> impl Iterator<Item = (Job, i128)> + use<'a> {
    let here = entries.batches.iter().filter(move |batch| batch.from == From::Period(period));
    here.map(|batch| {
        let longer = ledger.case.beer(batch.beer).brewing.longer;
        (longer, i128::from(batch.turns) * i128::from(batch.count))
    })
}

fn check_turns(ledger: &Ledger, entries: &Entries, period: usize, breaches: &mut Breaches) {
    let brewhouse = &ledger.case.brewhouse;
    let turns = turns(entries, period);
    let parts = entries.batches.len();
    let slack = slack(parts) * i128::from(brewhouse.turns_per_day.max(1)) * 4;
    let days = i128::from(entries.working_days(ledger, Role::Brew, period)) * ONE;
    let a_day = i128::from(brewhouse.turns_per_day);
    if turns > days * a_day + slack {
        let (found, allowed) = (number(turns), number(days * a_day));
        add(ledger, entries, period, breaches, "millionths of turns", found, allowed);
        return;
    }
    let counted = entries.used(period, Used::BrewDay);
    if counts_brew_days(ledger) && (counted * a_day + slack < turns || counted > days + slack) {
        let (found, allowed) = (number(counted), number(turns / a_day.max(1)));
        add(ledger, entries, period, breaches, "millionths of brewing days", found, allowed);
        return;
    }
    let next = i128::from(brewhouse.next_turn.takes.0);
    let extra = i128::from(brewhouse.first_turn.takes.0) - next;
    let counted = if counts_brew_days(ledger) { counted } else { 0 };
    let longer: i128 =
        longer_turns(ledger, entries, period).map(|(longer, turns)| turns * i128::from(longer.takes.0)).sum();
    let (time, most) =
        (turns * next + counted * extra + longer, days * i128::from(brewhouse.hours_per_day.0));
    if Fine(time).exceeds(Fine(most + slack * next)) {
        let (found, allowed) = (Fine(time).rounded_up(), Fine(most).rounded_up());
        add(ledger, entries, period, breaches, "clock time", Amount::Time(found), Amount::Time(allowed));
    }
}

/// New lots of a period.
fn new_lots(entries: &Entries, period: usize) -> impl Iterator<Item = &Lot> {
    entries.lots.iter().filter(move |lot| lot.from == From::Period(period))
}

/// Batches that are moved into a conditioning tank in a period.
pub fn moved(entries: &Entries, period: usize) -> impl Iterator<Item = &Batch> {
    entries.batches.iter().filter(move |batch| batch.moved.is_some_and(|moved| moved.period == period))
}

/// Batches that are carbonated in their fermenter in a period.
pub fn carbonated<'a>(
    ledger: &'a Ledger,
    entries: &'a Entries,
    period: usize,
) -> impl Iterator<Item = &'a Batch> {
    entries.batches.iter().filter(move |batch| {
        let before = holding(ledger, batch.from).is_some_and(|held| held.carbonated != Carbonated::No);
        batch.leaving == Leaving::Direct(period) && !before && ledger.case.beer(batch.beer).is_forced()
    })
}

/// The jobs of filling one bright tank: purging, transfer, carbonating (of a forced beer, but not where a tank is only poured from) and,
/// for a bright-only tank, its clean.
#[must_use]
pub fn fill_job(ledger: &Ledger, lot: &Lot) -> Vec<Job> {
    let data = ledger.case.vessel(lot.vessel);
    let mut jobs = vec![data.purge.job, ledger.case.transfer.job];
    if is_gassed(ledger, lot) {
        jobs.push(ledger.case.carbonate);
    }
    if data.is_bright_only() {
        jobs.push(data.clean);
    }
    jobs
}

/// Whether a lot is carbonated in the tank that it fills.
#[must_use]
pub fn is_gassed(ledger: &Ledger, lot: &Lot) -> bool {
    ledger.case.beer(lot.beer).is_forced() && !ledger.case.vessel(lot.vessel).is_serve_only()
}

/// Person-time at the filter for filling one tank; into a tank that is only poured from beer comes filtered.
#[must_use]
pub fn at_filter(ledger: &Ledger, lot: &Lot) -> Fine {
    let is_filtered = ledger.case.vessel(lot.vessel).is_serve_only();
    match ledger.case.filter_of(ledger.case.beer(lot.beer)).filter(|_| !is_filtered) {
        Some(filter) => Fine::through(filter, lot.volume).times(filter.people),
        None => Fine::ZERO,
    }
}

/// Volume drawn by a line in a period.
#[must_use]
pub fn drawn(ledger: &Ledger, entries: &Entries, line: LineId, period: usize) -> Volume {
    let here = entries.packaging.iter().filter(|entry| entry.period == period);
    let of_line = here.filter(|entry| ledger.case.format(entry.format).line == line);
    Volume(of_line.fold(0_i64, |sum, entry| sum.saturating_add(entry.drawn.0)))
}

/// Runs of all beers on a line in a period, in millionths.
fn runs(ledger: &Ledger, entries: &Entries, line: LineId, period: usize) -> i128 {
    let beers = ledger.case.beer_ids();
    beers.map(|beer: BeerId| entries.used(period, Used::Run(line, beer))).sum()
}

/// Time of a line in a period: start-up and clean-down for each shift, the
/// shortest change for each run beyond the shifts, running.
#[must_use]
pub fn line_time(ledger: &Ledger, entries: &Entries, line: LineId, period: usize) -> Fine {
    let data = ledger.case.line(line);
    let shifts = entries.used(period, Used::LineShift(line));
    let changes = (runs(ledger, entries, line, period) - shifts).max(0);
    let set_up = shifts * i128::from((data.start_up + data.clean_down).0);
    let running = Fine::running(data, drawn(ledger, entries, line, period));
    Fine(set_up + changes * i128::from(data.shortest_change().0)) + running
}

/// Person-time of a count of jobs, added to what is needed by role.
fn need(needed: &mut [Fine; 3], crew: RoleTimes, count: i128) {
    for role in Role::ALL {
        needed[role as usize] += Fine(count.saturating_mul(i128::from(crew.of(role).0)));
    }
}

/// Person-time by role in a period.
#[must_use]
pub fn needed(ledger: &Ledger, entries: &Entries, period: usize) -> [Fine; 3] {
    let case = ledger.case;
    let mut needed = [Fine::ZERO; 3];
    let first_turns = if counts_brew_days(ledger) { entries.used(period, Used::BrewDay) } else { 0 };
    need(&mut needed, case.brewhouse.next_turn.crew, turns(entries, period) - first_turns);
    need(&mut needed, case.brewhouse.first_turn.crew, first_turns);
    for (longer, turns) in longer_turns(ledger, entries, period) {
        need(&mut needed, longer.crew, turns);
    }
    for lot in new_lots(entries, period) {
        for job in fill_job(ledger, lot) {
            need(&mut needed, job.crew, i128::from(lot.count));
        }
    }
    for lot in entries.lots.iter().filter(|lot| lot.from == From::Period(period)) {
        let time = at_filter(ledger, lot);
        needed[Role::Cellar as usize] += Fine(time.0.saturating_mul(i128::from(lot.count)) / ONE);
    }
    for batch in moved(entries, period) {
        need(&mut needed, case.transfer.job.crew, i128::from(batch.count));
        need(&mut needed, case.vessel(last_vessel(batch)).purge.job.crew, i128::from(batch.count));
    }
    for batch in carbonated(ledger, entries, period) {
        need(&mut needed, case.carbonate.crew, i128::from(batch.count));
    }
    for &(at, what, count) in &entries.uses {
        if at != period {
            continue;
        }
        if let Used::Clean(vessel) = what {
            need(&mut needed, case.vessel(vessel).clean.crew, i128::from(count));
        }
        if let Used::SecondTransfer(_) = what {
            need(&mut needed, case.transfer.job.crew, i128::from(count));
        }
    }
    for line in case.line_ids() {
        let time = line_time(ledger, entries, line, period);
        needed[Role::Package as usize] += time.times(case.line(line).people);
    }
    needed
}

fn crews(ledger: &Ledger, entries: &Entries, period: usize, breaches: &mut Breaches) {
    let case = ledger.case;
    for crew in case.crew_ids() {
        let there = entries.slots(case, period).filter(|&slot| case.crew_hours(crew, slot) > Minutes::ZERO);
        let limit = case.crew(crew).overtime.map_or(Minutes::ZERO, |limit| limit.at_most);
        let most = Fine::from(limit).times(there.count() as i64);
        let overtime = Fine(entries.used(period, Used::OvertimeMinutes(crew)));
        if overtime.exceeds(most) {
            let (found, allowed) = (overtime.rounded_up(), most.rounded_up());
            add(ledger, entries, period, breaches, "overtime", Amount::Time(found), Amount::Time(allowed));
        }
    }
    let needed = needed(ledger, entries, period);
    let mut broken: Vec<usize> = Vec::new();
    for set in [1_usize, 2, 4, 3, 5, 6, 7] {
        if broken.iter().any(|&smaller| smaller & !set == 0) {
            continue;
        }
        let roles: Vec<Role> =
            Role::ALL.into_iter().filter(|&role| set & (1 << role as usize) != 0).collect();
        let need = roles.iter().fold(Fine::ZERO, |sum, &role| sum + needed[role as usize]);
        let there = available(ledger, entries, period, &roles);
        // Rounding of counts and volumes: a few seconds for each entry.
        let parts = entries.batches.len() + entries.lots.len() + entries.uses.len() + entries.packaging.len();
        if need.exceeds(there + Fine(parts as i128 * 50_000)) {
            broken.push(set);
            let (found, allowed) = (need.rounded_up(), there.rounded_up());
            add(ledger, entries, period, breaches, "person-time", Amount::Time(found), Amount::Time(allowed));
        }
    }
}

/// The most people of a crew in a slot of a period: so many work each minute of overtime that the look-ahead counts.
#[must_use]
pub fn most_people(ledger: &Ledger, entries: &Entries, period: usize, crew: CrewId) -> i64 {
    let people = entries.slots(ledger.case, period).map(|slot| ledger.case.crew_people(crew, slot));
    people.max().unwrap_or(0)
}

fn available(ledger: &Ledger, entries: &Entries, period: usize, roles: &[Role]) -> Fine {
    let mut sum = Fine::ZERO;
    for crew in ledger.case.crew_ids() {
        let data = ledger.case.crew(crew);
        if !roles.iter().any(|&role| data.has(role)) {
            continue;
        }
        for slot in entries.slots(ledger.case, period) {
            sum += Fine::from(ledger.case.crew_hours(crew, slot)).times(ledger.case.crew_people(crew, slot));
        }
        let overtime = Fine(entries.used(period, Used::OvertimeMinutes(crew)));
        sum += overtime.times(most_people(ledger, entries, period, crew));
    }
    sum
}

fn lines(ledger: &Ledger, entries: &Entries, period: usize, breaches: &mut Breaches) {
    let case = ledger.case;
    let working: Vec<_> =
        entries.slots(case, period).filter(|&slot| case.works(Role::Package, slot)).collect();
    let overtime = case.crews.iter().filter(|crew| crew.has(Role::Package));
    let overtime = overtime.filter_map(|crew| crew.overtime.map(|limit| limit.at_most)).max();
    let hours: Minutes = working.iter().map(|&slot| case.shift_hours(slot)).sum();
    let most = Fine::from(hours) + Fine::from(overtime.unwrap_or_default()).times(working.len() as i64);
    for line in case.line_ids() {
        let shifts = entries.used(period, Used::LineShift(line));
        let working: Vec<_> = working.iter().filter(|&&slot| case.line_is_there(line, slot)).collect();
        let time = line_time(ledger, entries, line, period);
        if shifts > working.len() as i128 * ONE + slack(1) {
            let (found, allowed) = (number(shifts), number(working.len() as i128 * ONE));
            add(ledger, entries, period, breaches, "millionths of shifts", found, allowed);
        } else if time.exceeds(most) {
            let (found, allowed) = (time.rounded_up(), most.rounded_up());
            add(ledger, entries, period, breaches, "line time", Amount::Time(found), Amount::Time(allowed));
        }
    }
}

fn cleaning_sets(ledger: &Ledger, entries: &Entries, period: usize, breaches: &mut Breaches) {
    let case = ledger.case;
    let mut time = 0_i128;
    for lot in new_lots(entries, period) {
        if case.vessel(lot.vessel).is_bright_only() {
            time += i128::from(lot.count) * i128::from(case.vessel(lot.vessel).clean.takes.0);
        }
    }
    let mut parts = entries.lots.len();
    for &(_, what, count) in entries.uses.iter().filter(|used| used.0 == period) {
        parts += 1;
        let takes = match what {
            Used::Clean(vessel) => case.vessel(vessel).clean.takes,
            Used::LineShift(line) => case.line(line).clean_down,
            Used::BrewDay
            | Used::Run(..)
            | Used::SecondTransfer(_)
            | Used::BoughtYeast(_)
            | Used::OvertimeMinutes(_) => Minutes::ZERO,
        };
        time += i128::from(count) * i128::from(takes.0);
    }
    let hours: Minutes = entries.slots(case, period).map(|slot| case.shift_hours(slot)).sum();
    let most = Fine::from(hours).times(case.cleaning_sets);
    if Fine(time).exceeds(most + Fine(parts as i128 * 1_000)) {
        let (found, allowed) = (Fine(time).rounded_up(), most.rounded_up());
        add(
            ledger,
            entries,
            period,
            breaches,
            "clock time of cleans",
            Amount::Time(found),
            Amount::Time(allowed),
        );
    }
}

/// Batches filled up to each period are no more than clean vessels and cleanings by then, kind by kind.
fn cleaned(ledger: &Ledger, entries: &Entries, breaches: &mut Breaches) {
    let case = ledger.case;
    let kinds: BTreeSet<VesselId> = case
        .vessel_ids()
        .filter(|&vessel| case.vessel(vessel).is_cleaned_apart())
        .map(|vessel| kind(case, vessel))
        .collect();
    let clean = clean_at_end(ledger);
    for vessel in kinds {
        let of_kind = |other: VesselId| kind(case, other) == vessel;
        let mut clean = clean.iter().filter(|&&other| of_kind(other)).count() as i128 * ONE;
        let mut filled = 0_i128;
        for period in 0..entries.periods.len() {
            for &(_, what, count) in entries.uses.iter().filter(|used| used.0 == period) {
                if let Used::Clean(other) = what
                    && of_kind(other)
                {
                    clean += i128::from(count);
                }
            }
            let batches = entries.batches.iter().filter(|batch| batch.from == From::Period(period));
            let batches = batches.filter(|batch| of_kind(batch.vessel)).map(|batch| batch.count);
            let lots = new_lots(entries, period).filter(|lot| of_kind(lot.vessel)).map(|lot| lot.count);
            let moved =
                moved(entries, period).filter(|batch| of_kind(last_vessel(batch))).map(|batch| batch.count);
            filled += batches.chain(lots).chain(moved).map(i128::from).sum::<i128>();
            let parts = entries.batches.len() + entries.lots.len() + entries.uses.len();
            if filled > clean + slack(parts) {
                let (found, allowed) = (number(filled), number(clean));
                add(ledger, entries, period, breaches, "millionths of fills", found, allowed);
                return;
            }
        }
    }
}
