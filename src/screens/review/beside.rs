//! Another sitting, or the group's median, beside the open one: which, and the two together.

use std::path::PathBuf;

use super::compare;
use super::listed::{Listed, State};
use super::request::Request;
use super::study::Study;
use crate::screens::kit::{List, Move, PageWriter};
use crate::words::numbers::plain;
use crate::words::review;

/// The most sittings that are offered.
const MOST: usize = 500;

/// What may be put beside the open sitting.
#[derive(Clone, Debug, PartialEq, Eq)]
enum Offered {
    /// The median of its group, of so many people.
    Group(usize),
    /// A sitting, and what is said of it.
    Sitting { path: PathBuf, words: String },
}

/// What is said of a sitting that nobody sat.
fn made(row: &Listed) -> &'static str {
    let invented = row.summary().is_some_and(|own| own.version.invented);
    if invented { "  invented data" } else { "" }
}

/// What stands beside the open sitting.
#[derive(Clone, Debug, Default)]
enum Other {
    /// Nothing yet: one is being chosen.
    #[default]
    Choosing,
    /// The group's median.
    Group,
    /// Another sitting.
    Sitting(Box<Study>),
}

/// The choice, and what was chosen.
#[derive(Clone, Debug, Default)]
pub(super) struct Beside {
    offered: List<Offered>,
    other: Other,
}

impl Beside {
    /// Offers these sittings.
    pub(super) fn offering(rows: Vec<&Listed>) -> Self {
        let offered = rows.into_iter().take(MOST).map(|row| {
            let mark = match &row.state {
                State::Read(summary) => summary.marks.map(|marks| plain(marks.in_time)),
                State::Waiting | State::Wrong(_) => None,
            };
            let mark = mark.map_or_else(String::new, |mark| format!("  mark {mark}"));
            Offered::Sitting {
                path: row.path.clone(),
                words: format!(
                    "{}  {}  {}{mark}{}",
                    row.pupil,
                    row.when_in_a_table(),
                    row.paper,
                    made(row)
                ),
            }
        });
        Self {
            offered: List::new(offered.collect()),
            ..Self::default()
        }
    }

    /// Offers the group's median before the sittings.
    pub(super) fn offer_group(&mut self, people: usize) {
        let rows = self.offered.rows().iter();
        let sittings = rows.filter(|row| matches!(row, Offered::Sitting { .. }));
        let rows = std::iter::once(Offered::Group(people)).chain(sittings.cloned());
        self.offered.show(rows.collect());
    }

    pub(super) const fn is_choosing(&self) -> bool {
        matches!(self.other, Other::Choosing)
    }

    /// Chooses anew.
    pub(super) fn choose(&mut self) {
        self.other = Other::Choosing;
    }

    /// Puts a sitting beside.
    pub(super) fn show(&mut self, study: Study) {
        self.other = Other::Sitting(Box::new(study));
    }

    pub(super) fn study_mut(&mut self) -> Option<&mut Study> {
        match &mut self.other {
            Other::Sitting(study) => Some(study),
            Other::Choosing | Other::Group => None,
        }
    }

    /// Moves to another of what is offered.
    pub(super) fn go(&mut self, by: Move, page: usize) {
        self.offered.go(by, page);
    }

    /// Takes what is chosen; a sitting has to be opened first.
    pub(super) fn take(&mut self) -> Option<Request> {
        match self.offered.chosen()? {
            Offered::Group(_) => {
                self.other = Other::Group;
                None
            }
            Offered::Sitting { path, .. } => Some(Request::Beside(path.clone())),
        }
    }

    pub(super) fn write(&self, ink: &mut PageWriter, study: &Study) {
        match &self.other {
            Other::Choosing => self.write_choice(ink),
            Other::Group => compare::with_group(ink, study),
            Other::Sitting(other) => compare::with_sitting(ink, study, other),
        }
    }

    fn write_choice(&self, ink: &mut PageWriter) {
        ink.plain(review::WHAT_BESIDE);
        ink.pin();
        if self.offered.rows().is_empty() {
            ink.text(review::NOTHING_BESIDE);
        }
        for (index, offered) in self.offered.rows().iter().enumerate() {
            let chosen = index == self.offered.at();
            match offered {
                Offered::Group(people) => {
                    ink.row(chosen, &review::the_groups_median(*people), "");
                }
                Offered::Sitting { words, .. } => ink.row(chosen, words, ""),
            }
        }
    }
}
