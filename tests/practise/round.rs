//! How a question goes on: a try, its hint, a second try, its working.

use pacebell::domain::labels::Labels;
use pacebell::domain::practice::{
    NoRoundMove, PracticeEvent, PracticeRound, RoundMove, RoundQuestion, RoundStage,
};
use pacebell::domain::rule::QuestionNo;
use pacebell::words::practise::told;

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
    let (mut round, events) = PracticeRound::new(vec![reed(2), reed(3)]);
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
    let (mut round, _) = PracticeRound::new(vec![reed(1)]);
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
    let (mut round, _) = PracticeRound::new(vec![reed(1)]);
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
    let (mut round, _) = PracticeRound::new(vec![bare]);
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
    let (mut round, _) = PracticeRound::new(vec![two]);
    assert_eq!(
        round.hear(RoundMove::Answer('e')),
        Err(NoRoundMove::NoOption)
    );
    let events = round.hear(RoundMove::Answer('a')).unwrap();
    assert_eq!(events, [tried('A', true), PracticeEvent::WorkingShown]);
}
