//! Where packaged beer stands: the cold store with its hired overflow, and least stocks.

use crate::ids::{BeerId, FormatId};
use crate::units::{Money, Volume, rounded_mul_div};

use super::Case;

/// What a store counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StoreUnit {
    /// Packaged volume: amounts are millilitres, prices are per hectolitre.
    Volume,
    /// Pallets: amounts are millionths of a pallet, prices are per pallet.
    Pallets,
}

impl StoreUnit {
    /// Amounts in what a price is for.
    #[must_use]
    pub fn priced(self) -> i64 {
        match self {
            Self::Volume => Volume::HECTOLITRE.0,
            Self::Pallets => 1_000_000,
        }
    }
}

/// The cold store.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ColdStore {
    /// What it counts.
    pub unit: StoreUnit,
    /// What it holds, in its unit.
    pub holds: i64,
    /// What may be hired besides, in its unit.
    pub overflow: i64,
    /// Cost of what is hired, per hectolitre (or pallet) and day.
    pub cost: Money,
    /// Formats that stand there.
    pub formats: Vec<FormatId>,
}

/// When a least stock is looked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Each {
    /// At the end of every day.
    Day,
    /// At the end of every Sunday.
    Week,
}

/// A stock that is to be kept.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Keep {
    /// The beer.
    pub beer: BeerId,
    /// The format.
    pub format: FormatId,
    /// Packaged and not delivered, at least.
    pub at_least: Volume,
    /// Cost per hectolitre that is lacking, and day or week.
    pub cost: Money,
    /// When it is looked at.
    pub each: Each,
}

impl Case {
    /// What a volume of a format takes up in the cold store, in the store's unit; nothing if it does not stand there.
    #[must_use]
    pub fn takes_up(&self, store: &ColdStore, format: FormatId, volume: Volume) -> i64 {
        if !store.formats.contains(&format) {
            return 0;
        }
        match store.unit {
            StoreUnit::Volume => volume.0,
            StoreUnit::Pallets => {
                let data = self.format(format);
                let pallet = data.contents.0.saturating_mul(data.pallet.unwrap_or(1)).max(1);
                rounded_mul_div(volume.0, 1_000_000, pallet)
            }
        }
    }

    /// What stands in the cold store before day 0, in the store's unit; beer that still conditions stands elsewhere.
    #[must_use]
    pub fn stored_before(&self, store: &ColdStore) -> i64 {
        let there = self.stock.iter().filter(|stock| !self.stands_warm(stock.beer) || stock.from <= 0);
        there.map(|stock| self.takes_up(store, stock.format, stock.quantity)).sum()
    }

    /// Whether a beer stands in the warm until it can be delivered.
    #[must_use]
    pub fn stands_warm(&self, beer: BeerId) -> bool {
        self.beer(beer).carbonating == super::Carbonating::InPackage
    }
}
