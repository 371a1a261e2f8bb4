//! The sheet itself: its lines of the log, its lost marks, hostile texts, where it is written.

use std::collections::BTreeSet;
use std::fs;
use std::time::Duration;

use super::markup::well_formed;
use super::room::{Room, first};

/// A line of a session file as it stands there: its moment, and its event as written.
fn written_line(text: &str, number: usize) -> (u64, String) {
    let line = text.lines().nth(number - 1).unwrap();
    let (record, _checksum) = line.rsplit_once(") // ").unwrap();
    let (before, event) = record.split_once(",event:").unwrap();
    let (_, at) = before.split_once(",at:").unwrap();
    let at = at.split(',').next().unwrap().parse().unwrap();
    (at, event.to_owned())
}

/// Each line that is named is that line of the file, with its moment.
#[test]
fn every_named_line_is_in_the_file() {
    let room = Room::new();
    let log = first();
    room.put(&log);
    let text = log.text();
    let sheet = room.json(&log);
    let findings = sheet["findings"].as_array().unwrap();
    assert!((1..=3).contains(&findings.len()), "{findings:?}");
    let mut seen = 0;
    for finding in findings {
        for line in finding["log"].as_array().unwrap() {
            let number = usize::try_from(line["line"].as_u64().unwrap()).unwrap();
            let (at, event) = written_line(&text, number);
            let seconds = line["seconds"].as_f64().unwrap();
            let written = Duration::from_millis(at).as_secs_f64();
            assert!((seconds - written).abs() < 0.0005, "{line} {at}");
            let said = line["event"].as_str().unwrap();
            let kind = match event.split(['(', '{']).next().unwrap() {
                "Opened" => "opened",
                "Answered" => "answered",
                "TimeUp" => "time was up",
                "Closed" => "ended",
                other => panic!("{other}"),
            };
            assert!(said.contains(kind), "{said} {event}");
            let question = event.split(['(', ',', ')']).nth(1).unwrap_or_default();
            if matches!(kind, "opened" | "answered") {
                assert!(said.starts_with(&format!("Q{question} ")), "{said} {event}");
            }
            seen += 1;
        }
    }
    assert!(seen >= findings.len());
}

/// By hand: with A chosen in 1 to 15, those whose key is not A are lost, and 16 to 25 are blank.
#[test]
fn every_mark_lost_in_time_has_room_for_two_causes_and_none_is_left_out() {
    let room = Room::new();
    let log = first();
    room.put(&log);
    let key = fs::read_to_string(room.path().join("sample-papers/saltmarsh-a.key.ron")).unwrap();
    let (_, answers) = key.split_once("answers: \"").unwrap();
    let answers = answers.split('"').next().unwrap();
    let answers: Vec<char> = answers.chars().filter(|c| !c.is_whitespace()).collect();
    assert_eq!(answers.len(), 25);
    let missed = (1..)
        .zip(&answers)
        .filter(|(number, right)| *number > 15 || **right != 'A');
    let missed: BTreeSet<u64> = missed.map(|(number, _)| number).collect();
    let sheet = room.json(&log);
    let lost = sheet["lost"].as_array().unwrap();
    let told: BTreeSet<u64> = lost
        .iter()
        .map(|own| own["number"].as_u64().unwrap())
        .collect();
    assert_eq!(told, missed);
    let words = ["talk", &Room::file(&log), "-o", "sheet.html"];
    room.told(&words);
    let page = fs::read_to_string(room.path().join("sheet.html")).unwrap();
    assert_eq!(well_formed(&page), Ok(()));
    let pupils = page.match_indices("Pupil's cause:").map(|(at, _)| at);
    let tutors = page.match_indices("Tutor's cause:").map(|(at, _)| at);
    let (pupils, tutors): (Vec<_>, Vec<_>) = (pupils.collect(), tutors.collect());
    assert_eq!(pupils.len(), missed.len());
    assert!(
        pupils
            .iter()
            .zip(&tutors)
            .all(|(pupil, tutor)| pupil < tutor)
    );
    assert_eq!(pupils.len(), tutors.len());
    // The key's answer is for a second try.
    assert!(!page.contains("Answer:") && !page.contains("right is"));
}

#[test]
fn a_step_is_kept_beside_the_log_which_stays_as_it_is() {
    let room = Room::new();
    let log = first();
    room.put(&log);
    let said = room.told(&["talk", &Room::file(&log), "--step", "Sweep 3:00"]);
    assert!(said.contains("sweep begun with 3 minutes left"), "{said}");
    let notes = fs::read_to_string(room.notes(&log)).unwrap();
    assert!(notes.contains("step: \"sweep 3:00\""), "{notes}");
    let file = fs::read_to_string(room.path().join(Room::file(&log))).unwrap();
    assert_eq!(file, log.text());
    let page = room
        .path()
        .join("sessions/pages/talk-otter-2026-09-10.html");
    let page = fs::read_to_string(page).unwrap();
    assert!(page.contains("Begin the sweep with at least 3 minutes left."));
    let listed = fs::read_to_string(room.path().join("sessions/pages.ron")).unwrap();
    assert!(listed.contains("talk-otter-2026-09-10.html") && listed.contains("\"otter\""));
    room.told(&["talk", &Room::file(&log), "--withdraw"]);
    assert_eq!(room.state(&log), "withdrawn");
    let again = room.run(&["talk", &Room::file(&log), "--withdraw"]);
    assert_eq!(again.status.code(), Some(1));
}

#[test]
fn what_is_no_step_is_refused_with_what_is_allowed() {
    let room = Room::new();
    let log = first();
    room.put(&log);
    let endless = "x".repeat(201);
    for (words, says) in [
        (vec!["--step", "swep 3:00"], "checkpoint 10 by 12:00"),
        (vec!["--step", "sweep"], "sweep 3:00"),
        (vec!["--step", "stay 0:00"], "stay 4:00"),
        // Saltmarsh A has 25 questions and 60 minutes.
        (
            vec!["--step", "checkpoint 26 by 12:00"],
            "ends with question 25",
        ),
        (vec!["--step", "checkpoint 10 by 60:01"], "60 minutes"),
        (vec!["--step", "sweep 60:01"], "60 minutes"),
        (vec!["--step", "stay 60:01"], "60 minutes"),
        (vec!["--step-text", "  "], "says nothing"),
        (vec!["--step-text", "two\nlines"], "one plain line"),
        (vec!["--step-text", &endless], "201 characters"),
        (vec!["--step", "flags", "--withdraw"], "cannot be used with"),
    ] {
        let file = Room::file(&log);
        let mut typed = vec!["talk", file.as_str()];
        typed.extend(words);
        let said = room.run(&typed);
        assert_eq!(said.status.code(), Some(2), "{said:?}");
        let error = String::from_utf8(said.stderr).unwrap();
        assert!(error.contains(says), "{typed:?}: {error}");
    }
    assert!(!room.notes(&log).exists());
}

/// A notes file that somebody wrote by hand: the error names file, line, field and what is allowed.
#[test]
fn a_step_in_a_notes_file_that_is_none_is_told_where_it_stands() {
    let room = Room::new();
    let log = first();
    room.put(&log);
    room.agreed(&log, "sweep soon", super::TALK);
    let said = room.run(&["talk", &Room::file(&log)]);
    assert_eq!(said.status.code(), Some(1));
    let error = String::from_utf8(said.stderr).unwrap();
    for part in [".notes.ron:5:", "steps, entry 1, step", "sweep 3:00"] {
        assert!(error.contains(part), "{part}: {error}");
    }
}

#[test]
fn hostile_texts_stay_texts() {
    let room = Room::new();
    let mut log = first();
    log.header.paper.title = "<script>alert(1)</script> & \"Co\"".into();
    room.put(&log);
    let step = "</p><img src=x onerror=alert(1)> & 'so' \"on\"";
    room.told(&[
        "talk",
        &Room::file(&log),
        "--step-text",
        step,
        "-o",
        "sheet.html",
    ]);
    let page = fs::read_to_string(room.path().join("sheet.html")).unwrap();
    assert_eq!(well_formed(&page), Ok(()));
    assert!(
        !page.contains("<script") && !page.contains("<img"),
        "{page}"
    );
    assert!(page.contains("&lt;img src=x onerror=alert(1)&gt;"));
    assert!(page.contains("&lt;script&gt;alert(1)&lt;/script&gt;"));
    assert!(!page.contains("http"), "nothing is fetched");
}

#[test]
fn an_open_sitting_has_no_talk_yet() {
    let room = Room::new();
    let open = super::up_to_22();
    room.put(&open);
    let said = room.run(&["talk", &Room::file(&open)]);
    assert_eq!(said.status.code(), Some(1));
    let error = String::from_utf8(said.stderr).unwrap();
    assert!(error.contains("isn't finished"), "{error}");
}

#[test]
fn without_a_key_the_log_still_speaks() {
    let room = Room::new();
    let log = first();
    room.put(&log);
    fs::remove_file(room.path().join("sample-papers/saltmarsh-a.key.ron")).unwrap();
    let sheet = room.json(&log);
    assert!(sheet["lost"].is_null());
    assert!(!sheet["findings"].as_array().unwrap().is_empty());
    let said = room.told(&["talk", &Room::file(&log)]);
    assert!(said.contains("no answer key for this paper"), "{said}");
}
