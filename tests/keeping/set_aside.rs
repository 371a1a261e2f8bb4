//! A sitting that is set aside moves every figure as if its file were not there; nothing else changes.

use std::fmt::Write as _;
use std::fs;

use pacebell::commands::review::Reader;
use pacebell::screens::run::{Arrived, Shelf as _};
use pacebell::storage::journal;
use serde_json::Value;

use crate::old::{Answer, OldFiles};

const AGGREGATES: [&str; 5] = [
    "forecast marten --paper saltmarsh-b --json",
    "plan marten --paper saltmarsh-b --json",
    "group --paper @a.paper --key @a.key --json sessions",
    "group --paper @a.paper --key @a.key --every --json sessions",
    "boundary --key @a.key --top 2/5 --ratio 5:3:2 --json sessions",
];

fn done(files: &OldFiles, words: &str) -> Answer {
    let answer = files.run(words);
    assert_eq!(answer.code, Some(0), "{words}: {}", answer.err);
    answer
}

fn aggregates(files: &OldFiles) -> Vec<String> {
    AGGREGATES
        .iter()
        .map(|words| done(files, words).out)
        .collect()
}

/// What a season says as a whole, without the list of its sittings.
fn season(files: &OldFiles) -> Vec<Value> {
    let all: Value = serde_json::from_str(&done(files, "progress marten --json").out).unwrap();
    let whole = ["compared", "trends", "topics", "causes", "scale"];
    let mut whole: Vec<_> = whole.iter().map(|name| all[name].clone()).collect();
    if let Some(scale) = whole.last_mut().and_then(Value::as_object_mut) {
        scale.remove("note");
    }
    whole
}

#[test]
fn what_is_set_aside_counts_nowhere_and_counts_again_once_it_is_back() {
    let files = OldFiles::copied();
    let (all, whole_season) = (aggregates(&files), season(&files));
    let file = files.sitting("marten", "a");
    let log = fs::read(files.path().join(&file)).unwrap();

    let without = OldFiles::copied();
    fs::remove_file(without.path().join(without.sitting("marten", "a"))).unwrap();
    let (expected, expected_season) = (aggregates(&without), season(&without));
    assert!(all.iter().zip(&expected).all(|(one, other)| one != other));

    done(&files, "set-aside @marten-a --because false-start --by PB");
    assert_eq!(aggregates(&files), expected);
    assert_eq!(season(&files), expected_season);
    assert_eq!(fs::read(files.path().join(&file)).unwrap(), log);
    let notes = file.replace(".session.ron", ".notes.ron");
    let notes = fs::read_to_string(files.path().join(notes)).unwrap();
    assert!(
        notes.contains("false-start") && notes.contains("PB"),
        "{notes}"
    );

    let said = done(&files, "set-aside @marten-a --back").out;
    assert!(
        said.contains("This sitting counts") && said.contains("less than its time"),
        "{said}"
    );
    assert_eq!(aggregates(&files), all);
    assert_eq!(season(&files), whole_season);
    assert_eq!(fs::read(files.path().join(&file)).unwrap(), log);
}

#[test]
fn words_pasted_with_what_nobody_sees_leave_notes_that_can_be_read() {
    let files = OldFiles::copied();
    for hidden in [
        "\u{ad}", "\u{200b}", "\u{200c}", "\u{200d}", "\u{200e}", "\u{200f}", "\u{202e}",
        "\u{feff}", "\t",
    ] {
        let typed = format!("so{hidden}lid");
        done(
            &files,
            &format!("set-aside @marten-a --because {typed} --by {typed}"),
        );
        done(&files, &format!("set-aside @marten-a --back --by {typed}"));
        let page =
            format!("feedback @marten-a --key @a.key -o page.html --force --sentence {typed}");
        done(&files, &page);
        let shown = if hidden == "\t" { "so lid" } else { "solid" };
        assert!(
            fs::read_to_string(files.path().join("page.html"))
                .unwrap()
                .contains(shown)
        );
        done(
            &files,
            &format!("evidence marten --of @marten-a --timed --sentence {typed}"),
        );
    }
}

#[test]
fn every_page_list_and_json_says_that_it_is_set_aside() {
    let files = OldFiles::copied();
    let before: Value =
        serde_json::from_str(&done(&files, "mark @marten-a --key @a.key --json").out).unwrap();
    assert_eq!(
        (&before["set_aside"], &before["disputed"]),
        (&Value::Null, &Value::Bool(false))
    );
    done(&files, "set-aside @marten-a --because the.fire.alarm");
    let said = |words: &str| done(&files, words).out.replace('\n', " ");
    for words in [
        "mark @marten-a --key @a.key",
        "mark @marten-a @teasel-a --key @a.key",
    ] {
        let page = said(words);
        let page = page.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(
            page.contains("It was set aside on")
                && page.contains("the.fire.alarm")
                && page.matches("set aside").count() == 1,
            "{page}"
        );
    }
    let marked: Value = serde_json::from_str(&said("mark @marten-a --key @a.key --json")).unwrap();
    assert_eq!(marked["set_aside"]["because"], "the.fire.alarm");
    assert_eq!(marked["mark"], before["mark"], "the marks themselves stay");
    assert!(said("progress marten").contains("set aside"));
    let season: Value = serde_json::from_str(&said("progress marten --json")).unwrap();
    let apart = season["sittings"].as_array().unwrap().iter();
    assert_eq!(apart.filter(|own| own["apart"] == "set_aside").count(), 1);
    let group = done(
        &files,
        "group --paper @a.paper --key @a.key --no-progress sessions",
    );
    let group = (group.out + &group.err).replace('\n', " ");
    assert!(group.contains("1 sitting set aside"), "{group}");
}

#[test]
fn a_reason_is_needed_and_one_sitting() {
    let files = OldFiles::copied();
    for (words, code) in [
        ("set-aside @marten-a", 2),
        ("set-aside @marten-a --because x --back", 2),
        ("set-aside marten --because x", 2),
        ("set-aside nobody --because x", 1),
    ] {
        let answer = files.run(words);
        assert_eq!(answer.code, Some(code), "{words}: {}", answer.err);
    }
    let several = files.run("set-aside marten --because x").err;
    assert!(several.contains(&files.sitting("marten", "a")), "{several}");
}

/// Two files of a sitting that part in the middle: what each answered is known, which is right is not.
#[test]
fn of_two_files_that_differ_neither_counts_until_one_is_set_aside() {
    let files = OldFiles::copied();
    let (all, file) = (aggregates(&files), files.sitting("marten", "a"));
    let other = file.replace("marten/", "marten/other-");
    let text = fs::read_to_string(files.path().join(&file)).unwrap();
    fs::write(files.path().join(&other), parted(&text)).unwrap();

    let without = OldFiles::copied();
    fs::remove_file(without.path().join(&file)).unwrap();
    assert_eq!(aggregates(&files), aggregates(&without));
    let said = done(&files, "progress marten").out.replace('\n', " ");
    assert!(
        said.contains("in two files that say different things"),
        "{said}"
    );

    done(&files, &format!("set-aside {other} --because wrong-file"));
    assert_eq!(aggregates(&files), all);
    let said = done(&files, "progress marten").out;
    let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(said.contains("set aside; the same sitting in"), "{said}");
}

/// The first forty lines of a session file, with the moment of the last one moved, and chained again.
fn parted(text: &str) -> String {
    let mut crc = 0;
    let mut out = String::new();
    for (place, line) in text.lines().take(40).enumerate() {
        let (record, _) = line.rsplit_once(" // ").unwrap();
        let record = if place == 39 {
            let (before, after) = record.split_once(",utc:").unwrap();
            format!("{before}1,utc:{after}")
        } else {
            record.to_owned()
        };
        crc = crc32fast::hash(format!("{crc:08x}{record}").as_bytes());
        writeln!(out, "{record} // {crc:08x}").unwrap();
    }
    out
}

/// Ten seconds less than the paper's own hour.
fn shortened(files: &OldFiles, file: &str) {
    let path = files.path().join(file);
    let text = fs::read_to_string(&path).unwrap();
    let records = text.lines().map(|line| line.rsplit_once(" // ").unwrap().0);
    let shorter = |record: &str| record.replacen("standard:3600000", "standard:3590000", 1);
    let records: Vec<_> = records.map(shorter).collect();
    assert!(records[0].contains("standard:3590000"), "{}", records[0]);
    let records: Vec<_> = records.iter().map(String::as_str).collect();
    fs::write(&path, crate::room::chained(&records)).unwrap();
}

/// What had less than the paper's own time, while others had all of it, is in no group's figures: so it is no reason for a
/// word either, and the review counts as many people as `group`.
#[test]
fn what_is_left_out_for_its_time_is_left_out_of_the_overview_and_the_review_too() {
    let files = OldFiles::copied();
    let file = files.sitting("lapwing", "b");
    let words = |files: &OldFiles| {
        done(files, "overview --csv t");
        fs::read_to_string(files.path().join("t/overview-words.csv")).unwrap()
    };
    assert!(words(&files).contains("5 Nov"), "the newest sitting");
    let people = |files: &OldFiles| {
        let group = "group --paper @b.paper --key @b.key --json sessions";
        let group: Value = serde_json::from_str(&done(files, group).out).unwrap();
        let all = ["lapwing", "marten", "teasel"].map(|pupil| files.sitting(pupil, "b"));
        let all: Vec<_> = all.iter().map(|file| files.path().join(file)).collect();
        let header = journal::read(&all[0]).unwrap().header;
        let version = pacebell::screens::review::Version::of(&header);
        let keys = files.path().join("sample-papers");
        let mut reader = Reader::new(&files.path().join("sessions"), &[keys], "P.B.").unwrap();
        reader.put_together(version, all);
        let Some(Arrived::Group(_, norms)) = reader.wait() else {
            panic!("the group arrives");
        };
        assert_eq!(group["people"], norms.people);
        norms.people
    };
    assert_eq!(people(&files), 3);
    shortened(&files, &file);
    assert!(!words(&files).contains("5 Nov"), "{}", words(&files));
    assert_eq!(people(&files), 2);
}

/// Where no sitting counts there are some all the same: the page says why they don't.
#[test]
fn a_forecast_says_which_sittings_do_not_count_for_their_time() {
    let files = OldFiles::copied();
    for paper in ["a", "b", "old"] {
        shortened(&files, &files.sitting("lapwing", paper));
    }
    for command in ["forecast", "plan"] {
        let page = done(&files, &format!("{command} lapwing --paper saltmarsh-b")).out;
        let page = page.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(
            page.contains(
                "and none here counts. Not counted: 3 sittings, since less than the paper's own time was given."
            ),
            "{page}"
        );
    }
}

/// A page that was written of the pupil goes on saying what it said: whoever has it is to be told.
#[test]
fn a_decision_names_the_pages_that_were_written_before_it() {
    let files = OldFiles::copied();
    let quiet = done(&files, "set-aside @marten-b --because x").out;
    assert!(!quiet.contains("written before"), "{quiet}");
    done(&files, "set-aside @marten-b --back");
    done(&files, "feedback @marten-b --key @b.key -o for-marten.html");
    done(&files, "feedback @teasel-b --key @b.key -o for-teasel.html");
    for words in [
        "set-aside @marten-b --because x",
        "set-aside @marten-b --back",
    ] {
        let said = done(&files, words).out;
        assert!(
            said.contains("Pages about marten were written before"),
            "{said}"
        );
        assert!(said.contains("for-marten.html"), "{said}");
        assert!(!said.contains("teasel"), "{said}");
    }
    fs::remove_file(files.path().join("for-marten.html")).unwrap();
    let gone = done(&files, "set-aside @marten-b --back").out;
    assert!(!gone.contains("written before"), "{gone}");
    let enter = "enter sample-papers/saltmarsh-a.paper.ron --pupil knot --date 2026-11-20";
    let first = "A".repeat(25);
    done(&files, &format!("{enter} --answers {first}"));
    done(&files, "talk knot -o for-knot.html");
    let again = done(
        &files,
        &format!("{enter} --answers {} --again", "B".repeat(25)),
    );
    assert!(again.err.contains("for-knot.html"), "{}", again.err);
}

/// Guesses are no knowledge: two sheets of guesses are no forecast, and five answers worked out come with a warning
/// before every figure.
#[test]
fn a_forecast_from_guesses_says_first_what_it_rests_on() {
    let files = OldFiles::copied();
    let enter = |pupil: &str, worked: usize| {
        for (day, paper) in [(11, "a"), (13, "b")] {
            let sheet = format!("{}{}", "A".repeat(worked), "A??".repeat(25 - worked));
            let enter = format!("enter sample-papers/saltmarsh-{paper}.paper.ron --pupil {pupil}");
            done(
                &files,
                &format!("{enter} --date 2026-11-{day} --answers {sheet}"),
            );
        }
    };
    enter("rail", 0);
    let only = "All these answers were guesses, so the mark says nothing about another day.";
    for (page, of_days) in [
        ("feedback @rail-a", "8 times in 10"),
        ("feedback @rail-a --for parents", "ten different days"),
        ("progress rail", "8 times in 10, another"),
    ] {
        let page = done(&files, page).out;
        let page = page.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(page.contains(only) && !page.contains(of_days), "{page}");
    }
    enter("knot", 5);
    enter("dunlin", 25);
    for command in ["forecast", "plan"] {
        let page = |pupil: &str| {
            let page = done(&files, &format!("{command} {pupil} --paper saltmarsh-b")).out;
            page.split_whitespace().collect::<Vec<_>>().join(" ")
        };
        let rail = page("rail");
        let none = "yet for rail: no answer so far was worked out.";
        assert!(rail.contains(none) && !rail.contains("of 125"), "{rail}");
        let few = "This rests on only 10 answers that were worked out.";
        let knot = page("knot");
        let first = if command == "plan" {
            "Finish up to"
        } else {
            "Mark in time"
        };
        assert!(
            knot.find(few).unwrap() < knot.find(first).unwrap(),
            "{knot}"
        );
        assert!(!page("dunlin").contains("rests on only"));
    }
}

/// A sheet that was typed in has its blanks too.
#[test]
fn the_last_time_may_have_been_on_paper() {
    let files = OldFiles::copied();
    let enter = "enter sample-papers/saltmarsh-a.paper.ron --pupil knot --date 2026-11-20";
    done(&files, &format!("{enter} --answers {}---", "A".repeat(22)));
    let sit = "sit sample-papers/saltmarsh-b.paper.ron --pupil knot --plain";
    let said = crate::room::typed(&files, sit, "start\nA\nfinish\ny\n");
    assert!(
        said.out.contains("Last time: 3 of 25 questions"),
        "{}",
        said.out
    );
}

#[test]
fn the_tutor_is_asked_about_a_very_short_sitting_and_told_how_to_answer() {
    let files = OldFiles::copied();
    let file = files.sitting("marten", "a");
    let text = fs::read_to_string(files.path().join(&file)).unwrap();
    let asked = |files: &OldFiles| {
        let page = done(files, &format!("mark {file} --key @a.key")).out;
        let page = page.split_whitespace().collect::<Vec<_>>().join(" ");
        page.contains("Does this sitting count?") && page.contains("pacebell set-aside")
    };
    assert!(!asked(&files), "a whole hour was used");
    fs::write(files.path().join(&file), finished_early(&text)).unwrap();
    assert!(asked(&files));
    let pupils = files.run("feedback @marten-a --key @a.key").out;
    assert!(!pupils.contains("set-aside"), "the pupil is not asked");
    done(&files, "set-aside @marten-a --back");
    assert!(!asked(&files), "answered");
}

/// The first ten records, and then the paper handed in a second later.
fn finished_early(text: &str) -> String {
    let mut crc = 0;
    let mut out = String::new();
    let lines: Vec<_> = text.lines().take(10).collect();
    let (_, at) = lines[9].split_once(",at:").unwrap();
    let at: u64 = at.split(',').next().unwrap().parse().unwrap();
    let (_, utc) = lines[9].split_once("utc:").unwrap();
    let utc = utc.split(',').next().unwrap();
    let last = format!(
        "(n:10,at:{},utc:{utc},event:Closed(finished_early))",
        at + 1000
    );
    let records = lines.iter().map(|line| line.rsplit_once(" // ").unwrap().0);
    for record in records.chain([last.as_str()]) {
        crc = crc32fast::hash(format!("{crc:08x}{record}").as_bytes());
        writeln!(out, "{record} // {crc:08x}").unwrap();
    }
    out
}

/// A sitting that was set aside counts again where its notes can't be read: that is said, wherever it counts.
#[test]
fn where_notes_cannot_be_read_it_is_said_that_a_sitting_may_have_been_set_aside() {
    let files = OldFiles::copied();
    done(&files, "set-aside @marten-a --because false-start --by PB");
    let file = files.path().join(files.sitting("marten", "a"));
    let notes = file.to_str().unwrap().replace(".session.ron", ".notes.ron");
    let text = fs::read_to_string(&notes).unwrap();
    fs::write(&notes, text.replace("false-start", "false-start\"")).unwrap();
    for words in [
        "mark marten",
        "progress marten",
        "forecast marten --paper saltmarsh-b",
        "plan marten --paper saltmarsh-b",
        "group --paper @a.paper --key @a.key sessions",
        "overview",
        "evidence marten",
        "doctor sessions",
    ] {
        let told = files.run(words);
        let said = told.out + &told.err;
        let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(said.contains(".notes.ron:"), "{words}: {said}");
        assert!(
            said.contains("nobody knows whether this sitting was set aside, and it counts"),
            "{words}: {said}"
        );
    }
}
