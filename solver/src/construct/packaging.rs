//! Packaging: each line takes the beer that is wanted soonest, from tanks that must be empty soonest.

use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::case::{Away, StoreUnit};
use cellarwright_model::ids::{BeerId, FormatId, LineId, VesselId};
use cellarwright_model::plan::Work;
use cellarwright_model::units::{Volume, mul_div};

use super::vessel::{Gas, Held};
use super::walk::Walk;
use crate::compile::rules::{pressure, stages, uses};

/// A run of less than this is not begun, unless it empties a vessel.
const LEAST: i64 = 50_000;
/// A tank that must be empty in so many days goes before what is wanted.
const SOON: i64 = 3;

/// How much a beer wants to be packaged: the smallest goes first.
type Urgency = (bool, i64, i64, BeerId);

impl Walk<'_, '_> {
    /// Runs every line that there is beer for.
    pub(super) fn package(&mut self, slot: Slot) {
        let is_there = |line: &LineId| {
            !self.case.is_away(Away::Line(*line), slot) && self.case.line_is_there(*line, slot)
        };
        let mut lines: Vec<LineId> = self.case.line_ids().filter(is_there).collect();
        while !lines.is_empty() {
            let next = |line: LineId| {
                let all = self.case.beer_ids().filter_map(|beer| self.urgency(slot, line, beer));
                all.min().map(|urgency| (urgency, line))
            };
            let Some((_, line)) = lines.iter().filter_map(|&line| next(line)).min() else { return };
            self.run_line(slot, line);
            lines.retain(|&other| other != line);
        }
    }

    /// What the lines that a beer is packaged on can draw in a day at most.
    pub(super) fn a_day(&self, beer: BeerId, slot: Slot) -> i64 {
        let hours = self.case.shift_hours(slot).0;
        let lines: std::collections::BTreeSet<LineId> = self
            .case
            .beer(beer)
            .packaged
            .iter()
            .map(|packaged| self.case.format(packaged.format).line)
            .collect();
        let each = lines.into_iter().map(|line| {
            let data = self.case.line(line);
            mul_div((hours - data.start_up.0 - data.clean_down.0).max(0), data.pace().0, 60)
        });
        each.sum()
    }

    fn run_line(&mut self, slot: Slot, line: LineId) {
        let data = self.case.line(line);
        let room = self.hours.line_room(slot, line);
        let mut used = data.start_up.0 + data.clean_down.0;
        let mut order: Vec<BeerId> = Vec::new();
        let mut drawn = 0;
        let mut tasks: Vec<(FormatId, VesselId, Volume)> = Vec::new();
        let before = (self.demand.clone(), self.tanks.clone(), self.kegs.clone(), self.used.clone());
        loop {
            let last = order.last().copied();
            let beers = self.case.beer_ids().filter(|beer| !order.contains(beer));
            let beers = beers.filter(|&beer| {
                last.is_none_or(|last| {
                    !data.never_after.iter().any(|never| never.after == last && never.beer == beer)
                })
            });
            let Some(best) = beers.filter_map(|beer| self.urgency(slot, line, beer)).min() else { break };
            let beer = best.3;
            let change = last.map_or(0, |last| data.change(last, beer).0);
            let formats_change =
                tasks.last().map_or(0, |&(format, ..)| self.longest_change(line, format, change));
            let left = room - used - change.max(formats_change);
            order.push(beer);
            if left <= 0 {
                break;
            }
            let (time, runs) = self.run_beer(slot, line, beer, left, tasks.last().map(|run| run.0));
            if !runs.is_empty() {
                used += change.max(formats_change) + time;
                drawn += runs.iter().map(|run| run.2.0).sum::<i64>();
                tasks.extend(runs);
            } else {
                order.pop();
                break;
            }
        }
        if tasks.is_empty() || drawn < data.least_visit.0 {
            (self.demand, self.tanks, self.kegs, self.used) = before;
            return;
        }
        self.hours.take_line(slot, line, used);
        for (format, vessel, volume) in tasks {
            self.add(slot, Work::Package { line, format, vessel, volume });
        }
    }

    /// The longest change from a format to another, at least that between beers.
    fn longest_change(&self, line: LineId, from: FormatId, change: i64) -> i64 {
        let pairs = self.case.line(line).format_pairs.iter().filter(|pair| pair.from == from);
        pairs.filter_map(|pair| pair.takes).map(|takes| takes.0).fold(change, i64::max)
    }

    /// Formats of a beer on a line, in order of what is wanted; the day on which that is due.
    fn formats(&self, slot: Slot, line: LineId, beer: BeerId) -> Vec<(i64, i64, FormatId)> {
        let day = self.day(slot);
        let mut formats: Vec<(i64, i64, FormatId)> = Vec::new();
        for packaged in &self.case.beer(beer).packaged {
            let format = packaged.format;
            if self.case.format(format).line != line || self.bans.formats.contains(&format) {
                continue;
            }
            let (due, wanted) = self.demand.wanted(self.context, beer, format, day);
            // Behind all that is wanted, what earns most.
            let due = due.unwrap_or(i64::MAX / 4 - packaged.contribution.0);
            formats.push((due, wanted, format));
        }
        formats.sort_unstable();
        formats
    }

    fn urgency(&self, slot: Slot, line: LineId, beer: BeerId) -> Option<Urgency> {
        let formats = self.formats(slot, line, beer);
        let &(due, wanted, _) = formats.first()?;
        let tanks = self.sources(slot, line, beer);
        let there: i64 = tanks.iter().map(|tank| tank.2).sum();
        if there < LEAST.max(2 * self.case.line(line).loss.0) {
            return None;
        }
        let &(ends, ..) = tanks.first()?;
        let is_last = ends <= self.day(slot) + SOON;
        if wanted == 0 && !self.style.surplus && !is_last && !self.is_aim_output() {
            return None;
        }
        Some((!is_last, if is_last { ends } else { due }, -there, beer))
    }

    /// Tanks that a beer may be packaged from: the day by which it must be over, the vessel, what is left.
    fn sources(&self, slot: Slot, line: LineId, beer: BeerId) -> Vec<(i64, VesselId, i64)> {
        let mut found = Vec::new();
        for tank in &self.tanks {
            let Some(held) = tank.held().filter(|held| held.beer == beer) else { continue };
            if let Some(ends) = self.may_draw(slot, line, tank.id, held) {
                found.push((ends, tank.id, self.drawable(held).0));
            }
        }
        found.sort_unstable();
        found
    }

    /// What can be drawn from a vessel: the loss of the direct route is taken before the first packaging.
    fn drawable(&self, held: &Held) -> Volume {
        if held.is_lot || held.is_direct {
            return held.left;
        }
        self.case.beer(held.beer).loss_direct.taken_off(held.left)
    }

    /// Whether a line may draw from a vessel; the last day on which it may.
    fn may_draw(&self, slot: Slot, line: LineId, vessel: VesselId, held: &Held) -> Option<i64> {
        let case = self.case;
        let (day, beer, data) = (self.day(slot), case.beer(held.beer), case.vessel(vessel));
        let can = self.is_there(vessel, slot)
            && case.reaches_line(vessel, line)
            && pressure::may_feed(self.context, beer, data, case.line(line))
            && pressure::may_carbonate(self.context, beer, data)
            && day >= held.leaves_from(case);
        if !can {
            return None;
        }
        if held.is_lot {
            let rested = held.from.is_none_or(|from| {
                slot > from && case.calendar.start(slot) >= case.calendar.start(from) + held.rests
            });
            let poured = case.tap(data, held.beer).is_some() || data.is_serve_only();
            return (rested && !poured && (held.opening || day <= held.ends)).then_some(held.ends);
        }
        let carbonated = match held.gas {
            Gas::Before => true,
            Gas::No => !beer.is_forced(),
            Gas::In(at) => held.begun.is_some() || self.is_just_carbonated(at, slot, held),
        };
        let begun =
            held.begun.is_none_or(|begun| stages::soon_enough(self.context, Role::Package, begun, slot));
        let is_way = held.gas != Gas::No || self.goes_direct(vessel, held, slot);
        let is_in_time = held.begun.is_some() || held.opening || day <= held.ends;
        let may = carbonated
            && begun
            && is_way
            && is_in_time
            && held.transfers == 0
            && held.is_worked(case)
            && uses::may_package_from(self.context, beer, data);
        // What is carbonated is packaged now, what has begun soon.
        let ends = match (held.begun, held.gas) {
            (Some(begun), _) => self.day(begun) + stages::WORKING_DAYS,
            (None, Gas::In(_)) => day,
            (None, Gas::No | Gas::Before) => held.ends,
        };
        may.then_some(ends)
    }

    fn is_just_carbonated(&self, at: Slot, slot: Slot, held: &Held) -> bool {
        let case = self.case;
        let takes = case.carbonating_takes(case.beer(held.beer));
        let start = case.calendar.start(slot);
        let between = (at.0 + 1..slot.0).map(Slot).filter(|&other| {
            self.hours.works(Role::Cellar, other) && case.calendar.start(other) + takes <= start
        });
        slot > at && case.calendar.start(at) + takes <= start && between.count() <= 1
    }

    pub(super) fn is_aim_output(&self) -> bool {
        matches!(self.case.aim, cellarwright_model::case::Aim::Output(_))
    }

    /// Runs a beer on a line for so many minutes at most: the time, and what is drawn for which format from where.
    fn run_beer(
        &mut self,
        slot: Slot,
        line: LineId,
        beer: BeerId,
        minutes: i64,
        after: Option<FormatId>,
    ) -> (i64, Vec<(FormatId, VesselId, Volume)>) {
        let case = self.case;
        let data = case.line(line);
        let pace = data.pace().0.max(1);
        let day = self.day(slot);
        let formats = self.formats(slot, line, beer);
        let sources = self.sources(slot, line, beer);
        let must = sources.first().is_some_and(|source| source.0 <= day + SOON);
        let mut there: i64 = sources.iter().map(|source| source.2).sum();
        let (mut left, mut loss) = (minutes, data.loss.0);
        let mut amounts: Vec<(FormatId, i64)> = Vec::new();
        let mut last = after;
        for &(_, wanted, format) in &formats {
            let change = if amounts.is_empty() { 0 } else { data.change_format.0 };
            let pair = last.and_then(|last| data.format_pair(last, format));
            if pair.is_some_and(|pair| pair.takes.is_none()) {
                continue;
            }
            let change = pair.and_then(|pair| pair.takes).map_or(change, |takes| takes.0.max(change));
            let change = if amounts.is_empty() { 0 } else { change };
            let kept = case.format(format).kept();
            let room = mul_div((left - change).max(0), pace, 60);
            let wants = (wanted as f64 / kept).ceil() as i64 + 1 + loss;
            let most = self.most(beer, format, day);
            let most = ((most as f64 / kept).floor() as i64).saturating_add(loss);
            let all = self.style.surplus || must || self.is_aim_output();
            let amount = if wanted > 0 {
                wants
            } else if all && amounts.is_empty() {
                there
            } else {
                0
            };
            let amount = amount.min(room).min(there).min(most);
            if amount < LEAST.max(2 * loss) && amount < there || amount <= loss {
                continue;
            }
            left -= change;
            let takes = (amount * 60 + pace - 1).div_euclid(pace);
            left -= takes;
            there -= amount;
            loss = 0;
            amounts.push((format, amount));
            last = Some(format);
        }
        // What is left in the tanks goes into the format that was filled last, so that they are empty.
        if let Some(entry) = amounts.last_mut() {
            let kept = case.format(entry.0).kept();
            let most = self.most(beer, entry.0, day);
            let most = ((most as f64 / kept).floor() as i64).saturating_sub(entry.1);
            let room = mul_div((left - 1).max(0), pace, 60);
            let more = there.min(room).min(most);
            let whole = more == there && there < self.style.rest;
            if more > 0 && (self.style.surplus || must || whole || self.is_aim_output()) {
                entry.1 += more;
                left -= (more * 60 + pace - 1).div_euclid(pace);
            }
        }
        let runs = self.draw_run(slot, line, beer, &amounts, &sources);
        (minutes - left, runs)
    }

    fn draw_run(
        &mut self,
        slot: Slot,
        line: LineId,
        beer: BeerId,
        amounts: &[(FormatId, i64)],
        sources: &[(i64, VesselId, i64)],
    ) -> Vec<(FormatId, VesselId, Volume)> {
        let case = self.case;
        let mut runs = Vec::new();
        let mut left: Vec<i64> = sources.iter().map(|source| source.2).collect();
        let mut loss = case.line(line).loss.0;
        for &(format, amount) in amounts {
            let mut rest = amount;
            for (&(_, vessel, _), there) in sources.iter().zip(&mut left) {
                let volume = rest.min(*there);
                if volume <= 0 {
                    continue;
                }
                rest -= volume;
                *there -= volume;
                runs.push((format, vessel, Volume(volume)));
                self.draw_for_line(slot, vessel, Volume(volume));
            }
            self.packaged(slot, beer, format, Volume(amount), &mut loss);
        }
        runs
    }

    /// Notes that a line draws from a vessel: what is packaged from a fermenter goes the direct route.
    pub(super) fn draw_for_line(&mut self, slot: Slot, vessel: VesselId, volume: Volume) {
        let drawable = self.tanks[vessel.0].held().map(|held| self.drawable(held));
        if let (Some(held), Some(drawable)) = (self.tanks[vessel.0].held_mut(), drawable) {
            held.left = drawable;
            held.is_direct |= !held.is_lot;
        }
        self.draw(slot, vessel, volume, None);
    }

    /// Notes what is packaged of what was drawn, less what is left of the loss of the run.
    pub(super) fn packaged(
        &mut self,
        slot: Slot,
        beer: BeerId,
        format: FormatId,
        drawn: Volume,
        loss: &mut i64,
    ) {
        let lost = (*loss).min(drawn.0);
        *loss -= lost;
        let packaged = self.case.format(format).yields(Volume(drawn.0 - lost));
        self.demand.packaged(self.context, beer, format, self.day(slot), packaged);
        self.demand.in_vessels(beer, -packaged.0);
        self.use_up(beer, format, packaged);
    }

    /// The most that may be packaged of a beer in a format: kegs, materials, room in the cold store.
    fn most(&self, beer: BeerId, format: FormatId, day: i64) -> i64 {
        let case = self.case;
        let contents = case.format(format).package().0;
        let mut most = i64::MAX / 1_000_000_000;
        if let Some(pool) = case.pool_of(format) {
            most = most.min(self.kegs[pool.0].saturating_mul(contents));
        }
        for (material, used) in case.materials.iter().zip(&self.used) {
            let pieces = material.pieces(beer, format);
            if pieces > 0 && material.lead.is_none_or(|lead| day < lead) {
                let left = (material.there_by(day) - used - pieces).max(0);
                most = most.min(mul_div(left, contents, pieces));
            }
        }
        let store = case.cold_store.as_ref().filter(|store| store.formats.contains(&format));
        if let (Some(store), Some(room)) = (store, self.demand.room(day)) {
            let room = match store.unit {
                StoreUnit::Volume => room,
                StoreUnit::Pallets => {
                    mul_div(room, contents * case.format(format).pallet.unwrap_or(1), 1_000_000)
                }
            };
            most = most.min(room);
        }
        most
    }

    fn use_up(&mut self, beer: BeerId, format: FormatId, packaged: Volume) {
        let case = self.case;
        let begun = case.format(format).packages_begun(packaged);
        if let Some(pool) = case.pool_of(format) {
            self.kegs[pool.0] -= begun;
        }
        for (material, used) in case.materials.iter().zip(&mut self.used) {
            *used += material.pieces(beer, format) * (begun + 1);
        }
    }
}
