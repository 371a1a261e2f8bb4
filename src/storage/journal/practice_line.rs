//! A line of a session of practice.

use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};

use super::chained::{ChainedLine, sealed};
use super::line::Chain;
use crate::domain::practice::{PRACTICE_FORMAT, PracticeEvent, PracticeStart};
use crate::domain::time::Elapsed;

/// What a line holds.
#[derive(Debug, Serialize, Deserialize)]
pub(super) enum PracticeRecord {
    Start(PracticeStart),
    Event {
        at: Elapsed,
        utc: DateTime<Utc>,
        event: PracticeEvent,
    },
}

#[derive(Serialize, Deserialize)]
pub(super) struct PracticeLine {
    format: u32,
    n: u64,
    record: PracticeRecord,
}

impl ChainedLine for PracticeLine {
    type Record = PracticeRecord;
    const FORMAT: u32 = PRACTICE_FORMAT;

    fn new(n: u64, record: PracticeRecord) -> Self {
        let format = PRACTICE_FORMAT;
        Self { format, n, record }
    }

    fn parts(self) -> (u64, PracticeRecord) {
        (self.n, self.record)
    }
}

/// A record as the next line, with its line feed; the chain moves past it.
pub(super) fn line(record: PracticeRecord, chain: &mut Chain) -> Result<String, ron::Error> {
    sealed::<PracticeLine>(chain, record)
}
