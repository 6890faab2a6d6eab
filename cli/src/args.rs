//! The command line: commands and options, nothing else.

mod choices;
mod shared;
mod study;
#[cfg(test)]
mod tests;
mod values;

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand};
use jiff::civil::Date;

pub use choices::{SchemaFile, Shell, Size, UnitSystem};
pub use shared::{PrintedArguments, ReportArguments, SearchArguments, ShownArguments};
pub use study::{PrepareArguments, RunArguments, StudyArguments, StudyStep, SumArguments};
use values::{chance, change_costs, date, draws, late_chances, pairs_of, weeks};

/// Works out the best week for a brewery's cellar and shows how sure it is.
#[derive(Debug, Parser)]
#[command(name = "cellarwright", version, max_term_width = 100)]
pub struct Arguments {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

/// What to do.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Plan the days of a brew plan: what to brew, move, clean and package, where, and by whom.
    Plan(PlanArguments),
    /// Plan the rest of the days again while a plan is being carried out, with as few changes as pay for those who have read it.
    Replan(ReplanArguments),
    /// Rehearse a plan: batches are late and lines stop, and each time the rest is planned again as a brewer would.
    Rehearse(RehearseArguments),
    /// Check a plan file against its brew plan: every rule that it breaks, and what it is worth.
    Check(CheckArguments),
    /// Work out what can be kept up for ever: the best week, or cycle of weeks, that repeats.
    KeepUp(KeepUpArguments),
    /// Find out what one unit more of each resource adds a week: a tank, a person, an hour, a turn, a day; with a proven range.
    Levers(LeversArguments),
    /// Find out why an order is short or late: what filling it in full and in time would displace, or what forbids it.
    Why(WhyArguments),
    /// Put two or more cellars, brew plans or changes side by side: output, orders, work, and what is proven of the differences.
    Compare(CompareArguments),
    /// Work out what to buy so that a demand is met at the lowest yearly cost, and prove that nothing cheaper meets it.
    Layout(LayoutArguments),
    /// Try layouts under many demands, on many machines: write work items, do them anywhere, and sum up what came of them.
    Study(StudyArguments),
    /// Show what every beer needs of every vessel, what plate, relief and margin leave, and which lines it feeds.
    Pressure(PressureArguments),
    /// Explain a rule: what it says, why, its numbers in a brew plan, its source. All rules where none is named.
    Rule(RuleArguments),
    /// Write a small brew plan and cellar to begin with, commented and ready to be planned.
    New(NewArguments),
    /// Print the JSON Schema of a file, with which an editor completes and checks while you type, or of the lines of a study.
    Schema(SchemaArguments),
    /// Print the completions of a shell, for a package or your own start-up files.
    Completions(CompletionsArguments),
    /// Write the manual pages into a folder, for a package.
    Man(ManArguments),
}

/// Arguments of `plan`.
#[derive(Debug, Args)]
pub struct PlanArguments {
    /// The brew plan (YAML); it names the file of the cellar.
    pub brewplan: PathBuf,
    /// How the answer is printed.
    #[command(flatten)]
    pub printed: PrintedArguments,
    /// Print where the beer of the planned days went as well: losses by batch, packages, barrels.
    #[arg(long)]
    pub volumes: bool,
    /// Print the size of the mixed-integer program as well: rows, columns and nonzeros by rule.
    #[arg(long)]
    pub stats: bool,
    /// Write the plan to this file too, to be read by `check` or edited.
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,
    /// Whether a report is written.
    #[command(flatten)]
    pub report: ReportArguments,
    /// Write a calendar (RFC 5545) for each crew into this directory too; calendars of an earlier plan in it are brought up to date.
    #[arg(long, value_name = "DIR")]
    pub calendar: Option<PathBuf>,
    /// Write the plan as a workbook (XLSX) to this file too: a sheet for each crew, vessels, orders, slack.
    #[arg(long, value_name = "FILE.xlsx")]
    pub workbook: Option<PathBuf>,
    /// Write the same sheets as CSV files into this directory too.
    #[arg(long, value_name = "DIR")]
    pub csv: Option<PathBuf>,
    /// How long and how well to search.
    #[command(flatten)]
    pub search: SearchArguments,
    /// Write the mixed-integer program to this file as well (MPS), for other solvers.
    #[arg(long, value_name = "FILE.mps")]
    pub write_model: Option<PathBuf>,
    /// Plan again whenever the brew plan, or a file that it names, changes; until Ctrl-C.
    #[arg(long)]
    pub watch: bool,
    /// Tell of every step of the search, in lines on stderr.
    #[arg(long, short, conflicts_with = "quiet")]
    pub verbose: bool,
}

/// Arguments of `replan`: those of `plan`, and the plan that is being carried out.
#[derive(Debug, Args)]
#[command(mut_arg("watch", |arg| arg.hide(true)))]
pub struct ReplanArguments {
    /// The plan (YAML) that is being carried out, as `plan --out` writes it.
    #[arg(long, value_name = "PLAN", conflicts_with = "watch")]
    pub from: PathBuf,
    /// The first day that is planned again, such as 2026-12-10; what the plan says of the days before it is done.
    #[arg(long, value_name = "DATE", value_parser = date)]
    pub on: Date,
    /// What has happened (YAML): batches that are late, what is out, who is away, orders, work that was done otherwise.
    #[arg(long, value_name = "FILE.yaml")]
    pub happened: Option<PathBuf>,
    /// Change at most so many pieces of work.
    #[arg(long, value_name = "NUMBER")]
    pub changes: Option<usize>,
    /// What the smallest change costs, in money (hL with `aim: output`); larger and nearer ones cost more. 10 money or 0.1 hL
    /// where it is left out.
    #[arg(long, value_name = "AMOUNT", value_parser = change_costs)]
    pub change_costs: Option<f64>,
    /// All that a plan has.
    #[command(flatten)]
    pub plan: PlanArguments,
}

/// Arguments of `rehearse`.
#[derive(Debug, Args)]
#[command(
    mut_arg("seconds", |arg| arg.help("Search for at most so many seconds each time that is planned again")),
    mut_arg("threads", |arg| arg.help("Rehearsals that are done at a time")),
    mut_arg("seed", |arg| arg.help("Random seed of the draws and of the search; the same seed gives the same answer"))
)]
pub struct RehearseArguments {
    /// The brew plan (YAML); it names the file of the cellar.
    pub brewplan: PathBuf,
    /// The plan (YAML) that is rehearsed, as `plan --out` writes it.
    #[arg(long, value_name = "PLAN")]
    pub from: PathBuf,
    /// How many random draws, besides each batch one, two and three days late in turn.
    #[arg(long, default_value = "20", value_parser = draws)]
    pub draws: usize,
    /// In a draw: the chances that a batch is ready one, two and three days late. The default is an assumption, not measured anywhere; yours
    /// are in the brewing log.
    #[arg(long, value_name = "SHARES", default_value = "10%,5%,2%", value_parser = late_chances)]
    pub late: LateChances,
    /// In a draw: the chance that a line stops for the whole of a day on which it is to run. The default is an assumption.
    #[arg(long, value_name = "SHARE", default_value = "2%", value_parser = chance)]
    pub stops: f64,
    /// What the smallest change costs, as in `replan`.
    #[arg(long, value_name = "AMOUNT", value_parser = change_costs)]
    pub change_costs: Option<f64>,
    /// How the answer is printed.
    #[command(flatten)]
    pub printed: PrintedArguments,
    /// Whether a report is written.
    #[command(flatten)]
    pub report: ReportArguments,
    /// How long and how well to search, each time that is planned again.
    #[command(flatten)]
    pub search: SearchArguments,
}

/// Chances that a batch is one, two and three days late.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LateChances(pub [f64; 3]);

/// Arguments of `check`.
#[derive(Debug, Args)]
pub struct CheckArguments {
    /// The brew plan (YAML) that the plan was made for.
    pub brewplan: PathBuf,
    /// The plan (YAML), as `plan --out` writes it.
    pub plan: PathBuf,
    /// How the answer is printed.
    #[command(flatten)]
    pub printed: PrintedArguments,
    /// Print where the beer of the planned days went as well: losses by batch, packages, barrels.
    #[arg(long)]
    pub volumes: bool,
    /// Whether a report is written.
    #[command(flatten)]
    pub report: ReportArguments,
    /// Write a calendar (RFC 5545) for each crew into this directory too; calendars of an earlier plan in it are brought up to date.
    #[arg(long, value_name = "DIR")]
    pub calendar: Option<PathBuf>,
}

/// Arguments of `keep-up`.
#[derive(Debug, Args)]
pub struct KeepUpArguments {
    /// The brew plan (YAML); it names the file of the cellar. Its dates, stock and beer in tank are left out.
    pub brewplan: PathBuf,
    /// Weeks after which everything repeats.
    #[arg(long, default_value = "1", value_parser = weeks)]
    pub weeks: usize,
    /// How the answer is printed.
    #[command(flatten)]
    pub printed: PrintedArguments,
    /// Print the size of the mixed-integer program as well: rows, columns and nonzeros by rule.
    #[arg(long)]
    pub stats: bool,
    /// How long and how well to search.
    #[command(flatten)]
    pub search: SearchArguments,
}

/// Arguments of `levers`.
#[derive(Debug, Args)]
#[command(mut_arg("seconds", |seconds| seconds.default_value("300")), mut_arg("gap", |gap| gap.default_value("0.1%")))]
pub struct LeversArguments {
    /// The brew plan (YAML); it names the file of the cellar.
    pub brewplan: PathBuf,
    /// Look for what can be kept up for ever, in a cycle of so many weeks, and not at the days of the brew plan.
    #[arg(long, value_parser = weeks)]
    pub weeks: Option<usize>,
    /// Look at both: the days of the brew plan, and beside them what can be kept up for ever, in a cycle of `--weeks` (one where it is left out); each has half
    /// of the time.
    #[arg(long)]
    pub both: bool,
    /// Try pairs too: two of them may add more than each by itself.
    #[arg(long)]
    pub pairs: bool,
    /// Try the pairs among so many: vessels first, then those that add most.
    #[arg(long, value_name = "N", default_value = "4", value_parser = pairs_of)]
    pub pairs_of: usize,
    /// How the answer is printed.
    #[command(flatten)]
    pub printed: PrintedArguments,
    /// Whether a report is written.
    #[command(flatten)]
    pub report: ReportArguments,
    /// How long and how well to search: the seconds are for all cases together, the threads are cases at a time.
    #[command(flatten)]
    pub search: SearchArguments,
}

/// Arguments of `why`.
#[derive(Debug, Args)]
#[command(mut_arg("seconds", |seconds| seconds.default_value("180")), mut_arg("gap", |gap| gap.default_value("0.1%")))]
pub struct WhyArguments {
    /// The brew plan (YAML); it names the file of the cellar.
    pub brewplan: PathBuf,
    /// The order that is to be filled in full on its due day: its name, or as much of name, beer, format and due date as it alone has, with
    /// commas between them ("Pale, keg, 2026-12-11"). Given several times: all of them together.
    #[arg(long = "order", required = true, value_name = "ORDER")]
    pub orders: Vec<String>,
    /// Whether a report is written.
    #[command(flatten)]
    pub report: ReportArguments,
    /// How the answer is printed.
    #[command(flatten)]
    pub printed: PrintedArguments,
    /// How long and how well to search: the seconds are for everything together.
    #[command(flatten)]
    pub search: SearchArguments,
}

/// Arguments of `compare`.
#[derive(Debug, Args)]
pub struct CompareArguments {
    /// The brew plan (YAML) that the others are compared with; it names the file of its cellar.
    pub base: PathBuf,
    /// Other brew plans; cellars, which are used with the first brew plan; or changes, which are made to the first brew plan and its
    /// cellar.
    #[arg(required = true, value_name = "CASE")]
    pub cases: Vec<PathBuf>,
    /// Compare what can be kept up for ever, in a cycle that repeats, instead of the plans of the planned days.
    #[arg(long)]
    pub for_ever: bool,
    /// With --for-ever: weeks after which everything repeats.
    #[arg(long, default_value = "1", value_parser = weeks, requires = "for_ever")]
    pub weeks: usize,
    /// How the answer is printed.
    #[command(flatten)]
    pub printed: PrintedArguments,
    /// Whether a report is written.
    #[command(flatten)]
    pub report: ReportArguments,
    /// How long and how well to search, for each of them; the threads are divided among those that are searched at the same time.
    #[command(flatten)]
    pub search: SearchArguments,
}

/// Arguments of `layout`.
#[derive(Debug, Args)]
#[command(mut_arg("seconds", |seconds| seconds.default_value("300")), mut_arg("gap", |gap| gap.default_value("0.1%")))]
pub struct LayoutArguments {
    /// The brew plan (YAML) with a `layout`; it names the file of the cellar. Its dates, stock and beer in tank are left out.
    pub brewplan: PathBuf,
    /// Make a change to the brew plan and its cellar first, as `compare` does.
    #[arg(long, value_name = "FILE")]
    pub change: Option<PathBuf>,
    /// What may be spent on prices at most, in place of `limits: {price: ..}` in the brew plan.
    #[arg(long, value_name = "MONEY", value_parser = clap::value_parser!(i64).range(0..=1_000_000_000))]
    pub budget: Option<i64>,
    /// Weeks after which everything repeats.
    #[arg(long, default_value = "1", value_parser = weeks)]
    pub weeks: usize,
    /// How the answer is printed.
    #[command(flatten)]
    pub printed: PrintedArguments,
    /// Whether a report is written.
    #[command(flatten)]
    pub report: ReportArguments,
    /// Plan so many weeks of the busiest season day by day too, with what is to be bought: by the dates, closed days and outages of the brew
    /// plan and from its tanks.
    #[arg(long, value_name = "WEEKS", value_parser = clap::value_parser!(i64).range(1..=8))]
    pub peak: Option<i64>,
    /// How long and how well to search: the seconds are for all families together.
    #[command(flatten)]
    pub search: SearchArguments,
}

/// Arguments of `pressure`.
#[derive(Debug, Args)]
pub struct PressureArguments {
    /// The brew plan (YAML); it names the file of the cellar.
    pub brewplan: PathBuf,
    /// How the answer is printed.
    #[command(flatten)]
    pub printed: PrintedArguments,
}

/// Arguments of `rule`.
#[derive(Debug, Args)]
pub struct RuleArguments {
    /// The rule, such as R06.
    pub rule: Option<String>,
    /// The brew plan (YAML) whose numbers are shown.
    pub brewplan: Option<PathBuf>,
    /// Units.
    #[command(flatten)]
    pub shown: ShownArguments,
}

/// Arguments of `completions`.
#[derive(Debug, Args)]
pub struct CompletionsArguments {
    /// The shell.
    #[arg(value_enum)]
    pub shell: Shell,
}

/// Arguments of `man`.
#[derive(Debug, Args)]
pub struct ManArguments {
    /// The folder that the pages go into; it is made if it is not there.
    #[arg(value_name = "FOLDER")]
    pub folder: PathBuf,
}

/// Arguments of `new`.
#[derive(Debug, Args)]
pub struct NewArguments {
    /// The folder that the files go into; it is made if it is not there.
    #[arg(value_name = "FOLDER")]
    pub folder: PathBuf,
    /// What kind of brewery.
    #[arg(long, value_enum, default_value = "production")]
    pub size: Size,
    /// Units of the quantities.
    #[arg(long, value_enum, default_value = "metric")]
    pub units: UnitSystem,
    /// The first planned day, such as 2027-02-01; the next Monday if it is left out.
    #[arg(long, value_name = "DATE", value_parser = date)]
    pub starts: Option<Date>,
}

/// Arguments of `schema`.
#[derive(Debug, Args)]
pub struct SchemaArguments {
    /// Which of the files.
    #[arg(value_enum)]
    pub file: SchemaFile,
}
