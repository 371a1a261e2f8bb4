//! The old files as if their rule had been checked long ago.
//!
//! A rule that was checked over a year ago gets a caution, and a page of feedback then has less room for the
//! rest. With the date of the check far back every page is the same on any day.

use std::fmt::Write as _;
use std::fs;
use std::path::Path;

/// When the rule was checked, as the old papers and sittings have it, and as their copies get it.
const WAS: &str = "2026-11-20";
const IS: &str = "2020-01-06";

/// Moves the date in every paper and sitting of the folder.
pub(crate) fn check_rule_long_ago(folder: &Path) {
    let mut moved = 0;
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            check_rule_long_ago(&path);
            continue;
        }
        let name = path.to_str().unwrap();
        let text = fs::read_to_string(&path).unwrap();
        let text = if name.ends_with(".session.ron") {
            chained(&with_date(&text, "on:"))
        } else if name.ends_with(".paper.ron") {
            with_date(&text, "on: ")
        } else {
            continue;
        };
        fs::write(&path, text).unwrap();
        moved += 1;
    }
    assert!(moved == 0 || moved == 3, "{moved} in {}", folder.display());
}

fn with_date(text: &str, on: &str) -> String {
    let was = format!("{on}\"{WAS}\"");
    assert_eq!(text.matches(&was).count(), 1);
    text.replace(&was, &format!("{on}\"{IS}\""))
}

/// The lines of a sitting with their checksums made anew: each is the CRC-32 of the one before, in hex, and
/// of the record.
fn chained(session: &str) -> String {
    let mut sum = 0;
    let mut text = String::new();
    for line in session.lines() {
        let (record, _) = line.rsplit_once(" // ").unwrap();
        sum = crc32fast::hash(format!("{sum:08x}{record}").as_bytes());
        writeln!(text, "{record} // {sum:08x}").unwrap();
    }
    text
}

#[test]
fn checksums_made_anew_are_the_programs_own() {
    let files = super::old::OldFiles::copied();
    let path = files.path().join(files.sitting("marten", "a"));
    let text = fs::read_to_string(path).unwrap();
    assert_eq!(chained(&text), text);
}
