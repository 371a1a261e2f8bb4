//! `progress` as typed, in a folder where two papers have been sat.

use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;
use serde_json::Value;

use crate::folder::{Folder, err, fits, key, out};
use crate::season::{Pupil, sample, share, write};

#[test]
fn a_version_of_a_paper_with_the_same_questions_is_on_the_same_scale() {
    let folder = Folder::new();
    let (new, old) = (
        sample("saltmarsh-a.paper.ron"),
        sample("saltmarsh-old.paper.ron"),
    );
    let mut random = ChaCha8Rng::seed_from_u64(14);
    let sessions = folder.path("sessions");
    let mut sit = |name: &str, day, paper| {
        let sitting = Pupil::drawn(&mut random).sits(25, share(paper), &mut random);
        write(&sessions, name, day, paper, &key(), &sitting);
    };
    for pupil in 0..24 {
        sit(
            &format!("pupil-{pupil}"),
            0,
            if pupil % 2 == 0 { &new } else { &old },
        );
    }
    sit("otter", 0, &new);
    sit("otter", 1, &old);
    let run = folder.run(&["progress", "otter"]);
    assert_eq!(run.status.code(), Some(0), "{}", err(&run));
    let page = out(&run);
    fits(&page);
    assert!(page.contains("worth on saltmarsh-a (of 125)"), "{page}");
    let told: Value =
        serde_json::from_str(&out(&folder.run(&["progress", "otter", "--json"]))).unwrap();
    assert_eq!(
        told["scale"]["papers"],
        serde_json::json!(["saltmarsh-a", "saltmarsh-old"])
    );
    for sitting in told["sittings"].as_array().unwrap() {
        let (worth, range) = (sitting["worth"].as_f64().unwrap(), &sitting["worth_80"]);
        assert!(
            range["low"].as_f64().unwrap() < worth && worth < range["high"].as_f64().unwrap(),
            "{sitting}"
        );
        assert!(sitting["se"].as_f64().unwrap() > 0.2 && sitting["measure"].is_f64());
    }
    // The questions of the second were met in the first: it has its place on the scale, and no part in a trend.
    assert_eq!(told["sittings"][1]["apart"], "again");
    assert_eq!(told["trends"], serde_json::json!([]));
}
