//! What the columns of exported tables mean, and their names.

/// A column's name and what it holds.
pub type NamedColumn = (&'static str, &'static str);

/// A group's figures, a row a question.
pub const GROUP_TITLE: &str = "A group's figures for each question of a paper";
/// A sitting's marks, a row a sitting.
pub const MARK_TITLE: &str = "Marks, one row for each sitting";
/// A season, a row a sitting.
pub const PROGRESS_TITLE: &str = "A pupil's season, one row for each sitting";

/// See [`GROUP_TITLE`].
pub const GROUP: [NamedColumn; 17] = [
    ("question", "The question's number"),
    ("key", "The right answers"),
    (
        "void",
        "How a void question counts: credited to everybody, or dropped; empty if it is not void",
    ),
    ("people", "How many people"),
    ("right", "How many had it right"),
    ("facility", "The share who had it right"),
    (
        "discrimination",
        "The correlation of right or not with the marks on all other questions",
    ),
    (
        "upper_lower_27",
        "The share right among the top 27% less the share among the bottom 27%",
    ),
    (
        "omitted",
        "How many left it blank and answered a later question",
    ),
    (
        "not_reached",
        "How many left it and everything after it blank",
    ),
    ("blank", "How many left it blank"),
    (
        "blank_mean_rest",
        "The mean mark on all other questions of those who left it blank",
    ),
    ("median_seconds", "The median time on it, in seconds"),
    (
        "rasch_difficulty",
        "Its Rasch difficulty, in logits; empty below 30 answer sheets",
    ),
    (
        "rasch_se",
        "The standard error of the difficulty, in logits",
    ),
    ("rasch_infit", "The infit mean square"),
    ("rasch_outfit", "The outfit mean square"),
];

/// How many chose an option.
pub fn option_count(label: impl std::fmt::Display) -> (String, String) {
    (format!("{label}_count"), format!("How many chose {label}"))
}

/// The mean mark on all other questions of those who chose an option.
pub fn option_mean_rest(label: impl std::fmt::Display) -> (String, String) {
    (
        format!("{label}_mean_rest"),
        format!("The mean mark on all other questions of those who chose {label}"),
    )
}

/// See [`MARK_TITLE`].
pub const MARK: [NamedColumn; 21] = [
    ("sitting", "The sitting's id"),
    ("pupil", "The pupil's alias"),
    ("date", "The day it was sat"),
    ("paper", "The paper's id"),
    ("title", "The paper's title"),
    ("typed_in", "Whether it was done on paper and typed in"),
    (
        "invented",
        "Whether nobody sat it: it was made with pacebell demo",
    ),
    ("counts", "Whether it counts in its pupil's figures"),
    (
        "why_not",
        "Why it doesn't: set_aside, disputed, replaced, open or given_up; empty if it counts",
    ),
    ("in_time", "The mark for the answers given in time"),
    ("with_guess_round", "The mark with the guesses after time"),
    (
        "worked",
        "The mark with guessed and filled answers counted as blank",
    ),
    ("max", "The most marks there could be"),
    ("award", "The best award that the mark in time reaches"),
    ("right", "How many were right in time"),
    ("wrong", "How many were wrong in time"),
    ("blank", "How many were blank in time"),
    ("void", "How many of the questions are void"),
    (
        "guesses",
        "How many answers were guesses or filled, the guess round included",
    ),
    (
        "guesses_expected",
        "The marks that these guesses bring on average",
    ),
    ("extra_time_percent", "The extra time, in percent"),
];

/// Under another paper's rule.
pub const MARK_UNDER: [NamedColumn; 2] = [
    (
        "under_in_time",
        "The mark in time under the other paper's rule",
    ),
    ("under_max", "The most marks there could be under that rule"),
];

/// The answer to a question.
pub fn answer(number: impl std::fmt::Display) -> (String, String) {
    (
        format!("answer_{number}"),
        format!("The answer in time to question {number}; empty if blank or not asked"),
    )
}

/// The marks for a question.
pub fn marks_for(number: impl std::fmt::Display) -> (String, String) {
    (
        format!("marks_{number}"),
        format!("The marks in time for question {number}"),
    )
}

/// See [`PROGRESS_TITLE`].
pub const PROGRESS: [NamedColumn; 24] = [
    ("sitting", "The sitting's id"),
    ("pupil", "The pupil's alias"),
    ("date", "The day it was sat"),
    ("paper", "The paper's id"),
    ("title", "The paper's title"),
    ("questions", "How many questions were asked"),
    (
        "apart",
        "Why it is not compared with the others; empty if it is",
    ),
    ("typed_in", "Whether it was done on paper and typed in"),
    ("extra_time_percent", "The extra time, in percent"),
    ("in_time", "The mark for the answers given in time"),
    ("with_guess_round", "The mark with the guesses after time"),
    (
        "worked",
        "The mark with guessed and filled answers counted as blank",
    ),
    ("luck_out", "The mark in time with luck taken out"),
    ("max", "The most marks there could be"),
    ("standard_error", "The standard error of the mark in time"),
    ("award", "The best award that the mark in time reaches"),
    ("lowest_award", "The paper's lowest award"),
    (
        "over_boundary",
        "The mark in time less the boundary of the lowest award",
    ),
    (
        "blanks",
        "Blanks when the time in which answers count ended",
    ),
    (
        "sinks",
        "Long stays that earned nothing while cheaper questions waited",
    ),
    (
        "sweep_seconds",
        "How long filling the blanks before the end took, in seconds",
    ),
    (
        "worth",
        "What the worked marks are worth on the latest paper",
    ),
    (
        "worth_low",
        "The low end of the range that holds it 8 times in 10",
    ),
    ("worth_high", "The high end of that range"),
];
