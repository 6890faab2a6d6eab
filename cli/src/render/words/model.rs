//! The size of the program: names of rules and columns.

use cellarwright_model::rule::RuleId;

/// Heading of the section.
pub const HEADING: &str = "Size of the program by rule";
/// Columns of the table.
pub const COLUMNS: [&str; 5] = ["rule", "about", "rows", "nonzeros", "columns touched"];
/// The last line of the table.
pub const TOGETHER: &str = "together";
/// What the numbers are.
pub const NOTE: &str = "Rows and nonzeros add up. Columns touched are the different columns in the rows of a rule; a column may be in rows \
    of several rules, or of none, so they do not add up to the columns of the program. Rules that only forbid columns have no rows. Counted as \
    compiled: before the solver's presolve, and without the cuts of clock times.";

/// How many columns there are.
#[must_use]
pub fn columns(all: &str, whole: &str) -> String {
    format!("The program has {all} columns, {whole} of them in whole numbers.")
}

/// What a rule is about, in a few words.
#[must_use]
pub fn about(rule: RuleId) -> &'static str {
    match rule {
        RuleId::OneBatch => "one batch from fill to empty",
        RuleId::FillLevel => "fill levels",
        RuleId::Turns => "turns of the brewhouse",
        RuleId::Ready => "readiness",
        RuleId::Wait => "waiting beer",
        RuleId::BrightRest => "rest in bright tanks",
        RuleId::Direct => "packaging from fermenters",
        RuleId::Clean => "cleaning",
        RuleId::Crew => "crews",
        RuleId::Line => "packaging lines",
        RuleId::Pressure => "pressure",
        RuleId::Volume => "balance of volumes",
        RuleId::Orders => "orders and stock",
        RuleId::Start => "beer in tank on day 0",
        RuleId::Outage => "outages and upkeep",
        RuleId::Pinned => "pinned work",
        RuleId::TankWork => "work on beer in tank",
        RuleId::Yeast => "yeast",
        RuleId::Serving => "serving tanks",
        RuleId::Calendar => "working shifts",
        RuleId::Use => "uses of vessels",
        RuleId::Stages => "leaving in stages",
        RuleId::Hours => "hours of the day",
        RuleId::Filter => "filter, gas and hoses",
        RuleId::Packages => "packages and materials",
        RuleId::WarmStore => "warm store",
        RuleId::FullClean => "full cleans",
    }
}
