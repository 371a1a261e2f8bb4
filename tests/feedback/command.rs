//! `feedback` through the front door.

use std::path::Path;
use std::process::{Command, Output};

use pacebell::domain::event::Ending;
use tempfile::TempDir;

use crate::made::{Made, sample};
use crate::markup::well_formed;
use crate::sittings;

fn pacebell(folder: &Path, words: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_pacebell"))
        .current_dir(folder)
        .env("HOME", folder)
        .arg("feedback")
        .args(words)
        .output()
        .unwrap()
}

fn told(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

fn key() -> String {
    sample("saltmarsh-a.key.ron").display().to_string()
}

/// The same pupil on another day, with so many blanks at the end.
fn on(day: &str, pupil: &str, blanks: usize) -> Made {
    let mut made = Made::of("saltmarsh-a", pupil);
    made.header.started = format!("{day}T09:00:00+00:00").parse().unwrap();
    made.header.sitting = format!("{pupil}-{day}");
    made.straight(1, 60, &"r".repeat(25 - blanks))
        .close(Ending::FinishedEarly)
}

#[test]
fn a_page_is_written_for_its_owner_and_looks_back_on_earlier_sittings() {
    let dir = TempDir::new().unwrap();
    let sessions = dir.path().join("sessions");
    on("2026-11-03", "otter", 6).save(&sessions);
    on("2026-11-10", "otter", 4).save(&sessions);
    on("2026-11-11", "heron", 9).save(&sessions);
    on("2026-12-01", "otter", 1).save(&sessions);
    let session = on("2026-11-25", "otter", 2).save(&sessions);
    let page = dir.path().join("page.html");
    std::fs::write(&page, "what was there before").unwrap();
    let session = session.display().to_string();
    let key = key();
    let words = [&*session, "--key", &key, "-o", "page.html", "--force"];
    let output = pacebell(dir.path(), &words);
    assert!(output.status.success(), "{}", told(&output.stderr));
    let text = std::fs::read_to_string(&page).unwrap();
    assert_eq!(well_formed(&text), Ok(()));
    assert!(text.contains("This time: 2 of 25 questions blank."));
    assert!(text.contains("Before: 6 of 25 on 3 Nov; 4 of 25 on 10 Nov."));
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        let mode = std::fs::metadata(&page).unwrap().permissions().mode();
        assert_eq!(mode & 0o777, 0o600);
    }
    // Without a file it goes to standard output, the same bytes.
    let output = pacebell(dir.path(), &[&session, "--key", &key]);
    assert_eq!(told(&output.stdout), text);
    assert_eq!(
        std::fs::read_dir(dir.path()).unwrap().count(),
        2,
        "no half-written file is left"
    );
}

#[test]
fn a_group_gets_a_page_each_and_the_tutor_a_list_by_alias() {
    let dir = TempDir::new().unwrap();
    let sessions = dir.path().join("sessions");
    let mut words = Vec::new();
    for made in [
        sittings::swept(),
        sittings::in_time(),
        sittings::abandoned(),
        on("2026-11-01", "Auk", 3),
    ] {
        words.push(made.save(&sessions).display().to_string());
    }
    let broken = dir.path().join("broken.session.ron");
    std::fs::write(&broken, "nonsense <b>\n").unwrap();
    words.push(broken.display().to_string());
    let pages = dir.path().join("pages");
    std::fs::create_dir(&pages).unwrap();
    std::fs::write(pages.join("own.txt"), "mine").unwrap();
    let key = key();
    let mut all: Vec<&str> = words.iter().map(String::as_str).collect();
    all.extend(["--key", &key, "--group", "pages"]);
    let output = pacebell(dir.path(), &all);
    assert!(!output.status.success());
    assert!(
        told(&output.stderr).contains("broken.session.ron"),
        "{}",
        told(&output.stderr)
    );
    assert!(
        told(&output.stdout).starts_with("4 pages written"),
        "{}",
        told(&output.stdout)
    );
    let mut names: Vec<_> = std::fs::read_dir(&pages)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    assert_eq!(
        names,
        [
            "feedback-Auk.html",
            "feedback-heron.html",
            "feedback-otter.html",
            "feedback-stoat.html",
            "index.html",
            "own.txt"
        ]
    );
    let list = std::fs::read_to_string(pages.join("index.html")).unwrap();
    assert_eq!(well_formed(&list), Ok(()));
    let places: Vec<_> = ["Auk", "heron", "otter", "stoat"]
        .iter()
        .map(|pupil| {
            list.find(&format!("href=\"feedback-{pupil}.html\""))
                .unwrap()
        })
        .collect();
    assert!(places.is_sorted(), "by alias, capitals or not");
    assert!(list.contains(
        "<td class=\"number\">73</td><td class=\"number\">80</td><td class=\"number\">125</td>"
    ));
    assert!(list.contains("Sittings without a page"));
    for word in ["http", "<script", "<b>"] {
        assert!(!list.contains(word), "{word}");
    }
    // A pupil's page names no other pupil.
    let otter = std::fs::read_to_string(pages.join("feedback-otter.html")).unwrap();
    assert!(!otter.contains("heron") && !otter.contains("stoat"));
}

#[test]
fn several_sittings_of_one_pupil_in_a_group_keep_apart() {
    let dir = TempDir::new().unwrap();
    let one = on("2026-11-03", "otter", 6)
        .save(dir.path())
        .display()
        .to_string();
    let two = on("2026-11-10", "otter", 4)
        .save(dir.path())
        .display()
        .to_string();
    let three = on("2026-11-10", "OTTER", 4)
        .save(dir.path())
        .display()
        .to_string();
    let output = pacebell(
        dir.path(),
        &[&one, &two, &three, "--key", &key(), "--group", "pages"],
    );
    assert!(output.status.success(), "{}", told(&output.stderr));
    for name in [
        "feedback-otter-2026-11-03.html",
        "feedback-otter-2026-11-10.html",
        "feedback-OTTER-2026-11-10-2.html",
    ] {
        assert!(dir.path().join("pages").join(name).is_file(), "{name}");
    }
}

#[test]
fn what_cannot_be_done_is_said_with_the_way_out() {
    let dir = TempDir::new().unwrap();
    let open = Made::of("saltmarsh-a", "otter").straight(1, 60, "rrr");
    let open = open.save(dir.path()).display().to_string();
    let other = sittings::printed().save(dir.path()).display().to_string();
    let torn = sittings::swept().save(dir.path());
    let text = std::fs::read_to_string(&torn)
        .unwrap()
        .replace("Opened(5)", "Opened(6)");
    std::fs::write(&torn, text).unwrap();
    let torn = torn.display().to_string();
    for (words, code, said) in [
        (vec![open.as_str()], 1, "the sitting isn't finished"),
        (
            vec![other.as_str()],
            1,
            "the key is for paper `saltmarsh-a`",
        ),
        (vec![torn.as_str()], 3, "line"),
        (vec![open.as_str(), other.as_str()], 2, "--group DIR"),
        (
            vec![open.as_str(), "-o", "x.html", "--group", "d"],
            2,
            "cannot be used with",
        ),
    ] {
        let key = key();
        let mut all = words.clone();
        all.extend(["--key", &key]);
        let output = pacebell(dir.path(), &all);
        assert_eq!(
            output.status.code(),
            Some(code),
            "{words:?}: {}",
            told(&output.stderr)
        );
        assert!(
            told(&output.stderr).contains(said),
            "{}",
            told(&output.stderr)
        );
        assert!(output.stdout.is_empty());
    }
    let fine = sittings::in_time().save(dir.path()).display().to_string();
    let output = pacebell(
        dir.path(),
        &[&fine, "--key", &key(), "-o", "no/such/folder/x.html"],
    );
    assert_eq!(output.status.code(), Some(1));
    assert!(told(&output.stderr).contains("cannot write no/such/folder/x.html"));
}
