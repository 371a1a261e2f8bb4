//! What is read out before the clock starts: time, conditions, the rule and who checked it.

use std::cmp::Ordering;

use chrono::NaiveDate;

use crate::domain::header::{Arrangements, PacePlan, with_extra_time};
use crate::domain::mark::Mark;
use crate::domain::paper::{Outline, Paper};
use crate::domain::questions::QuestionList;
use crate::domain::rule::QuestionNo;
use crate::domain::step::Step;
use crate::domain::time::Elapsed;
use crate::odds::guess::gain;
use crate::words::count::counted;
use crate::words::guess::rule_caution;
use crate::words::numbers::{in_percent, plain, questions_in_words, ranges_in_words};
use crate::words::plan::plan_read_out;
use crate::words::rule::{PRACTICE_ONLY, check_in_words, rule_in_words};
use crate::words::step::{self, to_do};
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

/// What a pupil brings to a sitting.
#[derive(Clone, Copy, Debug, Default)]
pub struct OwnAims<'a> {
    /// The pace plan.
    pub plan: Option<&'a PacePlan>,
    /// The step agreed last, where it is to be read out.
    pub step: Option<&'a Step>,
}

/// Everything to be read out, in order; `standard` is the time before extra time.
pub fn read_out(
    paper: &Paper,
    standard: Elapsed,
    arranged: &Arrangements,
    own: OwnAims<'_>,
    today: NaiveDate,
) -> Vec<TextBlock> {
    let outline = &paper.outline;
    let time = time_allowed(standard, arranged.extra_percent);
    // A paper's own conditions often say it themselves.
    let ready = if paper.conditions.is_empty() {
        "Start when you are ready. You can skip and come back."
    } else {
        "Start when you are ready."
    };
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
            lines: rule_in_words(&outline.rule, arranged.only.as_ref())
                .into_iter()
                .chain([check_in_words(outline.rule_checked.as_ref(), today)])
                .collect(),
        },
        TextBlock {
            heading: "Remember",
            lines: habit(outline, arranged, today)
                .into_iter()
                .chain([PRACTICE_ONLY.to_owned()])
                .collect(),
        },
    ];
    let plan = own.plan.map(|plan| TextBlock {
        heading: "Your plan",
        lines: plan_read_out(plan),
    });
    let step = own.step.map(|step| TextBlock {
        heading: step::YOUR_STEP,
        lines: vec![to_do(step)],
    });
    let last = blocks.len() - 1;
    blocks.splice(last..last, plan.into_iter().chain(step));
    blocks
}

/// The habit of the last minutes, where this year's rule was checked: guesses on the questions on which a
/// blind guess gains on average, and a caution where one loses.
pub fn habit(outline: &Outline, arranged: &Arrangements, today: NaiveDate) -> Option<String> {
    let sat = |question: &QuestionNo| {
        let only = arranged.only.as_ref();
        only.is_none_or(|only| only.iter().any(|own| own == *question))
    };
    let questions_that = |way: Ordering| -> Vec<QuestionNo> {
        let questions = (1..=outline.questions).map(QuestionNo).filter(sat);
        let has_way = |question: &QuestionNo| {
            let section = outline.rule.section(*question);
            section.is_some_and(|section| {
                let gain = gain(section, outline.labels(*question).len());
                gain.cmp(&Mark::ZERO) == way
            })
        };
        questions.filter(has_way).collect()
    };
    let gaining = questions_that(Ordering::Greater);
    let losing = questions_that(Ordering::Less);
    if gaining.is_empty() || rule_caution(outline, today).is_some() {
        return None;
    }
    Some(if losing.is_empty() {
        "In the last minutes, fill your blanks with guesses.".to_owned()
    } else {
        format!(
            "In the last minutes, fill your blanks in {} with guesses. A blind guess on {} loses marks on average.",
            questions_in_words(&gaining),
            questions_in_words(&losing)
        )
    })
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
    use crate::domain::paper::RuleChecked;
    use crate::papers::{self, section};

    /// By hand, with five options: 5/5 gains; 8/5 - 3 * 4/5 = -4/5 loses; 4/5 - 1 * 4/5 = 0 does neither.
    #[test]
    fn the_habit_of_the_last_minutes_names_only_what_a_guess_gains_on() {
        let today = NaiveDate::from_ymd_opt(2026, 11, 25).unwrap();
        let said = |sections, only: Option<&str>| {
            let mut paper = papers::paper("P", 70, sections);
            paper.outline.rule_checked = Some(RuleChecked {
                on: today,
                by: "T.M.".into(),
            });
            let mut arranged = Arrangements::usual(paper.allowed);
            arranged.only = only.map(|only| QuestionList::read(only).unwrap());
            habit(&paper.outline, &arranged, today)
        };
        let mixed = || {
            vec![
                section(1, 20, ["5", "0", "0"]),
                section(21, 22, ["4", "-1", "0"]),
                section(23, 28, ["8", "-3", "0"]),
            ]
        };
        assert_eq!(
            said(mixed(), None).as_deref(),
            Some(
                "In the last minutes, fill your blanks in questions 1 to 20 with guesses. \
                 A blind guess on questions 23 to 28 loses marks on average."
            )
        );
        let everywhere = "In the last minutes, fill your blanks with guesses.";
        assert_eq!(said(mixed(), Some("1-22")).as_deref(), Some(everywhere));
        assert_eq!(said(mixed(), Some("21-28")), None);
    }

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
