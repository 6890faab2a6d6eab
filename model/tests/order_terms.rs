//! Reading the terms of orders, and weekly rates.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

mod sample;

use cellarwright_model::case::{Each, StoreUnit};
use cellarwright_model::units::{Money, Share, Volume};
use cellarwright_model::yaml::{ReadOutcome, read_texts};
use sample::{BREWPLAN, CELLAR, ORDERS};

fn read(brewplan: &str, cellar: &str, orders: &str) -> ReadOutcome {
    read_texts(&[
        ("brewplan.yaml", brewplan.as_bytes()),
        ("cellar.yaml", cellar.as_bytes()),
        ("orders.csv", orders.as_bytes()),
    ])
}

#[test]
fn terms_of_orders_are_read_from_both_files() {
    let csv = "name,beer,format,quantity,due,firm,likely,whole,late,late_cost,fresh\n\
        A,Pale,can case,12 hL,2026-12-11,,,yes,3 d,2.50,\n\
        B,Stout,can case,240 packages,2026-12-18,,70 %,,,,21 d\n\
        C,Pale,can case,1 hL,2026-12-05,yes,,no,4 d,5,\n";
    let outcome = read(BREWPLAN, CELLAR, csv);
    assert_eq!(outcome.findings, Vec::new());
    let orders = outcome.case.unwrap().orders;
    assert_eq!((orders[0].firm, orders[0].whole, orders[0].fresh), (true, true, None));
    assert_eq!(orders[0].late.map(|late| (late.at_most, late.cost)), Some((3, Money(250))));
    assert_eq!((orders[1].firm, orders[1].likely, orders[1].fresh), (false, Share(700_000), Some(21)));
    assert_eq!((orders[2].due, orders[2].last_day()), (-2, 2), "an order that is late already");
    let inline = "orders: [{name: A, beer: Pale, format: can case, quantity: 12 hL, due: 2026-12-11, whole: yes, \
        late: {at_most: 3 d, cost: 2.50}}]";
    let outcome = read(&BREWPLAN.replace("orders: orders.csv", inline), CELLAR, ORDERS);
    assert_eq!(outcome.case.unwrap().orders[0], orders[0]);
    for (cells, code) in [
        ("some,", "V112"),
        (",3", "V301"),
        (",3 x", "V302"),
        (",-3 d", "V303"),
        (",900 d", "V304"),
        (",2 d", "V111"),
    ] {
        let csv = format!("beer,format,quantity,due,whole,late\nPale,can case,12 hL,2026-12-11,{cells}\n");
        let codes: Vec<&str> =
            read(BREWPLAN, CELLAR, &csv).findings.iter().map(|finding| finding.code).collect();
        assert_eq!(codes, [code], "{cells}");
    }
}

#[test]
fn weekly_rates_are_written_out_as_orders() {
    let rates = "rates:\n  - {name: pubs, beer: Pale, format: can case, a_week: 10 hL, due: [tue, fri], to: 2026-12-26}\n  \
        - {beer: Stout, format: can case, a_week: 100 packages, from: 2027-01-08, likely: 50 %, late: {at_most: 2 d, cost: 1}}";
    let brewplan = BREWPLAN.replace("orders: orders.csv", rates);
    let outcome = read(&brewplan, CELLAR, ORDERS);
    assert_eq!(outcome.findings, Vec::new());
    let case = outcome.case.unwrap();
    let pubs: Vec<(i64, Volume, bool)> = case
        .orders
        .iter()
        .filter(|order| order.beer.0 == 0)
        .map(|order| (order.due, order.quantity, order.firm))
        .collect();
    // Tuesdays and Fridays of three weeks; Christmas Day, day 18, is closed, so its order is due on the day before.
    let half = Volume(500_000);
    let expected = [1, 4, 8, 11, 15, 17].map(|due| (due, half, false));
    assert_eq!(pubs, expected);
    let stout: Vec<&str> =
        case.orders.iter().filter(|order| order.beer.0 == 1).map(|order| order.name.as_str()).collect();
    assert_eq!(stout, ["rate 2, 2027-01-08", "rate 2, 2027-01-15"]);
    assert_eq!(case.orders[6].quantity, Volume(100 * 10_560));
    assert_eq!(
        (case.orders[6].likely, case.orders[6].late.map(|late| late.at_most)),
        (Share(500_000), Some(2))
    );
}

#[test]
fn the_cold_store_counts_volume_or_pallets() {
    let with = |store: &str, pallet: &str| {
        let cellar = CELLAR.replace("formats:\n", &format!("cold_store: {store}\nformats:\n"));
        let cellar = cellar.replace("24 x 440 mL, loss", &format!("24 x 440 mL, {pallet}loss"));
        let keep =
            "keep: [{beer: Pale, format: can case, at_least: 100 packages, cost: 3, each: week}]\nstock:\n";
        let outcome = read(&BREWPLAN.replace("stock:\n", keep), &cellar, ORDERS);
        assert_eq!(outcome.findings, Vec::new());
        outcome.case.unwrap()
    };
    let case = with("{holds: 120 hL, overflow: {at_most: 40 hL, cost: 2}}", "");
    let store = case.cold_store.clone().unwrap();
    assert_eq!((store.unit, store.holds, store.overflow), (StoreUnit::Volume, 12_000_000, 4_000_000));
    assert_eq!((store.cost, store.formats.len()), (Money(200), 1));
    assert_eq!(case.stored_before(&store), 300_000);
    assert_eq!((case.keep[0].at_least, case.keep[0].each), (Volume(1_056_000), Each::Week));
    // A hundred cases on a pallet: 3 hL are 28.4 cases.
    let case = with("{holds: 30 pallets}", "pallet: 100, ");
    let store = case.cold_store.clone().unwrap();
    assert_eq!((store.unit, store.holds, store.overflow), (StoreUnit::Pallets, 30_000_000, 0));
    assert_eq!(case.stored_before(&store), 284_091);
}
