//! `luck` through the front door: exact totals, guessing tables, sentences.
#![cfg(test)]

mod told;
#[path = "luck/totals.rs"]
mod totals;

use serde_json::Value;
use told::{Folder, Section, close};

/// Twenty-five questions worth one mark, nothing lost.
const PLAIN: [Section<'static>; 1] = [(1, 25, "1", "0", "0")];

/// A decimal or a fraction.
fn number(text: &str) -> f64 {
    let part = |text: &str| text.parse::<f64>().unwrap();
    text.split_once('/')
        .map_or_else(|| part(text), |(top, bottom)| part(top) / part(bottom))
}

/// The chance of so many marks or more.
fn at_least(found: &Value, marks: f64) -> f64 {
    let all = found["distribution"].as_array().unwrap().iter().rev();
    let reached = all.filter(|total| number(total["marks"].as_str().unwrap()) > marks - 1e-9);
    reached.map(|total| total["chance"].as_f64().unwrap()).sum()
}

fn expected(found: &Value) -> f64 {
    found["expected"].as_f64().unwrap()
}

/// What a guess gains over a blank with 5, 4, 3 and 2 options left: arithmetic, r/m + w(1 - 1/m) - b;
/// a blind one at 5 and at 6 marks is worth 1 and 1.2 (common practice, no source).
#[test]
fn a_guess_is_worth_what_the_table_says() {
    let table = [
        (("1", "0", "0"), [0.2, 0.25, 1.0 / 3.0, 0.5]),
        (("1", "-0.25", "0"), [0.0, 0.0625, 1.0 / 6.0, 0.375]),
        (("4", "-1", "0"), [0.0, 0.25, 2.0 / 3.0, 1.5]),
        (("3", "-1", "0"), [-0.2, 0.0, 1.0 / 3.0, 1.0]),
        (("1", "-1", "0"), [-0.6, -0.5, -1.0 / 3.0, 0.0]),
        (("1", "0", "0.2"), [0.0, 0.05, 1.0 / 3.0 - 0.2, 0.3]),
        (("6", "0", "1.5"), [-0.3, 0.0, 0.5, 1.5]),
        (("5", "0", "2"), [-1.0, -0.75, -1.0 / 3.0, 0.5]),
        (("5", "0", "0"), [1.0, 1.25, 5.0 / 3.0, 2.5]),
        (("6", "0", "0"), [1.2, 1.5, 2.0, 3.0]),
    ];
    let folder = Folder::new();
    for ((right, wrong, blank), gains) in table {
        folder.paper("0", &[(1, 4, right, wrong, blank)], "");
        for (left, gain) in (2..=5).rev().zip(gains) {
            let words = format!("luck made.paper.ron --guesses 3 --options-left 3:{left}");
            let found = folder.json(&words);
            close(expected(&found) - number(blank), gain, 1e-12, &words);
        }
    }
    // Quarter off: the spread of one guess with 5 to 2 options left (computed independently, no published source).
    folder.paper("0", &[(1, 4, "1", "-1/4", "0")], "");
    for (left, sd) in [(5, 0.5), (4, 0.541), (3, 0.589), (2, 0.625)] {
        let found = folder.json(&format!(
            "luck made.paper.ron --guesses 1 --options-left 1:{left}"
        ));
        close(
            found["sd"].as_f64().unwrap(),
            sd,
            5.1e-4,
            "spread of one guess",
        );
    }
}

/// Computed independently, no published source.
#[test]
fn blind_guesses_by_the_handful_have_these_tails() {
    let folder = Folder::new();
    folder.paper("0", &PLAIN, "");
    let found = folder.json("luck made.paper.ron --guesses 16-25");
    close(expected(&found), 2.0, 1e-12, "ten");
    close(found["sd"].as_f64().unwrap(), 1.265, 5e-4, "ten");
    for (marks, tail) in [
        (1.0, 0.8926),
        (2.0, 0.6242),
        (3.0, 0.3222),
        (4.0, 0.1209),
        (5.0, 0.0328),
    ] {
        close(at_least(&found, marks), tail, 5.1e-5, "ten");
    }
    for (index, chance) in [0.1074, 0.2684, 0.3020, 0.2013, 0.0881, 0.0264, 0.0055]
        .iter()
        .enumerate()
    {
        close(
            found["distribution"][index]["chance"].as_f64().unwrap(),
            *chance,
            5.1e-5,
            "ten",
        );
    }
    let found = folder.json("luck made.paper.ron --guesses 1-5");
    close(
        found["distribution"][0]["chance"].as_f64().unwrap(),
        0.3277,
        5e-5,
        "five",
    );
    let found = folder.json("luck made.paper.ron --guesses 1-25");
    for (marks, tail) in [(8.0, 0.1091), (9.0, 0.0468), (10.0, 0.0173)] {
        close(at_least(&found, marks), tail, 5.1e-5, "a whole paper");
    }
    let found = folder.json("luck made.paper.ron --guesses 1-10 --options-left 1-2:2,3-5:3");
    close(expected(&found), 3.0, 1e-12, "options crossed out");
    close(
        found["sd"].as_f64().unwrap(),
        1.402,
        5e-4,
        "options crossed out",
    );
    for (marks, tail) in [(1.0, 0.9757), (3.0, 0.6238), (5.0, 0.1420)] {
        close(at_least(&found, marks), tail, 5.1e-5, "options crossed out");
    }
}

/// At 14 with 15 wanted and a quarter off, one guess may be best: computed independently, no
/// published source.
#[test]
fn near_a_boundary_more_guesses_are_not_always_better() {
    let folder = Folder::new();
    folder.paper("0", &[(1, 25, "1", "-1/4", "0")], "");
    for (guesses, chance) in (1..=6).zip([0.2, 0.04, 0.104, 0.181, 0.263, 0.345]) {
        let last = 14 + guesses;
        let words = format!("luck made.paper.ron --total --right 1-14 --guesses 15-{last}");
        close(at_least(&folder.json(&words), 15.0), chance, 5.1e-4, &words);
    }
}

#[test]
fn chances_may_be_given_and_keys_count() {
    let folder = Folder::new();
    folder.paper("3", &PLAIN, "");
    folder.file(
        "voided.key.ron",
        "(format: 1, paper: \"made\", answers: \"AAAAAAAAAAAAAAAAAAAAAAAAA\", also_right: {2: \"BC\"}, void: {3: dropped, 4: credited})",
    );
    let mean = |words: &str| expected(&folder.json(&format!("luck made.paper.ron {words}")));
    close(
        mean("--guesses 1-4 --chance 30%"),
        1.2,
        1e-12,
        "one chance for all",
    );
    close(
        mean("--guesses 1-4 --chance 1:1,2-3:1/4"),
        1.7,
        1e-12,
        "by question",
    );
    close(
        mean("--guesses 1-4 --chance 0.5 --options-left 4:1"),
        2.5,
        1e-12,
        "options left go first",
    );
    close(
        mean("--guesses 1-4 --key voided.key.ron"),
        0.8,
        1e-12,
        "two void, one with three answers",
    );
    close(
        mean("--guesses 1-4 --key voided.key.ron --total"),
        4.8,
        1e-12,
        "start and credit too",
    );
}

/// Labels of another number, thirds of a mark, and a paper without names for its sections.
#[test]
fn other_papers_come_out_right_too() {
    let folder = Folder::new();
    let text = "(format: 1, id: \"o\", title: \"O\", minutes: 20, options: \"1234\", rule: (sections: [(first: 1, last: 3, right: \"2/3\", wrong: \"-1/6\")]), questions: [(), (labels: \"XY\"), ()])";
    folder.file("other.paper.ron", text);
    let found = folder.json("luck other.paper.ron --guesses 1,2");
    let distribution = found["distribution"].as_array().unwrap();
    let marks: Vec<_> = distribution
        .iter()
        .map(|total| total["marks"].as_str().unwrap())
        .collect();
    assert_eq!(marks, ["-1/3", "1/2", "4/3"]);
    close(expected(&found), 1.0 / 24.0 + 0.25, 1e-12, "by hand");
    // A mark of a millionth and one of a million share no grid of any size that can be held.
    folder.paper(
        "0",
        &[(1, 2, "1000000", "0", "0"), (3, 3, "0.000001", "0", "0")],
        "",
    );
    let told = folder.refused("luck made.paper.ron --guesses 1-3", 1);
    assert!(told.contains("too fine and too far apart"), "{told}");
    assert_eq!(
        folder.json("luck made.paper.ron --guesses 1-2")["distribution"][2]["marks"],
        "2000000"
    );
}

#[test]
fn a_page_says_what_is_counted() {
    let folder = Folder::new();
    folder.paper(
        "0",
        &[(1, 15, "6", "0", "3/2"), (16, 25, "6", "-1", "0")],
        "",
    );
    let page = folder.page("luck made.paper.ron --guesses 3,16");
    assert_eq!(
        page,
        "Made up\n\
         ! Check this year's rules first: nobody has recorded a check.\n\
         2 guesses: 3, 16\n\
         \n\
         On average 1.60 marks, give or take 3.69 (SD). Median -1, most likely -1.\n\
         Left blank, these questions give exactly 1.5.\n\
         \n\
         Marks  Chance  This or more\n\
         \u{20}  -1  64.00%       100.00%  ########################################\n\
         \u{20}   5  16.00%        36.00%  ##########\n\
         \u{20}   6  16.00%        20.00%  ##########\n\
         \u{20}  12   4.00%         4.00%  ###\n\
         \n\
         Marks for these guesses alone, without start marks or other questions (--total\n\
         adds them).\n"
    );
    let long = folder.page("luck made.paper.ron --guesses 1-25 --total");
    assert!(
        long.contains("each less likely than 1 in 1000; --json has all."),
        "{long}"
    );
    assert!(long.contains("Marks of the whole paper"), "{long}");
}

#[test]
fn words_that_do_not_fit_have_their_sentence() {
    let folder = Folder::new();
    folder.paper("0", &PLAIN, "");
    for (words, code, sentence) in [
        (
            "--guesses 3,26",
            2,
            "the paper has no question 26; its questions are 1 to 25",
        ),
        ("--guesses 0", 2, "the paper has no question 0"),
        (
            "--guesses 3,1-5",
            2,
            "question 3 is there twice; write it once",
        ),
        (
            "--guesses 9-3",
            2,
            "9-3 goes backwards; write the lower number first, 3-9",
        ),
        ("--guesses x", 2, "\"x\" isn't a question or a range"),
        ("--guesses ,", 2, "--guesses has no questions in it"),
        (
            "--guesses 3 --chance 1.2",
            2,
            "a chance of 1.2 is above 1; write a number from 0 to 1",
        ),
        (
            "--guesses 3 --chance 120%",
            2,
            "a chance of 120% is above 1",
        ),
        (
            "--guesses 3 --chance=-0.1",
            2,
            "a chance of -0.1 is below 0",
        ),
        ("--guesses 3 --chance maybe", 2, "\"maybe\" isn't a chance"),
        ("--guesses 3 --chance NaN", 2, "\"NaN\" isn't a chance"),
        (
            "--guesses 3 --options-left 3:6",
            2,
            "question 3 cannot have \"6\" options left; write a number from 1 to 5",
        ),
        (
            "--guesses 3 --options-left 4:2",
            2,
            "question 4 isn't one of the guesses; add it to --guesses",
        ),
        ("--guesses 3 --options-left 3", 2, "\"3\" has no colon"),
        (
            "--guesses 3 --total --right 3",
            2,
            "question 3 is both guessed and known to be right",
        ),
        (
            "--guesses 3 --key none.key.ron",
            1,
            "none.key.ron: there's no such file",
        ),
    ] {
        let told = folder.refused(&format!("luck made.paper.ron {words}"), code);
        assert!(told.contains(sentence), "{words}: {told}");
    }
    let told = folder.refused("luck none.paper.ron --guesses 3", 1);
    assert!(
        told.contains("none.paper.ron: there's no such file"),
        "{told}"
    );
}
