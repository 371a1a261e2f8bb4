//! One sitting's marks as a page of plain text, 80 columns wide.

use std::fmt::Write as _;

use super::notices::{beside, first_of_all, last_of_all};
use super::{MarkedUnder, Report};
use crate::analysis::{AwardMark, is_whole};
use crate::domain::event::{Ending, How};
use crate::domain::header::Mode;
use crate::domain::mark::Mark;
use crate::domain::marking::{Outcome, QuestionMark, SectionMark};
use crate::domain::rule::QuestionNo;
use crate::domain::sitting::Phase;
use crate::domain::time::Elapsed;
use crate::odds::luck::Luck;
use crate::words::count::counted_as;
use crate::words::numbers::{plain, short, times_in_100};
use crate::words::shortfall::ways;
use crate::words::text::{Side, columns, cut, hanging};
use crate::words::time::{day, minutes, time_of_day};

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
    if let Some(luck) = luck_sentence(&report.own.marks.luck) {
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
    let mut when = day(header.started.date_naive());
    if header.mode == Mode::Timed {
        let _ = write!(when, ", {}. ", time_of_day(header.started));
        let _ = write!(when, "{} allowed, ", minutes(header.allowed));
        let _ = write!(
            when,
            "{} used. ",
            sitting.used(sitting.latest()).stopwatch()
        );
        when.push_str(ending(sitting.phase()));
    }
    page.line(when.trim_end());
    let notices = first_of_all(report);
    if !notices.is_empty() {
        page.gap();
    }
    for notice in notices {
        page.wrapped("! ", &notice);
    }
}

const fn ending(phase: Phase) -> &'static str {
    match phase {
        Phase::Closed(Ending::FinishedEarly) => "Finished early.",
        Phase::Closed(Ending::TimeUp | Ending::GuessRoundDone) => "Time was up.",
        Phase::Closed(Ending::Abandoned) => "Given up.",
        Phase::Closed(Ending::Entered) => "",
        Phase::Running | Phase::OnBreak | Phase::TimeUp | Phase::GuessRound => "No end recorded.",
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
            row("Mark in time", marks.in_time.total, ""),
            row("With the guess round", marks.with_guess_round.total, ""),
            row(
                "Worked out",
                marks.worked.total,
                "(guesses counted as blank)",
            ),
        ],
    );
    if let Some(under) = &report.under {
        page.gap();
        page.wrapped("", &under_sentence(under));
    }
}

/// What the same answers make under another rule.
pub fn under_sentence(under: &MarkedUnder) -> String {
    let marks = &under.marks;
    let mut sentence = format!(
        "Under the rule of {} this is {} of {} in time",
        cut(&under.outline.title, 60),
        plain(marks.in_time.total),
        plain(marks.with_guess_round.max)
    );
    if marks.with_guess_round.total != marks.in_time.total {
        let _ = write!(
            sentence,
            ", {} with the guess round",
            plain(marks.with_guess_round.total)
        );
    }
    if marks.worked.total != marks.in_time.total {
        let _ = write!(sentence, ", {} worked out", plain(marks.worked.total));
    }
    sentence + "."
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
        page.line("Sections and questions count with the guess round in.");
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
    let how = match answer.how {
        None => "",
        Some(How::Worked) => "worked",
        Some(How::Unsure) => "unsure",
        Some(How::Guessed) => "guessed",
        Some(How::Filled) => "filled",
    };
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
    if !is_whole(report.subject.sitting().header()) {
        return;
    }
    page.gap();
    let title = cut(&under.outline.title, 60);
    if under.marks.awards.is_empty() {
        page.wrapped("", &format!("{title} names no boundaries."));
        return;
    }
    page.wrapped("", &format!("With the rule and the boundaries of {title}:"));
    awards(under, page);
}

fn awards(scored: &MarkedUnder, page: &mut Page) {
    let mut rows = vec![["Award", "From", "In time"].map(String::from).to_vec()];
    let row = |award: &AwardMark| {
        let guessed = match (award.reached_in_time, award.reached_with_guess_round) {
            (false, true) => "; reached with the guess round",
            (true, false) => "; not with the guess round",
            (true, true) | (false, false) => "",
        };
        let in_time = match &award.short {
            None => "reached".to_owned(),
            Some(short) => format!("{} short", plain(short.by)),
        };
        vec![
            cut(&award.name, 24),
            plain(award.boundary),
            in_time + guessed,
        ]
    };
    rows.extend(scored.marks.awards.iter().map(row));
    page.table(&[Side::Left, Side::Right, Side::Left], &rows);
    if let Some((award, short)) = scored
        .marks
        .next_in_time()
        .and_then(|award| Some((award, award.short.as_ref()?)))
    {
        page.wrapped(
            "",
            &format!("For {} in time: {}.", cut(&award.name, 24), ways(short)),
        );
    }
}

/// How lucky the guesses were, where there were any.
pub fn luck_sentence(luck: &Luck) -> Option<String> {
    let expected = short(luck.expected, 1);
    let unit = if expected == "1" { "mark" } else { "marks" };
    let often = match luck.at_least_this {
        // "This much or more" of the least there can be would be true of every sheet.
        _ if luck.right == 0 => {
            let none = if luck.actual == Mark::ZERO {
                "none at all"
            } else {
                "none right"
            };
            format!("; {none} happens {}", times_in_100(luck.none_right))
        }
        Some(chance) => format!("; this much or more happens {}", times_in_100(chance)),
        None => String::new(),
    };
    (luck.guesses > 0).then(|| {
        format!(
            "{} ({}): about {expected} {unit} expected, {} came{often}.",
            counted_as(luck.guesses, "guess", "guesses"),
            made(luck),
            plain(luck.actual)
        )
    })
}

/// When the guesses were made, and how many the program filled in: a guess after time is never
/// told as one in time.
fn made(luck: &Luck) -> String {
    let after = luck.after_time;
    let when = match luck.guesses - after.min(luck.guesses) {
        0 => "after time".to_owned(),
        in_time if after > 0 => format!("{in_time} in time, {after} after"),
        _ => "in time".to_owned(),
    };
    match luck.filled {
        0 => when,
        1 if luck.guesses == 1 => when + "; filled at random",
        all if all == luck.guesses => when + "; all filled at random",
        filled => format!("{when}; {filled} of them filled at random"),
    }
}
