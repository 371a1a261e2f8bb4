//! The loops of the drills.

use std::io;
use std::sync::mpsc::{Receiver, RecvTimeoutError};
use std::time::Duration;

use ratatui::layout::Size;
use ratatui::widgets::Widget;

use super::{Leaving, pages};
use crate::domain::drill::SweepDrill;
use crate::domain::time::Elapsed;
use crate::screens::drill::{Drilled, KeysPage, SweepPage};
use crate::screens::kit::{Frame, Key, open_row};
use crate::screens::theme::Theme;
use crate::term::{self, Inbox, Screen};

/// A page on which nothing runs waits no longer than this.
const LONGEST_WAIT: Duration = Duration::from_secs(3600);

/// Shows a sweep until it is left. Once it is over, `kept` has it, and gives what is to be said.
///
/// # Errors
/// A terminal that cannot be written to.
pub fn sweep(
    screen: &mut Screen,
    inbox: &Receiver<Inbox>,
    page: &mut SweepPage,
    theme: Theme,
    now: &dyn Fn() -> Elapsed,
    kept: &mut dyn FnMut(&SweepDrill) -> Vec<String>,
) -> io::Result<Leaving> {
    let mut size = Size::default();
    loop {
        if page.tick(now()) == Some(Drilled::Ended) {
            let said = kept(page.sweep());
            page.say(said);
        }
        if size == Size::default() || screen.is_due() {
            screen.draw(|area, buf| {
                size = area.as_size();
                let page = &*page;
                Frame { page, theme }.render(area, buf);
                open_row(buf)
            })?;
        }
        let wait = page.next_change();
        let wait = wait.map_or(LONGEST_WAIT, |wait| Duration::from_millis(wait.as_millis()));
        match term::next_within(inbox, wait) {
            Ok(Inbox::Key(key)) => {
                let done = Key::of(key).and_then(|key| page.press(key, size, now()));
                match done {
                    Some(Drilled::Left) => return Ok(Leaving::Done),
                    Some(Drilled::Ended) => {
                        let said = kept(page.sweep());
                        page.say(said);
                    }
                    None => {}
                }
            }
            Ok(Inbox::Back) => screen.take_back()?,
            Ok(Inbox::Stop(signal)) => return Ok(Leaving::Stopped(signal)),
            Ok(Inbox::Lost) | Err(RecvTimeoutError::Disconnected) => return Ok(Leaving::Lost),
            Ok(Inbox::Resized | Inbox::Wake | Inbox::Pasted) | Err(RecvTimeoutError::Timeout) => {}
        }
    }
}

/// Shows the keys until they are left.
///
/// # Errors
/// A terminal that cannot be written to.
pub fn keys(
    screen: &mut Screen,
    inbox: &Receiver<Inbox>,
    page: &mut KeysPage,
    theme: Theme,
) -> io::Result<Leaving> {
    let left = pages::run(screen, inbox, page, theme, KeysPage::press)?;
    Ok(left.map_or_else(|leaving| leaving, |_left| Leaving::Done))
}
