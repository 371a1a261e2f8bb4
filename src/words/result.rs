//! A sitting that is over, as its pupil is told of it: what was done, the marks where the key is
//! at hand, what went well, what to do next time. Never a rank.

mod tell;

use crate::domain::event::Ending;
use crate::domain::header::{Alias, INVENTED};
use crate::domain::labels::Label;
use crate::domain::marking::Outcome;
use crate::domain::rule::QuestionNo;
use crate::domain::sitting::Sitting;
use crate::words::count::counted;
use crate::words::instructions::Block;
use crate::words::numbers::numbers_in_words;
use crate::words::rule::PRACTICE_ONLY;

/// Everything the pupil is told.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ended {
    /// Who sat.
    pub pupil: Alias,
    /// The paper's title.
    pub paper: String,
    /// How the sitting ended.
    pub ending: Ending,
    /// What was done.
    pub done: Done,
    /// The marks, where the key is at hand.
    pub marks: Option<ResultMarks>,
    /// One encouraging true sentence.
    pub good: String,
    /// One thing to do next time.
    pub next: String,
    /// The sitting's file.
    pub saved_at: String,
    /// Whether the sitting is made up.
    pub invented: bool,
}

/// What was done, without any key.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Done {
    /// How many questions were sat.
    pub questions: usize,
    /// How many have an answer in time.
    pub in_time: usize,
    /// How many were guessed or filled after time was up.
    pub after_time: usize,
    /// Those still blank.
    pub blanks: Vec<QuestionNo>,
    /// Those with a flag.
    pub flags: Vec<QuestionNo>,
}

impl Done {
    /// Counts a sitting's answer sheet.
    pub fn of(sitting: &Sitting) -> Self {
        let rows = sitting.rows();
        let after =
            |row: &&crate::domain::sitting::Row| row.in_time.is_none() && row.after_time.is_some();
        Self {
            questions: rows.len(),
            in_time: rows.iter().filter(|row| row.in_time.is_some()).count(),
            after_time: rows.iter().filter(after).count(),
            blanks: sitting.blanks().collect(),
            flags: sitting.flags().collect(),
        }
    }
}

/// The marks as text, the awards, and what became of each question.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ResultMarks {
    /// The mark in time.
    pub in_time: String,
    /// The mark with the guess round, where there was one.
    pub with_guess_round: Option<String>,
    /// The most there could be.
    pub max: String,
    /// The range of another day, such as `54 to 70`, where one can be told.
    pub range: Option<String>,
    /// The awards, lowest boundary first.
    pub awards: Vec<AwardReached>,
    /// Every question, in order.
    pub questions: Vec<QuestionResult>,
}

/// An award, and whether it was reached.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AwardReached {
    /// Its name.
    pub name: String,
    /// Its lowest mark.
    pub boundary: String,
    /// Whether, and how.
    pub reached: Reached,
}

/// Whether an award was reached.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Reached {
    /// In time.
    InTime,
    /// With the guess round only.
    WithGuessRound,
    /// Not this time; how far it is, where that can be said: `6 marks more`.
    NotYet(Option<String>),
}

/// What became of a question.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct QuestionResult {
    /// The question.
    pub number: QuestionNo,
    /// What was chosen, if anything.
    pub given: Option<Label>,
    /// What became of it.
    pub outcome: Outcome,
    /// Whether it was chosen after time was up.
    pub after_time: bool,
}

impl QuestionResult {
    /// `7 C right`, with `*` after time; no answer is `-`.
    pub fn in_words(&self) -> String {
        let given = self.given.map_or('-', Label::as_char);
        let star = if self.after_time { "*" } else { "" };
        format!("{} {given} {}{star}", self.number, self.outcome.word())
    }
}

impl Ended {
    /// The first line: how it ended.
    pub const fn closing(&self) -> &'static str {
        match self.ending {
            Ending::FinishedEarly => "You have handed in. Well worked.",
            Ending::TimeUp => "Time is up. Well worked.",
            Ending::GuessRoundDone => "Time is up, and the guess round is over. Well worked.",
            Ending::Abandoned => "You stopped this sitting. It is kept, and asks for no mark.",
            Ending::Entered => "The answer sheet is typed in.",
        }
    }

    /// What stands below the first line: that nobody sat it, where that is so.
    pub fn caution(&self) -> Option<&'static str> {
        self.invented.then_some(INVENTED)
    }

    /// Everything but the single questions, in the order in which it is told.
    pub fn blocks(&self) -> Vec<Block> {
        let mut blocks = vec![Block {
            heading: "Marks",
            lines: self.marks_lines(),
        }];
        if let Some(marks) = self.marks.as_ref().filter(|marks| !marks.awards.is_empty()) {
            let mut lines: Vec<_> = marks.awards.iter().map(award_line).collect();
            lines.push("By this paper's boundaries. Not an official result.".to_owned());
            blocks.push(Block {
                heading: "Awards",
                lines,
            });
        }
        let single = |heading, line: &str| Block {
            heading,
            lines: vec![line.to_owned()],
        };
        blocks.push(single("Went well", &self.good));
        blocks.push(single("Next time", &self.next));
        blocks.push(Block {
            heading: "Answer sheet",
            lines: self.done_lines(),
        });
        blocks
    }

    /// The last lines.
    pub fn last_lines(&self) -> Vec<String> {
        vec![
            format!("Kept in {}", self.saved_at),
            PRACTICE_ONLY.to_owned(),
        ]
    }

    fn marks_lines(&self) -> Vec<String> {
        let Some(marks) = &self.marks else {
            return vec!["Your tutor has the key, and marks this sitting with you.".to_owned()];
        };
        let range = marks.range.as_ref().map_or_else(String::new, |range| {
            format!(" (about {range} on another day like this)")
        });
        let mut lines = vec![format!(
            "In time: {} of {}{range}.",
            marks.in_time, marks.max
        )];
        if let Some(with) = &marks.with_guess_round {
            lines.push(format!("With the guess round: {with} of {}.", marks.max));
        }
        lines
    }

    fn done_lines(&self) -> Vec<String> {
        let done = &self.done;
        let mut lines = vec![format!(
            "You answered {} of {} in time.",
            done.in_time,
            counted(done.questions, "question")
        )];
        if done.after_time > 0 {
            lines.push(format!("{} more after time was up.", done.after_time));
        }
        for (what, numbers) in [("Blank", &done.blanks), ("Flags", &done.flags)] {
            if !numbers.is_empty() {
                lines.push(format!("{what}: {}.", numbers_in_words(numbers)));
            }
        }
        lines
    }
}

fn award_line(award: &AwardReached) -> String {
    let AwardReached { name, boundary, .. } = award;
    let reached = match &award.reached {
        Reached::InTime => "reached in time",
        Reached::WithGuessRound => "reached with the guess round",
        Reached::NotYet(Some(far)) => far,
        Reached::NotYet(None) => "not this time",
    };
    format!("{name}, from {boundary}: {reached}.")
}
