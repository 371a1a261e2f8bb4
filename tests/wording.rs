//! Words: those that no pupil is to read, those that sound translated, and how hard sentences are.
//!
//! The sources are read with `syn`: what stands in quotation marks outside tests, errors' attributes with it,
//! is taken for shown. So are the helps, the front pages, the sample papers and the pages of other tests.
#![cfg(test)]

#[path = "wording/formats.rs"]
mod formats;
#[path = "architecture/literals.rs"]
mod literals;
#[path = "wording/pages.rs"]
mod pages;
#[path = "wording/phrases.rs"]
mod phrases;
#[path = "wording/pupils.rs"]
mod pupils;
#[path = "wording/reading_age.rs"]
mod reading_age;
#[path = "wording/said.rs"]
mod said;
#[path = "architecture/sources.rs"]
mod sources;
#[path = "wording/text.rs"]
mod text;

use std::collections::BTreeMap;

use literals::{Attributes, literals};
use phrases::phrases;
use said::everything;
use sources::{Source, in_ours};

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
    let texts: Vec<(String, Vec<String>)> = in_ours(|ours| {
        let speaking = ours.iter().filter(|own| SPEAKING.contains(&own.room()));
        let texts = |own: &Source| literals(&own.plain.items, Attributes::OfErrors);
        speaking.map(|own| (own.path.clone(), texts(own))).collect()
    });
    let files = texts.len();
    let mut read = 0;
    let mut found = Vec::new();
    for (path, texts) in &texts {
        for text in texts {
            read += 1;
            if let Some(word) = avoided(text) {
                found.push(format!("{path}: `{word}` in {text:?}"));
            }
        }
    }
    assert!(files > 20 && read > 300, "{files} files, {read} texts");
    assert!(found.is_empty(), "{}", found.join("\n"));
}

/// Files with phrases that are still to be rewritten, and how many; a count only gets smaller.
const LEFT: &[(&str, usize)] = &[("src/words/numbers.rs", 1)];

#[test]
fn no_phrase_sounds_translated() {
    let all = everything();
    let mut found = BTreeMap::new();
    let mut told = Vec::new();
    for (place, texts) in &all {
        for (phrase, around) in texts.iter().flat_map(|text| phrases(text)) {
            *found.entry(place.as_str()).or_insert(0) += 1;
            told.push(format!("{place}: `{phrase}` in \"{around}\""));
        }
    }
    only_shrinks("phrases", &found, LEFT, &told);
}

/// Fails where a place has more of something than is listed.
fn only_shrinks(
    what: &str,
    found: &BTreeMap<&str, usize>,
    listed: &[(&str, usize)],
    told: &[String],
) {
    let listed: BTreeMap<_, _> = listed.iter().copied().collect();
    let allowed = |place: &str| listed.get(place).copied().unwrap_or_default();
    let more: BTreeMap<_, _> = found
        .iter()
        .filter(|(place, times)| **times > allowed(place))
        .collect();
    assert!(more.is_empty(), "{what}: {more:?}\n{}", told.join("\n"));
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
