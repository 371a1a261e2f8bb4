//! Who needs a word, and why, from the raw lines. The definitions stand beside the thresholds `word_...`, in
//! `DEVELOPERS.md` ("Overview", "What each finding claims") and in `README.md`.

use std::collections::BTreeMap;

use chrono::{NaiveDate, TimeDelta};
use num_rational::Rational64;

use crate::claims::{gains, second_pass, sweep, without_a_time};
use crate::facts::Facts;
use crate::minutes::{Minutes, tenth};
use crate::practice::Practice;
use crate::raw::{Key, Session};
use crate::steps::{Followed, in_a_row, many, span};

/// "who needs a word is judged by this many days, up to the newest sitting"
const DAYS: i64 = 7;
/// "at most this many pupils are named as needing a word"
pub(crate) const NAMES: usize = 5;
/// "this many of those names are kept for praise, if there is some"
pub(crate) const PRAISE: usize = 2;
/// "this many blanks on which a guess gains are worth a word"
const BLANKS: usize = 2;
/// "long stays are a habit if they cost marks in at least this many recent sittings"
const LONG_SITTINGS: usize = 2;
/// "this many sittings are recent when a habit is judged"
const LONG_OF: usize = 3;
/// "a mark is outside a pupil's own ranges if it is outside those of this many sittings before"
const RANGES: usize = 2;
/// "this many overdue questions to practise are worth a word"
const DUE: usize = 3;
/// "practice on this many days is worth praise"
const PRACTISED: usize = 2;

/// A reason: its kind and sentence, the share of marks that hang on it, and the paper on which a mark is out of range.
#[derive(Clone, Debug)]
pub(crate) struct Reason {
    pub(crate) kind: &'static str,
    pub(crate) evidence: String,
    pub(crate) stake: f64,
    pub(crate) paper: Option<String>,
}

impl Reason {
    fn new(kind: &'static str, evidence: &str) -> Self {
        let evidence = if is_praise(kind) {
            format!("Praise: {evidence}")
        } else {
            let mut letters = evidence.chars();
            let first = letters.next().into_iter().flat_map(char::to_uppercase);
            first.chain(letters).collect()
        };
        Self {
            kind,
            evidence,
            stake: 0.0,
            paper: None,
        }
    }

    fn at_stake(self, stake: f64) -> Self {
        Self { stake, ..self }
    }
}

pub(crate) fn is_praise(kind: &str) -> bool {
    [
        "above_range",
        "first_sweep",
        "second_pass",
        "practised",
        "step_done",
    ]
    .contains(&kind)
}

/// A mark that is compared, with its range, as `progress` gives both.
#[derive(Clone, Debug)]
pub(crate) struct Compared {
    pub(crate) sitting: String,
    pub(crate) day: NaiveDate,
    pub(crate) paper: String,
    pub(crate) mark: Rational64,
    pub(crate) max: Rational64,
    pub(crate) range: Option<(Rational64, Rational64)>,
}

/// What the reasons for one pupil are drawn from.
pub(crate) struct Pupil<'a> {
    /// The sittings that have ended and were not given up, the earliest first.
    pub(crate) sittings: Vec<(&'a Session, &'a Key)>,
    pub(crate) compared: Vec<Compared>,
    pub(crate) steps: Vec<Followed>,
    pub(crate) practice: Practice,
}

fn real(number: Rational64) -> f64 {
    let part = |part: &i64| f64::from(i32::try_from(*part).unwrap());
    part(number.numer()) / part(number.denom())
}

fn day_of(session: &Session) -> NaiveDate {
    session.header.started.date_naive()
}

/// A day near the newest sitting has no year where that is the same.
fn told(day: NaiveDate, near: NaiveDate) -> String {
    let same = day.format("%Y").to_string() == near.format("%Y").to_string();
    day.format(if same { "%-d %b" } else { "%-d %b %Y" })
        .to_string()
}

/// Six are named; of more than six the first five.
fn some(questions: &[u16]) -> String {
    let shown = if questions.len() > 6 {
        5
    } else {
        questions.len()
    };
    let each = questions[..shown].iter().map(|own| format!("Q{own}"));
    let each = each.collect::<Vec<_>>().join(", ");
    match questions.len() - shown {
        0 => each,
        more => format!("{each} and {more} more"),
    }
}

fn none_or(count: usize) -> String {
    if count == 0 {
        "none".to_owned()
    } else {
        count.to_string()
    }
}

/// What blind guesses on some questions gain on average over leaving them blank.
fn gain(facts: &Facts<'_>, questions: &[u16]) -> Rational64 {
    let each = questions.iter().map(|question| {
        let section = facts.section(*question);
        let options = i64::try_from(facts.options(*question)).unwrap();
        (section.right.0 + section.wrong.0 * (options - 1)) / options - section.blank.0
    });
    each.sum()
}

fn marks(marks: Rational64) -> String {
    let text = tenth(marks);
    let noun = if text == "1" { "mark" } else { "marks" };
    format!("{text} {noun}")
}

/// A mark as people write it: a mixed number.
pub(crate) fn mixed(mark: Rational64) -> String {
    let (whole, part) = (mark.trunc().to_integer(), mark.fract());
    match (whole, part) {
        (whole, part) if *part.numer() == 0 => whole.to_string(),
        (0, part) => part.to_string(),
        (whole, part) => format!("{whole} {}/{}", part.numer().abs(), part.denom()),
    }
}

/// Every reason for a pupil in the days to the newest sitting.
pub(crate) fn all(pupil: &Pupil<'_>, newest: NaiveDate) -> Vec<Reason> {
    let first = newest - TimeDelta::days(DAYS - 1);
    let holds = |day: NaiveDate| first <= day && day <= newest;
    let mut all = vec![];
    for (place, (session, key)) in pupil.sittings.iter().enumerate() {
        if holds(day_of(session)) {
            of_sitting(&pupil.sittings[..place], session, key, newest, &mut all);
        }
    }
    all.extend(long_stays(pupil, newest));
    all.extend(out_of_range(pupil, newest, &holds));
    let mut judged = pupil.steps.iter().rev();
    let judged = judged.find(|own| {
        let news = ["done", "not_done"].contains(&own.state);
        news && own
            .by
            .as_ref()
            .is_some_and(|(_, at)| holds(at.date_naive()))
    });
    all.extend(judged.filter(|own| !own.is_hurried()).map(|own| {
        let kind = if own.state == "done" {
            "step_done"
        } else {
            "step_not_done"
        };
        let (_, at) = own.by.as_ref().unwrap();
        let day = at.format("%-d %b %Y");
        Reason::new(
            kind,
            &format!(
                "Agreed: {}; {}. (Sitting of {day}.)",
                own.step, own.evidence
            ),
        )
    }));
    all.extend(practised(&pupil.practice, first, newest));
    all
}

fn of_sitting(
    before: &[(&Session, &Key)],
    session: &Session,
    key: &Key,
    newest: NaiveDate,
    all: &mut Vec<Reason>,
) {
    let facts = Facts::of(session);
    let day = told(day_of(session), newest);
    let sat = format!("{}, {day}.", session.header.paper.title);
    let share = |marks: Rational64| real(marks) / real(facts.max());
    let blanks = facts.blanks();
    let mut free = blanks.clone();
    free.retain(|question| gains(&facts, *question));
    if free.len() >= BLANKS {
        let worth = gain(&facts, &free);
        let said = format!(
            "{} blank when time was up ({}), where a blind guess gains on average: together about {}. {sat}",
            many(free.len(), "question"),
            some(&free),
            marks(worth)
        );
        all.push(Reason::new("blanks", &said).at_stake(share(worth)));
    }
    let minutes = Minutes::of(&facts, key);
    let unused = minutes.unused().filter(|_| facts.is_timed());
    if let Some(unused) = &unused {
        let left = unused.millis.unwrap().div_ceil(1000) * 1000;
        let wrong = facts.in_time.iter();
        let wrong = wrong.filter(|(question, given)| given.option != key.right(**question));
        let said = format!(
            "finished with {} of {} left, with {} wrong and {} blank. {sat}",
            span(left),
            span(facts.allowed()),
            wrong.count(),
            none_or(blanks.len())
        );
        all.push(Reason::new("unused_time", &said).at_stake(share(minutes.unused_worth())));
    }
    let printed = !session.header.paper.on_screen;
    if let Some(swept) = sweep(&facts).filter(|_| facts.is_timed() && unused.is_none() && !printed)
    {
        let earlier = before.iter().map(|(own, _)| Facts::of(own));
        let earlier: Vec<_> = earlier.filter(Facts::is_timed).collect();
        let swept_before = earlier
            .iter()
            .any(|own| sweep(own).is_some() && own.blanks().is_empty());
        let last = earlier.last().filter(|own| !own.blanks().is_empty());
        let free = swept.filled.iter().all(|question| gains(&facts, *question));
        if let Some(last) = last
            && !swept_before
            && blanks.is_empty()
            && free
        {
            let left = last.blanks().len();
            let were = if left == 1 {
                "question was"
            } else {
                "questions were"
            };
            let said = format!(
                "filled every blank before time was up ({}), for the first time; {left} {were} left blank on {}. {sat}",
                some(&swept.filled),
                told(day_of(last.session), newest)
            );
            all.push(Reason::new("first_sweep", &said));
        }
    }
    if let Some(claim) = second_pass(&facts, key).filter(|_| facts.is_timed()) {
        let each: Vec<String> = claim.questions.iter().map(u16::to_string).collect();
        let which = match each.len() {
            1 => format!("question {}", each[0]),
            2..=5 => format!("questions {}", in_a_row(&each)),
            count => many(count, "question"),
        };
        let gained = mixed(claim.marks.unwrap());
        let noun = if gained == "1" { "mark" } else { "marks" };
        let said = format!("went back to {which} and gained {gained} {noun}. {sat}");
        all.push(Reason::new("second_pass", &said));
    }
}

/// In the newest of the last three timed sittings whose times are known, and in one of the others.
fn long_stays(pupil: &Pupil<'_>, newest: NaiveDate) -> Option<Reason> {
    let timed = pupil.sittings.iter().filter(|(session, _)| {
        let facts = Facts::of(session);
        facts.is_timed() && without_a_time(&facts).len() < facts.asked.len()
    });
    let timed: Vec<_> = timed.collect();
    let recent = &timed[timed.len().saturating_sub(LONG_OF)..];
    let (mut said, mut stake, mut newest_has) = (vec![], 0.0, false);
    for (session, key) in recent {
        let facts = Facts::of(session);
        let minutes = Minutes::of(&facts, key);
        let sinks = minutes.sinks();
        let each = sinks.iter().map(|sink| {
            let (question, time) = (sink.questions[0], sink.millis.unwrap());
            stake += real(minutes.cost(question, time)) / real(facts.max());
            format!("Q{question} {}", span(time))
        });
        let each: Vec<String> = each.collect();
        newest_has = !each.is_empty();
        if newest_has {
            let day = told(day_of(session), newest);
            said.push(format!("{} ({day})", each.join(", ")));
        }
    }
    let first = newest - TimeDelta::days(DAYS - 1);
    let recently = recent
        .last()
        .is_some_and(|(own, _)| first <= day_of(own) && day_of(own) <= newest);
    (recently && newest_has && said.len() >= LONG_SITTINGS).then(|| {
        let evidence = format!(
            "long stays that earned nothing in {} of the last {}: {}.",
            said.len(),
            many(recent.len(), "sitting"),
            said.join("; ")
        );
        let count = f64::from(u32::try_from(recent.len()).unwrap());
        Reason::new("long_stays", &evidence).at_stake(stake / count)
    })
}

/// The newest compared mark lies below both ranges before it, or above both.
fn out_of_range(
    pupil: &Pupil<'_>,
    newest: NaiveDate,
    holds: &impl Fn(NaiveDate) -> bool,
) -> Option<Reason> {
    let (own, before) = pupil.compared.split_last()?;
    let counts = |(session, _): &&(&Session, &Key)| session.header.sitting == own.sitting;
    let (session, _) = pupil.sittings.iter().find(counts)?;
    let ranged = before.iter().filter_map(|line| {
        let (low, high) = line.range?;
        Some((line.day, low / line.max, high / line.max))
    });
    let ranged: Vec<_> = ranged.collect();
    if !holds(own.day) || ranged.len() < RANGES {
        return None;
    }
    let ranged = &ranged[ranged.len() - RANGES..];
    let share = own.mark / own.max;
    let below = ranged.iter().all(|(_, low, _)| share < *low);
    let above = ranged.iter().all(|(_, _, high)| share > *high);
    let (kind, side) = match (below, above) {
        (true, _) => ("below_range", "below"),
        (_, true) => ("above_range", "above"),
        _ => return None,
    };
    let percent = |share: Rational64| format!("{:.0}", real(share) * 100.0);
    let each = ranged.iter().map(|(day, low, high)| {
        let day = told(*day, newest);
        format!("{}-{}% ({day})", percent(*low), percent(*high))
    });
    let said = format!(
        "{} of {} ({}%), {side} the ranges of the sittings before: {}. {}, {}; papers differ, so ask first.",
        mixed(own.mark),
        mixed(own.max),
        percent(share),
        each.collect::<Vec<_>>().join(" and "),
        session.header.paper.title,
        told(own.day, newest)
    );
    let lowest = ranged.iter().map(|(_, low, _)| *low).min().unwrap();
    let stake = if below { real(lowest - share) } else { 0.0 };
    let paper = Some(own.paper.clone());
    Some(Reason {
        paper,
        ..Reason::new(kind, &said).at_stake(stake)
    })
}

fn practised(practice: &Practice, first: NaiveDate, newest: NaiveDate) -> Option<Reason> {
    let recent = practice.tries.iter();
    let recent = recent.filter(|(day, _)| first <= *day && *day <= newest);
    let recent: Vec<_> = recent.collect();
    let mut days: Vec<_> = recent.iter().map(|(day, _)| *day).collect();
    days.sort_unstable();
    days.dedup();
    if days.len() >= PRACTISED {
        let right = recent.iter().filter(|(_, right)| *right).count();
        let said = format!(
            "practised on {}: {} tried again, {right} right without help.",
            many(days.len(), "day"),
            many(recent.len(), "question")
        );
        return Some(Reason::new("practised", &said));
    }
    // Somebody who has never practised, or who has in these days or since, has put nothing off.
    let last = practice.last.filter(|last| *last < first)?;
    let long = practice.due.iter().filter(|since| **since < first);
    let long: Vec<_> = long.collect();
    let since = **long.iter().min()?;
    (long.len() >= DUE).then(|| {
        let have = if long.len() == 1 { "has" } else { "have" };
        let said = format!(
            "{} to try again {have} been due for over a week, the first since {}; last practised on {}.",
            many(long.len(), "missed question"),
            told(since, newest),
            told(last, newest)
        );
        Reason::new("practice_due", &said)
    })
}

/// Without the marks out of range on a paper on which at least half of those who can be judged, and two of them, are out on
/// the same side; `sat` says how many compared sittings of these days each paper has.
pub(crate) fn without_hard_papers(
    all: &mut BTreeMap<String, Vec<Reason>>,
    sat: &BTreeMap<String, usize>,
) {
    let mut out = BTreeMap::<(String, &str), usize>::new();
    for reason in all.values().flatten() {
        if let Some(paper) = &reason.paper {
            *out.entry((paper.clone(), reason.kind)).or_default() += 1;
        }
    }
    let is_the_paper = |reason: &Reason| {
        reason.paper.as_ref().is_some_and(|paper| {
            let count = out[&(paper.clone(), reason.kind)];
            count >= 2 && 2 * count >= sat[paper]
        })
    };
    for own in all.values_mut() {
        own.retain(|reason| !is_the_paper(reason));
    }
}
