//! How far the search has come, on stderr and only for a person who watches.

use std::io::IsTerminal;
use std::time::Duration;

use cellarwright_solver::answer::{Observer, Progress};
use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

use crate::render::words;
use crate::signal::Stop;

/// Shows the search on stderr and passes Ctrl-C on to it.
#[derive(Debug)]
pub struct Watch {
    bar: ProgressBar,
    stop: Stop,
    unit: &'static str,
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
        Self { bar, stop, unit }
    }

    /// Clears the line.
    pub fn end(&self) {
        self.bar.finish_and_clear();
    }
}

impl Observer for Watch {
    fn progress(&self, progress: Progress) {
        let message = words::progress(progress.best, progress.bound, self.unit);
        self.bar.set_message(if self.stop.is_asked() { words::stopping(&message) } else { message });
    }

    fn stop(&self) -> bool {
        self.stop.is_asked()
    }
}
