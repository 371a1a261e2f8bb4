//! A sitting looked at: played out, marked, held against a group.

use pacebell::analysis::findings::{Finding, Seen, findings};
use pacebell::analysis::{Basis, Norms};
use pacebell::domain::event::{Ending, Event, Stamped};
use pacebell::domain::header::Header;
use pacebell::domain::key::Key;
use pacebell::domain::labels::Label;
use pacebell::domain::rule::QuestionNo;

use crate::analysed::{analysed, keyed};
use crate::script::log;

/// Questions in the order of the paper, each opened, worked on for so many seconds and answered in
/// its last moment; handed in after the last.
pub(crate) fn straight_through(header: &Header, seconds: &[u64], answers: &str) -> Vec<Stamped> {
    let mut at = 0;
    let mut events = Vec::new();
    for (index, (seconds, answer)) in seconds.iter().zip(answers.chars()).enumerate() {
        let number = QuestionNo::from_index(index);
        events.push((at, Event::Opened(number)));
        at += seconds * 1000;
        if let Some(option) = Label::new(answer) {
            events.push((at, Event::Answered(number, option)));
        }
    }
    events.push((at, Event::Closed(Ending::FinishedEarly)));
    log(header, events)
}

/// The same with the last question open until time is up.
pub(crate) fn to_the_bell(header: &Header, seconds: &[u64], answers: &str) -> Vec<Stamped> {
    let mut events = straight_through(header, seconds, answers);
    events.pop();
    let due = header.allowed;
    let end = [Event::TimeUp { due }, Event::Closed(Ending::TimeUp)];
    let end = end.map(|event| (due.as_millis(), event));
    events.extend(log(header, end.into()));
    events
}

/// Everything found in a sitting.
pub(crate) fn found(
    header: &Header,
    log: &[Stamped],
    key: Option<&Key>,
    group: Option<&Norms>,
) -> Vec<Finding> {
    let analysis = analysed(header, log);
    let keyed = key.map(|key| keyed(&analysis, key));
    findings(&Basis {
        analysis: &analysis,
        keyed: keyed.as_ref(),
        norms: group,
    })
}

/// The findings that `pick` takes.
pub(crate) fn seen<T>(all: &[Finding], pick: impl Fn(&Seen) -> Option<T>) -> Vec<T> {
    all.iter()
        .filter_map(|finding| pick(&finding.seen))
        .collect()
}
