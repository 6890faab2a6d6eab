//! Compiles a case into a mixed-integer program, solves it with HiGHS, reads the plan back and has it checked.

pub mod answer;
mod carried_on;
mod clock;
mod compile;
mod conflict;
mod construct;
mod decode;
mod highs;
pub mod layout;
pub mod levers;
mod parts;
pub mod rehearsal;
pub mod repeating;
mod search;
pub mod side_by_side;
mod solve;
pub mod why;

pub use answer::{Answer, NoObserver, Observer, Options, Progress, RuleSize, Size, Status};
pub use conflict::{Conflict, Settled};
pub use highs::{end_process, is_left_behind};
pub use repeating::{KeptUp, RepeatError, keep_up};
pub use solve::{
    AsItComes, SolveError, by_hand, idle, near_earlier, solve, solve_as_it_comes, solve_without, write_model,
};
