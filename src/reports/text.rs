//! One sitting's marks as a page of plain text, 80 columns wide.

use super::notices::{beside, first_of_all};
use super::{MarkedUnder, Report};
use crate::analysis::AwardMark;
use crate::domain::header::Mode;
use crate::domain::mark::Mark;
use crate::domain::marking::{Outcome, QuestionMark, SectionMark};
use crate::domain::rule::QuestionNo;
use crate::domain::time::Elapsed;
use crate::words::how::in_a_column;
use crate::words::luck::of_a_sitting;
use crate::words::marks as words;
use crate::words::notices::last_of_all;
use crate::words::numbers::plain;
use crate::words::text::{Side, columns, cut, hanging};

/// The width of a page.
pub const COLUMNS: usize = 80;

/// The page.
pub fn page(report: &Report) -> String {
    let mut page = Page::default();
    heading(report, &mut page);
    marks(report, &mut page);
    sections(&report.own, &mut page);
    questions(report, &mut page);
    if !report.own.marks.awards.is_empty() {
        page.gap();
        awards(&report.own, &mut page);
    }
    if let Some(under) = &report.under {
        awards_under(under, report, &mut page);
    }
    if let Some(luck) = of_a_sitting(&report.own.marks.luck) {
        page.gap();
        page.wrapped("", &luck);
    }
    page.gap();
    let outline = &report.own.outline;
    for notice in beside(report)
        .iter()
        .chain(&last_of_all(outline, report.today))
    {
        page.wrapped("- ", notice);
    }
    page.text
}

#[derive(Default)]
struct Page {
    text: String,
}

impl Page {
    fn line(&mut self, line: &str) {
        self.text.push_str(line);
        self.text.push('\n');
    }

    fn gap(&mut self) {
        self.text.push('\n');
    }

    fn wrapped(&mut self, sign: &str, text: &str) {
        for line in hanging(sign, text, COLUMNS) {
            self.line(&line);
        }
    }

    fn table(&mut self, sides: &[Side], rows: &[Vec<String>]) {
        for line in columns(sides, rows) {
            self.line(&line);
        }
    }
}

fn heading(report: &Report, page: &mut Page) {
    let sitting = report.subject.sitting();
    let header = sitting.header();
    page.line(&cut(
        &format!("{}: {}", header.pupil, header.paper.title),
        COLUMNS,
    ));
    let used = sitting.used(sitting.latest());
    page.line(&words::when(header, used, report.subject.analysis.ending()));
    let notices = first_of_all(report);
    if !notices.is_empty() {
        page.gap();
    }
    for notice in notices {
        page.wrapped("! ", &notice);
    }
}

fn marks(report: &Report, page: &mut Page) {
    let marks = &report.own.marks;
    let max = plain(marks.with_guess_round.max);
    let row = |name: &str, mark, note: &str| {
        vec![
            name.to_owned(),
            plain(mark),
            format!("of {max}"),
            note.to_owned(),
        ]
    };
    page.gap();
    page.table(
        &[Side::Left, Side::Right, Side::Left, Side::Left],
        &[
            row(words::IN_TIME, marks.in_time.total, ""),
            row(words::WITH_GUESS_ROUND, marks.with_guess_round.total, ""),
            row(
                words::WORKED_OUT,
                marks.worked.total,
                words::GUESSES_AS_BLANK,
            ),
        ],
    );
    if let Some(under) = &report.under {
        page.gap();
        page.wrapped("", &words::under(&under.outline, &under.marks));
    }
}

fn sections(scored: &MarkedUnder, page: &mut Page) {
    let marked = &scored.marks.with_guess_round;
    let heads = ["Section", "Right", "Wrong", "Blank", "Void", "Marks", "Of"];
    let mut rows = vec![heads.map(String::from).to_vec()];
    let row = |section: &SectionMark| {
        vec![
            cut(&section.name, 24),
            section.right.to_string(),
            section.wrong.to_string(),
            section.blank.to_string(),
            section.void.to_string(),
            plain(section.marks),
            plain(section.max),
        ]
    };
    rows.extend(marked.sections.iter().map(row));
    let start = scored.outline.rule.start;
    if start != Mark::ZERO {
        let mut row = vec!["Start marks".to_owned()];
        row.extend([(); 4].map(|()| String::new()));
        row.extend([plain(start), plain(start)]);
        rows.push(row);
    }
    let [left, right] = [Side::Left, Side::Right];
    page.gap();
    page.table(&[left, right, right, right, right, right, right], &rows);
    if scored.marks.in_time.total != marked.total {
        page.line(words::GUESS_ROUND_IN);
    }
}

fn questions(report: &Report, page: &mut Page) {
    let timed = report.subject.sitting().header().mode == Mode::Timed;
    let mut heads = vec!["No", "Answer", "Key", "Outcome", "How", "Marks"];
    if timed {
        heads.extend(["Time", "Visits", "Changes"]);
    }
    let mut rows = vec![heads.into_iter().map(String::from).collect::<Vec<_>>()];
    let marked = &report.own.marks.with_guess_round.questions;
    rows.extend(
        marked
            .iter()
            .map(|question| question_row(report, question, timed)),
    );
    let [left, right] = [Side::Left, Side::Right];
    page.gap();
    page.table(
        &[right, left, left, left, left, right, right, right, right],
        &rows,
    );
}

fn question_row(report: &Report, question: &QuestionMark, timed: bool) -> Vec<String> {
    let analysis = &report.subject.analysis;
    let answer = question.answer;
    let how = answer.how.map_or("", in_a_column);
    let after = if answer.after_time {
        ", after time"
    } else {
        ""
    };
    let mut row = vec![
        answer.number.to_string(),
        answer
            .given
            .map_or_else(|| "-".into(), |given| given.to_string()),
        right_answers(report, answer.number, question.outcome),
        question.outcome.word().to_owned(),
        format!("{how}{after}"),
        plain(question.marks),
    ];
    if timed {
        let visits = analysis
            .question(answer.number)
            .map_or(0, |pace| pace.visits);
        let changes = analysis.changes_of(answer.number);
        let time = analysis.time_on(answer.number).filter(|_| visits > 0);
        row.push(time.map_or_else(|| "-".into(), Elapsed::stopwatch));
        row.push(visits.to_string());
        row.push(changes.to_string());
    }
    row
}

fn right_answers(report: &Report, number: QuestionNo, outcome: Outcome) -> String {
    if outcome == Outcome::Void {
        return "-".into();
    }
    let mut right: Vec<_> = report
        .key
        .answers
        .get(number.index())
        .copied()
        .into_iter()
        .collect();
    for also in report.key.also_right.get(&number).into_iter().flatten() {
        if !right.contains(also) {
            right.push(*also);
        }
    }
    let right: Vec<_> = right.iter().map(ToString::to_string).collect();
    right.join("/")
}

/// The awards under another rule's boundaries, or that it names none.
fn awards_under(under: &MarkedUnder, report: &Report, page: &mut Page) {
    if !crate::domain::standing::is_whole(report.subject.sitting().header()) {
        return;
    }
    page.gap();
    page.wrapped("", &words::awards_under(&under.outline, &under.marks));
    if !under.marks.awards.is_empty() {
        awards(under, page);
    }
}

fn awards(scored: &MarkedUnder, page: &mut Page) {
    let mut rows = vec![["Award", "From", "In time"].map(String::from).to_vec()];
    let row = |award: &AwardMark| {
        vec![
            cut(&award.name, 24),
            plain(award.boundary),
            words::reached(award),
        ]
    };
    rows.extend(scored.marks.awards.iter().map(row));
    page.table(&[Side::Left, Side::Right, Side::Left], &rows);
    if let Some(next) = words::next_award(&scored.marks) {
        page.wrapped("", &next);
    }
}
