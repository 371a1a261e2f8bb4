//! A group's figures in words: what the numbers say, how far they can be trusted, what is worth a look.

use crate::cohort::items::{AnswersFrom, FEW, Figures, LEAST_TO_PUBLISH, Remark, TotalFigures};
use crate::domain::key::Void;
use crate::domain::mark::Mark;
use crate::domain::paper::Award;
use crate::stats::{real, share};
use crate::words::count::{counted, counted_as};
use crate::words::numbers::{decimals, percent, plain, short};
use crate::words::text::cut;

/// The heading over [`trust`].
pub const TRUST_HEADING: &str = "How far the marks can be trusted";

/// The heading over the options.
pub const OPTIONS_HEADING: &str = "Who chose what";

/// What stands in the list of options.
pub const OPTIONS_NOTE: &str = "A star stands beside what the key accepts; in brackets the mean mark of those who chose the option on all other questions.";

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
    let sd = totals
        .sd
        .map_or_else(String::new, |sd| format!(", SD {}", decimals(sd, 1)));
    format!(
        "Mean {}{sd}, median {}; the middle half lies from {} to {}.",
        decimals(totals.mean, 1),
        short(quartiles.median, 2),
        short(quartiles.lower, 2),
        short(quartiles.upper, 2)
    )
}

/// How many of all people reached an award.
pub fn reached(award: &Award, reached: usize, people: usize) -> String {
    format!(
        "{} ({} marks and more): {}, {}.",
        cut(&award.name, 20),
        plain(award.boundary),
        counted_as(reached, "person", "people"),
        percent(share(reached, people))
    )
}

/// How far the marks can be trusted.
pub fn trust(figures: &Figures) -> Vec<String> {
    let found = &figures.reliability;
    let Some(alpha) = found.alpha else {
        return vec![
            "Nothing can be said: it takes two questions that count and marks that differ."
                .to_owned(),
        ];
    };
    let kr20 = found
        .kr20
        .map_or_else(|| "-".into(), |value| decimals(value, 2));
    let mut said = vec![format!(
        "Alpha {} on the questions' marks, KR-20 {kr20} on right or not: {}.",
        decimals(alpha, 2),
        reliability(alpha)
    )];
    if let Some(sem) = found.sem {
        said.push(format!(
            "One mark is uncertain by about {} either way (standard error of measurement, two times in three).",
            decimals(sem, 1)
        ));
    }
    if figures.people < FEW {
        said.push(format!(
            "With {} people these are rough themselves.",
            figures.people
        ));
    }
    said
}

/// The word for a reliability (common practice, no source).
const fn reliability(alpha: f64) -> &'static str {
    match alpha {
        0.9.. => "very high",
        0.8..0.9 => "high",
        0.7..0.8 => "good enough for a class test",
        0.5..0.7 => "modest: compare groups rather than pupils",
        0.0..0.5 => "low: single marks say little",
        _ => "none: the questions do not go together",
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
    let mut said = vec![format!(
        "{} answered the last question; on average {} questions at the end were not reached.",
        percent(share(reached, people)),
        decimals(share(missed, people), 1)
    )];
    if questions.iter().any(|one| one.void == Some(Void::Dropped)) {
        said.push("Dropped questions are in no mark.".to_owned());
    }
    said
}

/// What the columns of the questions hold.
pub fn question_columns(figures: &Figures) -> Vec<String> {
    let discrimination = if figures.people >= FEW {
        format!(
            "Discr.: correlation of right or not with the marks on all other questions. Top-low: share right among the {} with the highest marks less that among the {0} with the lowest.",
            figures.group_size()
        )
    } else {
        format!(
            "Discr.: whether those who had it right did better on all other questions: + yes, - no, ? not clear. The number is not shown below {FEW} people, since it would be mostly chance (standard error about {}).",
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
                "Difficulty: Rasch, in logits about their mean, with its standard error; from {people} sheets with some right and some not, blanks as not right.{missing}"
            )
        }
    }
}

/// What in a question's figures is worth a look.
pub fn remark(remark: &Remark) -> String {
    match remark {
        Remark::Void(Void::Credited) => "void: everybody has its marks".to_owned(),
        Remark::Void(Void::Dropped) => "void: it counts for nobody".to_owned(),
        Remark::KeyDoubt { option, key } => {
            format!("the higher marks chose {option}, the key says {key}: is the key right?")
        }
        Remark::Backwards => {
            "those who had it right did worse elsewhere: is the key right, the wording clear?"
                .to_owned()
        }
        Remark::EverybodyRight => "everybody had it right".to_owned(),
        Remark::NobodyRight => "nobody had it right: check the key".to_owned(),
        Remark::TellsLittle => {
            "it hardly tells higher marks from lower: look at its wording".to_owned()
        }
        Remark::NobodyChose(labels) => {
            let names: Vec<String> = labels.iter().map(ToString::to_string).collect();
            format!("nobody chose {}", names.join(", "))
        }
        Remark::Omitted(share) => format!("{:.0} % left it out and went on", share * 100.0),
        Remark::NotReached(share) => format!("{:.0} % did not get as far", share * 100.0),
        Remark::Misfit => "the answers do not follow the scale: look at the wording".to_owned(),
    }
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
        "Numbers of fewer than {LEAST_TO_PUBLISH} people are not for publishing: a reader could tell who they are."
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::labels::Label;

    #[test]
    fn a_remark_names_its_options_and_shares() {
        let options = ['A', 'D'].map(|label| Label::new(label).unwrap());
        assert_eq!(
            remark(&Remark::NobodyChose(options.to_vec())),
            "nobody chose A, D"
        );
        assert_eq!(
            remark(&Remark::Omitted(1.0 / 3.0)),
            "33 % left it out and went on"
        );
        assert_eq!(
            remark(&Remark::NotReached(2.0 / 3.0)),
            "67 % did not get as far"
        );
    }
}
