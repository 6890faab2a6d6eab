//! How the command ends.

use std::process::ExitCode;

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
    #[must_use]
    pub fn code(self) -> ExitCode {
        ExitCode::from(match self {
            Self::Good => 0,
            Self::Broken => 1,
            Self::BadInput => 2,
            Self::Internal => 3,
        })
    }
}
