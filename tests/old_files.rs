//! Sittings of session format 1, with the papers and keys of their day. They are read for ever: each stays
//! as it is, byte by byte, and is never made anew; the program marks, shows and replays each as it ever did.
#![cfg(test)]

#[cfg(target_os = "linux")]
#[path = "common/mod.rs"]
#[expect(dead_code, reason = "other tests use the rest")]
mod common;
#[path = "common/old.rs"]
mod old;
#[cfg(target_os = "linux")]
#[path = "old_files/reviewed.rs"]
mod reviewed;

use std::fmt::Write as _;
use std::fs;
use std::path::Path;

use old::OldFiles;
use serde_json::{Value, json};
use sha2::{Digest as _, Sha256};

/// Every file and its SHA-256.
const FILES: [(&str, &str); 15] = [
    (
        "sample-papers/saltmarsh-a.key.ron",
        "3ccccdacbdc98b89e7052f9591d6af0daa293f18658d078011adb2ef7ef7d958",
    ),
    (
        "sample-papers/saltmarsh-a.paper.ron",
        "ffa72d3c3ca612ab3b4f95cd59cb6359333045e3a04cb43489a5ee187e54ae3b",
    ),
    (
        "sample-papers/saltmarsh-b.key.ron",
        "b0a2f341b4d4e662100a7df0094edf54ef0bf667bd2a375b6db84550f931940a",
    ),
    (
        "sample-papers/saltmarsh-b.paper.ron",
        "1bb5223b769ff418a63fb10f324551436e6e1be02a336e571c27f72589c80444",
    ),
    (
        "sample-papers/saltmarsh-old.key.ron",
        "b3ed0c93f6b380185201e7bfbe94d1f0eff16f5393722beb31e8e1c7058af159",
    ),
    (
        "sample-papers/saltmarsh-old.paper.ron",
        "0c21df18f304d914681c1c89c98d8f075fc6184d94fb9f1086843fde3e47b65e",
    ),
    (
        "sessions/lapwing/2026-04-22-1614-saltmarsh-old.session.ron",
        "15d6594a0db95118a691dc897d89412bf0bb50952c7ac5c282fbc0c61beb367e",
    ),
    (
        "sessions/lapwing/2026-09-23-1606-saltmarsh-a.session.ron",
        "9f9d8f33a3e86e91f6b967aeee4aefe569bb38d142d1714cd9892744701124af",
    ),
    (
        "sessions/lapwing/2026-11-05-1615-saltmarsh-b.session.ron",
        "b47c8b8a32fb4b2b9c8a22b8a58d16c819b92aa43ef1eec4ae7cab58f492a9a3",
    ),
    (
        "sessions/marten/2026-04-22-1011-saltmarsh-old.session.ron",
        "2b64ebde01b9f204f3d1e1bfcaffa157130f902f7a0b7a6e77562c56dce7caa8",
    ),
    (
        "sessions/marten/2026-06-26-1605-saltmarsh-b.session.ron",
        "568560374c4cf1b30d7b49ed839a96ab19b0457b1713b94733c50718e53ab610",
    ),
    (
        "sessions/marten/2026-09-23-1004-saltmarsh-a.session.ron",
        "1bb2b8a400ae9b3ce114b1ce8bbccb566df032be258b92b8a007f12b053e9efa",
    ),
    (
        "sessions/teasel/2026-04-22-1610-saltmarsh-old.session.ron",
        "92e92588015f6e2eef480fa2e88aa2cb0427c89bb9ec85404fc681bf3e1550da",
    ),
    (
        "sessions/teasel/2026-06-23-1616-saltmarsh-b.session.ron",
        "966d6edb41d1486f4d341014981349d1db820dc3af316210aef58e39592ed6aa",
    ),
    (
        "sessions/teasel/2026-09-23-1005-saltmarsh-a.session.ron",
        "8c55a4354fc85ec6d7db1b1e50b9cfb29b701890fee551ee321d6ada58870b8a",
    ),
];

/// Each sitting and its mark: in time, with the guess round, worked; of 125 all.
const MARKS: [(&str, &str, [&str; 3]); 9] = [
    ("lapwing", "old", ["29", "29", "29"]),
    ("lapwing", "a", ["72", "72", "72"]),
    ("lapwing", "b", ["52", "52", "52"]),
    ("marten", "old", ["87", "94", "87"]),
    ("marten", "b", ["90", "90", "90"]),
    ("marten", "a", ["92", "92", "92"]),
    ("teasel", "old", ["38", "38", "38"]),
    ("teasel", "b", ["57", "57", "57"]),
    ("teasel", "a", ["52", "52", "48"]),
];

#[test]
fn every_old_file_is_there_and_is_what_it_was() {
    let mut found = Vec::new();
    sums(&old::home(), "", &mut found);
    found.sort();
    let pinned: Vec<_> = FILES
        .iter()
        .map(|(name, sum)| ((*name).to_owned(), (*sum).to_owned()))
        .collect();
    assert_eq!(found, pinned);
}

fn sums(folder: &Path, below: &str, found: &mut Vec<(String, String)>) {
    for entry in fs::read_dir(folder).unwrap() {
        let entry = entry.unwrap();
        let name = format!("{below}{}", entry.file_name().into_string().unwrap());
        if entry.path().is_dir() {
            sums(&entry.path(), &format!("{name}/"), found);
        } else {
            let mut sum = String::new();
            for byte in Sha256::digest(fs::read(entry.path()).unwrap()) {
                write!(sum, "{byte:02x}").unwrap();
            }
            found.push((name, sum));
        }
    }
}

#[test]
fn each_old_sitting_has_the_mark_it_always_had() {
    let files = OldFiles::copied();
    for (pupil, paper, [in_time, with_guess_round, worked]) in MARKS {
        let sitting = format!("@{pupil}-{paper}");
        let answer = files.run(&format!("mark {sitting} --key @{paper}.key --json"));
        assert_eq!(answer.code, Some(0), "{sitting}: {}", answer.err);
        let marked: Value = serde_json::from_str(&answer.out).unwrap();
        assert_eq!(marked["pupil"], pupil);
        assert_eq!(marked["paper"], format!("saltmarsh-{paper}"));
        let mark = json!({
            "in_time": in_time, "with_guess_round": with_guess_round, "worked": worked, "max": "125"
        });
        assert_eq!(marked["mark"], mark, "{sitting}");
    }
}

#[test]
fn the_old_papers_and_keys_are_sound() {
    let files = OldFiles::copied();
    for paper in ["a", "b", "old"] {
        let answer = files.run(&format!("paper check @{paper}.paper @{paper}.key"));
        assert_eq!(answer.code, Some(0), "{paper}: {}", answer.err);
        assert_eq!(
            answer.out.matches(": fine: 25 ").count(),
            2,
            "{}",
            answer.out
        );
    }
}
