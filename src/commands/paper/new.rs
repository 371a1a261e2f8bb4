//! `paper new`: from words to a paper and its key, checked before anything is written.

use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use clap::Args;

use super::size::size_of;
use super::template::{self, New};
use crate::commands::failure::Failure;
use crate::domain::character::ShownPath as _;
use crate::domain::header::is_device;
use crate::domain::labels::{Label, Labels, NoLabels};
use crate::domain::mark::{Mark, NoMark};
use crate::domain::paper::MOST_QUESTIONS;
use crate::domain::rule::{QuestionNo, Rule, RuleProblem, Section};
use crate::domain::time::{self, NoMinutes};
use crate::storage::catalogue::{KEY_ENDING, PAPER_ENDING};
use crate::storage::disk;
use crate::storage::files::{FileTrouble, key, paper};
use crate::words::paper::{OPEN_THEM, written};

/// What `paper new` takes.
#[derive(Debug, Args)]
pub struct NewWords {
    /// The paper's id and the start of its file names: letters, digits, - and _
    pub name: String,
    /// How many questions it has
    #[arg(long, value_name = "N")]
    pub questions: usize,
    /// The time allowed, such as 60 or 22.5
    #[arg(long, value_name = "M")]
    pub minutes: String,
    /// The option letters, or digits
    #[arg(long, value_name = "LETTERS", default_value = "ABCDE")]
    pub options: String,
    /// The marks of each section, with commas between.
    #[arg(
        long,
        help = "The marks for each section: FIRST-LAST:RIGHT[:WRONG[:BLANK]], with commas between, such as 1-10:4,11-20:5,21-25:7:-1:0"
    )]
    pub sections: String,
    /// The right answers in order, such as "BDACE BDACE"
    #[arg(long, value_name = "LETTERS")]
    pub answers: String,
    /// The paper's title [default: NAME]
    #[arg(long)]
    pub title: Option<String>,
    /// The folder to write to [default: the current folder]
    #[arg(long, value_name = "DIR")]
    pub dir: Option<PathBuf>,
}

pub(super) fn new(words: &NewWords, out: &mut dyn Write) -> Result<(), Failure> {
    let new = read(words)?;
    let dir = words.dir.clone().unwrap_or_default();
    let paper_path = dir.join(format!("{}{PAPER_ENDING}", new.name));
    let key_path = dir.join(format!("{}{KEY_ENDING}", new.name));
    let paper_text = template::paper(&new);
    let sound = paper::from_bytes(&paper_path, paper_text.as_bytes(), None);
    let paper = sound.map_err(|trouble| unfit(&trouble))?.value;
    let key_text = template::key(&new, &paper.outline.fingerprint);
    key::from_bytes(&key_path, key_text.as_bytes(), Some(&paper.outline))
        .map_err(|trouble| unfit(&trouble))?;
    for path in [&paper_path, &key_path] {
        if fs::symlink_metadata(path).is_ok() {
            return Err(there_already(path));
        }
    }
    if !dir.as_os_str().is_empty() {
        fs::create_dir_all(&dir).map_err(|error| could_not_write(&dir, error))?;
    }
    write(&paper_path, &paper_text)?;
    write(&key_path, &key_text).inspect_err(|_| {
        // Half a pair helps nobody, and the name must be free for the next attempt.
        let _ = fs::remove_file(&paper_path);
    })?;
    writeln!(out, "{}", written(&paper_path, &key_path, &size_of(&paper)))?;
    writeln!(out, "{OPEN_THEM}")?;
    let (paper_path, key_path) = (paper_path.shown(), key_path.shown());
    writeln!(out, "  pacebell paper check {paper_path} {key_path}")?;
    Ok(())
}

/// Why there is no new paper.
#[derive(Debug, thiserror::Error)]
enum NewError<'a> {
    #[error("--questions: a paper has 1 to {MOST_QUESTIONS} questions, not {0}")]
    Questions(usize),
    #[error("--minutes: {0}")]
    Minutes(NoMinutes),
    #[error("--options: {0}")]
    Options(NoLabels),
    #[error("{word}, character {at}: {wrong}")]
    Word {
        word: &'static str,
        at: usize,
        wrong: WrongPart,
    },
    #[error(
        "{0:?} can't be used as a name: Windows reserves it; choose another, such as spring-mock"
    )]
    Device(&'a str),
    #[error("{} already exists, so nothing was written; choose another name, or move that file", .0.shown())]
    ThereAlready(&'a Path),
    #[error("cannot write {} ({error}); choose another folder with --dir", path.shown())]
    NotWritten { path: &'a Path, error: io::Error },
}

/// What is wrong at a character of a word.
#[derive(Debug, thiserror::Error)]
enum WrongPart {
    #[error("use only letters, digits, - and _, since the files are named after it")]
    Name,
    #[error("write FIRST-LAST:RIGHT[:WRONG[:BLANK]], such as 21-25:7:-1:0")]
    Section,
    #[error("{0:?} isn't a question number; {section}", section = Self::Section)]
    NoNumber(String),
    #[error(transparent)]
    NoMark(NoMark),
    #[error(transparent)]
    Rule(RuleProblem),
    #[error(
        "this is an answer to question {question}, but the paper has {questions} questions; remove it, or correct --questions"
    )]
    TooManyAnswers { question: usize, questions: usize },
    #[error(
        "{given:?}, the answer to question {question}, isn't an option; the options are {options}"
    )]
    NoOption {
        given: char,
        question: usize,
        options: String,
    },
    #[error("the answers end after {given} of {questions} questions; write one for each")]
    TooFewAnswers { given: usize, questions: usize },
}

/// Says of a word, at a character counted from 1, what is wrong with it.
fn wrong_at(word: &'static str, at: usize, wrong: WrongPart) -> Failure {
    Failure::wrong_words(NewError::Word { word, at, wrong })
}

/// What the files would be told, said of the words: they have no places yet.
fn unfit(trouble: &FileTrouble) -> Failure {
    let lines = trouble.problems.iter().map(ToString::to_string);
    Failure::WrongWords(lines.collect::<Vec<_>>().join("\n"))
}

fn there_already(path: &Path) -> Failure {
    Failure::could_not(NewError::ThereAlready(path))
}

fn could_not_write(path: &Path, error: io::Error) -> Failure {
    Failure::could_not(NewError::NotWritten { path, error })
}

fn write(path: &Path, text: &str) -> Result<(), Failure> {
    disk::create(path, text.as_bytes()).map_err(|error| match error.kind() {
        io::ErrorKind::AlreadyExists => there_already(path),
        _ => could_not_write(path, error),
    })
}

/// Turns the words into a paper, or says which character of which word is wrong.
fn read(words: &NewWords) -> Result<New, Failure> {
    let questions = words.questions;
    if !(1..=MOST_QUESTIONS).contains(&questions) {
        return Err(Failure::wrong_words(NewError::Questions(questions)));
    }
    let stray = |c: &char| !(c.is_alphanumeric() || matches!(c, '-' | '_'));
    if let Some(at) = words.name.chars().position(|c| stray(&c)) {
        return Err(wrong_at("the name", at + 1, WrongPart::Name));
    }
    if is_device(&words.name) {
        return Err(Failure::wrong_words(NewError::Device(&words.name)));
    }
    time::parse_minutes(&words.minutes)
        .map_err(|no| Failure::wrong_words(NewError::Minutes(no)))?;
    let options =
        Labels::new(&words.options).map_err(|no| Failure::wrong_words(NewError::Options(no)))?;
    Ok(New {
        name: words.name.clone(),
        title: words.title.clone().unwrap_or_else(|| words.name.clone()),
        minutes: words.minutes.trim().to_owned(),
        rule: rule(&words.sections, questions)?,
        answers: answers(&words.answers, &options, questions)?,
        options,
    })
}

/// Reads `1-10:4,11-20:5,21-25:7:-1:0`.
fn rule(text: &str, questions: usize) -> Result<Rule, Failure> {
    const WORD: &str = "--sections";
    let (mut sections, mut starts, mut at) = (Vec::new(), Vec::new(), 1);
    for part in text.split(',') {
        sections.push(section(part).map_err(|(offset, why)| wrong_at(WORD, at + offset, why))?);
        starts.push(at);
        at += part.chars().count() + 1;
    }
    let rule = Rule {
        start: Mark::ZERO,
        sections,
    };
    match rule.problems(questions).first() {
        None => Ok(rule),
        Some(problem) => {
            let section = match problem {
                RuleProblem::Backwards { section }
                | RuleProblem::Overlap { section, .. }
                | RuleProblem::Gap { section, .. }
                | RuleProblem::Ends { section, .. }
                | RuleProblem::RightNotBest { section } => *section,
                RuleProblem::NoSection | RuleProblem::TooFine => 0,
            };
            let at = starts.get(section).copied().unwrap_or(1);
            Err(wrong_at(WORD, at, WrongPart::Rule(problem.clone())))
        }
    }
}

/// Reads one section, or says at which of its characters, from 0, it is wrong.
fn section(text: &str) -> Result<Section, (usize, WrongPart)> {
    let mut fields = Vec::new();
    let mut at = 0;
    for field in text.split(':') {
        fields.push((at, field));
        at += field.chars().count() + 1;
    }
    let [(_, span), marks @ ..] = fields.as_slice() else {
        return Err((0, WrongPart::Section));
    };
    if marks.is_empty() || marks.len() > 3 {
        return Err((0, WrongPart::Section));
    }
    let (first, last) = span.split_once('-').unwrap_or((span, span));
    let number = |text: &str, at| {
        let number = text.trim().parse::<u16>();
        number
            .map(QuestionNo)
            .map_err(|_no_number| (at, WrongPart::NoNumber(text.to_owned())))
    };
    let mark = |index: usize| match marks.get(index) {
        Some((at, text)) => text
            .parse::<Mark>()
            .map_err(|no| (*at, WrongPart::NoMark(no))),
        None => Ok(Mark::ZERO),
    };
    let after_first = if first.len() == span.len() {
        0
    } else {
        first.chars().count() + 1
    };
    let (first, last) = (number(first, 0)?, number(last, after_first)?);
    Ok(Section {
        name: if first == last {
            first.to_string()
        } else {
            format!("{first}-{last}")
        },
        first,
        last,
        right: mark(0)?,
        wrong: mark(1)?,
        blank: mark(2)?,
    })
}

/// Reads the answers; white space between them is passed over.
fn answers(text: &str, options: &Labels, questions: usize) -> Result<Vec<Label>, Failure> {
    const WORD: &str = "--answers";
    let mut answers = Vec::new();
    for (at, c) in text.chars().enumerate().filter(|(_, c)| !c.is_whitespace()) {
        let question = answers.len() + 1;
        if question > questions {
            return Err(wrong_at(
                WORD,
                at + 1,
                WrongPart::TooManyAnswers {
                    question,
                    questions,
                },
            ));
        }
        answers.push(options.find(c).ok_or_else(|| {
            wrong_at(
                WORD,
                at + 1,
                WrongPart::NoOption {
                    given: c,
                    question,
                    options: options.range(),
                },
            )
        })?);
    }
    if answers.len() < questions {
        return Err(wrong_at(
            WORD,
            text.chars().count() + 1,
            WrongPart::TooFewAnswers {
                given: answers.len(),
                questions,
            },
        ));
    }
    Ok(answers)
}
