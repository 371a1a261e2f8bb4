//! Papers found in folders.

use std::fs;
use std::path::Path;

use pacebell::storage::catalogue::{Catalogue, key_beside, papers_in};

use crate::good::{KEY, PAPER};

#[test]
fn papers_come_by_title_each_once_and_those_that_cannot_be_used_last() {
    let dir = tempfile::tempdir().unwrap();
    let titled = |title: &str| PAPER.replace("Dune Cup: practice paper A", title);
    for (name, text) in [
        ("a.paper.ron", titled("zebra")),
        ("b.paper.ron", titled("Yak")),
        ("0.paper.ron", "(".to_owned()),
        ("b.key.ron", KEY.to_owned()),
        (".paper.ron", titled("no name")),
        (".hidden.paper.ron", titled("hidden")),
    ] {
        fs::write(dir.path().join(name), text).unwrap();
    }
    fs::create_dir(dir.path().join("papers")).unwrap();
    fs::write(dir.path().join("papers/c.paper.ron"), titled("Crane")).unwrap();
    let dirs = [
        dir.path().to_owned(),
        dir.path().join("gone"),
        dir.path().join("."),
    ];
    let found = papers_in(&dirs);
    let names: Vec<_> = found
        .iter()
        .map(|found| found.path.file_name().unwrap().to_str().unwrap())
        .collect();
    assert_eq!(names, ["b.paper.ron", "a.paper.ron", "0.paper.ron"]);
    assert!(found[1].paper.is_ok() && found[2].paper.is_err());
    assert_eq!(
        key_beside(&found[0].path),
        Some(dir.path().join("b.key.ron"))
    );
    assert_eq!(key_beside(&found[1].path), None);

    // Beside the given file, and in the folder `papers` beside the sittings.
    let near = [dir.path().join("a.paper.ron")];
    let catalogue = Catalogue::open(Some(&dir.path().join("sessions")), &near);
    let ours: Vec<_> = catalogue
        .papers()
        .iter()
        .filter(|found| found.path.starts_with(dir.path()))
        .map(|found| found.path.file_name().unwrap().to_str().unwrap())
        .collect();
    assert_eq!(
        ours,
        ["c.paper.ron", "b.paper.ron", "a.paper.ron", "0.paper.ron"]
    );
}

#[test]
fn the_papers_that_come_with_the_program_are_fine() {
    let found = papers_in(&[Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-papers")]);
    assert!(!found.is_empty());
    for found in found {
        let paper = found.paper.unwrap_or_else(|trouble| panic!("{trouble}"));
        let key = key_beside(&found.path).unwrap();
        pacebell::storage::files::key::load_for(&key, &paper.outline)
            .unwrap_or_else(|trouble| panic!("{trouble}"));
    }
}
