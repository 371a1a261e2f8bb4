//! `mark --key NEW --was OLD`: every mark that a corrected key changes, and no other.
#![cfg(test)]

#[path = "common/old.rs"]
mod old;

use std::collections::BTreeMap;
use std::fs;

use old::OldFiles;
use serde_json::Value;

fn json(files: &OldFiles, words: &str) -> Value {
    let answer = files.run(words);
    assert_eq!(answer.code, Some(0), "{words}: {}", answer.err);
    serde_json::from_str(&answer.out).unwrap()
}

/// How paper A's key is corrected.
#[derive(Clone, Copy, PartialEq)]
enum Correction {
    /// Question 4 gets another answer.
    One,
    /// And question 21 is dropped.
    Dropped,
    /// Every question gets another answer: nobody keeps an award.
    All,
}

/// Paper A's key, corrected.
fn corrected(files: &OldFiles, correction: Correction) -> Value {
    let path = files.path().join("sample-papers/saltmarsh-a.key.ron");
    let text = fs::read_to_string(&path).unwrap();
    let (_, rest) = text.split_once("answers: \"").unwrap();
    let letters = rest.chars().take_while(|c| *c != '"');
    let mut letters: Vec<char> = letters.filter(char::is_ascii_uppercase).collect();
    assert_eq!(letters.len(), 25);
    let changed = if correction == Correction::All {
        0..25
    } else {
        3..4
    };
    for letter in &mut letters[changed] {
        *letter = if *letter == 'B' { 'C' } else { 'B' };
    }
    let letters: String = letters.into_iter().collect();
    let void = if correction == Correction::Dropped {
        "void: {21: dropped},"
    } else {
        ""
    };
    let text = format!("(format: 1, paper: \"saltmarsh-a\", answers: \"{letters}\", {void})");
    fs::write(files.path().join("new.key.ron"), text).unwrap();
    json(files, "mark sessions --key new.key.ron --was @a.key --json")
}

/// The marks of every sitting with one key.
fn marked(files: &OldFiles, key: &str) -> BTreeMap<String, Value> {
    let all = json(files, &format!("mark sessions --key {key} --json"));
    let all = all.as_array().unwrap().iter();
    all.map(|one| (one["sitting"].as_str().unwrap().to_owned(), one.clone()))
        .collect()
}

/// The naive second computation: mark everything with either key, and look where the two differ.
#[test]
fn exactly_the_marks_that_differ_are_listed() {
    for correction in [Correction::One, Correction::Dropped, Correction::All] {
        let files = OldFiles::copied();
        let found = corrected(&files, correction);
        let (was, now) = (marked(&files, "@a.key"), marked(&files, "new.key.ron"));
        assert_eq!(was.len(), now.len());
        let mut unchanged = 0;
        let mut listed = found["changed"].as_array().unwrap().iter();
        let (mut seen, mut lost) = (0, 0);
        // The list is in the order of `mark`.
        let order = json(&files, "mark sessions --key new.key.ron --json");
        for one in order.as_array().unwrap() {
            let id = one["sitting"].as_str().unwrap();
            let (was, now) = (&was[id], &now[id]);
            let questions = was["questions"]
                .as_array()
                .unwrap()
                .iter()
                .zip(now["questions"].as_array().unwrap());
            let differing: Vec<_> = questions
                .filter(|(was, now)| {
                    (&was["outcome"], &was["marks"]) != (&now["outcome"], &now["marks"])
                })
                .collect();
            if differing.is_empty() {
                unchanged += 1;
                continue;
            }
            let entry = listed.next().unwrap();
            seen += 1;
            assert_eq!(entry["sitting"], *id);
            assert_eq!((&entry["was"], &entry["now"]), (&was["mark"], &now["mark"]));
            let told = entry["questions"].as_array().unwrap();
            assert_eq!(told.len(), differing.len());
            for (told, (was, now)) in told.iter().zip(differing) {
                assert_eq!(told["number"], now["number"]);
                assert_eq!(told["given"], now["given"]);
                for (told, marked) in [(&told["was"], was), (&told["now"], now)] {
                    assert_eq!(
                        (&told["outcome"], &told["marks"]),
                        (&marked["outcome"], &marked["marks"])
                    );
                }
            }
            let reached = |one: &Value| -> Vec<(Value, bool)> {
                let awards = one["awards"].as_array().unwrap().iter();
                awards
                    .map(|award| (award["name"].clone(), award["reached_in_time"] == true))
                    .collect()
            };
            let awards = reached(was).into_iter().zip(reached(now));
            let awards: Vec<_> = awards.filter(|(was, now)| was.1 != now.1).collect();
            let told: Vec<_> = entry["awards"].as_array().unwrap().iter().collect();
            assert_eq!(told.len(), awards.len());
            lost += awards.len();
            for (told, ((name, was), (_, now))) in told.into_iter().zip(awards) {
                assert_eq!(
                    (
                        &told["name"],
                        told["reached_was"] == was,
                        told["reached_now"] == now
                    ),
                    (&name, true, true)
                );
            }
        }
        assert!(seen > 0 && listed.next().is_none());
        assert_eq!(lost > 0, correction == Correction::All);
        assert_eq!(found["unchanged"], unchanged);
    }
}

#[test]
fn a_pupils_changes_are_told_in_words() {
    let files = OldFiles::copied();
    let told = corrected(&files, Correction::One);
    let page = files
        .run("mark sessions --key new.key.ron --was @a.key")
        .out;
    let changed = told["changed"].as_array().unwrap();
    let all = changed.len() + usize::try_from(told["unchanged"].as_u64().unwrap()).unwrap();
    let s = if all == 1 { "" } else { "s" };
    assert!(
        page.starts_with(&format!(
            "The corrected key changes {} of {all} sitting{s}.\n",
            changed.len()
        )),
        "{page}"
    );
    for one in changed {
        assert!(page.contains(one["pupil"].as_str().unwrap()), "{page}");
    }
    assert!(page.contains("question 4 ("), "{page}");
    // The same key changes nothing; without the new one there is nothing to compare.
    let same = json(&files, "mark sessions --key @a.key --was @a.key --json");
    assert_eq!(same["changed"].as_array().unwrap().len(), 0);
    assert_eq!(files.run("mark sessions --was @a.key").code, Some(2));
    assert_eq!(
        files.run("mark sessions --key @a.key --was @b.key").code,
        Some(1)
    );
}
