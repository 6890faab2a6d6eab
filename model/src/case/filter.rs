//! The way from a fermenter to a bright tank or a line: filters, and which vessel reaches what.

use std::collections::BTreeSet;

use crate::case::{Beer, Case};
use crate::ids::{LineId, VesselId};
use crate::units::{Minutes, Rate, Share, Volume};

/// A filter or centrifuge, through which transfers of the beers that name it go.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Filter {
    /// Its name.
    pub name: String,
    /// Beer that comes out of it in an hour.
    pub rate: Rate,
    /// Clock time in each slot that it runs.
    pub start_up: Minutes,
    /// Clock time for every beer after the first in a slot.
    pub change: Minutes,
    /// Lost whatever the volume, for each tank filled through it.
    pub loss_fixed: Volume,
    /// Lost of the volume that comes to it.
    pub loss_share: Share,
    /// People of role cellar present while it runs.
    pub people: i64,
}

impl Filter {
    /// Running time for a volume that comes out of it, rounded up to whole minutes.
    #[must_use]
    pub fn running(&self, volume: Volume) -> Minutes {
        let rate = self.rate.0.max(1);
        let minutes = i128::from(volume.0.max(0)) * 60 + i128::from(rate) - 1;
        Minutes(i64::try_from(minutes.div_euclid(i128::from(rate))).unwrap_or(i64::MAX / 4))
    }
}

/// What a vessel can be connected to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Connected {
    /// Vessels that beer can be transferred into.
    pub vessels: BTreeSet<VesselId>,
    /// Lines that it can feed.
    pub lines: BTreeSet<LineId>,
}

impl Case {
    /// The filter that transfers of a beer go through, if any.
    #[must_use]
    pub fn filter_of(&self, beer: &Beer) -> Option<&Filter> {
        self.filters.get(beer.filter?)
    }

    /// What arrives in a tank of a volume of a beer that leaves its fermenter.
    #[must_use]
    pub fn arrives(&self, beer: &Beer, leaves: Volume) -> Volume {
        let moved = self.transfer.arrives(leaves);
        match self.filter_of(beer) {
            Some(filter) => (filter.loss_share.taken_off(moved) - filter.loss_fixed).max(Volume::ZERO),
            None => moved,
        }
    }

    /// Clock time of a transfer of a beer by which so much arrives.
    #[must_use]
    pub fn transfer_takes(&self, beer: &Beer, arrives: Volume) -> Minutes {
        self.filling_takes(beer, 1, arrives)
    }

    /// Clock time of so many transfers of a beer into one tank, in which so much arrives in all.
    #[must_use]
    pub fn filling_takes(&self, beer: &Beer, transfers: i64, arrives: Volume) -> Minutes {
        let filter = self.filter_of(beer).map_or(Minutes::ZERO, |filter| filter.running(arrives));
        Minutes(self.transfer.takes().0.saturating_mul(transfers)).max(filter)
    }

    /// Whether beer can be transferred from one vessel into another.
    #[must_use]
    pub fn reaches_vessel(&self, from: VesselId, to: VesselId) -> bool {
        self.vessel(from).reaches.as_ref().is_none_or(|reaches| reaches.vessels.contains(&to))
    }

    /// Whether a vessel can feed a line.
    #[must_use]
    pub fn reaches_line(&self, from: VesselId, line: LineId) -> bool {
        self.vessel(from).reaches.as_ref().is_none_or(|reaches| reaches.lines.contains(&line))
    }

    /// Whether two vessels reach the same and are reached by the same.
    #[must_use]
    pub fn is_connected_alike(&self, one: VesselId, other: VesselId) -> bool {
        let reached = |from: VesselId| self.reaches_vessel(from, one) == self.reaches_vessel(from, other);
        self.vessel(one).reaches == self.vessel(other).reaches && self.vessel_ids().all(reached)
    }
}
