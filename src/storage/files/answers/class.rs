//! A class answer list whose rows are pupils' sheets: each pupil is an alias, once.

use std::path::Path;

use super::pupils::PUPIL_CELL;
use super::{AnswerList, BLANK};
use crate::domain::event::How;
use crate::domain::header::Alias;
use crate::domain::labels::Label;
use crate::domain::paper::Outline;
use crate::domain::rule::QuestionNo;
use crate::storage::files::locate::Place;
use crate::storage::files::problem::{FileTrouble, Problem};

/// The most sheets of a class: each becomes a file.
const MOST_SHEETS: usize = 10_000;

/// One pupil's sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ClassSheet {
    /// Whose it is.
    pub pupil: Alias,
    /// Where the pupil stands in the list.
    pub place: Place,
    /// Every question of the paper in order, with the option chosen, if any, and how sure the pupil was.
    pub answers: Vec<(QuestionNo, Option<Label>, How)>,
}

impl ClassSheet {
    /// What is wrong with the sheet as a whole, at its pupil's cell.
    #[must_use]
    pub fn problem(&self, what: impl std::fmt::Display) -> Problem {
        Problem::whole(what).about(self.place, PUPIL_CELL)
    }
}

/// A class's sheets.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ClassSheets {
    /// The sheets in the order of the list.
    pub sheets: Vec<ClassSheet>,
    /// Pupils whose cells are all empty: they handed nothing in.
    pub absent: Vec<Alias>,
    /// What somebody may want to know about the list.
    pub notes: Vec<Problem>,
}

/// Reads the sheets of a class; `known` are the pupils who have sittings already.
///
/// # Errors
/// Every cell that is wrong, pupils included; then there are no sheets.
pub fn read(
    path: &Path,
    paper: &Outline,
    blanks: &[String],
    known: impl IntoIterator<Item = Alias>,
) -> Result<ClassSheets, FileTrouble> {
    let mut list = AnswerList::open(path, paper, blanks)?;
    list.sheets.of_pupils(known);
    let mut class = ClassSheets::default();
    while let Some(codes) = list.next_sheet()? {
        let answers = codes.iter().enumerate().map(|(index, code)| {
            let number = QuestionNo::from_index(index);
            (number, option(paper, number, *code), How::Worked)
        });
        let mut answers: Vec<_> = answers.collect();
        for (number, how) in &list.sheets.doubts {
            if let Some(answer) = answers.get_mut(number.index()) {
                answer.2 = *how;
            }
        }
        let pupil = list.sheets.own().and_then(|own| own.pupils.take());
        let Some((pupil, line)) = pupil else {
            continue;
        };
        if class.sheets.len() == MOST_SHEETS {
            return Err(FileTrouble::one(
                path,
                Problem::whole(format!(
                    "there are more than {MOST_SHEETS} sheets; check that it's the right file"
                )),
            ));
        }
        class.sheets.push(ClassSheet {
            pupil,
            place: Place { line, col: 1 },
            answers,
        });
    }
    class.notes = list.sheets.notes();
    if let Some(own) = list.sheets.own() {
        class.absent = std::mem::take(&mut own.absent);
    }
    Ok(class)
}

fn option(paper: &Outline, number: QuestionNo, code: u8) -> Option<Label> {
    let place = usize::from(code.checked_sub(BLANK + 1)?);
    paper.labels(number).iter().nth(place)
}
