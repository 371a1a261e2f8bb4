//! Every figure of `overview` beside the raw lines of the sittings: who sat what, marks, awards, blanks, unused time,
//! sweeps, letters, how sittings ended, and what people outside are told.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use chrono::{DateTime, NaiveDate, Utc};
use num_rational::Rational64;

use crate::claims::sweep;
use crate::facts::Facts;
use crate::program;
use crate::raw::{Ending, How, Key, Mode, Session};
use crate::scripted::key_path;

/// A pupil's sitting of a paper, the first of it or a later one.
struct Sat {
    pupil: String,
    paper: String,
    time: usize,
    session: Session,
}

/// The sittings that count: of the whole paper, ended, not given up. A pupil is the folder that they are in.
fn sat(folder: &Path) -> Vec<Sat> {
    let mut all = BTreeMap::<(String, String), Vec<Session>>::new();
    for path in program::sessions(folder) {
        let session = Session::read(&path);
        let facts = Facts::of(&session);
        let whole = facts.asked.len() == usize::from(session.header.paper.questions);
        if !facts.is_whole() || !whole {
            continue;
        }
        let pupil = path.parent().unwrap().file_name().unwrap();
        let pupil = pupil.to_string_lossy().into_owned();
        let paper = session.header.paper.id.clone();
        all.entry((pupil, paper)).or_default().push(session);
    }
    let mut sat = vec![];
    for ((pupil, paper), mut sessions) in all {
        // An id begins with the day and the time.
        sessions.sort_by(|one, other| one.header.sitting.cmp(&other.header.sitting));
        for (session, time) in sessions.into_iter().zip(1..) {
            sat.push(Sat {
                pupil: pupil.clone(),
                paper: paper.clone(),
                time,
                session,
            });
        }
    }
    sat
}

fn rows(folder: &Path, name: &str) -> Vec<BTreeMap<String, String>> {
    table(&folder.join(format!("t/overview-{name}.csv")))
}

fn table(path: &Path) -> Vec<BTreeMap<String, String>> {
    let mut reader = csv::Reader::from_path(path).unwrap();
    let each = reader.deserialize::<BTreeMap<String, String>>();
    each.map(Result::unwrap).collect()
}

fn count(count: usize) -> f64 {
    f64::from(u32::try_from(count).unwrap())
}

fn near(one: f64, other: f64) -> bool {
    (one - other).abs() < 1e-9
}

fn real(number: Rational64) -> f64 {
    let part = |part: &i64| f64::from(i32::try_from(*part).unwrap());
    part(number.numer()) / part(number.denom())
}

#[track_caller]
fn is_near(cell: &str, own: Rational64, what: &str) {
    // A mark is exact, in a fraction where it has to be; half marks are written as decimals.
    let told = cell.parse::<Rational64>().ok();
    let told = told.or_else(|| Rational64::approximate_float(cell.parse::<f64>().ok()?));
    assert_eq!(told, Some(own), "{what}: {cell:?}");
}

#[track_caller]
fn is_seconds(cell: &str, millis: Option<u64>, what: &str) {
    let own = millis.map(|millis| f64::from(u32::try_from(millis).unwrap()) / 1000.0);
    let told: Option<f64> = cell.parse().ok();
    assert_eq!(told, own, "{what}");
}

/// What a blind guess on a question brings on average over leaving it blank.
pub(crate) fn gain(facts: &Facts<'_>, question: u16) -> Rational64 {
    let (section, options) = (
        facts.section(question),
        i64::try_from(facts.options(question)).unwrap(),
    );
    let guess = (section.right.0 + section.wrong.0 * (options - 1)) / options;
    guess - section.blank.0
}

fn ended(facts: &Facts<'_>) -> &'static str {
    let blanks = facts.blanks();
    let gains = |question: &u16| gain(facts, *question) > Rational64::from_integer(0);
    if !facts.is_timed() {
        ""
    } else if blanks.iter().any(gains) {
        "left_free"
    } else if !blanks.is_empty() {
        "left"
    } else if sweep(facts).is_some() {
        "swept"
    } else {
        "no_blank"
    }
}

fn unused(facts: &Facts<'_>) -> Option<u64> {
    let early = facts.is_timed() && facts.ending == Some(Ending::FinishedEarly);
    early.then(|| facts.left(facts.stop))
}

fn award(facts: &Facts<'_>, key: &Key) -> String {
    let mark = facts.mark_in_time(key);
    let awards = facts.session.header.paper.awards.iter();
    let reached = awards.filter(|award| award.boundary.0 <= mark);
    let best = reached.max_by_key(|award| award.boundary.0);
    best.map_or_else(String::new, |award| award.name.clone())
}

const fn how(how: How) -> &'static str {
    match how {
        How::Worked => "worked",
        How::Unsure => "unsure",
        How::Guessed => "guessed",
        How::Filled => "filled",
    }
}

fn sheets(folder: &Path, sat: &[Sat], keys: &BTreeMap<String, Key>) {
    let told = rows(folder, "sheets");
    assert_eq!(told.len(), sat.len());
    for own in sat {
        let (facts, key) = (Facts::of(&own.session), &keys[&own.paper]);
        let what = &own.session.header.sitting;
        let row = told.iter().find(|row| row["sitting"] == *what).unwrap();
        assert_eq!(
            (&row["pupil"], &row["paper"], &row["time"]),
            (&own.pupil, &own.paper, &own.time.to_string())
        );
        let day = row["date"].replace('-', "");
        assert!(what.starts_with(&day) && day.len() == 8, "{what}");
        is_near(&row["in_time"], facts.mark_in_time(key), what);
        is_near(
            &row["with_guess_round"],
            facts.mark_with_guess_round(key),
            what,
        );
        is_near(&row["max"], facts.max(), what);
        assert_eq!(row["award"], award(&facts, key), "{what}");
        assert_eq!(row["typed_in"], if facts.is_timed() { "no" } else { "yes" });
        assert_eq!(row["blank"], facts.blanks().len().to_string(), "{what}");
        is_seconds(&row["unused_seconds"], unused(&facts), what);
        let swept = sweep(&facts).filter(|_| facts.is_timed());
        let filled = swept.as_ref().map(|sweep| sweep.filled.len().to_string());
        assert_eq!(row["swept"], filled.unwrap_or_default(), "{what}");
        is_seconds(
            &row["sweep_seconds"],
            swept.as_ref().map(|own| own.took),
            what,
        );
        let complete = if facts.blanks().is_empty() {
            "yes"
        } else {
            "no"
        };
        let complete = if swept.is_some() { complete } else { "" };
        assert_eq!(row["sweep_complete"], complete, "{what}");
        assert_eq!(row["ended"], ended(&facts), "{what}");
    }
}

fn answers(folder: &Path, sat: &[Sat], keys: &BTreeMap<String, Key>) {
    let told = rows(folder, "answers");
    let mut told: BTreeMap<[String; 4], BTreeMap<String, String>> = told
        .into_iter()
        .map(|row| {
            let place = ["pupil", "paper", "time", "question"].map(|name| row[name].clone());
            (place, row)
        })
        .collect();
    for own in sat {
        let (facts, key) = (Facts::of(&own.session), &keys[&own.paper]);
        for question in &facts.asked {
            let place = [
                own.pupil.clone(),
                own.paper.clone(),
                own.time.to_string(),
                question.to_string(),
            ];
            let row = told.remove(&place).unwrap_or_else(|| panic!("{place:?}"));
            let given = facts.in_time.get(question);
            let text = |option: Option<char>| option.map(String::from).unwrap_or_default();
            assert_eq!(row["given"], text(given.map(|own| own.option)), "{place:?}");
            assert_eq!(
                row["how"],
                given.map_or("", |own| how(own.how)),
                "{place:?}"
            );
            let outcome = match given {
                None => "blank",
                Some(own) if own.option == key.right(*question) => "right",
                Some(_) => "wrong",
            };
            assert_eq!(row["outcome"], outcome, "{place:?}");
            let late = facts.at_last(*question).filter(|(_, late)| *late);
            assert_eq!(
                row["after_time"],
                text(late.map(|(own, _)| own.option)),
                "{place:?}"
            );
        }
    }
    assert_eq!(told.len(), 0);
}

fn habit(folder: &Path, sat: &[Sat]) {
    let told = rows(folder, "sweep");
    let columns: BTreeSet<_> = sat.iter().map(|own| (&own.paper, own.time)).collect();
    assert_eq!(told.len(), columns.len());
    for row in told {
        let own = sat
            .iter()
            .filter(|own| own.paper == row["paper"] && own.time.to_string() == row["time"]);
        let ends: Vec<_> = own.map(|own| ended(&Facts::of(&own.session))).collect();
        for name in ["swept", "no_blank", "left_free", "left"] {
            let count = ends.iter().filter(|end| **end == name).count();
            assert_eq!(row[name], count.to_string(), "{} {name}", row["paper"]);
        }
        let timed = ends.iter().filter(|end| !end.is_empty()).count();
        assert_eq!(row["timed"], timed.to_string());
    }
}

/// The page shows each mark in its pupil's row and its paper's column, and a chart whose words say the same.
fn page(folder: &Path, sat: &[Sat], keys: &BTreeMap<String, Key>) {
    let page = std::fs::read_to_string(folder.join("term.html")).unwrap();
    let marks = page.split("<h2 id=\"marks\">").nth(1).unwrap();
    let marks = marks.split("</section>").next().unwrap();
    for row in marks.split("<tr>").skip(2) {
        let pupil = row.split("<th scope=\"row\">").nth(1).unwrap();
        let pupil = pupil.split('<').next().unwrap();
        let mut own: Vec<_> = sat.iter().filter(|own| own.pupil == pupil).collect();
        let shown = |own: &&Sat| {
            let (facts, key) = (Facts::of(&own.session), &keys[&own.paper]);
            let mixed = |mark: Rational64| {
                let (whole, part) = (mark.trunc().to_integer(), mark.fract());
                match (whole, part) {
                    (whole, part) if *part.numer() == 0 => whole.to_string(),
                    (0, part) => part.to_string(),
                    (whole, part) => format!("{whole} {}/{}", part.numer().abs(), part.denom()),
                }
            };
            let (in_time, late) = (facts.mark_in_time(key), facts.mark_with_guess_round(key));
            let late = if late == in_time {
                String::new()
            } else {
                format!(" ({})", mixed(late))
            };
            format!("{}{late} of {}", mixed(in_time), mixed(facts.max()))
        };
        let cells: Vec<String> = row
            .split("<strong>")
            .skip(1)
            .map(|rest| rest.split('<').next().unwrap().to_owned())
            .collect();
        let mut there = cells.clone();
        let mut wanted: Vec<_> = own.iter().map(shown).collect();
        there.sort();
        wanted.sort();
        assert_eq!(there, wanted, "{pupil}");
        // The picture's words have the same marks in the order in which they were sat.
        own.sort_by(|one, other| {
            one.session
                .header
                .sitting
                .cmp(&other.session.header.sitting)
        });
        let mut words = row.split("<desc").nth(1).unwrap();
        for mark in own.iter().map(shown) {
            let behind = words.split_once(&format!(": {mark}"));
            words = behind.unwrap_or_else(|| panic!("{pupil}: {mark}")).1;
        }
        assert_eq!(row.matches("<circle").count(), own.len(), "{pupil}");
    }
}

/// The order in which people are counted: the day, then when a sheet was begun or typed in, then the alias.
fn came(sat: &Sat) -> (NaiveDate, DateTime<Utc>, &str) {
    let (header, lines) = (&sat.session.header, &sat.session.lines);
    let came = match header.mode {
        Mode::Timed => header.started.to_utc(),
        Mode::Entered => lines[0].utc,
    };
    (header.started.date_naive(), came, &sat.pupil)
}

/// What is told outside holds the truth of the first whole tens who sat a paper.
fn outside(folder: &Path, sat: &[Sat], keys: &BTreeMap<String, Key>) {
    let told = table(&folder.join("o/overview-outside.csv"));
    let papers: BTreeSet<_> = told.iter().map(|row| row["paper"].clone()).collect();
    let mut checked = BTreeMap::<String, usize>::new();
    for paper in papers {
        let mut own: Vec<_> = sat
            .iter()
            .filter(|own| own.paper == paper && own.time == 1)
            .collect();
        own.sort_by(|one, other| came(one).cmp(&came(other)));
        own.truncate(if own.len() < 10 {
            5
        } else {
            own.len() / 10 * 10
        });
        let facts: Vec<_> = own.iter().map(|own| Facts::of(&own.session)).collect();
        let key = &keys[&paper];
        let right = |question: u16| {
            let given = facts.iter().filter_map(|own| own.in_time.get(&question));
            let right = given.filter(|own| own.option == key.right(question));
            count(right.count())
        };
        let of_all = |people: f64| people * 100.0 / count(own.len());
        for row in told.iter().filter(|row| row["paper"] == paper) {
            let number = |name: &str| row[name].parse::<f64>().unwrap();
            let (low, high) = (number("low"), number("high"));
            if own.len() >= 10 {
                assert_eq!(row["people"], own.len().to_string(), "{paper}");
            }
            let truth = match row["figure"].as_str() {
                "people_right_percent" => of_all(right(row["of"].parse().unwrap())),
                "people_without_blank_percent" => {
                    let complete = facts.iter().filter(|own| own.blanks().is_empty());
                    of_all(count(complete.count()))
                }
                "people_by_marks_percent" => {
                    let exact =
                        |text: &str| (!text.is_empty()).then(|| text.parse::<f64>().unwrap());
                    let (from, below) = (exact(&row["of"]), exact(&row["below"]));
                    let marks = facts.iter().map(|own| own.mark_in_time(key));
                    let marks = marks.map(real);
                    let inside = marks.filter(|mark| {
                        from.is_none_or(|from| *mark >= from)
                            && below.is_none_or(|below| *mark < below)
                    });
                    of_all(count(inside.count()))
                }
                "section_right_percent" => {
                    let sections = &own[0].session.header.paper.rule.sections;
                    let section = sections.iter().find(|own| own.name == row["of"]).unwrap();
                    let each = (section.first..=section.last).map(right);
                    let all = f64::from(section.last - section.first + 1) * count(own.len());
                    each.sum::<f64>() * 100.0 / all
                }
                "mean_percent" => {
                    let marks = facts.iter().map(|own| own.mark_in_time(key) / own.max());
                    let sum: Rational64 = marks.sum();
                    real(sum) * 100.0 / count(own.len())
                }
                other => panic!("{other}"),
            };
            let wide = if own.len() < 10 { 20.0 } else { 10.0 };
            assert!(
                near(low % wide, 0.0) && near(high - low, wide),
                "{paper}: {row:?}"
            );
            assert!(
                (low..high).contains(&truth) || near(truth, 100.0) && near(high, 100.0),
                "{paper}: {row:?}, and {truth}"
            );
            *checked.entry(row["figure"].clone()).or_default() += 1;
        }
    }
    assert!(!checked.is_empty());
}

/// `pupils` of the demo with this seed, every figure.
fn every_figure(seed: u64, pupils: usize) {
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path();
    let (seed, pupils) = (seed.to_string(), pupils.to_string());
    program::run(folder, &["demo", ".", "--seed", &seed, "--pupils", &pupils]);
    program::run(folder, &["overview", "--csv", "t", "-o", "term.html"]);
    program::run(folder, &["overview", "--outside", "--csv", "o"]);
    let sat = sat(&folder.join("sessions"));
    let papers: BTreeSet<_> = sat.iter().map(|own| own.paper.clone()).collect();
    let keys = papers.into_iter().map(|paper| {
        let key = Key::read(&key_path(&paper));
        (paper, key)
    });
    let keys = keys.collect();
    sheets(folder, &sat, &keys);
    answers(folder, &sat, &keys);
    habit(folder, &sat);
    page(folder, &sat, &keys);
    outside(folder, &sat, &keys);
}

#[test]
fn every_figure_of_a_groups_term_is_what_the_raw_lines_say() {
    every_figure(1, 9);
    every_figure(5, 24);
}
