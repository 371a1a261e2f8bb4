//! Answer sheets from a class answer list: one thread reads, splits and makes sheets of the rows, the other counts.

use std::io::Write;
use std::path::Path;
use std::sync::mpsc::{Receiver, Sender, SyncSender, channel, sync_channel};
use std::thread;

use crate::cohort::items::ItemTally;
use crate::commands::bar::{Bar, Counts};
use crate::commands::failure::Failure;
use crate::domain::character::ShownPath as _;
use crate::domain::paper::Outline;
use crate::storage::files::FileTrouble;
use crate::storage::files::answers::{AnswerList, ListedRow};

/// How many rows are read before their sheets go from one thread to the other.
const ROWS: usize = 4096;

/// After how many batches the bar moves; a shorter list has none.
const DRAWN_EVERY: usize = 16;

/// How many batches may lie between the two, so that memory stays bounded.
const WAITING: usize = 4;

/// Why a list gives no answer sheets.
#[derive(Debug, thiserror::Error)]
enum ListError<'a> {
    #[error("the list was only partly read; try again")]
    BrokeOff,
    #[error("{}: there is a heading but there are no answer sheets; add a row for each sheet below it", .0.shown())]
    HeadingAlone(&'a Path),
}

/// Sheets on their way, and how far the file was read by then.
#[derive(Default)]
struct Batch {
    codes: Vec<u8>,
    end: u64,
}

/// Counts every sheet of the list; what is to be noted about the list goes to `notes`.
pub(super) fn count(
    path: &Path,
    blank_codes: &[String],
    paper: &Outline,
    cohort: &mut ItemTally,
    watched: bool,
    notes: &mut dyn Write,
) -> Result<(), Failure> {
    let mut list = AnswerList::open(path, paper, blank_codes).map_err(Failure::could_not)?;
    let bar = Bar::new(watched, Counts::Sheets, list.size());
    let questions = usize::from(paper.questions);
    let mut batches = 0;
    let (full, filled) = sync_channel(WAITING);
    let (empty, spare) = channel();
    let (read, counted) = thread::scope(|scope| {
        let reader = scope.spawn(|| {
            let (full, spare) = (full, spare);
            read(&mut list, &full, &spare)
        });
        let counted = add_all(&filled, &empty, questions, cohort, |people, end| {
            batches += 1;
            if batches % DRAWN_EVERY == 0 {
                bar.say(people.to_string());
                bar.at(end);
            }
        });
        // With nobody to take what is read, the reader ends as well.
        drop(filled);
        let read = reader.join();
        (read, counted)
    });
    drop(bar);
    let about = list.notes();
    if !about.is_empty() {
        writeln!(notes, "{}", FileTrouble::lines(path, &about))?;
    }
    counted?;
    match read {
        Ok(read) => read.map_err(Failure::could_not)?,
        Err(_) => return Err(Failure::could_not(ListError::BrokeOff)),
    }
    list.end().map_err(Failure::could_not)?;
    if cohort.people() == 0 {
        return Err(Failure::could_not(ListError::HeadingAlone(path)));
    }
    Ok(())
}

/// Makes sheets of the rows to the end, or until nobody takes them. A copy of a sheet's codes is all that goes to the
/// other thread: whole rows would cost more to hand over than they save.
fn read(
    list: &mut AnswerList,
    full: &SyncSender<Batch>,
    spare: &Receiver<Batch>,
) -> Result<(), FileTrouble> {
    loop {
        let mut batch = spare.try_recv().unwrap_or_default();
        batch.codes.clear();
        let mut read = 0;
        while read < ROWS
            && let Some(row) = list.next_row()?
        {
            if let ListedRow::Sheet(codes) = row {
                batch.codes.extend_from_slice(codes);
            }
            read += 1;
        }
        batch.end = list.read();
        // The other side only stops before the end once it has a sentence of its own to say.
        if full.send(batch).is_err() || read < ROWS {
            return Ok(());
        }
    }
}

/// Counts what comes until nothing more does.
fn add_all(
    filled: &Receiver<Batch>,
    empty: &Sender<Batch>,
    questions: usize,
    cohort: &mut ItemTally,
    mut done: impl FnMut(usize, u64),
) -> Result<(), Failure> {
    for batch in filled {
        for codes in batch.codes.chunks_exact(questions) {
            cohort.add(codes).map_err(Failure::could_not)?;
        }
        done(cohort.people(), batch.end);
        // Nobody takes the empty one back once everything is read.
        let _ = empty.send(batch);
    }
    Ok(())
}
