//! Work side by side, one operating-system thread for each search: HiGHS keeps its number of threads for each thread that calls it.

use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Mutex, PoisonError};
use std::time::Instant;

/// Does one piece of work in a thread of its own.
pub fn alone<T: Send>(work: impl FnOnce() -> T + Send) -> T {
    std::thread::scope(|scope| match scope.spawn(work).join() {
        Ok(done) => done,
        Err(panic) => std::panic::resume_unwind(panic),
    })
}

/// Does work for each item and its place, several at a time. Gives what came of each by its place.
pub fn each<I: Sync, T: Send>(items: &[I], workers: usize, work: impl Fn(usize, &I) -> T + Sync) -> Vec<T> {
    let done: Vec<Mutex<Option<T>>> = items.iter().map(|_| Mutex::new(None)).collect();
    let next = AtomicUsize::new(0);
    let worker = || {
        loop {
            let place = next.fetch_add(1, Ordering::Relaxed);
            let Some(item) = items.get(place) else { return };
            let one = work(place, item);
            *done[place].lock().unwrap_or_else(PoisonError::into_inner) = Some(one);
        }
    };
    std::thread::scope(|scope| {
        for _ in 0..workers.min(items.len()) {
            scope.spawn(worker);
        }
    });
    done.into_iter().filter_map(|one| one.into_inner().unwrap_or_else(PoisonError::into_inner)).collect()
}

/// The same, each with its share of the time that is left, in seconds; none for what there was no time for.
pub fn each_in_time<I: Sync, T: Send>(
    items: &[I],
    workers: usize,
    until: Instant,
    stop: &(dyn Fn() -> bool + Sync),
    work: impl Fn(&I, f64) -> T + Sync,
) -> Vec<Option<T>> {
    each(items, workers, |place, item| {
        let left = until.saturating_duration_since(Instant::now()).as_secs_f64();
        let in_turn = (items.len() - place).div_ceil(workers) as f64;
        (left > 0.0 && !stop()).then(|| work(item, left / in_turn))
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::time::Duration;

    #[test]
    fn what_comes_of_each_stands_at_its_place_whoever_did_it() {
        let items: Vec<usize> = (0..40).collect();
        let squares = each(&items, 7, |place, &item| place * item);
        assert_eq!(squares, items.iter().map(|&item| item * item).collect::<Vec<_>>());
    }

    #[test]
    fn shares_add_up_to_the_time_that_is_left() {
        let until = Instant::now() + Duration::from_secs(1_000);
        let shares = each_in_time(&[(); 10], 2, until, &|| false, |(), share| share);
        let shares: Vec<f64> = shares.into_iter().flatten().collect();
        // Ten pieces for two at a time: five turns; what the first leave over goes to the later ones.
        assert!(shares.iter().any(|share| (share - 200.0).abs() < 1.0), "{shares:?}");
        assert!(shares.iter().any(|share| (share - 1_000.0).abs() < 1.0), "{shares:?}");
    }

    #[test]
    fn nothing_is_begun_when_time_is_up_or_a_stop_is_asked() {
        let past = Instant::now();
        assert_eq!(each_in_time(&[1, 2], 2, past, &|| false, |&item, _| item), [None, None]);
        let until = past + Duration::from_secs(60);
        assert_eq!(each_in_time(&[1, 2], 2, until, &|| true, |&item, _| item), [None, None]);
    }
}
