//! What is settled before a sitting that is made up for a test.

use std::collections::BTreeMap;

use chrono::DateTime;
use pacebell::domain::header::{Alias, Arrangements, Boot, Header, Mode, SESSION_FORMAT};
use pacebell::domain::paper::Paper;

/// A pupil sits the whole of a paper in its own time, with nothing arranged.
pub(crate) fn header(pupil: &str, paper: &Paper) -> Header {
    Header {
        format: SESSION_FORMAT,
        sitting: format!("sitting-of-{pupil}"),
        pupil: Alias::new(pupil).unwrap(),
        mode: Mode::Timed,
        replaces: None,
        paper: paper.outline.clone(),
        question_fingerprints: BTreeMap::new(),
        standard: paper.allowed,
        allowed: paper.allowed,
        arrangements: Arrangements::usual(paper.allowed),
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
