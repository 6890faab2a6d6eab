//! Sizing arithmetic: how many fermenters a volume needs, package sizes in law, losses one after the other.

use cellarwright_model::case::{Aim, Case, Stage};
use cellarwright_model::units::{MILLILITRES_PER_US_BARREL, MILLILITRES_PER_US_GALLON, Share, Volume};
use cellarwright_solver::{NoObserver, Options, solve};
use cellarwright_tests::small::{beer, case, fast_line, hl, hours, kegs, percent, unitank};

/// Fermenters for a volume: volume into them x days in them / (days x fill x availability), rounded up (Little's law).
fn fermenters(volume: f64, residence: f64, days: f64, fill: f64, availability: f64) -> f64 {
    volume * residence / (days * fill * availability)
}

#[test]
fn worked_examples_of_the_formula() {
    // Worked by hand from the formula: 10.09, 11.33, 7.52.
    assert!((fermenters(5_000.0, 21.0, 365.0, 30.0, 0.95) - 10.09).abs() < 0.01);
    assert!((fermenters(5_000.0 / 0.94, 14.0, 365.0, 20.0, 0.90) - 11.33).abs() < 0.01);
    assert!((fermenters(2_000.0 / 0.95, 18.0, 365.0, 15.0, 0.92) - 7.52).abs() < 0.01);
}

/// Fermenters of 20 hL with a four-day cycle (stay of three days, clean and fill on the fourth), without losses.
fn cellar(fermenters: usize, cycles: usize) -> Case {
    let mut made = case(4 * cycles);
    made.aim = Aim::Output(None);
    made.brewhouse.turns_per_day = fermenters as i64;
    made.brewhouse.hours_per_day = hours(24);
    made.cleaning_sets = 10;
    made.crews[0].people = 100;
    let mut one = beer("beer", &[0]);
    one.bright = false;
    one.stay = vec![Stage { name: "ferment".into(), days: 3 }];
    one.during_chill = true;
    one.loss_tank = Share(0);
    one.loss_direct = Share(0);
    made.beers.push(one);
    made.lines.push(fast_line("line"));
    made.formats.push(kegs(0));
    made.vessels = (0..fermenters).map(|number| unitank(&format!("F{number}"), hl(20))).collect();
    made
}

/// Where loads are even the formula is exact: the plan with so many fermenters makes the volume, with one fewer it does not.
#[test]
fn the_formula_is_exact_for_equal_tanks_and_an_even_load() {
    let cycles = 3;
    for volume in [60, 100, 180] {
        let exact = fermenters(f64::from(volume), 4.0, 4.0 * cycles as f64, 20.0, 1.0);
        let needed = exact.ceil() as usize;
        let output = |tanks: usize| {
            let options = Options { seconds: 60.0, gap: 1e-4, threads: 1, seed: 0 };
            let answer = solve(&cellar(tanks, cycles), &options, &NoObserver).expect("it solves");
            answer.report.breakdown.packaged_planned
        };
        assert!(output(needed) >= hl(volume.into()), "{volume} hL with {needed}");
        if needed > 1 {
            assert!(output(needed - 1) < hl(volume.into()), "{volume} hL with {}", needed - 1);
        }
    }
}

#[test]
fn barrels_and_kegs() {
    // 27 CFR 25.11: a barrel is 31 US gallons; the gallon is 3.785411784 L exactly.
    assert!((MILLILITRES_PER_US_BARREL - 31.0 * MILLILITRES_PER_US_GALLON).abs() < 1e-6);
    // 27 CFR 25.156, in barrels to five decimals.
    for (litres, barrels) in [(30.0, 0.25565), (50.0, 0.42608)] {
        let found: f64 = litres * 1_000.0 / MILLILITRES_PER_US_BARREL;
        assert!((found - barrels).abs() < 0.6e-5, "{litres} L: {found}");
    }
    assert!((5.0 / 31.0_f64 - 0.16129).abs() < 0.6e-5);
    // Fractions of the barrel in litres, worked from 27 CFR 25.11.
    for (part, litres) in [(2.0, 58.674), (4.0, 29.337), (6.0, 19.558)] {
        let found = MILLILITRES_PER_US_BARREL / part / 1_000.0;
        assert!((found - litres).abs() < 5e-4, "1/{part}: {found}");
    }
    // A hectolitre is 0.852168 barrel.
    assert!((100_000.0 / MILLILITRES_PER_US_BARREL - 0.852_168).abs() < 1e-6);
}

/// Losses of 2, 5, 2 and 2 % one after the other leave 89.41 % (worked by hand), here through a whole plan:
/// tank, transfer, line and format.
#[test]
fn losses_compound() {
    let mut made = cellar(1, 2);
    made.beers[0].direct = false;
    made.beers[0].bright = true;
    made.vessels.push(cellarwright_tests::small::bright("B", hl(20)));
    made.beers[0].loss_tank = percent(5);
    made.transfer.loss_share = percent(2);
    made.transfer.loss_fixed = Volume::ZERO;
    made.formats[0].loss = percent(2);
    let wort = hl(20);
    let arrived = percent(2).taken_off(percent(5).taken_off(wort));
    made.lines[0].loss = Volume(arrived.0 * 2 / 100);
    let options = Options { seconds: 60.0, gap: 0.0, threads: 1, seed: 0 };
    let answer = solve(&made, &options, &NoObserver).expect("it solves");
    let share = answer.report.breakdown.packaged_planned.0 as f64 / wort.0 as f64;
    assert!((share - 0.98 * 0.95 * 0.98 * 0.98).abs() < 1e-6, "{share}");
}
