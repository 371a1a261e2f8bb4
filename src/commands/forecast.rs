//! `forecast`: the mark that a pupil may get on a paper, and the chance of each award.

use std::io::Write;
use std::path::{Path, PathBuf};

use chrono::NaiveDate;

use super::failure::Failure;
use super::outlets::{remark, written};
use super::read::{TooFine, gather};
use crate::domain::header::Alias;
use crate::reports::forecast;
use crate::season::forecast::Forecast;

/// What `forecast` takes.
#[derive(Debug, clap::Args)]
pub struct ForecastArgs {
    /// The pupil's alias
    #[arg(value_name = "PUPIL", value_parser = Alias::new)]
    pupil: Alias,
    /// The paper: a file, or the id of one here, in ./sample-papers, or beside or in the
    /// folder of sittings
    #[arg(long, value_name = "PAPER")]
    paper: String,
    /// A folder of answer keys, or a key file [default: beside the papers]
    #[arg(long, visible_alias = "key", value_name = "DIR", num_args = 1..)]
    keys: Vec<PathBuf>,
    /// Print JSON
    #[arg(long)]
    json: bool,
}

/// Forecasts and writes it; notes beside JSON go to `aside`.
///
/// # Errors
/// A paper, a key or a folder that cannot be read.
pub fn run(
    args: &ForecastArgs,
    sessions: Option<&Path>,
    today: NaiveDate,
    out: &mut dyn Write,
    aside: &mut dyn Write,
) -> Result<(), Failure> {
    let gathered = gather(&args.pupil, &args.paper, &args.keys, sessions)?;
    let paper = &gathered.paper;
    let estimates = gathered.estimates(&args.pupil);
    let both = estimates.and_then(|estimates| Some((Forecast::new(paper, &estimates)?, estimates)));
    let Some((told, estimates)) = both else {
        return Err(Failure::could_not(TooFine::ToForecast));
    };
    let text = if args.json {
        for note in &gathered.group.notes {
            remark(aside, note);
        }
        forecast::json(paper, &estimates, &told).map_err(Failure::could_not)?
    } else {
        forecast::page(paper, &estimates, &told, &gathered.group.said(), today)
    };
    written(out, &text)
}
