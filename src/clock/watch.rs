//! Readings become moments of one sitting.

use chrono::{DateTime, Utc};

use super::{Clock, Reading};
use crate::domain::event::AwayClock;
use crate::domain::header::Boot;
use crate::domain::sitting::Notice;
use crate::domain::time::Elapsed;

/// A longer gap between the clock that counts sleep and the one that does not is a sleep.
const SLEEP_MS: i64 = 500;
/// Wall time that moves further than this against the exam clock has been changed.
const CHANGE_MS: i64 = 2000;
/// Somebody looks at least this often.
const LOOK_MS: i64 = 1000;
/// A look that comes later than this beyond the usual wait means that the program was held up.
const STALL_MS: i64 = 1500;

/// When a sitting was last known to be going on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Alive {
    /// The moment in the sitting.
    pub elapsed: Elapsed,
    /// Wall time at that moment.
    pub utc: DateTime<Utc>,
    /// The boot it was going on in, and where its clock stood at the sitting's start.
    pub boot: Boot,
    /// Whether it is known that it went on no longer: the program was left, or told it all along.
    pub is_last: bool,
}

/// The watch of one sitting: its moments never go backwards.
///
/// Whoever holds it looks at least once a second, so that a longer gap means something.
#[derive(Clone, Debug)]
pub struct Watch {
    boot: Boot,
    latest: Elapsed,
    boot_ms: i64,
    mono_ms: i64,
    /// Wall time less the exam clock, as last taken for right. It is not moved at each look, so
    /// that a clock changed in small steps is noticed too.
    offset: i64,
}

impl Watch {
    /// Starts a sitting now; the boot goes into its header.
    pub fn start(clock: &dyn Clock) -> (Self, Boot) {
        let now = clock.read();
        let boot = Boot {
            id: clock.boot_id(),
            zero: now.boot_ms,
        };
        (Self::at(&now, boot.clone(), Elapsed::ZERO), boot)
    }

    /// Takes a sitting up again now, and gives the notice of it.
    ///
    /// In the boot it was left in, the absence is exact, whatever was done to wall time since (the
    /// next look tells of that). In another boot, or where boots have no names, it is measured on
    /// the wall clock; where that has gone backwards the absence is not known and taken as nothing. Where nobody
    /// knows when it began, its length is not known either, and at most the time since then.
    pub fn resume(last: &Alive, clock: &dyn Clock) -> (Self, Notice) {
        let now = clock.read();
        let id = clock.boot_id();
        let exact = millis_since(last.boot.zero, now.boot_ms)
            .filter(|at| !id.is_empty() && id == last.boot.id && *at >= last.elapsed);
        let wall = u64::try_from((now.utc - last.utc).num_milliseconds()).ok();
        let (at, away) = match (exact, wall) {
            (Some(at), _) => (at, AwayClock::Exact),
            (None, Some(gap)) => (last.elapsed + Elapsed(gap), AwayClock::Wall),
            (None, None) => (last.elapsed, AwayClock::Unknown),
        };
        let zero = now.boot_ms.saturating_sub(as_i64(at));
        let mut watch = Self::at(&now, Boot { id, zero }, at);
        if away == AwayClock::Exact {
            let then = zero.saturating_add(as_i64(last.elapsed));
            watch.offset = last.utc.timestamp_millis().saturating_sub(then);
        }
        let notice = Notice::Resume {
            since: last.elapsed,
            clock: if last.is_last {
                away
            } else {
                AwayClock::Unknown
            },
            boot: watch.boot.clone(),
        };
        (watch, notice)
    }

    fn at(now: &Reading, boot: Boot, latest: Elapsed) -> Self {
        Self {
            boot,
            latest,
            boot_ms: now.boot_ms,
            mono_ms: now.mono_ms,
            offset: offset(now),
        }
    }

    /// The boot, and where its clock stood at the sitting's start.
    pub const fn boot(&self) -> &Boot {
        &self.boot
    }

    /// The moment of the last look.
    pub const fn latest(&self) -> Elapsed {
        self.latest
    }

    /// The moment of this reading, and what happened to the clocks since the last look.
    pub fn look(&mut self, now: &Reading) -> (Elapsed, Vec<Notice>) {
        let mut notices = Vec::new();
        let on_mono = now.mono_ms.saturating_sub(self.mono_ms);
        let slept = now
            .boot_ms
            .saturating_sub(self.boot_ms)
            .saturating_sub(on_mono);
        if slept > SLEEP_MS {
            notices.push(Notice::Slept(Elapsed(slept.unsigned_abs())));
        }
        let held_up = on_mono.saturating_sub(LOOK_MS);
        if held_up > STALL_MS {
            notices.push(Notice::Stalled(Elapsed(held_up.unsigned_abs())));
        }
        let moved = offset(now).saturating_sub(self.offset);
        if moved.saturating_abs() > CHANGE_MS {
            notices.push(Notice::ClockChanged(moved));
            self.offset = offset(now);
        }
        self.boot_ms = now.boot_ms;
        self.mono_ms = now.mono_ms;
        let at = millis_since(self.boot.zero, now.boot_ms).unwrap_or_default();
        self.latest = self.latest.max(at);
        (self.latest, notices)
    }
}

fn offset(now: &Reading) -> i64 {
    now.utc.timestamp_millis().saturating_sub(now.boot_ms)
}

fn millis_since(zero: i64, now: i64) -> Option<Elapsed> {
    u64::try_from(now.saturating_sub(zero)).ok().map(Elapsed)
}

fn as_i64(span: Elapsed) -> i64 {
    i64::try_from(span.as_millis()).unwrap_or(i64::MAX)
}

#[cfg(test)]
mod tests {
    use chrono::TimeDelta;
    use proptest::prelude::*;

    use super::*;
    use crate::clock::FakeClock;

    const SECOND: Elapsed = Elapsed::seconds(1);

    fn clock() -> FakeClock {
        FakeClock::new(DateTime::parse_from_rfc3339("2026-11-25T09:12:00+01:00").unwrap())
    }

    fn wall_moved(clock: &FakeClock, seconds: i64) {
        clock.set_wall(clock.read().utc + TimeDelta::seconds(seconds));
    }

    fn alive(watch: &Watch, clock: &FakeClock) -> Alive {
        Alive {
            elapsed: watch.latest(),
            utc: clock.read().utc,
            boot: watch.boot().clone(),
            is_last: true,
        }
    }

    fn away_of(notice: &Notice) -> (Elapsed, AwayClock) {
        match notice {
            Notice::Resume { since, clock, .. } => (*since, *clock),
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn a_quiet_hour_is_an_hour_without_a_notice() {
        let clock = clock();
        let (mut watch, boot) = Watch::start(&clock);
        assert_eq!(boot.zero, clock.read().boot_ms);
        for second in 1..=3600 {
            clock.advance(SECOND);
            assert_eq!(
                watch.look(&clock.read()),
                (Elapsed::seconds(second), vec![])
            );
        }
    }

    #[test]
    fn a_closed_lid_is_told_and_counted() {
        let clock = clock();
        let (mut watch, _) = Watch::start(&clock);
        clock.advance(SECOND);
        clock.sleep(Elapsed::minutes(10));
        let (at, notices) = watch.look(&clock.read());
        assert_eq!(at, Elapsed::seconds(601));
        assert_eq!(notices, [Notice::Slept(Elapsed::minutes(10))]);
    }

    #[test]
    fn setting_the_clock_back_an_hour_is_told_and_gains_nothing() {
        let clock = clock();
        let (mut watch, _) = Watch::start(&clock);
        clock.advance(SECOND);
        wall_moved(&clock, -3600);
        let (at, notices) = watch.look(&clock.read());
        assert_eq!(at, SECOND);
        assert_eq!(notices, [Notice::ClockChanged(-3_600_000)]);
        clock.advance(SECOND);
        assert_eq!(watch.look(&clock.read()), (Elapsed::seconds(2), vec![]));
    }

    #[test]
    fn a_clock_changed_in_small_steps_is_told_once_they_add_up() {
        let clock = clock();
        let (mut watch, _) = Watch::start(&clock);
        let mut told = vec![];
        for _ in 0..3 {
            clock.advance(SECOND);
            wall_moved(&clock, 1);
            told.extend(watch.look(&clock.read()).1);
        }
        assert_eq!(told, [Notice::ClockChanged(3000)]);
    }

    #[test]
    fn a_stopped_program_is_told_by_what_went_beyond_the_usual_wait() {
        let clock = clock();
        let (mut watch, _) = Watch::start(&clock);
        clock.advance(Elapsed(2500));
        assert_eq!(watch.look(&clock.read()).1, []);
        clock.advance(Elapsed(2501));
        assert_eq!(
            watch.look(&clock.read()),
            (Elapsed(5001), vec![Notice::Stalled(Elapsed(1501))])
        );
    }

    #[test]
    fn within_a_boot_an_absence_is_exact_even_with_the_clock_set_back() {
        let clock = clock();
        let (mut watch, boot) = Watch::start(&clock);
        clock.advance(Elapsed::seconds(90));
        watch.look(&clock.read());
        let last = alive(&watch, &clock);
        clock.advance(Elapsed::minutes(4));
        wall_moved(&clock, -7200);
        let (mut again, notice) = Watch::resume(&last, &clock);
        assert_eq!(away_of(&notice), (Elapsed::seconds(90), AwayClock::Exact));
        assert_eq!(again.boot(), &boot);
        assert_eq!(
            again.look(&clock.read()),
            (
                Elapsed::seconds(330),
                vec![Notice::ClockChanged(-7_200_000)]
            )
        );
    }

    #[test]
    fn after_a_restart_of_the_machine_the_wall_clock_measures() {
        let clock = clock();
        let (mut watch, _) = Watch::start(&clock);
        clock.advance(Elapsed::seconds(90));
        watch.look(&clock.read());
        let last = alive(&watch, &clock);
        clock.reboot("boot-2", Elapsed::minutes(4));
        let (mut again, notice) = Watch::resume(&last, &clock);
        assert_eq!(away_of(&notice), (Elapsed::seconds(90), AwayClock::Wall));
        assert_eq!(again.boot().id, "boot-2");
        assert_eq!(again.boot().zero, 20_000 - 330_000);
        clock.advance(SECOND);
        assert_eq!(again.look(&clock.read()), (Elapsed::seconds(331), vec![]));
    }

    #[test]
    fn after_a_restart_with_a_clock_gone_backwards_the_absence_is_not_known() {
        let clock = clock();
        let (mut watch, _) = Watch::start(&clock);
        clock.advance(Elapsed::seconds(90));
        watch.look(&clock.read());
        let last = alive(&watch, &clock);
        clock.reboot("boot-2", Elapsed::minutes(4));
        wall_moved(&clock, -3600);
        let (again, notice) = Watch::resume(&last, &clock);
        assert_eq!(away_of(&notice), (Elapsed::seconds(90), AwayClock::Unknown));
        assert_eq!(again.latest(), Elapsed::seconds(90));
    }

    #[test]
    fn boots_without_a_name_are_never_the_same() {
        let clock = clock();
        clock.reboot("", Elapsed::ZERO);
        let (watch, _) = Watch::start(&clock);
        let last = alive(&watch, &clock);
        clock.advance(Elapsed::seconds(5));
        let (_, notice) = Watch::resume(&last, &clock);
        assert_eq!(away_of(&notice), (Elapsed::ZERO, AwayClock::Wall));
    }

    proptest! {
        /// Whatever happens to the clocks, a sitting's time is what the clock that nobody can set
        /// has gone, restarts included as far as wall time knows.
        #[test]
        fn moments_never_go_backwards(steps in prop::collection::vec((0_u8..5, 0_i64..10_000), 0..60)) {
            let clock = clock();
            let (mut watch, _) = Watch::start(&clock);
            let mut before = Elapsed::ZERO;
            for (what, size) in steps {
                let span = Elapsed(size.unsigned_abs());
                match what {
                    0 => clock.advance(span),
                    1 => clock.sleep(span),
                    2 => wall_moved(&clock, size - 5000),
                    3 => watch = Watch::resume(&alive(&watch, &clock), &clock).0,
                    _ => clock.reboot(&format!("b{size}"), span),
                }
                if what == 4 {
                    let last = Alive { elapsed: before, utc: clock.read().utc, boot: watch.boot().clone(), is_last: true };
                    watch = Watch::resume(&last, &clock).0;
                }
                let (at, _) = watch.look(&clock.read());
                prop_assert!(at >= before);
                if what < 2 {
                    prop_assert_eq!(at, before + span);
                }
                before = at;
            }
        }
    }
}
