//! A pupil gets another alias: the only job that rewrites session files.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use super::claim::Claim;
use super::digest::digest;
use super::error::NotKept;
use super::held::{self, HeldFile, Holdings, is_session, put_register, stem, take_away};
use super::pages::{self, Remake};
use super::sweep::{self, is_part};
use super::unfinished::{self, Job};
use crate::domain::header::Alias;
use crate::domain::register::Register;
use crate::storage::disk::{self, Size};
use crate::storage::files::{folders, notes, register};
use crate::storage::journal::{self, Record, Renamed, RivalSheets};

/// What the name of a lock's file ends in.
const LOCK_ENDING: &str = ".lock";

/// A pupil who is to get another alias.
#[derive(Clone, Debug)]
pub struct Renaming {
    /// The alias now.
    pub from: Alias,
    /// The alias afterwards.
    pub to: Alias,
    /// Whether files under the new alias are the same pupil's.
    pub join: bool,
}

/// What was renamed, and where the old alias still stands.
#[derive(Debug, Default)]
pub struct RenamedPupil {
    /// How many sittings.
    pub sittings: usize,
    /// How many files, sittings and all.
    pub files: usize,
    /// Pages that were made under the old alias.
    pub pages: Vec<PathBuf>,
    /// Files that mention the old alias.
    pub mentions: Vec<PathBuf>,
    /// Files that have another name elsewhere, or were links.
    pub other_names: Vec<PathBuf>,
    /// Class lists in which the old alias stands.
    pub lists: Vec<PathBuf>,
    /// Files of one sitting under the new alias that say different things, so that none of them counts.
    pub differing: Vec<Vec<PathBuf>>,
    /// Typed-in sheets under the new alias of which none counts.
    pub rivals: Vec<RivalSheets>,
}

impl Renaming {
    /// Renames everything held on the pupil below a folder of sittings, and in the folders that took files when that
    /// one did not. `near` are folders in which class lists may lie.
    ///
    /// # Errors
    /// Nothing held, an open or damaged sitting, an alias that is somebody's: then nothing is changed. The system's
    /// refusal half way: then the same call again goes on.
    pub fn run(&self, sessions: &Path, near: &[PathBuf]) -> Result<RenamedPupil, NotKept> {
        if self.from.is_same(&self.to) {
            return Err(NotKept::Same(self.to.clone()));
        }
        let nobody = || NotKept::Nobody {
            alias: self.from.clone(),
            sessions: sessions.to_owned(),
        };
        if !sessions.is_dir() {
            return Err(nobody());
        }
        let _claim = Claim::take(sessions)?;
        let job = Job::Rename {
            from: self.from.clone(),
            to: self.to.clone(),
        };
        let begun = unfinished::nothing_but(sessions, |begun| *begun == job)?;
        let roots = roots(sessions);
        let held: Result<Vec<_>, _> = roots
            .iter()
            .map(|root| Ok::<_, NotKept>((root, Holdings::of(root, &self.from)?)))
            .collect();
        let mut held = held?;
        let known = register::load(sessions)?;
        if begun.is_none() {
            let registered = known
                .as_ref()
                .is_some_and(|all| all.pupil(&self.from).is_some());
            if held.iter().all(|(_, held)| held.is_empty()) && !registered {
                return Err(nobody());
            }
            self.may_be_taken(&roots, known.as_ref())?;
        }
        for (_, held) in &mut held {
            held.all_over()?;
            if let Some(at) = held
                .files
                .iter()
                .position(|own| matches!(own.session, Some(Err(_))))
                && let Some(Err(damage)) = held.files.swap_remove(at).session
            {
                return Err(damage.into());
            }
        }
        unfinished::begin(sessions, &job)?;
        let mut done = RenamedPupil::default();
        for (root, held) in held {
            self.move_all(root, &held, &mut done)?;
        }
        self.in_register(sessions, known)?;
        self.in_pages(sessions, &mut done)?;
        sweep::caches(&self.from)?;
        sweep::parts(sessions, &self.from)?;
        unfinished::end(sessions)?;
        for root in &roots {
            done.mentions.extend(sweep::mentions(root, &self.from)?);
        }
        let io = NotKept::io(sessions, "read pages.ron in the folder");
        done.lists = pages::lists_with(sessions, near, &self.from).map_err(io)?;
        self.disputed(sessions, &mut done)?;
        let (pages, lists) = (&done.pages, &done.lists);
        let is_list = |path: &PathBuf| disk::canonical(path).is_ok_and(|own| lists.contains(&own));
        done.mentions.retain(|path| {
            !pages.contains(path) && !pages::is_it(sessions, path) && !is_list(path)
        });
        Ok(done)
    }

    /// Notes what does not count under the new alias since it was joined with what was there.
    fn disputed(&self, sessions: &Path, done: &mut RenamedPupil) -> Result<(), NotKept> {
        let mut listing = journal::list(sessions)?;
        let is_theirs = |own: &Record| own.header.pupil.is_same(&self.to);
        listing.records.retain(|own| is_theirs(own));
        done.rivals = listing.rival_sheets();
        for copy in &listing.copies {
            let theirs = listing.records.iter().any(|own| own.path == copy.kept);
            if theirs && copy.differs && !copy.set_aside {
                done.differing
                    .push(vec![copy.kept.clone(), copy.path.clone()]);
            }
        }
        Ok(())
    }

    /// Whether the new alias is free, or known to be the same pupil's.
    fn may_be_taken(&self, roots: &[PathBuf], known: Option<&Register>) -> Result<(), NotKept> {
        let mut taken = known.is_some_and(|all| all.pupil(&self.to).is_some());
        for root in roots {
            taken |= !Holdings::of(root, &self.to)?.is_empty();
        }
        if taken && !self.join {
            return Err(NotKept::Taken(self.to.clone()));
        }
        Ok(())
    }

    /// Writes every file anew under the new alias, and only then removes the old ones, the sittings last.
    fn move_all(
        &self,
        root: &Path,
        held: &Holdings,
        done: &mut RenamedPupil,
    ) -> Result<(), NotKept> {
        let own = root.join(self.to.as_str());
        let sessions = self.sessions_anew(held)?;
        let there = self.there_already(root)?;
        // Where each sitting is to lie: beside it lies what lay beside it.
        let mut places = BTreeMap::new();
        for file in &held.files {
            if let Some(renamed) = sessions.get(&file.path) {
                let known = there.get(&digest(&renamed.bytes)).cloned();
                let is_new = known.is_none();
                let place = known.unwrap_or_else(|| free(&own.join(&file.inside), &renamed.bytes));
                // Notes first: where the sitting is there, it was before this began, or its notes are there too.
                self.join_notes(file, &sessions, &place, is_new, held)?;
                put_new(&place, &renamed.bytes)?;
                places.insert(stem(&file.path), place);
            }
        }
        for file in &held.files {
            if file.has_other_names {
                done.other_names.push(file.path.clone());
            }
            if is_dropped(file) || is_session(&file.path) {
                continue;
            }
            let bytes = self.anew(file, &sessions)?;
            let beside = places.iter().find_map(|(stem, place)| {
                let rest = file
                    .path
                    .file_name()?
                    .to_str()?
                    .strip_prefix(stem.as_str())?;
                let name = format!("{}{rest}", self::stem(place));
                rest.starts_with('.')
                    .then(|| (place, place.with_file_name(name)))
            });
            match beside {
                Some((session, notes)) if notes == notes::path_beside(session) => {}
                Some((_, beside)) => put_new(&free(&beside, &bytes), &bytes)?,
                None => put_new(&free(&own.join(&file.inside), &bytes), &bytes)?,
            }
        }
        done.sittings += sessions.len();
        done.files += held.files.len();
        let (old, rest): (Vec<_>, Vec<_>) =
            held.files.iter().partition(|file| is_session(&file.path));
        for file in rest.into_iter().chain(old) {
            take_away(&file.path)?;
        }
        for folder in &held.folders {
            disk::take_away_folder(folder).map_err(NotKept::io(folder, "delete the folder"))?;
        }
        Ok(())
    }

    /// Puts a sitting's notes beside its new place. Whether a sitting counts that was there already is decided there:
    /// the other file may have been set aside because it held the sitting once more.
    fn join_notes(
        &self,
        session: &HeldFile,
        sessions: &BTreeMap<PathBuf, Renamed>,
        place: &Path,
        is_new: bool,
        held: &Holdings,
    ) -> Result<(), NotKept> {
        let beside = notes::path_beside(&session.path);
        let Some(file) = held.files.iter().find(|file| file.path == beside) else {
            return Ok(());
        };
        let bytes = self.anew(file, sessions)?;
        let path = notes::path_beside(place);
        if is_new {
            return put_notes(&path, &bytes);
        }
        let mut words = notes::from_bytes(&path, &bytes)?.value;
        words.decisions.clear();
        let there = disk::read_found(&path, Size::PAPER).ok();
        let joined = match there {
            Some(there) => notes::from_bytes(&path, &there)?.value.joined(&words),
            None => words,
        };
        held::put_notes(&path, &joined)
    }

    /// The sittings under the new alias, by the paths of the old ones.
    fn sessions_anew(&self, held: &Holdings) -> Result<BTreeMap<PathBuf, Renamed>, NotKept> {
        let sessions = held.files.iter().filter(|file| file.session.is_some());
        let mut all = BTreeMap::new();
        for file in sessions {
            let bytes = bytes_of(&file.path)?;
            all.insert(
                file.path.clone(),
                journal::renamed(&file.path, &bytes, &self.to)?,
            );
        }
        Ok(all)
    }

    /// The sittings that are there already under the new alias, whatever their files are called, by their digests.
    fn there_already(&self, root: &Path) -> Result<BTreeMap<String, PathBuf>, NotKept> {
        let there = Holdings::of(root, &self.to)?;
        let paths = there.records().map(|record| &record.path);
        paths
            .map(|path| Ok((digest(&bytes_of(path)?), path.clone())))
            .collect()
    }

    /// A file other than a sitting, as it is to lie in the new folder.
    fn anew(
        &self,
        file: &HeldFile,
        sessions: &BTreeMap<PathBuf, Renamed>,
    ) -> Result<Vec<u8>, NotKept> {
        let mut bytes = bytes_of(&file.path)?;
        let name = file.path.file_name().unwrap_or_default().to_string_lossy();
        if let Some(stem) = name.strip_suffix(notes::NOTES_ENDING) {
            let beside = sessions.iter().find(|(path, _)| self::stem(path) == stem);
            if let Some((_, session)) = beside {
                let text = String::from_utf8_lossy(&bytes);
                let (was, id) = (
                    format!("\"{}\"", session.was),
                    format!("\"{}\"", session.id),
                );
                bytes = text.replace(&was, &id).into_bytes();
            }
            return Ok(bytes);
        }
        let Ok(text) = str::from_utf8(&bytes) else {
            return Ok(bytes);
        };
        if !self.from.is_in(text) {
            return Ok(bytes);
        }
        Ok(text_anew(text, &self.from, &self.to).into_bytes())
    }

    fn in_register(&self, sessions: &Path, known: Option<Register>) -> Result<(), NotKept> {
        let Some(mut known) = known else {
            return Ok(());
        };
        if known.pupil(&self.from).is_none() {
            return Ok(());
        }
        if known.pupil(&self.to).is_some() {
            known
                .pupils
                .retain(|pupil| !pupil.alias.is_same(&self.from));
        }
        let old = known
            .pupils
            .iter_mut()
            .filter(|pupil| pupil.alias.is_same(&self.from));
        for pupil in old {
            pupil.alias = self.to.clone();
        }
        put_register(&register::path_in(sessions), &known)
    }

    /// Pages under the old alias are named, and are found when the pupil is erased under the new one.
    fn in_pages(&self, sessions: &Path, done: &mut RenamedPupil) -> Result<(), NotKept> {
        let io = NotKept::io(sessions, "read pages.ron in the folder");
        let mut all = pages::load(sessions).map_err(io)?;
        let mut changed = false;
        for page in &mut all {
            let before = page.pupils.len();
            page.pupils.retain(|pupil| !pupil.is_same(&self.from));
            if page.pupils.len() < before {
                page.pupils.insert(self.to.clone());
                if !page.is_list() && !page.again.as_ref().is_some_and(Remake::is_for_outside) {
                    done.pages.push(page.path.clone());
                }
                changed = true;
            }
            let names = |own: &Remake| own.names(&self.from);
            if page.again.as_ref().is_some_and(names) {
                page.again = None;
                changed = true;
            }
        }
        if changed {
            let io = NotKept::io(sessions, "write pages.ron in the folder");
            pages::save(sessions, &all).map_err(io)?;
        }
        Ok(())
    }
}

/// A text of chained lines or any other, with the new alias where the old one is a word of its own.
pub(super) fn text_anew(text: &str, from: &Alias, to: &Alias) -> String {
    let anew = journal::chained_anew(text, |line| reworded(line, from, to));
    anew.unwrap_or_else(|| reworded(text, from, to))
}

/// A text with the new alias where the old one is a word of its own.
fn reworded(text: &str, from: &Alias, to: &Alias) -> String {
    let own = from.as_str();
    let mut out = String::new();
    let mut rest = text;
    while let Some(at) = rest.find(own) {
        let (before, after) = rest.split_at_checked(at).unwrap_or((rest, ""));
        let after = after.get(own.len()..).unwrap_or_default();
        let inner = |c: char| c.is_alphanumeric() || c == '-' || c == '_';
        let before_all = format!("{out}{before}");
        let within = before_all.ends_with(inner) || after.starts_with(inner);
        out = before_all;
        out.push_str(if within { own } else { to.as_str() });
        rest = after;
    }
    out.push_str(rest);
    out
}

/// The folders below which files may lie: that of the sittings, and those that take files when it does not.
pub(super) fn roots(sessions: &Path) -> Vec<PathBuf> {
    let mut seen: BTreeSet<PathBuf> = disk::canonical(sessions).into_iter().collect();
    let mut roots = vec![sessions.to_owned()];
    for dir in folders::fallback_dirs() {
        if disk::canonical(&dir).is_ok_and(|one| seen.insert(one)) {
            roots.push(dir);
        }
    }
    roots
}

/// A lock of a sitting that is over, and what a killed program left half written.
pub(super) fn is_dropped(file: &HeldFile) -> bool {
    let name = file.path.file_name().unwrap_or_default().to_string_lossy();
    is_part(&file.path) || name.ends_with(LOCK_ENDING)
}

pub(super) fn bytes_of(path: &Path) -> Result<Vec<u8>, NotKept> {
    disk::read_found(path, Size::SESSION).map_err(NotKept::io(path, "read the file"))
}

/// The path, or where another file has it one of the same kind that no other file has.
fn free(path: &Path, bytes: &[u8]) -> PathBuf {
    let there = disk::read_found(path, Size::SESSION);
    if fs::symlink_metadata(path).is_err() || there.is_ok_and(|there| there == bytes) {
        return path.to_owned();
    }
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    let (stem, ending) = name.split_once('.').unwrap_or((&name, ""));
    let mark: String = digest(bytes).chars().take(8).collect();
    path.with_file_name(format!("{stem}-{mark}.{ending}"))
}

/// Notes beside a sitting; where some are there, both are joined.
fn put_notes(path: &Path, bytes: &[u8]) -> Result<(), NotKept> {
    let Ok(there) = disk::read_found(path, Size::PAPER) else {
        return put_new(path, bytes);
    };
    if there != bytes {
        let one = notes::from_bytes(path, &there)?.value;
        let other = notes::from_bytes(path, bytes)?.value;
        held::put_notes(path, &one.joined(&other))?;
    }
    Ok(())
}

/// Writes a file that must be new, or say the same already: that is written again, since a program that was killed may
/// not have brought it to the disk, and what it was made from is about to go.
pub(super) fn put_new(path: &Path, bytes: &[u8]) -> Result<(), NotKept> {
    if fs::symlink_metadata(path).is_ok() {
        let same = disk::read_found(path, Size::SESSION).is_ok_and(|there| there == bytes);
        if !same {
            return Err(NotKept::InTheWay(path.to_owned()));
        }
    }
    let folder = disk::folder_of(path);
    disk::create_private_dir_all(folder).map_err(NotKept::io(folder, "make the folder"))?;
    disk::put(path, bytes).map_err(NotKept::io(path, "write the file"))
}
