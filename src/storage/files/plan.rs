//! Pace plan files, `NAME.plan.ron`:
//! `(format: 2, pupil: "otter", paper: "saltmarsh-a", checkpoints: [(question: 10, minutes: 18)], leave: "21-25", stay_minutes: 4)`.
//!
//! Format 1 has checkpoints only. What else a plan has to say stands in the file as comments.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use serde::Deserialize;

use super::locate::Spot;
use super::problem::{FileTrouble, Findings};
use super::raw::{Number, Numbered};
use super::read::{self, Sound};
use crate::domain::character::ShownPath as _;
use crate::domain::header::{Alias, Checkpoint, PacePlan};
use crate::domain::mark::Mark;
use crate::domain::paper::MOST_QUESTIONS;
use crate::domain::questions::QuestionList;
use crate::storage::disk::{self, Size};

/// What the name of a plan file ends in.
pub const PLAN_ENDING: &str = ".plan.ron";

/// The version of the plan file that this program writes; it reads all up to it.
pub const PLAN_FORMAT: u32 = 2;

/// A plan, and whose it is; files without a name in them may be anybody's.
#[derive(Clone, Debug, PartialEq)]
pub struct OwnedPlan {
    /// The plan.
    pub plan: PacePlan,
    /// The pupil.
    pub pupil: Option<Alias>,
    /// The paper's id.
    pub paper: Option<String>,
}

/// Loads a pace plan that is sound.
///
/// # Errors
/// Everything that is wrong with the file.
pub fn load(path: &Path) -> Result<PacePlan, FileTrouble> {
    load_owned(path).map(|owned| owned.plan)
}

/// The same with whose it is.
///
/// # Errors
/// Everything that is wrong with the file.
pub fn load_owned(path: &Path) -> Result<OwnedPlan, FileTrouble> {
    from_bytes(path, &read::bytes(path)?).map(|sound| sound.value)
}

/// Reads a pace plan from the bytes of a file; `path` only names it.
///
/// # Errors
/// Everything that is wrong with them.
pub fn from_bytes(path: &Path, bytes: &[u8]) -> Result<Sound<OwnedPlan>, FileTrouble> {
    read::sound(path, bytes, PLAN_FORMAT, PlanForm::mean)
}

/// Why a plan was not saved.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum PlanNotSaved {
    /// There is a file of that name, and it says something else.
    #[error(
        "{} already exists and holds something else; delete it first, or choose another name with -o",
        .0.shown()
    )]
    Exists(PathBuf),
    /// The system refused.
    #[error("{}: the plan cannot be saved ({source}); choose another place with -o", path.shown())]
    Io {
        /// Which file.
        path: PathBuf,
        /// Why.
        source: io::Error,
    },
}

/// A plan as the text of its file, with `words` as comments above it.
pub fn text(owned: &OwnedPlan, words: &[String]) -> String {
    let plan = &owned.plan;
    let comments = words.iter().map(|line| {
        format!("// {}", line.replace(char::is_control, " "))
            .trim_end()
            .to_owned()
    });
    let checkpoints = plan.checkpoints.iter().map(|checkpoint| {
        format!(
            "        (question: {}, minutes: {}),",
            checkpoint.question,
            written(checkpoint.minutes)
        )
    });
    let pupil = owned.pupil.iter();
    let pupil = pupil.map(|pupil| format!("    pupil: {:?},", pupil.as_str()));
    let paper = owned.paper.iter();
    let paper = paper.map(|paper| format!("    paper: {paper:?},"));
    let head = ["(".to_owned(), format!("    format: {PLAN_FORMAT},")];
    let head = head.into_iter().chain(pupil).chain(paper);
    let head = head.chain(["    checkpoints: [".to_owned()]);
    let leave = plan.leave.iter();
    let leave = leave.map(|list| format!("    leave: \"{list}\","));
    let stay = plan.stay.iter().map(|stay| {
        let millis = i64::try_from(stay.as_millis()).unwrap_or(i64::MAX);
        format!(
            "    stay_minutes: {},",
            written(Mark::from_steps(millis, 60_000))
        )
    });
    let lines: Vec<_> = comments
        .chain(head)
        .chain(checkpoints)
        .chain(["    ],".to_owned()])
        .chain(leave)
        .chain(stay)
        .chain([")".to_owned()])
        .collect();
    lines.join("\n") + "\n"
}

/// Minutes as a person would write them: `12`, `12.5`, `"1/3"`.
fn written(minutes: Mark) -> String {
    match minutes.steps(2) {
        Some(halves) if halves % 2 != 0 => format!("{}.5", halves / 2),
        Some(halves) => (halves / 2).to_string(),
        None => format!("\"{}\"", minutes.exact()),
    }
}

/// Writes a plan to a file of its own; one that holds the very same text is left as it is.
///
/// # Errors
/// Another file of that name, or the system's refusal. Nothing is ever written over.
pub fn save(path: &Path, text: &str) -> Result<(), PlanNotSaved> {
    let io = |source| PlanNotSaved::Io {
        path: path.to_owned(),
        source,
    };
    match disk::create(path, text.as_bytes()) {
        Ok(()) => Ok(()),
        Err(error) if error.kind() == io::ErrorKind::AlreadyExists => {
            match disk::read_found(path, Size::PAPER) {
                Ok(known) if known == text.as_bytes() => Ok(()),
                _ => Err(PlanNotSaved::Exists(path.to_owned())),
            }
        }
        Err(error) => Err(io(error)),
    }
}

/// Saves a plan in a folder under the first free of `NAME.plan.ron`, `NAME-2.plan.ron`, ...
///
/// # Errors
/// The system's refusal.
pub fn save_in(folder: &Path, name: &str, text: &str) -> Result<PathBuf, PlanNotSaved> {
    disk::create_private_dir_all(folder).map_err(|source| PlanNotSaved::Io {
        path: folder.to_owned(),
        source,
    })?;
    let mut number = 1_usize;
    loop {
        let mark = if number == 1 {
            String::new()
        } else {
            format!("-{number}")
        };
        let path = folder.join(format!("{name}{mark}{PLAN_ENDING}"));
        match save(&path, text) {
            Ok(()) => return Ok(path),
            Err(PlanNotSaved::Exists(_)) => number += 1,
            Err(other) => return Err(other),
        }
    }
}

/// The plan that [`save_in`] saved last in a folder under a name, where there is one: the one written last, of
/// several of that moment the one with the highest number.
pub fn newest_in(folder: &Path, name: &str) -> Option<PathBuf> {
    let found = fs::read_dir(folder).ok()?.flatten().filter_map(|entry| {
        let file = entry.file_name().into_string().ok()?;
        let rest = file.strip_suffix(PLAN_ENDING)?.strip_prefix(name)?;
        let number: usize = match rest.strip_prefix('-') {
            Some(number) => number.parse().ok()?,
            None => rest.is_empty().then_some(1)?,
        };
        let written = entry.metadata().ok()?.modified().ok()?;
        Some(((written, number), entry.path()))
    });
    found.max().map(|(_, path)| path)
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename = "Plan")]
struct PlanForm {
    format: u32,
    pupil: Option<String>,
    paper: Option<String>,
    checkpoints: Vec<CheckpointForm>,
    leave: Option<String>,
    stay_minutes: Option<Number>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename = "Checkpoint")]
struct CheckpointForm {
    question: Numbered,
    minutes: Number,
}

impl PlanForm {
    fn mean(self, findings: &mut Findings<'_>) -> Option<OwnedPlan> {
        let list = Spot::top().at("checkpoints");
        if self.checkpoints.is_empty() {
            findings.wrong(&list, "the plan has no checkpoints; write at least one");
            return None;
        }
        let mut checkpoints: Vec<Checkpoint> = Vec::new();
        for (index, form) in self.checkpoints.iter().enumerate() {
            let spot = list.item(index);
            let Some(next) = form.mean(&spot, findings) else {
                continue;
            };
            let before = checkpoints.last();
            if before.is_some_and(|before| before.question >= next.question) {
                findings.wrong(
                    &spot.at("question"),
                    "the checkpoint's question does not come after the one before it; write the checkpoints in the order of the paper",
                );
            }
            if before.is_some_and(|before| before.minutes >= next.minutes) {
                findings.wrong(
                    &spot.at("minutes"),
                    "the checkpoint's time isn't later than the one before it; give each a later time",
                );
            }
            checkpoints.push(next);
        }
        let top = Spot::top();
        findings.of_format_2(self.format, "pupil", self.pupil.is_some());
        findings.of_format_2(self.format, "paper", self.paper.is_some());
        findings.of_format_2(self.format, "leave", self.leave.is_some());
        findings.of_format_2(self.format, "stay_minutes", self.stay_minutes.is_some());
        let leave = self.leave.and_then(|text| {
            let list = QuestionList::read(&text);
            list.map_err(|no| findings.wrong(&top.at("leave"), no)).ok()
        });
        let most = u16::try_from(MOST_QUESTIONS).unwrap_or(u16::MAX);
        if leave.as_ref().is_some_and(|list| list.last().0 > most) {
            findings.wrong(
                &top.at("leave"),
                format!("no paper has a question above {most}; write numbers from 1 to {most}"),
            );
        }
        let stay = self
            .stay_minutes
            .and_then(|minutes| minutes.minutes(&top.at("stay_minutes"), findings));
        let pupil = self.pupil.and_then(|alias| {
            let alias = Alias::new(&alias);
            alias
                .map_err(|no| findings.wrong(&top.at("pupil"), no))
                .ok()
        });
        Some(OwnedPlan {
            plan: PacePlan {
                checkpoints,
                leave,
                stay,
            },
            pupil,
            paper: self.paper,
        })
    }
}

impl CheckpointForm {
    fn mean(&self, spot: &Spot, findings: &mut Findings<'_>) -> Option<Checkpoint> {
        let question = self.question.among(MOST_QUESTIONS);
        if question.is_none() {
            findings.wrong(
                &spot.at("question"),
                format!(
                    "{} isn't a question; write a number from 1 to {MOST_QUESTIONS}",
                    self.question.0
                ),
            );
        }
        let spot = spot.at("minutes");
        self.minutes.minutes(&spot, findings)?;
        let minutes = self.minutes.read(&spot, findings)?;
        Some(Checkpoint {
            question: question?,
            minutes,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::time::Elapsed;

    fn plan() -> PacePlan {
        let checkpoints = [(7, "5"), (10, "12.5"), (25, "1/3")];
        let mut checkpoints = checkpoints.map(|(question, minutes)| Checkpoint {
            question: crate::domain::rule::QuestionNo(question),
            minutes: minutes.parse().unwrap(),
        });
        checkpoints.sort_by_key(|checkpoint| checkpoint.minutes);
        for (number, checkpoint) in (1..).zip(&mut checkpoints) {
            checkpoint.question = crate::domain::rule::QuestionNo(number);
        }
        PacePlan {
            checkpoints: checkpoints.to_vec(),
            leave: QuestionList::read("21-23,25").ok(),
            stay: Some(Elapsed(100_000)),
        }
    }

    #[test]
    fn what_is_written_is_read_again_whatever_the_words_above_it() {
        let words = ["A *)( \u{7} line".to_owned(), "two\nlines".to_owned()];
        let written = OwnedPlan {
            plan: plan(),
            pupil: Alias::new("otter").ok(),
            paper: Some("a".into()),
        };
        let text = text(&written, &words);
        let read = from_bytes(Path::new("p"), text.as_bytes()).unwrap().value;
        assert_eq!(read, written);
        assert!(
            text.starts_with("// A *)(   line\n// two lines\n("),
            "{text}"
        );
    }

    #[test]
    fn nothing_is_written_over() {
        let dir = tempfile::tempdir().unwrap();
        let folder = dir.path().join("otter");
        let name = |path: PathBuf| path.file_name().unwrap().to_str().unwrap().to_owned();
        assert_eq!(name(save_in(&folder, "a", "one").unwrap()), "a.plan.ron");
        assert_eq!(name(save_in(&folder, "a", "two").unwrap()), "a-2.plan.ron");
        assert_eq!(name(save_in(&folder, "a", "one").unwrap()), "a.plan.ron");
        fs::write(folder.join("a-b.plan.ron"), "another paper's").unwrap();
        fs::write(folder.join("ab.plan.ron"), "another paper's").unwrap();
        let newest = newest_in(&folder, "a").map(name);
        assert_eq!(newest.as_deref(), Some("a-2.plan.ron"));
        assert_eq!(newest_in(&folder, "c"), None);
        let other = save(&folder.join("a.plan.ron"), "three").unwrap_err();
        assert!(other.to_string().contains("already exists"));
        assert!(
            save(&dir.path().join("no/file"), "x")
                .unwrap_err()
                .to_string()
                .contains("cannot be saved")
        );
        assert_eq!(
            fs::read_to_string(folder.join("a.plan.ron")).unwrap(),
            "one"
        );
    }
}
