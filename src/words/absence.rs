//! What is said when somebody comes back to a sitting that was left open.

use crate::domain::event::{Away, AwayClock};
use crate::words::time::roughly;

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
        AwayClock::Unknown => "There's no record of how long you were away.".to_owned(),
    };
    let meanwhile = if counts {
        "The clock kept running."
    } else {
        "The clock was stopped."
    };
    format!("Welcome back. {long} {meanwhile}")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::time::Elapsed;

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
            "Welcome back. You were away for 3 minutes. The clock was stopped."
        );
        assert_eq!(
            away(true, AwayClock::Wall),
            "Welcome back. You were away for about 3 minutes. The clock kept running."
        );
        assert_eq!(
            away(false, AwayClock::Unknown),
            "Welcome back. There's no record of how long you were away. The clock was stopped."
        );
    }
}
