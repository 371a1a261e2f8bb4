//! The two reference cohorts, under each of the reference marking rules.

use crate::reading::table;
use pacebell::stats::tally::{Item, ItemMarks, Tally};

/// Grid steps in a mark: quarters, fifths and sevenths of a mark occur.
pub(crate) const GRID: i64 = 140;

/// The same as a real number.
pub(crate) const GRID_REAL: f64 = 140.0;

/// The marking rules of the reference tables, by the names there.
pub(crate) const SCHEMES: [&str; 10] = [
    "S1_number_right",
    "S2_R_minus_W_over_k_minus_1",
    "S3_5_6_6_no_penalty",
    "S4_5_6_6_minus_0_1_2",
    "S5_6_right_1.5_blank",
    "S6_3_4_5_minus_quarter",
    "S7_4_minus_1_start_K",
    "S8_S4_void_dropped",
    "S9_S4_void_full_to_all",
    "S10_S4_second_answer_accepted",
];

/// A cohort: the items' names, their highest codes and keys, and the rows of answers.
pub(crate) struct Cohort {
    pub(crate) names: Vec<String>,
    pub(crate) options: Vec<u8>,
    pub(crate) keys: Vec<u8>,
    pub(crate) rows: Vec<Vec<u8>>,
}

/// Reads a cohort; an empty cell and a 0 are both a blank.
pub(crate) fn cohort(prefix: &str) -> Cohort {
    let keys = table(&format!("{prefix}_key.csv"));
    let names: Vec<String> = keys.iter().map(|row| row.text("item").to_owned()).collect();
    let code = |text: &str| {
        if text.is_empty() {
            0
        } else {
            text.parse().unwrap()
        }
    };
    Cohort {
        options: keys.iter().map(|row| code(row.text("n_options"))).collect(),
        keys: keys.iter().map(|row| code(row.text("key"))).collect(),
        rows: table(&format!("{prefix}_raw.csv"))
            .iter()
            .map(|row| names.iter().map(|name| code(row.text(name))).collect())
            .collect(),
        names,
    }
}

impl Cohort {
    /// The cohort marked by number right.
    pub(crate) fn by_number_right(&self) -> Tally {
        let items = self.items(|_| ItemMarks::NUMBER_RIGHT);
        filled(items, 0, &self.rows)
    }

    /// The cohort under a named rule, in grid steps.
    pub(crate) fn under(&self, scheme: &str) -> Tally {
        let count = self.keys.len();
        let first = (6 * count).div_ceil(10);
        let second = first + (count - first).div_ceil(2);
        let section = |index: usize| usize::from(index >= first) + usize::from(index >= second);
        let third = |index: usize| (index / (count / 3)).min(2);
        let whole = |right: i64, wrong: i64, blank: i64| ItemMarks {
            right: right * GRID,
            wrong: wrong * GRID,
            blank: blank * GRID,
        };
        let costly =
            |index: usize| whole([5, 6, 6][section(index)], [0, -1, -2][section(index)], 0);
        let void = [4, first];
        match scheme {
            "S1_number_right" => filled(self.items(|_| whole(1, 0, 0)), 0, &self.rows),
            "S2_R_minus_W_over_k_minus_1" => {
                let lost = |index: usize| -GRID / (i64::from(self.options[index]) - 1);
                let marks = |index| ItemMarks {
                    wrong: lost(index),
                    ..whole(1, 0, 0)
                };
                filled(self.items(marks), 0, &self.rows)
            }
            "S3_5_6_6_no_penalty" => {
                let marks = |index| ItemMarks {
                    wrong: 0,
                    ..costly(index)
                };
                filled(self.items(marks), 0, &self.rows)
            }
            "S4_5_6_6_minus_0_1_2" => filled(self.items(costly), 0, &self.rows),
            "S5_6_right_1.5_blank" => {
                let marks = |_| ItemMarks {
                    blank: GRID * 3 / 2,
                    ..whole(6, 0, 0)
                };
                filled(self.items(marks), 0, &self.rows)
            }
            "S6_3_4_5_minus_quarter" => {
                let right = |index: usize| [3, 4, 5][third(index)];
                let marks = |index| ItemMarks {
                    wrong: -right(index) * GRID / 4,
                    ..whole(right(index), 0, 0)
                };
                filled(self.items(marks), 0, &self.rows)
            }
            "S7_4_minus_1_start_K" => {
                let start = i64::try_from(count).unwrap() * GRID;
                filled(self.items(|_| whole(4, -1, 0)), start, &self.rows)
            }
            "S8_S4_void_dropped" => self.without(void, costly, 0),
            "S9_S4_void_full_to_all" => {
                let start = void.iter().map(|index| costly(*index).right).sum();
                self.without(void, costly, start)
            }
            "S10_S4_second_answer_accepted" => {
                let mut items = self.items(costly);
                let (hardest, other) = if count == 10 { (9, 1) } else { (15, 2) };
                items[hardest].accepted.push(other);
                filled(items, 0, &self.rows)
            }
            _ => panic!("no rule {scheme}"),
        }
    }

    fn items(&self, marks: impl Fn(usize) -> ItemMarks) -> Vec<Item> {
        let codes = self.options.iter().zip(&self.keys).enumerate();
        codes
            .map(|(index, (&options, &key))| Item {
                options,
                accepted: vec![key],
                marks: marks(index),
            })
            .collect()
    }

    /// Drops two questions, giving everybody `start` in their place.
    fn without(&self, void: [usize; 2], marks: impl Fn(usize) -> ItemMarks, start: i64) -> Tally {
        let kept = |index: &usize| !void.contains(index);
        let items = self.items(marks).into_iter().enumerate();
        let items = items
            .filter(|(index, _)| kept(index))
            .map(|(_, item)| item)
            .collect();
        let rows: Vec<Vec<u8>> = self
            .rows
            .iter()
            .map(|row| {
                (0..row.len())
                    .filter(kept)
                    .map(|index| row[index])
                    .collect()
            })
            .collect();
        filled(items, start, &rows)
    }
}

/// A tally of every row.
pub(crate) fn filled(items: Vec<Item>, start: i64, rows: &[Vec<u8>]) -> Tally {
    let mut tally = Tally::new(items, start).unwrap();
    for row in rows {
        tally.add(row).unwrap();
    }
    tally
}
