//! What the keys of a page do: one table, from which its foot and its help come too.

use std::borrow::Cow;

use ratatui::text::Line;

use super::foot::{Foot, Named};
use super::key::Key;
use super::moves::Move;
use super::room::Room;

/// Lines at the foot of a page.
pub(super) const FOOT: usize = 2;
/// The blanks between two keys at the foot.
const BETWEEN: &str = "   ";

/// Which keys a binding is about.
#[derive(Clone, Copy, Debug)]
enum Keys {
    /// These; a letter stands for both of its cases.
    These(&'static [Key]),
    /// Every character.
    Letters,
    /// `0` to `9`.
    Digits,
    /// Every key.
    Any,
}

impl Keys {
    fn have(self, key: Key) -> bool {
        match (self, key) {
            (Self::These(keys), key) => keys.iter().any(|named| key.is(*named)),
            (Self::Letters, Key::Char(_)) | (Self::Any, _) => true,
            (Self::Digits, Key::Char(c)) => c.is_ascii_digit(),
            (Self::Letters | Self::Digits, _) => false,
        }
    }

    /// How many keys it is about, roughly: the fewer, the sooner it counts.
    const fn width(self) -> u8 {
        match self {
            Self::These(_) => 0,
            Self::Digits => 1,
            Self::Letters => 2,
            Self::Any => 3,
        }
    }

    /// All of them by name.
    fn names(self) -> String {
        match self {
            Self::These(keys) => {
                let names: Vec<String> = keys.iter().map(Key::to_string).collect();
                names.join(" ")
            }
            Self::Letters => "letters".to_owned(),
            Self::Digits => "digits".to_owned(),
            Self::Any => "any other key".to_owned(),
        }
    }
}

/// What a binding does.
#[derive(Clone, Copy, Debug)]
enum Does<A> {
    This(A),
    /// It depends on the character.
    Typed(fn(char) -> A),
    /// It depends on the move.
    Moved(fn(Move) -> A),
}

/// Some keys and what they do.
#[derive(Clone, Debug)]
pub struct Binding<A> {
    keys: Keys,
    does: Does<A>,
    /// What the foot calls them, and says of them.
    foot: Option<(Cow<'static, str>, &'static str)>,
    /// The higher, the sooner it goes from the foot where room is short.
    rank: u8,
    /// What help says of them.
    help: &'static str,
}

impl<A> Binding<A> {
    const fn new(keys: Keys, does: Does<A>, help: &'static str) -> Self {
        Self {
            keys,
            does,
            foot: None,
            rank: 0,
            help,
        }
    }

    /// These keys do this, and help says so.
    pub const fn keys(keys: &'static [Key], act: A, help: &'static str) -> Self {
        Self::new(Keys::These(keys), Does::This(act), help)
    }

    /// These keys do what their character says.
    pub const fn signs(keys: &'static [Key], act: fn(char) -> A, help: &'static str) -> Self {
        Self::new(Keys::These(keys), Does::Typed(act), help)
    }

    /// Every character does this.
    pub const fn letters(act: fn(char) -> A, help: &'static str) -> Self {
        Self::new(Keys::Letters, Does::Typed(act), help)
    }

    /// `0` to `9` do this.
    pub const fn digits(act: fn(char) -> A, help: &'static str) -> Self {
        Self::new(Keys::Digits, Does::Typed(act), help)
    }

    /// Every key that moves does.
    pub const fn moves(act: fn(Move) -> A, help: &'static str) -> Self {
        Self::moving(Move::KEYS, act, help)
    }

    /// These keys, and no others, move.
    pub const fn moving(keys: &'static [Key], act: fn(Move) -> A, help: &'static str) -> Self {
        Self::new(Keys::These(keys), Does::Moved(act), help)
    }

    /// The keys that open the help.
    pub fn opens_help(act: A) -> Self {
        const KEYS: &[Key] = &[Key::F(1), Key::Char('?')];
        Self::keys(KEYS, act, "this help").foot("help")
    }

    /// Every key not named before does this, and the foot says so.
    pub fn any_other(act: A, does: &'static str) -> Self {
        Self::new(Keys::Any, Does::This(act), does).foot(does)
    }

    /// The foot names them too.
    #[must_use]
    pub fn foot(self, does: &'static str) -> Self {
        let name = match (self.keys, &self.does) {
            // Two keys stand for all that move.
            (Keys::These(keys), Does::Moved(_)) if keys.contains(&Key::Up) => "Up Down".to_owned(),
            // And the key with a name of its own for the two that help.
            (Keys::These([first, Key::Char('?')]), _) => first.to_string(),
            (keys, _) => keys.names(),
        };
        self.called(name, does)
    }

    /// The foot names them too, by another name.
    #[must_use]
    pub fn called(self, name: impl Into<Cow<'static, str>>, does: &'static str) -> Self {
        Self {
            foot: Some((name.into(), does)),
            ..self
        }
    }

    /// The higher its rank, the sooner it goes from the foot where room is short.
    #[must_use]
    pub fn rank(self, rank: u8) -> Self {
        Self { rank, ..self }
    }
}

/// The keys of a page and what they do; a key that is named counts before the letters that it is one
/// of, and these before every other key.
#[derive(Clone, Debug)]
pub struct KeyMap<A> {
    bindings: Vec<Binding<A>>,
}

impl<A: Clone> KeyMap<A> {
    /// These keys.
    pub const fn new(bindings: Vec<Binding<A>>) -> Self {
        Self { bindings }
    }

    /// What a key does.
    pub fn act(&self, key: Key) -> Option<A> {
        let fitting = self.bindings.iter().filter(|own| own.keys.have(key));
        let binding = fitting.min_by_key(|own| own.keys.width())?;
        match (&binding.does, key) {
            (Does::This(act), _) => Some(act.clone()),
            (Does::Typed(act), Key::Char(c)) => Some(act(c)),
            (Does::Typed(_), _) => None,
            (Does::Moved(act), key) => Move::of(key).map(act),
        }
    }
}

impl<A> KeyMap<A> {
    /// The lines at the foot, as many as a page has for it.
    pub fn foot(&self, room: Room) -> Vec<Line<'static>> {
        let named = self.bindings.iter().filter_map(|own| {
            let (name, does) = own.foot.clone()?;
            let rank = own.rank;
            Some(Named { name, does, rank })
        });
        let foot = Foot {
            width: room.width,
            lines: FOOT,
            between: BETWEEN,
        };
        foot.lines(named.collect(), room.theme)
    }

    /// Every key with what it does.
    pub fn help(&self) -> Vec<(String, &'static str)> {
        let named = self.bindings.iter();
        named.map(|own| (own.keys.names(), own.help)).collect()
    }
}

/// The keys of every page of help: it is read, and closed.
pub fn help_keys<A: Clone>(scroll: fn(Move) -> A, close: A) -> Vec<Binding<A>> {
    const CLOSE: &[Key] = &[Key::Esc, Key::Enter, Key::F(1), Key::Char('?')];
    vec![
        Binding::moves(scroll, "read on in the help").foot("read on"),
        Binding::keys(CLOSE, close, "back from the help to the page").called("Esc", "back"),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::screens::theme::Theme;

    #[derive(Clone, Copy, Debug, PartialEq, Eq)]
    enum Tried {
        Go(Move),
        Find(char),
        Take,
        Help,
    }

    fn map() -> KeyMap<Tried> {
        KeyMap::new(vec![
            Binding::moves(Tried::Go, "choose a row").foot("choose"),
            Binding::letters(Tried::Find, "find a row")
                .foot("find")
                .rank(1),
            Binding::keys(&[Key::F(1), Key::Char('?')], Tried::Help, "help").foot("help"),
            Binding::keys(&[Key::Enter], Tried::Take, "take the row").foot("take"),
        ])
    }

    #[test]
    fn a_key_that_is_named_counts_before_the_letters() {
        let map = map();
        assert_eq!(map.act(Key::Tab), Some(Tried::Go(Move::Down)));
        assert_eq!(map.act(Key::Char('?')), Some(Tried::Help), "no letter here");
        assert_eq!(map.act(Key::Char('x')), Some(Tried::Find('x')));
        assert_eq!(map.act(Key::Enter), Some(Tried::Take));
        assert_eq!(map.act(Key::Esc), None);
    }

    #[test]
    fn help_names_every_key_and_the_foot_what_it_has_room_for() {
        let map = map();
        let names: Vec<String> = map.help().into_iter().map(|(name, _)| name).collect();
        assert_eq!(names[0], "Up Down PageUp PageDown Home End Tab Shift-Tab");
        assert_eq!(names[1..], ["letters", "F1 ?", "Enter"]);
        let foot = |width| {
            let room = Room {
                width,
                height: 10,
                theme: Theme::plain(),
            };
            let lines = map
                .foot(room)
                .iter()
                .map(ToString::to_string)
                .collect::<Vec<_>>();
            lines.join("/")
        };
        assert_eq!(
            foot(80),
            "Up Down choose   letters find   F1 help   Enter take"
        );
        assert_eq!(
            foot(30),
            "Up Down choose   letters find/F1 help   Enter take"
        );
        assert_eq!(foot(26), "Up Down choose/F1 all keys   Enter take");
        assert_eq!(foot(0), "Up Down choose/F1 all keys");
    }
}
