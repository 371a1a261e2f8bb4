//! Everything that people read, by where it stands: sources, helps, front pages, sample papers.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::Command;

use crate::literals::{Attributes, literals};
use crate::pages::{files, of_terminal, snapshot};
use crate::sources::{Source, in_ours};
use crate::text::filled_in;

/// What is read as a whole.
const FILES: [&str; 14] = [
    "README.md",
    "DEVELOPERS.md",
    "sample-papers/saltmarsh-a.paper.ron",
    "sample-papers/saltmarsh-a.key.ron",
    "sample-papers/saltmarsh-b.paper.ron",
    "sample-papers/saltmarsh-b.key.ron",
    "sample-papers/saltmarsh-first.paper.ron",
    "sample-papers/saltmarsh-first.key.ron",
    "sample-papers/saltmarsh-long.paper.ron",
    "sample-papers/saltmarsh-long.key.ron",
    "sample-papers/saltmarsh-old.paper.ron",
    "sample-papers/saltmarsh-old.key.ron",
    "sample-papers/saltmarsh-short.paper.ron",
    "sample-papers/saltmarsh-short.key.ron",
];

/// Texts by where they stand: `src/words/aim.rs`, `README.md`, `sit --help`.
pub(crate) type Said = BTreeMap<String, Vec<String>>;

/// What stands in quotation marks in each file, values filled in.
pub(crate) fn in_sources(sources: &[Source]) -> Said {
    let texts = |source: &Source| literals(&source.plain.items, Attributes::OfErrors);
    sources
        .iter()
        .map(|source| (source.path.clone(), texts(source)))
        .map(|(path, texts)| (path, texts.iter().map(|text| filled_in(text)).collect()))
        .collect()
}

/// The help of the program and of each of its commands.
pub(crate) fn in_helps() -> Said {
    let mut all = Said::new();
    let mut left = vec![String::new()];
    while let Some(command) = left.pop() {
        let words = command.split_whitespace().chain(["--help"]);
        let done = Command::new(env!("CARGO_BIN_EXE_pacebell"))
            .args(words)
            .output()
            .unwrap();
        assert!(done.status.success(), "{command} has no help");
        let help = String::from_utf8(done.stdout).unwrap();
        let commands = help.lines().skip_while(|line| *line != "Commands:").skip(1);
        let names = commands
            .take_while(|line| !line.is_empty())
            .filter(|line| line.starts_with("  ") && !line.starts_with("   "))
            .filter_map(|line| line.split_whitespace().next())
            .filter(|name| *name != "help");
        left.extend(names.map(|name| format!("{command} {name}").trim().to_owned()));
        all.insert(format!("{command} --help").trim().to_owned(), vec![help]);
    }
    all
}

pub(crate) fn in_files() -> Said {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let text = |name: &str| fs::read_to_string(root.join(name)).unwrap();
    FILES
        .into_iter()
        .map(|name| (name.to_owned(), vec![text(name)]))
        .collect()
}

/// What other tests hold the program's pages to: a sentence may be put together from several texts.
fn on_pages() -> Said {
    let of = |folder: &str, end: &str| files(folder, "", end);
    let golden = of("golden", ".txt");
    let drawn = [
        ("tests/snapshots", of("snapshots", ".snap")),
        (
            "tests/sitting_pages",
            of("sitting_pages/snapshots", "0.snap"),
        ),
        ("tests/review_pages", of("review_pages/snapshots", "0.snap")),
    ];
    let printed = golden.iter().map(|path| fs::read_to_string(path).unwrap());
    let mut all = Said::from([("tests/golden".to_owned(), printed.collect())]);
    for (place, paths) in drawn {
        let texts = paths.iter().map(|path| of_terminal(&snapshot(path)));
        all.insert(place.to_owned(), texts.collect());
    }
    all
}

pub(crate) fn everything() -> Said {
    let mut all = in_ours(in_sources);
    all.extend(on_pages());
    all.extend(in_helps());
    all.extend(in_files());
    all
}

#[test]
fn every_place_is_read() {
    let helps = in_helps();
    assert!(helps.contains_key("--help") && helps.contains_key("paper check --help"));
    assert!(helps.len() >= 16, "{:?}", helps.keys());
    let sources = in_ours(in_sources);
    let read: usize = sources.values().map(Vec::len).sum();
    assert!(
        sources.len() > 100 && read > 2000,
        "{} files, {read} texts",
        sources.len()
    );
}
