//! The figures that cellars are weighed by, counted by hand.

use cellarwright_checker::check;
use cellarwright_model::calendar::Role;
use cellarwright_model::testkit::{CAN, CANS, F1, PlanBuilder, hl, tiny};
use cellarwright_model::units::{Minutes, Volume};

#[test]
fn a_batch_by_the_bright_tank_is_moved_once_and_frees_its_fermenter_a_day_earlier() {
    // Brewed on Monday, ready on Wednesday, moved on Thursday (it has waited a day), packaged on Friday.
    let plan = PlanBuilder::new().by_bright_tank(3).plan();
    let report = check(&tiny(7), &plan);
    assert_eq!(report.violations, []);
    let found = report.measures;
    assert_eq!((found.batches, found.turns, found.wort), (1, 1, hl(2_000)));
    assert_eq!((found.transfers, found.moved), (1, hl(1_900)));
    assert_eq!((found.from_fermenters, found.from_bright_tanks), (Volume::ZERO, hl(1_881)));
    // The fermenter after its batch, the bright tank before its fill.
    assert_eq!((found.short_cleans, found.full_cleans, found.sanitised), (2, 0, 0));
    assert_eq!((found.waiting_days, found.waiting), (1, hl(1_900).0));
    assert_eq!((found.emptied, found.fermenter_days, found.saved_days), (1, 3, 1));
    // First turn 4 h; transfer 60, two cleans of 60, carbonating 30 person-minutes; the line 231.075 min with two people.
    assert_eq!(found.people[Role::Brew as usize], Minutes(240));
    assert_eq!(found.people[Role::Cellar as usize], Minutes(210));
    assert_eq!(found.people[Role::Package as usize], Minutes(463));
    assert!(found.overtime.is_empty());
}

#[test]
fn a_batch_packaged_from_its_fermenter_is_never_moved_and_saves_no_day() {
    let plan = PlanBuilder::new().brew(0, F1, 1).carbonate(2, F1).package(3, CANS, CAN, F1, hl(1_862)).plan();
    let report = check(&tiny(7), &plan);
    assert_eq!(report.violations, []);
    let found = report.measures;
    assert_eq!((found.transfers, found.moved), (0, Volume::ZERO));
    assert_eq!((found.from_fermenters, found.from_bright_tanks), (hl(1_862), Volume::ZERO));
    assert_eq!((found.short_cleans, found.waiting_days), (0, 1));
    assert_eq!((found.emptied, found.fermenter_days, found.saved_days), (1, 3, 0));
}

#[test]
fn figures_of_later_days_are_the_difference_of_two_replays() {
    let plan = PlanBuilder::new().by_bright_tank(2).plan();
    let (short, long) = (tiny(2), tiny(7));
    let before = check(&short, &cellarwright_checker::cycle::until(&plan, &short)).measures;
    let later = check(&long, &plan).measures.less(&before);
    assert_eq!((before.batches, before.transfers, before.waiting_days), (1, 0, 0));
    assert_eq!((later.batches, later.transfers, later.emptied), (0, 1, 1));
    assert_eq!(later.people[Role::Brew as usize], Minutes::ZERO);
}
