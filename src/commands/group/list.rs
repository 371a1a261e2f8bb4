//! Answer sheets from a class answer list: one thread reads and splits, the other counts.

use std::io::Write;
use std::path::Path;
use std::sync::mpsc::{Receiver, Sender, SyncSender, channel, sync_channel};
use std::thread;

use crate::cohort::items::ItemTally;
use crate::commands::bar::{Bar, Counts};
use crate::commands::failure::Failure;
use crate::domain::paper::Outline;
use crate::storage::files::FileTrouble;
use crate::storage::files::answers::AnswerList;

/// How many sheets go from one thread to the other at once.
const SHEETS: usize = 4096;

/// After how many sheets the bar moves; a shorter list has none.
const DRAWN_EVERY: usize = 1 << 16;

/// How many batches may lie between the two, so that memory stays bounded.
const WAITING: usize = 4;

/// Why a list gives no answer sheets.
#[derive(Debug, thiserror::Error)]
enum ListError<'a> {
    #[error("the list was only partly read; try again")]
    BrokeOff,
    #[error("{}: there is a heading but there are no answer sheets; add a row for each sheet below it", .0.display())]
    HeadingAlone(&'a Path),
}

/// Sheets on their way, and how far the file was read by then.
struct Batch {
    codes: Vec<u8>,
    bytes_read: u64,
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
    let (size, questions) = (list.size(), usize::from(paper.questions));
    let bar = Bar::new(watched, Counts::Sheets, size);
    let mut sheets = 0;
    let (full, filled) = sync_channel(WAITING);
    let (empty, spare) = channel();
    let (read, counted) = thread::scope(|scope| {
        let reader = scope.spawn(|| {
            let (full, spare) = (full, spare);
            read(&mut list, &full, &spare)
        });
        let counted = add_all(&filled, &empty, questions, cohort, |batch| {
            let before = sheets / DRAWN_EVERY;
            sheets += batch.codes.len() / questions;
            if sheets / DRAWN_EVERY > before {
                bar.say(sheets.to_string());
                bar.at(batch.bytes_read);
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
    if cohort.people() == 0 {
        return Err(Failure::could_not(ListError::HeadingAlone(path)));
    }
    Ok(())
}

/// Reads to the end, or to the first wrong cell, or until nobody takes what is read.
fn read(
    list: &mut AnswerList,
    full: &SyncSender<Batch>,
    spare: &Receiver<Vec<u8>>,
) -> Result<(), FileTrouble> {
    let mut codes = Vec::new();
    let mut sheets = 0;
    while let Some(sheet) = list.next_sheet()? {
        codes.extend_from_slice(sheet);
        sheets += 1;
        if sheets == SHEETS {
            let bytes_read = list.bytes_read();
            if full.send(Batch { codes, bytes_read }).is_err() {
                return Ok(());
            }
            codes = spare.try_recv().unwrap_or_default();
            codes.clear();
            sheets = 0;
        }
    }
    let bytes_read = list.bytes_read();
    // The other side only stops before the end once it has a sentence of its own to say.
    let _ = full.send(Batch { codes, bytes_read });
    Ok(())
}

/// Counts what comes until nothing more does.
fn add_all(
    filled: &Receiver<Batch>,
    empty: &Sender<Vec<u8>>,
    questions: usize,
    cohort: &mut ItemTally,
    mut done: impl FnMut(&Batch),
) -> Result<(), Failure> {
    for batch in filled {
        for codes in batch.codes.chunks_exact(questions) {
            cohort.add(codes).map_err(Failure::could_not)?;
        }
        done(&batch);
        // Nobody takes the empty one back once everything is read.
        let _ = empty.send(batch.codes);
    }
    Ok(())
}
