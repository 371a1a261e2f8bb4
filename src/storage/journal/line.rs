//! One record and one line of text: pure.
//!
//! A line is legal RON with its checksum in a comment:
//! `(n:12,at:83211,utc:"2026-11-25T09:13:23.211Z",event:Answered(3,'B')) // 1a2b3c4d`. The
//! checksum is a CRC-32 (the one of IEEE 802.3) over the eight digits of the line before (zeros
//! for the first) and this line's text up to the comment, so that a line can neither be changed,
//! lost nor moved unseen. It guards against accident, not against somebody who computes it anew.
//!
//! The last line of a sitting that has ended seals the file:
//! `(n:57,sealed:(lines:57,sha256:"..."))`, over the lines before it with LF between them.

use std::fmt::Write;

use chrono::{DateTime, SecondsFormat, Utc};
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

use super::format1::FirstHeader;
use super::usual_line::usual_event;
use crate::domain::event::{Event, Stamped};
use crate::domain::header::Header;
use crate::domain::time::Elapsed;

/// What stands between the record and its checksum.
const MARK: &str = " // ";
const DIGITS: usize = 8;
/// How a first line of the newest format begins, as this program writes it.
const NEWEST_BEGINS: &str = "(n:0,header:(format:2,";
/// What editors of some systems put before a text.
const BYTE_ORDER_MARK: &[u8] = b"\xef\xbb\xbf";

/// Where a file's lines have got to: what the next one is chained to.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Chain {
    /// The number that the next line will have.
    pub next: u64,
    /// The checksum of the line before.
    pub crc: u32,
    /// The file's format, once its first line is known.
    pub format: u32,
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
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum Wrong {
    /// It does not end in a checksum, or is not text at all.
    #[error("it doesn't end with its checksum")]
    NoChecksum,
    /// Its checksum belongs to another text.
    #[error("its checksum doesn't match its text")]
    Checksum,
    /// It checks, but it is not the record that belongs here; the reason as the reader gives it.
    #[error("it's complete, but this version doesn't know such a record ({0})")]
    Record(String),
    /// Its number does not follow the line before.
    #[error("it has the number {found}, but {wanted} comes next")]
    Number {
        /// What should stand there.
        wanted: u64,
        /// What stands there.
        found: u64,
    },
    /// Its moment lies before the one of the line before.
    #[error("its time is earlier than the line before")]
    Backwards,
    /// It is a first line of a newer format.
    #[error("it has the newer format {0}")]
    Newer(u32),
    /// It comes after the end of the sitting, and does not seal it.
    #[error("it comes after the sitting ended")]
    AfterEnd,
    /// It seals another number of lines.
    #[error("it seals {stated} lines, but there are {there} before it")]
    SealedLines {
        /// How many there are before it.
        there: u64,
        /// How many it says there are.
        stated: u64,
    },
    /// It seals lines that say something else.
    #[error("its digest doesn't match the lines before it")]
    SealedDigest,
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
struct FirstHeaderOut {
    n: u64,
    header: FirstHeader,
}

#[derive(Deserialize)]
struct FirstHeaderIn {
    n: u64,
    header: FirstHeader,
}

#[derive(Serialize, Deserialize)]
struct SealLine {
    n: u64,
    sealed: Sealed,
}

#[derive(Serialize, Deserialize)]
struct Sealed {
    lines: u64,
    sha256: String,
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

/// As much of a first line as every format has.
#[derive(Deserialize)]
struct PeekHeader {
    header: PeekFormat,
}

#[derive(Deserialize)]
struct PeekFormat {
    format: u32,
}

/// Eight hex digits, made for every line of every file.
fn digits(crc: u32) -> [u8; DIGITS] {
    let mut left = crc;
    let mut digits = [b'0'; DIGITS];
    for digit in digits.iter_mut().rev() {
        let value = u8::try_from(left & 0xf).unwrap_or_default();
        *digit = if value < 10 {
            b'0' + value
        } else {
            b'a' + value - 10
        };
        left >>= 4;
    }
    digits
}

fn checksum(before: u32, text: &str) -> u32 {
    let mut hasher = crc32fast::Hasher::new();
    hasher.update(&digits(before));
    hasher.update(text.as_bytes());
    hasher.finalize()
}

/// The line of a header, with its line feed; the chain moves past it.
pub fn write_header(header: &Header, chain: &mut Chain) -> Result<String, ron::Error> {
    let n = chain.next;
    let text = if header.format == 1 {
        let header = FirstHeader::of(header).ok_or_else(|| {
            ron::Error::Message("its first line has a field that format 1 doesn't have".to_owned())
        })?;
        ron::to_string(&FirstHeaderOut { n, header })?
    } else {
        ron::to_string(&HeaderOut { n, header })?
    };
    chain.format = header.format;
    Ok(chain.seal(text))
}

/// The line of an event, with its line feed; the chain moves past it. An event that the file's format
/// does not know is an error: a file holds one format only.
pub fn write_event(stamped: &Stamped, chain: &mut Chain) -> Result<String, ron::Error> {
    let (own, format) = (stamped.event.format(), chain.format);
    if own > format {
        return Err(ron::Error::Message(format!(
            "an event of format {own} in a file of format {format}"
        )));
    }
    Ok(chain.seal(ron::to_string(&EventOut {
        n: chain.next,
        at: stamped.at,
        utc: stamped.utc.to_rfc3339_opts(SecondsFormat::Millis, true),
        event: &stamped.event,
    })?))
}

/// The line that seals the `before` bytes of a file, with its line feed; the chain moves past it.
pub fn write_seal(before: &[u8], chain: &mut Chain) -> Result<String, ron::Error> {
    let n = chain.next;
    let sealed = Sealed {
        lines: n,
        sha256: digest(before),
    };
    Ok(chain.seal(ron::to_string(&SealLine { n, sealed })?))
}

/// Whether a file of this format is sealed at its end.
pub const fn is_sealed_in(format: u32) -> bool {
    format >= 2
}

/// The SHA-256 of a file's bytes as 64 hex digits, as if each of its lines ended in LF alone.
fn digest(bytes: &[u8]) -> String {
    let mut hash = Sha256::new();
    for line in without_mark(bytes).split_inclusive(|byte| *byte == b'\n') {
        match line.strip_suffix(b"\n") {
            Some(text) => {
                hash.update(without_return(text));
                hash.update(b"\n");
            }
            None => hash.update(line),
        }
    }
    let mut hex = String::new();
    for byte in hash.finalize() {
        // Writing to a text cannot go wrong.
        let _ = write!(hex, "{byte:02x}");
    }
    hex
}

/// A file's bytes without the byte order mark that they may begin with.
pub(super) fn without_mark(bytes: &[u8]) -> &[u8] {
    bytes.strip_prefix(BYTE_ORDER_MARK).unwrap_or(bytes)
}

/// A line without the carriage return that some tools put before its line feed.
pub(super) fn without_return(line: &[u8]) -> &[u8] {
    line.strip_suffix(b"\r").unwrap_or(line)
}

impl Chain {
    /// A record's text as a line, with its checksum and its line feed; the chain moves past it.
    pub(super) fn seal(&mut self, mut text: String) -> String {
        self.crc = checksum(self.crc, &text);
        self.next += 1;
        text.push_str(MARK);
        text.extend(digits(self.crc).map(char::from));
        text.push('\n');
        text
    }
}

/// Reads one line, given without its line feed; the chain moves past it if it is good.
pub fn read(line: &[u8], chain: &mut Chain) -> Result<Entry, Wrong> {
    let (text, crc) = checked(line, *chain)?;
    let (found, format, entry) = if chain.next == 0 {
        let (found, header) = read_header(text)?;
        (found, header.format, Entry::Header(Box::new(header)))
    } else {
        let (found, stamped) = read_event(text, chain.format)?;
        (found, chain.format, Entry::Event(stamped))
    };
    let next = chain.follows(found)?;
    *chain = Chain { next, crc, format };
    Ok(entry)
}

/// Reads the line that may come after the end of a sitting, the one that seals the `before` bytes, and gives what would
/// come after it.
pub(super) fn read_seal(line: &[u8], before: &[u8], chain: Chain) -> Result<Chain, Wrong> {
    let (text, crc) = checked(line, chain)?;
    let read: SealLine = parse(text).map_err(|wrong| match read_event(text, chain.format) {
        Ok(_) => Wrong::AfterEnd,
        Err(_) => wrong,
    })?;
    let next = chain.follows(read.n)?;
    let (there, stated) = (chain.next, read.sealed.lines);
    if there != stated {
        return Err(Wrong::SealedLines { there, stated });
    }
    if read.sealed.sha256 != digest(before) {
        return Err(Wrong::SealedDigest);
    }
    Ok(Chain { next, crc, ..chain })
}

/// A line's record, without its checksum.
pub(super) fn record_of(line: &[u8]) -> Option<&str> {
    split(without_return(line)).map(|(text, _)| text)
}

/// A line's record and checksum, if they belong together.
pub(super) fn checked(line: &[u8], chain: Chain) -> Result<(&str, u32), Wrong> {
    let (text, stated) = split(line).ok_or(Wrong::NoChecksum)?;
    let crc = checksum(chain.crc, text);
    if stated.as_bytes() != digits(crc) {
        return Err(Wrong::Checksum);
    }
    Ok((text, crc))
}

impl Chain {
    /// The number of the line after one with the number `found`, if that is the one that comes here.
    pub(super) const fn follows(self, found: u64) -> Result<u64, Wrong> {
        let wanted = self.next;
        if found == wanted {
            Ok(wanted + 1)
        } else {
            Err(Wrong::Number { wanted, found })
        }
    }
}

fn read_header(text: &str) -> Result<(u64, Header), Wrong> {
    let newest = crate::domain::header::SESSION_FORMAT;
    // Most first lines are of this format and sound: they are read once. Of any other its format decides.
    if text.starts_with(NEWEST_BEGINS)
        && let Ok(read) = parse::<HeaderIn>(text)
        && read.header.format == newest
    {
        return Ok((read.n, read.header));
    }
    let PeekFormat { format } = parse::<PeekHeader>(text)?.header;
    if format > newest {
        return Err(Wrong::Newer(format));
    }
    if format == 0 {
        return Err(Wrong::Record("format 0 does not exist".to_owned()));
    }
    if format == 1 {
        let read: FirstHeaderIn = parse(text)?;
        return Ok((read.n, read.header.header().map_err(Wrong::Record)?));
    }
    let read: HeaderIn = parse(text)?;
    Ok((read.n, read.header))
}

fn read_event(text: &str, format: u32) -> Result<(u64, Stamped), Wrong> {
    let (found, stamped) = match usual_event(text) {
        Some(usual) => usual,
        None => any_event(text)?,
    };
    let own = stamped.event.format();
    if own > format {
        return Err(Wrong::Record(format!(
            "an event of format {own} in a file of format {format}"
        )));
    }
    Ok((found, stamped))
}

/// The number and the event of any record that holds one.
fn any_event(text: &str) -> Result<(u64, Stamped), Wrong> {
    let EventIn { n, at, utc, event } = parse(text)?;
    Ok((n, Stamped { at, utc, event }))
}

/// The event of a line behind a damage, if its checksum fits it and the digits that the line before it
/// states; its number is not looked at.
pub(super) fn read_anywhere(line: &[u8], chain: Chain) -> Option<Stamped> {
    let (text, _) = checked(line, chain).ok()?;
    read_event(text, chain.format)
        .ok()
        .map(|(_, stamped)| stamped)
}

/// The checksum that a line states, whether or not it is right.
pub(super) fn stated_checksum(line: &[u8]) -> Option<u32> {
    let (_, digits) = line.split_last_chunk::<DIGITS>()?;
    u32::from_str_radix(str::from_utf8(digits).ok()?, 16).ok()
}

/// Whether a line that need not check says that the sitting has ended, or seals it.
pub(super) fn tells_the_end(line: &[u8]) -> bool {
    let says = |words: &[u8]| line.windows(words.len()).any(|part| part == words);
    says(b",event:Closed(") || says(b",sealed:(lines:")
}

/// Whether a line, whatever it says, begins or ends as all of them do.
pub(super) fn has_the_shape_of_one(line: &[u8]) -> bool {
    let end = line.len().saturating_sub(DIGITS);
    let before = line.get(..end).unwrap_or_default();
    line.starts_with(b"(n:") || before.ends_with(MARK.as_bytes())
}

/// Plain default options: no hidden mode is needed to read a session.
pub(super) fn parse<'a, T: Deserialize<'a>>(text: &'a str) -> Result<T, Wrong> {
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

    const SEAL: &str = "(n:2,sealed:(lines:2,sha256:\"c3f9c8c283a2b1f2f1896f27a01cbe3cddc0c9d93f752e4639035a0f5b36f6e8\")) // a489012d\n";

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
            format: 2,
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

    /// Records that are read at a glance, and others that are not.
    fn records() -> Vec<String> {
        let events = [
            "Opened(1)",
            "Opened(0)",
            "Skipped(65535)",
            "RubbedOut(3)",
            "Flagged(4)",
            "Unflagged(4)",
            "Answered(3,'B')",
            "Answered(25,'0')",
            "Answered(9,'Z')",
            "CrossedOut(8,'A')",
            "CrossedBack(8,'9')",
            "Said(3,worked)",
            "Said(3,unsure)",
            "Said(3,guessed)",
            "Said(3,filled)",
            "ClockHidden",
            "ClockChanged(millis:-3)",
            "Closed(time_up)",
        ];
        let moments = [
            "2026-11-25T09:13:23.211Z",
            "2024-02-29T23:59:59.999Z",
            "1999-12-31T00:00:00.000Z",
            "0000-01-01T00:00:00.000Z",
        ];
        let each = events.iter().zip(moments.iter().cycle()).enumerate();
        each.map(|(n, (event, utc))| format!("(n:{n},at:{},utc:\"{utc}\",event:{event})", n * 1009))
            .collect()
    }

    #[test]
    fn the_events_that_are_usual_are_read_at_a_glance_as_they_are_written() {
        let read = records()
            .iter()
            .filter(|text| usual_event(text).is_some())
            .count();
        assert_eq!(read, 15);
        for text in records() {
            let (n, stamped) = any_event(&text).unwrap();
            if let Some(usual) = usual_event(&text) {
                assert_eq!(usual, (n, stamped.clone()), "{text}");
            }
            let mut chain = Chain {
                next: n,
                crc: 7,
                format: 2,
            };
            let line = write_event(&stamped, &mut chain).unwrap();
            assert!(line.starts_with(&text), "{line}");
        }
    }

    /// Every byte of every record is left out, doubled and put for another: what is read at a glance is what the reader
    /// of all records makes of it.
    #[test]
    fn nothing_is_read_at_a_glance_that_the_other_reader_reads_in_another_way() {
        let others = b" 0159:-.+(),'\"_aAzZTtbu#/";
        let (mut both, mut left) = (0, 0);
        for text in records() {
            for at in 0..text.len() {
                let (before, own) = text.split_at(at);
                let (own, after) = own.split_at(1);
                let mut all = vec![
                    format!("{before}{after}"),
                    format!("{before}{own}{own}{after}"),
                ];
                for other in others {
                    all.push(format!("{before}{}{after}", char::from(*other)));
                }
                for changed in all {
                    match usual_event(&changed) {
                        Some(usual) => {
                            assert_eq!(any_event(&changed), Ok(usual), "{changed}");
                            both += 1;
                        }
                        None => left += 1,
                    }
                }
            }
        }
        assert!(both > 1_000 && left > 10_000, "{both} {left}");
    }

    #[test]
    fn numbers_and_days_that_do_not_fit_are_left_to_the_other_reader() {
        let with = |n: &str, at: &str, utc: &str, question: &str| {
            format!("(n:{n},at:{at},utc:\"{utc}\",event:Opened({question}))")
        };
        let utc = "2026-11-25T09:13:23.211Z";
        for text in [
            with("18446744073709551616", "5", utc, "3"),
            with("1", "999999999999999999999", utc, "3"),
            with("1", "5", utc, "65536"),
            with("1", "5", "2026-02-29T09:13:23.211Z", "3"),
            with("1", "5", "2026-11-25T24:00:00.000Z", "3"),
            with("1", "5", "2026-11-25T09:13:60.000Z", "3"),
            with("1", "5", "2026-11-25T09:13:23.211+01:00", "3"),
            with("1", "-5", utc, "3"),
        ] {
            assert_eq!(usual_event(&text), None, "{text}");
        }
    }

    /// The catalogue's check value for CRC-32/ISO-HDLC: `123456789` gives cbf43926.
    #[test]
    fn the_checksum_is_the_common_crc_32() {
        assert_eq!(crc32fast::hash(b"123456789"), 0xcbf4_3926);
        assert_eq!(checksum(0x1234_5678, "9"), 0xcbf4_3926);
    }

    #[test]
    fn a_line_that_checks_but_is_no_record_of_ours_says_so() {
        let mut chain = Chain {
            next: 1,
            crc: 7,
            format: 2,
        };
        let mut sealed = |text: &str| {
            let line = Chain {
                next: 1,
                crc: 7,
                format: 2,
            }
            .seal(text.to_owned());
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
    fn a_first_line_of_the_newest_format_begins_as_expected() {
        let line = write_header(&samples::header(), &mut Chain::default()).unwrap();
        assert!(line.starts_with(NEWEST_BEGINS), "{line}");
        for crc in [0, 1, 0xf, 0x10, 0xabc, 0x89ab_cdef, u32::MAX] {
            assert_eq!(digits(crc), format!("{crc:08x}").as_bytes());
        }
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
            let (mut out, mut back) = (
                Chain {
                    next: 4,
                    crc: 1,
                    format: 2,
                },
                Chain {
                    next: 4,
                    crc: 1,
                    format: 2,
                },
            );
            let line = write_event(&stamped(event.clone()), &mut out).unwrap();
            assert_eq!(line.matches('\n').count(), 1);
            let read = read(line.trim_end().as_bytes(), &mut back);
            assert_eq!(read, Ok(Entry::Event(stamped(event))));
            assert_eq!(out, back);
        }
    }

    #[test]
    fn a_header_comes_back_on_one_line_whatever_its_words() {
        for (title, read_as) in [
            ("Five", "Five"),
            (
                "a\nb\u{2028}c \u{202e}\u{200b}",
                "a\\u000ab\\u2028c \\u202e\\u200b",
            ),
            ("日本 // 00000000", "日本 // 00000000"),
            ("\"'\\", "\"'\\"),
        ] {
            let mut header = samples::header();
            header.paper.title = title.to_owned();
            let (mut out, mut back) = (Chain::default(), Chain::default());
            let line = write_header(&header, &mut out).unwrap();
            assert_eq!(line.matches('\n').count(), 1);
            let read = read(line.trim_end().as_bytes(), &mut back);
            header.paper.title = read_as.to_owned();
            assert_eq!(read, Ok(Entry::Header(Box::new(header))));
        }
    }

    #[test]
    fn a_first_line_of_format_1_is_what_it_was_and_comes_back() {
        let header = samples::first_header();
        let (mut out, mut back) = (Chain::default(), Chain::default());
        let line = write_header(&header, &mut out).unwrap();
        assert!(line.contains("only:Some((1,4))"), "{line}");
        for newer in ["questions", "replaces", "fingerprints", "leave", "stay"] {
            assert!(!line.contains(&format!("{newer}:Some")), "{newer}: {line}");
        }
        let read = read(line.trim_end().as_bytes(), &mut back);
        assert_eq!(read, Ok(Entry::Header(Box::new(header))));
        assert_eq!((out, back.format), (back, 1));
        let later = Header {
            format: 1,
            ..samples::header()
        };
        assert!(write_header(&later, &mut Chain::default()).is_err());
    }

    #[test]
    fn no_line_of_format_2_stands_in_a_file_of_format_1() {
        let chain = |format| Chain {
            next: 4,
            crc: 1,
            format,
        };
        let mut newer = 0;
        for event in samples::one_of_each() {
            let line = write_event(&stamped(event.clone()), &mut chain(2)).unwrap();
            let read = read(line.trim_end().as_bytes(), &mut chain(1));
            let written = write_event(&stamped(event.clone()), &mut chain(1));
            if event.format() == 1 {
                assert_eq!(read, Ok(Entry::Event(stamped(event))));
                assert_eq!(written.unwrap(), line);
                continue;
            }
            newer += 1;
            assert!(matches!(read, Err(Wrong::Record(_))), "{event:?}: {read:?}");
            assert!(written.is_err(), "{event:?}");
        }
        assert_eq!(newer, 9);
    }

    /// The digest was worked out apart from this program, with Python's `hashlib` and `zlib`, over the
    /// text `one\ntwo\n` and the checksum before it.
    #[test]
    fn a_seal_holds_the_count_and_the_digest_of_the_lines_before() {
        let chain = Chain {
            next: 2,
            crc: 0xabc,
            format: 2,
        };
        let mut moved = chain;
        let line = write_seal(b"one\ntwo\n", &mut moved).unwrap();
        assert_eq!(line, SEAL);
        assert_eq!(moved.next, 3);
        let text = line.trim_end().as_bytes();
        for same in [
            &b"one\ntwo\n"[..],
            b"one\r\ntwo\r\n",
            b"\xef\xbb\xbfone\ntwo\r\n",
        ] {
            assert_eq!(read_seal(text, same, chain), Ok(moved));
        }
        for other in [
            &b"one\ntwo"[..],
            b"one\n\ntwo\n",
            b"one\rtwo\n",
            b"one\ntwO\n",
        ] {
            assert_eq!(read_seal(text, other, chain), Err(Wrong::SealedDigest));
        }
    }
}
