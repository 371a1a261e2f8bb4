//! Key files, `NAME.key.ron`: from what a tutor writes to a checked [`Key`].

mod against;
mod answers;
mod notes;

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use serde::Deserialize;

use super::locate::Spot;
use super::outline_only::OutlineOnly;
use super::paper::most_marks;
use super::problem::{FileTrouble, Findings};
use super::raw::{Numbered, RawAnswers};
use super::read::{self, Sound};
use crate::domain::key::{Key, Void};
use crate::domain::labels::Label;
use crate::domain::mark::Mark;
use crate::domain::marking::{Answer, mark};
use crate::domain::paper::{Fingerprint, MOST_QUESTIONS, Outline};
use crate::domain::rule::{QuestionNo, Rule};
use against::Against;

/// The version of the key file that this program writes; it reads all up to it.
pub const KEY_FORMAT: u32 = 1;

/// Loads a key that is sound in itself; whether it fits a paper is [`Key::fits`]'s to say.
///
/// # Errors
/// Everything that is wrong with the file.
pub fn load(path: &Path) -> Result<Key, FileTrouble> {
    from_bytes(path, &read::bytes(path)?, None).map(|sound| sound.value)
}

/// Loads a key that is sound and fits the paper, or says where in the key it does not.
///
/// # Errors
/// Everything that is wrong with the file.
pub fn load_for(path: &Path, paper: &Outline) -> Result<Key, FileTrouble> {
    read(path, Some(paper)).map(|sound| sound.value)
}

/// Reads a key with the notes on it, held against a paper where there is one.
///
/// # Errors
/// Everything that is wrong with the file.
pub fn read(path: &Path, paper: Option<&Outline>) -> Result<Sound<Key>, FileTrouble> {
    from_bytes(path, &read::bytes(path)?, paper)
}

/// Reads a key from the bytes of a file; `path` only names it.
///
/// # Errors
/// Everything that is wrong with them.
pub fn from_bytes(
    path: &Path,
    bytes: &[u8],
    paper: Option<&Outline>,
) -> Result<Sound<Key>, FileTrouble> {
    against(path, bytes, paper.map(OutlineOnly::from).as_ref())
}

/// Reads a key with the notes on it, held against what could be read of its paper.
///
/// # Errors
/// Everything that is wrong with the file.
pub fn read_against(path: &Path, paper: Option<&OutlineOnly>) -> Result<Sound<Key>, FileTrouble> {
    against(path, &read::bytes(path)?, paper)
}

fn against(
    path: &Path,
    bytes: &[u8],
    paper: Option<&OutlineOnly>,
) -> Result<Sound<Key>, FileTrouble> {
    read::sound(path, bytes, KEY_FORMAT, |form: KeyForm, findings| {
        form.mean(paper, findings)
    })
}

/// The id of the paper that a key says it belongs to, however wrong the rest of the file is.
///
/// # Errors
/// The file cannot be read at all.
pub fn paper_of(path: &Path) -> Result<Option<String>, FileTrouble> {
    let bytes = read::bytes(path)?;
    let text = read::text(&bytes).unwrap_or_else(|_| String::from_utf8_lossy(&bytes));
    let places = super::locate::Places::new(&text);
    let written = places.written(&Spot::top().at("paper"));
    Ok(written.and_then(|written| ron::from_str(written).ok()))
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename = "Key")]
struct KeyForm {
    #[serde(rename = "format")]
    _format: u32,
    paper: String,
    fingerprint: Option<String>,
    answers: RawAnswers,
    #[serde(default)]
    also_right: BTreeMap<Numbered, String>,
    #[serde(default)]
    void: BTreeMap<Numbered, Void>,
    #[serde(default)]
    notes: BTreeMap<Numbered, notes::NoteForm>,
}

impl KeyForm {
    fn mean(self, paper: Option<&OutlineOnly>, findings: &mut Findings<'_>) -> Option<Key> {
        let top = Spot::top();
        findings.id(&top.at("paper"), &self.paper);
        // Against another paper's questions everything would seem wrong: one sentence says it all.
        let ids = paper.and_then(|paper| paper.id.as_ref());
        let other = ids.filter(|id| **id != self.paper);
        if let Some(other) = other {
            findings.wrong(
                &top.at("paper"),
                format!("the key is for paper {:?}, not for {:?}; give the key of {1:?}, or correct the id", self.paper, other),
            );
        }
        let paper = paper.filter(|_| other.is_none());
        let fingerprint = fingerprint(self.fingerprint.as_deref(), paper, findings);
        let count = answers::count(&self.answers);
        let questions = paper.and_then(|paper| paper.questions);
        let against = Against {
            paper,
            counted: questions.is_some(),
            questions: questions.unwrap_or(count),
        };
        let answers = answers::read(&self.answers, count, &against, findings);
        // With one missing, all behind it are off by one: nothing is held against them.
        let in_step = !against.counted || count == against.questions;
        let mut also_right: BTreeMap<QuestionNo, BTreeSet<Label>> = BTreeMap::new();
        for (number, letters) in &self.also_right {
            let spot = top.at("also_right").at(number.0);
            if let Some(question) = against.question(&spot, *number, findings) {
                let main = answers.get(question.index()).copied().flatten();
                let main = main.filter(|_| in_step);
                let more = answers::more(&spot, question, letters, main, &against, findings);
                also_right.insert(question, more);
            }
        }
        let mut voids = BTreeMap::new();
        for (number, void) in &self.void {
            let spot = top.at("void").at(number.0);
            if let Some(question) = against.question(&spot, *number, findings) {
                voids.insert(question, *void);
            }
        }
        let is_right = |question: QuestionNo, label| {
            let also = also_right.get(&question);
            (in_step && answers.get(question.index()) == Some(&Some(label)))
                || also.is_some_and(|also| also.contains(&label))
        };
        let mut notes = BTreeMap::new();
        for (number, form) in self.notes {
            let spot = top.at("notes").at(number.0);
            if let Some(question) = against.question(&spot, number, findings) {
                notes.insert(
                    question,
                    form.mean(&spot, question, is_right, &against, findings),
                );
            }
        }
        let key = Key {
            paper: self.paper,
            fingerprint,
            answers: answers.into_iter().collect::<Option<_>>()?,
            also_right,
            voids,
            notes,
        };
        one_letter_all_through(&key, findings);
        if let Some(paper) = paper {
            boundaries_fit(&key, paper, findings);
        }
        Some(key)
    }
}

/// So many answers that are all the same are hardly ever meant.
const FEWEST_FOR_A_PATTERN: usize = 5;

/// Notes a key that is one letter from beginning to end: it may be what was there before it was typed.
fn one_letter_all_through(key: &Key, findings: &mut Findings<'_>) {
    let mut answers = key.answers.iter();
    let first = answers.next();
    if let Some(first) = first.filter(|first| answers.all(|answer| answer == *first))
        && (FEWEST_FOR_A_PATTERN..MOST_QUESTIONS).contains(&key.answers.len())
    {
        findings.note(
            &Spot::top().at("answers"),
            format!("every answer is {first}; make sure that the whole key has been typed in"),
        );
    }
}

/// Notes boundaries that are for another maximum than the one that dropped questions leave.
fn boundaries_fit(key: &Key, paper: &OutlineOnly, findings: &mut Findings<'_>) {
    let (Some(rule), false) = (&paper.rule, paper.awards.is_empty()) else {
        return;
    };
    let (all, left) = (most_marks(rule), most_with(key, rule));
    // Of a key with answers missing or too many, that is told already.
    if left == all || paper.questions != Some(key.answers.len()) {
        return;
    }
    let spot = Spot::top().at("void");
    let above = paper.awards.iter().filter(|award| award.boundary > left);
    let above: Vec<_> = above.map(|award| award.name.as_str()).collect();
    findings.note(
        &spot,
        if above.is_empty() {
            format!("dropped questions leave {left} marks, but the boundaries are for {all}; check whether they still hold, or credit the questions")
        } else {
            format!("dropped questions leave {left} marks, so nobody can reach the boundary for {}; correct the paper's boundaries, or credit the questions", above.join(", "))
        },
    );
}

/// The most that a paper can give with this key.
fn most_with(key: &Key, rule: &Rule) -> Mark {
    let numbers = (1..=key.answers.len()).map(|number| QuestionNo::from_index(number - 1));
    let blank = |number| Answer {
        number,
        given: None,
        how: None,
        after_time: false,
    };
    mark(&numbers.map(blank).collect::<Vec<_>>(), key, rule).max
}

/// The version of the paper that the key is for, where it says.
fn fingerprint(
    written: Option<&str>,
    paper: Option<&OutlineOnly>,
    findings: &mut Findings<'_>,
) -> Option<Fingerprint> {
    let spot = Spot::top().at("fingerprint");
    let own = paper.and_then(|paper| paper.fingerprint.as_ref());
    let Some(written) = written else {
        if let Some(own) = own {
            findings.note(
                &spot,
                format!("the key doesn't say which version of the paper it's for; check its answers, then write fingerprint: \"{own}\" in it"),
            );
        }
        return None;
    };
    let hex = |c: char| c.is_ascii_digit() || ('a'..='f').contains(&c);
    if written.len() != 16 || !written.chars().all(hex) {
        let way_out = match own {
            Some(own) => format!("write fingerprint: \"{own}\""),
            None => "copy it from what `paper check` says about the paper, or leave the field out"
                .to_owned(),
        };
        findings.wrong(
            &spot,
            format!("{written:?} isn't a fingerprint, which has sixteen hex digits; {way_out}"),
        );
        return None;
    }
    if let Some(own) = own.filter(|own| own.to_string() != written) {
        findings.wrong(
            &spot,
            format!("the key is for another version of the paper's questions, going by its fingerprint; if its answers are still right, write fingerprint: \"{own}\""),
        );
    }
    // Any text of the form is one; the type has no other door.
    ron::from_str(&format!("{written:?}")).ok()
}
