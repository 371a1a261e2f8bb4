//! The house rules that no compiler holds: which room may know which, what stands where, and what
//! stands once.
//!
//! Each rule reads the sources with `syn`. What breaks it today is listed at the top of its file,
//! each entry with its reason; a breach that is not listed fails, and so does an entry that holds no
//! longer, so that a list can only get shorter. Each rule is tried on made-up sources as well.

#![cfg(test)]

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use sources::files_below;

#[path = "architecture/builder.rs"]
mod builder;
#[path = "architecture/circles.rs"]
mod circles;
#[path = "architecture/layers.rs"]
mod layers;
#[path = "architecture/literals.rs"]
mod literals;
#[path = "architecture/paths.rs"]
mod paths;
#[path = "architecture/rendering.rs"]
mod rendering;
#[path = "architecture/sentences.rs"]
mod sentences;
#[path = "architecture/sources.rs"]
mod sources;
#[path = "architecture/times.rs"]
mod times;
#[path = "architecture/types.rs"]
mod types;
#[path = "architecture/unused.rs"]
mod unused;

/// A test file in a folder that no test names would never run.
#[test]
fn every_test_file_is_run() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests");
    let files = files_below(&root);
    let texts: Vec<_> = files
        .iter()
        .map(|path| fs::read_to_string(path).unwrap())
        .collect();
    let manifest = fs::read_to_string(root.join("../Cargo.toml")).unwrap();
    for path in files.iter().filter(|path| path.parent() != Some(&root)) {
        let inside = path.strip_prefix(&root).unwrap();
        // A package of its own: its manifest names its targets, and its library's root needs no name.
        if let Ok(own) = inside.strip_prefix("fuzz") {
            let manifest = fs::read_to_string(root.join("fuzz/Cargo.toml")).unwrap();
            let named = manifest.contains(&format!("path = \"{}\"", own.display()));
            if named || own == Path::new("src/lib.rs") {
                continue;
            }
        }
        let name = match inside.file_stem().unwrap().to_string_lossy() {
            stem if stem == "mod" => inside.parent().unwrap().to_string_lossy().into_owned(),
            stem => stem.into_owned(),
        };
        let wired = texts
            .iter()
            .any(|text| text.contains(&format!("mod {name};")))
            || manifest.contains(&format!("path = \"tests/{}\"", inside.display()));
        assert!(wired, "{} is run by nothing", path.display());
    }
}

#[test]
fn the_top_level_holds_what_was_agreed() {
    let agreed = BTreeSet::from([
        "Cargo.toml",
        "Cargo.lock",
        "LICENSE-APACHE",
        "LICENSE-MIT",
        "README.md",
        "DEVELOPERS.md",
        "src",
        "tests",
        "sessions",
        "sample-papers",
        "target",
    ]);
    for entry in fs::read_dir(env!("CARGO_MANIFEST_DIR")).unwrap() {
        let name = entry.unwrap().file_name().to_string_lossy().into_owned();
        assert!(
            name.starts_with('.') || agreed.contains(name.as_str()),
            "{name} does not belong at the top level"
        );
    }
}
