//! A typed-in sheet as a sitting: new, known already, or refused beside the one of that day.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use chrono::{DateTime, FixedOffset, NaiveDate, Utc};

use super::sheet::SheetAnswers;
use crate::commands::failure::Failure;
use crate::domain::character::ShownPath as _;
use crate::domain::event::{Event, How, Stamped};
use crate::domain::header::{
    Alias, Arrangements, Boot, Header, Mode, SESSION_FORMAT, sitting_id, with_extra_time,
};
use crate::domain::mark::Mark;
use crate::domain::paper::Paper;
use crate::domain::register::Register;
use crate::domain::sheet::{SheetOf, is_same_sheet, same_answers};
use crate::domain::sitting::{Command, Refusal, Sitting};
use crate::domain::standing::Exclusion;
use crate::domain::time::Elapsed;
use crate::storage::journal::{self, Record};
use crate::words::entry;
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
pub(super) enum SheetThere {
    /// One that counts.
    #[error("{pupil} already has an answer sheet of `{paper}` for {day} ({}); if this one corrects it, add --again", path.shown())]
    One {
        pupil: Alias,
        paper: String,
        day: String,
        path: PathBuf,
    },
    /// Several with different answers, of which none counts: this one cannot correct them all.
    #[error("{pupil} has answer sheets of `{paper}` for {day} that say different things (one is {}); set the wrong ones aside first", path.shown())]
    Several {
        pupil: Alias,
        paper: String,
        day: String,
        path: PathBuf,
    },
}

impl Entering<'_> {
    /// The sheets of that pupil, paper and day that count, or would if no other said something else.
    fn sheets(&self, pupil: &Alias) -> impl Iterator<Item = &Arc<Record>> {
        let day = self.started.date_naive();
        let wanted = Some(SheetOf::new(pupil, &self.paper.outline.id, day));
        self.records.iter().filter(move |record| {
            let counts = matches!(record.withdrawn, None | Some(Exclusion::Disputed));
            counts && SheetOf::of(&record.header) == wanted
        })
    }

    fn refusal(&self, pupil: &Alias, there: &Record) -> SheetThere {
        let pupil = pupil.clone();
        let paper = self.paper.outline.id.clone();
        let (day, path) = (day(self.started.date_naive()), there.path.clone());
        if there.withdrawn.is_some() {
            return SheetThere::Several {
                pupil,
                paper,
                day,
                path,
            };
        }
        SheetThere::One {
            pupil,
            paper,
            day,
            path,
        }
    }

    /// Whether a sheet that is there stands in the way of another one.
    fn refuses(&self, there: &Record) -> bool {
        !self.again || there.withdrawn.is_some()
    }

    /// Refuses a sheet before it is typed where it would be refused afterwards.
    ///
    /// # Errors
    /// A sheet of that pupil, paper and day is there and is not to be replaced.
    pub(super) fn may_be_typed(&self, pupil: &Alias) -> Result<(), Failure> {
        match self.sheets(pupil).next() {
            Some(there) if self.refuses(there) => {
                Err(Failure::could_not(self.refusal(pupil, there)))
            }
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
            .find(|record| is_same_sheet((&record.header, &record.events), (&header, &events)))
        {
            return Ok(Fate::Known(known.path.clone()));
        }
        let latest = self.sheets(pupil).next();
        match latest {
            Some(there) if self.refuses(there) => {
                return Ok(Fate::Refused(self.refusal(pupil, there)));
            }
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
                && same_answers(&record.events, events)
        });
        same.map(|record| day(record))
    }

    /// Whether nothing is known yet of a pupil, while others are known.
    pub(super) fn is_new_here(&self, pupil: &Alias) -> bool {
        let registered = self.register.into_iter().flat_map(|all| &all.pupils);
        let mut known = registered.map(|own| &own.alias);
        let mut sat = self.records.iter().map(|record| &record.header.pupil);
        let any = known.clone().next().is_some() || !self.records.is_empty();
        any && !known.any(|own| own.is_same(pupil)) && !sat.any(|own| own.is_same(pupil))
    }

    /// The other pupils whose sheets of this paper and day say the same: under another alias one may be this pupil's.
    fn same_answers_of(&self, (header, events): &NewSitting) -> BTreeSet<Alias> {
        let paper_and_day = |own: &Header| {
            let day = own.started.date_naive();
            (own.mode, own.paper.id.clone(), day)
        };
        let same = self.records.iter().filter(|record| {
            record.withdrawn.is_none()
                && paper_and_day(&record.header) == paper_and_day(header)
                && !record.header.pupil.is_same(&header.pupil)
                && same_answers(&record.events, events)
        });
        same.map(|record| record.header.pupil.clone()).collect()
    }

    /// What is said of the pupils of whom nothing was known before, and of sheets that say the same.
    pub(super) fn about_new_pupils(&self, fresh: &[NewSitting]) -> Vec<String> {
        let new: Vec<_> = fresh
            .iter()
            .filter(|(header, _)| self.is_new_here(&header.pupil))
            .collect();
        let aliases: Vec<_> = new.iter().map(|(header, _)| header.pupil.clone()).collect();
        let named = (!new.is_empty()).then(|| entry::new_here(&aliases));
        let alike = new.iter().filter_map(|sitting| {
            let others = self.same_answers_of(sitting);
            let others: Vec<_> = others.into_iter().collect();
            (!others.is_empty()).then(|| entry::same_as_others(&sitting.0.pupil, &others))
        });
        let together = alike_among(fresh).into_iter();
        let together = together.map(|pupils| entry::same_in_list(&pupils));
        named.into_iter().chain(alike).chain(together).collect()
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

/// The pupils of sheets with the same answers, where some questions are answered: those of each sheet that at least
/// two have.
fn alike_among(fresh: &[NewSitting]) -> Vec<Vec<Alias>> {
    let mut groups = Vec::<(&[Stamped], Vec<Alias>)>::new();
    for (header, events) in fresh {
        let is_blank = !events
            .iter()
            .any(|own| matches!(own.event, Event::Answered(..)));
        if is_blank {
            continue;
        }
        let known = groups.iter_mut().find(|(own, _)| same_answers(own, events));
        match known {
            Some((_, pupils)) => pupils.push(header.pupil.clone()),
            None => groups.push((events, vec![header.pupil.clone()])),
        }
    }
    let pupils = groups.into_iter().map(|(_, pupils)| pupils);
    pupils.filter(|pupils| pupils.len() > 1).collect()
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
