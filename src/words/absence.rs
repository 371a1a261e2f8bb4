//! What is said when somebody comes back to a sitting that was left open.

use crate::domain::event::{Away, AwayClock};
use crate::words::time::roughly;

/// How long the pupil was away, and what the clock did meanwhile.
pub fn welcome_back(away: Away) -> String {
    let Away {
        span,
        counts,
        after_time,
        clock,
    } = away;
    let long = match clock {
        AwayClock::Exact => format!("Away {}", roughly(span)),
        AwayClock::Wall => format!("Away about {}", roughly(span)),
        AwayClock::Unknown => "Nobody knows how long you were away".to_owned(),
    };
    if after_time {
        return format!("{long}. Time was already up.");
    }
    let meanwhile = if counts {
        "that time is used."
    } else {
        "the clock was stopped."
    };
    format!("{long}: {meanwhile}")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::time::Elapsed;

    /// The line below a page of the narrowest window has 60 columns.
    #[test]
    fn an_absence_fits_the_line_that_tells_it() {
        for clock in [AwayClock::Exact, AwayClock::Wall, AwayClock::Unknown] {
            for (counts, after_time) in [(true, false), (false, false), (true, true)] {
                let span = Elapsed::minutes(100 * 24 * 60);
                let said = welcome_back(Away {
                    span,
                    counts,
                    after_time,
                    clock,
                });
                assert!(crate::words::text::width(&said) <= 60, "{said}");
            }
        }
    }

    #[test]
    fn an_absence_says_what_the_clock_did() {
        let away = |counts, clock| {
            welcome_back(Away {
                span: Elapsed::minutes(3),
                counts,
                after_time: false,
                clock,
            })
        };
        assert_eq!(
            away(false, AwayClock::Exact),
            "Away 3 minutes: the clock was stopped."
        );
        assert_eq!(
            away(true, AwayClock::Wall),
            "Away about 3 minutes: that time is used."
        );
        assert_eq!(
            away(false, AwayClock::Unknown),
            "Nobody knows how long you were away: the clock was stopped."
        );
        let after = Away {
            span: Elapsed::seconds(3),
            counts: true,
            after_time: true,
            clock: AwayClock::Exact,
        };
        assert_eq!(welcome_back(after), "Away 3 seconds. Time was already up.");
    }
}
