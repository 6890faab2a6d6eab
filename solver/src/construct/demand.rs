//! What is still asked for, what of it is on its way, and what lies in stock.

use std::collections::BTreeMap;

use cellarwright_model::case::{Aim, Case};
use cellarwright_model::ids::{BeerId, FormatId, OrderId};
use cellarwright_model::units::Volume;

use crate::compile::context::Context;
use crate::compile::rules::orders;

/// Orders, and packaged beer that is promised to them.
#[derive(Clone, Debug)]
pub struct Demand<'a, 'b> {
    case: &'a Case,
    /// Days by which an order has its turn after it is due (before, if less than none), by order.
    after_due: &'b [i64],
    /// Not yet promised, millilitres, by order.
    open: Vec<i64>,
    /// Orders of each beer, in the order of their turns.
    of_beer: Vec<Vec<OrderId>>,
    /// Orders of each beer and format, in the order of their turns.
    of_format: BTreeMap<(BeerId, FormatId), Vec<OrderId>>,
    /// Packaged beer that is promised to no order, by beer.
    spare: Vec<i64>,
    /// What may come of beer in vessels, by beer.
    coming: Vec<i64>,
    /// Brewed since day 0, by beer.
    brewed: Vec<i64>,
    /// Taken out of the cold store: day of delivery and amount in the store's unit.
    leaves: Vec<(i64, i64)>,
    /// Put into the cold store.
    stored: i64,
}

impl<'a, 'b> Demand<'a, 'b> {
    /// Everything that is asked for, less what lies in stock.
    pub fn new(context: &Context<'a>, after_due: &'b [i64]) -> Self {
        let case = context.case;
        let beers = case.beers.len();
        let mut demand = Self {
            case,
            after_due,
            open: case.orders.iter().map(|order| order.quantity.0).collect(),
            of_beer: vec![Vec::new(); beers],
            of_format: BTreeMap::new(),
            spare: vec![0; beers],
            coming: vec![0; beers],
            brewed: vec![0; beers],
            leaves: Vec::new(),
            stored: case.cold_store.as_ref().map_or(0, |store| case.stored_before(store)),
        };
        let mut all: Vec<OrderId> = case.order_ids().collect();
        all.sort_by_key(|&id| (demand.turn(id, 0), !case.order(id).firm, id));
        for id in all {
            let order = case.order(id);
            demand.of_beer[order.beer.0].push(id);
            demand.of_format.entry((order.beer, order.format)).or_default().push(id);
        }
        for stock in &case.stock {
            let from = orders::stock_from(context, stock);
            demand.promise(stock.beer, stock.format, (stock.packaged_on, from), stock.quantity.0);
        }
        demand
    }

    /// The day on which an order has its turn, where beer comes from a day on.
    fn turn(&self, id: OrderId, from: i64) -> i64 {
        self.case.order(id).due.max(from) + self.after_due[id.0]
    }

    /// Promises packaged beer to the orders that accept it.
    fn promise(&mut self, beer: BeerId, format: FormatId, (packaged, from): (i64, i64), volume: i64) {
        let mut left = volume;
        for &id in self.of_format.get(&(beer, format)).into_iter().flatten() {
            let order = self.case.order(id);
            let is_fresh = self.case.fresh(id).is_none_or(|limit| order.due.max(from) - packaged <= limit);
            if order.last_day() < from || !is_fresh {
                continue;
            }
            let taken = left.min(self.open[id.0]);
            self.open[id.0] -= taken;
            left -= taken;
            if let Some(store) = &self.case.cold_store {
                self.leaves.push((order.due.max(from), self.case.takes_up(store, format, Volume(taken))));
            }
        }
        self.spare[beer.0] += left;
    }

    /// Notes packaged beer.
    pub fn packaged(&mut self, context: &Context, beer: BeerId, format: FormatId, day: i64, volume: Volume) {
        if let Some(store) = &self.case.cold_store {
            self.stored += self.case.takes_up(store, format, volume);
        }
        let from = orders::there_from(context, beer, day);
        self.promise(beer, format, (day, from), volume.0);
    }

    /// Beer that is filled into a vessel (or, less than nothing, leaves it), as what may be packaged of it.
    pub fn in_vessels(&mut self, beer: BeerId, volume: i64) {
        self.coming[beer.0] += volume;
    }

    /// Notes what was brewed.
    pub fn brewed(&mut self, beer: BeerId, volume: i64) {
        self.brewed[beer.0] += volume;
    }

    /// The turn of the first order of a beer in a format that what is packaged on a day can still meet, and all that can be met.
    pub fn wanted(&self, context: &Context, beer: BeerId, format: FormatId, day: i64) -> (Option<i64>, i64) {
        let from = orders::there_from(context, beer, day);
        let (mut first, mut sum) = (None, 0);
        for &id in self.of_format.get(&(beer, format)).into_iter().flatten() {
            let order = self.case.order(id);
            let is_fresh = self.case.fresh(id).is_none_or(|limit| order.due.max(from) - day <= limit);
            if self.open[id.0] > 0 && order.last_day() >= from && is_fresh {
                first = first.or(Some(self.turn(id, from)));
                sum += self.open[id.0];
            }
        }
        (first, sum)
    }

    /// The first turn of what a beer falls short of, from `from` on, whatever comes of what is in vessels; and by how much in `ahead` days.
    pub fn short(&self, beer: BeerId, from: i64, ahead: i64) -> Option<(i64, i64)> {
        let mut coming = self.coming[beer.0] + self.spare[beer.0];
        let (mut first, mut sum) = (None, 0);
        for &id in &self.of_beer[beer.0] {
            let order = self.case.order(id);
            let open = self.open[id.0];
            let met = open.min(coming);
            coming -= met;
            if open > met && order.last_day() >= from && order.due.max(from) <= from + ahead {
                first = first.or(Some(self.turn(id, from)));
                sum += open - met;
            }
        }
        first.map(|first| (first, sum))
    }

    /// How much more of a beer can be sold without an order, as far as that is limited.
    pub fn unsold(&self, beer: BeerId, most: Option<i64>) -> i64 {
        let there = self.coming[beer.0] + self.spare[beer.0];
        most.map_or(i64::MAX / 4, |most| most - there)
    }

    /// What was brewed of a beer, over the share that it should have.
    pub fn against_mix(&self, beer: BeerId) -> f64 {
        let share = match &self.case.aim {
            Aim::Output(Some(mix)) => {
                let shares = mix.shares.iter().filter(|share| share.beer == beer);
                shares.map(|share| share.share.as_fraction()).sum::<f64>()
            }
            Aim::Output(None) | Aim::Orders => 1.0,
        };
        if share > 0.0 { self.brewed[beer.0] as f64 / share } else { f64::INFINITY }
    }

    /// Room in the cold store at the end of a day, in its unit; none where it has no limit.
    pub fn room(&self, day: i64) -> Option<i64> {
        let store = self.case.cold_store.as_ref()?;
        let left: i64 = self.leaves.iter().filter(|(on, _)| *on <= day).map(|&(_, amount)| amount).sum();
        Some((store.holds - (self.stored - left)).max(0))
    }
}
