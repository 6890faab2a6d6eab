//! The only unsafe code of the workspace: the callback and the writer of HiGHS's C interface.
#![expect(unsafe_code, reason = "callbacks and model files are reached through the C interface only")]

use std::ffi::{CString, c_char, c_int, c_void};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;

use super::HighsError;

type Report<'a> = &'a (dyn Fn(f64, f64, f64) + 'a);
type Stop<'a> = &'a (dyn Fn(f64) -> bool + 'a);

/// Joins a run of HiGHS with its observer. Must outlive the run.
pub struct Bridge<'a> {
    inner: Box<Inner<'a>>,
}

struct Inner<'a> {
    report: Report<'a>,
    stop: Stop<'a>,
}

impl<'a> Bridge<'a> {
    /// A bridge to a reporter of (seconds, best, bound) and a question whether to stop at a bound.
    pub fn new(report: Report<'a>, stop: Stop<'a>) -> Self {
        Self { inner: Box::new(Inner { report, stop }) }
    }

    /// Has HiGHS call the bridge while the model runs.
    ///
    /// # Errors
    /// If HiGHS refuses the callback.
    pub fn attach(&self, model: &mut highs::Model) -> Result<(), HighsError> {
        let user: *const Inner<'a> = &raw const *self.inner;
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
    let inner = unsafe { &*user.cast_const().cast::<Inner<'_>>() };
    if kind == highs_sys::kHighsCallbackMipInterrupt as c_int {
        // SAFETY: HiGHS gives a valid output structure to this kind of callback, or none.
        let bound = unsafe { out.as_ref() }.map_or(f64::INFINITY, |data| data.mip_dual_bound);
        let stop = catch_unwind(AssertUnwindSafe(|| (inner.stop)(bound))).unwrap_or(true);
        if stop && !input.is_null() {
            // SAFETY: HiGHS gives a valid input structure to this kind of callback.
            unsafe { (*input).user_interrupt = 1 };
        }
    } else if !out.is_null() {
        // SAFETY: HiGHS gives a valid output structure to these kinds of callback.
        let data = unsafe { &*out };
        let _ = catch_unwind(AssertUnwindSafe(|| {
            (inner.report)(data.running_time, data.mip_primal_bound, data.mip_dual_bound);
        }));
    }
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
