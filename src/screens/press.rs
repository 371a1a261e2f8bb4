//! Keys as the start and the result page understand them: the one table from the terminal's keys.

use crossterm::event::{KeyCode, KeyEvent, KeyModifiers};

/// A key that these pages know.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Press {
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
    /// Backspace or Delete.
    Backspace,
    /// F1 or `?`.
    Help,
    /// Ctrl-C.
    Stop,
    /// A character, typed without Ctrl or Alt.
    Char(char),
    /// A function key above F1, by its number.
    F(u8),
    /// Any other key.
    Other,
}

impl Press {
    /// What a terminal's key means; releases must have been dropped before.
    pub fn of(key: KeyEvent) -> Self {
        let held = key
            .modifiers
            .intersects(KeyModifiers::CONTROL | KeyModifiers::ALT);
        match key.code {
            KeyCode::Char('c' | 'C') if key.modifiers.contains(KeyModifiers::CONTROL) => Self::Stop,
            KeyCode::Char(_) if held => Self::Other,
            KeyCode::Char('?') | KeyCode::F(1) => Self::Help,
            KeyCode::F(number) => Self::F(number),
            KeyCode::Char(c) if c.is_control() => Self::Other,
            KeyCode::Char(c) => Self::Char(c),
            KeyCode::Up | KeyCode::BackTab => Self::Up,
            KeyCode::Down | KeyCode::Tab => Self::Down,
            KeyCode::Left => Self::Left,
            KeyCode::Right => Self::Right,
            KeyCode::PageUp => Self::PageUp,
            KeyCode::PageDown => Self::PageDown,
            KeyCode::Home => Self::Home,
            KeyCode::End => Self::End,
            KeyCode::Enter => Self::Enter,
            KeyCode::Esc => Self::Esc,
            KeyCode::Backspace | KeyCode::Delete => Self::Backspace,
            _ => Self::Other,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn control_and_alt_never_type_a_letter() {
        let press = |c, held| Press::of(KeyEvent::new(KeyCode::Char(c), held));
        assert_eq!(press('c', KeyModifiers::CONTROL), Press::Stop);
        assert_eq!(press('s', KeyModifiers::CONTROL), Press::Other);
        assert_eq!(press('s', KeyModifiers::ALT), Press::Other);
        assert_eq!(press('S', KeyModifiers::SHIFT), Press::Char('S'));
        assert_eq!(press('\u{7}', KeyModifiers::NONE), Press::Other);
        assert_eq!(press('?', KeyModifiers::SHIFT), Press::Help);
    }
}
