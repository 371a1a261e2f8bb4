//! The marks of a class answer list, counted sheet by sheet.

use std::io::Write;
use std::path::Path;
use std::sync::Arc;

use crate::cohort::items::ItemTally;
use crate::commands::failure::Failure;
use crate::commands::group::count_list;
use crate::commands::read::paper_and_key;
use crate::domain::paper::Paper;
use crate::storage::files::marks::Marks;

/// Marks every sheet of the list under the paper's rule; gives the marks and the paper.
///
/// # Errors
/// A file that cannot be used, or a list without a sheet.
pub(super) fn marks(
    list: &Path,
    paper: &str,
    key: Option<&Path>,
    blank_codes: &[String],
    sessions: Option<&Path>,
    aside: &mut dyn Write,
) -> Result<(Marks, Arc<Paper>), Failure> {
    let (_, paper, key) = paper_and_key(paper, key, sessions)?;
    let outline = &paper.outline;
    let mut cohort = ItemTally::new(outline, &key).map_err(Failure::could_not)?;
    count_list(list, blank_codes, outline, &mut cohort, true, aside)?;
    let counts = cohort.marks().into_iter().collect();
    Ok((Marks { counts, without: 0 }, paper))
}
