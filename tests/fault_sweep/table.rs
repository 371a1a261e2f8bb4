//! What a sweep has done, as lines of a table.

use std::collections::BTreeMap;
use std::io::Write as _;
use std::time::Duration;

use crate::disk::{Mode, Operation};

/// Tells whoever runs the tests.
pub(crate) fn say(line: &str) {
    let _nobody_may_be_listening = writeln!(std::io::stderr(), "{line}");
}

/// What a sweep has done.
#[derive(Debug, Default)]
pub(crate) struct Table {
    /// Operations that were refused first in a run, by mode.
    pub(crate) refused: BTreeMap<(Operation, Mode), u64>,
    pub(crate) runs: u64,
    /// Power cuts that were looked into.
    pub(crate) cuts: u64,
    pub(crate) failures: Vec<String>,
}

impl Table {
    pub(crate) fn failed(&mut self, what: String) {
        say(&what);
        self.failures.push(what);
    }

    /// Says it, and fails where anything did.
    pub(crate) fn end(&self, name: &str, took: Duration) {
        say(&format!(
            "{name}: {} runs, {} power cuts, {} failures, {:.1} s",
            self.runs,
            self.cuts,
            self.failures.len(),
            took.as_secs_f64()
        ));
        for ((operation, mode), count) in &self.refused {
            say(&format!("  {operation:?} {mode:?}: {count}"));
        }
        assert!(self.failures.is_empty(), "{:#?}", self.failures);
    }
}
