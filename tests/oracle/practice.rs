//! Practice, read as text beside the raw lines of the sittings: which missed questions are due, and who practised. The
//! definitions stand in `README.md` (`practise`), in `DEVELOPERS.md` ("Practice") and in the table of gaps of the
//! trade: a fifth of the days to the real paper up to 35 days, falling on the logarithm of the days to a twentieth at
//! 365 and more, and seven days where no date is known.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use chrono::{DateTime, FixedOffset, NaiveDate, TimeDelta, Utc};
use serde::Deserialize;
use serde::de::IgnoredAny;

use crate::facts::Facts;
use crate::raw::{Key, Session};

#[derive(Debug, Deserialize)]
struct Start {
    practice: String,
    started: DateTime<FixedOffset>,
}

#[derive(Debug, Deserialize)]
struct Which {
    paper: String,
    question: u16,
    words: Option<String>,
}

#[derive(Debug, Deserialize)]
enum Event {
    Opened(Which),
    Tried { option: char, unaided: bool },
    HintShown,
    WorkingShown,
    Catch(IgnoredAny),
    Stopped,
}

#[derive(Debug, Deserialize)]
enum Record {
    Start(Start),
    Event { utc: DateTime<Utc>, event: Event },
}

#[derive(Debug, Deserialize)]
struct Line {
    record: Record,
}

/// A try of a question in practice: what was chosen first, and whether that was without the hint.
#[derive(Clone, Debug)]
pub(crate) struct Tried {
    session: String,
    words: String,
    paper: String,
    question: u16,
    at: DateTime<FixedOffset>,
    option: char,
    unaided: bool,
}

/// Every try in a pupil's folder, in order.
pub(crate) fn tried(folder: &Path) -> Vec<Tried> {
    let mut all: Vec<Tried> = vec![];
    for entry in std::fs::read_dir(folder).into_iter().flatten() {
        let path = entry.unwrap().path();
        if !path.to_string_lossy().ends_with(".practice.ron") {
            continue;
        }
        let text = std::fs::read_to_string(path).unwrap();
        let mut lines = text.lines().map(|line| {
            let line: Line = ron::from_str(line).unwrap();
            line.record
        });
        let Some(Record::Start(start)) = lines.next() else {
            panic!("{text}")
        };
        let mut open: Option<(Which, bool)> = None;
        for record in lines {
            let Record::Event { utc, event } = record else {
                panic!("{record:?}")
            };
            match (event, &mut open) {
                (Event::Opened(which), _) => open = Some((which, false)),
                (Event::Tried { option, unaided }, Some((which, answered))) if !*answered => {
                    *answered = true;
                    all.push(Tried {
                        session: start.practice.clone(),
                        words: which.words.clone().unwrap(),
                        paper: which.paper.clone(),
                        question: which.question,
                        at: utc.with_timezone(start.started.offset()),
                        option,
                        unaided,
                    });
                }
                _ => {}
            }
        }
    }
    all.sort_by_key(|own| own.at);
    all
}

/// Days from one try to the next, by the table's rule.
pub(crate) fn gap(to_paper: Option<i64>) -> i64 {
    let Some(days) = to_paper.filter(|days| *days >= 0) else {
        return 7;
    };
    let real = f64::from(i32::try_from(days).unwrap());
    let share = if days <= 35 {
        0.2
    } else if days >= 365 {
        0.05
    } else {
        0.2 - 0.15 * (real.ln() - 35_f64.ln()) / (365_f64.ln() - 35_f64.ln())
    };
    let all =
        (0..=days).filter(|gap| f64::from(i32::try_from(*gap).unwrap()) - 0.5 <= share * real);
    all.max().unwrap_or(0).max(1)
}

/// What is known of a question, in order: its misses in sittings, and what came right or not afterwards.
#[derive(Debug, Default)]
struct Known {
    met: bool,
    missed: Option<DateTime<FixedOffset>>,
    /// The session, when, and whether it was right without help; since it was missed last.
    tries: Vec<(String, DateTime<FixedOffset>, bool)>,
    /// The days with a try in practice.
    days: BTreeSet<NaiveDate>,
}

/// What a pupil's practice comes to.
#[derive(Debug, Default)]
pub(crate) struct Practice {
    /// Since when each question that is due on the day has been.
    pub(crate) due: Vec<NaiveDate>,
    pub(crate) last: Option<NaiveDate>,
    /// Each counted try: its day, and whether it was right without help.
    pub(crate) tries: Vec<(NaiveDate, bool)>,
}

/// `sittings` are those that count, with their keys.
pub(crate) fn practice(
    sittings: &[(&Session, &Key)],
    tried: &[Tried],
    keys: &BTreeMap<String, Key>,
    today: NaiveDate,
    paper_on: Option<NaiveDate>,
) -> Practice {
    enum What<'a> {
        Sat(&'a Session, &'a Key),
        Tried(&'a Tried),
    }
    let sat = sittings
        .iter()
        .map(|(session, key)| (session.header.started, What::Sat(session, key)));
    let practised = tried.iter().map(|own| (own.at, What::Tried(own)));
    let mut all: Vec<_> = sat.chain(practised).collect();
    all.sort_by_key(|(at, _)| *at);
    let mut known = BTreeMap::<String, Known>::new();
    let mut practice = Practice::default();
    for (at, what) in all {
        match what {
            What::Sat(session, key) => {
                let facts = Facts::of(session);
                for question in &facts.asked {
                    let words = session.header.question_fingerprints[question].clone();
                    let own = known.entry(words).or_default();
                    let given = facts.in_time.get(question);
                    let right = given.is_some_and(|given| given.option == key.right(*question));
                    let luck = given.is_some_and(|given| given.how.is_luck());
                    if !right {
                        own.missed = Some(at);
                        own.tries.clear();
                    } else if own.met && !luck {
                        own.tries.push((session.header.sitting.clone(), at, true));
                    }
                    own.met = true;
                }
            }
            What::Tried(tried) => {
                let own = known.entry(tried.words.clone()).or_default();
                // Later on the same day the answer is remembered.
                if !own.days.insert(at.date_naive()) {
                    continue;
                }
                let right =
                    tried.unaided && tried.option == keys[&tried.paper].right(tried.question);
                own.tries.push((tried.session.clone(), at, right));
                practice.tries.push((at.date_naive(), right));
            }
        }
    }
    practice.last = practice.tries.iter().map(|(day, _)| *day).max();
    for own in known.values() {
        let Some(missed) = own.missed else { continue };
        let mut rights: Vec<(&str, NaiveDate)> = vec![];
        for (session, at, right) in own.tries.iter().rev() {
            if !right {
                break;
            }
            let day = at.date_naive();
            if rights.iter().all(|(own, on)| own != session && *on != day) {
                rights.push((session, day));
            }
        }
        if rights.len() >= 2 {
            continue;
        }
        let back = match own.tries.last() {
            None => missed.date_naive(),
            Some((_, at, _)) => {
                let last = at.date_naive();
                let to_paper = paper_on.map(|paper| (paper - last).num_days());
                last + TimeDelta::days(gap(to_paper))
            }
        };
        if back <= today {
            practice.due.push(back);
        }
    }
    practice.due.sort_unstable();
    practice
}
