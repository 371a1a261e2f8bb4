//! The page of the marks: three marks, awards and how far, sections, causes, every question.

use super::said;
use super::study::Study;
use crate::analysis::Keyed;
use crate::analysis::{SectionPace, per_minute};
use crate::domain::mark::Mark;
use crate::domain::notes::Cause;
use crate::domain::time::Elapsed;
use crate::screens::kit::PageWriter;
use crate::words::luck::of_a_sitting;
use crate::words::numbers;
use crate::words::numbers::plain;
use crate::words::review as words;
use crate::words::sign::{MARKED, legend};
use crate::words::text::{Side, columns};

/// The columns of one question's cell: number, sign, answer; and, where one needs it, void or late.
const CELL: usize = 9;
const REMARK: usize = 5;

pub(super) fn write(ink: &mut PageWriter, study: &Study) {
    ink.two(
        |ink| {
            if let Some(known) = &study.known {
                marks(ink, known);
                awards(ink, known);
                sections(ink, study, known);
            } else {
                said::no_key(ink, study, words::MARKS_AWARDS_SIGNS);
            }
            said::times(ink, study);
        },
        |ink| {
            sitting(ink, study);
            questions(ink, study);
            notes(ink, study);
        },
    );
    if study.known.is_some() {
        ink.blank();
        ink.text(words::NOT_OFFICIAL);
    }
}

fn marks(ink: &mut PageWriter, known: &Keyed) {
    let marks = &known.marks;
    let max = marks.with_guess_round.max;
    let (in_time, round) = (marks.in_time.total, marks.with_guess_round.total);
    ink.heading(&words::mark_in_time(in_time, max));
    let round = Some(round).filter(|round| *round != in_time);
    ink.text(&words::other_marks(marks.worked.total, round));
    if let Some(said) = of_a_sitting(&known.marks.luck) {
        ink.text(&said);
    }
}

fn awards(ink: &mut PageWriter, known: &Keyed) {
    if known.marks.awards.is_empty() {
        return;
    }
    ink.block("Awards");
    for award in known.marks.awards.iter().rev() {
        ink.text(&words::award(award));
    }
}

fn sections(ink: &mut PageWriter, study: &Study, known: &Keyed) {
    ink.block(words::SECTIONS);
    let heads = [
        "", "right", "wrong", "blank", "marks", "of", "time", "a minute",
    ];
    let mut rows = vec![heads.map(String::from).to_vec()];
    let paces = &known.earned.sections;
    for section in &known.marks.with_guess_round.sections {
        let pace = paces.iter().find(|pace| pace.name == section.name);
        let time = pace.and_then(|pace| pace.time);
        let rate = |pace: &SectionPace| per_minute(pace.earned, pace.time?);
        rows.push(vec![
            section.name.clone(),
            section.right.to_string(),
            section.wrong.to_string(),
            section.blank.to_string(),
            plain(section.marks),
            plain(section.max),
            time.map_or_else(|| "-".to_owned(), Elapsed::stopwatch),
            pace.and_then(rate)
                .map_or_else(|| "-".to_owned(), |rate| format!("{rate:.2}")),
        ]);
    }
    let start = study.opened.header.paper.rule.start;
    if start != Mark::ZERO {
        let mut row = vec!["start".to_owned()];
        row.extend([const { String::new() }; 3]);
        row.extend([plain(start), plain(start)]);
        rows.push(row);
    }
    let right = Side::Right;
    ink.table(
        &[Side::Left, right, right, right, right, right, right, right],
        &rows,
    );
}

fn sitting(ink: &mut PageWriter, study: &Study) {
    ink.heading("The sitting");
    for line in went(study) {
        ink.text(&line);
    }
}

/// How the sitting went, without any key.
pub(super) fn went(study: &Study) -> Vec<String> {
    let pacing = &study.analysis;
    let phase = study.replay.whole().phase();
    let header = &study.opened.header;
    let whole = pacing.whole();
    let mut lines = vec![
        words::time_used(
            whole.used,
            header.allowed,
            header.arrangements.extra_percent,
            phase,
        ),
        words::blanks_flags_changes(
            phase,
            pacing.blanks().len(),
            pacing.time_on_all(|pace| pace.sheet.in_time.is_none()),
            pacing.flags().len(),
            pacing.changes().len(),
        ),
    ];
    let passes = pacing.passes();
    let first = passes.first_used;
    lines.extend(first.map(|used| words::first_pass(passes.opened, used)));
    lines.extend(pacing.sweep().map(words::sweep));
    if whole.breaks > Elapsed::ZERO {
        lines.push(words::rest_breaks(whole.breaks));
    }
    if whole.away > Elapsed::ZERO {
        lines.push(words::away(whole.away));
    }
    lines
}

fn questions(ink: &mut PageWriter, study: &Study) {
    ink.block(words::QUESTION_BY_QUESTION);
    let cells = study.facts.iter().map(|facts| {
        format!(
            "{:>3} {} {} {}",
            facts.number,
            facts.sign(),
            facts.letter(),
            facts.remark()
        )
    });
    let cells: Vec<_> = cells.collect();
    let remarks = study.facts.iter().any(|facts| !facts.remark().is_empty());
    let cell = if remarks { CELL + REMARK } else { CELL };
    for row in cells.chunks((ink.width / cell).max(1)) {
        let row: Vec<_> = row.iter().map(|text| format!("{text:<cell$}")).collect();
        ink.plain(row.concat().trim_end());
    }
    ink.plain(&legend(&MARKED));
}

/// The causes that the tutor has set, and the note on the whole.
fn notes(ink: &mut PageWriter, study: &Study) {
    let notes = match &study.opened.notes {
        Ok(notes) => notes,
        Err(reason) => {
            ink.block("Notes");
            let style = ink.theme.trouble;
            ink.signed("! ", style, reason);
            return;
        }
    };
    let mut rows = Vec::new();
    for cause in Cause::ALL {
        let own = study
            .facts
            .iter()
            .filter(|facts| notes.cause(facts.number) == Some(cause));
        let own: Vec<_> = own.collect();
        let lost: Mark = own.iter().filter_map(|facts| facts.lost()).sum();
        let numbers: Vec<_> = own
            .iter()
            .map(|facts| format!("Q{}", facts.number))
            .collect();
        if !own.is_empty() {
            rows.push(vec![
                cause.word().to_owned(),
                numbers::marks(lost),
                numbers.join(", "),
            ]);
        }
    }
    if !rows.is_empty() {
        ink.block(words::CAUSES);
        for line in columns(&[Side::Left, Side::Right, Side::Left], &rows) {
            ink.plain(&line);
        }
    }
    let steps = study.steps();
    if !steps.is_empty() {
        ink.block(words::STEPS);
        for line in &steps {
            ink.text(line);
        }
    }
    if let Some(said) = notes.whole.as_ref().filter(|said| !said.text.is_empty()) {
        ink.block(&format!(
            "Note by {}",
            if said.by.is_empty() {
                "the tutor"
            } else {
                &said.by
            }
        ));
        ink.text(&said.text);
    }
}
