//! What each finding claims of a sitting, from the plain facts alone. The definitions stand in
//! `DEVELOPERS.md`, "What each finding claims", and beside each threshold.

use num_rational::Rational64;

use crate::facts::{Facts, Put, Visit};
use crate::minutes::Minutes;
use crate::raw::{Ending, Event, Key};

/// "first answers closer together than this were entered in a batch"
const BATCH_GAP_SECONDS: u64 = 10_000;
/// "this many answers close together make a batch"
const BATCH_ANSWERS: usize = 3;
/// "if batches make up more than this share of the paper, no times are shown": one part of so many.
const BATCH_PART: usize = 4;
/// "a sweep is a run of visits no longer than this that fills blanks"
const SWEEP_SECONDS: u64 = 20_000;
/// "a sweep ends within this last share of the time allowed": one part of so many.
const SWEEP_PART: u64 = 10;
/// "an answer below this is rushed, where no group's times are at hand"
pub(crate) const RUSHED_FLOOR_SECONDS: u64 = 10_000;
/// "a long stay is over this many times the planned time"
const LONG_TIMES: u64 = 2;
/// "a long stay is also over the planned time by more than this"
const LONG_OVER_SECONDS: u64 = 120_000;
/// "a start is judged by this many first answers", and is slow at five quarters of the planned time
const START_ANSWERS: usize = 5;
/// "this many visits to one question count as going to and fro"
const MANY_VISITS: usize = 4;
/// "a sitting was finished before time was up if at least this much time was left"
const EARLY_SECONDS: u64 = 60_000;
/// "a checkpoint may be passed this late"
pub(crate) const LATE_SECONDS: u64 = 60_000;
/// "luck is mentioned when it is at least this unlikely"
const LUCK_CHANCE: f64 = 0.125;

/// One claim: what it speaks of, in milliseconds and marks.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Claim {
    pub(crate) kind: &'static str,
    pub(crate) questions: Vec<u16>,
    pub(crate) millis: Option<u64>,
    pub(crate) marks: Option<Rational64>,
    /// What the tutor's sentence has to say.
    pub(crate) words: Vec<String>,
}

impl Claim {
    pub(crate) fn of(kind: &'static str, questions: impl IntoIterator<Item = u16>) -> Self {
        let mut questions: Vec<u16> = questions.into_iter().collect();
        questions.sort_unstable();
        Self {
            kind,
            questions,
            millis: None,
            marks: None,
            words: vec![],
        }
    }

    pub(crate) fn lasting(self, millis: u64) -> Self {
        let millis = Some(millis);
        Self { millis, ..self }
    }

    pub(crate) fn saying(self, words: Vec<String>) -> Self {
        Self { words, ..self }
    }

    fn worth(self, marks: Rational64) -> Self {
        let marks = Some(marks);
        Self { marks, ..self }
    }
}

/// Everything that the findings of a sitting claim, by kind.
pub(crate) fn all(facts: &Facts<'_>, key: &Key) -> Vec<Claim> {
    let mut found = vec![];
    found.extend(blanks(facts));
    found.extend(no_blank(facts));
    found.extend(sweep(facts).map(|sweep| sweep.claim()));
    found.extend(second_pass(facts, key));
    found.extend(changes(facts, key));
    found.extend(to_and_fro(facts));
    found.extend(slow_start(facts));
    found.extend(ended_early(facts));
    let sections = all_right(facts, key).into_iter();
    found.extend(sections.map(|_| Claim::of("section_all_right", [])));
    found.extend(checkpoints(facts));
    found.extend(long(facts, key));
    found.extend(luck(facts, key));
    found.extend(Minutes::of(facts, key).claims());
    found.sort();
    found
}

fn is_right(facts: &Facts<'_>, key: &Key, question: u16) -> bool {
    let given = facts.in_time.get(&question);
    given.is_some_and(|given| given.option == key.right(question))
}

/// Blank when the time in which answers count ended; nothing of a sitting given up or not ended.
fn blanks(facts: &Facts<'_>) -> Option<Claim> {
    let blank = facts.blanks();
    (facts.is_whole() && !blank.is_empty()).then(|| Claim::of("blanks", blank))
}

/// Every question answered in time, without a sweep, where no wrong answer costs more than a blank.
fn no_blank(facts: &Facts<'_>) -> Option<Claim> {
    let sections = &facts.session.header.paper.rule.sections;
    let may_lose = sections
        .iter()
        .any(|section| section.wrong.0 < section.blank.0);
    let all = facts.is_whole() && facts.blanks().is_empty() && sweep(facts).is_none();
    (all && !may_lose).then(|| Claim::of("no_blank", []))
}

/// A run of blanks filled.
pub(crate) struct Sweep {
    pub(crate) filled: Vec<u16>,
    /// When the first one filled was opened.
    pub(crate) from: u64,
    pub(crate) took: u64,
}

impl Sweep {
    fn claim(&self) -> Claim {
        Claim::of("sweep", self.filled.iter().copied()).lasting(self.took)
    }
}

/// Of a sitting whose time is over, the last run of short stays that filled two questions or more: gave each the first
/// answer it ever had, where it still has one at the end, and where it or a later question had been open before, the
/// sweep's key was pressed, or the run ends in the last tenth of the time allowed. Its last fill lies near the end. Each
/// stay of the run is short, the last one up to its fill. With the paper beside the screen a run that answers more than
/// half of the questions is keying.
pub(crate) fn sweep(facts: &Facts<'_>) -> Option<Sweep> {
    if !facts.is_over() {
        return None;
    }
    let mut last = None;
    let mut run: Vec<(Put, bool)> = vec![];
    for (place, visit) in facts.visits.iter().enumerate() {
        let first = facts.first_answer(visit.question).filter(|put| {
            let within = (visit.from..=visit.to).contains(&put.at) && put.visit == visit.from;
            within && facts.worked(visit.from, put.at) <= SWEEP_SECONDS
        });
        let answer = first.filter(|put| facts.in_time.contains_key(&put.question));
        if let Some(put) = answer {
            let mut earlier: Vec<u16> = facts.visits[..place]
                .iter()
                .map(|own| own.question)
                .collect();
            while earlier.last() == Some(&put.question) {
                earlier.pop();
            }
            let passed = earlier.iter().any(|other| *other >= put.question);
            run.push((put, passed || sweeping(facts, put.at)));
        }
        let late = run
            .last()
            .is_some_and(|(put, _)| facts.left(put.at) <= facts.allowed() / SWEEP_PART);
        let fills: Vec<&Put> = run
            .iter()
            .filter(|(_, is_fill)| late || *is_fill)
            .map(|(put, _)| put)
            .collect();
        let near = fills.last().is_some_and(|put| {
            facts.left(put.at) - facts.left(facts.stop) <= facts.allowed() / SWEEP_PART
        });
        if answer.is_some() && fills.len() >= 2 && near {
            let (from, to) = (fills[0].visit, fills[fills.len() - 1].at);
            let found = Sweep {
                filled: fills.iter().map(|put| put.question).collect(),
                from,
                took: facts.worked(from, to),
            };
            last = Some((found, run.len()));
        }
        if facts.worked(visit.from, visit.to) > SWEEP_SECONDS {
            run.clear();
        }
    }
    let printed = !facts.session.header.paper.on_screen;
    let keyed = |answered: usize| printed && answered * 2 > facts.asked.len();
    last.filter(|(_, answered)| !keyed(*answered))
        .map(|(sweep, _)| sweep)
}

/// Whether the sweep's key had been pressed, and the sweep not left again.
fn sweeping(facts: &Facts<'_>, at: u64) -> bool {
    let before = facts.session.lines.iter().take_while(|line| line.at <= at);
    let mut on = false;
    for line in before {
        match line.event {
            Event::SweepBegun => on = true,
            Event::SweepLeft | Event::TimeUp { .. } if line.at < at => on = false,
            _ => {}
        }
    }
    on
}

/// The questions whose times say nothing: on a printed paper what a sweep filled, and three first answers or
/// more, each less than ten seconds after the one before, said guesses and a sweep's fills left out; all
/// of them where more than a quarter of what was asked was keyed so; all of a sheet typed in.
pub(crate) fn without_a_time(facts: &Facts<'_>) -> Vec<u16> {
    if !facts.is_timed() {
        return facts.asked.clone();
    }
    if facts.session.header.paper.on_screen {
        return vec![];
    }
    let mut keyed = batches(facts);
    if keyed.len() * BATCH_PART > facts.asked.len() {
        return facts.asked.clone();
    }
    keyed.extend(sweep(facts).map(|sweep| sweep.filled).unwrap_or_default());
    keyed.sort_unstable();
    keyed
}

/// What was keyed in three first answers or more at a time, each less than ten seconds after the one before,
/// said guesses and a sweep's fills left out.
pub(crate) fn batches(facts: &Facts<'_>) -> Vec<u16> {
    let swept = sweep(facts).map(|sweep| sweep.filled).unwrap_or_default();
    let said = |question: u16| {
        facts
            .in_time
            .get(&question)
            .is_some_and(|own| own.how.is_luck())
    };
    let firsts = facts.puts.iter().filter(|put| {
        let first = facts.first_answer(put.question).as_ref() == Some(*put);
        first && !swept.contains(&put.question) && !said(put.question)
    });
    let firsts: Vec<&Put> = firsts.collect();
    let runs = firsts.chunk_by(|before, after| after.at - before.at < BATCH_GAP_SECONDS);
    let batches = runs.filter(|run| run.len() >= BATCH_ANSWERS).flatten();
    batches.map(|put| put.question).collect()
}

/// Whether after its first opening, and before a later one at so many milliseconds, a question was left for
/// later or flagged, or another question was answered.
fn really_left(facts: &Facts<'_>, question: u16, back: u64) -> bool {
    let mut opened = false;
    for line in &facts.session.lines {
        match &line.event {
            Event::Opened(own) if *own == question => {
                if opened && line.at == back {
                    return false;
                }
                opened = true;
            }
            Event::Skipped(own) | Event::Flagged(own) if opened && *own == question => return true,
            Event::Answered(other, _) if opened && *other != question => return true,
            _ => {}
        }
    }
    false
}

/// A question was gone back to when its visits before the one of its first answer took ten seconds at the
/// least together, it was really left before that one, that answer came no sooner than that after its visit's opening (or after another answer
/// on it), no sweep gave it, and its answer in time is not said to be a guess. The marks are what the
/// answers in time to these questions bring over leaving them blank, said only above zero; the seconds the
/// visits after each question's first, up to the one of its first answer.
pub(crate) fn second_pass(facts: &Facts<'_>, key: &Key) -> Option<Claim> {
    let swept = sweep(facts).map(|sweep| sweep.filled).unwrap_or_default();
    let (mut marks, mut took) = (Rational64::from_integer(0), 0);
    let mut gone_back_to = vec![];
    for question in facts.asked.iter().copied() {
        let Some(first) = facts.first_answer(question) else {
            continue;
        };
        let lasted = |visit: &Visit| facts.lasted(visit);
        let before = facts
            .visits_to(question)
            .filter(|own| own.from < first.visit);
        let earlier: u64 = before.map(lasted).sum();
        let mut answers = facts.puts.iter();
        let other = answers.rfind(|put| put.visit == first.visit && put.at < first.at);
        let since = other.map_or(first.visit, |put| put.at);
        let Some(given) = facts.in_time.get(&question) else {
            continue;
        };
        if earlier < RUSHED_FLOOR_SECONDS
            || !really_left(facts, question, first.visit)
            || facts.worked(since, first.at) < RUSHED_FLOOR_SECONDS
            || swept.contains(&question)
            || given.how.is_luck()
        {
            continue;
        }
        gone_back_to.push(question);
        let blank = facts.marks_of(question, None, key);
        marks += facts.marks_of(question, Some(given.option), key) - blank;
        let later = facts.visits_to(question).skip(1);
        took += later
            .filter(|own| own.from <= first.visit)
            .map(lasted)
            .sum::<u64>();
    }
    let claim = Claim::of("second_pass", gone_back_to)
        .lasting(took)
        .worth(marks);
    (marks > Rational64::from_integer(0)).then_some(claim)
}

/// Right once and wrong at the end; wrong once and right at the end.
fn changes(facts: &Facts<'_>, key: &Key) -> Vec<Claim> {
    let marks = |question: u16, option| facts.marks_of(question, option, key);
    let (mut lost, mut gained) = (vec![], vec![]);
    for question in facts.asked.iter().copied() {
        let right = key.right(question);
        let chosen = facts.chosen(question);
        let Some(end) = facts.in_time.get(&question).map(|given| given.option) else {
            continue;
        };
        let now = marks(question, Some(end));
        if end == right {
            let wrong = chosen.iter().find(|option| **option != right);
            gained.extend(wrong.map(|option| (question, now - marks(question, Some(*option)))));
        } else if chosen.contains(&right) {
            lost.push((question, now - marks(question, Some(right))));
        }
    }
    [("changed_to_wrong", lost), ("changed_to_right", gained)]
        .into_iter()
        .filter(|(_, own)| !own.is_empty())
        .map(|(kind, own)| {
            let marks = own.iter().map(|(_, marks)| *marks).sum();
            Claim::of(kind, own.iter().map(|(question, _)| *question)).worth(marks)
        })
        .collect()
}

/// The first five answers took more than five quarters of the time planned for their questions, but the most is none of
/// them was keyed in a batch.
fn slow_start(facts: &Facts<'_>) -> Option<Claim> {
    let firsts = facts
        .puts
        .iter()
        .filter(|put| facts.first_answer(put.question).as_ref() == Some(*put));
    let firsts: Vec<&Put> = firsts.take(START_ANSWERS).collect();
    let last = firsts.get(START_ANSWERS - 1)?;
    let printed = !facts.session.header.paper.on_screen;
    let keyed = batches(facts);
    if printed && firsts.iter().any(|put| keyed.contains(&put.question)) {
        return None;
    }
    let took = facts.used(last.at);
    let plan: u64 = firsts.iter().map(|put| planned(facts, put.question)).sum();
    (took * 4 > plan * 5).then(|| Claim::of("slow_start", []).lasting(took))
}

/// Opened again and again.
fn to_and_fro(facts: &Facts<'_>) -> Option<Claim> {
    let often = |question: &u16| facts.visits_to(*question).count() >= MANY_VISITS;
    let all: Vec<u16> = facts.asked.iter().copied().filter(often).collect();
    (!all.is_empty()).then(|| Claim::of("to_and_fro", all))
}

/// Ended with time left and flags or blanks open.
fn ended_early(facts: &Facts<'_>) -> Option<Claim> {
    let left = facts.left(facts.stop);
    let early = facts.ending == Some(Ending::FinishedEarly) && left >= EARLY_SECONDS;
    let open = !facts.flags.is_empty() || !facts.blanks().is_empty();
    (early && open).then(|| Claim::of("ended_early", facts.flags.iter().copied()).lasting(left))
}

/// Every question of a section right, of two that were asked at the least.
fn all_right(facts: &Facts<'_>, key: &Key) -> Vec<Vec<u16>> {
    let sections = facts.session.header.paper.rule.sections.iter();
    let asked = sections.map(|section| {
        let own = facts.asked.iter().copied();
        own.filter(|question| (section.first..=section.last).contains(question))
            .collect()
    });
    let right = |own: &Vec<u16>| {
        own.len() > 1 && own.iter().all(|question| is_right(facts, key, *question))
    };
    asked.filter(right).collect()
}

/// Whether a section was all right, and nothing of it said to be a guess or filled in a sweep.
pub(crate) fn a_section_by_thought(facts: &Facts<'_>, key: &Key) -> bool {
    let swept = sweep(facts).map(|sweep| sweep.filled).unwrap_or_default();
    let thought =
        |question: &u16| !swept.contains(question) && !facts.in_time[question].how.is_luck();
    all_right(facts, key)
        .iter()
        .any(|own| own.iter().all(thought))
}

/// Whether a blind guess on a question gains on average over leaving it blank.
pub(crate) fn gains(facts: &Facts<'_>, question: u16) -> bool {
    let section = facts.section(question);
    let options = i64::try_from(facts.options(question)).unwrap();
    let guess = section.right.0 + section.wrong.0 * (options - 1);
    guess > section.blank.0 * options
}

/// Whether every question asked up to one has an answer, or was opened and is not open, after so many
/// lines of the file.
pub(crate) fn done_to(facts: &Facts<'_>, last: u16, lines: usize) -> bool {
    let session = facts.after(lines);
    let then = Facts::of(&session);
    let over = session
        .lines
        .iter()
        .any(|line| matches!(line.event, Event::TimeUp { .. } | Event::Closed(_)));
    // Time up, or the handing in, takes every question away.
    let open = then
        .visits
        .last()
        .filter(|_| !over)
        .map(|visit| visit.question);
    let mut upto = then
        .asked
        .iter()
        .copied()
        .filter(|question| *question <= last);
    upto.all(|question| {
        let seen = then.visits_to(question).next().is_some();
        then.in_time.contains_key(&question) || (seen && open != Some(question))
    })
}

/// A checkpoint is kept when at its moment, or at one within the minute after it, every question up to
/// it was done; later, or never, it is late, but one whose moment never came is neither. The latest of the
/// late ones is told, one that was never passed as late as the end.
fn checkpoints(facts: &Facts<'_>) -> Vec<Claim> {
    let Some(plan) = &facts.session.header.plan else {
        return vec![];
    };
    let (mut kept, mut late) = (0, vec![]);
    for point in &plan.checkpoints {
        let planned = u64::try_from((point.minutes.0 * 60_000).to_integer()).unwrap();
        let lines = &facts.session.lines;
        let first = facts.moment_of(planned);
        let came = facts.used(facts.stop) >= planned;
        let before = lines.iter().filter(|line| line.at <= first).count();
        let in_time = lines.iter().filter(|line| line.at <= facts.stop).count();
        let done = (before..=in_time).find(|count| done_to(facts, point.question, *count));
        let reached = done.map(|count| match count {
            count if count == before => first,
            count => lines[count - 1].at,
        });
        let claim = Claim::of("checkpoint_late", [point.question]);
        match reached.map(|at| facts.used(at)) {
            Some(used) if used <= planned + LATE_SECONDS => kept += 1,
            Some(used) => late.push((used - planned, claim.lasting(used - planned))),
            None if came => late.push((facts.allowed() - planned, claim)),
            None => {}
        }
    }
    if kept > 0 && kept == plan.checkpoints.len() {
        return vec![Claim::of("checkpoints_kept", [])];
    }
    // Of two as late as one another the first.
    let worst = late.into_iter().rev().max_by_key(|(by, _)| *by);
    worst.into_iter().map(|(_, claim)| claim).collect()
}

/// What the pace plan gives a question, else an even share of the time allowed.
pub(crate) fn planned(facts: &Facts<'_>, question: u16) -> u64 {
    let plan = facts.session.header.plan.iter();
    let mut before = (0, Rational64::from_integer(0));
    for point in plan.flat_map(|plan| &plan.checkpoints) {
        if question <= point.question {
            let share =
                (point.minutes.0 - before.1) * 60_000 / i64::from(point.question - before.0);
            return u64::try_from(share.round().to_integer()).unwrap();
        }
        before = (point.question, point.minutes.0);
    }
    let asked = u64::try_from(facts.asked.len()).unwrap();
    (facts.allowed() + asked / 2) / asked
}

/// Whether so much time on a question is long; on a sheet on which nothing was ever chosen none is.
pub(crate) fn is_long(facts: &Facts<'_>, question: u16, time: u64) -> bool {
    let plan = planned(facts, question);
    let chosen = !facts.puts.is_empty();
    chosen && time > LONG_TIMES * plan && time > plan + LONG_OVER_SECONDS
}

/// Every long stay.
pub(crate) fn long_stays(facts: &Facts<'_>) -> Vec<u16> {
    let untold = without_a_time(facts);
    let told = facts
        .asked
        .iter()
        .copied()
        .filter(|own| !untold.contains(own));
    told.filter(|own| is_long(facts, *own, facts.time_on(*own)))
        .collect()
}

/// Long stays that were right, and not by a guess or a sweep.
fn long(facts: &Facts<'_>, key: &Key) -> Vec<Claim> {
    let mut claims = vec![];
    let swept = sweep(facts).map(|sweep| sweep.filled).unwrap_or_default();
    let untold = without_a_time(facts);
    for question in facts
        .asked
        .iter()
        .copied()
        .filter(|own| !untold.contains(own))
    {
        let time = facts.time_on(question);
        let thought = facts
            .in_time
            .get(&question)
            .is_some_and(|given| !given.how.is_luck())
            && !swept.contains(&question);
        if is_long(facts, question, time) && thought && is_right(facts, key, question) {
            claims.push(Claim::of("long_and_right", [question]).lasting(time));
        }
    }
    claims
}

/// Guesses that brought much more, or much less, than on average.
fn luck(facts: &Facts<'_>, key: &Key) -> Option<Claim> {
    let mut chances = vec![(Rational64::from_integer(0), 1.0)];
    let mut actual = Rational64::from_integer(0);
    for question in facts.asked.iter().copied() {
        let Some((given, _)) = facts.at_last(question) else {
            continue;
        };
        if !given.how.is_luck() {
            continue;
        }
        let section = facts.section(question);
        let (right, wrong) = (section.right.0, section.wrong.0);
        actual += facts.marks_of(question, Some(given.option), key);
        let options = facts.options(question);
        let hit = 1.0 / f64::from(u32::try_from(options).unwrap());
        let mut next: Vec<(Rational64, f64)> = vec![];
        for (marks, chance) in chances {
            next.push((marks + right, chance * hit));
            next.push((marks + wrong, chance * (1.0 - hit)));
        }
        next.sort_by_key(|(marks, _)| *marks);
        chances = vec![];
        for (marks, chance) in next {
            match chances.last_mut() {
                Some((own, sum)) if *own == marks => *sum += chance,
                _ => chances.push((marks, chance)),
            }
        }
    }
    let sum = |wanted: &dyn Fn(Rational64) -> bool| {
        let own = chances.iter().filter(|(marks, _)| wanted(*marks));
        own.map(|(_, chance)| chance).sum::<f64>()
    };
    let at_least = sum(&|marks| marks >= actual);
    let at_most = sum(&|marks| marks <= actual);
    let rare = at_least.min(at_most) <= LUCK_CHANCE;
    rare.then(|| Claim::of("luck", []).worth(actual))
}
