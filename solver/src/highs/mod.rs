//! The safe wrapper of HiGHS: builds with `good_lp`, runs with callbacks, and believes nothing without recomputing it.

mod apart;
mod callback;
mod dual_bound;
mod implied;

use good_lp::solvers::ObjectiveDirection;
use good_lp::{Expression, ProblemVariables, SolverModel, constraint, variable};
use highs::HighsModelStatus;

use crate::answer::{Observer, Options, Progress};
use crate::compile::program::Program;
use apart::Ended;
use callback::Said;
use cellarwright_model::tolerance::FEASIBILITY;
use dual_bound::dual_bound;

pub use apart::is_left_behind;
pub use callback::end_process;

/// Share of the gap asked for that HiGHS is given: the plan's own objective is a few cents lower, as every item is rounded to the cent.
pub const SHARE_OF_GAP: f64 = 0.998;

/// What goes wrong between the program and HiGHS.
#[derive(Debug, thiserror::Error)]
pub enum HighsError {
    /// HiGHS refused a model, an option or a run.
    #[error("HiGHS refused {0}")]
    Refused(&'static str),
    /// The program has no solution at all; every case has one, so the program is wrong.
    #[error("the program has no solution")]
    Infeasible,
    /// A model cannot be written to the file.
    #[error("HiGHS cannot write the model to {0}")]
    Write(String),
}

/// What a run of HiGHS is for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Purpose {
    /// A plan and a bound, to the gap asked for.
    PlanAndBound,
    /// The bound of the relaxation with cuts: the search ends with its first node.
    Cuts,
    /// The best plan worth more than so much, to the gap asked for, if there is one.
    Above(f64),
    /// A plan worth at least so much, whichever it is, or the proof that there is none (`HighsError::Infeasible`).
    AtLeast(f64),
}

/// What a run of HiGHS gave, recomputed.
#[derive(Clone, Debug)]
pub struct Solved {
    /// The best point, if it passes the recomputation.
    pub values: Option<Vec<f64>>,
    /// Upper bound on the objective of the program.
    pub bound: f64,
    /// HiGHS says that the search is complete (to the gap asked for).
    pub is_complete: bool,
}

fn build(program: &Program, direction: ObjectiveDirection) -> Result<highs::Model, HighsError> {
    let sign = match direction {
        ObjectiveDirection::Maximisation => 1.0,
        ObjectiveDirection::Minimisation => -1.0,
    };
    let mut variables = ProblemVariables::new();
    let columns: Vec<good_lp::Variable> = program
        .columns
        .iter()
        .map(|column| {
            let definition = variable().min(column.lower).max(column.upper);
            variables.add(if column.is_integer { definition.integer() } else { definition })
        })
        .collect();
    let objective: Expression = program
        .columns
        .iter()
        .zip(&columns)
        .filter(|(column, _)| column.cost != 0.0)
        .map(|(column, &variable)| variable * (sign * column.cost))
        .sum();
    let mut model = variables.optimise(direction, objective).using(good_lp::highs);
    for row in &program.rows {
        let terms: Expression =
            row.terms.iter().map(|&(column, coefficient)| columns[column.0] * coefficient).sum();
        let one = if row.lower == row.upper {
            constraint::eq(terms, row.upper)
        } else if row.lower == f64::NEG_INFINITY {
            constraint::leq(terms, row.upper)
        } else {
            constraint::geq(terms, row.lower)
        };
        model.add_constraint(one);
    }
    model.try_into_inner().map_err(|_| HighsError::Refused("the model"))
}

fn option<V: highs::HighsOptionValue>(
    model: &mut highs::Model,
    name: &'static str,
    value: V,
) -> Result<(), HighsError> {
    model.try_set_option(name, value).map_err(|_| HighsError::Refused(name))
}

/// Solves a program for a plan and a bound.
///
/// # Errors
/// As `solve_for`.
pub fn solve(
    program: &Program,
    options: &Options,
    scale: f64,
    observer: &dyn Observer,
) -> Result<Solved, HighsError> {
    solve_for(program, Purpose::PlanAndBound, options, scale, observer)
}

/// Solves a program without a start and recomputes what comes back.
///
/// The bound is that of a run without a start: with one, HiGHS 1.16 was seen to report a false optimum.
///
/// # Errors
/// If HiGHS refuses the model, an option or the run, or says that there is no solution.
pub fn solve_for(
    program: &Program,
    purpose: Purpose,
    options: &Options,
    scale: f64,
    observer: &dyn Observer,
) -> Result<Solved, HighsError> {
    let mut model = build(program, ObjectiveDirection::Maximisation)?;
    option(&mut model, "mip_rel_gap", options.gap.max(0.0) * SHARE_OF_GAP)?;
    option(&mut model, "mip_abs_gap", 1.0 / scale)?;
    option(&mut model, "mip_feasibility_tolerance", FEASIBILITY)?;
    option(&mut model, "time_limit", options.seconds.max(0.01))?;
    option(&mut model, "threads", options.threads)?;
    // Interior point (with crossover) for the first relaxation: its centre makes better cuts and first plans than a corner that the
    // simplex method comes to. DEVELOPERS.md has what was measured.
    option(&mut model, "mip_lp_solver", "ipm")?;
    option(&mut model, "random_seed", options.seed)?;
    option(&mut model, "mip_heuristic_run_rins", false)?;
    // Where all but good plans are cut off, a tenth of the whole columns is fixed at once: HiGHS then makes no cuts but starts again with
    // the smaller program, if it may. The program that it solves within it, fixed by reduced costs, is small too. Other searches end at
    // the root, and neither pays for its time there. DEVELOPERS.md has what was measured.
    let is_decision = matches!(purpose, Purpose::AtLeast(_));
    option(&mut model, "mip_allow_restart", is_decision)?;
    option(&mut model, "mip_heuristic_run_root_reduced_cost", is_decision)?;
    if matches!(purpose, Purpose::Cuts | Purpose::AtLeast(_)) {
        // Other programs that HiGHS solves within the program cannot be interrupted, and where all but good plans are cut off they take
        // longer than they help.
        option(&mut model, "mip_heuristic_run_rens", false)?;
        option(&mut model, "mip_heuristic_run_feasibility_jump", false)?;
    }
    if let Some(nodes) = observer.most_nodes() {
        option(&mut model, "mip_max_nodes", nodes)?;
    }
    match purpose {
        Purpose::PlanAndBound => {}
        Purpose::Above(worth) => option(&mut model, "objective_bound", -worth)?,
        Purpose::Cuts => option(&mut model, "mip_max_nodes", 1)?,
        Purpose::AtLeast(least) => {
            // HiGHS turns the program to minimise: what is earned counts below zero.
            option(&mut model, "objective_bound", -least)?;
            option(&mut model, "mip_max_improving_sols", 1)?;
        }
    }
    run(program, model, options.seconds, observer)
}

/// The best point of a program whose columns need not be whole, with what each column would cost.
#[derive(Clone, Debug)]
pub struct Relaxation {
    /// No plan earns more (`dual_bound`).
    pub bound: f64,
    /// Values of the columns.
    pub values: Vec<f64>,
    /// Reduced costs: what the objective changes by with each unit of a column.
    pub reduced_costs: Vec<f64>,
}

/// Solves the relaxation of a program: interior point with crossover. None if time is up or it is stopped before.
///
/// # Errors
/// If HiGHS refuses the model, an option or the run.
pub fn relax(
    program: &Program,
    seconds: f64,
    observer: &dyn Observer,
) -> Result<Option<Relaxation>, HighsError> {
    let mut model = build(&program.relaxed(), ObjectiveDirection::Maximisation)?;
    option(&mut model, "time_limit", seconds.max(0.01))?;
    option(&mut model, "threads", 1)?;
    option(&mut model, "solver", "ipm")?;
    let ended = apart::run(model, seconds, &mut |_| false, &|| observer.stop())?;
    let Some(Ended { values, reduced_costs, prices, .. }) =
        ended.filter(|ended| ended.status == HighsModelStatus::Optimal)
    else {
        return Ok(None);
    };
    let is_whole = values.len() == program.columns.len() && reduced_costs.len() == values.len();
    Ok(is_whole.then(|| Relaxation { bound: dual_bound(program, &prices), values, reduced_costs }))
}

/// Whether a program has no point at all, even with fractions of its whole columns; none if that is not known in time.
///
/// # Errors
/// If HiGHS refuses the model, an option or the run.
pub fn is_impossible_in_fractions(program: &Program, seconds: f64) -> Result<Option<bool>, HighsError> {
    let mut model = build(&program.relaxed(), ObjectiveDirection::Maximisation)?;
    option(&mut model, "time_limit", seconds.max(0.01))?;
    option(&mut model, "threads", 1)?;
    let solved = model.try_solve().map_err(|_| HighsError::Refused("to run"))?;
    let values = || solved.get_solution().columns().to_vec();
    Ok(match solved.status() {
        HighsModelStatus::Infeasible => Some(true),
        HighsModelStatus::Optimal => {
            let has_point = values().len() == program.columns.len();
            (has_point && program.relaxed().worst_breach(&values()) <= 100.0 * FEASIBILITY).then_some(false)
        }
        _ => None,
    })
}

/// Solves a program with all of HiGHS's own settings but the time, for comparison. Writes its log to a file if there is a path.
///
/// # Errors
/// As `solve`.
pub fn solve_as_it_comes(
    program: &Program,
    seconds: f64,
    log: Option<&std::path::Path>,
    observer: &dyn Observer,
) -> Result<Solved, HighsError> {
    let mut model = build(program, ObjectiveDirection::Maximisation)?;
    option(&mut model, "time_limit", seconds.max(0.01))?;
    if let Some(path) = log {
        option(&mut model, "log_file", path.as_os_str().as_encoded_bytes())?;
    }
    run(program, model, seconds, observer)
}

/// Runs a model under watch and recomputes what comes back. Where HiGHS does not stop in time, what it came to until then counts.
fn run(
    program: &Program,
    mut model: highs::Model,
    seconds: f64,
    observer: &dyn Observer,
) -> Result<Solved, HighsError> {
    let started = std::time::Instant::now();
    option(&mut model, "output_flag", true)?;
    option(&mut model, "log_to_console", false)?;
    // With the constant inside, HiGHS's relative gap is that of the true objective.
    callback::set_offset(&mut model, program.constant)?;
    let known = |value: f64| (value.abs() < 1e29).then_some(value);
    let report = |seconds: f64, best: f64, bound: f64| {
        observer.progress(Progress { seconds, best: known(best), bound: known(bound) });
    };
    let (mut held, mut proven) = (Vec::new(), f64::INFINITY);
    let mut hear = |said: Said| match said {
        Said::Progress { seconds, best, bound } => {
            proven = known(bound).unwrap_or(f64::INFINITY).min(proven);
            report(seconds, best, bound);
            false
        }
        Said::Point(values) => {
            held = values;
            false
        }
        Said::MayStop { bound, iterations } => {
            proven = known(bound).unwrap_or(f64::INFINITY).min(proven);
            observer.most_iterations().is_some_and(|most| iterations >= most)
                || observer.stop_at(known(bound))
        }
    };
    let solved = match apart::run(model, seconds, &mut hear, &|| observer.stop())? {
        Some(ended) => {
            let is_optimal = ended.status == HighsModelStatus::Optimal;
            if matches!(ended.status, HighsModelStatus::Infeasible | HighsModelStatus::UnboundedOrInfeasible)
            {
                return Err(HighsError::Infeasible);
            }
            let is_mip = program.columns.iter().any(|column| column.is_integer);
            let bound = if is_mip { ended.bound } else { dual_bound(program, &ended.prices) };
            judged(program, ended.values, bound, is_optimal)
        }
        None => judged(program, held, proven, false),
    };
    let best = solved.values.as_ref().map(|values| program.objective(values));
    report(started.elapsed().as_secs_f64(), best.unwrap_or(f64::NEG_INFINITY), solved.bound);
    Ok(solved)
}

/// Believes a point only if it keeps every bound, row and integrality, and a bound only if it is no better than the point.
fn judged(program: &Program, values: Vec<f64>, bound: f64, is_complete: bool) -> Solved {
    let has_point = values.len() == program.columns.len() && values.iter().all(|value| value.is_finite());
    if !has_point || program.worst_breach(&values) > 100.0 * FEASIBILITY {
        return Solved { values: None, bound, is_complete: false };
    }
    let objective = program.objective(&values);
    let slack = 1e-6 * objective.abs().max(1.0);
    let is_bound_sound = bound >= objective - slack;
    Solved {
        values: Some(values),
        bound: if is_bound_sound { bound.max(objective) } else { f64::INFINITY },
        is_complete: is_complete && is_bound_sound,
    }
}

/// Writes a program as an MPS (or LP) file, by the ending of the path: the negated objective is to be minimised, so that
/// every reader agrees, and rows carry the number of their rule.
///
/// # Errors
/// If HiGHS refuses the model or cannot write the file.
pub fn write(program: &Program, path: &std::path::Path) -> Result<(), HighsError> {
    let mut model = build(program, ObjectiveDirection::Minimisation)?;
    callback::set_offset(&mut model, -program.constant)?;
    for (position, row) in program.rows.iter().enumerate() {
        callback::name_row(&mut model, position, &format!("{}({position})", row.rule.code()))?;
    }
    callback::write_model(&mut model, path)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::answer::NoObserver;
    use cellarwright_model::rule::RuleId;

    /// Three items of weights 3, 4, 5 and values 4, 5, 6 into 8: the best is 3 + 5, worth 10 (worked by hand).
    fn knapsack() -> Program {
        let mut program = Program::default();
        let mut weight = Vec::new();
        for (kilos, value) in [(3.0, 4.0), (4.0, 5.0), (5.0, 6.0)] {
            let column = program.column(0.0, 1.0, true);
            program.earn(column, value);
            weight.push((column, kilos));
        }
        program.at_most(RuleId::FillLevel, weight, 8.0);
        program.constant = 7.0;
        program
    }

    #[test]
    fn optimum_and_bound_include_the_constant() {
        let options = Options { gap: 0.0, ..Options::default() };
        let solved = solve(&knapsack(), &options, 100.0, &NoObserver).unwrap();
        let values = solved.values.unwrap();
        assert!((knapsack().objective(&values) - 17.0).abs() < 1e-6);
        assert!((solved.bound - 17.0).abs() < 1e-6);
        assert!(solved.is_complete);
    }

    #[test]
    fn a_point_that_breaks_a_row_or_integrality_is_not_believed() {
        assert!(judged(&knapsack(), vec![1.0, 1.0, 1.0], 30.0, true).values.is_none());
        assert!(judged(&knapsack(), vec![0.5, 0.0, 0.0], 30.0, true).values.is_none());
        assert!(judged(&knapsack(), vec![1.0, 0.0, 1.0], 30.0, true).values.is_some());
    }

    #[test]
    fn a_bound_below_the_recomputed_objective_is_discarded_as_with_a_start_and_presolve_in_highs_1_16() {
        let solved = judged(&knapsack(), vec![1.0, 0.0, 1.0], 16.0, true);
        assert!(solved.bound.is_infinite());
        assert!(!solved.is_complete);
    }

    #[test]
    fn an_impossible_program_is_an_error() {
        let mut program = knapsack();
        program.at_least(RuleId::FillLevel, vec![(crate::compile::program::ColumnId(0), 1.0)], 2.0);
        assert!(matches!(
            solve(&program, &Options::default(), 100.0, &NoObserver),
            Err(HighsError::Infeasible)
        ));
    }

    #[test]
    fn in_fractions_more_is_possible_than_in_whole_numbers() {
        let mut program = knapsack();
        let all: crate::compile::program::Terms =
            (0..3).map(|column| (crate::compile::program::ColumnId(column), 1.0)).collect();
        program.at_least(RuleId::FillLevel, all.clone(), 2.2);
        // 3 + 4 + 0.2 x 5 kilos fit into 8; three whole items do not.
        assert_eq!(is_impossible_in_fractions(&program, 60.0).unwrap(), Some(false));
        assert!(matches!(
            solve(&program, &Options { threads: 1, ..Options::default() }, 100.0, &NoObserver),
            Err(HighsError::Infeasible)
        ));
        program.at_least(RuleId::FillLevel, all, 2.3);
        assert_eq!(is_impossible_in_fractions(&program, 60.0).unwrap(), Some(true));
    }

    #[test]
    fn a_plan_worth_at_least_so_much_is_found_or_there_is_none() {
        let options = Options { threads: 1, ..Options::default() };
        let at_least =
            |least: f64| solve_for(&knapsack(), Purpose::AtLeast(least), &options, 100.0, &NoObserver);
        for least in [-5.0, 0.0, 9.0, 16.5] {
            let values = at_least(least).unwrap().values.unwrap();
            assert!(knapsack().objective(&values) >= least - 1e-6, "{least}");
        }
        for least in [17.5, 18.0, 1000.0] {
            assert!(matches!(at_least(least), Err(HighsError::Infeasible)), "{least}");
        }
    }

    #[test]
    fn stopping_at_once_is_no_error() {
        struct Stop;
        impl Observer for Stop {
            fn progress(&self, _progress: Progress) {}
            fn stop(&self) -> bool {
                true
            }
        }
        assert!(solve(&knapsack(), &Options::default(), 100.0, &Stop).is_ok());
    }
}
