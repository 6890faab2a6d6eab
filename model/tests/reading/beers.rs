//! What the files say of beers: gas, tank work, yeast, routes.

use cellarwright_model::case::TankWorkKind;
use cellarwright_model::finding::Severity;
use cellarwright_model::units::{Carbonation, Minutes, Temperature, Volume};

use crate::read;
use crate::sample::{BREWPLAN, CELLAR, ORDERS};

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
fn a_beer_in_a_bright_tank_needs_the_bright_route() {
    let brewplan = BREWPLAN
        .replace("routes: bright", "routes: direct")
        .replace("dirty: [F2]", "  - {vessel: B1, beer: Stout, filled: 20 hL, on: 2026-12-01}");
    let outcome = read(&brewplan, CELLAR, ORDERS);
    assert!(outcome.findings.iter().any(|finding| finding.code == "V504"), "{:#?}", outcome.findings);
}

#[test]
fn a_serving_tank_of_a_beer_on_tap_need_not_feed_a_line() {
    // No vessel gives the line the pressure that it needs.
    let cellar =
        CELLAR.replace("feed: {pressure: 80 kPa, pump: allowed}", "feed: {pressure: 290 kPa, pump: no}");
    let serving = cellar.replace("uses: [bright]", "uses: [bright, serve]");
    let pours = "aim: orders\ntaproom: {pours: [{beer: Pale, a_day: 40 L}, {beer: Stout, a_day: 40 L}]}";
    let with_taproom = BREWPLAN.replace("aim: orders", pours);
    let found = |brewplan: &str, cellar: &str| {
        let findings = read(brewplan, cellar, ORDERS).findings.into_iter();
        let by_pressure = findings.filter(|finding| finding.code == "V508");
        by_pressure.map(|finding| (finding.severity, finding.found)).collect::<Vec<_>>()
    };
    let neither = vec![(Severity::Error, "Pale".to_owned()), (Severity::Error, "Stout".to_owned())];
    assert_eq!(found(&with_taproom, &cellar), neither);
    assert_eq!(found(BREWPLAN, &serving), neither);
    assert_eq!(found(&with_taproom, &serving), [(Severity::Caution, "Pale: direct".to_owned())]);
    // A tank that does not hold the carbonation does not pour it either.
    let weak = serving.replace("rated: 300 kPa", "rated: 50 kPa");
    assert_eq!(found(&with_taproom, &weak), neither);
}
