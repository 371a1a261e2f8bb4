//! A paper made up for a test.

use std::collections::BTreeMap;

use pacebell::domain::labels::Labels;
use pacebell::domain::mark::Mark;
use pacebell::domain::paper::{Fingerprint, Outline, Paper, Question};
use pacebell::domain::rule::{QuestionNo, Rule, Section};
use pacebell::domain::time::Elapsed;

/// Questions that give so much when right, wrong and blank.
pub(crate) fn section(first: u16, last: u16, marks: [&str; 3]) -> Section {
    let [right, wrong, blank] = marks.map(|mark| mark.parse().unwrap());
    Section {
        name: format!("{first}-{last}"),
        first: QuestionNo(first),
        last: QuestionNo(last),
        right,
        wrong,
        blank,
    }
}

/// Questions on the screen, each with the options A to E; the id is the title's, as ids are written.
pub(crate) fn paper(title: &str, minutes: u64, sections: impl Into<Vec<Section>>) -> Paper {
    let id = title.to_lowercase().replace(' ', "-");
    let sections = sections.into();
    let questions = sections.last().unwrap().last;
    Paper {
        outline: Outline {
            fingerprint: Fingerprint::of([id.as_str()]),
            id,
            title: title.into(),
            questions: questions.0,
            options: Labels::new("ABCDE").unwrap(),
            own_options: BTreeMap::new(),
            rule: Rule {
                start: Mark::ZERO,
                sections,
            },
            awards: vec![],
            rule_checked: None,
            on_screen: true,
        },
        allowed: Elapsed::minutes(minutes),
        conditions: vec![],
        past: vec![],
        shares: None,
        source: None,
        right_to_use: None,
        questions: vec![Question::default(); usize::from(questions.0)],
    }
}
