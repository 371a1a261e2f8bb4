//! Bytes become records, as far as they are good: pure, and nothing is ever written.
//!
//! Only the very end of a file can be *torn*: bytes after the last line feed, or a last line that is
//! no whole record. That is what a kill or a power cut leaves; it was never told to be saved, and
//! the records before it are whole. Anything wrong before the end, a whole last line that does not
//! check, or one that checks and yet says something impossible, is *damage*: nobody may cut that away
//! unasked. What lies behind a damage still tells whether the sitting had ended, and until when it
//! went on.
//!
//! Behind the record that ends a sitting of format 2 comes one line, which seals the file, and it is
//! known beforehand to the byte. A part of it is what a kill leaves between the two, and the sitting
//! has ended all the same; anything else there is damage.

use chrono::{DateTime, Utc};

use super::line::{self, Chain, Entry, Wrong};
use crate::domain::event::{Event, Stamped};
use crate::domain::header::Header;
use crate::domain::time::Elapsed;

/// An end of a file that was not written to its end.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Torn {
    /// The line it would have been, from 1.
    pub line: usize,
    /// How many bytes there are of it.
    pub bytes: usize,
}

/// A line that is wrong, with more behind it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Damage {
    /// The line, from 1.
    pub line: usize,
    /// What is wrong with it.
    pub what: Wrong,
}

/// What the lines behind a damage tell, though none of them counts as a record.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Behind {
    /// Whether one says that the sitting had ended.
    pub ended: bool,
    /// The latest moment of one whose checksum fits it and the line before it.
    pub latest: Option<(Elapsed, DateTime<Utc>)>,
    /// Of such lines those that part the time ([`Event::parts_time`]), in their order: without them an absence would count
    /// as sat up to that moment. A break that an act shows to be over ends with that act.
    pub parting: Vec<Stamped>,
}

/// What a file's bytes hold.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Scan {
    /// The first record.
    pub header: Header,
    /// The records after it, up to the end or to the damage.
    pub events: Vec<Stamped>,
    /// Whether the line that seals an ended sitting is there.
    pub sealed: bool,
    /// The torn end, if it has one.
    pub torn: Option<Torn>,
    /// The first damage; nothing behind it is among the records.
    pub damage: Option<Damage>,
    /// What is told from there on; nothing where there is no damage.
    pub behind: Behind,
    /// What the next line is chained to.
    pub chain: Chain,
    /// How many bytes are good.
    pub good: usize,
}

/// Why bytes hold no session at all.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NoSession {
    /// There is no whole first line.
    NoHeader,
    /// The first line is wrong.
    BadHeader(Wrong),
}

/// Reads a session file's bytes.
pub fn scan(bytes: &[u8]) -> Result<Scan, NoSession> {
    let mut lines = RawLines(line::without_mark(bytes));
    let first = lines.next().filter(|line| line.ended);
    let first = first.ok_or(NoSession::NoHeader)?;
    let mut chain = Chain::default();
    let header = match line::read(first.record(), &mut chain) {
        Ok(Entry::Header(header)) => *header,
        Ok(Entry::Event(_)) => return Err(NoSession::NoHeader),
        Err(wrong) => return Err(NoSession::BadHeader(wrong)),
    };
    let mut scan = Scan {
        header,
        events: Vec::new(),
        sealed: false,
        torn: None,
        damage: None,
        behind: Behind::default(),
        chain,
        good: bytes.len() - lines.0.len(),
    };
    scan.read_events(bytes, lines);
    if scan.damage.is_some() {
        scan.behind = Behind::of(bytes.get(scan.good..).unwrap_or_default(), &scan);
    }
    Ok(scan)
}

impl Behind {
    /// Looks at each line by itself: its checksum needs only the digits that the line before it states.
    fn of(rest: &[u8], before: &Scan) -> Self {
        let mut behind = Self::default();
        let mut chain = before.chain;
        let mut breaks = before.events.iter().rev();
        let mut on_break = breaks.find_map(|own| breaks_off(&own.event)) == Some(true);
        for found in RawLines(rest) {
            let text = found.record();
            let read = line::read_anywhere(text, chain);
            if let Some(stamped) = &read {
                let at = (stamped.at, stamped.utc);
                behind.latest = behind.latest.max(Some(at));
                behind.part(stamped, &mut on_break);
            }
            let closes = read.is_some_and(|stamped| matches!(stamped.event, Event::Closed(_)));
            behind.ended |= closes || line::tells_the_end(text);
            if let Some(crc) = line::stated_checksum(text) {
                chain.crc = crc;
            }
        }
        behind
    }

    fn part(&mut self, stamped: &Stamped, on_break: &mut bool) {
        let was_on_break = *on_break;
        *on_break =
            breaks_off(&stamped.event).unwrap_or(was_on_break && !needs_the_paper(&stamped.event));
        if was_on_break && !*on_break {
            self.parting.push(Stamped {
                event: Event::BreakEnded,
                ..stamped.clone()
            });
        } else if stamped.event.parts_time() && stamped.event != Event::BreakEnded {
            self.parting.push(stamped.clone());
        }
    }
}

/// Whether a break begins or ends with it.
const fn breaks_off(event: &Event) -> Option<bool> {
    match event {
        Event::BreakStarted => Some(true),
        Event::BreakEnded => Some(false),
        _ => None,
    }
}

/// Whether nobody does it on a break, when the paper is put away.
const fn needs_the_paper(event: &Event) -> bool {
    matches!(
        event,
        Event::Opened(_) | Event::Answered(..) | Event::RubbedOut(_) | Event::Skipped(_)
    )
}

impl Scan {
    /// Whether its last record ends the sitting.
    pub(super) fn is_over(&self) -> bool {
        let last = self.events.last();
        last.is_some_and(|last| matches!(last.event, Event::Closed(_)))
    }

    fn read_events(&mut self, bytes: &[u8], mut lines: RawLines<'_>) {
        while !self.is_ended()
            && let Some(found) = lines.next()
        {
            let number = self.events.len() + 2;
            let is_last = lines.0.is_empty();
            let torn = Torn {
                line: number,
                bytes: found.text.len() + usize::from(found.ended),
            };
            if !found.ended {
                if self.is_whole_but_for_its_end(found.text) {
                    let what = Wrong::NoChecksum;
                    self.damage = Some(Damage { line: number, what });
                } else {
                    self.torn = Some(torn);
                }
                return;
            }
            match self.read_event(found.record()) {
                Ok(stamped) => self.events.push(stamped),
                Err(wrong) if is_last && is_torn(&wrong, found.record()) => {
                    self.torn = Some(torn);
                    return;
                }
                Err(what) => {
                    self.damage = Some(Damage { line: number, what });
                    return;
                }
            }
            self.good += found.text.len() + 1;
        }
        if let Err(what) = self.read_seal(bytes, lines) {
            let line = self.events.len() + if self.sealed { 3 } else { 2 };
            self.damage = Some(Damage { line, what });
        }
    }

    /// Whether the sitting has ended, and nothing may come but the seal.
    fn is_ended(&self) -> bool {
        let last = self.events.last();
        line::is_sealed_in(self.header.format)
            && last.is_some_and(|last| matches!(last.event, Event::Closed(_)))
    }

    /// Reads what comes behind the end of the sitting.
    fn read_seal(&mut self, bytes: &[u8], mut lines: RawLines<'_>) -> Result<(), Wrong> {
        let Some(found) = lines.next() else {
            return Ok(());
        };
        let before = bytes.get(..self.good).unwrap_or_default();
        if !found.ended {
            let whole = line::write_seal(before, &mut self.chain.clone())
                .map_err(|error| Wrong::Record(error.to_string()))?;
            return if is_begun(found.record(), whole.as_bytes()) {
                Ok(())
            } else {
                Err(Wrong::NoChecksum)
            };
        }
        self.chain = line::read_seal(found.record(), before, self.chain)?;
        self.good += found.text.len() + 1;
        self.sealed = true;
        if lines.next().is_some() {
            return Err(Wrong::AfterEnd);
        }
        Ok(())
    }

    /// Whether these bytes are a whole line with something else where its line feed belongs.
    fn is_whole_but_for_its_end(&self, text: &[u8]) -> bool {
        let Some((end, line)) = text.split_last() else {
            return false;
        };
        !matches!(end, 0 | b'\r') && line::checked(line, self.chain).is_ok()
    }

    fn read_event(&mut self, text: &[u8]) -> Result<Stamped, Wrong> {
        let mut chain = self.chain;
        let stamped = match line::read(text, &mut chain)? {
            Entry::Event(stamped) => stamped,
            Entry::Header(_) => return Err(Wrong::Record("a second header".to_owned())),
        };
        if self.events.last().is_some_and(|last| stamped.at < last.at) {
            return Err(Wrong::Backwards);
        }
        self.chain = chain;
        Ok(stamped)
    }
}

/// Whether a wrong last line may be what an unfinished write leaves: neither one that checks, nor one
/// that is there from its first character to its line feed. Of a line that did not all come to the disk
/// the rest is zeros.
fn is_torn(wrong: &Wrong, text: &[u8]) -> bool {
    match wrong {
        Wrong::NoChecksum | Wrong::Checksum => {
            let zeros = text.starts_with(b"\0") || text.windows(2).any(|pair| pair == b"\0\0");
            zeros || !line::has_the_shape_of_one(text)
        }
        Wrong::Record(_)
        | Wrong::Number { .. }
        | Wrong::Backwards
        | Wrong::Newer(_)
        | Wrong::AfterEnd
        | Wrong::SealedLines { .. }
        | Wrong::SealedDigest => false,
    }
}

/// Whether these bytes are what a write of `whole` leaves that did not come to its end: its first
/// part, with nothing or with zeros behind it.
fn is_begun(bytes: &[u8], whole: &[u8]) -> bool {
    let same = bytes
        .iter()
        .zip(whole)
        .take_while(|(own, wanted)| own == wanted);
    let rest = bytes.get(same.count()..).unwrap_or_default();
    bytes.len() <= whole.len() && rest.iter().all(|byte| *byte == 0)
}

struct RawLine<'a> {
    text: &'a [u8],
    ended: bool,
}

impl<'a> RawLine<'a> {
    /// The line as it was written, whatever a tool has made of its end.
    fn record(&self) -> &'a [u8] {
        line::without_return(self.text)
    }
}

struct RawLines<'a>(&'a [u8]);

impl<'a> Iterator for RawLines<'a> {
    type Item = RawLine<'a>;

    fn next(&mut self) -> Option<RawLine<'a>> {
        if self.0.is_empty() {
            return None;
        }
        let end = self.0.iter().position(|byte| *byte == b'\n');
        let (text, rest) = self.0.split_at_checked(end.unwrap_or(self.0.len()))?;
        self.0 = rest.get(1..).unwrap_or_default();
        Some(RawLine {
            text,
            ended: end.is_some(),
        })
    }
}

#[cfg(test)]
mod tests;
