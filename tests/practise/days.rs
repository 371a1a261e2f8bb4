//! A paper, sittings of it and practice, made up day by day.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use chrono::{DateTime, FixedOffset, NaiveDate, TimeDelta};
use pacebell::analysis::{Analysis, Studied};
use pacebell::domain::event::{Ending, Event, How, Stamped};
use pacebell::domain::header::Header;
use pacebell::domain::key::{Key, Note};
use pacebell::domain::labels::Label;
use pacebell::domain::paper::{Paper, Question};
use pacebell::domain::practice::{
    PracticeEvent, PracticeLog, PracticeMoment, PracticeRound, PracticeStart, RoundMove,
    RoundQuestion, WorkingShown,
};
use pacebell::domain::rule::QuestionNo;
use pacebell::domain::time::Elapsed;
use pacebell::season::practice::PractisedSeason;

use crate::papers::{paper as plain_paper, section};
use crate::sat;

/// The first day; sittings and practice are so many days after it.
pub(crate) fn day(after: i64) -> NaiveDate {
    start(after).date_naive()
}

pub(crate) fn start(after: i64) -> DateTime<FixedOffset> {
    let first = DateTime::parse_from_rfc3339("2026-09-01T16:00:00+01:00").unwrap();
    first + TimeDelta::days(after)
}

pub(crate) fn label(c: char) -> Label {
    Label::new(c).unwrap()
}

/// A paper of so many questions on the screen, with these topics in turn; the words name the paper.
pub(crate) fn paper(title: &str, questions: u16, topics: &[&str]) -> Paper {
    let mut paper = plain_paper(title, 60, [section(1, questions, ["4", "0", "0"])]);
    paper.questions = (0..usize::from(questions))
        .map(|index| Question {
            topics: topics
                .get(index % topics.len().max(1))
                .map(|own| (*own).to_owned())
                .into_iter()
                .collect(),
            stem: Some(format!("How many? ({title} {})", index + 1)),
            options: ["1", "2", "3", "4", "5"].map(str::to_owned).to_vec(),
            ..Question::default()
        })
        .collect();
    paper
}

/// A key in which B is right everywhere, with a hint and a working for each question.
pub(crate) fn key(paper: &Paper) -> Key {
    let notes = paper.outline.numbers().map(|number| {
        let note = Note {
            hint: Some(format!("Count {number} twice.")),
            working: Some(format!("{number} and {number} make B.")),
            distractors: BTreeMap::from([(label('C'), "counted once".to_owned())]),
        };
        (number, note)
    });
    Key {
        paper: paper.outline.id.clone(),
        fingerprint: None,
        answers: vec![label('B'); usize::from(paper.outline.questions)],
        also_right: BTreeMap::new(),
        voids: BTreeMap::new(),
        notes: notes.collect(),
    }
}

/// The log of a sitting: a letter for each answer, a small one for a guess, `?` after one that is unsure, `-` for a blank.
pub(crate) fn log(header: &Header, answers: &str) -> Vec<Stamped> {
    let mut events = Vec::new();
    let mut number = QuestionNo(0);
    for c in answers.chars() {
        if c == '?' {
            events.push(Event::Said(number, How::Unsure));
            continue;
        }
        number = QuestionNo(number.0 + 1);
        events.push(Event::Opened(number));
        if c != '-' {
            events.push(Event::Answered(number, label(c)));
        }
        if c.is_ascii_lowercase() {
            events.push(Event::Said(number, How::Guessed));
        }
    }
    events.push(Event::Closed(Ending::FinishedEarly));
    let stamp = |(n, event): (u64, Event)| Stamped {
        at: Elapsed::seconds(20 * n),
        utc: header.started.to_utc() + TimeDelta::seconds(20 * i64::try_from(n).unwrap()),
        event,
    };
    (1_u64..).zip(events).map(stamp).collect()
}

/// A sitting of a paper so many days into the season.
pub(crate) fn sitting(paper: &Paper, after: i64, answers: &str) -> Studied {
    let mut header = sat::header("otter", paper);
    header.sitting = format!("{}-{after}", paper.outline.id);
    header.started = start(after);
    header.question_fingerprints = paper.question_fingerprints();
    let log = log(&header, answers);
    let analysis = Analysis::of(Arc::new(header), log.into(), Arc::default());
    Studied {
        paper: Some(Arc::new(paper.clone())),
        ..Studied::new(analysis, Some(Arc::new(key(paper))))
    }
}

/// A pupil's season as it grows.
pub(crate) struct Diary {
    pub(crate) papers: Vec<Paper>,
    pub(crate) sittings: Vec<Studied>,
    pub(crate) logs: Vec<PracticeLog>,
}

impl Diary {
    pub(crate) fn new(papers: &[Paper]) -> Self {
        Self {
            papers: papers.to_vec(),
            sittings: vec![],
            logs: vec![],
        }
    }

    pub(crate) fn sits(&mut self, paper: usize, after: i64, answers: &str) {
        self.sittings
            .push(sitting(&self.papers[paper], after, answers));
    }

    pub(crate) fn season(&self) -> PractisedSeason {
        let at_hand = |which: &pacebell::domain::practice::PaperQuestion| {
            let paper = self
                .papers
                .iter()
                .find(|own| own.outline.id == which.paper)?;
            Some(question(paper, which.question.0))
        };
        PractisedSeason::of(&self.sittings, &self.logs, &at_hand)
    }

    /// A session of practice with these questions; `answers` has the moves for each, `.` going on.
    pub(crate) fn practises(&mut self, after: i64, questions: Vec<RoundQuestion>, answers: &str) {
        let mut letters = answers.chars();
        self.practises_by(after, questions, |_, _| match letters.next() {
            Some('?') => RoundMove::Hint,
            Some('.') => RoundMove::Next,
            Some(c) => RoundMove::Answer(c),
            None => RoundMove::Stop,
        });
    }

    /// A session in which somebody moves, asked with the round and the day.
    pub(crate) fn practises_by(
        &mut self,
        after: i64,
        questions: Vec<RoundQuestion>,
        mut moves: impl FnMut(&PracticeRound, i64) -> RoundMove,
    ) {
        let started = start(after) + TimeDelta::minutes(i64::try_from(self.logs.len()).unwrap());
        let (mut round, events) = PracticeRound::new(questions, WorkingShown::AtOnce);
        let mut moments = Vec::new();
        let mut keep = |events: Vec<PracticeEvent>| {
            for event in events {
                let n = u64::try_from(moments.len()).unwrap();
                moments.push(PracticeMoment {
                    at: Elapsed(n),
                    utc: started.to_utc() + TimeDelta::milliseconds(i64::try_from(n).unwrap()),
                    event,
                });
            }
        };
        keep(events);
        while round.question().is_some() {
            let said = moves(&round, after);
            keep(round.hear(said).unwrap());
        }
        let practice = format!("practice-{}", self.logs.len());
        let start = PracticeStart {
            practice,
            started,
            program: "test".to_owned(),
        };
        self.logs.push(PracticeLog { start, moments });
    }
}

/// A question of a paper to be tried.
pub(crate) fn question(paper: &Paper, number: u16) -> RoundQuestion {
    let number = QuestionNo(number);
    RoundQuestion {
        which: pacebell::domain::practice::PaperQuestion {
            paper: paper.outline.id.clone(),
            fingerprint: paper.outline.fingerprint.clone(),
            question: number,
            words: paper.question(number).unwrap().text_fingerprint(),
        },
        outline: Arc::new(paper.outline.clone()),
        paper: Some(Arc::new(paper.clone())),
        key: Arc::new(key(paper)),
    }
}

/// The numbers of some questions.
pub(crate) fn numbers(questions: &[RoundQuestion]) -> Vec<u16> {
    questions.iter().map(|own| own.which.question.0).collect()
}

/// How many neighbours have a topic in common.
pub(crate) fn pairs(questions: &[RoundQuestion]) -> usize {
    let topics: Vec<BTreeSet<&str>> = questions.iter().map(RoundQuestion::topics).collect();
    let pairs = topics.windows(2);
    pairs.filter(|pair| !pair[0].is_disjoint(&pair[1])).count()
}
