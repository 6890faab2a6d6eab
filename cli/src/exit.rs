//! How the command ends.

use std::io::Write;
use std::process::ExitCode;

use cellarwright_solver::{end_process, is_left_behind};

/// How the command ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Exit {
    /// There is a plan, or the plan given keeps every rule.
    Good,
    /// There is no plan, or the plan given breaks rules.
    Broken,
    /// The input or the way the command was called is wrong.
    BadInput,
    /// Something failed that is not the user's fault.
    Internal,
}

/// Exit code after the second Ctrl-C, as shells count it.
pub const STOPPED_TWICE: i32 = 130;

impl Exit {
    /// The process's exit code.
    const fn code(self) -> u8 {
        match self {
            Self::Good => 0,
            Self::Broken => 1,
            Self::BadInput => 2,
            Self::Internal => 3,
        }
    }

    /// Ends the command. Where a search was left behind, it is not waited for.
    pub fn leave(self) -> ExitCode {
        if is_left_behind() {
            // Whoever read it may be gone.
            drop(std::io::stdout().flush());
            end_process(i32::from(self.code()));
        }
        ExitCode::from(self.code())
    }
}
