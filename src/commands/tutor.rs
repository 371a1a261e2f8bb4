//! `tutor`: every job from one list. What a job needs is chosen from lists, and the job is the command itself.

mod asker;
mod job;

use std::ffi::{OsStr, OsString};
use std::path::{Path, PathBuf};
use std::sync::Arc;

use chrono::NaiveDate;

use self::asker::{Asker, LineAsker, PageAsker};
pub use self::job::{JobWord, TutorJob};
use super::failure::Failure;
use super::samples;
use crate::clock::{Clock as _, SystemClock};
use crate::domain::abridged::Abridged;
use crate::domain::character::ShownPath as _;
use crate::domain::header::Alias;
use crate::screens::review::Listed;
use crate::storage::catalogue::{Catalogue, key_beside, tables_in};
use crate::storage::checkup::{self, Symptom};
use crate::storage::disk;
use crate::storage::files::folders;
use crate::storage::journal::Record;
use crate::storage::keeping::pages;
use crate::words::ask::{Answered, AskRow, Asking};
use crate::words::time::{day, file_day};
use crate::words::{start, tutor as words};

/// What `tutor` takes.
#[derive(Debug, clap::Args)]
pub struct TutorArgs {
    /// Use lines of text instead of pages, for screen readers and plain terminals
    #[arg(long)]
    plain: bool,
}

/// Shows the jobs until it is left.
///
/// # Errors
/// No terminal, a register that cannot be used, or a signal.
pub(super) fn run(args: &TutorArgs, given: Option<&Path>, dir: PathBuf) -> Result<(), Failure> {
    let given = given.map(Path::to_owned);
    if args.plain || crate::term::lines_are_wanted() {
        let mut asker = LineAsker::default();
        return Tutor { given, dir }.jobs(&mut asker);
    }
    let mut asker = PageAsker::open(dir.clone())?;
    let done = Tutor { given, dir }.jobs(&mut asker);
    asker.close(done)
}

/// The folders behind the list.
struct Tutor {
    /// The folder of sittings, where it was named.
    given: Option<PathBuf>,
    dir: PathBuf,
}

/// How a question ended that a job needs answered.
enum Asked<T> {
    /// With an answer.
    This(T),
    /// One step back.
    Back,
    /// The program is left.
    Leave,
}

impl Tutor {
    fn jobs(&self, asker: &mut dyn Asker) -> Result<(), Failure> {
        let jobs = TutorJob::all();
        let mut at = 0;
        loop {
            let catalogue = self.catalogue();
            let register = catalogue.register().map_err(Failure::could_not)?;
            let today = SystemClock.local().date_naive();
            let past =
                register.and_then(|register| words::past_keeping(register.past_keeping(today)));
            let row = |job: &TutorJob| AskRow {
                name: job.title.to_owned(),
                note: String::new(),
                group: job.group,
            };
            let ask = Asking {
                title: words::TITLE.to_owned(),
                question: words::WHICH_JOB.to_owned(),
                notes: past.into_iter().collect(),
                rows: jobs.iter().map(row).collect(),
                is_first: true,
                ..Asking::default()
            };
            match asker.ask(ask, at)? {
                Answered::Row(place) => {
                    at = place;
                    let Some(job) = jobs.get(place) else { continue };
                    match self.words_of(job, &catalogue, asker)? {
                        Asked::This(typed) => {
                            asker.run(&self.with_sessions(typed), job.is_pages())?;
                        }
                        Asked::Back => {}
                        Asked::Leave => return Ok(()),
                    }
                }
                Answered::Words(_) => {}
                Answered::Back | Answered::Leave => return Ok(()),
            }
        }
    }

    fn catalogue(&self) -> Catalogue {
        Catalogue::open(self.given.as_deref(), &[])
    }

    fn with_sessions(&self, mut typed: Vec<OsString>) -> Vec<OsString> {
        if let Some(dir) = &self.given {
            typed.extend(["--sessions".into(), dir.into()]);
        }
        typed
    }

    /// The words of a job, what is in braces chosen; one step back asks the question before again.
    fn words_of(
        &self,
        job: &TutorJob,
        catalogue: &Catalogue,
        asker: &mut dyn Asker,
    ) -> Result<Asked<Vec<OsString>>, Failure> {
        let mut chosen: Vec<Vec<OsString>> = Vec::new();
        let mut questions: Vec<usize> = Vec::new();
        while let Some(word) = job.words.get(chosen.len()) {
            let answer = match word {
                JobWord::Says(text) => Asked::This(vec![text.into()]),
                JobWord::Sessions => Asked::This(vec![self.dir.clone().into()]),
                JobWord::Page => Asked::This(vec![
                    self.page(chosen.iter().flatten().rfind(|word| is_a_file(word)))?,
                ]),
                JobWord::Pages => Asked::This(vec![pages::folder_in(&self.dir).into()]),
                word => {
                    questions.push(chosen.len());
                    let about = chosen.iter().flatten().rfind(|word| is_a_file(word));
                    self.chosen(word, about, job, catalogue, asker)?
                }
            };
            match answer {
                Asked::This(words) => chosen.push(words),
                Asked::Leave => return Ok(Asked::Leave),
                Asked::Back => {
                    // This question, and the one before it.
                    questions.pop();
                    match questions.pop() {
                        Some(before) => chosen.truncate(before),
                        None => return Ok(Asked::Back),
                    }
                }
            }
        }
        Ok(Asked::This(chosen.into_iter().flatten().collect()))
    }

    fn chosen(
        &self,
        word: &JobWord,
        about: Option<&OsString>,
        job: &TutorJob,
        catalogue: &Catalogue,
        asker: &mut dyn Asker,
    ) -> Result<Asked<Vec<OsString>>, Failure> {
        match word {
            JobWord::Pupil => {
                let pupil = self.pupil(job, catalogue, asker)?;
                Ok(pupil.map(|alias| vec![alias.as_str().into()]))
            }
            JobWord::Sitting => self.sitting(job, catalogue, asker),
            JobWord::Day => Self::day(job, asker),
            JobWord::Paper => self.paper(job, catalogue, asker, false),
            JobWord::PaperAndKey => self.paper(job, catalogue, asker, true),
            JobWord::Table => {
                let list = self.table(job, words::WHICH_TABLE, asker)?;
                Ok(list.map(|path| vec![path.into()]))
            }
            JobWord::SecondTable => {
                let list = self.table(job, words::WHICH_SECOND, asker)?;
                Ok(list.map(|path| {
                    let mut word = OsString::from("--twice=");
                    word.push(path);
                    vec![word]
                }))
            }
            JobWord::Folder => self.folder(job, asker),
            JobWord::Key => a_file(job, words::WHICH_KEY, &catalogue.key_files(), asker),
            JobWord::KeyBefore => {
                a_file(job, words::WHICH_KEY_BEFORE, &catalogue.key_files(), asker)
            }
            JobWord::Damaged => {
                let damaged = self.damaged();
                let which = if damaged.is_empty() {
                    words::WHICH_FILE
                } else {
                    words::WHICH_DAMAGED
                };
                a_file(job, which, &damaged, asker)
            }
            JobWord::NewFolder => new_folder(job, about, asker),
            JobWord::Asked(text) => typed_in(job, text, asker),
            JobWord::Says(_) | JobWord::Sessions | JobWord::Page | JobWord::Pages => {
                Ok(Asked::This(Vec::new()))
            }
        }
    }

    /// A CSV file here or in the folder of sittings.
    fn table(
        &self,
        job: &TutorJob,
        which: &str,
        asker: &mut dyn Asker,
    ) -> Result<Asked<PathBuf>, Failure> {
        let files = tables_in(&[PathBuf::new(), self.dir.clone()]);
        let names = files.iter().map(|path| path.shown().to_string());
        let rows = names.map(|name| AskRow::new(name, "")).collect();
        let answer = asker.ask(question(job, which, rows), 0)?;
        Ok(one_of(&answer, &files, PathBuf::clone))
    }

    /// The session files that cannot be read to their end.
    fn damaged(&self) -> Vec<PathBuf> {
        let found = checkup::check(&self.dir).unwrap_or_default();
        let damaged = found.into_iter().filter_map(|symptom| match symptom {
            Symptom::Torn(path) | Symptom::Damaged { path, .. } => Some(path),
            _ => None,
        });
        damaged.collect()
    }

    /// The sittings, where the folder can be looked into.
    fn records(&self, catalogue: &Catalogue) -> Vec<Arc<Record>> {
        let listing = catalogue.listing(&self.dir);
        listing.map_or_else(|_| Vec::new(), |listing| listing.records.clone())
    }

    fn pupil(
        &self,
        job: &TutorJob,
        catalogue: &Catalogue,
        asker: &mut dyn Asker,
    ) -> Result<Asked<Alias>, Failure> {
        let register = catalogue.register().map_err(Failure::could_not)?;
        let listed = register.into_iter().flat_map(|register| &register.pupils);
        let mut pupils: Vec<Alias> = listed.map(|pupil| pupil.alias.clone()).collect();
        for record in self.records(catalogue) {
            if !pupils.iter().any(|own| own.is_same(&record.header.pupil)) {
                pupils.push(record.header.pupil.clone());
            }
        }
        pupils.sort();
        let mut rows: Vec<_> = pupils
            .iter()
            .map(|alias| AskRow::new(alias.as_str(), ""))
            .collect();
        rows.push(AskRow::new(words::ANOTHER_PUPIL, ""));
        match asker.ask(question(job, words::WHICH_PUPIL, rows), 0)? {
            Answered::Row(place) => match pupils.get(place) {
                Some(alias) => Ok(Asked::This(alias.clone())),
                None => Self::another_pupil(job, asker),
            },
            Answered::Words(_) | Answered::Back => Ok(Asked::Back),
            Answered::Leave => Ok(Asked::Leave),
        }
    }

    fn another_pupil(job: &TutorJob, asker: &mut dyn Asker) -> Result<Asked<Alias>, Failure> {
        let mut notes = Vec::new();
        loop {
            let ask = Asking {
                notes: std::mem::take(&mut notes),
                ..question(job, words::TYPE_ALIAS, Vec::new())
            };
            match asker.ask(ask, 0)? {
                Answered::Words(typed) => match Alias::new(&typed) {
                    Ok(alias) => return Ok(Asked::This(alias)),
                    Err(no) => notes.push(no.to_string()),
                },
                Answered::Row(_) | Answered::Back => return Ok(Asked::Back),
                Answered::Leave => return Ok(Asked::Leave),
            }
        }
    }

    /// A folder other than the one of sittings.
    fn folder(
        &self,
        job: &TutorJob,
        asker: &mut dyn Asker,
    ) -> Result<Asked<Vec<OsString>>, Failure> {
        let own = disk::canonical(&self.dir).ok();
        let mut found = folders::folders_to_choose();
        found.retain(|path| own.is_none() || disk::canonical(path).ok() != own);
        let names = found.iter().map(|path| path.shown().to_string());
        let mut rows: Vec<_> = names.map(|name| AskRow::new(name, "")).collect();
        rows.push(AskRow::new(words::ANOTHER_FOLDER, ""));
        match asker.ask(question(job, words::WHICH_FOLDER, rows), 0)? {
            Answered::Row(place) => match found.get(place) {
                Some(path) => Ok(Asked::This(vec![path.into()])),
                None => typed_in(job, words::TYPE_FOLDER, asker),
            },
            Answered::Words(_) | Answered::Back => Ok(Asked::Back),
            Answered::Leave => Ok(Asked::Leave),
        }
    }

    fn day(job: &TutorJob, asker: &mut dyn Asker) -> Result<Asked<Vec<OsString>>, Failure> {
        let today = SystemClock.local().date_naive();
        let rows = vec![
            AskRow::new(words::today(today), ""),
            AskRow::new(words::ANOTHER_DAY, ""),
        ];
        match asker.ask(question(job, words::WHICH_DAY, rows), 0)? {
            Answered::Row(0) => Ok(Asked::This(Vec::new())),
            Answered::Row(_) => Self::another_day(today, job, asker),
            Answered::Words(_) | Answered::Back => Ok(Asked::Back),
            Answered::Leave => Ok(Asked::Leave),
        }
    }

    fn another_day(
        today: NaiveDate,
        job: &TutorJob,
        asker: &mut dyn Asker,
    ) -> Result<Asked<Vec<OsString>>, Failure> {
        let mut notes = Vec::new();
        loop {
            let ask = Asking {
                notes: std::mem::take(&mut notes),
                ..question(job, words::TYPE_DAY, Vec::new())
            };
            match asker.ask(ask, 0)? {
                Answered::Words(typed) => match typed.trim().parse::<NaiveDate>() {
                    Ok(day) if day <= today => {
                        return Ok(Asked::This(vec![format!("--date={day}").into()]));
                    }
                    _ => notes.push(words::NO_SUCH_DAY.to_owned()),
                },
                Answered::Row(_) | Answered::Back => return Ok(Asked::Back),
                Answered::Leave => return Ok(Asked::Leave),
            }
        }
    }

    fn sitting(
        &self,
        job: &TutorJob,
        catalogue: &Catalogue,
        asker: &mut dyn Asker,
    ) -> Result<Asked<Vec<OsString>>, Failure> {
        loop {
            let pupil = match self.pupil(job, catalogue, asker)? {
                Asked::This(pupil) => pupil,
                Asked::Back => return Ok(Asked::Back),
                Asked::Leave => return Ok(Asked::Leave),
            };
            let mut own = self.records(catalogue);
            own.retain(|record| record.header.pupil.is_same(&pupil));
            let row = |record: &Arc<Record>| {
                let header = &record.header;
                let date = day(header.started.date_naive());
                let key = catalogue.key_of(&header.paper).ok();
                let sat = Abridged::of(&record.sitting());
                let torn = record.torn.is_some();
                let row = Listed::read(&record.path, &sat, key.as_deref(), torn);
                let row = match record.withdrawn {
                    Some(reason) => row.withdrawn(reason),
                    None => row,
                };
                let name = format!("{date}, {}", header.paper.title);
                AskRow::new(name, row.aloud(false))
            };
            let ask = question(job, words::WHICH_SITTING, own.iter().map(row).collect());
            match one_of(&asker.ask(ask, 0)?, &own, |record| {
                vec![record.path.clone().into()]
            }) {
                Asked::Back => {}
                answer => return Ok(answer),
            }
        }
    }

    fn paper(
        &self,
        job: &TutorJob,
        catalogue: &Catalogue,
        asker: &mut dyn Asker,
        with_key: bool,
    ) -> Result<Asked<Vec<OsString>>, Failure> {
        let offered = samples::offered(catalogue);
        let again = offered.is_some().then(|| self.catalogue());
        if let Some(folder) = offered {
            match asker.ask(samples::asking(job.title, &folder), 0)? {
                Answered::Leave => return Ok(Asked::Leave),
                answer if samples::answered(&answer, &folder)?.is_none() => return Ok(Asked::Back),
                _ => {}
            }
        }
        let catalogue = again.as_ref().unwrap_or(catalogue);
        // A paper that cannot be read can be checked, and nothing else.
        let files = catalogue.papers().iter();
        let files: Vec<_> = files
            .filter(|file| with_key || file.paper.is_ok())
            .collect();
        let rows = files.iter().map(|file| match &file.paper {
            Ok(paper) => AskRow::new(&paper.outline.title, file.path.shown().to_string()),
            Err(_) => AskRow::new(file.path.shown().to_string(), start::CANNOT_BE_READ),
        });
        let ask = question(job, words::WHICH_PAPER, rows.collect());
        Ok(one_of(&asker.ask(ask, 0)?, &files, |file| {
            let key = key_beside(&file.path).filter(|_| with_key);
            [file.path.clone()]
                .into_iter()
                .chain(key)
                .map(OsString::from)
                .collect()
        }))
    }

    /// A file for a page on what was chosen last.
    fn page(&self, about: Option<&OsString>) -> Result<OsString, Failure> {
        let about = about.map(Path::new);
        let name = about.and_then(Path::file_name).unwrap_or_default();
        let name = name.to_string_lossy();
        let stem = name.split_once(".session").map_or(&*name, |(stem, _)| stem);
        let pupil = about.and_then(Path::parent).and_then(Path::file_name);
        let pupil = pupil.unwrap_or_default().to_string_lossy();
        let page = format!("{pupil}-{stem}.html");
        let pages = pages::folder_in(&self.dir);
        disk::create_private_dir_all(&pages)?;
        Ok(pages.join(page).into())
    }
}

/// Whether a word is what was chosen, and not a flag before the next.
fn is_a_file(word: &OsStr) -> bool {
    !word.to_string_lossy().starts_with('-')
}

impl<T> Asked<T> {
    fn map<U>(self, of: impl FnOnce(T) -> U) -> Asked<U> {
        match self {
            Self::This(answer) => Asked::This(of(answer)),
            Self::Back => Asked::Back,
            Self::Leave => Asked::Leave,
        }
    }
}

fn question(job: &TutorJob, question: &str, rows: Vec<AskRow>) -> Asking {
    Asking {
        title: job.title.to_owned(),
        question: question.to_owned(),
        rows,
        ..Asking::default()
    }
}

/// The answer to a question, in words.
fn typed_in(
    job: &TutorJob,
    text: &str,
    asker: &mut dyn Asker,
) -> Result<Asked<Vec<OsString>>, Failure> {
    let answer = asker.ask(question(job, text, Vec::new()), 0)?;
    Ok(match answer {
        Answered::Words(typed) => Asked::This(vec![typed.into()]),
        Answered::Row(_) | Answered::Back => Asked::Back,
        Answered::Leave => Asked::Leave,
    })
}

/// One of these files, or another that is typed.
fn a_file(
    job: &TutorJob,
    which: &str,
    files: &[PathBuf],
    asker: &mut dyn Asker,
) -> Result<Asked<Vec<OsString>>, Failure> {
    let names = files.iter().map(|path| path.shown().to_string());
    let mut rows: Vec<_> = names.map(|name| AskRow::new(name, "")).collect();
    rows.push(AskRow::new(words::ANOTHER_FILE, ""));
    match asker.ask(question(job, which, rows), 0)? {
        Answered::Row(place) => match files.get(place) {
            Some(path) => Ok(Asked::This(vec![path.into()])),
            None => typed_in(job, words::TYPE_FILE, asker),
        },
        Answered::Words(_) | Answered::Back => Ok(Asked::Back),
        Answered::Leave => Ok(Asked::Leave),
    }
}

/// A folder that is not there yet: one is offered by the name of what was chosen last and the day.
fn new_folder(
    job: &TutorJob,
    about: Option<&OsString>,
    asker: &mut dyn Asker,
) -> Result<Asked<Vec<OsString>>, Failure> {
    let about = about.map_or_else(String::new, |about| about.to_string_lossy().into_owned());
    let today = file_day(SystemClock.local().date_naive());
    let names = (1..).map(|number| match number {
        1 => format!("{about}-{today}"),
        number => format!("{about}-{today}-{number}"),
    });
    let mut names = names.filter(|name| !Path::new(name).exists());
    let name = names.next().unwrap_or_default();
    let rows = vec![
        AskRow::new(&name, ""),
        AskRow::new(words::ANOTHER_FOLDER, ""),
    ];
    match asker.ask(question(job, words::WHICH_NEW_FOLDER, rows), 0)? {
        Answered::Row(0) => Ok(Asked::This(vec![name.into()])),
        Answered::Row(_) => typed_in(job, words::TYPE_NEW_FOLDER, asker),
        Answered::Words(_) | Answered::Back => Ok(Asked::Back),
        Answered::Leave => Ok(Asked::Leave),
    }
}

fn one_of<T, U>(answer: &Answered, all: &[T], words: impl FnOnce(&T) -> U) -> Asked<U> {
    match answer {
        Answered::Row(place) => all
            .get(*place)
            .map_or(Asked::Back, |one| Asked::This(words(one))),
        Answered::Words(_) | Answered::Back => Asked::Back,
        Answered::Leave => Asked::Leave,
    }
}
