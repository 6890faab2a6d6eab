//! What a state can earn at best: beer that is or may come, at its best price. Never too low.

use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::case::Aim;
use cellarwright_model::ids::BeerId;
use cellarwright_model::money::ready_value;

use super::closing::value_of_batch;
use super::facts::Facts;
use super::filling::turns_a_day;
use super::state::{Content, Leaving, State};

/// Cents (or hundredths of a millilitre) that one more packaged hectolitre brings at best, without the orders' limits.
fn best_price(facts: &Facts, beer: BeerId) -> f64 {
    let case = facts.case;
    if let Aim::Output(_) = case.aim {
        return 1e7;
    }
    let surplus =
        case.beer(beer).packaged.iter().map(|packaged| surplus_price(facts, packaged.contribution.0));
    let orders = case.orders.iter().filter(|order| order.beer == beer).map(|order| order_price(facts, order));
    surplus.chain(orders).fold(0.0, f64::max)
}

/// Cents per hectolitre of surplus.
pub fn surplus_price(facts: &Facts, contribution: i64) -> f64 {
    facts.case.rates.surplus.as_fraction() * contribution as f64
}

/// Cents per hectolitre delivered, the charge that is saved included.
pub fn order_price(facts: &Facts, order: &cellarwright_model::case::Order) -> f64 {
    let contribution = facts.case.beer(order.beer).contribution(order.format).unwrap_or_default().0 as f64;
    let charge = if order.firm { facts.case.rates.missed_firm.as_fraction() } else { 0.0 };
    let come = order.likely.as_fraction();
    contribution * (come + (1.0 - come) * facts.case.rates.surplus.as_fraction() + charge)
}

/// Cents of the charges if every firm order is missed.
pub fn all_missed(facts: &Facts) -> f64 {
    if let Aim::Output(_) = facts.case.aim {
        return 0.0;
    }
    let firm = facts.case.orders.iter().filter(|order| order.firm);
    firm.map(|order| {
        let contribution =
            facts.case.beer(order.beer).contribution(order.format).unwrap_or_default().0 as f64;
        contribution * facts.case.rates.missed_firm.as_fraction() * order.quantity.hectolitres()
    })
    .sum()
}

/// What so much beer brings at best: orders by price, the rest as surplus.
fn best_earned(facts: &Facts, beer: BeerId, hectolitres: f64) -> f64 {
    let case = facts.case;
    if let Aim::Output(_) = case.aim {
        return 1e7 * hectolitres;
    }
    let prices =
        case.beer(beer).packaged.iter().map(|packaged| surplus_price(facts, packaged.contribution.0));
    let surplus = prices.fold(ready_value(case, case.beer(beer)).0 as f64, f64::max);
    let mut orders: Vec<(f64, f64)> = case
        .orders
        .iter()
        .filter(|order| order.beer == beer)
        .map(|order| (order_price(facts, order), order.quantity.hectolitres()))
        .filter(|order| order.0 > surplus)
        .collect();
    orders.sort_by(|one, other| other.0.total_cmp(&one.0));
    let (mut left, mut earned) = (hectolitres, 0.0);
    for (price, quantity) in orders {
        let given = left.min(quantity);
        earned += price * given;
        left -= given;
    }
    earned + left * surplus
}

/// Upper bound on the objective of every way to go on from a state after a slot.
pub fn bound(facts: &Facts, state: &State, after: Slot) -> f64 {
    let case = facts.case;
    let orders = case.aim == Aim::Orders;
    let mut by_beer = vec![0.0; case.beers.len()];
    for stock in &case.stock {
        if orders {
            by_beer[stock.beer.0] += stock.quantity.hectolitres();
        }
    }
    for lot in &state.lots {
        by_beer[lot.beer.0] += lot.volume.hectolitres();
    }
    let mut value = 0.0;
    for content in &state.vessels {
        if let Content::Batch(batch) = content {
            match &batch.leaving {
                Leaving::Direct(_) => {}
                Leaving::NotYet if batch.ready >= facts.days() => {
                    if orders {
                        value += value_of_batch(facts, batch);
                    }
                }
                Leaving::NotYet | Leaving::Parted => by_beer[batch.beer.0] += batch.volume.hectolitres(),
                Leaving::Stages { pending, .. } => {
                    by_beer[batch.beer.0] += pending.iter().map(|stage| stage.1.hectolitres()).sum::<f64>();
                }
            }
        }
    }
    value += case.beer_ids().map(|beer| best_earned(facts, beer, by_beer[beer.0])).sum::<f64>();
    value += best_of_new(facts, state, after);
    let resort = if orders { 1.0 } else { 1_000.0 };
    value - state.costs - resort * state.last_resort - all_missed(facts)
}

/// What turns still to be brewed can bring at best.
fn best_of_new(facts: &Facts, state: &State, after: Slot) -> f64 {
    let case = facts.case;
    let next = Slot(after.0 + 1);
    if next.0 >= facts.slots() {
        return 0.0;
    }
    let first_day = facts.day(next);
    let turn = case.brewhouse.turn.hectolitres();
    let in_fermenter = case.beers.iter().map(|beer| beer.stay_days() - beer.conditions.unwrap_or(0));
    let shortest = in_fermenter.min().unwrap_or(0).max(1);
    let mut room = 0;
    for vessel in case.vessel_ids().filter(|&id| case.vessel(id).uses.ferment) {
        let parts = case.beers.iter().flat_map(|beer| beer.part_turns.iter().map(|part| part.0));
        let smallest = case.beer_ids().map(|beer| case.turn_of(beer).0).chain(parts).min().unwrap_or(1);
        let holds = case.vessel(vessel).holds.0 / smallest;
        let free_from = match &state.vessels[vessel.0] {
            Content::Batch(batch) if matches!(batch.leaving, Leaving::NotYet) => {
                batch.ready - case.beer(batch.beer).conditions.unwrap_or(0)
            }
            Content::Batch(_) | Content::Empty(_) | Content::Lot(_) => first_day,
        };
        if free_from < facts.days() {
            room += holds * (1 + (facts.days() - 1 - free_from.max(first_day)) / shortest);
        }
        if let Content::Batch(batch) = &state.vessels[vessel.0] {
            room += if batch.is_opening() { 0 } else { holds - batch.turns };
        }
    }
    let days = facts.working_days(Role::Brew, first_day - 1, facts.days() - 1);
    let turns = room.min(days * turns_a_day(facts));
    let best = case.beer_ids().map(|id| {
        let beer = case.beer(id);
        let kept = 1.0 - beer.loss_tank.as_fraction();
        let in_time = first_day + beer.stay_days() < facts.days();
        let elapsed =
            (facts.days() - first_day).min(beer.stay_days()) as f64 / beer.stay_days().max(1) as f64;
        let in_tank = if case.aim == Aim::Orders { ready_value(case, beer).0 as f64 * elapsed } else { 0.0 };
        let packaged = if in_time { best_price(facts, id) } else { 0.0 };
        kept * in_tank.max(packaged)
    });
    best.fold(0.0, f64::max) * turns as f64 * turn
}
