//! A marking rule in words that a pupil of eleven can read.
//!
//! Every sentence is drawn from the paper's own rule; nothing is taken for granted of any year.

use chrono::NaiveDate;

use crate::domain::mark::Mark;
use crate::domain::paper::RuleChecked;
use crate::domain::questions::QuestionList;
use crate::domain::rule::{QuestionNo, Rule, Section};
use crate::words::numbers::marks_in_words;
use crate::words::time::day;

/// The sentence that stands above every sitting.
pub const PRACTICE_ONLY: &str =
    "For practice only. The organiser's rules and your school's policy always come first.";

/// What to do while this year's rule has not been checked.
const CHECK_FIRST: &str =
    "check this year's rules with the organiser before you trust advice drawn from them.";

/// Says a rule sentence by sentence: what each question is worth, what a wrong answer and a blank
/// do, and what everybody starts with; only for the questions that are sat.
pub fn rule_in_words(rule: &Rule, only: Option<&QuestionList>) -> Vec<String> {
    let parts: Vec<Section> = rule
        .sections
        .iter()
        .flat_map(|section| cut(section, only))
        .collect();
    let mut lines = Vec::new();
    if rule.start != Mark::ZERO {
        lines.push(format!(
            "Everybody starts with {}.",
            marks_in_words(rule.start)
        ));
    }
    for (first, last, right) in runs(&parts, |section| section.right) {
        let each = if first == last { "" } else { " each" };
        lines.push(format!(
            "{}: {}{each}.",
            questions_from_to(first, last),
            marks_in_words(right)
        ));
    }
    lines.extend(same_or_apart(
        "wrong answer",
        &runs(&parts, |section| section.wrong),
    ));
    lines.extend(same_or_apart(
        "blank",
        &runs(&parts, |section| section.blank),
    ));
    lines
}

/// The parts of a section that are sat.
fn cut(section: &Section, only: Option<&QuestionList>) -> Vec<Section> {
    let whole = [(section.first, section.last)];
    let runs = only.map_or(&whole[..], QuestionList::runs).iter();
    let parts = runs.map(|(from, to)| (section.first.max(*from), section.last.min(*to)));
    parts
        .filter(|(first, last)| first <= last)
        .map(|(first, last)| Section {
            first,
            last,
            ..section.clone()
        })
        .collect()
}

/// Neighbours that share a value, as first, last, value.
fn runs(
    parts: &[Section],
    value: impl Fn(&Section) -> Mark,
) -> Vec<(QuestionNo, QuestionNo, Mark)> {
    let mut runs: Vec<(QuestionNo, QuestionNo, Mark)> = Vec::new();
    for part in parts {
        match runs.last_mut() {
            Some((_, last, same)) if *same == value(part) => *last = part.last,
            _ => runs.push((part.first, part.last, value(part))),
        }
    }
    runs
}

fn same_or_apart(what: &str, runs: &[(QuestionNo, QuestionNo, Mark)]) -> Vec<String> {
    if let [(_, _, all)] = runs {
        return vec![format!("A {what} {}.", effect(what, *all))];
    }
    let apart = |(first, last, marks): &(QuestionNo, QuestionNo, Mark)| {
        let questions = questions_from_to(*first, *last);
        format!("{questions}: a {what} {}.", effect(what, *marks))
    };
    runs.iter().map(apart).collect()
}

fn effect(what: &str, marks: Mark) -> String {
    match marks.cmp(&Mark::ZERO) {
        std::cmp::Ordering::Less => format!("takes away {}", marks_in_words(-marks)),
        std::cmp::Ordering::Equal if what == "blank" => "gives nothing".to_owned(),
        std::cmp::Ordering::Equal => "costs nothing".to_owned(),
        std::cmp::Ordering::Greater => format!("gives {}", marks_in_words(marks)),
    }
}

fn questions_from_to(first: QuestionNo, last: QuestionNo) -> String {
    if first == last {
        format!("Question {first}")
    } else {
        format!("Questions {first} to {last}")
    }
}

/// Says when and by whom the rule was checked, or that it was not checked this year.
pub fn check_in_words(checked: Option<&RuleChecked>, today: NaiveDate) -> String {
    let Some(checked) = checked else {
        return format!("Rule not checked this year: {CHECK_FIRST}");
    };
    let (on, by) = (day(checked.on), &checked.by);
    if checked.holds_on(today) {
        // Initials bring their own full stop.
        format!("Rule checked on {on} by {}.", by.trim_end_matches('.'))
    } else if checked.on > today {
        format!("The rule's check is dated {on}, a day still to come: {CHECK_FIRST}")
    } else {
        format!("Rule last checked on {on} by {by}, over a year ago: {CHECK_FIRST}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn section(first: u16, last: u16, right: &str, wrong: &str, blank: &str) -> Section {
        Section {
            name: String::new(),
            first: QuestionNo(first),
            last: QuestionNo(last),
            right: right.parse().unwrap(),
            wrong: wrong.parse().unwrap(),
            blank: blank.parse().unwrap(),
        }
    }

    fn words(start: i64, sections: &[Section], only: Option<(u16, u16)>) -> String {
        let rule = Rule {
            start: Mark::whole(start),
            sections: sections.to_vec(),
        };
        let only =
            only.and_then(|(first, last)| QuestionList::range(QuestionNo(first), QuestionNo(last)));
        rule_in_words(&rule, only.as_ref()).join(" ")
    }

    #[test]
    fn a_rule_without_penalties_is_said_plainly() {
        let sections = [
            section(1, 10, "4", "0", "0"),
            section(11, 20, "5", "0", "0"),
            section(21, 25, "7", "0", "0"),
        ];
        assert_eq!(
            words(0, &sections, None),
            "Questions 1 to 10: 4 marks each. Questions 11 to 20: 5 marks each. \
             Questions 21 to 25: 7 marks each. A wrong answer costs nothing. A blank gives nothing."
        );
        assert_eq!(
            words(0, &sections, Some((10, 11))),
            "Question 10: 4 marks. Question 11: 5 marks. A wrong answer costs nothing. A blank gives nothing."
        );
    }

    #[test]
    fn penalties_credit_for_blanks_and_start_marks_are_said() {
        assert_eq!(
            words(
                25,
                &[
                    section(1, 20, "5", "0", "0"),
                    section(21, 25, "6", "-1", "0")
                ],
                None
            ),
            "Everybody starts with 25 marks. Questions 1 to 20: 5 marks each. \
             Questions 21 to 25: 6 marks each. Questions 1 to 20: a wrong answer costs nothing. \
             Questions 21 to 25: a wrong answer takes away 1 mark. A blank gives nothing."
        );
        assert_eq!(
            words(0, &[section(1, 4, "1", "-1/4", "0.2")], None),
            "Questions 1 to 4: 1 mark each. A wrong answer takes away a quarter of a mark. \
             A blank gives 0.2 of a mark."
        );
    }

    #[test]
    fn a_check_counts_for_a_year() {
        let day = |y, m, d| NaiveDate::from_ymd_opt(y, m, d).unwrap();
        let checked = RuleChecked {
            on: day(2026, 9, 3),
            by: "T.M.".into(),
        };
        let said = |today| check_in_words(Some(&checked), today);
        assert_eq!(
            said(day(2026, 11, 25)),
            "Rule checked on 3 Sep 2026 by T.M."
        );
        assert!(said(day(2027, 11, 25)).contains("over a year ago: check this year's rules"));
        assert!(said(day(2026, 9, 2)).contains("still to come: check this year's rules"));
        assert!(
            check_in_words(None, day(2026, 9, 2)).starts_with("Rule not checked this year: check")
        );
    }
}
