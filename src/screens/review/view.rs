//! What is looked at in a sitting.

use super::order::{QuestionsBy, TimesAgainst};
use super::player::Player;
use super::study::{Study, Told};
use crate::domain::rule::QuestionNo;
use crate::screens::kit::{Key, Move};

/// A page of one sitting.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Tab {
    /// Marks by section and how; awards, and how far.
    #[default]
    Marks,
    /// Time per question.
    Time,
    /// Question by minute.
    Lanes,
    /// Marks by minute.
    Curve,
    /// What a tutor would say.
    Findings,
    /// One question.
    Question,
    /// The hour once more.
    Replay,
    /// Another sitting beside this one.
    Beside,
}

impl Tab {
    /// All of them, in their order.
    pub(super) const ALL: [Self; 8] = [
        Self::Marks,
        Self::Time,
        Self::Lanes,
        Self::Curve,
        Self::Findings,
        Self::Question,
        Self::Replay,
        Self::Beside,
    ];

    /// Its name, whose first letter leads to it.
    pub(super) const fn name(self) -> &'static str {
        match self {
            Self::Marks => "Marks",
            Self::Time => "Time",
            Self::Lanes => "Lanes",
            Self::Curve => "Curve",
            Self::Findings => "Findings",
            Self::Question => "Question",
            Self::Replay => "Replay",
            Self::Beside => "Beside",
        }
    }

    /// The key of its letter.
    pub(super) const fn key(self) -> &'static [Key] {
        match self {
            Self::Marks => &[Key::Char('M')],
            Self::Time => &[Key::Char('T')],
            Self::Lanes => &[Key::Char('L')],
            Self::Curve => &[Key::Char('C')],
            Self::Findings => &[Key::Char('F')],
            Self::Question => &[Key::Char('Q')],
            Self::Replay => &[Key::Char('R')],
            Self::Beside => &[Key::Char('B')],
        }
    }

    /// What it shows.
    pub(super) const fn means(self) -> &'static str {
        match self {
            Self::Marks => "Marks: by section and how; awards, and how far",
            Self::Time => "Time: on each question, against the plan",
            Self::Lanes => "Lanes: every visit, question by minute",
            Self::Curve => "Curve: the mark by minute",
            Self::Findings => "Findings: what a tutor would say",
            Self::Question => "Question: why it went as it did, and what it cost",
            Self::Replay => "Replay: the hour once more",
            Self::Beside => "Beside: another sitting beside this one",
        }
    }

    /// The next page, or the one before.
    pub(super) fn turn(self, forwards: bool) -> Self {
        let many = Self::ALL.len();
        let at = Self::ALL.iter().position(|own| *own == self).unwrap_or(0);
        let next = (at + if forwards { 1 } else { many - 1 }) % many;
        Self::ALL.get(next).copied().unwrap_or_default()
    }
}

/// What is looked at in a sitting.
#[derive(Clone, Debug)]
pub(super) struct View {
    pub(super) tab: Tab,
    /// The question that the keys act on.
    pub(super) question: QuestionNo,
    pub(super) scroll: usize,
    /// Digits typed towards a question.
    pub(super) typed: String,
    pub(super) by: QuestionsBy,
    pub(super) against: TimesAgainst,
    /// The finding chosen, and whether all show or those of one talk.
    pub(super) finding: usize,
    pub(super) every_finding: bool,
    pub(super) player: Player,
}

impl View {
    /// The first page, from the first question.
    pub(super) fn new(study: &Study) -> Self {
        let first = study.facts.first();
        Self {
            tab: Tab::Marks,
            question: first.map_or(QuestionNo(1), |facts| facts.number),
            scroll: 0,
            typed: String::new(),
            by: QuestionsBy::default(),
            against: TimesAgainst::default(),
            finding: 0,
            every_finding: false,
            player: Player::new(study),
        }
    }

    /// Goes to another page, from its top.
    pub(super) const fn turn_to(&mut self, tab: Tab) {
        self.tab = tab;
        self.scroll = 0;
    }

    /// Moves the chosen question through `numbers`.
    pub(super) fn choose(&mut self, by: Move, numbers: &[QuestionNo], page: usize) {
        let at = numbers.iter().position(|own| *own == self.question);
        let last = numbers.len().saturating_sub(1);
        if let Some(number) = numbers.get(by.from(at.unwrap_or(0), last, page)) {
            self.question = *number;
        }
    }

    /// The findings that show: as many as one talk holds, or all.
    pub(super) fn findings<'a>(&self, study: &'a Study) -> &'a [Told] {
        if self.every_finding {
            &study.all
        } else {
            &study.told
        }
    }
}
