//! Beers: how long they stay, which way they go out, what they earn.

use super::Brewing;
use crate::case::{BeerYeast, Marks, TankWork};
use crate::heat::Ferments;
use crate::ids::FormatId;
use crate::units::{Carbonation, Minutes, Money, Pressure, Share, Temperature, Volume};

/// A named part of the stay, such as ferment, dry hop or chill.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stage {
    /// Its name.
    pub name: String,
    /// Whole days.
    pub days: i64,
}

/// When a batch may be split over several bright tanks.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Split {
    /// Only where no single bright tank holds it.
    #[default]
    Needed,
    /// Always.
    Free,
    /// Never.
    Never,
}

/// How carbon dioxide gets into a beer.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Carbonating {
    /// From a bottle or main into the tank, as a piece of work with its time, crew and gas.
    #[default]
    Forced,
    /// Not at all: it is racked flat, as for cask.
    No,
    /// By itself in the package, which stands warm until it is released.
    InPackage,
}

/// Fermenting under a closed valve, so that the beer keeps carbon dioxide of its own.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Spund {
    /// What it keeps.
    pub carbonation: Carbonation,
    /// The warmest that it is meanwhile: this asks for the most pressure.
    pub at: Temperature,
}

/// Nitrogen besides carbon dioxide, at a pressure and for a time of its own.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Nitrogen {
    /// Gauge pressure that the tank is held at meanwhile.
    pub pressure: Pressure,
    /// Clock time, in place of that of carbonating.
    pub takes: Minutes,
}

/// A format that a beer may be packaged in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Packaged {
    /// The format.
    pub format: FormatId,
    /// Earned per packaged hectolitre.
    pub contribution: Money,
}

/// One beer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Beer {
    /// Its name.
    pub name: String,
    /// Batch sizes allowed, in turns, rising.
    pub turns: Vec<i64>,
    /// Batches of one smaller turn besides: cooled wort of each such size, rising.
    pub part_turns: Vec<Volume>,
    /// What is particular to it in the brewhouse.
    pub brewing: Brewing,
    /// Parts of the stay; the brew day of the last turn is day 0, the sum is the ready day.
    pub stay: Vec<Stage>,
    /// Days at the end of the stay that may be spent in a conditioning tank; none if it stays in its fermenter.
    pub conditions: Option<i64>,
    /// Days that ready beer waits free.
    pub may_wait: i64,
    /// Days after the brew day (of the last turn) by which the next step has begun: the hard end.
    pub must_leave: i64,
    /// Days in a bright tank, from fill to last packaging, that are free.
    pub bright_wait: i64,
    /// Days in a bright tank, from fill to last packaging: the hard end.
    pub bright_must_leave: i64,
    /// May be packaged straight from its fermenter.
    pub direct: bool,
    /// May be packaged from a bright tank.
    pub bright: bool,
    /// Of one batch a part may be moved and the rest packaged from the fermenter.
    pub both: bool,
    /// Lost in the fermenter (yeast, hops), whatever the route.
    pub loss_tank: Share,
    /// Lost besides on the direct route, of what the tank loss left.
    pub loss_direct: Share,
    /// How carbon dioxide gets into it.
    pub carbonating: Carbonating,
    /// Dissolved carbon dioxide when packaged; of no meaning where it is not forced.
    pub carbonation: Carbonation,
    /// Temperature of the beer when carbonated and packaged.
    pub carbonated_at: Temperature,
    /// It ferments under pressure, if so.
    pub spund: Option<Spund>,
    /// It is given nitrogen too, if so.
    pub nitrogen: Option<Nitrogen>,
    /// A fermenter may be carbonated on the last day of the stay, so that packaging can begin on the ready day.
    pub during_chill: bool,
    /// The brewer accepts that a pump feeds this beer to a line.
    pub pump: bool,
    /// When it may be split over several bright tanks.
    pub split: Split,
    /// Two batches of it may fill one bright tank together.
    pub blend: bool,
    /// The filter that its transfers go through: a position in `Case::filters`.
    pub filter: Option<usize>,
    /// Formats that it may be packaged in, at least one.
    pub packaged: Vec<Packaged>,
    /// Days between packaging and the first delivery, besides waiting for the next delivery day: the time in the warm for
    /// beer that conditions in its package.
    pub release: i64,
    /// Days from packaging to delivery at most; packaged beer that is older is worth nothing. Unlimited where the file is silent.
    pub fresh: Option<i64>,
    /// Expected sales per week beyond the orders: caps what surplus is worth. Unlimited where the file is silent.
    pub sales: Option<Volume>,
    /// Extract that ferments and how fast, for the heat of it; not counted where the file is silent.
    pub ferments: Option<Ferments>,
    /// Work on each batch in its fermenter, in order.
    pub tank_work: Vec<TankWork>,
    /// The yeast that it is pitched with; none where yeast is not planned.
    pub yeast: Option<BeerYeast>,
    /// What it leaves behind that a short clean does not take off.
    pub marks: Marks,
}

impl Beer {
    /// Batch sizes allowed, as turns and, where it is one smaller turn, its cooled wort.
    pub fn batch_sizes(&self) -> impl Iterator<Item = (i64, Option<Volume>)> {
        let whole = self.turns.iter().map(|&turns| (turns, None));
        whole.chain(self.part_turns.iter().map(|&part| (1, Some(part))))
    }

    /// Days from the brew day of the last turn to the ready day.
    #[must_use]
    pub fn stay_days(&self) -> i64 {
        self.stay.iter().map(|stage| stage.days).sum()
    }

    /// Whether it is carbonated in a tank: only then there is carbonating work and its gas.
    #[must_use]
    pub fn is_forced(&self) -> bool {
        self.holds_gas() && (self.spund_share() < Share::WHOLE || self.nitrogen.is_some())
    }

    /// Whether it holds its carbon dioxide in a tank, from a bottle or of its own: then there is a pressure to be held.
    #[must_use]
    pub fn holds_gas(&self) -> bool {
        self.carbonating == Carbonating::Forced
    }

    /// Share of its carbonation that it keeps from fermenting under pressure.
    fn spund_share(&self) -> Share {
        let own = self.spund.map_or(0, |spund| spund.carbonation.0);
        Share((own * Share::WHOLE.0 / self.carbonation.0.max(1)).min(Share::WHOLE.0))
    }

    /// Carbon dioxide for a hectolitre, at what a whole carbonation of one costs: what the beer does not bring along.
    #[must_use]
    pub fn gas(&self, whole: Money) -> Money {
        (Share::WHOLE - self.spund_share()).of_money(whole)
    }

    /// Days of the stay, counted from its beginning, on which it may be moved into a conditioning tank: the first, and the one
    /// on which it may no longer be (the first on which it may be carbonated). None if it may not be moved at all.
    #[must_use]
    pub fn days_to_move(&self) -> Option<(i64, i64)> {
        let stay = self.stay_days();
        self.conditions.map(|days| (stay - days, stay - i64::from(self.during_chill)))
    }

    /// What the beer earns per hectolitre in a format, if it may be packaged in it.
    #[must_use]
    pub fn contribution(&self, format: FormatId) -> Option<Money> {
        let found = self.packaged.iter().find(|packaged| packaged.format == format);
        found.map(|packaged| packaged.contribution)
    }
}
