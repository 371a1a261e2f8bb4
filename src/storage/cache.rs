//! What lists need of sittings that have ended, kept so that their records need not be read again.
//!
//! A cache is found by nothing but a file's bytes: every one of them is read and digested whenever a list is made, so
//! that whatever is done to a file, and whatever its date says, what was read from other bytes never stands for it.
//! It holds answers and no mark: a key, a paper or thresholds that change are felt at once.
//!
//! There is a file a folder of sittings in the user's cache folder, which only its owner can read. It may be deleted
//! at any time. One that is damaged, somebody else's, of another build of the program or too large is none, and is
//! written anew; it is replaced as a whole, so that two programs at once do each other no harm. What no file of the
//! folder says any more is left out when it is written, and the caches of folders that are gone are removed.

use std::collections::{BTreeMap, HashMap};
use std::fmt;
use std::fs::{self, File, OpenOptions};
use std::io::{self, Read};
use std::ops::Range;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard, OnceLock, PoisonError};
use std::time::UNIX_EPOCH;

use chrono::{DateTime, FixedOffset};
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

use super::disk::{self, Size};
use super::files::folders;
use crate::domain::abridged::{Abridged, AbridgedRow, TimeTaken};
use crate::domain::event::{Ending, How};
use crate::domain::header::Alias;
use crate::domain::labels::Label;
use crate::domain::paper::{Outline, PaperId};
use crate::domain::rule::QuestionNo;
use crate::domain::sitting::Given;
use crate::domain::standing::Standing;
use crate::domain::time::Elapsed;

/// What the name of a cache ends in.
const ENDING: &str = ".cache";
/// The folder of these caches in the user's cache folder.
const KIND: &str = "review";
/// The first word of a cache; another number where what it says means something else.
const FORMAT: &str = "pacebell-review-1";
/// Before the digest of everything above it, in the last line.
const END: &str = "end ";

/// The SHA-256 of a file's bytes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ContentDigest([u8; 32]);

impl ContentDigest {
    /// That of these bytes.
    pub fn of(bytes: &[u8]) -> Self {
        Self(Sha256::digest(bytes).into())
    }

    fn read(hex: &str) -> Option<Self> {
        let mut bytes = [0; 32];
        if hex.len() != 2 * bytes.len() {
            return None;
        }
        for (byte, pair) in bytes.iter_mut().zip(hex.as_bytes().chunks_exact(2)) {
            *byte = u8::from_str_radix(str::from_utf8(pair).ok()?, 16).ok()?;
        }
        Some(Self(bytes))
    }
}

impl fmt::Display for ContentDigest {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.iter().try_for_each(|byte| write!(f, "{byte:02x}"))
    }
}

/// What is known of the sittings of a folder without reading their records.
#[derive(Debug, Default)]
pub struct Summaries {
    /// Where it is kept; nowhere where nothing is to be.
    kept: Option<KeptAt>,
    /// The cache as it was when it was first asked.
    found: OnceLock<FoundLines>,
    met: Mutex<MetFiles>,
}

/// A cache as it was found.
#[derive(Debug, Default)]
struct FoundLines {
    text: String,
    papers: HashMap<String, Arc<Outline>>,
    /// Where in the text a file's line is.
    lines: HashMap<ContentDigest, Range<usize>>,
}

#[derive(Debug)]
struct KeptAt {
    path: PathBuf,
    /// The first line: format, build and folder.
    head: String,
}

/// What this run has come by.
#[derive(Debug, Default)]
struct MetFiles {
    /// The files that were read, each with one of its paths, and its line where it is new.
    files: BTreeMap<ContentDigest, (PathBuf, Option<String>)>,
    /// The papers of new lines, each with its name.
    papers: BTreeMap<PaperId, Vec<(Arc<Outline>, String)>>,
}

/// A sitting as its line has it.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct SummaryLine {
    format: u32,
    sitting: String,
    pupil: Alias,
    started: DateTime<FixedOffset>,
    invented: bool,
    /// How it ended, whether it is of the whole paper, whether it was typed in.
    standing: (Option<Ending>, bool, bool),
    /// Allowed and used.
    time: (Elapsed, Elapsed),
    flags: usize,
    numbers: Vec<QuestionNo>,
    /// In time, and in the guess round.
    answers: (AnswerLine, AnswerLine),
}

/// Answers in the order of their questions: a letter each, a dash for a blank, and how each was come by.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct AnswerLine(String, String);

/// The place of each is its sign.
const HOW: [How; 4] = [How::Worked, How::Unsure, How::Guessed, How::Filled];

impl AnswerLine {
    fn of(given: impl Iterator<Item = Option<Given>> + Clone) -> Self {
        let sign = |given: Option<Given>| {
            let how = given.map_or(How::Worked, |given| given.how);
            let place = (0_u32..).zip(HOW).find(|(_, own)| *own == how);
            place
                .and_then(|(place, _)| char::from_digit(place, 10))
                .unwrap_or('0')
        };
        let letter = |given: Option<Given>| given.map_or('-', |given| given.option.as_char());
        Self(
            given.clone().map(letter).collect(),
            given.map(sign).collect(),
        )
    }

    /// The answers; none where a sign stands for nothing.
    fn given(&self) -> Option<Vec<Option<Given>>> {
        let given = |(letter, sign): (char, char)| {
            let how = HOW
                .get(usize::try_from(sign.to_digit(10)?).ok()?)
                .copied()?;
            if letter == '-' {
                return Some(None);
            }
            let option = Label::new(letter).filter(|own| own.as_char() == letter)?;
            Some(Some(Given { option, how }))
        };
        self.0.chars().zip(self.1.chars()).map(given).collect()
    }
}

impl Summaries {
    /// Those of a folder of sittings, from the user's cache folder; none, and none kept, where there can be no such
    /// folder.
    pub fn of(sessions: &Path) -> Self {
        folders::made_cache_dir(KIND)
            .map_or_else(Self::default, |dir| Self::kept_in(&dir, sessions))
    }

    /// Those of a folder of sittings that are kept in this folder.
    pub fn kept_in(folder: &Path, sessions: &Path) -> Self {
        let Ok(sessions) = disk::canonical(sessions) else {
            return Self::default();
        };
        let head = format!("{FORMAT} {} {}", build(), shown(&sessions));
        let path = path_in(folder, &sessions);
        Self {
            kept: Some(KeptAt { path, head }),
            ..Self::default()
        }
    }

    fn found(&self) -> &FoundLines {
        self.found.get_or_init(|| {
            let found = self.kept.as_ref().and_then(FoundLines::at);
            found.unwrap_or_default()
        })
    }

    /// Whether anything is kept for the next time.
    pub const fn is_kept(&self) -> bool {
        self.kept.is_some()
    }

    /// The sitting of a file of these bytes, where it is known.
    pub(super) fn get(&self, digest: ContentDigest, path: &Path) -> Option<Abridged> {
        let found = self.found();
        let (_, line) = found.line(digest)?.split_once(' ')?;
        let (paper, line) = line.split_once(' ')?;
        let paper = Arc::clone(found.papers.get(paper)?);
        let sitting = serde_json::from_str::<SummaryLine>(line).ok()?;
        let sitting = sitting.sitting(paper)?;
        let mut met = locked(&self.met);
        met.files.insert(digest, (path.to_owned(), None));
        Some(sitting)
    }

    /// Notes the sitting of a file of these bytes.
    pub(super) fn put(&self, digest: ContentDigest, path: &Path, sitting: &Abridged) {
        let Ok(line) = serde_json::to_string(&SummaryLine::of(sitting)) else {
            return;
        };
        let mut met = locked(&self.met);
        if let Some(paper) = met.name_of(&sitting.paper) {
            let line = format!("{digest} {paper} {line}\n");
            met.files.insert(digest, (path.to_owned(), Some(line)));
        }
    }

    /// Keeps what was met for the next time, once all files of the folder were read, and removes what is of no use
    /// any more. Where it cannot be kept, the next time takes as long as this one.
    pub fn keep(&self) {
        let Some(kept) = &self.kept else {
            return;
        };
        let met = locked(&self.met);
        let news = met.files.values().any(|(_, line)| line.is_some());
        if !news && met.files.len() == self.found().lines.len() {
            return;
        }
        let text = self.written(&kept.head, &met);
        let fits = u64::try_from(text.len()).is_ok_and(|length| length <= Size::SESSION.bytes());
        if fits {
            let _the_next_time_takes_longer = disk::replace_itself(&kept.path, text.as_bytes());
        } else {
            disk::remove(&kept.path);
        }
        tidy(&kept.path);
    }

    fn written(&self, head: &str, met: &MetFiles) -> String {
        let mut papers = BTreeMap::new();
        let found = self.found();
        let new = met.papers.values().flatten();
        let new_papers: HashMap<&str, &Arc<Outline>> =
            new.map(|(paper, name)| (name.as_str(), paper)).collect();
        let mut lines = String::new();
        for (digest, (path, new)) in &met.files {
            // A file that was erased while the others were read is not kept either.
            if !path.is_file() {
                continue;
            }
            let known = found.line(*digest);
            let Some(line) = new.as_deref().map(str::trim_end).or(known) else {
                continue;
            };
            let name = line.split(' ').nth(1).unwrap_or_default();
            let paper = new_papers
                .get(name)
                .copied()
                .or_else(|| found.papers.get(name));
            if let Some(paper) = paper.filter(|_| !papers.contains_key(name)) {
                papers.insert(name.to_owned(), Arc::clone(paper));
            }
            lines += line;
            lines.push('\n');
        }
        let mut text = format!("{head}\n");
        for (name, paper) in papers {
            if let Ok(paper) = ron::to_string(&*paper) {
                text.extend(["paper ", &name, " ", &paper, "\n"]);
            }
        }
        text += &lines;
        let end = ContentDigest::of(text.as_bytes());
        format!("{text}{END}{end}\n")
    }
}

impl FoundLines {
    fn at(kept: &KeptAt) -> Option<Self> {
        let text = read(&kept.path).filter(|text| text.lines().next() == Some(&kept.head))?;
        let (mut papers, mut lines) = (HashMap::new(), HashMap::new());
        let mut from = 0;
        for whole in text.split_inclusive('\n') {
            let (at, line) = (from, whole.strip_suffix('\n')?);
            from += whole.len();
            if at == 0 {
                continue;
            }
            let (first, rest) = line.split_once(' ')?;
            if first == "paper" {
                let (name, paper) = rest.split_once(' ')?;
                let paper = ron::from_str(paper).ok()?;
                papers.insert(name.to_owned(), Arc::new(paper));
            } else {
                let digest = ContentDigest::read(first)?;
                lines.insert(digest, at..at + line.len());
            }
        }
        Some(Self {
            text,
            papers,
            lines,
        })
    }

    fn line(&self, digest: ContentDigest) -> Option<&str> {
        self.text.get(self.lines.get(&digest)?.clone())
    }
}

impl MetFiles {
    /// The name of a paper in the cache.
    fn name_of(&mut self, paper: &Arc<Outline>) -> Option<String> {
        let versions = self.papers.entry(PaperId::of(paper)).or_default();
        let known = versions.iter().find(|(known, _)| known == paper);
        if let Some((_, name)) = known {
            return Some(name.clone());
        }
        let text = ron::to_string(&**paper).ok()?;
        let name = ContentDigest::of(text.as_bytes()).to_string();
        versions.push((Arc::clone(paper), name.clone()));
        Some(name)
    }
}

impl SummaryLine {
    fn of(sitting: &Abridged) -> Self {
        let rows = sitting.rows.iter();
        let standing = sitting.standing;
        Self {
            format: sitting.format,
            sitting: sitting.sitting.clone(),
            pupil: sitting.pupil.clone(),
            started: sitting.started,
            invented: sitting.invented,
            standing: (standing.ending, standing.whole, standing.typed_in),
            time: (sitting.time.allowed, sitting.time.used),
            flags: sitting.flags,
            numbers: rows.clone().map(|row| row.number).collect(),
            answers: (
                AnswerLine::of(rows.clone().map(|row| row.in_time)),
                AnswerLine::of(rows.map(|row| row.after_time)),
            ),
        }
    }

    fn sitting(self, paper: Arc<Outline>) -> Option<Abridged> {
        let (in_time, after_time) = (self.answers.0.given()?, self.answers.1.given()?);
        if [in_time.len(), after_time.len()] != [self.numbers.len(); 2] {
            return None;
        }
        let row = |(number, (in_time, after_time))| AbridgedRow {
            number,
            in_time,
            after_time,
        };
        let answers = in_time.into_iter().zip(after_time);
        let ((ending, whole, typed_in), (allowed, used)) = (self.standing, self.time);
        Some(Abridged {
            format: self.format,
            sitting: self.sitting,
            pupil: self.pupil,
            started: self.started,
            invented: self.invented,
            paper,
            standing: Standing {
                ending,
                whole,
                typed_in,
                withdrawn: None,
            },
            time: TimeTaken { allowed, used },
            flags: self.flags,
            rows: self.numbers.into_iter().zip(answers).map(row).collect(),
        })
    }
}

/// Whether something lies in the place of the folder's cache that cannot be used: it is not this user's alone, or
/// damaged.
pub fn unusable(sessions: &Path) -> Option<PathBuf> {
    let folder = folders::cache_dir()?.join(KIND);
    let path = path_in(&folder, &disk::canonical(sessions).ok()?);
    let there = fs::symlink_metadata(&path).is_ok();
    (there && read(&path).is_none()).then_some(path)
}

fn path_in(folder: &Path, sessions: &Path) -> PathBuf {
    let name = ContentDigest::of(sessions.as_os_str().as_encoded_bytes()).to_string();
    let name: String = name.chars().take(32).collect();
    folder.join(format!("{name}{ENDING}"))
}

/// A folder's path as one line.
fn shown(folder: &Path) -> String {
    serde_json::Value::from(folder.to_string_lossy()).to_string()
}

/// What tells one build of the program from another: what is made of a log may differ between them.
fn build() -> String {
    let about = std::env::current_exe().and_then(fs::metadata).ok();
    let since = |time: std::time::SystemTime| time.duration_since(UNIX_EPOCH).ok();
    let made = about
        .as_ref()
        .and_then(|about| since(about.modified().ok()?));
    let size = about.map_or(0, |about| about.len());
    let made = made.map_or(0, |made| made.as_nanos());
    format!("{}-{size:x}-{made:x}", env!("CARGO_PKG_VERSION"))
}

/// The lines of a cache, whole and its owner's alone; the last line is left out.
fn read(path: &Path) -> Option<String> {
    if !fs::symlink_metadata(path).ok()?.is_file() {
        return None;
    }
    let file = disk::open_private(OpenOptions::new().read(true), path).ok()?;
    let size = file.metadata().ok()?;
    if !size.is_file() || size.len() > Size::SESSION.bytes() || !is_ours_alone(&file).ok()? {
        return None;
    }
    let mut text = String::new();
    let most = Size::SESSION.bytes();
    file.take(most).read_to_string(&mut text).ok()?;
    let at = text.rfind(END)?;
    let stated = text.get(at..)?.strip_prefix(END)?.strip_suffix('\n')?;
    let stated = ContentDigest::read(stated)?;
    text.truncate(at);
    (ContentDigest::of(text.as_bytes()) == stated).then_some(text)
}

#[cfg(unix)]
fn is_ours_alone(file: &File) -> io::Result<bool> {
    use std::os::unix::fs::MetadataExt;
    let about = file.metadata()?;
    let owner = rustix::process::geteuid().as_raw();
    Ok(about.uid() == owner && about.mode().trailing_zeros() >= 6)
}

#[cfg(not(unix))]
#[expect(clippy::unnecessary_wraps, reason = "it can go wrong on Unix")]
const fn is_ours_alone(_: &File) -> io::Result<bool> {
    Ok(true)
}

/// Removes the caches of folders that are not there any more, and what a killed program left half written.
fn tidy(own: &Path) {
    let Ok(entries) = fs::read_dir(disk::folder_of(own)) else {
        return;
    };
    for path in entries.flatten().map(|entry| entry.path()) {
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        let is_cache = name.ends_with(ENDING) && path != own;
        let is_part = name.starts_with('.') && name.ends_with(".part");
        if is_part || (is_cache && !is_of_a_folder(&path)) {
            disk::remove(&path);
        }
    }
}

fn is_of_a_folder(cache: &Path) -> bool {
    let Some(text) = read(cache) else {
        return false;
    };
    let folder = text
        .lines()
        .next()
        .and_then(|head| head.splitn(3, ' ').nth(2));
    let folder = folder.and_then(|folder| serde_json::from_str::<PathBuf>(folder).ok());
    folder.is_some_and(|folder| folder.is_dir())
}

fn locked(met: &Mutex<MetFiles>) -> MutexGuard<'_, MetFiles> {
    met.lock().unwrap_or_else(PoisonError::into_inner)
}
