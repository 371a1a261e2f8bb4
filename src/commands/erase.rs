//! `erase`: everything kept of a pupil goes, after a question.

use std::env;
use std::io::{BufRead, Write};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use chrono::{DateTime, FixedOffset};

use super::failure::Failure;
use super::lines::next_line;
use super::outlets::{remark, written};
use super::rename::known_alias;
use crate::domain::character::ShownPath as _;
use crate::domain::header::Alias;
use crate::storage::journal::discard_unfinished;
use crate::storage::keeping::pages::{Remade, remade};
use crate::storage::keeping::{Erasure, PageAgain, PageFate, Reason, Unreached, finish_erasure};
use crate::words::keeping as words;
use crate::words::overview::OUTSIDE_ONCE;

/// What `erase` takes.
#[derive(Debug, clap::Args)]
pub struct EraseArgs {
    /// The pupil's alias
    #[arg(value_name = "PUPIL", value_parser = known_alias)]
    pupil: Alias,
    /// Why, for the record of erasures; nothing else is written down of it
    #[arg(long, value_name = "REASON", default_value = "request")]
    reason: ReasonArg,
    /// The initials for the record of erasures
    #[arg(long, value_name = "INITIALS", default_value = "tutor")]
    by: String,
}

/// Why, as it is typed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, clap::ValueEnum)]
pub enum ReasonArg {
    /// Somebody who may ask for it did
    Request,
    /// The time for which they were to be kept is over
    Retention,
    /// They should not have been made
    Mistake,
    /// Anything else
    Other,
}

impl ReasonArg {
    const fn reason(self) -> Reason {
        match self {
            Self::Request => Reason::Request,
            Self::Retention => Reason::Retention,
            Self::Mistake => Reason::Mistake,
            Self::Other => Reason::Other,
        }
    }
}

/// Says what would go, asks, and takes it away.
///
/// # Errors
/// Nothing held, an open sitting, another answer than the alias, or the system's refusal.
pub fn run(
    args: &EraseArgs,
    sessions: &Path,
    now: DateTime<FixedOffset>,
    input: &mut dyn BufRead,
    out: &mut dyn Write,
    aside: &mut dyn Write,
) -> Result<(), Failure> {
    discard_unfinished(sessions);
    let erasure = Erasure::of(sessions, &args.pupil)?;
    let mut said = Vec::new();
    if erasure.was_begun() {
        said.push(words::BEGUN_BEFORE.to_owned());
    }
    let (sittings, files) = (erasure.sittings(), erasure.files());
    said.push(words::would_erase(&args.pupil, sittings, files));
    if erasure.is_registered() {
        said.push(words::AND_REGISTER.to_owned());
    }
    said.extend(erasure.pages().map(|(page, fate)| match fate {
        PageFate::Goes => words::page_goes(page),
        PageFate::MadeAgain => words::page_to_be_made_again(page, &args.pupil),
    }));
    said.push(words::confirm(&args.pupil));
    written(out, &said.join("\n"))?;
    let answer = next_line(input)?.unwrap_or_default();
    if answer.trim() != args.pupil.as_str() {
        return Err(Failure::could_not(words::KEPT));
    }
    let near = [PathBuf::new()];
    let erased = erasure.run(args.reason.reason(), &args.by, now, &near)?;
    let mut made = Vec::new();
    for page in &erased.again {
        let why = make_again(page)?;
        match remade(sessions, &page.path, &args.pupil) {
            Remade::Without => made.push(words::page_made_again(&page.path)),
            Remade::StillWith => remark(aside, words::page_still_with(&page.path, &args.pupil)),
            Remade::Not => remark(aside, words::page_not_made_again(&page.path, &why)),
        }
    }
    finish_erasure(sessions)?;
    if erased.again.iter().any(|page| page.how.is_for_outside()) {
        remark(aside, OUTSIDE_ONCE);
    }
    for page in &erased.group_pages {
        remark(aside, words::group_page_gone(page));
    }
    for left in &erased.unreached {
        let said = match left {
            Unreached::ChangedPage(page) => words::changed_page(page),
            Unreached::PageOfAnother(page) => words::page_of_another(page),
            Unreached::OtherName(file) => words::has_other_name(file),
            Unreached::Mention(file) => words::still_mentions(file, &args.pupil),
            Unreached::List(list) => words::in_list(list, &args.pupil),
            Unreached::Export(folder) => words::in_export(folder, &args.pupil),
        };
        remark(aside, said);
    }
    let done = words::erased(erased.files);
    let made = made.into_iter().chain([words::OUT_OF_REACH.to_owned()]);
    let said: Vec<_> = std::iter::once(done).chain(made).collect();
    written(out, &format!("\n{}\n", said.join("\n")))
}

/// A page could not be made again, since that was stopped.
#[derive(Debug, thiserror::Error)]
#[error("{}: making this page again was stopped; type the same command again", .0.shown())]
struct RemakeStopped<'a>(&'a Path);

/// Makes a page again by the words that made it, and gives what was said if something was wrong: of a group, a page may
/// be there all the same.
///
/// # Errors
/// It was stopped half way.
fn make_again(page: &PageAgain) -> Result<String, Failure> {
    let mut program = Command::new(env::current_exe()?);
    program.args(&page.how.words).current_dir(&page.how.folder);
    let made = match program.stdin(Stdio::null()).output() {
        Ok(made) => made,
        Err(error) => return Ok(error.to_string()),
    };
    if made.status.code().is_none() {
        return Err(Failure::could_not(RemakeStopped(&page.path)));
    }
    let said = String::from_utf8_lossy(&made.stderr);
    let first = said.lines().next().unwrap_or_default();
    Ok(first.strip_prefix("pacebell: ").unwrap_or(first).to_owned())
}
