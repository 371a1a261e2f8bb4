//! The start page's state.

use std::path::Path;

use super::form::Form;
use super::offer::{Choice, Offer, PaperOffer, PastSitting, Seating};
use crate::domain::header::Alias;
use crate::domain::paper::Paper;
use crate::domain::register::Registered;
use crate::screens::kit::{List, Message};
use crate::words::start as words;

/// Which part of the page shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Stage {
    /// Step 1: the pupils, and everything else that can be done.
    Pupil,
    /// Step 1: a new alias is typed.
    NewAlias,
    /// Step 1: a new pupil is offered the keys.
    Learn,
    /// An open sitting is offered.
    GoOn,
    /// Step 1: practice is offered beside a paper.
    Practice,
    /// Step 2.
    Paper,
    /// Step 3.
    Arrange,
    /// Step 4.
    ReadOut,
    /// Whose past sittings are looked at.
    PastPupil,
    /// Past sittings of one pupil.
    Past,
    /// What could not be read.
    Notices,
}

/// What the next key may settle.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) enum Asked {
    /// Nothing.
    #[default]
    Nothing,
    /// Whether to quit.
    Quit,
    /// The same, after the first of two keys.
    QuitSaid,
    /// Whether to start the clock.
    Start,
    /// Whether to go on with the open sitting.
    GoOn,
    /// Whether to write the sample papers.
    Samples,
}

/// A row of the first page.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum HomeRow {
    /// A pupil, by place in the list.
    Pupil(usize),
    /// Type a new alias.
    NewAlias,
    /// Look at past sittings.
    Past,
    /// Read what could not be read.
    Notices,
    /// Leave.
    Quit,
}

impl HomeRow {
    /// What it is called.
    pub(super) fn name(self, pupils: &[Alias]) -> String {
        match self {
            Self::Pupil(index) => pupils
                .get(index)
                .map_or_else(String::new, ToString::to_string),
            Self::NewAlias => "New alias".to_owned(),
            Self::Past => words::PAST_ROW.to_owned(),
            Self::Notices => words::WHAT_WAS_NOT_READ.to_owned(),
            Self::Quit => "Quit".to_owned(),
        }
    }
}

/// The rows of each page with a list, and the alias typed so far.
#[derive(Clone, Debug, Default)]
pub(super) struct Lists {
    pub(super) home: List<HomeRow>,
    /// The chosen pupil's open sittings, by place among all, and after them another paper.
    pub(super) go_on: List<Option<usize>>,
    /// The papers, by place.
    pub(super) paper: List<usize>,
    /// Whether a new pupil learns the keys first.
    pub(super) learn: List<bool>,
    /// Whether the pupil practises instead of sitting a paper.
    pub(super) practice: List<bool>,
    /// The pupils with past sittings, by place.
    pub(super) past_pupil: List<usize>,
    /// The chosen pupil's sittings, by place among all.
    pub(super) past: List<usize>,
    pub(super) alias: String,
}

/// The start page as it stands: see [`Start::press`] for what goes in and comes out.
#[derive(Clone, Debug)]
pub struct Start {
    pub(super) offer: Offer,
    /// Every pupil known, by list or by a sitting.
    pub(super) pupils: Vec<Alias>,
    pub(super) page: Stage,
    /// Whether the help shows instead.
    pub(super) help: bool,
    pub(super) lists: Lists,
    /// The pupil chosen, by place in the list.
    pub(super) pupil: usize,
    pub(super) form: Option<Form>,
    pub(super) scroll: usize,
    pub(super) asked: Asked,
    pub(super) message: Option<Message>,
}

impl Start {
    /// The first page. Nobody's open sitting is chosen beforehand: whoever comes next may be
    /// another pupil.
    pub fn new(offer: Offer) -> Self {
        let pupils = offer.listed_pupils();
        let mut start = Self {
            offer,
            pupils,
            page: Stage::Pupil,
            help: false,
            lists: Lists::default(),
            pupil: 0,
            form: None,
            scroll: 0,
            asked: Asked::Nothing,
            message: None,
        };
        start.lists.paper = List::new((0..start.offer.papers.len()).collect());
        start.lists.learn = List::new(vec![false, true]);
        start.lists.practice = List::new(vec![false, true]);
        start.list_pupils(0);
        start
    }

    /// Opens at what is read out before the clock starts; Esc goes back to the arrangements.
    pub fn at_read_out(offer: Offer, seating: &Seating) -> Self {
        let mut start = Self::new(offer).with_pupil(&seating.pupil);
        let papers = &start.offer.papers;
        let at = papers
            .iter()
            .position(|offer| offer.path == seating.paper)
            .unwrap_or_default();
        start.lists.paper = List::on((0..papers.len()).collect(), at);
        let has_key = start.paper_offer().is_some_and(|offer| offer.has_key);
        start.form = start
            .paper()
            .map(|paper| Form::arranged(paper, has_key, seating, start.registered().is_some()));
        start.turn_to(if start.form.is_some() {
            Stage::ReadOut
        } else {
            Stage::Paper
        });
        start
    }

    /// Opens at the papers, with a pupil chosen.
    pub fn at_papers(offer: Offer, pupil: &Alias) -> Self {
        let mut start = Self::new(offer).with_pupil(pupil);
        start.turn_to(Stage::Paper);
        start
    }

    /// Opens at a pupil's open sittings, or at the papers where there is none.
    pub fn at_open_sittings(offer: Offer, pupil: &Alias) -> Self {
        let mut start = Self::new(offer).with_pupil(pupil);
        start.pupil_chosen(start.pupil);
        start
    }

    fn with_pupil(mut self, pupil: &Alias) -> Self {
        let place = self.pupils.binary_search(pupil).unwrap_or_else(|place| {
            self.pupils.insert(place, pupil.clone());
            place
        });
        self.pupil = place;
        self.list_pupils(place);
        self
    }

    /// Lists the pupils anew, with one of them chosen.
    fn list_pupils(&mut self, at: usize) {
        let mut rows: Vec<_> = (0..self.pupils.len()).map(HomeRow::Pupil).collect();
        rows.push(HomeRow::NewAlias);
        if !self.offer.past.is_empty() && !self.is_shared() {
            rows.push(HomeRow::Past);
        }
        if !self.offer.notices.is_empty() && !self.is_shared() {
            rows.push(HomeRow::Notices);
        }
        rows.push(HomeRow::Quit);
        self.lists.home = List::on(rows, at);
        let has_past = |pupil: &Alias| self.offer.past.iter().any(|past| past.pupil == *pupil);
        let pupils = self.pupils.iter().enumerate();
        let past = pupils.filter_map(|(place, pupil)| has_past(pupil).then_some(place));
        self.lists.past_pupil = List::new(past.collect());
    }

    /// Whether nothing of one pupil is shown to the next.
    pub(super) fn is_shared(&self) -> bool {
        let register = self.offer.register.as_ref();
        register.is_some_and(|register| register.shared_machine)
    }

    /// What the tutor has arranged for the chosen pupil.
    pub(super) fn registered(&self) -> Option<&Registered> {
        self.offer.register.as_ref()?.pupil(self.alias()?)
    }

    /// The arrangements of a paper as the chosen pupil is to have them.
    fn form(&self, paper: &Paper, has_key: bool) -> Form {
        let form = Form::new(paper, has_key);
        match (self.registered(), self.is_shared()) {
            (Some(registered), shared) => form.bound_to(registered, shared),
            (None, true) => form.without_marks(),
            (None, false) => form,
        }
    }

    /// Lists the chosen pupil's open sittings, with one of them chosen.
    pub(super) fn list_open(&mut self, at: usize) {
        let open = self
            .own()
            .filter(|(_, sitting)| sitting.open_in_words().is_some());
        let rows = open.map(|(place, _)| Some(place)).chain([None]);
        self.lists.go_on = List::on(rows.collect(), at);
    }

    /// Lists the chosen pupil's sittings.
    pub(super) fn list_past(&mut self) {
        self.lists.past = List::new(self.own().map(|(place, _)| place).collect());
    }

    /// Whether a sitting's file is among those that are offered.
    pub fn offers(&self, session: &Path) -> bool {
        self.offer.past.iter().any(|past| past.path == session)
    }

    /// Says on the page what could not be done with the last choice.
    pub fn trouble(&mut self, text: impl Into<String>) {
        self.message = Some(Message::Trouble(text.into()));
    }

    /// What a row of the first page is called.
    pub(super) fn home_name(&self, row: HomeRow) -> String {
        row.name(&self.pupils)
    }

    /// The pupil chosen.
    pub(super) fn alias(&self) -> Option<&Alias> {
        self.pupils.get(self.pupil)
    }

    /// The chosen pupil's sittings, each with its place among all.
    fn own(&self) -> impl Iterator<Item = (usize, &PastSitting)> {
        let alias = self.alias();
        let all = self.offer.past.iter().enumerate();
        all.filter(move |(_, sitting)| Some(&sitting.pupil) == alias)
    }

    /// The chosen pupil's sittings.
    pub(super) fn past(&self) -> impl Iterator<Item = &PastSitting> {
        self.own().map(|(_, sitting)| sitting)
    }

    /// The open sittings that are offered.
    pub(super) fn open_sittings(&self) -> Vec<&PastSitting> {
        let rows = self.lists.go_on.rows().iter();
        rows.filter_map(|place| self.offer.past.get((*place)?))
            .collect()
    }

    /// The open sitting that going on would take up.
    pub(super) fn open_chosen(&self) -> Option<&PastSitting> {
        self.offer.past.get((*self.lists.go_on.chosen()?)?)
    }

    /// How many questions the chosen pupil can practise today.
    pub(super) fn due(&self) -> Option<usize> {
        self.offer.due(self.alias()?)
    }

    /// The alias chosen, as text.
    pub(super) fn who(&self) -> &str {
        self.alias().map_or("", |alias| alias.as_str())
    }

    /// The paper chosen, by its row.
    pub(super) fn paper_offer(&self) -> Option<&PaperOffer> {
        self.offer.papers.get(*self.lists.paper.chosen()?)
    }

    /// The paper chosen, where it can be read.
    pub(super) fn paper(&self) -> Option<&Paper> {
        self.paper_offer()?.paper.as_ref().ok()
    }

    /// Goes to another page, from its top.
    pub(super) fn turn_to(&mut self, page: Stage) {
        self.page = page;
        self.scroll = 0;
    }

    /// Goes on from the pupil: to an open sitting, or to the papers.
    pub(super) fn pupil_chosen(&mut self, pupil: usize) {
        self.pupil = pupil;
        self.list_open(0);
        let is_new = self.alias().is_some_and(|alias| !self.offer.has_met(alias));
        self.turn_to(match self.open_sittings().is_empty() {
            true if is_new => Stage::Learn,
            true if self.due().is_some() => Stage::Practice,
            true => Stage::Paper,
            false => Stage::GoOn,
        });
    }

    /// Takes the alias typed: a new one, or one there is already.
    pub(super) fn alias_typed(&mut self) {
        match Alias::new(&self.lists.alias) {
            Err(_) if self.lists.alias.is_empty() => {
                self.message = Some(Message::Trouble(words::TYPE_ALIAS.to_owned()));
            }
            Err(no) => self.message = Some(Message::Trouble(no.to_string())),
            Ok(alias) => {
                let same = self.pupils.iter().position(|own| own.is_same(&alias));
                // On a shared machine a pupil may have sittings and no row.
                let sat = self.offer.past.iter().map(|sitting| &sitting.pupil);
                let sat = sat.filter(|own| own.is_same(&alias)).max().cloned();
                let alias = sat.unwrap_or(alias);
                let place = if let Some(place) = same {
                    let own = self.pupils.get(place).map_or("", |own| own.as_str());
                    self.message = Some(Message::Notice(words::alias_known(own)));
                    place
                } else {
                    let place = self.pupils.partition_point(|own| *own < alias);
                    self.pupils.insert(place, alias);
                    place
                };
                self.lists.alias.clear();
                self.list_pupils(place);
                self.pupil_chosen(place);
            }
        }
    }

    /// Goes on from the paper, where it can be read; choosing another paper starts the
    /// arrangements anew.
    pub(super) fn paper_chosen(&mut self) {
        let offer = self.paper_offer();
        let has_key = offer.is_some_and(|offer| offer.has_key);
        match offer.map(|offer| &offer.paper) {
            None => {}
            Some(Err(_)) => {
                let text = words::PAPER_CANNOT_BE_READ;
                self.message = Some(Message::Trouble(text.to_owned()));
            }
            Some(Ok(paper)) => {
                let form = self.form(paper, has_key);
                self.form.get_or_insert(form);
                self.turn_to(Stage::Arrange);
            }
        }
    }

    /// The new sitting as chosen.
    pub(super) fn seating(&self) -> Option<Choice> {
        let form = self.form.as_ref()?;
        Some(Choice::Sit(Box::new(Seating {
            pupil: self.alias()?.clone(),
            paper: self.paper_offer()?.path.clone(),
            minutes: form.minutes,
            arrangements: form.arrangements(),
            marks_at_end: form.marks == Some(true),
        })))
    }
}
