//! What can be wrong with the meaning of a paper file.

use std::path::Path;

use chrono::NaiveDate;
use pacebell::storage::files::{FileTrouble, paper};

use crate::good::PAPER;
use crate::{changed, marked};

/// The lines said about a paper, notes of one that can be used included.
fn said(text: &str) -> String {
    let today = NaiveDate::from_ymd_opt(2026, 10, 1);
    match paper::from_bytes(Path::new("f.ron"), text.as_bytes(), today) {
        Ok(sound) => FileTrouble::lines(Path::new("f.ron"), &sound.notes),
        Err(trouble) => trouble.to_string(),
    }
}

/// Each row: what to replace, by what (`«` marks the places), and what is said of them in turn.
pub(crate) fn check(table: &[(&str, &str, &[&str])]) {
    for (from, to, sentences) in table {
        let (text, lines) = changed(PAPER, from, to, sentences);
        assert_eq!(said(&text), lines, "{from} -> {to}");
    }
}

#[test]
fn ids_titles_and_times() {
    const TITLE: &str = "\"Dune Cup: practice paper A\"";
    check(&[
        (
            "\"dune-a\"",
            "«\"\"",
            &["id: the id is empty; write one, such as \"saltmarsh-a\""],
        ),
        (
            "\"dune-a\"",
            "\"dune«/a\"",
            &["id: '/' cannot be used in an id; use only letters, digits, - and _"],
        ),
        (
            "\"dune-a\"",
            "\"dune« a\"",
            &["id: ' ' cannot be used in an id; use only letters, digits, - and _"],
        ),
        (
            TITLE,
            "«\"  \"",
            &["title: this text is empty; fill it in, or leave the field out"],
        ),
        (
            TITLE,
            "\"Düne«\\nCup\"",
            &["title: the text has a line break where only one line fits (U+000A); delete it"],
        ),
        (
            "\"45/2\"",
            "«0",
            &[
                "minutes: `0` isn't a number of minutes: write a positive number up to 1440, such as 60, 12.5 or 0.2",
            ],
        ),
        (
            "\"45/2\"",
            "«-5",
            &[
                "minutes: `-5` isn't a number of minutes: write a positive number up to 1440, such as 60, 12.5 or 0.2",
            ],
        ),
        (
            "\"45/2\"",
            "«1440.5",
            &[
                "minutes: `1440.5` isn't a number of minutes: write a positive number up to 1440, such as 60, 12.5 or 0.2",
            ],
        ),
        (
            "\"45/2\"",
            "«\"an hour\"",
            &[
                "minutes: `an hour` isn't a number of minutes: write a positive number up to 1440, such as 60, 12.5 or 0.2",
            ],
        ),
        (
            "\"2026-09-03\"",
            "«\"2026-10-02\"",
            &[
                "rule_checked, on: the rule cannot have been checked on 2026-10-02, a day in the future; write the day it was checked",
            ],
        ),
        (
            "\"2026-09-03\"",
            "«\"3.9.2026\"",
            &[
                "rule_checked, on: \"3.9.2026\" isn't a date; write year-month-day, such as \"2026-09-03\"",
            ],
        ),
        (
            "\"T.M.\"",
            "«\"\"",
            &["rule_checked, by: this text is empty; fill it in, or leave the field out"],
        ),
    ]);
}

#[test]
fn a_rule_checked_later_is_told_only_against_a_day() {
    let text = PAPER.replace("2026-09-03", "2999-01-01");
    assert!(said(&text).contains("a day in the future"));
    assert!(paper::from_bytes(Path::new("f.ron"), text.as_bytes(), None).is_ok());
}

#[test]
fn rules() {
    check(&[
        (
            "first: 3",
            "first: «2",
            &[
                "section 2, first: the section overlaps the one before it; it should begin at question 3",
            ],
        ),
        (
            "last: 2, right: 4),\n            (first: 3",
            "last: 1, right: 4),\n            (first: «3",
            &[
                "section 2, first: there is a gap before this section; it should begin at question 2",
            ],
        ),
        (
            "last: 3",
            "last: «4",
            &["section 2, last: the last section should end at question 3, the paper's last"],
        ),
        (
            "first: 1",
            "first: «0",
            &[
                "section 1, first: the section ends before it begins; write first and last as question numbers from 1",
            ],
        ),
        (
            "first: 1",
            "first: «-1",
            &[
                "section 1, first: the section ends before it begins; write first and last as question numbers from 1",
            ],
        ),
        (
            "last: 3",
            "last: «70000",
            &["section 2, last: the last section should end at question 3, the paper's last"],
        ),
        (
            "right: 5.5",
            "right: «\"-1/4\"",
            &[
                "section 2, right: a right answer must be worth more than a wrong one and than a blank; check right, wrong and blank",
            ],
        ),
        (
            "right: 4",
            "right: «\"4 or so\"",
            &[
                "section 1, right: `4 or so` isn't a number of marks: write a whole number, a decimal or a fraction, such as 4, -1, 1.5, \"1/4\" or \"12 1/3\", up to 1000000",
            ],
        ),
        (
            "\"easy\"",
            "«\"\"",
            &["section 1, name: this text is empty; fill it in, or leave the field out"],
        ),
        (
            "rule: (\n        start: 2,\n        sections: [\n            (name: \"easy\", first: 1, last: 2, right: 4)",
            "rule: «(\n        start: \"1/999983\",\n        sections: [\n            (name: \"easy\", first: 1, last: 2, right: \"4/999979\")",
            &[
                "rule: the marks need a finer grid than a millionth of a mark; use simpler fractions",
            ],
        ),
    ]);
    let (before, rest) = PAPER.split_once("sections: [").unwrap();
    let (_, after) = rest.split_once("],\n    ),\n    awards").unwrap();
    let (text, places) = marked(&format!(
        "{before}sections: «[],\n    ),\n    awards{after}"
    ));
    assert_eq!(
        said(&text),
        format!(
            "f.ron:{}: sections: the rule has no sections; write at least one",
            places[0]
        )
    );
}

#[test]
fn questions() {
    check(&[
        (
            "\"ABCD\"",
            "«\"A\"",
            &[
                "options: a question needs at least two options; write their labels, such as \"ABCDE\"",
            ],
        ),
        (
            "\"ABCD\"",
            "«\"ABCA\"",
            &["options: the label A is used twice; give every option its own"],
        ),
        (
            "\"YN\"",
            "«\"Y?\"",
            &[
                "question 3, labels: '?' can't be an option label; use letters or digits, such as \"ABCDE\"",
            ],
        ),
        (
            "\"YN\"",
            "«\"Y2\"",
            &["question 3, labels: letters and digits are mixed; use either letters or digits"],
        ),
        (
            "[\"yes\", \"no\"]",
            "«[\"yes\", \"no\", \"maybe\"]",
            &[
                "question 3, options: there are 3 option texts but 2 option labels; write one text for each label",
            ],
        ),
        (
            "\"5\", \"6\"",
            "\"5\", «\" 3\"",
            &[
                "question 1, option 4: the option text \" 3\" is there twice; make the two different",
            ],
        ),
        (
            "\"5\", \"6\"",
            "\"5\", «\"\"",
            &["question 1, option 4: this text is empty; fill it in, or leave the field out"],
        ),
        (
            "[\"number\"]",
            "[\"number\", \"«\\tsums\"]",
            &[
                "question 1, topic 2: the text has a tab, which looks different on each screen (U+0009); delete it",
            ],
        ),
        (
            "|  |\n",
            "| «\t|\n",
            &[
                "question 2, figure: the text has a tab, which looks different on each screen (U+0009); delete it",
            ],
        ),
        (
            "|  |\n",
            "«|----------------------------------------------------------é|\n",
            &["question 2, figure: this line of the figure is 61 columns wide; use at most 60"],
        ),
        (
            "(stem: \"True?\", ",
            "«(",
            &[
                "note: question 3: it has no stem, although 2 of 3 questions have one; write one, or make sure that the pupil has it on paper",
            ],
        ),
        (
            "(stem: \"True?\", labels: \"YN\", options: [\"yes\", \"no\"])",
            "«(stem: \"True?\", labels: \"YN\")",
            &[
                "note: question 3: it has a stem but no option texts; write them, unless the stem or the figure shows them",
            ],
        ),
    ]);
}

#[test]
fn no_question_or_too_many() {
    let (before, _) = PAPER.split_once("questions: [").unwrap();
    let with = |count: usize| {
        let list = "(),".repeat(count);
        marked(&format!("{before}questions: «[{list}])"))
    };
    let (text, places) = with(0);
    assert_eq!(
        said(&text),
        format!(
            "f.ron:{}: questions: the paper has no questions; write an entry for each, if only an empty one: ()",
            places[0]
        )
    );
    let (text, places) = with(201);
    let text = text.replace("last: 3", "last: 201");
    let col = places[0].clone();
    assert_eq!(
        said(&text),
        format!(
            "f.ron:{col}: questions: the paper has 201 questions, but the most is 200; divide it into several papers"
        )
    );
    let (text, _) = with(200);
    assert_eq!(said(&text.replace("last: 3", "last: 200")), "");
}

#[test]
fn everything_that_is_wrong_is_said_at_once_in_the_order_of_the_file() {
    let text = PAPER
        .replace("\"dune-a\"", "\"dune a\"")
        .replace("\"45/2\"", "0")
        .replace("right: 4", "right: \"x\"")
        .replace("last: 3", "last: 4")
        .replace("boundary: 6", "boundary: -1")
        .replace("\"YN\"", "\"Y\"");
    let said = said(&text);
    let fields: Vec<_> = said
        .lines()
        .map(|line| line.split(": ").nth(1).unwrap())
        .collect();
    assert_eq!(
        fields,
        [
            "id",
            "minutes",
            "section 1, right",
            "section 2, last",
            "award 1, boundary",
            "question 3, labels"
        ]
    );
}
