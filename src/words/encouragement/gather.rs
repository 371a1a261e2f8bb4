//! Facts gathered from a sitting's events.

use std::sync::Arc;

use super::{Facts, Habits, KeyFacts};
use crate::domain::event::{Ending, Event, How, Stamped};
use crate::domain::header::{Header, Mode};
use crate::domain::marking::{Outcome, QuestionMark};
use crate::domain::rule::QuestionNo;
use crate::domain::sitting::{Phase, Sitting};
use crate::domain::time::Elapsed;

impl Facts {
    /// Gathers what is known of a sitting from its events, and from its marked questions where the
    /// key is at hand.
    ///
    /// A stay counts as long as the trade's rule of thumb has it (common practice, no source): more
    /// than twice the even pace and more than two minutes over it, nothing earned, others blank.
    /// With a printed paper the time on a question is only time on the screen: no stay is told.
    pub fn gather(
        header: &Arc<Header>,
        events: &[Stamped],
        marked: Option<&[QuestionMark]>,
    ) -> Self {
        let mut sitting = Sitting::new(Arc::clone(header));
        let mut at_reminder: Option<Vec<QuestionNo>> = None;
        let mut came_back = Vec::new();
        let mut time_left = None;
        let mut until_time_up = false;
        for Stamped { at, event, .. } in events {
            let reminded = sitting.reminder().is_some_and(|moment| *at >= moment);
            if reminded && at_reminder.is_none() {
                at_reminder = Some(sitting.blanks().collect());
            }
            match event {
                Event::Answered(question, _) if sitting.phase() == Phase::Running => {
                    let left_before = sitting
                        .row(*question)
                        .is_some_and(|row| row.history.is_empty())
                        && sitting.visits_to(*question) > 1;
                    if left_before {
                        came_back.push(*question);
                    }
                }
                Event::TimeUp { .. } => until_time_up = true,
                Event::Closed(Ending::FinishedEarly) => time_left = Some(sitting.left(*at)),
                _ => {}
            }
            sitting.apply(*at, event);
        }
        let in_time = |question: &QuestionNo| {
            sitting
                .row(*question)
                .is_some_and(|row| row.in_time.is_some())
        };
        let timed = header.mode == Mode::Timed;
        came_back.retain(in_time);
        let mut swept = at_reminder.unwrap_or_default();
        swept.retain(in_time);
        swept.retain(|_| timed);
        let rows = sitting.rows();
        let blanks: Vec<_> = rows
            .iter()
            .filter(|row| row.in_time.is_none())
            .map(|row| row.number)
            .collect();
        let said = |row: &&crate::domain::sitting::Row| {
            row.in_time
                .is_some_and(|given| matches!(given.how, How::Unsure | How::Guessed))
        };
        let key = marked.map(|marked| key_facts(&sitting, marked, &came_back));
        let wrong = key.as_ref().map_or(&[][..], |key| &key.wrong);
        let long_stay = long_stay(&sitting, &blanks, wrong).filter(|_| timed);
        Self {
            questions: rows.len(),
            answered: rows.len() - blanks.len(),
            not_seen: rows
                .iter()
                .filter(|row| !row.seen && timed)
                .map(|row| row.number)
                .collect(),
            flags: sitting.flags().collect(),
            wrong_costs: header.paper.rule.takes_marks_away(),
            habits: Habits {
                swept,
                came_back,
                said: rows.iter().filter(said).count(),
                long_stay,
                saw_all: timed && rows.iter().all(|row| row.seen),
                until_time_up,
                time_left: time_left.filter(|left| timed && *left >= Elapsed::minutes(1)),
                reminder: header.arrangements.remind_before,
            },
            key,
            blanks,
        }
    }
}

fn long_stay(
    sitting: &Sitting,
    blanks: &[QuestionNo],
    wrong: &[QuestionNo],
) -> Option<(QuestionNo, Elapsed)> {
    let header = sitting.header();
    let rows = sitting.rows();
    let even = Elapsed(header.allowed.0 / u64::try_from(rows.len().max(1)).ok()?);
    let long = (even + even).max(even + Elapsed::minutes(2));
    let earned_nothing = blanks.iter().chain(wrong).filter(|question| {
        let others_blank = blanks.iter().any(|blank| blank != *question);
        header.paper.on_screen && others_blank
    });
    earned_nothing
        .map(|question| (*question, sitting.time_on(*question, sitting.latest())))
        .filter(|(_, took)| *took > long)
        .max_by_key(|(_, took)| *took)
}

fn key_facts(sitting: &Sitting, marked: &[QuestionMark], came_back: &[QuestionNo]) -> KeyFacts {
    let in_time =
        |outcome| move |mark: &&QuestionMark| mark.outcome == outcome && !mark.answer.after_time;
    let number = |mark: &QuestionMark| mark.answer.number;
    let right: Vec<_> = marked
        .iter()
        .filter(in_time(Outcome::Right))
        .map(number)
        .collect();
    let changed =
        |question: &QuestionNo| sitting.row(*question).is_some_and(|row| row.changes() > 0);
    // "Questions 1 to n" is true only where question 1 was sat.
    let from_one = (1..).map(QuestionNo);
    KeyFacts {
        front_right: right
            .iter()
            .zip(from_one)
            .take_while(|(right, number)| *right == number)
            .count(),
        right: right.clone(),
        changed_to_right: right.iter().copied().filter(changed).collect(),
        came_back_right: came_back
            .iter()
            .copied()
            .filter(|question| right.contains(question))
            .collect(),
        wrong: marked
            .iter()
            .filter(in_time(Outcome::Wrong))
            .map(number)
            .collect(),
    }
}
