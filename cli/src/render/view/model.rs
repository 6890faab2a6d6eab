//! The size of the mixed-integer program, as rows.

use serde::Serialize;

/// The size of the program as compiled.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct ModelSize {
    /// Rows.
    pub rows: usize,
    /// Columns.
    pub columns: usize,
    /// Columns in whole numbers.
    pub integers: usize,
    /// Nonzeros.
    pub nonzeros: usize,
    /// The same by rule, in the order of their numbers; a rule without rows is left out.
    pub rules: Vec<RuleRow>,
}

/// Rows of one rule.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct RuleRow {
    /// The rule's number, such as `R06`.
    pub rule: &'static str,
    /// What it is about.
    pub about: &'static str,
    /// Rows.
    pub rows: usize,
    /// Nonzeros of these rows.
    pub nonzeros: usize,
    /// Different columns in these rows; they do not add up, as a column may be in rows of several rules.
    pub columns_touched: usize,
}
