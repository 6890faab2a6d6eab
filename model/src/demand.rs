//! What a repeating cycle sells: the orders of a brew plan without their dates, and what is beyond them.
//!
//! Asked of a beer in a format are, in a week, the orders of the first whole weeks of the horizon (all of them, where it is shorter than a
//! week) over the number of these weeks; each hectolitre up to that earns what the orders do on average. What is beyond is worth the
//! `surplus` share of the contribution, within the beer's `sales` a week. Cans, labels and the like are bought by the piece. Where a brew plan has no orders at all everything that is
//! packaged sells at its contribution.

use std::collections::BTreeMap;

use crate::case::Case;
use crate::ids::{BeerId, FormatId};
use crate::money::order_worth;
use crate::units::{Money, Volume, mul_div, rounded_mul_div};

/// What is asked of a beer in a format in one cycle, and what its packages cost.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Wanted {
    /// Packaged volume asked for; without a limit where the brew plan has no orders.
    pub asked: Option<Volume>,
    /// Earned per hectolitre up to that.
    pub worth: Money,
    /// Earned per hectolitre beyond it.
    pub surplus: Money,
    /// Price of the cans, labels and the like of a thousand packages.
    pub materials: Money,
    /// Contents of a package.
    pub package: Volume,
}

impl Wanted {
    /// What the materials of a packaged volume cost; they are bought by the piece as they are used.
    #[must_use]
    pub fn materials_of(&self, volume: Volume) -> Money {
        Money(rounded_mul_div(self.materials.0, volume.0, self.package.0.max(1).saturating_mul(1_000)))
    }
}

/// What is asked for in one cycle.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Demand {
    /// By beer and format, for everything that a beer is packaged in.
    pub goods: BTreeMap<(BeerId, FormatId), Wanted>,
    /// The most of a beer, in all formats, that is worth anything beyond what is asked for; without a limit where there is none.
    pub beyond: BTreeMap<BeerId, Volume>,
}

impl Demand {
    /// What a case asks for in a cycle of so many weeks.
    #[must_use]
    pub fn of(case: &Case, weeks: i64) -> Self {
        let whole_weeks = (case.calendar.days() as i64 / 7).max(1);
        let end = if case.calendar.days() < 7 { i64::MAX } else { whole_weeks * 7 };
        let mut goods = BTreeMap::new();
        let mut beyond = BTreeMap::new();
        for id in case.beer_ids() {
            let beer = case.beer(id);
            if let Some(sales) = beer.sales.filter(|_| !case.orders.is_empty()) {
                beyond.insert(id, Volume(sales.0 * weeks));
            }
            for packaged in &beer.packaged {
                let of_these =
                    case.orders.iter().filter(|order| (order.beer, order.format) == (id, packaged.format));
                let (mut quantity, mut earned) = (0_i64, 0_i128);
                for order in of_these.filter(|order| (0..end).contains(&order.due)) {
                    quantity = quantity.saturating_add(order.quantity.0);
                    earned += i128::from(order.quantity.0) * i128::from(order_worth(case, order).0);
                }
                let asked = Volume(mul_div(quantity, weeks, whole_weeks));
                let worth = i64::try_from(earned / i128::from(quantity.max(1))).unwrap_or(i64::MAX);
                let materials = case.materials.iter().map(|material| {
                    Money(material.price_per_1000.0.saturating_mul(material.pieces(id, packaged.format)))
                });
                let (materials, package) = (materials.sum(), case.format(packaged.format).package());
                let wanted = if case.orders.is_empty() {
                    let worth = packaged.contribution;
                    Wanted { asked: None, worth, surplus: Money::ZERO, materials, package }
                } else {
                    let surplus = case.rates.surplus.of_money(packaged.contribution);
                    Wanted { asked: Some(asked), worth: Money(worth), surplus, materials, package }
                };
                goods.insert((id, packaged.format), wanted);
            }
        }
        Self { goods, beyond }
    }

    /// How much of what is packaged in a cycle is sold as it is asked for, by beer and format.
    #[must_use]
    pub fn sold(&self, goods: (BeerId, FormatId), packaged: Volume) -> Volume {
        let asked = self.goods.get(&goods).map_or(Some(Volume::ZERO), |wanted| wanted.asked);
        asked.map_or(packaged, |asked| asked.min(packaged))
    }

    /// What the materials of all that a cycle packages cost.
    #[must_use]
    pub fn materials(&self, packaged: &BTreeMap<(BeerId, FormatId), Volume>) -> Money {
        let costs =
            packaged.iter().filter_map(|(goods, &volume)| Some(self.goods.get(goods)?.materials_of(volume)));
        costs.sum()
    }

    /// What the packaged volume of a cycle earns: what is asked for, then what is beyond it, the dearest first.
    #[must_use]
    pub fn income(&self, packaged: &BTreeMap<(BeerId, FormatId), Volume>) -> Money {
        let mut income = Money::ZERO;
        let mut left: BTreeMap<BeerId, Vec<(Money, Volume)>> = BTreeMap::new();
        for (&goods, &volume) in packaged {
            let Some(wanted) = self.goods.get(&goods) else { continue };
            let sold = self.sold(goods, volume);
            income += wanted.worth.for_volume(sold);
            left.entry(goods.0).or_default().push((wanted.surplus, volume - sold));
        }
        for (beer, mut parts) in left {
            parts.sort_by_key(|&(worth, _)| std::cmp::Reverse(worth));
            let mut most = self.beyond.get(&beer).copied();
            for (worth, volume) in parts {
                let counted = most.map_or(volume, |most| most.min(volume));
                income += worth.for_volume(counted);
                most = most.map(|most| most - counted);
            }
        }
        income
    }
}
