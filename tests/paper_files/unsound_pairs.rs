//! A key beside a paper that has something to mend itself: it is held against what can be read.

use std::fs;

use pacebell::storage::files::paper;

use crate::good::{KEY, PAPER};
use crate::run;

/// What is said of a key, given or alone, with its paper as it is written.
fn key_said(paper: &str, key: &str) -> Vec<String> {
    let dir = tempfile::tempdir().unwrap();
    let path = |name: &str| dir.path().join(name).display().to_string();
    fs::write(path("dune.paper.ron"), paper).unwrap();
    fs::write(path("dune.key.ron"), key).unwrap();
    let about_key = |said: String| -> Vec<String> {
        let prefix = dir.path().join("").display().to_string();
        let said = said.replace(&prefix, "");
        let lines = said.lines().filter(|line| line.starts_with("dune.key.ron"));
        lines.map(str::to_owned).collect()
    };
    let (alone, _) = run(&["check", &path("dune.key.ron")]);
    let (both, end) = run(&["check", &path("dune.key.ron"), &path("dune.paper.ron")]);
    assert!(end.is_err());
    let both = about_key(both);
    assert_eq!(about_key(alone), both);
    both
}

fn with_print(print: &str) -> String {
    KEY.replace("paper:", &format!("fingerprint: \"{print}\", paper:"))
}

/// A boundary that cannot be: everything about the key can be checked all the same.
#[test]
fn a_paper_that_can_be_read_hides_nothing_of_the_key() {
    let wrong = PAPER.replace("boundary: 6", "boundary: -1");
    let key = with_print("0123456789abcdef").replace("BD Y", "BE Y");
    let said = key_said(&wrong, &key);
    let path = std::path::Path::new("p");
    let sound = paper::from_bytes(path, PAPER.as_bytes(), None).unwrap();
    let print = sound.value.outline.fingerprint.to_string();
    assert!(
        said[0].contains("fingerprint: the key is for another version"),
        "{said:?}"
    );
    assert!(
        said[0].ends_with(&format!("write fingerprint: \"{print}\"")),
        "{said:?}"
    );
    assert!(
        said[1].ends_with("answers: question 2 has no option 'E'; its options are A to D"),
        "{said:?}"
    );
    assert!(
        said[2].contains(": note: there's a problem in its paper ")
            && said[2].ends_with("dune.paper.ron; the key was checked against it as it is"),
        "{said:?}"
    );
    assert_eq!(said[3..], ["dune.key.ron: 2 problems found"]);
}

#[test]
fn a_paper_with_a_comma_left_out_still_gives_its_labels_and_its_length() {
    let wrong = PAPER.replace("id: \"dune-a\",", "id: \"dune-a\"");
    let said = key_said(&wrong, &KEY.replace("BD Y", "BD EY"));
    assert!(
        said[0].contains("answers: the key has 4 answers but the paper has 3 questions"),
        "{said:?}"
    );
    // Question 3 has labels of its own.
    assert!(
        said[1].ends_with("answers: question 3 has no option 'E'; its options are Y to N"),
        "{said:?}"
    );
    assert!(
        said[2].ends_with(
            "so this could not be checked: the fingerprint; correct the paper and check again"
        ),
        "{said:?}"
    );
}

#[test]
fn labels_that_cannot_be_read_leave_the_length_and_the_form_of_the_letters() {
    let wrong = PAPER.replace("\"YN\"", "\"Y\"");
    let said = key_said(&wrong, &KEY.replace("BD Y", "B+"));
    assert!(
        said[0].contains("the key has 2 answers but the paper has 3 questions"),
        "{said:?}"
    );
    assert!(said[1].contains("question 2 has no option '+'"), "{said:?}");
    assert!(
        said.iter().any(|line| line.ends_with("so this could not be checked: the letters of each question, the fingerprint; correct the paper and check again")),
        "{said:?}"
    );
}

#[test]
fn behind_an_open_quotation_mark_only_the_keys_own_form_is_checked() {
    let wrong = PAPER.replace("\"ABCD\"", "\"ABCD");
    let said = key_said(&wrong, &with_print("xyz").replace("BD Y", "BEZ+"));
    assert!(
        said[0].contains("\"xyz\" isn't a fingerprint, which has sixteen hex digits"),
        "{said:?}"
    );
    assert!(
        said[1].contains("answers: '+', at question 4, isn't an option"),
        "{said:?}"
    );
    assert!(
        said.iter().any(|line| line.ends_with("so this could not be checked: the number of answers, the letters of each question, the fingerprint; correct the paper and check again")),
        "{said:?}"
    );
}
