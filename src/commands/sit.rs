//! `sit`: a paper under the clock, or an open sitting taken up again.

mod plain;
pub(in crate::commands) mod wanted;

use std::io::{self, IsTerminal as _};
use std::path::PathBuf;

pub use self::wanted::{Arranged, SitArgs};
use self::wanted::{Settled, key_for, same_paper, unfinished, wanted};
use super::failure::Failure;
use super::hall::Hall;
use super::samples;
use super::start::{Brought, attend, offer, offer_for, step_read_out};
use crate::domain::header::Alias;
use crate::screens::run::Leaving;
use crate::screens::start::{Seating, Start};
use crate::storage::catalogue::{Catalogue, NoPaper};
use crate::storage::journal::Record;
use crate::term::lines_are_wanted;

/// Sits a paper, or goes on with what is open.
///
/// # Errors
/// Words that make no sense, files that cannot be used, or a signal.
pub(super) fn run(args: &SitArgs, dir: PathBuf) -> Result<(), Failure> {
    let pupil = Alias::new(&args.pupil).map_err(Failure::wrong_words)?;
    let near: Vec<_> = args.paper.iter().map(PathBuf::from).collect();
    let keys: Vec<_> = args.key.iter().cloned().collect();
    let catalogue = Catalogue::open(Some(&dir), &near).with_only_keys(&keys);
    let catalogue = catalogue.map_err(Failure::could_not)?;
    let catalogue = match &args.paper {
        Some(named) if needs_samples(named, args, &catalogue) => {
            samples::ask_in_lines(&catalogue)?;
            let anew = Catalogue::open(Some(&dir), &near).with_only_keys(&keys);
            anew.map_err(Failure::could_not)?
        }
        _ => catalogue,
    };
    let register = catalogue.register().map_err(Failure::could_not)?;
    let settled = Settled::of(args, &pupil, register);
    if settled.plain {
        // What cannot be is told before any line is read.
        if unfinished(&dir, &pupil)?.newest.is_none() {
            wanted(args, settled.registered, pupil.clone(), &catalogue)?;
        }
        return plain::run(args, &settled, pupil, &dir, &catalogue);
    }
    let unfinished = unfinished(&dir, &pupil)?;
    if let Some(record) = unfinished.newest {
        return go_on(args, &settled, dir, &catalogue, &record);
    }
    let wanted = wanted(args, settled.registered, pupil, &catalogue)?;
    let has_key = key_for(args, &settled, &catalogue, &wanted.paper.outline)?.is_some();
    let hall = Hall::open(dir)?;
    let mut offer = offer_for(
        &wanted.pupil,
        &wanted.path,
        &wanted.paper,
        has_key,
        register,
        &hall.dir,
        hall.today(),
    );
    offer.plan.clone_from(&wanted.plan);
    let step = step_read_out(&catalogue, register, &wanted.pupil);
    offer.steps = step
        .map(|step| (wanted.pupil.clone(), step))
        .into_iter()
        .collect();
    let seating = Seating {
        pupil: wanted.pupil,
        paper: wanted.path,
        minutes: wanted.minutes,
        arrangements: wanted.arrangements,
        marks_at_end: has_key,
    };
    let brought = Brought {
        lines_where_arranged: false,
        // The page has taken it over, and may say otherwise.
        marks: None,
        plan: wanted.plan,
    };
    let mut start = Start::at_read_out(offer, &seating);
    if let Some(unread) = unfinished.unread.first() {
        start.trouble(unread);
    }
    attend_once(hall, &catalogue, start, &brought)
}

/// Whether there is no paper at all, and somebody who can be asked.
fn needs_samples(named: &str, args: &SitArgs, catalogue: &Catalogue) -> bool {
    let asks = args.plain == Some(true) || lines_are_wanted() || io::stdin().is_terminal();
    asks && matches!(catalogue.paper(named), Err(NoPaper::NoneAtHand { .. }))
}

/// Shows a start page, and ends with the sitting that is chosen there.
fn attend_once(
    mut hall: Hall,
    catalogue: &Catalogue,
    start: Start,
    brought: &Brought,
) -> Result<(), Failure> {
    match attend(&mut hall, catalogue, start, brought) {
        Ok(left) => hall.close(left.unwrap_or(Leaving::Done)),
        Err(failure) => hall.fail(failure),
    }
}

fn go_on(
    args: &SitArgs,
    settled: &Settled<'_>,
    dir: PathBuf,
    catalogue: &Catalogue,
    record: &Record,
) -> Result<(), Failure> {
    let outline = &record.header.paper;
    if let Some(named) = &args.paper {
        same_paper(named, catalogue, outline, record)?;
    }
    key_for(args, settled, catalogue, outline)?;
    let register = catalogue.register().map_err(Failure::could_not)?;
    let hall = Hall::open(dir)?;
    let offer = offer(
        catalogue,
        register,
        &hall.dir,
        hall.clock.local(),
        &hall.unmarked,
    );
    let start = Start::at_open_sittings(offer, &record.header.pupil);
    let brought = Brought {
        lines_where_arranged: false,
        marks: Some(!settled.no_marks),
        plan: None,
    };
    attend_once(hall, catalogue, start, &brought)
}
