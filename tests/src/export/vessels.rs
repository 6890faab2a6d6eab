//! Vessels, how they are cleaned and filled, what is in them, what is settled about them.

use cellarwright_model::case::{
    Away, Case, Cause, Filter, InTank, Pin, PinnedWork, Reach, RoleTimes, SinceFull, TankWork, TankWorkKind,
    Transfer, Turnaround, Vessel,
};
use cellarwright_model::ids::VesselId;
use serde_json::{Value, json};

use super::job;

/// Positions of the named cleaning sets among a reach; empty where the sets have no names.
pub fn sets(case: &Case, reach: Reach) -> Vec<usize> {
    (0..case.cleaning.named.len()).filter(|position| reach.0 & (1 << position) != 0).collect()
}

/// Vessels.
pub fn vessels(case: &Case) -> Value {
    let one = |id: VesselId| {
        let SinceFull { fills, marks } = case.since_full(id);
        let Vessel {
            name: _,
            uses,
            holds,
            least,
            rated,
            relief,
            beer_height,
            clean,
            full_clean,
            reach,
            purge,
            clean_after,
            refill,
            reaches,
            rest: _,
            price: _,
        } = case.vessel(id);
        json!({
            "ferment": uses.ferment,
            "package": uses.package,
            "bright": uses.bright,
            "holds": holds.0,
            "least": least.0,
            "rated": rated.0,
            "relief": relief.0,
            "beer_height": beer_height,
            "clean": job(clean),
            "full_clean": full_clean.map(|full| json!({
                "job": job(&full.job), "cost": full.cost.map(|cost| cost.0), "every": full.every, "after": full.after.0,
            })),
            "since_full": {"fills": fills, "marks": marks.0},
            "reach": sets(case, *reach),
            "purge": job(&purge.job),
            "purge_gas": purge.gas.0,
            "clean_after_same_shift": *clean_after == Turnaround::SameShift,
            "refill_same_shift": *refill == Turnaround::SameShift,
            "reaches": reaches.as_ref().map(|reaches| json!({
                "vessels": reaches.vessels.iter().map(|vessel| vessel.0).collect::<Vec<_>>(),
                "lines": reaches.lines.iter().map(|line| line.0).collect::<Vec<_>>(),
            })),
        })
    };
    case.vessel_ids().map(one).collect()
}

/// Cleaning sets, how long a vessel stays clean, how long it may stay dirty.
pub fn cleaning(case: &Case) -> Value {
    json!({
        "sets": case.cleaning_sets,
        "named": case.cleaning.named.len(),
        "stays_clean": case.cleaning.stays_clean.0,
        "clean_within": case.cleaning.clean_within,
    })
}

/// Transfers.
pub fn transfer(transfer: &Transfer) -> Value {
    let Transfer { job: work, loss_fixed, loss_share, at_once } = transfer;
    json!({"job": job(work), "loss_fixed": loss_fixed.0, "loss_ppm": loss_share.0, "at_once": at_once})
}

/// Filters.
pub fn filters(case: &Case) -> Value {
    let one = |filter: &Filter| {
        let Filter { name: _, rate, start_up, change, loss_fixed, loss_share, people } = filter;
        json!({
            "rate": rate.0,
            "start_up": start_up.0,
            "change": change.0,
            "loss_fixed": loss_fixed.0,
            "loss_ppm": loss_share.0,
            "people": people,
        })
    };
    case.filters.iter().map(one).collect()
}

/// Beer in vessels on day 0.
pub fn in_tank(case: &Case) -> Value {
    let one = |tank: &InTank| {
        let InTank { vessel, beer, filled, on, ready, carbonated, is_bright, work_done } = tank;
        json!({
            "vessel": vessel.0,
            "beer": beer.0,
            "filled": filled.0,
            "on": on,
            "ready": ready,
            "carbonated": carbonated,
            "is_bright": is_bright,
            "work_done": work_done.iter().map(|done| json!(done)).collect::<Vec<_>>(),
        })
    };
    case.in_tank.iter().map(one).collect()
}

/// What is away, and when. A vessel to be left alone is away like any other.
pub fn outages(case: &Case) -> Value {
    case.fixed
        .outages
        .iter()
        .map(|outage| {
            let (what, which) = match outage.what {
                Away::Vessel(vessel) => ("vessel", vessel.0),
                Away::Line(line) => ("line", line.0),
                Away::Brewhouse => ("brewhouse", 0),
                Away::Filter(filter) => ("filter", filter),
                Away::KegWasher => ("keg washer", 0),
            };
            let RoleTimes(crew) = outage.crew;
            json!({
                "what": what,
                "which": which,
                "first_day": outage.first_day,
                "last_day": outage.last_day,
                "must_be_empty": outage.must_be_empty,
                "is_upkeep": outage.cause == Cause::Upkeep,
                "crew": crew.map(|time| time.0),
            })
        })
        .collect()
}

/// Work that is pinned.
pub fn pins(case: &Case) -> Value {
    let one = |pin: &Pin| {
        let mut fields = match pin.work {
            PinnedWork::Brew { beer, vessel, turns, part } => json!({
                "work": "brew", "beer": beer.0, "vessel": vessel.map(|vessel| vessel.0),
                "turns": turns, "part": part.map(|part| part.0),
            }),
            PinnedWork::Transfer { beer, from, to, volume } => json!({
                "work": "transfer", "beer": beer.0, "from": from.map(|vessel| vessel.0),
                "to": to.map(|vessel| vessel.0), "volume": volume.map(|volume| volume.0),
            }),
            PinnedWork::Tank { beer, work, vessel } => json!({
                "work": "tank work", "beer": beer.0, "piece": work, "vessel": vessel.map(|vessel| vessel.0),
            }),
            PinnedWork::Crop { vessel } => json!({"work": "crop", "vessel": vessel.0}),
            PinnedWork::Clean { vessel } => json!({"work": "clean", "vessel": vessel.0}),
            PinnedWork::Dump { vessel } => json!({"work": "dump", "vessel": vessel.0}),
            PinnedWork::Package { beer, format, line, from, volume } => json!({
                "work": "package", "beer": beer.0, "format": format.map(|format| format.0),
                "line": line.map(|line| line.0), "from": from.map(|vessel| vessel.0),
                "volume": volume.map(|volume| volume.0),
            }),
        };
        fields["day"] = json!(pin.day);
        fields["shift"] = json!(pin.shift);
        fields
    };
    case.fixed.pins.iter().map(one).collect()
}

/// Tank work of a beer.
pub fn tank_work(pieces: &[TankWork]) -> Value {
    let one = |piece: &TankWork| {
        let TankWork { name: _, kind, day, early, slip, moves, job: work, alone, contact, cools_by: _ } =
            piece;
        json!({
            "is_chill": *kind == TankWorkKind::Chill,
            "day": day,
            "early": early,
            "slip": slip,
            "moves": moves,
            "job": job(work),
            "alone": alone,
            "contact": contact,
        })
    };
    pieces.iter().map(one).collect()
}
