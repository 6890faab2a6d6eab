//! Conditioning tanks, each condition on both sides of its limit.

use cellarwright_checker::check;
use cellarwright_model::case::{Case, Job, Stage, TankWork, TankWorkKind, Vessel};
use cellarwright_model::ids::VesselId;
use cellarwright_model::plan::Plan;
use cellarwright_model::rule::RuleId;
use cellarwright_model::testkit::{B1, CAN, CANS, F1, F2, PlanBuilder, fermenter, hl, in_tank, tiny};
use cellarwright_model::units::{Money, TemperatureDrop};

const C1: VesselId = VesselId(3);

fn broken(case: &Case, plan: &Plan) -> Vec<RuleId> {
    let mut rules: Vec<RuleId> = check(case, plan).violations.iter().map(|one| one.rule).collect();
    rules.dedup();
    rules
}

/// A conditioning tank that may be packaged from.
fn conditioning_tank() -> Vessel {
    let mut tank = fermenter("C1");
    tank.uses.ferment = false;
    tank.uses.condition = true;
    tank.least = hl(1_000);
    tank
}

/// The tiny brewery with a conditioning tank; the beer ferments for one day and lagers for three.
fn lager(days: usize) -> Case {
    let mut case = tiny(days);
    case.vessels.push(conditioning_tank());
    case.beers[0].stay.insert(0, Stage { name: "start".to_owned(), days: 1 });
    case.beers[0].stay[1] = Stage { name: "lager".to_owned(), days: 3 };
    case.beers[0].conditions = Some(3);
    case
}

/// One turn in F1 on Monday, moved on a day; 19 hL less 1 % arrive.
fn moved(day: usize) -> PlanBuilder {
    PlanBuilder::new().brew(0, F1, 1).sanitise(day, C1).transfer(day, F1, C1, hl(1_900))
}

#[test]
fn the_fermenter_is_free_and_the_ready_day_stays() {
    let case = lager(9);
    let plan = moved(1).clean(1, F1).brew(1, F1, 1).carbonate(4, C1).package(7, CANS, CAN, C1, hl(1_843));
    let found = broken(&case, &plan.plan());
    assert_eq!(found, [], "brewed again on the day of the move");
    let stays = check(&case, &moved(1).plan()).usage.stays;
    assert_eq!(stays.iter().map(|stay| stay.ready).collect::<Vec<_>>(), [Some(4), Some(4)]);
    assert_eq!(stays[1].volume, hl(1_881));
}

#[test]
fn not_before_its_part_begins_and_not_when_it_is_ready() {
    let mut case = lager(5);
    case.beers[0].conditions = Some(2);
    assert_eq!(broken(&case, &moved(1).plan()), [RuleId::Ready]);
    assert_eq!(broken(&case, &moved(2).plan()), []);
    assert_eq!(broken(&case, &moved(3).plan()), []);
    assert_eq!(broken(&case, &moved(4).plan()), [RuleId::Ready]);
    case.beers[0].during_chill = true;
    assert_eq!(broken(&case, &moved(3).plan()), [RuleId::Ready]);
    // What was moved may not be packaged before it is ready either.
    let early = moved(2).carbonate(2, C1).package(3, CANS, CAN, C1, hl(1_843)).plan();
    assert_eq!(broken(&case, &early), [RuleId::Ready]);
}

#[test]
fn only_a_beer_that_lists_it_and_only_whole() {
    let mut case = lager(5);
    let part = PlanBuilder::new().brew(0, F1, 1).sanitise(2, C1).transfer(2, F1, C1, hl(1_500)).plan();
    assert_eq!(broken(&case, &part), [RuleId::Stages]);
    case.beers[0].conditions = None;
    assert_eq!(broken(&case, &moved(2).plan()), [RuleId::Use]);
}

#[test]
fn a_clean_tank_that_takes_it() {
    let mut case = lager(5);
    let stale = PlanBuilder::new().brew(0, F1, 1).transfer(2, F1, C1, hl(1_900)).plan();
    assert_eq!(broken(&case, &stale), [RuleId::Clean]);
    case.dirty = vec![C1];
    assert_eq!(broken(&case, &stale), [RuleId::Clean]);
    let cleaned = PlanBuilder::new().brew(0, F1, 1).clean(2, C1).transfer(2, F1, C1, hl(1_900)).plan();
    assert_eq!(broken(&case, &cleaned), []);
    case.vessels[C1.0].holds = hl(1_880);
    assert_eq!(broken(&case, &cleaned), [RuleId::FillLevel]);
    case.vessels[C1.0].holds = hl(1_881);
    assert_eq!(broken(&case, &cleaned), []);
}

#[test]
fn a_full_tank_takes_no_second_batch_and_what_is_in_it_is_not_moved_again() {
    let mut case = lager(5);
    case.in_tank = vec![in_tank(C1, hl(1_900), 3, 1), in_tank(F2, hl(2_000), 3, 3)];
    assert_eq!(broken(&case, &PlanBuilder::new().transfer(1, F2, C1, hl(1_900)).plan()), [RuleId::OneBatch]);
    case.vessels.push(conditioning_tank());
    let again = PlanBuilder::new().transfer(0, C1, VesselId(4), hl(1_900)).plan();
    assert!(broken(&case, &again).contains(&RuleId::Use));
    // What was there on day 0 has lost nothing more: all of it goes into the bright tank.
    let out = PlanBuilder::new().transfer(1, C1, B1, hl(1_900)).package(2, CANS, CAN, B1, hl(1_881)).plan();
    assert_eq!(broken(&case, &out), []);
}

#[test]
fn a_move_costs_its_transfer_and_nothing_else() {
    let case = lager(4);
    let brewed = check(&case, &PlanBuilder::new().brew(0, F1, 1).sanitise(2, C1).plan()).breakdown;
    let moved = check(&case, &moved(2).plan()).breakdown;
    assert_eq!((moved.transfers, moved.gas), (Money(2_000), Money::ZERO));
    assert_eq!(moved.labour - brewed.labour, Money(3_000));
    assert_eq!(moved.cleaning, brewed.cleaning);
}

/// The lager of three days with a gravity check on the day after the brew, at most two days late, and fining on the day after that.
fn at_work(days: usize) -> Case {
    let mut case = lager(days);
    let piece = |name: &str, day| TankWork {
        name: name.to_owned(),
        kind: TankWorkKind::Other,
        day,
        early: 0,
        slip: 2,
        moves: true,
        job: Job::default(),
        alone: false,
        contact: 0,
        cools_by: TemperatureDrop::ZERO,
    };
    case.beers[0].tank_work = vec![piece("gravity check", 1), piece("fining", 2)];
    case
}

/// One turn in F1 on Monday, checked in it and moved; fined in the conditioning tank.
fn worked(checked: usize, day: usize, fined: usize) -> PlanBuilder {
    PlanBuilder::new()
        .brew(0, F1, 1)
        .tank_work(checked, F1, 0)
        .sanitise(day, C1)
        .transfer(day, F1, C1, hl(1_900))
        .tank_work(fined, C1, 1)
}

#[test]
fn tank_work_goes_on_in_the_conditioning_tank() {
    let case = at_work(9);
    let ready = |plan: PlanBuilder| {
        let stays = check(&case, &plan.plan()).usage.stays;
        stays.iter().map(|stay| stay.ready).collect::<Vec<_>>()
    };
    let good = worked(1, 1, 2).carbonate(4, C1).package(7, CANS, CAN, C1, hl(1_843)).plan();
    assert_eq!(broken(&case, &good), []);
    assert_eq!(ready(worked(1, 1, 2)), [Some(4), Some(4)]);
    // Fined two days late it is ready on day 6; the move was in time.
    assert_eq!(ready(worked(1, 1, 4)), [Some(6), Some(6)]);
    assert_eq!(broken(&at_work(7), &worked(1, 1, 4).plan()), []);
    let early = worked(1, 1, 4).carbonate(4, C1).package(7, CANS, CAN, C1, hl(1_843)).plan();
    assert_eq!(broken(&case, &early), [RuleId::Ready]);
    // Too late for its piece, or in the vessel that it has left.
    let mut strict = at_work(7);
    strict.beers[0].tank_work[1].slip = 1;
    assert_eq!(broken(&strict, &worked(1, 1, 4).plan()), [RuleId::TankWork]);
    let elsewhere = moved(1).tank_work(1, F1, 0).tank_work(2, C1, 1).plan();
    assert!(broken(&case, &elsewhere).contains(&RuleId::TankWork));
    // Twice, once in each vessel.
    assert_eq!(broken(&at_work(7), &worked(1, 1, 2).tank_work(3, C1, 0).plan()), [RuleId::TankWork]);
}

#[test]
fn what_is_due_before_the_move_is_done_before_it_and_makes_it_late() {
    let mut case = at_work(7);
    // On the day on which it is due the check may be done after the move, on a later day not.
    assert_eq!(broken(&case, &moved(1).tank_work(1, C1, 0).tank_work(2, C1, 1).plan()), []);
    let after = |day| moved(day).tank_work(day, C1, 0).tank_work(3, C1, 1).plan();
    assert_eq!(broken(&case, &after(2)), [RuleId::TankWork]);
    // Checked on day 2 it is a day late, and so are the days on which it may be moved: from day 2 on, with a rest of two days from 3 on.
    assert_eq!(broken(&case, &worked(2, 2, 3).plan()), []);
    case.beers[0].conditions = Some(2);
    assert_eq!(broken(&case, &worked(1, 2, 2).plan()), []);
    assert_eq!(broken(&case, &worked(2, 2, 3).plan()), [RuleId::Ready]);
    assert_eq!(broken(&case, &worked(2, 3, 3).plan()), []);
    case.beers[0].tank_work[0].moves = false;
    assert_eq!(broken(&case, &worked(2, 2, 2).plan()), []);
}

/// One hose does two moves that take half a shift each, and not a minute more.
#[test]
fn moves_take_the_hoses_as_transfers_do() {
    let mut case = lager(5);
    case.vessels.push(conditioning_tank());
    let c2 = VesselId(4);
    case.in_tank = vec![in_tank(F1, hl(2_000), 1, 3), in_tank(F2, hl(2_000), 1, 3)];
    case.transfer.at_once = Some(1);
    let both = PlanBuilder::new()
        .sanitise(0, C1)
        .sanitise(0, c2)
        .transfer(0, F1, C1, hl(1_900))
        .transfer(0, F2, c2, hl(1_900))
        .plan();
    let half =
        cellarwright_model::units::Minutes(case.shift_hours(cellarwright_model::calendar::Slot(0)).0 / 2);
    case.transfer.job.takes = half;
    assert_eq!(broken(&case, &both), []);
    case.transfer.job.takes.0 += 1;
    assert_eq!(broken(&case, &both), [RuleId::Filter]);
    case.transfer.at_once = Some(2);
    assert_eq!(broken(&case, &both), []);
}
