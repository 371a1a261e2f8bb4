//! A typed-in sheet as a sitting: new, known already, or refused beside the one of that day.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use chrono::{DateTime, FixedOffset, NaiveDate, Utc};

use super::sheet::SheetAnswers;
use crate::commands::failure::Failure;
use crate::domain::event::{How, Stamped};
use crate::domain::header::{
    Alias, Arrangements, Boot, Header, Mode, SESSION_FORMAT, sitting_id, with_extra_time,
};
use crate::domain::mark::Mark;
use crate::domain::paper::Paper;
use crate::domain::register::Register;
use crate::domain::sitting::{Command, Refusal, Sitting};
use crate::domain::time::Elapsed;
use crate::storage::journal::{self, Record};
use crate::words::time::day;

/// What is being entered, and what is there already.
pub(super) struct Entering<'a> {
    /// Where sittings are kept.
    pub(super) dir: &'a Path,
    /// The paper.
    pub(super) paper: &'a Paper,
    /// When it was sat.
    pub(super) started: DateTime<FixedOffset>,
    /// Now.
    pub(super) utc: DateTime<Utc>,
    /// The extra time, where it was said.
    pub(super) extra_percent: Option<Mark>,
    /// What is arranged for each pupil.
    pub(super) register: Option<&'a Register>,
    /// Whether a sheet of that day is replaced.
    pub(super) again: bool,
    /// The sittings there are.
    pub(super) records: &'a [Arc<Record>],
}

/// A sitting as its file will have it.
pub(super) type NewSitting = (Header, Vec<Stamped>);

/// What becomes of a sheet.
pub(super) enum Fate {
    /// It is saved.
    New(Box<NewSitting>),
    /// It was saved before, to the letter.
    Known(PathBuf),
    /// Another one of that pupil, paper and day is there.
    Refused(SheetThere),
}

/// A sheet of the same pupil, paper and day.
#[derive(Debug, thiserror::Error)]
#[error("{pupil} already has an answer sheet of `{paper}` for {day} ({}); if this one corrects it, add --again", path.display())]
pub(super) struct SheetThere {
    pupil: Alias,
    paper: String,
    day: String,
    path: PathBuf,
}

impl Entering<'_> {
    /// The sheets of that pupil, paper and day that count.
    fn sheets<'a>(&'a self, pupil: &'a Alias) -> impl Iterator<Item = &'a Arc<Record>> {
        self.records.iter().filter(move |record| {
            let header = &record.header;
            header.mode == Mode::Entered
                && header.pupil.is_same(pupil)
                && header.paper.id == self.paper.outline.id
                && header.started.date_naive() == self.started.date_naive()
                && record.withdrawn.is_none()
        })
    }

    fn refusal(&self, pupil: &Alias, there: &Record) -> SheetThere {
        SheetThere {
            pupil: pupil.clone(),
            paper: self.paper.outline.id.clone(),
            day: day(self.started.date_naive()),
            path: there.path.clone(),
        }
    }

    /// Refuses a sheet before it is typed where it would be refused afterwards.
    ///
    /// # Errors
    /// A sheet of that pupil, paper and day is there and is not to be replaced.
    pub(super) fn may_be_typed(&self, pupil: &Alias) -> Result<(), Failure> {
        match self.sheets(pupil).next() {
            Some(there) if !self.again => Err(Failure::could_not(self.refusal(pupil, there))),
            _ => Ok(()),
        }
    }

    /// What becomes of a pupil's answers.
    ///
    /// # Errors
    /// Answers that no sitting of the paper takes.
    pub(super) fn fate(&self, pupil: &Alias, answers: &SheetAnswers) -> Result<Fate, Failure> {
        let mut header = self.header(pupil);
        let events = self.events(&header, answers).map_err(Failure::could_not)?;
        if let Some(known) = self
            .sheets(pupil)
            .find(|record| is_it(record, &header, &events))
        {
            return Ok(Fate::Known(known.path.clone()));
        }
        let mut there = self.sheets(pupil);
        let latest = there.next();
        match latest {
            Some(there) if !self.again => return Ok(Fate::Refused(self.refusal(pupil, there))),
            latest => header.replaces = latest.map(|there| there.header.sitting.clone()),
        }
        Ok(Fate::New(Box::new((header, events))))
    }

    /// The other day under which a pupil's sheet of this paper says the same.
    pub(super) fn same_under(&self, (header, events): &NewSitting) -> Option<NaiveDate> {
        let day = |record: &Record| record.header.started.date_naive();
        let same = self.records.iter().find(|record| {
            let own = &record.header;
            own.mode == Mode::Entered
                && own.pupil.is_same(&header.pupil)
                && own.paper.id == header.paper.id
                && record.withdrawn.is_none()
                && day(record) != header.started.date_naive()
                && says(record, events)
        });
        same.map(|record| day(record))
    }

    fn header(&self, pupil: &Alias) -> Header {
        let paper = self.paper;
        let registered = self.register.and_then(|register| register.pupil(pupil));
        let registered = registered.map(|pupil| pupil.extra_percent);
        let extra_percent = self.extra_percent.or(registered).unwrap_or_default();
        let allowed = with_extra_time(paper.allowed, extra_percent);
        Header {
            format: SESSION_FORMAT,
            sitting: sitting_id(self.started, rand::random()),
            pupil: pupil.clone(),
            mode: Mode::Entered,
            replaces: None,
            paper: paper.outline.clone(),
            question_fingerprints: paper.question_fingerprints(),
            standard: paper.allowed,
            allowed,
            arrangements: Arrangements {
                extra_percent,
                ..Arrangements::usual(allowed)
            },
            plan: None,
            program: env!("CARGO_PKG_VERSION").to_owned(),
            invented: false,
            started: self.started,
            // No clock ran: there is no boot to come back to.
            boot: Boot {
                id: String::new(),
                zero: 0,
            },
        }
    }

    fn events(&self, header: &Header, answers: &SheetAnswers) -> Result<Vec<Stamped>, Refusal> {
        let mut sitting = Sitting::new(Arc::new(header.clone()));
        let mut events = Vec::new();
        for command in commands(answers) {
            if let Some(event) = sitting.decide(command, Elapsed::ZERO)? {
                sitting.apply(Elapsed::ZERO, &event);
                events.push(Stamped {
                    at: Elapsed::ZERO,
                    utc: self.utc,
                    event,
                });
            }
        }
        Ok(events)
    }
}

/// Whether a record holds the same answers, given under the same rule and arrangements.
fn is_it(record: &Record, header: &Header, events: &[Stamped]) -> bool {
    let own = &record.header;
    let same = own.paper == header.paper
        && own.arrangements == header.arrangements
        && own.allowed == header.allowed;
    same && says(record, events)
}

/// Whether a record holds these answers.
fn says(record: &Record, events: &[Stamped]) -> bool {
    let mut pairs = record.events.iter().zip(events);
    record.events.len() == events.len() && pairs.all(|(one, other)| one.event == other.event)
}

/// What was typed, as a sitting's commands.
fn commands(answers: &SheetAnswers) -> Vec<Command> {
    let mut commands = Vec::new();
    for (number, typed) in answers {
        if let Some(option) = typed.option {
            commands.push(Command::Answer(*number, option));
        }
        if typed.how != How::Worked {
            commands.push(Command::Say(*number, typed.how));
        }
    }
    commands.push(Command::Finish);
    commands
}

/// Saves new sittings, all of them or none.
///
/// # Errors
/// A folder that cannot be written to.
pub(super) fn put(dir: &Path, sittings: &[NewSitting]) -> Result<Vec<PathBuf>, Failure> {
    if sittings.is_empty() {
        journal::discard_unfinished(dir);
        return Ok(Vec::new());
    }
    journal::put_all(dir, sittings).map_err(Failure::could_not)
}
