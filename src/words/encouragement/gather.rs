//! The facts of a sitting that sentences are chosen by.

use super::{Facts, Habits, KeyFacts};
use crate::analysis::findings::{Finding, Seen, Tone, findings, unused_time};
use crate::analysis::stay::{Long, Outlay, outlays, time_was_left};
use crate::analysis::{Basis, Marks, Studied};
use crate::domain::event::{Ending, How};
use crate::domain::marking::{Outcome, QuestionMark};
use crate::domain::rule::QuestionNo;
use crate::domain::thresholds::Limit;
use crate::domain::time::Elapsed;

impl Facts {
    /// Takes what is known of a sitting, and what its marks say where its key is at hand.
    ///
    /// What rests on when answers came is left out where they were keyed together from a printed paper,
    /// and a stay is told only where the questions were on the screen.
    pub fn of(studied: &Studied) -> Self {
        let analysis = &studied.analysis;
        let header = analysis.header();
        let timed = analysis.is_timed();
        let told = timed && analysis.trust().any();
        let on_screen = timed && header.paper.on_screen;
        let came_back = analysis.gone_back_to().into_iter().filter(|_| told);
        let came_back: Vec<_> = came_back.map(|gone_back| gone_back.question).collect();
        let keyed = studied.keyed.as_ref();
        let basis = Basis {
            analysis,
            keyed: keyed.filter(|_| analysis.came_to_its_end()),
            norms: None,
        };
        let found = findings(&basis);
        let key = basis
            .keyed
            .map(|keyed| key_facts(&keyed.marks, &came_back, &found));
        let questions = analysis.questions();
        let blanks = analysis.blanks();
        let by_the_sweep = analysis.said_by_the_sweep();
        let said = questions.iter().filter(|pace| {
            let given = pace.sheet.in_time;
            let called = given.is_some_and(|given| matches!(given.how, How::Unsure | How::Guessed));
            called && !by_the_sweep.contains(&pace.number)
        });
        let interruptions = analysis.interruptions();
        let stayed = interruptions.away.count == 0 && interruptions.slept.count == 0;
        let not_seen = analysis.unseen();
        let ending = analysis.ending();
        let least = analysis.limits().span(Limit::EarlySeconds);
        Self {
            questions: questions.len(),
            answered: questions.len() - blanks.len(),
            flags: analysis.flags(),
            wrong_costs: header.paper.rule.takes_marks_away(),
            stopped: ending == Some(Ending::Abandoned),
            habits: Habits {
                swept: swept(&found).filter(|_| told).unwrap_or_default(),
                said: said.count(),
                long_stay: long_stay(&basis, &blanks),
                typed_in: !timed,
                saw_all: on_screen && not_seen.is_empty(),
                until_time_up: stayed
                    && matches!(ending, Some(Ending::TimeUp | Ending::GuessRoundDone)),
                unused: unused_time(&basis).map(|left| (left, time_was_for(&found))),
                time_left: analysis.unused().filter(|left| *left >= least),
                reminder: if on_screen {
                    header.arrangements.remind_before
                } else {
                    Elapsed::ZERO
                },
                came_back,
            },
            not_seen,
            key,
            blanks,
        }
    }
}

/// What was filled in a sweep that is praise.
fn swept(found: &[Finding]) -> Option<Vec<QuestionNo>> {
    let praise = found.iter().filter(|own| own.tone() == Tone::Praise);
    let mut filled = praise.filter_map(|own| match &own.seen {
        // It may have been the keying of answers worked out before.
        Seen::Swept { or_keyed: true, .. } => None,
        Seen::Swept { filled, .. } => Some(filled.clone()),
        _ => None,
    });
    filled.next()
}

/// The questions that the time left could have been for.
fn time_was_for(found: &[Finding]) -> Vec<QuestionNo> {
    let unused = found
        .iter()
        .find(|own| matches!(own.seen, Seen::Unused { .. }));
    unused.map_or_else(Vec::new, Finding::questions)
}

/// The longest stay that earned nothing while others stayed blank.
fn long_stay(basis: &Basis<'_>, blanks: &[QuestionNo]) -> Option<Long> {
    let earned_nothing = |outlay| match outlay {
        Outlay::Sink(sink) => Some(sink.long),
        Outlay::Unknown(long) if !time_was_left(basis) => {
            Some(long).filter(|long| blanks.contains(&long.question))
        }
        Outlay::Unknown(_) | Outlay::Earned(..) => None,
    };
    let others = |long: &Long| blanks.iter().any(|blank| *blank != long.question);
    let long = outlays(basis).into_iter().filter_map(earned_nothing);
    let long = long.filter(|long| others(long) && basis.header().paper.on_screen);
    long.max_by_key(|long| long.time)
}

fn key_facts(marks: &Marks, came_back: &[QuestionNo], found: &[Finding]) -> KeyFacts {
    let of = |outcome| {
        let own = marks.in_time.questions.iter();
        let own = own.filter(move |mark: &&QuestionMark| mark.outcome == outcome);
        own.map(|mark| mark.answer.number).collect::<Vec<_>>()
    };
    let right = of(Outcome::Right);
    // "Questions 1 to n" is true only where question 1 was sat.
    let from_one = (1..).map(QuestionNo);
    let front = right.iter().zip(from_one);
    let checked = found.iter().find_map(|own| match &own.seen {
        Seen::ToRight { checked, .. } => Some(checked.clone()),
        _ => None,
    });
    KeyFacts {
        front_right: front.take_while(|(right, number)| *right == number).count(),
        changed_to_right: checked.unwrap_or_default(),
        came_back_right: came_back
            .iter()
            .copied()
            .filter(|question| right.contains(question))
            .collect(),
        wrong: of(Outcome::Wrong),
        right,
    }
}
