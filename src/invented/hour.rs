//! One sitting against a made-up clock: wishes go through the same core as a real pupil's, and what
//! happens to the program and the machine is noticed by the same watch.

use std::sync::Arc;

use chrono::{DateTime, FixedOffset, TimeDelta};

use crate::clock::{Alive, Clock, FakeClock, Watch};
use crate::domain::event::{Event, Stamped, Stop};
use crate::domain::header::{Boot, Header};
use crate::domain::sitting::{Command, Notice, Phase, Sitting};
use crate::domain::time::Elapsed;

/// How long nobody looks at the clock: short enough that the watch takes no notice.
pub(super) const LOOK: Elapsed = Elapsed::seconds(2);
/// How long the machine has been on.
const UPTIME: Elapsed = Elapsed::minutes(95);

/// What can go wrong around a sitting.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Incident {
    /// The lid was closed for so long.
    Slept(Elapsed),
    /// The program was held up for so long.
    HeldUp(Elapsed),
    /// Somebody set the clock by so many seconds.
    ClockSet(i64),
    /// The program was killed, and started again after so long.
    Killed(Elapsed),
    /// The power went, and the machine was on again after so long.
    PowerCut(Elapsed),
    /// The window was closed, and opened again after so long.
    WindowClosed(Elapsed),
    /// The window was closed, and the sitting never taken up again.
    LeftOpen,
    /// The pupil gave the sitting up.
    GivenUp,
}

/// Where and when the machine was started, so that a header can be made.
pub(super) struct Morning {
    clock: FakeClock,
    watch: Watch,
    boot: Boot,
}

impl Morning {
    /// A machine that shows `start`, in the boot of this name.
    pub(super) fn new(start: DateTime<FixedOffset>, boot: &str) -> Self {
        let uptime = TimeDelta::milliseconds(i64::try_from(UPTIME.as_millis()).unwrap_or(0));
        let clock = FakeClock::new(start - uptime);
        clock.reboot(boot, Elapsed::ZERO);
        clock.advance(UPTIME);
        let (watch, boot) = Watch::start(&clock);
        Self { clock, watch, boot }
    }

    /// The boot for the header.
    pub(super) fn boot(&self) -> Boot {
        self.boot.clone()
    }

    /// The sitting begins.
    pub(super) fn begin(self, header: Arc<Header>, incident: Option<(Elapsed, Incident)>) -> Hour {
        Hour {
            sitting: Sitting::new(header),
            clock: self.clock,
            watch: self.watch,
            events: Vec::new(),
            incident,
            gone: false,
            refused: 0,
        }
    }
}

/// A sitting that is on.
pub(super) struct Hour {
    sitting: Sitting,
    clock: FakeClock,
    watch: Watch,
    events: Vec<Stamped>,
    incident: Option<(Elapsed, Incident)>,
    gone: bool,
    refused: usize,
}

impl Hour {
    /// The sitting as it stands.
    pub(super) const fn sitting(&self) -> &Sitting {
        &self.sitting
    }

    /// How much of the time allowed is left.
    pub(super) fn left(&self) -> Elapsed {
        self.sitting.left(self.watch.latest())
    }

    /// Whether answers count and the pupil is there.
    pub(super) fn is_running(&self) -> bool {
        !self.gone && self.sitting.phase() == Phase::Running
    }

    /// Whether time is up and the sitting not over.
    pub(super) fn is_time_up(&self) -> bool {
        matches!(self.sitting.phase(), Phase::TimeUp | Phase::GuessRound)
    }

    /// Wishes that were refused. A pupil's page offers none of them, so there should be none here.
    pub(super) const fn refused(&self) -> usize {
        self.refused
    }

    /// What was recorded.
    pub(super) fn into_events(self) -> Vec<Stamped> {
        self.events
    }

    /// Lets time pass, until time is up at the latest where the clock runs.
    pub(super) fn pass(&mut self, span: Elapsed) {
        let ran = self.is_running();
        let mut left = span;
        while left > Elapsed::ZERO && !self.gone && !self.sitting.is_closed() {
            let ahead = self
                .sitting
                .deadline()
                .map(|due| due.since(self.watch.latest()));
            let step = left.min(LOOK).min(ahead.unwrap_or(LOOK).max(Elapsed(1)));
            self.clock.advance(step);
            left = left - step;
            self.look();
            if ran && !self.is_running() {
                return;
            }
            self.suffer();
        }
    }

    /// A wish, as the page would pass it on.
    pub(super) fn wish(&mut self, command: Command) {
        if self.gone {
            return;
        }
        match self.sitting.decide(command, self.watch.latest()) {
            Ok(Some(event)) => self.record(event),
            Ok(None) => {}
            Err(_) => self.refused += 1,
        }
    }

    /// Looks at the clock and records what happened to it, and time up.
    fn look(&mut self) {
        let (at, notices) = self.watch.look(&self.clock.read());
        for notice in notices {
            self.note(notice);
        }
        if let Ok(Some(event)) = self.sitting.decide(Command::Tick, at) {
            self.record(event);
        }
    }

    fn note(&mut self, notice: Notice) {
        if let Some(event) = self.sitting.note(notice) {
            self.record(event);
        }
    }

    fn record(&mut self, event: Event) {
        let at = self.watch.latest();
        self.sitting.apply(at, &event);
        let utc = self.clock.read().utc;
        self.events.push(Stamped { at, utc, event });
    }

    /// What goes wrong, once its moment has come.
    fn suffer(&mut self) {
        let now = self.watch.latest();
        let running = self.is_running();
        let Some((_, incident)) = self.incident.take_if(|(at, _)| running && now >= *at) else {
            return;
        };
        match incident {
            Incident::Slept(span) => self.clock.sleep(span),
            Incident::HeldUp(span) => self.clock.advance(span),
            Incident::ClockSet(seconds) => {
                let wall = self.clock.read().utc + TimeDelta::seconds(seconds);
                self.clock.set_wall(wall);
            }
            Incident::Killed(away) => self.be_away(away, None),
            Incident::PowerCut(away) => self.be_away(away, Some("invented-boot-after-a-power-cut")),
            Incident::WindowClosed(away) => {
                self.note(Notice::Interrupt(Stop::TerminalLost));
                self.be_away(away, None);
            }
            Incident::LeftOpen => {
                self.note(Notice::Interrupt(Stop::TerminalLost));
                self.gone = true;
                return;
            }
            Incident::GivenUp => self.wish(Command::Abandon),
        }
        self.look();
    }

    /// The program is gone for so long, and with it the machine where a new boot is named.
    fn be_away(&mut self, away: Elapsed, new_boot: Option<&str>) {
        let alive = Alive {
            elapsed: self.watch.latest(),
            utc: self.clock.read().utc,
            boot: self.watch.boot().clone(),
            is_last: true,
        };
        match new_boot {
            Some(boot) => self.clock.reboot(boot, away),
            None => self.clock.advance(away),
        }
        let (watch, notice) = Watch::resume(&alive, &self.clock);
        self.watch = watch;
        self.note(notice);
    }
}
