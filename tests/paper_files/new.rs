//! `paper new`: what it writes is fine, and what it refuses.

use std::fs;
use std::path::Path;

use pacebell::commands::Failure;
use pacebell::storage::files::{key, paper};
use proptest::prelude::*;

use crate::run;

const WORDS: [&str; 12] = [
    "--questions",
    "25",
    "--minutes",
    "22.5",
    "--sections",
    "1-10:4,11-20:5,21-25:7:-1:0",
    "--answers",
    "BDACE bdace BDACEBDACE\nBDACE",
    "--title",
    "Dune \"Cup\" \\ ½",
    "--options",
    "ABCDE",
];

/// Runs `paper new dune --dir DIR` with `WORDS`, one of them changed.
fn new(dir: &Path, word: &str, value: &str) -> (String, Result<(), Failure>) {
    let dir = dir.display().to_string();
    let mut words = vec!["new", "dune", "--dir", &dir];
    words.extend(WORDS);
    match words.iter().position(|known| *known == word) {
        Some(at) => words[at + 1] = value,
        None if word == "NAME" => words[1] = value,
        None => {}
    }
    run(&words)
}

#[test]
fn a_new_paper_and_its_key_are_fine_and_say_what_was_typed() {
    let dir = tempfile::tempdir().unwrap();
    let dir = dir.path().join("made").join("here");
    let (said, end) = new(&dir, "", "");
    assert_eq!(end, Ok(()));
    let path = |name: &str| dir.join(name);
    let (paper_path, key_path) = (path("dune.paper.ron"), path("dune.key.ron"));
    assert_eq!(
        said,
        format!(
            "{0} and {1} written: 25 questions, 125 marks, 22 min 30 s\n\
             Open them in any text editor; comments in them explain every field. After each change, run:\n  \
             pacebell paper check {0} {1}\n",
            paper_path.display(),
            key_path.display()
        )
    );
    let paper = paper::read(&paper_path, None).unwrap();
    assert_eq!(paper.notes, []);
    let outline = paper.value.outline;
    assert_eq!(outline.title, "Dune \"Cup\" \\ ½");
    assert_eq!(outline.rule.sections[2].name, "21-25");
    assert_eq!(outline.rule.sections[2].wrong.to_string(), "-1");
    assert!(!outline.on_screen && outline.rule_checked.is_none() && outline.awards.is_empty());
    let key = key::read(&key_path, Some(&outline)).unwrap();
    assert_eq!(key.notes, []);
    let answers: String = key.value.answers.iter().map(ToString::to_string).collect();
    assert_eq!(answers, "BDACE".repeat(5));
    let (said, end) = run(&[
        "check",
        paper_path.to_str().unwrap(),
        key_path.to_str().unwrap(),
    ]);
    assert_eq!(end, Ok(()), "{said}");
}

/// A tutor takes the strokes away, as the remarks say.
#[test]
fn every_line_that_may_be_used_can_be_used() {
    let dir = tempfile::tempdir().unwrap();
    new(dir.path(), "", "").1.unwrap();
    let used = |name: &str, lines: &[&str]| {
        let text = fs::read_to_string(dir.path().join(name)).unwrap();
        lines.iter().fold(text, |text, line| {
            let remark = format!("// {line}");
            assert_eq!(text.matches(&remark).count(), 1, "{line}");
            text.replace(&remark, line)
        })
    };
    let fields = [
        "conditions: ",
        "rule_checked: ",
        "start: 0",
        "awards: ",
        "past: ",
    ];
    let text = used("dune.paper.ron", &fields);
    let paper = paper::from_bytes(Path::new("p"), text.as_bytes(), None)
        .unwrap()
        .value;
    let names: Vec<_> = paper
        .outline
        .awards
        .iter()
        .map(|award| award.name.as_str())
        .collect();
    assert_eq!(names, ["dunlin", "curlew", "tern"]);
    assert_eq!((paper.past.len(), paper.conditions.len()), (1, 2));
    assert!(paper.outline.rule_checked.is_some());
    let note = [
        "also_right: {",
        "void: {",
        "notes: {",
        "    1: (",
        "        hint: ",
        "        working: ",
        "        distractors: {",
        "    ),",
        "},",
    ];
    let text = used("dune.key.ron", &note);
    let key = key::from_bytes(Path::new("k"), text.as_bytes(), Some(&paper.outline)).unwrap();
    // The voided question of the example is dropped: the boundaries are for 7 marks more.
    let [note] = key.notes.as_slice() else {
        panic!("{:?}", key.notes);
    };
    assert!(note.what.starts_with("dropped questions leave 118 marks"));
    let key = key.value;
    assert_eq!(
        (key.also_right.len(), key.voids.len(), key.notes.len()),
        (1, 1, 1)
    );
}

#[test]
fn nothing_is_ever_overwritten() {
    for name in ["dune.paper.ron", "dune.key.ron"] {
        let dir = tempfile::tempdir().unwrap();
        fs::write(dir.path().join(name), "mine").unwrap();
        let (_, end) = new(dir.path(), "", "");
        assert_eq!(
            end,
            Err(Failure::CouldNot(format!(
                "{} already exists, so nothing was written; choose another name, or move that file",
                dir.path().join(name).display()
            )))
        );
        assert_eq!(fs::read_to_string(dir.path().join(name)).unwrap(), "mine");
        assert_eq!(fs::read_dir(dir.path()).unwrap().count(), 1);
    }
}

#[test]
fn words_that_make_no_sense_are_told_with_the_character() {
    const NO_MARK: &str = "isn't a number of marks: write a whole number, a decimal or a fraction, such as 4, -1, 1.5, \"1/4\" or \"12 1/3\", up to 1000000";
    const FORM: &str = "write FIRST-LAST:RIGHT[:WRONG[:BLANK]], such as 21-25:7:-1:0";
    let dir = tempfile::tempdir().unwrap();
    for (word, value, said) in [
        ("NAME", "dune.b", "the name, character 5: use only letters, digits, - and _, since the files are named after it".to_owned()),
        ("NAME", "../dune", "the name, character 1: use only letters, digits, - and _, since the files are named after it".to_owned()),
        ("NAME", "", "id: the id is empty; write one, such as \"saltmarsh-a\"\npaper: the id is empty".to_owned()),
        ("--questions", "0", "--questions: a paper has 1 to 200 questions, not 0".to_owned()),
        ("--questions", "201", "--questions: a paper has 1 to 200 questions, not 201".to_owned()),
        ("--minutes", "0", "--minutes: `0` isn't a number of minutes: write a positive number up to 1440, such as 60, 12.5 or 0.2".to_owned()),
        ("--minutes", "1h", "--minutes: `1h` isn't a number of minutes: write a positive number up to 1440, such as 60, 12.5 or 0.2".to_owned()),
        ("--options", "A", "--options: a question needs at least two options; write their labels, such as \"ABCDE\"".to_owned()),
        ("--options", "ABCDA", "--options: the label A is used twice; give every option its own".to_owned()),
        ("--sections", "1-10:4,12-20:5,21-25:7", "--sections, character 8: there is a gap before this section; it should begin at question 11".to_owned()),
        ("--sections", "1-10:4,10-25:5", "--sections, character 8: the section overlaps the one before it; it should begin at question 11".to_owned()),
        ("--sections", "1-10:4,11-24:5", "--sections, character 8: the last section should end at question 25, the paper's last".to_owned()),
        ("--sections", "1-10:4,25-11:5", "--sections, character 8: the section ends before it begins; write first and last as question numbers from 1".to_owned()),
        ("--sections", "1-25:4:5", "--sections, character 1: a right answer must be worth more than a wrong one and than a blank; check right, wrong and blank".to_owned()),
        ("--sections", "1-10:4,11-25:5:x", format!("--sections, character 16: `x` {NO_MARK}")),
        ("--sections", "1-10:4,11-25:", format!("--sections, character 14: `` {NO_MARK}")),
        ("--sections", "1-10:4,11-2z:5", format!("--sections, character 11: \"2z\" isn't a question number; {FORM}")),
        ("--sections", "1-10:4,", format!("--sections, character 8: {FORM}")),
        ("--sections", "1-25", format!("--sections, character 1: {FORM}")),
        ("--sections", "1-25:4:0:0:0", format!("--sections, character 1: {FORM}")),
        ("--answers", "BDACE BDAZE", "--answers, character 10: 'Z', the answer to question 9, isn't an option; the options are A to E".to_owned()),
        ("--answers", "BDACE BDACE BDACE BDACE BDAC", "--answers, character 29: the answers end after 24 of 25 questions; write one for each".to_owned()),
        ("--answers", "BDACE BDACE BDACE BDACE BDACEA", "--answers, character 30: this is an answer to question 26, but the paper has 25 questions; remove it, or correct --questions".to_owned()),
        ("--title", "Dune\u{202e}", "title: the text has a mark that changes the writing direction (U+202E); delete it".to_owned()),
    ] {
        let (out, end) = new(dir.path(), word, value);
        let Err(failure) = end else {
            panic!("{word} {value} was taken");
        };
        assert_eq!(failure.code(), 2, "{word} {value}");
        let message = failure.to_string();
        if value.is_empty() {
            assert!(message.starts_with("id: the id is empty"), "{message}");
        } else {
            assert_eq!(message, said);
        }
        assert_eq!(out, "");
    }
    assert_eq!(fs::read_dir(dir.path()).unwrap().count(), 0);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]
    #[test]
    fn whatever_is_written_is_fine(
        parts in prop::collection::vec((1_usize..8, 1_i64..9, -8_i64..1), 1..6),
        options in prop::sample::select(vec!["AB", "ABCDE", "12345", "abcdefgh"]),
        picks in prop::collection::vec(0_usize..8, 40),
        minutes in prop::sample::select(vec!["1", "60", "0.5", "1/3", "1440", " 45 "]),
    ) {
        let dir = tempfile::tempdir().unwrap();
        let mut first = 1;
        let mut sections = Vec::new();
        for (length, right, quarters) in parts {
            let last = first + length - 1;
            sections.push(format!("{first}-{last}:{right}:{quarters}/4"));
            first = last + 1;
        }
        let (questions, sections) = (first - 1, sections.join(","));
        let letters: Vec<char> = options.chars().collect();
        let answers: String = picks.iter().take(questions).map(|pick| letters[pick % letters.len()]).collect();
        let (count, folder) = (questions.to_string(), dir.path().display().to_string());
        let (_, end) = run(&[
            "new", "p", "--dir", &folder, "--questions", &count, "--minutes", minutes,
            "--options", options, "--sections", &sections, "--answers", &answers,
        ]);
        prop_assert_eq!(end, Ok(()));
        let paper = format!("{folder}/p.paper.ron");
        let (said, end) = run(&["check", &paper, &format!("{folder}/p.key.ron")]);
        prop_assert_eq!(end, Ok(()), "{}", &said);
        // Nobody has checked the rule yet; by chance the key may be one letter all through.
        let unchecked = "Check this year's rules first: nobody has recorded a check.";
        prop_assert_eq!(said.matches(unchecked).count(), 1, "{}", &said);
        let expected = ["every answer is", unchecked];
        let notes = said.lines().filter(|line| {
            line.contains("note") && !expected.iter().any(|words| line.contains(words))
        });
        prop_assert_eq!(notes.count(), 0, "{}", &said);
    }
}
