//! The sitting line by line, as scripts of moments and typed lines.

#![cfg(test)]

#[path = "plain_lines/desk.rs"]
mod desk;
#[path = "plain_lines/endings.rs"]
mod endings;
#[path = "common/papers.rs"]
mod papers;
#[path = "common/sat.rs"]
mod sat;

use chrono::NaiveDate;
use pacebell::dialogue::Act;
use pacebell::domain::event::{Ending, Event, How};
use pacebell::domain::header::{Alias, Arrangements, Checkpoint, PacePlan};
use pacebell::domain::mark::Mark;
use pacebell::domain::questions::QuestionList;
use pacebell::domain::rule::QuestionNo;
use pacebell::domain::sitting::Command;
use pacebell::domain::time::Elapsed;
use pacebell::plain::{BeforeStart, Plain, before_start, read_out_lines, result_lines};
use pacebell::words::instructions::OwnAims;
use pacebell::words::result::{Done, Ended};

use desk::{Desk, paper, scene};

/// Everything that was typed and said in a sitting with all there is in it.
fn whole_sitting() -> Desk {
    let mut desk = Desk::new("ABCDE");
    for (seconds, line) in [
        (10, "c"),
        (12, "unsure"),
        (14, ""),
        (60, " "),
        (70, "flag"),
        (80, "B"),
        (81, "d"),
        (82, "?"),
        (83, "?"),
        (84, "x"),
        (85, "hello"),
        (90, "break"),
        (100, "c"),
        (101, "time"),
        (200, "back"),
        (210, "#2"),
        (220, "9"),
        (230, "rub"),
        (231, "time"),
    ] {
        desk.types(seconds, line);
    }
    desk.wakes(350); // 4 minutes used: the break took 110 seconds
    for (seconds, line) in [
        (360, "5"),
        (370, "e"),
        (375, ""),
        (376, "next blank"),
        (380, "finish"),
        (385, "blanks"),
        (390, "sheet"),
    ] {
        desk.types(seconds, line);
    }
    desk.wakes(650);
    desk.wakes(710);
    for (seconds, line) in [
        (710, "finish"),
        (712, "a"),
        (720, "guess"),
        (730, "b"),
        (735, "finish"),
        (740, "fill"),
        (741, "y"),
        (750, "finish"),
        (751, "y"),
        (760, ""),
    ] {
        desk.types(seconds, line);
    }
    desk
}

#[test]
fn a_whole_sitting_is_heard_line_by_line() {
    let desk = whole_sitting();
    insta::assert_snapshot!("whole-sitting", desk.heard);
    assert_eq!(desk.answers(), "CBDAE");
    assert!(desk.sitting.is_closed() && desk.left);
}

#[test]
fn nothing_said_moves_a_cursor_draws_a_line_or_hurts() {
    let mut desk = whole_sitting();
    desk.types(800, "help");
    for seconds in [1, 700] {
        let mut helped = Desk::new("ABCDE");
        helped.types(seconds, "help");
        helped.types(seconds, "help");
        desk.heard.push_str(&helped.heard);
    }
    let drawn = |c: char| (c.is_control() && c != '\n') || ('\u{2500}'..='\u{259f}').contains(&c);
    assert_eq!(desk.heard.chars().find(|c| drawn(*c)), None);
    let said = desk.heard.to_lowercase();
    for word in ["fail", "careless", "weak", "ability", "streak", "points"] {
        assert!(!said.contains(word), "{word}");
    }
}

#[test]
fn a_sign_behind_a_label_says_how_it_was_come_by() {
    let mut desk = Desk::new("ABCDE");
    let how = |desk: &Desk| desk.sitting.rows()[0].in_time.map(|given| given.how);
    assert_eq!(desk.types(1, "b?"), "Question 1: B, unsure.\n");
    assert_eq!(how(&desk), Some(How::Unsure));
    assert_eq!(
        desk.types(2, "C ??"),
        "Question 1: C, a guess. No longer B.\n"
    );
    assert_eq!(how(&desk), Some(How::Guessed));
    assert_eq!(desk.types(3, "c?"), "Question 1: C as before, unsure.\n");
    assert_eq!(how(&desk), Some(How::Unsure));
    assert!(desk.types(4, "?").contains("a guess"), "the next in turn");
    assert!(desk.types(5, "x?").contains("one of the words"));
    desk.types(6, "c???");
    assert_eq!(how(&desk), Some(How::Worked));
    assert_eq!(desk.answers(), "C----");
    assert_eq!(desk.types(7, "-"), "Question 1: answer rubbed out.\n");
    let help = "read these words";
    assert!(desk.types(8, "?").contains(help), "nothing to mark");
    assert_eq!(desk.answers(), "-----");
}

#[test]
fn a_label_behind_a_number_answers_that_question() {
    let mut desk = Desk::new("ABCDE");
    assert_eq!(
        desk.types(1, "4b"),
        "Question 4: B.\nQuestion 4 is open now.\n"
    );
    assert_eq!(
        desk.types(2, "2 c?"),
        "Question 2: C, unsure.\nQuestion 2 is open now.\n"
    );
    assert_eq!(
        desk.types(3, "5 D ??"),
        "Question 5: D, a guess.\nQuestion 5 is open now.\n"
    );
    assert_eq!(
        desk.types(3, "5e"),
        "Question 5: E, a guess. No longer D.\n"
    );
    assert_eq!(
        desk.types(3, "5d"),
        "Question 5: D, a guess. No longer E.\n"
    );
    assert_eq!(desk.answers(), "-C-BD");
    let none = "There's no such question. This sitting has questions 1 to 5.\n";
    assert_eq!(desk.types(4, "9b"), none);
    assert_eq!(desk.types(4, "22a"), none);
    assert_eq!(
        desk.types(4, "3x"),
        "There's no such option. Type A to E.\n"
    );
    for (line, word) in [("3 flag", "flag"), ("3?", "unsure"), ("3 ??", "guess")] {
        let said = format!("To go to question 3, type 3 alone. Then type {word}.\n");
        assert_eq!(desk.types(4, line), said, "{line}");
    }
    assert!(desk.types(4, "3 herons").contains("one of the words"));
    assert_eq!(desk.answers(), "-C-BD");
    assert!(desk.types(5, "back").starts_with("Question 4 of 5"));
    assert!(desk.types(6, "next").starts_with("Question 5 of 5"));
    let mut digits = Desk::new("12345");
    assert_eq!(
        digits.types(1, "#4 2"),
        "Question 4: 2.\nQuestion 4 is open now.\n"
    );
    assert_eq!(digits.answers(), "---2-");
}

#[test]
fn the_sheet_is_read_in_runs_and_crossed_out_options_are_said() {
    let mut desk = Desk::new("ABCDE");
    desk.types(1, "a");
    desk.types(2, "out C");
    assert_eq!(
        desk.types(3, "out d"),
        "Question 1: D crossed out, 3 left.\n"
    );
    assert_eq!(desk.types(4, "out d"), "Question 1: D is back, 4 left.\n");
    assert_eq!(
        desk.types(4, "out a"),
        "Question 1: A is crossed out, but still your answer. Type rub to rub it out.\n"
    );
    desk.types(4, "out a");
    assert!(desk.types(5, "read").contains("C: 3 (crossed out)\n"));
    assert_eq!(
        desk.types(6, "sheet"),
        "Question 1: A, C crossed out.\nQuestions 2 to 5: blank, not seen.\n"
    );
    desk.types(7, "2");
    desk.types(8, "out b");
    desk.types(9, "out d");
    assert_eq!(
        desk.types(10, "sheet"),
        "Question 1: A, C crossed out.\nQuestion 2: blank, B and D crossed out.\n\
         Questions 3 to 5: blank, not seen.\n"
    );
}

#[test]
fn the_sweep_asks_a_letter_for_each_blank_and_reads_no_question_out() {
    let mut desk = Desk::new("ABCDE");
    desk.types(1, "2b");
    assert_eq!(
        desk.types(2, "sweep"),
        "Sweep: 4 blanks. Type a letter for each; every one is a guess. Enter passes one by. \
         Type sweep to stop.\nQuestion 1, A to E.\n"
    );
    assert_eq!(
        desk.types(3, "c"),
        "Question 1: C, a guess.\nQuestion 3, A to E.\n"
    );
    assert_eq!(desk.types(4, ""), "Question 4, A to E.\n");
    assert_eq!(
        desk.types(5, "sweep"),
        "You've left the sweep. 3 blanks left.\n"
    );
    assert_eq!(desk.answers(), "CB---");
}

#[test]
fn a_rest_break_goes_back_to_the_sweep() {
    let mut desk = Desk::new("ABCDE");
    desk.types(1, "sweep");
    desk.types(2, "a");
    desk.types(3, "break");
    let back = desk.types(60, "back");
    assert!(
        back.starts_with("The clock is running again.\nSweep: 4 blanks."),
        "{back}"
    );
    assert!(back.ends_with("Question 2, A to E.\n"), "{back}");
    assert!(
        desk.types(61, "b")
            .starts_with("Question 2: B, a guess.\nQuestion 3, ")
    );
}

#[test]
fn a_sweep_left_by_a_number_or_an_answer_elsewhere_says_so() {
    let mut desk = Desk::new("ABCDE");
    desk.types(1, "sweep");
    assert!(
        desk.types(2, "3")
            .starts_with("You've left the sweep. 5 blanks left.\nQuestion 3 of 5, 4 marks.\n")
    );
    desk.types(3, "sweep");
    assert_eq!(
        desk.types(4, "2b"),
        "Question 2: B.\nYou've left the sweep. 4 blanks left.\nQuestion 2 is open now.\n"
    );
    desk.types(5, "sweep");
    let rest = desk.types(6, "break");
    assert!(!rest.contains("left the sweep"), "{rest}");
    desk.types(6, "back");
    assert!(desk.sitting.is_sweeping());
    let given = desk.sitting.rows()[1].in_time.map(|given| given.how);
    assert_eq!(given, Some(How::Worked), "no guess of the sweep");
}

#[test]
fn once_something_is_asked_a_letter_only_says_no() {
    for (word, line) in [
        ("finish", "b"),
        ("leave", "B ?"),
        ("give up", "4b"),
        ("finish", "out b"),
        ("finish", ""),
        ("finish", " "),
        ("finish", "n"),
        ("finish", "no"),
        ("finish", "heron"),
    ] {
        let mut desk = Desk::new("ABCDE");
        desk.types(1, word);
        let heard = desk.types(2, line);
        assert!(
            heard.starts_with("No. Carrying on: question 1 is open.\n"),
            "{word}, {line}: {heard}"
        );
        let is_letter = ["b", "B ?", "4b"].contains(&line);
        let says = "B wasn't taken as an answer. To answer, type B again.\n";
        assert_eq!(heard.contains(says), is_letter, "{line}: {heard}");
        assert_eq!(desk.answers(), "-----");
        assert_eq!(desk.sitting.open(), Some(QuestionNo(1)), "{word}, {line}");
        desk.types(3, "y");
        assert!(!desk.sitting.is_closed() && !desk.left, "{word}, {line}");
        desk.types(4, "b");
        assert_eq!(desk.answers(), "B----");
    }
    // A number or a word says what it means, and nothing that was asked is done after it.
    for line in ["2", "sweep", "time"] {
        let mut desk = Desk::new("ABCDE");
        desk.types(1, "finish");
        assert!(!desk.types(2, line).contains("Carrying on"), "{line}");
        desk.types(3, "y");
        assert!(!desk.sitting.is_closed(), "{line}");
    }
    let mut rest = Desk::new("ABCDE");
    rest.types(1, "break");
    rest.types(2, "leave");
    assert!(rest.types(3, "b").ends_with("Type back to go on.\n"));
    let mut fill = Desk::new("ABCDE");
    fill.wakes(600);
    fill.types(601, "");
    fill.types(602, "guess");
    fill.types(603, "fill");
    assert!(
        fill.types(604, "b")
            .starts_with("Nothing was filled.\nNo. Carrying on: question 1")
    );
    assert_eq!(fill.answers(), "-----");
}

#[test]
fn a_hidden_clock_says_no_time_unless_it_is_asked() {
    let mut desk = Desk::new("ABCDE");
    desk.types(1, "hide clock");
    assert!(desk.sitting.clock_hidden());
    desk.wakes(240);
    desk.wakes(540);
    assert!(desk.heard.ends_with("\nReminder. 5 blanks: 1 to 5. Type sweep to guess them one by one. Guesses bring about 4 marks on average.\n"));
    desk.types(541, "finish");
    assert!(
        desk.heard.contains("Checkpoint. Your plan"),
        "{}",
        desk.heard
    );
    let at = Elapsed::seconds(542);
    let now = scene(&desk.sitting, &desk.paper, at);
    let again = Plain::new(&now).opening(&now).said.join("\n");
    let (_, since) = desk.heard.split_once("hide clock").unwrap();
    for said in [since, &again] {
        assert!(
            !said.contains("minute") && !said.contains("second"),
            "{said}"
        );
    }
    assert!(
        again.contains("Type time to hear the time left."),
        "{again}"
    );
    assert_eq!(desk.types(543, "time"), "57 seconds left of 10 minutes.\n");
    desk.types(544, "show clock");
    assert!(
        desk.types(545, "finish")
            .starts_with("Finish with 55 seconds left?")
    );
}

/// A letter in a sweep is a guess, so that whoever comes back into one has to know.
#[test]
fn coming_back_into_a_sweep_says_that_a_letter_is_a_guess_and_how_to_stop() {
    let mut desk = Desk::new("ABCDE");
    desk.types(1, "a");
    desk.types(2, "sweep");
    let now = scene(&desk.sitting, &desk.paper, Elapsed::seconds(60));
    let opening = Plain::new(&now).opening(&now).said;
    assert_eq!(
        opening[1..],
        [
            "Sweep: 4 blanks. Type a letter for each; every one is a guess. Enter passes one by. \
             Type sweep to stop.",
            "Question 2, A to E."
        ]
    );
    desk.types(61, "sweep");
    let now = scene(&desk.sitting, &desk.paper, Elapsed::seconds(62));
    let opening = Plain::new(&now).opening(&now).said.join(" ");
    assert!(!opening.contains("sweep"), "{opening}");
}

/// On a printed paper only the pupil knows which question is being read.
#[test]
fn without_questions_on_the_screen_a_number_comes_before_the_first_letter() {
    let mut desk = Desk::with("ABCDE", |header| header.paper.on_screen = false);
    let first = "Type the number of your question, then Enter. Then type a letter to answer it.";
    assert!(desk.heard.contains(first), "{}", desk.heard);
    assert_eq!(
        desk.types(1, "a"),
        "Which question? Type its number, then Enter. Then type that again.\n"
    );
    desk.types(2, "3");
    desk.types(3, "a");
    assert_eq!(desk.answers(), "--A--");
    assert!(
        !Desk::new("ABCDE")
            .heard
            .contains("the number of your question")
    );
}

/// What waits for a yes must be the last thing heard before it.
#[test]
fn a_question_is_asked_again_behind_whatever_is_said_in_between() {
    let finish = "Type y to finish; anything else carries on.";
    let mut desk = Desk::new("ABCDE");
    desk.types(239, "finish");
    desk.wakes(240);
    let last = desk.heard.lines().last().unwrap_or_default();
    assert!(last.starts_with("Checkpoint: 4 minutes used."), "{last}");
    assert!(last.contains("Finish with 6 minutes left?"), "{last}");
    assert!(last.ends_with(finish), "{last}");
    desk.types(241, "time");
    desk.types(539, "leave");
    desk.wakes(540);
    let last = desk.heard.lines().last().unwrap_or_default();
    assert!(last.starts_with("1 minute left.") && last.ends_with("anything else stays."));
    // Time up takes the question away.
    desk.types(599, "finish");
    desk.wakes(600);
    assert!(
        desk.heard.ends_with("Press Enter to go on.\n"),
        "{}",
        desk.heard
    );
    desk.types(605, "y");
    assert!(!desk.sitting.is_closed());
}

#[test]
fn in_the_sweep_the_reminder_offers_no_sweep() {
    let mut desk = Desk::new("ABCDE");
    desk.types(1, "sweep");
    desk.wakes(540);
    assert!(
        desk.heard.ends_with("1 minute left. 5 blanks: 1 to 5.\n"),
        "{}",
        desk.heard
    );
}

#[test]
fn words_of_the_running_clock_say_what_the_guess_round_takes() {
    let mut desk = Desk::new("ABCDE");
    desk.wakes(600);
    desk.types(601, "");
    desk.types(602, "guess");
    for word in [
        "flag",
        "unsure",
        "worked",
        "sweep",
        "guess",
        "hide clock",
        "break",
    ] {
        let said = "This is the guess round. Type a letter to guess.\n";
        assert_eq!(desk.types(603, word), said, "{word}");
    }
    assert_eq!(
        desk.types(603, "skip").lines().next(),
        Some("Question 1 stays blank.")
    );
    desk.types(603, "2d");
    assert!(
        desk.types(603, "2b")
            .starts_with("Question 2: B, after time. No longer D.\n")
    );
    // What was guessed by letter is not told again with what is filled.
    desk.types(604, "2b");
    desk.types(605, "fill");
    assert!(
        desk.types(606, "y")
            .starts_with("Filled at random: 1 A, 3 A, 4 A and 5 A.\n")
    );
}

#[test]
fn no_sign_stands_alone_in_the_help() {
    let mut desk = Desk::new("ABCDE");
    let help = desk.types(1, "help");
    for line in help.lines() {
        let name = line.split(':').next().unwrap();
        assert!(name.chars().any(char::is_alphabetic), "{line}");
    }
    for way in [
        "4a: answer question 4",
        "a and a question mark",
        "two question marks",
    ] {
        assert!(help.contains(way), "{way}: {help}");
    }
}

#[test]
fn a_figure_is_told_in_its_words() {
    let mut desk = Desk::new("ABCDE");
    if let Some(question) = desk.paper.questions.get_mut(1) {
        question.figure_words = Some("Four dots in a square.".into());
    }
    let heard = desk.types(1, "2");
    assert!(
        heard.contains("Figure: Four dots in a square.\n"),
        "{heard}"
    );
    assert!(!heard.contains('*'));
}

#[test]
fn pens_are_put_down_where_there_were_pens() {
    let mut printed = Desk::with("ABCDE", |header| header.paper.on_screen = false);
    printed.wakes(600);
    assert!(printed.heard.contains("Time's up. Pens down."));
}

#[test]
fn on_a_paper_with_digits_for_labels_digits_answer() {
    let mut desk = Desk::new("12345");
    assert_eq!(desk.types(1, "3"), "Question 1: 3.\n");
    assert!(desk.types(2, "12").contains("type #12"));
    assert!(
        desk.types(3, "# 4")
            .starts_with("Question 4 of 5, 4 marks.")
    );
    desk.types(4, "5");
    assert_eq!(desk.answers(), "3--5-");
}

#[test]
fn what_cannot_be_is_said() {
    let mut desk = Desk::with("ABCDE", |header| header.arrangements.rest_breaks = false);
    for (line, said) in [
        ("break", "This sitting has no rest breaks.\n"),
        ("back", "This is the first question.\n"),
        ("out", "Cross out which? Type out and a letter, A to E.\n"),
        (
            "out z",
            "There's no such option. To cross one out, type out and a letter, A to E.\n",
        ),
        ("y", "There's nothing to say yes to just now.\n"),
        (
            "ф",
            "The keyboard is set to another alphabet. Switch it to Latin letters.\n",
        ),
        ("fill", "You can fill the blanks once time's up.\n"),
        ("rub", "There's no answer here yet.\n"),
        ("guess", "There's no answer here yet.\n"),
        (
            "7",
            "There's no such question. This sitting has questions 1 to 5.\n",
        ),
        ("z", "There's no such option. Type A to E.\n"),
        (
            "ab",
            "That isn't one of the words. Type help to hear them.\n",
        ),
    ] {
        assert_eq!(desk.types(1, line), said, "{line}");
    }
    assert_eq!(desk.answers(), "-----");
}

#[test]
fn the_shell_wakes_for_checkpoint_reminder_and_time_up_and_hears_each_once() {
    let mut desk = Desk::new("ABCDE");
    let mut said = Vec::new();
    while let Some(at) = desk.plain.wake(&desk.sitting) {
        let line = desk.plain.passing(&scene(&desk.sitting, &desk.paper, at));
        said.push((at.as_millis() / 1000, line.unwrap()));
        assert_eq!(
            desk.plain.passing(&scene(&desk.sitting, &desk.paper, at)),
            None
        );
        desk.wish(Command::Tick, at);
    }
    let moments: Vec<_> = said.iter().map(|(at, _)| *at).collect();
    assert_eq!(moments, [240, 540, 600]);
    assert!(
        said[0]
            .1
            .starts_with("Checkpoint: 4 minutes used. Your plan: done with question 2.")
    );
    assert_eq!(
        said[1].1,
        "1 minute left. 5 blanks: 1 to 5. Type sweep to guess them one by one. \
         Guesses bring about 4 marks on average."
    );
    assert!(said[2].1.starts_with("Time's up."));
}

#[test]
fn nobody_is_pushed_to_guess_where_it_costs() {
    let mut desk = Desk::with("ABCDE", |header| {
        header.plan = None;
        for section in &mut header.paper.rule.sections {
            section.wrong = Mark::whole(-1);
        }
    });
    desk.wakes(540);
    assert!(desk.heard.contains("1 minute left. 5 blanks: 1 to 5.\n"));
    assert!(!desk.heard.contains("sweep"), "{}", desk.heard);
}

#[test]
fn a_sitting_taken_up_again_goes_on_where_it_was() {
    let desk = {
        let mut desk = Desk::new("ABCDE");
        desk.types(100, "c");
        desk.types(300, "3");
        desk
    };
    let at = Elapsed::seconds(400);
    let now = scene(&desk.sitting, &desk.paper, at);
    let mut plain = Plain::new(&now);
    let opening = plain.opening(&now);
    assert_eq!(
        opening.said[0],
        "The clock is running: 3 min 20 s left, 4 blanks."
    );
    assert_eq!(opening.said[2], "Question 3 of 5, 4 marks.");
    assert_eq!(plain.passing(&now), None, "the checkpoint is behind");
    let mut up = desk.sitting.clone();
    let due = Elapsed::minutes(10);
    up.apply(due, &Event::TimeUp { due });
    let now = scene(&up, &desk.paper, due);
    let mut plain = Plain::new(&now);
    let opening = plain.opening(&now);
    assert_eq!(
        opening.said[..3],
        [
            "Your last answer in time: question 1, C.",
            "4 blanks: 2 to 5.",
            "A wrong answer loses nothing: guess every blank."
        ]
    );
    let now = scene(&up, &desk.paper, due + Elapsed::seconds(1));
    let guess = plain.line(&now, "guess");
    assert_eq!(
        guess.acts,
        [
            Act::Wish(Command::StartGuessRound),
            Act::Wish(Command::Open(QuestionNo(2)))
        ]
    );
}

#[test]
fn start_is_a_word_and_everything_is_read_out_before_it() {
    assert_eq!(before_start("Start\n"), BeforeStart::Start);
    assert_eq!(before_start("s"), BeforeStart::Start);
    assert_eq!(before_start("leave"), BeforeStart::Leave);
    assert_eq!(before_start("\n"), BeforeStart::Unclear);
    assert_eq!(
        before_start("back"),
        BeforeStart::Unclear,
        "nothing is lost by it"
    );
    let paper = paper("ABCDE");
    let arranged = Arrangements {
        extra_percent: Mark::whole(25),
        ..Arrangements::usual(paper.allowed)
    };
    let today = NaiveDate::from_ymd_opt(2026, 11, 25).unwrap();
    let said = read_out_lines(&paper, paper.allowed, &arranged, OwnAims::default(), today);
    insta::assert_snapshot!("read-out", said.join("\n"));
}

/// A pace plan is read out with what it leaves and how long it stays.
#[test]
fn a_plan_is_read_out_before_the_start() {
    let paper = paper("ABCDE");
    let today = NaiveDate::from_ymd_opt(2026, 11, 25).unwrap();
    let usual = Arrangements::usual(paper.allowed);
    let plan = PacePlan {
        checkpoints: vec![Checkpoint {
            question: QuestionNo(3),
            minutes: Mark::whole(6),
        }],
        leave: QuestionList::read("4-5").ok(),
        stay: Some(Elapsed::seconds(150)),
    };
    let with_plan = OwnAims {
        plan: Some(&plan),
        step: None,
    };
    let said = read_out_lines(&paper, paper.allowed, &usual, with_plan, today);
    let without = read_out_lines(&paper, paper.allowed, &usual, OwnAims::default(), today);
    let added: Vec<_> = said.iter().filter(|line| !without.contains(line)).collect();
    assert_eq!(
        added,
        [
            "Your plan: Finish up to question 3 in 6 minutes.",
            "Leave questions 4 and 5 until the end.",
            "Leave a question after 2:30, and go on.",
        ]
    );
}

#[test]
fn what_is_not_as_the_paper_has_it_is_said_before_its_conditions() {
    let mut paper = paper("ABCDE");
    let today = NaiveDate::from_ymd_opt(2026, 11, 25).unwrap();
    let usual = Arrangements::usual(paper.allowed);
    let said = |paper: &_, time, arranged: &_| {
        read_out_lines(paper, time, arranged, OwnAims::default(), today)
    };
    let as_it_is = said(&paper, paper.allowed, &usual);
    assert!(as_it_is.iter().all(|line| !line.contains("For you today")));
    paper.conditions = vec!["You have 10 minutes for 5 questions.".into()];
    let short = Arrangements {
        only: QuestionList::range(QuestionNo(1), QuestionNo(3)),
        ..usual.clone()
    };
    let changed = said(&paper, Elapsed::seconds(18), &short);
    assert_eq!(
        changed.get(1..4).unwrap(),
        [
            "Time: For you today: 18 seconds, questions 1 to 3. If the lines below say something else, this counts.",
            "Start when you are ready.",
            "Conditions: You have 10 minutes for 5 questions.",
        ]
    );
    let shorter = said(&paper, Elapsed::seconds(18), &usual);
    assert!(shorter[1].contains("For you today: 18 seconds, all 5 questions."));
}

#[test]
fn the_result_is_said_without_the_key_too() {
    let desk = whole_sitting();
    let ended = Ended {
        pupil: Alias::new("otter").unwrap(),
        paper: "Five".into(),
        ending: Ending::GuessRoundDone,
        done: Done::of(&desk.sitting),
        marks: None,
        range: None,
        step: None,
        good: "You left question 2, came back and answered it.".into(),
        next: "Tell your tutor which three questions you would like to look at again.".into(),
        saved_at: "sessions/otter/five.session.ron".into(),
        invented: false,
    };
    insta::assert_snapshot!("result", result_lines(&ended).join("\n"));
}

proptest::proptest! {
    /// Whatever is typed and whenever, what is asked is granted, and nothing said is empty.
    #[test]
    fn whatever_is_typed_is_answered(
        lines in proptest::collection::vec((0_u64..90, 0_usize..LINES.len()), 0..60),
    ) {
        let mut desk = Desk::new("ABCDE");
        let mut now = 0;
        for (wait, line) in lines {
            now += wait;
            if wait % 2 == 0 {
                desk.wakes(now);
            }
            let before = desk.answers();
            let was_up = desk.sitting.due().is_some();
            let heard = desk.types(now, LINES[line]);
            // A sitting that is over has its result read out by the shell.
            let said = !heard.trim().is_empty() || desk.sitting.is_closed();
            proptest::prop_assert!(said, "{}", LINES[line]);
            if !was_up && desk.sitting.due().is_some() {
                proptest::prop_assert_eq!(before, desk.answers(), "answered at time up");
            }
            if desk.left {
                break;
            }
        }
    }
}

/// Every word, and lines that are none.
const LINES: &[&str] = &[
    "a",
    "E",
    "x",
    "1",
    "3",
    "5",
    "6",
    "#2",
    "#",
    "",
    " ",
    "-",
    "?",
    "skip",
    "flag",
    "rub",
    "unsure",
    "guess",
    "worked",
    "next blank",
    "next flag",
    "next unsure",
    "hide clock",
    "show clock",
    "yes",
    "3?",
    "9 flag",
    "next",
    "sweep",
    "out b",
    "3d",
    "4 e?",
    "g",
    "f",
    "y",
    "b?",
    "C??",
    "read",
    "time",
    "sheet",
    "blanks",
    "break",
    "back",
    "fill",
    "finish",
    "give up",
    "leave",
    "\u{202e}\t",
];
