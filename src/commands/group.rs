//! `group`: a group's figures on one paper, from a class answer list or from sittings.

mod list;
mod sittings;

use std::fs;
use std::io::{self, IsTerminal, Write};
use std::path::{Path, PathBuf};

use clap::{ArgGroup, Args};

use super::failure::Failure;
use super::outlets::written;
use crate::cohort::items::{AnswersFrom, Cohort, Figures};
use crate::domain::key::Key;
use crate::domain::marking::Take;
use crate::domain::paper::Outline;
use crate::reports::group::{GroupReport, csv, json, text};
use crate::storage::disk::{self, Rights};
use crate::storage::files::key;
use crate::storage::journal::Record;

/// How the figures are taken, for those who want to follow them.
const CONVENTIONS: &str = "\
Marks are under the paper's rule; SDs and errors with n - 1. Quartiles are read at place (n - 1) p + 1 (type 7).
Discrimination is the correlation of right or not with the marks on all other questions. The top and bottom
27 % share their last places among people with equal marks. Omitted is blank with an answer further on, not
reached is blank with nothing after it. On the Rasch scale a blank is not right.
A void question is counted but not judged.";

/// The words of `group`.
#[derive(Clone, Debug, Args)]
#[command(after_help = CONVENTIONS, group = ArgGroup::new("source").required(true).args(["answers", "sittings"]))]
#[expect(
    clippy::struct_excessive_bools,
    reason = "each is a word that is typed or not"
)]
pub struct GroupWords {
    /// The paper, whose rule is applied: its file, or its id
    #[arg(long, value_name = "PAPER")]
    pub paper: String,
    /// Its key
    #[arg(long, value_name = "KEY")]
    pub key: PathBuf,
    /// A class answer list: CSV with the heading pupil,1,2,3,... and a line for each answer sheet
    #[arg(long, value_name = "FILE.csv")]
    pub answers: Option<PathBuf>,
    /// Sittings of the paper: session files, or folders that hold them
    #[arg(value_name = "SESSIONS", conflicts_with = "answers")]
    pub sittings: Vec<PathBuf>,
    /// What stands for a blank in the list, beside an empty cell and -
    #[arg(long, value_name = "CODES", value_delimiter = ',')]
    pub blank_codes: Vec<String>,
    /// Take only what was answered in time, and not the guess round
    #[arg(long, conflicts_with = "answers")]
    pub in_time: bool,
    /// Print one JSON object in place of the page
    #[arg(long)]
    pub json: bool,
    /// Write the figures by question to a file as well
    #[arg(long, value_name = "FILE")]
    pub csv: Option<PathBuf>,
    /// List who chose what
    #[arg(long)]
    pub options: bool,
    /// Show no progress bar
    #[arg(long)]
    pub no_progress: bool,
}

/// Works the figures out and writes them to `out`; what somebody may want to know goes to `notes`.
///
/// # Errors
/// A file that cannot be used, or nothing to work with.
pub fn run(
    words: &GroupWords,
    sessions: Option<&Path>,
    out: &mut dyn Write,
    notes: &mut dyn Write,
) -> Result<(), Failure> {
    if let Some(path) = &words.csv {
        not_an_input(path, words)?;
    }
    let paper = super::desk::paper_named(&words.paper, sessions)?.outline;
    let key = key::load_for(&words.key, &paper).map_err(Failure::could_not)?;
    let (figures, source, invented) = figures(words, &paper, &key, notes)?;
    if let Some(path) = &words.csv {
        let table = csv::csv(&figures).map_err(Failure::could_not)?;
        disk::replace(path, &table, Rights::Owner).map_err(|error| {
            Failure::could_not(format!(
                "{}: cannot be written ({error}); name another file with --csv",
                path.display()
            ))
        })?;
    }
    let text = if words.json {
        json::json(&figures).map_err(Failure::could_not)?
    } else {
        text::page(&GroupReport {
            paper: &paper,
            figures: &figures,
            source,
            invented,
            with_options: words.options,
        })
    };
    written(out, &text)
}

fn figures(
    words: &GroupWords,
    paper: &Outline,
    key: &Key,
    notes: &mut dyn Write,
) -> Result<(Figures, AnswersFrom, bool), Failure> {
    let mut cohort = Cohort::new(paper, key)
        .map_err(|no| Failure::could_not(format!("{}: {no}", words.key.display())))?;
    let mut invented = false;
    let source = if let Some(path) = &words.answers {
        let (codes, told) = (&words.blank_codes, !words.no_progress);
        count_list(path, codes, paper, &mut cohort, told, notes)?;
        AnswersFrom::List
    } else {
        invented = sittings::count(words, paper, &mut cohort, notes)?;
        if words.in_time {
            AnswersFrom::SittingsInTime
        } else {
            AnswersFrom::SittingsWithGuessRound
        }
    };
    Ok((worked_out(&cohort)?, source, invented))
}

fn worked_out(cohort: &Cohort) -> Result<Figures, Failure> {
    let figures = cohort.figures();
    figures.ok_or_else(|| Failure::could_not("there are no answer sheets"))
}

/// The page on everybody's newest whole sitting of this paper and version among these.
///
/// # Errors
/// A key that does not fit, or nobody has sat the paper whole.
pub(super) fn page_of_newest(
    records: Vec<Record>,
    paper: &Outline,
    key: &Key,
) -> Result<String, Failure> {
    let newest = sittings::newest_whole(records, paper);
    if newest.is_empty() {
        return Err(Failure::could_not(format!(
            "nobody has sat the whole paper `{}` to its end yet; one whole sitting makes a page",
            paper.id
        )));
    }
    let mut cohort = Cohort::new(paper, key).map_err(Failure::could_not)?;
    let invented = sittings::add_all(
        &newest,
        paper,
        Take::WithGuessRound,
        &mut cohort,
        &mut io::sink(),
    )?;
    Ok(text::page(&GroupReport {
        paper,
        figures: &worked_out(&cohort)?,
        source: AnswersFrom::SittingsWithGuessRound,
        invented,
        with_options: true,
    }))
}

/// Counts every sheet of a class answer list; where somebody looks on, with a bar.
pub(super) fn count_list(
    path: &Path,
    blank_codes: &[String],
    paper: &Outline,
    cohort: &mut Cohort,
    told: bool,
    notes: &mut dyn Write,
) -> Result<(), Failure> {
    let watched = told && io::stderr().is_terminal();
    list::count(path, blank_codes, paper, cohort, watched, notes)
}

/// Writing over a file that was just read would lose it.
fn not_an_input(path: &Path, words: &GroupWords) -> Result<(), Failure> {
    let Ok(own) = fs::canonicalize(path) else {
        return Ok(());
    };
    let files = words
        .answers
        .iter()
        .chain(&words.sittings)
        .map(PathBuf::as_path);
    for input in files.chain([Path::new(&words.paper), &words.key]) {
        if fs::canonicalize(input).is_ok_and(|input| input == own) {
            return Err(Failure::WrongWords(format!(
                "{}: --csv would write over a file that is read; name another file",
                path.display()
            )));
        }
    }
    Ok(())
}
