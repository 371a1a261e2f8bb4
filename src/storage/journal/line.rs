//! One record and one line of text: pure.
//!
//! A line is legal RON with its checksum in a comment:
//! `(n:12,at:83211,utc:"2026-11-25T09:13:23.211Z",event:Answered(3,'B')) // 1a2b3c4d`. The
//! checksum is a CRC-32 (the one of IEEE 802.3) over the eight digits of the line before (zeros
//! for the first) and this line's text up to the comment, so that a line can neither be changed,
//! lost nor moved unseen. It guards against accident, not against somebody who computes it anew.

use std::fmt;

use chrono::{DateTime, SecondsFormat, Utc};
use serde::{Deserialize, Serialize};

use crate::domain::event::{Event, Stamped};
use crate::domain::header::Header;
use crate::domain::time::Elapsed;

/// What stands between the record and its checksum.
const MARK: &str = " // ";
const DIGITS: usize = 8;

/// Where a file's lines have got to: what the next one is chained to.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Chain {
    /// The number that the next line will have.
    pub next: u64,
    /// The checksum of the line before.
    pub crc: u32,
}

/// What a line holds.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Entry {
    /// The first line.
    Header(Box<Header>),
    /// Any other.
    Event(Stamped),
}

/// What is wrong with a line.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Wrong {
    /// It does not end in a checksum, or is not text at all.
    NoChecksum,
    /// Its checksum belongs to another text.
    Checksum,
    /// It checks, but it is not the record that belongs here; the reason as the reader gives it.
    Record(String),
    /// Its number does not follow the line before.
    Number {
        /// What should stand there.
        wanted: u64,
        /// What stands there.
        found: u64,
    },
    /// Its moment lies before the one of the line before.
    Backwards,
    /// It is a first line of a newer format.
    Newer(u32),
}

impl fmt::Display for Wrong {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoChecksum => f.write_str("it does not end in its checksum"),
            Self::Checksum => f.write_str("its checksum does not fit what it says"),
            Self::Record(reason) => write!(
                f,
                "it is whole, but not a record that this version knows ({reason})"
            ),
            Self::Number { wanted, found } => {
                write!(f, "it has the number {found} where {wanted} comes next")
            }
            Self::Backwards => f.write_str("its time lies before that of the line before"),
            Self::Newer(format) => write!(f, "it has the newer format {format}"),
        }
    }
}

#[derive(Serialize)]
struct HeaderOut<'a> {
    n: u64,
    header: &'a Header,
}

#[derive(Deserialize)]
struct HeaderIn {
    n: u64,
    header: Header,
}

#[derive(Serialize)]
struct EventOut<'a> {
    n: u64,
    at: Elapsed,
    utc: String,
    event: &'a Event,
}

#[derive(Deserialize)]
struct EventIn {
    n: u64,
    at: Elapsed,
    utc: DateTime<Utc>,
    event: Event,
}

/// As much of a line as every format has.
#[derive(Deserialize)]
struct PeekNumber {
    n: u64,
}

/// As much of a first line as every format has.
#[derive(Deserialize)]
struct PeekHeader {
    header: PeekFormat,
}

#[derive(Deserialize)]
struct PeekFormat {
    format: u32,
}

fn digits(crc: u32) -> String {
    format!("{crc:08x}")
}

fn checksum(before: u32, text: &str) -> u32 {
    let mut hasher = crc32fast::Hasher::new();
    hasher.update(digits(before).as_bytes());
    hasher.update(text.as_bytes());
    hasher.finalize()
}

/// The line of a header, with its line feed; the chain moves past it.
pub fn write_header(header: &Header, chain: &mut Chain) -> Result<String, ron::Error> {
    let n = chain.next;
    Ok(chain.seal(ron::to_string(&HeaderOut { n, header })?))
}

/// The line of an event, with its line feed; the chain moves past it.
pub fn write_event(stamped: &Stamped, chain: &mut Chain) -> Result<String, ron::Error> {
    Ok(chain.seal(ron::to_string(&EventOut {
        n: chain.next,
        at: stamped.at,
        utc: stamped.utc.to_rfc3339_opts(SecondsFormat::Millis, true),
        event: &stamped.event,
    })?))
}

impl Chain {
    fn seal(&mut self, mut text: String) -> String {
        self.crc = checksum(self.crc, &text);
        self.next += 1;
        text.push_str(MARK);
        text.push_str(&digits(self.crc));
        text.push('\n');
        text
    }
}

/// Reads one line, given without its line feed; the chain moves past it if it is good.
pub fn read(line: &[u8], chain: &mut Chain) -> Result<Entry, Wrong> {
    let (text, stated) = split(line).ok_or(Wrong::NoChecksum)?;
    let crc = checksum(chain.crc, text);
    if stated != digits(crc) {
        return Err(Wrong::Checksum);
    }
    let (found, entry) = if chain.next == 0 {
        read_header(text)?
    } else {
        let read: EventIn = parse(text)?;
        let stamped = Stamped {
            at: read.at,
            utc: read.utc,
            event: read.event,
        };
        (read.n, Entry::Event(stamped))
    };
    let wanted = chain.next;
    if found != wanted {
        return Err(Wrong::Number { wanted, found });
    }
    *chain = Chain {
        next: wanted + 1,
        crc,
    };
    Ok(entry)
}

fn read_header(text: &str) -> Result<(u64, Entry), Wrong> {
    let newest = crate::domain::header::SESSION_FORMAT;
    let PeekFormat { format } = parse::<PeekHeader>(text)?.header;
    if format > newest {
        return Err(Wrong::Newer(format));
    }
    let read: HeaderIn = parse(text)?;
    Ok((read.n, Entry::Header(Box::new(read.header))))
}

/// The number that a line states, whether or not it checks.
pub fn stated_number(line: &[u8]) -> Option<u64> {
    let (text, _) = split(line)?;
    Some(parse::<PeekNumber>(text).ok()?.n)
}

/// Plain default options: no hidden mode is needed to read a session.
fn parse<'a, T: Deserialize<'a>>(text: &'a str) -> Result<T, Wrong> {
    ron::from_str(text).map_err(|error| Wrong::Record(error.code.to_string()))
}

/// The record's text and its checksum's digits.
fn split(line: &[u8]) -> Option<(&str, &str)> {
    let line = str::from_utf8(line).ok()?;
    let (text, end) = line.split_at_checked(line.len().checked_sub(MARK.len() + DIGITS)?)?;
    Some((text, end.strip_prefix(MARK)?))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::labels::Label;
    use crate::domain::rule::QuestionNo;
    use crate::storage::journal::samples;

    fn stamped(event: Event) -> Stamped {
        samples::stamped(83_211, event)
    }

    /// The checksum was worked out apart from this program, with Python's `zlib.crc32`, over
    /// `00000abc` and the text before the comment.
    #[test]
    fn a_line_is_plain_ron_with_a_chained_checksum_in_a_comment() {
        let mut chain = Chain {
            next: 12,
            crc: 0xabc,
        };
        let answered = stamped(Event::Answered(QuestionNo(3), Label::new('B').unwrap()));
        let line = write_event(&answered, &mut chain).unwrap();
        assert_eq!(
            line,
            "(n:12,at:83211,utc:\"2026-11-25T09:13:23.211Z\",event:Answered(3,'B')) // 693a7416\n"
        );
        assert_eq!(chain.next, 13);
        let read: EventIn = ron::from_str(&line).unwrap(); // the whole line, comment and all
        assert_eq!((read.n, read.event), (12, answered.event));
    }

    /// The catalogue's check value for CRC-32/ISO-HDLC: `123456789` gives cbf43926.
    #[test]
    fn the_checksum_is_the_common_crc_32() {
        assert_eq!(crc32fast::hash(b"123456789"), 0xcbf4_3926);
        assert_eq!(checksum(0x1234_5678, "9"), 0xcbf4_3926);
    }

    #[test]
    fn a_line_that_checks_but_is_no_record_of_ours_says_so() {
        let mut chain = Chain { next: 1, crc: 7 };
        let mut sealed = |text: &str| {
            let line = Chain { next: 1, crc: 7 }.seal(text.to_owned());
            read(line.trim_end().as_bytes(), &mut chain)
        };
        let utc = "utc:\"2026-11-25T09:13:23.211Z\"";
        let later = sealed(&format!("(n:1,at:5,{utc},event:Yodelled(3))"));
        let Err(Wrong::Record(reason)) = later else {
            panic!("{later:?}")
        };
        assert!(reason.contains("Yodelled"), "{reason}");
        assert_eq!(
            sealed(&format!("(n:3,at:5,{utc},event:BreakEnded)")),
            Err(Wrong::Number {
                wanted: 1,
                found: 3
            })
        );
        let more = sealed(&format!(
            "(n:1,at:5,{utc},event:BreakEnded,mood:Some(\"?\"))"
        ));
        assert!(more.is_ok(), "a field that we do not know is passed over");
    }

    #[test]
    fn a_header_of_a_newer_format_is_told_apart_from_damage() {
        let line = Chain::default().seal("(n:0,header:(format:9,shape:New(1)))".to_owned());
        let read = read(line.trim_end().as_bytes(), &mut Chain::default());
        assert_eq!(read, Err(Wrong::Newer(9)));
    }

    #[test]
    fn every_kind_of_event_comes_back_as_it_was() {
        for event in samples::one_of_each() {
            let (mut out, mut back) = (Chain { next: 4, crc: 1 }, Chain { next: 4, crc: 1 });
            let line = write_event(&stamped(event.clone()), &mut out).unwrap();
            assert_eq!(line.matches('\n').count(), 1);
            let read = read(line.trim_end().as_bytes(), &mut back);
            assert_eq!(read, Ok(Entry::Event(stamped(event))));
            assert_eq!(out, back);
        }
    }

    #[test]
    fn a_header_comes_back_as_it_was_whatever_its_words() {
        for title in [
            "Five",
            "a\nb\u{2028}c \u{202e}",
            "日本 // 00000000",
            "\"'\\",
        ] {
            let mut header = samples::header();
            header.paper.title = title.to_owned();
            let (mut out, mut back) = (Chain::default(), Chain::default());
            let line = write_header(&header, &mut out).unwrap();
            assert_eq!(line.matches('\n').count(), 1);
            let read = read(line.trim_end().as_bytes(), &mut back);
            assert_eq!(read, Ok(Entry::Header(Box::new(header))));
        }
    }
}
