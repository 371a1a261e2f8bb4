//! No words at all: the start page.

use std::path::PathBuf;

use super::Failure;
use super::desk::Desk;
use super::hall::{Begin, Hall};
use crate::files::folders;
use crate::files::{key, paper};
use crate::journal;
use crate::seat::Setup;
use crate::tui::run::Leaving;
use crate::tui::start::{Choice, Start};

/// Opens the start page, and again after each sitting, until somebody quits.
///
/// # Errors
/// No terminal, a sitting that cannot be saved, or a signal.
pub(super) fn run(dir: PathBuf) -> Result<(), Failure> {
    let mut hall = Hall::open(dir)?;
    loop {
        let desk = Desk::look(&hall.dir, None);
        let start = Start::new(desk.offer(&hall.dir, hall.clock.local()));
        let left = match hall.start(start) {
            Ok(choice) => chosen(&mut hall, &desk, choice),
            Err(leaving) => return hall.close(leaving),
        };
        match left {
            Ok(Some(Leaving::Done)) => {}
            Ok(None) => return hall.close(Leaving::Done),
            Ok(Some(leaving)) => return hall.close(leaving),
            Err(failure) => return hall.fail(failure),
        }
    }
}

/// Does what was chosen; nothing to leave by means that somebody quit.
fn chosen(hall: &mut Hall, desk: &Desk, choice: Choice) -> Result<Option<Leaving>, Failure> {
    match choice {
        Choice::Quit => Ok(None),
        Choice::GoOn { path } => {
            let record = journal::read(&path)?;
            let outline = &record.header.paper;
            let key = desk.key_of(outline);
            hall.sit(Begin::GoOn(&record), desk.paper_of(outline), key.as_ref())
                .map(Some)
        }
        Choice::Sit(seating) => {
            let paper = paper::load(&seating.paper).map_err(Failure::could_not)?;
            let key = folders::key_beside(&seating.paper).and_then(|path| key::load(&path).ok());
            let setup = Setup {
                pupil: seating.pupil,
                paper: &paper,
                minutes: seating.minutes,
                arrangements: seating.arrangements,
                plan: None,
            };
            hall.sit(Begin::New(setup), Some(&paper), key.as_ref())
                .map(Some)
        }
    }
}
