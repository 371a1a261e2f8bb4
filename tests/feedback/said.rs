//! What the pages say, sitting by sitting; and what no page says.

use pacebell::domain::mark::Mark;
use pacebell::domain::rule::QuestionNo;
use pacebell::domain::time::Elapsed;
use pacebell::reports::feedback::content::{MOST_NEXT, MOST_WELL};
use pacebell::words::feedback::State;

use crate::made::Made;
use crate::sittings;

/// The words of a page, tags and style taken out.
pub(crate) fn words(page: &str) -> String {
    let body = page.split("</style>").nth(1).unwrap();
    let text = body.split('<').filter_map(|part| part.split_once('>'));
    let text: Vec<_> = text.map(|(_, text)| text).collect();
    text.join(" ").replace("&amp;", "&")
}

/// Right are 1 to 7, 9 and 10 at 4 marks; 12, 14, 15, 17, 18 and 20 at 5; 21 at 7: 36 + 30 + 7 = 73
/// of 10 x 4 + 10 x 5 + 5 x 7 = 125. Question 23 was guessed right after time was up: 80.
#[test]
fn a_sitting_in_time_is_told_with_its_range_and_no_rank() {
    let told = sittings::in_time().told();
    let marks = told.marks.clone().unwrap();
    assert_eq!(
        (marks.in_time, marks.max),
        (Mark::whole(73), Mark::whole(125))
    );
    // Five of five, 4, 3, 3 and 1 right: binomial errors (Lord 1955) of 0, 4, 6.1, 6.1 and 7 marks, 11.8 together.
    // Half a logit from day to day moves 3.2 + 6 + 6 + 5.6 marks by half, 10.4. Two sittings lie apart by
    // sqrt(2 x (11.8^2 + 10.4^2)) = 22.2 (SD), 8 in 10 of them by 28 at most: about 45 to 101.
    let (low, high) = marks.range.unwrap();
    assert!((40..=50).map(Mark::whole).any(|near| near == low), "{low}");
    assert!(
        (96..=106).map(Mark::whole).any(|near| near == high),
        "{high}"
    );
    let range =
        format!("In time (on other days like this, 8 in 10 marks are from {low} to {high}). 16 of");
    let text = words(&sittings::in_time().page());
    for said in [
        "73 of 125 marks",
        range.as_str(),
        "16 of 25 questions right in time.",
        "You reached bronze (from 54 marks) in time.",
        "With the guesses after time was up it would have been 80, enough for silver (from 76 marks).",
        "Only answers in time count for an award.",
        "Next is silver (from 76 marks). Enough for it: ",
        "Questions 1 to 7 are all right.",
        "Question 8 took 8 minutes. What told you to stay?",
        "This time: 4 of 25 questions blank.",
        "Before: 6 of 25 on 3 November; 5 of 25 on 10 November.",
        "That is fewer than the time before. Keep going.",
        "Practice only, no official result. Check this year's rules with the organiser.",
        "Checked by P.B. on 20 Nov 2026.",
    ] {
        assert!(text.contains(said), "{said}\n{text}");
    }
}

/// Questions 1 to 8 at 4 marks are 32 in time; 9, 10, 24 and 25 guessed after it make 32 + 8 + 14 = 54,
/// which is bronze's boundary.
#[test]
fn guesses_after_time_reach_no_award() {
    let made = Made::of("saltmarsh-a", "curlew").straight(1, 100, "rrrrrrrr");
    let made = made.time_up(&[(9, 'r'), (10, 'r'), (24, 'r'), (25, 'r')]);
    let (told, text) = (made.told().marks.unwrap(), words(&made.page()));
    assert_eq!(told.in_time, Mark::whole(32));
    assert_eq!(told.with_guess_round, Some(Mark::whole(54)));
    assert_eq!(told.award, None);
    assert!(!text.contains("reached"), "{text}");
    for said in [
        "it would have been 54, enough for bronze (from 54 marks). Only answers in time count",
        "Next is bronze (from 54 marks). Enough for it: ",
    ] {
        assert!(text.contains(said), "{said}\n{text}");
    }
    assert_eq!(
        text.matches("bronze 54").count(),
        1,
        "one line in the curve"
    );
}

/// Nobody knows when a typed-in sheet's answers came, so nothing on its page is in or out of time.
#[test]
fn a_typed_in_sheet_is_not_timed() {
    let entered = |answers: &str| {
        let mut made = Made::of("saltmarsh-a", "teal");
        made.header.mode = pacebell::domain::header::Mode::Entered;
        let made = made.straight(1, 0, answers);
        words(&made.close(pacebell::domain::event::Ending::Entered).page())
    };
    let bronze = entered("rrrrrrrrrrrrrwww-");
    assert!(
        bronze.contains("You answered 16 of 25 questions."),
        "{bronze}"
    );
    assert!(bronze.contains("Not timed (on other days"), "{bronze}");
    assert!(bronze.contains("13 of 25 questions right."), "{bronze}");
    assert!(
        bronze.contains("You reached bronze (from 54 marks)."),
        "{bronze}"
    );
    for text in [
        bronze,
        entered("wwww"),
        entered("-"),
        entered(&"r".repeat(25)),
    ] {
        for said in [
            "in time",
            "In time",
            "clock and",
            "with a clock",
            "not opened",
            "time was up",
        ] {
            assert!(!text.contains(said), "{said}: {text}");
        }
    }
}

#[test]
fn marks_by_the_minute_and_times_are_those_of_the_log() {
    let told = sittings::in_time().told();
    let curve = told.hour.curve.unwrap();
    // Seven right of 95 s each: 28 marks at 11:05, nothing more until question 9 at 21:05.
    assert_eq!(curve.at(Elapsed::seconds(665)), Some(Mark::whole(28)));
    assert_eq!(curve.at(Elapsed::seconds(1264)), Some(Mark::whole(28)));
    assert_eq!(curve.at(Elapsed::seconds(1265)), Some(Mark::whole(32)));
    assert_eq!(curve.steps.last().unwrap().mark, Mark::whole(73));
    let bar = told
        .hour
        .bars
        .iter()
        .find(|bar| bar.number == QuestionNo(8));
    let bar = bar.unwrap();
    assert_eq!(
        (bar.state, bar.time),
        (State::Wrong, Some(Elapsed::seconds(490)))
    );
    assert_eq!(bar.planned, Elapsed::seconds(144));
}

#[test]
fn hints_come_without_answers_unless_they_are_asked_for() {
    let made = sittings::in_time();
    let plain = words(&made.page());
    assert!(plain.contains("Question 8: you chose A") && plain.contains("Hint: List the numbers"));
    assert!(!plain.contains("Answer:") && !plain.contains("63 leaves 3"));
    assert!(
        made.told()
            .again
            .iter()
            .all(|again| again.working.is_none())
    );
    let mut asked = made;
    asked.with_working = true;
    let text = words(&asked.page());
    assert!(
        text.contains("Answer: E. The numbers in the 7 times table"),
        "{text}"
    );
    assert!(text.contains("A common way to A: "), "{text}");
}

#[test]
fn every_missed_question_is_named_and_no_other() {
    for (name, made) in sittings::all() {
        let told = made.told();
        let fitted = pacebell::reports::feedback::fit::fitted(&told);
        let shown = fitted.shown.iter().map(|again| again.number);
        let all: Vec<_> = shown.chain(fitted.rest.iter().copied()).collect();
        let missed: Vec<_> = told.again.iter().map(|again| again.number).collect();
        assert_eq!(all, missed, "{name}");
    }
    let numbers: Vec<u16> = sittings::in_time()
        .told()
        .again
        .iter()
        .map(|a| a.number.0)
        .collect();
    assert_eq!(numbers, [8, 11, 13, 16, 19, 22, 23, 24, 25]);
}

#[test]
fn a_kept_plan_and_a_swept_end_are_praised_and_guesses_are_said_calmly() {
    let told = sittings::swept().told();
    assert!(told.hour.plan);
    let text = words(&sittings::swept().page());
    assert!(
        text.contains("The small upright line is your plan."),
        "{text}"
    );
    assert!(
        text.contains("4 answers were guesses. About 1 of 4 usually comes right; 1 did."),
        "{text}"
    );
    assert!(text.contains("None is as good as it gets."), "{text}");
    assert!(
        !told.well.is_empty() && told.well.len() <= MOST_WELL,
        "{:?}",
        told.well
    );
}

#[test]
fn under_a_rule_that_takes_marks_away_nobody_is_pushed_to_fill_blanks() {
    let told = sittings::penalties().told();
    let text = words(&sittings::penalties().page());
    assert!(text.contains("a blank can be the right choice"), "{text}");
    assert!(!text.contains("fill every blank"), "{text}");
    assert!(told.caution.is_some());
    assert!(
        text.contains("First check this year's rule: no check of this one is noted."),
        "{text}"
    );
}

#[test]
fn a_printed_paper_says_what_its_times_are() {
    let text = words(&sittings::printed().page());
    assert!(text.contains("each time is how long the question was open on the screen"));
    assert!(text.contains("Your mark by the minute"));
}

#[test]
fn where_times_are_withheld_the_page_says_so_kindly_and_leaves_the_pictures_out() {
    for (made, said) in [
        (
            sittings::batched(),
            "Next time, key the number of the question you are starting",
        ),
        (sittings::entered(), "typed in from your sheet afterwards"),
    ] {
        let (page, told) = (made.page(), made.told());
        let text = words(&page);
        assert!(text.contains(said), "{text}");
        assert!(!page.contains("<svg"));
        assert!(
            text.contains("Right: 1") && text.contains("Wrong: 3"),
            "{text}"
        );
        for late in [
            "took",
            "minutes left",
            "quickly",
            "many times",
            "Going back",
        ] {
            let all = told.well.iter().chain(&told.next);
            assert!(
                !all.clone().any(|line| line.contains(late)),
                "{late}: {told:?}"
            );
        }
    }
}

#[test]
fn a_sitting_that_was_given_up_has_no_mark() {
    let told = sittings::abandoned().told();
    let text = words(&sittings::abandoned().page());
    assert!(told.marks.is_none() && told.again.is_empty() && told.habit.is_empty());
    assert!(text.contains("It is kept, and asks for no mark."));
    for word in [" wrong", "125", "Your mark", "bronze"] {
        assert!(!text.contains(word), "{word}: {text}");
    }
}

#[test]
fn nothing_and_everything_right_are_both_met_with_a_true_kind_word() {
    let nothing = words(&sittings::blank().page());
    assert!(nothing.contains("0 of 125 marks") && nothing.contains("That is how it begins."));
    let all = words(&sittings::all_right().page());
    assert!(all.contains("125 of 125 marks") && all.contains("You reached gold"));
    assert!(!all.contains("try again") && !all.contains("Next is"));
}

/// The list of words never shown to a pupil (common practice, no source), and what no page of one
/// pupil may hold: a rank, or a word of anybody else.
#[test]
fn no_page_says_what_hurts() {
    for (name, made) in sittings::all() {
        let told = made.told();
        let text = words(&made.page()).to_lowercase();
        for word in [
            "fail", "careless", "weak", "ability", "streak", "points", "rank", "average", "below",
            "stupid", "wasted", "gave up", "you must", "lucky", "poor", "bad", "best in",
        ] {
            let found = text
                .split(|c: char| !c.is_alphabetic() && c != ' ')
                .any(|part| format!(" {part} ").contains(&format!(" {word}")));
            assert!(!found, "{name}: {word}: {text}");
        }
        assert!(
            (1..=MOST_NEXT).contains(&told.next.len()),
            "{name}: {:?}",
            told.next
        );
        assert!(
            (1..=MOST_WELL).contains(&told.well.len()),
            "{name}: {:?}",
            told.well
        );
        for line in told.next.iter().chain(&told.well).chain(&told.habit) {
            assert!(
                line.ends_with('.') && !line.contains("  "),
                "{name}: {line}"
            );
        }
    }
}
