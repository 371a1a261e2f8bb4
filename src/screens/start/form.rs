//! The arrangements of a sitting as rows that are changed with Left and Right or by typing.

use super::offer::Seating;
use crate::domain::header::{Arrangements, MOST_EXTRA_PERCENT, SLEEP_IS_TOLD, with_extra_time};
use crate::domain::mark::Mark;
use crate::domain::paper::Paper;
use crate::domain::questions::QuestionList;
use crate::domain::register::Registered;
use crate::domain::rule::QuestionNo;
use crate::domain::time::{Elapsed, LONGEST_MINUTES, parse_minutes};
use crate::screens::kit::Move;
use crate::words::numbers::{in_percent, plain};
use crate::words::start as words;
use crate::words::time::time_in_words;

/// The extra time that the arrows go through, in percent.
const EXTRA: [i64; 4] = [0, 10, 25, 50];
/// The most characters that are taken into a row.
const LONGEST_TYPED: usize = 24;

/// Stands where the next character typed will: a sign that no value and no alias can have.
pub(super) const CURSOR: char = '│';

/// One row.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum FormRow {
    Time,
    Extra,
    Breaks,
    Questions,
    Reminder,
    Sleep,
    Away,
    Marks,
}

/// The rows in order.
pub(super) const ROWS: [FormRow; 8] = [
    FormRow::Time,
    FormRow::Extra,
    FormRow::Breaks,
    FormRow::Questions,
    FormRow::Reminder,
    FormRow::Sleep,
    FormRow::Away,
    FormRow::Marks,
];

impl FormRow {
    /// What it is called.
    pub(super) const fn name(self) -> &'static str {
        self.words().0
    }

    /// What it does, in plain words.
    pub(super) const fn explained(self) -> &'static str {
        self.words().1
    }

    const fn words(self) -> (&'static str, &'static str) {
        match self {
            Self::Time => words::TIME,
            Self::Extra => words::EXTRA_TIME,
            Self::Breaks => words::REST_BREAKS,
            Self::Questions => words::QUESTIONS,
            Self::Reminder => words::REMINDER,
            Self::Sleep => words::SLEEP_COUNTS,
            Self::Away => words::AWAY_COUNTS,
            Self::Marks => words::MARKS_AT_THE_END,
        }
    }

    /// Whether something can be typed into it.
    pub(super) const fn takes_text(self) -> bool {
        match self {
            Self::Time | Self::Extra | Self::Questions | Self::Reminder => true,
            Self::Breaks | Self::Sleep | Self::Away | Self::Marks => false,
        }
    }
}

/// Who may change the arrangements on the page.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Changes {
    /// Whoever sits at it.
    Free,
    /// The same, but marks are kept back from everybody.
    NoMarks,
    /// Nobody: the tutor has arranged them.
    Bound,
}

/// The arrangements as they stand.
#[derive(Clone, Debug)]
pub(super) struct Form {
    /// The paper's own time.
    own: Elapsed,
    /// Another time, where one was chosen.
    pub(super) minutes: Option<Elapsed>,
    /// The rest; its reminder counts only where one was chosen.
    arranged: Arrangements,
    reminder_chosen: bool,
    /// Whether the marks are shown at the end, where a key is at hand.
    pub(super) marks: Option<bool>,
    /// Who may change what.
    changes: Changes,
    /// The choices of questions that the arrows go through.
    ranges: Vec<Option<QuestionList>>,
    /// The paper's last question.
    last: QuestionNo,
    /// The chosen row, from 0.
    pub(super) at: usize,
    /// What is being typed into it.
    pub(super) typing: Option<String>,
}

impl Form {
    /// The usual arrangements of a paper, whose key is at hand or not.
    pub(super) fn new(paper: &Paper, has_key: bool) -> Self {
        let last = QuestionNo(paper.outline.questions);
        let first = QuestionNo(1);
        let sections = &paper.outline.rule.sections;
        let mut ranges = vec![None];
        let front = sections.iter().map(|section| (first, section.last));
        let single = sections.iter().map(|section| (section.first, section.last));
        let lists = front
            .chain(single)
            .filter_map(|(first, last)| QuestionList::range(first, last));
        for list in lists.filter_map(|list| list.unless_all(last.0)) {
            if !ranges.contains(&Some(list.clone())) {
                ranges.push(Some(list));
            }
        }
        Self {
            own: paper.allowed,
            minutes: None,
            arranged: Arrangements::usual(paper.allowed),
            reminder_chosen: false,
            marks: has_key.then_some(true),
            changes: Changes::Free,
            ranges,
            last,
            at: 0,
            typing: None,
        }
    }

    /// The arrangements of a paper as they were settled elsewhere.
    pub(super) fn arranged(
        paper: &Paper,
        has_key: bool,
        seating: &Seating,
        is_bound: bool,
    ) -> Self {
        let mut form = Self::new(paper, has_key);
        if is_bound {
            form.changes = Changes::Bound;
        }
        let arranged = &seating.arrangements;
        form.minutes = seating.minutes;
        form.marks = has_key.then_some(seating.marks_at_end);
        form.reminder_chosen = true;
        if !form.ranges.contains(&arranged.only) {
            form.ranges.push(arranged.only.clone());
        }
        form.arranged = arranged.clone();
        form
    }

    /// The same as the tutor has arranged them, for nobody to change.
    pub(super) fn bound_to(self, registered: &Registered, shared: bool) -> Self {
        let remind = registered.remind;
        Self {
            arranged: Arrangements {
                extra_percent: registered.extra_percent,
                rest_breaks: registered.rest_breaks,
                remind_before: remind.unwrap_or(self.arranged.remind_before),
                ..self.arranged
            },
            reminder_chosen: remind.is_some(),
            marks: self.marks.map(|_| registered.marks && !shared),
            changes: Changes::Bound,
            ..self
        }
    }

    /// The same without marks at the end, which nobody can change.
    pub(super) fn without_marks(self) -> Self {
        Self {
            marks: self.marks.map(|_| false),
            changes: Changes::NoMarks,
            ..self
        }
    }

    /// Whether nobody can change anything on the page.
    pub(super) fn is_bound(&self) -> bool {
        self.changes == Changes::Bound
    }

    /// Whether the chosen row can be changed on the page.
    pub(super) fn can_change(&self) -> bool {
        match self.changes {
            Changes::Free => self.row() != FormRow::Marks || self.marks.is_some(),
            Changes::NoMarks => self.row() != FormRow::Marks,
            Changes::Bound => false,
        }
    }

    /// The chosen row.
    pub(super) fn row(&self) -> FormRow {
        ROWS.get(self.at).copied().unwrap_or(FormRow::Time)
    }

    /// The time before extra time.
    pub(super) fn standard(&self) -> Elapsed {
        self.minutes.unwrap_or(self.own)
    }

    /// The arrangements that come of it.
    pub(super) fn arrangements(&self) -> Arrangements {
        let allowed = with_extra_time(self.standard(), self.arranged.extra_percent);
        let usual = Arrangements::usual(allowed).remind_before;
        let remind_before = if self.reminder_chosen {
            self.arranged.remind_before.min(allowed)
        } else {
            usual
        };
        Arrangements {
            remind_before,
            ..self.arranged.clone()
        }
    }

    /// What stands in a row.
    pub(super) fn value(&self, row: FormRow) -> String {
        if let Some(typed) = self.typing.as_ref().filter(|_| row == self.row()) {
            return format!("{typed}{CURSOR}");
        }
        let yes_no = |yes| if yes { "yes" } else { "no" }.to_owned();
        match row {
            FormRow::Time => time_in_words(self.standard()),
            FormRow::Extra if self.arranged.extra_percent == Mark::ZERO => "none".to_owned(),
            FormRow::Extra => in_percent(plain(self.arranged.extra_percent)),
            FormRow::Breaks => yes_no(self.arranged.rest_breaks),
            FormRow::Questions => match &self.arranged.only {
                None => format!("all {}", self.last),
                Some(only) => only.as_range().map_or_else(
                    || only.to_string(),
                    |(first, last)| format!("{first} to {last}"),
                ),
            },
            FormRow::Reminder => match self.arrangements().remind_before {
                Elapsed::ZERO => "none".to_owned(),
                before => format!("{} before", time_in_words(before)),
            },
            FormRow::Sleep => yes_no(self.arranged.sleep_counts),
            FormRow::Away => yes_no(self.arranged.away_counts),
            FormRow::Marks => yes_no(self.marks == Some(true)),
        }
    }

    /// What stands behind a row's value.
    pub(super) fn note(&self, row: FormRow) -> &'static str {
        match row {
            FormRow::Time if self.minutes.is_none() && self.typing.is_none() => words::OWN_TIME,
            FormRow::Sleep if !SLEEP_IS_TOLD => words::ALWAYS_ON_WINDOWS,
            FormRow::Marks if self.marks.is_none() => words::NO_KEY,
            FormRow::Marks if self.changes == Changes::NoMarks => words::SHARED,
            _ => "",
        }
    }

    /// Moves to another row.
    pub(super) fn go(&mut self, by: Move) {
        self.at = by.from(self.at, ROWS.len() - 1, ROWS.len());
    }

    /// Changes the chosen row by an arrow.
    pub(super) fn turn(&mut self, forward: bool) {
        if !self.can_change() {
            return;
        }
        match self.row() {
            FormRow::Time => {
                let time = step(
                    self.standard(),
                    Elapsed::minutes(5),
                    Elapsed::minutes(1),
                    forward,
                );
                self.minutes = (time != self.own).then_some(time);
            }
            FormRow::Extra => {
                let now = self.arranged.extra_percent;
                let mut steps = EXTRA.map(Mark::whole).into_iter();
                let next = if forward {
                    steps.find(|step| *step > now)
                } else {
                    steps.rfind(|step| *step < now)
                };
                self.arranged.extra_percent = next.unwrap_or(now);
            }
            FormRow::Breaks => self.arranged.rest_breaks ^= true,
            FormRow::Questions => {
                let many = self.ranges.len();
                let now = self.ranges.iter().position(|r| *r == self.arranged.only);
                let next = match (now, forward) {
                    (None, _) => 0,
                    (Some(now), true) => (now + 1) % many,
                    (Some(now), false) => (now + many - 1) % many,
                };
                self.arranged.only = self.ranges.get(next).cloned().flatten();
            }
            FormRow::Reminder => {
                let now = self.arrangements().remind_before;
                self.arranged.remind_before =
                    step(now, Elapsed::minutes(1), Elapsed::ZERO, forward);
                self.reminder_chosen = true;
            }
            FormRow::Sleep => self.arranged.sleep_counts ^= SLEEP_IS_TOLD,
            FormRow::Away => self.arranged.away_counts ^= true,
            FormRow::Marks => self.marks = self.marks.map(|shown| !shown),
        }
    }

    /// Takes a character: typed into the row, or `y` and `n`.
    pub(super) fn type_in(&mut self, c: char) {
        if self.row().takes_text() {
            let begun = self.typing.is_some();
            if c.is_ascii_digit() || (begun && matches!(c, '.' | '/' | '-' | ',' | ' ' | '%')) {
                let typed = self.typing.get_or_insert_default();
                if typed.len() < LONGEST_TYPED {
                    typed.push(c);
                }
            }
            return;
        }
        let yes = match c.to_ascii_lowercase() {
            'y' => true,
            'n' => false,
            _ => return,
        };
        match self.row() {
            FormRow::Breaks => self.arranged.rest_breaks = yes,
            FormRow::Sleep => self.arranged.sleep_counts = yes || !SLEEP_IS_TOLD,
            FormRow::Away => self.arranged.away_counts = yes,
            FormRow::Marks => self.marks = self.marks.map(|_| yes),
            FormRow::Time | FormRow::Extra | FormRow::Questions | FormRow::Reminder => {}
        }
    }

    /// Takes a character back; with none typed, the row goes back to what is usual.
    pub(super) fn rub(&mut self) {
        if let Some(typed) = &mut self.typing {
            if typed.pop().is_none() || typed.is_empty() {
                self.typing = None;
            }
            return;
        }
        let usual = Arrangements::usual(self.own);
        match self.row() {
            FormRow::Time => self.minutes = None,
            FormRow::Extra => self.arranged.extra_percent = Mark::ZERO,
            FormRow::Breaks => self.arranged.rest_breaks = usual.rest_breaks,
            FormRow::Questions => self.arranged.only = None,
            FormRow::Reminder => self.reminder_chosen = false,
            FormRow::Sleep => self.arranged.sleep_counts = usual.sleep_counts,
            FormRow::Away => self.arranged.away_counts = usual.away_counts,
            FormRow::Marks => self.marks = self.marks.map(|_| true),
        }
    }

    /// Takes what was typed into the row, or says why it cannot.
    pub(super) fn take_typed(&mut self) -> Result<(), String> {
        let Some(typed) = self.typing.take() else {
            return Ok(());
        };
        let text = typed.trim().trim_end_matches('%').trim();
        match self.row() {
            FormRow::Time => {
                let time = parse_minutes(text).map_err(|no| no.to_string())?;
                self.minutes = (time != self.own).then_some(time);
            }
            FormRow::Extra => {
                let most = Mark::whole(MOST_EXTRA_PERCENT);
                let extra = text.parse::<Mark>().ok();
                self.arranged.extra_percent = extra
                    .filter(|extra| (Mark::ZERO..=most).contains(extra))
                    .ok_or_else(|| words::no_extra_time(text, MOST_EXTRA_PERCENT))?;
            }
            FormRow::Questions => self.arranged.only = self.range(text)?,
            FormRow::Reminder if text.parse::<Mark>() == Ok(Mark::ZERO) => {
                self.arranged.remind_before = Elapsed::ZERO;
                self.reminder_chosen = true;
            }
            FormRow::Reminder => {
                self.arranged.remind_before = parse_minutes(text).map_err(|no| no.to_string())?;
                self.reminder_chosen = true;
            }
            FormRow::Breaks | FormRow::Sleep | FormRow::Away | FormRow::Marks => {}
        }
        Ok(())
    }

    /// Reads `first-last`, one number, or a list of both.
    fn range(&self, text: &str) -> Result<Option<QuestionList>, String> {
        let list = QuestionList::read(text).ok();
        list.filter(|list| list.last() <= self.last)
            .map(|list| list.unless_all(self.last.0))
            .ok_or_else(|| words::no_questions(text, self.last))
    }
}

/// One step up or down on the grid of `step`, not below `least` nor over a day.
fn step(now: Elapsed, step: Elapsed, least: Elapsed, forward: bool) -> Elapsed {
    let steps = if forward {
        now.0 / step.0 + 1
    } else {
        now.0.div_ceil(step.0).saturating_sub(1)
    };
    Elapsed(steps * step.0).clamp(least, Elapsed::minutes(LONGEST_MINUTES))
}
