//! What is said when somebody comes back to a sitting that was left open.

use crate::domain::event::{Away, AwayClock};
use crate::domain::time::Elapsed;
use crate::words::rule::counted;

/// A stretch of time, roughly: `12 seconds`, `3 minutes`, `5 hours`, `2 days`.
pub fn roughly(span: Elapsed) -> String {
    let seconds = span.as_millis() / 1000;
    match seconds {
        0..120 => counted(seconds, "second"),
        120..7200 => counted(seconds / 60, "minute"),
        7200..172_800 => counted(seconds / 3600, "hour"),
        _ => counted(seconds / 86_400, "day"),
    }
}

/// How long the pupil was away, and what the clock did meanwhile.
pub fn welcome_back(away: Away) -> String {
    let Away {
        span,
        counts,
        clock,
    } = away;
    let long = match clock {
        AwayClock::Exact => format!("You were away for {}.", roughly(span)),
        AwayClock::Wall => format!("You were away for about {}.", roughly(span)),
        AwayClock::Unknown => "You were away; nobody can say how long.".to_owned(),
    };
    let meanwhile = if counts {
        "The clock ran on."
    } else {
        "The clock stood."
    };
    format!("Welcome back. {long} {meanwhile}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_stretch_is_told_in_its_largest_fitting_unit() {
        let told = |seconds| roughly(Elapsed::seconds(seconds));
        assert_eq!(told(0), "0 seconds");
        assert_eq!(told(1), "1 second");
        assert_eq!(told(119), "119 seconds");
        assert_eq!(told(120), "2 minutes");
        assert_eq!(told(7199), "119 minutes");
        assert_eq!(told(7200), "2 hours");
        assert_eq!(told(172_800), "2 days");
    }

    #[test]
    fn an_absence_says_what_the_clock_did() {
        let away = |counts, clock| {
            welcome_back(Away {
                span: Elapsed::minutes(3),
                counts,
                clock,
            })
        };
        assert_eq!(
            away(false, AwayClock::Exact),
            "Welcome back. You were away for 3 minutes. The clock stood."
        );
        assert_eq!(
            away(true, AwayClock::Wall),
            "Welcome back. You were away for about 3 minutes. The clock ran on."
        );
        assert_eq!(
            away(false, AwayClock::Unknown),
            "Welcome back. You were away; nobody can say how long. The clock stood."
        );
    }
}
