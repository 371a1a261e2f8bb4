//! `hindsight`: what forecasts would have said of past sittings, beside the marks that came.

use std::io::Write;
use std::path::{Path, PathBuf};

use super::failure::Failure;
use super::outlets::{remark, written};
use super::read::gather_group;
use crate::domain::character::ShownPath as _;
use crate::domain::header::Alias;
use crate::reports::hindsight::{HindsightReport, json, page};
use crate::storage::catalogue::Catalogue;

/// What `hindsight` takes.
#[derive(Debug, clap::Args)]
pub struct HindsightArgs {
    /// The pupil's alias [default: everybody]
    #[arg(value_name = "PUPIL", value_parser = Alias::new)]
    pupil: Option<Alias>,
    /// A folder of answer keys, or a key file [default: beside the papers]
    #[arg(long, visible_alias = "key", value_name = "DIR", num_args = 1..)]
    keys: Vec<PathBuf>,
    /// Print JSON
    #[arg(long)]
    json: bool,
}

/// A pupil who has sat nothing that can be marked.
#[derive(Debug, thiserror::Error)]
#[error("no marked sittings of `{pupil}` in {}; check the alias, or name the folder of sittings with --sessions DIR", sessions.shown())]
struct NoPast<'a> {
    pupil: &'a Alias,
    sessions: &'a Path,
}

/// Looks back and writes it; notes beside JSON go to `aside`.
///
/// # Errors
/// A key or a folder that cannot be read, or a pupil without a marked sitting.
pub fn run(
    args: &HindsightArgs,
    sessions: Option<&Path>,
    out: &mut dyn Write,
    aside: &mut dyn Write,
) -> Result<(), Failure> {
    let catalogue = Catalogue::open(sessions, &[]).with_keys(&args.keys);
    let group = gather_group(&catalogue.map_err(Failure::could_not)?, args.pupil.as_ref())?;
    let record = group.track_record(args.pupil.as_ref());
    // Whose ranges widen, everybody's newest sittings say.
    let widening = match &args.pupil {
        Some(_) => group.recent_record().widening(),
        None => record.widening(),
    };
    if let Some(pupil) = args.pupil.as_ref().filter(|_| record.all().is_empty()) {
        return Err(Failure::could_not(NoPast {
            pupil,
            sessions: &group.sessions,
        }));
    }
    let told = HindsightReport {
        pupil: args.pupil.as_ref(),
        record: &record,
        widening,
        notes: &group.said(),
    };
    let text = if args.json {
        for note in &group.notes {
            remark(aside, note);
        }
        json::json(&told).map_err(Failure::could_not)?
    } else {
        page(&told)
    };
    written(out, &text)
}
