//! How often a sitting was interrupted, and for how long altogether.

use crate::domain::event::{Event, Stamped};
use crate::domain::time::Elapsed;

/// How often something happened, and how long it was altogether.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Stops {
    /// How often, the one still going on left out.
    pub count: usize,
    /// How long those were altogether.
    pub total: Elapsed,
    /// Whether one is still going on.
    pub open: bool,
}

impl Stops {
    fn add(&mut self, span: Elapsed) {
        self.count += 1;
        self.total = self.total + span;
    }
}

/// The interruptions that a log records, each kind by itself and in full, after time was up too; what nobody was
/// there for while answers counted is [`super::Gap`].
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Interruptions {
    /// Rest breaks.
    pub breaks: Stops,
    /// Times at which the program was closed or stopped.
    pub away: Stops,
    /// Sleeps of the machine.
    pub slept: Stops,
    /// How often the clock that people set was changed.
    pub clock_changes: usize,
    break_from: Option<Elapsed>,
}

impl Interruptions {
    pub(super) fn note(&mut self, stamped: &Stamped) {
        match &stamped.event {
            Event::BreakStarted => self.break_from = Some(stamped.at),
            Event::BreakEnded => {
                if let Some(from) = self.break_from.take() {
                    self.breaks.add(stamped.at.since(from));
                }
            }
            Event::Resumed { since, .. } => self.away.add(stamped.at.since(*since)),
            Event::Slept { span, .. } => self.slept.add(*span),
            Event::ClockChanged { .. } => self.clock_changes += 1,
            _ => {}
        }
        self.breaks.open = self.break_from.is_some();
    }
}
