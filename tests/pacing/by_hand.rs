//! One sitting written out, with every figure worked out by hand beside it.

use pacebell::analysis::{Analysis, Change, ChangeKind, GapKind, Status, Trust, cut, per_minute};
use pacebell::domain::event::{AwayClock, Ending, Event, How, Stamped, Stop};
use pacebell::domain::header::Header;
use pacebell::domain::mark::Mark;
use pacebell::domain::sitting::Phase;
use pacebell::domain::time::Elapsed;

use crate::analysed::{analysed, keyed};
use crate::script::{header, key, label, log, q};

/// An absence that does not count as time used.
fn back_after(header: &Header, since: u64) -> Event {
    Event::Resumed {
        since: Elapsed(since),
        counts: false,
        clock: AwayClock::Exact,
        boot: header.boot.clone(),
        left: None,
    }
}

/// Eight questions in 30 minutes; a rest break of 120 s on question 4, an absence of 60 s on
/// question 5, so that time is up 1980 s after the start; noticed 400 ms later.
fn sitting() -> (Header, Vec<Stamped>) {
    let header = header(30, &[(1, 4, "4", "0", "0"), (5, 8, "6", "-1", "0")]);
    let answered = |number, c| Event::Answered(q(number), label(c));
    let opened = |number| Event::Opened(q(number));
    let events = vec![
        (0, opened(1)),
        (61_250, answered(1, 'A')),
        (62_000, opened(2)),
        (150_500, answered(2, 'C')),
        (151_000, opened(3)),
        (200_000, Event::Skipped(q(3))),
        (200_000, opened(4)),
        (260_000, Event::BreakStarted),
        (380_000, Event::BreakEnded),
        (420_125, answered(4, 'D')),
        (421_000, opened(5)),
        (500_000, Event::Interrupted(Stop::Left)),
        (560_000, back_after(&header, 500_000)),
        (700_000, answered(5, 'A')),
        (710_000, answered(5, 'E')),
        (711_000, opened(6)),
        (1_300_000, opened(2)),
        (1_330_000, answered(2, 'B')),
        (1_331_000, opened(3)),
        (1_400_000, answered(3, 'C')),
        (1_401_000, opened(4)),
        (1_420_000, answered(4, 'E')),
        (1_421_000, Event::Flagged(q(4))),
        (1_422_000, opened(7)),
        (1_900_000, answered(7, 'A')),
        (1_905_000, opened(6)),
        (1_912_500, answered(6, 'B')),
        (1_913_000, Event::Said(q(6), How::Guessed)),
        (1_914_000, opened(8)),
        (1_920_000, answered(8, 'D')),
        (1_921_000, Event::RubbedOut(q(8))),
        (
            1_980_400,
            Event::TimeUp {
                due: Elapsed(1_980_000),
            },
        ),
        (1_981_000, Event::GuessRoundStarted),
        (1_981_100, opened(8)),
        (1_983_000, answered(8, 'C')),
        (1_985_000, Event::Closed(Ending::GuessRoundDone)),
    ];
    let log = log(&header, events);
    (header, log)
}

fn paced() -> (Header, Vec<Stamped>, Analysis) {
    let (header, log) = sitting();
    let pacing = analysed(&header, &log);
    (header, log, pacing)
}

#[test]
fn times_are_what_the_visits_add_up_to() {
    let (_, _, pacing) = paced();
    // Q2: 62.000 to 151.000 and 1300.000 to 1331.000; Q4: 200.000 to 421.000 less the break, and
    // 1401.000 to 1422.000; Q5: 421.000 to 711.000 less the absence; Q6: 711.000 to 1300.000 and
    // 1905.000 to 1914.000; Q8: 1914.000 to time up.
    let times: Vec<_> = pacing
        .questions()
        .iter()
        .map(|pace| pacing.time_on(pace.number).unwrap().0)
        .collect();
    let by_hand = [
        62_000, 120_000, 119_000, 122_000, 230_000, 598_000, 483_000, 66_000,
    ];
    assert_eq!(times, by_hand);
    let visits: Vec<_> = pacing.questions().iter().map(|pace| pace.visits).collect();
    assert_eq!(visits, [1, 2, 2, 2, 1, 2, 1, 1]);
    let whole = pacing.whole();
    assert_eq!(whole.questions, Elapsed(1_800_000));
    assert_eq!(
        (whole.breaks, whole.away),
        (Elapsed(120_000), Elapsed(60_000))
    );
    assert_eq!(
        (whole.idle, whole.ended),
        (Elapsed::ZERO, Elapsed(1_980_000))
    );
    assert_eq!(whole.used, Elapsed::minutes(30));
    let stays: Vec<_> = pacing
        .stays()
        .iter()
        .map(|s| (s.question.0, s.to.since(s.from).0))
        .collect();
    assert_eq!(stays.len(), 12);
    assert_eq!(stays[3..5], [(4, 221_000), (5, 290_000)]);
    let gaps: Vec<_> = pacing
        .gaps()
        .iter()
        .map(|g| (g.from.0, g.to.0, g.kind))
        .collect();
    assert_eq!(
        gaps,
        [
            (260_000, 380_000, GapKind::Break),
            (500_000, 560_000, GapKind::Away)
        ]
    );
}

#[test]
fn passes_order_and_the_sheet_at_the_end() {
    let (_, _, pacing) = paced();
    let order: Vec<_> = pacing.order().iter().map(|question| question.0).collect();
    assert_eq!(order, [1, 2, 3, 4, 5, 6, 7, 8]);
    // The last question to be opened for the first time is 8; it was left at time up.
    assert_eq!(pacing.passes().first_ended, Some(Elapsed(1_980_000)));
    // Later visits: 31 s on Q2, 70 s on Q3, 21 s on Q4, 9 s on Q6.
    assert_eq!(pacing.passes().later, Elapsed(131_000));
    assert_eq!(pacing.passes().first, Elapsed(1_669_000));
    let first: Vec<_> = pacing
        .questions()
        .iter()
        .map(|p| p.answered.unwrap().0)
        .collect();
    let by_hand = [
        61_250, 150_500, 1_400_000, 420_125, 700_000, 1_912_500, 1_900_000, 1_920_000,
    ];
    assert_eq!(first, by_hand);
    assert_eq!(pacing.blanks(), [q(8)]);
    assert_eq!(
        pacing.time_on_all(|pace| pace.sheet.in_time.is_none()),
        Some(Elapsed(66_000))
    );
    assert_eq!(pacing.question(q(8)).unwrap().sheet.status, Status::Cleared);
    assert_eq!(pacing.flags(), [q(4)]);
    let sheet = |number| pacing.question(q(number)).unwrap().sheet;
    assert!(sheet(6).in_time.unwrap().how.is_luck());
    assert!(sheet(8).in_time.is_none() && sheet(8).after_time.is_some());
    assert_eq!(pacing.changes().len(), 3);
    assert_eq!(*pacing.trust(), Trust::Own);
    assert_eq!(pacing.ending(), Some(Ending::GuessRoundDone));
}

/// From 1905.000 (75 s of the time left) Q6 was filled after 7.5 s and Q8 after 6 s, 15 s after the start; Q8
/// was rubbed out again, so that only where it is not there is a sweep of two.
#[test]
fn the_sweep_is_the_last_run_of_quickly_filled_blanks() {
    let (header, mut log, pacing) = paced();
    assert_eq!(pacing.sweep(), None);
    log.retain(|stamped| !matches!(stamped.event, Event::RubbedOut(_)));
    let pacing = analysed(&header, &log);
    let sweep = pacing.sweep().unwrap();
    assert_eq!(sweep.filled, [q(6), q(8)]);
    assert_eq!(
        (sweep.from, sweep.to),
        (Elapsed(1_905_000), Elapsed(1_920_000))
    );
    assert_eq!((sweep.took, sweep.left), (Elapsed(15_000), Elapsed(75_000)));
    assert!(sweep.complete && !sweep.or_keyed);
}

#[test]
fn marks_by_minute_follow_every_change_of_an_answer() {
    let (_, _, pacing) = paced();
    let earned = keyed(&pacing, &key("ABCDEABC")).earned;
    let points: Vec<_> = earned
        .by_minute
        .iter()
        .map(|point| (point.at.0, point.used.0, point.mark.to_string()))
        .collect();
    // Time used is 120 s behind after the break and 180 s behind after the absence.
    let by_hand = [
        (0, 0, "0"),
        (61_250, 61_250, "4"),
        (150_500, 150_500, "4"),
        (420_125, 300_125, "8"),
        (700_000, 520_000, "7"),
        (710_000, 530_000, "14"),
        (1_330_000, 1_150_000, "18"),
        (1_400_000, 1_220_000, "22"),
        (1_420_000, 1_240_000, "18"),
        (1_900_000, 1_720_000, "17"),
        (1_912_500, 1_732_500, "16"),
        (1_920_000, 1_740_000, "15"),
        (1_921_000, 1_741_000, "16"),
        (1_980_000, 1_800_000, "16"),
    ];
    let by_hand = by_hand.map(|(at, used, mark)| (at, used, mark.to_owned()));
    assert_eq!(points, by_hand);
}

#[test]
fn changes_sections_and_quarters_hold_what_the_key_makes_of_them() {
    let (_, _, pacing) = paced();
    let earned = keyed(&pacing, &key("ABCDEABC")).earned;
    let change = |number, at, from, to, kind| Change {
        question: q(number),
        at: Elapsed(at),
        from: label(from),
        to: label(to),
        kind: Some(kind),
    };
    assert_eq!(
        earned.changes,
        [
            change(5, 710_000, 'A', 'E', ChangeKind::WrongToRight),
            change(2, 1_330_000, 'C', 'B', ChangeKind::WrongToRight),
            change(4, 1_420_000, 'D', 'E', ChangeKind::RightToWrong),
        ]
    );
    assert_eq!(earned.count(ChangeKind::WrongToWrong), 0);
    // Section 1-4: 62 + 120 + 119 + 122 s; Q1, Q2, Q3 right. Section 5-8: 230 + 598 + 483 + 66 s;
    // Q5 right, Q6 and Q7 wrong, Q8 blank.
    let sections: Vec<_> = earned.sections.iter().map(|s| (s.time, s.earned)).collect();
    assert_eq!(
        sections,
        [
            (Some(Elapsed(423_000)), Mark::whole(12)),
            (Some(Elapsed(1_377_000)), Mark::whole(4)),
        ]
    );
    // 12 marks in 7.05 minutes.
    let rate = per_minute(Mark::whole(12), Elapsed(423_000)).unwrap();
    assert!((rate - 12.0 / 7.05).abs() < 1e-12);
    let quarters: Vec<_> = earned
        .quarters
        .iter()
        .map(|quarter| {
            (
                quarter.from.0,
                quarter.to.0,
                quarter.earned,
                quarter.answers,
            )
        })
        .collect();
    assert_eq!(
        quarters,
        [
            (0, 900_000, Mark::whole(14), 4),
            (900_000, 1_800_000, Mark::whole(2), 4),
        ]
    );
    // Of the later visits, Q2 and Q4 had answers already and Q6 was said to be a guess: Q3 +4.
    assert_eq!(earned.second_pass, Mark::whole(4));
}

#[test]
fn replay_shows_the_sheet_and_the_clock_of_any_moment() {
    let (header, log, _) = paced();
    let replay = analysed(&header, &log).replay();
    let then = replay.at(Elapsed(300_000));
    assert_eq!(then.phase(), Phase::OnBreak);
    assert_eq!(then.blanks().count(), 6);
    assert_eq!(replay.used(Elapsed(300_000)), Elapsed(260_000));
    // In the middle of the absence the clock stood, though the log tells it only afterwards.
    assert_eq!(replay.used(Elapsed(530_000)), Elapsed(380_000));
    assert_eq!(replay.moment_of(Elapsed(380_001)), Elapsed(560_001));
    // Time up holds from its own moment.
    assert_eq!(replay.at(Elapsed(1_980_000)).phase(), Phase::TimeUp);
    assert_eq!(
        cut(&header, &log, Elapsed(1_979_999)).phase(),
        Phase::Running
    );
    assert_eq!(replay.after(0).visits().len(), 0);
    assert_eq!(replay.after(usize::MAX).rows(), replay.whole().rows());
}
