//! The review's state.

use std::collections::BTreeMap;
use std::path::PathBuf;
use std::sync::Arc;

use super::ask::{Ask, Report};
use super::beside::Beside;
use super::list::List;
use super::listed::{Listed, Version};
use super::order::{Against, QuestionsBy};
use super::replay::Player;
use super::reported::Reported;
use super::study::{Opened, Study};
use super::writing::Writing;
use crate::analysis::norms::Group;
use crate::domain::notes::Notes;
use crate::domain::rule::QuestionNo;
use crate::screens::frame::Message;
use crate::screens::press::Press;

/// A page of one sitting.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Tab {
    /// Marks by section and how; awards, and how far.
    #[default]
    Marks,
    /// Time per question.
    Time,
    /// Question by minute.
    Lanes,
    /// Marks by minute.
    Curve,
    /// What a tutor would say.
    Findings,
    /// One question.
    Question,
    /// The hour once more.
    Replay,
    /// Another sitting beside this one.
    Beside,
}

impl Tab {
    /// All of them, in their order.
    pub(super) const ALL: [Self; 8] = [
        Self::Marks,
        Self::Time,
        Self::Lanes,
        Self::Curve,
        Self::Findings,
        Self::Question,
        Self::Replay,
        Self::Beside,
    ];

    /// Its name, whose first letter leads to it.
    pub(super) const fn name(self) -> &'static str {
        match self {
            Self::Marks => "Marks",
            Self::Time => "Time",
            Self::Lanes => "Lanes",
            Self::Curve => "Curve",
            Self::Findings => "Findings",
            Self::Question => "Question",
            Self::Replay => "Replay",
            Self::Beside => "Beside",
        }
    }

    /// The page that a letter leads to.
    pub(super) fn by_letter(letter: char) -> Option<Self> {
        let letter = letter.to_ascii_uppercase();
        Self::ALL
            .into_iter()
            .find(|tab| tab.name().starts_with(letter))
    }

    /// The next page, or the one before.
    pub(super) fn turn(self, forwards: bool) -> Self {
        let many = Self::ALL.len();
        let at = Self::ALL.iter().position(|own| *own == self).unwrap_or(0);
        let next = (at + if forwards { 1 } else { many - 1 }) % many;
        Self::ALL.get(next).copied().unwrap_or_default()
    }
}

/// What fills the screen.
#[derive(Clone, Debug, Default)]
pub(super) enum Page {
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

/// What is looked at in a sitting.
#[derive(Clone, Debug)]
pub(super) struct Look {
    pub(super) tab: Tab,
    /// The question that the keys act on.
    pub(super) question: QuestionNo,
    pub(super) scroll: usize,
    /// Digits typed towards a question.
    pub(super) typed: String,
    pub(super) by: QuestionsBy,
    pub(super) against: Against,
    /// The finding chosen, and whether all show or those of one talk.
    pub(super) finding: usize,
    pub(super) every_finding: bool,
    pub(super) player: Player,
}

/// The review as it stands: see [`Review::press`] for what goes in and comes out.
#[derive(Clone, Debug)]
pub struct Review {
    /// Where the sittings are, as text.
    pub(super) sessions: String,
    pub(super) list: List,
    pub(super) page: Page,
    pub(super) open: Option<Box<(Study, Look)>>,
    pub(super) beside: Beside,
    /// The groups known, by paper; nothing stands for one that was asked for.
    groups: BTreeMap<Version, Option<Arc<Group>>>,
    pub(super) writing: Option<Writing>,
    pub(super) message: Option<Message>,
    pub(super) asked_to_leave: bool,
}

impl Review {
    /// The list, with nothing in it yet.
    pub fn new(sessions: impl Into<String>) -> Self {
        Self {
            sessions: sessions.into(),
            list: List::default(),
            page: Page::default(),
            open: None,
            beside: Beside::default(),
            groups: BTreeMap::new(),
            writing: None,
            message: None,
            asked_to_leave: false,
        }
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
        let first = study
            .facts
            .first()
            .map_or(QuestionNo(1), |facts| facts.number);
        let look = Look {
            tab: Tab::Marks,
            question: first,
            scroll: 0,
            typed: String::new(),
            by: QuestionsBy::default(),
            against: Against::default(),
            finding: 0,
            every_finding: false,
            player: Player::new(&study),
        };
        let header = &study.opened.header;
        let rows = self
            .list
            .beside(&study.opened.path, header.pupil.as_str(), &study.version);
        self.beside = Beside::offering(rows);
        self.open = Some(Box::new((study, look)));
        self.page = Page::Sitting;
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

    /// A sitting that was asked for cannot be opened.
    pub fn not_opened(&mut self, reason: String) {
        match self.page {
            Page::List | Page::Wrong(_) => self.page = Page::Wrong(reason),
            Page::Sitting | Page::Report(_) => self.message = Some(Message::Trouble(reason)),
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
        let files = self.list.group(&version);
        Some((version, files))
    }

    /// A group is put together.
    pub fn group_came(&mut self, version: Version, group: Group) {
        let group = Arc::new(group);
        let beside = self.beside.study_mut();
        let open = self.open.as_mut().map(|open| &mut open.0);
        for study in open.into_iter().chain(beside) {
            if study.version == version {
                study.hold_against(Some(Arc::clone(&group)));
            }
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
            self.message = Some(Message::Notice("Kept beside the session.".to_owned()));
        }
    }

    /// The notes could not be kept.
    pub fn not_kept(&mut self, reason: String) {
        self.message = Some(Message::Trouble(reason));
    }

    /// The page of the open sitting that shows.
    pub fn tab(&self) -> Option<Tab> {
        let (_, look) = self.open.as_deref()?;
        matches!(self.page, Page::Sitting).then_some(look.tab)
    }

    /// The open sitting and what is looked at, while it shows.
    pub(super) fn sitting(&self) -> Option<&(Study, Look)> {
        let shows = matches!(self.page, Page::Sitting);
        self.open.as_deref().filter(|_| shows)
    }

    /// Milliseconds until the page changes by itself; nothing while nothing plays.
    pub fn next_change(&self) -> Option<u64> {
        let (study, look) = self.sitting()?;
        let shows = look.tab == Tab::Replay;
        look.player.next_change(study).filter(|_| shows)
    }

    /// So many milliseconds have passed.
    pub fn passed(&mut self, millis: u64) {
        let shows = matches!(self.page, Page::Sitting);
        if let Some((study, look)) = self.open.as_deref_mut()
            && shows
            && look.tab == Tab::Replay
        {
            look.player.passed(study, millis);
        }
    }

    /// A report is put together, or the reason why it cannot be; one that nobody waits for any more is dropped.
    pub fn report_came(&mut self, report: &Report, text: Result<String, String>) {
        if let Page::Report(shown) = &mut self.page
            && shown.of == *report
        {
            shown.text = Some(text);
        }
    }

    /// Opens a report on the chosen row, and asks for it.
    pub(super) fn open_report(&mut self, press: Press) -> Option<Ask> {
        let row = self.list.chosen()?;
        let report = match press {
            Press::F(2) => Report::Progress(row.pupil.clone()),
            Press::F(3) => Report::Group(row.path.clone()),
            _ => return None,
        };
        self.page = Page::Report(Reported::new(report.clone(), row));
        Some(Ask::Report(report))
    }

    /// Opens the chosen row.
    pub(super) fn open_chosen(&self) -> Option<Ask> {
        Some(Ask::Open(self.list.chosen()?.path.clone()))
    }
}
