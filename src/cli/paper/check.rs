//! `paper check`: every problem and note a line, then a line for each file.

use std::collections::BTreeMap;
use std::io::Write;
use std::path::{Path, PathBuf};

use chrono::NaiveDate;

use super::{counted, size_of};
use crate::cli::Failure;
use crate::domain::key::Key;
use crate::domain::labels::Label;
use crate::domain::paper::{Outline, Paper};
use crate::files::folders::{self, KEY_ENDING, PAPER_ENDING};
use crate::files::{FileTrouble, Problem, Severity, Sound, key, paper, plan};

/// What is said of one file.
type Said = Result<(String, Vec<Problem>), FileTrouble>;

pub(super) fn check(
    files: &[PathBuf],
    today: NaiveDate,
    out: &mut dyn Write,
) -> Result<(), Failure> {
    let papers: Vec<_> = files
        .iter()
        .map(|path| ends_in(path, PAPER_ENDING).then(|| paper::read(path, Some(today))))
        .collect();
    let sound = papers.iter().flatten().flatten();
    let given: BTreeMap<&str, &Outline> = sound
        .map(|sound| &sound.value.outline)
        .map(|outline| (outline.id.as_str(), outline))
        .collect();
    let mut wrong = 0;
    for (path, paper) in files.iter().zip(&papers) {
        let said = match paper {
            Some(Ok(sound)) => Ok((of_paper(&sound.value), sound.notes.clone())),
            Some(Err(trouble)) => Err(trouble.clone()),
            None if ends_in(path, KEY_ENDING) => of_key(path, &given),
            None if ends_in(path, ".plan.ron") => of_plan(path),
            None => Err(FileTrouble::one(
                path,
                Problem::whole(
                    "its name does not tell what it is; call it NAME.paper.ron, NAME.key.ron or NAME.plan.ron",
                ),
            )),
        };
        wrong += usize::from(said.is_err());
        tell(path, &said, out)?;
    }
    match (wrong, files.len()) {
        (0, _) => Ok(()),
        (_, 1) => Err(Failure::could_not(
            "the file has something to mend; see above",
        )),
        (_, all) => Err(Failure::could_not(format!(
            "{wrong} of {all} files have something to mend; see above"
        ))),
    }
}

fn ends_in(path: &Path, ending: &str) -> bool {
    path.to_string_lossy().ends_with(ending)
}

fn tell(path: &Path, said: &Said, out: &mut dyn Write) -> Result<(), Failure> {
    let (problems, line) = match said {
        Ok((line, notes)) => (notes, format!("fine: {line}")),
        Err(trouble) => {
            let wrong = trouble.problems.iter();
            let wrong = wrong.filter(|problem| problem.severity == Severity::Wrong);
            let count = counted(wrong.count(), "thing");
            (&trouble.problems, format!("{count} to mend"))
        }
    };
    if !problems.is_empty() {
        writeln!(out, "{}", FileTrouble::lines(path, problems))?;
    }
    writeln!(out, "{}: {line}", path.display())?;
    Ok(())
}

fn of_paper(paper: &Paper) -> String {
    format!(
        "{}; fingerprint {}",
        size_of(paper),
        paper.outline.fingerprint
    )
}

fn of_plan(path: &Path) -> Said {
    let plan = plan::load(path)?;
    Ok((counted(plan.checkpoints.len(), "checkpoint"), Vec::new()))
}

fn of_key(path: &Path, given: &BTreeMap<&str, &Outline>) -> Said {
    let id = key::paper_of(path)?;
    let given = id.as_deref().and_then(|id| given.get(id).copied().cloned());
    let paper = given.or_else(|| beside(path, id.as_deref()));
    let Sound { value, notes } = key::read(path, paper.as_ref())?;
    let answers = counted(value.answers.len(), "answer");
    let against = match &paper {
        Some(paper) => format!("for {}", paper.id),
        None => format!(
            "for {}, which is not at hand to hold it against; give the paper as well, or put it beside the key",
            value.paper
        ),
    };
    let notes_on = match value.notes.len() {
        0 => String::new(),
        count => format!("; notes on {}", counted(count, "question")),
    };
    Ok((
        format!("{answers} ({}) {against}{notes_on}", letters(&value)),
        notes,
    ))
}

/// The paper of that id beside the key; if none has it, the one of the key's own name.
fn beside(key: &Path, id: Option<&str>) -> Option<Outline> {
    let dir = key.parent().unwrap_or(Path::new("")).to_owned();
    let papers: Vec<(PathBuf, Outline)> = folders::papers_in(&[dir])
        .into_iter()
        .filter_map(|found| Some((found.path, found.paper.ok()?.outline)))
        .collect();
    let by_id = papers
        .iter()
        .find(|(_, outline)| Some(outline.id.as_str()) == id);
    let by_name = || {
        let same = |path: &Path| folders::key_beside(path).as_deref() == Some(key);
        papers.iter().find(|(path, _)| same(path))
    };
    by_id.or_else(by_name).map(|(_, outline)| outline.clone())
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
