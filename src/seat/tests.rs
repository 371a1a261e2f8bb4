//! A seat over a clock that the test moves and files in a folder of its own.

use std::collections::BTreeSet;
use std::fs;
use std::path::PathBuf;

use chrono::{DateTime, TimeDelta};
use tempfile::TempDir;

use super::*;
use crate::clock::FakeClock;
use crate::domain::event::{AwayClock, Ending};
use crate::domain::header::{Alias, Arrangements};
use crate::domain::labels::{Label, Labels};
use crate::domain::paper::Paper;
use crate::papers;

fn paper() -> Paper {
    let section = papers::section(1, 5, ["4", "0", "0"]);
    let mut paper = papers::paper("Five", 10, [section]);
    paper.outline.on_screen = false;
    paper
}

struct Hall {
    _folder: TempDir,
    sessions: PathBuf,
    clock: FakeClock,
}

impl Hall {
    fn new() -> Self {
        let local = DateTime::parse_from_rfc3339("2026-11-25T09:00:00+01:00").unwrap();
        let folder = tempfile::tempdir().unwrap();
        Self {
            sessions: folder.path().to_owned(),
            _folder: folder,
            clock: FakeClock::new(local),
        }
    }

    fn clock(&self) -> Arc<dyn Clock> {
        Arc::new(self.clock.clone())
    }

    fn take(&self, change: impl FnOnce(&mut Arrangements)) -> Shared {
        let paper = paper();
        let mut arrangements = Arrangements::usual(paper.allowed);
        change(&mut arrangements);
        let setup = Setup {
            pupil: Alias::new("otter").unwrap(),
            paper: &paper,
            minutes: None,
            arrangements,
            plan: None,
        };
        Shared::take(&self.sessions, &setup, self.clock(), Box::new(|| {})).unwrap()
    }

    /// The program is killed: nothing is said, only what is on the disk is left.
    fn killed(seat: Shared) -> PathBuf {
        let path = seat.path();
        assert!(seat.lock().writer.wait_durable(Duration::from_secs(5)));
        drop(seat);
        // Its threads end by themselves, as those of a killed program do at once.
        let gone = (0..1000).any(|_| {
            std::thread::sleep(Duration::from_millis(5));
            !journal::is_in_use(&path)
        });
        assert!(gone, "still in use");
        path
    }

    fn back(&self, path: &Path) -> Shared {
        let record = journal::read(path).unwrap();
        Shared::go_on(&record, self.clock(), Box::new(|| {})).unwrap()
    }
}

fn label(c: char) -> Label {
    Label::new(c).unwrap()
}

const Q1: QuestionNo = QuestionNo(1);

/// A wish made on the page as it was drawn last, before anybody looks at the clock again.
fn wish(seat: &Shared, command: Command) -> Result<(), Refusal> {
    let seen = seat.lock().sitting.phase();
    seat.wish(command, seen)
}

#[test]
fn time_is_up_at_its_moment_and_a_late_key_does_not_count() {
    let hall = Hall::new();
    let seat = hall.take(|_| {});
    wish(&seat, Command::Answer(Q1, label('A'))).unwrap();
    hall.clock.advance(Elapsed::minutes(10));
    assert_eq!(
        wish(&seat, Command::Answer(Q1, label('B'))),
        Err(Refusal::Locked)
    );
    let view = seat.view();
    assert_eq!(view.sitting.phase(), Phase::TimeUp);
    assert_eq!(
        view.sitting.row(Q1).unwrap().in_time.unwrap().option,
        label('A')
    );
}

#[test]
fn after_time_up_the_guess_round_comes_first_whatever_was_confirmed_just_before() {
    for end in [Command::Finish, Command::Abandon] {
        for time_is_kept in [false, true] {
            let hall = Hall::new();
            let seat = hall.take(|_| {});
            hall.clock.advance(Elapsed(10 * 60_000 - 3));
            let seen = seat.view().sitting.phase();
            assert_eq!(seen, Phase::Running);
            hall.clock.advance(Elapsed(5));
            if time_is_kept {
                seat.lock().look();
            }
            assert_eq!(seat.wish(end.clone(), seen), Err(Refusal::Locked));
            assert_eq!(seat.view().sitting.phase(), Phase::TimeUp);
            assert_eq!(seat.wish(Command::Tick, seen), Ok(()));
            seat.wish(Command::StartGuessRound, Phase::TimeUp).unwrap();
            assert_eq!(seat.view().sitting.phase(), Phase::GuessRound);
        }
    }
}

fn lock_of(session: &Path) -> PathBuf {
    session.with_extension("").with_extension("lock")
}

fn beat(seat: &Shared) {
    seat.view();
    let heartbeat = seat.lock().heartbeat();
    let mut held = seat.held.lock().unwrap();
    held.as_mut().unwrap().lock.beat(&heartbeat).unwrap();
}

#[test]
fn after_a_kill_the_time_left_is_what_it_was_at_the_last_beat() {
    let hall = Hall::new();
    let seat = hall.take(|_| {});
    wish(&seat, Command::Answer(Q1, label('C'))).unwrap();
    hall.clock.advance(Elapsed::seconds(90));
    beat(&seat);
    let path = Hall::killed(seat);
    hall.clock.advance(Elapsed::minutes(30));
    let seat = hall.back(&path);
    let view = seat.view();
    assert_eq!(view.sitting.left(view.at), Elapsed::seconds(600 - 90));
    assert_eq!(
        view.sitting.row(Q1).unwrap().in_time.unwrap().option,
        label('C')
    );
    hall.clock.advance(Elapsed::seconds(509));
    assert_eq!(seat.view().sitting.phase(), Phase::Running);
    hall.clock.advance(Elapsed::seconds(1));
    assert_eq!(seat.view().sitting.phase(), Phase::TimeUp);
}

/// Nobody answers and nothing is logged: only the beat of the thread that keeps the time tells that the
/// sitting went on for a minute and a half before the kill.
#[test]
fn the_thread_that_keeps_the_time_beats_so_that_a_kill_gives_no_time() {
    let hall = Hall::new();
    let seat = hall.take(|_| {});
    keep_time(&seat, || {});
    hall.clock.advance(Elapsed::seconds(90));
    let path = seat.path();
    let beaten = (0..100).any(|_| {
        std::thread::sleep(Duration::from_millis(50));
        Heartbeat::last(&path).is_some_and(|beat| beat.at >= Elapsed::seconds(90))
    });
    assert!(beaten, "no beat within five seconds");
    let path = Hall::killed(seat);
    hall.clock.advance(Elapsed::minutes(30));
    let view = hall.back(&path).view();
    assert_eq!(view.sitting.left(view.at), Elapsed::seconds(600 - 90));
}

/// A page that is being drawn may wait for a terminal that takes nothing: the file waits for it no longer than a look.
#[test]
fn what_a_page_shows_first_is_written_at_the_next_look() {
    let hall = Hall::new();
    let seat = hall.take(|_| {});
    let written = |path: &Path| journal::read(path).unwrap().events.len();
    let path = seat.path();
    let phase = seat.view().sitting.phase();
    assert!(seat.lock().writer.wait_durable(Duration::from_secs(5)));
    let before = written(&path);
    let answer = Command::Answer(Q1, label('B'));
    seat.wish_before_drawing(answer, phase).unwrap();
    let view = seat.view();
    assert!(!view.all_saved && view.unsaved.contains(&Q1));
    std::thread::sleep(Duration::from_millis(50));
    assert_eq!(written(&path), before, "nobody has handed it on");
    TimeKeeper::of(&seat, || {}).look();
    let saved = (0..1000).any(|_| {
        std::thread::sleep(Duration::from_millis(5));
        seat.view().all_saved
    });
    assert!(saved && seat.view().unsaved.is_empty());
    assert_eq!(written(&path), before + 1);
}

/// A session file that travels alone, or whose lock somebody has emptied, tells nothing of the time after its last event.
#[test]
fn without_a_heartbeat_nobody_claims_to_know_how_long_somebody_was_away() {
    let clock_after = |known: &dyn Fn(&Hall, Shared) -> PathBuf| {
        let hall = Hall::new();
        let seat = hall.take(|_| {});
        hall.clock.advance(Elapsed::seconds(30));
        wish(&seat, Command::Answer(Q1, label('C'))).unwrap();
        hall.clock.advance(Elapsed::seconds(60));
        let path = known(&hall, seat);
        hall.clock.advance(Elapsed::minutes(5));
        hall.back(&path).away().unwrap().clock
    };
    let killed = clock_after(&|_, seat| {
        beat(&seat);
        assert!(lock_of(&seat.path()).exists());
        Hall::killed(seat)
    });
    assert_eq!(killed, AwayClock::Exact);
    let left = clock_after(&|_, seat| {
        seat.interrupt(Stop::LeftByKey);
        let path = Hall::killed(seat);
        assert!(!lock_of(&path).exists());
        path
    });
    assert_eq!(left, AwayClock::Exact, "it was left");
    for spoilt in [None, Some(""), Some("no heartbeat\n")] {
        let clock = clock_after(&|_, seat| {
            beat(&seat);
            let path = Hall::killed(seat);
            match spoilt {
                None => fs::remove_file(lock_of(&path)).unwrap(),
                Some(text) => fs::write(lock_of(&path), text).unwrap(),
            }
            path
        });
        assert_eq!(clock, AwayClock::Unknown, "{spoilt:?}");
    }
    let old = clock_after(&|hall, seat| {
        beat(&seat);
        hall.clock.advance(Elapsed::seconds(60));
        wish(&seat, Command::Answer(Q1, label('A'))).unwrap();
        Hall::killed(seat)
    });
    assert_eq!(old, AwayClock::Unknown, "a beat of long before");
}

/// A record in the middle is spoilt. What is behind it tells of an absence, a sleep that counts, and a break; one break
/// lost the record of its end.
#[test]
fn what_a_spoilt_record_hides_costs_and_gives_no_time() {
    let hall = Hall::new();
    let seat = hall.take(|arranged| arranged.rest_breaks = true);
    let tick = |seat: &Shared, seconds| {
        hall.clock.advance(Elapsed::seconds(seconds));
        wish(seat, Command::Flag(Q1)).unwrap();
    };
    tick(&seat, 30);
    wish(&seat, Command::Answer(Q1, label('C'))).unwrap();
    tick(&seat, 10);
    beat(&seat);
    let path = Hall::killed(seat);
    hall.clock.advance(Elapsed::minutes(60));
    let seat = hall.back(&path);
    tick(&seat, 20);
    wish(&seat, Command::StartBreak).unwrap();
    hall.clock.advance(Elapsed::minutes(20));
    wish(&seat, Command::EndBreak).unwrap();
    hall.clock.advance(Elapsed::seconds(1));
    wish(&seat, Command::Open(QuestionNo(2))).unwrap();
    tick(&seat, 40);
    beat(&seat);
    let path = Hall::killed(seat);
    let sound = fs::read_to_string(&path).unwrap();
    for (spoilt, given) in [("Answered(1", 0), ("BreakEnded", 1), ("Flagged(1", 0)] {
        let text = sound.replacen(spoilt, &spoilt.to_uppercase(), 1);
        assert_ne!(text, sound);
        fs::write(&path, &text).unwrap();
        let (record, damage) = journal::read_up_to_damage(&path).unwrap();
        assert!(damage.is_some() && record.is_open());
        let used = Elapsed::seconds(30 + 10 + 20 + 1 + 40 - given);
        let at_the_beat = Heartbeat::last(&path);
        let before = record.sitting_at(at_the_beat.as_ref());
        let last = record.last_alive(at_the_beat.as_ref()).elapsed;
        assert_eq!(
            before.left(last),
            Elapsed::seconds(600).since(used),
            "{spoilt}"
        );
    }
    let (record, _) = journal::read_up_to_damage(&path).unwrap();
    hall.clock.advance(Elapsed::minutes(5));
    let seat = Shared::go_on(&record, hall.clock(), Box::new(|| {})).unwrap();
    let view = seat.view();
    assert_eq!(view.sitting.left(view.at), Elapsed::seconds(600 - 101));
    assert_eq!(view.sitting.phase(), Phase::Running);
    let path = Hall::killed(seat);
    let view = hall.back(&path).view();
    assert_eq!(view.sitting.left(view.at), Elapsed::seconds(600 - 101));
}

#[test]
fn an_absence_counts_where_that_is_arranged() {
    let hall = Hall::new();
    let seat = hall.take(|arranged| arranged.away_counts = true);
    hall.clock.advance(Elapsed::seconds(60));
    let path = Hall::killed(seat);
    hall.clock.advance(Elapsed::seconds(240));
    let view = hall.back(&path).view();
    assert_eq!(view.sitting.left(view.at), Elapsed::seconds(300));
}

#[test]
fn sleep_a_changed_clock_and_a_restart_of_the_machine_are_recorded_and_give_no_time() {
    let hall = Hall::new();
    let seat = hall.take(|_| {});
    hall.clock.sleep(Elapsed::seconds(100));
    seat.view();
    let wall = hall.clock.read().utc;
    hall.clock.set_wall(wall - TimeDelta::hours(1));
    let view = seat.view();
    assert_eq!(view.sitting.left(view.at), Elapsed::seconds(500));
    beat(&seat);
    let path = Hall::killed(seat);
    hall.clock.reboot("another boot", Elapsed::minutes(5));
    let seat = hall.back(&path);
    let view = seat.view();
    assert_eq!(view.sitting.left(view.at), Elapsed::seconds(500));
    assert!(
        view.at >= Elapsed::seconds(400),
        "the time away is in the record: {:?}",
        view.at
    );
    let path = Hall::killed(seat);
    let events: Vec<_> = journal::read(&path)
        .unwrap()
        .events
        .into_iter()
        .map(|stamped| stamped.event)
        .collect();
    let slept = Event::Slept {
        span: Elapsed::seconds(100),
        counts: true,
    };
    assert!(events.contains(&slept), "{events:?}");
    assert!(
        events.contains(&Event::ClockChanged { millis: -3_600_000 }),
        "{events:?}"
    );
    let by_wall = |event: &Event| {
        matches!(
            event,
            Event::Resumed {
                clock: AwayClock::Wall,
                counts: false,
                ..
            }
        )
    };
    assert!(events.iter().any(by_wall), "{events:?}");
}

#[test]
fn blanks_are_filled_from_a_seed_that_is_recorded() {
    let hall = Hall::new();
    let seat = hall.take(|_| {});
    wish(&seat, Command::Answer(Q1, label('A'))).unwrap();
    hall.clock.advance(Elapsed::minutes(10));
    seat.view();
    wish(&seat, Command::StartGuessRound).unwrap();
    let blanks: Vec<_> = seat.view().sitting.blanks().collect();
    seat.fill_blanks(&blanks, 7).unwrap();
    let drawn = |sitting: &Sitting| -> Vec<_> {
        sitting
            .rows()
            .iter()
            .filter_map(|row| row.after_time)
            .map(|given| given.option)
            .collect()
    };
    let filled = seat.view().sitting;
    assert_eq!(drawn(&filled).len(), 4);
    wish(&seat, Command::Finish).unwrap();
    let path = seat.finish().unwrap();
    let sitting = journal::read(&path).unwrap().sitting();
    assert_eq!(sitting.phase(), Phase::Closed(Ending::GuessRoundDone));
    assert_eq!(drawn(&sitting), drawn(&filled));
    assert!(!lock_of(&path).exists());
}

/// 5,000 draws of five options: each near 1,000, chi-square with 4 degrees of freedom below 18.47,
/// its 0.1 % point (from memory); the seeds are fixed, so this never changes by chance.
#[test]
fn every_option_is_as_likely_as_the_next() {
    let hall = Hall::new();
    let seat = hall.take(|_| {});
    let sitting = seat.view().sitting;
    let blanks: Vec<_> = sitting.blanks().collect();
    let mut counts = [0_u32; 5];
    for seed in 0..1000 {
        for (_, option) in fill::draw(&sitting, &blanks, seed) {
            counts[Labels::new("ABCDE").unwrap().index(option).unwrap()] += 1;
        }
    }
    assert_eq!(
        fill::draw(&sitting, &blanks, 3),
        fill::draw(&sitting, &blanks, 3)
    );
    let chi: f64 = counts
        .iter()
        .map(|count| (f64::from(*count) - 1000.0).powi(2) / 1000.0)
        .sum();
    assert!(chi < 18.47, "{counts:?}: {chi}");
}

#[test]
fn what_is_crossed_out_is_never_drawn() {
    let hall = Hall::new();
    let seat = hall.take(|_| {});
    for out in "ACD".chars() {
        wish(&seat, Command::CrossOut(Q1, label(out))).unwrap();
    }
    let sitting = seat.view().sitting;
    let drawn: BTreeSet<Label> = (0..100)
        .flat_map(|seed| fill::draw(&sitting, &[Q1], seed))
        .map(|(_, option)| option)
        .collect();
    assert_eq!(drawn, BTreeSet::from([label('B'), label('E')]));
}

#[test]
fn what_was_crossed_out_and_hidden_is_there_after_a_kill_and_after_a_signal() {
    let hall = Hall::new();
    let seat = hall.take(|_| {});
    wish(&seat, Command::Answer(Q1, label('A'))).unwrap();
    for option in ['A', 'B', 'C', 'B'] {
        wish(&seat, Command::CrossOut(Q1, label(option))).unwrap();
    }
    wish(&seat, Command::HideClock).unwrap();
    wish(&seat, Command::BeginSweep).unwrap();
    let path = Hall::killed(seat);
    let seat = hall.back(&path);
    let sitting = seat.view().sitting;
    let row = sitting.row(Q1).unwrap();
    assert!(row.crossed.iter().eq(&[label('A'), label('C')]));
    assert_eq!(row.in_time.unwrap().option, label('A'));
    assert!(sitting.clock_hidden());
    seat.interrupt(Stop::LeftBySignal);
    let path = Hall::killed(seat);
    let seat = hall.back(&path);
    assert!(seat.view().sitting.clock_hidden());
    wish(&seat, Command::Finish).unwrap();
    let path = seat.finish().unwrap();
    let record = journal::read(&path).unwrap();
    assert!(record.sealed);
    let left: Vec<_> = record
        .events
        .iter()
        .filter_map(|stamped| match &stamped.event {
            Event::Resumed { left, .. } => Some(*left),
            _ => None,
        })
        .collect();
    assert_eq!(left, [None, Some(Stop::LeftBySignal)]);
    assert!(!record.header.sitting.contains("otter"));
    assert!(record.header.question_fingerprints.is_empty());
}

/// Somebody keeps the files elsewhere and links to them: there is one file of the sitting, and one window on it.
#[cfg(unix)]
#[test]
fn a_sitting_whose_name_is_a_link_goes_on_in_the_file_itself() {
    let hall = Hall::new();
    let seat = hall.take(|_| {});
    wish(&seat, Command::Answer(Q1, label('A'))).unwrap();
    hall.clock.advance(Elapsed::seconds(60));
    assert!(TimeKeeper::of(&seat, || {}).look().is_some());
    let link = Hall::killed(seat);
    let elsewhere = tempfile::tempdir().unwrap();
    let file = fs::canonicalize(elsewhere.path()).unwrap();
    let file = file.join(link.file_name().unwrap());
    fs::copy(&link, &file).unwrap();
    fs::remove_file(&link).unwrap();
    std::os::unix::fs::symlink(&file, &link).unwrap();

    hall.clock.advance(Elapsed::minutes(5));
    let seat = hall.back(&link);
    let view = seat.view();
    let left = view.sitting.left(view.at);
    assert_eq!(
        left,
        Elapsed::seconds(540),
        "its old lock is beside the link"
    );
    wish(&seat, Command::Answer(Q1, label('B'))).unwrap();
    assert_eq!(seat.path(), file);
    assert!(journal::is_in_use(&link) && journal::is_in_use(&file));
    let record = journal::read(&file).unwrap();
    let second = Shared::go_on(&record, hall.clock(), Box::new(|| {}));
    assert!(matches!(second, Err(SeatError::Lock(LockError::Taken(_)))));
    hall.clock.advance(Elapsed::seconds(90));
    assert!(TimeKeeper::of(&seat, || {}).look().is_some());
    let _the_file_is_asked = Hall::killed(seat);
    let beat = Heartbeat::last(&link).expect("it lies beside the file");
    assert_eq!(beat.at, Elapsed::seconds(60 + 300 + 90));

    let seat = hall.back(&link);
    wish(&seat, Command::Finish).unwrap();
    assert_eq!(seat.finish().unwrap(), file);
    assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
    let row = |path: &Path| journal::read(path).unwrap().sitting().row(Q1).cloned();
    assert_eq!(row(&link).unwrap().in_time.unwrap().option, label('B'));
    assert!(journal::read(&file).unwrap().sealed);
    assert_eq!(fs::read_dir(elsewhere.path()).unwrap().count(), 1);
    let beside = fs::read_dir(link.parent().unwrap()).unwrap();
    assert_eq!(
        beside.count(),
        2,
        "nothing but the link and the lock from before it"
    );
}

#[cfg(unix)]
#[test]
fn a_folder_of_sittings_that_is_a_link_is_a_folder_like_any_other() {
    let mut hall = Hall::new();
    let own = hall.sessions.join("own");
    fs::create_dir(&own).unwrap();
    let linked = hall.sessions.join("linked");
    std::os::unix::fs::symlink(&own, &linked).unwrap();
    let root = std::mem::replace(&mut hall.sessions, linked.clone());
    let seat = hall.take(|_| {});
    wish(&seat, Command::Answer(Q1, label('A'))).unwrap();
    let path = Hall::killed(seat);
    assert!(path.starts_with(&linked));
    let seat = hall.back(&path);
    wish(&seat, Command::Finish).unwrap();
    let path = seat.finish().unwrap();
    let inside = own.join(path.strip_prefix(&linked).unwrap());
    assert!(journal::read(&inside).unwrap().sealed);
    assert_eq!(fs::read_dir(root.join("own/otter")).unwrap().count(), 1);
}
