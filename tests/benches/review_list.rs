//! How soon the review's list shows 10,000 sittings, how long reading them all takes against parsing their lines and
//! doing nothing else, and how long a second opening takes, which has a cache: for files that nobody has changed for
//! an hour, and for those of the last hour, whose bytes are all read.
//!
//! `cargo bench --bench review_list` (another number may follow as `-- 1000`). The ways are timed in turn, the best of
//! three each. Bare parsing is `ron` with the log's own record types over lines that are in memory, on all cores: no
//! checksum, no folding, no marking. Prints figures with the bound each should keep; the machine decides whether it
//! does, so nothing ends in an error.
#![cfg(test)]

#[path = "../review_pages/made.rs"]
#[expect(dead_code, reason = "the tests use all of it")]
mod made;
#[path = "../common/sat.rs"]
mod sat;
#[path = "../common/written.rs"]
mod written;

use std::fs;
use std::hint::black_box;
use std::io::{Write as _, stdout};
use std::path::{Path, PathBuf};
use std::thread;
use std::time::{Duration, Instant};

use chrono::{DateTime, Utc};
use pacebell::commands::review::Reader;
use pacebell::domain::event::{Event, Stamped};
use pacebell::domain::header::Header;
use pacebell::domain::time::Elapsed;
use pacebell::screens::kit::{Frame, Key};
use pacebell::screens::review::Review;
use pacebell::screens::run::{Arrived, take};
use pacebell::screens::theme::Theme;
use pacebell::storage::cache::Summaries;
use pacebell::storage::journal::line::{Chain, write_event, write_header, write_seal};
use ratatui::buffer::Buffer;
use ratatui::layout::{Rect, Size};
use ratatui::widgets::Widget;
use serde::Deserialize;

/// Sittings in the folder, and the pupils they are spread over.
const SITTINGS: usize = 10_000;
const PUPILS: usize = 40;
/// From the start to the first list on the screen.
const LIST_BOUND: Duration = Duration::from_millis(50);
/// A key's answer while the rest is read.
const KEY_BOUND: Duration = Duration::from_millis(100);
/// Reading everything the first time, in times of bare parsing.
const FIRST_BOUND: f64 = 1.5;
/// Reading everything the second time, as a share of the first.
const SECOND_BOUND: f64 = 0.2;
const ROUNDS: usize = 3;

/// The records of a log, as its lines have them.
#[derive(Deserialize)]
#[expect(dead_code, reason = "they are only parsed")]
struct HeaderLine {
    n: u64,
    header: Header,
}

#[derive(Deserialize)]
#[expect(dead_code, reason = "they are only parsed")]
struct EventLine {
    n: u64,
    at: Elapsed,
    utc: DateTime<Utc>,
    event: Event,
}

/// Parses every line but the seals, on all cores, and nothing else.
fn parse(files: &[String]) -> usize {
    let cores = thread::available_parallelism().map_or(1, usize::from);
    let own = |core: usize| {
        let mut parsed = 0;
        for text in files.iter().skip(core).step_by(cores) {
            for (at, line) in text.lines().enumerate() {
                let (record, _) = line.rsplit_once(" // ").unwrap();
                if at == 0 {
                    parsed += usize::from(black_box(ron::from_str::<HeaderLine>(record)).is_ok());
                } else if !record.contains(",sealed:(") {
                    parsed += usize::from(black_box(ron::from_str::<EventLine>(record)).is_ok());
                }
            }
        }
        parsed
    };
    let own = &own;
    thread::scope(|scope| {
        let work: Vec<_> = (0..cores)
            .map(|core| scope.spawn(move || own(core)))
            .collect();
        work.into_iter().map(|work| work.join().unwrap()).sum()
    })
}

fn say(line: &str) {
    writeln!(stdout(), "{line}").unwrap();
}

const fn verdict(within: bool) -> &'static str {
    if within { "PASS" } else { "OVER" }
}

#[expect(clippy::disallowed_methods, reason = "a bench measures real time")]
fn now() -> Instant {
    Instant::now()
}

#[expect(clippy::disallowed_methods, reason = "a bench measures real time")]
fn now_in_seconds() -> i64 {
    Utc::now().timestamp()
}

/// A session's file with the line that seals it.
fn sealed(header: &Header, log: &[Stamped]) -> String {
    let mut chain = Chain::default();
    let mut text = write_header(header, &mut chain).unwrap();
    for stamped in log {
        text += &write_event(stamped, &mut chain).unwrap();
    }
    text.clone() + &write_seal(text.as_bytes(), &mut chain).unwrap()
}

/// The folder of sittings, each with the same hour; one in a hundred is damaged.
fn fill(dir: &Path, sittings: usize) -> Vec<PathBuf> {
    let mut paths = Vec::new();
    let (_, log) = made::otter(0);
    let mut names = (0..PUPILS)
        .map(|number| format!("pupil{number:02}"))
        .cycle();
    for index in 0..sittings {
        let name = names.next().unwrap();
        let day = i64::try_from(index / PUPILS).unwrap();
        let header = made::header(&made::paper("saltmarsh-a"), &name, day);
        let mut text = sealed(&header, &log);
        if index.is_multiple_of(100) {
            text = text.replacen("Answered(5", "Answered(6", 1);
        }
        let when = header.started.format("%Y-%m-%d-%H%M");
        let path = dir
            .join(&name)
            .join(format!("{when}-saltmarsh-a.session.ron"));
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(&path, text).unwrap();
        paths.push(path);
    }
    paths
}

fn draw(review: &Review, size: Size) -> Buffer {
    let mut buffer = Buffer::empty(Rect::new(0, 0, size.width, size.height));
    let theme = Theme::colour();
    Frame {
        page: review,
        theme,
    }
    .render(buffer.area, &mut buffer);
    buffer
}

/// How long an opening took: to the first list, for the longest key with its frame, and to the end.
#[derive(Clone, Copy)]
struct Opening {
    first: Duration,
    longest: Duration,
    all: Duration,
}

/// Opens the list and presses keys until everything is read.
fn open(dir: &Path, cache: Option<(&Path, i64)>) -> Opening {
    let size = Size::new(80, 24);
    let begun = now();
    let mut files = Reader::new(dir, &[made::sample("")], "bench").unwrap();
    if let Some((cache, now)) = cache {
        files = files.remembering(Summaries::kept_in(cache, dir, now));
    }
    files.begin(|| {});
    let mut review = Review::new("sessions");
    let mut first = None;
    let mut longest = Duration::ZERO;
    let mut keys = [
        Key::Down,
        Key::PageDown,
        Key::Right,
        Key::Char('3'),
        Key::Backspace,
    ]
    .into_iter()
    .cycle();
    while let Some(arrived) = files.wait() {
        let last = matches!(arrived, Arrived::AllRead);
        let one = now();
        take(&mut review, arrived);
        review.press(keys.next().unwrap(), size);
        let drawn = draw(&review, size);
        longest = longest.max(one.elapsed());
        let shows = drawn.content.iter().any(|cell| cell.symbol() == ">");
        if shows {
            first.get_or_insert_with(|| begun.elapsed());
        }
        if last {
            break;
        }
    }
    let opening = Opening {
        first: first.unwrap(),
        longest,
        all: begun.elapsed(),
    };
    // What is kept is written behind the list.
    files.finish();
    opening
}

fn main() {
    let mut words = std::env::args().skip(1).filter(|word| word != "--bench");
    let sittings = words
        .next()
        .map_or(SITTINGS, |count| count.parse().unwrap());
    let dir = tempfile::tempdir().unwrap();
    let paths = fill(dir.path(), sittings);
    let read = || -> Vec<String> {
        let read = paths.iter().map(|path| fs::read_to_string(path).unwrap());
        read.collect()
    };
    let texts = read();
    let (mut bytes, mut bare) = (Duration::MAX, Duration::MAX);
    let (mut without, mut first, mut second) = (Vec::new(), Vec::new(), Vec::new());
    let mut by_bytes = Vec::new();
    for _ in 0..ROUNDS {
        let begun = now();
        black_box(read());
        bytes = bytes.min(begun.elapsed());
        let begun = now();
        assert!(parse(&texts) > sittings);
        bare = bare.min(begun.elapsed());
        without.push(open(dir.path(), None));
        let cache = tempfile::tempdir().unwrap();
        // Sittings are older than the files of a bench.
        let (soon, later) = (now_in_seconds(), now_in_seconds() + 86_400);
        first.push(open(dir.path(), Some((cache.path(), later))));
        second.push(open(dir.path(), Some((cache.path(), later))));
        by_bytes.push(open(dir.path(), Some((cache.path(), soon))));
    }
    let best = |openings: &[Opening]| {
        let all = openings.iter().map(|one| one.all);
        all.min().unwrap()
    };
    let every = || without.iter().chain(&first).chain(&second).chain(&by_bytes);
    let list = every().map(|one| one.first).max().unwrap();
    let longest = every().map(|one| one.longest).max().unwrap();
    let size: usize = texts.iter().map(String::len).sum();
    say(&format!("{sittings} sittings, {} MB", size / 1_000_000));
    say(&format!(
        "list on the screen     {list:>10.1?}  (bound {LIST_BOUND:?}) {}",
        verdict(list <= LIST_BOUND)
    ));
    say(&format!(
        "longest key and frame  {longest:>10.1?}  (bound {KEY_BOUND:?}) {}",
        verdict(longest <= KEY_BOUND)
    ));
    let (without, first, second) = (best(&without), best(&first), best(&second));
    let by_bytes = best(&by_bytes);
    say(&format!("the same bytes read    {bytes:>10.1?}"));
    say(&format!("their lines parsed     {bare:>10.1?}"));
    say(&format!("all read, no cache     {without:>10.1?}"));
    let ratio = |of: Duration, to: Duration| of.as_secs_f64() / to.as_secs_f64();
    say(&format!(
        "first opening          {first:>10.1?}  {:.2} times parsing (bound {FIRST_BOUND}) {}",
        ratio(first, bare),
        verdict(ratio(first, bare) <= FIRST_BOUND)
    ));
    say(&format!(
        "second opening         {second:>10.1?}  {:.2} of the first (bound {SECOND_BOUND}) {}",
        ratio(second, first),
        verdict(ratio(second, first) <= SECOND_BOUND)
    ));
    say(&format!(
        "files of this hour     {by_bytes:>10.1?}  {:.2} of the first",
        ratio(by_bytes, first)
    ));
}
