//! Reads the sittings for the review, on threads that only send, and saves the tutor's notes.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::mpsc::{self, Receiver, Sender};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::thread;

use chrono::{DateTime, FixedOffset};

use super::latest::Latest;
use super::report::why_none;
use crate::analysis::Norms;
use crate::clock::{Clock, SystemClock};
use crate::commands::failure::Failure;
use crate::commands::read::{counting, studied};
use crate::domain::notes::Notes;
use crate::domain::standing::Exclusion;
use crate::domain::thresholds::Thresholds;
use crate::screens::review::{Listed, Opened, Report, Version};
use crate::screens::run::{Arrived, Shelf};
use crate::storage::catalogue::{Catalogue, folder_of};
use crate::storage::files;
use crate::storage::journal::{self, ENDING, Listing, Record};
use crate::words::damage::{TORN, shown_up_to};
use crate::words::standing::counts_nowhere;

/// Rows that were read are sent after so many milliseconds, so that the list fills steadily.
const SEND_EVERY: i64 = 60;

/// Files of which another one says something else of the same sitting.
type Disputed = Arc<Mutex<BTreeSet<PathBuf>>>;

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
    /// Files of which another one says something else of the same sitting, as far as is known.
    disputed: Disputed,
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
            disputed: Disputed::default(),
        })
    }

    /// Begins to read the sittings, the newest first; `wake` is called whenever some have arrived.
    pub fn begin(&mut self, wake: impl Fn() + Send + Sync + 'static) {
        self.wake = Arc::new(wake);
        let (dir, catalogue) = (self.dir.clone(), Arc::clone(&self.catalogue));
        let (send, wake) = (self.send.clone(), Arc::clone(&self.wake));
        let disputed = Arc::clone(&self.disputed);
        thread::spawn(move || {
            // Nobody is left to tell once the other end is gone.
            let _gone: Result<(), mpsc::SendError<Arrived>> =
                read_all(&dir, &catalogue, &disputed, |arrived| {
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
        let (mut record, damage) = read.map_err(|error| error.to_string())?;
        let mut remarks = Vec::new();
        if journal::replaced_in(&folder_of(path)).contains(&record.header.sitting) {
            remarks.push(counts_nowhere(Exclusion::Replaced));
        }
        if let Some(damage) = damage {
            remarks.push(shown_up_to(damage));
        }
        if record.torn.is_some() {
            remarks.push(TORN.to_owned());
        }
        if locked(&self.disputed).contains(path) {
            record.withdrawn = Some(Exclusion::Disputed);
        }
        if record.withdrawn == Some(Exclusion::SetAside) {
            remarks.push(counts_nowhere(Exclusion::SetAside));
        }
        remarks.extend(counting(&record, &record.sitting(), &self.limits));
        let header = record.header;
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
        // What was decided meanwhile, in another window, stays.
        let there = files::notes::load(session, &notes.sitting);
        let there = there.map_err(|trouble| trouble.to_string())?;
        let saved = files::notes::save(session, &notes.with_decisions_of(&there));
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
    disputed: &Disputed,
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
    let mut noted = Noted::default();
    let mut last = SystemClock.read().mono_ms;
    for (place, (path, waits)) in paths.iter().zip(waits).enumerate() {
        if waits {
            batch.push((
                place,
                listed(path, catalogue, |record| noted.note(record, place)),
            ));
        }
        let now = SystemClock.read().mono_ms;
        if now - last >= SEND_EVERY {
            send(Arrived::Read(std::mem::take(&mut batch)))?;
            last = now;
        }
    }
    send(Arrived::Read(batch))?;
    let replaced = noted
        .replaced()
        .filter_map(|place| Some((place, paths.get(place)?)));
    let row = |path| listed(path, catalogue, |_| ()).withdrawn(Exclusion::Replaced);
    send(Arrived::Read(
        replaced.map(|(place, path)| (place, row(path))).collect(),
    ))?;
    let differing = in_dispute(noted.alike(), &paths, catalogue, disputed);
    send(Arrived::Read(differing))?;
    send(Arrived::AllRead)
}

/// Which sittings others replace, and which have several files: only known once all are read.
#[derive(Default)]
struct Noted {
    places: BTreeMap<String, Vec<usize>>,
    replaced: BTreeSet<String>,
}

impl Noted {
    fn note(&mut self, record: &Record, place: usize) {
        let header = &record.header;
        let places = self.places.entry(header.sitting.clone()).or_default();
        places.push(place);
        let replaces = header.replaces.clone();
        let stands = record.is_closed() && !record.is_set_aside();
        self.replaced.extend(replaces.filter(|_| stands));
    }

    fn replaced(&self) -> impl Iterator<Item = usize> {
        let replaced = self.replaced.iter();
        replaced.flat_map(|id| self.places.get(id).into_iter().flatten().copied())
    }

    fn alike(self) -> impl Iterator<Item = Vec<usize>> {
        let places = self.places.into_values();
        places.filter(|places| places.len() > 1)
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

/// Whose rows are to be shown anew, since each has another file that says something else.
fn in_dispute(
    alike: impl Iterator<Item = Vec<usize>>,
    paths: &[PathBuf],
    catalogue: &Catalogue,
    disputed: &Disputed,
) -> Vec<(usize, Listed)> {
    let mut anew = Vec::new();
    for places in alike {
        let all = places.iter().filter_map(|place| paths.get(*place));
        let records = all.filter_map(|path| journal::read(path).ok());
        let mut listing = Listing {
            records: records.map(Arc::new).collect(),
            ..Listing::default()
        };
        listing.keep_each_once();
        if listing
            .records
            .iter()
            .all(|kept| kept.withdrawn != Some(Exclusion::Disputed))
        {
            continue;
        }
        for place in places {
            let Some(path) = paths.get(place) else {
                continue;
            };
            let row = listed(path, catalogue, |_| ());
            let open = row
                .summary()
                .is_some_and(|own| own.standing.withdrawn.is_none());
            if open {
                locked(disputed).insert(path.clone());
                anew.push((place, row.withdrawn(Exclusion::Disputed).asking(None)));
            }
        }
    }
    anew
}

fn locked(disputed: &Disputed) -> MutexGuard<'_, BTreeSet<PathBuf>> {
    disputed.lock().unwrap_or_else(PoisonError::into_inner)
}

/// One file's row, read; `note` sees what can be.
fn listed(path: &Path, catalogue: &Catalogue, note: impl FnOnce(&Record)) -> Listed {
    match journal::read_found(path) {
        Ok((record, damage)) => {
            note(&record);
            let key = catalogue.key_of(&record.header.paper).ok();
            let torn = record.torn.is_some();
            let sitting = record.sitting();
            let row = Listed::read(path, &sitting, key.as_deref(), torn);
            let limits = catalogue.limits_for(path).unwrap_or_default();
            let row = match record.withdrawn {
                Some(reason) => row.withdrawn(reason),
                None => row.asking(counting(&record, &sitting, &limits).pop()),
            };
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
