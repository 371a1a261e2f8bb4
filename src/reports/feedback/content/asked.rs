//! What a feedback page is made from.

use chrono::{DateTime, FixedOffset, NaiveDate};

use crate::analysis::{Analysis, Keyed, Marks, Studied};
use crate::domain::header::Header;
use crate::domain::notes::Notes;
use crate::season::practice::PractisedSeason;
use crate::season::step::FollowedStep;

/// What a page is made from.
#[derive(Clone, Copy, Debug)]
pub struct Asked<'a> {
    /// The sitting with its key, and its paper where that is at hand: its questions' first words and
    /// topics.
    pub studied: &'a Studied,
    /// The same pupil's earlier sittings, in any order.
    pub before: &'a [EarlierSitting],
    /// What of the sitting was tried again since, where that was looked for.
    pub practised: Option<&'a PractisedSeason>,
    /// The steps agreed about the pupil's sittings.
    pub steps: &'a [FollowedStep],
    /// Whether answers and workings are wanted.
    pub with_working: bool,
    /// The day of the page.
    pub today: NaiveDate,
}

impl Asked<'_> {
    pub(super) fn header(&self) -> &Header {
        self.studied.header()
    }

    pub(super) fn analysis(&self) -> &Analysis {
        &self.studied.analysis
    }

    /// What the key adds; nothing to a sitting that was given up, which asks for no mark.
    pub(super) fn keyed(&self) -> Option<&Keyed> {
        let keyed = self.studied.keyed.as_ref();
        keyed.filter(|_| self.analysis().came_to_its_end())
    }

    /// The tutor's notes, where there are any.
    pub(super) fn notes(&self) -> Option<&Notes> {
        self.studied.notes.as_ref()
    }

    pub(super) fn marks(&self) -> Option<&Marks> {
        self.keyed().map(|keyed| &keyed.marks)
    }
}

/// What an earlier sitting left blank.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct EarlierSitting {
    /// When it began, for the order.
    pub started: DateTime<FixedOffset>,
    /// Its blanks when time was up, or when it was handed in.
    pub blanks: usize,
    /// Of so many questions.
    pub questions: usize,
}

impl EarlierSitting {
    /// An earlier sitting of the pupil of `now`; nothing for another pupil's, a later one, one that
    /// is still open or one that was given up.
    pub fn of(now: &Header, other: &Analysis) -> Option<Self> {
        let header = other.header();
        let earlier = header.pupil == now.pupil
            && header.sitting != now.sitting
            && header.started < now.started;
        (earlier && other.came_to_its_end()).then(|| Self {
            started: header.started,
            blanks: other.blanks().len(),
            questions: other.questions().len(),
        })
    }
}
