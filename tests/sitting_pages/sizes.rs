//! Every page at every size, and what no page may show.

use std::collections::BTreeMap;

use pacebell::domain::labels::Labels;
use pacebell::domain::questions::QuestionList;
use ratatui::layout::Size;

use crate::bench::{Bench, Disk, q};

/// A bench on each page, with a name.
fn every_page() -> Vec<(&'static str, Bench)> {
    let on = |keys: &str| {
        let mut bench = Bench::planned();
        bench.at(600).keys(keys);
        bench
    };
    let late = |keys: &str| {
        let mut bench = Bench::new();
        bench.at(3600).keys(keys);
        bench
    };
    let full = |keys: &str| {
        let mut bench = Bench::new();
        for _ in 1..=25 {
            bench.keys("aa<right>");
        }
        bench.at(3600).keys(keys);
        bench
    };
    let mut rest = Bench::with(|header| header.arrangements.rest_breaks = true);
    rest.keys("<esc>b");
    let mut trouble = on("b");
    trouble.disk = Disk::Broken;
    trouble.unsaved.insert(q(1));
    let mut reminder = on("4<enter><down>");
    reminder.at(3599);
    let mut printed = Bench::printed();
    printed.keys("<esc><esc>#12");
    let many = Bench::with(|header| {
        header.paper.options = Labels::new("ABCDEFGHIJKLMNOPQRSTUVWXYZ").unwrap();
        header.paper.own_options = BTreeMap::from([(q(3), Labels::new("12").unwrap())]);
        header.paper.questions = 200;
        header.paper.rule.sections.iter_mut().last().unwrap().last = q(200);
        header.arrangements.only = QuestionList::range(q(3), q(150));
    });
    vec![
        ("sheet", on("b")),
        ("sweep", on("!b")),
        ("crossing", on(",")),
        ("glance", on("b=")),
        ("leave", on("<esc>ly")),
        ("figure", on("3<enter>")),
        ("long", on("4<enter><down><down>")),
        ("help", on("<f1><down>")),
        ("menu", on("<esc>")),
        ("finish", on("<esc>fy")),
        ("give up", on("<esc>q")),
        ("rest", rest),
        ("trouble", trouble),
        ("reminder", reminder),
        ("printed", printed),
        ("many", many),
        ("time up", late("")),
        ("time up, second step", late("f")),
        ("guess", late("g<enter>ab")),
        ("guess help", late("g<enter><f1>")),
        ("guess menu", late("g<enter><esc>")),
        ("guess check", late("g<enter><esc>f")),
        ("filling", late("g<enter>*y")),
        ("filled", late("g<enter>*y<enter>")),
        ("filled check", late("g<enter>*y<enter><esc>f")),
        ("full", full("")),
        ("full, second step", full("f")),
    ]
}

#[test]
fn every_page_draws_at_every_size() {
    for (name, mut bench) in every_page() {
        // Every width and height, all of both around the smallest page, and a raster of the others.
        let near = |w: u16, h: u16| (58..=62).contains(&w) || (17..=19).contains(&h);
        let sizes = (0..=90).flat_map(|w| (0..=40).map(move |h| (w, h)));
        for (width, height) in sizes.filter(|(w, h)| near(*w, *h) || (w % 5 == 0 && h % 3 == 0)) {
            bench.size = Size::new(width, height);
            let drawn = bench.buffer();
            assert_eq!(drawn.area.as_size(), bench.size);
            if width % 10 != 0 {
                continue;
            }
            let text = bench.text();
            if width >= 60 && height >= 18 {
                assert!(text.starts_with("otter"), "{name} {width}x{height}");
            } else if width >= 30 && height >= 5 {
                assert!(text.contains("Make this"), "{name} {width}x{height}");
            }
        }
    }
}

#[test]
fn every_page_says_at_its_foot_what_to_press() {
    for (name, mut bench) in every_page() {
        for (width, height) in [(60, 18), (80, 24), (120, 40)] {
            bench.size = Size::new(width, height);
            let text = bench.text();
            let foot: Vec<_> = text.rsplit('\n').take(2).collect();
            let said = foot
                .iter()
                .any(|line| line.contains("Enter") || line.contains("Esc"));
            assert!(said, "{name} at {width}x{height}: {foot:?}");
        }
    }
}

#[test]
fn in_a_small_window_keys_work_and_the_page_echoes_them() {
    let mut bench = Bench::new();
    bench.size = Size::new(40, 10);
    // Nobody has seen its options, so the first of the two asks.
    bench.keys("cc");
    assert_eq!(bench.answer(1), Some('C'));
    assert!(bench.line("Question 1: C").is_some(), "{}", bench.text());
    bench.keys("<enter>12<enter>bb<tab>");
    assert_eq!(
        (bench.answer(12), bench.sitting.open()),
        (Some('B'), Some(q(12)))
    );
    assert!(bench.line("Question 12: B, flag").is_some());
    assert!(bench.line("Flag on 12.").is_some());
    bench.keys("<esc>fy");
    assert!(bench.line("Finish now?").is_some());
    bench.keys("<enter>");
    assert!(bench.sitting.is_closed());
}

#[test]
fn no_page_shows_a_word_that_hurts_or_a_control_character() {
    for (name, mut bench) in every_page() {
        bench.size = Size::new(120, 40);
        let text = bench.text();
        let lower = text.to_lowercase();
        for word in ["fail", "careless", "weak", "ability", "streak", "points"] {
            assert!(!lower.contains(word), "{name}: {word}");
        }
        assert!(text.chars().all(|c| c == '\n' || !c.is_control()), "{name}");
    }
}

#[test]
fn text_from_a_paper_cannot_reach_the_terminal_raw() {
    let mut bench = Bench::new();
    let paper = bench.paper.as_mut().unwrap();
    paper.questions[0].stem = Some("a\u{1b}[31mb\u{7}\tc 漢字".into());
    paper.questions[0].figure = Some("x\ty\u{9b}2J".into());
    let text = bench.text();
    assert!(text.chars().all(|c| c == '\n' || !c.is_control()));
    assert!(text.contains("a[31mb  c 漢") && text.contains("x   y2J"));
    bench.keys("\u{1b}");
    assert!(bench.text().chars().all(|c| c == '\n' || !c.is_control()));
}

#[test]
fn only_part_of_a_paper_shows_only_that_part() {
    let mut bench =
        Bench::with(|header| header.arrangements.only = QuestionList::range(q(11), q(13)));
    assert_eq!(bench.sitting.open(), Some(q(11)));
    bench.keys("<end><right>");
    assert_eq!(bench.sitting.open(), Some(q(13)));
    bench.keys("5<enter>");
    assert_eq!(bench.message(), "There's no question 5. Type 11 to 13.");
    assert!(bench.line("3 blank").is_some() && bench.line(" 10 ").is_none());
}

#[test]
fn every_key_of_the_sitting_shows_at_80x24_and_help_tells_of_more_below() {
    for labels in ["ABCDE", "12345"] {
        let mut bench = Bench::with(|header| {
            header.paper.options = Labels::new(labels).unwrap();
        });
        let text = bench.text();
        let foot: Vec<_> = text.rsplit('\n').take(2).collect();
        for hint in [
            "answer",
            "Enter next",
            "7 Enter go to 7",
            "/ next blank",
            "Space later",
            "Tab flag",
            "Left back",
            "- rub out",
            ", C cross C out",
            "! sweep",
            "= all",
            "F1 all keys",
            "Esc menu",
        ] {
            assert!(
                foot.iter().any(|line| line.contains(hint)),
                "{labels} {hint}: {foot:?}"
            );
        }
        bench.size = Size::new(60, 18);
        let text = bench.text();
        for hint in [
            "answer",
            "Enter next",
            "7 Enter go to 7",
            "/ next blank",
            "Space later",
            "- rub out",
            "F1 all keys",
            "Esc menu",
        ] {
            assert!(text.contains(hint), "{labels} {hint}: {text}");
        }
    }
    let mut late = Bench::new();
    late.size = Size::new(60, 18);
    late.at(3600);
    assert!(
        late.text()
            .ends_with("f, then Enter leave them blank and finish")
    );
}

/// Some questions with words, some on paper only, one with a wide figure.
#[test]
fn the_sheet_of_a_mixed_paper_stays_as_wide_from_question_to_question() {
    let mut bench = Bench::new();
    for question in bench.paper.as_mut().unwrap().questions.iter_mut().skip(4) {
        question.stem = None;
        question.options.clear();
    }
    for (width, height) in [(60, 18), (80, 24), (90, 24), (110, 24), (140, 20)] {
        bench.size = Size::new(width, height);
        bench.keys("<home>");
        let at = |bench: &Bench| bench.line("Right ").map(|line| line.find("Right "));
        let first = at(&bench);
        for _ in 1..25 {
            bench.keys("<right>");
            // A figure cannot be wrapped: where it needs the width, the sheet shrinks for it.
            // So does a long question.
            let shrinks = [Some(q(3)), Some(q(4))].contains(&bench.sitting.open());
            if width > 110 || !shrinks {
                assert_eq!(
                    at(&bench),
                    first,
                    "{width}x{height} {:?}",
                    bench.sitting.open()
                );
            }
        }
    }
}

#[test]
fn a_printed_paper_tells_what_answers_in_full() {
    let mut bench = Bench::printed();
    for (width, height) in [(60, 18), (80, 24), (120, 40)] {
        bench.size = Size::new(width, height);
        bench.keys("<home>");
        assert!(bench.text().contains("Press A to E to answer."), "{width}");
    }
}
