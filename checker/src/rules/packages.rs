//! R25: clean kegs and materials are there when they are filled and used.

use std::collections::BTreeMap;

use cellarwright_model::calendar::Slot;
use cellarwright_model::case::KegPool;
use cellarwright_model::ids::{KegPoolId, MaterialId};
use cellarwright_model::tolerance;
use cellarwright_model::units::{Minutes, Money};
use cellarwright_model::violation::{About, Amount};

use super::Breaches;
use crate::ledger::{Ledger, Misfit, PIECE};

/// Kegs of one kind in one slot of the planned days.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct KegSlot {
    /// The kind.
    pub pool: KegPoolId,
    /// When.
    pub slot: Slot,
    /// Dirty ones there to be washed.
    pub dirty: i64,
    /// Washed in the slot.
    pub washed: i64,
    /// Clean ones there to be filled, those washed in the slot included.
    pub clean: i64,
    /// Filled in the slot.
    pub filled: i64,
    /// Clean ones left at its end.
    pub clean_left: i64,
    /// Dirty ones left at its end, those that have been clean for too long included.
    pub dirty_left: i64,
}

/// More kegs washed or filled than there are, washing that does not fit its shift, pieces used that are not there.
pub fn check(ledger: &Ledger, breaches: &mut Breaches) {
    for &(position, misfit) in &ledger.misfits {
        let slot = ledger.plan.tasks[position].slot;
        match misfit {
            Misfit::NoWasher => {
                let (found, allowed) = (Amount::Words("washed"), Amount::Words("with a keg washer"));
                breaches.add(About::Outlook, slot, "kegs", found, allowed);
            }
            Misfit::NoKegs(kegs) => {
                breaches.add(About::Outlook, slot, "kegs", Amount::Number(kegs), Amount::Number(1));
            }
            _ => {}
        }
    }
    for place in 0..ledger.case.kegs.len() {
        pool(ledger, KegPoolId(place), breaches);
    }
    for (slot, time) in washing_time(ledger) {
        let hours = ledger.case.shift_hours(slot);
        if time > hours + tolerance::TIME {
            let pool = ledger.washed.keys().find(|(at, _)| *at == slot).map(|&(_, pool)| pool);
            let about = pool.map_or(About::Outlook, About::Kegs);
            breaches.add(about, slot, "time of the keg washer", Amount::Time(time), Amount::Time(hours));
        }
    }
    for place in 0..ledger.case.materials.len() {
        material(ledger, MaterialId(place), breaches);
    }
}

/// Clock time of the keg washer in each slot in which it runs.
#[must_use]
pub fn washing_time(ledger: &Ledger) -> BTreeMap<Slot, Minutes> {
    let mut kegs: BTreeMap<Slot, i64> = BTreeMap::new();
    for (&(slot, _), &washed) in &ledger.washed {
        let sum = kegs.entry(slot).or_default();
        *sum = sum.saturating_add(washed);
    }
    let washer = ledger.case.keg_washer;
    kegs.into_iter()
        .map(|(slot, kegs)| (slot, washer.map_or(Minutes::ZERO, |washer| washer.takes(kegs))))
        .collect()
}

/// Empty kegs as the replay goes: clean ones by the day of their washing, the oldest first.
struct Kegs<'a> {
    pool: &'a KegPool,
    clean: BTreeMap<i64, i64>,
    dirty: i64,
}

impl Kegs<'_> {
    fn clean(&self) -> i64 {
        self.clean.values().fold(0, |sum, &kegs| sum.saturating_add(kegs))
    }

    fn take(&mut self, mut kegs: i64) {
        for there in self.clean.values_mut() {
            let taken = kegs.min(*there);
            *there -= taken;
            kegs -= taken;
        }
    }

    /// What has been clean for as long as it keeps is dirty on the next day.
    fn end_of(&mut self, day: i64) {
        let Some(keeps) = self.pool.keeps else { return };
        for (&washed, there) in &mut self.clean {
            if washed.saturating_add(keeps) <= day {
                self.dirty = self.dirty.saturating_add(*there);
                *there = 0;
            }
        }
    }
}

/// Kegs of one kind through the planned days.
#[must_use]
pub fn kegs_by_slot(ledger: &Ledger, id: KegPoolId) -> Vec<KegSlot> {
    let pool = &ledger.case.kegs[id.0];
    let calendar = &ledger.case.calendar;
    let has_washer = ledger.case.keg_washer.is_some();
    let filled = ledger.kegs_filled();
    let mut kegs = Kegs { pool, clean: BTreeMap::from([(-1, pool.clean)]), dirty: 0 };
    let arrives = |kegs: &mut Kegs, number: i64| {
        if has_washer {
            kegs.dirty = kegs.dirty.saturating_add(number);
        } else {
            // The line washes what it fills: an empty keg is as good as a clean one.
            let there = kegs.clean.entry(i64::MAX).or_default();
            *there = there.saturating_add(number);
        }
    };
    arrives(&mut kegs, pool.dirty);
    // Kegs that the plan has delivered and that are back.
    let mut back = 0;
    let mut all = Vec::new();
    for slot in (0..calendar.planned_slots()).map(Slot) {
        let day = ledger.day(slot);
        if calendar.shift(slot) == 0 {
            for &(_, number) in pool.returns.iter().filter(|(on, _)| *on == day) {
                arrives(&mut kegs, number);
            }
            if let Some(days) = pool.days_out {
                let left = ledger.kegs_delivered(id, day.saturating_sub(days));
                arrives(&mut kegs, left.saturating_sub(back));
                back = left;
            }
            for (&(of, at), &number) in &filled {
                let back = pool.back_after.map(|days| ledger.day(at).saturating_add(days));
                if of == id && back == Some(day) {
                    arrives(&mut kegs, number);
                }
            }
        }
        let washed = ledger.washed.get(&(slot, id)).copied().unwrap_or_default();
        let dirty = kegs.dirty;
        kegs.dirty = (dirty - washed).max(0);
        *kegs.clean.entry(day).or_default() += washed.min(dirty);
        let (clean, fills) = (kegs.clean(), filled.get(&(id, slot)).copied().unwrap_or_default());
        kegs.take(fills);
        if has_washer && calendar.shift(slot) + 1 == calendar.shifts.len() {
            kegs.end_of(day);
        }
        let (clean_left, dirty_left) = (kegs.clean(), kegs.dirty);
        all.push(KegSlot { pool: id, slot, dirty, washed, clean, filled: fills, clean_left, dirty_left });
    }
    all
}

fn pool(ledger: &Ledger, id: KegPoolId, breaches: &mut Breaches) {
    let about = About::Kegs(id);
    for at in kegs_by_slot(ledger, id) {
        if at.washed > at.dirty {
            let (found, allowed) = (Amount::Number(at.washed), Amount::Number(at.dirty));
            breaches.add(about, at.slot, "kegs washed", found, allowed);
        }
        if at.filled > at.clean {
            let (found, allowed) = (Amount::Number(at.filled), Amount::Number(at.clean));
            breaches.add(about, at.slot, "clean kegs filled", found, allowed);
        }
    }
}

/// Pieces used up to each day that no new order can serve are no more than are there.
fn material(ledger: &Ledger, id: MaterialId, breaches: &mut Breaches) {
    let material = &ledger.case.materials[id.0];
    let (mut used, mut runs) = (0_i128, 0_i128);
    for (&(of, day), &(pieces, parts)) in &ledger.pieces_used() {
        if of != id || material.lead.is_some_and(|lead| day >= lead) {
            continue;
        }
        used = used.saturating_add(pieces);
        runs += parts;
        let there = material.there_by(day);
        // Volumes are rounded to whole millilitres: a piece for each run.
        if used > (i128::from(there) + runs) * PIECE {
            let slot = usize::try_from(day).ok().map(|day| ledger.case.calendar.slot(day, 0));
            let found = Amount::Number(i64::try_from(used / PIECE).unwrap_or(i64::MAX));
            breaches.add(About::Material(id), slot, "pieces used by then", found, Amount::Number(there));
            return;
        }
    }
}

/// What must be bought of a material so that no day is short of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Bought {
    /// The first day on which more is used than is there.
    pub needed: i64,
    /// Pieces, in millionths: whole packs and at least the smallest order, where the material has them.
    pub pieces: i128,
    /// Packs, where it comes in packs.
    pub packs: Option<i64>,
    /// Their price.
    pub cost: Money,
}

/// The largest shortage of any day, pieces used up to it less what is there by then, in packs and at least the smallest order; none where
/// stock and deliveries last.
#[must_use]
pub fn bought(ledger: &Ledger, id: MaterialId) -> Option<Bought> {
    let material = &ledger.case.materials[id.0];
    let (mut used, mut rounding, mut needed) = (0_i128, 0_i128, None);
    // The largest shortage, and the largest without what is rounding.
    let (mut short, mut sure) = (0_i128, 0_i128);
    for step in ledger.material_uses(id) {
        used = used.saturating_add(step.pieces);
        rounding = rounding.saturating_add(step.rounding);
        let missing = used.saturating_sub(i128::from(material.there_by(step.there_on)).saturating_mul(PIECE));
        if missing > rounding {
            needed = needed.or(Some(step.day));
            short = short.max(missing);
            sure = sure.max(missing - rounding);
        }
    }
    let needed = needed?;
    let least = i128::from(material.least_order.max(0)) * PIECE;
    let (pieces, packs) = match material.pack {
        None => (short.max(least), None),
        Some(pack) => {
            let pack = i128::from(pack.max(1)) * PIECE;
            let packs = (sure.max(least) + pack - 1).div_euclid(pack);
            (packs.saturating_mul(pack), Some(i64::try_from(packs).unwrap_or(i64::MAX)))
        }
    };
    let thousand = 1_000 * PIECE;
    let price = i128::from(material.price_per_1000.0);
    let cents = (pieces.saturating_mul(price) + thousand / 2) / thousand;
    let cost = Money(i64::try_from(cents).unwrap_or(i64::MAX / 1_000));
    Some(Bought { needed, pieces, packs, cost })
}

/// Price of all materials that are bought, for the look-ahead too.
#[must_use]
pub fn materials_bought(ledger: &Ledger) -> Money {
    let all = (0..ledger.case.materials.len()).filter_map(|place| bought(ledger, MaterialId(place)));
    all.fold(Money::ZERO, |sum, one| Money(sum.0.saturating_add(one.cost.0)))
}
