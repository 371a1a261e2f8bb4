//! An invented group in a folder, and the program run there.

use std::fs;
use std::path::Path;
use std::process::{Command, Output};

use pacebell::domain::header::Alias;
use pacebell::storage::journal;
use tempfile::TempDir;

use crate::written;

/// The program with these words in a folder.
pub(crate) fn run(folder: &Path, words: &str) -> Output {
    Command::new(env!("CARGO_BIN_EXE_pacebell"))
        .args(words.split(' '))
        .current_dir(folder)
        .envs(crate::user::at_home(folder))
        .env_remove("XDG_DATA_HOME")
        .output()
        .unwrap()
}

/// What it prints, where it does what is wanted.
#[track_caller]
pub(crate) fn told(folder: &Path, words: &str) -> String {
    let output = run(folder, words);
    let trouble = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{words}: {trouble}");
    String::from_utf8(output.stdout).unwrap()
}

/// An invented group of so many pupils.
pub(crate) fn group(pupils: usize) -> TempDir {
    let dir = tempfile::tempdir().unwrap();
    told(dir.path(), &format!("demo . --pupils {pupils}"));
    dir
}

/// The aliases: the names of the pupils' folders.
pub(crate) fn aliases(folder: &Path) -> Vec<String> {
    let folders = fs::read_dir(folder.join("sessions")).unwrap();
    let folders = folders.map(|entry| entry.unwrap());
    let folders = folders.filter(|entry| entry.path().is_dir());
    let mut names: Vec<String> = folders
        .map(|entry| entry.file_name().into_string().unwrap())
        .filter(|name| name != "pages")
        .collect();
    names.sort();
    names
}

/// A table by its rows.
pub(crate) fn table(path: &Path) -> Vec<csv::StringRecord> {
    let mut reader = csv::Reader::from_path(path).unwrap();
    reader.records().map(Result::unwrap).collect()
}

/// A page of the group's own.
pub(crate) fn read(folder: &Path, name: &str) -> String {
    fs::read_to_string(folder.join(name)).unwrap()
}

/// Copies the papers and their keys.
pub(crate) fn copy_papers(from: &Path, to: &Path) {
    fs::create_dir_all(to.join("sample-papers")).unwrap();
    for entry in fs::read_dir(from.join("sample-papers")).unwrap() {
        let path = entry.unwrap().path();
        fs::copy(
            &path,
            to.join("sample-papers").join(path.file_name().unwrap()),
        )
        .unwrap();
    }
}

/// Copies a pupil's sittings.
pub(crate) fn copy_pupil(from: &Path, to: &Path, alias: &str) {
    let folder = to.join("sessions").join(alias);
    fs::create_dir_all(&folder).unwrap();
    for entry in fs::read_dir(from.join("sessions").join(alias)).unwrap() {
        let path = entry.unwrap().path();
        fs::copy(&path, folder.join(path.file_name().unwrap())).unwrap();
    }
}

/// The pupils who have sat a paper, by the moment of the sitting that counts: sittings' ids begin with it.
pub(crate) fn by_first_sitting(folder: &Path, paper: &str) -> Vec<String> {
    told(folder, "overview --csv order");
    let rows = table(&folder.join("order/overview-sheets.csv"));
    let own = rows.iter().filter(|row| &row[1] == paper && &row[4] == "1");
    let mut first: Vec<(String, String)> = own
        .map(|row| (row[5].to_owned(), row[0].to_owned()))
        .collect();
    first.sort();
    first.into_iter().map(|(_, alias)| alias).collect()
}

/// Two invented groups of 24 in one folder, the second under aliases of its own.
pub(crate) fn large() -> TempDir {
    let (dir, other) = (group(24), tempfile::tempdir().unwrap());
    told(other.path(), "demo . --pupils 24 --seed 2");
    for alias in aliases(other.path()) {
        let new = format!("{alias}-b");
        let folder = dir.path().join("sessions").join(&new);
        fs::create_dir_all(&folder).unwrap();
        for entry in fs::read_dir(other.path().join("sessions").join(&alias)).unwrap() {
            let path = entry.unwrap().path();
            if path.extension().is_some_and(|kind| kind == "ron")
                && let Ok(mut record) = journal::read(&path)
            {
                record.header.pupil = Alias::new(&new).unwrap();
                let text = written::file(&record.header, &record.events);
                fs::write(folder.join(path.file_name().unwrap()), text).unwrap();
            }
        }
    }
    assert!(aliases(dir.path()).len() > 40);
    dir
}
