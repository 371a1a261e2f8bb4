//! Keys held down, and keys pressed again and again.

use crossterm::event::{KeyCode, KeyEvent, KeyModifiers};
use pacebell::domain::sitting::Phase;

use crate::bench::{Bench, q};

#[test]
fn at_the_end_without_a_blank_the_way_to_finish_is_told() {
    let mut bench = Bench::new();
    for _ in 1..=24 {
        bench.keys("aa<right>");
    }
    bench.keys("<enter>");
    assert_eq!(
        bench.message(),
        "This is the last question, and the only blank."
    );
    bench.keys("b");
    assert_eq!(
        bench.message(),
        "25: B. Nothing is blank. Esc, then F to finish."
    );
    bench.keys("?<tab><right>");
    assert_eq!(
        bench.message(),
        "Nothing is blank. Look at your flags (;), then the unsure ones (:)."
    );
    assert_eq!(bench.sitting.open(), Some(q(25)));
}

/// Most terminals send a key held down as presses, 10 to 30 a second.
#[test]
fn a_held_key_that_moves_on_counts_once_and_quick_taps_count_each() {
    let skipped = |bench: &Bench| {
        let rows = bench.sitting.rows().iter();
        rows.filter(|row| row.skipped).count()
    };
    let mut bench = Bench::new();
    bench.hold(KeyCode::Char(' '), 30);
    assert_eq!((skipped(&bench), bench.sitting.open()), (1, Some(q(2))));
    assert_eq!(bench.message(), "1 left for later.", "its message stays");
    bench.hold(KeyCode::Enter, 30);
    assert_eq!(bench.sitting.open(), Some(q(3)));
    bench.hold(KeyCode::Tab, 30);
    assert_eq!(bench.sitting.flags().count(), 1);
    bench.hold(KeyCode::Char('/'), 30);
    assert_eq!(bench.sitting.open(), Some(q(4)));
    bench.keys("  <enter><enter>");
    assert_eq!(bench.sitting.open(), Some(q(8)), "taps");
    assert_eq!(skipped(&bench), 3);
    // Different keys may come as fast as a script can send them.
    for code in [
        KeyCode::Char('a'),
        KeyCode::Enter,
        KeyCode::Char('b'),
        KeyCode::Enter,
        KeyCode::Char(' '),
        KeyCode::Enter,
    ] {
        bench.hold(code, 1);
    }
    assert_eq!((bench.answer(8), bench.answer(9)), (Some('A'), Some('B')));
    assert_eq!((skipped(&bench), bench.sitting.open()), (4, Some(q(12))));
    // A held arrow runs on, and stops at either end.
    bench.hold(KeyCode::Right, 60);
    assert_eq!(bench.sitting.open(), Some(q(25)));
    bench.hold(KeyCode::Left, 60);
    assert_eq!(bench.sitting.open(), Some(q(1)));
}

#[test]
fn no_single_key_and_no_held_key_ends_anything() {
    let every = ('!'..='~').chain([' ']).map(String::from);
    let named = [
        "<enter>", "<esc>", "<tab>", "<back>", "<end>", "<f1>", "<f2>", "<f12>",
    ];
    for key in every.chain(named.map(String::from)) {
        for before in ["", "<esc>", "<esc>f", "<esc>q", "12", "<f1>"] {
            let mut bench = Bench::new();
            bench.keys(before);
            bench.keys(&key.repeat(40));
            assert_eq!(bench.sitting.phase(), Phase::Running, "{before} {key}");
            assert_eq!(bench.asked, [], "{before} {key}");
        }
    }
}

#[test]
fn no_single_key_and_no_held_key_ends_a_sitting_after_time() {
    let every = ('!'..='~').chain([' ']).map(KeyCode::Char);
    let named = [KeyCode::Enter, KeyCode::Esc, KeyCode::Tab, KeyCode::End];
    for key in every.chain(named) {
        for before in [
            "",
            "g<enter>",
            "g<enter>*y",
            "g<enter>*y<enter>",
            "g<enter><esc>",
        ] {
            let mut bench = Bench::new();
            bench.at(3600).keys(before);
            for _ in 0..8 {
                bench.press(KeyEvent::new(key, KeyModifiers::NONE));
            }
            assert!(!bench.sitting.is_closed(), "{before} {key}");
        }
    }
}
