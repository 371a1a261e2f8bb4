//! Paper and key files by their names, and the folders in which they are looked for.

use std::collections::BTreeSet;
use std::ffi::{OsStr, OsString};
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::domain::paper::Paper;
use crate::storage::disk;
use crate::storage::files::folders::data_dir;
use crate::storage::files::{FileTrouble, paper};
use crate::storage::journal::ENDING as SESSION_ENDING;

/// What the name of a paper file ends in.
pub const PAPER_ENDING: &str = ".paper.ron";
/// What the name of a key file ends in.
pub const KEY_ENDING: &str = ".key.ron";

/// What a folder of sample papers is called.
const SAMPLES: &str = "sample-papers";

/// What the name of a table ends in: a class list, a list of marks.
const TABLE_ENDING: &str = ".csv";

/// A paper file that was found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PaperFile {
    /// The file.
    pub path: PathBuf,
    /// The paper, or everything that is wrong with its file.
    pub paper: Result<Arc<Paper>, FileTrouble>,
}

/// The folders in which papers, and keys beside them, are looked for: beside what was named, here, in
/// `sample-papers` here, beside the sittings and among them, and in the user's data folder.
pub(super) fn folders(sessions: Option<&Path>, named: &[PathBuf]) -> Vec<PathBuf> {
    let mut folders: Vec<PathBuf> = named.iter().flat_map(|path| beside(path)).collect();
    folders.extend([PathBuf::new(), PathBuf::from(SAMPLES)]);
    folders.extend(sessions.into_iter().flat_map(beside_sittings));
    folders.extend(data_dir().map(|data| data.join("papers")));
    folders
}

/// A folder that was named, or the one of a file; for a session file also those beside the sittings that it is
/// one of.
fn beside(named: &Path) -> Vec<PathBuf> {
    if named.is_dir() {
        let mut folders = vec![named.to_owned()];
        folders.extend(beside_sittings(named));
        return folders;
    }
    let own = named.parent().unwrap_or(Path::new("")).to_owned();
    let mut folders = vec![own];
    if named.to_string_lossy().ends_with(SESSION_ENDING) {
        let own = folder_of(named);
        folders.extend(beside_sittings(&own));
        folders.extend(beside_sittings(&own.join("..")));
    }
    folders
}

/// The folders of papers beside a folder of sittings, the folder that it lies in, and that one itself.
fn beside_sittings(sessions: &Path) -> Vec<PathBuf> {
    let beside = around(sessions).into_iter();
    beside
        .flat_map(|beside| [beside.join("papers"), beside.join(SAMPLES), beside])
        .chain([sessions.to_owned()])
        .collect()
}

/// The folder that a folder of sittings lies in.
fn around(sessions: &Path) -> Option<PathBuf> {
    match sessions.parent() {
        // What is called `..` is the folder's own; what lies beside it, only its own `..` says.
        Some(_) if sessions.ends_with("..") => Some(sessions.join("..")),
        Some(parent) => Some(parent.to_owned()),
        None => None,
    }
}

/// The folder of sample papers beside the sittings.
pub(super) fn samples_beside(sessions: &Path) -> Option<PathBuf> {
    Some(around(sessions)?.join(SAMPLES))
}

/// The folders of sample papers that came with a program: beside it, or where a package puts them.
pub(super) fn installed(program: &Path) -> Vec<PathBuf> {
    let folder = program.parent().into_iter();
    folder
        .flat_map(|folder| {
            let share = folder.parent().map(|own| own.join("share/pacebell"));
            [Some(folder.to_owned()), share]
        })
        .flatten()
        .map(|folder| folder.join(SAMPLES))
        .collect()
}

/// The papers in some folders, and those installed with the program whose names no file among them has.
pub(super) fn papers_with(folders: &[PathBuf], installed: &[PathBuf]) -> Vec<PaperFile> {
    let found = papers_in(folders);
    let names: BTreeSet<_> = found
        .iter()
        .filter_map(|file| file.path.file_name())
        .collect();
    let mut more = papers_in(installed);
    more.retain(|file| {
        let name = file.path.file_name();
        name.is_some_and(|name| !names.contains(name))
    });
    let mut all = [found, more].concat();
    sort_by_title(&mut all);
    all
}

/// The papers in some folders, each once and by title, those that cannot be used last; a folder that is not there
/// holds none.
pub fn papers_in(folders: &[PathBuf]) -> Vec<PaperFile> {
    let mut seen = BTreeSet::new();
    let mut found: Vec<PaperFile> = folders
        .iter()
        .flat_map(|folder| {
            names_in(folder, PAPER_ENDING)
                .into_iter()
                .map(|name| folder.join(name))
        })
        .filter(|path| seen.insert(one_name(path)))
        .map(|path| PaperFile {
            paper: paper::load(&path).map(Arc::new),
            path,
        })
        .collect();
    sort_by_title(&mut found);
    found
}

fn sort_by_title(found: &mut [PaperFile]) {
    found.sort_by_cached_key(|file| {
        let title = file.paper.as_ref().ok();
        let title = title.map(|paper| paper.outline.title.to_lowercase());
        (title.is_none(), title, file.path.clone())
    });
}

/// The tables in some folders, each once and by name; a folder that is not there holds none.
pub fn tables_in(folders: &[PathBuf]) -> Vec<PathBuf> {
    let mut seen = BTreeSet::new();
    let found = folders.iter().flat_map(|folder| {
        let mut names = names_in(folder, TABLE_ENDING);
        names.sort();
        names.into_iter().map(|name| folder.join(name))
    });
    found.filter(|path| seen.insert(one_name(path))).collect()
}

/// The key files in a folder, by name.
pub(super) fn keys_in(folder: &Path) -> Vec<PathBuf> {
    let names = names_in(folder, KEY_ENDING).into_iter();
    let mut keys: Vec<_> = names.map(|name| folder.join(name)).collect();
    keys.sort();
    keys
}

/// The names of the files of an ending in a folder; the empty path is the folder we are in.
fn names_in(folder: &Path, ending: &str) -> Vec<OsString> {
    let here = folder.as_os_str().is_empty();
    let entries = fs::read_dir(if here { Path::new(".") } else { folder });
    let names = entries.into_iter().flatten().flatten();
    let names = names.map(|entry| entry.file_name());
    names.filter(|name| stem(name, ending).is_some()).collect()
}

/// The key beside a paper, `NAME.key.ron` beside `NAME.paper.ron`, if there is one.
pub fn key_beside(paper: &Path) -> Option<PathBuf> {
    let name = stem(paper.file_name()?, PAPER_ENDING)?;
    let key = paper.with_file_name(format!("{name}{KEY_ENDING}"));
    key.is_file().then_some(key)
}

/// The folder that a file lies in.
pub fn folder_of(file: &Path) -> PathBuf {
    match file.parent() {
        Some(parent) if parent != Path::new("") => parent.to_owned(),
        _ => PathBuf::from("."),
    }
}

/// The same file under one name, where it has several.
pub(super) fn one_name(path: &Path) -> PathBuf {
    disk::canonical(path).unwrap_or_else(|_| path.to_owned())
}

/// The name before an ending; a name that is nothing but the ending, or hidden, has none.
fn stem<'a>(name: &'a OsStr, ending: &str) -> Option<&'a str> {
    let stem = name.to_str()?.strip_suffix(ending)?;
    (!stem.is_empty() && !stem.starts_with('.')).then_some(stem)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_key_stands_beside_its_paper_under_the_same_name() {
        let dir = tempfile::tempdir().unwrap();
        let paper = dir.path().join("dune.b.paper.ron");
        assert_eq!(key_beside(&paper), None);
        let key = dir.path().join("dune.b.key.ron");
        fs::write(&key, "").unwrap();
        assert_eq!(key_beside(&paper), Some(key));
        assert_eq!(key_beside(&dir.path().join("dune.b.ron")), None);
    }

    #[test]
    fn installed_papers_give_way_to_those_at_hand_that_are_called_alike() {
        let dir = tempfile::tempdir().unwrap();
        let [own, installed] = ["own", "usr/share/pacebell/sample-papers"].map(|name| {
            let folder = dir.path().join(name);
            fs::create_dir_all(&folder).unwrap();
            folder
        });
        for (folder, name) in [(&own, "a"), (&installed, "a"), (&installed, "b")] {
            fs::write(folder.join(format!("{name}.paper.ron")), "").unwrap();
        }
        let places = super::installed(&dir.path().join("usr/bin/pacebell"));
        let found = papers_with(std::slice::from_ref(&own), &places);
        let found: Vec<_> = found.into_iter().map(|file| file.path).collect();
        let expected = [own.join("a.paper.ron"), installed.join("b.paper.ron")];
        let expected = expected.map(|path| one_name(&path));
        assert_eq!(
            found.iter().map(|path| one_name(path)).collect::<Vec<_>>(),
            expected
        );
        let beside = super::installed(Path::new("/tools/pacebell"));
        assert!(beside.contains(&PathBuf::from("/tools/sample-papers")));
    }

    #[test]
    fn sample_papers_are_written_where_they_are_looked_for() {
        for (sessions, expected) in [
            ("sessions", "sample-papers"),
            ("/data/pacebell/sessions", "/data/pacebell/sample-papers"),
            ("../sessions/..", "../sessions/../../sample-papers"),
        ] {
            let sessions = Path::new(sessions);
            let folder = samples_beside(sessions).unwrap();
            assert_eq!(folder, PathBuf::from(expected));
            assert!(folders(Some(sessions), &[]).contains(&folder));
        }
    }

    #[test]
    fn papers_lie_beside_the_sittings_of_a_session_file() {
        let found = beside(Path::new("old/sessions/otter/x.session.ron"));
        assert_eq!(
            found,
            [
                "old/sessions/otter",
                "old/sessions/papers",
                "old/sessions/sample-papers",
                "old/sessions",
                "old/sessions/otter",
                "old/sessions/otter/../../papers",
                "old/sessions/otter/../../sample-papers",
                "old/sessions/otter/../..",
                "old/sessions/otter/..",
            ]
            .map(Path::new)
        );
    }
}
