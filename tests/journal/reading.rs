//! Files read as a tutor finds them: whole, torn, damaged, newer, open.

use std::fs;

use pacebell::clock::Alive;
use pacebell::domain::event::{AwayClock, Ending, Event};
use pacebell::domain::header::{Alias, Boot};
use pacebell::domain::rule::QuestionNo;
use pacebell::domain::sitting::Phase;
use pacebell::domain::time::Elapsed;
use pacebell::storage::journal::{self, Heartbeat, JournalError, Record};

use crate::common::{answer, at, header, put, sealed_text_of};
use crate::written;

#[test]
fn a_session_read_back_is_the_sitting_as_it_stood() {
    let dir = tempfile::tempdir().unwrap();
    let events = [
        at(0, Event::Opened(QuestionNo(3))),
        answer(3),
        at(9000, Event::Closed(Ending::FinishedEarly)),
    ];
    let path = put(dir.path(), "a", &header("otter"), &events);
    assert!(!journal::read(&path).unwrap().sealed);
    fs::write(&path, sealed_text_of(&header("otter"), &events)).unwrap();
    let record = journal::read(&path).unwrap();
    assert!(record.sealed);
    assert_eq!(record.header, header("otter"));
    assert_eq!(record.events, events);
    assert_eq!(record.torn, None);
    assert!(record.is_closed());
    let sitting = record.sitting();
    assert_eq!(sitting.phase(), Phase::Closed(Ending::FinishedEarly));
    let option = sitting.row(QuestionNo(3)).unwrap().in_time.unwrap().option;
    assert_eq!(option.as_char(), 'B');
    let made = Record::new(&path, header("otter"), events.to_vec()).unwrap();
    assert_eq!(record, made);
}

#[test]
fn a_torn_end_is_told_and_the_file_left_alone() {
    let dir = tempfile::tempdir().unwrap();
    let path = put(dir.path(), "a", &header("otter"), &[answer(1), answer(2)]);
    let mut bytes = fs::read(&path).unwrap();
    bytes.truncate(bytes.len() - 5);
    fs::write(&path, &bytes).unwrap();
    let record = journal::read(&path).unwrap();
    assert_eq!(record.events, [answer(1)]);
    assert_eq!(record.torn.unwrap().line, 3);
    assert_eq!(fs::read(&path).unwrap(), bytes);
    assert_eq!(
        fs::read_dir(path.parent().unwrap()).unwrap().count(),
        1,
        "nothing was put beside it"
    );
}

#[test]
fn damage_names_file_and_line_and_the_lines_before_it_can_be_read() {
    let dir = tempfile::tempdir().unwrap();
    let events = [answer(1), answer(2), answer(3)];
    let path = put(dir.path(), "a", &header("otter"), &events);
    let text = fs::read_to_string(&path).unwrap();
    fs::write(&path, text.replace("Answered(2,'B')", "Answered(2,'C')")).unwrap();
    let error = journal::read(&path).unwrap_err();
    assert!(error.is_damage());
    let sentence = error.to_string();
    assert!(
        sentence.starts_with(&format!("{}: line 3 is damaged", path.display())),
        "{sentence}"
    );
    let (record, damage) = journal::read_up_to_damage(&path).unwrap();
    assert_eq!(record.events, [answer(1)]);
    assert_eq!(damage.unwrap().to_string(), sentence);
}

#[test]
fn what_is_no_session_or_a_newer_one_is_refused_with_the_way_out() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("a.session.ron");
    let says = |text: &[u8]| {
        fs::write(&path, text).unwrap();
        let error = journal::read(&path).unwrap_err();
        (error.is_damage(), error.to_string())
    };
    let (damage, sentence) = says(b"");
    assert!(damage && sentence.contains("first line is incomplete"));
    let (damage, sentence) = says(b"dear diary\nit rained\n");
    assert!(damage && sentence.contains("line 1 is damaged"));
    let mut newer = header("otter");
    newer.format += 1;
    let (damage, sentence) = says(written::file(&newer, &[answer(1)]).as_bytes());
    assert!(!damage && sentence.contains("newer version") && sentence.contains("format 3"));
    let missing = journal::read(&dir.path().join("none")).unwrap_err();
    assert!(matches!(missing, JournalError::Io { .. }) && missing.to_string().contains("none"));
}

#[test]
fn open_sittings_are_found_newest_first_and_bad_files_are_not_passed_over() {
    let dir = tempfile::tempdir().unwrap();
    let later = |minutes: i64| {
        let mut header = header("otter");
        header.started += chrono::TimeDelta::minutes(minutes);
        header.sitting = format!("s-{minutes}");
        header
    };
    let old = put(dir.path(), "old", &later(0), &[answer(1)]);
    let new = put(dir.path(), "new", &later(60), &[]);
    let closed = [at(5, Event::Closed(Ending::Abandoned))];
    put(dir.path(), "closed", &later(90), &closed);
    let heron = put(dir.path(), "x", &header("heron"), &[]);
    let bad = dir.path().join("otter/bad.session.ron");
    fs::write(&bad, "?\n").unwrap();
    fs::write(dir.path().join("otter/new.notes.ron"), "()").unwrap();

    let otter = Alias::new("otter").unwrap();
    let found = journal::open_sittings(dir.path(), Some(&otter)).unwrap();
    let paths: Vec<_> = found.records.iter().map(|r| r.path.clone()).collect();
    assert_eq!(paths, [new, old]);
    assert_eq!(found.unreadable.len(), 1);
    assert_eq!(found.unreadable[0].0, bad);

    let all = journal::open_sittings(dir.path(), None).unwrap();
    assert!(all.records.iter().any(|r| r.path == heron) && all.records.len() == 3);
    assert_eq!(journal::list(dir.path()).unwrap().records.len(), 4);
    let nowhere = journal::list(&dir.path().join("none")).unwrap();
    assert!(nowhere.records.is_empty() && nowhere.unreadable.is_empty());
}

#[test]
fn a_new_session_never_gets_a_name_that_is_there() {
    let dir = tempfile::tempdir().unwrap();
    let names: Vec<_> = (0..3)
        .map(|_| {
            let path = journal::path_for(dir.path(), &header("otter"));
            fs::create_dir_all(path.parent().unwrap()).unwrap();
            fs::write(&path, "").unwrap();
            path.strip_prefix(dir.path()).unwrap().to_owned()
        })
        .collect();
    let name = |end: &str| format!("otter/2026-11-25-0912-saltmarsh-a{end}.session.ron").into();
    assert_eq!(
        names,
        [name(""), name("-2"), name("-3")] as [std::path::PathBuf; 3]
    );
}

#[test]
fn the_last_record_says_when_the_sitting_was_last_going_on() {
    let dir = tempfile::tempdir().unwrap();
    let boot = Boot {
        id: "boot-2".into(),
        zero: -70_000,
    };
    let resumed = at(
        90_000,
        Event::Resumed {
            since: Elapsed::seconds(20),
            counts: false,
            clock: AwayClock::Wall,
            boot: boot.clone(),
            left: None,
        },
    );
    let path = put(dir.path(), "a", &header("otter"), &[]);
    let fresh = journal::read(&path).unwrap().last_alive(None);
    assert_eq!(fresh.elapsed, Elapsed::ZERO);
    assert_eq!(fresh.boot, header("otter").boot);
    let last = at(95_000, Event::Skipped(QuestionNo(1)));
    let path = put(dir.path(), "a", &header("otter"), &[resumed, last.clone()]);
    let alive = Alive {
        elapsed: last.at,
        utc: last.utc,
        boot,
        is_last: false,
    };
    let record = journal::read(&path).unwrap();
    assert_eq!(record.last_alive(None), alive);
    let beat = |at| Heartbeat {
        boot_id: "boot-2".into(),
        at: Elapsed(at),
        utc: last.utc + chrono::TimeDelta::seconds(7),
        unsaved: Vec::new(),
    };
    assert_eq!(
        record.last_alive(Some(&beat(94_000))),
        Alive {
            is_last: true,
            ..alive.clone()
        },
        "an older beat"
    );
    let newer = record.last_alive(Some(&beat(102_000)));
    assert_eq!(newer.elapsed, Elapsed(102_000));
    assert_eq!(newer.utc, beat(0).utc);
}
