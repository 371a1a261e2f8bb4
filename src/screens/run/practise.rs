//! Practice on the pages' own loop.

use std::io;
use std::sync::mpsc::Receiver;

use super::{Leaving, pages};
use crate::domain::practice::RoundMove;
use crate::screens::practise::{PractisePage, Practised};
use crate::screens::theme::Theme;
use crate::term::{Inbox, Screen};

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
    let press = |page: &mut PractisePage, key, size| match page.press(key, size)? {
        Practised::Do(said) => {
            heard(page, said);
            None
        }
        Practised::Left => Some(Leaving::Done),
    };
    pages::run(screen, inbox, page, theme, press).map(|left| left.unwrap_or_else(|leaving| leaving))
}
