//! A session file as read. Nothing here writes or locks.

use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Duration;

use chrono::{DateTime, FixedOffset, Utc};

use super::error::JournalError;
use super::heartbeat::{BEATS_APART, Heartbeat};
use super::line::{self, Chain, Wrong};
use super::lock::is_in_use;
use super::moved::moved_from;
use super::place::{self, ENDING};
use super::recover::{self, Behind, NoSession, Scan, Torn};
use crate::clock::Alive;
use crate::domain::abridged::Abridged;
use crate::domain::event::{Event, Stamped};
use crate::domain::header::{Alias, Boot, Header, Mode};
use crate::domain::notes::Ruling;
use crate::domain::sheet::{SheetOf, is_same_sheet};
use crate::domain::sitting::Sitting;
use crate::domain::standing::{Exclusion, Standing};
use crate::domain::time::Elapsed;
use crate::storage::cores;
use crate::storage::disk::{self, Size};
use crate::storage::files::{FileTrouble, notes};

/// One session file's records.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Record {
    /// The file.
    pub path: PathBuf,
    /// The first record.
    pub header: Header,
    /// The records after it.
    pub events: Vec<Stamped>,
    /// Whether the line that seals an ended sitting is there.
    pub sealed: bool,
    /// An end that was not written to its end, and so was never told to be saved.
    pub torn: Option<Torn>,
    /// Why it counts for nothing, where something beside its log says so.
    pub withdrawn: Option<Exclusion>,
    /// Whether the sitting counts, where the tutor has decided; it stands in the notes beside the file.
    pub decision: Option<Ruling>,
    /// What is wrong with the notes beside the file, so that no decision in them is known.
    pub notes_unread: Option<FileTrouble>,
    /// The damage up to which it was read, where it has one.
    pub damage: Option<FoundDamage>,
    pub(super) end: GoodEnd,
}

/// What is known of whether a sitting counts, beside its log.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Decided {
    /// Why it counts for nothing, where something says so.
    pub withdrawn: Option<Exclusion>,
    /// What the tutor has decided.
    pub ruling: Option<Ruling>,
    /// What is wrong with the notes, so that no decision in them is known.
    pub notes_unread: Option<FileTrouble>,
}

impl Decided {
    /// What the notes beside a session file say.
    pub(super) fn beside(session: &Path, sitting: &str) -> Self {
        let (ruling, notes_unread) = match notes::load(session, sitting) {
            Ok(notes) => (notes.decision().cloned(), None),
            Err(trouble) => (None, Some(trouble)),
        };
        let set_aside = ruling.as_ref().is_some_and(|own| !own.counts);
        Self {
            withdrawn: set_aside.then_some(Exclusion::SetAside),
            ruling,
            notes_unread,
        }
    }
}

/// Where the lines that check end.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct GoodEnd {
    /// What the next line is chained to.
    pub(super) chain: Chain,
    /// How many bytes they have.
    pub(super) good: usize,
}

/// A damage in a session file, and what is told behind it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FoundDamage {
    /// The line, from 1.
    pub line: usize,
    /// What is wrong with it.
    pub what: Wrong,
    /// What the lines from there on tell.
    pub behind: Behind,
}

impl Record {
    /// A record of what was not read from a file, as if it had been written to `path`.
    ///
    /// # Errors
    /// A record that cannot be written as text.
    pub fn new(path: &Path, header: Header, events: Vec<Stamped>) -> Result<Self, JournalError> {
        let whole = text_of(&header, &events).map_err(|error| JournalError::Unwritable {
            path: path.to_owned(),
            reason: error.to_string(),
        })?;
        Ok(Self {
            path: path.to_owned(),
            header,
            events,
            sealed: whole.sealed,
            torn: None,
            withdrawn: None,
            decision: None,
            notes_unread: None,
            damage: None,
            end: GoodEnd {
                chain: whole.chain,
                good: whole.text.len(),
            },
        })
    }

    fn from_scan(path: &Path, scan: Scan) -> Self {
        let decided = Decided::beside(path, &scan.header.sitting);
        Self {
            path: path.to_owned(),
            decision: decided.ruling,
            notes_unread: decided.notes_unread,
            header: scan.header,
            events: scan.events,
            sealed: scan.sealed,
            torn: scan.torn,
            damage: scan.damage.map(|damage| FoundDamage {
                line: damage.line,
                what: damage.what,
                behind: scan.behind,
            }),
            withdrawn: decided.withdrawn,
            end: GoodEnd {
                chain: scan.chain,
                good: scan.good,
            },
        }
    }

    /// How many of its bytes are lines that check.
    pub(in crate::storage) const fn good_bytes(&self) -> usize {
        self.end.good
    }

    /// The sitting as it stood after the last record.
    pub fn sitting(&self) -> Sitting {
        let mut sitting = Sitting::new(Arc::new(self.header.clone()));
        for stamped in &self.events {
            sitting.apply(stamped.at, &stamped.event);
        }
        sitting
    }

    /// What is known of whether it counts.
    pub fn decided(&self) -> Decided {
        Decided {
            withdrawn: self.withdrawn,
            ruling: self.decision.clone(),
            notes_unread: self.notes_unread.clone(),
        }
    }

    /// Whether the tutor has set the sitting aside.
    pub fn is_set_aside(&self) -> bool {
        self.decision.as_ref().is_some_and(|own| !own.counts)
    }

    /// What the sitting can count for.
    pub fn standing(&self) -> Standing {
        Standing::of(&self.sitting()).withdrawn(self.withdrawn)
    }

    /// Whether the sitting has ended.
    pub fn is_closed(&self) -> bool {
        self.events.iter().any(closes)
    }

    /// Whether it can be gone on with: it has not ended, as far as its file tells, and counts.
    pub fn is_open(&self) -> bool {
        let ended = self.damage.as_ref().is_some_and(|own| own.behind.ended);
        !self.is_closed() && !ended && !self.is_set_aside()
    }

    /// Up to when its file can be read, where it is damaged behind that.
    pub fn sound_until(&self) -> Option<DateTime<FixedOffset>> {
        let _damage = self.damage.as_ref()?;
        let last = self.events.last().map(|last| last.utc);
        let zone = self.header.started.timezone();
        Some(last.map_or(self.header.started, |utc| utc.with_timezone(&zone)))
    }

    /// The boot that the sitting was last going on in.
    pub fn boot(&self) -> &Boot {
        let mut events = self.events.iter().rev();
        let last = events.find_map(|own| own.event.boot());
        last.unwrap_or(&self.header.boot)
    }

    /// When the sitting was last known to be going on: its last record, or the last heartbeat or a line
    /// behind a damage where that is later.
    pub fn last_alive(&self, beat: Option<&Heartbeat>) -> Alive {
        let start = (Elapsed::ZERO, self.header.started.to_utc());
        let last = self.events.last().map_or(start, |last| (last.at, last.utc));
        let behind = self.damage.as_ref().and_then(|own| own.behind.latest);
        let beaten = beat.map(|beat| (beat.at, beat.utc));
        let later = |one: (Elapsed, DateTime<Utc>), other: Option<_>| match other {
            Some(other @ (at, _)) if at >= one.0 => other,
            _ => one,
        };
        let (elapsed, utc) = later(later(last, behind), beaten);
        let mut unsaved = self.unsaved(beat).rev();
        let boot = unsaved.find_map(|own| own.event.boot());
        Alive {
            elapsed,
            utc,
            boot: boot.unwrap_or_else(|| self.boot()).clone(),
            is_last: self.was_left() || beat.is_some_and(|beat| beat.at + BEATS_APART >= last.0),
        }
    }

    /// Whether the program wrote down, as the last of all, that it was left.
    fn was_left(&self) -> bool {
        let last = self.events.last().map(|own| &own.event);
        self.damage.is_none() && matches!(last, Some(Event::Interrupted(_)))
    }

    /// The same as a beat for whoever comes next.
    pub(crate) fn last_beat(&self, beat: Option<&Heartbeat>) -> Heartbeat {
        let alive = self.last_alive(beat);
        Heartbeat {
            boot_id: alive.boot.id,
            at: alive.elapsed,
            utc: alive.utc,
            unsaved: self.unsaved(beat).cloned().collect(),
        }
    }

    /// What parts the time and isn't among the records: lines behind a damage tell it, or the last heartbeat alone, where
    /// a program was killed before it reached the file.
    pub(crate) fn unsaved<'a>(
        &'a self,
        beat: Option<&'a Heartbeat>,
    ) -> impl DoubleEndedIterator<Item = &'a Stamped> {
        let last = self.events.last().map_or(Elapsed::ZERO, |last| last.at);
        let behind = self.damage.as_ref().map(|own| &*own.behind.parting);
        let behind = behind.unwrap_or_default();
        let told = beat.into_iter().flat_map(|beat| &beat.unsaved);
        let told = told.filter(move |own| own.event.parts_time() && !holds(behind, own));
        let unsaved = behind.iter().chain(told);
        unsaved.filter(move |own| own.at >= last && !holds(&self.events, own))
    }

    /// The sitting as it stood at its last heartbeat, as far as anybody can know.
    pub fn sitting_at(&self, beat: Option<&Heartbeat>) -> Sitting {
        let mut sitting = self.sitting();
        for stamped in self.unsaved(beat) {
            sitting.apply(stamped.at, &stamped.event);
        }
        sitting
    }
}

fn holds(events: &[Stamped], own: &Stamped) -> bool {
    let mut latest_first = events.iter().rev();
    latest_first.any(|other| other.at == own.at && other.event == own.event)
}

/// A whole session as its file has it.
pub(super) struct SessionText {
    pub(super) text: String,
    chain: Chain,
    sealed: bool,
}

/// Writes a whole session, sealed where it has ended.
pub(super) fn text_of(header: &Header, events: &[Stamped]) -> Result<SessionText, ron::Error> {
    let mut chain = Chain::default();
    let mut text = line::write_header(header, &mut chain)?;
    for stamped in events {
        text += &line::write_event(stamped, &mut chain)?;
    }
    let sealed = events.last().is_some_and(closes) && line::is_sealed_in(header.format);
    if sealed {
        text += &line::write_seal(text.as_bytes(), &mut chain)?;
    }
    Ok(SessionText {
        text,
        chain,
        sealed,
    })
}

const fn closes(stamped: &Stamped) -> bool {
    matches!(stamped.event, Event::Closed(_))
}

/// Reads a session file; a torn end is told and left alone.
///
/// # Errors
/// A file that cannot be read, is no session, comes from a newer version, or is damaged.
pub fn read(path: &Path) -> Result<Record, JournalError> {
    whole(read_up_to_damage(path)?)
}

/// Reads a session file that was found in a folder: nobody named it, so a pipe there is not waited for.
pub(crate) fn read_found(path: &Path) -> Result<(Record, Option<JournalError>), JournalError> {
    read_bytes(path, disk::read_found(path, Size::SESSION))
}

fn whole(read: (Record, Option<JournalError>)) -> Result<Record, JournalError> {
    match read {
        (record, None) => Ok(record),
        (_, Some(damage)) => Err(damage),
    }
}

/// Reads a session file up to its first damage, and gives that damage if there is one.
///
/// # Errors
/// A file that cannot be read, comes from a newer version, or whose first line is not good.
pub fn read_up_to_damage(path: &Path) -> Result<(Record, Option<JournalError>), JournalError> {
    read_bytes(path, disk::read(path, Size::SESSION))
}

fn read_bytes(
    path: &Path,
    bytes: io::Result<Vec<u8>>,
) -> Result<(Record, Option<JournalError>), JournalError> {
    let bytes = bytes.map_err(|error| JournalError::read(path, error))?;
    read_as(path, &bytes)
}

/// Reads a session file's bytes up to the first damage, and gives that damage if there is one.
pub(in crate::storage) fn read_as(
    path: &Path,
    bytes: &[u8],
) -> Result<(Record, Option<JournalError>), JournalError> {
    let scan = scan(path, bytes)?;
    let damage = scan.damage.clone();
    let damage = damage.map(|damage| JournalError::damaged(path, damage));
    Ok((Record::from_scan(path, scan), damage))
}

pub(super) fn scan(path: &Path, bytes: &[u8]) -> Result<Scan, JournalError> {
    recover::scan(bytes).map_err(|no| match no {
        NoSession::NoHeader | NoSession::BadHeader(Wrong::NoChecksum)
            if !place::is_session(path) =>
        {
            JournalError::OtherKind(path.to_owned())
        }
        NoSession::NoHeader => JournalError::NoHeader(path.to_owned()),
        NoSession::BadHeader(Wrong::Newer(format)) => JournalError::Newer {
            path: path.to_owned(),
            format,
        },
        NoSession::BadHeader(what) => JournalError::Damaged {
            path: path.to_owned(),
            line: 1,
            what,
        },
    })
}

/// The sessions found in a folder.
#[derive(Clone, Debug, Default)]
pub struct Listing {
    /// Those that can be read, newest first, each sitting once.
    pub records: Vec<Arc<Record>>,
    /// Those that cannot, and folders that cannot be opened, each with its reason, by name.
    pub unreadable: Vec<(PathBuf, Arc<JournalError>)>,
    /// Of those that cannot, the damaged ones that are open and that no whole file holds: as far as they can be
    /// read, newest first.
    pub damaged: Vec<Arc<Record>>,
    /// Files that hold a sitting once more.
    pub copies: Vec<Copied>,
}

/// A file that holds a sitting which is read from another one.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Copied {
    /// The file.
    pub path: PathBuf,
    /// The file that is read for the sitting.
    pub kept: PathBuf,
    /// Whether it says something that the other does not: it is then no mere copy, nor an older state.
    pub differs: bool,
    /// The pupils of both, where nothing but the alias differs.
    pub aliases: Option<(Alias, Alias)>,
    /// Whether the tutor has set it aside.
    pub set_aside: bool,
}

/// Whether a sheet of the same pupil, paper and day was typed in twice with the same answers.
fn is_typed_again(one: &Record, other: &Record) -> bool {
    let of = SheetOf::of(&one.header);
    let same = of.is_some() && of == SheetOf::of(&other.header);
    same && is_same_sheet((&one.header, &one.events), (&other.header, &other.events))
}

/// What a sitting may share with files that hold it once more, under another alias, or typed in again: those that
/// share none of these say nothing of each other.
pub fn shared_with(sat: &Abridged) -> Vec<String> {
    let id = format!("id {}", sat.sitting);
    let sheet = || {
        let sheet = SheetOf::new(&sat.pupil, &sat.paper.id, sat.started.date_naive());
        format!("sheet {sheet:?}")
    };
    let sheet = (sat.mode() == Mode::Entered).then(sheet);
    let start = (sat.format == 1).then(|| format!("start {} {}", sat.started, sat.paper.id));
    [Some(id), sheet, start].into_iter().flatten().collect()
}

/// Whether two files hold one sitting under two aliases.
fn is_renamed(kept: &Record, other: &Record) -> bool {
    let alike = kept.header.is_same_but_for_alias(&other.header);
    alike && kept.events.starts_with(&other.events)
}

/// Reads all sessions in a folder and in the pupils' folders below it; a folder that is not there
/// holds none.
///
/// # Errors
/// A folder that cannot be looked into.
pub fn list(dir: &Path) -> Result<Listing, JournalError> {
    let mut paths = Vec::new();
    let mut closed = Vec::new();
    for entry in entries(dir)? {
        if !entry.is_dir() {
            paths.push(entry);
            continue;
        }
        match entries(&entry) {
            Ok(inside) => paths.extend(inside),
            Err(reason) => closed.push((entry, Arc::new(reason))),
        }
    }
    let mut listing = read_all(paths, moved_from(dir));
    listing.unreadable.extend(closed);
    listing.unreadable.sort_by(|one, other| one.0.cmp(&other.0));
    Ok(listing)
}

/// Reads the sittings that can be gone on with, newest first: one pupil's, or everybody's; a damaged one as far
/// as it can be read. Files that cannot be read are listed with their reason, since one of them may be the
/// sitting looked for.
///
/// # Errors
/// A folder that cannot be looked into.
pub fn open_sittings(dir: &Path, pupil: Option<&Alias>) -> Result<Listing, JournalError> {
    let mut listing = match pupil {
        Some(alias) => {
            let folder = dir.join(alias.as_str());
            read_all(entries(&folder)?, moved_from(&folder))
        }
        None => list(dir)?,
    };
    listing.records.append(&mut listing.damaged);
    listing.records.retain(|record| {
        let theirs = pupil.is_none_or(|alias| *alias == record.header.pupil);
        theirs && record.is_open()
    });
    listing.records.sort_by_cached_key(newest_first);
    Ok(listing)
}

/// How often a folder is looked at while a file in it may be about to come back, and how long is waited between two
/// looks.
const LOOKS: u32 = 6;
/// See [`LOOKS`].
const BETWEEN_LOOKS: Duration = Duration::from_millis(200);

/// The same of one pupil, waiting up to a second for a file that cannot be read at this instant or is not there, since
/// a program that keeps folders alike is putting another in its place: its sitting would be begun anew.
///
/// # Errors
/// As [`open_sittings`].
pub fn open_sittings_settled(dir: &Path, pupil: &Alias) -> Result<Listing, JournalError> {
    let folder = dir.join(pupil.as_str());
    let mut looks = 1;
    loop {
        let listing = open_sittings(dir, Some(pupil))?;
        let mut unread = listing.unreadable.iter();
        let may_come = unread.any(|(_, reason)| reason.may_hide_a_sitting())
            || is_one_away(&entries(&folder)?);
        if !may_come || looks == LOOKS {
            return Ok(listing);
        }
        looks += 1;
        std::thread::sleep(BETWEEN_LOOKS);
    }
}

/// Whether a lock lies there that a killed program has left, and its session does not.
fn is_one_away(files: &[PathBuf]) -> bool {
    let mut names = files.iter().filter_map(|path| path.file_name()?.to_str());
    names.any(|name| {
        let session = name
            .strip_suffix(".lock")
            .map(|stem| format!("{stem}{ENDING}"));
        session.is_some_and(|session| {
            let is_practice = name.ends_with(".practice.ron.lock");
            !is_practice && !files.iter().any(|path| path.ends_with(&session))
        })
    })
}

fn newest_first(record: &Arc<Record>) -> Reverse<(DateTime<FixedOffset>, PathBuf)> {
    Reverse((record.header.started, record.path.clone()))
}

fn entries(dir: &Path) -> Result<Vec<PathBuf>, JournalError> {
    let closed = |source| JournalError::Folder {
        path: dir.to_owned(),
        source,
    };
    let found = match fs::read_dir(dir) {
        Ok(found) => found,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(Vec::new()),
        Err(error) => return Err(closed(error)),
    };
    let paths: io::Result<Vec<_>> = found.map(|entry| Ok(entry?.path())).collect();
    let mut paths = paths.map_err(closed)?;
    paths.sort();
    Ok(paths)
}

fn read_all(paths: Vec<PathBuf>, moved: Vec<PathBuf>) -> Listing {
    let mut listing = Listing::default();
    let mut paths = paths;
    paths.retain(|path| place::is_session(path));
    let read = cores::map(&paths, |path| read_found(path));
    for (path, read) in paths.into_iter().zip(read) {
        match read {
            Ok((record, None)) => listing.records.push(Arc::new(record)),
            Ok((record, Some(damage))) => {
                listing.unreadable.push((path, Arc::new(damage)));
                listing.damaged.push(Arc::new(record));
            }
            Err(reason) => listing.unreadable.push((path, Arc::new(reason))),
        }
    }
    // What was saved elsewhere, unless it has come back.
    for path in moved {
        let known = |record: &Record| {
            let same = |own: &Arc<Record>| own.header.sitting == record.header.sitting;
            let mut own = listing.records.iter().filter(|own| same(own));
            own.any(|own| own.events.starts_with(&record.events))
        };
        match read_found(&path) {
            Ok((record, _)) if known(&record) => {}
            Ok((record, None)) => listing.records.push(Arc::new(record)),
            Ok((record, Some(damage))) => {
                listing.unreadable.push((path, Arc::new(damage)));
                listing.damaged.push(Arc::new(record));
            }
            Err(reason) => listing.unreadable.push((path, Arc::new(reason))),
        }
    }
    listing.settle();
    let whole = listing
        .records
        .iter()
        .map(|record| record.header.sitting.clone());
    let whole: BTreeSet<_> = whole.collect();
    listing
        .damaged
        .retain(|record| record.is_open() && !whole.contains(&record.header.sitting));
    listing.records.sort_by_cached_key(newest_first);
    listing.damaged.sort_by_cached_key(newest_first);
    listing
}

/// The sittings in a folder that do not count because of others there, by their ids, with the reason; what cannot be
/// read stands in nobody's way.
pub fn withdrawn_in(folder: &Path) -> BTreeMap<String, Exclusion> {
    let mut listing = read_all(entries(folder).unwrap_or_default(), Vec::new());
    listing.records.retain(|record| !record.is_set_aside());
    let all = listing.records.into_iter();
    all.filter_map(|record| Some((record.header.sitting.clone(), record.withdrawn?)))
        .collect()
}

/// The sitting that an ended one replaces, unless that one is set aside itself.
fn replaced_by(record: &Record) -> Option<String> {
    let replaces = record.header.replaces.clone();
    replaces.filter(|_| record.is_closed() && !record.is_set_aside())
}

impl Listing {
    /// Whether nothing was found, neither what can be read nor what cannot.
    pub const fn is_empty(&self) -> bool {
        self.records.is_empty() && self.unreadable.is_empty()
    }

    /// Works out which of these count beside the others: each sitting once, none that another one replaces, and of
    /// typed-in sheets of one pupil, paper and day one, or none where they say different things.
    pub fn settle(&mut self) {
        self.keep_each_once();
        self.withdraw_replaced();
        self.settle_sheets();
    }

    /// Withdraws the sittings that others among these replace: they count for nothing, nor does a sheet with the same
    /// answers that was typed in elsewhere.
    fn withdraw_replaced(&mut self) {
        let replaced = self.records.iter();
        let replaced: BTreeSet<_> = replaced.filter_map(|one| replaced_by(one)).collect();
        let is_replaced = |record: &Arc<Record>| replaced.contains(&record.header.sitting);
        let mut originals = BTreeMap::<SheetOf, Vec<&Arc<Record>>>::new();
        for one in self.records.iter().filter(|one| is_replaced(one)) {
            if let Some(sheet) = SheetOf::of(&one.header) {
                originals.entry(sheet).or_default().push(one);
            }
        }
        // One that corrects another may say again what was said first: it is no copy of that.
        let is_copy = |record: &&Arc<Record>| {
            let alike = SheetOf::of(&record.header).and_then(|sheet| originals.get(&sheet));
            let mut alike = alike.into_iter().flatten();
            record.header.replaces.is_none() && alike.any(|own| is_typed_again(own, record))
        };
        let all = self.records.iter();
        let all = all.filter(|record| is_replaced(record) || is_copy(record));
        let replaced = all.map(|record| record.header.sitting.clone()).collect();
        self.withdraw(&replaced, Exclusion::Replaced);
    }

    /// Withdraws the sittings with these ids, unless they are already.
    pub fn withdraw(&mut self, ids: &BTreeSet<String>, reason: Exclusion) {
        for record in &mut self.records {
            if record.withdrawn.is_none() && ids.contains(&record.header.sitting) {
                Arc::make_mut(record).withdrawn = Some(reason);
            }
        }
    }

    /// Keeps one file a sitting: of several with one id the one that holds the most, among equals that are open the one
    /// that was going on last, then the first that lies in its pupil's folder, else the first; one that is set aside
    /// only where all are. Where two that are not say different things, neither counts.
    fn keep_each_once(&mut self) {
        let mut places = BTreeMap::<String, usize>::new();
        let mut starts = BTreeMap::<(DateTime<FixedOffset>, String), Vec<usize>>::new();
        let mut all = Vec::<Vec<Arc<Record>>>::new();
        for record in std::mem::take(&mut self.records) {
            let header = &record.header;
            let mut place = places.get(&header.sitting).copied();
            // In format 1 the id holds the alias, so that the file of a renamed pupil has another one.
            if header.format == 1 && place.is_none() {
                let start = (header.started, header.paper.id.clone());
                let alike = starts.entry(start).or_default();
                let is_it = |place: &&usize| {
                    let mut known = all.get(**place).into_iter().flatten();
                    known.any(|known| {
                        let begun = !known.events.is_empty() && !record.events.is_empty();
                        begun && (is_renamed(known, &record) || is_renamed(&record, known))
                    })
                };
                place = alike.iter().find(is_it).copied();
                alike.extend(place.is_none().then_some(all.len()));
            }
            let place = place.unwrap_or(all.len());
            places.insert(header.sitting.clone(), place);
            match all.get_mut(place) {
                Some(known) => known.push(record),
                None => all.push(vec![record]),
            }
        }
        for alike in all {
            let kept = self.keep_one(alike);
            self.records.extend(kept);
        }
    }

    /// Keeps one of the sheets of one pupil, paper and day that have the same answers, that of the first id; where
    /// some of the sheets say different things, none of them counts.
    fn settle_sheets(&mut self) {
        let mut alike = BTreeMap::<SheetOf, Vec<usize>>::new();
        for (place, record) in self.records.iter().enumerate() {
            let counts = matches!(record.withdrawn, None | Some(Exclusion::Disputed));
            if let Some(sheet) = SheetOf::of(&record.header).filter(|_| counts) {
                alike.entry(sheet).or_default().push(place);
            }
        }
        let (mut copies, mut disputed) = (BTreeMap::new(), BTreeSet::new());
        for mut places in alike.into_values().filter(|places| places.len() > 1) {
            let record = |place: usize| self.records.get(place);
            places.sort_by_key(|place| record(*place).map(|own| own.header.sitting.clone()));
            let mut kept = Vec::new();
            for place in places {
                let Some(own) = record(place) else { continue };
                let same =
                    |other: &&usize| record(**other).is_some_and(|it| is_typed_again(it, own));
                match kept.iter().find(same) {
                    Some(first) => drop(copies.insert(place, *first)),
                    None => kept.push(place),
                }
            }
            if kept.len() > 1 {
                disputed.extend(kept);
            }
        }
        for place in disputed {
            if let Some(record) = self.records.get_mut(place) {
                Arc::make_mut(record).withdrawn = Some(Exclusion::Disputed);
            }
        }
        for (place, kept) in &copies {
            if let Some((copy, kept)) = self.records.get(*place).zip(self.records.get(*kept)) {
                self.copies.push(Copied {
                    path: copy.path.clone(),
                    kept: kept.path.clone(),
                    differs: false,
                    aliases: None,
                    set_aside: false,
                });
            }
        }
        let mut place = 0..;
        self.records.retain(|_| {
            place
                .next()
                .is_none_or(|place| !copies.contains_key(&place))
        });
    }

    fn keep_one(&mut self, alike: Vec<Arc<Record>>) -> Option<Arc<Record>> {
        let several = alike.len() > 1;
        let counts = |record: &Arc<Record>| {
            // Of a sitting that was moved, a copy stays open where the old disk lets nobody rename it. Nothing may
            // have happened since but that time has passed.
            let may_go_on = several && record.is_open();
            let heard = may_go_on.then(|| Heartbeat::last(&record.path)).flatten();
            // Another window has it, perhaps where nobody may read its heartbeat.
            let is_in_use = may_go_on && is_in_use(&record.path);
            let events = record.events.len();
            let heard = heard.map(|beat| beat.at);
            (!record.is_set_aside(), events, is_in_use, heard)
        };
        let best = alike.iter().map(counts).max()?;
        let is_best = |record: &Arc<Record>| counts(record) == best;
        let at_home = |record: &Arc<Record>| is_best(record) && record.is_in_its_place();
        let at = alike.iter().position(at_home);
        let at = at.or_else(|| alike.iter().position(is_best))?;
        let mut others = alike;
        let mut kept = others.remove(at);
        let mut disputed = false;
        for other in others {
            let same = other.header == kept.header && kept.events.starts_with(&other.events);
            disputed |= !same && other.is_set_aside() == kept.is_set_aside();
            self.copies.push(Copied {
                path: other.path.clone(),
                kept: kept.path.clone(),
                differs: !same,
                aliases: is_renamed(&kept, &other)
                    .then(|| (other.header.pupil.clone(), kept.header.pupil.clone())),
                set_aside: other.is_set_aside(),
            });
        }
        if disputed && kept.withdrawn.is_none() {
            Arc::make_mut(&mut kept).withdrawn = Some(Exclusion::Disputed);
        }
        Some(kept)
    }
}
