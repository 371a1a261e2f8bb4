//! The sample papers that the program carries: written for `demo`, and offered where no paper is found.

use std::io;
use std::path::{Path, PathBuf};

use super::enter::Desk;
use super::failure::Failure;
use super::lines::{LineByLine, next_line, say};
use crate::domain::character::ShownPath as _;
use crate::invented::papers::Sample;
use crate::plain::{Asked, Next};
use crate::storage::catalogue::Catalogue;
use crate::storage::disk;
use crate::words::ask::{Answered, Asking};
use crate::words::samples as words;

/// A folder or file that was refused.
#[derive(Debug, thiserror::Error)]
#[error("cannot write {} ({error}); name a folder that you may write to", path.shown())]
struct NotWritten<'a> {
    path: &'a Path,
    error: io::Error,
}

/// What the system refused.
pub(super) fn refused(path: &Path, error: io::Error) -> Failure {
    Failure::could_not(NotWritten { path, error })
}

/// Writes sample papers and their keys into a folder, and says how many files are new. One that is there already
/// stays as it is.
pub(super) fn write(samples: &[Sample], dir: &Path) -> Result<usize, Failure> {
    disk::create_private_dir_all(dir).map_err(|error| refused(dir, error))?;
    let mut new = 0;
    for (name, text) in samples.iter().flat_map(Sample::files) {
        let path = dir.join(name);
        match disk::create(&path, text.as_bytes()) {
            Ok(()) => new += 1,
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists => {}
            Err(error) => return Err(refused(&path, error)),
        }
    }
    Ok(new)
}

/// Where the samples would go; nothing where a paper is at hand already.
pub(super) fn offered(catalogue: &Catalogue) -> Option<PathBuf> {
    let folder = catalogue.samples_folder();
    folder.filter(|_| catalogue.papers().is_empty())
}

/// What the start page says of them, where there is no paper.
pub(super) fn carried(catalogue: &Catalogue) -> Option<String> {
    let folder = offered(catalogue)?;
    Some(words::carried(Sample::ALL.len(), &folder))
}

/// Writes all of them where they would go.
pub(super) fn write_offered(catalogue: &Catalogue) -> Result<(), Failure> {
    match catalogue.samples_folder() {
        Some(folder) => write(&Sample::ALL, &folder).map(drop),
        None => Ok(()),
    }
}

/// The question whether to write all of them.
pub(super) fn asking(title: &str, folder: &Path) -> Asking {
    words::asking(title, Sample::ALL.len(), folder)
}

/// Writes all of them, if that was answered; whether they were written, and what is said of it.
pub(super) fn answered(answer: &Answered, folder: &Path) -> Result<Option<String>, Failure> {
    if *answer != Answered::Row(1) {
        return Ok(None);
    }
    let files = write(&Sample::ALL, folder)?;
    Ok(Some(words::written(files, folder)))
}

/// Asks in lines, where there is no paper; whether they were written.
pub(super) fn ask_in_lines(catalogue: &Catalogue) -> Result<bool, Failure> {
    let Some(folder) = offered(catalogue) else {
        return Ok(false);
    };
    let answer = LineByLine::default().ask(&asking("", &folder))?;
    let said = answered(&answer, &folder)?;
    say(said.as_slice())?;
    Ok(said.is_some())
}

/// The same at a desk whose input is its own.
pub(super) fn ask_at_desk(catalogue: &Catalogue, desk: &mut Desk<'_>) -> Result<bool, Failure> {
    let Some(folder) = offered(catalogue) else {
        return Ok(false);
    };
    if !desk.asks {
        super::outlets::remark(desk.aside, words::IN_A_TERMINAL);
        return Ok(false);
    }
    let answer = ask_at(desk, &asking("", &folder))?;
    let said = answered(&answer, &folder)?;
    if let Some(line) = &said {
        writeln!(desk.out, "{line}\n")?;
    }
    Ok(said.is_some())
}

/// Asks in lines at a desk.
fn ask_at(desk: &mut Desk<'_>, ask: &Asking) -> io::Result<Answered> {
    let (mut asked, mut lines) = Asked::new(ask);
    loop {
        for line in &lines {
            writeln!(desk.out, "{line}")?;
        }
        desk.out.flush()?;
        let Some(typed) = next_line(desk.input)? else {
            return Ok(Answered::Leave);
        };
        match asked.line(&typed) {
            Next::Answered(answer) => return Ok(answer),
            Next::Say(more) => lines = more,
        }
    }
}
