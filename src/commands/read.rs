//! Sittings as they were read, folded and held against their keys.

use std::cmp::Reverse;
use std::collections::btree_map::Entry as Entries;
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::failure::Failure;
use crate::analysis::evidence::Evidence;
use crate::analysis::{Analysis, Studied};
use crate::cohort::entry::Entry;
use crate::domain::abridged::Abridged;
use crate::domain::header::{Alias, INVENTED};
use crate::domain::key::Key;
use crate::domain::notes::Notes;
use crate::domain::paper::{Outline, Paper};
use crate::domain::practice::{PaperQuestion, RoundQuestion};
use crate::domain::standing::{Exclusion, Standing, Use, is_short};
use crate::domain::thresholds::Thresholds;
use crate::season::estimate::Estimates;
use crate::season::familiarity::MetInPractice;
use crate::season::hindsight::{LookBack, Papers, RECENT, TrackRecord};
use crate::season::practice::PractisedSeason;
use crate::season::step::{FollowedStep, judged_by, steps};
use crate::storage::catalogue::{Catalogue, Meant, folder_of};
use crate::storage::cores;
use crate::storage::files::{key, notes};
use crate::storage::journal::{
    self, Copied, Decided, JournalError, Listing, PracticeRead, Record, practice_of,
};
use crate::words::result::BlanksLastTime;
use crate::words::standing::{
    self, CopiedFile, MOST_UNREAD, copied, how_many_count, left_out_of_others, left_out_of_season,
    more_unread, none_marked, note, note_left_out, note_unread, without_key,
};
use crate::words::step::agreed;

/// What the log of a record tells, judged by these thresholds.
pub(super) fn analysis(record: &Record, limits: &Arc<Thresholds>) -> Analysis {
    let header = Arc::new(record.header.clone());
    let analysis = Analysis::of(header, record.events.as_slice().into(), Arc::clone(limits));
    analysis.withdrawn(record.withdrawn)
}

/// A record with the key and the paper that the catalogue has for it.
pub(super) fn studied(catalogue: &Catalogue, record: &Record, limits: &Arc<Thresholds>) -> Studied {
    let key = catalogue.key_of(&record.header.paper).ok();
    Studied {
        paper: catalogue.paper_of(&record.header.paper),
        ..Studied::new(analysis(record, limits), key)
    }
}

/// What a pupil's sittings and practice say of single questions, and what of the practice could not be read.
pub(super) fn practised<'a>(
    catalogue: &Catalogue,
    read: &PracticeRead,
    sittings: impl IntoIterator<Item = &'a Studied>,
) -> (PractisedSeason, Vec<String>) {
    let season = PractisedSeason::of(sittings, &read.logs, &|which| {
        round_question(catalogue, which)
    });
    let unread = read.unread.iter().map(ToString::to_string).collect();
    (season, unread)
}

/// A question with its paper and key, where both are at hand.
pub(super) fn round_question(
    catalogue: &Catalogue,
    which: &PaperQuestion,
) -> Option<RoundQuestion> {
    let paper = catalogue.paper_version(&which.paper_id())?;
    let key = catalogue.key_of(&paper.outline).ok()?;
    Some(RoundQuestion {
        which: which.clone(),
        outline: Arc::new(paper.outline.clone()),
        paper: Some(paper),
        key,
    })
}

/// A record with this key alone, as its pupil may see it.
///
/// # Errors
/// Thresholds that cannot be used.
pub(super) fn seen_with(
    catalogue: &Catalogue,
    record: &Record,
    key: Option<Arc<Key>>,
) -> Result<Studied, Failure> {
    let limits = catalogue.limits_for(&record.path);
    let limits = limits.map_err(Failure::could_not)?;
    Ok(Studied::new(analysis(record, &limits), key))
}

/// The steps agreed about the sittings of a record's pupil, in the folder of sittings that was named or that has it,
/// else in its own; see [`steps_of`].
///
/// # Errors
/// A folder that cannot be looked into, or thresholds that cannot be used.
pub(super) fn steps_beside(
    catalogue: &Catalogue,
    record: &Record,
) -> Result<Vec<FollowedStep>, Failure> {
    let folder = folder_with_steps(catalogue, record);
    steps_among(catalogue, record, &*catalogue.listing(&folder)?)
}

/// The folder in whose sittings the steps of a record's pupil are looked for.
fn folder_with_steps(catalogue: &Catalogue, record: &Record) -> PathBuf {
    let usual = catalogue.sessions().ok();
    let usual =
        usual.filter(|dir| catalogue.given_sessions().is_some() || record.path.starts_with(dir));
    usual.map_or_else(|| folder_of(&record.path), Path::to_owned)
}

/// The steps agreed about several pupils' sittings: each pupil's are worked out once, however many of their sittings are
/// asked about.
#[derive(Default)]
pub(super) struct StepsOfPupils {
    folders: BTreeMap<PathBuf, BTreeMap<Alias, OnePupilsSteps>>,
}

#[derive(Default)]
struct OnePupilsSteps {
    own: Vec<Arc<Record>>,
    /// Once they were asked for.
    steps: Option<Vec<FollowedStep>>,
}

impl StepsOfPupils {
    /// The same as [`steps_beside`].
    ///
    /// # Errors
    /// The same.
    pub(super) fn beside(
        &mut self,
        catalogue: &Catalogue,
        record: &Record,
    ) -> Result<Vec<FollowedStep>, Failure> {
        let folder = folder_with_steps(catalogue, record);
        let listing = catalogue.listing(&folder)?;
        let pupils = match self.folders.entry(folder) {
            Entries::Occupied(known) => known.into_mut(),
            Entries::Vacant(new) => {
                let mut pupils = BTreeMap::<Alias, OnePupilsSteps>::new();
                for own in &listing.records {
                    let pupil = pupils.entry(own.header.pupil.clone()).or_default();
                    pupil.own.push(Arc::clone(own));
                }
                new.insert(pupils)
            }
        };
        let is_it = |own: &Arc<Record>| {
            own.path == record.path
                && own.header.sitting == record.header.sitting
                && own.events.len() == record.events.len()
        };
        let pupil = pupils.get_mut(&record.header.pupil);
        let Some(pupil) = pupil.filter(|pupil| pupil.own.iter().any(is_it)) else {
            return steps_among(catalogue, record, &listing);
        };
        if let Some(steps) = &pupil.steps {
            return Ok(steps.clone());
        }
        let steps = steps_of(catalogue, pupil.own.iter().map(Arc::as_ref))?;
        pupil.steps = Some(steps.clone());
        Ok(steps)
    }
}

/// The same as the files are now, in the record's own folder: whoever looks at one sitting after another does not
/// wait for everybody's.
///
/// # Errors
/// A folder that cannot be looked into, or thresholds that cannot be used.
pub(super) fn steps_near(
    catalogue: &Catalogue,
    record: &Record,
) -> Result<Vec<FollowedStep>, Failure> {
    steps_among(catalogue, record, &journal::list(&folder_of(&record.path))?)
}

fn steps_among(
    catalogue: &Catalogue,
    record: &Record,
    listing: &Listing,
) -> Result<Vec<FollowedStep>, Failure> {
    let pupil = &record.header.pupil;
    let others = listing.records.iter().map(Arc::as_ref);
    let others = others.filter(|own| own.header.pupil == *pupil);
    // The listing may be older than the sitting's end.
    let others = others.filter(|own| own.header.sitting != record.header.sitting);
    steps_of(catalogue, others.chain([record]))
}

/// What became of the step that a sitting judged, in words; nothing where it judged none, or on a shared machine, which
/// tells of no past sittings.
pub(super) fn step_judged(catalogue: &Catalogue, record: &Record) -> Option<String> {
    let register = catalogue.register().ok().flatten();
    if register.is_some_and(|register| register.shared_machine) {
        return None;
    }
    let steps = steps_beside(catalogue, record).ok()?;
    judged_by(&steps, &record.header.sitting).map(agreed)
}

/// The steps agreed about one pupil's sittings, and what became of each. Notes that cannot be read have none: whoever
/// lists the sittings says so.
///
/// # Errors
/// Thresholds that cannot be used.
pub(super) fn steps_of<'a>(
    catalogue: &Catalogue,
    own: impl IntoIterator<Item = &'a Record>,
) -> Result<Vec<FollowedStep>, Failure> {
    let noted = |record: &'a Record| {
        let notes = notes::load(&record.path, &record.header.sitting).ok();
        (record, notes)
    };
    let mut own: Vec<_> = own.into_iter().map(noted).collect();
    own.sort_by_key(|(record, _)| record.header.started);
    let has_step = |notes: &Option<Notes>| notes.as_ref().is_some_and(|own| !own.steps.is_empty());
    let first = own.iter().position(|(_, notes)| has_step(notes));
    let Some(first) = first else {
        return Ok(Vec::new());
    };
    let mut studied = Vec::new();
    for (record, notes) in own.into_iter().skip(first) {
        let limits = catalogue
            .limits_for(&record.path)
            .map_err(Failure::could_not)?;
        studied.push(Studied {
            notes,
            ..Studied::new(analysis(record, &limits), None)
        });
    }
    Ok(steps(&studied))
}

/// How many blanks the pupil left in time the last time before this sitting; nothing where there was none, or on a
/// shared machine, which tells of no past sittings.
pub(super) fn blanks_last_time(catalogue: &Catalogue, record: &Record) -> Option<BlanksLastTime> {
    let register = catalogue.register().ok().flatten();
    if register.is_some_and(|register| register.shared_machine) {
        return None;
    }
    let own = catalogue.of_pupil(&record.header.pupil).ok()?;
    let records = own.records.iter();
    let before = records.filter(|own| own.header.started < record.header.started);
    let counts = before.filter(|own| own.withdrawn.is_none());
    let sat = counts.map(|own| (own.header.started, own.sitting()));
    let whole = sat.filter(|(_, sitting)| Standing::of(sitting).bars(Use::Evidence).is_none());
    let (_, last) = whole.max_by_key(|(started, _)| *started)?;
    let paper = &last.header().paper;
    Some(BlanksLastTime {
        blanks: last
            .rows()
            .iter()
            .filter(|row| row.in_time.is_none())
            .count(),
        questions: last.rows().len(),
        other_paper: (paper.id != record.header.paper.id).then(|| paper.title.clone()),
    })
}

/// What is to be said of whether a sitting counts: that it is set aside, or in two files that differ, or so short
/// that the tutor is asked; and that the notes cannot be read, so that no decision is known.
pub(super) fn counting(
    decided: &Decided,
    path: &Path,
    sat: &Abridged,
    limits: &Thresholds,
) -> Vec<String> {
    let unread = decided.notes_unread.as_ref();
    let unread = unread.map(standing::notes_unread);
    let ruling = decided.ruling.as_ref();
    let said = match decided.withdrawn {
        Some(Exclusion::SetAside) => ruling.map(standing::set_aside),
        Some(Exclusion::Disputed) => Some(standing::DISPUTED.to_owned()),
        None if is_in_doubt(decided, sat, limits) => {
            let (used, allowed) = (sat.time.used, sat.time.allowed);
            Some(standing::does_it_count(used, allowed, path))
        }
        Some(_) | None => None,
    };
    unread.into_iter().chain(said).collect()
}

/// Whether a sitting is so short that the tutor is asked whether it counts.
pub(super) fn is_in_doubt(decided: &Decided, sat: &Abridged, limits: &Thresholds) -> bool {
    decided.withdrawn.is_none() && decided.ruling.is_none() && sat.is_very_short(limits)
}

/// What is said of files that hold a sitting once more: each sitting counts once.
pub(super) fn copies(found: &[Copied]) -> impl Iterator<Item = String> + '_ {
    let said = |copy: &Copied| {
        let copied_file = CopiedFile {
            copy: &copy.path,
            kept: &copy.kept,
            differs: copy.differs,
            aliases: copy.aliases.as_ref(),
            set_aside: copy.set_aside,
        };
        copied(&copied_file)
    };
    found.iter().map(said)
}

/// Why files cannot be read, the first hundred of them, and how many more there are.
pub(super) fn unread(files: &[(PathBuf, Arc<JournalError>)]) -> impl Iterator<Item = String> + '_ {
    unread_as(files, |reason| reason)
}

/// The same, each said in another way.
pub(super) fn unread_as(
    files: &[(PathBuf, Arc<JournalError>)],
    said: impl Fn(String) -> String,
) -> impl Iterator<Item = String> {
    let more = files.len().saturating_sub(MOST_UNREAD);
    let told = files.iter().take(MOST_UNREAD);
    let told = told.map(move |(_, reason)| said(reason.to_string()));
    told.chain((more > 0).then(|| more_unread(more)))
}

/// What is wrong with notes beside sittings, so that nobody knows what was decided there.
pub(super) fn notes_unread(records: &[Arc<Record>]) -> impl Iterator<Item = String> + '_ {
    let unread = records.iter().filter_map(|own| own.notes_unread.as_ref());
    unread.map(standing::notes_unread)
}

/// Which of a pupil's sittings count in a group.
pub(super) const fn entry(every: bool) -> Entry {
    if every { Entry::Every } else { Entry::First }
}

/// Sittings that do not count, each with its reason.
pub(super) type Excluded = Vec<(Arc<Record>, Exclusion)>;

/// Those of the sittings that count as sheets of a paper, and the others.
pub(super) fn sheets(
    catalogue: &Catalogue,
    records: &[Arc<Record>],
    paper: &Outline,
    entry: Entry,
) -> (Vec<Arc<Record>>, Excluded) {
    let (mut whole, mut left_out) = (Vec::new(), Excluded::new());
    for record in records {
        let sat = &record.header.paper;
        let reason = if sat.id != paper.id {
            Some(Exclusion::OtherPaper)
        } else if sat.fingerprint != paper.fingerprint {
            Some(Exclusion::OtherVersion)
        } else {
            record.standing().bars(Use::Sheet)
        };
        match reason {
            None => whole.push(Arc::clone(record)),
            Some(reason) => left_out.push((Arc::clone(record), reason)),
        }
    }
    let mut set_apart = |reason, is_apart: &dyn Fn(&Record) -> bool| {
        // What all have in common sets nobody apart.
        if !whole.iter().all(|record| is_apart(record)) {
            let apart = whole.extract_if(.., |record| is_apart(record));
            left_out.extend(apart.map(|record| (record, reason)));
        }
    };
    set_apart(Exclusion::Invented, &|record| record.header.invented);
    if let Some(paper) = catalogue.paper_of(paper) {
        let is_short = |record: &Record| is_short(&record.header, &paper);
        set_apart(Exclusion::ShortTime, &is_short);
    }
    let (counted, later) = entry.pick(whole, |record| {
        let header = &record.header;
        let order = (header.started, header.sitting.clone());
        (header.pupil.clone(), order)
    });
    left_out.extend(later.into_iter().map(|record| (record, Exclusion::Later)));
    (counted, left_out)
}

/// How many of the sittings that are meant count, and why the others do not.
pub(super) fn tell_apart(
    meant: &Meant,
    counted: &[Arc<Record>],
    left_out: &Excluded,
    entry: Entry,
) -> Vec<String> {
    let pupils: BTreeSet<_> = counted.iter().map(|record| &record.header.pupil).collect();
    let mut said = vec![note(how_many_count(counted.len(), pupils.len(), entry))];
    let reasons = left_out.iter().map(|(_, reason)| *reason);
    said.extend(
        standing::left_out(reasons, standing::EVERY)
            .iter()
            .map(note_left_out),
    );
    said.extend(unread_as(&meant.unreadable, note_unread));
    said.extend(copies(&meant.copies).map(note));
    said.extend(notes_unread(&meant.records).map(note));
    said
}

/// A paper by its file or id with its key, the one named or the one beside it.
///
/// # Errors
/// A paper or a key that cannot be used, or none.
pub(super) fn paper_and_key(
    named: &str,
    key: Option<&Path>,
    sessions: Option<&Path>,
) -> Result<(Catalogue, Arc<Paper>, Arc<Key>), Failure> {
    let catalogue = Catalogue::open(sessions, &[PathBuf::from(named)]);
    let (paper, _file) = catalogue.paper(named).map_err(Failure::could_not)?;
    let key = match key {
        Some(key) => Arc::new(key::load_for(key, &paper.outline).map_err(Failure::could_not)?),
        None => catalogue
            .key_of(&paper.outline)
            .map_err(Failure::could_not)?,
    };
    Ok((catalogue, paper, key))
}

/// Why a paper's marks cannot be worked out in advance.
#[derive(Debug, thiserror::Error)]
pub(super) enum TooFine {
    #[error("the paper's marks are too fine to forecast; use simpler fractions in its rule")]
    ToForecast,
    #[error("the paper's marks are too fine to plan with; use simpler fractions in its rule")]
    ToPlan,
}

/// Everything that can be drawn on for a pupil and a paper.
pub(super) struct Gathered {
    /// The paper asked about.
    pub(super) paper: Arc<Paper>,
    /// The marked sittings of everybody.
    pub(super) group: GatheredGroup,
}

impl Gathered {
    /// What the sittings say of a pupil, widened where too few of this group's forecasts held.
    pub(super) fn estimates(&self, pupil: &Alias) -> Option<Estimates> {
        let evidence = &self.group.evidence;
        let record = TrackRecord::may_widen(evidence).then(|| self.group.recent_record());
        let widening = record.and_then(|record| record.widening());
        let mut estimates = Estimates::new(pupil, &self.paper, evidence, &self.group.practised)?;
        estimates.model.widening = widening;
        Some(estimates)
    }
}

/// Marks every sitting that has a key, among `keys` (folders or files) or beside its paper.
pub(super) fn gather(
    pupil: &Alias,
    named: &str,
    keys: &[PathBuf],
    sessions: Option<&Path>,
) -> Result<Gathered, Failure> {
    let catalogue = Catalogue::open(sessions, &[PathBuf::from(named)]).with_keys(keys);
    let catalogue = catalogue.map_err(Failure::could_not)?;
    let (paper, _file) = catalogue.paper(named).map_err(Failure::could_not)?;
    let mut group = gather_group(&catalogue, Some(pupil))?;
    if !group.evidence.iter().any(|one| one.pupil == *pupil) {
        group.notes.push(none_marked(pupil, &group.sessions));
    }
    Ok(Gathered { paper, group })
}

/// Everything that can be drawn on for a group.
pub(super) struct GatheredGroup {
    /// The marked sittings of everybody.
    pub(super) evidence: Vec<Evidence>,
    /// What they practised: met, and nothing else.
    practised: MetInPractice,
    /// Their papers, where at hand.
    papers: Papers,
    /// What had to be left out.
    pub(super) notes: Vec<String>,
    /// The thresholds in force.
    pub(super) limits: Arc<Thresholds>,
    /// Where the sittings are kept.
    pub(super) sessions: PathBuf,
    /// Whether any of the marked sittings is invented.
    invented: bool,
}

impl GatheredGroup {
    /// What has to be said first on a page: that data are invented, what was left out.
    pub(super) fn said(&self) -> Vec<String> {
        let invented = self.invented.then(|| INVENTED.to_owned());
        invented.into_iter().chain(self.notes.clone()).collect()
    }

    /// What forecasts would have said of the past sittings, everybody's or one pupil's.
    pub(super) fn track_record(&self, pupil: Option<&Alias>) -> TrackRecord {
        let all = self.evidence.iter();
        let asked = all.filter(|one| pupil.is_none_or(|pupil| one.pupil == *pupil));
        self.record_of(&asked.collect::<Vec<_>>())
    }

    /// What forecasts would have said of the newest [`RECENT`] whole ones among them.
    pub(super) fn recent_record(&self) -> TrackRecord {
        let mut whole: Vec<_> = self.evidence.iter().filter(|one| one.is_whole()).collect();
        whole.sort_by_key(|one| Reverse((one.started, &one.sitting)));
        whole.truncate(RECENT);
        self.record_of(&whole)
    }

    fn record_of(&self, those: &[&Evidence]) -> TrackRecord {
        let look = LookBack::over(&self.evidence, &self.practised, &self.papers);
        let each = cores::map(&look.by_pupil(those), |own| look.at_one_pupils(own));
        TrackRecord::new(each.into_iter().flatten())
    }
}

/// Marks every sitting of the folder that has a key; see [`mark_all`] for `about`.
pub(super) fn gather_group(
    catalogue: &Catalogue,
    about: Option<&Alias>,
) -> Result<GatheredGroup, Failure> {
    let sessions = catalogue.sessions().map_err(Failure::could_not)?;
    let listing = catalogue.listing(sessions)?;
    let limits = catalogue.limits_in(sessions).map_err(Failure::could_not)?;
    let unread = unread(&listing.unreadable);
    let troubles = catalogue.troubles().iter().map(ToString::to_string);
    let unread = unread.chain(troubles).chain(copies(&listing.copies));
    let mut notes: Vec<String> = unread.map(left_out_of_season).collect();
    notes.extend(notes_unread(&listing.records));
    let marked = mark_all(catalogue, &listing, &limits, about);
    notes.extend(marked.left_out);
    let sat = marked.evidence.iter().map(|one| &one.pupil);
    let pupils: BTreeSet<&Alias> = sat.collect();
    let practised = pupils.into_iter().map(|pupil| {
        let read = practice_of(sessions, pupil);
        notes.extend(read.unread.iter().map(left_out_of_season));
        MetInPractice::of(pupil, &read.logs)
    });
    Ok(GatheredGroup {
        practised: MetInPractice::together(practised),
        evidence: marked.evidence,
        papers: marked.papers,
        notes,
        limits,
        sessions: sessions.to_owned(),
        invented: marked.invented,
    })
}

/// Marked sittings, and what is said of the others.
pub(super) struct MarkedSittings {
    /// What those with a key say.
    pub(super) evidence: Vec<Evidence>,
    /// Their papers, where at hand.
    papers: Papers,
    /// How many had no key, or say nothing.
    left_out: Vec<String>,
    /// Whether any of the marked ones is invented.
    pub(super) invented: bool,
}

/// Marks every sitting that has a key and says something of its pupil. On a page about one pupil what was left out
/// of theirs stands first, apart from the others'.
pub(super) fn mark_all(
    catalogue: &Catalogue,
    listing: &Listing,
    limits: &Arc<Thresholds>,
    about: Option<&Alias>,
) -> MarkedSittings {
    let (mut own, mut others) = (Unmarked::default(), Unmarked::default());
    let mut marked = MarkedSittings {
        evidence: Vec::new(),
        papers: Papers::new(),
        left_out: Vec::new(),
        invented: false,
    };
    for record in &listing.records {
        let studied = studied(catalogue, record, limits);
        let is_own = about.is_none_or(|pupil| pupil.is_same(&record.header.pupil));
        let unmarked = if is_own { &mut own } else { &mut others };
        if let Some(reason) = studied.analysis.standing().bars(Use::Evidence) {
            unmarked.barred.push(reason);
        } else if let Some(evidence) = Evidence::of(&studied) {
            marked.invented |= record.header.invented;
            if let Some(paper) = studied.paper {
                marked.papers.insert(evidence.paper.clone(), paper);
            }
            marked.evidence.push(evidence);
        } else {
            let paper = record.header.paper.id.clone();
            *unmarked.without_key.entry(paper).or_default() += 1;
        }
    }
    let own = own.said().into_iter().map(left_out_of_season);
    let others = others.said().into_iter().map(left_out_of_others);
    marked.left_out = own.chain(others).collect();
    marked
}

/// Sittings that say nothing of their pupils.
#[derive(Default)]
struct Unmarked {
    barred: Vec<Exclusion>,
    /// How many of which paper have no key.
    without_key: BTreeMap<String, usize>,
}

impl Unmarked {
    fn said(self) -> Vec<String> {
        let barred = standing::left_out(self.barred, "").into_iter();
        let barred = barred.map(|said| format!("{said}."));
        let without = self.without_key.iter();
        barred
            .chain(without.map(|(id, count)| without_key(id, *count)))
            .collect()
    }
}
