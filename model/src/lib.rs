//! The words of the cellar: units, calendar, the case to be planned, plans, rules and findings.
//!
//! This crate knows no solver and prints nothing. Read `case`, then `plan`, then `rule`.

pub mod calendar;
pub mod carbonation;
pub mod case;
pub mod choice;
pub mod demand;
pub mod finding;
pub mod heat;
pub mod ids;
pub mod lever;
pub mod measures;
pub mod money;
pub mod plan;
pub mod plan_file;
pub mod random;
pub mod rule;
pub mod schema;
pub mod study;
#[cfg(any(test, feature = "testkit"))]
pub mod testkit;
pub mod tolerance;
pub mod units;
pub mod violation;
pub mod yaml;
