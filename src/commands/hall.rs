//! The terminal, the clock and the folders of one run, and a sitting from its start to its result.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::mpsc::{self, Receiver, Sender};
use std::sync::{Arc, Mutex, PoisonError};

use chrono::NaiveDate;

use super::failure::Failure;
use super::lines::say;
use super::read::{blanks_last_time, seen_with, step_judged};
use crate::analysis::Studied;
use crate::clock::{Clock, SystemClock};
use crate::domain::character::ShownPath as _;
use crate::domain::drill::SweepDrill;
use crate::domain::event::Stop;
use crate::domain::header::Alias;
use crate::domain::key::Key;
use crate::domain::paper::{Outline, Paper};
use crate::domain::practice::RoundMove;
use crate::domain::sitting::Sitting;
use crate::domain::time::Elapsed;
use crate::screens::ask::AskPage;
use crate::screens::drill::{KeysPage, SweepPage};
use crate::screens::practise::PractisePage;
use crate::screens::result::{AfterResult, ResultPage};
use crate::screens::review::Review;
use crate::screens::run::{self, AfterReview, Leaving, Shelf, Surroundings};
use crate::screens::start::{Choice, Start};
use crate::screens::theme::Theme;
use crate::seat::{Setup, Shared, keep_time};
use crate::storage::catalogue::Catalogue;
use crate::storage::files::folders;
use crate::storage::journal::{self, Record, Trouble, Wake};
use crate::term::{self, Inbox, LastWords, Screen};
use crate::words::ask::Answered;
use crate::words::guess::advice;
use crate::words::own_questions::OwnQuestions;
use crate::words::result::Ended;
use crate::words::sitting::around::{kept, stays_open};

/// The sitting that is on, for the last words of a program that dies.
#[derive(Clone, Default)]
pub(super) struct AtWork(Arc<Mutex<Option<Shared>>>);

impl AtWork {
    /// Sets the sitting that is on, or none.
    pub(super) fn set(&self, seat: Option<Shared>) {
        *self.0.lock().unwrap_or_else(PoisonError::into_inner) = seat;
    }

    /// What to write down when the program dies for this reason.
    pub(super) fn last_words(&self, stop: Stop) -> LastWords {
        let seat = Arc::clone(&self.0);
        Arc::new(move || {
            let seat = seat.lock().unwrap_or_else(PoisonError::into_inner).clone();
            if let Some(seat) = seat {
                seat.last_words(stop);
            }
        })
    }
}

/// A sitting whose last lines the disk does not take.
#[derive(Debug, thiserror::Error)]
#[error("the end of the sitting could not be saved: {0}")]
struct EndNotSaved(Trouble);

/// How a sitting begins.
pub(super) enum Begin<'a> {
    /// A new one.
    New(Setup<'a>),
    /// One that was left open.
    GoOn(&'a Record),
}

/// Sits down, and keeps the time from then on.
pub(super) fn take_seat(
    begin: Begin<'_>,
    dir: &Path,
    clock: &Arc<dyn Clock>,
    send: &Sender<Inbox>,
) -> Result<Shared, Failure> {
    let (saved, time_up) = (send.clone(), send.clone());
    let wake: Wake = Box::new(move || drop(saved.send(Inbox::Wake)));
    let seat = match begin {
        Begin::New(setup) => Shared::take(dir, &setup, Arc::clone(clock), wake),
        Begin::GoOn(record) => Shared::go_on(record, Arc::clone(clock), wake),
    };
    let seat = seat.map_err(Failure::could_not)?;
    keep_time(&seat, move || drop(time_up.send(Inbox::Wake)));
    Ok(seat)
}

/// The paper of a sitting, and its key for the hints, where they are at hand.
pub(super) fn at_hand(
    catalogue: &Catalogue,
    sat: &Outline,
) -> (Option<Arc<Paper>>, Option<Arc<Key>>) {
    (catalogue.paper_of(sat), catalogue.key_of(sat).ok())
}

/// What came of a sitting, ready to be shown.
pub(super) struct ToldResult {
    record: Record,
    studied: Studied,
    ended: Ended,
}

impl ToldResult {
    /// Of a sitting that is over, with marks where a key is given; nothing of an open one.
    pub(super) fn of(
        catalogue: &Catalogue,
        record: Record,
        key: Option<Arc<Key>>,
    ) -> Result<Option<Self>, Failure> {
        let studied = seen_with(catalogue, &record, key)?;
        let ended = Ended::tell(&studied, record.path.shown().to_string());
        let last = blanks_last_time(catalogue, &record);
        let step = step_judged(catalogue, &record);
        Ok(ended.map(|ended| Self {
            record,
            studied,
            ended: ended.with_last_time(last).with_step(step),
        }))
    }
}

/// The screen and everything around it.
pub(super) struct Hall {
    /// Where sittings are kept.
    pub(super) dir: PathBuf,
    /// The time.
    pub(super) clock: Arc<dyn Clock>,
    screen: Screen,
    inbox: Receiver<Inbox>,
    send: Sender<Inbox>,
    theme: Theme,
    at_work: AtWork,
    /// Sittings of this run whose marks the pupil is not to see.
    pub(super) unmarked: BTreeSet<PathBuf>,
    /// Who has just learnt the keys, and goes on to the papers.
    pub(super) learned: Option<Alias>,
    /// What to say once the terminal is given back.
    farewell: Vec<String>,
}

impl Hall {
    /// Takes the terminal.
    pub(super) fn open(dir: PathBuf) -> Result<Self, Failure> {
        let at_work = AtWork::default();
        term::guard_panics(at_work.last_words(Stop::Panic));
        let screen = Screen::enter().map_err(Failure::could_not)?;
        let (send, inbox) = mpsc::channel();
        let no_colour = std::env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty());
        let hall = Self {
            dir,
            clock: Arc::new(SystemClock),
            screen,
            inbox,
            send,
            theme: Theme::chosen_by(no_colour),
            at_work,
            unmarked: BTreeSet::new(),
            learned: None,
            farewell: Vec::new(),
        };
        if let Err(error) = term::listen(&hall.send, hall.at_work.last_words(Stop::LeftBySignal)) {
            hall.screen.leave();
            return Err(Failure::could_not(error));
        }
        Ok(hall)
    }

    /// The day.
    pub(super) fn today(&self) -> NaiveDate {
        self.clock.local().date_naive()
    }

    /// Asks on a page until there is an answer.
    pub(super) fn ask(&mut self, mut page: AskPage) -> Result<Answered, Leaving> {
        term::read_one_by_one(&self.inbox, &self.send);
        let asked = run::ask(&mut self.screen, &self.inbox, &mut page, self.theme);
        asked.unwrap_or(Err(Leaving::Lost))
    }

    /// Shows a sweep until it is left; `kept` gives what is to be said once it is over.
    pub(super) fn sweep(
        &mut self,
        mut page: SweepPage,
        kept: &mut dyn FnMut(&SweepDrill) -> Vec<String>,
    ) -> Leaving {
        term::read_as_they_come();
        let clock = Arc::clone(&self.clock);
        let now = || Elapsed(u64::try_from(clock.read().mono_ms).unwrap_or_default());
        let shown = run::sweep(
            &mut self.screen,
            &self.inbox,
            &mut page,
            self.theme,
            &now,
            kept,
        );
        shown.unwrap_or(Leaving::Lost)
    }

    /// Shows the keys until they are left.
    pub(super) fn keys(&mut self, page: &mut KeysPage) -> Leaving {
        let shown = run::keys(&mut self.screen, &self.inbox, page, self.theme);
        shown.unwrap_or(Leaving::Lost)
    }

    /// Shows practice until it is left; `heard` does each move.
    pub(super) fn practise(
        &mut self,
        page: &mut PractisePage,
        heard: &mut dyn FnMut(&mut PractisePage, RoundMove),
    ) -> Leaving {
        term::read_as_they_come();
        let shown = run::practise(&mut self.screen, &self.inbox, page, self.theme, heard);
        shown.unwrap_or(Leaving::Lost)
    }

    /// Gives the terminal back while something else uses it, right after a key that [`Self::ask`] or
    /// [`Self::start`] had.
    pub(super) fn step_aside<T>(&mut self, other: impl FnOnce() -> T) -> Result<T, Failure> {
        term::give_back();
        let done = other();
        self.screen.take_back().map_err(Failure::could_not)?;
        Ok(done)
    }

    /// Shows the start page until something is chosen.
    pub(super) fn start(&mut self, start: &mut Start) -> Result<Choice, Leaving> {
        term::read_one_by_one(&self.inbox, &self.send);
        run::start(&mut self.screen, &self.inbox, start, self.theme).unwrap_or(Err(Leaving::Lost))
    }

    /// Shows the review until it is left, or until somebody practises.
    pub(super) fn review(&mut self, review: &mut Review, files: &mut dyn Shelf) -> AfterReview {
        let shown = run::review(&mut self.screen, &self.inbox, review, files, self.theme);
        // A terminal that cannot be written to is as good as gone.
        shown.unwrap_or(AfterReview::Left(Leaving::Lost))
    }

    /// What wakes the page from another thread.
    pub(super) fn wake(&self) -> impl Fn() + Send + Sync + use<> {
        let send = self.send.clone();
        move || drop(send.send(Inbox::Wake))
    }

    /// Sits down, and keeps the time from then on.
    pub(super) fn seat(&self, begin: Begin<'_>) -> Result<Shared, Failure> {
        take_seat(begin, &self.dir, &self.clock, &self.send)
    }

    /// A sitting, from its first moment to its result.
    pub(super) fn sit(
        &mut self,
        catalogue: &Catalogue,
        seat: &Shared,
        paper: Option<&Paper>,
        key: Option<Arc<Key>>,
    ) -> Result<Leaving, Failure> {
        self.at_work.set(Some(seat.clone()));
        let pupil = seat.view().sitting.header().pupil.clone();
        let register = catalogue.register().ok().flatten();
        let registered = register.and_then(|register| register.pupil(&pupil));
        let large_steps = registered.is_some_and(|pupil| pupil.large_steps);
        let left = match self.pages(seat, paper, large_steps) {
            Leaving::Done => self.result(catalogue, seat, key)?,
            left => left,
        };
        if left == Leaving::Left {
            self.farewell.push(stays_open(&seat.path()));
        }
        self.at_work.set(None);
        Ok(left)
    }

    fn pages(&mut self, seat: &Shared, paper: Option<&Paper>, large_steps: bool) -> Leaving {
        let today = self.today();
        let advice = |sitting: &Sitting| advice(sitting, today);
        let elsewhere = folders::fallback_dir().filter(|dir| *dir != self.dir);
        let room = Surroundings {
            paper,
            theme: self.theme,
            large_steps,
            advice: &advice,
            elsewhere: elsewhere.as_deref(),
        };
        let shown = run::sit(&mut self.screen, &self.inbox, seat, &room);
        shown.unwrap_or_else(|_gone| {
            seat.interrupt(Stop::TerminalLost);
            Leaving::Lost
        })
    }

    fn result(
        &mut self,
        catalogue: &Catalogue,
        seat: &Shared,
        key: Option<Arc<Key>>,
    ) -> Result<Leaving, Failure> {
        let path = seat
            .finish()
            .map_err(|trouble| Failure::could_not(EndNotSaved(trouble)))?;
        let record = journal::read(&path).map_err(Failure::from)?;
        let register = catalogue.register().ok().flatten();
        if !register.is_some_and(|register| register.shared_machine) {
            self.farewell.push(kept(&record.header.pupil, &path));
        }
        let told = ToldResult::of(catalogue, record, key)?;
        Ok(told.map_or(Leaving::Done, |told| self.tell(catalogue, told)))
    }

    /// Tells what came of a sitting and, where the register lets its pupil, opens its questions.
    pub(super) fn tell(&mut self, catalogue: &Catalogue, told: ToldResult) -> Leaving {
        let ToldResult {
            record,
            studied,
            ended,
        } = told;
        let register = catalogue.register().ok().flatten();
        let pupil = &record.header.pupil;
        let lets = register.is_some_and(|register| register.opens_questions(pupil));
        let next = if lets {
            AfterResult::Questions
        } else {
            AfterResult::Away
        };
        let page = ResultPage::new(ended, next);
        let shown = run::result(&mut self.screen, &self.inbox, page, self.theme);
        // A terminal that cannot be written to is as good as gone.
        let left = shown.unwrap_or(Leaving::Lost);
        if left != Leaving::Done || !lets {
            return left;
        }
        let (paper, hints) = at_hand(catalogue, &record.header.paper);
        let own = OwnQuestions::of(&studied, paper.as_deref(), hints.as_deref());
        self.questions(&own)
    }

    /// Opens a pupil's own questions, until the list is left.
    fn questions(&mut self, own: &OwnQuestions<'_>) -> Leaving {
        let mut at = 0;
        loop {
            match self.ask(AskPage::rows(own.list(), at)) {
                Ok(Answered::Row(place)) => {
                    at = place;
                    let Some(number) = own.at(place) else {
                        continue;
                    };
                    match self.ask(AskPage::reading(own.one(number, false))) {
                        Ok(Answered::Leave) => return Leaving::Done,
                        Ok(_) => {}
                        Err(leaving) => return leaving,
                    }
                }
                Ok(_) => return Leaving::Done,
                Err(leaving) => return leaving,
            }
        }
    }

    /// Gives the terminal back and ends the run as its last page was left.
    pub(super) fn close(self, leaving: Leaving) -> Result<(), Failure> {
        self.screen.leave();
        if leaving == Leaving::Lost {
            return Err(Failure::Signal(1));
        }
        say(&self.farewell)?;
        match leaving {
            Leaving::Stopped(signal) => Err(Failure::Signal(signal)),
            Leaving::Done | Leaving::Left | Leaving::Lost => Ok(()),
        }
    }

    /// Gives the terminal back because of a failure.
    pub(super) fn fail<T>(self, failure: Failure) -> Result<T, Failure> {
        self.screen.leave();
        Err(failure)
    }
}
