//! What a test of many runs tells whoever runs it.

use std::io::Write as _;
use std::time::Duration;

use pacebell::clock::{Clock as _, SystemClock};

/// Tells whoever runs the tests.
pub(crate) fn say(line: &str) {
    let _nobody_may_be_listening = writeln!(std::io::stderr(), "{line}");
}

/// How long it has been since a reading of the clock, in milliseconds.
pub(crate) fn since(start: i64) -> Duration {
    let now = SystemClock.read().mono_ms;
    Duration::from_millis(u64::try_from(now - start).unwrap_or_default())
}
