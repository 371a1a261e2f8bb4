//! No words at all: the start page.

mod kept_back;
mod lines;
mod offer;

use std::ffi::OsString;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::drill::{Keep, learn};
use super::failure::Failure;
use super::hall::{Begin, Hall, ToldResult};
use super::lines::{Face, program, read_line, say};
use super::practise::{PracticeFromPage, from_page};
use super::samples;
use crate::domain::header::{Alias, Mode, PacePlan};
use crate::domain::key::Key;
use crate::domain::paper::Paper;
use crate::screens::run::Leaving;
use crate::screens::start::{Choice, Start};
use crate::seat::{Setup, Shared};
use crate::storage::catalogue::Catalogue;
use crate::storage::files::paper;
use crate::storage::journal;
use crate::term::{self, lines_are_wanted};
use crate::words::start as words;
use crate::words::tutor::PRESS_ENTER;

use kept_back::key_of;
pub(super) use offer::{offer, offer_for, step_read_out};

/// What was named beside the start page's own choices.
#[derive(Default)]
pub(super) struct Brought {
    /// Whether a pupil who is to sit line by line does so.
    pub(super) lines_where_arranged: bool,
    /// Whether marks are shown at the end, whatever the page and the register say.
    pub(super) marks: Option<bool>,
    /// The pace plan of a new sitting.
    pub(super) plan: Option<PacePlan>,
}

/// A sitting without a result.
#[derive(Debug, thiserror::Error)]
#[error("this sitting isn't finished. Carry on with it first")]
struct NotOver;

/// A choice that can be carried out.
enum Ready {
    /// The pupil sits, and the clock runs.
    Seated {
        seat: Shared,
        paper: Option<Arc<Paper>>,
        key: Option<Arc<Key>>,
    },
    /// A result is looked at again.
    Told(Box<ToldResult>),
}

/// Opens the start page, and again after each sitting, until somebody quits.
///
/// # Errors
/// No terminal, a sitting whose end cannot be saved, or a signal.
pub(super) fn run(given: Option<&Path>, plain: bool, dir: PathBuf) -> Result<(), Failure> {
    if plain || lines_are_wanted() {
        return lines::run(given, &dir);
    }
    let brought = Brought {
        lines_where_arranged: true,
        ..Brought::default()
    };
    let mut hall = Hall::open(dir)?;
    loop {
        let catalogue = Catalogue::open(Some(&hall.dir), &[]);
        let register = match catalogue.register() {
            Ok(register) => register,
            Err(trouble) => return hall.fail(Failure::could_not(trouble)),
        };
        let mut offer = offer(
            &catalogue,
            register,
            &hall.dir,
            hall.clock.local(),
            &hall.unmarked,
        );
        offer.samples = samples::carried(&catalogue);
        let start = match hall.learned.take() {
            Some(pupil) => Start::at_papers(offer, &pupil),
            None => Start::new(offer),
        };
        let left = attend(&mut hall, &catalogue, start, &brought);
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
    catalogue: &Catalogue,
    mut start: Start,
    brought: &Brought,
) -> Result<Option<Leaving>, Failure> {
    loop {
        let choice = match hall.start(&mut start) {
            Ok(choice) => choice,
            Err(leaving) => return Ok(Some(leaving)),
        };
        if let Choice::Sit(seating) = &choice
            && came_back(&hall.dir, &start, &seating.pupil)
        {
            start.trouble(words::came_back(&seating.pupil));
            continue;
        }
        if let Some(typed) = in_lines(hall, catalogue, &choice, brought) {
            hall.step_aside(|| {
                program(&typed, Face::Lines)?;
                say(&[String::new(), PRESS_ENTER.to_owned()])?;
                read_line()
            })?
            .map_err(Failure::from)?;
            return Ok(Some(Leaving::Done));
        }
        if let Choice::SkipKeys { pupil } = &choice {
            let keep = Keep {
                dir: hall.dir.clone(),
                pupil: Some(pupil.clone()),
            };
            keep.declined();
            continue;
        }
        if let Choice::Learn { pupil } = &choice {
            let keep = Keep {
                dir: hall.dir.clone(),
                pupil: Some(pupil.clone()),
            };
            hall.learned = Some(pupil.clone());
            return Ok(Some(learn(hall, &keep)));
        }
        if let Choice::WriteSamples { pupil } = &choice {
            match samples::write_offered(catalogue) {
                Ok(()) => {
                    hall.learned = Some(pupil.clone());
                    return Ok(Some(Leaving::Done));
                }
                Err(failure) => start.trouble(failure.to_string()),
            }
            continue;
        }
        if let Choice::Practise { pupil } = choice {
            match from_page(hall, catalogue, pupil) {
                Ok(PracticeFromPage::Left(left)) => return Ok(Some(left)),
                Ok(PracticeFromPage::NothingNow(said)) => start.trouble(said),
                Err(failure) => start.trouble(failure.to_string()),
            }
            continue;
        }
        term::read_as_they_come();
        match ready(hall, catalogue, choice, brought) {
            Ok(None) => return Ok(None),
            Ok(Some(Ready::Seated { seat, paper, key })) => {
                return hall.sit(catalogue, &seat, paper.as_deref(), key).map(Some);
            }
            Ok(Some(Ready::Told(told))) => match hall.tell(catalogue, *told) {
                Leaving::Done => {}
                leaving => return Ok(Some(leaving)),
            },
            Err(failure) => {
                start.trouble(failure.to_string());
            }
        }
    }
}

/// Whether an open sitting of the pupil could not be read when the page was made, and can be now: another clock is
/// not started beside it unasked.
fn came_back(dir: &Path, start: &Start, pupil: &Alias) -> bool {
    let open = journal::open_sittings_settled(dir, pupil).unwrap_or_default();
    let mut timed = open.records.iter();
    timed.any(|record| record.header.mode == Mode::Timed && !start.offers(&record.path))
}

/// The words of a sitting line by line, where that is arranged for its pupil.
fn in_lines(
    hall: &Hall,
    catalogue: &Catalogue,
    choice: &Choice,
    brought: &Brought,
) -> Option<Vec<OsString>> {
    let (pupil, paper) = match choice {
        Choice::Practise { pupil } => (pupil.clone(), None),
        Choice::Sit(seating) => (seating.pupil.clone(), Some(&seating.paper)),
        Choice::GoOn { path } => {
            let (record, _damage) = journal::read_up_to_damage(path).ok()?;
            (record.header.pupil, None)
        }
        Choice::Look { .. }
        | Choice::Learn { .. }
        | Choice::SkipKeys { .. }
        | Choice::WriteSamples { .. }
        | Choice::Quit => return None,
    };
    let register = catalogue.register().ok().flatten()?;
    let is_arranged = register.pupil(&pupil).is_some_and(|pupil| pupil.plain);
    (brought.lines_where_arranged && is_arranged).then(|| {
        let mut words: Vec<OsString> = Vec::new();
        if matches!(choice, Choice::Practise { .. }) {
            words.extend(["practise".into(), pupil.as_str().into()]);
        } else {
            words.push("sit".into());
            words.extend(paper.map(OsString::from));
            words.extend(["--pupil".into(), pupil.as_str().into()]);
        }
        words.push("--plain".into());
        words.extend(["--sessions".into(), hall.dir.clone().into()]);
        words
    })
}

/// Reads what a choice needs, and takes the seat; nothing where somebody quit.
fn ready(
    hall: &mut Hall,
    catalogue: &Catalogue,
    choice: Choice,
    brought: &Brought,
) -> Result<Option<Ready>, Failure> {
    let ready = match choice {
        Choice::Learn { .. }
        | Choice::SkipKeys { .. }
        | Choice::WriteSamples { .. }
        | Choice::Practise { .. }
        | Choice::Quit => return Ok(None),
        Choice::GoOn { path } => {
            // The page has told of any damage.
            let (record, _damage) = journal::read_up_to_damage(&path)?;
            let outline = &record.header.paper;
            let key = key_of(
                &hall.unmarked,
                catalogue,
                &path,
                &record.header,
                brought.marks,
            )?;
            Ready::Seated {
                seat: hall.seat(Begin::GoOn(&record))?,
                paper: catalogue.paper_of(outline),
                key,
            }
        }
        Choice::Look { path } => {
            let record = journal::read(&path)?;
            let key = key_of(
                &hall.unmarked,
                catalogue,
                &path,
                &record.header,
                brought.marks,
            )?;
            let told = ToldResult::of(catalogue, record, key)?;
            Ready::Told(Box::new(
                told.ok_or_else(|| Failure::of_file(&path, NotOver))?,
            ))
        }
        Choice::Sit(seating) => {
            let paper = Arc::new(paper::load(&seating.paper).map_err(Failure::could_not)?);
            let key = catalogue.key_of(&paper.outline).ok();
            let marked = seating.marks_at_end && brought.marks != Some(false);
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
                paper: Some(paper),
                key: key.filter(|_| marked),
            }
        }
    };
    Ok(Some(ready))
}
