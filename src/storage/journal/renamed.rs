//! A session file under another alias: the same events, chained and sealed anew.

use std::path::Path;

use sha2::{Digest, Sha256};

use super::error::JournalError;
use super::line::{self, Chain};
use super::record;
use crate::domain::header::{Alias, Header, sitting_id};

/// A session's bytes under another alias.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Renamed {
    /// The bytes, each line ended by LF.
    pub bytes: Vec<u8>,
    /// The sitting's id before.
    pub was: String,
    /// The sitting's id now: another one only where the old one held the alias, as those of format 1 did.
    pub id: String,
}

/// Gives the bytes of a session file under another alias; `path` only names it.
///
/// # Errors
/// A file that is damaged or no session, and one whose first line cannot be changed without changing more.
pub fn renamed(path: &Path, bytes: &[u8], to: &Alias) -> Result<Renamed, JournalError> {
    let mut scan = record::scan(path, bytes)?;
    if let Some(damage) = scan.damage.take() {
        return Err(JournalError::damaged(path, damage));
    }
    let wanted = Header {
        pupil: to.clone(),
        sitting: id_without(&scan.header, bytes.get(..scan.good).unwrap_or_default()),
        ..scan.header.clone()
    };
    let unsafe_to = |reason: &str| JournalError::Unwritable {
        path: path.to_owned(),
        reason: reason.to_owned(),
    };
    let mut chain = Chain {
        format: scan.header.format,
        ..Chain::default()
    };
    let mut out = Vec::new();
    let good = line::without_mark(bytes.get(..scan.good).unwrap_or_default());
    let records = 1 + scan.events.len();
    for text in good.split(|byte| *byte == b'\n').take(records) {
        let text = line::record_of(text).ok_or_else(|| unsafe_to("a line has no checksum"))?;
        let text = if chain.next == 0 {
            let text = swapped(text, "sitting", &scan.header.sitting, &wanted.sitting);
            swapped(&text, "pupil", scan.header.pupil.as_str(), to.as_str())
        } else {
            text.to_owned()
        };
        out.extend(chain.seal(text).into_bytes());
    }
    if scan.is_over() && line::is_sealed_in(scan.header.format) {
        let seal = line::write_seal(&out, &mut chain);
        out.extend(
            seal.map_err(|error| unsafe_to(&error.to_string()))?
                .into_bytes(),
        );
    } else if scan.torn.is_some() {
        out.extend(bytes.get(scan.good..).unwrap_or_default());
    }
    let read = record::scan(path, &out)?;
    if read.damage.is_some() || read.header != wanted || read.events != scan.events {
        return Err(unsafe_to("its first line is written in an unusual way"));
    }
    Ok(Renamed {
        bytes: out,
        was: scan.header.sitting,
        id: wanted.sitting,
    })
}

/// A text of chained lines, its first line put differently and all of them chained anew; nothing where the lines are
/// not chained.
pub fn chained_anew(text: &str, first: impl Fn(&str) -> String) -> Option<String> {
    let mut chain = Chain::default();
    let mut out = String::new();
    for text in text.lines() {
        let record = line::record_of(text.as_bytes())?;
        let record = if out.is_empty() {
            first(record)
        } else {
            record.to_owned()
        };
        out += &chain.seal(record);
    }
    Some(out)
}

/// The id without the alias in it. What it is drawn from is the file, so that two machines draw the same.
fn id_without(header: &Header, good: &[u8]) -> String {
    let id = &header.sitting;
    if !header.id_holds_alias() {
        return id.clone();
    }
    let text: Vec<u8> = good.iter().copied().filter(|byte| *byte != b'\r').collect();
    let digest = Sha256::digest(line::without_mark(&text));
    let drawn = digest.iter().take(8);
    let drawn = drawn.fold(0_u64, |drawn, byte| drawn << 8 | u64::from(*byte));
    sitting_id(header.started, drawn)
}

/// The first field of this name and value, with another value.
fn swapped(text: &str, field: &str, from: &str, to: &str) -> String {
    text.replacen(
        &format!("{field}:\"{from}\""),
        &format!("{field}:\"{to}\""),
        1,
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::storage::journal::line::{write_event, write_header, write_seal};
    use crate::storage::journal::samples;

    fn file(header: &Header) -> Vec<u8> {
        let mut chain = Chain::default();
        let mut text = write_header(header, &mut chain).unwrap();
        for (event, at) in samples::one_of_each().into_iter().zip(1..) {
            let closes = matches!(event, crate::domain::event::Event::Closed(_));
            if event.format() <= header.format && !closes {
                text += &write_event(&samples::stamped(at, event), &mut chain).unwrap();
            }
        }
        let closed = crate::domain::event::Event::Closed(crate::domain::event::Ending::TimeUp);
        text += &write_event(&samples::stamped(1000, closed), &mut chain).unwrap();
        if header.format > 1 {
            let seal = write_seal(text.as_bytes(), &mut chain).unwrap();
            text += &seal;
        }
        text.into_bytes()
    }

    #[test]
    fn the_events_stay_and_nothing_of_the_old_alias_does() {
        let to = Alias::new("heron-2").unwrap();
        for header in [samples::header(), samples::first_header()] {
            let header = Header {
                sitting: format!("otter-{}", header.sitting),
                pupil: Alias::new("otter").unwrap(),
                ..header
            };
            let bytes = file(&header);
            let path = Path::new("a.session.ron");
            let renamed = renamed(path, &bytes, &to).unwrap();
            let text = String::from_utf8(renamed.bytes.clone()).unwrap();
            assert!(!text.contains("otter"), "{text}");
            let (old, new) = (
                record::scan(path, &bytes),
                record::scan(path, &renamed.bytes),
            );
            let (old, new) = (old.unwrap(), new.unwrap());
            assert_eq!((new.events, new.sealed), (old.events, old.sealed));
            assert_eq!((new.header.pupil, new.damage), (to.clone(), None));
            let windows = String::from_utf8(bytes).unwrap().replace('\n', "\r\n");
            let again = super::renamed(path, windows.as_bytes(), &to).unwrap();
            assert_eq!(again, renamed, "line ends draw no other id");
        }
    }

    #[test]
    fn an_id_without_the_alias_stays() {
        let header = samples::header();
        let to = Alias::new("heron").unwrap();
        let renamed = renamed(Path::new("a.session.ron"), &file(&header), &to).unwrap();
        assert_eq!((renamed.was, renamed.id), ("s-1".into(), "s-1".into()));
    }
}
