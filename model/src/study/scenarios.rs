//! The demands of a study: those that are said, then those that are drawn.

use super::{Factor, Study};
use crate::case::{Layout, Season};
use crate::random::millionths;
use crate::units::{Share, Volume};

/// A demand with a name.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Scenario {
    /// Its name: as said, or `draw 1` and so on.
    pub name: String,
    /// The seasons of the layout with what is then asked for; what is not asked for at all is left out.
    pub seasons: Vec<Season>,
}

/// All demands of a study, in order.
#[must_use]
pub fn scenarios(layout: &Layout, study: &Study) -> Vec<Scenario> {
    let stated = study.stated.iter().map(|stated| {
        let factors: Vec<(Factor, Share)> =
            stated.factors.iter().map(|factor| (*factor, factor.least)).collect();
        Scenario { name: stated.name.clone(), seasons: with_factors(layout, &factors) }
    });
    let draws = (1..=study.draws.number).map(|draw| {
        let drawn = |(place, factor): (usize, &Factor)| {
            let what = [draw as u64, place as u64, 0, 0];
            let part = millionths(study.draws.seed as u64, what);
            let wide = i128::from(factor.most.0 - factor.least.0) * i128::from(part) / 1_000_000;
            (*factor, Share(factor.least.0 + wide as i64))
        };
        let factors: Vec<(Factor, Share)> = study.draws.factors.iter().enumerate().map(drawn).collect();
        Scenario { name: format!("draw {draw}"), seasons: with_factors(layout, &factors) }
    });
    stated.chain(draws).collect()
}

/// The seasons with everything that is asked for times the factors that fit it.
fn with_factors(layout: &Layout, factors: &[(Factor, Share)]) -> Vec<Season> {
    let mut seasons = layout.seasons.clone();
    for (place, season) in seasons.iter_mut().enumerate() {
        for asked in &mut season.demand {
            let fits = |factor: &Factor| {
                factor.season.is_none_or(|season| season == place)
                    && factor.beer.is_none_or(|beer| beer == asked.beer)
                    && factor.format.is_none_or(|format| format == asked.format)
            };
            for (_, share) in factors.iter().filter(|(factor, _)| fits(factor)) {
                asked.a_week = times(asked.a_week, *share);
            }
        }
        season.demand.retain(|asked| asked.a_week > Volume::ZERO);
    }
    seasons
}

/// A volume times a factor, rounded to the nearest unit.
fn times(volume: Volume, factor: Share) -> Volume {
    let whole = i128::from(volume.0) * i128::from(factor.0);
    Volume(i64::try_from((whole + 500_000) / 1_000_000).unwrap_or(i64::MAX))
}
