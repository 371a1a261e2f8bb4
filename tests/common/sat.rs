//! A sitting made up for a test: what is settled before it, and its file.

use std::collections::BTreeMap;

use chrono::DateTime;
use pacebell::domain::event::Stamped;
use pacebell::domain::header::{Alias, Arrangements, Boot, Header, Mode, SESSION_FORMAT};
use pacebell::domain::paper::Outline;
use pacebell::domain::time::Elapsed;
use pacebell::storage::journal::line::{Chain, write_event, write_header};

/// A pupil sits the whole of a paper in its own time, with nothing arranged.
pub(crate) fn header(pupil: &str, paper: &Outline, allowed: Elapsed) -> Header {
    Header {
        format: SESSION_FORMAT,
        sitting: format!("sitting-of-{pupil}"),
        pupil: Alias::new(pupil).unwrap(),
        mode: Mode::Timed,
        replaces: None,
        paper: paper.clone(),
        question_fingerprints: BTreeMap::new(),
        standard: allowed,
        allowed,
        arrangements: Arrangements::usual(allowed),
        plan: None,
        program: "test".into(),
        invented: false,
        started: DateTime::parse_from_rfc3339("2026-11-25T09:00:00+00:00").unwrap(),
        boot: Boot {
            id: "boot".into(),
            zero: 0,
        },
    }
}

/// The text of a session file, without the line that seals it.
pub(crate) fn file(header: &Header, log: &[Stamped]) -> String {
    let mut chain = Chain::default();
    let mut text = write_header(header, &mut chain).unwrap();
    for stamped in log {
        text += &write_event(stamped, &mut chain).unwrap();
    }
    text
}
