//! The start page as scripts of keys, drawn and chosen from.

#![cfg(test)]

#[path = "start_pages/kept.rs"]
mod kept;
#[path = "common/keyboard.rs"]
mod keyboard;
#[path = "start_pages/made_up.rs"]
mod made_up;
#[path = "common/papers.rs"]
mod papers;
#[path = "start_pages/registered.rs"]
mod registered;
#[path = "start_pages/typing.rs"]
mod typing;

use std::path::{Path, PathBuf};

use crossterm::event::KeyCode;
use pacebell::domain::header::{Alias, Arrangements, SLEEP_IS_TOLD};
use pacebell::domain::mark::Mark;
use pacebell::domain::questions::QuestionList;
use pacebell::domain::rule::QuestionNo;
use pacebell::domain::time::Elapsed;
use pacebell::screens::kit::{Frame, Key, is_too_small};
use pacebell::screens::start::{Choice, Offer, Seating, Start};
use pacebell::screens::theme::Theme;
use pacebell::words::samples::carried;
use ratatui::buffer::{Buffer, Cell};
use ratatui::layout::{Position, Rect, Size};
use ratatui::widgets::Widget;

use made_up::offer;

const USUAL: Size = Size::new(80, 24);

/// Keys as text: a letter is typed, a word in angle brackets is a key.
fn keys(script: &str) -> Vec<Key> {
    let mut presses = Vec::new();
    let mut rest = script;
    while let Some(c) = rest.chars().next() {
        let named = rest.strip_prefix('<').and_then(|r| r.split_once('>'));
        if let Some((name, after)) = named {
            presses.push(match name {
                "up" => Key::Up,
                "down" => Key::Down,
                "left" => Key::Left,
                "right" => Key::Right,
                "pageup" => Key::PageUp,
                "pagedown" => Key::PageDown,
                "home" => Key::Home,
                "end" => Key::End,
                "enter" => Key::Enter,
                "esc" => Key::Esc,
                "back" => Key::Backspace,
                "f1" => Key::F(1),
                "ctrl-c" => Key::STOP,
                "other" => Key::Other(KeyCode::Insert),
                _ => panic!("no such key: {name}"),
            });
            rest = after;
        } else {
            presses.push(Key::Char(c));
            rest = rest.strip_prefix(c).unwrap();
        }
    }
    presses
}

fn play_at(offer: Offer, script: &str, size: Size) -> (Start, Option<Choice>) {
    let mut start = Start::new(offer);
    for press in keys(script) {
        match start.press(press, size) {
            // The page stays, and goes on to the papers.
            None | Some(Choice::SkipKeys { .. }) => {}
            Some(choice) => return (start, Some(choice)),
        }
    }
    (start, None)
}

fn chosen(script: &str) -> Option<Choice> {
    play_at(offer(), script, USUAL).1
}

fn painted(start: &Start, size: Size) -> Buffer {
    let theme = Theme::plain();
    let mut buffer = Buffer::empty(Rect::from((Position::ORIGIN, size)));
    Frame { page: start, theme }.render(buffer.area, &mut buffer);
    buffer
}

/// What the row on sleep says where a program cannot tell it.
const SLEEP_UNTOLD: &str = "  (always on Windows)";

/// A page as it was agreed for systems that tell sleep.
fn drawn(start: &Start, size: Size) -> String {
    let text = drawn_here(start, size);
    if SLEEP_IS_TOLD {
        text
    } else {
        text.replace(SLEEP_UNTOLD, "")
    }
}

fn drawn_here(start: &Start, size: Size) -> String {
    let buffer = painted(start, size);
    let columns = usize::from(size.width).max(1);
    let line = |cells: &[Cell]| {
        let line: String = cells.iter().map(Cell::symbol).collect();
        line.trim_end().to_owned() + "\n"
    };
    buffer.content.chunks(columns).map(line).collect()
}

/// A page's words without its line breaks.
fn words(page: &str) -> String {
    page.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn page(script: &str) -> String {
    let (start, choice) = play_at(offer(), script, USUAL);
    assert_eq!(choice, None, "{script}");
    drawn(&start, USUAL)
}

/// Every page, by a name and the keys that lead to it.
const PAGES: [(&str, &str); 15] = [
    ("pupils", ""),
    ("new-alias", "new<enter>blue-7"),
    ("alias-refused", "new<enter>blue "),
    ("learn", "new<enter>blue-7<enter>"),
    ("go-on", "otter<enter>s"),
    ("go-on-time-up", "wren<enter>"),
    ("papers", "heron<enter>"),
    ("broken-paper", "heron<enter><down><down><enter>"),
    ("arrangements", "heron<enter><enter><down><right><right>"),
    ("typing", "heron<enter><enter><down><down><down>3-1"),
    ("read-out", "heron<enter><enter><down>25<enter><enter>s"),
    ("past-pupils", "past<enter>"),
    ("past", "past<enter><enter>"),
    ("help", "heron<enter><enter><f1>"),
    ("notices", "what<enter>"),
];

#[test]
fn a_sitting_that_was_given_up_says_so_among_the_past_ones() {
    let past = page("past<enter><down><down><enter>");
    assert_eq!(past.matches("given up; no mark shown").count(), 1, "{past}");
    assert!(!page("past<enter><enter>").contains("given up"));
}

#[test]
fn where_no_paper_is_the_samples_are_offered() {
    let mut offer = offer();
    offer.papers.clear();
    offer.samples = Some(carried(6, Path::new("sample-papers")));
    for size in [Size::new(60, 18), USUAL, Size::new(120, 40)] {
        let (start, choice) = play_at(offer.clone(), "heron<enter>w", size);
        assert_eq!(choice, None);
        let name = format!("no-paper-{}x{}", size.width, size.height);
        insta::assert_snapshot!(name, drawn(&start, size));
    }
    let pupil = Alias::new("heron").unwrap();
    let wanted = Some(Choice::WriteSamples { pupil });
    assert_eq!(
        play_at(offer.clone(), "heron<enter>w<enter>", USUAL).1,
        wanted
    );
    for script in [
        "heron<enter><enter><enter>",
        "heron<enter>wx<enter>",
        "heron<enter>ww<enter>",
    ] {
        assert_eq!(play_at(offer.clone(), script, USUAL).1, None, "{script}");
    }
}

#[test]
fn every_page_is_drawn_as_agreed() {
    for (name, script) in PAGES {
        for size in [Size::new(60, 18), USUAL, Size::new(120, 40)] {
            let (start, choice) = play_at(offer(), script, size);
            assert_eq!(choice, None, "{name}");
            let name = format!("{name}-{}x{}", size.width, size.height);
            insta::assert_snapshot!(name, drawn(&start, size));
        }
    }
}

#[test]
fn every_page_is_drawn_at_every_size() {
    for (name, script) in PAGES {
        let mut start = play_at(offer(), script, USUAL).0;
        for height in 0..=40 {
            for width in 0..=90 {
                let size = Size::new(width, height);
                // Too small a window looks the same on every page.
                if name == "pupils" || !is_too_small(size) {
                    assert_eq!(painted(&start, size).area.as_size(), size);
                }
            }
            start.press(Key::PageDown, Size::new(80, height));
        }
    }
}

#[test]
fn every_key_that_works_is_named_and_no_other_works() {
    let asked = [
        ("quit", "<esc>"),
        ("quit said", "<esc>y"),
        ("start", "heron<enter><enter><enter>s"),
        ("going on, or another paper", "otter<enter><down>"),
        ("a yes or a no", "heron<enter><enter><down><down>"),
        ("no value yet", "heron<enter><enter><enter>"),
    ];
    for (name, script) in PAGES.into_iter().chain(asked) {
        let (start, _) = play_at(offer(), script, USUAL);
        keyboard::every_key_that_works_is_named(name, &start, |start, key| {
            start.press(key, USUAL).is_some()
        });
    }
}

#[test]
fn the_row_on_sleep_says_where_it_always_counts() {
    let (start, _) = play_at(offer(), "heron<enter><enter>", USUAL);
    let page = drawn_here(&start, USUAL);
    assert!(page.contains("Time asleep counts < yes >"), "{page}");
    assert_eq!(page.contains(SLEEP_UNTOLD), cfg!(windows), "{page}");
}

#[test]
fn four_steps_lead_to_a_sitting() {
    let seating = |minutes, arrangements| {
        Some(Choice::Sit(Box::new(Seating {
            pupil: Alias::new("heron").unwrap(),
            paper: PathBuf::from("sample-papers/saltmarsh-a.paper.ron"),
            minutes,
            arrangements,
            marks_at_end: true,
        })))
    };
    let usual = Arrangements::usual(Elapsed::minutes(60));
    assert_eq!(
        chosen("heron<enter><enter><enter>s<enter>"),
        seating(None, usual.clone())
    );
    assert_eq!(
        chosen(
            "h<enter>salt<enter>45<down>25<down>y<down>1-15<down>2<down>n<down>y<enter>S<enter>"
        ),
        seating(
            Some(Elapsed::minutes(45)),
            Arrangements {
                extra_percent: Mark::whole(25),
                rest_breaks: true,
                sleep_counts: !SLEEP_IS_TOLD,
                away_counts: true,
                remind_before: Elapsed::minutes(2),
                only: QuestionList::range(QuestionNo(1), QuestionNo(15)),
            }
        )
    );
    assert_eq!(
        chosen(
            "h<enter><enter><right><left><down><right><right><left><down><right><down><right><down><left><down><down><right><up><enter>s<enter>"
        ),
        seating(
            None,
            Arrangements {
                extra_percent: Mark::whole(10),
                rest_breaks: true,
                away_counts: true,
                remind_before: Elapsed::minutes(2),
                only: QuestionList::range(QuestionNo(1), QuestionNo(10)),
                ..usual
            }
        )
    );
}

#[test]
fn a_short_sitting_is_reminded_after_nine_tenths() {
    let Some(Choice::Sit(seating)) = chosen("h<enter><enter>10<enter><enter>s<enter>") else {
        panic!("nothing chosen");
    };
    assert_eq!(seating.minutes, Some(Elapsed::minutes(10)));
    assert_eq!(seating.arrangements.remind_before, Elapsed::minutes(1));
}

#[test]
fn quitting_takes_two_keys_or_its_own_row() {
    assert_eq!(chosen("<esc>"), None);
    assert_eq!(chosen("<esc>y<enter>"), Some(Choice::Quit));
    assert_eq!(chosen("<esc>Y<enter>"), Some(Choice::Quit));
    for not in ["<esc><enter>", "<esc>y<down><enter>", "<esc><enter>y"] {
        assert_eq!(chosen(not), None, "{not}");
    }
    assert!(page("<esc>").contains("Quit? Press Y, then Enter. Any other key stays."));
    assert_eq!(chosen("<esc><down>h<enter>"), None);
    assert_eq!(chosen("quit<enter>"), Some(Choice::Quit));
    assert_eq!(
        chosen("h<enter><enter><ctrl-c><ctrl-c>"),
        Some(Choice::Quit)
    );
    assert_eq!(chosen("h<enter><enter><ctrl-c><esc>"), None);
}

#[test]
fn escape_goes_back_one_step() {
    let trail = |script: &str| page(script).lines().next().unwrap().to_owned();
    let script = "h<enter><enter><enter>";
    assert!(trail(script).contains("[4 read out]"));
    assert!(trail(&format!("{script}<esc>")).contains("[3 arrangements]"));
    assert!(trail(&format!("{script}<esc><esc>")).contains("[2 paper]"));
    assert!(trail(&format!("{script}<esc><esc><esc>")).contains("[1 pupil]"));
    assert!(
        trail("h<enter><enter>12<esc>").contains("[3 arrangements]"),
        "only the typing ends"
    );
}

#[test]
fn an_unchecked_rule_and_a_first_run_say_what_to_do() {
    let unchecked = "h<enter><down><enter><enter><down><down><down><down><down><down><down><down>";
    assert!(page(unchecked).contains("Rule not checked this year"));
    let empty = Offer {
        pupils: vec![],
        papers: vec![],
        past: vec![],
        notices: vec![],
        ..offer()
    };
    let (start, choice) = play_at(empty, "<enter>fox<enter><enter><enter>", USUAL);
    assert_eq!(choice, None);
    assert!(drawn(&start, USUAL).contains("No paper was found."));
}

#[test]
fn a_long_list_scrolls_with_the_chosen_row() {
    let many = Offer {
        pupils: (1..=60)
            .map(|n| Alias::new(&format!("p{n:02}")).unwrap())
            .collect(),
        past: vec![],
        ..offer()
    };
    for (script, shown) in [
        ("<pagedown><pagedown>", "> p37"),
        ("p59", "> p59"),
        ("<end>", "> Quit"),
    ] {
        let (start, _) = play_at(many.clone(), script, USUAL);
        let text = drawn(&start, USUAL);
        assert!(text.contains(shown), "{text}");
    }
}

#[test]
fn a_window_too_small_takes_no_keys_but_the_last_resort() {
    let small = Size::new(59, 18);
    let (start, choice) = play_at(offer(), "quit<enter><esc><enter>", small);
    assert_eq!(choice, None);
    assert!(drawn(&start, small).contains("needs 60 columns and 18 rows"));
    assert_eq!(
        play_at(offer(), "<ctrl-c><ctrl-c>", small).1,
        Some(Choice::Quit)
    );
}

#[test]
fn sittings_that_nobody_sat_say_so_in_every_list() {
    let mut offer = offer();
    for sitting in &mut offer.past {
        sitting.invented = true;
    }
    for (script, many) in [("otter<enter>", 1), ("past<enter>otter<enter>", 1)] {
        for size in [Size::new(60, 18), USUAL, Size::new(120, 40)] {
            let (start, _) = play_at(offer.clone(), script, size);
            let page = drawn(&start, size);
            assert!(page.matches("invented data: ").count() >= many, "{page}");
        }
    }
}

/// Heron has questions due; wren's are due too, once the open sitting is left alone.
fn with_practice() -> Offer {
    Offer {
        practice: vec![
            (Alias::new("heron").unwrap(), 4),
            (Alias::new("wren").unwrap(), 1),
        ],
        ..offer()
    }
}

#[test]
fn practice_is_offered_once_a_pupil_with_questions_due_is_chosen() {
    let practises = |pupil: &str| {
        let pupil = Alias::new(pupil).unwrap();
        Some(Choice::Practise { pupil })
    };
    let chosen = |script| play_at(with_practice(), script, USUAL).1;
    assert_eq!(chosen("heron<enter><down><enter>"), practises("heron"));
    assert_eq!(
        chosen("wren<enter><down><enter><down><enter>"),
        practises("wren"),
        "past the open sitting"
    );
    let (start, choice) = play_at(with_practice(), "heron<enter><enter>", USUAL);
    assert_eq!(choice, None);
    assert!(drawn(&start, USUAL).contains("heron: which paper?"));
    // Nobody's is told before a pupil is chosen, nor another's afterwards.
    for script in ["", "otter<enter><down><enter>"] {
        let (start, _) = play_at(with_practice(), script, USUAL);
        let page = drawn(&start, USUAL);
        assert!(!page.contains("Practice"), "{page}");
    }
    for size in [Size::new(60, 18), USUAL, Size::new(120, 40)] {
        let (start, _) = play_at(with_practice(), "heron<enter>", size);
        let name = format!("practice-{}x{}", size.width, size.height);
        insta::assert_snapshot!(name, drawn(&start, size));
    }
    let (start, _) = play_at(with_practice(), "heron<enter>", USUAL);
    keyboard::every_key_that_works_is_named("practice", &start, |start, key| {
        start.press(key, USUAL).is_some()
    });
}
