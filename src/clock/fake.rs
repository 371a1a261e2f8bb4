//! A clock that tests set by hand.

use std::sync::{Arc, Mutex, PoisonError};

use chrono::{DateTime, FixedOffset, TimeDelta, Utc};

use super::{Clock, Reading};
use crate::domain::time::Elapsed;

/// A clock that stands until it is told to go; its clones show the same time.
#[derive(Clone, Debug)]
pub struct FakeClock(Arc<Mutex<FakeTime>>);

#[derive(Clone, Debug)]
struct FakeTime {
    now: Reading,
    boot_id: String,
    zone: FixedOffset,
}

impl FakeClock {
    /// A machine that was started an hour and two minutes ago and has slept for two minutes of
    /// that; wall time is `local`.
    pub fn new(local: DateTime<FixedOffset>) -> Self {
        Self(Arc::new(Mutex::new(FakeTime {
            now: Reading {
                boot_ms: 3_720_000,
                mono_ms: 3_600_000,
                utc: local.to_utc(),
            },
            boot_id: "boot-1".to_owned(),
            zone: *local.offset(),
        })))
    }

    /// Lets time pass.
    pub fn advance(&self, span: Elapsed) {
        self.change(|state| {
            state.go(span);
            state.now.mono_ms += millis(span);
        });
    }

    /// Sends the machine to sleep: only the clocks that count sleep go on.
    pub fn sleep(&self, span: Elapsed) {
        self.change(|state| state.go(span));
    }

    /// Sets wall time; no other clock takes notice.
    pub fn set_wall(&self, utc: DateTime<Utc>) {
        self.change(|state| state.now.utc = utc);
    }

    /// Restarts the machine, which is off for `off`: a new boot, whose clocks have gone 20 seconds.
    pub fn reboot(&self, boot_id: &str, off: Elapsed) {
        self.change(|state| {
            state.go(off);
            boot_id.clone_into(&mut state.boot_id);
            state.now.boot_ms = 20_000;
            state.now.mono_ms = 20_000;
        });
    }

    fn change(&self, change: impl FnOnce(&mut FakeTime)) {
        change(&mut self.0.lock().unwrap_or_else(PoisonError::into_inner));
    }

    fn state(&self) -> FakeTime {
        self.0
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .clone()
    }
}

impl FakeTime {
    fn go(&mut self, span: Elapsed) {
        self.now.boot_ms += millis(span);
        self.now.utc += TimeDelta::milliseconds(millis(span));
    }
}

fn millis(span: Elapsed) -> i64 {
    i64::try_from(span.as_millis()).unwrap_or(i64::MAX)
}

impl Clock for FakeClock {
    fn read(&self) -> Reading {
        self.state().now
    }

    fn boot_id(&self) -> String {
        self.state().boot_id
    }

    fn local(&self) -> DateTime<FixedOffset> {
        let state = self.state();
        state.now.utc.with_timezone(&state.zone)
    }
}
