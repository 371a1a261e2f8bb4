//! A sitting that is over, as its pupil is told of it: what was done, the marks where the key is
//! at hand, what went well, what to do next time. Never a rank.

mod tell;

use crate::analysis::{AwardMark, Marks};
use crate::domain::event::{Ending, How};
use crate::domain::header::{Alias, INVENTED};
use crate::domain::mark::Mark;
use crate::domain::marking::QuestionMark;
use crate::domain::rule::QuestionNo;
use crate::domain::sitting::{Row, Sitting};
use crate::season::mark_range::AnotherDay;
use crate::words::another_day;
use crate::words::count::counted;
use crate::words::guess::{GuessWorth, guesses_bring};
use crate::words::instructions::TextBlock;
use crate::words::numbers::{marks_in_words, plain, questions_in_words};
use crate::words::rule::PRACTICE_ONLY;
use crate::words::shortfall::ways_in_full;
use crate::words::sign::{LATE, Sign, legend};
use crate::words::step::YOUR_STEP;

/// Everything the pupil is told.
#[derive(Clone, Debug, PartialEq)]
pub struct Ended {
    /// Who sat.
    pub pupil: Alias,
    /// The paper's title.
    pub paper: String,
    /// How the sitting ended.
    pub ending: Ending,
    /// What was done.
    pub done: Done,
    /// The marks, where the key is at hand and the sitting was not given up.
    pub marks: Option<Marks>,
    /// Where the mark in time would lie in 8 of 10 cases on another day.
    pub range: Option<AnotherDay>,
    /// What became of the step agreed before it, where it judged one.
    pub step: Option<String>,
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
    /// What everybody starts with by the rule.
    pub start: Mark,
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
    /// What guesses on those without an answer in time would have brought.
    pub guesses: GuessWorth,
    /// Those called unsure in time.
    pub unsure: Vec<QuestionNo>,
    /// Those called a guess in time.
    pub guessed: Vec<QuestionNo>,
    /// What was left blank the last time, where that may be told.
    pub last_time: Option<BlanksLastTime>,
}

/// What a pupil left blank in the last whole sitting before this one.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BlanksLastTime {
    /// How many questions had no answer in time.
    pub blanks: usize,
    /// How many questions there were.
    pub questions: usize,
    /// The title of that paper, where it is not the one sat now.
    pub other_paper: Option<String>,
}

impl BlanksLastTime {
    /// `Last time: 9.`, `Last time: 9 of 12 questions (Saltmarsh Shield: practice paper B).`
    fn sentence(&self) -> String {
        let Self {
            blanks, questions, ..
        } = self;
        match &self.other_paper {
            None => format!("Last time: {blanks}."),
            Some(paper) => format!(
                "Last time: {blanks} of {} ({paper}).",
                counted(*questions, "question")
            ),
        }
    }
}

impl Done {
    /// Counts a sitting's answer sheet.
    pub fn of(sitting: &Sitting) -> Self {
        let rows = sitting.rows();
        let after = |row: &&Row| row.in_time.is_none() && row.after_time.is_some();
        let called = |how: How| {
            let rows = rows.iter();
            let called = rows.filter(|row| row.in_time.is_some_and(|given| given.how == how));
            called.map(|row| row.number).collect()
        };
        Self {
            start: sitting.header().paper.rule.start,
            questions: rows.len(),
            in_time: rows.iter().filter(|row| row.in_time.is_some()).count(),
            after_time: rows.iter().filter(after).count(),
            blanks: sitting.blanks().collect(),
            flags: sitting.flags().collect(),
            guesses: {
                let blank = rows.iter().filter(|row| row.in_time.is_none());
                GuessWorth::on(sitting, blank.map(|row| row.number))
            },
            unsure: called(How::Unsure),
            guessed: called(How::Guessed),
            last_time: None,
        }
    }

    /// What the blanks at time up would have been worth, and how many there were the last time.
    fn blanks_line(&self, ending: Ending) -> Option<String> {
        let blanks = self.questions.saturating_sub(self.in_time);
        let left = match (blanks, &self.last_time) {
            (0, None) => return None,
            (0, _) => "You left nothing blank.".to_owned(),
            // Some of them may have been guessed since.
            (blanks, _) if matches!(ending, Ending::TimeUp | Ending::GuessRoundDone) => {
                format!("At time up: {}.", counted(blanks, "blank"))
            }
            (blanks, _) => format!("You left {}.", counted(blanks, "blank")),
        };
        let bring = guesses_bring(self.guesses, blanks);
        let last = self.last_time.as_ref().map(BlanksLastTime::sentence);
        let said: Vec<String> = [left].into_iter().chain(last).chain(bring).collect();
        Some(said.join(" "))
    }

    /// How many questions were answered in time.
    pub fn answered(&self) -> String {
        format!(
            "You answered {} of {} in time.",
            self.in_time,
            counted(self.questions, "question")
        )
    }
}

/// A question's cell: `7 C right`, `7 C? right` where the answer was unsure, `7 C right, late` after
/// time; no answer is `-`.
pub fn question_in_words(question: &QuestionMark) -> String {
    let answer = question.answer;
    let given = answer
        .given
        .map_or_else(|| Sign::Blank.mark().to_owned(), |given| given.to_string());
    let how = answer.how.and_then(Sign::of_answer);
    let how = how.map_or("", Sign::mark);
    let late = if answer.after_time {
        format!(", {LATE}")
    } else {
        String::new()
    };
    format!(
        "{} {given}{how} {}{late}",
        answer.number,
        question.outcome.word()
    )
}

impl Ended {
    /// The same, with what was left blank the last time.
    #[must_use]
    pub fn with_last_time(mut self, last: Option<BlanksLastTime>) -> Self {
        self.done.last_time = last;
        self
    }

    /// The same, with what became of the step agreed before it.
    #[must_use]
    pub fn with_step(mut self, step: Option<String>) -> Self {
        self.step = step;
        self
    }

    /// What the signs beside answers mean, where there are any.
    pub fn signs_mean(&self) -> Option<String> {
        let questions = self.marks.iter();
        let questions = questions.flat_map(|marks| &marks.with_guess_round.questions);
        let hows: Vec<How> = questions.filter_map(|mark| mark.answer.how).collect();
        let hows = [How::Unsure, How::Guessed, How::Filled].map(|how| (how, hows.contains(&how)));
        let signs = hows.iter().filter(|(_, is_there)| *is_there);
        let signs: Vec<Sign> = signs.filter_map(|(how, _)| Sign::of_answer(*how)).collect();
        (!signs.is_empty()).then(|| legend(&signs))
    }

    /// The first line: how it ended.
    pub const fn closing(&self) -> &'static str {
        match self.ending {
            Ending::FinishedEarly => "You've finished.",
            Ending::GuessRoundDone if self.done.after_time > 0 => {
                "Time's up, and you've finished the guess round."
            }
            Ending::TimeUp | Ending::GuessRoundDone => "Time's up.",
            Ending::Abandoned => {
                "You stopped this sitting. Your answers are kept, but it doesn't count."
            }
            Ending::Entered => "The answer sheet is typed in.",
        }
    }

    /// What stands below the first line: that nobody sat it, where that is so.
    pub fn caution(&self) -> Option<&'static str> {
        self.invented.then_some(INVENTED)
    }

    /// Everything but the single questions, in the order in which it is told.
    pub fn blocks(&self) -> Vec<TextBlock> {
        let blanks = self.done.blanks_line(self.ending);
        // A sitting that was given up was not about its blanks.
        let blanks = blanks.filter(|_| self.ending != Ending::Abandoned);
        let mut blocks: Vec<TextBlock> = blanks
            .map(|line| TextBlock {
                heading: "Blanks",
                lines: vec![line],
            })
            .into_iter()
            .collect();
        blocks.push(TextBlock {
            heading: "Marks",
            lines: self.marks_lines(),
        });
        if let Some(marks) = self.marks.as_ref().filter(|marks| !marks.awards.is_empty()) {
            let mut lines: Vec<_> = marks.awards.iter().map(award_line).collect();
            lines.push(
                "By this paper's boundaries and your mark in time. Not an official result."
                    .to_owned(),
            );
            blocks.push(TextBlock {
                heading: "Awards",
                lines,
            });
        }
        let single = |heading, line: &str| TextBlock {
            heading,
            lines: vec![line.to_owned()],
        };
        if let Some(step) = &self.step {
            blocks.push(single(YOUR_STEP, step));
        }
        blocks.push(single("Went well", &self.good));
        blocks.push(single("Next time", &self.next));
        blocks.push(TextBlock {
            heading: "Answer sheet",
            lines: self.done_lines(),
        });
        blocks
    }

    /// The last lines.
    pub fn last_lines(&self) -> Vec<String> {
        vec![
            format!("Saved in {}", self.saved_at),
            PRACTICE_ONLY.to_owned(),
        ]
    }

    fn marks_lines(&self) -> Vec<String> {
        if self.ending == Ending::Abandoned {
            return vec!["No mark for a sitting that was given up.".to_owned()];
        }
        let Some(marks) = &self.marks else {
            return vec!["Your tutor has the answer key and will mark this with you.".to_owned()];
        };
        let max = plain(marks.max());
        let mut in_time = format!("In time: {} of {max}.", plain(marks.in_time.total));
        if self.done.start > Mark::ZERO {
            let start = marks_in_words(self.done.start);
            in_time = format!("{in_time} That includes the {start} everybody starts with.");
        }
        let mut lines = vec![in_time];
        if marks.has_guess_round() {
            let with = plain(marks.with_guess_round.total);
            lines.push(format!("With the guess round: {with} of {max}."));
        }
        let range = if marks.has_guess_round() {
            another_day::yours_in_time
        } else {
            another_day::yours
        };
        lines.extend(self.range.map(range));
        lines
    }

    fn done_lines(&self) -> Vec<String> {
        let done = &self.done;
        let mut lines = vec![done.answered()];
        if done.after_time > 0 {
            lines.push(format!("{} more after time was up.", done.after_time));
        }
        for (what, numbers) in [
            ("Unsure", &done.unsure),
            ("Guessed in time", &done.guessed),
            ("Still blank", &done.blanks),
            ("Flag on", &done.flags),
        ] {
            if !numbers.is_empty() {
                lines.push(format!("{what}: {}.", questions_in_words(numbers)));
            }
        }
        lines
    }
}

fn award_line(award: &AwardMark) -> String {
    let (name, boundary) = (&award.name, marks_in_words(award.boundary));
    let far = award.short.as_ref().map(ways_in_full);
    let reached = match &far {
        _ if award.reached_in_time => "reached in time",
        Some(far) => far,
        None => "not this time",
    };
    format!("{name}, from {boundary}: {reached}.")
}
