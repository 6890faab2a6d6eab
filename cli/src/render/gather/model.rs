//! The size of the program by rule.

use cellarwright_solver::answer::Answer;

use crate::render::view::{ModelSize, RuleRow};
use crate::render::words::model as words;

/// The size of the program of an answer.
pub fn size(answer: &Answer) -> ModelSize {
    let rules = answer.by_rule.iter().map(|(&rule, size)| RuleRow {
        rule: rule.code(),
        about: words::about(rule),
        rows: size.rows,
        nonzeros: size.nonzeros,
        columns_touched: size.columns_touched,
    });
    ModelSize {
        rows: answer.size.rows,
        columns: answer.size.columns,
        integers: answer.size.integers,
        nonzeros: answer.size.nonzeros,
        rules: rules.collect(),
    }
}
