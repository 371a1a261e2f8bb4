//! Answer sheets of one pupil, paper and day that were typed in on two machines.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use pacebell::commands::review::Reader;
use pacebell::domain::standing::Exclusion;
use pacebell::screens::run::{Arrived, Shelf as _};
use pacebell::storage::journal::{self, Record};
use serde_json::Value;

use crate::old::paths::slashed;
use crate::old::{Answer, OldFiles};
use crate::room::tree;

const KEY: &str = "ABCDE";

/// A paper of five questions of one mark each; sheets are typed in on `school` and `home`, and gathered in `desk`.
fn room() -> OldFiles {
    let files = OldFiles::copied();
    let paper = "(format: 1, id: \"fen\", title: \"Fen\", minutes: 10, options: \"ABCDE\",
        rule: (sections: [(name: \"all\", first: 1, last: 5, right: 1)]), questions: [(), (), (), (), ()])";
    fs::write(files.path().join("fen.paper.ron"), paper).unwrap();
    let key = format!("(format: 1, paper: \"fen\", answers: {KEY:?})");
    fs::write(files.path().join("fen.key.ron"), key).unwrap();
    files
}

/// Types in a list of pupils and answers.
fn enter(files: &OldFiles, folder: &str, rows: &[(&str, &str)], more: &str) -> Answer {
    let mut list = "pupil,1,2,3,4,5\n".to_owned();
    for (pupil, answers) in rows {
        let cells: Vec<_> = answers.chars().map(String::from).collect();
        list = format!("{list}{pupil},{}\n", cells.join(","));
    }
    fs::write(files.path().join("class.csv"), list).unwrap();
    files.run(&format!(
        "enter fen.paper.ron --from class.csv --date 2026-11-20 --sessions {folder}{more}"
    ))
}

fn done(files: &OldFiles, words: &str) -> Answer {
    let answer = files.run(words);
    assert_eq!(answer.code, Some(0), "{words}: {}", answer.err);
    answer
}

/// The marks that count, by pupil: each counted one by one.
fn marks(files: &OldFiles, folder: &str) -> BTreeMap<String, Vec<i64>> {
    let told = done(files, &format!("mark {folder} --json"));
    let mut marks = BTreeMap::<String, Vec<i64>>::new();
    // One sitting is an object, several are a list of them.
    let all = match serde_json::from_str::<Value>(&told.out).unwrap() {
        Value::Array(all) => all,
        one => vec![one],
    };
    for one in all {
        let mark = one["mark"]["in_time"].as_str().unwrap().parse().unwrap();
        let pupil = one["pupil"].as_str().unwrap().to_owned();
        marks.entry(pupil).or_default().push(mark);
    }
    marks
}

fn naive(answers: &str) -> i64 {
    let right = answers
        .chars()
        .zip(KEY.chars())
        .filter(|(one, key)| one == key);
    i64::try_from(right.count()).unwrap()
}

fn records(files: &OldFiles, folder: &str) -> Vec<Arc<Record>> {
    journal::list(&files.path().join(folder)).unwrap().records
}

fn files_of(files: &OldFiles, folder: &str, pupil: &str) -> Vec<PathBuf> {
    let all = tree(&files.path().join(folder).join(pupil)).into_keys();
    let sessions = all.filter(|path| path.to_string_lossy().ends_with(".session.ron"));
    sessions
        .map(|path| Path::new(folder).join(pupil).join(path))
        .collect()
}

/// Teal is typed differently on the two machines, wren alike.
fn gathered(order: &str) -> (OldFiles, Answer) {
    let files = room();
    let school = [("teal", "ABCDE"), ("wren", "ABCAA"), ("ruff", "AAAAA")];
    let home = [("teal", "ABCDA"), ("wren", "ABCAA")];
    assert_eq!(enter(&files, "school", &school, "").code, Some(0));
    assert_eq!(enter(&files, "home", &home, "").code, Some(0));
    let mut told = None;
    for folders in order.split(';') {
        told = Some(done(&files, &format!("gather {folders} --sessions desk")));
    }
    (files, told.unwrap())
}

#[test]
fn two_sheets_that_differ_count_nowhere_until_one_is_set_aside_and_two_alike_count_once() {
    for order in [
        "school home",
        "home school",
        "school;home",
        "home;school;school home",
    ] {
        let (files, told) = gathered(order);
        assert!(
            told.err
                .contains("these answer sheets are of one pupil, paper and day")
                && told.err.contains("desk/teal/")
                && !told.err.contains("desk/wren/"),
            "{order}: {}",
            told.err
        );
        assert!(told.err.contains("set-aside"), "{}", told.err);
        let counted = marks(&files, "desk");
        let expected = [("wren", "ABCAA"), ("ruff", "AAAAA")];
        let expected = expected.map(|(pupil, own)| (pupil.to_owned(), vec![naive(own)]));
        assert_eq!(counted, expected.into(), "{order}");
        let group = done(
            &files,
            "group --paper fen.paper.ron desk --json --sessions desk",
        );
        let group: Value = serde_json::from_str(&group.out).unwrap();
        assert_eq!(group["people"], 2, "{order}");
        let season = done(&files, "progress teal --sessions desk");
        let season = season.out.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(
            season.contains("in two files that say different things"),
            "{season}"
        );

        // In the review both show as disputed.
        let mut reader = Reader::new(&files.path().join("desk"), &[], "PB").unwrap();
        reader.begin(|| {});
        let mut last = BTreeMap::new();
        while let Some(arrived) = reader.wait() {
            match arrived {
                Arrived::Read(rows) => last.extend(rows),
                Arrived::AllRead => break,
                _ => {}
            }
        }
        let disputed = last.values().filter(|row| {
            let standing = row.summary().map(|own| own.standing.withdrawn);
            standing == Some(Some(Exclusion::Disputed))
        });
        assert_eq!(
            disputed.map(|row| &*row.pupil).collect::<Vec<_>>(),
            ["teal", "teal"]
        );
        let sheets = files_of(&files, "desk", "teal");
        assert_eq!(sheets.len(), 2);
        let opened = reader.open(&files.path().join(&sheets[0])).unwrap();
        assert!(
            opened
                .remarks
                .iter()
                .any(|said| said.contains("doesn't count anywhere")
                    || said.contains("says something else")),
            "{:?}",
            opened.remarks
        );

        // A third cannot correct both; the tutor chooses, and what stays counts.
        let refused = enter(&files, "desk", &[("teal", "ABCBB")], " --again");
        assert_eq!(refused.code, Some(1));
        assert!(
            refused.err.contains("set the wrong ones aside first"),
            "{}",
            refused.err
        );
        let wrong = sheets.iter().find(|path| {
            let text = fs::read_to_string(files.path().join(path)).unwrap();
            text.contains("(5,\"A\")") || text.contains("(5,'A')") || text.contains("(5,A)")
        });
        let wrong = wrong.unwrap().display();
        done(
            &files,
            &format!("set-aside {wrong} --because typed-wrong --sessions desk"),
        );
        assert_eq!(marks(&files, "desk")["teal"], [naive("ABCDE")], "{order}");
    }
}

#[test]
fn a_corrected_sheet_replaces_what_the_other_machine_typed_in_alike() {
    let (files, _) = gathered("school home");
    let corrected = [("wren", "ABCDE")];
    assert_eq!(enter(&files, "desk", &corrected, " --again").code, Some(0));
    assert_eq!(marks(&files, "desk")["wren"], [5]);
    // The other machine's folder comes again: still replaced.
    let told = done(&files, "gather home school --sessions desk");
    assert!(!told.err.contains("desk/wren/"), "{}", told.err);
    assert_eq!(marks(&files, "desk")["wren"], [5]);
}

/// What was right at first is typed in again after a wrong correction.
#[test]
fn a_sheet_corrected_back_to_what_it_was_counts() {
    let files = room();
    for (answers, more) in [("ABCAA", ""), ("EEEEE", " --again"), ("ABCAA", " --again")] {
        let entered = enter(&files, "desk", &[("wren", answers)], more);
        assert_eq!(entered.code, Some(0), "{}", entered.err);
        assert_eq!(marks(&files, "desk")["wren"], [naive(answers)]);
    }
    let withdrawn = records(&files, "desk");
    let withdrawn = withdrawn.iter().map(|record| record.withdrawn);
    let counted = withdrawn.filter(Option::is_none);
    assert_eq!(counted.count(), 1);
}

#[test]
fn pupils_who_are_new_here_are_named_and_a_pupil_under_two_aliases_is_noticed() {
    let files = room();
    let first = enter(
        &files,
        "desk",
        &[("spruce", "ABCAE"), ("ruff", "AAAAA")],
        "",
    );
    assert!(
        !first.err.contains("New here"),
        "nobody was known: {}",
        first.err
    );
    done(&files, "rename spruce heron --sessions desk");
    let again = enter(
        &files,
        "desk",
        &[("spruce", "ABCAE"), ("ruff", "AAAAA"), ("wern", "A----")],
        "",
    );
    assert_eq!(again.code, Some(0), "{}", again.err);
    assert!(
        again.err.contains("New here: spruce, wern."),
        "{}",
        again.err
    );
    assert!(
        again.err.contains("spruce has the same answers as heron")
            && again.err.contains("pacebell rename spruce heron --join"),
        "{}",
        again.err
    );
    assert!(!again.err.contains("wern has"), "{}", again.err);
    assert_eq!(records(&files, "desk").len(), 4);
    done(&files, "rename spruce heron --join --sessions desk");
    assert_eq!(
        marks(&files, "desk")["heron"],
        [naive("ABCAE")],
        "one sheet counts"
    );

    let one = files.run("enter fen.paper.ron --pupil rufff --answers ABCDE --sessions desk");
    assert!(one.err.contains("New here: rufff."), "{}", one.err);
    enter(
        &files,
        "stick",
        &[("ruff", "AAAAA"), ("dunlin", "EEEEE")],
        "",
    );
    let told = done(&files, "gather stick --sessions desk");
    assert!(told.err.contains("New here: dunlin."), "{}", told.err);
    let told = done(&files, "gather stick --sessions desk");
    assert!(!told.err.contains("New here"), "{}", told.err);
    let told = done(&files, "gather stick --sessions empty");
    assert!(!told.err.contains("New here"), "{}", told.err);
}

/// In format 1 the id holds the alias: the old files of a renamed pupil have other ids than the new ones.
#[test]
fn the_old_files_of_a_renamed_pupil_count_nowhere_until_both_are_joined() {
    let files = OldFiles::copied();
    let old = tree(&files.path().join("sessions/marten"));
    let before = done(&files, "progress marten --json").out;
    done(&files, "rename marten heron");
    for (inside, bytes) in old {
        let path = files.path().join("sessions/marten").join(inside);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, bytes).unwrap();
    }
    let group = files.run("group --paper @a.paper --key @a.key sessions");
    assert!(
        group.err.contains("pacebell rename") && group.err.contains("--join"),
        "{}",
        group.err
    );
    let counted = records(&files, "sessions");
    let twice = counted.iter().filter(|record| {
        ["marten", "heron"].contains(&record.header.pupil.as_str()) && record.withdrawn.is_none()
    });
    assert_eq!(twice.count(), 0);
    done(&files, "rename marten heron --join");
    let now = done(&files, "progress heron --json").out;
    let marks = |text: &str| {
        let season: Value = serde_json::from_str(text).unwrap();
        let all = season["sittings"].as_array().unwrap().iter();
        all.map(|own| own["mark"].clone()).collect::<Vec<_>>()
    };
    assert_eq!(marks(&now), marks(&before));
}

/// What `set-aside FILE --back` says has to be what the marks say.
#[test]
fn what_is_back_is_said_to_count_only_where_it_does() {
    let files = room();
    assert_eq!(
        enter(&files, "desk", &[("wren", "ABCAA")], "").code,
        Some(0)
    );
    let first = files_of(&files, "desk", "wren").remove(0);
    let again = enter(&files, "desk", &[("wren", "ABCDE")], " --again");
    assert_eq!(again.code, Some(0), "{}", again.err);
    let sheets = files_of(&files, "desk", "wren");
    let later = sheets.iter().find(|path| **path != first).unwrap();
    let (first, later) = (first.display().to_string(), later.display().to_string());
    let back = |file: &str| {
        let aside = format!("set-aside {file} --because mistake --sessions desk");
        done(&files, &aside);
        done(&files, &format!("set-aside {file} --back --sessions desk")).out
    };
    let said = back(&first);
    assert!(
        said.contains("still doesn't count")
            && said.contains("It was replaced by a later answer sheet")
            && said.contains(&format!("pacebell set-aside {later}"))
            && !said.contains("This sitting counts"),
        "{said}"
    );
    assert_eq!(marks(&files, "desk")["wren"], [naive("ABCDE")]);
    let said = back(&later);
    assert!(said.contains("This sitting counts"), "{said}");
    // What was to be typed makes the first count.
    done(
        &files,
        &format!("set-aside {later} --because mistake --sessions desk"),
    );
    assert_eq!(marks(&files, "desk")["wren"], [naive("ABCAA")]);

    let (files, _) = gathered("school home");
    let sheets = files_of(&files, "desk", "teal");
    let sheets: Vec<_> = sheets
        .iter()
        .map(|path| path.display().to_string())
        .collect();
    let words = format!("set-aside {} --because mistake --sessions desk", sheets[0]);
    done(&files, &words);
    let words = format!("set-aside {} --back --sessions desk", sheets[0]);
    let said = done(&files, &words).out;
    assert!(
        said.contains("still doesn't count") && said.contains(&sheets[1]),
        "{said}"
    );
    assert!(!marks(&files, "desk").contains_key("teal"));
    // The same from within the folder, without the folder of sittings being named.
    done(
        &files,
        &format!("set-aside {} --because mistake", sheets[0]),
    );
    let said = done(&files, &format!("set-aside {} --back", sheets[0])).out;
    assert!(said.contains("still doesn't count"), "{said}");
}

/// A sitting that is open, or was given up, is not said to count either.
#[test]
fn an_open_sitting_that_is_back_is_not_said_to_count() {
    let files = OldFiles::copied();
    let file = files.sitting("marten", "a");
    let text = fs::read_to_string(files.path().join(&file)).unwrap();
    let lines: Vec<_> = text.lines().take(5).collect();
    let path = files.path().join(&file);
    fs::write(&path, lines.join("\n") + "\n").unwrap();
    done(&files, &format!("set-aside {file} --because mistake"));
    let said = done(&files, &format!("set-aside {file} --back")).out;
    assert!(said.contains("It has not ended yet"), "{said}");
}

#[test]
fn sheets_that_no_longer_count_after_two_pupils_are_joined_are_named() {
    let files = room();
    let rows = [("aa", "ABCDE"), ("bb", "ABCDA"), ("cc", "AAAAA")];
    assert_eq!(enter(&files, "desk", &rows, "").code, Some(0));
    let told = done(&files, "rename aa bb --join --sessions desk");
    let sheets = files_of(&files, "desk", "bb");
    assert_eq!(sheets.len(), 2);
    assert!(!marks(&files, "desk").contains_key("bb"));
    for sheet in &sheets {
        let named = told.err.contains(&slashed(&sheet.display().to_string()));
        assert!(named, "{}", told.err);
    }
    assert!(
        told.err.contains("pacebell set-aside FILE") && told.err.contains("look at the paper"),
        "{}",
        told.err
    );
    // Sheets that are alike, and those of others, are no trouble.
    let told = done(&files, "rename cc dd --sessions desk");
    assert!(!told.err.contains("set-aside"), "{}", told.err);
}

#[test]
fn sheets_of_which_only_the_extra_time_differs_are_said_to_differ_in_that() {
    let files = room();
    let rows = [("teal", "ABCDE")];
    assert_eq!(enter(&files, "school", &rows, "").code, Some(0));
    let more = enter(&files, "home", &rows, " --extra-time 25%");
    assert_eq!(more.code, Some(0), "{}", more.err);
    let told = done(&files, "gather school home --sessions desk");
    assert!(
        told.err
            .contains("the same answers, but different extra time")
            && told.err.contains("(0%)")
            && told.err.contains("(25%)")
            && told.err.contains("what was arranged")
            && !told.err.contains("look at the paper"),
        "{}",
        told.err
    );
    let told = done(&files, "doctor desk").out;
    assert!(told.contains("different extra time"), "{told}");
}

/// One folder, one paper chosen: whoever counts what was left out comes to the same numbers.
#[test]
fn what_is_left_out_of_a_folder_is_counted_alike_by_mark_and_group() {
    let files = room();
    let fen = fs::read_to_string(files.path().join("fen.paper.ron")).unwrap();
    let moss = fen.replace("\"fen\"", "\"moss\"");
    fs::write(files.path().join("moss.paper.ron"), moss).unwrap();
    for (paper, more) in [
        ("fen", ""),
        ("moss", ""),
        ("fen", " --again"),
        ("moss", " --again"),
    ] {
        let answers = if more.is_empty() { "ABCAA" } else { "ABCDA" };
        for pupil in ["wren", "ruff"] {
            let words = format!(
                "enter {paper}.paper.ron --pupil {pupil} --answers {answers} --date 2026-11-20 --sessions desk{more}"
            );
            done(&files, &words);
        }
    }
    let left_out = |words: &str| {
        let told = done(&files, words).err;
        let lines = told.lines().filter(|line| line.contains("left out"));
        let numbers = lines.map(|line| {
            let number: String = line.chars().filter(char::is_ascii_digit).take(1).collect();
            let what = ["other paper", "another paper", "replaced"];
            let what = what.iter().position(|what| line.contains(what));
            (number, what.map(|what| what.max(1)))
        });
        numbers.collect::<std::collections::BTreeSet<_>>()
    };
    let marked = left_out("mark desk --key fen.key.ron --sessions desk");
    let group = left_out("group desk --paper fen.paper.ron --key fen.key.ron --sessions desk");
    let expected = [("2", Some(2)), ("4", Some(1))];
    let expected = expected.map(|(number, what)| (number.to_owned(), what));
    assert_eq!(marked, expected.into());
    assert_eq!(group, marked);
}
