//! Time up and the guess round.

use crossterm::event::KeyCode;
use pacebell::domain::event::{Ending, How};
use pacebell::domain::mark::Mark;
use pacebell::domain::sitting::Phase;

use crate::bench::{Bench, q};

/// Time is up with 3, 9 and 24 blank.
fn time_up() -> Bench {
    let mut bench = Bench::new();
    for number in 1..=25 {
        let key = if [3, 9, 24].contains(&number) {
            "<right>"
        } else {
            "aa<right>"
        };
        bench.keys(key);
    }
    bench.at(3600);
    bench
}

#[test]
fn time_up_shows_the_blanks_whatever_lay_on_top() {
    for before in ["", "<esc>", "<esc>fy", "<f1>", "12"] {
        let mut bench = Bench::new();
        bench.keys(before);
        bench.at(3600);
        assert!(bench.line("Time's up.").is_some(), "{before}");
        assert!(bench.line("25 blanks: 1 to 25.").is_some(), "{before}");
        assert!(bench.line("A wrong answer costs nothing: guess.").is_some());
        bench.keys("<enter>");
        assert_eq!(bench.sitting.phase(), Phase::TimeUp, "{before}");
        bench.keys("g<enter>");
        assert_eq!(bench.sitting.phase(), Phase::GuessRound, "{before}");
    }
}

#[test]
fn nothing_typed_in_the_first_second_counts() {
    use pacebell::domain::time::Elapsed;
    for late in [0, 40, 999] {
        let mut bench = Bench::new();
        bench.at(3600);
        bench.at = Elapsed(3_600_000 + late);
        bench.keys_at_once("g<enter>c");
        assert_eq!(bench.sitting.phase(), Phase::TimeUp, "{late}");
        assert_eq!(bench.sitting.blanks().count(), 25);
        bench.at = Elapsed(3_601_000);
        bench.keys_at_once("g<enter>");
        assert_eq!(bench.sitting.phase(), Phase::GuessRound, "{late}");
    }
}

#[test]
fn pens_are_put_down_where_there_were_pens() {
    let mut printed = Bench::printed();
    printed.at(3600);
    assert!(printed.line("Time's up. Pens down.").is_some());
}

#[test]
fn an_answer_after_time_is_refused_and_says_so() {
    let mut bench = Bench::new();
    bench.at = pacebell::domain::time::Elapsed::seconds(3601);
    bench.keys("a");
    assert_eq!(bench.answer(1), None);
    assert_eq!(
        bench.message(),
        "That came as time ran out, so it doesn't count."
    );
}

#[test]
fn only_the_blanks_are_guessed_one_after_another() {
    let mut bench = time_up();
    assert!(bench.line("3 blanks: 3, 9 and 24.").is_some());
    assert!(
        bench
            .line("Your last answer in time: question 25, A.")
            .is_some()
    );
    bench.keys("g<enter>");
    assert_eq!(bench.sitting.open(), Some(q(3)));
    assert!(bench.line("ferry carries 3 cars").is_some());
    assert!(
        bench.line("  4 ").is_none(),
        "what has its answer is not on the sheet"
    );
    bench.keys("b");
    assert_eq!(
        (bench.answer(3), bench.sitting.open()),
        (Some('B'), Some(q(9)))
    );
    bench.keys(" ");
    assert_eq!(bench.sitting.open(), Some(q(24)));
    bench.keys("c");
    assert_eq!(bench.message(), "There's no option C. Press A to B.");
    bench.keys("b");
    assert_eq!(
        bench.sitting.open(),
        Some(q(9)),
        "back to what was passed by"
    );
    bench.keys("<left><back>");
    assert_eq!(
        (bench.answer(3), bench.message()),
        (None, "3 is blank again.".into())
    );
    bench.keys("*");
    assert_eq!(bench.sitting.blanks().count(), 2, "one key fills nothing");
    assert!(bench.line("Fill 2 blanks at random?").is_some());
    bench.keys("y<esc>");
    assert_eq!(bench.message(), "Nothing was filled.");
    bench.keys("*<enter><enter>y<right>");
    assert_eq!(
        bench.sitting.blanks().count(),
        2,
        "a letter, then Enter, and nothing else"
    );
    bench.keys("*y<enter>");
    assert_eq!(bench.sitting.blanks().count(), 0);
    assert!(
        bench
            .line("No blanks left. A letter changes one.")
            .is_some()
    );
    let how = |number| bench.sitting.row(q(number)).and_then(|row| row.after_time);
    assert_eq!(how(24).map(|given| given.how), Some(How::Guessed));
    assert_eq!(how(9).map(|given| given.how), Some(How::Filled));
    bench.keys("<esc>f");
    assert!(bench.line("Finish the guess round?").is_some());
    bench.keys("y<enter>");
    assert_eq!(bench.sitting.phase(), Phase::Closed(Ending::GuessRoundDone));
}

#[test]
fn one_key_takes_all_the_fills_back_and_leaves_the_guesses() {
    let mut bench = time_up();
    bench.keys("g<enter>b*y<enter>");
    assert!(bench.line("* undo the filling").is_some());
    bench.keys("*");
    assert_eq!(bench.message(), "The random answers are taken out again.");
    let blanks: Vec<_> = bench.sitting.blanks().collect();
    assert_eq!((blanks, bench.answer(3)), (vec![q(9), q(24)], Some('B')));
    // With guesses only, there is nothing to take back.
    let mut guessed = time_up();
    guessed.keys("g<enter>bbb*");
    assert_eq!(
        guessed.message(),
        "Nothing is blank, and nothing was filled at random."
    );
    assert_eq!(guessed.sitting.blanks().count(), 0);
}

/// Time is up with everything blank; from 11 on a blind guess loses marks on average (five options,
/// 5 right and -2 wrong: 5/5 - 2 * 4/5 = -3/5, by hand; with two options crossed out 5/3 - 2 * 2/3 =
/// 1/3).
fn losing() -> Bench {
    let mut bench = Bench::with(|header| {
        header.paper.rule.sections[1].wrong = Mark::whole(-2);
    });
    bench.at(3600).keys("g<enter>");
    bench
}

#[test]
fn no_blank_is_filled_at_random_where_a_guess_loses_marks() {
    let mut bench = losing();
    bench.keys("*");
    // 24 has two options: 5/2 - 2/2 gains.
    assert!(bench.line("Fill 11 blanks at random?").is_some());
    let stay = "14 stay blank: a guess there loses marks on average.";
    assert!(bench.line(stay).is_some(), "{}", bench.text());
    bench.keys("y<enter>");
    let blanks: Vec<_> = bench.sitting.blanks().collect();
    let stays: Vec<_> = (11..=25).filter(|number| *number != 24).map(q).collect();
    assert_eq!(blanks, stays);
    bench.keys("*");
    assert_eq!(bench.message(), "The random answers are taken out again.");
    // Nothing that gains is left, and nothing was filled.
    while bench.sitting.blanks().any(|blank| blank <= q(10)) {
        bench.keys("a");
    }
    bench.keys("24<enter>b*");
    assert_eq!(
        bench.message(),
        "On average a guess loses marks on every blank left, so none is filled."
    );
    assert!(bench.line("fill the rest").is_none());
    // Crossing options out makes a guess worth it, and by hand every blank can be guessed.
    bench.keys("11<enter>,a,b*");
    assert!(bench.line("Fill 1 blank at random?").is_some());
    bench.keys("<esc>c");
    assert_eq!(bench.answer(11), Some('C'));
}

#[test]
fn the_line_above_is_about_the_open_question() {
    let mut bench = losing();
    let brings = "On average a guess here brings about 0.8 marks.";
    assert!(bench.line(brings).is_some(), "{}", bench.text());
    bench.keys("12<enter>");
    let loses = "A blind guess loses marks here on average. First cross out 2 options.";
    assert!(bench.line(loses).is_some(), "{}", bench.text());
    let lines = bench.text().lines().count();
    bench.keys("24<enter>");
    assert_eq!(bench.text().lines().count(), lines);
    assert!(bench.line("brings about 1.5 marks").is_some());
}

#[test]
fn a_held_letter_guesses_one_blank() {
    let mut bench = time_up();
    bench.keys("g<enter>").hold(KeyCode::Char('b'), 30);
    assert_eq!((bench.answer(3), bench.answer(9)), (Some('B'), None));
}

#[test]
fn what_was_opened_in_the_guess_round_has_its_sign() {
    let mut bench = Bench::new();
    bench.at(3600).keys("g<enter>");
    let row = |bench: &Bench, start: &str| bench.line(start).unwrap().chars().nth(4);
    assert_eq!(row(&bench, ">"), Some('o'));
    bench.keys(" ");
    assert_eq!(row(&bench, "> 2"), Some('o'), "the open one");
    assert!(bench.line("  1 o").is_some(), "the one before");
    assert!(bench.line("  5 o").is_none(), "not opened");
}

#[test]
fn ending_with_blanks_left_asks_once() {
    let mut bench = time_up();
    bench.keys("g<enter>b<esc>f");
    assert!(bench.line("Finish with blanks left?").is_some());
    bench.keys("<enter><enter>");
    assert_eq!(
        bench.sitting.phase(),
        Phase::GuessRound,
        "Enter held down does not end it"
    );
    bench.keys("g");
    assert_eq!(bench.sitting.open(), Some(q(9)));
    bench.keys("<esc>fy<enter>");
    assert_eq!(bench.sitting.phase(), Phase::Closed(Ending::GuessRoundDone));
    assert_eq!((bench.answer(3), bench.answer(9)), (Some('B'), None));
}

#[test]
fn blanks_can_be_left_in_two_steps_without_a_guess_round() {
    let mut bench = time_up();
    bench.keys("fff");
    assert_eq!(bench.sitting.phase(), Phase::TimeUp);
    bench.keys("<esc>f<enter>");
    assert_eq!(bench.sitting.phase(), Phase::Closed(Ending::GuessRoundDone));
}

#[test]
fn without_blanks_time_up_is_the_end() {
    let mut bench = time_up();
    let mut full = Bench::new();
    for _ in 1..=25 {
        full.keys("aa<right>");
    }
    full.at(3600).keys("x");
    assert_eq!(
        full.message(),
        "Answers are locked now. F, then Enter, finishes."
    );
    assert!(full.line("Every question has an answer.").is_some());
    full.keys("<enter><enter>");
    assert_eq!(full.sitting.phase(), Phase::TimeUp, "Enter alone does not");
    full.keys("f<esc><enter>fff");
    assert_eq!(full.sitting.phase(), Phase::TimeUp);
    full.keys("<enter>");
    assert_eq!(full.sitting.phase(), Phase::Closed(Ending::TimeUp));
    bench.keys("x");
    assert_eq!(
        bench.message(),
        "Answers are locked now. G, then Enter, guesses the blanks."
    );
}

#[test]
fn leaving_after_time_says_once_that_the_answers_are_safe() {
    let mut bench = time_up();
    bench.keys("g<enter><esc>l");
    let text = bench.text();
    assert!(text.contains("Your answers in time are locked and safe."));
    assert!(!text.contains("Your answers are kept."), "{text}");
}

#[test]
fn all_questions_at_a_glance_say_what_a_letter_is() {
    let mut bench = Bench::new();
    bench.keys("aa=");
    let text = bench.text();
    assert!(
        text.contains("A letter beside a number is your answer."),
        "{text}"
    );
    assert!(
        !text.contains("[C] chosen"),
        "no letter has brackets here: {text}"
    );
}
