//! Boundaries from sittings.

use std::collections::BTreeMap;
use std::path::PathBuf;

use chrono::DateTime;
use pacebell::domain::event::{Ending, Event, Stamped};
use pacebell::domain::header::{Alias, Arrangements, Boot, Header, Mode, SESSION_FORMAT};
use pacebell::domain::labels::{Label, Labels};
use pacebell::domain::mark::Mark;
use pacebell::domain::paper::{Fingerprint, Outline};
use pacebell::domain::rule::{QuestionNo, Rule, Section};
use pacebell::domain::time::Elapsed;
use pacebell::storage::journal::line::{self, Chain};
use serde_json::json;

use crate::field;
use crate::told::Folder;

/// A sitting of ten questions of which the first `right` are answered A.
fn header(pupil: &str, last: u16, worth: i64) -> Header {
    let hour = Elapsed::minutes(60);
    Header {
        format: SESSION_FORMAT,
        sitting: format!("sitting-{pupil}"),
        pupil: Alias::new(pupil).unwrap(),
        mode: Mode::Timed,
        paper: Outline {
            id: "made".into(),
            title: "Made up".into(),
            fingerprint: Fingerprint::of(["made"]),
            questions: last,
            options: Labels::new("ABCDE").unwrap(),
            own_options: BTreeMap::new(),
            rule: Rule {
                start: Mark::ZERO,
                sections: vec![Section {
                    name: "all".into(),
                    first: QuestionNo(1),
                    last: QuestionNo(last),
                    right: Mark::whole(worth),
                    wrong: Mark::ZERO,
                    blank: Mark::ZERO,
                }],
            },
            awards: vec![],
            rule_checked: None,
            on_screen: false,
        },
        standard: hour,
        allowed: hour,
        arrangements: Arrangements::usual(hour),
        plan: None,
        program: "0.1.0".into(),
        invented: false,
        replaces: None,
        question_fingerprints: BTreeMap::new(),
        started: DateTime::parse_from_rfc3339("2026-11-25T09:12:00+01:00").unwrap(),
        boot: Boot {
            id: "boot-1".into(),
            zero: 1_000_000,
        },
    }
}

fn put(folder: &Folder, header: &Header, right: u16, end: Option<Ending>) -> PathBuf {
    let answers =
        (1..=right).map(|number| Event::Answered(QuestionNo(number), Label::new('A').unwrap()));
    let end = end.map(Event::Closed);
    let mut chain = Chain::default();
    let mut text = line::write_header(header, &mut chain).unwrap();
    for (event, at) in answers.chain(end).zip(1..) {
        let stamped = Stamped {
            at: Elapsed(at * 1000),
            utc: header.started.to_utc(),
            event,
        };
        text += &line::write_event(&stamped, &mut chain).unwrap();
    }
    folder.file(&format!("{}.session.ron", header.pupil), &text)
}

#[test]
fn sittings_are_marked_and_ranked() {
    let folder = Folder::new();
    folder.file(
        "made.key.ron",
        "(format: 1, paper: \"made\", answers: \"AAAAAAAAAA\")",
    );
    let names = ["wren", "otter", "heron", "newt"];
    for (pupil, right) in names.iter().zip([3, 5, 8, 10]) {
        put(
            &folder,
            &header(pupil, 10, 2),
            right,
            Some(Ending::FinishedEarly),
        );
    }
    let files = names.map(|name| format!("{name}.session.ron")).join(" ");
    let words = format!("boundary {files} --key made.key.ron --ratio 1 --names shell");
    let found = folder.json(&words);
    assert_eq!(
        (&found["people"], field(&found, "boundary")),
        (&json!(4), json!(["16"]))
    );
    assert_eq!(field(&found, "count"), json!([2]));
    // A folder holds the same four, and the same file twice is one sitting.
    assert_eq!(folder.json(&format!("{words} .")), found);
    let page = folder.page(&words);
    assert!(page.starts_with("4 people, marks 6 to 20\n"), "{page}");

    put(&folder, &header("stork", 10, 2), 1, Some(Ending::Abandoned));
    assert_eq!(folder.json(&format!("{words} stork.session.ron")), found);

    put(
        &folder,
        &header("newt", 10, 3),
        2,
        Some(Ending::FinishedEarly),
    );
    let told = folder.refused(&words, 1);
    assert!(
        told.contains("newt.session.ron: it was sat under another marking rule"),
        "{told}"
    );
    put(&folder, &header("newt", 10, 2), 2, None);
    let told = folder.refused(&words, 1);
    assert!(
        told.contains("newt.session.ron: it has not ended"),
        "{told}"
    );
    let damaged = std::fs::read_to_string(put(
        &folder,
        &header("newt", 10, 2),
        2,
        Some(Ending::FinishedEarly),
    ))
    .unwrap();
    folder.file(
        "newt.session.ron",
        &damaged.replacen("Answered", "Answerd", 1),
    );
    let told = folder.refused(&words, 3);
    assert!(told.contains("newt.session.ron"), "{told}");
    folder.file(
        "made.key.ron",
        "(format: 1, paper: \"other\", answers: \"AAAAAAAAAA\")",
    );
    put(
        &folder,
        &header("newt", 10, 2),
        2,
        Some(Ending::FinishedEarly),
    );
    let told = folder.refused(&words, 1);
    assert_eq!(told.lines().count(), 4, "{told}");
}
