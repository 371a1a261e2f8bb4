//! A sitting with its clock and its journal: what a pupil sits down to.
//!
//! The only place where a wish, the moment and the file meet. Every call looks at the clock first,
//! so that time up, sleep and a changed clock are recorded before whatever is wished. The page and
//! the thread that keeps the time share it; nobody holds it while the disk or the terminal is
//! waited for.

mod fill;
mod keep_time;
mod setup;

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::Duration;

use crate::clock::{Clock, Reading, Watch};
use crate::domain::event::Away;
use crate::domain::event::{Event, Stamped, Stop};
use crate::domain::header::Boot;
use crate::domain::rule::QuestionNo;
use crate::domain::sitting::{Command, Notice, Phase, Refusal, Sitting};
use crate::domain::time::Elapsed;
use crate::storage::disk::operations::{Disk, RealDisk};
use crate::storage::journal::{
    self, Heartbeat, JournalError, Lock, LockError, Record, Trouble, Wake, Writer,
};

pub use fill::draw as draw_fill;
pub use keep_time::{TimeKeeper, keep_time};
pub use setup::Setup;

/// How long an ending waits for the disk.
const LAST_WAIT: Duration = Duration::from_secs(2);

/// A file that somebody touches all along is told this often.
const TELL_AGAIN: Elapsed = Elapsed::minutes(1);

/// Why nobody can sit down.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum SeatError {
    /// The session file cannot be made or gone on with.
    #[error("{0}")]
    Journal(#[source] JournalError),
    /// Another program has the sitting.
    #[error("{0}")]
    Lock(#[source] LockError),
}

/// A sitting, its clock and its writer.
struct Seat {
    /// Shared with whoever looks at it as it stood at a moment; it is copied when it goes on from there.
    sitting: Arc<Sitting>,
    clock: Arc<dyn Clock>,
    watch: Watch,
    writer: Writer,
    /// Answers that are on their way to the disk: the event's number, and its question.
    answered: Vec<(u64, QuestionNo)>,
    /// Events that part the time, by their numbers: until they are on the disk each heartbeat tells them.
    parting: Vec<(u64, Stamped)>,
    touches: Touches,
}

/// How often the file was written anew as far as it was told, and until when nothing more is told.
#[derive(Clone, Copy, Default)]
struct Touches {
    told: u64,
    quiet_until: Elapsed,
}

/// A sitting as it stands at one moment.
#[derive(Clone, Debug)]
pub struct View {
    /// The sitting.
    pub sitting: Arc<Sitting>,
    /// The moment.
    pub at: Elapsed,
    /// Questions whose answers are not on the disk yet.
    pub unsaved: BTreeSet<QuestionNo>,
    /// Whether everything is on the disk.
    pub all_saved: bool,
    /// What keeps the sitting from being saved.
    pub trouble: Option<Trouble>,
}

/// The lock of a sitting, and the file that it is for.
struct Held {
    lock: Lock,
    path: PathBuf,
}

/// A seat that the page and the thread that keeps the time share.
#[derive(Clone)]
pub struct Shared {
    disk: Arc<dyn Disk>,
    seat: Arc<Mutex<Seat>>,
    /// Apart from the seat, since a heartbeat may wait for the disk.
    held: Arc<Mutex<Option<Held>>>,
    /// The absence before it was taken up again.
    away: Option<Away>,
}

impl Shared {
    /// Sits a pupil down: makes the file in `dir`, with its first line on the disk, and starts the
    /// clock. `wake` is called whenever something was saved or could not be.
    pub fn take(
        dir: &Path,
        setup: &Setup<'_>,
        clock: Arc<dyn Clock>,
        wake: Wake,
    ) -> Result<Self, SeatError> {
        Self::take_on(Arc::new(RealDisk), dir, setup, clock, wake)
    }

    /// The same on any disk.
    pub fn take_on(
        disk: Arc<dyn Disk>,
        dir: &Path,
        setup: &Setup<'_>,
        clock: Arc<dyn Clock>,
        wake: Wake,
    ) -> Result<Self, SeatError> {
        let started = clock.local();
        let (watch, boot) = Watch::start(&*clock);
        let header = setup.header(started, boot);
        let path = journal::path_for(dir, &header);
        let (lock, _no_heartbeat) = Lock::take_on(&disk, &path).map_err(SeatError::Lock)?;
        let writer = match Writer::create_on(Arc::clone(&disk), &path, &header, wake) {
            Ok(writer) => writer,
            Err(error) => {
                lock.release();
                return Err(SeatError::Journal(error));
            }
        };
        Ok(Self::new(
            disk,
            Sitting::new(Arc::new(header)),
            clock,
            watch,
            writer,
            lock,
        ))
    }

    /// Takes up an open sitting again, with the time that was left, as its arrangements say.
    pub fn go_on(record: &Record, clock: Arc<dyn Clock>, wake: Wake) -> Result<Self, SeatError> {
        Self::go_on_with(Arc::new(RealDisk), record, clock, wake)
    }

    /// The same on any disk.
    pub fn go_on_with(
        disk: Arc<dyn Disk>,
        record: &Record,
        clock: Arc<dyn Clock>,
        wake: Wake,
    ) -> Result<Self, SeatError> {
        let path = journal::itself(&record.path);
        let (lock, own) = Lock::take_on(&disk, &path).map_err(SeatError::Lock)?;
        let told = (path != record.path).then(|| Heartbeat::last(&record.path));
        let last = Heartbeat::latest(own.into_iter().chain(told.flatten()));
        Self::go_on_locked(disk, (record, &path), (lock, last), clock, wake)
    }

    fn go_on_locked(
        disk: Arc<dyn Disk>,
        (known, path): (&Record, &Path),
        (mut lock, heartbeat): (Lock, Option<Heartbeat>),
        clock: Arc<dyn Clock>,
        wake: Wake,
    ) -> Result<Self, SeatError> {
        // Another program may have gone on with it between reading and locking.
        let read = journal::read_up_to_damage(path).map_err(SeatError::Journal)?;
        let record = match read {
            (record, None) => record,
            // Whoever goes on with a damaged file has been told of it.
            (record, Some(_)) if known.damage.is_some() && record.is_open() => record,
            (_, Some(damage)) => return Err(SeatError::Journal(damage)),
        };
        if record.damage.is_some() {
            // What is told behind the damage goes with it; nobody gains time by that.
            let beat = record.last_beat(heartbeat.as_ref());
            let _it_is_in_memory_too = lock.beat(&beat);
        }
        let writer = match Writer::resume(Arc::clone(&disk), &record, wake) {
            Ok(writer) => writer,
            Err(error) => {
                if matches!(error, JournalError::InUse(_)) {
                    // The one who has it lost this file, and makes it anew.
                    lock.release();
                }
                return Err(SeatError::Journal(error));
            }
        };
        let (watch, notice) = Watch::resume(&record.last_alive(heartbeat.as_ref()), &*clock);
        let shared = Self::new(disk, record.sitting(), clock, watch, writer, lock);
        let mut seat = shared.lock();
        // They are shown as saved once the writer says so.
        let before = (1..).zip(&record.events);
        let before = before.flat_map(|(number, stamped)| {
            let questions = answered_by(&stamped.event).into_iter();
            questions.map(move |question| (number, question))
        });
        seat.answered = before.collect();
        // An absence before the last one, which a program that was killed did not get into the file, is no time sat.
        for stamped in record.unsaved(heartbeat.as_ref()) {
            seat.keep(stamped.clone());
        }
        seat.writer.hand_on();
        let away = seat.away(&notice);
        seat.note(notice);
        drop(seat);
        Ok(Self { away, ..shared })
    }

    fn new(
        disk: Arc<dyn Disk>,
        sitting: Sitting,
        clock: Arc<dyn Clock>,
        watch: Watch,
        writer: Writer,
        lock: Lock,
    ) -> Self {
        let seat = Seat {
            sitting: Arc::new(sitting),
            clock,
            watch,
            writer,
            answered: Vec::new(),
            parting: Vec::new(),
            touches: Touches::default(),
        };
        let path = seat.writer.path();
        Self {
            disk,
            seat: Arc::new(Mutex::new(seat)),
            held: Arc::new(Mutex::new(Some(Held { lock, path }))),
            away: None,
        }
    }

    fn lock(&self) -> MutexGuard<'_, Seat> {
        // A panic elsewhere ends the program; its last words must still come through.
        self.seat.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// How long nobody was there before it was taken up again; nothing for a new sitting.
    pub const fn away(&self) -> Option<Away> {
        self.away
    }

    /// How the sitting stands now.
    pub fn view(&self) -> View {
        self.lock().view()
    }

    /// The moment.
    pub fn now(&self) -> Elapsed {
        self.lock().look()
    }

    /// Grants a wish, or says why not. `seen` is where the sitting stood for whoever wished.
    ///
    /// Time may be up since then: nothing that was wished while there was time is granted then, least of
    /// all an end, since the guess round comes first.
    pub fn wish(&self, command: Command, seen: Phase) -> Result<(), Refusal> {
        let granted = self.wish_before_drawing(command, seen);
        self.hand_on();
        granted
    }

    /// The same for whoever shows first what came of it: the file's turn comes with [`Self::hand_on`], at the next look
    /// of whoever keeps the time at the latest.
    pub fn wish_before_drawing(&self, command: Command, seen: Phase) -> Result<(), Refusal> {
        let mut seat = self.lock();
        seat.look();
        let in_time = matches!(seen, Phase::Running | Phase::OnBreak);
        if in_time && seat.sitting.phase() == Phase::TimeUp && command != Command::Tick {
            return Err(Refusal::Locked);
        }
        seat.wish(command)
    }

    /// Has whatever was wished written to the file.
    pub fn hand_on(&self) {
        self.lock().writer.hand_on();
    }

    /// Fills these blanks at random; the seed is recorded.
    pub fn fill_blanks(&self, blanks: &[QuestionNo], seed: u64) -> Result<(), Refusal> {
        let mut seat = self.lock();
        seat.look();
        let answers = fill::draw(&seat.sitting, blanks, seed);
        let granted = seat.wish(Command::Fill { seed, answers });
        seat.writer.hand_on();
        granted
    }

    /// Records that the program is about to stop with the sitting open, and waits for the disk.
    pub fn interrupt(&self, stop: Stop) {
        let mut seat = self.lock();
        seat.look();
        seat.leave(stop, &self.held);
    }

    /// The same where the seat may be held by a thread that is stuck: then only waits for the disk.
    pub fn last_words(&self, stop: Stop) {
        for _ in 0..20 {
            if let Ok(mut seat) = self.seat.try_lock() {
                seat.look();
                seat.leave(stop, &self.held);
                return;
            }
            std::thread::sleep(Duration::from_millis(10));
        }
    }

    /// Whether it has to be told that somebody has touched the file and that it was written anew: at once, and what
    /// comes after that once a minute.
    pub fn is_to_tell_of_a_touch(&self) -> bool {
        let mut seat = self.lock();
        let rewritten = seat.writer.saved().rewritten;
        let at = seat.watch.latest();
        let Touches { told, quiet_until } = seat.touches;
        let is_news = rewritten > told && at >= quiet_until;
        if is_news {
            seat.touches = Touches {
                told: rewritten,
                quiet_until: at + TELL_AGAIN,
            };
        }
        is_news
    }

    /// Has the sitting written below another sessions folder from now on.
    pub fn save_in(&self, dir: &Path) {
        self.lock().writer.move_to(dir);
    }

    /// Tries again at once to save.
    pub fn try_now(&self) {
        self.lock().writer.try_now();
    }

    /// Where the sitting is kept.
    pub fn path(&self) -> PathBuf {
        self.lock().writer.path()
    }

    /// Waits for the disk, and gives up the lock if the sitting is over.
    ///
    /// # Errors
    /// What keeps the last lines from being saved; they stay in memory, and this can be called again.
    pub fn finish(&self) -> Result<PathBuf, Trouble> {
        let mut seat = self.lock();
        let path = seat.writer.finish()?;
        if seat.sitting.is_closed() {
            release(&self.held);
        }
        Ok(path)
    }
}

/// Gives up the lock, whose file goes.
fn release(held: &Mutex<Option<Held>>) {
    // A beat may be waiting for the disk, which nobody waits for long.
    for _ in 0..40 {
        if let Ok(mut held) = held.try_lock() {
            if let Some(held) = held.take() {
                held.lock.release();
            }
            return;
        }
        std::thread::sleep(Duration::from_millis(5));
    }
}

impl Seat {
    /// Looks at the clock and records what happened to it, and time up.
    fn look(&mut self) -> Elapsed {
        let reading = self.clock.read();
        let (at, notices) = self.watch.look(&reading);
        for notice in notices {
            if let Some(event) = self.sitting.note(notice) {
                self.record(at, &reading, event);
            }
        }
        if let Ok(Some(event)) = self.sitting.decide(Command::Tick, at) {
            self.record(at, &reading, event);
        }
        at
    }

    /// Records that the program stops, and waits for the disk. With that saved, no heartbeat is needed any more.
    fn leave(&mut self, stop: Stop, held: &Mutex<Option<Held>>) {
        self.note(Notice::Interrupt(stop));
        if self.writer.wait_durable(LAST_WAIT) {
            release(held);
        }
    }

    /// Grants a wish; the writer has it, but is not told yet.
    fn wish(&mut self, command: Command) -> Result<(), Refusal> {
        let at = self.watch.latest();
        if let Some(event) = self.sitting.decide(command, at)? {
            let utc = self.clock.read().utc;
            self.keep(Stamped { at, utc, event });
        }
        Ok(())
    }

    fn away(&self, notice: &Notice) -> Option<Away> {
        let Notice::Resume { since, clock, .. } = *notice else {
            return None;
        };
        let span = self.watch.latest().since(since);
        let counts = self.sitting.absence_counts();
        Some(Away {
            span,
            counts,
            after_time: self.sitting.due().is_some_and(|due| due <= since),
            clock,
        })
    }

    fn note(&mut self, notice: Notice) {
        if let Some(event) = self.sitting.note(notice) {
            let reading = self.clock.read();
            self.record(self.watch.latest(), &reading, event);
        }
    }

    fn record(&mut self, at: Elapsed, reading: &Reading, event: Event) {
        self.keep(Stamped {
            at,
            utc: reading.utc,
            event,
        });
        self.writer.hand_on();
    }

    /// Puts an event into the sitting, and among those that wait to be handed on.
    fn keep(&mut self, stamped: Stamped) {
        Arc::make_mut(&mut self.sitting).apply(stamped.at, &stamped.event);
        let questions = answered_by(&stamped.event);
        let number = self.writer.queue(&stamped);
        if stamped.event.parts_time() {
            self.parting.push((number, stamped));
        }
        self.answered
            .extend(questions.into_iter().map(|question| (number, question)));
    }

    fn view(&mut self) -> View {
        let at = self.look();
        let saved = self.writer.saved();
        let unsaved = self.answered.iter();
        let unsaved = unsaved.filter(|(number, _)| *number > saved.durable);
        View {
            sitting: Arc::clone(&self.sitting),
            at,
            unsaved: unsaved.map(|(_, question)| *question).collect(),
            all_saved: saved.is_all(),
            trouble: saved.trouble,
        }
    }

    fn heartbeat(&self) -> Heartbeat {
        let Boot { id, .. } = self.watch.boot();
        let durable = self.writer.saved().durable;
        let unsaved = self.parting.iter();
        let unsaved = unsaved.filter(|(number, _)| *number > durable);
        Heartbeat {
            boot_id: id.clone(),
            at: self.watch.latest(),
            utc: self.clock.read().utc,
            unsaved: unsaved.map(|(_, stamped)| stamped.clone()).collect(),
        }
    }
}

/// The questions whose answers an event changes.
fn answered_by(event: &Event) -> Vec<QuestionNo> {
    match event {
        Event::Answered(question, _) | Event::RubbedOut(question) | Event::Said(question, _) => {
            vec![*question]
        }
        Event::Filled { answers, .. } => answers.iter().map(|(question, _)| *question).collect(),
        _ => Vec::new(),
    }
}

#[cfg(test)]
mod tests;
