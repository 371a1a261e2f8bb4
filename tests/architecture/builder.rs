//! What a test makes up of a paper or a header comes from the builder in `tests/common`; a test writes
//! the fields that are its own.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use syn::visit::{self, Visit};

use crate::sources::{Source, compare, files_below, in_ours, made_up};

const BUILT: [&str; 3] = ["Header", "Outline", "Paper"];

/// The literals of these types that take no field from elsewhere.
struct Literals(Vec<String>);

impl<'ast> Visit<'ast> for Literals {
    fn visit_expr_struct(&mut self, literal: &'ast syn::ExprStruct) {
        let name = literal.path.segments.last().unwrap().ident.to_string();
        if literal.rest.is_none() && BUILT.contains(&name.as_str()) {
            self.0.push(name);
        }
        visit::visit_expr_struct(self, literal);
    }
}

fn literals(file: &syn::File) -> Vec<String> {
    let mut found = Literals(Vec::new());
    found.visit_file(file);
    found.0
}

/// The literals in the tests of the program's own files: all but those outside tests.
fn in_unit_tests(sources: &[Source]) -> BTreeSet<String> {
    let of_tests = |source: &Source| {
        let mut all = literals(&source.whole);
        for name in literals(&source.plain) {
            let place = all.iter().position(|other| *other == name).unwrap();
            all.remove(place);
        }
        let path = source.path.clone();
        all.into_iter().map(move |name| format!("{path}: {name}"))
    };
    sources.iter().flat_map(of_tests).collect()
}

#[test]
fn papers_and_headers_of_tests_are_made_by_the_builder() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut found = in_ours(in_unit_tests);
    let builder = root.join("tests/common");
    for path in files_below(&root.join("tests")) {
        if path.starts_with(&builder) {
            continue;
        }
        let file = syn::parse_file(&fs::read_to_string(&path).unwrap()).unwrap();
        let path = path.strip_prefix(root).unwrap().display().to_string();
        found.extend(literals(&file).iter().map(|name| format!("{path}: {name}")));
    }
    compare("a paper or header written out in a test", &found, &[]);
}

#[test]
fn a_whole_literal_in_a_test_is_found_and_one_with_the_rest_from_elsewhere_is_not() {
    let found = in_unit_tests(&made_up(&[
        (
            "src/one.rs",
            "fn own() -> Header { Header { format: 2 } } #[cfg(test)] mod tests { \
             fn whole() -> a::Outline { a::Outline { id: 1 } } \
             fn part() -> Header { Header { format: 1, ..made() } } }",
        ),
        (
            "src/two.rs",
            "fn own() -> Paper { Paper { id: 1 } } #[cfg(test)] mod tests;",
        ),
        (
            "src/two/tests.rs",
            "fn whole() -> Paper { Paper { id: 1 } }",
        ),
    ]));
    let named = ["src/one.rs: Outline", "src/two/tests.rs: Paper"];
    assert_eq!(found, named.map(str::to_owned).into());
}
