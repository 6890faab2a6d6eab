//! Packaged beer: what is there from which day, what is delivered and what is left.

use std::collections::BTreeMap;

use cellarwright_model::calendar::Role;
use cellarwright_model::case::Case;
use cellarwright_model::ids::{BeerId, FormatId};
use cellarwright_model::units::Volume;

use super::Ledger;
use crate::exact::bounded;

/// Packaged beer that is there from a day on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Packed {
    /// The day from which it can be delivered; the largest number if it never can.
    pub from: i64,
    /// How much.
    pub volume: Volume,
}

/// Packaged beer by beer and format, and deliveries by order.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Goods {
    /// Stock of day 0 that can be delivered at once.
    pub opening: BTreeMap<(BeerId, FormatId), Volume>,
    /// What is packaged, or stock of day 0 that can be delivered later, in the planned days and in the look-ahead.
    pub packed: BTreeMap<(BeerId, FormatId), Vec<Packed>>,
    /// Packaged in the planned days.
    pub planned: Volume,
    /// Packaged in the look-ahead.
    pub look_ahead: Volume,
    /// What the plan delivers, by order; never below nothing.
    pub delivered: Vec<Volume>,
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
            let key = (stock.beer, stock.format);
            if stock.from > 0 {
                let packed = Packed { from: stock.from, volume: stock.quantity };
                goods.packed.entry(key).or_default().push(packed);
            } else {
                *goods.opening.entry(key).or_default() += stock.quantity;
            }
        }
        for (&(slot, _), line_slot) in &ledger.line_slots {
            for run in &line_slot.runs {
                let from = deliverable_from(case, ledger.day(slot), run.beer);
                for (&format, &(_, packaged)) in &run.formats {
                    goods
                        .packed
                        .entry((run.beer, format))
                        .or_default()
                        .push(Packed { from, volume: packaged });
                    goods.planned = Volume(goods.planned.0.saturating_add(packaged.0));
                }
            }
        }
        goods.count_look_ahead(ledger);
        for delivery in &ledger.plan.deliveries {
            let volume = bounded(delivery.volume);
            let place = delivery.order.0;
            goods.negative[place] |= volume < Volume::ZERO;
            goods.delivered[place] = bounded(goods.delivered[place] + volume.max(Volume::ZERO));
        }
        goods
    }

    /// Beer packaged in a period is there as if packaged on the period's first packaging day.
    fn count_look_ahead(&mut self, ledger: &Ledger) {
        let outlook = &ledger.plan.outlook;
        for entry in outlook.packaging.iter().filter(|_| ledger.looks_ahead()) {
            let Some(period) = outlook.periods.get(entry.period) else { continue };
            let days = period.first_day..=period.last_day.min(ledger.case.calendar.days());
            let first = days.into_iter().find(|&day| ledger.works_on(Role::Package, day as i64));
            let Some(first) = first else { continue };
            let volume = bounded(entry.packaged).max(Volume::ZERO);
            let from = deliverable_from(ledger.case, first as i64, entry.beer);
            self.packed.entry((entry.beer, entry.format)).or_default().push(Packed { from, volume });
            self.look_ahead = Volume(self.look_ahead.0.saturating_add(volume.0));
        }
    }

    /// What is there of a beer in a format by the end of a day, deliveries not taken off.
    #[must_use]
    pub fn there_by(&self, beer: BeerId, format: FormatId, day: i64) -> Volume {
        let opening = self.opening.get(&(beer, format)).copied().unwrap_or_default();
        let packed = self.packed.get(&(beer, format)).map_or(&[][..], Vec::as_slice);
        let there = packed.iter().filter(|packed| packed.from <= day).map(|packed| packed.volume);
        Volume(there.fold(opening.0, |sum, volume| sum.saturating_add(volume.0)))
    }
}

/// The first delivery day after a day, plus the beer's release time; the largest number if there is none for a year.
#[must_use]
pub fn deliverable_from(case: &Case, day: i64, beer: BeerId) -> i64 {
    let next = (day + 1..=day + 366).find(|&day| case.calendar.delivers(day));
    next.map_or(i64::MAX, |next| next.saturating_add(case.beer(beer).release))
}
