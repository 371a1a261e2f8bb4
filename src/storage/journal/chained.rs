//! Files of one record a line that are no session: drills and practice. Each line states the format and its number,
//! and ends in the checksum of a session file's line; it is appended, synced, and never changed.

use std::fs::File;
use std::io::{self, Seek as _, Write as _};
use std::path::Path;

use serde::Serialize;
use serde::de::DeserializeOwned;

use super::line::{self, Chain, Wrong};
use crate::storage::disk::{self, Rights};

/// A line as it is written.
pub(super) trait ChainedLine: Serialize + DeserializeOwned {
    /// What it holds.
    type Record;
    /// The newest format that this program reads, and the one that it writes.
    const FORMAT: u32;
    /// The line of this number.
    fn new(number: u64, record: Self::Record) -> Self;
    /// Its number and what it holds.
    fn parts(self) -> (u64, Self::Record);
}

#[derive(serde::Deserialize)]
struct PeekLine {
    format: u32,
}

/// What a file holds, up to the first line that is wrong.
pub(super) struct Chained<R> {
    /// The records.
    pub(super) records: Vec<R>,
    /// What the next line is chained to.
    pub(super) chain: Chain,
    /// How many bytes the good lines take.
    pub(super) good: usize,
    /// What is wrong with a line that is not a torn end.
    pub(super) damage: Option<Wrong>,
}

/// Reads the lines of a file.
pub(super) fn hold<L: ChainedLine>(bytes: &[u8]) -> Chained<L::Record> {
    let mut held = Chained {
        records: Vec::new(),
        chain: Chain::default(),
        good: 0,
        damage: None,
    };
    for whole in bytes.split_inclusive(|byte| *byte == b'\n') {
        let is_last = held.good + whole.len() == bytes.len();
        let text = if held.good == 0 {
            line::without_mark(whole)
        } else {
            whole
        };
        let ended = text.strip_suffix(b"\n");
        match ended.map(|text| read::<L>(line::without_return(text), held.chain)) {
            Some(Ok((record, chain))) => {
                held.records.push(record);
                held.chain = chain;
                held.good += whole.len();
            }
            // A line that was not written to its end; it was never told to be saved.
            None => break,
            Some(Err(Wrong::NoChecksum | Wrong::Checksum)) if is_last => break,
            Some(Err(wrong)) => {
                held.damage = Some(wrong);
                break;
            }
        }
    }
    held
}

fn read<L: ChainedLine>(text: &[u8], chain: Chain) -> Result<(L::Record, Chain), Wrong> {
    let (record, crc) = line::checked(text, chain)?;
    let PeekLine { format } = line::parse(record)?;
    if format > L::FORMAT {
        return Err(Wrong::Newer(format));
    }
    let (number, read) = line::parse::<L>(record)?.parts();
    let next = chain.follows(number)?;
    Ok((read, Chain { next, crc, format }))
}

/// A record as the next line, with its line feed; the chain moves past it.
pub(super) fn sealed<L: ChainedLine>(
    chain: &mut Chain,
    record: L::Record,
) -> Result<String, ron::Error> {
    let text = ron::to_string(&L::new(chain.next, record))?;
    Ok(chain.seal(text))
}

/// One line, one write, one sync, in a file that was read to its end and is locked; a torn end is set aside first,
/// beside the file. It is taken off in the file itself: another program may wait for the lock with this very file open,
/// and where a file is open not every system puts another in its place.
pub(super) fn append(
    file: &mut File,
    path: &Path,
    bytes: &[u8],
    good: usize,
    line: &str,
) -> io::Result<()> {
    let (whole, torn) = bytes.split_at(good);
    if !torn.is_empty() {
        disk::replace(&path.with_extension("torn"), torn, Rights::Owner)?;
        let length = u64::try_from(whole.len()).map_err(io::Error::other)?;
        file.set_len(length)?;
        file.seek(io::SeekFrom::Start(length))?;
    }
    file.write_all(line.as_bytes())?;
    disk::sync(file)?;
    disk::sync_folder(disk::folder_of(path))
}
