//! What is read out before the clock starts: time, conditions, the rule and who checked it.

use chrono::NaiveDate;

use crate::domain::header::{Arrangements, PacePlan, with_extra_time};
use crate::domain::mark::Mark;
use crate::domain::paper::{Outline, Paper};
use crate::domain::questions::QuestionList;
use crate::domain::rule::QuestionNo;
use crate::domain::time::Elapsed;
use crate::odds::guess::gain;
use crate::words::count::counted;
use crate::words::guess::rule_caution;
use crate::words::numbers::{in_percent, plain, ranges_in_words};
use crate::words::plan::plan_read_out;
use crate::words::rule::{PRACTICE_ONLY, check_in_words, rule_in_words};
use crate::words::time::time_in_words;

/// Some lines under one heading.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TextBlock {
    /// What the lines are about.
    pub heading: &'static str,
    /// The lines.
    pub lines: Vec<String>,
}

/// How the time allowed comes about: `60 minutes + 25% = 75 minutes`, or just `60 minutes`.
pub fn time_allowed(standard: Elapsed, extra_percent: Mark) -> String {
    let own = time_in_words(standard);
    if extra_percent == Mark::ZERO {
        own
    } else {
        let all = time_in_words(with_extra_time(standard, extra_percent));
        format!("{own} + {} = {all}", in_percent(plain(extra_percent)))
    }
}

/// Everything to be read out, in order; `standard` is the time before extra time, `plan` the pupil's pace plan.
pub fn read_out(
    paper: &Paper,
    standard: Elapsed,
    arranged: &Arrangements,
    plan: Option<&PacePlan>,
    today: NaiveDate,
) -> Vec<TextBlock> {
    let outline = &paper.outline;
    let time = time_allowed(standard, arranged.extra_percent);
    let ready = "Start when you are ready. You can skip and come back.";
    let own_time = standard == paper.allowed && arranged.extra_percent == Mark::ZERO;
    let mut start = if own_time && arranged.only.is_none() {
        let questions = counted(outline.questions, "question");
        vec![format!("{time}. {questions}. {ready}")]
    } else {
        // The paper's own conditions often name its own time and all its questions.
        let counts = if paper.conditions.is_empty() {
            ""
        } else {
            " If the lines below say something else, this counts."
        };
        let questions = questions_today(outline.questions, arranged.only.as_ref());
        vec![
            format!("For you today: {time}, {questions}.{counts}"),
            ready.to_owned(),
        ]
    };
    if arranged.rest_breaks {
        start.push("You may stop the clock for a rest break.".to_owned());
    }
    let mut blocks = vec![
        TextBlock {
            heading: "Time",
            lines: start,
        },
        TextBlock {
            heading: "Conditions",
            lines: conditions(paper),
        },
        TextBlock {
            heading: "Marks",
            lines: rule_in_words(&outline.rule, arranged.only.as_ref()),
        },
        TextBlock {
            heading: "Remember",
            lines: habit(outline, arranged, today)
                .into_iter()
                .chain([
                    check_in_words(outline.rule_checked.as_ref(), today),
                    PRACTICE_ONLY.to_owned(),
                ])
                .collect(),
        },
    ];
    if let Some(plan) = plan {
        let own = TextBlock {
            heading: "Your plan",
            lines: plan_read_out(plan),
        };
        blocks.insert(blocks.len() - 1, own);
    }
    blocks
}

/// The habit of the last minutes, where this year's rule was checked and a blind guess gains.
pub fn habit(outline: &Outline, arranged: &Arrangements, today: NaiveDate) -> Option<String> {
    let sat = |question: &QuestionNo| {
        let only = arranged.only.as_ref();
        only.is_none_or(|only| only.iter().any(|own| own == *question))
    };
    let mut questions = (1..=outline.questions).map(QuestionNo).filter(sat);
    let gains = questions.any(|question| {
        let section = outline.rule.section(question);
        section.is_some_and(|section| gain(section, outline.labels(question).len()) > Mark::ZERO)
    });
    let checked = rule_caution(outline, today).is_none();
    (checked && gains).then(|| "In the last minutes, fill your blanks with guesses.".to_owned())
}

/// `all 25 questions`, `questions 1 to 15`, `question 7`, `questions 1 to 10 and 13`.
fn questions_today(all: u16, only: Option<&QuestionList>) -> String {
    let Some(only) = only else {
        return format!("all {}", counted(all, "question"));
    };
    match only.as_range() {
        Some((first, last)) if first == last => format!("question {first}"),
        Some((first, last)) => format!("questions {first} to {last}"),
        None => format!(
            "questions {}",
            ranges_in_words(&only.iter().collect::<Vec<_>>())
        ),
    }
}

/// The paper's own conditions, or the usual ones (common practice, no source).
fn conditions(paper: &Paper) -> Vec<String> {
    if !paper.conditions.is_empty() {
        return paper.conditions.clone();
    }
    let mut usual = vec!["A quiet place. Rough paper and a spare pen. Phone away.".to_owned()];
    if !paper.outline.on_screen {
        usual.push("The printed paper lies face down beside the keyboard.".to_owned());
    }
    usual
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn extra_time_shows_its_sum() {
        let said = |minutes, percent: &str| {
            time_allowed(Elapsed::minutes(minutes), percent.parse().unwrap())
        };
        assert_eq!(said(60, "25"), "60 minutes + 25% = 75 minutes");
        assert_eq!(said(45, "25"), "45 minutes + 25% = 56 min 15 s");
        assert_eq!(said(60, "12.5"), "60 minutes + 12.5% = 67 min 30 s");
        assert_eq!(said(60, "0"), "60 minutes");
    }
}
