//! Keys that come faster than anybody types are a paste.
//!
//! A Windows console marks no paste: what a right click pastes comes as keys, all at once, and each letter would
//! answer a question. Terminals elsewhere mark pastes, so their keys are never held back by this.

#[cfg(windows)]
use std::time::Duration;

use crossterm::event::{KeyCode, KeyEvent, KeyModifiers};

use super::inbox::Inbox;

/// Keys that follow one another within this long are one burst. Two fingers may hit two keys within it, but
/// nobody's typing goes on like that: thirty milliseconds between keys is fast, and a held key repeats no faster.
#[cfg(windows)]
pub(super) const WITHIN: Duration = Duration::from_millis(5);

/// The fewest keys of a burst that are a paste.
const FEWEST: usize = 4;

/// The keys of a burst so far.
#[derive(Debug, Default)]
pub(super) struct Burst {
    held: Vec<KeyEvent>,
    /// Whether it is known to be a paste, and its keys are no longer kept.
    is_paste: bool,
}

impl Burst {
    /// Takes a key.
    pub(super) fn take(&mut self, key: KeyEvent) {
        if self.is_paste {
            return;
        }
        self.held.push(key);
        let pasted = self.held.iter().filter(|key| is_text(key)).count();
        if pasted >= FEWEST {
            self.held.retain(|key| !is_text(key));
            self.is_paste = true;
        }
    }

    /// Gives what has come, once nothing more of it does.
    pub(super) fn end(&mut self) -> Vec<Inbox> {
        let pasted = std::mem::take(&mut self.is_paste).then_some(Inbox::Pasted);
        let keys = self.held.drain(..).map(Inbox::Key);
        keys.chain(pasted).collect()
    }
}

/// Whether a key types something, as a paste does: a character, the end of a line, a tab.
fn is_text(key: &KeyEvent) -> bool {
    let types = matches!(
        key.code,
        KeyCode::Char(_) | KeyCode::Enter | KeyCode::Tab | KeyCode::BackTab
    );
    // A console sends what no key types as if Ctrl and Alt were held.
    let both = KeyModifiers::CONTROL | KeyModifiers::ALT;
    let held = key.modifiers & both;
    types && (held.is_empty() || held == both)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn key(code: KeyCode) -> KeyEvent {
        KeyEvent::new(code, KeyModifiers::NONE)
    }

    fn came(keys: &[KeyEvent]) -> Vec<Inbox> {
        let mut burst = Burst::default();
        for key in keys {
            burst.take(*key);
        }
        let came = burst.end();
        assert_eq!(burst.end(), [], "nothing is left");
        came
    }

    fn letters(text: &str) -> Vec<KeyEvent> {
        text.chars().map(|c| key(KeyCode::Char(c))).collect()
    }

    #[test]
    fn a_few_keys_at_once_are_typed_and_a_line_at_once_is_pasted() {
        for text in ["", "a", "ab", "abc"] {
            let typed: Vec<_> = letters(text).into_iter().map(Inbox::Key).collect();
            assert_eq!(came(&letters(text)), typed);
        }
        for text in ["abcd", "an essay of some length", "7 -,="] {
            assert_eq!(came(&letters(text)), [Inbox::Pasted], "{text}");
        }
        let lines = [letters("a"), vec![key(KeyCode::Enter)]].concat().repeat(3);
        assert_eq!(came(&lines), [Inbox::Pasted]);
    }

    /// `AltGr`, and what no key types, come with Ctrl and Alt held; Ctrl alone types nothing.
    #[test]
    fn what_types_nothing_is_no_part_of_a_paste() {
        let held = |held| KeyEvent::new(KeyCode::Char('c'), held);
        let both = held(KeyModifiers::CONTROL | KeyModifiers::ALT);
        assert_eq!(came(&[both; 4]), [Inbox::Pasted]);
        let control = held(KeyModifiers::CONTROL);
        assert_eq!(came(&[control; 5]), vec![Inbox::Key(control); 5]);
        let down = key(KeyCode::Down);
        assert_eq!(came(&[down; 9]), vec![Inbox::Key(down); 9]);
        let mixed = [vec![down], letters("abcd"), vec![down]].concat();
        assert_eq!(came(&mixed), [Inbox::Key(down), Inbox::Pasted]);
    }

    #[test]
    fn the_next_burst_begins_anew() {
        let mut burst = Burst::default();
        for key in letters("abcdef") {
            burst.take(key);
        }
        assert_eq!(burst.end(), [Inbox::Pasted]);
        burst.take(key(KeyCode::Char('b')));
        assert_eq!(burst.end(), [Inbox::Key(key(KeyCode::Char('b')))]);
    }
}
