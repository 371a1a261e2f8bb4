//! Words that no pupil is to read, looked for in every text that the program can show one.
//!
//! The sources are read: what stands in quotation marks outside comments and tests is taken for
//! shown. Whole words only, so that `endpoints` and `failure` in a name do not count.
#![expect(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "a test that cannot read the sources must stop"
)]

#[path = "wording/texts.rs"]
mod texts;

use std::fs;
use std::path::{Path, PathBuf};

use texts::texts;

/// Where pupils' words come from: `words`, errors with their sentences, and the tables of keys.
const SPEAKING: [&str; 13] = [
    "words", "domain", "stats", "odds", "analysis", "cohort", "season", "seat", "dialogue",
    "plain", "reports", "screens", "commands",
];

/// Words of blame, of rank and of games, in the forms they take.
const AVOIDED: [&str; 50] = [
    "fail",
    "fails",
    "failed",
    "failing",
    "failure",
    "failures",
    "careless",
    "carelessly",
    "carelessness",
    "weak",
    "weaker",
    "weakest",
    "weakness",
    "weaknesses",
    "ability",
    "abilities",
    "streak",
    "streaks",
    "points",
    "cheat",
    "cheats",
    "cheated",
    "cheating",
    "league",
    "leagues",
    "badge",
    "badges",
    "leaderboard",
    "leaderboards",
    "lazy",
    "laziness",
    "stupid",
    "dumb",
    "silly",
    "clumsy",
    "sloppy",
    "loser",
    "losers",
    "useless",
    "hopeless",
    "wasted",
    "bad",
    "badly",
    "poor",
    "poorly",
    "shame",
    "disappointing",
    "gifted",
    "talented",
    "genius",
];

/// Said together, these blame as well.
const AVOIDED_PHRASES: [&str; 6] = [
    "you gave up",
    "got lucky",
    "below average",
    "level up",
    "you must finish",
    "free marks",
];

/// What has a word of the list in it by right: a cause set by the tutor, named for no one's doing.
const ALLOWED: [&str; 1] = ["bad luck"];

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

fn speaking() -> Vec<PathBuf> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut all = Vec::new();
    sources(&root, &mut all);
    all.retain(|path| {
        let inside = path.strip_prefix(&root).unwrap();
        let own = SPEAKING
            .iter()
            .any(|name| inside.starts_with(name) || inside == Path::new(&format!("{name}.rs")));
        let tests = inside
            .components()
            .any(|part| matches!(part.as_os_str().to_str(), Some("tests" | "tests.rs")));
        own && !tests
    });
    all
}

/// The word or phrase in `text` that is to be avoided.
fn avoided(text: &str) -> Option<&'static str> {
    let mut text = text.to_lowercase();
    for allowed in ALLOWED {
        text = text.replace(allowed, "");
    }
    let phrase = AVOIDED_PHRASES
        .into_iter()
        .find(|phrase| text.contains(phrase));
    let words: Vec<_> = text.split(|c: char| !c.is_alphanumeric()).collect();
    phrase.or_else(|| AVOIDED.into_iter().find(|word| words.contains(word)))
}

#[test]
fn no_text_that_a_pupil_can_read_has_a_word_to_avoid() {
    let files = speaking();
    let mut read = 0;
    let mut found = Vec::new();
    for path in &files {
        for text in texts(&fs::read_to_string(path).unwrap()) {
            read += 1;
            if let Some(word) = avoided(&text) {
                found.push(format!("{}: `{word}` in {text:?}", path.display()));
            }
        }
    }
    assert!(
        files.len() > 20 && read > 300,
        "{} files, {read} texts",
        files.len()
    );
    assert!(found.is_empty(), "{}", found.join("\n"));
}

#[test]
fn the_list_bites_on_whole_words_and_spares_what_is_allowed() {
    assert_eq!(avoided("You failed to answer 6"), Some("failed"));
    assert_eq!(avoided("Careless!"), Some("careless"));
    assert_eq!(avoided("{n} points"), Some("points"));
    assert_eq!(avoided("You gave up"), Some("you gave up"));
    assert_eq!(avoided("checkpoints and pointing up"), None);
    assert_eq!(avoided("bad luck"), None);
    assert_eq!(
        avoided("Question 8 took 8 minutes. What told you to stay?"),
        None
    );
}
