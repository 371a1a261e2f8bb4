//! The limits of the remarks, each from its definition: figures on the one and on the other side of it.
//!
//! Chances are those of published tables (binomial, Student's t, normal) or worked beside the test.

use super::remark::{Remark, remarks};
use super::{Figures, OptionFigures, QuestionFigures, TotalFigures};
use crate::domain::key::Void;
use crate::domain::labels::Label;
use crate::domain::mark::Mark;
use crate::domain::rule::QuestionNo;
use crate::stats::item::Reliability;
use crate::stats::rasch::{ItemMeasure, Shortage};
use crate::stats::summary::Quartiles;
use crate::stats::tally::Blanks;

/// A question of which nothing is to be said: so many chose A, which is right, and so many each of B to E.
fn question(number: u16, chosen: [usize; 5]) -> QuestionFigures {
    let of = |(letter, count)| OptionFigures {
        label: Label::new(letter),
        is_right: letter == 'A',
        count,
        mean_rest: None,
        rest_among_answered: None,
    };
    QuestionFigures {
        number: QuestionNo(number),
        void: None,
        right: Some(chosen[0]),
        facility: None,
        discrimination: None,
        upper_lower: None,
        blanks: Blanks::default(),
        options: ('A'..='E').zip(chosen).map(of).collect(),
        seconds: None,
        rasch: None,
    }
}

fn figures(people: usize, questions: Vec<QuestionFigures>) -> Figures {
    let nought = Quartiles {
        lower: 0.0,
        median: 0.0,
        upper: 0.0,
    };
    Figures {
        people,
        max: Mark::whole(1),
        totals: TotalFigures {
            mean: 0.0,
            sd: None,
            sd_population: 0.0,
            quartiles: nought,
        },
        reliability: Reliability {
            alpha: None,
            kr20: None,
            kr21: None,
            sem: None,
        },
        questions,
        marks: vec![],
        rasch: Err(Shortage::NobodyBetween),
    }
}

fn told(people: usize, questions: Vec<QuestionFigures>) -> Vec<Remark> {
    remarks(&figures(people, questions)).told
}

fn even(number: u16) -> QuestionFigures {
    question(number, [4; 5])
}

/// 20 who answered, of whom `chosen` took B and `right` A; how B went with the rest, and the mean rest of A and B.
fn drawn(chosen: usize, right: usize, rest: f64, means: (f64, f64)) -> Vec<Remark> {
    let spare = 20 - chosen - right;
    let others = [spare / 3, spare.div_ceil(3), (spare + 1) / 3];
    let mut own = question(1, [right, chosen, others[0], others[1], others[2]]);
    own.options[0].mean_rest = Some(means.0);
    own.options[1].mean_rest = Some(means.1);
    own.options[1].rest_among_answered = Some(rest);
    assert_eq!(own.answered(), 20);
    told(20, vec![own])
}

/// With 18 degrees of freedom t = 2.552 leaves 1 % above it: r = 0.515.
#[test]
fn a_key_is_doubted_where_chance_alone_shows_as_much_in_one_of_a_hundred_papers() {
    let doubted = |rest| {
        matches!(
            drawn(12, 4, rest, (3.0, 5.0))[..],
            [Remark::KeyDoubt { .. }]
        )
    };
    assert!(doubted(0.520) && !doubted(0.510) && !doubted(-0.9));
}

/// Five of five coins fall alike in 1 of 32 cases, four of four in 1 of 16; nine and three or more in 7.3 %, nine and
/// two or more in 3.3 %.
#[test]
fn a_key_is_doubted_only_where_clearly_more_chose_another_option() {
    let doubted = |chosen, right| !drawn(chosen, right, 0.7, (3.0, 5.0)).is_empty();
    assert!(doubted(9, 2) && !doubted(9, 3) && !doubted(9, 9));
    let few = |chosen| {
        let mut own = question(1, [0, chosen, 3, 3, 3]);
        own.options[1].rest_among_answered = Some(0.9);
        told(20, vec![own])
    };
    let doubts = |all: Vec<Remark>| all.iter().any(|one| matches!(one, Remark::KeyDoubt { .. }));
    assert!(doubts(few(5)) && !doubts(few(4)));
}

#[test]
fn a_key_is_doubted_only_where_they_did_better_than_those_who_had_it_right() {
    let doubted = |means| !drawn(12, 3, 0.7, means).is_empty();
    assert!(doubted((4.0, 4.1)) && !doubted((4.0, 4.0)) && !doubted((4.1, 4.0)));
}

/// Where two options are accepted, the choosers of both did worse.
#[test]
fn a_key_of_two_options_is_doubted_only_where_both_did_worse() {
    let doubted = |other| {
        let mut own = question(1, [2, 12, 1, 3, 2]);
        own.right = Some(3);
        own.options[2].is_right = true;
        own.options[0].mean_rest = Some(3.0);
        own.options[2].mean_rest = Some(other);
        own.options[1].mean_rest = Some(5.0);
        own.options[1].rest_among_answered = Some(0.7);
        matches!(told(20, vec![own])[..], [Remark::KeyDoubt { .. }])
    };
    assert!(doubted(4.0) && !doubted(6.0));
}

/// Ten answered of twenty: with 8 degrees of freedom t = 2.896 leaves 1 % above it, r = 0.715.
#[test]
fn a_doubt_of_the_key_rests_on_those_who_answered() {
    let doubted = |rest| {
        let mut own = question(1, [1, 9, 0, 0, 0]);
        own.options[0].mean_rest = Some(3.0);
        own.options[1].mean_rest = Some(5.0);
        own.options[1].rest_among_answered = Some(rest);
        let doubt = |one: &Remark| matches!(one, Remark::KeyDoubt { .. });
        told(20, vec![own]).iter().any(doubt)
    };
    assert!(doubted(0.72) && !doubted(0.71));
}

/// With 18 degrees of freedom t = 2.878 leaves 0.5 % above it: r = 0.561.
#[test]
fn a_question_is_backwards_where_chance_shows_as_much_in_one_of_two_hundred_papers() {
    let backwards = |discrimination| {
        let own = QuestionFigures {
            discrimination: Some(discrimination),
            ..even(1)
        };
        told(20, vec![own]) == [Remark::Backwards(QuestionNo(1))]
    };
    assert!(backwards(-0.568) && !backwards(-0.555) && !backwards(0.9));
}

/// Nobody of 14 is right by blind guesses in 0.8^14 = 4.4 % of cases, of 13 in 5.5 %.
#[test]
fn below_guessing_is_against_the_options_of_the_question() {
    let below = |wrong: [usize; 4]| {
        let [b, c, d, e] = wrong;
        told(14, vec![question(1, [0, b, c, d, e])]).len()
    };
    assert_eq!((below([4, 4, 3, 3]), below([4, 3, 3, 3])), (1, 0));
}

/// Two questions are tested together: 4.4 % is more than half of 5 %, 0.8^17 = 2.3 % is less.
#[test]
fn questions_are_tested_together() {
    let two = |wrong: [usize; 4]| {
        let [b, c, d, e] = wrong;
        let own = |number| question(number, [0, b, c, d, e]);
        told(20, vec![own(1), own(2)]).len()
    };
    assert_eq!((two([4, 4, 3, 3]), two([5, 4, 4, 4])), (0, 2));
}

fn blank(number: u16, omitted: usize, not_reached: usize) -> QuestionFigures {
    QuestionFigures {
        blanks: Blanks {
            omitted,
            not_reached,
        },
        ..question(number, [20, 15, 15, 15, 15])
    }
}

/// Of 100 who would each leave it with a chance of one in ten, 16 or more do in 4.0 % of cases, 15 or more in 7.3 %.
#[test]
fn many_blanks_are_surely_more_than_one_in_ten_of_those_who_got_as_far() {
    let omitted = |count| told(103, vec![blank(1, count, 3)]).len();
    assert_eq!((omitted(16), omitted(15)), (1, 0));
}

#[test]
fn time_is_remarked_on_from_the_first_question_of_the_run_at_the_end() {
    let late = |from, first, end| Remark::NotReached {
        from: QuestionNo(from),
        first,
        last: QuestionNo(4),
        end,
    };
    let run = |missed: [usize; 4]| {
        let questions = (1..)
            .zip(missed)
            .map(|(number, missed)| blank(number, 0, missed));
        told(100, questions.collect())
    };
    assert_eq!(run([0, 3, 16, 40]), [late(3, 16, 40)]);
    assert_eq!(run([30, 15, 15, 16]), [late(4, 16, 16)]);
    assert_eq!(run([30, 30, 30, 15]), []);
}

/// atanh 0.2 = 0.2027; with 103 people the error is 0.1, and 1.645 of it lead down to 0.0382. With 30 people to -0.113.
#[test]
fn a_question_tells_little_where_it_is_surely_below_a_fifth_and_people_are_enough() {
    let tells_little = |people, discrimination| {
        let own = QuestionFigures {
            discrimination: Some(discrimination),
            ..even(1)
        };
        told(people, vec![own]) == [Remark::TellsLittle(QuestionNo(1))]
    };
    assert!(tells_little(103, 0.035) && !tells_little(103, 0.042));
    assert!(tells_little(30, -0.12) && !tells_little(30, -0.10) && !tells_little(29, -0.3));
}

/// 1.645 SDs of 0.1 with 200 people.
#[test]
fn a_misfit_is_judged_by_the_people_who_count_and_only_above_one() {
    let misfit = |group, people, infit| {
        let own = QuestionFigures {
            rasch: Some(Ok(ItemMeasure {
                difficulty: 0.0,
                error: 0.2,
                infit,
                outfit: 1.0,
                people,
            })),
            ..even(1)
        };
        told(group, vec![own]) == [Remark::Misfit(QuestionNo(1))]
    };
    assert!(misfit(210, 200, 1.167) && !misfit(210, 200, 1.162) && !misfit(210, 200, 0.5));
    assert!(!misfit(210, 50, 1.167));
    assert!(misfit(30, 30, 1.6) && !misfit(29, 29, 1.6));
}

/// Of 59 people nobody takes an option that one in twenty takes in 0.95^59 = 4.85 % of cases, of 58 in 5.1 %.
#[test]
fn an_option_is_idle_where_one_in_twenty_would_surely_have_shown() {
    let idle = |chosen| told(60, vec![question(1, chosen)]).len();
    assert_eq!((idle([35, 8, 8, 8, 0]), idle([34, 8, 8, 8, 0])), (1, 0));
    // Of 59 people 2.95 to each of four wrong options are 11.8 wrong answers.
    assert_eq!((idle([47, 4, 4, 4, 0]), idle([48, 4, 4, 3, 0])), (1, 0));
}

#[test]
fn a_void_question_has_no_remark() {
    let void = |void| {
        let own = QuestionFigures {
            void,
            discrimination: Some(-0.9),
            ..question(1, [1, 20, 20, 20, 19])
        };
        told(80, vec![own, even(2)]).len()
    };
    assert_eq!((void(None), void(Some(Void::Dropped))), (1, 0));
}

#[test]
fn five_are_told_the_most_pressing_first_and_the_others_counted() {
    let below = |number: u16| question(number, [6 - usize::from(number), 20, 20, 20, 20]);
    let mut questions: Vec<_> = (1..=5).map(below).collect();
    questions.push(QuestionFigures {
        discrimination: Some(-0.9),
        ..question(6, [20, 15, 15, 15, 15])
    });
    questions.push(blank(7, 0, 60));
    let found = remarks(&figures(80, questions));
    assert_eq!((found.told.len(), found.more), (5, 2));
    assert_eq!(found.told[0], Remark::Backwards(QuestionNo(6)));
    let rights = found.told[1..].iter().map(|one| match one {
        Remark::BelowGuessing { right, .. } => *right,
        _ => usize::MAX,
    });
    // The least likely by chance first.
    assert_eq!(rights.collect::<Vec<_>>(), [1, 2, 3, 4]);
}

#[test]
fn time_and_blanks_press_more_than_questions_that_tell_little_and_idle_options_least() {
    let little = QuestionFigures {
        discrimination: Some(0.0),
        ..even(1)
    };
    let idle = question(3, [35, 22, 23, 23, 0]);
    let found = told(103, vec![idle, little, blank(2, 30, 0), blank(4, 0, 40)]);
    assert!(
        matches!(
            found[..],
            [
                Remark::NotReached { .. },
                Remark::Omitted { .. },
                Remark::TellsLittle(_),
                Remark::NobodyChose(_)
            ]
        ),
        "{found:?}"
    );
}
