//! The program of a layout: the cycle of each season beside the others, joined by the columns of what is bought.
//!
//! `bought[offer, group]` whole numbers: vessels of an offer in a group. Each row that says `so many vessels of a group` becomes
//! `... - bought <= vessels that are there`. Rows: packaged of each season, beer and format >= asked (times the share, where that is sought);
//! prices <= limit; floor <= limit. Objective (money a year): less what is bought and what is run, or the share.

use std::collections::BTreeMap;

use cellarwright_model::case::{Aim, Case, Layout, Split};
use cellarwright_model::demand::Demand;
use cellarwright_model::rule::RuleId;
use cellarwright_model::units::Money;

use super::{LayoutError, Search, a_year};
use crate::compile::compile_repeating;
use crate::compile::context::{Context, Origin};
use crate::compile::groups::GroupId;
use crate::compile::program::{ColumnId, Program, Terms};
use crate::compile::without::Without;
use crate::repeating::fold::Folded;
use crate::repeating::unroll::{Unrolled, unroll};
use crate::repeating::{sales, work_of};

/// More of the demand than anybody looks for.
pub const MOST_SHARE: f64 = 1_000.0;

/// What is sought. Money is that of a year; what is found costs at most `most` where it is given.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Sought {
    /// The lowest cost of buying and running what meets the demand.
    Cost { most: Option<f64> },
    /// The lowest cost of buying what meets a share of the demand.
    Purchases { share: f64, most: Option<f64> },
    /// The largest share of the demand for which no more than `most` is spent on what is bought.
    Share { most: Option<f64> },
}

/// How much of the demand a program meets.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Meets {
    /// At least so much of it.
    AtLeast(f64),
    /// As much as this column says.
    Column(ColumnId),
}

/// The program of all seasons.
pub struct Whole {
    /// The program.
    pub program: Program,
    /// Columns of what is bought, each with its offer.
    pub bought: Vec<(usize, ColumnId)>,
}

impl Whole {
    /// Vessels that a point buys, by offer.
    pub fn vessels(&self, offers: usize, values: &[f64]) -> Vec<i64> {
        let mut bought = vec![0; offers];
        for &(offer, column) in &self.bought {
            bought[offer] += values[column.0].round() as i64;
        }
        bought
    }

    /// The same program in which nothing but what is bought has to be whole.
    pub fn relaxed(&self) -> Program {
        let mut program = self.program.relaxed();
        for &(_, column) in &self.bought {
            program.columns[column.0].is_integer = true;
        }
        program
    }
}

/// A case as the programs of a layout take it: money counts, and there are no orders.
pub fn plain(case: &Case) -> Case {
    let mut case = case.clone();
    case.aim = Aim::Orders;
    case.orders = Vec::new();
    case
}

/// Lets batches be split freely where a tank that may not be bought would forbid it: that allows more, so the bound holds.
fn free_splits(case: &mut Case, layout: &Layout) {
    if layout.vessels.iter().any(|offer| offer.vessels.iter().any(|vessel| vessel.uses.bright)) {
        for beer in case.beers.iter_mut().filter(|beer| beer.split == Split::Needed) {
            beer.split = Split::Free;
        }
    }
}

/// What is bought besides vessels.
#[derive(Clone, Copy, Debug, Default)]
pub struct Besides {
    /// All prices.
    pub price: Money,
    /// Floor, square centimetres.
    pub floor: i64,
    /// A year's cost.
    pub a_year: Money,
}

/// Writes the program of a case in which everything that can be bought is there.
pub fn whole(
    search: &Search,
    case: &Case,
    besides: Besides,
    sought: Sought,
    weeks: usize,
) -> Result<Whole, LayoutError> {
    let layout = case.layout.as_ref().unwrap_or(search.layout);
    let there = case.vessels.len();
    let mut full = plain(&case.with_offers());
    free_splits(&mut full, layout);
    let unrolled = unroll(&full, weeks);
    let context = compile_repeating(&unrolled.case, &Without::default());
    let folded = work_of(&context, &unrolled)?;
    let mut program = Program::default();
    let bought = bought(&context, layout, there, &mut program);
    let meets = match sought {
        Sought::Share { .. } => {
            let column = program.column(0.0, MOST_SHARE, false);
            program.earn(column, 1.0);
            Meets::Column(column)
        }
        Sought::Cost { .. } => Meets::AtLeast(1.0),
        Sought::Purchases { share, .. } => Meets::AtLeast(share),
    };
    let cost_of_running = matches!(sought, Sought::Cost { .. });
    for season in 0..layout.seasons.len() {
        let asked = Asks { layout, season, meets, cost_of_running };
        add_season(&context, &unrolled, &folded, &asked, &bought, &mut program);
    }
    limits(layout, besides, &bought, &mut program);
    let purchases: Terms = bought
        .iter()
        .map(|&(offer, _, _, column)| {
            (column, a_year(&layout.vessels[offer].purchase, layout.interest).units())
        })
        .collect();
    let most = match sought {
        Sought::Cost { most } | Sought::Purchases { most, .. } => {
            for &(column, a_year) in &purchases {
                program.earn(column, -a_year);
            }
            program.constant = -besides.a_year.units();
            let costs = program.columns.iter().enumerate().filter(|(_, column)| column.cost != 0.0);
            most.map(|most| (costs.map(|(place, column)| (ColumnId(place), -column.cost)).collect(), most))
        }
        Sought::Share { most } => most.map(|most| (purchases, most)),
    };
    if let Some((terms, most)) = most {
        at_most_or_none(&mut program, terms, most - besides.a_year.units());
    }
    let bought = bought.into_iter().map(|(offer, _, _, column)| (offer, column)).collect();
    Ok(Whole { program, bought })
}

/// By offer and group: vessels of the offer in the group, and the column of those bought.
fn bought(
    context: &Context,
    layout: &Layout,
    there: usize,
    program: &mut Program,
) -> Vec<(usize, GroupId, f64, ColumnId)> {
    let mut counts: BTreeMap<(usize, GroupId), f64> = BTreeMap::new();
    let mut vessel = there;
    for (place, offer) in layout.vessels.iter().enumerate() {
        for _ in &offer.vessels {
            let group = context.groups.of(cellarwright_model::ids::VesselId(vessel));
            *counts.entry((place, group)).or_default() += 1.0;
            vessel += 1;
        }
    }
    let columns = counts.into_iter().map(|((offer, group), count)| {
        let column = program.column(0.0, count, true);
        (offer, group, count, column)
    });
    columns.collect()
}

fn limits(
    layout: &Layout,
    besides: Besides,
    bought: &[(usize, GroupId, f64, ColumnId)],
    program: &mut Program,
) {
    let terms = |each: &dyn Fn(usize) -> f64| -> Terms {
        bought.iter().map(|&(offer, _, _, column)| (column, each(offer))).collect()
    };
    if let Some(most) = layout.limits.price {
        let prices = terms(&|offer| layout.vessels[offer].purchase.price.units());
        at_most_or_none(program, prices, (most - besides.price).units());
    }
    if let Some(most) = layout.limits.floor {
        let floors = terms(&|offer| layout.vessels[offer].purchase.floor.0 as f64 / 1e4);
        at_most_or_none(program, floors, (most.0 - besides.floor) as f64 / 1e4);
    }
}

/// A row that is a fault by itself where nothing is left and nothing can be bought.
fn at_most_or_none(program: &mut Program, terms: Terms, most: f64) {
    if most < -1e-9 {
        // Nothing that is bought can mend it: what is bought besides is over the limit.
        never(program);
    }
    program.at_most(RuleId::Orders, terms, most);
}

/// A row that no point keeps.
fn never(program: &mut Program) {
    let column = program.column(0.0, 0.0, false);
    program.at_least(RuleId::Orders, vec![(column, 1.0)], 1.0);
}

/// What is asked of a season.
struct Asks<'a> {
    layout: &'a Layout,
    season: usize,
    meets: Meets,
    cost_of_running: bool,
}

/// Adds the cycle of a season.
fn add_season(
    context: &Context,
    unrolled: &Unrolled,
    work: &Folded,
    asks: &Asks,
    bought: &[(usize, GroupId, f64, ColumnId)],
    program: &mut Program,
) {
    let season = &asks.layout.seasons[asks.season];
    let cycles = season.weeks as f64 * 7.0 / unrolled.days as f64;
    let mut folded = work.clone();
    let rows = demand(context, unrolled, asks.layout, asks.season, &mut folded);
    let first = program.columns.len();
    let moved = |terms: &Terms| -> Terms {
        terms.iter().map(|&(column, count)| (ColumnId(first + column.0), count)).collect()
    };
    for column in &folded.program.columns {
        let mut column = *column;
        column.cost *= if asks.cost_of_running { cycles } else { 0.0 };
        program.columns.push(column);
    }
    for row in &folded.program.rows {
        let (mut terms, mut lower, mut upper) = (moved(&row.terms), row.lower, row.upper);
        for &(_, group, count, column) in bought {
            if row.vessels == Some(group) {
                terms.push((column, -1.0));
                (lower, upper) = (lower - count, upper - count);
            }
        }
        program.row(row.rule, lower, terms, upper);
    }
    for (terms, wanted) in rows {
        let mut terms = moved(&terms);
        match asks.meets {
            Meets::Column(share) => {
                terms.push((share, -wanted));
                program.at_least(RuleId::Orders, terms, 0.0);
            }
            Meets::AtLeast(share) if terms.is_empty() && share > 0.0 => never(program),
            Meets::AtLeast(share) => program.at_least(RuleId::Orders, terms, wanted * share),
        }
    }
}

/// Gives the cycle of a season the costs of wort and materials; what it packages of each thing that is asked for, and how much that is, hL.
pub fn demand(
    context: &Context,
    unrolled: &Unrolled,
    layout: &Layout,
    season: usize,
    folded: &mut Folded,
) -> Vec<(Terms, f64)> {
    let from = unrolled.first_slot();
    let packaged = sales::packaged(context, folded, from, from + unrolled.cycle_slots());
    let weeks = unrolled.days as i64 / 7;
    sales::materials(context, folded, &Demand::of(&unrolled.case, weeks), &packaged);
    wort(context, layout.wort, folded);
    let rows = layout.seasons[season].demand.iter().map(|asked| {
        let terms = packaged.get(&(asked.beer, asked.format)).cloned().unwrap_or_default();
        (terms, asked.a_week.hectolitres() * weeks as f64)
    });
    rows.collect()
}

fn wort(context: &Context, price: Money, folded: &mut Folded) {
    let mut volumes: BTreeMap<ColumnId, f64> = BTreeMap::new();
    for brew in &context.columns.brews {
        let kind = context.kind(brew.kind);
        if let (Origin::New { turns, part }, Some(column)) = (kind.origin, folded.columns[brew.column.0]) {
            volumes.insert(column, context.case.wort_of(kind.beer, turns, part).hectolitres());
        }
    }
    for (column, volume) in volumes {
        folded.program.earn(column, -volume * price.units());
    }
}
