//! Sittings of invented pupils on the sample papers, written out as session files.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::OnceLock;

use chrono::{DateTime, TimeDelta};
use pacebell::domain::event::{Ending, Event, How, Stamped};
use pacebell::domain::header::Header;
use pacebell::domain::key::Key;
use pacebell::domain::labels::Label;
use pacebell::domain::paper::Paper;
use pacebell::domain::rule::QuestionNo;
use pacebell::domain::time::Elapsed;
use pacebell::storage::files;
use pacebell::storage::journal::path_for;

use crate::{sat, written};

/// A file among the sample papers.
pub(crate) fn sample(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("sample-papers")
        .join(name)
}

/// The sample papers with their keys, each read once.
fn shelf() -> &'static BTreeMap<String, (Paper, Key)> {
    static SHELF: OnceLock<BTreeMap<String, (Paper, Key)>> = OnceLock::new();
    SHELF.get_or_init(|| {
        let read = |name: &str| {
            let paper = files::paper::load(&sample(&format!("{name}.paper.ron"))).unwrap();
            let key = files::key::load(&sample(&format!("{name}.key.ron"))).unwrap();
            (name.to_owned(), (paper, key))
        };
        ["saltmarsh-a", "saltmarsh-b"].map(read).into()
    })
}

pub(crate) fn paper(name: &str) -> Paper {
    shelf()[name].0.clone()
}

pub(crate) fn key(name: &str) -> Key {
    shelf()[name].1.clone()
}

/// One stay: the question, its seconds, and the answer given at the stay's end; `-` leaves it blank,
/// a small letter is a guess.
pub(crate) type Stay = (u16, u64, char);

/// An hour with a bit of everything: a sink on 11, a change on 18, skips, a second pass, a sweep.
pub(crate) const OTTER: [Stay; 33] = [
    (1, 70, 'C'),
    (2, 95, 'D'),
    (3, 80, 'B'),
    (4, 130, 'E'),
    (5, 60, 'A'),
    (6, 75, 'B'),
    (7, 90, 'D'),
    (8, 100, 'E'),
    (9, 110, 'D'),
    (10, 85, 'A'),
    (11, 312, 'D'),
    (12, 120, 'B'),
    (13, 150, 'D'),
    (14, 40, '-'),
    (15, 100, 'A'),
    (16, 140, 'E'),
    (17, 260, 'D'),
    (18, 160, 'E'),
    (19, 30, '-'),
    (20, 200, 'A'),
    (21, 60, '-'),
    (22, 90, '-'),
    (23, 240, 'B'),
    (24, 20, '-'),
    (25, 15, '-'),
    (14, 220, 'C'),
    (18, 45, 'A'),
    (21, 170, 'A'),
    (11, 45, '-'),
    (22, 9, 'a'),
    (24, 6, 'c'),
    (25, 5, 'd'),
    (19, 60, '-'),
];

/// A header for this pupil on this paper, so many days after the first of October.
pub(crate) fn header(paper: &Paper, pupil: &str, day: i64) -> Header {
    let first = DateTime::parse_from_rfc3339("2026-10-01T16:30:00+01:00").unwrap();
    Header {
        sitting: format!("{pupil}-{day}"),
        started: first + TimeDelta::days(day),
        ..sat::header(pupil, paper)
    }
}

/// The log of these stays from the first moment on, to its end where time is up within them.
pub(crate) fn log(header: &Header, stays: &[Stay]) -> Vec<Stamped> {
    let allowed = header.allowed.as_millis();
    let mut events = Vec::new();
    let mut at = 0;
    for (number, seconds, answer) in stays {
        let question = QuestionNo(*number);
        events.push((at, Event::Opened(question)));
        at += seconds * 1000;
        if at > allowed {
            break;
        }
        if let Some(label) = Label::new(*answer) {
            events.push((at - 700, Event::Answered(question, label)));
        } else {
            events.push((at - 700, Event::Skipped(question)));
        }
        if answer.is_ascii_lowercase() {
            events.push((at - 300, Event::Said(question, How::Guessed)));
        }
    }
    let event = if at > allowed {
        (
            allowed + 400,
            Event::TimeUp {
                due: header.allowed,
            },
        )
    } else {
        (at, Event::Closed(Ending::FinishedEarly))
    };
    events.push(event);
    stamped(header, events)
}

/// Events with both clocks.
pub(crate) fn stamped(header: &Header, events: Vec<(u64, Event)>) -> Vec<Stamped> {
    let stamp = |(at, event): (u64, Event)| Stamped {
        at: Elapsed(at),
        utc: header.started.to_utc() + TimeDelta::milliseconds(i64::try_from(at).unwrap()),
        event,
    };
    events.into_iter().map(stamp).collect()
}

/// Otter's hour: time is up on question 19, which is guessed afterwards.
pub(crate) fn otter(day: i64) -> (Header, Vec<Stamped>) {
    let header = header(&paper("saltmarsh-a"), "otter", day);
    let mut stays = OTTER.to_vec();
    stays.push((19, 1000, '-'));
    let mut log = log(&header, &stays);
    let label = Label::new('B').unwrap();
    log.extend(stamped(
        &header,
        vec![
            (3_610_000, Event::GuessRoundStarted),
            (3_616_000, Event::Answered(QuestionNo(19), label)),
            (3_620_000, Event::Closed(Ending::GuessRoundDone)),
        ],
    ));
    (header, log)
}

/// A whole sitting of somebody else: the same way through the paper, quicker or slower, and another
/// answer on every so-manieth question.
pub(crate) fn other(pupil: &str, day: i64, pace: u64, every: u16) -> (Header, Vec<Stamped>) {
    let paper = paper("saltmarsh-a");
    let header = header(&paper, pupil, day);
    let right = key("saltmarsh-a").answers;
    let stay = |number: u16| {
        let own = right[usize::from(number) - 1].as_char();
        let answer = if number.is_multiple_of(every) {
            'A'
        } else {
            own
        };
        (number, pace + u64::from(number) * 2, answer)
    };
    let stays: Vec<_> = (1..=25).map(stay).collect();
    let log = log(&header, &stays);
    (header, log)
}

/// Writes a session where it belongs below `dir`.
pub(crate) fn write(dir: &Path, header: &Header, log: &[Stamped]) -> PathBuf {
    let path = path_for(dir, header);
    fs::create_dir_all(path.parent().unwrap()).unwrap();
    fs::write(&path, written::file(header, log)).unwrap();
    path
}

/// A small season: a group of seven on one paper, an earlier sitting of another, one still open.
pub(crate) fn season() -> Vec<(Header, Vec<Stamped>)> {
    let early = header(&paper("saltmarsh-b"), "otter", 12);
    let early_log = log(&early, &OTTER[..20]);
    let open = header(&paper("saltmarsh-b"), "heron", 50);
    let mut begun = log(&open, &OTTER[..6]);
    begun.pop();
    vec![
        otter(40),
        other("heron", 41, 70, 6),
        other("avocet", 41, 95, 4),
        other("plover", 42, 85, 5),
        other("curlew", 42, 60, 3),
        other("dunlin", 43, 100, 7),
        other("teal", 43, 90, 8),
        (early, early_log),
        (open, begun),
    ]
}
