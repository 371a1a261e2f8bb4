//! What the keys of a page do: one table, from which its foot and its help come too.

use std::borrow::Cow;

use ratatui::text::Line;

use super::foot::{Foot, Named};
use super::key::Key;
use super::moves::Move;
use crate::screens::theme::Theme;

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
    /// What the foot says of them.
    foot: Option<&'static str>,
    /// What the foot calls them, where that is not what they are called.
    foot_name: Option<Cow<'static, str>>,
    /// The lower, the further in front at the foot.
    place: u8,
    /// The higher, the sooner it goes from the foot where room is short.
    rank: u8,
    /// What help calls them, where it has no names for all of them.
    help_name: Option<Cow<'static, str>>,
    /// What help says of them, if anything.
    help: Option<Cow<'static, str>>,
}

impl<A> Binding<A> {
    const fn new(keys: Keys, does: Does<A>, help: Option<Cow<'static, str>>) -> Self {
        Self {
            keys,
            does,
            foot: None,
            foot_name: None,
            place: 0,
            rank: 0,
            help_name: None,
            help,
        }
    }

    /// These keys do this, and help says so.
    pub fn keys(keys: &'static [Key], act: A, help: impl Into<Cow<'static, str>>) -> Self {
        Self::new(Keys::These(keys), Does::This(act), Some(help.into()))
    }

    /// These keys do this too; they are named, if at all, with other keys.
    pub const fn unnamed(keys: &'static [Key], act: A) -> Self {
        Self::new(Keys::These(keys), Does::This(act), None)
    }

    /// These keys do what their character says.
    pub const fn signs(keys: &'static [Key], act: fn(char) -> A, help: &'static str) -> Self {
        Self::new(
            Keys::These(keys),
            Does::Typed(act),
            Some(Cow::Borrowed(help)),
        )
    }

    /// Every character does this.
    pub const fn letters(act: fn(char) -> A, help: &'static str) -> Self {
        Self::new(Keys::Letters, Does::Typed(act), Some(Cow::Borrowed(help)))
    }

    /// `0` to `9` do this.
    pub const fn digits(act: fn(char) -> A, help: &'static str) -> Self {
        Self::new(Keys::Digits, Does::Typed(act), Some(Cow::Borrowed(help)))
    }

    /// Every key that moves does.
    pub const fn moves(act: fn(Move) -> A, help: &'static str) -> Self {
        Self::moving(Move::KEYS, act, help)
    }

    /// These keys, and no others, move.
    pub const fn moving(keys: &'static [Key], act: fn(Move) -> A, help: &'static str) -> Self {
        Self::new(
            Keys::These(keys),
            Does::Moved(act),
            Some(Cow::Borrowed(help)),
        )
    }

    /// The keys that open the help.
    pub fn opens_help(act: A) -> Self {
        const KEYS: &[Key] = &[Key::F(1), Key::Char('?')];
        Self::keys(KEYS, act, "this help").foot("help")
    }

    /// Every key not named before does this, and the foot says so.
    pub fn any_other(act: A, does: &'static str) -> Self {
        Self::new(Keys::Any, Does::This(act), Some(Cow::Borrowed(does))).foot(does)
    }

    /// The foot names them too.
    #[must_use]
    pub fn foot(self, does: &'static str) -> Self {
        Self {
            foot: Some(does),
            foot_name: None,
            ..self
        }
    }

    /// What the foot calls them. Made when a foot is drawn: whoever looks a key up needs no names.
    fn name_at_foot(&self) -> Cow<'static, str> {
        match (&self.foot_name, self.keys, &self.does) {
            (Some(name), ..) => name.clone(),
            // Two keys stand for all that move.
            (None, Keys::These(keys), Does::Moved(_)) if keys.contains(&Key::Up) => {
                Cow::Borrowed("Up Down")
            }
            // And the key with a name of its own for the two that help.
            (None, Keys::These([first, Key::Char('?')]), _) => Cow::Owned(first.to_string()),
            (None, keys, _) => Cow::Owned(keys.names()),
        }
    }

    /// The foot names them too, by another name.
    #[must_use]
    pub fn called(self, name: impl Into<Cow<'static, str>>, does: &'static str) -> Self {
        Self {
            foot: Some(does),
            foot_name: Some(name.into()),
            ..self
        }
    }

    /// Help calls them so, where it has no names for all of them.
    #[must_use]
    pub fn help_name(self, name: impl Into<Cow<'static, str>>) -> Self {
        Self {
            help_name: Some(name.into()),
            ..self
        }
    }

    /// The foot does not name them.
    #[must_use]
    pub fn off_the_foot(self) -> Self {
        Self { foot: None, ..self }
    }

    /// The lower its place, the further in front it stands at the foot; of one place, as in the table.
    #[must_use]
    pub fn place(self, place: u8) -> Self {
        Self { place, ..self }
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
    /// The lines at the foot.
    pub(in crate::screens) fn foot(&self, foot: Foot, theme: Theme) -> Vec<Line<'static>> {
        let mut bindings: Vec<&Binding<A>> = self.bindings.iter().collect();
        bindings.sort_by_key(|own| own.place);
        let named = bindings.into_iter().filter_map(|own| {
            let does = own.foot?;
            Some(Named::new(own.name_at_foot(), does, own.rank))
        });
        foot.lines(named.collect(), theme)
    }

    /// Every key that has a name with what it does.
    pub fn help(&self) -> Vec<(String, String)> {
        let named = self.bindings.iter().filter_map(|own| {
            let does = own.help.clone()?;
            let name = own.help_name.as_ref();
            let name = name.map_or_else(|| own.keys.names(), Cow::to_string);
            Some((name, does.into_owned()))
        });
        named.collect()
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
            let foot = Foot {
                width,
                lines: 2,
                between: "   ",
            };
            let lines = map.foot(foot, Theme::plain());
            let lines: Vec<String> = lines.iter().map(ToString::to_string).collect();
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

    #[test]
    fn foot_and_help_may_call_a_key_by_names_of_their_own_and_in_another_order() {
        let map = KeyMap::new(vec![
            Binding::keys(&[Key::Enter, Key::Right], Tried::Take, "take the row")
                .help_name("Enter or Right")
                .called("Enter", "take")
                .place(1),
            Binding::unnamed(&[Key::F(1)], Tried::Help).foot("help"),
            Binding::unnamed(&[Key::Tab], Tried::Take),
            Binding::letters(Tried::Find, "find a row")
                .foot("find")
                .off_the_foot(),
        ]);
        let foot = Foot {
            width: 80,
            lines: 1,
            between: "  ",
        };
        let lines = map.foot(foot, Theme::plain());
        assert_eq!(lines[0].to_string(), "F1 help  Enter take");
        let named = |name: &str, does: &str| (name.to_owned(), does.to_owned());
        let help = [
            named("Enter or Right", "take the row"),
            named("letters", "find a row"),
        ];
        assert_eq!(map.help(), help);
        assert_eq!(map.act(Key::Tab), Some(Tried::Take));
    }
}
