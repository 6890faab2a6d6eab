//! A bound that holds whatever HiGHS did: made from the prices of the rows by the inequality of weak duality, with every error of
//! rounding counted against it.
//!
//! For any prices `y` of the rows, what a point `x` of the program earns is `sum of (c - y A) x + sum of y (A x)`. The first sum is at most
//! that of each column at the better of its bounds, the second at most that of each row at the better of its sides. With the prices
//! of an optimum both come to the optimum; with others, such as those of an interior point that has not quite arrived, to more.

use super::implied::implied_uppers;
use crate::compile::program::{Program, Row};

/// A sum of numbers with the most that it can be wrong by.
#[derive(Clone, Copy, Debug, Default)]
struct Sum {
    value: f64,
    /// Sum of the sizes of its terms.
    sizes: f64,
    terms: f64,
}

impl Sum {
    fn add(&mut self, term: f64) {
        self.value += term;
        self.sizes += term.abs();
        self.terms += 1.0;
    }

    /// Each addition and the product that made the term are wrong by at most half a unit in the last place of what is no larger than the
    /// sum of the sizes.
    fn error(self) -> f64 {
        (self.terms + 2.0) * f64::EPSILON * self.sizes
    }
}

/// What no point of a program earns more than, by prices of its rows (in units of the objective for a unit of the row; for a program to
/// maximise a row that is at most something has a price of at least nothing). Infinite where the prices prove nothing.
pub fn dual_bound(program: &Program, prices: &[f64]) -> f64 {
    let is_usable = prices.len() == program.rows.len() && prices.iter().all(|price| price.is_finite());
    if !is_usable {
        return f64::INFINITY;
    }
    // A price on a side that is open is an error of HiGHS's: without it the row says nothing, which is true.
    let closed = |(row, &price): (&Row, &f64)| if side(row, price).is_finite() { price } else { 0.0 };
    let mut prices: Vec<f64> = program.rows.iter().zip(prices).map(closed).collect();
    let uppers = implied_uppers(program);
    lower_for_open_columns(program, &uppers, &mut prices);

    let mut bound = Sum::default();
    for (row, &price) in program.rows.iter().zip(&prices).filter(|&(_, &price)| price != 0.0) {
        bound.add(price * side(row, price));
    }
    let mut errors = Sum::default();
    for ((column, &upper), left) in program.columns.iter().zip(&uppers).zip(what_is_left(program, &prices)) {
        let (best, farthest) = if left.value + left.error() <= 0.0 {
            (column.lower, column.lower.abs())
        } else {
            (if left.value > 0.0 { upper } else { column.lower }, upper.abs().max(column.lower.abs()))
        };
        if !best.is_finite() || !farthest.is_finite() {
            return f64::INFINITY;
        }
        bound.add(left.value * best);
        errors.add(left.error() * farthest);
    }
    bound.add(program.constant);
    bound.value + bound.error() + errors.value + errors.error()
}

/// The side of a row that a price is for.
fn side(row: &Row, price: f64) -> f64 {
    if price > 0.0 { row.upper } else { row.lower }
}

/// What each column earns beyond the prices of its rows.
fn what_is_left(program: &Program, prices: &[f64]) -> Vec<Sum> {
    let mut left = vec![Sum::default(); program.columns.len()];
    for (sum, column) in left.iter_mut().zip(&program.columns) {
        sum.add(column.cost);
    }
    for (row, &price) in program.rows.iter().zip(prices).filter(|&(_, &price)| price != 0.0) {
        for &(column, coefficient) in &row.terms {
            left[column.0].add(-price * coefficient);
        }
    }
    left
}

/// Lowers prices a hair where a column that nothing bounds would earn: what one pays to keep a row stands at just nothing in an optimum, and
/// with an error of rounding above it.
fn lower_for_open_columns(program: &Program, uppers: &[f64], prices: &mut [f64]) {
    let left = what_is_left(program, prices);
    for (row, price) in program.rows.iter().zip(prices) {
        let mut by = 0.0_f64;
        for &(column, coefficient) in &row.terms {
            let left = left[column.0];
            if uppers[column.0].is_infinite()
                && -*price * coefficient > 0.0
                && left.value + left.error() > 0.0
            {
                by = by.max((left.value + 4.0 * left.error()) / coefficient.abs());
            }
        }
        *price = price.signum() * (price.abs() - by).max(0.0);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::answer::NoObserver;
    use crate::compile::compile;
    use crate::compile::program::ColumnId;
    use crate::compile::without::Without;
    use crate::highs::relax;
    use cellarwright_model::random::millionths;
    use cellarwright_model::rule::RuleId;
    use cellarwright_model::yaml::read_case;
    use std::path::Path;

    /// Batches of two into an order of five, at 10 a unit delivered; a batch costs 3, and there are three at most.
    /// `delivered <= 2 batches`, `delivered <= 5`: two and a half batches earn 42.5 (worked by hand).
    fn batches_for_an_order() -> Program {
        let mut program = Program::default();
        let batches = program.column(0.0, 3.0, true);
        let delivered = program.column(0.0, f64::INFINITY, false);
        program.earn(batches, -3.0);
        program.earn(delivered, 10.0);
        program.at_most(RuleId::Orders, vec![(delivered, 1.0), (batches, -2.0)], 0.0);
        program.at_most(RuleId::Orders, vec![(delivered, 1.0)], 5.0);
        program
    }

    #[test]
    fn the_prices_of_the_optimum_give_the_optimum_and_a_hair() {
        // What a unit from a batch costs, and what is left of its price.
        let bound = dual_bound(&batches_for_an_order(), &[1.5, 8.5]);
        assert!((42.5..42.5 + 1e-9).contains(&bound), "{bound}");
    }

    #[test]
    fn wrong_prices_prove_less_and_never_something_false() {
        for draw in 0..200 {
            let price = |row| (millionths(5, [draw, row, 0, 0]) - 300_000) as f64 / 40_000.0;
            let bound = dual_bound(&batches_for_an_order(), &[price(0), price(1)]);
            assert!(bound >= 42.5, "{draw}: {bound}");
        }
        // Without prices: three batches cost nothing less than nothing, and at most 5 (or 6 by the batches) are delivered.
        assert!((50.0..61.0).contains(&dual_bound(&batches_for_an_order(), &[0.0, 0.0])));
    }

    #[test]
    fn what_is_no_price_proves_nothing() {
        let program = batches_for_an_order();
        for prices in [&[1.5][..], &[1.5, f64::NAN], &[f64::INFINITY, 8.5], &[]] {
            assert!(dual_bound(&program, prices).is_infinite(), "{prices:?}");
        }
    }

    #[test]
    fn a_column_that_nothing_bounds_proves_nothing_if_it_earns() {
        let mut program = batches_for_an_order();
        let free = program.column(0.0, f64::INFINITY, false);
        assert!((dual_bound(&program, &[1.5, 8.5]) - 42.5).abs() < 1e-9);
        program.earn(free, 1e-12);
        assert!(dual_bound(&program, &[1.5, 8.5]).is_infinite());
    }

    #[test]
    fn a_column_that_pays_to_keep_a_row_may_have_a_price_a_hair_too_high() {
        // Three units a batch must be delivered, or 0.1 is paid for every three that are not: of three batches four are missing.
        let mut program = batches_for_an_order();
        let missing = program.column(0.0, f64::INFINITY, false);
        program.earn(missing, -0.1);
        program.at_least(RuleId::Line, vec![(ColumnId(0), -3.0), (ColumnId(1), 1.0), (missing, 3.0)], 0.0);
        program.columns[0].lower = 3.0;
        let price = -0.1 / 3.0;
        let best = 50.0 - 9.0 - 0.4 / 3.0;
        for wrong in [0.0, 1e-17, 1e-16, 1e-15, 1e-12] {
            let bound = dual_bound(&program, &[0.0, 10.0 - price, price - wrong]);
            assert!((best..best + 1e-9).contains(&bound), "{wrong}: {bound}");
        }
    }

    #[test]
    fn the_constant_counts() {
        let mut program = batches_for_an_order();
        program.constant = -100.0;
        assert!((dual_bound(&program, &[1.5, 8.5]) + 57.5).abs() < 1e-9);
    }

    #[test]
    fn drawn_programs_have_a_bound_that_is_the_optimum_and_a_hair() {
        for seed in 0..40 {
            let drawn = |what, number: u64, most: i64| {
                (millionths(seed, [what, number, 0, 0]) * most / 1_000_000) as f64
            };
            let mut program = Program::default();
            let columns: Vec<ColumnId> = (0..30)
                .map(|number| {
                    program.column(
                        0.0,
                        if number % 3 == 0 { f64::INFINITY } else { 1.0 + drawn(1, number, 9) },
                        false,
                    )
                })
                .collect();
            for (number, &column) in (0..).zip(&columns) {
                program.earn(column, drawn(2, number, 30) - 8.0);
            }
            for row in 0..8 {
                let terms: Vec<(ColumnId, f64)> = (0..)
                    .zip(&columns)
                    .map(|(number, &column)| (column, 1.0 + drawn(3, number * 100 + row, 5)))
                    .collect();
                program.at_most(RuleId::FillLevel, terms, 50.0 + drawn(4, row, 100));
            }
            program.equal(
                RuleId::FillLevel,
                vec![(columns[0], 1.0), (columns[1], 1.0), (columns[2], -1.0)],
                0.0,
            );
            program.at_least(RuleId::FillLevel, vec![(columns[4], 1.0), (columns[5], 1.0)], 1.0);
            let relaxation = relax(&program, 10.0, &NoObserver).unwrap().unwrap();
            let earned = program.objective(&relaxation.values);
            let hair = 1e-7 * earned.abs().max(1.0);
            assert!(
                relaxation.bound >= earned - hair && relaxation.bound <= earned + hair,
                "{seed}: {} {earned}",
                relaxation.bound
            );
        }
    }

    #[test]
    fn relaxations_of_whole_breweries_have_a_bound_within_a_millionth() {
        let cases = Path::new(env!("CARGO_MANIFEST_DIR")).join("../cases");
        let plans = [
            "brewpub/brewplan",
            "fennick-wharf/brewplan",
            "fennick-wharf-in-full/brewplan",
            "scale/brewpub-1/all-weeks",
        ];
        for name in plans {
            let case = read_case(&cases.join(format!("{name}.yaml"))).case.unwrap();
            let program = compile(&case, &Without::default()).program;
            let relaxation = relax(&program, 300.0, &NoObserver).unwrap().unwrap();
            let earned = program.objective(&relaxation.values);
            let hair = 1e-6 * earned.abs();
            assert!(
                (earned - hair..earned + hair).contains(&relaxation.bound),
                "{name}: {} {earned}",
                relaxation.bound
            );
        }
    }
}
