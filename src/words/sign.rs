//! The signs that stand beside questions and answers, and what each means.
//!
//! One table: pages, legends, helps and typed lines take every sign from here. No mark has two
//! meanings and no meaning two marks; what has no row here is said by a word.

use crate::domain::event::How;
use crate::domain::marking::Outcome;
use crate::domain::sitting::RowState;

/// Beside a question that counts for nobody, or for everybody.
pub const VOID: &str = "void";
/// Beside an answer that came after time was up.
pub const LATE: &str = "late";
/// Beside a sitting that is not compared with the others.
pub const APART: &str = "apart";
/// Beside an option that the key accepts.
pub const KEY: &str = "key";
/// Beside a threshold that the tutor set.
pub const OWN: &str = "yours";
/// Of a figure that is clearly above nothing.
pub const ABOVE: &str = "above";
/// Of a figure that is clearly below nothing.
pub const BELOW: &str = "below";
/// Of a figure that is too close to nothing to say.
pub const UNCLEAR: &str = "unclear";

/// A sign, by what it means.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Sign {
    /// The question that is open, the row that is chosen.
    Open,
    /// The chosen letter.
    Chosen,
    /// Seen and blank.
    Seen,
    /// Left for later.
    Later,
    /// The pupil called the answer unsure.
    Unsure,
    /// The pupil called the answer a guess.
    Guess,
    /// The program filled the answer in.
    Filled,
    /// A flag.
    Flag,
    /// Not on the disk yet.
    Unsaved,
    /// A right answer.
    Right,
    /// A wrong answer.
    Wrong,
    /// No answer.
    Blank,
}

/// The columns of the sign that says how an answer was found: the widest of them.
pub const HOW_WIDTH: usize = 2;

/// The signs of the answer sheet in a sitting.
pub const SHEET: [Sign; 6] = [
    Sign::Chosen,
    Sign::Seen,
    Sign::Later,
    Sign::Unsure,
    Sign::Guess,
    Sign::Flag,
];

/// The signs of all questions at a glance, where the chosen letter stands without brackets.
pub const GLANCE: [Sign; 6] = [
    Sign::Seen,
    Sign::Later,
    Sign::Unsure,
    Sign::Guess,
    Sign::Filled,
    Sign::Flag,
];

/// The signs of the answer sheet in the guess round.
pub const GUESS_ROUND: [Sign; 5] = [
    Sign::Chosen,
    Sign::Seen,
    Sign::Later,
    Sign::Guess,
    Sign::Filled,
];

/// The signs of a marked question.
pub const MARKED: [Sign; 3] = [Sign::Right, Sign::Wrong, Sign::Blank];

/// The signs of a sitting that is played again.
pub const REPLAY: [Sign; 6] = [
    Sign::Unsure,
    Sign::Guess,
    Sign::Filled,
    Sign::Flag,
    Sign::Right,
    Sign::Wrong,
];

impl Sign {
    /// The mark, a word for a legend, and the words of a help page.
    const fn row(self) -> (&'static str, &'static str, &'static str) {
        match self {
            Self::Open => (">", "open", "open now"),
            Self::Chosen => ("[C]", "chosen", "your answer"),
            Self::Seen => ("o", "seen", "seen, still blank"),
            Self::Later => ("~", "later", "left for later"),
            Self::Unsure => ("?", "unsure", "unsure"),
            Self::Guess => ("??", "guess", "a guess"),
            Self::Filled => ("*", "filled", "filled at random"),
            Self::Flag => ("F", "flag", "flag"),
            Self::Unsaved => ("'", "not saved", "not saved yet"),
            Self::Right => ("+", "right", "right"),
            Self::Wrong => ("x", "wrong", "wrong"),
            Self::Blank => ("-", "blank", "blank"),
        }
    }

    /// The sign.
    pub const fn mark(self) -> &'static str {
        self.row().0
    }

    /// What it means, for a legend.
    pub const fn means(self) -> &'static str {
        self.row().1
    }

    /// What it means, for a help page.
    pub const fn explained(self) -> &'static str {
        self.row().2
    }

    /// The sign where something holds, or as much room.
    pub fn if_so(self, holds: bool) -> &'static str {
        if holds { self.mark() } else { " " }
    }

    /// The sign of a row of the answer sheet: none before the question is seen, and none where the
    /// chosen letter says it.
    pub const fn of_row(state: RowState) -> Option<Self> {
        match state {
            RowState::NotSeen | RowState::Answered => None,
            RowState::Seen => Some(Self::Seen),
            RowState::Skipped => Some(Self::Later),
        }
    }

    /// The sign beside an answer that says how it was found; none beside one that was worked out.
    pub const fn of_answer(how: How) -> Option<Self> {
        match how {
            How::Worked => None,
            How::Unsure => Some(Self::Unsure),
            How::Guessed => Some(Self::Guess),
            How::Filled => Some(Self::Filled),
        }
    }

    /// The sign of what became of a question; a void one has a word.
    pub const fn of_outcome(outcome: Outcome) -> Option<Self> {
        match outcome {
            Outcome::Right => Some(Self::Right),
            Outcome::Wrong => Some(Self::Wrong),
            Outcome::Blank => Some(Self::Blank),
            Outcome::Void => None,
        }
    }
}

/// The mark of a sign, or a blank where there is none.
pub const fn mark_or_blank(sign: Option<Sign>) -> &'static str {
    match sign {
        Some(sign) => sign.mark(),
        None => " ",
    }
}

/// How an answer was found, as a sign, in as many columns as any of them.
pub fn how_cell(how: Option<How>) -> String {
    let mark = how.and_then(Sign::of_answer).map_or("", Sign::mark);
    format!("{mark:<HOW_WIDTH$}")
}

/// The word beside a marked answer, where it needs one: void before late.
pub fn remark(outcome: Option<Outcome>, after_time: bool) -> &'static str {
    match (outcome, after_time) {
        (Some(Outcome::Void), _) => VOID,
        (_, true) => LATE,
        _ => "",
    }
}

/// What some signs mean: `o seen  ~ later`.
pub fn legend(signs: &[Sign]) -> String {
    let each = signs
        .iter()
        .map(|sign| format!("{} {}", sign.mark(), sign.means()));
    each.collect::<Vec<_>>().join("  ")
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    const ALL: [Sign; 12] = [
        Sign::Open,
        Sign::Chosen,
        Sign::Seen,
        Sign::Later,
        Sign::Unsure,
        Sign::Guess,
        Sign::Filled,
        Sign::Flag,
        Sign::Unsaved,
        Sign::Right,
        Sign::Wrong,
        Sign::Blank,
    ];

    #[test]
    fn no_mark_has_two_meanings_and_no_meaning_two_marks() {
        // As many as the table has rows: a sign that is not listed is not tested.
        let rows = include_str!("sign.rs").matches("=> (\"").count();
        assert_eq!(rows, ALL.len());
        let set = |of: fn(Sign) -> &'static str| ALL.map(of).into_iter().collect::<BTreeSet<_>>();
        for of in [Sign::mark, Sign::means, Sign::explained] {
            assert_eq!(set(of).len(), ALL.len());
        }
        let words = [VOID, LATE, APART, KEY, OWN, ABOVE, BELOW, UNCLEAR];
        let marks = set(Sign::mark);
        assert!(
            words
                .iter()
                .all(|word| word.len() > 2 && !marks.contains(word))
        );
    }

    #[test]
    fn every_mark_beside_an_answer_fits_its_columns() {
        for sign in ALL {
            let width = crate::words::text::width(sign.mark());
            let room = match sign {
                Sign::Chosen => 3,
                Sign::Unsure | Sign::Guess | Sign::Filled => HOW_WIDTH,
                _ => 1,
            };
            assert!((1..=room).contains(&width), "{sign:?}");
        }
        for how in [How::Worked, How::Unsure, How::Guessed, How::Filled] {
            assert_eq!(how_cell(Some(how)).len(), HOW_WIDTH);
        }
        assert_eq!(
            (how_cell(Some(How::Guessed)), how_cell(None)),
            ("??".into(), "  ".into())
        );
    }

    #[test]
    fn a_legend_says_the_mark_and_what_it_means() {
        assert_eq!(legend(&MARKED), "+ right  x wrong  - blank");
        for signs in [&SHEET[..], &GLANCE, &GUESS_ROUND, &MARKED, &REPLAY] {
            let said = legend(signs);
            // A legend fits the narrowest window.
            assert!(crate::words::text::width(&said) <= 60, "{said}");
            for sign in signs {
                assert!(said.contains(&format!("{} {}", sign.mark(), sign.means())));
            }
        }
    }

    #[test]
    fn states_answers_and_outcomes_have_their_signs() {
        assert_eq!(mark_or_blank(Sign::of_row(RowState::NotSeen)), " ");
        assert_eq!(mark_or_blank(Sign::of_row(RowState::Answered)), " ");
        assert_eq!(mark_or_blank(Sign::of_row(RowState::Skipped)), "~");
        assert_eq!(Sign::of_answer(How::Worked), None);
        assert_eq!(Sign::of_answer(How::Filled), Some(Sign::Filled));
        assert_eq!(mark_or_blank(Sign::of_outcome(Outcome::Blank)), "-");
        assert_eq!(mark_or_blank(Sign::of_outcome(Outcome::Void)), " ");
        assert_eq!(remark(Some(Outcome::Void), true), VOID);
        assert_eq!(remark(Some(Outcome::Right), true), LATE);
        assert_eq!(remark(Some(Outcome::Right), false), "");
        assert_eq!(
            (Sign::Flag.if_so(true), Sign::Flag.if_so(false)),
            ("F", " ")
        );
    }
}
