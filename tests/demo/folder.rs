//! What the command leaves in its folder, through the program's front door.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use pacebell::invented::{MOST_SITTINGS, SittingWanted, season};
use pacebell::storage::journal;
use tempfile::TempDir;

fn pacebell(dir: &Path, words: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_pacebell"));
    command.current_dir(dir).args(words).output().unwrap()
}

fn demo(dir: &Path, words: &[&str]) -> String {
    let output = pacebell(dir, &[&["demo"], words].concat());
    let text = |bytes: &[u8]| String::from_utf8(bytes.to_vec()).unwrap();
    assert!(output.status.success(), "{}", text(&output.stderr));
    text(&output.stdout)
}

/// Every file below a folder, by its path.
fn tree(dir: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    let mut files = BTreeMap::new();
    let mut folders = vec![dir.to_owned()];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else {
                let name = path.strip_prefix(dir).unwrap().to_owned();
                files.insert(name, fs::read(&path).unwrap());
            }
        }
    }
    files
}

#[test]
fn every_file_reads_and_holds_what_was_made() {
    let dir = TempDir::new().unwrap();
    let said = demo(dir.path(), &["d", "--seed", "9"]);
    assert!(said.contains("12 invented pupils"), "{said}");
    let listing = journal::list(&dir.path().join("d/sessions")).unwrap();
    assert!(listing.unreadable.is_empty(), "{:?}", listing.unreadable);
    let wanted = SittingWanted {
        seed: 9,
        pupils: 12,
        sittings: MOST_SITTINGS,
    };
    let mut made = season(wanted).unwrap();
    assert_eq!(listing.records.len(), made.len());
    for record in &listing.records {
        assert_eq!(record.torn, None);
        let place = made.iter().position(|one| one.header == record.header);
        let one = made.swap_remove(place.unwrap());
        assert_eq!(one.events, record.events);
        let place = journal::path_for(Path::new("nowhere"), &record.header);
        assert!(
            record
                .path
                .ends_with(place.strip_prefix("nowhere").unwrap())
        );
    }
    assert_eq!(
        listing
            .records
            .iter()
            .filter(|record| !record.is_closed())
            .count(),
        1
    );
    for (name, bytes) in tree(&dir.path().join("d/sample-papers")) {
        let sample = Path::new(env!("CARGO_MANIFEST_DIR"))
            .join("sample-papers")
            .join(&name);
        assert_eq!(fs::read(sample).unwrap(), bytes, "{}", name.display());
    }
    assert_eq!(tree(&dir.path().join("d/sample-papers")).len(), 6);
}

#[cfg(unix)]
#[test]
fn nobody_but_the_owner_can_look_in() {
    use std::os::unix::fs::PermissionsExt;
    let dir = TempDir::new().unwrap();
    demo(dir.path(), &["d", "--pupils", "2", "--sittings", "2"]);
    let rights = |path: &Path| fs::metadata(path).unwrap().permissions().mode() & 0o777;
    let root = dir.path().join("d");
    for name in tree(&root).keys() {
        let path = root.join(name);
        assert_eq!(rights(&path), 0o600, "{}", path.display());
        for folder in path
            .ancestors()
            .skip(1)
            .take_while(|folder| folder.starts_with(&root))
        {
            assert_eq!(rights(folder), 0o700, "{}", folder.display());
        }
    }
}

#[test]
fn the_same_seed_makes_the_same_bytes() {
    let dir = TempDir::new().unwrap();
    for (name, seed) in [("a", "3"), ("b", "3"), ("c", "4")] {
        demo(dir.path(), &[name, "--seed", seed, "--pupils", "2"]);
    }
    let [a, b, c] = ["a", "b", "c"].map(|name| tree(&dir.path().join(name)));
    assert!(a == b, "one seed, two seasons");
    assert!(a != c, "two seeds, one season");
}

#[test]
fn a_folder_that_holds_something_is_left_alone() {
    let dir = TempDir::new().unwrap();
    fs::create_dir(dir.path().join("empty")).unwrap();
    demo(dir.path(), &["empty", "--pupils", "1", "--sittings", "1"]);
    let mine = dir.path().join("mine");
    fs::create_dir_all(mine.join("demo")).unwrap();
    fs::write(mine.join("demo/notes.txt"), "mine").unwrap();
    fs::write(dir.path().join("file"), "mine").unwrap();
    let before = tree(dir.path());
    for name in ["mine", "empty", "file"] {
        let output = pacebell(dir.path(), &["demo", name]);
        let said = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(1));
        assert!(said.contains("--force"), "{said}");
        assert_eq!(tree(dir.path()), before);
    }
    let few = ["mine", "--pupils", "1", "--sittings", "1", "--force"];
    for number in 2..4 {
        let said = demo(dir.path(), &few);
        let inside = mine.join(format!("demo-{number}"));
        assert!(said.contains("demo-"), "{said}");
        assert!(inside.join("sessions").is_dir());
    }
    let after = tree(dir.path());
    assert!(
        before
            .iter()
            .all(|(name, bytes)| after.get(name) == Some(bytes))
    );
}

/// Each line under `Try next` does what it says, but for those that want a terminal.
#[test]
fn what_it_says_to_try_next_works() {
    let dir = TempDir::new().unwrap();
    let said = demo(dir.path(), &["d", "--pupils", "3"]);
    let (_, tries) = said.split_once("Try next:").unwrap();
    let tries: Vec<_> = tries
        .lines()
        .filter_map(|line| line.trim().strip_prefix("pacebell "))
        .collect();
    assert!(tries.iter().any(|line| line.starts_with("mark ")), "{said}");
    let here = dir.path().join("d");
    for line in tries
        .iter()
        .filter(|line| !line.starts_with("review") && !line.contains('*'))
    {
        let words: Vec<_> = line.split_whitespace().collect();
        let output = pacebell(&here, &words);
        let error = String::from_utf8(output.stderr).unwrap();
        assert!(output.status.success(), "{line}: {error}");
        if words[0] == "mark" {
            let page = String::from_utf8(output.stdout).unwrap();
            assert!(
                page.contains("Invented data: made with pacebell demo."),
                "{page}"
            );
        }
    }
}

#[test]
fn numbers_out_of_range_are_wrong_words() {
    let dir = TempDir::new().unwrap();
    for words in [
        ["--pupils", "0"],
        ["--pupils", "25"],
        ["--sittings", "7"],
        ["--seed", "x"],
    ] {
        let output = pacebell(dir.path(), &[&["demo", "d"], &words[..]].concat());
        assert_eq!(output.status.code(), Some(2), "{words:?}");
    }
    assert!(tree(dir.path()).is_empty());
}

#[test]
#[expect(
    clippy::disallowed_methods,
    reason = "how long it takes is what is asked"
)]
fn a_whole_season_takes_under_two_seconds() {
    let start = std::time::Instant::now();
    let wanted = SittingWanted {
        seed: 1,
        pupils: 12,
        sittings: MOST_SITTINGS,
    };
    assert!(!season(wanted).unwrap().is_empty());
    let took = start.elapsed();
    assert!(took.as_secs_f64() < 2.0, "{took:?}");
}
