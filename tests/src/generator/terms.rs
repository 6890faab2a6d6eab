//! Terms of orders in random cases: late, whole, fresh, uncertain. Drawn apart, so that the rest of a case stays as it is.

use cellarwright_model::case::{Aim, Case, ColdStore, Each, Keep, Late, Stock, StoreUnit};
use cellarwright_model::ids::{BeerId, FormatId};

use crate::random::Random;
use crate::small::{hl, money, percent};

/// Two cases of five get terms.
const CHANCE: i64 = 40;
/// Sets the draws of this file apart from those of the rest.
const APART: u64 = 0x5eed_0013;

/// Gives the orders of some cases terms, and old stock.
pub fn add(made: &mut Case, seed: u64) {
    let random = &mut Random::new(seed ^ APART);
    if !random.percent(CHANCE) {
        return;
    }
    let mut is_limited = false;
    for beer in &mut made.beers {
        beer.fresh = random.percent(40).then(|| random.between(1, 5));
        is_limited |= beer.fresh.is_some();
    }
    for order in &mut made.orders {
        order.whole = random.percent(40);
        if random.percent(60) {
            order.late = Some(Late { at_most: random.between(1, 4), cost: money(random.between(1, 30)) });
            order.due -= random.between(0, 2);
        }
        if random.percent(30) {
            order.fresh = Some(random.between(1, 4));
        }
        if !order.firm && random.percent(40) {
            order.likely = percent(random.between(20, 90));
        }
    }
    if is_limited || random.percent(50) {
        for packaged_on in [-1, -random.between(2, 4)] {
            let quantity = hl(random.between(2, 12));
            // Some of the older stock still conditions, and is there later than younger stock.
            let from = if packaged_on < -1 && random.percent(30) { random.between(1, 4) } else { 0 };
            made.stock.push(Stock { beer: BeerId(0), format: FormatId(0), quantity, from, packaged_on });
        }
    }
    if made.aim == Aim::Orders {
        stores(made, random);
    }
}

/// A cold store with little room, and stocks that are to be kept.
fn stores(made: &mut Case, random: &mut Random) {
    if random.percent(60) {
        let formats = (0..made.formats.len()).map(FormatId).filter(|_| random.percent(80)).collect();
        made.cold_store = Some(ColdStore {
            unit: StoreUnit::Volume,
            holds: hl(random.between(0, 20)).0,
            overflow: hl(random.one_of(&[0, 3, 12])).0,
            cost: money(random.between(1, 15)),
            formats,
        });
    }
    if random.percent(40) {
        let beer = BeerId(0);
        made.keep.push(Keep {
            beer,
            format: made.beers[beer.0].packaged[0].format,
            at_least: hl(random.between(2, 10)),
            cost: money(random.between(1, 20)),
            each: random.one_of(&[Each::Day, Each::Day, Each::Week]),
        });
    }
}
