//! What an overview costs beside plain reading of the same files.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use chrono::{NaiveDate, TimeDelta};
use clap::Parser as _;
use pacebell::commands::{Args, CommandArgs, overview};
use pacebell::domain::header::Alias;
use pacebell::invented::{SittingWanted, season};
use pacebell::storage::journal;

use crate::written;

const PUPILS: usize = 30;
const PAPERS: usize = 8;

/// Thirty pupils by eight papers: the demo's sittings of the whole paper under other aliases, papers' ids and days.
fn many(folder: &Path) -> Vec<PathBuf> {
    let wanted = SittingWanted {
        seed: 1,
        pupils: 24,
        sittings: 6,
    };
    let made = season(wanted).unwrap();
    let whole: Vec<_> = made
        .iter()
        .filter(|own| own.is_whole() && own.header.paper.id == "saltmarsh-a")
        .filter(|own| own.header.questions().count() == 25)
        .collect();
    assert!(whole.len() > 20);
    let key = Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-papers/saltmarsh-a.key.ron");
    let key = fs::read_to_string(key).unwrap();
    fs::create_dir(folder.join("keys")).unwrap();
    let mut files = Vec::new();
    for (paper, week) in (0..PAPERS).zip(0_i64..) {
        let id = format!("paper-{paper}");
        let text = key.replace("saltmarsh-a", &id);
        fs::write(folder.join(format!("keys/{id}.key.ron")), text).unwrap();
        for pupil in 0..PUPILS {
            let own = whole[(paper * PUPILS + pupil) % whole.len()];
            let mut header = own.header.clone();
            header.pupil = Alias::new(&format!("pupil-{pupil:02}")).unwrap();
            header.paper.id.clone_from(&id);
            header.sitting = format!("{pupil:02}-{paper}");
            header.started += TimeDelta::weeks(week);
            let dir = folder.join("sessions").join(header.pupil.as_str());
            fs::create_dir_all(&dir).unwrap();
            let file = dir.join(format!("{id}.session.ron"));
            fs::write(&file, written::file(&header, &own.events)).unwrap();
            files.push(file);
        }
    }
    files
}

#[expect(clippy::disallowed_methods, reason = "a measurement")]
fn took(work: impl Fn()) -> Duration {
    let rounds = (0..3).map(|_| {
        let began = Instant::now();
        work();
        began.elapsed()
    });
    rounds.min().unwrap()
}

/// `cargo test --release --test overview -- --ignored --nocapture`: reading is checking and taking in every line of
/// every file, as each command that lists sittings does it, and nothing else.
#[test]
#[ignore = "a measurement"]
fn thirty_pupils_by_eight_papers_cost_less_than_twice_reading_their_files() {
    let dir = tempfile::tempdir().unwrap();
    let files = many(dir.path());
    assert_eq!(files.len(), PUPILS * PAPERS);
    let sessions = dir.path().join("sessions");
    let reading = took(|| {
        for file in &files {
            assert!(!journal::read(file).unwrap().events.is_empty());
        }
    });
    let page = dir.path().join("term.html");
    let words = ["pacebell", "overview", "-o", &page.display().to_string()].map(str::to_owned);
    let keys = dir.path().join("keys").display().to_string();
    let words = words.into_iter().chain(["--keys".to_owned(), keys]);
    let args = Args::try_parse_from(words).unwrap();
    let Some(CommandArgs::Overview(args)) = args.command else {
        panic!("an overview")
    };
    let today = NaiveDate::from_ymd_opt(2026, 11, 25).unwrap();
    let whole = took(|| {
        let done = overview::run(
            &args,
            Some(&sessions),
            today,
            &mut io::sink(),
            &mut io::sink(),
        );
        done.unwrap();
    });
    let text = fs::read_to_string(&page).unwrap();
    assert!(text.contains("pupil-29") && text.matches("<circle").count() == files.len());
    let times = whole.as_secs_f64() / reading.as_secs_f64();
    let said = format!("reading {reading:.0?}, overview {whole:.0?}: {times:.2} times");
    // Without optimisation the arithmetic of ranges is many times as slow, and reading is not.
    assert!(cfg!(debug_assertions) || whole < reading * 2, "{said}");
    io::Write::write_all(&mut io::stdout(), format!("{said}\n").as_bytes()).unwrap();
}
