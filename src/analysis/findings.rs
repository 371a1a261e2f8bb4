//! What a tutor would say of a sitting, each with its evidence.
//!
//! A finding is a value: what was seen, on which questions, under which threshold, and how many
//! marks hang on it. Worst first; at most as many as one talk holds; praise among them where it is
//! earned. Nothing here says what a pupil is, only what was done and what it brought.

mod answers;
mod habits;
mod long;

use super::norms::Group;
use crate::analysis::{Earned, Limit, Pacing, Thresholds, earned};
use crate::domain::header::Header;
use crate::domain::key::Key;
use crate::domain::mark::Mark;
use crate::domain::marking::{Marked, Outcome, Take, answers as sheet, mark};
use crate::domain::rule::{QuestionNo, Rule};
use crate::domain::sitting::Sitting;
use crate::domain::time::Elapsed;

pub use answers::unhurried_share;
pub use long::{PriceFrom, planned, price};

/// What a key adds to a sitting's pacing.
#[derive(Clone, Copy, Debug)]
pub struct Keyed<'a> {
    /// The key.
    pub key: &'a Key,
    /// The sheet as it stood in time, marked.
    pub in_time: &'a Marked,
    /// The sheet with the guess round, marked.
    pub standing: &'a Marked,
    /// What the hour earned.
    pub earned: &'a Earned,
}

/// The same, owned: what a page keeps.
#[derive(Clone, Debug)]
pub struct Evidence {
    /// The sheet as it stood in time, marked.
    pub in_time: Marked,
    /// The sheet with the guess round, marked.
    pub standing: Marked,
    /// What the hour earned.
    pub earned: Earned,
}

impl Evidence {
    /// Marks a sitting whose pacing is known.
    pub fn new(sitting: &Sitting, pacing: &Pacing, key: &Key, rule: &Rule) -> Self {
        Self {
            in_time: mark(&sheet(sitting, Take::InTime), key, rule),
            standing: mark(&sheet(sitting, Take::WithGuessRound), key, rule),
            earned: earned(sitting.header(), pacing, key, rule),
        }
    }

    /// It with its key, as [`findings`] takes it.
    pub const fn with<'a>(&'a self, key: &'a Key) -> Keyed<'a> {
        Keyed {
            key,
            in_time: &self.in_time,
            standing: &self.standing,
            earned: &self.earned,
        }
    }
}

/// What findings are drawn from; without a key or a group there are fewer of them.
#[derive(Clone, Copy, Debug)]
pub struct Look<'a> {
    /// What was settled before the start.
    pub header: &'a Header,
    /// How the hour was spent.
    pub pacing: &'a Pacing,
    /// What a key adds.
    pub keyed: Option<Keyed<'a>>,
    /// The group on this paper.
    pub group: Option<&'a Group>,
    /// The thresholds in force.
    pub limits: &'a Thresholds,
}

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
    /// A tenth of the group's mean time on the question, at most 10 s: NT10 (Wise & Ma 2012).
    Group,
    /// A fixed floor (common practice, no source).
    Floor,
}

/// What was seen.
#[derive(Clone, Debug, PartialEq)]
pub enum Seen {
    /// A long stay that earned nothing, with cheaper questions left undone.
    Sink {
        /// The question, its time and its planned time.
        long: Long,
        /// What became of it.
        outcome: Outcome,
        /// Marks by the minute of the best question left undone.
        rate: f64,
        /// What that rate is drawn from.
        from: PriceFrom,
        /// The time over the plan at that rate.
        cost: f64,
        /// The questions left undone, the dearest first.
        undone: Vec<QuestionNo>,
    },
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
    /// Right once, and not at the end.
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
    },
    /// Blank when the time in which answers count ended.
    Blanks {
        /// The questions.
        questions: Vec<QuestionNo>,
        /// How many of them were never opened.
        unseen: usize,
        /// What blind guesses on them bring on average over leaving them blank.
        gain: f64,
    },
    /// Blanks filled in time.
    Swept {
        /// What was filled.
        filled: Vec<QuestionNo>,
        /// The time left when it began.
        left: Elapsed,
        /// How long it took.
        took: Elapsed,
        /// What blind guesses on them bring on average over leaving them blank.
        gain: f64,
        /// Whether nothing was blank at the end.
        complete: bool,
        /// Whether it may have been the keying of answers worked out before.
        or_keyed: bool,
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
    Kept(usize),
    /// Going back brought marks.
    SecondPass {
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
    },
    /// Every question had an answer in time, without a sweep.
    NoBlank(usize),
}

/// A long stay on a question.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Long {
    /// The question.
    pub question: QuestionNo,
    /// The time on it.
    pub time: Elapsed,
    /// The time planned for it.
    pub plan: Elapsed,
}

impl Long {
    /// The time over the plan.
    pub const fn over(self) -> Elapsed {
        self.time.since(self.plan)
    }
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
            Seen::Sink { .. }
            | Seen::LongStay(_)
            | Seen::Rushed { .. }
            | Seen::LeftEasy { .. }
            | Seen::ToWrong { .. }
            | Seen::Blanks { .. }
            | Seen::ToAndFro(_)
            | Seen::SlowStart { .. }
            | Seen::EndedEarly { .. }
            | Seen::Late { .. } => Tone::Next,
            Seen::ToRight { .. }
            | Seen::Kept(_)
            | Seen::SecondPass { .. }
            | Seen::AllRight { .. }
            | Seen::NoBlank(_) => Tone::Praise,
            // Filling blanks is a good habit only where a guess does not lose on average.
            Seen::Swept { gain, .. } if *gain >= 0.0 => Tone::Praise,
            Seen::Swept { .. } | Seen::Earned(_) | Seen::Luck { .. } => Tone::Know,
        }
    }

    /// The questions that it speaks of.
    pub fn questions(&self) -> Vec<QuestionNo> {
        match &self.seen {
            Seen::Sink { long, .. } | Seen::Earned(long) | Seen::LongStay(long) => {
                vec![long.question]
            }
            Seen::Rushed { questions, .. } => questions.iter().map(|q| q.question).collect(),
            Seen::LeftEasy { questions, .. } => questions.iter().map(|(q, _)| *q).collect(),
            Seen::ToAndFro(visits) => visits.iter().map(|(q, _)| *q).collect(),
            Seen::ToWrong { questions, .. }
            | Seen::ToRight { questions, .. }
            | Seen::Blanks { questions, .. } => questions.clone(),
            Seen::Swept { filled, .. } => filled.clone(),
            Seen::EndedEarly { flags, .. } => flags.clone(),
            Seen::Late { question, .. } => vec![*question],
            Seen::SlowStart { .. }
            | Seen::Luck { .. }
            | Seen::Kept(_)
            | Seen::SecondPass { .. }
            | Seen::AllRight { .. }
            | Seen::NoBlank(_) => Vec::new(),
        }
    }
}

/// Everything that is to be seen: what to try otherwise first, the most marks at stake first, then
/// what to know, then praise.
pub fn findings(look: &Look<'_>) -> Vec<Finding> {
    let mut all = Vec::new();
    long::long_stays(look, &mut all);
    habits::habits(look, &mut all);
    answers::answers(look, &mut all);
    all.sort_by(|one, other| {
        let tone = |finding: &Finding| match finding.tone() {
            Tone::Next => 0,
            Tone::Know => 1,
            Tone::Praise => 2,
        };
        let by_stake = other.stake.total_cmp(&one.stake);
        tone(one).cmp(&tone(other)).then(by_stake)
    });
    all
}

/// As many findings as one talk holds, in their order: room is kept for praise where some is earned.
pub fn told(all: &[Finding], limits: &Thresholds) -> Vec<Finding> {
    let most = limits.count(Limit::TalkMost);
    let praise = all.iter().filter(|finding| finding.tone() == Tone::Praise);
    let kept = praise
        .count()
        .min(limits.count(Limit::PraiseMost))
        .min(most);
    let (praise, rest): (Vec<_>, Vec<_>) = all
        .iter()
        .cloned()
        .partition(|finding| finding.tone() == Tone::Praise);
    let mut told: Vec<_> = rest.into_iter().take(most - kept).collect();
    let room = most.saturating_sub(told.len());
    told.extend(praise.into_iter().take(room));
    told
}
