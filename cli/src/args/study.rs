//! Arguments of `study` and its steps.

use std::path::PathBuf;

use clap::{Args, Subcommand};

use super::PrintedArguments;
use super::values::{gap, part, seconds, weeks};

/// Arguments of `study`.
#[derive(Debug, Args)]
#[command(
    after_help = "An engine that runs commands on many machines does the second step, for example with a job array:\n  \
        cellarwright study run items.jsonl --item \"$INDEX\" --results results"
)]
pub struct StudyArguments {
    /// The step.
    #[command(subcommand)]
    pub step: StudyStep,
}

/// Steps of a study.
#[derive(Debug, Subcommand)]
pub enum StudyStep {
    /// Write the work items: one line of JSON for each demand and layout, which needs no other file.
    Prepare(PrepareArguments),
    /// Do work items: all of them, some, or those on stdin; what is done already is not done again.
    Run(RunArguments),
    /// Sum up results: the share of demands that each layout meets, and the cheapest layout for each.
    Sum(SumArguments),
}

/// Arguments of `study prepare`.
#[derive(Debug, Args)]
pub struct PrepareArguments {
    /// The brew plan (YAML) with a `layout`; it names the file of the cellar.
    pub brewplan: PathBuf,
    /// The study (YAML): demands and layouts.
    pub study: PathBuf,
    /// The file that the items go into, one a line.
    #[arg(long, value_name = "FILE.jsonl")]
    pub items: PathBuf,
    /// Make a change to the brew plan and its cellar first, as `compare` does.
    #[arg(long, value_name = "FILE")]
    pub change: Option<PathBuf>,
    /// Weeks after which everything repeats.
    #[arg(long, default_value = "1", value_parser = weeks)]
    pub weeks: usize,
    /// Stop a search once the best found is proven to be within this share of the best, such as 0.1% or 0.001.
    #[arg(long, default_value = "0.1%", value_parser = gap)]
    pub gap: f64,
    /// Random seed of the search.
    #[arg(long, default_value = "0", value_parser = clap::value_parser!(i32).range(0..))]
    pub seed: i32,
    /// Stop each search after so many nodes at the latest, with what is proven by then: the same on every machine, unlike a time limit.
    #[arg(long, value_name = "NUMBER", value_parser = clap::value_parser!(i32).range(1..))]
    pub nodes: Option<i32>,
}

/// Arguments of `study run`.
#[derive(Debug, Args)]
pub struct RunArguments {
    /// The items, as `study prepare` writes them; `-` for stdin.
    #[arg(value_name = "ITEMS.jsonl")]
    pub items: PathBuf,
    /// Do the item in this line, counted from 1; may be given several times. All items where neither this nor --part is given.
    #[arg(long = "item", value_name = "NUMBER", value_parser = clap::value_parser!(u64).range(1..), conflicts_with = "part")]
    pub chosen: Vec<u64>,
    /// Do one part of several: `2/8` does every eighth item from the second on.
    #[arg(long, value_name = "K/N", value_parser = part)]
    pub part: Option<Part>,
    /// Write each result to a file of its own in this folder, whole or not at all; an item that has its result there is not done again. Without
    /// it results go to stdout, one a line.
    #[arg(long, value_name = "FOLDER")]
    pub results: Option<PathBuf>,
    /// Stop an item after so many seconds of clock time, with what is proven by then. The result says so, and is done again where more
    /// seconds are given.
    #[arg(long, default_value = "3600", value_parser = seconds)]
    pub seconds: f64,
    /// Items that are done at a time, each by one thread.
    #[arg(long, default_value = "1", value_parser = clap::value_parser!(i32).range(1..=256))]
    pub threads: i32,
    /// Do not tell what is done.
    #[arg(long, short)]
    pub quiet: bool,
}

/// A part of several.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Part {
    /// Which, from 1.
    pub part: usize,
    /// Of how many.
    pub of: usize,
}

/// Arguments of `study sum`.
#[derive(Debug, Args)]
pub struct SumArguments {
    /// The items, as `study prepare` writes them.
    #[arg(value_name = "ITEMS.jsonl")]
    pub items: PathBuf,
    /// Results: files of lines, or folders with such files.
    #[arg(required = true, value_name = "RESULTS")]
    pub results: Vec<PathBuf>,
    /// How the answer is printed.
    #[command(flatten)]
    pub printed: PrintedArguments,
}
