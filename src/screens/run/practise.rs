//! The loop of practice.

use std::io;
use std::sync::mpsc::Receiver;

use ratatui::layout::Size;
use ratatui::widgets::Widget;

use super::Leaving;
use crate::domain::practice::RoundMove;
use crate::screens::kit::{Frame, Key, open_row};
use crate::screens::practise::{PractisePage, Practised};
use crate::screens::theme::Theme;
use crate::term::{self, Inbox, Screen};

/// Shows practice until it is left; `heard` does a move, keeps it, and shows on the page what came of it.
///
/// # Errors
/// A terminal that cannot be written to.
pub fn practise(
    screen: &mut Screen,
    inbox: &Receiver<Inbox>,
    page: &mut PractisePage,
    theme: Theme,
    heard: &mut dyn FnMut(&mut PractisePage, RoundMove),
) -> io::Result<Leaving> {
    let mut size = Size::default();
    loop {
        screen.draw(|area, buf| {
            size = area.as_size();
            let page = &*page;
            Frame { page, theme }.render(area, buf);
            open_row(buf)
        })?;
        match term::next(inbox) {
            Ok(Inbox::Key(key)) => match Key::of(key).and_then(|key| page.press(key, size)) {
                Some(Practised::Do(said)) => heard(page, said),
                Some(Practised::Left) => return Ok(Leaving::Done),
                None => {}
            },
            Ok(Inbox::Back) => screen.take_back()?,
            Ok(Inbox::Stop(signal)) => return Ok(Leaving::Stopped(signal)),
            Ok(Inbox::Lost) | Err(_) => return Ok(Leaving::Lost),
            Ok(Inbox::Resized | Inbox::Wake | Inbox::Pasted) => {}
        }
    }
}
