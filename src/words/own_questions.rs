//! A pupil's own questions after a sitting: each with its hint, never with the right answer.

use crate::analysis::{Marks, Studied};
use crate::domain::key::Key;
use crate::domain::labels::Labels;
use crate::domain::paper::{Paper, Question};
use crate::domain::rule::QuestionNo;
use crate::domain::sitting::{Row, Sitting};
use crate::words::aloud::{figure, no_such_question, option};
use crate::words::ask::{AskLine, AskRow, Asking};
use crate::words::count::agree;
use crate::words::numbers::ranges_in_words;
use crate::words::sign::LATE;

/// Where one is.
pub const TITLE: &str = "Your questions";
/// Asks which one.
pub const CHOOSE: &str = "Choose a question to see it again, with its hint. Esc leaves.";
/// The way back from one.
pub const BACK_TO_THEM: &str = "Back to your questions";
/// Where a question has no hint.
pub const NO_HINT: &str = "There's no hint for this one. Talk to your tutor about it.";
/// Where its words are on paper.
pub const ON_PAPER: &str = "This question is on the printed paper.";

/// Of a step over the first or the last question, in lines.
pub const NO_OTHER: &str = "There's no other question that way. Type a number, list, or leave.";

/// What can be typed among them.
pub fn help_in_lines() -> Vec<String> {
    [
        "Your questions. Type a number to hear that question again, with its hint.",
        "Enter alone goes to the next one, back to the one before.",
        "list: hear all your answers. leave: stop here.",
    ]
    .map(str::to_owned)
    .to_vec()
}

/// A question's words: its stem, its figure as it stands or in words, its options; nothing where it is on paper.
pub fn question_text(
    question: &Question,
    labels: &Labels,
    figure_in_words: bool,
) -> Option<Vec<AskLine>> {
    let mut text = vec![AskLine::Words(question.stem.clone()?)];
    match (&question.figure_words, &question.figure) {
        (Some(words), Some(_)) if figure_in_words => text.push(AskLine::Words(figure(words))),
        (_, Some(figure)) => {
            let lines = figure.lines();
            text.extend(lines.map(|line| AskLine::AsItStands(line.to_owned())));
        }
        (_, None) => {}
    }
    let options = labels.iter().zip(&question.options);
    text.extend(options.map(|(label, words)| AskLine::Words(option(label, words, false))));
    Some(text)
}

/// A sitting's questions, as its pupil opens them.
#[derive(Clone, Copy)]
pub struct OwnQuestions<'a> {
    /// The sitting.
    pub end: &'a Sitting,
    /// Its paper, where it is at hand.
    pub paper: Option<&'a Paper>,
    /// The key, for its hints.
    pub key: Option<&'a Key>,
    /// The marks, where the pupil sees them.
    pub marks: Option<&'a Marks>,
}

impl<'a> OwnQuestions<'a> {
    /// Of a sitting that was marked, or only kept.
    pub fn of(studied: &'a Studied, paper: Option<&'a Paper>, key: Option<&'a Key>) -> Self {
        let keyed = studied.keyed.as_ref();
        Self {
            end: studied.analysis.end(),
            paper,
            key,
            marks: keyed.map(|keyed| &keyed.marks),
        }
    }

    /// The question at a place of the list.
    pub fn at(&self, place: usize) -> Option<QuestionNo> {
        Some(self.end.rows().get(place)?.number)
    }

    /// The place of a question in the list.
    pub fn place(&self, number: QuestionNo) -> Option<usize> {
        self.end.rows().iter().position(|row| row.number == number)
    }

    /// That a line is none of these questions, and what would do.
    pub fn not_yours(&self, typed: &str) -> String {
        if typed.chars().all(|c| c.is_ascii_digit()) {
            let all: Vec<_> = self.end.rows().iter().map(|row| row.number).collect();
            return no_such_question(&all);
        }
        format!("{typed} isn't one of the words here. Type a number, help, or leave.")
    }

    /// All answers in lines, blanks in a row together.
    pub fn rows_aloud(&self) -> Vec<String> {
        let is_blank = |row: &Row| row.standing().is_none();
        let rows = self.end.rows();
        let runs = rows.chunk_by(|one, other| is_blank(one) && is_blank(other));
        let run = |run: &[Row]| {
            let all: Vec<_> = run.iter().map(|row| row.number).collect();
            let word = agree(all.len(), "Question", "Questions");
            let said = self.answered(run.first()?);
            Some(format!("{word} {}: {said}.", ranges_in_words(&all)))
        };
        runs.filter_map(run).collect()
    }

    /// One of them in lines.
    pub fn aloud(&self, place: usize) -> Vec<String> {
        let Some(number) = self.at(place) else {
            return Vec::new();
        };
        let Asking { question, text, .. } = self.one(number, true);
        let text = text.into_iter().map(|line| match line {
            AskLine::Words(line) | AskLine::AsItStands(line) => line,
        });
        std::iter::once(format!("{question}."))
            .chain(text)
            .collect()
    }

    /// The list of them.
    pub fn list(&self) -> Asking {
        let rows = self.end.rows().iter().map(|row| {
            let name = format!("Question {}", row.number);
            AskRow::new(name, self.answered(row))
        });
        Asking {
            title: TITLE.to_owned(),
            question: CHOOSE.to_owned(),
            rows: rows.collect(),
            ..Asking::default()
        }
    }

    /// `C, wrong`, or `C` where no marks are shown.
    fn answered(&self, row: &Row) -> String {
        let mut said = match row.standing() {
            Some(given) => given.option.to_string(),
            None => "blank".to_owned(),
        };
        let marks = self.marks.map(|marks| &marks.with_guess_round.questions);
        let mut marked = marks.into_iter().flatten();
        let own = marked.find(|own| own.answer.number == row.number);
        if let Some(own) = own.filter(|_| row.standing().is_some()) {
            said = format!("{said}, {}", own.outcome.word());
        }
        if row.in_time.is_none() && row.after_time.is_some() {
            said = format!("{said}, {LATE}");
        }
        said
    }

    /// A question again: its words, what was answered, its hint; a figure as it stands, or in words.
    pub fn one(&self, number: QuestionNo, figure_in_words: bool) -> Asking {
        let question = self
            .paper
            .and_then(|paper| paper.questions.get(number.index()));
        let labels = self.end.header().paper.labels(number);
        let mut text = question
            .and_then(|question| question_text(question, labels, figure_in_words))
            .unwrap_or_else(|| vec![AskLine::Words(ON_PAPER.to_owned())]);
        let mut rows = self.end.rows().iter();
        if let Some(row) = rows.find(|row| row.number == number) {
            text.push(AskLine::Words(format!(
                "Your answer: {}.",
                self.answered(row)
            )));
        }
        let hint = self
            .key
            .and_then(|key| key.notes.get(&number)?.hint.as_ref());
        text.push(AskLine::Words(hint.map_or_else(
            || NO_HINT.to_owned(),
            |hint| format!("Hint: {hint}"),
        )));
        Asking {
            title: TITLE.to_owned(),
            question: format!("Question {number}"),
            text,
            rows: vec![AskRow::new(BACK_TO_THEM, "")],
            ..Asking::default()
        }
    }
}
