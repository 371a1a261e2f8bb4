//! What can be said in a sitting.

use super::confirm::Confirm;
use crate::domain::event::How;
use crate::domain::labels::Label;
use crate::domain::rule::QuestionNo;
use crate::domain::sitting::Phase;

/// One thing said, whatever key or word said it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Move {
    /// Choose an option of the question that is being worked on, and say how it was come by.
    Answer(Label, Option<How>),
    /// The same for another question, which is gone to.
    AnswerAt(QuestionNo, Label, Option<How>),
    /// Go to a question.
    Go(QuestionNo),
    /// Go to the question after.
    Next,
    /// Go to the question before.
    Previous,
    /// Go to the first question.
    First,
    /// Go to the last question.
    Last,
    /// Go to the next blank, round the end to the first.
    NextBlank,
    /// Go to the next flag, round the end to the first.
    NextFlag,
    /// Go to the next unsure answer, round the end to the first.
    NextUnsure,
    /// Leave the question for later and go on.
    Skip,
    /// Put the flag up, or take it away.
    Flag,
    /// Take the answer back.
    RubOut,
    /// Cross an option out, or take the cross away.
    CrossOut(Label),
    /// Begin the sweep, or leave it.
    Sweep,
    /// Say how the answer was come by.
    Say(How),
    /// The same in turn: unsure, a guess, worked.
    SayNext,
    /// Hide the clock.
    HideClock,
    /// Have the clock shown again.
    ShowClock,
    /// Begin a rest break.
    StartBreak,
    /// End the rest break.
    EndBreak,
    /// Begin the guess round; asks once more.
    Guess,
    /// Fill the blanks at random; asks once more.
    Fill,
    /// Take back all that was filled at random.
    TakeFillsBack,
    /// End the sitting; asks once more.
    Finish,
    /// Give the sitting up; asks once more.
    GiveUp,
    /// Stop the program, the sitting stays open; asks once more.
    Leave,
    /// Yes, to what was asked.
    Confirm,
    /// Anything else: what was asked is dropped.
    Cancel,
    /// Nothing but going on: takes note that time is up.
    Listen,
}

impl Move {
    /// Whether it means anything in this phase, as far as the phase alone can tell.
    pub const fn is_for(self, phase: Phase) -> bool {
        match self {
            Self::Answer(..)
            | Self::AnswerAt(..)
            | Self::Go(_)
            | Self::Next
            | Self::Previous
            | Self::First
            | Self::Last
            | Self::NextBlank
            | Self::Skip
            | Self::CrossOut(_)
            | Self::RubOut => matches!(phase, Phase::Running | Phase::GuessRound),
            Self::NextFlag
            | Self::NextUnsure
            | Self::Sweep
            | Self::Flag
            | Self::Say(_)
            | Self::SayNext
            | Self::HideClock
            | Self::ShowClock
            | Self::StartBreak => matches!(phase, Phase::Running),
            Self::EndBreak => matches!(phase, Phase::OnBreak),
            Self::Guess => matches!(phase, Phase::TimeUp),
            Self::Fill | Self::TakeFillsBack => matches!(phase, Phase::GuessRound),
            Self::Finish => !matches!(phase, Phase::OnBreak | Phase::Closed(_)),
            Self::GiveUp => !matches!(phase, Phase::Closed(_)),
            Self::Leave | Self::Confirm | Self::Cancel | Self::Listen => true,
        }
    }

    /// What is asked once more before this is done.
    pub const fn asks(self) -> Option<Confirm> {
        match self {
            Self::Finish => Some(Confirm::Finish),
            Self::GiveUp => Some(Confirm::GiveUp),
            Self::Leave => Some(Confirm::Leave),
            Self::Fill => Some(Confirm::Fill),
            Self::Guess => Some(Confirm::Guess),
            _ => None,
        }
    }
}
