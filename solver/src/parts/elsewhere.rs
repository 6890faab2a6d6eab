//! Points that are sought in another thread while parts are made better in this one, and how good they must be.

use std::sync::{Mutex, MutexGuard, PoisonError};

/// What two threads tell each other.
#[derive(Debug)]
pub struct Elsewhere(Mutex<Told>);

#[derive(Debug)]
struct Told {
    /// The last point found elsewhere, until it is taken.
    point: Option<Vec<f64>>,
    /// Whether there may be more.
    is_awaited: bool,
    /// What the point that the parts are at is worth, in units of the program; minus infinity before there is one.
    worth: f64,
}

impl Elsewhere {
    /// Where points are to be waited for.
    pub fn awaited() -> Self {
        Self(Mutex::new(Told { point: None, is_awaited: true, worth: f64::NEG_INFINITY }))
    }

    fn told(&self) -> MutexGuard<'_, Told> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Hands over a point that was found. Of several that were not taken yet the last one stays.
    pub fn give(&self, point: Vec<f64>) {
        self.told().point = Some(point);
    }

    /// Says that there will be no more.
    pub fn no_more(&self) {
        self.told().is_awaited = false;
    }

    /// Takes what was handed over, if it was not taken yet.
    pub fn take(&self) -> Option<Vec<f64>> {
        self.told().point.take()
    }

    /// Whether something may still come.
    pub fn is_awaited(&self) -> bool {
        let told = self.told();
        told.is_awaited || told.point.is_some()
    }

    /// Says what the parts have come to.
    pub fn is_worth(&self, worth: f64) {
        self.told().worth = worth;
    }

    /// What the parts have come to.
    pub fn worth(&self) -> f64 {
        self.told().worth
    }
}
