//! A mixed-integer program as plain data: columns, rows, and the rule that each row belongs to.

use cellarwright_model::rule::RuleId;

use crate::answer::Size;

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
}

/// A program to maximise.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Program {
    /// Columns in the order they were added.
    pub columns: Vec<Column>,
    /// Rows in the order they were added.
    pub rows: Vec<Row>,
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
            self.rows.push(Row { lower, upper, terms: merged, rule });
        }
    }

    /// `terms <= upper`
    pub fn at_most(&mut self, rule: RuleId, terms: Terms, upper: f64) {
        self.row(rule, f64::NEG_INFINITY, terms, upper);
    }

    /// `terms >= lower`
    pub fn at_least(&mut self, rule: RuleId, terms: Terms, lower: f64) {
        self.row(rule, lower, terms, f64::INFINITY);
    }

    /// `terms = value`
    pub fn equal(&mut self, rule: RuleId, terms: Terms, value: f64) {
        self.row(rule, value, terms, value);
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
