//! Vessels, how they are cleaned and filled again, and moving beer between them.

use crate::case::{Connected, FullClean, Job, Reach};
use crate::units::{Minutes, Money, Pressure, Share, Volume};

/// What a vessel may be used for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Uses {
    /// Wort is filled in and ferments.
    pub ferment: bool,
    /// Beer that fermented or conditioned here may be carbonated here and packaged from here (the direct route).
    pub package: bool,
    /// Beer is transferred in, carbonated and packaged from here (the bright route).
    pub bright: bool,
    /// Beer is poured from here behind the bar.
    pub serve: bool,
    /// Beer is transferred in from its fermenter for the rest of its stay.
    pub condition: bool,
}

/// When something may follow in the same vessel.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Turnaround {
    /// In the same shift where the clock hours fit.
    SameShift,
    /// In the next shift at the earliest.
    #[default]
    NextShift,
}

/// Driving the air out of an empty vessel with gas before beer is transferred into it; nothing where the file is silent.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Purge {
    /// Clock and person-time for each fill.
    pub job: Job,
    /// Gas for each fill.
    pub gas: Money,
}

/// One vessel.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Vessel {
    /// Its name.
    pub name: String,
    /// What it may be used for.
    pub uses: Uses,
    /// Working volume, headspace already taken off.
    pub holds: Volume,
    /// The smallest fill.
    pub least: Volume,
    /// Rated gauge pressure of the data plate.
    pub rated: Pressure,
    /// Gauge pressure at which its relief device is set; the rating where the file is silent.
    pub relief: Pressure,
    /// Height of the beer when it is full, in millimetres; nothing where the file is silent.
    pub beer_height: i64,
    /// Cleaning it once.
    pub clean: Job,
    /// Its full clean, where the file says that one is due from time to time.
    pub full_clean: Option<FullClean>,
    /// The cleaning sets that can clean it.
    pub reach: Reach,
    /// Driving the air out of it before a transfer fills it.
    pub purge: Purge,
    /// Whether it may be cleaned in the shift in which a transfer empties it.
    pub clean_after: Turnaround,
    /// A bright tank: when it may be filled again after its last packaging.
    pub refill: Turnaround,
    /// What it can be connected to; everything where the file is silent.
    pub reaches: Option<Connected>,
    /// A serving tank: how long beer rests in it after filling (and carbonating) before it is poured.
    pub rest: Minutes,
    /// What one more of it costs, if known.
    pub price: Option<Money>,
}

impl Vessel {
    /// Whether it is a bright or serving tank and nothing else: then cleaning belongs to the shift that fills it.
    #[must_use]
    pub fn is_bright_only(&self) -> bool {
        (self.uses.bright || self.uses.serve) && !self.is_cleaned_apart()
    }

    /// Whether beer is only poured from it, and it is filled with beer that was carbonated elsewhere.
    #[must_use]
    pub fn is_serve_only(&self) -> bool {
        self.uses.serve && !self.uses.bright && !self.is_cleaned_apart()
    }

    /// Cleaning it once, in full or not; a vessel without a full clean has the short one alone.
    #[must_use]
    pub fn cleaning(&self, full: bool) -> Job {
        self.full_clean.filter(|_| full).map_or(self.clean, |full| full.job)
    }

    /// The same vessel as one whose every clean is full, or short.
    #[must_use]
    pub fn cleaned(&self, full: bool) -> Self {
        Self { clean: self.cleaning(full), ..self.clone() }
    }

    /// Whether it ferments or conditions: then it is cleaned by a piece of work of its own, and sanitised if it stood.
    #[must_use]
    pub fn is_cleaned_apart(&self) -> bool {
        self.uses.ferment || self.uses.condition
    }
}

/// Margins for planned pressures.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PressureMargins {
    /// Planning stays this share below the lower of relief setting and rating.
    pub below_relief: Share,
    /// Added to the equilibrium pressure against breakout.
    pub breakout: Pressure,
}

/// Moving beer from a fermenter into one bright tank.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Transfer {
    /// Clock and person-time for each bright tank filled.
    pub job: Job,
    /// Lost whatever the volume, for each bright tank filled.
    pub loss_fixed: Volume,
    /// Lost of the volume moved.
    pub loss_share: Share,
    /// Transfers possible at the same time; any number where the file is silent.
    pub at_once: Option<i64>,
}

impl Transfer {
    /// What arrives of a volume that leaves the fermenter: less the share (rounded against the beer), less the fixed loss.
    #[must_use]
    pub fn arrives(&self, leaves: Volume) -> Volume {
        (self.loss_share.taken_off(leaves) - self.loss_fixed).max(Volume::ZERO)
    }

    /// Clock time.
    #[must_use]
    pub fn takes(&self) -> Minutes {
        self.job.takes
    }
}
