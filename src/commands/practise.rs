//! `practise`: missed questions tried again, on pages or in lines.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::time::Duration;

use chrono::NaiveDate;

use super::failure::Failure;
use super::hall::Hall;
use super::lines::{read_line, say};
use super::outlets::remark;
use super::read::{practised, studied, unread};
use crate::analysis::Studied;
use crate::clock::{Clock as _, SystemClock};
use crate::domain::character::ShownPath as _;
use crate::domain::header::{Alias, INVENTED, sitting_id};
use crate::domain::paper::{Outline, Paper, Question};
use crate::domain::practice::{
    NoRoundMove, PaperQuestion, PracticeEvent, PracticeMoment, PracticeRound, PracticeStart,
    RoundMove, RoundQuestion, RoundStage, WorkingShown,
};
use crate::domain::questions::QuestionList;
use crate::domain::rule::QuestionNo;
use crate::domain::time::{Elapsed, parse_minutes};
use crate::plain::{PractisedLine, after_move, practised_line, question_lines};
use crate::screens::practise::{PractisePage, SavingLook, Unsaved};
use crate::screens::run::Leaving;
use crate::season::practice::PractisedSeason;
use crate::storage::catalogue::Catalogue;
use crate::storage::journal::{PracticeFile, PracticeNotSaved, Saved, practice_of};
use crate::term::lines_are_wanted;
use crate::words::practise as words;

/// How long lines, and the end of a session, wait for the disk.
const SOON: Duration = Duration::from_secs(2);

/// What `practise` takes.
#[derive(Debug, clap::Args)]
pub struct PractiseArgs {
    /// The pupil's alias
    #[arg(value_name = "PUPIL", value_parser = Alias::new)]
    pupil: Alias,
    /// Only questions of this paper: a file or an id
    #[arg(long, value_name = "PAPER")]
    paper: Option<String>,
    /// These questions, missed or not, such as 3,11,15-18 [default: the missed ones whose day has come]
    #[arg(long, value_name = "LIST")]
    questions: Option<String>,
    /// Open no further question after this many minutes
    #[arg(long, value_name = "N")]
    minutes: Option<String>,
    /// More answer keys: folders or key files; keys beside the papers are always found
    #[arg(long, visible_alias = "key", value_name = "DIR", num_args = 1..)]
    keys: Vec<PathBuf>,
    /// Use lines of text instead of pages, for screen readers and plain terminals
    #[arg(long)]
    plain: bool,
}

/// Why there is nothing to practise.
#[derive(Debug, thiserror::Error)]
enum NoPractice<'a> {
    #[error("no sittings of `{pupil}` in {}; check the alias, or name the folder of sittings with --sessions DIR", sessions.shown())]
    NoSittings {
        pupil: &'a Alias,
        sessions: &'a Path,
    },
    #[error(
        "no sitting of `{0}` can be marked, so nobody knows what was missed; put the .key.ron of its paper beside the .paper.ron, or name it with --keys"
    )]
    NoKeys(&'a Alias),
    #[error("`{pupil}` hasn't practised or sat `{paper}`; check the paper's id")]
    OtherPaper { pupil: &'a Alias, paper: &'a str },
    #[error(
        "{title} has no question {question}; it has {questions}. Choose from these with --questions"
    )]
    NoQuestion {
        title: &'a str,
        question: QuestionNo,
        questions: u16,
    },
    #[error(
        "question {0} of {1} doesn't count, so there's nothing to practise in it; leave it out of --questions"
    )]
    Void(QuestionNo, &'a str),
}

/// Runs a session of practice, and keeps it.
///
/// # Errors
/// No sittings, no key, words that cannot be, no terminal, or a signal.
pub(super) fn run(args: &PractiseArgs, given: Option<&Path>, dir: &Path) -> Result<(), Failure> {
    let list = args.questions.as_deref().map(QuestionList::read);
    let list = list.transpose().map_err(Failure::wrong_words)?;
    let minutes = args.minutes.as_deref().map(parse_minutes);
    let minutes = minutes.transpose().map_err(Failure::wrong_words)?;
    let near: Vec<_> = args.paper.iter().map(PathBuf::from).collect();
    let catalogue = Catalogue::open(given.or(Some(dir)), &near).with_keys(&args.keys);
    let catalogue = catalogue.map_err(Failure::could_not)?;
    let today = SystemClock.local().date_naive();
    let desk = PracticeDesk::open(args, &catalogue, dir)?;
    let mut said: Vec<String> = desk.remarks.clone();
    let questions = match &list {
        Some(list) => desk.picked(args, list, today, &mut said)?,
        None => desk.due(args, today, &mut said)?,
    };
    for line in &said {
        remark(&mut std::io::stderr(), line);
    }
    if questions.is_empty() {
        return Ok(say(&desk.nothing_now(today))?);
    }
    let session = Session::begin(dir, &args.pupil, questions, desk.working, minutes)?;
    if args.plain || lines_are_wanted() {
        return in_lines(session, &desk, dir);
    }
    let mut hall = Hall::open(dir.to_owned())?;
    let (left, saved) = on_pages(&mut hall, session, &desk, dir);
    hall.close(left).and(saved)
}

impl PractiseArgs {
    /// Whatever waits for a pupil.
    const fn of(pupil: Alias) -> Self {
        Self {
            pupil,
            paper: None,
            questions: None,
            minutes: None,
            keys: Vec::new(),
            plain: false,
        }
    }
}

/// How many questions a pupil can try today; none where that cannot be told.
pub(super) fn due_today(
    catalogue: &Catalogue,
    dir: &Path,
    pupil: &Alias,
    today: NaiveDate,
) -> usize {
    let args = PractiseArgs::of(pupil.clone());
    let due = || {
        let desk = PracticeDesk::open(&args, catalogue, dir)?;
        desk.due(&args, today, &mut Vec::new())
    };
    due().map_or(0, |due| due.len())
}

/// What came of practice that another page led to.
pub(super) enum PracticeFromPage {
    /// It was left.
    Left(Leaving),
    /// There is nothing to try now: what is said of that.
    NothingNow(String),
}

/// Practises whatever waits for a pupil, on the pages that are open already.
///
/// # Errors
/// No sittings, no key, or a file that cannot be written.
pub(super) fn from_page(
    hall: &mut Hall,
    catalogue: &Catalogue,
    pupil: Alias,
) -> Result<PracticeFromPage, Failure> {
    let (args, dir) = (PractiseArgs::of(pupil), hall.dir.clone());
    let today = hall.today();
    let desk = PracticeDesk::open(&args, catalogue, &dir)?;
    let mut said = Vec::new();
    let questions = desk.due(&args, today, &mut said)?;
    if questions.is_empty() {
        said.extend(desk.nothing_now(today));
        return Ok(PracticeFromPage::NothingNow(said.join(" ")));
    }
    let session = Session::begin(&dir, &args.pupil, questions, desk.working, None)?;
    let (left, saved) = on_pages(hall, session, &desk, &dir);
    saved.map(|()| PracticeFromPage::Left(left))
}

/// The same line by line.
///
/// # Errors
/// See [`from_page`]; and output that nobody takes.
pub(super) fn from_lines(catalogue: &Catalogue, dir: &Path, pupil: Alias) -> Result<(), Failure> {
    let args = PractiseArgs::of(pupil);
    let today = SystemClock.local().date_naive();
    let desk = PracticeDesk::open(&args, catalogue, dir)?;
    let mut said = desk.remarks.clone();
    let questions = desk.due(&args, today, &mut said)?;
    say(&said)?;
    if questions.is_empty() {
        return Ok(say(&desk.nothing_now(today))?);
    }
    let session = Session::begin(dir, &args.pupil, questions, desk.working, None)?;
    in_lines(session, &desk, dir)
}

/// What is known of the pupil.
struct PracticeDesk<'a> {
    catalogue: &'a Catalogue,
    pupil: &'a Alias,
    studied: Vec<Studied>,
    season: PractisedSeason,
    paper_on: Option<NaiveDate>,
    working: WorkingShown,
    /// The papers of sittings that are not finished: their answers are not told.
    open: BTreeSet<String>,
    /// Whether any of the sittings is one that nobody sat.
    invented: bool,
    remarks: Vec<String>,
}

impl<'a> PracticeDesk<'a> {
    fn open(
        args: &'a PractiseArgs,
        catalogue: &'a Catalogue,
        dir: &'a Path,
    ) -> Result<Self, Failure> {
        let pupil = &args.pupil;
        let own = catalogue.of_pupil(pupil)?;
        if own.is_empty() && args.questions.is_none() {
            let sessions = dir;
            return Err(Failure::could_not(NoPractice::NoSittings {
                pupil,
                sessions,
            }));
        }
        let limits = catalogue.limits_in(dir).map_err(Failure::could_not)?;
        let mut remarks: Vec<String> = unread(&own.unreadable).collect();
        let mut open = BTreeSet::new();
        let mut sittings = Vec::new();
        for record in &own.records {
            if !record.is_closed() && record.withdrawn.is_none() {
                open.insert(record.header.paper.id.clone());
            }
            sittings.push(studied(catalogue, record, &limits));
        }
        let has_key = sittings.iter().any(|one| one.keyed.is_some());
        if !has_key && args.questions.is_none() && open.is_empty() {
            return Err(Failure::could_not(NoPractice::NoKeys(pupil)));
        }
        let register = catalogue.register().map_err(Failure::could_not)?;
        let paper_on = register.and_then(|register| register.pupil(pupil)?.paper_on);
        let working = register.map(|register| register.working_shown(pupil));
        let (season, unread) = practised(catalogue, &practice_of(dir, pupil), &sittings);
        remarks.extend(unread);
        Ok(Self {
            catalogue,
            pupil,
            studied: sittings,
            season,
            paper_on,
            working: working.unwrap_or_default(),
            open,
            invented: own.records.iter().any(|record| record.header.invented),
            remarks,
        })
    }

    /// The paper that was named, or the one that was sat last, with its marking part.
    fn paper(&self, named: Option<&str>) -> Result<Outline, Failure> {
        let last = || {
            let latest = self.studied.iter().max_by_key(|one| one.header().started);
            latest.map(|one| one.header().paper.clone())
        };
        let Some(named) = named else {
            return last().ok_or_else(|| Failure::could_not(NoPractice::NoKeys(self.pupil)));
        };
        match self.catalogue.paper(named) {
            Ok((paper, _)) => Ok(paper.outline.clone()),
            // Its file may be gone, and its sittings still be here.
            Err(no_paper) => {
                let mut sat = self.studied.iter().map(|one| &one.header().paper);
                let same = sat.rfind(|sat| sat.id == named);
                same.cloned().ok_or_else(|| Failure::could_not(no_paper))
            }
        }
    }

    /// The questions whose day has come.
    fn due(
        &self,
        args: &PractiseArgs,
        today: NaiveDate,
        said: &mut Vec<String>,
    ) -> Result<Vec<RoundQuestion>, Failure> {
        let mut due = self.season.due(today, self.paper_on);
        if let Some(named) = &args.paper {
            let id = self.paper(Some(named))?.id;
            let is_known = |one: &Studied| one.header().paper.id == id;
            if !self.studied.iter().any(is_known) {
                let (pupil, paper) = (self.pupil, id.as_str());
                return Err(Failure::could_not(NoPractice::OtherPaper { pupil, paper }));
            }
            due.retain(|round| round.which.paper == id);
        }
        let before = due.len();
        due.retain(|round| !self.open.contains(&round.which.paper));
        if due.len() < before || due.is_empty() {
            said.extend(
                self.open
                    .iter()
                    .map(|paper| words::waits_for_sitting(paper)),
            );
        }
        Ok(due)
    }

    /// The questions that were picked, but for those that are done for the day.
    fn picked(
        &self,
        args: &PractiseArgs,
        list: &QuestionList,
        today: NaiveDate,
        said: &mut Vec<String>,
    ) -> Result<Vec<RoundQuestion>, Failure> {
        let outline = self.paper(args.paper.as_deref())?;
        if self.open.contains(&outline.id) {
            said.push(words::waits_for_sitting(&outline.id));
            return Ok(Vec::new());
        }
        let key = self
            .catalogue
            .key_of(&outline)
            .map_err(Failure::could_not)?;
        let paper = self.catalogue.paper_of(&outline);
        let (mut picked, mut done) = (Vec::new(), Vec::new());
        for question in list.iter() {
            let title = outline.title.as_str();
            if question.0 > outline.questions {
                return Err(Failure::wrong_words(NoPractice::NoQuestion {
                    title,
                    question,
                    questions: outline.questions,
                }));
            }
            if key.voids.contains_key(&question) {
                return Err(Failure::wrong_words(NoPractice::Void(question, title)));
            }
            let which = which(&outline, paper.as_deref(), question);
            let known = self.season.find(&which);
            if known.is_some_and(|known| known.is_done_on(today)) {
                done.push(question);
                continue;
            }
            picked.push(RoundQuestion {
                which,
                outline: std::sync::Arc::new(outline.clone()),
                paper: paper.clone(),
                key: std::sync::Arc::clone(&key),
            });
        }
        said.extend(words::done_for_today(&done));
        Ok(self.season.picked(picked))
    }

    /// That there is nothing to try, and when there will be.
    fn nothing_now(&self, today: NaiveDate) -> Vec<String> {
        if self.season.missed().next().is_none() {
            return vec![words::none_missed(self.pupil)];
        }
        let next = self.season.next_back(today, self.paper_on);
        let next = words::comes_back(next);
        [words::NONE_TODAY.to_owned()]
            .into_iter()
            .chain(next)
            .collect()
    }

    /// When questions come back after this session, read from the files.
    fn next_back(&self, dir: &Path) -> Option<String> {
        let today = SystemClock.local().date_naive();
        let (season, _) = practised(self.catalogue, &practice_of(dir, self.pupil), &self.studied);
        words::comes_back(season.next_back(today, self.paper_on))
    }
}

fn which(outline: &Outline, paper: Option<&Paper>, question: QuestionNo) -> PaperQuestion {
    let printed = paper.and_then(|paper| paper.question(question));
    PaperQuestion {
        paper: outline.id.clone(),
        fingerprint: outline.fingerprint.clone(),
        question,
        words: printed.and_then(Question::text_fingerprint),
    }
}

/// The moment, on a clock that nobody sets.
fn now() -> Elapsed {
    Elapsed(u64::try_from(SystemClock.read().mono_ms).unwrap_or_default())
}

/// A session of practice: its round, its file, its time.
struct Session {
    round: PracticeRound,
    file: PracticeFile,
    began: Elapsed,
    minutes: Option<Elapsed>,
    /// Whether the minutes are used up.
    is_late: bool,
}

impl Session {
    fn begin(
        dir: &Path,
        pupil: &Alias,
        questions: Vec<RoundQuestion>,
        working: WorkingShown,
        minutes: Option<Elapsed>,
    ) -> Result<Self, Failure> {
        let started = SystemClock.local();
        let start = PracticeStart {
            practice: sitting_id(started, rand::random()),
            started,
            program: format!("pacebell {}", env!("CARGO_PKG_VERSION")),
        };
        let file = PracticeFile::begin(dir, pupil, &start).map_err(Failure::could_not)?;
        let (round, events) = PracticeRound::new(questions, working);
        let mut session = Self {
            round,
            file,
            began: now(),
            minutes,
            is_late: false,
        };
        session.keep(events);
        Ok(session)
    }

    /// Does a move, and keeps what comes of it.
    fn hear(&mut self, said: RoundMove) -> Result<(), NoRoundMove> {
        let used = now().since(self.began);
        let is_late = self.minutes.is_some_and(|minutes| used >= minutes);
        let is_last = self.round.place().0 == self.round.place().1;
        let said = if said == RoundMove::Next && is_late && !is_last {
            self.is_late = true;
            RoundMove::Stop
        } else {
            said
        };
        let events = self.round.hear(said)?;
        self.keep(events);
        Ok(())
    }

    fn keep(&mut self, events: Vec<PracticeEvent>) {
        for event in events {
            let moment = PracticeMoment {
                at: now().since(self.began),
                utc: SystemClock.read().utc,
                event,
            };
            self.file.record(&moment);
        }
    }

    /// Why what was done last is not saved, where it isn't soon.
    fn unsaved(&mut self) -> Option<String> {
        let saved = self.file.save(SOON);
        saved.err().map(words::not_saved)
    }

    /// Ends the session where nobody looks any more.
    fn cut(&mut self) {
        let events = self.round.cut();
        self.keep(events);
    }

    /// What is said once the round has ended.
    fn summary(&mut self, desk: &PracticeDesk<'_>, dir: &Path) -> Vec<String> {
        // Read from the files; what isn't there yet is told when the session closes.
        let _told_later = self.file.save(SOON);
        let late = self.is_late.then(|| words::PRACTICE_OVER.to_owned());
        let mut said: Vec<String> = late.into_iter().collect();
        said.extend(words::summary(self.round.count()));
        said.extend(desk.next_back(dir));
        said
    }

    /// Tries once more to save what is not.
    ///
    /// # Errors
    /// The system's refusal.
    fn close(mut self) -> Result<(), Failure> {
        let saved = self.file.finish();
        saved.map(drop).map_err(Failure::could_not)
    }
}

fn in_lines(mut session: Session, desk: &PracticeDesk<'_>, dir: &Path) -> Result<(), Failure> {
    let (_, all) = session.round.place();
    let invented = desk.invented.then(|| INVENTED.to_owned());
    say(&invented.into_iter().collect::<Vec<_>>())?;
    say(&[words::to_try(all), words::NO_HURRY.to_owned()])?;
    say(&question_lines(&session.round))?;
    say(&[words::WORDS_TO_TYPE.to_owned()])?;
    while session.round.question().is_some() {
        let Some(typed) = read_line()? else {
            let _ended_already = session.hear(RoundMove::Stop);
            break;
        };
        let said = match practised_line(&typed, session.round.stage()) {
            PractisedLine::Say(lines) => lines,
            PractisedLine::Again => question_lines(&session.round),
            PractisedLine::Do(said) => {
                let goes_on = said == RoundMove::Next;
                let mut lines = match session.hear(said) {
                    Ok(()) if goes_on => question_lines(&session.round),
                    Ok(()) => after_move(&session.round),
                    Err(reason) => vec![words::does_nothing(reason, session.round.question())],
                };
                lines.extend(session.unsaved());
                lines
            }
        };
        say(&said)?;
    }
    say(&session.summary(desk, dir))?;
    for (place, said) in words::workings(&session.round).iter().enumerate() {
        if place == 0 {
            say(&[words::WORKINGS.to_owned()])?;
        }
        say(said)?;
    }
    session.close()
}

/// What the page shows of it.
fn unsaved(saved: &Saved) -> Option<Unsaved> {
    let trouble = saved.trouble.clone().map(PracticeNotSaved::Trouble);
    let trouble = trouble.map(|trouble| Unsaved::Trouble(trouble.to_string()));
    (!saved.is_all()).then(|| trouble.unwrap_or(Unsaved::Waiting))
}

fn on_pages(
    hall: &mut Hall,
    mut session: Session,
    desk: &PracticeDesk<'_>,
    dir: &Path,
) -> (Leaving, Result<(), Failure>) {
    session.file.wake_by(Box::new(hall.wake()));
    let page = PractisePage::new(session.round.clone(), desk.invented);
    let watch = session.file.watch();
    let mut page = page.watching(SavingLook::new(move || unsaved(&watch.saved())));
    let left = hall.practise(&mut page, &mut |page, said| {
        let done = session.hear(said);
        let refused = done.err();
        let trouble = refused.map(|reason| words::does_nothing(reason, session.round.question()));
        let ended = session.round.stage() == RoundStage::Ended;
        let summary = ended.then(|| session.summary(desk, dir));
        page.show(session.round.clone(), trouble, summary);
    });
    if session.round.question().is_some() {
        session.cut();
    }
    (left, session.close())
}
