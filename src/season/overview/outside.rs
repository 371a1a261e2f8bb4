//! What may leave the room where a group is taught: figures in which nobody can be found.
//!
//! Every figure is a range of ten percentage points, or of twenty below ten people, with the same edges in every
//! version of a page. People are counted in whole tens: by the day on which they sat, then by when their sheet was begun
//! or typed in, then by alias. So whoever is typed in later for the same day comes last, one list makes one page, and one
//! sheet more changes nothing until ten have come. A sheet that is corrected, set aside, erased or of an earlier day can
//! push a figure over an edge, which tells of that sheet to whoever has both versions.

use chrono::{Datelike, NaiveDate};

use super::term::{OverviewSheet, PaperColumn};
use crate::cohort::items::LEAST_TO_PUBLISH;
use crate::domain::mark::Mark;
use crate::domain::marking::Outcome;
use crate::domain::paper::Outline;
use crate::domain::rule::{QuestionNo, Section};

use crate::stats::real;

/// Of fewer people nothing at all is told (from memory: agencies begin at three to five).
const FEWEST: usize = 5;
/// From so many people on single questions are told.
const QUESTIONS_FROM: usize = 2 * LEAST_TO_PUBLISH;
/// Fewer questions than this say something of each of them.
const SECTION_LEAST: usize = 5;
/// In how many bands the marks of a paper without awards are told.
const BANDS: i64 = 5;
/// How many percentage points a range has.
const POINTS: u8 = 10;
/// The same for fewer than ten people.
const POINTS_OF_FEW: u8 = 20;

/// How many people are counted, and so what may be told of them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum OutsideSize {
    /// Fewer than five: nothing.
    TooFew,
    /// Five to nine: one range.
    Few,
    /// Ten and more: so many, in whole tens.
    Tens(usize),
}

/// A question, for people outside.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OutsideQuestion {
    /// Its number.
    pub number: QuestionNo,
    /// What share had it right in time.
    pub right: PercentBand,
}

/// A range of whole per cent that holds a share.
pub type PercentBand = (u8, u8);

/// People by marks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct MarkBand {
    /// The lowest mark of the band; nothing in the first.
    pub from: Option<Mark>,
    /// The marks of the band stay below this; nothing in the last.
    pub below: Option<Mark>,
    /// What share of the people: ten of them or more.
    pub people: PercentBand,
}

/// People by marks, before it is told how many they are.
struct CountedBand {
    from: Option<Mark>,
    below: Option<Mark>,
    people: usize,
}

/// One paper, for people outside.
#[derive(Clone, Debug, PartialEq)]
pub struct OutsidePaper {
    /// The paper.
    pub outline: Outline,
    /// How many people are counted.
    pub size: OutsideSize,
    /// The most there could be; nothing without a key.
    pub max: Option<Mark>,
    /// The first and the last month in which the people who are counted sat, by its first day.
    pub months: Option<(NaiveDate, NaiveDate)>,
    /// Where the mean mark in time lies, in percent of the most; of five to nine people that of the first five.
    pub mean: Option<PercentBand>,
    /// Of ten people and more, the share of right answers in each section of five questions and more.
    pub sections: Vec<(String, PercentBand)>,
    /// The marks in time; none where it would be one band.
    pub bands: Vec<MarkBand>,
    /// The questions, of twenty people and more; void ones are left out.
    pub questions: Vec<OutsideQuestion>,
    /// Of twenty people and more, what share had nothing blank when time was up, where all of them sat under the clock.
    pub nothing_blank: Option<PercentBand>,
}

/// What may be told of a paper. Without a key hardly anything can be.
pub fn outside(column: &PaperColumn) -> OutsidePaper {
    // By alias, which stays where the rest is alike: sheets that were typed in together.
    let mut sheets: Vec<&OverviewSheet> = column.sheets.values().collect();
    sheets.sort_by_key(|sheet| (sheet.day(), sheet.came));
    let size = match sheets.len() {
        0..FEWEST => OutsideSize::TooFew,
        FEWEST..LEAST_TO_PUBLISH => OutsideSize::Few,
        people => OutsideSize::Tens(people / LEAST_TO_PUBLISH * LEAST_TO_PUBLISH),
    };
    let counted = match size {
        OutsideSize::TooFew => 0,
        OutsideSize::Few => FEWEST,
        OutsideSize::Tens(people) => people,
    };
    sheets.truncate(counted);
    let outline = &column.outline;
    let max = sheets
        .iter()
        .find_map(|sheet| Some(sheet.marks.as_ref()?.max));
    let marks: Option<Vec<Mark>> = sheets
        .iter()
        .map(|sheet| Some(sheet.marks.as_ref()?.in_time))
        .collect();
    let marks = marks.filter(|marks| !marks.is_empty());
    let tens = matches!(size, OutsideSize::Tens(_));
    let by_question = counted >= QUESTIONS_FROM;
    let timed = sheets.iter().all(|sheet| sheet.end.is_some());
    let complete = sheets.iter().filter(|sheet| sheet.blanks.is_empty());
    let months = || sheets.iter().filter_map(|sheet| sheet.day().with_day(1));
    let wide = if tens { POINTS } else { POINTS_OF_FEW };
    OutsidePaper {
        size,
        max,
        months: months().min().zip(months().max()),
        mean: marks.as_ref().and_then(|marks| mean(marks, max?, wide)),
        sections: if tens {
            let sections = outline.rule.sections.iter();
            sections
                .filter_map(|section| section_band(section, &sheets))
                .collect()
        } else {
            Vec::new()
        },
        bands: marks
            .filter(|_| tens)
            .map(|marks| bands(outline, max.unwrap_or_default(), &marks))
            .unwrap_or_default(),
        questions: if by_question {
            let numbers = outline.numbers();
            numbers
                .filter_map(|number| question(number, &sheets))
                .collect()
        } else {
            Vec::new()
        },
        nothing_blank: (by_question && timed).then(|| people(complete.count(), sheets.len())),
        outline: outline.clone(),
    }
}

fn outcomes<'a>(
    number: QuestionNo,
    sheets: &'a [&OverviewSheet],
) -> impl Iterator<Item = Outcome> + 'a {
    let own = sheets.iter();
    own.filter_map(move |sheet| sheet.answer(number)?.outcome)
        .filter(|outcome| *outcome != Outcome::Void)
}

fn question(number: QuestionNo, sheets: &[&OverviewSheet]) -> Option<OutsideQuestion> {
    let judged = outcomes(number, sheets).count();
    let right = outcomes(number, sheets).filter(|own| *own == Outcome::Right);
    (judged == sheets.len()).then(|| OutsideQuestion {
        number,
        right: people(right.count(), judged),
    })
}

/// Where the mean lies; one below nothing is in the lowest range.
fn mean(marks: &[Mark], max: Mark, wide: u8) -> Option<PercentBand> {
    let total: Mark = marks.iter().copied().sum();
    let most = max.to_f64() * real(marks.len());
    (most > 0.0).then(|| band(total.to_f64() / most, wide))
}

/// The share of right answers in a section.
fn section_band(section: &Section, sheets: &[&OverviewSheet]) -> Option<(String, PercentBand)> {
    let numbers = (section.first.0..=section.last.0).map(QuestionNo);
    let judged = numbers.filter(|number| outcomes(*number, sheets).count() == sheets.len());
    let judged: Vec<_> = judged.collect();
    let right = judged.iter().map(|number| {
        let own = outcomes(*number, sheets);
        own.filter(|own| *own == Outcome::Right).count()
    });
    let right: usize = right.sum();
    let share = real(right) / real((judged.len() * sheets.len()).max(1));
    (judged.len() >= SECTION_LEAST).then(|| (section.name.clone(), band(share, POINTS)))
}

/// The share of so many people.
fn people(count: usize, of: usize) -> PercentBand {
    band(real(count) / real(of.max(1)), POINTS)
}

/// The one range of so many points that a share lies in: its edges are the same for every group.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a share between 0 and 1 in a few steps"
)]
fn band(share: f64, wide: u8) -> PercentBand {
    let steps = 100 / wide;
    let step = (share.clamp(0.0, 1.0) * f64::from(steps)).floor() as u8;
    let step = step.min(steps - 1);
    (step * wide, (step + 1) * wide)
}

/// The marks between the boundaries of the awards (else in fifths), joined until each band has ten people.
fn bands(outline: &Outline, max: Mark, marks: &[Mark]) -> Vec<MarkBand> {
    let awards = outline.awards.iter().map(|award| award.boundary);
    let mut cuts: Vec<Mark> = awards.filter(|_| !outline.awards.is_empty()).collect();
    if cuts.is_empty() {
        cuts.extend((1..BANDS).map(|part| {
            Mark::from_steps(
                part * max.steps(max.denominator()).unwrap_or(0),
                BANDS * max.denominator(),
            )
        }));
    }
    cuts.sort_unstable();
    let mut bands: Vec<CountedBand> = Vec::new();
    let mut from = None;
    let edges = cuts.into_iter().map(Some).chain([None]);
    for below in edges {
        let own = marks.iter().filter(|mark| {
            from.is_none_or(|from| **mark >= from) && below.is_none_or(|below| **mark < below)
        });
        let people = own.count();
        match bands.last_mut() {
            // What has too few people yet goes on.
            Some(last) if last.people < LEAST_TO_PUBLISH => {
                last.people += people;
                last.below = below;
            }
            _ => bands.push(CountedBand {
                from,
                below,
                people,
            }),
        }
        from = below;
    }
    if let Some(short) = bands.pop_if(|last| last.people < LEAST_TO_PUBLISH)
        && let Some(last) = bands.last_mut()
    {
        last.people += short.people;
        last.below = None;
    }
    if bands.len() < 2 {
        bands.clear();
    }
    let told = |own: CountedBand| MarkBand {
        from: own.from,
        below: own.below,
        people: people(own.people, marks.len()),
    };
    bands.into_iter().map(told).collect()
}
