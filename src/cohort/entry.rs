//! Which sitting stands for a pupil in a group.

use std::collections::BTreeSet;

use chrono::{DateTime, FixedOffset};

/// Which sittings of a pupil count in a group.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Entry {
    /// The first: a paper is new only once.
    #[default]
    First,
    /// Every one, each as a sheet of its own.
    Every,
}

/// Whose a sitting is, and which of theirs: pupil, start, and what tells two of one start apart.
pub type SittingOrder = (String, DateTime<FixedOffset>, String);

impl Entry {
    /// Those that count, in the order in which they come, and those that do not since their pupil has an earlier one.
    pub fn pick<T>(self, sheets: Vec<T>, place: impl Fn(&T) -> SittingOrder) -> (Vec<T>, Vec<T>) {
        let mut first = BTreeSet::new();
        if self == Self::First {
            let mut places: Vec<_> = sheets.iter().map(&place).collect();
            places.sort();
            places.dedup_by(|later, first| later.0 == first.0);
            first.extend(places);
        }
        let counts = |sheet: &T| self == Self::Every || first.contains(&place(sheet));
        sheets.into_iter().partition(counts)
    }
}

#[cfg(test)]
mod tests {
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
        let place =
            |sheet: &(&str, u32, &str)| (sheet.0.to_owned(), at(sheet.1), sheet.2.to_owned());
        let (counted, later) = Entry::First.pick(sheets.clone(), place);
        assert_eq!(counted, [("heron", 4, "c"), ("otter", 2, "a")]);
        assert_eq!(later, [("otter", 9, "b"), ("otter", 2, "d")]);
        let (counted, later) = Entry::Every.pick(sheets.clone(), place);
        assert_eq!((counted, later), (sheets, vec![]));
    }
}
