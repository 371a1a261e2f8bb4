//! The plain facts of a sitting, from the raw lines of its file.

use std::collections::{BTreeMap, BTreeSet};

use num_rational::Rational64;

use crate::raw::{Ending, Event, How, Key, Line, Mode, Section, Session, numbers};

/// A stretch in which one question was on the screen, in time; milliseconds since the start.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Visit {
    pub(crate) question: u16,
    pub(crate) from: u64,
    pub(crate) to: u64,
}

/// An answer put in while answers counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Put {
    pub(crate) at: u64,
    pub(crate) question: u16,
    pub(crate) option: char,
    /// When the question was opened that was on the screen then.
    pub(crate) visit: u64,
}

/// An answer that stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Given {
    pub(crate) option: char,
    pub(crate) how: How,
}

/// Stretches of time, joined where they meet.
#[derive(Clone, Debug, Default)]
pub(crate) struct Stretches(Vec<(u64, u64)>);

impl Stretches {
    fn joined(mut all: Vec<(u64, u64)>) -> Self {
        all.sort_unstable();
        let mut joined: Vec<(u64, u64)> = Vec::new();
        for (from, to) in all {
            match joined.last_mut() {
                Some((_, end)) if from <= *end => *end = to.max(*end),
                _ => joined.push((from, to)),
            }
        }
        Self(joined)
    }

    pub(crate) fn within(&self, from: u64, to: u64) -> u64 {
        let part = |(start, end): &(u64, u64)| to.min(*end).saturating_sub(from.max(*start));
        self.0.iter().map(part).sum()
    }
}

/// What happened.
pub(crate) struct Facts<'a> {
    pub(crate) session: &'a Session,
    /// The questions of this sitting.
    pub(crate) asked: Vec<u16>,
    pub(crate) visits: Vec<Visit>,
    /// Every answer put in in time, in order.
    pub(crate) puts: Vec<Put>,
    pub(crate) in_time: BTreeMap<u16, Given>,
    pub(crate) after_time: BTreeMap<u16, Given>,
    pub(crate) flags: BTreeSet<u16>,
    /// Nobody worked: breaks, sleep, absences.
    absent: Stretches,
    /// Of these, what did not count as time used.
    stopped: Stretches,
    /// When the time in which answers count ended: time up, or the end before it.
    pub(crate) stop: u64,
    pub(crate) ending: Option<Ending>,
}

/// What the lines read so far leave open.
#[derive(Default)]
struct Reading {
    openings: Vec<(u64, u16)>,
    absent: Vec<(u64, u64)>,
    stopped: Vec<(u64, u64)>,
    /// When the rest break that is on began.
    resting: Option<u64>,
    due: Option<u64>,
}

impl Reading {
    fn away(&mut self, from: u64, to: u64, counts: bool) {
        self.absent.push((from, to));
        if !counts {
            self.stopped.push((from, to));
        }
    }

    /// What a line says of time.
    fn time(&mut self, line: &Line) {
        let at = line.at;
        match &line.event {
            Event::Opened(question) if self.due.is_none() => self.openings.push((at, *question)),
            Event::BreakStarted => self.resting = Some(at),
            Event::BreakEnded => {
                if let Some(from) = self.resting.take() {
                    self.away(from, at, false);
                }
            }
            Event::Slept { span, counts } if self.due.is_none() => {
                self.away(at - span, at, *counts);
            }
            Event::Resumed { since, counts } if self.due.is_none() => {
                self.away(*since, at, *counts);
            }
            Event::TimeUp { due } => self.due = Some(*due),
            _ => {}
        }
    }
}

impl<'a> Facts<'a> {
    pub(crate) fn of(session: &'a Session) -> Self {
        let asked = match &session.header.arrangements.questions {
            Some(list) => numbers(list),
            None => (1..=session.header.paper.questions).collect(),
        };
        let mut facts = Facts {
            session,
            asked,
            visits: vec![],
            puts: vec![],
            in_time: BTreeMap::new(),
            after_time: BTreeMap::new(),
            flags: BTreeSet::new(),
            absent: Stretches::default(),
            stopped: Stretches::default(),
            stop: 0,
            ending: None,
        };
        let mut reading = Reading::default();
        for line in &session.lines {
            let opened = reading.openings.last().map_or(0, |(at, _)| *at);
            facts.answers(line, opened, reading.due.is_none());
            reading.time(line);
        }
        let latest = session.lines.last().map_or(0, |line| line.at);
        facts.stop = reading.due.unwrap_or(latest);
        if let Some(from) = reading.resting {
            reading.away(from, facts.stop, false);
        }
        facts.absent = Stretches::joined(reading.absent);
        facts.stopped = Stretches::joined(reading.stopped);
        let ends = reading.openings.iter().skip(1).map(|(at, _)| *at);
        let ends = ends.chain([facts.stop]);
        for ((from, question), to) in reading.openings.iter().zip(ends) {
            facts.visits.push(Visit {
                question: *question,
                from: *from,
                to,
            });
        }
        facts
    }

    /// What a line says of answers and flags.
    fn answers(&mut self, line: &Line, opened: u64, in_time: bool) {
        let given = |option: &char, how| Given {
            option: *option,
            how,
        };
        match &line.event {
            Event::Answered(question, option) if in_time => {
                self.puts.push(Put {
                    at: line.at,
                    question: *question,
                    option: *option,
                    visit: opened,
                });
                self.in_time.insert(*question, given(option, How::Worked));
            }
            Event::Answered(question, option) => {
                let guess = given(option, How::Guessed);
                self.after_time.insert(*question, guess);
            }
            Event::RubbedOut(question) if in_time => {
                self.in_time.remove(question);
            }
            Event::RubbedOut(question) => {
                self.after_time.remove(question);
            }
            Event::Said(question, how) => {
                if let Some(given) = self.in_time.get_mut(question) {
                    given.how = *how;
                }
            }
            Event::Flagged(question) => {
                self.flags.insert(*question);
            }
            Event::Unflagged(question) => {
                self.flags.remove(question);
            }
            Event::Filled { answers } => {
                let each = answers.iter();
                let filled = each.map(|(question, option)| (*question, given(option, How::Filled)));
                self.after_time.extend(filled);
            }
            Event::Closed(how) => self.ending = Some(*how),
            _ => {}
        }
    }

    /// The sitting as it stood after so many lines.
    pub(crate) fn after(&self, lines: usize) -> Session {
        Session {
            header: self.session.header.clone(),
            lines: self.session.lines[..lines].to_vec(),
        }
    }

    /// The first answer that a question ever had.
    pub(crate) fn first_answer(&self, question: u16) -> Option<Put> {
        self.puts
            .iter()
            .find(|put| put.question == question)
            .copied()
    }

    /// Whether the time in which answers count is over.
    pub(crate) fn is_over(&self) -> bool {
        let ends = |line: &Line| matches!(line.event, Event::TimeUp { .. } | Event::Closed(_));
        self.session.lines.iter().any(ends)
    }

    /// Whether it has ended, and was not given up.
    pub(crate) fn is_whole(&self) -> bool {
        self.ending.is_some_and(|how| how != Ending::Abandoned)
    }

    pub(crate) fn is_timed(&self) -> bool {
        self.session.header.mode == Mode::Timed
    }

    pub(crate) fn allowed(&self) -> u64 {
        self.session.header.allowed
    }

    /// How much of the time allowed was used by a moment.
    pub(crate) fn used(&self, at: u64) -> u64 {
        let at = at.min(self.stop);
        (at - self.stopped.within(0, at)).min(self.allowed())
    }

    /// The first moment at which so much was used, or the end.
    pub(crate) fn moment_of(&self, used: u64) -> u64 {
        let (mut low, mut high) = (0, self.stop);
        while low < high {
            let middle = low.midpoint(high);
            if self.used(middle) >= used {
                high = middle;
            } else {
                low = middle + 1;
            }
        }
        low
    }

    /// How much of the time allowed was left at a moment.
    pub(crate) fn left(&self, at: u64) -> u64 {
        self.allowed() - self.used(at)
    }

    /// A stretch without breaks, sleep and absences.
    pub(crate) fn worked(&self, from: u64, to: u64) -> u64 {
        to - from - self.absent.within(from, to)
    }

    pub(crate) fn visits_to(&self, question: u16) -> impl Iterator<Item = &Visit> {
        self.visits.iter().filter(move |v| v.question == question)
    }

    /// How long somebody worked on a visit; on the last one only up to the answer that stands.
    pub(crate) fn lasted(&self, visit: &Visit) -> u64 {
        let mut own = self
            .puts
            .iter()
            .filter(|put| put.question == visit.question);
        let stands = self.in_time.contains_key(&visit.question);
        match own.next_back() {
            Some(put) if stands && self.visits.last() == Some(visit) => {
                self.worked(visit.from, visit.from.max(put.at))
            }
            _ => self.worked(visit.from, visit.to),
        }
    }

    /// How long somebody worked on a question.
    pub(crate) fn time_on(&self, question: u16) -> u64 {
        let each = self.visits_to(question);
        each.map(|visit| self.lasted(visit)).sum()
    }

    pub(crate) fn blanks(&self) -> Vec<u16> {
        let blank = |question: &u16| !self.in_time.contains_key(question);
        self.asked.iter().copied().filter(blank).collect()
    }

    /// The options chosen one after another, the same twice running once.
    pub(crate) fn chosen(&self, question: u16) -> Vec<char> {
        let own = self.puts.iter().filter(|put| put.question == question);
        let mut options: Vec<char> = own.map(|put| put.option).collect();
        options.dedup();
        options
    }

    /// How often another option was chosen, through a rubbing out as well.
    pub(crate) fn changes(&self, question: u16) -> usize {
        self.chosen(question).len().saturating_sub(1)
    }

    pub(crate) fn section(&self, question: u16) -> &Section {
        let sections = &self.session.header.paper.rule.sections;
        let holds = |section: &&Section| (section.first..=section.last).contains(&question);
        sections.iter().find(holds).unwrap()
    }

    /// How many options a question has.
    pub(crate) fn options(&self, question: u16) -> usize {
        let paper = &self.session.header.paper;
        let own = paper.own_options.get(&question);
        own.unwrap_or(&paper.options).chars().count()
    }

    /// The answer that stands with the guess round in, and whether it came after time.
    pub(crate) fn at_last(&self, question: u16) -> Option<(Given, bool)> {
        let in_time = self.in_time.get(&question).map(|given| (*given, false));
        in_time.or_else(|| self.after_time.get(&question).map(|given| (*given, true)))
    }

    /// The marks of one question with this answer.
    pub(crate) fn marks_of(&self, question: u16, option: Option<char>, key: &Key) -> Rational64 {
        let section = self.section(question);
        match option {
            None => section.blank.0,
            Some(option) if option == key.right(question) => section.right.0,
            Some(_) => section.wrong.0,
        }
    }

    fn total(&self, key: &Key, option: impl Fn(u16) -> Option<char>) -> Rational64 {
        let each = self.asked.iter();
        let marks = each.map(|question| self.marks_of(*question, option(*question), key));
        marks.fold(self.start(), |sum, marks| sum + marks)
    }

    /// The marks that everybody starts with.
    fn start(&self) -> Rational64 {
        self.session.header.paper.rule.start.0
    }

    pub(crate) fn mark_in_time(&self, key: &Key) -> Rational64 {
        self.total(key, |question| {
            self.in_time.get(&question).map(|given| given.option)
        })
    }

    pub(crate) fn mark_with_guess_round(&self, key: &Key) -> Rational64 {
        self.total(key, |question| {
            self.at_last(question).map(|(given, _)| given.option)
        })
    }

    /// Said guesses and what the program filled count as blank.
    pub(crate) fn mark_worked(&self, key: &Key) -> Rational64 {
        self.total(key, |question| {
            let given = self.in_time.get(&question)?;
            (!given.how.is_luck()).then_some(given.option)
        })
    }

    pub(crate) fn max(&self) -> Rational64 {
        let best = self.asked.iter().map(|question| {
            let section = self.section(*question);
            section.right.0.max(section.wrong.0).max(section.blank.0)
        });
        best.fold(self.start(), |sum, marks| sum + marks)
    }
}
