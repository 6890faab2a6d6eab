//! One layout and one demand: whether it meets it and what that costs a year, or what share of it it meets.

use cellarwright_model::case::{Case, Limits};
use cellarwright_model::units::Money;

use super::ask::{self, Found};
use super::built::case_of;
use super::share::largest;
use super::{Bought, Cheapest, Largest, LayoutError, begin};
use crate::answer::{Observer, Options};

/// What is known of a layout.
#[derive(Clone, Debug, PartialEq)]
pub enum Measured {
    /// It meets the demand.
    Met(Cheapest),
    /// It does not, which is proven; the largest share that it meets, where that was found in time.
    NotMet(Option<Largest>),
    /// The search ended before either was shown; it cannot be had for less than this, if that was shown.
    Unknown(Option<Money>),
}

/// Measures a layout with the demand of the case; without one the cheapest of everything that can be bought.
///
/// # Errors
/// As `lay_out`.
pub fn measure(
    case: &Case,
    bought: Option<&Bought>,
    weeks: usize,
    options: &Options,
    observer: &dyn Observer,
) -> Result<Measured, LayoutError> {
    let Some(bought) = bought else { return found(case, weeks, options, observer) };
    let Some(layout) = &case.layout else { return Err(LayoutError::NotAsked) };
    let mut built = case_of(case, bought);
    if let Some(layout) = &mut built.layout {
        (layout.vessels, layout.further, layout.limits) = (Vec::new(), Vec::new(), Limits::default());
    }
    let a_year = bought.a_year(layout);
    Ok(match found(&built, weeks, options, observer)? {
        Measured::Met(cheapest) => Measured::Met(Cheapest {
            bought: bought.clone(),
            cost: cheapest.cost + a_year,
            bound: cheapest.bound + a_year,
            ..cheapest
        }),
        Measured::NotMet(largest) => {
            Measured::NotMet(largest.map(|largest| Largest { bought: bought.clone(), ..largest }))
        }
        Measured::Unknown(bound) => Measured::Unknown(bound.map(|bound| bound + a_year)),
    })
}

fn found(
    case: &Case,
    weeks: usize,
    options: &Options,
    observer: &dyn Observer,
) -> Result<Measured, LayoutError> {
    let search = begin(case, weeks, options, observer)?;
    Ok(match ask::cheapest(&search, case)? {
        Found::Cheapest(cheapest) => Measured::Met(*cheapest),
        Found::Nothing => Measured::NotMet(largest(&search, case, None)?),
        Found::OutOfTime(bound) => Measured::Unknown(bound),
    })
}
