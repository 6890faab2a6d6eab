//! What a plan changes against an earlier one that people have read: counted and weighed from the two plans alone.

pub(crate) mod done;

use std::collections::BTreeMap;

use cellarwright_model::calendar::Slot;
use cellarwright_model::case::{
    Case, ChangeKind, Earlier, Placed, WORK_WEIGHT, change_weight, least_of_the_same_run,
};
use cellarwright_model::ids::{BeerId, FormatId, VesselId};
use cellarwright_model::plan::Work;
use cellarwright_model::units::Volume;

use crate::exact::bounded;
use crate::ledger::Ledger;

/// Work of one kind, which may stand for other work of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    /// Turns into a fermenter.
    Brew(BeerId),
    /// Beer moved between vessels.
    Transfer(BeerId),
    /// A run of a format.
    Package(BeerId, FormatId),
    /// A clean of its own.
    Clean(VesselId),
    /// Carbonating in a fermenter.
    Carbonate(VesselId),
    /// A piece of tank work, by its position in `Beer::tank_work`.
    Tank(BeerId, usize),
    /// Cropping.
    Crop(VesselId),
    /// Pouring away.
    Dump(VesselId),
}

/// A piece of work.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Piece {
    /// What.
    pub kind: Kind,
    /// When.
    pub slot: Slot,
    /// The vessel that a transfer empties.
    pub from: Option<VesselId>,
    /// The vessel filled or worked on.
    pub vessel: Option<VesselId>,
    /// Wort, what leaves, or what is packaged; nothing where volumes are not compared.
    pub volume: Volume,
    /// What a change of it weighs.
    weight: i64,
}

impl Piece {
    fn placed(&self) -> Placed {
        Placed { slot: self.slot, from: self.from, vessel: self.vessel, volume: self.volume }
    }
}

/// One change.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Change {
    /// Of which kind.
    pub kind: ChangeKind,
    /// As it was planned; none where it is new.
    pub before: Option<Piece>,
    /// As it is now; none where it is dropped.
    pub after: Option<Piece>,
    /// What it costs, in the unit of the objective.
    pub cost: i64,
}

/// All changes from the day on which the plan is made again.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Changes {
    /// By day, what is dropped or was planned earlier first.
    pub all: Vec<Change>,
    /// Pieces of work that stay as they were planned.
    pub kept: usize,
    /// What all changes cost together, in the unit of the objective.
    pub cost: i64,
    /// The least number of changes that the two plans can be told apart by.
    pub fewest: usize,
}

/// Compares a plan that has been replayed with the earlier one of its case, if there is one.
pub fn changes(ledger: &Ledger) -> Option<Changes> {
    let case = ledger.case;
    let earlier = case.fixed.earlier.as_deref()?;
    let mut kinds: BTreeMap<Kind, (Vec<Piece>, Vec<Piece>)> = BTreeMap::new();
    let before = Ledger::replay(case, &earlier.plan);
    for piece in pieces(&before).into_iter().filter(|piece| !earlier.is_done(case, piece.slot)) {
        kinds.entry(piece.kind).or_default().0.push(piece);
    }
    for piece in pieces(ledger).into_iter().filter(|piece| !earlier.is_done(case, piece.slot)) {
        kinds.entry(piece.kind).or_default().1.push(piece);
    }
    let mut found = Changes::default();
    for (old, new) in kinds.into_values() {
        compare(case, earlier, &old, &new, &mut found);
    }
    found.all.sort_by_key(|change| {
        let first = |piece: &Option<Piece>| piece.map(|piece| (piece.slot, piece.kind, piece.vessel));
        (first(&change.before).or(first(&change.after)), first(&change.after))
    });
    found.cost = found.all.iter().map(|change| change.cost).sum();
    Some(found)
}

/// The pieces of work of a plan that are compared. Turns of a slot into a vessel are one piece, and so is what a beer runs of a format in a slot.
pub fn pieces(ledger: &Ledger) -> Vec<Piece> {
    let case = ledger.case;
    let mut all = Vec::new();
    let mut brews: BTreeMap<(Slot, BeerId, VesselId), Piece> = BTreeMap::new();
    let beers = ledger.plan.beers(&case.in_tank);
    for (task, beer) in ledger.plan.tasks.iter().zip(beers).filter(|(task, _)| ledger.is_planned(task.slot)) {
        let Some(weight) = change_weight(&task.work) else { continue };
        let at = |kind, vessel| Piece {
            kind,
            slot: task.slot,
            from: None,
            vessel: Some(vessel),
            volume: Volume::ZERO,
            weight,
        };
        match task.work {
            Work::Brew { beer, vessel, turns, part } => {
                let wort = bounded(case.wort_of(beer, turns, part));
                let piece = brews.entry((task.slot, beer, vessel)).or_insert(at(Kind::Brew(beer), vessel));
                piece.volume = bounded(piece.volume + wort);
            }
            Work::Transfer { from, to, volume, .. } => {
                let Some(beer) = beer else { continue };
                let volume = if case.vessel(to).is_serve_only() { Volume::ZERO } else { bounded(volume) };
                all.push(Piece { from: Some(from), volume, ..at(Kind::Transfer(beer), to) });
            }
            Work::Clean { vessel, .. } => all.push(at(Kind::Clean(vessel), vessel)),
            Work::Carbonate { vessel } => all.push(at(Kind::Carbonate(vessel), vessel)),
            Work::Crop { vessel } => all.push(at(Kind::Crop(vessel), vessel)),
            Work::Dump { vessel } => all.push(at(Kind::Dump(vessel), vessel)),
            Work::Tank { beer, work, vessel } => {
                let piece = at(Kind::Tank(beer, work), vessel);
                // Where it may be moved, the work is done wherever the beer is.
                let vessel = piece.vessel.filter(|_| case.beer(beer).conditions.is_none());
                all.push(Piece { vessel, ..piece });
            }
            Work::Package { .. } | Work::Sanitise { .. } | Work::Pitch { .. } | Work::Wash { .. } => {}
        }
    }
    all.extend(brews.into_values());
    for (&(slot, _), line_slot) in &ledger.line_slots {
        for run in line_slot.runs.iter().filter(|_| ledger.is_planned(slot)) {
            for (&format, &(_, volume)) in &run.formats {
                let kind = Kind::Package(run.beer, format);
                all.push(Piece { kind, slot, from: None, vessel: None, volume, weight: WORK_WEIGHT });
            }
        }
    }
    all.sort_unstable();
    all
}

/// How a piece differs from an earlier one; an error where it cannot be the same piece.
fn difference(case: &Case, old: &Piece, new: &Piece) -> Result<Option<ChangeKind>, ()> {
    let is_run = matches!(old.kind, Kind::Package(..));
    if is_run && new.volume < least_of_the_same_run(old.volume) {
        return Err(());
    }
    Ok(ChangeKind::between(case, old.placed(), new.placed()))
}

/// Costs more than any change.
const NEVER: i64 = 1 << 50;

/// The cheapest comparison of work of one kind: old pieces and places for new ones are rows, new pieces and places for old ones columns.
fn compare(case: &Case, earlier: &Earlier, old: &[Piece], new: &[Piece], found: &mut Changes) {
    let day = |piece: &Piece| case.calendar.day(piece.slot);
    let cost = |change: ChangeKind, piece: &Piece| earlier.cost(change, piece.weight, day(piece));
    let size = old.len() + new.len();
    let matched = |row: usize, column: usize| match (old.get(row), new.get(column)) {
        (Some(before), Some(after)) => Some((before, after)),
        _ => None,
    };
    // A number of changes is the second thing to be small.
    let price = |row: usize, column: usize, counts_only: bool| -> i64 {
        let cost = match (old.get(row), new.get(column)) {
            (Some(before), Some(after)) => match difference(case, before, after) {
                Ok(None) => return 0,
                Ok(Some(change)) => {
                    let nearer = if before.slot <= after.slot { before } else { after };
                    cost(change, nearer)
                }
                Err(()) => return NEVER,
            },
            (Some(before), None) => cost(ChangeKind::Dropped, before),
            (None, Some(after)) => cost(ChangeKind::New, after),
            (None, None) => return 0,
        };
        if counts_only { 1 } else { cost.min(NEVER / 1_000_000) * 1_000 + 1 }
    };
    let counted = assign(size, |row, column| price(row, column, true));
    found.fewest +=
        counted.iter().enumerate().filter(|&(row, &column)| price(row, column, true) == 1).count();
    for (row, column) in assign(size, |row, column| price(row, column, false)).into_iter().enumerate() {
        let (before, after) = (old.get(row).copied(), new.get(column).copied());
        let (change, piece) = match (matched(row, column), before, after) {
            (Some((before, after)), _, _) => match difference(case, before, after) {
                Ok(Some(change)) => (change, if before.slot <= after.slot { *before } else { *after }),
                Ok(None) | Err(()) => {
                    found.kept += 1;
                    continue;
                }
            },
            (None, Some(before), _) => (ChangeKind::Dropped, before),
            (None, None, Some(after)) => (ChangeKind::New, after),
            (None, None, None) => continue,
        };
        found.all.push(Change { kind: change, before, after, cost: cost(change, &piece) });
    }
}

/// The cheapest way to give each row a column of its own (shortest augmenting paths with potentials): the column of each row.
fn assign(size: usize, price: impl Fn(usize, usize) -> i64) -> Vec<usize> {
    // Row and column 0 stand for none.
    let (mut of_rows, mut of_columns) = (vec![0_i64; size + 1], vec![0_i64; size + 1]);
    let mut row_of = vec![0_usize; size + 1];
    for row in 1..=size {
        row_of[0] = row;
        let mut column = 0;
        let mut least = vec![i64::MAX; size + 1];
        let mut came_from = vec![0_usize; size + 1];
        let mut is_used = vec![false; size + 1];
        while row_of[column] != 0 {
            is_used[column] = true;
            let here = row_of[column];
            let (mut step, mut next) = (i64::MAX, 0);
            for other in 1..=size {
                if is_used[other] {
                    continue;
                }
                let reduced = price(here - 1, other - 1) - of_rows[here] - of_columns[other];
                if reduced < least[other] {
                    (least[other], came_from[other]) = (reduced, column);
                }
                if least[other] < step {
                    (step, next) = (least[other], other);
                }
            }
            for other in 0..=size {
                if is_used[other] {
                    of_rows[row_of[other]] += step;
                    of_columns[other] -= step;
                } else if least[other] < i64::MAX {
                    least[other] -= step;
                }
            }
            column = next;
        }
        while column != 0 {
            let before = came_from[column];
            row_of[column] = row_of[before];
            column = before;
        }
    }
    let mut column_of = vec![0; size];
    for (column, &row) in row_of.iter().enumerate().skip(1) {
        column_of[row - 1] = column - 1;
    }
    column_of
}

#[cfg(test)]
mod tests {
    use super::assign;

    #[test]
    fn the_assignment_is_the_cheapest_of_all() {
        let prices = [[4, 1, 3, 9], [2, 0, 5, 8], [3, 2, 2, 7], [6, 6, 6, 1]];
        let found = assign(4, |row, column| prices[row][column]);
        let cost: i64 = found.iter().enumerate().map(|(row, &column)| prices[row][column]).sum();
        let mut best = i64::MAX;
        for a in 0..4 {
            for b in (0..4).filter(|&b| b != a) {
                for c in (0..4).filter(|&c| c != a && c != b) {
                    let d = 6 - a - b - c;
                    best = best.min(prices[0][a] + prices[1][b] + prices[2][c] + prices[3][d]);
                }
            }
        }
        assert_eq!((cost, best), (6, 6));
        let mut columns = found;
        columns.sort_unstable();
        assert_eq!(columns, [0, 1, 2, 3]);
    }

    #[test]
    fn nothing_is_given_nothing() {
        assert!(assign(0, |_, _| 1).is_empty());
    }
}
