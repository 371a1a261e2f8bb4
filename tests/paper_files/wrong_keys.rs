//! What can be wrong with the meaning of a key or a plan.

use std::path::Path;

use pacebell::domain::paper::Outline;
use pacebell::storage::files::{FileTrouble, key, paper, plan};

use crate::changed;
use crate::good::{KEY, PAPER};

fn outline() -> Outline {
    let paper = paper::from_bytes(Path::new("p"), PAPER.as_bytes(), None).unwrap();
    paper.value.outline
}

/// The lines said about a key, notes of one that can be used included.
fn said(text: &str, paper: Option<&Outline>) -> String {
    match key::from_bytes(Path::new("f.ron"), text.as_bytes(), paper) {
        Ok(sound) => FileTrouble::lines(Path::new("f.ron"), &sound.notes),
        Err(trouble) => trouble.to_string(),
    }
}

/// The key with the paper's own fingerprint in it.
fn good(outline: &Outline) -> String {
    let print = format!("\"dune-a\",\n    fingerprint: \"{}\"", outline.fingerprint);
    KEY.replace("\"dune-a\"", &print)
}

/// Each row: what to replace, by what (`«` marks the places), and what is said of them in turn.
fn check(paper: Option<&Outline>, table: &[(&str, &str, &[&str])]) {
    let good = good(&outline());
    assert_eq!(said(&good, paper), "");
    for (from, to, sentences) in table {
        let (text, lines) = changed(&good, from, to, sentences);
        assert_eq!(said(&text, paper), lines, "{from} -> {to}");
    }
}

#[test]
fn answers_are_held_against_the_paper() {
    check(
        Some(&outline()),
        &[
            (
                "\"BD Y\"",
                "«\"BD\"",
                &[
                    "answers: the key has 2 answers but the paper has 3 questions; add the missing ones",
                ],
            ),
            (
                "\"BD Y\"",
                "«\"BDYY\"",
                &[
                    "answers: the key has 4 answers but the paper has 3 questions; delete the extra ones",
                ],
            ),
            (
                "\"BD Y\"",
                "\"B«E Y\"",
                &["answers: question 2 has no option 'E'; its options are A to D"],
            ),
            (
                "\"BD Y\"",
                "\"BD\\n «A\"",
                &["answers: question 3 has no option 'A'; its options are Y to N"],
            ),
            (
                "\"BD Y\"",
                "r\"B\n«?Y\"",
                &["answers: question 2 has no option '?'; its options are A to D"],
            ),
            (
                "\"BD Y\"",
                "[\"B\", «\"E\", \"Y\"]",
                &["answer 2: question 2 has no option 'E'; its options are A to D"],
            ),
            (
                "\"BD Y\"",
                "[\"B\", «\"DY\", \"Y\"]",
                &[
                    "answer 2: \"DY\", at question 2, isn't a single option; write one letter or digit",
                ],
            ),
            (
                "\"BD Y\"",
                "«[\"B\"]",
                &[
                    "answers: the key has 1 answers but the paper has 3 questions; add the missing ones",
                ],
            ),
            (
                "\"ac\"",
                "\"a«e\"",
                &["also_right, question 2: question 2 has no option 'e'; its options are A to D"],
            ),
            (
                "\"ac\"",
                "«\"\"",
                &[
                    "also_right, question 2: no option is given for question 2; write one or more letters, or delete the entry",
                ],
            ),
            (
                "\"ac\"",
                "«\"da\"",
                &[
                    "note: also_right, question 2: D is already the answer to question 2; it can be left out here",
                ],
            ),
        ],
    );
}

#[test]
fn entries_are_held_against_the_paper() {
    check(
        Some(&outline()),
        &[
            (
                "2: \"ac\"",
                "4: «\"ac\"",
                &[
                    "also_right, question 4: there's no question 4, since the paper has 3 questions; correct the number",
                ],
            ),
            (
                "3: credited",
                "0: «credited",
                &[
                    "void, question 0: there's no question 0, since the paper has 3 questions; correct the number",
                ],
            ),
            (
                "2: ()",
                "26: «()",
                &[
                    "notes, question 26: there's no question 26, since the paper has 3 questions; correct the number",
                ],
            ),
            (
                "2: ()",
                "«1: ()",
                &["notes, question 1: this is there twice; keep one of the two"],
            ),
            (
                "\"A\": \"slip\"",
                "\"B\": «\"slip\"",
                &[
                    "notes, question 1, distractors, B: B is a right answer to question 1, but this note explains it as a wrong one; delete the note on B from the distractors of question 1",
                ],
            ),
            (
                "2: ()",
                "2: (distractors: {\"C\": «\"x\"})",
                &[
                    "notes, question 2, distractors, C: C is a right answer to question 2, but this note explains it as a wrong one; delete the note on C from the distractors of question 2",
                ],
            ),
            (
                "\"A\": \"slip\"",
                "\"E\": «\"slip\"",
                &[
                    "notes, question 1, distractors, E: question 1 has no option 'E'; its options are A to D",
                ],
            ),
            (
                "\"A\": \"slip\"",
                "\"AD\": «\"slip\"",
                &[
                    "notes, question 1, distractors, AD: \"AD\", at question 1, isn't a single option; write one letter or digit",
                ],
            ),
            (
                "\"A\": \"slip\"",
                "\"A\": \"slip\", \"a\": «\"slip\"",
                &[
                    "notes, question 1, distractors, a: option A is explained twice; keep one of the two",
                ],
            ),
            (
                "\"Count.\"",
                "«\"\"",
                &[
                    "notes, question 1, hint: this text is empty; fill it in, or leave the field out",
                ],
            ),
        ],
    );
}

#[test]
fn a_key_alone_is_held_against_itself() {
    check(
        None,
        &[
            (
                "\"BD Y\"",
                "\"BD«!Y\"",
                &[
                    "answers: '!', at question 3, isn't an option; write an option's letter or digit",
                ],
            ),
            (
                "2: \"ac\"",
                "4: «\"ac\"",
                &[
                    "also_right, question 4: there's no question 4, since the key has 3 questions; correct the number",
                ],
            ),
            (
                "\"A\": \"slip\"",
                "\"B\": «\"slip\"",
                &[
                    "notes, question 1, distractors, B: B is a right answer to question 1, but this note explains it as a wrong one; delete the note on B from the distractors of question 1",
                ],
            ),
            (
                "\"A\": \"slip\"",
                "\"A\": \"slip«\u{1b}[31m\"",
                &[
                    "notes, question 1, distractors, A: the text has a control character (U+001B); delete it",
                ],
            ),
        ],
    );
    let text = "(format: 1, paper: \"p\", answers: \" \")";
    assert_eq!(
        said(text, None),
        "f.ron:1:34: answers: the key has no answers; write one for each question"
    );
    let text = text.replace("\" \"", &format!("\"{}\"", "A".repeat(201)));
    assert_eq!(
        said(&text, None),
        "f.ron:1:34: answers: the key has 201 answers, but the most is 200; write one for each question"
    );
}

#[test]
fn a_key_belongs_to_one_paper_and_one_version_of_it() {
    let outline = outline();
    let own = format!("\"{}\"", outline.fingerprint);
    let other_version = format!(
        "fingerprint: the key is for another version of the paper's questions, going by its fingerprint; if its answers are still right, write fingerprint: {own}"
    );
    let none = format!(
        "fingerprint: \"12AB\" isn't a fingerprint, which has sixteen hex digits; write fingerprint: {own}"
    );
    check(
        Some(&outline),
        &[
            (
                "\"dune-a\"",
                "«\"dune-b\"",
                &[
                    "paper: the key is for paper \"dune-b\", not for \"dune-a\"; give the key of \"dune-a\", or correct the id",
                ],
            ),
            (&own, "«\"0123456789abcdef\"", &[&other_version]),
            (&own, "«\"12AB\"", &[&none]),
        ],
    );
    check(
        None,
        &[
            (
                "\"dune-a\"",
                "«\"\"",
                &["paper: the id is empty; write one, such as \"saltmarsh-a\""],
            ),
            (
                &own,
                "«\"12AB\"",
                &[
                    "fingerprint: \"12AB\" isn't a fingerprint, which has sixteen hex digits; copy it from what `paper check` says about the paper, or leave the field out",
                ],
            ),
        ],
    );
    assert_eq!(
        said(KEY, Some(&outline)),
        format!(
            "f.ron:1:1: note: fingerprint: the key doesn't say which version of the paper it's for; check its answers, then write fingerprint: {own} in it"
        )
    );
}

#[test]
fn plans() {
    const PLAN: &str = "(\n    format: 1,\n    checkpoints: [(question: 10, minutes: 17.5), (question: 20, minutes: 40)],\n)";
    for (from, to, sentence) in [
        (
            "question: 20",
            "question: «10",
            "checkpoint 2, question: the checkpoint's question does not come after the one before it; write the checkpoints in the order of the paper",
        ),
        (
            "minutes: 40",
            "minutes: «17.5",
            "checkpoint 2, minutes: the checkpoint's time isn't later than the one before it; give each a later time",
        ),
        (
            "question: 10",
            "question: «0",
            "checkpoint 1, question: 0 isn't a question; write a number from 1 to 200",
        ),
        (
            "minutes: 17.5",
            "minutes: «-1",
            "checkpoint 1, minutes: `-1` isn't a number of minutes: write a positive number up to 1440, such as 60, 12.5 or 0.2",
        ),
        (
            "[(question: 10, minutes: 17.5), (question: 20, minutes: 40)]",
            "«[]",
            "checkpoints: the plan has no checkpoints; write at least one",
        ),
        (
            "format: 1",
            "format: «3",
            "format: this file was written by a newer Pacebell (format 3; this one reads up to 2); update the program",
        ),
        (
            "40)],",
            "40)],\n    leave: «\"21-25\",",
            "leave: the field `leave` needs format 2; write format: 2 at the top",
        ),
        (
            "40)],",
            "40)],\n    stay_minutes: «4,",
            "stay_minutes: the field `stay_minutes` needs format 2; write format: 2 at the top",
        ),
    ] {
        let (text, line) = changed(PLAN, from, to, &[sentence]);
        let trouble = plan::from_bytes(Path::new("f.ron"), text.as_bytes()).unwrap_err();
        assert_eq!(trouble.to_string(), line);
    }
    let second = PLAN.replace("format: 1", "format: 2");
    for (field, sentence) in [
        (
            "leave: «\"21-\"",
            "leave: \"21-\" isn't a list of questions: write numbers and ranges with commas between, such as 1-10,13",
        ),
        (
            "leave: «\"201\"",
            "leave: no paper has a question above 200; write numbers from 1 to 200",
        ),
        (
            "stay_minutes: «0",
            "stay_minutes: `0` isn't a number of minutes: write a positive number up to 1440, such as 60, 12.5 or 0.2",
        ),
    ] {
        let field = format!("40)],\n    {field},");
        let (text, line) = changed(&second, "40)],", &field, &[sentence]);
        let trouble = plan::from_bytes(Path::new("f.ron"), text.as_bytes()).unwrap_err();
        assert_eq!(trouble.to_string(), line);
    }
}

/// With one answer missing all behind it are off by one: hints and explained options are not held against them.
#[test]
fn one_missing_answer_is_one_problem() {
    let samples = Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-papers");
    let outline = paper::load(&samples.join("saltmarsh-a.paper.ron"))
        .unwrap()
        .outline;
    let whole = std::fs::read_to_string(samples.join("saltmarsh-a.key.ron")).unwrap();
    assert_eq!(said(&whole, Some(&outline)), "");
    let (before, answers) = whole.split_once("answers: \"").unwrap();
    let answers: String = answers.chars().skip(1).collect();
    let told = said(&format!("{before}answers: \"{answers}"), Some(&outline));
    assert_eq!(told.lines().count(), 1, "{told}");
    assert!(
        told.contains("the key has 24 answers but the paper has 25 questions"),
        "{told}"
    );
}
