//! Boundaries from sittings.

use std::path::PathBuf;

use pacebell::domain::event::{Ending, Event, Stamped};
use pacebell::domain::header::Header;
use pacebell::domain::labels::Label;
use pacebell::domain::rule::QuestionNo;
use pacebell::domain::time::Elapsed;
use serde_json::json;

use crate::field;
use crate::told::Folder;
use crate::{papers, sat, written};

/// A sitting of so many questions, each worth so much.
fn header(pupil: &str, questions: u16, worth: &str) -> Header {
    let section = papers::section(1, questions, [worth, "0", "0"]);
    sat::header(pupil, &papers::paper("Made", 60, [section]))
}

/// Its file, with the first `right` questions answered A.
fn put(folder: &Folder, header: &Header, right: u16, end: Option<Ending>) -> PathBuf {
    let answers =
        (1..=right).map(|number| Event::Answered(QuestionNo(number), Label::new('A').unwrap()));
    let end = end.map(Event::Closed);
    let stamp = |(event, at)| Stamped {
        at: Elapsed::seconds(at),
        utc: header.started.to_utc(),
        event,
    };
    let log: Vec<_> = answers.chain(end).zip(1..).map(stamp).collect();
    let text = written::file(header, &log);
    folder.file(&format!("{}.session.ron", header.pupil), &text)
}

#[test]
fn sittings_are_marked_and_ranked() {
    let folder = Folder::new();
    folder.file(
        "made.key.ron",
        "(format: 1, paper: \"made\", answers: \"AAAAAAAAAA\")",
    );
    let names = ["wren", "otter", "heron", "newt"];
    for (pupil, right) in names.iter().zip([3, 5, 8, 10]) {
        put(
            &folder,
            &header(pupil, 10, "2"),
            right,
            Some(Ending::FinishedEarly),
        );
    }
    let files = names.map(|name| format!("{name}.session.ron")).join(" ");
    let words = format!("boundary {files} --key made.key.ron --top 50% --ratio 1 --names shell");
    let found = folder.json(&words);
    assert_eq!(
        (&found["people"], field(&found, "boundary")),
        (&json!(4), json!(["16"]))
    );
    assert_eq!(field(&found, "count"), json!([2]));
    // A folder holds the same four, and the same file twice is one sitting.
    assert_eq!(folder.json(&format!("{words} .")), found);
    let page = folder.page(&words);
    assert!(page.starts_with("4 people, marks 6 to 20\n"), "{page}");

    put(
        &folder,
        &header("stork", 10, "2"),
        1,
        Some(Ending::Abandoned),
    );
    assert_eq!(folder.json(&format!("{words} stork.session.ron")), found);

    put(
        &folder,
        &header("newt", 10, "3"),
        2,
        Some(Ending::FinishedEarly),
    );
    let told = folder.refused(&words, 1);
    assert!(
        told.contains("newt.session.ron: it was sat under a different marking rule"),
        "{told}"
    );
    put(&folder, &header("newt", 10, "2"), 2, None);
    let told = folder.refused(&words, 1);
    assert!(
        told.contains("newt.session.ron: it isn't finished"),
        "{told}"
    );
    let damaged = std::fs::read_to_string(put(
        &folder,
        &header("newt", 10, "2"),
        2,
        Some(Ending::FinishedEarly),
    ))
    .unwrap();
    folder.file(
        "newt.session.ron",
        &damaged.replacen("Answered", "Answerd", 1),
    );
    let told = folder.refused(&words, 3);
    assert!(told.contains("newt.session.ron"), "{told}");
    folder.file(
        "made.key.ron",
        "(format: 1, paper: \"other\", answers: \"AAAAAAAAAA\")",
    );
    put(
        &folder,
        &header("newt", 10, "2"),
        2,
        Some(Ending::FinishedEarly),
    );
    let told = folder.refused(&words, 1);
    assert_eq!(told.lines().count(), 4, "{told}");
}

/// Every sitting of the other paper is left out, and without a choice nothing is worked out.
#[test]
fn of_a_folder_with_several_papers_one_is_chosen() {
    let home = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
    let run = |words: &str| {
        std::process::Command::new(env!("CARGO_BIN_EXE_pacebell"))
            .current_dir(home)
            .args(words.split(' '))
            .output()
            .unwrap()
    };
    let whole = run("boundary sessions --top 40% --ratio 5:3:2");
    assert_eq!(whole.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&whole.stderr).contains("choose one with --paper"));
    let people = |paper: &str| {
        let own = run(&format!(
            "boundary sessions --paper {paper} --every --top 40% --ratio 5:3:2 --json"
        ));
        let told: serde_json::Value = serde_json::from_slice(&own.stdout).unwrap();
        told["people"].as_u64().unwrap()
    };
    // From the logs' own first lines.
    let sat = |paper: &str| {
        let pupils = std::fs::read_dir(home.join("sessions")).unwrap().flatten();
        let folders = pupils
            .map(|pupil| pupil.path())
            .filter(|path| path.is_dir());
        let files = folders.flat_map(|folder| std::fs::read_dir(folder).unwrap().flatten());
        let logs = files.filter_map(|file| std::fs::read_to_string(file.path()).ok());
        let of_it = format!("paper:(id:\"{paper}\"");
        logs.filter(|log| log.contains(&of_it)).count() as u64
    };
    for paper in ["saltmarsh-a", "saltmarsh-b"] {
        let (found, most) = (people(paper), sat(paper));
        assert!(found > 0 && found <= most, "{paper}: {found} of {most}");
    }
    assert!(people("saltmarsh-a") < sat("saltmarsh-a") + sat("saltmarsh-b"));
}
