//! `sit --plain`: the sitting line by line.

use std::io;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::mpsc::{self, Receiver, RecvTimeoutError};
use std::thread;
use std::time::Duration;

use super::wanted::{Settled, SitArgs, key_for, same_paper, to_be_named, unfinished, wanted};
use crate::clock::{Clock, SystemClock};
use crate::commands::failure::Failure;
use crate::commands::hall::{AtWork, Begin, at_hand, take_seat};
use crate::commands::lines::{next_line, say};
use crate::commands::read::{blanks_last_time, seen_with, step_judged};
use crate::commands::start::step_read_out;
use crate::dialogue::{Act, Scene};
use crate::domain::character::ShownPath as _;
use crate::domain::event::Stop;
use crate::domain::header::Alias;
use crate::domain::key::Key;
use crate::domain::labels::Labels;
use crate::domain::paper::Paper;
use crate::domain::rule::QuestionNo;
use crate::domain::sitting::Phase;
use crate::plain::{
    BeforeStart, Plain, before_start, read_out_lines, result_lines, words_before_start,
};
use crate::seat::{Shared, View};
use crate::storage::catalogue::Catalogue;
use crate::storage::files::folders;
use crate::storage::journal;
use crate::term::{self, Inbox};
use crate::words::absence::welcome_back;
use crate::words::instructions::OwnAims;
use crate::words::own_questions::{self, OwnQuestions};
use crate::words::plan::plan_read_out;
use crate::words::result::Ended;
use crate::words::sitting::around::{
    NOT_STARTED, SAVED_AGAIN, SAVED_ANEW, START_OR_LEAVE, START_TO_GO_ON, has_one_open, not_saved,
    to_carry_on,
};
use crate::words::start as words;
use crate::words::step::read_out_in_a_line;
use crate::words::text::clean;

/// A prompt waits no longer than this for something to happen.
const LONGEST_WAIT: Duration = Duration::from_secs(3600);

/// How many lines are read ahead.
const MOST_WAITING: usize = 1024;

/// What is heard beside the clock.
enum Heard {
    /// A line was typed.
    Line(String),
    /// There will be no more lines.
    End,
    /// A signal, or news from the writer.
    News(Inbox),
}

/// How the lines ended.
#[derive(Clone, Copy)]
enum Left {
    Done,
    Open,
    Stopped(u8),
}

/// Where to save when the sittings' folder cannot be written to.
struct Elsewhere(Option<PathBuf>);

pub(super) fn run(
    args: &SitArgs,
    settled: &Settled<'_>,
    pupil: Alias,
    dir: &Path,
    catalogue: &Catalogue,
) -> Result<(), Failure> {
    let clock: Arc<dyn Clock> = Arc::new(SystemClock);
    let register = catalogue.register().map_err(Failure::could_not)?;
    let at_work = AtWork::default();
    term::guard_panics(at_work.last_words(Stop::Panic));
    let (news, from_news) = mpsc::channel();
    term::listen_to_signals(&news, at_work.last_words(Stop::LeftBySignal))
        .map_err(Failure::could_not)?;
    let heard = listen(from_news);
    let elsewhere = Elsewhere(folders::fallback_dir().filter(|other| other != dir));
    let unfinished = unfinished(dir, &pupil)?;
    say(&unfinished.unread)?;
    if let Some(record) = unfinished.newest {
        let outline = &record.header.paper;
        if let Some(named) = &args.paper {
            same_paper(named, catalogue, outline, &record)?;
        }
        let mut first = vec![has_one_open(&pupil, &outline.title)];
        if let Some(until) = record.sound_until() {
            let sitting = record.sitting();
            let answers = sitting.rows().iter().filter(|row| row.in_time.is_some());
            first.push(words::answers_kept(answers.count(), Some(until)) + ".");
            first.push(words::damaged_after(until));
        }
        let plan = record.header.plan.as_ref();
        first.extend(plan.map(plan_read_out).unwrap_or_default());
        let step = step_read_out(catalogue, register, &pupil);
        first.extend(step.as_ref().map(read_out_in_a_line));
        first.push(START_TO_GO_ON.to_owned());
        if !starts(&heard, &first, &outline.options)? {
            return Ok(());
        }
        let key = key_for(args, settled, catalogue, outline)?;
        let seat = take_seat(Begin::GoOn(&record), dir, &clock, &news)?;
        let paper = catalogue.paper_of(outline);
        let left = lines(&seat, &heard, paper.as_deref(), &elsewhere, &at_work);
        return ended(left, &seat, catalogue, key, &heard, dir);
    }
    let wanted = wanted(args, settled.registered, pupil, catalogue)?;
    let key = key_for(args, settled, catalogue, &wanted.paper.outline)?;
    let setup = wanted.setup();
    let step = step_read_out(catalogue, register, &wanted.pupil);
    let first = read_out_lines(
        &wanted.paper,
        setup.standard(),
        &wanted.arrangements,
        OwnAims {
            plan: wanted.plan.as_ref(),
            step: step.as_ref(),
        },
        clock.local().date_naive(),
    );
    if !starts(&heard, &first, &wanted.paper.outline.options)? {
        return Ok(());
    }
    let seat = take_seat(Begin::New(setup), dir, &clock, &news)?;
    let left = lines(&seat, &heard, Some(&wanted.paper), &elsewhere, &at_work);
    ended(left, &seat, catalogue, key, &heard, dir)
}

/// Lines and news come in by one door.
fn listen(news: Receiver<Inbox>) -> Receiver<Heard> {
    // Lines that come faster than they are worked off wait in the pipe, not in memory.
    let (send, heard) = mpsc::sync_channel(MOST_WAITING);
    let also = send.clone();
    thread::spawn(move || {
        for message in news {
            if also.send(Heard::News(message)).is_err() {
                return;
            }
        }
    });
    thread::spawn(move || {
        let mut input = io::stdin().lock();
        while let Ok(Some(line)) = next_line(&mut input) {
            if send.send(Heard::Line(line)).is_err() {
                return;
            }
        }
        let _ = send.send(Heard::End);
    });
    heard
}

/// Says what comes first, and waits for the word that starts the clock.
fn starts(heard: &Receiver<Heard>, first: &[String], options: &Labels) -> Result<bool, Failure> {
    say(first)?;
    loop {
        match heard.recv() {
            Ok(Heard::Line(typed)) => match before_start(&typed) {
                BeforeStart::Start => return Ok(true),
                BeforeStart::Leave => {
                    say(&[NOT_STARTED.to_owned()])?;
                    return Ok(false);
                }
                BeforeStart::Again => say(first)?,
                BeforeStart::Help => {
                    say(&words_before_start(options))?;
                    say(first.last().map(std::slice::from_ref).unwrap_or_default())?;
                }
                BeforeStart::Unclear => say(&[START_OR_LEAVE.to_owned()])?,
            },
            Ok(Heard::News(Inbox::Stop(signal))) => return Err(Failure::Signal(signal)),
            Ok(Heard::News(Inbox::Lost)) => return Err(Failure::Signal(1)),
            Ok(Heard::News(_)) => {}
            Ok(Heard::End) | Err(_) => return Ok(false),
        }
    }
}

fn lines(
    seat: &Shared,
    heard: &Receiver<Heard>,
    paper: Option<&Paper>,
    elsewhere: &Elsewhere,
    at_work: &AtWork,
) -> Left {
    at_work.set(Some(seat.clone()));
    let left = talk(seat, heard, paper, elsewhere).unwrap_or_else(|_output_is_gone| {
        seat.interrupt(Stop::TerminalLost);
        Left::Stopped(1)
    });
    at_work.set(None);
    left
}

/// Says how the sitting was left and, where it is over, what came of it.
fn ended(
    left: Left,
    seat: &Shared,
    catalogue: &Catalogue,
    key: Option<Arc<Key>>,
    heard: &Receiver<Heard>,
    dir: &Path,
) -> Result<(), Failure> {
    match left {
        Left::Stopped(signal) => Err(Failure::Signal(signal)),
        Left::Open => {
            let pupil = &seat.view().sitting.header().pupil.clone();
            say(&to_carry_on(pupil, to_be_named(dir), &seat.path()))?;
            Ok(())
        }
        Left::Done => {
            let path = seat.finish().map_err(Failure::could_not)?;
            let record = journal::read(&path)?;
            let studied = seen_with(catalogue, &record, key)?;
            if let Some(ended) = Ended::tell(&studied, path.shown().to_string()) {
                let last = blanks_last_time(catalogue, &record);
                let step = step_judged(catalogue, &record);
                say(&result_lines(&ended.with_last_time(last).with_step(step)))?;
            }
            let register = catalogue.register().ok().flatten();
            let pupil = &record.header.pupil;
            if register.is_some_and(|register| register.opens_questions(pupil)) {
                let (paper, hints) = at_hand(catalogue, &record.header.paper);
                let own = OwnQuestions::of(&studied, paper.as_deref(), hints.as_deref());
                questions(&own, heard)?;
            }
            Ok(())
        }
    }
}

/// Says a pupil's own questions again, one after another, until they are left.
fn questions(own: &OwnQuestions<'_>, heard: &Receiver<Heard>) -> Result<(), Failure> {
    say(&own_questions::help_in_lines())?;
    let mut open = None;
    loop {
        let typed = match heard.recv() {
            Ok(Heard::Line(typed)) => typed,
            Ok(Heard::News(Inbox::Stop(signal))) => return Err(Failure::Signal(signal)),
            Ok(Heard::News(Inbox::Lost)) => return Err(Failure::Signal(1)),
            Ok(Heard::News(_)) => continue,
            Ok(Heard::End) | Err(_) => return Ok(()),
        };
        let lines = match OwnAsked::read(&typed, own, open) {
            OwnAsked::Leave => return Ok(()),
            OwnAsked::One(place) => {
                open = Some(place);
                own.aloud(place)
            }
            OwnAsked::List => own.rows_aloud(),
            OwnAsked::Help => own_questions::help_in_lines(),
            OwnAsked::NoOther => vec![own_questions::NO_OTHER.to_owned()],
            OwnAsked::Unclear => vec![own.not_yours(&clean(typed.trim()))],
        };
        say(&lines)?;
    }
}

/// What a line asks for, among a pupil's own questions.
enum OwnAsked {
    /// The question at this place.
    One(usize),
    List,
    Help,
    /// A step over the end.
    NoOther,
    Leave,
    Unclear,
}

impl OwnAsked {
    fn read(typed: &str, own: &OwnQuestions<'_>, open: Option<usize>) -> Self {
        let step = |place: Option<usize>| match place {
            Some(place) if own.at(place).is_some() => Self::One(place),
            _ => Self::NoOther,
        };
        match typed.trim().to_lowercase().as_str() {
            "" | "next" => step(Some(open.map_or(0, |open| open + 1))),
            "back" => step(open.and_then(|open| open.checked_sub(1))),
            "read" if open.is_some() => step(open),
            "list" | "sheet" => Self::List,
            "help" => Self::Help,
            "leave" => Self::Leave,
            number => number
                .parse()
                .ok()
                .and_then(|number| own.place(QuestionNo(number)))
                .map_or(Self::Unclear, Self::One),
        }
    }
}

fn talk(
    seat: &Shared,
    heard: &Receiver<Heard>,
    paper: Option<&Paper>,
    elsewhere: &Elsewhere,
) -> io::Result<Left> {
    let view = seat.view();
    let first = scene(&view, paper);
    let mut plain = Plain::new(&first);
    if let Some(away) = seat.away() {
        say(&[welcome_back(away)])?;
    }
    let reply = plain.opening(&first);
    say(&reply.said)?;
    if let Some(left) = fulfil(reply.acts, seat, view.sitting.phase())? {
        return Ok(left);
    }
    let mut told = None;
    loop {
        let view = seat.view();
        if seat.is_to_tell_of_a_touch() {
            say(&[SAVED_ANEW.to_owned()])?;
        }
        while let Some(line) = plain.passing(&scene(&view, paper)) {
            say(&[line])?;
        }
        let trouble = view.trouble.as_ref().map(ToString::to_string);
        if trouble != told {
            say(&[elsewhere.news(trouble.as_deref())])?;
            told = trouble;
        }
        let wait = plain.wake(&view.sitting).map_or(LONGEST_WAIT, |next| {
            Duration::from_millis(next.since(view.at).as_millis())
        });
        match heard.recv_timeout(wait) {
            Ok(Heard::Line(typed)) if told.is_some() && elsewhere.is_wanted(&typed) => {
                if let Elsewhere(Some(dir)) = elsewhere {
                    seat.save_in(dir);
                }
            }
            Ok(Heard::Line(typed)) => {
                let view = seat.view();
                let reply = plain.line(&scene(&view, paper), &typed);
                say(&reply.said)?;
                if let Some(left) = fulfil(reply.acts, seat, view.sitting.phase())? {
                    return Ok(left);
                }
            }
            Ok(Heard::News(Inbox::Stop(signal))) => {
                seat.interrupt(Stop::LeftBySignal);
                return Ok(Left::Stopped(signal));
            }
            Ok(Heard::News(Inbox::Lost)) => {
                seat.interrupt(Stop::TerminalLost);
                return Ok(Left::Stopped(1));
            }
            Ok(Heard::End) | Err(RecvTimeoutError::Disconnected) => {
                seat.interrupt(Stop::LeftByKey);
                return Ok(Left::Open);
            }
            Ok(Heard::News(_)) | Err(RecvTimeoutError::Timeout) => {}
        }
    }
}

fn scene<'a>(view: &'a View, paper: Option<&'a Paper>) -> Scene<'a> {
    Scene {
        sitting: &view.sitting,
        paper,
        at: view.at,
    }
}

/// Does what is asked, up to the first refusal; gives how the sitting was left, once it is. `seen` is
/// where the sitting stood when it was asked.
fn fulfil(acts: Vec<Act>, seat: &Shared, seen: Phase) -> io::Result<Option<Left>> {
    for act in acts {
        let fills = matches!(act, Act::FillBlanks(_));
        let granted = match act {
            Act::Wish(command) => seat.wish(command, seen),
            Act::FillBlanks(blanks) => seat.fill_blanks(&blanks, rand::random()),
            Act::Leave if seat.view().sitting.is_closed() => return Ok(Some(Left::Done)),
            Act::Leave => {
                seat.interrupt(Stop::LeftByKey);
                return Ok(Some(Left::Open));
            }
        };
        match granted {
            Ok(()) if fills => say(&Plain::filled(&seat.view().sitting))?,
            Ok(()) => {}
            Err(refusal) => {
                say(&[refusal.to_string()])?;
                break;
            }
        }
    }
    let closed = seat.view().sitting.is_closed();
    Ok(closed.then_some(Left::Done))
}

impl Elsewhere {
    /// The word that saves elsewhere.
    const WORD: &'static str = "elsewhere";

    fn is_wanted(&self, typed: &str) -> bool {
        self.0.is_some() && typed.trim().eq_ignore_ascii_case(Self::WORD)
    }

    fn news(&self, trouble: Option<&str>) -> String {
        match trouble {
            None => SAVED_AGAIN.to_owned(),
            Some(trouble) => not_saved(trouble, self.0.as_deref().map(|dir| (Self::WORD, dir))),
        }
    }
}
