//! `group`: a group's figures on one paper, from a class answer list or from sittings.

mod list;
mod sittings;

use std::collections::BTreeSet;
use std::io::{self, IsTerminal, Write};
use std::path::{Path, PathBuf};
use std::sync::Arc;

use clap::{ArgGroup, Args};

use super::failure::Failure;
use super::outlets::written;
use super::pages::RemakeWords;
use super::read::{Excluded, entry, paper_and_key, sheets};
use super::tables::TableArgs;
use crate::cohort::entry::Entry;
use crate::cohort::items::{AnswersFrom, Figures, ItemTally};
use crate::domain::header::Alias;
use crate::domain::key::Key;
use crate::domain::marking::Take;
use crate::domain::paper::Outline;
use crate::reports::group::{GroupReport, csv, json, text};
use crate::storage::catalogue::Catalogue;
use crate::storage::journal::Record;

/// How the figures are taken, for those who want to follow them.
const CONVENTIONS: &str = "\
Each pupil counts once, by their first whole sitting (--every counts them all).
Marks follow the paper's rule. SDs and errors use n - 1; quartiles are at place (n - 1) p + 1 (type 7).
Discrimination is the correlation of right or not with the marks on all other questions. The top and bottom
27% share their last places among people with equal marks. Omitted: blank, with an answer further on. Not
reached: blank, with nothing after it. On the Rasch scale a blank is not right.
A void question is counted but not judged.";

/// What `group` takes.
#[derive(Clone, Debug, Args)]
#[command(after_help = CONVENTIONS, group = ArgGroup::new("source").required(true).args(["answers", "sittings"]))]
#[expect(
    clippy::struct_excessive_bools,
    reason = "each is a word that is typed or not"
)]
pub struct GroupArgs {
    /// The paper, for its marking rule: a file or an id
    #[arg(long, value_name = "PAPER")]
    pub paper: String,
    /// Its answer key [default: the one beside the paper]
    #[arg(long, visible_alias = "keys", value_name = "KEY")]
    pub key: Option<PathBuf>,
    /// A CSV file of answers, headed pupil,1,2,3,... with a row for each answer sheet; a row
    /// with empty cells only is a pupil who was absent
    #[arg(long, value_name = "FILE.csv")]
    pub answers: Option<PathBuf>,
    /// Sittings of the paper: session files, folders that hold them, or pupils
    #[arg(value_name = "SESSIONS", conflicts_with = "answers")]
    pub sittings: Vec<PathBuf>,
    /// Codes for a blank in the list, besides an empty cell and -; put commas between them
    #[arg(long, value_name = "CODES", value_delimiter = ',')]
    pub blank_codes: Vec<String>,
    /// Count every whole sitting of a pupil, not only the first
    #[arg(long, conflicts_with = "answers")]
    pub every: bool,
    /// Count only answers given in time, without the guess round
    #[arg(long, conflicts_with = "answers")]
    pub in_time: bool,
    /// Print JSON instead of the page
    #[arg(long)]
    pub json: bool,
    /// The figures for each question as CSV
    #[command(flatten)]
    pub tables: TableArgs,
    /// List who chose which option
    #[arg(long)]
    pub options: bool,
    /// Show no progress bar
    #[arg(long)]
    pub no_progress: bool,
}

/// Why there is no page on a group.
#[derive(Debug, thiserror::Error)]
enum GroupError<'a> {
    #[error(
        "there are no answer sheets to count; name sittings, or a list of answers with --answers"
    )]
    NoSheets,
    #[error("nobody has finished the whole paper `{0}` yet; this page needs one whole sitting")]
    NobodySat(&'a str),
}

impl GroupArgs {
    /// The words that make the same table again.
    fn words(&self, words: RemakeWords, sessions: Option<&Path>) -> Vec<String> {
        let words = words.with("--paper", [Path::new(&self.paper)]);
        let words = words.with("--key", self.key.as_deref());
        let words = words.with("--answers", self.answers.as_deref());
        let words = words.with("--blank-codes", self.blank_codes.iter().map(Path::new));
        let words = words.flag("--every", self.every);
        let words = words.flag("--in-time", self.in_time);
        words.paths(&self.sittings).words(sessions)
    }
}

/// Works the figures out and writes them to `out`; what somebody may want to know goes to `notes`.
///
/// # Errors
/// A file that cannot be used, or nothing to work with.
pub fn run(
    args: &GroupArgs,
    sessions: Option<&Path>,
    out: &mut dyn Write,
    notes: &mut dyn Write,
) -> Result<(), Failure> {
    let named = [&args.answers, &args.key].into_iter().flatten();
    let named = named.chain(&args.sittings).map(PathBuf::as_path);
    let named = named.chain([Path::new(&args.paper)]);
    args.tables.not_an_input(named)?;
    let (catalogue, paper, key) = paper_and_key(&args.paper, args.key.as_deref(), sessions)?;
    let paper = &paper.outline;
    let (figures, source, invented, pupils) = figures(args, &catalogue, paper, &key, notes)?;
    let about = |words: RemakeWords| (csv::table(&figures), pupils, args.words(words, sessions));
    args.tables.write(&catalogue, "group", about, notes)?;
    let text = if args.json {
        json::json(&figures).map_err(Failure::could_not)?
    } else {
        text::page(&GroupReport {
            paper,
            figures: &figures,
            source,
            invented,
            with_options: args.options,
        })
    };
    written(out, &text)
}

fn figures(
    args: &GroupArgs,
    catalogue: &Catalogue,
    paper: &Outline,
    key: &Key,
    notes: &mut dyn Write,
) -> Result<(Figures, AnswersFrom, bool, BTreeSet<Alias>), Failure> {
    let mut cohort = ItemTally::new(paper, key).map_err(|no| match &args.key {
        Some(key) => Failure::of_file(key, no),
        None => Failure::could_not(no),
    })?;
    let (mut invented, mut pupils) = (false, BTreeSet::new());
    let source = if let Some(path) = &args.answers {
        let (codes, told) = (&args.blank_codes, !args.no_progress);
        count_list(path, codes, paper, &mut cohort, told, notes)?;
        AnswersFrom::List
    } else {
        let asked = sittings::SheetsWanted {
            words: &args.sittings,
            take: take(args),
            entry: entry(args.every),
        };
        (invented, pupils) = sittings::count(&asked, catalogue, paper, &mut cohort, notes)?;
        match take(args) {
            Take::InTime => AnswersFrom::SittingsInTime,
            Take::WithGuessRound | Take::Worked => AnswersFrom::SittingsWithGuessRound,
        }
    };
    Ok((worked_out(&cohort)?, source, invented, pupils))
}

const fn take(args: &GroupArgs) -> Take {
    if args.in_time {
        Take::InTime
    } else {
        Take::WithGuessRound
    }
}

fn worked_out(cohort: &ItemTally) -> Result<Figures, Failure> {
    let figures = cohort.figures();
    figures.ok_or_else(|| Failure::could_not(GroupError::NoSheets))
}

/// The page on everybody's first whole sitting of this paper and version among these, and what does not count.
///
/// # Errors
/// A key that does not fit, or nobody has sat the paper whole.
pub(super) fn page_of(
    catalogue: &Catalogue,
    records: &[Arc<Record>],
    paper: &Outline,
    key: &Key,
) -> Result<(String, Excluded), Failure> {
    let (counted, left_out) = sheets(catalogue, records, paper, Entry::First);
    if counted.is_empty() {
        return Err(Failure::could_not(GroupError::NobodySat(&paper.id)));
    }
    let mut cohort = ItemTally::new(paper, key).map_err(Failure::could_not)?;
    let take = Take::WithGuessRound;
    let invented = sittings::add_all(catalogue, &counted, paper, take, &mut cohort)?;
    let page = text::page(&GroupReport {
        paper,
        figures: &worked_out(&cohort)?,
        source: AnswersFrom::SittingsWithGuessRound,
        invented,
        with_options: true,
    });
    Ok((page, left_out))
}

/// Counts every sheet of a class answer list; where somebody looks on, with a bar.
pub(super) fn count_list(
    path: &Path,
    blank_codes: &[String],
    paper: &Outline,
    cohort: &mut ItemTally,
    told: bool,
    notes: &mut dyn Write,
) -> Result<(), Failure> {
    let watched = told && io::stderr().is_terminal();
    list::count(path, blank_codes, paper, cohort, watched, notes)
}
