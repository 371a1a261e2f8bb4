//! `review`: past sittings in a list, one on its pages, replay, notes beside them.

mod latest;
mod lines;
mod reader;
mod report;

use std::path::{Path, PathBuf};

use super::failure::Failure;
use super::hall::Hall;
use super::practise::{PracticeFromPage, from_page};
use crate::domain::character::ShownPath as _;
use crate::domain::header::Alias;
use crate::screens::review::Review;
use crate::screens::run::{AfterReview, Leaving};
use crate::storage::cache::Summaries;
use crate::term::lines_are_wanted;

pub use reader::Reader;

/// What `review` takes.
#[derive(Debug, clap::Args)]
pub struct ReviewArgs {
    /// The folder of sittings [default: as for --sessions]
    #[arg(value_name = "DIR")]
    dir: Option<PathBuf>,
    /// More answer keys: folders or key files; keys beside the papers are always found
    #[arg(long, visible_alias = "key", value_name = "DIR", num_args = 1..)]
    keys: Vec<PathBuf>,
    /// The initials to put beside causes and notes
    #[arg(long, value_name = "INITIALS", default_value = "tutor")]
    by: String,
    /// Use lines of text instead of pages, for screen readers and plain terminals
    #[arg(long)]
    plain: bool,
}

impl ReviewArgs {
    /// Where the sittings are, where that was said.
    pub(super) fn dir(&self) -> Option<&Path> {
        self.dir.as_deref()
    }
}

/// A word that names no folder.
#[derive(Debug, thiserror::Error)]
#[error("{} isn't a folder; name the folder of sittings", .0.shown())]
struct NotAFolder<'a>(&'a Path);

/// Shows the review until it is left.
///
/// # Errors
/// No such folder, thresholds or a named key that cannot be used, no terminal, or a signal.
pub(super) fn run(args: &ReviewArgs, dir: PathBuf) -> Result<(), Failure> {
    if args.dir.is_some() && !dir.is_dir() {
        return Err(Failure::could_not(NotAFolder(&dir)));
    }
    let mut files = Reader::new(&dir, &args.keys, &args.by)?.remembering(Summaries::of(&dir));
    let shown = dir.shown().to_string();
    if args.plain || lines_are_wanted() {
        let done = lines::run(&mut files, &shown);
        files.finish();
        return done;
    }
    let mut hall = Hall::open(dir)?;
    files.begin(hall.wake());
    let mut review = Review::new(shown).noting(files.past_keeping());
    let left = loop {
        match hall.review(&mut review, &mut files) {
            AfterReview::Left(left) => break left,
            AfterReview::Practise(pupil) => match practised(&mut hall, &files, &pupil) {
                Ok(PracticeFromPage::Left(Leaving::Done)) => {}
                Ok(PracticeFromPage::Left(left)) => break left,
                Ok(PracticeFromPage::NothingNow(said)) => review.not_practised(said),
                Err(failure) => review.not_practised(failure.to_string()),
            },
        }
    };
    let closed = hall.close(left);
    files.finish();
    closed
}

/// Lets a pupil practise, from the files as they are now.
fn practised(hall: &mut Hall, files: &Reader, pupil: &str) -> Result<PracticeFromPage, Failure> {
    let pupil = Alias::new(pupil).map_err(Failure::could_not)?;
    from_page(hall, &files.anew()?, pupil)
}
