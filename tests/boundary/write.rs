//! Boundaries written into a paper file as those of a year.

use crate::thirty;
use crate::told::{Folder, Section};

const WHOLE: [Section<'static>; 1] = [(1, 25, "1", "0", "0")];
const AWARDS: &str = "    awards: [(name: \"dunlin\", boundary: 12), (name: \"curlew\", boundary: 15), (name: \"tern\", boundary: 18)], // as last year\n";
const LINE: &str = "(year: 2026, boundaries: {\"dunlin\": 15, \"curlew\": 17, \"tern\": 20})";
const WORDS: &str = "boundary --marks thirty.csv --write made.paper.ron --year 2026";
const TERMS: &str = "--top 50% --ratio 3:2:1";

/// Writes a paper, then the year into it, and gives the file before and after.
fn written(past: &str) -> (String, String) {
    let folder = Folder::new();
    thirty(&folder);
    let path = folder.paper("0", &WHOLE, &format!("{AWARDS}{past}"));
    let read = || std::fs::read_to_string(&path).unwrap();
    let before = read();
    let page = folder.page(&format!("{WORDS} {TERMS}"));
    assert!(
        page.ends_with("The boundaries of 2026 have been saved in made.paper.ron.\n"),
        "{page}"
    );
    (before, read())
}

#[test]
fn a_year_is_added_and_all_else_stays() {
    for (past, expected) in [
        // A comment keeps to its line.
        (
            "    past: [\n        (year: 2025, boundaries: {\"tern\": 19}), // thin, yes\n        /* more to come */\n    ],\n",
            "    past: [\n        (year: 2025, boundaries: {\"tern\": 19}), // thin, yes\n        /* more to come */\n        LINE,\n    ],\n",
        ),
        (
            "    past: [(year: 2025, boundaries: {\"tern\": 19})],\n",
            "    past: [(year: 2025, boundaries: {\"tern\": 19}),\n    LINE,\n    ],\n",
        ),
        (
            "    past: [\n        (year: 2025, boundaries: {\"tern\": 19}) // a, b\n    ],\n",
            "    past: [\n        (year: 2025, boundaries: {\"tern\": 19}), // a, b\n        LINE,\n    ],\n",
        ),
        ("    past: [],\n", "    past: [\n        LINE,\n    ],\n"),
        (
            "    past: [\r\n        (year: 2025, boundaries: {\"tern\": 19}),\r\n    ],\r\n",
            "    past: [\r\n        (year: 2025, boundaries: {\"tern\": 19}),\r\n        LINE,\r\n    ],\r\n",
        ),
    ] {
        let (before, after) = written(past);
        let expected = before.replace(past, &expected.replace("LINE", LINE));
        assert_eq!(after, expected);
    }
}

#[test]
fn a_paper_without_past_gets_one() {
    let (before, after) = written("");
    let end = "boundary: 18)]";
    let expected = before.replace(end, &format!("{end},\n    past: [\n        {LINE},\n    ]"));
    assert_eq!(after, expected);
}

#[test]
fn what_cannot_be_written_is_said_and_the_file_stays() {
    let folder = Folder::new();
    thirty(&folder);
    let refused = |more: &str, words: &str, sentence: &str| {
        let path = folder.paper("0", &WHOLE, more);
        let before = std::fs::read_to_string(&path).unwrap();
        let told = folder.refused(&format!("{words} --ratio 3:2:1"), 1);
        assert!(told.contains(sentence), "{sentence} in {told}");
        assert_eq!(std::fs::read_to_string(&path).unwrap(), before);
    };
    let past = format!("{AWARDS}    past: [(year: 2026, boundaries: {{\"tern\": 19}})],\n");
    refused(
        &past,
        &format!("{WORDS} --top 1/2"),
        "already has boundaries for 2026",
    );
    refused("", &format!("{WORDS} --top 1/2"), "the paper has no awards");
    refused(
        AWARDS,
        &format!("{WORDS} --top 1/2 --names a,b,tern"),
        "the paper has no award \"a\"; use one of dunlin, curlew, tern",
    );
    refused(
        AWARDS,
        &format!("{WORDS} --top 1/10 --tie not-above"),
        "nobody gets tern, so it has no boundary",
    );
    folder.file("thirty.csv", "mark\n5\n5\n5\n");
    refused(
        AWARDS,
        &format!("{WORDS} --top 1/2 --tie at-least"),
        "isn't above 5",
    );
}
