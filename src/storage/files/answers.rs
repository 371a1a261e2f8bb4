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
mod rows;

use std::collections::HashSet;
use std::hash::{DefaultHasher, Hash, Hasher};
use std::io;
use std::mem;
use std::path::{Path, PathBuf};

use super::locate::Place;
use super::problem::{FileTrouble, MOST_PROBLEMS, Problem, Severity, and_more, broken, keep_told};
use crate::domain::event::How;
use crate::domain::header::Alias;
use crate::domain::labels::Labels;
use crate::domain::paper::Outline;
use crate::domain::rule::QuestionNo;
use crate::storage::disk::{self, Table};
use head::{Head, column_name};
use lines::Lines;
use pupils::Pupils;
use rows::{AnswerRow, AnswerRows, Chunk};

/// The code of a question left blank; option codes run from 1 in the order of the question's labels.
pub const BLANK: u8 = 0;

/// The byte means nothing for this question.
const NO_CODE: u8 = u8::MAX;

/// Among how many pupils a name that stands twice is looked for, so that memory stays bounded.
const MOST_NAMES: usize = 100_000;

/// A class answer list being read.
#[derive(Debug)]
pub struct AnswerList {
    size: u64,
    rows: AnswerRows,
    sheets: SheetReader,
    row: AnswerRow,
}

/// What a row of a list is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ListedRow<'a> {
    /// A sheet: its codes in the order of the questions.
    Sheet(&'a [u8]),
    /// No sheet, or a row behind one that something is wrong with.
    NoSheet,
}

/// What a look at bytes says of the row at their beginning.
enum UsualRow {
    /// A sheet of so many bytes like nearly every other: a name, and a cell of one byte or none for each question.
    Sheet(usize),
    /// Something else.
    Other,
    /// The bytes end within it.
    Incomplete,
}

/// What makes sheets of rows, and collects what is wrong with them.
#[derive(Debug)]
struct SheetReader {
    path: PathBuf,
    /// The columns after the first.
    columns: Vec<Column>,
    /// The sheet at hand, in the order of the questions.
    codes: Vec<u8>,
    /// What is said to be unsure or a guess on the sheet at hand.
    doubts: Vec<(QuestionNo, How)>,
    blanks: Vec<Vec<u8>>,
    /// Whose sheets they are.
    pupils: PupilsOfSheets,
    lines: Lines,
    problems: ToldProblems,
    notes: ToldProblems,
}

/// What is known of whose the sheets are.
#[derive(Debug)]
enum PupilsOfSheets {
    /// It does not matter; so many names are looked for a second time.
    Any(HashSet<u64>),
    /// Each is a pupil's, once.
    Own(OwnSheets),
}

/// The pupils of a class's sheets.
#[derive(Debug)]
struct OwnSheets {
    pupils: Pupils,
    /// Those of them who handed nothing in.
    absent: Vec<Alias>,
}

/// What is told, and how much more there is of it.
#[derive(Debug, Default)]
struct ToldProblems {
    problems: Vec<Problem>,
    more: usize,
}

impl ToldProblems {
    /// Whether any more would only be counted.
    const fn is_full(&self) -> bool {
        self.problems.len() >= MOST_PROBLEMS
    }

    const fn count(&self) -> usize {
        self.problems.len() + self.more
    }

    fn all(&self, severity: Severity) -> Vec<Problem> {
        let more = (self.more > 0).then(|| and_more(self.more, severity));
        self.problems.iter().cloned().chain(more).collect()
    }
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
    /// option is taken for a blank, and [`Self::notes`] says so.
    ///
    /// # Errors
    /// A file that cannot be read, is empty, or whose heading does not name every question once.
    pub fn open(path: &Path, paper: &Outline, blanks: &[String]) -> Result<Self, FileTrouble> {
        let unreadable =
            |error: io::Error| FileTrouble::one(path, Problem::whole(disk::why_unread(&error)));
        let file = Table::open(path).map_err(unreadable)?;
        let (size, again) = (file.size(), file.can_be_read_again());
        let mut chunk = Chunk::of(file);
        chunk.read_on().map_err(unreadable)?;
        let delimiter =
            head::delimiter(chunk.left()).map_err(|problem| FileTrouble::one(path, problem))?;
        let mut rows = AnswerRows::of(chunk, delimiter, again);
        let mut row = AnswerRow::default();
        rows.next_into(&mut row)
            .map_err(|error| FileTrouble::one(path, broken(&error)))?;
        let mut lines = Lines::new(path, again);
        let line = lines.of(row.end, &row.cells);
        let head = Head::read(&row.cells, line, paper).map_err(|problems| FileTrouble {
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
            rows,
            size,
            row,
            sheets: SheetReader {
                path: path.to_owned(),
                codes: vec![BLANK; columns.len()],
                notes: ToldProblems {
                    problems: hidden_options(&columns, &blanks),
                    more: 0,
                },
                columns,
                doubts: Vec::new(),
                blanks,
                pupils: PupilsOfSheets::Any(HashSet::new()),
                lines,
                problems: ToldProblems::default(),
            },
        })
    }

    /// The next row; `None` at the end.
    ///
    /// # Errors
    /// A file that cannot be read on.
    pub fn next_row(&mut self) -> Result<Option<ListedRow<'_>>, FileTrouble> {
        let is_sheet = loop {
            let usual = match self.rows.as_it_lies() {
                Some((bytes, delimiter)) => self.sheets.usual(bytes, delimiter),
                None => UsualRow::Other,
            };
            match usual {
                UsualRow::Sheet(length) => {
                    self.row.end = self.rows.take(length);
                    break self.sheets.problems.count() == 0;
                }
                UsualRow::Incomplete => {
                    let more = self.rows.read_on();
                    if more.map_err(|error| self.sheets.broken(&error.into()))? {
                        continue;
                    }
                }
                UsualRow::Other => {}
            }
            let row = self.rows.next_into(&mut self.row);
            if !row.map_err(|error| self.sheets.broken(&error))? {
                return Ok(None);
            }
            break self.sheets.take(&self.row);
        };
        Ok(Some(if is_sheet {
            ListedRow::Sheet(&self.sheets.codes)
        } else {
            ListedRow::NoSheet
        }))
    }

    /// The codes of the next sheet, in the order of the questions; `None` at the end.
    ///
    /// # Errors
    /// The problems from here to the end of the list: up to a hundred, and how many more there are.
    fn next_sheet(&mut self) -> Result<Option<&[u8]>, FileTrouble> {
        while let Some(row) = self.next_row()? {
            if row != ListedRow::NoSheet {
                return Ok(Some(&self.sheets.codes));
            }
        }
        self.end().map(|()| None)
    }

    /// Says whether every row was a sheet, or none.
    ///
    /// # Errors
    /// The problems of the rows: up to a hundred, and how many more there are.
    pub fn end(&mut self) -> Result<(), FileTrouble> {
        self.sheets.end()
    }

    /// What somebody may want to know about the list as far as it was read: pupils who stand twice, lines
    /// without a pupil and an answer, options that a blank code hides.
    pub fn notes(&self) -> Vec<Problem> {
        self.sheets.notes()
    }

    /// How many bytes the file has.
    pub const fn size(&self) -> u64 {
        self.size
    }

    /// How many of them have been read by the end of the row, for a progress bar.
    pub const fn read(&self) -> u64 {
        self.row.end
    }
}

impl SheetReader {
    fn broken(&self, error: &csv::Error) -> FileTrouble {
        FileTrouble::one(&self.path, broken(error))
    }

    fn end(&mut self) -> Result<(), FileTrouble> {
        if self.problems.count() == 0 {
            return Ok(());
        }
        Err(FileTrouble {
            path: self.path.clone(),
            problems: mem::take(&mut self.problems).all(Severity::Wrong),
        })
    }

    fn notes(&self) -> Vec<Problem> {
        self.notes.all(Severity::Note)
    }

    /// Whose the sheets are matters: each pupil's once, beside these who have sittings already.
    fn of_pupils(&mut self, known: impl IntoIterator<Item = Alias>) {
        self.pupils = PupilsOfSheets::Own(OwnSheets {
            pupils: Pupils::beside(known),
            absent: Vec::new(),
        });
    }

    /// The pupils of the sheets, where those matter.
    const fn own(&mut self) -> Option<&mut OwnSheets> {
        match &mut self.pupils {
            PupilsOfSheets::Own(own) => Some(own),
            PupilsOfSheets::Any(_) => None,
        }
    }

    /// Turns the row at the beginning of these bytes into codes, where it is a sheet like nearly every other; what else
    /// there is in lists is for [`Self::take`].
    fn usual(&mut self, bytes: &[u8], delimiter: u8) -> UsualRow {
        let PupilsOfSheets::Any(names) = &mut self.pupils else {
            return UsualRow::Other;
        };
        let is_end = |byte: &u8| *byte == delimiter || matches!(byte, b'"' | b'\r' | b'\n');
        let Some(length) = bytes.iter().position(is_end) else {
            return UsualRow::Incomplete;
        };
        let (name, rest) = bytes.split_at(length);
        let mut rest = rest.iter().copied();
        let (mut next, mut answered) = (rest.next(), false);
        let unusual = |found: Option<u8>| found.map_or(UsualRow::Incomplete, |_| UsualRow::Other);
        for column in &self.columns {
            if next != Some(delimiter) {
                return unusual(next);
            }
            next = rest.next();
            let mut code = BLANK;
            if let Some(byte) = next.filter(|byte| !is_end(byte)) {
                code = column.byte(byte);
                next = rest.next();
            }
            if code == NO_CODE {
                return UsualRow::Other;
            }
            answered |= code != BLANK;
            if let Some(slot) = self.codes.get_mut(column.number.index()) {
                *slot = code;
            }
        }
        if next == Some(b'\r') {
            next = rest.next();
        }
        if next != Some(b'\n') {
            return unusual(next);
        }
        let name = name.trim_ascii();
        if name.is_empty() || !answered {
            return UsualRow::Other;
        }
        if names.len() < MOST_NAMES {
            let hash = hash(name);
            if names.contains(&hash) {
                return UsualRow::Other;
            }
            names.insert(hash);
        }
        self.doubts.clear();
        UsualRow::Sheet(bytes.len() - rest.len())
    }

    /// Turns the row into codes; `false` for a row that is no sheet, and for every row once one had problems.
    fn take(&mut self, row: &AnswerRow) -> bool {
        let wanted = self.columns.len() + 1;
        let found = row.cells.len();
        if found != wanted {
            let place = |sheets: &mut Self| sheets.place(row, 1);
            self.wrong(|sheets| row_length(found, wanted).about(place(sheets), ""));
            return false;
        }
        let (mut highest, mut answered) = (BLANK, false);
        self.doubts.clear();
        for (cell, column) in row.answers().zip(&self.columns) {
            let code = match cell {
                [] => BLANK,
                [byte] => column.byte(*byte),
                longer => {
                    let (code, how) = column.longer(longer, &self.blanks);
                    if how != How::Worked {
                        self.doubts.push((column.number, how));
                    }
                    code
                }
            };
            highest = highest.max(code);
            answered |= code != BLANK;
            if let Some(slot) = self.codes.get_mut(column.number.index()) {
                *slot = code;
            }
        }
        let wrong = self.problems.count();
        self.check_pupil(row);
        if highest == NO_CODE {
            self.wrong_cells(row);
        }
        if self.problems.count() > wrong {
            return false;
        }
        let named = !row.pupil().is_empty();
        if !answered && !named {
            self.note(
                row,
                "this line has no pupil and no answer, so it is not counted",
            );
            return false;
        }
        if !answered && row.answers().all(|cell| cell.trim_ascii().is_empty()) {
            self.pass_over_absent(row);
            return false;
        }
        if named {
            self.look_for_name(row);
        }
        wrong == 0
    }

    /// Takes the row's pupil, where it matters whose the sheet is.
    fn check_pupil(&mut self, row: &AnswerRow) {
        let is_empty = |cell: &[u8]| cell.trim_ascii().is_empty();
        if self.own().is_none() || row.cells.iter().all(is_empty) {
            return;
        }
        let place = self.place(row, 1);
        let mut problems = mem::take(&mut self.problems.problems);
        if let Some(own) = self.own() {
            own.pupils.check(row.pupil(), place, &mut problems);
        }
        self.problems.more += keep_told(&mut problems);
        self.problems.problems = problems;
    }

    /// Notes a name that stood on an earlier line, where it does not matter whose the sheets are.
    fn look_for_name(&mut self, row: &AnswerRow) {
        let PupilsOfSheets::Any(names) = &mut self.pupils else {
            return;
        };
        if names.len() >= MOST_NAMES {
            return;
        }
        if !names.insert(hash(row.pupil())) {
            let name = head::shown(row.pupil());
            self.note(row, &format!(
                "the pupil {name} is on an earlier line too, and both lines are counted; delete one if they are the same sheet"
            ));
        }
    }

    /// Keeps the pupil of a row without a sheet, or says that there is such a row.
    fn pass_over_absent(&mut self, row: &AnswerRow) {
        if let Some(own) = self.own() {
            let absent = own.pupils.take().map(|(pupil, _line)| pupil);
            own.absent.extend(absent);
            return;
        }
        let name = head::shown(row.pupil());
        self.note(row, &format!(
            "no sheet for {name}, because every cell is empty; write - in a cell if the sheet was left blank"
        ));
    }

    /// Tells every cell of the row that is no answer.
    fn wrong_cells(&mut self, row: &AnswerRow) {
        for (index, cell) in row.answers().enumerate() {
            let is_wrong = |column: &&Column| column.code(cell, &self.blanks).0 == NO_CODE;
            if self
                .columns
                .get(index)
                .as_ref()
                .is_none_or(|x| !is_wrong(x))
            {
                continue;
            }
            self.wrong(|sheets| {
                let place = sheets.place(row, index + 2);
                let column = sheets.columns.get(index);
                column.map_or_else(
                    || row_length(row.cells.len(), sheets.columns.len() + 1).about(place, ""),
                    |column| no_option(cell, column, place),
                )
            });
        }
    }

    /// Tells a problem, or counts it where enough are told.
    fn wrong(&mut self, problem: impl FnOnce(&mut Self) -> Problem) {
        if self.problems.is_full() {
            self.problems.more += 1;
            return;
        }
        let problem = problem(self);
        self.problems.problems.push(problem);
    }

    fn place(&mut self, row: &AnswerRow, col: usize) -> Place {
        Place {
            line: self.lines.of(row.end, &row.cells),
            col,
        }
    }

    fn note(&mut self, row: &AnswerRow, sentence: &str) {
        if self.notes.is_full() {
            self.notes.more += 1;
            return;
        }
        let place = self.place(row, 1);
        self.notes.problems.push(Problem {
            severity: Severity::Note,
            ..Problem::whole(sentence).about(place, "")
        });
    }
}

fn hash(name: &[u8]) -> u64 {
    let mut hash = DefaultHasher::new();
    name.hash(&mut hash);
    hash.finish()
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
