//! The start page's state.

use super::form::Form;
use super::offer::{Choice, Offer, PaperOffer, PastSitting, Seating};
use super::picker::Picker;
use crate::domain::header::Alias;
use crate::domain::paper::Paper;
use crate::screens::frame::Message;

/// Which page shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Page {
    /// Step 1: the pupils, and everything else that can be done.
    Pupil,
    /// Step 1: a new alias is typed.
    NewAlias,
    /// An open sitting is offered.
    GoOn,
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
    /// Whether to start the clock.
    Start,
    /// Whether to go on with the open sitting.
    GoOn,
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

/// Which row is chosen on each page with a list, and the alias typed so far.
#[derive(Clone, Debug, Default)]
pub(super) struct Picks {
    pub(super) home: Picker,
    pub(super) go_on: Picker,
    pub(super) paper: Picker,
    pub(super) past_pupil: Picker,
    pub(super) past: Picker,
    pub(super) alias: String,
}

/// The start page as it stands: see [`Start::press`] for what goes in and comes out.
#[derive(Clone, Debug)]
pub struct Start {
    pub(super) offer: Offer,
    /// Every pupil known, by list or by a sitting.
    pub(super) pupils: Vec<Alias>,
    pub(super) page: Page,
    /// Whether the help shows instead.
    pub(super) help: bool,
    pub(super) picks: Picks,
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
        let mut pupils = offer.pupils.clone();
        for sitting in &offer.past {
            if !pupils.contains(&sitting.pupil) {
                pupils.push(sitting.pupil.clone());
            }
        }
        pupils.sort();
        pupils.dedup();
        Self {
            offer,
            pupils,
            page: Page::Pupil,
            help: false,
            picks: Picks::default(),
            pupil: 0,
            form: None,
            scroll: 0,
            asked: Asked::Nothing,
            message: None,
        }
    }

    /// Says on the page what could not be done with the last choice.
    pub fn trouble(&mut self, text: impl Into<String>) {
        self.message = Some(Message::Trouble(text.into()));
    }

    /// The rows of the first page.
    pub(super) fn home_rows(&self) -> Vec<HomeRow> {
        let mut rows: Vec<_> = (0..self.pupils.len()).map(HomeRow::Pupil).collect();
        rows.push(HomeRow::NewAlias);
        if !self.offer.past.is_empty() {
            rows.push(HomeRow::Past);
        }
        if !self.offer.notices.is_empty() {
            rows.push(HomeRow::Notices);
        }
        rows.push(HomeRow::Quit);
        rows
    }

    /// What a row of the first page is called.
    pub(super) fn home_name(&self, row: HomeRow) -> String {
        match row {
            HomeRow::Pupil(index) => self
                .pupils
                .get(index)
                .map_or_else(String::new, ToString::to_string),
            HomeRow::NewAlias => "New alias".to_owned(),
            HomeRow::Past => "Past sittings".to_owned(),
            HomeRow::Notices => "What could not be read".to_owned(),
            HomeRow::Quit => "Quit".to_owned(),
        }
    }

    /// The pupil chosen.
    pub(super) fn alias(&self) -> Option<&Alias> {
        self.pupils.get(self.pupil)
    }

    /// The chosen pupil's sittings.
    pub(super) fn past(&self) -> impl Iterator<Item = &PastSitting> {
        let alias = self.alias();
        self.offer
            .past
            .iter()
            .filter(move |sitting| Some(&sitting.pupil) == alias)
    }

    /// The pupils with past sittings, by place in the list.
    pub(super) fn past_pupils(&self) -> Vec<usize> {
        let has_past = |pupil: &Alias| self.offer.past.iter().any(|past| past.pupil == *pupil);
        let pupils = self.pupils.iter().enumerate();
        pupils
            .filter_map(|(place, pupil)| has_past(pupil).then_some(place))
            .collect()
    }

    /// The chosen pupil's open sittings.
    pub(super) fn open_sittings(&self) -> Vec<&PastSitting> {
        self.past()
            .filter(|sitting| sitting.open_in_words().is_some())
            .collect()
    }

    /// The open sitting that going on would take up.
    pub(super) fn open_chosen(&self) -> Option<&PastSitting> {
        self.open_sittings().get(self.picks.go_on.at).copied()
    }

    /// The alias chosen, as text.
    pub(super) fn who(&self) -> &str {
        self.alias().map_or("", |alias| alias.as_str())
    }

    /// The paper chosen, by its row.
    pub(super) fn paper_offer(&self) -> Option<&PaperOffer> {
        self.offer.papers.get(self.picks.paper.at)
    }

    /// The paper chosen, where it can be read.
    pub(super) fn paper(&self) -> Option<&Paper> {
        self.paper_offer()?.paper.as_ref().ok()
    }

    /// Goes to another page, from its top.
    pub(super) fn turn_to(&mut self, page: Page) {
        self.page = page;
        self.scroll = 0;
    }

    /// Goes on from the pupil: to an open sitting, or to the papers.
    pub(super) fn pupil_chosen(&mut self, pupil: usize) {
        self.pupil = pupil;
        self.picks.go_on = Picker::default();
        self.turn_to(if self.open_sittings().is_empty() {
            Page::Paper
        } else {
            Page::GoOn
        });
    }

    /// Takes the alias typed: a new one, or one there is already (capitals make no other pupil,
    /// since some disks do not tell them apart).
    pub(super) fn alias_typed(&mut self) {
        match Alias::new(&self.picks.alias) {
            Err(_) if self.picks.alias.is_empty() => {
                self.message = Some(Message::Trouble("Type an alias first.".to_owned()));
            }
            Err(no) => self.message = Some(Message::Trouble(no.to_string())),
            Ok(alias) => {
                let same =
                    |own: &Alias| own.as_str().to_lowercase() == alias.as_str().to_lowercase();
                let place = if let Some(place) = self.pupils.iter().position(same) {
                    self.message = Some(Message::Notice("This alias is known already.".to_owned()));
                    place
                } else {
                    let place = self.pupils.partition_point(|own| *own < alias);
                    self.pupils.insert(place, alias);
                    place
                };
                self.picks.alias.clear();
                self.picks.home = Picker::on(place);
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
                let text = "This paper cannot be read. Its reason stands below its name.";
                self.message = Some(Message::Trouble(text.to_owned()));
            }
            Some(Ok(paper)) => {
                let form = Form::new(paper, has_key);
                self.form.get_or_insert(form);
                self.turn_to(Page::Arrange);
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
