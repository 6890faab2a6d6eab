//! Work that was done otherwise than the earlier plan says: another day, another vessel, another amount, or not at all.

use super::Happened;
use crate::calendar::Slot;
use crate::finding::Severity;
use crate::ids::{BeerId, VesselId};
use crate::plan::{Task, Work};
use crate::units::Volume;
use crate::yaml::brewplan::{beer_of, format_of};
use crate::yaml::crews;
use crate::yaml::node::{Fields, Node};
use crate::yaml::opening::vessel_of;
use crate::yaml::{tank_work, words};

/// Keys of which each entry has one: what the earlier plan meant to do.
const KINDS: [&str; 8] = ["brew", "transfer", "package", "clean", "carbonate", "crop", "dump", "tank_work"];

/// Work that was not done.
const NOT_DONE: &str = "not done";

/// What an entry says of the work that it means; what it does not say is free.
struct Meant {
    kind: &'static str,
    beer: Option<BeerId>,
    vessel: Option<VesselId>,
    from: Option<VesselId>,
    to: Option<VesselId>,
    format: Option<crate::ids::FormatId>,
    piece: Option<usize>,
    day: usize,
    shift: Option<usize>,
}

/// How it was done.
enum Instead {
    NotDone,
    Otherwise {
        day: Option<usize>,
        shift: Option<usize>,
        vessel: Option<VesselId>,
        from: Option<VesselId>,
        to: Option<VesselId>,
        turns: Option<i64>,
        volume: Option<Volume>,
    },
}

impl Happened<'_> {
    /// Reads `otherwise` and puts it into the earlier plan.
    pub(super) fn otherwise(&mut self, fields: &Fields) {
        let items = fields.optional("otherwise").map(|node| node.items(false)).unwrap_or_default();
        // All entries speak of the plan as it was read.
        let mut changes: Vec<(usize, Option<Task>)> = Vec::new();
        for item in items {
            let Some(entry) = item.fields() else { continue };
            let meant = self.meant(&item, &entry);
            let instead = entry.required("instead").and_then(|node| {
                let kind = meant.as_ref().map(|meant| meant.kind);
                Some((self.instead(&node, kind)?, node))
            });
            entry.finish();
            let (Some(meant), Some((instead, node))) = (meant, instead) else { continue };
            let Some(position) = self.the_one(&item, &meant) else { continue };
            if changes.iter().any(|change| change.0 == position) {
                item.error("V155", "each piece of work once", None);
                continue;
            }
            changes.extend(self.done(&node, position, &instead).map(|task| (position, task)));
        }
        self.put(changes);
    }

    fn meant(&self, item: &Node, entry: &Fields) -> Option<Meant> {
        let named: Vec<&'static str> =
            KINDS.into_iter().filter(|kind| entry.optional(kind).is_some()).collect();
        let [kind] = named[..] else {
            let all = KINDS.map(|kind| format!("`{kind}`")).join(", ");
            item.report("V155", Severity::Error, "otherwise", &format!("one of {all}"), None);
            return None;
        };
        let (mut beer, mut vessel, mut piece) = (None, None, None);
        let node = entry.required(kind)?;
        match kind {
            "brew" | "transfer" | "package" => beer = Some(beer_of(&node, &self.case.beers)?),
            "tank_work" => {
                let of = entry.required("beer").and_then(|node| beer_of(&node, &self.case.beers))?;
                beer = Some(of);
                piece = Some(tank_work::position(&node, self.case.beer(of))?);
            }
            _ => vessel = Some(vessel_of(&node, &self.case.vessels)?),
        }
        if matches!(kind, "brew" | "tank_work") {
            vessel = self.vessel(entry, "vessel")?;
        }
        let is_moved = matches!(kind, "transfer" | "package");
        let from = if is_moved { self.vessel(entry, "from")? } else { None };
        let to = if kind == "transfer" { self.vessel(entry, "to")? } else { None };
        let format_node = if kind == "package" { entry.optional("format") } else { None };
        let format = match format_node {
            Some(node) => Some(format_of(&node, &self.case.formats)?),
            None => None,
        };
        let day = entry.required("on").and_then(|node| self.planned_day(&node))?;
        let shift = self.shift(entry)?;
        Some(Meant { kind, beer, vessel, from, to, format, piece, day, shift })
    }

    fn instead(&self, node: &Node, kind: Option<&'static str>) -> Option<Instead> {
        if node.value.is_string() {
            return node.one_of(&[(NOT_DONE, ())]).map(|()| Instead::NotDone);
        }
        let fields = node.fields()?;
        let day = match fields.optional("on") {
            Some(node) => Some(self.planned_day(&node)?),
            None => None,
        };
        let shift = self.shift(&fields)?;
        let is = |kinds: &[&str]| kind.is_none_or(|kind| kinds.contains(&kind));
        let vessel = if is(&["brew", "tank_work"]) { self.vessel(&fields, "vessel")? } else { None };
        let from = if is(&["transfer", "package"]) { self.vessel(&fields, "from")? } else { None };
        let to = if is(&["transfer"]) { self.vessel(&fields, "to")? } else { None };
        let turns_node = if is(&["brew"]) { fields.optional("turns") } else { None };
        let turns = match turns_node {
            Some(node) => Some(node.whole(1, 12)?),
            None => None,
        };
        let volume_node = if is(&["transfer", "package"]) { fields.optional("volume") } else { None };
        let volume = match volume_node {
            Some(node) => Some(words::volume(&node)?),
            None => None,
        };
        fields.finish();
        Some(Instead::Otherwise { day, shift, vessel, from, to, turns, volume })
    }

    /// A vessel that may be left out: nothing at all if it cannot be read.
    fn vessel(&self, fields: &Fields, key: &'static str) -> Option<Option<VesselId>> {
        match fields.optional(key) {
            Some(node) => vessel_of(&node, &self.case.vessels).map(Some),
            None => Some(None),
        }
    }

    fn shift(&self, fields: &Fields) -> Option<Option<usize>> {
        match fields.optional("shift") {
            Some(node) => crews::shift_of(&node, &self.case.calendar.shifts).map(Some),
            None => Some(None),
        }
    }

    fn planned_day(&self, node: &Node) -> Option<usize> {
        let calendar = &self.case.calendar;
        let day = usize::try_from(calendar.day_of(words::date(node)?)).ok();
        let planned = day.filter(|&day| day < calendar.planned_days);
        if planned.is_none() {
            let last = calendar.date(calendar.planned_days as i64 - 1);
            node.error("V442", &format!("a planned day, {} to {last}", calendar.starts), None);
        }
        planned
    }

    /// The one piece of work of the earlier plan that is meant.
    fn the_one(&self, item: &Node, meant: &Meant) -> Option<usize> {
        let beers = self.plan.beers(&self.case.in_tank);
        let calendar = &self.case.calendar;
        let all: Vec<usize> = (0..self.plan.tasks.len())
            .filter(|&position| {
                let task = &self.plan.tasks[position];
                calendar.day(task.slot) == meant.day
                    && meant.shift.is_none_or(|shift| calendar.shift(task.slot) == shift)
                    && is_meant(&task.work, beers[position], meant)
            })
            .collect();
        if let [one] = all[..] {
            return Some(one);
        }
        let date = calendar.date(meant.day as i64);
        let found = format!("{} on {date}", meant.kind.replace('_', " "));
        let allowed = match all.len() {
            0 => "work that the plan has on this day".to_owned(),
            many => {
                format!("one piece of work: the plan has {many} of this kind; name vessels, format or shift")
            }
        };
        item.report("V155", Severity::Error, &found, &allowed, None);
        None
    }

    /// The work as it was done; none where it was not, and nothing at all where that cannot be.
    fn done(&self, node: &Node, position: usize, instead: &Instead) -> Option<Option<Task>> {
        let before = self.plan.tasks[position];
        let calendar = &self.case.calendar;
        let is_done = |slot: Slot| (calendar.day(slot) as i64) < self.day;
        let &Instead::Otherwise { day, shift, vessel, from, to, turns, volume } = instead else {
            if !is_done(before.slot) {
                node.error("V158", "work of a day before: what is to come is planned again", None);
                return None;
            }
            return Some(None);
        };
        let slot = calendar
            .slot(day.unwrap_or(calendar.day(before.slot)), shift.unwrap_or(calendar.shift(before.slot)));
        if !is_done(slot) {
            let date = calendar.date(self.day);
            node.error(
                "V158",
                &format!("a day before {date}, or `{NOT_DONE}`: the rest is planned again"),
                None,
            );
            return None;
        }
        let or = |now: Option<VesselId>, then: VesselId| now.unwrap_or(then);
        let work = match before.work {
            Work::Brew { beer, vessel: then, turns: many, part } => {
                Work::Brew { beer, vessel: or(vessel, then), turns: turns.unwrap_or(many), part }
            }
            Work::Transfer { from: out, to: into, volume: much, full } => {
                Work::Transfer { from: or(from, out), to: or(to, into), volume: volume.unwrap_or(much), full }
            }
            Work::Package { line, format, vessel: out, volume: much } => {
                Work::Package { line, format, vessel: or(from, out), volume: volume.unwrap_or(much) }
            }
            Work::Tank { beer, work, vessel: then } => Work::Tank { beer, work, vessel: or(vessel, then) },
            other => other,
        };
        let after = Task::new(slot, work);
        if after == Task::new(before.slot, before.work) {
            node.error("V157", "something that differs from the plan", None);
            return None;
        }
        Some(Some(after))
    }

    /// Puts work as it was done in the place of what was planned; what belongs to a fill (pitching, sanitising) goes with it.
    fn put(&mut self, changes: Vec<(usize, Option<Task>)>) {
        let filled = |work: &Work| match *work {
            Work::Brew { vessel, .. } | Work::Transfer { to: vessel, .. } => Some(vessel),
            _ => None,
        };
        let before = self.plan.tasks.clone();
        let mut after: Vec<Option<Task>> = before.iter().copied().map(Some).collect();
        for &(position, task) in &changes {
            after[position] = task;
            let Some(vessel) = filled(&before[position].work) else { continue };
            for (place, one) in before.iter().enumerate().filter(|(_, one)| one.slot == before[position].slot)
            {
                let with = |now: VesselId| match one.work {
                    Work::Sanitise { vessel: of } if of == vessel => Some(Work::Sanitise { vessel: now }),
                    Work::Pitch { vessel: of, yeast, from, pitches } if of == vessel => {
                        Some(Work::Pitch { vessel: now, yeast, from, pitches })
                    }
                    _ => None,
                };
                if with(vessel).is_some() {
                    let now = task.and_then(|task| Some((task.slot, with(filled(&task.work)?)?)));
                    after[place] = now.map(|(slot, work)| Task::new(slot, work));
                }
            }
        }
        self.plan.tasks = after.into_iter().flatten().collect();
        self.plan.tasks.sort_by_key(|task| task.slot);
    }
}

fn is_meant(work: &Work, of: Option<BeerId>, meant: &Meant) -> bool {
    let free = |named: Option<VesselId>, found: VesselId| named.is_none_or(|named| named == found);
    let is_beer = meant.beer.is_none() || meant.beer == of;
    match *work {
        Work::Brew { vessel, .. } => meant.kind == "brew" && is_beer && free(meant.vessel, vessel),
        Work::Transfer { from, to, .. } => {
            meant.kind == "transfer" && is_beer && free(meant.from, from) && free(meant.to, to)
        }
        Work::Package { format, vessel, .. } => {
            meant.kind == "package"
                && is_beer
                && free(meant.from, vessel)
                && meant.format.is_none_or(|named| named == format)
        }
        Work::Tank { work, vessel, .. } => {
            meant.kind == "tank_work" && is_beer && meant.piece == Some(work) && free(meant.vessel, vessel)
        }
        Work::Clean { vessel, .. } => meant.kind == "clean" && free(meant.vessel, vessel),
        Work::Carbonate { vessel } => meant.kind == "carbonate" && free(meant.vessel, vessel),
        Work::Crop { vessel } => meant.kind == "crop" && free(meant.vessel, vessel),
        Work::Dump { vessel } => meant.kind == "dump" && free(meant.vessel, vessel),
        Work::Sanitise { .. } | Work::Pitch { .. } | Work::Wash { .. } => false,
    }
}
