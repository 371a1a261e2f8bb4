//! What the pages say, sitting by sitting; and what no page says.

use pacebell::domain::mark::Mark;
use pacebell::domain::rule::QuestionNo;
use pacebell::domain::time::Elapsed;
use pacebell::reports::feedback::content::{MOST_NEXT, MOST_WELL};
use pacebell::words::feedback::State;

use crate::made::Made;
use crate::{papers, sat, sittings};

/// The words of a page, tags and style taken out.
pub(crate) fn words(page: &str) -> String {
    let body = page.split("</style>").nth(1).unwrap();
    let text = body.split('<').filter_map(|part| part.split_once('>'));
    let text: Vec<_> = text.map(|(_, text)| text).collect();
    let text = text.join(" ").replace("&quot;", "\"");
    text.replace("&lt;", "<")
        .replace("&gt;", ">")
        .replace("&amp;", "&")
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
    let (low, high) = marks.range.unwrap().range().unwrap();
    assert!((40..=50).map(Mark::whole).any(|near| near == low), "{low}");
    assert!(
        (96..=106).map(Mark::whole).any(|near| near == high),
        "{high}"
    );
    let range = format!(
        "Marks change from day to day: 8 times in 10, yours would be from {low} to {high}."
    );
    let text = words(&sittings::in_time().page());
    for said in [
        "73 of 125 marks",
        range.as_str(),
        "In time. 16 of 25 questions right in time.",
        "You reached dunlin (from 54 marks) in time.",
        "With the guesses after time was up, your mark would have been 80, enough for curlew (from 76 marks).",
        "Only answers in time count towards an award.",
        "The next award is curlew (from 76 marks). To reach it: ",
        "Questions 1 to 7 are all right.",
        "Question 8 took 8 minutes. What made you stay?",
        "This time: 4 of 25 questions blank.",
        "Before: 6 of 25 on 3 Nov; 5 of 25 on 10 Nov.",
        "That's fewer than last time. Keep going.",
        "For practice only, not official. Check this year's rules with the organiser.",
        "Checked by P.B. on 20 Nov 2026.",
    ] {
        assert!(text.contains(said), "{said}\n{text}");
    }
}

/// Questions 1 to 8 at 4 marks are 32 in time; 9, 10, 24 and 25 guessed after it make 32 + 8 + 14 = 54,
/// which is dunlin's boundary.
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
        "your mark would have been 54, enough for dunlin (from 54 marks). Only answers in time count towards an award",
        "The next award is dunlin (from 54 marks). To reach it: ",
    ] {
        assert!(text.contains(said), "{said}\n{text}");
    }
    assert_eq!(
        text.matches("dunlin 54").count(),
        1,
        "one line in the curve"
    );
}

/// The guess round was offered, and left without a guess.
#[test]
fn a_guess_round_without_a_guess_is_not_spoken_of() {
    let made = Made::of("saltmarsh-a", "curlew").straight(1, 100, "rrrrrrrr");
    let text = words(&made.time_up_without_guesses().page());
    assert!(text.contains("Time's up. You answered 8 of 25"), "{text}");
    assert!(!text.contains("guess round"), "{text}");
    let text = words(&sittings::in_time().page());
    assert!(
        text.contains("and you've finished the guess round."),
        "{text}"
    );
}

/// Nobody knows when a typed-in sheet's answers came, so nothing on its page is in or out of time.
/// A sitting that was given up has no mark, so parents read of none, nor how marks move.
#[test]
fn parents_read_that_a_sitting_was_stopped() {
    let made = Made::of("saltmarsh-a", "teal").straight(1, 100, "rrrr");
    let told = made
        .close(pacebell::domain::event::Ending::Abandoned)
        .told();
    let text = words(&pacebell::reports::feedback::page(
        &told,
        pacebell::reports::feedback::PageReader::Parents,
    ));
    assert!(
        text.contains("This sitting was stopped early, so there is no mark."),
        "{text}"
    );
    for word in ["One mark moves", "ten different days", "doesn't count"] {
        assert!(!text.contains(word), "{word}\n{text}");
    }
    let mut aside = sittings::in_time().told();
    assert_eq!(aside.withdrawn, None);
    let said =
        pacebell::words::standing::counts_nowhere(pacebell::domain::standing::Exclusion::SetAside);
    aside.withdrawn = Some(said.clone());
    for reader in [
        pacebell::reports::feedback::PageReader::Pupil,
        pacebell::reports::feedback::PageReader::Parents,
    ] {
        let text = words(&pacebell::reports::feedback::page(&aside, reader));
        assert!(text.contains(&said), "{text}");
    }
}

fn for_parents(made: &Made) -> String {
    use pacebell::reports::feedback::{PageReader, page};
    words(&page(&made.told(), PageReader::Parents))
}

#[test]
fn a_page_on_a_part_of_a_paper_says_which_questions_were_left_out() {
    let mut made = Made::of("saltmarsh-a", "teal");
    let first = pacebell::domain::questions::QuestionList::read("1-10").unwrap();
    made.header.arrangements.only = Some(first);
    let made = made.straight(1, 100, "rrrrrrrrrw").time_up(&[]);
    let said = "Questions 11-25 were not part of this sitting, and the maximum leaves them out.";
    assert!(
        words(&made.page()).contains(said),
        "{}",
        words(&made.page())
    );
    let text = for_parents(&made);
    assert!(text.contains(said), "{text}");
    // Awards are nothing for parents.
    assert!(!text.contains("awards"), "{text}");
    assert!(!words(&sittings::in_time().page()).contains("not part of this sitting"));
}

/// What parents are to ask fits what their child did; the checks of a paper's rules are the tutor's business.
#[test]
fn parents_are_told_what_fits_the_sitting() {
    let blank = for_parents(
        &Made::of("saltmarsh-a", "teal")
            .straight(1, 100, "rr")
            .time_up(&[]),
    );
    assert!(
        blank.contains("Ask which questions were not answered"),
        "{blank}"
    );
    assert!(
        blank.contains("Ask to be shown one question that went well"),
        "{blank}"
    );
    let full = "w".repeat(25);
    let full = for_parents(
        &Made::of("saltmarsh-a", "teal")
            .straight(1, 100, &full)
            .time_up(&[]),
    );
    assert!(
        full.contains("Ask which question was the hardest"),
        "{full}"
    );
    for word in ["not answered", "that went well"] {
        assert!(!full.contains(word), "{word}: {full}");
    }
    let stopped = Made::of("saltmarsh-a", "teal").straight(1, 100, "rrrr");
    let stopped = for_parents(&stopped.close(pacebell::domain::event::Ending::Abandoned));
    assert!(
        stopped.contains("what would make it easier to begin again"),
        "{stopped}"
    );
    for word in [
        "sit this paper again",
        "Tell your tutor",
        "what the mark was",
    ] {
        assert!(!stopped.contains(word), "{word}: {stopped}");
    }
    for text in [&blank, &full, &stopped] {
        assert!(!text.contains("Checked by"), "{text}");
        assert!(text.contains("For practice only, not official."), "{text}");
        // Whoever reads "you" there reads who is meant.
        let mut all = text.split(|c: char| !c.is_alphabetic());
        let says_you = all.any(|word| ["you", "your"].contains(&&*word.to_lowercase()));
        let told = text.contains("Where it says \"you\", it means the pupil.");
        assert_eq!(says_you, told || text.contains("If your child"), "{text}");
    }
}

/// A wrong answer loses a third of its question on this paper, and nothing on the other.
#[test]
fn parents_read_that_wrong_answers_lose_marks_where_they_do() {
    let costs = "On this paper a wrong answer can take marks away";
    let minus = for_parents(
        &Made::of("saltmarsh-old", "teal")
            .straight(1, 60, "rrw")
            .time_up(&[]),
    );
    assert!(minus.contains(costs), "{minus}");
    let none = for_parents(
        &Made::of("saltmarsh-a", "teal")
            .straight(1, 60, "rrw")
            .time_up(&[]),
    );
    assert!(!none.contains(costs), "{none}");
}

#[test]
fn a_typed_in_sheet_is_not_timed() {
    let entered = |answers: &str| {
        let mut made = Made::of("saltmarsh-a", "teal");
        made.header.mode = pacebell::domain::header::Mode::Entered;
        let made = made.straight(1, 0, answers);
        words(&made.close(pacebell::domain::event::Ending::Entered).page())
    };
    let dunlin = entered("rrrrrrrrrrrrrwww-");
    assert!(
        dunlin.contains("You answered 16 of 25 questions."),
        "{dunlin}"
    );
    assert!(
        dunlin.contains("Times weren't recorded. 13 of 25 questions right."),
        "{dunlin}"
    );
    assert!(
        dunlin.contains("You reached dunlin (from 54 marks)."),
        "{dunlin}"
    );
    // 21 is the first of the dearest; nobody knows whether it was worked out.
    let all = entered(&"r".repeat(25));
    assert!(
        !all.contains("worked out") && all.contains("They're worth 7 marks each."),
        "{all}"
    );
    for text in [
        dunlin,
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
    assert!(text.contains("A common way to get A: "), "{text}");
}

#[test]
fn every_missed_question_is_named_and_no_other() {
    for (name, made) in sittings::all() {
        let told = made.told();
        let missed: Vec<_> = told.again.iter().map(|again| again.number).collect();
        let shown: Vec<_> = to_try_again(&made.page()).into_iter().collect();
        let shown: Vec<_> = shown.into_iter().map(|(number, _)| number).collect();
        assert_eq!(shown, missed, "{name}");
    }
    let numbers: Vec<u16> = sittings::in_time()
        .told()
        .again
        .iter()
        .map(|a| a.number.0)
        .collect();
    assert_eq!(numbers, [8, 11, 13, 16, 19, 22, 23, 24, 25]);
}

/// The questions to try again of a page, each with its words.
fn to_try_again(page: &str) -> Vec<(QuestionNo, String)> {
    let items = page.split("<li").skip(1);
    let items = items.filter_map(|item| item.split("</li>").next());
    let question = |item: &str| {
        let text = words(&format!("</style><li{item}"));
        let (number, rest) = text.trim().strip_prefix("Question ")?.split_once(": ")?;
        let own = rest.starts_with("you chose ") || rest.starts_with("left blank ");
        own.then(|| (QuestionNo(number.parse().unwrap()), text.clone()))
    };
    items.filter_map(question).collect()
}

/// A text as it stands in one line.
pub(crate) fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Stem, figure, options and hint of each missed question, as its paper and its key have them; with workings
/// asked for no hint less, and the working whole.
#[test]
fn a_question_to_try_again_is_printed_whole_and_workings_remove_no_hint() {
    let mut hints = 0;
    for (name, mut made) in sittings::all() {
        for with_working in [false, true] {
            made.with_working = with_working;
            for (number, text) in to_try_again(&made.page()) {
                let said = |text: &str| text.to_owned();
                let question = made.paper.question(number).unwrap();
                let note = &made.key.notes[&number];
                let hint = format!("Hint: {}", note.hint.as_ref().unwrap());
                let options = question.options.iter().cloned();
                let all = options.chain([said(question.stem.as_ref().unwrap()), hint]);
                for part in all {
                    assert!(text.contains(&one_line(&part)), "{name} {number}: {part}");
                }
                if let Some(figure) = &question.figure {
                    assert!(text.contains(figure.as_str()), "{name} {number}: {figure}");
                }
                let working = one_line(note.working.as_ref().unwrap());
                assert_eq!(text.contains(&working), with_working, "{name} {number}");
                hints += 1;
            }
        }
    }
    assert!(hints > 200, "{hints}");
}

/// Long stems, hints and workings, a figure of 60 columns, more questions than two sides hold: nothing is cut.
#[test]
fn a_crowded_page_cuts_nothing_and_sets_across_what_a_column_cannot_hold() {
    let made = sittings::crowded();
    let (page, told) = (made.page(), made.told());
    let text = words(&page);
    assert_eq!(to_try_again(&page).len(), 24);
    // A label in a picture may be short: its words beside it are not.
    // So may the title of the browser's window.
    let body = page.split_once("<body>").unwrap().1;
    let cut = body.matches("...").count();
    let in_pictures = body
        .split("</svg>")
        .filter_map(|part| part.split("<svg").nth(1));
    let in_pictures: usize = in_pictures.map(|part| part.matches("...").count()).sum();
    assert_eq!(cut, in_pictures, "{text}");
    for line in told
        .well
        .iter()
        .chain(&told.next)
        .chain([&made.header.paper.title])
    {
        assert!(text.contains(&one_line(line)), "{line}");
    }
    assert_eq!(page.matches("<li class=\"across\">").count(), 24);
    let mut short = sittings::in_time();
    let wide = "-".repeat(60);
    let eighth = short.paper.questions.get_mut(7).unwrap();
    eighth.figure = Some(format!("  a\n{wide}\n  b"));
    eighth.figure_words = Some("A line of \"60\".".into());
    let page = short.page();
    assert_eq!(page.matches("<li class=\"across\">").count(), 1);
    let figure = format!(
        "<pre role=\"img\" aria-label=\"A line of &quot;60&quot;.\">  a\n{wide}\n  b</pre>"
    );
    assert!(page.contains(&figure), "{page}");
}

#[test]
fn the_nearest_questions_come_first_and_every_bar_is_drawn() {
    let page = sittings::crowded().page();
    let (first, later) = page.split_once("When you have done those").unwrap();
    assert_eq!(to_try_again(first).len(), 8);
    assert_eq!(to_try_again(later).len(), 16);
    assert!(!sittings::swept().page().contains("When you have"));
    let mut many = sittings::in_time();
    let paper = papers::paper("Many", 60, [papers::section(1, 80, ["1", "0", "0"])]);
    many.header = sat::header("otter", &paper);
    let bars = many.page().matches("class=\"end\" x=\"28\"").count();
    assert_eq!(bars, 80);
}

#[test]
fn a_kept_plan_and_a_swept_end_are_praised_and_guesses_are_said_calmly() {
    let told = sittings::swept().told();
    assert!(told.hour.plan);
    let text = words(&sittings::swept().page());
    assert!(
        text.contains("The small upright line shows your plan."),
        "{text}"
    );
    assert!(
        text.contains("You guessed 4. About 1 is usually right; 1 was."),
        "{text}"
    );
    assert!(text.contains("No blanks this time."), "{text}");
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
        text.contains("Check this year's rules first: nobody has recorded a check."),
        "{text}"
    );
}

#[test]
fn a_printed_paper_says_what_its_times_are() {
    let text = words(&sittings::printed().page());
    assert!(text.contains("each time shows how long the question was open on screen"));
    assert!(text.contains("Your mark by the minute"));
}

#[test]
fn where_times_are_withheld_the_page_says_so_kindly_and_leaves_the_pictures_out() {
    for (made, said) in [
        (
            sittings::batched(),
            "Next time, type each question's number as you start it",
        ),
        (sittings::entered(), "answers were typed in afterwards"),
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
    assert!(text.contains("Your answers are kept, but it doesn't count."));
    for word in [" wrong", "125", "Your mark", "dunlin"] {
        assert!(!text.contains(word), "{word}: {text}");
    }
}

#[test]
fn nothing_and_everything_right_are_both_met_with_a_true_kind_word() {
    let nothing = words(&sittings::blank().page());
    assert!(nothing.contains("0 of 125 marks") && nothing.contains("That's a start."));
    let all = words(&sittings::all_right().page());
    assert!(all.contains("125 of 125 marks") && all.contains("You reached tern"));
    assert!(!all.contains("try again") && !all.contains("next award"));
}

/// The list of words never shown to a pupil (common practice, no source), and what no page of one
/// pupil may hold: a rank, or a word of anybody else.
#[test]
fn no_page_says_what_hurts() {
    for (name, made) in sittings::all() {
        let told = made.told();
        // Questions, hints and workings are the paper's.
        let page = made.page();
        let own = page.split("id=\"again\"").next().unwrap();
        let text = words(own).to_lowercase();
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
