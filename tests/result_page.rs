//! The result page, with the key and without.

#![cfg(test)]

#[path = "common/keyboard.rs"]
mod keyboard;

use pacebell::analysis::{AwardMark, Marks};
use pacebell::domain::event::{Ending, How};
use pacebell::domain::header::Alias;
use pacebell::domain::labels::Label;
use pacebell::domain::mark::Mark;
use pacebell::domain::marking::{Answer, Marked, Outcome, QuestionMark};
use pacebell::domain::rule::QuestionNo;
use pacebell::odds::luck::Luck;
use pacebell::odds::shortfall::{More, Short, Ways};
use pacebell::screens::kit::{Frame, Key};
use pacebell::screens::result::{AfterKey, AfterResult, ResultPage};
use pacebell::screens::theme::Theme;
use pacebell::season::mark_range::AnotherDay;
use pacebell::words::guess::GuessWorth;
use pacebell::words::result::{BlanksLastTime, Done, Ended};
use ratatui::buffer::{Buffer, Cell};
use ratatui::layout::{Position, Rect, Size};
use ratatui::widgets::Widget;

const SIZES: [Size; 3] = [Size::new(60, 18), Size::new(80, 24), Size::new(120, 40)];

fn ended(marks: Option<Marks>) -> Ended {
    Ended {
        pupil: Alias::new("heron").unwrap(),
        paper: "Saltmarsh A".into(),
        ending: Ending::GuessRoundDone,
        done: Done {
            start: Mark::ZERO,
            questions: 25,
            in_time: 20,
            after_time: 3,
            blanks: vec![QuestionNo(24), QuestionNo(25)],
            flags: vec![QuestionNo(9)],
            guesses: GuessWorth::Marks(Mark::whole(5)),
            unsure: vec![QuestionNo(4)],
            guessed: vec![QuestionNo(5), QuestionNo(6)],
            last_time: Some(BlanksLastTime {
                blanks: 9,
                questions: 25,
                other_paper: None,
            }),
        },
        step: None,
        range: marks
            .as_ref()
            .map(|_| AnotherDay::Between((Mark::whole(41), Mark::whole(83)))),
        marks,
        good: "You left question 8, came back and got it right.".into(),
        next:
            "2 questions had no answer in time. Next time, keep the last 3 minutes for the blanks."
                .into(),
        saved_at: "/home/tutor/sessions/heron/2026-11-25.session.ron".into(),
        invented: false,
    }
}

fn marks() -> Marks {
    let award = |name: &str, boundary: i64, in_time, with_guess_round, short| AwardMark {
        name: name.into(),
        boundary: Mark::whole(boundary),
        reached_in_time: in_time,
        reached_with_guess_round: with_guess_round,
        short,
    };
    let question = |number: u16| {
        let given = (number < 24).then(|| Label::new('C').unwrap());
        QuestionMark {
            answer: Answer {
                number: QuestionNo(number),
                given,
                how: given.map(|_| match number {
                    4 => How::Unsure,
                    5 | 6 => How::Guessed,
                    _ => How::Worked,
                }),
                after_time: (21..24).contains(&number),
            },
            outcome: match number {
                24.. => Outcome::Blank,
                12 => Outcome::Void,
                n if n % 3 == 0 => Outcome::Wrong,
                _ => Outcome::Right,
            },
            marks: Mark::ZERO,
            max: Mark::whole(5),
        }
    };
    let sheet = |total, questions| Marked {
        total: Mark::whole(total),
        max: Mark::whole(125),
        sections: vec![],
        questions,
    };
    let all: Vec<_> = (1..=25).map(question).collect();
    let in_time = |question: &QuestionMark| QuestionMark {
        outcome: match question.outcome {
            _ if question.answer.after_time => Outcome::Blank,
            outcome => outcome,
        },
        ..*question
    };
    let four = More {
        section: "21-25".into(),
        questions: 4,
        first: None,
    };
    Marks {
        in_time: sheet(62, all.iter().map(in_time).collect()),
        with_guess_round: sheet(66, all),
        worked: sheet(62, vec![]),
        awards: vec![
            award("dunlin", 52, true, true, None),
            award("curlew", 66, false, true, None),
            award(
                "tern",
                90,
                false,
                false,
                Some(Short {
                    by: Mark::whole(28),
                    ways: Ways::Either(vec![four]),
                }),
            ),
        ],
        luck: Luck {
            guesses: 0,
            after_time: 0,
            filled: 0,
            right: 0,
            expected_right: 0.0,
            expected: 0.0,
            actual: Mark::ZERO,
            at_least_this: None,
            at_most_this: None,
            none_right: 1.0,
        },
    }
}

fn painted(page: &ResultPage, size: Size) -> Buffer {
    let theme = Theme::plain();
    let mut buffer = Buffer::empty(Rect::from((Position::ORIGIN, size)));
    Frame { page, theme }.render(buffer.area, &mut buffer);
    buffer
}

fn drawn(page: &ResultPage, size: Size) -> String {
    let line = |cells: &[Cell]| {
        let line: String = cells.iter().map(Cell::symbol).collect();
        line.trim_end().to_owned() + "\n"
    };
    let columns = usize::from(size.width).max(1);
    painted(page, size)
        .content
        .chunks(columns)
        .map(line)
        .collect()
}

#[test]
fn the_page_is_drawn_as_agreed_with_the_key_and_without() {
    for (name, marks) in [("with-key", Some(marks())), ("no-key", None)] {
        for size in SIZES {
            let page = ResultPage::new(ended(marks.clone()), AfterResult::Away);
            let name = format!("{name}-{}x{}", size.width, size.height);
            insta::assert_snapshot!(name, drawn(&page, size));
        }
    }
    let mut page = ResultPage::new(ended(Some(marks())), AfterResult::Away);
    page.press(Key::End, SIZES[0]);
    insta::assert_snapshot!("with-key-end-60x18", drawn(&page, SIZES[0]));
}

#[test]
fn a_sitting_that_nobody_sat_says_so_at_the_top() {
    let mut invented = ended(Some(marks()));
    invented.invented = true;
    for size in SIZES {
        let page = drawn(&ResultPage::new(invented.clone(), AfterResult::Away), size);
        assert!(
            page.contains("Invented data: made with pacebell demo."),
            "{page}"
        );
    }
    let page = drawn(&ResultPage::new(ended(None), AfterResult::Away), SIZES[2]);
    assert!(!page.contains("nvented"), "{page}");
}

#[test]
fn the_page_is_drawn_at_every_size() {
    let mut page = ResultPage::new(ended(Some(marks())), AfterResult::Away);
    for height in 0..=40 {
        for width in 0..=90 {
            let size = Size::new(width, height);
            assert_eq!(painted(&page, size).area.as_size(), size);
        }
        page.press(Key::PageDown, Size::new(80, height));
    }
}

#[test]
fn q_leaves_and_other_keys_stay() {
    let press = |keys: &[Key]| {
        let mut page = ResultPage::new(ended(None), AfterResult::Away);
        keys.iter().map(|key| page.press(*key, SIZES[1])).last()
    };
    assert_eq!(press(&[Key::Enter]), Some(AfterKey::Stays));
    assert_eq!(press(&[Key::Enter, Key::Enter]), Some(AfterKey::Stays));
    assert_eq!(press(&[Key::STOP, Key::STOP]), Some(AfterKey::Stays));
    assert_eq!(press(&[Key::Enter, Key::Char('Q')]), Some(AfterKey::Left));
    assert_eq!(
        press(&[Key::Enter, Key::Down, Key::Enter]),
        Some(AfterKey::Stays)
    );
    assert_eq!(press(&[Key::Char('q')]), Some(AfterKey::Left));
    assert_eq!(press(&[Key::Char('a'), Key::Esc]), Some(AfterKey::Stays));
}

#[test]
fn q_goes_on_to_the_questions_where_they_come_next() {
    let mut page = ResultPage::new(ended(None), AfterResult::Questions);
    assert!(drawn(&page, SIZES[1]).contains("Q on to your questions"));
    page.press(Key::Enter, SIZES[1]);
    let asked = drawn(&page, SIZES[1]);
    assert!(
        asked.contains("Press Q to go on to your questions."),
        "{asked}"
    );
    assert_eq!(page.press(Key::Char('q'), SIZES[1]), AfterKey::Left);
    let away = drawn(&ResultPage::new(ended(None), AfterResult::Away), SIZES[1]);
    assert!(away.contains("Q leave"), "{away}");
}

#[test]
fn the_last_time_on_another_paper_names_it() {
    let mut told = ended(None);
    told.done.last_time = Some(BlanksLastTime {
        blanks: 0,
        questions: 12,
        other_paper: Some("Saltmarsh first".into()),
    });
    let page = drawn(&ResultPage::new(told, AfterResult::Away), SIZES[2]);
    let words: Vec<_> = page.split_whitespace().collect();
    let last = "Last time: 0 of 12 questions (Saltmarsh first).";
    assert!(words.join(" ").contains(last), "{page}");
}

#[test]
fn what_was_unsure_or_a_guess_is_told_with_the_key_and_without() {
    for marks in [Some(marks()), None] {
        let page = drawn(
            &ResultPage::new(ended(marks), AfterResult::Away),
            Size::new(80, 60),
        );
        for said in [
            "Unsure: question 4.",
            "Guessed in time: questions 5 and 6.",
            "Still blank: questions 24 and 25.",
            "Flag on: question 9.",
        ] {
            assert!(page.contains(said), "{said}: {page}");
        }
    }
    let page = drawn(
        &ResultPage::new(ended(Some(marks())), AfterResult::Away),
        Size::new(80, 60),
    );
    for said in [
        "4 C? right",
        "5 C?? right",
        "7 C right",
        "? unsure  ?? guess",
    ] {
        assert!(page.contains(said), "{said}: {page}");
    }
}

#[test]
fn scrolling_stops_at_both_ends() {
    let mut page = ResultPage::new(ended(Some(marks())), AfterResult::Away);
    let top = drawn(&page, SIZES[0]);
    for _ in 0..100 {
        page.press(Key::Down, SIZES[0]);
    }
    let end = drawn(&page, SIZES[0]);
    assert!(end.contains("For practice only."), "{end}");
    page.press(Key::Up, SIZES[0]);
    assert_ne!(drawn(&page, SIZES[0]), end, "one key moves it again");
    page.press(Key::Home, SIZES[0]);
    assert_eq!(drawn(&page, SIZES[0]), top);
}

#[test]
fn every_key_that_works_is_named_and_no_other_works() {
    let mut page = ResultPage::new(ended(Some(marks())), AfterResult::Away);
    for name in ["result", "asked"] {
        keyboard::every_key_that_works_is_named(name, &page, |page, key| {
            page.press(key, SIZES[1]) == AfterKey::Left
        });
        page.press(Key::Enter, SIZES[1]);
    }
}

#[test]
fn help_names_every_key_and_goes_back_to_where_it_was() {
    let mut page = ResultPage::new(ended(Some(marks())), AfterResult::Away);
    page.press(Key::PageDown, SIZES[0]);
    let before = drawn(&page, SIZES[0]);
    page.press(Key::F(1), SIZES[0]);
    let help = drawn(&page, SIZES[0]);
    assert!(help.contains("Enter Esc Ctrl-C: how to leave"), "{help}");
    page.press(Key::Down, SIZES[0]);
    assert_eq!(page.press(Key::Enter, SIZES[0]), AfterKey::Stays);
    assert_eq!(drawn(&page, SIZES[0]), before);
}

/// A mark by a rule that begins with 24 holds them, and the range is the mark's in time.
#[test]
fn the_marks_say_what_they_begin_with_and_which_one_another_day_is_about() {
    let mut ended = ended(Some(marks()));
    ended.done.start = Mark::whole(24);
    let blocks = ended.blocks();
    let lines = |heading| {
        let block = blocks.iter().find(|block| block.heading == heading);
        block.unwrap().lines.join(" ")
    };
    assert_eq!(
        lines("Marks"),
        "In time: 62 of 125. That includes the 24 marks everybody starts with. \
         With the guess round: 66 of 125. \
         Marks change from day to day: 8 times in 10, your mark in time would be from 41 to 83."
    );
    assert!(lines("Awards").contains("four more right in questions 21-25."));
    assert!(lines("Awards").contains("By this paper's boundaries and your mark in time."));
}
