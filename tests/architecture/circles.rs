//! No file imports another that imports it back, over however many steps.

use std::collections::{BTreeMap, BTreeSet};

use crate::paths::{Form, Map, Target, written};
use crate::sources::{Known, Source, in_ours, made_up};

/// Circles that are still to be broken: their files below `src`, without the ending, and the cure.
const KNOWN: &Known = &[];

/// Which file needs which, outside tests; a file that only passes a name on does not need it.
fn imports(sources: &[Source]) -> BTreeMap<String, BTreeSet<String>> {
    let map = Map::of(sources);
    let mut edges: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    for source in sources {
        for path in written(&source.module, &source.plain.items) {
            if path.form == Form::PassedOn {
                continue;
            }
            if let Target::Item(module, ..) = map.resolve(&path.module, &path.path)
                && let Some(file) = map.file(&module)
                && file != source.path
            {
                let needs = edges.entry(source.path.clone()).or_default();
                needs.insert(file.to_owned());
            }
        }
    }
    edges
}

/// The files that can be reached from a file.
fn reached(edges: &BTreeMap<String, BTreeSet<String>>, from: &str) -> BTreeSet<String> {
    let mut seen = BTreeSet::new();
    let mut next = vec![from.to_owned()];
    while let Some(file) = next.pop() {
        for other in edges.get(&file).into_iter().flatten() {
            if seen.insert(other.clone()) {
                next.push(other.clone());
            }
        }
    }
    seen
}

fn circles(sources: &[Source]) -> BTreeSet<Vec<String>> {
    let edges = imports(sources);
    let all: BTreeMap<&String, BTreeSet<String>> = edges
        .keys()
        .map(|file| (file, reached(&edges, file)))
        .collect();
    let mut found = BTreeSet::new();
    for (file, forth) in &all {
        if forth.contains(*file) {
            let circle = all
                .iter()
                .filter(|(other, back)| forth.contains(**other) && back.contains(*file))
                .map(|(other, _)| short(other))
                .collect();
            found.insert(circle);
        }
    }
    found
}

fn short(path: &str) -> String {
    let inside = path.trim_start_matches("src/");
    inside.trim_end_matches(".rs").to_owned()
}

/// Circles that are not part of a known one, and files of known ones that are in no circle.
fn beside_known(found: &BTreeSet<Vec<String>>, known: &Known) -> (Vec<Vec<String>>, Vec<String>) {
    let listed = |circle: &[String]| {
        known
            .iter()
            .any(|(files, _)| circle.iter().all(|file| files.contains(&file.as_str())))
    };
    let new = found.iter().filter(|circle| !listed(circle)).cloned();
    let in_circles: BTreeSet<&String> = found.iter().flatten().collect();
    let all_known = known.iter().flat_map(|(files, _)| *files);
    let mended = all_known
        .map(|file| (*file).to_owned())
        .filter(|file| !in_circles.contains(file));
    (new.collect(), mended.collect())
}

#[test]
fn no_file_imports_itself_back() {
    let (new, mended) = beside_known(&in_ours(circles), KNOWN);
    assert!(new.is_empty(), "circles of imports: {new:#?}");
    assert!(
        mended.is_empty(),
        "in no circle any longer, so take these off the list: {mended:#?}"
    );
}

#[test]
fn a_known_circle_may_shrink_and_not_grow() {
    let found = |files: &[&str]| {
        BTreeSet::from([files
            .iter()
            .map(|file| (*file).to_owned())
            .collect::<Vec<_>>()])
    };
    let known: &Known = &[(&["a", "b", "c"], "reason")];
    assert_eq!(
        beside_known(&found(&["a", "b", "c"]), known),
        (vec![], vec![])
    );
    let (new, mended) = beside_known(&found(&["a", "b"]), known);
    assert_eq!((new.len(), mended), (0, vec!["c".to_owned()]));
    assert_eq!(
        beside_known(&found(&["a", "b", "c", "d"]), known).0.len(),
        1
    );
}

#[test]
fn a_circle_is_found_through_a_name_passed_on() {
    let sources = made_up(&[
        (
            "src/a.rs",
            "mod one; mod two; pub use one::One; pub use two::Two;",
        ),
        ("src/a/one.rs", "use super::Two; pub struct One(Two);"),
        (
            "src/a/two.rs",
            "pub struct Two; impl Two { fn f() { super::One::f(); } }",
        ),
    ]);
    let found: Vec<_> = circles(&sources).into_iter().collect();
    assert_eq!(found, [["a/one", "a/two"]]);
}

#[test]
fn a_parent_that_only_lists_is_in_no_circle() {
    let sources = made_up(&[
        ("src/a.rs", "mod one; mod two; pub use one::One;"),
        ("src/a/one.rs", "pub struct One;"),
        (
            "src/a/two.rs",
            "use super::One; #[cfg(test)] mod tests { use crate::a::two; }",
        ),
    ]);
    assert!(circles(&sources).is_empty());
}
