//! `enter`: types in answer sheets done on paper, one or a class's, as sittings without times.

pub mod sheet;

mod args;
mod class;
mod desk;
mod save;
pub(in crate::commands) mod twice;

use std::path::{Path, PathBuf};

use chrono::{DateTime, FixedOffset, NaiveDate, NaiveTime};

use super::failure::Failure;
use super::outlets::quietly;
use crate::clock::Clock;
use crate::domain::character::ShownPath as _;
use crate::domain::paper::Outline;
use crate::domain::rule::QuestionNo;
use crate::storage::catalogue::Catalogue;
use crate::storage::keeping::pages::given_out;
use crate::words::entry;
use crate::words::keeping::written_before;
use crate::words::sign::Sign;
use crate::words::time::day;
pub use args::EnterArgs;
pub use desk::Desk;
use desk::EnterError;
use desk::{show, take};
use save::{Entering, Fate};
use sheet::{AnswerSheet, Misread, SheetAnswers};

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
            let sitting = [*sitting];
            let same = sitting.iter().filter_map(|own| entering.same_under(own));
            let same: Vec<_> = same
                .map(|day| entry::same_under_another_day(1, day))
                .collect();
            let new = entering.about_new_pupils(&sitting);
            let replaces = sitting.iter().any(|(header, _)| header.replaces.is_some());
            let saved = save::put(dir, &sitting)?;
            let path = saved.into_iter().next().unwrap_or_default();
            let said = if desk.out_is_read {
                entry::saved(&path, replaces)
            } else {
                // The path is printed for a program; once is enough.
                entry::class_saved(1, usize::from(replaces), 0)
            };
            let pages = replaces.then(|| written_before(pupil, &given_out(dir, pupil)));
            let said = [said].into_iter().chain(pages.flatten());
            let said = said.chain(same).chain(new);
            let said: Vec<_> = said.collect();
            (path, said.join("\n"))
        }
        Fate::Known(path) => {
            save::put(dir, &[])?;
            let said = entry::already_entered(desk.out_is_read.then_some(&*path));
            (path, said)
        }
        Fate::Refused(refusal) => return Err(Failure::could_not(refusal)),
    };
    let _ = writeln!(desk.aside, "{said}");
    if desk.out_is_read {
        return Ok(());
    }
    quietly(writeln!(desk.out, "{}", path.shown()))
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

/// Everything that is piped in, a sheet or the same one twice; the first wrong line ends it.
fn piped(outline: &Outline, twice: bool, desk: &mut Desk<'_>) -> Result<SheetAnswers, Failure> {
    let mut sheet = AnswerSheet::new(outline);
    let mut first: Option<SheetAnswers> = None;
    let mut number = 0;
    while let Some(line) = desk.line()? {
        number += 1;
        let starts_again = twice && first.is_none() && sheet.is_full();
        // A ? alone still belongs to the line above.
        if starts_again
            && !line.trim().is_empty()
            && !line.trim_start().starts_with(Sign::Unsure.mark())
        {
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
    if !twice {
        return confirmed(outline, entry::IS_IT_RIGHT, desk);
    }
    let first = confirmed(outline, entry::IS_THE_FIRST_RIGHT, desk)?;
    twice::typed_again(outline, &first, desk)
}

/// Asks for what a sheet still lacks, and then whether it is right.
fn confirmed(
    outline: &Outline,
    is_it_right: &str,
    desk: &mut Desk<'_>,
) -> Result<SheetAnswers, Failure> {
    let mut sheet = AnswerSheet::new(outline);
    loop {
        let question = if sheet.is_full() {
            is_it_right.to_owned()
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
