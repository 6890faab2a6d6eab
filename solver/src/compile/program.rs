//! A mixed-integer program as plain data: columns, rows, and the rule that each row belongs to.

use std::collections::{BTreeMap, BTreeSet};

use cellarwright_model::rule::RuleId;

use super::groups::GroupId;
use super::without::{Mark, Without};
use crate::answer::{RuleSize, Size};

/// A column of the program.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ColumnId(pub usize);

/// A decision variable.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Column {
    /// Lower bound.
    pub lower: f64,
    /// Upper bound.
    pub upper: f64,
    /// Objective coefficient (the program maximises).
    pub cost: f64,
    /// Whole numbers only.
    pub is_integer: bool,
}

/// A sum of columns times coefficients.
pub type Terms = Vec<(ColumnId, f64)>;

/// A constraint `lower <= terms <= upper`.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// Lower side, or minus infinity.
    pub lower: f64,
    /// Upper side, or infinity.
    pub upper: f64,
    /// Each column at most once, in order of columns.
    pub terms: Terms,
    /// The rule that wrote it.
    pub rule: RuleId,
    /// The group of vessels that its sides count, where they do.
    pub vessels: Option<GroupId>,
}

/// A program to maximise.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Program {
    /// Columns in the order they were added.
    pub columns: Vec<Column>,
    /// Rows in the order they were added.
    pub rows: Vec<Row>,
    /// What rows are about, by their position, where it is said.
    pub marks: BTreeMap<usize, Mark>,
    /// Added to the objective.
    pub constant: f64,
}

impl Program {
    /// Adds a column between bounds, without cost.
    pub fn column(&mut self, lower: f64, upper: f64, is_integer: bool) -> ColumnId {
        self.columns.push(Column { lower, upper, cost: 0.0, is_integer });
        ColumnId(self.columns.len() - 1)
    }

    /// Adds to a column's objective coefficient.
    pub fn earn(&mut self, column: ColumnId, amount: f64) {
        self.columns[column.0].cost += amount;
    }

    /// Adds a row; equal columns are merged. A row without columns is dropped: it says nothing that can be decided.
    pub fn row(&mut self, rule: RuleId, lower: f64, terms: Terms, upper: f64) {
        let mut sorted = terms;
        sorted.sort_by_key(|&(column, _)| column);
        let mut merged: Terms = Vec::with_capacity(sorted.len());
        for (column, coefficient) in sorted {
            match merged.last_mut() {
                Some((last, sum)) if *last == column => *sum += coefficient,
                _ => merged.push((column, coefficient)),
            }
        }
        merged.retain(|&(_, coefficient)| coefficient != 0.0);
        if !merged.is_empty() {
            self.rows.push(Row { lower, upper, terms: merged, rule, vessels: None });
        }
    }

    /// Says of the row that was added after so many what it is about, if it was not dropped.
    pub fn mark(&mut self, rows_before: usize, mark: Mark) {
        if self.rows.len() > rows_before {
            self.marks.insert(rows_before, mark);
        }
    }

    /// `terms <= upper`, a row of which is said what it is about.
    pub fn at_most_of(&mut self, mark: Mark, rule: RuleId, terms: Terms, upper: f64) {
        let rows = self.rows.len();
        self.at_most(rule, terms, upper);
        self.mark(rows, mark);
    }

    /// `terms = value`, a row of which is said what it is about.
    pub fn equal_of(&mut self, mark: Mark, rule: RuleId, terms: Terms, value: f64) {
        let rows = self.rows.len();
        self.equal(rule, terms, value);
        self.mark(rows, mark);
    }

    /// Takes out the rows that are written by what is left out.
    pub fn leave_out(&mut self, without: &Without) {
        if without.is_empty() {
            return;
        }
        let rows = std::mem::take(&mut self.rows);
        let marks = std::mem::take(&mut self.marks);
        for (position, row) in rows.into_iter().enumerate() {
            let mark = marks.get(&position);
            if mark.is_some_and(|mark| without.has_row(mark)) {
                continue;
            }
            if let Some(mark) = mark {
                self.marks.insert(self.rows.len(), mark.clone());
            }
            self.rows.push(row);
        }
    }

    /// `terms <= upper`
    pub fn at_most(&mut self, rule: RuleId, terms: Terms, upper: f64) {
        self.row(rule, f64::NEG_INFINITY, terms, upper);
    }

    /// Says that the sides of a row count the vessels of a group; the last row is the one that was meant.
    pub fn counts_vessels(&mut self, rows_before: usize, group: Option<GroupId>) {
        if let Some(row) = self.rows.get_mut(rows_before) {
            row.vessels = group;
        }
    }

    /// `terms <= vessels of the group`
    pub fn at_most_vessels(&mut self, rule: RuleId, terms: Terms, group: GroupId, vessels: f64) {
        let before = self.rows.len();
        self.at_most(rule, terms, vessels);
        self.counts_vessels(before, Some(group));
    }

    /// `terms >= lower`
    pub fn at_least(&mut self, rule: RuleId, terms: Terms, lower: f64) {
        self.row(rule, lower, terms, f64::INFINITY);
    }

    /// `terms = value`
    pub fn equal(&mut self, rule: RuleId, terms: Terms, value: f64) {
        self.row(rule, value, terms, value);
    }

    /// The same program with columns that need not be whole.
    pub fn relaxed(&self) -> Self {
        let mut relaxed = self.clone();
        for column in &mut relaxed.columns {
            column.is_integer = false;
        }
        relaxed
    }

    /// The same program with whole numbers as they are at a point, but for the columns that are free.
    pub fn as_at(&self, point: &[f64], is_free: impl Fn(usize) -> bool) -> Self {
        let mut program = self.clone();
        for (position, (column, &value)) in program.columns.iter_mut().zip(point).enumerate() {
            if column.is_integer && !is_free(position) {
                (column.lower, column.upper) = (value.round(), value.round());
            }
        }
        program
    }

    /// Its size.
    pub fn size(&self) -> Size {
        Size {
            rows: self.rows.len(),
            columns: self.columns.len(),
            integers: self.columns.iter().filter(|column| column.is_integer).count(),
            nonzeros: self.rows.iter().map(|row| row.terms.len()).sum(),
        }
    }

    /// Its size by the rule that wrote the rows; a rule without rows is left out.
    pub fn size_by_rule(&self) -> BTreeMap<RuleId, RuleSize> {
        let mut sizes: BTreeMap<RuleId, RuleSize> = BTreeMap::new();
        let mut touched: BTreeMap<RuleId, BTreeSet<ColumnId>> = BTreeMap::new();
        for row in &self.rows {
            let size = sizes.entry(row.rule).or_default();
            size.rows += 1;
            size.nonzeros += row.terms.len();
            touched.entry(row.rule).or_default().extend(row.terms.iter().map(|&(column, _)| column));
        }
        for (rule, columns) in touched {
            sizes.entry(rule).or_default().columns_touched = columns.len();
        }
        sizes
    }

    /// Objective of a point.
    pub fn objective(&self, values: &[f64]) -> f64 {
        let sum: f64 = self.columns.iter().zip(values).map(|(column, value)| column.cost * value).sum();
        sum + self.constant
    }

    /// The largest breach of a bound, a row (relative to its size) or integrality at a point.
    pub fn worst_breach(&self, values: &[f64]) -> f64 {
        let mut worst = 0.0_f64;
        for (column, &value) in self.columns.iter().zip(values) {
            worst = worst.max(column.lower - value).max(value - column.upper);
            if column.is_integer {
                worst = worst.max((value - value.round()).abs());
            }
        }
        for row in &self.rows {
            let activity: f64 =
                row.terms.iter().map(|&(column, coefficient)| coefficient * values[column.0]).sum();
            let size = row.terms.iter().fold(1.0_f64, |size, &(column, coefficient)| {
                size.max((coefficient * values[column.0]).abs())
            });
            worst = worst.max((row.lower - activity) / size).max((activity - row.upper) / size);
        }
        worst
    }
}

/// Every term of a sum times a factor.
pub fn scaled(terms: &Terms, factor: f64) -> Terms {
    terms.iter().map(|&(column, coefficient)| (column, coefficient * factor)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sizes_by_rule_count_rows_entries_and_each_column_once() {
        let mut program = Program::default();
        let columns: Vec<ColumnId> = (0..4).map(|_| program.column(0.0, 1.0, true)).collect();
        let (a, b, c) = (columns[0], columns[1], columns[2]);
        program.at_most(RuleId::Crew, vec![(a, 1.0), (b, 2.0), (a, 1.0)], 3.0);
        program.at_least(RuleId::Crew, vec![(b, 1.0), (c, 1.0)], 1.0);
        program.equal(RuleId::Yeast, vec![(a, 1.0)], 1.0);
        // Cancels out, so there is no such row.
        program.equal(RuleId::Orders, vec![(c, 1.0), (c, -1.0)], 0.0);
        let sizes = program.size_by_rule();
        let crew = RuleSize { rows: 2, nonzeros: 4, columns_touched: 3 };
        let yeast = RuleSize { rows: 1, nonzeros: 1, columns_touched: 1 };
        assert_eq!(sizes, BTreeMap::from([(RuleId::Crew, crew), (RuleId::Yeast, yeast)]));
        let size = program.size();
        assert_eq!((size.rows, size.columns, size.nonzeros), (3, 4, 5));
    }
}
