//! The tutor's list: every command is reached from it, and a job there is the command itself.

#![cfg(test)]

#[path = "common/drawn.rs"]
mod drawn;
#[path = "common/keyboard.rs"]
mod keyboard;
#[path = "common/paths.rs"]
mod paths;
#[path = "common/tree.rs"]
mod tree;
#[path = "common/typed.rs"]
mod typed;

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use std::process::{Command, Output};

use clap::CommandFactory as _;
use clap::Parser as _;
use drawn::drawn;
use pacebell::commands::Args;
use pacebell::commands::tutor::{JobWord, TutorJob};
use pacebell::screens::ask::AskPage;
use pacebell::screens::kit::Key;
use pacebell::words::ask::{Answered, AskLine, AskRow, Asking};
use ratatui::layout::Size;
use tempfile::TempDir;
use tree::copy;
use typed::typed;

/// Commands that no job of the list types, and why.
const NOT_IN_THE_LIST: [(&str, &str); 2] = [
    ("tutor", "it is the list"),
    ("completions", "a shell reads it"),
];

/// The words of every command, those of its parts too.
fn commands(command: &clap::Command, before: &str, all: &mut BTreeSet<String>) {
    for own in command
        .get_subcommands()
        .filter(|own| own.get_name() != "help")
    {
        let name = format!("{before} {}", own.get_name()).trim().to_owned();
        if own.has_subcommands() {
            commands(own, &name, all);
        } else {
            all.insert(name);
        }
    }
}

/// The words of a job up to the first that is chosen or a flag.
fn begins(job: &TutorJob) -> String {
    let says = job.words.iter().map_while(|word| match word {
        JobWord::Says(text) if !text.starts_with('-') => Some(*text),
        _ => None,
    });
    says.collect::<Vec<_>>().join(" ")
}

#[test]
fn every_command_is_a_job_or_has_a_reason_not_to_be() {
    let mut all = BTreeSet::new();
    commands(&Args::command(), "", &mut all);
    assert!(
        all.contains("paper check") && all.contains("mark"),
        "{all:?}"
    );
    let jobs: BTreeSet<String> = TutorJob::all().iter().map(begins).collect();
    let apart: BTreeSet<String> = NOT_IN_THE_LIST.map(|(name, _)| name.to_owned()).into();
    let missing: Vec<_> = all
        .difference(&jobs)
        .filter(|name| !apart.contains(*name))
        .collect();
    assert!(missing.is_empty(), "no job types {missing:?}");
    assert!(apart.is_subset(&all) && apart.is_disjoint(&jobs));
}

/// Every command that the front page shows is one that the list reaches.
#[test]
fn every_command_of_the_front_page_is_a_job() {
    let page = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md")).unwrap();
    let jobs: Vec<String> = TutorJob::all().iter().map(begins).collect();
    let typed = page
        .split(['`', '\n'])
        .filter_map(|part| part.trim().strip_prefix("pacebell "));
    let mut seen = 0;
    for typed in typed {
        let words: Vec<_> = typed.split_whitespace().collect();
        let Some(first) = words
            .first()
            .filter(|word| word.chars().all(|c| c.is_ascii_lowercase() || c == '-'))
        else {
            continue;
        };
        if first.starts_with('-') || *first == "tutor" || *first == "means" {
            continue;
        }
        seen += 1;
        let is_job = jobs.iter().any(|job| job.split(' ').next() == Some(first));
        assert!(is_job, "`pacebell {typed}` is not in the list");
    }
    assert!(seen > 10, "{seen}");
}

#[test]
fn the_words_of_every_job_are_taken() {
    for job in TutorJob::all() {
        let mut typed = vec!["pacebell".to_owned()];
        for word in &job.words {
            let text = match word {
                JobWord::Says(text) => text,
                JobWord::Pupil => "otter",
                JobWord::Paper | JobWord::PaperAndKey => "a.paper.ron",
                JobWord::Sitting | JobWord::Damaged => "sessions/otter/a.session.ron",
                JobWord::Key | JobWord::KeyBefore => "a.key.ron",
                JobWord::NewFolder => "otter-2026-11-27",
                JobWord::Table => "class.csv",
                JobWord::SecondTable => "--twice=again.csv",
                JobWord::Folder | JobWord::Sessions | JobWord::Pages => "somewhere",
                JobWord::Page => "pages/a.html",
                JobWord::Day => "--date=2026-11-20",
                JobWord::Asked(question) if question.contains("How many") => "5",
                JobWord::Asked(question) if question.contains("alias") => "wren",
                JobWord::Asked(question) => question.rsplit(' ').next().unwrap(),
            };
            typed.push(text.to_owned());
        }
        if let Err(error) = Args::try_parse_from(&typed) {
            panic!("{}: {typed:?}\n{error}", job.title);
        }
    }
}

#[test]
fn no_two_jobs_are_called_the_same_and_each_group_stands_together() {
    let jobs = TutorJob::all();
    let names: BTreeSet<_> = jobs.iter().map(|job| job.title).collect();
    assert_eq!(names.len(), jobs.len());
    let mut groups: Vec<_> = jobs.iter().map(|job| job.group).collect();
    groups.dedup();
    let different: BTreeSet<_> = groups.iter().collect();
    assert_eq!(different.len(), groups.len(), "{groups:?}");
}

/// A folder with the invented season, the papers and a class list.
fn room() -> TempDir {
    let dir = TempDir::new().unwrap();
    let own = Path::new(env!("CARGO_MANIFEST_DIR"));
    for folder in ["sessions", "sample-papers"] {
        copy(&own.join(folder), &dir.path().join(folder));
    }
    let list = own.join("tests/golden/given/answers.csv");
    fs::copy(&list, dir.path().join("class.csv")).unwrap();
    fs::copy(&list, dir.path().join("sessions/spring.csv")).unwrap();
    dir
}

fn pacebell(dir: &Path, words: &[&str], input: &str) -> Output {
    let mut program = Command::new(env!("CARGO_BIN_EXE_pacebell"));
    typed(program.current_dir(dir).args(words), input)
}

fn said(output: &Output) -> String {
    paths::slashed(&String::from_utf8_lossy(&output.stdout))
}

/// What is typed, line by line, for a job by its name and what it asks.
fn lines(title: &str, answers: &[&str]) -> String {
    let place = TutorJob::all()
        .iter()
        .position(|job| job.title == title)
        .unwrap()
        + 1;
    let answers = answers.iter().map(|answer| format!("{answer}\n"));
    format!("{place}\n{}leave\n", answers.collect::<String>())
}

#[test]
fn a_job_says_what_its_command_says() {
    let dir = room();
    let typed = lines("Mark all of a pupil's sittings", &["marten"]);
    let by_list = pacebell(dir.path(), &["tutor", "--plain"], &typed);
    let by_words = pacebell(dir.path(), &["mark", "marten"], "");
    assert!(by_words.status.success() && by_list.status.success());
    assert!(said(&by_list).contains(&said(&by_words)), "{by_list:?}");
    let typed = lines(
        "See how a class list did on a paper",
        &["Saltmarsh Shield: practice paper A", "1"],
    );
    let by_list = pacebell(dir.path(), &["tutor", "--plain"], &typed);
    let paper = "sample-papers/saltmarsh-a.paper.ron";
    let words = ["group", "--paper", paper, "--answers", "class.csv"];
    let by_words = pacebell(dir.path(), &words, "");
    assert!(by_words.status.success(), "{by_words:?}");
    assert!(said(&by_list).contains(&said(&by_words)), "{by_list:?}");
}

#[test]
fn a_sheet_that_is_typed_in_has_the_day_that_is_chosen() {
    let dir = room();
    let entered = |answers: &[&str]| {
        let typed = lines("Type in a class's answer sheets from a list", answers);
        said(&pacebell(dir.path(), &["tutor", "--plain"], &typed))
    };
    let paper = "Saltmarsh Shield: practice paper A";
    // A word that is no day and a day ahead are asked for again.
    let heard = entered(&[paper, "1", "2", "soon", "2999-01-01", "2024-11-20"]);
    assert_eq!(
        heard
            .matches("That isn't a day up to today. Write it like 2026-11-25.")
            .count(),
        2,
        "{heard}"
    );
    let command = "enter sample-papers/saltmarsh-a.paper.ron --from class.csv";
    assert!(
        heard.contains(&format!("pacebell {command} --date=2024-11-20\n")),
        "{heard}"
    );
    let heard = entered(&[paper, "1", "1"]);
    assert!(heard.contains(&format!("pacebell {command}\n")), "{heard}");
}

#[test]
fn folders_other_than_the_sittings_own_are_offered_and_another_may_be_typed() {
    let dir = room();
    fs::create_dir(dir.path().join("from-a-stick")).unwrap();
    let typed = lines(
        "Bring in sittings from a stick or another folder",
        &["Another folder", "from-a-stick"],
    );
    let heard = said(&pacebell(dir.path(), &["tutor", "--plain"], &typed));
    assert!(heard.contains(" ./from-a-stick\n"), "{heard}");
    assert!(!heard.contains(" ./sessions\n"), "{heard}");
    assert!(heard.contains("pacebell gather from-a-stick\n"), "{heard}");
}

#[test]
fn class_lists_here_and_beside_the_sittings_are_offered() {
    let dir = room();
    let typed = lines("See how a class list did on a paper", &["1"]);
    let heard = said(&pacebell(dir.path(), &["tutor", "--plain"], &typed));
    assert!(
        heard.contains("1 class.csv\n2 sessions/spring.csv\n"),
        "{heard}"
    );
}

#[test]
fn a_list_is_said_once_and_back_asks_the_question_before() {
    let dir = room();
    let typed = lines("Mark one sitting", &["lapwing", "back", "back", "list"]);
    let heard = said(&pacebell(dir.path(), &["tutor", "--plain"], &typed));
    assert_eq!(
        heard.matches("What would you like to do?").count(),
        2,
        "{heard}"
    );
    assert_eq!(
        heard.matches("Mark one sitting").count(),
        2,
        "said, and said again for list: {heard}"
    );
    assert_eq!(heard.matches("1 lapwing\n").count(), 1, "{heard}");
}

#[test]
fn files_past_their_day_have_a_word_on_the_page() {
    let dir = room();
    let register = "(format: 1, pupils: [(alias: \"otter\", keep_until: \"2020-07-31\"), (alias: \"teasel\", keep_until: \"2999-01-01\")])";
    fs::write(dir.path().join("sessions/register.ron"), register).unwrap();
    let heard = said(&pacebell(dir.path(), &["tutor", "--plain"], "leave\n"));
    assert!(
        heard.contains("Past the day to keep their files: otter (31 Jul 2020)."),
        "{heard}"
    );
    assert!(!heard.contains("teasel"), "{heard}");
}

#[test]
fn a_feedback_page_goes_to_the_folder_of_pages() {
    let dir = room();
    let typed = lines("Write a feedback page", &["lapwing", "1"]);
    let done = pacebell(dir.path(), &["tutor", "--plain"], &typed);
    assert!(done.status.success());
    let pages = fs::read_dir(dir.path().join("sessions/pages"))
        .unwrap()
        .flatten();
    let names: Vec<_> = pages
        .map(|page| page.file_name().into_string().unwrap())
        .collect();
    assert_eq!(names.len(), 1, "{names:?} {done:?}");
    assert!(
        names[0].starts_with("lapwing-") && names[0].contains(".html"),
        "{names:?}"
    );
}

/// Every value that is a file or a folder comes from a list: a path is typed only where it is not in it.
#[test]
fn no_job_needs_a_path_that_is_typed() {
    for job in TutorJob::all() {
        for word in &job.words {
            if let JobWord::Asked(question) = word {
                let asks_a_path = question.contains("folder") || question.contains("Which file is");
                assert!(!asks_a_path, "{}: {question}", job.title);
            }
        }
    }
}

#[test]
fn a_damaged_session_is_repaired_and_a_pupil_exported_without_a_path() {
    let dir = room();
    let own = dir.path().join("sessions/lapwing");
    let mut sessions: Vec<_> = fs::read_dir(&own)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.to_string_lossy().ends_with(".session.ron"))
        .collect();
    sessions.sort();
    let whole = fs::read_to_string(&sessions[0]).unwrap();
    fs::write(&sessions[0], whole.replacen("Answered", "Answerd", 1)).unwrap();
    let typed = lines("Repair a damaged session file", &["1", "y"]);
    let heard = said(&pacebell(dir.path(), &["tutor", "--plain"], &typed));
    let name = sessions[0].file_name().unwrap().to_str().unwrap();
    assert!(heard.contains("These are damaged:\n1 "), "{heard}");
    assert!(
        heard.contains(&format!("pacebell repair sessions/lapwing/{name}")),
        "{heard}"
    );
    assert!(heard.contains("2 Another file\n"), "{heard}");

    let typed = lines("Copy everything kept of a pupil", &["lapwing", "1"]);
    let heard = said(&pacebell(dir.path(), &["tutor", "--plain"], &typed));
    let exported = fs::read_dir(dir.path())
        .unwrap()
        .flatten()
        .map(|entry| entry.path());
    let exported: Vec<_> = exported
        .filter(|path| {
            path.file_name()
                .unwrap()
                .to_string_lossy()
                .starts_with("lapwing-20")
        })
        .collect();
    assert_eq!(exported.len(), 1, "{heard}");
    assert!(exported[0].join("index.html").exists(), "{heard}");
}

#[test]
fn both_keys_of_a_correction_are_chosen_from_those_that_are_found() {
    let dir = room();
    let samples = dir.path().join("sample-papers");
    fs::copy(
        samples.join("saltmarsh-a.key.ron"),
        dir.path().join("before.key.ron"),
    )
    .unwrap();
    let typed = lines(
        "See which marks a corrected key changes",
        &["saltmarsh-a", "before"],
    );
    let heard = said(&pacebell(dir.path(), &["tutor", "--plain"], &typed));
    assert!(
        heard.contains("--key sample-papers/saltmarsh-a.key.ron --was before.key.ron"),
        "{heard}"
    );
}

fn jobs_page() -> AskPage {
    let rows = TutorJob::all().into_iter().map(|job| AskRow {
        name: job.title.to_owned(),
        note: String::new(),
        group: job.group,
    });
    let ask = Asking {
        title: "Pacebell: for the tutor".to_owned(),
        question: "What would you like to do?".to_owned(),
        notes: vec![
            "Past the day to keep their files: otter (31 Jul 2020). Erase what you no longer need."
                .to_owned(),
        ],
        rows: rows.collect(),
        ..Asking::default()
    };
    AskPage::rows(ask, 0)
}

fn words_page() -> AskPage {
    let ask = Asking {
        title: "See what guesses can give".to_owned(),
        question: "Which questions are guessed? For example 3,18,21-25".to_owned(),
        ..Asking::default()
    };
    AskPage::words(ask)
}

const USUAL: Size = Size::new(80, 24);

#[test]
fn the_list_and_its_questions_are_drawn_as_agreed() {
    for size in [Size::new(60, 18), USUAL, Size::new(120, 40)] {
        let name = |page: &str| format!("{page}-{}x{}", size.width, size.height);
        let mut page = jobs_page();
        for _ in 0..8 {
            page.press(Key::Down, size);
        }
        insta::assert_snapshot!(name("jobs"), drawn(&page, size));
        page.press(Key::F(1), size);
        insta::assert_snapshot!(name("help"), drawn(&page, size));
        let mut page = words_page();
        for c in "3,18".chars() {
            page.press(Key::Char(c), size);
        }
        insta::assert_snapshot!(name("words"), drawn(&page, size));
    }
    for height in 0..=40 {
        for width in (0..=90).step_by(3) {
            drawn(&jobs_page(), Size::new(width, height));
        }
    }
}

#[test]
fn every_key_that_works_is_named_and_no_other_works() {
    let none = AskPage::rows(Asking::default(), 0);
    let text = (1..60).map(|n| AskLine::Words(format!("Line {n}.")));
    let reading = AskPage::reading(Asking {
        text: text.collect(),
        rows: vec![AskRow::new("Back to your questions", "")],
        ..Asking::default()
    });
    for (name, page) in [
        ("jobs", jobs_page()),
        ("words", words_page()),
        ("none", none),
        ("reading", reading),
    ] {
        keyboard::every_key_that_works_is_named(name, &page, |page, key| {
            page.press(key, USUAL).is_some()
        });
    }
}

#[test]
fn letters_lead_to_a_row_and_enter_takes_it() {
    let mut page = jobs_page();
    for c in "See a".chars() {
        page.press(Key::Char(c), USUAL);
    }
    let place = TutorJob::all()
        .iter()
        .position(|job| job.title.starts_with("See a"));
    assert_eq!(page.press(Key::Enter, USUAL), place.map(Answered::Row));
    let mut page = words_page();
    assert_eq!(page.press(Key::Enter, USUAL), None, "nothing is no answer");
    for c in " 3, 5 ".chars() {
        page.press(Key::Char(c), USUAL);
    }
    page.press(Key::Backspace, USUAL);
    let words = Answered::Words("3, 5".to_owned());
    assert_eq!(page.press(Key::Enter, USUAL), Some(words));
    assert_eq!(page.press(Key::Esc, USUAL), Some(Answered::Back));
}
