//! Sittings as scripts of moments and wishes.

use super::*;
use crate::domain::event::{AwayClock, Event, How, Stop};
use crate::domain::header::Boot;
use crate::domain::questions::QuestionList;
use crate::{papers, sat};

fn header(change: impl FnOnce(&mut Header)) -> Header {
    let section = papers::section(1, 5, ["4", "0", "0"]);
    let mut header = sat::header("otter", &papers::paper("Five", 10, [section]));
    header.arrangements.rest_breaks = true;
    change(&mut header);
    header
}

struct Script {
    sitting: Sitting,
    log: Vec<(Elapsed, Event)>,
}

impl Script {
    fn new(change: impl FnOnce(&mut Header)) -> Self {
        Self {
            sitting: Sitting::new(Arc::new(header(change))),
            log: vec![],
        }
    }

    fn at(&mut self, seconds: u64, command: Command) -> Result<Option<Event>, Refusal> {
        let at = Elapsed::seconds(seconds);
        let event = self.sitting.decide(command, at)?;
        if let Some(event) = &event {
            self.take(at, event.clone());
        }
        Ok(event)
    }

    fn note(&mut self, seconds: u64, notice: Notice) {
        let event = self.sitting.note(notice).unwrap();
        self.take(Elapsed::seconds(seconds), event);
    }

    fn take(&mut self, at: Elapsed, event: Event) {
        self.sitting.apply(at, &event);
        self.log.push((at, event));
    }
}

const fn q(number: u16) -> QuestionNo {
    QuestionNo(number)
}

fn label(c: char) -> Label {
    Label::new(c).unwrap()
}

fn resume(since: u64) -> Notice {
    Notice::Resume {
        since: Elapsed::seconds(since),
        clock: AwayClock::Exact,
        boot: Boot {
            id: "boot".into(),
            zero: 0,
        },
    }
}

#[test]
fn a_repeated_wish_is_no_event_and_an_odd_one_is_refused() {
    let mut script = Script::new(|_| {});
    assert_eq!(
        script.at(1, Command::Open(q(2))),
        Ok(Some(Event::Opened(q(2))))
    );
    assert_eq!(script.at(2, Command::Open(q(2))), Ok(None));
    assert_eq!(
        script.at(3, Command::RubOut(q(2))),
        Err(Refusal::NothingThere)
    );
    assert_eq!(
        script.at(3, Command::Say(q(2), How::Unsure)),
        Err(Refusal::NothingThere)
    );
    assert_eq!(
        script.at(4, Command::Answer(q(2), label('C'))),
        Ok(Some(Event::Answered(q(2), label('C'))))
    );
    assert_eq!(script.at(5, Command::Answer(q(2), label('C'))), Ok(None));
    assert_eq!(
        script.at(6, Command::Answer(q(2), label('F'))),
        Err(Refusal::NoSuchOption)
    );
    assert_eq!(
        script.at(6, Command::Answer(q(6), label('A'))),
        Err(Refusal::NoSuchQuestion)
    );
    assert_eq!(script.at(6, Command::StartGuessRound), Err(Refusal::NotYet));
    assert_eq!(
        script.at(7, Command::Skip(q(2))),
        Ok(None),
        "an answered question is not skipped"
    );
    assert_eq!(
        script.at(8, Command::Skip(q(3))),
        Ok(Some(Event::Skipped(q(3))))
    );
    assert_eq!(script.at(9, Command::Skip(q(3))), Ok(None));
}

#[test]
fn the_sheet_tells_not_seen_seen_answered_and_skipped_apart() {
    let mut script = Script::new(|_| {});
    for (at, command) in [
        (0, Command::Open(q(1))),
        (1, Command::Answer(q(1), label('A'))),
        (2, Command::Say(q(1), How::Unsure)),
        (3, Command::Flag(q(1))),
        (4, Command::Open(q(2))),
        (5, Command::Skip(q(2))),
        (6, Command::Open(q(3))),
    ] {
        script.at(at, command).unwrap();
    }
    let states: Vec<_> = script.sitting.rows().iter().map(Row::state).collect();
    assert_eq!(
        states,
        [
            RowState::Answered,
            RowState::Skipped,
            RowState::Seen,
            RowState::NotSeen,
            RowState::NotSeen
        ]
    );
    assert_eq!(script.sitting.flags().collect::<Vec<_>>(), [q(1)]);
    assert_eq!(script.sitting.blanks().count(), 4);
    script.at(7, Command::Answer(q(1), label('B'))).unwrap();
    let row = script.sitting.row(q(1)).unwrap();
    assert_eq!(
        row.in_time,
        Some(Given {
            option: label('B'),
            how: How::Worked
        }),
        "a new answer has nothing said of it"
    );
    assert_eq!(row.history.len().saturating_sub(1), 1);
    script.at(8, Command::RubOut(q(1))).unwrap();
    script.at(9, Command::Flag(q(1))).unwrap();
    let row = script.sitting.row(q(1)).unwrap();
    assert_eq!(
        (
            row.state(),
            row.flagged,
            row.history.len().saturating_sub(1)
        ),
        (RowState::Seen, false, 1)
    );
}

#[test]
fn answers_lock_at_the_moment_itself() {
    let mut script = Script::new(|_| {});
    script.at(0, Command::Open(q(1))).unwrap();
    assert_eq!(script.sitting.deadline(), Some(Elapsed::seconds(600)));
    let due = Elapsed::seconds(600);
    assert_eq!(
        script.at(605, Command::Answer(q(1), label('A'))),
        Ok(Some(Event::TimeUp { due }))
    );
    assert_eq!(
        script.at(605, Command::Answer(q(1), label('A'))),
        Err(Refusal::Locked)
    );
    assert_eq!(time_on(&script.sitting, q(1), Elapsed::seconds(700)), due);
    assert_eq!(script.sitting.deadline(), None);
    assert_eq!(script.sitting.left(Elapsed::seconds(700)), Elapsed::ZERO);
}

#[test]
fn the_guess_round_takes_blanks_only_and_stays_apart() {
    let mut script = Script::new(|_| {});
    script.at(0, Command::Answer(q(1), label('A'))).unwrap();
    script.at(600, Command::Tick).unwrap();
    assert_eq!(
        script.at(601, Command::Answer(q(2), label('A'))),
        Err(Refusal::Locked)
    );
    script.at(602, Command::StartGuessRound).unwrap();
    assert_eq!(
        script.at(603, Command::Answer(q(1), label('B'))),
        Err(Refusal::AnsweredInTime)
    );
    script.at(604, Command::Answer(q(2), label('B'))).unwrap();
    let fill = vec![(q(3), label('C')), (q(4), label('D')), (q(5), label('E'))];
    script
        .at(
            605,
            Command::Fill {
                seed: 7,
                answers: fill,
            },
        )
        .unwrap();
    assert_eq!(script.sitting.blanks().count(), 0);
    let row = script.sitting.row(q(3)).unwrap();
    assert_eq!(
        (row.in_time, row.after_time),
        (
            None,
            Some(Given {
                option: label('C'),
                how: How::Filled
            })
        )
    );
    script.at(606, Command::RubOut(q(3))).unwrap();
    assert_eq!(script.sitting.blanks().collect::<Vec<_>>(), [q(3)]);
    assert_eq!(
        script.at(607, Command::Finish),
        Ok(Some(Event::Closed(Ending::GuessRoundDone)))
    );
    assert_eq!(script.at(608, Command::Tick), Err(Refusal::Finished));
}

/// 10 minutes with breaks of 60 and 30 s: time up at 690 s; question 1 was open all the time.
#[test]
fn a_rest_break_stops_the_clock_and_hides_the_questions() {
    let mut script = Script::new(|_| {});
    script.at(0, Command::Open(q(1))).unwrap();
    script.at(100, Command::StartBreak).unwrap();
    assert_eq!(
        script.at(110, Command::Answer(q(1), label('A'))),
        Err(Refusal::OnBreak)
    );
    assert_eq!(
        script.sitting.left(Elapsed::seconds(140)),
        Elapsed::seconds(500)
    );
    assert_eq!(script.sitting.deadline(), None);
    script.at(160, Command::EndBreak).unwrap();
    script.at(200, Command::StartBreak).unwrap();
    script.at(230, Command::EndBreak).unwrap();
    assert_eq!(script.sitting.deadline(), Some(Elapsed::seconds(690)));
    script.at(690, Command::Tick).unwrap();
    assert_eq!(
        time_on(&script.sitting, q(1), Elapsed::seconds(690)),
        Elapsed::seconds(600)
    );
    let mut without = Script::new(|header| header.arrangements.rest_breaks = false);
    assert_eq!(without.at(1, Command::StartBreak), Err(Refusal::NoBreaks));
}

#[test]
fn sleep_counts_unless_arranged_and_a_crash_does_not_unless_arranged() {
    for (sleep_counts, away_counts, due) in [
        (true, false, 600 + 50),
        (false, false, 600 + 150),
        (true, true, 600),
        (false, true, 700),
    ] {
        let mut script = Script::new(|header| {
            header.arrangements.sleep_counts = sleep_counts;
            header.arrangements.away_counts = away_counts;
        });
        script.at(0, Command::Open(q(1))).unwrap();
        script.note(200, Notice::Slept(Elapsed::seconds(100)));
        script.note(300, resume(250));
        assert_eq!(
            script.sitting.deadline(),
            Some(Elapsed::seconds(due)),
            "{sleep_counts} {away_counts}"
        );
        assert_eq!(
            time_on(&script.sitting, q(1), Elapsed::seconds(300)),
            Elapsed::seconds(150)
        );
        script.note(310, Notice::ClockChanged(-3_600_000));
        script.note(312, Notice::Stalled(Elapsed::seconds(2)));
        assert_eq!(script.sitting.deadline(), Some(Elapsed::seconds(due)));
    }
}

/// Away from 550 to 700 s with the time counting: time was up at 600, and nobody worked from 550 on.
#[test]
fn time_can_run_out_while_nobody_is_there() {
    let mut script = Script::new(|header| header.arrangements.away_counts = true);
    script.at(0, Command::Open(q(1))).unwrap();
    script.note(700, resume(550));
    assert_eq!(
        script.at(700, Command::Tick),
        Ok(Some(Event::TimeUp {
            due: Elapsed::seconds(600)
        }))
    );
    assert_eq!(
        time_on(&script.sitting, q(1), Elapsed::seconds(700)),
        Elapsed::seconds(550)
    );
}

#[test]
fn an_absence_in_a_rest_break_is_part_of_the_break() {
    let mut script = Script::new(|header| header.arrangements.away_counts = true);
    script.at(0, Command::Open(q(1))).unwrap();
    script.at(100, Command::StartBreak).unwrap();
    script.note(300, resume(150));
    script.at(400, Command::EndBreak).unwrap();
    assert_eq!(script.sitting.deadline(), Some(Elapsed::seconds(900)));
    assert_eq!(
        time_on(&script.sitting, q(1), Elapsed::seconds(400)),
        Elapsed::seconds(100)
    );
}

#[test]
fn part_of_a_paper_has_only_its_questions() {
    let mut script =
        Script::new(|header| header.arrangements.only = QuestionList::range(q(2), q(3)));
    assert_eq!(
        script.at(0, Command::Open(q(1))),
        Err(Refusal::NoSuchQuestion)
    );
    assert_eq!(script.sitting.blanks().collect::<Vec<_>>(), [q(2), q(3)]);
}

/// Visits and times of a sitting written out: 1 for 30 s, 2 for 60 s, 1 again for 10 s.
#[test]
fn time_on_a_question_is_the_sum_of_its_visits_and_replay_gives_the_same_state() {
    let mut script = Script::new(|_| {});
    for (at, command) in [
        (5, Command::Open(q(1))),
        (35, Command::Open(q(2))),
        (90, Command::Answer(q(2), label('B'))),
        (95, Command::Open(q(1))),
        (105, Command::Finish),
    ] {
        script.at(at, command).unwrap();
    }
    let time = |question| time_on(&script.sitting, q(question), Elapsed::seconds(105));
    assert_eq!(
        (time(1), time(2), time(3)),
        (Elapsed::seconds(40), Elapsed::seconds(60), Elapsed::ZERO)
    );
    assert_eq!(
        script
            .sitting
            .visits()
            .iter()
            .filter(|visit| visit.question == q(1))
            .count(),
        2
    );
    assert_eq!(script.sitting.phase(), Phase::Closed(Ending::FinishedEarly));
    let mut replayed = Sitting::new(Arc::new(header(|_| {})));
    for (at, event) in &script.log {
        replayed.apply(*at, event);
    }
    assert_eq!(replayed.rows(), script.sitting.rows());
    assert_eq!(replayed.visits(), script.sitting.visits());
}

#[test]
fn an_option_crossed_out_changes_no_answer_and_comes_back() {
    let mut script = Script::new(|_| {});
    let (b, c) = (label('B'), label('C'));
    script.at(1, Command::Answer(q(2), b)).unwrap();
    assert_eq!(
        script.at(2, Command::CrossOut(q(2), b)),
        Ok(Some(Event::CrossedOut(q(2), b))),
        "the chosen one too"
    );
    script.at(3, Command::CrossOut(q(2), c)).unwrap();
    assert_eq!(
        script.at(4, Command::CrossOut(q(2), b)),
        Ok(Some(Event::CrossedBack(q(2), b)))
    );
    let row = script.sitting.row(q(2)).unwrap();
    assert!(row.crossed.iter().eq([&c]));
    assert_eq!(row.in_time.map(|given| given.option), Some(b));
    assert_eq!(
        script.at(5, Command::CrossOut(q(2), label('F'))),
        Err(Refusal::NoSuchOption)
    );
    assert_eq!(
        script.at(5, Command::CrossOut(q(6), b)),
        Err(Refusal::NoSuchQuestion)
    );
    script.at(600, Command::Tick).unwrap();
    assert_eq!(
        script.at(601, Command::CrossOut(q(3), b)),
        Err(Refusal::Locked)
    );
    script.at(602, Command::StartGuessRound).unwrap();
    assert_eq!(
        script.at(603, Command::CrossOut(q(2), b)),
        Err(Refusal::AnsweredInTime)
    );
    assert_eq!(
        script.at(604, Command::CrossOut(q(3), b)),
        Ok(Some(Event::CrossedOut(q(3), b)))
    );
}

#[test]
fn the_clock_is_hidden_until_it_is_shown_and_a_sweep_ends_with_the_time() {
    let mut script = Script::new(|_| {});
    assert_eq!(script.at(1, Command::ShowClock), Ok(None));
    assert_eq!(
        script.at(2, Command::HideClock),
        Ok(Some(Event::ClockHidden))
    );
    assert_eq!(script.at(3, Command::HideClock), Ok(None));
    assert_eq!(script.at(4, Command::LeaveSweep), Ok(None));
    assert_eq!(
        script.at(5, Command::BeginSweep),
        Ok(Some(Event::SweepBegun))
    );
    assert_eq!(script.at(6, Command::BeginSweep), Ok(None));
    assert!(script.sitting.conduct.sweeping && script.sitting.clock_hidden());
    assert_eq!(
        script.at(7, Command::LeaveSweep),
        Ok(Some(Event::SweepLeft))
    );
    script.at(8, Command::StartBreak).unwrap();
    assert_eq!(script.at(9, Command::BeginSweep), Err(Refusal::OnBreak));
    assert_eq!(
        script.at(9, Command::ShowClock),
        Ok(Some(Event::ClockShown))
    );
    script.at(18, Command::EndBreak).unwrap();
    script.at(19, Command::BeginSweep).unwrap();
    script.at(620, Command::Tick).unwrap();
    assert!(!script.sitting.conduct.sweeping, "time up ends it");
    assert_eq!(script.at(621, Command::BeginSweep), Err(Refusal::Locked));
    assert_eq!(
        script.at(622, Command::HideClock),
        Ok(Some(Event::ClockHidden))
    );
}

#[test]
fn how_the_program_was_left_is_said_when_it_is_taken_up_again() {
    let left = |script: &Script| {
        let (_, last) = script.log.last().unwrap();
        let Event::Resumed { left, .. } = last else {
            panic!("{last:?}");
        };
        *left
    };
    let mut script = Script::new(|_| {});
    script.note(10, Notice::Interrupt(Stop::LeftBySignal));
    assert_eq!(script.sitting.conduct.left, Some(Stop::LeftBySignal));
    script.note(60, resume(10));
    assert_eq!(left(&script), Some(Stop::LeftBySignal));
    script.note(90, resume(80));
    assert_eq!(left(&script), None, "after a kill nothing is known");
    script.note(100, Notice::Interrupt(Stop::LeftByKey));
    script.at(101, Command::Open(q(1))).unwrap();
    script.note(120, resume(110));
    assert_eq!(left(&script), None, "it had gone on after that");
}

/// A file of the first format takes none of the events that came later.
#[test]
fn a_sitting_of_the_first_format_goes_on_in_it() {
    let mut script = Script::new(|header| header.format = 1);
    for command in [Command::HideClock, Command::ShowClock, Command::LeaveSweep] {
        assert_eq!(script.at(1, command.clone()), Ok(None), "{command:?}");
    }
    assert_eq!(
        script.at(2, Command::CrossOut(q(1), label('A'))),
        Err(Refusal::OlderFile)
    );
    script.note(3, Notice::Interrupt(Stop::LeftByKey));
    script.note(9, resume(3));
    assert!(script.log.iter().all(|(_, event)| event.format() == 1));
    assert_eq!(script.log[0].1, Event::Interrupted(Stop::Left));
    let sweep = script.at(600, Command::BeginSweep);
    assert_eq!(sweep, Err(Refusal::OlderFile));
    let late = script.at(700, Command::HideClock).unwrap();
    assert!(matches!(late, Some(Event::TimeUp { .. })), "{late:?}");
}

#[test]
fn a_list_of_questions_has_only_those() {
    let mut script = Script::new(|header| {
        header.arrangements.only = QuestionList::read("1,4-5").ok();
    });
    assert_eq!(
        script.at(0, Command::Open(q(3))),
        Err(Refusal::NoSuchQuestion)
    );
    let blanks: Vec<_> = script.sitting.blanks().collect();
    assert_eq!(blanks, [q(1), q(4), q(5)]);
}

/// Time on a question, from the definition: its visits, with breaks, sleep and absences taken out.
fn time_on(sitting: &Sitting, question: QuestionNo, now: Elapsed) -> Elapsed {
    let own = sitting
        .visits()
        .iter()
        .filter(|visit| visit.question == question);
    let length = |visit: &Visit| {
        let to = visit.to.unwrap_or(now);
        to.since(visit.from)
            .since(sitting.absent().overlap(visit.from, to))
    };
    own.map(length).fold(Elapsed::ZERO, std::ops::Add::add)
}
