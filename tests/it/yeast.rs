//! Yeast: cases worked by hand.

use std::path::Path;

use cellarwright_checker::check;
use cellarwright_model::calendar::Role;
use cellarwright_model::case::{BeerYeast, Case, Gravity, TankWorkKind, Yeast, YeastCrop, YeastInStore};
use cellarwright_model::ids::YeastId;
use cellarwright_model::plan::{PitchFrom, Work};
use cellarwright_model::rule::RuleId;
use cellarwright_model::units::{Minutes, Money};
use cellarwright_model::yaml::read_case;
use cellarwright_solver::{NoObserver, solve};
use cellarwright_tests::small::{beer, case, dry_hop, fast_line, hl, job, kegs, order, unitank};

use crate::oracle::exact;

fn used_up() -> Case {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../cases/tiny/used-up-yeast/brewplan.yaml");
    read_case(&path).case.expect("a case")
}

/// Objective in cents, slot of the brew, where its yeast comes from.
fn planned(made: &Case) -> (i64, Option<usize>, Option<PitchFrom>) {
    let answer = solve(made, &exact(), &NoObserver).expect("it solves");
    let mut found = (answer.objective, None, None);
    for task in &answer.plan.tasks {
        match task.work {
            Work::Brew { .. } => found.1 = Some(task.slot.0),
            Work::Pitch { from, .. } => found.2 = Some(from),
            _ => {}
        }
    }
    found
}

/// The comment of the case says why.
#[test]
fn the_lager_waits_for_bought_yeast_once_its_generations_are_used_up() {
    let mut made = used_up();
    assert_eq!(planned(&made), (85_000, Some(3), Some(PitchFrom::Bought)));
    made.yeast.strains[0].generations = 4;
    let (objective, brewed, from) = planned(&made);
    // Brewed on Monday, or on Tuesday: then it is carbonated while it chills.
    assert_eq!(objective, 200_000);
    assert!(brewed.is_some_and(|slot| slot <= 1), "{brewed:?}");
    assert!(matches!(from, Some(PitchFrom::Crop { day: 0 | 1, .. })), "{from:?}");
    // Cropped before, or of a beer that is too strong, the yeast of F1 does not help.
    let mut cropped = made.clone();
    cropped.yeast.in_tank.clear();
    assert_eq!(planned(&cropped).0, 85_000);
    let mut strong = made.clone();
    strong.beers[1].yeast =
        strong.beers[1].yeast.map(|yeast| BeerYeast { gravity: Some(Gravity(1_700)), ..yeast });
    assert_eq!(planned(&strong).0, 85_000);
    // Dry hopped two days ago, it is not cropped any more; hopped on the same day, it is.
    let mut hopped = made.clone();
    hopped.beers[1].tank_work = vec![dry_hop(3)];
    hopped.in_tank[0].work_done = vec![-2];
    assert_eq!(planned(&hopped).0, 85_000);
    hopped.yeast.strains[0].crop =
        hopped.yeast.strains[0].crop.map(|crop| YeastCrop { before_dry_hop: false, ..crop });
    assert_eq!(planned(&hopped).0, 200_000);
    let mut today = made.clone();
    today.beers[1].tank_work = vec![dry_hop(5)];
    assert_eq!(planned(&today).0, 200_000);
    // Yeast in store on day 0 is as good, at 20 for each day beyond three: cropped four days ago, 20.
    let mut stored = made;
    stored.yeast.in_tank.clear();
    let entry = YeastInStore { yeast: YeastId(0), generation: 2, cropped: -4, pitches: 1 };
    stored.yeast.in_store = vec![entry];
    assert_eq!(planned(&stored), (198_000, Some(0), Some(PitchFrom::Store(0))));
    stored.yeast.in_store[0].cropped = -8;
    assert_eq!(planned(&stored).0, 85_000);
}

/// Two batches brewed on Monday for two pitches in store; they are chilled on day 3 and day 4, for one is chilled a day, and ready on
/// days 4 and 5. 18 hL are wanted on day 6, so that one is packaged on day 5 and its fermenter cleaned on day 6. Sunday, day 6, is the
/// next day on which anybody brews, and yeast keeps for no day: the other batch is cropped then, two days after it was ready.
#[test]
fn yeast_is_cropped_after_the_ready_day_from_the_batch_that_is_still_there() {
    let mut made = case(8);
    made.lines.push(fast_line("line"));
    made.formats.push(kegs(0));
    made.rates.to_package = Money::ZERO;
    made.rates.labour = Money::ZERO;
    for day in 1..6 {
        made.calendar.work[Role::Brew as usize].0[day] = false;
    }
    made.brewhouse.turns_per_day = 2;
    made.brewhouse.hours_per_day = Minutes(24 * 60);
    made.cooling.chills_a_day = Some(1);
    let mut one = beer("beer", &[0]);
    one.bright = false;
    one.yeast = Some(BeerYeast { yeast: YeastId(0), per_turn: false, gravity: None });
    let mut chill = dry_hop(3);
    chill.kind = TankWorkKind::Chill;
    chill.slip = 1;
    one.tank_work = vec![chill];
    made.beers.push(one);
    made.vessels = vec![unitank("F0", hl(20)), unitank("F1", hl(20))];
    made.yeast.strains.push(Yeast {
        name: "ale".into(),
        bought: None,
        crop: Some(YeastCrop {
            from: 6,
            to: 6,
            pitches: 1,
            not_above: None,
            before_dry_hop: true,
            job: job(Role::Cellar, Minutes(30)),
        }),
        keeps: 0,
        keeps_at_most: 1,
        late_cost: Money::ZERO,
        generations: 5,
    });
    made.yeast.in_store.push(YeastInStore { yeast: YeastId(0), generation: 1, cropped: -1, pitches: 2 });
    made.orders.push(order(0, 0, hl(15), 6));
    let answer = solve(&made, &exact(), &NoObserver).expect("it solves");
    let tasks = &answer.plan.tasks;
    let brewed: Vec<usize> =
        tasks.iter().filter(|task| matches!(task.work, Work::Brew { .. })).map(|task| task.slot.0).collect();
    assert_eq!(brewed, [0, 0, 6]);
    let cropped = tasks.iter().find_map(|task| match task.work {
        Work::Crop { vessel } => Some((task.slot.0, vessel)),
        _ => None,
    });
    let packaged = tasks.iter().find_map(|task| match task.work {
        Work::Package { vessel, .. } => Some(vessel),
        _ => None,
    });
    let (slot, vessel) = cropped.expect("a crop");
    assert_eq!(slot, 6);
    assert_ne!(Some(vessel), packaged);
}

#[test]
fn a_batch_without_its_yeast_is_found() {
    let mut made = used_up();
    made.yeast.strains[0].generations = 4;
    let plan = solve(&made, &exact(), &NoObserver).expect("it solves").plan;
    let mut without = plan.clone();
    without.tasks.retain(|task| !matches!(task.work, Work::Pitch { .. }));
    let rules = |found: &cellarwright_checker::Report| {
        found.violations.iter().map(|one| one.rule).collect::<Vec<_>>()
    };
    assert_eq!(rules(&check(&made, &without)), [RuleId::Yeast]);
    let mut uncropped = plan.clone();
    uncropped.tasks.retain(|task| !matches!(task.work, Work::Crop { .. }));
    assert_eq!(rules(&check(&made, &uncropped)), [RuleId::Yeast]);
    // In the list the crop comes first.
    let mut swapped = plan;
    let crop = swapped.tasks.iter().position(|task| matches!(task.work, Work::Crop { .. })).expect("a crop");
    let task = swapped.tasks.remove(crop);
    let pitch =
        swapped.tasks.iter().position(|task| matches!(task.work, Work::Pitch { .. })).expect("a pitch");
    swapped.tasks.insert(pitch + 1, task);
    assert_eq!(rules(&check(&made, &swapped)), [RuleId::Yeast]);
}

/// The lager of `used-up-yeast` with a generation more, by the clock, its yeast to be pitched on the day on which it is cropped. The
/// first turn takes 5 of the brewers' 6 hours, so that it ends after 6 h at the latest. A crop of 6 h is over by then, and the turn
/// begins an hour after it. A crop of a minute more is not over on any day: the lager waits for bought yeast, and 850 is earned as
/// without the generation. By totals both are done on one day.
#[test]
fn a_turn_ends_after_the_crop_that_it_is_pitched_from() {
    let mut made = used_up();
    made.yeast.strains[0].generations = 4;
    (made.yeast.strains[0].keeps, made.yeast.strains[0].keeps_at_most) = (0, 0);
    let mut cellar = made.crews[0].clone();
    cellar.name = "cellar".into();
    cellar.roles = vec![Role::Cellar];
    made.crews.push(cellar);
    made.crews[0].roles = vec![Role::Brew];
    made.crews[0].hours = Minutes(6 * 60);
    made.brewhouse.hours_per_day = Minutes(6 * 60);
    let with_crop_of = |takes: i64, clock_times: bool| {
        let mut made = made.clone();
        made.clock_times = clock_times;
        let crop = made.yeast.strains[0].crop.as_mut().expect("crops");
        crop.job.takes = Minutes(takes);
        let answer = solve(&made, &exact(), &NoObserver).expect("it solves");
        assert!(answer.report.violations.is_empty(), "{:?}", answer.report.violations);
        assert!(answer.objective <= answer.bound);
        let find = |is_it: fn(&Work) -> bool| {
            let found = answer.plan.tasks.iter().find(|task| is_it(&task.work)).copied();
            found.map(|task| (task.slot.0, task.begins))
        };
        let brewed = find(|work| matches!(work, Work::Brew { .. }));
        let cropped = find(|work| matches!(work, Work::Crop { .. }));
        (answer.objective, brewed, cropped)
    };
    let (objective, brewed, cropped) = with_crop_of(360, true);
    let ((day, begins), (cropped_on, at_once)) = (brewed.expect("a turn"), cropped.expect("a crop"));
    assert_eq!((objective, day), (200_000, cropped_on));
    assert_eq!((begins, at_once), (Some(Minutes(60)), Some(Minutes(0))));
    let (objective, brewed, cropped) = with_crop_of(361, false);
    assert_eq!((objective, brewed), (200_000, cropped));
    // A crop that nobody pitches costs nothing here.
    let (objective, brewed, _) = with_crop_of(361, true);
    assert_eq!((objective, brewed.map(|(slot, _)| slot)), (85_000, Some(3)));
}
