//! The marks of a class answer list, counted sheet by sheet.

use std::io::Write;
use std::path::Path;

use crate::cohort::items::Cohort;
use crate::commands::desk;
use crate::commands::failure::Failure;
use crate::commands::group::count_list;
use crate::storage::files::key;
use crate::storage::files::marks::Marks;

/// Marks every sheet of the list under the paper's rule.
///
/// # Errors
/// A file that cannot be used, or a list without a sheet.
pub(super) fn marks(
    list: &Path,
    paper: &str,
    key_file: &Path,
    blank_codes: &[String],
    sessions: Option<&Path>,
    aside: &mut dyn Write,
) -> Result<Marks, Failure> {
    let paper = desk::paper_named(paper, sessions)?.outline;
    let key = key::load_for(key_file, &paper).map_err(Failure::could_not)?;
    let mut cohort = Cohort::new(&paper, &key)
        .map_err(|no| Failure::could_not(format_args!("{}: {no}", key_file.display())))?;
    count_list(list, blank_codes, &paper, &mut cohort, true, aside)?;
    let counts = cohort.marks().into_iter().collect();
    Ok(Marks { counts, without: 0 })
}
