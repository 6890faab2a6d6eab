//! Yeast: strains, how they are come by, how long a crop keeps, and how often it may be pitched again.

use crate::case::Job;
use crate::ids::{VesselId, YeastId};
use crate::units::Money;

/// Original gravity of a wort in hundredths of a degree Plato.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Gravity(pub i64);

/// Fresh yeast, ordered on day 0 at the earliest.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct BoughtYeast {
    /// Per pitch.
    pub price: Money,
    /// Days from the order to the first day on which it can be pitched.
    pub lead: i64,
}

/// Cropping a batch.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct YeastCrop {
    /// First day of cropping, counted from the day of the batch's last turn.
    pub from: i64,
    /// Last day of cropping.
    pub to: i64,
    /// Pitches that one crop gives.
    pub pitches: i64,
    /// Batches of a higher gravity are not cropped.
    pub not_above: Option<Gravity>,
    /// Not cropped after the batch was dry hopped.
    pub before_dry_hop: bool,
    /// Clock time (within one shift) and person-time.
    pub job: Job,
}

/// A strain of yeast.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Yeast {
    /// Its name.
    pub name: String,
    /// How it is bought, if it can be.
    pub bought: Option<BoughtYeast>,
    /// How it is cropped, if it is.
    pub crop: Option<YeastCrop>,
    /// Days that a crop keeps at no cost.
    pub keeps: i64,
    /// Days after which it is not pitched any more.
    pub keeps_at_most: i64,
    /// Cost of each pitch for each day beyond `keeps`.
    pub late_cost: Money,
    /// The highest generation that is pitched; bought yeast is generation 1.
    pub generations: i64,
}

/// Yeast in store on day 0.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct YeastInStore {
    /// The strain.
    pub yeast: YeastId,
    /// The generation that it is when it is pitched.
    pub generation: i64,
    /// Day on which it was cropped; before day 0, so negative.
    pub cropped: i64,
    /// Pitches.
    pub pitches: i64,
}

/// The yeast of a beer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct BeerYeast {
    /// The strain.
    pub yeast: YeastId,
    /// A pitch for each turn of a batch instead of one for the batch.
    pub per_turn: bool,
    /// Original gravity, where it is stated.
    pub gravity: Option<Gravity>,
}

impl BeerYeast {
    /// Pitches that a batch of so many turns takes.
    #[must_use]
    pub fn pitches(&self, turns: i64) -> i64 {
        if self.per_turn { turns } else { 1 }
    }
}

/// All yeast of a case.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Yeasts {
    /// Strains.
    pub strains: Vec<Yeast>,
    /// In store on day 0.
    pub in_store: Vec<YeastInStore>,
    /// Batches in fermenters on day 0 that are not cropped yet and whose generation is known.
    pub in_tank: Vec<(VesselId, i64)>,
}

impl Yeasts {
    /// The strain with this index.
    #[must_use]
    pub fn strain(&self, id: YeastId) -> &Yeast {
        &self.strains[id.0]
    }

    /// All strains by index.
    pub fn ids(&self) -> impl Iterator<Item = YeastId> + use<> {
        (0..self.strains.len()).map(YeastId)
    }
}
