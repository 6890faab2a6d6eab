//! Outages: random cases against trying everything, and weeks worked by hand.

use std::path::Path;

use cellarwright_model::calendar::Role;
use cellarwright_model::case::{Away, Case, Cause, Job, Liquor, Outage, RoleTimes};
use cellarwright_model::ids::{LineId, VesselId};
use cellarwright_model::units::{Minutes, Rate, Volume};
use cellarwright_model::yaml::read_case;
use cellarwright_solver::{NoObserver, solve};
use cellarwright_tests::brute::best_plan;
use cellarwright_tests::generator::make;
use cellarwright_tests::random::Random;
use cellarwright_tests::small::hl;

use crate::ahead::is_valued_alike;
use crate::oracle::{compare, exact};

/// Cases that must be compared.
const CASES: usize = 16;

pub(crate) fn random_outage(made: &Case, random: &mut Random) -> Outage {
    let days = made.calendar.planned_days as i64;
    let first_day = random.between(-1, days - 1);
    let vessels = made.vessels.len() as i64;
    let what = match random.between(0, 5) {
        0 => Away::Line(LineId(0)),
        1 => Away::Brewhouse,
        _ => Away::Vessel(VesselId(random.between(0, vessels - 1) as usize)),
    };
    let is_full = made.in_tank.iter().any(|tank| Away::Vessel(tank.vessel) == what);
    let is_upkeep = matches!(what, Away::Vessel(_)) && random.percent(60) && !(is_full && first_day < 2);
    Outage {
        what,
        first_day,
        last_day: first_day + random.between(0, 1),
        cause: if is_upkeep { Cause::Upkeep } else { Cause::Outage },
        reason: String::new(),
        must_be_empty: is_upkeep,
        crew: RoleTimes::only(random.one_of(&[Role::Brew, Role::Cellar]), Minutes(random.between(0, 2) * 60)),
    }
}

#[test]
fn with_outages_the_program_finds_what_trying_everything_finds() {
    let mut wrong = Vec::new();
    let (mut compared, mut turned, mut seed) = (0, 0, 5_000);
    while compared < CASES {
        let mut case = make(seed).case;
        let mut random = Random::new(seed);
        if random.percent(40) {
            case.cleaning.stays_clean = Minutes(random.between(1, 4) * 24 * 60);
        }
        for _ in 0..random.between(1, 2) {
            let outage = random_outage(&case, &mut random);
            case.fixed.outages.push(outage);
        }
        if let Some(brute) = best_plan(&case, 2_500) {
            match solve(&case, &exact(), &NoObserver) {
                Ok(answer) => {
                    wrong.extend(compare(seed, &case, &brute, &answer));
                    compared += 1;
                    let free = Case { fixed: Default::default(), ..case };
                    let without = solve(&free, &exact(), &NoObserver).expect("it solves");
                    turned += usize::from(without.objective > answer.objective + 100);
                }
                Err(error) => wrong.push(format!("seed {seed}: {error} {error:?}")),
            }
        }
        seed += 1;
        assert!(seed < 5_000 + 6 * CASES as u64, "too many cases are too big");
    }
    assert!(wrong.is_empty(), "{} disagreements:\n{}", wrong.len(), wrong.join("\n"));
    assert!(turned * 4 > CASES, "outages matter in {turned} of {CASES} cases only");
}

fn packaged(name: &str) -> Volume {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../cases/tiny").join(name).join("brewplan.yaml");
    let case = read_case(&path).case.expect("a case");
    let answer = solve(&case, &exact(), &NoObserver).expect("it solves");
    assert!(answer.bound as f64 - answer.objective as f64 <= 1e-3 * answer.objective as f64);
    answer.report.breakdown.packaged_planned
}

/// Worked by hand at the top of the case.
#[test]
fn a_tank_that_must_be_empty_on_tuesday_loses_the_fill_of_monday() {
    assert_eq!(packaged("one-bright"), hl(80));
    assert_eq!(packaged("tank-inspected"), hl(40));
}

/// With a look-ahead the checker passes outages, long brews and liquor in it, and values them as the program does.
#[test]
fn in_the_look_ahead_outages_and_long_brews_are_valued_alike() {
    let mut wrong = Vec::new();
    let mut compared = 0;
    for seed in 300..318 {
        let mut case = make(seed).case;
        case.calendar.look_ahead_days = 10 + (seed % 8) as usize;
        let mut random = Random::new(seed);
        for _ in 0..2 {
            let mut outage = random_outage(&case, &mut random);
            if random.percent(50) {
                outage.first_day += case.calendar.planned_days as i64;
                outage.last_day += case.calendar.planned_days as i64 + random.between(0, 6);
            }
            let is_full = case.in_tank.iter().any(|tank| Away::Vessel(tank.vessel) == outage.what);
            outage.must_be_empty &= !is_full;
            case.fixed.outages.push(outage);
        }
        for beer in &mut case.beers {
            let takes = Minutes(random.between(0, 3) * 60);
            beer.brewing.longer = Job { takes, crew: RoleTimes::only(Role::Brew, takes) };
        }
        if random.percent(40) {
            let (tank, per_turn) = (case.brewhouse.turn, case.brewhouse.turn);
            let makes = Rate(per_turn.0 / random.between(2, 12));
            case.brewhouse.liquor.push(Liquor { tank, per_turn, makes });
        }
        compared += usize::from(is_valued_alike(seed, &case, &mut wrong));
    }
    assert!(wrong.is_empty(), "{} wrong\n{}", wrong.len(), wrong.join("\n"));
    assert!(compared > 6, "{compared} compared");
}
