//! The end of the time: the sweep before it, and the guess round after it.

use super::{Mind, Stand};
use crate::domain::event::How;
use crate::domain::rule::QuestionNo;
use crate::domain::sitting::{Command, Phase};
use crate::domain::time::Elapsed;
use crate::seat::draw_fill;

impl Mind<'_> {
    /// Fills the blanks before time is up, where the pupil thought of it and a guess is worth it.
    pub(super) fn sweep(&mut self) {
        let thought_of_it = self.kept > Elapsed::ZERO;
        self.kept = Elapsed::ZERO;
        let stand_blank = |place: &usize| {
            let row = self
                .get(*place)
                .and_then(|(nature, _)| self.hour.sitting().row(nature.number));
            row.is_some_and(|row| row.in_time.is_none())
        };
        let blanks: Vec<_> = (0..self.questions.len()).filter(stand_blank).collect();
        if !thought_of_it {
            return;
        }
        let pays = |place: &usize| {
            self.get(*place)
                .is_some_and(|(nature, _)| nature.guess_pays)
        };
        let blanks: Vec<_> = blanks.into_iter().filter(pays).collect();
        if !blanks.is_empty() && self.hour.is_running() {
            self.hour.wish(Command::BeginSweep);
        }
        for place in blanks {
            let Some((nature, _)) = self.get(place) else {
                continue;
            };
            if !self.hour.is_running() {
                return;
            }
            self.open(nature.number);
            self.pause(1.8, 5.5);
            let option = nature.guess(&mut self.dice);
            let says = self.dice.happens(0.5 + 0.4 * self.form.habit);
            self.answer(place, option, if says { How::Guessed } else { How::Worked });
            // Either way it is worth another look, if there is time.
            self.stand(place, Stand::Unsure);
            self.pause(0.3, 1.0);
        }
        if self.hour.is_running() {
            self.hour.wish(Command::LeaveSweep);
        }
    }

    /// Time is up: the guess round, where there is something to guess and a guess is worth it.
    pub(super) fn end(&mut self) {
        if !self.hour.is_time_up() {
            return;
        }
        self.pause(3.0, 9.0);
        let worth = |question: &QuestionNo| {
            let own = self
                .questions
                .iter()
                .find(|(nature, _)| nature.number == *question);
            own.is_some_and(|(nature, _)| nature.guess_pays)
        };
        let worth: Vec<_> = self.hour.sitting().blanks().filter(worth).collect();
        if !worth.is_empty() && self.dice.happens(0.95) {
            self.hour.wish(Command::StartGuessRound);
            self.pause(1.5, 4.0);
            if self.pupil.fills {
                let seed = self.dice.number();
                let answers = draw_fill(self.hour.sitting(), &worth, seed);
                self.hour.wish(Command::Fill { seed, answers });
            } else {
                self.guess_each(&worth);
            }
            self.pause(2.0, 6.0);
        }
        self.hour.wish(Command::Finish);
    }

    fn guess_each(&mut self, blanks: &[QuestionNo]) {
        for question in blanks {
            let own = self
                .questions
                .iter()
                .find(|(nature, _)| nature.number == *question);
            let Some((nature, _)) = own.copied() else {
                continue;
            };
            if self.hour.sitting().phase() != Phase::GuessRound {
                return;
            }
            self.open(*question);
            self.pause(1.5, 5.0);
            if let Some(option) = nature.guess(&mut self.dice) {
                self.hour.wish(Command::Answer(*question, option));
            }
            if self.dice.happens(0.04) {
                // Thought better of.
                self.pause(1.0, 2.5);
                self.hour.wish(Command::RubOut(*question));
            }
        }
    }
}
