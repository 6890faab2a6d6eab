//! R22 stages: a batch may leave in at most four transfers, the last within three working cellar days of the first; and
//! packaging straight from a fermenter ends within three working package days of the first.
//!
//! A batch that no single bright tank takes is split: over the fewest tanks that take it, in every combination of groups and
//! stages. Volumes are in proportion to what the tanks hold (moved up to `least` where that forces it); where only some of the
//! tanks serve, also with those that do, or the others, full: a restriction of the program, not of the rule. No rows: other movements have no column.

use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::case::{Beer, Split};
use cellarwright_model::rule::RuleId;
use cellarwright_model::units::{Volume, mul_div};

use super::{calendar, fill_level, filter, pressure, uses};
use crate::compile::context::{Context, Kind};
use crate::compile::groups::GroupId;

/// Tanks that one batch may go to at most.
pub const MOST_TANKS: usize = 4;
/// Working days after the first in which the last must happen.
pub const WORKING_DAYS: i64 = 3;

/// Whether a step of a role in `last` is soon enough after one in `first`.
pub fn soon_enough(context: &Context, role: Role, first: Slot, last: Slot) -> bool {
    if last < first {
        return false;
    }
    if !context.keeps(RuleId::Stages) {
        return true;
    }
    let times = &context.case.calendar;
    let mut working_days = 0;
    for day in times.day(first) + 1..=times.day(last) {
        let shifts = 0..times.shifts.len();
        if shifts.map(|shift| times.slot(day, shift)).any(|slot| calendar::works(context, role, slot)) {
            working_days += 1;
        }
    }
    working_days <= WORKING_DAYS
}

/// A way to divide a batch over bright tanks: group, volume leaving, volume arriving.
pub type Division = Vec<(GroupId, Volume, Volume)>;

/// All ways to divide a kind of batch over bright tanks that the rule and the beer allow.
pub fn divisions(context: &Context, kind: &Kind) -> Vec<Division> {
    let beer = context.case.beer(kind.beer);
    let tanks: Vec<GroupId> = context
        .groups
        .ids()
        .filter(|&group| {
            let vessel = &context.groups.get(group).like;
            uses::may_be_bright(beer, vessel)
                && pressure::may_carbonate(context, beer, vessel)
                && filter::reaches(context, kind, group)
        })
        .collect();
    let singles = divide_over(context, kind, &tanks, 1);
    let takes_whole = fits_one_of_all(context, kind);
    let may_split = match beer.split {
        Split::Free => true,
        Split::Needed => !takes_whole,
        Split::Never => false,
    } || !context.keeps(RuleId::Stages);
    let mut all = singles;
    if may_split {
        for count in 2..=MOST_TANKS {
            let found = divide_over(context, kind, &tanks, count);
            let enough = !found.is_empty();
            all.extend(found);
            if enough {
                break;
            }
        }
    }
    all
}

/// Whether any bright tank of the cellar takes the whole batch.
fn fits_one_of_all(context: &Context, kind: &Kind) -> bool {
    let arrives = context.case.arrives(context.case.beer(kind.beer), kind.tank_volume);
    context
        .groups
        .0
        .iter()
        .any(|group| group.like.uses.bright && group.like.least <= arrives && arrives <= group.like.holds)
}

fn divide_over(context: &Context, kind: &Kind, tanks: &[GroupId], count: usize) -> Vec<Division> {
    let mut found = Vec::new();
    for chosen in multisets(tanks, count) {
        let in_proportion = divide(context, kind, &chosen);
        for division in in_proportion.into_iter().chain(full_by_use(context, kind, &chosen)) {
            if !found.contains(&division) {
                found.push(division);
            }
        }
    }
    found
}

/// Where some of the chosen tanks serve and others do not: those of one use full, the others with the rest in proportion.
fn full_by_use(context: &Context, kind: &Kind, chosen: &[GroupId]) -> Vec<Division> {
    let beer = context.case.beer(kind.beer);
    let serves = |group: GroupId| context.groups.get(group).like.uses.serve;
    let holds = |group: GroupId| context.groups.get(group).like.holds;
    let mut found = Vec::new();
    for full in [true, false] {
        let others: Vec<i64> =
            chosen.iter().filter(|&&group| serves(group) != full).map(|&group| holds(group).0).collect();
        if others.is_empty() || others.len() == chosen.len() {
            continue;
        }
        let filled = |group: GroupId| most_leaving(context, beer, kind.tank_volume, holds(group)).0;
        let given: i64 =
            chosen.iter().filter(|&&group| serves(group) == full).map(|&group| filled(group)).sum();
        let mut rest = parts((kind.tank_volume.0 - given).max(0), &others).into_iter();
        let leaving: Vec<i64> = chosen
            .iter()
            .map(|&group| if serves(group) == full { filled(group) } else { rest.next().unwrap_or(0) })
            .collect();
        found.extend(fitting(context, beer, chosen, &leaving));
    }
    found
}

/// The most of a whole that may leave for no more than a volume to arrive.
pub fn most_leaving(context: &Context, beer: &Beer, whole: Volume, most: Volume) -> Volume {
    let (mut low, mut high) = (0, whole.0);
    while low < high {
        let middle = low + (high - low + 1) / 2;
        if context.case.arrives(beer, Volume(middle)) <= most {
            low = middle;
        } else {
            high = middle - 1;
        }
    }
    Volume(low)
}

/// Every choice of `count` groups with repetition, in order.
fn multisets(tanks: &[GroupId], count: usize) -> Vec<Vec<GroupId>> {
    if count == 0 {
        return vec![Vec::new()];
    }
    let mut all = Vec::new();
    for (position, &tank) in tanks.iter().enumerate() {
        for mut rest in multisets(&tanks[position..], count - 1) {
            rest.insert(0, tank);
            all.push(rest);
        }
    }
    all
}

fn divide(context: &Context, kind: &Kind, chosen: &[GroupId]) -> Option<Division> {
    let volume = kind.tank_volume;
    let beer = context.case.beer(kind.beer);
    let holds: Vec<i64> = chosen.iter().map(|&group| context.groups.get(group).like.holds.0).collect();
    let in_proportion = parts(volume.0, &holds);
    fitting(context, beer, chosen, &in_proportion).or_else(|| {
        // The first tanks take just their least (with what is lost on the way), the last the rest.
        let transfer = &context.case.transfer;
        let kept = 1_000_000 - transfer.loss_share.0;
        let mut raised: Vec<i64> = chosen
            .iter()
            .zip(&in_proportion)
            .map(|(&group, &part)| {
                let least =
                    before_filter(context, beer, context.groups.get(group).like.least) + transfer.loss_fixed;
                part.max(mul_div(least.0, 1_000_000, kept.max(1)) + 1)
            })
            .collect();
        let others: i64 = raised.iter().sum();
        let largest = (0..raised.len()).max_by_key(|&position| raised[position])?;
        raised[largest] -= others - volume.0;
        fitting(context, beer, chosen, &raised)
    })
}

/// What comes to the filter of a beer for so much that comes out of it.
fn before_filter(context: &Context, beer: &Beer, volume: Volume) -> Volume {
    match context.case.filter_of(beer) {
        Some(filter) => {
            let passes = (1_000_000 - filter.loss_share.0).max(1);
            Volume(mul_div((volume + filter.loss_fixed).0, 1_000_000, passes) + 1)
        }
        None => volume,
    }
}

/// Parts of a whole in proportion to weights; the last takes what rounding leaves.
fn parts(whole: i64, weights: &[i64]) -> Vec<i64> {
    let sum: i64 = weights.iter().sum();
    let mut parts: Vec<i64> = weights.iter().map(|&weight| mul_div(whole, weight, sum.max(1))).collect();
    let given: i64 = parts.iter().sum();
    if let Some(last) = parts.last_mut() {
        *last += whole - given;
    }
    parts
}

fn fitting(context: &Context, beer: &Beer, chosen: &[GroupId], leaving: &[i64]) -> Option<Division> {
    let mut division = Vec::new();
    for (&group, &leaves) in chosen.iter().zip(leaving) {
        let leaves = Volume(leaves);
        let arrives = context.case.arrives(beer, leaves);
        if leaves <= Volume::ZERO || !fill_level::fits(context, &context.groups.get(group).like, arrives) {
            return None;
        }
        division.push((group, leaves, arrives));
    }
    Some(division)
}
