//! A group's figures in words: what the numbers say, how far they can be trusted, what is worth a look.

use crate::cohort::items::{
    AnswersFrom, FEW, Figures, LEAST_TO_PUBLISH, Remark, Remarks, TotalFigures,
};
use crate::domain::key::Void;
use crate::domain::mark::Mark;
use crate::domain::paper::Award;
use crate::stats::{real, share};
use crate::words::count::{agree, counted, counted_as};
use crate::words::numbers::{decimals, percent, plain, short};
use crate::words::text::cut;

/// The heading over [`trust`].
pub const TRUST_HEADING: &str = "How far the marks can be trusted";

/// The heading over the remarks.
pub const REMARKS_HEADING: &str = "Worth a look";

/// What stands for a correlation with something that does not vary: no sign, which would say that it is low.
pub const NO_CORRELATION: &str = "none";

/// The heading over the options.
pub const OPTIONS_HEADING: &str = "Who chose what";

/// What stands in the list of options.
pub const OPTIONS_NOTE: &str = "What the key accepts has the word key beside it; in brackets the mean mark of those who chose the option on all other questions.";

/// How to see the options.
pub const OPTIONS_HINT: &str = "With --options: who chose what.";

/// The heading over the times.
pub const TIMES_HEADING: &str = "Time against the share right";

/// What the times are.
pub const TIMES_NOTE: &str =
    "Times are how long a question was open before time was up, over those who opened it.";

/// What the times miss where the paper is printed.
pub const TIMES_OF_A_PRINTED_PAPER: &str = "The paper was printed: what was read beside the screen is not in the times, and answers keyed in together have times that say nothing.";

/// How many answer sheets, where they come from, and the most marks.
pub fn sheets(people: usize, from: AnswersFrom, max: Mark) -> String {
    let from = match from {
        AnswersFrom::List => "from a list, so there are no times",
        AnswersFrom::SittingsWithGuessRound => "with what was guessed after time was up",
        AnswersFrom::SittingsInTime => "with what was answered in time alone",
    };
    format!(
        "{}, {from}. Marks are out of {}.",
        counted(people, "answer sheet"),
        plain(max)
    )
}

/// Middle and spread of the marks.
pub fn totals(totals: &TotalFigures) -> String {
    let quartiles = &totals.quartiles;
    let sd = totals.sd.map_or_else(String::new, |sd| {
        format!(", standard deviation {}", decimals(sd, 1))
    });
    format!(
        "Mean {}{sd}, median {}; half of the marks are between {} and {}.",
        decimals(totals.mean, 1),
        short(quartiles.median, 1),
        short(quartiles.lower, 1),
        short(quartiles.upper, 1)
    )
}

/// How many of all people reached an award.
pub fn reached(award: &Award, reached: usize, people: usize) -> String {
    let name = cut(&award.name, 20);
    let boundary = plain(award.boundary);
    if people < FEW || reached == 1 {
        let counted = counted_of(reached, people);
        return format!("{name} ({boundary} marks and more): {counted}.");
    }
    format!(
        "{name} ({boundary} marks and more): {}, {}.",
        counted_as(reached, "person", "people"),
        percent(share(reached, people))
    )
}

/// How far the marks can be trusted.
pub fn trust(figures: &Figures) -> Vec<String> {
    let found = &figures.reliability;
    let Some(alpha) = found.alpha else {
        return vec![
            "Nothing to say yet: that takes at least two questions that count, and marks that differ."
                .to_owned(),
        ];
    };
    let kr20 = found
        .kr20
        .map_or_else(|| "-".into(), |value| decimals(value, 2));
    let mut said = vec![format!(
        "Reliability {} (Cronbach's alpha on the marks; KR-20, on right or wrong, is {kr20}). {}.",
        decimals(alpha, 2),
        reliability(alpha)
    )];
    if let Some(sem) = found.sem {
        said.push(format!(
            "A mark may be off by about {} either way, 2 times in 3.",
            decimals(sem, 1)
        ));
    }
    if figures.people < FEW {
        said.push(format!(
            "With {} people these figures are rough too.",
            figures.people
        ));
    }
    said
}

/// The word for a reliability (common practice, no source).
const fn reliability(alpha: f64) -> &'static str {
    match alpha {
        0.9.. => "That is very high",
        0.8..0.9 => "That is high",
        0.7..0.8 => "That is good enough for a class test",
        0.5..0.7 => "That is modest: compare groups rather than pupils",
        0.0..0.5 => "That is low: one mark says little",
        _ => "That could be chance alone: the questions don't go together",
    }
}

/// How many came to the end; from 80 % on a paper is commonly called unhurried (a rule ascribed to
/// Swineford, from memory).
pub fn end_reached(figures: &Figures) -> Vec<String> {
    let people = figures.people;
    let questions = &figures.questions;
    let Some(last) = questions.last() else {
        return Vec::new();
    };
    let missed: usize = questions.iter().map(|one| one.blanks.not_reached).sum();
    let reached = people.saturating_sub(last.blanks.not_reached);
    let to_the_end = match reached {
        1 => counted_of(reached, people),
        _ => of_people(reached, people),
    };
    let mut said = vec![format!(
        "{to_the_end} answered the last question; on average {} questions at the end were not reached.",
        decimals(share(missed, people), 1)
    )];
    if questions.iter().any(|one| one.void == Some(Void::Dropped)) {
        said.push("Dropped questions count towards no mark.".to_owned());
    }
    said
}

/// What the columns of the questions hold.
pub fn question_columns(figures: &Figures) -> Vec<String> {
    let discrimination = if figures.people >= FEW {
        format!(
            "Discr.: correlation of right or not with the marks on all other questions; none where either does not vary. Top-low: share right among the {} with the highest marks less that among the {0} with the lowest.",
            figures.group_size()
        )
    } else {
        format!(
            "Discr.: whether those who had it right did better on all other questions (above), worse (below), or neither clearly (unclear); none where there are not both. The number is not shown below {FEW} people, since it would be mostly chance (standard error about {}).",
            decimals(1.0 / real(figures.people.max(2) - 1).sqrt(), 2)
        )
    };
    vec![
        discrimination,
        "Omitted: left out with an answer further on. Not reached: blank with nothing answered after it.".to_owned(),
        difficulty(figures),
    ]
}

/// What the difficulties are, or why there are none.
fn difficulty(figures: &Figures) -> String {
    match &figures.rasch {
        Err(shortage) => format!("No difficulties on a scale: {shortage}."),
        Ok(_) if figures.people < FEW => format!(
            "No difficulties on a scale: {} are too few, about {FEW} are needed.",
            counted(figures.people, "answer sheet")
        ),
        Ok(people) => {
            let every = &figures.questions;
            let missing = every.iter().filter_map(|one| {
                let why = one.rasch?.err()?;
                Some(format!(" Question {}: {why}.", one.number))
            });
            let missing: String = missing.collect();
            format!(
                "Difficulty: in logits from the average question (Rasch model), with its standard error. Higher is harder: a pupil level with a question gets it right half the time, one logit above it 3 times in 4. From {people} sheets with some right and some not; a blank counts as not right.{missing}"
            )
        }
    }
}

/// What is said of a void question.
pub const fn void(void: Void) -> &'static str {
    match void {
        Void::Credited => "void: everybody has its marks",
        Void::Dropped => "void: it counts for nobody",
    }
}

/// A share of people: counted below [`FEW`], where one person is several in a hundred.
pub fn of_people(count: usize, people: usize) -> String {
    if people < FEW {
        counted_of(count, people)
    } else {
        percent(share(count, people))
    }
}

fn counted_of(count: usize, people: usize) -> String {
    format!("{count} of {people}")
}

/// A thing worth a look, with the number of people it rests on.
pub fn remark(remark: &Remark, people: usize) -> String {
    match remark {
        Remark::KeyDoubt {
            question,
            option,
            chosen,
            key,
            right,
        } => format!(
            "Question {question}: {chosen} of {people} chose {option} and did better elsewhere, {right} chose {key}, the answer key's option. Is the answer key right?"
        ),
        Remark::BelowGuessing {
            question,
            right,
            answered,
        } => format!(
            "Question {question}: {right} of {answered} who answered got it right, fewer than guessing would bring. What drew them away?"
        ),
        Remark::Backwards(question) => format!(
            "Question {question}: those who got it right did worse elsewhere ({people} people). Is the answer key right, and the wording clear?"
        ),
        Remark::NotReached {
            from, last, end, ..
        } if from == last => {
            format!("Time: {end} of {people} did not get as far as question {last}.")
        }
        Remark::NotReached {
            from,
            first,
            last,
            end,
        } => format!(
            "Time: {first} of {people} did not get as far as question {from}, {end} not to question {last}."
        ),
        Remark::Omitted {
            question,
            omitted,
            reached,
        } => format!(
            "Question {question}: {omitted} of {reached} who got that far left it out and went on."
        ),
        Remark::TellsLittle(question) => format!(
            "Question {question}: it hardly separates higher marks from lower ({people} people). Look at its wording."
        ),
        Remark::Misfit(question) => format!(
            "Question {question}: the answers do not follow the scale ({people} people): look at the wording."
        ),
        Remark::NobodyChose(unused) => {
            let each = unused.iter().map(|(question, labels)| {
                let labels: Vec<String> = labels.iter().map(ToString::to_string).collect();
                format!("{} on question {question}", labels.join(", "))
            });
            format!(
                "Nobody of {people} chose {}.",
                each.collect::<Vec<_>>().join("; ")
            )
        }
    }
}

/// What the remarks are, and what their absence does not say.
pub fn about_remarks(remarks: &Remarks, people: usize) -> Vec<String> {
    let mut said = Vec::new();
    if remarks.told.is_empty() {
        said.push("Nothing stands out beyond chance.".to_owned());
    }
    if remarks.more > 0 {
        said.push(format!(
            "{} less pressing.",
            counted(remarks.more, "more remark")
        ));
    }
    if people < FEW {
        let show = agree(people, "shows", "show");
        said.push(format!(
            "{} {show} little: a wrong key or wording can go unseen.",
            counted(people, "answer sheet")
        ));
    }
    said
}

/// What the page is no more than.
pub fn estimate_from(people: usize) -> String {
    format!(
        "A practice estimate from {}; not an official result.",
        counted(people, "answer sheet")
    )
}

/// Which numbers stay with the tutor.
pub fn not_for_publishing() -> String {
    format!(
        "Don't publish numbers of fewer than {LEAST_TO_PUBLISH} people: a reader could tell who they are."
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::labels::Label;
    use crate::domain::rule::QuestionNo;

    const fn number(number: u16) -> QuestionNo {
        QuestionNo(number)
    }

    #[test]
    fn a_remark_names_its_question_and_the_people_it_rests_on() {
        let options = ['A', 'D'].map(|label| Label::new(label).unwrap());
        let unused = vec![(number(2), options.to_vec()), (number(7), vec![options[0]])];
        assert_eq!(
            remark(&Remark::NobodyChose(unused), 200),
            "Nobody of 200 chose A, D on question 2; A on question 7."
        );
        let omitted = Remark::Omitted {
            question: number(3),
            omitted: 6,
            reached: 18,
        };
        assert_eq!(
            remark(&omitted, 20),
            "Question 3: 6 of 18 who got that far left it out and went on."
        );
        let time = |from, first| Remark::NotReached {
            from: number(from),
            first,
            last: number(25),
            end: 9,
        };
        assert_eq!(
            remark(&time(23, 5), 20),
            "Time: 5 of 20 did not get as far as question 23, 9 not to question 25."
        );
        assert_eq!(
            remark(&time(25, 9), 20),
            "Time: 9 of 20 did not get as far as question 25."
        );
    }

    #[test]
    fn few_people_are_counted_and_many_are_a_share() {
        assert_eq!(of_people(1, 9), "1 of 9");
        assert_eq!(of_people(3, FEW - 1), "3 of 29");
        assert_eq!(of_people(3, FEW), "10%");
    }

    #[test]
    fn no_remark_of_a_small_group_is_no_all_clear() {
        assert_eq!(
            about_remarks(&Remarks::default(), 12),
            [
                "Nothing stands out beyond chance.",
                "12 answer sheets show little: a wrong key or wording can go unseen."
            ]
        );
        assert_eq!(
            about_remarks(&Remarks::default(), 1)[1],
            "1 answer sheet shows little: a wrong key or wording can go unseen."
        );
        assert_eq!(about_remarks(&Remarks::default(), FEW).len(), 1);
    }
}
