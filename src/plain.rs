//! The sitting line by line, for screen readers and plain terminals.
//!
//! No page, no colour, no drawn lines, nothing that moves by itself: a line typed gets lines said.
//! A label answers the open question, a number opens one, everything else is a word, so that no
//! letter is ever taken for a command. What time it is is said when asked, at the checkpoints of a
//! pace plan, at the reminder and at time up.
//!
//! [`Plain`] is pure: it says what to say and what to ask of the sitting; the shell reads lines,
//! prints lines and records events. The shell asks the sitting with the moment that it gave to
//! [`Plain::line`], so that what was said is what happens.

mod after;
mod around;
mod passing;
mod running;
mod said;
mod typed;

pub use around::{BeforeStart, before_start, read_out_lines, result_lines};

use crate::domain::event::Event;
use crate::domain::paper::Paper;
use crate::domain::rule::QuestionNo;
use crate::domain::sitting::{Command, Phase, Refusal, Sitting};
use crate::domain::time::Elapsed;
use crate::words::count::counted;
use crate::words::time::{left_in_words, time_in_words};
use passing::Passed;
use typed::{Typed, Word};

/// What the shell is asked to do after printing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Ask {
    /// Put these to the sitting, in order.
    Wish(Vec<Command>),
    /// Draw an option for every blank, put [`Command::Fill`] to the sitting, then say
    /// [`Plain::filled`].
    FillBlanks,
    /// Stop the program; the sitting stays open unless it is closed.
    Leave,
}

/// What comes of a typed line.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Reply {
    /// Lines to print.
    pub said: Vec<String>,
    /// What to do then, in order.
    pub asks: Vec<Ask>,
}

impl Reply {
    /// Only words.
    fn said(line: impl Into<String>) -> Self {
        Self {
            said: vec![line.into()],
            asks: Vec::new(),
        }
    }

    /// Only lines.
    const fn lines(said: Vec<String>) -> Self {
        Self {
            said,
            asks: Vec::new(),
        }
    }

    fn and_say(mut self, lines: impl IntoIterator<Item = String>) -> Self {
        self.said.extend(lines);
        self
    }

    fn and_wish(mut self, commands: Vec<Command>) -> Self {
        self.asks.push(Ask::Wish(commands));
        self
    }
}

impl From<Refusal> for Reply {
    fn from(refusal: Refusal) -> Self {
        Self::said(refusal.to_string())
    }
}

/// A word that does what it says only when typed twice.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Pending {
    Finish,
    Leave,
    GiveUp,
}

/// The line-by-line sitting: what was said so far, as far as it matters.
#[derive(Clone, Debug)]
pub struct Plain {
    /// What this rule makes of a blind guess, said before the guess round.
    advice: Vec<String>,
    pending: Option<Pending>,
    passed: Passed,
    /// Whether it was asked what to do about the blanks after time up; a line typed before that
    /// does not count.
    asked_after_time: bool,
}

impl Plain {
    /// Begins at a moment of a sitting, new or taken up again.
    ///
    /// `advice` is what this year's rule makes of a blind guess, a sentence a line.
    pub fn new(sitting: &Sitting, at: Elapsed, advice: Vec<String>) -> Self {
        Self {
            advice,
            pending: None,
            passed: Passed::by(sitting, at),
            asked_after_time: false,
        }
    }

    /// What is said first, and the first question opened.
    pub fn opening(&mut self, sitting: &Sitting, paper: Option<&Paper>, at: Elapsed) -> Reply {
        let header = sitting.header();
        match sitting.phase() {
            Phase::Running => {
                let fresh = sitting.visits().is_empty();
                let questions = counted(sitting.rows().len(), "question");
                let first = if fresh {
                    let allowed = time_in_words(header.allowed);
                    format!("The clock runs: {allowed}, {questions}.")
                } else {
                    let left = left_in_words(sitting.left(at));
                    let blanks = counted(sitting.blanks().count(), "blank");
                    format!("The clock runs: {left} left, {blanks}.")
                };
                let reply = Reply::said(first)
                    .and_say(["A letter answers. Enter goes on. help lists the words.".to_owned()]);
                match here(sitting) {
                    Some(question) => open_in(reply, sitting, paper, question),
                    None => reply,
                }
            }
            Phase::OnBreak => Reply::said(said::ON_BREAK),
            Phase::TimeUp => Reply::lines(self.after_time_prompt(sitting)),
            Phase::GuessRound => match here(sitting) {
                Some(question) => open_in(Reply::said(said::GUESSING), sitting, paper, question),
                None => Reply::said(said::GUESSING),
            },
            Phase::Closed(_) => Reply::said(Refusal::Finished.to_string()),
        }
    }

    /// Takes a typed line, at this moment.
    pub fn line(
        &mut self,
        sitting: &Sitting,
        paper: Option<&Paper>,
        at: Elapsed,
        typed: &str,
    ) -> Reply {
        let pending = self.pending.take();
        let due = matches!(
            sitting.decide(Command::Tick, at),
            Ok(Some(Event::TimeUp { .. }))
        );
        if due || (sitting.phase() == Phase::TimeUp && !self.asked_after_time) {
            let reply = self.first_after_time(sitting, typed);
            return if due {
                Reply {
                    asks: vec![Ask::Wish(vec![Command::Tick])],
                    ..reply
                }
            } else {
                reply
            };
        }
        let typed = Typed::read(typed, sitting);
        if let (Some(pending), Typed::Word(word)) = (pending, &typed)
            && let Some(reply) = confirmed(pending, *word)
        {
            return reply;
        }
        let now = Now { sitting, paper, at };
        match (sitting.phase(), typed) {
            (Phase::Closed(_), _) => Reply {
                said: vec![Refusal::Finished.to_string()],
                asks: vec![Ask::Leave],
            },
            (phase, Typed::Word(word)) if !word.is_for(phase) => Reply::said(word.elsewhere(phase)),
            (_, Typed::Word(Word::Time)) => Reply::said(said::time(sitting, at)),
            (_, Typed::Word(Word::Help)) => Reply::lines(said::help(sitting)),
            (_, Typed::Word(Word::Sheet)) => Reply::lines(said::sheet(sitting)),
            (_, Typed::Word(Word::Blanks)) => Reply::said(said::blanks(sitting)),
            (_, Typed::Word(Word::Leave)) => self.ask_again(Pending::Leave, said::leave(sitting)),
            (_, Typed::Word(Word::GiveUp)) => self.ask_again(
                Pending::GiveUp,
                "Give up this sitting? It is kept, and no mark is asked for. You cannot come back to it. Type give up again to give it up; anything else goes on.",
            ),
            (Phase::Running, typed) => self.running(&now, typed),
            (Phase::OnBreak, Typed::Word(Word::Back)) => now.end_break(),
            (Phase::OnBreak, _) => Reply::said(said::ON_BREAK),
            (Phase::TimeUp, typed) => self.time_up(&now, &typed),
            (Phase::GuessRound, typed) => self.guessing(&now, typed),
        }
    }

    fn ask_again(&mut self, pending: Pending, question: impl Into<String>) -> Reply {
        self.pending = Some(pending);
        Reply::said(question)
    }
}

/// The second time that a word is typed.
fn confirmed(pending: Pending, word: Word) -> Option<Reply> {
    match (pending, word) {
        (Pending::Finish, Word::Finish) => {
            Some(Reply::said("The sitting is over.").and_wish(vec![Command::Finish]))
        }
        (Pending::GiveUp, Word::GiveUp) => {
            Some(Reply::said("The sitting is over.").and_wish(vec![Command::Abandon]))
        }
        (Pending::Leave, Word::Leave) => Some(Reply {
            said: vec!["Everything is kept.".to_owned()],
            asks: vec![Ask::Leave],
        }),
        _ => None,
    }
}

/// What a line is typed into.
struct Now<'a> {
    sitting: &'a Sitting,
    paper: Option<&'a Paper>,
    at: Elapsed,
}

/// The open question, or the first.
fn here(sitting: &Sitting) -> Option<QuestionNo> {
    let first = || sitting.rows().first().map(|row| row.number);
    sitting.open().or_else(first)
}

/// Opens a question and reads it.
fn open_in(reply: Reply, sitting: &Sitting, paper: Option<&Paper>, question: QuestionNo) -> Reply {
    reply
        .and_say(said::question(sitting, paper, question))
        .and_wish(vec![Command::Open(question)])
}
