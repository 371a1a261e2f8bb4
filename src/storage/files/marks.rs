//! A column of marks in a CSV file: as many rows as you like, a count for each mark.
//!
//! The file is read once, row by row, and only how many people have each mark is kept. An empty
//! cell is a person without a mark: absent is not nought.

use std::collections::BTreeMap;
use std::io::{self, BufRead, BufReader, Split};
use std::path::Path;

use csv::ByteRecord;

use super::locate::Place;
use super::problem::{FileTrouble, MOST_PROBLEMS, Problem, Severity, and_more, broken};
use crate::domain::mark::Mark;
use crate::storage::disk::{self, Table};

/// Names of a column of marks that need not be said.
const USUAL: [&str; 4] = ["mark", "marks", "total", "score"];
/// After how many rows progress is told.
const OFTEN: u64 = 16_384;

/// The marks of a file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Marks {
    /// Each mark with how many people have it.
    pub counts: BTreeMap<Mark, usize>,
    /// How many rows have no mark.
    pub without: usize,
}

/// Reads the marks in a column: the one named or numbered, else the only one or one named `mark`,
/// `marks`, `total` or `score`. `progress` hears now and then how many bytes of how many are read.
///
/// # Errors
/// Everything that is wrong with the file, with line and column: up to a hundred problems, and how many more there are.
pub fn read(
    path: &Path,
    column: Option<&str>,
    progress: &mut dyn FnMut(u64, u64),
) -> Result<Marks, FileTrouble> {
    let trouble = |sentence: String| FileTrouble::one(path, Problem::whole(sentence));
    let unread = |error: io::Error| trouble(disk::why_unread(&error));
    let file = Table::open(path).map_err(unread)?;
    let (size, again) = (file.size(), file.can_be_read_again());
    let mut text = BufReader::with_capacity(1 << 16, file);
    let separator = separator(&mut text).map_err(unread)?;
    let mut rows = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(separator)
        .from_reader(text);
    let unreadable = |error: csv::Error| FileTrouble::one(path, broken(&error));
    let mut row = ByteRecord::new();
    if !rows.read_byte_record(&mut row).map_err(unreadable)? {
        return Err(trouble(
            "the file is empty; write a row for each person, with their mark".into(),
        ));
    }
    let (index, heading) = choose(&row, column).map_err(trouble)?;
    let mut column = ColumnChoice {
        lines: again.then(|| TextLines::new(path)),
        path,
        separator,
        width: row.len(),
        index,
        marks: Marks {
            counts: BTreeMap::new(),
            without: 0,
        },
        problems: Vec::new(),
        more: 0,
    };
    let mut more = true;
    if heading {
        more = rows.read_byte_record(&mut row).map_err(unreadable)?;
    }
    let mut read: u64 = 0;
    while more {
        column.take(&row);
        read += 1;
        if read.is_multiple_of(OFTEN) {
            progress(rows.position().byte(), size);
        }
        more = rows.read_byte_record(&mut row).map_err(unreadable)?;
    }
    column.finish()
}

/// Looks at the first line: tabs or semicolons part cells where there is no comma.
fn separator(text: &mut BufReader<Table>) -> io::Result<u8> {
    let start = text.fill_buf()?;
    let marked = start.starts_with(b"\xef\xbb\xbf");
    let line = start
        .split(|byte| *byte == b'\n')
        .next()
        .unwrap_or_default();
    let found = b",\t;".iter().find(|byte| line.contains(byte)).copied();
    if marked {
        text.consume(3);
    }
    Ok(found.unwrap_or(b','))
}

/// Which column holds the marks, and whether the first row is a heading.
fn choose(first: &ByteRecord, wanted: Option<&str>) -> Result<(usize, bool), String> {
    let names: Vec<String> = first.iter().map(cell).collect();
    let find = |name: &str| {
        let name = name.trim().to_lowercase();
        names.iter().position(|own| own.to_lowercase() == name)
    };
    // A first cell that begins like a word is a heading; one that is a spoilt number is not.
    let words = |index: usize| {
        let name = names.get(index).map(String::as_str).unwrap_or_default();
        name.chars().next().is_some_and(char::is_alphabetic)
    };
    let listed = names.join(", ");
    match wanted {
        Some(wanted) => {
            let number = wanted.trim().parse::<usize>().ok();
            let number = number.filter(|number| (1..=names.len()).contains(number));
            match (find(wanted), number) {
                (Some(index), _) => Ok((index, true)),
                (None, Some(number)) => Ok((number - 1, words(number - 1))),
                (None, None) => Err(format!(
                    "there's no column {wanted:?}; the first row has {listed}, so use one of these names, or a number from 1 to {}",
                    names.len()
                )),
            }
        }
        None if names.len() == 1 => Ok((0, words(0))),
        None => match USUAL.iter().find_map(|usual| find(usual)) {
            Some(index) => Ok((index, true)),
            None => Err(format!(
                "there are {} columns and none is called mark; choose one with --column, by name or number ({listed})",
                names.len()
            )),
        },
    }
}

fn cell(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes)
        .trim()
        .chars()
        .filter(|c| !c.is_control())
        .collect()
}

struct ColumnChoice<'a> {
    path: &'a Path,
    /// Where the text of a line can be looked up again; what came through a pipe is gone.
    lines: Option<TextLines<'a>>,
    separator: u8,
    width: usize,
    index: usize,
    marks: Marks,
    problems: Vec<Problem>,
    more: usize,
}

/// The lines of a file once more, asked for in rising order.
struct TextLines<'a> {
    path: &'a Path,
    rest: Option<Split<BufReader<Table>>>,
    passed: usize,
}

impl<'a> TextLines<'a> {
    const fn new(path: &'a Path) -> Self {
        Self {
            path,
            rest: None,
            passed: 0,
        }
    }

    /// The bytes of a line, from 1.
    fn of(&mut self, line: usize) -> Option<Vec<u8>> {
        if self.rest.is_none() {
            let file = Table::open(self.path).ok()?;
            self.rest = Some(BufReader::new(file).split(b'\n'));
        }
        let bytes = self
            .rest
            .as_mut()?
            .nth(line.checked_sub(self.passed + 1)?)?;
        self.passed = line;
        bytes.ok()
    }
}

impl ColumnChoice<'_> {
    fn take(&mut self, row: &ByteRecord) {
        if row.len() != self.width {
            let cells = if row.len() == 1 { "cell" } else { "cells" };
            let sentence = format!(
                "this row has {} {cells} but the first row has {}; give every row the same number",
                row.len(),
                self.width
            );
            return self.wrong(row, self.width.min(row.len().saturating_sub(1)), sentence);
        }
        let written = row.get(self.index).map(cell).unwrap_or_default();
        if written.is_empty() {
            self.marks.without += 1;
            return;
        }
        match written.parse::<Mark>() {
            Ok(mark) => *self.marks.counts.entry(mark).or_default() += 1,
            Err(error) => self.wrong(
                row,
                self.index,
                format!("{error}; if there is no mark, leave the cell empty"),
            ),
        }
    }

    fn wrong(&mut self, row: &ByteRecord, cell: usize, sentence: String) {
        if self.problems.len() >= MOST_PROBLEMS {
            self.more += 1;
            return;
        }
        let line = row.position().map_or(1, csv::Position::line);
        let line = usize::try_from(line).unwrap_or(usize::MAX);
        let col = self.column_of(line, cell).unwrap_or_else(|| {
            let before = row.iter().take(cell).map(|own| own.len() + 1);
            1 + before.sum::<usize>()
        });
        self.problems
            .push(Problem::whole(sentence).about(Place { line, col }, ""));
    }

    /// Where a cell of a line begins; the line is read again, since that is needed for problems only.
    fn column_of(&mut self, line: usize, cell: usize) -> Option<usize> {
        let bytes = self.lines.as_mut()?.of(line)?;
        let text = String::from_utf8_lossy(&bytes);
        let text = text.strip_prefix('\u{feff}').unwrap_or(&text);
        let (mut quoted, mut before) = (false, 0);
        for (index, c) in text.chars().enumerate() {
            if before == cell {
                return Some(index + 1);
            }
            quoted ^= c == '"';
            before += usize::from(!quoted && c == char::from(self.separator));
        }
        Some(text.chars().count() + 1)
    }

    fn finish(mut self) -> Result<Marks, FileTrouble> {
        if self.more > 0 {
            self.problems.push(and_more(self.more, Severity::Wrong));
        }
        if self.problems.is_empty() && self.marks.counts.is_empty() {
            self.problems.push(Problem::whole(
                "the column has no marks; write a mark in each person's row",
            ));
        }
        if self.problems.is_empty() {
            return Ok(self.marks);
        }
        Err(FileTrouble {
            path: self.path.to_owned(),
            problems: self.problems,
        })
    }
}
