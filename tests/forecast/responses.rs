//! What became of each question, from made-up sittings: which answers count as worked out, and how far the pupil got.

use pacebell::analysis::evidence::{Done, Evidence, Seen, place};
use pacebell::domain::rule::QuestionNo;
use pacebell::season::model::{Response, responses};

use crate::worked;

/// Ten questions in twenty minutes, an even share of two: each by how it was taken and its seconds, where they are
/// known. A usual time is 24 s and more, so that a tenth of it is under three.
fn became(taken: &[(Done, Option<f64>)]) -> String {
    let mut one: Evidence = worked::sitting("", "a", 0);
    one.timing.share = 120.0;
    let seen = |(index, (done, seconds)): (usize, &(Done, Option<f64>))| {
        let number = QuestionNo::from_index(index);
        Seen {
            number,
            place: place(number, 10),
            done: *done,
            seconds: *seconds,
        }
    };
    one.answers = taken.iter().enumerate().map(seen).collect();
    let letter = |own: Response| match own {
        Response::Right => 'R',
        Response::Wrong => 'W',
        Response::Left { filled: true } => 'L',
        Response::Left { filled: false } => 'l',
        Response::Unreached { filled: true } => 'U',
        Response::Unreached { filled: false } => 'u',
    };
    responses(&one).into_iter().map(letter).collect()
}

const RIGHT: (Done, Option<f64>) = (Done::Right, Some(60.0));
const WRONG: (Done, Option<f64>) = (Done::Wrong, Some(60.0));
const NEVER: (Done, Option<f64>) = (Done::Blank, Some(0.0));

#[test]
fn a_guess_that_nobody_said_is_told_by_its_haste() {
    let quick = |done, seconds| (done, Some(seconds));
    // The first place takes 34 s as a rule, the second 53 s: a tenth of that is the limit, not ten seconds.
    assert_eq!(became(&[quick(Done::Right, 3.3), RIGHT]), "LR");
    assert_eq!(became(&[quick(Done::Right, 3.4), RIGHT]), "RR");
    assert_eq!(became(&[RIGHT, quick(Done::Wrong, 5.2)]), "RU");
    assert_eq!(became(&[RIGHT, quick(Done::Wrong, 5.3)]), "RW");
    // Late places take minutes, and nobody has to think for more than a glance.
    let late = [
        RIGHT, RIGHT, RIGHT, RIGHT, RIGHT, RIGHT, RIGHT, RIGHT, RIGHT,
    ];
    let with = |seconds| became(&[&late[..], &[quick(Done::Wrong, seconds)]].concat());
    assert_eq!(
        (with(9.9).as_str(), with(10.0).as_str()),
        ("RRRRRRRRRU", "RRRRRRRRRW")
    );
}

#[test]
fn without_times_only_what_was_said_tells_a_guess() {
    let known = |done| (done, None);
    let taken = [
        Done::Right,
        Done::Guessed,
        Done::Blank,
        Done::Wrong,
        Done::Guessed,
        Done::Blank,
    ];
    assert_eq!(became(&taken.map(known)), "RLlWUu");
}

#[test]
fn what_comes_before_the_last_worked_answer_was_got_to() {
    assert_eq!(became(&[RIGHT, NEVER, WRONG, NEVER, NEVER]), "RlWuu");
    assert_eq!(became(&[NEVER, NEVER]), "uu");
}

/// Opened for more than a glance, and another one after it: got to and left. The last one so opened was cut off.
#[test]
fn the_last_question_that_was_tried_was_cut_off_by_the_bell() {
    let opened = |seconds| (Done::Blank, Some(seconds));
    assert_eq!(became(&[RIGHT, opened(40.0), opened(30.0), NEVER]), "Rluu");
    assert_eq!(became(&[RIGHT, opened(9.0), opened(30.0), NEVER]), "Ruuu");
    let filled = (Done::Guessed, Some(40.0));
    assert_eq!(
        became(&[RIGHT, filled, opened(30.0), (Done::Guessed, Some(2.0))]),
        "RLuU"
    );
}
