//! What beer is packaged in: kegs that go round, and cans, labels and cartons that are used up.

use crate::calendar::Role;
use crate::case::{Case, Format};
use crate::ids::{BeerId, FormatId, KegPoolId};
use crate::units::{Minutes, Money, Volume};

/// Kegs of one kind that are filled, go out, come back and are washed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct KegPool {
    /// Its name.
    pub name: String,
    /// Formats that are filled into these kegs; no format is in two pools.
    pub formats: Vec<FormatId>,
    /// Kegs washed and ready to be filled on day 0.
    pub clean: i64,
    /// Empty dirty kegs on day 0.
    pub dirty: i64,
    /// Whole days after the day of its washing that a keg stays clean; for ever where the file is silent.
    pub keeps: Option<i64>,
    /// Days after its filling on which a keg is back, empty and dirty; never within the horizon where the file is silent.
    pub back_after: Option<i64>,
    /// Days after its delivery on which a keg is back, empty and dirty; no pool has `back_after` too.
    pub days_out: Option<i64>,
    /// Kegs that the brewery has in all: clean, dirty, full and out. They are not counted where the file is silent.
    pub owned: Option<i64>,
    /// Kegs that come back empty, of those that are out on day 0: day (counted from day 0) and number.
    pub returns: Vec<(i64, i64)>,
}

/// What washes kegs. Without one the line washes what it fills.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct KegWasher {
    /// Kegs an hour.
    pub pace: i64,
    /// People present while it runs.
    pub people: i64,
    /// Their role.
    pub role: Role,
}

impl KegWasher {
    /// Clock time for so many kegs, rounded to the nearest minute.
    #[must_use]
    pub fn takes(&self, kegs: i64) -> Minutes {
        Minutes(crate::units::rounded_mul_div(kegs, 60, self.pace.max(1)))
    }
}

/// Cans, labels, cartons, kegs that do not come back: used up by packaging.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Material {
    /// Its name.
    pub name: String,
    /// Pieces in each package, by format.
    pub uses: Vec<(FormatId, i64)>,
    /// Beers that it is used for; all where the file is silent.
    pub beers: Option<Vec<BeerId>>,
    /// Pieces there on day 0.
    pub in_stock: i64,
    /// Days from ordering to delivery; no more of it can be had within the horizon where the file is silent.
    pub lead: Option<i64>,
    /// Smallest number of pieces that can be ordered.
    pub least_order: i64,
    /// Pieces of a pack, where only whole packs can be ordered; at least one.
    pub pack: Option<i64>,
    /// Paid for a thousand pieces that are ordered.
    pub price_per_1000: Money,
    /// Deliveries expected: day (counted from day 0) and pieces.
    pub deliveries: Vec<(i64, i64)>,
}

impl Material {
    /// Pieces in a package of a beer in a format.
    #[must_use]
    pub fn pieces(&self, beer: BeerId, format: FormatId) -> i64 {
        if self.beers.as_ref().is_some_and(|beers| !beers.contains(&beer)) {
            return 0;
        }
        self.uses.iter().find(|(of, _)| *of == format).map_or(0, |&(_, pieces)| pieces)
    }

    /// Pieces that are there on a day without new orders: stock and deliveries up to it.
    #[must_use]
    pub fn there_by(&self, day: i64) -> i64 {
        let delivered = self.deliveries.iter().filter(|(on, _)| *on <= day).map(|&(_, pieces)| pieces);
        delivered.fold(self.in_stock, i64::saturating_add)
    }
}

impl Format {
    /// Contents of a package, never nothing.
    #[must_use]
    pub fn package(&self) -> Volume {
        self.contents.max(Volume(1))
    }

    /// Packages that hold a volume: one that is begun counts, 20 mL are rounding.
    #[must_use]
    pub fn packages_begun(&self, volume: Volume) -> i64 {
        let contents = self.package().0;
        let volume = (volume - crate::tolerance::VOLUME).0.max(0);
        volume.saturating_add(contents - 1).div_euclid(contents)
    }
}

impl Case {
    /// Kegs of a kind that are full on day 0, each with some beer in it, by the stock in its formats.
    #[must_use]
    pub fn full_kegs(&self, id: KegPoolId) -> i64 {
        let stock = self.stock.iter().filter(|stock| self.pool_of(stock.format) == Some(id));
        stock
            .map(|stock| self.format(stock.format).packages_begun(stock.quantity))
            .fold(0, i64::saturating_add)
    }

    /// The pool of a format, if its packages are kegs that are counted.
    #[must_use]
    pub fn pool_of(&self, format: FormatId) -> Option<KegPoolId> {
        self.kegs.iter().position(|pool| pool.formats.contains(&format)).map(KegPoolId)
    }
}
