//! Numbers, dates and durations as people read them, in all that the program shows.

use std::fs;

use crate::pages::{files, of_browser, snapshot};
use crate::text::tokens;

const MONTHS: [&str; 8] = [
    "january",
    "february",
    "april",
    "august",
    "september",
    "october",
    "november",
    "december",
];

fn is_number(word: &str) -> bool {
    word.starts_with(|c: char| c.is_ascii_digit()) && !word.contains(char::is_alphabetic)
}

/// Whether a word is a day as files have it.
fn is_for_files(word: &str) -> bool {
    let lengths: Vec<_> = word.split('-').map(str::len).collect();
    lengths == [4, 2, 2] && is_number(word)
}

/// What of a line is written in another form than the one agreed, and which form that is.
fn breaches(line: &str) -> Vec<(&'static str, String)> {
    let found = tokens(line);
    let at = |at: Option<usize>| at.and_then(|at| found.get(at)).map_or("", String::as_str);
    let mut wrong = Vec::new();
    for (place, word) in found.iter().enumerate() {
        let (before, next) = (at(place.checked_sub(1)), at(Some(place + 1)));
        let is_minutes = ["minute", "minutes"].contains(&word.as_str());
        let forms = [
            ("percent", word == "%" && is_number(before)),
            (
                "month",
                MONTHS.contains(&word.as_str()) && is_number(before),
            ),
            ("day", is_for_files(word)),
            (
                "minutes",
                is_minutes && before.contains(':') && is_number(before),
            ),
            (
                "units",
                is_minutes && is_number(next) && at(Some(place + 2)).starts_with("second"),
            ),
        ];
        let broken = forms.iter().filter(|(_, is_broken)| *is_broken);
        wrong.extend(broken.map(|(form, _)| (*form, format!("{before} {word} {next}"))));
    }
    wrong
}

#[test]
fn numbers_dates_and_durations_have_one_form() {
    let mut told = Vec::new();
    let mut read = 0;
    let pages = [
        files("golden", "", ".txt"),
        files("golden", "", ".html"),
        files("snapshots", "", ".snap"),
        files("sitting_pages/snapshots", "", ".snap"),
        files("review_pages/snapshots", "", ".snap"),
    ];
    for path in pages.iter().flatten() {
        let name = path.file_name().unwrap().to_string_lossy();
        let text = match path.extension().unwrap().to_str() {
            Some("html") => of_browser(&fs::read_to_string(path).unwrap()),
            Some("snap") => snapshot(path),
            _ => fs::read_to_string(path).unwrap(),
        };
        read += 1;
        for line in text.lines() {
            for (form, what) in breaches(line) {
                told.push(format!("{name}: {form}: {what}"));
            }
        }
    }
    assert!(read > 150, "{read} pages");
    assert!(told.is_empty(), "{}", told.join("\n"));
}

#[test]
fn each_form_is_told_from_the_right_one() {
    for (wrong, right) in [
        ("25 % of it", "25% of it"),
        ("on 3 November 2026", "on 3 Nov 2026"),
        ("56:15 minutes", "56 min 15 s"),
        ("2 minutes 24 seconds", "2 min 24 s"),
        ("2026-11-10, 16:30", "10 Nov 2026, 16:30"),
    ] {
        assert_eq!(breaches(wrong).len(), 1, "{wrong}");
        assert!(breaches(right).is_empty(), "{right}");
    }
}
