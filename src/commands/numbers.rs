//! Question numbers and chances as typed: `3,18,21-25`, `0.9`, `1/5`, `25%`, `1-10:0.9`.

use std::collections::BTreeMap;

use super::failure::Failure;
use crate::domain::mark::Mark;
use crate::domain::paper::Outline;
use crate::domain::rule::QuestionNo;

/// Words that make no sense: what, and the way out.
pub(super) fn wrong(sentence: impl std::fmt::Display) -> Failure {
    Failure::WrongWords(format!("{sentence}"))
}

/// Reads a list of questions of a paper, each once, in the order of the paper.
pub(super) fn questions(
    option: &str,
    text: &str,
    outline: &Outline,
) -> Result<Vec<QuestionNo>, Failure> {
    let mut questions = Vec::new();
    for part in parts(text) {
        questions.extend(span(option, part, outline)?);
    }
    questions.sort_unstable();
    let twice = questions.windows(2).find_map(|pair| match pair {
        [one, next] if one == next => Some(*one),
        _ => None,
    });
    match twice {
        Some(number) => Err(wrong(format!(
            "{option} {text}: question {number} stands there twice; write it once"
        ))),
        None if questions.is_empty() => Err(wrong(format!(
            "{option} names no question; write numbers and ranges, such as 3,18,21-25"
        ))),
        None => Ok(questions),
    }
}

/// Reads values given to questions and ranges of them: `1-10:0.9,18:0.5`.
pub(super) fn by_question<T: Copy>(
    option: &str,
    text: &str,
    outline: &Outline,
    mut read: impl FnMut(QuestionNo, &str) -> Result<T, Failure>,
) -> Result<BTreeMap<QuestionNo, T>, Failure> {
    let mut values = BTreeMap::new();
    for part in parts(text) {
        let Some((numbers, value)) = part.split_once(':') else {
            return Err(wrong(format!(
                "{option}: {part:?} has no colon; write a question or a range, a colon and the value, such as 1-10:3"
            )));
        };
        for number in span(option, numbers.trim(), outline)? {
            if values.insert(number, read(number, value.trim())?).is_some() {
                return Err(wrong(format!(
                    "{option} {text}: question {number} stands there twice; write it once"
                )));
            }
        }
    }
    Ok(values)
}

/// Reads a chance: a decimal, a fraction or per cent.
pub(super) fn chance(option: &str, text: &str) -> Result<f64, Failure> {
    let (number, hundred) = match text.strip_suffix('%') {
        Some(number) => (number.trim_end(), 100.0),
        None => (text, 1.0),
    };
    let exact = number.parse::<Mark>().ok().map(Mark::to_f64);
    let read = exact.or_else(|| number.parse().ok().filter(|p: &f64| p.is_finite()));
    match read.map(|number| number / hundred) {
        Some(p) if (0.0..=1.0).contains(&p) => Ok(p),
        Some(p) if p > 1.0 => Err(wrong(format!(
            "{option}: a chance of {text} is above 1; write a number from 0 to 1, a fraction or per cent, such as 0.25, 1/4 or 25%"
        ))),
        Some(_) => Err(wrong(format!(
            "{option}: a chance of {text} is below 0; write a number from 0 to 1"
        ))),
        None => Err(wrong(format!(
            "{option}: {text:?} is no chance; write a number from 0 to 1, a fraction or per cent, such as 0.25, 1/4 or 25%"
        ))),
    }
}

/// The parts between commas; blanks between them count as commas too.
pub(super) fn parts(text: &str) -> impl Iterator<Item = &str> {
    let parts = text.split(|c: char| c == ',' || c.is_whitespace());
    parts.filter(|part| !part.is_empty())
}

/// One question or a range of them, all of this paper.
fn span(option: &str, text: &str, outline: &Outline) -> Result<Vec<QuestionNo>, Failure> {
    let number = |text: &str| {
        let digits = (1..=9).contains(&text.len()) && text.bytes().all(|b| b.is_ascii_digit());
        digits.then(|| text.parse::<u32>().ok())?
    };
    let (first, last) = text.split_once('-').unwrap_or((text, text));
    let (Some(first), Some(last)) = (number(first.trim()), number(last.trim())) else {
        return Err(wrong(format!(
            "{option}: {text:?} is no question and no range; write numbers and ranges, such as 3,18,21-25"
        )));
    };
    let within = |number: u32| {
        u16::try_from(number)
            .ok()
            .filter(|n| (1..=outline.questions).contains(n))
    };
    let (Some(from), Some(to)) = (within(first), within(last)) else {
        let outside = if within(first).is_none() { first } else { last };
        return Err(wrong(format!(
            "{option}: the paper has no question {outside}; its questions are 1 to {}",
            outline.questions
        )));
    };
    if from > to {
        return Err(wrong(format!(
            "{option}: {text} goes backwards; write the lower number first, {to}-{from}"
        )));
    }
    Ok((from..=to).map(QuestionNo).collect())
}
