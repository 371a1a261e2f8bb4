//! Work on one thread, of which only the newest matters.

use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::thread;

/// Does one thing at a time, away from the caller.
///
/// What is asked for again while it is on its way is not begun again; of what waits for its turn
/// only the newest is kept, since whoever asks again no longer waits for the older.
#[derive(Debug)]
pub(super) struct Latest<T> {
    queue: Arc<Mutex<Queue<T>>>,
}

#[derive(Debug)]
struct Queue<T> {
    on_its_way: Option<T>,
    next: Option<T>,
}

impl<T: Clone + PartialEq + Send + 'static> Latest<T> {
    pub(super) fn new() -> Self {
        let queue = Queue {
            on_its_way: None,
            next: None,
        };
        Self {
            queue: Arc::new(Mutex::new(queue)),
        }
    }

    /// Wishes for something, which is made and then handed over on the thread; without a thread at
    /// work, one is started.
    pub(super) fn wish<Done>(
        &self,
        wanted: T,
        work: impl Fn(&T) -> Done + Send + 'static,
        hand_over: impl Fn(T, Done) + Send + 'static,
    ) {
        let mut queue = locked(&self.queue);
        queue.next = None;
        if queue.on_its_way.as_ref() == Some(&wanted) {
            return;
        }
        if queue.on_its_way.is_some() {
            queue.next = Some(wanted);
            return;
        }
        queue.on_its_way = Some(wanted.clone());
        drop(queue);
        let queue = Arc::clone(&self.queue);
        thread::spawn(move || {
            let mut wanted = Some(wanted);
            while let Some(own) = wanted {
                let done = work(&own);
                let mut queue = locked(&queue);
                wanted = queue.next.take();
                queue.on_its_way.clone_from(&wanted);
                drop(queue);
                // Only now: whoever asks once more after having it must not be told that it is
                // still on its way.
                hand_over(own, done);
            }
        });
    }
}

fn locked<T>(queue: &Mutex<Queue<T>>) -> MutexGuard<'_, Queue<T>> {
    queue.lock().unwrap_or_else(PoisonError::into_inner)
}

#[cfg(test)]
mod tests {
    use std::sync::mpsc::{self, Receiver, Sender};
    use std::thread::ThreadId;

    use super::*;

    /// A piece of work that has begun, and on which thread.
    type Begun = (&'static str, ThreadId);

    /// Wishes whose work begins, waits at a gate, and ends.
    struct Watched {
        latest: Latest<&'static str>,
        begins: Sender<Begun>,
        begun: Receiver<Begun>,
        open: Sender<()>,
        gate: Arc<Mutex<Receiver<()>>>,
        ends: Sender<&'static str>,
        ended: Receiver<&'static str>,
    }

    impl Watched {
        fn new() -> Self {
            let ((begins, begun), (open, gate)) = (mpsc::channel(), mpsc::channel());
            let (ends, ended) = mpsc::channel();
            Self {
                latest: Latest::new(),
                begins,
                begun,
                open,
                gate: Arc::new(Mutex::new(gate)),
                ends,
                ended,
            }
        }

        fn wish(&self, wanted: &'static str) {
            let (begins, gate) = (self.begins.clone(), Arc::clone(&self.gate));
            let ends = self.ends.clone();
            let work = move |own: &&'static str| {
                begins.send((*own, thread::current().id())).unwrap();
                gate.lock().unwrap().recv().unwrap();
            };
            let hand_over = move |own, ()| ends.send(own).unwrap();
            self.latest.wish(wanted, work, hand_over);
        }

        /// Lets the one on its way end, and gives which it was.
        fn ends(&self) -> &'static str {
            self.open.send(()).unwrap();
            self.ended.recv().unwrap()
        }
    }

    #[test]
    fn a_key_tapped_many_times_makes_one_thing_and_then_the_newest() {
        let watched = Watched::new();
        watched.wish("progress");
        let (first, thread) = watched.begun.recv().unwrap();
        assert_eq!(first, "progress");
        for _ in 0..60 {
            watched.wish("group");
            watched.wish("progress");
        }
        watched.wish("another group");
        watched.wish("group");
        assert_eq!(watched.ends(), "progress");
        assert_eq!(watched.begun.recv().unwrap(), ("group", thread));
        assert_eq!(watched.ends(), "group");
        watched.wish("group");
        assert_eq!(watched.begun.recv().unwrap().0, "group", "asked for anew");
        assert_eq!(watched.ends(), "group");
        assert!(watched.begun.try_recv().is_err());
    }

    #[test]
    fn what_is_on_its_way_is_not_begun_again() {
        let watched = Watched::new();
        for _ in 0..120 {
            watched.wish("progress");
        }
        assert_eq!(watched.ends(), "progress");
        watched.wish("group");
        assert_eq!(watched.ends(), "group");
        let begun: Vec<_> = watched.begun.try_iter().map(|(own, _)| own).collect();
        assert_eq!(begun, ["progress", "group"]);
    }

    #[test]
    fn what_is_on_its_way_asked_for_again_takes_the_place_of_what_waited() {
        let watched = Watched::new();
        for wanted in ["progress", "group", "progress"] {
            watched.wish(wanted);
        }
        assert_eq!(watched.ends(), "progress");
        watched.wish("progress");
        assert_eq!(watched.ends(), "progress");
        let begun: Vec<_> = watched.begun.try_iter().map(|(own, _)| own).collect();
        assert_eq!(
            begun,
            ["progress", "progress"],
            "nobody waits for the group"
        );
    }
}
