//! R12 of the look-ahead: what is filled, drawn and packaged is no more than there is, up to each period.

use cellarwright_model::calendar::Role;
use cellarwright_model::ids::{BeerId, LineId};
use cellarwright_model::plan::{Count, Leaving, Used};
use cellarwright_model::rule::RuleId;
use cellarwright_model::units::{Share, Volume};
use cellarwright_model::violation::{About, Amount, Violation};

use super::entry::{Batch, Entries, From, Lot, holding, leaves, volume_slack};
use crate::ledger::Ledger;
use crate::rules::Breaches;

const ONE: i128 = Count::ONE.0 as i128;

/// Volumes of every beer up to every period, and packaging of every period.
pub fn check(ledger: &Ledger, entries: &Entries, all: &mut Vec<Violation>) {
    let mut breaches = Breaches::of(RuleId::Volume);
    for beer in ledger.case.beer_ids() {
        fills(ledger, entries, beer, &mut breaches);
        draws(ledger, entries, beer, &mut breaches);
    }
    for period in 0..entries.periods.len() {
        for line in ledger.case.line_ids() {
            for beer in ledger.case.beer_ids() {
                packaging(ledger, entries, period, line, beer, &mut breaches);
            }
        }
    }
    all.extend(breaches.into_violations());
    let mut breaches = Breaches::of(RuleId::Serving);
    pours(ledger, entries, &mut breaches);
    all.extend(breaches.into_violations());
    let mut breaches = Breaches::of(RuleId::Line);
    formats(ledger, entries, &mut breaches);
    all.extend(breaches.into_violations());
}

fn volume(wide: i128) -> Amount {
    Amount::Volume(Volume(i64::try_from(wide).unwrap_or(i64::MAX)))
}

/// A volume so many times, in millilitres.
fn times(volume: Volume, count: i64) -> i128 {
    i128::from(volume.0) * i128::from(count) / ONE
}

/// Lots filled up to a period <= batches that left by the bright route by then, less the share that transfers lose; each lot
/// loses the fixed part besides.
fn fills(ledger: &Ledger, entries: &Entries, beer: BeerId, breaches: &mut Breaches) {
    let transfer = &ledger.case.transfer;
    let kept = i128::from((Share::WHOLE - transfer.loss_share).0);
    // What comes to the filter for what comes out of it.
    let filter = ledger.case.filter_of(ledger.case.beer(beer));
    let to_filter = |volume: Volume| match filter {
        Some(filter) => {
            let passes = i128::from((Share::WHOLE - filter.loss_share).0.max(1));
            let came = i128::from((volume + filter.loss_fixed).0) * i128::from(Share::WHOLE.0) / passes;
            Volume(i64::try_from(came).unwrap_or(i64::MAX / 4))
        }
        None => volume,
    };
    let (mut filled, mut left, mut parts) = (0_i128, 0_i128, 0_usize);
    for period in 0..entries.periods.len() {
        for lot in &entries.lots {
            if lot.beer == beer && lot.from == From::Period(period) && !is_only_poured(ledger, lot) {
                filled += times(to_filter(lot.volume) + transfer.loss_fixed, lot.count);
                parts += 1;
            }
        }
        let seconds = entries.used(period, Used::SecondTransfer(beer));
        filled += seconds * i128::from((to_filter(Volume::ZERO) + transfer.loss_fixed).0) / ONE;
        for batch in &entries.batches {
            if batch.beer == beer && batch.leaving == Leaving::Bright(period) {
                left += times(batch.volume, batch.count) * kept / i128::from(Share::WHOLE.0);
                parts += 1;
            }
        }
        if filled > left + volume_slack(parts, filled) {
            let slot = ledger.case.calendar.slot(entries.periods[period].first_day, 0);
            breaches.add(About::Beer(beer), slot, "filled into bright tanks", volume(filled), volume(left));
            return;
        }
    }
}

/// What may be drawn from each batch by the direct route.
#[must_use]
pub fn direct_volume(ledger: &Ledger, batch: &Batch) -> Volume {
    let is_taken = holding(ledger, batch.from).is_some_and(|holding| holding.direct_loss_taken);
    if is_taken && batch.moved.is_none() {
        return batch.volume;
    }
    ledger.case.beer(batch.beer).loss_direct.taken_off(batch.volume)
}

/// What may be drawn of a beer up to a period, in millilitres, and of how many entries.
fn available(ledger: &Ledger, entries: &Entries, beer: BeerId, upto: usize) -> (i128, usize) {
    let (mut sum, mut parts) = (0, 0);
    for lot in entries.lots.iter().filter(|lot| lot.beer == beer) {
        if matches!(lot.from, From::Held(_)) || matches!(lot.from, From::Period(period) if period <= upto) {
            sum += times(lot.volume, lot.count);
            parts += 1;
        }
    }
    for batch in entries.batches.iter().filter(|batch| batch.beer == beer) {
        let is_out = leaves(batch.leaving).is_some_and(|period| period <= upto);
        if matches!(batch.leaving, Leaving::Direct(_)) && is_out {
            sum += times(direct_volume(ledger, batch), batch.count);
            parts += 1;
        }
    }
    (sum, parts)
}

/// Whether a lot is in a tank that is only poured from: it comes out of another lot, or as from a line out of a batch.
fn is_only_poured(ledger: &Ledger, lot: &Lot) -> bool {
    ledger.case.vessel(lot.vessel).is_serve_only()
}

/// What left other vessels for the tanks that are only poured from and are filled up to a period, in millilitres.
fn left_to_serve(ledger: &Ledger, entries: &Entries, beer: BeerId, upto: usize) -> i128 {
    let transfer = &ledger.case.transfer;
    let kept = i128::from((Share::WHOLE - transfer.loss_share).0.max(1));
    let lots = entries.lots.iter().filter(|lot| {
        let is_by = matches!(lot.from, From::Period(period) if period <= upto);
        lot.beer == beer && is_by && is_only_poured(ledger, lot)
    });
    lots.map(|lot| times(lot.volume + transfer.loss_fixed, lot.count) * i128::from(Share::WHOLE.0) / kept)
        .sum()
}

/// What is drawn of a beer up to a period, in millilitres.
fn drawn(ledger: &Ledger, entries: &Entries, beer: BeerId, upto: usize) -> i128 {
    let here = entries.packaging.iter().filter(|entry| entry.beer == beer && entry.period <= upto);
    let packaged: i128 = here.map(|entry| i128::from(entry.drawn.0)).sum();
    let poured: i128 = (0..=upto).map(|period| i128::from(entries.poured(period, beer).0)).sum();
    packaged + poured + left_to_serve(ledger, entries, beer, upto)
}

fn draws(ledger: &Ledger, entries: &Entries, beer: BeerId, breaches: &mut Breaches) {
    for period in 0..entries.periods.len() {
        let (there, parts) = available(ledger, entries, beer, period);
        let drawn = drawn(ledger, entries, beer, period);
        let parts = parts + entries.packaging.len() + entries.pours.len() + entries.lots.len();
        if drawn > there + volume_slack(parts, there) {
            let slot = ledger.case.calendar.slot(entries.periods[period].first_day, 0);
            breaches.add(About::Beer(beer), slot, "drawn by then", volume(drawn), volume(there));
            return;
        }
    }
}

/// What is left of all that could be drawn of a beer when the horizon ends, in millilitres.
#[must_use]
pub fn left_at_end(ledger: &Ledger, entries: &Entries, beer: BeerId) -> i128 {
    let Some(last) = entries.periods.len().checked_sub(1) else { return 0 };
    (available(ledger, entries, beer, last).0 - drawn(ledger, entries, beer, last)).max(0)
}

/// Packaged <= drawn less the line's loss for each run, less each format's share.
fn packaging(
    ledger: &Ledger,
    entries: &Entries,
    period: usize,
    line: LineId,
    beer: BeerId,
    breaches: &mut Breaches,
) {
    let (mut drawn, mut filled, mut parts) = (0_i128, 0_i128, 0_usize);
    for entry in entries.packaging.iter().filter(|entry| entry.period == period && entry.beer == beer) {
        let format = ledger.case.format(entry.format);
        if format.line != line {
            continue;
        }
        parts += 1;
        drawn += i128::from(entry.drawn.0);
        let kept = i128::from((Share::WHOLE - format.loss).0.max(1));
        let given = i128::from((Share::WHOLE + format.overfill).0);
        filled += i128::from(entry.packaged.0) * given / kept;
    }
    if parts == 0 {
        return;
    }
    let runs = entries.used(period, Used::Run(line, beer));
    let loss = runs * i128::from(ledger.case.line(line).loss.0) / ONE;
    if filled > drawn - loss + volume_slack(parts, drawn) {
        let slot = ledger.case.calendar.slot(entries.periods[period].first_day, 0);
        breaches.add(About::Beer(beer), slot, "packaged", volume(filled), volume(drawn - loss));
    }
}

/// Poured in a period <= what guests ask for on its days; poured up to a period <= what serving tanks hold, or are filled with up to it.
fn pours(ledger: &Ledger, entries: &Entries, breaches: &mut Breaches) {
    for period in 0..entries.periods.len() {
        for beer in ledger.case.beer_ids() {
            let poured: i128 = (0..=period).map(|period| i128::from(entries.poured(period, beer).0)).sum();
            let lots = entries.lots.iter().filter(|lot| {
                let is_by = !matches!(lot.from, From::Period(filled) if filled > period);
                lot.beer == beer && is_by && super::costs::tap(ledger, lot).is_some()
            });
            let (there, parts) =
                lots.fold((0, 0), |(sum, parts), lot| (sum + times(lot.volume, lot.count), parts + 1));
            if poured > there + volume_slack(parts + entries.pours.len(), there) {
                let slot = ledger.case.calendar.slot(entries.periods[period].first_day, 0);
                breaches.add(About::Beer(beer), slot, "poured by then", volume(poured), volume(there));
            }
        }
        for beer in ledger.case.beer_ids() {
            let (poured, asked) = (entries.poured(period, beer), entries.asked(ledger.case, period, beer));
            if i128::from(poured.0) > i128::from(asked.0) + volume_slack(1, i128::from(asked.0)) {
                let slot = ledger.case.calendar.slot(entries.periods[period].first_day, 0);
                let (found, allowed) = (Amount::Volume(poured), Amount::Volume(asked));
                breaches.add(About::Beer(beer), slot, "poured", found, allowed);
            }
        }
    }
}

/// Beers in formats that they do not list, packaging in periods without packaging shifts.
fn formats(ledger: &Ledger, entries: &Entries, breaches: &mut Breaches) {
    for entry in &entries.packaging {
        let slot = ledger.case.calendar.slot(entries.periods[entry.period].first_day, 0);
        if ledger.case.beer(entry.beer).contribution(entry.format).is_none() {
            let (found, allowed) = (Amount::Words("not of this beer"), Amount::Words("of this beer"));
            breaches.add(About::Beer(entry.beer), slot, "format", found, allowed);
        }
        if entry.drawn > Volume::ZERO && entries.working_days(ledger, Role::Package, entry.period) == 0 {
            let (found, allowed) = (Amount::Words("no working shift"), Amount::Words("a working shift"));
            breaches.add(About::Beer(entry.beer), slot, "packaging", found, allowed);
        }
    }
}
