//! The start page line by line: from an alias to a result, by the text alone.

#![cfg(test)]

#[path = "common/typed.rs"]
mod typed;
#[path = "common/user.rs"]
mod user;

use std::fs;
use std::path::Path;
use std::process::Command;

use pacebell::domain::mark::Mark;
use pacebell::domain::time::Elapsed;
use pacebell::storage::journal;
use tempfile::TempDir;
use typed::typed;

const PAPER: &str = r#"(
    format: 1,
    id: "heron",
    title: "Heron paper",
    minutes: 10,
    options: "ABCDE",
    rule: (sections: [(name: "all", first: 1, last: 4, right: 4)]),
    questions: [(), (), (), ()],
)"#;

fn room() -> TempDir {
    let dir = TempDir::new().unwrap();
    fs::write(dir.path().join("heron.paper.ron"), PAPER).unwrap();
    let key = r#"(format: 1, paper: "heron", answers: "ABCD")"#;
    fs::write(dir.path().join("heron.key.ron"), key).unwrap();
    fs::create_dir(dir.path().join("sessions")).unwrap();
    dir
}

/// What is heard when these lines are typed.
fn heard(dir: &Path, env: (&str, &str), words: &[&str], lines: &[&str]) -> String {
    let mut program = Command::new(env!("CARGO_BIN_EXE_pacebell"));
    let program = program.current_dir(dir).args(words);
    let program = program.envs(user::at_home(dir)).env(env.0, env.1);
    let done = typed(program, &(lines.join("\n") + "\n"));
    assert!(done.status.success(), "{done:?}");
    String::from_utf8(done.stdout).unwrap()
}

const NONE: (&str, &str) = ("LC_ALL", "C");

#[test]
fn a_new_alias_sits_a_paper_and_hears_the_result() {
    let dir = room();
    let lines = [
        "1", "Otter", "1", "1", "1", "start", "1", "A", "finish", "y",
    ];
    let said = heard(dir.path(), NONE, &["--plain"], &lines);
    for (told, times) in [
        ("Who is sitting?\n1 A new alias\n", 1),
        (
            "Otter: which paper?\n1 Heron paper: 4 questions, 10 minutes, 16 marks.",
            1,
        ),
        (
            "How should this sitting run?\n1 Go on\n2 Time: the paper's own\n",
            1,
        ),
        ("Type start to start the clock now", 1),
        ("In time: 4 of 16", 1),
        // Back at the start, for whoever comes next: there is a pupil more.
        (
            "Who is sitting?\n1 Otter\n2 A new alias\n3 Past sittings\n",
            1,
        ),
    ] {
        assert_eq!(said.matches(told).count(), times, "{told}\n{said}");
    }
}

#[test]
fn the_arrangements_are_changed_by_number_and_wrong_ones_asked_for_again() {
    let dir = room();
    let lines = [
        "back", "1", "wren", "1", "heron", "2", "list",
        "5", // no minutes: asked again at once
        "3", "much", "25%", "4", "5", "1-99", "1-3", "1", "back", "start", "finish", "y",
    ];
    let said = heard(dir.path(), NONE, &["--plain"], &lines);
    assert!(said.contains("Rest breaks: yes."), "{said}");
    assert!(said.contains("Extra time: 25%."), "{said}");
    assert_eq!(said.matches("2 Time: the paper's own").count(), 1, "{said}");
    assert!(!said.contains("Time: list."), "{said}");
    for (typed, asks) in [
        ("`list`", "Time: How many minutes, before extra time?"),
        ("`much`", "Extra time: How many percent? 25 is common."),
        ("`1-99`", "Questions: Which questions? For example 1-10."),
    ] {
        let (_, behind) = said
            .split_once(typed)
            .unwrap_or_else(|| panic!("{typed}\n{said}"));
        let next = behind.lines().nth(1).unwrap_or_default();
        assert_eq!(next, asks, "{said}");
    }
    let nowhere = "There's nothing to go back to. Type leave to stop.\n";
    assert_eq!(said.matches(nowhere).count(), 1, "{said}");
    let listing = journal::list(&dir.path().join("sessions")).unwrap();
    let header = &listing.records[0].header;
    assert_eq!(header.standard, Elapsed::minutes(5));
    assert_eq!(header.arrangements.extra_percent, Mark::whole(25));
    assert!(header.arrangements.rest_breaks);
}

#[test]
fn an_open_sitting_is_offered_and_a_past_one_heard_again() {
    let dir = room();
    let sat = ["sit", "heron.paper.ron", "--pupil", "otter", "--plain"];
    let left = heard(dir.path(), NONE, &sat, &["start", "1", "A", "leave", "y"]);
    assert!(
        left.contains("\nTo carry on with this sitting later, type pacebell sit --pupil otter\n"),
        "{left}"
    );
    assert_eq!(left.matches("aved").count(), 1, "{left}");
    let elsewhere = [&sat[..], &["--sessions", "a stick"]].concat();
    let left = heard(
        dir.path(),
        NONE,
        &elsewhere,
        &["start", "1", "A", "leave", "y"],
    );
    let told = "type pacebell sit --pupil otter --sessions \"a stick\"\n";
    assert!(left.contains(told), "{left}");
    let stayed = heard(dir.path(), NONE, &sat, &["leave"]);
    assert!(
        stayed.ends_with("Stopped. The clock was not started.\n"),
        "{stayed}"
    );
    let said = heard(
        dir.path(),
        NONE,
        &["--plain"],
        &["1", "start", "finish", "y"],
    );
    assert!(
        said.contains("1 otter: Heron paper, 10 minutes left, 1 answer"),
        "{said}"
    );
    assert!(said.contains("In time: 4 of 16"), "{said}");
    let said = heard(dir.path(), NONE, &["--plain"], &["past", "otter", "1"]);
    assert!(said.contains("Past sittings of otter\n1 "), "{said}");
    assert!(said.contains("4 of 16 in time; 3 left blank\n"), "{said}");
    assert!(
        said.lines().any(|line| {
            line.starts_with("The result of otter, ") && line.ends_with(": Heron paper.")
        }),
        "{said}"
    );
    assert!(said.contains("In time: 4 of 16"), "{said}");
}

#[test]
fn the_register_settles_what_a_registered_pupil_would_be_asked() {
    let dir = room();
    let register =
        "(format: 1, shared_machine: true, pupils: [(alias: \"otter\", extra_time: 25)])";
    fs::write(dir.path().join("sessions/register.ron"), register).unwrap();
    let lines = ["otter", "1", "1", "start", "1", "A", "finish", "y"];
    let said = heard(dir.path(), NONE, &["--plain"], &lines);
    assert!(!said.contains("How should this sitting run?"), "{said}");
    assert!(said.contains("10 minutes + 25%"), "{said}");
    assert!(!said.contains("of 16"), "{said}");
    let said = heard(dir.path(), NONE, &["--plain"], &["new"]);
    assert!(
        !said.contains("Past sittings\n") && !said.contains("Heron paper"),
        "{said}"
    );
    let lines = ["2", "wren", "1", "1", "7"];
    let said = heard(dir.path(), NONE, &["--plain"], &lines);
    assert!(!said.contains("Marks at the end"), "{said}");
}

#[test]
fn a_variable_or_a_terminal_without_a_cursor_choose_lines() {
    let dir = room();
    for env in [("PACEBELL_PLAIN", "1"), ("TERM", "dumb")] {
        let said = heard(dir.path(), env, &[], &["back"]);
        assert!(said.starts_with("Who is sitting?"), "{env:?}: {said}");
        let sat = ["sit", "heron.paper.ron", "--pupil", "otter"];
        let said = heard(dir.path(), env, &sat, &["leave"]);
        assert!(said.contains("Type start to start the clock now"), "{said}");
        let said = heard(dir.path(), env, &["tutor"], &["leave"]);
        assert!(said.contains("What would you like to do?"), "{said}");
    }
}

#[test]
fn a_plan_with_questions_that_the_paper_has_not_is_refused() {
    let dir = room();
    let plan = |question: u16| {
        let text = format!("(format: 2, checkpoints: [(question: {question}, minutes: 5)])");
        fs::write(dir.path().join("own.plan.ron"), text).unwrap();
        let mut program = Command::new(env!("CARGO_BIN_EXE_pacebell"));
        program.current_dir(dir.path()).args([
            "sit",
            "heron.paper.ron",
            "--pupil",
            "otter",
            "--plain",
            "--plan",
            "own.plan.ron",
        ]);
        typed(&mut program, "leave\n")
    };
    let fits = plan(4);
    assert_eq!(fits.status.code(), Some(0), "{fits:?}");
    assert!(
        String::from_utf8_lossy(&fits.stdout).contains("Finish up to question 4 in 5 minutes.")
    );
    let other = plan(5);
    assert_eq!(other.status.code(), Some(2), "{other:?}");
    let told = String::from_utf8_lossy(&other.stderr);
    assert!(
        told.contains("goes up to question 5 and `heron` ends at question 4"),
        "{told}"
    );
}

#[test]
fn in_an_empty_folder_the_samples_are_offered_and_a_pupil_sits_one() {
    let dir = TempDir::new().unwrap();
    fs::create_dir(dir.path().join("sessions")).unwrap();
    let said = heard(dir.path(), NONE, &["--plain"], &["1", "wren", "1", "1"]);
    assert!(said.contains("2 Write the sample papers"), "{said}");
    assert!(!dir.path().join("sample-papers").exists());
    let lines = ["1", "wren", "2", "first", "1", "start", "b", "finish", "y"];
    let said = heard(dir.path(), NONE, &["--plain"], &lines);
    for told in [
        "Pacebell has 6 sample papers with answer keys inside.",
        "12 files written to sample-papers.",
        "wren: which paper?",
        "The clock is running: 20 minutes",
        "In time:",
    ] {
        assert!(said.contains(told), "{told}\n{said}");
    }
}

#[test]
fn nobody_who_cannot_answer_is_asked() {
    let dir = TempDir::new().unwrap();
    let mut program = Command::new(env!("CARGO_BIN_EXE_pacebell"));
    let program = program
        .current_dir(dir.path())
        .envs(user::at_home(dir.path()));
    let done = typed(program.args(["paper", "list"]), "2\n");
    let said = String::from_utf8(done.stderr).unwrap();
    assert!(
        done.status.success() && said.contains("offers to write sample papers"),
        "{said}"
    );
    let mut program = Command::new(env!("CARGO_BIN_EXE_pacebell"));
    let program = program
        .current_dir(dir.path())
        .envs(user::at_home(dir.path()));
    let done = typed(program.args(["aim", "saltmarsh-a", "--mark", "60"]), "");
    let said = String::from_utf8(done.stderr).unwrap();
    assert!(
        !done.status.success() && said.contains("`pacebell paper list`"),
        "{said}"
    );
    assert_eq!(fs::read_dir(dir.path()).unwrap().count(), 0);
}
