//! The loop behind the review's pages.

use std::io;
use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, RecvTimeoutError};
use std::time::Duration;

use chrono::{DateTime, FixedOffset};
use ratatui::layout::Size;
use ratatui::widgets::Widget;

use super::Leaving;
use crate::analysis::Norms;
use crate::domain::notes::{Notes, Ruling, Said, Vouched};
use crate::domain::standing::Exclusion;
use crate::domain::step::{AgreedStep, Step};
use crate::screens::kit::{Frame, Key, open_row};
use crate::screens::review::{Listed, Opened, Report, Request, Review, Saying, Version, Vouching};
use crate::screens::theme::Theme;
use crate::term::{self, Inbox, Screen};

/// A page waits no longer than this for something to happen.
const LONGEST_WAIT: Duration = Duration::from_secs(3600);

/// What the threads that read files have sent.
#[derive(Debug)]
pub enum Arrived {
    /// Rows known by their files' names.
    Named(Vec<Listed>),
    /// Rows read, each with its place among those named.
    Read(Vec<(usize, Listed)>),
    /// Every row is read.
    AllRead,
    /// A group is put together.
    Group(Version, Norms),
    /// A report is put together, or the reason why it cannot be.
    Report(Report, Result<String, String>),
}

/// Who reads and writes the files for the review; [`Inbox::Wake`] says that something has arrived.
pub trait Shelf {
    /// What has arrived since it was last asked.
    fn arrived(&mut self) -> Vec<Arrived>;
    /// Reads one sitting with everything beside it, or says why it cannot be read.
    fn open(&mut self, path: &Path) -> Result<Opened, String>;
    /// Begins to put a group together from these sittings; it arrives later.
    fn put_together(&mut self, version: Version, files: Vec<PathBuf>);
    /// Begins to put a report together; it arrives later.
    fn report(&mut self, report: Report);
    /// Saves the notes beside a session, or says why not.
    fn save(&mut self, session: &Path, notes: &Notes) -> Result<(), String>;
    /// Keeps whether a sitting counts, or says why not, and gives why it does not count now; the rows that this
    /// changes arrive later.
    fn decide(&mut self, session: &Path, ruling: Ruling) -> Result<Option<Exclusion>, String>;
    /// Keeps what is vouched for on an evidence sheet, or says why not.
    fn vouch(&mut self, session: &Path, vouched: Vouched) -> Result<(), String>;
    /// Keeps the step that is agreed, or says why not.
    fn agree(&mut self, session: &Path, agreed: AgreedStep) -> Result<(), String>;
    /// Whose initials stand beside what is said.
    fn initials(&self) -> String;
    /// Wall time.
    fn local(&self) -> DateTime<FixedOffset>;
    /// Milliseconds on a clock that only goes forwards.
    fn millis(&self) -> u64;
}

/// Why the review shows no more.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum AfterReview {
    /// It was left.
    Left(Leaving),
    /// This pupil practises; then it shows again.
    Practise(String),
}

/// Shows the review until it is left, or until somebody practises.
///
/// # Errors
/// A terminal that cannot be written to.
pub fn review(
    screen: &mut Screen,
    inbox: &Receiver<Inbox>,
    review: &mut Review,
    shelf: &mut dyn Shelf,
    theme: Theme,
) -> io::Result<AfterReview> {
    let mut size = Size::default();
    let mut last = shelf.millis();
    loop {
        for arrived in shelf.arrived() {
            take(review, arrived);
        }
        if let Some((version, files)) = review.group_wanted() {
            shelf.put_together(version, files);
        }
        if size == Size::default() || screen.is_due() {
            screen.draw(|area, buf| {
                size = area.as_size();
                let page = &*review;
                Frame { page, theme }.render(area, buf);
                open_row(buf)
            })?;
        }
        let wait = review
            .next_change()
            .map_or(LONGEST_WAIT, Duration::from_millis);
        let message = term::next_within(inbox, wait);
        let now = shelf.millis();
        review.passed(now.saturating_sub(last));
        last = now;
        match message {
            Ok(Inbox::Key(key)) => {
                if let Some(request) = Key::of(key).and_then(|key| review.press(key, size)) {
                    match request {
                        Request::Leave => return Ok(AfterReview::Left(Leaving::Done)),
                        Request::Practise(pupil) => return Ok(AfterReview::Practise(pupil)),
                        request => fulfil(review, shelf, request),
                    }
                    // Reading a file is no time of the hour that plays.
                    last = shelf.millis();
                }
            }
            Ok(Inbox::Back) => screen.take_back()?,
            Ok(Inbox::Stop(signal)) => {
                return Ok(AfterReview::Left(Leaving::Stopped(signal)));
            }
            Ok(Inbox::Lost) | Err(RecvTimeoutError::Disconnected) => {
                return Ok(AfterReview::Left(Leaving::Lost));
            }
            Ok(Inbox::Resized | Inbox::Wake | Inbox::Pasted) | Err(RecvTimeoutError::Timeout) => {}
        }
    }
}

/// Puts what has arrived on the pages.
pub fn take(review: &mut Review, arrived: Arrived) {
    match arrived {
        Arrived::Named(rows) => review.add(rows),
        Arrived::Read(rows) => review.fill(rows),
        Arrived::AllRead => review.end_of_list(),
        Arrived::Group(version, group) => review.group_came(version, group),
        Arrived::Report(report, text) => review.report_came(&report, text),
    }
}

/// Does what a page asks.
pub fn fulfil(review: &mut Review, shelf: &mut dyn Shelf, request: Request) {
    match request {
        Request::Open(path) => match shelf.open(&path) {
            Ok(opened) => review.opened(opened),
            Err(reason) => review.not_opened(reason),
        },
        Request::Beside(path) => match shelf.open(&path) {
            Ok(opened) => review.opened_beside(opened),
            Err(reason) => review.not_opened(reason),
        },
        Request::Report(report) => shelf.report(report),
        Request::Say(saying) => say(review, shelf, saying),
        Request::Decide { path, because } => decide(review, shelf, &path, because),
        Request::Vouch(vouching) => vouch(review, shelf, vouching),
        Request::Agree(step) => agree(review, shelf, step),
        Request::Practise(_) | Request::Leave => {}
    }
}

/// Keeps whether a sitting counts, and shows it.
fn decide(review: &mut Review, shelf: &mut dyn Shelf, path: &Path, because: String) {
    let ruling = Ruling {
        at: shelf.local(),
        counts: because.is_empty(),
        because,
        by: shelf.initials(),
    };
    match shelf.decide(path, ruling) {
        Ok(barred) => {
            review.decided(barred);
            show_anew(review, shelf, path);
        }
        Err(reason) => review.not_kept(reason),
    }
}

/// Keeps what is vouched for of the open sitting, and shows it.
fn vouch(review: &mut Review, shelf: &mut dyn Shelf, vouching: Vouching) {
    let Some(path) = review.path().cloned() else {
        return;
    };
    let vouched = Vouched {
        at: shelf.local(),
        timed: vouching.timed,
        supervised: vouching.supervised,
        sentence: vouching.sentence,
        by: shelf.initials(),
    };
    match shelf.vouch(&path, vouched) {
        Ok(()) => {
            review.vouched();
            show_anew(review, shelf, &path);
        }
        Err(reason) => review.not_kept(reason),
    }
}

/// Keeps the step that is agreed about the open sitting, or that there is none, and shows it.
fn agree(review: &mut Review, shelf: &mut dyn Shelf, step: Option<Step>) {
    let (Some(notes), Some(path)) = (review.notes(), review.path().cloned()) else {
        return;
    };
    // The same once more, or none where there is none, is nothing new.
    if notes.step() == step.as_ref() {
        return;
    }
    let agreed = AgreedStep {
        at: shelf.local(),
        step,
        by: shelf.initials(),
    };
    match shelf.agree(&path, agreed) {
        Ok(()) => {
            review.vouched();
            show_anew(review, shelf, &path);
        }
        Err(reason) => review.not_kept(reason),
    }
}

/// The open sitting again, where its notes say something new.
fn show_anew(review: &mut Review, shelf: &mut dyn Shelf, path: &Path) {
    if review.path().is_some_and(|open| open == path)
        && let Ok(opened) = shelf.open(path)
    {
        review.opened_anew(opened);
    }
}

/// Saves what the tutor says, and then shows it.
fn say(review: &mut Review, shelf: &mut dyn Shelf, saying: Saying) {
    let (Some(notes), Some(path)) = (review.notes(), review.path()) else {
        return;
    };
    let said = Said {
        cause: saying.cause,
        text: saying.text,
        by: shelf.initials(),
        at: shelf.local(),
    };
    let mut notes = notes.clone();
    match saying.question {
        Some(question) => notes.say(question, said),
        None => notes.whole = Some(said).filter(|said| !said.text.is_empty()),
    }
    match shelf.save(path, &notes) {
        Ok(()) => review.kept(notes),
        Err(reason) => review.not_kept(reason),
    }
}
