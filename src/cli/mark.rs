//! `mark`: exact marks of one sitting or several.

use std::fmt;
use std::io::Write;
use std::path::{Path, PathBuf};

use chrono::NaiveDate;

use super::Failure;
use crate::domain::key::Key;
use crate::domain::paper::Outline;
use crate::files;
use crate::journal::{self, JournalError, Record};
use crate::report::notices::first_of_all;
use crate::report::{Report, Subject, json, table, text};

/// What `mark` takes.
#[derive(Debug, clap::Args)]
pub struct Words {
    /// The sittings' files
    #[arg(value_name = "SESSION", required = true)]
    files: Vec<PathBuf>,
    /// The paper's key
    #[arg(long, value_name = "KEY")]
    key: PathBuf,
    /// Mark under the rule of this paper too, with its boundaries; with --json every mark is then
    /// under that rule, and `own_rule` has the sitting's own
    #[arg(long, value_name = "RULE.paper.ron")]
    under: Option<PathBuf>,
    /// Print JSON: one object, or a list for several sittings
    #[arg(long)]
    json: bool,
    /// Mark a damaged file up to its first damage, and say so
    #[arg(long)]
    up_to_damage: bool,
}

/// Marks the sittings and writes what they gave; what has to be said beside JSON goes to `aside`.
///
/// # Errors
/// A file that cannot be read, is damaged or does not go with the key: then nothing is written.
pub fn run(
    words: &Words,
    today: NaiveDate,
    out: &mut dyn Write,
    aside: &mut dyn Write,
) -> Result<(), Failure> {
    let key = files::key::load(&words.key).map_err(Failure::could_not)?;
    let under = words.under.as_deref().map(rule_of).transpose()?;
    let mut reports = Vec::new();
    let mut troubles = Troubles::default();
    for path in &words.files {
        match subject(path, &key, under.as_ref(), words.up_to_damage) {
            Ok(subject) => {
                reports.push(Report::new(subject, key.clone(), under.as_ref(), today));
            }
            Err(trouble) => troubles.add(trouble),
        }
    }
    troubles.none()?;
    let written = told(words, &reports)?;
    if words.json {
        for notice in reports.iter().flat_map(first_of_all) {
            // Beside the figures; a dead standard error must not cost them.
            let _ = writeln!(aside, "pacebell: {notice}");
        }
    }
    super::written(out, &written)
}

fn told(words: &Words, reports: &[Report]) -> Result<String, Failure> {
    Ok(match reports {
        several if words.json => json::json(several).map_err(Failure::could_not)?,
        [report] => text::page(report),
        several => table::table(several),
    })
}

fn rule_of(path: &Path) -> Result<Outline, Failure> {
    let paper = files::paper::load(path).map_err(Failure::could_not)?;
    Ok(paper.outline)
}

/// Why one file is not marked.
struct Trouble {
    line: String,
    damaged: bool,
}

/// Every file's trouble, told together.
#[derive(Default)]
struct Troubles {
    lines: Vec<String>,
    damaged: bool,
}

impl Troubles {
    fn add(&mut self, trouble: Trouble) {
        self.lines.push(trouble.line);
        self.damaged |= trouble.damaged;
    }

    fn none(self) -> Result<(), Failure> {
        let text = self.lines.join("\n");
        if self.damaged {
            Err(Failure::Damaged(text))
        } else if text.is_empty() {
            Ok(())
        } else {
            Err(Failure::CouldNot(text))
        }
    }
}

impl From<JournalError> for Trouble {
    fn from(error: JournalError) -> Self {
        Self {
            line: format!("pacebell: {error}"),
            damaged: error.is_damage(),
        }
    }
}

impl Trouble {
    fn with(path: &Path, reason: impl fmt::Display) -> Self {
        Self {
            line: format!("pacebell: {}: {reason}", path.display()),
            damaged: false,
        }
    }
}

fn subject(
    path: &Path,
    key: &Key,
    under: Option<&Outline>,
    up_to_damage: bool,
) -> Result<Subject, Trouble> {
    let (record, damage) = journal::read_up_to_damage(path)?;
    let mut remarks = Vec::new();
    match damage {
        Some(damage) if up_to_damage => {
            remarks.push(format!("{damage}. These are the marks up to there."));
        }
        Some(damage) => {
            let mut trouble = Trouble::from(damage);
            let way_out = ". To mark what stands before it, add --up-to-damage.";
            trouble.line.push_str(way_out);
            return Err(trouble);
        }
        None => {}
    }
    let paper = &record.header.paper;
    key.fits(paper)
        .map_err(|mismatch| Trouble::with(path, mismatch))?;
    if let Some(other) = under.filter(|other| other.questions != paper.questions) {
        let (own, theirs) = (paper.questions, other.questions);
        return Err(Trouble::with(
            path,
            format!(
                "its paper has {own} questions, and the rule of `{}` is for {theirs}; give --under a rule for {own}",
                other.id
            ),
        ));
    }
    remarks.extend(torn(&record));
    Ok(Subject {
        sitting: record.sitting(),
        events: record.events,
        remarks,
    })
}

fn torn(record: &Record) -> Option<String> {
    record.torn.map(|torn| {
        format!(
            "{}: its last line, {}, was never written to its end. It is left out; everything before it is whole.",
            record.path.display(),
            torn.line
        )
    })
}
