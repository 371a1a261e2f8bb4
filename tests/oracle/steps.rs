//! Agreed steps, read from the notes as text and judged from the raw lines. The definitions stand in `README.md` ("Look
//! back and plan") and in `DEVELOPERS.md`: a step is judged by the pupil's next sitting that counts, was begun after
//! the talk and asked the whole paper; where that one's log cannot tell, it stays open for the one after it, until a
//! step is agreed about a later sitting.

use std::collections::BTreeMap;
use std::path::Path;

use chrono::{DateTime, FixedOffset, NaiveDate};
use num_rational::Rational64;
use serde::Deserialize;

use crate::claims::{LATE_SECONDS, RUSHED_FLOOR_SECONDS, batches, done_to, sweep};
use crate::facts::Facts;
use crate::overview::gain;
use crate::raw::{Ending, Event, Key, Session};

#[derive(Clone, Debug, Deserialize)]
pub(crate) struct Agreed {
    pub(crate) at: DateTime<FixedOffset>,
    #[serde(default)]
    pub(crate) step: Option<String>,
    #[serde(default)]
    pub(crate) text: Option<String>,
}

#[derive(Deserialize)]
struct Notes {
    #[serde(default)]
    steps: Vec<Agreed>,
}

/// The last word on a step in the notes beside a sitting.
pub(crate) fn agreed(session: &Path) -> Option<Agreed> {
    let path = session.to_string_lossy();
    let path = path.replace(".session.ron", ".notes.ron");
    let text = std::fs::read_to_string(path).ok()?;
    let lax = ron::Options::default();
    let lax = lax.with_default_extension(ron::extensions::Extensions::IMPLICIT_SOME);
    let notes: Notes = lax.from_str(&text).unwrap();
    notes.steps.into_iter().next_back()
}

/// A step, and what became of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Followed {
    pub(crate) about: String,
    pub(crate) agreed: NaiveDate,
    pub(crate) step: String,
    pub(crate) state: &'static str,
    /// The sitting that judged it, or after which nobody can tell.
    pub(crate) by: Option<(String, DateTime<FixedOffset>)>,
    pub(crate) evidence: String,
}

impl Followed {
    /// Kept, and yet no praise.
    pub(crate) fn is_hurried(&self) -> bool {
        self.evidence.ends_with(HURRIED)
    }
}

/// Every step of a pupil, whose sittings come in order.
pub(crate) fn followed(
    sittings: &[(Session, Option<Agreed>)],
    keys: &BTreeMap<String, Key>,
) -> Vec<Followed> {
    let mut all = vec![];
    for (place, (about, agreed)) in sittings.iter().enumerate() {
        let Some(agreed) = agreed else { continue };
        let (state, by, evidence) = became(about, agreed, &sittings[place + 1..], keys);
        let step = agreed.step.as_deref().map(in_short);
        all.push(Followed {
            about: about.header.sitting.clone(),
            agreed: agreed.at.date_naive(),
            step: step.or_else(|| agreed.text.clone()).unwrap_or_default(),
            state,
            by: by.map(|by| (by.header.sitting.clone(), by.header.started)),
            evidence,
        });
    }
    all
}

fn became<'a>(
    about: &Session,
    agreed: &Agreed,
    later: &'a [(Session, Option<Agreed>)],
    keys: &BTreeMap<String, Key>,
) -> (&'static str, Option<&'a Session>, String) {
    if agreed.step.is_none() && agreed.text.is_none() {
        return ("withdrawn", None, "withdrawn".into());
    }
    let mut open = "open until the next sitting".to_owned();
    for (next, own) in later {
        let facts = Facts::of(next);
        let whole = facts.asked.len() == usize::from(next.header.paper.questions);
        let judges = facts.is_whole() && whole && next.header.invented == about.header.invented;
        if !judges || next.header.started <= agreed.at {
            continue;
        }
        let Some(step) = &agreed.step else {
            let ask = "ask how it went, as no log can tell";
            return ("not_judged", Some(next), ask.into());
        };
        let key = keys.get(&next.header.paper.id);
        let why = match judged(&facts, step, key) {
            Ok((true, shown)) => return ("done", Some(next), format!("done: {shown}")),
            Ok((false, shown)) => {
                return ("not_done", Some(next), format!("not this time: {shown}"));
            }
            Err(why) => why,
        };
        let stands = |own: &Agreed| own.step.is_some() || own.text.is_some();
        if own.as_ref().is_some_and(stands) {
            let said = format!("nobody can tell, as {why}");
            return ("not_judged", Some(next), said);
        }
        let day = next.header.started.format("%-d %b %Y");
        open = format!("still open: the sitting of {day} can't tell, as {why}");
    }
    ("open", None, open)
}

/// `3:00` in milliseconds.
fn clock(text: &str) -> u64 {
    let (minutes, seconds) = text.split_once(':').unwrap();
    (minutes.parse::<u64>().unwrap() * 60 + seconds.parse::<u64>().unwrap()) * 1000
}

/// `1 minute`, `30 seconds`, `2 min 5 s`, rounded down to the second.
pub(crate) fn span(millis: u64) -> String {
    let (minutes, seconds) = (millis / 60_000, millis / 1000 % 60);
    let many = |count: u64, word: &str| many(usize::try_from(count).unwrap(), word);
    match (minutes, seconds) {
        (minutes, 0) => many(minutes, "minute"),
        (0, seconds) => many(seconds, "second"),
        (minutes, seconds) => format!("{minutes} min {seconds} s"),
    }
}

/// `1 blank`, `2 blanks`.
pub(crate) fn many(count: usize, word: &str) -> String {
    let end = if count == 1 { "" } else { "s" };
    format!("{count} {word}{end}")
}

fn in_short(step: &str) -> String {
    match step.split(' ').collect::<Vec<_>>()[..] {
        ["sweep", left] => format!("sweep begun with {} left", span(clock(left))),
        ["stay", most] => format!("no stay over {}", span(clock(most))),
        ["checkpoint", question, "by", by] => {
            format!("questions 1 to {question} done by {}", span(clock(by)))
        }
        ["checkpoints"] => "every checkpoint of the plan kept".into(),
        ["flags"] => "every flag looked at again".into(),
        _ => panic!("{step}"),
    }
}

const TOGETHER: &str = "answers were entered together";

/// Whether it was kept, and by what one sees it; or why the log cannot tell.
fn judged(
    facts: &Facts<'_>,
    step: &str,
    key: Option<&Key>,
) -> Result<(bool, String), &'static str> {
    if !facts.is_timed() {
        return Err("its answers were typed in afterwards");
    }
    let keyed = if facts.session.header.paper.on_screen {
        vec![]
    } else {
        batches(facts)
    };
    let withheld = keyed.len() * 4 > facts.asked.len();
    let words: Vec<&str> = step.split(' ').collect();
    if withheld && words != ["flags"] {
        return Err(TOGETHER);
    }
    match words[..] {
        ["sweep", left] => begins(facts, clock(left)),
        ["stay", most] => stays(facts, clock(most), &keyed),
        ["checkpoint", question, "by", by] => {
            one_checkpoint(facts, question.parse().unwrap(), clock(by))
        }
        ["checkpoints"] => checkpoints(facts, key),
        ["flags"] => flags(facts),
        _ => panic!("{step}"),
    }
}

/// Kept where the sweep began with at least so much time left and no question stayed blank on which a blind guess gains
/// on average, or where nothing was blank then any more. It began at
/// its key, where the pupil pressed that and had not left the sweep again before the first of the blanks was filled,
/// else with the opening of the first of them; where no filling is seen, at the key of a sweep in which an answer was
/// given.
fn begins(facts: &Facts<'_>, wanted: u64) -> Result<(bool, String), &'static str> {
    let swept = sweep(facts);
    // Whether the sweep's key was on, at each answer in time.
    let (mut on, mut keyed_answers) = (None, vec![]);
    for line in &facts.session.lines {
        match line.event {
            Event::SweepBegun => on = Some(line.at),
            Event::SweepLeft => on = None,
            Event::TimeUp { .. } | Event::Closed(_) => break,
            Event::Answered(..) => keyed_answers.push((line.at, on)),
            _ => {}
        }
    }
    let (from, by_key) = match &swept {
        Some(sweep) => {
            let first = keyed_answers.iter().find(|(at, _)| *at >= sweep.from);
            match first.and_then(|(_, on)| *on) {
                Some(key) => (Some(key), true),
                None => (Some(sweep.from), false),
            }
        }
        None => (keyed_answers.iter().rev().find_map(|(_, on)| *on), true),
    };
    // On a printed paper what looks like a sweep may be the keying of what was worked out.
    if swept.is_some() && !by_key && !facts.session.header.paper.on_screen {
        return Err(TOGETHER);
    }
    let left = from.map(|at| facts.left(at));
    let in_time = left.is_some_and(|left| left >= wanted);
    let moment = facts.moment_of(facts.allowed().saturating_sub(wanted));
    let lines = facts.session.lines.iter();
    let then = facts.after(lines.filter(|line| line.at <= moment).count());
    let full = Facts::of(&then).blanks().is_empty();
    let nothing = Rational64::from_integer(0);
    let gains = facts.blanks().iter().any(|own| gain(facts, *own) > nothing);
    let blanks = many(facts.blanks().len(), "blank");
    let shown = match left {
        _ if full && !in_time => "nothing was blank by then".to_owned(),
        Some(left) if in_time && gains => format!("begun with {} left, but {blanks}", span(left)),
        Some(left) => format!("begun with {} left, {blanks}", span(left)),
        None => format!("no sweep, {blanks}"),
    };
    Ok((in_time && !gains || full, shown))
}

/// Kept where no question was open for longer at a stretch; a look elsewhere of under ten seconds ends none.
fn stays(facts: &Facts<'_>, most: u64, keyed: &[u16]) -> Result<(bool, String), &'static str> {
    let mut longest: Option<(u64, u16)> = None;
    for question in facts.asked.iter().copied() {
        if keyed.contains(&question) || facts.visits_to(question).next().is_none() {
            continue;
        }
        let (mut now, mut elsewhere) = (0, 0);
        for visit in &facts.visits {
            if visit.question != question {
                elsewhere += facts.lasted(visit);
                continue;
            }
            now = if elsewhere < RUSHED_FLOOR_SECONDS {
                now
            } else {
                0
            };
            (now, elsewhere) = (now + facts.lasted(visit), 0);
            if longest.is_none_or(|(known, own)| now > known || own == question && now == known) {
                longest = Some((now, question));
            }
        }
    }
    match longest {
        None => Err(TOGETHER),
        Some((took, _)) if took <= most && !keyed.is_empty() => Err(TOGETHER),
        Some((took, question)) => {
            let said = format!(
                "question {question} was open the longest, for {}",
                span(took)
            );
            Ok((took <= most, said))
        }
    }
}

/// How many questions up to one were asked, how many of them were done at a moment of the time used, and at which of
/// the moments from then on all of them were first.
fn passing(facts: &Facts<'_>, last: u16, by: u64) -> (usize, usize, Option<u64>) {
    let upto: Vec<u16> = facts.asked.iter().copied().filter(|q| *q <= last).collect();
    let first = facts.moment_of(by);
    let lines = &facts.session.lines;
    let before = lines.iter().filter(|line| line.at <= first).count();
    let in_time = lines.iter().filter(|line| line.at <= facts.stop).count();
    let done = upto.iter().filter(|question| {
        // One alone is done where the questions up to it are, of those that are done to the one before it.
        let then = facts.after(before);
        let then = Facts::of(&then);
        let over = then.is_over();
        let open = then.visits.last().filter(|_| !over);
        let open = open.map(|visit| visit.question);
        let seen = then.visits_to(**question).next().is_some();
        then.in_time.contains_key(question) || seen && open != Some(**question)
    });
    let reached = (before..=in_time).find(|count| done_to(facts, last, *count));
    let reached = reached.map(|count| match count {
        count if count == before => facts.used(first),
        count => facts.used(lines[count - 1].at),
    });
    (upto.len(), done.count(), reached)
}

fn one_checkpoint(facts: &Facts<'_>, last: u16, by: u64) -> Result<(bool, String), &'static str> {
    let (asked, done, reached) = passing(facts, last, by);
    let kept = reached.is_some_and(|used| used <= by + LATE_SECONDS);
    if asked == 0 {
        return Err("those questions weren't asked");
    }
    if reached.is_none() && facts.used(facts.stop) < by {
        return Err("it was finished before then");
    }
    let shown = match reached {
        Some(used) => format!("reached by {}", span(used)),
        None => format!("{done} of {} done by then", many(asked, "question")),
    };
    Ok((kept, shown))
}

fn checkpoints(facts: &Facts<'_>, key: Option<&Key>) -> Result<(bool, String), &'static str> {
    let points = facts.session.header.plan.iter();
    let points = points.flat_map(|plan| &plan.checkpoints);
    let each = points.filter_map(|point| {
        let by = u64::try_from((point.minutes.0 * 60_000).to_integer()).unwrap();
        one_checkpoint(facts, point.question, by).ok()
    });
    let each: Vec<bool> = each.map(|(kept, _)| kept).collect();
    let kept = each.iter().filter(|kept| **kept).count();
    if each.is_empty() {
        return Err("there was no plan with checkpoints");
    }
    let but = if kept == each.len() && is_hurried(facts, key) {
        HURRIED
    } else {
        ""
    };
    let shown = format!("{kept} of {} kept{but}", many(each.len(), "checkpoint"));
    Ok((kept == each.len(), shown))
}

/// Beside checkpoints that are kept and no praise.
const HURRIED: &str = ", but at a pace that left time unused or ran far ahead of the plan";
/// "finished with at least this share of the time left": a tenth of it.
const UNUSED_PART: u64 = 10;

/// Checkpoints that were kept are no praise where a tenth of the time or more was left unused while something was wrong
/// or blank, nor where one was first done within three quarters of its time and an answer up to it is wrong. Without a
/// key nobody can say that nothing was.
fn is_hurried(facts: &Facts<'_>, key: Option<&Key>) -> bool {
    let is_right = |question: &u16| {
        let given = facts.in_time.get(question);
        key.is_some_and(|key| given.is_some_and(|given| given.option == key.right(*question)))
    };
    let left = facts.left(facts.stop);
    let early = facts.ending == Some(Ending::FinishedEarly) && left > 0;
    let much = early && left * UNUSED_PART >= facts.allowed();
    let unused = much && !facts.asked.iter().all(is_right);
    let points = facts.session.header.plan.iter();
    let mut points = points.flat_map(|plan| &plan.checkpoints);
    let ahead = points.any(|point| {
        let planned = u64::try_from((point.minutes.0 * 60_000).to_integer()).unwrap();
        let moment = facts.moment_of(planned).min(facts.stop);
        let lines = &facts.session.lines;
        let before = lines.iter().filter(|line| line.at <= moment).count();
        let first = (1..=before).find(|count| done_to(facts, point.question, *count));
        let far = first.is_some_and(|count| facts.used(lines[count - 1].at) * 4 <= planned * 3);
        let answered = facts.in_time.keys().filter(|own| **own <= point.question);
        far && (key.is_none() || !answered.copied().all(|own| is_right(&own)))
    });
    unused || ahead
}

/// Kept where every question that was flagged was opened again after that, for ten seconds or with something done to
/// it. A flag taken off on the visit on which it was set was none.
fn flags(facts: &Facts<'_>) -> Result<(bool, String), &'static str> {
    let (mut flagged, mut left) = (vec![], vec![]);
    for question in facts.asked.iter().copied() {
        // When it was flagged last; whether it was opened since, and something done to it then.
        let (mut set, mut opened, mut done) = (None, false, false);
        for line in facts.session.lines.iter().filter(|l| l.at <= facts.stop) {
            match &line.event {
                Event::Flagged(own) if *own == question => {
                    (set, opened, done) = (Some(line.at), false, false);
                }
                Event::Unflagged(own) if *own == question && set.is_some() => {
                    if opened {
                        done = true;
                    } else {
                        set = None;
                    }
                }
                Event::Opened(own) if *own == question => opened = set.is_some(),
                Event::Answered(own, _) | Event::RubbedOut(own) | Event::Said(own, _)
                    if *own == question && opened =>
                {
                    done = true;
                }
                _ => {}
            }
        }
        let Some(at) = set else { continue };
        flagged.push(question);
        let mut later = facts.visits_to(question).filter(|visit| visit.from >= at);
        if !done && !later.any(|visit| facts.lasted(visit) >= RUSHED_FLOOR_SECONDS) {
            left.push(question);
        }
    }
    if flagged.is_empty() {
        return Err("nothing was flagged");
    }
    if left.is_empty() {
        let shown = format!("{} looked at again", many(flagged.len(), "flag"));
        return Ok((true, shown));
    }
    let word = if left.len() == 1 {
        "question"
    } else {
        "questions"
    };
    Ok((
        false,
        format!("{word} {} not looked at again", in_ranges(&left)),
    ))
}

/// `3`, `3 and 7`, `3, 7 to 9 and 12`.
pub(crate) fn in_ranges(numbers: &[u16]) -> String {
    let runs = numbers.chunk_by(|one, next| next - one == 1);
    let mut parts: Vec<String> = vec![];
    for run in runs {
        match run {
            [one] => parts.push(one.to_string()),
            [one, two] => parts.extend([one.to_string(), two.to_string()]),
            _ => parts.push(format!("{} to {}", run[0], run[run.len() - 1])),
        }
    }
    in_a_row(&parts)
}

/// `a, b and c`.
pub(crate) fn in_a_row(parts: &[String]) -> String {
    match parts {
        [before @ .., last] if !before.is_empty() => format!("{} and {last}", before.join(", ")),
        _ => parts.concat(),
    }
}
