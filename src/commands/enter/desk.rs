//! Where sheets are typed in: what is read, what is said, and why nothing was saved.

use std::io::{BufRead, Write};

use super::sheet::{AnswerSheet, Misread};
use crate::commands::failure::Failure;
use crate::commands::lines::next_line;
use crate::domain::rule::QuestionNo;
use crate::words::entry;

/// Why nothing was typed in.
#[derive(Debug, thiserror::Error)]
pub(super) enum EnterError {
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
    pub(super) fn line(&mut self) -> Result<Option<String>, Failure> {
        Ok(next_line(self.input)?)
    }

    /// Asks for a line.
    pub(super) fn ask(&mut self, question: &str) -> Result<String, Failure> {
        write!(self.aside, "{question}")?;
        self.aside.flush()?;
        let line = self.line()?;
        line.ok_or_else(|| Failure::could_not(EnterError::Unsaved))
    }
}

/// Shows the sheet as far as it is typed.
pub(super) fn show(
    sheet: &AnswerSheet<'_>,
    from: QuestionNo,
    desk: &mut Desk<'_>,
) -> Result<(), Failure> {
    for line in sheet.shown(from) {
        writeln!(desk.aside, "{line}")?;
    }
    Ok(())
}

/// Reads a line into the sheet, and says what is wrong with it.
pub(super) fn take(
    sheet: &mut AnswerSheet<'_>,
    line: &str,
    desk: &mut Desk<'_>,
) -> Result<(), Failure> {
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
