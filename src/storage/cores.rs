//! One piece of work for each of many things, on all cores: what comes of it never depends on how many there are.

use std::convert::Infallible;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::mpsc;
use std::thread;

/// How many things a thread takes at once at the most, so that threads seldom wait for each other.
const AT_ONCE: usize = 8;
/// How often each thread takes some at the least, so that none has much to do when the others are done.
const TURNS: usize = 4;

/// What comes of some things, each with its place.
type Pieces<Done> = Vec<(usize, Done)>;

/// What comes of the work for each thing, in their order.
pub fn map<Thing: Sync, Done: Send>(
    things: &[Thing],
    work: impl Fn(&Thing) -> Done + Sync,
) -> Vec<Done> {
    let mut all: Pieces<Done> = Vec::with_capacity(things.len());
    let each: Result<(), Infallible> = each(things, work, |done| {
        all.extend(done);
        Ok(())
    });
    match each {
        Ok(()) => {}
        Err(never) => match never {},
    }
    all.sort_unstable_by_key(|(place, _)| *place);
    all.into_iter().map(|(_, done)| done).collect()
}

/// Does the work for each thing; `take` hears, in any order, what came of it, a few places at once, on the caller's
/// thread. Where it hears no more, the rest is left.
///
/// # Errors
/// Those of `take`.
pub fn each<Thing: Sync, Done: Send, Gone>(
    things: &[Thing],
    work: impl Fn(&Thing) -> Done + Sync,
    mut take: impl FnMut(Pieces<Done>) -> Result<(), Gone>,
) -> Result<(), Gone> {
    let cores = thread::available_parallelism().map_or(1, usize::from);
    let at_once = (things.len() / (cores * TURNS)).clamp(1, AT_ONCE);
    let next = AtomicUsize::new(0);
    let some = || -> Option<Pieces<Done>> {
        let from = next.fetch_add(at_once, Ordering::Relaxed);
        let own = things.iter().enumerate().skip(from).take(at_once);
        let done: Pieces<Done> = own.map(|(place, thing)| (place, work(thing))).collect();
        (!done.is_empty()).then_some(done)
    };
    let threads = cores.min(things.len().div_ceil(at_once));
    if threads < 2 {
        while let Some(done) = some() {
            take(done)?;
        }
        return Ok(());
    }
    let (send, done) = mpsc::sync_channel(threads);
    thread::scope(|scope| {
        for _ in 0..threads {
            let (send, some) = (send.clone(), &some);
            scope.spawn(move || {
                while let Some(done) = some() {
                    if send.send(done).is_err() {
                        return;
                    }
                }
            });
        }
        drop(send);
        done.into_iter().try_for_each(&mut take)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_comes_of_the_work_is_in_the_order_of_the_things() {
        for count in [0, 1, 7, 8, 9, 1000] {
            let things: Vec<usize> = (0..count).collect();
            let wanted: Vec<usize> = things.iter().map(|thing| thing * thing).collect();
            assert_eq!(map(&things, |thing| thing * thing), wanted);
        }
    }

    #[test]
    fn nobody_works_on_once_nothing_is_taken() {
        let things = vec![(); 100_000];
        let begun = AtomicUsize::new(0);
        let mut heard = 0;
        let work = |(): &()| begun.fetch_add(1, Ordering::Relaxed);
        let end = each(&things, work, |done| {
            heard += done.len();
            Err(())
        });
        assert_eq!((end, heard), (Err(()), AT_ONCE));
        assert!(begun.into_inner() < things.len() / 2);
    }
}
