//! What the start page offers: papers, pupils, past sittings.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use chrono::{DateTime, FixedOffset, NaiveDate};

use crate::analysis::Marks;
use crate::commands::practise::due_today;
use crate::commands::read::{steps_of, unread};
use crate::domain::character::ShownPath as _;
use crate::domain::drill::DrillKind;
use crate::domain::event::Ending;
use crate::domain::header::{Alias, Mode};
use crate::domain::key::Key;
use crate::domain::paper::Paper;
use crate::domain::register::{Register, Registered};
use crate::domain::sitting::Phase;
use crate::domain::standing::Use;
use crate::domain::step::Step;
use crate::domain::time::Elapsed;
use crate::screens::start::{Offer, PaperOffer, PastSitting, PastState};
use crate::season::familiarity::Questions;
use crate::season::step::open_step;
use crate::storage::catalogue::{Catalogue, PaperFile};
use crate::storage::journal::{self, Heartbeat, Record};

/// The step that is read out to a pupil before a sitting, where the register says so and one is open. On a shared
/// machine none is: it tells of a past sitting.
pub(in crate::commands) fn step_read_out(
    catalogue: &Catalogue,
    register: Option<&Register>,
    pupil: &Alias,
) -> Option<Step> {
    let register = register.filter(|register| !register.shared_machine)?;
    register.pupil(pupil).filter(|own| own.step_read_out)?;
    let own = catalogue.of_pupil(pupil).ok()?;
    let steps = steps_of(catalogue, own.records.iter().map(Arc::as_ref)).ok()?;
    open_step(&steps).cloned()
}

/// The same of everybody in the register.
fn steps_read_out(catalogue: &Catalogue, register: &Register) -> Vec<(Alias, Step)> {
    let pupils = register.pupils.iter();
    let step = |own: &Registered| {
        let step = step_read_out(catalogue, Some(register), &own.alias)?;
        Some((own.alias.clone(), step))
    };
    pupils.filter_map(step).collect()
}

/// For the start page when pupil and paper are settled: nothing else to look through.
pub(in crate::commands) fn offer_for(
    pupil: &Alias,
    path: &Path,
    paper: &Paper,
    has_key: bool,
    register: Option<&Register>,
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
        met: vec![pupil.clone()],
        practice: Vec::new(),
        register: register.cloned(),
        plan: None,
        steps: Vec::new(),
        today,
        sessions: sessions.shown().to_string(),
        samples: None,
        notices: Vec::new(),
    }
}

/// Everything for the start page; of the sittings `unmarked` no marks are shown.
pub(in crate::commands) fn offer(
    catalogue: &Catalogue,
    register: Option<&Register>,
    sessions: &Path,
    now: DateTime<FixedOffset>,
    unmarked: &BTreeSet<PathBuf>,
) -> Offer {
    let mut notices = Vec::new();
    let listing = catalogue.listing(sessions).unwrap_or_else(|error| {
        notices.push(error.to_string());
        Arc::default()
    });
    notices.extend(unread(&listing.unreadable));
    // What the tutor has set aside is not gone on with.
    let told = |record: &&Arc<Record>| record.is_closed() || record.is_open();
    let kept = listing.records.iter().filter(told).chain(&listing.damaged);
    let past = kept.map(|record| {
        let kept_back =
            register.is_some_and(|register| !register.shows_marks(&record.header.pupil));
        let shown = !kept_back && !unmarked.contains(&record.path);
        let key = shown.then(|| catalogue.key_of(&record.header.paper).ok());
        let paper = catalogue.paper_of(&record.header.paper);
        past_sitting(record, key.flatten().as_deref(), paper.as_deref(), now)
    });
    let sat = listing.records.iter();
    let mut met: Vec<Alias> = sat.map(|record| record.header.pupil.clone()).collect();
    met.extend(journal::who_tried(sessions, DrillKind::Keys));
    let is_shared = register.is_some_and(|register| register.shared_machine);
    let is_told =
        |sitting: &PastSitting| !is_shared || matches!(sitting.state, PastState::Open { .. });
    let past: Vec<_> = past.filter(is_told).collect();
    let registered = register.iter().flat_map(|register| &register.pupils);
    let allowed = registered.map(|pupil| &pupil.alias);
    let allowed =
        allowed.filter(|pupil| register.is_some_and(|register| register.offers_practice(pupil)));
    let due = allowed.map(|pupil| {
        let due = due_today(catalogue, sessions, pupil, now.date_naive());
        (pupil.clone(), due)
    });
    let practice = due.filter(|(_, due)| *due > 0).collect();
    let pupils: BTreeSet<Alias> = past.iter().map(|sitting| sitting.pupil.clone()).collect();
    Offer {
        pupils: pupils.into_iter().collect(),
        papers: papers(catalogue),
        past,
        met,
        practice,
        register: register.cloned(),
        plan: None,
        steps: register.map_or_else(Vec::new, |register| steps_read_out(catalogue, register)),
        today: now.date_naive(),
        sessions: sessions.shown().to_string(),
        samples: None,
        notices,
    }
}

/// The papers at hand.
pub(super) fn papers(catalogue: &Catalogue) -> Vec<PaperOffer> {
    let files = catalogue.papers().iter();
    files.map(|file| offered(catalogue, file)).collect()
}

fn offered(catalogue: &Catalogue, file: &PaperFile) -> PaperOffer {
    let paper = file.paper.as_deref();
    PaperOffer {
        paper: paper.cloned().map_err(ToString::to_string),
        path: file.path.clone(),
        has_key: paper.is_ok_and(|paper| catalogue.key_of(&paper.outline).is_ok()),
    }
}

fn past_sitting(
    record: &Record,
    key: Option<&Key>,
    paper: Option<&Paper>,
    now: DateTime<FixedOffset>,
) -> PastSitting {
    let open = record.is_open() && record.header.mode == Mode::Timed;
    let beat = open.then(|| Heartbeat::last(&record.path)).flatten();
    let sitting = record.sitting_at(beat.as_ref());
    let in_time = sitting
        .rows()
        .iter()
        .filter(|row| row.in_time.is_some())
        .count();
    let state = if open {
        let alive = record.last_alive(beat.as_ref());
        let away = (now.to_utc() - alive.utc).num_milliseconds();
        let away = Elapsed(u64::try_from(away).unwrap_or_default());
        let used = if sitting.absence_counts() {
            alive.elapsed + away
        } else {
            alive.elapsed
        };
        PastState::Open {
            left: sitting.left(used),
            on_break: sitting.phase() == Phase::OnBreak,
            answers: in_time,
            away,
            sound_until: record.sound_until(),
        }
    } else {
        let asks = record.standing().bars(Use::Evidence).is_none();
        let marks = key.filter(|_| asks);
        let marks = marks.and_then(|key| Marks::of(&sitting, key, &record.header.paper).ok());
        let marks = marks.map(|marks| marks.totals());
        PastState::Over {
            given_up: sitting.phase() == Phase::Closed(Ending::Abandoned),
            blanks_in_time: sitting.rows().len() - in_time,
            marks,
        }
    };
    PastSitting {
        pupil: record.header.pupil.clone(),
        date: record.header.started.date_naive(),
        paper: record.header.paper.title.clone(),
        questions: if record.is_set_aside() {
            Questions::default()
        } else {
            Questions::of_sitting(&record.header, paper)
        },
        state,
        path: record.path.clone(),
        invented: record.header.invented,
    }
}
