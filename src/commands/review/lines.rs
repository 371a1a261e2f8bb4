//! `review --plain`: the sittings by number, and the parts of one as sentences.

use std::path::{Path, PathBuf};

use super::reader::Reader;
use crate::commands::failure::Failure;
use crate::commands::lines::{LineByLine, say};
use crate::commands::practise::from_lines;
use crate::domain::header::Alias;
use crate::domain::rule::QuestionNo;
use crate::screens::review::{Listed, Review, SpokenPart};
use crate::screens::run::{Arrived, Shelf as _};
use crate::words::ask::{Answered, AskRow, Asking};
use crate::words::review as words;
use crate::words::time::day;

/// Asks for a sitting and says its parts, until the list is left.
///
/// # Errors
/// Output that nobody takes.
pub(super) fn run(files: &mut Reader, shown: &str) -> Result<(), Failure> {
    let rows = read(files);
    if rows.is_empty() {
        return Ok(say(&[words::NO_SITTINGS.to_owned()])?);
    }
    let is_invented = |row: &Listed| row.summary().is_some_and(|own| own.version.invented);
    let every_one = rows.iter().all(is_invented);
    let mut lines = LineByLine::default();
    let list = rows.iter().map(|row| {
        let when = row.when.map(|when| day(when.date())).unwrap_or_default();
        let name = format!("{}, {when}, {}", row.pupil, row.paper);
        AskRow::new(name, row.aloud(every_one))
    });
    let term = AskRow::new(words::TERM_ROW, "");
    let sittings = Asking {
        question: words::WHICH_SITTING.to_owned(),
        rows: list.chain([term]).collect(),
        is_first: true,
        ..Asking::default()
    };
    loop {
        match lines.ask(&sittings)? {
            Answered::Row(place) => {
                let Some(row) = rows.get(place) else {
                    say(&files.term_aloud().unwrap_or_else(|reason| vec![reason]))?;
                    continue;
                };
                let mut review = Review::new(shown);
                review.add(rows.clone());
                review.end_of_list();
                if !opens(files, &mut review, &row.path)? {
                    continue;
                }
                if parts(&mut lines, &review, files, &row.pupil)? == Answered::Leave {
                    return Ok(());
                }
            }
            Answered::Words(_) | Answered::Back | Answered::Leave => return Ok(()),
        }
    }
}

/// The list of sittings, once everything is read.
fn read(files: &mut Reader) -> Vec<Listed> {
    let mut rows: Vec<Listed> = Vec::new();
    files.begin(|| {});
    while let Some(arrived) = files.wait() {
        match arrived {
            Arrived::Named(named) => rows = named,
            Arrived::Read(read) => {
                for (place, row) in read {
                    if let Some(own) = rows.get_mut(place) {
                        *own = row;
                    }
                }
            }
            Arrived::AllRead => break,
            Arrived::Group(..) | Arrived::Report(..) => {}
        }
    }
    rows
}

/// Opens a sitting beside its group, and says whose it is; where it cannot be opened, why.
fn opens(files: &mut Reader, review: &mut Review, path: &Path) -> Result<bool, Failure> {
    match files.open(&PathBuf::from(path)) {
        Ok(opened) => review.opened(opened),
        Err(reason) => {
            say(&[reason])?;
            return Ok(false);
        }
    }
    if let Some((version, sat)) = review.group_wanted() {
        files.put_together(version, sat);
        while let Some(arrived) = files.wait() {
            if let Arrived::Group(version, group) = arrived {
                review.group_came(version, group);
                break;
            }
        }
    }
    say(&review.title_aloud())?;
    Ok(true)
}

/// Says the parts of the open sitting, until it is left.
fn parts(
    lines: &mut LineByLine,
    review: &Review,
    files: &Reader,
    pupil: &str,
) -> Result<Answered, Failure> {
    let parts = Asking {
        question: words::WHICH_PART.to_owned(),
        rows: words::PARTS.map(|name| AskRow::new(name, "")).to_vec(),
        ..Asking::default()
    };
    loop {
        let part = match lines.ask(&parts)? {
            Answered::Row(0) => SpokenPart::Findings,
            Answered::Row(1) => SpokenPart::Marks,
            Answered::Row(2) => SpokenPart::Time,
            Answered::Row(4) => {
                let pupil = Alias::new(pupil).map_err(Failure::could_not);
                let done = pupil.and_then(|pupil| from_lines(&files.anew()?, files.dir(), pupil));
                if let Err(failure) = done {
                    say(&[failure.to_string()])?;
                }
                continue;
            }
            Answered::Row(_) => match which_question(lines, review)? {
                Ok(question) => SpokenPart::Question(question),
                Err(Answered::Leave) => return Ok(Answered::Leave),
                Err(_) => continue,
            },
            other => return Ok(other),
        };
        say(&review.aloud(part))?;
    }
}

/// Asks for a question until it is one of the sitting, or until the asking is left.
fn which_question(
    lines: &mut LineByLine,
    review: &Review,
) -> Result<Result<QuestionNo, Answered>, Failure> {
    let asking = Asking {
        question: words::WHICH_QUESTION.to_owned(),
        ..Asking::default()
    };
    loop {
        let typed = match lines.ask(&asking)? {
            Answered::Words(typed) => typed,
            other => return Ok(Err(other)),
        };
        let typed = typed.trim();
        let number = typed.parse().ok().map(QuestionNo);
        if let Some(number) = number.filter(|number| review.has(*number)) {
            return Ok(Ok(number));
        }
        say(&[words::no_such_question(typed)])?;
    }
}
