//! The sources as `syn` reads them: each file with its module path, with and without its tests.

use std::collections::BTreeSet;
use std::fs;
use std::panic::{AssertUnwindSafe, catch_unwind, resume_unwind};
use std::path::{Path, PathBuf};
use std::sync::LazyLock;
use std::sync::mpsc::{self, Sender};
use std::thread;

use syn::{Attribute, ImplItem, Item};

/// One file of `src`.
pub(crate) struct Source {
    /// As in `src/domain/key.rs`.
    pub(crate) path: String,
    /// As in `["domain", "key"]`; empty for `lib.rs`, `["main"]` for the program.
    pub(crate) module: Vec<String>,
    /// Everything in it.
    pub(crate) whole: syn::File,
    /// What is in it outside tests; nothing for a file of tests.
    pub(crate) plain: syn::File,
}

impl Source {
    /// The room that the file belongs to: the first part of its module path.
    pub(crate) fn room(&self) -> &str {
        self.module.first().map_or("lib", String::as_str)
    }
}

/// All files below a folder that end in `.rs`.
pub(crate) fn files_below(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            found.extend(files_below(&path));
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            found.push(path);
        }
    }
    found.sort();
    found
}

/// What a rule finds in the program's own sources.
///
/// They are read once for all rules, since that takes longer than most rules do, and by a thread of their own, since
/// what `syn` reads stays where it was read.
pub(crate) fn in_ours<T: Send + 'static>(find: impl FnOnce(&[Source]) -> T + Send + 'static) -> T {
    type Rule = Box<dyn FnOnce(&[Source]) + Send>;
    static READER: LazyLock<Sender<Rule>> = LazyLock::new(|| {
        let (sender, rules) = mpsc::channel::<Rule>();
        thread::spawn(move || {
            let ours = ours();
            for rule in rules {
                rule(&ours);
            }
        });
        sender
    });
    let (found, answer) = mpsc::channel();
    let rule = move |sources: &[Source]| {
        // A rule that panics fails its own test and no other.
        let result = catch_unwind(AssertUnwindSafe(|| find(sources)));
        found.send(result).unwrap();
    };
    READER.send(Box::new(rule)).unwrap();
    match answer.recv().unwrap() {
        Ok(found) => found,
        Err(panic) => resume_unwind(panic),
    }
}

fn ours() -> Vec<Source> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let texts: Vec<(String, String)> = files_below(&root.join("src"))
        .iter()
        .map(|path| {
            let inside = path.strip_prefix(root).unwrap();
            let parts: Vec<_> = inside.iter().map(|part| part.to_string_lossy()).collect();
            (parts.join("/"), fs::read_to_string(path).unwrap())
        })
        .collect();
    parsed(&texts)
}

/// Sources made up for a check of a check.
pub(crate) fn made_up(files: &[(&str, &str)]) -> Vec<Source> {
    let texts: Vec<_> = files
        .iter()
        .map(|(path, text)| ((*path).to_owned(), (*text).to_owned()))
        .collect();
    parsed(&texts)
}

fn parsed(texts: &[(String, String)]) -> Vec<Source> {
    let mut all: Vec<Source> = texts
        .iter()
        .map(|(path, text)| {
            let whole = syn::parse_file(text).unwrap_or_else(|error| panic!("{path}: {error}"));
            let plain = syn::File {
                items: without_tests(&whole.items),
                ..whole.clone()
            };
            Source {
                module: module_of(path),
                path: path.clone(),
                whole,
                plain,
            }
        })
        .collect();
    let of_tests: BTreeSet<Vec<String>> = all.iter().flat_map(test_files_of).collect();
    for source in &mut all {
        let is_test = (0..=source.module.len()).any(|end| of_tests.contains(&source.module[..end]));
        if is_test {
            source.plain.items.clear();
        }
    }
    all
}

fn module_of(path: &str) -> Vec<String> {
    let inside = path.trim_start_matches("src/").trim_end_matches(".rs");
    if inside == "lib" {
        return Vec::new();
    }
    inside.split('/').map(str::to_owned).collect()
}

/// The modules that a file names as files of tests.
fn test_files_of(source: &Source) -> Vec<Vec<String>> {
    let named = source.whole.items.iter().filter_map(|item| match item {
        Item::Mod(module) if module.content.is_none() && is_test(&module.attrs) => {
            Some(module.ident.to_string())
        }
        _ => None,
    });
    named
        .map(|name| [source.module.clone(), vec![name]].concat())
        .collect()
}

/// Whether `#[cfg(test)]` or `#[test]` stands over an item.
fn is_test(attributes: &[Attribute]) -> bool {
    attributes.iter().any(|attribute| {
        attribute.path().is_ident("test")
            || attribute.path().is_ident("cfg")
                && attribute
                    .parse_args::<syn::Path>()
                    .is_ok_and(|path| path.is_ident("test"))
    })
}

fn without_tests(items: &[Item]) -> Vec<Item> {
    items
        .iter()
        .filter(|item| !is_test(attributes_of(item)))
        .cloned()
        .map(|item| match item {
            Item::Impl(mut block) => {
                block.items.retain(|inside| match inside {
                    ImplItem::Fn(function) => !is_test(&function.attrs),
                    ImplItem::Const(constant) => !is_test(&constant.attrs),
                    _ => true,
                });
                Item::Impl(block)
            }
            Item::Mod(mut module) => {
                if let Some((_, inside)) = &mut module.content {
                    *inside = without_tests(inside);
                }
                Item::Mod(module)
            }
            other => other,
        })
        .collect()
}

/// The attributes of an item of any kind that stands in a module.
pub(crate) fn attributes_of(item: &Item) -> &[Attribute] {
    match item {
        Item::Const(item) => &item.attrs,
        Item::Enum(item) => &item.attrs,
        Item::Fn(item) => &item.attrs,
        Item::Impl(item) => &item.attrs,
        Item::Macro(item) => &item.attrs,
        Item::Mod(item) => &item.attrs,
        Item::Static(item) => &item.attrs,
        Item::Struct(item) => &item.attrs,
        Item::Trait(item) => &item.attrs,
        Item::Type(item) => &item.attrs,
        Item::Use(item) => &item.attrs,
        _ => &[],
    }
}

/// Known breaches that share a reason.
pub(crate) type Known = [(&'static [&'static str], &'static str)];

/// Breaches beside the list of known ones.
///
/// # Panics
/// With the breaches that are not listed, or with the entries that hold no longer.
pub(crate) fn compare(rule: &str, found: &BTreeSet<String>, known: &Known) {
    let mut listed = BTreeSet::new();
    for (entries, reason) in known {
        assert!(!reason.is_empty(), "{rule}: {entries:?} have no reason");
        for entry in *entries {
            let fresh = listed.insert((*entry).to_owned());
            assert!(fresh, "{rule}: {entry} is listed twice");
        }
    }
    let new: Vec<_> = found.difference(&listed).collect();
    let mended: Vec<_> = listed.difference(found).collect();
    assert!(new.is_empty(), "{rule}: {new:#?}");
    assert!(
        mended.is_empty(),
        "{rule}: mended, so take these off the list: {mended:#?}"
    );
}

#[test]
fn tests_are_told_from_the_rest() {
    let read = made_up(&[
        (
            "src/a.rs",
            "#[cfg(test)] mod tests; fn kept() {} #[cfg(test)] mod inside { fn gone() {} }",
        ),
        ("src/a/tests.rs", "fn gone() {}"),
        ("src/a/tests/more.rs", "fn gone() {}"),
    ]);
    let left: Vec<_> = read.iter().map(|source| source.plain.items.len()).collect();
    assert_eq!(left, [1, 0, 0]);
    assert_eq!(read[0].whole.items.len(), 3);
}

#[test]
#[should_panic(expected = "is new")]
fn a_breach_that_is_not_listed_fails() {
    compare("rule", &BTreeSet::from(["is new".to_owned()]), &[]);
}

#[test]
#[should_panic(expected = "take these off the list")]
fn an_entry_that_holds_no_longer_fails() {
    compare("rule", &BTreeSet::new(), &[(&["gone"], "was there")]);
}
