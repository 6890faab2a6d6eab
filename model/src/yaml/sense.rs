//! Checks across both files: whether what was read can be planned at all.

use super::{pressure, store};
use crate::calendar::{Calendar, Role, Slot};
use crate::case::{Aim, Beer, Case, Comes, Crew, InTank, Vessel};
use crate::finding::{Finding, PathStep, Place, Severity};
use crate::ids::{BeerId, LineId};
use crate::units::{Heat, Minutes, TemperatureDrop, Volume, decimal, mul_div};

/// The names of the two files, for places.
pub struct Files<'f> {
    /// The brew plan.
    pub brewplan: &'f str,
    /// The cellar.
    pub cellar: &'f str,
}

/// A place by keys and positions in lists.
pub fn place(file: &str, steps: &[(&str, Option<usize>)]) -> Place {
    let mut path = Vec::new();
    for &(key, item) in steps {
        path.push(PathStep::Key(key.to_owned()));
        path.extend(item.map(PathStep::Item));
    }
    Place { file: file.to_owned(), path, line: None, column: None }
}

/// A finding about a place.
pub fn finding(
    code: &'static str,
    severity: Severity,
    place: Place,
    found: &str,
    allowed: String,
    hint: Option<&str>,
) -> Finding {
    Finding { code, severity, place, found: found.to_owned(), allowed, hint: hint.map(ToOwned::to_owned) }
}

/// All findings of this file.
pub fn check(case: &Case, files: &Files) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (position, beer) in case.beers.iter().enumerate() {
        routes(case, files, position, beer, &mut findings);
        batches(case, files, position, beer, &mut findings);
        spunding(case, files, position, beer, &mut findings);
        tank_work(case, files, position, beer, &mut findings);
        idle_heat(case, files, position, beer, &mut findings);
    }
    opening_heat(case, files, &mut findings);
    manning(case, files, &mut findings);
    shifts(case, files, &mut findings);
    cleaning(case, files, &mut findings);
    sequences(case, files, &mut findings);
    visits(case, files, &mut findings);
    horizon(case, files, &mut findings);
    findings.extend(store::check(case, files));
    taproom(case, files, &mut findings);
    findings
}

/// Whether a vessel can hold the carbonated beer and feed one of its lines; where the beer is on tap, a serving tank, or a
/// vessel that fills one, need not feed any.
fn can_serve(case: &Case, id: BeerId, vessel: &Vessel) -> bool {
    let beer = case.beer(id);
    let is_tap = |vessel: &Vessel| case.tap(vessel, id).is_some();
    let fills_others = || case.vessels.iter().any(|to| to.is_serve_only() && is_tap(to));
    let is_bright = beer.bright && vessel.uses.bright;
    let is_on_tap = is_bright && is_tap(vessel)
        || (is_bright || pressure::is_packaged_from(beer, vessel)) && fills_others();
    let feeds = is_on_tap
        || beer.packaged.iter().any(|packaged| {
            let line = case.line(case.format(packaged.format).line);
            (line.pump && beer.pump) || line.feed <= pressure::limit(case, vessel)
        });
    feeds && pressure::holds(case, beer, vessel)
}

/// Beers that ferment under a pressure that no fermenter holds.
fn spunding(case: &Case, files: &Files, position: usize, beer: &Beer, findings: &mut Vec<Finding>) {
    let mut fermenters = case.vessels.iter().filter(|vessel| vessel.uses.ferment);
    if !fermenters.any(|vessel| pressure::may_spund(case, beer, vessel)) {
        let place = place(files.brewplan, &[("beers", Some(position)), ("carbonation", None)]);
        let found = format!("spunding of {}", beer.name);
        let allowed = "a fermenter whose relief setting and rating, less the margin, hold it".to_owned();
        let hint = "check volumes and temperature; the data plate decides";
        findings.push(finding("V564", Severity::Error, place, &found, allowed, Some(hint)));
    }
}

fn routes(case: &Case, files: &Files, position: usize, beer: &Beer, findings: &mut Vec<Finding>) {
    if beer.packaged.is_empty() {
        let place = place(files.brewplan, &[("beers", Some(position)), ("contribution", None)]);
        let allowed = "at least one format".to_owned();
        findings.push(finding("V501", Severity::Error, place, &beer.name, allowed, None));
        return;
    }
    let here = || place(files.brewplan, &[("beers", Some(position)), ("routes", None)]);
    let direct: Vec<&Vessel> =
        case.vessels.iter().filter(|vessel| pressure::is_packaged_from(beer, vessel)).collect();
    let bright: Vec<&Vessel> =
        case.vessels.iter().filter(|vessel| beer.bright && vessel.uses.bright).collect();
    let works = |vessels: &[&Vessel]| vessels.iter().any(|vessel| can_serve(case, BeerId(position), vessel));
    let (direct_works, bright_works) = (works(&direct), works(&bright));
    if !direct_works && !bright_works {
        let by_pressure = !direct.is_empty() || !bright.is_empty();
        let (code, allowed, hint) = if by_pressure {
            (
                "V508",
                "a vessel whose relief setting and rating, less the margin, hold this carbonation and feed a line (or serve a beer on tap)",
                "check volumes and temperature, the line's feed pressure, and whether a pump is allowed; the data plate decides",
            )
        } else {
            (
                "V501",
                "a vessel with `package` for `direct`, or with `bright` for `bright`",
                "add a use or a route",
            )
        };
        findings.push(finding(code, Severity::Error, here(), &beer.name, allowed.to_owned(), Some(hint)));
        return;
    }
    for (wanted, vessels, works, route) in
        [(beer.direct, &direct, direct_works, "direct"), (beer.bright, &bright, bright_works, "bright")]
    {
        if wanted && !works && !vessels.is_empty() {
            let found = format!("{}: {route}", beer.name);
            let allowed = "a vessel that holds and feeds it; the other route is planned".to_owned();
            findings.push(finding("V508", Severity::Caution, here(), &found, allowed, None));
        }
    }
}

fn batches(case: &Case, files: &Files, position: usize, beer: &Beer, findings: &mut Vec<Finding>) {
    let turn = beer.brewing.turn.unwrap_or(case.brewhouse.turn);
    let units = case.show_units;
    if turn > case.brewhouse.turn {
        let place = place(files.brewplan, &[("beers", Some(position)), ("turn", None)]);
        let found = format!("{} of {}", units.size(turn), beer.name);
        let allowed = format!("at most the brewhouse's {}", units.size(case.brewhouse.turn));
        findings.push(finding("V546", Severity::Error, place, &found, allowed, None));
    }
    let least = case.brewhouse.least_turn;
    let shown = |volume| units.size(volume);
    if let Some(turn) = beer.brewing.turn.filter(|&turn| turn < least) {
        findings.push(too_small(files, position, "turn", [turn, least].map(shown)));
    }
    for &part in &beer.part_turns {
        if part < least {
            findings.push(too_small(files, position, "part_turns", [part, least].map(shown)));
        }
        if part >= turn {
            let place = place(files.brewplan, &[("beers", Some(position)), ("part_turns", None)]);
            let allowed = format!("less than the beer's whole turn, {}", units.size(turn));
            let found = format!("{} of {}", units.size(part), beer.name);
            findings.push(finding("V411", Severity::Error, place, &found, allowed, None));
        }
    }
    for (turns, part) in beer.batch_sizes() {
        let wort = Volume(part.unwrap_or(turn).0 * turns);
        let fits = case
            .vessels
            .iter()
            .any(|vessel| vessel.uses.ferment && vessel.least <= wort && wort <= vessel.holds);
        if !fits {
            let key = if part.is_some() { "part_turns" } else { "turns" };
            let place = place(files.brewplan, &[("beers", Some(position)), (key, None)]);
            let found = match part {
                Some(part) => format!("{} of {}", units.size(part), beer.name),
                None => format!("{turns} turns of {}", beer.name),
            };
            let wort = units.size(wort);
            let allowed =
                format!("turns whose wort, {wort} here, lies between `least` and `holds` of a fermenter");
            findings.push(finding("V506", Severity::Error, place, &found, allowed, None));
        }
    }
}

fn too_small(files: &Files, position: usize, key: &'static str, [turn, least]: [String; 2]) -> Finding {
    let place = place(files.brewplan, &[("beers", Some(position)), (key, None)]);
    let allowed = format!("at least the brewhouse's `least_turn`, {least}");
    finding("V412", Severity::Error, place, &turn, allowed, None)
}

/// Tank work that could be put into too many shifts, or that no shift is long enough for.
fn tank_work(case: &Case, files: &Files, position: usize, beer: &Beer, findings: &mut Vec<Finding>) {
    let place = || place(files.brewplan, &[("beers", Some(position)), ("tank_work", None)]);
    if let Some(allowed) = super::tank_work::too_many(&beer.tank_work, case.calendar.shifts.len()) {
        let hint = "shorten `early` and `slip`";
        findings.push(finding("V474", Severity::Error, place(), &beer.name, allowed, Some(hint)));
    }
    let slots = (0..case.calendar.slots()).map(Slot).filter(|&slot| case.works(Role::Cellar, slot));
    let Some(longest) = slots.map(|slot| case.shift_hours(slot)).max() else { return };
    for work in beer.tank_work.iter().filter(|work| work.job.takes > longest) {
        let found = format!("{} of {}, {}", work.name, beer.name, hours(work.job.takes));
        let allowed = format!("at most {}, the longest shift with cellar work", hours(longest));
        findings.push(finding("V513", Severity::Caution, place(), &found, allowed, None));
    }
    let can_be_searched = super::tank_work::too_many(&beer.tank_work, case.calendar.shifts.len()).is_none();
    let all_fit = beer.tank_work.iter().all(|work| work.job.takes <= longest);
    if all_fit
        && can_be_searched
        && let Some(name) = super::tank_work::fits_no_brew_day(case, beer)
    {
        let found = format!("{name} of {}", beer.name);
        let allowed = "a day of brewing after which each piece falls on a day with cellar work".to_owned();
        let hint = "another `day`, or more of `early` or `slip`; until then no new batch of it is brewed";
        findings.push(finding("V486", Severity::Caution, place(), &found, allowed, Some(hint)));
    }
}

/// Heat that is stated of a beer where the cellar says nothing of how much the plant takes out.
fn idle_heat(case: &Case, files: &Files, position: usize, beer: &Beer, findings: &mut Vec<Finding>) {
    if case.cooling.heat_a_day.is_some() {
        return;
    }
    let chills = beer.tank_work.iter().any(|work| work.cools_by > TemperatureDrop::ZERO);
    for (is_given, stated, key) in
        [(beer.ferments.is_some(), "ferments", "ferments"), (chills, "cools_by", "tank_work")]
    {
        if is_given {
            let place = place(files.brewplan, &[("beers", Some(position)), (key, None)]);
            let found = format!("`{stated}` of {}", beer.name);
            let allowed = "with `heat_a_day` in the cellar's `cooling`".to_owned();
            let hint = "say what the cooling plant takes out in a day, or leave this out";
            findings.push(finding("V488", Severity::Caution, place, &found, allowed, Some(hint)));
        }
    }
}

/// Beer in tank that brings more heat than the cooling plant takes out, whatever is planned.
fn opening_heat(case: &Case, files: &Files, findings: &mut Vec<Finding>) {
    let Some(limit) = case.cooling.heat_a_day else { return };
    for day in 0..case.calendar.days() as i64 {
        let heat_of = |tank: &InTank| {
            let ferments = case.beer(tank.beer).ferments.filter(|ferments| ferments.is_on(tank.on, day));
            ferments.map_or(Heat::ZERO, |ferments| ferments.heat_a_day(tank.filled))
        };
        let heat: Heat = case.in_tank.iter().filter(|tank| !tank.is_bright).map(heat_of).sum();
        if heat > limit {
            let place = place(files.cellar, &[("cooling", None), ("heat_a_day", None)]);
            let found = format!("{} of what is in tank on day {day}", case.show_units.heat_text(heat));
            let allowed = format!("at most {}, the limit of a day", case.show_units.heat_text(limit));
            findings.push(finding("V479", Severity::Error, place, &found, allowed, None));
            return;
        }
    }
}

fn manning(case: &Case, files: &Files, findings: &mut Vec<Finding>) {
    for role in Role::ALL {
        let is_there = (0..case.calendar.slots()).any(|slot| case.works(role, Slot(slot)));
        if !is_there {
            let allowed = format!("a crew with the role `{}` on a working day", role.word());
            let place = place(files.brewplan, &[("crew", None)]);
            findings.push(finding("V509", Severity::Caution, place, role.word(), allowed, None));
        }
    }
    let in_shift = |shift: usize| {
        let packers = case.crews.iter().filter(|crew| crew.has(Role::Package));
        packers.map(|crew| crew.people_of_shift(shift)).sum::<i64>()
    };
    let most = (0..case.calendar.shifts.len()).map(in_shift).max().unwrap_or(0);
    for (position, line) in case.lines.iter().enumerate().filter(|(_, line)| line.people > most) {
        let place = place(files.cellar, &[("lines", Some(position)), ("people", None)]);
        let allowed =
            format!("at most {most}, all people with the role `package` in one shift; the line does not run");
        findings.push(finding("V510", Severity::Caution, place, &line.name, allowed, None));
    }
}

fn shifts(case: &Case, files: &Files, findings: &mut Vec<Finding>) {
    for (position, crew) in case.crews.iter().enumerate() {
        for shift in crew.shifts().map(|shift| &case.calendar.shifts[shift]) {
            if crew.hours <= shift.hours {
                continue;
            }
            let place = place(files.brewplan, &[("crew", Some(position)), ("hours", None)]);
            let found = format!("{} of {}", hours(crew.hours), crew.name);
            let allowed = format!("at most the {} of the shift `{}`", hours(shift.hours), shift.name);
            let hint = "longer work is `overtime`";
            findings.push(finding("V512", Severity::Error, place, &found, allowed, Some(hint)));
        }
        absences(files, position, crew, findings);
    }
}

/// More people absent than the shift has.
fn absences(files: &Files, position: usize, crew: &Crew, findings: &mut Vec<Finding>) {
    for absence in &crew.absent {
        let there = crew.people_of_shift(absence.shift);
        if absence.people > there {
            let place = place(files.brewplan, &[("crew", Some(position)), ("absent", None)]);
            let allowed = format!("at most {there}, the people of the shift; nobody at all is `off`");
            let found = format!("{} of {}", absence.people, crew.name);
            findings.push(finding("V423", Severity::Error, place, &found, allowed, None));
        }
    }
}

pub fn hours(time: Minutes) -> String {
    format!("{} h", decimal(mul_div(time.0, 100, 60), 2))
}

/// Vessels that no shift has time to clean; for a bright tank, to clean and fill.
fn cleaning(case: &Case, files: &Files, findings: &mut Vec<Finding>) {
    let slots = (0..case.calendar.slots()).map(Slot).filter(|&slot| case.works(Role::Cellar, slot));
    let Some(longest) = slots.map(|slot| case.shift_hours(slot)).max() else { return };
    for vessel in &case.vessels {
        // A full clean takes no less than a short one.
        let clean = vessel.cleaning(true).takes;
        let (work, takes) = if vessel.is_bright_only() {
            ("cleaning and transfer", clean + vessel.purge.job.takes + case.transfer.takes())
        } else {
            ("cleaning", clean)
        };
        if takes > longest {
            let place = place(files.cellar, &[("vessels", None)]);
            let found = format!("{work} of {}, {}", vessel.name, hours(takes));
            let allowed = format!(
                "at most {}, the longest shift with cellar work; the vessel is never filled again",
                hours(longest)
            );
            findings.push(finding("V513", Severity::Caution, place, &found, allowed, None));
        }
    }
}

/// Serving tanks that nothing is poured from, and beers on tap that no vessel serves.
fn taproom(case: &Case, files: &Files, findings: &mut Vec<Finding>) {
    if let Some(vessel) = case.vessels.iter().find(|vessel| vessel.uses.serve)
        && case.taproom.pours.is_empty()
    {
        let allowed = "a `taproom` in the brew plan; without one nothing is poured".to_owned();
        let place = place(files.cellar, &[("vessels", None)]);
        findings.push(finding("V580", Severity::Caution, place, &vessel.name, allowed, None));
    }
    for (position, tap) in case.taproom.pours.iter().enumerate() {
        let beer = case.beer(tap.beer);
        let is_filled_direct = case.vessels.iter().any(|from| pressure::is_packaged_from(beer, from));
        let is_there = |vessel: &&Vessel| {
            vessel.uses.serve && (beer.bright || vessel.is_serve_only() && is_filled_direct)
        };
        if case.vessels.iter().find(is_there).is_none() {
            let place = place(files.brewplan, &[("taproom", None), ("pours", Some(position))]);
            let allowed = "a beer that a vessel with `serve` can hold; this tap stays dry".to_owned();
            findings.push(finding("V581", Severity::Caution, place, &beer.name, allowed, None));
        }
    }
}

fn sequences(case: &Case, files: &Files, findings: &mut Vec<Finding>) {
    for (position, line) in case.lines.iter().enumerate() {
        for pair in line.never_after.iter().filter(|pair| pair.beer == pair.after) {
            let place = place(files.cellar, &[("lines", Some(position)), ("never_after", None)]);
            let allowed = "two different beers".to_owned();
            let name = &case.beer(pair.beer).name;
            findings.push(finding("V514", Severity::Error, place, name, allowed, None));
        }
    }
}

/// Mobile lines that never come in the days that are planned or looked ahead to.
fn visits(case: &Case, files: &Files, findings: &mut Vec<Finding>) {
    let slots = || (0..case.calendar.slots()).map(Slot).filter(|&slot| case.works(Role::Package, slot));
    for (position, line) in case.lines.iter().enumerate().filter(|(_, line)| line.comes != Comes::Always) {
        if !slots().any(|slot| case.line_is_there(LineId(position), slot)) {
            let place = place(files.cellar, &[("lines", Some(position)), ("comes", None)]);
            let allowed = "a date of the plan or its look-ahead with packaging work".to_owned();
            findings.push(finding("V532", Severity::Caution, place, &line.name, allowed, None));
        }
    }
}

fn horizon(case: &Case, files: &Files, findings: &mut Vec<Finding>) {
    let Calendar { look_ahead_days, .. } = case.calendar;
    let longest = case.beers.iter().map(Beer::stay_days).max().unwrap_or(0);
    if look_ahead_days > 0 && (look_ahead_days as i64) < longest + 7 {
        let place = place(files.brewplan, &[("look_ahead", None)]);
        let allowed = format!("the longest stay and a week, {} d, so that brewing is worth it", longest + 7);
        findings.push(finding(
            "V410",
            Severity::Caution,
            place,
            &format!("{look_ahead_days} d"),
            allowed,
            None,
        ));
    }
    if case.aim == Aim::Output(None) {
        let place = place(files.brewplan, &[("aim", None)]);
        let allowed = "a `mix`; without one such a plan brews the fastest beer".to_owned();
        findings.push(finding("V511", Severity::Caution, place, "output", allowed, None));
    }
    for (position, pool) in case.kegs.iter().enumerate() {
        if case.aim != Aim::Orders && pool.days_out.is_some() {
            let place = place(files.brewplan, &[("kegs", Some(position)), ("days_out", None)]);
            let allowed = "`aim: orders`, for kegs come back `days_out` after a delivery".to_owned();
            let hint = "`back_after` counts from the filling";
            findings.push(finding("V487", Severity::Caution, place, &pool.name, allowed, Some(hint)));
        }
    }
}
