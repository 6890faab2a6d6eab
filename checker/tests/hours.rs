//! Clock times: plans of the tiny brewery that its people, tanks and cleaning set can keep, and plans that they cannot.
//! A turn takes 4 h (3 h after the first), its last hour is the knock-out; cleaning 2 h with a person for one of them,
//! transfer 2 h with a person for one, carbonating 6 h with a person for the first half hour; two people for brewing and cellar,
//! two packers; one shift from 06:00 to 14:00.

use cellarwright_checker::check;
use cellarwright_model::calendar::Role;
use cellarwright_model::case::{BeerYeast, BoughtYeast, Case, Turnaround, Yeast, YeastCrop};
use cellarwright_model::ids::{BeerId, VesselId, YeastId};
use cellarwright_model::plan::{PitchFrom, Plan};
use cellarwright_model::rule::RuleId;
use cellarwright_model::testkit::{
    B1, CAN, CANS, F1, F2, PlanBuilder, beer, bright, hl, hours, in_bright, in_tank, job, tiny,
};
use cellarwright_model::units::Money;

fn plan() -> PlanBuilder {
    PlanBuilder::new()
}

/// What breaks R23; nothing else may be broken.
fn broken(case: &Case, plan: &Plan) -> Vec<&'static str> {
    let violations = check(case, plan).violations;
    assert!(violations.iter().all(|violation| violation.rule == RuleId::Hours), "{violations:?}");
    violations.into_iter().map(|violation| violation.what).collect()
}

fn by_the_clock(days: usize) -> Case {
    let mut case = tiny(days);
    case.clock_times = true;
    case
}

#[test]
fn without_any_time_totals_are_enough_and_without_the_key_times_mean_nothing() {
    let mut case = by_the_clock(5);
    case.dirty = vec![F1];
    assert_eq!(broken(&case, &plan().clean(0, F1).brew(0, F1, 1).plan()), Vec::<&str>::new());
    let wild = plan().clean(0, F1).at(5_000).brew(0, F1, 1).at(-7).plan();
    assert!(!broken(&case, &wild).is_empty());
    case.clock_times = false;
    assert_eq!(broken(&case, &wild), Vec::<&str>::new());
}

#[test]
fn one_cleaning_set_cleans_one_vessel_at_a_time() {
    let mut case = by_the_clock(5);
    case.dirty = vec![F1, F2];
    let second_at = |minutes: i64| plan().clean(0, F1).at(0).clean(0, F2).at(minutes).plan();
    assert_eq!(broken(&case, &second_at(119)), ["no set free at"]);
    assert_eq!(broken(&case, &second_at(120)), Vec::<&str>::new());
    case.cleaning_sets = 2;
    assert_eq!(broken(&case, &second_at(0)), Vec::<&str>::new());
    case.crews[0].people = 1;
    assert_eq!(broken(&case, &second_at(59)), ["nobody free at"]);
    assert_eq!(broken(&case, &second_at(60)), Vec::<&str>::new());
}

#[test]
fn turns_follow_one_another_and_may_end_after_the_shift() {
    let mut case = by_the_clock(5);
    case.crews[0].hours = hours(7);
    let second_at = |minutes: i64| plan().brew(0, F1, 1).at(0).brew(0, F2, 1).at(minutes).plan();
    assert_eq!(broken(&case, &second_at(239)), ["turn begins"]);
    assert_eq!(broken(&case, &second_at(240)), Vec::<&str>::new());
    // The second ends at 720 at the latest: the brewhouse's 12 h.
    assert_eq!(broken(&case, &second_at(540)), Vec::<&str>::new());
    assert_eq!(broken(&case, &second_at(541)), ["nobody free at"]);
}

#[test]
fn a_tank_is_emptied_cleaned_and_filled_in_this_order() {
    let mut case = by_the_clock(5);
    case.in_tank = vec![in_tank(F1, hl(2_000), 3, 0)];
    case.crews[0].people = 3;
    // Clean B1 0-120, transfer 120-240, clean F1, wort from minute 180 of the turn.
    let day = |clean: i64, brew: i64| {
        plan().transfer(0, F1, B1, hl(1_900)).at(0).clean(0, F1).at(clean).brew(0, F1, 1).at(brew).plan()
    };
    assert_eq!(broken(&case, &day(240, 180)), Vec::<&str>::new());
    assert_eq!(broken(&case, &day(239, 180)), ["work begins"]);
    assert_eq!(broken(&case, &day(240, 179)), ["work begins"]);
    // By the second half of the turn only.
    case.brewhouse.knock_out = hours(2);
    assert_eq!(broken(&case, &day(240, 180)), ["work begins"]);
    assert_eq!(broken(&case, &day(240, 240)), Vec::<&str>::new());
}

#[test]
fn a_transfer_is_over_in_its_shift_and_its_beer_carbonated_before_packaging() {
    let mut case = by_the_clock(5);
    case.in_tank = vec![in_tank(F1, hl(2_000), 3, 0)];
    let moved = |minutes: i64| {
        plan().transfer(0, F1, B1, hl(1_900)).at(minutes).package(1, CANS, CAN, B1, hl(1_881)).at(0).plan()
    };
    // Clean and transfer take 4 of 8 h, but carbonating needs somebody for half an hour after them.
    assert_eq!(broken(&case, &moved(210)), Vec::<&str>::new());
    assert_eq!(broken(&case, &moved(211)), ["nobody free at"]);
    assert_eq!(broken(&case, &moved(241)).first(), Some(&"over"));
    // Carbonating 17 h: from 4 h to 21 h is before 24 h, but three hours and a minute later it is not.
    case.carbonate.takes = hours(17);
    assert_eq!(broken(&case, &moved(180)), Vec::<&str>::new());
    assert_eq!(broken(&case, &moved(182)), ["carbonated"]);
}

/// Two beers in two bright tanks.
fn two_lots() -> Case {
    let mut case = by_the_clock(5);
    case.vessels.push(bright("B2"));
    case.beers.push(beer("Dark", CAN));
    case.in_tank = vec![in_bright(B1, hl(1_000), 1), in_bright(B2, hl(1_000), 1)];
    case.in_tank[1].beer = BeerId(1);
    case
}

const B2: VesselId = VesselId(3);

#[test]
fn a_line_runs_without_a_gap_and_cleans_down_on_a_set() {
    let case = two_lots();
    // Start-up 60 min, 10 hL at 8 hL an hour 75 min: the second begins at 135; change 45, 75 min, clean-down 30: 285 min.
    let run = |first: i64, second: i64| {
        plan().package(0, CANS, CAN, B1, hl(1_000)).at(first).package(0, CANS, CAN, B2, hl(1_000)).at(second)
    };
    assert_eq!(broken(&case, &run(0, 135).plan()), Vec::<&str>::new());
    assert_eq!(broken(&case, &run(0, 140).plan()), ["beginning"]);
    assert_eq!(broken(&case, &run(195, 330).plan()), Vec::<&str>::new());
    assert!(broken(&case, &run(196, 331).plan()).contains(&"over"));
    // The clean-down is from 255 to 285.
    let mut dirty = case;
    dirty.dirty = vec![F1];
    assert_eq!(broken(&dirty, &run(0, 135).clean(0, F1).at(136).plan()), ["no set free at"]);
    assert_eq!(broken(&dirty, &run(0, 135).clean(0, F1).at(285).plan()), Vec::<&str>::new());
}

#[test]
fn a_tank_is_refilled_in_the_same_shift_when_it_is_empty() {
    let mut case = by_the_clock(5);
    case.vessels[2].refill = Turnaround::SameShift;
    case.vessels[2].holds = hl(2_000);
    case.in_tank = vec![in_bright(B1, hl(1_000), 1), in_tank(F1, hl(2_000), 3, 0)];
    // Drawn until 135.
    let refill = |minutes: i64| {
        plan().package(0, CANS, CAN, B1, hl(1_000)).at(0).transfer(0, F1, B1, hl(1_900)).at(minutes).plan()
    };
    assert!(broken(&case, &refill(134)).contains(&"work begins"));
    assert_eq!(broken(&case, &refill(165)), Vec::<&str>::new());
}

#[test]
fn people_stay_with_what_they_do_whichever_crew_they_are_of() {
    // The cellar's two brew for 4 h and clean; a helper of the packers may do cellar work.
    let mut case = by_the_clock(5);
    case.dirty = vec![F1];
    case.crews[0].people = 1;
    let brew = plan().clean(0, F1).at(0).brew(0, F2, 1).at(0).plan();
    assert_eq!(broken(&case, &brew), ["nobody free at"]);
    case.crews[1].roles.push(Role::Cellar);
    assert_eq!(broken(&case, &brew), Vec::<&str>::new());
    // Not where both are at the line.
    case.in_tank = vec![in_bright(B1, hl(1_000), 1)];
    let busy = |minutes: i64| {
        let line = plan().package(0, CANS, CAN, B1, hl(1_000)).at(minutes);
        line.clean(0, F1).at(0).brew(0, F2, 1).at(0).plan()
    };
    assert_eq!(broken(&case, &busy(30)), ["nobody free at"]);
    assert_eq!(broken(&case, &busy(60)), Vec::<&str>::new());
}

/// A batch in F1 that is cropped, in 4 h, on the day on which F2 is brewed.
fn cropped() -> Case {
    let mut case = by_the_clock(5);
    case.in_tank = vec![in_tank(F1, hl(2_000), 3, 0)];
    case.beers[0].yeast = Some(BeerYeast { yeast: YeastId(0), per_turn: false, gravity: None });
    case.yeast.strains.push(Yeast {
        name: "ale yeast".to_owned(),
        bought: Some(BoughtYeast { price: Money(0), lead: 0 }),
        crop: Some(YeastCrop {
            from: 2,
            to: 4,
            pitches: 2,
            not_above: None,
            before_dry_hop: true,
            job: job(240, Role::Cellar, 30),
        }),
        keeps: 5,
        keeps_at_most: 5,
        late_cost: Money(0),
        generations: 9,
    });
    case.yeast.in_tank = vec![(F1, 1)];
    case
}

#[test]
fn a_crop_is_over_when_the_turn_ends_that_it_is_pitched_after() {
    let case = cropped();
    let of_f1 = PitchFrom::Crop { vessel: F1, day: 0 };
    let day = |crop: i64, turns: i64, from| {
        let day = plan().crop(0, F1).at(crop).brew(0, F2, turns).at(60).pitch(0, F2, from, 1);
        day.transfer(1, F1, B1, hl(1_900)).at(0).plan()
    };
    // The turn is made from 60 to 300, the crop takes 240.
    assert_eq!(broken(&case, &day(60, 1, of_f1)), Vec::<&str>::new());
    assert_eq!(broken(&case, &day(61, 1, of_f1)), ["cropped"]);
    // A second turn gives it no longer; bought yeast waits for no crop.
    assert_eq!(broken(&case, &day(60, 2, of_f1)), Vec::<&str>::new());
    assert_eq!(broken(&case, &day(61, 2, of_f1)), ["cropped"]);
    assert_eq!(broken(&case, &day(61, 1, PitchFrom::Bought)), Vec::<&str>::new());
    // Nor does a batch of the day after.
    let later = plan().crop(0, F1).at(240).transfer(1, F1, B1, hl(1_900)).at(0);
    let later = later.sanitise(1, F2).at(0).brew(1, F2, 1).at(60).pitch(1, F2, of_f1, 1).plan();
    assert_eq!(broken(&case, &later), Vec::<&str>::new());
    // What a beer takes longer comes before the end of its first turn.
    let mut longer = case;
    longer.beers[0].brewing.longer = job(60, Role::Brew, 60);
    assert_eq!(broken(&longer, &day(120, 1, of_f1)), Vec::<&str>::new());
    assert_eq!(broken(&longer, &day(121, 1, of_f1)), ["cropped"]);
}
