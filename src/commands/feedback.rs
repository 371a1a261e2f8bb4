//! `feedback`: a page for the pupil, or one for each pupil of a group with a list for the tutor.

mod group;
mod pages;

use std::path::{Path, PathBuf};

use chrono::NaiveDate;

use super::failure::{Failure, Failures};
use super::outlets::{Outlets, remark, written};
use super::pages::{ForceArg, NewPage, PagePress, RemakeWords};
use super::read::copies;
use crate::reports::feedback::page;
use crate::storage::catalogue::Catalogue;
use crate::words::standing::{counts_nowhere, left_out, note_left_out};
use group::GroupFolder;
use pages::Pages;

/// What `feedback` takes.
#[derive(Debug, clap::Args)]
pub struct FeedbackArgs {
    /// A session file; with --group several files, folders or pupils
    #[arg(value_name = "SESSION", required = true)]
    files: Vec<PathBuf>,
    /// The answer key; repeat it for several papers [default: the keys beside the papers]
    #[arg(long, visible_alias = "keys", value_name = "KEY")]
    key: Vec<PathBuf>,
    /// The file to write [default: standard output]
    #[arg(short, long, value_name = "FILE.html", conflicts_with = "group")]
    output: Option<PathBuf>,
    /// Show answers and workings as well as hints
    #[arg(long)]
    with_working: bool,
    /// Write a page for each sitting into this folder, with an index.html for the tutor
    #[arg(long, value_name = "DIR")]
    group: Option<PathBuf>,
    #[command(flatten)]
    force: ForceArg,
}

/// Several sittings, and no folder for their pages.
#[derive(Debug, thiserror::Error)]
#[error("several sittings need several pages; name a folder for them with --group DIR")]
struct SeveralSittings;

/// Writes the page, or the group's pages; `sessions` is the folder of sittings where one was named.
///
/// # Errors
/// A file that cannot be read, is damaged, does not go with the key, or a page that cannot be
/// written. With `--group` the other sittings get their pages all the same.
pub fn run(
    args: &FeedbackArgs,
    sessions: Option<&Path>,
    today: NaiveDate,
    outlets: &mut Outlets<'_>,
) -> Result<(), Failure> {
    let catalogue = Catalogue::open(sessions, &args.files).with_only_keys(&args.key);
    let catalogue = catalogue.map_err(Failure::could_not)?;
    let meant = catalogue.sittings(&args.files)?;
    let failures = Failures::of_sittings(&meant);
    for copy in copies(&meant.copies) {
        remark(outlets.aside, copy);
    }
    let pages = Pages {
        catalogue: &catalogue,
        with_working: args.with_working,
        today,
    };
    if let Some(dir) = &args.group {
        let mut records = meant.records;
        let withdrawn = records.extract_if(.., |record| record.withdrawn.is_some());
        let reasons: Vec<_> = withdrawn.filter_map(|record| record.withdrawn).collect();
        for said in left_out(reasons, "") {
            remark(outlets.aside, note_left_out(said));
        }
        let words = RemakeWords::of("feedback").paths(&args.files);
        let words = words.with("--key", args.key.iter().map(PathBuf::as_path));
        let words = words.with("--group", [dir.as_path()]);
        let words = words.flag("--with-working", args.with_working);
        let folder = GroupFolder {
            dir,
            press: PagePress::new(&catalogue, args.force),
            words: words.words(sessions),
        };
        return group::write(&pages, &records, failures, &folder, outlets);
    }
    failures.none()?;
    let [record] = meant.records.as_slice() else {
        return Err(Failure::wrong_words(SeveralSittings));
    };
    if let Some(reason) = record.withdrawn {
        remark(outlets.aside, counts_nowhere(reason));
    }
    let page = page(&pages.tell(record)?);
    match &args.output {
        Some(path) => {
            let new = NewPage::about(path, &record.header.pupil);
            let press = PagePress::new(&catalogue, args.force);
            press.put(new, page.as_bytes(), outlets.aside)
        }
        None => written(outlets.out, &page),
    }
}
