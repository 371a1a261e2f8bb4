//! What has to be said beside a mark, so that nobody reads more into it than it holds.

use super::Report;
use crate::domain::event::{Ending, Event, Stamped};
use crate::domain::header::{Header, INVENTED, Mode};
use crate::domain::key::Void;
use crate::domain::mark::Mark;
use crate::domain::paper::Outline;
use crate::domain::sitting::Phase;
use crate::domain::time::Elapsed;
use crate::words::count::{agree, counted, counted_as};
use crate::words::guess::rule_caution;
use crate::words::numbers::{plain, questions_by_range};
use crate::words::text::cut;
use crate::words::time::day;
use crate::words::time::minutes;

/// What stands above all figures: the state of the file and of the sitting.
pub fn first_of_all(report: &Report) -> Vec<String> {
    let sitting = report.subject.sitting();
    let invented = sitting.header().invented.then(|| INVENTED.to_owned());
    let mut notices: Vec<_> = invented.into_iter().collect();
    notices.extend(report.subject.remarks.iter().cloned());
    match sitting.phase() {
        Phase::Closed(Ending::Abandoned) => {
            notices.push("The sitting was given up: these marks say little.".into());
        }
        Phase::Closed(_) => {}
        Phase::Running | Phase::OnBreak | Phase::TimeUp | Phase::GuessRound => {
            notices.push("No end of the sitting is recorded: these are the marks so far.".into());
        }
    }
    notices.extend(not_sat(sitting.header()));
    notices
}

fn not_sat(header: &Header) -> Option<String> {
    let others = header
        .paper
        .numbers()
        .filter(|number| !header.asks(*number));
    let others: Vec<_> = others.collect();
    let names = questions_by_range(&others)?;
    let were = agree(others.len(), "was", "were");
    let awards = if header.paper.awards.is_empty() {
        ""
    } else {
        " No awards are worked out: the boundaries are for the whole paper."
    };
    Some(format!(
        "{names} {were} not part of this sitting, and the maximum leaves them out.{awards}"
    ))
}

/// What is known of the times, the arrangements and the key.
pub fn beside(report: &Report) -> Vec<String> {
    let header = report.subject.sitting().header();
    let mut notices = Vec::new();
    match header.mode {
        Mode::Entered => notices
            .push("Typed in from an answer sheet done on paper: there are no times.".to_owned()),
        Mode::Timed if !header.paper.on_screen => notices.push(
            "The paper was printed: each time is how long the question was open on the screen."
                .to_owned(),
        ),
        Mode::Timed => {}
    }
    notices.extend(extra_time(header));
    notices.extend(interruptions(report.subject.analysis.log()));
    notices.extend(key_notices(report));
    notices
}

fn extra_time(header: &Header) -> Option<String> {
    let percent = header.arrangements.extra_percent;
    (percent > Mark::ZERO).then(|| {
        format!(
            "Extra time of {} %: {} in place of {}.",
            plain(percent),
            minutes(header.allowed),
            header.standard.stopwatch()
        )
    })
}

/// How often, and how long altogether.
#[derive(Default)]
struct Stops {
    count: usize,
    total: Elapsed,
    open: bool,
}

impl Stops {
    fn add(&mut self, span: Elapsed) {
        self.count += 1;
        self.total = self.total + span;
    }

    fn said(&self, one: &str, many: &str, rest: &str) -> Option<String> {
        let open = if self.open { ", the last still on" } else { "" };
        (self.count > 0 || self.open).then(|| {
            let count = self.count + usize::from(self.open);
            let total = minutes(self.total);
            format!(
                "{}, {total} in all{open}{rest}.",
                counted_as(count, one, many)
            )
        })
    }
}

/// Breaks, absences and sleep, each with how long it was.
fn interruptions(events: &[Stamped]) -> Vec<String> {
    let (mut breaks, mut away, mut slept) = (Stops::default(), Stops::default(), Stops::default());
    let mut clock_changes = 0;
    let mut on_break = None;
    for stamped in events {
        match &stamped.event {
            Event::BreakStarted => on_break = Some(stamped.at),
            Event::BreakEnded => {
                if let Some(from) = on_break.take() {
                    breaks.add(stamped.at.since(from));
                }
            }
            Event::Resumed { since, .. } => away.add(stamped.at.since(*since)),
            Event::Slept { span, .. } => slept.add(*span),
            Event::ClockChanged { .. } => clock_changes += 1,
            _ => {}
        }
    }
    breaks.open = on_break.is_some();
    let clock = (clock_changes > 0).then(|| {
        let times = counted(clock_changes, "time");
        format!("The system clock was changed {times}; the exam clock took no notice.")
    });
    [
        breaks.said("rest break", "rest breaks", "; the clock stood"),
        away.said(
            "interruption",
            "interruptions",
            " (the program was closed or stopped)",
        ),
        slept.said("sleep of the machine", "sleeps of the machine", ""),
        clock,
    ]
    .into_iter()
    .flatten()
    .collect()
}

fn key_notices(report: &Report) -> Vec<String> {
    let key = &report.key;
    let voided = |void| {
        let own = key.voids.iter().filter(move |(_, own)| **own == void);
        let asked = own.filter(|(number, _)| report.subject.sitting().row(**number).is_some());
        questions_by_range(&asked.map(|(number, _)| *number).collect::<Vec<_>>())
    };
    let dropped =
        voided(Void::Dropped).map(|names| format!("{names}: void, left out for everyone."));
    let credited =
        voided(Void::Credited).map(|names| format!("{names}: void, full marks for everyone."));
    let also = key.also_right.iter().filter(|(number, _)| {
        report.subject.sitting().row(**number).is_some() && !key.voids.contains_key(number)
    });
    let also = also.map(|(number, labels)| {
        let labels: Vec<_> = labels.iter().map(ToString::to_string).collect();
        format!(
            "Question {number}: {} counts as right too.",
            labels.join(" and ")
        )
    });
    dropped.into_iter().chain(credited).chain(also).collect()
}

/// What every page ends with.
pub fn last_of_all(outline: &Outline, today: chrono::NaiveDate) -> Vec<String> {
    let mut notices: Vec<_> = rule_caution(outline, today).into_iter().collect();
    let checked = outline
        .rule_checked
        .as_ref()
        .map_or_else(String::new, |checked| {
            format!(
                " Checked by {} on {}.",
                cut(&checked.by, 20),
                day(checked.on)
            )
        });
    notices.push(format!(
        "Practice only, no official result. Check this year's rules with the organiser.{checked}"
    ));
    notices
}
