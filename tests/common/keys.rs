//! A keyboard, and the names of its keys on a page.

use crossterm::event::KeyCode;
use pacebell::screens::kit::Key;

/// Keys by the names that a page gives them.
const NAMED: [(&str, Key); 14] = [
    ("Up", Key::Up),
    ("Down", Key::Down),
    ("Left", Key::Left),
    ("Right", Key::Right),
    ("PageUp", Key::PageUp),
    ("PageDown", Key::PageDown),
    ("Home", Key::Home),
    ("End", Key::End),
    ("Enter", Key::Enter),
    ("Esc", Key::Esc),
    ("Tab", Key::Tab),
    ("Shift-Tab", Key::BackTab),
    ("Backspace", Key::Backspace),
    ("Space", Key::Char(' ')),
];

/// Every key.
pub(crate) fn keyboard() -> Vec<Key> {
    let mut keys: Vec<Key> = NAMED.iter().map(|(_, key)| *key).collect();
    keys.extend(('!'..='~').chain(['é', '漢']).map(Key::Char));
    keys.extend((1..=12).map(Key::F));
    keys.extend(('a'..='z').flat_map(|c| [Key::Ctrl(c), Key::Alt(c)]));
    keys.extend([KeyCode::Insert, KeyCode::Menu, KeyCode::Pause].map(Key::Other));
    keys
}

/// Whether one name is about a key.
pub(crate) fn names(name: &str, key: Key) -> bool {
    let named = NAMED.iter().find(|(own, _)| *own == name);
    match (named, key) {
        (Some((_, named)), key) => *named == key,
        (None, Key::Char(c)) => match name {
            "letters" | "type" => true,
            "digits" | "number" => c.is_ascii_digit(),
            _ => name.eq_ignore_ascii_case(&c.to_string()),
        },
        (None, Key::F(number)) => name == format!("F{number}"),
        (None, Key::Ctrl(c)) => name == format!("Ctrl-{}", c.to_ascii_uppercase()),
        (None, _) => false,
    }
}
