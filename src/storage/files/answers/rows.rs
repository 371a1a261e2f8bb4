//! The rows of a class answer list, split into cells.
//!
//! Nearly every line of nearly every list has nothing in it that RFC 4180 has rules for: no quote, and no end of a
//! line but the usual ones. Such lines are taken as they lie in the file. From the first other line on, and all of
//! what cannot be read a second time, the rows are the `csv` crate's.

use std::io::{self, Chain, Cursor, Read};
use std::mem;

use csv::ByteRecord;

use crate::storage::disk::Table;

/// How much is read from the disk at once, and how long a line may be that is taken as it lies.
pub(super) const CHUNK: usize = 1 << 16;

/// UTF-8's own, which some programs begin a file with.
const BYTE_ORDER_MARK: &[u8] = b"\xef\xbb\xbf";

/// One row of a list.
#[derive(Clone, Debug, Default)]
pub(super) struct AnswerRow {
    pub(super) cells: ByteRecord,
    /// The byte behind it.
    pub(super) end: u64,
}

impl AnswerRow {
    /// The cells after the first.
    pub(super) fn answers(&self) -> impl Iterator<Item = &[u8]> {
        self.cells.iter().skip(1)
    }

    /// The first cell.
    pub(super) fn pupil(&self) -> &[u8] {
        self.cells.get(0).unwrap_or_default().trim_ascii()
    }
}

/// What has been read of a file and not been taken.
#[derive(Debug)]
pub(super) struct Chunk {
    table: Table,
    bytes: Vec<u8>,
    /// Which of the bytes are still to be taken.
    from: usize,
    filled: usize,
    /// Where in the file the first of them stands.
    at: u64,
    is_end: bool,
    /// What came instead of more, once what was read before it has been looked at.
    failed: Option<io::Error>,
}

impl Chunk {
    pub(super) fn of(table: Table) -> Self {
        Self {
            table,
            bytes: vec![0; CHUNK],
            from: 0,
            filled: 0,
            at: 0,
            is_end: false,
            failed: None,
        }
    }

    /// What is still to be taken.
    pub(super) fn left(&self) -> &[u8] {
        self.bytes.get(self.from..self.filled).unwrap_or_default()
    }

    /// Where in the file the first of it stands.
    pub(super) const fn at(&self) -> u64 {
        self.at
    }

    /// Takes so many bytes.
    pub(super) fn take(&mut self, count: usize) {
        let count = count.min(self.filled - self.from);
        self.from += count;
        self.at += u64::try_from(count).unwrap_or(u64::MAX);
    }

    /// Reads on, as far as there is room and more to read; `false` where nothing more came.
    ///
    /// # Errors
    /// Those of reading.
    pub(super) fn read_on(&mut self) -> io::Result<bool> {
        self.bytes.copy_within(self.from..self.filled, 0);
        self.filled -= self.from;
        self.from = 0;
        if let Some(error) = self.failed.take() {
            return Err(error);
        }
        let before = self.filled;
        while !self.is_end
            && let Some(room @ [_, ..]) = self.bytes.get_mut(self.filled..)
        {
            match self.table.read(room) {
                Ok(0) => self.is_end = true,
                Ok(read) => self.filled += read,
                Err(error) if error.kind() == io::ErrorKind::Interrupted => {}
                Err(error) if self.filled > before => {
                    self.failed = Some(error);
                    break;
                }
                Err(error) => return Err(error),
            }
        }
        Ok(self.filled > before)
    }

    /// These bytes, what is left, and the file behind it.
    fn into_rest(self, first: &[u8]) -> Chain<Cursor<Vec<u8>>, Table> {
        Cursor::new([first, self.left()].concat()).chain(self.table)
    }
}

/// Where the rows come from.
#[derive(Debug)]
enum Source {
    /// Lines as they lie in the file.
    Lines(Chunk),
    /// The `csv` crate, which reads so many bytes of its own before this place of the file.
    Split {
        reader: Box<csv::Reader<Chain<Cursor<Vec<u8>>, Table>>>,
        own: u64,
        at: u64,
    },
    /// Nowhere: a row could not be read.
    Gone,
}

/// A line that has been looked at.
enum LookedAt {
    /// So many bytes of cells, and so many with the line's end.
    Line(usize, usize),
    /// It has something that takes a splitter.
    Other,
    End,
}

/// The rows of a list, the heading among them.
#[derive(Debug)]
pub(super) struct AnswerRows {
    source: Source,
    delimiter: u8,
}

impl AnswerRows {
    /// The rows of a file of which nothing has been taken; `again` says whether the file can be read a second time. Lines are counted in the
    /// file itself then; of anything else the reader's own count has to do.
    pub(super) fn of(mut chunk: Chunk, delimiter: u8, again: bool) -> Self {
        if again && chunk.left().starts_with(BYTE_ORDER_MARK) {
            chunk.take(BYTE_ORDER_MARK.len());
        }
        let mut rows = Self {
            source: Source::Lines(chunk),
            delimiter,
        };
        if !again {
            rows.split_from_here();
        }
        rows
    }

    /// Bytes that hold the next row, where it lies in the file as it is, and what divides its cells; they may end
    /// within it.
    pub(super) fn as_it_lies(&self) -> Option<(&[u8], u8)> {
        match &self.source {
            Source::Lines(chunk) => Some((chunk.left(), self.delimiter)),
            Source::Split { .. } | Source::Gone => None,
        }
    }

    /// Reads on, where rows lie in the file as they are; `false` where nothing more came.
    ///
    /// # Errors
    /// A file that cannot be read on.
    pub(super) fn read_on(&mut self) -> io::Result<bool> {
        match &mut self.source {
            Source::Lines(chunk) => chunk.read_on(),
            Source::Split { .. } | Source::Gone => Ok(false),
        }
    }

    /// Takes the bytes of a row that was read as it lies; gives the place behind it.
    pub(super) fn take(&mut self, count: usize) -> u64 {
        match &mut self.source {
            Source::Lines(chunk) => {
                chunk.take(count);
                chunk.at()
            }
            Source::Split { .. } | Source::Gone => 0,
        }
    }

    /// Reads the next row in the place of another; `false` at the end.
    ///
    /// # Errors
    /// A file that cannot be read on.
    pub(super) fn next_into(&mut self, row: &mut AnswerRow) -> Result<bool, csv::Error> {
        loop {
            let delimiter = self.delimiter;
            match &mut self.source {
                Source::Lines(chunk) => match next_line(chunk)? {
                    LookedAt::Line(0, whole) => {
                        chunk.take(whole);
                        row.end = chunk.at();
                    }
                    LookedAt::Line(cells, whole) => {
                        row.cells.clear();
                        let line = chunk.left().get(..cells).unwrap_or_default();
                        for cell in line.split(|byte| *byte == delimiter) {
                            row.cells.push_field(cell);
                        }
                        chunk.take(whole);
                        row.end = chunk.at();
                        return Ok(true);
                    }
                    LookedAt::Other => self.split_from_here(),
                    LookedAt::End => return Ok(false),
                },
                Source::Split { reader, own, at } => {
                    let read = reader.read_byte_record(&mut row.cells);
                    row.end = *at + reader.position().byte().saturating_sub(*own);
                    return read;
                }
                Source::Gone => return Ok(false),
            }
        }
    }

    /// Leaves what is left to the splitter.
    pub(super) fn split_from_here(&mut self) {
        let chunk = match mem::replace(&mut self.source, Source::Gone) {
            Source::Lines(chunk) => chunk,
            other => {
                self.source = other;
                return;
            }
        };
        // An empty line is passed over, and keeps a mark of byte order that stands here from being taken for one at
        // the beginning of the file. There, where lines may be counted, it would be one too many.
        let own: &[u8] = if chunk.at() == 0 { b"" } else { b"\n" };
        let mut reader = csv::ReaderBuilder::new();
        reader
            .has_headers(false)
            .flexible(true)
            .delimiter(self.delimiter)
            .buffer_capacity(CHUNK);
        self.source = Source::Split {
            own: u64::try_from(own.len()).unwrap_or_default(),
            at: chunk.at(),
            reader: Box::new(reader.from_reader(chunk.into_rest(own))),
        };
    }
}

/// Looks at the line that comes next, and has all of it in the chunk.
fn next_line(chunk: &mut Chunk) -> io::Result<LookedAt> {
    let mut looked = 0;
    let end = loop {
        let new = chunk.left().get(looked..).unwrap_or_default();
        if let Some(end) = new.iter().position(|byte| *byte == b'\n') {
            break Some(looked + end);
        }
        looked = chunk.left().len();
        if !chunk.read_on()? {
            break None;
        }
    };
    let left = chunk.left();
    let (line, whole) = match end {
        Some(end) => (left.get(..end).unwrap_or_default(), end + 1),
        None if left.is_empty() => return Ok(LookedAt::End),
        // Longer than a chunk.
        None if !chunk.is_end => return Ok(LookedAt::Other),
        None => (left, left.len()),
    };
    let line = line.strip_suffix(b"\r").unwrap_or(line);
    if line.iter().any(|byte| matches!(byte, b'"' | b'\r')) {
        return Ok(LookedAt::Other);
    }
    Ok(LookedAt::Line(line.len(), whole))
}
