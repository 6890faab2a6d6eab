//! Reading the files: a valid pair, and one fault of every kind.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

mod sample;

use cellarwright_model::calendar::{Role, Slot, Weekdays};
use cellarwright_model::case::{Aim, Cause, Cleaning, Reach, TankWorkKind};
use cellarwright_model::finding::{Finding, PathStep, Severity};
use cellarwright_model::ids::{BeerId, CrewId, LineId};
use cellarwright_model::units::{Carbonation, Minutes, Money, Share, Temperature, Volume};
use cellarwright_model::yaml::{ALL_CODES, ReadOutcome, read_texts};
use sample::{BREWPLAN, CELLAR, ORDERS};

fn read(brewplan: &str, cellar: &str, orders: &str) -> ReadOutcome {
    read_texts(&[
        ("brewplan.yaml", brewplan.as_bytes()),
        ("cellar.yaml", cellar.as_bytes()),
        ("orders.csv", orders.as_bytes()),
    ])
}

#[test]
fn a_valid_pair_is_a_case() {
    let outcome = read(BREWPLAN, CELLAR, ORDERS);
    assert_eq!(outcome.findings, Vec::new());
    let case = outcome.case.unwrap();
    assert_eq!(case.vessels.len(), 3);
    assert_eq!(case.vessels[0].relief, case.vessels[0].rated);
    assert_eq!(case.brewhouse.hours_per_day, Minutes(14 * 60));
    assert_eq!((case.transfer.loss_fixed, case.transfer.loss_share), (Volume(40_000), Share(5_000)));
    assert_eq!(case.lines[0].never_after.len(), 1);
    assert_eq!(case.formats[0].contents, Volume(10_560));
    assert_eq!(case.calendar.planned_days, 7);
    assert_eq!(case.calendar.look_ahead_days, 35);
    assert_eq!(
        case.calendar.work[Role::Cellar as usize],
        Weekdays([true, true, true, true, true, true, false])
    );
    assert_eq!(case.calendar.shifts[0].hours, Minutes(420));
    assert_eq!(case.beers[0].stay_days(), 12);
    assert_eq!(case.beers[0].must_leave, 12 + 5 + 14);
    assert_eq!(case.beers[1].packaged[0].contribution, Money(10_000));
    assert_eq!(case.aim, Aim::Orders);
    assert_eq!(case.orders[1].quantity, Volume(240 * 10_560));
    assert_eq!(case.orders[0].due, 4);
    assert_eq!((case.in_tank[0].on, case.in_tank[0].ready), (-10, 3));
    assert_eq!(case.dirty.len(), 1);
    assert_eq!((case.clock_times, case.brewhouse.knock_out), (false, Minutes(60)));
    assert_eq!((case.rates.labour, case.rates.missed_firm), (Money(3_250), Share(4_000_000)));
}

#[test]
fn a_filtered_beer_goes_by_bright_tanks() {
    let cellar =
        CELLAR.replace("cleaning:", "filters: [{name: plates, rate: 20 hL/h, loss: 30 L + 1 %}]\ncleaning:");
    let outcome =
        read(&BREWPLAN.replace("routes: bright", "routes: bright\n    filter: yes"), &cellar, ORDERS);
    assert_eq!(outcome.findings, Vec::new());
    let case = outcome.case.unwrap();
    assert_eq!(case.filter_of(&case.beers[1]).map(|filter| filter.name.as_str()), Some("plates"));
    let direct = BREWPLAN.replace("routes: [direct, bright]", "routes: [direct, bright]\n    filter: plates");
    let outcome = read(&direct, &cellar, ORDERS);
    assert!(outcome.findings.iter().any(|finding| finding.code == "V597"), "{:#?}", outcome.findings);
}

#[test]
fn a_mobile_line_and_its_changes_are_read() {
    let cellar = CELLAR
        .replace("beer: 45 min", "beer: 45 min, pairs: [{from: [Stout], to: Pale, takes: 90 min}]")
        .replace(
            "least_run: 5 hL",
            "comes: {from: 2026-12-10, every: 2 weeks}\n    visit: 900\n    least_visit: 20 hL",
        );
    let outcome = read(BREWPLAN, &cellar, ORDERS);
    assert_eq!(outcome.findings, Vec::new());
    let case = outcome.case.unwrap();
    let line = &case.lines[0];
    assert_eq!(line.change(BeerId(1), BeerId(0)), Minutes(90));
    assert_eq!(line.change(BeerId(0), BeerId(1)), Minutes(45));
    assert_eq!((line.visit, line.least_visit), (Money(90_000), Volume(2_000_000)));
    let there: Vec<usize> = (0..42).filter(|&slot| case.line_is_there(LineId(0), Slot(slot))).collect();
    assert_eq!(there, [3, 17, 31]);
}

#[test]
fn outages_and_pins_are_read() {
    let settled = "dirty: [F2]
outages: [{line: cans, from: 2026-12-08, to: 2026-12-09, reason: belt}]
upkeep:
  - {brewhouse: yes, from: 2026-12-10, crew: {brew: 3 h}}
  - {vessel: F2, from: 2026-12-11}
pinned:
  - {leave: B1, from: 2026-12-07}
  - {brew: Pale, on: 2026-12-08, vessel: F2, turns: 2}
  - {transfer: Pale, from: F1, to: B1}
  - {clean: F2, on: 2026-12-07}
  - {package: Pale, format: can case, volume: 3 hL, on: 2026-12-10}
";
    let outcome = read(&BREWPLAN.replace("dirty: [F2]", settled), CELLAR, ORDERS);
    assert_eq!(outcome.findings, Vec::new());
    let case = outcome.case.unwrap();
    let outages = &case.fixed.outages;
    assert_eq!(outages.len(), 4);
    assert_eq!((outages[0].first_day, outages[0].last_day, outages[0].must_be_empty), (1, 2, false));
    assert_eq!((outages[2].first_day, outages[2].last_day, outages[2].must_be_empty), (4, 4, true));
    assert_eq!((outages[3].cause, outages[3].must_be_empty), (Cause::Left, false));
    let days: Vec<Option<usize>> = case.fixed.pins.iter().map(|pin| pin.day).collect();
    assert_eq!(days, [Some(1), None, Some(0), Some(3)]);
}

/// A change to one of the files and the code that it must bring.
struct Fault {
    code: &'static str,
    file: &'static str,
    from: &'static str,
    to: &'static str,
    severity: Severity,
}

const fn error(code: &'static str, file: &'static str, from: &'static str, to: &'static str) -> Fault {
    Fault { code, file, from, to, severity: Severity::Error }
}

const fn caution(code: &'static str, file: &'static str, from: &'static str, to: &'static str) -> Fault {
    Fault { code, file, from, to, severity: Severity::Caution }
}

const DIRTY: &str = "dirty: [F2]";

const FAULTS: &[Fault] = &[
    error("V100", "b", "dirty: [F2]", "dirty: [F2"),
    error("V101", "b", "cellar: cellar.yaml", "cellar: other.yaml"),
    error("V105", "b", "  - name: Pale", "\t- name: Pale"),
    error("V107", "b", "dirty: [F2]", "dirty: &d [F2]"),
    error("V108", "o", "12 hL,2026-12-11", "12 hL,more,2026-12-11"),
    error("V109", "o", "quantity", "amount"),
    error("V110", "b", "dirty:", "dirtty:"),
    error("V110", "c", "altitude:", "altitud:"),
    error("V111", "c", "    rated: 300 kPa\n", ""),
    error("V112", "c", "people: 3", "people: three"),
    error("V112", "b", "routes: [direct, bright]", "routes: [direct, bright]\n    blend: often"),
    error("V113", "c", "uses: [bright]", "uses: [brite]"),
    error("V113", "b", "carbonation: {volumes: 2.5, at: 2 degC, during_chill: yes}", "carbonation: nune"),
    error("V201", "b", "vessel: F1", "vessel: F9"),
    error("V202", "b", "stock:\n  - {beer: Pale", "stock:\n  - {beer: Pail"),
    error("V202", "o", "Stout,can", "Stoot,can"),
    error("V203", "o", "Pale,can case", "Pale,can crate"),
    error("V204", "b", "hours: 7 h, days: mon-sat", "hours: 7 h, shift: late"),
    error("V205", "c", "[F1, F2]", "[F1, F1, F2]"),
    error("V206", "c", "line: cans, contents", "line: kegs, contents"),
    error("V291", "b", "stay: {ferment: 14 d}", "stay: {ferment: 14 d}\n    condition_from: lager"),
    error("V598", "b", "stay: {ferment: 14 d}", "stay: {ferment: 14 d}\n    condition_from: ferment"),
    error("V301", "c", "holds: 40 hL\n    least: 16", "holds: 40\n    least: 16"),
    error("V301", "c", "cleaning: {sets: 1}", "cleaning: {sets: 1}\nwarm_store: 60"),
    error("V401", "b", "quantity: 3 hL}", "quantity: 3 hL, from: 2026-12-32}"),
    error("V302", "c", "rated: 300 kPa", "rated: 300 hL"),
    error("V303", "c", "loss: 80 L", "loss: -80 L"),
    error("V304", "c", "turn: 20 hL", "turn: 20000000 hL"),
    error("V305", "c", "turn: 20 hL", "turn: 0 hL"),
    error("V306", "c", "least: 16 hL", "least: 160 hL"),
    error("V307", "c", "rated: 300 kPa", "rated: 300 kPa\n    relief: 400 kPa"),
    error("V401", "b", "starts: 2026-12-07", "starts: 2026-12-32"),
    error("V401", "o", "2026-12-11", "2026-02-30"),
    error("V402", "b", "aim: orders", "aim: orders\nshifts: [{name: day, starts: \"25:00\", hours: 8 h}]"),
    error("V403", "b", "brew: mon-fri", "brew: mon-fry"),
    error("V404", "b", "stay: {ferment: 14 d}", "stay: {ferment: 0 d}"),
    error("V405", "b", "routes: bright", "routes: bright\n    must_leave: 3 d"),
    error("V406", "o", "2026-12-11", "2026-12-01"),
    caution("V407", "o", "2026-12-11", "2027-12-11"),
    error("V408", "b", "on: 2026-11-27", "on: 2026-12-08"),
    error("V409", "b", "ready: 2026-12-10", "ready: 2026-11-10"),
    caution("V410", "b", "look_ahead: 5 weeks", "look_ahead: 1 week"),
    error("V421", "b", "closed: [2026-12-25]", "closed: [2026-12-25 to 2026-12-24]"),
    error("V401", "b", "closed: [2026-12-25]", "closed: [2026-12-25 to Christmas]"),
    error("V422", "b", "hours: 7 h, days: mon-sat", "hours: 7 h, break: 7 h"),
    error("V423", "b", "hours: 7 h, days: mon-sat", "hours: 7 h, absent: [{on: 2026-12-08, people: 3}]"),
    error(
        "V424",
        "b",
        "people: 2, roles: [brew, cellar]",
        "people: 2, shifts: {day: 2}, roles: [brew, cellar]",
    ),
    error(
        "V424",
        "b",
        "people: 2, roles: [brew, cellar]",
        "shift: day, shifts: {day: 2}, roles: [brew, cellar]",
    ),
    error("V204", "b", "people: 2, roles: [brew, cellar]", "shifts: {night: 2}, roles: [brew, cellar]"),
    error("V112", "b", "people: 2, roles: [brew, cellar]", "shifts: {}, roles: [brew, cellar]"),
    error("V301", "b", "at_most: 1 h, cost", "at_most: 1 h, a_week: 3, cost"),
    error("V112", "b", "aim: orders", "aim: orders\nclock_times: perhaps"),
    error("V301", "c", "turns_per_day: 2", "turns_per_day: 2\n  knock_out: 1"),
    error(
        "V425",
        "b",
        "people: 2, roles: [brew, cellar]",
        "people: 2, check_only: yes, roles: [brew, cellar]",
    ),
    error("V301", "c", "loss: 3 %}", "loss: 3 %, overfill: 0.5}"),
    error("V112", "c", "loss: 3 %}", "loss: 3 %, pallet: many}"),
    error("V208", "b", "    routes: bright\n", "    routes: bright\n    contribution: {}\n"),
    error(
        "V406",
        "b",
        "orders: orders.csv",
        "orders: [{beer: Pale, format: can case, quantity: 1 hL, due: 2026-12-01, late: {at_most: 2 d, cost: 1}}]",
    ),
    error(
        "V431",
        "b",
        "orders: orders.csv",
        "rates: [{beer: Pale, format: can case, a_week: 1 hL, likely: 70 %, firm: yes}]",
    ),
    error(
        "V111",
        "b",
        "orders: orders.csv",
        "orders: [{beer: Pale, format: can case, quantity: 1 hL, due: 2026-12-11, late: {at_most: 2 d}}]",
    ),
    caution(
        "V432",
        "b",
        "    contribution: {can case: 170}",
        "    contribution: {can case: 170}\n    fresh: 30 d",
    ),
    error(
        "V433",
        "b",
        "orders: orders.csv",
        "rates: [{beer: Pale, format: can case, a_week: 1 hL, from: 2026-12-20, to: 2026-12-19}]",
    ),
    error(
        "V403",
        "b",
        "orders: orders.csv",
        "rates: [{beer: Pale, format: can case, a_week: 1 hL, due: none}]",
    ),
    error("V408", "b", "quantity: 3 hL}", "quantity: 3 hL, packaged_on: 2026-12-07}"),
    error(
        "V535",
        "c",
        "formats:\n",
        "cold_store: {holds: 9 hL, overflow: {at_most: 2 pallets, cost: 1}}\nformats:\n",
    ),
    error("V536", "c", "formats:\n", "cold_store: {holds: 9 pallets}\nformats:\n"),
    error("V301", "c", "formats:\n", "cold_store: {holds: 9}\nformats:\n"),
    error("V303", "c", "formats:\n", "cold_store: {holds: -9 pallets}\nformats:\n"),
    error("V203", "c", "formats:\n", "cold_store: {holds: 9 hL, formats: [keg]}\nformats:\n"),
    caution(
        "V533",
        "c",
        "formats:\n",
        "cold_store: {holds: 2 hL, overflow: {at_most: 0.9 hL, cost: 1}}\nformats:\n",
    ),
    caution("V534", "b", "    routes: bright\n", "    routes: bright\n    release: 3 d\n    fresh: 3 d\n"),
    error(
        "V113",
        "b",
        "stock:\n",
        "keep: [{beer: Pale, format: can case, at_least: 5 hL, cost: 3, each: month}]\nstock:\n",
    ),
    error("V111", "b", "stock:\n", "keep: [{beer: Pale, format: can case, at_least: 5 hL}]\nstock:\n"),
    error("V501", "b", "routes: bright", "routes: []"),
    error("V501", "c", "uses: [bright]", "uses: [ferment]"),
    error("V502", "b", "filled: 40 hL", "filled: 41 hL"),
    error("V503", "b", "dirty: [F2]", "  - {vessel: F1, beer: Pale, filled: 20 hL, on: 2026-12-01}"),
    error("V504", "b", "routes: [direct, bright]", "routes: direct\n    x"),
    error("V505", "b", "dirty: [F2]", "dirty: [F1]"),
    error("V506", "b", "turns: [1, 2]", "turns: [1, 3]"),
    error("V507", "c", "uses: [bright]", "uses: [bright, package]"),
    error("V508", "c", "rated: 300 kPa", "rated: 50 kPa"),
    caution("V508", "c", "rated: 200 kPa", "rated: 50 kPa"),
    caution("V509", "b", "roles: [brew, cellar]", "roles: [cellar]"),
    caution("V510", "c", "people: 3", "people: 30"),
    caution("V511", "b", "aim: orders", "aim: output"),
    error("V512", "b", "aim: orders", "aim: orders\nshifts: [{name: day, starts: \"06:00\", hours: 6.5 h}]"),
    caution("V513", "c", "clean: {takes: 2 h", "clean: {takes: 5 h"),
    caution("V513", "c", "clean: {takes: 3 h", "clean: {takes: 8 h"),
    error("V441", "b", DIRTY, "dirty: [F2]\noutages: [{vessel: F2, from: 2026-12-09, to: 2026-12-08}]"),
    error("V541", "b", DIRTY, "dirty: [F2]\noutages: [{from: 2026-12-09}]"),
    error("V541", "b", DIRTY, "dirty: [F2]\nupkeep: [{line: cans, from: 2026-12-09, may_hold_beer: yes}]"),
    error("V542", "b", DIRTY, "dirty: [F2]\nupkeep: [{vessel: F1, from: 2026-12-07}]"),
    error("V442", "b", DIRTY, "dirty: [F2]\npinned: [{brew: Pale, on: 2026-12-14}]"),
    error("V543", "b", DIRTY, "dirty: [F2]\npinned: [{on: 2026-12-09}]"),
    error("V543", "b", DIRTY, "dirty: [F2]\npinned: [{brew: Pale, clean: F1}]"),
    error("V544", "b", DIRTY, "dirty: [F2]\npinned: [{clean: B1}]"),
    error("V544", "b", DIRTY, "dirty: [F2]\npinned: [{brew: Pale, turns: 3}]"),
    error("V544", "b", DIRTY, "dirty: [F2]\npinned: [{brew: Pale, vessel: B1}]"),
    error("V544", "b", DIRTY, "dirty: [F2]\npinned: [{transfer: Stout, to: F2}]"),
    error("V544", "b", DIRTY, "dirty: [F2]\npinned: [{package: Pale, from: B1, volume: 20 hL}]"),
    error("V204", "b", DIRTY, "dirty: [F2]\npinned: [{clean: F2, shift: night}]"),
    error("V201", "b", DIRTY, "dirty: [F2]\npinned: [{leave: F7, from: 2026-12-09}]"),
    error(
        "V545",
        "c",
        "  turns_per_day: 2\n",
        "  turns_per_day: 2\n  liquor: {hot: {tank: 20 hL, per_turn: 24 hL, makes: 6 hL/h}}\n",
    ),
    error("V546", "b", "turns: [1, 2]", "turns: [1, 2]\n    turn: 21 hL"),
    error("V411", "b", "turns: [1, 2]", "turns: [1, 2]\n    part_turns: 20 hL"),
    error("V305", "b", "turns: [1, 2]", "turns: [1, 2]\n    part_turns: [0 hL]"),
    error("V506", "b", "turns: [1, 2]", "turns: [1, 2]\n    part_turns: [1 L]"),
    error("V544", "b", DIRTY, "dirty: [F2]\npinned: [{brew: Pale, part_turn: 12 hL}]"),
    error("V412", "c", "  turns_per_day: 2\n", "  turns_per_day: 2\n  least_turn: 21 hL\n"),
    error("V305", "b", "turns: [1, 2]", "turns: [1, 2]\n    turn: 0 hL"),
    error("V301", "b", "turns: [1, 2]", "turns: [1, 2]\n    brew_longer: 90"),
    error("V206", "b", DIRTY, "dirty: [F2]\noutages: [{line: kegs, from: 2026-12-09}]"),
    error("V207", "b", "ready: 2026-12-10", "done: [dry hop]"),
    error("V207", "b", "ready: 2026-12-10", "done_on: {dry hop: 2026-12-03}"),
    error(
        "V205",
        "b",
        "contribution: {can case: 170}",
        "contribution: {can case: 170}\n    tank_work: [{name: rest, day: 2 d}, {name: rest, day: 3 d}]",
    ),
    error(
        "V470",
        "b",
        "contribution: {can case: 170}",
        "contribution: {can case: 170}\n    tank_work: [{name: dry hop, day: 12 d}]",
    ),
    error(
        "V470",
        "b",
        "contribution: {can case: 170}",
        "contribution: {can case: 170}\n    tank_work: [{name: dry hop, day: 0 d}]",
    ),
    error(
        "V471",
        "b",
        "contribution: {can case: 170}",
        "contribution: {can case: 170}\n    tank_work: [{name: dry hop, day: 6 d}, {name: chill, day: 5 d}]",
    ),
    error(
        "V472",
        "b",
        "contribution: {can case: 170}",
        "contribution: {can case: 170}\n    tank_work: [{name: dry hop, day: 6 d, early: 6 d}]",
    ),
    error(
        "V473",
        "b",
        "contribution: {can case: 170}",
        "contribution: {can case: 170}\n    tank_work: [{name: dry hop, day: 6 d, contact: 7 d}]",
    ),
    error(
        "V474",
        "b",
        "contribution: {can case: 170}",
        "contribution: {can case: 170}\n    tank_work: [{name: dry hop, day: 6 d, slip: 40 d}, {name: chill, day: 9 d, slip: 40 d}]",
    ),
    error(
        "V480",
        "b",
        "aim: orders",
        "aim: orders\ntaproom: {pours: [{beer: Pale, a_day: {mon-fri: 40 L, fri-sun: 60 L}}]}",
    ),
    error("V305", "b", "aim: orders", "aim: orders\ntaproom: {pours: [{beer: Pale, a_day: 0 L}]}"),
    error("V403", "b", "aim: orders", "aim: orders\ntaproom: {pours: [{beer: Pale, a_day: {mon-fry: 4 L}}]}"),
    error("V202", "b", "aim: orders", "aim: orders\ntaproom: {pours: [{beer: Pail, a_day: 40 L}]}"),
    error("V301", "b", "aim: orders", "aim: orders\ntaproom: {pours: [{beer: Pale, a_day: 40}]}"),
    error(
        "V205",
        "b",
        "aim: orders",
        "aim: orders\ntaproom: {pours: [{beer: Pale, a_day: 40 L}, {beer: Pale, a_day: 9 L}]}",
    ),
    caution("V580", "c", "uses: [bright]", "uses: [bright, serve]"),
    caution("V581", "b", "aim: orders", "aim: orders\ntaproom: {pours: [{beer: Pale, a_day: 40 L}]}"),
    error("V583", "c", "uses: [bright]", "uses: [serve]"),
    error("V582", "c", "refill: next shift", "refill: next shift\n    rest: 12 h"),
    error("V209", "b", "turns: [1, 2]", "turns: [1, 2]\n    yeast: ale"),
    error("V481", "b", "beers:", "yeasts: [{name: ale, crop: {from: 5 d, to: 4 d, pitches: 3}}]\nbeers:"),
    error("V482", "b", "beers:", "yeasts: [{name: ale, keeps: 5 d, keeps_at_most: 3 d}]\nbeers:"),
    error("V205", "b", "beers:", "yeasts: [{name: ale}, {name: ale}]\nbeers:"),
    error("V484", "b", "ready: 2026-12-10", "generation: 2"),
    error(
        "V485",
        "b",
        "beers:",
        "yeasts: [{name: ale}]\nyeast_in_store: [{yeast: ale, generation: 2, cropped: 2026-12-07}]\nbeers:",
    ),
    error(
        "V301",
        "b",
        "beers:",
        "yeasts: [{name: ale, crop: {from: 5 d, to: 6 d, pitches: 3, not_above: 16}}]\nbeers:",
    ),
    error("V514", "c", "after: Stout", "after: Pale"),
    error(
        "V531",
        "c",
        "beer: 45 min",
        "beer: 45 min, pairs: [{from: Stout, to: [Pale, Stout], takes: 90 min}]",
    ),
    error("V202", "c", "beer: 45 min", "beer: 45 min, pairs: [{from: Stout, to: Pail, takes: 90 min}]"),
    error("V301", "c", "beer: 45 min", "beer: 45 min, pairs: [{from: Stout, to: Pale, takes: 90}]"),
    error("V401", "c", "least_run: 5 hL", "comes: [2026-12-32]"),
    error("V305", "c", "least_run: 5 hL", "comes: {from: 2026-12-10, every: 0 d}"),
    error("V111", "c", "least_run: 5 hL", "comes: {from: 2026-12-10}"),
    error("V303", "c", "least_run: 5 hL", "visit: -900"),
    error("V301", "c", "least_run: 5 hL", "least_visit: 20"),
    error("V595", "b", "routes: bright\n", "routes: bright\n    filter: yes\n"),
    error("V595", "b", "routes: bright\n", "routes: bright\n    filter: plates\n"),
    error("V596", "c", "refill: next shift", "reaches: [B9]"),
    error("V305", "c", "cleaning:", "filters: [{name: plates, rate: 0 hL/h}]\ncleaning:"),
    error("V302", "c", "cleaning:", "filters: [{name: plates, rate: 20 hL}]\ncleaning:"),
    error(
        "V205",
        "c",
        "cleaning:",
        "filters: [{name: a, rate: 20 hL/h}, {name: a, rate: 20 hL/h}]\ncleaning:",
    ),
    error("V304", "c", "loss: 40 L + 0.5 %", "at_once: 0"),
    error("V591", "b", "dirty: [F2]", "kegs: [{name: kegs, formats: [can case, can case]}]"),
    error(
        "V592",
        "b",
        "dirty: [F2]",
        "kegs: [{name: kegs, formats: can case, owned: 10, clean: 8, dirty: 3}]",
    ),
    error("V305", "b", "dirty: [F2]", "kegs: [{name: kegs, formats: can case, back_after: 0 d}]"),
    error("V303", "b", "dirty: [F2]", "kegs: [{name: kegs, formats: can case, clean: -1}]"),
    error("V203", "b", "dirty: [F2]", "kegs: [{name: kegs, formats: keg}]"),
    error(
        "V593",
        "b",
        "dirty: [F2]",
        "kegs: [{name: kegs, formats: can case, returns: [{on: 2026-12-06, kegs: 8}]}]",
    ),
    error("V594", "b", "dirty: [F2]", "materials: [{name: cans, uses: {}}]"),
    error("V203", "b", "dirty: [F2]", "materials: [{name: cans, uses: {cans: 24}}]"),
    error("V202", "b", "dirty: [F2]", "materials: [{name: cans, uses: {can case: 24}, beers: Pail}]"),
    error("V301", "b", "dirty: [F2]", "materials: [{name: cans, uses: {can case: 24}, lead: 10}]"),
    error(
        "V205",
        "b",
        "dirty: [F2]",
        "materials: [{name: a, uses: {can case: 1}}, {name: a, uses: {can case: 1}}]",
    ),
    error("V302", "c", "cleaning:", "keg_washer: {pace: 40 L/h, people: 1}\ncleaning:"),
    error("V305", "c", "cleaning:", "keg_washer: {pace: 0 kegs/h, people: 1}\ncleaning:"),
    error("V113", "c", "cleaning:", "keg_washer: {pace: 40 kegs/h, people: 1, role: brew}\ncleaning:"),
    caution("V532", "c", "least_run: 5 hL", "comes: [2026-12-13]"),
    error("V231", "c", "sets: 1", "sets: [{name: one, cleans: [F1, F2, B1, canz]}, {name: two}]"),
    error("V205", "c", "sets: 1", "sets: [{name: one}, {name: one}]"),
    error("V304", "c", "sets: 1", "sets: []"),
    error("V111", "c", "sets: 1", "sets: [{cleans: cans}]"),
    error("V305", "c", "sets: 1", "sets: 1, clean_within: 0 d"),
    error("V301", "c", "sets: 1", "sets: 1, stays_clean: 24"),
    error("V561", "c", "sets: 1", "sets: [{name: one, cleans: [F1, F2, B1]}]"),
    error(
        "V563",
        "b",
        "routes: bright",
        "routes: bright\n    carbonation: none\n    nitrogen: {pressure: 160 kPa, takes: 12 h}",
    ),
    error("V111", "b", "routes: bright", "routes: bright\n    nitrogen: {takes: 12 h}"),
    error("V111", "b", "during_chill: yes", "spund: {volumes: 2.5}"),
    error("V564", "b", "during_chill: yes", "spund: {volumes: 2.5, at: 20 degC}"),
    error("V302", "c", "rated: 300 kPa", "rated: 300 kPa\n    beer_height: 3 hL"),
    error("V562", "c", "clean: {takes: 3 h", "purge: {takes: 30 min}\n    clean: {takes: 3 h"),
    error("V111", "c", "clean: {takes: 2 h", "purge: {gas: 2}\n    clean: {takes: 2 h"),
];

fn changed(fault: &Fault) -> ReadOutcome {
    let mut texts = [BREWPLAN.to_owned(), CELLAR.to_owned(), ORDERS.to_owned()];
    let position = ["b", "c", "o"].iter().position(|name| *name == fault.file).unwrap();
    assert!(texts[position].contains(fault.from), "{}: `{}` is not in the sample", fault.code, fault.from);
    texts[position] = texts[position].replacen(fault.from, fault.to, 1);
    read(&texts[0], &texts[1], &texts[2])
}

#[test]
fn every_fault_has_its_code_and_a_place() {
    for fault in FAULTS.iter().filter(|fault| fault.code != "V504") {
        let outcome = changed(fault);
        let found: Vec<&Finding> = outcome
            .findings
            .iter()
            .filter(|finding| (finding.code, finding.severity) == (fault.code, fault.severity))
            .collect();
        assert!(!found.is_empty(), "{} by `{}`: {:#?}", fault.code, fault.to, outcome.findings);
        assert!(!found[0].allowed.is_empty());
        assert_eq!(outcome.case.is_none(), fault.severity == Severity::Error, "{}", fault.code);
        let whole_file = matches!(fault.code, "V101" | "V102");
        assert!(whole_file || found[0].place.line.is_some(), "{}: {:?}", fault.code, found[0]);
    }
}

#[test]
fn beer_may_ferment_under_pressure_and_get_nitrogen() {
    let cellar = CELLAR.replace("rated: 200 kPa", "rated: 250 kPa\n    beer_height: 2.5 m");
    let brewplan = BREWPLAN
        .replace("during_chill: yes", "spund: {at: 18 degC}")
        .replace("routes: bright", "routes: bright\n    nitrogen: {pressure: 160 kPa, takes: 12 h}");
    let outcome = read(&brewplan, &cellar, ORDERS);
    assert_eq!(outcome.findings, Vec::new());
    let case = outcome.case.unwrap();
    assert_eq!(case.vessels[0].beer_height, 2_500);
    let spund = case.beers[0].spund.unwrap();
    assert_eq!((spund.carbonation, spund.at), (Carbonation(2_500), Temperature(18_000)));
    assert!(!case.beers[0].is_forced() && case.beers[0].holds_gas() && case.beers[1].is_forced());
    assert_eq!(case.carbonating_takes(&case.beers[0]), Minutes(360));
    assert_eq!(case.carbonating_takes(&case.beers[1]), Minutes(720));
}

#[test]
fn cleaning_sets_may_have_names() {
    let plain = read(BREWPLAN, CELLAR, ORDERS).case.unwrap();
    assert_eq!((plain.cleaning_sets, plain.cleaning.clone()), (1, Cleaning::default()));
    let cellar = CELLAR
        .replace(
            "sets: 1",
            "sets: [{name: tanks, cleans: [F1, F2, B1]}, {name: all}], stays_clean: 12 h, clean_within: 3 d",
        )
        .replace(
            "refill: next",
            "purge: {takes: 30 min, crew: {cellar: 10 min}, gas: 2.50}\n    refill: next",
        );
    let outcome = read(BREWPLAN, &cellar, ORDERS);
    let case = outcome.case.unwrap();
    assert_eq!((case.cleaning_sets, case.cleaning.stays_clean), (2, Minutes(720)));
    assert_eq!(case.cleaning.clean_within, Some(3));
    assert_eq!((case.vessels[0].reach, case.lines[0].reach), (Reach(3), Reach(2)));
    assert_eq!(case.cleaning.names(Reach(3)), ["tanks", "all"]);
    let purge = case.vessels[2].purge;
    assert_eq!((purge.job.takes, purge.gas), (Minutes(30), Money(250)));
}

#[test]
fn every_code_is_tested() {
    let hostile = ["V102", "V103", "V104", "V106", "V114"];
    let more = ["V597", "V308", "V475", "V483"];
    for code in ALL_CODES {
        let is_tested = FAULTS.iter().any(|fault| fault.code == *code);
        assert!(is_tested || hostile.contains(code) || more.contains(code), "{code} has no test");
    }
}

#[test]
fn shares_of_a_mix_add_up_to_no_more_than_everything() {
    let mix = "aim: {output: {mix: [{beer: Pale, share: 70 %}, {beer: Stout, share: 40 %}], tolerance: 5 %}}";
    let outcome = read(&BREWPLAN.replace("aim: orders", mix), CELLAR, ORDERS);
    assert!(outcome.findings.iter().any(|finding| finding.code == "V308"), "{:#?}", outcome.findings);
    let sound = read(&BREWPLAN.replace("aim: orders", &mix.replace("70", "60")), CELLAR, ORDERS);
    assert!(sound.case.is_some(), "{:#?}", sound.findings);
}

#[test]
fn conditioning_tanks_and_what_may_be_in_them() {
    let stay = "stay: {ferment: 6 d, dry hop: 4 d, chill: 2 d}";
    let brewplan = BREWPLAN
        .replace(stay, &format!("{stay}\n    condition_from: dry hop"))
        .replace("dirty: [F2]", "  - {vessel: C1, beer: Pale, filled: 20 hL, on: 2026-12-01}");
    let tank = "  - names: [C1]\n    uses: [condition, package]\n    holds: 40 hL\n    rated: 200 kPa\n    clean: {takes: 2 h, crew: {cellar: 1 h}}\ncleaning:";
    let outcome = read(&brewplan, &CELLAR.replace("cleaning:", tank), ORDERS);
    assert_eq!(outcome.findings, Vec::new());
    let case = outcome.case.unwrap();
    assert_eq!((case.beers[0].conditions, case.beers[1].conditions), (Some(6), None));
    assert_eq!(case.beers[0].days_to_move(), Some((6, 11)));
    let uses = case.vessels[3].uses;
    assert!(uses.condition && uses.package && !uses.ferment && case.vessels[3].is_cleaned_apart());
    assert!(case.was_moved(&case.in_tank[1]) && !case.was_moved(&case.in_tank[0]));
    assert_eq!((case.in_tank[1].on, case.in_tank[1].ready), (-6, 6));
}

#[test]
fn beer_that_is_not_forced() {
    use cellarwright_model::case::Carbonating;
    let gas = "carbonation: {volumes: 2.5, at: 2 degC, during_chill: yes}";
    for (word, meant) in [("none", Carbonating::No), ("in package", Carbonating::InPackage)] {
        let outcome = read(&BREWPLAN.replace(gas, &format!("carbonation: {word}")), CELLAR, ORDERS);
        assert_eq!(outcome.findings, Vec::new());
        assert_eq!(outcome.case.unwrap().beers[0].carbonating, meant);
    }
    let brewplan = BREWPLAN.replace("quantity: 3 hL}", "quantity: 3 hL, from: 2026-12-09}");
    let case = read(&brewplan, &format!("{CELLAR}warm_store: 60 hL\n"), ORDERS).case.unwrap();
    assert_eq!((case.stock[0].from, case.warm_store), (2, Some(Volume(6_000_000))));
}

#[test]
fn tank_work_is_read_and_what_is_done_of_it() {
    let work = "contribution: {can case: 170}\n    tank_work:\n      - {name: dry hop, day: 6 d, slip: 1 d, crew: {cellar: 1 h}, alone: yes, contact: 3 d}\n      - {name: second check, kind: gravity check, day: 8 d, moves: no}\n      - {name: cool, kind: chill, day: 10 d, early: 1 d, takes: 20 min}";
    let with = |done: &str| {
        let brewplan = BREWPLAN
            .replace("contribution: {can case: 170}", work)
            .replace(", ready: 2026-12-10}", &format!("{done}}}"));
        read(&brewplan, CELLAR, ORDERS)
    };
    let outcome = with("");
    assert_eq!(outcome.findings, Vec::new());
    let case = outcome.case.unwrap();
    let pieces = &case.beers[0].tank_work;
    let kinds: Vec<TankWorkKind> = pieces.iter().map(|piece| piece.kind).collect();
    assert_eq!(kinds, [TankWorkKind::DryHop, TankWorkKind::GravityCheck, TankWorkKind::Chill]);
    assert_eq!((pieces[0].day, pieces[0].slip, pieces[0].contact, pieces[0].alone), (6, 1, 3, true));
    assert_eq!((pieces[1].moves, pieces[2].early, pieces[2].job.takes), (false, 1, Minutes(20)));
    // Brewed ten days before day 0: where nothing is said, what was due before day 0 is done.
    assert_eq!((case.in_tank[0].work_done.clone(), case.in_tank[0].ready), (vec![-4, -2], 2));
    let nothing = with(", done: []").case.unwrap();
    assert_eq!((nothing.in_tank[0].work_done.clone(), nothing.in_tank[0].ready), (vec![], 2));
    // A dry hop two days late makes the beer ready two days late.
    let late = with(", done_on: {dry hop: 2026-12-05}").case.unwrap();
    assert_eq!((late.in_tank[0].work_done.clone(), late.in_tank[0].ready), (vec![-2], 4));
    let all = with(", done: second check, done_on: {dry hop: 2026-12-04}").case.unwrap();
    assert_eq!((all.in_tank[0].work_done.clone(), all.in_tank[0].ready), (vec![-3, -1], 3));
    for wrong in ["2026-12-08", "2026-11-27"] {
        let outcome = with(&format!(", done_on: {{dry hop: {wrong}}}"));
        assert_eq!(outcome.findings.iter().map(|finding| finding.code).collect::<Vec<_>>(), ["V475"]);
    }
}

#[test]
fn yeast_is_read() {
    let yeasts = "yeasts:\n  - {name: ale, bought: {price: 90, lead: 3 d}, crop: {from: 5 d, to: 9 d, pitches: 3, not_above: 16 degP, before: leaving}, keeps: 3 d, keeps_at_most: 7 d, late_cost: 20, generations: 6}\nyeast_in_store:\n  - {yeast: ale, generation: 2, cropped: 2026-12-05, pitches: 2}\nbeers:";
    let with = |gravity: &str, cropped: &str| {
        let brewplan = BREWPLAN
            .replace("beers:", yeasts)
            .replace("turns: [1, 2]", &format!("turns: [1, 2]\n    yeast: ale\n    pitch: per turn{gravity}"))
            .replace("ready: 2026-12-10", &format!("generation: 3, cropped: {cropped}"));
        read(&brewplan, CELLAR, ORDERS)
    };
    let outcome = with("\n    gravity: 12.5 degP", "no");
    assert_eq!(outcome.findings, Vec::new());
    let case = outcome.case.unwrap();
    let strain = &case.yeast.strains[0];
    let crop = strain.crop.unwrap();
    assert_eq!((crop.from, crop.to, crop.pitches, crop.before_dry_hop), (5, 9, 3, false));
    assert_eq!((strain.keeps, strain.keeps_at_most, strain.generations), (3, 7, 6));
    let beer = case.beers[0].yeast.unwrap();
    assert_eq!((beer.gravity.unwrap().0, beer.pitches(2), case.beers[1].yeast), (1_250, 2, None));
    assert_eq!((case.yeast.in_store[0].cropped, case.yeast.in_tank.len()), (-2, 1));
    let cropped = with("\n    gravity: 12.5 degP", "yes").case.unwrap();
    assert_eq!(cropped.yeast.in_tank, []);
    let codes: Vec<&str> = with("", "no").findings.iter().map(|finding| finding.code).collect();
    assert_eq!(codes, ["V483"]);
}

#[test]
fn the_cooling_plant_has_its_limit() {
    let cellar = CELLAR.replace("cleaning: {sets: 1}", "cleaning: {sets: 1}\ncooling: {chills_a_day: 2}");
    assert_eq!(read(BREWPLAN, &cellar, ORDERS).case.unwrap().cooling.chills_a_day, Some(2));
}

#[test]
fn names_of_broken_entries_are_not_called_unknown() {
    let codes = |brewplan: &str, cellar: &str| {
        let outcome = read(brewplan, cellar, ORDERS);
        assert!(outcome.case.is_none());
        outcome.findings.iter().map(|finding| finding.code).collect::<Vec<_>>()
    };
    assert_eq!(
        codes(BREWPLAN, &CELLAR.replace("holds: 40 hL\n    least: 18", "holds: 40\n    least: 18")),
        ["V301"]
    );
    assert_eq!(codes(BREWPLAN, &CELLAR.replace("24 x 440 mL", "24 x 440")), ["V301"]);
    assert_eq!(codes(BREWPLAN, &CELLAR.replace("vessels:", "vesels:")), ["V111", "V110"]);
    let both = BREWPLAN.replace("vessel: F1", "vessel: F7").replace("dirty:", "dirtty:");
    assert_eq!(codes(&both, CELLAR), ["V201", "V110"]);
}

#[test]
fn work_that_just_fits_its_shift_is_no_finding() {
    // Seven hours of shift: two hours of cleaning and five of transfer, seven hours of cleaning a fermenter.
    let brewplan =
        BREWPLAN.replace("dirty: [F2]", "dirty: [F2]\nshifts: [{name: day, starts: \"06:00\", hours: 7 h}]");
    let cellar = CELLAR
        .replace("transfer: {takes: 3 h", "transfer: {takes: 5 h")
        .replace("clean: {takes: 3 h", "clean: {takes: 7 h");
    assert_ne!(cellar, CELLAR);
    assert_eq!(read(&brewplan, &cellar, ORDERS).findings, Vec::new());
}

#[test]
fn a_beer_in_a_bright_tank_needs_the_bright_route() {
    let brewplan = BREWPLAN
        .replace("routes: bright", "routes: direct")
        .replace("dirty: [F2]", "  - {vessel: B1, beer: Stout, filled: 20 hL, on: 2026-12-01}");
    let outcome = read(&brewplan, CELLAR, ORDERS);
    assert!(outcome.findings.iter().any(|finding| finding.code == "V504"), "{:#?}", outcome.findings);
}

#[test]
fn all_findings_of_all_files_come_at_once_with_hints_and_places() {
    let brewplan = BREWPLAN.replace("dirty:", "dirtty:").replace("vessel: F1", "vessel: F7");
    let cellar = CELLAR.replace("holds: 40 hL\n    least: 16", "holds: 40\n    least: 16");
    let orders = ORDERS.replace("Pale,can case", "Pale,can cases");
    let outcome = read(&brewplan, &cellar, &orders);
    let codes: Vec<&str> = outcome.findings.iter().map(|finding| finding.code).collect();
    assert_eq!(codes, ["V201", "V110", "V301", "V203"]);
    let places: Vec<(&str, Option<usize>, Option<usize>)> = outcome
        .findings
        .iter()
        .map(|finding| (finding.place.file.as_str(), finding.place.line, finding.place.column))
        .collect();
    assert_eq!(places[0], ("brewplan.yaml", Some(27), Some(6)));
    assert_eq!(places[1], ("brewplan.yaml", Some(28), Some(1)));
    assert_eq!(places[2], ("cellar.yaml", Some(18), Some(5)));
    assert_eq!(places[3], ("orders.csv", Some(2), Some(2)));
    assert_eq!(outcome.findings[1].hint.as_deref(), Some("did you mean `dirty`?"));
    assert_eq!(outcome.findings[3].hint.as_deref(), Some("did you mean `can case`?"));
    let path = [PathStep::Key("vessels".into()), PathStep::Item(1), PathStep::Key("holds".into())];
    assert_eq!(outcome.findings[2].place.path, path);
}

#[test]
fn line_ends_and_byte_order_marks_do_not_matter() {
    let windows = format!("\u{feff}{}", BREWPLAN.replace('\n', "\r\n"));
    let outcome = read(&windows, &CELLAR.replace('\n', "\r\n"), &ORDERS.replace('\n', "\r\n"));
    assert_eq!(outcome.findings, Vec::new());
}

#[test]
fn files_with_faults_without_end_are_cut_short() {
    let keys: String = (0..100_000).map(|number| format!("key{number}: 1\n")).collect();
    let outcome = read_texts(&[("brewplan.yaml", keys.as_bytes())]);
    assert_eq!(outcome.findings.iter().filter(|finding| finding.code == "V114").count(), 1);
    assert!(outcome.findings.len() < 300, "{}", outcome.findings.len());

    let orders: String = (0..100_000).map(|_| "Pail,can case,12 hL,2026-12-11,yes\n").collect();
    let outcome = read(BREWPLAN, CELLAR, &format!("beer,format,quantity,due,firm\n{orders}"));
    assert_eq!(outcome.findings.iter().filter(|finding| finding.code == "V114").count(), 1);

    let many = ORDERS.to_owned() + &"Pale,can case,12 hL,2026-12-11,yes\n".repeat(100_000);
    let outcome = read(BREWPLAN, CELLAR, &many);
    let codes: Vec<&str> = outcome.findings.iter().map(|finding| finding.code).collect();
    assert_eq!(codes, ["V304"]);

    let names = format!("names: [{}]", (0..100_000).map(|number| format!("T{number}, ")).collect::<String>());
    let outcome = read(BREWPLAN, &CELLAR.replace("names: [B1]", &names), ORDERS);
    assert!(outcome.findings.iter().any(|finding| finding.code == "V304"));
}

#[cfg(unix)]
#[test]
fn a_device_is_not_read() {
    let outcome = cellarwright_model::yaml::read_case(std::path::Path::new("/dev/zero"));
    let codes: Vec<&str> = outcome.findings.iter().map(|finding| finding.code).collect();
    assert_eq!(codes, ["V101"]);
}

#[test]
fn hostile_files_end_in_a_finding() {
    let deep = format!("brewplan: {}x{}", "[".repeat(100_000), "]".repeat(100_000));
    let bomb = "a: &a [x, x]\nb: &b [*a, *a]\nc: &c [*b, *b]\n".to_owned();
    let dashes = "- ".repeat(100_000);
    let stairs: String = (0..400).map(|depth| format!("{}a:\n", " ".repeat(depth))).collect();
    let large = "# comment\n".repeat(600_000);
    for (text, code) in [
        (String::new(), "V102"),
        ("# only a comment\n".to_owned(), "V102"),
        (deep, "V106"),
        (dashes, "V106"),
        (stairs, "V106"),
        (bomb, "V107"),
        (large, "V103"),
        ("brewplan: a\u{0}b".to_owned(), "V104"),
        ("just words".to_owned(), "V112"),
    ] {
        let outcome = read_texts(&[("brewplan.yaml", text.as_bytes())]);
        let codes: Vec<&str> = outcome.findings.iter().map(|finding| finding.code).collect();
        assert_eq!(codes, [code], "{}", &text[..text.len().min(40)]);
        assert!(outcome.case.is_none());
    }
    let outcome = read_texts(&[("brewplan.yaml", &[0xff, 0xfe, 0x00, 0x80])]);
    assert_eq!(outcome.findings[0].code, "V104");
}

/// A small generator of the SplitMix64 kind, from memory; the seed is fixed.
struct Numbers(u64);

impl Numbers {
    fn below(&mut self, limit: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        usize::try_from((mixed ^ (mixed >> 31)) % limit as u64).unwrap()
    }
}

#[test]
fn broken_bytes_never_panic() {
    let mut numbers = Numbers(7);
    for round in 0..600 {
        let mut texts =
            [BREWPLAN.as_bytes().to_vec(), CELLAR.as_bytes().to_vec(), ORDERS.as_bytes().to_vec()];
        let chosen = &mut texts[round % 3];
        if round % 4 == 0 {
            let end = numbers.below(chosen.len());
            chosen.truncate(end);
        }
        for _ in 0..=numbers.below(4) {
            if !chosen.is_empty() {
                let position = numbers.below(chosen.len());
                let odd = b"-:[]{}\"'0123456789 \n#&*x%\xff";
                chosen[position] = odd[numbers.below(odd.len())];
            }
        }
        let outcome = read_texts(&[
            ("brewplan.yaml", &texts[0]),
            ("cellar.yaml", &texts[1]),
            ("orders.csv", &texts[2]),
        ]);
        let has_error = outcome.findings.iter().any(|finding| finding.severity == Severity::Error);
        assert_eq!(outcome.case.is_none(), has_error, "round {round}: {:#?}", outcome.findings);
    }
}

#[test]
fn a_crew_of_several_shifts_with_breaks_and_days_off() {
    let crew = "shifts: {late: 1, early: 2}, roles: [brew, cellar], hours: 7 h, break: 30 min, days: mon-sat,\n    \
        off: [2026-12-09, 2026-12-24 to 2026-12-27], absent: [{on: 2026-12-08, people: 1, shift: late}],\n    \
        overtime: {at_most: 2 h, a_week: 5 h, cost: 30}}";
    let text = BREWPLAN
        .replace("people: 2, roles: [brew, cellar], hours: 7 h, days: mon-sat}", crew)
        .replace("people: 3, roles: [package]", "people: 3, shift: early, roles: [package]")
        .replace(
            "aim: orders",
            "aim: orders\nshifts: [{name: late, starts: \"14:00\", hours: 8 h}, {name: early, starts: \"06:00\", hours: 8 h}]",
        );
    let outcome = read(&text, CELLAR, ORDERS);
    assert_eq!(outcome.findings, Vec::new());
    let case = outcome.case.unwrap();
    let brewers = CrewId(0);
    // Two early, one late, who is absent on Tuesday.
    let people: Vec<i64> = (0..6).map(|slot| case.crew_people(brewers, Slot(slot))).collect();
    assert_eq!(people, [2, 1, 2, 0, 0, 0]);
    assert_eq!(case.crew_hours(brewers, Slot(0)), Minutes(390));
    assert_eq!(case.crew_hours(brewers, Slot(3)), Minutes(0));
    // Christmas is day 18; mon-sat leaves out Sundays.
    assert!((17..21).all(|day| case.crew_people(brewers, case.calendar.slot(day, 0)) == 0));
    assert_eq!(case.crew_people(brewers, case.calendar.slot(21, 0)), 2);
    assert_eq!(case.crews[0].overtime.unwrap().a_week, Some(Minutes(300)));
}
