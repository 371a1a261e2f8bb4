//! What a blind guess on a blank is worth, said to a pupil; and that a rule has to be checked first.

use chrono::NaiveDate;

use crate::domain::mark::Mark;
use crate::domain::paper::Outline;
use crate::domain::rule::QuestionNo;
use crate::domain::sitting::Sitting;
use crate::odds::guess::{Worth, expected_gain, gain, gain_on, worth};
use crate::words::count::counted;
use crate::words::numbers::{marks_to_a_tenth, ranges};
use crate::words::text::{width, wrap_whole};
use crate::words::time::day;

/// The widest that a line of advice may be.
pub const COLUMNS: usize = 76;

/// The caution that stands before any advice drawn from a rule nobody has checked this year.
pub fn rule_caution(outline: &Outline, today: NaiveDate) -> Option<String> {
    match &outline.rule_checked {
        None => Some("Check this year's rules first: nobody has recorded a check.".into()),
        Some(checked) if checked.holds_on(today) => None,
        Some(checked) if checked.on > today => Some(format!(
            "Check this year's rules first: the check of {} is in the future.",
            day(checked.on)
        )),
        Some(checked) => Some(format!(
            "Check this year's rules first: the last check was on {}.",
            day(checked.on)
        )),
    }
}

/// The same in lines of so many columns, marked as what comes before any advice; none where the rule is checked.
pub fn caution_first(outline: &Outline, today: NaiveDate, columns: usize) -> Vec<String> {
    let caution = rule_caution(outline, today);
    caution.map_or_else(Vec::new, |caution| {
        wrap_whole(&format!("! {caution}"), columns)
    })
}

/// What guesses on the blanks of a sitting bring, as far as it may be said.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum GuessWorth {
    /// So many marks on average.
    Marks(Mark),
    /// So many marks on average on some blanks, while others lose.
    Partly {
        /// The marks of those that gain.
        gain: Mark,
        /// How many gain.
        gaining: usize,
        /// How many lose.
        losing: usize,
    },
    /// Nothing.
    Nothing,
    /// Nobody has checked this year's rule, so that nothing is said.
    Unchecked,
}

impl GuessWorth {
    /// What guesses on the blanks bring, on the day the sitting began.
    pub fn of(sitting: &Sitting) -> Self {
        Self::on(sitting, sitting.blanks())
    }

    /// The same for some of its questions.
    pub fn on(sitting: &Sitting, blanks: impl IntoIterator<Item = QuestionNo>) -> Self {
        if is_unchecked(sitting) {
            return Self::Unchecked;
        }
        let blanks: Vec<_> = blanks.into_iter().collect();
        let (gaining, losing) = gaining_and_losing(sitting, &blanks);
        let gain = expected_gain(sitting, blanks);
        match losing {
            _ if gain <= Mark::ZERO => Self::Nothing,
            0 => Self::Marks(gain),
            losing => Self::Partly {
                gain,
                gaining,
                losing,
            },
        }
    }
}

/// Whether nobody has checked this year's rule on the day the sitting began.
fn is_unchecked(sitting: &Sitting) -> bool {
    let header = sitting.header();
    rule_caution(&header.paper, header.started.date_naive()).is_some()
}

/// How many of these questions a guess gains on, and how many it loses on.
fn gaining_and_losing(sitting: &Sitting, blanks: &[QuestionNo]) -> (usize, usize) {
    let gains = blanks.iter().filter_map(|blank| gain_on(sitting, *blank));
    gains.fold((0, 0), |(gaining, losing), gain| {
        (
            gaining + usize::from(gain > Mark::ZERO),
            losing + usize::from(gain < Mark::ZERO),
        )
    })
}

/// What a guess on this one question is worth, in a line of so many columns.
pub fn guess_here(sitting: &Sitting, question: QuestionNo, columns: usize) -> String {
    if is_unchecked(sitting) {
        return ASK_TUTOR.to_owned();
    }
    let Some(section) = sitting.header().paper.rule.section(question) else {
        return String::new();
    };
    let options = sitting.options_left(question);
    match worth(section, options) {
        Worth::NothingToLose | Worth::WorthIt { .. } => {
            let marks = marks_to_a_tenth(gain(section, options).to_f64());
            format!("On average a guess here brings about {marks}.")
        }
        Worth::Even => "On average a guess here gains nothing and loses nothing.".to_owned(),
        Worth::OnceOut {
            options_to_cross_out: out,
        } => {
            let out = counted(out, "option");
            let whole = format!(
                "On average a blind guess loses marks here. Guess only once you can cross out {out}."
            );
            let shorter =
                format!("A blind guess loses marks here on average. First cross out {out}.");
            let shortest = format!("A blind guess loses marks here. First cross out {out}.");
            let fits = |line: &String| width(line) <= columns;
            [whole, shorter].into_iter().find(fits).unwrap_or(shortest)
        }
        Worth::NotWorth => "A blind guess loses marks here. A blank is better.".to_owned(),
    }
}

/// The same for one who listens: only where a guess loses.
pub fn guess_loses_here(sitting: &Sitting, question: QuestionNo) -> Option<String> {
    let loses = gain_on(sitting, question).is_some_and(|gain| gain < Mark::ZERO);
    (loses && !is_unchecked(sitting)).then(|| guess_here(sitting, question, usize::MAX))
}

/// What can be done about a rule that nobody has checked this year.
const ASK_TUTOR: &str = "The rules aren't checked: ask your tutor before guessing.";

/// What guesses on so many blanks bring on average; nothing where they gain nothing.
pub fn guesses_bring(worth: GuessWorth, blanks: usize) -> Option<String> {
    match (worth, blanks) {
        (GuessWorth::Unchecked, 1..) => Some(ASK_TUTOR.to_owned()),
        (GuessWorth::Marks(gain), 1) => {
            let marks = marks_to_a_tenth(gain.to_f64());
            Some(format!("A guess brings about {marks} on average."))
        }
        (GuessWorth::Marks(gain), _) => {
            let marks = marks_to_a_tenth(gain.to_f64());
            Some(format!("Guesses bring about {marks} on average."))
        }
        (
            GuessWorth::Partly {
                gain,
                gaining,
                losing,
            },
            _,
        ) => {
            let marks = marks_to_a_tenth(gain.to_f64());
            let gain = if gaining == 1 {
                "guess gains"
            } else {
                "guesses gain"
            };
            let lose = if losing == 1 { "loses" } else { "lose" };
            Some(format!(
                "On average {gaining} {gain} about {marks}; {losing} {lose} marks."
            ))
        }
        (GuessWorth::Nothing | GuessWorth::Unchecked, _) => None,
    }
}

/// What to say before the blanks of a sitting are guessed: a line or few, none without blanks.
pub fn advice(sitting: &Sitting, today: NaiveDate) -> Vec<String> {
    let blanks: Vec<_> = sitting.blanks().collect();
    let left = |question| sitting.options_left(question);
    advice_lines(&sitting.header().paper, &blanks, left, today)
}

/// The same for these blanks, with so many options left on each.
fn advice_lines(
    outline: &Outline,
    blanks: &[QuestionNo],
    left: impl Fn(QuestionNo) -> usize,
    today: NaiveDate,
) -> Vec<String> {
    let groups = groups(outline, blanks, left);
    let advice = match groups.as_slice() {
        [] => return Vec::new(),
        [only] => vec![for_all(only.worth).to_owned() + &crossed_out(only.worth)],
        several => for_some(several),
    };
    let caution = rule_caution(outline, today);
    let lines = caution.into_iter().chain(advice);
    lines.flat_map(|line| wrap_whole(&line, COLUMNS)).collect()
}

/// Blanks of which the same may be said.
struct GuessGroup {
    worth: Worth,
    blanks: Vec<QuestionNo>,
}

fn groups(
    outline: &Outline,
    blanks: &[QuestionNo],
    left: impl Fn(QuestionNo) -> usize,
) -> Vec<GuessGroup> {
    let mut groups: Vec<GuessGroup> = Vec::new();
    for blank in blanks {
        let Some(section) = outline.rule.section(*blank) else {
            continue;
        };
        let worth = worth(section, left(*blank));
        match groups.iter_mut().find(|group| alike(group.worth, worth)) {
            Some(group) => group.blanks.push(*blank),
            None => groups.push(GuessGroup {
                worth,
                blanks: vec![*blank],
            }),
        }
    }
    groups
}

/// Two guesses that are worth it are told alike, however much they gain.
fn alike(one: Worth, other: Worth) -> bool {
    one == other || matches!((one, other), (Worth::WorthIt { .. }, Worth::WorthIt { .. }))
}

const fn for_all(worth: Worth) -> &'static str {
    match worth {
        Worth::NothingToLose => "A wrong answer loses nothing: guess every blank.",
        Worth::WorthIt { .. } => {
            "A wrong answer can cost marks. On average a guess is still worth it."
        }
        Worth::Even => "On average a blind guess gains nothing and loses nothing.",
        Worth::OnceOut { .. } => "On average a blind guess loses marks.",
        Worth::NotWorth => "On average a blind guess loses marks. A blank is better.",
    }
}

fn crossed_out(worth: Worth) -> String {
    match worth {
        Worth::OnceOut {
            options_to_cross_out: out,
        } => format!(
            " Guess only once you can cross out {}.",
            counted(out, "option")
        ),
        Worth::NothingToLose | Worth::WorthIt { .. } | Worth::Even | Worth::NotWorth => {
            String::new()
        }
    }
}

/// One line where it fits, else a line a group.
fn for_some(groups: &[GuessGroup]) -> Vec<String> {
    let said: Vec<_> = groups
        .iter()
        .map(|group| format!("{}: {}", which(group, groups), about(group.worth)))
        .collect();
    let together = said.join(" ");
    if width(&together) <= COLUMNS {
        vec![together]
    } else {
        said
    }
}

fn about(worth: Worth) -> String {
    match worth {
        Worth::NothingToLose => "nothing to lose.".into(),
        Worth::WorthIt { .. } => "worth it on average.".into(),
        Worth::Even => "evens out on average.".into(),
        Worth::OnceOut {
            options_to_cross_out: out,
        } => format!(
            "a blind guess loses marks on average. First cross out {}.",
            counted(out, "option")
        ),
        Worth::NotWorth => "a blind guess loses marks on average. Leave it blank.".into(),
    }
}

/// The numbers of a group's blanks, or its span where they are many and no other group's lie in it.
fn which(group: &GuessGroup, groups: &[GuessGroup]) -> String {
    let listed = ranges(&group.blanks);
    let (Some(first), Some(last)) = (group.blanks.first(), group.blanks.last()) else {
        return listed;
    };
    let others = groups
        .iter()
        .filter(|other| !alike(other.worth, group.worth));
    let alone = others
        .flat_map(|other| &other.blanks)
        .all(|blank| blank < first || blank > last);
    if listed.len() > 24 && alone {
        format!("Blanks from {first} to {last}")
    } else {
        listed
    }
}

#[cfg(test)]
mod tests;
