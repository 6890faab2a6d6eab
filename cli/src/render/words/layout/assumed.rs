//! What a choice of vessels rests on.

use cellarwright_model::case::{Case, Layout};
use cellarwright_model::units::Money;

use super::HOLIDAYS;
use crate::render::numbers::{grouped, price_of_volume};
use crate::render::words::per_cent;

/// What the answer rests on.
#[must_use]
pub fn assumptions(case: &Case, layout: &Layout) -> Vec<String> {
    let rates = &case.rates;
    let amount = |money: Money| grouped(money.units(), 2);
    let a_year = if layout.interest.0 > 0 {
        format!(
            "what is bought is paid off over its life in equal yearly payments at {} interest, and costs its `yearly` besides",
            per_cent(layout.interest.as_fraction())
        )
    } else {
        "what is bought costs its price over its life, in equal parts and without interest, and its `yearly` besides".to_owned()
    };
    vec![
        a_year,
        format!(
            "running money is that of the brew plan: labour {} an hour that is worked, {} a clean, {} a bright tank filled, gas {}, wort {} (so every loss \
             costs), and its other rates",
            amount(rates.labour),
            amount(rates.clean),
            amount(rates.transfer),
            price_of_volume(case.show_units, rates.gas),
            price_of_volume(case.show_units, layout.wort)
        ),
        "each season is a week that repeats, with no stock carried from one to the next; what is packaged beyond the demand is worth nothing".to_owned(),
        "vessels that can be bought reach, and are reached by, all others that the cellar does not limit, and every cleaning set cleans them".to_owned(),
        "people are paid by the hour that they work; what more people or a further shift cost besides is their `yearly`".to_owned(),
        HOLIDAYS.to_owned(),
    ]
}
