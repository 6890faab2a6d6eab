//! Compiles a case into a mixed-integer program, solves it with HiGHS, reads the plan back and has it checked.

pub mod answer;
