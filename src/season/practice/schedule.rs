//! When a question comes back, and when it is called secure.

use chrono::{Days, NaiveDate};

/// The gap in days where nobody has said when the real paper is (common practice, no source).
pub const USUAL_GAP: u32 = 7;

/// How many days after the first unaided right answer nothing is called secure yet (common practice, no source).
pub const NO_VERDICT_DAYS: u64 = 14;

/// The share of the days to the paper that a gap takes, up to [`NEAR`] and from [`FAR`] on: about 20% at a few weeks
/// and 5% at a year (Cepeda, Vul, Rohrer, Wixted & Pashler 2008, *Psychological Science* 19, 1095-1102); between them
/// it falls on the logarithm of the days.
const NEAR_SHARE: f64 = 0.20;
/// See [`NEAR_SHARE`].
const FAR_SHARE: f64 = 0.05;
/// See [`NEAR_SHARE`].
const NEAR: f64 = 35.0;
/// See [`NEAR_SHARE`].
const FAR: f64 = 365.0;

/// How many days until the next try, at least one; `to_paper` is how many there are to the real paper, where it is
/// known and not over.
pub fn gap_days(to_paper: Option<u32>) -> u32 {
    let Some(days) = to_paper else {
        return USUAL_GAP;
    };
    let length = f64::from(days);
    let along = (length.clamp(NEAR, FAR) / NEAR).ln() / (FAR / NEAR).ln();
    let share = NEAR_SHARE + (FAR_SHARE - NEAR_SHARE) * along;
    whole(share * length).max(1)
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a fifth of a number of days is one, and never below zero"
)]
fn whole(days: f64) -> u32 {
    days.round() as u32
}

/// The day of the next try after one on `last`.
pub(super) fn next_try(last: NaiveDate, paper_on: Option<NaiveDate>) -> NaiveDate {
    let to_paper = paper_on.and_then(|paper| u32::try_from((paper - last).num_days()).ok());
    after(last, u64::from(gap_days(to_paper)))
}

/// The day so many days later.
pub(super) fn after(day: NaiveDate, days: u64) -> NaiveDate {
    day.checked_add_days(Days::new(days)).unwrap_or(day)
}

/// Where a missed question stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PracticeState {
    /// It can be tried from this day on, which is not after today.
    Due(NaiveDate),
    /// It comes back on a later day.
    Waiting(NaiveDate),
    /// Right twice; it can be called secure from this day on.
    TooEarly(NaiveDate),
    /// Right without help in two sessions, the first of them two weeks ago or more.
    Secure,
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The gaps are worked out by hand from the share .20 up to 35 days and .05 from 365 days on, straight on the
    /// logarithm of the days between them: at 56 days .20 - .15 ln(56/35) / ln(365/35) = .1699, times 56 is 9.52.
    #[test]
    fn a_gap_is_a_fifth_of_the_days_to_a_near_paper_and_a_twentieth_to_a_far_one() {
        let gaps = [
            (7, 1),
            (14, 3),
            (21, 4),
            (28, 6),
            (35, 7),
            (56, 10),
            (84, 12),
            (120, 15),
            (365, 18),
        ];
        for (days, gap) in gaps {
            assert_eq!(gap_days(Some(days)), gap, "{days} days");
        }
        assert_eq!((gap_days(Some(0)), gap_days(Some(1))), (1, 1));
        assert_eq!(gap_days(Some(1000)), 50, "a twentieth from a year on");
        assert_eq!(gap_days(None), 7, "no day of the paper is known");
    }

    #[test]
    fn no_question_is_put_off_to_the_paper_or_behind_it_while_a_day_is_left() {
        for days in 2..2000 {
            assert!(gap_days(Some(days)) < days, "{days} days");
        }
    }

    #[test]
    fn a_paper_that_is_over_sets_no_gap() {
        let day = |d| NaiveDate::from_ymd_opt(2027, 1, d).unwrap();
        assert_eq!(next_try(day(10), Some(day(9))), day(17));
        assert_eq!(next_try(day(10), Some(day(24))), day(13));
        assert_eq!(next_try(day(10), Some(day(10))), day(11));
        assert_eq!(next_try(day(10), None), day(17));
    }
}
