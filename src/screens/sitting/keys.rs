//! What a key is called here, whatever the terminal makes of it: one table.

use crossterm::event::{KeyCode, KeyEvent, KeyEventKind, KeyModifiers};

/// A key by its meaning.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Stroke {
    Sign(char),
    Enter,
    Escape,
    Tab,
    RubOut,
    Next,
    Previous,
    First,
    Last,
    PageDown,
    PageUp,
    Help,
    SaveElsewhere,
    TryAgain,
    Leave,
    Suspend,
    Redraw,
    /// No meaning here; its name.
    Other(String),
}

impl Stroke {
    /// What the key is called on the page.
    pub(super) fn name(&self) -> String {
        match self {
            Self::Sign(' ') => "Space".to_owned(),
            Self::Sign(c) => c.to_string(),
            Self::Enter => "Enter".to_owned(),
            Self::Escape => "Esc".to_owned(),
            Self::Tab => "Tab".to_owned(),
            Self::RubOut => "Backspace".to_owned(),
            Self::Other(name) => name.clone(),
            _ => "That key".to_owned(),
        }
    }
}

/// The key's meaning; nothing for a release, for a lone modifier, and for a held key that does not move.
pub(super) fn stroke(key: KeyEvent) -> Option<Stroke> {
    let stroke = named(key)?;
    let moves = matches!(
        stroke,
        Stroke::Next | Stroke::Previous | Stroke::PageDown | Stroke::PageUp
    );
    match key.kind {
        KeyEventKind::Press => Some(stroke),
        KeyEventKind::Repeat => moves.then_some(stroke),
        KeyEventKind::Release => None,
    }
}

fn named(key: KeyEvent) -> Option<Stroke> {
    // Shift is part of the character already.
    let held = key.modifiers.difference(KeyModifiers::SHIFT);
    let alt_gr = KeyModifiers::CONTROL | KeyModifiers::ALT;
    Some(match (key.code, held) {
        (KeyCode::Char(c), KeyModifiers::CONTROL) => control(c),
        (KeyCode::Char('?') | KeyCode::F(1), _) => Stroke::Help,
        (KeyCode::Char(c), KeyModifiers::NONE) => Stroke::Sign(c),
        // Windows reports what AltGr types (# on some keyboards) with both.
        (KeyCode::Char(c), held) if held == alt_gr && !c.is_alphanumeric() => Stroke::Sign(c),
        (KeyCode::Enter, KeyModifiers::NONE) => Stroke::Enter,
        (KeyCode::Esc, _) => Stroke::Escape,
        (KeyCode::Tab, KeyModifiers::NONE) => Stroke::Tab,
        (KeyCode::Backspace | KeyCode::Delete, _) => Stroke::RubOut,
        (KeyCode::Right | KeyCode::Down, _) => Stroke::Next,
        (KeyCode::Left | KeyCode::Up, _) => Stroke::Previous,
        (KeyCode::Home, _) => Stroke::First,
        (KeyCode::End, _) => Stroke::Last,
        (KeyCode::PageDown, _) => Stroke::PageDown,
        (KeyCode::PageUp, _) => Stroke::PageUp,
        (KeyCode::F(2), _) => Stroke::SaveElsewhere,
        (KeyCode::F(3), _) => Stroke::TryAgain,
        (KeyCode::Modifier(_) | KeyCode::Null | KeyCode::CapsLock | KeyCode::NumLock, _) => {
            return None;
        }
        (code, KeyModifiers::ALT) => Stroke::Other(format!("Alt-{code}")),
        (code, _) => Stroke::Other(code.to_string()),
    })
}

fn control(c: char) -> Stroke {
    match c.to_ascii_lowercase() {
        'c' => Stroke::Leave,
        'z' => Stroke::Suspend,
        'l' => Stroke::Redraw,
        // What the rub-out key sends on some terminals.
        'h' => Stroke::RubOut,
        c => Stroke::Other(format!("Ctrl-{c}")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn press(code: KeyCode, held: KeyModifiers) -> Option<Stroke> {
        stroke(KeyEvent::new(code, held))
    }

    #[test]
    fn a_release_is_no_key_and_a_held_key_only_moves() {
        let kind = |code, kind| stroke(KeyEvent::new_with_kind(code, KeyModifiers::NONE, kind));
        assert_eq!(kind(KeyCode::Char('a'), KeyEventKind::Release), None);
        assert_eq!(kind(KeyCode::Enter, KeyEventKind::Repeat), None);
        assert_eq!(kind(KeyCode::Char('y'), KeyEventKind::Repeat), None);
        assert_eq!(
            kind(KeyCode::Down, KeyEventKind::Repeat),
            Some(Stroke::Next)
        );
    }

    #[test]
    fn modifiers_tell_keys_apart() {
        let none = KeyModifiers::NONE;
        assert_eq!(
            press(KeyCode::Char('c'), KeyModifiers::CONTROL),
            Some(Stroke::Leave)
        );
        assert_eq!(press(KeyCode::Char('c'), none), Some(Stroke::Sign('c')));
        assert_eq!(
            press(KeyCode::Char('C'), KeyModifiers::SHIFT),
            Some(Stroke::Sign('C'))
        );
        assert_eq!(
            press(KeyCode::Char('?'), KeyModifiers::SHIFT),
            Some(Stroke::Help)
        );
        assert_eq!(
            press(KeyCode::Char('a'), KeyModifiers::ALT),
            Some(Stroke::Other("Alt-a".into()))
        );
        assert_eq!(
            press(
                KeyCode::Char('#'),
                KeyModifiers::CONTROL | KeyModifiers::ALT
            ),
            Some(Stroke::Sign('#'))
        );
        assert_eq!(
            press(KeyCode::Char('a'), KeyModifiers::CONTROL),
            Some(Stroke::Other("Ctrl-a".into()))
        );
    }
}
