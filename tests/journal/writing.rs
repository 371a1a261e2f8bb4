//! Sessions written, left, carried on and moved, on the real disk.

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::mpsc::{self, Receiver};
use std::time::Duration;

use pacebell::domain::event::{Ending, Event};
use pacebell::domain::header::Header;
use pacebell::storage::disk::operations::RealDisk;
#[cfg(unix)]
use pacebell::storage::journal::Trouble;
use pacebell::storage::journal::{self, JournalError, Saved, Writer};

use crate::common::{answer, at, header, put, sealed_text_of};
use crate::written::file;

const PATIENCE: Duration = Duration::from_secs(20);

fn create(path: &Path) -> (Writer, Receiver<()>) {
    let (wake, woken) = mpsc::channel();
    let wake = Box::new(move || wake.send(()).unwrap_or_default());
    (Writer::create(path, &header("otter"), wake).unwrap(), woken)
}

fn quiet() -> journal::Wake {
    Box::new(|| {})
}

fn until(writer: &Writer, woken: &Receiver<()>, wanted: impl Fn(&Saved) -> bool) -> Saved {
    loop {
        let saved = writer.saved();
        if wanted(&saved) {
            return saved;
        }
        let told = woken.recv_timeout(PATIENCE);
        assert!(told.is_ok(), "not woken; stands at {saved:?}");
    }
}

fn session(dir: &Path) -> PathBuf {
    dir.join("sessions/otter/a.session.ron")
}

fn beside(path: &Path, ending: &str) -> PathBuf {
    path.with_file_name(format!("a.{ending}"))
}

#[test]
fn what_is_written_is_read_back() {
    let dir = tempfile::tempdir().unwrap();
    let path = journal::path_for(dir.path(), &header("otter"));
    let (mut writer, _woken) = create(&path);
    let fresh = journal::read(&path).unwrap();
    assert_eq!(
        fresh.header,
        header("otter"),
        "there before the first event"
    );
    assert_eq!(writer.append(&answer(1)), 1);
    assert_eq!(writer.append(&answer(2)), 2);
    assert!(writer.wait_durable(PATIENCE));
    let saved = writer.saved();
    assert_eq!((saved.sent, saved.durable), (2, 2));
    writer.append(&at(9000, Event::Closed(Ending::FinishedEarly)));
    assert_eq!(writer.finish().unwrap(), path);
    let record = journal::read(&path).unwrap();
    assert_eq!(record.events.len(), 3);
    assert!(record.is_closed() && record.sealed && record.torn.is_none());
    let text = fs::read_to_string(&path).unwrap();
    let last = text.lines().last().unwrap();
    assert!(last.starts_with("(n:4,sealed:(lines:4,sha256:"), "{last}");
    let over = Writer::resume(Arc::new(RealDisk), &record, quiet()).unwrap_err();
    assert!(matches!(over, JournalError::Closed(_)), "{over}");
}

#[cfg(unix)]
#[test]
fn a_session_is_its_owners_alone() {
    use std::os::unix::fs::PermissionsExt;
    let dir = tempfile::tempdir().unwrap();
    let path = session(dir.path());
    let (_writer, _woken) = create(&path);
    let mode = |path: &Path| fs::metadata(path).unwrap().permissions().mode() & 0o777;
    assert_eq!(mode(&path), 0o600);
    assert_eq!(mode(path.parent().unwrap()), 0o700);
}

#[test]
fn a_session_is_never_written_over() {
    let dir = tempfile::tempdir().unwrap();
    let path = session(dir.path());
    fs::create_dir_all(path.parent().unwrap()).unwrap();
    fs::write(&path, "mine").unwrap();
    let taken = Writer::create(&path, &header("otter"), quiet()).unwrap_err();
    assert!(matches!(taken, JournalError::Taken(_)), "{taken}");
    assert_eq!(fs::read_to_string(&path).unwrap(), "mine");
    let inside = path.join("b.session.ron");
    let told = Writer::create(&inside, &header("otter"), quiet()).unwrap_err();
    assert!(
        told.to_string().contains("cannot make the folder"),
        "{told}"
    );
}

#[test]
fn a_sitting_goes_on_behind_its_last_line_and_a_torn_end_is_kept_beside_it() {
    let dir = tempfile::tempdir().unwrap();
    let path = put(dir.path(), "a", &header("otter"), &[answer(1)]);
    for (round, tail) in [(2, "(n:2,at:83"), (3, "\0\0\0")] {
        let mut bytes = fs::read(&path).unwrap();
        bytes.extend_from_slice(tail.as_bytes());
        fs::write(&path, bytes).unwrap();
        let record = journal::read(&path).unwrap();
        let mut writer = Writer::resume(Arc::new(RealDisk), &record, quiet()).unwrap();
        let sent = u64::from(round) - 1;
        assert_eq!(writer.saved().durable, sent);
        assert_eq!(writer.append(&answer(round)), sent + 1);
        writer.finish().unwrap();
    }
    let record = journal::read(&path).unwrap();
    assert_eq!(record.events, [answer(1), answer(2), answer(3)]);
    assert_eq!(record.torn, None);
    let kept = |ending| fs::read_to_string(beside(&path, ending)).unwrap();
    assert_eq!(kept("torn"), "(n:2,at:83");
    assert_eq!(kept("torn-2"), "\0\0\0");
}

/// A program that was killed while it put a new file in place leaves it behind; one that holds more than the sitting's
/// own is somebody's only copy of that.
#[test]
fn a_new_file_that_was_left_behind_goes_unless_it_holds_more() {
    let dir = tempfile::tempdir().unwrap();
    let path = put(dir.path(), "a", &header("otter"), &[answer(1)]);
    let whole = fs::read_to_string(&path).unwrap();
    let more = file(&header("otter"), &[answer(1), answer(2)]);
    let left = [
        ("part", whole.clone()),
        ("part-2", more.clone()),
        ("part-3", whole.get(..30).unwrap().to_owned()),
    ];
    for (ending, text) in &left {
        fs::write(beside(&path, ending), text).unwrap();
    }
    let record = journal::read(&path).unwrap();
    let mut writer = Writer::resume(Arc::new(RealDisk), &record, quiet()).unwrap();
    writer.finish().unwrap();
    assert_eq!(fs::read_to_string(&path).unwrap(), whole);
    let is_there = |(ending, _): &&(&str, String)| beside(&path, ending).exists();
    let there: Vec<_> = left.iter().filter(is_there).collect();
    assert_eq!(there, [&("part-2", more)]);
}

#[test]
fn a_file_that_changed_or_is_damaged_is_not_gone_on_with() {
    let dir = tempfile::tempdir().unwrap();
    let path = put(dir.path(), "a", &header("otter"), &[answer(1)]);
    let record = journal::read(&path).unwrap();
    put(dir.path(), "a", &header("otter"), &[answer(1), answer(2)]);
    let changed = Writer::resume(Arc::new(RealDisk), &record, quiet()).unwrap_err();
    assert!(matches!(changed, JournalError::Changed(_)), "{changed}");
    let text = fs::read_to_string(&path).unwrap();
    fs::write(&path, text.replacen("Answered(1", "Answered(4", 1)).unwrap();
    let damaged = Writer::resume(Arc::new(RealDisk), &record, quiet()).unwrap_err();
    assert!(damaged.is_damage(), "{damaged}");
}

/// Only whoever has read that it is damaged goes on with it.
#[test]
fn a_damaged_file_is_kept_whole_beside_what_goes_on() {
    let dir = tempfile::tempdir().unwrap();
    let three = [answer(1), answer(2), answer(3)];
    let path = put(dir.path(), "a", &header("otter"), &three);
    let text = fs::read_to_string(&path).unwrap();
    let spoilt = text.replacen("Answered(2", "Answered(4", 1);
    fs::write(&path, &spoilt).unwrap();
    let (record, damage) = journal::read_up_to_damage(&path).unwrap();
    assert!(damage.is_some_and(|damage| damage.is_damage()));
    let mut writer = Writer::resume(Arc::new(RealDisk), &record, quiet()).unwrap();
    writer.append(&answer(5));
    writer.finish().unwrap();
    assert_eq!(journal::read(&path).unwrap().events, [answer(1), answer(5)]);
    assert_eq!(
        fs::read_to_string(beside(&path, "damaged")).unwrap(),
        spoilt
    );
}

#[test]
fn events_sent_out_of_order_never_make_a_file_that_goes_back_in_time() {
    let dir = tempfile::tempdir().unwrap();
    let path = session(dir.path());
    let (mut writer, _woken) = create(&path);
    writer.append(&answer(5));
    writer.append(&answer(4));
    writer.finish().unwrap();
    let events = journal::read(&path).unwrap().events;
    assert_eq!(events[1].at, events[0].at);
    assert_eq!(events[1].event, answer(4).event);
}

#[test]
fn a_writer_that_is_let_go_still_saves() {
    let dir = tempfile::tempdir().unwrap();
    let path = session(dir.path());
    let (mut writer, woken) = create(&path);
    for number in 1..=25 {
        writer.append(&answer(number));
    }
    drop(writer);
    while woken.recv_timeout(PATIENCE).is_ok() {} // ends when the thread has
    assert_eq!(journal::read(&path).unwrap().events.len(), 25);
}

#[cfg(unix)]
#[test]
fn a_file_removed_while_it_is_written_is_told_and_written_anew() {
    let dir = tempfile::tempdir().unwrap();
    let path = session(dir.path());
    let (mut writer, woken) = create(&path);
    writer.append(&answer(1));
    assert!(writer.wait_durable(PATIENCE));
    fs::remove_file(&path).unwrap();
    // Written anew within a moment, so that what keeps it from being saved may not be seen.
    let saved = until(&writer, &woken, |saved| {
        let gone = Trouble::FileGone(path.clone());
        let in_trouble = saved
            .trouble
            .as_ref()
            .is_none_or(|trouble| *trouble == gone);
        assert!(in_trouble, "{saved:?}");
        saved.rewritten == 1 && saved.is_all()
    });
    assert_eq!(saved.durable, 1);
    assert_eq!(journal::read(&path).unwrap().events, [answer(1)]);
}

#[cfg(unix)]
#[test]
fn a_file_put_in_the_sessions_place_is_moved_aside() {
    let dir = tempfile::tempdir().unwrap();
    let path = session(dir.path());
    let (mut writer, _woken) = create(&path);
    writer.append(&answer(1));
    assert!(writer.wait_durable(PATIENCE));
    fs::remove_file(&path).unwrap();
    fs::write(&path, "somebody else's").unwrap();
    writer.append(&answer(2));
    writer.finish().unwrap();
    assert_eq!(journal::read(&path).unwrap().events, [answer(1), answer(2)]);
    let aside = fs::read_to_string(beside(&path, "other")).unwrap();
    assert_eq!(aside, "somebody else's");
}

#[cfg(unix)]
#[test]
fn a_folder_that_goes_and_comes_back_is_told_and_caught_up_with() {
    let dir = tempfile::tempdir().unwrap();
    let path = session(dir.path());
    let (mut writer, woken) = create(&path);
    let stick = dir.path().join("sessions");
    let away = dir.path().join("away");
    fs::rename(&stick, &away).unwrap();
    writer.append(&answer(1));
    let gone = Some(Trouble::FolderGone(path.clone()));
    until(&writer, &woken, |saved| saved.trouble == gone);
    assert!(!writer.wait_durable(PATIENCE));
    assert!(!stick.exists(), "nothing is written where the stick was");
    fs::rename(&away, &stick).unwrap();
    writer.try_now();
    until(&writer, &woken, Saved::is_all);
    fs::remove_dir_all(path.parent().unwrap()).unwrap();
    writer.append(&answer(2));
    assert_eq!(
        writer.finish().unwrap(),
        path,
        "the pupil's folder is made again"
    );
    let events = journal::read(&path).unwrap().events;
    assert_eq!(events, [answer(1), answer(2)]);
}

#[test]
fn a_sitting_moves_to_another_folder_and_goes_on_there() {
    let dir = tempfile::tempdir().unwrap();
    let path = session(dir.path());
    let (mut writer, woken) = create(&path);
    writer.append(&answer(1));
    let file = dir.path().join("file");
    fs::write(&file, "").unwrap();
    writer.move_to(&file);
    let saved = until(&writer, &woken, |saved| saved.trouble.is_some());
    assert_eq!(saved.trouble.unwrap().path(), file.join("otter"));
    assert_eq!(writer.path(), path, "it stays where it was");

    let other = dir.path().join("other");
    let taken = put(&other, "a", &header("otter"), &[]);
    writer.append(&answer(2));
    writer.move_to(&other);
    writer.append(&answer(3));
    let moved = writer.finish().unwrap();
    assert_eq!(moved, other.join("otter/a-2.session.ron"));
    let events = journal::read(&moved).unwrap().events;
    assert_eq!(events, [answer(1), answer(2), answer(3)]);
    assert!(journal::read(&taken).unwrap().events.is_empty());
    let left = journal::list(&dir.path().join("sessions")).unwrap();
    assert!(left.records.is_empty(), "no second record of one sitting");
    assert!(beside(&path, "moved").exists());
}

/// As a tool leaves a file that turns every LF into CRLF, with a mark before the text or without.
#[test]
fn a_file_with_other_line_ends_goes_on_and_is_sealed_as_the_same_sitting() {
    for mark in ["", "\u{feff}"] {
        let dir = tempfile::tempdir().unwrap();
        let path = put(dir.path(), "a", &header("otter"), &[answer(1), answer(2)]);
        let turned = mark.to_owned() + &fs::read_to_string(&path).unwrap().replace('\n', "\r\n");
        fs::write(&path, &turned).unwrap();
        let record = journal::read(&path).unwrap();
        assert_eq!(record.events, [answer(1), answer(2)]);
        let mut writer = Writer::resume(Arc::new(RealDisk), &record, quiet()).unwrap();
        writer.append(&answer(3));
        writer.append(&at(9000, Event::Closed(Ending::FinishedEarly)));
        writer.finish().unwrap();
        let text = fs::read_to_string(&path).unwrap();
        assert!(text.starts_with(&turned), "what was there is not touched");
        let record = journal::read(&path).unwrap();
        assert!(record.sealed);
        assert_eq!(record.events.len(), 4);
        let straight = text.replace("\r\n", "\n").replace(mark, "");
        fs::write(&path, straight).unwrap();
        let plain = journal::read(&path).unwrap();
        assert_eq!((plain.events, plain.sealed), (record.events, true));
    }
}

#[test]
fn a_file_of_the_first_format_goes_on_in_it_and_is_not_sealed() {
    let dir = tempfile::tempdir().unwrap();
    let first = Header {
        format: 1,
        ..header("otter")
    };
    let path = put(dir.path(), "a", &first, &[answer(1)]);
    let record = journal::read(&path).unwrap();
    assert_eq!(record.header, first);
    let mut writer = Writer::resume(Arc::new(RealDisk), &record, quiet()).unwrap();
    let end = at(9000, Event::Closed(Ending::FinishedEarly));
    writer.append(&answer(2));
    writer.append(&end);
    writer.finish().unwrap();
    let record = journal::read(&path).unwrap();
    assert_eq!(record.events, [answer(1), answer(2), end]);
    assert!(record.is_closed() && !record.sealed);
    assert!(!fs::read_to_string(&path).unwrap().contains("sealed"));
}

/// A kill between the record that ends the sitting and the line that seals it.
#[test]
fn an_ended_sitting_that_was_not_sealed_is_over_and_never_open() {
    let dir = tempfile::tempdir().unwrap();
    let events = [answer(1), at(9000, Event::Closed(Ending::TimeUp))];
    let path = put(dir.path(), "a", &header("otter"), &events);
    let whole = sealed_text_of(&header("otter"), &events);
    let unsealed = fs::read_to_string(&path).unwrap();
    for length in unsealed.len()..whole.len() {
        fs::write(&path, whole.get(..length).unwrap()).unwrap();
        let record = journal::read(&path).unwrap();
        assert!(record.is_closed() && record.torn.is_none() && !record.sealed);
        assert_eq!(record.events, events);
        let open = journal::open_sittings(dir.path(), None).unwrap();
        assert!(open.records.is_empty() && open.unreadable.is_empty());
        let over = Writer::resume(Arc::new(RealDisk), &record, quiet()).unwrap_err();
        assert!(matches!(over, JournalError::Closed(_)), "{over}");
    }
}

#[test]
fn a_broken_seal_names_its_line() {
    let dir = tempfile::tempdir().unwrap();
    let events = [answer(1), at(9000, Event::Closed(Ending::TimeUp))];
    let path = put(dir.path(), "a", &header("otter"), &events);
    let whole = sealed_text_of(&header("otter"), &events);
    fs::write(&path, whole.clone() + "more\n").unwrap();
    let told = journal::read(&path).unwrap_err().to_string();
    assert!(
        told.contains("line 5 is damaged: it comes after the sitting ended"),
        "{told}"
    );
    fs::write(&path, whole.replace("lines:3", "lines:4")).unwrap();
    let told = journal::read(&path).unwrap_err();
    assert!(
        told.is_damage() && told.to_string().contains("line 4 is damaged"),
        "{told}"
    );
    let (record, _) = journal::read_up_to_damage(&path).unwrap();
    assert_eq!(record.events, events);
}
