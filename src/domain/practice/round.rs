//! A round of practice as it goes on: what may be done with the open question, and what is recorded of it.

use std::collections::BTreeSet;
use std::sync::Arc;

use super::{LONGEST_CATCH, PaperQuestion, PracticeEvent, WorkingShown};
use crate::domain::key::{Key, Note};
use crate::domain::labels::{Label, Labels};
use crate::domain::paper::{Outline, Paper, Question};

/// A question of a round, with the paper and the key that it is taken from.
#[derive(Clone, Debug)]
pub struct RoundQuestion {
    /// Which.
    pub which: PaperQuestion,
    /// The marking part of its paper.
    pub outline: Arc<Outline>,
    /// Its paper, where it is at hand.
    pub paper: Option<Arc<Paper>>,
    /// The key of its paper.
    pub key: Arc<Key>,
}

impl RoundQuestion {
    /// The labels of its options.
    pub fn labels(&self) -> &Labels {
        self.outline.labels(self.which.question)
    }

    /// The question as printed, where the paper is at hand.
    pub fn printed(&self) -> Option<&Question> {
        self.paper.as_ref()?.question(self.which.question)
    }

    /// What it is about, where the paper is at hand and says.
    pub fn topics(&self) -> BTreeSet<&str> {
        let topics = self.printed().into_iter();
        let topics = topics.flat_map(|printed| &printed.topics);
        topics.map(String::as_str).collect()
    }

    /// What the key says of it.
    pub fn note(&self) -> Option<&Note> {
        self.key.notes.get(&self.which.question)
    }

    /// Its hint.
    pub fn hint(&self) -> Option<&str> {
        self.note()?.hint.as_deref()
    }

    /// Whether an option is right.
    pub fn accepts(&self, option: Label) -> bool {
        self.key.accepts(self.which.question, option)
    }
}

/// How far the open question is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RoundStage {
    /// Nothing was chosen yet.
    First {
        /// Whether the hint was asked for all the same.
        hinted: bool,
    },
    /// One option was wrong; another can be chosen.
    Second {
        /// The wrong one.
        wrong: Label,
    },
    /// It was right, or tried twice: answer and working are shown, unless that comes later.
    Over {
        /// Whether the pupil has said what the catch was.
        caught: bool,
    },
    /// The round has ended.
    Ended,
}

/// What can be done.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum RoundMove {
    /// Choose an option, by what was typed.
    Answer(char),
    /// Ask for the hint.
    Hint,
    /// Say what the catch was.
    Catch(String),
    /// Go on to the next question.
    Next,
    /// End the round.
    Stop,
}

/// Why a move does nothing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NoRoundMove {
    /// The question has no such option.
    NoOption,
    /// That option was wrong already.
    TriedAlready(Label),
    /// The hint is shown already, or there is none.
    NoHint,
    /// The question is tried first.
    TryFirst,
    /// The question is over.
    Over,
    /// The round has ended.
    Ended,
}

/// A question that is over and whose working was not shown then.
#[derive(Clone, Debug)]
pub struct LaterWorking {
    /// The question.
    pub question: RoundQuestion,
    /// What was chosen, in order.
    pub chosen: Vec<Label>,
    /// Whether the hint was asked for before the first try.
    pub hinted: bool,
}

/// A round: its questions in order, the open one, and what was chosen there.
#[derive(Clone, Debug)]
pub struct PracticeRound {
    questions: Vec<RoundQuestion>,
    working: WorkingShown,
    later: Vec<LaterWorking>,
    place: usize,
    stage: RoundStage,
    chosen: Vec<Label>,
    /// Whether the hint was shown before anything was chosen.
    hinted: bool,
    /// How many were right at an unaided first try.
    right: usize,
    /// How many are over.
    over: usize,
}

impl PracticeRound {
    /// A round of these questions, with what is recorded of its first one.
    pub fn new(questions: Vec<RoundQuestion>, working: WorkingShown) -> (Self, Vec<PracticeEvent>) {
        let mut round = Self {
            questions,
            working,
            later: Vec::new(),
            place: 0,
            stage: RoundStage::Ended,
            chosen: Vec::new(),
            hinted: false,
            right: 0,
            over: 0,
        };
        let events = round.open();
        (round, events)
    }

    /// The open question; none once the round has ended.
    pub fn question(&self) -> Option<&RoundQuestion> {
        (self.stage != RoundStage::Ended)
            .then(|| self.questions.get(self.place))
            .flatten()
    }

    /// How far the open question is.
    pub const fn stage(&self) -> RoundStage {
        self.stage
    }

    /// What was chosen on the open question, in order.
    pub fn chosen(&self) -> &[Label] {
        &self.chosen
    }

    /// Whether the hint of the open question was asked for before its first try.
    pub const fn is_hinted(&self) -> bool {
        self.hinted
    }

    /// When answers and workings are shown.
    pub const fn working(&self) -> WorkingShown {
        self.working
    }

    /// The questions whose working is shown together, once the round has ended.
    pub fn later(&self) -> &[LaterWorking] {
        match (self.working, self.stage) {
            (WorkingShown::AtTheEnd, RoundStage::Ended) => &self.later,
            _ => &[],
        }
    }

    /// Ends a round that nobody looks at any more: no working is shown.
    pub fn cut(&mut self) -> Vec<PracticeEvent> {
        self.later.clear();
        self.end()
    }

    /// The place of the open question, from 1, and how many there are.
    pub fn place(&self) -> (usize, usize) {
        let all = self.questions.len();
        ((self.place + 1).min(all), all)
    }

    /// How many questions are over, and how many of these were right at an unaided first try.
    pub const fn count(&self) -> (usize, usize) {
        (self.over, self.right)
    }

    /// Does a move, and gives what is to be recorded.
    ///
    /// # Errors
    /// Why the move does nothing.
    pub fn hear(&mut self, said: RoundMove) -> Result<Vec<PracticeEvent>, NoRoundMove> {
        match (said, self.stage) {
            (_, RoundStage::Ended) => Err(NoRoundMove::Ended),
            (RoundMove::Stop, _) => Ok(self.end()),
            (RoundMove::Answer(typed), RoundStage::First { hinted }) => {
                self.first(self.option(typed)?, hinted)
            }
            (RoundMove::Answer(typed), RoundStage::Second { wrong }) => {
                let option = self.option(typed)?;
                if option == wrong {
                    return Err(NoRoundMove::TriedAlready(wrong));
                }
                let unaided = false;
                let mut events = vec![PracticeEvent::Tried { option, unaided }];
                self.chosen.push(option);
                events.extend(self.finish());
                Ok(events)
            }
            (RoundMove::Answer(_) | RoundMove::Hint, RoundStage::Over { .. }) => {
                Err(NoRoundMove::Over)
            }
            (RoundMove::Hint, RoundStage::First { hinted: false }) if self.has_hint() => {
                self.hinted = true;
                self.stage = RoundStage::First { hinted: true };
                Ok(vec![PracticeEvent::HintShown])
            }
            (RoundMove::Hint, RoundStage::First { .. } | RoundStage::Second { .. }) => {
                Err(NoRoundMove::NoHint)
            }
            (RoundMove::Catch(text), RoundStage::Over { .. }) => {
                let text: String = text.trim().chars().take(LONGEST_CATCH).collect();
                if text.is_empty() {
                    return Ok(Vec::new());
                }
                self.stage = RoundStage::Over { caught: true };
                Ok(vec![PracticeEvent::Catch(text)])
            }
            (RoundMove::Next, RoundStage::Over { .. }) => {
                self.place += 1;
                Ok(self.open())
            }
            (
                RoundMove::Catch(_) | RoundMove::Next,
                RoundStage::First { .. } | RoundStage::Second { .. },
            ) => Err(NoRoundMove::TryFirst),
        }
    }

    fn has_hint(&self) -> bool {
        let open = self.questions.get(self.place);
        open.is_some_and(|open| open.hint().is_some())
    }

    fn option(&self, typed: char) -> Result<Label, NoRoundMove> {
        let open = self.question().ok_or(NoRoundMove::Ended)?;
        open.labels().find(typed).ok_or(NoRoundMove::NoOption)
    }

    fn first(&mut self, option: Label, hinted: bool) -> Result<Vec<PracticeEvent>, NoRoundMove> {
        let open = self.question().ok_or(NoRoundMove::Ended)?;
        let (right, two) = (open.accepts(option), open.labels().len() == 2);
        let unaided = !hinted;
        let mut events = vec![PracticeEvent::Tried { option, unaided }];
        self.chosen.push(option);
        self.right += usize::from(right && unaided);
        // Where only one option would be left, a second try tells nothing.
        if right || two {
            events.extend(self.finish());
            return Ok(events);
        }
        if !hinted && self.has_hint() {
            events.push(PracticeEvent::HintShown);
        }
        self.stage = RoundStage::Second { wrong: option };
        Ok(events)
    }

    /// The open question is over: what is recorded where its working shows now.
    fn finish(&mut self) -> Option<PracticeEvent> {
        self.over += 1;
        self.stage = RoundStage::Over { caught: false };
        if self.working == WorkingShown::AtOnce {
            return Some(PracticeEvent::WorkingShown);
        }
        let question = self.questions.get(self.place)?.clone();
        self.later.push(LaterWorking {
            question,
            chosen: self.chosen.clone(),
            hinted: self.hinted,
        });
        None
    }

    /// Ends the round: what is shown once more is recorded as opened, with its working.
    fn end(&mut self) -> Vec<PracticeEvent> {
        self.stage = RoundStage::Ended;
        let shown = self.later().iter();
        let shown = shown.map(|own| PracticeEvent::Opened(own.question.which.clone()));
        let mut events: Vec<_> = shown
            .flat_map(|opened| [opened, PracticeEvent::WorkingShown])
            .collect();
        events.push(PracticeEvent::Stopped);
        events
    }

    /// Opens the question at the place, or ends the round behind the last.
    fn open(&mut self) -> Vec<PracticeEvent> {
        self.chosen.clear();
        self.hinted = false;
        if let Some(open) = self.questions.get(self.place) {
            self.stage = RoundStage::First { hinted: false };
            return vec![PracticeEvent::Opened(open.which.clone())];
        }
        self.end()
    }
}
