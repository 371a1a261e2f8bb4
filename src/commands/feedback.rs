//! `feedback`: a page for the pupil, or one for each pupil of a group with a list for the tutor.

mod group;
mod pages;

use std::path::{Path, PathBuf};

use chrono::{DateTime, FixedOffset};
use clap::builder::{PossibleValuesParser, TypedValueParser as _};

use super::failure::{Failure, Failures};
use super::outlets::{Outlets, remark, written};
use super::pages::{ForceArg, NewPage, PagePress, RemakeWords};
use super::read::copies;
use crate::domain::character::plain_line;
use crate::domain::notes::{PupilSentence, sentence_fits};
use crate::reports::feedback::{PageReader, page};
use crate::storage::catalogue::Catalogue;
use crate::storage::files::notes;
use crate::words::standing::{counts_nowhere, left_out, note_left_out};
use group::{GroupFolder, SeveralPages};
use pages::Pages;

/// What `feedback` takes.
#[derive(Debug, clap::Args)]
pub struct FeedbackArgs {
    /// Session files, folders or pupils' aliases; several sittings get a page each
    #[arg(value_name = "SESSION", required = true)]
    files: Vec<PathBuf>,
    /// The answer key; repeat it for several papers [default: the keys beside the papers]
    #[arg(long, visible_alias = "keys", value_name = "KEY")]
    key: Vec<PathBuf>,
    /// The file to write [default: standard output; for several sittings, `pages` in the folder of sittings]
    #[arg(short, long, value_name = "FILE.html", conflicts_with = "group")]
    output: Option<PathBuf>,
    /// Show answers and workings as well as hints
    #[arg(long)]
    with_working: bool,
    /// Write a page for each sitting into this folder, with an index.html for the tutor
    #[arg(long, value_name = "DIR")]
    group: Option<PathBuf>,
    /// Who reads the page: parents get less than a page, without question texts or awards
    #[arg(long = "for", value_name = "WHO", default_value = "pupil", value_parser = reader())]
    reader: PageReader,
    /// Write one file to print, each pupil's page on sides of its own
    #[arg(long, conflicts_with = "group")]
    join: bool,
    /// Your own sentence for this pupil, kept beside the sitting; "" takes it back
    #[arg(long, value_name = "TEXT", conflicts_with_all = ["group", "join"])]
    sentence: Option<String>,
    /// The initials beside the sentence
    #[arg(long, value_name = "INITIALS", default_value = "tutor")]
    by: String,
    #[command(flatten)]
    force: ForceArg,
}

/// `pupil` or `parents`.
fn reader() -> impl clap::builder::TypedValueParser<Value = PageReader> {
    PossibleValuesParser::new(["pupil", "parents"]).map(|who| match who.as_str() {
        "parents" => PageReader::Parents,
        _ => PageReader::Pupil,
    })
}

/// Why there is no page.
#[derive(Debug, thiserror::Error)]
enum NoFeedbackPage {
    #[error(
        "several sittings don't fit in one page; leave out -o, add --join for one file, or name a folder with --group DIR"
    )]
    Several,
    #[error("--sentence is for one sitting; name its session file")]
    SentenceForSeveral,
}

/// Writes the page, or the group's pages; `sessions` is the folder of sittings where one was named.
///
/// # Errors
/// A file that cannot be read, is damaged, does not go with the key, or a page that cannot be
/// written. With `--group` the other sittings get their pages all the same.
pub fn run(
    args: &FeedbackArgs,
    sessions: Option<&Path>,
    now: DateTime<FixedOffset>,
    outlets: &mut Outlets<'_>,
) -> Result<(), Failure> {
    if let Some(sentence) = &args.sentence {
        sentence_fits(sentence).map_err(Failure::wrong_words)?;
    }
    let catalogue = Catalogue::open(sessions, &args.files).with_only_keys(&args.key);
    let catalogue = catalogue.map_err(Failure::could_not)?;
    let meant = catalogue.sittings(&args.files)?;
    let failures = Failures::of_files(&meant);
    for (_, reason) in &meant.unreadable {
        if reason.is_about_a_folder() {
            remark(outlets.aside, reason);
        }
    }
    for copy in copies(&meant.copies) {
        remark(outlets.aside, copy);
    }
    let pages = Pages {
        catalogue: &catalogue,
        with_working: args.with_working,
        reader: args.reader,
        today: now.date_naive(),
    };
    let many = args.join || args.output.is_none() && meant.records.len() > 1;
    if args.sentence.is_some() && meant.records.len() != 1 {
        return Err(Failure::wrong_words(NoFeedbackPage::SentenceForSeveral));
    }
    let words = RemakeWords::of("feedback").paths(&args.files);
    let words = words.with("--key", args.key.iter().map(PathBuf::as_path));
    let words = words.flag("--with-working", args.with_working);
    let words = words.flag("--for=parents", args.reader == PageReader::Parents);
    if args.group.is_some() || many {
        let mut records = meant.records;
        let withdrawn = records.extract_if(.., |record| record.withdrawn.is_some());
        let reasons: Vec<_> = withdrawn.filter_map(|record| record.withdrawn).collect();
        for said in left_out(reasons, "") {
            remark(outlets.aside, note_left_out(said));
        }
        let press = PagePress::new(&catalogue, args.force);
        let Some(dir) = &args.group else {
            let words = words.flag("--join", args.join);
            let several = SeveralPages {
                output: args.output.as_deref(),
                join: args.join,
                press,
                words: words.words(sessions),
            };
            return group::write_several(&pages, &records, failures, &several, outlets);
        };
        let folder = GroupFolder {
            dir,
            press,
            words: words.with("--group", [dir.as_path()]).words(sessions),
        };
        return group::write(&pages, &records, failures, &folder, outlets);
    }
    failures.none()?;
    let [record] = meant.records.as_slice() else {
        return Err(Failure::wrong_words(NoFeedbackPage::Several));
    };
    if let Some(reason) = record.withdrawn {
        remark(outlets.aside, counts_nowhere(reason));
    }
    if let Some(sentence) = &args.sentence {
        let header = &record.header;
        let mut said = notes::load(&record.path, &header.sitting).map_err(Failure::could_not)?;
        said.for_pupil.push(PupilSentence {
            at: now,
            sentence: plain_line(sentence),
            by: plain_line(&args.by),
        });
        notes::save(&record.path, &said).map_err(Failure::could_not)?;
    }
    let page = page(&pages.tell(record)?, args.reader);
    match &args.output {
        Some(path) => {
            let new = NewPage::about(path, &record.header.pupil);
            let press = PagePress::new(&catalogue, args.force);
            press.put(new, page.as_bytes(), outlets.aside)
        }
        None => written(outlets.out, &page),
    }
}
