//! The right answers of a key file.

use std::collections::BTreeSet;

use super::against::Against;
use crate::domain::labels::Label;
use crate::domain::paper::MOST_QUESTIONS;
use crate::domain::rule::QuestionNo;
use crate::storage::files::locate::Spot;
use crate::storage::files::problem::Findings;
use crate::storage::files::raw::RawAnswers;

/// How many answers are written.
pub(super) fn count(answers: &RawAnswers) -> usize {
    match answers {
        RawAnswers::Run(text) => text.chars().filter(|c| !c.is_whitespace()).count(),
        RawAnswers::List(list) => list.len(),
    }
}

/// The right answers in order; nothing for one that is no option.
pub(super) fn read(
    answers: &RawAnswers,
    count: usize,
    against: &Against<'_>,
    findings: &mut Findings<'_>,
) -> Vec<Option<Label>> {
    let spot = Spot::top().at("answers");
    if against.counted && count != against.questions {
        let more = if count < against.questions {
            "add the missing ones"
        } else {
            "delete the extra ones"
        };
        findings.wrong(
            &spot,
            format!(
                "the key has {count} answers but the paper has {} questions; {more}",
                against.questions
            ),
        );
    } else if count == 0 {
        findings.wrong(&spot, "the key has no answers; write one for each question");
    } else if count > MOST_QUESTIONS {
        findings.wrong(
            &spot,
            format!("the key has {count} answers, but the most is {MOST_QUESTIONS}; write one for each question"),
        );
    }
    // What stands past the last question has been told of already.
    let known = against.questions.min(MOST_QUESTIONS);
    match answers {
        RawAnswers::Run(text) => {
            let letters = text.chars().enumerate().filter(|(_, c)| !c.is_whitespace());
            let letters = letters.enumerate().take(known);
            letters
                .map(|(index, (at, c))| {
                    let option = against.option(QuestionNo::from_index(index), c);
                    option
                        .map_err(|why| findings.wrong_char(&spot, at, why))
                        .ok()
                })
                .collect()
        }
        RawAnswers::List(list) => list
            .iter()
            .enumerate()
            .take(known)
            .map(|(index, text)| {
                let option = one(QuestionNo::from_index(index), text, against);
                option
                    .map_err(|why| findings.wrong(&spot.item(index), why))
                    .ok()
            })
            .collect(),
    }
}

/// A text that should be one option.
pub(super) fn one(
    question: QuestionNo,
    text: &str,
    against: &Against<'_>,
) -> Result<Label, String> {
    let mut letters = text.trim().chars();
    match (letters.next(), letters.next()) {
        (Some(c), None) => against.option(question, c),
        _ => Err(format!(
            "{text:?}, at question {question}, isn't a single option; write one letter or digit"
        )),
    }
}

/// Options that are right besides the main one.
pub(super) fn more(
    spot: &Spot,
    question: QuestionNo,
    letters: &str,
    main: Option<Label>,
    against: &Against<'_>,
    findings: &mut Findings<'_>,
) -> BTreeSet<Label> {
    let mut more = BTreeSet::new();
    for (at, c) in letters.chars().enumerate() {
        if c.is_whitespace() {
            continue;
        }
        match against.option(question, c) {
            Ok(label) if Some(label) == main => findings.note(
                spot,
                format!(
                    "{label} is already the answer to question {question}; it can be left out here"
                ),
            ),
            Ok(label) => {
                more.insert(label);
            }
            Err(why) => findings.wrong_char(spot, at, why),
        }
    }
    if letters.trim().is_empty() {
        findings.wrong(spot, format!("no option is given for question {question}; write one or more letters, or delete the entry"));
    }
    more
}
