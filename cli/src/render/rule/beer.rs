//! Numbers of rules about beers: stay, waiting, losses, tank work, yeast, what is poured.

use cellarwright_model::case::{Beer, Carbonating, Case, Split};
use cellarwright_model::units::Volume;

use super::super::numbers::{heat, price_of_volume, volume_of};
use super::numbers::{percent, time};
use super::together;

fn each(case: &Case, wanted: impl Fn(&Beer) -> bool, say: impl Fn(&Beer) -> String) -> Vec<String> {
    together(case.beers.iter().filter(|beer| wanted(beer)).map(|beer| (beer.name.clone(), say(beer))))
}

/// R01
pub fn one_batch(case: &Case) -> Vec<String> {
    let mut lines = vec![format!("`fill_within`: {}", time(case.brewhouse.fill_within))];
    let blends = case.beers.iter().filter(|beer| beer.blend).map(|beer| beer.name.as_str());
    let blends: Vec<&str> = blends.collect();
    if !blends.is_empty() {
        lines.push(format!("`blend`: {}", blends.join(", ")));
    }
    lines
}

/// R04
pub fn ready(case: &Case) -> Vec<String> {
    each(
        case,
        |_| true,
        |beer| {
            let parts: Vec<String> =
                beer.stay.iter().map(|stage| format!("{} {} d", stage.name, stage.days)).collect();
            format!("{} d from the last turn ({})", beer.stay_days(), parts.join(", "))
        },
    )
}

/// R05
pub fn wait(case: &Case) -> Vec<String> {
    let mut lines = each(
        case,
        |_| true,
        |beer| {
            let bright = match beer.bright {
                true => format!(
                    "; in a bright tank {} d free, gone by {} d",
                    beer.bright_wait, beer.bright_must_leave
                ),
                false => String::new(),
            };
            format!("{} d free, gone {} d after the last turn{bright}", beer.may_wait, beer.must_leave)
        },
    );
    lines.push(format!(
        "waiting longer costs {} and day",
        price_of_volume(case.show_units, case.rates.waiting)
    ));
    lines
}

/// R12
pub fn volume(case: &Case) -> Vec<String> {
    let mut lines = each(
        case,
        |_| true,
        |beer| {
            let direct = match beer.direct {
                true => format!(", direct {}", percent(beer.loss_direct)),
                false => String::new(),
            };
            format!("left in the tank {}{direct}", percent(beer.loss_tank))
        },
    );
    let transfer = &case.transfer;
    lines.push(format!(
        "a transfer: {} + {}",
        case.show_units.size(transfer.loss_fixed),
        percent(transfer.loss_share)
    ));
    lines.extend(together(case.lines.iter().map(|line| {
        (
            format!("line {}", line.name),
            format!("{} for each beer and shift", case.show_units.size(line.loss)),
        )
    })));
    lines.extend(together(case.formats.iter().map(|format| {
        (format.name.clone(), format!("{}, overfill {}", percent(format.loss), percent(format.overfill)))
    })));
    lines
}

/// R17
pub fn tank_work(case: &Case) -> Vec<String> {
    let mut lines = Vec::new();
    for beer in &case.beers {
        for work in &beer.tank_work {
            lines.push(format!(
                "{}, {}: on day {}, up to {} d early and {} d late, contact {} d, {} of people",
                beer.name,
                work.name,
                work.day,
                work.early,
                work.slip,
                work.contact,
                time(work.job.crew.0.into_iter().sum())
            ));
        }
    }
    lines.extend(case.cooling.chills_a_day.map(|most| format!("chills a day: {most}")));
    lines.extend(case.cooling.heat_a_day.map(|most| format!("heat a day: {}", heat(case.show_units, most))));
    lines
}

/// R18
pub fn yeast(case: &Case) -> Vec<String> {
    let strains =
        case.yeast.strains.iter().map(|yeast| {
            let mut parts = Vec::new();
            parts.extend(
                yeast
                    .bought
                    .map(|bought| format!("bought at {}, {} d after ordering", bought.price, bought.lead)),
            );
            parts.extend(yeast.crop.map(|crop| {
                format!("cropped on days {} to {}, {} pitches", crop.from, crop.to, crop.pitches)
            }));
            parts.push(format!(
                "keeps {} d, {} d at most, up to generation {}",
                yeast.keeps, yeast.keeps_at_most, yeast.generations
            ));
            format!("{}: {}", yeast.name, parts.join("; "))
        });
    strains.collect()
}

/// R19
pub fn serving(case: &Case) -> Vec<String> {
    let mut lines = Vec::new();
    for tap in &case.taproom.pours {
        let week: i64 = tap.a_day.iter().map(|volume| volume.0).sum();
        lines.push(format!(
            "{}: {} a week asked for, poured within {} d of the fill",
            case.beer(tap.beer).name,
            volume_of(case.show_units, Volume(week).hectolitres()),
            tap.pour_within
        ));
    }
    let tanks = case.vessels.iter().filter(|vessel| vessel.uses.serve);
    lines.extend(together(tanks.map(|vessel| (vessel.name.clone(), format!("rest {}", time(vessel.rest))))));
    if case.taproom.pours.is_empty() { Vec::new() } else { lines }
}

/// R22
pub fn stages(case: &Case) -> Vec<String> {
    each(
        case,
        |beer| beer.bright,
        |beer| {
            match beer.split {
                Split::Needed => "more than one transfer only where no bright tank takes the batch",
                Split::Free => "up to four transfers within three working days of the first",
                Split::Never => "one transfer",
            }
            .to_owned()
        },
    )
}

/// R26
pub fn warm_store(case: &Case) -> Vec<String> {
    let Some(holds) = case.warm_store else { return Vec::new() };
    let beers = case.beers.iter().filter(|beer| beer.carbonating == Carbonating::InPackage);
    let mut lines = vec![format!("holds {}", case.show_units.size(holds))];
    lines.extend(beers.map(|beer| format!("{}: {} d", beer.name, beer.release)));
    lines
}
