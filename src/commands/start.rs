//! No words at all: the start page.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::desk::Desk;
use super::failure::Failure;
use super::hall::{Begin, Hall};
use super::read::{limits_for, studied};
use crate::domain::header::PacePlan;
use crate::domain::key::Key;
use crate::domain::paper::{Outline, Paper};
use crate::screens::run::Leaving;
use crate::screens::start::{Choice, Start};
use crate::seat::{Setup, Shared};
use crate::storage::files::folders;
use crate::storage::files::{key, paper};
use crate::storage::journal;
use crate::words::result::Ended;

/// What was named beside the start page's own choices.
#[derive(Default)]
pub(super) struct Brought {
    /// A key; without one, the key that lies beside the paper.
    pub(super) key: Option<Key>,
    /// Whether no marks are shown at the end, whatever the page says.
    pub(super) no_marks: bool,
    /// The pace plan of a new sitting.
    pub(super) plan: Option<PacePlan>,
}

impl Brought {
    fn key_for(&self, outline: &Outline) -> Option<Key> {
        self.key.clone().filter(|key| key.fits(outline).is_ok())
    }
}

/// A choice that can be carried out.
enum Ready {
    /// The pupil sits, and the clock runs.
    Seated {
        seat: Shared,
        paper: Option<Box<Paper>>,
        key: Option<Key>,
    },
    /// A result is looked at again.
    Result(Box<Ended>),
}

/// Opens the start page, and again after each sitting, until somebody quits.
///
/// # Errors
/// No terminal, a sitting whose end cannot be saved, or a signal.
pub(super) fn run(dir: PathBuf) -> Result<(), Failure> {
    let mut hall = Hall::open(dir)?;
    loop {
        let desk = Desk::look(&hall.dir, None);
        let offer = desk.offer(&hall.dir, hall.clock.local(), &hall.unmarked);
        let left = attend(&mut hall, &desk, Start::new(offer), &Brought::default());
        match left {
            Ok(Some(Leaving::Done)) => {}
            Ok(None) => return hall.close(Leaving::Done),
            Ok(Some(leaving)) => return hall.close(leaving),
            Err(failure) => return hall.fail(failure),
        }
    }
}

/// Shows a start page until a sitting chosen there is over; nothing to leave by means that somebody
/// quit. What cannot be done is said on the page, so that no key goes astray into the shell.
pub(super) fn attend(
    hall: &mut Hall,
    desk: &Desk,
    mut start: Start,
    brought: &Brought,
) -> Result<Option<Leaving>, Failure> {
    loop {
        let choice = match hall.start(&mut start) {
            Ok(choice) => choice,
            Err(leaving) => return Ok(Some(leaving)),
        };
        match ready(hall, desk, choice, brought) {
            Ok(None) => return Ok(None),
            Ok(Some(Ready::Seated { seat, paper, key })) => {
                return hall.sit(&seat, paper.as_deref(), key.as_ref()).map(Some);
            }
            Ok(Some(Ready::Result(ended))) => match hall.show(*ended) {
                Leaving::Done => {}
                leaving => return Ok(Some(leaving)),
            },
            Err(failure) => {
                start.trouble(failure.to_string());
            }
        }
    }
}

/// Reads what a choice needs, and takes the seat; nothing where somebody quit.
fn ready(
    hall: &mut Hall,
    desk: &Desk,
    choice: Choice,
    brought: &Brought,
) -> Result<Option<Ready>, Failure> {
    let ready = match choice {
        Choice::Quit => return Ok(None),
        Choice::GoOn { path } => {
            let record = journal::read(&path)?;
            let outline = &record.header.paper;
            let key = key_of(hall, desk, &path, outline, brought);
            Ready::Seated {
                seat: hall.seat(Begin::GoOn(&record))?,
                paper: desk.paper_of(outline).cloned().map(Box::new),
                key: key.filter(|_| !brought.no_marks),
            }
        }
        Choice::Look { path } => {
            let record = journal::read(&path)?;
            let key = key_of(hall, desk, &path, &record.header.paper, brought);
            let limits = limits_for(&path, None)?;
            let studied = studied(&record, key.map(Arc::new), None, &limits);
            let Some(ended) = Ended::tell(&studied, path.display().to_string()) else {
                return Err(Failure::could_not(format_args!(
                    "{}: this sitting is open. Go on with it first",
                    path.display()
                )));
            };
            Ready::Result(Box::new(ended))
        }
        Choice::Sit(seating) => {
            let paper = paper::load(&seating.paper).map_err(Failure::could_not)?;
            let beside =
                || folders::key_beside(&seating.paper).and_then(|path| key::load(&path).ok());
            let key = brought.key_for(&paper.outline).or_else(beside);
            let marked = seating.marks_at_end && !brought.no_marks;
            let seat = hall.seat(Begin::New(Setup {
                pupil: seating.pupil,
                paper: &paper,
                minutes: seating.minutes,
                arrangements: seating.arrangements,
                plan: brought.plan.clone(),
            }))?;
            if !marked {
                hall.unmarked.insert(seat.path());
            }
            Ready::Seated {
                seat,
                paper: Some(Box::new(paper)),
                key: key.filter(|_| marked),
            }
        }
    };
    Ok(Some(ready))
}

/// The key of a kept sitting, unless its pupil is not to see the marks.
fn key_of(
    hall: &Hall,
    desk: &Desk,
    path: &Path,
    outline: &Outline,
    brought: &Brought,
) -> Option<Key> {
    if hall.unmarked.contains(path) {
        return None;
    }
    brought.key_for(outline).or_else(|| desk.key_of(outline))
}
