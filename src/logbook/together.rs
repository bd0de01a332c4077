//! The same work on many things at the same time, on as many processors as there are.

use std::num::NonZeroUsize;
use std::sync::Mutex;
use std::thread;

/// More threads than this wait for the disk and for memory. This project's own figure.
const MOST: usize = 4;

/// So few things are not worth the beginning of a thread. This project's own figure.
const FEWEST: usize = 8;

/// Does a work on each of these; what comes of them in the same order. No thread outlives it.
pub(super) fn together<T: Send, R: Send>(
    all: Vec<T>,
    work: impl Fn(T) -> R + Sync,
) -> impl Iterator<Item = R> {
    let known = thread::available_parallelism().map_or(1, NonZeroUsize::get);
    let threads = known.min(MOST).min(all.len() / FEWEST);
    let mut done: Vec<(usize, R)> = Vec::with_capacity(all.len());
    let left = Mutex::new(all.into_iter().enumerate());
    let one_after_the_other = || {
        let mut mine = Vec::new();
        // The lock is held for the taking alone.
        let next = || left.lock().ok().and_then(|mut left| left.next());
        while let Some((place, one)) = next() {
            mine.push((place, work(one)));
        }
        mine
    };
    thread::scope(|scope| {
        // One that cannot be begun leaves its share to the others.
        let begin = |_| thread::Builder::new().spawn_scoped(scope, &one_after_the_other);
        let others: Vec<_> = (1..threads).filter_map(|n| begin(n).ok()).collect();
        done.append(&mut one_after_the_other());
        for other in others {
            match other.join() {
                Ok(mut mine) => done.append(&mut mine),
                // What went wrong there goes wrong here.
                Err(panic) => std::panic::resume_unwind(panic),
            }
        }
    });
    done.sort_unstable_by_key(|(place, _)| *place);
    done.into_iter().map(|(_, result)| result)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_comes_of_them_stands_in_their_order() {
        for count in [0, 1, FEWEST, 1000] {
            let all: Vec<usize> = (0..count).collect();
            let twice: Vec<usize> = together(all, |n| 2 * n).collect();
            assert_eq!(twice, (0..count).map(|n| 2 * n).collect::<Vec<_>>());
        }
    }
}
