//! The loops of pages on which no clock runs.

use std::io;
use std::sync::mpsc::Receiver;

use crossterm::event::KeyEvent;
use ratatui::buffer::Buffer;
use ratatui::layout::{Rect, Size};
use ratatui::widgets::Widget;

use super::Leaving;
use crate::screens::press::Press;
use crate::screens::result::{Reading, ResultPage, Stay};
use crate::screens::start::{Choice, Start, StartPage};
use crate::screens::theme::Theme;
use crate::term::{Inbox, Screen};
use crate::words::result::Ended;

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
    let draw = |start: &Start, area: Rect, buf: &mut Buffer| {
        StartPage {
            start,
            theme: &theme,
        }
        .render(area, buf);
    };
    run(screen, inbox, start, draw, |start, key, size| {
        start.press(Press::of(key), size)
    })
}

/// Shows the result of a sitting until it is left.
///
/// # Errors
/// A terminal that cannot be written to.
pub fn result(
    screen: &mut Screen,
    inbox: &Receiver<Inbox>,
    ended: Ended,
    theme: Theme,
) -> io::Result<Leaving> {
    let mut reading = Reading::new(ended);
    let draw = |reading: &Reading, area: Rect, buf: &mut Buffer| {
        ResultPage {
            reading,
            theme: &theme,
        }
        .render(area, buf);
    };
    let press =
        |reading: &mut Reading, key: KeyEvent, size| match reading.press(Press::of(key), size) {
            Stay::Stay => None,
            Stay::Leave => Some(Leaving::Done),
        };
    run(screen, inbox, &mut reading, draw, press).map(|left| left.unwrap_or_else(|leaving| leaving))
}

/// Draws and takes keys until `press` gives something, or the program is told to end.
fn run<Page, Chosen>(
    screen: &mut Screen,
    inbox: &Receiver<Inbox>,
    page: &mut Page,
    draw: impl Fn(&Page, Rect, &mut Buffer),
    press: impl Fn(&mut Page, KeyEvent, Size) -> Option<Chosen>,
) -> io::Result<Result<Chosen, Leaving>> {
    let mut size = Size::default();
    loop {
        screen.draw(|area, buf| {
            size = area.as_size();
            draw(page, area, buf);
        })?;
        match inbox.recv() {
            Ok(Inbox::Key(key)) => {
                if let Some(chosen) = press(page, key, size) {
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
