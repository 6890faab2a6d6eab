//! What every part of the compiler works on: the case, the grid, the groups, the kinds of batches, the program.

use cellarwright_model::case::{Case, MeasuredBatch};
use cellarwright_model::ids::BeerId;
use cellarwright_model::rule::RuleId;
use cellarwright_model::units::Volume;

use super::columns::Columns;
use super::grid::{Grid, PeriodId};
use super::groups::{GroupId, Groups};
use super::program::Program;
use super::rules::blend::Mixture;
use super::rules::stages::Division;
use super::without::{Subject, Without};

/// Position of a kind of batch in `Context::kinds`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct KindId(pub usize);

/// Where batches of a kind come from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Origin {
    /// Brewed within the horizon, in so many turns.
    New {
        /// Turns of each batch.
        turns: i64,
        /// Wort of the one turn, where it is a part turn.
        part: Option<Volume>,
    },
    /// One batch that is in a fermenter on day 0: a position in `Case::in_tank`.
    Opening {
        /// The position.
        in_tank: usize,
    },
    /// Batches of another kind, moved into conditioning tanks for the rest of their stay.
    Moved {
        /// The kind as it was brewed.
        of: KindId,
    },
}

/// Batches of one beer and one volume.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Kind {
    /// The beer.
    pub beer: BeerId,
    /// Where they come from.
    pub origin: Origin,
    /// Groups that they may ferment in, or condition in.
    pub groups: Vec<GroupId>,
    /// The one batch of the earlier plan that was measured, if the kind is made for it.
    pub measured: Option<MeasuredBatch>,
    /// Volume after the tank loss.
    pub tank_volume: Volume,
    /// Volume to be packaged straight from the fermenter, after the direct loss.
    pub direct_volume: Volume,
}

/// Everything the compiler works on.
#[derive(Clone, Debug)]
pub struct Context<'a> {
    /// The case.
    pub case: &'a Case,
    /// What is left out, to explain why something cannot be, or for tests of the checker.
    pub without: Without,
    /// A cycle repeats through the horizon: rules that add up since day 0 are written without it.
    pub repeats: bool,
    /// Time.
    pub grid: Grid,
    /// Vessels.
    pub groups: Groups,
    /// Batches.
    pub kinds: Vec<Kind>,
    /// Ways to divide each kind over bright tanks, by `KindId`.
    pub divisions: Vec<Vec<Division>>,
    /// Pairs of batches that may fill one bright tank together.
    pub mixtures: Vec<Mixture>,
    /// The program so far.
    pub program: Program,
    /// What its columns mean.
    pub columns: Columns,
}

impl<'a> Context<'a> {
    /// An empty program for a case.
    pub fn new(case: &'a Case, without: Without) -> Self {
        Self {
            case,
            without,
            repeats: false,
            grid: Grid::new(&case.calendar),
            groups: Groups::new(case),
            kinds: Vec::new(),
            divisions: Vec::new(),
            mixtures: Vec::new(),
            program: Program::default(),
            columns: Columns::default(),
        }
    }

    /// Whether a rule is in force.
    pub fn keeps(&self, rule: RuleId) -> bool {
        !self.without.has_rule(rule)
    }

    /// Whether a rule is in force for one thing on a day.
    pub fn keeps_of(&self, rule: RuleId, subject: Subject, day: i64) -> bool {
        self.keeps(rule) && !self.without.has(rule, subject, day)
    }

    /// First and last day of a period.
    pub fn days_of(&self, period: PeriodId) -> (i64, i64) {
        let period = self.grid.period(period);
        (period.first_day, period.last_day)
    }

    /// The vessels of a group, as a part of a rule names them.
    pub fn vessels(&self, group: GroupId) -> Subject {
        Subject::Vessels(self.groups.get(group).vessels[0])
    }

    /// The kind with this position.
    pub fn kind(&self, id: KindId) -> &Kind {
        &self.kinds[id.0]
    }

    /// A group whose vessel must be told from all others, if this is one.
    pub fn named(&self, group: GroupId) -> Option<GroupId> {
        Some(group).filter(|&group| self.case.is_named(self.groups.get(group).vessels[0]))
    }

    /// Day of the last turn of an opening batch and its ready day; none for new batches.
    pub fn opening(&self, id: KindId) -> Option<&'a cellarwright_model::case::InTank> {
        match self.kind(id).origin {
            Origin::New { .. } => None,
            Origin::Opening { in_tank } => Some(&self.case.in_tank[in_tank]),
            Origin::Moved { of } => self.opening(of),
        }
    }

    /// What batches of a kind are once they are moved into conditioning tanks of a group; none if they may not be.
    pub fn moved_kind(&self, id: KindId, to: GroupId) -> Option<KindId> {
        let is_meant = |kind: &Kind| kind.origin == Origin::Moved { of: id } && kind.groups.contains(&to);
        self.kinds.iter().position(is_meant).map(KindId)
    }
}
