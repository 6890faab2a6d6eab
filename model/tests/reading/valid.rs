//! A valid pair of files: calendar, crews, outages, pins and what just fits.

use cellarwright_model::calendar::{Role, Slot, Weekdays};
use cellarwright_model::case::{Aim, Cause, FormatPair};
use cellarwright_model::ids::{CrewId, FormatId};
use cellarwright_model::units::{Minutes, Money, Share, Volume};

use crate::read;
use crate::sample::{BREWPLAN, CELLAR, ORDERS};

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
fn changes_between_formats_go_by_ordered_pair() {
    let cellar = CELLAR.replace(
        "formats:\n",
        "formats:\n  - {name: tray, line: cans, contents: 24 x 330 mL}\n  - {name: keg, line: cans, contents: 30 L}\n",
    );
    let pairs = "change: {format: 20 min, format_pairs: [{from: keg, to: [tray, can case], takes: 1.5 h}, \
                 {from: tray, to: keg, never: yes}]}";
    let outcome = read(BREWPLAN, &cellar.replace("change: {beer: 45 min}", pairs), ORDERS);
    assert_eq!(outcome.findings, Vec::new());
    let line = &outcome.case.unwrap().lines[0];
    let (tray, keg, can) = (FormatId(0), FormatId(1), FormatId(2));
    let long = Some(Minutes(90));
    assert_eq!(
        line.format_pairs,
        [
            FormatPair { from: keg, to: tray, takes: long },
            FormatPair { from: keg, to: can, takes: long },
            FormatPair { from: tray, to: keg, takes: None },
        ]
    );
    assert_eq!((line.change_format, line.format_pair(can, tray)), (Minutes(20), None));
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

#[test]
fn the_cooling_plant_has_its_limit() {
    let cellar = CELLAR.replace("heat_a_day: 5 kWh", "chills_a_day: 2");
    assert_eq!(read(BREWPLAN, &cellar, ORDERS).case.unwrap().cooling.chills_a_day, Some(2));
    // A kilowatt-hour is 3 600 kJ, a ton of refrigeration 12 000 BTU of 1.05505585 kJ an hour.
    for (text, kilojoules) in [("250 kWh", 900_000), ("10 ton-h", 126_607), ("12000 BTU", 12_661)] {
        let cellar = CELLAR.replace("5 kWh", text);
        let limit = read(BREWPLAN, &cellar, ORDERS).case.unwrap().cooling.heat_a_day;
        assert_eq!(limit.map(|heat| heat.0), Some(kilojoules), "{text}");
    }
}

#[test]
fn heat_that_no_limit_counts_is_a_caution() {
    let works = "tank_work: [{name: chill, day: 9 d, cools_by: 8 degC}, {name: check, day: 9 d}]";
    let heat = "ferments: {from: 12 degP, to: 2 degP, over: 2 d}";
    let contribution = "contribution: {can case: 170}";
    let with = |more: &str, cellar: &str| -> Vec<String> {
        let brewplan = BREWPLAN.replacen(contribution, &format!("{contribution}\n    {more}"), 1);
        let outcome = read(&brewplan, cellar, ORDERS);
        assert!(outcome.case.is_some(), "{:#?}", outcome.findings);
        let found = outcome.findings.into_iter().filter(|finding| finding.code == "V488");
        found.filter(|finding| finding.place.line.is_some()).map(|finding| finding.found).collect()
    };
    let both = format!("{heat}\n    {works}");
    assert!(with(&both, &CELLAR.replace("5 kWh", "500 kWh")).is_empty());
    for cooling in ["", "cooling: {chills_a_day: 2}"] {
        let silent = CELLAR.replace("cooling: {heat_a_day: 5 kWh}", cooling);
        assert_eq!(with(heat, &silent), ["`ferments` of Pale"]);
        assert_eq!(with(works, &silent), ["`cools_by` of Pale"]);
        assert_eq!(with(&both, &silent), ["`ferments` of Pale", "`cools_by` of Pale"]);
        assert!(with("tank_work: [{name: chill, day: 9 d}]", &silent).is_empty());
    }
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

#[test]
fn kegs_come_back_by_the_week_until_all_that_are_out_are_back() {
    let returns = |kegs: &str| {
        let plan = BREWPLAN.replace("dirty: [F2]", &format!("dirty: [F2]\nkegs: [{{name: kegs, {kegs}}}]"));
        let outcome = read(
            &plan.replace("closed: [2026-12-25]", "deliver: tue-thu, closed: [2026-12-17]"),
            CELLAR,
            ORDERS,
        );
        assert_eq!(outcome.findings, Vec::new());
        outcome.case.unwrap().kegs[0].returns.clone()
    };
    // 10 a week on three days: 3, 3 and 4. The second Thursday is closed: what would come then comes a week later.
    let all = returns("formats: can case, returns: {a_week: 10}");
    assert_eq!(all[..6], [(1, 3), (2, 3), (3, 4), (8, 3), (9, 3), (15, 4)]);
    // Of 50 that are owned 8 are clean, 10 dirty, 29 full (3 hL in cases of 10.56 L): three are out.
    let few = returns("formats: can case, owned: 50, clean: 8, dirty: 10, returns: {a_week: 5}");
    assert_eq!(few, [(1, 1), (2, 2)]);
    assert_eq!(returns("formats: can case, returns: [{on: 2026-12-09, kegs: 8}]"), [(2, 8)]);
}
