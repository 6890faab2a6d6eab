//! What is left of every resource, the tightest first.

use std::collections::BTreeMap;

use cellarwright_checker::usage::{Resource, ResourceUse, Use};
use cellarwright_model::case::{StoreUnit, Vessel};
use cellarwright_model::measures::{MICRO, Unit, UnitSystem};
use cellarwright_model::rule::RuleId;
use cellarwright_model::units::{Minutes, Volume};

use super::{Facts, date, day_label};
use crate::render::view::SlackRow;
use crate::render::words::resources as words;

/// A share of a day's supply (in per mille) below which nothing worth speaking of is left.
const BINDING: i64 = 20;

/// Use and supply of one resource on one day.
#[derive(Clone, Copy, Debug, Default)]
struct OfDay {
    used: i64,
    available: i64,
    /// More can be had for money: what is there limits nothing.
    more: bool,
}

/// A row before it is turned into words.
#[derive(Debug)]
struct Tally {
    resource: String,
    key: String,
    rule: RuleId,
    unit: &'static str,
    /// Small units in one of the unit.
    per_unit: f64,
    /// Decimals to which a converted number is rounded; none where it is as it is.
    decimals: Option<i32>,
    /// A stock: what is there on a day is there on the next, less what is used.
    is_stock: bool,
    /// The first day on which more of it can be had for money.
    more_from: Option<i64>,
    days: BTreeMap<usize, OfDay>,
}

impl Tally {
    fn new(resource: String, rule: RuleId, unit: &'static str, per_unit: f64) -> Self {
        Self {
            key: resource.clone(),
            resource,
            rule,
            unit,
            per_unit,
            decimals: None,
            is_stock: false,
            more_from: None,
            days: BTreeMap::new(),
        }
    }

    fn shown(&self, value: i64) -> f64 {
        let number = value as f64 / self.per_unit;
        match self.decimals {
            Some(decimals) => (number * 10_f64.powi(decimals)).round() / 10_f64.powi(decimals),
            None => number,
        }
    }

    fn add(&mut self, facts: &Facts, uses: &[Use]) {
        for used in uses {
            let number = facts.case.calendar.day(used.slot);
            let day = self.days.entry(number).or_default();
            if self.is_stock {
                day.available = day.used + used.available;
                day.more = self.more_from.is_some_and(|from| number as i64 >= from);
            } else {
                day.available += used.available;
            }
            day.used += used.used;
        }
    }

    fn row(&self, facts: &Facts) -> Option<((i64, i64), SlackRow)> {
        let left = |day: &OfDay| day.available - day.used;
        let per_mille = |used: i64, available: i64| (available - used) * 1_000 / available.max(1);
        let (&tightest, then) = self
            .days
            .iter()
            .min_by_key(|(day, uses)| (uses.more, per_mille(uses.used, uses.available), **day))?;
        let used: i64 = self.days.values().map(|day| day.used).sum();
        let available = match self.days.values().next_back().filter(|_| self.is_stock) {
            Some(last) => used + left(last),
            None => self.days.values().map(|day| day.available).sum(),
        };
        let tightness = per_mille(then.used, then.available);
        let is_every_day = self.days.len() > 1
            && self.days.values().all(|day| per_mille(day.used, day.available) == tightness);
        let row = SlackRow {
            resource: self.resource.clone(),
            key: self.key.clone(),
            rule: self.rule,
            unit: self.unit,
            used: self.shown(used),
            available: self.shown(available),
            left: self.shown(available - used),
            tightest: date(facts.case, tightest as i64),
            tightest_label: if is_every_day {
                words::EVERY_DAY.to_owned()
            } else {
                day_label(facts.case, tightest as i64)
            },
            left_then: self.shown(left(then)),
            available_then: self.shown(then.available),
            binding: tightness < BINDING && !then.more,
        };
        // Binding ones first, and among them those with the least left over all days; last what can be had at any time.
        let rank = match (row.binding, then.more) {
            (true, _) => 0,
            (false, true) => 1_000,
            (false, false) => tightness,
        };
        Some(((rank, per_mille(used, available)), row))
    }
}

/// Vessels of one kind, those that ferment first: not ferment, condition and serve, bright, package, volume.
type Kind = ((bool, bool, bool), bool, bool, Volume);

/// All resources; vessels of one kind and size are added up.
#[must_use]
pub fn rows(facts: &Facts) -> Vec<SlackRow> {
    let resources = &facts.report.usage.resources;
    let units = facts.case.show_units;
    let per_unit = |unit: Unit| unit.micro as f64 / MICRO as f64;
    let mut tallies: Vec<Tally> = Vec::new();
    let mut kinds: BTreeMap<Kind, Vec<&ResourceUse>> = BTreeMap::new();
    for uses in resources {
        match uses.resource {
            Resource::Vessel(vessel) => {
                let vessel = facts.case.vessel(vessel);
                let may = vessel.uses;
                let key = ((!may.ferment, may.condition, may.serve), may.bright, may.package, vessel.holds);
                kinds.entry(key).or_default().push(uses);
            }
            Resource::Kegs(_) | Resource::Material(_) | Resource::Yeast(_) | Resource::FillsLeft(_) => {
                let resource = words::resource(facts.case, uses.resource);
                let unit = words::unit(facts.case, uses.resource);
                let mut tally = Tally {
                    is_stock: true,
                    more_from: more_from(facts, uses.resource),
                    ..Tally::new(resource, uses.resource.rule(facts.case), unit, 1.0)
                };
                tally.add(facts, &uses.uses);
                tallies.push(tally);
            }
            Resource::CrewTime(_) if repeats_a_role(resources, uses) => {}
            Resource::Turns
            | Resource::BrewhouseTime
            | Resource::RoleTime(_)
            | Resource::CrewTime(_)
            | Resource::WeekOvertime(_)
            | Resource::CleaningTime(_)
            | Resource::Chills
            | Resource::CoolingHeat
            | Resource::LineTime(_)
            | Resource::FilterTime(_)
            | Resource::TransferTime
            | Resource::KegWasher
            | Resource::OwnedKegs(_)
            | Resource::WarmStore
            | Resource::ColdStore
            | Resource::HiredStore => {
                let per_unit = match uses.resource {
                    Resource::Turns | Resource::Chills | Resource::OwnedKegs(_) => 1.0,
                    Resource::CoolingHeat => per_unit(units.heat()),
                    Resource::WarmStore => per_unit(units.volume()),
                    Resource::ColdStore | Resource::HiredStore => {
                        match facts.case.cold_store.as_ref().map(|store| store.unit) {
                            Some(StoreUnit::Pallets) => StoreUnit::Pallets.priced() as f64,
                            Some(StoreUnit::Volume) | None => per_unit(units.volume()),
                        }
                    }
                    _ => Minutes(60).0 as f64,
                };
                let resource = words::resource(facts.case, uses.resource);
                let unit = words::unit(facts.case, uses.resource);
                let mut tally = Tally::new(resource, uses.resource.rule(facts.case), unit, per_unit);
                tally.decimals = (units != UnitSystem::Metric && is_converted(uses.resource)).then_some(5);
                tally.add(facts, &uses.uses);
                tallies.push(tally);
            }
        }
    }
    let shifts = facts.case.calendar.shifts.len().max(1) as f64;
    for kind in kinds.values() {
        let vessels = kind.iter().filter_map(|uses| match uses.resource {
            Resource::Vessel(vessel) => Some(facts.case.vessel(vessel)),
            _ => None,
        });
        let vessels: Vec<&Vessel> = vessels.collect();
        let Some(first) = kind.first() else { continue };
        let rule = first.resource.rule(facts.case);
        let mut tally = Tally::new(words::vessels(facts.case, &vessels), rule, "vessel-days", shifts);
        tally.key =
            vessels.first().map_or_else(String::new, |vessel| words::kind_in_full(facts.case, vessel));
        for uses in kind {
            tally.add(facts, &uses.uses);
        }
        tallies.push(tally);
    }
    let mut rows: Vec<((i64, i64), SlackRow)> = tallies.iter().filter_map(|tally| tally.row(facts)).collect();
    rows.sort_by_key(|(key, _)| *key);
    rows.into_iter().map(|(_, row)| row).collect()
}

/// Whether the unit of a resource is one of the units that are shown.
fn is_converted(resource: Resource) -> bool {
    matches!(
        resource,
        Resource::CoolingHeat | Resource::WarmStore | Resource::ColdStore | Resource::HiredStore
    )
}

/// The first day on which more of a stock than the plan has can be had for money, if there is one.
fn more_from(facts: &Facts, resource: Resource) -> Option<i64> {
    match resource {
        Resource::Material(material) => facts.case.materials[material.0].lead,
        Resource::Yeast(yeast) => facts.case.yeast.strain(yeast).bought.map(|bought| bought.lead),
        _ => None,
    }
}

/// Whether a crew's own time is just the time of a role.
fn repeats_a_role(resources: &[ResourceUse], uses: &ResourceUse) -> bool {
    resources.iter().any(|other| matches!(other.resource, Resource::RoleTime(_)) && other.uses == uses.uses)
}
