//! What lies in folders that are to be gathered, and in the one that they are gathered into.

use std::borrow::Cow;
use std::fs;
use std::path::{Path, PathBuf};

use super::digest::digest;
use super::export::UNFINISHED;
use super::held::{is_session, stem};
use crate::domain::header::Alias;
use crate::storage::disk::{self, Size};
use crate::storage::files::notes::NOTES_ENDING;
use crate::storage::files::register::REGISTER_NAME;
use crate::storage::journal::{self, ENDING, PRACTICE_ENDING, Record, RivalSheets, path_for};

/// The endings of files that are known by their names alone.
const BY_NAME: [&str; 2] = [PRACTICE_ENDING, ".drill.ron"];

/// A file that grows by lines and is never changed before its end: a session, a practice, drills.
#[derive(Clone, Debug)]
pub(super) struct GatheredLog {
    /// What makes it the same as another: a sitting's id, or its pupil and its name.
    pub(super) same: String,
    /// The folder that it belongs in.
    pub(super) pupil: String,
    /// Its name before the ending, and the ending.
    pub(super) name: (String, &'static str),
    /// Its bytes; its lines end in LF, unless it is damaged.
    pub(super) bytes: Vec<u8>,
    /// How many of them are whole lines that check.
    pub(super) good: usize,
    /// Whether it can be read to its end.
    pub(super) sound: bool,
    /// Whether the sitting has ended; true for anything else.
    pub(super) over: bool,
    /// The file that it was read from.
    pub(super) path: PathBuf,
    /// Whether that lies in the folder that is gathered into.
    pub(super) own: bool,
    /// What it says, where it is a session that can be read to its end.
    pub(super) record: Option<Box<Record>>,
}

impl GatheredLog {
    /// The sitting's id, where it is a session.
    pub(super) fn sitting(&self) -> Option<&String> {
        Some(&self.same).filter(|_| self.name.1 == ENDING)
    }

    /// Whether it says everything that another says, and stands for it.
    pub(super) fn stands_for(&self, other: &Self) -> bool {
        if self.same != other.same {
            return false;
        }
        if self.bytes == other.bytes {
            return true;
        }
        let part = |piece: &'_ Self| piece.bytes.get(..piece.good).unwrap_or_default().to_vec();
        let (own, theirs) = (part(self), part(other));
        let begins = self.sound && other.sound && own.starts_with(&theirs);
        begins && (own.len() > theirs.len() || self.rank() > other.rank())
    }

    /// Whether it is the same sitting as another under another alias, and says everything that the other says.
    pub(super) fn stands_for_renamed(&self, other: &Self) -> bool {
        let (Some(own), Some(theirs)) = (&self.record, &other.record) else {
            return false;
        };
        own.header.is_same_but_for_alias(&theirs.header) && own.events.starts_with(&theirs.events)
    }

    /// What puts pieces of one name in order.
    pub(super) fn rank(&self) -> (bool, usize, &[u8]) {
        (self.sound, self.bytes.len(), &self.bytes)
    }

    /// Its name where another piece has the plain one.
    pub(super) fn marked_name(&self) -> String {
        let mark: String = digest(&self.bytes).chars().take(8).collect();
        format!("{}-{mark}{}", self.name.0, self.name.1)
    }

    /// Its name where no other piece has it.
    pub(super) fn plain_name(&self) -> String {
        format!("{}{}", self.name.0, self.name.1)
    }
}

/// Something that is left where it is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum LeftBehind {
    /// A folder in which there is nothing that could come.
    Nothing(PathBuf),
    /// It cannot be read, and why.
    Unread(PathBuf, String),
    /// It is a link.
    Link(PathBuf),
    /// An export that was killed, by its folder.
    UnfinishedExport(PathBuf),
    /// Nobody knows whose it is: its folder has no alias as its name.
    Whose(PathBuf),
    /// Notes on a sitting that is nowhere.
    NotesOfNone(PathBuf),
    /// The sitting is open in another window.
    InUse(PathBuf),
    /// Sittings of an alias are here under another one: the alias, that one, and how many.
    HereUnder(Alias, Alias, usize),
    /// Typed-in answer sheets of one pupil, paper and day that are not alike: they came, and none counts.
    Sheets(RivalSheets),
}

/// What was found below a folder.
#[derive(Debug, Default)]
pub(super) struct Found {
    pub(super) pieces: Vec<GatheredLog>,
    /// Notes files.
    pub(super) notes: Vec<PathBuf>,
    /// Registers.
    pub(super) registers: Vec<PathBuf>,
    pub(super) left: Vec<LeftBehind>,
}

impl Found {
    /// Whether there is nothing, not even what is left where it is.
    pub(super) const fn is_empty(&self) -> bool {
        let logs = self.pieces.is_empty() && self.notes.is_empty();
        logs && self.registers.is_empty() && self.left.is_empty()
    }

    /// Looks through a folder and all in it; links are not followed. A session that is damaged is taken as it is.
    pub(super) fn below(folder: &Path, own: bool) -> Self {
        let mut found = Self::default();
        let mut folders = vec![folder.to_owned()];
        while let Some(folder) = folders.pop() {
            let entries = fs::read_dir(&folder).and_then(Iterator::collect::<Result<Vec<_>, _>>);
            let entries = match entries {
                Ok(entries) => entries,
                Err(error) => {
                    found
                        .left
                        .push(LeftBehind::Unread(folder, error.to_string()));
                    continue;
                }
            };
            for entry in entries {
                let path = entry.path();
                match entry.file_type() {
                    Ok(kind) if kind.is_dir() && path.ends_with(UNFINISHED) => {
                        found
                            .left
                            .push(LeftBehind::UnfinishedExport(folder.clone()));
                    }
                    Ok(kind) if kind.is_dir() => folders.push(path),
                    Ok(kind) if kind.is_file() => found.take(path, own),
                    Ok(_) => {
                        if is_ours(&path) || path.is_dir() {
                            found.left.push(LeftBehind::Link(path));
                        }
                    }
                    Err(error) => found.left.push(LeftBehind::Unread(path, error.to_string())),
                }
            }
        }
        found
    }

    fn take(&mut self, path: PathBuf, own: bool) {
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        if name.starts_with('.') {
            return;
        }
        let by_name = BY_NAME.into_iter().find(|ending| name.ends_with(ending));
        let piece = if is_session(&path) {
            session(&path, own)
        } else if let Some(ending) = by_name {
            by_its_name(&path, ending, own)
        } else {
            if name.ends_with(NOTES_ENDING) {
                self.notes.push(path);
            } else if is_register(&name) {
                self.registers.push(path);
            }
            return;
        };
        match piece {
            Ok(piece) => self.pieces.push(piece),
            Err(left) => self.left.push(left),
        }
    }
}

fn is_ours(path: &Path) -> bool {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    let endings = [ENDING, NOTES_ENDING].into_iter().chain(BY_NAME);
    endings.into_iter().any(|ending| name.ends_with(ending)) || is_register(&name)
}

fn is_register(name: &str) -> bool {
    name == REGISTER_NAME || is_other_register(name)
}

/// Whether a file is called as a register that was kept beside the one in its folder.
pub(in crate::storage) fn is_other_register(name: &str) -> bool {
    let stem = name.strip_suffix(".ron").unwrap_or_default();
    unmarked(stem) == Some("register")
}

/// A name without the mark that a file gets where another one has the plain name.
fn unmarked(stem: &str) -> Option<&str> {
    let (before, mark) = stem.rsplit_once('-')?;
    let is_mark = mark.len() == 8 && mark.bytes().all(|byte| byte.is_ascii_hexdigit());
    (is_mark && !before.is_empty()).then_some(before)
}

fn read(path: &Path) -> Result<Vec<u8>, LeftBehind> {
    let read = disk::read_found(path, Size::SESSION);
    read.map_err(|error| LeftBehind::Unread(path.to_owned(), error.to_string()))
}

fn session(path: &Path, own: bool) -> Result<GatheredLog, LeftBehind> {
    let raw = read(path)?;
    let unread =
        |error: journal::JournalError| LeftBehind::Unread(path.to_owned(), error.to_string());
    let lines = with_line_feeds(&raw);
    let (record, damage) = journal::read_as(path, &lines).map_err(unread)?;
    let header = &record.header;
    let name = if own {
        let stem = stem(path);
        unmarked(&stem).map_or_else(|| stem.clone(), str::to_owned)
    } else {
        stem(&path_for(Path::new("/-"), header))
    };
    Ok(GatheredLog {
        same: header.sitting.clone(),
        pupil: header.pupil.as_str().to_owned(),
        name: (name, ENDING),
        good: record.good_bytes(),
        sound: damage.is_none(),
        over: record.is_closed(),
        bytes: if damage.is_none() {
            lines.into_owned()
        } else {
            raw.clone()
        },
        path: path.to_owned(),
        own,
        record: damage.is_none().then(|| Box::new(record)),
    })
}

/// What makes a file that is known by its name the same as another.
pub(super) fn same_by_name(pupil: &Alias, stem: &str, ending: &str) -> String {
    format!("{}/{stem}{ending}", pupil.as_str().to_lowercase())
}

fn by_its_name(path: &Path, ending: &'static str, own: bool) -> Result<GatheredLog, LeftBehind> {
    let folder = path.parent().and_then(Path::file_name);
    let folder = folder.unwrap_or_default().to_string_lossy().into_owned();
    let Ok(pupil) = Alias::try_from(folder) else {
        return Err(LeftBehind::Whose(path.to_owned()));
    };
    let raw = read(path)?;
    let bytes = with_line_feeds(&raw).into_owned();
    let whole = bytes.iter().rposition(|byte| *byte == b'\n');
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    let stem = name.strip_suffix(ending).unwrap_or(&name);
    let stem = unmarked(stem).unwrap_or(stem).to_owned();
    Ok(GatheredLog {
        same: same_by_name(&pupil, &stem, ending),
        pupil: pupil.as_str().to_owned(),
        name: (stem, ending),
        good: whole.map_or(0, |at| at + 1),
        bytes,
        sound: true,
        over: true,
        path: path.to_owned(),
        own,
        record: None,
    })
}

/// Lines as this program writes them, whatever a tool has put at their ends.
fn with_line_feeds(bytes: &[u8]) -> Cow<'_, [u8]> {
    let text = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    if !text.windows(2).any(|pair| pair == b"\r\n") {
        return Cow::Borrowed(text);
    }
    let mut out = Vec::with_capacity(text.len());
    for line in text.split_inclusive(|byte| *byte == b'\n') {
        match line.strip_suffix(b"\r\n") {
            Some(line) => {
                out.extend(line);
                out.push(b'\n');
            }
            None => out.extend(line),
        }
    }
    Cow::Owned(out)
}
