//! `aim` through the front door: what a mark takes, and the chance of it.
#![cfg(test)]

mod told;

use serde_json::{Value, json};
use told::{Folder, close};

/// Twenty-five questions worth one mark, nothing lost, in four sections.
const PLAIN: [told::Section<'static>; 4] = [
    (1, 10, "1", "0", "0"),
    (11, 15, "1", "0", "0"),
    (16, 20, "1", "0", "0"),
    (21, 25, "1", "0", "0"),
];

fn chance(folder: &Folder, mark: &str, chances: &str) -> f64 {
    let found = folder.json(&format!(
        "aim made.paper.ron --mark={mark} --chance {chances}"
    ));
    found["chance"].as_f64().unwrap()
}

/// Fifteen at 5 and ten at 6, from the front and over any questions (common practice, no source);
/// the combinations were written out by hand.
#[test]
fn fifteen_at_five_and_ten_at_six_take_these() {
    let folder = Folder::new();
    folder.paper("0", &[(1, 15, "5", "0", "0"), (16, 25, "6", "0", "0")], "");
    for (mark, in_order, fewest) in [
        (95, 19, 17),
        (108, 21, 20),
        (71, 15, 13),
        (56, 12, 10),
        (42, 9, 7),
    ] {
        let found = folder.json(&format!("aim made.paper.ron --mark {mark}"));
        let expected = json!([mark.to_string(), "135", fewest, in_order, Value::Null]);
        let fields =
            ["mark", "max", "fewest_right", "in_order", "chance"].map(|name| found[name].clone());
        assert_eq!(json!(fields), expected);
    }
    let found = folder.json("aim made.paper.ron --mark 95");
    let combinations = json!([[7, 10], [9, 9], [10, 8], [11, 7], [12, 6], [13, 5], [15, 4]]);
    assert_eq!(found["combinations"], combinations);
    let beyond = folder.json("aim made.paper.ron --mark 136");
    assert_eq!(
        (&beyond["fewest_right"], &beyond["in_order"]),
        (&Value::Null, &Value::Null)
    );
    assert_eq!(beyond["combinations"], json!([]));
}

/// Start marks, blanks that earn, thirds, marks below nought.
#[test]
fn other_rules_come_out_right_too() {
    let folder = Folder::new();
    // A blank paper has 2 + 3 * 1/3 = 3; each right one adds 7/3.
    folder.paper("2", &[(1, 3, "8/3", "-1", "1/3")], "");
    let found = folder.json("aim made.paper.ron --mark 23/3");
    assert_eq!(
        (&found["fewest_right"], &found["combinations"]),
        (&json!(2), &json!([[2]]))
    );
    assert_eq!(
        (&found["mark"], &found["max"]),
        (&json!("23/3"), &json!("10"))
    );
    assert_eq!(
        folder.json("aim made.paper.ron --mark 3")["in_order"],
        json!(0)
    );
    folder.paper("-4", &[(1, 2, "1", "-2", "-1/2")], "");
    let found = folder.json("aim made.paper.ron --mark=-3");
    assert_eq!(
        (&found["mark"], &found["combinations"]),
        (&json!("-3"), &json!([[2]]))
    );
    // Both tried with an even chance: 1, -2 or -5 on top of -4.
    close(
        chance(&folder, "-5", "0.5"),
        0.75,
        1e-12,
        "one right at the least",
    );
    close(
        chance(&folder, "-8", "1-2:0"),
        1.0,
        1e-12,
        "both wrong is -8 for certain",
    );
}

/// Sections at .9, .7, .4, .2: computed independently, no published source.
#[test]
fn the_chance_of_a_mark_is_exact() {
    let folder = Folder::new();
    folder.paper("0", &PLAIN, "");
    let tails = [
        0.9777, 0.9349, 0.8449, 0.6963, 0.5035, 0.3084, 0.1550, 0.0622, 0.0194,
    ];
    for (mark, tail) in (12..).zip(tails) {
        close(
            chance(&folder, &mark.to_string(), "0.9,0.7,0.4,0.2"),
            tail,
            5.1e-5,
            "by section",
        );
    }
    for (mark, tail) in (15..).zip([0.5108, 0.2921, 0.1262, 0.0381]) {
        let left = chance(&folder, &mark.to_string(), "1-10:0.9,11-15:0.7,16-20:0.4");
        close(left, tail, 5.1e-5, "the last five left blank");
    }
    for (mark, good, wide) in [
        (13, 0.961, 0.882),
        (14, 0.883, 0.763),
        (15, 0.726, 0.598),
        (16, 0.501, 0.410),
        (17, 0.276, 0.240),
        (18, 0.117, 0.117),
    ] {
        let mark = mark.to_string();
        close(
            chance(&folder, &mark, "1-15:0.9,16-25:guess"),
            good,
            5.1e-4,
            "the first fifteen well",
        );
        close(
            chance(&folder, &mark, "1-15:80%,16-25:3/10"),
            wide,
            5.1e-4,
            "wider and thinner",
        );
    }
    let weighted = [
        (1, 10, "5", "0", "0"),
        (11, 15, "6", "0", "0"),
        (16, 20, "7", "0", "0"),
        (21, 25, "8", "0", "0"),
    ];
    folder.paper("0", &weighted, "");
    for (mark, tail) in [("80", 0.7334), ("90", 0.4568), ("100", 0.1818)] {
        close(
            chance(&folder, mark, "0.9,0.7,0.4,0.2"),
            tail,
            5.1e-5,
            "sections of other worth",
        );
    }
    assert_eq!(folder.json("aim made.paper.ron --mark 80")["max"], "155");
}

/// The least that must be certain, the rest guessed: computed independently, no published source.
#[test]
fn so_many_must_be_certain_when_the_rest_is_guessed() {
    let folder = Folder::new();
    folder.paper("0", &PLAIN, "");
    for (line, table) in [
        (12, [9, 10, 11, 11]),
        (13, [10, 11, 12, 13]),
        (15, [13, 14, 14, 15]),
        (17, [15, 16, 17, 17]),
        (20, [19, 20, 20, 20]),
    ] {
        for (wanted, certain) in [0.5, 0.8, 0.9, 0.95].iter().zip(table) {
            let with = |certain: u16| {
                let chances = format!("1-{certain}:1,{}-25:guess", certain + 1);
                chance(&folder, &line.to_string(), &chances)
            };
            assert!(with(certain) >= *wanted, "{line} at {wanted}");
            assert!(with(certain - 1) < *wanted, "{line} at {wanted}, one less");
        }
    }
    // The same where what is tried is right 85 times in 100.
    for (line, table) in [(12, [11, 13, 14]), (15, [15, 17, 19]), (17, [18, 21, 22])] {
        for (wanted, tried) in [0.5, 0.8, 0.9].iter().zip(table) {
            let with = |tried: u16| {
                let chances = format!("1-{tried}:.85,{}-25:guess", tried + 1);
                chance(
                    &folder,
                    &line.to_string(),
                    &chances.replace(":.85", ":0.85"),
                )
            };
            assert!(with(tried) >= *wanted, "{line} at {wanted}");
            assert!(with(tried - 1) < *wanted, "{line} at {wanted}, one less");
        }
    }
}

/// The change in the chance was worked out by another program.
#[test]
fn a_page_has_the_table_and_the_picture() {
    let folder = Folder::new();
    let awards = "    awards: [(name: \"dunlin\", boundary: 42), (name: \"curlew\", boundary: 71), (name: \"tern\", boundary: 95)],\n";
    folder.paper(
        "0",
        &[(1, 15, "5", "0", "0"), (16, 25, "6", "-1", "0")],
        awards,
    );
    let page = folder.page("aim made.paper.ron --award Tern --chance 0.9,0.5");
    for line in [
        "95 of 135 marks (tern)",
        "Fewest right, over any questions  17",
        "From question 1 on, no gaps       the first 19",
        "16-25           10      6     -1      0  +6 (for a wrong one +7)  +11 in 100",
        "All 7 combinations (with one fewer right, it falls short):",
        "  10 |  d  d  d  C  c  c  c  #  #  t  t  t  t  t  t  t",
        "   8 |  d  d  d  d  d  C  c  c  c  c  #  t  t  t  t  t",
        "   0 |  .  .  .  .  .  .  .  .  .  D  d  d  d  d  d  C",
        "        0  1  2  3  4  5  6  7  8  9 10 11 12 13 14 15",
        "      right in 1-15",
        "# 95 marks, the aim, D dunlin 42, C curlew 71, t tern, . below. Capital letters",
        "! Check this year's rules first: nobody has recorded a check.",
    ] {
        assert!(page.lines().any(|own| own == line), "{line} in\n{page}");
    }
    let reached = folder.page("aim made.paper.ron --mark 0");
    assert!(
        reached.contains("A blank paper already gets there: 0 marks."),
        "{reached}"
    );
    let beyond = folder.page("aim made.paper.ron --mark 140");
    assert!(
        beyond.contains("Out of reach: with every question right the mark is 135."),
        "{beyond}"
    );
}

/// One section, three, and more than fit beside one another: every page keeps to 80 columns.
#[test]
fn papers_of_any_shape_have_their_page() {
    let folder = Folder::new();
    folder.paper("0", &[(1, 50, "1", "0", "0")], "");
    let one = folder.page("aim made.paper.ron --mark 30");
    assert!(one.contains("Right in 1-50, and what it reaches:"), "{one}");
    folder.paper(
        "0",
        &[
            (1, 10, "4", "0", "0"),
            (11, 20, "5", "0", "0"),
            (21, 25, "7", "0", "0"),
        ],
        "",
    );
    let three = folder.page("aim made.paper.ron --mark 97");
    assert!(
        three.contains("with 2 right in 21-25 (--others changes"),
        "{three}"
    );
    let four = folder.page("aim made.paper.ron --mark 97 --others 4");
    assert!(four.contains("with 4 right in 21-25"), "{four}");
    let many: Vec<_> = (1..=30)
        .map(|number| (number, number, "1", "0", "0"))
        .collect();
    folder.paper("0", &many, "");
    let page = folder.page("aim made.paper.ron --mark 29");
    assert!(page.contains("All 30 combinations"), "{page}");
    let page = folder.page("aim made.paper.ron --mark 15");
    assert!(
        page.contains("There are more than 100000 combinations"),
        "{page}"
    );
    assert_eq!(
        folder.json("aim made.paper.ron --mark 15")["combinations"],
        Value::Null
    );
    folder.paper(
        "0",
        &[(1, 100, "1", "0", "0"), (101, 200, "2", "0", "0")],
        "",
    );
    let large = folder.page("aim made.paper.ron --mark 150");
    assert!(large.contains("right in 1-100"), "{large}");
}

#[test]
fn words_that_do_not_fit_have_their_sentence() {
    let folder = Folder::new();
    folder.paper(
        "0",
        &[
            (1, 10, "4", "0", "0"),
            (11, 20, "5", "0", "0"),
            (21, 25, "7", "0", "0"),
        ],
        "",
    );
    for (words, sentence) in [
        (
            "--award tern",
            "the paper has no awards; add them to its field `awards`",
        ),
        ("--mark x", "`x` isn't a number of marks"),
        (
            "--mark 5 --chance 0.5",
            "--chance 0.5 has 1 chance but the paper has 3 sections",
        ),
        (
            "--mark 5 --chance 0.5,0.5,1.5",
            "a chance of 1.5 is above 1",
        ),
        (
            "--mark 5 --chance 1-26:0.5",
            "the paper has no question 26; its questions are 1 to 25",
        ),
        ("--mark 5 --chance 1-3:1,3:0", "question 3 is there twice"),
        (
            "--mark 5 --others 1,2",
            "the paper has 1 section after the second",
        ),
        (
            "--mark 5 --others 6",
            "\"6\" cannot be the number right in 21-25; write a number from 0 to 5",
        ),
        ("", "required arguments were not provided"),
        ("--mark 5 --award tern", "cannot be used with"),
    ] {
        let told = folder.refused(&format!("aim made.paper.ron {words}"), 2);
        assert!(told.contains(sentence), "{words}: {told}");
    }
    folder.paper(
        "0",
        &[(1, 25, "4", "0", "0")],
        "    awards: [(name: \"shell\", boundary: 5), (name: \"pearl\", boundary: 9)],\n",
    );
    let told = folder.refused("aim made.paper.ron --award tern", 2);
    assert!(
        told.contains("the paper has no award of that name; its awards are shell, pearl"),
        "{told}"
    );
}
