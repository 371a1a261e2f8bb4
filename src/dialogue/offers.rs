//! What may be said now.

use super::confirm::Confirm;
use super::moves::Move;
use super::scene::{Scene, Step, beside};
use super::state::Dialogue;
use crate::domain::event::How;
use crate::domain::labels::Labels;
use crate::domain::paper::Outline;
use crate::domain::rule::QuestionNo;
use crate::domain::sitting::Phase;

/// Something that may be said now and has an effect.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum MoveOffer<'a> {
    /// These labels answer the question being worked on.
    Answers(&'a Labels),
    /// These questions can be gone to.
    Questions(Vec<QuestionNo>),
    /// These questions can be gone to and answered at once.
    AnswersAt(&'a Outline, Vec<QuestionNo>),
    /// These labels can be crossed out, or back.
    CrossesOut(&'a Labels),
    /// How the answer was come by can be said.
    Hows,
    /// This move, as it stands.
    One(Move),
}

impl MoveOffer<'_> {
    /// Whether the move is this one.
    pub fn covers(&self, said: Move) -> bool {
        match (self, said) {
            (Self::Answers(labels), Move::Answer(label, how)) => {
                labels.index(label).is_some() && how != Some(How::Filled)
            }
            (Self::AnswersAt(paper, questions), Move::AnswerAt(question, label, how)) => {
                questions.contains(&question)
                    && paper.labels(question).index(label).is_some()
                    && how != Some(How::Filled)
            }
            (Self::CrossesOut(labels), Move::CrossOut(label)) => labels.index(label).is_some(),
            (Self::Questions(questions), Move::Go(question)) => questions.contains(&question),
            (Self::Hows, Move::Say(how)) => how != How::Filled,
            (Self::One(one), said) => *one == said,
            _ => false,
        }
    }
}

impl Dialogue {
    /// What may be said now. A move has an effect if and only if it is offered.
    pub fn moves<'a>(&self, at: &Scene<'a>) -> Vec<MoveOffer<'a>> {
        if self.owes_time_up(at) {
            return vec![MoveOffer::One(Move::Listen)];
        }
        let asked: Option<Confirm> = self.asked(at);
        let mut offers = match at.phase() {
            Phase::Running if at.is_sweeping() => sweeping(at),
            Phase::Running => running(at),
            Phase::GuessRound => guessing(at),
            Phase::OnBreak => one(Move::EndBreak, true),
            Phase::TimeUp => one(Move::Guess, at.sitting.blanks().next().is_some()),
            Phase::Closed(_) => Vec::new(),
        };
        let always = [
            (Move::Finish, Move::Finish.is_for(at.phase())),
            (Move::GiveUp, Move::GiveUp.is_for(at.phase())),
            (Move::Leave, true),
            (Move::Confirm, asked.is_some()),
            (Move::Cancel, asked.is_some()),
        ];
        offers.extend(always.into_iter().flat_map(|(said, may)| one(said, may)));
        offers
    }

    /// Whether a move may be said now.
    pub fn offers(&self, said: Move, at: &Scene<'_>) -> bool {
        self.moves(at).iter().any(|offer| offer.covers(said))
    }
}

fn one(said: Move, may: bool) -> Vec<MoveOffer<'static>> {
    may.then_some(MoveOffer::One(said)).into_iter().collect()
}

fn running<'a>(at: &Scene<'a>) -> Vec<MoveOffer<'a>> {
    let questions = at.questions();
    let row = at.row();
    let next = beside(&questions, at.current(), Step::Next).is_some();
    let answered = row.is_some_and(|row| row.in_time.is_some());
    let singles = [
        (Move::NextBlank, at.other_blank().is_some()),
        (Move::NextFlag, at.sitting.flags().next().is_some()),
        (Move::NextUnsure, at.unsure().next().is_some()),
        (Move::Sweep, at.sitting.blanks().next().is_some()),
        (Move::Skip, row.is_some() && (next || !answered)),
        (Move::Flag, row.is_some()),
        (Move::RubOut, answered),
        (Move::SayNext, answered),
        (Move::HideClock, true),
        (Move::ShowClock, true),
        (
            Move::StartBreak,
            at.sitting.header().arrangements.rest_breaks,
        ),
    ];
    let mut offers = ways(at, questions);
    offers.extend(on_options(at, row.is_some()));
    offers.extend(answered.then_some(MoveOffer::Hows));
    offers.extend(singles.into_iter().flat_map(|(said, may)| one(said, may)));
    offers
}

/// What can be done with the options of the question being worked on.
fn on_options<'a>(at: &Scene<'a>, open: bool) -> Vec<MoveOffer<'a>> {
    let labels = at.labels();
    let offers = [MoveOffer::Answers(labels), MoveOffer::CrossesOut(labels)];
    offers.into_iter().filter(|_| open).collect()
}

/// In a sweep every other way leaves it.
fn sweeping<'a>(at: &Scene<'a>) -> Vec<MoveOffer<'a>> {
    let row = at.row();
    let questions = at.questions();
    let other = at.other_blank().is_some();
    let way = |step| beside(&questions, at.current(), step).is_some();
    let singles = [
        (Move::Sweep, true),
        (Move::Next, other),
        (Move::NextBlank, other),
        (Move::Skip, other),
        (Move::Previous, way(Step::Previous)),
        (Move::First, way(Step::First)),
        (Move::Last, way(Step::Last)),
        (Move::NextFlag, at.sitting.flags().next().is_some()),
        (Move::NextUnsure, at.unsure().next().is_some()),
        (Move::Flag, row.is_some()),
        (Move::RubOut, row.is_some_and(|row| row.in_time.is_some())),
        (Move::HideClock, true),
        (Move::ShowClock, true),
        (
            Move::StartBreak,
            at.sitting.header().arrangements.rest_breaks,
        ),
    ];
    let all = at.sitting.rows().iter().map(|row| row.number).collect();
    let all: Vec<QuestionNo> = all;
    let paper = &at.sitting.header().paper;
    let mut offers = vec![
        MoveOffer::AnswersAt(paper, all.clone()),
        MoveOffer::Questions(all),
    ];
    offers.extend(on_options(at, row.is_some()));
    offers.extend(singles.into_iter().flat_map(|(said, may)| one(said, may)));
    offers
}

fn guessing<'a>(at: &Scene<'a>) -> Vec<MoveOffer<'a>> {
    let row = at.row();
    let other = at.other_blank().is_some();
    let singles = [
        (Move::NextBlank, other),
        (Move::Skip, other),
        (
            Move::RubOut,
            row.is_some_and(|row| row.after_time.is_some()),
        ),
        (Move::Fill, !at.filling().is_none()),
        (Move::TakeFillsBack, at.fills().next().is_some()),
    ];
    let mut offers = ways(at, at.questions());
    offers.extend(on_options(at, row.is_some()));
    offers.extend(singles.into_iter().flat_map(|(said, may)| one(said, may)));
    offers
}

/// The ways from one question to another.
fn ways<'a>(at: &Scene<'a>, questions: Vec<QuestionNo>) -> Vec<MoveOffer<'a>> {
    let steps = [
        (Move::Next, Step::Next),
        (Move::Previous, Step::Previous),
        (Move::First, Step::First),
        (Move::Last, Step::Last),
    ];
    let here = at.current();
    let mut offers: Vec<MoveOffer<'a>> = steps
        .into_iter()
        .filter(|(_, step)| beside(&questions, here, *step).is_some())
        .map(|(said, _)| MoveOffer::One(said))
        .collect();
    if !questions.is_empty() {
        let paper = &at.sitting.header().paper;
        offers.push(MoveOffer::AnswersAt(paper, questions.clone()));
        offers.push(MoveOffer::Questions(questions));
    }
    offers
}
