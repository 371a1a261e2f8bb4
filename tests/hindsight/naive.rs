//! The same once more through the front door: a folder with only the files that lay there before a sitting, `forecast`
//! in it, and the mark by `mark`.

use std::fs;
use std::path::{Path, PathBuf};

use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;
use serde_json::Value;
use statrs::distribution::{Binomial, DiscreteCDF};

use crate::folder::{Folder, err, fits, key, out};
use crate::season::{Pupil, share, write};

/// A file of a sitting: pupil, day and paper, as its name has them.
struct File {
    path: PathBuf,
    pupil: String,
    day: i64,
    paper: String,
}

fn files(folder: &Folder) -> Vec<File> {
    let mut found = Vec::new();
    for pupil in fs::read_dir(folder.path("sessions")).unwrap() {
        let pupil = pupil.unwrap();
        for file in fs::read_dir(pupil.path()).unwrap() {
            let path = file.unwrap().path();
            let name = path.file_name().unwrap().to_str().unwrap().to_owned();
            let (day, paper) = name.split_once('-').unwrap();
            found.push(File {
                pupil: pupil.file_name().into_string().unwrap(),
                day: day.parse().unwrap(),
                paper: paper.trim_end_matches(".session.ron").to_owned(),
                path,
            });
        }
    }
    found
}

/// A term of so many pupils, each of whom sits so many weeks.
fn term(pupils: usize, weeks: i64) -> Folder {
    let made = Folder::new();
    let mut random = ChaCha8Rng::seed_from_u64(8);
    for number in 0..pupils {
        let pupil = Pupil::drawn(&mut random);
        for week in 0..weeks {
            let paper = made.paper_of(week);
            let sitting = pupil.sits(25, share(&paper), &mut random);
            let (sessions, name) = (made.path("sessions"), format!("pupil-{number}"));
            write(&sessions, &name, week, &paper, &key(), &sitting);
        }
    }
    made
}

fn json(folder: &Folder, words: &[&str]) -> Value {
    let run = folder.run(words);
    assert_eq!(run.status.code(), Some(0), "{words:?}: {}", err(&run));
    serde_json::from_str(&out(&run)).unwrap()
}

fn marks(value: &Value) -> f64 {
    let text = value.as_str().unwrap();
    let (top, bottom) = text.split_once('/').unwrap_or((text, "1"));
    top.parse::<f64>().unwrap() / bottom.parse::<f64>().unwrap()
}

/// What was forecast before a file was there: nothing where that was declined.
fn forecast_before(all: &[File], one: &File) -> Option<(f64, f64)> {
    let before = Folder::new();
    for day in 0..=one.day {
        before.paper_of(day);
    }
    // A made-up season has one day a week for everybody.
    for file in all.iter().filter(|file| file.day < one.day) {
        let to = before.path("sessions").join(&file.pupil);
        fs::create_dir_all(&to).unwrap();
        fs::copy(&file.path, to.join(file.path.file_name().unwrap())).unwrap();
    }
    let words = ["forecast", &one.pupil, "--paper", &one.paper, "--json"];
    let said = json(&before, &words);
    let range = &said["interval_80"];
    (!range.is_null()).then(|| (marks(&range["low"]), marks(&range["high"])))
}

fn mark_of(folder: &Folder, path: &Path) -> f64 {
    let marked = json(folder, &["mark", path.to_str().unwrap(), "--json"]);
    let mark = marked.get(0).unwrap_or(&marked)["mark"]["in_time"].clone();
    marks(&mark)
}

#[test]
fn it_is_what_forecast_said_in_a_folder_without_the_later_files() {
    let folder = term(3, 4);
    let all = files(&folder);
    let seen = json(&folder, &["hindsight", "--json"]);
    let sittings = seen["sittings"].as_array().unwrap();
    assert_eq!(sittings.len(), all.len());
    let (mut judged, mut inside, mut declined) = (0, 0, 0);
    for file in &all {
        let id = format!("{}-{}", file.pupil, file.day);
        let own = sittings.iter().find(|own| own["sitting"] == *id).unwrap();
        let mark = mark_of(&folder, &file.path);
        assert!((marks(&own["mark"]) - mark).abs() < 1e-9, "{own}");
        let Some((low, high)) = forecast_before(&all, file) else {
            declined += 1;
            assert_eq!(own["not_forecast"], "too_few", "{own}");
            continue;
        };
        judged += 1;
        let holds = (low..=high).contains(&mark);
        inside += usize::from(holds);
        let range = &own["interval_80"];
        let ends = (marks(&range["low"]), marks(&range["high"]));
        assert_eq!(
            (ends, &own["inside"]),
            ((low, high), &holds.into()),
            "{own}"
        );
    }
    assert_eq!(
        (&seen["judged"], &seen["inside"], &seen["not_forecast"]),
        (&judged.into(), &inside.into(), &declined.into())
    );
    assert!(judged >= 6 && declined == 6, "{judged} {declined}");
    // The middle 95 in 100 of the binomial distribution, by its cumulated chances.
    let binomial = Binomial::new(0.8, judged).unwrap();
    let low = (0..=judged).find(|count| binomial.cdf(*count) > 0.025);
    let high = (0..=judged).find(|count| binomial.cdf(*count) >= 0.975);
    assert_eq!(
        (&seen["expected"]["low"], &seen["expected"]["high"]),
        (&low.into(), &high.into())
    );
}

#[test]
fn a_pupil_is_a_part_of_the_group() {
    let folder = term(3, 4);
    let group = json(&folder, &["hindsight", "--json"]);
    let mut sums = [0, 0, 0];
    for part in group["pupils"].as_array().unwrap() {
        let name = part["name"].as_str().unwrap();
        let own = json(&folder, &["hindsight", name, "--json"]);
        for (sum, count) in sums.iter_mut().zip(["judged", "inside", "not_forecast"]) {
            assert_eq!(own[count], part[count], "{name} {count}");
            *sum += own[count].as_u64().unwrap();
        }
        assert_eq!(own["pupil"], name);
        assert_eq!(own["widening"], group["widening"], "the group's");
    }
    let whole = ["judged", "inside", "not_forecast"].map(|count| group[count].as_u64().unwrap());
    assert_eq!(sums, whole);
    let bands = group["bands"].as_array().unwrap();
    let counted: u64 = bands
        .iter()
        .map(|band| band["count"].as_u64().unwrap())
        .sum();
    assert_eq!(counted, 3 * whole[0], "three awards a forecast");
}

#[test]
fn the_pages_fit_and_say_what_they_count() {
    let folder = term(3, 4);
    let page = out(&folder.run(&["hindsight"]));
    fits(&page);
    for words in [
        "Hindsight: the whole group\n",
        "A practice estimate, not an official result.",
        "If ranges hold 8 in 10, expect ",
        "No forecast for 6 sittings: too few whole sittings of the pupil came before.",
        "By pupil",
        "Chances of an award",
        "Brier score ",
    ] {
        assert!(
            page.replace('\n', " ").contains(words.trim_end()),
            "{words}\n{page}"
        );
    }
    let page = out(&folder.run(&["hindsight", "pupil-0"]));
    fits(&page);
    assert_eq!(page.matches("too few before").count(), 2, "{page}");
    assert_eq!(page.matches("heath-").count(), 3, "{page}");
}

#[test]
fn nobody_of_that_name_is_an_error_with_a_way_out() {
    let folder = term(1, 1);
    let run = folder.run(&["hindsight", "nobody"]);
    assert_eq!(run.status.code(), Some(1));
    assert!(
        err(&run).contains("no marked sittings of `nobody`"),
        "{}",
        err(&run)
    );
    assert!(err(&run).contains("--sessions DIR"), "{}", err(&run));
    let run = Folder::new().run(&["hindsight"]);
    assert_eq!(run.status.code(), Some(0), "{}", err(&run));
    assert!(
        out(&run).contains("no past sitting with a forecast yet"),
        "{}",
        out(&run)
    );
}
