//! Reading the fields of a mapping: keys, names, dates and quantities, every fault as a finding.

use jiff::civil::Date;

use crate::calendar::Slot;
use crate::case::Case;
use crate::finding::{Finding, PathStep};
use crate::ids::{BeerId, CrewId, FormatId, KegPoolId, LineId, OrderId, VesselId, YeastId};
use crate::units::{MINUTES_PER_DAY, Minutes, Volume};

use super::read::VOLUME;
use super::tree::{At, Kind, Node, finding};
use super::{LAST_DAY, quantities};

/// A mapping whose keys have been looked through.
pub(super) struct Fields<'t> {
    at: At,
    path: Vec<PathStep>,
    entries: Vec<(&'t str, &'t Node)>,
}

impl<'t> Fields<'t> {
    /// The node of a key, if it is there.
    pub(super) fn node(&self, key: &str) -> Option<&'t Node> {
        self.entries.iter().find(|entry| entry.0 == key).map(|entry| entry.1)
    }

    /// The path of a key.
    pub(super) fn path(&self, key: &str) -> Vec<PathStep> {
        let mut path = self.path.clone();
        path.push(PathStep::Key(key.to_owned()));
        path
    }
}

/// Reads fields and collects what is wrong with them.
pub(super) struct FieldReader<'c> {
    pub(super) case: &'c Case,
    pub(super) file: &'c str,
    pub(super) findings: Vec<Finding>,
}

impl<'c> FieldReader<'c> {
    /// Notes a finding.
    pub(super) fn note(&mut self, code: &'static str, at: At, path: &[PathStep], found: &str, allowed: &str) {
        self.findings.push(*finding(self.file, code, Some(at), path, found, allowed));
    }

    /// Notes a finding about a name, with the nearest of the names allowed.
    fn note_name<'n>(
        &mut self,
        code: &'static str,
        at: At,
        path: &[PathStep],
        found: &str,
        names: impl Iterator<Item = &'n str> + Clone,
    ) {
        let allowed = names.clone().collect::<Vec<_>>().join(", ");
        let mut noted = finding(self.file, code, Some(at), path, found, &allowed);
        noted.hint = nearest(found, names).map(|name| format!("did you mean {name}?"));
        self.findings.push(*noted);
    }

    /// The fields of a mapping; a key that is not listed or there twice is a finding.
    pub(super) fn fields<'t>(
        &mut self,
        node: &'t Node,
        path: &[PathStep],
        keys: &[&str],
    ) -> Option<Fields<'t>> {
        let Kind::Mapping(entries) = &node.kind else {
            self.note("V610", node.at, path, describe(node), "a mapping");
            return None;
        };
        let mut fields = Fields { at: node.at, path: path.to_vec(), entries: Vec::new() };
        for (key, at, value) in entries {
            let here = fields.path(key);
            if !keys.contains(&key.as_str()) {
                self.note_name("V611", *at, &here, key, keys.iter().copied());
            } else if fields.node(key).is_some() {
                self.note("V612", *at, &here, key, "each key once");
            } else {
                fields.entries.push((key, value));
            }
        }
        Some(fields)
    }

    /// The items of a list with their paths; nothing where the key is missing.
    pub(super) fn items<'t>(&mut self, fields: &Fields<'t>, key: &str) -> Vec<(&'t Node, Vec<PathStep>)> {
        let Some(node) = fields.node(key) else { return Vec::new() };
        let path = fields.path(key);
        let Kind::List(items) = &node.kind else {
            self.note("V610", node.at, &path, describe(node), "a list");
            return Vec::new();
        };
        let step = |(number, item)| {
            let mut path = path.clone();
            path.push(PathStep::Item(number));
            (item, path)
        };
        items.iter().enumerate().map(step).collect()
    }

    /// The text of a key that must be there.
    pub(super) fn text<'t>(&mut self, fields: &Fields<'t>, key: &str) -> Option<(&'t str, At)> {
        let Some(node) = fields.node(key) else {
            self.note("V613", fields.at, &fields.path(key), key, &format!("the key {key}"));
            return None;
        };
        if let Kind::Text(text) = &node.kind {
            return Some((text.as_str(), node.at));
        }
        self.note("V610", node.at, &fields.path(key), describe(node), "a single value");
        None
    }

    /// A value that one function reads.
    pub(super) fn value<T>(
        &mut self,
        fields: &Fields<'_>,
        key: &str,
        code: &'static str,
        allowed: &str,
        read: fn(&str) -> Option<T>,
    ) -> Option<T> {
        let (text, at) = self.text(fields, key)?;
        let value = read(text);
        if value.is_none() {
            self.note(code, at, &fields.path(key), text, allowed);
        }
        value
    }

    /// The volume of a part turn: none where there is no such key, and nothing at all if it cannot be read.
    pub(super) fn part_turn(&mut self, fields: &Fields<'_>) -> Option<Option<Volume>> {
        match fields.node("part_turn") {
            Some(_) => self.value(fields, "part_turn", "V650", VOLUME, quantities::volume).map(Some),
            None => Some(None),
        }
    }

    /// A `yes` or `no` that may be left out: no where it is.
    pub(super) fn yes(&mut self, fields: &Fields<'_>, key: &str) -> Option<bool> {
        match fields.node(key) {
            Some(_) => {
                self.choice(fields, key, "V640", ["no", "yes"].into_iter()).map(|position| position == 1)
            }
            None => Some(false),
        }
    }

    /// The position of a word or name among those allowed.
    pub(super) fn choice<'n>(
        &mut self,
        fields: &Fields<'_>,
        key: &str,
        code: &'static str,
        names: impl Iterator<Item = &'n str> + Clone,
    ) -> Option<usize> {
        let (text, at) = self.text(fields, key)?;
        let position = names.clone().position(|name| name == text);
        if position.is_none() {
            self.note_name(code, at, &fields.path(key), text, names);
        }
        position
    }

    /// A vessel by name.
    pub(super) fn vessel(&mut self, fields: &Fields<'_>, key: &str) -> Option<VesselId> {
        let names = self.case.vessels.iter().map(|vessel| vessel.name.as_str());
        self.choice(fields, key, "V620", names).map(VesselId)
    }

    /// The beer.
    pub(super) fn beer(&mut self, fields: &Fields<'_>) -> Option<BeerId> {
        let names = self.case.beers.iter().map(|beer| beer.name.as_str());
        self.choice(fields, "beer", "V621", names).map(BeerId)
    }

    /// A strain of yeast.
    pub(super) fn yeast(&mut self, fields: &Fields<'_>) -> Option<YeastId> {
        let names = self.case.yeast.strains.iter().map(|yeast| yeast.name.as_str());
        self.choice(fields, "yeast", "V629", names).map(YeastId)
    }

    /// A piece of a beer's tank work.
    pub(super) fn tank_work(&mut self, fields: &Fields<'_>, beer: BeerId) -> Option<usize> {
        let names = self.case.beer(beer).tank_work.iter().map(|work| work.name.as_str());
        self.choice(fields, "work", "V627", names)
    }

    /// The line.
    pub(super) fn line(&mut self, fields: &Fields<'_>) -> Option<LineId> {
        let names = self.case.lines.iter().map(|line| line.name.as_str());
        self.choice(fields, "line", "V622", names).map(LineId)
    }

    /// The format.
    pub(super) fn format(&mut self, fields: &Fields<'_>) -> Option<FormatId> {
        let names = self.case.formats.iter().map(|format| format.name.as_str());
        self.choice(fields, "format", "V623", names).map(FormatId)
    }

    /// Kegs of one kind.
    pub(super) fn keg_pool(&mut self, fields: &Fields<'_>) -> Option<KegPoolId> {
        let names = self.case.kegs.iter().map(|pool| pool.name.as_str());
        self.choice(fields, "pool", "V628", names).map(KegPoolId)
    }

    /// The crew.
    pub(super) fn crew(&mut self, fields: &Fields<'_>) -> Option<CrewId> {
        let names = self.case.crews.iter().map(|crew| crew.name.as_str());
        self.choice(fields, "crew", "V624", names).map(CrewId)
    }

    /// The order.
    pub(super) fn order(&mut self, fields: &Fields<'_>) -> Option<OrderId> {
        let names = self.case.orders.iter().map(|order| order.name.as_str());
        self.choice(fields, "order", "V625", names).map(OrderId)
    }

    /// A date as a day counted from day 0.
    pub(super) fn day(&mut self, fields: &Fields<'_>, key: &str) -> Option<usize> {
        let (text, at) = self.text(fields, key)?;
        let Some(date) = date(text) else {
            self.note("V630", at, &fields.path(key), text, "a date such as 2026-12-07");
            return None;
        };
        let day = self.case.calendar.day_of(date);
        let day = usize::try_from(day).ok().filter(|_| day <= LAST_DAY);
        if day.is_none() {
            let starts = self.case.calendar.starts;
            let allowed = format!("a date from {starts} on, within ten years");
            self.note("V631", at, &fields.path(key), text, &allowed);
        }
        day
    }

    /// The date of a delivery, as a day counted from day 0.
    pub(super) fn delivery_day(&mut self, fields: &Fields<'_>) -> Option<i64> {
        let day = self.day(fields, "on")?;
        i64::try_from(day).ok()
    }

    /// The date of a day, as text.
    pub(super) fn date_of(&self, day: usize) -> String {
        self.case.calendar.date(i64::try_from(day).unwrap_or(i64::MAX)).to_string()
    }

    /// The time of day of `begins`, as minutes from the start of the slot's shift; a time before it is one of the next day.
    pub(super) fn begins(&mut self, fields: &Fields<'_>, slot: Option<Slot>) -> Option<Minutes> {
        fields.node("begins")?;
        let allowed = "a time of day such as \"06:30\"";
        let clock = self.value(fields, "begins", "V655", allowed, quantities::time_of_day)?;
        let starts = self.case.calendar.shifts[self.case.calendar.shift(slot?)].starts;
        Some(Minutes((clock - starts).0.rem_euclid(MINUTES_PER_DAY)))
    }

    /// The slot of the keys `on` and `shift`; the shift may be left out where a day has only one.
    pub(super) fn slot(&mut self, fields: &Fields<'_>) -> Option<Slot> {
        let day = self.day(fields, "on");
        let calendar = &self.case.calendar;
        let shift = if calendar.shifts.len() < 2 && fields.node("shift").is_none() {
            Some(0)
        } else {
            let names = calendar.shifts.iter().map(|shift| shift.name.as_str());
            self.choice(fields, "shift", "V626", names)
        };
        Some(calendar.slot(day?, shift?))
    }
}

fn date(text: &str) -> Option<Date> {
    if text.len() == "2026-12-07".len() { text.parse().ok() } else { None }
}

fn describe(node: &Node) -> &str {
    match &node.kind {
        Kind::Text(text) => text,
        Kind::List(_) => "a list",
        Kind::Mapping(_) => "a mapping",
    }
}

/// The name that is most like a text, if any is much like it.
fn nearest<'n>(text: &str, names: impl Iterator<Item = &'n str>) -> Option<&'n str> {
    if text.len() > 100 {
        return None;
    }
    let text = text.to_lowercase();
    let mut best: Option<(f64, &str)> = None;
    for name in names {
        let likeness = strsim::normalized_damerau_levenshtein(&text, &name.to_lowercase());
        if likeness >= 0.5 && best.is_none_or(|(most, _)| likeness > most) {
            best = Some((likeness, name));
        }
    }
    best.map(|(_, name)| name)
}
