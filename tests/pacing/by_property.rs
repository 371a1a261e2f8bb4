//! What holds for the hour of any sitting that the core accepts.

use std::sync::Arc;

use pacebell::analysis::findings::{findings, told};
use pacebell::analysis::{Basis, cut};
use pacebell::domain::event::{AwayClock, Event, How, Stamped, Stop};
use pacebell::domain::header::Header;
use pacebell::domain::marking::{Take, answers, mark};
use pacebell::domain::rule::QuestionNo;
use pacebell::domain::sitting::{Command, Notice, Sitting};
use pacebell::domain::thresholds::Thresholds;
use pacebell::domain::time::Elapsed;
use pacebell::words::findings as words;
use proptest::prelude::*;

use crate::analysed::{analysed, keyed};
use crate::script::{header, key, label, log};

const QUESTIONS: u16 = 6;

#[derive(Clone, Debug)]
enum Step {
    Wish(Command),
    Note(Absence),
}

#[derive(Clone, Debug)]
enum Absence {
    Sleep,
    Crash,
    Stall,
    Signal,
}

fn step() -> impl Strategy<Value = Step> {
    let question = || (1..=QUESTIONS).prop_map(QuestionNo);
    let option = || prop::sample::select(vec!['A', 'B', 'C', 'E']).prop_map(label);
    let how = prop::sample::select(vec![How::Worked, How::Unsure, How::Guessed]);
    let absence = prop::sample::select(vec![
        Absence::Sleep,
        Absence::Crash,
        Absence::Stall,
        Absence::Signal,
    ]);
    prop_oneof![
        6 => question().prop_map(Command::Open).prop_map(Step::Wish),
        6 => (question(), option()).prop_map(|(q, o)| Step::Wish(Command::Answer(q, o))),
        2 => question().prop_map(Command::RubOut).prop_map(Step::Wish),
        1 => question().prop_map(Command::Flag).prop_map(Step::Wish),
        1 => (question(), how).prop_map(|(q, h)| Step::Wish(Command::Say(q, h))),
        1 => Just(Step::Wish(Command::StartBreak)),
        2 => Just(Step::Wish(Command::EndBreak)),
        1 => Just(Step::Wish(Command::StartGuessRound)),
        1 => Just(Step::Wish(Command::Finish)),
        2 => absence.prop_map(Step::Note),
    ]
}

struct Live {
    sitting: Sitting,
    events: Vec<(u64, Event)>,
}

impl Live {
    fn take(&mut self, at: Elapsed, event: Event) {
        self.sitting.apply(at, &event);
        self.events.push((at.0, event));
    }

    fn wish(&mut self, at: Elapsed, command: Command) {
        if let Ok(Some(event)) = self.sitting.decide(command, at) {
            self.take(at, event);
        }
    }

    fn note(&mut self, at: Elapsed, pause: Elapsed, absence: &Absence) {
        let notice = match absence {
            Absence::Sleep => Notice::Slept(pause),
            Absence::Stall => Notice::Stalled(pause),
            Absence::Signal => Notice::Interrupt(Stop::Left),
            Absence::Crash => Notice::Resume {
                since: at.since(pause),
                clock: AwayClock::Exact,
                boot: self.sitting.header().boot.clone(),
            },
        };
        if let Some(event) = self.sitting.note(notice) {
            self.take(at, event);
        }
    }
}

/// Plays the steps out; a notice is taken before a wish, as the shell does it.
fn played(header: &Header, steps: Vec<(u64, Step)>) -> Vec<Stamped> {
    let sitting = Sitting::new(Arc::new(header.clone()));
    let mut live = Live {
        sitting,
        events: vec![],
    };
    let mut at = Elapsed::ZERO;
    for (pause, step) in steps {
        at = at + Elapsed(pause);
        match step {
            Step::Note(absence) => live.note(at, Elapsed(pause), &absence),
            Step::Wish(command) => {
                live.wish(at, Command::Tick);
                live.wish(at, command);
            }
        }
        live.wish(at, Command::Tick);
    }
    log(header, live.events)
}

proptest! {
    #[test]
    fn the_parts_make_the_whole_and_the_mark_of_a_moment_is_the_mark_of_the_log_cut_there(
        sleep_counts: bool,
        away_counts: bool,
        on_screen: bool,
        steps in prop::collection::vec((1_u64..60_000, step()), 1..80),
        moments in prop::collection::vec(0.0_f64..1.1, 100),
    ) {
        let mut header = header(15, &[(1, 3, "4", "-1", "1/2"), (4, 6, "6", "-1/4", "1.5")]);
        header.arrangements.sleep_counts = sleep_counts;
        header.arrangements.away_counts = away_counts;
        header.paper.on_screen = on_screen;
        let log = played(&header, steps);
        let pacing = analysed(&header, &log);

        let whole = pacing.whole();
        if pacing.trust().any() {
            prop_assert_eq!(pacing.time_on_all(|_| true), Some(whole.questions));
        }
        let open = whole.questions + whole.waited;
        prop_assert_eq!(open + whole.idle + whole.breaks + whole.away, whole.ended);
        let later = pacing.passes().first + pacing.passes().later;
        prop_assert_eq!(later, whole.questions);
        prop_assert_eq!(pacing.used_at(whole.ended), whole.used);

        let key = key("ABCABC");
        let rule = &header.paper.rule;
        let against = keyed(&pacing, &key);
        let earned = &against.earned;
        let replay = pacing.replay();
        let in_time = |sitting: &Sitting| mark(&answers(sitting, Take::InTime), &key, rule).total;
        prop_assert_eq!(earned.by_minute.last().unwrap().mark, in_time(replay.whole()));
        let moved = earned.quarters.iter().map(|quarter| quarter.earned).sum();
        if whole.used > Elapsed::ZERO {
            let first = earned.by_minute.first().unwrap().mark;
            prop_assert_eq!(first + moved, in_time(replay.whole()));
        }
        let limits = Thresholds::default();
        for keyed in [None, Some(&against)] {
            let all = findings(&Basis { analysis: &pacing, keyed, norms: None });
            prop_assert!(told(&all, &limits).len() <= 6);
            for finding in &all {
                prop_assert!(finding.stake.is_finite() && finding.stake >= 0.0, "{:?}", finding);
                prop_assert!(finding.questions().iter().all(|question| header.asks(*question)));
                prop_assert!(!words::for_tutor(finding, &limits).is_empty());
            }
        }
        for share in moments {
            #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, clippy::cast_precision_loss, reason = "a random moment")]
            let at = Elapsed((share * whole.ended.0 as f64) as u64);
            let then = cut(&header, &log, at);
            let stood = earned.by_minute.iter().rfind(|point| point.at <= at);
            prop_assert_eq!(stood.map(|point| point.mark), Some(in_time(&then)), "at {:?}", at);
            let replayed = replay.at(at);
            prop_assert_eq!(replayed.rows(), then.rows());
        }
        for point in &earned.by_minute {
            prop_assert_eq!(point.used, replay.used(point.at));
            prop_assert_eq!(point.used, replay.used(replay.moment_of(point.used)));
        }
    }
}
