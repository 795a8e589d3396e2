//! Two lanes of work. Every brood has its own seed, so that the lanes change nothing but the waiting.

use anyhow::{Result, anyhow};
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};

/// Threads; the machines this runs on have two cores at the least.
const LANES: usize = 2;

/// Does `job` for 0, 1, ... in order of need, and hands the results back in order of number. `told` hears how many
/// are done.
///
/// # Errors
/// The first that a job had.
pub fn each<T: Send>(
    n: usize,
    job: impl Fn(usize) -> Result<T> + Sync,
    told: impl Fn(usize) + Sync,
) -> Result<Vec<T>> {
    let next = AtomicUsize::new(0);
    let done = AtomicUsize::new(0);
    let found: Mutex<Vec<(usize, Result<T>)>> = Mutex::new(Vec::with_capacity(n));
    std::thread::scope(|scope| {
        for _ in 0..LANES {
            scope.spawn(|| {
                loop {
                    let index = next.fetch_add(1, Ordering::Relaxed);
                    if index >= n {
                        return;
                    }
                    let result = job(index);
                    if let Ok(mut found) = found.lock() {
                        found.push((index, result));
                    }
                    told(done.fetch_add(1, Ordering::Relaxed) + 1);
                }
            });
        }
    });
    let mut found = found.into_inner().map_err(|_| anyhow!("a lane broke down"))?;
    found.sort_by_key(|(index, _)| *index);
    found.into_iter().map(|(_, result)| result).collect()
}
