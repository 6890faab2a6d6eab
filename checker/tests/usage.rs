//! Use of every resource of a small plan, counted by hand.

use cellarwright_checker::check;
use cellarwright_checker::usage::{Resource, SpareYeast, Usage};
use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::case::{
    BeerYeast, BoughtYeast, FullClean, Marks, Reach, SinceFull, Yeast, YeastCrop, YeastInStore,
};
use cellarwright_model::ids::{CrewId, VesselId, YeastId};
use cellarwright_model::plan::{PitchFrom, Work};
use cellarwright_model::testkit::{B1, CAN, CANS, F1, F2, PlanBuilder, fermenter, hl, job, order, tiny};
use cellarwright_model::units::Money;

/// Used and available of a resource in a slot.
fn of(usage: &Usage, resource: Resource, slot: usize) -> Option<(i64, i64)> {
    let uses = usage.resources.iter().find(|one| one.resource == resource)?;
    let found = uses.uses.iter().find(|one| one.slot == Slot(slot))?;
    Some((found.used, found.available))
}

#[test]
fn resources_by_slot() {
    let mut case = tiny(7);
    case.orders = vec![order(hl(1_000), 4, true), order(hl(1_000), 9, true)];
    let plan = PlanBuilder::new()
        .brew(0, F1, 2)
        .transfer(2, F1, B1, hl(3_800))
        .clean(2, F1)
        .package(3, CANS, CAN, B1, hl(3_762))
        .deliver(0, 4, hl(900))
        .plan();
    let report = check(&case, &plan);
    assert_eq!(report.violations, []);
    let usage = report.usage;
    assert_eq!(of(&usage, Resource::Turns, 0), Some((2, 2)));
    assert_eq!(of(&usage, Resource::Turns, 1), Some((0, 2)));
    assert_eq!(of(&usage, Resource::BrewhouseTime, 0), Some((420, 720)));
    assert_eq!(of(&usage, Resource::RoleTime(Role::Brew), 0), Some((420, 960)));
    // Transfer 60, clean of B1 60, carbonating 30, clean of F1 60 person-minutes; two cleans of 120 min.
    assert_eq!(of(&usage, Resource::RoleTime(Role::Cellar), 2), Some((210, 960)));
    assert_eq!(of(&usage, Resource::CrewTime(CrewId(0)), 2), Some((210, 960)));
    assert_eq!(of(&usage, Resource::CleaningTime(Reach::ALL), 2), Some((240, 480)));
    // 37.62 hL at 8 hL an hour: 282.15 min, and 90 min; two people.
    assert_eq!(of(&usage, Resource::LineTime(CANS), 3), Some((373, 480)));
    assert_eq!(of(&usage, Resource::RoleTime(Role::Package), 3), Some((745, 960)));
    assert_eq!(of(&usage, Resource::CleaningTime(Reach::ALL), 3), Some((30, 480)));
    assert_eq!(of(&usage, Resource::Vessel(F1), 2), Some((1, 1)));
    assert_eq!(of(&usage, Resource::Vessel(F1), 3), Some((0, 1)));
    assert_eq!(of(&usage, Resource::Vessel(B1), 3), Some((1, 1)));
    assert_eq!(of(&usage, Resource::Vessel(F2), 3), Some((0, 1)));
    // Nothing is worked on a Saturday.
    assert_eq!(of(&usage, Resource::RoleTime(Role::Cellar), 5), None);
    assert_eq!(of(&usage, Resource::LineTime(CANS), 5), None);
    // The order after the horizon is left out.
    assert_eq!(usage.orders.len(), 1);
    assert_eq!((usage.orders[0].delivered, usage.orders[0].missed), (hl(900), hl(100)));
}

fn strain() -> Yeast {
    let crop = YeastCrop {
        from: 3,
        to: 4,
        pitches: 2,
        not_above: None,
        before_dry_hop: true,
        job: job(30, Role::Cellar, 30),
    };
    Yeast {
        name: "ale yeast".to_owned(),
        bought: Some(BoughtYeast { price: Money(100), lead: 4 }),
        crop: Some(crop),
        keeps: 3,
        keeps_at_most: 3,
        late_cost: Money::ZERO,
        generations: 2,
    }
}

/// Two pitches are in store, cropped on the day before day 0: they keep for three days, up to day 2. One is pitched on day 0, and that
/// batch cropped on day 3: two pitches, of which one is pitched on day 4, with one that is bought.
#[test]
fn pitches_by_slot_and_those_that_nobody_takes() {
    let mut case = tiny(7);
    case.beers[0].stay[0].days = 5;
    case.beers[0].yeast = Some(BeerYeast { yeast: YeastId(0), per_turn: false, gravity: None });
    case.yeast.strains.push(strain());
    case.yeast.in_store.push(YeastInStore { yeast: YeastId(0), generation: 1, cropped: -1, pitches: 2 });
    case.vessels.push(fermenter("F3"));
    let f3 = VesselId(case.vessels.len() - 1);
    let of_f1 = PitchFrom::Crop { vessel: F1, day: 3 };
    let plan = PlanBuilder::new()
        .brew(0, F1, 1)
        .pitch(0, F1, PitchFrom::Store(0), 1)
        .crop(3, F1)
        .sanitise(4, F2)
        .brew(4, F2, 1)
        .pitch(4, F2, of_f1, 1)
        .sanitise(4, f3)
        .brew(4, f3, 1)
        .pitch(4, f3, PitchFrom::Bought, 1)
        .plan();
    let report = check(&case, &plan);
    assert_eq!(report.violations, []);
    let there: Vec<_> = (0..7).map(|slot| of(&report.usage, Resource::Yeast(YeastId(0)), slot)).collect();
    let expected = [Some((1, 2)), Some((0, 1)), Some((0, 1)), Some((0, 2)), Some((2, 3)), None, None];
    assert_eq!(there, expected);
    let spare = |generation, from, last_day, pitches| SpareYeast {
        yeast: YeastId(0),
        generation,
        from: Slot(from),
        last_day,
        pitches,
    };
    // One is left in store, one of the crop; the batch in F1 might be cropped on day 4 as well, and give one more than is pitched of
    // it. That in F2 is of the last generation, that in F3 is not fermented before the week is over.
    assert_eq!(
        report.usage.spare_yeast,
        [spare(1, 0, 2, 1), spare(2, 3, 6, 1), spare(2, 3, 6, 1), spare(2, 4, 7, 1)]
    );
    // A batch that leaves on day 3 is not cropped on day 4, and one that is not cropped at all would give two pitches.
    let leaves = PlanBuilder::new().brew(0, F1, 1).pitch(0, F1, PitchFrom::Store(0), 1).dump(3, F1).plan();
    assert_eq!(check(&case, &leaves).usage.spare_yeast, [spare(1, 0, 2, 1), spare(2, 3, 6, 2)]);
    // Of a strain that no beer is made with there is no row.
    case.beers[0].yeast = None;
    assert_eq!(of(&check(&case, &PlanBuilder::new().plan()).usage, Resource::Yeast(YeastId(0)), 0), None);
}

#[test]
fn fills_left_before_a_full_clean_are_counted_at_each_fill() {
    let mut case = tiny(7);
    let job = case.vessels[0].clean;
    let full = FullClean { job, cost: None, every: Some(3), after: Marks::NONE };
    case.vessels[0].full_clean = Some(full);
    case.dirty = vec![F1];
    case.since_full.insert(F1, SinceFull { fills: 2, marks: Marks::NONE });
    let fills = |in_full| {
        let clean = Work::Clean { vessel: F1, full: in_full };
        let plan = PlanBuilder::new().work(0, clean).brew(0, F1, 1).plan();
        of(&check(&case, &plan).usage, Resource::FillsLeft(F1), 0)
    };
    assert_eq!(fills(false), Some((1, 1)), "the last of three");
    assert_eq!(fills(true), Some((1, 3)), "the first after a full clean");
    assert_eq!(of(&check(&case, &PlanBuilder::new().plan()).usage, Resource::FillsLeft(F1), 0), None);
}
