//! A whole sitting during which others have their hands on its files: a second window, a copied folder, a sync client
//! that puts older states and words of its own in the file's place by rename, all along. Nothing is lost, and
//! everything is told.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::thread::JoinHandle;
use std::time::Duration;

use crate::common::shim::Faults;
use crate::common::{PROGRAM, Room, Seat, begin, files, go_on, until};
use crate::sheet;

/// Replaces the file of a sitting by rename, all along, until it is dropped.
struct SyncClient {
    stop: Arc<AtomicBool>,
    replaced: Arc<AtomicUsize>,
    thread: Option<JoinHandle<()>>,
}

impl SyncClient {
    fn of(session: &Path) -> Self {
        let (stop, replaced) = (Arc::<AtomicBool>::default(), Arc::<AtomicUsize>::default());
        let (stops, counts) = (Arc::clone(&stop), Arc::clone(&replaced));
        let path = session.to_owned();
        let first = fs::read(session).unwrap();
        let thread = std::thread::spawn(move || {
            let coming = path.with_file_name("coming");
            let mut states = vec![first];
            while !stops.load(Ordering::SeqCst) {
                std::thread::sleep(Duration::from_millis(70));
                let Ok(now) = fs::read(&path) else { continue };
                let number = counts.load(Ordering::SeqCst);
                // An earlier state, the present one, a part of it, something else.
                let put = match number % 4 {
                    0 => states[0].clone(),
                    1 => now.clone(),
                    2 => now[..now.len() / 2].to_vec(),
                    _ => b"a conflict\n".to_vec(),
                };
                states.push(now);
                fs::write(&coming, put).unwrap();
                fs::rename(&coming, &path).unwrap();
                counts.fetch_add(1, Ordering::SeqCst);
            }
        });
        Self {
            stop,
            replaced,
            thread: Some(thread),
        }
    }

    fn end(mut self) {
        self.stop.store(true, Ordering::SeqCst);
        self.thread.take().unwrap().join().unwrap();
    }
}

impl Drop for SyncClient {
    fn drop(&mut self) {
        self.stop.store(true, Ordering::SeqCst);
    }
}

fn pacebell(room: &Path, words: &[&str]) -> Output {
    Command::new(PROGRAM)
        .args(words)
        .current_dir(room)
        .env("HOME", room)
        .output()
        .unwrap()
}

fn said(output: &Output) -> String {
    let both = [&output.stdout[..], &output.stderr[..]].concat();
    String::from_utf8(both).unwrap()
}

fn answer(seat: &mut Seat, question: u16, option: char) {
    seat.press(format!("{question}\r"));
    seat.wait("the question", |text| sheet::open(text) == Some(question));
    seat.press(option.to_lowercase().to_string());
    seat.wait("the answer", |text| {
        let rows = sheet::rows(text);
        rows.get(&question)
            .is_some_and(|row| row.chosen == Some(option))
    });
}

/// Ends the sitting and leaves its result.
fn finish(seat: &mut Seat) {
    seat.press("\x1b");
    seat.sees("Finish early; asks first");
    seat.press("f");
    seat.sees("Finish now?");
    seat.press("y");
    seat.sees("You typed y.");
    seat.press("\r");
    seat.sees("In time: ");
    seat.press("q");
    assert_eq!(seat.end(), 0);
}

/// What was kept of others' hands.
fn others(room: &Path) -> Vec<PathBuf> {
    files::files(&room.join("sessions/otter"), ".other")
}

fn last_answers(session: &Path) -> Vec<(u16, char)> {
    let answers = files::answers(session);
    answers
        .into_iter()
        .filter_map(|(question, all)| Some((question, *all.last()?)))
        .collect()
}

#[test]
fn a_second_window_a_copied_folder_and_a_sync_client_lose_nothing_of_a_whole_sitting() {
    let room = Room::new();
    let mut seat = begin(room.sit("5"));
    answer(&mut seat, 1, 'C');
    seat.sees_saved();
    let session = files::session(room.path());
    let client = SyncClient::of(&session);
    let mut wanted = vec![(1, 'C')];
    for (question, option) in (2..=25).zip("DBACEADBCEADBCEADBCEADBCE".chars()) {
        answer(&mut seat, question, option);
        wanted.push((question, option));
        if question == 8 {
            // The second window cannot have it, nor a fresh clock, whatever lies there at the moment.
            let mut second = room.go_on().run();
            second.sees("another window");
            assert_eq!(second.end(), 1);
        }
        if question == 14 {
            crate::tree::copy(
                &room.path().join("sessions/otter"),
                &room.path().join("sessions/otter-copy"),
            );
        }
    }
    let text = seat.text();
    // What the client says itself lies there for a moment only, and is kept once a look has found it.
    until("every kind of replacement, several times", || {
        let kept = !others(room.path()).is_empty();
        (client.replaced.load(Ordering::SeqCst) > 12 && kept).then_some(())
    });
    client.end();
    seat.sees_saved();
    until("the whole sitting", || {
        (last_answers(&session) == wanted).then_some(())
    });
    finish(&mut seat);
    files::assert_sound(&session, "Closed(finished_early)");
    assert_eq!(last_answers(&session), wanted, "{text}");
    // What the client said itself is there, once, and told with its remedy.
    let others = others(room.path());
    assert_eq!(others.len(), 1, "{others:?}");
    let told = said(&pacebell(room.path(), &["doctor"]));
    assert!(
        told.contains("duplicate of the sitting") && told.contains("other. Another program"),
        "{told}"
    );
    assert!(!seat_lock(&session).exists(), "no lock is left");
}

fn seat_lock(session: &Path) -> PathBuf {
    let name = session.file_name().unwrap().to_str().unwrap();
    session.with_file_name(name.replace(".session.ron", ".lock"))
}

#[test]
fn a_file_that_was_touched_is_told_on_the_page() {
    let room = Room::new();
    let mut seat = begin(room.sit("5"));
    answer(&mut seat, 1, 'C');
    seat.sees_saved();
    let session = files::session(room.path());
    fs::write(&session, "").unwrap();
    seat.sees("Another program changed your file. It's all saved again.");
    assert_eq!(last_answers(&session), [(1, 'C')]);
}

/// The folder takes nothing, so F2 saves elsewhere; left and taken up again from where it began, and brought back.
#[test]
fn a_sitting_that_f2_moved_is_found_from_where_it_began() {
    let room = Room::new();
    let Some(faults) = Faults::of(&room) else {
        return;
    };
    let mut seat = begin(faults.on(room.sit("5")));
    answer(&mut seat, 1, 'C');
    seat.sees_saved();
    faults.begin("full", 10);
    answer(&mut seat, 2, 'D');
    seat.sees("F2 saves in ");
    seat.press("\x1bOQ");
    seat.sees_saved();
    let elsewhere = room.path().join(".local/share/pacebell/sessions");
    let session = files::session(&elsewhere);
    seat.signal("TERM");
    assert_eq!(seat.end(), 143);
    assert!(!seat_lock(&session).exists(), "no lock is left");
    faults.end("full");
    let told = said(&pacebell(room.path(), &["doctor"]));
    assert!(told.contains("moved. This sitting began here"), "{told}");
    let mut seat = go_on(room.go_on());
    let text = seat.sees_saved();
    let chosen = |question| sheet::rows(&text).get(&question).and_then(|row| row.chosen);
    assert_eq!((chosen(1), chosen(2)), (Some('C'), Some('D')));
    finish(&mut seat);
    let gathered = pacebell(room.path(), &["gather", elsewhere.to_str().unwrap()]);
    assert!(gathered.status.success(), "{}", said(&gathered));
    let told = said(&pacebell(room.path(), &["doctor"]));
    assert!(!told.contains("moved. This sitting"), "{told}");
    assert_eq!(
        last_answers(&files::session(&room.path().join("sessions"))),
        [(1, 'C'), (2, 'D')]
    );
}

/// A program that keeps folders alike has the file of an open sitting in its hands while the pupil comes back: it is
/// waited for, and where it comes only later no clock is started beside it.
#[test]
fn a_sitting_that_is_away_for_an_instant_gets_no_fresh_clock() {
    let room = Room::new();
    let mut seat = begin(room.sit("5"));
    answer(&mut seat, 1, 'C');
    seat.sees_saved();
    seat.kill();
    let session = files::session(room.path());
    let away = room.path().join("away");
    let sessions = || files::files(&room.path().join("sessions/otter"), ".session.ron");

    fs::rename(&session, &away).unwrap();
    let mut seat = room.sit("5").run();
    let back = (away.clone(), session.clone());
    std::thread::spawn(move || {
        std::thread::sleep(Duration::from_millis(400));
        fs::rename(back.0, back.1).unwrap();
    });
    seat.sees("> Carry on with it");
    seat.kill();
    assert_eq!(sessions(), std::slice::from_ref(&session));

    fs::rename(&session, &away).unwrap();
    let mut seat = room.sit("5").run();
    seat.sees("Read this out");
    fs::rename(&away, &session).unwrap();
    seat.press("s");
    seat.sees("Enter starts the clock at once");
    seat.press("\r");
    seat.sees("otter has an unfinished sitting");
    seat.kill();
    assert_eq!(sessions(), [session]);
}

/// A bit flipped in an open sitting's file: the pupil is offered what can be kept, and no fresh clock.
#[test]
fn a_damaged_open_sitting_is_offered_with_what_can_be_kept() {
    for plain in [false, true] {
        let room = Room::new();
        let mut seat = begin(room.sit("5"));
        for (question, option) in [(1, 'C'), (2, 'D'), (3, 'B')] {
            answer(&mut seat, question, option);
        }
        seat.sees_saved();
        seat.kill();
        let session = files::session(room.path());
        let text = fs::read_to_string(&session).unwrap();
        fs::write(
            &session,
            text.replacen("Answered(3,'B')", "Answered(3,'A')", 1),
        )
        .unwrap();
        if plain {
            let words = ["sit", "saltmarsh-a", "--pupil", "otter", "--plain"];
            let mut command = Command::new(PROGRAM);
            command
                .args(words)
                .current_dir(room.path())
                .env("HOME", room.path());
            let told = said(&crate::typed::typed(&mut command, "leave\n"));
            assert!(told.contains("2 answers up to "), "{told}");
            assert!(told.contains("Part of the file is damaged."), "{told}");
        } else {
            let mut seat = room.sit("5").run();
            let text = seat.sees("> Carry on with it");
            let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
            assert!(text.contains("2 answers up to "), "{text}");
            assert!(text.contains("Part of the file is damaged."), "{text}");
            seat.press("s");
            seat.sees("Any other key");
            seat.press("\r");
            seat.sees("Esc menu");
            answer(&mut seat, 3, 'E');
            seat.sees_saved();
            assert_eq!(last_answers(&session), [(1, 'C'), (2, 'D'), (3, 'E')]);
        }
    }
}
