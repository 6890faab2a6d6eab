//! Rows of changes.

use cellarwright_checker::changes::{Change, Kind, Piece};
use cellarwright_model::case::{Case, ChangeKind};
use cellarwright_model::units::Volume;

use super::{Facts, date, day_label, objective_units, slot_label};
use crate::render::view::{ChangeRow, ChangedWork, ChangesView};

/// What a plan changes, where it carries on an earlier one.
#[must_use]
pub fn view(facts: &Facts) -> Option<ChangesView> {
    let case = facts.case;
    let changes = facts.report.changes.as_ref()?;
    let earlier = case.fixed.earlier.as_deref()?;
    let from = i64::try_from(earlier.from_day).unwrap_or(i64::MAX);
    Some(ChangesView {
        from: date(case, from),
        from_label: day_label(case, from),
        count: changes.all.len(),
        at_most: earlier.at_most,
        kept: changes.kept,
        cost: objective_units(case, changes.cost),
        worth_without: objective_units(case, facts.report.breakdown.objective(&case.aim)),
        rows: changes.all.iter().filter_map(|change| row(case, change)).collect(),
    })
}

fn row(case: &Case, change: &Change) -> Option<ChangeRow> {
    let kind = change.before.or(change.after)?.kind;
    let (work, beer, format, piece) = match kind {
        Kind::Brew(beer) => ("brew", Some(beer), None, None),
        Kind::Transfer(beer) => ("transfer", Some(beer), None, None),
        Kind::Package(beer, format) => ("package", Some(beer), Some(format), None),
        Kind::Tank(beer, piece) => ("tank work", Some(beer), None, case.beer(beer).tank_work.get(piece)),
        Kind::Clean(_) => ("clean", None, None, None),
        Kind::Carbonate(_) => ("carbonate", None, None, None),
        Kind::Crop(_) => ("crop", None, None, None),
        Kind::Dump(_) => ("dump", None, None, None),
    };
    Some(ChangeRow {
        change: match change.kind {
            ChangeKind::Amount => "amount",
            ChangeKind::Shift => "shift",
            ChangeKind::Day => "day",
            ChangeKind::Vessel => "vessel",
            ChangeKind::Dropped => "dropped",
            ChangeKind::New => "new",
        },
        work,
        beer: beer.map(|beer| case.beer(beer).name.clone()),
        format: format.map(|format| case.format(format).name.clone()),
        piece: piece.map(|piece| piece.name.clone()),
        before: change.before.map(|piece| changed(case, &piece)),
        after: change.after.map(|piece| changed(case, &piece)),
        cost: objective_units(case, change.cost),
    })
}

fn changed(case: &Case, piece: &Piece) -> ChangedWork {
    let day = case.calendar.day(piece.slot) as i64;
    ChangedWork {
        date: date(case, day),
        day_label: day_label(case, day),
        label: slot_label(case, piece.slot),
        shift: case.calendar.shifts[case.calendar.shift(piece.slot)].name.clone(),
        from: piece.from.map(|vessel| case.vessel(vessel).name.clone()),
        vessel: piece.vessel.map(|vessel| case.vessel(vessel).name.clone()),
        volume_hl: (piece.volume > Volume::ZERO).then(|| piece.volume.hectolitres()),
    }
}
