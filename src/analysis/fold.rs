//! One log folded once: what every page, table and JSON takes from it.

use std::collections::BTreeSet;
use std::sync::Arc;

use super::interruptions::Interruptions;
use super::replay::Replay;
use super::sweep::{Sweep, said_by_the_sweep, sweep};
use super::timeline::{
    AnswerChange, Choice, Gap, Passes, QuestionPace, Status, Stay, Timeline, Whole, changes, sum,
    walk,
};
use super::trust::{Trust, trust};
use crate::domain::event::{Ending, Event, Stamped};
use crate::domain::header::{Header, Mode};
use crate::domain::rule::QuestionNo;
use crate::domain::sitting::Sitting;
use crate::domain::standing::{Exclusion, Standing, Use};
use crate::domain::thresholds::{Limit, Thresholds};
use crate::domain::time::Elapsed;

/// A question that was gone back to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct GoneBack {
    /// The question.
    pub question: QuestionNo,
    /// The time on its visits after the first, up to the one on which it was answered.
    pub took: Elapsed,
}

/// What one sitting's log tells.
#[derive(Clone, Debug)]
pub struct Analysis {
    header: Arc<Header>,
    log: Arc<[Stamped]>,
    end: Sitting,
    line: Timeline,
    trust: Trust,
    sweep: Option<Sweep>,
    changes: Vec<AnswerChange>,
    limits: Arc<Thresholds>,
    withdrawn: Option<Exclusion>,
}

impl Analysis {
    /// Folds a log, once; the thresholds decide what is a batch and what a sweep.
    pub fn of(header: Arc<Header>, log: Arc<[Stamped]>, limits: Arc<Thresholds>) -> Self {
        let (line, end) = walk(&header, &log);
        let sweep = sweep(&header, &line, &log, &limits);
        let trust = trust(&header, &line, sweep.as_ref(), &limits);
        Self {
            changes: changes(&line.choices),
            header,
            log,
            end,
            line,
            trust,
            sweep,
            limits,
            withdrawn: None,
        }
    }

    /// The same sitting, withdrawn for that reason where there is one.
    #[must_use]
    pub fn withdrawn(self, reason: Option<Exclusion>) -> Self {
        Self {
            withdrawn: reason,
            ..self
        }
    }

    /// What the sitting can count for.
    pub fn standing(&self) -> Standing {
        Standing::of(&self.end).withdrawn(self.withdrawn)
    }

    /// What was settled before the start.
    pub fn header(&self) -> &Header {
        &self.header
    }

    /// The log.
    pub fn log(&self) -> &[Stamped] {
        &self.log
    }

    /// The sitting after its last event.
    pub const fn end(&self) -> &Sitting {
        &self.end
    }

    /// The thresholds that it is judged by.
    pub fn limits(&self) -> &Thresholds {
        &self.limits
    }

    /// The sitting at every moment.
    pub fn replay(&self) -> Replay {
        Replay::new(&self.header, &self.log)
    }

    /// The whole of the time in which answers count, and what it is made of.
    pub const fn whole(&self) -> &Whole {
        &self.line.whole
    }

    /// How the sitting ended; nothing while it is open.
    pub const fn ending(&self) -> Option<Ending> {
        self.line.ending
    }

    /// Whether it came to its end without being given up: only then do its blanks mean something.
    pub fn came_to_its_end(&self) -> bool {
        let standing = Standing::of(&self.end);
        standing.bars(Use::Evidence).is_none()
    }

    /// Whether the sheet was done under the clock, and not typed in afterwards.
    pub fn is_timed(&self) -> bool {
        self.header.mode == Mode::Timed
    }

    /// Every visit, in order.
    pub fn stays(&self) -> &[Stay] {
        &self.line.stays
    }

    /// Every stretch in which nobody was there, in order.
    pub fn gaps(&self) -> &[Gap] {
        &self.line.gaps
    }

    /// The interruptions that are recorded, each kind by itself.
    pub const fn interruptions(&self) -> &Interruptions {
        &self.line.interruptions
    }

    /// By question.
    pub fn questions(&self) -> &[QuestionPace] {
        &self.line.questions
    }

    /// Every moment in time at which an answer changed, in order.
    pub fn choices(&self) -> &[Choice] {
        &self.line.choices
    }

    /// First visits and later ones.
    pub const fn passes(&self) -> &Passes {
        &self.line.passes
    }

    /// How far times on single questions can be used.
    pub const fn trust(&self) -> &Trust {
        &self.trust
    }

    /// The questions whose answer the sweep called a guess, and the pupil nothing since.
    pub fn said_by_the_sweep(&self) -> BTreeSet<QuestionNo> {
        said_by_the_sweep(&self.log)
    }

    /// The filling of blanks at the end, where there was one.
    pub const fn sweep(&self) -> Option<&Sweep> {
        self.sweep.as_ref()
    }

    /// One question's part of the time.
    pub fn question(&self, number: QuestionNo) -> Option<&QuestionPace> {
        self.line.question(number)
    }

    /// The time on a question, where it can be trusted: how long it was open with somebody there, and of one that was
    /// open at the end only up to the answer that stands.
    pub fn time_on(&self, number: QuestionNo) -> Option<Elapsed> {
        let pace = self.question(number)?;
        (self.trust.holds(number) && !self.may_be_keyed(number)).then_some(pace.time)
    }

    /// The time on several questions together; nothing where the times of this sitting are withheld.
    ///
    /// A batch has a time as a whole, so it counts here.
    pub fn time_on_all(&self, of: impl Fn(&QuestionPace) -> bool) -> Option<Elapsed> {
        let own = self.line.questions.iter().filter(|pace| of(pace));
        self.trust.any().then(|| sum(own.map(|pace| pace.time)))
    }

    /// How long a question was open at the end of a sitting, where that visit brought no answer.
    pub fn left_open(&self, number: QuestionNo) -> Elapsed {
        let visit = self.line.stays.last().filter(|own| own.question == number);
        let answered = |visit: &&Stay| {
            let mut own = self.line.choices.iter();
            own.any(|choice| choice.question == number && choice.at >= visit.from)
        };
        visit
            .filter(|visit| !answered(visit))
            .map_or(Elapsed::ZERO, |visit| visit.worked)
    }

    /// The time used at a moment, as the exam clock counts it.
    pub fn used_at(&self, at: Elapsed) -> Elapsed {
        let at = at.min(self.line.whole.ended);
        at.since(self.end.stopped().total(at))
            .min(self.line.whole.used)
    }

    /// The time left when the sitting was handed in before its time was up; nothing of one that was
    /// worked to its end, that is open, or that was typed in.
    pub fn unused(&self) -> Option<Elapsed> {
        let early = self.is_timed() && self.line.ending == Some(Ending::FinishedEarly);
        early.then(|| self.header.allowed.since(self.line.whole.used))
    }

    /// The questions without an answer when the time in which answers count ended.
    pub fn blanks(&self) -> Vec<QuestionNo> {
        self.numbers(|pace| pace.sheet.in_time.is_none())
    }

    /// Why a question stayed without an answer in time; nothing for one that has one.
    pub fn blank(&self, number: QuestionNo) -> Option<Status> {
        let status = self.question(number)?.sheet.status;
        (status != Status::Answered).then_some(status)
    }

    /// The questions that were never opened; none where that cannot be known.
    pub fn unseen(&self) -> Vec<QuestionNo> {
        self.numbers(|pace| self.is_timed() && pace.opened.is_none())
    }

    /// The questions with a flag at the end.
    pub fn flags(&self) -> Vec<QuestionNo> {
        self.numbers(|pace| pace.sheet.flagged)
    }

    /// The questions in the order in which they were first opened.
    pub fn order(&self) -> Vec<QuestionNo> {
        let opened = self.line.questions.iter().filter(|q| q.place.is_some());
        let mut opened: Vec<_> = opened.collect();
        opened.sort_by_key(|pace| pace.place);
        opened.iter().map(|pace| pace.number).collect()
    }

    /// Whether a sweep filled it from a paper beside the screen, where it may have been worked out before.
    fn may_be_keyed(&self, number: QuestionNo) -> bool {
        let swept = self.sweep.as_ref().filter(|sweep| sweep.or_keyed);
        swept.is_some_and(|sweep| sweep.filled.contains(&number))
    }

    /// The questions left without an answer and answered in time on a later visit, by thought.
    ///
    /// Left means that earlier visits took at least `rushed_floor_seconds` together (a glance leaves nothing), and
    /// that after the first of them it was left for later or flagged, or another question was answered, before
    /// the visit of its first answer: a glance elsewhere leaves nothing either.
    /// By thought means that its first answer came no sooner than that after its visit's opening, that no
    /// sweep gave it, and that the answer in time was not said to be a guess.
    pub fn gone_back_to(&self) -> Vec<GoneBack> {
        let questions = self.line.questions.iter();
        questions.filter_map(|pace| self.gone_back(pace)).collect()
    }

    fn gone_back(&self, pace: &QuestionPace) -> Option<GoneBack> {
        let question = pace.number;
        let at = pace.answered.filter(|_| self.by_thought(question))?;
        let mut choices = self.line.choices.iter();
        let first = choices.find(|choice| choice.question == question && choice.at == at)?;
        let own = self
            .line
            .stays
            .iter()
            .filter(|stay| stay.question == question);
        let upto: Vec<_> = own.take_while(|stay| stay.from <= at).collect();
        let (back, before) = upto.split_last()?;
        let left_at = before.first()?.from;
        let least = self.limits.span(Limit::RushedFloorSeconds);
        let left = sum(before.iter().map(|stay| stay.worked)) >= least
            && self.really_left(question, left_at, back.from);
        let thought = first.took >= least;
        (left && thought && self.time_on(question).is_some()).then(|| GoneBack {
            question,
            took: sum(upto.iter().skip(1).map(|stay| stay.worked)),
        })
    }

    /// Whether between its first opening and another one a question was left for later or flagged, or another
    /// question was answered.
    fn really_left(&self, question: QuestionNo, from: Elapsed, to: Elapsed) -> bool {
        let between = self
            .log
            .iter()
            .filter(|stamped| stamped.at >= from && stamped.at <= to);
        let mut after = between.skip_while(|stamped| stamped.event != Event::Opened(question));
        after.any(|stamped| match stamped.event {
            Event::Skipped(own) | Event::Flagged(own) => own == question,
            Event::Answered(other, _) => other != question,
            _ => false,
        })
    }

    /// Whether a question's answer in time was neither said to be a guess nor filled in a sweep.
    pub fn by_thought(&self, number: QuestionNo) -> bool {
        let given = self.question(number).and_then(|pace| pace.sheet.in_time);
        let swept = self.sweep.as_ref();
        given.is_some_and(|given| !given.how.is_luck())
            && swept.is_none_or(|sweep| !sweep.filled.contains(&number))
    }

    /// Whether the answer in time came by thought, no sooner than `rushed_floor_seconds` after its visit's opening
    /// or after the answer before it: put right sooner it was a slip of the keys.
    pub fn checked(&self, number: QuestionNo) -> bool {
        let choices = self.line.choices.iter().rev();
        let mut latest = choices.filter(|choice| choice.question == number);
        let Some(answer) = latest.next() else {
            return false;
        };
        let rubbed_out = latest.take_while(|choice| choice.option.is_none());
        let took = answer.took + sum(rubbed_out.map(|choice| choice.took));
        let least = self.limits.span(Limit::RushedFloorSeconds);
        self.by_thought(number) && took >= least && self.time_on(number).is_some()
    }

    /// Every change of one option for another, in order.
    pub fn changes(&self) -> &[AnswerChange] {
        &self.changes
    }

    /// How often a question's option was changed for another.
    pub fn changes_of(&self, number: QuestionNo) -> usize {
        let own = self
            .changes
            .iter()
            .filter(|change| change.question == number);
        own.count()
    }

    fn numbers(&self, which: impl Fn(&QuestionPace) -> bool) -> Vec<QuestionNo> {
        let which = self.line.questions.iter().filter(|pace| which(pace));
        which.map(|pace| pace.number).collect()
    }
}
