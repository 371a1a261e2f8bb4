//! `practise` as it is typed: what is asked, what is kept, and what stands in the way.

use std::fs;
use std::io::{BufRead as _, BufReader, Write as _};
use std::path::Path;
use std::process::{Command, Output, Stdio};

use chrono::TimeDelta;
use pacebell::domain::header::Alias;
use pacebell::domain::labels::Label;
use pacebell::domain::practice::{PaperQuestion, PracticeEvent, PracticeMoment, PracticeStart};
use pacebell::domain::rule::QuestionNo;
use pacebell::domain::time::Elapsed;
use pacebell::storage::journal::{PracticeFile, practice_of};
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
    sits_paper(dir, "saltmarsh-short", pupil, after, answers);
}

fn sits_paper(dir: &Path, paper: &str, pupil: &str, after: i64, answers: &str) {
    let name = paper;
    let file = dir.join(format!("sample-papers/{name}.paper.ron"));
    let paper = pacebell::storage::files::paper::load(&file).unwrap();
    let mut header = sat::header(pupil, &paper);
    header.started = start(after);
    header.sitting = format!("{pupil}-{name}-{after}");
    header.question_fingerprints = paper.question_fingerprints();
    let own = dir.join("sessions").join(pupil);
    fs::create_dir_all(&own).unwrap();
    let mut events = log(&header, answers);
    if answers.is_empty() {
        events.pop();
    }
    fs::write(
        own.join(format!("2026-09-{:02}-1600-{name}.session.ron", after + 1)),
        written::file(&header, &events),
    )
    .unwrap();
}

fn program(dir: &Path, words: &str) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_pacebell"));
    command
        .current_dir(dir)
        .envs(crate::user::at_home(dir))
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

/// A session of practice on a day of September: these questions of a paper, all answered with this letter.
fn practised(dir: &Path, paper: &str, after: i64, questions: &[u16], option: char) {
    let file = dir.join(format!("sample-papers/{paper}.paper.ron"));
    let paper = pacebell::storage::files::paper::load(&file).unwrap();
    let begins = PracticeStart {
        practice: format!("practice-{after}-{}", paper.outline.id),
        started: start(after),
        program: "pacebell 0.1.0".to_owned(),
    };
    let otter = Alias::new("otter").unwrap();
    let mut file = PracticeFile::begin(&dir.join("sessions"), &otter, &begins).unwrap();
    let mut at = 0;
    for number in questions {
        let number = QuestionNo(*number);
        let which = PaperQuestion {
            paper: paper.outline.id.clone(),
            fingerprint: paper.outline.fingerprint.clone(),
            question: number,
            words: paper.question(number).unwrap().text_fingerprint(),
        };
        let tried = PracticeEvent::Tried {
            option: Label::new(option).unwrap(),
            unaided: true,
        };
        for event in [
            PracticeEvent::Opened(which),
            tried,
            PracticeEvent::WorkingShown,
        ] {
            at += 20;
            let utc = begins.started.to_utc() + TimeDelta::seconds(at);
            let at = Elapsed::seconds(u64::try_from(at).unwrap());
            file.record(&PracticeMoment { at, utc, event });
        }
    }
    file.finish().unwrap();
}

/// The first so many questions, all that a paper of 25 has.
const ALL: &str = "ABCDEABCDEABCDEABCDEABCDE";

fn json(dir: &Path, words: &str) -> Value {
    let done = pacebell(dir, words, "");
    assert_eq!(done.status.code(), Some(0), "{words}: {}", err(&done));
    serde_json::from_str(&out(&done)).unwrap()
}

/// Half of a paper's 25 questions is 13: practised before the sitting they make it one that is not compared, afterwards
/// they say nothing of it, and 12 are too few.
#[test]
fn a_paper_whose_questions_were_practised_before_is_set_apart_in_progress() {
    let first = |count: u16| (1..=count).collect::<Vec<u16>>();
    for (after, count, apart) in [(2, 13, true), (2, 12, false), (6, 13, false)] {
        let dir = folder();
        for (paper, day) in [("saltmarsh-a", 1), ("saltmarsh-b", 4), ("saltmarsh-old", 8)] {
            sits_paper(dir.path(), paper, "otter", day, ALL);
        }
        practised(dir.path(), "saltmarsh-b", after, &first(count), 'A');
        let page = out(&pacebell(dir.path(), "progress otter", ""));
        let said = "saltmarsh-b: at least half of its questions had been met before";
        assert_eq!(page.contains(said), apart, "{after} {count}: {page}");
    }
}

/// What was practised is met: it makes the paper easier, whatever came of it; and it says nothing of the pupil.
#[test]
fn a_forecast_takes_practised_questions_as_met_and_nothing_else_of_practice() {
    let forecasts = |questions: &[u16], option: char| {
        let dir = folder();
        sits_paper(dir.path(), "saltmarsh-a", "otter", 1, ALL);
        if !questions.is_empty() {
            practised(dir.path(), "saltmarsh-b", 6, questions, option);
        }
        ["saltmarsh-b", "saltmarsh-long"].map(|paper| {
            json(
                dir.path(),
                &format!("forecast otter --paper {paper} --json"),
            )
        })
    };
    let before = forecasts(&[], 'A');
    let some: Vec<u16> = (1..=5).collect();
    let after = forecasts(&some, 'A');
    let met = |said: &Value| said["sources"]["questions_met"].clone();
    assert_eq!((met(&before[0]), met(&after[0])), (0.into(), 5.into()));
    assert_eq!(after[0]["sources"]["sat_before"], false);
    assert_eq!(met(&after[1]), 0);
    assert_eq!(before[1], after[1], "of another paper nothing changes");
    let mean = |said: &Value| said["expected"].as_f64().unwrap();
    assert!(mean(&after[0]) > mean(&before[0]), "met before is easier");
    assert_eq!(
        forecasts(&some, 'A'),
        forecasts(&some, 'E'),
        "right or wrong is all one"
    );
    let half: Vec<u16> = (1..=13).collect();
    assert_eq!(forecasts(&half, 'A')[0]["sources"]["sat_before"], true);
}

/// A look back sees what was known then: practice on the day after the sitting changes nothing.
#[test]
fn a_look_back_knows_only_the_practice_that_came_before() {
    let look = |after: Option<i64>| {
        let dir = folder();
        for (paper, day) in [("saltmarsh-a", 1), ("saltmarsh-b", 8)] {
            sits_paper(dir.path(), paper, "otter", day, ALL);
        }
        if let Some(after) = after {
            practised(dir.path(), "saltmarsh-b", after, &[1, 2, 3, 4, 5], 'A');
        }
        json(dir.path(), "hindsight otter --json")["sittings"].clone()
    };
    let none = look(None);
    assert_eq!(look(Some(9)), none);
    assert_ne!(look(Some(7)), none);
}

/// A start page, line by line, with a row of the register for otter.
fn from_the_start(dir: &Path, row: &str, typed: &str) -> String {
    let register = format!("(format: 1, pupils: [(alias: \"otter\", {row})])");
    fs::write(dir.join("sessions/register.ron"), register).unwrap();
    out(&pacebell(dir, "--plain", typed))
}

#[test]
fn the_start_page_offers_practice_to_those_who_may_see_answers() {
    let dir = folder();
    let right = key(dir.path());
    let said = from_the_start(
        dir.path(),
        "questions_after: true",
        &format!("1\n2\n{}\n\nstop\n", right[1]),
    );
    assert!(
        said.contains("1 Sit a paper\n2 Practice: 19 questions are due\n"),
        "{said}"
    );
    assert!(said.contains("1 of 19: question 2 of "), "{said}");
    assert!(
        said.contains(&format!("Yes, {} is right, at the first try.", right[1])),
        "{said}"
    );
    assert!(events(dir.path()).contains(&PracticeEvent::WorkingShown));
    let again = from_the_start(dir.path(), "questions_after: true", "1\n");
    assert!(
        again.contains("2 Practice: 18 questions are due\n"),
        "{again}"
    );
    for row in ["marks: true", "questions_after: true, marks: false"] {
        let said = from_the_start(dir.path(), row, "1\n");
        assert!(
            said.contains("otter: which paper?") && !said.contains("Practice"),
            "{row}: {said}"
        );
    }
    let shared =
        "(format: 1, shared_machine: true, pupils: [(alias: \"otter\", questions_after: true)])";
    fs::write(dir.path().join("sessions/register.ron"), shared).unwrap();
    let said = out(&pacebell(dir.path(), "--plain", "1\n"));
    assert!(!said.contains("Practice"), "{said}");
}

#[test]
fn the_review_lets_the_pupil_of_a_row_practise() {
    let dir = folder();
    let right = key(dir.path());
    let said = out(&pacebell(
        dir.path(),
        "review",
        &format!("1\n5\n{}\n\nstop\n5\nstop\n", right[1]),
    ));
    assert!(
        said.contains("5 Practice: the pupil's missed questions that are due\n"),
        "{said}"
    );
    assert!(said.contains("19 questions to try again."), "{said}");
    assert!(said.contains("18 questions to try again."), "{said}");
}

/// When the working is shown is the tutor's choice; right or wrong is said at once all the same.
#[test]
fn the_register_says_when_answers_and_workings_are_shown() {
    let right = |dir: &Path| key(dir)[1];
    let heard = |row: &str| {
        let dir = folder();
        let register = format!("(format: 1, pupils: [(alias: \"otter\"{row})])");
        fs::write(dir.path().join("sessions/register.ron"), register).unwrap();
        let wrong: Vec<char> = "ABCD".chars().filter(|c| *c != right(dir.path())).collect();
        let input = format!("{}\n{}\n\nstop\n", wrong[0], wrong[1]);
        let said = out(&pacebell(
            dir.path(),
            "practise otter --questions 2,3",
            &input,
        ));
        let answer = format!("The answer is {}.\nWorking: ", right(dir.path()));
        let at = said.find(&answer);
        let next = said.find("2 of 2").unwrap();
        let kept = events(dir.path());
        let shown = kept
            .iter()
            .filter(|event| **event == PracticeEvent::WorkingShown);
        (at.map(|at| at < next), shown.count(), said)
    };
    for row in ["", ", working_shown: \"at-once\""] {
        let (before_next, shown, said) = heard(row);
        assert_eq!((before_next, shown), (Some(true), 1), "{said}");
    }
    let (before_next, shown, said) = heard(", working_shown: \"at-end\"");
    assert_eq!((before_next, shown), (Some(false), 1), "{said}");
    assert!(
        said.contains("Answers and workings\nQuestion 2 of "),
        "{said}"
    );
    let (at, shown, said) = heard(", working_shown: \"by-tutor\"");
    assert_eq!((at, shown), (None, 0), "{said}");
    assert!(
        said.contains("Your tutor will go through this one with you."),
        "{said}"
    );
}
