//! `practise` as it is typed: what is asked, what is kept, and what stands in the way.

use std::fs;
use std::io::{BufRead as _, BufReader, Write as _};
use std::path::Path;
use std::process::{Command, Output, Stdio};

use pacebell::domain::header::Alias;
use pacebell::domain::practice::PracticeEvent;
use pacebell::storage::journal::practice_of;
use serde_json::Value;
use tempfile::TempDir;

use crate::days::{log, start};
use crate::tree::copy;
use crate::typed::typed;
use crate::{sat, written};

/// A folder with the sample papers and one sitting of the short one by otter: 1 right, 2 wrong, 3 a wrong guess, the rest
/// blank. The short paper's key begins as it says here.
fn folder() -> TempDir {
    let dir = tempfile::tempdir().unwrap();
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    copy(
        &root.join("sample-papers"),
        &dir.path().join("sample-papers"),
    );
    fs::create_dir(dir.path().join("sessions")).unwrap();
    let right = key(dir.path());
    let wrong = |at: usize| if right[at] == 'A' { 'B' } else { 'A' };
    let answers: String = [right[0], wrong(1), wrong(2).to_ascii_lowercase()]
        .iter()
        .collect();
    sits(
        dir.path(),
        "otter",
        0,
        &(answers + &"-".repeat(right.len() - 3)),
    );
    dir
}

/// The right letters of the short paper.
fn key(dir: &Path) -> Vec<char> {
    let file = dir.join("sample-papers/saltmarsh-short.key.ron");
    let key = pacebell::storage::files::key::load(&file).unwrap();
    key.answers.iter().map(|label| label.as_char()).collect()
}

fn sits(dir: &Path, pupil: &str, after: i64, answers: &str) {
    let file = dir.join("sample-papers/saltmarsh-short.paper.ron");
    let paper = pacebell::storage::files::paper::load(&file).unwrap();
    let mut header = sat::header(pupil, &paper);
    header.started = start(after);
    header.sitting = format!("{pupil}-{after}");
    header.question_fingerprints = paper.question_fingerprints();
    let own = dir.join("sessions").join(pupil);
    fs::create_dir_all(&own).unwrap();
    let mut events = log(&header, answers);
    if answers.is_empty() {
        events.pop();
    }
    fs::write(
        own.join(format!(
            "2026-09-0{}-1600-saltmarsh-short.session.ron",
            after + 1
        )),
        written::file(&header, &events),
    )
    .unwrap();
}

fn program(dir: &Path, words: &str) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_pacebell"));
    command
        .current_dir(dir)
        .env("HOME", dir)
        .env("PACEBELL_PLAIN", "1");
    command.args(words.split(' '));
    command
}

fn pacebell(dir: &Path, words: &str, input: &str) -> Output {
    typed(&mut program(dir, words), input)
}

fn out(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn err(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

fn events(dir: &Path) -> Vec<PracticeEvent> {
    let read = practice_of(&dir.join("sessions"), &Alias::new("otter").unwrap());
    assert!(read.unread.is_empty(), "{:?}", read.unread);
    let moments = read.logs.into_iter().flat_map(|log| log.moments);
    moments.map(|moment| moment.event).collect()
}

#[test]
fn a_session_in_lines_is_heard_kept_and_seen_in_progress_and_feedback() {
    let dir = folder();
    let right = key(dir.path());
    let wrong = if right[1] == 'A' { 'C' } else { 'A' };
    let input = format!("{wrong}\nhint\n{}\nI read it too fast\n\nstop\n", right[1]);
    let done = pacebell(dir.path(), "practise otter", &input);
    assert_eq!((done.status.code(), err(&done)), (Some(0), String::new()));
    let said = out(&done);
    assert!(
        said.starts_with("19 questions to try again.\nThere's no clock here."),
        "{said}"
    );
    assert!(
        said.contains("1 of 19: question 2 of "),
        "wrong though worked out first: {said}"
    );
    assert!(
        said.contains(&format!("{wrong} isn't right yet.\nHint: ")),
        "{said}"
    );
    assert!(
        said.contains(&format!("Yes, {} is right this time.\nWorking: ", right[1])),
        "{said}"
    );
    assert!(said.contains("Your line is kept."), "{said}");
    assert!(said.contains("You worked through 1 question."), "{said}");
    let kept = events(dir.path());
    let tried = |event: &&PracticeEvent| matches!(event, PracticeEvent::Tried { .. });
    assert_eq!(kept.iter().filter(tried).count(), 2);
    assert!(kept.contains(&PracticeEvent::Catch("I read it too fast".to_owned())));
    assert_eq!(kept.last(), Some(&PracticeEvent::Stopped));
    let page = out(&pacebell(dir.path(), "progress otter", ""));
    assert!(
        page.contains("Tried again (1 session of practice)"),
        "{page}"
    );
    assert!(
        page.contains("Wrong when tried again (worth teaching): saltmarsh-short 2."),
        "{page}"
    );
    assert!(
        page.contains("as the pupil saw it: I read it too fast"),
        "{page}"
    );
    let json = out(&pacebell(dir.path(), "progress otter --json", ""));
    let json: Value = serde_json::from_str(&json).unwrap();
    let practice = &json["practice"];
    assert_eq!(practice["sessions"], 1);
    assert_eq!(
        (&practice["due"], &practice["waiting"]),
        (&18.into(), &1.into())
    );
    assert_eq!(practice["second_tries"]["neither"], 1);
    // Of four options three are left.
    assert_eq!(practice["by_guessing"]["expected"], 1.0 / 3.0);
    let sitting = "sessions/otter/2026-09-01-1600-saltmarsh-short.session.ron";
    let page = out(&pacebell(dir.path(), &format!("feedback {sitting}"), ""));
    assert!(
        page.contains("Since then you've tried 1 question again. None was right"),
        "{page}"
    );
}

#[test]
fn what_was_tried_waits_and_what_was_right_is_done_for_the_day() {
    let dir = folder();
    let right = key(dir.path());
    let words = "practise otter --paper saltmarsh-short --questions 2,3";
    let done = pacebell(dir.path(), words, &format!("{}\n\n?\n", right[1]));
    assert!(out(&done).contains("Yes, "), "{}", out(&done));
    let again = pacebell(dir.path(), words, "stop\n");
    assert!(
        err(&again).contains("Question 2 was right today, and is done for the day."),
        "{}",
        err(&again)
    );
    assert!(
        out(&again).contains("1 of 1: question 3"),
        "{}",
        out(&again)
    );
    let alone = pacebell(
        dir.path(),
        "practise otter --paper saltmarsh-short --questions 2",
        "",
    );
    assert!(
        out(&alone).contains("Nothing to try again today."),
        "{}",
        out(&alone)
    );
    let rest = out(&pacebell(dir.path(), "practise otter", ""));
    assert!(rest.starts_with("18 questions to try again."), "{rest}");
}

/// The input ends in the middle of a question: what was heard is kept.
#[test]
fn the_end_of_the_input_stops_and_keeps_what_was_tried() {
    let dir = folder();
    let done = pacebell(dir.path(), "practise otter", "a");
    assert_eq!(done.status.code(), Some(0));
    let kept = events(dir.path());
    assert!(
        matches!(kept[1], PracticeEvent::Tried { unaided: true, .. }),
        "{kept:?}"
    );
    assert_eq!(kept.last(), Some(&PracticeEvent::Stopped));
}

#[test]
fn no_further_question_opens_after_the_minutes() {
    let dir = folder();
    let right = key(dir.path());
    let mut child = program(dir.path(), "practise otter --minutes 0.0001")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let mut input = child.stdin.take().unwrap();
    let mut lines = BufReader::new(child.stdout.take().unwrap()).lines();
    writeln!(input, "{}", right[1]).unwrap();
    lines.find(|line| line.as_ref().unwrap().starts_with("What was the catch?"));
    // The minutes, 6 ms, pass.
    std::thread::sleep(std::time::Duration::from_millis(20));
    writeln!(input).unwrap();
    let rest: Vec<String> = lines.map(Result::unwrap).collect();
    child.wait().unwrap();
    let said = rest.join("\n");
    assert!(
        said.contains("That's the time you had for practice."),
        "{said}"
    );
    assert!(!said.contains("2 of 19"), "{said}");
}

#[test]
fn words_that_cannot_be_say_what_can() {
    let dir = folder();
    for (words, code, says) in [
        ("practise heron", 1, "no sittings of `heron` in"),
        (
            "practise otter --questions x",
            2,
            "isn't a list of questions",
        ),
        (
            "practise otter --questions 2,99",
            2,
            "has no question 99; it has 20",
        ),
        ("practise otter --minutes 0", 2, "minutes"),
        (
            "practise otter --paper saltmarsh-a",
            1,
            "hasn't practised or sat `saltmarsh-a`",
        ),
        (
            "practise otter --paper nowhere",
            1,
            "there's no paper `nowhere` here",
        ),
    ] {
        let done = pacebell(dir.path(), words, "");
        assert_eq!(done.status.code(), Some(code), "{words}: {}", err(&done));
        assert!(err(&done).contains(says), "{words}: {}", err(&done));
    }
    fs::remove_file(dir.path().join("sample-papers/saltmarsh-short.key.ron")).unwrap();
    let done = pacebell(dir.path(), "practise otter", "");
    assert_eq!(done.status.code(), Some(1));
    assert!(
        err(&done).contains("no sitting of `otter` can be marked"),
        "{}",
        err(&done)
    );
    let practice = practice_of(&dir.path().join("sessions"), &Alias::new("otter").unwrap());
    assert!(practice.logs.is_empty(), "nothing was begun");
}

/// Practice tells right answers: not those of a paper that the pupil may still go on with.
#[test]
fn questions_of_an_unfinished_sitting_wait() {
    let dir = folder();
    sits(dir.path(), "otter", 1, "");
    for words in ["practise otter", "practise otter --questions 2"] {
        let done = pacebell(dir.path(), words, "a\n");
        let said = err(&done);
        assert!(
            said.contains("A sitting of saltmarsh-short isn't finished."),
            "{words}: {said}"
        );
        assert!(
            out(&done).starts_with("Nothing to try again today."),
            "{}",
            out(&done)
        );
    }
}

#[test]
fn the_day_of_the_paper_stands_in_the_register() {
    let dir = folder();
    let right = key(dir.path());
    let today = pacebell::clock::Clock::local(&pacebell::clock::SystemClock).date_naive();
    let paper_on = today + chrono::Days::new(14);
    let register = format!("(format: 1, pupils: [(alias: \"otter\", paper_on: \"{paper_on}\")])");
    fs::write(dir.path().join("sessions/register.ron"), register).unwrap();
    let done = pacebell(
        dir.path(),
        "practise otter --questions 2",
        &format!("{}\n\n", right[1]),
    );
    assert!(
        out(&done).contains("1 question comes back on"),
        "{}",
        out(&done)
    );
    let json = out(&pacebell(dir.path(), "progress otter --json", ""));
    let json: Value = serde_json::from_str(&json).unwrap();
    // 14 days to the paper: a fifth of them.
    let next = (today + chrono::Days::new(3)).to_string();
    assert_eq!(json["practice"]["next"]["on"], next.as_str());
    assert_eq!(json["practice"]["paper_on"], paper_on.to_string().as_str());
}

/// Practice goes with its pupil: under another alias, into a copy, back from it, and away.
#[test]
fn practice_is_renamed_exported_gathered_and_erased_with_its_pupil() {
    let dir = folder();
    pacebell(dir.path(), "practise otter", "a\nstop\n");
    let kept = events(dir.path());
    let renamed = pacebell(dir.path(), "rename otter heron", "");
    assert_eq!(renamed.status.code(), Some(0), "{}", err(&renamed));
    let heron = Alias::new("heron").unwrap();
    let of = |sessions: &Path| {
        let read = practice_of(sessions, &heron);
        assert!(read.unread.is_empty(), "{:?}", read.unread);
        let moments = read.logs.into_iter().flat_map(|log| log.moments);
        moments.map(|moment| moment.event).collect::<Vec<_>>()
    };
    assert_eq!(of(&dir.path().join("sessions")), kept);
    assert_eq!(
        pacebell(dir.path(), "export heron out", "").status.code(),
        Some(0)
    );
    assert_eq!(of(&dir.path().join("out/sessions")), kept);
    fs::create_dir(dir.path().join("other")).unwrap();
    for _ in 0..2 {
        let gathered = pacebell(dir.path(), "gather out --sessions other", "");
        assert_eq!(gathered.status.code(), Some(0), "{}", err(&gathered));
        assert_eq!(of(&dir.path().join("other")), kept, "once, however often");
    }
    let erased = pacebell(dir.path(), "erase heron", "heron\n");
    assert!(
        !dir.path().join("sessions/heron").exists(),
        "{}",
        out(&erased)
    );
}

/// Questions of a paper that was never sat count as met once they were practised.
#[test]
fn practised_questions_count_as_met() {
    let dir = folder();
    let new = |said: &Value| {
        let mut papers = said["papers"].as_array().unwrap().iter();
        papers
            .find(|paper| paper["paper"] == "saltmarsh-long")
            .cloned()
    };
    let listed =
        || serde_json::from_str(&out(&pacebell(dir.path(), "paper list --json", ""))).unwrap();
    let before = new(&listed()).unwrap();
    let words = "practise otter --paper saltmarsh-long --questions 3,5";
    assert_eq!(
        pacebell(dir.path(), words, "a\nb\n\n").status.code(),
        Some(0)
    );
    let after = new(&listed()).unwrap();
    assert_eq!(before["met"].as_array().map(Vec::len), Some(0), "{before}");
    assert_eq!(after["met"][0]["met"], 2, "{after}");
    assert_eq!(after["met"][0]["pupil"], "otter", "{after}");
}

/// A letter changed in the second try's line: the session up to it counts, and it is said where.
#[test]
fn damaged_practice_is_named_by_doctor_and_progress_and_counts_up_to_the_damage() {
    let dir = folder();
    pacebell(dir.path(), "practise otter", "a\nstop\n");
    let whole = out(&pacebell(dir.path(), "doctor", ""));
    assert!(!whole.contains("practice"), "{whole}");
    let own = fs::read_dir(dir.path().join("sessions/otter")).unwrap();
    let mut files = own.map(|entry| entry.unwrap().path());
    let file = files
        .find(|path| path.to_string_lossy().ends_with(".practice.ron"))
        .unwrap();
    let text = fs::read_to_string(&file).unwrap();
    fs::write(&file, text.replace("Tried(option:'A'", "Tried(option:'B'")).unwrap();
    for words in ["doctor", "progress otter"] {
        let said = out(&pacebell(dir.path(), words, "")).replace("\n  ", " ");
        assert!(
            said.contains(".practice.ron:3: its checksum doesn't match its text"),
            "{words}: {said}"
        );
    }
    assert_eq!(
        fs::read_to_string(&file).unwrap().len(),
        text.len(),
        "nothing is changed"
    );
}
