//! The figures of cases side by side.

use cellarwright_checker::measures::Measures;
use cellarwright_model::calendar::Role;
use cellarwright_model::case::Case as Facts;
use cellarwright_model::units::{Minutes, Volume};

use super::gather::Case;
use super::{CaseRow, Figure};
use crate::render::numbers::{UnitSystem, is_volume, shown_volume};
use crate::render::words::compare::{figures as names, overtime};
use crate::render::words::decimals;
use crate::render::words::resources::volume_days;

/// Decimals of volumes that are not in hectolitres.
const DECIMALS: u32 = 5;

/// Figures in the making.
pub struct Figures<'c> {
    cases: &'c [Case],
    units: UnitSystem,
    rows: Vec<Figure>,
}

impl Figures<'_> {
    fn add(&mut self, figure: &str, unit: &'static str, decimals: usize, of: impl Fn(&Case) -> Option<f64>) {
        let values = self.cases.iter().map(of).collect();
        self.rows.push(Figure { figure: figure.to_owned(), unit, decimals, is_bound: false, values });
    }

    fn count(&mut self, figure: &str, of: impl Fn(&Measures) -> i64) {
        self.add(figure, "", 0, |case| Some(of(&case.measures) as f64));
    }

    fn days(&mut self, figure: &str, of: impl Fn(&Measures) -> i64) {
        self.add(figure, "days", 0, |case| Some(of(&case.measures) as f64));
    }

    /// A volume in hectolitres, in the units that are shown.
    fn hectolitres(&mut self, figure: &str, of: impl Fn(&Case) -> Option<f64>) {
        let units = self.units;
        self.add(figure, units.volume().name, 1, |case| of(case).map(|hl| shown_volume(units, hl, DECIMALS)));
    }

    fn volume(&mut self, figure: &str, of: impl Fn(&Measures) -> Volume) {
        self.hectolitres(figure, |case| Some(of(&case.measures).hectolitres()));
    }

    fn people(&mut self, figure: &str, of: impl Fn(&Measures) -> Minutes) {
        self.add(figure, "person-h", 1, |case| Some(hours(of(&case.measures))));
    }
}

fn hours(time: Minutes) -> f64 {
    time.0 as f64 / 60.0
}

fn share(part: f64, whole: f64) -> Option<f64> {
    (whole > 0.0).then(|| part / whole)
}

/// All figures, in their order.
pub fn rows(cases: &[Case], shown: &[CaseRow], unit: &'static str) -> Vec<Figure> {
    let decimals = decimals(unit);
    let of_row = |figure: &str, of: &dyn Fn(&CaseRow) -> Option<f64>| Figure {
        figure: figure.to_owned(),
        unit,
        decimals,
        is_bound: figure == names::BOUND,
        values: shown.iter().map(of).collect(),
    };
    let mut all = Figures {
        cases,
        units: cases.first().map_or(UnitSystem::Metric, |case| case.view.units.system),
        rows: vec![
            of_row(names::WORTH, &|case| Some(case.objective)),
            of_row(names::BOUND, &|case| case.bound),
        ],
    };
    sold(&mut all);
    made(&mut all);
    work(&mut all);
    times(&mut all);
    all.add(names::PRICE, "money", 2, |case| price(&case.case));
    all.rows
}

fn sold(all: &mut Figures) {
    all.hectolitres(names::PACKAGED, |case| Some(case.view.packaged_hl));
    all.hectolitres(names::PACKAGED_A_WEEK, |case| case.kept.as_ref().map(|kept| kept.a_week_hl));
    all.hectolitres(names::POURED, |case| Some(case.poured.hectolitres()));
    all.add(names::ORDERS, "", 0, |case| of_orders(case, |case| case.view.orders.len() as f64));
    all.add(names::ORDERS_FILLED, "", 0, |case| {
        of_orders(case, |case| case.view.orders.iter().filter(|row| !row.short).count() as f64)
    });
    all.hectolitres(names::DELIVERED, |case| {
        of_orders(case, |case| case.view.orders.iter().map(|row| row.delivered_hl).sum())
    });
    all.hectolitres(names::ASKED, |case| {
        let kept = case.kept.as_ref()?;
        let asked: Option<f64> = kept.goods.iter().map(|row| row.asked_a_week_hl).sum();
        asked.map(|asked| asked * kept.weeks as f64)
    });
    all.hectolitres(names::SHORT, |case| match &case.kept {
        Some(kept) => {
            let short: Option<f64> = kept.goods.iter().map(|row| row.short_a_week_hl).sum();
            short.map(|short| short * kept.weeks as f64)
        }
        None => of_orders(case, |case| case.view.orders.iter().map(|row| row.missed_hl).sum()),
    });
}

/// A number of the orders, where orders are what the plan aims at.
fn of_orders(case: &Case, of: impl Fn(&Case) -> f64) -> Option<f64> {
    let is_counted =
        case.kept.is_none() && !is_volume(case.view.units.objective) && !case.view.orders.is_empty();
    is_counted.then(|| of(case))
}

fn made(all: &mut Figures) {
    all.count(names::BATCHES, |found| found.batches);
    all.count(names::TURNS, |found| found.turns);
    all.count(names::TRANSFERS, |found| found.transfers);
    all.volume(names::MOVED, |found| found.moved);
    all.add(names::MOVES, "", 2, |case| {
        share(case.measures.moved.hectolitres(), case.view.packaged_hl + case.poured.hectolitres())
    });
    all.volume(names::FROM_FERMENTERS, |found| found.from_fermenters);
    all.volume(names::FROM_BRIGHT_TANKS, |found| found.from_bright_tanks);
    all.count(names::SHORT_CLEANS, |found| found.short_cleans);
    all.count(names::FULL_CLEANS, |found| found.full_cleans);
    all.count(names::SANITISED, |found| found.sanitised);
}

fn work(all: &mut Figures) {
    all.people(names::BREW, |found| found.people[Role::Brew as usize]);
    all.people(names::CELLAR, |found| found.people[Role::Cellar as usize]);
    all.people(names::PACKAGE, |found| found.people[Role::Package as usize]);
    all.people(names::ALL_PEOPLE, |found| found.people.iter().copied().sum());
    let mut crews: Vec<&str> = Vec::new();
    for name in all.cases.iter().flat_map(|case| &case.case.crews).map(|crew| crew.name.as_str()) {
        if !crews.contains(&name) {
            crews.push(name);
        }
    }
    for name in crews {
        all.add(&overtime(name), "person-h", 1, |case| {
            let crew = case.case.crew_ids().find(|&crew| case.case.crew(crew).name == name)?;
            Some(hours(case.measures.overtime.get(&crew).copied().unwrap_or_default()))
        });
    }
}

fn times(all: &mut Figures) {
    all.days(names::WAITING_DAYS, |found| found.waiting_days);
    let units = all.units;
    all.add(names::WAITING, volume_days(units), 1, |case| {
        Some(shown_volume(units, Volume(case.measures.waiting).hectolitres(), DECIMALS))
    });
    all.add(names::STAY, "days", 1, |case| {
        share(case.measures.fermenter_days as f64, case.measures.emptied as f64)
    });
    all.days(names::SAVED, |found| found.saved_days);
}

/// Price of all vessels, where each has one.
fn price(case: &Facts) -> Option<f64> {
    let prices: Option<Vec<f64>> =
        case.vessels.iter().map(|vessel| vessel.price.map(|price| price.units())).collect();
    prices.map(|prices| prices.iter().sum())
}
