//! What `progress --json` and a feedback page say of a sitting, against the raw log.

use std::fs;
use std::path::Path;

use serde::Deserialize;

use crate::claims::{self, Claim};
use crate::facts::Facts;
use crate::plain::{Differences, seconds_of};
use crate::program::{self, Marks};
use crate::raw::Key;
use crate::review::{EASY, UNKEYED};
use crate::scripted::{SAMPLES, key_path};

#[derive(Debug, PartialEq, Deserialize)]
struct Sweep {
    filled: usize,
    seconds: f64,
    left_seconds: f64,
    complete: bool,
}

/// A sitting of `progress --json`.
#[derive(Deserialize)]
struct Sat {
    sitting: String,
    mark: Option<Marks>,
    blanks: Option<usize>,
    sinks: Option<usize>,
    sweep: Option<Sweep>,
}

#[derive(Deserialize)]
struct Season {
    sittings: Vec<Sat>,
}

/// A sitting, and the key it is held against.
pub(crate) struct Held<'a> {
    pub(crate) facts: Facts<'a>,
    pub(crate) key: &'a Key,
}

/// Everything in which `progress PUPIL --json` differs from the log; how many sittings it tells.
pub(crate) fn progress(folder: &Path, pupil: &str, held: &[Held<'_>]) -> (usize, Vec<String>) {
    let sessions = folder.join("sessions");
    let sessions = sessions.to_str().unwrap();
    let words = [
        "progress",
        pupil,
        "--json",
        "--keys",
        SAMPLES,
        "--sessions",
        sessions,
    ];
    let season: Season = serde_json::from_slice(&program::run(folder, &words).stdout).unwrap();
    let mut found = Differences::default();
    for told in &season.sittings {
        let own = |held: &&Held<'_>| held.facts.session.header.sitting == told.sitting;
        let held = held.iter().find(own).unwrap();
        let facts = &held.facts;
        if let Some(mark) = &told.mark {
            let truth = [
                facts.mark_in_time(held.key),
                facts.mark_with_guess_round(held.key),
                facts.mark_worked(held.key),
                facts.max(),
            ];
            found.hold("marks", &truth, &mark.all());
        }
        // Of a sheet typed in nobody knows what was blank when time was up.
        let blanks = facts.is_timed().then(|| facts.blanks().len());
        found.hold("blanks", &blanks, &told.blanks);
        if let Some(sinks) = told.sinks {
            let claims = claims::all(facts, held.key);
            let truth = claims.iter().filter(|claim| claim.kind == "sink");
            found.hold("sinks", &truth.count(), &sinks);
        }
        let sweep = claims::sweep(facts).map(|sweep| Sweep {
            filled: sweep.filled.len(),
            seconds: seconds_of(sweep.took),
            left_seconds: seconds_of(facts.left(sweep.from)),
            complete: facts.blanks().is_empty(),
        });
        found.hold("sweep", &sweep, &told.sweep);
    }
    let name = |what: String| format!("progress of {pupil}: {what}");
    (
        season.sittings.len(),
        found.0.into_iter().map(name).collect(),
    )
}

/// The words of a feedback page, without its marks of form.
pub(crate) fn feedback(folder: &Path, path: &Path, paper: &str) -> String {
    let page = folder.join("page.html");
    let _none_before = fs::remove_file(&page);
    let key = key_path(paper);
    program::run(
        folder,
        &[
            "feedback",
            path.to_str().unwrap(),
            "--key",
            key.to_str().unwrap(),
            "-o",
            page.to_str().unwrap(),
        ],
    );
    let text = fs::read_to_string(page).unwrap();
    let (_, body) = text.split_once("</style>").unwrap();
    let mut words = String::new();
    for part in body.split('<') {
        let (_tag, text) = part.split_once('>').unwrap_or(("", part));
        words.push_str(text);
        words.push('\n');
    }
    words
}

/// What a page says, and the findings of which one must be claimed for it.
pub(crate) const SENTENCES: [(&str, &[&str]); 12] = [
    (
        "Going back to questions you'd left brought you marks",
        &["second_pass"],
    ),
    ("You kept to your pace plan", &["checkpoints_kept"]),
    (
        "Every question had an answer before time was up",
        &["no_blank"],
    ),
    ("You filled your blanks before time was up", &["sweep"]),
    ("right. Well checked.", &["changed_to_right"]),
    ("right before you changed", &["changed_to_wrong"]),
    ("You finished with ", &["ended_early", "unused_time"]),
    ("Next time, spend it on ", &["unused_time"]),
    ("very quickly. Read the last line", &["rushed"]),
    ("many times. Going back once", &["to_and_fro"]),
    ("The plan was to have question ", &["checkpoint_late"]),
    ("Next time, fill every blank", &["blanks"]),
];

/// Praise of a section that was worked.
const CAREFUL: &str = "That was careful work.";
/// Praise of a sheet without a blank.
const NO_BLANKS: &str = "No blanks this time.";
/// Behind the first questions where all of them are right.
const ALL_RIGHT: &str = " are all right.";

/// The numbers named between two texts, and whether there was such a sentence.
fn named_between(page: &str, before: &str, after: &str) -> Option<Vec<u16>> {
    let (_, rest) = page.split_once(before)?;
    let (list, _) = rest.split_once(after)?;
    let words = list.split(|letter: char| !letter.is_ascii_digit());
    Some(words.filter_map(|word| word.parse::<u16>().ok()).collect())
}

/// Praise that the log does not bear: questions said to be all right that are not, the dearest one said to
/// be worked out though it was guessed or swept, counts of what was right and guessed, and a pupil without a
/// blank who had one.
fn false_praise(facts: &Facts<'_>, key: &Key, page: &str) -> Vec<String> {
    let mut wrong = vec![];
    let is_right = |question: &u16| {
        let given = facts.in_time.get(question);
        given.is_some_and(|given| given.option == key.right(*question))
    };
    if let Some(range) = named_between(page, "Questions ", ALL_RIGHT)
        && let [first, last] = range[..]
        && !(first..=last).all(|question| is_right(&question))
    {
        wrong.push(format!("{first} to {last} are not all right"));
    }
    let swept = claims::sweep(facts).map(|sweep| sweep.filled);
    let swept = swept.unwrap_or_default();
    if let Some(named) = named_between(page, "You worked out question", ", which") {
        let thought = |question: &u16| {
            is_right(question)
                && !swept.contains(question)
                && !facts.in_time[question].how.is_luck()
        };
        if !named.iter().all(thought) {
            wrong.push(format!("{named:?} were not all worked out"));
        }
    }
    let right = facts.asked.iter().filter(|own| is_right(own)).count();
    let counted = format!("{right} of {} questions right in time", facts.asked.len());
    if page.contains("questions right in time") && !page.contains(&counted) {
        wrong.push(format!("not {counted:?}"));
    }
    if page.contains(NO_BLANKS) && !facts.blanks().is_empty() {
        wrong.push("no blank, though there is one".to_owned());
    }
    wrong
}

/// Everything that a feedback page says and the log does not.
pub(crate) fn contradictions(facts: &Facts<'_>, key: &Key, page: &str) -> Vec<String> {
    let mut wrong = vec![];
    let (asked, blank) = (facts.asked.len(), facts.blanks().len());
    let answered = format!(
        "You answered {} of {asked} questions in time.",
        asked - blank
    );
    if page.contains(" questions in time.") && !page.contains(&answered) {
        wrong.push(format!("not {answered:?}"));
    }
    if let Some((_, habit)) = page.split_once("This time: ")
        && habit.contains("questions blank")
        && !habit.starts_with(&format!("{blank} of {asked} questions blank"))
    {
        wrong.push(format!("not {blank} blank"));
    }
    wrong.extend(false_praise(facts, key, page));
    let claims = claims::all(facts, key);
    let is_claimed = |kind: &str| claims.iter().any(|claim: &Claim| claim.kind == kind);
    for (sentence, kinds) in SENTENCES {
        if page.contains(sentence) && !kinds.iter().any(|kind| is_claimed(kind)) {
            wrong.push(format!("{sentence:?} without {kinds:?}"));
        }
    }
    if page.contains(CAREFUL) && !claims::a_section_by_thought(facts, key) {
        wrong.push("a section worked with care, with guesses in it".to_owned());
    }
    let pushes = ["fill every blank", "and every blank gets an answer"];
    if pushes.iter().any(|push| page.contains(push))
        && !facts.blanks().iter().all(|own| claims::gains(facts, *own))
    {
        wrong.push("blanks to be filled on which a guess gains nothing".to_owned());
    }
    if let Some(named) = named_between(page, "and there's time for question", " too.")
        && !named
            .iter()
            .all(|own| facts.blanks().contains(own) && claims::gains(facts, *own))
    {
        wrong.push(format!("time for {named:?}"));
    }
    let in_time = facts.mark_in_time(key);
    for award in &facts.session.header.paper.awards {
        let reached = format!("You reached {} ", award.name);
        if page.contains(&reached) && in_time < award.boundary.0 {
            wrong.push(format!("{reached:?}, with {in_time} in time"));
        }
    }
    wrong
}

/// A sentence that is worded otherwise now would be held against nothing.
#[test]
fn every_sentence_that_is_looked_for_is_one_of_the_program() {
    let words = concat!(env!("CARGO_MANIFEST_DIR"), "/src/words/");
    let sources = ["findings.rs", "feedback.rs", "encouragement.rs"];
    let sources = sources.map(|file| fs::read_to_string(format!("{words}{file}")).unwrap());
    let others = [
        CAREFUL,
        EASY,
        UNKEYED,
        NO_BLANKS,
        "every blank gets an answer",
        "there's time for {}",
        ALL_RIGHT,
        "You worked out {named}, which",
    ];
    for sentence in SENTENCES
        .iter()
        .map(|(sentence, _)| *sentence)
        .chain(others)
    {
        assert!(
            sources.iter().any(|text| text.contains(sentence)),
            "{sentence:?}"
        );
    }
}
