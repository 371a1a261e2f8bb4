//! Groups from session files: which sittings count, the guess round, times.

use std::fs;
use std::path::PathBuf;

use chrono::{DateTime, TimeDelta};
use pacebell::domain::event::{Ending, Event, Stamped};
use pacebell::domain::header::{Header, INVENTED, Mode};
use pacebell::domain::labels::Label;
use pacebell::domain::questions::QuestionList;
use pacebell::domain::rule::QuestionNo;
use pacebell::domain::time::Elapsed;
use pacebell::storage::files::paper;
use serde_json::{Value, json};

use crate::room::{PaperText, Room};
use crate::{sat, written};

fn room() -> Room {
    Room::new(&PaperText::plain("ABCDE", 3), "ABC", "")
}

fn header(room: &Room, pupil: &str) -> Header {
    let paper = paper::load(&room.path().join("heron.paper.ron")).unwrap();
    Header {
        sitting: format!("sitting of {pupil}"),
        started: DateTime::parse_from_rfc3339("2026-11-20T09:00:00+00:00").unwrap(),
        ..sat::header(pupil, &paper)
    }
}

/// Question 1 for `first` seconds, then question 2, answered in time; question 3 guessed after time.
fn script(first: u64, answers: [char; 3]) -> Vec<(u64, Event)> {
    let q = QuestionNo;
    let chose =
        |number, index: usize| Event::Answered(q(number), Label::new(answers[index]).unwrap());
    let due = Elapsed::minutes(10);
    vec![
        (0, Event::Opened(q(1))),
        (first - 1, chose(1, 0)),
        (first, Event::Opened(q(2))),
        (first + 50, chose(2, 1)),
        (600, Event::TimeUp { due }),
        (601, Event::GuessRoundStarted),
        (602, Event::Opened(q(3))),
        (605, chose(3, 2)),
        (610, Event::Closed(Ending::GuessRoundDone)),
    ]
}

fn write(room: &Room, name: &str, header: &Header, script: &[(u64, Event)]) -> PathBuf {
    let stamp = |(seconds, event): &(u64, Event)| Stamped {
        at: Elapsed::seconds(*seconds),
        utc: header.started.to_utc() + TimeDelta::seconds(i64::try_from(*seconds).unwrap()),
        event: event.clone(),
    };
    let log: Vec<_> = script.iter().map(stamp).collect();
    let folder = room.path().join("sessions").join(header.pupil.as_str());
    fs::create_dir_all(&folder).unwrap();
    let path = folder.join(format!("{name}.session.ron"));
    fs::write(&path, written::file(header, &log)).unwrap();
    path
}

fn sat(room: &Room, pupil: &str, first: u64, answers: [char; 3]) -> PathBuf {
    write(room, "one", &header(room, pupil), &script(first, answers))
}

#[test]
fn the_guess_round_is_in_unless_only_what_was_in_time_is_asked_for() {
    let room = room();
    let paths = [
        sat(&room, "otter", 100, ['A', 'B', 'C']),
        sat(&room, "robin", 200, ['A', 'C', 'D']),
        sat(&room, "heron", 400, ['B', 'B', 'C']),
    ];
    let paths: Vec<String> = paths
        .iter()
        .map(|path| path.display().to_string())
        .collect();
    let mut words: Vec<&str> = paths.iter().map(String::as_str).collect();
    words.push("--json");
    let found = room.group(&words).json();
    assert_eq!(
        found["marks"],
        json!([{"mark": "1", "count": 1}, {"mark": "2", "count": 1}, {"mark": "3", "count": 1}])
    );
    assert_eq!(found["questions"][2]["options"]["C"]["count"], 2);
    words.push("--in-time");
    let found = room.group(&words).json();
    assert_eq!(found["questions"][2]["not_reached"], 3);
    assert_eq!(
        found["marks"],
        json!([{"mark": "1", "count": 2}, {"mark": "2", "count": 1}])
    );
}

/// 100, 200 and 400 seconds on question 1: the middle one is 200. Question 2 took 50 seconds up to its answer, and
/// was open until time was up. Question 3 was never opened in time.
#[test]
fn times_are_the_middle_of_those_who_opened_the_question() {
    let room = room();
    for (pupil, first) in [("otter", 100), ("robin", 200), ("heron", 400)] {
        sat(&room, pupil, first, ['A', 'B', 'C']);
    }
    let sessions = room.path().join("sessions").display().to_string();
    let found = room.group(&[&sessions, "--json"]).json();
    assert_eq!(found["people"], 3);
    assert_eq!(found["questions"][0]["median_seconds"], 200.0);
    assert_eq!(found["questions"][1]["median_seconds"], 50.0);
    assert_eq!(found["questions"][2]["median_seconds"], Value::Null);
    let page = room.group(&[&sessions]).out;
    assert!(
        page.contains("Time against the share right") && page.contains("3:20"),
        "{page}"
    );
    assert!(
        page.contains("with what was guessed after time was up"),
        "{page}"
    );
}

#[test]
fn only_whole_ended_sittings_of_the_paper_count_and_the_rest_is_told() {
    let room = room();
    let whole = script(100, ['A', 'B', 'C']);
    sat(&room, "otter", 100, ['A', 'B', 'C']);
    write(
        &room,
        "two",
        &Header {
            sitting: "again".into(),
            ..header(&room, "otter")
        },
        &whole,
    );
    write(&room, "open", &header(&room, "robin"), &whole[..4]);
    let mut left = whole.clone();
    left.pop();
    left.push((611, Event::Closed(Ending::Abandoned)));
    write(&room, "left", &header(&room, "wren"), &left);
    let mut part = header(&room, "finch");
    part.arrangements.only = QuestionList::range(QuestionNo(1), QuestionNo(2));
    write(&room, "part", &part, &whole[..5]);
    write(
        &room,
        "part",
        &part,
        &[&whole[..5], &[(611, Event::Closed(Ending::TimeUp))]].concat(),
    );
    let mut other = header(&room, "swift");
    other.paper.id = "other".into();
    write(&room, "other", &other, &whole);
    let mut version = header(&room, "tern");
    version.paper.fingerprint = pacebell::domain::paper::Fingerprint::of(["older"]);
    write(&room, "version", &version, &whole);
    let sessions = room.path().join("sessions").display().to_string();
    let told = room.group(&[&sessions, "--json"]);
    assert_eq!(told.json()["people"], 1);
    for note in [
        "left out 1 sitting of another paper",
        "left out 1 sitting on another version of this paper's questions",
        "left out 1 sitting not ended yet",
        "left out 1 sitting given up",
        "left out 1 sitting on a part of the paper only",
        "left out 1 sitting of pupils whose first whole sitting counts; --every",
        "counted 1 sitting, the first whole one of each pupil",
    ] {
        assert!(told.notes.contains(note), "{note}: {}", told.notes);
    }
    let every = room.group(&[&sessions, "--json", "--every"]);
    assert_eq!(every.json()["people"], 2);
    assert!(
        every
            .notes
            .contains("counted 2 sittings, every whole one of 1 pupil")
    );
    let none = room.group(&[&room.path().join("sessions/swift").display().to_string()]);
    assert!(
        none.sentence()
            .contains("none of these is a whole sitting of `heron`"),
        "{none:?}"
    );
}

#[test]
fn a_damaged_session_has_its_own_exit_code_and_one_in_a_folder_is_left_out() {
    let room = room();
    sat(&room, "otter", 100, ['A', 'B', 'C']);
    let path = sat(&room, "robin", 100, ['A', 'B', 'C']);
    let text = fs::read_to_string(&path)
        .unwrap()
        .replace("Opened(2)", "Opened(1)");
    fs::write(&path, text).unwrap();
    let told = room.group(&[&path.display().to_string()]);
    assert!(told.sentence().contains("is damaged"), "{told:?}");
    assert_eq!(told.result.unwrap_err().code(), 3);
    let told = room.group(&[
        &room.path().join("sessions").display().to_string(),
        "--json",
    ]);
    assert_eq!(told.json()["people"], 1);
    assert!(
        told.notes.contains("left out, because it can't be read"),
        "{}",
        told.notes
    );
}

#[test]
fn one_invented_sitting_is_said_on_the_page_and_not_in_json() {
    let room = room();
    sat(&room, "otter", 100, ['A', 'B', 'C']);
    let sessions = room.path().join("sessions").display().to_string();
    assert!(!room.group(&[&sessions]).out.contains("nvented"));
    let made_up = Header {
        invented: true,
        ..header(&room, "robin")
    };
    write(&room, "one", &made_up, &script(200, ['A', 'C', 'D']));
    let beside = room.group(&[&sessions]);
    assert!(!beside.out.contains("nvented"), "{}", beside.out);
    assert!(
        beside.notes.contains("left out 1 sitting invented"),
        "{}",
        beside.notes
    );
    let robin = room.path().join("sessions/robin").display().to_string();
    let told = room.group(&[&robin]);
    let line = format!("! {INVENTED}");
    let lines = told.out.lines().filter(|own| *own == line);
    assert_eq!(lines.count(), 1, "{}", told.out);
    let json = room.group(&[&robin, "--json"]);
    assert!(!json.out.contains("nvented") && !json.notes.contains("nvented"));
}

#[test]
fn a_sheet_typed_in_afterwards_has_no_times() {
    let room = room();
    let typed = Header {
        mode: Mode::Entered,
        ..header(&room, "otter")
    };
    let mut events = script(100, ['A', 'B', 'C']);
    events.truncate(4);
    events.push((700, Event::Closed(Ending::Entered)));
    let path = write(&room, "typed", &typed, &events).display().to_string();
    let found = room.group(&[&path, "--json"]).json();
    assert_eq!(found["questions"][0]["median_seconds"], Value::Null);
    assert_eq!(found["questions"][2]["blank"], 1);
}
