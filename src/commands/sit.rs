//! `sit`: a paper under the clock, or an open sitting taken up again.

mod plain;
mod wanted;

use std::path::PathBuf;

pub use self::wanted::{Arranged, Words};
use self::wanted::{open_sitting, same_paper, wanted, wrong_words};
use super::desk::Desk;
use super::failure::Failure;
use super::hall::Hall;
use super::start::{Brought, attend};
use crate::domain::header::Alias;
use crate::domain::key::Key;
use crate::screens::run::Leaving;
use crate::screens::start::{Seating, Start};
use crate::storage::files::{folders, key};
use crate::storage::journal::Record;

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
