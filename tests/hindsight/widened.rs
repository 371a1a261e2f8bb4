//! A group whose forecasts missed is told so first, and its ranges are wider.

use pacebell::analysis::evidence::Done;
use serde_json::Value;

use crate::folder::{Folder, fits, key, out};
use crate::season::{Pupil, share, write};
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;

/// A season in which every pupil gets `right` questions right, in turn.
fn season(pupils: usize, right: &[u16]) -> Folder {
    let folder = Folder::new();
    let mut random = ChaCha8Rng::seed_from_u64(3);
    for pupil in 0..pupils {
        for (day, right) in (0..).zip(right) {
            let paper = folder.paper_of(day);
            let mut sitting = Pupil::drawn(&mut random).sits(25, share(&paper), &mut random);
            for (seen, _) in &mut sitting {
                let knows = seen.number.0 <= *right;
                seen.done = if knows { Done::Right } else { Done::Wrong };
                seen.seconds = Some(100.0);
            }
            let name = format!("pupil-{pupil}");
            write(
                &folder.path("sessions"),
                &name,
                day,
                &paper,
                &key(),
                &sitting,
            );
        }
    }
    folder
}

fn told(folder: &Folder, words: &[&str]) -> Value {
    serde_json::from_str(&out(&folder.run(words))).unwrap()
}

fn ends(range: &Value) -> (f64, f64) {
    let end = |name: &str| range[name].as_str().unwrap().parse::<f64>().unwrap();
    (end("low"), end("high"))
}

const FORECAST: [&str; 5] = ["forecast", "pupil-0", "--paper", "saltmarsh-b", "--json"];

#[test]
fn where_too_few_held_forecasts_say_so_first_and_are_wider() {
    // Two good sittings, then bad ones: whoever looks at the sittings before must miss.
    let folder = season(6, &[22, 22, 3, 22]);
    let seen = told(&folder, &["hindsight", "--json"]);
    assert_eq!(
        (&seen["judged"], &seen["too_few"]),
        (&12.into(), &true.into()),
        "{seen}"
    );
    let factor = seen["widening"].as_f64().unwrap();
    assert!(factor > 1.0);
    let page = out(&folder.run(&FORECAST[..4]));
    fits(&page);
    let first: String = page.lines().take(2).collect::<Vec<_>>().join(" ");
    assert!(first.starts_with("In this group only "), "{page}");
    assert!(
        first.contains("of 12 past marks lay inside the forecast's range"),
        "{page}"
    );
    // Beside the forecast of a group too small to judge: the same pupil's own sittings.
    let alone = season(1, &[22, 22, 3, 22]);
    let (before, after) = (told(&alone, &FORECAST), told(&folder, &FORECAST));
    assert!(before["widening"].is_null(), "{before}");
    assert!((after["widening"].as_f64().unwrap() - factor).abs() < 1e-12);
    let width = |said: &Value| ends(&said["interval_80"]).1 - ends(&said["interval_80"]).0;
    assert!(
        width(&after) > width(&before),
        "{} {}",
        width(&after),
        width(&before)
    );
    let page = out(&folder.run(&["hindsight"]));
    assert!(page.contains("too few to be chance"), "{page}");
    assert!(
        page.contains("Forecasts of this group say so first"),
        "{page}"
    );
}

#[test]
fn what_is_judged_is_not_widened() {
    // After the misses, ranges are wide; hindsight still holds what the model alone said.
    let short = season(6, &[22, 22, 3, 22]);
    let long = season(6, &[22, 22, 3, 22, 12]);
    let of = |seen: &Value, id: &str| -> Value {
        let all = seen["sittings"].as_array().unwrap();
        all.iter().find(|own| own["sitting"] == id).unwrap()["interval_80"].clone()
    };
    let (short, long) = (
        told(&short, &["hindsight", "--json"]),
        told(&long, &["hindsight", "--json"]),
    );
    assert!(!short["widening"].is_null());
    assert_eq!(of(&short, "pupil-0-3"), of(&long, "pupil-0-3"));
}

#[test]
fn where_enough_held_nothing_is_said_of_it() {
    let folder = season(6, &[14, 15, 14, 15]);
    let seen = told(&folder, &["hindsight", "--json"]);
    assert_eq!(
        (&seen["judged"], &seen["too_few"]),
        (&12.into(), &false.into()),
        "{seen}"
    );
    let said = told(&folder, &FORECAST);
    assert!(said["widening"].is_null());
    assert!(!out(&folder.run(&FORECAST[..4])).contains("In this group"));
}
