//! The driver: the text each proof works out must be the option that the key names, and no other.

use crate::files::{self, Question};
use crate::{paper_a_early, paper_a_late, paper_b_early, paper_b_late};

/// Works out a question's answer from the facts of its stem (or its figure).
pub(crate) type Proof = fn(&Question) -> String;

fn hold(id: &str, proofs: &[Proof]) {
    let (paper, letters) = (files::paper(id), files::key(id).letters());
    assert_eq!(proofs.len(), 25);
    assert_eq!(paper.questions.len(), 25);
    assert_eq!(letters.len(), 25);
    for (at, (question, proof)) in paper.questions.iter().zip(proofs).enumerate() {
        let no = at + 1;
        let answer = proof(question);
        let equal: Vec<char> = paper
            .options
            .chars()
            .zip(&question.options)
            .filter(|(_, option)| **option == answer)
            .map(|(letter, _)| letter)
            .collect();
        assert_eq!(
            equal,
            [letters[at]],
            "{id} question {no}: worked out {answer:?}"
        );
    }
}

#[test]
fn every_key_letter_of_paper_a_names_the_answer_worked_out() {
    hold(
        "saltmarsh-a",
        &[&paper_a_early::PROOFS[..], &paper_a_late::PROOFS[..]].concat(),
    );
}

#[test]
fn every_key_letter_of_the_older_rule_paper_names_the_answer_worked_out() {
    hold(
        "saltmarsh-old",
        &[&paper_a_early::PROOFS[..], &paper_a_late::PROOFS[..]].concat(),
    );
}

#[test]
fn every_key_letter_of_paper_b_names_the_answer_worked_out() {
    hold(
        "saltmarsh-b",
        &[&paper_b_early::PROOFS[..], &paper_b_late::PROOFS[..]].concat(),
    );
}
