//! What a lock's holder writes into its file every three quarters of a second: that the sitting goes on, so that after a
//! kill or a power cut the moment of it is known.

use std::path::Path;

use chrono::{DateTime, SecondsFormat, Utc};

use super::place;
use crate::domain::event::Stamped;
use crate::domain::time::Elapsed;
use crate::storage::disk::{self, Size};

/// No more bytes of events go into a beat: with them it stays far below the size of a lock.
const MOST_OF_EVENTS: usize = 3000;

/// A word that a sitting was going on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Heartbeat {
    /// The machine's boot, empty where it has no name.
    pub boot_id: String,
    /// The moment in the sitting.
    pub at: Elapsed,
    /// Wall time.
    pub utc: DateTime<Utc>,
    /// What parts the time ([`crate::domain::event::Event::parts_time`]) and isn't on the disk in the session file yet:
    /// the moment above is known, so what was no time sat before it has to be known as well.
    pub unsaved: Vec<Stamped>,
}

impl Heartbeat {
    /// The last heartbeat of an open sitting, as far as its lock's file tells; only reads. While a running program
    /// has it, Windows lets nobody read it, and the last event has to do.
    pub fn last(session: &Path) -> Option<Self> {
        // Where the file was put elsewhere and linked to, its lock may have stayed.
        let places = [place::itself(session), session.to_owned()];
        let beats = places.iter().filter_map(|session| {
            let lock = place::sibling(session, "lock");
            Self::parse(&disk::read_found(&lock, Size::PAPER).ok()?)
        });
        beats.max_by_key(|beat| beat.at)
    }

    /// A line of fixed width where everything is saved, so that one covers the one before, with a checksum, so that
    /// half of one is seen.
    pub(super) fn line(&self) -> String {
        let id = match self.boot_id.as_str() {
            "" => "-",
            id => id,
        };
        let utc = self.utc.to_rfc3339_opts(SecondsFormat::Millis, true);
        let events = self.events();
        let text = format!("{id:<60} {:>20} {utc}{events}", self.at.as_millis());
        format!("{text} {:08x}\n", crc32fast::hash(text.as_bytes()))
    }

    /// The events behind a space, nothing where there are none; the last are left out where they don't fit.
    fn events(&self) -> String {
        (1..=self.unsaved.len())
            .rev()
            .filter_map(|count| ron::to_string(self.unsaved.get(..count)?).ok())
            .find(|text| text.len() <= MOST_OF_EVENTS)
            .map_or_else(String::new, |text| format!(" {text}"))
    }

    pub(super) fn parse(bytes: &[u8]) -> Option<Self> {
        let (line, _) = str::from_utf8(bytes).ok()?.split_once('\n')?;
        let (text, crc) = line.rsplit_once(' ')?;
        if crc != format!("{:08x}", crc32fast::hash(text.as_bytes())) {
            return None;
        }
        // The events are the last word, and may have spaces in them.
        let (text, events) = text.split_once(" [").unwrap_or((text, ""));
        let unsaved = match events {
            "" => Vec::new(),
            events => ron::from_str(&format!("[{events}")).ok()?,
        };
        let mut words = text.split_whitespace();
        let boot_id = words.next().filter(|id| *id != "-").unwrap_or_default();
        Some(Self {
            boot_id: boot_id.to_owned(),
            at: Elapsed(words.next()?.parse().ok()?),
            utc: DateTime::parse_from_rfc3339(words.next()?).ok()?.to_utc(),
            unsaved,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::event::{AwayClock, Event};
    use crate::domain::header::Boot;
    use crate::storage::journal::samples::beat;

    #[test]
    fn a_beat_is_a_line_of_fixed_width_and_half_a_beat_is_none() {
        let line = beat(5).line();
        assert_eq!(line.len(), beat(u64::MAX).line().len());
        assert_eq!(Heartbeat::parse(line.as_bytes()), Some(beat(5)));
        for cut in 0..line.len() {
            assert_eq!(Heartbeat::parse(&line.as_bytes()[..cut]), None);
        }
        let later = beat(6_000_000).line();
        for cut in 1..line.len() {
            let half = [&later.as_bytes()[..cut], &line.as_bytes()[cut..]].concat();
            let read = Heartbeat::parse(&half);
            assert!(read.is_none_or(|read| read == beat(5) || read == beat(6_000_000)));
        }
        let shorter = [beat(5).line().as_bytes(), b"123 (Slept)"].concat();
        assert_eq!(Heartbeat::parse(&shorter), Some(beat(5)));
        let nameless = Heartbeat {
            boot_id: String::new(),
            ..beat(7)
        };
        assert_eq!(Heartbeat::parse(nameless.line().as_bytes()), Some(nameless));
    }

    #[test]
    fn a_beat_carries_what_is_not_saved_as_far_as_it_fits() {
        let boot = Boot {
            id: "a boot [of] its own".to_owned(),
            zero: -5,
        };
        let resumed = |at| Stamped {
            at: Elapsed(at),
            utc: beat(0).utc,
            event: Event::Resumed {
                since: Elapsed(at / 2),
                counts: false,
                clock: AwayClock::Wall,
                boot: boot.clone(),
                left: None,
            },
        };
        let with = |count| Heartbeat {
            unsaved: (1..=count).map(resumed).collect(),
            ..beat(90_000)
        };
        for count in 0..5 {
            let line = with(count).line();
            assert_eq!(Heartbeat::parse(line.as_bytes()), Some(with(count)));
        }
        let line = with(100).line();
        assert!(line.len() < 4096, "no larger than a lock may be");
        let read = Heartbeat::parse(line.as_bytes()).unwrap();
        let known = read.unsaved.len();
        assert!(known > 10 && read.unsaved == with(100).unsaved[..known]);
    }
}
