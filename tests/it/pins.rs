//! Pins: random cases against trying everything, conflicts and their smallest reason, and weeks worked by hand.

use std::path::Path;

use cellarwright_model::calendar::{Role, Weekdays};
use cellarwright_model::case::{Case, Pin, PinnedWork};
use cellarwright_model::ids::{BeerId, FormatId, VesselId};
use cellarwright_model::plan::Work;
use cellarwright_model::rule::RuleId;
use cellarwright_model::units::{Money, Volume};
use cellarwright_model::yaml::read_case;
use cellarwright_solver::{Conflict, NoObserver, Settled, SolveError, solve};
use cellarwright_tests::brute::search;
use cellarwright_tests::generator::make;
use cellarwright_tests::random::Random;
use cellarwright_tests::small::{
    beer, bright, case, fermenter, hl, in_fermenter, kegs, line, order, unitank,
};

use crate::oracle::{compare, exact};

/// Cases that must be compared.
const CASES: usize = 9;

fn some<T>(random: &mut Random, percent: i64, value: T) -> Option<T> {
    random.percent(percent).then_some(value)
}

pub(crate) fn random_pin(made: &Case, random: &mut Random) -> Pin {
    let pick = |random: &mut Random, count: usize| random.between(0, count as i64 - 1) as usize;
    let beer = BeerId(pick(random, made.beers.len()));
    let of_use = |ferments: bool, random: &mut Random| {
        let ids: Vec<VesselId> =
            made.vessel_ids().filter(|&id| made.vessel(id).uses.ferment == ferments).collect();
        (!ids.is_empty()).then(|| ids[pick(random, ids.len())])
    };
    let fermenter = of_use(true, random);
    let bright = of_use(false, random);
    let work = match random.between(0, 3) {
        0 => PinnedWork::Clean { vessel: fermenter.expect("a fermenter") },
        1 if bright.is_some() && made.beer(beer).bright => {
            let from = fermenter.filter(|_| random.percent(50));
            PinnedWork::Transfer { beer, from, to: bright.filter(|_| random.percent(40)), volume: None }
        }
        _ => {
            let turns = random.one_of(&made.beer(beer).turns.clone());
            let vessel = fermenter.filter(|_| random.percent(50));
            PinnedWork::Brew { beer, vessel, turns: some(random, 40, turns), part: None }
        }
    };
    let day = pick(random, made.calendar.planned_days);
    let shift = pick(random, made.calendar.shifts.len());
    Pin { work, day: some(random, 70, day), shift: some(random, 20, shift) }
}

#[test]
fn with_pins_the_program_finds_what_trying_everything_finds() {
    let mut wrong = Vec::new();
    let (mut compared, mut impossible, mut cost, mut seed) = (0, 0, 0, 9_000);
    while compared < CASES || impossible < CASES / 3 {
        seed += 1;
        assert!(seed < 9_000 + 20 * CASES as u64, "{compared} possible, {impossible} impossible");
        let mut case = make(seed).case;
        let mut random = Random::new(seed);
        for _ in 0..random.between(1, 2) {
            let pin = random_pin(&case, &mut random);
            case.fixed.pins.push(pin);
        }
        let (brute, is_complete) = search(&case, 2_000);
        if !is_complete {
            continue;
        }
        match (brute, solve(&case, &exact(), &NoObserver)) {
            (Some(brute), Ok(answer)) => {
                wrong.extend(compare(seed, &case, &brute, &answer));
                compared += 1;
                let free = Case { fixed: Default::default(), ..case };
                let without = solve(&free, &exact(), &NoObserver).expect("it solves");
                cost += usize::from(without.objective > answer.objective + 100);
            }
            (None, Err(SolveError::Conflict(conflict))) => {
                impossible += 1;
                if impossible <= 3 {
                    wrong.extend(needless(seed, &case, &conflict));
                }
            }
            (None, Ok(answer)) => wrong.push(format!(
                "seed {seed}: {:?} where trying everything finds none for {:?}",
                answer.plan.tasks, case.fixed.pins
            )),
            (Some(_), Err(error)) => wrong.push(format!("seed {seed}: {error:?} where there is a plan")),
            (None, Err(error)) => wrong.push(format!("seed {seed}: {error:?}")),
        }
    }
    assert!(wrong.is_empty(), "{} disagreements:\n{}", wrong.len(), wrong.join("\n"));
    assert!(cost * 5 > compared, "pins cost something in {cost} of {compared} cases only");
}

/// Pins of a conflict without which it would still be one, or that are none by themselves: judged by trying everything.
fn needless(seed: u64, case: &Case, conflict: &Conflict) -> Vec<String> {
    let with = |settled: &[Settled]| {
        let mut trial = case.clone();
        trial.fixed.pins = settled
            .iter()
            .filter_map(|one| match one {
                Settled::Pin(position) => Some(case.fixed.pins[*position]),
                Settled::Outage(_) | Settled::Done | Settled::Changes => None,
            })
            .collect();
        search(&trial, 20_000).0.is_some()
    };
    let mut wrong = Vec::new();
    if !conflict.is_smallest || conflict.settled.is_empty() || with(&conflict.settled) {
        wrong.push(format!("seed {seed}: {conflict:?} is no conflict"));
    }
    for one in &conflict.settled {
        let others: Vec<Settled> = conflict.settled.iter().copied().filter(|other| other != one).collect();
        if !with(&others) {
            wrong.push(format!("seed {seed}: {one:?} has no part in {conflict:?}"));
        }
    }
    wrong
}

fn read(name: &str) -> Case {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../cases/tiny/pinned").join(name);
    let outcome = read_case(&path);
    outcome.case.unwrap_or_else(|| panic!("{:#?}", outcome.findings))
}

/// Worked by hand at the top of the case.
#[test]
fn pins_on_tuesday_and_friday_cost_a_filling() {
    let made = read("brewplan.yaml");
    let answer = solve(&made, &exact(), &NoObserver).expect("it solves");
    assert_eq!(answer.report.breakdown.packaged_planned, hl(40));
    let free = Case { fixed: Default::default(), ..made };
    assert_eq!(
        solve(&free, &exact(), &NoObserver).expect("it solves").report.breakdown.packaged_planned,
        hl(80)
    );
}

fn conflict_of(made: &Case) -> Conflict {
    match solve(made, &exact(), &NoObserver) {
        Err(SolveError::Conflict(conflict)) => conflict,
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_transfer_before_the_beer_is_ready_is_named_with_its_rule_and_no_other_pin() {
    let made = read("too-early.yaml");
    let conflict = conflict_of(&made);
    assert_eq!(conflict.settled, [Settled::Pin(1)]);
    assert_eq!(conflict.rules, [RuleId::Ready]);
    assert!(conflict.is_smallest);
}

#[test]
fn two_fills_of_one_tank_on_two_days_on_end_are_named_together() {
    let mut made = read("brewplan.yaml");
    let transfer = |day, from| Pin {
        work: PinnedWork::Transfer { beer: BeerId(0), from: Some(VesselId(from)), to: None, volume: None },
        day: Some(day),
        shift: None,
    };
    made.fixed.pins = vec![transfer(4, 0), transfer(0, 1), transfer(1, 2)];
    let conflict = conflict_of(&made);
    assert_eq!(conflict.settled, [Settled::Pin(1), Settled::Pin(2)]);
    assert!(conflict.rules.contains(&RuleId::OneBatch) || conflict.rules.contains(&RuleId::BrightRest));
}

/// A batch by a bright tank for two orders, both firm: transferred on its ready day, packaged the day after, there the day after that.
fn two_orders(ready: i64) -> Case {
    let mut made = case(7);
    made.beers.push(beer("beer", &[0]));
    made.lines.push(line("line"));
    made.formats.push(kegs(0));
    made.vessels = vec![fermenter("F", hl(20)), bright("B", hl(20))];
    made.in_tank.push(in_fermenter(0, 0, hl(20), -4, ready));
    made.orders = vec![order(0, 0, hl(10), 2), order(0, 0, hl(5), 6)];
    made
}

/// A stuck fermentation: ready three days late. By hand: ready on Monday it is packaged on Tuesday and there on
/// Wednesday, when the first order is due; ready on Thursday it is there on Saturday, too late for the first, in time
/// for the second.
#[test]
fn a_stuck_fermentation_misses_the_early_order_and_keeps_the_late_one() {
    let delivered = |ready| {
        let answer = solve(&two_orders(ready), &exact(), &NoObserver).expect("it solves");
        answer.report.usage.orders.iter().map(|order| order.delivered).collect::<Vec<Volume>>()
    };
    assert_eq!(delivered(0), [hl(10), hl(5)]);
    assert_eq!(delivered(3), [Volume::ZERO, hl(5)]);
}

/// By hand: the lot of 18.4 hL could be packaged on any day after its transfer; pinned are 6 hL on Wednesday, no more
/// and no less, out of the same tank the rest follows.
#[test]
fn a_pinned_volume_is_packaged_on_its_day_no_more_and_no_less() {
    let mut made = two_orders(0);
    let work = PinnedWork::Package {
        beer: BeerId(0),
        format: Some(FormatId(0)),
        line: None,
        from: None,
        volume: Some(hl(6)),
    };
    made.fixed.pins.push(Pin { work, day: Some(2), shift: None });
    let answer = solve(&made, &exact(), &NoObserver).expect("it solves");
    let on_wednesday: i64 = answer
        .report
        .usage
        .packaged
        .iter()
        .filter(|(position, _)| answer.plan.tasks[*position].slot.0 == 2)
        .map(|(_, volume)| volume.0)
        .sum();
    assert!((on_wednesday - hl(6).0).abs() <= 1_000, "{on_wednesday}");
    assert!(
        answer.plan.tasks.iter().any(|task| matches!(task.work, Work::Package { .. }) && task.slot.0 != 2)
    );
}

/// A brew is pinned into the vessel of beer that is not ready: it is not kept by pouring the beer away, unless that is pinned too.
#[test]
fn no_pin_is_kept_by_pouring_beer_away() {
    let mut made = two_orders(6);
    let on = |work, day| Pin { work, day: Some(day), shift: None };
    let brew = PinnedWork::Brew { beer: BeerId(0), vessel: Some(VesselId(0)), turns: None, part: None };
    made.fixed.pins = vec![on(brew, 2)];
    assert_eq!(conflict_of(&made).settled, [Settled::Pin(0)]);
    made.fixed.pins.push(on(PinnedWork::Dump { vessel: VesselId(0) }, 0));
    let answer = solve(&made, &exact(), &NoObserver).expect("it solves");
    assert!(answer.plan.tasks.iter().any(|task| matches!(task.work, Work::Dump { .. })));
}

/// Both transfers of a blend are pinned, each out of its own fermenter: both are kept by the one filling.
#[test]
fn pins_of_both_transfers_of_a_blend_are_kept() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../cases/tiny/blend/brewplan.yaml");
    let mut made = read_case(&path).case.expect("a case");
    let free = solve(&made, &exact(), &NoObserver).expect("it solves");
    for task in &free.plan.tasks {
        if let Work::Transfer { from, to, .. } = task.work {
            let work = PinnedWork::Transfer { beer: BeerId(0), from: Some(from), to: Some(to), volume: None };
            made.fixed.pins.push(Pin { work, day: Some(made.calendar.day(task.slot)), shift: None });
        }
    }
    assert_eq!(made.fixed.pins.len(), 2);
    let answer = solve(&made, &exact(), &NoObserver).expect("it solves");
    assert_eq!(answer.report.breakdown.packaged_planned, free.report.breakdown.packaged_planned);
}

/// F2 is clean on day 0, and pinned to be cleaned on day 1 nonetheless: there is a plan, which costs the clean and its hour; it is
/// filled on the day after at the earliest, or before.
#[test]
fn a_clean_vessel_is_cleaned_again_where_a_pin_says_so() {
    let mut made = case(3);
    made.lines.push(line("line"));
    made.formats.push(kegs(0));
    let mut one = beer("beer", &[0]);
    one.bright = false;
    made.beers.push(one);
    made.vessels = vec![unitank("F1", hl(20)), unitank("F2", hl(20))];
    made.calendar.work[Role::Brew as usize] = Weekdays([false; 7]);
    let plain = solve(&made, &exact(), &NoObserver).expect("it solves");
    let work = PinnedWork::Clean { vessel: VesselId(1) };
    made.fixed.pins.push(Pin { work, day: Some(1), shift: None });
    let pinned = solve(&made, &exact(), &NoObserver).expect("it solves");
    let cleans: Vec<usize> = pinned
        .plan
        .tasks
        .iter()
        .filter(|task| task.work == Work::Clean { vessel: VesselId(1), full: false })
        .map(|task| task.slot.0)
        .collect();
    assert_eq!(cleans, [1]);
    let job = made.vessels[1].clean;
    let costs = made.rates.clean.0 + made.rates.labour.0 * job.crew.total().0 / 60;
    assert_eq!(plain.objective - pinned.objective, costs);
    // Brewed into on the same day, the rules allow it only where both fit: here the program brews on another day or not at all.
    made.calendar.work[Role::Brew as usize] = Weekdays::ALL;
    made.rates.to_package = Money::ZERO;
    let brewed = solve(&made, &exact(), &NoObserver).expect("it solves");
    assert!(brewed.plan.tasks.iter().any(|task| matches!(task.work, Work::Brew { .. })));
    // A clean of a vessel that is full all the time is still no plan.
    made.in_tank.push(in_fermenter(1, 0, hl(20), -1, 3));
    assert!(solve(&made, &exact(), &NoObserver).is_err());
}
