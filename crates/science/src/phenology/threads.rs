//! Work on several threads whose answer does not depend on how many there are.

use std::ops::Range;

/// Below this many pieces a second thread costs more than it saves.
const WORTH_A_THREAD: usize = 256;

/// Splits `0..n` into one part per thread, works on them at the same time, and returns the parts in order.
///
/// Equal bits for any number of threads need only that `work` treats each index by itself and that the caller
/// adds up in the order given.
pub(super) fn in_parts<T: Send>(n: usize, threads: usize, work: impl Fn(Range<usize>) -> T + Sync) -> Vec<T> {
    let parts = threads.clamp(1, 64).min(n / WORTH_A_THREAD + 1);
    if parts == 1 {
        return vec![work(0..n)];
    }
    let bounds = |part: usize| n * part / parts;
    std::thread::scope(|scope| {
        let work = &work;
        let others: Vec<_> =
            (1..parts).map(|part| scope.spawn(move || work(bounds(part)..bounds(part + 1)))).collect();
        let mut done = vec![work(0..bounds(1))];
        for (place, other) in others.into_iter().enumerate() {
            // A thread that could not finish is done again here: the same work gives the same part.
            done.push(other.join().unwrap_or_else(|_| work(bounds(place + 1)..bounds(place + 2))));
        }
        done
    })
}

/// Does a few large pieces of work, spread over the threads, and returns their results in order.
pub(super) fn one_each<T: Send>(n: usize, threads: usize, work: impl Fn(usize) -> T + Sync) -> Vec<T> {
    let parts = threads.clamp(1, n.max(1));
    if parts == 1 {
        return (0..n).map(work).collect();
    }
    let stripe = |part: usize| (part..n).step_by(parts).map(&work).collect::<Vec<T>>();
    let mut stripes: Vec<std::vec::IntoIter<T>> = std::thread::scope(|scope| {
        let stripe = &stripe;
        let others: Vec<_> = (1..parts).map(|part| scope.spawn(move || stripe(part))).collect();
        let mut done = vec![stripe(0)];
        for (place, other) in others.into_iter().enumerate() {
            done.push(other.join().unwrap_or_else(|_| stripe(place + 1)));
        }
        done.into_iter().map(Vec::into_iter).collect()
    });
    (0..n).filter_map(|it| stripes[it % parts].next()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn single_pieces_come_back_in_order() {
        for threads in [0, 1, 2, 3, 9] {
            assert_eq!(one_each(5, threads, |it| it * 2), [0, 2, 4, 6, 8]);
        }
        assert!(one_each(0, 2, |it| it).is_empty());
    }

    #[test]
    fn parts_come_back_in_order_and_whole() {
        for threads in [0, 1, 2, 3, 7] {
            let all: Vec<usize> = in_parts(1001, threads, |it| it.collect::<Vec<_>>()).concat();
            assert_eq!(all, (0..1001).collect::<Vec<_>>());
        }
        assert_eq!(in_parts(0, 2, |it| it.len()), [0]);
    }
}
