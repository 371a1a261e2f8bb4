//! `paper check --twice`: a second keying of an answer key, held against the first.

use std::path::Path;

use super::super::enter::sheet::{AnswerSheet, Misread, Typed};
use super::super::enter::twice::{Parting, differences};
use crate::commands::enter::Desk;
use crate::commands::failure::{Failure, Failures};
use crate::commands::lines::next_line;
use crate::domain::character::ShownPath as _;
use crate::domain::event::How;
use crate::domain::key::Key;
use crate::domain::paper::Outline;
use crate::domain::rule::QuestionNo;
use crate::storage::catalogue::KEY_ENDING;
use crate::storage::files::answers::class;
use crate::storage::files::key;
use crate::words::entry;

/// Why a key was not typed twice.
#[derive(Debug, thiserror::Error)]
pub(super) enum NotTwice {
    #[error(
        "--twice needs one answer key and its paper; name the key, and put its paper beside it or name it too"
    )]
    NotOneKey,
    #[error("--twice: {0}")]
    Misread(Misread),
    #[error("{0}: a list for a key has one row; delete the others")]
    NotOneRow(String),
    #[error("the input ended before the second keying was complete; start again")]
    Broken,
    #[error(
        "the two keyings differ; look at the source of the answers, then correct the key or type it again"
    )]
    Differ,
}

/// A second keying, from a file or a text, or typed now.
///
/// # Errors
/// What cannot be read, or every question on which the two differ.
pub(super) fn compare(
    key: &Key,
    outline: &Outline,
    second: Option<&str>,
    desk: &mut Desk<'_>,
) -> Result<(), Failure> {
    let first = key.answers.iter().enumerate();
    let first: Vec<_> = first
        .map(|(index, label)| (QuestionNo::from_index(index), typed(Some(*label))))
        .collect();
    let second = match second {
        Some(file) if file.ends_with(KEY_ENDING) => {
            let other = key::load_for(Path::new(file), outline).map_err(Failure::could_not)?;
            let answers = other.answers.iter().enumerate();
            answers
                .map(|(index, label)| (QuestionNo::from_index(index), typed(Some(*label))))
                .collect()
        }
        Some(file)
            if Path::new(file)
                .extension()
                .is_some_and(|ending| ending == "csv") =>
        {
            from_list(Path::new(file), outline)?
        }
        Some(text) => {
            let wrong = |misread| Failure::wrong_words(NotTwice::Misread(misread));
            let mut sheet = AnswerSheet::new(outline);
            sheet.read_line(text).map_err(wrong)?;
            sheet.whole().map_err(wrong)?.collect()
        }
        None => by_hand(outline, desk)?,
    };
    let partings = differences(&first, &second);
    if partings.is_empty() {
        writeln!(desk.out, "{}", entry::same_key(first.len()))?;
        return Ok(());
    }
    let mut differing = Failures::default();
    for Parting {
        number,
        first,
        second,
    } in partings
    {
        differing.add(Failure::could_not(entry::typed_differently(
            number, first, second,
        )));
    }
    differing.add(Failure::could_not(NotTwice::Differ));
    differing.none()
}

const fn typed(option: Option<crate::domain::labels::Label>) -> Typed {
    Typed {
        option,
        how: How::Worked,
    }
}

fn from_list(list: &Path, outline: &Outline) -> Result<Vec<(QuestionNo, Typed)>, Failure> {
    let class = class::read(list, outline, &[], []).map_err(Failure::could_not)?;
    let [row] = class.sheets.as_slice() else {
        let list = list.shown().to_string();
        return Err(Failure::could_not(NotTwice::NotOneRow(list)));
    };
    let answers = row.answers.iter();
    Ok(answers
        .map(|(number, option, _)| (*number, typed(*option)))
        .collect())
}

/// Asks for the letters line by line, or takes them from a pipe.
fn by_hand(outline: &Outline, desk: &mut Desk<'_>) -> Result<Vec<(QuestionNo, Typed)>, Failure> {
    let mut sheet = AnswerSheet::new(outline);
    if desk.asks {
        writeln!(desk.aside, "{}", entry::KEY_A_SECOND_TIME)?;
    }
    while !sheet.is_full() {
        if desk.asks {
            write!(desk.aside, "{}", entry::from_question(sheet.next()))?;
            desk.aside.flush()?;
        }
        let line = next_line(desk.input)?;
        let line = line.ok_or_else(|| Failure::could_not(NotTwice::Broken))?;
        match sheet.read_line(&line) {
            Ok(()) => {}
            Err(misread) if desk.asks => writeln!(desk.aside, "{}", entry::type_it_again(misread))?,
            Err(misread) => return Err(Failure::could_not(NotTwice::Misread(misread))),
        }
    }
    Ok(sheet.whole().map_err(Failure::could_not)?.collect())
}
