//! Moves through rows or lines.

use super::key::Key;

/// A move through rows or lines.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Move {
    /// One up.
    Up,
    /// One down.
    Down,
    /// A page up.
    PageUp,
    /// A page down.
    PageDown,
    /// To the first.
    First,
    /// To the last.
    Last,
}

impl Move {
    /// Every key that moves.
    pub(super) const KEYS: &'static [Key] = &[
        Key::Up,
        Key::Down,
        Key::PageUp,
        Key::PageDown,
        Key::Home,
        Key::End,
        Key::Tab,
        Key::BackTab,
    ];

    /// The move that a key makes.
    pub(super) const fn of(key: Key) -> Option<Self> {
        match key {
            Key::Up | Key::BackTab => Some(Self::Up),
            Key::Down | Key::Tab => Some(Self::Down),
            Key::PageUp => Some(Self::PageUp),
            Key::PageDown => Some(Self::PageDown),
            Key::Home => Some(Self::First),
            Key::End => Some(Self::Last),
            _ => None,
        }
    }

    /// Where it leads from place `at` up to `last`, with `page` places to a page.
    pub fn from(self, at: usize, last: usize, page: usize) -> usize {
        let at = at.min(last);
        let to = match self {
            Self::Up => at.saturating_sub(1),
            Self::Down => at.saturating_add(1),
            Self::PageUp => at.saturating_sub(page.max(1)),
            Self::PageDown => at.saturating_add(page.max(1)),
            Self::First => 0,
            Self::Last => last,
        };
        to.min(last)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_move_stops_at_both_ends() {
        assert_eq!(Move::Up.from(0, 5, 3), 0);
        assert_eq!(Move::PageUp.from(4, 5, 3), 1);
        assert_eq!(Move::PageDown.from(4, 5, 3), 5);
        assert_eq!(
            Move::Down.from(9, 5, 3),
            5,
            "what lies past the end is the last"
        );
        assert_eq!(
            (Move::First.from(4, 5, 0), Move::Last.from(4, 5, 0)),
            (0, 5)
        );
        assert_eq!(Move::PageDown.from(1, 5, 0), 2, "a page has a row at least");
    }
}
