//! How rows are ordered: sittings in the list, questions on their pages.

use std::cmp::Ordering;

use super::listed::Listed;

/// What the list is sorted by.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) enum SortBy {
    /// The newest first.
    #[default]
    Date,
    /// By alias, then the newest first.
    Pupil,
    /// By title, then the newest first.
    Paper,
    /// The best share of the maximum first; without a mark last.
    Mark,
}

impl SortBy {
    const ALL: [Self; 4] = [Self::Date, Self::Pupil, Self::Paper, Self::Mark];

    /// The word for it.
    pub(super) const fn word(self) -> &'static str {
        match self {
            Self::Date => "date",
            Self::Pupil => "pupil",
            Self::Paper => "paper",
            Self::Mark => "mark",
        }
    }

    /// The next, or the one before.
    pub(super) fn turn(self, forwards: bool) -> Self {
        let many = Self::ALL.len();
        let at = Self::ALL.iter().position(|own| *own == self).unwrap_or(0);
        let next = (at + if forwards { 1 } else { many - 1 }) % many;
        Self::ALL.get(next).copied().unwrap_or_default()
    }

    /// Which of two rows comes first.
    pub(super) fn order(self, one: &Listed, other: &Listed) -> Ordering {
        let newest = || other.when.cmp(&one.when);
        let first = match self {
            Self::Date => newest(),
            Self::Pupil => one.pupil.cmp(&other.pupil),
            Self::Paper => one.paper.cmp(&other.paper),
            Self::Mark => match (one.share(), other.share()) {
                (Some(own), Some(their)) => their.total_cmp(&own),
                (own, their) => their.is_some().cmp(&own.is_some()),
            },
        };
        let rest = || newest().then_with(|| one.path.cmp(&other.path));
        first.then_with(rest)
    }
}

/// How the questions of the time page are ordered.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) enum QuestionsBy {
    /// As on the paper.
    #[default]
    Number,
    /// The longest first.
    Time,
}

/// What the time on a question is held against.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) enum TimesAgainst {
    /// The pace plan, or an even share of the time where there is none.
    #[default]
    Plan,
    /// The group's median.
    Group,
}
