//! Files that cannot be read on, and characters that may not stand in a text.

use std::fs;
use std::path::Path;

use pacebell::storage::disk::Size;
use pacebell::storage::files::{key, paper, plan};
use proptest::prelude::*;

use crate::changed;
use crate::good::{KEY, PAPER};

fn of_paper(bytes: &[u8]) -> String {
    let read = paper::from_bytes(Path::new("f.ron"), bytes, None);
    read.unwrap_err().to_string()
}

fn of_key(bytes: &[u8]) -> String {
    let read = key::from_bytes(Path::new("f.ron"), bytes, None);
    read.unwrap_err().to_string()
}

#[test]
fn text_that_cannot_be_read_on_is_told_where_it_stops() {
    const TITLE: &str = "title: \"Dune Cup: practice paper A\",";
    let then = |line: String| line + ". Correct this first; then the rest can be checked";
    for (from, to, sentence) in [
        (
            "    minutes:",
            "    «minute:",
            "minute: there's no field `minute` here; the fields are format, id, title, minutes, options, conditions, rule_checked, rule, awards, past, shares, source, right_to_use, questions",
        ),
        (
            TITLE,
            "title: «7,",
            "title: the file cannot be read from here on: expected string",
        ),
        (
            "first: 1,",
            "first: «one,",
            "section 1, first: the file cannot be read from here on: expected integer",
        ),
        (
            "right: 4)",
            "right: «true)",
            "section 1, right: the file cannot be read from here on: expected a number such as 4, -1, 1.5, \"1/4\" or \"12 1/3\" but found the boolean `true` instead",
        ),
        (
            "id: \"dune-a\",",
            "id: \"dune-a\", «id: \"dune-a\",",
            "id: the field `id` is written twice; keep one of the two",
        ),
        (
            "options: \"ABCD\",\n    conditions",
            "options: \"ABCD\"\n    «conditions",
            "conditions: a comma is missing before this; add one at the end of line 8",
        ),
    ] {
        let (text, line) = changed(PAPER, from, to, &[sentence]);
        assert_eq!(of_paper(text.as_bytes()), then(line));
    }
    let (text, line) = changed(
        &PAPER.replace(TITLE, ""),
        "labels: \"YN\", options: [\"yes\", \"no\"]),\n    ],\n)",
        "),\n    ],\n«)",
        &["the field `title` is missing; add it before this bracket"],
    );
    assert_eq!(of_paper(text.as_bytes()), then(line));
    for (from, to, sentence) in [
        (
            "credited",
            "«gone",
            "void, question 3: `gone` means nothing here; write one of credited, dropped",
        ),
        (
            "\"BD Y\"",
            "«7",
            "answers: the file cannot be read from here on: expected the answers as one string such as \"BDACE\" or as a list such as [\"B\", \"D\"] but found the unsigned integer `7` instead",
        ),
        (
            "{2: \"ac\"}",
            "{«two: \"ac\"}",
            "also_right, two: the file cannot be read from here on: expected integer",
        ),
    ] {
        let (text, line) = changed(KEY, from, to, &[sentence]);
        assert_eq!(of_key(text.as_bytes()), then(line));
    }
    let nothing = of_paper(b" ");
    assert_eq!(
        nothing,
        then("f.ron:1:2: the file is empty; `paper new` makes one to start from".into())
    );
    assert!(of_paper(&b"(".repeat(100_000)).starts_with("f.ron:1:2: "));
    for (cut, what) in [
        (
            "(format: 1, questions: [",
            "the file stops too soon; a closing bracket or quotation mark is missing",
        ),
        (
            "(format: 1, title: \"Dune",
            "the text that begins here has no closing quotation mark; add one",
        ),
        (
            "(format: 1, id: r#\"a\"",
            "the text that begins here has no closing quotation mark; add one",
        ),
    ] {
        let said = of_paper(cut.as_bytes());
        assert!(said.contains(what), "{said}");
    }
}

#[test]
fn bytes_that_are_no_utf_8_are_told() {
    assert_eq!(
        of_key(b"\xff\xfe(\0"),
        "f.ron:1:1: the file is UTF-16; save it as UTF-8"
    );
    let latin = b"(\n    // \xc3\xa9 is fine, caf\xe9 is not\n)";
    assert_eq!(
        of_paper(latin),
        "f.ron:2:22: a byte here isn't UTF-8 text; save the file as UTF-8"
    );
}

#[test]
fn a_newer_format_is_refused_whatever_else_is_new_in_it() {
    for (text, line) in [
        (
            "(format: 3, colour: Green)",
            "f.ron:1:10: format: this file was written by a newer Pacebell (format 3; this one reads up to NEWEST); update the program",
        ),
        (
            "(\n  format: 0x10, [[",
            "f.ron:2:11: format: this file was written by a newer Pacebell (format 16; this one reads up to NEWEST); update the program",
        ),
        (
            "(format: 0)",
            "f.ron:1:10: format: there's no format 0; write format: NEWEST",
        ),
    ] {
        assert_eq!(of_paper(text.as_bytes()), line.replace("NEWEST", "2"));
        assert_eq!(of_key(text.as_bytes()), line.replace("NEWEST", "1"));
    }
}

#[test]
fn a_file_that_cannot_be_opened_is_told_with_its_path() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("gone.paper.ron");
    let said = |path: &Path| paper::load(path).unwrap_err().to_string();
    let with = |path: &Path, sentence: &str| format!("{}: {sentence}", path.display());
    assert_eq!(
        said(&path),
        with(&path, "there's no such file; check its name and folder")
    );
    assert_eq!(
        said(dir.path()),
        with(dir.path(), "that's a folder; name a file in it")
    );
    let file = fs::File::create(&path).unwrap();
    file.set_len(Size::PAPER.bytes() + 1).unwrap();
    assert_eq!(
        said(&path),
        with(
            &path,
            "the file is over 4 MiB, too large for a paper or key; check that it's the right file"
        )
    );
    fs::write(&path, PAPER).unwrap();
    assert_eq!(paper::load(&path).unwrap().outline.id, "dune-a");
}

/// The characters are those of Unicode's categories Cc and Cf, the bidirectional controls of UAX 9,
/// and the variation selectors.
#[test]
fn characters_that_a_screen_acts_on_or_hides_are_refused_in_every_text() {
    let kinds = [
        ('\u{1b}', "a control character"),
        ('\r', "a control character"),
        ('\u{85}', "a control character"),
        ('\u{9b}', "a control character"),
        ('\t', "a tab, which looks different on each screen"),
        ('\u{202e}', "a mark that changes the writing direction"),
        ('\u{2066}', "a mark that changes the writing direction"),
        ('\u{200f}', "a mark that changes the writing direction"),
        ('\u{61c}', "a mark that changes the writing direction"),
        ('\u{200b}', "a character that nobody can see"),
        ('\u{200d}', "a character that nobody can see"),
        ('\u{feff}', "a character that nobody can see"),
        ('\u{ad}', "a character that nobody can see"),
        ('\u{fe0f}', "a character that nobody can see"),
        ('\u{e0041}', "a character that nobody can see"),
        ('\u{2028}', "a line separator"),
    ];
    for (c, why) in kinds {
        let code = u32::from(c);
        for (from, field) in [
            ("practice paper A", "title"),
            ("No calculator.", "condition 1"),
            ("T.M.", "rule_checked, by"),
            ("easy", "section 1, name"),
            ("number", "question 1, topic 1"),
            ("2 + 2 = ?", "question 1, stem"),
            ("yes", "question 3, option 1"),
            ("|  |", "question 2, figure"),
        ] {
            let sentence = format!("{field}: the text has {why} (U+{code:04X}); delete it");
            let (text, line) = changed(PAPER, from, &format!("«{c}x"), &[&sentence]);
            assert_eq!(of_paper(text.as_bytes()), line, "{from}");
        }
        // The same written as an escape, after another character written as an escape.
        let sentence = format!("title: the text has {why} (U+{code:04X}); delete it");
        let escape = format!("\\u{{e9}}é«\\u{{{code:x}}}");
        let (text, line) = changed(PAPER, "practice paper A", &escape, &[&sentence]);
        assert_eq!(of_paper(text.as_bytes()), line);
    }
    let fine = PAPER.replace("2 + 2 = ?", "∠x̄ ≤ ½·√2 日本 🎉 \u{a0}−3");
    assert!(paper::from_bytes(Path::new("f.ron"), fine.as_bytes(), None).is_ok());
}

/// A good file with some of its bytes changed, taken out or doubled.
fn worn(good: &'static str) -> impl Strategy<Value = Vec<u8>> {
    let wear = (
        0..good.len(),
        0_usize..12,
        prop::collection::vec(any::<u8>(), 0..4),
    );
    prop::collection::vec(wear, 1..4).prop_map(|changes| {
        let mut bytes = good.as_bytes().to_vec();
        for (at, length, new) in changes {
            let at = at.min(bytes.len());
            bytes.splice(at..(at + length).min(bytes.len()), new);
        }
        bytes
    })
}

/// Neither panics nor is silent: a file is sound, or something is said about it.
fn read_all(bytes: &[u8]) {
    let path = Path::new("f.ron");
    let paper = paper::from_bytes(Path::new("p"), PAPER.as_bytes(), None).unwrap();
    let outline = paper.value.outline;
    for trouble in [
        paper::from_bytes(path, bytes, None).err(),
        key::from_bytes(path, bytes, None).err(),
        key::from_bytes(path, bytes, Some(&outline)).err(),
        plan::from_bytes(path, bytes).err(),
    ] {
        assert!(trouble.is_none_or(|trouble| !trouble.to_string().is_empty()));
    }
}

proptest! {
    #[test]
    fn any_bytes_are_read_or_refused(bytes: Vec<u8>, text in "[\\[\\](){}:,\"'/*#r!a-c0-3\\\\ \n]{0,80}") {
        read_all(&bytes);
        read_all(text.as_bytes());
    }

    #[test]
    fn worn_files_are_read_or_refused(paper in worn(PAPER), key in worn(KEY)) {
        read_all(&paper);
        read_all(&key);
    }
}
