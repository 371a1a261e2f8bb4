//! Times and dates as people read them.
//!
//! The time left has one rounding wherever it is told: to the nearest minute until the last five,
//! then to the second above, so that no two pages differ by a minute.

use chrono::{DateTime, Datelike, FixedOffset, NaiveDate, NaiveDateTime};

use crate::domain::time::Elapsed;
use crate::words::count::counted;

/// From here on the time left is told to the second.
pub const LAST_MINUTES: Elapsed = Elapsed::minutes(5);
const MINUTE: u64 = 60_000;

/// The whole minutes left, to the nearest: so that the change to seconds is no jump.
pub const fn minutes_left(left: Elapsed) -> u64 {
    left.as_millis().saturating_add(MINUTE / 2 - 1) / MINUTE
}

/// The whole minutes left, as the clock counts them: `3 minutes`, `less than a minute`.
pub fn whole_minutes_left(left: Elapsed) -> String {
    match minutes_left(left) {
        0 => "less than a minute".to_owned(),
        minutes => counted(minutes, "minute"),
    }
}

/// The time left as a clock on a page shows it: `47 minutes left`, `4:11 left`.
pub fn clock_left(left: Elapsed) -> String {
    if left <= LAST_MINUTES {
        format!("{} left", left.countdown())
    } else {
        format!("{} left", counted(minutes_left(left), "minute"))
    }
}

/// The end of the step of five minutes that the time left is in; nothing in the last one.
pub const fn large_step_below(left: Elapsed) -> Elapsed {
    let step = LAST_MINUTES.as_millis();
    Elapsed(left.as_millis().saturating_sub(1) / step * step)
}

/// The time left in steps of five minutes: `over 45 minutes left`, `under 5 minutes left`.
pub fn clock_in_large_steps(left: Elapsed) -> String {
    let step = |span: Elapsed| counted(span.as_millis() / MINUTE, "minute");
    match large_step_below(left) {
        Elapsed::ZERO => format!("under {} left", step(LAST_MINUTES)),
        below => format!("over {} left", step(below)),
    }
}

/// The same in a sentence: `47 minutes`, `4 min 11 s`.
pub fn left_in_words(left: Elapsed) -> String {
    if left <= LAST_MINUTES {
        left_to_the_second(left)
    } else {
        counted(minutes_left(left), "minute")
    }
}

/// The time left in a sentence, to the second above: `41 seconds`, `9 min 12 s`.
pub fn left_to_the_second(left: Elapsed) -> String {
    time_in_words(Elapsed::seconds(left.as_millis().div_ceil(1000)))
}

/// A span in a sentence, rounded down to the second: `75 minutes`, `40 seconds`, `56 min 15 s`.
pub fn time_in_words(span: Elapsed) -> String {
    let seconds = span.as_millis() / 1000;
    match (seconds / 60, seconds % 60) {
        (minutes, 0) => counted(minutes, "minute"),
        (0, seconds) => counted(seconds, "second"),
        (minutes, seconds) => format!("{minutes} min {seconds} s"),
    }
}

/// A span where room is short: `5 minutes`, `1:30`.
pub fn span(span: Elapsed) -> String {
    if span.as_millis().is_multiple_of(MINUTE) {
        counted(span.as_millis() / MINUTE, "minute")
    } else {
        span.countdown()
    }
}

/// A stretch of time, roughly: `12 seconds`, `3 minutes`, `5 hours`, `2 days`, to the nearest.
pub fn roughly(span: Elapsed) -> String {
    let nearest = |unit: u64| span.as_millis().saturating_add(unit / 2) / unit;
    match span.as_millis() / 1000 {
        0..120 => counted(nearest(1000), "second"),
        120..7200 => counted(nearest(MINUTE), "minute"),
        7200..172_800 => counted(nearest(60 * MINUTE), "hour"),
        _ => counted(nearest(24 * 60 * MINUTE), "day"),
    }
}

/// Seconds with a tenth where it is not nothing: `4`, `4.2`.
pub fn seconds(span: Elapsed) -> String {
    let tenths = span.as_millis().saturating_add(50) / 100;
    if tenths.is_multiple_of(10) {
        (tenths / 10).to_string()
    } else {
        format!("{}.{}", tenths / 10, tenths % 10)
    }
}

/// Seconds that were worked out as `m:ss`, to the nearest second.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "times of a sitting, never below nothing"
)]
pub fn clock_of(seconds: f64) -> String {
    Elapsed::seconds(seconds.max(0.0).round() as u64).stopwatch()
}

/// A span as a signed difference: `+2:48`, `-0:30`.
pub fn difference(span: Elapsed, from: Elapsed) -> String {
    if span >= from {
        format!("+{}", span.since(from).stopwatch())
    } else {
        format!("-{}", from.since(span).stopwatch())
    }
}

/// The same in a sentence: `2 min 48 s over`, `30 seconds under`.
pub fn over_or_under(span: Elapsed, from: Elapsed) -> String {
    if span >= from {
        format!("{} over", time_in_words(span.since(from)))
    } else {
        format!("{} under", time_in_words(from.since(span)))
    }
}

/// The variable `TZ` names something that has no time zone in it.
pub const ZONE_REFUSED: &str = "TZ doesn't name a time zone, so times are in UTC; take TZ away, or name a zone in it, such as Europe/London";

/// A day: `3 Sep 2026`.
pub fn day(date: NaiveDate) -> String {
    date.format("%-d %b %Y").to_string()
}

/// A month: `Sep 2026`.
pub fn month(date: NaiveDate) -> String {
    date.format("%b %Y").to_string()
}

/// A day beside another: `3 Nov`, with the year where it is another one.
pub fn day_near(date: NaiveDate, near: NaiveDate) -> String {
    if date.year() == near.year() {
        date.format("%-d %b").to_string()
    } else {
        day(date)
    }
}

/// A day in a column, as wide on the 3rd as on the 13th: ` 3 Sep 2026`.
pub fn table_day(date: NaiveDate) -> String {
    date.format("%e %b %Y").to_string()
}

/// A day as files have it, so that their names sort by it: `2026-09-03`.
pub fn file_day(date: NaiveDate) -> String {
    date.format("%Y-%m-%d").to_string()
}

/// The moment that starts a file's name, `2026-09-03-1630`, and what follows it.
pub fn file_moment(name: &str) -> Option<(NaiveDateTime, &str)> {
    let (at, rest) = name.split_at_checked("2026-09-03-1630".len())?;
    let at = NaiveDateTime::parse_from_str(at, "%Y-%m-%d-%H%M").ok()?;
    Some((at, rest))
}

/// A moment: `3 Sep 2026, 16:30`.
pub fn moment(at: NaiveDateTime) -> String {
    at.format("%-d %b %Y, %H:%M").to_string()
}

/// The same in a column.
pub fn table_moment(at: NaiveDateTime) -> String {
    at.format("%e %b %Y, %H:%M").to_string()
}

/// The time of day: `16:30`.
pub fn time_of_day(at: DateTime<FixedOffset>) -> String {
    at.format("%H:%M").to_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A file may hold any moment, and rounding up must not run over.
    #[test]
    fn the_longest_time_there_is_is_told_as_well() {
        let longest = Elapsed(u64::MAX);
        assert_eq!(roughly(longest), "213503982334 days");
        assert_eq!(seconds(longest), "18446744073709551.6");
        assert_eq!(minutes_left(longest), 307_445_734_561_825);
        assert_eq!(clock_of(f64::MAX), longest.stopwatch());
    }

    #[test]
    fn the_clock_is_calm_until_the_last_five_minutes() {
        let shown = |seconds| clock_left(Elapsed::seconds(seconds));
        assert_eq!(shown(3600), "60 minutes left");
        assert_eq!(shown(3571), "60 minutes left");
        assert_eq!(shown(3570), "59 minutes left");
        assert_eq!(shown(301), "5 minutes left");
        assert_eq!(shown(300), "5:00 left");
        assert_eq!(clock_left(Elapsed(59_001)), "1:00 left");
        assert_eq!(shown(0), "0:00 left");
    }

    /// A page that says 30 minutes beside a line that says 31 would make a pupil doubt both.
    #[test]
    fn the_page_and_the_lines_tell_the_same_time_left() {
        let both = |seconds| {
            let left = Elapsed::seconds(seconds);
            (clock_left(left), left_in_words(left))
        };
        let same = |page: &str, words: &str| (page.to_owned(), words.to_owned());
        assert_eq!(both(30 * 60 + 1), same("30 minutes left", "30 minutes"));
        assert_eq!(both(30 * 60 + 31), same("31 minutes left", "31 minutes"));
        assert_eq!(both(301), same("5 minutes left", "5 minutes"));
        assert_eq!(both(300), same("5:00 left", "5 minutes"));
        assert_eq!(both(251), same("4:11 left", "4 min 11 s"));
        for seconds in 301..7200 {
            let (page, words) = both(seconds);
            assert_eq!(page, format!("{words} left"), "{seconds}");
        }
        assert_eq!(left_in_words(Elapsed(250_001)), "4 min 11 s");
        assert_eq!(clock_left(Elapsed(250_001)), "4:11 left");
    }

    #[test]
    fn spans_read_as_spoken() {
        assert_eq!(time_in_words(Elapsed::minutes(75)), "75 minutes");
        assert_eq!(time_in_words(Elapsed::seconds(56 * 60 + 15)), "56 min 15 s");
        assert_eq!(time_in_words(Elapsed::seconds(61)), "1 min 1 s");
        assert_eq!(time_in_words(Elapsed::seconds(1)), "1 second");
        assert_eq!(time_in_words(Elapsed(900)), "0 minutes");
        assert_eq!(span(Elapsed::seconds(90)), "1:30");
        assert_eq!(span(Elapsed::minutes(1)), "1 minute");
        assert_eq!(
            (seconds(Elapsed(4000)), seconds(Elapsed(4160))),
            ("4".into(), "4.2".into())
        );
        assert_eq!(clock_of(59.6), "1:00");
    }

    /// The steps by hand: at exactly 45 minutes there are no longer over 45.
    #[test]
    fn a_clock_in_large_steps_shows_no_seconds_and_changes_each_five_minutes() {
        let shown = |millis| clock_in_large_steps(Elapsed(millis));
        let minute = 60_000;
        assert_eq!(shown(60 * minute), "over 55 minutes left");
        assert_eq!(shown(45 * minute + 1), "over 45 minutes left");
        assert_eq!(shown(45 * minute), "over 40 minutes left");
        assert_eq!(shown(5 * minute + 1), "over 5 minutes left");
        assert_eq!(shown(5 * minute), "under 5 minutes left");
        assert_eq!(shown(1), "under 5 minutes left");
        let changes = (2..=60 * minute)
            .filter(|left| large_step_below(Elapsed(*left)) != large_step_below(Elapsed(left - 1)));
        assert_eq!(changes.count(), 11, "from 12 steps to the next");
    }

    #[test]
    fn a_stretch_is_told_in_its_largest_fitting_unit() {
        let told = |seconds| roughly(Elapsed::seconds(seconds));
        assert_eq!(told(0), "0 seconds");
        assert_eq!(told(1), "1 second");
        assert_eq!(told(119), "119 seconds");
        assert_eq!(told(120), "2 minutes");
        assert_eq!(told(149), "2 minutes");
        assert_eq!(told(150), "3 minutes");
        assert_eq!(told(7199), "120 minutes");
        assert_eq!(told(7200), "2 hours");
        assert_eq!(told(172_800), "2 days");
    }

    #[test]
    fn a_difference_has_its_sign() {
        let told = |span, from| difference(Elapsed::seconds(span), Elapsed::seconds(from));
        assert_eq!(told(200, 32), "+2:48");
        assert_eq!(told(30, 60), "-0:30");
        assert_eq!(told(60, 60), "+0:00");
        let said = |span, from| over_or_under(Elapsed::seconds(span), Elapsed::seconds(from));
        assert_eq!(said(200, 32), "2 min 48 s over");
        assert_eq!(said(30, 60), "30 seconds under");
    }

    #[test]
    fn days_and_moments_have_one_form_for_each_use() {
        let at: DateTime<FixedOffset> = "2026-09-03T16:05:00+01:00".parse().unwrap();
        let other: NaiveDate = "2025-12-31".parse().unwrap();
        let day_of = at.date_naive();
        assert_eq!(day(day_of), "3 Sep 2026");
        assert_eq!(moment(at.naive_local()), "3 Sep 2026, 16:05");
        assert_eq!(table_moment(at.naive_local()), " 3 Sep 2026, 16:05");
        assert_eq!(
            (&*table_day(day_of), &*table_day(other)),
            (" 3 Sep 2026", "31 Dec 2025")
        );
        assert_eq!(file_day(day_of), "2026-09-03");
        assert_eq!(day_near(day_of, day_of), "3 Sep");
        assert_eq!(day_near(other, day_of), "31 Dec 2025");
    }
}
