//! Who of a group has sat a paper, and who has met its questions elsewhere.

use std::collections::BTreeMap;

use chrono::{DateTime, FixedOffset};

use super::familiarity::{Familiarity, Questions};
use crate::domain::header::{Alias, Header, Mode};
use crate::domain::paper::Paper;
use crate::domain::standing::Exclusion;

/// A sitting as far as it shows its pupil questions.
#[derive(Clone, Debug)]
pub struct Met {
    /// What was settled before it.
    pub header: Header,
    /// The questions that it asked.
    pub questions: Questions,
    /// Why it counts in no figure, where it was withdrawn: the questions were met all the same.
    pub withdrawn: Option<Exclusion>,
}

/// One sitting of a paper.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SatBy {
    /// Whose it is.
    pub pupil: Alias,
    /// When it started.
    pub started: DateTime<FixedOffset>,
    /// The sitting's id.
    pub sitting: String,
    /// Whether it was done on paper and typed in.
    pub typed_in: bool,
    /// Why it counts in no figure, where it was withdrawn.
    pub withdrawn: Option<Exclusion>,
}

/// What a group knows of a paper.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Exposure {
    /// Its sittings, the earliest first.
    pub sat: Vec<SatBy>,
    /// The pupils who have met at least one of its questions, on whatever paper.
    pub met: Vec<(Alias, Familiarity)>,
}

impl Exposure {
    /// What the pupils of these sittings know of a paper: sittings of its id, and questions by their words, practised
    /// ones too.
    pub fn of(paper: &Paper, sittings: &[Met], practised: &[(Alias, Questions)]) -> Self {
        let of_paper = sittings
            .iter()
            .filter(|one| one.header.paper.id == paper.outline.id);
        let mut sat: Vec<_> = of_paper.map(SatBy::of).collect();
        sat.sort_by(|one, other| {
            (one.started, &one.pupil, &one.sitting).cmp(&(
                other.started,
                &other.pupil,
                &other.sitting,
            ))
        });
        let mut by_pupil = BTreeMap::<&Alias, Vec<&Questions>>::new();
        for one in sittings {
            by_pupil
                .entry(&one.header.pupil)
                .or_default()
                .push(&one.questions);
        }
        for (pupil, questions) in practised {
            by_pupil.entry(pupil).or_default().push(questions);
        }
        let now = Questions::of_paper(paper);
        let met = by_pupil.into_iter().map(|(pupil, earlier)| {
            let familiarity = Familiarity::of(&now, earlier);
            (pupil.clone(), familiarity)
        });
        Self {
            sat,
            met: met.filter(|(_, own)| own.met > 0).collect(),
        }
    }

    /// Whether nobody has met any of its questions.
    pub const fn is_new(&self) -> bool {
        self.sat.is_empty() && self.met.is_empty()
    }
}

impl SatBy {
    fn of(met: &Met) -> Self {
        let header = &met.header;
        Self {
            pupil: header.pupil.clone(),
            started: header.started,
            sitting: header.sitting.clone(),
            typed_in: header.mode == Mode::Entered,
            withdrawn: met.withdrawn,
        }
    }
}
