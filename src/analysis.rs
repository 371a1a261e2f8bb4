//! Where the time of one sitting went, from its log alone.
//!
//! Everything here follows from the events: [`pacing()`] needs no key, [`earned()`] holds the same hour
//! against one. Time on a question is the time that its page was open, with rest breaks, sleep and
//! absences taken out; with a printed paper beside the screen that need not be the time spent
//! thinking about it, and [`Trust`] says how far it may be used.

mod earned;
pub mod evidence;
pub mod findings;
pub mod norms;
mod replay;
mod sweep;
mod timeline;
mod trust;

use crate::domain::event::Ending;
use crate::domain::header::Header;
use crate::domain::labels::Label;
use crate::domain::rule::QuestionNo;
use crate::domain::sitting::Given;
use crate::domain::spans::Spans;
use crate::domain::time::Elapsed;

pub use crate::domain::thresholds::{Limit, Thresholds};
pub use earned::{
    Change, ChangeKind, Earned, MarkAt, Quarter, SectionPace, earned, mark_at, per_minute,
};
pub use replay::{Replay, cut};
pub use sweep::Sweep;
pub use trust::{Block, Trust};

/// A question on the screen from one moment to another.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stay {
    /// The question.
    pub question: QuestionNo,
    /// When it was opened.
    pub from: Elapsed,
    /// When it was left, or when the time in which answers count ended.
    pub to: Elapsed,
    /// How much of that somebody was there.
    pub worked: Elapsed,
}

/// Why nobody was there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum GapKind {
    /// A rest break.
    Break,
    /// The machine slept, or the program was away.
    Away,
}

/// A stretch in which nobody was there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Gap {
    /// When it began.
    pub from: Elapsed,
    /// When it ended, at the latest when the time in which answers count ended.
    pub to: Elapsed,
    /// Why.
    pub kind: GapKind,
}

/// A moment in time at which an answer changed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Choice {
    /// The question.
    pub question: QuestionNo,
    /// The moment.
    pub at: Elapsed,
    /// The time used by then.
    pub used: Elapsed,
    /// What the answer was before.
    pub before: Option<Label>,
    /// What it became; nothing when it was rubbed out.
    pub option: Option<Label>,
    /// How long somebody had been there since the page was opened or the last answer given.
    pub took: Elapsed,
}

/// What can be said of a question at the end of the time in which answers count.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Status {
    /// Answered.
    Answered,
    /// Answered once, and rubbed out.
    Cleared,
    /// Blank, with a later question answered.
    Omitted,
    /// Blank, with nothing after it answered.
    NotReached,
}

/// One question's part of the hour.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct QuestionPace {
    /// The question.
    pub number: QuestionNo,
    /// How long its page was open with somebody there; ask [`Pacing::time_of`] before showing it.
    pub time: Elapsed,
    /// How often it was opened.
    pub visits: usize,
    /// When it was first opened.
    pub opened: Option<Elapsed>,
    /// Its place among the questions in the order in which they were first opened, from 1.
    pub place: Option<usize>,
    /// When it was first answered.
    pub answered: Option<Elapsed>,
    /// When the pupil was first done with it: answered, or opened and left.
    pub done: Option<Elapsed>,
    /// What was known of it at the end.
    pub sheet: Sheet,
}

/// How a question's row stood at the end.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sheet {
    /// What can be said of it.
    pub status: Status,
    /// The answer in time.
    pub in_time: Option<Given>,
    /// The answer of the guess round.
    pub after_time: Option<Given>,
    /// Whether there was a flag beside it.
    pub flagged: bool,
}

/// The whole of the time in which answers count, and what it is made of.
///
/// `questions + idle + breaks + away = ended`, to the millisecond.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Whole {
    /// When it ended: time up, the handing in, or the last record of a sitting that is still open.
    pub ended: Elapsed,
    /// The time used by then, as the exam clock counts it.
    pub used: Elapsed,
    /// Time with a question open and somebody there.
    pub questions: Elapsed,
    /// Time before the first question was opened.
    pub idle: Elapsed,
    /// Rest breaks.
    pub breaks: Elapsed,
    /// Sleep and absences.
    pub away: Elapsed,
}

/// The first visits to the questions, and the visits after them.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Passes {
    /// When the question that was the last to be opened for the first time was left.
    pub first_ended: Option<Elapsed>,
    /// The time used by then.
    pub first_used: Option<Elapsed>,
    /// How many questions were opened.
    pub opened: usize,
    /// Time on first visits.
    pub first: Elapsed,
    /// Time on later visits.
    pub later: Elapsed,
}

/// How a sitting's hour was spent.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pacing {
    /// The whole and its parts.
    pub whole: Whole,
    /// How the sitting ended; nothing while it is open.
    pub ending: Option<Ending>,
    /// Every visit, in order.
    pub stays: Vec<Stay>,
    /// Every stretch in which nobody was there, in order.
    pub gaps: Vec<Gap>,
    /// The stretches that do not count as time used.
    pub stopped: Spans,
    /// By question.
    pub questions: Vec<QuestionPace>,
    /// Every moment in time at which an answer changed, in order.
    pub choices: Vec<Choice>,
    /// First visits and later ones.
    pub passes: Passes,
    /// How far times on single questions can be used.
    pub trust: Trust,
    /// The filling of blanks at the end, where there was one.
    pub sweep: Option<Sweep>,
}

/// Works out the pacing of a sitting from its log.
pub fn pacing(
    header: &Header,
    log: &[crate::domain::event::Stamped],
    limits: &Thresholds,
) -> Pacing {
    let walked = timeline::walk(header, log);
    let trust = trust::trust(header, &walked, limits);
    let sweep = sweep::sweep(header, &walked, limits);
    Pacing {
        trust,
        sweep,
        ..walked
    }
}

impl Pacing {
    /// One question's part of the hour.
    pub fn question(&self, number: QuestionNo) -> Option<&QuestionPace> {
        self.questions.iter().find(|pace| pace.number == number)
    }

    /// The time on a question where it can be trusted.
    pub fn time_of(&self, number: QuestionNo) -> Option<Elapsed> {
        let pace = self.question(number)?;
        self.trust.holds(number).then_some(pace.time)
    }

    /// The time used at a moment, as the exam clock counts it.
    pub fn used_at(&self, at: Elapsed) -> Elapsed {
        let at = at.min(self.whole.ended);
        at.since(self.stopped.total(at)).min(self.whole.used)
    }

    /// The questions without an answer when the time in which answers count ended.
    pub fn blanks(&self) -> Vec<QuestionNo> {
        self.numbers(|pace| pace.sheet.in_time.is_none())
    }

    /// Time on what stayed blank.
    pub fn time_on_blanks(&self) -> Elapsed {
        let blank = |pace: &&QuestionPace| pace.sheet.in_time.is_none();
        sum(self.questions.iter().filter(blank).map(|pace| pace.time))
    }

    /// The questions with a flag at the end.
    pub fn flags(&self) -> Vec<QuestionNo> {
        self.numbers(|pace| pace.sheet.flagged)
    }

    /// The questions answered in time of which the pupil said that it was a guess.
    pub fn guessed_in_time(&self) -> Vec<QuestionNo> {
        self.numbers(|pace| pace.sheet.in_time.is_some_and(|given| given.how.is_luck()))
    }

    /// The questions guessed or filled after time was up.
    pub fn guessed_after_time(&self) -> Vec<QuestionNo> {
        self.numbers(|pace| pace.sheet.in_time.is_none() && pace.sheet.after_time.is_some())
    }

    /// The questions in the order in which they were first opened.
    pub fn order(&self) -> Vec<QuestionNo> {
        let mut opened: Vec<_> = self
            .questions
            .iter()
            .filter(|q| q.place.is_some())
            .collect();
        opened.sort_by_key(|pace| pace.place);
        opened.iter().map(|pace| pace.number).collect()
    }

    /// How often an option was changed for another.
    pub fn changes(&self) -> usize {
        let changed = |choice: &&Choice| choice.before.is_some() && choice.option.is_some();
        self.choices.iter().filter(changed).count()
    }

    fn numbers(&self, which: impl Fn(&QuestionPace) -> bool) -> Vec<QuestionNo> {
        let which = self.questions.iter().filter(|pace| which(pace));
        which.map(|pace| pace.number).collect()
    }
}

/// Spans added up.
fn sum(spans: impl Iterator<Item = Elapsed>) -> Elapsed {
    spans.fold(Elapsed::ZERO, std::ops::Add::add)
}
