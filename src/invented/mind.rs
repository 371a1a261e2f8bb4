//! How an invented pupil works through a paper: nothing but wishes and time that passes.

mod again;
mod ending;
mod manner;

use super::chance::{Dice, logistic};
use super::hour::Hour;
use super::pupil::{Pupil, PupilForm, Style};
use super::question::Nature;
use crate::domain::event::How;
use crate::domain::labels::Label;
use crate::domain::rule::QuestionNo;
use crate::domain::sitting::Command;
use crate::domain::time::Elapsed;
use manner::Manner;

/// How much easier a question is that the pupil has sat before.
const SEEN_BEFORE: f64 = 0.35;
/// The longest that a sweeper keeps for the blanks, in seconds.
const LONGEST_SWEEP: f64 = 210.0;

/// Where the pupil has got to with a question.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Stand {
    /// Not tried.
    New,
    /// Tried, and left.
    Left,
    /// Answered, not sure.
    Unsure,
    /// Answered, and done with.
    Done,
}

/// What the pupil makes of a question.
#[derive(Clone, Copy, Debug)]
struct Thought {
    /// The chance of solving it.
    chance: f64,
    /// The luck of the day with it: solved where it lies below the chance.
    luck: f64,
    stand: Stand,
}

/// A pupil at work.
pub(super) struct Mind<'a> {
    pub(super) hour: Hour,
    pupil: &'a Pupil,
    form: PupilForm,
    questions: Vec<(&'a Nature, Thought)>,
    dice: Dice,
    manner: Manner,
    /// How much of the time is kept for the blanks.
    kept: Elapsed,
    /// When, of the time left, a rest break is taken.
    rest_at: Option<Elapsed>,
}

impl<'a> Mind<'a> {
    /// A pupil who has not begun; `again` says that the questions were sat before.
    pub(super) fn new(
        hour: Hour,
        pupil: &'a Pupil,
        form: PupilForm,
        natures: &'a [Nature],
        again: bool,
        [mut dice, manner]: [Dice; 2],
    ) -> Self {
        let asked = natures
            .iter()
            .filter(|nature| hour.sitting().row(nature.number).is_some());
        let thoughts = asked.map(|nature| {
            let leaning = nature
                .topics
                .iter()
                .map(|topic| pupil.leaning(topic))
                .sum::<f64>();
            let memory = if again { SEEN_BEFORE } else { 0.0 };
            let thought = Thought {
                chance: logistic(form.strength + leaning + memory - nature.hard),
                luck: dice.unit(),
                stand: Stand::New,
            };
            (nature, thought)
        });
        let questions = thoughts.collect();
        // Early in the season the clock is often forgotten, or thought of too late.
        let sweeps = dice.happens(form.habit);
        let late = dice.happens(0.5);
        let kept = match (sweeps, late) {
            (true, _) => dice.seconds(75.0, LONGEST_SWEEP),
            (false, true) => dice.seconds(8.0, 25.0),
            (false, false) => Elapsed::ZERO,
        };
        let header = hour.sitting().header();
        let allowed = header.allowed;
        let rests = header.arrangements.rest_breaks && dice.happens(0.8);
        let rest_at = rests.then(|| Elapsed(allowed.as_millis() / 2));
        Self {
            hour,
            pupil,
            form,
            questions,
            dice,
            manner: Manner(manner),
            kept,
            rest_at,
        }
    }

    /// Sits the paper from its first moment to its end.
    pub(super) fn sit(mut self) -> Hour {
        self.pause(1.5, 4.0);
        self.manner.hide_the_clock(&mut self.hour);
        if self.pupil.style == Style::Restless && self.dice.happens(0.5) {
            self.glance_at_the_last();
        }
        self.first_pass();
        self.second_pass();
        self.look_over();
        manner::show_the_clock(&mut self.hour);
        self.sweep();
        self.use_the_rest();
        self.end();
        self.hour
    }

    fn get(&self, place: usize) -> Option<(&'a Nature, Thought)> {
        self.questions.get(place).copied()
    }

    fn stand(&mut self, place: usize, stand: Stand) {
        if let Some((_, thought)) = self.questions.get_mut(place) {
            thought.stand = stand;
        }
    }

    fn standing(&self, stand: Stand) -> Vec<usize> {
        let all = self.questions.iter().enumerate();
        let those = all.filter(|(_, (_, thought))| thought.stand == stand);
        those.map(|(place, _)| place).collect()
    }

    /// Whether there is time before the sweep, and somebody to use it.
    fn has_time(&self) -> bool {
        self.hour.is_running() && self.hour.left() > self.kept
    }

    fn pause(&mut self, low: f64, high: f64) {
        let span = self.dice.seconds(low, high);
        self.hour.pass(span);
    }

    /// Works for so long, at most until the sweep; says whether that was possible.
    fn work(&mut self, seconds: f64) -> bool {
        let wanted = super::chance::span(seconds);
        let room = self.hour.left() - self.kept;
        self.hour.pass(wanted.min(room));
        wanted < room && self.hour.is_running()
    }

    /// The same at a question, where options may be crossed out on the way.
    fn work_on(&mut self, nature: &Nature, seconds: f64) -> bool {
        let wanted = super::chance::span(seconds);
        let room = self.hour.left() - self.kept;
        self.manner.work(&mut self.hour, nature, wanted.min(room));
        wanted < room && self.hour.is_running()
    }

    fn open(&mut self, question: QuestionNo) {
        self.hour.wish(Command::Open(question));
    }

    fn answer(&mut self, place: usize, option: Option<Label>, how: How) {
        let (Some((nature, _)), Some(option), true) =
            (self.get(place), option, self.hour.is_running())
        else {
            return;
        };
        manner::take_the_cross_away(&mut self.hour, nature.number, option);
        self.hour.wish(Command::Answer(nature.number, option));
        self.stand(
            place,
            if how == How::Worked {
                Stand::Done
            } else {
                Stand::Unsure
            },
        );
        // One key says it in turn: worked, unsure, guess.
        let said = match how {
            How::Worked | How::Filled => &[][..],
            How::Unsure => &[How::Unsure],
            How::Guessed => &[How::Unsure, How::Guessed],
        };
        for said in said {
            self.pause(0.3, 0.8);
            if self.hour.is_running() {
                self.hour.wish(Command::Say(nature.number, *said));
            }
        }
        self.lower_flag(nature.number);
    }

    fn lower_flag(&mut self, question: QuestionNo) {
        let up = self
            .hour
            .sitting()
            .row(question)
            .is_some_and(|row| row.flagged);
        if up && self.hour.is_running() && self.dice.happens(0.7) {
            self.pause(0.4, 1.0);
            if self.hour.is_running() {
                self.hour.wish(Command::Flag(question));
            }
        }
    }

    fn leave(&mut self, place: usize) {
        self.stand(place, Stand::Left);
        let Some((nature, _)) = self.get(place) else {
            return;
        };
        if !self.hour.is_running() {
            return;
        }
        if self.dice.happens(0.3 + 0.4 * self.form.habit) {
            self.hour.wish(Command::Flag(nature.number));
            self.pause(0.3, 0.9);
        }
        if self.hour.is_running() && self.dice.happens(0.8) {
            self.hour.wish(Command::Skip(nature.number));
        }
    }

    /// Some look at the last question first.
    fn glance_at_the_last(&mut self) {
        if let Some((last, _)) = self.questions.last().copied() {
            self.open(last.number);
            self.pause(6.0, 20.0);
        }
    }

    fn first_pass(&mut self) {
        for place in 0..self.questions.len() {
            self.maybe_rest();
            if !self.has_time() {
                return;
            }
            self.try_it(place);
            self.pause(0.5, 2.0);
        }
    }

    fn maybe_rest(&mut self) {
        let due = self.rest_at.is_some_and(|at| self.hour.left() <= at);
        if due && self.hour.is_running() {
            self.rest_at = None;
            self.hour.wish(Command::StartBreak);
            self.pause(100.0, 280.0);
            self.hour.wish(Command::EndBreak);
        }
    }

    /// The first time at a question.
    fn try_it(&mut self, place: usize) {
        let Some((nature, thought)) = self.get(place) else {
            return;
        };
        self.open(nature.number);
        let haste_chance = match self.pupil.style {
            Style::Quick => 0.3,
            Style::Steady | Style::Restless => 0.06,
            Style::Thorough => 0.0,
        };
        let rushed = self.dice.happens(haste_chance * (1.2 - self.form.habit));
        let (haste, chance) = if rushed {
            (0.22, thought.chance * 0.6)
        } else {
            (1.0, thought.chance)
        };
        let time = nature.seconds * self.pupil.pace * self.dice.factor(0.28) * haste;
        if self.pupil.style == Style::Restless && self.dice.happens(0.22 * (1.3 - self.form.habit))
        {
            self.wander(place, time);
        }
        if thought.luck < chance {
            if self.work_on(nature, time) {
                let near = chance - thought.luck < 0.12;
                self.answer_worked(place, Some(nature.right), near);
            } else {
                self.stand(place, Stand::Left);
            }
        } else if rushed || self.dice.happens(0.55) {
            // Something plausible came out, and it is one of the options.
            if self.work_on(nature, time * 0.9) {
                let option = nature.slip(&mut self.dice);
                let near = self.dice.happens(0.35);
                self.answer_worked(place, option, near && !rushed);
            } else {
                self.stand(place, Stand::Left);
            }
        } else {
            self.be_stuck(place, time);
        }
    }

    fn answer_worked(&mut self, place: usize, option: Option<Label>, near: bool) {
        let says = near && self.dice.happens(0.6);
        self.answer(place, option, if says { How::Unsure } else { How::Worked });
        let Some((nature, _)) = self.get(place).filter(|_| says && self.hour.is_running()) else {
            return;
        };
        if self.dice.happens(0.5) {
            self.pause(0.4, 1.2);
            if self.hour.is_running() {
                self.hour.wish(Command::Flag(nature.number));
            }
        }
    }

    /// Nothing comes: good habits leave it, others sink.
    fn be_stuck(&mut self, place: usize, time: f64) {
        let Some((nature, _)) = self.get(place) else {
            return;
        };
        let clings = if self.pupil.style == Style::Thorough {
            0.75
        } else {
            0.35
        };
        if self.dice.happens(clings * (1.05 - self.form.habit)) {
            let long = self.dice.between(1.3, 2.2) * time + self.dice.between(90.0, 200.0);
            if !self.work_on(nature, long) {
                self.stand(place, Stand::Left);
                return;
            }
            if self.dice.happens(0.45) {
                let option = nature.slip(&mut self.dice);
                self.answer(place, option, How::Guessed);
                return;
            }
        } else {
            let patience = time * self.dice.between(0.35, 0.75);
            self.work(patience.max(15.0));
        }
        self.leave(place);
    }

    /// Leaves the page for an earlier one and comes back.
    fn wander(&mut self, place: usize, time: f64) {
        let (Some((here, _)), Some(back)) = (self.get(place), place.checked_sub(1)) else {
            return;
        };
        let back = *self.standing(Stand::Left).last().unwrap_or(&back);
        let part = self.dice.between(0.2, 0.5);
        if !self.work(time * part) {
            return;
        }
        if let Some((there, _)) = self.get(back) {
            self.open(there.number);
            let glance = self.dice.between(8.0, 30.0);
            self.work(glance);
        }
        if self.hour.is_running() {
            self.open(here.number);
        }
    }
}
