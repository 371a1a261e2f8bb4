//! A session of practice, `PUPIL/2026-11-25-0912.practice.ron`: a line for its start, then a line an event, brought to
//! the disk by the same thread as a sitting's, and locked like it for as long as it goes on.
//!
//! The file holds no alias: whose it is, its folder says. A session is never gone on with; one that was killed ends
//! where it was.

use std::fmt;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Duration;

use super::chained::hold;
use super::error::JournalError;
use super::line::{Chain, Wrong};
use super::lock::{Lock, LockError};
use super::practice_line::{PracticeLine, PracticeRecord, line};
use super::trouble::Trouble;
use super::writer::{SavedWatch, Wake, Writer};
use crate::domain::character::ShownPath as _;
use crate::domain::header::Alias;
use crate::domain::practice::{PracticeLog, PracticeMoment, PracticeStart};
use crate::storage::disk::operations::{Disk, RealDisk};
use crate::storage::disk::{self, Size};

/// How the name of a file of practice ends.
pub const PRACTICE_ENDING: &str = ".practice.ron";

/// The most files that begin in one minute.
const MOST_FILES: u32 = 100;

/// Why practice is not saved.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum PracticeNotSaved {
    /// Its file cannot be begun.
    #[error("{0}")]
    Journal(#[source] JournalError),
    /// Its file cannot be locked.
    #[error("{0}")]
    Lock(#[source] LockError),
    /// Not yet; it is tried again for as long as it goes on.
    #[error(
        "{}: this practice isn't saved ({}); free some space, plug the memory stick in again, or check who owns the folder",
        .0.path().shown(), .0.brief()
    )]
    Trouble(Trouble),
}

/// Why a file of practice is not read, or not to its end.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum PracticeUnread {
    /// The system refuses.
    #[error("{}: {}", path.shown(), disk::why_unread(source))]
    Io {
        /// The file.
        path: PathBuf,
        /// The refusal.
        source: io::Error,
    },
    /// A line is wrong.
    #[error(
        "{}:{line}: {wrong}; only what comes before this line is used",
        path.shown()
    )]
    Line {
        /// The file.
        path: PathBuf,
        /// The line, from 1.
        line: usize,
        /// What is wrong with it.
        wrong: Wrong,
    },
}

/// A file of practice that is being written.
pub struct PracticeFile {
    writer: Writer,
    /// Until it is finished.
    lock: Option<Lock>,
    wake: LateWake,
}

/// What is woken once there is a page to draw.
type LateWake = Arc<Mutex<Option<Wake>>>;

impl fmt::Debug for PracticeFile {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut shown = f.debug_struct("PracticeFile");
        shown.field("writer", &self.writer).finish_non_exhaustive()
    }
}

impl PracticeFile {
    /// Begins a file with the line of its start: it is on the disk when this returns.
    ///
    /// # Errors
    /// The system's refusal.
    pub fn begin(
        sessions: &Path,
        pupil: &Alias,
        start: &PracticeStart,
    ) -> Result<Self, PracticeNotSaved> {
        Self::begin_on(Arc::new(RealDisk), sessions, pupil, start)
    }

    /// The same on any disk.
    ///
    /// # Errors
    /// As [`Self::begin`].
    #[expect(
        clippy::needless_pass_by_value,
        reason = "as a sitting's writer takes it"
    )]
    pub fn begin_on(
        disk: Arc<dyn Disk>,
        sessions: &Path,
        pupil: &Alias,
        start: &PracticeStart,
    ) -> Result<Self, PracticeNotSaved> {
        let folder = sessions.join(pupil.as_str());
        let name = start.started.format("%Y-%m-%d-%H%M").to_string();
        let mut chain = Chain::default();
        let first = line(PracticeRecord::Start(start.clone()), &mut chain);
        let unwritable = |error| JournalError::unwritable(&folder, &error);
        let first = first.map_err(unwritable);
        let first = first.map_err(PracticeNotSaved::Journal)?.into_bytes();
        release_old_locks(&folder);
        let wake = LateWake::default();
        let mut number = 1;
        loop {
            let path = folder.join(match number {
                1 => format!("{name}{PRACTICE_ENDING}"),
                number => format!("{name}-{number}{PRACTICE_ENDING}"),
            });
            let may_be_taken = number < MOST_FILES;
            number += 1;
            let lock = match Lock::take_on(&disk, &path) {
                Ok((lock, _no_beat)) => lock,
                Err(LockError::Taken(_)) if may_be_taken => continue,
                Err(error) => return Err(PracticeNotSaved::Lock(error)),
            };
            let woken = Arc::clone(&wake);
            let wakes: Wake = Box::new(move || {
                if let Some(wake) = &*woken.lock().unwrap_or_else(PoisonError::into_inner) {
                    wake();
                }
            });
            let disk = Arc::clone(&disk);
            match Writer::begin(disk, &path, first.clone(), chain, wakes) {
                Ok(writer) => {
                    let lock = Some(lock);
                    return Ok(Self { writer, lock, wake });
                }
                Err(JournalError::Taken(_)) if may_be_taken => lock.release(),
                Err(error) => {
                    lock.release();
                    return Err(PracticeNotSaved::Journal(error));
                }
            }
        }
    }

    /// The file.
    pub fn path(&self) -> PathBuf {
        self.writer.path()
    }

    /// Wakes a page whenever what [`Self::watch`] tells has changed.
    pub fn wake_by(&self, wake: Wake) {
        *self.wake.lock().unwrap_or_else(PoisonError::into_inner) = Some(wake);
    }

    /// Gives an event to the thread that writes it, and returns at once.
    pub fn record(&self, moment: &PracticeMoment) {
        self.writer.append_practised(PracticeRecord::Event {
            at: moment.at,
            utc: moment.utc,
            event: moment.event.clone(),
        });
    }

    /// Tells how far saving has got.
    pub fn watch(&self) -> SavedWatch {
        self.writer.watch()
    }

    /// Waits until everything is on the disk, trying anew where there was trouble.
    ///
    /// # Errors
    /// It cannot be, or takes longer than `patience`; nothing is lost while the program runs.
    pub fn save(&mut self, patience: Duration) -> Result<(), PracticeNotSaved> {
        if self.writer.wait_durable(patience) {
            return Ok(());
        }
        let trouble = self.writer.saved().trouble;
        let trouble = trouble.unwrap_or_else(|| Trouble::Slow(self.path()));
        Err(PracticeNotSaved::Trouble(trouble))
    }

    /// Waits until everything is on the disk, and lets go of the file.
    ///
    /// # Errors
    /// What keeps it from being saved within ten seconds. Everything is still in memory then, and it can be finished
    /// again.
    pub fn finish(&mut self) -> Result<PathBuf, PracticeNotSaved> {
        let path = self.writer.finish().map_err(PracticeNotSaved::Trouble)?;
        if let Some(lock) = self.lock.take() {
            lock.release();
        }
        Ok(path)
    }
}

/// Removes locks that programs which were killed have left beside practice; of what they were for nothing is gone on
/// with.
fn release_old_locks(folder: &Path) {
    let files = fs::read_dir(folder).into_iter().flatten().flatten();
    for file in files {
        let name = file.file_name();
        let name = name.to_string_lossy();
        let practice = name.strip_suffix(".lock");
        let practice = practice.filter(|practice| practice.ends_with(PRACTICE_ENDING));
        if let Some(practice) = practice
            && let Ok((lock, _no_beat)) = Lock::take(&folder.join(practice))
        {
            lock.release();
        }
    }
}

/// The practice of a pupil.
#[derive(Debug, Default)]
pub struct PracticeRead {
    /// The sessions, the earliest file first.
    pub logs: Vec<PracticeLog>,
    /// What could not be read, or not to its end.
    pub unread: Vec<PracticeUnread>,
}

/// Everything that a pupil has practised; capitals make no other pupil.
pub fn practice_of(sessions: &Path, pupil: &Alias) -> PracticeRead {
    let folders = fs::read_dir(sessions).into_iter().flatten().flatten();
    let own = folders.filter(|folder| {
        let name = folder.file_name().into_string().ok();
        let alias = name.and_then(|name| Alias::try_from(name).ok());
        alias.is_some_and(|alias| alias.is_same(pupil))
    });
    read_in(own.map(|folder| folder.path()))
}

/// Everything that was practised in a pupil's folder.
pub fn practice_in(folder: &Path) -> PracticeRead {
    read_in(std::iter::once(folder.to_owned()))
}

fn read_in(folders: impl Iterator<Item = PathBuf>) -> PracticeRead {
    let mut read = PracticeRead::default();
    let files = folders.flat_map(|folder| fs::read_dir(folder).into_iter().flatten().flatten());
    let mut paths: Vec<PathBuf> = files.map(|file| file.path()).collect();
    paths.retain(|path| {
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        name.ends_with(PRACTICE_ENDING)
    });
    paths.sort();
    for path in paths {
        match disk::read_found(&path, Size::SESSION) {
            Ok(bytes) => read.take(path, &bytes),
            Err(source) => read.unread.push(PracticeUnread::Io { path, source }),
        }
    }
    read
}

impl PracticeRead {
    fn take(&mut self, path: PathBuf, bytes: &[u8]) {
        let held = hold::<PracticeLine>(bytes);
        let line = held.records.len() + 1;
        if let Some(wrong) = held.damage {
            self.unread.push(PracticeUnread::Line { path, line, wrong });
        }
        let mut records = held.records.into_iter();
        // A file that was cut before its first line was whole says nothing.
        let Some(PracticeRecord::Start(start)) = records.next() else {
            return;
        };
        let moments = records.filter_map(|record| match record {
            PracticeRecord::Event { at, utc, event } => Some(PracticeMoment { at, utc, event }),
            PracticeRecord::Start(_) => None,
        });
        let moments = moments.collect();
        self.logs.push(PracticeLog { start, moments });
    }
}

#[cfg(test)]
mod tests {
    use chrono::DateTime;

    use super::*;
    use crate::domain::labels::Label;
    use crate::domain::paper::Fingerprint;
    use crate::domain::practice::{PaperQuestion, PracticeEvent};
    use crate::domain::rule::QuestionNo;
    use crate::domain::time::Elapsed;

    fn start() -> PracticeStart {
        PracticeStart {
            practice: "20261125-160500-0000000000000001".to_owned(),
            started: DateTime::parse_from_rfc3339("2026-11-25T16:05:00+01:00").unwrap(),
            program: "pacebell 0.1.0".to_owned(),
        }
    }

    fn moments() -> Vec<PracticeMoment> {
        let events = [
            PracticeEvent::Opened(PaperQuestion {
                paper: "saltmarsh-a".to_owned(),
                fingerprint: Fingerprint::of(["a"]),
                question: QuestionNo(7),
                words: None,
            }),
            PracticeEvent::Tried {
                option: Label::new('B').unwrap(),
                unaided: true,
            },
            PracticeEvent::HintShown,
            PracticeEvent::Tried {
                option: Label::new('C').unwrap(),
                unaided: false,
            },
            PracticeEvent::WorkingShown,
            PracticeEvent::Catch("I halved\nit // 00000000".to_owned()),
            PracticeEvent::Stopped,
        ];
        let at = |(n, event)| PracticeMoment {
            at: Elapsed::seconds(n),
            utc: DateTime::parse_from_rfc3339("2026-11-25T15:05:00.5Z")
                .unwrap()
                .to_utc(),
            event,
        };
        (1..).zip(events).map(at).collect()
    }

    fn otter() -> Alias {
        Alias::new("otter").unwrap()
    }

    fn written(dir: &Path) -> PathBuf {
        let mut file = PracticeFile::begin(dir, &otter(), &start()).unwrap();
        for moment in moments() {
            file.record(&moment);
        }
        file.finish().unwrap()
    }

    #[test]
    fn each_event_is_a_line_with_a_chained_checksum_and_comes_back() {
        let dir = tempfile::tempdir().unwrap();
        let path = written(dir.path());
        assert!(
            path.ends_with("otter/2026-11-25-1605.practice.ron"),
            "{path:?}"
        );
        let text = fs::read_to_string(&path).unwrap();
        assert_eq!(text.lines().count(), 8);
        assert!(!text.contains("otter"), "whose it is, the folder says");
        // The checksum of the first line, after eight zeros; that of each other, after the one before.
        let mut before = "00000000".to_owned();
        for (number, line) in text.lines().enumerate() {
            let (record, sum) = line.rsplit_once(" // ").unwrap();
            let own = crc32fast::hash(format!("{before}{record}").as_bytes());
            assert_eq!(sum, format!("{own:08x}"));
            assert!(
                record.starts_with(&format!("(format:1,n:{number},record:")),
                "{record}"
            );
            sum.clone_into(&mut before);
        }
        let read = practice_of(dir.path(), &Alias::new("Otter").unwrap());
        assert!(read.unread.is_empty(), "{:?}", read.unread);
        let own = PracticeLog {
            start: start(),
            moments: moments(),
        };
        assert_eq!(read.logs, [own]);
        assert_eq!(
            practice_of(dir.path(), &Alias::new("otter-2").unwrap()).logs,
            []
        );
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt;
            let mode = fs::metadata(&path).unwrap().permissions().mode();
            assert_eq!(mode & 0o777, 0o600);
        }
    }

    #[test]
    fn a_session_never_goes_into_the_file_of_another() {
        let dir = tempfile::tempdir().unwrap();
        let first = written(dir.path());
        let second = written(dir.path());
        assert!(
            second.ends_with("2026-11-25-1605-2.practice.ron"),
            "{second:?}"
        );
        assert_eq!(fs::read(first).unwrap(), fs::read(second).unwrap());
    }

    #[test]
    fn every_cut_keeps_the_whole_lines_and_is_no_damage() {
        let dir = tempfile::tempdir().unwrap();
        let path = written(dir.path());
        let full = fs::read(&path).unwrap();
        for cut in 0..full.len() {
            let whole = full[..cut].split(|byte| *byte == b'\n').count() - 1;
            fs::write(&path, &full[..cut]).unwrap();
            let read = practice_of(dir.path(), &otter());
            assert!(read.unread.is_empty(), "cut at byte {cut}");
            let kept = read.logs.first().map(|log| log.moments.clone());
            let wanted = (whole > 0).then(|| moments()[..whole - 1].to_vec());
            assert_eq!(kept, wanted, "cut at byte {cut}");
        }
    }

    #[test]
    fn damage_names_its_line_and_a_newer_format_says_so() {
        let dir = tempfile::tempdir().unwrap();
        let path = written(dir.path());
        let sound = fs::read_to_string(&path).unwrap();
        fs::write(&path, sound.replace("option:'B'", "option:'D'")).unwrap();
        let read = practice_of(dir.path(), &otter());
        let said = read.unread[0].to_string();
        assert!(
            said.contains("practice.ron:3: its checksum doesn't match"),
            "{said}"
        );
        assert_eq!(read.logs[0].moments, moments()[..1]);
        let newer = Chain::default().seal("(format:2,n:0,shape:New)".to_owned());
        fs::write(&path, newer).unwrap();
        let said = practice_of(dir.path(), &otter()).unread[0].to_string();
        assert!(
            said.contains("practice.ron:1:") && said.contains("newer"),
            "{said}"
        );
        let windows = format!("\u{feff}{}", sound.replace('\n', "\r\n"));
        fs::write(&path, windows).unwrap();
        let read = practice_of(dir.path(), &otter());
        assert_eq!(read.logs[0].moments, moments(), "{:?}", read.unread);
    }

    const PATIENCE: Duration = Duration::from_secs(20);

    fn until(what: &str, is_so: impl Fn() -> bool) {
        let so = (0..4000).any(|_| {
            std::thread::sleep(Duration::from_millis(5));
            is_so()
        });
        assert!(so, "waited in vain for {what}");
    }

    /// Windows lets nobody do that to a file that is held.
    #[cfg(unix)]
    #[test]
    fn a_file_that_was_moved_removed_or_changed_is_written_again_whole() {
        let dir = tempfile::tempdir().unwrap();
        let mut file = PracticeFile::begin(dir.path(), &otter(), &start()).unwrap();
        let all = moments();
        let own = file.path();
        let sound = |moments: &[PracticeMoment]| {
            let read = practice_of(dir.path(), &otter());
            read.unread.is_empty() && read.logs.first().is_some_and(|log| log.moments == moments)
        };
        file.record(&all[0]);
        file.save(PATIENCE).unwrap();
        fs::rename(&own, dir.path().join("away")).unwrap();
        file.record(&all[1]);
        file.save(PATIENCE).unwrap();
        assert!(sound(&all[..2]));
        // Nothing else is typed, and it comes back all the same.
        fs::remove_file(&own).unwrap();
        until("the file", || sound(&all[..2]));
        fs::write(&own, "something else").unwrap();
        until("the file", || sound(&all[..2]));
        let folder = own.parent().unwrap();
        let kept = folder.join("2026-11-25-1605.practice.ron.other");
        assert_eq!(fs::read_to_string(kept).unwrap(), "something else");
        for moment in &all[2..] {
            file.record(moment);
        }
        assert_eq!(file.finish().unwrap(), own);
        assert!(sound(&all));
    }

    /// The folder is a stick that is pulled out: what is practised meanwhile is told as unsaved, and saved at once
    /// when the stick is back.
    #[test]
    fn what_cannot_be_saved_is_told_and_saved_when_it_can_be() {
        let dir = tempfile::tempdir().unwrap();
        let (stick, away) = (dir.path().join("stick"), dir.path().join("away"));
        let mut file = PracticeFile::begin(&stick.join("sessions"), &otter(), &start()).unwrap();
        let all = moments();
        file.record(&all[0]);
        file.save(PATIENCE).unwrap();
        let watch = file.watch();
        assert!(watch.saved().is_all());
        fs::rename(&stick, &away).unwrap();
        file.record(&all[1]);
        let said = file.save(PATIENCE).unwrap_err().to_string();
        assert!(said.contains("isn't saved (The folder has gone)"), "{said}");
        assert!(!watch.saved().is_all());
        assert!(!stick.exists(), "nothing is made where the stick was");
        fs::rename(&away, &stick).unwrap();
        until("everything saved", || watch.saved().is_all());
        for moment in &all[2..] {
            file.record(moment);
        }
        file.finish().unwrap();
        assert_eq!(
            practice_of(&stick.join("sessions"), &otter()).logs[0].moments,
            all
        );
    }

    #[test]
    fn practice_is_locked_while_it_goes_on_and_old_locks_go() {
        let dir = tempfile::tempdir().unwrap();
        let mut file = PracticeFile::begin(dir.path(), &otter(), &start()).unwrap();
        let path = file.path();
        assert!(super::super::is_in_use(&path));
        let locks = || {
            let names = fs::read_dir(dir.path().join("otter")).unwrap();
            let names = names.map(|entry| entry.unwrap().file_name().into_string().unwrap());
            let mut names: Vec<_> = names
                .filter(|name| Path::new(name).extension().is_some_and(|own| own == "lock"))
                .collect();
            names.sort();
            names
        };
        let old = dir.path().join("otter/2026-11-24-0900.practice.ron.lock");
        fs::write(&old, "").unwrap();
        let sittings = dir.path().join("otter/2026-11-24-0900-a.lock");
        fs::write(&sittings, "").unwrap();
        let mut second = PracticeFile::begin(dir.path(), &otter(), &start()).unwrap();
        assert_eq!(
            locks(),
            [
                "2026-11-24-0900-a.lock",
                "2026-11-25-1605-2.practice.ron.lock",
                "2026-11-25-1605.practice.ron.lock"
            ]
        );
        second.finish().unwrap();
        file.finish().unwrap();
        assert_eq!(locks(), ["2026-11-24-0900-a.lock"]);
        assert!(!super::super::is_in_use(&path));
    }
}
