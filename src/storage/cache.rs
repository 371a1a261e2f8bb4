//! What lists need of sittings that have ended, kept so that their records need not be read again.
//!
//! What was read from other bytes never stands for a file, whatever is done to it and whatever its date says. A file
//! is known by its bytes, all read and digested; or, on Linux, by what the system says of it
//! ([`ChangeStamp`]), which is another after every change and cannot be set. That is believed of a file that nobody
//! has changed for an hour, on file systems that are known to keep it.
//! It holds answers and no mark: a key, a paper or thresholds that change are felt at once.
//!
//! There is a file a folder of sittings in the user's cache folder, which only its owner can read. It may be deleted
//! at any time. One that is damaged, somebody else's, of another build of the program or too large is none, and is
//! written anew; it is replaced as a whole, so that two programs at once do each other no harm. What no file of the
//! folder says any more is left out when it is written, and the caches of folders that are gone are removed.

mod digest;
mod found;
mod line;

use std::collections::{BTreeMap, BTreeSet};
use std::fs::{self, File, OpenOptions};
use std::io::{self, Read};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard, OnceLock, PoisonError};
use std::time::UNIX_EPOCH;

use super::disk::{self, ChangeStamp, ChangeTimes, Size};
use super::files::folders;
use crate::clock::{Clock, SystemClock};
use crate::domain::abridged::Abridged;
use crate::domain::paper::{Outline, PaperId};
pub use digest::ContentDigest;
use found::FoundLines;
use line::{SummaryLine, known_by};

/// What the name of a cache ends in.
const ENDING: &str = ".cache";
/// The folder of these caches in the user's cache folder.
const KIND: &str = "review";
/// The first word of a cache; another number where what it says means something else.
const FORMAT: &str = "pacebell-review-2";
/// Before the digest of everything above it, in the last line.
const END: &str = "end ";
/// The system's word is taken for a file that has not been changed for so many seconds. The time that it states may lie
/// before the last change: by two seconds, the steps of a coarse clock, or by half a minute, where a program writes
/// through memory.
const QUIET_FOR: i64 = 3600;

/// What is known of the sittings of a folder without reading their records.
#[derive(Debug, Default)]
pub struct Summaries {
    /// Where it is kept; nowhere where nothing is to be.
    kept: Option<KeptAt>,
    /// The cache as it was when it was first asked.
    found: OnceLock<FoundLines>,
    new: Mutex<NewLines>,
}

#[derive(Debug)]
struct KeptAt {
    path: PathBuf,
    /// The first line: format, build and folder.
    head: String,
    times: ChangeTimes,
}

/// What this run has come by.
#[derive(Debug, Default)]
struct NewLines {
    /// A line a file that was read, with one of its paths.
    files: BTreeMap<ContentDigest, (PathBuf, String)>,
    /// The papers of these lines, each with its name.
    papers: BTreeMap<PaperId, Vec<(Arc<Outline>, String)>>,
}

/// A file that was read: one of its paths, the digest of its bytes, and what the system said of it before.
#[derive(Clone, Copy, Debug)]
pub(super) struct ReadFile<'a> {
    pub(super) path: &'a Path,
    pub(super) digest: ContentDigest,
    pub(super) stamp: Option<ChangeStamp>,
}

impl Summaries {
    /// Those of a folder of sittings, from the user's cache folder; none, and none kept, where there can be no such
    /// folder.
    pub fn of(sessions: &Path) -> Self {
        let now = SystemClock.local().timestamp();
        folders::made_cache_dir(KIND)
            .map_or_else(Self::default, |dir| Self::kept_in(&dir, sessions, now))
    }

    /// Those of a folder of sittings that are kept in this folder; `now` is in seconds since 1970.
    pub fn kept_in(folder: &Path, sessions: &Path, now: i64) -> Self {
        let Ok(sessions) = disk::canonical(sessions) else {
            return Self::default();
        };
        let head = format!("{FORMAT} {} {}", build(), shown(&sessions));
        let kept = KeptAt {
            path: path_in(folder, &sessions),
            head,
            times: ChangeTimes::before(now.saturating_sub(QUIET_FOR)),
        };
        Self {
            kept: Some(kept),
            ..Self::default()
        }
    }

    /// Reads what is kept, which otherwise waits until it is asked for.
    pub fn prepare(&self) {
        self.found();
    }

    fn found(&self) -> &FoundLines {
        self.found.get_or_init(|| {
            let text = self.kept.as_ref().and_then(|kept| {
                let text = read(&kept.path)?;
                (text.lines().next() == Some(&kept.head)).then_some(text)
            });
            text.and_then(FoundLines::of).unwrap_or_default()
        })
    }

    /// Whether anything is kept for the next time.
    pub const fn is_kept(&self) -> bool {
        self.kept.is_some()
    }

    /// What the system says of a file, where its word is taken for whether it has changed. What is read after this
    /// was asked is at least as new.
    pub(super) fn stamp(&self, path: &Path) -> Option<ChangeStamp> {
        self.kept.as_ref()?.times.of(path)
    }

    /// The sitting of a file that is as it was when it was read, by what the system says of it.
    pub(super) fn of_unchanged(&self, stamp: ChangeStamp, path: &Path) -> Option<Abridged> {
        let found = self.found();
        let line = found.stamped(stamp)?;
        let sitting = found.sitting(line)?;
        line.meet_unchanged(path);
        Some(sitting)
    }

    /// The sitting of a file that was read, where its bytes are known.
    pub(super) fn get(&self, file: ReadFile<'_>) -> Option<Abridged> {
        let found = self.found();
        let line = found.with(file.digest)?;
        let sitting = found.sitting(line)?;
        line.meet_read(file.path, file.stamp);
        Some(sitting)
    }

    /// Notes the sitting of a file that was read.
    pub(super) fn put(&self, file: ReadFile<'_>, sitting: &Abridged) {
        let Ok(line) = serde_json::to_string(&SummaryLine::of(sitting)) else {
            return;
        };
        let mut new = locked(&self.new);
        if let Some(paper) = new.name_of(&sitting.paper) {
            let line = format!("{} {paper} {line}", known_by(file.digest, file.stamp));
            new.files.insert(file.digest, (file.path.to_owned(), line));
        }
    }

    /// Keeps what was met for the next time, once all files of the folder were read, and removes what is of no use
    /// any more. Where it cannot be kept, the next time takes as long as this one.
    pub fn keep(&self) {
        let Some(kept) = &self.kept else {
            return;
        };
        let new = locked(&self.new);
        if new.files.is_empty() && !self.found().is_out_of_date() {
            return;
        }
        let text = self.written(&kept.head, &new);
        let fits = u64::try_from(text.len()).is_ok_and(|length| length <= Size::SESSION.bytes());
        if fits {
            let _the_next_time_takes_longer = disk::replace_itself(&kept.path, text.as_bytes());
        } else {
            disk::remove(&kept.path);
        }
        tidy(&kept.path);
    }

    fn written(&self, head: &str, new: &NewLines) -> String {
        let found = self.found();
        // A file that was erased while the others were read is not kept either.
        let new_lines = new.files.iter().filter(|(_, (path, _))| path.is_file());
        let mut lines: BTreeMap<ContentDigest, String> = found.met().collect();
        lines.extend(new_lines.map(|(digest, (_, line))| (*digest, line.clone())));
        let papers = new.papers.values().flatten();
        let papers = papers.map(|(paper, name)| (name.as_str(), paper));
        let known = found.papers();
        let named: BTreeMap<&str, &Arc<Outline>> = known.chain(papers).collect();
        let sat = lines.values().filter_map(|line| line.split(' ').nth(2));
        let sat: BTreeSet<&str> = sat.collect();
        let mut text = format!("{head}\n");
        for (name, paper) in named {
            if sat.contains(name)
                && let Ok(paper) = ron::to_string(&**paper)
            {
                text.extend(["paper ", name, " ", &paper, "\n"]);
            }
        }
        for line in lines.values() {
            text.extend([line, "\n"]);
        }
        let end = ContentDigest::of(text.as_bytes());
        format!("{text}{END}{end}\n")
    }
}

impl NewLines {
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

fn locked(new: &Mutex<NewLines>) -> MutexGuard<'_, NewLines> {
    new.lock().unwrap_or_else(PoisonError::into_inner)
}
