//! Which sittings are meant: files, folders of them, or pupils.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::Catalogue;
use super::near::{folder_of, one_name};
use crate::domain::character::ShownPath as _;
use crate::domain::header::Alias;
use crate::domain::standing::Exclusion;
use crate::storage::disk;
use crate::storage::files::folders::NoFolder;
use crate::storage::journal::{self, Barred, Copied, JournalError, Listing, Record};

/// The sittings that are meant.
#[derive(Debug, Default)]
pub struct Meant {
    /// Those that can be read, in the order of the words, each sitting once.
    pub records: Vec<Arc<Record>>,
    /// Those that cannot, each with its reason.
    pub unreadable: Vec<(PathBuf, Arc<JournalError>)>,
    /// Files that hold a sitting once more.
    pub copies: Vec<Copied>,
    /// Words that mean none.
    pub missing: Vec<NoSittings>,
    /// The files that were named themselves.
    named: BTreeSet<PathBuf>,
}

/// Why a word means no sitting.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NoSittings {
    /// An empty folder.
    #[error("there are no sittings in the folder {}; check its name", .0.shown())]
    Folder(PathBuf),
    /// No file, no folder and no pupil.
    #[error("there's no file or folder `{alias}` here, and no sitting of a pupil `{alias}` in {}; check the name, or name the folder of sittings with --sessions DIR", sessions.shown())]
    Pupil {
        /// The word.
        alias: Alias,
        /// Where sittings are kept.
        sessions: PathBuf,
    },
}

/// Why the sittings that are meant cannot be looked for.
#[derive(Debug, thiserror::Error)]
pub enum NoLook {
    /// A folder that cannot be looked into.
    #[error(transparent)]
    Journal(#[from] JournalError),
    /// A pupil is meant, and there is no folder of sittings.
    #[error(transparent)]
    NoFolder(#[from] NoFolder),
}

impl Meant {
    /// Whether that file was named itself, so that it must not be left out in silence.
    pub fn is_named(&self, file: &Path) -> bool {
        self.named.contains(file)
    }
}

impl Catalogue {
    /// The sittings that words mean. A word is a file or a folder if there is one of that name, else a pupil's alias.
    ///
    /// # Errors
    /// A folder that cannot be looked into, or no folder for sittings where a pupil is meant.
    pub fn sittings(&self, words: &[PathBuf]) -> Result<Meant, NoLook> {
        let mut found = Listing::default();
        let mut meant = Meant::default();
        let mut seen = BTreeSet::new();
        for word in words {
            let alias = word.to_str().and_then(|text| Alias::new(text).ok());
            let listing = if word.is_dir() {
                let listing = Listing::clone(&*self.listing(word)?);
                if listing.is_empty() {
                    meant.missing.push(NoSittings::Folder(word.clone()));
                }
                listing
            } else if let Some(alias) = alias.filter(|_| !word.exists()) {
                let listing = self.of_pupil(&alias)?;
                if listing.is_empty() {
                    let sessions = self.sessions()?.to_owned();
                    meant.missing.push(NoSittings::Pupil { alias, sessions });
                }
                listing
            } else {
                meant.named.insert(word.clone());
                of_file(word)
            };
            let Listing {
                records,
                unreadable,
                copies,
                damaged: _,
            } = listing;
            let records = records.into_iter();
            found
                .records
                .extend(records.filter(|record| seen.insert(one_name(&record.path))));
            let unreadable = unreadable.into_iter();
            found
                .unreadable
                .extend(unreadable.filter(|(path, _)| seen.insert(one_name(path))));
            found.copies.extend(copies);
        }
        found.settle();
        let mut said = BTreeSet::new();
        found.copies.retain(|copy| said.insert(copy.path.clone()));
        // Of many files that are named most lie in the same folders.
        let folders = meant.named.iter().map(|file| disk::folder_of(file));
        for folder in folders.collect::<BTreeSet<_>>() {
            for (id, reason) in journal::withdrawn_in(folder) {
                found.withdraw(&BTreeSet::from([id]), reason);
            }
        }
        Ok(Meant {
            records: found.records,
            unreadable: found.unreadable,
            copies: found.copies,
            ..meant
        })
    }

    /// Why the sitting of a file that was named does not count beside the others among the sittings, or beside those
    /// of its own folder where it lies elsewhere; as the files are now, whatever was read before.
    ///
    /// # Errors
    /// A folder that cannot be looked into.
    pub fn barred(&self, file: &Path) -> Result<Option<Barred>, JournalError> {
        let sessions = self.sessions.as_deref().ok();
        let below = sessions.filter(|dir| one_name(file).starts_with(one_name(dir)));
        let folder = below.map_or_else(|| folder_of(file), Path::to_owned);
        Ok(journal::list(&folder)?.barred(file))
    }

    /// A pupil's sittings: in their folder, and wherever else among the sittings one is theirs. Whose a file is that
    /// cannot be read, only its folder tells.
    ///
    /// # Errors
    /// A folder that cannot be looked into, or none for sittings.
    pub fn of_pupil(&self, pupil: &Alias) -> Result<Listing, NoLook> {
        let sessions = self.sessions()?;
        let own = sessions.join(pupil.as_str());
        let mut listing = Listing::clone(&*self.listing(sessions)?);
        // A sitting that lies under another alias as well is read from the other file: this one is theirs too.
        for copied in &listing.copies {
            let is_theirs = |(other, _): &(Alias, Alias)| other == pupil;
            if copied.aliases.as_ref().is_some_and(is_theirs)
                && !copied.set_aside
                && let Ok(mut record) = journal::read(&copied.path)
            {
                record.withdrawn = Some(Exclusion::Disputed);
                listing.records.push(Arc::new(record));
            }
        }
        listing
            .records
            .retain(|record| record.header.pupil == *pupil);
        listing
            .unreadable
            .retain(|(path, _)| path.starts_with(&own));
        listing
            .damaged
            .retain(|record| record.header.pupil == *pupil);
        let records = &listing.records;
        let is_theirs = |path: &Path| records.iter().any(|record| record.path == path);
        listing
            .copies
            .retain(|copied| is_theirs(&copied.kept) || is_theirs(&copied.path));
        Ok(listing)
    }
}

fn of_file(path: &Path) -> Listing {
    let mut listing = Listing::default();
    match journal::read(path) {
        Ok(record) => listing.records.push(Arc::new(record)),
        Err(reason) => listing.unreadable.push((path.to_owned(), Arc::new(reason))),
    }
    listing
}
