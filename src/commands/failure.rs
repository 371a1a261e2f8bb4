//! How a command ended when it did not end well, and several such ends as one.

use std::fmt;
use std::io;
use std::path::Path;

use crate::domain::character::ShownPath as _;
use crate::storage::catalogue::{Meant, NoLook};
use crate::storage::journal::JournalError;
use crate::words::standing::{MOST_UNREAD, more_failures};

/// How a command ended when it did not end well.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum Failure {
    /// It could not be done: what, where, and the way out.
    #[error("{0}")]
    CouldNot(String),
    /// The words typed make no sense.
    #[error("{0}")]
    WrongWords(String),
    /// The words typed are none of ours: what the reader of the words says, with its own beginning.
    #[error("{0}")]
    Usage(String),
    /// A session file is damaged.
    #[error("{0}")]
    Damaged(String),
    /// A signal ended the program.
    #[error("stopped by signal {0}; everything saved so far is kept")]
    Signal(u8),
    /// Whoever read the output has gone: a quiet end.
    #[error("nobody reads the output any more")]
    Unread,
    /// Several files have something wrong.
    #[error("{0}")]
    Several(Failures),
}

impl Failure {
    /// The exit code: 0 nobody reads on, 1 could not, 2 wrong words, 3 a damaged session, 128 and more a signal.
    pub fn code(&self) -> u8 {
        match self {
            Self::Unread => 0,
            Self::CouldNot(_) => 1,
            Self::WrongWords(_) | Self::Usage(_) => 2,
            Self::Damaged(_) => 3,
            Self::Signal(number) => 128_u8.saturating_add(*number),
            Self::Several(all) => all.0.iter().map(Self::code).max().unwrap_or(1),
        }
    }

    /// The sentences for the one who typed, each to stand behind the program's name.
    pub fn sentences(&self) -> Vec<String> {
        match self {
            Self::Several(all) => all.sentences(),
            Self::Unread => Vec::new(),
            one => vec![one.to_string()],
        }
    }

    /// What is wrong with one file, behind its path.
    pub(super) fn of_file(path: &Path, reason: impl fmt::Display) -> Self {
        Self::CouldNot(format!("{}: {reason}", path.shown()))
    }

    /// Wraps anything that says what is wrong with the words typed.
    pub fn wrong_words(error: impl fmt::Display) -> Self {
        Self::WrongWords(error.to_string())
    }

    /// Wraps anything that says what went wrong.
    pub fn could_not(error: impl fmt::Display) -> Self {
        Self::CouldNot(error.to_string())
    }
}

impl From<JournalError> for Failure {
    fn from(error: JournalError) -> Self {
        Self::from(&error)
    }
}

impl From<&JournalError> for Failure {
    fn from(error: &JournalError) -> Self {
        if error.is_damage() {
            Self::Damaged(error.to_string())
        } else {
            Self::could_not(error)
        }
    }
}

impl From<NoLook> for Failure {
    fn from(error: NoLook) -> Self {
        match error {
            NoLook::Journal(error) => Self::from(error),
            NoLook::NoFolder(no) => Self::could_not(no),
        }
    }
}

impl From<io::Error> for Failure {
    /// A reader that has seen enough (`| head`) is no error.
    fn from(error: io::Error) -> Self {
        match error.kind() {
            io::ErrorKind::BrokenPipe => Self::Unread,
            _ => Self::could_not(error),
        }
    }
}

/// What is wrong with several files, told together: damage stands above the rest.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Failures(Vec<Failure>);

impl Failures {
    /// The words that mean no sitting, and every file that cannot be read.
    pub(super) fn of_sittings(meant: &Meant) -> Self {
        Self::of(meant, |_found, _reason| true)
    }

    /// The words that mean no sitting, and every file that cannot be read: a folder among the sittings that cannot
    /// be opened is left out, and told.
    pub(super) fn of_files(meant: &Meant) -> Self {
        Self::of(meant, |_found, reason| !reason.is_about_a_folder())
    }

    /// The words that mean no sitting, and the files that cannot be read though they were named themselves: one
    /// found in a folder is left out, and told.
    pub(super) fn of_named(meant: &Meant) -> Self {
        Self::of(meant, |path, _reason| meant.is_named(path))
    }

    fn of(meant: &Meant, counts: impl Fn(&Path, &JournalError) -> bool) -> Self {
        let missing = meant.missing.iter().map(Failure::could_not);
        let unreadable = meant.unreadable.iter();
        let unreadable = unreadable.filter(|(path, reason)| counts(path, reason));
        let unreadable = unreadable.map(|(_, reason)| Failure::from(&**reason));
        Self(missing.chain(unreadable).collect())
    }

    /// Adds what is wrong with one more.
    pub fn add(&mut self, failure: impl Into<Failure>) {
        self.0.push(failure.into());
    }

    /// The sentences so far: the first hundred, and how many more there are.
    pub fn sentences(&self) -> Vec<String> {
        let mut said: Vec<String> = self.0.iter().flat_map(Failure::sentences).collect();
        let more = said.len().saturating_sub(MOST_UNREAD);
        said.truncate(MOST_UNREAD);
        said.extend((more > 0).then(|| more_failures(more)));
        said
    }

    /// Nothing, or all of them as one failure.
    ///
    /// # Errors
    /// Anything was added.
    pub fn none(self) -> Result<(), Failure> {
        if self.0.is_empty() {
            Ok(())
        } else {
            Err(Failure::Several(self))
        }
    }
}

impl fmt::Display for Failures {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.sentences().join("\n"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn several_failures_end_with_the_worst_code_and_every_sentence() {
        let mut all = Failures::default();
        assert_eq!(all.clone().none(), Ok(()));
        all.add(Failure::could_not("one"));
        assert_eq!(all.clone().none().unwrap_err().code(), 1);
        all.add(Failure::Damaged("two\nand its second line".into()));
        all.add(Failure::could_not("three"));
        let all = all.none().unwrap_err();
        assert_eq!(all.code(), 3);
        assert_eq!(
            all.sentences(),
            ["one", "two\nand its second line", "three"]
        );
        assert_eq!(Failure::Signal(15).code(), 143);
    }
}
