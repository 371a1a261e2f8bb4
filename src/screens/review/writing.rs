//! What the tutor is writing: the cause of a lost mark, or a note.

use std::path::PathBuf;

use super::request::{Request, Saying, Vouching};
use crate::domain::header::Header;
use crate::domain::notes::{Cause, LONGEST_NOTE};
use crate::domain::rule::QuestionNo;
use crate::domain::step::{LONGEST_STEP, Step};
use crate::screens::kit::{List, Move, PageWriter};
use crate::words::cause::means;
use crate::words::review as words;
use crate::words::step::beyond;
use crate::words::text::capital;

/// The step that a text means: a listed one, else one in words of their own; none where nothing is typed.
fn step_of(text: &str) -> Option<Step> {
    let text = text.trim();
    let listed = text.parse().ok().map(Step::Listed);
    listed.or_else(|| (!text.is_empty()).then(|| Step::OwnWords(text.to_owned())))
}

/// Something being written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Writing {
    /// A cause is being chosen.
    Cause {
        question: QuestionNo,
        /// The causes, and after them none.
        causes: List<Option<Cause>>,
        /// The words said before, which stay.
        text: String,
    },
    /// A note is being typed.
    Note {
        /// The question; nothing means the whole sitting.
        question: Option<QuestionNo>,
        text: String,
        /// The cause set before, which stays.
        cause: Option<Cause>,
    },
    /// Why a sitting does not count is being typed.
    Reason {
        /// Its file.
        path: PathBuf,
        /// Whose sitting it is, when and of which paper.
        title: String,
        text: String,
    },
    /// What the tutor vouches for is being ticked.
    Ticks {
        timed: bool,
        supervised: bool,
        text: String,
    },
    /// The step for the next sitting is being typed.
    Step { text: String },
}

impl Writing {
    /// Chooses a cause, from the one set before.
    pub(super) fn cause(question: QuestionNo, before: Option<Cause>, text: String) -> Self {
        let set = before.and_then(|before| Cause::ALL.iter().position(|own| *own == before));
        let rows = Cause::ALL.into_iter().map(Some).chain([None]);
        Self::Cause {
            question,
            causes: List::on(rows.collect(), set.unwrap_or(0)),
            text,
        }
    }

    /// Moves to another cause.
    pub(super) fn go(&mut self, by: Move) {
        if let Self::Cause { causes, .. } = self {
            let all = causes.rows().len();
            causes.go(by, all);
        }
    }

    /// Chooses the cause of a digit: 1 to 9, and 0 for the tenth.
    pub(super) fn choose(&mut self, digit: char) {
        let digit = digit.to_digit(10).and_then(|d| usize::try_from(d).ok());
        if let (Self::Cause { causes, .. }, Some(digit)) = (self, digit) {
            *causes = List::on(causes.rows().to_vec(), digit.checked_sub(1).unwrap_or(9));
        }
    }

    /// Chooses no cause.
    pub(super) fn choose_none(&mut self) {
        self.go(Move::Last);
    }

    /// Takes a character into a note.
    pub(super) fn type_in(&mut self, c: char) {
        let most = match self {
            Self::Step { .. } => LONGEST_STEP,
            _ => LONGEST_NOTE,
        };
        let Some(text) = self.text() else { return };
        if text.chars().count() < most {
            text.push(c);
        }
    }

    /// What is typed, where letters write.
    fn text(&mut self) -> Option<&mut String> {
        match self {
            Self::Note { text, .. }
            | Self::Reason { text, .. }
            | Self::Ticks { text, .. }
            | Self::Step { text } => Some(text),
            Self::Cause { .. } => None,
        }
    }

    /// Sets a tick or takes it away: that the time was seen to be kept, or else that somebody was there.
    pub(super) fn tick(&mut self, time: bool) {
        if let Self::Ticks {
            timed, supervised, ..
        } = self
        {
            let tick = if time { timed } else { supervised };
            *tick = !*tick;
        }
    }

    /// Takes the last character of a note away.
    pub(super) fn rub_out(&mut self) {
        if let Some(text) = self.text() {
            text.pop();
        }
    }

    /// What is to be kept.
    pub(super) fn request(&self) -> Request {
        match self {
            Self::Cause {
                question,
                causes,
                text,
            } => Request::Say(Saying {
                question: Some(*question),
                cause: causes.chosen().copied().flatten(),
                text: text.clone(),
            }),
            Self::Note {
                question,
                text,
                cause,
            } => Request::Say(Saying {
                question: *question,
                cause: *cause,
                text: text.trim().to_owned(),
            }),
            Self::Reason { path, text, .. } => Request::Decide {
                path: path.clone(),
                because: text.trim().to_owned(),
            },
            Self::Ticks {
                timed,
                supervised,
                text,
            } => Request::Vouch(Vouching {
                timed: *timed,
                supervised: *supervised,
                sentence: text.trim().to_owned(),
            }),
            Self::Step { text } => Request::Agree(step_of(text)),
        }
    }

    /// Why it cannot be kept of this sitting, where it cannot.
    pub(super) fn refused(&self, header: &Header) -> Option<String> {
        let Self::Step { text } = self else {
            return None;
        };
        let Some(Step::Listed(step)) = step_of(text) else {
            return None;
        };
        let reason = step.fits(header).err()?;
        Some(format!("{}.", capital(&beyond(reason))))
    }

    /// Writes it in the place of the page.
    pub(super) fn write(&self, ink: &mut PageWriter) {
        match self {
            Self::Cause {
                question, causes, ..
            } => {
                ink.heading(&words::why_lost(*question));
                for (index, cause) in causes.rows().iter().enumerate() {
                    let key = (index + 1) % 10;
                    let text = cause.map_or_else(
                        || format!("   {}", words::NO_CAUSE),
                        |cause| format!("{key}  {:<9} {}", cause.word(), means(cause)),
                    );
                    ink.row(index == causes.at(), &text, "");
                }
                ink.blank();
                ink.text(words::ASK_FIRST);
            }
            Self::Note { question, text, .. } => {
                ink.heading(&words::note_on(*question));
                ink.text(&format!("{text}_"));
                ink.blank();
                let left = LONGEST_NOTE.saturating_sub(text.chars().count());
                ink.text(&words::note_room(left));
            }
            Self::Reason { title, text, .. } => {
                ink.heading(&words::why_left_out(title));
                ink.text(&format!("{text}_"));
                ink.blank();
                ink.text(words::NOTHING_COUNTS_IT);
            }
            Self::Ticks {
                timed,
                supervised,
                text,
            } => {
                ink.heading(words::TICKS);
                ink.text(&words::tick(*timed, words::SAW_THE_TIME));
                ink.text(&words::tick(*supervised, words::WAS_THERE));
                ink.blank();
                ink.text(words::SENTENCE);
                ink.text(&format!("{text}_"));
            }
            Self::Step { text } => {
                ink.heading(words::STEP);
                ink.text(&format!("{text}_"));
                ink.blank();
                ink.text(&words::step_so_far(step_of(text).as_ref()));
                ink.blank();
                ink.text(words::STEP_KINDS);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn said(cause: Option<Cause>, text: &str) -> Request {
        Request::Say(Saying {
            question: Some(QuestionNo(11)),
            cause,
            text: text.into(),
        })
    }

    #[test]
    fn a_cause_takes_one_digit_or_the_arrows_and_keeps_the_words() {
        let fresh = || Writing::cause(QuestionNo(11), Some(Cause::Slip), "why".into());
        assert_eq!(fresh().request(), said(Some(Cause::Slip), "why"));
        let chosen = |change: &dyn Fn(&mut Writing)| {
            let mut writing = fresh();
            change(&mut writing);
            writing.request()
        };
        let digit = |digit| chosen(&|writing: &mut Writing| writing.choose(digit));
        assert_eq!(digit('1'), said(Some(Cause::Misread), "why"));
        assert_eq!(digit('0'), said(Some(Cause::Changed), "why"));
        assert_eq!(chosen(&Writing::choose_none), said(None, "why"));
        assert_eq!(chosen(&|own| own.go(Move::Last)), said(None, "why"));
        let first = said(Some(Cause::Misread), "why");
        assert_eq!(chosen(&|own| own.go(Move::PageUp)), first);
    }

    #[test]
    fn a_note_keeps_the_cause_and_any_character() {
        let mut note = Writing::Note {
            question: Some(QuestionNo(11)),
            text: String::new(),
            cause: Some(Cause::Gap),
        };
        for c in "why?b".chars() {
            note.type_in(c);
        }
        note.rub_out();
        assert_eq!(note.request(), said(Some(Cause::Gap), "why?"));
    }
}
