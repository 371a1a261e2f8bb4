//! The words typed: what each command takes, and how it ends.

pub mod aim;
pub mod boundary;
pub mod luck;
mod numbers;

use std::ffi::OsString;
use std::fmt;
use std::io;
use std::path::PathBuf;

use clap::{Parser, Subcommand};

use crate::clock::{Clock, SystemClock};

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
    /// What a mark or an award takes: fewest right, from the front, every combination, chance
    Aim(aim::Words),
    /// Award boundaries of a group, from a column of marks or from sittings
    Boundary(boundary::Words),
    /// Every mark that some guesses can give, and how likely
    Luck(luck::Words),
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
        Err(help) => return numbers::quietly(help.print()),
    };
    let clock = SystemClock;
    let (mut out, mut aside) = (io::stdout(), io::stderr());
    let today = clock.local().date_naive();
    match &args.command {
        None => Ok(()),
        Some(Words::Aim(words)) => aim::run(words, today, &mut out),
        Some(Words::Boundary(words)) => boundary::run(words, &mut out, &mut aside),
        Some(Words::Luck(words)) => luck::run(words, today, &mut out),
    }
}
