//! The second time at a question: what was left, what was unsure, and what to do with spare time.

use super::{Mind, Stand, Style};
use crate::domain::event::How;
use crate::domain::rule::QuestionNo;
use crate::domain::sitting::Command;
use crate::domain::time::Elapsed;

impl Mind<'_> {
    /// Goes back to what was left: the likeliest first where the habit is good, else in order.
    pub(super) fn second_pass(&mut self) {
        let mut left = self.standing(Stand::Left);
        if self.form.habit > 0.55 {
            let chance =
                |place: &usize| self.get(*place).map_or(0.0, |(_, thought)| thought.chance);
            left.sort_by(|a, b| chance(b).total_cmp(&chance(a)));
        }
        for place in left {
            self.maybe_rest();
            if !self.has_time() {
                return;
            }
            self.try_again(place);
            self.pause(0.5, 1.5);
        }
    }

    fn try_again(&mut self, place: usize) {
        let Some((nature, thought)) = self.get(place) else {
            return;
        };
        self.open(nature.number);
        let time = nature.seconds * self.pupil.pace * self.dice.factor(0.3) * 0.7;
        if !self.work(time) {
            return;
        }
        // It was left since the luck of the first time was above the chance, or since time ran short.
        if thought.luck < thought.chance || self.dice.happens(0.4 * thought.chance) {
            self.answer(place, Some(nature.right), How::Worked);
        } else if nature.guess_pays && self.dice.happens(0.3 + 0.5 * self.form.habit) {
            let option = nature.guess(&mut self.dice);
            self.answer(place, option, How::Guessed);
        } else if self.dice.happens(0.3) {
            let option = nature.slip(&mut self.dice);
            self.answer(place, option, How::Unsure);
        }
    }

    /// Looks again at what was unsure, and changes some of it.
    pub(super) fn look_over(&mut self) {
        if self.pupil.style == Style::Quick && self.dice.happens(0.6) {
            return;
        }
        for place in self.standing(Stand::Unsure) {
            if !self.has_time() {
                return;
            }
            let Some((nature, thought)) = self.get(place) else {
                return;
            };
            self.open(nature.number);
            let time = self.dice.between(15.0, 55.0);
            if !self.work(time) {
                return;
            }
            if self.dice.happens(0.4) {
                let clears = self.dice.happens(0.4 + 0.5 * thought.chance);
                let option = if clears {
                    Some(nature.right)
                } else {
                    nature.slip(&mut self.dice)
                };
                self.change(nature.number, place, option);
            } else {
                self.lower_flag(nature.number);
            }
        }
    }

    fn change(
        &mut self,
        question: QuestionNo,
        place: usize,
        option: Option<crate::domain::labels::Label>,
    ) {
        if self.dice.happens(0.3) {
            self.hour.wish(Command::RubOut(question));
            self.pause(2.0, 9.0);
        }
        self.answer(place, option, How::Worked);
    }

    /// Time is left and nothing blank that should not be: hands in, or reads on until time is up.
    pub(super) fn use_the_rest(&mut self) {
        self.kept = Elapsed::ZERO;
        let hands_in = match self.pupil.style {
            Style::Quick => 0.75,
            Style::Steady | Style::Restless => 0.25,
            Style::Thorough => 0.1,
        };
        if self.hour.left() > Elapsed::minutes(2) && self.dice.happens(hands_in) {
            self.hand_in();
            return;
        }
        for _ in 0..12 {
            if !self.hour.is_running() {
                return;
            }
            self.think_on();
        }
        if self.hour.left() > Elapsed::minutes(1) {
            self.hand_in();
        } else {
            self.hour.pass(self.hour.left());
        }
    }

    /// Another look at what was guessed or is blank, or else at anything.
    fn think_on(&mut self) {
        let mut places = self.standing(Stand::Unsure);
        places.extend(self.standing(Stand::Left));
        if places.is_empty() {
            places = (0..self.questions.len()).collect();
        }
        let weighted: Vec<_> = places.into_iter().map(|place| (place, 1.0)).collect();
        let chosen = self.dice.pick(&weighted);
        let Some((place, (nature, thought))) =
            chosen.and_then(|place| Some((place, self.get(place)?)))
        else {
            return;
        };
        self.open(nature.number);
        let time = self.dice.between(20.0, 80.0);
        if self.work(time)
            && thought.stand != Stand::Done
            && self.dice.happens(0.25 * thought.chance)
        {
            self.change_if_there(nature.number, place);
        }
    }

    /// The right answer comes after all.
    fn change_if_there(&mut self, question: QuestionNo, place: usize) {
        let Some((nature, _)) = self.get(place) else {
            return;
        };
        let there = self
            .hour
            .sitting()
            .row(question)
            .is_some_and(|row| row.in_time.is_some());
        if there {
            self.change(question, place, Some(nature.right));
        } else {
            self.answer(place, Some(nature.right), How::Worked);
        }
    }

    fn hand_in(&mut self) {
        if self.hour.is_running() {
            self.pause(2.0, 5.0);
        }
        if self.hour.is_running() {
            self.hour.wish(Command::Finish);
        }
    }
}
