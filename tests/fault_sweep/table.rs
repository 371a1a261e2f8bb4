//! What a sweep has done, as lines of a table.

use std::collections::BTreeMap;
use std::time::Duration;

use crate::campaign::say;
use crate::disk::{Mode, Operation};

/// What a sweep has done.
#[derive(Debug, Default)]
pub(crate) struct Table {
    /// Operations that were refused first in a run, with the kind of file, by mode.
    pub(crate) refused: BTreeMap<(Operation, String, Mode), u64>,
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

    /// Adds what another has done.
    pub(crate) fn add(&mut self, other: Self) {
        for (refused, count) in other.refused {
            *self.refused.entry(refused).or_default() += count;
        }
        self.runs += other.runs;
        self.cuts += other.cuts;
        self.failures.extend(other.failures);
    }

    /// Fails where one of these operations on a kind of file was never refused: nobody would know what becomes of it.
    pub(crate) fn has_reached(&self, wanted: &[(Operation, &str)]) {
        for (operation, kind) in wanted {
            let mut refused = self.refused.keys();
            let reached = refused.any(|(own, on, _)| own == operation && on == kind);
            assert!(reached, "{operation:?} on {kind:?} was never refused");
        }
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
        for ((operation, kind, mode), count) in &self.refused {
            say(&format!("  {operation:?} {kind} {mode:?}: {count}"));
        }
        assert!(self.failures.is_empty(), "{:#?}", self.failures);
    }
}
