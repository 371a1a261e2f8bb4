//! Each old sitting opened in the review, page by page.

use std::fs;

use super::MARKS;
use super::common::Start;
use super::old::OldFiles;

/// The key of each page and the page's name, as the page's head says it.
const PAGES: [(&str, &str); 7] = [
    ("t", "[Time]"),
    ("l", "[Lanes]"),
    ("c", "[Curve]"),
    ("f", "[Findings]"),
    ("q", "[Question]"),
    ("r", "[Replay]"),
    ("m", "[Marks]"),
];

#[test]
fn each_old_sitting_opens_in_the_review() {
    for (pupil, paper, [in_time, ..]) in MARKS {
        let files = OldFiles::copied();
        let alone = files.path().join("alone");
        fs::create_dir(&alone).unwrap();
        let sitting = files.sitting(pupil, paper);
        fs::copy(files.path().join(sitting), alone.join("one.session.ron")).unwrap();
        let mut seat = Start::new(files.path(), &["review", "alone"]).run();
        seat.wait("the sitting and its mark in the list", |text| {
            text.lines()
                .any(|line| line.contains(pupil) && line.contains(&format!(" {in_time} ")))
        });
        seat.press("\r");
        seat.sees(&format!("Mark in time: {in_time} of 125"));
        for (key, name) in PAGES {
            seat.press(key);
            seat.sees(name);
        }
    }
}
