//! The only reader of the time.
//!
//! A sitting is measured on the clock that counts sleep and that nobody can set; wall time stands
//! beside it. [`Watch`] turns readings into moments of a sitting and says what it noticed between
//! two of them. Everybody else takes a [`Clock`] and never asks the system.

mod fake;
mod watch;
mod zone;

use chrono::{DateTime, FixedOffset, SubsecRound, Utc};

pub use fake::FakeClock;
pub use watch::{Alive, Watch};
pub use zone::is_refused as zone_is_refused;

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
/// `Instant`, which does not. On Windows both are `GetTickCount64`, which counts sleep in steps of
/// 10 to 16 ms: no safe interface to `QueryUnbiasedInterruptTime` is known, so a sleep is counted
/// there, but told as a program held up ([`SLEEP_IS_TOLD`](crate::domain::header::SLEEP_IS_TOLD)).
/// Linux names its boots (`random(4)`), macOS its boot sessions (`kern.bootsessionuuid`), and
/// Windows numbers them in its registry. Where there is no name, a restart of the program measures
/// the absence on the wall clock.
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
        let now = if zone::is_refused() {
            Utc::now().fixed_offset()
        } else {
            chrono::Local::now().fixed_offset()
        };
        now.trunc_subsecs(3)
    }
}

#[cfg(unix)]
fn clock_millis(id: rustix::time::ClockId) -> i64 {
    let now = rustix::time::clock_gettime(id);
    now.tv_sec
        .saturating_mul(1000)
        .saturating_add(now.tv_nsec / 1_000_000)
}

#[cfg(not(any(target_os = "linux", windows)))]
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

    /// The name that macOS gives each start of the machine, by the program that reads such names out.
    #[cfg(target_os = "macos")]
    pub(super) fn boot_id() -> String {
        let asked = std::process::Command::new("/usr/sbin/sysctl")
            .args(["-n", "kern.bootsessionuuid"])
            .stdin(std::process::Stdio::null())
            .output();
        let told = asked.ok().filter(|told| told.status.success());
        super::one_word(&told.map(|told| told.stdout).unwrap_or_default())
    }

    #[cfg(not(target_os = "macos"))]
    pub(super) const fn boot_id() -> String {
        String::new()
    }
}

#[cfg(windows)]
mod system {
    /// Where Windows counts its starts; a value known from use, not from documentation.
    const BOOTS: &str =
        r"SYSTEM\CurrentControlSet\Control\Session Manager\Memory Management\PrefetchParameters";

    pub(super) fn clocks() -> (i64, i64) {
        let ticks = system_uptime::get_os_uptime().unwrap_or_default();
        let now = i64::try_from(ticks).unwrap_or(i64::MAX);
        (now, now)
    }

    pub(super) fn boot_id() -> String {
        let count = windows_registry::LOCAL_MACHINE
            .open(BOOTS)
            .and_then(|key| key.get_u32("BootId"));
        count
            .map(|count| format!("boot-{count}"))
            .unwrap_or_default()
    }
}

#[cfg(not(any(unix, windows)))]
mod system {
    pub(super) fn clocks() -> (i64, i64) {
        let now = super::instant_millis();
        (now, now)
    }

    pub(super) const fn boot_id() -> String {
        String::new()
    }
}

/// A name that another program gave: one word, which a line of a heartbeat has room for, or none.
#[cfg(any(target_os = "macos", test))]
fn one_word(told: &[u8]) -> String {
    let told = str::from_utf8(told).unwrap_or_default().trim();
    let is_word = told.len() <= 60 && told.chars().all(|c| c.is_ascii_graphic());
    if is_word {
        told.to_owned()
    } else {
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

    #[test]
    fn a_name_that_is_no_word_is_none() {
        assert_eq!(
            one_word(b"7C0E4A3B-5E0D-4C5D-9A51-000000000000\n").len(),
            36
        );
        for none in [&b""[..], b"\n", b"two words\n", b"a\nb\n", b"\xff\n"] {
            assert_eq!(one_word(none), "");
        }
        assert_eq!(one_word("x".repeat(61).as_bytes()), "");
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
