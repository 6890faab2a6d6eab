//! What every beer needs of every vessel, and what plate, relief and margin leave: numbers to be shown, judged by R11.

use cellarwright_model::case::{Case, Vessel};
use cellarwright_model::ids::{BeerId, LineId, VesselId};
use cellarwright_model::units::Pressure;

use crate::rules::{pressure_fermenting, pressure_limit, pressure_limit_when_full, pressure_needed};

/// How a line can be fed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Feed {
    /// By the vessel's pressure.
    Pressure,
    /// By a pump alone: the vessel's pressure is not enough.
    Pump,
    /// Not at all.
    Not,
}

/// A beer and vessels that are alike for it. All pressures are gauge pressures.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Row {
    /// The beer.
    pub beer: BeerId,
    /// The vessels.
    pub vessels: Vec<VesselId>,
    /// Needed while it ferments under pressure, if it does and they ferment.
    pub fermenting: Option<Pressure>,
    /// Needed when it is carbonated and packaged from there, if it may be.
    pub packaging: Option<Pressure>,
    /// What planning stays within at the top of the full vessel: margin and height of beer taken off.
    pub limit_when_full: Pressure,
    /// What planning stays within as it empties.
    pub limit: Pressure,
    /// Lines that the beer may go to from there.
    pub lines: Vec<(LineId, Feed)>,
}

impl Row {
    /// The most that is needed of the full vessel.
    #[must_use]
    pub fn needed(&self) -> Pressure {
        self.fermenting.unwrap_or_default().max(self.packaging.unwrap_or_default())
    }

    /// What is left to the limit; below nothing where the numbers conflict.
    #[must_use]
    pub fn left(&self) -> Pressure {
        self.limit_when_full - self.needed()
    }
}

/// A row for every beer and every kind of vessel that may hold it, in the order of the files.
#[must_use]
pub fn rows(case: &Case) -> Vec<Row> {
    let mut rows: Vec<Row> = Vec::new();
    for beer in case.beer_ids() {
        let first = rows.len();
        for vessel in case.vessel_ids() {
            let like = |row: &Row| row.vessels.first().is_some_and(|&other| alike(case, other, vessel));
            if let Some(position) = (first..rows.len()).find(|&position| like(&rows[position])) {
                rows[position].vessels.push(vessel);
            } else {
                rows.extend(row(case, beer, vessel));
            }
        }
    }
    rows
}

fn alike(case: &Case, one: VesselId, other: VesselId) -> bool {
    let numbers = |vessel: &Vessel| (vessel.uses, vessel.rated, vessel.relief, vessel.beer_height);
    numbers(case.vessel(one)) == numbers(case.vessel(other))
}

fn row(case: &Case, beer: BeerId, vessel: VesselId) -> Option<Row> {
    let (data, uses) = (case.beer(beer), case.vessel(vessel).uses);
    let is_packaged = (data.direct && uses.ferment && uses.package) || (data.bright && uses.bright);
    if !uses.ferment && !is_packaged {
        return None;
    }
    let limit = pressure_limit(case, vessel);
    let mut lines: Vec<(LineId, Feed)> = Vec::new();
    for packaged in data.packaged.iter().filter(|_| is_packaged) {
        let id = case.format(packaged.format).line;
        let line = case.line(id);
        let feed = if line.feed <= limit {
            Feed::Pressure
        } else if line.pump && data.pump {
            Feed::Pump
        } else {
            Feed::Not
        };
        if !lines.iter().any(|&(other, _)| other == id) {
            lines.push((id, feed));
        }
    }
    Some(Row {
        beer,
        vessels: vec![vessel],
        fermenting: (uses.ferment && data.spund.is_some()).then(|| pressure_fermenting(case, beer)),
        packaging: is_packaged.then(|| pressure_needed(case, beer)),
        limit_when_full: pressure_limit_when_full(case, vessel),
        limit,
        lines,
    })
}
