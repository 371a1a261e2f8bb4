//! Sentences stand in `words`, or beside the error that they tell: in its attribute, or where it is displayed.
//!
//! Not read here: `storage`, which says what is wrong with a file where it finds it.

use std::collections::BTreeSet;

use syn::{Item, ItemImpl, Type};

use crate::literals::{Attributes, literals};
use crate::sources::{Known, Source, compare, in_ours, made_up};

/// The rooms that give values, those that set pages and lines, and those that bring both together.
const SILENT: [&str; 15] = [
    "analysis", "clock", "commands", "cohort", "dialogue", "domain", "invented", "odds", "plain",
    "reports", "screens", "season", "seat", "stats", "term",
];

/// How many words make a text a sentence or a caption.
const FEWEST: usize = 3;

/// Sentences that stand elsewhere.
const SAID: &Known = &[
    (
        &[
            "src/plain/word.rs: 24",
            "src/screens/ask.rs: 2",
            "src/screens/drill.rs: 4",
            "src/screens/kit/key_map.rs: 3",
            "src/screens/review/keys.rs: 55",
            "src/screens/review/view.rs: 8",
            "src/screens/sitting/act.rs: 1",
            "src/screens/sitting/answering.rs: 20",
            "src/screens/sitting/guessing.rs: 8",
            "src/screens/sitting/key_map.rs: 1",
            "src/screens/sitting/panel_keys.rs: 26",
            "src/screens/sitting/sweeping.rs: 8",
            "src/screens/start/keys.rs: 34",
        ],
        "a key, or a word to type, stands in one table with what it does",
    ),
    (
        &["src/commands/group.rs: 1"],
        "help stands with the words that a command takes",
    ),
    (
        &["src/commands/paper/template.rs: 3"],
        "the text of a new file, explained where it stands",
    ),
    (
        &["src/domain/thresholds.rs: 33"],
        "a threshold stands in one table with what it decides, which `storage` tells as well",
    ),
    (
        &["src/domain/mark.rs: 1", "src/domain/sitting/decide.rs: 11"],
        "what was wrong, said by a type that is no error yet",
    ),
    (
        &["src/domain/header.rs: 1"],
        "stands with the header that it is about: whoever shows a sitting that nobody sat has to say it",
    ),
    (
        &[
            "src/screens/review/compare.rs: 2",
            "src/screens/review/time.rs: 2",
        ],
        "heads of columns, at their places in a line",
    ),
    (
        &[
            "src/commands/demo.rs: 1",
            "src/commands/paper/new.rs: 1",
            "src/invented/season.rs: 1",
            "src/reports/document/style.rs: 2",
            "src/reports/plan.rs: 1",
        ],
        "no sentence: a source of randomness, a style sheet, a command line",
    ),
];

/// Whether a text is a sentence, a caption or a part of one: what stands in braces or between other signs is none.
fn is_sentence(text: &str) -> bool {
    let mut open = 0_usize;
    let plain: String = text
        .chars()
        .filter(|c| {
            match c {
                '{' => open += 1,
                '}' => open = open.saturating_sub(1),
                _ => return open == 0,
            }
            false
        })
        .collect();
    let words = plain.split_whitespace().filter(|word| {
        let word = word.trim_matches(|c: char| !c.is_alphanumeric());
        !word.is_empty() && word.chars().all(|c| c.is_alphabetic() || "'-".contains(c))
    });
    words.count() >= FEWEST
}

/// The trait and the type of an `impl Trait for Type`, by their last names.
fn implements(block: &ItemImpl) -> Option<(String, String)> {
    let (_, path, _) = block.trait_.as_ref()?;
    let Type::Path(own) = &*block.self_ty else {
        return None;
    };
    let last = |path: &syn::Path| path.segments.last().map(|part| part.ident.to_string());
    Some((last(path)?, last(&own.path)?))
}

/// Whether an item displays an error of this file.
fn displays_an_error(item: &Item, all: &[Item]) -> bool {
    let of = |item: &Item| match item {
        Item::Impl(block) => implements(block),
        _ => None,
    };
    match of(item) {
        Some((what, name)) if what == "Display" => {
            let error = Some(("Error".to_owned(), name));
            all.iter().any(|other| of(other) == error)
        }
        _ => false,
    }
}

fn said(sources: &[Source]) -> BTreeSet<String> {
    let silent = sources
        .iter()
        .filter(|source| SILENT.contains(&source.room()));
    let found = silent.filter_map(|source| {
        let items = &source.plain.items;
        let others = items.iter().filter(|item| !displays_an_error(item, items));
        let texts = literals(others, Attributes::None);
        let sentences = texts.iter().filter(|text| is_sentence(text)).count();
        (sentences > 0).then(|| format!("{}: {sentences}", source.path))
    });
    found.collect()
}

#[test]
fn sentences_stand_in_words_or_beside_their_error() {
    compare("sentences stand in words", &in_ours(said), SAID);
}

#[test]
fn a_sentence_is_found_wherever_it_stands_but_in_words_and_attributes() {
    let body = "
        #[error(\"there is no key\")] struct NoKey;
        impl Display for Gone { fn fmt(&self) { f.write_str(\"the file is gone\") } } impl Error for Gone {}
        impl Display for Wish { fn fmt(&self) { f.write_str(\"a wish to end\") } }
        const HEAD: &str = \"Marks in time\";
        fn f(n: u8) { g(format!(\"{n} of them {n} left\")); h.expect(\"is never none here\"); }
        fn g() -> Markup { html! { p { \"Questions to try again\" } p { \"two words\" } } }
        #[cfg(test)] mod tests { const A: &str = \"not for people to read\"; }
    ";
    let sources = made_up(&[("src/reports/a.rs", body), ("src/words/a.rs", body)]);
    let found: Vec<_> = said(&sources).into_iter().collect();
    assert_eq!(found, ["src/reports/a.rs: 4"]);
}

#[test]
fn names_formats_and_numbers_are_no_words() {
    for text in [
        "%Y-%m-%d %H:%M",
        "{a one two} {b} of",
        "width=device-width, initial-scale=1",
        "M{} {}V{}H{}",
        "snake_case a_b c_d",
        "1 2 3",
    ] {
        assert!(!is_sentence(text), "{text}");
    }
    for text in [
        "Not seen yet",
        "{n} of them, {m} left",
        "a 1-in-5 guess at it",
        "pupil's sheet isn't read-only",
    ] {
        assert!(is_sentence(text), "{text}");
    }
}
