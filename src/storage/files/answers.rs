//! Class answer lists: answer sheets done on paper, typed into a table, one sheet a row.
//!
//! The file is CSV (RFC 4180; `;` and tab are taken too where the first line has no comma): a heading
//! `pupil,1,2,3,...`, then a pupil and one answer a question on each line. A blank is an empty cell, `-`, or
//! a code that the caller names. A pupil with nothing in any cell was absent: that is no sheet, and no mark of 0.
//! Sheets come one at a time in memory that does not grow with the list.
//! Everything that is no answer is told with its line and its column, several at once.
//!
//! `?` after an option says that the pupil was unsure, `??` that it was a guess. [`class`] reads a list whose
//! rows are pupils' sheets; where sheets are only counted, whose they are does not matter.

pub mod class;

mod head;
mod lines;
mod pupils;

use std::collections::HashSet;
use std::hash::{DefaultHasher, Hash, Hasher};
use std::io::{self, BufRead, BufReader};
use std::path::{Path, PathBuf};

use csv::ByteRecord;

use super::locate::Place;
use super::problem::{FileTrouble, Problem, Severity, and_more, broken, keep_told};
use crate::domain::event::How;
use crate::domain::header::Alias;
use crate::domain::labels::Labels;
use crate::domain::paper::Outline;
use crate::domain::rule::QuestionNo;
use crate::storage::disk::{self, Table};
use head::{Head, column_name};
use lines::Lines;
use pupils::Pupils;

/// The code of a question left blank; option codes run from 1 in the order of the question's labels.
pub const BLANK: u8 = 0;

/// The byte means nothing for this question.
const NO_CODE: u8 = u8::MAX;

/// How many problems are told before reading stops, where sheets are only counted.
const MOST_PROBLEMS: usize = 20;

/// Among how many pupils a name that stands twice is looked for, so that memory stays bounded.
const MOST_NAMES: usize = 100_000;

/// How much is read from the disk at once.
const CHUNK: usize = 1 << 16;

/// A class answer list being read.
#[derive(Debug)]
pub struct AnswerList {
    path: PathBuf,
    size: u64,
    reader: csv::Reader<BufReader<Table>>,
    record: ByteRecord,
    lines: Lines,
    /// The columns after the first.
    columns: Vec<Column>,
    /// The sheet at hand, in the order of the questions.
    codes: Vec<u8>,
    /// What is said to be unsure or a guess on the sheet at hand.
    doubts: Vec<(QuestionNo, How)>,
    blanks: Vec<Vec<u8>>,
    /// Whose sheets they are, where that matters.
    pupils: Option<Pupils>,
    /// Those of them who handed nothing in.
    absent: Vec<Alias>,
    names: HashSet<u64>,
    notes: Vec<Problem>,
    notes_left_out: usize,
}

/// One column of answers.
#[derive(Debug)]
struct Column {
    number: QuestionNo,
    labels: Labels,
    /// What each byte means for this question.
    codes: [u8; 256],
}

impl Column {
    fn new(number: QuestionNo, labels: &Labels, blanks: &[Vec<u8>]) -> Self {
        let mut codes = [NO_CODE; 256];
        let mut means = |byte: u8, code: u8| {
            for byte in [byte.to_ascii_lowercase(), byte.to_ascii_uppercase()] {
                if let Some(slot) = codes.get_mut(usize::from(byte)) {
                    *slot = code;
                }
            }
        };
        for (code, label) in (1_u8..).zip(labels.iter()) {
            if let Ok(byte) = u8::try_from(label.as_char()) {
                means(byte, code);
            }
        }
        means(b'-', BLANK);
        means(b' ', BLANK);
        for blank in blanks {
            if let [byte] = blank.as_slice() {
                means(*byte, BLANK);
            }
        }
        Self {
            number,
            labels: labels.clone(),
            codes,
        }
    }

    /// What a cell means, and how sure the pupil was of it.
    fn code(&self, cell: &[u8], blanks: &[Vec<u8>]) -> (u8, How) {
        match cell {
            [] => (BLANK, How::Worked),
            [byte] => (self.byte(*byte), How::Worked),
            longer => self.longer(longer, blanks),
        }
    }

    fn byte(&self, byte: u8) -> u8 {
        let code = self.codes.get(usize::from(byte)).copied();
        code.unwrap_or(NO_CODE)
    }

    /// A label among spaces or with a sign of doubt, or a code that stands for a blank.
    #[cold]
    fn longer(&self, cell: &[u8], blanks: &[Vec<u8>]) -> (u8, How) {
        let cell = cell.trim_ascii();
        let code = match cell {
            [] => BLANK,
            [byte] => self.byte(*byte),
            _ if blanks.iter().any(|blank| blank.eq_ignore_ascii_case(cell)) => BLANK,
            _ => return self.doubted(cell),
        };
        (code, How::Worked)
    }

    /// An option with `?` or `??` behind it.
    fn doubted(&self, cell: &[u8]) -> (u8, How) {
        let (option, how) = match (cell.strip_suffix(b"??"), cell.strip_suffix(b"?")) {
            (Some(option), _) => (option, How::Guessed),
            (None, Some(option)) => (option, How::Unsure),
            (None, None) => return (NO_CODE, How::Worked),
        };
        match option.trim_ascii() {
            [byte] if self.byte(*byte) != BLANK => (self.byte(*byte), how),
            _ => (NO_CODE, how),
        }
    }
}

impl AnswerList {
    /// Opens a list of answers to a paper and reads its heading.
    ///
    /// `blanks` are the further codes that stand for a blank, such as `0` or `NA`; one that is also an
    /// option is taken for a blank, and [`AnswerList::notes`] says so.
    ///
    /// # Errors
    /// A file that cannot be read, is empty, or whose heading does not name every question once.
    pub fn open(path: &Path, paper: &Outline, blanks: &[String]) -> Result<Self, FileTrouble> {
        let unreadable =
            |error: io::Error| FileTrouble::one(path, Problem::whole(disk::why_unread(&error)));
        let file = Table::open(path).map_err(unreadable)?;
        let (size, again) = (file.size(), file.can_be_read_again());
        let mut file = BufReader::with_capacity(CHUNK, file);
        let first = file.fill_buf().map_err(unreadable)?;
        let delimiter =
            head::delimiter(first).map_err(|problem| FileTrouble::one(path, problem))?;
        let mut reader = csv::ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .delimiter(delimiter)
            .buffer_capacity(CHUNK)
            .from_reader(file);
        let mut record = ByteRecord::new();
        reader
            .read_byte_record(&mut record)
            .map_err(|error| FileTrouble::one(path, broken(&error)))?;
        let mut lines = Lines::new(path, again);
        let line = lines.of(reader.position().byte(), &record);
        let head = Head::read(&record, line, paper).map_err(|problems| FileTrouble {
            path: path.to_owned(),
            problems,
        })?;
        let blanks: Vec<Vec<u8>> = blanks
            .iter()
            .map(|code| code.trim().as_bytes().to_ascii_uppercase())
            .filter(|code| !code.is_empty())
            .collect();
        let columns: Vec<Column> = (head.questions.iter())
            .map(|number| Column::new(*number, paper.labels(*number), &blanks))
            .collect();
        Ok(Self {
            path: path.to_owned(),
            size,
            reader,
            record,
            lines,
            codes: vec![BLANK; columns.len()],
            notes: hidden_options(&columns, &blanks),
            columns,
            doubts: Vec::new(),
            blanks,
            pupils: None,
            absent: Vec::new(),
            names: HashSet::new(),
            notes_left_out: 0,
        })
    }

    /// The codes of the next sheet, in the order of the questions; `None` at the end.
    ///
    /// # Errors
    /// The problems from here on: up to twenty, of a class's list up to a hundred and how many more there are.
    /// Nothing more can be read after them.
    pub fn next_sheet(&mut self) -> Result<Option<&[u8]>, FileTrouble> {
        let mut problems: Vec<Problem> = Vec::new();
        let mut more = 0;
        loop {
            let row = self.reader.read_byte_record(&mut self.record);
            let row = row.map_err(|error| FileTrouble::one(&self.path, broken(&error)))?;
            if !row {
                break;
            }
            if self.read_row(&mut problems) && problems.is_empty() {
                return Ok(Some(&self.codes));
            }
            if self.pupils.is_some() {
                // A class is read to its end, so that the rest is counted at least.
                more += keep_told(&mut problems);
            } else if problems.len() >= MOST_PROBLEMS {
                problems.push(Problem::whole(
                    "reading stopped here, and there may be more problems; correct these and try again",
                ));
                break;
            }
        }
        if problems.is_empty() {
            return Ok(None);
        }
        if more > 0 {
            problems.push(and_more(more, Severity::Wrong));
        }
        Err(FileTrouble {
            path: self.path.clone(),
            problems,
        })
    }

    /// How many bytes of the file have been read, for a progress bar.
    pub fn bytes_read(&self) -> u64 {
        self.reader.position().byte()
    }

    /// How many bytes the file has.
    pub const fn size(&self) -> u64 {
        self.size
    }

    /// What somebody may want to know about the list as far as it was read: pupils who stand twice, lines
    /// without a pupil and an answer, options that a blank code hides.
    pub fn notes(&self) -> Vec<Problem> {
        let mut notes = self.notes.clone();
        if self.notes_left_out > 0 {
            notes.push(Problem {
                severity: Severity::Note,
                ..Problem::whole(format!("and {} more of this kind", self.notes_left_out))
            });
        }
        notes
    }

    /// Turns the record into codes; `false` for a row that is no sheet or one with problems.
    fn read_row(&mut self, problems: &mut Vec<Problem>) -> bool {
        let wanted = self.columns.len() + 1;
        if self.record.len() != wanted {
            let place = self.place(1);
            problems.push(row_length(self.record.len(), wanted).about(place, ""));
            return false;
        }
        let cells = self.record.iter().skip(1);
        let (mut highest, mut answered) = (BLANK, false);
        self.doubts.clear();
        for (cell, column) in cells.zip(&self.columns) {
            let (code, how) = column.code(cell, &self.blanks);
            highest = highest.max(code);
            answered |= code != BLANK;
            if how != How::Worked {
                self.doubts.push((column.number, how));
            }
            if let Some(slot) = self.codes.get_mut(column.number.index()) {
                *slot = code;
            }
        }
        let wrong = problems.len();
        let place = self.pupils.is_some().then(|| self.place(1));
        if let (Some(pupils), Some(place)) = (&mut self.pupils, place)
            && self.record.iter().any(|cell| !cell.trim_ascii().is_empty())
        {
            let cell = self.record.get(0).unwrap_or_default().trim_ascii();
            pupils.check(cell, place, problems);
        }
        if highest == NO_CODE {
            self.wrong_cells(problems);
        }
        if problems.len() > wrong {
            return false;
        }
        let pupil = self.record.get(0).unwrap_or_default();
        let named = !pupil.trim_ascii().is_empty();
        if !answered && !named {
            self.note("this line has no pupil and no answer, so it is not counted");
            return false;
        }
        if !answered && !self.is_handed_in() {
            self.pass_over_absent();
            return false;
        }
        if named && self.pupils.is_none() && self.names.len() < MOST_NAMES {
            let mut hash = DefaultHasher::new();
            pupil.trim_ascii().hash(&mut hash);
            if !self.names.insert(hash.finish()) {
                let name = head::shown(pupil);
                self.note(&format!(
                    "the pupil {name} is on an earlier line too, and both lines are counted; delete one if they are the same sheet"
                ));
            }
        }
        true
    }

    /// Whether any answer of the row has something in it, if only a dash.
    fn is_handed_in(&self) -> bool {
        let mut answers = self.record.iter().skip(1);
        answers.any(|cell| !cell.trim_ascii().is_empty())
    }

    /// Keeps the pupil of a row without a sheet, or says that there is such a row.
    fn pass_over_absent(&mut self) {
        if let Some(pupils) = &mut self.pupils {
            self.absent
                .extend(pupils.take().map(|(pupil, _line)| pupil));
            return;
        }
        let name = head::shown(self.record.get(0).unwrap_or_default().trim_ascii());
        self.note(&format!(
            "no sheet for {name}, because every cell is empty; write - in a cell if the sheet was left blank"
        ));
    }

    /// Tells every cell of the record that is no answer.
    fn wrong_cells(&mut self, problems: &mut Vec<Problem>) {
        let line = self.place(1).line;
        let cells = self.record.iter().skip(1).zip(&self.columns);
        for (col, (cell, column)) in (2..).zip(cells) {
            if column.code(cell, &self.blanks).0 == NO_CODE {
                problems.push(no_option(cell, column, Place { line, col }));
            }
        }
    }

    fn place(&mut self, col: usize) -> Place {
        Place {
            line: self.lines.of(self.reader.position().byte(), &self.record),
            col,
        }
    }

    fn note(&mut self, sentence: &str) {
        if self.notes.len() >= MOST_PROBLEMS {
            self.notes_left_out += 1;
            return;
        }
        let place = self.place(1);
        self.notes.push(Problem {
            severity: Severity::Note,
            ..Problem::whole(sentence).about(place, "")
        });
    }
}

/// A note for each blank code that is also an option of a question.
fn hidden_options(columns: &[Column], blanks: &[Vec<u8>]) -> Vec<Problem> {
    let hides = |blank: &Vec<u8>| {
        let [byte] = blank.as_slice() else {
            return None;
        };
        let label = char::from(*byte);
        let has = columns
            .iter()
            .filter(|one| one.labels.find(label).is_some());
        let number = has.map(|column| column.number).min()?;
        Some(Problem {
            severity: Severity::Note,
            ..Problem::whole(format!(
                "{label} is counted as a blank, as you asked, although it's an option of question {number}"
            ))
        })
    };
    blanks.iter().filter_map(hides).collect()
}

fn row_length(found: usize, wanted: usize) -> Problem {
    let (cells, were) = if found == 1 {
        ("cell", "is")
    } else {
        ("cells", "are")
    };
    let way = if found < wanted {
        "write every question's cell, an empty one for a blank"
    } else {
        "delete the cells after the last question"
    };
    Problem::whole(format!(
        "there {were} {found} {cells} on this line but {wanted} in the heading; {way}"
    ))
}

fn no_option(cell: &[u8], column: &Column, place: Place) -> Problem {
    let field = format!(
        "question {} (column {})",
        column.number,
        column_name(place.col)
    );
    Problem::whole(format!(
        "{} isn't one of its options {}; correct it, leave the cell empty for a blank, or name the code with --blank-codes",
        head::shown(cell),
        column.labels
    ))
    .about(place, field)
}

#[cfg(test)]
mod tests;
