//! Materials, stores and the keg washer as reasons: each where it holds the order back, and where it does not.

use cellarwright_checker::usage::Resource;
use cellarwright_model::calendar::Role;
use cellarwright_model::case::{Carbonating, Case, ColdStore, KegPool, KegWasher, Material, StoreUnit};
use cellarwright_model::ids::{FormatId, KegPoolId};
use cellarwright_model::plan::{Plan, Work};
use cellarwright_model::testkit::{B1, CAN, CANS, F1, PlanBuilder, hl, order};
use cellarwright_model::units::Money;

use super::reason;
use crate::render::testcase::{case, view};
use crate::render::view::Reason;

/// An order due on a day, of which 5 hL drawn on Tuesday leave more in the bright tank; nothing else could be packaged in time.
fn half_packaged(due: i64) -> (Case, Plan) {
    let mut case = case();
    case.orders = vec![order(hl(300), due, true)];
    case.beers[0].bright_must_leave = 30;
    let left = case.beers[0].loss_tank.taken_off(hl(2_000));
    let plan = PlanBuilder::new().transfer(0, F1, B1, left).package(1, CANS, CAN, B1, hl(500)).plan();
    (case, plan)
}

fn used_on_tuesday(case: &Case, plan: &Plan, resource: Resource) -> i64 {
    let report = cellarwright_checker::check(case, plan);
    let found = report.usage.resources.iter().find(|uses| uses.resource == resource).unwrap();
    found.uses.iter().find(|used| case.calendar.day(used.slot) == 1).unwrap().used
}

fn tuesday() -> String {
    "2026-12-08".to_owned()
}

#[test]
fn a_material_is_a_reason_where_it_is_used_up_and_cannot_be_ordered() {
    let (mut case, plan) = half_packaged(2);
    case.materials.push(Material {
        name: "labels".into(),
        uses: vec![(CAN, 1)],
        in_stock: 10_000,
        lead: None,
        ..Material::default()
    });
    assert_eq!(reason(&case, &plan), Some(Reason::WorthMore));
    case.materials[0].in_stock =
        used_on_tuesday(&case, &plan, Resource::Material(cellarwright_model::ids::MaterialId(0)));
    let expected = Reason::MaterialUsedUp { material: "labels".into(), from: tuesday(), to: tuesday() };
    assert_eq!(view(&case, &plan).violations, Vec::new());
    assert_eq!(reason(&case, &plan), Some(expected));
    let screen = crate::render::orders::lines(&view(&case, &plan)).join("\n");
    assert!(screen.contains("labels were used up"), "{screen}");
    let mut ordered = case.clone();
    ordered.materials[0].lead = Some(0);
    assert_eq!(reason(&ordered, &plan), Some(Reason::WorthMore));
    // Of a beer that goes without labels nothing is used.
    case.materials[0].beers = Some(Vec::new());
    assert_eq!(reason(&case, &plan), Some(Reason::WorthMore));
}

#[test]
fn the_warm_store_is_a_reason_where_it_is_full() {
    // Beer that conditions in its packages is there a day later: what is packaged on Tuesday, on Thursday.
    let (mut case, plan) = half_packaged(3);
    case.beers[0].carbonating = Carbonating::InPackage;
    case.beers[0].release = 1;
    case.warm_store = Some(hl(5_000));
    assert_eq!(reason(&case, &plan), Some(Reason::WorthMore));
    let stands = used_on_tuesday(&case, &plan, Resource::WarmStore);
    assert!(stands > 0);
    case.warm_store = Some(cellarwright_model::units::Volume(stands));
    assert_eq!(view(&case, &plan).violations, Vec::new());
    assert_eq!(reason(&case, &plan), Some(Reason::WarmStoreFull { from: tuesday(), to: tuesday() }));
    // A can more would stand there.
    let can = case.formats[0].package();
    case.warm_store = Some(cellarwright_model::units::Volume(stands) + can);
    assert_eq!(reason(&case, &plan), Some(Reason::WorthMore));
}

#[test]
fn the_cold_store_is_full_where_what_is_hired_is_full_too() {
    let (mut case, plan) = half_packaged(2);
    case.cold_store = Some(ColdStore {
        unit: StoreUnit::Volume,
        holds: hl(5_000).0,
        overflow: 0,
        cost: Money(100),
        formats: vec![FormatId(0)],
    });
    let stands = used_on_tuesday(&case, &plan, Resource::ColdStore);
    let can = case.formats[0].package().0;
    let with = |holds: i64, overflow: i64| {
        let mut case = case.clone();
        let store = case.cold_store.as_mut().unwrap();
        (store.holds, store.overflow) = (holds, overflow);
        assert_eq!(view(&case, &plan).violations, Vec::new());
        reason(&case, &plan)
    };
    let full = Some(Reason::ColdStoreFull { on: tuesday() });
    assert_eq!(with(stands - hl(100).0, hl(100).0), full);
    assert_eq!(with(stands, can - 1), full);
    assert_eq!(with(stands - hl(100).0, hl(100).0 + can), Some(Reason::WorthMore));
    assert_eq!(with(stands, can), Some(Reason::WorthMore));
}

#[test]
fn the_keg_washer_is_a_reason_where_dirty_kegs_stand_before_it() {
    let (mut case, plan) = half_packaged(2);
    let pool = |name: &str, formats: Vec<FormatId>, dirty| KegPool {
        name: name.into(),
        formats,
        clean: 0,
        dirty,
        keeps: None,
        back_after: None,
        days_out: None,
        owned: None,
        returns: Vec::new(),
    };
    case.kegs = vec![pool("kegs", vec![CAN], 0), pool("casks", Vec::new(), 960)];
    // 480 casks take the whole shift.
    case.keg_washer = Some(KegWasher { pace: 60, people: 1, role: Role::Cellar });
    case.kegs[0].clean = used_on_tuesday(&case, &plan, Resource::Kegs(KegPoolId(0)));
    let washed = |monday: i64, tuesday: i64| {
        let mut plan = plan.clone();
        for (slot, kegs) in [(0, monday), (1, tuesday)] {
            let work = Work::Wash { pool: KegPoolId(1), kegs };
            plan.tasks.extend(PlanBuilder::new().work(slot, work).plan().tasks);
        }
        plan
    };
    let kegs = || "kegs".to_owned();
    let none_clean = Some(Reason::NoCleanKegs { kegs: kegs(), from: tuesday(), to: tuesday() });
    let no_time = Some(Reason::KegWasherFull { kegs: kegs(), from: tuesday(), to: tuesday() });
    // No keg is dirty; then some are, with time to wash them on Monday, on Tuesday, on neither day.
    assert_eq!(reason(&case, &washed(480, 480)), none_clean);
    case.kegs[0].dirty = 100;
    assert_eq!(view(&case, &washed(480, 480)).violations, Vec::new());
    assert_eq!(reason(&case, &washed(479, 480)), none_clean);
    assert_eq!(reason(&case, &washed(480, 479)), none_clean);
    assert_eq!(reason(&case, &washed(480, 480)), no_time);
    let screen = crate::render::orders::lines(&view(&case, &washed(480, 480))).join("\n");
    assert!(screen.contains("the keg washer or its people had no time left"), "{screen}");
    // Washed on Monday a keg would be dirty again on Tuesday.
    case.kegs[0].keeps = Some(0);
    case.kegs[0].clean = 0;
    let idle = Plan { tasks: plan.tasks[..1].to_vec(), ..Plan::default() };
    let tuesday_only = |kegs| {
        let mut plan = idle.clone();
        let work = Work::Wash { pool: KegPoolId(1), kegs };
        plan.tasks.extend(PlanBuilder::new().work(1, work).plan().tasks);
        plan
    };
    assert_eq!(reason(&case, &tuesday_only(480)), no_time);
    assert_eq!(reason(&case, &tuesday_only(479)), none_clean);
    // Too few people to run it for a minute.
    case.keg_washer = Some(KegWasher { pace: 60, people: 1_000, role: Role::Cellar });
    assert_eq!(reason(&case, &idle), no_time);
    // Without a washer the line washes.
    case.keg_washer = None;
    case.kegs[0].dirty = 0;
    assert_eq!(reason(&case, &idle), none_clean);
}
