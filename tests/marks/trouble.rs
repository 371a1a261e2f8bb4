//! Files that do not do, and how it is said.

use std::fs;

use crate::made::{KEY, Made, PAPER, STRICTER, code, err, out, script};

#[test]
fn a_key_of_another_paper_is_refused_with_its_reason() {
    let made = Made::new();
    made.session("otter");
    made.write("other.key.ron", &KEY.replace("heron", "stork"));
    let output = made.mark_with("other.key.ron", &["otter.session.ron"]);
    assert_eq!((code(&output), out(&output)), (Some(1), String::new()));
    assert_eq!(
        err(&output),
        "pacebell: otter.session.ron: the key is for paper `stork`, not for `heron`; give the key of `heron`\n"
    );
}

#[test]
fn one_sitting_of_another_paper_stops_the_others_too_and_each_is_named() {
    let made = Made::new();
    made.session("otter");
    made.write("heron.paper.ron", &PAPER.replace("\"heron\"", "\"stork\""));
    made.session("teal");
    let output = made.mark(&["otter.session.ron", "teal.session.ron", "none.session.ron"]);
    assert_eq!((code(&output), out(&output)), (Some(1), String::new()));
    let said = err(&output);
    assert!(
        said.contains("pacebell: teal.session.ron: the key is for paper `heron`"),
        "{said}"
    );
    assert!(
        said.contains("pacebell: none.session.ron: there's no such file"),
        "{said}"
    );
    assert!(!said.contains("otter"), "{said}");
}

#[test]
fn damage_has_an_exit_code_of_its_own_and_can_be_read_up_to() {
    let made = Made::new();
    let lines = made.lines("otter", &script());
    let damaged = lines.concat().replacen("Said", "Saib", 1);
    made.write("otter.session.ron", &damaged);
    let output = made.mark(&["otter.session.ron"]);
    assert_eq!((code(&output), out(&output)), (Some(3), String::new()));
    let said = err(&output);
    assert!(
        said.contains("otter.session.ron: line 8 is damaged"),
        "{said}"
    );
    assert!(said.contains("add --up-to-damage"), "{said}");

    // Before line 8, question 3 is answered and not yet called a guess.
    let output = made.mark(&["otter.session.ron", "--up-to-damage"]);
    assert_eq!(code(&output), Some(0), "{}", err(&output));
    let page = out(&output);
    assert!(
        page.contains("! otter.session.ron: line 8 is damaged"),
        "{page}"
    );
    assert!(page.contains("Worked out            8  of 33"), "{page}");
    let output = made.mark(&["otter.session.ron", "--up-to-damage", "--json"]);
    assert!(err(&output).contains("line 8 is damaged"));
    assert!(serde_json::from_str::<serde_json::Value>(&out(&output)).is_ok());
}

#[test]
fn a_file_without_a_first_line_is_damaged_however_far_one_would_read() {
    let made = Made::new();
    made.write("otter.session.ron", "");
    for words in [
        &["otter.session.ron"][..],
        &["otter.session.ron", "--up-to-damage"],
    ] {
        assert_eq!(code(&made.mark(words)), Some(3));
    }
}

#[test]
fn a_torn_last_line_is_left_out_and_told_and_the_file_stays_as_it_is() {
    let made = Made::new();
    let mut text = made.lines("otter", &script()).concat();
    text.truncate(text.len() - 5);
    let path = made.write("otter.session.ron", &text);
    let output = made.mark(&["otter.session.ron"]);
    assert_eq!(code(&output), Some(0), "{}", err(&output));
    let page = out(&output);
    assert!(page.contains("! otter.session.ron: The last line of this file is incomplete, so"));
    assert!(page.contains("! No end of the sitting is recorded: these are the marks so far."));
    assert_eq!(fs::read_to_string(path).unwrap(), text);
}

#[test]
fn a_rule_for_another_number_of_questions_is_refused() {
    let made = Made::new();
    made.session("otter");
    let shorter = STRICTER
        .replace("(), (), (), (), (), ()", "(), (), (), (), ()")
        .replace("last: 6", "last: 5");
    made.write("old.paper.ron", &shorter);
    let output = made.mark(&["otter.session.ron", "--under", "old.paper.ron"]);
    assert_eq!((code(&output), out(&output)), (Some(1), String::new()));
    assert!(err(&output).contains("has 6 questions but the rule of `heron-old` is for 5"));
}

#[test]
fn words_that_make_no_sense_end_with_2() {
    let made = Made::new();
    assert_eq!(code(&made.mark(&[])), Some(2));
    assert_eq!(code(&made.mark(&["x.session.ron", "--louder"])), Some(2));
    assert_eq!(
        code(&made.mark_with("no.key.ron", &["x.session.ron"])),
        Some(1)
    );
}
