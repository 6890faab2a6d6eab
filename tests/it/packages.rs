//! Kegs that go round and materials that are used up.

use cellarwright_checker::check;
use cellarwright_checker::usage::ToOrder;
use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::case::{Aim, Case, KegPool, KegWasher, Material};
use cellarwright_model::ids::{BeerId, FormatId, KegPoolId, MaterialId};
use cellarwright_model::plan::Work;
use cellarwright_model::plan_file::{PlanSummary, read_plan, write_plan};
use cellarwright_model::rule::RuleId;
use cellarwright_model::units::{Money, Volume};
use cellarwright_solver::{Status, solve_without};
use cellarwright_tests::random::Random;
use cellarwright_tests::small::{beer, bright, hl, hours, in_bright, order, plenty};

use crate::best::{best, packaged, tiny};
use crate::oracle::exact;

#[test]
fn kegs_set_the_limit() {
    let made = tiny("keg-pool");
    let answer = best(&made);
    assert_eq!(answer.report.breakdown.packaged_planned, hl(35));
    let washed: Vec<(Slot, i64)> = answer
        .plan
        .tasks
        .iter()
        .filter_map(|task| match task.work {
            Work::Wash { kegs, .. } => Some((task.slot, kegs)),
            _ => None,
        })
        .collect();
    assert_eq!(washed.iter().map(|&(_, kegs)| kegs).sum::<i64>(), 50);
    assert!(washed.contains(&(Slot(2), 20)), "{washed:?}");
    // Ten more come back on Tuesday: everything is filled.
    let mut more = made.clone();
    more.kegs[0].returns.push((1, 10));
    assert_eq!(packaged(&more), hl(40));
    // A washer of 2 an hour: 20 + 16, the other 14, 16 of the 20: 66 kegs.
    let mut slow = made.clone();
    slow.keg_washer = Some(KegWasher { pace: 2, ..slow.keg_washer.expect("a washer") });
    assert_eq!(packaged(&slow), hl(33));
    // The line washes what it fills: no other limit than kegs.
    let mut inline = made.clone();
    inline.keg_washer = None;
    assert_eq!(packaged(&inline), hl(35));
    // Kegs of no kind are not counted.
    let mut free = made;
    free.kegs.clear();
    assert_eq!(packaged(&free), hl(40));
}

#[test]
fn what_is_short_is_ordered_in_time() {
    let made = tiny("keg-pool");
    let answer = best(&made);
    // 70 caps are used, the 61st on Wednesday; two days from ordering to delivery.
    // Only ten are short, but no fewer than 500 are sold.
    let (needed, pieces, cost) = (2, 500, Money(4_000));
    let expected = ToOrder { material: MaterialId(0), by: Some(0), needed, pieces, packs: None, cost };
    assert_eq!(answer.report.usage.to_order, [expected]);
    assert_eq!(answer.report.breakdown.materials, Money(4_000));
    // They take longer: 60 kegs are all that is capped.
    let mut late = made.clone();
    late.materials[0].lead = Some(3);
    assert_eq!(packaged(&late), hl(30));
    // Another five are on their way.
    late.materials[0].deliveries = vec![(2, 5)];
    assert_eq!(packaged(&late), Volume(hl(32).0 + hl(1).0 / 2));
    assert_eq!(best(&late).report.usage.to_order, []);
}

#[test]
fn washing_is_written_and_read_back() {
    let made = tiny("keg-pool");
    let plan = best(&made).plan;
    let text = write_plan(&made, &plan, &PlanSummary::default());
    assert_eq!(read_plan(&made, "plan.yaml", &text).as_ref(), Ok(&plan));
    let codes = |text: &str| -> Vec<&str> {
        let findings = read_plan(&made, "plan.yaml", text).expect_err("findings");
        findings.iter().map(|finding| finding.code).collect()
    };
    assert_eq!(codes(&text.replacen("pool: steel kegs", "pool: steel keg", 1)), ["V628"]);
    assert_eq!(codes(&text.replacen("kegs: 20", "kegs: some", 1)), ["V654"]);
}

#[test]
fn a_look_ahead_is_ordered_for_as_well() {
    let mut made = tiny("keg-pool");
    made.calendar.look_ahead_days = 25;
    made.materials[0].in_stock = 70;
    made.kegs[0].returns.push((12, 30));
    made.materials[0].lead = Some(7);
    let answer = best(&made);
    assert!(answer.report.breakdown.packaged_look_ahead > Volume::ZERO);
    let orders = &answer.report.usage.to_order;
    assert_eq!(orders.len(), 1, "{orders:?}");
    assert!(orders[0].by.is_some_and(|by| by == orders[0].needed - 7 && by >= 0), "{orders:?}");
    assert!(orders[0].needed >= 3);
    assert_eq!(answer.status, Status::Optimal, "{} of {}", answer.objective, answer.bound);
}

/// Beer in plenty, kegs of 10 hL, so few of them that every way can be tried.
fn few_kegs(days: usize) -> Case {
    let mut made = plenty(days);
    made.aim = Aim::Output(None);
    made.keg_washer = Some(KegWasher { pace: 1, people: 1, role: Role::Cellar });
    made
}

#[test]
fn every_way_to_wash_and_fill_is_no_better() {
    for seed in 0..60 {
        let mut random = Random::new(4_000 + seed);
        let mut made = few_kegs(3);
        if seed % 2 == 0 {
            // Where washing costs nothing the program washes for nothing, and clean kegs once more: no plan may.
            made.rates.labour = Money::ZERO;
        }
        made.calendar.shifts[0].hours = hours(2);
        made.crews[0].hours = hours(2);
        // Where the line rests for a day kegs are kept for it, or not.
        if random.percent(60) {
            made.calendar.work[Role::Package as usize].0[random.between(0, 2) as usize] = false;
        }
        made.keg_washer = Some(KegWasher { pace: random.between(1, 2), people: 1, role: Role::Cellar });
        made.kegs = vec![KegPool {
            name: "kegs".into(),
            formats: vec![FormatId(0)],
            clean: random.between(0, 2),
            dirty: random.between(0, 4),
            keeps: random.percent(70).then(|| random.between(0, 2)),
            back_after: random.percent(50).then(|| random.between(1, 2)),
            returns: vec![(random.between(0, 2), random.between(0, 2))],
            ..KegPool::default()
        }];
        let answer = best(&made);
        let found = answer.report.breakdown.packaged_planned;
        let washed = answer.plan.tasks.iter().map(|task| match task.work {
            Work::Wash { kegs, .. } => kegs,
            _ => 0,
        });
        assert!(washed.sum::<i64>() * hl(10).0 <= found.0, "seed {seed}");
        let expected = most(&made, 0, &[(-1, made.kegs[0].clean)], made.kegs[0].dirty, &[]);
        assert_eq!(found, Volume(expected * hl(10).0), "seed {seed}: {:?}", made.kegs[0]);
    }
}

/// Most kegs filled from a day on: clean ones by the day of their washing, dirty ones, kegs filled by day.
fn most(made: &Case, day: i64, clean: &[(i64, i64)], dirty: i64, filled: &[i64]) -> i64 {
    if day == made.calendar.planned_days as i64 {
        return 0;
    }
    let runs = usize::try_from(day).is_ok_and(|day| made.calendar.work[Role::Package as usize].0[day]);
    let most_fills = if runs { i64::MAX } else { 0 };
    let pool = &made.kegs[0];
    let a_day = made.calendar.shifts[0].hours.0 / 60 * made.keg_washer.map_or(0, |washer| washer.pace);
    let returned: i64 = pool.returns.iter().filter(|(on, _)| *on == day).map(|&(_, kegs)| kegs).sum();
    let back = pool.back_after.and_then(|after| usize::try_from(day - after).ok()).map_or(0, |on| filled[on]);
    let dirty = dirty + returned + back;
    let mut best = 0;
    for washed in 0..=dirty.min(a_day) {
        let mut there = clean.to_vec();
        there.push((day, washed));
        let all: i64 = there.iter().map(|&(_, kegs)| kegs).sum();
        for fills in 0..=all.min(most_fills) {
            let mut left = there.clone();
            let mut to_take = fills;
            for (_, kegs) in &mut left {
                let taken = to_take.min(*kegs);
                *kegs -= taken;
                to_take -= taken;
            }
            let mut stale = 0;
            if let Some(keeps) = pool.keeps {
                for (_, kegs) in left.iter_mut().filter(|(on, _)| on + keeps <= day) {
                    stale += *kegs;
                    *kegs = 0;
                }
            }
            let mut filled = filled.to_vec();
            filled.push(fills);
            best = best.max(fills + most(made, day + 1, &left, dirty - washed + stale, &filled));
        }
    }
    best
}

#[test]
fn a_keg_that_is_begun_counts() {
    // One keg and a half are ordered, one is clean.
    let mut made = few_kegs(1);
    made.aim = Aim::Orders;
    made.rates.surplus = cellarwright_model::units::Share(0);
    made.orders.push(order(0, 0, hl(15), 1));
    made.kegs =
        vec![KegPool { name: "kegs".into(), formats: vec![FormatId(0)], clean: 1, ..KegPool::default() }];
    assert_eq!(packaged(&made), hl(10));
    made.kegs[0].clean = 2;
    assert_eq!(packaged(&made), hl(15));
}

#[test]
fn labels_of_a_beer_are_used_by_no_other() {
    let mut made = few_kegs(1);
    made.keg_washer = None;
    made.beers.push(beer("other", &[0]));
    made.vessels.push(bright("B2", hl(100)));
    made.in_tank.push(in_bright(1, 1, hl(100), -1));
    made.materials.push(Material {
        name: "labels".into(),
        uses: vec![(FormatId(0), 2)],
        beers: Some(vec![BeerId(0)]),
        in_stock: 24,
        lead: None,
        ..Material::default()
    });
    // Twelve packages of the labelled beer, all of the other.
    assert_eq!(packaged(&made), hl(120 + 100));
}

#[test]
fn a_program_without_the_rule_is_found_out() {
    let mut made = tiny("keg-pool");
    let plan = solve_without(&made, RuleId::Packages, &exact()).expect("it solves");
    let found = check(&made, &plan).violations;
    assert!(found.iter().any(|one| one.what == "clean kegs filled"), "{found:?}");
    made.kegs.clear();
    made.materials[0].lead = Some(5);
    let plan = solve_without(&made, RuleId::Packages, &exact()).expect("it solves");
    let found = check(&made, &plan).violations;
    assert!(found.iter().any(|one| one.what == "pieces used by then"), "{found:?}");
    assert_eq!(made.pool_of(FormatId(0)), None::<KegPoolId>);
}
