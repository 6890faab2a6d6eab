//! R08 beyond each vessel's own clean: named sets, the time a vessel stays clean, the hard end of dirt, purging.

use cellarwright_checker::check;
use cellarwright_model::calendar::Role;
use cellarwright_model::case::{Case, Job, Purge, Reach, RoleTimes, Turnaround};
use cellarwright_model::plan::Plan;
use cellarwright_model::rule::RuleId;
use cellarwright_model::testkit::{B1, CAN, CANS, F1, F2, PlanBuilder, hl, hours, in_bright, in_tank, tiny};
use cellarwright_model::units::{Minutes, Money};
use cellarwright_model::violation::{About, Amount};

fn plan() -> PlanBuilder {
    PlanBuilder::new()
}

fn broken(case: &Case, plan: &Plan) -> Vec<(RuleId, &'static str)> {
    check(case, plan).violations.iter().map(|one| (one.rule, one.what)).collect()
}

/// Two dirty fermenters and a bright tank to be packaged: cleans of 4 h and a clean-down of 1 h in a shift of 8 h.
fn busy() -> (Case, Plan) {
    let mut case = tiny(1);
    case.dirty = vec![F1, F2];
    for vessel in &mut case.vessels[..2] {
        vessel.clean.takes = hours(4);
    }
    case.lines[0].clean_down = hours(1);
    case.in_tank = vec![in_bright(B1, hl(2_000), 1)];
    let plan = plan().clean(0, F1).clean(0, F2).package(0, CANS, CAN, B1, hl(2_000)).plan();
    (case, plan)
}

#[test]
fn a_named_set_cleans_what_it_reaches() {
    let (mut case, plan) = busy();
    let late = [(RuleId::Clean, "clock time")];
    assert_eq!(broken(&case, &plan), late);
    case.cleaning.named = vec!["tanks".into(), "lines".into()];
    case.cleaning_sets = 2;
    for vessel in &mut case.vessels {
        vessel.reach = Reach(1);
    }
    case.lines[0].reach = Reach(2);
    assert_eq!(broken(&case, &plan), []);
    // Two sets, but the second reaches none of the tanks, and 8 h and a minute more of them are wanted.
    case.vessels[0].clean.takes += Minutes(2);
    let found = check(&case, &plan).violations;
    assert_eq!(
        (found[0].about, &found[0].found),
        (About::CleaningSet(Reach(1)), &Amount::Time(Minutes(482)))
    );
    assert_eq!(found.len(), 1);
    // The second takes over one tank.
    case.vessels[1].reach = Reach(3);
    assert_eq!(broken(&case, &plan), []);
}

#[test]
fn hours_divide_between_named_sets() {
    // 5 h for either, 6 h for the first, 6 h for the second: 17 h on two sets of 8 h.
    let (mut case, plan) = busy();
    case.cleaning.named = vec!["one".into(), "two".into()];
    case.cleaning_sets = 2;
    for (vessel, reach) in [(0, 1), (1, 2)] {
        case.vessels[vessel].reach = Reach(reach);
        case.vessels[vessel].clean.takes = hours(6);
    }
    case.lines[0].reach = Reach(3);
    case.lines[0].clean_down = hours(5);
    case.lines[0].start_up = Minutes(0);
    let found = check(&case, &plan).violations;
    assert_eq!(found.iter().map(|one| one.about).collect::<Vec<_>>(), [About::CleaningSet(Reach(3))]);
    case.lines[0].clean_down = hours(4);
    assert_eq!(broken(&case, &plan), []);
}

#[test]
fn a_vessel_stays_clean_as_long_as_the_file_says() {
    // Clean on Monday, brewed into on Tuesday: 24 h later.
    let mut case = tiny(3);
    case.dirty = vec![F1];
    let late = plan().clean(0, F1).brew(1, F1, 1).plan();
    assert_eq!(broken(&case, &late), []);
    case.cleaning.stays_clean = hours(23);
    assert_eq!(broken(&case, &late), [(RuleId::Clean, "clean for")]);
    assert_eq!(broken(&case, &plan().clean(0, F1).sanitise(1, F1).brew(1, F1, 1).plan()), []);
    // What is clean on day 0 may be filled in the first shift as it is.
    assert_eq!(broken(&case, &plan().brew(0, F2, 1).plan()), []);
    assert_eq!(broken(&case, &plan().brew(1, F2, 1).plan()), [(RuleId::Clean, "clean for")]);
}

#[test]
fn dirt_has_a_hard_end_where_the_file_says_so() {
    // Emptied on Thursday; Friday and Monday are the first two working days after it.
    let mut case = tiny(8);
    case.in_tank = vec![in_tank(F1, hl(2_000), 3, 0)];
    case.cleaning.clean_within = Some(2);
    let emptied = || plan().transfer(3, F1, B1, hl(1_900)).package(4, CANS, CAN, B1, hl(1_881));
    assert_eq!(broken(&case, &emptied().clean(7, F1).plan()), []);
    assert_eq!(broken(&case, &emptied().plan()), [(RuleId::Clean, "working days dirty")]);
    case.cleaning.clean_within = Some(1);
    assert_eq!(broken(&case, &emptied().clean(7, F1).plan()), [(RuleId::Clean, "working days dirty")]);
    assert_eq!(broken(&case, &emptied().clean(4, F1).plan()), []);
    // What is dirty on day 0 costs, and nothing else.
    case.dirty = vec![F2];
    assert_eq!(broken(&case, &emptied().clean(4, F1).plan()), []);
}

#[test]
fn purging_takes_time_people_and_gas() {
    // Clean 2 h, purge, transfer 2 h in a shift of 8 h.
    let mut case = tiny(3);
    case.in_tank = vec![in_tank(F1, hl(2_000), 3, 0)];
    let moved = plan().transfer(0, F1, B1, hl(1_900)).package(1, CANS, CAN, B1, hl(1_881)).plan();
    let without = check(&case, &moved).breakdown;
    let purge = |takes| Purge {
        job: Job { takes, crew: RoleTimes::only(Role::Cellar, Minutes(20)) },
        gas: Money(275),
    };
    case.vessels[2].purge = purge(hours(4));
    let with = check(&case, &moved);
    assert_eq!(with.violations, []);
    assert_eq!(with.breakdown.gas, without.gas + Money(275));
    assert_eq!(with.breakdown.labour, without.labour + Money(1_000));
    case.vessels[2].purge = purge(hours(5));
    assert_eq!(broken(&case, &moved), [(RuleId::BrightRest, "cleaning and filling")]);
    // A refill in the shift of the last packaging: 5 h at the line, 1 h each of cleaning, purging and transfer.
    case.in_tank.push(in_bright(B1, hl(2_000), 1));
    case.vessels[2].refill = Turnaround::SameShift;
    case.vessels[2].clean.takes = hours(1);
    case.transfer.job.takes = hours(1);
    case.vessels[2].purge = purge(hours(1));
    let refilled = plan()
        .package(0, CANS, CAN, B1, hl(2_000))
        .transfer(0, F1, B1, hl(1_900))
        .package(1, CANS, CAN, B1, hl(1_881))
        .plan();
    assert_eq!(broken(&case, &refilled), []);
    case.vessels[2].purge = purge(Minutes(61));
    assert_eq!(broken(&case, &refilled), [(RuleId::BrightRest, "refill")]);
}
