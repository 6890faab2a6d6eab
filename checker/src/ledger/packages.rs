//! Packages that a plan fills: whole kegs by kind and slot, pieces of materials by day.

use std::collections::BTreeMap;

use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::case::{Case, RoleTimes};
use cellarwright_model::ids::{BeerId, FormatId, KegPoolId, MaterialId};
use cellarwright_model::units::{Minutes, Money, Volume, rounded_mul_div};

use super::{Charge, Ledger, Misfit};

/// Millionths in a piece of a material.
pub const PIECE: i128 = 1_000_000;

/// More kegs than anybody washes in a shift: plans with more are counted as if they had so many.
const MOST_KEGS: i64 = 1_000_000;

/// Pieces of each material used on each day, in millionths, with the number of runs that use it.
pub type PiecesUsed = BTreeMap<(MaterialId, i64), (i128, i128)>;

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

    /// The same with the look-ahead, whose packaging counts on the first packaging day of its period.
    #[must_use]
    pub fn pieces_used_in_all(&self) -> PiecesUsed {
        let mut used = self.pieces_used();
        let outlook = &self.plan.outlook;
        for entry in outlook.packaging.iter().filter(|_| self.looks_ahead()) {
            let Some(period) = outlook.periods.get(entry.period) else { continue };
            let mut days = period.first_day..=period.last_day.min(self.case.calendar.days());
            let first = days.find(|&day| self.works_on(Role::Package, day as i64));
            let day = first.unwrap_or(period.first_day.min(self.case.calendar.days())) as i64;
            let packaged = crate::exact::bounded(entry.packaged);
            let packages = fraction(self.case, entry.format, packaged);
            add_pieces(self.case, &mut used, day, entry.beer, entry.format, packages);
        }
        used
    }
}
