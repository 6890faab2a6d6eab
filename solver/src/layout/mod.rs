//! Which vessels, people, shifts and lines meet a demand at the lowest yearly cost, and what the largest share of it is where none do.
//!
//! Every season is a repeating week (`repeating`) of its own with its demand as rows. The vessels that can be bought are vessels of the case; in
//! every row that counts the vessels of a group those of them that are not bought are taken off (`program`). People, shifts and lines change the
//! rows themselves: each way to choose them is a program of its own. What is found is built anew without candidates, solved for each
//! season and replayed by the checker (`built`); that nothing is cheaper is solved a second time with another seed.

mod ask;
mod built;
mod days;
mod family;
mod frontier;
mod measure;
mod peak;
mod program;
mod purchases;
mod resource;
mod search;
mod share;

use std::time::{Duration, Instant};

use cellarwright_model::case::{Case, Layout, Purchase};
use cellarwright_model::ids::BeerId;
use cellarwright_model::units::{Area, Money, Share};
use cellarwright_model::violation::Violation;

use crate::answer::{Observer, Options};
use crate::highs::HighsError;
use crate::repeating::{MOST_WEEKS, Refused, RepeatError, refusals};

pub use built::Built;
pub use days::After;
pub use family::Family;
pub use frontier::{Frontier, Point};
pub use measure::{Measured, measure};
pub use peak::{Peak, peak};
pub use resource::Resource;
use search::Search;
pub use share::{Freed, Largest};

/// Why there is no answer.
#[derive(Debug, thiserror::Error)]
pub enum LayoutError {
    /// The brew plan has no `layout`.
    #[error("the brew plan has no layout")]
    NotAsked,
    /// A taproom pours in it, which is not counted.
    #[error("a layout does not count a taproom")]
    Taproom,
    /// The brew plan has what a repeating week cannot count.
    #[error("the brew plan has what a repeating week cannot count")]
    Refused(Vec<Refused>),
    /// A week cannot be made of it.
    #[error(transparent)]
    Repeat(#[from] RepeatError),
    /// HiGHS failed.
    #[error(transparent)]
    Highs(#[from] HighsError),
    /// The checker does not pass the plan of the busiest weeks.
    #[error("the plan of the busiest weeks breaks {} rules; it is not shown", .0.len())]
    BrokenPeak(Vec<Violation>),
}

/// What is bought.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Bought {
    /// Vessels, by position in `Layout::vessels`.
    pub vessels: Vec<i64>,
    /// People, shifts and lines, by position in `Layout::further`.
    pub further: Vec<i64>,
}

impl Bought {
    /// Every purchase with how often it is made.
    fn purchases<'l>(&self, layout: &'l Layout) -> Vec<(&'l Purchase, i64)> {
        let vessels = layout.vessels.iter().map(|offer| &offer.purchase).zip(self.vessels.iter().copied());
        let further = layout.further.iter().map(|one| &one.purchase).zip(self.further.iter().copied());
        vessels.chain(further).collect()
    }

    /// All prices together.
    #[must_use]
    pub fn price(&self, layout: &Layout) -> Money {
        self.purchases(layout).iter().map(|(purchase, times)| Money(purchase.price.0 * times)).sum()
    }

    /// Floor of all of it.
    #[must_use]
    pub fn floor(&self, layout: &Layout) -> Area {
        self.purchases(layout).iter().map(|(purchase, times)| Area(purchase.floor.0 * times)).sum()
    }

    /// What all of it costs a year.
    #[must_use]
    pub fn a_year(&self, layout: &Layout) -> Money {
        let a_year =
            |(purchase, times): &(&Purchase, i64)| Money(a_year(purchase, layout.interest).0 * times);
        self.purchases(layout).iter().map(a_year).sum()
    }
}

/// What a purchase costs a year: price over life, or with interest the equal yearly payments that pay it off over its life; and what it costs every year
/// besides. Rounded to the cent.
#[must_use]
pub fn a_year(purchase: &Purchase, interest: Share) -> Money {
    let (rate, life) = (interest.as_fraction(), purchase.life.max(1) as f64);
    let share = if rate > 0.0 { rate / (1.0 - (1.0 + rate).powf(-life)) } else { 1.0 / life };
    Money((purchase.price.0 as f64 * share).round() as i64) + purchase.yearly
}

/// The cheapest that meets the demand.
#[derive(Clone, Debug, PartialEq)]
pub struct Cheapest {
    /// What is bought.
    pub bought: Bought,
    /// Built, solved season by season and replayed.
    pub built: Built,
    /// Bought and run for a year.
    pub cost: Money,
    /// Nothing that meets the demand costs less a year than this.
    pub bound: Money,
    /// A second search, with another seed, found nothing below the bound either.
    pub confirmed: bool,
    /// The search came to its own end.
    pub is_complete: bool,
}

/// What is known of a family.
#[derive(Clone, Debug, PartialEq)]
pub enum Outcome {
    /// It meets the demand.
    Met(Cheapest),
    /// It does not, whatever is bought; this is the largest share that it meets.
    NotMet {
        /// The largest share.
        largest: Largest,
        /// Resources of which plenty lets more be met, each by itself; where none does, pairs. The largest gain first. Of any mixture only.
        forbids: Vec<Freed>,
        /// All resources were tried.
        tried_all: bool,
    },
    /// It does not, whatever is bought: proven. The largest share was not found in time; no more than this of the demand is met, if that was shown.
    Short(Option<f64>),
    /// These beers cannot take its way; none of them where no vessel is of the family.
    Excluded(Vec<BeerId>),
    /// Time was up before anything was found; nothing that meets the demand costs less than this, if that was shown.
    Unknown(Option<Money>),
}

/// The answer.
#[derive(Clone, Debug, PartialEq)]
pub struct Laid {
    /// Weeks of a cycle.
    pub weeks: usize,
    /// Each family and what is known of it; any mixture of routes first.
    pub families: Vec<(Family, Outcome)>,
    /// What can be met for less money or for more, of any mixture.
    pub frontier: Frontier,
    /// No layout that meets the demand costs less a year, in cycles of any length; none where it was not shown.
    pub for_ever: Option<Money>,
    /// No more of the demand is met, in cycles of any length and even with fractions of batches, whatever is bought within the limits; not asked where a
    /// layout meets it.
    pub in_fractions: Option<f64>,
    /// Seconds from start to end.
    pub seconds: f64,
}

/// Finds the cheapest layout of each family, or the largest share of the demand that it meets.
///
/// # Errors
/// If the case has no layout, or what a repeating week cannot count, or if HiGHS fails.
pub fn lay_out(
    case: &Case,
    weeks: usize,
    options: &Options,
    observer: &dyn Observer,
) -> Result<Laid, LayoutError> {
    let started = Instant::now();
    let search = begin(case, weeks, options, observer)?;
    let mut for_ever = ask::bound_for_ever(&search.within(0.1))?;
    let mut families = Vec::new();
    let mut most = None;
    for (place, family) in Family::ALL.into_iter().enumerate() {
        let outcome = outcome(&search.within(SHARES[place]), family)?;
        if let (Family::Any, Outcome::NotMet { largest, .. }) = (family, &outcome) {
            most = Some(largest.clone());
        }
        families.push((family, outcome));
    }
    let mut in_fractions = None;
    if let Some((_, any)) = families.first_mut().filter(|(_, any)| !matches!(any, Outcome::Met(_))) {
        in_fractions = share::in_fractions(&search.within(SHARE_OF_FRACTIONS), case)?;
        if for_ever.is_none() && matches!(any, Outcome::Unknown(_)) {
            for_ever = ask::bound_for_ever(&search.within(SHARE_OF_FRACTIONS))?;
        }
        *any = with_fractions(any, in_fractions);
    }
    let frontier = frontier::frontier(&search, case, most)?;
    if let Some((_, any)) = families.first_mut()
        && let Some(most) = frontier.most.as_ref().filter(|most| most.bound < 1.0 - share::SAME)
    {
        *any = with_most(any, most);
    }
    let seconds = started.elapsed().as_secs_f64();
    Ok(Laid { weeks, families, frontier, for_ever, in_fractions, seconds })
}

/// An outcome that was left open, with what is known in fractions: what is not met in fractions is not met.
fn with_fractions(open: &Outcome, most: Option<f64>) -> Outcome {
    match (open, most) {
        (Outcome::Unknown(_), Some(most)) if most < 1.0 - share::SAME => Outcome::Short(Some(most)),
        (Outcome::Short(known), most) => Outcome::Short(known.iter().copied().chain(most).reduce(f64::min)),
        (other, _) => other.clone(),
    }
}

/// An outcome that was left open, with the most that is met where that is less than all.
fn with_most(open: &Outcome, most: &Largest) -> Outcome {
    match open {
        Outcome::Unknown(_) | Outcome::Short(_) if most.share > share::SAME => {
            Outcome::NotMet { largest: most.clone(), forbids: Vec::new(), tried_all: false }
        }
        Outcome::Unknown(_) => Outcome::Short(Some(most.bound)),
        Outcome::Short(known) => {
            Outcome::Short(Some(known.map_or(most.bound, |known| known.min(most.bound))))
        }
        other => other.clone(),
    }
}

/// The layout of a case that has one and nothing that it cannot count.
///
/// # Errors
/// As `lay_out`, but for HiGHS.
pub fn can_be_asked(case: &Case, weeks: usize) -> Result<&Layout, LayoutError> {
    let layout = case.layout.as_ref().ok_or(LayoutError::NotAsked)?;
    if weeks == 0 || weeks > MOST_WEEKS {
        return Err(RepeatError::Weeks(weeks).into());
    }
    let refused = refusals(case, weeks);
    if !refused.is_empty() {
        return Err(LayoutError::Refused(refused));
    }
    if !case.taproom.pours.is_empty() {
        return Err(LayoutError::Taproom);
    }
    Ok(layout)
}

/// A search that has all the time, if the case is one that can be asked.
fn begin<'a>(
    case: &'a Case,
    weeks: usize,
    options: &Options,
    observer: &'a dyn Observer,
) -> Result<Search<'a>, LayoutError> {
    let layout = can_be_asked(case, weeks)?;
    let end = Instant::now() + Duration::from_secs_f64(options.seconds.clamp(0.01, 1e7));
    Ok(Search { case, layout, weeks, options: *options, end, observer })
}

/// Share of the time that is left for each family in turn; what is left after them is for the frontier.
const SHARES: [f64; 4] = [0.35, 0.2, 0.25, 0.33];
/// Share of what is left then for what can be said in fractions, where no layout meets the demand.
const SHARE_OF_FRACTIONS: f64 = 0.4;

fn outcome(search: &Search, family: Family) -> Result<Outcome, LayoutError> {
    let case = match family.of(search.case) {
        Ok(case) => case,
        Err(beers) => return Ok(Outcome::Excluded(beers)),
    };
    match ask::cheapest(search, &case)? {
        ask::Found::Cheapest(cheapest) => Ok(Outcome::Met(*cheapest)),
        ask::Found::OutOfTime(bound) => Ok(Outcome::Unknown(bound)),
        ask::Found::Nothing => match share::largest(&search.within(0.5), &case, None)? {
            Some(largest) if family == Family::Any => {
                let (forbids, tried_all) = share::forbids(search, &case, &largest)?;
                Ok(Outcome::NotMet { largest, forbids, tried_all })
            }
            Some(largest) => Ok(Outcome::NotMet { largest, forbids: Vec::new(), tried_all: false }),
            None => Ok(Outcome::Short(None)),
        },
    }
}
