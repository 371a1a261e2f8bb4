//! Which sitting stands for a pupil in a group.

use std::collections::btree_map::Entry as MapEntry;
use std::collections::{BTreeMap, BTreeSet};

/// Which sittings of a pupil count in a group.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Entry {
    /// The first: a paper is new only once.
    #[default]
    First,
    /// Every one, each as a sheet of its own.
    Every,
}

impl Entry {
    /// Those that count, in the order in which they come, and those that do not since their pupil has an earlier one.
    /// `place` gives whose a sheet is, and what puts a pupil's sheets in order.
    pub fn pick<T, Pupil: Ord, Order: Ord>(
        self,
        sheets: Vec<T>,
        place: impl Fn(&T) -> (Pupil, Order),
    ) -> (Vec<T>, Vec<T>) {
        if self == Self::Every {
            return (sheets, Vec::new());
        }
        let mut first = BTreeMap::<Pupil, (Order, usize)>::new();
        for (index, sheet) in sheets.iter().enumerate() {
            let (pupil, order) = place(sheet);
            match first.entry(pupil) {
                MapEntry::Vacant(free) => {
                    free.insert((order, index));
                }
                MapEntry::Occupied(mut known) if order < known.get().0 => {
                    known.insert((order, index));
                }
                MapEntry::Occupied(_) => {}
            }
        }
        let first: BTreeSet<_> = first.into_values().map(|(_, index)| index).collect();
        let (mut counted, mut later) = (Vec::new(), Vec::new());
        for (index, sheet) in sheets.into_iter().enumerate() {
            if first.contains(&index) {
                counted.push(sheet);
            } else {
                later.push(sheet);
            }
        }
        (counted, later)
    }
}

#[cfg(test)]
mod tests {
    use chrono::DateTime;

    use super::*;

    #[test]
    fn a_pupils_first_sitting_stands_for_them_whatever_order_they_come_in() {
        let at = |day: u32| {
            let moment = format!("2026-03-{day:02}T09:00:00+00:00");
            DateTime::parse_from_rfc3339(&moment).unwrap()
        };
        let sheets = vec![
            ("otter", 9, "b"),
            ("heron", 4, "c"),
            ("otter", 2, "a"),
            ("otter", 2, "d"),
        ];
        let place = |sheet: &(&'static str, u32, &'static str)| (sheet.0, (at(sheet.1), sheet.2));
        let (counted, later) = Entry::First.pick(sheets.clone(), place);
        assert_eq!(counted, [("heron", 4, "c"), ("otter", 2, "a")]);
        assert_eq!(later, [("otter", 9, "b"), ("otter", 2, "d")]);
        let (counted, later) = Entry::Every.pick(sheets.clone(), place);
        assert_eq!((counted, later), (sheets, vec![]));
    }
}
