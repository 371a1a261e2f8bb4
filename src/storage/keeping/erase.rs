//! Everything held on a pupil goes, and what cannot be reached is said.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use chrono::{DateTime, FixedOffset};
use serde::Serialize;

use super::claim::Claim;
use super::error::NotKept;
use super::held::{Holdings, entries, put_register, take_away};
use super::known_by::is_description;
use super::pages::{self, Remake, WrittenPage};
use super::rename::{bytes_of, roots};
use super::sweep::{self, mentions};
use super::unfinished::{self, Job, PageAgain};
use crate::domain::header::Alias;
use crate::storage::disk;
use crate::storage::files::register;

/// Why a pupil's files are erased. Nothing else is put down of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reason {
    /// Somebody who may ask for it did.
    Request,
    /// The time for which they were to be kept is over.
    Retention,
    /// They should not have been made.
    Mistake,
    /// Anything else.
    Other,
}

impl Reason {
    /// Its code in the record.
    pub const fn code(self) -> &'static str {
        match self {
            Self::Request => "request",
            Self::Retention => "retention",
            Self::Mistake => "mistake",
            Self::Other => "other",
        }
    }
}

/// What an erasure would take.
#[derive(Debug)]
pub struct Erasure {
    sessions: PathBuf,
    pupil: Alias,
    held: Vec<(PathBuf, Holdings)>,
    pages: Vec<WrittenPage>,
    elsewhere: Vec<PathBuf>,
    exports: Vec<PathBuf>,
    is_registered: bool,
    begun: Option<Job>,
}

/// What an erasure does with a page.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PageFate {
    /// It goes.
    Goes,
    /// It is about others too, and is made again without the pupil.
    MadeAgain,
}

/// What was erased.
#[derive(Debug, Default)]
pub struct Erased {
    /// How many files, of the whole erasure where it was killed and begun again.
    pub files: usize,
    /// Pages that were about others as well and are gone, and of which nobody knows how to make them again.
    pub group_pages: Vec<PathBuf>,
    /// Those that are to be made again now.
    pub again: Vec<PageAgain>,
    /// What is still there.
    pub unreached: Vec<Unreached>,
}

/// Something that erasing does not reach.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Unreached {
    /// A page that is not as it was written, and so is not taken away.
    ChangedPage(PathBuf),
    /// A page that was put down by the folder of sittings of which this one is a copy.
    PageOfAnother(PathBuf),
    /// A file that was deleted here has another name elsewhere, or was a link to elsewhere.
    OtherName(PathBuf),
    /// A file of somebody else's that mentions the alias.
    Mention(PathBuf),
    /// A class list in which the alias stands.
    List(PathBuf),
    /// A folder into which everything kept of the pupil was copied.
    Export(PathBuf),
}

#[derive(Serialize)]
struct ErasureRecord<'a> {
    at: String,
    files: usize,
    reason: &'a str,
    by: &'a str,
}

impl Erasure {
    /// Looks for what is held on a pupil; nothing is changed.
    ///
    /// # Errors
    /// Nothing held, or an open sitting.
    pub fn of(sessions: &Path, pupil: &Alias) -> Result<Self, NotKept> {
        let nobody = || NotKept::Nobody {
            alias: pupil.clone(),
            sessions: sessions.to_owned(),
        };
        if !sessions.is_dir() {
            return Err(nobody());
        }
        let is_it = |job: &Job| matches!(job, Job::Erase { pupil: own, .. } if own.is_same(pupil));
        let begun = unfinished::nothing_but(sessions, is_it)?;
        let mut held = Vec::new();
        for root in roots(sessions) {
            let own = Holdings::of(&root, pupil)?;
            own.all_over()?;
            held.push((root, own));
        }
        let io = NotKept::io(sessions, "read pages.ron in the folder");
        let mut pages = pages::load(sessions).map_err(io)?;
        pages.retain(|page| page.is_about(pupil));
        let exports = pages.iter().filter(|page| page.is_export());
        let exports = exports.map(|page| page.path.clone()).collect();
        pages.retain(|page| !page.is_list());
        let is_of_another = |page: &mut WrittenPage| page.is_of_another(sessions);
        let elsewhere = pages.extract_if(.., is_of_another);
        let elsewhere = elsewhere.map(|page| page.path).collect();
        let registers = registers(sessions)?;
        let mut is_registered = false;
        for path in &registers {
            is_registered |= pupil.is_in(&String::from_utf8_lossy(&bytes_of(path)?));
        }
        let found = Self {
            sessions: sessions.to_owned(),
            pupil: pupil.clone(),
            held,
            pages,
            elsewhere,
            exports,
            is_registered,
            begun,
        };
        let none = found.files() == 0 && !is_registered && found.begun.is_none();
        if none { Err(nobody()) } else { Ok(found) }
    }

    /// How many sittings there are.
    pub fn sittings(&self) -> usize {
        let held = self.held.iter().flat_map(|(_, held)| &held.files);
        held.filter(|file| file.session.is_some()).count()
    }

    /// How many files there are, known pages and all.
    pub fn files(&self) -> usize {
        let held = self.held.iter().map(|(_, held)| held.files.len());
        held.sum::<usize>() + self.pages.len()
    }

    /// The pages that are known to have been written, and what becomes of each.
    pub fn pages(&self) -> impl Iterator<Item = (&Path, PageFate)> {
        let again = self.again();
        let goes = |page: &&WrittenPage| !is_there(&page.path) || page.is_unchanged();
        self.pages.iter().filter(goes).map(move |page| {
            let is_made = again.iter().any(|own| own.path == page.path);
            let fate = if is_made {
                PageFate::MadeAgain
            } else {
                PageFate::Goes
            };
            (page.path.as_path(), fate)
        })
    }

    /// Whether the register has an entry.
    pub const fn is_registered(&self) -> bool {
        self.is_registered
    }

    /// Whether this was begun before, and is only to be finished.
    pub const fn was_begun(&self) -> bool {
        self.begun.is_some()
    }

    /// Pages about others as well, which can be made again without the pupil.
    fn again(&self) -> Vec<PageAgain> {
        let several = self.pages.iter().filter(|page| page.pupils.len() > 1);
        let unchanged = several.filter(|page| page.is_unchanged());
        let mut again = Vec::<PageAgain>::new();
        for page in unchanged {
            let how = page.again.as_ref().and_then(|own| own.without(&self.pupil));
            let named = self.pupil.is_in(&page.path.to_string_lossy());
            if let Some(how) = how.filter(|how| !named && how.only_makes_a_page())
                && again.iter().all(|known| known.how != how)
            {
                let path = page.path.clone();
                again.push(PageAgain { path, how });
            }
        }
        again
    }

    /// Takes everything away. What is to be made again is made by the caller, who then says that it is done
    /// ([`finish_erasure`]): until then the same erasure goes on when it is run again. `near` are folders in which
    /// class lists may lie.
    ///
    /// # Errors
    /// The system's refusal: then the same again goes on.
    pub fn run(
        self,
        reason: Reason,
        by: &str,
        now: DateTime<FixedOffset>,
        near: &[PathBuf],
    ) -> Result<Erased, NotKept> {
        let _claim = Claim::take(&self.sessions)?;
        let job = self.begun.clone().unwrap_or_else(|| Job::Erase {
            pupil: self.pupil.clone(),
            at: now,
            files: self.files(),
            reason: reason.code().to_owned(),
            by: by.to_owned(),
            again: self.again(),
        });
        unfinished::begin(&self.sessions, &job)?;
        let mut erased = Erased::default();
        if let Job::Erase { again, .. } = &job {
            let ours = again.iter().filter(|page| page.how.only_makes_a_page());
            erased.again = ours.cloned().collect();
        }
        let io = NotKept::io(&self.sessions, "read pages.ron in the folder");
        let lists = pages::lists_with(&self.sessions, near, &self.pupil).map_err(io)?;
        for (_, held) in &self.held {
            take_held(held, &mut erased)?;
        }
        let io = NotKept::io(&self.sessions, "read pages.ron in the folder");
        let written = pages::load(&self.sessions).map_err(io)?;
        self.take_pages(&written, &mut erased)?;
        self.take_register_entries()?;
        sweep::caches(&self.pupil)?;
        for (root, _) in &self.held {
            sweep::parts(root, &self.pupil)?;
            let left = mentions(root, &self.pupil)?.into_iter();
            let left = left.filter(|path| !unfinished::is_it(&self.sessions, path));
            let left = left.filter(|path| !is_one_of(&lists, path));
            let left = left.filter(|path| !pages::is_on_others(&written, path, &self.pupil));
            erased.unreached.extend(left.map(Unreached::Mention));
        }
        erased
            .unreached
            .extend(lists.into_iter().map(Unreached::List));
        let elsewhere = self.elsewhere.iter().filter(|page| page.exists()).cloned();
        erased
            .unreached
            .extend(elsewhere.map(Unreached::PageOfAnother));
        let exports = self.exports.iter().cloned();
        erased.unreached.extend(exports.map(Unreached::Export));
        erased.files = self.put_down(&job)?;
        Ok(erased)
    }

    fn take_pages(&self, written: &[WrittenPage], erased: &mut Erased) -> Result<(), NotKept> {
        for page in &self.pages {
            let there = is_there(&page.path);
            let ours = page.is_as_written();
            if ours.map_err(NotKept::io(&page.path, "read the page"))? || !there {
                let about = pages::metadata_beside(&page.path);
                for path in [&page.path, &about] {
                    let io = NotKept::io(path, "delete what was left half written of the page");
                    disk::take_away_parts(path).map_err(io)?;
                }
                // Killed in between, what describes a table is still known by itself; a table is not.
                take_away(&page.path)?;
                if is_description(&about) {
                    take_away(&about)?;
                }
                let again = erased.again.iter().any(|own| own.path == page.path);
                if page.pupils.len() > 1 && !again {
                    erased.group_pages.push(page.path.clone());
                }
            } else {
                let path = page.path.clone();
                erased.unreached.push(Unreached::ChangedPage(path));
            }
        }
        // What was not put down may be the pupil's; what was is by what it says. Where the folder is a link, what lies
        // there is somewhere else.
        let folder = pages::folder_in(&self.sessions);
        let left = mentions(&folder, &self.pupil)?.into_iter();
        for path in left.filter(|path| !pages::is_on_others(written, path, &self.pupil)) {
            if disk::is_link(&folder) {
                erased.unreached.push(Unreached::Mention(path));
            } else {
                take_away(&path)?;
                erased.group_pages.push(path);
            }
        }
        let mut all = written.to_vec();
        all.retain(|page| !page.is_about(&self.pupil) || page.is_list());
        for page in &mut all {
            page.pupils.retain(|own| !own.is_same(&self.pupil));
            let names = |own: &Remake| own.names(&self.pupil);
            page.again = page.again.take().filter(|own| !names(own));
        }
        all.retain(|page| !page.is_list() || !page.pupils.is_empty());
        if all != written {
            let io = NotKept::io(&self.sessions, "write pages.ron in the folder");
            pages::save(&self.sessions, &all).map_err(io)?;
        }
        Ok(())
    }

    fn take_register_entries(&self) -> Result<(), NotKept> {
        for path in registers(&self.sessions)? {
            let bytes = bytes_of(&path)?;
            if !self.pupil.is_in(&String::from_utf8_lossy(&bytes)) {
                continue;
            }
            let mut known = register::from_bytes(&path, &bytes)?.value;
            known.pupils.retain(|own| !own.alias.is_same(&self.pupil));
            put_register(&path, &known)?;
        }
        Ok(())
    }

    /// Puts the erasure down, once: its day, how many files, why and by whom, and nothing of the pupil.
    fn put_down(&self, job: &Job) -> Result<usize, NotKept> {
        let Job::Erase {
            at,
            files,
            reason,
            by,
            ..
        } = job
        else {
            return Ok(0);
        };
        let path = self.sessions.join("erasures.ron");
        let mut text = if path.exists() {
            String::from_utf8_lossy(&bytes_of(&path)?).into_owned()
        } else {
            String::new()
        };
        let record = ErasureRecord {
            at: at.to_rfc3339(),
            files: *files,
            reason,
            by,
        };
        let line = ron::to_string(&record).map_err(std::io::Error::other);
        let line = line.map_err(NotKept::io(&path, "write the file"))? + "\n";
        if !text.contains(&line) {
            text += &line;
            disk::put(&path, text.as_bytes()).map_err(NotKept::io(&path, "write the file"))?;
        }
        Ok(*files)
    }
}

/// The pages are made again: nothing of the erasure is left to do.
///
/// # Errors
/// The system's refusal.
pub fn finish_erasure(sessions: &Path) -> Result<(), NotKept> {
    unfinished::end(sessions)
}

/// Whether anything is there, be it a link that leads nowhere.
fn is_there(path: &Path) -> bool {
    fs::symlink_metadata(path).is_ok()
}

fn is_one_of(files: &[PathBuf], path: &Path) -> bool {
    disk::canonical(path).is_ok_and(|path| files.contains(&path))
}

fn take_held(held: &Holdings, erased: &mut Erased) -> Result<(), NotKept> {
    for file in &held.files {
        if file.has_other_names {
            erased
                .unreached
                .push(Unreached::OtherName(file.path.clone()));
        }
        take_away(&file.path)?;
    }
    for folder in &held.folders {
        disk::take_away_folder(folder).map_err(NotKept::io(folder, "delete the folder"))?;
    }
    Ok(())
}

/// The register, and those that came from elsewhere and lie beside it.
fn registers(sessions: &Path) -> Result<BTreeSet<PathBuf>, NotKept> {
    let all = entries(sessions)?.into_iter();
    let is_register = |path: &PathBuf| {
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        let ours = name.starts_with("register") && name.ends_with(".ron");
        ours && fs::symlink_metadata(path).is_ok_and(|about| about.is_file())
    };
    Ok(all.filter(is_register).collect())
}
