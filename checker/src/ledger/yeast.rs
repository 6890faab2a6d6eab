//! Yeast: what is cropped, and what is pitched where, as the replay meets it.

use cellarwright_model::calendar::Slot;
use cellarwright_model::ids::{VesselId, YeastId};
use cellarwright_model::plan::PitchFrom;
use cellarwright_model::units::Volume;

use super::{Charge, Kind, Ledger};

/// A crop of the plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Crop {
    /// Its position in the plan.
    pub position: usize,
    /// When.
    pub slot: Slot,
    /// The vessel.
    pub vessel: VesselId,
    /// The batch: a position in `Ledger::holdings`; none if there is no batch.
    pub held: Option<usize>,
    /// Generation of the batch, if it is known.
    pub generation: Option<i64>,
}

/// Pitches of the plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Pitch {
    /// Its position in the plan.
    pub position: usize,
    /// When.
    pub slot: Slot,
    /// The vessel.
    pub vessel: VesselId,
    /// The batch, if it was begun in this slot: a position in `Ledger::holdings`.
    pub held: Option<usize>,
    /// The strain.
    pub yeast: YeastId,
    /// Where from.
    pub from: PitchFrom,
    /// How many.
    pub pitches: i64,
    /// The crop that they come from: a position in `YeastBook::crops`.
    pub crop: Option<usize>,
    /// Their generation, if it is known.
    pub generation: Option<i64>,
}

/// All yeast of a plan.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct YeastBook {
    /// Crops, in order.
    pub crops: Vec<Crop>,
    /// Pitches, in order.
    pub pitches: Vec<Pitch>,
}

impl Ledger<'_> {
    pub(super) fn crop(&mut self, position: usize, slot: Slot, vessel: VesselId) {
        let held = self.held(slot, vessel, Volume::ZERO);
        let batch = held.filter(|&held| self.holdings[held].kind == Kind::Batch);
        let strain = batch.and_then(|held| self.case.beer(self.holdings[held].beer).yeast);
        if let Some(crop) = strain.and_then(|beer| self.case.yeast.strain(beer.yeast).crop) {
            self.charges.push(Charge::of(self.case, slot, crop.job.crew));
        }
        let generation = batch.and_then(|held| self.holdings[held].generation);
        self.yeast.crops.push(Crop { position, slot, vessel, held: batch, generation });
    }

    pub(super) fn pitch(
        &mut self,
        position: usize,
        slot: Slot,
        vessel: VesselId,
        yeast: YeastId,
        from: PitchFrom,
        pitches: i64,
    ) {
        let held = self.held(slot, vessel, Volume::ZERO);
        let held = held.filter(|&held| {
            let holding = &self.holdings[held];
            holding.kind == Kind::Batch && holding.from == Some(slot)
        });
        let crop = match from {
            PitchFrom::Crop { vessel: cropped, day } => self
                .yeast
                .crops
                .iter()
                .rposition(|crop| crop.vessel == cropped && self.case.calendar.day(crop.slot) == day),
            PitchFrom::Bought | PitchFrom::Store(_) => None,
        };
        let generation = match from {
            PitchFrom::Bought => Some(1),
            PitchFrom::Store(entry) => self.case.yeast.in_store.get(entry).map(|entry| entry.generation),
            PitchFrom::Crop { .. } => {
                crop.and_then(|crop| self.yeast.crops[crop].generation).map(|generation| generation + 1)
            }
        };
        if let Some(held) = held {
            let holding = &mut self.holdings[held];
            holding.generation = holding.generation.max(generation);
        }
        self.yeast.pitches.push(Pitch {
            position,
            slot,
            vessel,
            held,
            yeast,
            from,
            pitches,
            crop,
            generation,
        });
    }
}
