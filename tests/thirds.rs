//! A paper whose marks are thirds: wherever people read a mark, it is a whole number or a mixed one.
#![expect(clippy::unwrap_used, reason = "a test that cannot go on must stop")]

#[path = "common/user.rs"]
mod user;

use std::fs;
use std::path::Path;
use std::process::Command;

use tempfile::TempDir;

/// Runs the program; what it says, in both channels, if it ends as it should.
fn run(folder: &Path, words: &[&str], code: i32) -> String {
    let done = Command::new(env!("CARGO_BIN_EXE_pacebell"))
        .args(words)
        .current_dir(folder)
        .env_clear()
        .envs(user::at_home(folder))
        .output()
        .unwrap();
    let told = [done.stdout, done.stderr].map(|bytes| String::from_utf8(bytes).unwrap());
    assert_eq!(done.status.code(), Some(code), "{words:?}: {told:?}");
    told.concat()
}

/// Each sitting's answers; the key is `ABCDE` five times. A right answer gives 5/3, a wrong one takes 1/3.
const SHEETS: [(&str, &str, &str); 6] = [
    ("otter", "2026-03-10", "ABCDEABCDEABCDEAAAAA-----"),
    ("otter", "2026-05-10", "ABCDEABCDEABCDEABCD??E-----"),
    ("otter", "2026-09-10", "ABCDEABCDEABCDEABCDEAAAAA"),
    ("heron", "2026-09-10", "ABCDEABCD----------------"),
    ("teal", "2026-09-11", "ABCDEABCDEABCDEABCDEAB---"),
    ("wren", "2026-09-12", "AAAAABBBBBCCCCCDDDDDEEEEE"),
];

/// The paper `thirds` of 41 2/3 marks, with its key and its sittings.
fn folder() -> TempDir {
    let folder = TempDir::new().unwrap();
    let path = folder.path();
    run(
        path,
        &[
            "paper",
            "new",
            "thirds",
            "--questions",
            "25",
            "--minutes",
            "30",
            "--sections",
            "1-15:5/3:-1/3,16-25:5/3:-1/3",
            "--answers",
            "ABCDE ABCDE ABCDE ABCDE ABCDE",
        ],
        0,
    );
    fs::create_dir(path.join("sessions")).unwrap();
    let paper = path.join("thirds.paper.ron");
    let text = fs::read_to_string(&paper).unwrap();
    let text = text.replace("topics: []", "topics: [\"number\"]");
    let line = text
        .lines()
        .find(|line| line.contains("// awards: ["))
        .unwrap();
    let awards = "    awards: [(name: \"bronze\", boundary: \"50/3\"), (name: \"gold\", boundary: \"33 1/3\")],";
    fs::write(&paper, text.replace(line, awards)).unwrap();
    let bad = awards
        .replace("33 1/3", "50/3")
        .replace("\"50/3\"), (", "\"130/3\"), (");
    fs::write(path.join("bad.paper.ron"), text.replace(line, &bad)).unwrap();
    for (pupil, day, answers) in SHEETS {
        let words = [
            "enter",
            "thirds",
            "--pupil",
            pupil,
            "--answers",
            answers,
            "--date",
            day,
        ];
        run(path, &words, 0);
    }
    let marks = ["mark", "25 1/3", "76/3", "33 1/3", "5/3", "41 2/3", "62/3"];
    fs::write(path.join("marks.csv"), marks.join("\n")).unwrap();
    folder
}

/// Fractions above one, and decimals of two places and more that a third was rounded to; shares in per cent are
/// no marks.
fn untidy(text: &str) -> Vec<String> {
    let number = |c: char| c.is_ascii_digit() || matches!(c, '/' | '.');
    let mut found = Vec::new();
    for line in text.lines() {
        let shares = line.replace(" %", "%");
        let words = shares.split(|c: char| !number(c) && c != '%');
        for word in words.filter(|word| !word.ends_with('%')) {
            let parts = word
                .split_once('/')
                .map(|(top, bottom)| (top.parse(), bottom.parse()));
            let improper = matches!(parts, Some((Ok(top), Ok(bottom))) if { let (top, bottom): (u64, u64) = (top, bottom); top > bottom });
            let rounded = word.split_once('.').is_some_and(|(_, decimals)| {
                let of = |digit: &str, last: &str| {
                    let rest = decimals.trim_start_matches(digit);
                    decimals.len() >= 2 && (rest.is_empty() || rest == last)
                };
                of("3", "") || of("6", "7")
            });
            if improper || rounded {
                found.push(format!("{word}: {}", line.trim()));
            }
        }
    }
    found
}

#[test]
fn untidy_marks_are_seen_and_tidy_ones_are_not() {
    assert_eq!(untidy("25.33 of 76/3, or 0.667, or 12.67").len(), 4);
    assert_eq!(untidy("25 1/3 of 41 2/3, 12.75, 2/3, 0.3, 12.5"), [""; 0]);
}

#[test]
fn marks_in_thirds_are_mixed_numbers_wherever_people_read_them() {
    let folder = folder();
    let path = folder.path();
    let newest = "sessions/otter/2026-09-10-0000-thirds.session.ron";
    let mut told = Vec::new();
    for (words, code) in [
        (
            vec!["paper", "check", "thirds.paper.ron", "thirds.key.ron"],
            0,
        ),
        (vec!["mark", newest], 0),
        (vec!["mark", "otter"], 0),
        (vec!["mark", "otter", "heron", "teal"], 0),
        (vec!["feedback", newest], 0),
        (vec!["progress", "otter"], 0),
        (vec!["aim", "thirds", "--award", "gold"], 0),
        (
            vec!["aim", "thirds", "--mark", "25 1/3", "--pupil", "otter"],
            0,
        ),
        (vec!["aim", "thirds", "--mark", "131/3"], 0),
        (vec!["paper", "check", "bad.paper.ron"], 1),
        (vec!["plan", "otter", "--paper", "thirds"], 0),
        (vec!["forecast", "otter", "--paper", "thirds"], 0),
        (vec!["luck", "thirds", "--guesses", "1-4,16-20"], 0),
        (
            vec![
                "group",
                "--paper",
                "thirds.paper.ron",
                "--key",
                "thirds.key.ron",
                "sessions",
                "--csv",
                "group.csv",
            ],
            0,
        ),
        (
            vec![
                "boundary",
                "--marks",
                "marks.csv",
                "--top",
                "0.5",
                "--ratio",
                "2:1",
                "--names",
                "bronze,gold",
            ],
            0,
        ),
    ] {
        told.push((words.join(" "), run(path, &words, code)));
    }
    let csv = fs::read_to_string(path.join("group.csv")).unwrap();
    assert!(csv.starts_with("question,"), "{csv}");
    let all: String = told.iter().map(|(_, said)| said.as_str()).collect();
    for mixed in [
        "41 2/3",
        "33 1/3",
        "43 1/3 is above 41 2/3",
        "16 2/3 isn't above 43 1/3",
    ] {
        assert!(all.contains(mixed), "{mixed}");
    }
    let found = told.iter().flat_map(|(words, said)| {
        let each = untidy(said).into_iter();
        each.map(move |what| format!("{words}: {what}"))
    });
    assert_eq!(found.collect::<Vec<_>>(), [""; 0]);
}
