//! Ctrl-C: the first press asks the search to stop, the second ends the process at once.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use cellarwright_solver::end_process;

use crate::exit::STOPPED_TWICE;

/// Whether the search is to stop.
#[derive(Clone, Debug, Default)]
pub struct Stop(Arc<AtomicBool>);

impl Stop {
    /// Listens from now on. Where the system does not let it, Ctrl-C ends the process at once, as without it.
    #[must_use]
    pub fn listen() -> Self {
        let stop = Self::default();
        let pressed = stop.clone();
        let listening = ctrlc::set_handler(move || {
            if pressed.0.swap(true, Ordering::SeqCst) {
                end_process(STOPPED_TWICE);
            }
        });
        // A second listener in one process cannot be; nothing is lost but the soft stop.
        drop(listening);
        stop
    }

    /// Whether Ctrl-C was pressed.
    #[must_use]
    pub fn is_asked(&self) -> bool {
        self.0.load(Ordering::SeqCst)
    }
}
