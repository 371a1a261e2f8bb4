//! Bytes become records, as far as they are good: pure, and nothing is ever written.
//!
//! Only the very end of a file can be *torn*: bytes after the last line feed, or a last line that
//! does not check. That is what a kill or a power cut leaves; it was never told to be saved, and
//! the records before it are whole. Anything wrong before the end, or a last line that checks and
//! yet says something impossible, is *damage*: nobody may cut that away.

use super::line::{self, Chain, Entry, Wrong};
use crate::domain::event::Stamped;
use crate::domain::header::Header;

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

/// What a file's bytes hold.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Scan {
    /// The first record.
    pub header: Header,
    /// The records after it, up to the end or to the damage.
    pub events: Vec<Stamped>,
    /// The torn end, if it has one.
    pub torn: Option<Torn>,
    /// The first damage; nothing behind it was read.
    pub damage: Option<Damage>,
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
    let mut lines = Lines(bytes);
    let first = lines.next().filter(|line| line.ended);
    let first = first.ok_or(NoSession::NoHeader)?;
    let mut chain = Chain::default();
    let header = match line::read(first.text, &mut chain) {
        Ok(Entry::Header(header)) => *header,
        Ok(Entry::Event(_)) => return Err(NoSession::NoHeader),
        Err(wrong) => return Err(NoSession::BadHeader(wrong)),
    };
    let mut scan = Scan {
        header,
        events: Vec::new(),
        torn: None,
        damage: None,
        chain,
        good: first.text.len() + 1,
    };
    scan.read_events(lines);
    Ok(scan)
}

impl Scan {
    fn read_events(&mut self, mut lines: Lines<'_>) {
        while let Some(found) = lines.next() {
            let number = self.events.len() + 2;
            let is_last = lines.0.is_empty();
            let torn = Torn {
                line: number,
                bytes: found.text.len() + usize::from(found.ended),
            };
            if !found.ended {
                self.torn = Some(torn);
                return;
            }
            match self.read_event(found.text) {
                Ok(stamped) => self.events.push(stamped),
                Err(wrong) if is_last && is_torn(&wrong, found.text, self.chain.next) => {
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

/// Whether a wrong last line may be what an unfinished write leaves. One that checks is not, and
/// neither is a whole one with another number: there the lines before it are missing.
fn is_torn(wrong: &Wrong, text: &[u8], next: u64) -> bool {
    match wrong {
        Wrong::NoChecksum => true,
        Wrong::Checksum => line::stated_number(text).is_none_or(|n| n == next),
        Wrong::Record(_) | Wrong::Number { .. } | Wrong::Backwards | Wrong::Newer(_) => false,
    }
}

struct Line<'a> {
    text: &'a [u8],
    ended: bool,
}

struct Lines<'a>(&'a [u8]);

impl<'a> Iterator for Lines<'a> {
    type Item = Line<'a>;

    fn next(&mut self) -> Option<Line<'a>> {
        if self.0.is_empty() {
            return None;
        }
        let end = self.0.iter().position(|byte| *byte == b'\n');
        let (text, rest) = self.0.split_at_checked(end.unwrap_or(self.0.len()))?;
        self.0 = rest.get(1..).unwrap_or_default();
        Some(Line {
            text,
            ended: end.is_some(),
        })
    }
}

#[cfg(test)]
mod tests;
