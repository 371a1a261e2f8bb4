//! Which keys of a sitting count while they are held down, and what they are called.

use crossterm::event::{KeyEvent, KeyEventKind};

use crate::screens::kit::Key;

/// The key pressed; nothing for a held key that does not move.
pub(super) fn pressed(event: KeyEvent) -> Option<Key> {
    let key = Key::of(event)?;
    let moves = matches!(
        key,
        Key::Up | Key::Down | Key::Left | Key::Right | Key::PageUp | Key::PageDown
    );
    (moves || event.kind == KeyEventKind::Press).then_some(key)
}

/// What a key is called on the page.
pub(super) fn name(key: Key) -> String {
    match key {
        Key::Up
        | Key::Down
        | Key::Left
        | Key::Right
        | Key::Home
        | Key::End
        | Key::PageUp
        | Key::PageDown => "That key".to_owned(),
        Key::Ctrl(c) => format!("Ctrl-{c}"),
        key => key.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use crossterm::event::{KeyCode, KeyModifiers};

    use super::*;

    #[test]
    fn a_held_key_only_moves() {
        let none = KeyModifiers::NONE;
        let kind = |code, kind| pressed(KeyEvent::new_with_kind(code, none, kind));
        assert_eq!(kind(KeyCode::Char('a'), KeyEventKind::Release), None);
        assert_eq!(kind(KeyCode::Enter, KeyEventKind::Repeat), None);
        assert_eq!(kind(KeyCode::Char('y'), KeyEventKind::Repeat), None);
        assert_eq!(kind(KeyCode::Down, KeyEventKind::Repeat), Some(Key::Down));
        assert_eq!(kind(KeyCode::Enter, KeyEventKind::Press), Some(Key::Enter));
    }
}
