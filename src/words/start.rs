//! What the start page says: the steps, whose sitting it is, which paper, what is still open.

use chrono::{DateTime, FixedOffset, NaiveDate};

use crate::analysis::Totals;
use crate::domain::event::Ending;
use crate::domain::mark::Mark;
use crate::domain::paper::Paper;
use crate::domain::rule::QuestionNo;
use crate::domain::time::Elapsed;
use crate::words::count::{counted, counted_as};
use crate::words::log::ending;
use crate::words::time::{day, left_in_words, roughly, time_in_words, time_of_day};

/// The steps and what else the page can do, each with what is to be known of it.
pub const STEPS: [(&str, &str); 5] = [
    (
        "1 pupil",
        "An alias, never a real name. To carry on with an unfinished sitting, press S, then Enter.",
    ),
    (
        "2 paper",
        "Files that end in .paper.ron. With a key beside it, the marks can be shown at the end.",
    ),
    ("3 arrangements", "How this sitting should run; see below."),
    (
        "4 read out",
        "What the pupil must know. Press S, then Enter to start the clock.",
    ),
    (
        "Past sittings",
        "This pupil's past sittings. Enter shows a result again.",
    ),
];

/// Where one is when it is no step.
pub const HELP: &str = "Pacebell: help for the start";
/// See [`HELP`].
pub const PAST_SITTINGS: &str = "Pacebell: past sittings";
/// See [`HELP`].
pub const NOT_READ: &str = "Pacebell: what could not be read";

/// The row that leads to what could not be read.
pub const WHAT_WAS_NOT_READ: &str = "What could not be read";

/// The heading over the arrangements in the help.
pub const ARRANGEMENTS: &str = "Arrangements: Left and Right change a row, or type a value";

/// Asks whose sitting it is.
pub const WHO: &str = "Who is sitting?";
/// Asks a pupil who has questions to try again today.
pub const SIT_OR_PRACTISE: &str = "Sit a paper, or try missed questions again without a clock?";
/// See [`SIT_OR_PRACTISE`].
pub const SIT_A_PAPER: &str = "Sit a paper";

/// `Practice: 4 questions are due`.
pub fn practice_due(questions: usize) -> String {
    format!(
        "Practice: {} due",
        counted_as(questions, "question is", "questions are")
    )
}

/// See [`WHO`].
pub const CHOOSE_ALIAS: &str = "Choose an alias, or write a new one.";

/// What an alias is.
pub const NEW_ALIAS: &str = "A new alias";
/// See [`NEW_ALIAS`].
pub const WHAT_AN_ALIAS_IS: &str = "Files and screens show an alias instead of a name: an animal, a colour, a place. \
Never use a real name, or anything that shows who it is.";
/// See [`NEW_ALIAS`].
pub const HOW_AN_ALIAS_LOOKS: &str = "1 to 40 letters, digits, - or _. For example: otter, blue-7.";

/// The row of an open sitting.
pub const GO_ON_WITH_IT: &str = "Carry on with it";

/// Where no paper was found, and how there may be one.
pub const NO_PAPER: &str = "No paper was found.";
/// See [`NO_PAPER`].
pub const WHAT_A_PAPER_IS: &str = "A paper is a file whose name ends in .paper.ron. Put one in the folder where you \
start Pacebell, then start Pacebell again.";

/// Beside a file that is no sound paper, and when it is chosen all the same.
pub const CANNOT_BE_READ: &str = "can't be read";
/// See [`CANNOT_BE_READ`].
pub const PAPER_CANNOT_BE_READ: &str = "This paper can't be read. The reason is below its name.";

/// Above what is read out.
pub const READ_THIS_OUT: &str = "Read this out. Then press S and Enter to start the clock.";

/// Asks whose past sittings are wanted.
pub const WHOSE_PAST: &str = "Whose past sittings?";
/// See [`WHOSE_PAST`].
pub const YOUR_OWN: &str = "Choose your own alias.";

/// Above what could not be read.
pub const NOTHING_CHANGED: &str = "These files could not be read. Nothing in them was changed.";

/// Of an alias that is missing, or there already.
pub const TYPE_ALIAS: &str = "Type an alias first.";
/// See [`TYPE_ALIAS`].
pub fn alias_known(own: &str) -> String {
    format!("{own} is already in the list. Not you? Esc goes back.")
}

/// Before the program is left.
pub const ASK_QUIT: &str = "Quit? Press Y, then Enter. Any other key stays.";
/// The two keys that quit, and what the second one does.
pub const Y_THEN_ENTER: &str = "Y then Enter";
/// See [`Y_THEN_ENTER`].
pub const THEN_ENTER_QUITS: &str = "then Enter: quit";
/// See [`ASK_QUIT`].
pub const QUIT_SAID: &str = "Quit? Enter quits. Any other key stays.";

/// What S, then Enter does, and what Enter does after S.
pub const S_FIRST: &str = "Press S, then Enter. The clock starts at once.";
/// See [`S_FIRST`].
pub const READY: &str = "Ready? Enter starts the clock at once. Any other key goes back.";

/// When a paper's questions were met before: in this paper, or in another that has the same ones.
pub fn sat_on(date: NaiveDate, this_paper: bool) -> String {
    let what = if this_paper { "" } else { "same questions " };
    format!("{what}sat on {}", day(date))
}

/// The keys of a sitting, in five lines, read out before it.
pub fn keys(paper: &Paper, rest_breaks: bool) -> [String; 5] {
    let labels = &paper.outline.options;
    let number = if labels.are_digits() {
        "# and a number"
    } else {
        "A number"
    };
    [
        format!(
            "Press {} to answer. Another letter changes it.",
            labels.range()
        ),
        format!("Arrows and Enter move. {number}, then Enter, goes to that question."),
        "Space leaves a question for later. Tab puts a flag beside it.".to_owned(),
        "After an answer, ? says unsure, then a guess. - rubs the answer out.".to_owned(),
        if rest_breaks {
            "F1 helps. Esc opens the menu: rest break, leave, finish early.".to_owned()
        } else {
            "F1 helps. Esc opens the menu: leave, finish early.".to_owned()
        },
    ]
}

/// Where sittings are kept.
pub fn kept_in(folder: &str) -> String {
    format!("Sittings are kept in {folder}")
}

/// Asks whether a pupil goes on: with the only open sitting, or with one of several.
pub fn go_on(who: &str, open: usize) -> String {
    match open {
        1 => format!("{who} has an unfinished sitting. Carry on with it?"),
        many => format!("{who} has {many} unfinished sittings. Carry on with one?"),
    }
}

/// That a pupil's open sitting was found only when another one was to begin.
pub fn came_back(who: impl std::fmt::Display) -> String {
    format!(
        "{who} has an unfinished sitting, which couldn't be read just now. Leave and start Pacebell again to carry on with it."
    )
}

/// How an open sitting goes on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum GoesOn {
    /// The clock starts.
    Clock,
    /// A rest break is on, and the clock stays stopped until it ends.
    Break,
    /// Time is up, and only the guess round is left.
    GuessRound,
}

impl GoesOn {
    /// What Enter does.
    const fn enter(self) -> &'static str {
        match self {
            Self::Clock => "starts the clock at once",
            Self::Break => "goes back to your rest break",
            Self::GuessRound => "opens the guess round at once",
        }
    }
}

/// What stands below the choice: nothing is gone on with, or a sitting.
pub fn below_the_choice(who: &str, chosen: Option<GoesOn>) -> String {
    match chosen {
        None => "Unfinished sittings are kept. Press Enter to choose a paper.".to_owned(),
        Some(GoesOn::GuessRound) => {
            format!("Time's up, but you can still guess. Are you {who}? Press S, then Enter.")
        }
        Some(GoesOn::Break) => format!(
            "You're on a rest break, and the clock is stopped. Are you {who}? Press S, then Enter."
        ),
        Some(GoesOn::Clock) => format!("Are you {who}? Press S, then Enter to start the clock."),
    }
}

/// That S is wanted before a sitting goes on.
pub fn s_first_to_go_on(who: &str, goes_on: GoesOn) -> String {
    let enter = goes_on.enter();
    format!("Are you {who}? Press S first, then Enter {enter}.")
}

/// What Enter does after S.
pub fn ready_to_go_on(who: &str, goes_on: GoesOn) -> String {
    let enter = goes_on.enter();
    format!("Are you {who}? Enter {enter}. Any other key goes back.")
}

/// Whose past sittings they are.
pub fn past_of(who: &str) -> String {
    format!("Past sittings of {who}")
}

/// `25 questions, 60 minutes, 135 marks. On screen. Answer key found.`
pub fn paper(paper: &Paper, has_key: bool) -> String {
    let rule = &paper.outline.rule;
    let section = |s: &crate::domain::rule::Section| {
        let many = i64::from(s.last.0.saturating_sub(s.first.0)) + 1;
        s.best() * many
    };
    let most: Mark = rule.sections.iter().map(section).sum::<Mark>() + rule.start;
    let place = if paper.outline.on_screen {
        "On screen."
    } else {
        "On paper."
    };
    let key = if has_key {
        "Answer key found."
    } else {
        "No answer key."
    };
    format!(
        "{}, {}, {most} marks. {place} {key}",
        counted(paper.outline.questions, "question"),
        time_in_words(paper.allowed)
    )
}

/// What stands before everything said of a sitting that nobody sat.
const fn before_all(invented: bool) -> &'static str {
    if invented { "invented data: " } else { "" }
}

/// An open sitting: `Saltmarsh A, 31 minutes left, 12 answers, last open 2 hours ago`.
pub fn open_sitting(
    paper: &str,
    invented: bool,
    left: Elapsed,
    answers: &str,
    away: Elapsed,
) -> String {
    let left = if left == Elapsed::ZERO {
        "time's up".to_owned()
    } else {
        format!("{} left", left_in_words(left))
    };
    format!(
        "{}{paper}, {left}, {answers}, last open {} ago",
        before_all(invented),
        roughly(away)
    )
}

/// How many answers an open sitting has: `16 answers`, or of a damaged file `16 answers up to 14:03`.
pub fn answers_kept(answers: usize, sound_until: Option<DateTime<FixedOffset>>) -> String {
    let counted = counted(answers, "answer");
    match sound_until {
        Some(until) => format!("{counted} up to {}", time_of_day(until)),
        None => counted,
    }
}

/// That the file of an open sitting is damaged, and what carrying on keeps.
pub fn damaged_after(until: DateTime<FixedOffset>) -> String {
    format!(
        "Part of the file is damaged. Answers up to {} are kept. Give any later ones again.",
        time_of_day(until)
    )
}

/// What came of a sitting that is still open.
pub fn still_open(invented: bool) -> String {
    format!(
        "{}unfinished: press Enter to carry on",
        before_all(invented)
    )
}

/// Whose result is read out again, and of which sitting.
pub fn result_of(pupil: &str, date: NaiveDate, paper: &str) -> String {
    format!("The result of {pupil}, {}: {paper}.", day(date))
}

/// What came of a sitting that is over, with the blanks as they were before any guess round.
pub fn result(
    invented: bool,
    given_up: bool,
    blanks_in_time: usize,
    marks: Option<&Totals>,
) -> String {
    let how = if given_up {
        format!("{}; ", ending(Ending::Abandoned))
    } else {
        String::new()
    };
    let mark = match marks {
        None => "no mark shown".to_owned(),
        Some(Totals {
            in_time,
            with_guess_round: None,
            max,
        }) => format!("{in_time} of {max} in time"),
        Some(Totals {
            in_time,
            with_guess_round: Some(with),
            max,
        }) => format!("{in_time} of {max} in time, {with} with the guess round"),
    };
    format!(
        "{}{how}{mark}; {blanks_in_time} left blank",
        before_all(invented)
    )
}

/// That an alias cannot be longer.
pub fn alias_too_long(most: usize) -> String {
    format!("An alias can have at most {most} characters.")
}

/// That a character cannot be typed into an alias.
pub fn not_in_an_alias(c: char) -> String {
    let what = match c {
        '-' => "An alias can't start with -".to_owned(),
        ' ' => "An alias can't have spaces".to_owned(),
        c => format!("An alias can't have {c}"),
    };
    format!("{what}. Use letters, digits, - and _.")
}

/// An arrangement: what it is called, and what it does.
pub const TIME: (&str, &str) = (
    "Time",
    "Minutes before extra time. Backspace: the paper's own.",
);
/// See [`TIME`].
pub const EXTRA_TIME: (&str, &str) = ("Extra time", "Percent added for this pupil. 25 is common.");
/// See [`TIME`].
pub const REST_BREAKS: (&str, &str) =
    ("Rest breaks", "yes: the pupil may stop the clock and rest.");
/// See [`TIME`].
pub const QUESTIONS: (&str, &str) = (
    "Questions",
    "Which ones to sit. For some, type 1-10 or 1-10,13.",
);
/// See [`TIME`].
pub const REMINDER: (&str, &str) = (
    "Reminder",
    "When a quiet line mentions the blanks. 0: never.",
);
/// See [`TIME`].
pub const SLEEP_COUNTS: (&str, &str) = (
    "Time asleep counts",
    "yes: the clock keeps running while the computer sleeps.",
);
/// See [`TIME`].
pub const AWAY_COUNTS: (&str, &str) = (
    "Time away counts",
    "yes: after a crash the clock keeps running.",
);
/// See [`TIME`].
pub const MARKS_AT_THE_END: (&str, &str) = (
    "Marks at the end",
    "no: the tutor keeps the key; the pupil sees no marks.",
);

/// Behind a time that nobody changed.
pub const OWN_TIME: &str = "(the paper's own)";

/// The row of past sittings.
pub const PAST_ROW: &str = "Past sittings";

/// Asks how the sitting is to run, in lines, and the row that goes on.
pub const ARRANGE: &str = "How should this sitting run?";
/// See [`ARRANGE`].
pub const GO_ON: &str = "Go on";

/// An arrangement in lines.
#[derive(Clone, Copy, Debug)]
pub struct InLines {
    /// What it is called.
    pub name: &'static str,
    /// What it is when nobody changes it.
    pub usual: &'static str,
    /// What it is when it is turned round; a value is typed where there is none.
    pub other: Option<&'static str>,
    /// Asks for a value.
    pub asks: &'static str,
    /// The word of `sit` that arranges it.
    pub flag: &'static str,
}

/// The arrangements in lines.
pub const IN_LINES: [InLines; 6] = [
    InLines {
        name: TIME.0,
        usual: "the paper's own",
        other: None,
        asks: "How many minutes, before extra time?",
        flag: "--minutes",
    },
    InLines {
        name: EXTRA_TIME.0,
        usual: "none",
        other: None,
        asks: "How many percent? 25 is common.",
        flag: "--extra-time",
    },
    InLines {
        name: REST_BREAKS.0,
        usual: "no",
        other: Some("yes"),
        asks: "",
        flag: "--rest-breaks",
    },
    InLines {
        name: QUESTIONS.0,
        usual: "all",
        other: None,
        asks: "Which questions? For example 1-10.",
        flag: "--questions",
    },
    InLines {
        name: REMINDER.0,
        usual: "3 minutes before, or a tenth of the time",
        other: None,
        asks: "How many minutes before? 0 for never.",
        flag: "--remind",
    },
    InLines {
        name: MARKS_AT_THE_END.0,
        usual: "yes, if there is an answer key",
        other: Some("no"),
        asks: "",
        flag: "--no-marks",
    },
];

/// That a row of the arrangements was changed.
pub fn arranged_as(row: &InLines, value: Option<&str>) -> String {
    format!("{}: {}.", row.name, value.unwrap_or(row.usual))
}

/// Asks for the value of an arrangement.
pub fn how_to_arrange(row: &InLines) -> String {
    format!("{}: {}", row.name, row.asks)
}

/// Asks which paper a pupil sits.
pub fn which_paper(who: &str) -> String {
    format!("{who}: which paper?")
}

/// Behind marks that cannot be shown.
pub const NO_KEY: &str = "(no answer key)";
/// See [`NO_KEY`].
pub const ALWAYS_ON_WINDOWS: &str = "(always on Windows)";
/// See [`NO_KEY`].
pub const SHARED: &str = "(shared computer)";

/// Above arrangements that nobody can change on the page.
pub const BOUND: &str = "Your tutor has arranged this. To change it, ask your tutor.";

/// Below the pupils, where they take turns.
pub const SHARED_MACHINE: &str =
    "Shared computer: marks and past sittings don't show here. Not in the list? Choose New alias.";

/// Of what was typed for extra time.
pub fn no_extra_time(typed: &str, most: i64) -> String {
    format!("Extra time can't be `{typed}`: type a percentage from 0 to {most}, such as 25")
}

/// Of what was typed for the questions.
pub fn no_questions(typed: &str, last: QuestionNo) -> String {
    format!(
        "`{typed}` names no questions of this paper: type first-last between 1 and {last}, such as 1-10 or 1-10,13"
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_questions_of_another_paper_are_no_sitting_of_this_one() {
        let date = NaiveDate::from_ymd_opt(2026, 11, 27).unwrap();
        assert_eq!(sat_on(date, true), "sat on 27 Nov 2026");
        assert_eq!(sat_on(date, false), "same questions sat on 27 Nov 2026");
    }
}
