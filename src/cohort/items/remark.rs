//! What in a group's figures is worth a look: few things, the most pressing first.
//!
//! Each is a statement about the question, not about these people: it is made only where chance would seldom
//! show as much. Of every kind, all questions of the paper are tested together, so that at most [`LEVEL`] of
//! papers on which nothing is the matter show one of that kind, and fewer ([`LEVEL_FOR_KEYS`],
//! [`LEVEL_FOR_BACKWARDS`]) one that puts the key in doubt. What the figures cannot tell is not said: a small group
//! hides most of what is wrong with a question.

use super::{FEW, Figures, OptionFigures, QuestionFigures};
use crate::domain::labels::Label;
use crate::domain::rule::QuestionNo;
use crate::stats::significance::{
    at_least, at_most, correlation_above, correlation_below, holm, mean_square_above,
};
use crate::stats::{real, share};

/// How often, at the most, a paper without anything of a kind shows a remark of that kind by chance.
const LEVEL: f64 = 0.05;

/// The same where the key is put in doubt: a tutor who is sent to a sound key in vain trusts no further remark.
const LEVEL_FOR_KEYS: f64 = 0.01;

/// The same where nothing but a correlation below nothing speaks against the key: at 2 % only 9 of 16 such remarks on
/// 12,000 simulated groups of 12 and 20 were on a spoilt question.
const LEVEL_FOR_BACKWARDS: f64 = 0.005;

/// The most remarks that are told of a paper (common practice, no source).
const MOST: usize = 5;

/// A share of blanks that is surely above this is looked into (a rule of national surveys, from memory).
const MANY_BLANKS: f64 = 0.10;

/// A discrimination that is surely below this is worth a look (Ebel & Frisbie, *Essentials of Educational
/// Measurement*, from memory).
const LOW_DISCRIMINATION: f64 = 0.20;

/// An option that surely draws less than this does no work (Haladyna & Downing 1993, *Educational and
/// Psychological Measurement* 53, 999-1010, from memory).
const IDLE_OPTION: f64 = 0.05;

/// One thing worth a look; the kinds stand in the order in which they press.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum Remark {
    /// Clearly more people chose a wrong option than what the key accepts, and they did better on the rest than
    /// the others who answered: the key may be wrong.
    KeyDoubt {
        /// The question.
        question: QuestionNo,
        /// The option that drew them.
        option: Label,
        /// How many chose it.
        chosen: usize,
        /// What the key says.
        key: String,
        /// How many had it right.
        right: usize,
    },
    /// Those who had it right did worse on the rest.
    Backwards(QuestionNo),
    /// Fewer of those who answered had it right than guessing brings.
    BelowGuessing {
        /// The question.
        question: QuestionNo,
        /// How many had it right.
        right: usize,
        /// Of how many who answered.
        answered: usize,
    },
    /// Many did not get as far; there is one such remark for a paper.
    NotReached {
        /// The first question of which that is so.
        from: QuestionNo,
        /// How many did not get as far as that.
        first: usize,
        /// The paper's last question.
        last: QuestionNo,
        /// How many did not get to the last.
        end: usize,
    },
    /// Many left it out and went on.
    Omitted {
        /// The question.
        question: QuestionNo,
        /// How many left it out.
        omitted: usize,
        /// Of how many who got as far.
        reached: usize,
    },
    /// It tells people apart little.
    TellsLittle(QuestionNo),
    /// The answers are more erratic than the scale lets expect. Answers more regular than that are no remark.
    Misfit(QuestionNo),
    /// Options that nobody chose, by question; there is one such remark for a paper.
    NobodyChose(Vec<(QuestionNo, Vec<Label>)>),
}

/// What is worth a look on a paper.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Remarks {
    /// The most pressing ones, in that order.
    pub told: Vec<Remark>,
    /// How many more there are.
    pub more: usize,
}

/// What can be said of a correlation among few people.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CorrelationSign {
    /// Clearly above nothing.
    Plus,
    /// Clearly below nothing.
    Minus,
    /// Too close to nothing to say.
    Unclear,
}

/// The sign of a correlation, clear where chance alone shows one as far from nothing in at most 5 of 100
/// questions.
pub fn sign(correlation: f64, people: usize) -> CorrelationSign {
    match correlation_above(correlation, people) {
        Some(chance) if chance <= LEVEL / 2.0 => CorrelationSign::Plus,
        Some(chance) if chance >= 1.0 - LEVEL / 2.0 => CorrelationSign::Minus,
        _ => CorrelationSign::Unclear,
    }
}

/// What is worth a look in a group's figures.
///
/// A question has one remark about its key or wording at the most, the most pressing one that stands.
pub fn remarks(figures: &Figures) -> Remarks {
    let kinds = [
        key_doubts(figures),
        backwards(figures),
        below_guessing(figures),
        Vec::from_iter(not_reached(figures)),
        omitted(figures),
        tell_little(figures),
        misfits(figures),
        Vec::from_iter(nobody_chose(figures)),
    ];
    let mut told: Vec<Remark> = Vec::new();
    for remark in kinds.into_iter().flatten() {
        let about = remark.key_or_wording_of();
        if about.is_none() || told.iter().all(|one| one.key_or_wording_of() != about) {
            told.push(remark);
        }
    }
    let more = told.len().saturating_sub(MOST);
    told.truncate(MOST);
    Remarks { told, more }
}

impl Remark {
    /// The question whose key or wording it is about.
    const fn key_or_wording_of(&self) -> Option<QuestionNo> {
        match self {
            Self::KeyDoubt { question, .. }
            | Self::BelowGuessing { question, .. }
            | Self::Backwards(question)
            | Self::TellsLittle(question)
            | Self::Misfit(question) => Some(*question),
            Self::NotReached { .. } | Self::Omitted { .. } | Self::NobodyChose(_) => None,
        }
    }
}

/// Those of the tested that stand out together, the least likely by chance first.
fn standing<T>(level: f64, tested: impl Iterator<Item = (f64, T)>) -> Vec<T> {
    let tested: Vec<(f64, T)> = tested.collect();
    let chances: Vec<f64> = tested.iter().map(|(chance, _)| *chance).collect();
    let stands = holm(&chances, level);
    let mut stand: Vec<(f64, T)> = tested
        .into_iter()
        .zip(stands)
        .filter_map(|(one, stands)| stands.then_some(one))
        .collect();
    stand.sort_by(|one, other| one.0.total_cmp(&other.0));
    stand.into_iter().map(|(_, one)| one).collect()
}

fn judged(figures: &Figures) -> impl Iterator<Item = &QuestionFigures> {
    let questions = figures.questions.iter();
    questions.filter(|question| question.void.is_none())
}

/// The same where there are people enough for what is known of many only.
fn enough(figures: &Figures) -> impl Iterator<Item = &QuestionFigures> {
    judged(figures).filter(|_| figures.people >= FEW)
}

/// Wrong options that clearly more people chose than had it right (the sign test at [`LEVEL`]), tested by how their
/// choosers did on the rest among all who answered.
///
/// How many chose an option says nothing of how they did elsewhere, so only these are a family (independent
/// filtering; Bourgon and others 2010, *PNAS* 107, 9546-9551, from memory). With a sound key a wrong option's
/// choosers do worse than the others, so that false alarms are rarer than the level says.
fn key_doubts(figures: &Figures) -> Vec<Remark> {
    let tested = judged(figures).flat_map(|question| {
        let right = question.right.unwrap_or(0);
        let wrong = question
            .options
            .iter()
            .filter(move |option| !option.is_right && clearly_more(option.count, right));
        wrong.filter_map(move |option| {
            let chance = correlation_above(option.rest_among_answered?, question.answered())?;
            let remark = Remark::KeyDoubt {
                question: question.number,
                option: option.label?,
                chosen: option.count,
                key: question.key(),
                right,
            };
            Some((chance, (remark, did_better(question, option))))
        })
    });
    let standing = standing(LEVEL_FOR_KEYS, tested).into_iter();
    standing
        .filter_map(|(remark, better)| better.then_some(remark))
        .collect()
}

/// Whether so many more people would seldom be, if each of both were as likely to be chosen.
fn clearly_more(count: usize, other: usize) -> bool {
    at_least(count, count.saturating_add(other), 0.5).is_some_and(|chance| chance <= LEVEL)
}

/// Whether those who chose an option did better on the rest than those who had the question right, if any.
fn did_better(question: &QuestionFigures, option: &OptionFigures) -> bool {
    let mut right = question.options.iter().filter(|one| one.is_right);
    right.all(|one| one.mean_rest < option.mean_rest || one.count == 0)
}

/// Tested against blind guesses of everybody who answered.
fn below_guessing(figures: &Figures) -> Vec<Remark> {
    standing(
        LEVEL,
        judged(figures).filter_map(|question| {
            let labelled = || question.options.iter().filter(|one| one.label.is_some());
            let accepted = labelled().filter(|option| option.is_right).count();
            let (right, answered) = (question.right?, question.answered());
            let chance = at_most(right, answered, share(accepted, labelled().count()))?;
            let remark = Remark::BelowGuessing {
                question: question.number,
                right,
                answered,
            };
            Some((chance, remark))
        }),
    )
}

fn backwards(figures: &Figures) -> Vec<Remark> {
    standing(
        LEVEL_FOR_BACKWARDS,
        judged(figures).filter_map(|question| {
            let chance = correlation_above(-question.discrimination?, figures.people)?;
            Some((chance, Remark::Backwards(question.number)))
        }),
    )
}

/// From the end backwards each question is tested by itself until one does not stand out, which keeps the level
/// for the paper (a fixed sequence; Maurer and others 1995, from memory).
fn not_reached(figures: &Figures) -> Option<Remark> {
    let last = figures.questions.last()?;
    let many = |question: &&QuestionFigures| {
        let missed = question.blanks.not_reached;
        at_least(missed, figures.people, MANY_BLANKS).is_some_and(|chance| chance <= LEVEL)
    };
    let from = figures.questions.iter().rev().take_while(many).last()?;
    Some(Remark::NotReached {
        from: from.number,
        first: from.blanks.not_reached,
        last: last.number,
        end: last.blanks.not_reached,
    })
}

fn omitted(figures: &Figures) -> Vec<Remark> {
    standing(
        LEVEL,
        judged(figures).filter_map(|question| {
            let omitted = question.blanks.omitted;
            let reached = figures.people.saturating_sub(question.blanks.not_reached);
            let remark = Remark::Omitted {
                question: question.number,
                omitted,
                reached,
            };
            Some((at_least(omitted, reached, MANY_BLANKS)?, remark))
        }),
    )
}

fn tell_little(figures: &Figures) -> Vec<Remark> {
    standing(
        LEVEL,
        enough(figures).filter_map(|question| {
            let own = question.discrimination?;
            let chance = correlation_below(own, LOW_DISCRIMINATION, figures.people)?;
            Some((chance, Remark::TellsLittle(question.number)))
        }),
    )
}

/// By the information-weighted mean square: the plain one jumps at a single lucky guess.
fn misfits(figures: &Figures) -> Vec<Remark> {
    standing(
        LEVEL,
        enough(figures).filter_map(|question| {
            let measure = question.rasch?.ok()?;
            let chance = mean_square_above(measure.infit, measure.people)?;
            Some((chance, Remark::Misfit(question.number)))
        }),
    )
}

/// Tested against [`IDLE_OPTION`], where the wrong answers are enough to give each wrong option as much.
fn nobody_chose(figures: &Figures) -> Option<Remark> {
    let tested = judged(figures).flat_map(|question| {
        let labelled = || question.options.iter().filter(|one| one.label.is_some());
        let wrong = || labelled().filter(|option| !option.is_right);
        let answers: usize = wrong().map(|option| option.count).sum();
        let answered = question.answered();
        let enough = real(answers) >= IDLE_OPTION * real(answered) * real(wrong().count());
        labelled()
            .filter(move |option| enough && option.count == 0)
            .filter_map(move |option| {
                let chance = at_most(0, answered, IDLE_OPTION)?;
                Some((chance, (question.number, option.label?)))
            })
    });
    let mut unused = standing(LEVEL, tested);
    unused.sort_by_key(|(question, _)| *question);
    let by_question = unused.chunk_by(|one, next| one.0 == next.0);
    let listed: Vec<(QuestionNo, Vec<Label>)> = by_question
        .filter_map(|of| {
            let labels = of.iter().map(|(_, label)| *label).collect();
            Some((of.first()?.0, labels))
        })
        .collect();
    (!listed.is_empty()).then_some(Remark::NobodyChose(listed))
}
