//! What a key can do on the pages of a sitting, and the keys that several of them have.

use super::model::Overlay;
use crate::dialogue::Move;
use crate::screens::kit::{Binding, Key};

/// What a key can do on the pages of a sitting.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Act {
    /// Makes a move.
    Make(Move),
    /// Takes the page on top away and makes a move.
    CloseAndMake(Move),
    /// Chooses the option of this letter.
    Answer(char),
    /// Puts a page on top.
    Open(Overlay),
    /// Takes the page on top away.
    Close,
    /// Hides the clock, or shows it again.
    TurnClock,
    /// Crosses the option of this letter out, or back.
    CrossOut(char),
    /// Waits for the letter of an option to cross out.
    BeginCross,
    /// Does not wait for it any longer.
    DropCross,
    /// Begins a question's number.
    BeginNumber,
    /// A digit of a question's number.
    Digit(char),
    /// Takes the last digit back.
    TakeDigitBack,
    /// Goes to the question whose number is typed.
    Jump,
    /// Drops the number typed.
    DropNumber,
    /// Reads on where there is more of the question, else goes to the next one.
    Down,
    /// Reads back where there is more above, else goes to the question before.
    Up,
    /// A page down.
    ReadOn,
    /// A page up.
    ReadBack,
    /// Paints the whole screen anew.
    Redraw,
    /// Saves in the other place.
    SaveElsewhere,
    /// Tries again to save.
    TryAgain,
}

impl Act {
    /// Whether it is about the program and no page: it is done whatever the sitting has come to.
    pub(super) const fn is_about_the_program(self) -> bool {
        matches!(
            self,
            Self::Open(Overlay::Leave) | Self::Redraw | Self::SaveElsewhere | Self::TryAgain
        )
    }
}

pub(super) const ENTER: &[Key] = &[Key::Enter];
pub(super) const ESC: &[Key] = &[Key::Esc];
pub(super) const BACKSPACE: &[Key] = &[Key::Backspace];
pub(super) const RUBS_OUT: &[Key] = &[Key::Char('-'), Key::Backspace];
pub(super) const QUESTION_MARK: &[Key] = &[Key::Char('?')];
pub(super) const SPACE: &[Key] = &[Key::Char(' ')];
pub(super) const SLASH: &[Key] = &[Key::Char('/')];
pub(super) const HOME: &[Key] = &[Key::Home];
pub(super) const END: &[Key] = &[Key::End];
pub(super) const PAGE_DOWN: &[Key] = &[Key::PageDown];

/// Opens the help, which need not name its own key.
pub(super) fn opens_help() -> Binding<Act> {
    const KEYS: &[Key] = &[Key::F(1)];
    Binding::unnamed(KEYS, Act::Open(Overlay::Help)).called("F1", "help")
}

pub(super) fn leaves() -> Binding<Act> {
    let leave = Act::Open(Overlay::Leave);
    Binding::keys(&[Key::STOP], leave, "leave; asks first").help_name("Ctrl-C")
}
