//! The writer: a thread that brings a sitting's lines to the disk.
//!
//! A key never waits for the disk: [`Writer::append`] sends and returns. The thread writes what is
//! there with one write, syncs, and says so; what it has said survives a power cut. When the disk
//! will not, every line is still in memory and the thread tries again: since a second sync after a
//! failed one proves nothing (Linux marks the lost pages clean), it then writes the whole sitting to
//! a new file and puts that in the old one's place.

mod log_file;
mod shared;
mod thread;

#[cfg(test)]
mod tests;

use std::io;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::sync::mpsc::{self, Sender};
use std::sync::{Arc, Mutex, PoisonError, TryLockError, Weak};
use std::thread::JoinHandle;
use std::time::Duration;

use sha2::{Digest, Sha256};

use super::error::JournalError;
use super::line::{self, Chain};
use super::place;
use super::practice_line::PracticeRecord;
use super::record::{self, Record};
use super::trouble::Trouble;
use crate::domain::event::Stamped;
use crate::domain::header::Header;
use crate::domain::time::Elapsed;
use crate::storage::disk::operations::{self, Disk, RealDisk};
use crate::storage::disk::{Size, folder_of};
use log_file::LogFile;
use shared::{Rare, TakenUp, WriterStart, WriterState};
use thread::{FinishReply, ToWriter, Worker};

pub use shared::{Saved, Wake};

/// How long the end of a sitting waits for the disk.
const PATIENCE: Duration = Duration::from_secs(10);

/// The name of its thread.
const THREAD_NAME: &str = "journal";

/// Tells how far saving has got, for a page that shows it.
#[derive(Clone, Debug)]
pub struct SavedWatch(Arc<WriterState>);

impl SavedWatch {
    /// How far saving has got.
    pub fn saved(&self) -> Saved {
        self.0.saved()
    }
}

/// The writer of one sitting. Whoever has it also has the [`Lock`](super::Lock).
///
/// Dropped without [`Writer::finish`], its thread still saves what it was sent, but nobody waits.
#[derive(Debug)]
pub struct Writer {
    inbox: Sender<ToWriter>,
    /// Events that the thread is not told of yet.
    queued: Vec<Stamped>,
    shared: Arc<WriterState>,
    /// The thread's, so that the file is closed with it.
    sheet: Weak<Mutex<LogFile>>,
    thread: Option<JoinHandle<()>>,
}

/// Looks at a sitting's file for the writer, on a thread that is awake anyway; the writer's own then sleeps.
#[derive(Clone, Debug)]
pub struct Lookout {
    inbox: Sender<ToWriter>,
    shared: Arc<WriterState>,
    sheet: Weak<Mutex<LogFile>>,
}

impl Lookout {
    /// Compares device and number, length, time of the last change and last checksum with what the writer saw, and
    /// tells it where anything differs. A writer at work is left alone: it looks itself before and after writing.
    ///
    /// Whoever begins with this goes on with it at least once a second.
    pub fn look(&self) {
        let Some(sheet) = self.sheet.upgrade() else {
            return;
        };
        let mut sheet = match sheet.try_lock() {
            Ok(sheet) => sheet,
            Err(TryLockError::Poisoned(poisoned)) => PoisonError::into_inner(poisoned),
            Err(TryLockError::WouldBlock) => return,
        };
        let differs = sheet.is_to_be_looked_at();
        drop(sheet);
        self.shared.looked.store(true, Ordering::SeqCst);
        if differs {
            let _a_writer_that_has_ended_writes_nothing = self.inbox.send(ToWriter::TryNow);
        }
    }
}

impl Writer {
    /// Makes a new session file, readable by its owner alone, with its first line on the disk
    /// before this returns.
    ///
    /// # Errors
    /// A file of that name, or a folder that cannot be written to.
    pub fn create(path: &Path, header: &Header, wake: Wake) -> Result<Self, JournalError> {
        Self::create_on(Arc::new(RealDisk), path, header, wake)
    }

    /// The same on any disk.
    ///
    /// # Errors
    /// As [`Writer::create`].
    pub fn create_on(
        disk: Arc<dyn Disk>,
        path: &Path,
        header: &Header,
        wake: Wake,
    ) -> Result<Self, JournalError> {
        let mut chain = Chain::default();
        let line = line::write_header(header, &mut chain);
        let line = line.map_err(|error| JournalError::unwritable(path, &error))?;
        Self::begin(disk, path, line.into_bytes(), chain, wake)
    }

    /// Makes a new file of chained lines with its first one, which is on the disk when this returns.
    ///
    /// # Errors
    /// As [`Writer::create`].
    pub(super) fn begin(
        disk: Arc<dyn Disk>,
        path: &Path,
        whole: Vec<u8>,
        chain: Chain,
        wake: Wake,
    ) -> Result<Self, JournalError> {
        let folder = folder_of(path);
        let made = operations::make_folders(&*disk, folder);
        made.map_err(JournalError::io(folder, "make the folder"))?;
        let mut sheet = LogFile::create(&*disk, path).map_err(|error| match error.kind() {
            io::ErrorKind::AlreadyExists => JournalError::Taken(path.to_owned()),
            _ => JournalError::io(path, "create the file")(error),
        })?;
        let written = sheet
            .write_all(&whole)
            .and_then(|()| sheet.sync())
            .and_then(|()| disk.sync_folder(folder))
            .and_then(|()| disk.sync_folder(folder_of(folder)));
        if let Err(error) = written {
            let _a_leftover_does_no_harm = disk.remove(path);
            return Err(JournalError::io(path, "write the file")(error));
        }
        #[cfg(not(unix))]
        let sheet = {
            // One that was just made is not held yet.
            drop(sheet);
            LogFile::open(&*disk, path).map_err(JournalError::io(path, "write the file"))?
        };
        let start = WriterStart {
            taken_up: None,
            path: path.to_owned(),
            sheet: Arc::new(Mutex::new(sheet)),
            whole,
            chain,
            latest: Elapsed::ZERO,
        };
        Self::start(disk, start, wake)
    }

    /// Goes on behind the last good line of a session that was read. A torn end is first copied to
    /// `NAME.torn`, a whole damaged file to `NAME.damaged`, and a new file with what is good is put in its place:
    /// lines that a killed program left may only be in the cache, or lost there after a failed sync, and no sync of
    /// the old file would tell. What is kept is on the disk when this returns. Where that cannot be done, on a full
    /// disk for instance, it goes on all the same, says why, and shows nothing as saved until it can be.
    ///
    /// # Errors
    /// A sitting that is over, a file that another program has, that is damaged without the record saying so or no
    /// longer what was read, or one that cannot be opened.
    pub fn resume(disk: Arc<dyn Disk>, record: &Record, wake: Wake) -> Result<Self, JournalError> {
        let path = &record.path;
        if record.is_closed() {
            return Err(JournalError::Closed(path.clone()));
        }
        let sheet = LogFile::open(&*disk, path).map_err(|error| match error.kind() {
            io::ErrorKind::WouldBlock => JournalError::InUse(path.clone()),
            _ => JournalError::io(path, "write the file")(error),
        })?;
        let bytes = disk.read(path, Size::SESSION);
        let mut bytes = bytes.map_err(|error| JournalError::read(path, error))?;
        let mut scan = record::scan(path, &bytes)?;
        let damage = scan.damage.take();
        if let (Some(damage), None) = (&damage, &record.damage) {
            return Err(JournalError::damaged(path, damage.clone()));
        }
        let found = (scan.chain, scan.good, scan.torn, damage.is_some());
        let read = (
            record.end.chain,
            record.end.good,
            record.torn,
            record.damage.is_some(),
        );
        if found != read || !matches!(sheet.is_at(path), Ok(true)) {
            return Err(JournalError::Changed(path.clone()));
        }
        let ending = if damage.is_some() { "damaged" } else { "torn" };
        let spoilt = bytes.len() > scan.good;
        let kept = if damage.is_some() { 0 } else { scan.good };
        let kept = bytes.get(kept..).unwrap_or_default();
        let is_aside = spoilt && place::set_aside(&*disk, path, ending, kept).is_ok();
        let taken_up = TakenUp {
            aside: ending,
            kept: is_aside.then(|| Sha256::digest(&bytes).to_vec()),
        };
        bytes.truncate(scan.good);
        place::take_away_parts(&*disk, path, &bytes);
        let start = WriterStart {
            taken_up: Some(taken_up),
            path: path.clone(),
            sheet: Arc::new(Mutex::new(sheet)),
            whole: bytes,
            chain: scan.chain,
            latest: scan.events.last().map(|last| last.at).unwrap_or_default(),
        };
        Self::start(disk, start, wake)
    }

    fn start(disk: Arc<dyn Disk>, start: WriterStart, wake: Wake) -> Result<Self, JournalError> {
        let events = start.chain.next.saturating_sub(1);
        let path = start.path.clone();
        let shared = Arc::new(WriterState {
            sent: AtomicU64::new(events),
            durable: AtomicU64::new(events),
            looked: AtomicBool::new(false),
            rare: Mutex::new(Rare {
                trouble: None,
                path: path.clone(),
                rewritten: 0,
            }),
        });
        let (inbox, messages) = mpsc::channel();
        let sheet = Arc::downgrade(&start.sheet);
        let mut worker = Worker::new(disk, start, Arc::clone(&shared), wake);
        worker.make_sound();
        let thread = std::thread::Builder::new()
            .name(THREAD_NAME.to_owned())
            .spawn(move || worker.run(&messages))
            .map_err(JournalError::io(
                &path,
                "start the thread that writes the file",
            ))?;
        Ok(Self {
            inbox,
            queued: Vec::new(),
            shared,
            sheet,
            thread: Some(thread),
        })
    }

    /// Whoever else looks at the file.
    pub fn lookout(&self) -> Lookout {
        Lookout {
            inbox: self.inbox.clone(),
            shared: Arc::clone(&self.shared),
            sheet: Weak::clone(&self.sheet),
        }
    }

    /// Gives an event to the writer, and the number it has: it is on the disk once
    /// [`Saved::durable`] has reached that. Returns at once.
    pub fn append(&mut self, stamped: &Stamped) -> u64 {
        let number = self.queue(stamped);
        self.hand_on();
        number
    }

    /// The same, but waking the thread is left to [`Self::hand_on`]: on a machine with few cores a thread that writes
    /// and syncs is in the way of a page that is to be drawn.
    pub fn queue(&mut self, stamped: &Stamped) -> u64 {
        self.queued.push(stamped.clone());
        self.shared.sent.fetch_add(1, Ordering::SeqCst) + 1
    }

    /// Tells the thread what is queued. Returns at once.
    pub fn hand_on(&mut self) {
        for stamped in std::mem::take(&mut self.queued) {
            self.tell(ToWriter::Append(stamped));
        }
    }

    /// Gives a record of practice to the writer. Returns at once.
    pub(super) fn append_practised(&self, record: PracticeRecord) {
        self.shared.sent.fetch_add(1, Ordering::SeqCst);
        self.tell(ToWriter::AppendPractised(record));
    }

    /// How far saving has got.
    pub fn saved(&self) -> Saved {
        self.shared.saved()
    }

    /// Tells how far saving has got, wherever it goes.
    pub(super) fn watch(&self) -> SavedWatch {
        SavedWatch(Arc::clone(&self.shared))
    }

    /// Where the file lies now.
    pub fn path(&self) -> PathBuf {
        self.shared.rare(|rare| rare.path.clone())
    }

    /// Tells a writer in trouble to try again at once. Returns at once.
    pub fn try_now(&mut self) {
        self.send(ToWriter::TryNow);
    }

    /// Has the whole sitting written below another sessions folder, in the pupil's folder there, and
    /// goes on there. Returns at once: [`Writer::saved`] tells how it went and [`Writer::path`]
    /// where the file is. If it cannot be, the writer stays where it was.
    ///
    /// The old file is kept as `NAME.moved` where that can be done.
    pub fn move_to(&mut self, dir: &Path) {
        self.send(ToWriter::MoveTo(dir.to_owned()));
    }

    /// Waits until everything sent is on the disk, trying anew where there was trouble; false if it
    /// cannot be or takes longer than `patience`.
    pub fn wait_durable(&mut self, patience: Duration) -> bool {
        self.ask(ToWriter::Flush, patience).is_ok()
    }

    /// Waits until everything sent is on the disk, ends the thread, and gives the file's path.
    ///
    /// # Errors
    /// What keeps it from being saved within ten seconds. The writer then goes on with all its lines
    /// in memory: move to another folder, or wait, and finish again.
    pub fn finish(&mut self) -> Result<PathBuf, Trouble> {
        if self.thread.is_none() {
            return Ok(self.path());
        }
        let path = self.ask(ToWriter::End, PATIENCE)?;
        if let Some(thread) = self.thread.take() {
            let _it_has_answered_and_only_returns = thread.join();
        }
        Ok(path)
    }

    fn ask(
        &mut self,
        message: impl FnOnce(FinishReply) -> ToWriter,
        patience: Duration,
    ) -> Result<PathBuf, Trouble> {
        let (reply, answer) = mpsc::channel();
        self.send(message(reply));
        match answer.recv_timeout(patience) {
            Ok(answer) => answer,
            Err(mpsc::RecvTimeoutError::Timeout) => Err(Trouble::Slow(self.path())),
            Err(mpsc::RecvTimeoutError::Disconnected) => Err(Trouble::Ended(self.path())),
        }
    }

    /// Tells the thread this, behind whatever is queued.
    fn send(&mut self, message: ToWriter) {
        self.hand_on();
        self.tell(message);
    }

    fn tell(&self, message: ToWriter) {
        if self.inbox.send(message).is_err() {
            let ended = Trouble::Ended(self.path());
            self.shared.rare(|rare| rare.trouble = Some(ended));
        }
    }
}

impl Drop for Writer {
    fn drop(&mut self) {
        self.hand_on();
    }
}
