//! The loops of pages on which no clock runs.

use std::io;
use std::sync::mpsc::Receiver;

use ratatui::layout::Size;
use ratatui::widgets::Widget;

use super::Leaving;
use crate::screens::ask::AskPage;
use crate::screens::kit::{Frame, Key, Page, open_row};
use crate::screens::result::{AfterKey, ResultPage};
use crate::screens::start::{Choice, Start};
use crate::screens::theme::Theme;
use crate::term::{self, Inbox, Screen};
use crate::words::ask::Answered;

/// Shows the start page until something is chosen.
///
/// # Errors
/// A terminal that cannot be written to.
pub fn start(
    screen: &mut Screen,
    inbox: &Receiver<Inbox>,
    start: &mut Start,
    theme: Theme,
) -> io::Result<Result<Choice, Leaving>> {
    run(screen, inbox, start, theme, Start::press)
}

/// Asks until there is an answer.
///
/// # Errors
/// A terminal that cannot be written to.
pub fn ask(
    screen: &mut Screen,
    inbox: &Receiver<Inbox>,
    page: &mut AskPage,
    theme: Theme,
) -> io::Result<Result<Answered, Leaving>> {
    run(screen, inbox, page, theme, AskPage::press)
}

/// Shows the result of a sitting until it is left.
///
/// # Errors
/// A terminal that cannot be written to.
pub fn result(
    screen: &mut Screen,
    inbox: &Receiver<Inbox>,
    mut page: ResultPage,
    theme: Theme,
) -> io::Result<Leaving> {
    let press = |page: &mut ResultPage, key, size| match page.press(key, size) {
        AfterKey::Stays => None,
        AfterKey::Left => Some(Leaving::Done),
    };
    run(screen, inbox, &mut page, theme, press).map(|left| left.unwrap_or_else(|leaving| leaving))
}

/// Draws and takes keys until `press` gives something, or the program is told to end.
pub(super) fn run<P: Page, Chosen>(
    screen: &mut Screen,
    inbox: &Receiver<Inbox>,
    page: &mut P,
    theme: Theme,
    mut press: impl FnMut(&mut P, Key, Size) -> Option<Chosen>,
) -> io::Result<Result<Chosen, Leaving>> {
    let mut size = Size::default();
    loop {
        if size == Size::default() || screen.is_due() {
            screen.draw(|area, buf| {
                size = area.as_size();
                let page = &*page;
                Frame { page, theme }.render(area, buf);
                open_row(buf)
            })?;
        }
        match term::next(inbox) {
            Ok(Inbox::Key(key)) => {
                if let Some(chosen) = Key::of(key).and_then(|key| press(page, key, size)) {
                    return Ok(Ok(chosen));
                }
            }
            Ok(Inbox::Back) => screen.take_back()?,
            Ok(Inbox::Stop(signal)) => return Ok(Err(Leaving::Stopped(signal))),
            Ok(Inbox::Lost) | Err(_) => return Ok(Err(Leaving::Lost)),
            Ok(Inbox::Resized | Inbox::Wake | Inbox::Pasted) => {}
        }
    }
}
