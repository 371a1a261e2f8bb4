//! How soon the review's list shows 10,000 sittings, and how long reading them all takes against
//! reading the same bytes.
//!
//! `cargo bench --bench review_list`. Prints figures with the bound each should keep; the machine
//! decides whether it does, so nothing ends in an error.
#![cfg(test)]

#[path = "../review_pages/made.rs"]
#[expect(dead_code, reason = "the tests use all of it")]
mod made;
#[path = "../common/sat.rs"]
mod sat;
#[path = "../common/written.rs"]
mod written;

use std::fs;
use std::io::{Write as _, stdout};
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use pacebell::commands::review::Reader;
use pacebell::screens::kit::{Frame, Key};
use pacebell::screens::review::Review;
use pacebell::screens::run::{Arrived, take};
use pacebell::screens::theme::Theme;
use ratatui::buffer::Buffer;
use ratatui::layout::{Rect, Size};
use ratatui::widgets::Widget;

/// Sittings in the folder, and the pupils they are spread over.
const SITTINGS: usize = 10_000;
const PUPILS: usize = 40;
/// From the start to the first list on the screen.
const LIST_BOUND: Duration = Duration::from_secs(1);
/// A key's answer while the rest is read.
const KEY_BOUND: Duration = Duration::from_millis(100);

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

/// The folder of sittings, each with the same hour; one in a hundred is damaged.
fn fill(dir: &Path) -> Vec<PathBuf> {
    let mut paths = Vec::new();
    let (_, log) = made::otter(0);
    let mut names = (0..PUPILS)
        .map(|number| format!("pupil{number:02}"))
        .cycle();
    for index in 0..SITTINGS {
        let name = names.next().unwrap();
        let day = i64::try_from(index / PUPILS).unwrap();
        let header = made::header(&made::paper("saltmarsh-a"), &name, day);
        let mut text = written::file(&header, &log);
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

fn main() {
    let dir = tempfile::tempdir().unwrap();
    let paths = fill(dir.path());
    let begun = now();
    let bytes: usize = paths.iter().map(|path| fs::read(path).unwrap().len()).sum();
    let bytes_took = begun.elapsed();

    let size = Size::new(80, 24);
    let begun = now();
    let mut files = Reader::new(dir.path(), &[made::sample("")], "bench").unwrap();
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
    let all = begun.elapsed();
    let first = first.unwrap();
    say(&format!("{SITTINGS} sittings, {} MB", bytes / 1_000_000));
    say(&format!(
        "list on the screen     {first:>10.1?}  (bound {LIST_BOUND:?}) {}",
        verdict(first <= LIST_BOUND)
    ));
    say(&format!(
        "longest key and frame  {longest:>10.1?}  (bound {KEY_BOUND:?}) {}",
        verdict(longest <= KEY_BOUND)
    ));
    say(&format!("everything read        {all:>10.1?}"));
    say(&format!("the same bytes read    {bytes_took:>10.1?}"));
    say(&format!(
        "ratio                  {:>10.1}",
        all.as_secs_f64() / bytes_took.as_secs_f64()
    ));
}
