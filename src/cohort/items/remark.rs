//! What in a question's figures is worth a look.
//!
//! The limits are common practice (no source) unless one is named.

use super::{Figures, OptionFigures, QuestionFigures};
use crate::domain::key::Void;
use crate::domain::labels::Label;
use crate::stats::real;

/// The share of blanks above which a question is looked into.
const MANY_BLANKS: f64 = 0.10;

/// A discrimination below this is worth a look (Ebel & Frisbie, *Essentials of Educational Measurement*, from
/// memory).
const LOW_DISCRIMINATION: f64 = 0.20;

/// From so many people on a low but positive discrimination is news.
const MANY: usize = 100;

/// The fewest people who must have chosen a wrong option before it says anything about the key.
const FEWEST_DRAWN: usize = 3;

/// The fewest people in a group before an option that nobody chose says anything.
const FEWEST_FOR_NOBODY: usize = 10;

/// Mean squares outside these are worth a look from [`MANY`] people on (Wright & Linacre 1994, *Rasch
/// Measurement Transactions* 8:3, 370, for ordinary multiple-choice tests, from memory).
const FIT: std::ops::RangeInclusive<f64> = 0.7..=1.3;

/// One thing worth a look.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum Remark {
    /// The question is void.
    Void(Void),
    /// A wrong option drew those with the higher marks: the key may be wrong.
    KeyDoubt {
        /// The option that drew them.
        option: Label,
        /// What the key says.
        key: String,
    },
    /// Those who had it right did worse on the rest, and clearly so.
    Backwards,
    /// Everybody had it right.
    EverybodyRight,
    /// Nobody had it right.
    NobodyRight,
    /// It told people apart little, though there are many.
    TellsLittle,
    /// Nobody chose these options.
    NobodyChose(Vec<Label>),
    /// Many left it out and went on.
    Omitted(f64),
    /// Many did not get as far.
    NotReached(f64),
    /// The answers do not follow the scale.
    Misfit,
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

/// The sign of a correlation, clear when it is two standard errors from nothing.
///
/// The error is (1 - r^2) / root of (n - 1), the large-sample one (common practice, no source).
pub fn sign(correlation: f64, people: usize) -> CorrelationSign {
    let error = (1.0 - correlation * correlation) / (real(people) - 1.0).max(1.0).sqrt();
    if correlation.abs() <= 2.0 * error {
        CorrelationSign::Unclear
    } else if correlation > 0.0 {
        CorrelationSign::Plus
    } else {
        CorrelationSign::Minus
    }
}

/// What is worth a look in one question of a group, most pressing first.
pub fn remarks(figures: &Figures, question: &QuestionFigures) -> Vec<Remark> {
    if let Some(void) = question.void {
        return vec![Remark::Void(void)];
    }
    let people = figures.people;
    let mut found = Vec::new();
    match question.right {
        Some(0) => found.push(Remark::NobodyRight),
        Some(right) if right == people => found.push(Remark::EverybodyRight),
        _ => {}
    }
    let doubt = drawn(figures, question).and_then(|option| option.label);
    if let Some(option) = doubt {
        let key = question.key();
        found.push(Remark::KeyDoubt { option, key });
    } else if let Some(own) = question.discrimination {
        if sign(own, people) == CorrelationSign::Minus {
            found.push(Remark::Backwards);
        } else if people >= MANY && own < LOW_DISCRIMINATION {
            found.push(Remark::TellsLittle);
        }
    }
    if people >= FEWEST_FOR_NOBODY && wrong_fill_the_options(question) {
        let unused = question.options.iter().filter(|option| option.count == 0);
        let labels: Vec<Label> = unused.filter_map(|option| option.label).collect();
        if !labels.is_empty() {
            found.push(Remark::NobodyChose(labels));
        }
    }
    let share = |count: usize| real(count) / real(people);
    let (omitted, not_reached) = (
        share(question.blanks.omitted),
        share(question.blanks.not_reached),
    );
    if omitted > MANY_BLANKS {
        found.push(Remark::Omitted(omitted));
    }
    if not_reached > MANY_BLANKS {
        found.push(Remark::NotReached(not_reached));
    }
    if people >= MANY
        && let Some(Ok(measure)) = question.rasch
        && !(FIT.contains(&measure.infit) && FIT.contains(&measure.outfit))
    {
        found.push(Remark::Misfit);
    }
    found
}

/// Whether there are twice as many wrong answers as wrong options, so that an empty one is news.
fn wrong_fill_the_options(question: &QuestionFigures) -> bool {
    let wrong = || {
        let labelled = question.options.iter().filter(|one| one.label.is_some());
        labelled.filter(|option| !option.is_right)
    };
    let answers: usize = wrong().map(|option| option.count).sum();
    answers > 0 && answers >= 2 * wrong().count()
}

/// The wrong option that drew the higher marks, if one did.
///
/// It goes with the rest while the key goes against it, one standard error or more apart; or it clearly goes
/// with the rest, two standard errors above the key; or more than half of the top 27 % chose it, and more of
/// them than the key. The error of the difference is taken as root of 2 / (n - 1).
fn drawn<'a>(figures: &Figures, question: &'a QuestionFigures) -> Option<&'a OptionFigures> {
    let people = figures.people;
    let least = FEWEST_DRAWN.max(people.div_ceil(20));
    let key = question.discrimination.unwrap_or(0.0);
    let error = (2.0 / (real(people) - 1.0).max(1.0)).sqrt();
    let right = question.options.iter().filter(|option| option.is_right);
    let top_right: f64 = right.filter_map(|option| option.upper_share).sum();
    let doubtful = |option: &&OptionFigures| {
        let own = option.rest_correlation.unwrap_or(0.0);
        let against = key < 0.0 && own > 0.0 && own - key >= error;
        let clear = sign(own, people) == CorrelationSign::Plus && own - key >= 2.0 * error;
        let share = option.upper_share.unwrap_or(0.0);
        let drew_the_top = share > 0.5 && share > top_right && figures.group_size() >= FEWEST_DRAWN;
        against || clear || drew_the_top
    };
    let wrong = question
        .options
        .iter()
        .filter(|option| !option.is_right && option.label.is_some() && option.count >= least);
    let rest = |option: &&OptionFigures| option.rest_correlation.unwrap_or(0.0);
    wrong
        .filter(doubtful)
        .max_by(|one, other| rest(one).total_cmp(&rest(other)))
}
