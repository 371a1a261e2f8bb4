//! Which questions of a paper a pupil has met before: by their words, and where a file has none, by their place.

use std::collections::BTreeSet;

use chrono::{DateTime, FixedOffset};

use crate::analysis::evidence::Evidence;
use crate::domain::header::{Alias, Header};
use crate::domain::paper::{Fingerprint, Paper};
use crate::domain::practice::{PaperQuestion, PracticeLog};
use crate::domain::rule::QuestionNo;

/// The questions that a sitting or a paper asks.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Questions {
    asked: Vec<(QuestionPlace, Option<Fingerprint>)>,
}

/// A paper's id and a number on it.
type QuestionPlace = (String, QuestionNo);

impl Questions {
    /// The questions of a sitting; the paper, where it is at hand, knows the words of old ones.
    pub fn of_sitting(header: &Header, paper: Option<&Paper>) -> Self {
        let id = &header.paper.id;
        let words = |number: QuestionNo| {
            let own = header.question_fingerprints.get(&number).cloned();
            own.or_else(|| paper?.question(number)?.text_fingerprint())
        };
        let questions = header.questions();
        Self {
            asked: questions
                .map(|number| ((id.clone(), number), words(number)))
                .collect(),
        }
    }

    /// The questions of a paper.
    pub fn of_paper(paper: &Paper) -> Self {
        let id = &paper.outline.id;
        let words = |number| paper.question(number)?.text_fingerprint();
        let numbers = paper.outline.numbers();
        Self {
            asked: numbers
                .map(|number| ((id.clone(), number), words(number)))
                .collect(),
        }
    }

    /// Questions that were practised.
    pub fn of_practice<'a>(practised: impl IntoIterator<Item = &'a PaperQuestion>) -> Self {
        let practised = practised.into_iter();
        let question = |own: &PaperQuestion| ((own.paper.clone(), own.question), own.words.clone());
        Self {
            asked: practised.map(question).collect(),
        }
    }

    /// The questions that a sitting's evidence is of.
    pub fn of_evidence(evidence: &Evidence) -> Self {
        let answers = evidence.answers.iter();
        let question = |number: QuestionNo| {
            let place = (evidence.paper.id().to_owned(), number);
            (place, evidence.texts.get(&number).cloned())
        };
        Self {
            asked: answers.map(|own| question(own.number)).collect(),
        }
    }
}

/// The questions of earlier sittings.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct MetQuestions {
    words: BTreeSet<Fingerprint>,
    places: BTreeSet<QuestionPlace>,
    /// The places of those without words.
    wordless: BTreeSet<QuestionPlace>,
}

impl MetQuestions {
    /// Those of one more sitting.
    pub fn add(&mut self, asked: &Questions) {
        for (place, own) in &asked.asked {
            self.places.insert(place.clone());
            match own {
                Some(own) => self.words.insert(own.clone()),
                None => self.wordless.insert(place.clone()),
            };
        }
    }

    /// Whether each of these questions is one of them: the same words, or, where one of the two has none, the same
    /// number on a paper of the same id.
    pub fn hold<'a>(&'a self, now: &'a Questions) -> impl Iterator<Item = bool> + 'a {
        now.asked.iter().map(|(place, own)| match own {
            Some(own) => self.words.contains(own) || self.wordless.contains(place),
            None => self.places.contains(place),
        })
    }
}

/// When pupils practised which questions: they are met from then on, and say nothing else of a pupil.
#[derive(Clone, Debug, Default)]
pub struct MetInPractice {
    tries: Vec<(Alias, DateTime<FixedOffset>, Questions)>,
}

impl MetInPractice {
    /// What a pupil opened in these sessions.
    pub fn of(pupil: &Alias, logs: &[PracticeLog]) -> Self {
        let tries = logs.iter().flat_map(PracticeLog::tries);
        let tries = tries.map(|own| {
            (
                pupil.clone(),
                own.at,
                Questions::of_practice([&own.question]),
            )
        });
        Self {
            tries: tries.collect(),
        }
    }

    /// What a pupil opened at these moments.
    pub fn opened(pupil: &Alias, opened: &[(DateTime<FixedOffset>, Questions)]) -> Self {
        let tries = opened.iter();
        let tries = tries.map(|(at, questions)| (pupil.clone(), *at, questions.clone()));
        Self {
            tries: tries.collect(),
        }
    }

    /// What several pupils opened.
    pub fn together(all: impl IntoIterator<Item = Self>) -> Self {
        let tries = all.into_iter().flat_map(|own| own.tries);
        Self {
            tries: tries.collect(),
        }
    }

    /// Only what a pupil opened.
    #[must_use]
    pub fn only_of(&self, pupil: &Alias) -> Self {
        let own = self.tries.iter().filter(|(own, ..)| own.is_same(pupil));
        Self {
            tries: own.cloned().collect(),
        }
    }

    /// Only what was opened before a moment.
    #[must_use]
    pub fn before(&self, moment: DateTime<FixedOffset>) -> Self {
        let earlier = self.tries.iter().filter(|(_, at, _)| *at < moment);
        Self {
            tries: earlier.cloned().collect(),
        }
    }

    /// A pupil's questions as they are met, from none on.
    pub fn met_by<'a>(&'a self, pupil: &Alias) -> MetSoFar<'a> {
        let own = self.tries.iter().filter(|(own, ..)| own.is_same(pupil));
        let mut practised: Vec<_> = own.map(|(_, at, questions)| (*at, questions)).collect();
        practised.sort_by_key(|(at, _)| std::cmp::Reverse(*at));
        MetSoFar {
            met: MetQuestions::default(),
            practised,
        }
    }
}

/// What a pupil has met, sitting by sitting in order of time, with the practice between them.
#[derive(Clone, Debug)]
pub struct MetSoFar<'a> {
    met: MetQuestions,
    /// What was practised and is not met yet, the next last.
    practised: Vec<(DateTime<FixedOffset>, &'a Questions)>,
}

impl MetSoFar<'_> {
    /// The questions met before a moment.
    pub fn before(&mut self, moment: DateTime<FixedOffset>) -> &MetQuestions {
        while let Some((_, questions)) = self.practised.pop_if(|(at, _)| *at < moment) {
            self.met.add(questions);
        }
        &self.met
    }

    /// A sitting asked these.
    pub fn sat(&mut self, asked: &Questions) {
        self.met.add(asked);
    }

    /// Everything, with all that was practised.
    pub fn all(mut self) -> MetQuestions {
        for (_, questions) in self.practised {
            self.met.add(questions);
        }
        self.met
    }
}

/// How many questions were met before.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Familiarity {
    /// The questions met before.
    pub met: usize,
    /// All that are asked.
    pub asked: usize,
}

impl Familiarity {
    /// How many of the questions an earlier sitting asked.
    pub fn of<'a>(now: &Questions, earlier: impl IntoIterator<Item = &'a Questions>) -> Self {
        let mut met = MetQuestions::default();
        earlier.into_iter().for_each(|one| met.add(one));
        Self::among(now, &met)
    }

    /// How many of the questions were met.
    pub fn among(now: &Questions, met: &MetQuestions) -> Self {
        Self {
            met: met.hold(now).filter(|met| *met).count(),
            asked: now.asked.len(),
        }
    }

    /// Whether the paper counts as sat before: at least half of its questions were met (common practice, no source).
    pub const fn is_sat_before(self) -> bool {
        self.met > 0 && self.met * 2 >= self.asked
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn asked(id: &str, words: &[Option<&str>]) -> Questions {
        let questions = words.iter().enumerate().map(|(index, own)| {
            let place = (id.to_owned(), QuestionNo::from_index(index));
            (place, own.map(|own| Fingerprint::of([own])))
        });
        Questions {
            asked: questions.collect(),
        }
    }

    #[test]
    fn a_question_is_known_by_its_words_and_without_words_by_its_place() {
        let paper = asked("b", &[Some("x"), Some("y"), None, Some("z")]);
        let met = |earlier: &[Questions]| Familiarity::of(&paper, earlier).met;
        assert_eq!(met(&[]), 0);
        assert_eq!(met(&[asked("a", &[Some("z"), None, None, Some("y")])]), 2);
        assert_eq!(
            met(&[asked("b", &[Some("new"), None, None])]),
            2,
            "an old log has no words"
        );
        assert_eq!(
            met(&[asked("b", &[Some("new"), Some("newer")])]),
            0,
            "other questions"
        );
        assert_eq!(met(&[asked("c", &[None, None, None, None])]), 0);
    }

    #[test]
    fn half_the_questions_make_a_paper_sat_before() {
        let paper = asked("b", &[Some("x"), Some("y"), Some("z")]);
        let of = |words: &[Option<&str>]| Familiarity::of(&paper, [&asked("a", words)]);
        assert!(!of(&[Some("x")]).is_sat_before());
        assert!(of(&[Some("x"), Some("y")]).is_sat_before());
        assert!(!Familiarity::of(&Questions::default(), []).is_sat_before());
    }
}
