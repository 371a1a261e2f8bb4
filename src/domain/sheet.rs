//! What tells two typed-in answer sheets of one go at a paper from two goes.

use chrono::NaiveDate;

use super::event::Stamped;
use super::header::{Alias, Header, Mode};
use super::mark::Mark;

/// Whose sheet, of which paper, from which day: a pupil has one that counts.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct SheetOf {
    /// The alias in small letters, since capitals make no other pupil.
    pupil: String,
    paper: String,
    day: NaiveDate,
}

impl SheetOf {
    /// What a typed-in sheet is of; nothing where the paper was sat at the keyboard.
    pub fn of(header: &Header) -> Option<Self> {
        let day = header.started.date_naive();
        let is_typed_in = header.mode == Mode::Entered;
        is_typed_in.then(|| Self::new(&header.pupil, &header.paper.id, day))
    }

    /// A sheet of this pupil, paper and day.
    pub fn new(pupil: &Alias, paper: &str, day: NaiveDate) -> Self {
        Self {
            pupil: pupil.as_str().to_lowercase(),
            paper: paper.to_owned(),
            day,
        }
    }
}

/// Whether two sheets hold the same answers, whenever they were typed.
pub fn same_answers(one: &[Stamped], other: &[Stamped]) -> bool {
    let mut pairs = one.iter().zip(other);
    one.len() == other.len() && pairs.all(|(own, theirs)| own.event == theirs.event)
}

/// Whether two sheets hold the same answers under the same rule and arrangements.
pub fn is_same_sheet(one: (&Header, &[Stamped]), other: (&Header, &[Stamped])) -> bool {
    let ((own, answers), (theirs, other_answers)) = (one, other);
    own.paper == theirs.paper
        && own.arrangements == theirs.arrangements
        && own.allowed == theirs.allowed
        && same_answers(answers, other_answers)
}

/// What tells sheets of one pupil, paper and day apart: the first of these.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum SheetsApart {
    /// Their answers: the paper says which is right.
    Answers,
    /// The extra time alone, in percent, in the order of the sheets: no paper says which is right.
    ExtraTime(Vec<Mark>),
    /// The version of the paper, or its rule, under which they were typed in.
    Paper,
}

impl SheetsApart {
    /// What tells these sheets apart.
    pub fn of(sheets: &[(&Header, &[Stamped])]) -> Self {
        let Some((first, answers)) = sheets.first() else {
            return Self::Answers;
        };
        if sheets.iter().any(|(_, own)| !same_answers(answers, own)) {
            return Self::Answers;
        }
        if sheets.iter().any(|(own, _)| own.paper != first.paper) {
            return Self::Paper;
        }
        let extra = sheets.iter().map(|(own, _)| own.arrangements.extra_percent);
        Self::ExtraTime(extra.collect())
    }
}
