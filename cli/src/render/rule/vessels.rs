//! Numbers of rules about vessels: fills, cleaning, pressure, reach.

use cellarwright_model::case::{Case, Marks, Turnaround, Vessel};

use super::super::numbers::{pressure_in_both, rate};
use super::numbers::time;
use super::together;

fn each(case: &Case, wanted: impl Fn(&Vessel) -> bool, say: impl Fn(&Vessel) -> String) -> Vec<String> {
    together(
        case.vessels.iter().filter(|vessel| wanted(vessel)).map(|vessel| (vessel.name.clone(), say(vessel))),
    )
}

fn shift(turnaround: Turnaround) -> &'static str {
    match turnaround {
        Turnaround::SameShift => "the same shift",
        Turnaround::NextShift => "the next shift",
    }
}

/// R02
pub fn fill_level(case: &Case) -> Vec<String> {
    each(
        case,
        |_| true,
        |vessel| format!("{} to {}", case.show_units.size(vessel.least), case.show_units.size(vessel.holds)),
    )
}

/// R06
pub fn bright_rest(case: &Case) -> Vec<String> {
    let say = |vessel: &Vessel| {
        let mut parts = Vec::new();
        if vessel.is_bright_only() {
            parts.push(format!("clean {}", time(vessel.clean.takes)));
        }
        if vessel.purge.job.takes.0 > 0 {
            parts.push(format!("purge {}", time(vessel.purge.job.takes)));
        }
        parts.push(format!("transfer {}", time(case.transfer.takes())));
        let refill = shift(vessel.refill);
        format!(
            "{} within a shift, then carbonating {}; filled again in {refill} after its last packaging",
            parts.join(" + "),
            time(case.carbonate.takes)
        )
    };
    each(case, |vessel| vessel.uses.bright, say)
}

/// R07
pub fn direct(case: &Case) -> Vec<String> {
    let can = case.vessels.iter().filter(|vessel| vessel.uses.package);
    let names: Vec<&str> = can.map(|vessel| vessel.name.as_str()).collect();
    let beers = case.beers.iter().filter(|beer| beer.direct);
    let beers: Vec<&str> = beers.map(|beer| beer.name.as_str()).collect();
    if names.is_empty() || beers.is_empty() {
        return Vec::new();
    }
    vec![
        format!("packaged from: {}", names.join(", ")),
        format!("beers: {}", beers.join(", ")),
        format!("carbonating {}", time(case.carbonate.takes)),
    ]
}

/// R08
pub fn clean(case: &Case) -> Vec<String> {
    let mut lines = each(
        case,
        |_| true,
        |vessel| {
            let after = match (vessel.is_bright_only(), vessel.clean_after) {
                (true, _) => "with its fill",
                (false, Turnaround::SameShift) => "in the shift that empties it, or later",
                (false, Turnaround::NextShift) => "in the shift after it is emptied, or later",
            };
            format!("cleaned in {}, {after}", time(vessel.clean.takes))
        },
    );
    lines.push(match case.cleaning.named.as_slice() {
        [] => format!("cleaning sets: {}", case.cleaning_sets),
        names => format!("cleaning sets: {}", names.join(", ")),
    });
    lines.push(format!(
        "stays clean {}, then sanitised in {}",
        time(case.cleaning.stays_clean),
        time(case.sanitise.takes)
    ));
    lines.extend(case.cleaning.clean_within.map(|days| format!("cleaned within {days} working days")));
    lines.push(format!("dirty for longer than a working day costs {} a day", case.rates.dirty));
    lines
}

/// R11
pub fn pressure(case: &Case) -> Vec<String> {
    let mut lines = each(
        case,
        |_| true,
        |vessel| {
            format!(
                "rated {}, relief {}",
                pressure_in_both(case.show_units, vessel.rated),
                pressure_in_both(case.show_units, vessel.relief)
            )
        },
    );
    let margin = case.pressure.below_relief.as_fraction() * 100.0;
    lines.push(format!(
        "margin {margin:.1} %, on top of equilibrium {}",
        pressure_in_both(case.show_units, case.pressure.breakout)
    ));
    lines.push("`cellarwright pressure` compares every beer with every vessel".to_owned());
    lines
}

/// R21
pub fn uses(case: &Case) -> Vec<String> {
    each(
        case,
        |_| true,
        |vessel| {
            let uses = vessel.uses;
            let all = [
                (uses.ferment, "ferment"),
                (uses.package, "package"),
                (uses.condition, "condition"),
                (uses.bright, "bright"),
                (uses.serve, "serve"),
            ];
            all.into_iter().filter(|(has, _)| *has).map(|(_, word)| word).collect::<Vec<_>>().join(", ")
        },
    )
}

/// R24
pub fn filter(case: &Case) -> Vec<String> {
    let mut lines = Vec::new();
    for filter in &case.filters {
        lines.push(format!(
            "{}: {}, start-up {}, change {}",
            filter.name,
            rate(case.show_units, filter.rate),
            time(filter.start_up),
            time(filter.change)
        ));
    }
    lines.extend(case.transfer.at_once.map(|most| format!("transfers at once: {most}")));
    for vessel in &case.vessels {
        let Some(reached) = &vessel.reaches else { continue };
        let vessels = reached.vessels.iter().map(|&id| case.vessel(id).name.as_str());
        let names: Vec<&str> =
            vessels.chain(reached.lines.iter().map(|&id| case.line(id).name.as_str())).collect();
        let names = if names.is_empty() { "nothing".to_owned() } else { names.join(", ") };
        lines.push(format!("{} reaches {names}", vessel.name));
    }
    lines
}

/// R27
pub fn full_clean(case: &Case) -> Vec<String> {
    each(
        case,
        |vessel| vessel.full_clean.is_some(),
        |vessel| {
            let Some(full) = vessel.full_clean else { return String::new() };
            let mut due = Vec::new();
            due.extend(full.every.map(|fills| format!("after {fills} fills")));
            for (position, mark) in case.cleaning.marks.iter().enumerate() {
                if full.after.common(Marks(1 << position)) != Marks::NONE {
                    due.push(format!("after a beer with the mark {mark} and before one without it"));
                }
            }
            format!("{}, {}", time(full.job.takes), due.join(", "))
        },
    )
}
