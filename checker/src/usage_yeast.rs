//! Yeast for tables: what is there to pitch, what is pitched, and what nobody pitches.

use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::case::Away;
use cellarwright_model::ids::YeastId;
use cellarwright_model::plan::PitchFrom;

use crate::ledger::{Crop, Ledger, Pitch};
use crate::rules::is_crop_allowed;
use crate::usage::{Resource, ResourceUse, SpareYeast, Use};

/// Pitches of one origin: an entry in store, or a crop of the plan.
struct Origin<'a> {
    yeast: YeastId,
    /// The generation of what is pitched from it.
    generation: i64,
    /// The slot of the crop; none for what is in store on day 0.
    from: Option<Slot>,
    last_day: i64,
    pitches: i64,
    taken: Vec<&'a Pitch>,
}

impl Origin<'_> {
    /// What is left of it after all slots before this one.
    fn left_before(&self, slot: Option<Slot>) -> i64 {
        let before = self.taken.iter().filter(|pitch| slot.is_none_or(|slot| pitch.slot < slot));
        let taken = before.fold(0_i64, |sum, pitch| sum.saturating_add(pitch.pitches.max(0)));
        self.pitches.saturating_sub(taken).max(0)
    }

    fn is_there(&self, slot: Slot, day: i64) -> bool {
        self.from.is_none_or(|from| from <= slot) && day <= self.last_day
    }
}

/// Entries in store and crops of the plan, of a generation that is still pitched.
fn origins<'a>(ledger: &'a Ledger) -> Vec<Origin<'a>> {
    let pitches = &ledger.yeast.pitches;
    let mut all = Vec::new();
    for (place, entry) in ledger.case.yeast.in_store.iter().enumerate() {
        let from_it = |pitch: &&Pitch| pitch.from == PitchFrom::Store(place);
        all.push(Origin {
            yeast: entry.yeast,
            generation: entry.generation,
            from: None,
            last_day: entry.cropped.saturating_add(ledger.case.yeast.strain(entry.yeast).keeps_at_most),
            pitches: entry.pitches,
            taken: pitches.iter().filter(from_it).collect(),
        });
    }
    for (place, crop) in ledger.yeast.crops.iter().enumerate() {
        let beer = crop.held.and_then(|held| ledger.case.beer(ledger.holdings[held].beer).yeast);
        let (Some(beer), Some(generation)) = (beer, crop.generation) else { continue };
        let strain = ledger.case.yeast.strain(beer.yeast);
        all.push(Origin {
            yeast: beer.yeast,
            generation: generation.saturating_add(1),
            from: Some(crop.slot),
            last_day: ledger.day(crop.slot).saturating_add(strain.keeps_at_most),
            pitches: strain.crop.map_or(0, |rule| rule.pitches),
            taken: pitches.iter().filter(|pitch| pitch.crop == Some(place)).collect(),
        });
    }
    all.retain(|origin| origin.generation <= ledger.case.yeast.strain(origin.yeast).generations);
    all
}

/// Pitches of each strain that a beer is made with, in the slots in which the brewhouse works or is used: those pitched of those
/// there, in store, cropped by then (in the slot itself too) and bought in the slot.
#[must_use]
pub fn resources(ledger: &Ledger) -> Vec<ResourceUse> {
    let case = ledger.case;
    let origins = origins(ledger);
    let mut all = Vec::new();
    for id in case
        .yeast
        .ids()
        .filter(|&id| case.beers.iter().any(|beer| beer.yeast.is_some_and(|yeast| yeast.yeast == id)))
    {
        let mut uses = Vec::new();
        for slot in (0..case.calendar.planned_slots()).map(Slot) {
            let (mut used, mut bought) = (0_i64, 0_i64);
            for pitch in ledger.yeast.pitches.iter().filter(|pitch| (pitch.yeast, pitch.slot) == (id, slot)) {
                used = used.saturating_add(pitch.pitches.max(0));
                if pitch.from == PitchFrom::Bought {
                    bought = bought.saturating_add(pitch.pitches.max(0));
                }
            }
            let brews = case.works(Role::Brew, slot) && !case.is_away(Away::Brewhouse, slot);
            if !brews && used == 0 {
                continue;
            }
            let there =
                origins.iter().filter(|origin| origin.yeast == id && origin.is_there(slot, ledger.day(slot)));
            let kept = there.fold(0_i64, |sum, origin| sum.saturating_add(origin.left_before(Some(slot))));
            uses.push(Use { slot, used, available: kept.saturating_add(bought) });
        }
        all.push(ResourceUse { resource: Resource::Yeast(id), uses });
    }
    all
}

/// Pitches that the plan leaves: of what is in store and of its crops, and of each crop that it could make besides, or earlier or later.
#[must_use]
pub fn spare(ledger: &Ledger) -> Vec<SpareYeast> {
    let mut all: Vec<SpareYeast> = Vec::new();
    for origin in origins(ledger) {
        all.push(SpareYeast {
            yeast: origin.yeast,
            generation: origin.generation,
            from: origin.from.unwrap_or(Slot(0)),
            last_day: origin.last_day,
            pitches: origin.left_before(None),
        });
    }
    for (held, holding) in
        ledger.holdings.iter().enumerate().filter(|(_, holding)| holding.came_from.is_none())
    {
        let Some(beer) = ledger.case.beer(holding.beer).yeast else { continue };
        let strain = ledger.case.yeast.strain(beer.yeast);
        let (Some(rule), Some(generation)) = (strain.crop, holding.generation) else { continue };
        if generation >= strain.generations {
            continue;
        }
        let of_it =
            |pitch: &&Pitch| pitch.crop.is_some_and(|crop| ledger.yeast.crops[crop].held == Some(held));
        let taken = ledger.yeast.pitches.iter().filter(of_it);
        let taken = taken.fold(0_i64, |sum, pitch| sum.saturating_add(pitch.pitches.max(0)));
        for slot in (0..ledger.case.calendar.planned_slots()).map(Slot) {
            let crop = Crop {
                position: 0,
                slot,
                vessel: holding.vessel,
                held: Some(held),
                generation: holding.generation,
            };
            let is_there = holding.from.is_none_or(|from| from <= slot);
            if !is_there || !ledger.case.works(Role::Cellar, slot) || !is_crop_allowed(ledger, &crop) {
                continue;
            }
            all.push(SpareYeast {
                yeast: beer.yeast,
                generation: generation + 1,
                from: slot,
                last_day: ledger.day(slot).saturating_add(strain.keeps_at_most),
                pitches: rule.pitches.saturating_sub(taken).max(0),
            });
        }
    }
    all.retain(|spare| spare.pitches > 0);
    all
}
