//! The only unsafe code of the workspace: the callback and the writer of HiGHS's C interface.
#![expect(unsafe_code, reason = "callbacks and model files are reached through the C interface only")]

use std::ffi::{CString, c_char, c_int, c_void};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;

use super::HighsError;

/// What HiGHS says while it runs.
#[derive(Clone, Debug, PartialEq)]
pub enum Said {
    /// How far it has come: seconds, objective of the best point, bound.
    Progress { seconds: f64, best: f64, bound: f64 },
    /// A point better than all before it.
    Point(Vec<f64>),
    /// It asks whether to stop, now that this bound is proven and so many iterations of linear programs are done.
    MayStop { bound: f64, iterations: i64 },
}

/// Hears what HiGHS says, and answers whether it is to stop.
pub type Hear = Box<dyn Fn(Said) -> bool + Send>;

/// Joins a run of HiGHS with who hears it. Must outlive the run.
pub struct Bridge {
    hear: Box<Hear>,
}

impl Bridge {
    /// A bridge to who hears.
    pub fn new(hear: Hear) -> Self {
        Self { hear: Box::new(hear) }
    }

    /// Has HiGHS call the bridge while the model runs.
    ///
    /// # Errors
    /// If HiGHS refuses the callback.
    pub fn attach(&self, model: &mut highs::Model) -> Result<(), HighsError> {
        let user: *const Hear = &raw const *self.hear;
        // SAFETY: the model is alive; `user` points into a box that the caller keeps until the run is over.
        let status = unsafe {
            highs_sys::Highs_setCallback(model.as_mut_ptr(), Some(trampoline), user.cast_mut().cast())
        };
        if status != highs_sys::STATUS_OK {
            return Err(HighsError::Refused("the callback"));
        }
        for kind in [
            highs_sys::kHighsCallbackMipLogging,
            highs_sys::kHighsCallbackMipImprovingSolution,
            highs_sys::kHighsCallbackMipInterrupt,
        ] {
            // SAFETY: the model is alive and has its callback.
            let status = unsafe { highs_sys::Highs_startCallback(model.as_mut_ptr(), kind as c_int) };
            if status != highs_sys::STATUS_OK {
                return Err(HighsError::Refused("the callback"));
            }
        }
        Ok(())
    }
}

unsafe extern "C" fn trampoline(
    kind: c_int,
    _message: *const c_char,
    out: *const highs_sys::HighsCallbackDataOut,
    input: *mut highs_sys::HighsCallbackDataIn,
    user: *mut c_void,
) {
    // SAFETY: HiGHS hands back the pointer that `attach` gave it.
    let hear = unsafe { &*user.cast_const().cast::<Hear>() };
    let hears = |said: Said| catch_unwind(AssertUnwindSafe(|| hear(said)));
    if kind == highs_sys::kHighsCallbackMipInterrupt as c_int {
        // SAFETY: HiGHS gives a valid output structure to this kind of callback, or none.
        let (bound, iterations) = unsafe { out.as_ref() }
            .map_or((f64::INFINITY, 0), |data| (data.mip_dual_bound, data.mip_total_lp_iterations));
        let stop = hears(Said::MayStop { bound, iterations }).unwrap_or(true);
        if stop && !input.is_null() {
            // SAFETY: HiGHS gives a valid input structure to this kind of callback.
            unsafe { (*input).user_interrupt = 1 };
        }
        return;
    }
    // SAFETY: HiGHS gives a valid output structure to these kinds of callback, or none.
    let Some(data) = (unsafe { out.as_ref() }) else { return };
    if kind == highs_sys::kHighsCallbackMipImprovingSolution as c_int && !data.mip_solution.is_null() {
        let length = usize::try_from(data.mip_solution_size).unwrap_or(0);
        // SAFETY: HiGHS gives a point of so many columns to this kind of callback.
        let point = unsafe { std::slice::from_raw_parts(data.mip_solution, length) };
        let _ = hears(Said::Point(point.to_vec()));
    }
    let (best, bound) = (data.mip_primal_bound, data.mip_dual_bound);
    let _ = hears(Said::Progress { seconds: data.running_time, best, bound });
}

/// A model on its way to the thread that runs it.
pub struct Moved(pub highs::Model);

// SAFETY: an instance of HiGHS belongs to no thread; it is used by the one that it is moved to alone. What HiGHS keeps for each thread
// begins with a run.
unsafe impl Send for Moved {}

unsafe extern "C" {
    /// Of the C library: ends the process without what was to be done at its end.
    fn _exit(status: c_int) -> !;
}

/// Ends the process at once. HiGHS may still be at work in a thread, which must not see its own variables destroyed.
pub fn end_process(status: i32) -> ! {
    // SAFETY: the function takes any number and does not come back.
    unsafe { _exit(status) }
}

/// Writes a model to a file.
///
/// # Errors
/// If the path is not plain or HiGHS cannot write it.
pub fn write_model(model: &mut highs::Model, path: &Path) -> Result<(), HighsError> {
    let shown = path.display().to_string();
    let name = CString::new(shown.clone()).map_err(|_| HighsError::Write(shown.clone()))?;
    // SAFETY: the model is alive and the name ends in a zero.
    let status = unsafe { highs_sys::Highs_writeModel(model.as_mut_ptr(), name.as_ptr()) };
    if status == highs_sys::STATUS_ERROR { Err(HighsError::Write(shown)) } else { Ok(()) }
}

/// Adds a constant to a model's objective.
///
/// # Errors
/// If HiGHS refuses it.
pub fn set_offset(model: &mut highs::Model, offset: f64) -> Result<(), HighsError> {
    // SAFETY: the model is alive.
    let status = unsafe { highs_sys::Highs_changeObjectiveOffset(model.as_mut_ptr(), offset) };
    if status == highs_sys::STATUS_OK { Ok(()) } else { Err(HighsError::Refused("a constant")) }
}

/// Names a row.
///
/// # Errors
/// If HiGHS refuses it.
pub fn name_row(model: &mut highs::Model, row: usize, name: &str) -> Result<(), HighsError> {
    let refused = || HighsError::Refused("a row name");
    let name = CString::new(name).map_err(|_| refused())?;
    let row = highs_sys::HighsInt::try_from(row).map_err(|_| refused())?;
    // SAFETY: the model is alive and the name ends in a zero.
    let status = unsafe { highs_sys::Highs_passRowName(model.as_mut_ptr(), row, name.as_ptr()) };
    if status == highs_sys::STATUS_ERROR { Err(refused()) } else { Ok(()) }
}
