//! A key pressed, whatever the terminal makes of it: the one table.

use std::fmt;

use crossterm::event::{KeyCode, KeyEvent, KeyEventKind, KeyModifiers};

/// A key.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Key {
    /// Arrow up.
    Up,
    /// Arrow down.
    Down,
    /// Arrow left.
    Left,
    /// Arrow right.
    Right,
    /// A page up.
    PageUp,
    /// A page down.
    PageDown,
    /// To the top.
    Home,
    /// To the bottom.
    End,
    /// Enter.
    Enter,
    /// Escape.
    Esc,
    /// Tab.
    Tab,
    /// Tab with Shift.
    BackTab,
    /// Backspace or Delete.
    Backspace,
    /// A function key, by its number.
    F(u8),
    /// A character, typed without Ctrl or Alt.
    Char(char),
    /// A small letter held with Ctrl.
    Ctrl(char),
    /// A character held with Alt.
    Alt(char),
    /// Any other key.
    Other(KeyCode),
}

impl Key {
    /// Asks to leave, on every page.
    pub const STOP: Self = Self::Ctrl('c');

    /// The key of a terminal's event; nothing for a release and for a lone modifier.
    pub fn of(event: KeyEvent) -> Option<Self> {
        if event.kind == KeyEventKind::Release {
            return None;
        }
        // Shift is part of the character already.
        let held = event.modifiers.difference(KeyModifiers::SHIFT);
        Some(match event.code {
            KeyCode::Char(c) => Self::of_char(c, held),
            KeyCode::Up => Self::Up,
            KeyCode::Down => Self::Down,
            KeyCode::Left => Self::Left,
            KeyCode::Right => Self::Right,
            KeyCode::PageUp => Self::PageUp,
            KeyCode::PageDown => Self::PageDown,
            KeyCode::Home => Self::Home,
            KeyCode::End => Self::End,
            KeyCode::Enter if held.is_empty() => Self::Enter,
            KeyCode::Tab if held.is_empty() => Self::Tab,
            KeyCode::BackTab => Self::BackTab,
            KeyCode::Esc => Self::Esc,
            KeyCode::Backspace | KeyCode::Delete => Self::Backspace,
            KeyCode::F(number) => Self::F(number),
            KeyCode::Modifier(_) | KeyCode::Null | KeyCode::CapsLock | KeyCode::NumLock => {
                return None;
            }
            code => Self::Other(code),
        })
    }

    fn of_char(c: char, held: KeyModifiers) -> Self {
        let alt_gr = KeyModifiers::CONTROL | KeyModifiers::ALT;
        match held {
            // What the rub-out key sends on some terminals.
            KeyModifiers::CONTROL if c.eq_ignore_ascii_case(&'h') => Self::Backspace,
            KeyModifiers::CONTROL => Self::Ctrl(c.to_ascii_lowercase()),
            KeyModifiers::ALT => Self::Alt(c),
            // Windows reports what AltGr types (# on some keyboards) with both.
            held if held == alt_gr && !c.is_alphanumeric() => Self::Char(c),
            KeyModifiers::NONE if !c.is_control() => Self::Char(c),
            _ => Self::Other(KeyCode::Char(c)),
        }
    }

    /// Whether this is the key of a table that names letters once for both of their cases.
    pub(super) fn is(self, named: Self) -> bool {
        match (self, named) {
            (Self::Char(own), Self::Char(named)) => own.eq_ignore_ascii_case(&named),
            (own, named) => own == named,
        }
    }
}

/// The key's name, as on its cap.
impl fmt::Display for Key {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Up => f.write_str("Up"),
            Self::Down => f.write_str("Down"),
            Self::Left => f.write_str("Left"),
            Self::Right => f.write_str("Right"),
            Self::PageUp => f.write_str("PageUp"),
            Self::PageDown => f.write_str("PageDown"),
            Self::Home => f.write_str("Home"),
            Self::End => f.write_str("End"),
            Self::Enter => f.write_str("Enter"),
            Self::Esc => f.write_str("Esc"),
            Self::Tab => f.write_str("Tab"),
            Self::BackTab => f.write_str("Shift-Tab"),
            Self::Backspace => f.write_str("Backspace"),
            Self::F(number) => write!(f, "F{number}"),
            Self::Char(' ') => f.write_str("Space"),
            Self::Char(c) => write!(f, "{c}"),
            Self::Ctrl(c) => write!(f, "Ctrl-{}", c.to_ascii_uppercase()),
            Self::Alt(c) => write!(f, "Alt-{c}"),
            Self::Other(code) => write!(f, "{code}"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pressed(code: KeyCode, held: KeyModifiers) -> Option<Key> {
        Key::of(KeyEvent::new(code, held))
    }

    #[test]
    fn control_and_alt_never_type_a_letter() {
        let key = |c, held| pressed(KeyCode::Char(c), held);
        let (control, alt) = (KeyModifiers::CONTROL, KeyModifiers::ALT);
        assert_eq!(key('c', control), Some(Key::STOP));
        assert_eq!(key('C', control | KeyModifiers::SHIFT), Some(Key::STOP));
        assert_eq!(key('s', control), Some(Key::Ctrl('s')));
        assert_eq!(key('s', alt), Some(Key::Alt('s')));
        assert_eq!(key('S', KeyModifiers::SHIFT), Some(Key::Char('S')));
        assert_eq!(key('#', control | alt), Some(Key::Char('#')), "AltGr");
        assert_eq!(key('h', control), Some(Key::Backspace));
        let bell = KeyCode::Char('\u{7}');
        assert_eq!(key('\u{7}', KeyModifiers::NONE), Some(Key::Other(bell)));
    }

    #[test]
    fn a_release_and_a_lone_modifier_are_no_keys() {
        let none = KeyModifiers::NONE;
        let released = KeyEvent::new_with_kind(KeyCode::Enter, none, KeyEventKind::Release);
        assert_eq!(Key::of(released), None);
        assert_eq!(pressed(KeyCode::CapsLock, none), None);
        assert_eq!(
            pressed(KeyCode::Enter, KeyModifiers::SHIFT),
            Some(Key::Enter)
        );
    }

    #[test]
    fn keys_are_called_as_on_their_caps() {
        let keys = [
            Key::BackTab,
            Key::Char(' '),
            Key::STOP,
            Key::F(1),
            Key::Char('?'),
        ];
        let names: Vec<String> = keys.iter().map(Key::to_string).collect();
        assert_eq!(names, ["Shift-Tab", "Space", "Ctrl-C", "F1", "?"]);
    }
}
