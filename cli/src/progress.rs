//! How far the search has come, on stderr and only for a person who watches.

use std::io::{IsTerminal, Write};
use std::sync::{Arc, Mutex};
use std::time::Duration;

use cellarwright_solver::answer::{Observer, Progress};
use cellarwright_solver::levers::Steps;
use cellarwright_solver::why;
use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

use crate::changes::Files;
use crate::render::{numbers, words};
use crate::signal::Stop;

/// Shows the search on stderr and passes Ctrl-C on to it.
#[derive(Debug)]
pub struct Watch {
    bar: ProgressBar,
    stop: Stop,
    unit: &'static str,
    /// The last step that was told of; none where none is to be.
    told: Option<Mutex<String>>,
    files: Option<Arc<Files>>,
}

impl Watch {
    /// Begins to watch; shows nothing if stderr is no terminal or `quiet`.
    #[must_use]
    pub fn begin(quiet: bool, stop: Stop, unit: &'static str) -> Self {
        let is_shown = !quiet && std::io::stderr().is_terminal();
        let bar = if is_shown {
            ProgressBar::with_draw_target(None, ProgressDrawTarget::stderr_with_hz(4))
        } else {
            ProgressBar::hidden()
        };
        if let Ok(style) = ProgressStyle::with_template("{elapsed} {msg}") {
            bar.set_style(style);
        }
        bar.set_message(words::progress(None, None, unit));
        if is_shown {
            bar.enable_steady_tick(Duration::from_millis(500));
        }
        Self { bar, stop, unit, told: None, files: None }
    }

    /// Tells of every step in a line of its own, on a terminal or not.
    #[must_use]
    pub fn telling(mut self, is_asked: bool) -> Self {
        self.told = is_asked.then(Mutex::default);
        self
    }

    /// Stops the search when one of the files changes.
    #[must_use]
    pub fn until_changed(mut self, files: Option<&Arc<Files>>) -> Self {
        self.files = files.cloned();
        self
    }

    /// Tells of a step, unless it reads like the one before.
    fn tell(&self, seconds: f64, message: &str) {
        let Some(Ok(mut told)) = self.told.as_ref().map(Mutex::lock) else { return };
        if *told != message {
            message.clone_into(&mut told);
            let line = words::watch::step(seconds, message);
            self.bar.suspend(|| drop(writeln!(std::io::stderr(), "{line}")));
        }
    }

    /// Shows a message in place of the one before.
    pub fn show(&self, message: String) {
        self.bar.set_message(if self.stop.is_asked() { words::stopping(&message) } else { message });
    }

    /// Clears the line.
    pub fn end(&self) {
        self.bar.finish_and_clear();
    }
}

impl Steps for Watch {
    fn step(&self, done: usize, of: usize) {
        let message = words::levers::step(done, of);
        self.bar.set_message(if self.stop.is_asked() { words::stopping(&message) } else { message });
    }
}

impl why::Steps for Watch {
    fn at(&self, step: why::Step) {
        self.show(words::why::step(step));
    }
}

impl Observer for Watch {
    fn progress(&self, progress: Progress) {
        let shown = |value: f64| numbers::objective(value, self.unit);
        let message = words::progress(progress.best.map(shown), progress.bound.map(shown), self.unit);
        self.tell(progress.seconds, &message);
        self.show(message);
    }

    fn stop(&self) -> bool {
        self.stop.is_asked() || self.files.as_ref().is_some_and(|files| files.have_changed())
    }
}
