//! Reading the files: a valid pair, and one fault of every kind.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

mod beers;
mod cellar;
mod changes;
mod faults;
mod faults_of_brewplan;
mod faults_of_cellar;
mod faults_of_layout;
mod hostile;
#[path = "../sample.rs"]
mod sample;
mod valid;

use cellarwright_model::yaml::{ReadOutcome, read_texts};

/// Reads a brew plan, a cellar and orders.
pub fn read(brewplan: &str, cellar: &str, orders: &str) -> ReadOutcome {
    read_texts(&[
        ("brewplan.yaml", brewplan.as_bytes()),
        ("cellar.yaml", cellar.as_bytes()),
        ("orders.csv", orders.as_bytes()),
    ])
}
