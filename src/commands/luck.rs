//! `luck`: every mark that some guesses can give, and how likely.

use std::io::Write;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use chrono::NaiveDate;

use super::failure::Failure;
use super::numbers::{by_question, chance, questions};
use super::outlets::written;
use crate::domain::key::Key;
use crate::domain::mark::Mark;
use crate::domain::paper::Outline;
use crate::domain::rule::QuestionNo;
use crate::odds::mark_distribution::{Known, MarkDistribution, apart_from, guesses};
use crate::reports::luck::{Guessed, json, page};
use crate::storage::catalogue::{Catalogue, NoKey};
use crate::storage::files;

/// What `luck` takes.
#[derive(Debug, clap::Args)]
#[command(after_help = "\
The total is for these guesses alone, without starting marks and all other\n\
questions. With --total it is the mark on the whole paper: starting marks, the\n\
questions in --right at full marks, these guesses, and the rest left blank.\n\
\n\
JSON: {expected, sd, distribution: [{marks, chance}]}, lowest total first,\n\
marks as exact strings.")]
pub struct LuckArgs {
    /// The paper: a file, or the id of one here, in ./sample-papers, or beside or in the
    /// folder of sittings
    paper: String,
    /// The questions that are guessed, such as 3,18,21-25
    #[arg(long, value_name = "LIST")]
    guesses: String,
    /// The chance that a guess is right: one for all (0.25, 1/4, 25%), or by question
    /// (3:0.5,18-20:1/3) [default: 1 in the number of options]
    #[arg(long, value_name = "P")]
    chance: Option<String>,
    /// How many options are left after crossing some out, such as 3:2,18-20:4
    #[arg(long, value_name = "LIST")]
    options_left: Option<String>,
    /// The answer key, for void questions and those with two right answers [default: the one beside
    /// the paper, if there is one]
    #[arg(long, visible_alias = "keys", value_name = "KEY")]
    key: Option<PathBuf>,
    /// Show the total for the whole paper, not for the guesses alone
    #[arg(long)]
    total: bool,
    /// With --total: questions known to be right, such as 1-12
    #[arg(long, value_name = "LIST", requires = "total")]
    right: Option<String>,
    /// Print JSON
    #[arg(long)]
    json: bool,
}

/// Why there is no distribution of the guesses.
#[derive(Debug, thiserror::Error)]
enum LuckError<'a> {
    #[error(
        "the marks of these questions are too fine and too far apart to list every total; guess fewer of them at a time"
    )]
    TooFine,
    #[error("question {0} isn't one of the guesses; add it to --guesses, or leave it out")]
    NoGuess(QuestionNo),
    #[error(
        "--options-left: question {number} cannot have {text:?} options left; write a number from {least} to {options}"
    )]
    OptionsLeft {
        number: QuestionNo,
        text: &'a str,
        least: usize,
        options: usize,
    },
    #[error(
        "question {0} is both guessed and known to be right; remove it from --guesses or from --right"
    )]
    GuessedAndRight(QuestionNo),
}

/// Works the distribution out and writes it.
///
/// # Errors
/// A file that cannot be used, or words that do not fit the paper.
pub fn run(
    args: &LuckArgs,
    sessions: Option<&Path>,
    today: NaiveDate,
    out: &mut dyn Write,
) -> Result<(), Failure> {
    let catalogue = Catalogue::open(sessions, &[PathBuf::from(&args.paper)]);
    let (paper, _file) = catalogue.paper(&args.paper).map_err(Failure::could_not)?;
    let outline = &paper.outline;
    let key = key_of(args, &catalogue, outline)?;
    let numbers = questions("--guesses", &args.guesses, outline)?;
    let known = known(args, outline, key.as_deref(), &numbers)?;
    let guesses = guesses(outline, key.as_deref(), &numbers, &known);
    let base = if args.total {
        apart_from(
            outline,
            key.as_deref(),
            &guesses,
            &known_right(args, outline, &numbers)?,
        )
    } else {
        Mark::ZERO
    };
    let totals = MarkDistribution::new(base, &guesses);
    let totals = totals.ok_or_else(|| Failure::could_not(LuckError::TooFine))?;
    let told = Guessed {
        outline,
        numbers: &numbers,
        guesses: &guesses,
        apart: args.total.then_some(base),
        totals: &totals,
        today,
    };
    let told = if args.json {
        json(&totals).map_err(Failure::could_not)?
    } else {
        page(&told)
    };
    written(out, &told)
}

/// The key that was named, or the one beside the paper; no chance needs one.
fn key_of(
    args: &LuckArgs,
    catalogue: &Catalogue,
    outline: &Outline,
) -> Result<Option<Arc<Key>>, Failure> {
    if let Some(key) = &args.key {
        let key = files::key::load_for(key, outline).map_err(Failure::could_not)?;
        return Ok(Some(Arc::new(key)));
    }
    match catalogue.key_of(outline) {
        Ok(key) => Ok(Some(key)),
        Err(NoKey::None(_)) => Ok(None),
        Err(no) => Err(Failure::could_not(no)),
    }
}

fn known(
    args: &LuckArgs,
    outline: &Outline,
    key: Option<&Key>,
    numbers: &[QuestionNo],
) -> Result<Known, Failure> {
    let mut known = Known::default();
    if let Some(text) = &args.options_left {
        let read = |number, text: &str| left(outline, key, number, text);
        known.options_left = by_question("--options-left", text, outline, read)?;
    }
    match &args.chance {
        Some(text) if text.contains(':') => {
            let read = |_, text: &str| chance("--chance", text);
            known.chance = by_question("--chance", text, outline, read)?;
        }
        Some(text) => {
            let p = chance("--chance", text.trim())?;
            known.chance = numbers.iter().map(|number| (*number, p)).collect();
        }
        None => {}
    }
    let named = known.options_left.keys().chain(known.chance.keys());
    match named.into_iter().find(|number| !numbers.contains(number)) {
        Some(number) => Err(Failure::wrong_words(LuckError::NoGuess(*number))),
        None => Ok(known),
    }
}

fn left(
    outline: &Outline,
    key: Option<&Key>,
    number: QuestionNo,
    text: &str,
) -> Result<usize, Failure> {
    let options = outline.labels(number).len();
    let least = key.map_or(1, |key| key.right_options(number)).min(options);
    let left = text
        .parse()
        .ok()
        .filter(|left| (least..=options).contains(left));
    left.ok_or_else(|| {
        Failure::wrong_words(LuckError::OptionsLeft {
            number,
            text,
            least,
            options,
        })
    })
}

fn known_right(
    args: &LuckArgs,
    outline: &Outline,
    guesses: &[QuestionNo],
) -> Result<Vec<QuestionNo>, Failure> {
    let Some(text) = &args.right else {
        return Ok(Vec::new());
    };
    let right = questions("--right", text, outline)?;
    match right.iter().find(|number| guesses.contains(number)) {
        Some(number) => Err(Failure::wrong_words(LuckError::GuessedAndRight(*number))),
        None => Ok(right),
    }
}
