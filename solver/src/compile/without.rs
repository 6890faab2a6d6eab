//! What a program is written without, to find out what forbids something: whole rules, or a rule for one thing, on all days or some.

use std::collections::BTreeSet;

use cellarwright_model::calendar::Role;
use cellarwright_model::ids::{BeerId, CrewId, VesselId};
use cellarwright_model::rule::RuleId;

/// What a part of a rule is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Subject {
    /// A beer that is brewed.
    Beer(BeerId),
    /// Beer in tank on day 0: a position in `Case::in_tank`.
    InTank(usize),
    /// A crew: the hours that it has, and the hours that lines run while it is there.
    Crew(CrewId),
    /// Work that the calendar allows.
    Role(Role),
    /// Vessels that are alike, by the first of them.
    Vessels(VesselId),
    /// The brewhouse.
    Brewhouse,
    /// The cleaning sets.
    CleaningSets,
}

/// A rule, or a part of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Part {
    /// The rule.
    pub rule: RuleId,
    /// What it is about; none for the rule as a whole.
    pub of: Option<Subject>,
    /// First and last day, counted from day 0; none for all days.
    pub days: Option<(i64, i64)>,
}

impl Part {
    /// A rule as a whole.
    #[must_use]
    pub fn whole(rule: RuleId) -> Self {
        Self { rule, of: None, days: None }
    }

    /// A rule for one thing.
    #[must_use]
    pub fn of(rule: RuleId, subject: Subject) -> Self {
        Self { rule, of: Some(subject), days: None }
    }
}

/// Says of a row which parts of a rule write it: without any of them there is no such row.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mark {
    /// The rule.
    pub rule: RuleId,
    /// What the row is about.
    pub of: Vec<Subject>,
    /// First and last day that it is about; none where it is about all of them.
    pub days: Option<(i64, i64)>,
}

/// Parts of rules that are left out.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Without(BTreeSet<Part>);

impl Without {
    /// Whether a rule as a whole is left out.
    #[must_use]
    pub fn has_rule(&self, rule: RuleId) -> bool {
        self.0.contains(&Part::whole(rule))
    }

    /// Whether a rule is left out for one thing on a day.
    #[must_use]
    pub fn has(&self, rule: RuleId, subject: Subject, day: i64) -> bool {
        let is_meant = |part: &Part| {
            part.rule == rule
                && part.of == Some(subject)
                && part.days.is_none_or(|(first, last)| first <= day && day <= last)
        };
        self.0.iter().any(is_meant)
    }

    /// Whether a row is left out.
    #[must_use]
    pub fn has_row(&self, mark: &Mark) -> bool {
        let is_meant = |part: &Part| {
            let on = match (part.days, mark.days) {
                (None, _) => true,
                (Some((first, last)), Some(days)) => first <= days.0 && days.1 <= last,
                (Some(_), None) => false,
            };
            part.rule == mark.rule && part.of.is_some_and(|subject| mark.of.contains(&subject)) && on
        };
        self.0.iter().any(is_meant)
    }

    /// Whether nothing is left out.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
}

impl FromIterator<Part> for Without {
    fn from_iter<I: IntoIterator<Item = Part>>(parts: I) -> Self {
        Self(parts.into_iter().collect())
    }
}

impl From<&BTreeSet<RuleId>> for Without {
    fn from(rules: &BTreeSet<RuleId>) -> Self {
        rules.iter().map(|&rule| Part::whole(rule)).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const PACKERS: Subject = Subject::Crew(CrewId(1));

    fn row(of: &[Subject], days: Option<(i64, i64)>) -> Mark {
        Mark { rule: RuleId::Crew, of: of.to_vec(), days }
    }

    #[test]
    fn a_row_goes_with_any_part_that_writes_it_and_with_no_other() {
        let both = row(&[Subject::Crew(CrewId(0)), PACKERS], Some((2, 2)));
        let without = |part: Part| -> Without { [part].into_iter().collect() };
        let packers = Part::of(RuleId::Crew, PACKERS);
        assert!(without(packers).has_row(&both));
        assert!(without(Part { days: Some((1, 3)), ..packers }).has_row(&both));
        assert!(!without(Part { days: Some((3, 5)), ..packers }).has_row(&both));
        assert!(!without(Part { rule: RuleId::Turns, ..packers }).has_row(&both));
        assert!(!without(Part::of(RuleId::Crew, Subject::Crew(CrewId(2)))).has_row(&both));
        assert!(!without(Part { days: Some((0, 9)), ..packers }).has_row(&row(&[PACKERS], None)));
        // What a whole rule writes is left out where it is written.
        assert!(!without(Part::whole(RuleId::Crew)).has_row(&both));
        assert!(without(Part::whole(RuleId::Crew)).has_rule(RuleId::Crew));
    }

    #[test]
    fn a_rule_for_one_thing_is_left_out_on_its_days() {
        let part = Part { days: Some((2, 4)), ..Part::of(RuleId::Crew, PACKERS) };
        let without: Without = [part].into_iter().collect();
        let days: Vec<i64> = (0..7).filter(|&day| without.has(RuleId::Crew, PACKERS, day)).collect();
        assert_eq!(days, [2, 3, 4]);
        assert!(!without.has_rule(RuleId::Crew) && !without.is_empty());
    }
}
