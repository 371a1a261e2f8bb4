//! Option labels, as a paper prints them: `ABCDE`, `12345`, `AB`.

use std::fmt;

use serde::{Deserialize, Serialize};

/// One option's label: a capital letter or a digit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Label(char);

impl Label {
    /// Takes a letter (small or capital) or a digit; nothing else is a label.
    pub fn new(c: char) -> Option<Self> {
        c.is_ascii_alphanumeric()
            .then(|| Self(c.to_ascii_uppercase()))
    }

    /// The character as printed.
    pub const fn as_char(self) -> char {
        self.0
    }
}

impl fmt::Display for Label {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Write::write_char(f, self.0)
    }
}

/// The labels of one question's options, in order.
#[derive(Clone, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Labels(Vec<Label>);

/// Why a text is no set of option labels.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum NoLabels {
    /// Fewer than two options.
    #[error("a question needs at least two options; write their labels, such as \"ABCDE\"")]
    TooFew,
    /// Something else than a letter or a digit.
    #[error("{0:?} can't be an option label; use letters or digits, such as \"ABCDE\"")]
    Character(char),
    /// The same label twice (a small letter is the same as its capital).
    #[error("the label {0} is used twice; give every option its own")]
    Twice(char),
    /// Letters and digits together, so that a jump by number would be unclear.
    #[error("letters and digits are mixed; use either letters or digits")]
    Mixed,
}

impl Labels {
    /// Reads labels such as `ABCDE`.
    pub fn new(text: &str) -> Result<Self, NoLabels> {
        let mut labels = Vec::new();
        for c in text.chars() {
            let label = Label::new(c).ok_or(NoLabels::Character(c))?;
            if labels.contains(&label) {
                return Err(NoLabels::Twice(label.as_char()));
            }
            labels.push(label);
        }
        let digits = labels.iter().filter(|l| l.0.is_ascii_digit()).count();
        match labels.len() {
            0 | 1 => Err(NoLabels::TooFew),
            n if digits != 0 && digits != n => Err(NoLabels::Mixed),
            _ => Ok(Self(labels)),
        }
    }

    /// The label that a typed character names, if it is one of these.
    pub fn find(&self, typed: char) -> Option<Label> {
        Label::new(typed).filter(|label| self.0.contains(label))
    }

    /// Where `label` stands, from 0.
    pub fn index(&self, label: Label) -> Option<usize> {
        self.0.iter().position(|own| *own == label)
    }

    /// The labels in order.
    pub fn iter(&self) -> impl Iterator<Item = Label> + '_ {
        self.0.iter().copied()
    }

    /// How many options there are, two at the least.
    #[expect(
        clippy::len_without_is_empty,
        reason = "there are always two at the least"
    )]
    pub fn len(&self) -> usize {
        self.0.len()
    }

    /// Whether the labels are digits, so that a jump by number needs a sign before it.
    pub fn are_digits(&self) -> bool {
        self.0.iter().all(|label| label.0.is_ascii_digit())
    }

    /// The first and last label, for a line such as `A to E`.
    pub fn range(&self) -> String {
        match (self.0.first(), self.0.last()) {
            (Some(first), Some(last)) => format!("{first} to {last}"),
            _ => String::new(),
        }
    }
}

impl TryFrom<String> for Labels {
    type Error = NoLabels;
    fn try_from(text: String) -> Result<Self, NoLabels> {
        Self::new(&text)
    }
}

impl From<Labels> for String {
    fn from(labels: Labels) -> Self {
        labels.to_string()
    }
}

impl fmt::Display for Labels {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.iter().try_for_each(|label| label.fmt(f))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_are_found_small_or_capital() {
        let labels = Labels::new("abcde").unwrap();
        assert_eq!(labels.to_string(), "ABCDE");
        assert_eq!(labels.find('c').map(Label::as_char), Some('C'));
        assert_eq!(labels.find('F'), None);
        assert_eq!(labels.find('-'), None);
        assert_eq!(labels.range(), "A to E");
        assert!(!labels.are_digits() && Labels::new("123").unwrap().are_digits());
    }

    #[test]
    fn what_is_no_set_of_labels_is_refused() {
        assert_eq!(Labels::new("A"), Err(NoLabels::TooFew));
        assert_eq!(Labels::new("AB A"), Err(NoLabels::Character(' ')));
        assert_eq!(Labels::new("ABa"), Err(NoLabels::Twice('A')));
        assert_eq!(Labels::new("A1"), Err(NoLabels::Mixed));
        assert!(ron::from_str::<Labels>("\"A\"").is_err());
    }
}
