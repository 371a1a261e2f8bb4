//! Answers held against a key under a rule: exact marks.

use super::event::How;
use super::key::{Key, Void};
use super::labels::Label;
use super::mark::Mark;
use super::rule::{QuestionNo, Rule, Section};
use super::sitting::{Given, Sitting};

/// What became of a question.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Outcome {
    /// Answered as the key says.
    Right,
    /// Answered otherwise.
    Wrong,
    /// Not answered.
    Blank,
    /// The question does not count.
    Void,
}

impl Outcome {
    /// The word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Right => "right",
            Self::Wrong => "wrong",
            Self::Blank => "blank",
            Self::Void => "void",
        }
    }
}

/// One question's answer, as marking sees it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Answer {
    /// The question.
    pub number: QuestionNo,
    /// What was chosen, if anything.
    pub given: Option<Label>,
    /// How it was come by, if anything was chosen.
    pub how: Option<How>,
    /// Whether it was given after time was up.
    pub after_time: bool,
}

/// One question marked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct QuestionMark {
    /// The answer.
    pub answer: Answer,
    /// What became of it.
    pub outcome: Outcome,
    /// What it gave.
    pub marks: Mark,
    /// The most it could give.
    pub max: Mark,
}

/// One section marked.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct SectionMark {
    /// The section's name.
    pub name: String,
    /// How many were right.
    pub right: usize,
    /// How many were wrong.
    pub wrong: usize,
    /// How many were blank.
    pub blank: usize,
    /// How many do not count.
    pub void: usize,
    /// What it gave.
    pub marks: Mark,
    /// The most it could give.
    pub max: Mark,
}

/// A whole answer sheet marked.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Marked {
    /// The total, start marks included.
    pub total: Mark,
    /// The most there could be, start marks included.
    pub max: Mark,
    /// By section; a section of which nothing was asked is left out.
    pub sections: Vec<SectionMark>,
    /// By question.
    pub questions: Vec<QuestionMark>,
}

/// Which of a sitting's answers to take.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Take {
    /// Those given in time.
    InTime,
    /// The guess round too.
    WithGuessRound,
    /// Those given in time that were neither guessed nor filled.
    Worked,
}

/// A sitting's answers, question by question.
pub fn answers(sitting: &Sitting, take: Take) -> Vec<Answer> {
    let rows = sitting.rows().iter();
    rows.map(|row| answer(row.number, (row.in_time, row.after_time), take))
        .collect()
}

/// One question's answer: what was given in time, what in the guess round.
pub(super) fn answer(
    number: QuestionNo,
    (in_time, after_time): (Option<Given>, Option<Given>),
    take: Take,
) -> Answer {
    let given = match take {
        Take::InTime => in_time,
        Take::WithGuessRound => in_time.or(after_time),
        Take::Worked => in_time.filter(|given| !given.how.is_luck()),
    };
    Answer {
        number,
        given: given.map(|given| given.option),
        how: given.map(|given| given.how),
        after_time: given.is_some() && in_time.is_none(),
    }
}

/// Marks answers under a rule; an answer whose question lies in no section is left out.
pub fn mark(answers: &[Answer], key: &Key, rule: &Rule) -> Marked {
    let mut marked = Marked {
        total: rule.start,
        max: rule.start,
        sections: Vec::new(),
        questions: Vec::with_capacity(answers.len()),
    };
    for section in &rule.sections {
        let mut sum = SectionMark {
            name: section.name.clone(),
            ..SectionMark::default()
        };
        let own = answers.iter().filter(|answer| section.holds(answer.number));
        let before = marked.questions.len();
        for question in own.map(|answer| mark_question(*answer, key, section)) {
            *match question.outcome {
                Outcome::Right => &mut sum.right,
                Outcome::Wrong => &mut sum.wrong,
                Outcome::Blank => &mut sum.blank,
                Outcome::Void => &mut sum.void,
            } += 1;
            sum.marks = sum.marks + question.marks;
            sum.max = sum.max + question.max;
            marked.questions.push(question);
        }
        marked.total = marked.total + sum.marks;
        marked.max = marked.max + sum.max;
        if marked.questions.len() > before {
            marked.sections.push(sum);
        }
    }
    marked
}

fn mark_question(answer: Answer, key: &Key, section: &Section) -> QuestionMark {
    let (outcome, marks, max) = match (key.voids.get(&answer.number), answer.given) {
        (Some(Void::Dropped), _) => (Outcome::Void, Mark::ZERO, Mark::ZERO),
        (Some(Void::Credited), _) => (Outcome::Void, section.right, section.best()),
        (None, None) => (Outcome::Blank, section.blank, section.best()),
        (None, Some(given)) if key.accepts(answer.number, given) => {
            (Outcome::Right, section.right, section.best())
        }
        (None, Some(_)) => (Outcome::Wrong, section.wrong, section.best()),
    };
    QuestionMark {
        answer,
        outcome,
        marks,
        max,
    }
}

#[cfg(test)]
mod tests {
    use std::collections::{BTreeMap, BTreeSet};

    use super::*;

    fn rule() -> Rule {
        let section = |name: &str, first, last, right: &str, wrong: &str, blank: &str| Section {
            name: name.into(),
            first: QuestionNo(first),
            last: QuestionNo(last),
            right: right.parse().unwrap(),
            wrong: wrong.parse().unwrap(),
            blank: blank.parse().unwrap(),
        };
        Rule {
            start: Mark::whole(3),
            sections: vec![
                section("first", 1, 2, "4", "0", "0"),
                section("second", 3, 4, "6", "-1/4", "1.5"),
            ],
        }
    }

    fn key() -> Key {
        Key {
            paper: "p".into(),
            fingerprint: None,
            answers: "ABCD".chars().filter_map(Label::new).collect(),
            also_right: BTreeMap::new(),
            voids: BTreeMap::new(),
            notes: BTreeMap::new(),
        }
    }

    fn sheet(text: &str) -> Vec<Answer> {
        let answer = |(i, c)| {
            let given = Label::new(c);
            Answer {
                number: QuestionNo::from_index(i),
                given,
                how: given.map(|_| How::Worked),
                after_time: false,
            }
        };
        text.chars().enumerate().map(answer).collect()
    }

    fn total(text: &str, key: &Key) -> String {
        let marked = mark(&sheet(text), key, &rule());
        format!("{} of {}", marked.total, marked.max)
    }

    #[test]
    fn right_wrong_and_blank_follow_the_section() {
        assert_eq!(total("ABCD", &key()), "23 of 23");
        assert_eq!(total("----", &key()), "6 of 23");
        assert_eq!(total("BAAA", &key()), "2.5 of 23");
        assert_eq!(total("A-CA", &key()), "12.75 of 23");
    }

    #[test]
    fn voids_and_second_answers_are_the_keys_word() {
        let mut key = key();
        key.voids.insert(QuestionNo(1), Void::Dropped);
        assert_eq!(total("AB--", &key), "10 of 19");
        key.voids.insert(QuestionNo(1), Void::Credited);
        assert_eq!(total("-B--", &key), "14 of 23");
        key.also_right
            .insert(QuestionNo(4), BTreeSet::from([Label::new('A').unwrap()]));
        assert_eq!(total("-BCA", &key), "23 of 23");
        let marked = mark(&sheet("-BCA"), &key, &rule());
        assert_eq!(
            (
                marked.sections[0].void,
                marked.sections[0].right,
                marked.sections[1].right
            ),
            (1, 1, 2)
        );
    }

    #[test]
    fn right_wrong_blank_and_void_add_up_and_a_part_of_a_paper_has_its_own_maximum() {
        let part = mark(&sheet("AB"), &key(), &rule());
        assert_eq!(part.sections.len(), 1);
        assert_eq!((part.total, part.max), (Mark::whole(11), Mark::whole(11)));
    }
}
