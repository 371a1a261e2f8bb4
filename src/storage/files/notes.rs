//! Tutor's notes, `NAME.notes.ron` beside `NAME.session.ron`; the session itself is never touched.
//!
//! A file is replaced as a whole: written beside, synced, then renamed over the old one, so that a
//! crash leaves either the old notes or the new ones. Only its owner can read it.

use std::collections::BTreeMap;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use chrono::{DateTime, FixedOffset};
use serde::{Deserialize, Serialize};

use super::locate::Spot;
use super::problem::{FileTrouble, Findings, Problem};
use super::raw::Numbered;
use super::read::{self, Sound};
use super::text::Shape;
use crate::domain::character::ShownPath as _;
use crate::domain::notes::{Earlier, NOTES_FORMAT, Notes, PupilSentence, Ruling, Said, Vouched};
use crate::domain::paper::MOST_QUESTIONS;
use crate::domain::rule::QuestionNo;
use crate::domain::step::{AgreedStep, LONGEST_STEP, Step};
use crate::storage::disk::{self, Rights};

/// What the name of a notes file ends in.
pub const NOTES_ENDING: &str = ".notes.ron";

/// What the name of a session file ends in.
const SESSION_ENDING: &str = ".session.ron";

/// Where the notes on a session lie.
pub fn path_beside(session: &Path) -> PathBuf {
    let name = session.file_name().unwrap_or_default().to_string_lossy();
    let stem = name.strip_suffix(SESSION_ENDING).unwrap_or(&name);
    session.with_file_name(format!("{stem}{NOTES_ENDING}"))
}

/// Loads the notes beside a session; a session without a notes file has none yet.
///
/// # Errors
/// Everything that is wrong with the file, among it that it belongs to another sitting.
pub fn load(session: &Path, sitting: &str) -> Result<Notes, FileTrouble> {
    let path = path_beside(session);
    if fs::symlink_metadata(&path).is_err() {
        return Ok(Notes::new(sitting));
    }
    let notes = from_bytes(&path, &read::bytes(&path)?)?.value;
    if notes.sitting == sitting {
        Ok(notes)
    } else {
        let sentence = format!(
            "these notes belong to sitting `{}`, not to `{sitting}`; move the file beside its own session file",
            notes.sitting
        );
        Err(FileTrouble::one(&path, Problem::whole(sentence)))
    }
}

/// Reads notes from the bytes of a file; `path` only names it.
///
/// # Errors
/// Everything that is wrong with them.
pub fn from_bytes(path: &Path, bytes: &[u8]) -> Result<Sound<Notes>, FileTrouble> {
    read::sound(path, bytes, NOTES_FORMAT, NotesForm::mean)
}

/// Why notes could not be saved; what was there before is still there.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum NotesNotSaved {
    /// They cannot be written as text.
    #[error("the notes cannot be written as text ({0}); shorten or retype the last one")]
    Unwritable(String),
    /// What was added could not be read again.
    #[error(
        "what was typed can't be kept, and the earlier notes stay as they are; type it again as plain words ({0})"
    )]
    Unreadable(FileTrouble),
    /// The system refuses.
    #[error(
        "{}: the notes cannot be saved ({source}), but the earlier ones are kept; free some space or check who owns the folder, then save again",
        path.shown()
    )]
    Io {
        /// The file.
        path: PathBuf,
        /// The refusal.
        source: io::Error,
    },
}

/// Saves the notes beside a session, in the place of those that were there.
///
/// # Errors
/// The system's refusal, and text that nothing could read again; then the old notes are still there.
pub fn save(session: &Path, notes: &Notes) -> Result<PathBuf, NotesNotSaved> {
    let path = path_beside(session);
    let text = text(notes).map_err(|error| NotesNotSaved::Unwritable(error.to_string()))?;
    from_bytes(&path, text.as_bytes()).map_err(NotesNotSaved::Unreadable)?;
    match disk::replace(&path, text.as_bytes(), Rights::Owner) {
        Ok(()) => Ok(path),
        Err(source) => Err(NotesNotSaved::Io { path, source }),
    }
}

/// Notes as the text of their file.
///
/// # Errors
/// What RON cannot write; with these fields there is nothing of the kind.
pub(in crate::storage) fn text(notes: &Notes) -> Result<String, ron::Error> {
    let form = NotesOut {
        format: NOTES_FORMAT,
        sitting: &notes.sitting,
        decisions: &notes.decisions,
        whole: notes.whole.as_ref(),
        questions: &notes.questions,
        evidence: &notes.vouched,
        for_pupil: &notes.for_pupil,
        steps: notes.steps.iter().map(AgreedOut::of).collect(),
        earlier: &notes.earlier,
    };
    let pretty =
        ron::ser::PrettyConfig::new().extensions(ron::extensions::Extensions::IMPLICIT_SOME);
    let body = ron::ser::to_string_pretty(&form, pretty)?;
    // The reader knows of implicit options; the file need not say so.
    let body = body
        .trim_start_matches("#![enable(implicit_some)]")
        .trim_start();
    Ok(format!("{body}\n"))
}

#[derive(Serialize)]
#[serde(rename = "Notes")]
struct NotesOut<'a> {
    format: u32,
    sitting: &'a str,
    #[serde(skip_serializing_if = "is_none")]
    decisions: &'a [Ruling],
    #[serde(skip_serializing_if = "Option::is_none")]
    whole: Option<&'a Said>,
    questions: &'a BTreeMap<QuestionNo, Said>,
    #[serde(skip_serializing_if = "is_none")]
    evidence: &'a [Vouched],
    #[serde(skip_serializing_if = "is_none")]
    for_pupil: &'a [PupilSentence],
    #[serde(skip_serializing_if = "Vec::is_empty")]
    steps: Vec<AgreedOut<'a>>,
    #[serde(skip_serializing_if = "is_none")]
    earlier: &'a [Earlier],
}

/// One word on the agreed step: a listed kind, or a text, or neither where it is withdrawn.
#[derive(Serialize)]
#[serde(rename = "Agreed")]
struct AgreedOut<'a> {
    at: DateTime<FixedOffset>,
    #[serde(skip_serializing_if = "Option::is_none")]
    step: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    text: Option<&'a str>,
    by: &'a str,
}

impl<'a> AgreedOut<'a> {
    fn of(agreed: &'a AgreedStep) -> Self {
        let (step, text) = match &agreed.step {
            Some(Step::Listed(step)) => (Some(step.to_string()), None),
            Some(Step::OwnWords(text)) => (None, Some(text.as_str())),
            None => (None, None),
        };
        Self {
            at: agreed.at,
            step,
            text,
            by: &agreed.by,
        }
    }
}

const fn is_none<T>(list: &&[T]) -> bool {
    list.is_empty()
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename = "Notes")]
struct NotesForm {
    #[serde(rename = "format")]
    _format: u32,
    sitting: String,
    #[serde(default)]
    whole: Option<Said>,
    #[serde(default)]
    questions: BTreeMap<Numbered, Said>,
    #[serde(default)]
    decisions: Vec<Ruling>,
    #[serde(default)]
    evidence: Vec<Vouched>,
    #[serde(default)]
    for_pupil: Vec<PupilSentence>,
    #[serde(default)]
    steps: Vec<StepForm>,
    #[serde(default)]
    earlier: Vec<EarlierForm>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename = "Agreed")]
struct StepForm {
    at: DateTime<FixedOffset>,
    #[serde(default)]
    step: Option<String>,
    #[serde(default)]
    text: Option<String>,
    by: String,
}

impl StepForm {
    fn mean(self, spot: &Spot, findings: &mut Findings<'_>) -> AgreedStep {
        if !self.by.is_empty() {
            findings.text(&spot.at("by"), &self.by, Shape::Line);
        }
        let step = match (self.step, self.text) {
            (Some(_), Some(_)) => {
                let sentence = "a step is a listed kind or a text; leave out `step` or `text`";
                findings.wrong(&spot.at("text"), sentence);
                None
            }
            (Some(step), None) => step
                .parse()
                .map_err(|no| findings.wrong(&spot.at("step"), no))
                .ok()
                .map(Step::Listed),
            (None, Some(text)) => {
                let spot = spot.at("text");
                if text.chars().count() > LONGEST_STEP {
                    let sentence = format!("shorten it to at most {LONGEST_STEP} characters");
                    findings.wrong(&spot, sentence);
                }
                findings.text(&spot, &text, Shape::Line);
                Some(Step::OwnWords(text))
            }
            (None, None) => None,
        };
        AgreedStep {
            at: self.at,
            step,
            by: self.by,
        }
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename = "Earlier")]
struct EarlierForm {
    #[serde(default)]
    question: Option<Numbered>,
    said: Said,
}

impl NotesForm {
    #[expect(
        clippy::unnecessary_wraps,
        reason = "the reader's signature; what is wrong is noted in the findings"
    )]
    fn mean(self, findings: &mut Findings<'_>) -> Option<Notes> {
        let top = Spot::top();
        let mut notes = Notes::new(&self.sitting);
        if let Some(said) = &self.whole {
            check(&top.at("whole"), said, findings);
        }
        for (number, said) in self.questions {
            let spot = top.at("questions").at(number.0);
            check(&spot, &said, findings);
            if let Some(question) = question(number, &spot, findings) {
                notes.questions.insert(question, said);
            }
        }
        for (place, earlier) in self.earlier.into_iter().enumerate() {
            let spot = top.at("earlier").item(place);
            check(&spot.at("said"), &earlier.said, findings);
            let number = earlier.question;
            let question = number.and_then(|number| question(number, &spot, findings));
            let said = earlier.said;
            notes.earlier.push(Earlier { question, said });
        }
        for (place, decision) in self.decisions.iter().enumerate() {
            let spot = top.at("decisions").item(place).at("because");
            check_text(&spot, &decision.because, findings);
        }
        for (place, vouched) in self.evidence.iter().enumerate() {
            let spot = top.at("evidence").item(place).at("sentence");
            check_text(&spot, &vouched.sentence, findings);
        }
        for (place, told) in self.for_pupil.iter().enumerate() {
            let spot = top.at("for_pupil").item(place).at("sentence");
            check_text(&spot, &told.sentence, findings);
        }
        for (place, agreed) in self.steps.into_iter().enumerate() {
            let spot = top.at("steps").item(place);
            notes.steps.push(agreed.mean(&spot, findings));
        }
        notes.whole = self.whole;
        notes.decisions = self.decisions;
        notes.vouched = self.evidence;
        notes.for_pupil = self.for_pupil;
        Some(notes)
    }
}

fn question(number: Numbered, spot: &Spot, findings: &mut Findings<'_>) -> Option<QuestionNo> {
    let question = number.among(MOST_QUESTIONS);
    if question.is_none() {
        let sentence = format!(
            "{} isn't a question; write a number from 1 to {MOST_QUESTIONS}",
            number.0
        );
        findings.wrong(spot, sentence);
    }
    question
}

fn check_text(spot: &Spot, text: &str, findings: &mut Findings<'_>) {
    if !text.is_empty() {
        findings.text(spot, text, Shape::Lines);
    }
}

fn check(spot: &Spot, said: &Said, findings: &mut Findings<'_>) {
    check_text(&spot.at("text"), &said.text, findings);
    if !said.by.is_empty() {
        findings.text(&spot.at("by"), &said.by, Shape::Line);
    }
}

#[cfg(test)]
mod tests {
    use chrono::DateTime;

    use super::*;
    use crate::domain::notes::Cause;

    fn said(cause: Option<Cause>, text: &str) -> Said {
        Said {
            cause,
            text: text.to_owned(),
            by: "P.B.".to_owned(),
            at: DateTime::parse_from_rfc3339("2026-11-25T16:05:00+00:00").unwrap(),
        }
    }

    #[test]
    fn notes_lie_beside_their_session_are_replaced_as_a_whole_and_read_back() {
        let dir = tempfile::tempdir().unwrap();
        let session = dir.path().join("2026-11-25-0900-heath.session.ron");
        fs::write(&session, "untouched").unwrap();
        let mut notes = load(&session, "s1").unwrap();
        assert!(notes.is_empty());
        notes.say(
            QuestionNo(8),
            said(Some(Cause::Sink), "stayed for the \"nice\" one\nsaid so"),
        );
        notes.say(QuestionNo(9), said(Some(Cause::NoTime), ""));
        notes.whole = Some(said(None, "calmer than last time"));
        let path = save(&session, &notes).unwrap();
        assert_eq!(path.file_name().unwrap(), "2026-11-25-0900-heath.notes.ron");
        assert_eq!(load(&session, "s1").unwrap(), notes);
        notes.say(QuestionNo(9), said(None, " "));
        save(&session, &notes).unwrap();
        assert_eq!(load(&session, "s1").unwrap().questions.len(), 1);
        assert_eq!(fs::read_to_string(&session).unwrap(), "untouched");
        assert_eq!(fs::read_dir(dir.path()).unwrap().count(), 2);
    }

    #[cfg(unix)]
    #[test]
    fn only_the_owner_reads_them_and_a_refusal_keeps_the_old_ones() {
        use std::os::unix::fs::PermissionsExt;
        let dir = tempfile::tempdir().unwrap();
        let session = dir.path().join("a.session.ron");
        let path = save(&session, &Notes::new("s1")).unwrap();
        assert_eq!(
            fs::metadata(&path).unwrap().permissions().mode() & 0o777,
            0o600
        );
        let gone = dir.path().join("no-such-folder").join("a.session.ron");
        let refused = save(&gone, &Notes::new("s1")).unwrap_err().to_string();
        assert!(refused.contains("the earlier ones are kept"), "{refused}");
    }

    #[test]
    fn notes_of_another_sitting_and_wrong_causes_are_told() {
        let dir = tempfile::tempdir().unwrap();
        let session = dir.path().join("a.session.ron");
        save(&session, &Notes::new("s1")).unwrap();
        let other = load(&session, "s2").unwrap_err().to_string();
        assert!(
            other.contains("belong to sitting `s1`, not to `s2`"),
            "{other}"
        );
        let text = "(format: 1, sitting: \"s\", questions: {\n8: (cause: clumsy, by: \"P.B.\", at: \"2026-11-25T16:05:00+00:00\")})";
        let wrong = from_bytes(Path::new("a.notes.ron"), text.as_bytes()).unwrap_err();
        let wrong = wrong.to_string();
        assert!(
            wrong.contains("misread") && wrong.contains(":2:"),
            "{wrong}"
        );
        let newer = "(format: 3, sitting: \"s\")";
        let newer = from_bytes(Path::new("a.notes.ron"), newer.as_bytes()).unwrap_err();
        assert!(newer.to_string().contains("newer Pacebell"));
    }
}
