//! The two faces of the list: pages, and lines.

use std::ffi::OsString;
use std::io;
use std::path::PathBuf;

use crate::commands::failure::Failure;
use crate::commands::hall::Hall;
use crate::commands::lines::{self, Face, LineByLine};
use crate::screens::ask::AskPage;
use crate::screens::kit::Message;
use crate::screens::run::Leaving;
use crate::words::ask::{Answered, Asking};
use crate::words::tutor::{PRESS_ENTER, not_begun, same_as};

/// Asks, and has a job done.
pub(super) trait Asker {
    /// Asks until there is an answer; of rows the one at `at` is chosen at first. A question without
    /// rows whose answer is no row is answered in words.
    fn ask(&mut self, ask: Asking, at: usize) -> Result<Answered, Failure>;

    /// Runs the program with these words. `pages`: nothing that it said waits to be read.
    fn run(&mut self, words: &[OsString], pages: bool) -> Result<(), Failure>;
}

/// What one would type for it.
fn typed(words: &[OsString]) -> String {
    let quoted = |word: &OsString| {
        let word = word.to_string_lossy();
        if word.contains(' ') {
            format!("\"{word}\"")
        } else {
            word.into_owned()
        }
    };
    same_as(&words.iter().map(quoted).collect::<Vec<_>>().join(" "))
}

/// Lines.
#[derive(Default)]
pub(super) struct LineAsker(LineByLine);

impl Asker for LineAsker {
    fn ask(&mut self, ask: Asking, _at: usize) -> Result<Answered, Failure> {
        Ok(self.0.ask(&ask)?)
    }

    fn run(&mut self, words: &[OsString], _pages: bool) -> Result<(), Failure> {
        lines::say(&[typed(words)])?;
        if let Err(error) = lines::program(words, Face::Lines) {
            lines::say(&[not_begun(error)])?;
        }
        Ok(())
    }
}

/// Pages.
pub(super) struct PageAsker {
    hall: Hall,
    /// What came of the last job, for the next page.
    message: Option<Message>,
    /// How the last page was left, where it was not by an answer.
    left: Option<Leaving>,
}

impl PageAsker {
    /// Takes the terminal.
    pub(super) fn open(dir: PathBuf) -> Result<Self, Failure> {
        Ok(Self {
            hall: Hall::open(dir)?,
            message: None,
            left: None,
        })
    }

    /// Gives the terminal back.
    pub(super) fn close(self, done: Result<(), Failure>) -> Result<(), Failure> {
        match done {
            Ok(()) => self.hall.close(self.left.unwrap_or(Leaving::Done)),
            Err(failure) => self.hall.fail(failure),
        }
    }
}

impl Asker for PageAsker {
    fn ask(&mut self, ask: Asking, at: usize) -> Result<Answered, Failure> {
        let page = if ask.rows.is_empty() {
            AskPage::words(ask)
        } else {
            AskPage::rows(ask, at)
        };
        match self.hall.ask(page.saying(self.message.take())) {
            Ok(answer) => Ok(answer),
            Err(leaving) => {
                self.left = Some(leaving);
                Ok(Answered::Leave)
            }
        }
    }

    fn run(&mut self, words: &[OsString], pages: bool) -> Result<(), Failure> {
        let done = self.hall.step_aside(|| {
            if !pages {
                lines::say(&[typed(words), String::new()])?;
            }
            let code = lines::program(words, Face::AsUsual)?;
            if !pages || code != Some(0) {
                lines::say(&[String::new(), PRESS_ENTER.to_owned()])?;
                lines::read_line()?;
            }
            Ok(())
        })?;
        self.message = done
            .err()
            .map(|error: io::Error| Message::Trouble(not_begun(error)));
        Ok(())
    }
}
