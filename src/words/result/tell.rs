//! What a finished sitting comes to, for its pupil.

use std::sync::Arc;

use super::{AwardReached, Done, Ended, QuestionResult, Reached, ResultMarks};
use crate::domain::event::{Ending, Stamped};
use crate::domain::header::Header;
use crate::domain::key::Key;
use crate::domain::mark::Mark;
use crate::domain::marking::{self, Marked, Outcome, SittingMark, Take};
use crate::domain::sitting::{Phase, Sitting};
use crate::odds::shortfall;
use crate::stats::reliability;
use crate::words::encouragement::{Facts, encouraging, next_time};
use crate::words::numbers::plain;
use crate::words::shortfall::ways;

/// Fewer questions than this say nothing about another day.
const FEWEST_FOR_A_RANGE: usize = 10;

impl Ended {
    /// Tells a sitting from its records, with marks where the key is at hand; `None` while it is open.
    pub fn tell(
        header: &Arc<Header>,
        events: &[Stamped],
        key: Option<&Key>,
        saved_at: String,
    ) -> Option<Self> {
        let mut sitting = Sitting::new(Arc::clone(header));
        for stamped in events {
            sitting.apply(stamped.at, &stamped.event);
        }
        let Phase::Closed(ending) = sitting.phase() else {
            return None;
        };
        let rule = &header.paper.rule;
        let key = key.filter(|key| ending != Ending::Abandoned && key.fits(&header.paper).is_ok());
        let in_time =
            key.map(|key| marking::mark(&marking::answers(&sitting, Take::InTime), key, rule));
        let marks = key.map(|key| marking::mark_sitting(&sitting, key, rule));
        let questions = marks
            .as_ref()
            .map(|marks| marks.with_guess_round.questions.as_slice());
        let facts = Facts::gather(header, events, questions);
        Some(Self {
            pupil: header.pupil.clone(),
            paper: header.paper.title.clone(),
            ending,
            done: Done::of(&sitting),
            marks: in_time
                .zip(marks)
                .map(|(in_time, marks)| result(&sitting, &in_time, &marks)),
            good: encouraging(&facts),
            next: next_time(&facts),
            saved_at,
            invented: header.invented,
        })
    }
}

fn result(sitting: &Sitting, in_time: &Marked, marks: &SittingMark) -> ResultMarks {
    let header = sitting.header();
    let guessed = sitting.rows().iter().any(|row| row.after_time.is_some());
    let with = &marks.with_guess_round;
    // Boundaries are those of the whole paper.
    let awards = header
        .paper
        .awards
        .iter()
        .filter(|_| header.arrangements.only.is_none());
    let awards = awards.map(|award| AwardReached {
        name: award.name.clone(),
        boundary: plain(award.boundary),
        reached: if in_time.total >= award.boundary {
            Reached::InTime
        } else if with.total >= award.boundary {
            Reached::WithGuessRound
        } else {
            Reached::NotYet(
                shortfall::short_of(award.boundary, in_time, &header.paper.rule)
                    .as_ref()
                    .map(ways),
            )
        },
    });
    let question = |question: &marking::QuestionMark| QuestionResult {
        number: question.answer.number,
        given: question.answer.given,
        outcome: question.outcome,
        after_time: question.answer.after_time,
    };
    ResultMarks {
        in_time: plain(in_time.total),
        with_guess_round: guessed.then(|| plain(with.total)),
        max: plain(with.max),
        range: another_day(in_time),
        awards: awards.collect(),
        questions: with.questions.iter().map(question).collect(),
    }
}

/// About where the mark would lie on another day like this: one binomial standard error (Lord 1955,
/// see [`reliability::binomial_sem`]) either way, in marks of the average question; whole marks.
///
/// None where nothing or everything is right: the formula gives no spread there, which says only
/// that this paper cannot tell.
fn another_day(marked: &Marked) -> Option<String> {
    let right = marked
        .questions
        .iter()
        .filter(|question| question.outcome == Outcome::Right)
        .count();
    let counted = marked
        .questions
        .iter()
        .filter(|question| question.outcome != Outcome::Void)
        .count();
    if counted < FEWEST_FOR_A_RANGE || right == 0 || right == counted {
        return None;
    }
    let questions = reliability::binomial_sem(right, counted)?;
    let worth = marked
        .questions
        .iter()
        .map(|question| question.max)
        .sum::<Mark>()
        .to_f64();
    #[expect(clippy::cast_precision_loss, reason = "a paper has few questions")]
    let either_way = questions * worth / counted as f64;
    let total = marked.total.to_f64();
    let low = (total - either_way).round().max(0.0);
    let high = (total + either_way).round().min(marked.max.to_f64());
    Some(format!("{low} to {high}"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::marking::{Answer, QuestionMark};
    use crate::domain::rule::QuestionNo;

    /// So many of `questions` right, four marks each.
    fn marked(right: u16, questions: u16) -> Marked {
        let four = Mark::whole(4);
        let question = |number| {
            let is_right = number <= right;
            QuestionMark {
                answer: Answer {
                    number: QuestionNo(number),
                    given: None,
                    how: None,
                    after_time: false,
                },
                outcome: if is_right {
                    Outcome::Right
                } else {
                    Outcome::Blank
                },
                marks: if is_right { four } else { Mark::ZERO },
                max: four,
            }
        };
        Marked {
            total: four * i64::from(right),
            max: four * i64::from(questions),
            sections: vec![],
            questions: (1..=questions).map(question).collect(),
        }
    }

    /// 12 of 25 right: sqrt(12 * 13 / 24) = 2.55 questions, 10.2 marks either way of 48 (arithmetic).
    #[test]
    fn another_day_has_a_range_only_where_something_and_not_everything_is_right() {
        assert_eq!(another_day(&marked(12, 25)).as_deref(), Some("38 to 58"));
        assert_eq!(another_day(&marked(0, 25)), None);
        assert_eq!(another_day(&marked(25, 25)), None);
        assert_eq!(another_day(&marked(4, 9)), None, "too few questions");
    }
}
