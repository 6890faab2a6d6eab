//! R16: pinned work is done, and a vessel to be left alone is left alone.

use cellarwright_model::calendar::Slot;
use cellarwright_model::case::{LEAST_PACKAGED, PINNED_TOLERANCE, Pin, PinnedWork};
use cellarwright_model::plan::Work;
use cellarwright_model::rule::RuleId;
use cellarwright_model::units::Volume;
use cellarwright_model::violation::{About, Amount};

use super::{Breaches, outage};
use crate::ledger::{Kind, Ledger, Way};

/// Work with vessels that are to be left alone, and pins that are not kept.
pub fn check(ledger: &Ledger, breaches: &mut Breaches) {
    outage::check_of(ledger, RuleId::Pinned, breaches);
    for task in ledger.plan.tasks.iter().filter(|task| ledger.is_planned(task.slot)) {
        if let Work::Dump { vessel } = task.work
            && !ledger.case.may_dump(vessel, task.slot)
        {
            let (found, allowed) =
                (Amount::Words("for a pin or upkeep"), Amount::Words("where a pin says so"));
            breaches.add(About::Vessel(vessel), task.slot, "poured away", found, allowed);
        }
    }
    let pins = &ledger.case.fixed.pins;
    for (position, pin) in pins.iter().enumerate() {
        if pins[..position].contains(pin) {
            continue;
        }
        let alike = pins.iter().filter(|other| *other == pin).count();
        let about = About::Pin(position);
        match pin.work {
            PinnedWork::Brew { .. } => count(alike, brews(ledger, pin), about, "batches begun", breaches),
            PinnedWork::Transfer { .. } => count(alike, transfers(ledger, pin), about, "transfers", breaches),
            PinnedWork::Tank { .. } => count(alike, tank_work(ledger, pin), about, "pieces done", breaches),
            PinnedWork::Crop { .. } => count(alike, crops(ledger, pin), about, "crops", breaches),
            PinnedWork::Clean { .. } => count(alike, cleans(ledger, pin), about, "cleans", breaches),
            PinnedWork::Dump { .. } => count(1, dumps(ledger, pin), about, "poured away", breaches),
            PinnedWork::Package { volume, .. } => {
                let found = packaged(ledger, pin);
                let least = volume.unwrap_or(LEAST_PACKAGED);
                let is_less = found < least - PINNED_TOLERANCE;
                if is_less || volume.is_some_and(|most| found > most + PINNED_TOLERANCE) {
                    breaches.add(about, None, "packaged", Amount::Volume(found), Amount::Volume(least));
                }
            }
        }
    }
}

fn count(wanted: usize, found: usize, about: About, what: &'static str, breaches: &mut Breaches) {
    if found < wanted {
        let number = |count: usize| Amount::Number(i64::try_from(count).unwrap_or(i64::MAX));
        breaches.add(about, None, what, number(found), number(wanted));
    }
}

fn is_in(ledger: &Ledger, pin: &Pin, slot: Slot) -> bool {
    ledger.is_planned(slot) && pin.is_in(&ledger.case.calendar, slot)
}

fn brews(ledger: &Ledger, pin: &Pin) -> usize {
    let PinnedWork::Brew { beer, vessel, turns, part } = pin.work else { return 0 };
    let found = ledger.holdings.iter().filter(|holding| {
        holding.kind == Kind::Batch
            && holding.beer == beer
            && holding.from.is_some_and(|slot| is_in(ledger, pin, slot))
            && vessel.is_none_or(|vessel| holding.vessel == vessel)
            && turns.is_none_or(|turns| holding.turns == turns && holding.part_turns.is_empty())
            && part.is_none_or(|part| holding.part_turns == [part])
    });
    found.count()
}

fn transfers(ledger: &Ledger, pin: &Pin) -> usize {
    let PinnedWork::Transfer { beer, from, to: into, volume } = pin.work else { return 0 };
    let is_volume = |left: Volume| {
        volume.is_none_or(|volume| left + PINNED_TOLERANCE >= volume && left <= volume + PINNED_TOLERANCE)
    };
    let mut found = 0;
    for holding in ledger.holdings.iter().filter(|holding| holding.beer == beer) {
        if from.is_some_and(|from| holding.vessel != from) {
            continue;
        }
        found += holding
            .outs
            .iter()
            .filter(|out| match out.way {
                Way::Transfer { to, .. } | Way::Condition { to, .. } | Way::Serve { to, .. } => {
                    into.is_none_or(|into| into == to)
                        && is_in(ledger, pin, out.slot)
                        && is_volume(out.volume)
                }
                Way::Line(_) | Way::Pour | Way::Dump => false,
            })
            .count();
    }
    found
}

fn cleans(ledger: &Ledger, pin: &Pin) -> usize {
    let PinnedWork::Clean { vessel: wanted } = pin.work else { return 0 };
    let tasks = ledger.plan.tasks.iter().filter(|task| is_in(ledger, pin, task.slot));
    tasks.filter(|task| matches!(task.work, Work::Clean { vessel, .. } if vessel == wanted)).count()
}

fn tank_work(ledger: &Ledger, pin: &Pin) -> usize {
    let PinnedWork::Tank { beer: wanted, work: piece, vessel: held } = pin.work else { return 0 };
    let tasks = ledger.plan.tasks.iter().filter(|task| is_in(ledger, pin, task.slot));
    let is_meant = |work: &Work| {
        matches!(*work, Work::Tank { beer, work, vessel }
            if beer == wanted && work == piece && held.is_none_or(|held| held == vessel))
    };
    tasks.filter(|task| is_meant(&task.work)).count()
}

fn crops(ledger: &Ledger, pin: &Pin) -> usize {
    let PinnedWork::Crop { vessel: wanted } = pin.work else { return 0 };
    let tasks = ledger.plan.tasks.iter().filter(|task| is_in(ledger, pin, task.slot));
    tasks.filter(|task| matches!(task.work, Work::Crop { vessel } if vessel == wanted)).count()
}

fn dumps(ledger: &Ledger, pin: &Pin) -> usize {
    let PinnedWork::Dump { vessel: wanted } = pin.work else { return 0 };
    let tasks = ledger.plan.tasks.iter().filter(|task| is_in(ledger, pin, task.slot));
    tasks.filter(|task| matches!(task.work, Work::Dump { vessel } if vessel == wanted)).count()
}

/// Packaged volume; out of a vessel that is named, the volume that leaves it.
fn packaged(ledger: &Ledger, pin: &Pin) -> Volume {
    let PinnedWork::Package { beer, format, line: on_line, from, .. } = pin.work else {
        return Volume::ZERO;
    };
    let mut sum = Volume::ZERO;
    for (&(slot, line), line_slot) in &ledger.line_slots {
        if !is_in(ledger, pin, slot) || on_line.is_some_and(|wanted| wanted != line) {
            continue;
        }
        for run in line_slot.runs.iter().filter(|run| run.beer == beer) {
            match from {
                Some(from) => {
                    let pieces = run.pieces.iter().filter(|piece| piece.vessel == from);
                    sum += pieces.map(|piece| piece.volume).sum::<Volume>();
                }
                None => {
                    let formats = run.formats.iter();
                    let meant = formats.filter(|&(&of, _)| format.is_none_or(|wanted| wanted == of));
                    sum += meant.map(|(_, &(_, packaged))| packaged).sum::<Volume>();
                }
            }
        }
    }
    sum
}
