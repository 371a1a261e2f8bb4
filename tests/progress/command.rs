//! `progress PUPIL` as typed.

use std::fs;
use std::path::Path;
use std::process::{Command, Output};

use chrono::TimeDelta;
use pacebell::domain::event::{Ending, Event};
use pacebell::domain::header::INVENTED;
use pacebell::domain::rule::QuestionNo;
use pacebell::storage::files;

use crate::script::{header, label, log};
use crate::written;

const SAMPLES: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/sample-papers");

/// Writes a finished sitting of the sample paper, the first ten questions answered A.
fn sat(sessions: &Path, week: i64) {
    sat_or_made_up(sessions, week, false);
}

fn sat_or_made_up(sessions: &Path, week: i64, invented: bool) {
    let paper = format!("{SAMPLES}/saltmarsh-a.paper.ron");
    let paper = files::paper::load(Path::new(&paper)).unwrap();
    let mut header = header(60, &[(1, 25, "1", "0", "0")]);
    header.paper = paper.outline;
    header.invented = invented;
    header.sitting = format!("sitting-{week}");
    header.started += TimeDelta::weeks(week);
    let mut events = vec![];
    for number in 1..=10_u16 {
        let at = u64::from(number) * 100_000;
        events.push((at, Event::Opened(QuestionNo(number))));
        events.push((at + 90_000, Event::Answered(QuestionNo(number), label('A'))));
    }
    events.push((1_200_000, Event::Closed(Ending::FinishedEarly)));
    let text = written::file(&header, &log(&header, events));
    let folder = sessions.join("otter");
    fs::create_dir_all(&folder).unwrap();
    fs::write(folder.join(format!("week-{week}.session.ron")), text).unwrap();
}

fn run(folder: &Path, words: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_pacebell"))
        .args(words)
        .current_dir(folder)
        .envs(crate::user::at_home(folder))
        .env_remove("XDG_DATA_HOME")
        .output()
        .unwrap()
}

#[test]
fn a_season_is_told_as_text_and_as_json_and_keys_are_found_where_one_says() {
    let dir = tempfile::tempdir().unwrap();
    let sessions = dir.path().join("sessions");
    sat(&sessions, 0);
    sat(&sessions, 1);
    fs::write(sessions.join("otter").join("torn.session.ron"), "nothing").unwrap();
    let text = run(dir.path(), &["progress", "otter", "--keys", SAMPLES]);
    let page = String::from_utf8(text.stdout).unwrap();
    assert!(
        text.status.success() && page.starts_with("otter: 2 sittings\n"),
        "{page}"
    );
    assert!(
        page.contains("torn.session.ron") && page.contains("met before"),
        "{page}"
    );
    let told = run(
        dir.path(),
        &["progress", "otter", "--json", "--keys", SAMPLES],
    );
    let json: serde_json::Value = serde_json::from_slice(&told.stdout).unwrap();
    assert!(String::from_utf8_lossy(&told.stderr).contains("torn.session.ron"));
    assert_eq!(json["pupil"], "otter");
    assert_eq!(json["compared"], 1);
    assert_eq!(json["sittings"][1]["apart"], "again");
    // The key's answers to 1-10 are CDBEA BDECA: A is right twice, 4 marks each.
    assert_eq!(json["sittings"][0]["mark"]["in_time"], "8");
    assert_eq!(json["sittings"][0]["margins"][0]["over"], "-46");
    assert_eq!(json["sittings"][0]["blanks"], 15);
    assert!(json["topics"][0]["missed"].is_string());
    let unmarked = run(dir.path(), &["progress", "otter", "--json"]);
    let json: serde_json::Value = serde_json::from_slice(&unmarked.stdout).unwrap();
    assert_eq!(json["not_marked"][0], "sitting-0");
    assert!(json["sittings"][0]["mark"].is_null());
}

/// One invented sitting is enough, and the data for programs stay as they were.
#[test]
fn pages_say_that_data_are_invented_and_json_does_not() {
    let dir = tempfile::tempdir().unwrap();
    let sessions = dir.path().join("sessions");
    let paper = format!("{SAMPLES}/saltmarsh-a.paper.ron");
    let commands: [&[&str]; 3] = [
        &["progress", "otter", "--keys", SAMPLES],
        &["forecast", "otter", "--paper", &paper],
        &["plan", "otter", "--paper", &paper],
    ];
    for invented in [false, true] {
        sat_or_made_up(&sessions, i64::from(invented), invented);
        for words in commands {
            let text = run(dir.path(), words);
            let page = String::from_utf8(text.stdout).unwrap();
            assert!(text.status.success(), "{words:?}");
            let lines = page.lines().filter(|line| line.contains(INVENTED));
            assert_eq!(lines.count(), usize::from(invented), "{page}");
            let told = run(dir.path(), &[words, &["--json"]].concat());
            for told in [told.stdout, told.stderr] {
                let told = String::from_utf8(told).unwrap();
                assert!(!told.contains("nvented"), "{told}");
            }
        }
    }
}

#[test]
fn a_pupil_without_a_sitting_and_a_wrong_thresholds_file_are_told_with_the_way_out() {
    let dir = tempfile::tempdir().unwrap();
    let sessions = dir.path().join("sessions");
    fs::create_dir(&sessions).unwrap();
    let none = run(dir.path(), &["progress", "heron"]);
    assert_eq!(none.status.code(), Some(1));
    let said = String::from_utf8(none.stderr).unwrap();
    assert!(
        said.contains("no sittings of `heron`") && said.contains("--sessions"),
        "{said}"
    );
    assert_eq!(
        run(dir.path(), &["progress", "no/alias"]).status.code(),
        Some(2)
    );
    sat(&sessions, 0);
    fs::write(
        sessions.join("thresholds.ron"),
        "(format: 1, thresholds: {\"sink\": 1})",
    )
    .unwrap();
    let wrong = run(dir.path(), &["progress", "otter"]);
    assert_eq!(wrong.status.code(), Some(1));
    assert!(String::from_utf8_lossy(&wrong.stderr).contains("thresholds.ron:1:34"));
}

/// The sentence stands on the page of whoever has a worked mark, on the paper that marks are said on, outside the range
/// of what it is worth as the table prints both, and on no other.
#[test]
fn a_mark_outside_the_range_of_its_worth_is_explained_where_there_is_one() {
    let dir = tempfile::tempdir().unwrap();
    run(dir.path(), &["demo", ".", "--pupils", "24"]);
    let mut pages = [0, 0];
    for pupil in ["burdock", "marten", "stoat", "avocet", "newt", "vole"] {
        let json = run(dir.path(), &["progress", pupil, "--json"]);
        let json: serde_json::Value = serde_json::from_slice(&json.stdout).unwrap();
        let sittings = json["sittings"].as_array().unwrap().iter();
        let on_it = sittings.filter(|own| own["paper"] == json["scale"]["reference"]);
        let is_outside = |own: &serde_json::Value| {
            let mark: f64 = own["mark"]["worked"].as_str().unwrap().parse().unwrap();
            let [low, high] = ["low", "high"].map(|end| own["worth_80"][end].as_f64());
            mark < low.unwrap().round() || mark > high.unwrap().round()
        };
        let outside = on_it.filter(|own| !own["worth"].is_null()).any(is_outside);
        let page = String::from_utf8(run(dir.path(), &["progress", pupil]).stdout).unwrap();
        let page = page.split_whitespace().collect::<Vec<_>>().join(" ");
        let said = "A worked mark can lie outside its own range. What it's worth comes from how many questions came right and how hard they are";
        assert_eq!(page.contains(said), outside, "{pupil}: {page}");
        pages[usize::from(outside)] += 1;
    }
    assert_eq!(pages, [3, 3], "both were looked at");
}
