//! Reasons that lie before packaging: no yeast for another batch, no time of the filter.

use cellarwright_checker::usage::{Resource, Stay};
use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::case::{Away, BeerYeast, Order};
use cellarwright_model::ids::{BeerId, VesselId};
use cellarwright_model::plan::{PitchFrom, Task, Work};
use cellarwright_model::units::{Minutes, Volume};

use super::{Facts, date, left_in, left_on};
use crate::render::view::Reason;

/// Brewhouse and a fermenter were free for another batch on one of the days on which it would be ready in time, and on none of
/// these days was there a pitch for it, in store, from a crop that the plan makes or could make, or bought.
pub fn no_pitch(facts: &Facts, order: &Order, last_pack: usize) -> Option<Reason> {
    let case = facts.case;
    let beer = case.beer(order.beer);
    let yeast = beer.yeast?;
    let is_direct =
        beer.direct && case.vessels.iter().any(|vessel| vessel.uses.ferment && vessel.uses.package);
    // By way of a bright tank it is packaged on the day after, where there is one shift a day.
    let on_the_way = i64::from(!is_direct && case.calendar.shifts.len() == 1);
    let last = last_pack as i64 - on_the_way - beer.stay_days();
    let days: Vec<usize> =
        (0..=usize::try_from(last).ok()?).filter(|&day| facts.works_on(Role::Brew, day)).collect();
    let (&first, &last) = (days.first()?, days.last()?);
    let is_free = |&day: &usize| {
        left_on(facts, Resource::Turns, day).is_some_and(|left| left > 0)
            && is_a_fermenter_free(facts, order, day)
    };
    if !days.iter().any(is_free) || days.iter().any(|&day| can_be_pitched(facts, order, yeast, day)) {
        return None;
    }
    Some(Reason::NoPitch {
        yeast: case.yeast.strain(yeast.yeast).name.clone(),
        from: date(case, first as i64),
        to: date(case, last as i64),
    })
}

/// Whether a fermenter takes a batch of the beer on a day and for its stay, were it not for a later batch of the same beer.
fn is_a_fermenter_free(facts: &Facts, order: &Order, day: usize) -> bool {
    let case = facts.case;
    let beer = case.beer(order.beer);
    let turn = beer.brewing.turn.unwrap_or(case.brewhouse.turn);
    let over = day + usize::try_from(beer.stay_days()).unwrap_or_default();
    case.vessel_ids().any(|id| {
        let vessel = case.vessel(id);
        let fits = |(turns, part): (i64, Option<Volume>)| {
            let wort = Volume(part.unwrap_or(turn).0.saturating_mul(turns));
            vessel.least <= wort && wort <= vessel.holds
        };
        let is_in_the_way = |stay: &Stay| {
            let from = stay.from.map(|slot| case.calendar.day(slot));
            let is_later_batch = stay.beer == order.beer && from.is_some_and(|from| from > day);
            stay.vessel == id
                && !is_later_batch
                && from.is_none_or(|from| from <= over)
                && stay.until.is_none_or(|until| case.calendar.day(until) >= day)
        };
        vessel.uses.ferment
            && beer.batch_sizes().any(fits)
            && !case.is_away(Away::Vessel(id), case.calendar.slot(day, 0))
            && !facts.report.usage.stays.iter().any(is_in_the_way)
    })
}

/// Whether a batch could be pitched on a day beside all that the plan pitches, all pitches of it of one generation.
fn can_be_pitched(facts: &Facts, order: &Order, yeast: BeerYeast, day: usize) -> bool {
    let case = facts.case;
    let strain = case.yeast.strain(yeast.yeast);
    let sizes = case.beer(order.beer).batch_sizes();
    let needed = sizes.map(|(turns, _)| yeast.pitches(turns)).min().unwrap_or(1);
    let is_bought = strain.bought.is_some_and(|bought| bought.lead <= day as i64);
    let there = facts.report.usage.spare_yeast.iter().filter(|spare| {
        spare.yeast == yeast.yeast && case.calendar.day(spare.from) <= day && spare.last_day >= day as i64
    });
    let mut there: Vec<(i64, i64)> = there.map(|spare| (spare.generation, spare.pitches)).collect();
    there.extend(pitched_later(facts, order, day));
    let of_generation = |wanted: i64| {
        let of_it = there.iter().filter(|(generation, _)| *generation == wanted);
        of_it.fold(0_i64, |sum, &(_, pitches)| sum.saturating_add(pitches))
    };
    is_bought || there.iter().any(|&(generation, _)| of_generation(generation) >= needed)
}

/// Generation and number of pitches that were there on a day and that the plan keeps for later batches of the order's own beer.
fn pitched_later(facts: &Facts, order: &Order, day: usize) -> Vec<(i64, i64)> {
    let usage = &facts.report.usage;
    let begins_with = |task: &Task, vessel: VesselId| {
        let mut stays = usage.stays.iter().filter(|stay| stay.beer == order.beer);
        stays.any(|stay| stay.vessel == vessel && stay.from == Some(task.slot))
    };
    let generation = |position: usize| usage.generations.iter().find(|(of, _)| *of == position);
    let mut found = Vec::new();
    for (position, task) in facts.plan.tasks.iter().enumerate() {
        let Work::Pitch { vessel, from, pitches, .. } = task.work else { continue };
        let was_there = match from {
            PitchFrom::Bought => false,
            PitchFrom::Store(_) => true,
            PitchFrom::Crop { day: cropped, .. } => cropped <= day,
        };
        if was_there && facts.case.calendar.day(task.slot) > day && begins_with(task, vessel) {
            found.extend(generation(position).map(|&(_, generation)| (generation, pitches)));
        }
    }
    found
}

/// The filter of the beer had no time for as much as a bright tank has to hold, in any shift in which the beer that is left could
/// be transferred in time.
pub fn filter_full(facts: &Facts, order: &Order, left: &[&&Stay], last_pack: usize) -> Option<Reason> {
    let case = facts.case;
    let place = case.beer(order.beer).filter?;
    let filter = case.filters.get(place)?;
    let ready = left.iter().filter_map(|stay| stay.ready).min()?;
    let first = usize::try_from(ready).unwrap_or_default();
    let last = if case.calendar.shifts.len() > 1 { last_pack } else { last_pack.checked_sub(1)? };
    let brights = case.vessels.iter().filter(|vessel| vessel.uses.bright);
    let least = brights.map(|vessel| vessel.least).min()?.max(case.format(order.format).contents);
    let slots = (case.calendar.slot(first, 0).0..case.calendar.slot(last + 1, 0).0).map(Slot);
    let slots: Vec<Slot> = slots.filter(|&slot| case.works(Role::Cellar, slot)).collect();
    let is_full = |&slot: &Slot| {
        let to_begin = match goes_through(facts, place, slot) {
            beers if beers.is_empty() => filter.start_up,
            beers if beers.contains(&order.beer) => Minutes::ZERO,
            _ => filter.change,
        };
        let time = left_in(facts, Resource::FilterTime(place), slot).unwrap_or_default();
        time < to_begin.0.saturating_add(filter.running(least).0)
    };
    (!slots.is_empty() && slots.iter().all(is_full)).then(|| Reason::FilterFull {
        filter: filter.name.clone(),
        from: date(case, first as i64),
        to: date(case, last as i64),
    })
}

/// Beers that go through a filter in a slot.
fn goes_through(facts: &Facts, place: usize, slot: Slot) -> Vec<BeerId> {
    let transfers = facts.plan.tasks.iter().filter(|task| task.slot == slot);
    let beers = transfers.filter_map(|task| match task.work {
        Work::Transfer { from, .. } => facts.held(from, slot),
        _ => None,
    });
    beers.filter(|&beer| facts.case.beer(beer).filter == Some(place)).collect()
}
