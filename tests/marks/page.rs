//! What is printed when all goes well; every mark worked out by hand.

use std::process::Stdio;

use pacebell::storage::journal::line::{Chain, write_header};
use serde_json::{Value, json};

use crate::made::{Made, STRICTER, code, err, out};

fn read(text: &str) -> Value {
    serde_json::from_str(text).unwrap()
}

#[test]
fn one_sitting_is_a_page() {
    let made = Made::new();
    made.session("otter");
    let output = made.mark(&["otter.session.ron"]);
    assert_eq!((code(&output), err(&output)), (Some(0), String::new()));
    let page = out(&output);
    for line in [
        "otter: Heron paper",
        "20 Nov 2026, 09:00. 10 minutes allowed, 7 min 10 s used. Finished early.",
        "Mark in time          15  of 33",
        "Worked out            11  of 33  (guesses counted as blank)",
        "1-3          2      1      0     0      8  12",
        "dunlin     8  reached",
        "curlew    18  3 short",
        "For curlew in time: one more right in 1-3, or one in 4-6.",
        "1 guess (in time): about 0.8 marks expected, 4 came; this much or more happens",
        "- Check this year's rules first: nobody has recorded a check.",
    ] {
        assert!(page.lines().any(|own| own == line), "{line}\n{page}");
    }
    assert!(
        page.lines().all(|line| line.chars().count() <= 80),
        "{page}"
    );
}

#[test]
fn json_is_an_object_for_one_and_a_list_for_several() {
    let made = Made::new();
    made.session("otter");
    made.session("heron");
    let one = read(&out(&made.mark(&["otter.session.ron", "--json"])));
    assert_eq!(
        one["mark"],
        json!({"in_time": "15", "with_guess_round": "15", "worked": "11", "max": "33"})
    );
    assert_eq!(one["questions"][0]["seconds"], json!(65.0));
    let both = read(&out(&made.mark(&[
        "otter.session.ron",
        "heron.session.ron",
        "--json",
    ])));
    let pupils: Vec<_> = both
        .as_array()
        .unwrap()
        .iter()
        .map(|one| &one["pupil"])
        .collect();
    assert_eq!(pupils, ["otter", "heron"]);
}

#[test]
fn marks_that_nobody_made_say_so() {
    let made = Made::new();
    let mut header = made.header("sitting-of-otter", "otter");
    header.invented = true;
    let line = write_header(&header, &mut Chain::default()).unwrap();
    made.write("otter.session.ron", &line);
    let notice = "Invented data: made with pacebell demo.";
    let page = out(&made.mark(&["otter.session.ron"]));
    assert!(page.contains(notice), "{page}");
    let table = out(&made.mark(&["otter.session.ron", "otter.session.ron"]));
    assert_eq!(table.matches(notice).count(), 1, "{table}");
    made.session("heron");
    let table = out(&made.mark(&["otter.session.ron", "heron.session.ron"]));
    assert!(
        table.contains(&format!("otter, 20 Nov 2026 09:00: {notice}")),
        "{table}"
    );
    let aside = err(&made.mark(&["otter.session.ron", "--json"]));
    assert!(aside.contains(notice), "{aside}");
}

#[test]
fn several_sittings_are_a_table() {
    let made = Made::new();
    made.session("otter");
    made.session("heron");
    let table = out(&made.mark(&["otter.session.ron", "heron.session.ron"]));
    assert!(
        table.contains("\nheron  20 Nov 2026       15            15      11  33  dunlin\n"),
        "{table}"
    );
}

/// 3 + 4 - 1/4 + 4 + 7 = 17.75 of 36.
#[test]
fn another_papers_rule_can_be_held_against_it() {
    let made = Made::new();
    made.session("otter");
    made.write("old.paper.ron", STRICTER);
    let words = ["otter.session.ron", "--under", "old.paper.ron"];
    let page = out(&made.mark(&words));
    assert!(page.contains("Mark in time          15  of 33"));
    assert!(page.contains(
        "\nUnder the rule of Heron paper, last decade this is 17.75 of 36 in time, 13.75"
    ));
    let json = read(&out(&made.mark(&[&words[..], &["--json"]].concat())));
    assert_eq!(json["mark"]["in_time"], "71/4");
    assert_eq!(json["own_rule"]["in_time"], "15");
    assert_eq!(json["under"]["paper"], "heron-old");
}

#[test]
fn a_reader_that_goes_away_is_no_trouble() {
    let made = Made::new();
    made.session("otter");
    let mut command = made.command("heron.key.ron", &["otter.session.ron"]);
    let mut child = command
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let output = child.wait_with_output().unwrap();
    assert_eq!((code(&output), err(&output)), (Some(0), String::new()));
}
