//! What a lock's holder writes into its file every nine tenths of a second: that the sitting goes on, so that after a
//! kill or a power cut the moment of it is known.

use std::path::Path;

use chrono::{DateTime, SecondsFormat, Utc};

use super::place;
use crate::domain::event::Stamped;
use crate::domain::time::Elapsed;
use crate::storage::disk::operations::LARGEST_LOCK;
use crate::storage::disk::{self, Size};

/// A lock has room for two beats, which are written in turn: one that gets on the disk by half leaves the one before.
pub(super) const ROOM: usize = 2048;
const _: () = assert!(2 * ROOM as u64 <= LARGEST_LOCK);

/// No more bytes of events go into a beat: with its other words it stays within its room.
const MOST_OF_EVENTS: usize = 1800;

/// After a power cut the last heartbeat is at most ten seconds older than the last event, or twice that on a busy
/// machine; an older one tells nothing of the end.
pub(super) const BEATS_APART: Elapsed = Elapsed::seconds(20);

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
        Self::latest(beats)
    }

    /// The latest of some; of one moment, the one that tells more.
    pub(crate) fn latest(beats: impl IntoIterator<Item = Self>) -> Option<Self> {
        beats.into_iter().max_by_key(Self::order)
    }

    fn order(&self) -> (Elapsed, usize) {
        (self.at, self.unsaved.len())
    }

    /// A line with a checksum, so that half of one is seen.
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

    /// The latest of a lock's file.
    pub(super) fn parse(bytes: &[u8]) -> Option<Self> {
        Some(Self::find(bytes)?.1)
    }

    /// The latest of a lock's file, and the room that it lies in.
    pub(super) fn find(bytes: &[u8]) -> Option<(usize, Self)> {
        let rooms = (0..).zip(bytes.chunks(ROOM));
        let beats = rooms.filter_map(|(room, bytes)| Some((room, Self::parse_line(bytes)?)));
        beats.max_by_key(|(_, beat)| beat.order())
    }

    fn parse_line(bytes: &[u8]) -> Option<Self> {
        let end = bytes.iter().position(|byte| *byte == b'\n')?;
        let line = str::from_utf8(bytes.get(..end)?).ok()?;
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
    fn a_beat_is_a_line_and_half_a_beat_is_none() {
        let line = beat(5).line();
        assert_eq!(Heartbeat::parse(line.as_bytes()), Some(beat(5)));
        for cut in 0..line.len() {
            assert_eq!(Heartbeat::parse(&line.as_bytes()[..cut]), None);
        }
        let before = [line.as_bytes(), b"123 (Slept)"].concat();
        assert_eq!(Heartbeat::parse(&before), Some(beat(5)));
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
        assert!(line.len() <= ROOM);
        let read = Heartbeat::parse(line.as_bytes()).unwrap();
        let known = read.unsaved.len();
        assert!(known > 5 && read.unsaved == with(100).unsaved[..known]);
    }
}
