//! Proofs that numbers of work in a shift have no order, whatever vessels they are in and however little the lines run.
//!
//! Each piece of work is a job by itself, with all the overtime there may be. If these jobs have no order, no plan with as much
//! of each kind has one.

use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::case::{Case, Job as Work, RoleTimes};
use cellarwright_model::ids::{CrewId, LineId};

use super::job::{Hands, Job, Machine, Shift};
use super::search::{Order, order};
use super::shift::{alone, crews, end_of_shift, filling};
use crate::compile::context::Context;
use crate::compile::rules::hours::{Counts, Kind};

/// Searches for a smaller pattern at most.
const MOST_SEARCHES: usize = 40;

/// The shortest lists of jobs that these counts need, with all the overtime that there may be.
fn least_work(context: &Context, slot: Slot, counts: &Counts) -> Shift {
    let case = context.case;
    let most_overtime = |crew: CrewId| case.crew(crew).overtime.map_or(0, |limit| limit.at_most.0);
    let crews = crews(case, slot, &most_overtime);
    let end = end_of_shift(case, slot, &crews);
    let mut jobs: Vec<Job> = Vec::new();
    let count = |kind: Kind| counts.get(&kind).map_or(0, |&(count, _)| count);
    let mut last_turn = None;
    for turn in 0..count(Kind::Turn) {
        let of = if turn == 0 && count(Kind::FirstTurn) > 0 {
            case.brewhouse.first_turn
        } else {
            case.brewhouse.next_turn
        };
        let mut job = alone(of.crew, of.takes.0, i64::MAX / 4);
        job.add_hold(Machine::Brewhouse, 0, of.takes.0);
        if let Some((before, takes)) = last_turn {
            job.after.push((before, takes));
        }
        last_turn = Some((jobs.len(), of.takes.0));
        jobs.push(job);
    }
    for group in context.groups.ids() {
        let is_full = count(Kind::FullClean(group)) > 0;
        let like = &context.groups.get(group).like.cleaned(is_full);
        for is_forced in [true, false] {
            for _ in 0..count(Kind::Fill(group, is_forced)) {
                jobs.push(
                    filling(
                        case,
                        like,
                        true,
                        is_forced.then_some(case.carbonate.takes),
                        (case.transfer.takes().0, end),
                    )
                    .0,
                );
            }
        }
        let filled = if like.uses.bright { 0 } else { count(Kind::CleanAndFill(group)) };
        let Work { takes, crew } = like.clean;
        for clean in 0..count(Kind::Clean(group)).max(filled) {
            let mut job = alone(crew, takes.0, end - takes.0);
            job.add_clean(like.reach, 0, takes.0);
            if let (true, Some((last, turn_takes))) = (clean < filled, last_turn) {
                let knock_out = case.brewhouse.knock_out.0.min(turn_takes);
                let position = jobs.len();
                jobs[last].after.push((position, takes.0 - (turn_takes - knock_out)));
            }
            jobs.push(job);
        }
    }
    for (kind, work) in [(Kind::Sanitise, case.sanitise), (Kind::Carbonate, case.carbonate)] {
        for _ in 0..count(kind) {
            let latest = if kind == Kind::Sanitise { end - work.takes.0 } else { end };
            jobs.push(alone(work.crew, work.takes.0, latest));
        }
    }
    for beer in case.beer_ids() {
        for (number, piece) in case.beer(beer).tank_work.iter().enumerate() {
            for _ in 0..count(Kind::Tank(beer, number)) {
                let Work { takes, crew } = piece.job;
                let mut job = alone(crew, takes.0, end - takes.0);
                job.may_be_done_alone(piece.alone);
                jobs.push(job);
            }
        }
    }
    for yeast in case.yeast.ids() {
        let crop = case.yeast.strain(yeast).crop.map(|crop| crop.job).unwrap_or_default();
        for _ in 0..count(Kind::Crop(yeast)) {
            jobs.push(alone(crop.crew, crop.takes.0, end - crop.takes.0));
        }
    }
    for line in case.line_ids() {
        if count(Kind::Line(line)) > 0 {
            jobs.push(shortest_run(case, line, end));
        }
    }
    Shift { jobs, crews, cleaning_sets: case.cleaning_sets, has_named_sets: !case.cleaning.named.is_empty() }
}

fn shortest_run(case: &Case, line: LineId, end: i64) -> Job {
    let line = case.line(line);
    let over = line.start_up.0 + line.clean_down.0;
    let mut job = Job { latest: end - over, ..Job::default() };
    job.add_clean(line.reach, line.start_up.0, over);
    if line.people > 0 && over > 0 {
        job.hands.push(Hands { role: Role::Package, people: line.people, alone: false, from: 0, to: over });
    }
    job
}

/// Whether a first turn is at least as hard to place as another, so that leaving it out makes a shift no harder.
fn first_turn_is_harder(case: &Case) -> bool {
    let hands = |crew: RoleTimes, takes: i64| {
        let mut job = Job::default();
        job.add_hands(crew, 0, takes);
        job.hands
    };
    let (first, next) = (case.brewhouse.first_turn, case.brewhouse.next_turn);
    let (harder, easier) = (hands(first.crew, first.takes.0), hands(next.crew, next.takes.0));
    first.takes >= next.takes
        && easier.iter().all(|one| {
            harder
                .iter()
                .any(|other| other.role == one.role && other.people >= one.people && other.to >= one.to)
        })
}

/// Whether every fill of a tank takes the same time: a longer one may need fewer people at once, so that the shortest is not
/// the easiest.
fn fills_are_alike(case: &Case) -> bool {
    case.filters.is_empty() && case.beers.iter().all(|beer| beer.nitrogen.is_none())
}

/// The smallest part of the counts that is proven to have no order; none if the whole is not.
pub fn proven(context: &Context, slot: Slot, counts: &Counts) -> Option<Counts> {
    let has_none = |counts: &Counts| order(&least_work(context, slot, counts)) == Order::None;
    if !first_turn_is_harder(context.case) || !fills_are_alike(context.case) || !has_none(counts) {
        return None;
    }
    let mut smallest = counts.clone();
    let mut searches = 0;
    for &kind in counts.keys() {
        while searches < MOST_SEARCHES {
            let mut fewer = smallest.clone();
            match fewer.get_mut(&kind) {
                Some(entry) if entry.0 > 1 => entry.0 -= 1,
                Some(_) => {
                    fewer.remove(&kind);
                }
                None => break,
            }
            searches += 1;
            if !has_none(&fewer) {
                break;
            }
            smallest = fewer;
        }
    }
    Some(smallest)
}
