//! `sit`: a paper under the clock, or an open sitting taken up again.

mod plain;

use std::path::PathBuf;

use clap::Args;

use super::desk::Desk;
use super::failure::Failure;
use super::hall::Hall;
use super::start::{Brought, attend};
use crate::domain::header::{Alias, Arrangements, PacePlan, with_extra_time};
use crate::domain::key::Key;
use crate::domain::mark::Mark;
use crate::domain::paper::{Outline, Paper};
use crate::domain::questions::QuestionList;
use crate::domain::rule::QuestionNo;
use crate::domain::time::{Elapsed, parse_minutes};
use crate::screens::run::Leaving;
use crate::screens::start::{Seating, Start};
use crate::seat::Setup;
use crate::storage::files::{folders, key, plan};
use crate::storage::journal::{self, Record};

/// The most extra time that can be arranged, in percent.
const MOST_EXTRA_PERCENT: i64 = 400;

/// What `sit` takes.
#[derive(Clone, Debug, Args)]
pub struct Words {
    /// The paper: its file, or its id where it lies in ./sample-papers or beside the sittings
    pub paper: Option<String>,
    /// The pupil's alias: letters, digits, - and _; not a real name
    #[arg(long, value_name = "ALIAS")]
    pub pupil: String,
    /// A pace plan: its checkpoints are shown as one calm line
    #[arg(long, value_name = "FILE")]
    pub plan: Option<PathBuf>,
    /// The key, so that the marks are shown at the end [default: the key beside the paper]
    #[arg(long, value_name = "KEY")]
    pub key: Option<PathBuf>,
    /// The pupil sees no marks at the end, even where the key is at hand
    #[arg(long, conflicts_with = "key")]
    pub no_marks: bool,
    /// Line by line, without pages: for screen readers and plain terminals
    #[arg(long)]
    pub plain: bool,
    /// What is arranged for this sitting.
    #[command(flatten)]
    pub arranged: Arranged,
}

/// The arrangements that `sit` takes.
#[derive(Clone, Debug, Args)]
pub struct Arranged {
    /// Minutes allowed before extra time, such as 60, 12.5 or 0.2 [default: the paper's own]
    #[arg(long, value_name = "N")]
    pub minutes: Option<String>,
    /// Extra time, such as 25%
    #[arg(long, value_name = "PERCENT")]
    pub extra_time: Option<String>,
    /// Only these questions, such as 1-15 or 1-10,13
    #[arg(long, value_name = "LIST")]
    pub questions: Option<String>,
    /// The pupil may stop the clock for a rest break
    #[arg(long)]
    pub rest_breaks: bool,
    /// When the blanks are mentioned, in minutes before time up [default: 3, or a tenth of the time]
    #[arg(long, value_name = "N")]
    pub remind: Option<String>,
    /// The clock is stopped while the computer sleeps
    #[arg(long)]
    pub sleep_stops: bool,
    /// The clock runs on between a crash and the return
    #[arg(long)]
    pub away_counts: bool,
}

/// A new sitting as the words have it.
pub(super) struct Wanted {
    /// Who.
    pub(super) pupil: Alias,
    /// Which paper.
    pub(super) paper: Paper,
    /// Its file.
    pub(super) path: PathBuf,
    /// Another time than the paper's own.
    pub(super) minutes: Option<Elapsed>,
    /// The arrangements.
    pub(super) arrangements: Arrangements,
    /// The pace plan.
    pub(super) plan: Option<PacePlan>,
}

impl Wanted {
    /// The same for the seat.
    pub(super) fn setup(&self) -> Setup<'_> {
        Setup {
            pupil: self.pupil.clone(),
            paper: &self.paper,
            minutes: self.minutes,
            arrangements: self.arrangements.clone(),
            plan: self.plan.clone(),
        }
    }
}

/// Sits a paper, or goes on with what is open.
///
/// # Errors
/// Words that make no sense, files that cannot be used, or a signal.
pub(super) fn run(words: &Words, dir: PathBuf) -> Result<(), Failure> {
    let pupil = Alias::new(&words.pupil).map_err(wrong_words)?;
    let given = words.paper.as_ref().map(PathBuf::from);
    let desk = Desk::look(&dir, given.as_deref());
    let key = words
        .key
        .as_ref()
        .map(|path| key::load(path))
        .transpose()
        .map_err(Failure::could_not)?;
    if words.plain {
        return plain::run(words, pupil, &dir, &desk, key);
    }
    if let Some(record) = open_sitting(&dir, &pupil)? {
        return go_on(words, dir, &desk, &record, key);
    }
    let wanted = wanted(words, pupil, &desk)?;
    if let Some(key) = &key {
        key.fits(&wanted.paper.outline)
            .map_err(Failure::could_not)?;
    }
    let has_key = key.is_some() || folders::key_beside(&wanted.path).is_some();
    let hall = Hall::open(dir)?;
    let offer = Desk::offer_for(
        &wanted.pupil,
        &wanted.path,
        &wanted.paper,
        has_key,
        &hall.dir,
        hall.today(),
    );
    let seating = Seating {
        pupil: wanted.pupil,
        paper: wanted.path,
        minutes: wanted.minutes,
        arrangements: wanted.arrangements,
        marks_at_end: has_key && !words.no_marks,
    };
    let brought = Brought {
        key,
        // The page has taken it over, and may say otherwise.
        no_marks: false,
        plan: wanted.plan,
    };
    attend_once(hall, &desk, Start::at_read_out(offer, &seating), &brought)
}

/// Shows a start page, and ends with the sitting that is chosen there.
fn attend_once(
    mut hall: Hall,
    desk: &Desk,
    start: Start,
    brought: &Brought,
) -> Result<(), Failure> {
    match attend(&mut hall, desk, start, brought) {
        Ok(left) => hall.close(left.unwrap_or(Leaving::Done)),
        Err(failure) => hall.fail(failure),
    }
}

fn go_on(
    words: &Words,
    dir: PathBuf,
    desk: &Desk,
    record: &Record,
    key: Option<Key>,
) -> Result<(), Failure> {
    let outline = &record.header.paper;
    if let Some(named) = &words.paper {
        same_paper(named, desk, outline, record)?;
    }
    let hall = Hall::open(dir)?;
    let offer = desk.offer(&hall.dir, hall.clock.local(), &hall.unmarked);
    let start = Start::at_open_sittings(offer, &record.header.pupil);
    let brought = Brought {
        key,
        no_marks: words.no_marks,
        plan: None,
    };
    attend_once(hall, desk, start, &brought)
}

/// The pupil's open sitting, the newest.
pub(super) fn open_sitting(
    dir: &std::path::Path,
    pupil: &Alias,
) -> Result<Option<Record>, Failure> {
    let open = journal::open_sittings(dir, Some(pupil))?;
    Ok(open
        .records
        .into_iter()
        .find(|record| record.header.mode == crate::domain::header::Mode::Timed))
}

/// Refuses another paper while one is open.
pub(super) fn same_paper(
    named: &str,
    desk: &Desk,
    open: &Outline,
    record: &Record,
) -> Result<(), Failure> {
    let (paper, _) = desk.paper(named).map_err(Failure::could_not)?;
    if paper.outline.id == open.id {
        return Ok(());
    }
    Err(Failure::could_not(format_args!(
        "{pupil} has a sitting of `{open}` open ({path}); take it up with `pacebell sit --pupil {pupil}` and end it there first",
        pupil = record.header.pupil,
        open = open.id,
        path = record.path.display(),
    )))
}

/// The new sitting that the words describe.
pub(super) fn wanted(words: &Words, pupil: Alias, desk: &Desk) -> Result<Wanted, Failure> {
    let arranged = &words.arranged;
    let Some(named) = &words.paper else {
        return Err(wrong_words(format_args!(
            "{pupil} has no open sitting; say which paper to sit: pacebell sit PAPER --pupil {pupil}"
        )));
    };
    let (paper, path) = desk.paper(named).map_err(Failure::could_not)?;
    let minutes = arranged
        .minutes
        .as_deref()
        .map(parse_minutes)
        .transpose()
        .map_err(wrong_words)?;
    let extra_percent = arranged
        .extra_time
        .as_deref()
        .map(extra_time)
        .transpose()?
        .unwrap_or_default();
    let allowed = with_extra_time(minutes.unwrap_or(paper.allowed), extra_percent);
    let mut arrangements = Arrangements {
        extra_percent,
        rest_breaks: arranged.rest_breaks,
        sleep_counts: !arranged.sleep_stops,
        away_counts: arranged.away_counts,
        only: arranged
            .questions
            .as_deref()
            .map(|list| questions(list, &paper.outline))
            .transpose()?
            .flatten(),
        ..Arrangements::usual(allowed)
    };
    if let Some(remind) = &arranged.remind {
        let zero = remind.trim() == "0";
        let before = if zero {
            Elapsed::ZERO
        } else {
            parse_minutes(remind).map_err(wrong_words)?
        };
        arrangements.remind_before = before.min(allowed);
    }
    let plan = words
        .plan
        .as_deref()
        .map(plan::load)
        .transpose()
        .map_err(Failure::could_not)?;
    Ok(Wanted {
        pupil,
        paper,
        path,
        minutes,
        arrangements,
        plan,
    })
}

fn wrong_words(error: impl std::fmt::Display) -> Failure {
    Failure::WrongWords(format!("{error}"))
}

fn extra_time(text: &str) -> Result<Mark, Failure> {
    let number = text.trim().trim_end_matches('%').trim_end();
    let percent: Option<Mark> = number.parse().ok();
    percent.filter(|percent| (Mark::ZERO..=Mark::whole(MOST_EXTRA_PERCENT)).contains(percent)).ok_or_else(|| {
        wrong_words(format_args!(
            "`{text}` is no extra time: write a percentage up to {MOST_EXTRA_PERCENT}, such as 25%"
        ))
    })
}

/// `1-10,13`; the whole paper is no part of it.
fn questions(text: &str, outline: &Outline) -> Result<Option<QuestionList>, Failure> {
    let last = QuestionNo(outline.questions);
    match QuestionList::read(text) {
        Ok(asked) if asked.last() <= last => Ok(asked.unless_all(last.0)),
        _ => Err(wrong_words(format_args!(
            "`{text}` names no questions of this paper: write numbers and ranges from 1 to {last}, such as 1-10,13"
        ))),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn extra_time_is_a_percentage() {
        assert_eq!(extra_time("25%").unwrap(), Mark::whole(25));
        assert_eq!(extra_time(" 12.5 ").unwrap().to_string(), "25/2");
        for text in ["", "%", "-5", "401%", "much"] {
            assert_eq!(extra_time(text).unwrap_err().code(), 2, "{text}");
        }
    }
}
