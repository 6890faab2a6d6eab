//! Whole-program tests.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod accounts;
mod ahead;
mod architecture;
mod blend;
mod brewhouse;
mod cases;
mod cleaning;
mod conditioning;
mod cooling;
mod determinism;
mod filters;
mod hours;
mod lines;
mod mutation;
mod not_forced;
mod oracle;
mod orders;
mod other_solver;
mod outages;
mod packages;
mod pins;
mod practice;
mod pressure;
mod properties;
mod scale;
mod serving;
mod shifts;
mod sizing;
mod spread;
mod statistics;
mod tank_work;
mod tank_work_random;
mod toys;
mod yeast;
mod yeast_random;
