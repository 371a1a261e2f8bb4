//! The same hour against a key: what each part of it earned, and the mark at every moment.

use super::fold::Analysis;
use super::timeline::{AnswerChange, Choice};
use crate::domain::event::How;
use crate::domain::header::Header;
use crate::domain::key::Key;
use crate::domain::labels::Label;
use crate::domain::mark::Mark;
use crate::domain::marking::{self, Answer, Marked};
use crate::domain::rule::{QuestionNo, Rule};
use crate::domain::time::Elapsed;

/// The length of a quarter of an hour.
const QUARTER: Elapsed = Elapsed::minutes(15);

/// The mark had the bell rung at a moment.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct MarkAt {
    /// The moment.
    pub at: Elapsed,
    /// The time used by then.
    pub used: Elapsed,
    /// The mark.
    pub mark: Mark,
}

/// What a change of answer did.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum ChangeKind {
    /// From a right option to a wrong one.
    RightToWrong,
    /// From a wrong option to a right one.
    WrongToRight,
    /// From one wrong option to another.
    WrongToWrong,
    /// From one right option to another, where the key has two.
    RightToRight,
}

/// One option chosen instead of another.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Change {
    /// The question.
    pub question: QuestionNo,
    /// When.
    pub at: Elapsed,
    /// The option before.
    pub from: Label,
    /// The option after.
    pub to: Label,
    /// What it did; nothing for a question that does not count.
    pub kind: Option<ChangeKind>,
}

/// A section's time and what it earned.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SectionPace {
    /// The section's name.
    pub name: String,
    /// The time on its questions; nothing where times are not to be trusted.
    pub time: Option<Elapsed>,
    /// The marks it brought over an empty sheet.
    pub earned: Mark,
}

/// A quarter of an hour of the time used, and what it earned.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Quarter {
    /// Its beginning, in time used.
    pub from: Elapsed,
    /// Its end, in time used; the last one may be short.
    pub to: Elapsed,
    /// How the mark moved in it.
    pub earned: Mark,
    /// How many questions were answered for the first time in it.
    pub answers: usize,
}

/// What the hour earned.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Earned {
    /// The mark at the start, at every moment at which an answer changed, and at the end.
    pub by_minute: Vec<MarkAt>,
    /// Every change of one option for another, in order.
    pub changes: Vec<Change>,
    /// By section.
    pub sections: Vec<SectionPace>,
    /// By quarter of an hour.
    pub quarters: Vec<Quarter>,
    /// What the questions gone back to brought over leaving them blank.
    pub second_pass: Mark,
}

impl Earned {
    /// How often a change was of this kind.
    pub fn count(&self, kind: ChangeKind) -> usize {
        let kinds = self.changes.iter().filter(|c| c.kind == Some(kind));
        kinds.count()
    }
}

/// Marks by the minute; nothing for no time at all.
pub fn per_minute(earned: Mark, time: Elapsed) -> Option<f64> {
    (time > Elapsed::ZERO).then(|| earned.to_f64() * 60.0 / time.as_seconds())
}

/// Holds a sitting against a key, under its own rule.
pub(super) fn earned(sitting: &Analysis, key: &Key) -> Earned {
    let header = sitting.header();
    let rule = &header.paper.rule;
    let sheets = Sheets { header, key, rule };
    let by_minute = by_minute(&sheets, sitting);
    Earned {
        changes: changes(sitting, key),
        sections: sections(&sheets, sitting),
        quarters: quarters(&by_minute, sitting),
        second_pass: second_pass(&sheets, sitting),
        by_minute,
    }
}

/// Marks answer sheets of one sitting.
struct Sheets<'a> {
    header: &'a Header,
    key: &'a Key,
    rule: &'a Rule,
}

impl Sheets<'_> {
    fn blank(&self) -> Vec<Answer> {
        let blank = |number| Answer {
            number,
            given: None,
            how: None,
            after_time: false,
        };
        self.header.questions().map(blank).collect()
    }

    fn mark(&self, answers: &[Answer]) -> Marked {
        marking::mark(answers, self.key, self.rule)
    }
}

fn take(answers: &mut [Answer], choice: &Choice) {
    let own = answers.iter_mut().find(|a| a.number == choice.question);
    if let Some(answer) = own {
        answer.given = choice.option;
        answer.how = choice.option.map(|_| How::Worked);
    }
}

fn by_minute(sheets: &Sheets<'_>, sitting: &Analysis) -> Vec<MarkAt> {
    let mut answers = sheets.blank();
    let mut points = vec![MarkAt {
        at: Elapsed::ZERO,
        used: Elapsed::ZERO,
        mark: sheets.mark(&answers).total,
    }];
    let mut put = |at, used, mark| {
        let point = MarkAt { at, used, mark };
        match points.last_mut().filter(|last| last.at == at) {
            Some(last) => *last = point,
            None => points.push(point),
        }
    };
    for choice in sitting.choices() {
        take(&mut answers, choice);
        put(choice.at, choice.used, sheets.mark(&answers).total);
    }
    put(
        sitting.whole().ended,
        sitting.whole().used,
        sheets.mark(&answers).total,
    );
    points
}

fn changes(sitting: &Analysis, key: &Key) -> Vec<Change> {
    let changes = sitting.changes().iter();
    let change = |change: &AnswerChange| Change {
        question: change.question,
        at: change.at,
        from: change.from,
        to: change.to,
        kind: kind(key, change.question, change.from, change.to),
    };
    changes.map(change).collect()
}

fn kind(key: &Key, question: QuestionNo, from: Label, to: Label) -> Option<ChangeKind> {
    if key.voids.contains_key(&question) {
        return None;
    }
    Some(
        match (key.accepts(question, from), key.accepts(question, to)) {
            (true, false) => ChangeKind::RightToWrong,
            (false, true) => ChangeKind::WrongToRight,
            (false, false) => ChangeKind::WrongToWrong,
            (true, true) => ChangeKind::RightToRight,
        },
    )
}

fn in_time(sheets: &Sheets<'_>, sitting: &Analysis) -> Vec<Answer> {
    let mut answers = sheets.blank();
    for choice in sitting.choices() {
        take(&mut answers, choice);
    }
    answers
}

fn sections(sheets: &Sheets<'_>, sitting: &Analysis) -> Vec<SectionPace> {
    let empty = sheets.mark(&sheets.blank());
    let full = sheets.mark(&in_time(sheets, sitting));
    let own = sheets.rule.sections.iter().filter(|section| {
        let mut asked = sheets.header.questions();
        asked.any(|question| section.holds(question))
    });
    let marks = full.sections.iter().zip(&empty.sections);
    let pace = |(section, (full, empty)): (
        &crate::domain::rule::Section,
        (&marking::SectionMark, &marking::SectionMark),
    )| {
        SectionPace {
            name: section.name.clone(),
            time: sitting.time_on_all(|pace| section.holds(pace.number)),
            earned: full.marks - empty.marks,
        }
    };
    own.zip(marks).map(pace).collect()
}

fn quarters(by_minute: &[MarkAt], sitting: &Analysis) -> Vec<Quarter> {
    let end = sitting.whole().used;
    let mark = |used: Elapsed| {
        let count = by_minute.partition_point(|point| point.used <= used);
        let point = by_minute.get(count.saturating_sub(1));
        point.map_or(Mark::ZERO, |point| point.mark)
    };
    let start = by_minute.first().map_or(Mark::ZERO, |point| point.mark);
    let mut quarters = Vec::new();
    let mut from = Elapsed::ZERO;
    let mut before = start;
    while from < end {
        let to = (from + QUARTER).min(end);
        let first = |choice: &&Choice| {
            let pace = sitting.question(choice.question);
            let first = pace.is_some_and(|pace| pace.answered == Some(choice.at));
            let after = choice.used > from || from == Elapsed::ZERO;
            first && after && choice.used <= to
        };
        quarters.push(Quarter {
            from,
            to,
            earned: mark(to) - before,
            answers: sitting.choices().iter().filter(first).count(),
        });
        before = mark(to);
        from = to;
    }
    quarters
}

fn second_pass(sheets: &Sheets<'_>, sitting: &Analysis) -> Mark {
    let gone_back: Vec<_> = sitting.gone_back_to();
    let full = in_time(sheets, sitting);
    let mut without = full.clone();
    for answer in &mut without {
        if gone_back.iter().any(|own| own.question == answer.number) {
            (answer.given, answer.how) = (None, None);
        }
    }
    sheets.mark(&full).total - sheets.mark(&without).total
}
