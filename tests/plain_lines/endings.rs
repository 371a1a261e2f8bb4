//! How a sitting ends, line by line: never by one line alone.

use pacebell::domain::event::Ending;
use pacebell::domain::sitting::Phase;
use pacebell::domain::time::Elapsed;

use crate::desk::Desk;

#[test]
fn finish_leave_and_give_up_ask_once() {
    for (word, closes) in [
        ("finish", Some(Ending::FinishedEarly)),
        ("give up", Some(Ending::Abandoned)),
        ("leave", None),
    ] {
        let mut desk = Desk::new("ABCDE");
        desk.types(1, word);
        desk.types(2, "time");
        desk.types(3, word);
        assert!(
            !desk.sitting.is_closed() && !desk.left,
            "{word}: not in a row"
        );
        desk.types(4, "y");
        let ending = match desk.sitting.phase() {
            Phase::Closed(ending) => Some(ending),
            _ => None,
        };
        assert_eq!((ending, desk.left), (closes, closes.is_none()), "{word}");
    }
}

#[test]
fn finish_lists_blanks_and_flags() {
    let mut desk = Desk::new("ABCDE");
    desk.types(1, "a");
    desk.types(2, "4");
    desk.types(3, "flag");
    assert_eq!(
        desk.types(60, "finish"),
        // Four blanks with five options at 4 marks, nothing lost: 4 times 4/5.
        "Finish with 9 minutes left? 4 blanks: 2 to 5. 1 flag: 4.\n\
         Guesses bring about 3.2 marks on average. Type sweep to guess them first.\n\
         You can't come back after this. Type y to finish; anything else carries on.\n"
    );
}

#[test]
fn finish_asks_once_more_after_time_too() {
    for (answered, word) in [(true, "Finish now? Nothing"), (false, "Finish with blanks")] {
        let mut desk = Desk::new("ABCDE");
        if answered {
            for _ in 0..5 {
                desk.types(1, "a");
                desk.types(1, "");
            }
        }
        desk.wakes(600);
        desk.types(601, "");
        assert!(desk.types(602, "finish").starts_with(word));
        desk.types(603, "time");
        desk.types(604, "finish");
        assert!(!desk.sitting.is_closed(), "not in a row");
        desk.types(605, "y");
        assert!(desk.sitting.is_closed());
    }
    let mut guessing = Desk::new("ABCDE");
    guessing.wakes(600);
    for line in ["", "guess", "fill", "y"] {
        guessing.types(602, line);
    }
    let heard = guessing.types(603, "finish");
    assert!(heard.starts_with("Finish the guess round? Nothing is blank."));
    assert!(!guessing.sitting.is_closed());
    guessing.types(604, "y");
    assert!(guessing.sitting.is_closed());
}

#[test]
fn a_line_begun_before_time_up_does_not_count() {
    // The shell has not woken yet when the line arrives.
    let mut late = Desk::new("ABCDE");
    assert!(late.types(600, "c").contains("doesn't count"));
    assert_eq!(late.answers(), "-----");
    assert_eq!(late.sitting.due(), Some(Elapsed::minutes(10)));
    // The shell has said so while the line was being typed.
    let mut woken = Desk::new("ABCDE");
    woken.types(599, "c");
    woken.wakes(600);
    let heard = woken.types(601, "finish");
    assert!(
        heard.contains("nothing was done") && heard.contains("Type guess"),
        "{heard}"
    );
    assert!(!heard.contains("count."), "it was no answer: {heard}");
    assert!(!woken.sitting.is_closed());
    assert_eq!(woken.answers(), "C----");
    // A second `finish` of before time up does not hand in either.
    let mut asked = Desk::new("ABCDE");
    asked.types(599, "finish");
    asked.types(600, "finish");
    assert!(!asked.sitting.is_closed());
    // What ends later was not typed in time, and the first word of all may be it.
    let mut finishes = Desk::new("ABCDE");
    finishes.wakes(600);
    assert!(
        finishes
            .types(602, "finish")
            .starts_with("Finish with blanks left?")
    );
    finishes.types(603, "y");
    assert!(finishes.sitting.is_closed());
    // A guess asks, since in time the word says something of an answer.
    let mut guesses = Desk::new("ABCDE");
    guesses.wakes(600);
    assert_eq!(
        guesses.types(609, "guess"),
        "Guess 5 blanks now? Type y to start.\n"
    );
    assert_eq!(guesses.sitting.phase(), Phase::TimeUp);
    guesses.types(610, "y");
    assert_eq!(guesses.sitting.phase(), Phase::GuessRound);
    // A letter is told the truth, and what there is to do.
    let mut letter = Desk::new("ABCDE");
    letter.wakes(600);
    let heard = letter.types(609, "c");
    assert!(
        heard.starts_with("Time's up. Answers given in time are locked.\n"),
        "{heard}"
    );
    assert!(
        heard.contains("5 blanks: 1 to 5.\n") && heard.contains("Type guess"),
        "{heard}"
    );
    assert_eq!(letter.answers(), "-----");
    // Enter alone is no line that could count.
    let mut enter = Desk::new("ABCDE");
    enter.wakes(600);
    assert!(!enter.types(601, "").contains("doesn't count"));
    let mut slow = Desk::new("ABCDE");
    slow.wakes(600);
    assert!(slow.types(620, "").starts_with("5 blanks: 1 to 5.\n"));
}

#[test]
fn filling_at_random_asks_once_more() {
    let mut desk = Desk::new("ABCDE");
    desk.types(1, "b");
    desk.wakes(600);
    desk.types(601, "");
    desk.types(602, "guess");
    assert_eq!(
        desk.types(603, "fill"),
        "Fill 4 blanks at random? Type y to fill; anything else carries on.\n"
    );
    desk.types(604, "time");
    desk.types(605, "fill");
    assert_eq!(desk.answers(), "B----", "not in a row");
    assert_eq!(
        desk.types(606, "y"),
        "Filled at random: 2 A, 3 A, 4 A and 5 A.\nType finish when you're done.\n"
    );
    assert_eq!(desk.answers(), "BAAAA");
    assert_eq!(desk.types(607, "fill"), "Nothing is blank.\n");
}
