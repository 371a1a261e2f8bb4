//! What the words ask for: a new sitting with its arrangements, or the one that is open.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use clap::Args;
use clap::builder::BoolishValueParser;

use crate::commands::failure::Failure;
use crate::commands::named_plan::named_plan;
use crate::domain::character::ShownPath as _;
use crate::domain::header::{
    Alias, Arrangements, MOST_EXTRA_PERCENT, PacePlan, SLEEP_IS_TOLD, with_extra_time,
};
use crate::domain::key::Key;
use crate::domain::mark::Mark;
use crate::domain::paper::{Outline, Paper};
use crate::domain::questions::QuestionList;
use crate::domain::register::{Register, Registered};
use crate::domain::rule::QuestionNo;
use crate::domain::time::{Elapsed, parse_minutes};
use crate::seat::Setup;
use crate::storage::catalogue::Catalogue;
use crate::storage::files::folders;
use crate::storage::journal::{self, JournalError, Record};
use crate::term::lines_are_wanted;
use crate::words::sitting::around::carries_on;

/// What `sit` takes.
#[derive(Clone, Debug, Args)]
pub struct SitArgs {
    /// The paper: a file, or the id of one here, in ./sample-papers, or beside or in the
    /// folder of sittings
    pub paper: Option<String>,
    /// The pupil's alias: letters, digits, - and _; not a real name
    #[arg(long, value_name = "ALIAS")]
    pub pupil: String,
    /// A pace plan; the next checkpoint is shown as one calm line
    #[arg(long, value_name = "FILE")]
    pub plan: Option<PathBuf>,
    /// The answer key, to show the marks at the end [default: the one beside the paper]
    #[arg(long, visible_alias = "keys", value_name = "KEY")]
    pub key: Option<PathBuf>,
    /// Show no marks at the end, even if there is an answer key
    #[arg(long, conflicts_with = "key")]
    pub no_marks: bool,
    /// Use lines of text instead of pages, for screen readers and plain terminals
    #[arg(long, value_name = "yes|no", num_args = 0..=1, require_equals = true, default_missing_value = "yes", value_parser = BoolishValueParser::new())]
    pub plain: Option<bool>,
    /// What is arranged for this sitting.
    #[command(flatten)]
    pub arranged: Arranged,
}

/// The arrangements that `sit` takes.
#[derive(Clone, Debug, Args)]
pub struct Arranged {
    /// Minutes allowed before extra time, such as 60, 12.5 or 0.2 [default: from the paper]
    #[arg(long, value_name = "N")]
    pub minutes: Option<String>,
    /// Extra time, such as 25%
    #[arg(long, value_name = "PERCENT")]
    pub extra_time: Option<String>,
    /// Only these questions, such as 1-10 or 1-10,13
    #[arg(long, value_name = "LIST")]
    pub questions: Option<String>,
    /// Let the pupil stop the clock for rest breaks
    #[arg(long, value_name = "yes|no", num_args = 0..=1, require_equals = true, default_missing_value = "yes", value_parser = BoolishValueParser::new())]
    pub rest_breaks: Option<bool>,
    /// Mention blanks this many minutes before time's up [default: 3, or a tenth of the time]
    #[arg(long, value_name = "N")]
    pub remind: Option<String>,
    /// Stop the clock while the computer sleeps (not on Windows)
    #[arg(long)]
    pub sleep_stops: bool,
    /// Keep the clock running between a crash and the return
    #[arg(long)]
    pub away_counts: bool,
}

/// Why there is no sitting as the words have it.
#[derive(Debug, thiserror::Error)]
enum SitError<'a> {
    #[error("{pupil} has an unfinished sitting of `{open}` ({}); carry on with it by `{}`, and finish it first", path.shown(), carries_on(pupil, *sessions))]
    OtherPaperOpen {
        pupil: &'a Alias,
        open: &'a str,
        path: &'a Path,
        sessions: Option<&'a Path>,
    },
    #[error("{0} has no unfinished sitting; name a paper to sit: pacebell sit PAPER --pupil {0}")]
    NothingOpen(Alias),
    #[error(
        "--sleep-stops doesn't work on Windows, where Pacebell can't tell when the computer sleeps; leave it out, and if the clock has to stop add --rest-breaks"
    )]
    SleepUntold,
    #[error("`{0}` isn't extra time: write a percentage up to {MOST_EXTRA_PERCENT}, such as 25%")]
    NoExtraTime(&'a str),
    #[error(
        "`{text}` doesn't fit the questions of this paper: write numbers and ranges from 1 to {last}, such as 1-10,13"
    )]
    NoQuestions { text: &'a str, last: QuestionNo },
}

/// A new sitting as the words have it.
pub(super) struct Wanted {
    /// Who.
    pub(super) pupil: Alias,
    /// Which paper.
    pub(super) paper: Arc<Paper>,
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

/// What holds for the pupil: the words typed, then the register.
pub(super) struct Settled<'a> {
    /// What the register has of the pupil, where it has anything.
    pub(super) registered: Option<&'a Registered>,
    /// Whether no marks are shown at the end.
    pub(super) no_marks: bool,
    /// Whether the pupil sits line by line.
    pub(super) plain: bool,
}

impl<'a> Settled<'a> {
    pub(super) fn of(args: &SitArgs, pupil: &Alias, register: Option<&'a Register>) -> Self {
        let registered = register.and_then(|register| register.pupil(pupil));
        let kept_back = register.is_some_and(|register| !register.shows_marks(pupil));
        Self {
            registered,
            no_marks: args.no_marks || (kept_back && args.key.is_none()),
            plain: args.plain.unwrap_or_else(|| {
                registered.is_some_and(|pupil| pupil.plain) || lines_are_wanted()
            }),
        }
    }
}

/// The key of a paper where one is at hand; one that was named has to fit.
pub(super) fn key_for(
    args: &SitArgs,
    settled: &Settled<'_>,
    catalogue: &Catalogue,
    outline: &Outline,
) -> Result<Option<Arc<Key>>, Failure> {
    match catalogue.key_of(outline) {
        Ok(key) => Ok(Some(key).filter(|_| !settled.no_marks)),
        Err(no_key) if args.key.is_some() => Err(Failure::could_not(no_key)),
        Err(_) => Ok(None),
    }
}

/// What there is of a pupil's that can be gone on with.
pub(super) struct Unfinished {
    /// The newest open sitting.
    pub(super) newest: Option<Arc<Record>>,
    /// Files of which nobody can tell whether they are one, each with the way out.
    pub(super) unread: Vec<String>,
}

/// The pupil's open sitting, and what may be one.
pub(super) fn unfinished(dir: &Path, pupil: &Alias) -> Result<Unfinished, Failure> {
    let open = journal::open_sittings_settled(dir, pupil)?;
    let timed = |record: &Arc<Record>| record.header.mode == crate::domain::header::Mode::Timed;
    let newest = open.records.into_iter().find(timed);
    let unreadable = open.unreadable.iter().map(|(path, _)| path);
    let mut candidates = newest.iter().map(|record| &record.path).chain(unreadable);
    if let Some(path) = candidates.find(|path| journal::is_in_use(path)) {
        // Somebody sits there, whatever has become of the file; it is written again within a second.
        return Err(Failure::could_not(JournalError::InUse(path.clone())));
    }
    let unread = open.unreadable.iter();
    let unread = unread.filter(|(_, reason)| reason.may_hide_a_sitting());
    Ok(Unfinished {
        unread: unread.map(|(_, reason)| reason.to_string()).collect(),
        newest,
    })
}

/// The folder of sittings, where the program does not find it by itself.
pub(super) fn to_be_named(dir: &Path) -> Option<&Path> {
    let usual = folders::sessions_dir(None);
    (usual.as_deref() != Ok(dir)).then_some(dir)
}

/// Refuses another paper while one is open.
pub(super) fn same_paper(
    named: &str,
    catalogue: &Catalogue,
    open: &Outline,
    record: &Record,
) -> Result<(), Failure> {
    let (paper, _) = catalogue.paper(named).map_err(Failure::could_not)?;
    if paper.outline.id == open.id {
        return Ok(());
    }
    Err(Failure::could_not(SitError::OtherPaperOpen {
        pupil: &record.header.pupil,
        open: &open.id,
        path: &record.path,
        sessions: catalogue.sessions().ok().and_then(to_be_named),
    }))
}

/// The new sitting that the words describe.
pub(super) fn wanted(
    args: &SitArgs,
    registered: Option<&Registered>,
    pupil: Alias,
    catalogue: &Catalogue,
) -> Result<Wanted, Failure> {
    let arranged = &args.arranged;
    let Some(named) = &args.paper else {
        return Err(Failure::wrong_words(SitError::NothingOpen(pupil)));
    };
    if arranged.sleep_stops && !SLEEP_IS_TOLD {
        return Err(Failure::wrong_words(SitError::SleepUntold));
    }
    let (paper, path) = catalogue.paper(named).map_err(Failure::could_not)?;
    let minutes = arranged
        .minutes
        .as_deref()
        .map(parse_minutes)
        .transpose()
        .map_err(Failure::wrong_words)?;
    let extra_percent = arranged
        .extra_time
        .as_deref()
        .map(extra_time)
        .transpose()?
        .or(registered.map(|pupil| pupil.extra_percent))
        .unwrap_or_default();
    let allowed = with_extra_time(minutes.unwrap_or(paper.allowed), extra_percent);
    let mut arrangements = Arrangements {
        extra_percent,
        rest_breaks: arranged
            .rest_breaks
            .unwrap_or_else(|| registered.is_some_and(|pupil| pupil.rest_breaks)),
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
    let remind = match &arranged.remind {
        Some(zero) if zero.trim() == "0" => Some(Elapsed::ZERO),
        Some(minutes) => Some(parse_minutes(minutes).map_err(Failure::wrong_words)?),
        None => registered.and_then(|pupil| pupil.remind),
    };
    if let Some(before) = remind {
        arrangements.remind_before = before.min(allowed);
    }
    let plan = args.plan.as_deref();
    let plan = plan.map(|path| named_plan(path, Some(&pupil), &paper.outline));
    let plan = plan.transpose()?;
    Ok(Wanted {
        pupil,
        paper,
        path,
        minutes,
        arrangements,
        plan,
    })
}

/// A percentage, with or without its sign.
pub(in crate::commands) fn extra_time(text: &str) -> Result<Mark, Failure> {
    let number = text.trim().trim_end_matches('%').trim_end();
    let percent: Option<Mark> = number.parse().ok();
    percent
        .filter(|percent| (Mark::ZERO..=Mark::whole(MOST_EXTRA_PERCENT)).contains(percent))
        .ok_or_else(|| Failure::wrong_words(SitError::NoExtraTime(text)))
}

/// `1-10,13`; the whole paper is no part of it.
pub(in crate::commands) fn questions(
    text: &str,
    outline: &Outline,
) -> Result<Option<QuestionList>, Failure> {
    let last = QuestionNo(outline.questions);
    match QuestionList::read(text) {
        Ok(asked) if asked.last() <= last => Ok(asked.unless_all(last.0)),
        _ => Err(Failure::wrong_words(SitError::NoQuestions { text, last })),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn extra_time_is_a_percentage() {
        assert_eq!(extra_time("25%").unwrap(), Mark::whole(25));
        assert_eq!(extra_time(" 12.5 ").unwrap().to_string(), "12.5");
        for text in ["", "%", "-5", "401%", "much"] {
            assert_eq!(extra_time(text).unwrap_err().code(), 2, "{text}");
        }
    }
}
