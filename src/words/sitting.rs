//! What is said during a sitting: one value each, in two voices.
//!
//! A page has one line for it and shows the rest by itself ([`Said::shown`]); line by line, it is
//! all that there is ([`Said::spoken`]).

pub mod around;
pub mod page;
mod parts;
mod shown;
mod spoken;

use crate::domain::event::How;
use crate::domain::labels::Label;
use crate::domain::rule::QuestionNo;
use crate::domain::sitting::{Phase, Refusal, Sitting};
use crate::domain::time::Elapsed;
use crate::words::guess::GuessWorth;

pub use parts::{CrossedOption, FillOffer, LookAgain, SweepSaid};
pub use spoken::{ON_BREAK, blanks_by_number, choose, last_in_time};

/// Something to say to a pupil in a sitting.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Said {
    /// The clock runs, at the beginning or again.
    ClockRuns {
        /// The time allowed, at the very beginning.
        fresh: Option<Elapsed>,
        /// The time left, unless the clock is hidden.
        left: Option<Elapsed>,
        /// How many questions there are.
        questions: usize,
        /// How many of them are blank.
        blanks: usize,
        /// What a letter does now.
        letter: FirstLetter,
    },
    /// An option was chosen.
    Answered {
        /// The question.
        question: QuestionNo,
        /// The option.
        option: Label,
        /// The option before.
        before: Option<Label>,
        /// How it was come by, where that was said with it or of the answer before.
        how: Option<How>,
        /// Whether it was crossed out.
        crossed: bool,
    },
    /// Something of a sweep.
    Sweep(SweepSaid),
    /// An option was crossed out, or back.
    CrossedOut(CrossedOption),
    /// Nothing is blank any more: where to look next.
    AllAnswered(LookAgain),
    /// An option was chosen in the guess round.
    Guessed {
        /// The question.
        question: QuestionNo,
        /// The option.
        option: Label,
        /// The guess before.
        before: Option<Label>,
    },
    /// It was said how an answer was come by.
    How {
        /// The question.
        question: QuestionNo,
        /// Its answer.
        option: Label,
        /// How it was come by.
        how: How,
    },
    /// There is no answer of which that could be said.
    NothingToSayOf(QuestionNo),
    /// An answer was taken back.
    RubbedOut(QuestionNo),
    /// There is no answer to take back.
    NothingToRubOut {
        /// The question.
        question: QuestionNo,
    },
    /// There is no guess to take back.
    NoGuessToRubOut {
        /// The question.
        question: QuestionNo,
    },
    /// A blank was left for later.
    LeftForLater {
        /// The question.
        question: QuestionNo,
        /// Whether it is the last one.
        last: bool,
    },
    /// A question with an answer was passed by.
    KeepsAnswer {
        /// The question.
        question: QuestionNo,
        /// Its answer.
        option: Label,
        /// Whether it is the last one.
        last: bool,
    },
    /// A flag was put up or taken away.
    Flagged {
        /// The question.
        question: QuestionNo,
        /// Whether there is a flag now.
        up: bool,
    },
    /// There is no question before.
    FirstQuestion,
    /// There is no question after.
    LastQuestion {
        /// The first question.
        first: Option<QuestionNo>,
        /// The blanks.
        blanks: Vec<QuestionNo>,
        /// The question being worked on.
        open: Option<QuestionNo>,
    },
    /// There is no other blank.
    NoOtherBlank {
        /// Whether the question being worked on is the only blank of a running sitting.
        only: bool,
    },
    /// There is no blank to go on to in the guess round.
    RoundIsThrough {
        /// The only question that is still blank.
        still: Option<QuestionNo>,
    },
    /// There is no question that way in the guess round.
    NoOtherThatWay,
    /// No flag is up.
    NoFlags,
    /// No answer is called unsure.
    NoUnsure,
    /// No question is open, so that it is not known which one is meant.
    WhichQuestion,
    /// A rest break is on.
    OnBreak,
    /// The rest break is over.
    ClockRunsAgain,
    /// The guess round is on.
    GuessRoundBegun,
    /// There is nothing to guess.
    NothingToGuess,
    /// Nothing is blank.
    NothingBlank,
    /// The blanks are filled at random.
    Filled,
    /// What was asked about filling was dropped.
    NotFilled,
    /// All that was filled is blank again.
    FillsTakenBack,
    /// There is nothing to fill and nothing that was filled.
    NothingFilled,
    /// Finish?
    AskFinish(Finishing),
    /// Give up?
    AskGiveUp,
    /// Stop the program?
    AskLeave(AwayTime),
    /// Begin the guess round?
    AskGuess {
        /// How many are blank.
        blanks: usize,
    },
    /// Fill so many blanks at random?
    AskFill(FillOffer),
    /// On every blank a guess at random would lose marks on average.
    NothingToFill,
    /// The program stops and the sitting is kept.
    Kept,
    /// Time is up, heard for the first time with what was said too late.
    TimeIsUp {
        /// Whether the questions were on the screen: pens are for printed papers.
        on_screen: bool,
    },
    /// Time is up, announced at the moment itself.
    TimeIsUpNow {
        /// Whether the questions were on the screen.
        on_screen: bool,
    },
    /// What was said does not count: it came after time was up.
    TooLate {
        /// Whether it was an answer.
        answer: bool,
    },
    /// What to do about the blanks after time?
    AfterTime {
        /// The blanks.
        blanks: Vec<QuestionNo>,
        /// What was answered last in time.
        last: Option<(QuestionNo, Label)>,
    },
    /// Guess or end?
    Choose {
        /// Whether there is a blank.
        blank: bool,
    },
    /// A checkpoint of the plan has come.
    Checkpoint {
        /// The time used, unless the clock is hidden.
        used: Option<Elapsed>,
        /// The question to be done with.
        done: QuestionNo,
        /// The question that is open.
        open: Option<QuestionNo>,
    },
    /// The moment at which the blanks are mentioned.
    Reminder(Reminder),
    /// It cannot be, for this reason.
    Refused(Refusal),
}

/// What a letter does when the clock begins to run, or runs again.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FirstLetter {
    /// It answers the open question.
    Answers,
    /// Nothing yet: on a printed paper only the pupil knows which question is being read.
    NeedsNumber,
    /// It guesses, since the sweep that was on is still on.
    Guesses,
}

/// What the reminder of the blanks tells.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Reminder {
    /// The time left, unless the clock is hidden.
    pub left: Option<Elapsed>,
    /// The blanks.
    pub blanks: Vec<QuestionNo>,
    /// What guesses on them bring.
    pub guesses: GuessWorth,
}

/// What becomes of the time while the pupil is away.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AwayTime {
    /// It counts as time used.
    Counts,
    /// Leaving is a rest break.
    Break,
    /// A rest break is on already.
    StillBreak,
    /// Time was up before.
    AfterTime,
    /// The sitting is over; only saving is not.
    Over,
}

impl AwayTime {
    /// What would become of it if the pupil left a sitting now.
    pub fn of(sitting: &Sitting) -> Self {
        match sitting.phase() {
            Phase::Running if sitting.leaving_counts() => Self::Counts,
            Phase::Running => Self::Break,
            Phase::OnBreak => Self::StillBreak,
            Phase::TimeUp | Phase::GuessRound => Self::AfterTime,
            Phase::Closed(_) => Self::Over,
        }
    }

    /// The same in a sentence.
    pub const fn sentence(self) -> &'static str {
        match self {
            Self::Counts => "The clock keeps running while you're away.",
            Self::Break => "Leaving is a rest break: the clock stops until you're back.",
            Self::StillBreak => "The clock stays stopped while you're away.",
            Self::AfterTime => "Your answers in time are locked and safe.",
            Self::Over => "What isn't saved will be lost.",
        }
    }
}

/// What to know before a sitting is ended.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Finishing {
    /// Where the sitting stands.
    pub phase: Phase,
    /// The time left, unless the clock is hidden.
    pub left: Option<Elapsed>,
    /// The blanks.
    pub blanks: Vec<QuestionNo>,
    /// The flags.
    pub flags: Vec<QuestionNo>,
    /// What guesses on the blanks bring.
    pub guesses: GuessWorth,
}
