//! What holds for a sitting whatever the pupil, the machine and the clock do.
#![cfg(test)]

#[path = "common/papers.rs"]
mod papers;
#[path = "common/sat.rs"]
mod sat;

use std::ops::Add;
use std::sync::Arc;

use pacebell::domain::event::{AwayClock, Event, How, Stamped, Stop};
use pacebell::domain::header::{Arrangements, Boot, Header};
use pacebell::domain::labels::Label;
use pacebell::domain::rule::QuestionNo;
use pacebell::domain::sitting::{Command, Notice, Phase, Sitting, Visit};
use pacebell::domain::time::Elapsed;
use pacebell::storage::journal::line::{self, Chain};
use pacebell::storage::journal::recover;
use proptest::prelude::*;

const QUESTIONS: u16 = 6;

fn header(sleep_counts: bool, away_counts: bool) -> Header {
    let section = papers::section(1, QUESTIONS, ["1", "0", "0"]);
    let mut header = sat::header("otter", &papers::paper("Six", 10, [section]));
    header.arrangements = Arrangements {
        rest_breaks: true,
        sleep_counts,
        away_counts,
        ..header.arrangements
    };
    header
}

/// One thing that may happen after a pause.
#[derive(Clone, Debug)]
enum Step {
    Wish(Command),
    Sleep,
    Stall,
    Clock(i64),
    Crash,
    Signal,
}

fn step() -> impl Strategy<Value = Step> {
    let question = || (0..=QUESTIONS + 1).prop_map(QuestionNo);
    let label =
        || prop::sample::select(vec!['A', 'B', 'E', 'F']).prop_map(|c| Label::new(c).unwrap());
    let how = prop::sample::select(vec![How::Worked, How::Unsure, How::Guessed]);
    let wish = prop_oneof![
        4 => question().prop_map(Command::Open),
        4 => (question(), label()).prop_map(|(q, l)| Command::Answer(q, l)),
        1 => question().prop_map(Command::RubOut),
        1 => question().prop_map(Command::Skip),
        1 => question().prop_map(Command::Flag),
        1 => (question(), how).prop_map(|(q, h)| Command::Say(q, h)),
        1 => (question(), label()).prop_map(|(q, l)| Command::CrossOut(q, l)),
        1 => prop::sample::select(vec![
            Command::HideClock,
            Command::ShowClock,
            Command::BeginSweep,
            Command::LeaveSweep,
        ]),
        1 => Just(Command::StartBreak),
        2 => Just(Command::EndBreak),
        1 => Just(Command::StartGuessRound),
        1 => (question(), label()).prop_map(|(q, l)| Command::Fill { seed: 1, answers: vec![(q, l)] }),
        1 => Just(Command::Tick),
    ];
    prop_oneof![
        12 => wish.prop_map(Step::Wish),
        1 => Just(Step::Sleep),
        1 => Just(Step::Stall),
        1 => any::<i32>().prop_map(|millis| Step::Clock(i64::from(millis))),
        1 => Just(Step::Crash),
        1 => Just(Step::Signal),
    ]
}

struct Live {
    sitting: Sitting,
    log: Vec<(Elapsed, Event)>,
}

impl Live {
    fn take(&mut self, at: Elapsed, event: Event) {
        self.sitting.apply(at, &event);
        self.log.push((at, event));
    }

    fn wish(&mut self, at: Elapsed, command: Command) {
        if let Ok(Some(event)) = self.sitting.decide(command, at) {
            self.take(at, event);
        }
    }

    fn note(&mut self, at: Elapsed, notice: Notice) {
        if let Some(event) = self.sitting.note(notice) {
            self.take(at, event);
        }
    }

    fn step(&mut self, at: Elapsed, pause: Elapsed, step: Step) {
        let since = at.since(pause);
        match step {
            Step::Wish(command) => {
                self.wish(at, Command::Tick);
                self.wish(at, command);
            }
            Step::Sleep => self.note(at, Notice::Slept(pause)),
            Step::Stall => self.note(at, Notice::Stalled(pause)),
            Step::Clock(millis) => self.note(at, Notice::ClockChanged(millis)),
            Step::Crash => {
                let boot = Boot {
                    id: "boot".into(),
                    zero: 0,
                };
                self.note(
                    at,
                    Notice::Resume {
                        since,
                        clock: AwayClock::Exact,
                        boot,
                    },
                );
            }
            Step::Signal => self.note(at, Notice::Interrupt(Stop::LeftBySignal)),
        }
        self.wish(at, Command::Tick);
    }
}

fn total(spans: impl Iterator<Item = Elapsed>) -> Elapsed {
    spans.fold(Elapsed::ZERO, Add::add)
}

proptest! {
    #[test]
    fn times_add_up_the_clock_never_gives_and_replay_is_live_play(
        sleep_counts: bool,
        away_counts: bool,
        steps in prop::collection::vec((1_u64..90_000, step()), 1..60),
    ) {
        let header = Arc::new(header(sleep_counts, away_counts));
        let mut live = Live { sitting: Sitting::new(Arc::clone(&header)), log: vec![] };
        live.wish(Elapsed::ZERO, Command::Open(QuestionNo(1)));
        let mut at = Elapsed::ZERO;
        let mut in_time_at_due = None;
        let mut nobody_there = Elapsed::ZERO;
        for (pause, step) in steps {
            let pause = Elapsed(pause);
            let left = live.sitting.left(at);
            at = at + pause;
            let running = live.sitting.phase() == Phase::Running;
            let on_break = live.sitting.phase() == Phase::OnBreak;
            let absent = on_break || running && matches!(step, Step::Crash | Step::Sleep);
            let gives = matches!(step, Step::Crash if !away_counts) || matches!(step, Step::Sleep if !sleep_counts);
            live.step(at, pause, step);
            let sitting = &live.sitting;

            // The clock never gives time back, and takes exactly the pause while it runs.
            prop_assert!(sitting.left(at) <= left);
            if running && !gives {
                prop_assert_eq!(sitting.left(at), left.since(pause));
            }
            if running && gives {
                prop_assert_eq!(sitting.left(at), left);
            }

            // Visits, breaks and absences fill the time from the first second to the last.
            let end = sitting.due().unwrap_or(at);
            let length = |visit: &Visit| {
                let to = visit.to.unwrap_or(end);
                to.since(visit.from).since(sitting.absent().overlap(visit.from, to))
            };
            let on_questions = total(sitting.visits().iter().map(length));
            prop_assert_eq!(on_questions + sitting.absent().total(end), end);
            if absent {
                nobody_there = nobody_there + at.min(end).since(at.since(pause));
            }
            prop_assert_eq!(sitting.absent().total(end), nobody_there);

            // Nothing after time up touches what was answered in time.
            if sitting.due().is_some() {
                let in_time: Vec<_> = sitting.rows().iter().map(|row| (row.in_time, row.flagged)).collect();
                prop_assert_eq!(in_time_at_due.get_or_insert_with(|| in_time.clone()), &in_time);
                prop_assert!(sitting.rows().iter().all(|row| row.in_time.is_none() || row.after_time.is_none()));
            } else {
                prop_assert!(sitting.used(at) < header.allowed || sitting.phase() == Phase::OnBreak);
                prop_assert!(sitting.rows().iter().all(|row| row.after_time.is_none()));
            }
        }

        let mut replayed = Sitting::new(header);
        for (moment, event) in &live.log {
            replayed.apply(*moment, event);
        }
        prop_assert_eq!(replayed.rows(), live.sitting.rows());
        prop_assert_eq!(replayed.visits(), live.sitting.visits());
        prop_assert_eq!(replayed.phase(), live.sitting.phase());
        prop_assert_eq!(replayed.left(at), live.sitting.left(at));
    }

    /// Through the text of a file of either format and back, however long the part of it that is there.
    #[test]
    fn any_part_of_a_file_gives_the_state_as_it_was_then(
        format in 1_u32..=2,
        steps in prop::collection::vec((1_u64..90_000, step()), 1..50),
    ) {
        let header = Header { format, ..header(true, false) };
        let mut live = Live { sitting: Sitting::new(Arc::new(header.clone())), log: vec![] };
        let mut chain = Chain::default();
        let mut text = line::write_header(&header, &mut chain).unwrap();
        let mut states = vec![(text.len(), state(&live.sitting))];
        let mut at = Elapsed::ZERO;
        for (pause, step) in steps {
            at = at + Elapsed(pause);
            let known = live.log.len();
            live.step(at, Elapsed(pause), step);
            let mut then = Sitting::new(Arc::new(header.clone()));
            for (index, (moment, event)) in live.log.iter().enumerate() {
                then.apply(*moment, event);
                if index >= known {
                    let stamped = Stamped { at: *moment, utc: header.started.to_utc(), event: event.clone() };
                    text += &line::write_event(&stamped, &mut chain).unwrap();
                    states.push((text.len(), state(&then)));
                }
            }
        }
        let whole = states.last().map(|(_, state)| state.clone());
        prop_assert_eq!(whole, Some(state(&live.sitting)));
        for (length, wanted) in states {
            let found = recover::scan(&text.as_bytes()[..length]).unwrap();
            prop_assert!(found.damage.is_none() && found.torn.is_none());
            prop_assert_eq!(&found.header, &header);
            let mut replayed = Sitting::new(Arc::new(found.header));
            for stamped in &found.events {
                replayed.apply(stamped.at, &stamped.event);
            }
            prop_assert_eq!(state(&replayed), wanted);
        }
    }
}

/// Everything that a sitting knows, as text.
fn state(sitting: &Sitting) -> String {
    format!("{sitting:?}")
}
