//! A case as plain facts in JSON, for the referee: what the input says, resolved by index, in millilitres, minutes and cents.
//!
//! Every part of a case is taken apart by name, so that a new field does not compile until it is decided whether it is exported here or named as a
//! feature that the referee has to state (`features`); the referee refuses a case with a feature that it does not state.

mod features;
mod orders;
mod people;
mod vessels;

use cellarwright_model::case::{
    Aim, Beer, Brewhouse, Brewing, Carbonating, Case, Job, Line, Mix, Rates, Split,
};
use cellarwright_model::ids::BeerId;
use serde_json::{Value, json};

pub use features::features;

/// A case as facts, with the features that it uses beyond the plain ones.
#[must_use]
pub fn export(case: &Case) -> Value {
    json!({
        "name": case.name,
        "features": features(case),
        "aim": aim(&case.aim),
        "altitude_metres": case.altitude_metres,
        "calendar": people::calendar(case),
        "crews": people::crews(case),
        "brewhouse": brewhouse(&case.brewhouse),
        "vessels": vessels::vessels(case),
        "pressure": {"below_relief_ppm": case.pressure.below_relief.0, "breakout": case.pressure.breakout.0},
        "cleaning": vessels::cleaning(case),
        "sanitise": job(&case.sanitise),
        "transfer": vessels::transfer(&case.transfer),
        "filters": vessels::filters(case),
        "carbonate": job(&case.carbonate),
        "lines": case.lines.iter().map(|of| line(case, of)).collect::<Vec<_>>(),
        "formats": case.formats.iter().map(|format| json!({
            "line": format.line.0,
            "contents": format.contents.0,
            "pallet": format.pallet,
            "overfill_ppm": format.overfill.0,
            "loss_ppm": format.loss.0,
        })).collect::<Vec<_>>(),
        "beers": case.beer_ids().map(|id| beer(case, id)).collect::<Vec<_>>(),
        "orders": orders::orders(case),
        "warm_store": case.warm_store.map(|volume| volume.0),
        "cold_store": orders::cold_store(case),
        "keep": orders::keep(case),
        "stock": orders::stock(case),
        "materials": orders::materials(case),
        "in_tank": vessels::in_tank(case),
        "dirty": case.dirty.iter().map(|vessel| vessel.0).collect::<Vec<_>>(),
        "outages": vessels::outages(case),
        "pins": vessels::pins(case),
        "rates": rates(&case.rates),
        "chills_a_day": case.cooling.chills_a_day,
    })
}

fn aim(aim: &Aim) -> Value {
    match aim {
        Aim::Orders => json!({"orders": true, "mix": null}),
        Aim::Output(None) => json!({"orders": false, "mix": null}),
        Aim::Output(Some(Mix { shares, tolerance })) => json!({"orders": false, "mix": {
            "shares": shares.iter().map(|share| json!({
                "beer": share.beer.0, "format": share.format.map(|format| format.0), "share_ppm": share.share.0,
            })).collect::<Vec<_>>(),
            "tolerance_ppm": tolerance.0,
        }}),
    }
}

fn job(job: &Job) -> Value {
    let Job { takes, crew } = job;
    json!({"takes": takes.0, "crew": crew.0.map(|time| time.0)})
}

fn brewhouse(brewhouse: &Brewhouse) -> Value {
    // `knock_out` is of the clock alone, `least_turn` was tested when the files were read.
    let Brewhouse {
        turn,
        least_turn: _,
        first_turn,
        next_turn,
        knock_out: _,
        turns_per_day,
        hours_per_day,
        fill_within,
        liquor,
    } = brewhouse;
    json!({
        "turn": turn.0,
        "first_turn": job(first_turn),
        "next_turn": job(next_turn),
        "turns_per_day": turns_per_day,
        "hours_per_day": hours_per_day.0,
        "fill_within": fill_within.0,
        "liquor": liquor.iter().map(|liquor| json!({
            "tank": liquor.tank.0, "per_turn": liquor.per_turn.0, "makes": liquor.makes.0,
        })).collect::<Vec<_>>(),
    })
}

fn line(case: &Case, line: &Line) -> Value {
    let Line {
        name: _,
        speed,
        efficiency,
        people,
        start_up,
        clean_down,
        reach,
        change_beer,
        change_pairs,
        change_format,
        format_pairs,
        loss,
        least_run,
        feed,
        pump,
        never_after,
        comes,
        visit,
        least_visit,
    } = line;
    let days = 0..case.calendar.days() as i64;
    json!({
        "speed": speed.0,
        "efficiency_ppm": efficiency.0,
        "people": people,
        "start_up": start_up.0,
        "clean_down": clean_down.0,
        "reach": vessels::sets(case, *reach),
        "change_beer": change_beer.0,
        "change_pairs": change_pairs.iter().map(|pair| json!([pair.from.0, pair.to.0, pair.takes.0])).collect::<Vec<_>>(),
        "change_format": change_format.0,
        "format_pairs": format_pairs.iter().map(|pair| json!([pair.from.0, pair.to.0, pair.takes.map(|takes| takes.0)])).collect::<Vec<_>>(),
        "loss": loss.0,
        "least_run": least_run.0,
        "feed": feed.0,
        "pump": pump,
        "never_after": never_after.iter().map(|never| json!([never.after.0, never.beer.0])).collect::<Vec<_>>(),
        "is_there": days.map(|day| comes.is_there(case.calendar.date(day))).collect::<Vec<_>>(),
        "visit": visit.0,
        "least_visit": least_visit.0,
    })
}

fn beer(case: &Case, id: BeerId) -> Value {
    let Beer {
        name: _,
        turns,
        part_turns,
        brewing: Brewing { turn, longer },
        stay,
        conditions,
        may_wait,
        must_leave,
        bright_wait,
        bright_must_leave,
        direct,
        bright,
        both,
        loss_tank,
        loss_direct,
        carbonating,
        carbonation,
        carbonated_at,
        spund,
        nitrogen,
        during_chill,
        pump,
        split,
        blend,
        filter,
        packaged,
        release,
        fresh,
        sales,
        ferments: _,
        tank_work,
        yeast: _,
        marks,
    } = case.beer(id);
    json!({
        "turns": turns,
        "part_turns": part_turns.iter().map(|part| part.0).collect::<Vec<_>>(),
        "turn": turn.map(|turn| turn.0),
        "longer": job(longer),
        "stay": stay.iter().map(|stage| stage.days).sum::<i64>(),
        "conditions": conditions,
        "may_wait": may_wait,
        "must_leave": must_leave,
        "bright_wait": bright_wait,
        "bright_must_leave": bright_must_leave,
        "direct": direct,
        "bright": bright,
        "both": both,
        "loss_tank_ppm": loss_tank.0,
        "loss_direct_ppm": loss_direct.0,
        "carbonating": match carbonating {
            Carbonating::Forced => "forced",
            Carbonating::No => "none",
            Carbonating::InPackage => "in package",
        },
        "carbonation": carbonation.0,
        "carbonated_at": carbonated_at.0,
        "spund": spund.map(|spund| json!({"carbonation": spund.carbonation.0, "at": spund.at.0})),
        "nitrogen": nitrogen.map(|nitrogen| json!({"pressure": nitrogen.pressure.0, "takes": nitrogen.takes.0})),
        "during_chill": during_chill,
        "pump": pump,
        "split": match split {
            Split::Needed => "needed",
            Split::Free => "free",
            Split::Never => "never",
        },
        "blend": blend,
        "filter": filter,
        "packaged": packaged.iter().map(|one| json!({
            "format": one.format.0, "contribution": one.contribution.0,
        })).collect::<Vec<_>>(),
        "release": release,
        "fresh": fresh,
        "sales": sales.map(|sales| sales.0),
        "tank_work": vessels::tank_work(tank_work),
        "marks": marks.0,
    })
}

fn rates(rates: &Rates) -> Value {
    let Rates {
        labour,
        clean,
        sanitise,
        transfer,
        gas,
        waiting,
        dirty,
        short_run,
        missed_firm,
        surplus,
        surplus_weeks,
        to_package,
        dry_tap: _,
        over_limit,
        dump,
    } = rates;
    json!({
        "labour": labour.0,
        "clean": clean.0,
        "sanitise": sanitise.0,
        "transfer": transfer.0,
        "gas": gas.0,
        "waiting": waiting.0,
        "dirty": dirty.0,
        "short_run": short_run.0,
        "missed_firm_ppm": missed_firm.0,
        "surplus_ppm": surplus.0,
        "surplus_weeks": surplus_weeks,
        "to_package": to_package.0,
        "over_limit": over_limit.0,
        "dump": dump.0,
    })
}
