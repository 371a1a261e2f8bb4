//! A season in words: its trends, its scale, what is compared and what is not.

use std::fmt::Write;

use crate::cohort::scale::equating::MeanEquating;
use crate::domain::mark::Mark;
use crate::domain::notes::Cause;
use crate::season::mark_range::AnotherDay;
use crate::season::model::Priors;
use crate::season::progress::{
    Apart, CauseTally, Conditions, Error, Line, Of, OnScale, Trend, Verdict,
};
use crate::words::another_day::{ONLY_GUESSES, would_be};
use crate::words::count::counted;
use crate::words::numbers::{
    decimals, in_percent, marks_about, marks_in_total, percent, plain, ranges_in_words, short,
    signed,
};
use crate::words::sources::CAUTION;
use crate::words::time::{day, time_in_words};

/// The heading over the topics.
pub const TOPICS_HEADING: &str = "Topics, most marks within reach first";

/// The heading over the sittings that are set apart.
pub const APART_HEADING: &str = "Not compared with the others";

/// What the columns of marks hold.
pub const MARK_COLUMNS: &str = "Worked: guesses counted as blank. No luck: each guess counts as much as a blind guess earns on average. Over: how far the mark in time is above the paper's lowest award. Sinks: questions that took far too long and earned nothing. Sweep: how long filling the blanks at the end took.";

/// How the topics are counted and ordered.
pub const TOPIC_COLUMNS: &str = "In reach: roughly how many more marks a paper a pupil one standard deviation stronger would get on such questions, given where they come in the paper. The fewer the questions, the more a topic's share right is pulled towards the pupil's other topics. Guesses do not count as right; a question with several topics counts in each; the range is Wilson's.";

/// The last line of the page.
pub const NOT_OFFICIAL: &str = "Practice only: this is not an official result.";

/// The heading over the trends.
pub fn trends_heading(compared: usize) -> String {
    format!(
        "From one sitting to the next ({} compared)",
        counted(compared, "sitting")
    )
}

/// A trend: `blanks when time was up: 6, 4, 1: -2.5 a sitting (standard error 0.3): ...`.
pub fn trend(of: Of, trend: &Trend) -> String {
    let values: Vec<_> = trend.values.iter().map(|value| short(*value, 1)).collect();
    let error = match (trend.error, trend.from) {
        (None, _) => "standard error not known yet".to_owned(),
        (Some(error), Error::Measurement) => format!("standard error {}", decimals(error, 2)),
        (Some(error), Error::Residual) => {
            format!("standard error {}, from the spread", decimals(error, 2))
        }
    };
    format!(
        "{}: {}: {} a sitting ({error}): {}.",
        figure(of),
        values.join(", "),
        signed(trend.slope, 2),
        verdict(trend.verdict),
    )
}

const fn figure(of: Of) -> &'static str {
    match of {
        Of::Worth => "worth on the latest paper, in marks",
        Of::Margin => "margin over the lowest boundary, in percent",
        Of::LuckOut => "mark with luck taken out, in percent",
        Of::Blanks => "blanks when time was up",
        Of::Sinks => "sinks",
        Of::SweepSeconds => "length of the sweep, in seconds",
    }
}

const fn verdict(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::TwoOnly => "two sittings are too few to say",
        Verdict::Level => "no clear direction",
        Verdict::Rising => "rising",
        Verdict::Falling => "falling",
    }
}

/// Causes of lost marks with how often and what they cost.
pub fn causes(tallies: &[(Cause, CauseTally)]) -> String {
    let each = tallies
        .iter()
        .map(|(cause, tally)| format!("{cause} {} ({})", tally.count, marks_in_total(&tally.lost)));
    let each: Vec<_> = each.collect();
    format!("Causes of lost marks that were noted: {}.", each.join(", "))
}

/// A sitting that is set apart, with the reason.
pub fn line_apart(line: &Line, reason: &Apart) -> String {
    let day = day(line.started.date_naive());
    format!("{day} {}: {}", line.paper, apart(reason))
}

/// Why a sitting is not compared.
fn apart(apart: &Apart) -> String {
    match apart {
        Apart::Open => "not finished yet".to_owned(),
        Apart::GivenUp => "given up".to_owned(),
        Apart::Again => "at least half of its questions had been met before".to_owned(),
        Apart::Withdrawn(reason) => reason.words().to_owned(),
        Apart::OtherConditions(others) => format!("other conditions: {}", conditions(others)),
    }
}

fn conditions(conditions: &Conditions) -> String {
    let mut parts = Vec::new();
    if conditions.extra_percent > Mark::ZERO {
        parts.push(format!(
            "extra time {}",
            in_percent(plain(conditions.extra_percent))
        ));
    }
    if let Some(only) = &conditions.only {
        parts.push(match only.as_range() {
            Some((first, last)) => format!("questions {first} to {last} only"),
            None => format!(
                "questions {} only",
                ranges_in_words(&only.iter().collect::<Vec<_>>())
            ),
        });
    }
    if let Some(time) = conditions.own_time {
        parts.push(format!(
            "{} instead of the paper's own time",
            time_in_words(time)
        ));
    }
    if conditions.typed_in {
        parts.push("done on paper and typed in".to_owned());
    }
    if parts.is_empty() {
        "the paper's own time, no extra time, all questions".to_owned()
    } else {
        parts.join(", ")
    }
}

/// Under which conditions the sittings that are compared were sat, and what practice alone brings of the most that
/// the latest paper gives.
pub fn compared(same: &Conditions, max: Option<Mark>) -> String {
    let practice = Priors::default().practice_share();
    let gain = percent(practice);
    let marks = max.map_or_else(String::new, |max| {
        format!(
            " ({} of {})",
            marks_about(practice * max.to_f64()),
            plain(max)
        )
    });
    format!(
        "Compared: {}. Over the first two sittings, part of any rise comes just from getting used to such papers: about {gain} of a paper's marks{marks}.",
        conditions(same)
    )
}

/// The sittings that no key marked.
pub fn not_marked<'a>(lines: impl Iterator<Item = &'a Line>) -> String {
    let each = lines.map(|line| format!("{}, {}", line.paper, day(line.started.date_naive())));
    let each: Vec<_> = each.collect();
    format!(
        "Not marked, because no key was found for the paper: {}. Use --keys DIR to say where the keys are.",
        each.join(", ")
    )
}

/// Where another day's mark would lie after the latest sitting.
pub fn range_of_a_mark(mark: Mark, day: AnotherDay) -> String {
    let AnotherDay::Between(range) = day else {
        return format!("After a mark of {}: {ONLY_GUESSES}", plain(mark));
    };
    format!(
        "After a mark of {}: {}, even if nothing has changed (binomial by section, with the spread from day to day). So a difference of that size means little.",
        plain(mark),
        would_be("another day's mark", range)
    )
}

/// When a trend has a direction.
pub const DIRECTION: &str = "A direction is named only if chance alone would show one on at most 5 in 100 such pages (Holm's method over the trends shown).";

/// The heading over the sittings on one scale.
pub fn scale_heading(scale: &OnScale) -> String {
    format!(
        "On one scale: what the worked marks are worth on {} (of {})",
        scale.reference,
        plain(scale.max)
    )
}

/// Why a mark can lie outside the range of what it is worth.
pub const WORTH_OUTSIDE: &str = "A worked mark can lie outside its own range. What it's worth comes from how many questions came right and how hard they are, whatever marks each gave.";

/// What the scale rests on, or why there is none.
pub fn scale_note(scale: &OnScale) -> String {
    if let Some(why) = &scale.shortage {
        return format!(
            "There's no common scale for these papers: {why}. Until there is, compare how far each mark is above its own paper's boundary."
        );
    }
    let mut said = format!(
        "From {} and {} (conditional maximum likelihood; Warm's estimate in logits). \
         If all the pupils who link the papers got better in between, that can't be seen here.",
        counted(scale.people, "other pupil"),
        counted(scale.papers.len(), "paper"),
    );
    if !scale.apart.is_empty() {
        let _ = write!(
            said,
            " Not on the scale: {}, because no other pupil or question links it to {}.",
            scale.apart.join(", "),
            scale.reference
        );
    }
    format!("{said} {CAUTION}")
}

/// How much harder a paper is than the one that marks are said on.
pub fn shift(shift: &MeanEquating, reference: &str) -> String {
    let harder = if shift.used < 0.0 { "easier" } else { "harder" };
    let from = if shift.same_pupils {
        format!("{} pupils who sat both", shift.people.0)
    } else {
        format!(
            "{} and {} pupils, assumed to be alike",
            shift.people.0, shift.people.1
        )
    };
    format!(
        "{} counts as {:.2} questions {harder} than {reference}: seen {:.2}, standard error {:.2} \
         ({from}), pulled towards zero by its error. {CAUTION}",
        shift.paper,
        shift.used.abs(),
        shift.seen * shift.used.signum(),
        shift.error,
    )
}
