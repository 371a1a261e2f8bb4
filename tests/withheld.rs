//! Answers worked on a printed paper and keyed in a row have no times of their own, and every command
//! says so alike; what makes a batch is the tutor's threshold, which every command obeys.
#![cfg(test)]

#[path = "common/sat.rs"]
mod sat;
#[path = "common/written.rs"]
mod written;

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use chrono::{DateTime, TimeDelta};
use pacebell::domain::event::{Ending, Event, Stamped};
use pacebell::domain::header::Header;
use pacebell::domain::labels::Label;
use pacebell::domain::rule::QuestionNo;
use pacebell::domain::time::Elapsed;
use pacebell::storage::files::paper;
use pacebell::storage::journal::path_for;
use serde_json::Value;

const QUESTIONS: u16 = 25;

/// A folder with a printed paper, its key and sittings in which 25 letters are keyed 9 s apart.
struct Room(tempfile::TempDir);

impl Room {
    fn new() -> Self {
        let room = Self(tempfile::tempdir().unwrap());
        let words = "paper new printed --questions 25 --minutes 60 --sections 1-25:4 --answers";
        let answers = "A".repeat(usize::from(QUESTIONS));
        let words: Vec<_> = words.split(' ').chain([answers.as_str()]).collect();
        room.run(&words);
        for pupil in ["heron", "otter"] {
            for day in 1..=2 {
                room.keyed_in_a_row(pupil, day);
            }
        }
        room
    }

    fn path(&self) -> &Path {
        self.0.path()
    }

    fn run(&self, words: &[&str]) -> String {
        let mut command = Command::new(env!("CARGO_BIN_EXE_pacebell"));
        let done = command
            .args(words)
            .current_dir(self.path())
            .output()
            .unwrap();
        let said = String::from_utf8_lossy(&done.stderr);
        assert!(done.status.success(), "{words:?}: {said}");
        String::from_utf8(done.stdout).unwrap()
    }

    fn json(&self, words: &[&str]) -> Value {
        serde_json::from_str(&self.run(words)).unwrap()
    }

    fn keyed_in_a_row(&self, pupil: &str, day: i64) -> PathBuf {
        let paper = paper::load(&self.path().join("printed.paper.ron")).unwrap();
        let first = DateTime::parse_from_rfc3339("2026-11-01T09:00:00+00:00").unwrap();
        let header = Header {
            sitting: format!("{pupil}-{day}"),
            started: first + TimeDelta::days(day),
            ..sat::header(pupil, &paper)
        };
        let path = path_for(&self.path().join("sessions"), &header);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        let mut log = Vec::new();
        let mut push = |seconds: u64, event| {
            let at = Elapsed::seconds(seconds);
            let utc = header.started.to_utc();
            log.push(Stamped { at, utc, event });
        };
        for number in 1..=QUESTIONS {
            let at = 3_000 + 9 * u64::from(number);
            push(at - 9, Event::Opened(QuestionNo(number)));
            push(
                at,
                Event::Answered(QuestionNo(number), Label::new('A').unwrap()),
            );
        }
        push(3_225, Event::Closed(Ending::FinishedEarly));
        fs::write(&path, written::file(&header, &log)).unwrap();
        path
    }

    /// Every time on a question that `mark` and `group` give.
    fn times(&self) -> Vec<Option<f64>> {
        let file = path_of(&self.path().join("sessions/otter"));
        let mark = self.json(&["mark", &file, "--key", "printed.key.ron", "--json"]);
        let own = mark["questions"].as_array().unwrap().iter();
        let own = own.map(|question| question["seconds"].as_f64());
        let words = "group --paper printed.paper.ron --key printed.key.ron --json sessions";
        let group = self.json(&words.split(' ').collect::<Vec<_>>());
        let all = group["questions"].as_array().unwrap().iter();
        let all = all.map(|question| question["median_seconds"].as_f64());
        own.chain(all).collect()
    }

    /// How many times of the pupil's own a plan and a forecast rest on.
    fn rests_on(&self) -> Vec<u64> {
        let told = |command: &str| {
            let words = [command, "otter", "--paper", "printed.paper.ron", "--json"];
            timed_answers(&self.json(&words)).unwrap()
        };
        vec![told("plan"), told("forecast")]
    }
}

fn path_of(folder: &Path) -> String {
    let mut files: Vec<_> = fs::read_dir(folder)
        .unwrap()
        .map(|f| f.unwrap().path())
        .collect();
    files.sort();
    files[0].display().to_string()
}

/// The figure `timed_answers`, wherever it stands.
fn timed_answers(value: &Value) -> Option<u64> {
    match value {
        Value::Object(fields) => match fields.get("timed_answers") {
            Some(own) => own.as_u64(),
            None => fields.values().find_map(timed_answers),
        },
        Value::Array(values) => values.iter().find_map(timed_answers),
        _ => None,
    }
}

#[test]
fn no_command_gives_the_times_of_a_batch_and_each_obeys_what_the_tutor_calls_one() {
    let room = Room::new();
    assert!(
        room.times().iter().all(Option::is_none),
        "{:?}",
        room.times()
    );
    assert_eq!(room.rests_on(), [0, 0]);
    let own = r#"(format: 1, thresholds: {"batch_gap_seconds": 5, "rushed_floor_seconds": 5})"#;
    fs::write(room.path().join("sessions/thresholds.ron"), own).unwrap();
    assert!(
        room.times().iter().all(|time| *time == Some(9.0)),
        "{:?}",
        room.times()
    );
    assert_eq!(room.rests_on(), [50, 50], "two sittings of 25 questions");
}
