//! Keys held down, which most terminals send as presses, one after another.

use crate::domain::time::Elapsed;

/// A key that comes again sooner than this is held down: repeats come every 30 to 95 ms, taps of
/// the same key no sooner than every 120 (both from memory).
const HELD: Elapsed = Elapsed(100);

/// The same for letters that answer one question after another, where a hurried pupil types the
/// same letter again and again (practice, no source).
const HELD_LETTER: Elapsed = Elapsed(80);

/// The last key, and when it came: only how soon a key comes again tells that it is held.
#[derive(Clone, Debug)]
pub struct HeldKey<K> {
    last: Option<(K, Elapsed)>,
}

// Derived, it would ask for a key that has a default.
impl<K> Default for HeldKey<K> {
    fn default() -> Self {
        Self { last: None }
    }
}

impl<K: PartialEq> HeldKey<K> {
    /// Whether `key` is the last one again, too soon to have been pressed anew.
    pub fn is_held(&mut self, key: K, at: Elapsed) -> bool {
        self.is_within(HELD, key, at)
    }

    /// The same for a letter that answers and goes on.
    pub fn is_held_letter(&mut self, key: K, at: Elapsed) -> bool {
        self.is_within(HELD_LETTER, key, at)
    }

    fn is_within(&mut self, span: Elapsed, key: K, at: Elapsed) -> bool {
        let last = self.last.as_ref();
        let held = last.is_some_and(|(last, then)| *last == key && at.since(*then) < span);
        self.last = Some((key, at));
        held
    }

    /// Whether nothing has been pressed yet.
    pub const fn is_untouched(&self) -> bool {
        self.last.is_none()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_key_again_at_once_is_held_and_another_one_is_not() {
        let mut held = HeldKey::default();
        assert!(held.is_untouched());
        assert!(!held.is_held('a', Elapsed(0)));
        assert!(held.is_held('a', Elapsed(99)));
        assert!(
            held.is_held('a', Elapsed(198)),
            "each is told from the last"
        );
        assert!(!held.is_held('a', Elapsed(298)));
        assert!(!held.is_held('b', Elapsed(299)));
        assert!(!held.is_held('a', Elapsed(300)));
        assert!(held.is_held_letter('a', Elapsed(379)));
        assert!(!held.is_held_letter('a', Elapsed(459)));
    }
}
