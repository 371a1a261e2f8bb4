//! Where a mark would lie on another day.

use crate::domain::mark::Mark;
use crate::domain::marking::{Marked, Outcome};
use crate::stats::reliability;

/// Fewer questions than this say nothing about another day.
const FEWEST_FOR_A_RANGE: usize = 10;

/// About where the mark would lie on another day like this: one binomial standard error (Lord 1955,
/// see [`reliability::binomial_sem`]) either way, in marks of the average question; whole marks.
///
/// None where nothing or everything is right: the formula gives no spread there, which says only
/// that this paper cannot tell.
pub fn another_day(marked: &Marked) -> Option<String> {
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
