//! Materials: what is bought is the largest shortage of any day, for the objective and for the order.

use cellarwright_model::case::{Case, Material};
use cellarwright_model::ids::FormatId;
use cellarwright_model::units::{Money, Share, Volume};
use cellarwright_tests::random::Random;
use cellarwright_tests::small::{hl, money, order, plenty};

use crate::best::{best, tiny};

/// Beer in plenty for packages of 10 hL that earn 1000 each, and a material of which each takes one.
fn with_material(days: usize) -> Case {
    let mut made = plenty(days);
    made.rates.surplus = Share::ZERO;
    made.materials.push(Material {
        name: "caps".into(),
        uses: vec![(FormatId(0), 1)],
        lead: Some(0),
        ..Material::default()
    });
    made
}

/// An order of so many packages, not firm.
fn wanted(packages: i64, due: i64) -> cellarwright_model::case::Order {
    cellarwright_model::case::Order { firm: false, ..order(0, 0, Volume(packages * hl(10).0), due) }
}

/// Packages delivered by the best plan, what it pays for the material in cents, and what is ordered of it.
fn found(made: &Case) -> (i64, Money, Vec<(i64, i64)>) {
    let answer = best(made);
    let delivered: i64 = answer.report.usage.orders.iter().map(|order| order.delivered.0).sum();
    let orders = answer.report.usage.to_order.iter().map(|order| (order.needed, order.pieces));
    (delivered / hl(10).0, answer.report.breakdown.materials, orders.collect())
}

#[test]
fn what_is_short_before_a_delivery_is_paid() {
    let mut made = with_material(4);
    made.orders = vec![wanted(3, 1), wanted(2, 3)];
    made.materials[0].in_stock = 1;
    made.materials[0].deliveries = vec![(2, 10)];
    // A cap costs 600, a package earns 1000: two are bought for Tuesday although there are plenty on Wednesday.
    made.materials[0].price_per_1000 = money(600_000);
    assert_eq!(found(&made), (5, money(1_200), vec![(0, 2)]));
    // For 1100 apiece they are not.
    made.materials[0].price_per_1000 = money(1_100_000);
    assert_eq!(found(&made), (3, Money::ZERO, vec![]));
    // Once two are bought for Tuesday, they are there on Thursday without the delivery.
    made.materials[0].price_per_1000 = money(600_000);
    made.materials[0].deliveries = vec![(2, 2)];
    assert_eq!(found(&made), (5, money(1_200), vec![(0, 2)]));
}

/// The worth in cents of the best choice of packages for each order, each packaged on the day before it is due.
fn most(made: &Case, next: usize, chosen: &mut Vec<i64>) -> i64 {
    if next < made.orders.len() {
        let packages = made.orders[next].quantity.0 / hl(10).0;
        let worths = (0..=packages).map(|number| {
            chosen.push(number);
            let worth = most(made, next + 1, chosen);
            chosen.pop();
            worth
        });
        return worths.max().unwrap_or(0);
    }
    let material = &made.materials[0];
    let mut short = 0;
    for day in 0..made.calendar.planned_days as i64 {
        let used: i64 = made
            .orders
            .iter()
            .zip(&*chosen)
            .filter(|(order, _)| order.due <= day + 1)
            .map(|(_, number)| number)
            .sum();
        let delivered: i64 =
            material.deliveries.iter().filter(|(on, _)| *on <= day).map(|&(_, pieces)| pieces).sum();
        let missing = used - material.in_stock - delivered;
        if missing > 0 && material.lead.is_none_or(|lead| day < lead) {
            return i64::MIN / 2;
        }
        short = short.max(missing);
    }
    let bought = if short == 0 { 0 } else { short.max(material.least_order) };
    let bought = material.pack.map_or(bought, |pack| (bought + pack - 1) / pack * pack);
    chosen.iter().sum::<i64>() * 100_000 - bought * material.price_per_1000.0 / 1_000
}

#[test]
fn every_choice_of_orders_is_worth_no_more() {
    let (mut bought, mut not, mut in_packs, mut least) = (0, 0, 0, 0);
    for seed in 0..200 {
        let mut random = Random::new(9_100 + seed);
        let mut made = with_material(4);
        made.orders = (1..=4).map(|due| wanted(random.between(0, 3), due)).collect();
        made.orders.retain(|order| order.quantity > Volume::ZERO);
        made.materials[0].in_stock = random.between(0, 3);
        made.materials[0].lead = random.percent(80).then(|| random.between(0, 2));
        made.materials[0].price_per_1000 = money(random.between(3, 19) * 100_000);
        made.materials[0].deliveries =
            (0..random.between(0, 2)).map(|_| (random.between(0, 4), random.between(0, 3))).collect();
        made.materials[0].deliveries.sort_unstable();
        if seed >= 60 {
            made.materials[0].pack = random.percent(60).then(|| random.between(2, 4));
            made.materials[0].least_order = random.between(0, 5);
        }
        let expected = most(&made, 0, &mut Vec::new());
        let answer = best(&made);
        let delivered: i64 = answer.report.usage.orders.iter().map(|order| order.delivered.0).sum();
        let paid = answer.report.breakdown.materials.0;
        let worth = delivered * 100_000 / hl(10).0 - paid;
        assert!((worth - expected).abs() <= 1, "seed {seed}: {worth} for {expected}: {:?}", made.materials);
        *if paid > 0 { &mut bought } else { &mut not } += 1;
        in_packs += usize::from(paid > 0 && made.materials[0].pack.is_some());
        least +=
            usize::from(paid > 0 && made.materials[0].pack.is_none() && made.materials[0].least_order > 1);
    }
    assert!(bought >= 20 && not >= 20, "{bought} {not}");
    assert!(in_packs >= 10 && least >= 5, "{in_packs} {least}");
}

#[test]
fn a_pack_is_used_up_and_no_further_one_is_opened() {
    let made = tiny("whole-packs");
    let answer = best(&made);
    assert_eq!(answer.objective, 29_600);
    let order = |answer: &cellarwright_solver::Answer| {
        let orders = &answer.report.usage.to_order;
        orders.iter().map(|order| (order.by, order.pieces, order.packs, order.cost)).collect::<Vec<_>>()
    };
    assert_eq!(order(&answer), [(Some(0), 24, Some(1), money(144))]);
    // By the piece all that is ordered is packaged.
    let mut single = made.clone();
    single.materials[0].pack = None;
    let answer = best(&single);
    assert_eq!((answer.objective, order(&answer)), (30_000, vec![(Some(0), 25, None, money(150))]));
    // Two packs at least are worth no more than they cost, in packs or not.
    let mut large = made;
    large.materials[0].least_order = 48;
    assert_eq!((best(&large).objective, order(&best(&large))), (20_000, Vec::new()));
    large.materials[0].pack = None;
    assert_eq!((best(&large).objective, order(&best(&large))), (20_000, Vec::new()));
}

#[test]
fn a_material_without_packs_adds_no_whole_numbers() {
    let mut made = with_material(4);
    made.orders = vec![wanted(3, 1), wanted(2, 3)];
    made.materials[0].price_per_1000 = money(600_000);
    let integers = |made: &Case| best(made).size.integers;
    let without = integers(&made);
    made.materials[0].least_order = 2;
    assert_eq!(integers(&made), without + 1);
    made.materials[0].pack = Some(2);
    assert_eq!(integers(&made), without + 1);
    made.materials[0].least_order = 3;
    assert_eq!(integers(&made), without + 2);
    // Where nothing is paid there is nothing to decide.
    made.materials[0].price_per_1000 = Money::ZERO;
    assert_eq!(integers(&made), without);
}
