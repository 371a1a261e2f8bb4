//! The facts of a sitting that sentences are chosen by.

use super::{Facts, Habits, KeyFacts};
use crate::analysis::{Analysis, Basis, Marks, Studied, stay};
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
        let came_back = analysis.gone_back_to().into_iter().filter(|_| told);
        let came_back: Vec<_> = came_back.map(|gone_back| gone_back.question).collect();
        let sweep = analysis.sweep().filter(|sweep| told && !sweep.or_keyed);
        let marks = studied.marks().filter(|_| analysis.came_to_its_end());
        let key = marks.map(|marks| key_facts(analysis, marks, &came_back));
        let questions = analysis.questions();
        let blanks = analysis.blanks();
        let said = questions.iter().filter(|pace| {
            let given = pace.sheet.in_time;
            given.is_some_and(|given| matches!(given.how, How::Unsure | How::Guessed))
        });
        let not_seen = analysis.unseen();
        let ending = analysis.ending();
        let least = analysis.limits().span(Limit::EarlySeconds);
        Self {
            questions: questions.len(),
            answered: questions.len() - blanks.len(),
            flags: analysis.flags(),
            wrong_costs: header.paper.rule.takes_marks_away(),
            habits: Habits {
                swept: sweep.map_or_else(Vec::new, |sweep| sweep.filled.clone()),
                said: said.count(),
                long_stay: long_stay(studied, &blanks),
                typed_in: !timed,
                saw_all: timed && not_seen.is_empty(),
                until_time_up: matches!(ending, Some(Ending::TimeUp | Ending::GuessRoundDone)),
                time_left: analysis.unused().filter(|left| *left >= least),
                reminder: header.arrangements.remind_before,
                came_back,
            },
            not_seen,
            key,
            blanks,
        }
    }
}

/// The longest stay that earned nothing while others stayed blank.
fn long_stay(studied: &Studied, blanks: &[QuestionNo]) -> Option<(QuestionNo, Elapsed)> {
    let analysis = &studied.analysis;
    let basis = Basis {
        analysis,
        keyed: studied.keyed.as_ref(),
        norms: None,
    };
    let earned_nothing = |question: QuestionNo| {
        let own = studied
            .marks()
            .and_then(|marks| marks.question_in_time(question));
        let wrong = own.is_some_and(|own| own.outcome == Outcome::Wrong);
        let others = blanks.iter().any(|blank| *blank != question);
        let others = others && !stay::time_was_left(&basis);
        others && (wrong || blanks.contains(&question)) && analysis.header().paper.on_screen
    };
    let questions = analysis.questions().iter();
    let long = questions.filter_map(|pace| stay::long(&basis, pace));
    let long = long.filter(|long| earned_nothing(long.question));
    long.map(|long| (long.question, long.time))
        .max_by_key(|(_, took)| *took)
}

fn key_facts(analysis: &Analysis, marks: &Marks, came_back: &[QuestionNo]) -> KeyFacts {
    let of = |outcome| {
        let own = marks.in_time.questions.iter();
        let own = own.filter(move |mark: &&QuestionMark| mark.outcome == outcome);
        own.map(|mark| mark.answer.number).collect::<Vec<_>>()
    };
    let right = of(Outcome::Right);
    // "Questions 1 to n" is true only where question 1 was sat.
    let from_one = (1..).map(QuestionNo);
    let front = right.iter().zip(from_one);
    let changed = |question: &QuestionNo| analysis.changes_of(*question) > 0;
    KeyFacts {
        front_right: front.take_while(|(right, number)| *right == number).count(),
        changed_to_right: right.iter().copied().filter(changed).collect(),
        came_back_right: came_back
            .iter()
            .copied()
            .filter(|question| right.contains(question))
            .collect(),
        wrong: of(Outcome::Wrong),
        right,
    }
}
