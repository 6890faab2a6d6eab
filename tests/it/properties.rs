//! What must hold whatever the case: more of a resource never hurts, names and order do not matter, units do not matter.

use cellarwright_model::case::{Aim, Case, InTank};
use cellarwright_model::ids::{BeerId, VesselId};
use cellarwright_model::units::{MILLILITRES_PER_US_BARREL, Minutes, Volume};
use cellarwright_solver::{Answer, NoObserver, solve};
use cellarwright_tests::generator::make;

use crate::oracle::exact;

/// Cases of each property.
const SEEDS: std::ops::Range<u64> = 0..30;

fn best(case: &Case) -> Answer {
    solve(case, &exact(), &NoObserver).expect("it solves")
}

/// What rounding to cents, minutes and millilitres may cost, in the unit of the objective.
fn rounding(answer: &Answer) -> i64 {
    answer.objective.abs() / 20_000 + 3_000
}

fn never_worse(what: &str, change: impl Fn(&mut Case)) {
    for seed in SEEDS {
        let mut case = make(seed).case;
        for crew in &mut case.crews {
            // Overtime is worked and paid by the whole crew, so that one more person makes it dearer: not part of this.
            crew.overtime = None;
        }
        let mut more = case.clone();
        change(&mut more);
        let (before, after) = (best(&case), best(&more));
        let allowed = rounding(&before);
        let text = format!("seed {seed}: {what} makes {} of {}", after.objective, before.objective);
        assert!(after.objective >= before.objective - allowed, "{text}");
    }
}

#[test]
fn one_more_bright_tank_never_hurts() {
    never_worse("a bright tank", |case| {
        let more = case.vessels.iter().rfind(|vessel| vessel.is_bright_only()).cloned();
        if let Some(mut more) = more {
            more.name = "one more".into();
            case.vessels.push(more);
        }
    });
}

#[test]
fn one_more_fermenter_never_hurts() {
    never_worse("a fermenter", |case| {
        let more = case.vessels.iter().find(|vessel| vessel.uses.ferment).cloned();
        if let Some(mut more) = more {
            more.name = "one more".into();
            case.vessels.push(more);
        }
    });
}

#[test]
fn one_more_hour_never_hurts() {
    never_worse("an hour", |case| {
        for crew in &mut case.crews {
            crew.hours += Minutes(60);
        }
    });
}

#[test]
fn one_more_person_never_hurts() {
    never_worse("a person", |case| {
        case.crews[0].people += 1;
    });
}

fn same(what: &str, seed: u64, one: &Answer, other: &Answer) {
    let allowed = rounding(one);
    let text = format!("seed {seed}: {what}: {} and {}", one.objective, other.objective);
    assert!((one.objective - other.objective).abs() <= allowed, "{text}");
    assert!((one.bound - other.bound).abs() <= allowed, "{text}");
}

#[test]
fn names_and_the_order_of_the_file_do_not_matter() {
    for seed in SEEDS {
        let case = make(seed).case;
        let turned = turned(&case);
        same("renamed and reordered", seed, &best(&case), &best(&turned));
    }
}

/// The case with vessels, beers, crews and orders in the opposite order and other names.
fn turned(case: &Case) -> Case {
    let vessel = |id: VesselId| VesselId(case.vessels.len() - 1 - id.0);
    let beer = |id: BeerId| BeerId(case.beers.len() - 1 - id.0);
    let mut turned = case.clone();
    turned.vessels.reverse();
    turned.beers.reverse();
    turned.crews.reverse();
    turned.orders.reverse();
    turned.in_tank.reverse();
    for one in &mut turned.vessels {
        one.name = format!("Z{}", one.name);
    }
    for one in &mut turned.beers {
        one.name = format!("other {}", one.name);
    }
    for in_tank in &mut turned.in_tank {
        in_tank.vessel = vessel(in_tank.vessel);
        in_tank.beer = beer(in_tank.beer);
    }
    for one in &mut turned.orders {
        one.beer = beer(one.beer);
    }
    for stock in &mut turned.stock {
        stock.beer = beer(stock.beer);
    }
    for keep in &mut turned.keep {
        keep.beer = beer(keep.beer);
    }
    for dirty in &mut turned.dirty {
        *dirty = vessel(*dirty);
    }
    for never in turned.lines.iter_mut().flat_map(|line| &mut line.never_after) {
        never.beer = beer(never.beer);
        never.after = beer(never.after);
    }
    if let Aim::Output(Some(mix)) = &mut turned.aim {
        for share in &mut mix.shares {
            share.beer = beer(share.beer);
        }
    }
    turned
}

/// A brewery that counts in barrels where it counted in hectolitres: all volumes larger, all prices per volume smaller.
#[test]
fn a_larger_unit_of_volume_changes_nothing() {
    let factor = MILLILITRES_PER_US_BARREL / 100_000.0;
    let volume = |volume: &mut Volume| volume.0 = (volume.0 as f64 * factor).round() as i64;
    for seed in SEEDS {
        let case = make(seed).case;
        if case.aim != Aim::Orders {
            continue;
        }
        let mut scaled = case.clone();
        volume(&mut scaled.brewhouse.turn);
        volume(&mut scaled.transfer.loss_fixed);
        for vessel in &mut scaled.vessels {
            volume(&mut vessel.holds);
            volume(&mut vessel.least);
        }
        for line in &mut scaled.lines {
            line.speed.0 = (line.speed.0 as f64 * factor).round() as i64;
            volume(&mut line.loss);
            volume(&mut line.least_run);
        }
        for InTank { filled, .. } in &mut scaled.in_tank {
            volume(filled);
        }
        for order in &mut scaled.orders {
            volume(&mut order.quantity);
        }
        for stock in &mut scaled.stock {
            volume(&mut stock.quantity);
        }
        if let Some(store) = &mut scaled.cold_store {
            for room in [&mut store.holds, &mut store.overflow] {
                *room = (*room as f64 * factor).round() as i64;
            }
        }
        for keep in &mut scaled.keep {
            volume(&mut keep.at_least);
        }
        let price = |money: &mut cellarwright_model::units::Money| {
            money.0 = (money.0 as f64 / factor).round() as i64;
        };
        for packaged in scaled.beers.iter_mut().flat_map(|beer| &mut beer.packaged) {
            price(&mut packaged.contribution);
        }
        for late in scaled.orders.iter_mut().filter_map(|order| order.late.as_mut()) {
            price(&mut late.cost);
        }
        if let Some(store) = &mut scaled.cold_store {
            price(&mut store.cost);
        }
        for keep in &mut scaled.keep {
            price(&mut keep.cost);
        }
        let rates = &mut scaled.rates;
        for money in [
            &mut rates.gas,
            &mut rates.waiting,
            &mut rates.short_run,
            &mut rates.to_package,
            &mut rates.over_limit,
            &mut rates.dump,
        ] {
            price(money);
        }
        let (one, other) = (best(&case), best(&scaled));
        // Prices per volume are rounded to whole cents: half a cent in the lowest of them is half a per cent of it.
        let rounded_prices = one.objective.abs() / 1_000 + 8_000;
        let text = format!("seed {seed}: {} hL, {} bbl", one.objective, other.objective);
        assert!((one.objective - other.objective).abs() <= rounded_prices, "{text}");
    }
}
