//! The events that most lines hold, read as this program writes them.
//!
//! Nine lines in ten open a question, answer it or leave it, and each is written in one way only. They are read here
//! by looking for just that way, at a tenth of the time that a reader of all RON takes. Whatever differs from it by a
//! single byte, damage, another tool's spaces, a record of later versions, is left to that reader, which says what is wrong.

use chrono::{DateTime, NaiveDate, Utc};

use crate::domain::event::{Event, How, Stamped};
use crate::domain::labels::Label;
use crate::domain::rule::QuestionNo;
use crate::domain::time::Elapsed;

/// More digits than this may not fit a number.
const MOST_DIGITS: usize = 18;

/// The number and the event of a line's record, where it is one of these; nothing says nothing of the others.
pub(super) fn usual_event(record: &str) -> Option<(u64, Stamped)> {
    let mut rest = LineBytes(record.as_bytes());
    rest.skip(b"(n:")?;
    let number = rest.number()?;
    rest.skip(b",at:")?;
    let at = Elapsed(rest.number()?);
    rest.skip(b",utc:\"")?;
    let utc = rest.moment()?;
    rest.skip(b"\",event:")?;
    let event = rest.event()?;
    rest.skip(b"))")?;
    let stamped = Stamped { at, utc, event };
    rest.0.is_empty().then_some((number, stamped))
}

/// What is not read yet.
struct LineBytes<'a>(&'a [u8]);

impl LineBytes<'_> {
    fn skip(&mut self, text: &[u8]) -> Option<()> {
        self.0 = self.0.strip_prefix(text)?;
        Some(())
    }

    /// A whole number as it is written: digits, and no zero before others.
    fn number(&mut self) -> Option<u64> {
        let digits = self.0.iter().take_while(|byte| byte.is_ascii_digit());
        let (own, rest) = self.0.split_at_checked(digits.count())?;
        let is_plain = own == b"0" || own.first().is_some_and(|digit| *digit != b'0');
        if !is_plain || own.len() > MOST_DIGITS {
            return None;
        }
        self.0 = rest;
        Some(value(own))
    }

    /// So many digits, whatever they are.
    fn digits(&mut self, count: usize) -> Option<u32> {
        let (own, rest) = self.0.split_at_checked(count)?;
        if !own.iter().all(u8::is_ascii_digit) {
            return None;
        }
        self.0 = rest;
        u32::try_from(value(own)).ok()
    }

    /// A moment to the millisecond, in UTC; leap seconds are not among the usual ones.
    fn moment(&mut self) -> Option<DateTime<Utc>> {
        let year = self.digits(4)?;
        self.skip(b"-")?;
        let month = self.digits(2)?;
        self.skip(b"-")?;
        let day = self.digits(2)?;
        self.skip(b"T")?;
        let hour = self.digits(2)?;
        self.skip(b":")?;
        let minute = self.digits(2)?;
        self.skip(b":")?;
        let second = self.digits(2)?;
        self.skip(b".")?;
        let millis = self.digits(3)?;
        self.skip(b"Z")?;
        let day = NaiveDate::from_ymd_opt(i32::try_from(year).ok()?, month, day)?;
        Some(
            day.and_hms_milli_opt(hour, minute, second, millis)?
                .and_utc(),
        )
    }

    /// An event on a question, up to the end of its fields.
    fn event(&mut self) -> Option<Event> {
        let name = self.0.iter().take_while(|byte| byte.is_ascii_alphabetic());
        let (name, rest) = self.0.split_at_checked(name.count())?;
        self.0 = rest;
        self.skip(b"(")?;
        let question = QuestionNo(u16::try_from(self.number()?).ok()?);
        Some(match name {
            b"Opened" => Event::Opened(question),
            b"Skipped" => Event::Skipped(question),
            b"RubbedOut" => Event::RubbedOut(question),
            b"Flagged" => Event::Flagged(question),
            b"Unflagged" => Event::Unflagged(question),
            b"Answered" => Event::Answered(question, self.label()?),
            b"CrossedOut" => Event::CrossedOut(question, self.label()?),
            b"CrossedBack" => Event::CrossedBack(question, self.label()?),
            b"Said" => Event::Said(question, self.how()?),
            _ => return None,
        })
    }

    fn label(&mut self) -> Option<Label> {
        self.skip(b",'")?;
        let (letter, rest) = self.0.split_first()?;
        self.0 = rest;
        self.skip(b"'")?;
        let letter = char::from(*letter);
        Label::new(letter).filter(|label| label.as_char() == letter)
    }

    fn how(&mut self) -> Option<How> {
        self.skip(b",")?;
        let all = [How::Worked, How::Unsure, How::Guessed, How::Filled];
        all.into_iter()
            .find(|how| self.skip(how.word().as_bytes()).is_some())
    }
}

/// The value of a few digits.
fn value(digits: &[u8]) -> u64 {
    digits.iter().fold(0, |value, digit| {
        value * 10 + u64::from(digit.saturating_sub(b'0'))
    })
}
