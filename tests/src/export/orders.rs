//! Orders, stores, stock and materials of a case.

use cellarwright_model::case::{Case, Each, Material, Order, Stock, StoreUnit};
use serde_json::{Value, json};

/// Orders.
pub fn orders(case: &Case) -> Value {
    let one = |order: &Order| {
        let Order { name: _, beer, format, quantity, due, firm, likely, whole, late, fresh } = order;
        json!({
            "beer": beer.0,
            "format": format.0,
            "quantity": quantity.0,
            "due": due,
            "firm": firm,
            "likely_ppm": likely.0,
            "whole": whole,
            "late": late.map(|late| json!({"at_most": late.at_most, "cost": late.cost.0})),
            "fresh": fresh,
        })
    };
    case.orders.iter().map(one).collect()
}

/// The cold store.
pub fn cold_store(case: &Case) -> Value {
    match &case.cold_store {
        None => Value::Null,
        Some(store) => json!({
            "by_pallets": store.unit == StoreUnit::Pallets,
            "holds": store.holds,
            "overflow": store.overflow,
            "cost": store.cost.0,
            "formats": store.formats.iter().map(|format| format.0).collect::<Vec<_>>(),
        }),
    }
}

/// Stock that is to be kept.
pub fn keep(case: &Case) -> Value {
    case.keep
        .iter()
        .map(|keep| {
            json!({
                "beer": keep.beer.0,
                "format": keep.format.0,
                "at_least": keep.at_least.0,
                "cost": keep.cost.0,
                "on_sundays_only": keep.each == Each::Week,
            })
        })
        .collect()
}

/// Packaged beer on day 0.
pub fn stock(case: &Case) -> Value {
    let one = |stock: &Stock| {
        let Stock { beer, format, quantity, from, packaged_on } = stock;
        json!({"beer": beer.0, "format": format.0, "quantity": quantity.0, "from": from, "packaged_on": packaged_on})
    };
    case.stock.iter().map(one).collect()
}

/// Cans, labels and the like.
pub fn materials(case: &Case) -> Value {
    let one = |material: &Material| {
        let Material { name: _, uses, beers, in_stock, lead, least_order, pack, price_per_1000, deliveries } =
            material;
        json!({
            "uses": uses.iter().map(|(format, pieces)| json!([format.0, pieces])).collect::<Vec<_>>(),
            "beers": beers.as_ref().map(|beers| beers.iter().map(|beer| beer.0).collect::<Vec<_>>()),
            "in_stock": in_stock,
            "lead": lead,
            "least_order": least_order,
            "pack": pack,
            "price_per_1000": price_per_1000.0,
            "deliveries": deliveries.iter().map(|(day, pieces)| json!([day, pieces])).collect::<Vec<_>>(),
        })
    };
    case.materials.iter().map(one).collect()
}
