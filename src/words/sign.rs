//! The signs that stand beside questions, answers and files, and what each means.
//!
//! One table: pages, legends and helps take every sign from here. Two pages still show a few of
//! them otherwise, [`Sign::in_replay`] and [`Sign::in_entry`].

use crate::domain::event::How;
use crate::domain::marking::Outcome;
use crate::domain::sitting::RowState;

/// A sign, by what it means.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Sign {
    /// The question that is open.
    Open,
    /// Seen and blank.
    Seen,
    /// An answer stands.
    Answered,
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
    /// The question counts for nobody, or for everybody.
    Void,
    /// Answered after time was up.
    AfterTime,
    /// A sitting that is not compared with the others.
    Apart,
    /// An option that the key accepts.
    KeyAccepts,
    /// A threshold that the tutor set.
    Own,
    /// Something is wrong with a file.
    Trouble,
    /// Clearly above nothing.
    Positive,
    /// Clearly below nothing.
    Negative,
    /// Too close to nothing to say.
    Unclear,
}

/// The signs of the answer sheet in a sitting.
pub const SHEET: [Sign; 6] = [
    Sign::Seen,
    Sign::Answered,
    Sign::Later,
    Sign::Unsure,
    Sign::Guess,
    Sign::Flag,
];

/// The signs of the answer sheet in the guess round.
pub const GUESS_ROUND: [Sign; 5] = [
    Sign::Seen,
    Sign::Later,
    Sign::Answered,
    Sign::Guess,
    Sign::Filled,
];

/// The signs of a marked question.
pub const MARKED: [Sign; 5] = [
    Sign::Right,
    Sign::Wrong,
    Sign::Blank,
    Sign::Void,
    Sign::AfterTime,
];

/// The signs of a sitting that is played again.
pub const REPLAY: [Sign; 7] = [
    Sign::Open,
    Sign::Flag,
    Sign::Unsure,
    Sign::Guess,
    Sign::AfterTime,
    Sign::Right,
    Sign::Wrong,
];

impl Sign {
    /// The mark, a word for a legend, and the words of a help page.
    const fn row(self) -> (&'static str, &'static str, &'static str) {
        match self {
            Self::Open => (">", "open", "open now"),
            Self::Seen => ("o", "seen", "seen, blank"),
            Self::Answered => ("+", "answered", "answered"),
            Self::Later => ("~", "later", "for later"),
            Self::Unsure => ("u", "unsure", "unsure"),
            Self::Guess => ("g", "guess", "a guess"),
            Self::Filled => ("r", "filled at random", "filled at random"),
            Self::Flag => ("F", "flag", "flag"),
            Self::Unsaved => ("'", "not saved", "not saved yet"),
            Self::Right => ("+", "right", "right"),
            Self::Wrong => ("x", "wrong", "wrong"),
            Self::Blank => ("-", "blank", "blank"),
            Self::Void => ("o", "void", "void"),
            Self::AfterTime => ("*", "late", "after time was up"),
            Self::Apart => ("*", "apart", "not compared with the others"),
            Self::KeyAccepts => ("*", "key", "what the key accepts"),
            Self::Own => ("*", "yours", "yours"),
            Self::Trouble => ("!", "trouble", "something is wrong with the file"),
            Self::Positive => ("+", "above nothing", "clearly above nothing"),
            Self::Negative => ("-", "below nothing", "clearly below nothing"),
            Self::Unclear => ("?", "unclear", "too close to nothing to say"),
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

    /// The sign in a sitting that is played again.
    pub const fn in_replay(self) -> &'static str {
        match self {
            Self::Flag => "!",
            Self::Unsure => "?",
            other => other.mark(),
        }
    }

    /// The sign in an answer sheet that is typed in.
    pub const fn in_entry(self) -> &'static str {
        match self {
            Self::Guess => "?",
            other => other.mark(),
        }
    }

    /// The sign where something holds, or as much room.
    pub fn if_so(self, holds: bool) -> &'static str {
        if holds { self.mark() } else { " " }
    }

    /// The sign of a row of the answer sheet; none before the question is seen.
    pub const fn of_row(state: RowState) -> Option<Self> {
        match state {
            RowState::NotSeen => None,
            RowState::Seen => Some(Self::Seen),
            RowState::Answered => Some(Self::Answered),
            RowState::Skipped => Some(Self::Later),
        }
    }

    /// The sign beside an answer that says how it was come by; none beside one that was worked out.
    pub const fn of_answer(how: How) -> Option<Self> {
        match how {
            How::Worked => None,
            How::Unsure => Some(Self::Unsure),
            How::Guessed => Some(Self::Guess),
            How::Filled => Some(Self::Filled),
        }
    }

    /// The sign of what became of a question.
    pub const fn of_outcome(outcome: Outcome) -> Self {
        match outcome {
            Outcome::Right => Self::Right,
            Outcome::Wrong => Self::Wrong,
            Outcome::Blank => Self::Blank,
            Outcome::Void => Self::Void,
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

/// What some signs mean: `o seen  + answered`.
pub fn legend(signs: &[Sign]) -> String {
    let each = signs.iter().map(|sign| (sign.mark(), sign.means()));
    told(each, "  ")
}

/// What the signs of a replay mean: `> open ! flag`.
pub fn replay_legend() -> String {
    let each = REPLAY.iter().map(|sign| (sign.in_replay(), sign.means()));
    told(each, " ")
}

fn told<'a>(each: impl Iterator<Item = (&'a str, &'a str)>, between: &str) -> String {
    let each = each.map(|(mark, means)| format!("{mark} {means}"));
    each.collect::<Vec<_>>().join(between)
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    const ALL: [Sign; 21] = [
        Sign::Open,
        Sign::Seen,
        Sign::Answered,
        Sign::Later,
        Sign::Unsure,
        Sign::Guess,
        Sign::Filled,
        Sign::Flag,
        Sign::Unsaved,
        Sign::Right,
        Sign::Wrong,
        Sign::Blank,
        Sign::Void,
        Sign::AfterTime,
        Sign::Apart,
        Sign::KeyAccepts,
        Sign::Own,
        Sign::Trouble,
        Sign::Positive,
        Sign::Negative,
        Sign::Unclear,
    ];

    #[test]
    fn every_meaning_is_listed_once_and_every_mark_takes_one_column() {
        // As many as the table has rows: a sign that is not listed is not tested.
        let rows = include_str!("sign.rs").matches("=> (\"").count();
        assert_eq!(rows, ALL.len());
        let means: BTreeSet<_> = ALL.iter().map(|sign| sign.means()).collect();
        let explained: BTreeSet<_> = ALL.iter().map(|sign| sign.explained()).collect();
        assert_eq!((means.len(), explained.len()), (ALL.len(), ALL.len()));
        for sign in ALL {
            for mark in [sign.mark(), sign.in_replay(), sign.in_entry()] {
                assert_eq!(crate::words::text::width(mark), 1, "{sign:?}");
            }
        }
    }

    #[test]
    fn no_page_has_one_mark_for_two_signs() {
        let sheet = [&SHEET[..], &GUESS_ROUND, &[Sign::Open, Sign::Unsaved]].concat();
        for page in [&sheet[..], &MARKED] {
            let signs: BTreeSet<_> = page.iter().map(|sign| sign.means()).collect();
            let marks: BTreeSet<_> = page.iter().map(|sign| sign.mark()).collect();
            assert_eq!(marks.len(), signs.len(), "{page:?}");
        }
        let replay: BTreeSet<_> = REPLAY.iter().map(|sign| sign.in_replay()).collect();
        assert_eq!(replay.len(), REPLAY.len());
    }

    #[test]
    fn a_legend_says_the_mark_and_what_it_means() {
        assert_eq!(legend(&MARKED), "+ right  x wrong  - blank  o void  * late");
        assert_eq!(
            replay_legend(),
            "> open ! flag ? unsure g guess * late + right x wrong"
        );
        for sign in SHEET {
            let said = format!("{} {}", sign.mark(), sign.means());
            assert!(legend(&SHEET).contains(&said), "{said}");
        }
    }

    #[test]
    fn states_answers_and_outcomes_have_their_signs() {
        assert_eq!(mark_or_blank(Sign::of_row(RowState::NotSeen)), " ");
        assert_eq!(mark_or_blank(Sign::of_row(RowState::Skipped)), "~");
        assert_eq!(Sign::of_answer(How::Worked), None);
        assert_eq!(Sign::of_answer(How::Filled), Some(Sign::Filled));
        assert_eq!(Sign::of_outcome(Outcome::Blank).mark(), "-");
        assert_eq!(
            (Sign::Flag.if_so(true), Sign::Flag.if_so(false)),
            ("F", " ")
        );
    }
}
