//! The figures, each with its bound.

use std::fs::{self, File};
use std::io::{Write as _, stdout};
use std::path::Path;
use std::time::Duration;

use crate::common::process::{memory, processor_time};
use crate::common::shim::Faults;
use crate::common::{PROGRAM, Room, Seat, Start, begin, now};
use crossterm::event::{self, Event, KeyCode};
use rand::SeedableRng as _;
use rand::seq::SliceRandom as _;
use rand_chacha::ChaCha8Rng;
use ratatui::text::Line;

/// Keys timed, after some that only warm up.
const KEYS: usize = 500;
const WARM_UP: usize = 20;
/// Between two keys: quick typing.
const TYPING: Duration = Duration::from_millis(40);
/// A key's answer, of all but one in a hundred.
const KEY_BOUND: Duration = Duration::from_micros(500);
/// A minute of waiting.
const MINUTE: Duration = Duration::from_secs(60);
const IDLE_BOUND: Duration = Duration::from_millis(10);
/// A minute in which the page shows seconds.
const SECONDS_BOUND: Duration = Duration::from_millis(20);
const MEMORY_BOUND_KB: u64 = 5_000;
/// The keys of an hour, generously, and the milliseconds between two of them here.
const KEYS_OF_AN_HOUR: usize = 4_000;
const HURRY: Duration = Duration::from_millis(3);
/// A line of a session file.
const LINE_BYTES: usize = 90;
/// The word that makes this program the bare application.
const BARE: &str = "bare";
/// The variable that names other builds, with commas between.
const BEFORE: &str = "PACEBELL_BEFORE";

fn say(line: &str) {
    writeln!(stdout(), "{line}").unwrap();
}

const fn verdict(within: bool) -> &'static str {
    if within { "PASS" } else { "OVER" }
}

/// The value below which so many of a thousand lie: nearest rank.
fn quantile(sorted: &[Duration], thousandths: usize) -> Duration {
    let rank = (sorted.len() * thousandths).div_ceil(1000).max(1);
    sorted[rank - 1]
}

fn told(what: &str, mut times: Vec<Duration>) -> Duration {
    times.sort();
    let [half, most, all] = [500, 990, 1000].map(|part| quantile(&times, part));
    say(&format!(
        "{what}: n {}, p50 {half:?}, p99 {most:?}, max {all:?}",
        times.len()
    ));
    most
}

/// The builds that are measured, each with its path: those that are named, and this one.
fn builds() -> Vec<(String, String)> {
    let before = std::env::var(BEFORE).unwrap_or_default();
    let before = before.split(',').filter(|path| !path.is_empty());
    before
        .map(|path| (path.to_owned(), path.to_owned()))
        .chain([("now".to_owned(), PROGRAM.to_owned())])
        .collect()
}

/// One thing that answers keys.
struct Answering {
    what: String,
    seat: Seat,
    times: Vec<Duration>,
}

impl Answering {
    const fn new(what: String, seat: Seat) -> Self {
        Self {
            what,
            seat,
            times: Vec::new(),
        }
    }
}

/// Presses the same keys on each in turn; all of them run all the time. Each round is in another order: what the one
/// before still does, or has left in the caches, is otherwise always the same one's.
fn press(all: &mut [Answering]) {
    let letters = ["a", "b", "c", "d", "e"];
    let mut order: Vec<_> = (0..all.len()).collect();
    let mut random = ChaCha8Rng::seed_from_u64(1);
    for letter in letters.iter().cycle().take(WARM_UP + KEYS) {
        order.shuffle(&mut random);
        for place in &order {
            let one = &mut all[*place];
            std::thread::sleep(TYPING);
            one.times.push(one.seat.press_timed(letter));
        }
    }
    for one in all {
        one.times.drain(..WARM_UP);
    }
}

/// A list of which each key marks another line, and nothing else: no clock, no file, no thread.
fn bare_application() {
    let mut terminal = ratatui::init();
    let mut chosen = 'a';
    loop {
        terminal
            .draw(|frame| {
                let area = frame.area();
                for (y, letter) in (0..area.height).zip('a'..='z') {
                    let sign = if letter == chosen { '>' } else { ' ' };
                    let line = Line::from(format!("{sign} {letter}  a line of the list to choose"));
                    frame.render_widget(
                        line,
                        ratatui::layout::Rect {
                            y,
                            height: 1,
                            ..area
                        },
                    );
                }
            })
            .unwrap();
        if let Event::Key(key) = event::read().unwrap()
            && let KeyCode::Char(letter) = key.code
        {
            chosen = letter;
        }
    }
}

fn bare(room: &Room) -> Answering {
    let program = std::env::current_exe().unwrap();
    let start = Start::new(room.path(), &[BARE]).program(program.to_str().unwrap());
    let seat = start.run();
    seat.sees("> a");
    Answering::new("a bare application of the same toolkit".to_owned(), seat)
}

/// One line appended and synced, on the same disk.
fn bare_line(folder: &Path) -> Vec<Duration> {
    let mut file = File::create(folder.join("bare")).unwrap();
    let mut line = vec![b'x'; LINE_BYTES];
    line.push(b'\n');
    let once = |_| {
        std::thread::sleep(TYPING / 2);
        let begun = now();
        file.write_all(&line).unwrap();
        file.sync_data().unwrap();
        begun.elapsed()
    };
    (0..KEYS).map(once).collect()
}

fn keys() {
    let slow = "key to first byte, each sync 200 ms slower";
    let mut rooms = Vec::new();
    let mut all = Vec::new();
    for (build, program) in builds() {
        let room = Room::new();
        let seat = begin(room.sit("60").program(&program));
        all.push(Answering::new(format!("key to first byte ({build})"), seat));
        rooms.push(room);
    }
    for (build, program) in builds() {
        let room = Room::new();
        if let Some(faults) = Faults::of(&room) {
            let seat = begin(faults.on(room.sit("60").program(&program)));
            faults.begin("sync-slow", 200);
            all.push(Answering::new(format!("{slow} ({build})"), seat));
        }
        rooms.push(room);
    }
    let room = Room::new();
    all.push(bare(&room));
    press(&mut all);
    for one in all {
        let most = told(&one.what, one.times);
        say(&format!(
            "  under {KEY_BOUND:?} at p99: {}",
            verdict(most < KEY_BOUND)
        ));
    }
    told(
        "a bare line appended and synced",
        bare_line(rooms[0].path()),
    );
}

/// Processor time to the nanosecond, over all threads (Linux: `/proc/PID/task/TID/schedstat`).
fn exact_processor_time(process: u32) -> Duration {
    let tasks = fs::read_dir(format!("/proc/{process}/task"))
        .unwrap()
        .flatten();
    let nanos = tasks.filter_map(|task| {
        let text = fs::read_to_string(task.path().join("schedstat")).ok()?;
        text.split_whitespace().next()?.parse::<u64>().ok()
    });
    Duration::from_nanos(nanos.sum())
}

/// What a process had used when its minute began.
struct Waiting {
    what: String,
    seat: Seat,
    bound: Duration,
    ticks: Duration,
    exact: Duration,
    bytes: usize,
}

impl Waiting {
    fn begin(what: String, seat: Seat, bound: Duration) -> Self {
        let process = seat.pid();
        Self {
            what,
            bound,
            ticks: processor_time(process),
            exact: exact_processor_time(process),
            bytes: seat.bytes().len(),
            seat,
        }
    }

    fn tell(&self) {
        let process = self.seat.pid();
        let ticks = processor_time(process).saturating_sub(self.ticks);
        let exact = exact_processor_time(process).saturating_sub(self.exact);
        let bytes = self.seat.bytes().len() - self.bytes;
        let what = &self.what;
        say(&format!(
            "{what}: a minute's waiting costs {exact:?} of processor time ({ticks:?} by ticks), {bytes} bytes sent: {}",
            verdict(exact < self.bound)
        ));
        let most = memory(process, "VmHWM:");
        say(&format!(
            "{what}: {most} kB of memory at the most, {} kB now ({} kB of it the program's own, the rest its file and libraries): {}",
            memory(process, "VmRSS:"),
            memory(process, "RssAnon:"),
            verdict(most < MEMORY_BOUND_KB)
        ));
    }
}

/// A minute in which nobody presses a key, the same one for all.
fn waiting() {
    let mut rooms = Vec::new();
    let mut begin_with = |minutes: &str, program: &str| {
        let room = Room::new();
        let mut seat = begin(room.sit(minutes).program(program));
        seat.press("a");
        seat.sees_saved();
        rooms.push(room);
        seat
    };
    let mut seats = Vec::new();
    for (build, program) in builds() {
        let seat = begin_with("60", &program);
        seats.push((format!("sixty minutes to go ({build})"), seat, IDLE_BOUND));
        let seat = begin_with("4.5", &program);
        let what = format!("the last five minutes, seconds shown ({build})");
        seats.push((what, seat, SECONDS_BOUND));
    }
    let begun = |(what, seat, bound)| Waiting::begin(what, seat, bound);
    let all: Vec<_> = seats.into_iter().map(begun).collect();
    std::thread::sleep(MINUTE);
    for one in &all {
        one.tell();
    }
}

/// An hour's keys, and what the program holds in memory after each quarter of them.
fn hour() {
    for (build, program) in builds() {
        let room = Room::new();
        let mut seat = begin(room.sit("60").program(&program));
        let mut quarters = vec![memory(seat.pid(), "VmRSS:")];
        let keys = ["a", "\r", "b", "\r", "\r", "?", "c", "\x1b[A", "d", " "];
        let keys: Vec<_> = keys.iter().cycle().take(KEYS_OF_AN_HOUR).collect();
        for quarter in keys.chunks(KEYS_OF_AN_HOUR / 4) {
            for key in quarter {
                std::thread::sleep(HURRY);
                seat.press(key);
            }
            seat.sees_saved();
            quarters.push(memory(seat.pid(), "VmRSS:"));
        }
        say(&format!(
            "an hour's {KEYS_OF_AN_HOUR} keys ({build}): {quarters:?} kB of memory at the start and after each quarter"
        ));
    }
}

/// Measures all of it, or is the bare application.
pub(super) fn all() {
    if std::env::args().nth(1).is_some_and(|word| word == BARE) {
        return bare_application();
    }
    keys();
    waiting();
    hour();
}
