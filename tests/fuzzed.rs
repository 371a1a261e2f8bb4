//! What the fuzzer starts from, and what it found: each file goes through the same readers as there.

#![cfg(test)]

#[path = "fuzz/src/readers.rs"]
#[expect(unreachable_pub, reason = "the fuzz targets are another crate")]
mod readers;

use std::fs;
use std::path::Path;

use readers::{
    answers, class, drill, key, marks, notes, paper, plan, register, session, thresholds,
};

/// A kind of file, and who reads it.
type Kind = (&'static str, fn(&[u8]));

const KINDS: [Kind; 11] = [
    ("answers", answers),
    ("class", class),
    ("drill", drill),
    ("key", key),
    ("marks", marks),
    ("notes", notes),
    ("paper", paper),
    ("plan", plan),
    ("register", register),
    ("session", session),
    ("thresholds", thresholds),
];

/// The files of a kind: seeds and finds.
fn files(kind: &str) -> Vec<(String, Vec<u8>)> {
    let fuzz = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fuzz");
    let folders = ["seeds", "found"].map(|folder| fuzz.join(folder).join(kind));
    let entries = folders
        .iter()
        .filter_map(|folder| fs::read_dir(folder).ok())
        .flatten();
    let paths = entries.map(|entry| entry.unwrap().path());
    paths
        .map(|path| (path.display().to_string(), fs::read(path).unwrap()))
        .collect()
}

#[test]
fn seeds_and_finds_go_through_their_readers_and_so_do_their_cuts() {
    for (kind, reader) in KINDS {
        let files = files(kind);
        assert!(!files.is_empty(), "no file of {kind}");
        for (_, bytes) in files {
            reader(&bytes);
            for cut in (0..bytes.len()).step_by(1 + bytes.len() / 60) {
                reader(&bytes[..cut]);
            }
        }
    }
}

/// A file in which every part is wrong in some way keeps to what the readers promise too.
#[test]
fn every_kind_with_its_bytes_turned_about_is_read_or_refused() {
    for (kind, reader) in KINDS {
        for (_, bytes) in files(kind) {
            for at in (0..bytes.len()).step_by(1 + bytes.len() / 40) {
                for by in [0x01, 0x20, 0x80] {
                    let mut other = bytes.clone();
                    other[at] ^= by;
                    reader(&other);
                }
            }
        }
    }
}
