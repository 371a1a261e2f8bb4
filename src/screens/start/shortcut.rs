//! The start page for someone who has already said who sits what.

use super::form::Form;
use super::model::{Page, Start};
use super::offer::{Offer, Seating};
use super::picker::Picker;
use crate::domain::header::Alias;

impl Start {
    /// Opens at what is read out before the clock starts; Esc goes back to the arrangements.
    pub fn at_read_out(offer: Offer, seating: &Seating) -> Self {
        let mut start = Self::new(offer).with_pupil(&seating.pupil);
        let papers = &start.offer.papers;
        let at = papers
            .iter()
            .position(|offer| offer.path == seating.paper)
            .unwrap_or_default();
        start.picks.paper = Picker::on(at);
        let has_key = start.paper_offer().is_some_and(|offer| offer.has_key);
        start.form = start
            .paper()
            .map(|paper| Form::arranged(paper, has_key, seating));
        start.turn_to(if start.form.is_some() {
            Page::ReadOut
        } else {
            Page::Paper
        });
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
        self.picks.home = Picker::on(place);
        self
    }
}
