//! The JSON, field by field.

use crate::domain::questions::QuestionList;
use serde_json::{Value, json};

use super::*;
use crate::reports::json::mark::json as written;

fn read(reports: &[Report]) -> Value {
    serde_json::from_str(&written(reports).unwrap()).unwrap()
}

#[test]
fn one_sitting_is_one_object_with_the_promised_fields() {
    let read = read(&[report()]);
    let question =
        |number: u16, given: &str, outcome: &str, how: &str, after: bool, marks: &str| {
            json!({
                "number": number, "given": given, "outcome": outcome, "how": how,
                "after_time": after, "marks": marks,
            })
        };
    let mut questions = vec![
        question(1, "A", "right", "worked", false, "4"),
        question(2, "C", "wrong", "worked", false, "0"),
        question(3, "C", "right", "guessed", false, "4"),
        question(4, "D", "right", "worked", false, "7"),
        question(5, "E", "right", "filled", true, "7"),
        question(6, "B", "wrong", "filled", true, "0"),
    ];
    // Question 1: 0 to 65 s; open again from 410 s to time up, with its answer there.
    let times = [
        (65.0, 2, 0),
        (60.0, 1, 1),
        (15.0, 1, 0),
        (270.0, 1, 0),
        (0.0, 0, 0),
        (0.0, 0, 0),
    ];
    for (question, (seconds, visits, changes)) in questions.iter_mut().zip(times) {
        question["seconds"] = json!(seconds);
        question["visits"] = json!(visits);
        question["changes"] = json!(changes);
    }
    let chance = read["luck"]["at_least_this"].as_f64().unwrap();
    assert!((chance - 0.104).abs() < 1e-12, "{chance}");
    let expected = json!({
        "sitting": "sitting-1",
        "pupil": "otter",
        "paper": "heron",
        "mark": {"in_time": "15", "with_guess_round": "22", "worked": "11", "max": "33"},
        "sections": [
            {"name": "1-3", "right": 2, "wrong": 1, "blank": 0, "void": 0, "marks": "8", "max": "12"},
            {"name": "4-6", "right": 2, "wrong": 1, "blank": 0, "void": 0, "marks": "14", "max": "21"},
        ],
        "questions": questions,
        "awards": [
            {"name": "dunlin", "boundary": "8", "reached_in_time": true,
             "reached_with_guess_round": true, "short_by": "0"},
            {"name": "curlew", "boundary": "18", "reached_in_time": false,
             "reached_with_guess_round": true, "short_by": "3"},
            {"name": "tern", "boundary": "26", "reached_in_time": false,
             "reached_with_guess_round": false, "short_by": "11"},
        ],
        "luck": {"guesses": 3, "expected": 3.6, "actual": "11", "at_least_this": chance},
        "findings": [
            {"kind": "changed_to_wrong", "questions": [2], "seconds": null, "marks": "-4", "threshold": null,
             "text": "Changed from right to wrong: Q2; 4 marks lost."},
            // Two blind guesses among five options for 7 marks each: 2.8.
            {"kind": "blanks", "questions": [5, 6], "seconds": null, "marks": null, "threshold": null,
             "text": "Blank at the end: 2 questions (5, 6); 2 never opened on screen. Blind guesses on them would bring about 2.8 marks on average."},
            {"kind": "luck", "questions": [], "seconds": null, "marks": "11", "threshold": "luck_chance",
             "text": "3 guesses brought 11 marks; about 3.6 would be usual. This much or more happens 10 times in 100."},
            {"kind": "long_and_right", "questions": [4], "seconds": 270.0, "marks": null, "threshold": "long_times",
             "text": "Q4 took 4 min 30 s and was right: it cost time but earned marks (plan 1 min 40 s). Threshold: over 2 times the plan, and over it by 2 minutes."},
        ],
        "set_aside": null,
        "counts": true,
        "why_not": null,
        "disputed": false,
    });
    assert_eq!(read, expected);
}

#[test]
fn several_sittings_are_a_list_and_an_entered_one_has_no_times() {
    let read = read(&[report(), entered()]);
    assert_eq!(read.as_array().unwrap().len(), 2);
    let question = &read[1]["questions"][0];
    for field in ["seconds", "visits", "changes"] {
        assert!(
            question[field].is_null() && question.get(field).is_some(),
            "{question}"
        );
    }
    let blank = &read[1]["questions"][1];
    assert!(blank["given"].is_null() && blank["how"].is_null() && blank["outcome"] == "blank");
    assert_eq!(
        read[1]["luck"],
        json!({"guesses": 0, "expected": 0.0, "actual": "0", "at_least_this": 1.0})
    );
}

#[test]
fn under_another_rule_the_fields_hold_its_marks_and_the_own_rule_stands_beside() {
    let report = marked(subject(header(), script()), key(), Some(&stricter()));
    let read = read(&[report]);
    assert_eq!(
        read["mark"],
        json!({"in_time": "71/4", "with_guess_round": "91/4", "worked": "55/4", "max": "36"})
    );
    assert_eq!(
        read["own_rule"],
        json!({"in_time": "15", "with_guess_round": "22", "worked": "11", "max": "33"})
    );
    assert_eq!(
        read["under"],
        json!({"paper": "heron-old", "title": "Heron paper, last decade"})
    );
    assert_eq!(read["paper"], "heron");
    assert_eq!(read["questions"][1]["marks"], "-1/4");
    assert_eq!(read["awards"].as_array().unwrap().len(), 1);
}

#[test]
fn a_part_of_a_paper_has_an_empty_list_of_awards() {
    let mut header = header();
    header.arrangements.only = QuestionList::range(q(1), q(3));
    let read = read(&[marked(subject(header, script()), key(), None)]);
    assert_eq!(read["awards"], json!([]));
    assert_eq!(read["mark"]["max"], "12");
}
