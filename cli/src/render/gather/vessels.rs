//! Every vessel across the days: cells of signs, and stays.

use std::collections::{BTreeMap, BTreeSet};

use cellarwright_checker::usage::Stay;
use cellarwright_model::calendar::Slot;
use cellarwright_model::case::{Away, Case};
use cellarwright_model::ids::VesselId;
use cellarwright_model::plan::Work;
use cellarwright_model::units::MINUTES_PER_DAY;

use super::{Facts, date, day_label};
use crate::render::view::{BeerCode, StayRow, VesselRow};
use crate::render::words::signs;

/// Letters of each beer, in the order of the beers: its initials, made different where two are the same.
#[must_use]
pub fn codes(case: &Case) -> Vec<BeerCode> {
    let mut taken: BTreeSet<String> = BTreeSet::new();
    let mut codes = Vec::new();
    for beer in &case.beers {
        let code = candidates(&beer.name).find(|code| !taken.contains(code)).unwrap_or_default();
        taken.insert(code.clone());
        codes.push(BeerCode { code, beer: beer.name.clone() });
    }
    codes
}

/// Codes for a name, the best first: its initials, its first letter with each later one, then with numbers.
fn candidates(name: &str) -> impl Iterator<Item = String> + use<> {
    let words: Vec<&str> =
        name.split(|letter: char| !letter.is_alphanumeric()).filter(|word| !word.is_empty()).collect();
    let initials: String = words.iter().take(3).filter_map(|word| word.chars().next()).collect();
    let letters: Vec<char> = name.chars().filter(|letter| letter.is_alphanumeric()).collect();
    let first: String =
        letters.first().map_or_else(|| "B".to_owned(), |letter| letter.to_uppercase().to_string());
    let mut pairs: Vec<String> = Vec::new();
    if words.len() > 1 {
        pairs.push(initials.to_uppercase());
    }
    pairs.extend(letters.iter().skip(1).map(|second| format!("{first}{}", second.to_lowercase())));
    pairs.into_iter().chain((1..).map(move |number| format!("{first}{number}")))
}

/// All vessels in the order of the file.
#[must_use]
pub fn rows(facts: &Facts) -> Vec<VesselRow> {
    let codes = codes(facts.case);
    let mut signs = signs_by_day(facts);
    facts
        .case
        .vessel_ids()
        .map(|vessel| {
            let stays: Vec<&Stay> =
                facts.report.usage.stays.iter().filter(|stay| stay.vessel == vessel).collect();
            let days = 0..facts.case.calendar.planned_days;
            let cells = cells(facts, vessel, &stays, &codes, &mut signs, days);
            VesselRow {
                vessel: facts.case.vessel(vessel).name.clone(),
                cells,
                stays: stays.iter().map(|stay| stay_row(facts, stay)).collect(),
            }
        })
        .collect()
}

/// Signs of the work on each vessel and day, in order; a fill takes its beer's code with it.
fn signs_by_day(facts: &Facts) -> BTreeMap<(VesselId, usize), Vec<Sign>> {
    let mut all: BTreeMap<(VesselId, usize), Vec<Sign>> = BTreeMap::new();
    let mut blended: Vec<(Slot, VesselId)> = Vec::new();
    for task in &facts.plan.tasks {
        let day = facts.case.calendar.day(task.slot);
        let mut add = |vessel: VesselId, sign: Sign| {
            let signs = all.entry((vessel, day)).or_default();
            if signs.last() != Some(&sign) {
                signs.push(sign);
            }
        };
        match task.work {
            Work::Brew { beer, vessel, .. } => add(vessel, Sign::Fill(beer.0)),
            Work::Transfer { from, to, .. } => {
                add(from, Sign::Of(signs::TRANSFER));
                let is_second = blended.contains(&(task.slot, to));
                blended.push((task.slot, to));
                if facts.case.vessel(to).is_bright_only() && !is_second {
                    add(to, Sign::Of(signs::CLEAN));
                }
                if let Some(beer) = facts.held(from, task.slot) {
                    add(to, Sign::Fill(beer.0));
                }
            }
            Work::Carbonate { vessel } => add(vessel, Sign::Of(signs::CARBONATE)),
            Work::Package { vessel, .. } => add(vessel, Sign::Of(signs::PACKAGE)),
            Work::Clean { vessel, .. } => add(vessel, Sign::Of(signs::CLEAN)),
            Work::Sanitise { vessel } => add(vessel, Sign::Of(signs::SANITISE)),
            Work::Pitch { .. } => {}
            Work::Crop { vessel } => add(vessel, Sign::Of(signs::CROP)),
            Work::Tank { vessel, .. } => add(vessel, Sign::Of(signs::TANK_WORK)),
            Work::Wash { .. } => {}
            Work::Dump { vessel } => add(vessel, Sign::Of(signs::DUMP)),
        }
    }
    for pour in &facts.plan.pours {
        all.entry((pour.vessel, pour.day)).or_default().push(Sign::Of(signs::POUR));
    }
    all
}

/// A sign, or a fill with a beer (its position).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Sign {
    Of(char),
    Fill(usize),
}

fn cells(
    facts: &Facts,
    vessel: VesselId,
    stays: &[&Stay],
    codes: &[BeerCode],
    signs: &mut BTreeMap<(VesselId, usize), Vec<Sign>>,
    days: std::ops::Range<usize>,
) -> Vec<String> {
    let case = facts.case;
    let code = |beer: usize| codes.get(beer).map_or("?", |code| code.code.as_str());
    let mut is_dirty = case.dirty.contains(&vessel);
    let mut cells = Vec::new();
    for day in days {
        let (first, end) = (case.calendar.slot(day, 0), case.calendar.slot(day + 1, 0));
        let held = stays.iter().find(|stay| {
            stay.from.is_none_or(|from| from < first) && stay.until.is_none_or(|until| until >= first)
        });
        let mut cell = String::new();
        let mut inside = None;
        if let Some(stay) = held {
            inside = Some(stay.beer.0);
            cell.push_str(code(stay.beer.0));
            if stay.ready.is_some_and(|ready| ready <= day as i64) {
                cell.push(signs::READY);
            }
        }
        for sign in signs.remove(&(vessel, day)).unwrap_or_default() {
            match sign {
                Sign::Fill(beer) => {
                    cell.push(signs::FILL);
                    if inside != Some(beer) {
                        cell.push_str(code(beer));
                    }
                    inside = Some(beer);
                }
                Sign::Of(sign) => {
                    cell.push(sign);
                    is_dirty &= sign != signs::CLEAN;
                }
            }
        }
        let is_emptied = |stay: &&&Stay| stay.until.is_some_and(|until| first <= until && until < end);
        if stays.iter().any(|stay| is_emptied(&stay)) {
            is_dirty = !cell.ends_with(signs::CLEAN) && case.vessel(vessel).is_cleaned_apart();
        }
        let opened = case.fixed.outages.iter().any(|outage| {
            outage.what == Away::Vessel(vessel) && outage.soils() && outage.last_day == day as i64
        });
        is_dirty |= opened && !case.vessel(vessel).is_bright_only();
        if case.is_away(Away::Vessel(vessel), first) {
            cell.push(signs::AWAY);
        }
        if cell.is_empty() {
            cell.push(if is_dirty { signs::DIRTY } else { signs::EMPTY });
        }
        cells.push(cell);
    }
    cells
}

fn stay_row(facts: &Facts, stay: &Stay) -> StayRow {
    let day_of = |slot| facts.case.calendar.day(slot) as i64;
    let on = |slot| date(facts.case, day_of(slot));
    let mut in_tank = facts.case.in_tank.iter();
    let before = || in_tank.find(|in_tank| in_tank.vessel == stay.vessel).map(|in_tank| in_tank.on);
    let filled = stay.from.map(day_of).or_else(before);
    StayRow {
        beer: facts.case.beer(stay.beer).name.clone(),
        from: stay.from.map(on),
        from_label: filled.map_or_else(String::new, |day| day_label(facts.case, day)),
        begins: stay.from.map(|slot| middle(facts.case, slot)),
        ends: stay.until.map(|slot| middle(facts.case, slot)),
        ready: stay.ready.map(|day| date(facts.case, day)),
        ready_label: stay.ready.map(|day| day_label(facts.case, day)),
        until: stay.until.map(on),
        volume_hl: stay.volume.hectolitres(),
        left_hl: stay.left.hectolitres(),
    }
}

/// The middle of a shift, in days from midnight of the first planned day.
fn middle(case: &Case, slot: Slot) -> f64 {
    let minutes = case.calendar.start(slot).0 as f64 + case.shift_hours(slot).0 as f64 / 2.0;
    minutes / MINUTES_PER_DAY as f64
}
