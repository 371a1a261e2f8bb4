//! A type has a name of its own, few fields, and its methods in few files.

use std::collections::{BTreeMap, BTreeSet};

use syn::visit::{self, Visit};

use crate::paths::{Map, Target};
use crate::sources::{Known, Source, compare, in_ours, made_up};

/// Names that stand for more than one type.
const TWICE: &Known = &[
    (
        &["Done", "Seen", "Habits", "Marks"],
        "what a log tells, and the part of it that a sentence or an estimate takes",
    ),
    (
        &["Choice", "Asked"],
        "what is chosen or asked on paper, and on the start page",
    ),
    (
        &["Key", "Report", "Page", "State", "Step", "Typed"],
        "a thing of the trade, and the thing of that name on a screen or in a text",
    ),
    (
        &["Act", "View", "Move", "Desk", "Said"],
        "each page, and each face of a sitting, has its own",
    ),
    (
        &["Entry", "Places"],
        "who stands for a pupil, or the places of a further round; and a word of files",
    ),
];

/// Types of more than ten fields.
const WIDE: &Known = &[
    (
        &[
            "commands::boundary::BoundaryArgs",
            "commands::group::GroupArgs",
        ],
        "the words typed, as clap reads them",
    ),
    (
        &[
            "domain::header::Header",
            "domain::register::Registered",
            "storage::files::paper::PaperForm",
            "storage::files::register::RegisteredForm",
            "storage::journal::format1::FirstHeader",
        ],
        "the fields of a file",
    ),
    (&["reports::sources::Sources"], "the shape of a report"),
    (
        &[
            "reports::feedback::content::Feedback",
            "reports::progress::json::ProgressOut",
            "screens::review::study::QuestionFacts",
            "screens::start::offer::Offer",
            "season::plan::Plan",
            "season::progress::line::Line",
            "words::result::Ended",
        ],
        "everything a page says",
    ),
    (
        &["storage::journal::writer::thread::Worker"],
        "a thread and all that it holds",
    ),
];

/// Types whose methods stand in more than three files.
const SPREAD: &Known = &[];

#[derive(Default)]
struct Named {
    names: Vec<String>,
    wide: Vec<String>,
}

impl<'ast> Visit<'ast> for Named {
    fn visit_item_struct(&mut self, item: &'ast syn::ItemStruct) {
        self.names.push(item.ident.to_string());
        if item.fields.len() > 10 {
            self.wide.push(item.ident.to_string());
        }
    }

    fn visit_item_enum(&mut self, item: &'ast syn::ItemEnum) {
        self.names.push(item.ident.to_string());
        visit::visit_item_enum(self, item);
    }

    fn visit_item_trait(&mut self, item: &'ast syn::ItemTrait) {
        self.names.push(item.ident.to_string());
        visit::visit_item_trait(self, item);
    }

    fn visit_item_type(&mut self, item: &'ast syn::ItemType) {
        self.names.push(item.ident.to_string());
    }
}

fn named(source: &Source) -> Named {
    let mut all = Named::default();
    source
        .plain
        .items
        .iter()
        .for_each(|item| all.visit_item(item));
    all
}

fn twice(sources: &[Source]) -> BTreeSet<String> {
    let mut seen = BTreeSet::new();
    let all = sources.iter().flat_map(|source| named(source).names);
    all.filter(|name| !seen.insert(name.clone())).collect()
}

fn wide(sources: &[Source]) -> BTreeSet<String> {
    let of = |source: &Source| {
        let module = source.module.join("::");
        named(source)
            .wide
            .into_iter()
            .map(move |name| format!("{module}::{name}"))
    };
    sources.iter().flat_map(of).collect()
}

fn spread(sources: &[Source]) -> BTreeSet<String> {
    struct Blocks<'a> {
        map: &'a Map,
        module: Vec<String>,
        found: Vec<String>,
    }
    impl<'ast> Visit<'ast> for Blocks<'_> {
        fn visit_item_impl(&mut self, item: &'ast syn::ItemImpl) {
            let syn::Type::Path(of) = &*item.self_ty else {
                return;
            };
            let path: Vec<_> = of
                .path
                .segments
                .iter()
                .map(|part| part.ident.to_string())
                .collect();
            if let Target::Item(module, name, _) = self.map.resolve(&self.module, &path) {
                self.found.push(format!("{}::{name}", module.join("::")));
            }
        }
    }
    let map = Map::of(sources);
    let mut files: BTreeMap<String, BTreeSet<&str>> = BTreeMap::new();
    for source in sources {
        let mut blocks = Blocks {
            map: &map,
            module: source.module.clone(),
            found: Vec::new(),
        };
        source
            .plain
            .items
            .iter()
            .for_each(|item| blocks.visit_item(item));
        for name in blocks.found {
            files.entry(name).or_default().insert(&source.path);
        }
    }
    let many = files.into_iter().filter(|(_, files)| files.len() > 3);
    many.map(|(name, _)| name).collect()
}

#[test]
fn no_two_types_share_a_name() {
    compare("a type's name stands once", &in_ours(twice), TWICE);
}

#[test]
fn no_type_has_over_ten_fields() {
    compare("at most ten fields", &in_ours(wide), WIDE);
}

#[test]
fn the_methods_of_a_type_stand_in_three_files_at_most() {
    compare("methods in three files at most", &in_ours(spread), SPREAD);
}

#[test]
fn a_name_taken_twice_is_found_and_one_in_tests_is_not() {
    let sources = made_up(&[
        ("src/a.rs", "struct One; enum Two {} type Three = u8;"),
        (
            "src/b.rs",
            "trait Two {} struct Three; #[cfg(test)] mod tests { struct One; }",
        ),
    ]);
    assert_eq!(
        twice(&sources),
        BTreeSet::from(["Three", "Two"].map(str::to_owned))
    );
}

#[test]
fn eleven_fields_are_found_and_ten_are_not() {
    let fields = |n: usize| ["f: u8"].repeat(n).join(", ");
    let text = format!(
        "struct Ten {{ {} }} struct Eleven {{ {} }}",
        fields(10),
        fields(11)
    );
    let sources = made_up(&[("src/a.rs", &text)]);
    assert_eq!(wide(&sources), BTreeSet::from(["a::Eleven".to_owned()]));
}

#[test]
fn methods_in_a_fourth_file_are_found() {
    let part = "use super::Thing; impl Thing {}";
    let mut files = vec![
        ("src/a.rs", "pub struct Thing; impl Thing {}"),
        ("src/a/b.rs", part),
        ("src/a/c.rs", part),
    ];
    assert!(spread(&made_up(&files)).is_empty());
    files.push(("src/a/d.rs", part));
    assert_eq!(
        spread(&made_up(&files)),
        BTreeSet::from(["a::Thing".to_owned()])
    );
}
