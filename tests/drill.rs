//! The drills: pages as scripts of keys, lines as they are heard, and what is kept.

#![cfg(test)]

#[path = "common/drawn.rs"]
mod drawn;
#[path = "common/keyboard.rs"]
mod keyboard;
#[path = "common/typed.rs"]
mod typed;

use std::fs;
use std::path::Path;
use std::process::Command;

use drawn::drawn;
use pacebell::domain::drill::{DrillKind, SweepDrill};
use pacebell::domain::header::Alias;
use pacebell::domain::labels::Labels;
use pacebell::domain::rule::QuestionNo;
use pacebell::domain::time::Elapsed;
use pacebell::screens::drill::{Drilled, KeysPage, SweepPage};
use pacebell::screens::kit::Key;
use pacebell::storage::journal::drills_of;
use ratatui::layout::Size;
use tempfile::TempDir;
use typed::typed;

const USUAL: Size = Size::new(80, 24);

fn page(blanks: u16) -> SweepPage {
    let labels = Labels::new("ABCDE").unwrap();
    let rows = (1..=blanks).map(|n| (QuestionNo(n), labels.clone()));
    let about = "Saltmarsh A: 25 blanks, 90 seconds. Nothing here is marked.";
    SweepPage::new(SweepDrill::new(rows.collect()), about.to_owned())
}

/// A sweep that is on, from moment 10 s of the clock.
fn started(blanks: u16) -> SweepPage {
    let mut page = page(blanks);
    page.press(Key::Char('s'), USUAL, Elapsed::seconds(9));
    page.press(Key::Enter, USUAL, Elapsed::seconds(10));
    page
}

#[test]
fn one_key_fills_one_blank_until_none_is_left() {
    let mut page = started(3);
    let at = |second: u64| Elapsed::seconds(10 + second);
    assert_eq!(page.press(Key::Char('b'), USUAL, at(2)), None);
    assert_eq!(page.press(Key::Char('z'), USUAL, at(3)), None);
    assert!(drawn(&page, USUAL).contains("Only letters count here: A to E."));
    assert_eq!(page.press(Key::Char('C'), USUAL, at(4)), None);
    let shown = drawn(&page, USUAL);
    assert!(shown.contains("86 seconds left   1 blank left"), "{shown}");
    assert!(shown.contains(">   3   A  B  C  D  E"), "{shown}");
    assert_eq!(
        page.press(Key::Char('c'), USUAL, at(9)),
        Some(Drilled::Ended)
    );
    assert_eq!(page.sweep().left(), 0);
    for key in ["a", "b", "c"] {
        let key = Key::Char(key.chars().next().unwrap());
        assert_eq!(
            page.press(key, USUAL, at(9)),
            None,
            "letters do nothing now"
        );
    }
    assert_eq!(page.press(Key::Enter, USUAL, at(10)), None);
    assert_eq!(page.press(Key::Enter, USUAL, at(11)), Some(Drilled::Left));
}

#[test]
fn it_ends_at_ninety_seconds_by_itself_and_no_later_key_counts() {
    let mut page = started(25);
    page.press(Key::Char('a'), USUAL, Elapsed::seconds(11));
    assert_eq!(page.tick(Elapsed(99_999)), None);
    assert_eq!(page.next_change(), Some(Elapsed(1)));
    let late = page.press(Key::Char('b'), USUAL, Elapsed(100_000));
    assert_eq!(late, Some(Drilled::Ended));
    assert_eq!(page.sweep().left(), 24);
}

#[test]
fn a_key_held_down_fills_one_blank() {
    let mut page = started(25);
    for step in 0..30 {
        page.press(Key::Char('a'), USUAL, Elapsed(11_000 + 33 * step));
    }
    assert_eq!(page.sweep().left(), 24);
}

#[test]
fn only_two_different_keys_start_it() {
    for key in [Key::Enter, Key::Char('s'), Key::Char('a'), Key::Down] {
        let mut page = page(25);
        for _ in 0..20 {
            page.press(key, USUAL, Elapsed::seconds(5));
        }
        assert_eq!(page.next_change(), None, "{key}");
    }
}

#[test]
fn the_pages_are_drawn_as_agreed() {
    for size in [Size::new(60, 18), USUAL, Size::new(120, 40)] {
        let name = |page: &str| format!("{page}-{}x{}", size.width, size.height);
        let mut sweep = page(25);
        insta::assert_snapshot!(name("ready"), drawn(&sweep, size));
        sweep.press(Key::Char('s'), size, Elapsed::ZERO);
        sweep.press(Key::Enter, size, Elapsed::ZERO);
        for (second, c) in (1..).zip("BDACEBDACEBDACEBD".chars()) {
            sweep.press(Key::Char(c), size, Elapsed::seconds(2 * second));
        }
        insta::assert_snapshot!(name("on"), drawn(&sweep, size));
        sweep.tick(Elapsed::seconds(90));
        sweep.say(vec!["You filled 17 of 25 blanks.".to_owned()]);
        insta::assert_snapshot!(name("over"), drawn(&sweep, size));
        let mut keys = KeysPage::default();
        for key in [Key::Char('b'), Key::Char('D'), Key::Char('x')] {
            keys.press(key, size);
        }
        insta::assert_snapshot!(name("keys"), drawn(&keys, size));
    }
}

#[test]
fn every_key_that_works_is_named_and_no_other_works() {
    let at = Elapsed::seconds(11);
    let mut sure = page(25);
    sure.press(Key::Char('s'), USUAL, at);
    let mut on = started(25);
    on.tick(at);
    let mut over = started(25);
    over.tick(Elapsed::seconds(100));
    for (name, page) in [
        ("ready", page(25)),
        ("sure", sure),
        ("on", on),
        ("over", over),
    ] {
        keyboard::every_key_that_works_is_named(name, &page, |page, key| {
            page.press(key, USUAL, at).is_some()
        });
    }
}

/// Every key that the drill asks for does in a sitting what the drill says: its name is one of the keys of
/// a sitting's help.
#[test]
fn the_keys_are_found_one_after_another() {
    let mut page = KeysPage::default();
    let keys = [
        Key::Char('b'),
        Key::Char('D'),
        Key::Char('?'),
        Key::Enter,
        Key::Char(' '),
        Key::Tab,
        Key::Char(','),
        Key::Char('C'),
        Key::Char('7'),
        Key::Enter,
        Key::Char('/'),
        Key::Char('!'),
        Key::Char('='),
        Key::Char('-'),
        Key::Char('.'),
        Key::F(1),
    ];
    let smallest = Size::new(60, 18);
    for (found, key) in keys.into_iter().enumerate() {
        let says = pacebell::words::drill::KEYS[found].1;
        let shown = drawn(&page, smallest);
        assert!(shown.contains(says), "{shown}");
        assert_eq!(page.found(), found);
        page.press(Key::Char('x'), USUAL);
        assert_eq!(page.found(), found, "another key is not taken for it");
        assert!(drawn(&page, USUAL).contains("That was x."));
        assert_eq!(page.press(key, USUAL), None);
    }
    for size in [smallest, USUAL] {
        let shown = drawn(&page, size);
        assert!(
            shown.contains("That's all.") && shown.contains("Press Q to leave"),
            "{shown}"
        );
    }
    page.press(Key::Esc, USUAL);
    assert!(drawn(&page, USUAL).contains("Press it once more to leave."));
    assert_eq!(page.press(Key::Char('q'), USUAL), Some(Drilled::Left));
    let mut arrows = KeysPage::default();
    arrows.press(Key::Right, USUAL);
    assert!(drawn(&arrows, USUAL).contains("That was the Right arrow. Press B"));
    let mut early = KeysPage::default();
    assert_eq!(early.press(Key::Esc, USUAL), Some(Drilled::Left));
}

fn heard(dir: &Path, words: &[&str], lines: &str) -> String {
    let mut program = Command::new(env!("CARGO_BIN_EXE_pacebell"));
    let done = typed(program.current_dir(dir).args(words), lines);
    assert!(done.status.success(), "{done:?}");
    String::from_utf8(done.stdout).unwrap()
}

fn one_a_line(letters: &str) -> String {
    letters.chars().flat_map(|letter| [letter, '\n']).collect()
}

#[test]
fn in_lines_it_is_kept_apart_from_sittings_and_compared_with_the_last() {
    let dir = TempDir::new().unwrap();
    fs::create_dir(dir.path().join("sessions")).unwrap();
    let words = ["drill", "sweep", "--pupil", "otter", "--plain"];
    let first = heard(
        dir.path(),
        &words,
        &format!(
            "start\nB\nD\n\naab\nback\nz\nTIME\n{}",
            one_a_line("ACEBDACEBDACEBDACEBDACE")
        ),
    );
    assert!(first.contains("25 blanks, 90 seconds."), "{first}");
    let refused = "Nothing filled. Type one letter, A to E, then Enter. Or type time or leave.\n";
    let heard_in_between = first.split("question 3.\n").collect::<Vec<_>>();
    assert!(
        heard_in_between[2].starts_with(&refused.repeat(3)),
        "{first}"
    );
    assert!(
        first.contains(" seconds left.\nNext: question 4."),
        "{first}"
    );
    assert!(first.contains("You filled 25 of 25 blanks."), "{first}");
    assert!(!first.contains("Last time"), "{first}");
    let all = one_a_line("BDACEBDACEBDACEBDACEBDACE");
    let second = heard(dir.path(), &words, &format!("start\n{all}"));
    assert!(
        second.contains("Last time: ") && second.contains("0 blanks left"),
        "{second}"
    );
    let otter = Alias::new("otter").unwrap();
    let kept = drills_of(&dir.path().join("sessions"), &otter, DrillKind::Sweep);
    let filled: Vec<_> = kept
        .iter()
        .map(|drill| (drill.blanks, drill.filled))
        .collect();
    assert_eq!(filled, [(25, 25), (25, 25)]);
    let names: Vec<_> = fs::read_dir(dir.path().join("sessions/otter"))
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    assert_eq!(names, ["sweep.drill.ron"], "no sitting came of it");
}

#[test]
fn left_early_it_is_not_kept_and_without_an_alias_nothing_is() {
    let dir = TempDir::new().unwrap();
    fs::create_dir(dir.path().join("sessions")).unwrap();
    let words = ["drill", "sweep", "--pupil", "otter", "--plain"];
    let never = heard(dir.path(), &words, "back\nleave\n");
    assert!(
        never.ends_with("leave to stop here.\nStopped. Nothing was started.\n"),
        "{never}"
    );
    let left = heard(dir.path(), &words, "start\nB\nleave\nA\n");
    assert!(
        left.ends_with("Next: question 2.\nStopped. This try is not kept.\n"),
        "{left}"
    );
    let said = heard(dir.path(), &words, "start\nB\nD\n");
    assert!(said.contains("Stopped. This try is not kept."), "{said}");
    let anyone = heard(
        dir.path(),
        &["drill", "sweep", "--plain"],
        &format!("start\n{}", one_a_line("BDACEBDACEBDACEBDACEBDACE")),
    );
    assert!(anyone.contains("You filled 25 of 25 blanks."), "{anyone}");
    assert_eq!(
        fs::read_dir(dir.path().join("sessions")).unwrap().count(),
        0
    );
}

#[test]
fn the_words_are_tried_without_a_clock() {
    let dir = TempDir::new().unwrap();
    fs::create_dir(dir.path().join("sessions")).unwrap();
    let words = ["drill", "keys", "--pupil", "otter", "--plain"];
    let said = heard(
        dir.path(),
        &words,
        "x\nB\nd\n\nhelp\nunsure\n\nskip\nflag\n OUT  c \n7\n4b\nrub\nblanks\nsweep\ntime\nhelp\n",
    );
    assert!(said.contains("That was x. Type b, then Enter"), "{said}");
    assert!(said.contains("That was Enter alone. Type unsure"), "{said}");
    assert_eq!(said.matches("Type leave to stop").count(), 2, "{said}");
    assert!(said.contains("Right. 14 of 14. Type help"), "{said}");
    assert!(said.contains("That's all."), "{said}");
    let otter = Alias::new("otter").unwrap();
    let kept = drills_of(&dir.path().join("sessions"), &otter, DrillKind::Keys);
    assert_eq!((kept.len(), kept[0].filled), (1, 14));
    let left = heard(dir.path(), &words, "b\nd\nback\nleave\n");
    assert!(left.contains("That was back."), "{left}");
    assert!(left.ends_with("Stopped here.\n"), "{left}");
    let kept = drills_of(&dir.path().join("sessions"), &otter, DrillKind::Keys);
    assert_eq!(kept[1].filled, 2, "left after two");
}
