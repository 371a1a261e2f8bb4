//! `drill`: one habit tried for a short while, apart from sittings, on pages or in lines.

use std::path::{Path, PathBuf};
use std::sync::mpsc::{self, RecvTimeoutError};
use std::thread;
use std::time::Duration;

use clap::Subcommand;

use super::failure::Failure;
use super::hall::Hall;
use super::lines::{read_line, say};
use crate::clock::{Clock as _, SystemClock};
use crate::domain::drill::{Drill, DrillKind, NotFilled, SweepDrill};
use crate::domain::header::Alias;
use crate::domain::labels::Labels;
use crate::domain::rule::QuestionNo;
use crate::domain::time::Elapsed;
use crate::plain::{BeforeStart, before_start};
use crate::screens::drill::{KeysPage, SweepPage};
use crate::screens::run::Leaving;
use crate::storage::catalogue::Catalogue;
use crate::storage::journal;
use crate::term::lines_are_wanted;
use crate::words::drill as words;

/// The blanks of a sheet without a paper.
const BLANKS: u16 = 25;

/// The options of a sheet without a paper.
const OPTIONS: &str = "ABCDE";

/// What can be tried.
#[derive(Debug, Subcommand)]
pub enum DrillWords {
    /// Fill blanks for 90 seconds, one letter each, as at the end of a paper
    Sweep(SweepArgs),
    /// Learn the keys of a sitting, without a clock
    Keys(KeysArgs),
}

/// What `drill sweep` takes.
#[derive(Debug, clap::Args)]
pub struct SweepArgs {
    /// The paper whose answer sheet is filled: a file or an id [default: 25 questions, A to E]
    paper: Option<String>,
    /// Whose drill it is; without an alias nothing is kept
    #[arg(long, value_name = "ALIAS", value_parser = Alias::new)]
    pupil: Option<Alias>,
    /// Use lines of text instead of pages, for screen readers and plain terminals
    #[arg(long)]
    plain: bool,
}

/// What `drill keys` takes.
#[derive(Debug, clap::Args)]
pub struct KeysArgs {
    /// Whose drill it is; without an alias nothing is kept
    #[arg(long, value_name = "ALIAS", value_parser = Alias::new)]
    pupil: Option<Alias>,
    /// Use lines of text instead of pages, for screen readers and plain terminals
    #[arg(long)]
    plain: bool,
}

/// Runs a drill, and keeps it where a pupil was named.
///
/// # Errors
/// A paper that cannot be used, no terminal, or a signal.
pub(super) fn run(drill: &DrillWords, given: Option<&Path>, dir: PathBuf) -> Result<(), Failure> {
    match drill {
        DrillWords::Sweep(args) => {
            let sheet = BlankSheet::of(args, given)?;
            let keep = Keep {
                dir: dir.clone(),
                pupil: args.pupil.clone(),
            };
            if args.plain || lines_are_wanted() {
                sweep_in_lines(sheet, &keep)
            } else {
                let mut hall = Hall::open(dir)?;
                let left = hall.sweep(sheet.page(), &mut |sweep| keep.sweep(sweep, &sheet));
                hall.close(left)
            }
        }
        DrillWords::Keys(args) => {
            let keep = Keep {
                dir: dir.clone(),
                pupil: args.pupil.clone(),
            };
            if args.plain || lines_are_wanted() {
                keys_in_lines(&keep)
            } else {
                let mut hall = Hall::open(dir)?;
                let left = learn(&mut hall, &keep);
                hall.close(left)
            }
        }
    }
}

/// Shows the keys on a page, and keeps that they were tried.
pub(super) fn learn(hall: &mut Hall, keep: &Keep) -> Leaving {
    let mut page = KeysPage::default();
    let left = hall.keys(&mut page);
    keep.keys(page.found(), words::KEYS.len());
    left
}

/// Where a drill is kept.
pub(super) struct Keep {
    /// The folder of sittings.
    pub(super) dir: PathBuf,
    /// Whose it is, where that was said.
    pub(super) pupil: Option<Alias>,
}

impl Keep {
    /// Keeps a sweep, and gives what is to be said of it.
    fn sweep(&self, sweep: &SweepDrill, sheet: &BlankSheet) -> Vec<String> {
        let drill = sweep.drill(sheet.id.clone(), SystemClock.local());
        let Some(pupil) = &self.pupil else {
            return words::sweep_result(&drill, None);
        };
        let before = journal::drills_of(&self.dir, pupil, DrillKind::Sweep);
        let mut said = words::sweep_result(&drill, before.last());
        if let Err(error) = journal::add_drill(&self.dir, pupil, &drill) {
            said.push(words::not_kept(error));
        }
        said
    }

    /// Keeps that the keys were offered and nobody wanted them.
    pub(super) fn declined(&self) {
        self.keys(0, words::KEYS.len());
    }

    /// Keeps that the keys were tried: they are offered once.
    fn keys(&self, found: usize, all: usize) {
        let Some(pupil) = &self.pupil else { return };
        let count = |many: usize| u16::try_from(many).unwrap_or(u16::MAX);
        let drill = Drill {
            kind: DrillKind::Keys,
            paper: None,
            at: SystemClock.local(),
            blanks: count(all),
            filled: count(found),
            took: Elapsed::ZERO,
        };
        // Nothing typed is in it; at worst the keys are offered again.
        let _kept = journal::add_drill(&self.dir, pupil, &drill);
    }
}

/// The sheet to fill.
struct BlankSheet {
    /// The paper's id.
    id: Option<String>,
    title: Option<String>,
    sweep: SweepDrill,
}

impl BlankSheet {
    fn of(args: &SweepArgs, given: Option<&Path>) -> Result<Self, Failure> {
        let Some(named) = &args.paper else {
            let labels = Labels::new(OPTIONS).map_err(Failure::could_not)?;
            let rows = (1..=BLANKS).map(|number| (QuestionNo(number), labels.clone()));
            return Ok(Self {
                id: None,
                title: None,
                sweep: SweepDrill::new(rows.collect()),
            });
        };
        let catalogue = Catalogue::open(given, &[PathBuf::from(named)]);
        let (paper, _) = catalogue.paper(named).map_err(Failure::could_not)?;
        let outline = &paper.outline;
        let rows = outline.numbers();
        let rows = rows.map(|question| (question, outline.labels(question).clone()));
        Ok(Self {
            id: Some(outline.id.clone()),
            title: Some(outline.title.clone()),
            sweep: SweepDrill::new(rows.collect()),
        })
    }

    fn about(&self) -> String {
        words::sheet(self.title.as_deref(), self.sweep.left())
    }

    fn page(&self) -> SweepPage {
        SweepPage::new(self.sweep.clone(), self.about())
    }
}

/// The moment, on a clock that nobody sets.
fn now() -> Elapsed {
    Elapsed(u64::try_from(SystemClock.read().mono_ms).unwrap_or_default())
}

fn sweep_in_lines(mut sheet: BlankSheet, keep: &Keep) -> Result<(), Failure> {
    let first = [
        words::WHAT_A_SWEEP_IS.to_owned(),
        sheet.about(),
        words::SWEEP_LINES.to_owned(),
    ];
    say(&first)?;
    loop {
        match read_line()?.as_deref().map(before_start) {
            Some(BeforeStart::Start) => break,
            Some(BeforeStart::Again | BeforeStart::Help) => say(&first)?,
            Some(BeforeStart::Unclear) => say(&[words::SWEEP_LINES.to_owned()])?,
            Some(BeforeStart::Leave) => return Ok(say(&[words::NOT_BEGUN.to_owned()])?),
            None => return Ok(()),
        }
    }
    let (send, typed) = mpsc::channel();
    thread::spawn(move || {
        while let Ok(Some(line)) = read_line() {
            if send.send(line).is_err() {
                return;
            }
        }
    });
    let began = now();
    say(&next(&sheet.sweep).into_iter().collect::<Vec<_>>())?;
    loop {
        let at = now().since(began);
        if sheet.sweep.is_over(at) {
            if sheet.sweep.left() > 0 {
                say(&[words::SWEEP_TIME_UP.to_owned()])?;
            }
            break;
        }
        let left = Duration::from_millis(SweepDrill::time_left(at).as_millis());
        match typed.recv_timeout(left) {
            Ok(line) => {
                let at = now().since(began);
                let Some(said) = typed_in(&mut sheet.sweep, &line, at) else {
                    return Ok(say(&[words::STOPPED.to_owned()])?);
                };
                say(&said)?;
            }
            Err(RecvTimeoutError::Timeout) => {}
            Err(RecvTimeoutError::Disconnected) => {
                say(&[words::STOPPED.to_owned()])?;
                return Ok(());
            }
        }
    }
    let sweep = sheet.sweep.clone();
    Ok(say(&keep.sweep(&sweep, &sheet))?)
}

/// The blank that the next letter fills, in words.
fn next(sweep: &SweepDrill) -> Option<String> {
    let (question, _) = sweep.open()?;
    Some(words::next_blank(question))
}

/// Takes a line, and gives what is said to it; nothing where it leaves. One letter fills one blank, as
/// in the sweep of a sitting.
fn typed_in(sweep: &mut SweepDrill, line: &str, at: Elapsed) -> Option<Vec<String>> {
    let range = sweep.open().map(|(_, labels)| labels.range());
    let range = range.unwrap_or_default();
    let text = line.trim();
    let mut letters = text.chars();
    if let (Some(only), None) = (letters.next(), letters.next()) {
        return Some(match sweep.fill(only, at) {
            Err(NotFilled::NoOption) => vec![words::not_one_letter(&range)],
            Ok(_) | Err(NotFilled::Over) if sweep.is_over(at) => Vec::new(),
            Ok(_) | Err(NotFilled::Over) => next(sweep).into_iter().collect(),
        });
    }
    if sweep.is_over(at) {
        return Some(Vec::new());
    }
    match text.to_lowercase().as_str() {
        "leave" => None,
        "time" => Some(vec![words::sweep_left(SweepDrill::time_left(at)) + "."]),
        "help" => Some(words::sweep_help(&range)),
        "" => Some(next(sweep).into_iter().collect()),
        _ => Some(vec![words::not_one_letter(&range)]),
    }
}

fn keys_in_lines(keep: &Keep) -> Result<(), Failure> {
    let all = words::WORDS.len();
    say(&[words::NO_CLOCK.to_owned(), words::LEAVE_LINES.to_owned()])?;
    for (place, (wanted, says)) in words::WORDS.into_iter().enumerate() {
        say(&[words::word_to_try(place, all, says)])?;
        loop {
            let Some(typed) = read_line()? else {
                keep.keys(place, all);
                return Ok(());
            };
            let typed = typed.split_whitespace().collect::<Vec<_>>().join(" ");
            let typed = typed.to_lowercase();
            if typed == wanted {
                break;
            }
            match typed.as_str() {
                "leave" => {
                    keep.keys(place, all);
                    return Ok(say(&[words::WORDS_STOPPED.to_owned()])?);
                }
                "help" => say(&[words::help_in_lines(says)])?,
                typed => {
                    let typed = crate::words::text::clean(typed);
                    say(&[words::other_word(&typed, says)])?;
                }
            }
        }
    }
    keep.keys(all, all);
    Ok(say(&[words::WORDS_DONE.to_owned()])?)
}
