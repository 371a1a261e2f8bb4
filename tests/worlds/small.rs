//! A small campaign in every run of the tests: few pupils, many draws of each one's next mark.

use pacebell::domain::header::Alias;

use crate::cells::{Cell, Said, number};
use crate::foreign::{forecast, pupils};
use crate::log::{header, key, log, named, paper};
use crate::simulator::{Hour, Pupil, Way, World, world};
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;

const MAX: f64 = 125.0;

/// Few pupils leave a sampling error of about 2 in 100 in the share inside and of 1 in 100 in the bias.
fn cells(name: &str, after: &[u16], count: u64) -> Vec<Cell> {
    let said = pupils(&world(name), after, count, 77);
    said.iter()
        .map(|said: &Vec<Said>| Cell::of(said, MAX))
        .collect()
}

#[test]
fn a_range_holds_about_eight_in_ten_next_marks() {
    for (name, low, high) in [
        ("no change", 0.75, 0.87),
        ("wide days", 0.70, 0.88),
        ("a third never guess", 0.75, 0.87),
    ] {
        for cell in cells(name, &[2, 5], 16) {
            assert!((low..=high).contains(&cell.inside), "{name}: {cell:?}");
            assert!(
                cell.bias.abs() < 0.05 && cell.skill > 0.0,
                "{name}: {cell:?}"
            );
        }
    }
}

#[test]
fn whoever_learns_fast_is_followed_closer_than_by_any_plain_rule() {
    for cell in cells("fast learners", &[3, 8], 24) {
        assert!(cell.rmse < cell.best_rule(), "{cell:?}");
        assert!(cell.bias.abs() < 0.07, "{cell:?}");
        assert!((0.75..=0.87).contains(&cell.inside), "{cell:?}");
    }
}

/// What is taken for granted of somebody whom nobody knows is about what such pupils get.
#[test]
fn defaults_are_near_what_pupils_do() {
    for name in ["no change", "a third never guess", "three parameters"] {
        let world = world(name);
        let told = forecast(&named(&world, "mock"), &[]);
        let mut random = ChaCha8Rng::seed_from_u64(5);
        let mut marks = 0;
        for _ in 0..2000 {
            let own = Pupil::of(&world, &mut random);
            let hour = Hour::of(&world, &own, (0, false), &mut random);
            marks += hour.sat(&world, own.blanks, Way::OWN).mark;
        }
        let apart = number(marks) / 2000.0 - told.expected().0;
        assert!(apart.abs() < 0.1 * MAX, "{name}: {apart}");
    }
}

/// The shortest way from a log to a forecast is the program's own: its files, its reading, its command.
#[test]
fn a_forecast_from_the_logs_is_that_of_the_command() {
    let world: World = world("no change");
    let mut random = ChaCha8Rng::seed_from_u64(12);
    let own = Pupil::of(&world, &mut random);
    let dir = tempfile::tempdir().unwrap();
    let sessions = dir.path().join("sessions/otter");
    let papers = dir.path().join("sample-papers");
    std::fs::create_dir_all(&sessions).unwrap();
    std::fs::create_dir_all(&papers).unwrap();
    let mut season = Vec::new();
    for sitting in 0..4 {
        let paper = std::sync::Arc::new(paper(&world, sitting));
        let hour = Hour::of(&world, &own, (sitting, false), &mut random);
        let sat = hour.sat(&world, own.blanks, Way::OWN);
        let header = header("otter", sitting, &paper);
        let file = crate::written::file(&header, &log(&sat));
        let name = format!("{sitting}.session.ron");
        std::fs::write(sessions.join(name), file).unwrap();
        crate::log::write_paper(&papers, &world, &paper);
        season.push(crate::log::evidence("otter", sitting, &paper, &sat));
    }
    let next = named(&world, "mock-next");
    crate::log::write_paper(&papers, &world, &next);
    assert_eq!(key(&next).answers.len(), 25);
    let run = std::process::Command::new(env!("CARGO_BIN_EXE_pacebell"))
        .current_dir(dir.path())
        .envs(crate::user::at_home(dir.path()))
        .args(["forecast", "otter", "--paper", "mock-next", "--json"])
        .output()
        .unwrap();
    let told = String::from_utf8(run.stdout).unwrap();
    let told: serde_json::Value = serde_json::from_str(&told)
        .unwrap_or_else(|error| panic!("{error}: {}", String::from_utf8_lossy(&run.stderr)));
    let expected = forecast(&next, &season).expected();
    assert!(
        (told["expected"].as_f64().unwrap() - expected.0).abs() < 1e-9,
        "{told}"
    );
    assert!((told["sd"].as_f64().unwrap() - expected.1).abs() < 1e-9);
    assert_eq!(told["sources"]["full_sittings"], 4);
    assert_eq!(told["pupil"], Alias::new("otter").unwrap().as_str());
}
