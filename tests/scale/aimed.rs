//! `aim --pupil`: the chance of a mark from a pupil's sittings.

use serde_json::Value;

use crate::folder::{Folder, err, fits, out};

fn told(folder: &Folder, more: &[&str]) -> Value {
    let words = [&["aim", "saltmarsh-b", "--json"], more].concat();
    let run = folder.run(&words);
    assert_eq!(run.status.code(), Some(0), "{}", err(&run));
    serde_json::from_str(&out(&run)).unwrap()
}

#[test]
fn the_chance_is_the_forecasts_own_and_falls_with_the_mark() {
    let folder = Folder::with(3, 8);
    let of = |mark: &str| told(&folder, &["--mark", mark, "--pupil", "otter"]);
    let chance = |told: &Value| told["chance"].as_f64().unwrap();
    let [low, middle, high] = ["40", "60", "100"].map(of);
    assert!(chance(&low) > chance(&middle) && chance(&middle) > chance(&high));
    let run = folder.run(&["forecast", "otter", "--paper", "saltmarsh-b", "--json"]);
    let forecast: Value = serde_json::from_str(&out(&run)).unwrap();
    let above = forecast["marks"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|one| one["marks"].as_str().unwrap().parse::<f64>().unwrap() >= 60.0);
    let sum: f64 = above.map(|one| one["chance"].as_f64().unwrap()).sum();
    assert!((sum - chance(&middle)).abs() < 1e-9);
    let pupil = &middle["pupil"];
    assert_eq!(
        (&pupil["alias"], &pupil["full_sittings"]),
        (&"otter".into(), &3.into())
    );
    assert!(pupil["range_80"].is_null());
    // The mean of the marks is that of the single chances, where nothing is lost for a wrong answer.
    let marks = |number: u64| {
        if number <= 10 {
            4.0
        } else if number <= 20 {
            5.0
        } else {
            7.0
        }
    };
    let singles = pupil["chances"].as_array().unwrap();
    let mean: f64 = singles
        .iter()
        .map(|one| one["chance"].as_f64().unwrap() * marks(one["number"].as_u64().unwrap()))
        .sum();
    assert!(
        (mean - pupil["expected"].as_f64().unwrap()).abs() < 1e-6,
        "{mean}"
    );
}

#[test]
fn the_page_says_from_how_many_sittings_and_the_chance_in_tenths() {
    let folder = Folder::with(3, 8);
    let page = out(&folder.run(&[
        "aim",
        "saltmarsh-b",
        "--award",
        "dunlin",
        "--pupil",
        "otter",
    ]));
    fits(&page);
    let flat = page.split_whitespace().collect::<Vec<_>>().join(" ");
    for words in [
        "From 3 marked sittings of otter (3 of a whole paper) and 8 sittings of others:",
        "chance of 52 or more: ",
        "A practice estimate, not an official result.",
        "and the chance",
    ] {
        assert!(flat.contains(words), "{words}\n{page}");
    }
}

#[test]
fn too_few_sittings_and_wrong_words_are_told_with_the_way_out() {
    let folder = Folder::with(1, 2);
    let one = told(&folder, &["--mark", "60", "--pupil", "otter"]);
    assert!(one["chance"].is_null());
    assert_eq!(
        one["pupil"]["declined"],
        "No chance yet for otter: it takes 2 marked sittings of whole papers with different questions, and there is 1 here."
    );
    assert!(told(&folder, &["--mark", "60"])["pupil"].is_null());
    let none = folder.run(&["aim", "saltmarsh-b", "--mark", "60", "--pupil", "heron"]);
    assert_eq!(none.status.code(), Some(0), "{}", err(&none));
    assert!(
        out(&none).contains("No chance yet for heron"),
        "{}",
        out(&none)
    );
    let both = folder.run(&[
        "aim",
        "saltmarsh-b",
        "--mark",
        "60",
        "--pupil",
        "otter",
        "--chance",
        "1,1,1",
    ]);
    assert_eq!(both.status.code(), Some(2));
    assert!(err(&both).contains("cannot be used with"), "{}", err(&both));
}
