//! `enter` killed at any moment: the next run completes it, and nothing is half done.

use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Duration;

use pacebell::storage::journal;

use super::class;

/// A list of so many pupils.
fn list(pupils: usize) -> String {
    let row = |number| format!("pupil{number},A,B,C,D,E,A,B,C\n");
    let rows = (0..pupils).map(row).collect::<Vec<_>>().concat();
    format!("pupil,1,2,3,4,5,6,7,8\n{rows}")
}

/// Every file below a folder.
fn files(folder: &Path) -> Vec<std::path::PathBuf> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).into_iter().flatten().flatten() {
        let path = entry.path();
        if path.is_dir() {
            found.extend(files(&path));
        } else {
            found.push(path);
        }
    }
    found
}

/// Kills `enter` after so many microseconds, or lets it run to its end, looks at what is there, runs it again and looks once more.
/// Gives how many sheets the killed run had saved.
fn kill_after(micros: Option<u64>, pupils: usize) -> usize {
    let dir = class::folder();
    fs::write(dir.path().join("class.csv"), list(pupils)).unwrap();
    let words = "enter heron.paper.ron --from class.csv --date 2026-11-20 --sessions kept";
    let mut child = Command::new(env!("CARGO_BIN_EXE_pacebell"))
        .current_dir(dir.path())
        .args(words.split(' '))
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    if let Some(micros) = micros {
        std::thread::sleep(Duration::from_micros(micros));
        child.kill().unwrap();
    }
    child.wait().unwrap();
    let kept = dir.path().join("kept");
    let found = journal::list(&kept).unwrap();
    assert!(
        found.unreadable.is_empty(),
        "{micros:?}: {:?}",
        found.unreadable
    );
    for record in &found.records {
        assert!(
            record.is_closed() && record.sealed && record.torn.is_none(),
            "{micros:?}"
        );
    }
    let output = class::run(dir.path(), words);
    assert_eq!(
        output.status.code(),
        Some(0),
        "{micros:?}: {}",
        String::from_utf8_lossy(&output.stderr)
    );
    let all = journal::list(&kept).unwrap();
    assert_eq!(
        (all.records.len(), all.unreadable.len(), all.copies.len()),
        (pupils, 0, 0),
        "{micros:?}"
    );
    assert!(
        all.records.iter().all(|record| record.withdrawn.is_none()),
        "{micros:?}"
    );
    // Nothing else is left: one file a pupil, beside what knows where the list lies.
    let mut left: Vec<_> = files(&kept);
    left.retain(|path| path.file_name() != Some("pages.ron".as_ref()));
    assert_eq!(left.len(), pupils, "{micros:?}: {left:?}");
    found.records.len()
}

fn kills(moments: impl Iterator<Item = u64>) {
    let pupils = 25;
    let moments = moments.map(Some).chain([None]);
    let saved: Vec<_> = moments.map(|micros| kill_after(micros, pupils)).collect();
    // Killed at once it has not saved everything, and left alone it has.
    assert!(saved.first() < Some(&pupils), "{saved:?}");
    assert_eq!(saved.last(), Some(&pupils), "{saved:?}");
}

#[test]
fn killed_at_some_moments_it_is_completed_by_the_next_run() {
    kills([0].into_iter().chain((0..8).map(|step| 2000 * (1 << step))));
}

#[test]
#[ignore = "takes a minute"]
fn killed_at_two_hundred_moments_it_is_completed_by_the_next_run() {
    kills((0..200).map(|step| 700 * step));
}
