//! What lies on the tutor's desk: papers, keys and past sittings, as the start page offers them.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use chrono::{DateTime, FixedOffset, NaiveDate};

use super::failure::Failure;
use crate::analysis::Marks;
use crate::domain::event::Ending;
use crate::domain::header::{Alias, Mode};
use crate::domain::key::Key;
use crate::domain::paper::{Outline, Paper};
use crate::domain::sitting::Phase;
use crate::domain::time::Elapsed;
use crate::screens::start::{Offer, PaperOffer, PastSitting, PastState};
use crate::storage::files::folders::{self, Found};
use crate::storage::files::{key, paper};
use crate::storage::journal::{self, Beat, Record};

/// A paper by its file, or by its id among those at hand: near the sittings that `sessions` names.
pub(super) fn paper_named(named: &str, sessions: Option<&Path>) -> Result<Paper, Failure> {
    let sessions = folders::sessions_dir(sessions).map_err(Failure::could_not)?;
    let (paper, _file) = Desk::look(&sessions, Some(Path::new(named)))
        .paper(named)
        .map_err(Failure::could_not)?;
    Ok(paper)
}

/// The papers and keys that can be found.
pub(super) struct Desk {
    found: Vec<Found>,
}

impl Desk {
    /// Looks for papers near the sittings, and near `given` where a file was named.
    pub(super) fn look(sessions: &Path, given: Option<&Path>) -> Self {
        Self {
            found: folders::papers_near(sessions, given),
        }
    }

    /// A paper by its file or by its id.
    pub(super) fn paper(&self, named: &str) -> Result<(Paper, PathBuf), String> {
        let path = Path::new(named);
        let is_a_file = path.extension().is_some() || path.components().count() > 1;
        if is_a_file || path.is_file() {
            let paper = paper::load(path).map_err(|trouble| trouble.to_string())?;
            return Ok((paper, path.to_owned()));
        }
        let by_id = self.found.iter().find(|found| {
            let id = found
                .paper
                .as_ref()
                .ok()
                .map(|paper| paper.outline.id.as_str());
            let name = found.path.file_name().and_then(|name| name.to_str());
            id == Some(named) || name == Some(&format!("{named}.paper.ron"))
        });
        match by_id {
            Some(Found {
                paper: Ok(paper),
                path,
            }) => Ok((paper.clone(), path.clone())),
            Some(Found {
                paper: Err(trouble),
                ..
            }) => Err(trouble.to_string()),
            None => Err(format!(
                "there is no paper `{named}` here; give its file, or the id of one of these: {}",
                self.ids()
            )),
        }
    }

    fn ids(&self) -> String {
        let papers = self
            .found
            .iter()
            .filter_map(|found| found.paper.as_ref().ok());
        let ids: BTreeSet<_> = papers.map(|paper| paper.outline.id.as_str()).collect();
        if ids.is_empty() {
            "none found".to_owned()
        } else {
            ids.into_iter().collect::<Vec<_>>().join(", ")
        }
    }

    /// The paper of a sitting, in the very version that was sat.
    pub(super) fn paper_of(&self, outline: &Outline) -> Option<&Paper> {
        let papers = self
            .found
            .iter()
            .filter_map(|found| found.paper.as_ref().ok());
        papers.into_iter().find(|paper| {
            paper.outline.id == outline.id && paper.outline.fingerprint == outline.fingerprint
        })
    }

    /// A key for that paper, if one lies beside a paper of its id and fits.
    pub(super) fn key_of(&self, outline: &Outline) -> Option<Key> {
        let same_id = |found: &&Found| {
            found
                .paper
                .as_ref()
                .is_ok_and(|paper| paper.outline.id == outline.id)
        };
        let keys = self
            .found
            .iter()
            .filter(same_id)
            .filter_map(|found| folders::key_beside(&found.path));
        keys.filter_map(|path| key::load(&path).ok())
            .find(|key| key.fits(outline).is_ok())
    }

    /// For the start page when pupil and paper are settled: nothing else to look through.
    pub(super) fn offer_for(
        pupil: &Alias,
        path: &Path,
        paper: &Paper,
        has_key: bool,
        sessions: &Path,
        today: NaiveDate,
    ) -> Offer {
        let only = PaperOffer {
            paper: Ok(paper.clone()),
            path: path.to_owned(),
            has_key,
        };
        Offer {
            pupils: vec![pupil.clone()],
            papers: vec![only],
            past: Vec::new(),
            today,
            sessions: sessions.display().to_string(),
            notices: Vec::new(),
        }
    }

    /// Everything for the start page; of the sittings `unmarked` no marks are shown.
    pub(super) fn offer(
        &self,
        sessions: &Path,
        now: DateTime<FixedOffset>,
        unmarked: &BTreeSet<PathBuf>,
    ) -> Offer {
        let mut notices = Vec::new();
        let listing = journal::list(sessions).unwrap_or_else(|error| {
            notices.push(error.to_string());
            journal::Listing::default()
        });
        notices.extend(
            listing
                .unreadable
                .iter()
                .map(|(_, reason)| reason.to_string()),
        );
        let mut keys = BTreeMap::new();
        let past = listing.records.iter().map(|record| {
            let paper = &record.header.paper;
            let version = (paper.id.clone(), paper.fingerprint.to_string());
            let key = keys.entry(version).or_insert_with(|| self.key_of(paper));
            let shown = !unmarked.contains(&record.path);
            past_sitting(record, key.as_ref().filter(|_| shown), now)
        });
        let past: Vec<_> = past.collect();
        let pupils: BTreeSet<Alias> = past.iter().map(|sitting| sitting.pupil.clone()).collect();
        Offer {
            pupils: pupils.into_iter().collect(),
            papers: self.found.iter().map(offered).collect(),
            past,
            today: now.date_naive(),
            sessions: sessions.display().to_string(),
            notices,
        }
    }
}

fn offered(found: &Found) -> PaperOffer {
    PaperOffer {
        paper: found.paper.clone().map_err(|trouble| trouble.to_string()),
        path: found.path.clone(),
        has_key: folders::key_beside(&found.path).is_some(),
    }
}

fn past_sitting(record: &Record, key: Option<&Key>, now: DateTime<FixedOffset>) -> PastSitting {
    let sitting = record.sitting();
    let in_time = sitting
        .rows()
        .iter()
        .filter(|row| row.in_time.is_some())
        .count();
    let open = !sitting.is_closed() && record.header.mode == Mode::Timed;
    let state = if open {
        let alive = record.last_alive(Beat::last(&record.path).as_ref());
        let away = (now.to_utc() - alive.utc).num_milliseconds();
        let away = Elapsed(u64::try_from(away).unwrap_or_default());
        let used = if record.header.arrangements.away_counts {
            alive.elapsed + away
        } else {
            alive.elapsed
        };
        PastState::Open {
            left: sitting.left(used),
            answers: in_time,
            away,
        }
    } else {
        let asks = !matches!(sitting.phase(), Phase::Closed(Ending::Abandoned));
        let marks = key.filter(|_| asks);
        let marks = marks.and_then(|key| Marks::of(&sitting, key, &record.header.paper).ok());
        let marks = marks.map(|marks| marks.totals());
        PastState::Over {
            blanks_at_time_up: sitting.rows().len() - in_time,
            marks,
        }
    };
    PastSitting {
        pupil: record.header.pupil.clone(),
        date: record.header.started.date_naive(),
        paper: record.header.paper.title.clone(),
        state,
        path: record.path.clone(),
        invented: record.header.invented,
    }
}
