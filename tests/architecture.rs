//! The house rules that no compiler holds: which layer may know which, and what may lie where.

#![cfg(test)]

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

/// Each module and what it may import; its own parts it may always.
const LAYERS: [(&str, &[&str]); 16] = [
    ("domain", &[]),
    ("stats", &[]),
    ("odds", &["domain", "stats"]),
    ("analysis", &["domain", "stats", "odds"]),
    ("cohort", &["domain", "stats", "odds", "analysis"]),
    ("season", &["domain", "stats", "odds", "analysis", "cohort"]),
    (
        "words",
        &["domain", "stats", "odds", "analysis", "cohort", "season"],
    ),
    ("clock", &["domain"]),
    ("storage", &["domain", "clock"]),
    ("seat", &["domain", "clock", "storage"]),
    ("plain", &["domain", "words"]),
    (
        "reports",
        &[
            "domain", "stats", "odds", "analysis", "cohort", "season", "words",
        ],
    ),
    ("term", &[]),
    (
        "screens",
        &[
            "domain", "stats", "odds", "analysis", "cohort", "season", "words", "reports", "seat",
            "term",
        ],
    ),
    ("invented", &["domain", "stats", "clock", "seat"]),
    (
        "commands",
        &[
            "domain", "stats", "odds", "analysis", "cohort", "season", "words", "clock", "storage",
            "seat", "plain", "reports", "term", "screens", "invented",
        ],
    ),
];

/// Breaches that are still to be mended: the file and the layer it must not know.
const KNOWN: [(&str, &str); 4] = [
    ("src/invented/papers.rs", "storage"),
    ("src/invented/season.rs", "storage"),
    ("src/odds/guess.rs", "words"),
    ("src/season/plan/tests.rs", "words"),
];

/// Words of the system that a layer must not use.
const FORBIDDEN: [(&str, &[&str]); 5] = [
    (
        "domain",
        &[
            "std::fs",
            "std::io",
            "std::env",
            "std::thread",
            "Instant",
            "Utc::now",
            "rand::",
            "ratatui",
            "crossterm",
        ],
    ),
    (
        "stats",
        &[
            "std::fs",
            "std::io",
            "std::env",
            "std::thread",
            "Instant",
            "ratatui",
            "crossterm",
        ],
    ),
    (
        "analysis",
        &[
            "std::fs",
            "std::io",
            "std::env",
            "std::thread",
            "Instant",
            "rand::",
            "ratatui",
            "crossterm",
        ],
    ),
    ("reports", &["ratatui", "crossterm", "std::fs"]),
    ("storage", &["ratatui", "crossterm"]),
];

fn sources(folder: &Path, into: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            sources(&path, into);
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            into.push(path);
        }
    }
}

fn all_sources() -> Vec<(String, PathBuf, String)> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut files = Vec::new();
    sources(&root, &mut files);
    let module = |path: &Path| {
        let first = path
            .strip_prefix(&root)
            .unwrap()
            .components()
            .next()
            .unwrap();
        first
            .as_os_str()
            .to_string_lossy()
            .trim_end_matches(".rs")
            .to_owned()
    };
    files
        .into_iter()
        .map(|path| {
            (
                module(&path),
                path.clone(),
                fs::read_to_string(&path).unwrap(),
            )
        })
        .collect()
}

#[test]
fn imports_go_down_only() {
    for (module, path, text) in all_sources() {
        if module == "lib" || module == "main" {
            continue;
        }
        let (_, allowed) = LAYERS
            .iter()
            .find(|(name, _)| *name == module)
            .unwrap_or_else(|| {
                panic!(
                    "{} belongs to no layer: add {module} to the list",
                    path.display()
                )
            });
        for (other, _) in LAYERS {
            let known = other == module || allowed.contains(&other);
            let uses = text.contains(&format!("crate::{other}::"))
                || text.contains(&format!("crate::{other};"));
            let listed = KNOWN
                .iter()
                .any(|(file, layer)| path.ends_with(file) && *layer == other);
            assert!(
                known || !uses || listed,
                "{}: {module} may not know {other}",
                path.display()
            );
        }
        for (layer, words) in FORBIDDEN.iter().filter(|(layer, _)| *layer == module) {
            for word in *words {
                assert!(
                    !text.contains(word),
                    "{}: {layer} may not use {word}",
                    path.display()
                );
            }
        }
    }
}

#[test]
fn views_know_no_journal_clock_terminal_or_seat() {
    for (module, path, text) in all_sources()
        .into_iter()
        .filter(|(module, ..)| module == "screens")
    {
        let runs = path.to_string_lossy().contains("screens/run");
        for word in ["crate::seat", "crate::term", "std::fs", "std::thread"] {
            assert!(
                runs || !text.contains(word),
                "{}: a page of {module} may not use {word}",
                path.display()
            );
        }
    }
}

#[test]
fn no_file_is_over_four_hundred_lines() {
    let mut files = Vec::new();
    for folder in ["src", "tests"] {
        sources(
            &Path::new(env!("CARGO_MANIFEST_DIR")).join(folder),
            &mut files,
        );
    }
    let long: Vec<_> = files
        .iter()
        .map(|path| (fs::read_to_string(path).unwrap().lines().count(), path))
        .filter(|(lines, _)| *lines > 400)
        .collect();
    assert!(long.is_empty(), "split these by task: {long:?}");
}

/// A test file in a folder that no test names would never run.
#[test]
fn every_test_file_is_run() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests");
    let mut files = Vec::new();
    sources(&root, &mut files);
    let texts: Vec<_> = files
        .iter()
        .map(|path| fs::read_to_string(path).unwrap())
        .collect();
    let manifest = fs::read_to_string(root.join("../Cargo.toml")).unwrap();
    for path in files.iter().filter(|path| path.parent() != Some(&root)) {
        let inside = path.strip_prefix(&root).unwrap();
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
