//! Counts a group's answer sheets, one at a time.

use crate::domain::key::{Key, Void};
use crate::domain::labels::Labels;
use crate::domain::mark::Mark;
use crate::domain::paper::Outline;
use crate::domain::rule::{QuestionNo, Section};
use crate::stats::rasch::CompleteRows;
use crate::stats::tally::{BLANK, Blanks, Item, ItemMarks, RowProblem, Tally};

/// The answer sheets of a group, counted; memory grows with the marks that occur, not with the sheets.
#[derive(Clone, Debug)]
pub struct ItemTally {
    pub(super) grid: i64,
    pub(super) max: Mark,
    pub(super) slots: Vec<Slot>,
    pub(super) tally: Tally,
    pub(super) rasch: CompleteRows,
    pub(super) voids: Voids,
    pub(super) seconds: Vec<Vec<f64>>,
    /// The codes of the questions that count, and whether each was right; kept to save their allocation.
    counted: Vec<u8>,
    right: Vec<bool>,
}

/// One question of the paper.
#[derive(Clone, Debug)]
pub(super) struct Slot {
    pub(super) number: QuestionNo,
    pub(super) labels: Labels,
    pub(super) void: Option<Void>,
    /// Its marks in grid steps where it counts; what everybody gets for it where it does not.
    pub(super) marks: ItemMarks,
    /// By code, the blank first: whether it is right.
    pub(super) right: Vec<bool>,
}

/// What is counted beside the tally where questions are void.
#[derive(Clone, Debug, Default)]
pub(super) struct Voids {
    pub(super) any: bool,
    /// The blanks of every question, void answers taken as answers.
    pub(super) blanks: Vec<Blanks>,
    /// By question and code: how many people, and the sum of their totals.
    pub(super) chosen: Vec<Vec<(usize, i128)>>,
}

/// Why a paper cannot be analysed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum NoItemTally {
    /// The key makes every question void.
    #[error("the key makes every question void, so there is nothing to compare; correct the key")]
    AllVoid,
    /// A question's marks are too large for exact sums on their common grid.
    #[error(
        "the rule's marks are too large or too fine to be summed exactly; use smaller marks or simpler fractions"
    )]
    TooFine,
}

impl ItemTally {
    /// No sheets yet on a paper; the key must fit the paper.
    ///
    /// # Errors
    /// Nothing counts, or the marks are beyond exact sums.
    pub fn new(paper: &Outline, key: &Key) -> Result<Self, NoItemTally> {
        let grid = paper.rule.grid().ok_or(NoItemTally::TooFine)?;
        let mut slots = Vec::new();
        let mut items = Vec::new();
        let mut start = paper.rule.start;
        let mut max = paper.rule.start;
        for number in paper.numbers() {
            let section = paper.rule.section(number).ok_or(NoItemTally::TooFine)?;
            let slot = Slot::new(number, paper, key, section, grid)?;
            match slot.void {
                Some(Void::Credited) => start = start + section.right,
                Some(Void::Dropped) => {}
                None => items.push(slot.item().ok_or(NoItemTally::TooFine)?),
            }
            if slot.void != Some(Void::Dropped) {
                max = max + section.best();
            }
            slots.push(slot);
        }
        if items.is_empty() {
            return Err(NoItemTally::AllVoid);
        }
        let count = items.len();
        let start = start.steps(grid).ok_or(NoItemTally::TooFine)?;
        let chosen = slots.iter().map(|slot| vec![(0, 0); slot.right.len()]);
        let voids = Voids {
            any: count < slots.len(),
            blanks: vec![Blanks::default(); slots.len()],
            chosen: chosen.collect(),
        };
        Ok(Self {
            grid,
            max,
            tally: Tally::new(items, start).ok_or(NoItemTally::TooFine)?,
            rasch: CompleteRows::new(count),
            voids,
            seconds: vec![Vec::new(); slots.len()],
            counted: Vec::with_capacity(count),
            right: Vec::with_capacity(count),
            slots,
        })
    }

    /// Counts one sheet: a code a question in the paper's order, 0 for a blank, then its options from 1.
    ///
    /// # Errors
    /// A row of another length or a code that is no option; nothing of it has been counted.
    pub fn add(&mut self, codes: &[u8]) -> Result<(), RowProblem> {
        if self.voids.any {
            self.add_beside_voids(codes)?;
        } else {
            self.tally.add(codes)?;
        }
        if !self.rasch.is_lacking() {
            return Ok(());
        }
        self.right.clear();
        let counting = self
            .slots
            .iter()
            .zip(codes)
            .filter(|(slot, _)| slot.void.is_none());
        let right = counting.map(|(slot, code)| slot.right.get(usize::from(*code)) == Some(&true));
        self.right.extend(right);
        self.rasch.compare(&self.right);
        Ok(())
    }

    /// Notes the seconds that one person spent on each question; `None` for one never opened.
    pub fn add_times(&mut self, seconds: &[Option<f64>]) {
        for (all, own) in self.seconds.iter_mut().zip(seconds) {
            all.extend(own.filter(|seconds| seconds.is_finite()));
        }
    }

    /// How many sheets have been counted.
    pub fn people(&self) -> usize {
        self.tally.people()
    }

    /// The marks that occurred, lowest first, each with its number of people.
    pub fn marks(&self) -> Vec<(Mark, usize)> {
        let mark = |(steps, people)| (Mark::from_steps(steps, self.grid), people);
        self.tally.totals().into_iter().map(mark).collect()
    }

    fn add_beside_voids(&mut self, codes: &[u8]) -> Result<(), RowProblem> {
        if codes.len() != self.slots.len() {
            let (found, wanted) = (codes.len(), self.slots.len());
            return Err(RowProblem::Length { found, wanted });
        }
        for (slot, code) in self.slots.iter().zip(codes) {
            if usize::from(*code) >= slot.right.len() {
                return Err(RowProblem::Code {
                    question: usize::from(slot.number.0),
                    found: *code,
                    highest: u8::try_from(slot.labels.len()).unwrap_or(u8::MAX),
                });
            }
        }
        self.counted.clear();
        let counting = self
            .slots
            .iter()
            .zip(codes)
            .filter(|(slot, _)| slot.void.is_none());
        self.counted.extend(counting.map(|(_, code)| *code));
        let total = self.tally.add(&self.counted)?;
        let last = codes.iter().rposition(|code| *code != BLANK);
        for (index, (code, blanks)) in codes.iter().zip(&mut self.voids.blanks).enumerate() {
            match (*code, last.is_some_and(|last| index < last)) {
                (BLANK, true) => blanks.omitted += 1,
                (BLANK, false) => blanks.not_reached += 1,
                _ => {}
            }
        }
        for (code, chosen) in codes.iter().zip(&mut self.voids.chosen) {
            if let Some((people, sum)) = chosen.get_mut(usize::from(*code)) {
                *people += 1;
                *sum += i128::from(total);
            }
        }
        Ok(())
    }
}

impl Slot {
    fn new(
        number: QuestionNo,
        paper: &Outline,
        key: &Key,
        section: &Section,
        grid: i64,
    ) -> Result<Self, NoItemTally> {
        let steps = |mark: Mark| mark.steps(grid).ok_or(NoItemTally::TooFine);
        let labels = paper.labels(number);
        let void = key.voids.get(&number).copied();
        let same = |steps| ItemMarks {
            right: steps,
            wrong: steps,
            blank: steps,
        };
        let marks = match void {
            Some(Void::Credited) => same(steps(section.right)?),
            Some(Void::Dropped) => same(0),
            None => ItemMarks {
                right: steps(section.right)?,
                wrong: steps(section.wrong)?,
                blank: steps(section.blank)?,
            },
        };
        let right = labels.iter().map(|label| key.accepts(number, label));
        Ok(Self {
            number,
            labels: labels.clone(),
            void,
            marks,
            right: std::iter::once(false).chain(right).collect(),
        })
    }

    fn item(&self) -> Option<Item> {
        let codes = (BLANK..).zip(&self.right);
        Some(Item {
            options: u8::try_from(self.labels.len()).ok()?,
            accepted: codes
                .filter(|(_, right)| **right)
                .map(|(code, _)| code)
                .collect(),
            marks: self.marks,
        })
    }
}
