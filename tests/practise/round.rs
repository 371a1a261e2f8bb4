//! How a question goes on: a try, its hint, a second try, its working.

use pacebell::domain::labels::Labels;
use pacebell::domain::practice::{
    NoRoundMove, PracticeEvent, PracticeRound, RoundMove, RoundQuestion, RoundStage, WorkingShown,
};
use pacebell::domain::rule::QuestionNo;
use pacebell::words::practise::{told, workings};

use crate::days::{label, paper, question};

fn tried(option: char, unaided: bool) -> PracticeEvent {
    PracticeEvent::Tried {
        option: label(option),
        unaided,
    }
}

fn reed(number: u16) -> RoundQuestion {
    question(&paper("Reed", 4, &[]), number)
}

#[test]
fn a_wrong_try_brings_the_hint_and_a_second_one_the_working() {
    let (mut round, events) = PracticeRound::new(vec![reed(2), reed(3)], WorkingShown::AtOnce);
    assert_eq!(events, [PracticeEvent::Opened(reed(2).which)]);
    assert!(
        told(&round).is_empty(),
        "nothing is told before the first try"
    );
    let first = round.hear(RoundMove::Answer('c')).unwrap();
    assert_eq!(first, [tried('C', true), PracticeEvent::HintShown]);
    assert_eq!(told(&round), ["C isn't right yet.", "Hint: Count 2 twice."]);
    assert_eq!(
        round.hear(RoundMove::Answer('C')),
        Err(NoRoundMove::TriedAlready(label('C')))
    );
    assert_eq!(round.hear(RoundMove::Next), Err(NoRoundMove::TryFirst));
    let second = round.hear(RoundMove::Answer('D')).unwrap();
    assert_eq!(second, [tried('D', false), PracticeEvent::WorkingShown]);
    let said = told(&round);
    let expected = [
        "The answer is B.",
        "Working: 2 and 2 make B.",
        "A common way to get C: counted once.",
    ];
    assert_eq!(said, expected);
    assert_eq!(round.hear(RoundMove::Answer('B')), Err(NoRoundMove::Over));
    let catch = round
        .hear(RoundMove::Catch("  I counted once  ".into()))
        .unwrap();
    assert_eq!(catch, [PracticeEvent::Catch("I counted once".into())]);
    let next = round.hear(RoundMove::Next).unwrap();
    assert_eq!(next, [PracticeEvent::Opened(reed(3).which)]);
    assert_eq!(round.stage(), RoundStage::First { hinted: false });
    assert_eq!(
        round.hear(RoundMove::Stop).unwrap(),
        [PracticeEvent::Stopped]
    );
    assert_eq!(round.hear(RoundMove::Next), Err(NoRoundMove::Ended));
    assert_eq!(round.count(), (1, 0));
}

#[test]
fn a_right_try_shows_the_working_too_and_never_only_a_tick() {
    let (mut round, _) = PracticeRound::new(vec![reed(1)], WorkingShown::AtOnce);
    let events = round.hear(RoundMove::Answer('b')).unwrap();
    assert_eq!(events, [tried('B', true), PracticeEvent::WorkingShown]);
    let said = told(&round);
    assert_eq!(
        said,
        [
            "Yes, B is right, at the first try.",
            "Working: 1 and 1 make B."
        ]
    );
    assert_eq!(round.count(), (1, 1));
    assert_eq!(
        round.hear(RoundMove::Catch("   ".into())),
        Ok(vec![]),
        "it is optional"
    );
    assert_eq!(
        round.hear(RoundMove::Next).unwrap(),
        [PracticeEvent::Stopped]
    );
}

#[test]
fn a_hint_before_the_first_try_is_help() {
    let (mut round, _) = PracticeRound::new(vec![reed(1)], WorkingShown::AtOnce);
    assert_eq!(
        round.hear(RoundMove::Hint).unwrap(),
        [PracticeEvent::HintShown]
    );
    assert_eq!(told(&round), ["Hint: Count 1 twice."]);
    assert_eq!(round.hear(RoundMove::Hint), Err(NoRoundMove::NoHint));
    let events = round.hear(RoundMove::Answer('b')).unwrap();
    assert_eq!(events, [tried('B', false), PracticeEvent::WorkingShown]);
    assert_eq!(told(&round)[0], "Yes, B is right.");
    assert_eq!(round.count(), (1, 0));
}

#[test]
fn without_a_hint_or_a_working_it_is_said_so() {
    let mut bare = reed(1);
    std::sync::Arc::make_mut(&mut bare.key).notes.clear();
    let (mut round, _) = PracticeRound::new(vec![bare], WorkingShown::AtOnce);
    assert_eq!(round.hear(RoundMove::Hint), Err(NoRoundMove::NoHint));
    assert_eq!(
        round.hear(RoundMove::Answer('a')).unwrap(),
        [tried('A', true)]
    );
    let said = told(&round);
    assert_eq!(
        said[1],
        "There's no hint for this one. Read the question once more."
    );
    round.hear(RoundMove::Answer('d')).unwrap();
    let said = told(&round);
    assert_eq!(
        said,
        [
            "The answer is B.",
            "There's no working for this one. Ask your tutor to show you."
        ]
    );
}

#[test]
fn of_two_options_a_second_try_would_tell_nothing() {
    let mut two = reed(1);
    let outline = std::sync::Arc::make_mut(&mut two.outline);
    outline
        .own_options
        .insert(QuestionNo(1), Labels::new("AB").unwrap());
    let (mut round, _) = PracticeRound::new(vec![two], WorkingShown::AtOnce);
    assert_eq!(
        round.hear(RoundMove::Answer('e')),
        Err(NoRoundMove::NoOption)
    );
    let events = round.hear(RoundMove::Answer('a')).unwrap();
    assert_eq!(events, [tried('A', true), PracticeEvent::WorkingShown]);
}

/// Nothing tells the answer until the session ends; then all that was worked through is shown, and the log says so.
#[test]
fn workings_that_come_at_the_end_are_kept_until_then() {
    let (mut round, _) =
        PracticeRound::new(vec![reed(2), reed(3), reed(4)], WorkingShown::AtTheEnd);
    round.hear(RoundMove::Answer('c')).unwrap();
    let over = round.hear(RoundMove::Answer('d')).unwrap();
    assert_eq!(over, [tried('D', false)]);
    assert_eq!(
        told(&round),
        [
            "D isn't right either.",
            "The answer and the working come at the end."
        ]
    );
    assert!(workings(&round).is_empty());
    round.hear(RoundMove::Next).unwrap();
    assert_eq!(
        round.hear(RoundMove::Answer('b')).unwrap(),
        [tried('B', true)]
    );
    assert_eq!(
        told(&round)[0],
        "Yes, B is right, at the first try.",
        "a right answer is called right at once"
    );
    round.hear(RoundMove::Next).unwrap();
    round.hear(RoundMove::Answer('c')).unwrap();
    let ended = round.hear(RoundMove::Stop).unwrap();
    let shown = |number| {
        [
            PracticeEvent::Opened(reed(number).which),
            PracticeEvent::WorkingShown,
        ]
    };
    let expected = [&shown(2)[..], &shown(3), &[PracticeEvent::Stopped]].concat();
    assert_eq!(
        ended, expected,
        "the one that was left in the middle is not shown"
    );
    let said = workings(&round);
    assert_eq!(
        said[0],
        [
            "Question 2 of Reed",
            "The answer is B.",
            "Working: 2 and 2 make B.",
            "A common way to get C: counted once.",
        ]
    );
    assert_eq!(said.len(), 2);
}

#[test]
fn workings_that_the_tutor_shows_never_come_up() {
    let two = || vec![reed(2), reed(3)];
    let (mut round, _) = PracticeRound::new(two(), WorkingShown::ByTheTutor);
    for option in ['c', 'd'] {
        round.hear(RoundMove::Answer(option)).unwrap();
    }
    let said = told(&round);
    assert_eq!(
        said,
        [
            "D isn't right either.",
            "Your tutor will go through this one with you."
        ]
    );
    assert_eq!(
        round.hear(RoundMove::Stop).unwrap(),
        [PracticeEvent::Stopped]
    );
    assert!(workings(&round).is_empty());
    // A window that is gone shows nothing either.
    let (mut round, _) = PracticeRound::new(two(), WorkingShown::AtTheEnd);
    round.hear(RoundMove::Answer('b')).unwrap();
    assert_eq!(round.cut(), [PracticeEvent::Stopped]);
    assert!(workings(&round).is_empty());
}
