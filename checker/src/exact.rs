//! Exact time: millionths of a minute, wide enough for any product that a plan can hold.

use cellarwright_model::case::{Filter, Line};
use cellarwright_model::tolerance;
use cellarwright_model::units::{Minutes, Volume};

/// Millionths in a minute.
const PER_MINUTE: i128 = 1_000_000;

/// A largest volume: plans with more are counted as if they had this much (ten million hectolitres).
const MOST_VOLUME: i64 = 1_000_000_000_000;

/// A volume of a plan, held within bounds that sums cannot leave.
#[must_use]
pub fn bounded(volume: Volume) -> Volume {
    Volume(volume.0.clamp(-MOST_VOLUME, MOST_VOLUME))
}

/// A time in millionths of a minute: clock time or person-time.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Fine(pub i128);

impl Fine {
    /// No time.
    pub const ZERO: Self = Self(0);

    /// Time that a line needs for a volume, rounded down to the millionth of a minute.
    #[must_use]
    pub fn running(line: &Line, volume: Volume) -> Self {
        let pace = i128::from(line.pace().0.max(1));
        Self(i128::from(volume.0) * 60 * PER_MINUTE / pace)
    }

    /// Time that a filter needs for a volume that comes out of it, rounded down to the millionth of a minute.
    #[must_use]
    pub fn through(filter: &Filter, volume: Volume) -> Self {
        let rate = i128::from(filter.rate.0.max(1));
        Self(i128::from(volume.0.max(0)) * 60 * PER_MINUTE / rate)
    }

    /// So many times this time.
    #[must_use]
    pub fn times(self, factor: i64) -> Self {
        Self(self.0.saturating_mul(i128::from(factor)))
    }

    /// Whole minutes, rounded down.
    #[must_use]
    pub fn rounded_down(self) -> Minutes {
        Minutes(i64::try_from(self.0.div_euclid(PER_MINUTE)).unwrap_or(i64::MAX))
    }

    /// Whole minutes, rounded up.
    #[must_use]
    pub fn rounded_up(self) -> Minutes {
        let whole = (self.0 + PER_MINUTE - 1).div_euclid(PER_MINUTE);
        Minutes(i64::try_from(whole).unwrap_or(i64::MAX))
    }

    /// Whether it is more than there is, beyond the tolerance for times.
    #[must_use]
    pub fn exceeds(self, limit: Self) -> bool {
        self.0 > limit.0 + Self::from(tolerance::TIME).0
    }

    /// What it costs at a price per hour, in whole cents, rounded to the nearest.
    #[must_use]
    pub fn cost(self, per_hour: cellarwright_model::units::Money) -> cellarwright_model::units::Money {
        let hour = 60 * PER_MINUTE;
        let wide = self.0.saturating_mul(i128::from(per_hour.0));
        let cents = (wide + hour / 2).div_euclid(hour);
        cellarwright_model::units::Money(i64::try_from(cents).unwrap_or(i64::MAX))
    }
}

impl From<Minutes> for Fine {
    fn from(time: Minutes) -> Self {
        Self(i128::from(time.0) * PER_MINUTE)
    }
}

impl std::ops::Add for Fine {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0.saturating_add(other.0))
    }
}

impl std::ops::AddAssign for Fine {
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}
