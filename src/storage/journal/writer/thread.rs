//! The writer's thread.

use std::collections::BTreeSet;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::atomic::Ordering;
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::Duration;

use sha2::{Digest, Sha256};

use super::log_file::{LogFile, There};
use super::shared::{Wake, WriterStart, WriterState};
use crate::domain::event::{Event, Stamped};
use crate::domain::time::Elapsed;
use crate::storage::disk::operations::{self, Disk, is_absence};
use crate::storage::disk::{Size, folder_of};
use crate::storage::journal::line::{self, Chain};
use crate::storage::journal::practice_line::{self, PracticeRecord};
use crate::storage::journal::trouble::Trouble;
use crate::storage::journal::{moved, place};

/// In trouble it is tried again this often.
pub(super) const AGAIN: Duration = Duration::from_secs(2);

/// At other times the file is looked at this often: half of the second within which anything done to it is to be
/// noticed, since a busy machine wakes nobody in time.
const LOOK: Duration = Duration::from_millis(500);

/// Where another thread looks at it as often, through a [`Lookout`](super::Lookout), this one asks this often whether it
/// still does.
const OTHERS_LOOK: Duration = Duration::from_secs(5);

/// What a file is kept as that somebody else put where ours belongs.
const STRANGER: &str = "other";

/// A file that cannot be opened is no reason not to go on, unless another program has it.
fn unless_in_use<T>(error: io::Error) -> io::Result<Option<T>> {
    match error.kind() {
        io::ErrorKind::WouldBlock => Err(error),
        _ => Ok(None),
    }
}

/// Where an answer goes: the file's path, or what keeps it from being saved.
pub(super) type FinishReply = Sender<Result<PathBuf, Trouble>>;

/// What the thread is told.
#[derive(Debug)]
pub(super) enum ToWriter {
    /// Write this.
    Append(Stamped),
    /// Write this into a file of practice.
    AppendPractised(PracticeRecord),
    /// Try again now, or look whether all is well.
    TryNow,
    /// Go on below another sessions folder.
    MoveTo(PathBuf),
    /// Say when everything is on the disk, or why not.
    Flush(FinishReply),
    /// The same, and end if it is.
    End(FinishReply),
}

/// How far the sitting's end has come.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum End {
    /// It goes on.
    None,
    /// It has ended, and its file is not sealed yet.
    Closed,
    /// Its file has its last line.
    Sealed,
}

/// What one turn has to do besides saving.
#[derive(Default)]
struct Turn {
    move_to: Option<PathBuf>,
    replies: Vec<FinishReply>,
    ends: bool,
}

pub(super) struct Worker {
    disk: Arc<dyn Disk>,
    /// Held for as long as the disk is at work; whoever else looks at it waits for nothing.
    sheet: Arc<Mutex<LogFile>>,
    path: PathBuf,
    /// Every line of the sitting: what a new file is written from.
    whole: Vec<u8>,
    /// How many of those bytes are on the disk.
    on_disk: usize,
    chain: Chain,
    latest: Elapsed,
    /// How many events those lines hold.
    events: u64,
    /// Whether the last of them ends the sitting, and whether its seal is among the lines.
    end: End,
    /// Whether the file's end is known, so that it can be written on.
    sound: bool,
    /// What a file is kept as that has to give way to ours.
    aside: &'static str,
    /// Digests of such files that were kept.
    kept: BTreeSet<Vec<u8>>,
    /// Whether the file is to be written anew because somebody has touched it.
    touched: bool,
    /// An event that cannot be written as text: trouble that no disk can end.
    unwritable: Option<Trouble>,
    shared: Arc<WriterState>,
    wake: Wake,
}

impl Worker {
    pub(super) fn new(
        disk: Arc<dyn Disk>,
        start: WriterStart,
        shared: Arc<WriterState>,
        wake: Wake,
    ) -> Self {
        let sound = start.taken_up.is_none();
        let aside = start.taken_up.as_ref().map(|found| found.aside);
        let kept = start.taken_up.and_then(|found| found.kept);
        Self {
            disk,
            sheet: start.sheet,
            path: start.path,
            on_disk: if sound { start.whole.len() } else { 0 },
            events: start.chain.next.saturating_sub(1),
            end: End::None,
            whole: start.whole,
            chain: start.chain,
            latest: start.latest,
            sound,
            aside: aside.unwrap_or(STRANGER),
            kept: kept.into_iter().collect(),
            touched: false,
            unwritable: None,
            shared,
            wake,
        }
    }

    /// Puts a new file in the place of one that another program has left: nobody knows what of it is on the disk.
    pub(super) fn make_sound(&mut self) {
        if !self.sound {
            let path = self.path.clone();
            let result = self.write_anew(&path);
            self.publish(result);
        }
    }

    /// Works until it is told to end, or until nobody can tell it anything any more.
    pub(super) fn run(mut self, messages: &Receiver<ToWriter>) {
        loop {
            let first = match messages.recv_timeout(self.patience()) {
                Ok(message) => Some(message),
                Err(RecvTimeoutError::Timeout) if self.sound && self.others_look() => continue,
                Err(RecvTimeoutError::Timeout) => None,
                Err(RecvTimeoutError::Disconnected) => return self.save(),
            };
            let mut turn = Turn::default();
            let waiting = std::iter::from_fn(|| messages.try_recv().ok());
            for message in first.into_iter().chain(waiting) {
                self.take(message, &mut turn);
            }
            let was_sound = self.sound;
            match turn.move_to {
                Some(dir) => self.move_to(&dir),
                None => self.save(),
            }
            // Whoever waits is not sent away at the first try, which leaves the file unsound.
            if was_sound && !self.sound && !turn.replies.is_empty() {
                self.save();
            }
            let trouble = self.shared.rare(|rare| rare.trouble.clone());
            for reply in turn.replies {
                let answer = trouble.clone().map_or(Ok(self.path.clone()), Err);
                let _nobody_may_be_waiting_any_more = reply.send(answer);
            }
            if turn.ends && trouble.is_none() {
                return;
            }
        }
    }

    /// How long it waits to be told something.
    fn patience(&self) -> Duration {
        let others_look = self.others_look();
        self.shared.looked.store(false, Ordering::SeqCst);
        match self.sound {
            false => AGAIN,
            true if others_look => OTHERS_LOOK,
            true => LOOK,
        }
    }

    /// Whether another thread has looked at the file since this one last waited, and knows what it should find there.
    fn others_look(&self) -> bool {
        self.shared.looked.load(Ordering::SeqCst) && self.sheet().was_looked_at()
    }

    fn sheet(&self) -> MutexGuard<'_, LogFile> {
        self.sheet.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn take(&mut self, message: ToWriter, turn: &mut Turn) {
        match message {
            ToWriter::Append(stamped) => self.add(stamped),
            ToWriter::AppendPractised(record) => self.add_practised(record),
            ToWriter::TryNow => {}
            ToWriter::MoveTo(dir) => turn.move_to = Some(dir),
            ToWriter::Flush(reply) => turn.replies.push(reply),
            ToWriter::End(reply) => {
                turn.replies.push(reply);
                turn.ends = true;
            }
        }
    }

    /// Adds a line. Events sent from two threads may come in the wrong order; a file never goes
    /// back in time.
    fn add(&mut self, mut stamped: Stamped) {
        if self.end != End::None {
            // No wish is granted after the end, so nobody can lose anything by this.
            self.unwritable = Some(Trouble::Ended(self.path.clone()));
            return;
        }
        self.latest = self.latest.max(stamped.at);
        stamped.at = self.latest;
        match line::write_event(&stamped, &mut self.chain) {
            Ok(line) => {
                self.whole.extend_from_slice(line.as_bytes());
                self.events += 1;
                if matches!(stamped.event, Event::Closed(_)) {
                    self.end = End::Closed;
                }
            }
            Err(error) => self.cannot_write(&error),
        }
    }

    fn add_practised(&mut self, record: PracticeRecord) {
        match practice_line::line(record, &mut self.chain) {
            Ok(line) => {
                self.whole.extend_from_slice(line.as_bytes());
                self.events += 1;
            }
            Err(error) => self.cannot_write(&error),
        }
    }

    fn cannot_write(&mut self, error: &ron::Error) {
        let reason = error.to_string();
        let path = self.path.clone();
        self.unwritable = Some(Trouble::Disk { path, reason });
    }

    /// Brings everything to the disk, or publishes why not; once the end of the sitting is there, the
    /// line that seals it.
    fn save(&mut self) {
        if self.bring() {
            self.seal();
        }
    }

    /// Seals a file whose sitting has ended, once.
    fn seal(&mut self) {
        if self.end == End::Closed && line::is_sealed_in(self.chain.format) {
            self.add_seal();
            self.bring();
        }
    }

    /// Adds the last line.
    fn add_seal(&mut self) {
        self.end = End::Sealed;
        match line::write_seal(&self.whole, &mut self.chain) {
            Ok(line) => self.whole.extend_from_slice(line.as_bytes()),
            Err(error) => self.cannot_write(&error),
        }
    }

    /// Brings the lines that there are to the disk; says whether that went well. A file that somebody has touched
    /// is told and written anew at once.
    fn bring(&mut self) -> bool {
        if self.sound {
            let result = self.go_on();
            let touched = result.as_ref().is_err_and(Trouble::is_touch);
            let saved = result.is_ok();
            self.publish(result);
            if !touched {
                return saved;
            }
            self.touched = true;
        }
        let path = self.path.clone();
        self.remake_last(folder_of(&path));
        let result = self.write_anew(&path);
        let saved = result.is_ok();
        if saved && std::mem::take(&mut self.touched) {
            self.shared.rare(|rare| rare.rewritten += 1);
        }
        self.publish(result);
        saved
    }

    /// Writes the new lines behind the others, where the file is what it should be before and after that.
    fn go_on(&mut self) -> Result<(), Trouble> {
        self.look()?;
        let new = self.whole.get(self.on_disk..).unwrap_or_default();
        if new.is_empty() {
            return Ok(());
        }
        let mut sheet = self.sheet();
        let written = sheet.write_all(new).and_then(|()| sheet.sync());
        drop(sheet);
        if let Err(error) = written {
            self.sound = false;
            return Err(Trouble::of(&self.path, &error));
        }
        self.on_disk = self.whole.len();
        self.look()
    }

    /// Looks whether the file lies where it should, with everything that was written and nothing else.
    fn look(&mut self) -> Result<(), Trouble> {
        let written = self.whole.get(..self.on_disk).unwrap_or_default();
        let there = self.sheet().look(&*self.disk, &self.path, written);
        if let Ok(There::Ours) = there {
            return Ok(());
        }
        self.sound = false;
        let path = self.path.clone();
        let there = there.map_err(|error| Trouble::of(&path, &error))?;
        self.on_disk = 0;
        Err(match there {
            There::Changed => Trouble::FileChanged(path),
            _ if folder_of(&path).is_dir() => Trouble::FileGone(path),
            _ => Trouble::FolderGone(path),
        })
    }

    /// Makes a last folder again that somebody removed, never one above it: a stick that was pulled
    /// out must not be written to as if it were there.
    fn remake_last(&self, folder: &Path) {
        let _there_already_or_found_out_at_the_next_step = self.disk.make_folder(folder);
    }

    /// Writes the whole sitting to a new file, puts it at `path`, and goes on there.
    fn write_anew(&mut self, path: &Path) -> Result<(), Trouble> {
        self.sound = false;
        let part = place::free_sibling(path, place::PART);
        let put = self.write_part(&part).and_then(|sheet| {
            self.keep_stranger(path)?;
            self.put_in_place(&part, path, sheet)
        });
        match put {
            // It is ours from here on, also where the folder does not get to the disk.
            Ok(sheet) => *self.sheet() = sheet,
            Err(error) => {
                if error.kind() != io::ErrorKind::AlreadyExists {
                    let _a_leftover_does_no_harm = self.disk.remove(&part);
                }
                return Err(match error.kind() {
                    io::ErrorKind::WouldBlock => Trouble::InUse(path.to_owned()),
                    _ => Trouble::of(path, &error),
                });
            }
        }
        // The folder itself may have been made just now, by us or by whoever had removed it.
        let folder = folder_of(path);
        let synced = self.disk.sync_folder(folder);
        let synced = synced.and_then(|()| self.disk.sync_folder(folder_of(folder)));
        synced.map_err(|error| Trouble::of(path, &error))?;
        self.on_disk = self.whole.len();
        self.sound = true;
        self.aside = STRANGER;
        Ok(())
    }

    fn write_part(&self, part: &Path) -> io::Result<LogFile> {
        let mut sheet = LogFile::create(&*self.disk, part)?;
        sheet.write_all(&self.whole)?;
        sheet.sync()?;
        Ok(sheet)
    }

    #[cfg(unix)]
    fn put_in_place(&self, part: &Path, path: &Path, sheet: LogFile) -> io::Result<LogFile> {
        self.disk.rename(part, path)?;
        Ok(sheet)
    }

    /// No file that is open can be given another's name or place here.
    #[cfg(not(unix))]
    fn put_in_place(&mut self, part: &Path, path: &Path, sheet: LogFile) -> io::Result<LogFile> {
        drop(sheet);
        self.sheet().let_go();
        self.disk.rename(part, path)?;
        let mut sheet = LogFile::open(&*self.disk, path)?;
        sheet.go_to_end()?;
        Ok(sheet)
    }

    /// A file at `path` that says anything but what ours does or did is kept beside it, once, and not written over. One
    /// that another program has locked stays where it is.
    fn keep_stranger(&mut self, path: &Path) -> io::Result<()> {
        let about = match fs::symlink_metadata(path) {
            Err(error) if is_absence(&error) => return Ok(()),
            about => about?,
        };
        if about.is_file() {
            if !matches!(self.sheet().is_at(path), Ok(true)) {
                let open = LogFile::open(&*self.disk, path).map(Some);
                drop(open.or_else(unless_in_use)?);
            }
            if let Ok(bytes) = self.disk.read(path, Size::SESSION) {
                let digest = Sha256::digest(&bytes).to_vec();
                if self.whole.starts_with(&bytes) || !self.kept.insert(digest) {
                    return Ok(());
                }
            }
        }
        let aside = place::free_sibling(path, self.aside);
        let named = self.disk.second_name(path, &aside);
        // Where there are no second names, nothing lies at `path` for a moment.
        named.or_else(|_no_links| self.disk.rename(path, &aside))
    }

    fn move_to(&mut self, dir: &Path) {
        let result = self.try_move(dir);
        let moved = result.is_ok();
        self.publish(result);
        if moved {
            self.seal();
        }
    }

    fn try_move(&mut self, dir: &Path) -> Result<(), Trouble> {
        let pupil = folder_of(&self.path).file_name().unwrap_or_default();
        let folder = dir.join(pupil);
        let trouble = |error: &io::Error| Trouble::of(&folder, error);
        let made = operations::make_folders(&*self.disk, &folder);
        made.map_err(|error| trouble(&error))?;
        let path = place::free(&folder, &place::stem(&self.path));
        let old = std::mem::replace(&mut self.path, path.clone());
        let left_behind = matches!(self.sheet().is_at(&old), Ok(true));
        if let Err(trouble) = self.write_anew(&path) {
            // It may have its name already, and only the folder's sync has failed.
            let _the_sitting_stays_where_it_was = self.disk.remove(&path);
            self.path = old;
            return Err(trouble);
        }
        if left_behind {
            let aside = place::free_sibling(&old, "moved");
            let _what_cannot_be_renamed_stays_as_it_is = self.disk.rename(&old, &aside);
        }
        let _the_sitting_itself_is_safe = moved::note(&*self.disk, &old, &path);
        Ok(())
    }

    /// Says how it went, and wakes whoever shows it if that is news.
    fn publish(&self, result: Result<(), Trouble>) {
        let durable = match &result {
            Ok(()) => self.events,
            Err(_) if self.on_disk == 0 => 0,
            Err(_) => self.shared.durable.load(Ordering::SeqCst),
        };
        let trouble = result.err().or_else(|| self.unwritable.clone());
        let news = self.shared.rare(|rare| {
            let news = rare.trouble != trouble || rare.path != self.path;
            rare.trouble = trouble;
            rare.path.clone_from(&self.path);
            news
        });
        let before = self.shared.durable.swap(durable, Ordering::SeqCst);
        if news || before != durable {
            (self.wake)();
        }
    }
}
