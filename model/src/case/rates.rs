//! What things cost and earn: the one place where the objective is defined.
//!
//! With `aim: orders` the objective is, in money:
//!
//! ```text
//!   contribution x delivered                         per order, up to its quantity; of one that may not come
//!                                                    x (likely + (1 - likely) x surplus)
//! - missed_firm x contribution x missed              firm orders only
//! + contribution x poured in the taproom, - dry_tap x asked for there and not poured
//! + surplus x contribution x packaged and not delivered by the end (within expected sales, if given)
//! + in_tank value (below) of beer still in a vessel at the end
//! - labour x person-hours - overtime - cleanings - transfers - gas - waiting - dirty - short runs - yeast
//! - visits of mobile lines - materials bought - late deliveries - hired cold store - stock below what is to be kept
//! - last resort
//! ```
//!
//! Beer still in a vessel at the end is worth, per hectolitre that packaging it would yield,
//! `(surplus x the lowest contribution of its formats - to_package) x share of the stay behind it`, never below nothing.
//!
//! With `aim: output` the objective is the volume packaged and poured in the planned days, plus one hundredth of
//! that of the look-ahead, less one millilitre per unit of money of the costs above (so that among equal plans
//! the one with the least work wins), the last resort counted a thousandfold.
//!
//! All defaults are assumptions of this program, to be replaced by the brewery's own figures.

use crate::units::{Money, Share};

/// Unit costs and shares.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Rates {
    /// Per person-hour worked (brewing, cellar work, line time x people).
    pub labour: Money,
    /// Per vessel cleaned (chemicals, water).
    pub clean: Money,
    /// Per vessel sanitised.
    pub sanitise: Money,
    /// Per bright tank filled (gas to purge and to push, hoses).
    pub transfer: Money,
    /// Carbon dioxide per hectolitre carbonated.
    pub gas: Money,
    /// Per hectolitre and day that beer waits beyond `may_wait` or `bright_wait`.
    pub waiting: Money,
    /// Per vessel and day that an empty vessel stays dirty beyond its first working day.
    pub dirty: Money,
    /// Per hectolitre that a run stays below `least_run`.
    pub short_run: Money,
    /// Charge for a missed firm order, as a share of its contribution (5 is 5 000 000 ppm).
    pub missed_firm: Share,
    /// What surplus packaged beer is worth at the end, as a share of its contribution.
    pub surplus: Share,
    /// Weeks of expected sales that surplus is worth anything for.
    pub surplus_weeks: i64,
    /// Packaging one hectolitre of beer that is still in a vessel at the end.
    pub to_package: Money,
    /// Per hectolitre that guests of the taproom ask for and do not get.
    pub dry_tap: Money,
    /// Last resort, per hectolitre and day that beer stays beyond its hard end.
    pub over_limit: Money,
    /// Last resort, per hectolitre dumped, or for a piece of tank work left out on beer of day 0.
    pub dump: Money,
}

impl Rates {
    /// The same where nothing that is meant to be done costs anything.
    #[must_use]
    pub fn without_work(self) -> Self {
        let nothing = Money::ZERO;
        Self {
            labour: nothing,
            clean: nothing,
            sanitise: nothing,
            transfer: nothing,
            gas: nothing,
            waiting: nothing,
            dirty: nothing,
            short_run: nothing,
            ..self
        }
    }
}

impl Default for Rates {
    fn default() -> Self {
        Self {
            labour: Money(3_000),
            clean: Money(1_500),
            sanitise: Money(600),
            transfer: Money(2_000),
            gas: Money(150),
            waiting: Money(100),
            dirty: Money(1_000),
            short_run: Money(1_000),
            missed_firm: Share(5_000_000),
            surplus: Share(600_000),
            surplus_weeks: 4,
            to_package: Money(2_000),
            dry_tap: Money(20_000),
            over_limit: Money(5_000),
            dump: Money(50_000),
        }
    }
}
