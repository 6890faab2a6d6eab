//! Breweries of five sizes, drawn from a seed: the cases of `cases/scale`. `cases/scale/README.md` says how they are set up.
//!
//! Whole numbers only, so that every machine writes the same bytes.

mod beers;
mod brewplan;
mod cellar;
mod demand;
mod names;
mod opening;
mod size;

use std::path::PathBuf;

use jiff::Span;
use jiff::civil::Date;

use crate::random::Random;
use beers::Recipe;
use demand::{Order, Product};

pub use demand::capacity_litres;
pub use size::{PUBLISHED, SIZES, Size};

/// Seeds with committed files.
pub const SEEDS: std::ops::RangeInclusive<u64> = 1..=5;

/// A file of a case.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct File {
    /// Its name, without a folder.
    pub name: &'static str,
    /// What is in it.
    pub text: String,
}

/// A drawn brewery before it is written.
struct Brewery {
    size: &'static Size,
    name: String,
    days: Days,
    recipes: Vec<Recipe>,
    products: Vec<Product>,
    orders: Vec<Order>,
    /// Demand as a share of what the tanks can make, in per cent.
    demand_percent: i64,
}

/// Where the files of a case stand.
#[must_use]
pub fn folder(size: &Size, seed: u64) -> PathBuf {
    let cases = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../cases/scale");
    cases.join(format!("{}-{seed}", size.name))
}

/// The files of the case of a size and a seed.
#[must_use]
pub fn files(size: &'static Size, seed: u64) -> Vec<File> {
    let mut random = Random::new(seed * 1_000 + size.total_fermenters() as u64 * 7 + size.beers as u64);
    let days = Days::draw(size, seed, &mut random);
    let mut words = names::coined(&mut random);
    let name = format!("{} {}", words.pop().unwrap_or_default(), random.one_of(&names::PLACES));
    let recipes = beers::draw(size, &mut words, &mut random);
    let demand_percent = random.between(95, 105);
    let mut products = demand::products(size, &recipes, &mut random);
    demand::set_levels(size, &recipes, &mut products, demand_percent, &mut random);
    let orders = demand::orders(size, &products, &days, &words, &mut random);
    let brewery = Brewery { size, name, days, recipes, products, orders, demand_percent };
    let cellar = cellar::write(&brewery, &mut random);
    let common = brewplan::common(&brewery, &mut random);
    let whole = size.weeks * 7;
    vec![
        File { name: "cellar.yaml", text: cellar },
        File { name: "orders.csv", text: demand::write(&brewery) },
        File { name: "next-week.yaml", text: brewplan::head(&brewery, "Next week", 7, whole - 7) + &common },
        File { name: "all-weeks.yaml", text: brewplan::head(&brewery, "All weeks", whole, 0) + &common },
    ]
}

/// The days of a plan.
struct Days {
    /// A Monday.
    starts: Date,
    /// A day on which nobody works, not in the first week.
    closed: Date,
}

impl Days {
    fn draw(size: &Size, seed: u64, random: &mut Random) -> Self {
        let starts = jiff::civil::date(2027, 2, 1).saturating_add(Span::new().weeks(seed as i64));
        let closed = starts
            .saturating_add(Span::new().days(random.between(1, size.weeks - 1) * 7 + random.between(0, 4)));
        Self { starts, closed }
    }

    /// The date so many days after the first.
    fn on(&self, day: i64) -> Date {
        self.starts.saturating_add(Span::new().days(day))
    }

    /// A day of a week on which beer is delivered. Nothing is due on the first two days: beer has to be packaged first.
    fn due(&self, week: i64, random: &mut Random) -> Date {
        let due = self.on(week * 7 + random.between(if week == 0 { 2 } else { 0 }, 4));
        if due != self.closed {
            due
        } else if due == self.on(week * 7) {
            due.saturating_add(Span::new().days(1))
        } else {
            due.saturating_sub(Span::new().days(1))
        }
    }
}
