//! People at filters: their time in each slot, counted once all transfers are known.

use std::collections::BTreeSet;

use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::case::RoleTimes;
use cellarwright_model::units::Minutes;

use super::{Charge, Ledger};
use crate::rules::filter_time;

impl Ledger<'_> {
    pub(super) fn finish_filters(&mut self) {
        let outs = self.holdings.iter().flat_map(|holding| holding.transfers().map(|out| out.slot));
        let slots: BTreeSet<Slot> = outs.collect();
        for slot in slots {
            let worked = self.case.works(Role::Cellar, slot);
            for (place, filter) in self.case.filters.iter().enumerate() {
                let time = filter_time(self, place, slot).times(filter.people);
                if time.0 > 0 {
                    // To the nearest minute.
                    let minutes =
                        Minutes(i64::try_from((time.0 + 500_000) / 1_000_000).unwrap_or(i64::MAX / 4));
                    let crew = RoleTimes::only(Role::Cellar, minutes);
                    let labour = time.cost(self.case.rates.labour);
                    self.charges.push(Charge { worked, labour, ..Charge::of(self.case, slot, crew) });
                }
            }
        }
    }
}
