//! Reading the crews of `brewplan.yaml`: people, roles, hours, shifts, days off, overtime.

use super::beers;
use super::node::{Fields, Node};
use super::words;
use crate::calendar::{Role, Shift, Weekdays};
use crate::case::{Absence, Crew, FurtherShift, OvertimeLimit};
use crate::ids::CrewId;
use crate::units::{MINUTES_PER_DAY, Minutes};

/// People of a shift of a crew at most.
pub(crate) const MOST_PEOPLE: i64 = 500;

/// A crew with the nodes that name its shifts, which are looked up once the shifts are known.
struct Named<'a> {
    crew: Crew,
    /// `shift: late`
    shift: Option<Node<'a>>,
    /// `shifts: {early: 2, late: 1}`
    shifts: Vec<(String, i64, Node<'a>)>,
    /// The shifts of `Crew::absent`, in its order, where they are named.
    absent: Vec<Option<Node<'a>>>,
}

/// All crews that could be read.
pub struct Crews<'a>(Vec<Named<'a>>);

/// Reads the crews.
pub fn read<'a>(fields: &Fields<'a>) -> Crews<'a> {
    let mut all: Vec<Named<'a>> = Vec::new();
    for node in fields.required("crew").map(|node| node.items(false)).unwrap_or_default() {
        let Some(entry) = node.fields() else { continue };
        let name_node = entry.required("name");
        let found = crew(&entry, name_node.as_ref());
        entry.finish();
        let Some(found) = found else { continue };
        if all.iter().any(|named| named.crew.name == found.crew.name)
            && let Some(node) = name_node
        {
            node.error("V205", "a name that no other crew has", None);
            continue;
        }
        all.push(found);
    }
    Crews(all)
}

fn crew<'a>(entry: &Fields<'a>, name: Option<&Node<'a>>) -> Option<Named<'a>> {
    let name = name.and_then(Node::name);
    let (people, shifts) = people(entry);
    let check_only = entry.optional("check_only").and_then(|node| node.yes_or_no()).unwrap_or(false);
    let roles = roles(entry, check_only);
    let hours_node = entry.required("hours");
    let hours = hours_node.as_ref().and_then(words::time);
    if let Some(node) = hours_node.filter(|_| hours.is_some_and(|hours| hours.0 > MINUTES_PER_DAY)) {
        node.error("V304", "at most 24 h a shift", None);
    }
    let pause_node = entry.optional("break");
    let pause = pause_node.as_ref().map_or(Some(Minutes::ZERO), words::time);
    if let Some(node) = pause_node.filter(|_| pause.zip(hours).is_some_and(|(pause, hours)| pause >= hours)) {
        node.error("V422", "less than the `hours`, of which it is a part", None);
    }
    let days = entry.optional("days").map_or(Some(Weekdays::MONDAY_TO_FRIDAY), |node| words::weekdays(&node));
    let off = entry.optional("off").map(|node| node.items(true)).unwrap_or_default();
    let off = off.iter().filter_map(words::dates).collect();
    let mut absent = Vec::new();
    let mut absent_shifts = Vec::new();
    for node in entry.optional("absent").map(|node| node.items(true)).unwrap_or_default() {
        let Some((absence, shift)) = absence(&node, shifts.len() > 1) else { continue };
        absent.push(absence);
        absent_shifts.push(shift);
    }
    let shift = entry.optional("shift");
    if let Some(node) = shift.as_ref().filter(|_| !shifts.is_empty()) {
        node.error("V424", "either `shift` and `people`, or `shifts`", None);
    }
    let overtime = entry.optional("overtime").and_then(|node| overtime(&node));
    let (name, people, hours, pause, days) = (name?, people?, hours?, pause?, days?);
    let further_shifts = Vec::new();
    let crew = Crew {
        name,
        people,
        roles,
        check_only,
        hours,
        pause,
        days,
        shift: 0,
        further_shifts,
        off,
        absent,
        overtime,
    };
    Some(Named { crew, shift, shifts, absent: absent_shifts })
}

/// What a crew can do: nothing but checks where it only checks.
fn roles(entry: &Fields, check_only: bool) -> Vec<Role> {
    let mut roles = Vec::new();
    if check_only {
        if let Some(node) = entry.optional("roles") {
            node.error(
                "V425",
                "no `roles` with `check_only`: such a crew does nothing but tank work marked `alone`",
                None,
            );
        }
        return roles;
    }
    for role in entry.required("roles").map(|node| node.items(true)).unwrap_or_default() {
        roles.extend(role.one_of(&words::roles()));
    }
    roles.sort_unstable();
    roles.dedup();
    roles
}

/// The people of a crew of one shift, or those of each of its shifts.
fn people<'a>(entry: &Fields<'a>) -> (Option<i64>, Vec<(String, i64, Node<'a>)>) {
    let Some(node) = entry.optional("shifts") else {
        return (entry.required("people").and_then(|node| node.whole(1, MOST_PEOPLE)), Vec::new());
    };
    let mut shifts = Vec::new();
    for (name, node) in node.entries() {
        if let Some(people) = node.whole(1, MOST_PEOPLE) {
            shifts.push((name, people, node));
        }
    }
    if let Some(node) = entry.optional("people") {
        node.error("V424", "either `people`, or `shifts` with the people of each", None);
    }
    let first = shifts.first().map(|&(_, people, _)| people);
    if first.is_none() {
        node.wrong_kind("at least one shift with its people: `{early: 2, late: 1}`");
    }
    (first, shifts)
}

/// One entry of `absent`, with the node of its shift.
fn absence<'a>(node: &Node<'a>, has_shifts: bool) -> Option<(Absence, Option<Node<'a>>)> {
    let fields = node.fields()?;
    let found = absence_of(&fields, has_shifts);
    fields.finish();
    found
}

/// Days, people and shift of an absence.
pub fn absence_of<'a>(fields: &Fields<'a>, has_shifts: bool) -> Option<(Absence, Option<Node<'a>>)> {
    let on = fields.required("on").and_then(|node| words::dates(&node));
    let people = fields.required("people").and_then(|node| node.whole(1, MOST_PEOPLE));
    let shift = if has_shifts { fields.required("shift") } else { fields.optional("shift") };
    Some((Absence { on: on?, shift: 0, people: people? }, shift))
}

fn overtime(node: &Node) -> Option<OvertimeLimit> {
    let fields = node.fields()?;
    let at_most = fields.required("at_most").and_then(|node| words::time(&node));
    let a_week = fields.optional("a_week").map(|node| words::time(&node));
    let cost = fields.required("cost").and_then(|node| words::money(&node));
    fields.finish();
    Some(OvertimeLimit { at_most: at_most?, a_week: a_week.flatten(), cost: cost? })
}

/// The position of the shift that a node names (by its text, or by `name` where it is the value of a key).
fn position(node: &Node, name: &str, shifts: &[Shift]) -> Option<usize> {
    let found = shifts.iter().position(|shift| shift.name == name);
    if found.is_none() {
        beers::unknown(node, "V204", name, "shifts", shifts.iter().map(|shift| shift.name.as_str()));
    }
    found
}

impl Named<'_> {
    fn give_shifts(&mut self, shifts: &[Shift]) {
        if let Some(node) = &self.shift
            && let Some(found) = shift_of(node, shifts)
        {
            self.crew.shift = found;
        }
        let mut all = Vec::new();
        for (name, people, node) in &self.shifts {
            all.extend(position(node, name, shifts).map(|shift| FurtherShift { shift, people: *people }));
        }
        all.sort_by_key(|further| further.shift);
        if let Some((first, further)) = all.split_first() {
            (self.crew.shift, self.crew.people) = (first.shift, first.people);
            self.crew.further_shifts = further.to_vec();
        }
        for (number, node) in self.absent.iter().enumerate() {
            let found = node.as_ref().map(|node| {
                let position = shift_of(node, shifts)?;
                let is_theirs = self.crew.shifts().any(|shift| shift == position);
                if !is_theirs {
                    node.error("V204", "a shift that the crew works", None);
                }
                is_theirs.then_some(position)
            });
            self.crew.absent[number].shift = found.flatten().unwrap_or(self.crew.shift);
        }
    }
}

impl Crews<'_> {
    /// The longest hours of a crew; eight hours where there is none.
    pub fn longest_hours(&self) -> Minutes {
        self.0.iter().map(|named| named.crew.hours).max().unwrap_or(Minutes(8 * 60))
    }

    /// Gives each crew its shifts.
    pub fn give_shifts(&mut self, shifts: &[Shift]) {
        for named in &mut self.0 {
            named.give_shifts(shifts);
        }
    }

    /// The crews themselves.
    pub fn into_crews(self) -> Vec<Crew> {
        self.0.into_iter().map(|named| named.crew).collect()
    }
}

/// Looks up a crew by name.
pub fn crew_of(node: &Node, crews: &[Crew]) -> Option<CrewId> {
    let name = node.name()?;
    let found = crews.iter().position(|crew| crew.name == name);
    if found.is_none() {
        beers::unknown(node, "V152", &name, "crews", crews.iter().map(|crew| crew.name.as_str()));
    }
    found.map(CrewId)
}

/// Looks up a shift by name.
pub fn shift_of(node: &Node, shifts: &[Shift]) -> Option<usize> {
    node.name().and_then(|name| position(node, &name, shifts))
}
