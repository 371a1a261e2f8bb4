//! Findings on habits, which need no key.

use pacebell::analysis::checkpoint;
use pacebell::analysis::findings::{Seen, Tone};
use pacebell::domain::event::{Ending, Event};
use pacebell::domain::header::{Checkpoint, Header, Mode, PacePlan};
use pacebell::domain::mark::Mark;
use pacebell::domain::time::Elapsed;
use pacebell::words::findings as words;
use pacebell::words::thresholds::Thresholds;

use crate::analysed::analysed;
use crate::looked::{found, seen, straight_through};
use crate::script::{header, label, log, q};

fn ten() -> Header {
    header(20, &[(1, 10, "5", "0", "0")])
}

fn answered(at: u64, number: u16) -> [(u64, Event); 2] {
    let answer = Event::Answered(q(number), label('A'));
    [(at, Event::Opened(q(number))), (at + 4_000, answer)]
}

#[test]
fn blanks_are_counted_with_what_guesses_would_bring() {
    let header = ten();
    let log = straight_through(&header, &[100; 8], "AAAA-AAA");
    let all = found(&header, &log, None, None);
    let blanks = seen(&all, |seen| match seen {
        Seen::Blanks {
            questions,
            unseen,
            blind,
            ..
        } => Some((questions.clone(), *unseen, blind.gain)),
        _ => None,
    });
    // Three blanks, two of them never opened; 5 marks at one in five each.
    assert_eq!(blanks, [(vec![q(5), q(9), q(10)], 2, 3.0)]);
}

#[test]
fn a_sweep_in_time_is_praise_and_no_blank_without_one_too() {
    let header = ten();
    let mut events = vec![];
    for number in 1..=7_u16 {
        events.push((u64::from(number - 1) * 150_000, Event::Opened(q(number))));
        let at = u64::from(number) * 150_000 - 1_000;
        events.push((at, Event::Answered(q(number), label('A'))));
    }
    for number in 8..=10_u16 {
        events.extend(answered(1_100_000 + u64::from(number - 8) * 5_000, number));
    }
    events.push((1_115_000, Event::Closed(Ending::FinishedEarly)));
    let all = found(&header, &log(&header, events), None, None);
    let swept = seen(&all, |seen| match seen {
        Seen::Swept {
            filled,
            left,
            took,
            blank,
            ..
        } => Some((filled.clone(), *left, *took, blank.clone())),
        _ => None,
    });
    let filled = vec![q(8), q(9), q(10)];
    // Begun at 1100 s of 1200 s; the third fill came 14 s later.
    assert_eq!(
        swept,
        [(filled, Elapsed::seconds(100), Elapsed::seconds(14), vec![])]
    );
    let calm = found(
        &header,
        &straight_through(&header, &[100; 10], "AAAAAAAAAA"),
        None,
        None,
    );
    assert_eq!(
        seen(&calm, |seen| matches!(
            seen,
            Seen::NoBlank { count: 10, .. }
        )
        .then_some(()))
        .len(),
        1
    );
}

#[test]
fn to_and_fro_slow_starts_and_early_ends_with_flags_open() {
    let header = ten();
    let mut events = vec![];
    for round in 0..4 {
        events.push((round * 20_000, Event::Opened(q(1))));
        events.push((round * 20_000 + 10_000, Event::Opened(q(2))));
    }
    let mut at = 80_000;
    for number in 1..=5_u16 {
        events.push((at, Event::Opened(q(number))));
        at += 140_000;
        events.push((at, Event::Answered(q(number), label('A'))));
    }
    events.push((at, Event::Flagged(q(5))));
    events.push((at + 1_000, Event::Closed(Ending::FinishedEarly)));
    let all = found(&header, &log(&header, events), None, None);
    let often = seen(&all, |seen| match seen {
        Seen::ToAndFro(visits) => Some(visits.clone()),
        _ => None,
    });
    assert_eq!(often, [vec![(q(1), 5), (q(2), 5)]]);
    // Five answers at 80 + 5 x 140 = 780 s; planned are 5 x 120 s, and 780 > 1.25 x 600.
    let slow = seen(&all, |seen| match seen {
        Seen::SlowStart {
            answers,
            took,
            plan,
        } => Some((*answers, *took, *plan)),
        _ => None,
    });
    assert_eq!(slow, [(5, Elapsed::seconds(780), Elapsed::seconds(600))]);
    let early = seen(&all, |seen| match seen {
        Seen::EndedEarly {
            left,
            flags,
            blanks,
        } => Some((*left, flags.clone(), blanks.len())),
        _ => None,
    });
    assert_eq!(early, [(Elapsed::seconds(419), vec![q(5)], 5)]);
}

fn planned(points: &[(u16, i64)]) -> Header {
    let point = |(question, minutes): &(u16, i64)| Checkpoint {
        question: q(*question),
        minutes: Mark::whole(*minutes),
    };
    let mut header = ten();
    header.plan = Some(PacePlan {
        checkpoints: points.iter().map(point).collect(),
        ..PacePlan::default()
    });
    header
}

#[test]
fn a_checkpoint_is_missed_by_so_much_and_the_worst_is_said_once() {
    let header = planned(&[(4, 6), (8, 13)]);
    let log = straight_through(&header, &[120; 8], "AAAAAAAA");
    let all = found(&header, &log, None, None);
    let late = seen(&all, |seen| match seen {
        Seen::Late {
            question,
            planned,
            reached,
            done,
            of,
        } => Some((*question, *planned, *reached, *done, *of)),
        _ => None,
    });
    // Q4 at 480 s, two minutes late; Q8 at 960 s, three minutes late, with six done by 780 s.
    let reached = Some(Elapsed::seconds(960));
    assert_eq!(late, [(q(8), Elapsed::minutes(13), reached, 6, 8)]);
    let kept = planned(&[(4, 8), (8, 16)]);
    let log = straight_through(&kept, &[120; 8], "AAAAAAAA");
    let all = found(&kept, &log, None, None);
    assert_eq!(
        seen(&all, |seen| matches!(seen, Seen::Kept { count: 2, .. })
            .then_some(()))
        .len(),
        1
    );
}

/// Handed in after eight of ten questions, before the second checkpoint's moment with a question up to it undone:
/// it was neither missed nor kept, so not all were. Done ahead of its moment it was.
#[test]
fn all_checkpoints_were_kept_only_where_each_was() {
    let said = |last: u16| {
        let header = planned(&[(4, 8), (last, 19)]);
        let log = straight_through(&header, &[120; 8], "AAAAAAAA");
        let all = found(&header, &log, None, None);
        seen(&all, |seen| match seen {
            Seen::Kept { count, .. } => Some(*count),
            Seen::Late { .. } => Some(0),
            _ => None,
        })
    };
    assert_eq!(said(10), Vec::<usize>::new());
    assert_eq!(said(8), [2]);
}

/// The plan gives Q1 to Q4 six minutes: 90 s each; Q5 to Q8 seven: 105 s; the rest an even 120 s.
#[test]
fn the_planned_time_of_a_question_is_the_plans_where_there_is_one() {
    use pacebell::analysis::stay::planned as of;
    let header = planned(&[(4, 6), (8, 13)]);
    assert_eq!(of(&header, q(4)), Elapsed::seconds(90));
    assert_eq!(of(&header, q(5)), Elapsed::seconds(105));
    assert_eq!(of(&header, q(9)), Elapsed::seconds(120));
}

/// Under a rule of 4 and -2 a blind guess at one in five loses .8 on average.
#[test]
fn where_a_guess_loses_on_average_filling_blanks_is_no_praise() {
    let header = header(20, &[(1, 10, "4", "-2", "0")]);
    let mut events = vec![];
    for number in 1..=10_u16 {
        events.extend(answered(1_100_000 + u64::from(number) * 5_000, number));
    }
    events.push((1_160_000, Event::Closed(Ending::FinishedEarly)));
    let all = found(&header, &log(&header, events), None, None);
    let swept = all
        .iter()
        .find(|f| matches!(f.seen, Seen::Swept { .. }))
        .unwrap();
    assert_eq!((swept.tone(), words::for_pupil(swept)), (Tone::Know, None));
    let calm = straight_through(&header, &[100; 10], "AAAAAAAAAA");
    let all = found(&header, &calm, None, None);
    assert!(
        all.iter().all(|finding| finding.tone() != Tone::Praise),
        "{all:?}"
    );
}

#[test]
fn a_sheet_typed_in_has_blanks_and_nothing_that_needs_times() {
    let mut header = planned(&[(4, 1)]);
    header.mode = Mode::Entered;
    let answers = (1..=6).map(|number| (0, Event::Answered(q(number), label('A'))));
    let close = (0, Event::Closed(Ending::Entered));
    let log = log(&header, answers.chain([close]).collect());
    let all = found(&header, &log, None, None);
    let seen: Vec<_> = all.iter().map(|finding| &finding.seen).collect();
    assert!(
        matches!(seen[..], [Seen::Blanks { unseen: 0, .. }]),
        "{seen:?}"
    );
}

#[test]
fn every_finding_has_words_for_both() {
    let header = planned(&[(4, 6), (8, 13)]);
    let log = straight_through(&header, &[300, 100, 100, 100, 100], "AAA-A");
    let all = found(&header, &log, None, None);
    assert!(all.len() >= 4, "{all:?}");
    for finding in &all {
        let tutor = words::for_tutor(finding, &Thresholds::default());
        let pupil = words::for_pupil(finding).unwrap();
        for said in [tutor, pupil] {
            assert!(said.ends_with('.') && !said.contains("  "), "{said}");
        }
    }
}

/// The page of a sitting and the finding after it judge a checkpoint by one rule: a question that was
/// jumped over keeps both from being done.
#[test]
fn a_question_jumped_over_is_not_done_with_on_the_page_nor_afterwards() {
    let header = header(10, &[(1, 4, "1", "0", "0")]);
    let answered = |number| Event::Answered(q(number), label('A'));
    let events = vec![
        (0, Event::Opened(q(1))),
        (10_000, answered(1)),
        (11_000, Event::Opened(q(3))),
        (20_000, answered(3)),
        (21_000, Event::Opened(q(4))),
    ];
    let jumped = analysed(&header, &log(&header, events.clone()));
    assert_eq!(checkpoint::done_to(jumped.end()), Some(q(1)));
    let mut back = events;
    back.extend([(22_000, Event::Opened(q(2))), (30_000, Event::Opened(q(4)))]);
    let looked = analysed(&header, &log(&header, back));
    assert_eq!(
        checkpoint::done_to(looked.end()),
        Some(q(3)),
        "4 is open and not left"
    );
}

/// Question 3 was left, opened again before the checkpoint, and answered 2:50 after it: at the checkpoint's
/// moment it was neither answered nor left. Left again half a minute after the moment, it would have been.
#[test]
fn a_question_left_once_and_open_again_at_the_checkpoint_is_not_done() {
    let header = planned(&[(3, 5)]);
    let came_back = |left_again: Option<u64>| {
        let mut events = vec![(0, Event::Opened(q(1)))];
        events.push((50_000, Event::Answered(q(1), label('A'))));
        events.push((50_000, Event::Opened(q(3))));
        events.push((110_000, Event::Skipped(q(3))));
        events.push((110_000, Event::Opened(q(2))));
        events.push((200_000, Event::Answered(q(2), label('A'))));
        events.push((210_000, Event::Opened(q(3))));
        events.extend(left_again.map(|at| (at, Event::Opened(q(4)))));
        if left_again.is_none() {
            events.push((470_000, Event::Answered(q(3), label('A'))));
        }
        events.push((480_000, Event::Opened(q(5))));
        events.push((
            1_200_000,
            Event::TimeUp {
                due: Elapsed::seconds(1200),
            },
        ));
        let all = found(&header, &log(&header, events), None, None);
        seen(&all, |seen| match seen {
            Seen::Late {
                reached, done, of, ..
            } => Some((*reached, *done, *of)),
            Seen::Kept { .. } => Some((None, 3, 3)),
            _ => None,
        })
    };
    assert_eq!(came_back(None), [(Some(Elapsed::seconds(470)), 2, 3)]);
    assert_eq!(
        came_back(Some(330_000)),
        [(None, 3, 3)],
        "within the minute of grace"
    );
    assert_eq!(
        came_back(Some(360_000)),
        [(None, 3, 3)],
        "at its last moment"
    );
    let late = Some(Elapsed(360_001));
    assert_eq!(came_back(Some(360_001)), [(late, 2, 3)]);
}

/// What the page of the sitting says at a checkpoint's moment is what is said afterwards.
#[test]
fn the_page_at_the_moment_and_the_finding_afterwards_agree() {
    let header = planned(&[(4, 8)]);
    for seconds in [100, 119, 120, 121, 150] {
        let log = straight_through(&header, &[seconds; 8], "AA-AAAAA");
        let at = analysed(&header, &log).replay().at(Elapsed::minutes(8));
        let page = checkpoint::done_to(&at).is_some_and(|done| done >= q(4));
        let all = found(&header, &log, None, None);
        let on_time = seen(&all, |seen| match seen {
            Seen::Late { done, of, .. } => Some(done == of),
            Seen::Kept { .. } => Some(true),
            _ => None,
        });
        // Within the minute of grace the finding is kind; the page is not asked then.
        assert!(on_time == [page] || seconds == 121, "{seconds}");
    }
}
