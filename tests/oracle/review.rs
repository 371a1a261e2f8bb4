//! What the findings page of `review` says.

use std::fs;
use std::path::{Path, PathBuf};

use pacebell::commands::review::Reader;
use pacebell::screens::kit::{Frame, Key};
use pacebell::screens::review::Review;
use pacebell::screens::run::{Arrived, Shelf as _, fulfil, take};
use pacebell::screens::theme::Theme;
use ratatui::buffer::{Buffer, Cell};
use ratatui::layout::{Rect, Size};
use ratatui::widgets::Widget as _;

use crate::scripted::SAMPLES;

/// Said of questions never opened that most people had right.
pub(crate) const EASY: &str = "people got it right: ";
/// Said of a long stay where there is no key.
pub(crate) const UNKEYED: &str = "Without an answer key nobody can say";

/// One column, and room for everything.
const TALL: Size = Size::new(78, 250);

/// The words of the findings page of a sitting, in a folder with these session files; all findings, and not
/// only those of one talk.
pub(crate) fn findings_page(session: &Path, beside: &[&Path]) -> String {
    let dir = tempfile::tempdir().unwrap();
    for path in beside.iter().chain([&session]) {
        let pupil = path.parent().unwrap().file_name().unwrap();
        let folder = dir.path().join(pupil);
        fs::create_dir_all(&folder).unwrap();
        fs::copy(path, folder.join(path.file_name().unwrap())).unwrap();
    }
    let keys: &[PathBuf] = &[PathBuf::from(SAMPLES)];
    let mut files = Reader::new(dir.path(), keys, "P.B.").unwrap();
    let mut review = Review::new("sessions");
    files.begin(|| {});
    while let Some(arrived) = files.wait() {
        let last = matches!(arrived, Arrived::AllRead);
        take(&mut review, arrived);
        if last {
            break;
        }
    }
    let press = |review: &mut Review, files: &mut Reader, key| {
        if let Some(ask) = review.press(key, TALL) {
            fulfil(review, files, ask);
        }
    };
    if !beside.is_empty() {
        for letter in row(session).chars() {
            press(&mut review, &mut files, Key::Char(letter));
        }
    }
    press(&mut review, &mut files, Key::Enter);
    press(&mut review, &mut files, Key::Char('f'));
    press(&mut review, &mut files, Key::Char('a'));
    if let Some((version, members)) = review.group_wanted() {
        files.put_together(version, members);
        let group = files.wait().unwrap();
        take(&mut review, group);
    }
    words(&review)
}

/// What the list names a sitting by: the pupil, and the moment where the name of the file tells it.
fn row(session: &Path) -> String {
    let pupil = session.parent().unwrap().file_name().unwrap();
    let pupil = pupil.to_str().unwrap();
    let name = session.file_name().unwrap().to_str().unwrap();
    if name.starts_with(pupil) {
        return pupil.to_owned();
    }
    let (day, rest) = name.split_at(10);
    let (hour, minute) = rest.get(1..5).unwrap().split_at(2);
    format!("{pupil} {day} {hour}:{minute}")
}

fn words(review: &Review) -> String {
    let mut buffer = Buffer::empty(Rect::new(0, 0, TALL.width, TALL.height));
    let theme = Theme::plain();
    Frame {
        page: review,
        theme,
    }
    .render(buffer.area, &mut buffer);
    let rows = buffer.content.chunks(usize::from(TALL.width));
    let text: String = rows
        .map(|row| row.iter().map(Cell::symbol).collect::<String>() + "\n")
        .collect();
    let words: Vec<&str> = text.split_whitespace().collect();
    words.join(" ")
}

/// How many findings a page says that there are.
pub(crate) fn count(page: &str) -> usize {
    let (before, _) = page.split_once(" finding").unwrap();
    let number = before.split_whitespace().next_back().unwrap();
    number.parse().unwrap_or(0)
}
