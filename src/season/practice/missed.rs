//! The questions of a pupil's sittings and practice, each with its tries.

use std::collections::BTreeMap;
use std::sync::Arc;

use chrono::{DateTime, FixedOffset, NaiveDate};

use super::order::arranged;
use super::schedule::{NO_VERDICT_DAYS, PracticeState, after, next_try};
use crate::analysis::Studied;
use crate::domain::event::How;
use crate::domain::marking::{Outcome, QuestionMark};
use crate::domain::paper::Fingerprint;
use crate::domain::practice::{PaperQuestion, PracticeLog, PracticeTry, RoundQuestion};
use crate::domain::rule::QuestionNo;
use crate::domain::standing::Use;
use crate::season::familiarity::Questions;
use crate::stats::real;

/// How a question was missed in time; the first kind comes back first, since what somebody was sure of is corrected
/// best (Foster et al. 2021, doi 10.1007/s10649-021-10084-7).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum MissKind {
    /// Wrong, though worked out.
    WrongWorked,
    /// Wrong, and unsure, a guess or a fill.
    Wrong,
    /// Blank.
    Blank,
}

/// The answer in time at the first sitting that asked a question.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FirstTry {
    /// It was right.
    Right,
    /// It was missed.
    Missed(MissKind),
}

impl FirstTry {
    /// Whether it was right.
    pub fn is_right(self) -> bool {
        self == Self::Right
    }
}

/// What came of a later try.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RetriedHow {
    /// Right at once, without help.
    Right,
    /// With the hint: right or wrong says little.
    Aided,
    /// Wrong at once, without help.
    Wrong,
}

/// A try after the first.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Retried {
    /// The id of the session of practice, or of the sitting.
    pub session: String,
    /// When.
    pub at: DateTime<FixedOffset>,
    /// What came of it.
    pub how: RetriedHow,
    /// Whether it was in practice; else in a later sitting, where only what was worked out and right counts.
    pub in_practice: bool,
}

/// A question that was sat or practised.
#[derive(Clone, Debug)]
pub struct SeasonQuestion {
    /// The question with its paper and key, as it was met last.
    pub round: RoundQuestion,
    /// The first try in a sitting, where there was one, and when.
    pub(super) first_at: Option<DateTime<FixedOffset>>,
    /// What came of that first try.
    pub first: Option<FirstTry>,
    /// How it was missed last in a sitting, and when.
    pub missed: Option<(MissKind, DateTime<FixedOffset>)>,
    /// Later tries, in order.
    pub tries: Vec<Retried>,
}

/// A question in whatever paper it stands: by its words, else by its number on a paper of that id.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Identity {
    Words(Fingerprint),
    Place(String, QuestionNo),
}

/// What happened to a question at a moment.
enum Happened<'a> {
    Sat(&'a Studied, &'a QuestionMark),
    Practised(&'a str, &'a PracticeTry),
}

/// Everything that a pupil's sittings and practice say of single questions.
#[derive(Clone, Debug, Default)]
pub struct PractisedSeason {
    /// The questions, in the order in which they were first met.
    pub questions: Vec<SeasonQuestion>,
    /// How many sessions of practice there were in which something was tried, each counted once.
    pub sessions: usize,
    /// What was opened, and when: met from then on.
    pub opened: Vec<(DateTime<FixedOffset>, Questions)>,
    /// What pupils said was the catch, the latest last, with the question that it was about.
    pub catches: Vec<(PaperQuestion, String)>,
}

impl PractisedSeason {
    /// Puts together the sittings that count and have a key, and the practice; `at_hand` finds paper and key of a
    /// question that was never sat.
    pub fn of<'a>(
        sittings: impl IntoIterator<Item = &'a Studied>,
        logs: &[PracticeLog],
        at_hand: &dyn Fn(&PaperQuestion) -> Option<RoundQuestion>,
    ) -> Self {
        let logs = each_once(logs);
        let tries: Vec<(&str, PracticeTry)> = logs
            .iter()
            .flat_map(|log| log.tries().into_iter().map(|own| (log.id(), own)))
            .collect();
        let mut happened: Vec<(DateTime<FixedOffset>, PaperQuestion, Happened<'_>)> = Vec::new();
        for studied in sittings {
            if studied.analysis.standing().bars(Use::Evidence).is_some() {
                continue;
            }
            let started = studied.header().started;
            for mark in studied
                .marks()
                .iter()
                .flat_map(|marks| &marks.in_time.questions)
            {
                let which = sat_question(studied, mark.answer.number);
                happened.push((started, which, Happened::Sat(studied, mark)));
            }
        }
        for (session, own) in &tries {
            let which = own.question.clone();
            happened.push((own.at, which, Happened::Practised(session, own)));
        }
        happened.sort_by_key(|(at, ..)| *at);
        let mut words = BTreeMap::<(String, QuestionNo), Fingerprint>::new();
        for (_, which, _) in &happened {
            if let Some(own) = &which.words {
                words.insert((which.paper.clone(), which.question), own.clone());
            }
        }
        let mut season = Self {
            sessions: logs.iter().filter(|log| log.is_tried()).count(),
            opened: tries
                .iter()
                .map(|(_, own)| (own.at, Questions::of_practice([&own.question])))
                .collect(),
            ..Self::default()
        };
        let mut known = BTreeMap::<Identity, usize>::new();
        for (at, which, what) in happened {
            let place = (which.paper.clone(), which.question);
            let own = which.words.clone().or_else(|| words.get(&place).cloned());
            let identity = own.map_or(Identity::Place(place.0, place.1), Identity::Words);
            let found = known.get(&identity).copied();
            let Some(index) = found.or_else(|| season.meet(&which, &what, at_hand)) else {
                continue;
            };
            known.insert(identity, index);
            season.note(index, at, &which, &what);
        }
        season
    }

    /// A question that is met for the first time; nothing where there is no key for it.
    fn meet(
        &mut self,
        which: &PaperQuestion,
        what: &Happened<'_>,
        at_hand: &dyn Fn(&PaperQuestion) -> Option<RoundQuestion>,
    ) -> Option<usize> {
        let round = match what {
            Happened::Sat(studied, mark) if mark.outcome != Outcome::Void => {
                round_of(studied, which)?
            }
            Happened::Sat(..) => return None,
            Happened::Practised(..) => at_hand(which)?,
        };
        self.questions.push(SeasonQuestion {
            round,
            first_at: None,
            first: None,
            missed: None,
            tries: Vec::new(),
        });
        Some(self.questions.len() - 1)
    }

    fn note(
        &mut self,
        index: usize,
        at: DateTime<FixedOffset>,
        which: &PaperQuestion,
        what: &Happened<'_>,
    ) {
        if let Happened::Practised(
            _,
            PracticeTry {
                catch: Some(text), ..
            },
        ) = what
        {
            self.catches.push((which.clone(), text.clone()));
        }
        let Some(question) = self.questions.get_mut(index) else {
            return;
        };
        match what {
            Happened::Sat(studied, mark) => {
                if mark.outcome == Outcome::Void {
                    return;
                }
                if let Some(round) = round_of(studied, which) {
                    question.round = round;
                }
                question.sat(at, &studied.header().sitting, mark);
            }
            Happened::Practised(session, own) => question.practised(session, own),
        }
    }

    /// The questions that were ever missed in a sitting.
    pub fn missed(&self) -> impl Iterator<Item = &SeasonQuestion> {
        self.questions.iter().filter(|own| own.missed.is_some())
    }

    /// The questions to try today: those tried least since they were missed, so that each has its turn before a short
    /// session comes back to another; of these wrong though worked out first, then wrong, then blank, and of one kind
    /// those that have waited longest. No neighbours on one topic where that can be.
    pub fn due(&self, today: NaiveDate, paper_on: Option<NaiveDate>) -> Vec<RoundQuestion> {
        let mut due: Vec<_> = self
            .missed()
            .filter_map(|own| match own.state(today, paper_on)? {
                PracticeState::Due(since) => {
                    let (kind, _) = own.missed?;
                    let tries = own.since_missed().count();
                    Some(((tries, kind, since, &own.round.which), &own.round))
                }
                PracticeState::Waiting(_) | PracticeState::TooEarly(_) | PracticeState::Secure => {
                    None
                }
            })
            .collect();
        due.sort_by(|one, other| one.0.cmp(&other.0));
        let due: Vec<_> = due.into_iter().map(|(_, own)| own.clone()).collect();
        in_order(&due)
    }

    /// Questions that were picked by hand in the same order, those that were never missed last.
    pub fn picked(&self, mut picked: Vec<RoundQuestion>) -> Vec<RoundQuestion> {
        let kind = |round: &RoundQuestion| {
            let kind = self.find(&round.which).and_then(|own| own.missed);
            kind.map_or((true, None), |(kind, _)| (false, Some(kind)))
        };
        picked.sort_by_key(|round| (kind(round), round.which.question));
        in_order(&picked)
    }

    /// A question by its paper's id and its number.
    pub fn find(&self, which: &PaperQuestion) -> Option<&SeasonQuestion> {
        let is_it = |own: &&SeasonQuestion| {
            let own = &own.round.which;
            (&own.paper, own.question) == (&which.paper, which.question)
        };
        self.questions.iter().find(is_it)
    }

    /// The first day on which questions come back that wait today, and how many.
    pub fn next_back(
        &self,
        today: NaiveDate,
        paper_on: Option<NaiveDate>,
    ) -> Option<(NaiveDate, usize)> {
        let days = self.missed().filter_map(|own| own.state(today, paper_on));
        let days = days.filter_map(|state| match state {
            PracticeState::Waiting(on) => Some(on),
            PracticeState::Due(_) | PracticeState::TooEarly(_) | PracticeState::Secure => None,
        });
        let days: Vec<NaiveDate> = days.collect();
        let first = *days.iter().min()?;
        Some((first, days.iter().filter(|day| **day == first).count()))
    }
}

/// Questions so that no neighbours share a topic, where that can be.
fn in_order(questions: &[RoundQuestion]) -> Vec<RoundQuestion> {
    let topics: Vec<_> = questions.iter().map(RoundQuestion::topics).collect();
    let order = arranged(&topics).into_iter();
    order
        .filter_map(|place| questions.get(place).cloned())
        .collect()
}

/// Each session once; of two files of one session the longer.
fn each_once(logs: &[PracticeLog]) -> Vec<&PracticeLog> {
    let mut longest = BTreeMap::<&str, &PracticeLog>::new();
    for log in logs {
        let kept = longest.entry(log.id()).or_insert(log);
        if log.moments.len() > kept.moments.len() {
            *kept = log;
        }
    }
    let mut logs: Vec<_> = longest.into_values().collect();
    logs.sort_by_key(|log| log.start.started);
    logs
}

fn sat_question(studied: &Studied, number: QuestionNo) -> PaperQuestion {
    let header = studied.header();
    let paper = studied.paper.as_deref();
    let own = header.question_fingerprints.get(&number).cloned();
    PaperQuestion {
        paper: header.paper.id.clone(),
        fingerprint: header.paper.fingerprint.clone(),
        question: number,
        words: own.or_else(|| paper?.question(number)?.text_fingerprint()),
    }
}

fn round_of(studied: &Studied, which: &PaperQuestion) -> Option<RoundQuestion> {
    Some(RoundQuestion {
        which: which.clone(),
        outline: Arc::new(studied.header().paper.clone()),
        paper: studied.paper.clone(),
        key: Arc::clone(&studied.keyed.as_ref()?.key),
    })
}

impl SeasonQuestion {
    fn sat(&mut self, at: DateTime<FixedOffset>, sitting: &str, mark: &QuestionMark) {
        let how = mark.answer.how.unwrap_or_default();
        let miss = match mark.outcome {
            Outcome::Void => return,
            Outcome::Right => None,
            Outcome::Wrong if how == How::Worked => Some(MissKind::WrongWorked),
            Outcome::Wrong => Some(MissKind::Wrong),
            Outcome::Blank => Some(MissKind::Blank),
        };
        if let Some(kind) = miss {
            self.missed = Some((kind, at));
        } else if self.first.is_some() && !how.is_luck() {
            self.tries.push(Retried {
                session: sitting.to_owned(),
                at,
                how: RetriedHow::Right,
                in_practice: false,
            });
        }
        if self.first.is_none() {
            self.first_at = Some(at);
            self.first = Some(miss.map_or(FirstTry::Right, FirstTry::Missed));
        }
    }

    fn practised(&mut self, session: &str, own: &PracticeTry) {
        let Some(first) = own.chosen.first() else {
            return;
        };
        let day = own.at.date_naive();
        // Later on the same day the answer is remembered: that says nothing.
        let is_told = self
            .tries
            .iter()
            .any(|before| before.in_practice && before.at.date_naive() == day);
        if is_told {
            return;
        }
        let how = if !own.unaided {
            RetriedHow::Aided
        } else if self.round.accepts(*first) {
            RetriedHow::Right
        } else {
            RetriedHow::Wrong
        };
        self.tries.push(Retried {
            session: session.to_owned(),
            at: own.at,
            how,
            in_practice: true,
        });
    }

    /// The first try in practice after the first try in a sitting, where it was without help.
    pub fn second(&self) -> Option<RetriedHow> {
        let first = self.first_at?;
        let mut later = self.tries.iter().filter(|own| own.at > first);
        let second = later.find(|own| own.in_practice)?.how;
        (second != RetriedHow::Aided).then_some(second)
    }

    /// Whether the last try without help was right, with no miss in a sitting after it.
    pub fn is_right_since(&self) -> bool {
        let mut tries = self.tries.iter().rev();
        let unaided = tries.find(|own| own.how != RetriedHow::Aided);
        let missed = self.missed.map(|(_, at)| at);
        unaided.is_some_and(|own| own.how == RetriedHow::Right && Some(own.at) > missed)
    }

    /// The chance that a guess at the second try is right.
    pub(super) fn chance_again(&self) -> f64 {
        let options = self.round.labels().len();
        let left = match self.first {
            Some(FirstTry::Missed(kind)) => kind.options_left(options),
            Some(FirstTry::Right) | None => options,
        };
        let right = self.round.key.right_options(self.round.which.question);
        (real(right) / real(left.max(1))).min(1.0)
    }

    /// The tries since it was missed last.
    fn since_missed(&self) -> impl DoubleEndedIterator<Item = &Retried> {
        let missed = self.missed.map(|(_, at)| at);
        self.tries
            .iter()
            .filter(move |own| missed.is_none_or(|missed| own.at > missed))
    }

    /// The unaided right answers in a row up to now, each in a session and on a day of its own, the latest first.
    pub fn rights(&self) -> Vec<&Retried> {
        let mut rights: Vec<&Retried> = Vec::new();
        let row = self.since_missed().rev();
        for own in row.take_while(|own| own.how == RetriedHow::Right) {
            let is_new = rights.iter().all(|one| {
                one.session != own.session && one.at.date_naive() != own.at.date_naive()
            });
            if is_new {
                rights.push(own);
            }
        }
        rights
    }

    /// Where it stands on a day; nothing where it was never missed. A second wrong letter is a guess among few, so that
    /// two unaided rights in different sessions make it secure (by luck 1 time in 16 with five options).
    pub fn state(&self, today: NaiveDate, paper_on: Option<NaiveDate>) -> Option<PracticeState> {
        let (_, missed) = self.missed?;
        let rights = self.rights();
        if let [_, .., first] = rights.as_slice() {
            let verdict = after(first.at.date_naive(), NO_VERDICT_DAYS);
            return Some(if verdict <= today {
                PracticeState::Secure
            } else {
                PracticeState::TooEarly(verdict)
            });
        }
        let last = self.since_missed().next_back();
        let back = last.map_or_else(
            || missed.date_naive(),
            |last| next_try(last.at.date_naive(), paper_on),
        );
        Some(if back <= today {
            PracticeState::Due(back)
        } else {
            PracticeState::Waiting(back)
        })
    }

    /// Whether it was right without help in practice on this day, so that it is over for the day.
    pub fn is_done_on(&self, day: NaiveDate) -> bool {
        self.tries.iter().any(|own| {
            own.in_practice && own.how == RetriedHow::Right && own.at.date_naive() == day
        })
    }
}
