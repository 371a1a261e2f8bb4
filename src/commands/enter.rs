//! `enter`: types in an answer sheet done on paper, as a sitting without times.

pub mod sheet;

use std::io::{BufRead, Write};
use std::path::{Path, PathBuf};
use std::sync::Arc;

use chrono::{DateTime, FixedOffset, NaiveDate, NaiveTime};

use super::failure::Failure;
use super::outlets::quietly;
use crate::clock::Clock;
use crate::domain::event::{How, Stamped};
use crate::domain::header::{Alias, Arrangements, Boot, Header, Mode, SESSION_FORMAT, sitting_id};
use crate::domain::paper::{Outline, Paper};
use crate::domain::rule::QuestionNo;
use crate::domain::sitting::{Command, Refusal, Sitting};
use crate::domain::time::Elapsed;
use crate::storage::catalogue::Catalogue;
use crate::storage::journal::{self, Writer};
use crate::words::entry;
use crate::words::time::day;
use sheet::{AnswerSheet, Misread, Typed};

/// What `enter` takes.
#[derive(Debug, clap::Args)]
pub struct EnterArgs {
    /// The paper: a file, or the id of one in ./sample-papers or beside the sittings
    #[arg(value_name = "PAPER")]
    paper: String,
    /// Whose answers they are: an alias, not a real name
    #[arg(long, value_name = "ALIAS", value_parser = Alias::new)]
    pupil: Alias,
    /// The answers: one letter for each question, - for a blank, ? after an unsure answer,
    /// ?? after a guess; if you leave this out, you are asked for them
    #[arg(long, value_name = "STRING", allow_hyphen_values = true)]
    answers: Option<String>,
    /// The day it was sat, such as 2026-11-25 [default: today]
    #[arg(long, value_name = "DATE", value_parser = date)]
    date: Option<NaiveDate>,
}

/// Why nothing was typed in.
#[derive(Debug, thiserror::Error)]
enum EnterError {
    #[error("that isn't a date; write year-month-day, such as 2026-11-25")]
    NoDay,
    #[error("--date {date} is after today, {today}; give the day the paper was sat")]
    DayAhead { date: String, today: String },
    #[error("--answers: {0}")]
    Answers(Misread),
    #[error("line {number}, {misread}")]
    Line { number: usize, misread: Misread },
    #[error("the input ended before the answers were saved, so nothing was saved; start again")]
    Unsaved,
}

fn date(text: &str) -> Result<NaiveDate, EnterError> {
    text.trim().parse().map_err(|_no_date| EnterError::NoDay)
}

/// Where the answers come from, and where words go.
pub struct Desk<'a> {
    /// What is typed or piped in.
    pub input: &'a mut dyn BufRead,
    /// Whether somebody sits at it who can be asked again.
    pub asks: bool,
    /// Where the saved file's path goes, for a program that reads it.
    pub out: &'a mut dyn Write,
    /// Whether a person reads `out`, who is told in words beside it.
    pub out_is_read: bool,
    /// Where questions and the sheet go.
    pub aside: &'a mut dyn Write,
}

/// Takes the answers, saves them as a sitting and writes its path.
///
/// # Errors
/// A paper that cannot be used, answers that do not fit it, a file that cannot be written.
pub fn run(
    args: &EnterArgs,
    sessions: Option<&Path>,
    clock: &dyn Clock,
    desk: &mut Desk<'_>,
) -> Result<(), Failure> {
    let catalogue = Catalogue::open(sessions, &[PathBuf::from(&args.paper)]);
    let dir = catalogue.sessions().map_err(Failure::could_not)?;
    let (paper, _path) = catalogue.paper(&args.paper).map_err(Failure::could_not)?;
    let started = started(args.date, clock.local())?;
    let answers = match &args.answers {
        Some(text) => given(text, &paper.outline, desk)?,
        None if desk.asks => asked(&paper.outline, desk)?,
        None => piped(&paper.outline, desk)?,
    };
    let header = header(&paper, &args.pupil, started);
    let path = save(dir, header, &answers, clock)?;
    let _ = writeln!(desk.aside, "{}", entry::saved(&path));
    if desk.out_is_read {
        return Ok(());
    }
    quietly(writeln!(desk.out, "{}", path.display()))
}

/// The day's first moment, or now where no day is given.
fn started(
    date: Option<NaiveDate>,
    now: DateTime<FixedOffset>,
) -> Result<DateTime<FixedOffset>, Failure> {
    let Some(date) = date else {
        return Ok(now);
    };
    if date > now.date_naive() {
        let (date, today) = (day(date), day(now.date_naive()));
        return Err(Failure::wrong_words(EnterError::DayAhead { date, today }));
    }
    let first = date
        .and_time(NaiveTime::MIN)
        .and_local_timezone(now.timezone());
    Ok(first.earliest().unwrap_or(now))
}

type SheetAnswers = Vec<(QuestionNo, Typed)>;

fn given(text: &str, outline: &Outline, desk: &mut Desk<'_>) -> Result<SheetAnswers, Failure> {
    let wrong = |misread| Failure::wrong_words(EnterError::Answers(misread));
    let mut sheet = AnswerSheet::new(outline);
    sheet.read_line(text).map_err(wrong)?;
    let answers = sheet.whole().map_err(wrong)?.collect();
    show(&sheet, QuestionNo(1), desk)?;
    Ok(answers)
}

fn show(sheet: &AnswerSheet<'_>, from: QuestionNo, desk: &mut Desk<'_>) -> Result<(), Failure> {
    for line in sheet.shown(from) {
        writeln!(desk.aside, "{line}")?;
    }
    Ok(())
}

/// Everything that is piped in; the first wrong line ends it.
fn piped(outline: &Outline, desk: &mut Desk<'_>) -> Result<SheetAnswers, Failure> {
    let mut sheet = AnswerSheet::new(outline);
    let mut line = String::new();
    for number in 1_usize.. {
        line.clear();
        if desk.input.read_line(&mut line)? == 0 {
            break;
        }
        sheet
            .read_line(&line)
            .map_err(|misread| Failure::could_not(EnterError::Line { number, misread }))?;
    }
    let answers = sheet.whole().map_err(Failure::could_not)?.collect();
    show(&sheet, QuestionNo(1), desk)?;
    Ok(answers)
}

/// Asks line by line, and again after a wrong one, until somebody says that the sheet is right.
fn asked(outline: &Outline, desk: &mut Desk<'_>) -> Result<SheetAnswers, Failure> {
    let mut sheet = AnswerSheet::new(outline);
    writeln!(desk.aside, "{}", entry::how_to_type(outline))?;
    loop {
        let question = if sheet.is_full() {
            entry::IS_IT_RIGHT.to_owned()
        } else {
            entry::from_question(sheet.next())
        };
        write!(desk.aside, "{question}")?;
        desk.aside.flush()?;
        let mut line = String::new();
        if desk.input.read_line(&mut line)? == 0 {
            return Err(Failure::could_not(EnterError::Unsaved));
        }
        let from = sheet.next();
        match said(&line, sheet.is_full()) {
            Said::Again => {
                sheet = AnswerSheet::new(outline);
                continue;
            }
            Said::Save => return Ok(sheet.whole().map_err(Failure::could_not)?.collect()),
            Said::Nothing => continue,
            Said::SheetAnswers => {}
        }
        match sheet.read_line(&line) {
            Ok(()) => {
                // A ? alone belongs to the line above; a full sheet is looked at as a whole.
                let whole = sheet.is_full() || sheet.next() == from;
                let from = if whole { QuestionNo(1) } else { from };
                show(&sheet, from, desk)?;
            }
            Err(misread @ Misread::TooMany { .. }) => {
                let next = (!sheet.is_full()).then_some(from);
                writeln!(desk.aside, "{}", entry::past_the_end(misread, next))?;
            }
            Err(misread) => writeln!(desk.aside, "{}", entry::type_it_again(misread))?,
        }
    }
}

/// What a typed line is.
enum Said {
    Save,
    Again,
    Nothing,
    SheetAnswers,
}

/// Only a full sheet takes `y` and `n`: before that they may be options.
fn said(line: &str, full: bool) -> Said {
    match line.trim().to_ascii_lowercase().as_str() {
        "again" => Said::Again,
        "y" | "yes" if full => Said::Save,
        "n" | "no" if full => Said::Again,
        "" => Said::Nothing,
        _ => Said::SheetAnswers,
    }
}

fn header(paper: &Paper, pupil: &Alias, started: DateTime<FixedOffset>) -> Header {
    Header {
        format: SESSION_FORMAT,
        sitting: sitting_id(started, rand::random()),
        pupil: pupil.clone(),
        mode: Mode::Entered,
        replaces: None,
        paper: paper.outline.clone(),
        question_fingerprints: paper.question_fingerprints(),
        standard: paper.allowed,
        allowed: paper.allowed,
        arrangements: Arrangements::usual(paper.allowed),
        plan: None,
        program: env!("CARGO_PKG_VERSION").to_owned(),
        invented: false,
        started,
        // No clock ran: there is no boot to come back to.
        boot: Boot {
            id: String::new(),
            zero: 0,
        },
    }
}

/// What was typed, as wishes of a sitting.
fn wishes(answers: &SheetAnswers) -> Vec<Command> {
    let mut wishes = Vec::new();
    for (number, typed) in answers {
        if let Some(option) = typed.option {
            wishes.push(Command::Answer(*number, option));
        }
        if typed.how != How::Worked {
            wishes.push(Command::Say(*number, typed.how));
        }
    }
    wishes.push(Command::Finish);
    wishes
}

fn save(
    dir: &Path,
    header: Header,
    answers: &SheetAnswers,
    clock: &dyn Clock,
) -> Result<PathBuf, Failure> {
    let refused = |refusal: Refusal| Failure::could_not(refusal);
    let path = journal::path_for(dir, &header);
    let mut writer = Writer::create(&path, &header, Box::new(|| {})).map_err(Failure::could_not)?;
    let mut sitting = Sitting::new(Arc::new(header));
    for wish in wishes(answers) {
        if let Some(event) = sitting.decide(wish, Elapsed::ZERO).map_err(refused)? {
            sitting.apply(Elapsed::ZERO, &event);
            writer.append(&Stamped {
                at: Elapsed::ZERO,
                utc: clock.read().utc,
                event,
            });
        }
    }
    writer.finish().map_err(Failure::could_not)
}
