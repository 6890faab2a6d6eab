//! Heat that the cooling plant takes out: cases worked by hand.

use std::path::Path;

use cellarwright_checker::check;
use cellarwright_model::case::{Case, TankWork, TankWorkKind};
use cellarwright_model::plan::Plan;
use cellarwright_model::rule::RuleId;
use cellarwright_model::units::{Heat, TemperatureDrop, Volume};
use cellarwright_model::yaml::read_case;
use cellarwright_solver::{Answer, NoObserver, solve};
use cellarwright_tests::small::{dry_hop, hl};

use crate::oracle::exact;
use crate::tank_work::{chilled_on, two_tanks};

fn cool_cellar() -> Case {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../cases/tiny/cool-cellar/brewplan.yaml");
    read_case(&path).case.expect("a case")
}

fn best(made: &Case) -> Answer {
    solve(made, &exact(), &NoObserver).expect("it solves")
}

fn breaks(made: &Case, plan: &Plan) -> bool {
    check(made, plan).violations.iter().any(|found| found.rule == RuleId::TankWork)
}

/// The comment of the case says why.
#[test]
fn one_tank_may_ferment_at_a_time() {
    let made = cool_cellar();
    assert_eq!(best(&made).report.breakdown.packaged_planned, hl(20));
    let mut larger = made.clone();
    larger.cooling.heat_a_day = Some(Heat(40 * 3_600));
    let answer = best(&larger);
    assert_eq!(answer.report.breakdown.packaged_planned, hl(40));
    assert!(!breaks(&larger, &answer.plan));
    assert!(breaks(&made, &answer.plan));
}

/// Brewed in the week that is only counted on, beer brings its heat as well: a plant that takes nothing lets nothing be brewed.
#[test]
fn the_week_after_is_cooled_too() {
    let mut made = cool_cellar();
    (made.calendar.planned_days, made.calendar.look_ahead_days) = (2, 14);
    let free = |limit: Option<i64>| {
        let mut made = made.clone();
        made.cooling.heat_a_day = limit.map(Heat);
        let answer = best(&made);
        let periods = answer.plan.outlook.batches.iter().filter(|batch| batch.turns > 0);
        let counted: i64 = periods.map(|batch| batch.count.0).sum();
        (counted, answer)
    };
    let (unlimited, answer) = free(None);
    // A turn brings 68 127 kJ on each of two days: a quarter of it a day is a batch in four days.
    let (quarter, less) = free(Some(68_127 / 4));
    assert!(quarter < unlimited, "{quarter} of {unlimited}");
    let mut limited = made.clone();
    limited.cooling.heat_a_day = Some(Heat(68_127 / 4));
    assert!(!breaks(&limited, &less.plan));
    assert!(breaks(&limited, &answer.plan));
    // What is brewed in the planned days alone would pass: the look-ahead is what breaks it, too.
    let only_after = Plan { tasks: less.plan.tasks.clone(), ..answer.plan };
    assert!(breaks(&limited, &only_after));
    assert_eq!(free(Some(0)).0, 0);
}

/// Two tanks of 20 hL cooled by 18 degrees: 2 000 kg x 4.19 x 18 = 150 840 kJ each. With the heat of one a day the second is
/// chilled a day later, too late for the order; what is in tank is 20 hL before the tank loss.
#[test]
fn chills_share_the_heat_of_a_day() {
    let mut made = two_tanks();
    let chill = TankWork { name: "chill".into(), kind: TankWorkKind::Chill, ..dry_hop(3) };
    made.beers[0].tank_work = vec![TankWork { slip: 1, cools_by: TemperatureDrop(18_000), ..chill }];
    assert_eq!(made.in_tank[0].filled, Volume(2_000_000));
    made.cooling.heat_a_day = Some(Heat(2 * 150_840));
    let enough = best(&made);
    assert_eq!((enough.objective, chilled_on(&enough.plan)), (300_000, vec![1, 1]));
    made.cooling.heat_a_day = Some(Heat(2 * 150_840 - 1));
    let less = best(&made);
    assert_eq!((less.objective, chilled_on(&less.plan)), (184_240, vec![1, 2]));
    let both = Plan { tasks: enough.plan.tasks, ..less.plan };
    assert!(breaks(&made, &both));
}
