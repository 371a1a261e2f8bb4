//! Folders of sittings brought together into one. What is there afterwards depends on what there was, and neither
//! on the order of the folders nor on how often they are gathered.

use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use super::claim::Claim;
use super::digest::digest;
use super::error::NotKept;
use super::found::{Found, GatheredLog, LeftBehind, same_by_name};
use super::held::{is_session, put_notes, put_register, stem, take_away};
use super::rename::text_anew;
use super::unfinished;
use crate::domain::header::Alias;
use crate::domain::notes::Notes;
use crate::domain::register::Register;
use crate::storage::disk::{self, Size};
use crate::storage::files::{notes, register};
use crate::storage::journal;

/// What was gathered.
#[derive(Debug, Default)]
pub struct GatherReport {
    /// Sittings that were not there before.
    pub new: usize,
    /// Sittings of which more is there than before.
    pub longer: usize,
    /// Sittings that came and were there already.
    pub known: usize,
    /// Practice and drills that are new or longer.
    pub exercises: usize,
    /// Sittings whose notes say more than before.
    pub notes: usize,
    /// Pupils who are new in the register.
    pub registered: usize,
    /// Files of one sitting, or of one name, that say different things.
    pub differing: Vec<Vec<PathBuf>>,
    /// Pupils of whom nothing was here before, where others were.
    pub new_pupils: Vec<Alias>,
    /// Registers that say something else of a pupil, as they were kept.
    pub registers: Vec<OtherRegister>,
    /// What was left where it is.
    pub left: Vec<LeftBehind>,
}

/// A register that was kept beside the one here, since it says something else.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OtherRegister {
    /// The file as it was kept.
    pub kept: PathBuf,
    /// Pupils of whom the register here says something else.
    pub differs: Vec<Alias>,
    /// Pupils of whom the register here says nothing, since those that came say different things.
    pub missing: Vec<Alias>,
}

/// A file as it is to be.
struct LogPlace<'a> {
    path: PathBuf,
    piece: &'a GatheredLog,
    plain: bool,
}

/// Gathers folders into a folder of sittings.
///
/// # Errors
/// A folder that is not there, or is the one that is gathered into, or lies in it or around it; the system's
/// refusal half way: then the same again goes on.
pub fn gather(from: &[PathBuf], into: &Path) -> Result<GatherReport, NotKept> {
    disk::create_private_dir_all(into).map_err(NotKept::io(into, "make the folder"))?;
    let target = real(into)?;
    let mut seen = BTreeSet::new();
    let mut sources = Vec::new();
    for folder in from {
        if !folder.is_dir() {
            return Err(NotKept::NoFolder(folder.clone()));
        }
        let source = real(folder)?;
        if source.starts_with(&target) || target.starts_with(&source) {
            return Err(NotKept::IntoItself {
                from: folder.clone(),
                into: into.to_owned(),
            });
        }
        if seen.insert(source.clone()) {
            sources.push((source, folder));
        }
    }
    let _claim = Claim::take(&target)?;
    unfinished::nothing_but(&target, |_| false)?;
    let own = Found::below(&target, true);
    // What is here and cannot be read would be written over.
    for left in &own.left {
        if let LeftBehind::Unread(path, why) = left {
            let source = std::io::Error::other(why.clone());
            return Err(NotKept::io(path, "read what is here")(source));
        }
    }
    let mut others = Found::default();
    for (source, named) in sources {
        let found = Found::below(&source, false);
        if found.is_empty() {
            others.left.push(LeftBehind::Nothing(named.clone()));
        }
        others.pieces.extend(found.pieces);
        others.notes.extend(found.notes);
        others.registers.extend(found.registers);
        others.left.extend(found.left);
    }
    let mut report = GatherReport {
        left: std::mem::take(&mut others.left),
        ..GatherReport::default()
    };
    let renamed = Renamings::found(&own.pieces, &mut others.pieces);
    let here_under = renamed.sittings.iter();
    let here_under =
        here_under.map(|((was, is), count)| LeftBehind::HereUnder(was.clone(), is.clone(), *count));
    report.left.extend(here_under);
    let in_use = in_use(&own.pieces, &others.pieces);
    others.pieces.retain(|piece| {
        let taken = in_use.contains(&piece.same);
        if taken {
            report.left.push(LeftBehind::InUse(piece.path.clone()));
        }
        !taken
    });
    let mut pieces = own.pieces;
    report.new_pupils = new_pupils(&target, &pieces, &others.pieces)?;
    pieces.extend(others.pieces);
    pieces.sort_by(|one, other| {
        let order = |piece: &'_ GatheredLog| (!piece.own, piece.path.clone());
        order(one).cmp(&order(other))
    });
    let kept = kept(&pieces);
    let places = places(&target, &pieces, &kept);
    write_pieces(&pieces, &places, &mut report)?;
    let beside = (&*own.notes, &*others.notes);
    write_notes(&pieces, &places, beside, &renamed.ids, &mut report)?;
    take_superseded(&pieces, &places)?;
    let rivals = journal::list(&target)?.rival_sheets().into_iter();
    report.left.extend(rivals.map(LeftBehind::Sheets));
    write_registers(&target, &others.registers, &renamed, &mut report)?;
    report.left.sort_by_key(|left| format!("{left:?}"));
    Ok(report)
}

/// The sittings brought that are here already under another alias: the one here stays.
#[derive(Debug, Default)]
struct Renamings {
    /// How many of an alias are here under which other.
    sittings: BTreeMap<(Alias, Alias), usize>,
    /// Their ids, and the ids here.
    ids: BTreeMap<String, String>,
    /// The aliases of which nothing is here any more, and those that took their place.
    pupils: BTreeMap<Alias, Alias>,
}

impl Renamings {
    /// Takes those sittings out of what is brought, and gives the pupil's practice and drills the alias here.
    fn found(own: &[GatheredLog], others: &mut Vec<GatheredLog>) -> Self {
        let mut found = Self::default();
        // Where neither is here, the one that holds the most stays, whatever the order of the folders.
        others.sort_by(|one, other| {
            let order = |piece: &'_ GatheredLog| {
                let events = piece.record.as_ref().map(|record| record.events.len());
                (Reverse(events), piece.pupil.clone(), piece.bytes.clone())
            };
            order(one).cmp(&order(other))
        });
        let mut kept = Vec::<GatheredLog>::new();
        for piece in others.drain(..) {
            let known = own.iter().chain(&kept);
            let here = known.filter(|known| known.stands_for_renamed(&piece));
            let here = here.min_by_key(|here| !here.own);
            let headers = here.and_then(|here| here.record.as_ref().zip(piece.record.as_ref()));
            let Some((here, there)) = headers else {
                kept.push(piece);
                continue;
            };
            let (here, there) = (&here.header, &there.header);
            let pair = (there.pupil.clone(), here.pupil.clone());
            *found.sittings.entry(pair).or_default() += 1;
            let (was, is) = (there.sitting.clone(), here.sitting.clone());
            found.ids.insert(was, is);
        }
        for (was, is) in found.sittings.keys() {
            let here =
                |piece: &GatheredLog| piece.pupil.to_lowercase() == was.as_str().to_lowercase();
            if !own.iter().any(here) {
                found.pupils.insert(was.clone(), is.clone());
            }
        }
        for piece in kept.iter_mut().filter(|piece| piece.sitting().is_none()) {
            let Ok(was) = Alias::try_from(piece.pupil.clone()) else {
                continue;
            };
            let Some(is) = found.of(&was).cloned() else {
                continue;
            };
            is.as_str().clone_into(&mut piece.pupil);
            piece.same = same_by_name(&is, &piece.name.0, piece.name.1);
            if let Ok(text) = str::from_utf8(&piece.bytes)
                && was.is_in(text)
            {
                piece.bytes = text_anew(text, &was, &is).into_bytes();
                let whole = piece.bytes.iter().rposition(|byte| *byte == b'\n');
                piece.good = whole.map_or(0, |at| at + 1);
            }
        }
        *others = kept;
        found
    }

    /// The alias that a pupil has here, where it is another one.
    fn of(&self, was: &Alias) -> Option<&Alias> {
        self.pupils.get(was)
    }
}

/// The pupils whose files come for the first time, where others are here already: one of them may be a slip of the keys.
fn new_pupils(
    target: &Path,
    own: &[GatheredLog],
    others: &[GatheredLog],
) -> Result<Vec<Alias>, NotKept> {
    let register = register::load(target)?.unwrap_or_default();
    let registered = register.pupils.iter().map(|own| own.alias.as_str());
    let known = own.iter().map(|piece| piece.pupil.as_str());
    let known: BTreeSet<_> = known.chain(registered).map(str::to_lowercase).collect();
    if known.is_empty() {
        return Ok(Vec::new());
    }
    let new = others.iter().filter_map(|piece| {
        let alias = Alias::try_from(piece.pupil.clone()).ok();
        alias.filter(|_| !known.contains(&piece.pupil.to_lowercase()))
    });
    let new: BTreeSet<_> = new.collect();
    Ok(new.into_iter().collect())
}

fn real(folder: &Path) -> Result<PathBuf, NotKept> {
    disk::canonical(folder).map_err(NotKept::io(folder, "open the folder"))
}

/// The sittings that are going on here and that another file says more of.
fn in_use(own: &[GatheredLog], others: &[GatheredLog]) -> BTreeSet<String> {
    let open = own.iter().filter(|piece| !piece.over);
    let open = open.filter(|piece| {
        let more = |other: &&GatheredLog| other.same == piece.same && other.bytes != piece.bytes;
        others.iter().any(|other| more(&other))
    });
    let taken = open.filter(|piece| journal::is_in_use(&piece.path));
    taken.map(|piece| piece.same.clone()).collect()
}

fn lock_beside(session: &Path) -> PathBuf {
    session.with_file_name(format!("{}.lock", stem(session)))
}

/// The places, in the list, of the pieces that no other stands for; of equal ones the first.
fn kept(pieces: &[GatheredLog]) -> Vec<usize> {
    let mut by_same = BTreeMap::<&str, Vec<usize>>::new();
    for (at, piece) in pieces.iter().enumerate() {
        by_same.entry(&piece.same).or_default().push(at);
    }
    let mut kept = Vec::new();
    for group in by_same.into_values() {
        for at in &group {
            let Some(piece) = pieces.get(*at) else {
                continue;
            };
            let others = group.iter().filter(|other| *other != at);
            let stands = others.filter_map(|other| Some((other, pieces.get(*other)?)));
            let mut stands = stands.filter(|(_, other)| other.stands_for(piece));
            let replaced = stands.any(|(other, by)| by.bytes != piece.bytes || other < at);
            if !replaced {
                kept.push(*at);
            }
        }
    }
    kept
}

/// Where each piece is to lie: the largest of one name under that name, the others with a mark of their own.
fn places<'a>(target: &Path, pieces: &'a [GatheredLog], kept: &[usize]) -> Vec<LogPlace<'a>> {
    let spelled = spelled(pieces);
    let mut by_name = BTreeMap::<(String, String), Vec<&GatheredLog>>::new();
    for piece in kept.iter().filter_map(|at| pieces.get(*at)) {
        let pupil = piece.pupil.to_lowercase();
        let name = piece.plain_name();
        by_name.entry((pupil, name)).or_default().push(piece);
    }
    let mut places = Vec::new();
    for ((pupil, name), mut group) in by_name {
        let folder = target.join(spelled.get(&pupil).copied().unwrap_or(&pupil));
        group.sort_by(|one, other| other.rank().cmp(&one.rank()));
        let alone = group.len() == 1;
        for (at, piece) in group.into_iter().enumerate() {
            let plain = at == 0;
            let path = if alone && piece.own {
                piece.path.clone()
            } else if plain {
                folder.join(&name)
            } else {
                folder.join(piece.marked_name())
            };
            places.push(LogPlace { path, piece, plain });
        }
    }
    places
}

/// How each pupil's folder is called: as it is here already, else as the first of the spellings.
fn spelled(pieces: &[GatheredLog]) -> BTreeMap<String, &str> {
    let mut spelled = BTreeMap::<String, (bool, &str)>::new();
    for piece in pieces {
        let own = (!piece.own, piece.pupil.as_str());
        let known = spelled.entry(piece.pupil.to_lowercase()).or_insert(own);
        *known = own.min(*known);
    }
    spelled
        .into_iter()
        .map(|(lower, (_, own))| (lower, own))
        .collect()
}

/// Writes what is not there yet: marked names first, so that no content is without a file at any moment.
fn write_pieces(
    pieces: &[GatheredLog],
    places: &[LogPlace<'_>],
    report: &mut GatherReport,
) -> Result<(), NotKept> {
    let mut same = BTreeMap::<&str, Vec<&LogPlace<'_>>>::new();
    for place in places {
        same.entry(&place.piece.same).or_default().push(place);
    }
    for (id, alike) in &same {
        let before = pieces.iter().filter(|piece| piece.own && piece.same == *id);
        let before: Vec<_> = before.map(|piece| &piece.bytes).collect();
        let is_new = |place: &&&LogPlace<'_>| !before.contains(&&place.piece.bytes);
        let changed = alike.iter().any(|place| is_new(&place));
        let session = alike.iter().any(|place| place.piece.sitting().is_some());
        match (session, before.is_empty(), changed) {
            (true, true, _) => report.new += 1,
            (true, false, true) if alike.len() == 1 => report.longer += 1,
            (true, false, _) => {
                let came = pieces.iter().any(|piece| !piece.own && piece.same == *id);
                report.known += usize::from(came);
            }
            (false, _, changed) => report.exercises += usize::from(changed),
        }
        if alike.len() > 1 {
            let files = alike.iter().map(|place| place.path.clone());
            report.differing.push(files.collect());
        }
    }
    let marked = places.iter().filter(|place| !place.plain);
    let plain = places.iter().filter(|place| place.plain);
    let gone = superseded(pieces, places);
    for place in marked.chain(plain) {
        let is_own = place.piece.own && place.piece.path == place.path;
        let is_there = is_own || {
            let there = disk::read_found(&place.path, Size::SESSION);
            there.is_ok_and(|there| there == place.piece.bytes)
        };
        // A program that was killed may not have brought it to the disk; whoever sits there has.
        let stands = gone.iter().any(|piece| place.piece.stands_for(piece));
        if is_there && (!stands || journal::is_in_use(&place.path)) {
            continue;
        }
        let known = pieces
            .iter()
            .any(|piece| piece.own && piece.path == place.path);
        if !known && fs::symlink_metadata(&place.path).is_ok() {
            return Err(NotKept::InTheWay(place.path.clone()));
        }
        let folder = disk::folder_of(&place.path);
        disk::create_private_dir_all(folder).map_err(NotKept::io(folder, "make the folder"))?;
        disk::put(&place.path, &place.piece.bytes)
            .map_err(NotKept::io(&place.path, "write the file"))?;
    }
    Ok(())
}

/// Joins the notes of every file that a sitting stands for, and puts them beside it.
fn write_notes(
    pieces: &[GatheredLog],
    places: &[LogPlace<'_>],
    (own, others): (&[PathBuf], &[PathBuf]),
    ids: &BTreeMap<String, String>,
    report: &mut GatherReport,
) -> Result<(), NotKept> {
    let mut joined = BTreeMap::<PathBuf, Notes>::new();
    let mut misplaced = Vec::new();
    for path in own.iter().chain(others) {
        let is_own = own.contains(path);
        let bytes = match disk::read_found(path, Size::SESSION) {
            Ok(bytes) => bytes,
            // Nobody knows what would be written over.
            Err(error) if is_own => return Err(NotKept::io(path, "read the file")(error)),
            Err(error) => {
                let left = LeftBehind::Unread(path.clone(), error.to_string());
                report.left.push(left);
                continue;
            }
        };
        let said = match notes::from_bytes(path, &bytes) {
            Ok(sound) => {
                let here = ids.get(&sound.value.sitting).filter(|_| !is_own);
                let sitting = here.unwrap_or(&sound.value.sitting).clone();
                Notes {
                    sitting,
                    ..sound.value
                }
            }
            Err(trouble) => {
                report
                    .left
                    .push(LeftBehind::Unread(path.clone(), trouble.to_string()));
                continue;
            }
        };
        let beside = |piece: &&GatheredLog| {
            piece.sitting() == Some(&said.sitting) && notes::path_beside(&piece.path) == *path
        };
        let on = pieces.iter().find(beside);
        // Words are about the sitting; whether it counts is said of a file, and of what is more than it.
        let words = Notes {
            decisions: Vec::new(),
            ..said.clone()
        };
        let of_it = |place: &&LogPlace<'_>| place.piece.sitting() == Some(&said.sitting);
        let mut any = false;
        for place in places.iter().filter(of_it) {
            any = true;
            let decides = on.is_none_or(|piece| place.piece.stands_for(piece));
            let known = joined.entry(place.path.clone());
            let known = known.or_insert_with(|| Notes::new(&said.sitting));
            *known = known.joined(if decides { &said } else { &words });
        }
        if !any && !is_own {
            report.left.push(LeftBehind::NotesOfNone(path.clone()));
        }
        let lies_beside = |place: &&LogPlace<'_>| notes::path_beside(&place.path) == *path;
        let now = places.iter().find(lies_beside);
        if any && is_own && now.is_some_and(|now| now.piece.sitting() != Some(&said.sitting)) {
            misplaced.push(path);
        }
    }
    // Where another sitting has taken the name, its notes come to lie beside it below.
    let (elsewhere, here): (Vec<_>, Vec<_>) = joined
        .into_iter()
        .partition(|(session, _)| !misplaced.contains(&&notes::path_beside(session)));
    for (session, said) in elsewhere {
        save_notes(&session, &said, report)?;
    }
    for path in misplaced {
        take_away(path)?;
    }
    for (session, said) in here {
        save_notes(&session, &said, report)?;
    }
    Ok(())
}

fn save_notes(session: &Path, said: &Notes, report: &mut GatherReport) -> Result<(), NotKept> {
    let there = notes::load(session, &said.sitting);
    if !there.is_ok_and(|there| there.joined(&there) == *said) {
        put_notes(&notes::path_beside(session), said)?;
        report.notes += 1;
    }
    Ok(())
}

/// The files here that have no place of their own: each has been written to another, or is the beginning of what has one.
fn superseded<'a>(pieces: &'a [GatheredLog], places: &[LogPlace<'_>]) -> Vec<&'a GatheredLog> {
    let own = pieces.iter().filter(|piece| piece.own);
    own.filter(|piece| places.iter().all(|place| place.path != piece.path))
        .collect()
}

/// Takes away the files for which others stand, with the notes that were joined.
fn take_superseded(pieces: &[GatheredLog], places: &[LogPlace<'_>]) -> Result<(), NotKept> {
    for piece in superseded(pieces, places) {
        if is_session(&piece.path) {
            let beside = notes::path_beside(&piece.path);
            take_away(&beside)?;
            take_away(&lock_beside(&piece.path))?;
        }
        take_away(&piece.path)?;
    }
    Ok(())
}

/// Adds the pupils who are not in the register here. One of whom two registers say different things is as it is
/// here, and the other register is kept beside it.
fn write_registers(
    target: &Path,
    others: &[PathBuf],
    renamed: &Renamings,
    report: &mut GatherReport,
) -> Result<(), NotKept> {
    let own = register::load(target)?;
    let mut all = Vec::new();
    for path in others {
        let bytes = match disk::read_found(path, Size::SESSION) {
            Ok(bytes) => bytes,
            Err(error) => {
                let left = LeftBehind::Unread(path.clone(), error.to_string());
                report.left.push(left);
                continue;
            }
        };
        match register::from_bytes(path, &bytes) {
            Ok(sound) => {
                let mut said = sound.value;
                for pupil in &mut said.pupils {
                    if let Some(here) = renamed.of(&pupil.alias) {
                        pupil.alias = here.clone();
                    }
                }
                all.push((digest(&bytes), bytes, said));
            }
            Err(trouble) => {
                let left = LeftBehind::Unread(path.clone(), trouble.to_string());
                report.left.push(left);
            }
        }
    }
    all.sort_by(|one, other| one.0.cmp(&other.0));
    all.dedup_by(|one, other| one.0 == other.0);
    let mut known = own.clone().unwrap_or_default();
    let said_twice = |alias: &Alias| {
        let said = all
            .iter()
            .filter_map(|(_, _, register)| register.pupil(alias));
        let said: Vec<_> = said.collect();
        said.iter().any(|one| said.iter().any(|other| one != other))
    };
    let mut added = 0;
    for pupil in all.iter().flat_map(|(_, _, register)| &register.pupils) {
        if known.pupil(&pupil.alias).is_none() && !said_twice(&pupil.alias) {
            known.pupils.push(pupil.clone());
            added += 1;
        }
    }
    if added > 0 {
        known
            .pupils
            .sort_by(|one, other| one.alias.cmp(&other.alias));
        put_register(&register::path_in(target), &known)?;
        report.registered = added;
    }
    for (mark, bytes, register) in &all {
        let differs = differing(register, &known);
        if differs.is_empty() {
            continue;
        }
        let mark: String = mark.chars().take(8).collect();
        let path = target.join(format!("register-{mark}.ron"));
        if !path.exists() {
            disk::put(&path, bytes).map_err(NotKept::io(&path, "write the file"))?;
        }
        let (differs, missing) = differs
            .into_iter()
            .partition(|alias| known.pupil(alias).is_some());
        report.registers.push(OtherRegister {
            kept: path,
            differs,
            missing,
        });
    }
    Ok(())
}

/// The pupils of whom a register does not say what the one here says.
fn differing(register: &Register, known: &Register) -> Vec<Alias> {
    let differs = register.pupils.iter().filter(|pupil| {
        let here = known.pupil(&pupil.alias);
        here.is_none_or(|here| here != *pupil)
    });
    differs.map(|pupil| pupil.alias.clone()).collect()
}
