//! Time as columns: an axis, and bars on it.

use crate::domain::time::Elapsed;

/// Time as columns.
pub(super) struct Axis {
    pub(super) columns: usize,
    pub(super) ended: Elapsed,
}

impl Axis {
    /// The column that a moment falls in.
    pub(super) fn column(&self, at: Elapsed) -> usize {
        let columns = u128::try_from(self.columns).unwrap_or(1);
        let ended = u128::from(self.ended.as_millis().max(1));
        let column = u128::from(at.as_millis()) * columns / ended;
        usize::try_from(column)
            .unwrap_or(usize::MAX)
            .min(self.columns.saturating_sub(1))
    }

    /// The last moment that falls in a column.
    pub(super) fn end_of(&self, column: usize) -> Elapsed {
        let columns = u128::try_from(self.columns).unwrap_or(1).max(1);
        let next = u128::try_from(column).unwrap_or(columns).min(columns) + 1;
        let end = u128::from(self.ended.as_millis()) * next / columns;
        Elapsed(u64::try_from(end).unwrap_or(u64::MAX))
    }

    /// Minutes written where they are reached, as many as there is room for.
    pub(super) fn ticks(&self) -> String {
        let mut line = vec![' '; self.columns];
        let minutes = self.ended.as_millis() / 60_000;
        let steps = [1, 2, 5, 10, 15, 20, 30, 60, 120];
        // A sitting that was taken up again after a month has days for its minutes.
        let longer = std::iter::successors(Some(240_u64), |step| step.checked_mul(2));
        let room = u64::try_from(self.columns / 6).unwrap_or(1).max(1);
        let step = steps
            .into_iter()
            .chain(longer)
            .find(|step| minutes / step <= room)
            .unwrap_or(u64::MAX);
        let mut free = 0;
        for minute in (0..=minutes).step_by(usize::try_from(step).unwrap_or(usize::MAX)) {
            let text = minute.to_string();
            let from = self.column(Elapsed::minutes(minute));
            if from < free || from + text.len() > self.columns {
                continue;
            }
            for (cell, c) in line.iter_mut().skip(from).zip(text.chars()) {
                *cell = c;
            }
            free = from + text.len() + 1;
        }
        line.into_iter().collect::<String>().trim_end().to_owned()
    }
}

/// A bar of the time with a stroke where the time it is held against ends.
pub(super) fn bar(filled: usize, stroke: Option<usize>, columns: usize) -> String {
    let column = |index: usize| match (index < filled, stroke == Some(index + 1)) {
        (true, true) => '┃',
        (true, false) => '━',
        (false, true) => '│',
        (false, false) => ' ',
    };
    (0..columns).map(column).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn minutes_stand_where_they_are_reached() {
        let axis = Axis {
            columns: 60,
            ended: Elapsed::minutes(60),
        };
        assert_eq!(
            (axis.column(Elapsed::minutes(30)), axis.column(axis.ended)),
            (30, 59)
        );
        assert_eq!(axis.end_of(29), Elapsed::minutes(30));
        assert!(axis.ticks().starts_with("0         10        20"));
        let none = Axis {
            columns: 1,
            ended: Elapsed::ZERO,
        };
        assert_eq!(
            (none.column(Elapsed::ZERO), none.ticks()),
            (0, "0".to_owned())
        );
    }

    /// A sitting taken up again after a year, and the longest that a file can hold.
    #[test]
    fn an_axis_of_a_year_has_as_few_numbers_as_one_of_an_hour() {
        let year = Axis {
            columns: 60,
            ended: Elapsed::minutes(365 * 24 * 60),
        };
        assert_eq!(year.column(year.ended), 59);
        assert_eq!(year.ticks().split_whitespace().count(), 8);
        let longest = Axis {
            columns: 60,
            ended: Elapsed(u64::MAX),
        };
        assert_eq!(longest.column(Elapsed(u64::MAX / 2)), 29);
        assert_eq!(longest.end_of(59), longest.ended);
        assert!(longest.ticks().starts_with('0'));
    }

    #[test]
    fn a_bar_shows_where_the_plan_ends_inside_and_outside() {
        assert_eq!(bar(4, Some(2), 6), "━┃━━  ");
        assert_eq!(bar(2, Some(4), 6), "━━ │  ");
        assert_eq!(bar(0, None, 3), "   ");
    }
}
