//! `boundary` through the front door: shares, ties, places, ranges, marks of every kind.
#![cfg(test)]

#[path = "common/papers.rs"]
mod papers;
#[path = "common/sat.rs"]
mod sat;
#[path = "boundary/sittings.rs"]
mod sittings;
mod told;
#[path = "boundary/write.rs"]
mod write;
#[path = "common/written.rs"]
mod written;

use std::fmt::Write as _;

use serde_json::{Value, json};
use told::{Folder, close};

const TIES: [(&str, &str); 3] = [
    ("at_most", "not-above"),
    ("at_least", "at-least"),
    ("nearest", "nearest"),
];

/// Thirty made-up marks, counted by hand, and one pupil who was absent.
pub(crate) fn thirty(folder: &Folder) {
    let counts = [
        (22, 1),
        (20, 1),
        (19, 2),
        (18, 2),
        (17, 3),
        (16, 4),
        (15, 4),
        (14, 3),
        (13, 4),
        (12, 2),
        (11, 2),
        (9, 1),
        (7, 1),
    ];
    let mut text = String::from("pupil,mark\n");
    for (mark, people) in counts {
        for number in 0..people {
            writeln!(text, "p{mark}-{number},{mark}").unwrap();
        }
    }
    folder.file("thirty.csv", &(text + "otter,\n"));
}

/// The awards' values of one field, best first.
fn field(found: &Value, name: &str) -> Value {
    found["awards"]
        .as_array()
        .unwrap()
        .iter()
        .map(|award| award[name].clone())
        .collect()
}

fn number(text: &str) -> f64 {
    let part = |text: &str| text.parse::<f64>().unwrap();
    text.split_once('/')
        .map_or_else(|| part(text), |(top, bottom)| part(top) / part(bottom))
}

/// Made-up cohorts counted by two other programs: `reference/README.md`.
#[test]
fn made_up_cohorts_come_out_as_counted_elsewhere() {
    let path = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/tests/reference/boundaries.json"
    );
    let cases: Value = serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap();
    let folder = Folder::new();
    for (name, case) in cases.as_object().unwrap() {
        let marks: Vec<String> = case["marks"]
            .as_array()
            .unwrap()
            .iter()
            .map(Value::to_string)
            .collect();
        if marks.is_empty() {
            continue;
        }
        folder.file("marks.csv", &marks.join("\n"));
        let ratio = case["ratio_bronze_silver_gold"].as_array().unwrap();
        let ratio: Vec<String> = ratio.iter().map(Value::to_string).collect();
        let top = case["top_share"].as_str().unwrap();
        for (key, tie) in TIES {
            let words = format!(
                "boundary --marks marks.csv --top {top} --ratio {} --names bronze,silver,gold --tie {tie}",
                ratio.join(":")
            );
            let found = folder.json(&words);
            assert_eq!(found["people"], json!(marks.len()), "{name}");
            assert_eq!(
                field(&found, "name"),
                json!(["gold", "silver", "bronze"]),
                "{name}"
            );
            for award in found["awards"].as_array().unwrap() {
                let expected = &case["expected"][key][award["name"].as_str().unwrap()];
                let what = format!("{name}, {key}: {award}");
                let mark = expected["lowest_mark"]
                    .as_i64()
                    .map(|mark| mark.to_string());
                assert_eq!(award["boundary"].as_str(), mark.as_deref(), "{what}");
                assert_eq!(award["count"], expected["n_this_or_better"], "{what}");
                let quota = number(expected["quota"].as_str().unwrap());
                close(award["quota"].as_f64().unwrap(), quota, 1e-12, &what);
                let people = f64::from(u32::try_from(marks.len()).unwrap());
                let share = award["count"].as_f64().unwrap() / people;
                close(award["share"].as_f64().unwrap(), share, 1e-15, &what);
            }
        }
    }
}

/// Two cohorts' totals under ten rules, fractions and totals below nought among them: `reference/README.md`.
#[test]
fn columns_of_exact_marks_come_out_as_counted_elsewhere() {
    let folder = Folder::new();
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/reference/");
    for prefix in ["tiny", "iqitems"] {
        let rows = csv::Reader::from_path(format!("{path}{prefix}_award_boundaries.csv"));
        for row in rows.unwrap().records().map(Result::unwrap) {
            for (tie, mark, people) in [("not-above", 3, 4), ("at-least", 5, 6), ("nearest", 7, 8)]
            {
                let words = format!(
                    "boundary --marks {path}{prefix}_scored.csv --column {} --tie {tie} --top 50% --ratio 3:2:1 --names bronze,silver,gold",
                    &row[0]
                );
                let found = folder.json(&words);
                let awards = found["awards"].as_array().unwrap();
                let award = awards.iter().find(|award| award["name"] == row[1]).unwrap();
                let what = format!("{words}: {award}");
                close(
                    award["quota"].as_f64().unwrap(),
                    number(&row[2]),
                    1e-9,
                    &what,
                );
                assert_eq!(award["count"].to_string(), row[people], "{what}");
                let expected = (!row[mark].is_empty()).then(|| number(&row[mark]));
                assert_eq!(award["boundary"].as_str().map(number), expected, "{what}");
            }
        }
    }
}

/// Counted by hand; computed independently, no published source.
#[test]
fn thirty_people_have_these_boundaries_and_places() {
    let folder = Folder::new();
    thirty(&folder);
    for (tie, marks, counts) in [
        ("nearest", ["20", "17", "15"], [2, 9, 17]),
        ("not-above", ["20", "18", "16"], [2, 6, 13]),
        ("at-least", ["19", "17", "15"], [4, 9, 17]),
    ] {
        let found = folder.json(&format!("boundary --marks thirty.csv --tie {tie} --top 50% --ratio 3:2:1 --names dunlin,curlew,tern"));
        assert_eq!(found["people"], json!(30), "the absent one is not a nought");
        assert_eq!(field(&found, "boundary"), json!(marks), "{tie}");
        assert_eq!(field(&found, "count"), json!(counts), "{tie}");
        assert_eq!(field(&found, "quota"), json!([2.5, 7.5, 15.0]), "{tie}");
    }
    let places = |cap: usize| {
        folder.json(&format!("boundary --marks thirty.csv --places {cap} --top 50% --ratio 3:2:1 --names dunlin,curlew,tern"))["places"].clone()
    };
    assert_eq!(places(5), json!({"cap": 5, "boundary": "19", "count": 4}));
    assert_eq!(places(8), json!({"cap": 8, "boundary": "18", "count": 6}));
    assert_eq!(places(0), json!({"cap": 0, "boundary": null, "count": 0}));
    let page = folder.page(
        "boundary --marks thirty.csv --places 5 --top 50% --ratio 3:2:1 --names dunlin,curlew,tern",
    );
    assert!(
        page.contains("5 places: 19 and above, 4 people. The next mark, 18, would make it 6."),
        "{page}"
    );
}

/// Where the lines fall in drawn groups: computed independently, no published source.
#[test]
fn a_small_group_has_a_range_beside_each_boundary() {
    let folder = Folder::new();
    thirty(&folder);
    let found = folder.json("boundary --marks thirty.csv --bootstrap 1 --top 50% --ratio 3:2:1 --names dunlin,curlew,tern");
    assert_eq!(
        field(&found, "range_80"),
        json!([["19", "22"], ["17", "18"], ["15", "16"]])
    );
    let again = folder.json("boundary --marks thirty.csv --bootstrap 1 --top 50% --ratio 3:2:1 --names dunlin,curlew,tern");
    assert_eq!(found, again);
    let page = folder.page("boundary --marks thirty.csv --tie not-above --bootstrap 7 --top 50% --ratio 3:2:1 --names dunlin,curlew,tern");
    assert!(
        page.contains("In 16 of 100 drawn groups nobody got tern."),
        "{page}"
    );
    assert!(page.contains("(seed 7)"), "{page}");
    folder.file("eight.csv", "19\n17\n16\n15\n15\n13\n11\n9\n");
    let found = folder.json("boundary --marks eight.csv --bootstrap 1 --top 50% --ratio 3:2:1 --names dunlin,curlew,tern");
    assert_eq!(field(&found, "boundary"), json!(["19", "17", "15"]));
    assert_eq!(field(&found, "range_80")[2], json!(["13", "17"]));
    let page = folder
        .page("boundary --marks eight.csv --top 50% --ratio 3:2:1 --names dunlin,curlew,tern");
    assert!(
        page.replace('\n', " ")
            .contains("drawn groups tern and curlew had the same boundary"),
        "{page}"
    );
    assert!(
        page.contains("With only 8 people a share means little"),
        "{page}"
    );
}

/// Half at 3 : 2 : 1 is 25, 16 2/3 and 8 1/3 per cent (common practice, no source).
#[test]
fn a_page_says_what_was_asked_and_what_was_got() {
    let folder = Folder::new();
    let marks: Vec<String> = (1..=120).map(|mark| mark.to_string()).collect();
    folder.file("many.csv", &format!("Mark\r\n{}\r\n", marks.join("\r\n")));
    assert_eq!(
        folder.page("boundary --marks many.csv --top 50% --ratio 3:2:1 --names dunlin,curlew,tern"),
        "120 people, marks 1 to 120\n\
         Top 50% in the ratio 3 : 2 : 1: dunlin 25%, curlew 16.67%, tern 8.33%.\n\
         Tie rule nearest: the mark at or above which the number of people is nearest the\n\
         quota; if two are equally near, the lower.\n\
         \n\
         Award   Boundary  Quota  Or better          Just this\n\
         tern         111     10         10   8.33%         10   8.33%\n\
         curlew        91     30         30  25.00%         20  16.67%\n\
         dunlin        61     60         60  50.00%         30  25.00%\n\
         none                                               60  50.00%\n\
         \n\
         Quota and \"or better\" count everyone who gets this award or a better one.\n"
    );
    folder.file("same.csv", "a;total\nx;-1/3\ny;-0.5\nz;-0.5\nw;-0.5\n");
    let page = folder.page("boundary --marks same.csv --ratio 1:1 --top 3/4 --tie at-least");
    assert!(
        page.contains("award 2 and award 1 have the same boundary"),
        "{page}"
    );
    assert!(page.contains("4 people, marks -0.5 to -1/3"), "{page}");
    let page =
        folder.page("boundary --marks same.csv --ratio 1 --names pearl --tie not-above --top 10%");
    assert!(
        page.contains("Nobody gets pearl under this tie rule."),
        "{page}"
    );
    let one = folder.page("boundary --marks same.csv --ratio 1 --top 100%");
    assert!(one.contains("Top 100%: award 100%."), "{one}");
}

#[test]
fn what_is_wrong_has_its_sentence() {
    let folder = Folder::new();
    folder.file("good.csv", "mark\n3\n4\n");
    folder.file("empty.csv", "");
    folder.file("heading.csv", "mark\n");
    folder.file("two.csv", "a,b\n1,2\n");
    folder.file("bad.csv", "name,mark\na,12\n\"b, c\",x\nd,12,4\ne\nf,1e3\n");
    for (words, code, sentence) in [
        (
            "--marks good.csv --top 120%",
            2,
            "--top 120% is more than 100%",
        ),
        (
            "--marks good.csv --top 50",
            2,
            "--top 50 is more than 100%; write a share of the group such as 40%",
        ),
        (
            "--marks good.csv --top 0%",
            2,
            "--top 0% gives nobody an award",
        ),
        ("--marks good.csv --top half", 2, "--top half isn't a share"),
        ("--marks good.csv --ratio 3:0:1", 2, "--ratio 3:0:1 has a 0"),
        (
            "--marks good.csv --ratio 3:-1",
            2,
            "--ratio 3:-1 isn't a ratio",
        ),
        (
            "--marks good.csv --top 50% --ratio 3:2:1 --names a,b",
            2,
            "--names a,b has 2 names but the ratio has 3 parts",
        ),
        (
            "--marks good.csv --top 50% --ratio 3:2:1 --names a,b,a",
            2,
            "--names a,b,a has a twice",
        ),
        (
            "--marks good.csv --tie low",
            2,
            "[possible values: not-above, at-least, nearest]",
        ),
        ("--marks good.csv --write p", 2, "--year"),
        (
            "some.session.ron",
            1,
            "some.session.ron: there's no such file",
        ),
        ("", 2, "required arguments were not provided"),
        ("--marks empty.csv", 1, "empty.csv: the file is empty"),
        (
            "--marks heading.csv",
            1,
            "heading.csv: the column has no marks",
        ),
        ("--marks none.csv", 1, "none.csv: there's no such file"),
        ("--marks .", 1, "that's a folder; name a file in it"),
        (
            "--marks two.csv",
            1,
            "there are 2 columns and none is called mark; choose one with --column",
        ),
        (
            "--marks two.csv --column c",
            1,
            "there's no column \"c\"; the first row has a, b",
        ),
    ] {
        let told = folder.refused(&format!("boundary {words}"), code);
        assert!(told.contains(sentence), "{words}: {told}");
    }
    let told = folder.refused("boundary --marks bad.csv", 1);
    for sentence in [
        "bad.csv:3:8: `x` isn't a number of marks",
        "bad.csv:4:6: this row has 3 cells but the first row has 2",
        "bad.csv:5:1: this row has 1 cell but the first row has 2",
        "bad.csv:6:3: `1e3` isn't a number of marks",
    ] {
        assert!(told.contains(sentence), "{sentence} in {told}");
    }
    assert_eq!(
        folder.json(
            "boundary --marks two.csv --column b --top 50% --ratio 3:2:1 --names dunlin,curlew,tern"
        )["people"],
        json!(1)
    );
    assert_eq!(
        folder.json(
            "boundary --marks two.csv --column 2 --top 50% --ratio 3:2:1 --names dunlin,curlew,tern"
        )["people"],
        json!(1)
    );
}

/// A reader that has seen enough is no error.
#[test]
fn a_closed_pipe_ends_quietly() {
    use std::process::{Command, Stdio};
    let folder = Folder::new();
    thirty(&folder);
    let path = folder.file("x", "").with_file_name("thirty.csv");
    let mut child = Command::new(env!("CARGO_BIN_EXE_pacebell"))
        .args(["boundary", "--top", "1/2", "--ratio", "1", "--marks"])
        .arg(path)
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let done = child.wait_with_output().unwrap();
    assert_eq!((done.status.code(), done.stderr.len()), (Some(0), 0));
}

/// The same marks, by the answers themselves: 5, 4, 3, 3, 1 and 0 right of five. A sheet that was left blank has 0;
/// who handed nothing in has no mark.
#[test]
fn a_class_answer_list_is_marked_and_gives_the_boundaries_of_its_marks() {
    let folder = Folder::new();
    folder.paper("0", &[(1, 5, "2", "0", "0")], "");
    folder.file(
        "made.key.ron",
        "(format: 1, paper: \"made\", answers: \"ABCDE\")",
    );
    let rows = [
        "a,A,B,C,D,E",
        "b,A,B,C,D,A",
        "c,A,B,C,,",
        "d,A,B,C,-,A",
        "e,A,0,0,0,0",
        "f,-,,,,",
        "g,,,,,",
    ];
    folder.file(
        "class.csv",
        &format!("pupil,1,2,3,4,5\n{}\n", rows.join("\n")),
    );
    folder.file("marks.csv", "mark\n10\n8\n6\n6\n2\n0\n");
    let by_answers = folder.json(
        "boundary --answers class.csv --paper made.paper.ron --key made.key.ron --blank-codes 0 --top 50% --ratio 3:2:1",
    );
    assert_eq!(
        by_answers,
        folder.json("boundary --marks marks.csv --top 50% --ratio 3:2:1")
    );
    assert_eq!(by_answers["people"], 6);
    let told = folder.refused("boundary --answers class.csv --key made.key.ron", 2);
    assert!(told.contains("--paper"), "{told}");
}
