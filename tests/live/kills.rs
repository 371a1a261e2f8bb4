//! Killed without a word at any moment: what showed as saved is in the file, and the time left is right.

use std::collections::BTreeMap;
use std::fs;
use std::io::Write as _;
use std::path::Path;
use std::time::{Duration, Instant};

use pacebell::domain::event::{Event, Stamped};
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

use crate::common::{Room, Seat, files, go_on, now, say, until};
use crate::sheet;

/// The clock shows seconds from five minutes on; a sitting of that length shows them throughout.
const ALLOWED: Duration = Duration::from_secs(300);
/// A beat is written every nine tenths of a second, so that a kill gives no more time than this.
const MOST_GIVEN: Duration = Duration::from_secs(1);
/// How late a machine with many times more to do than it can may wake the one that writes it.
const LATE: Duration = Duration::from_millis(500);
/// The page rounds the time left up to seconds.
const SECOND: Duration = Duration::from_secs(1);
/// A sitting is killed this often before the next is begun.
const LIVES: u32 = 5;
const ROUNDED: Duration = Duration::from_millis(1);

#[test]
fn what_showed_as_saved_survives_ten_kills_and_the_time_left_is_right() {
    std::thread::scope(|scope| {
        scope.spawn(|| campaign(5, 20_261_125));
        campaign(5, 20_261_126);
    });
}

/// `PACEBELL_KILLS` and `PACEBELL_SEED` choose how many and which.
#[test]
#[ignore = "most of an hour: a thousand kills"]
fn what_showed_as_saved_survives_a_thousand_kills_and_the_time_left_is_right() {
    let number = |name: &str| {
        std::env::var(name)
            .ok()
            .and_then(|value| value.parse().ok())
    };
    let seed = number("PACEBELL_SEED").unwrap_or_else(rand::random);
    campaign(number("PACEBELL_KILLS").unwrap_or(1000), seed);
}

/// Says which run it was when a check in it does not hold.
struct Seed(u64, u32);

impl Drop for Seed {
    fn drop(&mut self) {
        if std::thread::panicking() {
            say(&format!("seed {}, kill {}", self.0, self.1));
        }
    }
}

fn campaign(kills: u64, seed: u64) {
    let mut random = ChaCha8Rng::seed_from_u64(seed);
    let mut told = Seed(seed, 0);
    let mut most = Duration::ZERO;
    while u64::from(told.1) < kills {
        let mut run = Run::begin();
        for _ in 0..LIVES {
            told.1 += 1;
            run.live_and_die(&mut random);
            most = most.max(run.go_on());
            if u64::from(told.1) == kills {
                break;
            }
        }
    }
    say(&format!(
        "{kills} kills, seed {seed}: a kill gave {most:?} at the most"
    ));
}

/// Earliest and latest: what the test can know of a moment in the program, or of a span.
#[derive(Clone, Copy)]
struct Between(Duration, Duration);

/// One sitting, killed again and again.
struct Run {
    room: Room,
    seat: Seat,
    /// What showed as saved, and what was pressed since it did.
    saved: BTreeMap<u16, char>,
    pressed: BTreeMap<u16, Vec<char>>,
    /// Time used before this life, and when this life began: before and after.
    used: Between,
    begun: (Instant, Instant),
    /// How often it was carried on.
    lives: usize,
}

impl Run {
    fn begin() -> Self {
        let room = Room::new();
        let mut seat = room.sit("5").run();
        seat.sees("Read this out");
        seat.press("s");
        seat.sees("Enter starts the clock at once");
        let before = now();
        seat.press("\r");
        seat.sees("Esc menu");
        let begun = (before, now());
        let none = Between(Duration::ZERO, Duration::ZERO);
        Self {
            room,
            seat,
            saved: BTreeMap::new(),
            pressed: BTreeMap::new(),
            used: none,
            begun,
            lives: 0,
        }
    }

    /// Takes what the screen says now for promised.
    fn look(&mut self) {
        let text = self.seat.settled();
        if !text.lines().next().unwrap_or_default().ends_with("  saved") {
            return;
        }
        for (question, row) in sheet::rows(&text) {
            if row.is_saved() {
                // Keys that are not on the screen yet may still overtake this.
                self.saved
                    .extend(row.chosen.map(|chosen| (question, chosen)));
                if let Some(pressed) = self.pressed.get_mut(&question)
                    && let Some(shown) = pressed
                        .iter()
                        .rposition(|option| Some(*option) == row.chosen)
                {
                    pressed.drain(..=shown);
                }
            }
        }
    }

    fn live_and_die(&mut self, random: &mut ChaCha8Rng) {
        let end = now() + Duration::from_millis(random.random_range(0..1400));
        while now() < end {
            let text = self
                .seat
                .wait("an open question", |text| sheet::open(text).is_some());
            let open = sheet::open(&text).unwrap();
            let option = ['a', 'b', 'c', 'd', 'e'][random.random_range(0..5)];
            self.pressed
                .entry(open)
                .or_default()
                .push(option.to_ascii_uppercase());
            self.seat.press(option.to_string());
            if random.random_bool(0.2) {
                // Killed with the key still on its way.
                continue;
            }
            let chosen = Some(option.to_ascii_uppercase());
            let fits = |row: &sheet::Row| row.chosen == chosen;
            self.seat.wait("the answer", |text| {
                sheet::rows(text).get(&open).is_some_and(fits)
            });
            self.look();
            if random.random_bool(0.5) {
                self.seat.sees_saved();
                self.look();
            }
            let next = random.random_range(1..=25_u16);
            self.seat.press(format!("{next}\r"));
            self.seat
                .wait("another question", |text| sheet::open(text) == Some(next));
            std::thread::sleep(Duration::from_millis(random.random_range(0..120)));
        }
        self.look();
        if random.random_bool(0.3) {
            // Nothing but beats tells that it goes on.
            std::thread::sleep(Duration::from_millis(random.random_range(0..1600)));
        }
        let before = now();
        self.seat.kill();
        let after = now();
        let shortest = before.saturating_duration_since(self.begun.1);
        let longest = after.saturating_duration_since(self.begun.0);
        self.used = Between(self.used.0 + shortest, self.used.1 + longest);
        let session = files::session(self.room.path());
        self.check_answers(&session);
        if random.random_bool(0.5) {
            tear(&session, random);
        }
    }

    fn check_answers(&self, session: &Path) {
        let found = files::answers(session);
        for (question, saved) in &self.saved {
            let in_file = found.get(question).and_then(|answers| answers.last());
            let later = self.pressed.get(question);
            let is_later = |option: &char| later.is_some_and(|pressed| pressed.contains(option));
            let kept = in_file.is_some_and(|option| option == saved || is_later(option));
            assert!(
                kept,
                "question {question} showed {saved} as saved; the file has {in_file:?}"
            );
        }
    }

    /// Takes it up again, and gives by how much the kill lengthened the sitting at the most.
    fn go_on(&mut self) -> Duration {
        let session = files::session(self.room.path());
        let answers = files::answers(&session);
        let before = now();
        self.seat = go_on(self.room.go_on());
        let begun = (before, now());
        self.seat.sees_saved();
        let text = self.seat.settled();
        let seen = now();
        for (question, row) in sheet::rows(&text) {
            let in_file = answers.get(&question).and_then(|answers| answers.last());
            assert_eq!(
                row.chosen.as_ref(),
                in_file,
                "question {question} of\n{text}"
            );
        }
        // What has come to the disk since may be more: a busy machine holds it up at once.
        let back = |stamped: &&Stamped| matches!(stamped.event, Event::Resumed { .. });
        self.lives += 1;
        let record = until("the return in the file", || {
            let record = pacebell::storage::journal::read(&session).unwrap();
            let lives = record.events.iter().filter(back).count();
            (lives == self.lives && record.torn.is_none()).then_some(record)
        });
        let sitting = record.sitting();
        let back = record.events.iter().rfind(back).unwrap().at;
        let used = Duration::from_millis(sitting.used(back).as_millis());
        // The program's moments are whole milliseconds.
        assert!(
            used <= self.used.1 + ROUNDED,
            "{used:?} used, {:?} at the most: {:?}",
            self.used.1,
            record.events
        );
        let given = self.used.0.saturating_sub(used);
        assert!(given <= MOST_GIVEN + LATE, "the kill gave {given:?}");
        // The page rounds up to a second, and the clock has run since.
        let shown = Duration::from_secs(sheet::seconds_left(&text).unwrap());
        let left = ALLOWED.saturating_sub(used);
        assert!(
            shown + (seen - begun.0) + ROUNDED >= left,
            "{shown:?} left shown of {left:?}"
        );
        assert!(shown <= left + SECOND, "{shown:?} left shown of {left:?}");
        self.used = Between(used, used);
        self.begun = begun;
        self.pressed.clear();
        self.saved = answers
            .into_iter()
            .filter_map(|(question, all)| Some((question, *all.last()?)))
            .collect();
        given
    }
}

/// Junk at the end of the file, as a kill or a power cut in the middle of a write leaves it.
fn tear(session: &Path, random: &mut ChaCha8Rng) {
    let whole = fs::read(session).unwrap();
    let junk: Vec<u8> = match random.random_range(0..3) {
        0 => vec![0; random.random_range(1..300)],
        1 => (0..random.random_range(1..300))
            .map(|_| random.random())
            .filter(|byte| *byte != b'\n')
            .collect(),
        _ => {
            // A line that would fit, but for its end.
            let last = whole
                .split_inclusive(|byte| *byte == b'\n')
                .next_back()
                .unwrap();
            last[..random.random_range(1..last.len())].to_vec()
        }
    };
    fs::OpenOptions::new()
        .append(true)
        .open(session)
        .unwrap()
        .write_all(&junk)
        .unwrap();
}
