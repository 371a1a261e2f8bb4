//! Reads the sittings for the review, on threads that only send, and saves the tutor's notes.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{self, Receiver, Sender};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::thread::{self, JoinHandle};

use chrono::{DateTime, FixedOffset};

use super::latest::Latest;
use super::report::why_none;
use crate::analysis::Norms;
use crate::clock::{Clock, SystemClock};
use crate::cohort::entry::Entry;
use crate::commands::failure::Failure;
use crate::commands::read::{counting, is_in_doubt, sheets, steps_near, studied};
use crate::domain::abridged::Abridged;
use crate::domain::character::ShownPath as _;
use crate::domain::notes::{Notes, Ruling, Vouched};
use crate::domain::standing::{Exclusion, Use};
use crate::domain::step::AgreedStep;
use crate::domain::thresholds::Thresholds;
use crate::screens::review::{Listed, Opened, Report, Summary, Version};
use crate::screens::run::{Arrived, Shelf};
use crate::storage::cache::Summaries;
use crate::storage::catalogue::{Catalogue, folder_of};
use crate::storage::cores;
use crate::storage::files;
use crate::storage::journal::{self, ENDING, Listing};
use crate::words::damage::{TORN, shown_up_to};
use crate::words::review::does_it_count;
use crate::words::standing::{counts_nowhere, notes_unread};
use crate::words::tutor::past_keeping;

/// Rows that were read are sent after so many milliseconds, so that the list fills steadily.
const SEND_EVERY: i64 = 60;

/// What is known of the rows once they are read.
type SharedRows = Arc<Mutex<KnownRows>>;

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
    list: ListReading,
}

/// What the list is read with.
#[derive(Default)]
struct ListReading {
    /// Which rows say something of each other, as far as is known.
    known: SharedRows,
    /// What is known of files without reading their records.
    summaries: Arc<Summaries>,
    /// The thread that reads it, and whether it has read all of it.
    thread: Option<(JoinHandle<()>, Arc<AtomicBool>)>,
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
            list: ListReading::default(),
        })
    }

    /// The same, which reads no records of files that are known, and keeps what it comes by.
    #[must_use]
    pub fn remembering(self, summaries: Summaries) -> Self {
        let list = ListReading {
            summaries: Arc::new(summaries),
            ..self.list
        };
        Self { list, ..self }
    }

    /// Begins to read the sittings, the newest first; `wake` is called whenever some have arrived.
    pub fn begin(&mut self, wake: impl Fn() + Send + Sync + 'static) {
        self.wake = Arc::new(wake);
        let (dir, catalogue) = (self.dir.clone(), Arc::clone(&self.catalogue));
        let (send, wake) = (self.send.clone(), Arc::clone(&self.wake));
        let (known, summaries) = (
            Arc::clone(&self.list.known),
            Arc::clone(&self.list.summaries),
        );
        // The list's names need not wait for it.
        let kept = Arc::clone(&summaries);
        thread::spawn(move || kept.prepare());
        let all_read = Arc::new(AtomicBool::new(false));
        let whole = Arc::clone(&all_read);
        let reading = thread::spawn(move || {
            // Nobody is left to tell once the other end is gone.
            let all: Result<(), mpsc::SendError<Arrived>> =
                read_all(&dir, &catalogue, &summaries, &known, |arrived| {
                    let last = matches!(arrived, Arrived::AllRead);
                    whole.fetch_or(last, Ordering::Relaxed);
                    send.send(arrived)?;
                    wake();
                    Ok(())
                });
            if all.is_ok() {
                summaries.keep();
            }
        });
        self.list.thread = Some((reading, all_read));
    }

    /// If everything was read, what was come by is kept when this returns. A disk that still holds reading up is not
    /// waited for.
    pub fn finish(self) {
        if let Some((reading, all_read)) = self.list.thread
            && all_read.load(Ordering::Relaxed)
        {
            let _whatever_broke_is_told = reading.join();
        }
    }

    /// The pupils whose files are past the day up to which they are kept, as the register has it.
    pub fn past_keeping(&self) -> Option<String> {
        let register = self.catalogue.register().ok().flatten()?;
        past_keeping(register.past_keeping(self.local().date_naive()))
    }

    /// The group's term as sentences, or why there is none.
    pub fn term_aloud(&self) -> Result<Vec<String>, String> {
        let catalogue = catalogue(&self.dir, &self.keys).map_err(|failure| failure.to_string())?;
        super::report::overview_aloud(&catalogue)
    }

    /// The catalogue with the files as they are now.
    pub(super) fn anew(&self) -> Result<Catalogue, Failure> {
        catalogue(&self.dir, &self.keys)
    }

    /// The folder of sittings.
    pub(super) fn dir(&self) -> &Path {
        &self.dir
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
        let is_damaged = damage.is_some();
        let here = journal::withdrawn_in(&folder_of(path));
        let beside = locked(&self.list.known).withdrawn.get(path).copied();
        let beside = beside.or_else(|| here.get(&record.header.sitting).copied());
        if beside == Some(Exclusion::Replaced) {
            remarks.push(counts_nowhere(Exclusion::Replaced));
        }
        if let Some(damage) = damage {
            remarks.push(shown_up_to(damage));
        }
        if record.torn.is_some() {
            remarks.push(TORN.to_owned());
        }
        if beside == Some(Exclusion::Disputed) && record.withdrawn.is_none() {
            record.withdrawn = beside;
        }
        let sat = Abridged::of(&record.sitting());
        remarks.extend(counting(&record.decided(), path, &sat, &self.limits));
        // What is cut short by damage may have ended, and is marked as far as it goes.
        let is_open = !is_damaged && !record.is_closed();
        let steps = steps_near(&self.catalogue, &record).map_err(|error| error.to_string())?;
        let header = record.header;
        let notes = files::notes::load(path, &header.sitting);
        Ok(Opened {
            steps,
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
            is_open,
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
                Report::Overview => super::report::overview(&catalogue),
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

    fn decide(&mut self, session: &Path, ruling: Ruling) -> Result<Option<Exclusion>, String> {
        add_to_notes(session, |notes| notes.decisions.push(ruling))?;
        let rows = settled_with(
            session,
            &self.catalogue,
            &self.list.summaries,
            &self.list.known,
        );
        let own = rows.iter().find(|(_, row)| row.path == session);
        let own = own.and_then(|(_, row)| row.summary());
        let barred = if let Some(own) = own {
            own.standing.bars(Use::Evidence)
        } else {
            // The list is not read to its end.
            let barred = self.catalogue.barred(session);
            let barred = barred.map_err(|error| error.to_string())?;
            barred.map(|barred| barred.reason)
        };
        // The other end is this reader's own.
        let _sent = self.send.send(Arrived::Read(rows));
        Ok(barred)
    }

    fn vouch(&mut self, session: &Path, vouched: Vouched) -> Result<(), String> {
        add_to_notes(session, |notes| notes.vouched.push(vouched))
    }

    fn agree(&mut self, session: &Path, agreed: AgreedStep) -> Result<(), String> {
        add_to_notes(session, |notes| notes.steps.push(agreed))
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

/// Adds to the notes beside a session as they are now.
fn add_to_notes(session: &Path, add: impl FnOnce(&mut Notes)) -> Result<(), String> {
    let (record, _) = journal::read_up_to_damage(session).map_err(|error| error.to_string())?;
    let notes = files::notes::load(session, &record.header.sitting);
    let mut notes = notes.map_err(|trouble| trouble.to_string())?;
    add(&mut notes);
    let saved = files::notes::save(session, &notes);
    saved.map(|_path| ()).map_err(|error| error.to_string())
}

fn catalogue(dir: &Path, keys: &[PathBuf]) -> Result<Catalogue, Failure> {
    let catalogue = Catalogue::open(Some(dir), &[]).with_keys(keys);
    catalogue.map_err(Failure::could_not)
}

/// Names every sitting, then reads them, the newest first; stops when nobody takes them any more.
fn read_all<Gone>(
    dir: &Path,
    catalogue: &Catalogue,
    summaries: &Summaries,
    known: &SharedRows,
    mut send: impl FnMut(Arrived) -> Result<(), Gone>,
) -> Result<(), Gone> {
    let mut rows = named(dir);
    rows.sort_by(|one, other| (&other.when, &one.path).cmp(&(&one.when, &other.path)));
    let paths: Vec<_> = rows.iter().map(|row| row.path.clone()).collect();
    let waiting: Vec<usize> = rows
        .iter()
        .enumerate()
        .filter(|(_, row)| row.state == crate::screens::review::State::Waiting)
        .map(|(place, _)| place)
        .collect();
    send(Arrived::Named(rows))?;
    let mut batch = Vec::new();
    let mut all = KnownRows {
        paths,
        ..KnownRows::default()
    };
    let mut last = SystemClock.read().mono_ms;
    let read = |place: &usize| {
        let path = all.paths.get(*place)?;
        let mut shared = Vec::new();
        let row = listed(path, catalogue, summaries, |sat| {
            shared = journal::shared_with(sat);
        });
        Some((*place, row, shared))
    };
    let mut alike = BTreeMap::<String, Vec<usize>>::new();
    cores::each(&waiting, read, |done| {
        for (place, row, shared) in done.into_iter().filter_map(|(_, read)| read) {
            batch.push((place, row));
            for shared in shared {
                alike.entry(shared).or_default().push(place);
            }
        }
        let now = SystemClock.read().mono_ms;
        if now - last >= SEND_EVERY {
            send(Arrived::Read(std::mem::take(&mut batch)))?;
            last = now;
        }
        Ok(())
    })?;
    send(Arrived::Read(batch))?;
    // They came in whatever order the cores had them.
    for places in alike.values_mut() {
        places.sort_unstable();
    }
    all.shared = alike;
    let alike: Vec<_> = all.shared.values().filter(|own| own.len() > 1).collect();
    let alike: BTreeSet<_> = alike.into_iter().cloned().collect();
    *locked(known) = all;
    let mut anew = Vec::new();
    for places in alike {
        let rows = settled(&places, catalogue, summaries, known).into_iter();
        anew.extend(rows.filter(|(_, row)| row.summary().is_some_and(is_withdrawn)));
    }
    send(Arrived::Read(anew))?;
    send(Arrived::AllRead)
}

/// Which rows say something of each other: only known once all are read.
#[derive(Default)]
struct KnownRows {
    /// The rows' files, by place.
    paths: Vec<PathBuf>,
    /// The places that share something.
    shared: BTreeMap<String, Vec<usize>>,
    /// The files that do not count because of others, with the reason.
    withdrawn: BTreeMap<PathBuf, Exclusion>,
}

impl KnownRows {
    /// The rows that say something of a file's, that one included.
    fn alike(&self, session: &Path) -> Vec<usize> {
        let own = self.paths.iter().position(|path| path == session);
        let with = self.shared.values();
        let with = with.filter(|places| own.is_some_and(|own| places.contains(&own)));
        let all: BTreeSet<usize> = with.flatten().copied().chain(own).collect();
        all.into_iter().collect()
    }
}

/// A folder that cannot be looked into.
#[derive(Debug, thiserror::Error)]
#[error("{}: cannot read the folder ({error}); check who owns it", folder.shown())]
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

/// The rows of files that say something of each other, each with why it does not count beside the others.
fn settled(
    places: &[usize],
    catalogue: &Catalogue,
    summaries: &Summaries,
    known: &SharedRows,
) -> Vec<(usize, Listed)> {
    let all = locked(known);
    let files = places.iter().filter_map(|place| all.paths.get(*place));
    let files: Vec<_> = files.cloned().collect();
    drop(all);
    let records = files.iter().filter_map(|path| journal::read(path).ok());
    let mut listing = Listing {
        records: records.map(Arc::new).collect(),
        ..Listing::default()
    };
    listing.settle();
    let kept = listing.records.iter();
    let mut reasons: BTreeMap<PathBuf, Exclusion> = kept
        .filter_map(|record| Some((record.path.clone(), record.withdrawn?)))
        .collect();
    for copy in &listing.copies {
        if let Some(reason) = reasons.get(&copy.kept).copied() {
            reasons.insert(copy.path.clone(), reason);
        }
    }
    let row = |(place, path): (&usize, &PathBuf)| {
        let row = listed(path, catalogue, summaries, |_| ());
        let aside = row.summary().and_then(|own| own.standing.withdrawn);
        let reason = reasons.get(path).copied().filter(|_| aside.is_none());
        let mut all = locked(known);
        let row = if let Some(reason) = reason {
            all.withdrawn.insert(path.clone(), reason);
            row.withdrawn(reason).asking(None)
        } else {
            all.withdrawn.remove(path);
            row
        };
        (*place, row)
    };
    places.iter().zip(&files).map(row).collect()
}

fn is_withdrawn(row: &Summary) -> bool {
    row.standing.withdrawn.is_some()
}

/// The row of a file of which something was decided, and those of the files of which it says something.
fn settled_with(
    session: &Path,
    catalogue: &Catalogue,
    summaries: &Summaries,
    known: &SharedRows,
) -> Vec<(usize, Listed)> {
    let places = locked(known).alike(session);
    settled(&places, catalogue, summaries, known)
}

fn locked(known: &SharedRows) -> MutexGuard<'_, KnownRows> {
    known.lock().unwrap_or_else(PoisonError::into_inner)
}

/// One file's row, read; `note` sees what can be.
fn listed(
    path: &Path,
    catalogue: &Catalogue,
    summaries: &Summaries,
    note: impl FnOnce(&Abridged),
) -> Listed {
    match journal::read_brief(path, summaries) {
        Ok(brief) => {
            let sat = &brief.sitting;
            note(sat);
            let key = catalogue.key_of(&sat.paper).ok();
            let row = Listed::read(path, sat, key.as_deref(), brief.torn);
            let limits = catalogue.limits_for(path).unwrap_or_default();
            let row = if let Some(reason) = brief.decided.withdrawn {
                row.withdrawn(reason)
            } else {
                let asks = is_in_doubt(&brief.decided, sat, &limits)
                    .then(|| does_it_count(sat.time.used, sat.time.allowed));
                let unread = brief.decided.notes_unread.as_ref();
                row.asking(asks.or_else(|| unread.map(notes_unread)))
            };
            match brief.damage {
                None => row,
                Some(damage) => row.wrong(damage.to_string()),
            }
        }
        Err(error) => Listed::by_name(path).wrong(error.to_string()),
    }
}

/// The group among these whole sittings of a paper, as `group` counts it; one that cannot be read any more is left out.
fn group(files: &[PathBuf], catalogue: &Catalogue, limits: &Arc<Thresholds>) -> Norms {
    let records = files.iter().filter_map(|path| journal::read(path).ok());
    let records: Vec<_> = records.map(Arc::new).collect();
    let counted = records.first().map(|first| {
        let paper = &first.header.paper;
        let (counted, _) = sheets(catalogue, &records, paper, Entry::First);
        counted
    });
    let counted = counted.unwrap_or_default();
    let members = counted.iter();
    let members = members.map(|record| studied(catalogue, record, limits));
    Norms::of(&members.collect::<Vec<_>>())
}
