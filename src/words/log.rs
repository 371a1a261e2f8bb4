//! What happened in a sitting, and where it stands, in a few words.

use crate::domain::event::{AwayClock, Ending, Event, Stop};
use crate::domain::sitting::Phase;
use crate::domain::time::Elapsed;
use crate::words::count::counted;
use crate::words::how::in_a_column;

/// What state a sitting is in.
pub const fn phase(phase: Phase) -> &'static str {
    match phase {
        Phase::Running => "running",
        Phase::OnBreak => "rest break",
        Phase::TimeUp => "time's up",
        Phase::GuessRound => "guess round",
        Phase::Closed(ending) => self::ending(ending),
    }
}

/// How a sitting ended.
pub const fn ending(ending: Ending) -> &'static str {
    match ending {
        Ending::FinishedEarly => "finished early",
        Ending::TimeUp => "time up",
        Ending::GuessRoundDone => "time up, guess round",
        Ending::Abandoned => "given up",
        Ending::Entered => "typed in from paper",
    }
}

/// What happened, in a few words.
pub fn event(event: &Event) -> String {
    match event {
        Event::Opened(question) => format!("Q{question} opened"),
        Event::Answered(question, option) => format!("Q{question} answered {option}"),
        Event::RubbedOut(question) => format!("Q{question} rubbed out"),
        Event::Skipped(question) => format!("Q{question} left for later"),
        Event::Flagged(question) => format!("Q{question} flagged"),
        Event::Unflagged(question) => format!("Q{question} flag removed"),
        Event::Said(question, said) => format!("Q{question} said: {}", in_a_column(*said)),
        Event::CrossedOut(question, option) => format!("Q{question} {option} crossed out"),
        Event::CrossedBack(question, option) => {
            format!("Q{question} {option} no longer crossed out")
        }
        Event::ClockHidden => "the clock was hidden".to_owned(),
        Event::ClockShown => "the clock was shown".to_owned(),
        Event::SweepBegun => "sweep began".to_owned(),
        Event::SweepLeft => "sweep left".to_owned(),
        Event::BreakStarted => "rest break began".to_owned(),
        Event::BreakEnded => "rest break ended".to_owned(),
        Event::Slept { span, counts } => {
            format!(
                "the computer slept for {}{}",
                span.stopwatch(),
                as_time_used(*counts)
            )
        }
        Event::Stalled { span } => format!("the program was held up for {}", span.stopwatch()),
        Event::ClockChanged { millis } => {
            let span = Elapsed(millis.unsigned_abs());
            let way = if *millis < 0 { "back" } else { "on" };
            format!("the computer's clock was put {way} by {}", span.stopwatch())
        }
        Event::Interrupted(Stop::TerminalLost) => "the window was closed".to_owned(),
        Event::Interrupted(Stop::Left) => "the sitting was left".to_owned(),
        Event::Interrupted(Stop::LeftByKey) => "the sitting was left by a key".to_owned(),
        Event::Interrupted(Stop::LeftBySignal) => "a signal ended the program".to_owned(),
        Event::Interrupted(Stop::Panic) => "the program crashed".to_owned(),
        Event::Resumed { counts, clock, .. } => {
            let known = match clock {
                AwayClock::Exact => "",
                AwayClock::Wall => ", length by the computer's clock",
                AwayClock::Unknown => ", length unknown",
            };
            format!("carried on{}{known}", as_time_used(*counts))
        }
        Event::TimeUp { .. } => "time was up".to_owned(),
        Event::GuessRoundStarted => "guess round began".to_owned(),
        Event::Filled { answers, .. } => {
            format!("{} filled at random", counted(answers.len(), "blank"))
        }
        Event::Closed(how) => format!("ended: {}", ending(*how)),
    }
}

const fn as_time_used(counts: bool) -> &'static str {
    if counts {
        ", counted as time used"
    } else {
        ", not counted"
    }
}
