//! Papers, homework, answer sheets and plan cards as the program prints them: what they hold, and what never.
#![cfg(test)]

#[path = "common/markup.rs"]
mod markup;
#[path = "common/tree.rs"]
mod tree;
#[path = "common/typed.rs"]
mod typed;

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use markup::well_formed;
use pacebell::domain::paper::Paper;
use pacebell::storage::files;
use tempfile::TempDir;
use typed::typed;

/// A folder with the sample papers and some invented sittings.
fn room() -> TempDir {
    let room = TempDir::new().unwrap();
    let ours = Path::new(env!("CARGO_MANIFEST_DIR"));
    tree::copy(
        &ours.join("sample-papers"),
        &room.path().join("sample-papers"),
    );
    tree::copy(&ours.join("sessions"), &room.path().join("sessions"));
    room
}

fn pacebell(room: &TempDir, words: &str) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_pacebell"));
    command.current_dir(room.path()).args(words.split(' '));
    command
}

fn run(room: &TempDir, words: &str) -> Output {
    pacebell(room, words).output().unwrap()
}

/// Prints, and reads the page that was written; one page of ours takes the place of another.
fn page(room: &TempDir, words: &str) -> String {
    let said = run(room, &format!("paper print {words} -o page.html"));
    assert!(said.status.success(), "{words}: {said:?}");
    let page = fs::read_to_string(room.path().join("page.html")).unwrap();
    assert_eq!(well_formed(&page), Ok(()), "{words}");
    page
}

fn sample(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("sample-papers")
        .join(name)
}

fn paper(name: &str) -> Paper {
    files::paper::load(&sample(&format!("{name}.paper.ron"))).unwrap()
}

/// Text as the page escapes it.
fn escaped(text: &str) -> String {
    let text = text
        .replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;");
    text.replace('"', "&quot;")
}

const PAPERS: [&str; 6] = [
    "saltmarsh-a",
    "saltmarsh-b",
    "saltmarsh-old",
    "saltmarsh-short",
    "saltmarsh-long",
    "saltmarsh-first",
];

#[test]
fn a_paper_has_every_question_whole_in_order_and_its_figures_words() {
    let room = room();
    for name in PAPERS {
        let printed = page(&room, name);
        let mut rest = printed.as_str();
        let of = paper(name);
        let labels: Vec<_> = of.outline.options.iter().collect();
        let mut figures = 0;
        for (number, question) in (1..).zip(&of.questions) {
            let head = format!(">Question {number}</h2>");
            rest = rest
                .split_once(&head)
                .unwrap_or_else(|| panic!("{name} {number}"))
                .1;
            let own = rest.split("</section>").next().unwrap();
            assert!(
                own.contains(&escaped(question.stem.as_deref().unwrap())),
                "{name} {number}"
            );
            for (label, option) in labels.iter().zip(&question.options) {
                let option = format!("<strong>{label}</strong> {}", escaped(option));
                assert!(own.contains(&option), "{name} {number} {option}");
            }
            assert_eq!(
                question.figure.is_some(),
                own.contains("<pre"),
                "{name} {number}"
            );
            if let Some(figure) = &question.figure {
                figures += 1;
                let words = escaped(question.figure_words.as_deref().unwrap());
                assert!(own.contains(&format!("role=\"img\" aria-label=\"{words}\"")));
                assert!(own.contains(&escaped(figure)), "{name} {number}");
            }
        }
        assert!(figures > 0 && !rest.contains("</h2>"), "{name}");
        for line in &of.conditions {
            assert!(printed.contains(&escaped(line)), "{name}: {line}");
        }
    }
}

/// The page has the same bytes whatever the key says, and none of the key's words.
#[test]
fn nothing_of_the_key_is_in_what_pupils_get() {
    let room = room();
    let key = room.path().join("sample-papers/saltmarsh-a.key.ron");
    let kinds = [
        "saltmarsh-a",
        "saltmarsh-a --homework",
        "saltmarsh-a --answer-sheet",
        "saltmarsh-a --answer-sheet --plan-card --plan pace.plan.ron",
    ];
    let plan = "(format: 2, checkpoints: [(question: 10, minutes: 18)])";
    fs::write(room.path().join("pace.plan.ron"), plan).unwrap();
    let before = kinds.map(|words| page(&room, words));
    let notes = files::key::load(&key).unwrap().notes;
    for note in notes.values() {
        let lures = note.distractors.values();
        for text in note.hint.iter().chain(&note.working).chain(lures) {
            assert!(
                before.iter().all(|page| !page.contains(&escaped(text))),
                "{text}"
            );
        }
    }
    assert!(notes.len() > 10);
    fs::remove_file(&key).unwrap();
    assert_eq!(before, kinds.map(|words| page(&room, words)));
}

#[test]
fn the_key_has_a_page_of_its_own_for_the_tutor() {
    let room = room();
    let said = run(
        &room,
        "paper print saltmarsh-a -o a.html --with-key --questions 3,25",
    );
    assert!(said.status.success());
    let told = String::from_utf8(said.stdout).unwrap();
    assert!(
        told.contains("For you only, the answer key: saltmarsh-a-key.html"),
        "{told}"
    );
    let pupils = fs::read_to_string(room.path().join("a.html")).unwrap();
    let tutors = fs::read_to_string(room.path().join("saltmarsh-a-key.html")).unwrap();
    assert_eq!(well_formed(&tutors), Ok(()));
    let key = files::key::load(&sample("saltmarsh-a.key.ron")).unwrap();
    for (number, note) in &key.notes {
        let own = [3, 25].contains(&number.0);
        let working = escaped(note.working.as_deref().unwrap());
        assert_eq!(tutors.contains(&working), own, "{number}");
        assert!(!pupils.contains(&working));
    }
    let answer = key.answers[24];
    assert!(tutors.contains(&format!("<span class=\"count\">25</span> {answer}</li>")));
    // Without a key there is no half job.
    fs::remove_file(room.path().join("sample-papers/saltmarsh-a.key.ron")).unwrap();
    let said = run(&room, "paper print saltmarsh-a -o other.html --with-key");
    assert_eq!(said.status.code(), Some(1));
    assert!(!room.path().join("other.html").exists());
}

#[test]
fn chosen_questions_alone_are_printed_with_their_own_numbers() {
    let room = room();
    for kind in ["", " --homework"] {
        let printed = page(&room, &format!("saltmarsh-a --questions 3,11,15-18{kind}"));
        for number in 1..=25 {
            let there = [3, 11, 15, 16, 17, 18].contains(&number);
            let head = format!(">Question {number}</h2>");
            assert_eq!(printed.contains(&head), there, "{kind} {number}");
        }
    }
    let homework = page(&room, "saltmarsh-a --homework --questions 3,11,15-18");
    assert_eq!(homework.matches("class=\"working\"").count(), 6);
    assert!(!homework.contains("minutes for 25 questions"), "no clock");
    let part = page(&room, "saltmarsh-a --questions 1-10 --minutes 15");
    assert!(
        part.contains("For you today: 15 minutes, questions 1 to 10."),
        "{part}"
    );
    let said = run(&room, "paper print saltmarsh-a --questions 3,26");
    assert_eq!(said.status.code(), Some(2));
}

/// A row for each question with its own letters: what `enter` asks for.
#[test]
fn an_answer_sheet_has_a_row_of_letters_for_each_question() {
    let room = room();
    let path = room.path().join("sample-papers/saltmarsh-a.paper.ron");
    let text = fs::read_to_string(&path).unwrap();
    let text = text.replacen(
        "options: [\"10\", \"15\", \"20\", \"28\", \"38\"],",
        "labels: \"12345\", options: [\"10\", \"15\", \"20\", \"28\", \"38\"],",
        1,
    );
    fs::write(&path, text).unwrap();
    let sheet = page(&room, "saltmarsh-a --answer-sheet");
    let rows: Vec<_> = sheet.split("<li>").skip(1).collect();
    assert_eq!(rows.len(), 25);
    for (number, row) in (1..).zip(rows) {
        assert!(
            row.starts_with(&format!("<span class=\"count\">{number}</span>")),
            "{row}"
        );
        let letters: Vec<_> = row.split("class=\"letter\">").skip(1).collect();
        let letters: String = letters
            .iter()
            .filter_map(|rest| rest.chars().next())
            .collect();
        assert_eq!(letters, if number == 1 { "12345" } else { "ABCDE" });
    }
    assert!(!sheet.contains("ferry leaves"), "no question");
}

/// Letters on paper have the size that was asked for, figures the size of the words, large print is bold
/// (sizes of clear and large print: common practice, no source).
#[test]
fn letters_and_figures_have_the_size_that_was_asked_for() {
    let room = room();
    for (size, bold) in [(12, false), (14, false), (18, true), (24, true)] {
        let printed = page(&room, &format!("saltmarsh-a --size {size}"));
        let style = printed
            .split("<style>")
            .nth(1)
            .unwrap()
            .split("</style>")
            .next()
            .unwrap();
        assert!(
            style.contains(&format!("@media print{{html{{font-size:{size}pt}}}}")),
            "{style}"
        );
        assert_eq!(style.contains("body,pre{font-weight:700}"), bold);
        let figure = style.lines().find(|line| line.starts_with("pre{")).unwrap();
        let body = style
            .lines()
            .find(|line| line.starts_with("body{"))
            .unwrap();
        assert!(figure.contains("font:1rem/") && body.contains("font:1rem/1.5"));
        assert!(style.contains(".question,.try,.card{break-inside:avoid}"));
    }
    assert_eq!(
        run(&room, "paper print saltmarsh-a --size 13")
            .status
            .code(),
        Some(2)
    );
}

/// The checkpoints are those of the plan's file; of several plans the newest is taken.
#[test]
fn a_plan_card_has_the_plans_checkpoints() {
    let room = room();
    let plan = "(format: 2, checkpoints: [(question: 10, minutes: 18), (question: 20, minutes: 44.5)], leave: \"21-23,25\", stay_minutes: 4)";
    fs::write(room.path().join("mine.plan.ron"), plan).unwrap();
    let card = page(&room, "saltmarsh-b --plan-card --plan mine.plan.ron");
    for said in [
        "Question 10</th><td>18 minutes</td>",
        "Question 20</th><td>44 min 30 s</td>",
        "Leave questions 21 to 23 and 25 until the end.",
        "Leave a question after 4:00, and go on.",
    ] {
        assert!(card.contains(said), "{said}: {card}");
    }
    let saved = room.path().join("sessions/teasel/saltmarsh-b.plan.ron");
    let none = run(&room, "paper print saltmarsh-b --plan-card --pupil teasel");
    assert_eq!(none.status.code(), Some(1));
    let none = String::from_utf8(none.stderr).unwrap();
    assert!(
        none.contains("pacebell plan teasel --paper saltmarsh-b"),
        "{none}"
    );
    assert!(
        run(&room, "plan teasel --paper saltmarsh-b")
            .status
            .success()
    );
    let plan = files::plan::load(&saved).unwrap();
    let card = page(&room, "saltmarsh-b --plan-card --pupil teasel");
    assert!(card.contains("<bdi>teasel</bdi>") && !plan.checkpoints.is_empty());
    for checkpoint in &plan.checkpoints {
        assert!(card.contains(&format!("Question {}</th>", checkpoint.question)));
    }
    assert_eq!(card.matches("</th><td>").count(), plan.checkpoints.len());
    assert_eq!(
        run(&room, "paper print saltmarsh-b --plan-card")
            .status
            .code(),
        Some(2)
    );
}

/// `sit` and the card refuse the same plans with the same sentence; a card for nobody takes any pupil's plan.
#[test]
fn a_plan_card_takes_no_other_pupils_or_papers_plan() {
    let room = room();
    let file = |name: &str, text: &str| fs::write(room.path().join(name), text).unwrap();
    let checkpoints = "checkpoints: [(question: 10, minutes: 18)]";
    file(
        "avocet.plan.ron",
        &format!("(format: 2, pupil: \"avocet\", paper: \"saltmarsh-b\", {checkpoints})"),
    );
    file(
        "of-a.plan.ron",
        &format!("(format: 2, paper: \"saltmarsh-a\", {checkpoints})"),
    );
    file(
        "long.plan.ron",
        "(format: 2, checkpoints: [(question: 10, minutes: 18)], leave: \"21-26\")",
    );
    for (plan, says) in [
        (
            "avocet.plan.ron",
            "this is `avocet`'s plan, not `teasel`'s; name this pupil's plan, or leave --plan out",
        ),
        (
            "of-a.plan.ron",
            "this plan is for the paper `saltmarsh-a`, not for `saltmarsh-b`;",
        ),
        (
            "long.plan.ron",
            "it goes up to question 26 and `saltmarsh-b` ends at question 25;",
        ),
    ] {
        let refused = run(
            &room,
            &format!(
                "paper print saltmarsh-b --plan-card --plan {plan} --pupil teasel -o card.html"
            ),
        );
        let sat = run(
            &room,
            &format!("sit saltmarsh-b --pupil teasel --plan {plan} --plain"),
        );
        let said = String::from_utf8(refused.stderr.clone()).unwrap();
        assert!(said.contains(plan) && said.contains(says), "{said}");
        assert_eq!((refused.status.code(), &refused), (Some(2), &sat));
        assert!(!room.path().join("card.html").exists());
    }
    let card = page(&room, "saltmarsh-b --plan-card --plan avocet.plan.ron");
    assert!(card.contains("Question 10</th>") && !card.contains("avocet"));
    page(
        &room,
        "saltmarsh-b --plan-card --plan avocet.plan.ron --pupil Avocet",
    );
}

/// A page on a pupil is put down, so that erasing the pupil takes it along.
#[test]
fn a_page_that_names_a_pupil_is_erased_with_the_pupil() {
    let room = room();
    let named = "paper print saltmarsh-a --answer-sheet --pupil teasel";
    assert!(run(&room, named).status.success());
    assert!(
        run(&room, "paper print saltmarsh-a --answer-sheet")
            .status
            .success()
    );
    let pages = room.path().join("sessions/pages");
    let own = pages.join("teasel-saltmarsh-a-answer-sheet.html");
    let everybodys = pages.join("saltmarsh-a-answer-sheet.html");
    assert!(fs::read_to_string(&own).unwrap().contains("teasel"));
    assert!(everybodys.is_file());
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        assert_eq!(
            fs::metadata(&own).unwrap().permissions().mode() & 0o777,
            0o600
        );
    }
    let erased = typed(&mut pacebell(&room, "erase teasel"), "teasel\n");
    assert!(!own.exists(), "{erased:?}");
    assert!(everybodys.exists());
}

/// The pupil's time is the register's.
#[test]
fn a_pupils_paper_has_the_pupils_time() {
    let room = room();
    let register = "(format: 1, pupils: [(alias: \"teasel\", extra_time: 25, rest_breaks: true)])";
    fs::write(room.path().join("sessions/register.ron"), register).unwrap();
    let printed = page(&room, "saltmarsh-a --pupil teasel");
    assert!(printed.contains("For you today: 60 minutes + 25% = 75 minutes, all 25 questions."));
    assert!(printed.contains("You may stop the clock for a rest break."));
}

#[test]
fn what_cannot_be_printed_is_said_with_the_way_out() {
    let room = room();
    let new = "paper new bare --questions 3 --minutes 5 --sections 1-3:1 --answers ABC";
    assert!(run(&room, new).status.success());
    let said = run(&room, "paper print bare.paper.ron");
    assert_eq!(said.status.code(), Some(2));
    let said = String::from_utf8(said.stderr).unwrap();
    assert!(
        said.contains("no question texts") && said.contains("--answer-sheet"),
        "{said}"
    );
    assert_eq!(
        page(&room, "bare.paper.ron --answer-sheet")
            .matches("<li>")
            .count(),
        3
    );
    let homework = page(&room, "bare.paper.ron --homework --questions 2");
    assert!(homework.contains("The question is on your printed paper."));
    let paper = fs::read(room.path().join("bare.paper.ron")).unwrap();
    let said = run(&room, "paper print saltmarsh-a -o bare.paper.ron");
    assert_eq!(said.status.code(), Some(2));
    assert_eq!(fs::read(room.path().join("bare.paper.ron")).unwrap(), paper);
}

/// Texts of a paper that try to be more than text.
#[test]
fn text_stays_text() {
    let room = room();
    let nasty = "<b>&'</style><script>alert(1)</script>";
    let path = room.path().join("sample-papers/saltmarsh-first.paper.ron");
    let text = fs::read_to_string(&path).unwrap();
    let mut text = text.replace("title: \"", &format!("title: \"{nasty}"));
    for field in ["stem: \"", "source: \"", "right_to_use: \""] {
        text = text.replace(field, &format!("{field}{nasty}"));
    }
    text = text.replace("options: [\"", &format!("options: [\"{nasty}"));
    fs::write(&path, text).unwrap();
    for kind in ["", " --homework", " --answer-sheet"] {
        let printed = page(&room, &format!("saltmarsh-first{kind}"));
        for word in ["<script", "<b>"] {
            assert!(!printed.contains(word), "{kind} {word:?}");
        }
        assert_eq!(printed.matches("</style>").count(), 1);
        assert!(printed.contains("&lt;script&gt;"));
    }
}

/// Two lists of questions are two files, so that one homework doesn't take another's place.
#[test]
fn pages_of_different_questions_have_different_names() {
    let room = room();
    for (words, name) in [
        ("--homework", "saltmarsh-a-homework.html"),
        (
            "--homework --questions 3,11,15-18",
            "saltmarsh-a-homework-3_11_15-18.html",
        ),
        ("--homework --questions 4", "saltmarsh-a-homework-4.html"),
        ("--questions 4", "saltmarsh-a-4.html"),
    ] {
        let said = run(&room, &format!("paper print saltmarsh-a {words}"));
        assert!(said.status.success(), "{words}: {said:?}");
        assert!(
            room.path().join("sessions/pages").join(name).exists(),
            "{name}"
        );
    }
    // Homework has no clock.
    let said = run(&room, "paper print saltmarsh-a --homework --minutes 30");
    assert_eq!(said.status.code(), Some(2));
}
