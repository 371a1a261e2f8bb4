//! `paper check`: every problem and note a line, then a line for each file.

use std::collections::BTreeMap;
use std::io::Write;
use std::path::{Path, PathBuf};

use chrono::NaiveDate;
use clap::Args;
use ratatui::layout::Size;

use super::size::size_of;
use super::twice::{NotTwice, compare};
use crate::commands::enter::Desk;
use crate::commands::failure::Failure;
use crate::domain::character::ShownPath as _;
use crate::domain::key::Key;
use crate::domain::labels::Label;
use crate::domain::paper::{Outline, Paper};
use crate::domain::rule::QuestionNo;
use crate::screens::sitting::question_fits;
use crate::storage::catalogue::{KEY_ENDING, PAPER_ENDING, key_beside, papers_in};
use crate::storage::disk;
use crate::storage::files::outline_only::OutlineOnly;
use crate::storage::files::{FileTrouble, Problem, Severity, Sound, key, paper, plan};
use crate::words::count::counted;
use crate::words::paper::{
    checked, fine, held_as_it_is, key_checked, not_checked, out_of_sight, problems_found,
    rule_not_checked,
};

/// What `paper check` takes.
#[derive(Debug, Args)]
pub struct CheckWords {
    /// NAME.paper.ron, NAME.key.ron or NAME.plan.ron; a key is checked against its paper, if you
    /// name that too or it's in the same folder
    #[arg(required = true, value_name = "FILE")]
    pub files: Vec<PathBuf>,
    /// Type an answer key a second time and see every answer that differs; --twice=SECOND takes the
    /// second keying from a string of letters, a key file, or a CSV file with one row
    #[arg(long, value_name = "SECOND", require_equals = true, num_args = 0..=1)]
    pub twice: Option<Option<String>>,
}

/// Why not every file is fine.
#[derive(Debug, thiserror::Error)]
enum CheckError {
    #[error("there's a problem in the file; see above")]
    File,
    #[error("there are problems in {wrong} of {all} files; see above")]
    Files { wrong: usize, all: usize },
}

/// A file of which nothing tells what it is.
#[derive(Debug, thiserror::Error)]
#[error(
    "the file name doesn't say what it is; rename it NAME.paper.ron, NAME.key.ron or NAME.plan.ron"
)]
struct OtherName;

/// What is wrong with a file of which the name tells nothing: that it is not there comes first.
fn no_name(path: &Path) -> Problem {
    match path.metadata() {
        Err(error) => Problem::whole(disk::why_unread(&error)),
        Ok(_) => Problem::whole(OtherName),
    }
}

/// What is said of one file.
type Said = Result<(String, Vec<Problem>), FileTrouble>;

pub(super) fn check(
    words: &CheckWords,
    today: NaiveDate,
    desk: &mut Desk<'_>,
) -> Result<(), Failure> {
    let files = words.files.as_slice();
    let papers: Vec<_> = files
        .iter()
        .map(|path| ends_in(path, PAPER_ENDING).then(|| paper::read(path, Some(today))))
        .collect();
    let given = files.iter().zip(&papers).filter_map(|(path, paper)| {
        let paper = paper.as_ref()?.as_ref().ok();
        Paired::new(path, paper.map(|sound| &sound.value.outline))
    });
    let given: Vec<Paired> = given.collect();
    let mut wrong = 0;
    for (path, paper) in files.iter().zip(&papers) {
        let said = match paper {
            Some(Ok(sound)) => Ok((
                checked(&size_of(&sound.value), &sound.value.outline),
                notes_on(path, sound, today),
            )),
            Some(Err(trouble)) => Err(trouble.clone()),
            None if ends_in(path, KEY_ENDING) => of_key(path, &given),
            None if ends_in(path, ".plan.ron") => of_plan(path),
            None => Err(FileTrouble::one(path, no_name(path))),
        };
        wrong += usize::from(said.is_err());
        tell(path, &said, desk.out)?;
    }
    match (wrong, files.len()) {
        (0, _) => match &words.twice {
            Some(second) => key_twice(files, second.as_deref(), desk),
            None => Ok(()),
        },
        (_, 1) => Err(Failure::could_not(CheckError::File)),
        (_, all) => Err(Failure::could_not(CheckError::Files { wrong, all })),
    }
}

/// The terminal that many have and never change.
const USUAL: Size = Size::new(80, 24);

/// The notes on a paper, one on each question that is not in sight as a whole, and one on a rule that nobody has
/// checked.
fn notes_on(path: &Path, Sound { value, notes }: &Sound<Paper>, today: NaiveDate) -> Vec<Problem> {
    let questions = (1..=value.outline.questions).map(QuestionNo);
    let hidden: Vec<QuestionNo> = questions
        .filter(|number| !question_fits(value, *number, USUAL))
        .collect();
    let mut all = notes.clone();
    all.extend(paper::note_on(
        path,
        &hidden,
        &out_of_sight(USUAL.width, USUAL.height),
    ));
    // What is odd about the check itself has its own note.
    let is_noted = all.iter().any(|own| own.field.starts_with("rule_checked"));
    let unchecked = rule_not_checked(&value.outline, today).filter(|_| !is_noted);
    all.extend(unchecked.map(|sentence| Problem {
        severity: Severity::Note,
        ..Problem::whole(sentence)
    }));
    all.sort_by_key(Problem::order);
    all
}

/// Holds a second keying against the one key that was named.
fn key_twice(files: &[PathBuf], second: Option<&str>, desk: &mut Desk<'_>) -> Result<(), Failure> {
    let not_one = || Failure::wrong_words(NotTwice::NotOneKey);
    let mut keys = files.iter().filter(|path| ends_in(path, KEY_ENDING));
    let (Some(path), None) = (keys.next(), keys.next()) else {
        return Err(not_one());
    };
    let key = key::load(path).map_err(Failure::could_not)?;
    let near: Vec<_> = files
        .iter()
        .filter_map(|file| file.parent())
        .map(Path::to_owned)
        .collect();
    let papers = papers_in(&near).into_iter();
    let mut papers = papers.filter_map(|found| found.paper.ok());
    let Some(paper) = papers.find(|paper| key.fits(&paper.outline).is_ok()) else {
        return Err(not_one());
    };
    compare(&key, &paper.outline, second, desk)
}

fn ends_in(path: &Path, ending: &str) -> bool {
    path.to_string_lossy().ends_with(ending)
}

fn tell(path: &Path, said: &Said, out: &mut dyn Write) -> Result<(), Failure> {
    let (problems, line) = match said {
        Ok((line, notes)) => (notes, fine(line)),
        Err(trouble) => {
            let wrong = trouble.problems.iter();
            let wrong = wrong.filter(|problem| problem.severity == Severity::Wrong);
            let count = wrong.map(Problem::count).sum();
            (&trouble.problems, problems_found(count))
        }
    };
    if !problems.is_empty() {
        writeln!(out, "{}", FileTrouble::lines(path, problems))?;
    }
    writeln!(out, "{}: {line}", path.shown())?;
    Ok(())
}

fn of_plan(path: &Path) -> Said {
    let plan = plan::load(path)?;
    Ok((counted(plan.checkpoints.len(), "checkpoint"), Vec::new()))
}

fn of_key(path: &Path, given: &[Paired]) -> Said {
    let id = key::paper_of(path)?;
    let of_id = |papers: &[Paired]| {
        let own = papers
            .iter()
            .find(|paper| id.is_some() && paper.outline.id == id);
        own.cloned()
    };
    let paper = of_id(given).or_else(|| {
        let beside = beside(path);
        of_id(&beside).or_else(|| {
            let same = |paper: &&Paired| is_of(path, &paper.path);
            given.iter().chain(&beside).find(same).cloned()
        })
    });
    let unchecked = paper.as_ref().and_then(Paired::unchecked);
    let read = key::read_against(path, paper.as_ref().map(|paper| &paper.outline));
    let Sound { value, mut notes } = read.map_err(|mut trouble| {
        trouble.problems.extend(unchecked.clone());
        trouble
    })?;
    notes.extend(unchecked);
    let said = key_checked(&value, &letters(&value), paper.is_some());
    Ok((said, notes))
}

/// A paper that a key may be held against.
#[derive(Clone)]
struct Paired {
    path: PathBuf,
    outline: OutlineOnly,
    sound: bool,
}

impl Paired {
    /// A sound paper, or what can be read of one that is not.
    fn new(path: &Path, sound: Option<&Outline>) -> Option<Self> {
        Some(Self {
            path: path.to_owned(),
            sound: sound.is_some(),
            outline: match sound {
                Some(outline) => OutlineOnly::from(outline),
                None => paper::outline_only(path)?,
            },
        })
    }

    /// What a key could not be held against, said as a note on it.
    fn unchecked(&self) -> Option<Problem> {
        let unread = self.outline.unread();
        let sentence = if self.sound {
            return None;
        } else if unread.is_empty() {
            held_as_it_is(&self.path)
        } else {
            not_checked(&self.path, &unread)
        };
        Some(Problem {
            severity: Severity::Note,
            ..Problem::whole(sentence)
        })
    }
}

/// The papers in the key's folder.
fn beside(key: &Path) -> Vec<Paired> {
    let dir = key.parent().unwrap_or(Path::new("")).to_owned();
    let found = papers_in(&[dir]).into_iter();
    found
        .filter_map(|found| {
            let sound = found.paper.as_ref().ok().map(|paper| &paper.outline);
            Paired::new(&found.path, sound)
        })
        .collect()
}

/// Whether the two stand side by side under one name.
fn is_of(key: &Path, paper: &Path) -> bool {
    key_beside(paper).as_deref() == Some(key)
}

/// How often each letter is right, such as `A 5, B 5`: a lopsided key is often a mistyped one.
fn letters(key: &Key) -> String {
    let mut counts: BTreeMap<Label, usize> = BTreeMap::new();
    for label in &key.answers {
        *counts.entry(*label).or_default() += 1;
    }
    let counts = counts
        .iter()
        .map(|(label, count)| format!("{label} {count}"));
    counts.collect::<Vec<_>>().join(", ")
}
