//! `review --plain`: the sittings by number, and the pages of one as lines.

use std::path::{Path, PathBuf};

use ratatui::layout::Size;

use super::reader::Reader;
use crate::commands::failure::Failure;
use crate::commands::lines::{LineByLine, say};
use crate::domain::rule::QuestionNo;
use crate::screens::kit::{Key, Page as _, Room};
use crate::screens::review::Review;
use crate::screens::run::{Arrived, Shelf as _};
use crate::screens::theme::Theme;
use crate::words::ask::{Answered, AskRow, Asking};
use crate::words::review as words;
use crate::words::text::without_drawing;
use crate::words::time::day;

/// A window in which every page shows whole, so that its lines can be said.
const WINDOW: Size = Size::new(200, 400);

/// The columns that a line is broken at, where a page breaks it.
const COLUMNS: usize = 100;

/// Asks for a sitting and says its pages, until the list is left.
///
/// # Errors
/// Output that nobody takes.
pub(super) fn run(files: &mut Reader, shown: &str) -> Result<(), Failure> {
    let mut rows = Vec::new();
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
    let mut lines = LineByLine::default();
    let list = rows.iter().map(|row| {
        let when = row.when.map(|when| day(when.date())).unwrap_or_default();
        AskRow::new(format!("{}, {when}, {}", row.pupil, row.paper), "")
    });
    let sittings = Asking {
        question: words::WHICH_SITTING.to_owned(),
        rows: list.collect(),
        is_first: true,
        ..Asking::default()
    };
    loop {
        match lines.ask(&sittings)? {
            Answered::Row(place) => {
                let Some(row) = rows.get(place) else { continue };
                match one(files, &mut lines, shown, &row.path)? {
                    Answered::Leave => return Ok(()),
                    Answered::Row(_) | Answered::Words(_) | Answered::Back => {}
                }
            }
            Answered::Words(_) | Answered::Back | Answered::Leave => return Ok(()),
        }
    }
}

/// Says the pages of one sitting, until it is left.
fn one(
    files: &mut Reader,
    lines: &mut LineByLine,
    shown: &str,
    path: &Path,
) -> Result<Answered, Failure> {
    let mut review = Review::new(shown);
    match files.open(&PathBuf::from(path)) {
        Ok(opened) => {
            review.opened(opened);
            review.tell_figures();
        }
        Err(reason) => {
            say(&[reason])?;
            return Ok(Answered::Back);
        }
    }
    let parts = Asking {
        question: words::WHICH_PART.to_owned(),
        rows: words::PARTS.map(|(name, _)| AskRow::new(name, "")).to_vec(),
        ..Asking::default()
    };
    loop {
        let letter = match lines.ask(&parts)? {
            Answered::Row(place) => words::PARTS.get(place).map(|(_, letter)| *letter),
            other => return Ok(other),
        };
        let Some(letter) = letter else { continue };
        if letter == words::QUESTION_PART {
            match which_question(lines, &review)? {
                Ok(question) => {
                    review.press(Key::Char(letter), WINDOW);
                    for digit in question.to_string().chars() {
                        review.press(Key::Char(digit), WINDOW);
                    }
                    review.press(Key::Enter, WINDOW);
                }
                Err(Answered::Leave) => return Ok(Answered::Leave),
                Err(_) => continue,
            }
        } else {
            review.press(Key::Char(letter), WINDOW);
        }
        say(&page(&review))?;
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

/// What a page shows, as lines without drawing.
fn page(review: &Review) -> Vec<String> {
    let body = review.body(Room {
        width: COLUMNS,
        height: usize::from(WINDOW.height),
        theme: Theme::plain(),
    });
    let lines = body.pinned.iter().chain(&body.lines);
    let lines = lines.map(|line| without_drawing(&line.to_string()));
    lines.filter(|line| !line.is_empty()).collect()
}
