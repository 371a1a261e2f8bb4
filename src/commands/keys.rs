//! The keys for somebody's sittings: those named, and those beside the papers.

use std::fs;
use std::path::{Path, PathBuf};

use super::desk::Desk;
use super::failure::Failure;
use crate::domain::key::Key;
use crate::domain::paper::Outline;
use crate::storage::files::{self, folders};

/// Keys and papers at hand.
pub(super) struct FoundKeys {
    /// The keys that were named.
    pub(super) named: Vec<Key>,
    /// The papers at hand.
    pub(super) desk: Desk,
}

impl FoundKeys {
    /// Reads the named keys; one in a folder that cannot be read is told in `remarks`, since it may be any
    /// paper's.
    ///
    /// # Errors
    /// A key named by its own file that cannot be read.
    pub(super) fn look(
        sessions: &Path,
        named: &[PathBuf],
        remarks: &mut Vec<String>,
    ) -> Result<Self, Failure> {
        let folder = named.iter().find(|path| path.is_dir());
        let desk = Desk::look(sessions, folder.map(PathBuf::as_path));
        Self::beside(desk, named, remarks)
    }

    /// The same with papers that are known already.
    ///
    /// # Errors
    /// A key named by its own file that cannot be read.
    pub(super) fn beside(
        desk: Desk,
        named: &[PathBuf],
        remarks: &mut Vec<String>,
    ) -> Result<Self, Failure> {
        let mut keys = Vec::new();
        for path in named {
            if !path.is_dir() {
                keys.push(files::key::load(path).map_err(Failure::could_not)?);
                continue;
            }
            for path in keys_in(path) {
                match files::key::load(&path) {
                    Ok(key) => keys.push(key),
                    Err(trouble) => remarks.push(trouble.to_string()),
                }
            }
        }
        Ok(Self { named: keys, desk })
    }

    /// A key that fits that paper: a named one, or else one beside a paper.
    pub(super) fn key_of(&self, outline: &Outline) -> Option<Key> {
        let named = self.named.iter().find(|key| key.fits(outline).is_ok());
        named.cloned().or_else(|| self.desk.key_of(outline))
    }
}

/// The key files in a folder, by name.
fn keys_in(folder: &Path) -> Vec<PathBuf> {
    let entries = fs::read_dir(folder).into_iter().flatten().flatten();
    let paths = entries.map(|entry| entry.path());
    let mut keys: Vec<_> = paths
        .filter(|path| path.to_string_lossy().ends_with(folders::KEY_ENDING))
        .collect();
    keys.sort();
    keys
}
