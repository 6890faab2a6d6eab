//! Packages that a plan fills: whole kegs by kind and slot, pieces of materials by day.

use std::collections::BTreeMap;

use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::case::{Case, RoleTimes};
use cellarwright_model::ids::{BeerId, FormatId, KegPoolId, MaterialId};
use cellarwright_model::tolerance;
use cellarwright_model::units::{Minutes, Money, Volume, rounded_mul_div};

use super::{Charge, Ledger, Misfit};

/// Millionths in a piece of a material.
pub const PIECE: i128 = 1_000_000;

/// More kegs than anybody washes in a shift: plans with more are counted as if they had so many.
const MOST_KEGS: i64 = 1_000_000;

/// Pieces of each material used on each day, in millionths, with the number of runs that use it.
pub type PiecesUsed = BTreeMap<(MaterialId, i64), (i128, i128)>;

/// What is used of a material on a planned day or in a period of the look-ahead; pieces in millionths.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct MaterialUse {
    /// The day, of a period its first packaging day.
    pub day: i64,
    /// The day up to which deliveries count for it.
    pub there_on: i64,
    /// Pieces.
    pub pieces: i128,
    /// What is rounding of them: pieces for 20 mL of each run.
    pub rounding: i128,
}

/// Pieces for what is rounding of a run.
fn rounding(case: &Case, pieces: i64, format: FormatId) -> i128 {
    fraction(case, format, tolerance::VOLUME).saturating_add(1).saturating_mul(i128::from(pieces))
}

/// A hundredth of a keg, in millionths: less than this is rounding.
const PART_OF_KEG: i128 = 10_000;

/// Millionths of pieces of every material for a packaged volume; of kegs that are counted, whole ones.
fn add_pieces(case: &Case, used: &mut PiecesUsed, day: i64, beer: BeerId, format: FormatId, packages: i128) {
    for (place, material) in case.materials.iter().enumerate() {
        let pieces = i128::from(material.pieces(beer, format));
        if pieces > 0 {
            let entry = used.entry((MaterialId(place), day)).or_default();
            entry.0 = entry.0.saturating_add(packages.saturating_mul(pieces));
            entry.1 += 1;
        }
    }
}

/// Packages of a volume in millionths.
fn fraction(case: &Case, format: FormatId, packaged: Volume) -> i128 {
    i128::from(packaged.0.max(0)) * PIECE / i128::from(case.format(format).package().0)
}

impl Ledger<'_> {
    pub(super) fn wash(&mut self, position: usize, slot: Slot, pool: KegPoolId, kegs: i64) {
        let Some(washer) = self.case.keg_washer else {
            self.misfit(position, Misfit::NoWasher);
            return;
        };
        if kegs <= 0 {
            self.misfit(position, Misfit::NoKegs(kegs));
            return;
        }
        let kegs = kegs.min(MOST_KEGS);
        let people = washer.people;
        let person_time = Minutes(rounded_mul_div(kegs.saturating_mul(60), people, washer.pace.max(1)));
        let labour = self.case.rates.labour.0.saturating_mul(people);
        self.charges.push(Charge {
            labour: Money(rounded_mul_div(labour, kegs, washer.pace.max(1))),
            ..Charge::of(self.case, slot, RoleTimes::only(washer.role, person_time))
        });
        *self.washed.entry((slot, pool)).or_default() += kegs;
    }

    /// Kegs filled in the planned days by kind and slot.
    #[must_use]
    pub fn kegs_filled(&self) -> BTreeMap<(KegPoolId, Slot), i64> {
        let mut filled: BTreeMap<(KegPoolId, Slot), i64> = BTreeMap::new();
        for (&(slot, _), line_slot) in &self.line_slots {
            for run in &line_slot.runs {
                for (&format, &(_, packaged)) in &run.formats {
                    if let Some(pool) = self.case.pool_of(format) {
                        let kegs = filled.entry((pool, slot)).or_default();
                        *kegs = kegs.saturating_add(self.case.format(format).packages_begun(packaged));
                    }
                }
            }
        }
        filled
    }

    /// Kegs of a kind that have left the brewery full up to a day: what is delivered, over the contents, in whole kegs.
    #[must_use]
    pub fn kegs_delivered(&self, id: KegPoolId, day: i64) -> i64 {
        let mut kegs = PART_OF_KEG;
        for delivery in self.goods.handed.iter().filter(|delivery| delivery.day <= day) {
            let format = self.case.order(delivery.order).format;
            if self.case.pool_of(format) == Some(id) {
                kegs = kegs.saturating_add(fraction(self.case, format, delivery.volume));
            }
        }
        i64::try_from(kegs.div_euclid(PIECE)).unwrap_or(i64::MAX)
    }

    /// Pieces of materials used in the planned days, by day.
    #[must_use]
    pub fn pieces_used(&self) -> PiecesUsed {
        let mut used = PiecesUsed::new();
        for (&(slot, _), line_slot) in &self.line_slots {
            for run in &line_slot.runs {
                for (&format, &(_, packaged)) in &run.formats {
                    let packages = match self.case.pool_of(format) {
                        Some(_) => i128::from(self.case.format(format).packages_begun(packaged)) * PIECE,
                        None => fraction(self.case, format, packaged),
                    };
                    add_pieces(self.case, &mut used, self.day(slot), run.beer, format, packages);
                }
            }
        }
        used
    }

    /// Use of a material over the whole horizon, in order of days: by planned day, then by period of the look-ahead, whose use is on
    /// its first packaging day and may come after all deliveries of the period.
    #[must_use]
    pub fn material_uses(&self, id: MaterialId) -> Vec<MaterialUse> {
        let material = &self.case.materials[id.0];
        let mut uses: Vec<MaterialUse> = Vec::new();
        for (&(_, day), &(pieces, _)) in self.pieces_used().range((id, i64::MIN)..=(id, i64::MAX)) {
            uses.push(MaterialUse { day, there_on: day, pieces, rounding: 0 });
        }
        for (&(slot, _), line_slot) in &self.line_slots {
            for run in &line_slot.runs {
                for &format in run.formats.keys().filter(|&&format| self.case.pool_of(format).is_none()) {
                    let rounding = rounding(self.case, material.pieces(run.beer, format), format);
                    let of_day = uses.iter_mut().find(|used| used.day == self.day(slot));
                    of_day.into_iter().for_each(|used| used.rounding += rounding);
                }
            }
        }
        let outlook = &self.plan.outlook;
        let mut ahead: BTreeMap<usize, MaterialUse> = BTreeMap::new();
        for entry in outlook.packaging.iter().filter(|_| self.looks_ahead()) {
            let pieces = material.pieces(entry.beer, entry.format);
            let Some(period) = outlook.periods.get(entry.period).filter(|_| pieces > 0) else { continue };
            let last = period.last_day.min(self.case.calendar.days());
            let first = (period.first_day..=last).find(|&day| self.works_on(Role::Package, day as i64));
            let day = first.unwrap_or(period.first_day.min(last)) as i64;
            let empty = MaterialUse { day, there_on: last as i64, pieces: 0, rounding: 0 };
            let used = ahead.entry(entry.period).or_insert(empty);
            let packages = fraction(self.case, entry.format, crate::exact::bounded(entry.packaged));
            used.pieces = used.pieces.saturating_add(packages.saturating_mul(i128::from(pieces)));
            used.rounding += rounding(self.case, pieces, entry.format);
        }
        uses.extend(ahead.into_values());
        uses
    }
}
