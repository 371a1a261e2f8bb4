//! What `overview` tells beside its sheets: the agreed steps, the practice, who needs a word and why, and the ranges,
//! each worked out a second time from the session, notes and practice files as text. The ranges are those that
//! `progress` and the feedback pages tell: a model has no second author here.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::fs;
use std::path::{Path, PathBuf};
use std::thread;

use chrono::{DateTime, FixedOffset, NaiveDate, TimeDelta};
use pacebell::domain::event::Event;
use pacebell::domain::header::Alias;
use pacebell::domain::labels::Label;
use pacebell::domain::practice::{PaperQuestion, PracticeEvent, PracticeMoment, PracticeStart};
use pacebell::domain::rule::QuestionNo;
use pacebell::domain::time::Elapsed;
use pacebell::storage::files;
use pacebell::storage::journal::PracticeFile;
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

use crate::facts::Facts;
use crate::practice::{self, Practice};
use crate::program;
use crate::raw::{Key, Session, exact};
use crate::reasons::{self, Compared, NAMES, PRAISE, Pupil, Reason, is_praise, mixed};
use crate::scripted::{self, PAPERS, SAMPLES, key_path};
use crate::steps::{Agreed, Followed, agreed, followed};

/// A group's files.
struct World {
    dir: tempfile::TempDir,
    chance: ChaCha8Rng,
    paper_on: BTreeMap<String, NaiveDate>,
}

type Row = BTreeMap<String, String>;

/// The range of each sitting, where it has one.
type Ranges = BTreeMap<String, Option<(String, String)>>;

/// The praise that comes first where there is not room for all: what is new for the pupil.
const NEWEST_PRAISE: [&str; 5] = [
    "step_done",
    "above_range",
    "first_sweep",
    "practised",
    "second_pass",
];

impl World {
    /// An invented group, with steps, practice and dates of the real paper drawn for it.
    fn demo(seed: u64, pupils: usize) -> Self {
        let world = Self::new(seed);
        let (seed, pupils) = (seed.to_string(), pupils.to_string());
        let words = ["demo", ".", "--seed", &seed, "--pupils", &pupils];
        program::run(world.dir.path(), &words);
        world.lived()
    }

    /// Sittings in which everything may happen, of pupils with four each.
    fn scripted(seed: u64) -> Self {
        let mut world = Self::new(seed);
        let samples = world.dir.path().join("sample-papers");
        fs::create_dir_all(&samples).unwrap();
        for entry in fs::read_dir(SAMPLES).unwrap() {
            let path = entry.unwrap().path();
            fs::copy(&path, samples.join(path.file_name().unwrap())).unwrap();
        }
        for (pupil, number) in ["avocet", "dormouse", "godwit", "lapwing", "teasel", "vole"]
            .into_iter()
            .zip(0..)
        {
            for sitting in 0..4 {
                let mut script = scripted::random(seed * 100 + number * 4 + sitting);
                let day = i64::try_from(sitting * 8).unwrap() + world.chance.random_range(0..8);
                let first = DateTime::parse_from_rfc3339("2026-01-05T16:30:00+00:00").unwrap();
                script.header.pupil = Alias::new(pupil).unwrap();
                script.header.started = first + TimeDelta::days(day);
                script.header.sitting = format!("{pupil}-{sitting}");
                world.presses_the_sweep_key(&mut script.events);
                script.write(&world.sessions());
            }
        }
        world.lived()
    }

    fn new(seed: u64) -> Self {
        Self {
            dir: tempfile::tempdir().unwrap(),
            chance: ChaCha8Rng::seed_from_u64(seed),
            paper_on: BTreeMap::new(),
        }
    }

    /// Now and then the key of the sweep was pressed near the end, and in some of these the sweep left again.
    fn presses_the_sweep_key(&mut self, events: &mut Vec<(u64, Event)>) {
        let is_up =
            |(_, event): &(u64, Event)| matches!(event, Event::TimeUp { .. } | Event::Closed(_));
        let end = events.iter().position(is_up).unwrap();
        if self.chance.random_bool(0.5) || end < 20 {
            return;
        }
        let place = self.chance.random_range(end * 3 / 4..end);
        let at = events[place].0;
        events.insert(place, (at, Event::SweepBegun));
        if self.chance.random_bool(0.3) {
            let place = self.chance.random_range(place + 1..=end);
            let at = events[place].0;
            events.insert(place, (at, Event::SweepLeft));
        }
    }

    fn sessions(&self) -> PathBuf {
        self.dir.path().join("sessions")
    }

    fn lived(mut self) -> Self {
        let pupils = self.pupils();
        let newest = newest(&pupils).unwrap();
        let mut register = String::new();
        for (pupil, sittings) in &pupils {
            self.agrees(sittings);
            if self.chance.random_bool(0.7) {
                self.practises(pupil, sittings, newest);
            }
            if self.chance.random_bool(0.5) {
                let on = newest + TimeDelta::days(self.chance.random_range(-10..120));
                write!(register, "(alias: \"{pupil}\", paper_on: \"{on}\"),").unwrap();
                self.paper_on.insert(pupil.clone(), on);
            }
        }
        let register = format!("(format: 1, pupils: [{register}])");
        fs::write(self.sessions().join("register.ron"), register).unwrap();
        self
    }

    /// Steps of every kind, agreed about some sittings some time after them.
    fn agrees(&mut self, sittings: &[(PathBuf, Session)]) {
        for (path, session) in sittings {
            if self.chance.random_bool(0.5) {
                continue;
            }
            let mut each = String::new();
            for _ in 0..self.chance.random_range(1..3) {
                let hours = self.chance.random_range(1..400);
                let at = session.header.started + TimeDelta::hours(hours);
                let mut clock = |from: u64, to: u64| {
                    let seconds = self.chance.random_range(from..to);
                    format!("{}:{:02}", seconds / 60, seconds % 60)
                };
                let (short, long, late) = (clock(30, 400), clock(120, 500), clock(120, 2400));
                let question = self.chance.random_range(1..12);
                let step = match self.chance.random_range(0..8) {
                    0 | 1 => format!("step: \"sweep {short}\", "),
                    2 => format!("step: \"stay {long}\", "),
                    3 => format!("step: \"checkpoint {question} by {late}\", "),
                    4 => "step: \"checkpoints\", ".to_owned(),
                    5 => "step: \"flags\", ".to_owned(),
                    6 => "text: \"Read the last line twice.\", ".to_owned(),
                    _ => String::new(),
                };
                write!(each, "(at: \"{}\", {step}by: \"T.M.\"), ", at.to_rfc3339()).unwrap();
            }
            let notes = path.to_string_lossy().replace(".session.ron", ".notes.ron");
            let sitting = &session.header.sitting;
            let text = format!("(format: 2, sitting: \"{sitting}\", steps: [{each}])\n");
            fs::write(notes, text).unwrap();
        }
    }

    /// Sessions of practice in the weeks up to the newest sitting and some days beyond, on questions of what was sat.
    fn practises(&mut self, pupil: &str, sittings: &[(PathBuf, Session)], newest: NaiveDate) {
        for number in 0..self.chance.random_range(1..7) {
            let (_, session) = &sittings[self.chance.random_range(0..sittings.len())];
            let started = session.header.started;
            let back = self.chance.random_range(-3..35);
            let moved = (newest - started.date_naive()) - TimeDelta::days(back);
            let started = started + moved + TimeDelta::minutes(number);
            let begins = PracticeStart {
                practice: format!("practice-{number}"),
                started,
                program: "pacebell 0.1.0".to_owned(),
            };
            let alias = Alias::new(pupil).unwrap();
            let mut file = PracticeFile::begin(&self.sessions(), &alias, &begins).unwrap();
            let paper = &session.header.paper.id;
            let key = Key::read(&key_path(paper));
            let path = Path::new(SAMPLES).join(format!("{paper}.paper.ron"));
            let loaded = files::paper::load(&path).unwrap();
            let mut at = 0;
            for _ in 0..self.chance.random_range(1..16) {
                let question = self.chance.random_range(1..=25);
                let which = PaperQuestion {
                    paper: paper.clone(),
                    fingerprint: loaded.outline.fingerprint.clone(),
                    question: QuestionNo(question),
                    words: loaded
                        .question(QuestionNo(question))
                        .unwrap()
                        .text_fingerprint(),
                };
                let right = self.chance.random_bool(0.6);
                let option = if right { key.right(question) } else { 'E' };
                let unaided = self.chance.random_bool(0.8);
                let mut events = vec![PracticeEvent::Opened(which)];
                if !unaided {
                    events.push(PracticeEvent::HintShown);
                }
                let option = Label::new(option).unwrap();
                if self.chance.random_bool(0.95) {
                    events.push(PracticeEvent::Tried { option, unaided });
                }
                for event in events {
                    at += self.chance.random_range(5..90);
                    let utc = started.to_utc() + TimeDelta::seconds(at);
                    let at = Elapsed::seconds(u64::try_from(at).unwrap());
                    file.record(&PracticeMoment { at, utc, event });
                }
            }
            file.finish().unwrap();
        }
    }

    /// Every pupil's sittings with their files, the earliest first.
    fn pupils(&self) -> BTreeMap<String, Vec<(PathBuf, Session)>> {
        let mut all = BTreeMap::<String, Vec<(PathBuf, Session)>>::new();
        for path in program::sessions(&self.sessions()) {
            let session = Session::read(&path);
            let own = all.entry(session.header.pupil.clone()).or_default();
            own.push((path, session));
        }
        for own in all.values_mut() {
            own.sort_by_key(|(_, own)| (own.header.started, own.header.sitting.clone()));
        }
        all
    }

    fn rows(&self, name: &str) -> Vec<Row> {
        let path = self.dir.path().join(format!("t/overview-{name}.csv"));
        let mut reader = csv::Reader::from_path(path).unwrap();
        reader.deserialize::<Row>().map(Result::unwrap).collect()
    }

    /// The tables, with so many names as there may be.
    fn overview(&self, names: usize) {
        let text = format!("(format: 1, thresholds: {{\"word_names\": {names}}})");
        fs::write(self.sessions().join("thresholds.ron"), text).unwrap();
        program::run(self.dir.path(), &["overview", "--csv", "t"]);
    }

    /// The sittings that `progress` compares, and every sitting's range.
    fn progress(&self, pupil: &str) -> (Vec<Compared>, Ranges) {
        let output = program::run(self.dir.path(), &["progress", pupil, "--json"]);
        let json: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
        let (mut compared, mut ranges) = (vec![], BTreeMap::new());
        for own in json["sittings"].as_array().unwrap() {
            let text = |value: &serde_json::Value| value.as_str().unwrap().to_owned();
            let range = &own["mark"]["range_80"];
            let range = (!range.is_null()).then(|| (text(&range["low"]), text(&range["high"])));
            ranges.insert(text(&own["sitting"]), range.clone());
            if !own["apart"].is_null() {
                continue;
            }
            let started: DateTime<FixedOffset> = text(&own["started"]).parse().unwrap();
            compared.push(Compared {
                sitting: text(&own["sitting"]),
                day: started.date_naive(),
                paper: text(&own["paper"]),
                mark: exact(&text(&own["mark"]["in_time"])),
                max: exact(&text(&own["mark"]["max"])),
                range: range.map(|(low, high)| (exact(&low), exact(&high))),
            });
        }
        (compared, ranges)
    }
}

/// Whether it has ended and was not given up.
fn counts(session: &Session) -> bool {
    Facts::of(session).is_whole()
}

/// The day of the newest sitting that counts.
fn newest(pupils: &BTreeMap<String, Vec<(PathBuf, Session)>>) -> Option<NaiveDate> {
    let all = pupils.values().flatten();
    let counting = all.filter(|(_, session)| counts(session));
    counting
        .map(|(_, own)| own.header.started.date_naive())
        .max()
}

fn steps(pupil: &str, own: &[Followed], told: &[Row]) {
    let told: Vec<&Row> = told.iter().filter(|row| row["pupil"] == pupil).collect();
    assert_eq!(told.len(), own.len(), "{pupil}: {told:?}, {own:?}");
    for (row, own) in told.iter().zip(own) {
        let by = own.by.as_ref().map_or("", |(by, _)| by);
        let cells = [
            "sitting",
            "agreed",
            "step",
            "state",
            "judged_by",
            "evidence",
        ];
        let cells = cells.map(|name| row[name].as_str());
        let agreed = own.agreed.to_string();
        let own = [&own.about, &agreed, &own.step, own.state, by, &own.evidence];
        assert_eq!(cells, own, "{pupil}");
    }
}

fn due(pupil: &str, own: &Practice, told: &[Row]) {
    let row = told.iter().find(|row| row["pupil"] == pupil).unwrap();
    let last = own.last.map(|day| day.to_string()).unwrap_or_default();
    assert_eq!(
        (&row["due"], &row["last"]),
        (&own.due.len().to_string(), &last),
        "{pupil}"
    );
}

/// What each pupil was told for, in order; what to try otherwise comes before praise.
fn told(rows: &[Row]) -> BTreeMap<String, Vec<(String, String)>> {
    let mut told = BTreeMap::<String, Vec<(String, String)>>::new();
    let pupils: Vec<&String> = rows.iter().map(|row| &row["pupil"]).collect();
    assert!(pupils.is_sorted());
    for row in rows {
        let own = told.entry(row["pupil"].clone()).or_default();
        own.push((row["kind"].clone(), row["evidence"].clone()));
        assert_eq!(row["place"], own.len().to_string());
        assert_eq!(row["praise"] == "yes", is_praise(&row["kind"]));
    }
    for own in told.values() {
        assert!(own.is_sorted_by_key(|(kind, _)| is_praise(kind)), "{own:?}");
    }
    told
}

fn is_near(told: &(String, String), own: &Reason) -> bool {
    // A figure may be rounded to either side.
    told.0 == own.kind && crate::says(&told.1, &own.evidence)
}

fn words(all: &BTreeMap<String, Vec<Reason>>, rows: &[Row]) {
    let told = told(rows);
    let own: Vec<&String> = all.keys().collect();
    assert_eq!(told.keys().collect::<Vec<_>>(), own);
    for (pupil, reasons) in all {
        let mut told = told[pupil].clone();
        for own in reasons {
            let place = told.iter().position(|told| is_near(told, own));
            let place = place.unwrap_or_else(|| panic!("{pupil}: {own:?} of {told:#?}"));
            told.remove(place);
        }
        assert!(told.is_empty(), "{pupil}: {told:?}");
    }
}

/// At most five: those with most at stake, and room for praise of two.
fn chosen(all: &BTreeMap<String, Vec<Reason>>, rows: &[Row]) {
    let (mut next, mut praised): (Vec<_>, Vec<_>) = all
        .iter()
        .partition(|(_, own)| own.iter().any(|own| !is_praise(own.kind)));
    let stake = |own: &[Reason]| own.iter().map(|own| own.stake).sum::<f64>();
    next.sort_by(|(_, one), (_, other)| stake(other).total_cmp(&stake(one)));
    let newest = |own: &[Reason]| {
        let place = |own: &Reason| NEWEST_PRAISE.iter().position(|kind| *kind == own.kind);
        own.iter().filter_map(place).min()
    };
    praised.sort_by_key(|(pupil, own)| (newest(own), *pupil));
    let kept = praised.len().min(PRAISE);
    next.truncate(NAMES - kept);
    praised.truncate(NAMES - next.len());
    let mut names: Vec<&String> = next
        .into_iter()
        .chain(praised)
        .map(|(name, _)| name)
        .collect();
    names.sort();
    let told = told(rows);
    assert_eq!(told.keys().collect::<Vec<_>>(), names);
}

/// Holds every figure, and counts the reasons and states of steps that there were.
fn holds(world: &World, seen: &mut BTreeMap<String, usize>) {
    let pupils = world.pupils();
    let newest = newest(&pupils).unwrap();
    let keys: BTreeMap<String, Key> = PAPERS
        .iter()
        .chain(&["saltmarsh-short", "saltmarsh-long", "saltmarsh-first"])
        .map(|paper| ((*paper).to_owned(), Key::read(&key_path(paper))))
        .collect();
    world.overview(1000);
    let tables = ["steps", "practice", "sheets", "words"].map(|name| world.rows(name));
    let [steps_told, practice_told, sheets, words_told] = &tables;
    let mut all = BTreeMap::<String, Vec<Reason>>::new();
    let mut sat = BTreeMap::<String, usize>::new();
    for (pupil, sittings) in &pupils {
        let with_steps: Vec<(Session, Option<Agreed>)> = sittings
            .iter()
            .map(|(path, session)| (session.clone(), agreed(path)))
            .collect();
        let followed = followed(&with_steps, &keys);
        steps(pupil, &followed, steps_told);
        for own in &followed {
            let kind = own.step.split(' ').next().unwrap();
            *seen.entry(format!("{kind} {}", own.state)).or_default() += 1;
        }
        let counting = sittings.iter().filter(|(_, session)| counts(session));
        let counting: Vec<_> = counting
            .map(|(_, session)| (session, &keys[&session.header.paper.id]))
            .collect();
        let tried = practice::tried(&world.sessions().join(pupil));
        let paper_on = world.paper_on.get(pupil).copied();
        let practice = practice::practice(&counting, &tried, &keys, newest, paper_on);
        due(pupil, &practice, practice_told);
        let (compared, ranges) = world.progress(pupil);
        for row in sheets.iter().filter(|row| row["pupil"] == *pupil) {
            let range = ranges[&row["sitting"]].clone().unwrap_or_default();
            let told = (row["range_low"].clone(), row["range_high"].clone());
            assert_eq!(told, range, "{pupil}");
        }
        for own in &compared {
            let back = (newest - own.day).num_days();
            *sat.entry(own.paper.clone()).or_default() += usize::from((0..7).contains(&back));
        }
        let reasons = reasons::all(
            &Pupil {
                sittings: counting,
                compared,
                steps: followed,
                practice,
            },
            newest,
        );
        all.insert(pupil.clone(), reasons);
    }
    reasons::without_hard_papers(&mut all, &sat);
    all.retain(|_, own| !own.is_empty());
    for reason in all.values().flatten() {
        *seen.entry(reason.kind.to_owned()).or_default() += 1;
    }
    words(&all, words_told);
    world.overview(NAMES);
    chosen(&all, &world.rows("words"));
    feedback(world, &pupils, sheets);
}

/// A parents' page has the range of the overview.
fn feedback(world: &World, pupils: &BTreeMap<String, Vec<(PathBuf, Session)>>, sheets: &[Row]) {
    for row in sheets.iter().step_by(sheets.len() / 3 + 1) {
        let own = pupils[&row["pupil"]].iter();
        let mut own = own.filter(|(_, session)| session.header.sitting == row["sitting"]);
        let path = own.next().unwrap().0.to_string_lossy().into_owned();
        let words = [
            "feedback", &path, "--for", "parents", "-o", "f.html", "--force",
        ];
        program::run(world.dir.path(), &words);
        let page = fs::read_to_string(world.dir.path().join("f.html")).unwrap();
        let [low, high] = ["range_low", "range_high"].map(|name| mixed(exact(&row[name])));
        let says = format!(
            "on ten different days, the mark would be between {low} and {high} on about eight of them."
        );
        assert!(page.contains(&says), "{says}");
    }
}

/// Every kind of reason, and each kind of step done and not done.
fn everything_was_there(seen: &BTreeMap<String, usize>) {
    for kind in [
        "blanks",
        "unused_time",
        "long_stays",
        "practice_due",
        "first_sweep",
        "second_pass",
        "practised",
        "step_done",
        "step_not_done",
    ] {
        assert!(seen.contains_key(kind), "{kind} of {seen:?}");
    }
    for step in ["sweep", "no", "questions", "every"] {
        for state in ["done", "not_done", "open"] {
            let wanted = format!("{step} {state}");
            assert!(seen.contains_key(&wanted), "{wanted} of {seen:?}");
        }
    }
}

#[test]
fn steps_practice_ranges_and_reasons_are_what_the_files_say() {
    let worlds: [fn() -> World; 6] = [
        || World::demo(1, 9),
        || World::demo(5, 12),
        || World::scripted(0),
        || World::scripted(1),
        || World::scripted(2),
        || World::scripted(3),
    ];
    let seen = thread::scope(|scope| {
        let each = worlds.map(|world| {
            scope.spawn(move || {
                let mut seen = BTreeMap::new();
                holds(&world(), &mut seen);
                seen
            })
        });
        each.map(|seen| seen.join().unwrap())
    });
    let mut all = BTreeMap::new();
    for (what, times) in seen.into_iter().flatten() {
        *all.entry(what).or_default() += times;
    }
    everything_was_there(&all);
}

#[test]
#[ignore = "a campaign"]
fn steps_practice_ranges_and_reasons_of_forty_groups() {
    let mut seen = BTreeMap::new();
    for seed in 10..25 {
        holds(&World::demo(seed, 12), &mut seen);
    }
    for seed in 10..35 {
        holds(&World::scripted(seed), &mut seen);
    }
    everything_was_there(&seen);
}
