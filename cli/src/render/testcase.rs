//! A week of the tiny invented brewery with a plan written by hand, for tests of what is shown.

use cellarwright_model::case::Case;
use cellarwright_model::ids::OrderId;
use cellarwright_model::plan::{Delivery, Plan};
use cellarwright_model::testkit::{B1, CAN, CANS, F1, F2, PlanBuilder, hl, in_tank, order, tiny};

use super::gather::of_report;
use super::view::View;

/// A week with beer in F1, ready on Monday, and five orders.
pub fn case() -> Case {
    let mut case = tiny(7);
    case.in_tank = vec![in_tank(F1, hl(2_000), 2, 0)];
    case.orders = vec![
        order(hl(500), 0, true),
        order(hl(1_200), 2, false),
        order(hl(1_000), 3, false),
        order(hl(900), 4, true),
        order(hl(100_000), 7, false),
    ];
    case
}

/// Monday: transfer to B1, wort into F2. Tuesday: packaging. F2 is packaged straight on Friday.
pub fn plan(case: &Case) -> Plan {
    let left = case.beers[0].loss_tank.taken_off(hl(2_000));
    let builder = PlanBuilder::new().clean(0, F2).brew(0, F2, 1).transfer(0, F1, B1, left).clean(0, F1);
    let arrived = case.transfer.arrives(left);
    let builder = builder.package(1, CANS, CAN, B1, arrived).carbonate(3, F2);
    let direct = case.beers[0].loss_direct.taken_off(left);
    let mut plan = builder.package(4, CANS, CAN, F2, direct).plan();
    for (place, volume) in [(1, hl(1_200)), (2, hl(500)), (4, hl(1_500))] {
        let day = case.orders.get(place).map_or(0, |order| order.due);
        plan.deliveries.push(Delivery { order: OrderId(place), day, volume });
    }
    plan
}

/// The view of a plan that was checked.
pub fn view(case: &Case, plan: &Plan) -> View {
    of_report(case, plan, &cellarwright_checker::check(case, plan), &[])
}
