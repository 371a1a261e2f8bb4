//! A finding as a value.

use std::collections::BTreeSet;

use crate::analysis::stay::{Long, Price, Sink};
use crate::domain::mark::Mark;
use crate::domain::paper::Outline;
use crate::domain::rule::QuestionNo;
use crate::domain::thresholds::Limit;
use crate::domain::time::Elapsed;
use crate::odds::guess::gain;

/// A question answered below a threshold.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Quick {
    /// The question.
    pub question: QuestionNo,
    /// The time on it.
    pub time: Elapsed,
    /// The threshold.
    pub below: Elapsed,
}

/// Where the threshold for a rushed answer comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum QuickFrom {
    /// A share of the pupil's middle time on the section, and of a group's on the question where that is less.
    Own,
    /// A tenth of the group's mean time on the question, at most 10 s: NT10 (Wise & Ma 2012).
    Group,
    /// A fixed floor (common practice, no source).
    Floor,
}

/// What blind guesses on some questions bring on average over leaving them blank.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Blind {
    /// Those on which one gains, in their order.
    pub gaining: Vec<QuestionNo>,
    /// What guesses on those bring together.
    pub gain: f64,
    /// What guesses on the others bring together: nothing, or below zero.
    pub rest: f64,
}

impl Blind {
    /// Weighs guesses on some questions, each by its own section and its own options.
    pub fn of(paper: &Outline, questions: &[QuestionNo]) -> Self {
        let mut blind = Self::default();
        for question in questions {
            let Some(section) = paper.rule.section(*question) else {
                continue;
            };
            let gain = gain(section, paper.labels(*question).len());
            if gain > Mark::ZERO {
                blind.gaining.push(*question);
                blind.gain += gain.to_f64();
            } else {
                blind.rest += gain.to_f64();
            }
        }
        blind
    }
}

/// What was seen.
#[derive(Clone, Debug, PartialEq)]
pub enum Seen {
    /// A long stay that earned nothing, with cheaper questions left undone.
    Sink(Sink),
    /// A long stay that was right.
    Earned(Long),
    /// A long stay of which no key says what it earned.
    LongStay(Long),
    /// Wrong, and answered below the threshold.
    Rushed {
        /// The questions.
        questions: Vec<Quick>,
        /// Where the threshold comes from.
        from: QuickFrom,
    },
    /// Never opened, or left blank unopened, though most of the group got it right.
    LeftEasy {
        /// The questions and the share of the group that got each right.
        questions: Vec<(QuestionNo, f64)>,
        /// How many people the group has.
        people: usize,
    },
    /// Right once, and wrong at the end.
    ToWrong {
        /// The questions.
        questions: Vec<QuestionNo>,
        /// The marks lost.
        lost: Mark,
    },
    /// Wrong once, and right at the end.
    ToRight {
        /// The questions.
        questions: Vec<QuestionNo>,
        /// The marks gained.
        gained: Mark,
        /// Those of them whose answer at the end came by thought.
        checked: Vec<QuestionNo>,
    },
    /// Blank when the time in which answers count ended.
    Blanks {
        /// The questions.
        questions: Vec<QuestionNo>,
        /// How many of them were never opened.
        unseen: usize,
        /// What blind guesses on them are worth.
        blind: Blind,
        /// Those that had the right answer before it was rubbed out.
        right_before: Vec<QuestionNo>,
        /// Whether the answers were given on the screen under the clock, so that it shows when there was time for more.
        on_screen: bool,
    },
    /// Blanks filled in time.
    Swept {
        /// What was filled.
        filled: Vec<QuestionNo>,
        /// The time left when it began.
        left: Elapsed,
        /// How long it took.
        took: Elapsed,
        /// What blind guesses on them are worth.
        blind: Blind,
        /// What was still blank at the end.
        blank: Vec<QuestionNo>,
        /// What blind guesses on those are worth.
        rest: Blind,
        /// Whether it may have been the keying of answers worked out before.
        or_keyed: bool,
        /// Whether time was unused that thought could have had.
        unused: bool,
    },
    /// Handed in with much time left and marks lost.
    Unused {
        /// The time left.
        left: Elapsed,
        /// The time allowed.
        allowed: Elapsed,
        /// Wrong answers in time.
        wrong: usize,
        /// Questions without an answer in time.
        blank: usize,
        /// Those answered quickly and wrong.
        quick: Vec<QuestionNo>,
        /// Where a minute earns most, and how much, the most first.
        best: Vec<(QuestionNo, Price)>,
    },
    /// Opened again and again.
    ToAndFro(Vec<(QuestionNo, usize)>),
    /// The first answers took long.
    SlowStart {
        /// How many answers.
        answers: usize,
        /// How long they took.
        took: Elapsed,
        /// The time planned for so many.
        plan: Elapsed,
    },
    /// Handed in with time left and flags or blanks open.
    EndedEarly {
        /// The time left.
        left: Elapsed,
        /// The flags.
        flags: Vec<QuestionNo>,
        /// The blanks.
        blanks: Vec<QuestionNo>,
    },
    /// Guesses brought more, or less, than they do on average.
    Luck {
        /// How many.
        guesses: usize,
        /// What they bring on average.
        expected: f64,
        /// What they brought.
        actual: Mark,
        /// How often guesses come out at least this far on the same side.
        chance: f64,
        /// Whether that is the good side.
        good: bool,
    },
    /// A checkpoint of the plan passed late, or not at all.
    Late {
        /// The question to be done with.
        question: QuestionNo,
        /// When it was to be done, in time used.
        planned: Elapsed,
        /// When it was, in time used; nothing if it never was.
        reached: Option<Elapsed>,
        /// How many of the questions up to it were done at the planned time.
        done: usize,
        /// Of how many.
        of: usize,
    },
    /// Every checkpoint of the plan was kept.
    Kept {
        /// How many.
        count: usize,
        /// Whether that is no praise: time was left, or the pace was far ahead of the plan with wrong answers.
        hurried: bool,
    },
    /// Going back brought marks.
    SecondPass {
        /// The questions gone back to.
        questions: Vec<QuestionNo>,
        /// The time it took.
        took: Elapsed,
        /// What it brought.
        gained: Mark,
    },
    /// Every question of a section right.
    AllRight {
        /// The section.
        section: String,
        /// How many questions.
        right: usize,
        /// How many of them were said to be guesses, or filled in a sweep.
        guessed: usize,
        /// Whether the sheet was done under the clock.
        timed: bool,
    },
    /// Every question had an answer in time, without a sweep.
    NoBlank {
        /// How many.
        count: usize,
        /// Whether time was unused that thought could have had.
        unused: bool,
        /// Whether the sheet was done under the clock.
        timed: bool,
    },
}

/// How a finding is meant.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tone {
    /// Something to try otherwise next time.
    Next,
    /// Something that went well.
    Praise,
    /// Something to know.
    Know,
}

/// A finding: what was seen, and how many marks hang on it.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// What was seen.
    pub seen: Seen,
    /// The marks that hang on it: an estimate, used for the order only.
    pub stake: f64,
}

impl Finding {
    /// How it is meant.
    pub fn tone(&self) -> Tone {
        match &self.seen {
            Seen::Sink(_)
            | Seen::LongStay(_)
            | Seen::Rushed { .. }
            | Seen::LeftEasy { .. }
            | Seen::ToWrong { .. }
            | Seen::Blanks { .. }
            | Seen::ToAndFro(_)
            | Seen::SlowStart { .. }
            | Seen::EndedEarly { .. }
            | Seen::Unused { .. }
            | Seen::Late { .. } => Tone::Next,
            // A slip of the keys put right, a guess, a correction on a typed-in sheet: nothing was checked.
            Seen::ToRight { checked, .. } if checked.is_empty() => Tone::Know,
            Seen::ToRight { .. }
            | Seen::Kept { hurried: false, .. }
            | Seen::SecondPass { .. }
            | Seen::AllRight { guessed: 0, .. }
            | Seen::NoBlank { unused: false, .. } => Tone::Praise,
            // Filling blanks is a good habit only where each guess gains on average.
            Seen::Swept {
                filled,
                blind,
                unused: false,
                ..
            } if blind.gaining == *filled => Tone::Praise,
            Seen::Kept { .. }
            | Seen::AllRight { .. }
            | Seen::NoBlank { .. }
            | Seen::Swept { .. }
            | Seen::Earned(_)
            | Seen::Luck { .. } => Tone::Know,
        }
    }

    /// The questions that it speaks of.
    pub fn questions(&self) -> Vec<QuestionNo> {
        match &self.seen {
            Seen::Sink(sink) => vec![sink.long.question],
            Seen::Earned(long) | Seen::LongStay(long) => vec![long.question],
            Seen::Rushed { questions, .. } => questions.iter().map(|q| q.question).collect(),
            Seen::LeftEasy { questions, .. } => questions.iter().map(|(q, _)| *q).collect(),
            Seen::ToAndFro(visits) => visits.iter().map(|(q, _)| *q).collect(),
            Seen::ToWrong { questions, .. }
            | Seen::ToRight { questions, .. }
            | Seen::Blanks { questions, .. }
            | Seen::SecondPass { questions, .. } => questions.clone(),
            Seen::Swept { filled, .. } => filled.clone(),
            Seen::EndedEarly { flags, .. } => flags.clone(),
            Seen::Unused { quick, best, .. } => {
                let best = best.iter().map(|(question, _)| *question);
                let named = quick.iter().copied().chain(best);
                named.collect::<BTreeSet<_>>().into_iter().collect()
            }
            Seen::Late { question, .. } => vec![*question],
            Seen::SlowStart { .. }
            | Seen::Luck { .. }
            | Seen::Kept { .. }
            | Seen::AllRight { .. }
            | Seen::NoBlank { .. } => Vec::new(),
        }
    }

    /// The time that it speaks of: on its questions, over the plan's checkpoint, or left.
    pub fn time(&self) -> Option<Elapsed> {
        match &self.seen {
            Seen::Sink(sink) => Some(sink.long.time),
            Seen::Earned(long) | Seen::LongStay(long) => Some(long.time),
            Seen::Rushed { questions, .. } => {
                let each = questions.iter().map(|quick| quick.time.0);
                Some(Elapsed(each.sum()))
            }
            Seen::Swept { took, .. }
            | Seen::SlowStart { took, .. }
            | Seen::SecondPass { took, .. } => Some(*took),
            Seen::EndedEarly { left, .. } | Seen::Unused { left, .. } => Some(*left),
            Seen::Late {
                planned, reached, ..
            } => reached.map(|reached| reached.since(*planned)),
            Seen::LeftEasy { .. }
            | Seen::ToWrong { .. }
            | Seen::ToRight { .. }
            | Seen::Blanks { .. }
            | Seen::ToAndFro(_)
            | Seen::Luck { .. }
            | Seen::Kept { .. }
            | Seen::AllRight { .. }
            | Seen::NoBlank { .. } => None,
        }
    }

    /// The marks that it brought, below zero where they were lost; nothing where they are only estimated.
    pub fn marks(&self) -> Option<Mark> {
        match &self.seen {
            Seen::ToWrong { lost, .. } => Some(-*lost),
            Seen::ToRight { gained, .. } | Seen::SecondPass { gained, .. } => Some(*gained),
            Seen::Luck { actual, .. } => Some(*actual),
            Seen::Sink(_)
            | Seen::Earned(_)
            | Seen::LongStay(_)
            | Seen::Rushed { .. }
            | Seen::LeftEasy { .. }
            | Seen::Blanks { .. }
            | Seen::Swept { .. }
            | Seen::ToAndFro(_)
            | Seen::SlowStart { .. }
            | Seen::EndedEarly { .. }
            | Seen::Unused { .. }
            | Seen::Late { .. }
            | Seen::Kept { .. }
            | Seen::AllRight { .. }
            | Seen::NoBlank { .. } => None,
        }
    }

    /// The threshold that it was held against first.
    pub const fn limit(&self) -> Option<Limit> {
        match &self.seen {
            Seen::Sink(_) | Seen::Earned(_) | Seen::LongStay(_) => Some(Limit::LongTimes),
            Seen::Rushed { from, .. } => match from {
                QuickFrom::Floor => Some(Limit::RushedFloorSeconds),
                QuickFrom::Own => Some(Limit::QuickShare),
                QuickFrom::Group => None,
            },
            Seen::LeftEasy { .. } => Some(Limit::EasyShare),
            Seen::Swept { .. } => Some(Limit::SweepSeconds),
            Seen::ToAndFro(_) => Some(Limit::ManyVisits),
            Seen::SlowStart { .. } => Some(Limit::StartTimes),
            Seen::EndedEarly { .. } => Some(Limit::EarlySeconds),
            Seen::Unused { .. } => Some(Limit::UnusedShare),
            Seen::Luck { .. } => Some(Limit::LuckChance),
            Seen::Late { .. } | Seen::Kept { .. } => Some(Limit::LateSeconds),
            Seen::ToWrong { .. }
            | Seen::ToRight { .. }
            | Seen::Blanks { .. }
            | Seen::SecondPass { .. }
            | Seen::AllRight { .. }
            | Seen::NoBlank { .. } => None,
        }
    }
}
