//! The rows of a class answer list, split into cells.
//!
//! Nearly every line of nearly every list has nothing in it that RFC 4180 has rules for: no quote, and no end of a
//! line but the usual ones. Such lines are taken as they lie in the file. From the first other line on, and all of
//! what cannot be read a second time, the rows are the `csv` crate's.

use std::io::{self, Read};

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
    /// What the splitter reads before it, of the program's own.
    first: &'static [u8],
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
            first: b"",
        }
    }

    /// What is still to be taken.
    pub(super) fn left(&self) -> &[u8] {
        self.bytes.get(self.from..self.filled).unwrap_or_default()
    }

    /// Takes so many bytes off.
    pub(super) fn pass(&mut self, count: usize) {
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
}

/// What is left, and the file behind it.
impl Read for Chunk {
    fn read(&mut self, into: &mut [u8]) -> io::Result<usize> {
        if !self.first.is_empty() {
            return self.first.read(into);
        }
        if let mut left @ [_, ..] = self.left() {
            let read = left.read(into)?;
            self.pass(read);
            return Ok(read);
        }
        match self.failed.take() {
            Some(error) => Err(error),
            None => self.table.read(into),
        }
    }
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
    reader: csv::Reader<Chunk>,
    /// Where in the file the splitter's byte 0 stands; nowhere as long as lines are taken as they lie.
    split_at: Option<u64>,
    delimiter: u8,
}

impl AnswerRows {
    /// The rows of a file of which nothing has been taken; `again` says whether the file can be read a second time.
    /// Lines are counted in the file itself then; of anything else the splitter's own count has to do.
    pub(super) fn of(mut chunk: Chunk, delimiter: u8, again: bool) -> Self {
        if again && chunk.left().starts_with(BYTE_ORDER_MARK) {
            chunk.pass(BYTE_ORDER_MARK.len());
        }
        let mut reader = csv::ReaderBuilder::new();
        let reader = reader
            .has_headers(false)
            .flexible(true)
            .delimiter(delimiter)
            .buffer_capacity(CHUNK);
        Self {
            reader: reader.from_reader(chunk),
            split_at: (!again).then_some(0),
            delimiter,
        }
    }

    /// Bytes that hold the next row, where it lies in the file as it is, and what divides its cells; they may end
    /// within it.
    pub(super) fn as_it_lies(&self) -> Option<(&[u8], u8)> {
        let left = self.reader.get_ref().left();
        self.split_at.is_none().then_some((left, self.delimiter))
    }

    /// Reads on, where rows lie in the file as they are; `false` where nothing more came.
    ///
    /// # Errors
    /// A file that cannot be read on.
    pub(super) fn read_on(&mut self) -> io::Result<bool> {
        self.reader.get_mut().read_on()
    }

    /// Takes the bytes of a row that was read as it lies; gives the place behind it.
    pub(super) fn take(&mut self, count: usize) -> u64 {
        let chunk = self.reader.get_mut();
        chunk.pass(count);
        chunk.at
    }

    /// Reads the next row in the place of another; `false` at the end.
    ///
    /// # Errors
    /// A file that cannot be read on.
    pub(super) fn next_into(&mut self, row: &mut AnswerRow) -> Result<bool, csv::Error> {
        while self.split_at.is_none() {
            let chunk = self.reader.get_mut();
            let (cells, whole) = match next_line(chunk)? {
                LookedAt::Line(cells, whole) => (cells, whole),
                LookedAt::Other => {
                    self.split_from_here();
                    break;
                }
                LookedAt::End => return Ok(false),
            };
            row.cells.clear();
            let line = chunk.left().get(..cells).unwrap_or_default();
            for cell in line.split(|byte| *byte == self.delimiter) {
                row.cells.push_field(cell);
            }
            chunk.pass(whole);
            row.end = chunk.at;
            // An empty line is no row.
            if cells > 0 {
                return Ok(true);
            }
        }
        let read = self.reader.read_byte_record(&mut row.cells);
        let start = self.split_at.unwrap_or_default();
        row.end = start + self.reader.position().byte();
        read
    }

    /// Leaves what is left to the splitter.
    pub(super) fn split_from_here(&mut self) {
        let chunk = self.reader.get_mut();
        // An empty line is passed over, and keeps a mark of byte order that stands here from being taken for one at
        // the beginning of the file.
        if chunk.at > 0 {
            chunk.first = b"\n";
        }
        let own = u64::try_from(chunk.first.len()).unwrap_or_default();
        self.split_at = Some(chunk.at.saturating_sub(own));
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
