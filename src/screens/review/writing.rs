//! What the tutor is writing: the cause of a lost mark, or a note.

use super::ask::Saying;
use super::ink::Ink;
use crate::domain::notes::Cause;
use crate::domain::rule::QuestionNo;
use crate::screens::press::Press;
use crate::words::text::cut;

/// The longest note.
const LONGEST_NOTE: usize = 500;

/// Something being written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Writing {
    /// A cause is being chosen.
    Cause {
        question: QuestionNo,
        /// The row chosen: a cause, or after them none.
        at: usize,
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
}

/// What a key did to it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Wrote {
    /// It goes on.
    On,
    /// It is dropped.
    Dropped,
    /// It is to be kept.
    Keep(Saying),
}

impl Writing {
    /// Chooses a cause, from the one set before.
    pub(super) fn cause(question: QuestionNo, before: Option<Cause>, text: String) -> Self {
        let set = before.and_then(|before| Cause::ALL.iter().position(|own| *own == before));
        let at = set.unwrap_or(0);
        Self::Cause { question, at, text }
    }

    /// Takes a key.
    pub(super) fn press(&mut self, press: Press) -> Wrote {
        match (self, press) {
            (_, Press::Esc | Press::Stop) => Wrote::Dropped,
            (Self::Cause { question, at, text }, press) => {
                let keep = |at: usize| {
                    Wrote::Keep(Saying {
                        question: Some(*question),
                        cause: Cause::ALL.get(at).copied(),
                        text: text.clone(),
                    })
                };
                match press {
                    Press::Up => *at = at.saturating_sub(1),
                    Press::Down => *at = (*at + 1).min(Cause::ALL.len()),
                    Press::Home | Press::PageUp => *at = 0,
                    Press::End | Press::PageDown => *at = Cause::ALL.len(),
                    Press::Enter => return keep(*at),
                    Press::Backspace => return keep(Cause::ALL.len()),
                    Press::Char(c) => {
                        // 1 to 9, and 0 for the tenth.
                        let digit = c.to_digit(10).and_then(|d| usize::try_from(d).ok());
                        if let Some(digit) = digit {
                            return keep(digit.checked_sub(1).unwrap_or(9));
                        }
                    }
                    _ => {}
                }
                Wrote::On
            }
            (
                Self::Note {
                    question,
                    text,
                    cause,
                },
                press,
            ) => {
                match press {
                    Press::Enter => {
                        return Wrote::Keep(Saying {
                            question: *question,
                            cause: *cause,
                            text: text.trim().to_owned(),
                        });
                    }
                    Press::Backspace => drop(text.pop()),
                    Press::Char(c) if text.chars().count() < LONGEST_NOTE => text.push(c),
                    _ => {}
                }
                Wrote::On
            }
        }
    }

    /// Writes it in the place of the page.
    pub(super) fn write(&self, ink: &mut Ink<'_>) {
        match self {
            Self::Cause { question, at, .. } => {
                ink.heading(&format!("Why was the mark on question {question} lost?"));
                for (index, cause) in Cause::ALL.into_iter().enumerate() {
                    let text = format!("{:<9} {}", cause.word(), cause.means());
                    let key = (index + 1) % 10;
                    row(ink, index == *at, &format!("{key}  {text}"));
                }
                row(ink, *at == Cause::ALL.len(), "   no cause is set");
                ink.blank();
                ink.text("Ask the pupil first. The program only shows what the log holds.");
            }
            Self::Note { question, text, .. } => {
                let about = question.map_or_else(
                    || "Note on the whole sitting".to_owned(),
                    |question| format!("Note on question {question}"),
                );
                ink.heading(&about);
                ink.text(&format!("{text}_"));
                ink.blank();
                let left = LONGEST_NOTE.saturating_sub(text.chars().count());
                ink.text(&format!("{left} characters left. It is kept beside the session, never in it. An empty note takes it away."));
            }
        }
    }
}

fn row(ink: &mut Ink<'_>, chosen: bool, text: &str) {
    use ratatui::text::Span;
    let (sign, style) = ink.choose(chosen);
    let text = cut(text, ink.width.saturating_sub(2));
    ink.line(vec![
        Span::raw(sign),
        Span::raw(" "),
        Span::styled(text, style),
    ]);
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pressed(mut writing: Writing, presses: &[Press]) -> Wrote {
        let wrote = presses.iter().map(|press| writing.press(*press));
        wrote.last().unwrap()
    }

    fn said(cause: Option<Cause>, text: &str) -> Wrote {
        Wrote::Keep(Saying {
            question: Some(QuestionNo(11)),
            cause,
            text: text.into(),
        })
    }

    #[test]
    fn a_cause_takes_one_digit_or_the_arrows_and_keeps_the_words() {
        let fresh = || Writing::cause(QuestionNo(11), Some(Cause::Slip), "why".into());
        assert_eq!(
            pressed(fresh(), &[Press::Enter]),
            said(Some(Cause::Slip), "why")
        );
        assert_eq!(
            pressed(fresh(), &[Press::Char('1')]),
            said(Some(Cause::Misread), "why")
        );
        assert_eq!(
            pressed(fresh(), &[Press::Char('0')]),
            said(Some(Cause::Changed), "why")
        );
        assert_eq!(pressed(fresh(), &[Press::Backspace]), said(None, "why"));
        assert_eq!(
            pressed(fresh(), &[Press::End, Press::Enter]),
            said(None, "why")
        );
        assert_eq!(pressed(fresh(), &[Press::Char('x')]), Wrote::On);
        assert_eq!(pressed(fresh(), &[Press::Esc]), Wrote::Dropped);
    }

    #[test]
    fn a_note_keeps_the_cause() {
        let note = Writing::Note {
            question: Some(QuestionNo(11)),
            text: String::new(),
            cause: Some(Cause::Gap),
        };
        let typed = [
            Press::Char('a'),
            Press::Char('b'),
            Press::Backspace,
            Press::Enter,
        ];
        assert_eq!(pressed(note, &typed), said(Some(Cause::Gap), "a"));
    }
}
