//! Reading what happened since an earlier plan was made: what is late, what was measured, what is out, who is away; orders in `orders`,
//! work that was done otherwise in `otherwise`.
//!
//! ```yaml
//! happened: F2 is stuck
//! late: [{vessel: F2, days: 3 d}]
//! out: [{vessel: F4, from: 2026-12-10, to: 2026-12-12, reason: door seal}]
//! away: [{crew: brewers, people: 1, on: 2026-12-10 to 2026-12-11}]
//! holds: [{vessel: F3, volume: 18 hL}]
//! orders: {withdrawn: [second van], changed: [{name: first van, quantity: 10 hL}]}
//! otherwise: [{brew: Plain Ale, on: 2026-12-08, instead: {on: 2026-12-09}}]
//! ```

mod orders;
mod otherwise;

use std::collections::BTreeMap;
use std::path::Path;

use super::fixed::{self, Plant};
use super::node::{Fields, Findings, Node};
use super::opening::{self, vessel_of};
use super::{Folder, ReadOutcome, crews, folder_and_name, load, sorted, words};
use crate::calendar::Slot;
use crate::case::{Case, Cause, LateBatch, MeasuredBatch};
use crate::finding::Finding;
use crate::ids::{BeerId, VesselId};
use crate::plan::{Plan, Work};
use crate::units::Volume;

/// What came of reading.
#[derive(Clone, Debug, Default)]
pub struct HappenedOutcome {
    /// All findings, by line.
    pub findings: Vec<Finding>,
    /// The text of the file, by the name used in places.
    pub sources: BTreeMap<String, String>,
}

/// Reads a file of what happened and puts it into the case and the plan: `plan` is the earlier plan, which is planned again from `day` on.
/// Where a finding is an error the case and the plan are half changed, and of no use.
#[must_use]
pub fn read_happened(case: &mut Case, plan: &mut Plan, day: usize, path: &Path) -> HappenedOutcome {
    let (folder, name) = folder_and_name(path);
    let mut outcome = ReadOutcome::default();
    let (file, value) = load(&Folder(folder), &name, &mut outcome);
    if let Some(value) = value {
        let findings = Findings::new(&file);
        findings.show_in(Some(case.show_units));
        if let Some(fields) = Node::root(&value, findings.clone()).fields() {
            fields.required("happened").and_then(|node| node.name());
            let mut happened = Happened { case, plan, day: i64::try_from(day).unwrap_or(i64::MAX) };
            happened.otherwise(&fields);
            happened.late(&fields);
            happened.holds(&fields);
            happened.orders(&fields);
            happened.out(&fields);
            happened.away(&fields);
            fields.finish();
        }
        outcome.findings.extend(findings.take());
    }
    sorted(&mut outcome);
    HappenedOutcome { findings: outcome.findings, sources: outcome.sources }
}

/// A batch in a fermenter.
#[derive(Clone, Copy)]
struct Batch {
    /// The day of its last turn; none: it was in tank on day 0.
    on: Option<i64>,
    beer: BeerId,
    turns: i64,
    part: Option<Volume>,
}

struct Happened<'c> {
    case: &'c mut Case,
    plan: &'c mut Plan,
    /// The first day that is planned again.
    day: i64,
}

impl Happened<'_> {
    /// Batches that are late.
    fn late(&mut self, fields: &Fields) {
        let mut named: Vec<VesselId> = Vec::new();
        for item in fields.optional("late").map(|node| node.items(false)).unwrap_or_default() {
            let Some(entry) = item.fields() else { continue };
            let vessel_node = entry.required("vessel");
            let vessel = vessel_node.as_ref().and_then(|node| vessel_of(node, &self.case.vessels));
            let days_node = entry.required("days");
            let days = days_node.as_ref().and_then(words::days);
            entry.finish();
            let (Some(node), Some(vessel), Some(days)) = (vessel_node, vessel, days) else { continue };
            if let Some(node) = days_node.filter(|_| !(1..=200).contains(&days)) {
                node.error("V304", "1 to 200 days", None);
                continue;
            }
            if named.contains(&vessel) {
                node.error("V150", "each vessel once: the days of a batch are said together", None);
                continue;
            }
            named.push(vessel);
            self.one_late(&node, vessel, days);
        }
    }

    fn one_late(&mut self, node: &Node, vessel: VesselId, days: i64) {
        let name = self.case.vessel(vessel).name.clone();
        let date = self.case.calendar.date(self.day);
        let Some(Batch { on, beer, .. }) = self.batch(vessel) else {
            let allowed = format!(
                "a vessel with a batch that ferments or matures on {date}: {name} has none by the plan"
            );
            node.error("V150", &allowed, None);
            return;
        };
        match on {
            None => {
                for tank in self.case.in_tank.iter_mut().filter(|tank| tank.vessel == vessel) {
                    tank.ready += days;
                }
            }
            Some(_) if self.case.beer(beer).conditions.is_some() => {
                let allowed = "a batch that stays in its fermenter: with a batch that is moved into a conditioning tank, \
                    change the `stay` of its beer";
                node.error("V150", allowed, None);
            }
            Some(on) => self.case.fixed.late.push(LateBatch { vessel, on, days }),
        }
    }

    /// What was measured in fermenters, and in tanks that have held beer since before day 0.
    fn holds(&mut self, fields: &Fields) {
        let mut named: Vec<VesselId> = Vec::new();
        for item in fields.optional("holds").map(|node| node.items(false)).unwrap_or_default() {
            let Some(entry) = item.fields() else { continue };
            let vessel_node = entry.required("vessel");
            let vessel = vessel_node.as_ref().and_then(|node| vessel_of(node, &self.case.vessels));
            let volume_node = entry.required("volume");
            let volume = volume_node.as_ref().and_then(words::volume);
            entry.finish();
            let (Some(node), Some(vessel), Some(volume)) = (vessel_node, vessel, volume) else { continue };
            let data = self.case.vessel(vessel);
            if let Some(node) = volume_node.filter(|_| volume > data.holds || volume == Volume::ZERO) {
                let allowed = format!("more than nothing, at most what {} holds, {}", data.name, data.holds);
                node.error("V502", &allowed, None);
                continue;
            }
            if named.contains(&vessel) {
                node.error("V156", "each vessel once", None);
                continue;
            }
            named.push(vessel);
            self.one_measured(&node, vessel, volume);
        }
    }

    fn one_measured(&mut self, node: &Node, vessel: VesselId, holds: Volume) {
        match self.batch(vessel) {
            Some(Batch { on: Some(on), beer, turns, part }) => {
                self.case.fixed.measured.push(MeasuredBatch { vessel, on, beer, turns, part, holds });
            }
            Some(Batch { on: None, .. }) => {
                for tank in self.case.in_tank.iter_mut().filter(|tank| tank.vessel == vessel) {
                    tank.filled = holds;
                }
            }
            None => {
                let name = &self.case.vessel(vessel).name;
                let date = self.case.calendar.date(self.day);
                let allowed = format!(
                    "a fermenter with a batch on {date} of which nothing has left: {name} has none by the plan"
                );
                node.error("V156", &allowed, None);
            }
        }
    }

    /// The batch that is in a fermenter on the day, if none of it has left.
    fn batch(&self, vessel: VesselId) -> Option<Batch> {
        let opening = self.case.in_tank.iter().find(|tank| tank.vessel == vessel && !tank.is_bright);
        let mut held = opening.map(|tank| Batch { on: None, beer: tank.beer, turns: 0, part: None });
        let calendar = &self.case.calendar;
        let is_done = |slot: Slot| (calendar.day(slot) as i64) < self.day;
        for task in self.plan.tasks.iter().filter(|task| is_done(task.slot)) {
            match task.work {
                Work::Brew { beer, vessel: into, turns, part } if into == vessel => {
                    let before = held.map_or(0, |batch| batch.turns);
                    let on = Some(calendar.day(task.slot) as i64);
                    held = Some(Batch { on, beer, turns: before + turns, part });
                }
                Work::Transfer { from, to, .. } if from == vessel || to == vessel => held = None,
                Work::Package { vessel: of, .. }
                | Work::Dump { vessel: of }
                | Work::Carbonate { vessel: of }
                    if of == vessel =>
                {
                    held = None;
                }
                _ => {}
            }
        }
        held
    }

    /// Vessels, lines and the like that are out.
    fn out(&mut self, fields: &Fields) {
        let mut found = Vec::new();
        {
            let known = opening::Known {
                vessels: &self.case.vessels,
                beers: &self.case.beers,
                formats: &self.case.formats,
                calendar: &self.case.calendar,
            };
            let plant = Plant {
                lines: &self.case.lines,
                filters: &self.case.filters,
                has_keg_washer: self.case.keg_washer.is_some(),
            };
            for item in fields.optional("out").map(|node| node.items(false)).unwrap_or_default() {
                let outage = fixed::outage(&item, Cause::Outage, &known, &plant, &[]);
                found.extend(outage.map(|outage| (item, outage)));
            }
        }
        for (item, mut outage) in found {
            if outage.last_day < self.day {
                self.too_early(&item);
                continue;
            }
            // What was done before the day stands in the plan.
            outage.first_day = outage.first_day.max(self.day);
            self.case.fixed.outages.push(outage);
        }
    }

    fn too_early(&self, item: &Node) {
        let date = self.case.calendar.date(self.day);
        item.error("V151", &format!("{date} or later: what was done before it stands in the plan"), None);
    }

    /// People who are away.
    fn away(&mut self, fields: &Fields) {
        for item in fields.optional("away").map(|node| node.items(false)).unwrap_or_default() {
            let Some(entry) = item.fields() else { continue };
            let crew = entry.required("crew").and_then(|node| crews::crew_of(&node, &self.case.crews));
            let crew = crew.map(|crew| crew.0);
            let has_shifts = crew.is_some_and(|crew| !self.case.crews[crew].further_shifts.is_empty());
            let absence = crews::absence_of(&entry, has_shifts);
            entry.finish();
            let (Some(crew), Some((mut absence, shift))) = (crew, absence) else { continue };
            absence.shift = self.case.crews[crew].shift;
            if let Some(node) = shift {
                let Some(found) = crews::shift_of(&node, &self.case.calendar.shifts) else {
                    continue;
                };
                if !self.case.crews[crew].shifts().any(|shift| shift == found) {
                    node.error("V204", "a shift that the crew works", None);
                    continue;
                }
                absence.shift = found;
            }
            let date = self.case.calendar.date(self.day);
            if absence.on.last < date {
                self.too_early(&item);
                continue;
            }
            absence.on.first = absence.on.first.max(date);
            self.case.crews[crew].absent.push(absence);
        }
    }
}
