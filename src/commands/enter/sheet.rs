//! An answer sheet as it is typed in: pure.

use std::fmt;

use crate::domain::event::How;
use crate::domain::labels::Label;
use crate::domain::paper::Outline;
use crate::domain::rule::QuestionNo;
use crate::words::sign::{Sign, how_cell};

/// A sheet's answers, question by question.
pub(super) type SheetAnswers = Vec<(QuestionNo, Typed)>;

/// One answer typed in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Typed {
    /// The option; none is a blank.
    pub option: Option<Label>,
    /// How sure the pupil was of it.
    pub how: How,
}

impl fmt::Display for Typed {
    /// As it is typed: `C`, `C?`, `C??`, `-`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.option {
            None => f.write_str(Sign::Blank.mark()),
            Some(option) => write!(f, "{option}{}", how_cell(Some(self.how)).trim_end()),
        }
    }
}

/// What is wrong with a line; columns count from 1.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Misread {
    /// No option of the question, no blank and no sign of doubt.
    NoOption {
        /// Where it stands.
        column: usize,
        /// What was typed.
        typed: char,
        /// The question it would have answered.
        question: QuestionNo,
        /// The question's options.
        options: String,
    },
    /// A sign of doubt that follows no answer.
    DoubtOfNothing {
        /// Where it stands.
        column: usize,
    },
    /// More answers than questions.
    TooMany {
        /// Where the first answer too many stands.
        column: usize,
        /// How many answers there would be.
        answers: usize,
        /// How many questions there are.
        questions: u16,
    },
    /// Several answers, where one question is asked about.
    NotOne {
        /// How many answers there are.
        answers: usize,
    },
    /// Fewer answers than questions.
    TooFew {
        /// How many answers there are.
        answers: usize,
        /// How many questions there are.
        questions: u16,
    },
}

impl fmt::Display for Misread {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoOption {
                column,
                typed,
                question,
                options,
            } => {
                write!(f, "column {column}: ")?;
                if typed.is_control() {
                    f.write_str("a key such as an arrow isn't an answer")?;
                } else {
                    write!(f, "'{typed}' isn't an answer")?;
                }
                write!(
                    f,
                    " to question {question}; write one of {options}, or - for a blank"
                )
            }
            Self::DoubtOfNothing { column } => write!(
                f,
                "column {column}: there's no answer before this ?; write it after an unsure answer, and ?? after a guess"
            ),
            Self::TooMany {
                column,
                answers,
                questions,
            } => {
                let more = match answers.saturating_sub(usize::from(*questions)) {
                    1 => "one answer".to_owned(),
                    more => format!("{more} answers"),
                };
                write!(
                    f,
                    "column {column}: {more} too many ({answers} for {questions} questions); check that none was typed twice"
                )
            }
            Self::NotOne { answers } => {
                write!(f, "there are {answers} answers for one question")
            }
            Self::TooFew { answers, questions } => write!(
                f,
                "there are {answers} answers for {questions} questions; write - for each blank, so that the numbering stays right"
            ),
        }
    }
}

impl std::error::Error for Misread {}

/// An answer sheet being typed in, a line or all at once.
#[derive(Clone, Debug)]
pub struct AnswerSheet<'a> {
    outline: &'a Outline,
    typed: Vec<Typed>,
}

impl<'a> AnswerSheet<'a> {
    /// A sheet with nothing on it.
    pub const fn new(outline: &'a Outline) -> Self {
        Self {
            outline,
            typed: Vec::new(),
        }
    }

    /// A sheet on which everything is.
    pub fn of(outline: &'a Outline, answers: &[(QuestionNo, Typed)]) -> Self {
        Self {
            outline,
            typed: answers.iter().map(|(_, typed)| *typed).collect(),
        }
    }

    /// Reads one answer to one question; nothing where it is left out.
    ///
    /// # Errors
    /// What is wrong with it, more than one answer included.
    pub fn read_one(
        outline: &'a Outline,
        question: QuestionNo,
        text: &str,
    ) -> Result<Option<Typed>, Misread> {
        let blank = Typed {
            option: None,
            how: How::Worked,
        };
        let mut sheet = Self {
            outline,
            typed: vec![blank; question.index()],
        };
        sheet.read_line(text)?;
        let answers = sheet.typed.len() - question.index();
        if answers > 1 {
            return Err(Misread::NotOne { answers });
        }
        Ok(sheet.typed.get(question.index()).copied())
    }

    /// Reads a line: one letter for each question, `-` a blank, `?` after an unsure answer,
    /// `??` after a guess; spaces mean nothing.
    ///
    /// # Errors
    /// The first thing wrong with it; the sheet is then as it was.
    pub fn read_line(&mut self, line: &str) -> Result<(), Misread> {
        let mut typed = self.typed.clone();
        for (index, c) in line.chars().enumerate() {
            let column = index + 1;
            match c {
                c if c.is_whitespace() => {}
                '?' => match typed.last_mut().filter(|last| last.option.is_some()) {
                    Some(last) => last.how = last.how.next_said(),
                    None => return Err(Misread::DoubtOfNothing { column }),
                },
                c => {
                    let question = QuestionNo::from_index(typed.len());
                    if question.0 > self.outline.questions {
                        return Err(self.too_many(line, column));
                    }
                    typed.push(self.answer(question, c, column)?);
                }
            }
        }
        self.typed = typed;
        Ok(())
    }

    /// A line that goes on past the last question.
    fn too_many(&self, line: &str, column: usize) -> Misread {
        let answers = line.chars().filter(|c| !c.is_whitespace() && *c != '?');
        Misread::TooMany {
            column,
            answers: self.typed.len() + answers.count(),
            questions: self.outline.questions,
        }
    }

    fn answer(&self, question: QuestionNo, c: char, column: usize) -> Result<Typed, Misread> {
        let labels = self.outline.labels(question);
        let option = labels.find(c);
        // Dashes as word processors write them are blanks too.
        if option.is_none() && !matches!(c, '-' | '\u{2010}'..='\u{2015}' | '\u{2212}') {
            return Err(Misread::NoOption {
                column,
                typed: c,
                question,
                options: labels.to_string(),
            });
        }
        Ok(Typed {
            option,
            how: How::Worked,
        })
    }

    /// Whether every question has its answer or blank.
    pub fn is_full(&self) -> bool {
        self.typed.len() >= usize::from(self.outline.questions)
    }

    /// The question that the next answer is for.
    pub fn next(&self) -> QuestionNo {
        QuestionNo::from_index(self.typed.len())
    }

    /// The answers, question by question.
    ///
    /// # Errors
    /// A sheet that is not full.
    pub fn whole(&self) -> Result<impl Iterator<Item = (QuestionNo, Typed)> + '_, Misread> {
        if !self.is_full() {
            return Err(Misread::TooFew {
                answers: self.typed.len(),
                questions: self.outline.questions,
            });
        }
        let numbered = self.typed.iter().enumerate();
        Ok(numbered.map(|(index, typed)| (QuestionNo::from_index(index), *typed)))
    }

    /// Which answer stands for which number, ten to a line, from question `from` on.
    pub fn shown(&self, from: QuestionNo) -> Vec<String> {
        let numbered = self.typed.iter().enumerate().skip(from.index());
        let cells: Vec<_> = numbered
            .map(|(index, typed)| {
                let option = typed.option.map_or_else(
                    || Sign::Blank.mark().to_owned(),
                    |option| option.to_string(),
                );
                let number = QuestionNo::from_index(index);
                format!("{number:>4} {option}{}", how_cell(Some(typed.how)))
            })
            .collect();
        let lines = cells.chunks(10);
        lines
            .map(|cells| cells.concat().trim_end().to_owned())
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use super::*;
    use crate::domain::labels::Labels;
    use crate::papers;

    fn outline() -> Outline {
        let section = papers::section(1, 12, ["1", "0", "0"]);
        Outline {
            own_options: BTreeMap::from([(QuestionNo(3), Labels::new("AB").unwrap())]),
            ..papers::paper("P", 60, [section]).outline
        }
    }

    #[test]
    fn letters_dashes_and_signs_of_doubt_in_several_lines() {
        let outline = outline();
        let mut sheet = AnswerSheet::new(&outline);
        sheet.read_line(" ab? A–\t-").unwrap();
        assert_eq!((sheet.next(), sheet.is_full()), (QuestionNo(6), false));
        assert_eq!(
            sheet.shown(QuestionNo(1)),
            ["   1 A     2 B?    3 A     4 -     5 -"]
        );
        sheet.read_line("C").unwrap();
        sheet.read_line("?? DDDD???D e").unwrap();
        assert!(sheet.is_full());
        assert_eq!(
            sheet.shown(QuestionNo(1)),
            [
                "   1 A     2 B?    3 A     4 -     5 -     6 C??   7 D     8 D     9 D    10 D",
                "  11 D    12 E"
            ]
        );
        assert_eq!(sheet.shown(QuestionNo(12)), ["  12 E"]);
        let whole: Vec<_> = sheet.whole().unwrap().collect();
        let called = |how| {
            let own = whole.iter().filter(|(_, typed)| typed.how == how);
            own.map(|(number, _)| number.0).collect::<Vec<_>>()
        };
        assert_eq!(
            (called(How::Unsure), called(How::Guessed), whole.len()),
            (vec![2], vec![6], 12)
        );
    }

    #[test]
    fn a_bad_line_is_told_with_its_place_and_changes_nothing() {
        let outline = outline();
        let mut sheet = AnswerSheet::new(&outline);
        sheet.read_line("AB").unwrap();
        for (line, said) in [
            (
                "A F",
                "column 3: 'F' isn't an answer to question 4; write one of ABCDE, or - for a blank",
            ),
            (
                "C",
                "column 1: 'C' isn't an answer to question 3; write one of AB, or - for a blank",
            ),
            ("A-?", "column 3: there's no answer before this ?"),
            (
                "AAAAAAAAAAA",
                "column 11: one answer too many (13 for 12 questions)",
            ),
            (
                "A\u{1b}[A",
                "column 2: a key such as an arrow isn't an answer to question 4",
            ),
            (
                "AAAAAAAAAAAA?AAA",
                "column 11: 5 answers too many (17 for 12 questions)",
            ),
        ] {
            let misread = sheet.read_line(line).unwrap_err().to_string();
            assert!(misread.starts_with(said), "{misread}");
            assert_eq!(sheet.next(), QuestionNo(3));
        }
        let Err(misread) = sheet.whole().map(|_| ()) else {
            panic!("two answers are no whole sheet");
        };
        assert!(
            misread
                .to_string()
                .starts_with("there are 2 answers for 12 questions")
        );
        assert!(AnswerSheet::new(&outline).read_line("?").is_err());
    }
}
