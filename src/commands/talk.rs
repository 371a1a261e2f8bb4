//! `talk`: the sheet for a talk about one sitting, and the step agreed in it.

use std::io::Write;
use std::path::{Path, PathBuf};

use chrono::{DateTime, FixedOffset};

use super::failure::Failure;
use super::outlets::{remark, written};
use super::pages::{ForceArg, NewPage, PagePress, place};
use super::read::{steps_beside, studied};
use super::set_aside::the_one;
use crate::analysis::Studied;
use crate::domain::character::{plain_line, turns_direction};
use crate::domain::header::Alias;
use crate::domain::step::{AgreedStep, BeyondSitting, LONGEST_STEP, ListedStep, Step};
use crate::reports::talk::{TalkSheet, json, page, text};
use crate::storage::catalogue::Catalogue;
use crate::storage::files::notes;
use crate::storage::journal::Record;
use crate::words::step::{beyond, in_short};
use crate::words::talk as words;
use crate::words::time::file_day;

/// What `talk` takes.
#[derive(Debug, clap::Args)]
pub struct TalkArgs {
    /// The sitting's session file
    #[arg(value_name = "SITTING")]
    sitting: PathBuf,
    /// Agree on a step that the next log judges: "sweep 3:00", "stay 4:00", "checkpoint 10 by 12:00",
    /// "checkpoints" or "flags"
    #[arg(long, value_name = "KIND", conflicts_with_all = ["step_text", "withdraw"])]
    step: Option<ListedStep>,
    /// Agree on a step in your own words, which no log judges
    #[arg(long, value_name = "TEXT", conflicts_with = "withdraw")]
    step_text: Option<String>,
    /// Withdraw the step that was agreed
    #[arg(long)]
    withdraw: bool,
    /// The file to write [default: in `pages` in the folder of sittings]
    #[arg(short, long, value_name = "FILE.html")]
    output: Option<PathBuf>,
    /// Print the sheet as JSON; a page is written only with -o
    #[arg(long)]
    json: bool,
    /// More answer keys: folders or key files; keys beside the papers are always found
    #[arg(long, visible_alias = "key", value_name = "DIR", num_args = 1..)]
    keys: Vec<PathBuf>,
    /// The initials beside the step
    #[arg(long, value_name = "INITIALS", default_value = "tutor")]
    by: String,
    #[command(flatten)]
    force: ForceArg,
}

/// Why there is no sheet, or no step.
#[derive(Debug, thiserror::Error)]
enum NoTalk<'a> {
    #[error(
        "the sitting isn't finished, and its pupil may still carry on; finish it first with `pacebell sit --pupil {0}`"
    )]
    StillOpen(&'a Alias),
    #[error("--step-text says nothing; write the step in a few words, or use --withdraw")]
    Empty,
    #[error("--step-text has {0} characters; write the step in at most {LONGEST_STEP}")]
    TooLong(usize),
    #[error(
        "--step-text has a line end or a character that can't be shown; write the step in one plain line"
    )]
    NotOneLine,
    #[error("{}", beyond(*.0))]
    Beyond(BeyondSitting),
    #[error("no step is agreed about this sitting, so there's nothing to withdraw")]
    NoStep,
}

impl TalkArgs {
    /// What was said of a step: one to agree on, or that the last is withdrawn; nothing where nothing was said.
    #[expect(
        clippy::option_option,
        reason = "nothing said, or said that there is none"
    )]
    fn said(&self) -> Result<Option<Option<Step>>, NoTalk<'static>> {
        if let Some(step) = self.step {
            return Ok(Some(Some(Step::Listed(step))));
        }
        let Some(typed) = &self.step_text else {
            return Ok(self.withdraw.then_some(None));
        };
        let typed = typed.trim();
        let length = typed.chars().count();
        if typed.is_empty() {
            return Err(NoTalk::Empty);
        }
        if length > LONGEST_STEP {
            return Err(NoTalk::TooLong(length));
        }
        if typed.chars().any(|c| c.is_control() || turns_direction(c)) {
            return Err(NoTalk::NotOneLine);
        }
        Ok(Some(Some(Step::OwnWords(typed.to_owned()))))
    }
}

/// Writes the sheet; before that, the step into the notes beside the session file, where one was said.
///
/// # Errors
/// No sitting or several, one that is still open, notes that cannot be read or written, or a page that cannot be
/// written.
pub fn run(
    args: &TalkArgs,
    sessions: Option<&Path>,
    now: DateTime<FixedOffset>,
    out: &mut dyn Write,
    aside: &mut dyn Write,
) -> Result<(), Failure> {
    let said = args.said().map_err(Failure::wrong_words)?;
    let catalogue = Catalogue::open(sessions, std::slice::from_ref(&args.sitting));
    let catalogue = catalogue
        .with_keys(&args.keys)
        .map_err(Failure::could_not)?;
    let record = the_one(&args.sitting, sessions)?;
    let header = &record.header;
    if !record.is_closed() {
        return Err(Failure::of_file(
            &record.path,
            NoTalk::StillOpen(&header.pupil),
        ));
    }
    if let Some(step) = args.step {
        let fits = step.fits(header).map_err(NoTalk::Beyond);
        fits.map_err(Failure::wrong_words)?;
    }
    let kept = said
        .map(|step| agree(&record, step, &args.by, now))
        .transpose()?;
    let limits = catalogue
        .limits_for(&record.path)
        .map_err(Failure::could_not)?;
    let steps = steps_beside(&catalogue, &record)?;
    let studied = Studied {
        notes: Some(notes::load(&record.path, &header.sitting).map_err(Failure::could_not)?),
        ..studied(&catalogue, &record, &limits)
    };
    let sheet = TalkSheet::of(&studied, &record.path, &steps, now.date_naive());
    let page_at = if args.output.is_some() || !args.json {
        let day = file_day(header.started.date_naive());
        let name = format!("talk-{}-{day}.html", header.pupil);
        let path = place(&catalogue, args.output.as_deref(), &name)?;
        let new = NewPage::about(&path, &header.pupil);
        PagePress::new(&catalogue, args.force).put(new, page(&sheet).as_bytes(), aside)?;
        Some(path)
    } else {
        None
    };
    if args.json {
        if let Some(kept) = kept {
            remark(aside, kept);
        }
        return written(out, &json(&sheet).map_err(Failure::could_not)?);
    }
    let before = kept.map_or_else(String::new, |kept| format!("{kept}\n\n"));
    let after = page_at.map_or_else(String::new, |path| format!("\n{}\n", words::written(&path)));
    written(out, &format!("{before}{}{after}", text(&sheet)))
}

/// Puts the step, or its withdrawal, into the notes, and says so.
fn agree(
    record: &Record,
    step: Option<Step>,
    by: &str,
    now: DateTime<FixedOffset>,
) -> Result<String, Failure> {
    let header = &record.header;
    let mut notes = notes::load(&record.path, &header.sitting).map_err(Failure::could_not)?;
    if step.is_none() && notes.step().is_none() {
        return Err(Failure::could_not(NoTalk::NoStep));
    }
    let said = step.as_ref().map_or_else(
        || words::withdrawn(header),
        |step| words::kept(header, &in_short(step)),
    );
    notes.steps.push(AgreedStep {
        at: now,
        step,
        by: plain_line(by),
    });
    notes::save(&record.path, &notes).map_err(Failure::could_not)?;
    Ok(said)
}
