//! The driver of papers whose every option is worked out: the answer from the stem, and each
//! distractor by making the mistake that the key names beside it.

use crate::files::{self, Question};
use crate::tools::{Exact, mixed};
use crate::{paper_first, paper_long_early, paper_long_late, paper_short_early, paper_short_late};

/// A question's answer, and what each mistake leads to in the order of the other letters.
pub(crate) struct Worked {
    answer: String,
    mistakes: Vec<String>,
}

/// Works out a question from the facts of its stem (or its figure).
pub(crate) type Working = fn(&Question) -> Worked;

/// Options that are whole numbers with `unit` behind them.
pub(crate) fn whole<const N: usize>(answer: i64, mistakes: [i64; N], unit: &str) -> Worked {
    parts(Exact::from(answer), mistakes.map(Exact::from), unit)
}

/// Options that are numbers with `unit` behind them.
pub(crate) fn parts<const N: usize>(answer: Exact, mistakes: [Exact; N], unit: &str) -> Worked {
    let said = |number: Exact| format!("{}{unit}", mixed(number));
    Worked {
        answer: said(answer),
        mistakes: mistakes.map(said).into(),
    }
}

/// Options that are other texts.
pub(crate) fn texts<const N: usize>(answer: String, mistakes: [String; N]) -> Worked {
    Worked {
        answer,
        mistakes: mistakes.into(),
    }
}

/// Counts what a search found.
pub(crate) fn count(found: impl Iterator) -> i64 {
    i64::try_from(found.count()).unwrap()
}

fn hold(id: &str, workings: &[Working]) {
    let (paper, key) = (files::paper(id), files::key(id));
    assert_eq!(paper.questions.len(), workings.len());
    assert_eq!(key.letters().len(), workings.len());
    for (at, (question, working)) in paper.questions.iter().zip(workings).enumerate() {
        let no = at + 1;
        let Worked { answer, mistakes } = working(question);
        let mut others = question.options.clone();
        let right = paper.options.find(key.letters()[at]).unwrap();
        assert_eq!(answer, others.remove(right), "{id} question {no}");
        assert_eq!(mistakes, others, "{id} question {no}: the distractors");
    }
}

#[test]
fn every_option_of_the_first_paper_is_worked_out() {
    hold("saltmarsh-first", &paper_first::WORKINGS);
}

#[test]
fn every_option_of_the_short_paper_is_worked_out() {
    hold(
        "saltmarsh-short",
        &[
            &paper_short_early::WORKINGS[..],
            &paper_short_late::WORKINGS[..],
        ]
        .concat(),
    );
}

#[test]
fn every_option_of_the_long_paper_is_worked_out() {
    hold(
        "saltmarsh-long",
        &[
            &paper_long_early::WORKINGS[..],
            &paper_long_late::WORKINGS[..],
        ]
        .concat(),
    );
}
