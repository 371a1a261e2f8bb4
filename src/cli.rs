//! The words typed: what each command takes, and how it ends.

pub mod group;

use std::ffi::OsString;
use std::fmt;
use std::io::{self, Write};
use std::path::PathBuf;

use clap::{Parser, Subcommand};

/// Pacebell: sit a timed multiple-choice paper, log every minute, mark it exactly.
///
/// Practice only: the organiser's current rules and your school's policy stand above this program.
#[derive(Debug, Parser)]
#[command(name = "pacebell", version)]
pub struct Args {
    /// Where sittings are kept [default: ./sessions if there is one, else your data folder]
    #[arg(long, global = true, value_name = "DIR")]
    pub sessions: Option<PathBuf>,
    /// What to do; without it the start page opens
    #[command(subcommand)]
    pub command: Option<Words>,
}

/// The commands.
#[derive(Debug, Subcommand)]
pub enum Words {
    /// What a group's answer sheets say about each question and about the paper
    Group(group::GroupWords),
}

/// How a command ended when it did not end well.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Failure {
    /// It could not be done: what, where, and the way out.
    CouldNot(String),
    /// The words typed make no sense.
    WrongWords(String),
    /// A session file is damaged.
    Damaged(String),
    /// A signal ended the program.
    Signal(u8),
}

impl Failure {
    /// The exit code: 1 could not, 2 wrong words, 3 a damaged session, 128 and more a signal.
    pub const fn code(&self) -> u8 {
        match self {
            Self::CouldNot(_) => 1,
            Self::WrongWords(_) => 2,
            Self::Damaged(_) => 3,
            Self::Signal(number) => 128_u8.saturating_add(*number),
        }
    }

    /// The sentence for the one who typed.
    pub fn message(&self) -> String {
        match self {
            Self::CouldNot(text) | Self::WrongWords(text) | Self::Damaged(text) => text.clone(),
            Self::Signal(number) => {
                format!("pacebell: ended by signal {number}; everything saved is kept")
            }
        }
    }

    /// Wraps anything that says what went wrong.
    pub fn could_not(error: impl fmt::Display) -> Self {
        Self::CouldNot(format!("pacebell: {error}"))
    }
}

impl From<io::Error> for Failure {
    fn from(error: io::Error) -> Self {
        Self::could_not(error)
    }
}

/// Reads the words and does what they say.
///
/// # Errors
/// What could not be done, as a sentence with its exit code.
pub fn run(words: impl IntoIterator<Item = OsString>) -> Result<(), Failure> {
    let args = match Args::try_parse_from(words) {
        Ok(args) => args,
        Err(error) if error.use_stderr() => return Err(Failure::WrongWords(error.to_string())),
        Err(help) => return Ok(write!(io::stdout(), "{help}")?),
    };
    match args.command {
        Some(Words::Group(words)) => {
            group::run(&words, &mut io::stdout().lock(), &mut io::stderr().lock())
        }
        None => Ok(()),
    }
}
