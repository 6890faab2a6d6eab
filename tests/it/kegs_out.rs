//! Kegs that come back some days after their delivery.

use cellarwright_checker::check;
use cellarwright_model::calendar::Role;
use cellarwright_model::case::{Case, KegPool, KegWasher};
use cellarwright_model::ids::FormatId;
use cellarwright_model::units::{Money, Share, Volume};
use cellarwright_tests::random::Random;
use cellarwright_tests::small::{hl, hours, order, plenty};

use crate::best::{best, packaged, tiny};

#[test]
fn what_is_delivered_in_time_is_filled_again() {
    let made = tiny("kegs-out");
    let answer = best(&made);
    assert_eq!(answer.objective, 200_000);
    let met: Vec<Volume> = answer.report.usage.orders.iter().map(|order| order.delivered).collect();
    assert_eq!(met, [hl(10), Volume::ZERO, hl(10)]);
    // Out for a day longer they are back too late.
    let mut longer = made.clone();
    longer.kegs[0].days_out = Some(3);
    assert_eq!(packaged(&longer), hl(10));
    // The plan that counts on them a day too early is found out.
    let found = check(&longer, &answer.plan).violations;
    assert!(found.iter().any(|one| one.what == "kegs washed"), "{found:?}");
    // Without Tuesday's order nothing leaves before Wednesday; counted from the filling they would be back on Thursday.
    let mut later = made.clone();
    later.orders.remove(0);
    assert_eq!(packaged(&later), hl(10));
    (later.kegs[0].days_out, later.kegs[0].back_after) = (None, Some(3));
    assert_eq!(packaged(&later), hl(20));
    // Without a washer the line washes them on Thursday.
    let mut inline = made;
    inline.keg_washer = None;
    assert_eq!(packaged(&inline), hl(20));
}

#[test]
fn a_look_ahead_counts_on_them_too() {
    let mut made = tiny("kegs-out");
    made.calendar.look_ahead_days = 14;
    made.orders.push(cellarwright_model::case::Order { due: 16, ..made.orders[2].clone() });
    let found = best(&made).report.usage.orders[3].delivered;
    assert_eq!(found, hl(10));
    // Out for longer than all days they are filled once, for whichever order.
    made.kegs[0].days_out = Some(20);
    let orders = best(&made).report.usage.orders;
    assert_eq!(orders.iter().map(|order| order.delivered.0).sum::<i64>(), hl(10).0);
}

/// Beer in plenty, kegs of 10 hL, four days, a washer of so many an hour in shifts of two hours.
fn few_kegs(pace: i64) -> Case {
    let mut made = plenty(4);
    made.rates.surplus = Share::ZERO;
    made.calendar.shifts[0].hours = hours(2);
    made.crews[0].hours = hours(2);
    made.keg_washer = Some(KegWasher { pace, people: 1, role: Role::Cellar });
    made
}

/// Kegs of the one kind in a state of the search.
#[derive(Clone)]
struct State {
    clean: Vec<(i64, i64)>,
    dirty: i64,
    full: i64,
    /// Kegs delivered by day.
    delivered: Vec<i64>,
}

/// Most kegs delivered from a day on: each day so many come back, are washed, filled, and on the days after delivered.
fn most(made: &Case, day: usize, state: &State) -> i64 {
    let pool = &made.kegs[0];
    let wanted: i64 = made
        .orders
        .iter()
        .filter(|order| order.due == day as i64)
        .map(|order| order.quantity.0 / hl(10).0)
        .sum();
    let last = day == made.calendar.planned_days;
    let mut best = 0;
    for leaves in 0..=wanted.min(state.full) {
        if last {
            best = best.max(leaves);
            continue;
        }
        let mut state = state.clone();
        state.full -= leaves;
        state.delivered.push(leaves);
        let back =
            pool.days_out.and_then(|out| day.checked_sub(out as usize)).map_or(0, |on| state.delivered[on]);
        let returned: i64 =
            pool.returns.iter().filter(|(on, _)| *on == day as i64).map(|&(_, kegs)| kegs).sum();
        state.dirty += back + returned;
        let washes = made.keg_washer.map_or(0, |washer| 2 * washer.pace).min(state.dirty);
        for washed in 0..=washes {
            let mut there = state.clean.clone();
            there.push((day as i64, washed));
            let clean: i64 = there.iter().map(|&(_, kegs)| kegs).sum();
            for fills in 0..=clean {
                let mut next = State { clean: there.clone(), dirty: state.dirty - washed, ..state.clone() };
                let mut to_take = fills;
                for (on, kegs) in &mut next.clean {
                    let taken = to_take.min(*kegs);
                    *kegs -= taken;
                    to_take -= taken;
                    if pool.keeps.is_some_and(|keeps| *on + keeps <= day as i64) {
                        next.dirty += std::mem::take(kegs);
                    }
                }
                next.full += fills;
                best = best.max(leaves + most(made, day + 1, &next));
            }
        }
    }
    best
}

#[test]
fn every_way_to_deliver_wash_and_fill_is_no_better() {
    let mut turned = 0;
    for seed in 0..60 {
        let mut random = Random::new(7_300 + seed);
        let mut made = few_kegs(random.between(1, 2));
        if seed % 2 == 0 {
            made.rates.labour = Money::ZERO;
        }
        for due in 1..=4 {
            let kegs = random.between(0, 2);
            if kegs > 0 {
                made.orders.push(order(0, 0, Volume(kegs * hl(10).0), due));
            }
        }
        let pool = KegPool {
            name: "kegs".into(),
            formats: vec![FormatId(0)],
            clean: random.between(0, 2),
            dirty: random.between(0, 1),
            keeps: random.percent(50).then(|| random.between(0, 2)),
            days_out: Some(random.between(1, 3)),
            returns: vec![(random.between(0, 2), random.between(0, 1))],
            ..KegPool::default()
        };
        made.kegs = vec![pool.clone()];
        let start =
            State { clean: vec![(-1, pool.clean)], dirty: pool.dirty, full: 0, delivered: Vec::new() };
        let expected = most(&made, 0, &start);
        let delivered = |made: &Case| -> i64 {
            best(made).report.usage.orders.iter().map(|order| order.delivered.0).sum::<i64>()
        };
        assert_eq!(delivered(&made), expected * hl(10).0, "seed {seed}: {pool:?} {:?}", made.orders);
        made.kegs[0].days_out = None;
        turned += usize::from(delivered(&made) < expected * hl(10).0);
    }
    // In enough of them it matters that kegs come back.
    assert!(turned >= 8, "{turned}");
}
