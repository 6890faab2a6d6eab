//! Packaged beer: what is there from which day, what is delivered on which day and what is left.

use std::collections::{BTreeMap, BTreeSet};

use cellarwright_model::calendar::Role;
use cellarwright_model::case::Case;
use cellarwright_model::ids::{BeerId, FormatId, OrderId};
use cellarwright_model::plan::Delivery;
use cellarwright_model::units::Volume;

use super::Ledger;
use crate::exact::bounded;

/// Packaged beer that is there from a day on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Packed {
    /// The day from which it can be delivered; the largest number if it never can.
    pub from: i64,
    /// The day of its packaging; of a period of the look-ahead, the last on which it packages.
    pub packaged: i64,
    /// The day from which it stands in the cold store: that of its packaging, or later where it stands in the warm before.
    pub stored: i64,
    /// How much.
    pub volume: Volume,
}

/// Packaged beer by beer and format, and deliveries by order.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Goods {
    /// Stock of day 0, and what is packaged in the planned days and in the look-ahead.
    pub packed: BTreeMap<(BeerId, FormatId), Vec<Packed>>,
    /// Packaged in the planned days.
    pub planned: Volume,
    /// Packaged in the look-ahead.
    pub look_ahead: Volume,
    /// What the plan delivers, by order; never below nothing.
    pub delivered: Vec<Volume>,
    /// Deliveries by order and day, of each order at most its quantity in all.
    pub handed: Vec<Delivery>,
    /// Whether the plan lists a delivery of less than nothing.
    pub negative: Vec<bool>,
}

impl Goods {
    pub(super) fn count(ledger: &Ledger) -> Self {
        let case = ledger.case;
        let mut goods = Self {
            delivered: vec![Volume::ZERO; case.orders.len()],
            negative: vec![false; case.orders.len()],
            ..Self::default()
        };
        for stock in &case.stock {
            let from = if stock.from > 0 { stock.from } else { i64::MIN };
            let stored = if case.stands_warm(stock.beer) { from } else { i64::MIN };
            let packed = Packed { from, packaged: stock.packaged_on, stored, volume: stock.quantity };
            goods.packed.entry((stock.beer, stock.format)).or_default().push(packed);
        }
        for (&(slot, _), line_slot) in &ledger.line_slots {
            for run in &line_slot.runs {
                let packaged = ledger.day(slot);
                let from = deliverable_from(case, packaged, run.beer);
                for (&format, &(_, volume)) in &run.formats {
                    let stored = if case.stands_warm(run.beer) { from } else { packaged };
                    let packed = Packed { from, packaged, stored, volume };
                    goods.packed.entry((run.beer, format)).or_default().push(packed);
                    goods.planned = Volume(goods.planned.0.saturating_add(volume.0));
                }
            }
        }
        goods.count_look_ahead(ledger);
        goods.count_deliveries(case, &ledger.plan.deliveries);
        goods
    }

    /// Beer packaged in a period is there as if packaged on the period's first packaging day, and as fresh as from its last.
    fn count_look_ahead(&mut self, ledger: &Ledger) {
        let outlook = &ledger.plan.outlook;
        for entry in outlook.packaging.iter().filter(|_| ledger.looks_ahead()) {
            let Some(period) = outlook.periods.get(entry.period) else { continue };
            let days = period.first_day..=period.last_day.min(ledger.case.calendar.days());
            let packages = |day: &usize| ledger.works_on(Role::Package, *day as i64);
            let Some(first) = days.clone().find(packages) else { continue };
            let packaged = days.rev().find(packages).unwrap_or(first) as i64;
            let volume = bounded(entry.packaged).max(Volume::ZERO);
            let from = deliverable_from(ledger.case, first as i64, entry.beer);
            let cold = deliverable_from(ledger.case, packaged, entry.beer);
            let stored = if ledger.case.stands_warm(entry.beer) { cold } else { packaged };
            let packed = Packed { from, packaged, stored, volume };
            self.packed.entry((entry.beer, entry.format)).or_default().push(packed);
            self.look_ahead = Volume(self.look_ahead.0.saturating_add(volume.0));
        }
    }

    fn count_deliveries(&mut self, case: &Case, deliveries: &[Delivery]) {
        let mut sorted: Vec<&Delivery> = deliveries.iter().collect();
        sorted.sort_by_key(|delivery| (delivery.order, delivery.day));
        for delivery in sorted {
            let volume = bounded(delivery.volume);
            let place = delivery.order.0;
            self.negative[place] |= volume < Volume::ZERO;
            let room = (case.order(delivery.order).quantity - self.delivered[place]).max(Volume::ZERO);
            let volume = volume.max(Volume::ZERO);
            self.delivered[place] = bounded(self.delivered[place] + volume);
            self.handed.push(Delivery { volume: volume.min(room), ..*delivery });
        }
    }

    /// What is there of a beer in a format by the end of a day, deliveries not taken off.
    #[must_use]
    pub fn there_by(&self, beer: BeerId, format: FormatId, day: i64) -> Volume {
        let there = self.lots(beer, format).iter().filter(|packed| packed.from <= day);
        Volume(there.fold(0, |sum: i64, packed| sum.saturating_add(packed.volume.0)))
    }

    /// All that there is of a beer in a format.
    #[must_use]
    pub fn lots(&self, beer: BeerId, format: FormatId) -> &[Packed] {
        self.packed.get(&(beer, format)).map_or(&[][..], Vec::as_slice)
    }

    /// Deliveries of an order.
    pub fn handed_to(&self, order: OrderId) -> impl Iterator<Item = &Delivery> {
        self.handed.iter().filter(move |delivery| delivery.order == order)
    }

    /// Hands a beer in a format out by the age that every order accepts.
    #[must_use]
    pub fn hand_out(&self, case: &Case, beer: BeerId, format: FormatId) -> HandedOut {
        let mut left = self.lots(beer, format).to_vec();
        left.sort_by_key(|packed| packed.packaged);
        let mut wanted: Vec<(i64, i64, OrderId, Volume)> = Vec::new();
        for delivery in &self.handed {
            let order = case.order(delivery.order);
            if (order.beer, order.format) == (beer, format) {
                let limit = case.fresh(delivery.order);
                let oldest = limit.map_or(i64::MIN, |limit| delivery.day.saturating_sub(limit));
                wanted.push((delivery.day, oldest, delivery.order, delivery.volume));
            }
        }
        wanted.sort_unstable();
        let mut handed = HandedOut { left: Vec::new(), lacks: Vec::new() };
        for (day, oldest, order, mut volume) in wanted {
            for packed in left.iter_mut().filter(|packed| packed.from <= day && packed.packaged >= oldest) {
                let taken = volume.min(packed.volume);
                packed.volume -= taken;
                volume -= taken;
            }
            if volume > Volume::ZERO {
                handed.lacks.push(Delivery { order, day, volume });
            }
        }
        handed.left = left;
        handed
    }

    /// Beers and formats that are there or delivered.
    #[must_use]
    pub fn kinds(&self, case: &Case) -> BTreeSet<(BeerId, FormatId)> {
        let of_order = |delivery: &Delivery| {
            let order = case.order(delivery.order);
            (order.beer, order.format)
        };
        self.packed.keys().copied().chain(self.handed.iter().map(of_order)).collect()
    }
}

/// A beer in a format, handed out by age.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HandedOut {
    /// What is left, the oldest first.
    pub left: Vec<Packed>,
    /// Deliveries, as far as there was nothing fresh enough for them.
    pub lacks: Vec<Delivery>,
}

/// The first delivery day after a day, plus the beer's release time; the largest number if there is none for a year.
#[must_use]
pub fn deliverable_from(case: &Case, day: i64, beer: BeerId) -> i64 {
    let next = (day + 1..=day + 366).find(|&day| case.calendar.delivers(day));
    next.map_or(i64::MAX, |next| next.saturating_add(case.beer(beer).release))
}
