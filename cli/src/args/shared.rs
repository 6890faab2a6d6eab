//! Arguments that several commands share.

use std::path::PathBuf;

use cellarwright_solver::Options;
use clap::Args;

use super::choices::UnitSystem;
use super::values::{gap, seconds};

/// How long and how well to search: arguments of every command that does.
#[derive(Debug, Args)]
pub struct SearchArguments {
    /// Search for at most so many seconds of clock time.
    #[arg(long, default_value = "60", value_parser = seconds)]
    pub seconds: f64,
    /// Stop the search once the best found is proven to be within this share of the best, such as 0.5% or 0.005.
    #[arg(long, default_value = "0.5%", value_parser = gap)]
    pub gap: f64,
    /// Threads of the search.
    #[arg(long, default_value = "2", value_parser = clap::value_parser!(i32).range(1..=256))]
    pub threads: i32,
    /// Random seed of the search; the same seed gives the same answer.
    #[arg(long, default_value = "0", value_parser = clap::value_parser!(i32).range(0..))]
    pub seed: i32,
    /// Show no progress.
    #[arg(long, short)]
    pub quiet: bool,
}

impl SearchArguments {
    /// As the solver takes them.
    #[must_use]
    pub fn options(&self) -> Options {
        Options { seconds: self.seconds, gap: self.gap, threads: self.threads, seed: self.seed }
    }
}

/// How quantities are shown: arguments of every command that prints some.
#[derive(Clone, Copy, Debug, Default, Args)]
pub struct ShownArguments {
    /// Units of all that is shown, JSON and files for people included; the brew plan's `show_units`, or else metric, where it is left out.
    #[arg(long, value_enum, value_name = "SYSTEM")]
    pub units: Option<UnitSystem>,
}

/// How an answer is printed: arguments of every command that has one.
#[derive(Clone, Copy, Debug, Default, Args)]
pub struct PrintedArguments {
    /// Print one JSON document instead of tables.
    #[arg(long)]
    pub json: bool,
    /// Units.
    #[command(flatten)]
    pub shown: ShownArguments,
}

/// Whether a report is written: argument of every command that can write one.
#[derive(Debug, Args)]
pub struct ReportArguments {
    /// Write a report to this file too: one page of HTML with tables and drawings, to read in a browser or to print on A4.
    #[arg(id = "report", long = "report", value_name = "FILE.html")]
    pub file: Option<PathBuf>,
}
