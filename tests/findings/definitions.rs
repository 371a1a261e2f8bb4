//! Going back, sweeps, batches and guesses after time, each from its definition in `DEVELOPERS.md`.

use pacebell::analysis::Trust;
use pacebell::analysis::findings::{Finding, QuickFrom, Seen, Tone};
use pacebell::domain::event::{Ending, Event, How};
use pacebell::domain::header::Header;
use pacebell::domain::time::Elapsed;
use pacebell::words::findings as words;
use pacebell::words::thresholds::Thresholds;

use crate::analysed::analysed;
use crate::looked::{found, seen, straight_through, to_the_bell};
use crate::script::{header, key, label, log, q};

/// A sitting in seconds: a stay on a question from a moment on, and what is done at which moment of it.
pub(crate) struct Desk(pub(crate) Vec<(u64, Event)>);

impl Desk {
    pub(crate) fn new() -> Self {
        Self(Vec::new())
    }

    pub(crate) fn open(mut self, at: u64, number: u16) -> Self {
        self.0.push((at * 1000, Event::Opened(q(number))));
        self
    }

    pub(crate) fn answer(mut self, at: u64, number: u16, option: char) -> Self {
        let answered = Event::Answered(q(number), label(option));
        self.0.push((at * 1000, answered));
        self
    }

    pub(crate) fn rub_out(mut self, at: u64, number: u16) -> Self {
        self.0.push((at * 1000, Event::RubbedOut(q(number))));
        self
    }

    pub(crate) fn guess(self, at: u64, number: u16, option: char) -> Self {
        let mut desk = self.answer(at, number, option);
        desk.0
            .push((at * 1000, Event::Said(q(number), How::Guessed)));
        desk
    }

    /// Questions one after another, each opened as the one before is answered, in the same millisecond.
    pub(crate) fn straight(
        mut self,
        from: u64,
        each: u64,
        numbers: std::ops::RangeInclusive<u16>,
    ) -> Self {
        for (index, number) in (0..).zip(numbers) {
            let at = from + index * each;
            self = self.open(at, number).answer(at + each, number, 'A');
        }
        self
    }

    pub(crate) fn finish(mut self, at: u64) -> Vec<(u64, Event)> {
        let early = Event::Closed(Ending::FinishedEarly);
        self.0.push((at * 1000, early));
        self.0
    }

    pub(crate) fn time_up(mut self, at: u64) -> Vec<(u64, Event)> {
        let due = Elapsed::seconds(at);
        self.0.push((at * 1000, Event::TimeUp { due }));
        self.0.push((at * 1000, Event::Closed(Ending::TimeUp)));
        self.0
    }
}

/// Twenty questions of five marks in an hour.
pub(crate) fn twenty() -> Header {
    header(60, &[(1, 20, "5", "0", "0")])
}

type Back = (Vec<u16>, Elapsed, String);

fn gone_back(header: &Header, events: Vec<(u64, Event)>) -> Vec<Back> {
    let all = found(
        header,
        &log(header, events),
        Some(&key(&"A".repeat(20))),
        None,
    );
    seen(&all, |seen| match seen {
        Seen::SecondPass {
            questions,
            took,
            gained,
        } => {
            let numbers = questions.iter().map(|question| question.0);
            Some((numbers.collect(), *took, gained.to_string()))
        }
        _ => None,
    })
}

#[test]
fn going_back_counts_what_was_left_without_an_answer_and_answered_later_by_thought() {
    let header = twenty();
    // Question 3 is left after half a minute, and answered right on its next visit after forty seconds.
    let left = || Desk::new().open(0, 3).straight(30, 100, 4..=6);
    let back = left().open(400, 3).answer(440, 3, 'A').open(450, 7);
    let fruit = (vec![3], Elapsed::seconds(50), "5".to_owned());
    assert_eq!(gone_back(&header, back.time_up(3600)), [fruit]);
    // A wrong answer brought nothing, and neither did a guess, said or at a glance.
    let wrong = left().open(400, 3).answer(440, 3, 'B').open(450, 7);
    assert_eq!(gone_back(&header, wrong.time_up(3600)), []);
    let said = left().open(400, 3).guess(440, 3, 'A').open(450, 7);
    assert_eq!(gone_back(&header, said.time_up(3600)), []);
    let quick = left().open(400, 3).answer(409, 3, 'A').open(450, 7);
    assert_eq!(gone_back(&header, quick.time_up(3600)), []);
    let thought = left().open(400, 3).answer(410, 3, 'A').open(450, 7);
    assert_eq!(gone_back(&header, thought.time_up(3600)).len(), 1);
}

#[test]
fn a_glance_elsewhere_leaves_nothing_but_an_answer_a_flag_or_for_later_does() {
    let header = twenty();
    let desk = || Desk::new().straight(0, 100, 1..=1);
    let back = |desk: Desk| desk.open(160, 3).answer(200, 3, 'A').time_up(3600);
    // Half a minute on question 3, half a minute elsewhere, and back; question 2 was answered before.
    let glance = desk()
        .open(100, 2)
        .answer(100, 2, 'A')
        .open(100, 3)
        .open(130, 4);
    assert_eq!(gone_back(&header, back(glance)), []);
    let answered = desk().open(100, 3).open(130, 4).answer(160, 4, 'A');
    assert_eq!(gone_back(&header, back(answered)).len(), 1);
    for put in [Event::Skipped(q(3)), Event::Flagged(q(3))] {
        let mut left = desk().open(100, 3);
        left.0.push((130_000, put));
        assert_eq!(gone_back(&header, back(left.open(130, 4))).len(), 1);
    }
    // A flag beside another question, or after the return, is no leaving.
    let mut other = desk().open(100, 3).open(130, 4);
    other.0.push((140_000, Event::Flagged(q(4))));
    let mut other = other.open(160, 3);
    other.0.push((170_000, Event::Flagged(q(3))));
    let other = other.answer(200, 3, 'A').time_up(3600);
    assert_eq!(gone_back(&header, other), []);
}

#[test]
fn a_look_at_an_answer_and_a_first_answer_that_came_late_are_no_fruit_of_going_back() {
    let header = twenty();
    // Answered, looked at again, and changed for the better: that is a change, not going back.
    let looked = Desk::new()
        .open(0, 3)
        .answer(60, 3, 'B')
        .straight(60, 100, 4..=6);
    let looked = looked.open(400, 3).answer(440, 3, 'A').open(450, 7);
    assert_eq!(gone_back(&header, looked.time_up(3600)), []);
    // The whole paper looked through first, two seconds a page: nothing was left.
    let mut through = Desk::new();
    for number in 1..=20_u16 {
        through = through.open(u64::from(number) * 2, number);
    }
    let through = through.straight(100, 100, 1..=19).open(2000, 20);
    assert_eq!(gone_back(&header, through.time_up(3600)), []);
    // Opened for the first time in the last minutes.
    let late = Desk::new().straight(0, 200, 1..=17).open(3400, 18);
    let late = late.answer(3500, 18, 'A');
    assert_eq!(gone_back(&header, late.time_up(3600)), []);
}

#[test]
fn the_question_open_at_the_end_has_its_time_up_to_the_answer_that_stands() {
    let header = twenty();
    let times = |desk: Desk| {
        let analysis = analysed(&header, &log(&header, desk.time_up(3600)));
        let of = |number| analysis.time_on(q(number)).unwrap().as_seconds();
        (of(3), of(4), analysis.whole().waited.as_seconds())
    };
    let open = || Desk::new().open(0, 4).open(3180, 3);
    let close = |one: (f64, f64, f64), other: (f64, f64, f64)| assert!(one == other, "{one:?}");
    close(times(open()), (420.0, 3180.0, 0.0));
    close(times(open().answer(3540, 3, 'A')), (360.0, 3180.0, 60.0));
    // Put right later, it is the later answer that counts; rubbed out, no answer stands.
    let twice = || open().answer(3540, 3, 'A').answer(3550, 3, 'B');
    close(times(twice()), (370.0, 3180.0, 50.0));
    close(times(twice().rub_out(3560, 3)), (420.0, 3180.0, 0.0));
    // Opened again with its answer there, and left open.
    let again = open().answer(3540, 3, 'A').open(3550, 4).open(3570, 3);
    close(times(again), (370.0, 3200.0, 30.0));
}

/// Question 3 took six minutes up to its answer, and was open for seven.
#[test]
fn a_sentence_and_a_bar_say_the_same_time() {
    let header = header(60, &[(1, 25, "1", "0", "0")]);
    let desk = Desk::new().open(0, 4).answer(60, 4, 'A').open(3180, 3);
    let desk = desk.answer(3540, 3, 'B');
    let log = log(&header, desk.time_up(3600));
    let all = found(&header, &log, Some(&key(&"A".repeat(25))), None);
    let sinks = seen(&all, |seen| match seen {
        Seen::Sink(sink) => Some((sink.long.question, sink.long.time)),
        _ => None,
    });
    let bar = analysed(&header, &log).time_on(q(3)).unwrap();
    assert_eq!(bar, Elapsed::minutes(6));
    assert!(sinks.contains(&(q(3), bar)), "{sinks:?}");
}

pub(crate) type Swept = (Vec<u16>, Elapsed, Elapsed);

pub(crate) fn swept(header: &Header, events: Vec<(u64, Event)>) -> Option<Swept> {
    let analysis = analysed(header, &log(header, events));
    let sweep = analysis.sweep()?;
    let filled = sweep.filled.iter().map(|question| question.0);
    Some((filled.collect(), sweep.took, sweep.left))
}

#[test]
fn a_sweep_is_one_run_of_short_stays_near_the_end_and_nothing_else() {
    let header = twenty();
    let worked = || Desk::new().straight(0, 200, 1..=16);
    let run = |from| worked().open(3200, 17).straight(from, 6, 18..=20);
    let three = |left| {
        Some((
            vec![18, 19, 20],
            Elapsed::seconds(18),
            Elapsed::seconds(left),
        ))
    };
    assert_eq!(swept(&header, run(3500).time_up(3600)), three(100));
    // A guess ten minutes before, in a run of its own, is not in it.
    let early = worked().open(3200, 17).guess(3205, 17, 'A').open(3210, 16);
    let early = early.straight(3500, 6, 18..=20);
    assert_eq!(swept(&header, early.time_up(3600)), three(100));
    // Nor is an answer rubbed out and put in again on the way.
    let again = worked()
        .open(3200, 17)
        .straight(3490, 6, 18..=19)
        .open(3502, 5);
    let again = again.rub_out(3503, 5).answer(3504, 5, 'A');
    let again = again.open(3505, 20).answer(3510, 20, 'A');
    assert_eq!(
        swept(&header, again.time_up(3600)),
        Some((
            vec![18, 19, 20],
            Elapsed::seconds(20),
            Elapsed::seconds(110)
        ))
    );
    // It ends within a tenth of the hour before the end.
    assert!(swept(&header, run(3222).time_up(3600)).is_some());
    assert_eq!(swept(&header, run(3221).time_up(3600)), None);
    // A stay of twenty seconds is short, one of a second more is not.
    let each = |each| worked().open(3200, 17).straight(3400, each, 18..=20);
    assert!(swept(&header, each(20).time_up(3600)).is_some());
    assert_eq!(swept(&header, each(21).time_up(3600)), None);
    // A first pass is none, however quick it is and however early the sitting was ended: nothing was filled that had
    // been passed over.
    let first_pass = Desk::new().straight(0, 6, 1..=10).finish(70);
    assert_eq!(swept(&header, first_pass), None);
    // What had been left on the way is filled, also in a sitting that is finished early; what comes after it is not.
    let back = Desk::new().straight(0, 60, 1..=3).straight(180, 60, 6..=9);
    let back = back.straight(420, 6, 4..=5).straight(432, 6, 10..=12);
    let early = Some((vec![4, 5], Elapsed::seconds(12), Elapsed::seconds(3180)));
    assert_eq!(swept(&header, back.finish(460)), early);
    // One blank is no sweep.
    let one = worked().open(3200, 17).straight(3500, 6, 18..=18);
    assert_eq!(swept(&header, one.time_up(3600)), None);
}

/// Each section has its own worth of a guess: at one in five, 5 and 0 gain a mark, 5 and -2 lose .6.
#[test]
fn nobody_is_pushed_to_fill_where_a_blind_guess_gains_nothing() {
    let mixed = header(60, &[(1, 10, "5", "0", "0"), (11, 20, "5", "-2", "0")]);
    let pupil = |header: &Header,
                 events: Vec<(u64, Event)>|
     -> Vec<(Tone, Option<String>, String)> {
        let all = found(header, &log(header, events), None, None);
        let about =
            |finding: &&Finding| matches!(finding.seen, Seen::Blanks { .. } | Seen::Swept { .. });
        let told = |finding: &Finding| {
            let tutor = words::for_tutor(finding, &Thresholds::default());
            (finding.tone(), words::for_pupil(finding), tutor)
        };
        all.iter().filter(about).map(told).collect()
    };
    let blanks = Desk::new().straight(0, 100, 2..=19).open(1900, 20);
    let said = pupil(&mixed, blanks.time_up(3600));
    let (_, page, tutor) = &said[0];
    let page = page.clone().unwrap();
    assert!(
        page.contains("fill question 1 in the last") && !page.contains("every blank"),
        "{page}"
    );
    assert!(
        tutor.contains("Blind guesses on Q1 would bring")
            && tutor.contains("on the others they would lose"),
        "{tutor}"
    );
    let even = header(60, &[(1, 20, "4", "-1", "0")]);
    let blanks = Desk::new().straight(0, 100, 2..=19).open(1900, 20);
    let said = pupil(&even, blanks.time_up(3600));
    let page = said[0].1.clone().unwrap();
    assert!(!page.contains("fill"), "{page}");
    // A sweep is praise only where each of its guesses gains.
    let sweep = |header: &Header| {
        let sweep = Desk::new()
            .straight(0, 190, 1..=9)
            .straight(1710, 190, 11..=18)
            .open(3240, 10);
        let sweep = sweep
            .straight(3500, 6, 19..=20)
            .open(3512, 10)
            .answer(3518, 10, 'A');
        let said = pupil(header, sweep.time_up(3600));
        (said[0].0, said[0].1.is_some())
    };
    assert_eq!(sweep(&twenty()), (Tone::Praise, true));
    assert_eq!(sweep(&mixed), (Tone::Know, false));
    assert_eq!(sweep(&even), (Tone::Know, false));
    // What is still blank is spoken of only where a guess on it gains.
    let all_but = |header: &Header, blanks: [u16; 2]| {
        let mut desk = Desk::new();
        for number in (1..=18).filter(|own| !blanks.contains(own) && ![5, 6].contains(own)) {
            desk = desk.straight(u64::from(number) * 150, 150, number..=number);
        }
        let desk = desk.straight(3000, 150, 19..=20).open(3300, 7);
        let desk = desk.straight(3500, 6, 5..=6);
        let said = pupil(header, desk.time_up(3600));
        let page = said.iter().filter_map(|(_, page, _)| page.clone());
        page.filter(|page| page.contains("You filled 2 blanks"))
            .collect::<String>()
    };
    assert_eq!(
        all_but(&mixed, [9, 10]),
        "You filled 2 blanks near the end. Start a little sooner, and every blank gets an answer."
    );
    assert_eq!(
        all_but(&mixed, [10, 11]),
        "You filled 2 blanks near the end. Start a little sooner, and there's time for question 10 too."
    );
    assert_eq!(
        all_but(&mixed, [11, 12]),
        "You filled 2 blanks before time was up. Keep doing that."
    );
}

#[test]
fn guesses_and_a_sweeps_fills_are_in_no_batch() {
    let mut header = twenty();
    header.paper.on_screen = false;
    let trust =
        |events: Vec<(u64, Event)>| analysed(&header, &log(&header, events)).trust().clone();
    // Eight of twenty blanks filled in the last minute, on a printed paper.
    let filled = Desk::new()
        .straight(0, 250, 1..=12)
        .straight(3540, 5, 13..=20);
    assert_eq!(trust(filled.time_up(3600)), Trust::Own);
    // Six said guesses in the middle of the hour.
    let mut guessed = Desk::new().straight(0, 250, 1..=6);
    for number in 7..=12_u16 {
        let at = 1500 + u64::from(number) * 5;
        guessed = guessed.open(at, number).guess(at + 5, number, 'A');
    }
    assert_eq!(
        trust(guessed.straight(1600, 200, 13..=20).time_up(3600)),
        Trust::Own
    );
    // The same six without a word are a batch; more than half of the paper at the end is keying.
    let keyed = Desk::new()
        .straight(0, 250, 1..=6)
        .straight(1535, 5, 7..=12);
    let keyed = keyed.straight(1600, 200, 13..=20);
    assert!(matches!(
        trust(keyed.time_up(3600)),
        Trust::Withheld { batched: 6, .. }
    ));
    let all = Desk::new().open(0, 1).straight(3500, 5, 1..=20);
    assert!(matches!(
        trust(all.time_up(3600)),
        Trust::Withheld { batched: 20, .. }
    ));
}

/// Twenty-five questions in an hour at a checkpoint each ten minutes for five.
fn with_a_plan() -> Header {
    use pacebell::domain::header::{Checkpoint, PacePlan};
    use pacebell::domain::mark::Mark;
    let mut header = header(60, &[(1, 25, "1", "0", "0")]);
    let point = |part: u16| Checkpoint {
        question: q(part * 5),
        minutes: Mark::whole(i64::from(part) * 10),
    };
    header.plan = Some(PacePlan {
        checkpoints: (1..=4).map(point).collect(),
        ..PacePlan::default()
    });
    header
}

/// Each question so many seconds, the first ones right and the others wrong, handed in after the last.
fn handed_in(header: &Header, seconds: u64, right: usize, keyed: bool) -> Vec<Finding> {
    let answers = format!("{}{}", "A".repeat(right), "B".repeat(25 - right));
    let log = straight_through(header, &[seconds; 25], &answers);
    let key = key(&"A".repeat(25));
    found(header, &log, keyed.then_some(&key), None)
}

fn praise(all: &[Finding]) -> usize {
    let praise = all.iter().filter(|finding| finding.tone() == Tone::Praise);
    praise.count()
}

#[test]
fn time_left_with_marks_lost_is_a_finding_and_its_pace_is_no_praise() {
    let header = with_a_plan();
    // 40 of 60 minutes, 10 of 25 right: nothing in this is praise.
    let all = handed_in(&header, 96, 10, true);
    let unused = seen(&all, |seen| match seen {
        Seen::Unused {
            left, wrong, blank, ..
        } => Some((*left, *wrong, *blank)),
        _ => None,
    });
    assert_eq!(unused, [(Elapsed::minutes(20), 15, 0)]);
    assert_eq!(praise(&all), 0, "{all:?}");
    let finding = all
        .iter()
        .find(|f| matches!(f.seen, Seen::Unused { .. }))
        .unwrap();
    // Ten of 25 right, two and two added: (12/29 - 1/5) / 2.4, the same on each wrong one.
    let tutor = words::for_tutor(finding, &Thresholds::default());
    assert!(tutor.starts_with("20 minutes of 60 minutes not used, with 15 wrong and 0 blank. A minute could earn most on Q11, Q12, Q13: up to 0.1"), "{tutor}");
    assert_eq!(finding.questions(), [q(11), q(12), q(13)]);
    // With every answer right it is none, and the plan was kept and is praised.
    let all = handed_in(&header, 96, 25, true);
    assert_eq!(
        seen(&all, |seen| matches!(seen, Seen::Unused { .. })
            .then_some(()))
        .len(),
        0
    );
    assert!(
        seen(&all, |seen| matches!(
            seen,
            Seen::Kept { hurried: false, .. }
        )
        .then_some(()))
        .len()
            == 1
    );
    // A tenth of the hour left is unused, less is not: 25 times 129.6 s are 54 minutes.
    let left = |millis: u64| {
        let mut header = header.clone();
        header.allowed = Elapsed(25 * 129_600 * 10 / 9 + millis);
        let mut events = straight_through(&header, &[129; 25], &"B".repeat(25));
        if let Some(last) = events.last_mut() {
            last.at = Elapsed(25 * 129_600);
        }
        let all = found(&header, &events, Some(&key(&"A".repeat(25))), None);
        seen(&all, |seen| {
            matches!(seen, Seen::Unused { .. }).then_some(())
        })
        .len()
    };
    assert_eq!((left(0), left(1_000)), (1, 1));
    let mut header = header.clone();
    header.allowed = Elapsed::seconds(25 * 96 + 240);
    let all = handed_in(&header, 96, 10, true);
    assert_eq!(
        seen(&all, |seen| matches!(seen, Seen::Unused { .. })
            .then_some(()))
        .len(),
        0
    );
}

#[test]
fn a_pace_far_ahead_of_the_plan_is_no_praise_with_wrong_answers() {
    let mut header = with_a_plan();
    let kept = |header: &Header, seconds, right, keyed| {
        let all = handed_in(header, seconds, right, keyed);
        seen(&all, |seen| match seen {
            Seen::Kept { count, hurried } => Some((*count, *hurried)),
            _ => None,
        })
    };
    // Five questions in 7:30 of ten minutes are three quarters; a second a question more is not so far.
    header.allowed = Elapsed::seconds(25 * 90);
    assert_eq!(kept(&header, 90, 4, true), [(4, true)]);
    assert_eq!(kept(&header, 90, 25, true), [(4, false)]);
    assert_eq!(kept(&header, 90, 25, false), [(4, true)], "nobody can say");
    header.allowed = Elapsed::seconds(25 * 91);
    assert_eq!(kept(&header, 91, 4, true), [(4, false)]);
}

#[test]
fn quick_and_wrong_is_held_against_the_pupils_own_pace_on_that_section() {
    let header = header(60, &[(1, 5, "1", "0", "0"), (6, 10, "1", "0", "0")]);
    let quick = |seconds: [u64; 10], answers: &str| {
        let all = found(
            &header,
            &to_the_bell(&header, &seconds, answers),
            Some(&key("AAAAAAAAAA")),
            None,
        );
        let mut numbers = seen(&all, |seen| match seen {
            Seen::Rushed { questions, from } => {
                let numbers = questions
                    .iter()
                    .map(|quick| (quick.question.0, quick.below));
                Some((*from, numbers.collect::<Vec<_>>()))
            }
            _ => None,
        });
        numbers.sort_by_key(|(_, numbers)| numbers.first().map(|(number, _)| *number));
        numbers
    };
    // The middle of 40, 40, 40, 40 is 40 s: below 10 s is quick there. That of four times 200 s is 200 s:
    // below 50 s is quick on the second section.
    let seconds = [40, 40, 40, 40, 10, 200, 200, 200, 200, 49];
    let below = Elapsed::seconds(50);
    assert_eq!(
        quick(seconds, "AAAABAAAAB"),
        [(QuickFrom::Own, vec![(10, below)])]
    );
    assert_eq!(quick(seconds, "AAAABAAAAA"), []);
    let seconds = [40, 40, 40, 40, 9, 200, 200, 200, 200, 50];
    let below = Elapsed::seconds(10);
    assert_eq!(
        quick(seconds, "AAAABAAAAB"),
        [(QuickFrom::Own, vec![(5, below)])]
    );
    // With two others there is no pace of one's own: the floor.
    let seconds = [40, 40, 9, 40, 40, 200, 200, 200, 200, 200];
    assert_eq!(
        quick(seconds, "AAB--AAAAA"),
        [(QuickFrom::Floor, vec![(3, below)])]
    );
}

/// Five right in time are 25 marks, under the boundary of 30; a right guess after time is a sixth.
#[test]
fn a_guess_after_time_reaches_no_award_in_any_sentence() {
    use pacebell::analysis::Studied;
    use pacebell::domain::mark::Mark;
    use pacebell::domain::paper::Award;
    use pacebell::words::result::Ended;
    use std::sync::Arc;

    let mut header = twenty();
    header.paper.awards = vec![Award {
        name: "dunlin".into(),
        boundary: Mark::whole(30),
    }];
    let mut events = Desk::new().straight(0, 100, 1..=5).time_up(3600);
    events.pop();
    events.push((3_601_000, Event::GuessRoundStarted));
    events.push((3_602_000, Event::Opened(q(6))));
    events.push((3_603_000, Event::Answered(q(6), label('A'))));
    events.push((3_604_000, Event::Closed(Ending::GuessRoundDone)));
    let analysis = analysed(&header, &log(&header, events));
    let studied = Studied::new(analysis, Some(Arc::new(key(&"A".repeat(20)))));
    let award = &studied.marks().unwrap().awards[0];
    assert!(award.reached_with_guess_round && !award.reached_in_time);
    let ended = Ended::tell(&studied, "here".into()).unwrap();
    let page: Vec<_> = ended
        .blocks()
        .into_iter()
        .flat_map(|block| block.lines)
        .collect();
    let dunlin: Vec<_> = page.iter().filter(|line| line.contains("dunlin")).collect();
    assert!(
        dunlin.len() == 1 && dunlin[0].contains("one more"),
        "{dunlin:?}"
    );
    for said in [
        pacebell::words::marks::reached(award),
        pacebell::words::review::award(award),
        dunlin[0].clone(),
    ] {
        assert!(
            !said.contains("guess") && !said.contains("reached"),
            "{said}"
        );
    }
}

/// A quarter of the hour on question 9, left; both blanks are filled in the last minute, rightly.
#[test]
fn a_long_stay_and_a_whole_section_are_earned_by_thought_and_not_by_a_fill() {
    let header = header(60, &[(1, 8, "1", "0", "0"), (9, 10, "1", "0", "0")]);
    let earned = |filled: bool| {
        let worked = Desk::new().straight(0, 200, 1..=8).open(1600, 9);
        let events = if filled {
            worked.open(3499, 1).straight(3500, 6, 9..=10)
        } else {
            worked.answer(2500, 9, 'A').straight(2500, 60, 10..=10)
        };
        let all = found(
            &header,
            &log(&header, events.time_up(3600)),
            Some(&key(&"A".repeat(10))),
            None,
        );
        let long = seen(&all, |seen| match seen {
            Seen::Earned(long) => Some(long.question.0),
            _ => None,
        });
        let section = all
            .iter()
            .find(|own| matches!(&own.seen, Seen::AllRight { section, .. } if section == "9-10"));
        let section = section.unwrap();
        let page = words::for_pupil(section).unwrap();
        (long, section.tone(), page.contains("careful work"))
    };
    assert_eq!(earned(false), (vec![9], Tone::Praise, true));
    assert_eq!(earned(true), (vec![], Tone::Know, false));
}

/// Said guesses are no care, and of a typed-in sheet nobody knows how it was worked.
#[test]
fn care_is_said_of_thought_under_the_clock_alone() {
    let said = |header: &Header, events: Vec<(u64, Event)>| {
        let all = found(
            header,
            &log(header, events),
            Some(&key(&"A".repeat(20))),
            None,
        );
        let own = all
            .iter()
            .find(|own| matches!(own.seen, Seen::AllRight { .. }));
        let own = own.unwrap();
        (own.tone(), words::for_pupil(own).unwrap())
    };
    let care = "You got all 20 questions in section 1-20 right. That was careful work.";
    let plain = "You got all 20 questions in section 1-20 right.";
    let worked = Desk::new().straight(0, 170, 1..=20);
    assert_eq!(
        said(&twenty(), worked.time_up(3600)),
        (Tone::Praise, care.to_owned())
    );
    let guessed = Desk::new().straight(0, 170, 1..=19).open(3230, 20);
    let guessed = guessed.guess(3300, 20, 'A');
    assert_eq!(
        said(&twenty(), guessed.time_up(3600)),
        (Tone::Know, plain.to_owned())
    );
    let mut entered = twenty();
    entered.mode = pacebell::domain::header::Mode::Entered;
    let mut typed = Desk::new().straight(0, 0, 1..=20).0;
    typed.push((0, Event::Closed(Ending::Entered)));
    assert_eq!(said(&entered, typed), (Tone::Praise, plain.to_owned()));
}

/// Question 3 was right and rubbed out, question 4 wrong and rubbed out; neither was answered again.
#[test]
fn a_right_answer_rubbed_out_and_left_blank_is_told_with_the_blanks() {
    let header = twenty();
    let told = |last: Option<char>| {
        let desk = Desk::new().open(0, 3).answer(60, 3, 'A').rub_out(90, 3);
        let mut desk = desk.open(100, 4).answer(160, 4, 'B').rub_out(190, 4);
        if let Some(option) = last {
            desk = desk.open(200, 3).answer(260, 3, option).open(270, 5);
        }
        let key = key(&"A".repeat(20));
        let all = found(&header, &log(&header, desk.time_up(3600)), Some(&key), None);
        let changed = seen(&all, |seen| match seen {
            Seen::ToWrong { questions, .. } => Some(questions.clone()),
            _ => None,
        });
        let blanks = all
            .iter()
            .find(|own| matches!(own.seen, Seen::Blanks { .. }));
        let tutor = words::for_tutor(blanks.unwrap(), &Thresholds::default());
        let pupil = words::for_pupil(blanks.unwrap()).unwrap();
        let (of_tutor, of_pupil) = (
            "; right before being rubbed out: Q3.",
            " You had question 3 right before you rubbed it out.",
        );
        assert_eq!(
            tutor.contains("rubbed"),
            tutor.contains(of_tutor),
            "{tutor}"
        );
        assert_eq!(
            pupil.contains("rubbed"),
            pupil.ends_with(of_pupil),
            "{pupil}"
        );
        (changed, tutor.contains("rubbed"), pupil.contains("rubbed"))
    };
    assert_eq!(told(None), (vec![], true, true));
    assert_eq!(told(Some('A')), (vec![], false, false));
    assert_eq!(told(Some('B')), (vec![vec![q(3)]], false, false));
}
