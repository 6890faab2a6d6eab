//! Packaged beer of one discrete choice: which lot goes to which order on which day, and what is left.
//!
//! Every delivery of every lot is a column of its own, so that nothing is said about the order in which beer is taken.

use std::collections::BTreeMap;

use cellarwright_model::calendar::Slot;
use cellarwright_model::case::{Carbonating, Each, StoreUnit};
use cellarwright_model::ids::{BeerId, FormatId, OrderId};

use super::bound::{order_price, surplus_price};
use super::facts::Facts;
use super::leaf::Meaning;
use super::simplex::{Linear, Sense};

/// The days chosen for orders that are delivered whole or not at all.
pub type Chosen = BTreeMap<OrderId, Option<i64>>;

/// Packaged beer: how much (a column times a factor, or opening stock), from when it can be delivered, how old it is.
struct Lot {
    from: i64,
    packaged: i64,
    pack: Option<(usize, f64)>,
    stock: f64,
}

/// All choices for the orders that are delivered whole.
pub fn choices(facts: &Facts) -> Vec<Chosen> {
    let mut all = vec![Chosen::new()];
    for id in facts.case.order_ids().filter(|&id| facts.case.order(id).whole) {
        let mut longer = Vec::new();
        for chosen in all {
            for day in [None].into_iter().chain(days(facts, id).into_iter().map(Some)) {
                let mut one = chosen.clone();
                one.insert(id, day);
                longer.push(one);
            }
        }
        all = longer;
    }
    all
}

/// R13: the due day, and delivery days after it as long as the order may be late.
fn days(facts: &Facts, id: OrderId) -> Vec<i64> {
    let order = facts.case.order(id);
    let calendar = &facts.case.calendar;
    let late = order.late.map_or(0, |late| late.at_most);
    let all = order.due..=order.due + late;
    all.filter(|&day| {
        (0..=calendar.days() as i64).contains(&day) && (day == order.due || calendar.delivers(day))
    })
    .collect()
}

/// R13: deliveries from what is there and fresh enough, the rest as surplus.
pub fn goods(facts: &Facts, chosen: &Chosen, linear: &mut Linear, meaning: &mut Meaning) {
    let case = facts.case;
    assert!(case.beers.iter().all(|beer| beer.sales.is_none()), "the brute force knows no limit of sales");
    for id in case.order_ids() {
        let order = case.order(id);
        let mut all = Vec::new();
        for day in days(facts, id) {
            let late = order.late.map_or(0, |late| late.cost.0 * (day - order.due));
            let column = linear.column(order_price(facts, order) - late as f64);
            if let Some(&on) = chosen.get(&id) {
                let volume = if on == Some(day) { order.quantity.hectolitres() } else { 0.0 };
                linear.row(vec![(column, 1.0)], Sense::Equal, volume);
            }
            if day == order.due && facts.filled.contains(&id) {
                linear.row(vec![(column, 1.0)], Sense::Equal, order.quantity.hectolitres());
            }
            meaning.deliveries.insert((id, day), column);
            all.push((column, 1.0));
        }
        if !all.is_empty() {
            linear.row(all, Sense::Most, order.quantity.hectolitres());
        }
    }
    for beer in case.beer_ids() {
        for packaged in &case.beer(beer).packaged {
            one_kind(facts, beer, packaged.format, linear, meaning);
        }
    }
    cold_store(facts, linear, meaning);
    least_stock(facts, linear, meaning);
}

/// What is packaged and not delivered of a beer in a format at the end of a day: terms and a constant.
fn stands(
    facts: &Facts,
    goods: (BeerId, FormatId),
    day: i64,
    is_warm_apart: bool,
    meaning: &Meaning,
) -> (Vec<(usize, f64)>, f64) {
    let apart = is_warm_apart && facts.case.beer(goods.0).carbonating == Carbonating::InPackage;
    let (mut terms, mut constant) = (Vec::new(), 0.0);
    for lot in lots(facts, goods.0, goods.1, meaning) {
        let from = if apart { lot.from } else { lot.packaged };
        if from <= day {
            constant += lot.stock;
            terms.extend(lot.pack);
        }
    }
    for (&(id, on), &column) in &meaning.deliveries {
        let order = facts.case.order(id);
        if (order.beer, order.format) == goods && on <= day {
            terms.push((column, -1.0));
        }
    }
    (terms, constant)
}

/// R13: the cold store at the end of each day.
fn cold_store(facts: &Facts, linear: &mut Linear, meaning: &Meaning) {
    let case = facts.case;
    let Some(store) = &case.cold_store else { return };
    assert!(store.unit == StoreUnit::Volume, "the brute force counts hectolitres");
    let before = case.stock.iter().filter(|stock| {
        store.formats.contains(&stock.format)
            && (stock.from <= 0 || case.beer(stock.beer).carbonating != Carbonating::InPackage)
    });
    let before: i64 = before.map(|stock| stock.quantity.0).sum();
    let most = before.max(store.holds + store.overflow);
    for day in 0..case.calendar.planned_days as i64 {
        let (mut all, mut room) = (Vec::new(), store.holds as f64 / 1e5);
        for beer in case.beer_ids() {
            for packaged in case.beer(beer).packaged.iter().filter(|one| store.formats.contains(&one.format))
            {
                let (terms, constant) = stands(facts, (beer, packaged.format), day, true, meaning);
                all.extend(terms);
                room -= constant;
            }
        }
        let over = linear.column(-(store.cost.0 as f64));
        linear.row(vec![(over, 1.0)], Sense::Most, (most - store.holds) as f64 / 1e5);
        all.push((over, -1.0));
        linear.row(all, Sense::Most, room);
    }
}

/// R13: stocks that are to be kept.
fn least_stock(facts: &Facts, linear: &mut Linear, meaning: &Meaning) {
    for keep in &facts.case.keep {
        for day in 0..facts.case.calendar.planned_days as i64 {
            let weekday = facts.case.calendar.date(day).weekday();
            if keep.each == Each::Week && weekday != jiff::civil::Weekday::Sunday {
                continue;
            }
            let (mut terms, constant) = stands(facts, (keep.beer, keep.format), day, false, meaning);
            terms.push((linear.column(-(keep.cost.0 as f64)), 1.0));
            linear.row(terms, Sense::Least, keep.at_least.hectolitres() - constant);
        }
    }
}

fn lots(facts: &Facts, beer: BeerId, format: FormatId, meaning: &Meaning) -> Vec<Lot> {
    let case = facts.case;
    let kept = case.format(format).kept();
    let mut lots = Vec::new();
    for stock in case.stock.iter().filter(|stock| (stock.beer, stock.format) == (beer, format)) {
        let stock_there = stock.quantity.hectolitres();
        lots.push(Lot { from: stock.from, packaged: stock.packaged_on, pack: None, stock: stock_there });
    }
    let packs: Vec<(Slot, usize)> = meaning
        .packs
        .iter()
        .filter(|(key, _)| key.1 == beer && key.2 == format)
        .map(|(key, &column)| (key.0, column))
        .collect();
    for (slot, pack) in packs {
        let day = facts.day(slot);
        let from = facts.there_from(beer, day);
        lots.push(Lot { from, packaged: day, pack: Some((pack, kept)), stock: 0.0 });
    }
    lots
}

fn one_kind(facts: &Facts, beer: BeerId, format: FormatId, linear: &mut Linear, meaning: &mut Meaning) {
    let case = facts.case;
    let lots = lots(facts, beer, format, meaning);
    let mut out: Vec<Vec<(usize, f64)>> = vec![Vec::new(); lots.len()];
    for (&(id, day), &column) in &meaning.deliveries {
        let order = case.order(id);
        if (order.beer, order.format) != (beer, format) {
            continue;
        }
        let limit = order.fresh.or(case.beer(beer).fresh).unwrap_or(10_000);
        let mut shares = vec![(column, -1.0)];
        for (lot, out) in lots.iter().zip(&mut out) {
            if lot.from <= day && day - lot.packaged <= limit {
                let share = linear.column(0.0);
                shares.push((share, 1.0));
                out.push((share, 1.0));
            }
        }
        linear.row(shares, Sense::Equal, 0.0);
    }
    let contribution = case.beer(beer).contribution(format).unwrap_or_default();
    let end = case.calendar.days() as i64;
    for (lot, mut terms) in lots.iter().zip(out) {
        if case.beer(beer).fresh.is_none_or(|limit| end - lot.packaged <= limit) {
            terms.push((linear.column(surplus_price(facts, contribution.0)), 1.0));
        }
        terms.extend(lot.pack.map(|(pack, kept)| (pack, -kept)));
        if !terms.is_empty() {
            linear.row(terms, Sense::Most, lot.stock);
        }
    }
}
