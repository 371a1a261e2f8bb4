//! Where the hour went, as the two pictures take it; or why it is left out, said kindly.

use super::asked::Asked;
use crate::analysis::Earned;
use crate::analysis::stay::planned;
use crate::domain::mark::Mark;
use crate::domain::marking::Outcome;
use crate::domain::rule::QuestionNo;
use crate::domain::time::Elapsed;
use crate::words::feedback::{self as words, State};

/// One question's bar.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct QuestionBar {
    /// The question.
    pub number: QuestionNo,
    /// What became of it.
    pub state: State,
    /// The time on it; none where it has none of its own.
    pub time: Option<Elapsed>,
    /// Its share of the plan, or an even share of the time.
    pub planned: Elapsed,
}

/// The mark from a moment on, in time used.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Step {
    /// The time used by then.
    pub used: Elapsed,
    /// The mark had the bell rung then.
    pub mark: Mark,
}

/// Marks by the minute.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Curve {
    /// The steps, from the start to the end.
    pub steps: Vec<Step>,
    /// The time allowed.
    pub allowed: Elapsed,
}

impl Curve {
    /// The mark that stood when so much time was used.
    pub fn at(&self, used: Elapsed) -> Option<Mark> {
        let count = self.steps.partition_point(|step| step.used <= used);
        self.steps.get(count.checked_sub(1)?).map(|step| step.mark)
    }
}

/// Where the hour went.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TimeSpent {
    /// Marks by the minute, where there are marks and moments.
    pub curve: Option<Curve>,
    /// A bar a question; none where times are withheld.
    pub bars: Vec<QuestionBar>,
    /// What has to be said of the times.
    pub notes: Vec<String>,
    /// The sheet in words, where there is no bar for each question.
    pub sheet: Vec<String>,
    /// Whether the small line is a pace plan's, else an even share.
    pub plan: bool,
}

pub(super) fn hour(asked: &Asked<'_>) -> TimeSpent {
    let analysis = asked.analysis();
    let states = states(asked);
    let shown = analysis.trust().any();
    let keyed = asked.keyed().filter(|_| shown);
    let bar = |(number, state): &(QuestionNo, State)| QuestionBar {
        number: *number,
        state: *state,
        time: analysis.time_on(*number),
        planned: planned(asked.header(), *number),
    };
    let notes: Vec<_> = words::times(analysis.trust(), asked.header().paper.on_screen)
        .into_iter()
        .collect();
    TimeSpent {
        curve: keyed.map(|keyed| Curve {
            steps: steps(&keyed.earned),
            allowed: asked.header().allowed,
        }),
        bars: if shown {
            states.iter().map(bar).collect()
        } else {
            Vec::new()
        },
        sheet: if shown { Vec::new() } else { sheet(&states) },
        notes,
        plan: asked.header().plan.is_some(),
    }
}

fn steps(earned: &Earned) -> Vec<Step> {
    let mut steps: Vec<Step> = Vec::new();
    for point in &earned.by_minute {
        let step = Step {
            used: point.used,
            mark: point.mark,
        };
        match steps.last_mut().filter(|last| last.used == step.used) {
            Some(last) => *last = step,
            None => steps.push(step),
        }
    }
    steps
}

fn states(asked: &Asked<'_>) -> Vec<(QuestionNo, State)> {
    let marks = asked.marks();
    let state = |number: QuestionNo, answered: bool| {
        let own = marks.and_then(|marks| marks.question_in_time(number));
        match own.map(|question| question.outcome) {
            Some(Outcome::Right) => State::Right,
            Some(Outcome::Wrong) => State::Wrong,
            Some(Outcome::Void) => State::Void,
            None if answered => State::Answered,
            Some(Outcome::Blank) | None => State::Blank,
        }
    };
    let questions = asked.analysis().questions().iter();
    questions
        .map(|pace| {
            (
                pace.number,
                state(pace.number, pace.sheet.in_time.is_some()),
            )
        })
        .collect()
}

fn sheet(states: &[(QuestionNo, State)]) -> Vec<String> {
    let all = [
        State::Right,
        State::Wrong,
        State::Blank,
        State::Void,
        State::Answered,
    ];
    let line = |state: State| {
        let own = states.iter().filter(|(_, own)| *own == state);
        let own: Vec<_> = own.map(|(number, _)| *number).collect();
        (!own.is_empty()).then(|| words::sheet(state, &own))
    };
    all.into_iter().filter_map(line).collect()
}
