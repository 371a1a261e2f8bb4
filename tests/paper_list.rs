//! `paper list`: which papers there are, who sat them, and which are new to a group, by the words of their questions.
#![cfg(test)]

#[path = "common/old.rs"]
mod old;

use std::fs;

use old::OldFiles;
use serde_json::Value;

fn listed(files: &OldFiles, words: &str) -> Value {
    let answer = files.run(words);
    assert_eq!(answer.code, Some(0), "{words}: {}", answer.err);
    serde_json::from_str(&answer.out).unwrap()
}

fn of<'a>(list: &'a Value, id: &str) -> &'a Value {
    let mut papers = list["papers"].as_array().unwrap().iter();
    papers.find(|paper| paper["paper"] == id).unwrap()
}

/// A paper whose questions have these words.
fn paper(files: &OldFiles, id: &str, stems: &[&str], more: &str) {
    let questions = stems
        .iter()
        .map(|stem| format!("(stem: {stem:?}, options: [\"1\", \"2\"])"));
    let questions = questions.collect::<Vec<_>>().join(", ");
    let last = stems.len();
    let text = format!(
        "(format: 2, id: {id:?}, title: \"Paper {id}\", minutes: 10, options: \"AB\", {more}
          rule: (sections: [(first: 1, last: {last}, right: 1)]), questions: [{questions}])"
    );
    fs::write(
        files.path().join(format!("sample-papers/{id}.paper.ron")),
        text,
    )
    .unwrap();
}

fn enter(files: &OldFiles, paper: &str, pupil: &str, answers: &str, day: &str) {
    let words = format!("enter {paper} --pupil {pupil} --answers {answers} --date {day}");
    let answer = files.run(&words);
    assert_eq!(answer.code, Some(0), "{}", answer.err);
}

#[test]
fn a_paper_is_known_by_its_questions_and_not_by_its_id() {
    let files = OldFiles::copied();
    paper(
        &files,
        "first",
        &["p", "q", "r", "s"],
        "source: \"Marsh league 2019\", right_to_use: \"own\",",
    );
    paper(&files, "second", &["q", "r", "x", "y"], "");
    paper(&files, "third", &["x", "y", "z"], "");
    enter(&files, "first", "wren", "AB-A", "2026-02-03");
    enter(&files, "third", "knot", "AB-", "2026-02-04");
    let list = listed(&files, "paper list --json");
    let first = of(&list, "first");
    assert_eq!(
        (&first["source"], &first["right_to_use"], &first["year"]),
        (&"Marsh league 2019".into(), &"own".into(), &2019.into())
    );
    assert_eq!(first["sat"][0]["pupil"], "wren");
    assert_eq!(
        (&first["sat"][0]["date"], &first["sat"][0]["typed_in"]),
        (&"2026-02-03".into(), &true.into())
    );
    // wren met two of the four in `first`, knot the other two in `third`.
    let second = of(&list, "second");
    assert_eq!(second["sat"].as_array().unwrap().len(), 0);
    let met: Vec<_> = second["met"]
        .as_array()
        .unwrap()
        .iter()
        .map(|own| (own["pupil"].clone(), own["met"].clone()))
        .collect();
    assert_eq!(met, [("knot".into(), 2.into()), ("wren".into(), 2.into())]);
    assert_eq!(
        (&second["nobody_met"], &second["year"]),
        (&false.into(), &Value::Null)
    );
    // Of one pupil only; and of the old sittings' pupils these papers are all new.
    let list = listed(&files, "paper list wren --json");
    assert_eq!(of(&list, "third")["nobody_met"], true);
    assert_eq!(of(&list, "second")["met"].as_array().unwrap().len(), 1);
    let list = listed(&files, "paper list marten --json");
    assert_eq!(
        (
            &of(&list, "first")["nobody_met"],
            &of(&list, "saltmarsh-a")["nobody_met"]
        ),
        (&true.into(), &false.into())
    );
    let page = files.run("paper list marten").out;
    assert!(
        page.ends_with("New to 1 pupil: first, second, third.\n"),
        "{page}"
    );
    assert!(
        page.contains("Source: Marsh league 2019. Right to use: own."),
        "{page}"
    );
    assert_eq!(files.run("paper list nobody").code, Some(1));
}

#[test]
fn a_folder_without_sittings_and_a_broken_paper_are_told() {
    let files = OldFiles::copied();
    fs::remove_dir_all(files.path().join("sessions")).unwrap();
    fs::write(
        files.path().join("sample-papers/broken.paper.ron"),
        "(format: 1",
    )
    .unwrap();
    let page = files.run("paper list");
    assert_eq!(page.code, Some(0), "{}", page.err);
    assert!(
        page.out.contains("every paper is new") && page.out.contains("broken.paper.ron"),
        "{}",
        page.out
    );
    let list = listed(&files, "paper list --json");
    assert_eq!(
        (&list["pupils"], list["unusable"].as_array().unwrap().len()),
        (&0.into(), 1)
    );
}

#[test]
fn a_key_typed_twice_is_told_where_the_keyings_differ() {
    let files = OldFiles::copied();
    let text = fs::read_to_string(files.path().join("sample-papers/saltmarsh-a.key.ron")).unwrap();
    let (_, rest) = text.split_once("answers: \"").unwrap();
    let letters: String = rest
        .chars()
        .take_while(|c| *c != '"')
        .filter(char::is_ascii_uppercase)
        .collect();
    assert_eq!(letters.len(), 25);
    let same = files.run(&format!("paper check @a.key --twice={letters}"));
    assert_eq!(same.code, Some(0), "{}", same.err);
    assert!(
        same.out.ends_with("second keying: the same 25 answers\n"),
        "{}",
        same.out
    );
    assert_eq!(
        files
            .run("paper check @a.key --twice=sample-papers/saltmarsh-a.key.ron")
            .code,
        Some(0)
    );
    let other = |letter: char| if letter == 'A' { 'B' } else { 'A' };
    let mut typed: Vec<char> = letters.chars().collect();
    let (third, last) = (typed[2], typed[24]);
    (typed[2], typed[24]) = (other(third), '-');
    let typed: String = typed.into_iter().collect();
    let expected = format!(
        "pacebell: question 3: first {third}, then {}\npacebell: question 25: first {last}, then -\n",
        other(third)
    );
    let answer = files.run(&format!("paper check @a.key --twice={typed}"));
    assert_eq!(answer.code, Some(1));
    assert!(
        answer.err.starts_with(&expected) && answer.err.lines().count() == 3,
        "{}",
        answer.err
    );
    // The same from a table.
    let head: Vec<_> = (1..=25).map(|number| number.to_string()).collect();
    let cells: Vec<_> = typed.chars().map(String::from).collect();
    let table = format!("who,{}\nkey,{}\n", head.join(","), cells.join(","));
    fs::write(files.path().join("second.csv"), table).unwrap();
    let answer = files.run("paper check @a.key --twice=second.csv");
    assert!(answer.err.starts_with(&expected), "{}", answer.err);
    assert_eq!(
        files.run("paper check @a.key @b.key --twice=ABC").code,
        Some(2)
    );
}

#[test]
fn each_problem_of_a_faulty_paper_has_a_line_of_its_own() {
    let files = OldFiles::copied();
    let faulty = "(format: 2, id: \"fen\", title: \"Fen\", minutes: 0, options: \"AA\",
          rule: (sections: [(first: 1, last: 1, right: 1)]), questions: [()])";
    fs::write(files.path().join("sample-papers/fen.paper.ron"), faulty).unwrap();
    let said = files.run("paper list").out;
    let begins = |line: &&str| line.starts_with("! ");
    assert_eq!(said.lines().filter(begins).count(), 2, "{said}");
    let checked = files.run("paper check sample-papers/fen.paper.ron");
    let problems = checked.out + &checked.err;
    assert_eq!(
        problems.matches("fen.paper.ron:1:").count(),
        2,
        "{problems}"
    );
}
