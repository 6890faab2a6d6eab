//! What the tanks can make, and orders for about as much.

use std::fmt::Write;

use jiff::civil::Date;

use super::beers::Recipe;
use super::size::Size;
use super::{Brewery, Days, Random, names};

/// A beer in a format.
pub struct Product {
    /// Position of the beer.
    pub beer: usize,
    /// Name of the format.
    pub format: &'static str,
    /// Position of its line.
    pub line: usize,
    /// What it earns, for each hL.
    pub contribution: i64,
    /// Weight of its share in the demand.
    weight: i64,
    /// Ordered in a mean week, L.
    pub weekly_litres: i64,
    /// Packaged and in stock on day 0, hL.
    pub stock: i64,
}

/// An order.
pub struct Order {
    name: String,
    product: usize,
    hectolitres: i64,
    due: Date,
    is_firm: bool,
}

/// Days from emptying to filling, beside the days in tank: one to empty and one to clean and fill.
const TURNAROUND: i64 = 2;
/// Losses after the fermenter and at the lines, taken together, in per cent.
const LATER_LOSSES: i64 = 3;

/// Tenths of days for which a batch keeps a fermenter: stay and turnaround, by shares of demand.
pub fn residence_tenths(recipes: &[Recipe]) -> i64 {
    let weights: i64 = recipes.iter().map(|recipe| recipe.weight).sum();
    let days: i64 = recipes.iter().map(|recipe| recipe.weight * (recipe.stay() + TURNAROUND)).sum();
    days * 10 / weights
}

/// Litres that fermenters can make in so many days: filled again and again with beer of this residence (tenths of days) and tank
/// loss (per cent).
#[must_use]
pub fn capacity_litres(hold_litres: i64, days: i64, residence_tenths: i64, loss_percent: i64) -> i64 {
    hold_litres * days * 10 / residence_tenths * (100 - loss_percent - LATER_LOSSES) / 100
}

/// Draws which beer comes in which formats, and the shares.
pub fn products(size: &Size, recipes: &[Recipe], random: &mut Random) -> Vec<Product> {
    let formats: Vec<(usize, &'static str)> = size
        .lines
        .iter()
        .enumerate()
        .flat_map(|(line, kind)| kind.formats.iter().map(move |format| (line, format.0)))
        .collect();
    let mut products = Vec::new();
    for (beer, recipe) in recipes.iter().enumerate() {
        let count = if size.fixed_products { 2 + beer % 2 } else { random.between(1, 2) as usize };
        let step = random.between(1, formats.len() as i64 - 1) as usize;
        let mut taken: Vec<usize> = Vec::new();
        let mut next = beer % formats.len();
        while taken.len() < count {
            if taken.contains(&next) {
                next = (next + 1) % formats.len();
            } else {
                taken.push(next);
                next = (next + step) % formats.len();
            }
        }
        for (line, format) in taken.into_iter().map(|format| formats[format]) {
            let is_keg = format.contains("keg");
            products.push(Product {
                beer,
                format,
                line,
                contribution: if is_keg { random.between(40, 52) } else { random.between(52, 76) } * 5,
                weight: recipe.weight * random.between(40, 60) / count as i64,
                weekly_litres: 0,
                stock: 0,
            });
        }
    }
    products
}

/// Sets what is ordered in a mean week and what is in stock, for a demand of so many per cent of what the tanks can make.
pub fn set_levels(
    size: &Size,
    recipes: &[Recipe],
    products: &mut [Product],
    demand_percent: i64,
    random: &mut Random,
) {
    let weights: i64 = recipes.iter().map(|recipe| recipe.weight).sum();
    let loss = recipes.iter().map(|recipe| recipe.weight * recipe.loss).sum::<i64>() / weights;
    let made = capacity_litres(size.fermenters_hold() * 100, 7, residence_tenths(recipes), loss);
    let all: i64 = products.iter().map(|product| product.weight).sum();
    for product in products {
        product.weekly_litres = made * demand_percent / 100 * product.weight / all;
        product.stock = product.weekly_litres * random.between(20, 80) / 10_000;
    }
}

/// Draws the orders: week by week 70 to 130 parts of the mean, small amounts gathered until they make an order. What is in
/// stock is ordered besides.
pub fn orders(
    size: &Size,
    products: &[Product],
    days: &Days,
    words: &[&str],
    random: &mut Random,
) -> Vec<Order> {
    let customers = names::customers(words, random);
    let mut orders = Vec::new();
    let least_litres = (size.turn * 10).max(100);
    for (number, product) in products.iter().enumerate() {
        let parts: Vec<i64> = (0..size.weeks).map(|_| random.between(70, 130)).collect();
        let whole: i64 = parts.iter().sum();
        let ordered = product.weekly_litres * size.weeks + product.stock * 100;
        let mut open = 0;
        for (week, part) in (0..).zip(parts) {
            open += ordered * part / whole;
            if open < least_litres && week < size.weeks - 1 {
                continue;
            }
            let pieces = if open > size.turn * 300 { 2 } else { 1 };
            for piece in (1..=pieces).rev() {
                let hectolitres = (open / piece + 50) / 100;
                open -= hectolitres * 100;
                if hectolitres == 0 {
                    continue;
                }
                let customer = &customers[random.between(0, customers.len() as i64 - 1) as usize];
                let name = format!("{customer} {}", orders.len() + 1);
                let due = days.due(week, random);
                orders.push(Order { name, product: number, hectolitres, due, is_firm: random.percent(60) });
            }
        }
    }
    orders.sort_by_key(|order| order.due);
    orders
}

/// Writes `orders.csv`.
pub fn write(brewery: &Brewery) -> String {
    let mut text = String::from("name,beer,format,quantity,due,firm\n");
    for order in &brewery.orders {
        let product = &brewery.products[order.product];
        let firm = if order.is_firm { "yes" } else { "no" };
        let beer = &brewery.recipes[product.beer].name;
        let Order { name, hectolitres, due, .. } = order;
        let _ = writeln!(text, "{name},{beer},{},{hectolitres} hL,{due},{firm}", product.format);
    }
    text
}
