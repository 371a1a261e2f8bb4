//! Answer sheets from a class answer list.

use std::io::Write;
use std::path::Path;

use super::progress::Progress;
use crate::cli::Failure;
use crate::coach::group::Cohort;
use crate::domain::paper::Outline;
use crate::files::FileTrouble;
use crate::files::answers::AnswerList;

/// Counts every sheet of the list; what is to be noted about the list goes to `notes`.
pub(super) fn count(
    path: &Path,
    blank_codes: &[String],
    paper: &Outline,
    cohort: &mut Cohort,
    mut progress: Progress,
    notes: &mut dyn Write,
) -> Result<(), Failure> {
    let mut list = AnswerList::open(path, paper, blank_codes).map_err(Failure::could_not)?;
    let counted = loop {
        match list.next_sheet() {
            Ok(Some(codes)) => {
                cohort.add(codes).map_err(Failure::could_not)?;
            }
            Ok(None) => break Ok(()),
            Err(trouble) => break Err(Failure::could_not(trouble)),
        }
        progress.sheet(|| (list.bytes_read(), list.size()), notes);
    };
    progress.end(notes);
    let about = list.notes();
    if !about.is_empty() {
        writeln!(notes, "{}", FileTrouble::lines(path, &about))?;
    }
    counted?;
    if cohort.people() == 0 {
        return Err(Failure::could_not(format!(
            "{}: there is a heading but no answer sheet; write a line for each sheet below it",
            path.display()
        )));
    }
    Ok(())
}
