//! Keys pressed, and what the page then shows.

use pacebell::domain::notes::Cause;
use pacebell::domain::rule::QuestionNo;
use pacebell::screens::kit::Key;
use pacebell::screens::review::{Request, Tab};

use crate::made;
use crate::room::Room;

#[test]
fn from_the_list_to_why_question_eleven_was_wrong_and_what_it_cost_in_four_keys() {
    let mut room = Room::with(vec![made::otter(40)], true);
    room.press(&[Key::Enter, Key::Char('1'), Key::Char('1'), Key::Enter]);
    let shown = room.text();
    assert_eq!(room.review.tab(), Some(Tab::Question));
    for words in [
        "Question 11 is wrong: D was chosen, but C is right. That cost 5 marks.",
        "D says: took off only 2 ways for the gap instead of 4",
        // 312 s and 45 s; an even share is 60 min / 25 = 2:24.
        "5 min 57 s in 2 visits (plan 2 min 24 s, 3 min 33 s over)",
    ] {
        assert!(shown.contains(words), "{words}\n{shown}");
    }
}

#[test]
fn typing_filters_and_the_arrows_sort() {
    let mut room = Room::season();
    let order = |room: &Room| {
        let lines: Vec<_> = room.text().lines().skip(4).map(str::to_owned).collect();
        let first = |line: &String| {
            line.get(4..)
                .unwrap_or("")
                .split(' ')
                .next()
                .unwrap_or("")
                .to_owned()
        };
        lines.iter().take(9).map(first).collect::<Vec<_>>()
    };
    assert_eq!(
        order(&room)[..3],
        ["heron", "dunlin", "teal"],
        "the newest first"
    );
    room.press(&[Key::Right]);
    assert_eq!(
        order(&room)[..4],
        ["avocet", "curlew", "dunlin", "heron"],
        "by pupil"
    );
    room.press(&[Key::Left, Key::Left]);
    assert_eq!(order(&room)[0], "plover", "118 of 125 is the best");
    assert_eq!(
        order(&room)[8],
        "heron",
        "an open sitting has no mark to sort by"
    );
    room.types("otter 2026-10");
    let shown = room.text();
    assert!(shown.contains("1 with: otter 2026-10_"), "{shown}");
    assert!(shown.contains("saltmarsh-b") && !shown.contains("saltmarsh-a"));
    room.press(&[Key::Esc]);
    assert!(!room.text().contains("with:"));
    assert_eq!(room.press(&[Key::Esc, Key::Enter]), Some(Request::Leave));
}

#[test]
fn a_cause_and_a_note_are_kept_beside_the_session_and_show_at_once() {
    let mut room = Room::season().open("otter");
    room.types("11");
    room.press(&[Key::Enter]);
    room.types("e8");
    assert!(room.text().contains("Note: Cause: sink"), "{}", room.text());
    room.types("nmap");
    room.press(&[Key::Backspace, Key::Char('p'), Key::Enter]);
    let notes = room.kept.notes.values().next().unwrap().clone();
    let said = &notes.questions[&QuestionNo(11)];
    assert_eq!(
        (said.cause, &*said.text, &*said.by),
        (Some(Cause::Sink), "map", "P.B.")
    );
    room.types("m");
    assert!(
        room.text().contains("lines"),
        "the page is longer than the window"
    );
    room.press(&[Key::End]);
    assert!(
        room.text().contains("sink  5 marks  Q11"),
        "{}",
        room.text()
    );
    room.types("n");
    room.types("a good hour");
    room.press(&[Key::Enter]);
    assert_eq!(
        room.kept
            .notes
            .values()
            .next()
            .unwrap()
            .whole
            .as_ref()
            .unwrap()
            .text,
        "a good hour"
    );
    room.kept.refuses = Some("the disk is full".into());
    room.types("11");
    room.press(&[Key::Enter]);
    room.types("e1");
    assert!(room.text().contains("the disk is full"));
    assert!(
        room.text().contains("Note: Cause: sink"),
        "what is not saved does not show as kept"
    );
}

#[test]
fn no_cause_is_asked_for_where_no_mark_was_lost() {
    let mut room = Room::season().open("otter");
    room.types("12");
    room.press(&[Key::Enter]);
    room.types("e");
    assert!(
        room.text().contains("No marks were lost on question 12"),
        "{}",
        room.text()
    );
    room.types("26");
    room.press(&[Key::Enter]);
    assert!(room.text().contains("There's no question 26"));
}

#[test]
fn replay_steps_by_event_minute_and_question_and_plays() {
    let mut room = Room::season().open("otter");
    room.types("r");
    room.press(&[Key::Right, Key::Right, Key::Right]);
    // Opened at 0:00 holds from the start: Q1 answered 69.3 s, Q2 opened 70 s, Q2 answered 164.3 s.
    let shown = room.text();
    assert!(
        shown.contains("2:44 after the start: 2:44 used, 57:16 left"),
        "{shown}"
    );
    assert!(shown.contains("now: 8 of 125; 2 of 25 answered"), "{shown}");
    room.press(&[Key::Down, Key::Right]);
    assert!(
        room.text().contains("3:00 after the start"),
        "{}",
        room.text()
    );
    room.press(&[Key::Down, Key::Right]);
    assert!(room.text().contains("4:05 after the start") && room.text().contains("Q4 open"));
    room.press(&[Key::Left, Key::Left]);
    assert!(
        room.text().contains("1:10 after the start"),
        "{}",
        room.text()
    );
    assert_eq!(room.review.next_change(), None, "nothing plays");
    // At 60 times, half a second is half a minute.
    room.types(" ");
    let wait = room.review.next_change().unwrap();
    assert!((1..=1000).contains(&wait), "{wait}");
    room.review.passed(500);
    assert!(
        room.text().contains("1:40 after the start"),
        "{}",
        room.text()
    );
    room.types("++");
    room.review.passed(60_000);
    // 240 times a minute is past the end, where it stands.
    let shown = room.text();
    assert!(
        shown.contains("60:20 after the start: 60:00 used, 0:00 left"),
        "{shown}"
    );
    assert!(
        shown.contains("92 of 125 (97 with the guesses)") && shown.contains("Paused"),
        "{shown}"
    );
    room.press(&[Key::Home]);
    room.review.passed(60_000);
    assert!(room.text().contains("0:00 after the start"), "it stands");
}

#[test]
fn a_minute_back_from_the_end_passes_through_time_up_and_a_break_does_not_hold_it() {
    use pacebell::domain::event::{Ending, Event};
    use pacebell::domain::rule::QuestionNo;
    let mut header = made::header(&made::paper("saltmarsh-a"), "otter", 1);
    header.arrangements.rest_breaks = true;
    let events = vec![
        (0, Event::Opened(QuestionNo(1))),
        (90_000, Event::BreakStarted),
        (390_000, Event::BreakEnded),
        (500_000, Event::Closed(Ending::FinishedEarly)),
    ];
    let log = made::stamped(&header, events);
    let mut room = Room::with(vec![(header, log)], true);
    room.press(&[Key::Enter]);
    room.types("r");
    room.press(&[Key::Down]);
    let mut seen = Vec::new();
    for key in [Key::Right; 5].into_iter().chain([Key::Left; 5]) {
        room.press(&[key]);
        let shown = room.text();
        let line = shown.lines().nth(3).unwrap().trim().to_owned();
        seen.push(line.split(" after").next().unwrap().to_owned());
    }
    // Minute 2 of the time used comes after five minutes of break; 3:20 are used at the end.
    let there = ["1:00", "7:00", "8:00", "8:20", "8:20"];
    let back = ["8:00", "7:00", "1:00", "0:00", "0:00"];
    assert_eq!(seen, [there, back].concat());
}

#[test]
fn findings_lead_to_their_question() {
    let mut room = Room::season().open("otter");
    room.types("f");
    room.press(&[Key::Enter]);
    assert_eq!(room.review.tab(), Some(Tab::Question));
    assert!(
        room.text().contains("Question 11 is wrong"),
        "the sink is the first"
    );
    room.press(&[Key::Down]);
    assert!(
        room.text().contains("Question 12 is right: B."),
        "{}",
        room.text()
    );
}

#[test]
fn pages_turn_by_letter_and_by_arrow_and_esc_leads_back() {
    let mut room = Room::season().open("otter");
    room.press(&[Key::Right]);
    assert_eq!(room.review.tab(), Some(Tab::Time));
    room.press(&[Key::Left, Key::Left]);
    assert_eq!(room.review.tab(), Some(Tab::Beside));
    room.types("C");
    assert_eq!(room.review.tab(), Some(Tab::Curve));
    room.press(&[Key::Esc]);
    assert_eq!(room.review.tab(), None);
    assert!(
        room.text().contains(">  otter"),
        "the row is still the chosen one"
    );
}

/// The paper has 25 questions: what lies beyond is not agreed on, and what was typed stays to be put right.
#[test]
fn a_step_beyond_the_paper_is_refused_where_it_is_typed() {
    let mut room = Room::season().open("otter");
    room.press(&[Key::F(6)]);
    room.types("checkpoint 26 by 12:00");
    room.press(&[Key::Enter]);
    let text = room.text();
    assert!(text.contains("ends with question 25"), "{text}");
    assert!(text.contains("checkpoint 26 by 12:00_"), "{text}");
    room.press(&[Key::Esc]);
}

#[test]
fn the_group_is_made_once_and_only_of_people_who_sat_it_whole() {
    let mut room = Room::season().open("otter");
    assert_eq!(room.review.group_wanted(), None, "it came with the opening");
    room.types("b");
    assert!(
        room.text()
            .contains("the group's median on this paper, 7 people")
    );
    let mut alone = Room::with(vec![made::otter(40), made::otter(41)], true).open("otter");
    alone.types("b");
    assert!(
        !alone.text().contains("median"),
        "one pupil twice is no group"
    );
    alone.types("f");
    alone.press(&[Key::End]);
    assert!(!alone.text().contains("group of 2"));
}
