//! Practice: missed questions tried again, without a clock.
//!
//! A question is tried, then comes its hint and a second try, then its working: with no try there is no answer
//! shown, and none is only called right or wrong. What happened is a log of its own, apart from sittings.

mod round;

use chrono::{DateTime, FixedOffset, Utc};
use serde::{Deserialize, Serialize};

use super::character::read_on_one_line;
use super::labels::Label;
use super::paper::{Fingerprint, PaperId};
use super::rule::QuestionNo;
use super::time::Elapsed;

pub use round::{LaterWorking, NoRoundMove, PracticeRound, RoundMove, RoundQuestion, RoundStage};

/// The version of the practice file that this program writes; it reads all up to it.
pub const PRACTICE_FORMAT: u32 = 1;

/// The most characters that are kept of what a pupil says was the catch.
pub const LONGEST_CATCH: usize = 200;

/// When somebody who practises sees answers and workings: late is no worse than at once (Metcalfe, Kornell and Finn 2009,
/// doi 10.3758/MC.37.8.1077), so that it is the tutor's choice.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum WorkingShown {
    /// As soon as a question is over.
    #[default]
    AtOnce,
    /// All together, once the session has ended.
    AtTheEnd,
    /// Never here: the tutor shows them.
    ByTheTutor,
}

impl WorkingShown {
    /// Each with the word that a file has for it.
    pub const ALL: [(&'static str, Self); 3] = [
        ("at-once", Self::AtOnce),
        ("at-end", Self::AtTheEnd),
        ("by-tutor", Self::ByTheTutor),
    ];

    /// The word that a file has for it.
    pub fn word(self) -> &'static str {
        let own = Self::ALL.iter().find(|(_, own)| *own == self);
        own.map_or("", |(word, _)| word)
    }
}

/// What is settled before a session of practice; whose it is, the folder of its file says.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct PracticeStart {
    /// The session's id.
    #[serde(deserialize_with = "read_on_one_line")]
    pub practice: String,
    /// The wall clock at the start, with its zone.
    pub started: DateTime<FixedOffset>,
    /// The program's version.
    #[serde(deserialize_with = "read_on_one_line")]
    pub program: String,
}

/// A question of one version of a paper.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct PaperQuestion {
    /// The paper's id.
    #[serde(deserialize_with = "read_on_one_line")]
    pub paper: String,
    /// The version of the paper's questions.
    pub fingerprint: Fingerprint,
    /// The question.
    pub question: QuestionNo,
    /// The fingerprint of its words, where it has any: what makes it the same one on another paper.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub words: Option<Fingerprint>,
}

impl PaperQuestion {
    /// Its paper, in that version.
    pub fn paper_id(&self) -> PaperId {
        PaperId::new(&self.paper, &self.fingerprint)
    }
}

/// One thing that happened in a session of practice. What follows [`Self::Opened`] is about that question.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[non_exhaustive]
pub enum PracticeEvent {
    /// A question was opened; where its working follows and no try, it was shown once more at the end.
    Opened(PaperQuestion),
    /// An option was chosen.
    Tried {
        /// Which.
        option: Label,
        /// Whether it was the first try, without the hint.
        unaided: bool,
    },
    /// The hint was shown.
    HintShown,
    /// The right answer was shown, with the working where the key has one.
    WorkingShown,
    /// The pupil said what the catch was.
    Catch(String),
    /// The session ended.
    Stopped,
}

/// An event with both clocks.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PracticeMoment {
    /// Milliseconds since the start, on the clock that nobody can set.
    pub at: Elapsed,
    /// Wall time.
    pub utc: DateTime<Utc>,
    /// What happened.
    pub event: PracticeEvent,
}

/// One session of practice, as far as its file holds it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PracticeLog {
    /// What was settled before.
    pub start: PracticeStart,
    /// What happened, in order.
    pub moments: Vec<PracticeMoment>,
}

/// A question as it was taken in one session.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PracticeTry {
    /// The question.
    pub question: PaperQuestion,
    /// When it was first answered, else opened; in the zone of the session.
    pub at: DateTime<FixedOffset>,
    /// What was chosen, in order: nothing where it was only opened.
    pub chosen: Vec<Label>,
    /// Whether the first of them was chosen without the hint.
    pub unaided: bool,
    /// Whether the working was shown.
    pub working: bool,
    /// What the pupil said was the catch.
    pub catch: Option<String>,
}

impl PracticeLog {
    /// The session's id.
    pub fn id(&self) -> &str {
        &self.start.practice
    }

    /// Whether anything was tried.
    pub fn is_tried(&self) -> bool {
        let tried = |moment: &PracticeMoment| matches!(moment.event, PracticeEvent::Tried { .. });
        self.moments.iter().any(tried)
    }

    /// The questions that were opened, in order; one that was opened twice is there twice.
    pub fn tries(&self) -> Vec<PracticeTry> {
        let mut tries: Vec<PracticeTry> = Vec::new();
        for moment in &self.moments {
            let at = moment.utc.with_timezone(self.start.started.offset());
            if let PracticeEvent::Opened(question) = &moment.event {
                tries.push(PracticeTry {
                    question: question.clone(),
                    at,
                    chosen: Vec::new(),
                    unaided: false,
                    working: false,
                    catch: None,
                });
                continue;
            }
            let Some(open) = tries.last_mut() else {
                continue;
            };
            match &moment.event {
                PracticeEvent::Tried { option, unaided } => {
                    if open.chosen.is_empty() {
                        open.at = at;
                        open.unaided = *unaided;
                    }
                    open.chosen.push(*option);
                }
                PracticeEvent::WorkingShown => open.working = true,
                PracticeEvent::Catch(text) => open.catch = Some(text.clone()),
                PracticeEvent::Opened(_) | PracticeEvent::HintShown | PracticeEvent::Stopped => {}
            }
        }
        tries
    }
}
