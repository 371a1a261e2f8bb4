//! Reads the sittings for the review, on threads that only send, and saves the tutor's notes.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::mpsc::{self, Receiver, Sender};
use std::thread;

use chrono::{DateTime, FixedOffset};

use super::latest::Latest;
use super::report::why_none;
use crate::analysis::Norms;
use crate::clock::{Clock, SystemClock};
use crate::commands::failure::Failure;
use crate::commands::read::studied;
use crate::domain::header::Header;
use crate::domain::notes::Notes;
use crate::domain::standing::Exclusion;
use crate::domain::thresholds::Thresholds;
use crate::screens::review::{Listed, Opened, Report, Version};
use crate::screens::run::{Arrived, Shelf};
use crate::storage::catalogue::{Catalogue, folder_of};
use crate::storage::files;
use crate::storage::journal::{self, ENDING};
use crate::words::damage::{TORN, shown_up_to};
use crate::words::standing::counts_nowhere;

/// Rows that were read are sent after so many milliseconds, so that the list fills steadily.
const SEND_EVERY: i64 = 60;

/// Wakes whoever waits for what has arrived.
type WakeReader = Arc<dyn Fn() + Send + Sync>;

/// The files behind the review.
pub struct Reader {
    dir: PathBuf,
    keys: Vec<PathBuf>,
    catalogue: Arc<Catalogue>,
    limits: Arc<Thresholds>,
    initials: String,
    wake: WakeReader,
    send: Sender<Arrived>,
    arrived: Receiver<Arrived>,
    /// Reports are put together one at a time, however often a key asks for them.
    reports: Latest<Report>,
}

impl Reader {
    /// Looks for papers and keys, and reads the thresholds; no sitting is read yet.
    ///
    /// # Errors
    /// Thresholds or a named key that cannot be used.
    pub fn new(dir: &Path, keys: &[PathBuf], initials: &str) -> Result<Self, Failure> {
        let (send, arrived) = mpsc::channel();
        let catalogue = catalogue(dir, keys)?;
        Ok(Self {
            dir: dir.to_owned(),
            keys: keys.to_vec(),
            limits: catalogue.limits_in(dir).map_err(Failure::could_not)?,
            catalogue: Arc::new(catalogue),
            initials: initials.to_owned(),
            wake: Arc::new(|| {}),
            send,
            arrived,
            reports: Latest::new(),
        })
    }

    /// Begins to read the sittings, the newest first; `wake` is called whenever some have arrived.
    pub fn begin(&mut self, wake: impl Fn() + Send + Sync + 'static) {
        self.wake = Arc::new(wake);
        let (dir, catalogue) = (self.dir.clone(), Arc::clone(&self.catalogue));
        let (send, wake) = (self.send.clone(), Arc::clone(&self.wake));
        thread::spawn(move || {
            // Nobody is left to tell once the other end is gone.
            let _gone: Result<(), mpsc::SendError<Arrived>> =
                read_all(&dir, &catalogue, |arrived| {
                    send.send(arrived)?;
                    wake();
                    Ok(())
                });
        });
    }

    /// Waits for the next that arrives, for those who have nothing else to do.
    pub fn wait(&self) -> Option<Arrived> {
        self.arrived.recv().ok()
    }
}

impl Shelf for Reader {
    fn arrived(&mut self) -> Vec<Arrived> {
        self.arrived.try_iter().collect()
    }

    fn open(&mut self, path: &Path) -> Result<Opened, String> {
        let read = journal::read_up_to_damage(path);
        let (record, damage) = read.map_err(|error| error.to_string())?;
        let header = record.header;
        let mut remarks = Vec::new();
        if journal::replaced_in(&folder_of(path)).contains(&header.sitting) {
            remarks.push(counts_nowhere(Exclusion::Replaced));
        }
        if let Some(damage) = damage {
            remarks.push(shown_up_to(damage));
        }
        if record.torn.is_some() {
            remarks.push(TORN.to_owned());
        }
        let notes = files::notes::load(path, &header.sitting);
        Ok(Opened {
            path: path.to_owned(),
            paper: self.catalogue.paper_of(&header.paper),
            key: self
                .catalogue
                .key_of(&header.paper)
                .map_err(|no_key| why_none(&no_key)),
            notes: notes.map_err(|trouble| trouble.to_string()),
            limits: Arc::clone(&self.limits),
            events: record.events,
            header,
            remarks,
        })
    }

    fn put_together(&mut self, version: Version, files: Vec<PathBuf>) {
        let (catalogue, limits) = (Arc::clone(&self.catalogue), Arc::clone(&self.limits));
        let (send, wake) = (self.send.clone(), Arc::clone(&self.wake));
        thread::spawn(move || {
            let group = group(&files, &catalogue, &limits);
            if send.send(Arrived::Group(version, group)).is_ok() {
                wake();
            }
        });
    }

    fn report(&mut self, report: Report) {
        let (dir, keys) = (self.dir.clone(), self.keys.clone());
        let (send, wake) = (self.send.clone(), Arc::clone(&self.wake));
        // A report is of the files as they are when it is asked for.
        let make = move |report: &Report| {
            let catalogue = catalogue(&dir, &keys).map_err(|failure| failure.to_string())?;
            match report {
                Report::Progress(pupil) => super::report::progress(pupil, &catalogue),
                Report::Group(path) => super::report::group(path, &catalogue),
            }
        };
        self.reports.wish(report, make, move |report, text| {
            if send.send(Arrived::Report(report, text)).is_ok() {
                wake();
            }
        });
    }

    fn save(&mut self, session: &Path, notes: &Notes) -> Result<(), String> {
        let saved = files::notes::save(session, notes);
        saved.map(|_path| ()).map_err(|error| error.to_string())
    }

    fn initials(&self) -> String {
        self.initials.clone()
    }

    fn local(&self) -> DateTime<FixedOffset> {
        SystemClock.local()
    }

    fn millis(&self) -> u64 {
        u64::try_from(SystemClock.read().mono_ms).unwrap_or_default()
    }
}

fn catalogue(dir: &Path, keys: &[PathBuf]) -> Result<Catalogue, Failure> {
    let catalogue = Catalogue::open(Some(dir), &[]).with_keys(keys);
    catalogue.map_err(Failure::could_not)
}

/// Names every sitting, then reads them, the newest first; stops when nobody takes them any more.
fn read_all<Gone>(
    dir: &Path,
    catalogue: &Catalogue,
    mut send: impl FnMut(Arrived) -> Result<(), Gone>,
) -> Result<(), Gone> {
    let mut rows = named(dir);
    rows.sort_by(|one, other| (&other.when, &one.path).cmp(&(&one.when, &other.path)));
    let paths: Vec<_> = rows.iter().map(|row| row.path.clone()).collect();
    let waits: Vec<_> = rows
        .iter()
        .map(|row| row.state == crate::screens::review::State::Waiting)
        .collect();
    send(Arrived::Named(rows))?;
    let mut batch = Vec::new();
    let mut replaced = Replaced::default();
    let mut last = SystemClock.read().mono_ms;
    for (place, (path, waits)) in paths.iter().zip(waits).enumerate() {
        if waits {
            batch.push((
                place,
                listed(path, catalogue, |header| replaced.note(header, place)),
            ));
        }
        let now = SystemClock.read().mono_ms;
        if now - last >= SEND_EVERY {
            send(Arrived::Read(std::mem::take(&mut batch)))?;
            last = now;
        }
    }
    send(Arrived::Read(batch))?;
    let replaced = replaced
        .places()
        .filter_map(|place| Some((place, paths.get(place)?)));
    let row = |path| listed(path, catalogue, |_| ()).withdrawn(Exclusion::Replaced);
    send(Arrived::Read(
        replaced.map(|(place, path)| (place, row(path))).collect(),
    ))?;
    send(Arrived::AllRead)
}

/// Which sittings others replace: only known once all are read.
#[derive(Default)]
struct Replaced {
    places: BTreeMap<String, usize>,
    ids: BTreeSet<String>,
}

impl Replaced {
    fn note(&mut self, header: &Header, place: usize) {
        self.places.insert(header.sitting.clone(), place);
        self.ids.extend(header.replaces.clone());
    }

    fn places(&self) -> impl Iterator<Item = usize> {
        self.ids
            .iter()
            .filter_map(|id| self.places.get(id).copied())
    }
}

/// A folder that cannot be looked into.
#[derive(Debug, thiserror::Error)]
#[error("{}: cannot read the folder ({error}); check who owns it", folder.display())]
struct FolderUnread<'a> {
    folder: &'a Path,
    error: io::Error,
}

/// One row for each session file in a folder and in the folders in it, by its name; a folder that
/// cannot be looked into has a row with the reason.
fn named(dir: &Path) -> Vec<Listed> {
    let mut rows = Vec::new();
    let mut folders = vec![(dir.to_owned(), true)];
    while let Some((folder, outer)) = folders.pop() {
        match entries(&folder) {
            Ok(entries) => {
                for (path, is_dir) in entries {
                    if is_dir && outer {
                        folders.push((path, false));
                    } else if !is_dir && path.to_string_lossy().ends_with(ENDING) {
                        rows.push(Listed::by_name(&path));
                    }
                }
            }
            Err(error) if outer && error.kind() == io::ErrorKind::NotFound => {}
            Err(error) => {
                let unread = FolderUnread {
                    folder: &folder,
                    error,
                };
                rows.push(Listed::by_name(&folder).wrong(unread.to_string()));
            }
        }
    }
    rows
}

fn entries(folder: &Path) -> io::Result<Vec<(PathBuf, bool)>> {
    let entry = |entry: io::Result<fs::DirEntry>| {
        let entry = entry?;
        let kind = entry.file_type()?;
        let path = entry.path();
        let is_dir = kind.is_dir() || (kind.is_symlink() && path.is_dir());
        Ok((path, is_dir))
    };
    fs::read_dir(folder)?.map(entry).collect()
}

/// One file's row, read; `note` sees the header of what can be.
fn listed(path: &Path, catalogue: &Catalogue, note: impl FnOnce(&Header)) -> Listed {
    match journal::read_found(path) {
        Ok((record, damage)) => {
            note(&record.header);
            let key = catalogue.key_of(&record.header.paper).ok();
            let torn = record.torn.is_some();
            let row = Listed::read(path, &record.sitting(), key.as_deref(), torn);
            match damage {
                None => row,
                Some(damage) => row.wrong(damage.to_string()),
            }
        }
        Err(error) => Listed::by_name(path).wrong(error.to_string()),
    }
}

/// The group of these sittings; one that cannot be read any more is left out.
fn group(files: &[PathBuf], catalogue: &Catalogue, limits: &Arc<Thresholds>) -> Norms {
    let records = files.iter().filter_map(|path| journal::read(path).ok());
    let members = records.map(|record| studied(catalogue, &record, limits));
    Norms::of(&members.collect::<Vec<_>>())
}
