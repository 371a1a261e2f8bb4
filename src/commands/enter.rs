//! `enter`: types in answer sheets done on paper, one or a class's, as sittings without times.

pub mod sheet;

mod class;
mod save;
pub(in crate::commands) mod twice;

use std::io::{BufRead, Write};
use std::path::{Path, PathBuf};

use chrono::{DateTime, FixedOffset, NaiveDate, NaiveTime};

use super::failure::Failure;
use super::outlets::quietly;
use crate::clock::Clock;
use crate::domain::header::Alias;
use crate::domain::mark::Mark;
use crate::domain::paper::Outline;
use crate::domain::rule::QuestionNo;
use crate::storage::catalogue::Catalogue;
use crate::words::entry;
use crate::words::time::day;
use save::{Entering, Fate};
use sheet::{AnswerSheet, Misread, Typed};

/// What `enter` takes.
#[derive(Debug, clap::Args)]
pub struct EnterArgs {
    /// The paper: a file, or the id of one in ./sample-papers or beside the sittings
    #[arg(value_name = "PAPER")]
    paper: String,
    /// Whose answers they are: an alias, not a real name
    #[arg(long, value_name = "ALIAS", value_parser = Alias::new, required_unless_present = "from")]
    pupil: Option<Alias>,
    /// The answers: one letter for each question, - for a blank, ? after an unsure answer,
    /// ?? after a guess; if you leave this out, you are asked for them
    #[arg(long, value_name = "STRING", allow_hyphen_values = true)]
    answers: Option<String>,
    /// A class's sheets: a CSV file headed pupil,1,2,3,... with a row for each pupil's alias; a row
    /// with empty cells only is a pupil who was absent
    #[arg(long, value_name = "FILE.csv", conflicts_with_all = ["pupil", "answers"])]
    from: Option<PathBuf>,
    /// Codes for a blank in the list, besides an empty cell and -
    #[arg(long, value_name = "CODES", value_delimiter = ',', requires = "from")]
    blank_codes: Vec<String>,
    /// The day it was sat, such as 2026-11-25 [default: today]
    #[arg(long, value_name = "DATE", value_parser = date)]
    date: Option<NaiveDate>,
    /// Extra time that everybody here had, such as 25% [default: what the register says]
    #[arg(long, value_name = "PERCENT", value_parser = super::sit::extra_time)]
    extra_time: Option<Mark>,
    /// Replace the sheet of the same pupil, paper and day that was typed in before: it is kept but
    /// doesn't count any more
    #[arg(long)]
    again: bool,
    /// Type everything a second time and see every difference before anything is saved;
    /// --twice=SECOND takes the second keying from a CSV file, or with --answers from SECOND itself
    #[arg(long, value_name = "SECOND", require_equals = true, num_args = 0..=1)]
    #[expect(
        clippy::option_option,
        reason = "clap's own shape of a word with an optional value"
    )]
    twice: Option<Option<String>>,
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
    #[error("--twice: {0}")]
    SecondAnswers(Misread),
    #[error("line {number}, {misread}")]
    Line { number: usize, misread: Misread },
    #[error("the input ended before the answers were saved, so nothing was saved; start again")]
    Unsaved,
    #[error(
        "nothing was saved; look at the paper sheets, correct one of the two keyings, and try again"
    )]
    KeyingsDiffer,
    #[error("name the pupil with --pupil, or a class list with --from")]
    Nobody,
    #[error("with --answers, --twice takes the second keying: --twice=STRING")]
    NoSecondAnswers,
    #[error(
        "--twice takes a second keying only with --answers or --from; leave it out of --twice, and type the sheet twice"
    )]
    NoFirstAnswers,
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
    /// Where the saved files' paths go, for a program that reads them.
    pub out: &'a mut dyn Write,
    /// Whether a person reads `out`, who is told in words beside it.
    pub out_is_read: bool,
    /// Where questions and the sheet go.
    pub aside: &'a mut dyn Write,
}

impl Desk<'_> {
    /// The next line; nothing at the end of the input.
    fn line(&mut self) -> Result<Option<String>, Failure> {
        let mut line = String::new();
        let read = self.input.read_line(&mut line)?;
        Ok((read > 0).then_some(line))
    }

    /// Asks for a line.
    fn ask(&mut self, question: &str) -> Result<String, Failure> {
        write!(self.aside, "{question}")?;
        self.aside.flush()?;
        let line = self.line()?;
        line.ok_or_else(|| Failure::could_not(EnterError::Unsaved))
    }
}

/// Takes the answers, saves them as sittings and writes their paths.
///
/// # Errors
/// A paper that cannot be used, answers that do not fit it, a sheet that was typed in before, a file that cannot be
/// written.
pub fn run(
    args: &EnterArgs,
    sessions: Option<&Path>,
    clock: &dyn Clock,
    desk: &mut Desk<'_>,
) -> Result<(), Failure> {
    let near: Vec<_> = [PathBuf::from(&args.paper)]
        .into_iter()
        .chain(args.from.clone())
        .collect();
    let catalogue = Catalogue::open(sessions, &near);
    let dir = catalogue.sessions().map_err(Failure::could_not)?;
    let (paper, _path) = catalogue.paper(&args.paper).map_err(Failure::could_not)?;
    let entering = Entering {
        dir,
        paper: &paper,
        started: started(args.date, clock.local())?,
        utc: clock.read().utc,
        extra_percent: args.extra_time,
        register: catalogue.register().map_err(Failure::could_not)?,
        again: args.again,
        records: &catalogue.listing(dir)?.records,
    };
    if let Some(list) = &args.from {
        return class::enter(&entering, list, args, desk);
    }
    let Some(pupil) = &args.pupil else {
        return Err(Failure::wrong_words(EnterError::Nobody));
    };
    let outline = &paper.outline;
    let answers = match (&args.answers, &args.twice) {
        (Some(text), twice) => given(text, twice.as_ref(), outline, desk)?,
        (None, Some(Some(_))) => return Err(Failure::wrong_words(EnterError::NoFirstAnswers)),
        (None, twice) if desk.asks => {
            // Nobody types a sheet that is refused afterwards.
            entering.may_be_typed(pupil)?;
            asked(outline, twice.is_some(), desk)?
        }
        (None, twice) => piped(outline, twice.is_some(), desk)?,
    };
    let (path, said) = match entering.fate(pupil, &answers)? {
        Fate::New(sitting) => {
            let saved = save::put(dir, &[*sitting])?;
            let path = saved.into_iter().next().unwrap_or_default();
            let said = entry::saved(&path);
            (path, said)
        }
        Fate::Known(path) => {
            save::put(dir, &[])?;
            let said = entry::already_entered(&path);
            (path, said)
        }
        Fate::Refused(refusal) => return Err(Failure::could_not(refusal)),
    };
    let _ = writeln!(desk.aside, "{said}");
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

/// A sheet's answers, question by question.
type SheetAnswers = Vec<(QuestionNo, Typed)>;

fn whole(sheet: &AnswerSheet<'_>) -> Result<SheetAnswers, Misread> {
    Ok(sheet.whole()?.collect())
}

fn given(
    text: &str,
    twice: Option<&Option<String>>,
    outline: &Outline,
    desk: &mut Desk<'_>,
) -> Result<SheetAnswers, Failure> {
    let wrong = |misread| Failure::wrong_words(EnterError::Answers(misread));
    let mut sheet = AnswerSheet::new(outline);
    sheet.read_line(text).map_err(wrong)?;
    let answers = whole(&sheet).map_err(wrong)?;
    if let Some(second) = twice {
        let Some(second) = second else {
            return Err(Failure::wrong_words(EnterError::NoSecondAnswers));
        };
        let wrong = |misread| Failure::wrong_words(EnterError::SecondAnswers(misread));
        let mut sheet = AnswerSheet::new(outline);
        sheet.read_line(second).map_err(wrong)?;
        twice::must_agree(&answers, &whole(&sheet).map_err(wrong)?)?;
    }
    show(&sheet, QuestionNo(1), desk)?;
    Ok(answers)
}

fn show(sheet: &AnswerSheet<'_>, from: QuestionNo, desk: &mut Desk<'_>) -> Result<(), Failure> {
    for line in sheet.shown(from) {
        writeln!(desk.aside, "{line}")?;
    }
    Ok(())
}

/// Everything that is piped in, a sheet or the same one twice; the first wrong line ends it.
fn piped(outline: &Outline, twice: bool, desk: &mut Desk<'_>) -> Result<SheetAnswers, Failure> {
    let mut sheet = AnswerSheet::new(outline);
    let mut first: Option<SheetAnswers> = None;
    let mut number = 0;
    while let Some(line) = desk.line()? {
        number += 1;
        let starts_again = twice && first.is_none() && sheet.is_full();
        // A ? alone still belongs to the line above.
        if starts_again && !line.trim().is_empty() && !line.trim_start().starts_with('?') {
            first = Some(whole(&sheet).map_err(Failure::could_not)?);
            sheet = AnswerSheet::new(outline);
        }
        sheet
            .read_line(&line)
            .map_err(|misread| Failure::could_not(EnterError::Line { number, misread }))?;
    }
    let answers = whole(&sheet).map_err(Failure::could_not)?;
    match first {
        Some(first) => twice::must_agree(&first, &answers)?,
        None if twice => return Err(Failure::could_not(EnterError::Unsaved)),
        None => {}
    }
    show(&sheet, QuestionNo(1), desk)?;
    Ok(answers)
}

/// Asks line by line, and again after a wrong one, until somebody says that the sheet is right.
fn asked(outline: &Outline, twice: bool, desk: &mut Desk<'_>) -> Result<SheetAnswers, Failure> {
    writeln!(desk.aside, "{}", entry::how_to_type(outline))?;
    let first = confirmed(outline, AnswerSheet::new(outline), desk)?;
    if !twice {
        return Ok(first);
    }
    twice::typed_again(outline, &first, desk)
}

/// Asks for what a sheet still lacks, and then whether it is right.
fn confirmed<'a>(
    outline: &'a Outline,
    mut sheet: AnswerSheet<'a>,
    desk: &mut Desk<'_>,
) -> Result<SheetAnswers, Failure> {
    loop {
        let question = if sheet.is_full() {
            entry::IS_IT_RIGHT.to_owned()
        } else {
            entry::from_question(sheet.next())
        };
        let line = desk.ask(&question)?;
        match said(&line, sheet.is_full()) {
            Said::Again => sheet = AnswerSheet::new(outline),
            Said::Save => return whole(&sheet).map_err(Failure::could_not),
            Said::Nothing => {}
            Said::SheetAnswers => take(&mut sheet, &line, desk)?,
        }
    }
}

/// Reads a line into the sheet, and says what is wrong with it.
fn take(sheet: &mut AnswerSheet<'_>, line: &str, desk: &mut Desk<'_>) -> Result<(), Failure> {
    let from = sheet.next();
    match sheet.read_line(line) {
        Ok(()) => {
            // A ? alone belongs to the line above; a full sheet is looked at as a whole.
            let whole = sheet.is_full() || sheet.next() == from;
            show(sheet, if whole { QuestionNo(1) } else { from }, desk)
        }
        Err(misread @ Misread::TooMany { .. }) => {
            let next = (!sheet.is_full()).then_some(from);
            writeln!(desk.aside, "{}", entry::past_the_end(misread, next))?;
            Ok(())
        }
        Err(misread) => {
            writeln!(desk.aside, "{}", entry::type_it_again(misread))?;
            Ok(())
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
