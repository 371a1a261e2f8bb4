//! Counts a cohort's answer sheets, one row at a time, in memory that does not grow with the cohort.
//!
//! All that item analysis needs is how many people with each total chose each option of each question, and what
//! Rasch's model needs the same by how many were right. That table has a row for each pair of the two that occurs, so a
//! million sheets stream through it. Counts and marks are whole numbers; figures are worked out from them at the end.

use std::collections::BTreeMap;

/// The code of a question left blank.
pub const BLANK: u8 = 0;

/// The most that one question may give or take, in grid steps, so that sums of squares stay exact.
const GREATEST_MARK: i64 = 1 << 20;

/// The most questions a row may have, for the same reason.
const MOST_ITEMS: usize = 1024;

/// What a question gives, in whole steps of the paper's grid.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ItemMarks {
    /// For a right answer.
    pub right: i64,
    /// For a wrong answer; negative where it loses marks.
    pub wrong: i64,
    /// For a blank.
    pub blank: i64,
}

impl ItemMarks {
    /// One for a right answer and nothing else: the total is then the number right.
    pub const NUMBER_RIGHT: Self = Self {
        right: 1,
        wrong: 0,
        blank: 0,
    };
}

/// A question as the analysis sees it; leave a question out altogether to drop it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Item {
    /// How many options it has; their codes run from 1.
    pub options: u8,
    /// The codes that are right.
    pub accepted: Vec<u8>,
    /// What it gives.
    pub marks: ItemMarks,
}

impl Item {
    /// Whether an answer is right; a blank never is.
    pub fn is_right(&self, code: u8) -> bool {
        code != BLANK && self.accepted.contains(&code)
    }

    /// What an answer gives.
    pub fn mark(&self, code: u8) -> i64 {
        match code {
            BLANK => self.marks.blank,
            _ if self.is_right(code) => self.marks.right,
            _ => self.marks.wrong,
        }
    }

    fn valid(&self) -> bool {
        let marks = [self.marks.right, self.marks.wrong, self.marks.blank];
        self.options > 0
            && self
                .accepted
                .iter()
                .all(|code| (1..=self.options).contains(code))
            && marks
                .iter()
                .all(|mark| (-GREATEST_MARK..=GREATEST_MARK).contains(mark))
    }
}

/// Why a row of answers cannot be counted; nothing of it has been.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum RowProblem {
    /// It has another number of answers than there are questions.
    #[error("the row has {found} answers, but there are {wanted} questions")]
    Length {
        /// How many answers it has.
        found: usize,
        /// How many questions there are.
        wanted: usize,
    },
    /// A code is none of the question's options.
    #[error("question {question} has options 1 to {highest}, not {found}; a blank is 0")]
    Code {
        /// The place of the question, from 1.
        question: usize,
        /// The code found.
        found: u8,
        /// The question's highest code.
        highest: u8,
    },
}

/// The counts of a cohort's answers, by total.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Tally {
    columns: Vec<ItemColumn>,
    /// By cell: what its answer gives, and whether it is right.
    answers: Vec<(i64, bool)>,
    start: i64,
    people: usize,
    /// By number right, then by total.
    groups: Vec<BTreeMap<i64, ExtremeGroup>>,
    by_right: Vec<usize>,
    /// How many sheets have their last answer at each question, the first place for those without any.
    reached: Vec<usize>,
}

/// Some people: how many they are, and how often each answer was given among them.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct ExtremeGroup {
    pub(crate) people: usize,
    pub(crate) answers: Vec<usize>,
}

/// The blanks at one question, told apart by what came after.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Blanks {
    /// Blank, with an answer somewhere after it.
    pub omitted: usize,
    /// Blank, with nothing answered after it; a sheet without answers reached nothing.
    pub not_reached: usize,
}

/// An item with its marks by code and the place of its first cell in a group's answers.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct ItemColumn {
    pub(crate) item: Item,
    pub(crate) marks: Vec<i64>,
    pub(crate) right: Vec<bool>,
    pub(crate) first: usize,
}

impl ExtremeGroup {
    fn join(&mut self, other: &Self) {
        self.people += other.people;
        self.answers
            .resize(self.answers.len().max(other.answers.len()), 0);
        for (count, more) in self.answers.iter_mut().zip(&other.answers) {
            *count += more;
        }
    }
}

impl Tally {
    /// An empty tally for the questions given, in their order; `start` is everybody's mark before them.
    ///
    /// `None` without questions, for more than 1024 of them, or when an item has no options, accepts an
    /// option it does not have, or moves the total by more than about a million grid steps.
    pub fn new(items: Vec<Item>, start: i64) -> Option<Self> {
        let start_valid = (-GREATEST_MARK..=GREATEST_MARK).contains(&start);
        let count = items.len();
        if !(1..=MOST_ITEMS).contains(&count) || !start_valid || !items.iter().all(Item::valid) {
            return None;
        }
        let mut answers = Vec::new();
        let mut columns: Vec<ItemColumn> = Vec::with_capacity(count);
        for item in items {
            let codes = BLANK..=item.options;
            let first = answers.len();
            answers.extend((codes.clone()).map(|code| (item.mark(code), item.is_right(code))));
            columns.push(ItemColumn {
                marks: codes.clone().map(|code| item.mark(code)).collect(),
                right: codes.map(|code| item.is_right(code)).collect(),
                first,
                item,
            });
        }
        Some(Self {
            answers,
            start,
            people: 0,
            groups: vec![BTreeMap::new(); count + 1],
            by_right: vec![0; count + 1],
            reached: vec![0; count + 1],
            columns,
        })
    }

    /// Counts one person's answers, a code a question in order, and gives the person's total.
    pub fn add(&mut self, answers: &[u8]) -> Result<i64, RowProblem> {
        let (total, right) = self.mark(answers)?;
        let cells = self.answers.len();
        if let Some(alike) = self.groups.get_mut(right) {
            let group = alike.entry(total).or_insert_with(|| ExtremeGroup {
                people: 0,
                answers: vec![0; cells],
            });
            group.people += 1;
            for (column, &code) in self.columns.iter().zip(answers) {
                if let Some(cell) = group.answers.get_mut(column.first + usize::from(code)) {
                    *cell += 1;
                }
            }
        }
        self.people += 1;
        if let Some(count) = self.by_right.get_mut(right) {
            *count += 1;
        }
        let last = answers.iter().rposition(|&code| code != BLANK);
        if let Some(count) = self.reached.get_mut(last.map_or(0, |last| last + 1)) {
            *count += 1;
        }
        Ok(total)
    }

    /// How many people have been counted.
    pub fn people(&self) -> usize {
        self.people
    }

    /// The totals that occurred, lowest first, each with its number of people.
    pub fn totals(&self) -> Vec<(i64, usize)> {
        let mut totals = BTreeMap::<i64, usize>::new();
        for (total, group) in self.groups.iter().flatten() {
            *totals.entry(*total).or_default() += group.people;
        }
        totals.into_iter().collect()
    }

    /// How many people had 0, 1, 2, ... questions right.
    pub fn numbers_right(&self) -> &[usize] {
        &self.by_right
    }

    /// The blanks at each question.
    pub fn blanks(&self) -> Vec<Blanks> {
        let mut not_reached = 0;
        let columns = self.columns.iter().zip(&self.reached);
        let blanks = columns.map(|(column, last_before)| {
            not_reached += last_before;
            let groups = self.groups.iter().flat_map(BTreeMap::values);
            let blank = groups.filter_map(|group| group.answers.get(column.first));
            let blank: usize = blank.sum();
            Blanks {
                omitted: blank.saturating_sub(not_reached),
                not_reached,
            }
        });
        blanks.collect()
    }

    pub(crate) fn columns(&self) -> &[ItemColumn] {
        &self.columns
    }

    /// Everybody with each total.
    pub(crate) fn by_total(&self) -> BTreeMap<i64, ExtremeGroup> {
        let mut all = BTreeMap::<i64, ExtremeGroup>::new();
        for (total, group) in self.groups.iter().flatten() {
            all.entry(*total).or_default().join(group);
        }
        all
    }

    /// By number right: how many people, and how many of them had each question right.
    pub(crate) fn by_number_right(&self) -> Vec<(usize, Vec<usize>)> {
        let alike = |groups: &BTreeMap<i64, ExtremeGroup>| {
            let mut all = ExtremeGroup::default();
            for group in groups.values() {
                all.join(group);
            }
            let right = self.columns.iter().map(|column| {
                let own = all.answers.iter().skip(column.first).zip(&column.right);
                own.filter(|(_, right)| **right)
                    .map(|(count, _)| count)
                    .sum()
            });
            (all.people, right.collect())
        };
        self.groups.iter().map(alike).collect()
    }

    /// The total and the number right of a row, if every answer can be given.
    fn mark(&self, answers: &[u8]) -> Result<(i64, usize), RowProblem> {
        if answers.len() != self.columns.len() {
            return Err(RowProblem::Length {
                found: answers.len(),
                wanted: self.columns.len(),
            });
        }
        let (mut total, mut right) = (self.start, 0);
        for (index, (column, &code)) in self.columns.iter().zip(answers).enumerate() {
            let highest = column.item.options;
            let cell = self.answers.get(column.first + usize::from(code));
            let Some((mark, is_right)) = cell.filter(|_| code <= highest) else {
                return Err(RowProblem::Code {
                    question: index + 1,
                    found: code,
                    highest,
                });
            };
            total += mark;
            right += usize::from(*is_right);
        }
        Ok((total, right))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn item(key: u8, marks: ItemMarks) -> Item {
        Item {
            options: 5,
            accepted: vec![key],
            marks,
        }
    }

    fn small() -> Tally {
        let costly = ItemMarks {
            right: 6,
            wrong: -2,
            blank: 1,
        };
        Tally::new(vec![item(1, ItemMarks::NUMBER_RIGHT), item(2, costly)], 10).unwrap()
    }

    #[test]
    fn a_row_is_marked_and_counted() {
        let mut tally = small();
        assert_eq!(tally.add(&[1, 2]), Ok(17));
        assert_eq!(tally.add(&[5, 3]), Ok(8));
        assert_eq!(tally.add(&[1, 0]), Ok(12));
        assert_eq!(tally.add(&[0, 2]), Ok(16));
        assert_eq!(tally.totals(), [(8, 1), (12, 1), (16, 1), (17, 1)]);
        assert_eq!(tally.numbers_right(), [1, 2, 1]);
        assert_eq!(tally.people(), 4);
    }

    #[test]
    fn blanks_are_omitted_before_the_last_answer_and_not_reached_after_it() {
        let mut tally = small();
        for row in [[0, 2], [1, 0], [0, 0]] {
            tally.add(&row).unwrap();
        }
        let found = tally.blanks();
        assert_eq!(
            found[0],
            Blanks {
                omitted: 1,
                not_reached: 1
            }
        );
        assert_eq!(
            found[1],
            Blanks {
                omitted: 0,
                not_reached: 2
            }
        );
    }

    #[test]
    fn a_row_that_cannot_be_is_refused_whole() {
        let mut tally = small();
        let before = tally.clone();
        assert_eq!(
            tally.add(&[1]),
            Err(RowProblem::Length {
                found: 1,
                wanted: 2
            })
        );
        let problem = tally.add(&[1, 6]).unwrap_err();
        assert_eq!(
            problem.to_string(),
            "question 2 has options 1 to 5, not 6; a blank is 0"
        );
        assert_eq!(tally, before);
    }

    #[test]
    fn items_that_make_no_sense_are_refused() {
        let wide = ItemMarks {
            right: i64::MAX,
            ..ItemMarks::NUMBER_RIGHT
        };
        let odd = [
            item(6, ItemMarks::NUMBER_RIGHT),
            item(0, ItemMarks::NUMBER_RIGHT),
            item(1, wide),
        ];
        for one in odd {
            assert_eq!(Tally::new(vec![one], 0), None);
        }
        assert_eq!(Tally::new(vec![], 0), None);
        assert_eq!(
            Tally::new(vec![item(1, ItemMarks::NUMBER_RIGHT)], i64::MIN),
            None
        );
    }
}
