//! Keys and moments while the clock runs.

use std::collections::BTreeMap;

use crossterm::event::KeyCode;
use pacebell::dialogue::Act;
use pacebell::domain::event::{Ending, How};
use pacebell::domain::labels::Labels;
use pacebell::domain::mark::Mark;
use pacebell::domain::sitting::{Phase, RowState};
use pacebell::screens::sitting::{Ask, looked};
use ratatui::layout::Size;

use crate::bench::{Bench, Disk, q};

#[test]
fn letters_answer_the_open_question_and_nothing_moves_by_itself() {
    let mut bench = Bench::new();
    bench.keys("c");
    assert_eq!(bench.answer(1), Some('C'));
    assert_eq!(bench.sitting.open(), Some(q(1)));
    assert_eq!(bench.message(), "1: C.");
    bench.keys("E");
    assert_eq!(
        (bench.answer(1), bench.message()),
        (Some('E'), "1: E, was C.".into())
    );
    bench.keys("e");
    assert_eq!(bench.message(), "1: E already.");
    bench.keys("x");
    assert_eq!(bench.answer(1), Some('E'));
    assert_eq!(bench.message(), "There's no option X. Press A to E.");
    bench.keys("<back>");
    assert_eq!(
        (bench.answer(1), bench.message()),
        (None, "1 is blank again.".into())
    );
    bench.keys("<back>");
    assert_eq!(bench.message(), "1 has no answer to rub out.");
}

#[test]
fn a_question_with_labels_of_its_own_takes_only_those() {
    let mut bench = Bench::new();
    bench.keys("24<enter>c");
    assert_eq!(bench.answer(24), None);
    assert_eq!(bench.message(), "There's no option C. Press A to B.");
    bench.keys("b");
    assert_eq!(bench.answer(24), Some('B'));
    assert!(bench.line(">24").unwrap().starts_with(">24    A [B]     "));
}

#[test]
fn arrows_and_enter_move_and_the_ends_say_so() {
    let mut bench = Bench::new();
    bench.keys("<left>");
    assert_eq!(bench.message(), "This is the first question.");
    bench.keys("<right><enter><right><left>");
    assert_eq!(bench.sitting.open(), Some(q(3)));
    bench.keys("<end><right>");
    assert_eq!(bench.sitting.open(), Some(q(25)));
    assert_eq!(
        bench.message(),
        "This is the last question. / goes to the first blank, Home to question 1."
    );
    bench.keys("<home>a<end><enter><enter>");
    assert_eq!(bench.sitting.open(), Some(q(25)));
    bench.size = Size::new(60, 18);
    assert_eq!(
        bench.keys("<enter>").message(),
        "Last question. / goes to the first blank, Home to 1."
    );
    bench.keys("/");
    assert_eq!(bench.sitting.open(), Some(q(2)));
    bench.held(KeyCode::Down).held(KeyCode::Down);
    assert_eq!(
        bench.sitting.open(),
        Some(q(4)),
        "a held arrow goes on moving"
    );
    bench.held(KeyCode::Char('a'));
    assert_eq!(bench.answer(4), None, "a held letter is no second answer");
    for key in [KeyCode::Enter, KeyCode::Tab, KeyCode::Char(' ')] {
        bench.held(key);
    }
    assert_eq!(bench.sitting.open(), Some(q(4)));
    assert_eq!(bench.sitting.flags().count(), 0);
}

#[test]
fn a_jump_shows_its_digits_and_takes_no_letter_for_an_answer() {
    let mut bench = Bench::new();
    bench.keys("12");
    assert_eq!(
        bench.message(),
        "Go to question: 12_   Enter goes there, Esc cancels."
    );
    bench.keys("c");
    assert_eq!(
        bench.sitting.blanks().count(),
        25,
        "which question was meant is not clear"
    );
    assert_eq!(
        bench.message(),
        "12_   Press Enter to go to 12, or Esc to cancel."
    );
    bench.keys("<back>5<enter>");
    assert_eq!(bench.sitting.open(), Some(q(15)));
    bench.keys("99<enter>");
    assert_eq!(bench.sitting.open(), Some(q(15)));
    assert_eq!(
        bench.message().trim_start(),
        "There's no question 99. Type 1 to 25."
    );
    bench.keys("7<esc><enter>");
    assert_eq!(bench.sitting.open(), Some(q(16)), "the digits were dropped");
    bench.keys("99999999<enter>");
    assert_eq!(bench.message(), "There's no question 9999. Type 1 to 25.");
}

#[test]
fn where_labels_are_digits_they_answer_and_a_sign_comes_before_a_jump() {
    let digits = || Labels::new("12345").ok();
    let mut bench = Bench::with(|header| {
        header.paper.own_options = BTreeMap::from([(q(2), Labels::new("AB").unwrap())]);
        header.paper.options = digits().unwrap();
    });
    bench.keys("3");
    assert_eq!(
        (bench.answer(1), bench.message()),
        (Some('3'), "1: 3.".into())
    );
    bench.keys("7");
    assert_eq!(bench.message(), "There's no option 7. Press 1 to 5.");
    assert!(bench.line("#7 Enter go to 7").is_some());
    bench.keys("#");
    assert_eq!(
        bench.message(),
        "Go to question: _   Enter goes there, Esc cancels."
    );
    bench.keys("12<enter>");
    assert_eq!(
        (bench.sitting.open(), bench.answer(12)),
        (Some(q(12)), None)
    );
    bench.keys("#2<enter>");
    assert_eq!(bench.sitting.open(), Some(q(2)));
    bench.keys("12<enter>");
    assert_eq!(
        bench.sitting.open(),
        Some(q(12)),
        "on a question with letters digits jump"
    );
    bench.keys("#<enter>");
    assert_eq!(bench.message(), "Type a number first.");
}

#[test]
fn leaving_for_later_flags_and_blanks() {
    let mut bench = Bench::new();
    bench.keys(" ");
    assert_eq!(bench.sitting.rows()[0].state(), RowState::Skipped);
    assert_eq!(bench.sitting.open(), Some(q(2)));
    assert_eq!(bench.message(), "1 left for later.");
    bench.keys("a ");
    assert_eq!(bench.message(), "2 has its answer. Going on.");
    bench.keys("<tab>");
    assert_eq!(bench.message(), "Flag on 3.");
    assert!(bench.line("> 3").unwrap().contains('F'));
    assert_eq!(
        bench.line("Question 3").unwrap().split('│').nth(1),
        Some("Question 3  F flag")
    );
    bench.keys("<end>;");
    assert_eq!(bench.sitting.open(), Some(q(3)));
    bench.keys("<tab>;");
    assert_eq!(bench.message(), "No flags yet. Tab puts one up.");
    bench.keys("<end>/");
    assert_eq!(
        bench.sitting.open(),
        Some(q(1)),
        "after the last blank comes the first"
    );
    bench.keys("/");
    assert_eq!(bench.sitting.open(), Some(q(3)), "2 is answered");
}

#[test]
fn the_pupil_says_how_an_answer_was_come_by() {
    let mut bench = Bench::new();
    bench.keys("?");
    assert!(bench.line("Signs").is_some(), "help: nothing to mark");
    assert!(
        bench.text().contains("unsure, a guess; help if blank"),
        "the help says so: {}",
        bench.text()
    );
    bench.keys("<esc>b?");
    assert_eq!(bench.message(), "1: B, unsure. ? again: a guess.");
    assert!(bench.text().contains("? a guess"), "{}", bench.text());
    bench.keys("?");
    assert_eq!(bench.message(), "1: B, a guess. ? again: worked out.");
    assert!(bench.text().contains("? worked out"), "{}", bench.text());
    let how = |bench: &Bench| bench.sitting.rows()[0].in_time.map(|given| given.how);
    assert_eq!(how(&bench), Some(How::Guessed));
    assert!(
        bench
            .line("> 1")
            .unwrap()
            .starts_with("> 1    A [B] C  D  E  ??")
    );
    assert!(bench.line("Your answer: B, a guess").is_some());
    bench.keys("?");
    assert_eq!(
        (how(&bench), bench.message()),
        (
            Some(How::Worked),
            "1: B, worked out. ? again: unsure.".into()
        )
    );
    bench.keys("-");
    assert_eq!(
        (bench.answer(1), bench.message()),
        (None, "1 is blank again.".into())
    );
}

#[test]
fn on_a_printed_paper_a_letter_waits_for_a_number() {
    let mut bench = Bench::printed();
    assert_eq!(bench.sitting.open(), None);
    bench.keys("c");
    assert_eq!(
        bench.message(),
        "Which question? Type its number, then Enter."
    );
    bench.keys("7<enter>c");
    assert_eq!(bench.answer(7), Some('C'));
}

#[test]
fn two_different_keys_finish_or_give_up() {
    let mut bench = Bench::new();
    bench.keys("<esc>f<enter>");
    assert_eq!(bench.message(), "Type y first, then press Enter.");
    bench.keys("x");
    assert!(bench.message().starts_with("x does nothing here."));
    bench.keys("yx");
    assert!(
        bench.line("Question 1").is_some(),
        "any other key goes back"
    );
    bench.keys("<esc>fg");
    assert_eq!(bench.sitting.open(), Some(q(1)));
    bench.keys("<esc>fy<enter>");
    assert_eq!(bench.sitting.phase(), Phase::Closed(Ending::FinishedEarly));
    bench.keys("<enter>x");
    assert_eq!(bench.asked, [], "its result is another page's");
    let mut bench = Bench::new();
    bench.keys("<esc>q");
    assert!(bench.line("it won't count.").is_some());
    // The menu's key for later works here as well.
    bench.keys("l");
    assert!(bench.line("Leave now and carry on later?").is_some());
    bench.keys("<esc><esc>qy<enter>");
    assert_eq!(bench.sitting.phase(), Phase::Closed(Ending::Abandoned));
}

fn leave() -> Ask {
    Ask::Acts(vec![Act::Leave])
}

#[test]
fn ctrl_c_asks_and_says_what_becomes_of_the_time_and_ctrl_z_is_explained() {
    let mut bench = Bench::new();
    bench.control('c');
    assert!(bench.line("Leave now and carry on later?").is_some());
    let clock = "The clock keeps running while you're away.";
    assert!(bench.line(clock).is_some(), "no rest breaks, no break");
    bench.control('c').control('c');
    bench.keys("<enter>y<esc>");
    assert_eq!(bench.asked, [], "a letter, then Enter, and nothing else");
    bench.control('c').keys("y<enter>");
    assert_eq!(bench.asked, [leave()]);
    let mut rests = Bench::with(|header| header.arrangements.rest_breaks = true);
    rests.control('c');
    assert!(rests.line("Leaving is a rest break").is_some());
    bench.control('z');
    assert!(bench.message().starts_with("Ctrl-Z doesn't work here"));
    bench.control('l');
    assert_eq!(bench.asked, [leave(), Ask::Redraw]);
    bench.control('a');
    assert_eq!(
        bench.message(),
        "Ctrl-a does nothing here. F1 shows the keys."
    );
    bench.model.pasted();
    assert_eq!(
        bench.message(),
        "You can't paste here. Press the keys yourself."
    );
}

#[test]
fn a_rest_break_hides_the_questions_where_it_was_arranged() {
    let mut bench = Bench::new();
    bench.keys("<esc>b");
    assert_eq!(bench.sitting.phase(), Phase::Running);
    assert!(
        bench.line("Rest break").is_none(),
        "not arranged, not offered"
    );
    let mut bench = Bench::with(|header| header.arrangements.rest_breaks = true);
    bench.at(600).keys("<esc>b");
    assert_eq!(bench.sitting.phase(), Phase::OnBreak);
    assert!(bench.line("ferry").is_none() && bench.line("[").is_none());
    bench.at(900).keys("ab ");
    assert_eq!(bench.message(), "Enter ends the break.");
    assert!(
        bench
            .line("The clock is stopped with 50 minutes left.")
            .is_some()
    );
    bench.keys("<enter>");
    assert_eq!(bench.sitting.phase(), Phase::Running);
    assert!(bench.line("ferry").is_some());
}

#[test]
fn what_is_not_on_the_disk_has_a_sign_until_it_is() {
    let mut bench = Bench::new();
    bench.keys("b");
    bench.disk = Disk::Slow;
    bench.unsaved.insert(q(1));
    assert!(
        bench
            .line("> 1")
            .unwrap()
            .starts_with("> 1    A [B] C  D  E     '")
    );
    assert!(bench.line("Your answer: B  ' not saved yet").is_some());
    assert!(bench.line("saving").is_some());
    bench.unsaved.clear();
    assert!(bench.line("'").is_none());
    assert!(
        bench.line("saving").is_some(),
        "flags and moves are on their way too"
    );
    bench.disk = Disk::Fine;
    assert!(bench.line("saved").is_some());
    bench.keys("<f2>");
    assert_eq!(bench.asked, [], "no trouble, no other place");
    bench.disk = Disk::Broken;
    bench.keys("<f2><f3>c");
    assert_eq!(bench.asked, [Ask::SaveElsewhere, Ask::TryAgain]);
    assert_eq!(bench.answer(1), Some('C'), "answers go on being taken");
    bench.disk = Disk::BrokenWithNowhereElse;
    bench.keys("<f2>");
    assert_eq!(
        bench.message(),
        "There's nowhere else to save. Tell your tutor."
    );
    assert_eq!(bench.asked.len(), 2);
}

#[test]
fn a_long_question_scrolls_to_its_end_and_no_further() {
    let mut bench = Bench::new();
    bench.keys("<down>");
    assert_eq!(bench.message(), "Everything already fits on the page.");
    bench.keys("4<enter>");
    assert!(bench.line("Down: more below").is_some());
    bench.keys("e");
    assert_eq!(bench.answer(4), None);
    assert_eq!(
        bench.message(),
        "You haven't seen E yet: Down shows it. Press E again to choose it."
    );
    bench.keys("e");
    assert_eq!(bench.answer(4), Some('E'), "it asks once");
    bench.arrow(KeyCode::Down);
    assert_eq!(bench.sitting.open(), Some(q(4)), "it reads on first");
    assert!(bench.line("[E] 4 seconds").is_some());
    bench.keys("d");
    assert_eq!(
        bench.answer(4),
        Some('D'),
        "what was on the page counts at once"
    );
    bench.arrow(KeyCode::Down);
    assert_eq!(bench.sitting.open(), Some(q(5)), "then it moves on");
    bench.keys("<left>");
    assert!(
        bench.line("Down: more below").is_some(),
        "a question opened anew begins at its top"
    );
    bench
        .arrow(KeyCode::Down)
        .arrow(KeyCode::Up)
        .arrow(KeyCode::Up);
    assert_eq!(
        bench.sitting.open(),
        Some(q(3)),
        "as many keys back as forth"
    );
}

#[test]
fn options_are_crossed_out_and_back() {
    let mut bench = Bench::new();
    bench.keys(",");
    assert_eq!(bench.message(), "Cross out which? Type A to E, or Esc.");
    bench.keys("c");
    assert_eq!(bench.message(), "1: C crossed out, 4 left.");
    assert!(bench.line("out ").is_some());
    assert!(
        bench
            .line("> 1 o")
            .unwrap()
            .starts_with("> 1 o  A  B     D  E")
    );
    assert_eq!(bench.answer(1), None, "the letter answered nothing");
    bench.keys("C");
    assert_eq!(
        (bench.answer(1), bench.message()),
        (Some('C'), "1: C. You had crossed it out.".into()),
        "capitals are letters"
    );
    bench.keys(",c");
    assert_eq!(bench.message(), "1: C is back, 5 left.");
    bench.keys(",<esc>b");
    assert_eq!(bench.answer(1), Some('B'), "Esc drops it");
    bench.keys(",x");
    assert_eq!(
        bench.message(),
        "There's no option X. Cross out which? Type A to E, or Esc."
    );
    bench.keys("<esc>,b");
    assert_eq!(
        bench.message(),
        "1: B is crossed out, but still your answer. - rubs it out."
    );
    assert!(bench.line("Your answer: B, crossed out").is_some());
    bench.keys("?");
    assert!(bench.line("Your answer: B, unsure, crossed out").is_some());
    bench.keys("-");
    assert_eq!(bench.answer(1), None);
    bench.keys("<esc><esc>2<enter>,a<enter>");
    let row = bench.sitting.row(q(2)).unwrap();
    assert_eq!(row.crossed.len(), 1);
}

#[test]
fn a_keyboard_of_another_alphabet_is_told_of() {
    let mut bench = Bench::new();
    for key in ["с", "ψ", "ש"] {
        bench.keys(key);
        assert_eq!(
            bench.message(),
            "The keyboard is set to another alphabet. Switch it to Latin letters."
        );
    }
    bench.keys("<esc>ф");
    assert!(bench.message().contains("another alphabet"));
    bench.keys("<esc>é");
    assert_eq!(bench.message(), "There's no option É. Press A to E.");
}

#[test]
fn the_sweep_logs_every_letter_as_a_guess() {
    let mut bench = Bench::new();
    bench.keys("a<right>b?<right>!");
    let band = "Sweep: 23 blanks left. A letter each, every one a guess.";
    assert!(bench.line(band).is_some());
    bench.keys("cdd<enter>");
    let how = |bench: &Bench, n| {
        bench
            .sitting
            .row(q(n))
            .unwrap()
            .in_time
            .map(|given| given.how)
    };
    assert_eq!(how(&bench, 3), Some(How::Guessed));
    assert_eq!(how(&bench, 1), Some(How::Worked));
    assert_eq!(how(&bench, 5), None, "passed by");
    assert!(bench.line("A to E guess, logged as a guess").is_some());
    assert!(bench.line("Sweep: 21 blanks left.").is_some());
    // The same letter within 80 ms is a held key.
    bench.hold(KeyCode::Char('a'), 20);
    assert_eq!(bench.sitting.blanks().count(), 20);
    bench.keys("!");
    assert!(!bench.sitting.is_sweeping());
    bench.keys("e");
    let open = bench.sitting.open().unwrap().0;
    assert_eq!(how(&bench, open), Some(How::Worked), "no sweep any more");
    // Finishing early with blanks offers it.
    bench.keys("<esc>f!");
    assert!(bench.sitting.is_sweeping());
}

#[test]
fn the_sweep_goes_on_behind_a_rest_break() {
    let mut bench = Bench::with(|header| header.arrangements.rest_breaks = true);
    bench.keys("!<esc>b<enter>");
    assert!(bench.line("Sweep: 25 blanks left.").is_some());
    bench.keys("a");
    assert_eq!(bench.message(), "1: A, a guess.");
    assert_eq!(bench.sitting.open(), Some(q(2)));
}

/// 1 to 10 lose nothing; from 11 on a wrong answer loses 3 of 8 marks, and 24 has two options.
fn losing() -> Bench {
    Bench::with(|header| {
        let second = &mut header.paper.rule.sections[1];
        second.right = Mark::whole(8);
        second.wrong = Mark::whole(-3);
    })
}

#[test]
fn the_sweep_says_what_a_guess_on_the_open_question_is_worth() {
    let mut bench = losing();
    bench.keys("<esc>f");
    // 10 times 4/5, and (8 - 3) / 2 for the question with two options.
    let sum = "On average 11 guesses gain about 10.5 marks; 14 lose marks.";
    assert!(bench.line(sum).is_some(), "{}", bench.text());
    bench.keys("!");
    let gains = "On average a guess here brings about 0.8 marks.";
    assert!(bench.line(gains).is_some(), "{}", bench.text());
    // A letter whose words were not on the page is asked for twice.
    for _ in 0..20 {
        if bench.sitting.open() < Some(q(11)) {
            bench.keys("a");
        }
    }
    assert_eq!(bench.sitting.open(), Some(q(11)));
    let loses = "A blind guess loses marks here on average. First cross out 2 options.";
    assert!(bench.line(loses).is_some(), "{}", bench.text());
    let band = "Sweep: 15 blanks left. Every letter is a guess. Enter passes on.";
    assert!(bench.line(band).is_some(), "{}", bench.text());
    bench.size = Size::new(120, 40);
    let whole = "On average a blind guess loses marks here. \
                 Guess only once you can cross out 2 options.";
    assert!(bench.line(whole).is_some(), "{}", bench.text());
    bench.keys(",a,b");
    // (8 - 3 - 3) / 3
    let gains = "On average a guess here brings about 0.7 marks.";
    assert!(bench.line(gains).is_some(), "{}", bench.text());
}

#[test]
fn any_other_key_drops_a_yes_that_was_typed() {
    for asks in ["<esc>f", "<esc>q", "<esc>l"] {
        for between in ["k", "<f1>", "<f3>", "="] {
            let mut bench = Bench::new();
            bench.keys(&format!("{asks}y{between}<enter>"));
            assert_eq!(bench.sitting.phase(), Phase::Running, "{asks} {between}");
            assert_eq!(bench.asked, [], "{asks} {between}");
            bench.keys(asks).keys("y<enter>");
            let done = bench.sitting.is_closed() || !bench.asked.is_empty();
            assert!(done, "{asks} {between}");
        }
    }
    for asks in ["*", "<esc>f", "<esc>l"] {
        let mut bench = Bench::new();
        bench.at(3600).keys(&format!("g<enter>{asks}yk<enter>"));
        assert_eq!(bench.sitting.phase(), Phase::GuessRound, "{asks}");
        assert_eq!(bench.sitting.blanks().count(), 25, "{asks}");
        assert_eq!(bench.asked, [], "{asks}");
    }
}

#[test]
fn a_number_goes_to_a_blank_in_the_guess_round_and_in_the_sweep() {
    let mut bench = Bench::new();
    bench.keys("!12<enter>").keys("<esc><esc>");
    assert_eq!(bench.sitting.open(), Some(q(12)));
    bench.keys("a").at(3600).keys("g<enter>15");
    assert_eq!(
        bench.message(),
        "Go to question: 15_   Enter goes there, Esc cancels."
    );
    bench.keys("c");
    assert_eq!(bench.sitting.blanks().count(), 24, "no letter answers");
    bench.keys("<enter>");
    assert_eq!(bench.sitting.open(), Some(q(15)));
    bench.keys("12<enter>");
    assert_eq!(bench.sitting.open(), Some(q(15)), "12 has its answer");
    assert!(bench.line("Esc then F finish").is_some());
}

#[test]
fn names_of_keys_never_run_into_what_they_do() {
    for size in [(60, 18), (80, 24), (120, 40)] {
        let mut bench = Bench::new();
        bench.size = size.into();
        bench.keys("!<f1>");
        let text = bench.text();
        assert!(
            text.contains("Enter, Right,  pass on to the next"),
            "{text}"
        );
        assert!(!text.contains("/pass"), "{text}");
    }
}

#[test]
fn a_sign_that_does_nothing_is_not_called_an_option() {
    let mut bench = Bench::new();
    bench.keys("*");
    assert_eq!(bench.message(), "* does nothing here. F1 shows the keys.");
    bench.keys("x");
    assert_eq!(bench.message(), "There's no option X. Press A to E.");
    assert_eq!(bench.answer(1), None);
}

#[test]
fn after_time_up_a_glance_names_no_question_that_may_be_locked() {
    let mut bench = Bench::new();
    bench.keys("=");
    assert!(bench.text().contains("7 Enter go to 7"), "{}", bench.text());
    let mut bench = Bench::new();
    bench.at(3600).keys("g<enter>=");
    assert!(
        bench.text().contains("number, Enter go to a blank"),
        "{}",
        bench.text()
    );
    assert!(!bench.text().contains("go to 7"), "{}", bench.text());
}

#[test]
fn a_number_at_a_glance_goes_to_that_question() {
    for (width, height) in [(60, 18), (80, 24), (120, 40)] {
        let mut bench = Bench::new();
        bench.size = Size::new(width, height);
        bench.keys("=1");
        assert!(bench.line("All questions:").is_some());
        assert!(
            bench
                .message()
                .trim_start()
                .starts_with("Go to question: 1_"),
            "{}",
            bench.text()
        );
        bench.keys("7x9<back><enter>");
        assert_eq!(bench.sitting.open(), Some(q(17)));
        assert!(bench.line("All questions:").is_none());
        // A number that is none stays there, and Esc drops a number before it goes back.
        bench.keys("=99<enter>");
        assert_eq!(
            bench.message().trim_start(),
            "There's no question 99. Type 1 to 25."
        );
        assert!(bench.line("All questions:").is_some());
        bench.keys("3<esc><enter>");
        assert!(bench.line("All questions:").is_none());
        assert_eq!(bench.sitting.open(), Some(q(17)));
    }
}

#[test]
fn in_a_window_too_small_an_option_nobody_has_seen_asks_once_as_well() {
    let mut bench = Bench::new();
    bench.size = Size::new(40, 10);
    bench.keys("c");
    assert_eq!(bench.answer(1), None);
    let asks = "You haven't seen C yet. Press C again";
    assert!(bench.text().contains(asks), "{}", bench.text());
    bench.keys("c");
    assert_eq!(bench.answer(1), Some('C'));
    assert!(bench.text().contains("Question 1: C"));
    // What was on the page before counts at once.
    bench.size = Size::new(80, 24);
    bench.keys("<right><left><right>");
    bench.size = Size::new(40, 10);
    bench.keys("d");
    assert_eq!(bench.answer(2), Some('D'));
    // Nor does what was on it when the window was made small ask.
    let mut shrunk = Bench::new();
    let mut model = shrunk.model.clone();
    looked(&mut model, &shrunk.desk());
    shrunk.model = model;
    shrunk.size = Size::new(40, 10);
    shrunk.keys("e");
    assert_eq!(shrunk.answer(1), Some('E'));
    let mut printed = Bench::printed();
    printed.size = Size::new(40, 10);
    printed.keys("1<enter>b");
    assert_eq!(printed.answer(1), Some('B'), "its options are on paper");
}
