//! The paper that the pages are tried with.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use pacebell::domain::labels::Labels;
use pacebell::domain::paper::{Paper, Question, RuleChecked};

use crate::bench::q;
use crate::papers::{self, section};

pub(crate) fn paper() -> Paper {
    let sections = [
        section(1, 10, ["4", "0", "0"]),
        section(11, 25, ["5", "-1", "0"]),
    ];
    let mut paper = papers::paper("Lantern Bay paper A", 60, sections);
    paper.outline.own_options = BTreeMap::from([(q(24), Labels::new("AB").unwrap())]);
    paper.outline.rule_checked = Some(RuleChecked {
        on: NaiveDate::from_ymd_opt(2026, 9, 3).unwrap(),
        by: "qz".into(),
    });
    paper.questions = questions();
    paper
}

/// 25 questions of which 2 has a figure, 3 a wide one, and 4 more words than a pane holds.
fn questions() -> Vec<Question> {
    let mut questions: Vec<Question> = (1..=25_u16)
        .map(|number| Question {
            topics: vec!["number".into()],
            stem: Some(format!(
                "A ferry carries {number} cars on each trip and makes 12 trips a day. \
                 How many cars does it carry in a day?"
            )),
            figure: None,
            figure_words: None,
            options: (0..5)
                .map(|more| (number * 12 + more).to_string())
                .collect(),
        })
        .collect();
    let figure = "   B\n  / \\\n /   \\\nA-----C\n    5";
    questions[1].figure = Some(figure.into());
    questions[2].figure = Some(format!("{}\nP\tQ{:>54}", "=".repeat(60), "R"));
    let long = "A lighthouse turns once every 15 seconds and a buoy blinks once every 10 seconds. ";
    questions[3].stem = Some(long.repeat(12));
    questions[3].options = (0..5)
        .map(|n| {
            format!("{n} seconds, counted from the first moment at which both were seen together")
        })
        .collect();
    questions[23].options.truncate(2);
    questions
}
