//! Several things made at a time.

use std::sync::Mutex;
use std::thread;

/// Makes something for each number below `count`, so many at a time, and lists it in order.
pub fn in_order<T: Send>(
    count: usize,
    at_a_time: usize,
    one: impl Fn(usize) -> T + Sync,
) -> Vec<T> {
    let next = Mutex::new(0..count);
    let work = || {
        let mut done = Vec::new();
        while let Some(place) = next.lock().ok().and_then(|mut next| next.next()) {
            done.push((place, one(place)));
        }
        done
    };
    let mut done = thread::scope(|scope| {
        let helpers: Vec<_> = (1..at_a_time.min(count))
            .map(|_| scope.spawn(work))
            .collect();
        let mut done = work();
        for helper in helpers {
            // A thread can only fail by a panic, which goes on here.
            done.extend(
                helper
                    .join()
                    .unwrap_or_else(|panic| std::panic::resume_unwind(panic)),
            );
        }
        done
    });
    done.sort_by_key(|(place, _)| *place);
    done.into_iter().map(|(_, made)| made).collect()
}
