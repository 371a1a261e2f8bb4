//! Pages and tables that were written are put down, so that erasing a pupil finds them.

use std::collections::BTreeSet;
use std::io::Write;
use std::path::Path;

use super::outlets::remark;
use crate::domain::header::Alias;
use crate::storage::catalogue::Catalogue;
use crate::storage::keeping::pages;
use crate::words::keeping::page_not_noted;

/// Puts down that a page on these pupils was written. A page is written whether or not this can be done.
pub(super) fn note<'a>(
    catalogue: &Catalogue,
    page: &Path,
    pupils: impl IntoIterator<Item = &'a Alias>,
    aside: &mut dyn Write,
) {
    if let Ok(sessions) = catalogue.sessions() {
        note_in(sessions, page, pupils, aside);
    }
}

/// The same with a folder of sittings that is known.
pub(super) fn note_in<'a>(
    sessions: &Path,
    page: &Path,
    pupils: impl IntoIterator<Item = &'a Alias>,
    aside: &mut dyn Write,
) {
    let pupils: BTreeSet<Alias> = pupils.into_iter().cloned().collect();
    if let Err(error) = pages::note(sessions, page, pupils) {
        remark(aside, page_not_noted(page, &error.to_string()));
    }
}
