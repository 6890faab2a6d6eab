//! Rows of orders, and why they are short.

use serde::Serialize;

/// The nearest reason why an order is short.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "why", rename_all = "snake_case")]
pub enum Reason {
    /// Nothing packaged in the plan can be delivered by then; the first that can be is there on a later date.
    NoDeliveryBefore {
        /// That date.
        first: String,
    },
    /// None of the beer is in tank; brewed on the first brewing day it is ready on this date.
    NotBrewedInTime {
        /// That date.
        ready: String,
    },
    /// The earliest of the beer can be packaged only from this date.
    ReadyLater {
        /// That date.
        packaged_from: String,
        /// The last day for packaging it.
        needed: String,
        /// Where it is.
        vessel: String,
    },
    /// The line, or the people for it, had no time left on the days on which it could be packaged.
    LineFull {
        /// The line.
        line: String,
        /// The first of those days.
        from: String,
        /// The last of them.
        to: String,
    },
    /// The line comes on none of the days on which it could be packaged.
    LineNotThere {
        /// The line.
        line: String,
        /// The first of those days.
        from: String,
        /// The last of them.
        to: String,
    },
    /// No clean keg was left on the days on which it could be packaged.
    NoCleanKegs {
        /// The kind of kegs.
        kegs: String,
        /// The first of those days.
        from: String,
        /// The last of them.
        to: String,
    },
    /// No clean keg was left on the days on which it could be packaged, and none of the dirty ones could be washed by then: the
    /// washer, or the people for it, had no time left.
    KegWasherFull {
        /// The kind of kegs.
        kegs: String,
        /// The first of the days on which it could be packaged.
        from: String,
        /// The last of them.
        to: String,
    },
    /// A material of which no more can be had was used up on the days on which it could be packaged.
    MaterialUsedUp {
        /// The material.
        material: String,
        /// The first of those days.
        from: String,
        /// The last of them.
        to: String,
    },
    /// All of a material that is bought is used, and a further pack, or an order of at least so many, is not.
    NoFurtherOrder {
        /// The material.
        material: String,
    },
    /// The warm store was full on the days on which it could be packaged.
    WarmStoreFull {
        /// The first of those days.
        from: String,
        /// The last of them.
        to: String,
    },
    /// The cold store, with all that can be hired, was full in a night in which it would have stood there.
    ColdStoreFull {
        /// The date on which that night begins.
        on: String,
    },
    /// Every bright tank was in use on the days on which it had to be transferred.
    BrightTanksFull {
        /// The first of those days.
        from: String,
        /// The last of them.
        to: String,
    },
    /// The filter had no time left on the days on which it had to be transferred.
    FilterFull {
        /// The filter.
        filter: String,
        /// The first of those days.
        from: String,
        /// The last of them.
        to: String,
    },
    /// Brewhouse and a fermenter were free for another batch of it, but on none of the days on which it had to be brewed was a pitch.
    NoPitch {
        /// The yeast.
        yeast: String,
        /// The first of those days.
        from: String,
        /// The last of them.
        to: String,
    },
    /// All that there was of the beer in this format went to this order.
    AllThereWas {
        /// How much.
        volume_hl: f64,
    },
    /// Beer in this format went to other orders.
    OtherOrders {
        /// How much.
        volume_hl: f64,
    },
    /// The beer was packaged in other formats.
    OtherFormats {
        /// How much.
        volume_hl: f64,
    },
    /// Beer, line and people were there: in this plan other work is worth more.
    WorthMore,
    /// The order is delivered whole or not at all, and there was only so much of it.
    WholeOrNothing {
        /// How much.
        volume_hl: f64,
    },
    /// What was left of it was older than the order accepts.
    TooOld {
        /// How much.
        volume_hl: f64,
        /// Days from packaging to delivery at most.
        days: i64,
    },
    /// Due beyond the planned days: the coarse look-ahead found no room for it.
    LookAhead,
    /// The plan aims at output; orders do not count.
    NotAimed,
}

/// A delivery of an order.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DeliveryRow {
    /// The date.
    pub on: String,
    /// As the screen shows it.
    #[serde(skip)]
    pub label: String,
    /// How much.
    pub volume_hl: f64,
    /// Days after the due date.
    pub days_late: i64,
}

/// An order.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct OrderRow {
    /// How it is called.
    pub order: String,
    /// The beer.
    pub beer: String,
    /// The format.
    pub format: String,
    /// Due date.
    pub due: String,
    /// As the screen shows it.
    #[serde(skip)]
    pub due_label: String,
    /// It can be served only by what is packaged in the planned days or before.
    pub hangs_on_planned_days: bool,
    /// A firm order.
    pub firm: bool,
    /// Asked for.
    pub quantity_hl: f64,
    /// Delivered.
    pub delivered_hl: f64,
    /// Missed.
    pub missed_hl: f64,
    /// Deliveries by date.
    pub deliveries: Vec<DeliveryRow>,
    /// Delivered after the due date.
    pub late_hl: f64,
    /// Delivered whole on one day or not at all.
    pub whole: bool,
    /// How likely it is to come, in per cent.
    pub likely_percent: f64,
    /// At least one package is missed.
    pub short: bool,
    /// Why it is short or late, if it is.
    pub reason: Option<Reason>,
}
