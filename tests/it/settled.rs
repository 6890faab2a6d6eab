//! Filters and the keg washer away; tank work, crops and volumes that are pinned: weeks worked by hand.

use cellarwright_checker::check;
use cellarwright_model::case::{Away, Case, Cause, Outage, Pin, PinnedWork, RoleTimes};
use cellarwright_model::ids::{BeerId, VesselId};
use cellarwright_model::plan::{Plan, Work};
use cellarwright_model::rule::RuleId;
use cellarwright_model::units::{Money, Volume};
use cellarwright_model::violation::About;
use cellarwright_solver::{NoObserver, SolveError, solve};
use cellarwright_tests::small::hl;

use crate::best::{best, packaged, tiny};
use crate::oracle::exact;

/// Away on days `first` to `last`.
fn away(case: &mut Case, what: Away, first: i64, last: i64) {
    let crew = RoleTimes::default();
    let (cause, reason, must_be_empty) = (Cause::Outage, String::new(), false);
    case.fixed.outages.push(Outage {
        what,
        first_day: first,
        last_day: last,
        cause,
        reason,
        must_be_empty,
        crew,
    });
}

fn pin(case: &mut Case, work: PinnedWork, day: usize) {
    case.fixed.pins.push(Pin { work, day: Some(day), shift: None });
}

/// What the checker finds wrong with a plan under a rule.
fn broken(case: &Case, plan: &Plan, rule: RuleId) -> Vec<About> {
    let violations = check(case, plan).violations;
    violations
        .into_iter()
        .filter(|violation| violation.rule == rule)
        .map(|violation| violation.about)
        .collect()
}

#[test]
fn without_its_filter_a_day_is_lost() {
    // Filtered on Monday, packaged on Tuesday, the last day; filtered on Tuesday it is packaged too late.
    let mut case = tiny("filter");
    let free = best(&case);
    assert!(free.report.breakdown.packaged_planned > hl(36));
    away(&mut case, Away::Filter(0), 0, 0);
    assert_eq!(packaged(&case), Volume::ZERO);
    assert_eq!(broken(&case, &free.plan, RuleId::Outage), [About::Filter(0)]);
    // Away on Tuesday alone it stops nothing that is packaged in time.
    case.fixed.outages.clear();
    away(&mut case, Away::Filter(0), 1, 1);
    assert_eq!(packaged(&case), free.report.breakdown.packaged_planned);
}

#[test]
fn without_the_washer_there_are_the_clean_kegs_and_no_more() {
    // 20 clean kegs of 50 L; with the washer 35 hL.
    let mut case = tiny("keg-pool");
    let free = best(&case);
    assert_eq!(free.report.breakdown.packaged_planned, hl(35));
    away(&mut case, Away::KegWasher, 0, 2);
    assert_eq!(packaged(&case), hl(10));
    let found = broken(&case, &free.plan, RuleId::Outage);
    assert!(!found.is_empty() && found.iter().all(|about| *about == About::KegWasher), "{found:?}");
}

#[test]
fn a_pinned_dry_hop_says_when_the_beer_is_brewed() {
    // Done on Saturday, a day early, the beer brewed on Monday meets the order of Thursday: 2000. Pinned on the Monday after, it is that of
    // beer brewed on Tuesday, which meets only the order of Friday: 1000.
    let mut case = tiny("sunday-dry-hop");
    let work = PinnedWork::Tank { beer: BeerId(0), work: 0, vessel: Some(VesselId(0)) };
    let free = best(&case);
    pin(&mut case, work, 5);
    assert_eq!(best(&case).objective, Money(200_000).0);
    assert!(broken(&case, &free.plan, RuleId::Pinned).is_empty());
    case.fixed.pins.clear();
    pin(&mut case, work, 7);
    let pinned = best(&case);
    assert_eq!(pinned.objective, Money(100_000).0);
    assert_eq!(broken(&case, &free.plan, RuleId::Pinned), [About::Pin(0)]);
    assert!(broken(&case, &pinned.plan, RuleId::Pinned).is_empty());
}

#[test]
fn a_pinned_crop_is_made_on_its_day() {
    let mut case = tiny("used-up-yeast");
    case.yeast.in_tank[0].1 = 2;
    for day in [1, 3] {
        case.fixed.pins.clear();
        pin(&mut case, PinnedWork::Crop { vessel: VesselId(0) }, day);
        let plan = best(&case).plan;
        let mut crops = plan.tasks.iter().filter(|task| matches!(task.work, Work::Crop { .. }));
        assert!(crops.any(|task| task.slot.0 == day), "{:?}", plan.tasks);
        let mut without = plan.clone();
        without.tasks.retain(|task| !matches!(task.work, Work::Crop { .. } | Work::Pitch { .. }));
        assert_eq!(broken(&case, &without, RuleId::Pinned), [About::Pin(0)]);
    }
}

#[test]
fn a_pinned_volume_is_moved_or_there_is_no_plan() {
    let mut case = tiny("one-bright");
    let of = |volume| PinnedWork::Transfer { beer: BeerId(0), from: None, to: None, volume: Some(volume) };
    pin(&mut case, of(hl(40)), 1);
    let plan = best(&case).plan;
    case.fixed.pins.clear();
    pin(&mut case, of(hl(30)), 1);
    assert_eq!(broken(&case, &plan, RuleId::Pinned), [About::Pin(0)]);
    // The only bright tank takes a batch of 40 hL whole, never 30 hL of it.
    assert!(matches!(solve(&case, &exact(), &NoObserver), Err(SolveError::Conflict(_))));
}
