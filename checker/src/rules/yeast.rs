//! R18: every batch is pitched, with yeast that is there, young enough and of a generation that is still pitched; crops in their window.

use std::collections::BTreeMap;

use cellarwright_model::case::{BeerYeast, TankWorkKind};
use cellarwright_model::plan::PitchFrom;
use cellarwright_model::rule::RuleId;
use cellarwright_model::units::Money;
use cellarwright_model::violation::{About, Amount};

use super::Breaches;
use crate::ledger::{Crop, Holding, Kind, Ledger, Pitch};

/// Pitches that are missing or wrong, crops out of place.
pub fn check(ledger: &Ledger, breaches: &mut Breaches) {
    for (place, crop) in ledger.yeast.crops.iter().enumerate() {
        one_crop(ledger, place, crop, breaches);
    }
    for pitch in &ledger.yeast.pitches {
        one_pitch(ledger, pitch, breaches);
    }
    supplies(ledger, breaches);
    for (held, holding) in ledger.holdings.iter().enumerate() {
        if holding.kind == Kind::Batch && !holding.opening {
            batch(ledger, held, holding, breaches);
        }
    }
}

fn yeast_of(ledger: &Ledger, held: usize) -> Option<BeerYeast> {
    ledger.case.beer(ledger.holdings[held].beer).yeast
}

fn one_crop(ledger: &Ledger, place: usize, crop: &Crop, breaches: &mut Breaches) {
    let about = About::Vessel(crop.vessel);
    let mut words = |found, allowed| {
        breaches.add(about, crop.slot, "crop", Amount::Words(found), Amount::Words(allowed));
    };
    let Some(held) = crop.held else {
        words("no batch", "a batch with yeast");
        return;
    };
    let beer = yeast_of(ledger, held);
    let Some((beer, rule)) =
        beer.and_then(|beer| ledger.case.yeast.strain(beer.yeast).crop.map(|rule| (beer, rule)))
    else {
        words("yeast that is not cropped", "a yeast with `crop`");
        return;
    };
    if crop.generation.is_none() {
        words("yeast of no known generation, or cropped before", "a known generation");
    }
    if rule.not_above.is_some_and(|limit| beer.gravity.is_none_or(|gravity| gravity > limit)) {
        words("a beer of too high a gravity", "`not_above`");
    }
    if ledger.yeast.crops[..place].iter().any(|other| other.held == Some(held)) {
        words("a second time", "once");
    }
    let holding = &ledger.holdings[held];
    let day = ledger.day(crop.slot);
    let (first, last) = (holding.on + rule.from, holding.on + rule.to);
    if day < first || day > last {
        let allowed = if day < first { first } else { last };
        breaches.add(about, crop.slot, "crop", Amount::Day(day), Amount::Day(allowed));
    }
    if rule.before_dry_hop && is_hopped(ledger, holding, crop) {
        let found = Amount::Words("after the dry hop");
        breaches.add(about, crop.slot, "crop", found, Amount::Words("before the dry hop"));
    }
    if let Some(out) = holding.first_out().filter(|&out| out < crop.slot) {
        let found = Amount::Slot(crop.slot);
        breaches.add(about, crop.slot, "crop of beer that leaves", found, Amount::Slot(out));
    }
    let (takes, hours) = (rule.job.takes, ledger.case.shift_hours(crop.slot));
    if takes > hours {
        breaches.add(about, crop.slot, "clock time of the crop", Amount::Time(takes), Amount::Time(hours));
    }
}

/// Whether the batch may be cropped so, crops of the plan left aside.
#[must_use]
pub fn is_allowed(ledger: &Ledger, crop: &Crop) -> bool {
    let mut breaches = Breaches::of(RuleId::Yeast);
    one_crop(ledger, 0, crop, &mut breaches);
    breaches.into_violations().is_empty()
}

/// Whether the batch was dry hopped in an earlier slot.
fn is_hopped(ledger: &Ledger, holding: &Holding, crop: &Crop) -> bool {
    let works = &ledger.case.beer(holding.beer).tank_work;
    let is_hop = |position: usize| works.get(position).is_some_and(|work| work.kind == TankWorkKind::DryHop);
    let before = (0..holding.work.before.len()).any(is_hop);
    before || holding.work.done.iter().any(|(&position, &slot)| is_hop(position) && slot < crop.slot)
}

/// Days since the yeast was cropped, where that matters.
fn age(ledger: &Ledger, pitch: &Pitch) -> Option<i64> {
    let cropped = match pitch.from {
        PitchFrom::Bought => return None,
        PitchFrom::Store(entry) => ledger.case.yeast.in_store.get(entry)?.cropped,
        PitchFrom::Crop { .. } => ledger.day(ledger.yeast.crops[pitch.crop?].slot),
    };
    Some(ledger.day(pitch.slot) - cropped)
}

fn one_pitch(ledger: &Ledger, pitch: &Pitch, breaches: &mut Breaches) {
    let about = About::Vessel(pitch.vessel);
    let strain = ledger.case.yeast.strain(pitch.yeast);
    let mut words = |found, allowed| {
        breaches.add(about, pitch.slot, "pitch", Amount::Words(found), Amount::Words(allowed));
    };
    if pitch.held.is_none() {
        words("no batch begun in this shift", "with the first turn");
    }
    if pitch.held.is_some_and(|held| yeast_of(ledger, held).is_none_or(|beer| beer.yeast != pitch.yeast)) {
        words("yeast of another beer", "the yeast of the beer");
    }
    if pitch.pitches < 1 {
        words("no pitch", "a pitch or more");
    }
    match pitch.from {
        PitchFrom::Bought => match strain.bought {
            None => words("bought", "a yeast with `bought`"),
            Some(bought) if ledger.day(pitch.slot) < bought.lead => {
                let found = Amount::Day(ledger.day(pitch.slot));
                breaches.add(about, pitch.slot, "bought yeast", found, Amount::Day(bought.lead));
            }
            Some(_) => {}
        },
        PitchFrom::Store(entry) => {
            if ledger.case.yeast.in_store.get(entry).is_none_or(|entry| entry.yeast != pitch.yeast) {
                words("not in store", "what is in store");
            }
        }
        PitchFrom::Crop { .. } => {
            let held = pitch.crop.and_then(|crop| ledger.yeast.crops[crop].held);
            let strain = held.and_then(|held| yeast_of(ledger, held)).map(|beer| beer.yeast);
            if strain != Some(pitch.yeast) {
                words("not cropped there by then", "a crop of the same yeast");
            }
        }
    }
    if let Some(generation) = pitch.generation.filter(|&generation| generation > strain.generations) {
        let (found, allowed) = (Amount::Number(generation), Amount::Number(strain.generations));
        breaches.add(about, pitch.slot, "generation of the yeast", found, allowed);
    }
    if let Some(age) = age(ledger, pitch).filter(|&age| age > strain.keeps_at_most) {
        let (found, allowed) = (Amount::Number(age), Amount::Number(strain.keeps_at_most));
        breaches.add(about, pitch.slot, "days that the yeast is kept", found, allowed);
    }
}

/// No source gives more pitches than it has.
fn supplies(ledger: &Ledger, breaches: &mut Breaches) {
    let mut taken: BTreeMap<(Option<usize>, usize), i64> = BTreeMap::new();
    for pitch in &ledger.yeast.pitches {
        let (key, there) = match (pitch.from, pitch.crop) {
            (PitchFrom::Store(entry), _) => {
                let there = ledger.case.yeast.in_store.get(entry).map_or(0, |entry| entry.pitches);
                ((None, entry), there)
            }
            (PitchFrom::Crop { .. }, Some(crop)) => {
                let rule = ledger.case.yeast.strain(pitch.yeast).crop;
                ((Some(crop), crop), rule.map_or(0, |rule| rule.pitches))
            }
            _ => continue,
        };
        let sum = taken.entry(key).or_default();
        *sum = sum.saturating_add(pitch.pitches.max(0));
        if *sum > there {
            let (found, allowed) = (Amount::Number(*sum), Amount::Number(there));
            breaches.add(About::Vessel(pitch.vessel), pitch.slot, "pitches of one source", found, allowed);
        }
    }
}

/// A new batch has its pitches, all of one generation.
fn batch(ledger: &Ledger, held: usize, holding: &Holding, breaches: &mut Breaches) {
    let about = About::Vessel(holding.vessel);
    let wanted = ledger.case.beer(holding.beer).yeast.map_or(0, |beer| beer.pitches(holding.turns));
    let pitches: Vec<&Pitch> = ledger.yeast.pitches.iter().filter(|pitch| pitch.held == Some(held)).collect();
    let found = pitches.iter().fold(0_i64, |sum, pitch| sum.saturating_add(pitch.pitches.max(0)));
    if wanted > 0 && found != wanted {
        breaches.add(about, holding.from, "pitches", Amount::Number(found), Amount::Number(wanted));
    }
    let mut generations: Vec<i64> = pitches.iter().filter_map(|pitch| pitch.generation).collect();
    generations.sort_unstable();
    generations.dedup();
    if let [low, .., high] = generations.as_slice() {
        let (found, allowed) = (Amount::Number(*high), Amount::Number(*low));
        breaches.add(about, holding.from, "generations in one batch", found, allowed);
    }
}

/// Cost of yeast bought, and of pitches kept beyond the free days.
#[must_use]
pub fn costs(ledger: &Ledger) -> Money {
    let mut sum = Money::ZERO;
    for pitch in &ledger.yeast.pitches {
        let strain = ledger.case.yeast.strain(pitch.yeast);
        let each = match (pitch.from, strain.bought) {
            (PitchFrom::Bought, Some(bought)) => bought.price,
            (PitchFrom::Bought, None) => Money::ZERO,
            _ => {
                let late = age(ledger, pitch).map_or(0, |age| (age - strain.keeps).max(0));
                Money(strain.late_cost.0.saturating_mul(late))
            }
        };
        sum = Money(sum.0.saturating_add(each.0.saturating_mul(pitch.pitches.clamp(0, 1_000))));
    }
    sum
}
