//! `gather`: sittings, notes, practice and registers from sticks and other folders come together in one.

use std::io::Write;
use std::path::{Path, PathBuf};

use super::failure::Failure;
use super::outlets::{remark, written};
use crate::storage::keeping::{self, LeftBehind};
use crate::words::entry::new_here;
use crate::words::keeping as words;

/// What `gather` takes.
#[derive(Debug, clap::Args)]
pub struct GatherArgs {
    /// Folders that hold sittings at any depth: a stick, another computer's folder, an export
    #[arg(value_name = "FROM", required = true)]
    from: Vec<PathBuf>,
}

/// Gathers the folders into the folder of sittings; what they hold stays there too.
///
/// # Errors
/// A folder that is not there or is the same as the other, or the system's refusal.
pub fn run(
    args: &GatherArgs,
    sessions: &Path,
    out: &mut dyn Write,
    aside: &mut dyn Write,
) -> Result<(), Failure> {
    let report = keeping::gather(&args.from, sessions)?;
    for files in &report.differing {
        remark(aside, words::differing(files));
    }
    if !report.new_pupils.is_empty() {
        remark(aside, new_here(&report.new_pupils));
    }
    for other in &report.registers {
        if !other.differs.is_empty() {
            remark(aside, words::register_differs(&other.kept, &other.differs));
        }
        if !other.missing.is_empty() {
            remark(
                aside,
                words::registers_disagree(&other.kept, &other.missing),
            );
        }
    }
    for left in &report.left {
        let said = match left {
            LeftBehind::Nothing(folder) => words::nothing_in(folder),
            LeftBehind::Unread(file, reason) => words::left_unread(file, reason),
            LeftBehind::Link(file) => words::left_link(file),
            LeftBehind::UnfinishedExport(folder) => words::left_unfinished_export(folder),
            LeftBehind::Whose(file) => words::left_nobodys(file),
            LeftBehind::NotesOfNone(file) => words::left_notes(file),
            LeftBehind::InUse(file) => words::left_in_use(file),
            LeftBehind::HereUnder(was, is, sittings) => words::here_under(was, is, *sittings),
            LeftBehind::Sheets(sheets) => words::sheets_differ(&sheets.files, &sheets.apart),
        };
        remark(aside, said);
    }
    let counts = words::GatherCounts {
        new: report.new,
        longer: report.longer,
        known: report.known,
        exercises: report.exercises,
        notes: report.notes,
        registered: report.registered,
    };
    written(out, &format!("{}\n", words::gathered(&counts, sessions)))
}
