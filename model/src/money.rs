//! The objective in parts, and the unit values that it is made of.
//!
//! The formula stands in `case::Rates`; this file holds its terms as numbers.

use crate::case::{Aim, Beer, Case, InTank, Order};
use crate::ids::BeerId;
use crate::units::{Money, Share, Volume, mul_div, rounded_mul_div};

/// The objective in parts. Amounts are positive where they are earned and positive where they cost; the kind tells.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Breakdown {
    /// Earned: contribution of what is delivered.
    pub delivered: Money,
    /// Cost: charge for missed firm orders.
    pub missed: Money,
    /// Earned: contribution of what the taproom pours.
    pub poured: Money,
    /// Cost: what guests of the taproom ask for and do not get.
    pub dry_taps: Money,
    /// Earned: packaged beer left at the end.
    pub surplus: Money,
    /// Earned: beer still in a vessel at the end.
    pub in_tank: Money,
    /// Cost: person-hours.
    pub labour: Money,
    /// Cost: overtime, besides the labour it does.
    pub overtime: Money,
    /// Cost: vessels cleaned and sanitised.
    pub cleaning: Money,
    /// Cost: bright tanks filled.
    pub transfers: Money,
    /// Cost: carbon dioxide.
    pub gas: Money,
    /// Cost: beer waiting too long.
    pub waiting: Money,
    /// Cost: vessels dirty too long.
    pub dirty: Money,
    /// Cost: runs below the smallest.
    pub short_runs: Money,
    /// Cost: visits of mobile lines.
    pub visits: Money,
    /// Cost: yeast bought, or kept beyond its free days.
    pub yeast: Money,
    /// Cost: orders delivered after their due day.
    pub late: Money,
    /// Cost: cans, labels and the like beyond what is there or expected.
    pub materials: Money,
    /// Cost: overflow of the cold store.
    pub store: Money,
    /// Cost: stock below what is to be kept.
    pub low_stock: Money,
    /// Cost: beer over its hard end, or dumped.
    pub last_resort: Money,
    /// Packaged in the planned days.
    pub packaged_planned: Volume,
    /// Packaged in the look-ahead.
    pub packaged_look_ahead: Volume,
    /// Poured in the planned days.
    pub poured_planned: Volume,
    /// Poured in the look-ahead.
    pub poured_look_ahead: Volume,
}

impl Breakdown {
    /// All costs but the last resort.
    #[must_use]
    pub fn running_costs(&self) -> Money {
        self.labour
            + self.overtime
            + self.cleaning
            + self.transfers
            + self.gas
            + self.waiting
            + self.dirty
            + self.short_runs
            + self.visits
            + self.yeast
            + self.late
            + self.materials
            + self.store
            + self.low_stock
            + self.dry_taps
    }

    /// What is earned, before any cost: whole cents with `aim: orders`, hundredths of a millilitre with `aim: output`.
    #[must_use]
    pub fn earned(&self, aim: &Aim) -> i64 {
        match aim {
            Aim::Orders => (self.delivered + self.poured + self.surplus + self.in_tank).0,
            Aim::Output(_) => {
                let planned = self.packaged_planned + self.poured_planned;
                let look_ahead = self.packaged_look_ahead + self.poured_look_ahead;
                100 * planned.0 + look_ahead.0
            }
        }
    }

    /// The objective, in the same unit.
    #[must_use]
    pub fn objective(&self, aim: &Aim) -> i64 {
        let costs = match aim {
            Aim::Orders => self.missed + self.running_costs() + self.last_resort,
            Aim::Output(_) => self.running_costs() + Money(1_000 * self.last_resort.0),
        };
        self.earned(aim) - costs.0
    }
}

/// What a delivered hectolitre of an order earns: its contribution, as far as the order is likely to come; what does not
/// come stays in stock and is worth surplus.
#[must_use]
pub fn order_worth(case: &Case, order: &Order) -> Money {
    let contribution = case.beer(order.beer).contribution(order.format).unwrap_or_default();
    let unlikely = (Share::WHOLE - order.likely).0;
    let share = order.likely.0 + mul_div(unlikely, case.rates.surplus.0, Share::WHOLE.0);
    Share(share).of_money(contribution)
}

/// Packaged volume to expect from beer that is still in a vessel at the end: the worse of its routes and formats.
///
/// `volume` is what is in the vessel, in a fermenter after the tank loss.
#[must_use]
pub fn expected_packaged(case: &Case, beer: &Beer, volume: Volume, in_bright: bool) -> Volume {
    let direct = beer.direct.then(|| beer.loss_direct.taken_off(volume));
    let bright = beer.bright.then(|| case.arrives(beer, volume));
    let reaches_line = if in_bright { Some(volume) } else { [direct, bright].into_iter().flatten().min() };
    let after_formats = beer.packaged.iter().map(|packaged| {
        let format = case.format(packaged.format);
        let filled = reaches_line.unwrap_or_default() - case.line(format.line).loss;
        format.yields(filled.max(Volume::ZERO))
    });
    after_formats.min().unwrap_or_default()
}

/// Value per packaged hectolitre of a beer still in a vessel, once its stay is over.
#[must_use]
pub fn ready_value(case: &Case, beer: &Beer) -> Money {
    let lowest = beer.packaged.iter().map(|packaged| packaged.contribution).min().unwrap_or_default();
    (case.rates.surplus.of_money(lowest) - case.rates.to_package).max(Money::ZERO)
}

/// Value of one vessel's beer at the end of the horizon: `(elapsed of stay)` days of the stay are behind it.
///
/// `volume` is what is in the vessel, in a fermenter after the tank loss.
#[must_use]
pub fn in_tank_value(
    case: &Case,
    beer: BeerId,
    volume: Volume,
    in_bright: bool,
    elapsed: i64,
    stay: i64,
) -> Money {
    let beer = case.beer(beer);
    let packaged = expected_packaged(case, beer, volume, in_bright);
    let whole = ready_value(case, beer).for_volume(packaged);
    let (elapsed, stay) = if stay <= 0 { (1, 1) } else { (elapsed.clamp(0, stay), stay) };
    Money(rounded_mul_div(whole.0, elapsed, stay))
}

/// Days of the stay of beer in tank on day 0, by its own dates.
#[must_use]
pub fn opening_stay(in_tank: &InTank) -> i64 {
    in_tank.ready - in_tank.on
}
