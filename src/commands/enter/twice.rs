//! A second keying of the same answers, held against the first: what both have the same is hardly ever wrong.

use super::desk::{Desk, EnterError, show, take};
use super::sheet::{AnswerSheet, SheetAnswers, Typed};
use crate::commands::failure::{Failure, Failures};
use crate::domain::paper::Outline;
use crate::domain::rule::QuestionNo;
use crate::words::entry;

/// A question on which two keyings differ.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::commands) struct Parting {
    /// The question.
    pub(in crate::commands) number: QuestionNo,
    /// What was typed first.
    pub(in crate::commands) first: Typed,
    /// What was typed then.
    pub(in crate::commands) second: Typed,
}

/// Every question on which two keyings of the same questions differ.
pub(in crate::commands) fn differences(
    first: &[(QuestionNo, Typed)],
    second: &[(QuestionNo, Typed)],
) -> Vec<Parting> {
    let pairs = first.iter().zip(second);
    let parting = |((number, first), (_, second)): (&(QuestionNo, Typed), &(QuestionNo, Typed))| {
        (first != second).then_some(Parting {
            number: *number,
            first: *first,
            second: *second,
        })
    };
    pairs.filter_map(parting).collect()
}

/// Holds two keyings against each other where nobody can be asked.
///
/// # Errors
/// Every question on which they differ.
pub(super) fn must_agree(
    first: &[(QuestionNo, Typed)],
    second: &[(QuestionNo, Typed)],
) -> Result<(), Failure> {
    let mut differing = Failures::default();
    for parting in differences(first, second) {
        let Parting {
            number,
            first,
            second,
        } = parting;
        differing.add(Failure::could_not(entry::typed_differently(
            number, first, second,
        )));
    }
    if differing.sentences().is_empty() {
        return Ok(());
    }
    differing.add(Failure::could_not(EnterError::KeyingsDiffer));
    differing.none()
}

/// Has a sheet typed a second time, and asks about each answer that differs.
pub(super) fn typed_again(
    outline: &Outline,
    first: &SheetAnswers,
    desk: &mut Desk<'_>,
) -> Result<SheetAnswers, Failure> {
    writeln!(desk.aside, "{}", entry::SECOND_TIME)?;
    let mut sheet = AnswerSheet::new(outline);
    while !sheet.is_full() {
        let line = desk.ask(&entry::from_question(sheet.next()))?;
        match line.trim() {
            "" => {}
            again if again.eq_ignore_ascii_case("again") => sheet = AnswerSheet::new(outline),
            _ => take(&mut sheet, &line, desk)?,
        }
    }
    let second: SheetAnswers = sheet.whole().map_err(Failure::could_not)?.collect();
    let partings = differences(first, &second);
    if partings.is_empty() {
        writeln!(desk.aside, "{}", entry::KEYINGS_AGREE)?;
        return Ok(second);
    }
    let numbers: Vec<_> = partings.iter().map(|parting| parting.number).collect();
    writeln!(desk.aside, "{}", entry::keyings_part_at(&numbers))?;
    let mut answers = second;
    for Parting {
        number,
        first,
        second,
    } in partings
    {
        let typed = settled(outline, (number, first, second), desk)?;
        if let Some(answer) = answers.get_mut(number.index()) {
            answer.1 = typed;
        }
    }
    show(&AnswerSheet::of(outline, &answers), QuestionNo(1), desk)?;
    Ok(answers)
}

/// Asks what is on the paper until it is an answer to that question.
fn settled(
    outline: &Outline,
    (number, first, second): (QuestionNo, Typed, Typed),
    desk: &mut Desk<'_>,
) -> Result<Typed, Failure> {
    loop {
        let line = desk.ask(&entry::which_is_it(number, first, second))?;
        match AnswerSheet::read_one(outline, number, &line) {
            Ok(Some(typed)) => return Ok(typed),
            Ok(None) => {}
            Err(misread) => writeln!(desk.aside, "{}", entry::type_it_again(misread))?,
        }
    }
}
