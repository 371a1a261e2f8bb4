//! What is said of a sweep, of options crossed out, and once nothing is blank, in both voices.

use crate::domain::labels::Label;
use crate::domain::rule::QuestionNo;
use crate::words::count::counted;

/// What is said in a sweep.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SweepSaid {
    /// It began, or goes on after a rest.
    Begun {
        /// How many are blank.
        blanks: usize,
    },
    /// An option was chosen.
    Guessed {
        /// The question.
        question: QuestionNo,
        /// The option.
        option: Label,
    },
    /// It was left.
    Left {
        /// How many are blank.
        blanks: usize,
    },
    /// No answer can be called anything but a guess.
    OnlyGuesses,
}

impl SweepSaid {
    /// Nothing where the page itself says so.
    pub(super) fn shown(self) -> Option<String> {
        Some(match self {
            Self::Begun { .. } => return None,
            Self::Guessed { question, option } => format!("{question}: {option}, a guess."),
            Self::Left { .. } => "You've left the sweep.".to_owned(),
            Self::OnlyGuesses => "Every answer in the sweep is a guess. ! leaves it.".to_owned(),
        })
    }

    pub(super) fn spoken(self) -> String {
        match self {
            Self::Begun { blanks } => {
                let blanks = counted(blanks, "blank");
                format!(
                    "Sweep: {blanks}. Type a letter for each; every one is a guess. \
                     Enter passes one by. Type sweep to stop."
                )
            }
            Self::Guessed { question, option } => {
                format!("Question {question}: {option}, a guess.")
            }
            Self::Left { blanks: 0 } => "You've left the sweep.".to_owned(),
            Self::Left { blanks } => {
                format!("You've left the sweep. {} left.", counted(blanks, "blank"))
            }
            Self::OnlyGuesses => {
                "Every answer in the sweep is a guess. Type sweep to stop.".to_owned()
            }
        }
    }
}

/// What filling at random does: a blank on which a guess loses marks on average stays blank.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FillOffer {
    /// How many are blank.
    pub blanks: usize,
    /// How many of them are filled.
    pub filled: usize,
}

impl FillOffer {
    /// Whether nothing is filled.
    pub const fn is_none(self) -> bool {
        self.filled == 0
    }

    /// Asks whether to fill them.
    pub fn asks(self) -> String {
        format!("Fill {} at random?", counted(self.filled, "blank"))
    }

    /// Which stay blank, where some do, and why.
    pub fn stay_blank(self) -> Option<String> {
        let stay = self.blanks.saturating_sub(self.filled);
        let verb = if stay == 1 { "stays" } else { "stay" };
        (stay > 0).then(|| format!("{stay} {verb} blank: a guess there loses marks on average."))
    }
}

/// An option that was crossed out, or back.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CrossedOption {
    /// The question.
    pub question: QuestionNo,
    /// The option.
    pub option: Label,
    /// Whether it is out now.
    pub out: bool,
    /// How many are not crossed out.
    pub left: usize,
    /// Whether it is the answer: crossing it out leaves that as it is.
    pub chosen: bool,
}

impl CrossedOption {
    pub(super) fn shown(self) -> String {
        self.said("- rubs it out.")
    }

    pub(super) fn spoken(self) -> String {
        format!("Question {}", self.said("Type rub to rub it out."))
    }

    fn said(self, way_out: &str) -> String {
        let Self {
            question,
            option,
            out,
            left,
            chosen,
        } = self;
        if out && chosen {
            format!("{question}: {option} is crossed out, but still your answer. {way_out}")
        } else if out {
            format!("{question}: {option} crossed out, {left} left.")
        } else {
            format!("{question}: {option} is back, {left} left.")
        }
    }
}

/// Where to look once nothing is blank: the flags, then what was called unsure.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LookAgain {
    /// Whether there is a flag.
    pub flags: bool,
    /// Whether an answer is called unsure.
    pub unsure: bool,
}

impl LookAgain {
    pub(super) fn shown(self) -> String {
        self.said((";", ":"), "Esc, then F to finish.")
    }

    pub(super) fn spoken(self) -> String {
        self.said(
            ("type next flag", "next unsure"),
            "Type finish when you're done.",
        )
    }

    /// What leads to each, and what there is to do where neither is.
    fn said(self, (flags, unsure): (&str, &str), done: &str) -> String {
        match (self.flags, self.unsure) {
            (true, true) => format!(
                "Nothing is blank. Look at your flags ({flags}), then the unsure ones ({unsure})."
            ),
            (true, false) => format!("Nothing is blank. Look at your flags ({flags})."),
            (false, true) => format!("Nothing is blank. Look at the unsure ones ({unsure})."),
            (false, false) => format!("Nothing is blank. {done}"),
        }
    }
}
