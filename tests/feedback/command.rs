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
        .envs(crate::user::at_home(folder))
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
        (
            vec![open.as_str(), other.as_str(), "-o", "x.html"],
            2,
            "--group DIR",
        ),
        (
            vec![open.as_str(), other.as_str(), "--sentence", "x"],
            2,
            "for one sitting",
        ),
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

/// An alias is all of the pupil's sittings, as for `mark`; each gets a page in the folder of pages.
#[test]
fn an_alias_gets_a_page_for_each_sitting() {
    let dir = TempDir::new().unwrap();
    let sessions = dir.path().join("sessions");
    on("2026-11-03", "otter", 6).save(&sessions);
    on("2026-11-10", "otter", 4).save(&sessions);
    on("2026-11-11", "heron", 9).save(&sessions);
    let output = pacebell(dir.path(), &["otter", "--key", &key()]);
    assert!(output.status.success(), "{}", told(&output.stderr));
    let pages = sessions.join("pages");
    for (day, blanks) in [("2026-11-03", 6), ("2026-11-10", 4)] {
        let name = format!("feedback-otter-{day}.html");
        let page = std::fs::read_to_string(pages.join(&name)).unwrap();
        assert!(page.contains(&format!("This time: {blanks} of 25 questions blank.")));
        assert!(told(&output.stdout).contains(&name));
    }
    assert_eq!(std::fs::read_dir(&pages).unwrap().count(), 2);
}

/// One file for a group: every page in it whole, by alias, each on sides of its own, no id twice.
#[test]
fn pages_are_joined_in_one_file_by_alias() {
    let dir = TempDir::new().unwrap();
    let sessions = dir.path().join("sessions");
    sittings::in_time().save(&sessions);
    sittings::swept().save(&sessions);
    on("2026-11-03", "Auk", 6).save(&sessions);
    let words = ["sessions", "--key", &key(), "--join", "-o", "all.html"];
    for _again in 0..2 {
        let output = pacebell(dir.path(), &words);
        assert!(output.status.success(), "{}", told(&output.stderr));
    }
    let page = std::fs::read_to_string(dir.path().join("all.html")).unwrap();
    assert_eq!(well_formed(&page), Ok(()));
    let sides: Vec<_> = page.split("<div class=\"side\">").skip(1).collect();
    assert_eq!(sides.len(), 3);
    for (side, pupil) in sides.iter().zip(["Auk", "heron", "otter"]) {
        assert!(
            side.contains(&format!("Feedback for <bdi>{pupil}</bdi>")),
            "{pupil}"
        );
        let single = dir.path().join("single.html");
        let own = pacebell(dir.path(), &[pupil, "--key", &key(), "-o", "single.html"]);
        assert!(own.status.success(), "{}", told(&own.stderr));
        let single = std::fs::read_to_string(single).unwrap();
        let sections = |text: &str| text.matches("<section").count();
        assert_eq!(sections(side), sections(&single), "{pupil}");
    }
    assert!(page.contains(".side+.side,.side .side{break-before:page}"));
    let noted = std::fs::read_to_string(sessions.join("pages.ron")).unwrap();
    let noted = noted
        .lines()
        .find(|line| line.contains("all.html"))
        .unwrap();
    assert!(
        ["Auk", "heron", "otter"]
            .iter()
            .all(|pupil| noted.contains(pupil))
    );
}

/// A page for parents: less than a page, no question, no award, no picture, nobody else.
#[test]
fn parents_get_half_a_page_without_questions_ranks_or_awards() {
    let dir = TempDir::new().unwrap();
    let sessions = dir.path().join("sessions");
    let made = sittings::in_time();
    let session = made.save(&sessions).display().to_string();
    let words = [&*session, "--key", &key(), "--for", "parents"];
    let page = told(&pacebell(dir.path(), &words).stdout);
    assert_eq!(well_formed(&page), Ok(()));
    let feedback = made.told();
    let own = feedback.marks.unwrap();
    for said in [
        "For the parents of otter",
        "73 of 125 marks, for the answers given in the time allowed.",
        "Ask which questions were not answered, and why",
        "For practice only, not official.",
    ] {
        assert!(page.contains(said), "{said}: {page}");
    }
    assert!(page.contains(&feedback.next[0]) && page.contains(&feedback.well[0]));
    for award in &made.header.paper.awards {
        assert!(!page.contains(&award.name), "{}", award.name);
    }
    assert!(
        own.range.is_some()
            && page
                .contains("If your child sat a paper like this on ten different days, the mark would be between ")
    );
    for word in ["<svg", "Questions to try again", "you chose", "heron"] {
        assert!(!page.contains(word), "{word}");
    }
    let body = page.split_once("<body>").unwrap().1;
    let words = body
        .split(['<', '>'])
        .step_by(2)
        .flat_map(str::split_whitespace);
    assert!(words.count() < 300);
}

/// The tutor's sentence is kept beside the sitting, stays text, holds for every later page, and can be taken back.
#[test]
fn a_tutors_sentence_is_kept_and_stays_text() {
    let dir = TempDir::new().unwrap();
    let sessions = dir.path().join("sessions");
    let session = sittings::in_time().save(&sessions).display().to_string();
    let key = key();
    let page = |more: &[&str]| {
        let words = [&[&*session, "--key", &key], more].concat();
        let output = pacebell(dir.path(), &words);
        assert!(output.status.success(), "{}", told(&output.stderr));
        told(&output.stdout)
    };
    let before = std::fs::read(&session).unwrap();
    assert!(!page(&[]).contains("From your tutor"));
    let nasty = "Well left, <b>otter</b></style><script>alert(1)</script> & co";
    let first = page(&["--sentence", nasty, "--by", "PB"]);
    assert_eq!(well_formed(&first), Ok(()));
    let said = "Well left, &lt;b&gt;otter&lt;/b&gt;&lt;/style&gt;&lt;script&gt;alert(1)&lt;/script&gt; &amp; co";
    assert!(
        first.contains("From your tutor") && first.contains(said),
        "{first}"
    );
    assert!(page(&[]).contains(said));
    assert!(page(&["--for", "parents"]).contains(said));
    let written = first.matches("<p dir=\"auto\">Well left").count();
    assert_eq!(written, 1, "in its own direction: {first}");
    let (most, long) = ("a".repeat(500), "a".repeat(501));
    for words in [vec![&*session], vec![&*session, "--for", "parents"]] {
        let refused = pacebell(dir.path(), &[&words[..], &["--sentence", &long]].concat());
        assert_eq!(refused.status.code(), Some(2));
        let why = "--sentence has 501 characters; write it in at most 500";
        assert!(
            told(&refused.stderr).contains(why),
            "{}",
            told(&refused.stderr)
        );
    }
    assert!(page(&[]).contains(said), "what is refused replaces nothing");
    assert!(page(&["--sentence", &most]).contains(&most));
    assert!(page(&["--sentence", "Another one."]).contains("Another one."));
    assert!(!page(&[]).contains(said));
    assert!(!page(&["--sentence", ""]).contains("From your tutor"));
    assert!(!page(&[]).contains("From your tutor"));
    assert_eq!(
        std::fs::read(&session).unwrap(),
        before,
        "the log is not touched"
    );
}

/// The causes that stand in the notes are told with the questions to try again, in words; the notes' texts are not.
#[test]
fn agreed_causes_are_told_and_notes_are_not() {
    let dir = TempDir::new().unwrap();
    let sessions = dir.path().join("sessions");
    let made = sittings::in_time();
    let session = made.save(&sessions);
    let beside = session
        .display()
        .to_string()
        .replace(".session.ron", ".notes.ron");
    let notes = format!(
        "(format: 2, sitting: \"{}\", whole: (text: \"private word\", by: \"PB\", at: \"2026-11-26T10:00:00+00:00\"), questions: {{ \
         8: (cause: sink, text: \"private too\", by: \"PB\", at: \"2026-11-26T10:00:00+00:00\"), \
         1: (cause: slip, by: \"PB\", at: \"2026-11-26T10:00:00+00:00\") }})",
        made.header.sitting
    );
    std::fs::write(&beside, notes).unwrap();
    let session = session.display().to_string();
    let page = told(&pacebell(dir.path(), &[&session, "--key", &key()]).stdout);
    let eighth = page.split("Question 8: you chose").nth(1).unwrap();
    let eighth = eighth.split("</li>").next().unwrap();
    assert!(eighth.contains("Agreed cause: sink"), "{eighth}");
    // Question 1 was right: nothing was lost there.
    assert_eq!(page.matches("Agreed cause").count(), 1);
    assert!(!page.contains("private"));
}
