//! A sitting on a disk that goes wrong, as the program runs one, and what its pupil has been shown.

use std::collections::BTreeMap;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Duration;

use chrono::DateTime;
use pacebell::clock::FakeClock;
use pacebell::domain::header::{Alias, Arrangements};
use pacebell::domain::labels::Label;
use pacebell::domain::paper::Paper;
use pacebell::domain::rule::QuestionNo;
use pacebell::domain::sitting::{Command, Phase};
use pacebell::domain::time::Elapsed;
use pacebell::seat::{SeatError, Setup, Shared, TimeKeeper, View};
use pacebell::storage::journal::{self, LockError};

use crate::disk::CountingDisk;
use crate::papers;

/// The folders of sittings: the first, and the one it is moved to.
pub(crate) const FIRST: &str = "sessions";
pub(crate) const STICK: &str = "stick";

/// What the pupil has been shown, and may rely on.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Promise {
    /// Whether the clock was started.
    pub(crate) begun: bool,
    /// Answers shown as saved.
    pub(crate) answers: BTreeMap<u16, char>,
    /// Time used when the last of what is saved was recorded.
    pub(crate) saved_at: Elapsed,
    /// The same for the last heartbeat that was written, if not synced: after a kill it is there.
    pub(crate) beat_at: Elapsed,
    /// Time really used.
    pub(crate) used: Elapsed,
    /// Whether it was shown as over and saved.
    pub(crate) over: bool,
}

/// A sitting that goes on.
pub(crate) struct Sat {
    pub(crate) disk: CountingDisk<Promise>,
    root: PathBuf,
    clock: FakeClock,
    shared: Option<(Shared, TimeKeeper)>,
    promise: Promise,
    /// The last option chosen for each question. Options are chosen in their order, so that a later one is the
    /// larger.
    pub(crate) chosen: BTreeMap<u16, char>,
    /// The sitting's file at the last heartbeat.
    beaten_at: PathBuf,
    /// Whether the fault ends by itself: then everything has to be saved in the end.
    pub(crate) mends_itself: bool,
    /// Whether the pupil waits for that before the next move, or goes on, and may be cut off, as soon as trouble is told.
    pub(crate) waits: bool,
}

/// A wait that no fault explains.
const PATIENCE: Duration = Duration::from_secs(30);

#[expect(
    clippy::disallowed_methods,
    reason = "a test waits by a clock of its own"
)]
fn now() -> std::time::Instant {
    std::time::Instant::now()
}

pub(crate) fn alias() -> Alias {
    Alias::new("otter").unwrap()
}

pub(crate) fn paper() -> Paper {
    let section = papers::section(1, 5, ["4", "0", "0"]);
    papers::paper("Five", 10, [section])
}

pub(crate) fn clock() -> FakeClock {
    FakeClock::new(DateTime::parse_from_rfc3339("2026-11-25T09:00:00+01:00").unwrap())
}

impl Sat {
    /// Nobody sits yet.
    pub(crate) fn new(disk: CountingDisk<Promise>, root: &Path, mends_itself: bool) -> Self {
        Self {
            disk,
            root: root.to_owned(),
            clock: clock(),
            shared: None,
            promise: Promise::default(),
            chosen: BTreeMap::new(),
            beaten_at: PathBuf::new(),
            mends_itself,
            waits: true,
        }
    }

    pub(crate) fn promise(&self) -> &Promise {
        &self.promise
    }

    pub(crate) fn clock(&self) -> &FakeClock {
        &self.clock
    }

    /// The pupil sits down, and the clock starts.
    pub(crate) fn take(&mut self) -> Result<(), SeatError> {
        let paper = paper();
        let setup = Setup {
            pupil: alias(),
            paper: &paper,
            minutes: None,
            arrangements: Arrangements::usual(paper.allowed),
            plan: None,
        };
        let disk = Arc::new(self.disk.clone());
        let clock = Arc::new(self.clock.clone());
        let folder = self.root.join(FIRST);
        let shared = Shared::take_on(disk, &folder, &setup, clock, Box::new(|| {}))?;
        self.sits(shared);
        Ok(())
    }

    fn sits(&mut self, shared: Shared) {
        let keeper = TimeKeeper::of(&shared, || {});
        self.shared = Some((shared, keeper));
        self.promise.begun = true;
        self.settle();
        self.beat();
    }

    fn shared(&self) -> &Shared {
        &self.shared.as_ref().expect("somebody sits").0
    }

    /// As long as the program looks away, and the look that it takes then.
    pub(crate) fn until_the_next_beat(&mut self) {
        self.clock.advance(Elapsed(900));
        self.promise.used = self.promise.used + Elapsed(900);
        self.disk.promise(self.promise.clone());
        self.beat();
    }

    fn beat(&mut self) {
        let refused = self.disk.refused().len();
        self.beaten_at = self.path();
        self.shared.as_ref().expect("somebody sits").1.look();
        if self.disk.refused().len() == refused {
            self.promise.beat_at = self.promise.used;
        }
        self.look();
    }

    /// Chooses the next option of a question.
    pub(crate) fn answer(&mut self, question: u16) {
        self.choose(question);
        self.settle();
    }

    fn choose(&mut self, question: u16) {
        let next = self.chosen.get(&question).map_or('A', |last| {
            char::from_u32(u32::from(*last) + 1).expect("a letter")
        });
        assert!(next <= 'E', "there are five options");
        let label = Label::new(next).unwrap();
        self.wish(Command::Answer(QuestionNo(question), label));
        self.chosen.insert(question, next);
    }

    /// Somebody removes the lock, and with it the heartbeats.
    pub(crate) fn somebody_removes_the_lock(&mut self) {
        self.promise.beat_at = Elapsed::ZERO;
        self.disk.promise(self.promise.clone());
        let lock = self.path().display().to_string();
        let lock = lock.replace(".session.ron", ".lock");
        self.disk.take_away(Path::new(&lock));
    }

    /// Somebody touches the sitting's file: nothing is promised from here on, until what is chosen next shows as saved,
    /// and with it everything. The writer may look, and so keep a moment, before the one has followed on the other.
    pub(crate) fn touched(&mut self, touch: impl FnOnce(&CountingDisk<Promise>, &Path)) {
        self.promise = Promise {
            used: self.promise.used,
            ..Promise::default()
        };
        self.disk.promise(self.promise.clone());
        let path = self.path();
        touch(&self.disk, &path);
    }

    /// Chooses the next option of a question, and waits until it is saved or why not is told.
    pub(crate) fn answer_after_a_touch(&mut self, question: u16) {
        self.choose(question);
        let begun = now();
        loop {
            let view = self.shared().view();
            if view.all_saved {
                let there = journal::read(&self.path());
                there.expect("what shows as saved is there, whoever has touched it before");
                break;
            }
            if view.trouble.is_some() {
                // A touch is told at once, and mended where the disk is well.
                if !self.mends_itself && !self.disk.refused().is_empty() {
                    break;
                }
                self.shared().try_now();
            }
            assert!(begun.elapsed() < PATIENCE, "neither saved nor told why not");
            std::thread::sleep(Duration::from_micros(100));
        }
        self.promise.begun = self.shared().view().all_saved;
        self.settle();
    }

    pub(crate) fn wish(&mut self, command: Command) {
        let seen = self.shared().view().sitting.phase();
        self.shared().wish(command, seen).unwrap();
    }

    /// Moves to another folder of sittings.
    pub(crate) fn move_to(&mut self, folder: &str) {
        let folder = self.root.join(folder);
        let refused = self.disk.refused().len();
        self.shared().save_in(&folder);
        let begun = now();
        while !self.shared().path().starts_with(&folder) && self.disk.refused().len() == refused {
            assert!(begun.elapsed() < PATIENCE, "neither moved nor told why not");
            std::thread::sleep(Duration::from_micros(100));
        }
        self.settle();
    }

    pub(crate) fn path(&self) -> PathBuf {
        self.shared().path()
    }

    /// Takes what the page would show now as promised.
    fn look(&mut self) -> View {
        if self.path() != self.beaten_at || !self.beaten_at.exists() {
            // What was written beside the old file is not beside the new one, which is the sitting's from the moment
            // on that the old one has another name, whatever goes wrong then.
            self.promise.beat_at = Elapsed::ZERO;
        }
        let view = self.shared().view();
        for row in view.sitting.rows() {
            if let Some(given) = row.standing()
                && !view.unsaved.contains(&row.number)
            {
                let option = given.option.as_char();
                self.promise.answers.insert(row.number.0, option);
            }
        }
        if view.all_saved {
            // It may be moving to the other folder at this moment.
            let begun = now();
            let saved = loop {
                match journal::read(&self.shared().path()) {
                    Ok(saved) => break saved,
                    Err(error) => assert!(begun.elapsed() < PATIENCE, "{error}"),
                }
            };
            self.promise.saved_at = saved
                .events
                .last()
                .map_or(Elapsed::ZERO, |last| saved.sitting().used(last.at));
        }
        self.disk.promise(self.promise.clone());
        view
    }

    /// Waits until all is saved, or until the page says why not; where the fault ends by itself, until all is saved.
    pub(crate) fn settle(&mut self) {
        let begun = now();
        loop {
            let view = self.look();
            if view.all_saved {
                return;
            }
            if let Some(trouble) = view.trouble {
                let text = trouble.to_string();
                assert!(text.contains("Tell your tutor"), "{text}");
                if !self.mends_itself || !self.waits {
                    return;
                }
                self.shared().try_now();
            }
            assert!(begun.elapsed() < PATIENCE, "neither saved nor told why not");
            std::thread::sleep(Duration::from_micros(100));
        }
    }

    /// The program is killed: the system gives back its locks and closes its files.
    pub(crate) fn kill(&mut self, own: usize) {
        self.disk.kill();
        drop(self.shared.take());
        self.disk.wait_until_let_go(own);
        self.disk.revive();
    }

    /// The sitting is taken up again, `away` later.
    pub(crate) fn go_on(&mut self, away: Elapsed) -> Result<(), SeatError> {
        self.clock.advance(away);
        let found = journal::open_sittings(&self.root.join(FIRST), Some(&alias())).unwrap();
        let record = found.records.first().expect("it can be taken up again");
        let disk = Arc::new(self.disk.clone());
        let clock = Arc::new(self.clock.clone());
        let begun = now();
        let shared = loop {
            let (disk, clock) = (Arc::clone(&disk), Arc::clone(&clock));
            match Shared::go_on_with(disk, record, clock, Box::new(|| {})) {
                // Another test starts a program: up to its `exec` it holds this one's files, and so their locks, too.
                Err(SeatError::Lock(LockError::Taken(_))) if begun.elapsed() < PATIENCE => {
                    std::thread::sleep(Duration::from_millis(1));
                }
                shared => break shared?,
            }
        };
        let view = shared.view();
        let used = view.sitting.used(view.at);
        assert!(
            used <= self.promise.used,
            "{used:?} used, {:?} really",
            self.promise.used
        );
        assert!(
            used >= self.promise.beat_at,
            "{used:?} used, of {:?} there was a word",
            self.promise.beat_at
        );
        self.promise.used = used;
        // What was never shown as saved may be gone.
        let rows = view.sitting.rows().iter();
        let given = rows.filter_map(|row| Some((row.number.0, row.standing()?.option.as_char())));
        self.chosen = given.collect();
        for (question, option) in &self.promise.answers {
            assert!(self.chosen.get(question) >= Some(option), "{question}");
        }
        self.sits(shared);
        Ok(())
    }

    /// Finishes; says whether all is saved, and if not why.
    pub(crate) fn finish(&mut self) -> Result<PathBuf, String> {
        let seen = self.shared().view().sitting.phase();
        if !matches!(seen, Phase::Closed(_)) {
            self.wish(Command::Finish);
        }
        let begun = now();
        loop {
            match self.shared().finish() {
                Ok(path) => {
                    self.look();
                    self.promise.over = true;
                    self.disk.promise(self.promise.clone());
                    return Ok(path);
                }
                Err(trouble) if self.mends_itself => {
                    assert!(begun.elapsed() < PATIENCE, "it is never saved: {trouble}");
                }
                Err(trouble) => return Err(trouble.to_string()),
            }
        }
    }

    /// What lies in the folders, copied elsewhere: what a kill now leaves. A file that the writer renames meanwhile would
    /// be in the copy under neither name, so that one is begun anew.
    pub(crate) fn copied(&self, to: &Path) {
        while let Err(error) = copy(&self.root, to) {
            assert_eq!(error.kind(), io::ErrorKind::NotFound, "{error}");
            fs::remove_dir_all(to).unwrap();
        }
    }
}

fn copy(from: &Path, to: &Path) -> io::Result<()> {
    fs::create_dir_all(to)?;
    for entry in fs::read_dir(from)? {
        let entry = entry?;
        let into = to.join(entry.file_name());
        if entry.path().is_dir() {
            copy(&entry.path(), &into)?;
        } else {
            fs::copy(entry.path(), into)?;
        }
    }
    Ok(())
}
