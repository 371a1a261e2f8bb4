//! What a pupil does beside the answers: options crossed out, the clock hidden. It takes chance from
//! a stream of its own and no time, so that the answers and their moments are the same without it.

use crate::domain::labels::Label;
use crate::domain::rule::QuestionNo;
use crate::domain::sitting::Command;
use crate::domain::time::Elapsed;
use crate::invented::chance::Dice;
use crate::invented::hour::{Hour, LOOK};
use crate::invented::question::Nature;

/// How often options are crossed out at a question that is worked on.
const CROSSES: f64 = 0.16;
/// How often a pupil hides the clock at the beginning.
const HIDES: f64 = 0.2;

/// A pupil's ways beside the answers.
pub(super) struct Manner(pub(super) Dice);

impl Manner {
    /// Works on a question for so long, and may cross out what cannot be right on the way.
    pub(super) fn work(&mut self, hour: &mut Hour, nature: &Nature, span: Elapsed) {
        let (crosses, two) = (self.0.happens(CROSSES), self.0.happens(0.5));
        let mut left = span;
        if crosses && hour.is_running() {
            let labels = hour.sitting().header().paper.labels(nature.number);
            let wrong: Vec<_> = labels.iter().filter(|own| *own != nature.right).collect();
            let wrong = self.0.shuffled(wrong);
            for option in wrong.into_iter().take(if two { 2 } else { 1 }) {
                let part = whole_looks(left, 20 + self.0.number() % 25);
                hour.pass(part);
                left = left - part;
                if !hour.is_running() {
                    return;
                }
                if !is_crossed(hour, nature.number, option) {
                    hour.wish(Command::CrossOut(nature.number, option));
                }
            }
        }
        hour.pass(left);
    }

    /// Some work better without a clock before them.
    pub(super) fn hide_the_clock(&mut self, hour: &mut Hour) {
        if self.0.happens(HIDES) && hour.is_running() {
            hour.wish(Command::HideClock);
        }
    }
}

fn is_crossed(hour: &Hour, question: QuestionNo, option: Label) -> bool {
    let row = hour.sitting().row(question);
    row.is_some_and(|row| row.crossed.contains(&option))
}

/// An option that is chosen after all is not left crossed out.
pub(super) fn take_the_cross_away(hour: &mut Hour, question: QuestionNo, option: Label) {
    if is_crossed(hour, question, option) {
        hour.wish(Command::CrossOut(question, option));
    }
}

/// Before the end the clock is wanted again.
pub(super) fn show_the_clock(hour: &mut Hour) {
    if hour.sitting().clock_hidden() && hour.is_running() {
        hour.wish(Command::ShowClock);
    }
}

/// So many hundredths of a span, down to a look at the clock, so that the looks stay where they were.
const fn whole_looks(span: Elapsed, hundredths: u64) -> Elapsed {
    let looks = span.as_millis() * hundredths / (100 * LOOK.as_millis());
    Elapsed(looks * LOOK.as_millis())
}
