//! What minutes brought and could have brought: quick wrong answers, long stays for nothing, time left.
//! The definitions stand in `DEVELOPERS.md`, "What each finding claims", and beside each threshold.

use num_rational::Rational64;

use crate::claims::{Claim, is_long, planned, sweep, without_a_time};
use crate::facts::{Facts, Visit};
use crate::raw::{Ending, Key};

/// "a wrong answer is quick if it took less than this share of the usual time in its section": one part of so many.
const QUICK_PART: u64 = 4;
/// "a usual time needs at least this many other questions in the section"
const QUICK_LEAST: usize = 3;
/// "an answer faster than this is rushed, if no usual time is known"
const RUSHED_FLOOR_SECONDS: u64 = 10_000;
/// "a sitting was finished before time was up if at least this much time was left"; then no long stay cost anything.
const EARLY_SECONDS: u64 = 60_000;
/// "time is unused if at least this share of it was left and marks were lost": one part of so many.
const UNUSED_PART: u64 = 10;
/// Beside the quick wrong answers stand so many of those on which a minute earns most.
const MOST_EARNED: usize = 3;

/// A sitting, and what is worked out once.
pub(crate) struct Minutes<'a> {
    facts: &'a Facts<'a>,
    key: &'a Key,
    untold: Vec<u16>,
    swept: Vec<u16>,
}

impl<'a> Minutes<'a> {
    pub(crate) fn of(facts: &'a Facts<'a>, key: &'a Key) -> Self {
        Self {
            facts,
            key,
            untold: without_a_time(facts),
            swept: sweep(facts).map(|sweep| sweep.filled).unwrap_or_default(),
        }
    }

    pub(crate) fn claims(&self) -> Vec<Claim> {
        let mut found = self.sinks();
        found.extend(self.rushed());
        found.extend(self.unused());
        found
    }

    fn asked(&self) -> impl Iterator<Item = u16> {
        self.facts.asked.iter().copied()
    }

    /// The time of a question that has one.
    fn time(&self, question: u16) -> Option<u64> {
        let told = !self.untold.contains(&question);
        told.then(|| self.facts.time_on(question))
    }

    fn is_right(&self, question: u16) -> bool {
        let given = self.facts.in_time.get(&question);
        given.is_some_and(|given| given.option == self.key.right(question))
    }

    fn is_wrong(&self, question: u16) -> bool {
        self.facts.in_time.contains_key(&question) && !self.is_right(question)
    }

    /// Neither a blank nor a said guess nor a sweep's fill.
    fn is_worked(&self, question: u16) -> bool {
        let given = self.facts.in_time.get(&question);
        given.is_some_and(|given| !given.how.is_luck()) && !self.swept.contains(&question)
    }

    /// Twice the middle time on the other questions of its section that were worked out.
    fn twice_usual(&self, question: u16) -> Option<u64> {
        let section = self.facts.section(question);
        let others = (section.first..=section.last).filter(|other| {
            *other != question && self.facts.asked.contains(other) && self.is_worked(*other)
        });
        let mut times: Vec<u64> = others.filter_map(|other| self.time(other)).collect();
        times.sort_unstable();
        let half = times.len() / 2;
        (times.len() >= QUICK_LEAST).then(|| times[half] + times[(times.len() - 1) / 2])
    }

    /// Beside a printed paper nobody knows when an answer was worked out.
    fn is_quick(&self, question: u16) -> bool {
        let on_screen = self.facts.session.header.paper.on_screen;
        self.time(question)
            .filter(|_| on_screen)
            .is_some_and(|time| match self.twice_usual(question) {
                Some(twice) => time * 2 * QUICK_PART < twice,
                None => time < RUSHED_FLOOR_SECONDS,
            })
    }

    fn quick_and_wrong(&self) -> Vec<u16> {
        let worked = self.asked().filter(|own| self.is_worked(*own));
        worked
            .filter(|own| self.is_wrong(*own) && self.is_quick(*own))
            .collect()
    }

    /// `Q4 in 9 s (under 15.6 s)`.
    fn quick_words(&self, question: u16) -> String {
        let (time, usual) = (self.time(question), self.twice_usual(question));
        let below = usual.map_or(8 * RUSHED_FLOOR_SECONDS, |twice| 4 * twice / QUICK_PART);
        format!(
            "Q{question} in {} s (under {} s)",
            tenths(8 * time.unwrap()),
            tenths(below)
        )
    }

    /// Those by the pupil's own pace and those by the floor, each for themselves.
    fn rushed(&self) -> Vec<Claim> {
        let quick = self.quick_and_wrong().into_iter();
        let (by_pace, by_floor): (Vec<u16>, Vec<u16>) =
            quick.partition(|own| self.twice_usual(*own).is_some());
        let claims = [by_pace, by_floor]
            .into_iter()
            .filter(|all| !all.is_empty());
        let claims = claims.map(|all| {
            let took = all.iter().filter_map(|own| self.time(*own)).sum();
            let each = all.iter().map(|own| self.quick_words(*own)).collect();
            Claim::of("rushed", all).lasting(took).saying(each)
        });
        claims.collect()
    }

    /// The share right of the answers in time to some questions that were worked out, with two right and two
    /// wrong added; nothing without an answer.
    fn share_of(&self, (first, last): (u16, u16)) -> Option<Rational64> {
        let own = self
            .asked()
            .filter(|other| (first..=last).contains(other) && self.is_worked(*other));
        let own: Vec<u16> = own.collect();
        let right = own.iter().filter(|other| self.is_right(**other)).count();
        let count = |number: usize| i64::try_from(number).unwrap();
        let share = || Rational64::new(count(right) + 2, count(own.len()) + 4);
        (!own.is_empty()).then(share)
    }

    /// That of its section; where the section has no answer half that of the whole paper, and one in four
    /// where that has none.
    fn share_right(&self, question: u16) -> Rational64 {
        let section = self.facts.section(question);
        self.share_of((section.first, section.last))
            .or_else(|| Some(self.share_of((1, u16::MAX))? / 2))
            .unwrap_or_else(|| Rational64::new(1, 4))
    }

    /// What working a question gives on average, over the best of a blank and a blind guess.
    pub(crate) fn gives(&self, question: u16) -> Rational64 {
        let section = self.facts.section(question);
        let (right, wrong, blank) = (section.right.0, section.wrong.0, section.blank.0);
        let mean =
            |share: Rational64| share * right + (Rational64::from_integer(1) - share) * wrong;
        let options = i64::try_from(self.facts.options(question)).unwrap();
        let blind = mean(Rational64::new(1, options));
        mean(self.share_right(question)) - blank.max(blind)
    }

    /// What a minute of it gives: a mark in so many milliseconds of the plan.
    pub(crate) fn earns(&self, question: u16) -> Rational64 {
        let plan = i64::try_from(planned(self.facts, question)).unwrap();
        self.gives(question) * 60_000 / plan
    }

    /// The visit to a question that lasted longest, the first of such.
    fn longest_visit(&self, question: u16) -> Option<Visit> {
        let mut longest: Option<Visit> = None;
        let lasted = |visit: &Visit| self.facts.lasted(visit);
        for visit in self.facts.visits_to(question) {
            if longest.is_none_or(|before| lasted(visit) > lasted(&before)) {
                longest = Some(*visit);
            }
        }
        longest
    }

    /// Whether a question had no answer when a visit began, and got none while it lasted.
    fn waits(&self, question: u16, visit: Visit) -> bool {
        let lines = self.facts.session.lines.iter();
        let session = self
            .facts
            .after(lines.filter(|line| line.at <= visit.from).count());
        let stood = Facts::of(&session).in_time.contains_key(&question);
        let while_it_lasted = visit.from + 1..visit.to;
        let mut puts = self.facts.puts.iter();
        !stood && !puts.any(|put| put.question == question && while_it_lasted.contains(&put.at))
    }

    /// Left undone beside a question: blank or a guess in time, with something to earn, and waiting through its
    /// longest visit.
    pub(crate) fn undone(&self, beside: u16) -> Vec<u16> {
        let Some(visit) = self.longest_visit(beside) else {
            return vec![];
        };
        let undone = self.asked().filter(|own| {
            let given = self.facts.in_time.get(own);
            let undone = given.is_none_or(|given| given.how.is_luck());
            *own != beside && undone && self.waits(*own, visit)
        });
        let none = Rational64::from_integer(0);
        undone.filter(|own| self.earns(*own) > none).collect()
    }

    /// What so much time could have brought on these: at the best of their rates, and never more than all of
    /// them together; with that most.
    fn worth(&self, millis: u64, questions: &[u16]) -> (Rational64, Rational64) {
        let none = Rational64::from_integer(0);
        let best = questions.iter().map(|own| self.earns(*own)).max();
        let all: Rational64 = questions.iter().map(|own| self.gives(*own)).sum();
        let millis = i64::try_from(millis).unwrap();
        ((best.unwrap_or(none) * millis / 60_000).min(all), all)
    }

    /// What the time over the plan could have brought.
    pub(crate) fn cost(&self, question: u16, time: u64) -> Rational64 {
        let over = time - planned(self.facts, question);
        self.worth(over, &self.undone(question)).0
    }

    /// What the time that was left could have brought on what was lost.
    pub(crate) fn unused_worth(&self) -> Rational64 {
        let none = Rational64::from_integer(0);
        let lost = self.asked().filter(|own| !self.is_right(*own));
        let lost: Vec<u16> = lost.filter(|own| self.earns(*own) > none).collect();
        self.worth(self.facts.left(self.facts.stop), &lost).0
    }

    fn cost_words(&self, question: u16, time: u64) -> String {
        let undone = self.undone(question);
        let best = undone.iter().map(|own| self.earns(*own)).max().unwrap();
        let over = time - planned(self.facts, question);
        let (cost, all) = self.worth(over, &undone);
        let many = if undone.len() == 1 { "" } else { "s" };
        format!(
            "could have earned about {} {}{}: the best of {} question{many} still to do was worth {} marks a minute",
            tenth(cost),
            if tenth(cost) == "1" { "mark" } else { "marks" },
            if cost == all { ", all there was" } else { "" },
            undone.len(),
            hundredths(best)
        )
    }

    /// Long stays that were wrong or blank, with something left undone.
    pub(crate) fn sinks(&self) -> Vec<Claim> {
        let facts = self.facts;
        let with_time_left =
            facts.ending == Some(Ending::FinishedEarly) && facts.left(facts.stop) >= EARLY_SECONDS;
        let mut claims = vec![];
        for question in self.asked().filter(|own| !self.is_right(*own)) {
            let long = self
                .time(question)
                .filter(|time| is_long(facts, question, *time));
            if let Some(time) = long
                && !with_time_left
                && !self.undone(question).is_empty()
            {
                let claim = Claim::of("sink", [question]).lasting(time);
                claims.push(claim.saying(vec![self.cost_words(question, time)]));
            }
        }
        claims
    }

    /// Handed in with much of the time left, and marks lost.
    pub(crate) fn unused(&self) -> Option<Claim> {
        let facts = self.facts;
        let left = facts.left(facts.stop);
        let lost = self.asked().filter(|own| !self.is_right(*own));
        let mut lost: Vec<u16> = lost.collect();
        let handed_in = facts.ending == Some(Ending::FinishedEarly);
        if !handed_in || left * UNUSED_PART < facts.allowed() || lost.is_empty() {
            return None;
        }
        let blank = self.facts.blanks().len();
        let mut words = vec![format!(
            "with {} wrong and {blank} blank",
            lost.len() - blank
        )];
        lost.sort_by_key(|own| -self.earns(*own));
        let none = Rational64::from_integer(0);
        let most = lost.into_iter().filter(|own| self.earns(*own) > none);
        let mut named: Vec<u16> = most.take(MOST_EARNED).collect();
        if let Some(best) = named.first() {
            let each: Vec<String> = named.iter().map(|own| format!("Q{own}")).collect();
            let (each, best) = (each.join(", "), hundredths(self.earns(*best)));
            words.push(format!(
                "A minute could earn most on {each}: up to {best} marks"
            ));
        }
        named.extend(self.quick_and_wrong());
        named.sort_unstable();
        named.dedup();
        Some(Claim::of("unused_time", named).lasting(left).saying(words))
    }
}

#[expect(clippy::cast_precision_loss, reason = "numbers of a few digits")]
fn hundredths(marks: Rational64) -> String {
    format!("{:.2}", *marks.numer() as f64 / *marks.denom() as f64)
}

/// Marks to a tenth, and no tenth where it is nothing.
#[expect(clippy::cast_precision_loss, reason = "numbers of a few digits")]
pub(crate) fn tenth(marks: Rational64) -> String {
    let text = format!("{:.1}", *marks.numer() as f64 / *marks.denom() as f64);
    text.trim_end_matches(".0").to_owned()
}

/// Seconds of so many eighths of a millisecond, to the tenth where there is one.
fn tenths(eighths: u64) -> String {
    let all = (eighths + 400) / 800;
    let (whole, part) = (all / 10, all % 10);
    if part == 0 {
        format!("{whole}")
    } else {
        format!("{whole}.{part}")
    }
}
