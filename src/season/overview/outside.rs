//! What may leave the room where a group is taught: figures in which nobody can be found.
//!
//! Counts of people below [`LEAST_TO_PUBLISH`] are given as a range only, on both sides of a question (right, and not
//! right), and no second table of the same people splits them in another way, so that nothing can be found by taking
//! one from the other. People are counted in whole tens: by the day on which they sat, then by when their sheet was begun
//! or typed in, then by alias. So whoever is typed in later for the same day comes last, one list makes one page, and two
//! versions of a page differ by ten people or not at all, as long as nobody is taken out or comes late in between.

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

/// How many of so many people, as far as that may be told.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PeopleRange {
    /// At least so many.
    pub low: usize,
    /// At most so many.
    pub high: usize,
    /// Of so many.
    pub of: usize,
}

impl PeopleRange {
    /// Takes a count of at least twenty people; fewer than ten on either side are a range.
    fn new(count: usize, of: usize) -> Self {
        let hidden = LEAST_TO_PUBLISH - 1;
        let (low, high) = if count < LEAST_TO_PUBLISH {
            (0, hidden)
        } else if of - count < LEAST_TO_PUBLISH {
            (of - hidden, of)
        } else {
            (count, count)
        };
        Self { low, high, of }
    }

    /// Whether it is told exactly.
    pub const fn is_exact(self) -> bool {
        self.low == self.high
    }
}

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
    /// How many had it right in time.
    pub right: PeopleRange,
}

/// A range of whole per cent that holds a share; a part of all right answers, and no count of people.
pub type PercentBand = (u8, u8);

/// People by marks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct MarkBand {
    /// The lowest mark of the band; nothing in the first.
    pub from: Option<Mark>,
    /// The marks of the band stay below this; nothing in the last.
    pub below: Option<Mark>,
    /// How many people: ten or more.
    pub people: usize,
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
    /// Of five to nine people, where the mean mark in time of the first five lies, in percent of the most.
    pub mean: Option<PercentBand>,
    /// Of ten people, the share of right answers in each section of five questions and more.
    pub sections: Vec<(String, PercentBand)>,
    /// The marks in time; none where it would be one band.
    pub bands: Vec<MarkBand>,
    /// The questions, of twenty people and more; void ones are left out.
    pub questions: Vec<OutsideQuestion>,
    /// How many had nothing blank when time was up, where all of them sat under the clock.
    pub nothing_blank: Option<PeopleRange>,
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
    OutsidePaper {
        size,
        max,
        mean: marks
            .as_ref()
            .filter(|_| size == OutsideSize::Few)
            .and_then(|marks| mean(marks, max?)),
        sections: if tens && !by_question {
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
        nothing_blank: (by_question && timed)
            .then(|| PeopleRange::new(complete.count(), sheets.len())),
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
        right: PeopleRange::new(right.count(), judged),
    })
}

/// Where the mean lies, to a fifth of all marks.
fn mean(marks: &[Mark], max: Mark) -> Option<PercentBand> {
    let total: Mark = marks.iter().copied().sum();
    let most = max.to_f64() * real(marks.len());
    (most > 0.0).then(|| band(total.to_f64() / most, 20))
}

/// The share of right answers in a section, to a tenth.
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
    (judged.len() >= SECTION_LEAST).then(|| (section.name.clone(), band(share, 10)))
}

/// The band of so many per cent that a share lies in.
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
    let mut bands: Vec<MarkBand> = Vec::new();
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
            _ => bands.push(MarkBand {
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
    bands
}
