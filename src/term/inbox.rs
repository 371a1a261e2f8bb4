//! What a page's loop receives.

use crossterm::event::KeyEvent;

/// What the loop receives.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Inbox {
    /// A key was pressed.
    Key(KeyEvent),
    /// Text was pasted; it is no key.
    Pasted,
    /// The window has another size.
    Resized,
    /// A signal asks the program to end.
    Stop(u8),
    /// The terminal is gone.
    Lost,
    /// The program was stopped and goes on.
    Back,
    /// Something that the page shows has changed by itself.
    Wake,
}
