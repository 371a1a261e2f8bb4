//! Numbers, spans and lists of questions as one says them.

use crate::domain::mark::Mark;
use crate::domain::rule::QuestionNo;
use crate::domain::time::Elapsed;

/// The first few of a list of questions.
pub(super) fn some(questions: &[QuestionNo]) -> String {
    match questions {
        [] => "none".to_owned(),
        few if few.len() <= 6 => q_list(few),
        many => format!(
            "{} and {} more",
            q_list(many.get(..5).unwrap_or_default()),
            many.len() - 5
        ),
    }
}

pub(super) fn q_list(questions: &[QuestionNo]) -> String {
    let each = questions.iter().map(|question| format!("Q{question}"));
    each.collect::<Vec<_>>().join(", ")
}

/// `question 4`, `questions 4 and 9`, `questions 4, 9 and 12`.
pub(super) fn words_list(questions: &[QuestionNo]) -> String {
    let each: Vec<_> = questions.iter().map(QuestionNo::to_string).collect();
    match each.split_last() {
        None => "the open questions".to_owned(),
        Some((only, [])) => format!("question {only}"),
        Some((last, before)) => format!("questions {} and {last}", before.join(", ")),
    }
}

pub(super) const fn it_or_them(questions: &[QuestionNo]) -> &'static str {
    if questions.len() == 1 { "it" } else { "them" }
}

pub(super) fn counted(count: usize, thing: &str) -> String {
    if count == 1 {
        format!("1 {thing}")
    } else {
        format!("{count} {thing}s")
    }
}

pub(super) fn are(count: usize, one: &str, several: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { several })
}

/// Marks as exactly as they are.
pub(super) fn marks(mark: Mark) -> String {
    let word = if mark == Mark::whole(1) {
        "mark"
    } else {
        "marks"
    };
    format!("{mark} {word}")
}

/// Marks to the nearest half, as one says them.
pub(super) fn marks_about(value: f64) -> String {
    let halves = (value * 2.0).round() / 2.0;
    let word = if (halves - 1.0).abs() < f64::EPSILON {
        "mark"
    } else {
        "marks"
    };
    format!("{halves} {word}")
}

/// `8 minutes`, to the nearest minute; seconds below two minutes.
pub(super) fn about_minutes(span: Elapsed) -> String {
    match span.0 {
        0..120_000 => format!("{} seconds", (span.0 + 500) / 1000),
        millis => format!("{} minutes", (millis + 30_000) / 60_000),
    }
}

pub(super) fn seconds(span: Elapsed) -> String {
    let tenths = (span.0 + 50) / 100;
    if tenths.is_multiple_of(10) {
        (tenths / 10).to_string()
    } else {
        format!("{}.{}", tenths / 10, tenths % 10)
    }
}

pub(super) fn one(value: f64) -> String {
    format!("{value:.1}")
}

pub(super) fn two(value: f64) -> String {
    format!("{value:.2}")
}

pub(super) fn tenths(share: f64) -> String {
    format!("{:.0}", share * 10.0)
}

pub(super) fn hundredths(chance: f64) -> String {
    if chance < 0.01 {
        "fewer than 1".to_owned()
    } else {
        format!("{:.0}", chance * 100.0)
    }
}
