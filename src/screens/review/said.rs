//! Sentences that more than one page says of a sitting.

use super::study::{Facts, Study};
use crate::domain::event::How;
use crate::domain::labels::Label;
use crate::domain::mark::Mark;
use crate::domain::marking::Outcome;
use crate::domain::rule::QuestionNo;
use crate::screens::kit::PageWriter;
use crate::words::count::counted;
use crate::words::findings::trust;
use crate::words::how::in_a_column;
use crate::words::numbers::{marks, plain};
use crate::words::time::difference;

/// Says that there is no key, what that costs, and the way out; nothing where there is one.
pub(super) fn no_key(ink: &mut PageWriter, study: &Study, what: &str) {
    if let Some(reason) = study.no_key() {
        let style = ink.theme.notice;
        ink.signed(
            "> ",
            style,
            &format!("Without a key {what} cannot be shown. {reason}"),
        );
    }
}

/// Says how far times on single questions can be used, where that is not all the way.
pub(super) fn times(ink: &mut PageWriter, study: &Study) {
    if let Some(said) = trust(study.analysis.trust()) {
        let style = ink.theme.notice;
        ink.signed("> ", style, &said);
    } else if !study.opened.header.paper.on_screen {
        ink.text("The paper lay beside the screen: times are how long a question was open.");
    }
}

/// The right options of a question, `C` or `C or D`.
pub(super) fn right_options(study: &Study, number: QuestionNo) -> Option<String> {
    let key = &study.known.as_ref()?.key;
    let labels = study.opened.header.paper.labels(number);
    let right = labels.iter().filter(|label| key.accepts(number, *label));
    let right: Vec<_> = right.map(|label| label.to_string()).collect();
    (!right.is_empty()).then(|| right.join(" or "))
}

/// What became of a question and what that cost, in a sentence or two.
pub(super) fn verdict(study: &Study, facts: &Facts) -> String {
    let number = facts.number;
    let chosen = |given: Option<Label>| given.map_or_else(String::new, |given| given.to_string());
    let right = right_options(study, number).unwrap_or_default();
    let given = chosen(facts.given);
    let (Some(outcome), Some((got, full))) = (facts.outcome, facts.marks) else {
        return match facts.given {
            Some(given) => format!("Question {number}: {given} was chosen."),
            None => format!("Question {number} was left blank."),
        };
    };
    let cost = facts.lost().map_or_else(String::new, |lost| {
        let less = format!(": {} instead of {}", plain(got), plain(full));
        let less = if got == Mark::ZERO { "" } else { &less };
        format!(" It cost {}{less}.", marks(lost))
    });
    let when = if facts.after_time {
        " after time was up"
    } else {
        ""
    };
    match outcome {
        Outcome::Right => {
            format!(
                "Question {number} is right: {given}{when}. It brought {}.",
                marks(got)
            )
        }
        Outcome::Wrong => {
            format!("Question {number} is wrong: {given} was chosen{when}, {right} is right.{cost}")
        }
        Outcome::Blank => format!("Question {number} was left blank; {right} is right.{cost}"),
        Outcome::Void => {
            let given = if given.is_empty() {
                "nothing".to_owned()
            } else {
                given
            };
            format!(
                "Question {number} does not count ({given} was chosen). It gave {}.",
                marks(got)
            )
        }
    }
}

/// The time on a question, its visits, changes and flag, in a sentence.
pub(super) fn effort(study: &Study, facts: &Facts) -> String {
    let mut parts = Vec::new();
    match facts.time {
        _ if facts.visits == 0 => parts.push("never opened".to_owned()),
        Some(time) => {
            let (against, what) = facts
                .median
                .map_or((facts.plan, "plan"), |own| (own, "median"));
            parts.push(format!(
                "{} on it in {} ({} {}, {})",
                time.stopwatch(),
                counted(facts.visits, "visit"),
                what,
                against.stopwatch(),
                difference(time, against),
            ));
        }
        None => parts.push("no time of its own".to_owned()),
    }
    if let Some(said) = facts.how.filter(|said| *said != How::Worked) {
        parts.push(in_a_column(said).to_owned());
    }
    if let Some(row) = study.analysis.end().row(facts.number)
        && facts.changes > 0
    {
        let went: Vec<_> = row.history.iter().map(ToString::to_string).collect();
        parts.push(format!("changed {}", went.join(" to ")));
    }
    if facts.flagged {
        parts.push("flagged".to_owned());
    }
    let mut said = parts.join(", ");
    if let Some(first) = said.get(..1).map(str::to_uppercase) {
        said.replace_range(..1, &first);
    }
    said + "."
}
