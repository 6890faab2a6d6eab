//! R17: heat of each planned day, by all that ferments and all that is chilled.

use cellarwright_model::case::TankWork;
use cellarwright_model::heat::of_cooling;
use cellarwright_model::ids::BeerId;
use cellarwright_model::units::Volume;

use super::facts::Facts;
use super::state::State;

/// Kilojoules by planned day.
pub type Heat = Vec<i64>;

/// Counts the wort of a batch whose last turn was on a day.
pub fn ferment(facts: &Facts, heat: &mut Heat, beer: BeerId, wort: Volume, on: i64) {
    fermenting(facts, heat, beer, wort, on, 1);
}

/// Takes it off again: the batch has a further turn.
pub fn ferment_on(facts: &Facts, heat: &mut Heat, beer: BeerId, wort: Volume, on: i64) {
    fermenting(facts, heat, beer, wort, on, -1);
}

fn fermenting(facts: &Facts, heat: &mut Heat, beer: BeerId, wort: Volume, on: i64, times: i64) {
    let Some(ferments) = facts.case.beer(beer).ferments else { return };
    for passed in 0..ferments.over {
        if let Some(day) = usize::try_from(on + passed).ok().and_then(|day| heat.get_mut(day)) {
            *day += times * ferments.heat_a_day(wort).0;
        }
    }
}

/// Counts a piece of work that cools a batch of so much wort.
pub fn chill(heat: &mut Heat, piece: &TankWork, wort: Volume, day: i64) {
    if let Some(day) = usize::try_from(day).ok().and_then(|day| heat.get_mut(day)) {
        *day += of_cooling(wort, piece.cools_by).0;
    }
}

/// Whether the plant takes it out, at the end of all planned days: until then a further turn may put off the heat of a batch.
pub fn is_taken_out(facts: &Facts, state: &State) -> bool {
    facts.case.cooling.heat_a_day.is_none_or(|limit| state.heat.iter().all(|&heat| heat <= limit.0))
}
