//! The review's state.

use std::collections::BTreeMap;
use std::path::PathBuf;
use std::sync::Arc;

use super::aloud::{self, SpokenPart};
use super::beside::Beside;
use super::list::Sittings;
use super::listed::{Listed, Version};
use super::reported::Reported;
use super::request::{Report, Request};
use super::study::{Opened, Study};
use super::view::{Tab, View};
use super::writing::Writing;
use crate::analysis::Norms;
use crate::domain::notes::Notes;
use crate::domain::rule::QuestionNo;
use crate::domain::standing::Exclusion;
use crate::screens::kit::Message;
use crate::words::review as words;
use crate::words::standing::still_not_counted;

/// What fills the screen.
#[derive(Clone, Debug, Default)]
pub(super) enum Showing {
    /// The list.
    #[default]
    List,
    /// Why a file cannot be read.
    Wrong(String),
    /// A report.
    Report(Reported),
    /// The sitting that is open.
    Sitting,
}

/// The review as it stands: see [`Review::press`] for what goes in and comes out.
#[derive(Clone, Debug)]
pub struct Review {
    /// Where the sittings are, as text.
    pub(super) sessions: String,
    pub(super) list: Sittings,
    pub(super) page: Showing,
    pub(super) open: Option<Box<(Study, View)>>,
    pub(super) beside: Beside,
    /// The groups known, by paper; nothing stands for one that was asked for.
    groups: BTreeMap<Version, Option<Arc<Norms>>>,
    pub(super) writing: Option<Writing>,
    pub(super) message: Option<Message>,
    pub(super) asked_to_leave: bool,
    /// How far the help is scrolled, while it shows.
    pub(super) help: Option<usize>,
}

impl Review {
    /// The list, with nothing in it yet.
    pub fn new(sessions: impl Into<String>) -> Self {
        Self {
            sessions: sessions.into(),
            list: Sittings::default(),
            page: Showing::default(),
            open: None,
            beside: Beside::default(),
            groups: BTreeMap::new(),
            writing: None,
            message: None,
            asked_to_leave: false,
            help: None,
        }
    }

    /// The same with a note above the list.
    #[must_use]
    pub fn noting(mut self, note: Option<String>) -> Self {
        self.list.note = note;
        self
    }

    /// Takes rows of the list, known by name or by more.
    pub fn add(&mut self, rows: Vec<Listed>) {
        self.list.add(rows);
    }

    /// Takes what was read of rows, each with its place in the order in which they were added.
    pub fn fill(&mut self, read: Vec<(usize, Listed)>) {
        self.list.fill(read);
    }

    /// Everything that there is has been read.
    pub fn end_of_list(&mut self) {
        self.list.end();
    }

    /// A sitting that was asked for is open.
    pub fn opened(&mut self, opened: Opened) {
        let study = self.study(opened);
        let view = View::new(&study);
        let header = &study.opened.header;
        let rows = self
            .list
            .beside(&study.opened.path, header.pupil.as_str(), &study.version);
        self.beside = Beside::offering(rows);
        if let Some(people) = group_of(&study) {
            self.beside.offer_group(people);
        }
        self.open = Some(Box::new((study, view)));
        self.page = Showing::Sitting;
    }

    /// A sitting to be held beside the open one is open.
    pub fn opened_beside(&mut self, opened: Opened) {
        let study = self.study(opened);
        self.beside.show(study);
    }

    fn study(&self, opened: Opened) -> Study {
        let version = Version::of(&opened.header);
        let group = self.groups.get(&version).cloned().flatten();
        Study::new(opened, group)
    }

    /// Whose sitting is open, and what has to be known of it, in lines.
    #[must_use]
    pub fn title_aloud(&self) -> Vec<String> {
        let open = self.open.as_deref();
        open.map_or_else(Vec::new, |(study, _)| aloud::title(study))
    }

    /// A part of the open sitting in lines.
    #[must_use]
    pub fn aloud(&self, part: SpokenPart) -> Vec<String> {
        let open = self.open.as_deref();
        open.map_or_else(Vec::new, |(study, _)| aloud::lines(study, part))
    }

    /// Whether the open sitting has a question of that number.
    #[must_use]
    pub fn has(&self, question: QuestionNo) -> bool {
        let open = self.open.as_deref();
        open.is_some_and(|(study, _)| study.facts(question).is_some())
    }

    /// A sitting that was asked for cannot be opened.
    pub fn not_opened(&mut self, reason: String) {
        match self.page {
            Showing::List | Showing::Wrong(_) => self.page = Showing::Wrong(reason),
            Showing::Sitting | Showing::Report(_) => self.message = Some(Message::Trouble(reason)),
        }
    }

    /// The group that would be of use now: the paper, and the files of those who sat it.
    ///
    /// It is named once, when every file is read, so that nobody of the group is missing.
    pub fn group_wanted(&mut self) -> Option<(Version, Vec<PathBuf>)> {
        let version = self.open.as_ref().map(|open| open.0.version.clone())?;
        if !self.list.is_complete() || self.groups.contains_key(&version) {
            return None;
        }
        self.groups.insert(version.clone(), None);
        let files = self.list.whole(&version);
        Some((version, files))
    }

    /// A group is put together.
    pub fn group_came(&mut self, version: Version, group: Norms) {
        let group = Arc::new(group);
        let beside = self.beside.study_mut();
        let open = self.open.as_mut().map(|open| &mut open.0);
        for study in open.into_iter().chain(beside) {
            if study.version == version {
                study.hold_against(Some(Arc::clone(&group)));
            }
        }
        let people = self.open.as_deref().and_then(|(study, _)| group_of(study));
        if let Some(people) = people {
            self.beside.offer_group(people);
        }
        self.groups.insert(version, Some(group));
    }

    /// The notes beside the open sitting, with what is to be kept.
    pub fn notes(&self) -> Option<&Notes> {
        let (study, _) = self.open.as_deref()?;
        study.opened.notes.as_ref().ok()
    }

    /// The file of the open sitting.
    pub fn path(&self) -> Option<&PathBuf> {
        self.open.as_deref().map(|(study, _)| &study.opened.path)
    }

    /// The notes are kept.
    pub fn kept(&mut self, notes: Notes) {
        if let Some(open) = &mut self.open {
            open.0.opened.notes = Ok(notes);
            self.message = Some(Message::Notice(words::KEPT.to_owned()));
        }
    }

    /// It is kept whether a sitting counts, and this is why it does not now: who makes a group may be others.
    pub fn decided(&mut self, barred: Option<Exclusion>) {
        let said = match barred {
            None => words::COUNTS_NOW.to_owned(),
            Some(Exclusion::SetAside) => words::LEFT_OUT_NOW.to_owned(),
            Some(reason) => still_not_counted(reason),
        };
        self.message = Some(Message::Notice(said));
        self.groups.clear();
    }

    /// What is vouched for, or the step, is kept.
    pub fn vouched(&mut self) {
        self.message = Some(Message::Notice(words::KEPT.to_owned()));
    }

    /// The open sitting as its files say it now; what is looked at stays.
    pub fn opened_anew(&mut self, opened: Opened) {
        let study = self.study(opened);
        if let Some(open) = &mut self.open {
            open.0 = study;
        }
    }

    /// There is nothing to practise, and why.
    pub fn not_practised(&mut self, reason: String) {
        self.message = Some(Message::Notice(reason));
    }

    /// The notes could not be kept.
    pub fn not_kept(&mut self, reason: String) {
        self.message = Some(Message::Trouble(reason));
    }

    /// The page of the open sitting that shows.
    pub fn tab(&self) -> Option<Tab> {
        let (_, view) = self.open.as_deref()?;
        matches!(self.page, Showing::Sitting).then_some(view.tab)
    }

    /// The open sitting and what is looked at, while it shows.
    pub(super) fn sitting(&self) -> Option<&(Study, View)> {
        let shows = matches!(self.page, Showing::Sitting);
        self.open.as_deref().filter(|_| shows)
    }

    /// Milliseconds until the page changes by itself; nothing while nothing plays.
    pub fn next_change(&self) -> Option<u64> {
        let (study, view) = self.sitting()?;
        let shows = view.tab == Tab::Replay;
        view.player.next_change(study).filter(|_| shows)
    }

    /// So many milliseconds have passed.
    pub fn passed(&mut self, millis: u64) {
        let shows = matches!(self.page, Showing::Sitting);
        if let Some((study, view)) = self.open.as_deref_mut()
            && shows
            && view.tab == Tab::Replay
        {
            view.player.passed(study, millis);
        }
    }

    /// A report is put together, or the reason why it cannot be; one that nobody waits for any more is dropped.
    pub fn report_came(&mut self, report: &Report, text: Result<String, String>) {
        if let Showing::Report(shown) = &mut self.page
            && shown.of == *report
        {
            shown.text = Some(text);
        }
    }

    /// Opens a report on the chosen row, and asks for it.
    pub(super) fn open_report(&mut self, of: impl Fn(&Listed) -> Report) -> Option<Request> {
        let row = self.list.chosen()?;
        let report = of(row);
        self.page = Showing::Report(Reported::new(report.clone(), row));
        Some(Request::Report(report))
    }

    /// Opens the chosen row.
    pub(super) fn open_chosen(&self) -> Option<Request> {
        Some(Request::Open(self.list.chosen()?.path.clone()))
    }
}

/// How many people the group has that a sitting is held against.
fn group_of(study: &Study) -> Option<usize> {
    study.group.as_ref().map(|group| group.people)
}
