//! The heading of a class answer list: which column holds which question.

use csv::ByteRecord;

use crate::domain::paper::Outline;
use crate::domain::rule::QuestionNo;
use crate::storage::files::locate::Place;
use crate::storage::files::problem::{Problem, Severity, and_more, keep_told};

/// What the heading says.
#[derive(Debug)]
pub(super) struct Head {
    /// The question of each column after the first.
    pub(super) questions: Vec<QuestionNo>,
}

impl Head {
    /// Takes a heading that names a pupil's column first and then every question of the paper once.
    pub(super) fn read(
        record: &ByteRecord,
        line: usize,
        paper: &Outline,
    ) -> Result<Self, Vec<Problem>> {
        let mut problems = Vec::new();
        let mut questions: Vec<QuestionNo> = Vec::new();
        let mut cells = record.iter();
        let first = cells.next().unwrap_or_default();
        if number(first).is_some() || record.len() < 2 {
            problems.push(
                Problem::whole(format!(
                    "the first column is headed {} but has to name the pupils; write a heading such as pupil,1,2,3",
                    shown(first)
                ))
                .about(Place { line, col: 1 }, ""),
            );
        }
        for (col, cell) in (2..).zip(cells) {
            let wrong = |sentence: String| {
                let field = format!("column {}", column_name(col));
                Problem::whole(sentence).about(Place { line, col }, field)
            };
            let last = paper.questions;
            match number(cell).map(QuestionNo) {
                Some(question) if questions.contains(&question) => problems.push(wrong(format!(
                    "question {question} is in the heading twice; keep one of the two columns"
                ))),
                Some(question) if (1..=last).contains(&question.0) => questions.push(question),
                Some(question) => problems.push(wrong(format!(
                    "the paper has no question {question}, only 1 to {last}; delete the column, or name the right paper"
                ))),
                None => problems.push(wrong(format!(
                    "{} isn't a question number; head each column with its question, 1 to {last}",
                    shown(cell)
                ))),
            }
        }
        let missing: Vec<String> = paper
            .numbers()
            .filter(|number| !questions.contains(number))
            .map(|number| number.to_string())
            .collect();
        if problems.is_empty() && !missing.is_empty() {
            let which = missing
                .iter()
                .take(10)
                .cloned()
                .collect::<Vec<_>>()
                .join(", ");
            let more = if missing.len() > 10 { " and more" } else { "" };
            problems.push(
                Problem::whole(format!(
                    "the heading has no question {which}{more}; add a column for every question of the paper"
                ))
                .about(Place { line, col: record.len() }, ""),
            );
        }
        let more = keep_told(&mut problems);
        if more > 0 {
            problems.push(and_more(more, Severity::Wrong));
        }
        if problems.is_empty() {
            Ok(Self { questions })
        } else {
            Err(problems)
        }
    }
}

/// A cell as a sentence may show it: short, and without anything that could paint the screen.
pub(super) fn shown(cell: &[u8]) -> String {
    let text = String::from_utf8_lossy(cell);
    let short: String = text.trim().chars().take(20).collect();
    format!("{short:?}")
}

/// The question that a heading names: `7`, `Q7`, `q7`.
fn number(cell: &[u8]) -> Option<u16> {
    let text = str::from_utf8(cell).ok()?.trim();
    let digits = text.strip_prefix(['q', 'Q']).unwrap_or(text).trim_start();
    let plain = (1..=5).contains(&digits.len()) && digits.bytes().all(|byte| byte.is_ascii_digit());
    plain.then(|| digits.parse().ok())?
}

/// The letters that a spreadsheet heads a column with: A for 1, Z for 26, AA for 27.
pub(super) fn column_name(column: usize) -> String {
    let mut letters = Vec::new();
    let mut left = column;
    while left > 0 {
        left -= 1;
        let letter = u8::try_from(left % 26).unwrap_or(0);
        letters.push(char::from(b'A' + letter));
        left /= 26;
    }
    letters.iter().rev().collect()
}

/// What divides the cells, from the beginning of the file.
pub(super) fn delimiter(start: &[u8]) -> Result<u8, Problem> {
    if start.starts_with(b"\xff\xfe") || start.starts_with(b"\xfe\xff") {
        return Err(Problem::whole("the file is UTF-16; save it as CSV UTF-8"));
    }
    let text = start.strip_prefix(b"\xef\xbb\xbf").unwrap_or(start);
    let Some(from) = text.iter().position(|byte| !byte.is_ascii_whitespace()) else {
        return Err(Problem::whole(
            "the file is empty; write a heading such as pupil,1,2,3 and a row for each answer sheet",
        ));
    };
    let rest = text.get(from..).unwrap_or_default();
    let line = rest.split(|byte| matches!(byte, b'\n' | b'\r')).next();
    let has = |wanted: u8| line.is_some_and(|line| line.contains(&wanted));
    Ok(match (has(b','), has(b';'), has(b'\t')) {
        (true, ..) => b',',
        (_, true, _) => b';',
        (_, _, true) => b'\t',
        _ => b',',
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_are_named_as_a_spreadsheet_names_them() {
        let names: Vec<String> = [1, 2, 26, 27, 52, 53, 702, 703].map(column_name).to_vec();
        assert_eq!(names, ["A", "B", "Z", "AA", "AZ", "BA", "ZZ", "AAA"]);
    }

    #[test]
    fn a_heading_names_a_question_with_or_without_a_q() {
        let read =
            ["7", " 07", "Q7", "q 7", "-7", "7a", "", "123456"].map(|text| number(text.as_bytes()));
        assert_eq!(
            read,
            [Some(7), Some(7), Some(7), Some(7), None, None, None, None]
        );
    }

    #[test]
    fn the_first_line_tells_what_divides_the_cells() {
        let found = |text: &str| delimiter(text.as_bytes()).ok();
        assert_eq!(found("pupil,1;2\n"), Some(b','));
        assert_eq!(found("\u{feff}\npupil;1\na,b"), Some(b';'));
        assert_eq!(found("pupil\t1\n"), Some(b'\t'));
        assert_eq!((found(""), found("\u{feff}\r\n")), (None, None));
        assert!(delimiter(b"\xff\xfep\0").is_err());
    }
}
