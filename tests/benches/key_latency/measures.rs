//! The figures, each with its bound.

use std::fs::{self, File};
use std::io::{Write as _, stdout};
use std::path::Path;
use std::time::Duration;

use crate::common::process::processor_time;
use crate::common::shim::Faults;
use crate::common::{Room, Seat, begin, now};

/// Keys timed, after some that only warm up.
const KEYS: usize = 300;
const WARM_UP: usize = 20;
/// Between two keys: quick typing.
const TYPING: Duration = Duration::from_millis(40);
/// A key's answer.
const KEY_BOUND: Duration = Duration::from_millis(2);
/// A minute of waiting.
const MINUTE: Duration = Duration::from_secs(60);
const IDLE_BOUND: Duration = Duration::from_millis(40);
const MEMORY_BOUND_KB: u64 = 12 * 1024;
/// A line of a session file.
const LINE_BYTES: usize = 90;

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

fn keys(seat: &mut Seat) -> Vec<Duration> {
    let letters = ["a", "b", "c", "d", "e"];
    let mut times = Vec::new();
    for letter in letters.iter().cycle().take(WARM_UP + KEYS) {
        std::thread::sleep(TYPING);
        times.push(seat.press_timed(letter));
    }
    times.split_off(WARM_UP)
}

/// One line appended and synced, on the same disk.
fn bare(folder: &Path) -> Vec<Duration> {
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

/// A line of `/proc/PID/status`, in kB.
fn memory(process: u32, name: &str) -> u64 {
    let text = fs::read_to_string(format!("/proc/{process}/status")).unwrap();
    let line = text.lines().find(|line| line.starts_with(name)).unwrap();
    line.split_whitespace().nth(1).unwrap().parse().unwrap()
}

/// A minute in which nobody presses a key.
fn idle(seat: &Seat, what: &str) {
    let process = seat.pid();
    let (ticks, exact, bytes) = (
        processor_time(process),
        exact_processor_time(process),
        seat.bytes().len(),
    );
    std::thread::sleep(MINUTE);
    let ticks = processor_time(process).saturating_sub(ticks);
    let exact = exact_processor_time(process).saturating_sub(exact);
    let bytes = seat.bytes().len() - bytes;
    say(&format!(
        "{what}: a minute's waiting costs {ticks:?} of processor time by ticks, {exact:?} exactly, {bytes} bytes sent: {}",
        verdict(ticks < IDLE_BOUND)
    ));
    let (now, most) = (memory(process, "VmRSS:"), memory(process, "VmHWM:"));
    say(&format!(
        "{what}: {now} kB of memory, {most} kB at the most: {}",
        verdict(most < MEMORY_BOUND_KB)
    ));
}

/// Measures all of it, and prints each figure.
pub(crate) fn all() {
    let room = Room::new();
    let mut seat = begin(room.sit("60"));
    let quick = told("key to first byte", keys(&mut seat));
    say(&format!(
        "  under {KEY_BOUND:?} at p99: {}",
        verdict(quick < KEY_BOUND)
    ));
    seat.sees_saved();
    idle(&seat, "sixty minutes to go, after 320 keys");
    drop(seat);

    let disk = told("a bare line appended and synced", bare(room.path()));
    say(&format!(
        "  key / bare line at p99: {:.2}",
        quick.as_secs_f64() / disk.as_secs_f64()
    ));

    let slow = Room::new();
    if let Some(faults) = Faults::of(&slow) {
        let mut seat = begin(faults.on(slow.sit("60")));
        faults.begin("sync-slow", 200);
        let late = told(
            "key to first byte, each sync 200 ms slower",
            keys(&mut seat),
        );
        say(&format!(
            "  under {KEY_BOUND:?} at p99: {}",
            verdict(late < KEY_BOUND)
        ));
        seat.sees_saved();
    }

    let last = Room::new();
    let seat = begin(last.sit("4.5"));
    idle(&seat, "the last five minutes, seconds shown");
}
