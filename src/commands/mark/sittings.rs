//! Which sittings are meant: files, folders of them, or a pupil.

use std::path::{Path, PathBuf};

use crate::commands::failure::Failure;
use crate::domain::header::Alias;
use crate::storage::files::folders;
use crate::storage::journal::{self, Listing};

/// A session file to mark.
pub(super) struct Wanted {
    pub(super) path: PathBuf,
    /// Whether the file itself was named, so that it must not be left out in silence.
    pub(super) by_name: bool,
}

/// The files that are meant, and a line for each word that means none.
///
/// A word is a file or a folder if there is one of that name, else a pupil's alias.
///
/// # Errors
/// A folder that cannot be looked into, or no folder for sittings.
pub(super) fn wanted(
    named: &[PathBuf],
    sessions: Option<&Path>,
) -> Result<(Vec<Wanted>, Vec<String>), Failure> {
    let (mut wanted, mut missing) = (Vec::new(), Vec::new());
    for path in named {
        let alias = path.to_str().and_then(|text| Alias::new(text).ok());
        let found = if path.is_dir() {
            let found = files(journal::list(path)?);
            if found.is_empty() {
                missing.push(format!(
                    "there is no sitting in the folder {}; check the folder",
                    path.display()
                ));
            }
            found
        } else if let Some(alias) = alias.filter(|_| !path.exists()) {
            let dir = folders::sessions_dir(sessions).map_err(Failure::could_not)?;
            let found = of_pupil(&dir, &alias)?;
            if found.is_empty() {
                missing.push(format!(
                    "there is no file or folder `{alias}` here, and no sitting of a pupil `{alias}` in {}; check the name, or say where sittings are kept with --sessions DIR",
                    dir.display()
                ));
            }
            found
        } else {
            wanted.push(Wanted {
                path: path.clone(),
                by_name: true,
            });
            continue;
        };
        wanted.extend(found.into_iter().map(|path| Wanted {
            path,
            by_name: false,
        }));
    }
    Ok((wanted, missing))
}

/// Every session file of a listing, read or not: what is wrong with one is told when it is marked.
fn files(listing: Listing) -> Vec<PathBuf> {
    let read = listing.records.into_iter().map(|record| record.path);
    read.chain(listing.unreadable.into_iter().map(|(path, _)| path))
        .collect()
}

/// A pupil's files: those in their folder, and wherever else below `dir` a sitting is theirs.
fn of_pupil(dir: &Path, pupil: &Alias) -> Result<Vec<PathBuf>, Failure> {
    let own = dir.join(pupil.as_str());
    let mut listing = journal::list(dir)?;
    listing
        .records
        .retain(|record| record.header.pupil == *pupil);
    // Whose a file is that cannot be read, only its folder tells.
    listing
        .unreadable
        .retain(|(path, _)| path.starts_with(&own));
    Ok(files(listing))
}
