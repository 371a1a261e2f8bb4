//! The lines of the log that a finding rests on.

use std::collections::BTreeSet;

use super::found::{Finding, Seen};
use crate::analysis::Analysis;
use crate::analysis::checkpoint::passed;
use crate::analysis::stay::Long;
use crate::domain::event::{Event, How, Stamped};
use crate::domain::rule::QuestionNo;
use crate::domain::time::Elapsed;

/// The events that a finding rests on, by their places in the log, in order. Of what never happened there is none: of
/// blanks the end of the time in which answers count stands for them.
#[expect(clippy::too_many_lines, reason = "a table of events, one a finding")]
pub fn rests_on(finding: &Finding, analysis: &Analysis) -> Vec<usize> {
    let log = Log::of(analysis);
    let places: BTreeSet<usize> = match &finding.seen {
        Seen::Sink(sink) => log.long_stay(sink.long),
        Seen::Earned(stay) | Seen::LongStay(stay) => log.long_stay(*stay),
        Seen::Rushed { questions, .. } => {
            Log::each(questions.iter().map(|own| own.question), |q| {
                log.last_answer(q)
                    .into_iter()
                    .chain(log.opened_for(q))
                    .collect()
            })
        }
        Seen::LeftEasy { questions, .. } => {
            let opened = Log::each(questions.iter().map(|own| own.0), |q| log.visits(q));
            with(opened, log.end())
        }
        Seen::ToWrong { questions, .. } | Seen::ToRight { questions, .. } => {
            Log::each(questions.iter().copied(), |q| log.changes(q))
        }
        Seen::Blanks {
            questions,
            right_before,
            ..
        } => {
            let rubbed_out = Log::each(right_before.iter().copied(), |q| log.changes(q));
            let opened = Log::each(questions.iter().copied(), |q| {
                log.visits(q).into_iter().next_back().into_iter().collect()
            });
            with(rubbed_out.into_iter().chain(opened).collect(), log.end())
        }
        Seen::Swept { filled, .. } => {
            let ends = [filled.first(), filled.last()].into_iter().flatten();
            let fills = Log::each(ends.copied(), |q| log.first_answer(q).into_iter().collect());
            let first = fills.first().copied();
            let key = log.all(|event| *event == Event::SweepBegun);
            let key = key
                .into_iter()
                .rfind(|place| first.is_some_and(|first| *place < first));
            with(fills, key)
        }
        Seen::Unused { quick, .. } => {
            let quick = Log::each(quick.iter().copied(), |q| {
                log.last_answer(q).into_iter().collect()
            });
            with(quick, log.end())
        }
        Seen::EndedEarly { flags, .. } => {
            let flagged = Log::each(flags.iter().copied(), |q| {
                let own = log.all(|event| *event == Event::Flagged(q));
                own.into_iter().next_back().into_iter().collect()
            });
            with(flagged, log.end())
        }
        Seen::ToAndFro(often) => Log::each(often.iter().map(|own| own.0), |q| log.visits(q)),
        Seen::SlowStart { answers, .. } => {
            let mut seen = BTreeSet::new();
            let is_first = |event: &Event| match event {
                Event::Answered(question, _) => seen.insert(*question),
                _ => false,
            };
            log.all(is_first).into_iter().take(*answers).collect()
        }
        Seen::Luck { .. } => {
            log.all(|event| matches!(event, Event::Filled { .. } | Event::Said(_, How::Guessed)))
        }
        Seen::Late {
            question,
            planned,
            reached,
            ..
        } => {
            let stood = log.up_to(analysis.replay().moment_of(*planned));
            let done = reached.map(|used| analysis.replay().moment_of(used));
            let opened = Log::each([*question].into_iter(), |q| {
                log.visits(q).into_iter().take(1).collect()
            });
            let reached = done.and_then(|at| log.up_to(at)).or(log.end());
            with(with(opened, stood), reached)
        }
        Seen::Kept { .. } => {
            let points = passed(analysis).into_iter();
            let done = points.filter_map(|point| point.passage.ahead.or(point.passage.reached));
            let at = done.filter_map(|used| log.up_to(analysis.replay().moment_of(used)));
            at.collect()
        }
        Seen::SecondPass { questions, .. } => Log::each(questions.iter().copied(), |q| {
            log.first_answer(q)
                .into_iter()
                .chain(log.opened_for(q))
                .collect()
        }),
        Seen::AllRight { section, .. } => {
            let rule = &analysis.header().paper.rule;
            let own = rule.sections.iter().find(|own| own.name == *section);
            let asked = analysis.header().questions();
            let asked = asked.filter(|q| own.is_some_and(|own| own.holds(*q)));
            Log::each(asked, |q| log.last_answer(q).into_iter().collect())
        }
        Seen::NoBlank { .. } => log
            .all(|event| matches!(event, Event::Answered(..)))
            .into_iter()
            .next_back()
            .into_iter()
            .collect(),
    };
    places.into_iter().collect()
}

fn with(mut places: BTreeSet<usize>, one: Option<usize>) -> BTreeSet<usize> {
    places.extend(one);
    places
}

/// A log, and how far answers count in it.
struct Log<'a> {
    analysis: &'a Analysis,
    log: &'a [Stamped],
}

impl<'a> Log<'a> {
    fn of(analysis: &'a Analysis) -> Self {
        Self {
            analysis,
            log: analysis.log(),
        }
    }

    fn all(&self, mut is_it: impl FnMut(&Event) -> bool) -> BTreeSet<usize> {
        let own = self.log.iter().enumerate();
        own.filter(|(_, stamped)| is_it(&stamped.event))
            .map(|(place, _)| place)
            .collect()
    }

    fn each(
        questions: impl Iterator<Item = QuestionNo>,
        of: impl Fn(QuestionNo) -> BTreeSet<usize>,
    ) -> BTreeSet<usize> {
        questions.flat_map(of).collect()
    }

    fn visits(&self, question: QuestionNo) -> BTreeSet<usize> {
        self.all(|event| *event == Event::Opened(question))
    }

    fn changes(&self, question: QuestionNo) -> BTreeSet<usize> {
        self.all(|event| match event {
            Event::Answered(own, _) | Event::RubbedOut(own) => *own == question,
            _ => false,
        })
    }

    fn answers(&self, question: QuestionNo) -> BTreeSet<usize> {
        self.all(|event| matches!(event, Event::Answered(own, _) if *own == question))
    }

    fn first_answer(&self, question: QuestionNo) -> Option<usize> {
        self.answers(question).into_iter().next()
    }

    fn last_answer(&self, question: QuestionNo) -> Option<usize> {
        self.answers(question).into_iter().next_back()
    }

    /// The opening of the visit on which a question got its last answer.
    fn opened_for(&self, question: QuestionNo) -> Option<usize> {
        let answer = self.last_answer(question)?;
        let visits = self.visits(question);
        visits.into_iter().rfind(|place| *place < answer)
    }

    /// The event at which the time in which answers count ended.
    fn end(&self) -> Option<usize> {
        let over = self.all(|event| matches!(event, Event::TimeUp { .. } | Event::Closed(_)));
        over.into_iter().next()
    }

    /// The last event up to a moment.
    fn up_to(&self, at: Elapsed) -> Option<usize> {
        self.analysis.replay().count_at(at).checked_sub(1)
    }

    /// The longest visit to a question: its opening, what ended it, and the answer of the question.
    fn long_stay(&self, long: Long) -> BTreeSet<usize> {
        let question = long.question;
        let visits = self.analysis.stays().iter();
        let visits = visits.filter(|stay| stay.question == question);
        let Some(longest) = visits.max_by_key(|stay| stay.worked) else {
            return BTreeSet::new();
        };
        let opened = self.visits(question).into_iter();
        let at = |place: &usize| self.log.get(*place).map(|stamped| stamped.at);
        let opened = opened.filter(|place| at(place).is_some_and(|at| at >= longest.from));
        let opened = opened.min();
        let ends = self.all(|event| {
            matches!(
                event,
                Event::Opened(_) | Event::TimeUp { .. } | Event::Closed(_)
            )
        });
        let left = ends
            .into_iter()
            .find(|place| opened.is_some_and(|opened| *place > opened));
        let places = [opened, left, self.last_answer(question)];
        places.into_iter().flatten().collect()
    }
}
