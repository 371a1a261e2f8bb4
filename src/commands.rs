//! The words typed: what each command takes, and how it ends.

pub mod aim;
pub mod boundary;
pub mod demo;
mod desk;
pub mod enter;
pub mod feedback;
pub mod forecast;
mod gather;
pub mod group;
mod hall;
mod keys;
pub mod luck;
pub mod mark;
mod numbers;
pub mod paper;
pub mod plan;
pub mod progress;
mod read;
pub mod review;
pub mod sit;
mod start;

use std::ffi::OsString;
use std::fmt;
use std::io::{self, IsTerminal as _, Write};
use std::path::PathBuf;

use clap::{Parser, Subcommand};

use crate::clock::{Clock, SystemClock};
use crate::storage::files::folders;
use crate::storage::journal::JournalError;

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
    /// Sit a paper under the clock, or take up an open sitting again
    Sit(sit::Words),
    /// Mark sittings with a key: exact marks, awards, luck
    Mark(mark::Words),
    /// What a mark or an award takes: fewest right, from the front, every combination, chance
    Aim(aim::Words),
    /// Every mark that some guesses can give, and how likely
    Luck(luck::Words),
    /// Award boundaries of a group, from a column of marks or from sittings
    Boundary(boundary::Words),
    /// A page of feedback for the pupil, or one for each pupil of a group
    Feedback(feedback::Words),
    /// Type in an answer sheet done on paper
    Enter(enter::Words),
    /// Look at past sittings: where the hour went, question by question; replay; notes
    Review(review::Words),
    /// What a group's answer sheets say about each question and about the paper
    Group(group::GroupWords),
    /// Show a pupil's season: marks, habits, topics, causes of lost marks
    Progress(progress::Words),
    /// Forecast a pupil's mark on a paper, and the chance of each award
    Forecast(forecast::Words),
    /// Plan a pupil's time on a paper: which questions to try, and when to be where
    Plan(plan::Words),
    /// Fill a folder with a season of an invented group, to look around in
    Demo(demo::Words),
    /// Check papers and keys, or write a new one to fill in
    #[command(subcommand)]
    Paper(paper::PaperWords),
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

impl From<JournalError> for Failure {
    fn from(error: JournalError) -> Self {
        if error.is_damage() {
            Self::Damaged(format!("pacebell: {error}"))
        } else {
            Self::could_not(error)
        }
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
        Err(help) => return quietly(help.print()),
    };
    let given = args.sessions.as_deref();
    let sessions = || folders::sessions_dir(given).map_err(Failure::could_not);
    let clock = SystemClock;
    let today = clock.local().date_naive();
    let (mut out, mut aside) = (io::stdout(), io::stderr());
    match &args.command {
        None => start::run(sessions()?),
        Some(Words::Sit(words)) => sit::run(words, sessions()?),
        Some(Words::Mark(words)) => mark::run(words, given, today, &mut out, &mut aside),
        Some(Words::Aim(words)) => aim::run(words, given, today, &mut out, &mut aside),
        Some(Words::Luck(words)) => luck::run(words, today, &mut out),
        Some(Words::Boundary(words)) => boundary::run(words, &mut out, &mut aside),
        Some(Words::Enter(words)) => {
            let mut desk = enter::Desk {
                input: &mut io::stdin().lock(),
                asks: io::stdin().is_terminal(),
                out_is_read: out.is_terminal(),
                out: &mut out,
                aside: &mut aside,
            };
            enter::run(words, given, &clock, &mut desk)
        }
        Some(Words::Feedback(words)) => {
            let watched = io::stderr().is_terminal();
            let mut outlets = feedback::Outlets {
                out: &mut out,
                aside: &mut aside,
                watched,
            };
            feedback::run(words, given, today, &mut outlets)
        }
        Some(Words::Review(words)) => review::run(
            words,
            words
                .dir()
                .map_or_else(sessions, |dir| Ok(dir.to_owned()))?,
        ),
        Some(Words::Group(words)) => group::run(words, &mut out, &mut aside),
        Some(Words::Progress(words)) => progress::run(words, &sessions()?, &mut out, &mut aside),
        Some(Words::Forecast(words)) => {
            forecast::run(words, &sessions()?, today, &mut out, &mut aside)
        }
        Some(Words::Plan(words)) => plan::run(words, &sessions()?, today, &mut out, &mut aside),
        Some(Words::Demo(words)) => demo::run(words, &mut out),
        Some(Words::Paper(words)) => paper::run(words, today, &mut out),
    }
}

/// Writes a command's whole output.
fn written(out: &mut dyn Write, text: &str) -> Result<(), Failure> {
    quietly(out.write_all(text.as_bytes()).and_then(|()| out.flush()))
}

/// A reader that has seen enough (`| head`) is no error.
fn quietly(written: io::Result<()>) -> Result<(), Failure> {
    match written {
        Err(error) if error.kind() == io::ErrorKind::BrokenPipe => Ok(()),
        other => other.map_err(Failure::from),
    }
}
