//! Use of every resource of a small plan, counted by hand.

use cellarwright_checker::check;
use cellarwright_checker::usage::{Resource, Usage};
use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::case::Reach;
use cellarwright_model::ids::CrewId;
use cellarwright_model::testkit::{B1, CAN, CANS, F1, F2, PlanBuilder, hl, order, tiny};

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
