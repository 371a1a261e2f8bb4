//! Who needs a word, and why, in words: a reason with its evidence.

use chrono::NaiveDate;

use crate::analysis::findings::Tone;
use crate::analysis::stay::Long;
use crate::season::overview::{NeedsWord, PercentRange, SatPaper, WordReason, WordWeek};
use crate::words::count::{agree, counted, counted_as};
use crate::words::numbers::{
    marks, marks_to_a_tenth, percent, percent_range, plain, q_list_of_some, questions_or_count,
};
use crate::words::step::agreed_and_when;
use crate::words::text::capital;
use crate::words::time::{day_near, left_to_the_second, time_in_words};

/// Whom a word is for.
pub fn name(needs: &NeedsWord) -> String {
    needs.pupil.to_string()
}

/// A reason with its evidence; praise says that it is.
pub fn reason(reason: &WordReason, week: WordWeek) -> String {
    let said = said(reason, week);
    match reason.tone() {
        Tone::Praise => format!("Praise: {said}"),
        Tone::Next | Tone::Know => capital(&said),
    }
}

fn said(reason: &WordReason, week: WordWeek) -> String {
    let near = week.to;
    match reason {
        WordReason::Blanks { on, blind } => format!(
            "{} blank when time was up ({}), where a blind guess gains on average: together about {}. {}.",
            counted(blind.gaining.len(), "question"),
            q_list_of_some(&blind.gaining),
            marks_to_a_tenth(blind.gain),
            sat(on, near),
        ),
        WordReason::Unused {
            on,
            left,
            allowed,
            wrong,
            blank,
        } => format!(
            "finished with {} of {} left, with {wrong} wrong and {} blank. {}.",
            left_to_the_second(*left),
            time_in_words(*allowed),
            none_or(*blank),
            sat(on, near),
        ),
        WordReason::LongStays { of, sittings } => {
            let each = sittings.iter().map(|(on, stays)| {
                let stays: Vec<_> = stays.iter().map(stay).collect();
                format!("{} ({})", stays.join(", "), day_near(on.day, near))
            });
            format!(
                "long stays that earned nothing in {} of the last {}: {}.",
                sittings.len(),
                counted(*of, "sitting"),
                each.collect::<Vec<_>>().join("; ")
            )
        }
        WordReason::OutOfRange {
            on,
            mark,
            max,
            above,
            before,
        } => {
            let (own, side) = (
                mark.to_f64() / max.to_f64(),
                agree(u64::from(!above), "below", "above"),
            );
            let before = before
                .iter()
                .map(|(on, range)| format!("{} ({})", in_percent(*range), day_near(*on, near)));
            format!(
                "{} of {} ({}), {side} the ranges of the sittings before: {}. {}; papers differ, so ask first.",
                plain(*mark),
                plain(*max),
                percent(own),
                before.collect::<Vec<_>>().join(" and "),
                sat(on, near),
            )
        }
        WordReason::PracticeDue { due, since, last } => format!(
            "{} to try again {} been due for over {}, the first since {}; last practised on {}.",
            counted(*due, "missed question"),
            agree(*due, "has", "have"),
            week_or_days(week),
            day_near(*since, near),
            day_near(*last, near),
        ),
        WordReason::FirstSweep {
            on,
            filled,
            before,
            before_on,
        } => format!(
            "filled every blank before time was up ({}), for the first time; {} left blank on {}. {}.",
            q_list_of_some(filled),
            counted_as(*before, "question was", "questions were"),
            day_near(*before_on, near),
            sat(on, near),
        ),
        WordReason::SecondPass {
            on,
            questions,
            gained,
        } => format!(
            "went back to {} and gained {}. {}.",
            questions_or_count(questions, 5),
            marks(*gained),
            sat(on, near),
        ),
        WordReason::Step { followed, .. } => agreed_and_when(followed),
        WordReason::Practised { days, tried, right } => format!(
            "practised on {}: {} tried again, {right} right without help.",
            counted(*days, "day"),
            counted(*tried, "question"),
        ),
    }
}

/// `a week`, or how many days the tutor has set instead.
fn week_or_days(week: WordWeek) -> String {
    match (week.to - week.from).num_days() + 1 {
        7 => "a week".to_owned(),
        days => counted(days, "day"),
    }
}

fn none_or(count: usize) -> String {
    match count {
        0 => "none".to_owned(),
        count => count.to_string(),
    }
}

fn sat(on: &SatPaper, near: NaiveDate) -> String {
    format!("{}, {}", on.outline.title, day_near(on.day, near))
}

fn stay(long: &Long) -> String {
    format!("Q{} {}", long.question, time_in_words(long.time))
}

fn in_percent((low, high): PercentRange) -> String {
    percent_range(low / 100.0, high / 100.0)
}
