//! The one place where time is wrapped around the cycle: what is the same in every repetition becomes one column and one row.
//!
//! Columns with one label (`labels`) that begin in one slot of the cycle are one column. A row belongs to the repetition in which the
//! last of its columns begins; those of the repetition in the middle are kept, each column in them replaced by that of the cycle. A batch
//! longer than the cycle is in such a row once for every repetition in which it began, so it takes so many vessels of its group.

use std::collections::BTreeMap;

use cellarwright_model::rule::RuleId;

use super::RepeatError;
use super::labels::{Known, Label};
use super::unroll::Unrolled;
use crate::compile::context::Context;
use crate::compile::program::{ColumnId, Program, Terms};

/// The program of a cycle.
#[derive(Clone, Debug)]
pub struct Folded {
    /// The program.
    pub program: Program,
    /// For each column of the unrolled program the column of the cycle; none for what no cycle has.
    pub columns: Vec<Option<ColumnId>>,
    /// Slots of the cycle.
    cycle: usize,
    /// The column of each label and slot of the cycle.
    of_label: BTreeMap<(Label, usize), ColumnId>,
}

impl Folded {
    /// The columns of the cycle in place of those of the unrolled program; those that no cycle has are nothing.
    #[must_use]
    pub fn wrapped(&self, terms: &Terms) -> Terms {
        terms.iter().filter_map(|&(column, count)| Some((self.columns[column.0]?, count))).collect()
    }

    /// The values of another, shorter cycle done over and over in this one; nothing for columns that have no label.
    #[must_use]
    pub fn again(&self, shorter: &Self, values: &[f64]) -> Vec<f64> {
        let mut again = vec![0.0; self.program.columns.len()];
        for ((label, slot), column) in &self.of_label {
            if let Some(of) = shorter.of_label.get(&(label.clone(), slot % shorter.cycle)) {
                again[column.0] = values[of.0];
            }
        }
        again
    }

    /// The values of the unrolled program in which the cycle repeats from the first day on.
    #[must_use]
    pub fn unfolded(&self, values: &[f64]) -> Vec<f64> {
        self.columns.iter().map(|column| column.map_or(0.0, |column| values[column.0])).collect()
    }
}

/// Whether the rows of a rule are those of a cycle. What is ordered and delivered is not: `sales` has it.
fn is_local(rule: RuleId) -> bool {
    match rule {
        RuleId::Orders => false,
        RuleId::OneBatch
        | RuleId::FillLevel
        | RuleId::Turns
        | RuleId::Ready
        | RuleId::Wait
        | RuleId::BrightRest
        | RuleId::Direct
        | RuleId::Clean
        | RuleId::Crew
        | RuleId::Line
        | RuleId::Pressure
        | RuleId::Volume
        | RuleId::Start
        | RuleId::Outage
        | RuleId::Pinned
        | RuleId::TankWork
        | RuleId::Yeast
        | RuleId::Serving
        | RuleId::Calendar
        | RuleId::Use
        | RuleId::Stages
        | RuleId::Hours
        | RuleId::Filter
        | RuleId::Packages
        | RuleId::WarmStore
        | RuleId::FullClean => true,
    }
}

/// Folds the unrolled program around the repetition that begins in slot `from`.
///
/// # Errors
/// If a row reaches over more days than anything can (it would add up since day 0, and a cycle has no day 0), or has a column of which
/// nobody has said what it is in a cycle.
pub fn fold(
    context: &Context,
    unrolled: &Unrolled,
    known: &[Known],
    from: usize,
) -> Result<Folded, RepeatError> {
    let cycle = unrolled.cycle_slots();
    let is_in = |slot: usize| (from..from + cycle).contains(&slot);
    let mut program = Program::default();
    let mut of_label: BTreeMap<(Label, usize), ColumnId> = BTreeMap::new();
    for (column, known) in context.program.columns.iter().zip(known) {
        let Some(place) = known.place().filter(|place| is_in(place.begins)) else { continue };
        program.columns.push(*column);
        of_label.insert((place.label.clone(), place.begins % cycle), ColumnId(program.columns.len() - 1));
    }
    let of = |known: &Known| {
        let place = known.place()?;
        of_label.get(&(place.label.clone(), place.begins % cycle)).copied()
    };
    let columns: Vec<Option<ColumnId>> = known.iter().map(of).collect();
    let mut folded = Folded { program, columns, cycle, of_label };
    let reach = (unrolled.reach + 7) * context.case.calendar.shifts.len();
    for row in context.program.rows.iter().filter(|row| is_local(row.rule)) {
        let begins = || row.terms.iter().filter_map(|&(column, _)| Some(known[column.0].place()?.begins));
        let (Some(first), Some(last)) = (begins().min(), begins().max()) else { continue };
        if !is_in(last) {
            continue;
        }
        let is_unknown = row.terms.iter().any(|&(column, _)| known[column.0] == Known::Nothing);
        if last - first > reach || is_unknown {
            return Err(RepeatError::NotOfACycle(row.rule));
        }
        let terms = folded.wrapped(&row.terms);
        let before = folded.program.rows.len();
        folded.program.row(row.rule, row.lower, terms, row.upper);
        folded.program.counts_vessels(before, row.vessels);
    }
    Ok(folded)
}

/// Whether two cycles folded from one unrolled program are the same but for the order of their columns and rows.
pub fn is_alike(known: &[Known], one: &Folded, other: &Folded) -> bool {
    // The same column in both: what stands for it in the unrolled program says which it is.
    let mut partner: BTreeMap<ColumnId, ColumnId> = BTreeMap::new();
    for (number, known) in known.iter().enumerate() {
        match (one.columns[number], other.columns[number]) {
            (Some(column), Some(same)) if *partner.entry(column).or_insert(same) != same => return false,
            (Some(_), Some(_)) | (None, None) => {}
            // Too near the end of the horizon for one of them.
            _ if known.place().is_some() => return false,
            _ => {}
        }
    }
    let rows = |folded: &Folded, renamed: bool| -> Vec<String> {
        let rename = |column: ColumnId| if renamed { partner.get(&column).copied() } else { Some(column) };
        let mut rows: Vec<String> = Vec::new();
        for row in &folded.program.rows {
            let mut terms: Vec<(Option<ColumnId>, i64)> = row
                .terms
                .iter()
                .map(|&(column, count)| (rename(column), (count * 1e6).round() as i64))
                .collect();
            terms.sort_unstable();
            rows.push(format!("{:?} {} {} {terms:?}", row.rule, row.lower, row.upper));
        }
        rows.sort_unstable();
        // What is the same twice says no more than once.
        rows.dedup();
        rows
    };
    let costs = |folded: &Folded, column: ColumnId| folded.program.columns[column.0];
    partner.iter().all(|(&column, &same)| costs(one, column) == costs(other, same))
        && one.program.columns.len() == other.program.columns.len()
        && rows(one, true) == rows(other, false)
}
