//! An hour's keys leave the program as small as it was, beside what was typed.

use std::time::Duration;

use crate::common::process::memory;
use crate::common::{Room, begin};

/// The keys of an hour, generously: moves, answers, second thoughts.
const KEYS: usize = 4_000;
/// Between two of them, so that none waits for its page.
const HURRY: Duration = Duration::from_millis(3);
/// What a key may leave behind in kB: its event's line, kept until the disk has gone, is some 90 bytes long, and a
/// list that grows has room for as much again.
const PER_KEY: f64 = 0.4;

#[test]
#[ignore = "it takes half a minute"]
fn an_hours_keys_leave_no_more_in_memory_than_what_was_typed() {
    let room = Room::new();
    let mut seat = begin(room.sit("60"));
    let keys = ["a", "\r", "b", "\r", "\r", "?", "c", "\x1b[A", "d", " "];
    let keys: Vec<_> = keys.iter().cycle().take(KEYS).collect();
    let mut quarters = Vec::new();
    for quarter in keys.chunks(KEYS / 4) {
        for key in quarter {
            std::thread::sleep(HURRY);
            seat.press(key);
        }
        seat.sees_saved();
        quarters.push(memory(seat.pid(), "VmRSS:"));
    }
    for two in quarters.windows(2) {
        #[expect(clippy::cast_precision_loss, reason = "some thousands")]
        let grown = two[1].saturating_sub(two[0]) as f64 / (KEYS / 4) as f64;
        assert!(grown < PER_KEY, "{quarters:?} kB after each quarter");
    }
}
