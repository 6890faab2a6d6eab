//! Upper bounds of columns that have none of their own, as the rows imply them.

use crate::compile::program::{ColumnId, Program, Row, Terms};

/// Rounds at most: each passes bounds on by one row.
const ROUNDS: usize = 20;
/// Share of the sizes in a sum that is added to what it comes to: more than a sum of a million numbers can be wrong by.
const ERROR: f64 = 1e-9;

/// An upper bound of each column that every point of the program keeps: its own, or what rows with all their other columns at their best for
/// it leave; infinite where no row says anything.
pub fn implied_uppers(program: &Program) -> Vec<f64> {
    let lowers: Vec<f64> = program.columns.iter().map(|column| column.lower).collect();
    let mut uppers: Vec<f64> = program.columns.iter().map(|column| column.upper).collect();
    for _ in 0..ROUNDS {
        let mut is_new = false;
        for row in &program.rows {
            is_new |= tighten(row, 1.0, row.upper, &lowers, &mut uppers);
            is_new |= tighten(row, -1.0, -row.lower, &lowers, &mut uppers);
        }
        if !is_new {
            break;
        }
    }
    uppers
}

/// Takes what `sign * terms <= side` says of columns without an upper bound; whether it was anything.
fn tighten(row: &Row, sign: f64, side: f64, lowers: &[f64], uppers: &mut [f64]) -> bool {
    let is_open = |&&(column, coefficient): &&(ColumnId, f64)| {
        sign * coefficient > 0.0 && uppers[column.0].is_infinite()
    };
    let open: Terms = row.terms.iter().filter(is_open).copied().collect();
    if !side.is_finite() || open.is_empty() {
        return false;
    }
    // The least that the terms come to, and how large the numbers are that it is added up from.
    let (mut least, mut sizes) = (0.0, side.abs());
    for &(column, coefficient) in &row.terms {
        let at = if sign * coefficient > 0.0 { lowers[column.0] } else { uppers[column.0] };
        least += sign * coefficient * at;
        sizes += (coefficient * at).abs();
    }
    if !least.is_finite() {
        return false;
    }
    let room = (side - least + ERROR * sizes).max(0.0);
    for (column, coefficient) in open {
        let upper = lowers[column.0] + room / coefficient.abs();
        uppers[column.0] = upper + ERROR * upper.abs();
    }
    true
}

#[cfg(test)]
mod tests {
    use super::*;
    use cellarwright_model::rule::RuleId;

    #[test]
    fn rows_pass_bounds_on_and_what_no_row_bounds_stays_open() {
        let mut program = Program::default();
        let tank = program.column(0.0, 1.0, true);
        let beer = program.column(0.0, f64::INFINITY, false);
        let packaged = program.column(2.0, f64::INFINITY, false);
        let open = program.column(0.0, f64::INFINITY, false);
        // In an order in which the first round does not come to the end.
        program.equal(RuleId::FillLevel, vec![(packaged, 1.0), (beer, -0.5)], 0.0);
        program.at_most(RuleId::FillLevel, vec![(beer, 1.0), (tank, -80.0)], 4.0);
        program.at_least(RuleId::FillLevel, vec![(open, 1.0), (beer, -1.0)], 0.0);
        let uppers = implied_uppers(&program);
        assert_eq!(uppers[0], 1.0);
        assert!((84.0..84.001).contains(&uppers[1]), "{}", uppers[1]);
        assert!((42.0..42.001).contains(&uppers[2]), "{}", uppers[2]);
        assert!(uppers[3].is_infinite());
    }
}
