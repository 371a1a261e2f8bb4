//! What a finished sitting comes to, for its pupil.

use super::{Done, Ended};
use crate::analysis::{Analysis, Studied};
use crate::domain::event::Event;
use crate::season::mark_range::AnotherDay;
use crate::words::encouragement::{Facts, encouraging, next_time};
use crate::words::guess::GuessWorth;

impl Ended {
    /// Tells a sitting, with marks where its key is at hand; `None` while it is open.
    pub fn tell(studied: &Studied, saved_at: String) -> Option<Self> {
        let analysis = &studied.analysis;
        let ending = analysis.ending()?;
        let header = analysis.header();
        let facts = Facts::of(studied);
        // A sitting that was given up asks for no mark.
        let marks = studied.marks().filter(|_| analysis.came_to_its_end());
        Some(Self {
            pupil: header.pupil.clone(),
            paper: header.paper.title.clone(),
            ending,
            done: done(analysis),
            step: None,
            range: marks.and_then(|marks| AnotherDay::after(&marks.in_time, &header.paper)),
            marks: marks.cloned(),
            good: encouraging(&facts),
            next: next_time(&facts),
            saved_at,
            invented: header.invented,
        })
    }
}

/// What was done; guesses on the blanks are worth what they were at time up, whatever was crossed out in
/// the guess round.
fn done(analysis: &Analysis) -> Done {
    let is_time_up = |event: &Event| matches!(event, Event::TimeUp { .. });
    let log = analysis.log();
    let time_up = log.iter().position(|stamped| is_time_up(&stamped.event));
    let done = Done::of(analysis.end());
    match time_up {
        Some(place) => Done {
            guesses: GuessWorth::of(&analysis.replay().after(place + 1)),
            ..done
        },
        None => done,
    }
}
