//! The papers, keys, thresholds and sittings at hand: where each lies, and which file stands for it.
//!
//! A file is read once a run, whoever asks for it.

mod near;
mod sittings;

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard, OnceLock, PoisonError};

use super::files::folders::{self, NoFolder};
use super::files::{self, FileTrouble, register, thresholds};
use super::journal::{self, JournalError, Listing};
use crate::domain::character::ShownPath as _;
use crate::domain::key::{Key, Mismatch};
use crate::domain::paper::{Outline, Paper, PaperId};
use crate::domain::register::Register;
use crate::domain::thresholds::Thresholds;

pub use near::{KEY_ENDING, PAPER_ENDING, PaperFile, folder_of, key_beside, papers_in, tables_in};
pub use sittings::{Meant, NoLook, NoSittings};

/// Everything at hand in the folders near the sittings and near what was named.
pub struct Catalogue {
    sessions: Result<PathBuf, NoFolder>,
    /// Whether the folder of sittings was named: its thresholds then hold for every file.
    given: bool,
    /// What was named: files and folders beside which papers are looked for first.
    near: Vec<PathBuf>,
    papers: OnceLock<Vec<PaperFile>>,
    named: Vec<Arc<Key>>,
    only_named: bool,
    troubles: Vec<FileTrouble>,
    known: ReadOnce,
}

/// What was read once already.
#[derive(Default)]
struct ReadOnce {
    keys: Mutex<BTreeMap<PaperId, Result<Arc<Key>, NoKey>>>,
    limits: Mutex<BTreeMap<PathBuf, Arc<Thresholds>>>,
    listings: Mutex<BTreeMap<PathBuf, Arc<Listing>>>,
    register: OnceLock<Result<Option<Register>, FileTrouble>>,
}

/// Why there is no paper of a name.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NoPaper {
    /// Its file cannot be used.
    #[error(transparent)]
    Unusable(#[from] FileTrouble),
    /// No file is called so, and no paper is at hand.
    #[error(
        "there's no paper `{named}` here, and no other was found; name its file, or type `pacebell paper list` in a terminal: it offers to write sample papers"
    )]
    NoneAtHand {
        /// What was named.
        named: String,
    },
    /// No file, and no paper at hand, is called so.
    #[error("there's no paper `{named}` here; name its file, or use one of these ids: {ids}")]
    Unknown {
        /// What was named.
        named: String,
        /// The ids of the papers at hand.
        ids: String,
    },
}

/// Why there is no key for a paper.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NoKey {
    /// Of several keys that were named none is for this paper.
    #[error("none of the answer keys is for `{0}`; name the key of `{0}` as well")]
    NotNamed(String),
    /// The key that was named does not fit.
    #[error("{0}")]
    NamedMisfit(Mismatch),
    /// The key beside the paper does not fit.
    #[error("{}: {reason}", path.shown())]
    Misfit {
        /// The key.
        path: PathBuf,
        /// Why it does not fit.
        reason: Mismatch,
    },
    /// The key beside the paper cannot be used.
    #[error(transparent)]
    Unusable(#[from] FileTrouble),
    /// None lies beside a paper of this id.
    #[error(
        "there's no answer key for the paper `{0}`; put its .key.ron beside its .paper.ron, or name it with --key"
    )]
    None(String),
}

impl NoKey {
    /// Whether no key is for this paper at all, so that nothing is wrong with any.
    pub const fn is_of_another_paper(&self) -> bool {
        matches!(
            self,
            Self::NotNamed(_) | Self::None(_) | Self::NamedMisfit(Mismatch::OtherPaper { .. })
        )
    }
}

impl Catalogue {
    /// Looks where the sittings are kept, `sessions` if that was said, and near what was named. Nothing is read yet.
    pub fn open(sessions: Option<&Path>, near: &[PathBuf]) -> Self {
        Self {
            sessions: folders::sessions_dir(sessions),
            given: sessions.is_some(),
            near: near.to_vec(),
            papers: OnceLock::new(),
            named: Vec::new(),
            only_named: false,
            troubles: Vec::new(),
            known: ReadOnce::default(),
        }
    }

    /// Puts keys before those that lie beside the papers: key files, or folders of them.
    ///
    /// One in a folder that cannot be read may be any paper's: it stops nothing, and [`Self::troubles`] has it.
    ///
    /// # Errors
    /// A key named by its own file that cannot be used.
    pub fn with_keys(mut self, named: &[PathBuf]) -> Result<Self, FileTrouble> {
        for path in named {
            if !path.is_dir() {
                self.named.push(Arc::new(files::key::load(path)?));
                continue;
            }
            for path in near::keys_in(path) {
                match files::key::load(&path) {
                    Ok(key) => self.named.push(Arc::new(key)),
                    Err(trouble) => self.troubles.push(trouble),
                }
            }
        }
        self.near.extend_from_slice(named);
        Ok(self)
    }

    /// Leaves it at these keys, where any is named: they choose the papers that are meant.
    ///
    /// # Errors
    /// A key named by its own file that cannot be used.
    pub fn with_only_keys(self, named: &[PathBuf]) -> Result<Self, FileTrouble> {
        let only_named = !named.is_empty();
        Ok(Self {
            only_named,
            ..self.with_keys(named)?
        })
    }

    /// Where the sittings are kept.
    ///
    /// # Errors
    /// Nobody says where, and the system knows no home folder.
    pub fn sessions(&self) -> Result<&Path, NoFolder> {
        self.sessions.as_deref().map_err(|no| *no)
    }

    /// The folder of sittings, where it was named.
    pub fn given_sessions(&self) -> Option<&Path> {
        self.sessions.as_deref().ok().filter(|_| self.given)
    }

    /// The keys in named folders that cannot be used.
    pub fn troubles(&self) -> &[FileTrouble] {
        &self.troubles
    }

    /// The ids of the papers whose keys were named.
    pub fn named_keys(&self) -> BTreeSet<&str> {
        self.named.iter().map(|key| key.paper.as_str()).collect()
    }

    /// The papers at hand, by title; those that cannot be used come last.
    pub fn papers(&self) -> &[PaperFile] {
        self.papers.get_or_init(|| {
            let program = std::env::current_exe().ok();
            let installed = program.map_or_else(Vec::new, |program| near::installed(&program));
            near::papers_with(&self.folders(), &installed)
        })
    }

    /// Where sample papers may be written so that they are found: beside the sittings.
    pub fn samples_folder(&self) -> Option<PathBuf> {
        near::samples_beside(self.sessions.as_deref().ok()?)
    }

    /// Those of them that can be used, each with its file.
    fn sound(&self) -> impl Iterator<Item = (&Path, &Arc<Paper>)> {
        let files = self.papers().iter();
        files.filter_map(|file| Some((file.path.as_path(), file.paper.as_ref().ok()?)))
    }

    /// The folders in which papers, and keys beside them, are looked for.
    pub fn folders(&self) -> Vec<PathBuf> {
        near::folders(self.sessions.as_deref().ok(), &self.near)
    }

    /// Every key file where papers are looked for, each once.
    pub fn key_files(&self) -> Vec<PathBuf> {
        let mut seen = BTreeSet::new();
        let folders = self.folders();
        let found = folders.iter().flat_map(|folder| near::keys_in(folder));
        found
            .filter(|path| seen.insert(near::one_name(path)))
            .collect()
    }

    /// A paper by its file or by its id.
    ///
    /// # Errors
    /// No such paper, or a file that cannot be used.
    pub fn paper(&self, named: &str) -> Result<(Arc<Paper>, PathBuf), NoPaper> {
        let path = Path::new(named);
        let is_a_file = path.extension().is_some() || path.components().count() > 1;
        if is_a_file || path.is_file() {
            return Ok((Arc::new(files::paper::load(path)?), path.to_owned()));
        }
        let file_name = format!("{named}{PAPER_ENDING}");
        let is_meant = |file: &&PaperFile| {
            let id = file.paper.as_ref().map(|paper| paper.outline.id.as_str());
            let name = file.path.file_name().and_then(|name| name.to_str());
            id == Ok(named) || name == Some(file_name.as_str())
        };
        let Some(file) = self.papers().iter().find(is_meant) else {
            return Err(self.unknown(named));
        };
        let paper = file.paper.clone()?;
        Ok((paper, file.path.clone()))
    }

    fn unknown(&self, named: &str) -> NoPaper {
        let ids: BTreeSet<_> = self
            .sound()
            .map(|(_, paper)| paper.outline.id.as_str())
            .collect();
        let named = named.to_owned();
        if ids.is_empty() {
            return NoPaper::NoneAtHand { named };
        }
        NoPaper::Unknown {
            named,
            ids: ids.into_iter().collect::<Vec<_>>().join(", "),
        }
    }

    /// The paper of a sitting, in the very version that was sat.
    pub fn paper_of(&self, sat: &Outline) -> Option<Arc<Paper>> {
        self.paper_version(&PaperId::of(sat))
    }

    /// That very version of a paper.
    pub fn paper_version(&self, wanted: &PaperId) -> Option<Arc<Paper>> {
        let mut papers = self.sound().map(|(_, paper)| paper);
        papers
            .find(|paper| PaperId::of(&paper.outline) == *wanted)
            .map(Arc::clone)
    }

    /// The key of what was sat: one that was named, else one beside a paper of its id.
    ///
    /// # Errors
    /// There is none that fits, and why.
    pub fn key_of(&self, sat: &Outline) -> Result<Arc<Key>, NoKey> {
        let mut known = locked(&self.known.keys);
        let known = known.entry(PaperId::of(sat));
        known.or_insert_with(|| self.seek_key(sat)).clone()
    }

    fn seek_key(&self, sat: &Outline) -> Result<Arc<Key>, NoKey> {
        let mut why = None;
        for key in &self.named {
            match key.fits(sat) {
                Ok(()) => return Ok(Arc::clone(key)),
                Err(Mismatch::OtherPaper { .. }) if self.named.len() > 1 || !self.only_named => {}
                Err(misfit) => why = why.or(Some(NoKey::NamedMisfit(misfit))),
            }
        }
        if self.only_named {
            return Err(why.unwrap_or_else(|| NoKey::NotNamed(sat.id.clone())));
        }
        let same_id = self.sound().filter(|(_, paper)| paper.outline.id == sat.id);
        for path in same_id.filter_map(|(file, _)| key_beside(file)) {
            match files::key::load(&path).map(|key| key.fits(sat).map(|()| Arc::new(key))) {
                Ok(Ok(key)) => return Ok(key),
                Ok(Err(reason)) => why = why.or(Some(NoKey::Misfit { path, reason })),
                Err(trouble) => why = why.or(Some(NoKey::Unusable(trouble))),
            }
        }
        Err(why.unwrap_or_else(|| NoKey::None(sat.id.clone())))
    }

    /// The thresholds that a session file is judged by: those of the folder of sittings, where that was named or the
    /// file lies in it, else those of the file's own folder, else of the one above it, since pupils have folders of
    /// their own.
    ///
    /// # Errors
    /// A thresholds file that cannot be used.
    pub fn limits_for(&self, file: &Path) -> Result<Arc<Thresholds>, FileTrouble> {
        let sessions = self.sessions.as_deref().ok();
        if let Some(sessions) = sessions.filter(|dir| self.given || file.starts_with(dir)) {
            return self.limits_in(sessions);
        }
        let folder = folder_of(file);
        let own = thresholds::path_in(&folder).is_file();
        self.limits_in(&if own { folder } else { folder.join("..") })
    }

    /// The thresholds set in a folder of sittings.
    ///
    /// # Errors
    /// A thresholds file that cannot be used.
    pub fn limits_in(&self, folder: &Path) -> Result<Arc<Thresholds>, FileTrouble> {
        let mut known = locked(&self.known.limits);
        if let Some(limits) = known.get(folder) {
            return Ok(Arc::clone(limits));
        }
        let limits = Arc::new(thresholds::load(folder)?);
        known.insert(folder.to_owned(), Arc::clone(&limits));
        Ok(limits)
    }

    /// The tutor's register, where there is one beside the sittings.
    ///
    /// # Errors
    /// A register that cannot be used: what is arranged for a pupil is then not known.
    pub fn register(&self) -> Result<Option<&Register>, FileTrouble> {
        let read = self.known.register.get_or_init(|| match &self.sessions {
            Ok(sessions) => register::load(sessions),
            Err(NoFolder) => Ok(None),
        });
        read.as_ref().map(Option::as_ref).map_err(Clone::clone)
    }

    /// The sittings in a folder and in the pupils' folders below it.
    ///
    /// # Errors
    /// A folder that cannot be looked into.
    pub fn listing(&self, folder: &Path) -> Result<Arc<Listing>, JournalError> {
        let mut known = locked(&self.known.listings);
        if let Some(listing) = known.get(folder) {
            return Ok(Arc::clone(listing));
        }
        let listing = Arc::new(journal::list(folder)?);
        known.insert(folder.to_owned(), Arc::clone(&listing));
        Ok(listing)
    }
}

fn locked<T>(held: &Mutex<T>) -> MutexGuard<'_, T> {
    held.lock().unwrap_or_else(PoisonError::into_inner)
}
