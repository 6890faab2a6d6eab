//! A run of HiGHS in a thread of its own, which is left behind where it does not stop in time.
//!
//! HiGHS looks at its limits between the programs that it solves within the program, not in them, and in neither presolve nor every step of
//! its simplex method; that may be many seconds. So whoever waits for the run waits no longer than a moment after it was to be over, and
//! goes by what was said until then. What is left behind ends when it next asks.

use std::sync::Mutex;
use std::sync::PoisonError;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{RecvTimeoutError, channel};
use std::time::{Duration, Instant};

use highs::HighsModelStatus;

use super::HighsError;
use super::callback::{Bridge, Moved, Said};

/// How often it is asked whether to stop, while HiGHS says nothing.
const EVERY: Duration = Duration::from_millis(10);
/// How long a run is waited for that was to be over.
const MOMENT: Duration = Duration::from_millis(150);

/// A run was left behind in this process.
static LEFT_BEHIND: AtomicBool = AtomicBool::new(false);

/// Whether a run of HiGHS was left behind in this process: it may be at work until the process ends.
pub fn is_left_behind() -> bool {
    LEFT_BEHIND.load(Ordering::SeqCst)
}

/// What a run came to, as HiGHS says.
#[derive(Clone, Debug)]
pub struct Ended {
    pub status: HighsModelStatus,
    /// Bound of a search; infinite where there is none.
    pub bound: f64,
    /// The best point.
    pub values: Vec<f64>,
    /// What the objective changes by with each unit of a column.
    pub reduced_costs: Vec<f64>,
    /// What the objective changes by with each unit of a row's side.
    pub prices: Vec<f64>,
}

enum Word {
    Said(Said),
    Ended(Result<Ended, HighsError>),
}

/// Runs a model. `hear` is told what HiGHS says while it runs and answers whether it is to stop; `stop` says so at any moment, and so does the time.
/// None if the run was left behind.
///
/// # Errors
/// If HiGHS refuses the run.
pub fn run(
    model: highs::Model,
    seconds: f64,
    hear: &mut dyn FnMut(Said) -> bool,
    stop: &dyn Fn() -> bool,
) -> Result<Option<Ended>, HighsError> {
    let (say, words) = channel();
    let (answer, answers) = channel();
    let until = Instant::now() + Duration::from_secs_f64(seconds.clamp(0.0, 1e7));
    let model = Moved(model);
    let answers = Mutex::new(answers);
    let begun = std::thread::Builder::new().name("highs".to_owned()).spawn(move || {
        let at_end = say.clone();
        let hears = Box::new(move |said: Said| {
            let waits = matches!(said, Said::MayStop { .. });
            let is_gone = say.send(Word::Said(said)).is_err();
            let answer = || answers.lock().unwrap_or_else(PoisonError::into_inner).recv().unwrap_or(true);
            is_gone || waits && answer()
        });
        // Nobody hears it where the run was left behind.
        drop(at_end.send(Word::Ended(solve(model, &Bridge::new(hears)))));
    });
    begun.map_err(|_| HighsError::Refused("a thread"))?;
    let mut over: Option<Instant> = None;
    loop {
        match words.recv_timeout(EVERY) {
            Ok(Word::Ended(ended)) => return ended.map(Some),
            Ok(Word::Said(said)) => {
                let waits = matches!(said, Said::MayStop { .. });
                let is_to_stop = hear(said);
                if waits {
                    // It listens: it is waited for, unless the time is over or a stop was asked too.
                    let _ = answer.send(is_to_stop);
                }
            }
            Err(RecvTimeoutError::Timeout) => {}
            Err(RecvTimeoutError::Disconnected) => return Err(HighsError::Refused("to run")),
        }
        if over.is_none() && (Instant::now() >= until || stop()) {
            over = Some(Instant::now());
        }
        if over.is_some_and(|over| over.elapsed() > MOMENT) {
            LEFT_BEHIND.store(true, Ordering::SeqCst);
            return Ok(None);
        }
    }
}

fn solve(model: Moved, bridge: &Bridge) -> Result<Ended, HighsError> {
    let Moved(mut model) = model;
    bridge.attach(&mut model)?;
    let solved = model.try_solve().map_err(|_| HighsError::Refused("to run"))?;
    let solution = solved.get_solution();
    Ok(Ended {
        status: solved.status(),
        bound: solved.double_info_value(c"mip_dual_bound").unwrap_or(f64::INFINITY),
        values: solution.columns().to_vec(),
        reduced_costs: solution.dual_columns().to_vec(),
        prices: solution.dual_rows().to_vec(),
    })
}
