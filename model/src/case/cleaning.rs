//! Cleaning: what the sets reach, how long a clean vessel stays clean, how long it may stay dirty, full cleans.

use crate::case::Job;
use crate::units::{MINUTES_PER_DAY, Minutes, Money};

/// The cleaning sets that can clean a vessel or a line, as bits of their positions in `Cleaning::named`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Reach(pub u64);

impl Reach {
    /// Every set, named or not.
    pub const ALL: Self = Self(u64::MAX);
    /// No set.
    pub const NONE: Self = Self(0);

    /// Whether all of its sets are among others.
    #[must_use]
    pub fn is_within(self, others: Self) -> bool {
        self.0 & !others.0 == 0
    }
}

impl Default for Reach {
    fn default() -> Self {
        Self::ALL
    }
}

/// Marks of a beer (a colour, an allergen), as bits of their positions in `Cleaning::marks`.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Marks(pub u64);

impl Marks {
    /// No mark.
    pub const NONE: Self = Self(0);

    /// The marks that are in both.
    #[must_use]
    pub fn common(self, other: Self) -> Self {
        Self(self.0 & other.0)
    }

    /// Those that are not among others.
    #[must_use]
    pub fn without(self, others: Self) -> Self {
        Self(self.0 & !others.0)
    }
}

/// The full clean of a vessel, which takes the place of the short one when it is due.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FullClean {
    /// Doing it once, all in all.
    pub job: Job,
    /// What it costs besides people; the rate of a clean where the file is silent.
    pub cost: Option<Money>,
    /// Fills from one full clean to the next at most.
    pub every: Option<i64>,
    /// Marks that a short clean does not take off: after a beer with one of them the vessel is cleaned in full before a beer
    /// without it.
    pub after: Marks,
}

/// What has been in a vessel since its last full clean, on day 0.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct SinceFull {
    /// Fills, what is in it included.
    pub fills: i64,
    /// Marks of the last beer.
    pub marks: Marks,
}

/// What is said of cleaning besides the jobs of vessels and lines.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cleaning {
    /// Names of the sets, where the file names them; `Case::cleaning_sets` is then their number.
    pub named: Vec<String>,
    /// How long a vessel stays clean after its clean; filled later, it is sanitised first.
    pub stays_clean: Minutes,
    /// Working cellar days, the day of emptying not counted, by the last of which an emptied vessel is cleaned: the hard
    /// end. None where the file is silent.
    pub clean_within: Option<i64>,
    /// Names of the marks that a vessel or a line minds.
    pub marks: Vec<String>,
}

impl Default for Cleaning {
    fn default() -> Self {
        Self {
            named: Vec::new(),
            stays_clean: Minutes(MINUTES_PER_DAY),
            clean_within: None,
            marks: Vec::new(),
        }
    }
}

impl Cleaning {
    /// The named sets among those of a reach.
    #[must_use]
    pub fn names(&self, reach: Reach) -> Vec<&str> {
        let is_among = |position: &usize| reach.0 & (1 << position) != 0;
        (0..self.named.len()).filter(is_among).map(|position| self.named[position].as_str()).collect()
    }
}
