//! The pages of a sitting: what a key means on each of them, and what each of them shows.
//!
//! Pure: no clock, no file, no thread. The loop brings a [`Desk`] that says how things stand at a
//! moment, gives every key to [`update()`], does what the [`Ask`] wishes and draws the [`Page`]
//! again.
//! Letters answer; everything else moves or says; nothing that cannot be taken back happens on one
//! key, nor on one key held down.

mod answering;
mod body;
mod foot;
mod guessing;
mod help;
mod keys;
mod moments;
mod notes;
mod pace;
mod page;
mod panels;
mod question;
mod sheet;
mod update;
mod words;

use std::collections::BTreeSet;

use ratatui::layout::Size;

use crate::domain::paper::Paper;
use crate::domain::rule::QuestionNo;
use crate::domain::sitting::{Command, Phase, Refusal, Sitting};
use crate::domain::time::Elapsed;
use crate::screens::theme::Theme;
use keys::Stroke;

pub use moments::next_change;
pub use page::{Page, draw};
pub use update::{opening, update};

/// The smallest frame on which everything can be used.
pub const SMALLEST: Size = Size::new(60, 18);

/// Whether the answers are on the disk.
#[derive(Clone, Copy, Debug)]
pub enum SaveState<'a> {
    /// Everything is.
    Saved,
    /// The answers to these questions are on their way.
    Saving {
        /// Whose answers are not on the disk yet; empty while only moves are.
        unsaved: &'a BTreeSet<QuestionNo>,
    },
    /// The file can no longer be written.
    Trouble {
        /// What is wrong, as a sentence.
        sentence: &'a str,
        /// Where else the sitting could be saved.
        elsewhere: Option<&'a str>,
        /// Whose answers are not on the disk.
        unsaved: &'a BTreeSet<QuestionNo>,
    },
}

/// Everything that a page is drawn from, as it stands at one moment.
#[derive(Clone, Copy, Debug)]
pub struct Desk<'a> {
    /// The sitting.
    pub sitting: &'a Sitting,
    /// The questions, where they are at hand.
    pub paper: Option<&'a Paper>,
    /// The moment.
    pub at: Elapsed,
    /// Whether the answers are on the disk.
    pub saved: SaveState<'a>,
    /// What a guess is worth under this paper's rule, a short line each; the first is the shortest.
    pub advice: &'a [String],
    /// The styles.
    pub theme: Theme,
    /// The frame's size as last drawn: how far a page scrolls depends on it.
    pub size: Size,
}

impl Desk<'_> {
    /// Whether the answer to `question` is not on the disk yet.
    fn is_unsaved(&self, question: QuestionNo) -> bool {
        match self.saved {
            SaveState::Saved => false,
            SaveState::Saving { unsaved } | SaveState::Trouble { unsaved, .. } => {
                unsaved.contains(&question)
            }
        }
    }

    /// The questions that the page is about: all, or after time those without an answer in time.
    fn questions(&self) -> Vec<QuestionNo> {
        let guessing = self.sitting.phase() == Phase::GuessRound;
        let rows = self.sitting.rows().iter();
        rows.filter(|row| !guessing || row.in_time.is_none())
            .map(|row| row.number)
            .collect()
    }

    /// The question that keys act on: the open one; in the guess round always one that was blank.
    fn current(&self) -> Option<QuestionNo> {
        let open = self.sitting.open();
        if self.sitting.phase() != Phase::GuessRound {
            return open;
        }
        let questions = self.questions();
        open.filter(|open| questions.contains(open))
            .or_else(|| self.sitting.blanks().next())
            .or_else(|| questions.first().copied())
    }
}

/// What the pupil's keys ask of the loop.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Ask {
    /// Decide and record these, one after another, up to the first refusal.
    Wish(Vec<Command>),
    /// Fill what is still blank at random.
    FillBlanks,
    /// Save in the other place that the trouble named.
    SaveElsewhere,
    /// Try again now to save.
    TryAgain,
    /// Leave, with the sitting still open.
    Leave,
    /// Paint the whole screen anew.
    Redraw,
}

/// Whether the clock is on the page.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum ClockShown {
    #[default]
    Yes,
    No,
}

/// Whether the first of the two steps of a confirmation was taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Step {
    First,
    Second,
}

/// A page that lies on top of the one that the sitting itself asks for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Overlay {
    Help,
    Menu,
    /// Finish early?
    Finish(Step),
    /// Give the sitting up?
    GiveUp(Step),
    /// After time: end?
    End(Step),
}

/// The page on the screen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Shown {
    TooSmall,
    Answering,
    Guessing,
    RestBreak,
    TimeUp(Step),
    Closed,
    Over(Overlay),
}

/// How far a page is scrolled; it holds only for the page and question it was made on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Scroll {
    shown: Shown,
    question: Option<QuestionNo>,
    top: usize,
}

/// What belongs to the screen alone; nothing of it is recorded.
#[derive(Clone, Debug, Default)]
pub struct Model {
    /// The digits of a jump; an empty text after `#`.
    typed: Option<String>,
    /// What lies on top, and the phase it was opened in: it goes when the phase does.
    over: Option<(Overlay, Phase)>,
    clock: ClockShown,
    /// The message, and the phase that it is about where it is about one.
    line: Option<(String, Option<Phase>)>,
    /// Whether Ctrl-C was the last key.
    leaving: bool,
    /// Whether `*` was the last key, and Enter would fill the blanks.
    filling: bool,
    /// The last key, and when it came.
    last: Option<(Stroke, Elapsed)>,
    /// What was opened in the guess round: the sheet itself knows only of what was opened in time.
    looked: BTreeSet<QuestionNo>,
    scroll: Option<Scroll>,
}

impl Model {
    /// A screen on which nothing has been pressed.
    pub fn new() -> Self {
        Self::default()
    }

    /// The screen of a sitting that is taken up again: a hidden clock stays hidden.
    pub fn of(sitting: &Sitting) -> Self {
        let clock = if sitting.clock_hidden() {
            ClockShown::No
        } else {
            ClockShown::Yes
        };
        Self {
            clock,
            ..Self::default()
        }
    }

    /// Puts a sentence on the message line until the next key.
    pub fn say(&mut self, sentence: impl Into<String>) {
        self.line = Some((sentence.into(), None));
    }

    /// Says why a wish was not granted.
    pub fn refused(&mut self, refusal: Refusal) {
        self.say(refusal.to_string());
    }

    /// Says that pasted text was dropped.
    pub fn pasted(&mut self) {
        self.say("Pasted text is not used here. Press the keys yourself.");
    }

    /// The message, unless the sitting has moved on since.
    fn message(&self, phase: Phase) -> Option<&str> {
        let (line, about) = self.line.as_ref()?;
        about
            .is_none_or(|about| about == phase)
            .then_some(line.as_str())
    }

    /// The page on the screen.
    fn shown(&self, desk: &Desk<'_>) -> Shown {
        let phase = desk.sitting.phase();
        let over = self.over.filter(|(_, opened_in)| *opened_in == phase);
        if desk.size.width < SMALLEST.width || desk.size.height < SMALLEST.height {
            return Shown::TooSmall;
        }
        match (phase, over.map(|(overlay, _)| overlay)) {
            (Phase::TimeUp, Some(Overlay::End(step))) => Shown::TimeUp(step),
            (_, Some(overlay)) => Shown::Over(overlay),
            (Phase::Running, None) => Shown::Answering,
            (Phase::OnBreak, None) => Shown::RestBreak,
            (Phase::TimeUp, None) => Shown::TimeUp(Step::First),
            (Phase::GuessRound, None) => Shown::Guessing,
            (Phase::Closed(_), None) => Shown::Closed,
        }
    }

    /// The first line shown of what scrolls on the page.
    fn top(&self, desk: &Desk<'_>) -> usize {
        let (shown, question) = (self.shown(desk), desk.current());
        self.scroll
            .filter(|scroll| scroll.shown == shown && scroll.question == question)
            .map_or(0, |scroll| scroll.top)
    }
}
