//! Marks that a pupil is not to see: kept back in this run, or by the register.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::commands::failure::Failure;
use crate::domain::header::Header;
use crate::domain::key::Key;
use crate::storage::catalogue::Catalogue;

/// The key of a kept sitting, unless its pupil is not to see the marks; `marks` says so whatever the register does.
pub(super) fn key_of(
    unmarked: &BTreeSet<PathBuf>,
    catalogue: &Catalogue,
    path: &Path,
    sat: &Header,
    marks: Option<bool>,
) -> Result<Option<Arc<Key>>, Failure> {
    let register = catalogue.register().map_err(Failure::could_not)?;
    let arranged = register.is_none_or(|register| register.shows_marks(&sat.pupil));
    let shown = marks.unwrap_or(arranged) && !unmarked.contains(path);
    Ok(shown.then(|| catalogue.key_of(&sat.paper).ok()).flatten())
}
