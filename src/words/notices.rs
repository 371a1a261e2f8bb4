//! What has to be said beside a mark, so that nobody reads more into it than it holds.

use chrono::NaiveDate;

use crate::analysis::{Interruptions, Stops};
use crate::domain::event::Ending;
use crate::domain::header::{Header, Mode};
use crate::domain::key::{Key, Void};
use crate::domain::mark::Mark;
use crate::domain::paper::Outline;
use crate::domain::sitting::Sitting;
use crate::words::count::{agree, counted, counted_as};
use crate::words::guess::rule_caution;
use crate::words::numbers::{in_percent, plain, questions_by_range};
use crate::words::text::cut;
use crate::words::time::{day, time_in_words};

/// That a sitting was given up, or has no end.
pub const fn not_ended(ending: Option<Ending>) -> Option<&'static str> {
    match ending {
        Some(Ending::Abandoned) => Some("Given up: these marks count in no figure."),
        Some(_) => None,
        None => Some("No end of the sitting is recorded: these are the marks so far."),
    }
}

/// Which questions of the paper were left out, and that there are no awards then.
pub fn not_sat(header: &Header) -> Option<String> {
    let awards = if header.paper.awards.is_empty() {
        ""
    } else {
        " No awards are worked out: the boundaries are for the whole paper."
    };
    left_out(header).map(|left_out| left_out + awards)
}

/// Which questions of the paper were left out.
pub fn left_out(header: &Header) -> Option<String> {
    let others = header
        .paper
        .numbers()
        .filter(|number| !header.asks(*number));
    let others: Vec<_> = others.collect();
    let names = questions_by_range(&others)?;
    let were = agree(others.len(), "was", "were");
    Some(format!(
        "{names} {were} not part of this sitting, and the maximum leaves them out."
    ))
}

/// What the times are, where they are not simply those of the questions.
pub fn times(header: &Header) -> Option<&'static str> {
    match header.mode {
        Mode::Entered => Some("Typed in from an answer sheet done on paper: there are no times."),
        Mode::Timed if !header.paper.on_screen => Some(
            "The paper was printed: each time is how long the question was open on the screen.",
        ),
        Mode::Timed => None,
    }
}

/// The extra time, where there was some.
pub fn extra_time(header: &Header) -> Option<String> {
    let percent = header.arrangements.extra_percent;
    (percent > Mark::ZERO).then(|| {
        format!(
            "Extra time of {}: {} instead of {}.",
            in_percent(plain(percent)),
            time_in_words(header.allowed),
            time_in_words(header.standard)
        )
    })
}

/// Breaks, absences, sleep and changes of the system clock, a sentence each.
pub fn interruptions(found: &Interruptions) -> Vec<String> {
    let clock = (found.clock_changes > 0).then(|| {
        let times = counted(found.clock_changes, "time");
        format!("The computer's clock was changed {times}; that didn't affect the timing.")
    });
    [
        stops(
            &found.breaks,
            "rest break",
            "rest breaks",
            "; the clock was stopped",
        ),
        stops(
            &found.away,
            "interruption",
            "interruptions",
            " (the program was closed or stopped)",
        ),
        stops(
            &found.slept,
            "sleep of the computer",
            "sleeps of the computer",
            "",
        ),
        clock,
    ]
    .into_iter()
    .flatten()
    .collect()
}

fn stops(stops: &Stops, one: &str, many: &str, rest: &str) -> Option<String> {
    let open = if stops.open {
        ", the last still on"
    } else {
        ""
    };
    (stops.count > 0 || stops.open).then(|| {
        let count = stops.count + usize::from(stops.open);
        let total = time_in_words(stops.total);
        format!(
            "{}, {total} altogether{open}{rest}.",
            counted_as(count, one, many)
        )
    })
}

/// What the key makes of single questions that were sat.
pub fn key(key: &Key, sitting: &Sitting) -> Vec<String> {
    let voided = |void| {
        let own = key.voids.iter().filter(move |(_, own)| **own == void);
        let asked = own.filter(|(number, _)| sitting.row(**number).is_some());
        questions_by_range(&asked.map(|(number, _)| *number).collect::<Vec<_>>())
    };
    let dropped =
        voided(Void::Dropped).map(|names| format!("{names}: void, left out for everyone."));
    let credited =
        voided(Void::Credited).map(|names| format!("{names}: void, full marks for everyone."));
    let also = key
        .also_right
        .iter()
        .filter(|(number, _)| sitting.row(**number).is_some() && !key.voids.contains_key(number));
    let also = also.map(|(number, labels)| {
        let labels: Vec<_> = labels.iter().map(ToString::to_string).collect();
        format!(
            "Question {number}: {} counts as right too.",
            labels.join(" and ")
        )
    });
    dropped.into_iter().chain(credited).chain(also).collect()
}

/// What a mark is not.
const NOT_OFFICIAL: &str =
    "For practice only, not official. Check this year's rules with the organiser.";

/// What a page for people who have nothing to do with the paper's rules ends with: who checked them means nothing there.
pub fn last_for_others(outline: &Outline, today: NaiveDate) -> Vec<String> {
    let caution = rule_caution(outline, today).into_iter();
    caution.chain([NOT_OFFICIAL.to_owned()]).collect()
}

/// What every page of marks ends with.
pub fn last_of_all(outline: &Outline, today: NaiveDate) -> Vec<String> {
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
    notices.push(format!("{NOT_OFFICIAL}{checked}"));
    notices
}
