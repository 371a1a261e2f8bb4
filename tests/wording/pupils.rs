//! What pupils read: short sentences, and words that a pupil of eleven knows.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use serde::Deserialize;
use serde::de::DeserializeOwned;

use crate::pages::{files, of_browser, of_terminal, snapshot};
use crate::reading_age::Counts;
use crate::said::{in_files, in_sources};
use crate::sources::in_ours;
use crate::text::{sentences, words};

/// Where what pupils read is written.
const SPEAKING_TO_PUPILS: [&str; 17] = [
    "src/words/absence",
    "src/words/aloud",
    "src/words/encouragement",
    "src/words/feedback",
    "src/words/guess",
    "src/words/instructions",
    "src/words/notices",
    "src/words/result",
    "src/words/sign",
    "src/words/sitting",
    "src/words/start",
    "src/words/window",
    "src/dialogue",
    "src/plain",
    "src/screens/sitting",
    "src/screens/start",
    "src/domain/sitting/decide",
];

const LONGEST: usize = 20;
const OLDEST: f64 = 11.0;

/// A formula's figure for fewer words says nothing.
const FEWEST_WORDS: u32 = 100;

#[derive(Deserialize)]
struct Paper {
    conditions: Vec<String>,
    questions: Vec<Question>,
}

#[derive(Deserialize)]
struct Question {
    stem: String,
    #[serde(default)]
    figure_words: Option<String>,
}

#[derive(Deserialize)]
struct Key {
    notes: BTreeMap<u16, Note>,
}

#[derive(Deserialize)]
struct Note {
    hint: String,
    working: String,
}

fn read<T: DeserializeOwned>(name: &str) -> T {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("sample-papers")
        .join(name);
    let extensions = ron::extensions::Extensions::IMPLICIT_SOME;
    let options = ron::Options::default().with_default_extension(extensions);
    options
        .from_str(&fs::read_to_string(path).unwrap())
        .unwrap()
}

type Texts = BTreeMap<String, Vec<String>>;

fn in_papers() -> Texts {
    let mut all = Texts::new();
    for id in [
        "saltmarsh-a",
        "saltmarsh-b",
        "saltmarsh-first",
        "saltmarsh-long",
        "saltmarsh-old",
        "saltmarsh-short",
    ] {
        let paper: Paper = read(&format!("{id}.paper.ron"));
        let key: Key = read(&format!("{id}.key.ron"));
        let mut asked = paper.conditions;
        for question in paper.questions {
            asked.push(question.stem);
            asked.extend(question.figure_words);
        }
        let told = key.notes.into_values();
        all.insert(format!("{id}, questions"), asked);
        all.insert(
            format!("{id}, hints and workings"),
            told.flat_map(|note| [note.hint, note.working]).collect(),
        );
    }
    all
}

fn in_words() -> Texts {
    let mut all = in_ours(in_sources);
    all.retain(|path, _| {
        let mut starts = SPEAKING_TO_PUPILS.iter();
        starts.any(|start| *path == format!("{start}.rs") || path.starts_with(&format!("{start}/")))
    });
    all
}

/// Pages as they were shown to a pupil, by what they are.
fn on_pages() -> Texts {
    let mut all = Texts::new();
    for (page, folder, start) in [
        (
            "sitting",
            "sitting_pages/snapshots",
            "sitting_pages__pages__",
        ),
        ("start", "snapshots", "start_pages__"),
        ("result", "snapshots", "result_page__"),
    ] {
        let shown = files(folder, start, ".snap");
        let shown = shown
            .iter()
            .filter(|path| !path.to_string_lossy().contains("styles"));
        all.insert(
            format!("{page} pages"),
            shown.map(|path| of_terminal(&snapshot(path))).collect(),
        );
    }
    let lines = files("snapshots", "plain_lines__", ".snap");
    all.insert(
        "line by line".to_owned(),
        lines.iter().map(|path| snapshot(path)).collect(),
    );
    for pupil in ["lapwing", "marten", "teasel"] {
        let shown = files("golden", &format!("feedback-{pupil}-"), ".html");
        // The workings are those of papers that are kept as they were.
        let shown = shown
            .iter()
            .filter(|path| !path.to_string_lossy().contains("working"));
        let texts = shown.map(|path| of_browser(&fs::read_to_string(path).unwrap()));
        all.insert(format!("feedback for {pupil}"), texts.collect());
    }
    all
}

fn everything() -> Texts {
    let mut all = in_words();
    all.extend(on_pages());
    all.extend(in_papers());
    for texts in all.values_mut() {
        let mut each: Vec<_> = texts.iter().flat_map(|text| sentences(text)).collect();
        each.sort();
        each.dedup();
        *texts = each;
    }
    all
}

#[test]
fn no_sentence_for_a_pupil_is_long() {
    let all = everything();
    let mut told = Vec::new();
    for (place, texts) in &all {
        let long = texts.iter().filter(|text| words(text).len() > LONGEST);
        told.extend(long.map(|text| format!("{place}: {text}")));
    }
    assert!(all.len() > 20, "{:?}", all.keys());
    assert!(told.is_empty(), "{}", told.join("\n"));
}

#[test]
fn a_pupil_of_eleven_can_read_it() {
    let all = everything();
    let mut told = Vec::new();
    let mut old = 0;
    for (place, texts) in &all {
        let counts = Counts::of(texts.iter().map(String::as_str));
        if counts.words >= FEWEST_WORDS {
            let age = counts.reading_age().unwrap();
            told.push(format!("{place}: {age:.1} ({} words)", counts.words));
            old += usize::from(age > OLDEST);
        }
    }
    let mut pooled: Vec<_> = all.values().flatten().map(String::as_str).collect();
    pooled.sort_unstable();
    pooled.dedup();
    let counts = Counts::of(pooled);
    let age = counts.reading_age().unwrap();
    told.push(format!("all: {age:.1} ({} words)", counts.words));
    assert!(counts.words > 5000 && told.len() > 10);
    let figure = format!("a reading age of {age:.0}, on no page over {OLDEST}");
    let for_contributors = in_files()["DEVELOPERS.md"].concat();
    assert!(for_contributors.contains(&figure), "{figure}");
    assert!(
        old == 0 && age <= OLDEST,
        "reading age:\n{}",
        told.join("\n")
    );
}
