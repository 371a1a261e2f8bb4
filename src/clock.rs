//! The only reader of the time.
//!
//! A sitting is measured on the clock that counts sleep and that nobody can set; wall time stands
//! beside it. [`Watch`] turns readings into moments of a sitting and says what it noticed between
//! two of them. Everybody else takes a [`Clock`] and never asks the system.

mod fake;
mod watch;

use chrono::{DateTime, FixedOffset, SubsecRound, Utc};

pub use fake::FakeClock;
pub use watch::{Alive, Watch};

/// All clocks at one moment.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Reading {
    /// Milliseconds on the clock that counts sleep and that nobody can set.
    pub boot_ms: i64,
    /// Milliseconds on the clock that stands while the machine sleeps.
    pub mono_ms: i64,
    /// Wall time, in whole milliseconds.
    pub utc: DateTime<Utc>,
}

/// Where the time comes from.
pub trait Clock: Send + Sync {
    /// Reads all clocks.
    fn read(&self) -> Reading;
    /// Names this start of the machine; empty where the system gives it no name, and then a reading
    /// means nothing to another run of the program.
    fn boot_id(&self) -> String;
    /// Gives wall time with the zone it is read in.
    fn local(&self) -> DateTime<FixedOffset>;
}

/// The machine's own clocks.
///
/// On Linux the first clock is `CLOCK_BOOTTIME` and the second `CLOCK_MONOTONIC`. On other Unix
/// systems the first is `CLOCK_MONOTONIC`, which counts sleep on macOS, and the second std's
/// `Instant`. Elsewhere both are `Instant`, which counts sleep on Windows: a sleep is then counted
/// but not noticed. Only Linux names its boots; elsewhere a restart of the program measures the
/// absence on the wall clock.
#[derive(Clone, Copy, Debug, Default)]
pub struct SystemClock;

impl Clock for SystemClock {
    #[expect(
        clippy::disallowed_methods,
        reason = "this is the one place that asks for the time"
    )]
    fn read(&self) -> Reading {
        let (boot_ms, mono_ms) = system::clocks();
        Reading {
            boot_ms,
            mono_ms,
            utc: Utc::now().trunc_subsecs(3),
        }
    }

    fn boot_id(&self) -> String {
        system::boot_id()
    }

    #[expect(
        clippy::disallowed_methods,
        reason = "this is the one place that asks for the time"
    )]
    fn local(&self) -> DateTime<FixedOffset> {
        chrono::Local::now().fixed_offset().trunc_subsecs(3)
    }
}

#[cfg(unix)]
fn clock_millis(id: rustix::time::ClockId) -> i64 {
    let now = rustix::time::clock_gettime(id);
    now.tv_sec
        .saturating_mul(1000)
        .saturating_add(now.tv_nsec / 1_000_000)
}

#[cfg(not(target_os = "linux"))]
#[expect(
    clippy::disallowed_methods,
    reason = "this is the one place that asks for the time"
)]
fn instant_millis() -> i64 {
    use std::sync::OnceLock;
    use std::time::Instant;
    static FIRST: OnceLock<Instant> = OnceLock::new();
    let first = *FIRST.get_or_init(Instant::now);
    i64::try_from(first.elapsed().as_millis()).unwrap_or(i64::MAX)
}

#[cfg(target_os = "linux")]
mod system {
    use std::fs;

    use rustix::time::ClockId;

    use super::clock_millis;

    pub(super) fn clocks() -> (i64, i64) {
        (
            clock_millis(ClockId::Boottime),
            clock_millis(ClockId::Monotonic),
        )
    }

    /// The kernel's id, and beside it how far this time namespace's clock is off where it is: the
    /// id is the same inside a container, the clock need not be (`time_namespaces(7)`).
    pub(super) fn boot_id() -> String {
        let id = fs::read_to_string("/proc/sys/kernel/random/boot_id").unwrap_or_default();
        let offsets = fs::read_to_string("/proc/self/timens_offsets").unwrap_or_default();
        with_offset(id.trim(), &offsets)
    }

    pub(super) fn with_offset(id: &str, offsets: &str) -> String {
        let mut boottime = offsets
            .lines()
            .filter_map(|line| line.strip_prefix("boottime"))
            .flat_map(str::split_whitespace);
        match (boottime.next(), boottime.next()) {
            (Some(seconds), Some(nanos)) if (seconds, nanos) != ("0", "0") && !id.is_empty() => {
                format!("{id}+{seconds}.{nanos}")
            }
            _ => id.to_owned(),
        }
    }
}

#[cfg(all(unix, not(target_os = "linux")))]
mod system {
    pub(super) fn clocks() -> (i64, i64) {
        (
            super::clock_millis(rustix::time::ClockId::Monotonic),
            super::instant_millis(),
        )
    }

    pub(super) fn boot_id() -> String {
        String::new()
    }
}

#[cfg(not(unix))]
mod system {
    pub(super) fn clocks() -> (i64, i64) {
        let now = super::instant_millis();
        (now, now)
    }

    pub(super) fn boot_id() -> String {
        String::new()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_machines_clocks_go_forwards() {
        let clock = SystemClock;
        let first = clock.read();
        std::thread::sleep(std::time::Duration::from_millis(30));
        let second = clock.read();
        assert!(second.boot_ms - first.boot_ms >= 29);
        assert!(second.mono_ms - first.mono_ms >= 29);
        assert_eq!(first.utc.timestamp_subsec_nanos() % 1_000_000, 0);
        let apart = clock.local().to_utc() - second.utc;
        assert!(apart.num_seconds().abs() < 5, "{apart}");
    }

    #[cfg(target_os = "linux")]
    #[test]
    fn a_boot_has_a_name_and_a_shifted_container_another() {
        assert_eq!(SystemClock.boot_id(), SystemClock.boot_id());
        assert!(SystemClock.boot_id().len() >= 36); // a UUID, random(4)
        let plain = "monotonic           0         0\nboottime            0         0\n";
        let shifted = "monotonic           0         0\nboottime        50000         0\n";
        assert_eq!(system::with_offset("id", plain), "id");
        assert_eq!(system::with_offset("id", ""), "id");
        assert_eq!(system::with_offset("id", shifted), "id+50000.0");
        assert_eq!(system::with_offset("", shifted), "");
    }
}
