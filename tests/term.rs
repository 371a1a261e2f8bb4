//! A term of a group of twelve on two machines, by commands alone: every total is what a count by hand gives.
#![cfg(test)]

#[path = "common/tree.rs"]
mod tree;
#[path = "common/typed.rs"]
mod typed;
#[path = "common/user.rs"]
mod user;

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use serde_json::Value;
use tempfile::TempDir;
use tree::copy;
use typed::typed;

const PUPILS: [&str; 12] = [
    "avocet", "bittern", "curlew", "dunlin", "egret", "gadwall", "knot", "lapwing", "ruff", "teal",
    "whimbrel", "wren",
];

/// The papers: their ids, what right and wrong bring on the two halves of six questions, their keys.
const PAPERS: [(&str, [i64; 4], &str); 2] = [
    ("north", [4, 0, 7, -2], "ABCDEA"),
    ("south", [5, 0, 5, 0], "BBCDAE"),
];

/// Who answered what on which paper, `-` for a blank: what counts in the end.
type Sheets = BTreeMap<(&'static str, &'static str), String>;

fn rule(paper: &str) -> ([i64; 4], &'static str) {
    let found = PAPERS.into_iter().find(|(id, _, _)| *id == paper);
    let (_, marks, key) = found.unwrap();
    (marks, key)
}

/// A sheet's mark by hand.
fn naive(paper: &str, answers: &str) -> i64 {
    let ([right, wrong, late_right, late_wrong], key) = rule(paper);
    let each = answers.chars().zip(key.chars()).enumerate();
    each.map(
        |(index, (given, key))| match (given == '-', given == key, index < 3) {
            (true, ..) => 0,
            (_, true, early) => {
                if early {
                    right
                } else {
                    late_right
                }
            }
            (_, false, early) => {
                if early {
                    wrong
                } else {
                    late_wrong
                }
            }
        },
    )
    .sum()
}

/// A tutor's folder with two papers; sittings are kept in `school` and on another machine in `home`.
struct Term {
    dir: TempDir,
}

impl Term {
    fn new() -> Self {
        let dir = TempDir::new().unwrap();
        for (id, [right, wrong, late_right, late_wrong], key) in PAPERS {
            let paper = format!(
                "(format: 1, id: {id:?}, title: \"Paper {id}\", minutes: 30, options: \"ABCDE\",
                  rule: (sections: [(name: \"first\", first: 1, last: 3, right: {right}, wrong: {wrong}),
                    (name: \"second\", first: 4, last: 6, right: {late_right}, wrong: {late_wrong})]),
                  awards: [(name: \"sandpiper\", boundary: 15)], questions: [(), (), (), (), (), ()])"
            );
            fs::write(dir.path().join(format!("{id}.paper.ron")), paper).unwrap();
            let key = format!("(format: 1, paper: {id:?}, answers: {key:?})");
            fs::write(dir.path().join(format!("{id}.key.ron")), key).unwrap();
        }
        fs::create_dir(dir.path().join("user")).unwrap();
        Self { dir }
    }

    fn path(&self, name: &str) -> PathBuf {
        self.dir.path().join(name)
    }

    fn try_run(&self, words: &str, input: &str) -> Output {
        let mut program = Command::new(env!("CARGO_BIN_EXE_pacebell"));
        let program = program.current_dir(self.dir.path()).args(words.split(' '));
        typed(
            program.env_clear().envs(user::at_home(&self.path("user"))),
            input,
        )
    }

    /// What a command that must succeed wrote.
    fn run(&self, words: &str, input: &str) -> String {
        let output = self.try_run(words, input);
        let err = String::from_utf8_lossy(&output.stderr).into_owned();
        assert!(output.status.success(), "{words}: {err}");
        String::from_utf8(output.stdout).unwrap()
    }

    fn json(&self, words: &str) -> Value {
        serde_json::from_str(&self.run(words, "")).unwrap()
    }

    /// Enters a list of sheets in the folder of the school.
    fn enter(&self, paper: &str, rows: &BTreeMap<&str, String>, date: &str, more: &str) {
        let mut list = "pupil,1,2,3,4,5,6\n".to_owned();
        for (pupil, answers) in rows {
            let cells: Vec<_> = answers.chars().map(String::from).collect();
            list = format!("{list}{pupil},{}\n", cells.join(",").replace(' ', ""));
        }
        fs::write(self.path("class.csv"), list).unwrap();
        self.run(
            &format!(
                "enter {paper}.paper.ron --from class.csv --date {date} --sessions school{more}"
            ),
            "",
        );
    }

    /// Sits a paper at the keyboard of the other machine, line by line, and gives the session's file.
    fn sit(&self, paper: &str, pupil: &str, answers: &str) -> PathBuf {
        let before = files(&self.path("home"));
        let mut lines = "start\n".to_owned();
        let numbered = (1..).zip(answers.chars());
        for (number, letter) in numbered.filter(|(_, letter)| *letter != '-') {
            lines = format!("{lines}{number}\n{letter}\n");
        }
        let words =
            format!("sit {paper}.paper.ron --pupil {pupil} --plain --no-marks --sessions home");
        self.run(&words, &format!("{lines}finish\ny\n"));
        let after = files(&self.path("home")).into_iter();
        let mut new = after.filter(|file| {
            !before.contains(file) && file.to_string_lossy().ends_with(".session.ron")
        });
        new.next().unwrap()
    }

    /// Every total that the commands give, held against a count by hand.
    fn totals_are(&self, sheets: &Sheets) {
        let marks = self.json("mark school --json");
        let found = marks.as_array().unwrap().iter().map(|one| {
            let text = |field: &str| one[field].as_str().unwrap().to_owned();
            let mark: i64 = one["mark"]["in_time"].as_str().unwrap().parse().unwrap();
            ((text("pupil"), text("paper")), mark)
        });
        let found: Vec<_> = found.collect();
        let expected = sheets.iter().map(|((pupil, paper), answers)| {
            (
                ((*pupil).to_owned(), (*paper).to_owned()),
                naive(paper, answers),
            )
        });
        let expected: BTreeMap<_, _> = expected.collect();
        assert_eq!(found.len(), expected.len(), "{found:?}");
        assert_eq!(found.into_iter().collect::<BTreeMap<_, _>>(), expected);
        for (paper, _, key) in PAPERS {
            let of_paper = sheets.iter().filter(|((_, of), _)| *of == paper);
            let answers: Vec<_> = of_paper.map(|(_, answers)| answers.as_str()).collect();
            let words = format!("group --paper {paper}.paper.ron school --json");
            if answers.is_empty() {
                assert_eq!(self.try_run(&words, "").status.code(), Some(1));
                continue;
            }
            let group = self.json(&words);
            assert_eq!(group["people"], answers.len());
            let mut counts = BTreeMap::<i64, u64>::new();
            for answers in &answers {
                *counts.entry(naive(paper, answers)).or_default() += 1;
            }
            let told = group["marks"].as_array().unwrap().iter().map(|row| {
                let mark: i64 = row["mark"].as_str().unwrap().parse().unwrap();
                (mark, row["count"].as_u64().unwrap())
            });
            assert_eq!(told.collect::<BTreeMap<_, _>>(), counts, "{paper}");
            for (index, question) in group["questions"].as_array().unwrap().iter().enumerate() {
                for letter in "ABCDE".chars() {
                    let chosen = answers
                        .iter()
                        .filter(|own| own.chars().nth(index) == Some(letter))
                        .count();
                    let told = &question["options"][letter.to_string()]["count"];
                    assert_eq!(*told, chosen, "{paper} {index} {letter}");
                }
                let right = answers
                    .iter()
                    .filter(|own| own.chars().nth(index) == key.chars().nth(index));
                let right = u32::try_from(right.count()).unwrap();
                let facility = f64::from(right) / f64::from(u32::try_from(answers.len()).unwrap());
                assert!((question["facility"].as_f64().unwrap() - facility).abs() < 1e-12);
            }
        }
        for pupil in sheets
            .keys()
            .map(|(pupil, _)| *pupil)
            .collect::<std::collections::BTreeSet<_>>()
        {
            let season = self.json(&format!("progress {pupil} --sessions school --json"));
            let lines = season["sittings"].as_array().unwrap().iter();
            let counted = lines
                .filter(|line| !matches!(line["apart"].as_str(), Some("replaced" | "set_aside")));
            let told: BTreeMap<_, _> = counted
                .map(|line| {
                    let mark: i64 = line["mark"]["in_time"].as_str().unwrap().parse().unwrap();
                    (line["paper"].as_str().unwrap().to_owned(), mark)
                })
                .collect();
            let own = sheets.iter().filter(|((of, _), _)| *of == pupil);
            let own = own.map(|((_, paper), answers)| ((*paper).to_owned(), naive(paper, answers)));
            assert_eq!(told, own.collect::<BTreeMap<_, _>>(), "{pupil}");
        }
    }
}

/// Every file below a folder.
fn files(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).into_iter().flatten().flatten() {
        let path = entry.path();
        if path.is_dir() {
            found.extend(files(&path));
        } else {
            found.push(path);
        }
    }
    found.sort();
    found
}

/// A pupil's answers: some right, some wrong, some blank, others for each pupil.
fn answers(paper: &str, place: usize) -> String {
    let (_, key) = rule(paper);
    let each = key
        .chars()
        .enumerate()
        .map(|(index, right)| match (place * 7 + index * 5) % 6 {
            0 => '-',
            1 | 2 => char::from(b'A' + u8::try_from((place + index) % 5).unwrap()),
            _ => right,
        });
    each.collect()
}

/// October: eleven sheets of the first paper, three of them corrected.
fn october(term: &Term, sheets: &mut Sheets) {
    // October: eleven sheets of the first paper are typed into a table; ruff has the twelfth, avocet was absent.
    let mut class: BTreeMap<&str, String> = PUPILS
        .iter()
        .enumerate()
        .map(|(at, pupil)| (*pupil, answers("north", at)))
        .collect();
    class.insert("avocet", "      ".to_owned());
    term.enter("north", &class, "2026-10-05", "");
    class.remove("avocet");
    sheets.extend(
        class
            .iter()
            .map(|(pupil, own)| ((*pupil, "north"), own.clone())),
    );
    term.totals_are(sheets);

    // Three were mistyped: the corrected list replaces them, however often it is entered.
    for (pupil, own) in [
        ("bittern", "ABCDEA"),
        ("egret", "------"),
        ("wren", "BCDEAB"),
    ] {
        class.insert(pupil, own.to_owned());
        sheets.insert((pupil, "north"), own.to_owned());
    }
    for _ in 0..2 {
        term.enter("north", &class, "2026-10-05", " --again");
    }
    term.totals_are(sheets);
}

/// November: the second paper, at school on paper and at home at the keyboard, gathered into one folder.
fn november(term: &Term, sheets: &mut Sheets) {
    // November: eight sit the second paper on paper, three at home at the keyboard; wren begins twice.
    let on_paper: BTreeMap<&str, String> = PUPILS
        .iter()
        .enumerate()
        .take(9)
        .filter(|(_, pupil)| **pupil != "knot")
        .map(|(at, pupil)| (*pupil, answers("south", at + 3)))
        .collect();
    assert_eq!(on_paper.len(), 8);
    term.enter("south", &on_paper, "2026-11-09", " --extra-time 25%");
    sheets.extend(
        on_paper
            .iter()
            .map(|(pupil, own)| ((*pupil, "south"), own.clone())),
    );
    let false_start = term.sit("south", "wren", "E-----");
    for (pupil, own) in [("knot", "BBC-AE"), ("teal", "BACDBE")] {
        term.sit("south", pupil, own);
        sheets.insert((pupil, "south"), own.to_owned());
    }
    // The stick is copied before the last sitting, and the folder after it.
    copy(&term.path("home"), &term.path("stick"));
    term.sit("south", "wren", "BBBBBB");
    sheets.insert(("wren", "south"), "BBBBBB".to_owned());

    // Gathered in either order, and twice: each sitting is there once.
    for folders in ["stick home", "home stick", "home"] {
        term.run(&format!("gather {folders} --sessions school"), "");
    }
    // Until the false start is set aside it is wren's first sitting of the paper.
    // Two of one minute have names of their own: the sitting's id tells which it is.
    let id = |file: &Path| {
        let text = fs::read_to_string(file).unwrap();
        let (_, rest) = text.split_once("sitting:\"").unwrap();
        rest.split('"').next().unwrap().to_owned()
    };
    let began = id(&false_start);
    let mut gathered = files(&term.path("school/wren")).into_iter();
    let gathered = gathered.find(|file| id(file) == began).unwrap();
    let marks = term.json("mark school/wren --json");
    assert_eq!(marks.as_array().unwrap().len(), 3);
    term.run(
        &format!(
            "set-aside {} --because fire-bell --sessions school",
            gathered.display()
        ),
        "",
    );
    term.totals_are(sheets);
}

/// December: one alias changes, and one pupil goes.
fn december(term: &Term, sheets: &mut Sheets) {
    // One gets another alias, and one is to be forgotten, what a killed run left included.
    term.run("rename teal redshank --sessions school", "");
    for paper in ["north", "south"] {
        let own = sheets.remove(&("teal", paper)).unwrap();
        sheets.insert(("redshank", paper), own);
    }
    term.totals_are(sheets);
    let left = term.path("school/.entering");
    fs::create_dir(&left).unwrap();
    fs::write(left.join("0.part"), "(pupil: \"ruff\")").unwrap();
    term.run("mark ruff --sessions school --json", "");
    term.run("erase ruff --sessions school", "ruff\n");
    sheets.retain(|(pupil, _), _| *pupil != "ruff");
    term.totals_are(sheets);
    for alias in ["ruff", "teal"] {
        for file in [files(&term.path("school")), files(&term.path("user"))].concat() {
            let bytes = fs::read(&file).unwrap();
            let holds = bytes
                .windows(alias.len())
                .any(|part| part == alias.as_bytes());
            assert!(
                !holds && !file.to_string_lossy().contains(alias),
                "{alias} in {}",
                file.display()
            );
        }
    }
    assert_eq!(
        term.try_run("progress ruff --sessions school", "")
            .status
            .code(),
        Some(1)
    );

    // What the group has met: both papers, by everybody who sat them.
    let list = term.json("paper list --sessions school --json");
    assert!(
        list["papers"]
            .as_array()
            .unwrap()
            .iter()
            .all(|paper| paper["nobody_met"] == false)
    );
}

#[test]
fn a_term_of_twelve_on_two_machines_is_what_a_count_by_hand_gives() {
    let (term, mut sheets) = (Term::new(), Sheets::new());
    october(&term, &mut sheets);
    november(&term, &mut sheets);
    december(&term, &mut sheets);
}
