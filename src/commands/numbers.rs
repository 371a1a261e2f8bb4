//! Question numbers and chances as typed: `3,18,21-25`, `0.9`, `1/5`, `25%`, `1-10:0.9`.

use std::collections::BTreeMap;

use super::failure::Failure;
use crate::domain::mark::Mark;
use crate::domain::paper::Outline;
use crate::domain::rule::QuestionNo;

/// What is wrong with the numbers behind an option.
#[derive(Debug, thiserror::Error)]
enum NumbersError<'a> {
    #[error("{option} {text}: question {number} is there twice; write it once")]
    Twice {
        option: &'a str,
        text: &'a str,
        number: QuestionNo,
    },
    #[error("{0} has no questions in it; write numbers and ranges, such as 3,18,21-25")]
    Empty(&'a str),
    #[error(
        "{0}: {1:?} has no colon; write a question or a range, a colon and the value, such as 1-10:3"
    )]
    NoColon(&'a str, &'a str),
    #[error(
        "{0}: a chance of {1} is above 1; write a number from 0 to 1, a fraction or a percentage, such as 0.25, 1/4 or 25%"
    )]
    AboveOne(&'a str, &'a str),
    #[error("{0}: a chance of {1} is below 0; write a number from 0 to 1")]
    BelowZero(&'a str, &'a str),
    #[error(
        "{0}: {1:?} isn't a chance; write a number from 0 to 1, a fraction or a percentage, such as 0.25, 1/4 or 25%"
    )]
    NoChance(&'a str, &'a str),
    #[error("{0}: {1:?} isn't a question or a range; write numbers and ranges, such as 3,18,21-25")]
    NoRange(&'a str, &'a str),
    #[error("{option}: the paper has no question {outside}; its questions are 1 to {last}")]
    Outside {
        option: &'a str,
        outside: u32,
        last: u16,
    },
    #[error("{option}: {text} goes backwards; write the lower number first, {low}-{high}")]
    Backwards {
        option: &'a str,
        text: &'a str,
        low: u16,
        high: u16,
    },
}

impl From<NumbersError<'_>> for Failure {
    fn from(error: NumbersError<'_>) -> Self {
        Self::wrong_words(error)
    }
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
        Some(number) => Err(NumbersError::Twice {
            option,
            text,
            number,
        }
        .into()),
        None if questions.is_empty() => Err(NumbersError::Empty(option).into()),
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
            return Err(NumbersError::NoColon(option, part).into());
        };
        for number in span(option, numbers.trim(), outline)? {
            if values.insert(number, read(number, value.trim())?).is_some() {
                return Err(NumbersError::Twice {
                    option,
                    text,
                    number,
                }
                .into());
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
        Some(p) if p > 1.0 => Err(NumbersError::AboveOne(option, text).into()),
        Some(_) => Err(NumbersError::BelowZero(option, text).into()),
        None => Err(NumbersError::NoChance(option, text).into()),
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
        return Err(NumbersError::NoRange(option, text).into());
    };
    let within = |number: u32| {
        u16::try_from(number)
            .ok()
            .filter(|n| (1..=outline.questions).contains(n))
    };
    let (Some(from), Some(to)) = (within(first), within(last)) else {
        let outside = if within(first).is_none() { first } else { last };
        return Err(NumbersError::Outside {
            option,
            outside,
            last: outline.questions,
        }
        .into());
    };
    if from > to {
        return Err(NumbersError::Backwards {
            option,
            text,
            low: to,
            high: from,
        }
        .into());
    }
    Ok((from..=to).map(QuestionNo).collect())
}
