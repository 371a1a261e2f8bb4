//! Sittings named by their folder or by their pupil, and several keys.

use std::fs;

use serde_json::Value;

use crate::made::{KEY, Made, PAPER, code, err, out, script};

/// Otter sat the heron paper and the stork paper, teal the heron paper; all below `name`.
fn season(name: &str) -> Made {
    let made = Made::new();
    let lines = made.lines("otter", &script()).concat();
    let teals = made.lines("teal", &script()).concat();
    for pupil in ["otter", "teal"] {
        fs::create_dir_all(made.path(name).join(pupil)).unwrap();
    }
    made.write(&format!("{name}/otter/1.session.ron"), &lines);
    made.write(&format!("{name}/teal/1.session.ron"), &teals);
    made.write("heron.paper.ron", &PAPER.replace("\"heron\"", "\"stork\""));
    let stork = made.lines_as("second", "otter", &script()).concat();
    made.write(&format!("{name}/otter/2.session.ron"), &stork);
    made.write("heron.paper.ron", PAPER);
    made.write("stork.key.ron", &KEY.replace("heron", "stork"));
    made
}

fn pupils(text: &str) -> Vec<String> {
    let read: Value = serde_json::from_str(text).unwrap();
    let list = match read {
        Value::Array(list) => list,
        one => vec![one],
    };
    let named = |one: &Value| {
        format!(
            "{} {}",
            one["pupil"].as_str().unwrap(),
            one["paper"].as_str().unwrap()
        )
    };
    let mut named: Vec<_> = list.iter().map(named).collect();
    named.sort();
    named
}

const ONE_LEFT_OUT: &str = "pacebell: note: left out 1 sitting of other papers (stork 1)\n";

#[test]
fn an_alias_means_that_pupils_sittings_wherever_they_are_kept() {
    for (kept, more) in [("sessions", &[][..]), ("kept", &["--sessions", "kept"])] {
        let made = season(kept);
        let output = made.mark(&[&["otter"][..], more].concat());
        assert_eq!(code(&output), Some(0), "{}", err(&output));
        assert!(
            out(&output).starts_with("otter: Heron paper\n"),
            "{}",
            out(&output)
        );
        assert_eq!(err(&output), ONE_LEFT_OUT);
    }
}

#[test]
fn a_folder_means_every_sitting_in_it_and_in_the_pupils_folders_below() {
    let made = season("kept");
    let output = made.mark(&["kept", "--json"]);
    assert_eq!(pupils(&out(&output)), ["otter heron", "teal heron"]);
    assert_eq!(err(&output), ONE_LEFT_OUT);
    // Named twice is marked once.
    let output = made.mark(&["kept", "kept/teal/1.session.ron", "--json"]);
    assert_eq!(pupils(&out(&output)), ["otter heron", "teal heron"]);
}

#[test]
fn each_sitting_is_marked_with_the_key_that_fits_and_each_paper_has_its_table() {
    let made = season("sessions");
    let words = ["otter", "teal", "--key", "stork.key.ron"];
    let output = made.mark(&[&words[..], &["--json"]].concat());
    assert_eq!(err(&output), "");
    assert_eq!(
        pupils(&out(&output)),
        ["otter heron", "otter stork", "teal heron"]
    );
    let tables = out(&made.mark(&words));
    assert_eq!(tables.matches("Pupil  Date ").count(), 2, "{tables}");
    assert_eq!(
        tables.matches("\notter  20 Nov 2026").count(),
        2,
        "{tables}"
    );
    assert_eq!(
        tables.matches("\nteal   20 Nov 2026").count(),
        1,
        "{tables}"
    );
}

#[test]
fn a_file_named_by_itself_is_never_left_out_in_silence() {
    let made = season("kept");
    let output = made.mark(&["kept/otter/1.session.ron", "kept/otter/2.session.ron"]);
    assert_eq!((code(&output), out(&output)), (Some(1), String::new()));
    assert!(err(&output).contains("2.session.ron: the key is for paper `heron`, not for `stork`"));
    made.write("teal.key.ron", &KEY.replace("heron", "teal"));
    let output = made.mark(&["kept/otter/2.session.ron", "--key", "teal.key.ron"]);
    assert_eq!(
        err(&output),
        "pacebell: kept/otter/2.session.ron: none of the answer keys is for `stork`; name the key of `stork` as well\n"
    );
}

#[test]
fn where_nothing_is_left_it_is_said_why() {
    let made = season("sessions");
    let none = |words: &[&str]| {
        let output = made.mark_with("teal.key.ron", words);
        assert_eq!((code(&output), out(&output)), (Some(1), String::new()));
        err(&output)
    };
    made.write("teal.key.ron", &KEY.replace("heron", "teal"));
    assert_eq!(
        none(&["otter"]),
        "pacebell: none of these sittings can be marked with the answer key of `teal`; name the key of their paper\n\
         pacebell: note: left out 2 sittings of other papers (heron 1, stork 1)\n"
    );
    assert_eq!(
        none(&["wren"]),
        "pacebell: there's no file or folder `wren` here, and no sitting of a pupil `wren` in sessions; check the name, or name the folder of sittings with --sessions DIR\n"
    );
    fs::create_dir(made.path("empty")).unwrap();
    assert_eq!(
        none(&["empty"]),
        "pacebell: there are no sittings in the folder empty; check its name\n"
    );
    made.write(
        "teal.key.ron",
        r#"(format: 1, paper: "heron", answers: "ABCDE")"#,
    );
    let said = none(&["otter"]);
    assert!(
        said.contains("note: left out sessions/otter/1.session.ron: the key has 5 answers but the paper has 6 questions"),
        "{said}"
    );
}

#[test]
fn a_damaged_file_of_the_pupil_is_told() {
    let made = season("sessions");
    let path = made.path("sessions/otter/1.session.ron");
    let text = fs::read_to_string(&path).unwrap();
    fs::write(&path, text.replacen("Said", "Saib", 1)).unwrap();
    let output = made.mark(&["otter"]);
    assert_eq!((code(&output), out(&output)), (Some(3), String::new()));
    assert!(
        err(&output).contains("line 8 is damaged"),
        "{}",
        err(&output)
    );
    let output = made.mark(&["otter", "--up-to-damage"]);
    assert_eq!(code(&output), Some(0));
}
