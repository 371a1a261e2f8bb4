//! A session of practice, `PUPIL/2026-11-25-0912.practice.ron`: a line for its start, then a line an event, each on the
//! disk before the next is heard. There is no clock that waiting could cost.
//!
//! The file holds no alias: whose it is, its folder says. A session is never gone on with; one that was killed ends
//! where it was.

use std::fs::{self, File, OpenOptions};
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};

use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};

use super::chained::{ChainedLine, hold, sealed};
use super::line::{Chain, Wrong};
use crate::domain::header::Alias;
use crate::domain::practice::{
    PRACTICE_FORMAT, PracticeEvent, PracticeLog, PracticeMoment, PracticeStart,
};
use crate::domain::time::Elapsed;
use crate::storage::disk::{self, Rights, Size};

/// How the name of a file of practice ends.
pub const PRACTICE_ENDING: &str = ".practice.ron";

/// The most files that begin in one minute.
const MOST_FILES: u32 = 100;

/// What a line holds.
#[derive(Serialize, Deserialize)]
enum PracticeRecord {
    Start(PracticeStart),
    Event {
        at: Elapsed,
        utc: DateTime<Utc>,
        event: PracticeEvent,
    },
}

#[derive(Serialize, Deserialize)]
struct PracticeLine {
    format: u32,
    n: u64,
    record: PracticeRecord,
}

impl ChainedLine for PracticeLine {
    type Record = PracticeRecord;
    const FORMAT: u32 = PRACTICE_FORMAT;

    fn new(n: u64, record: PracticeRecord) -> Self {
        let format = PRACTICE_FORMAT;
        Self { format, n, record }
    }

    fn parts(self) -> (u64, PracticeRecord) {
        (self.n, self.record)
    }
}

/// Why practice was not saved.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum PracticeNotSaved {
    /// It cannot be written as text.
    #[error("this practice can't be written as text ({0})")]
    Unwritable(#[from] ron::Error),
    /// The system refuses.
    #[error(
        "{}: this practice isn't saved ({source}); free some space or check who owns the folder",
        path.display()
    )]
    Io {
        /// The file.
        path: PathBuf,
        /// The refusal.
        source: io::Error,
    },
}

/// Why a file of practice is not read, or not to its end.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum PracticeUnread {
    /// The system refuses.
    #[error("{}: {}", path.display(), disk::why_unread(source))]
    Io {
        /// The file.
        path: PathBuf,
        /// The refusal.
        source: io::Error,
    },
    /// A line is wrong.
    #[error(
        "{}:{line}: {wrong}; only what comes before this line is used",
        path.display()
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
#[derive(Debug)]
pub struct PracticeFile {
    path: PathBuf,
    file: File,
    /// All lines so far, saved or not.
    bytes: Vec<u8>,
    chain: Chain,
    /// Whether the file's end is not known, since a write or a sync has failed.
    is_behind: bool,
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
        let folder = sessions.join(pupil.as_str());
        let name = start.started.format("%Y-%m-%d-%H%M").to_string();
        let io = |path: &Path, source| PracticeNotSaved::Io {
            path: path.to_owned(),
            source,
        };
        disk::create_private_dir_all(&folder).map_err(|error| io(&folder, error))?;
        let mut number = 1;
        let (path, file) = loop {
            let path = folder.join(match number {
                1 => format!("{name}{PRACTICE_ENDING}"),
                number => format!("{name}-{number}{PRACTICE_ENDING}"),
            });
            let mut options = OpenOptions::new();
            let options = options.append(true).create_new(true);
            match disk::open_private(options, &path) {
                Ok(file) => break (path, file),
                Err(error)
                    if error.kind() == io::ErrorKind::AlreadyExists && number < MOST_FILES =>
                {
                    number += 1;
                }
                Err(error) => return Err(io(&path, error)),
            }
        };
        let mut begun = Self {
            path,
            file,
            bytes: Vec::new(),
            chain: Chain::default(),
            is_behind: false,
        };
        begun.add(PracticeRecord::Start(start.clone()))?;
        disk::sync_folder(&folder).map_err(|error| io(&begun.path, error))?;
        Ok(begun)
    }

    /// The file.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Adds an event: it is on the disk when this returns, with all before it.
    ///
    /// # Errors
    /// The system's refusal; the event is kept, and the next one, or [`Self::save`], tries again.
    pub fn record(&mut self, moment: &PracticeMoment) -> Result<(), PracticeNotSaved> {
        self.add(PracticeRecord::Event {
            at: moment.at,
            utc: moment.utc,
            event: moment.event.clone(),
        })
    }

    /// Tries again to save what a refusal left, where there is any.
    ///
    /// # Errors
    /// The system's refusal; nothing is lost while the program runs.
    pub fn save(&mut self) -> Result<(), PracticeNotSaved> {
        if !self.is_behind {
            return Ok(());
        }
        let io = |source| PracticeNotSaved::Io {
            path: self.path.clone(),
            source,
        };
        // The folder may be gone with its stick, and is not made anew elsewhere.
        disk::replace(&self.path, &self.bytes, Rights::Owner).map_err(io)?;
        let mut options = OpenOptions::new();
        self.file = disk::open_private(options.append(true), &self.path).map_err(io)?;
        self.is_behind = false;
        Ok(())
    }

    fn add(&mut self, record: PracticeRecord) -> Result<(), PracticeNotSaved> {
        let line = sealed::<PracticeLine>(&mut self.chain, record)?;
        self.bytes.extend(line.as_bytes());
        if self.is_behind {
            return self.save();
        }
        let written = self.file.write_all(line.as_bytes());
        if written.and_then(|()| disk::sync(&self.file)).is_err() {
            // A retry says what is wrong, if it still is.
            self.is_behind = true;
            return self.save();
        }
        Ok(())
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
    use crate::domain::practice::PaperQuestion;
    use crate::domain::rule::QuestionNo;

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
            file.record(&moment).unwrap();
        }
        file.path().to_owned()
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

    /// What a file's handle no longer leads to is written again whole, as after a failed write.
    #[test]
    fn what_could_not_be_saved_is_saved_with_the_next_event() {
        let dir = tempfile::tempdir().unwrap();
        let mut file = PracticeFile::begin(dir.path(), &otter(), &start()).unwrap();
        // A handle that only reads refuses every write.
        file.file = File::open(file.path()).unwrap();
        let own = dir.path().join("otter");
        let away = dir.path().join("away");
        fs::rename(&own, &away).unwrap();
        let all = moments();
        let said = file.record(&all[0]).unwrap_err().to_string();
        assert!(said.contains("isn't saved"), "{said}");
        fs::rename(&away, &own).unwrap();
        for moment in &all[1..] {
            file.record(moment).unwrap();
        }
        assert_eq!(practice_of(dir.path(), &otter()).logs[0].moments, all);
    }
}
