//! A sitting whose marks the tutor keeps back, line by line and on the pages.

use std::io::Write as _;
use std::process::{Command, Stdio};

use crate::common::{PROGRAM, Room, Start};

/// What a sitting handed in after one answer says, line by line.
fn said(words: &[&str]) -> String {
    let room = Room::new();
    let mut program = Command::new(PROGRAM)
        .current_dir(room.path())
        .args(["sit", "saltmarsh-a", "--pupil", "otter", "--plain"])
        .args(words)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let mut lines = program.stdin.take().unwrap();
    lines.write_all(b"start\nC\nfinish\ny\n").unwrap();
    drop(lines);
    let out = program.wait_with_output().unwrap();
    assert!(out.status.success());
    String::from_utf8(out.stdout).unwrap()
}

#[test]
fn line_by_line_the_marks_show_unless_they_are_kept_back() {
    let shown = said(&[]);
    assert!(shown.contains("In time: 4 of 125"), "{shown}");
    let kept = said(&["--no-marks"]);
    assert!(!kept.contains("of 125"), "{kept}");
    assert!(kept.contains("Your tutor has the answer key"), "{kept}");
}

#[test]
fn kept_back_at_the_end_they_do_not_show_among_the_past_sittings_either() {
    let room = Room::new();
    let mut seat = Start::new(room.path(), &[]).run();
    for (keys, then) in [
        ("", "Who is sitting?"),
        ("\r", "> Alias:"),
        ("heron\r", "> Go straight to the papers"),
        ("\r", "heron: which paper?"),
        ("\r", "Time allowed: 60 minutes"),
        (
            "\x1b[B\x1b[B\x1b[B\x1b[B\x1b[B\x1b[B\x1b[Bn",
            "Marks at the end   < no >",
        ),
        ("\r", "Read this out"),
        ("s", "Enter starts the clock at once"),
        ("\r", "60 minutes left"),
        ("c\x1b", "Finish early; asks first"),
        ("f", "Finish now?"),
        ("y", "You typed y."),
        ("\r", "Your tutor has the answer key"),
        ("q", "Who is sitting?"),
        ("past\r", "Whose past sittings?"),
        ("\r", "no mark shown"),
        ("\r", "Your tutor has the answer key"),
    ] {
        seat.press(keys);
        let text = seat.sees(then);
        assert!(!text.contains("of 125"), "{text}");
    }
}
