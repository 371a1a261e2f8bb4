//! The same, line by line: what is heard is all that there is.

use super::page::{NOT_DONE, NOTHING_TO_FILL, TOO_LATE};
use super::shown::crossed_out_before;
use super::{AwayTime, FillOffer, Finishing, FirstLetter, Reminder, Said};
use crate::domain::event::How;
use crate::domain::labels::Label;
use crate::domain::rule::QuestionNo;
use crate::domain::sitting::{Phase, Refusal};
use crate::domain::time::Elapsed;
use crate::words::count::counted;
use crate::words::guess::guesses_bring;
use crate::words::how::unless_worked;
use crate::words::numbers::ranges_in_words;
use crate::words::sitting::page::time_is_up;
use crate::words::text::capital;
use crate::words::time::{left_in_words, time_in_words, whole_minutes_left};

/// While the clock is stopped.
pub const ON_BREAK: &str = "Rest break: the clock is stopped. Type back to go on.";
/// At the beginning of the guess round.
const GUESSING: &str = "Guess round. Type a letter to guess. Enter leaves a question blank. Type fill to fill the rest at random, or finish when you're done.";

impl Said {
    /// The lines to say; `advice` is what this year's rule makes of a blind guess, a sentence a line.
    pub fn spoken(&self, advice: &[String]) -> Vec<String> {
        if let Self::AfterTime { blanks, last } = self {
            let last = last.map(|(question, option)| last_in_time(question, option));
            return last.into_iter().chain(after_time(blanks, advice)).collect();
        }
        if let Self::AskFinish(finishing) = self {
            return ask_finish(finishing);
        }
        if let Self::ClockRuns { letter, .. } = self {
            let does = what_a_letter_does(*letter).map(str::to_owned);
            return std::iter::once(self.sentence()).chain(does).collect();
        }
        if let Self::LastQuestion { .. } = self {
            let ways = "Type finish when you're done, or a number to look again.".to_owned();
            return vec![self.sentence(), ways];
        }
        vec![self.sentence()]
    }

    /// What is said in one sentence or two.
    fn sentence(&self) -> String {
        match self {
            Self::ClockRuns {
                fresh,
                left,
                questions,
                blanks,
                letter: _,
            } => clock_runs(*fresh, *left, *questions, *blanks),
            Self::Answered {
                question,
                option,
                before,
                how,
                crossed,
            } => answered((*question, *option), *before, *how, *crossed),
            Self::CrossedOut(crossed) => crossed.spoken(),
            Self::AllAnswered(look) => look.spoken(),
            Self::Sweep(said) => said.spoken(),
            Self::Guessed {
                question,
                option,
                before,
            } => {
                let (tail, before) = against(*option, *before);
                format!("Question {question}: {option}{tail}, after time.{before}")
            }
            Self::How {
                question,
                option,
                how,
            } => {
                let how = unless_worked(*how).unwrap_or("worked out");
                format!("Question {question}: {option}, {how}.")
            }
            Self::NothingToSayOf(_)
            | Self::NothingToRubOut { .. }
            | Self::NoGuessToRubOut { .. } => Refusal::NothingThere.to_string(),
            Self::RubbedOut(question) => format!("Question {question}: answer rubbed out."),
            Self::LeftForLater { question, .. } => format!("Question {question} left for later."),
            Self::KeepsAnswer {
                question, option, ..
            } => format!("Question {question} keeps its answer, {option}."),
            Self::Flagged { question, up } => {
                let way = if *up { "up" } else { "down" };
                format!("Question {question}: flag {way}.")
            }
            Self::FirstQuestion => "This is the first question.".to_owned(),
            Self::LastQuestion { blanks, .. } => {
                format!("That was the last question. {}", blanks_by_number(blanks))
            }
            Self::NoOtherBlank { .. } => "No other question is blank.".to_owned(),
            Self::RoundIsThrough { still } => {
                let still = still.map_or_else(
                    || "Nothing is blank.".to_owned(),
                    |still| format!("Still blank: {still}."),
                );
                format!("{still} Type finish when you're done.")
            }
            Self::NoOtherThatWay => "There's no other question that way.".to_owned(),
            Self::NoFlags => "No flags yet.".to_owned(),
            Self::NoUnsure => "No answer is marked unsure.".to_owned(),
            Self::WhichQuestion => {
                "Which question? Type its number, then Enter. Then type that again.".to_owned()
            }
            Self::OnBreak => ON_BREAK.to_owned(),
            Self::ClockRunsAgain => "The clock is running again.".to_owned(),
            Self::GuessRoundBegun => GUESSING.to_owned(),
            Self::NothingToGuess => "Nothing is blank. Type finish when you're done.".to_owned(),
            Self::NothingBlank => "Nothing is blank.".to_owned(),
            Self::Filled => "Filled at random:".to_owned(),
            Self::NotFilled => "Nothing was filled.".to_owned(),
            Self::FillsTakenBack => "The random answers are taken out again.".to_owned(),
            Self::NothingFilled => {
                "Nothing is blank, and nothing was filled at random.".to_owned()
            }
            Self::AskFinish(finishing) => ask_finish(finishing).join(" "),
            Self::AskGiveUp => "Give up this sitting? Your answers are kept, but it won't count. You can't come back to it. Type y to give up; anything else carries on.".to_owned(),
            Self::AskLeave(away) => ask_leave(*away),
            Self::AskGuess { blanks } => {
                let blanks = counted(*blanks, "blank");
                format!("Guess {blanks} now? Type y to start.")
            }
            Self::AskFill(filling) => ask_fill(*filling),
            Self::NothingToFill => NOTHING_TO_FILL.to_owned(),
            Self::Kept => "Everything is saved.".to_owned(),
            Self::TimeIsUp { on_screen } => time_is_up(*on_screen).to_owned(),
            Self::TimeIsUpNow { on_screen } => {
                format!("{} Press Enter to go on.", time_is_up(*on_screen))
            }
            Self::TooLate { answer: true } => TOO_LATE.to_owned(),
            Self::TooLate { answer: false } => NOT_DONE.to_owned(),
            Self::AfterTime { blanks, .. } => blanks_by_number(blanks),
            Self::Choose { blank } => choose(*blank).to_owned(),
            Self::Checkpoint { used, done, open } => checkpoint(*used, *done, *open),
            Self::Reminder(reminder) => spoken_reminder(reminder),
            Self::Refused(refusal) => refusal.to_string(),
        }
    }
}

fn answered(
    (question, option): (QuestionNo, Label),
    before: Option<Label>,
    how: Option<How>,
    crossed: bool,
) -> String {
    let (tail, before) = against(option, before);
    let how = how.and_then(unless_worked);
    let how = how.map_or_else(String::new, |how| format!(", {how}"));
    let crossed = crossed_out_before(crossed);
    format!("Question {question}: {option}{tail}{how}.{before}{crossed}")
}

/// What comes behind an option, and behind the sentence, because of the option before.
fn against(option: Label, before: Option<Label>) -> (&'static str, String) {
    match before {
        None => ("", String::new()),
        Some(before) if before == option => (" as before", String::new()),
        Some(before) => ("", format!(" No longer {before}.")),
    }
}

/// Nothing in a sweep, which says so itself.
const fn what_a_letter_does(letter: FirstLetter) -> Option<&'static str> {
    Some(match letter {
        FirstLetter::Answers => {
            "Type a letter to answer. Enter goes on. Type help to hear the words."
        }
        FirstLetter::NeedsNumber => {
            "Type the number of your question, then Enter. Then type a letter to answer it. Type help to hear the words."
        }
        FirstLetter::Guesses => return None,
    })
}

fn checkpoint(used: Option<Elapsed>, done: QuestionNo, open: Option<QuestionNo>) -> String {
    let used = used.map_or_else(String::new, |used| {
        format!(": {} used", time_in_words(used))
    });
    let here = open.map_or_else(String::new, |open| {
        format!(" You have question {open} open.")
    });
    format!("Checkpoint{used}. Your plan: done with question {done}.{here}")
}

fn clock_runs(
    fresh: Option<Elapsed>,
    left: Option<Elapsed>,
    questions: usize,
    blanks: usize,
) -> String {
    if let Some(allowed) = fresh {
        let questions = counted(questions, "question");
        return format!(
            "The clock is running: {}, {questions}.",
            time_in_words(allowed)
        );
    }
    let blanks = counted(blanks, "blank");
    match left {
        Some(left) => format!(
            "The clock is running: {} left, {blanks}.",
            left_in_words(left)
        ),
        None => format!("The clock is running: {blanks}. Type time to hear the time left."),
    }
}

/// Asks what to do about the blanks.
fn after_time(blanks: &[QuestionNo], advice: &[String]) -> Vec<String> {
    let mut said = vec![blanks_by_number(blanks)];
    if blanks.is_empty() {
        said.push("Type finish when you're done.".to_owned());
    } else {
        said.extend(advice.iter().cloned());
        said.push("Type guess to guess them now. These guesses are counted separately from your answers in time. Type finish to leave them blank.".to_owned());
    }
    said
}

/// What can be done after time.
pub const fn choose(blank: bool) -> &'static str {
    if blank {
        "Type guess to guess the blanks, or finish to leave them blank."
    } else {
        "Type finish when you're done."
    }
}

/// What is asked before finishing, with what guesses on the blanks bring.
fn ask_finish(finishing: &Finishing) -> Vec<String> {
    let Finishing {
        phase,
        left,
        blanks,
        flags,
        guesses,
    } = finishing;
    let by_number = blanks_by_number(blanks);
    let bring = guesses_bring(*guesses, blanks.len());
    match phase {
        Phase::GuessRound => vec![format!(
            "Finish the guess round? {by_number} Type y to finish; anything else carries on."
        )],
        Phase::TimeUp if blanks.is_empty() => {
            vec!["Finish now? Nothing is blank. Type y to finish.".to_owned()]
        }
        Phase::TimeUp => vec![format!(
            "Finish with blanks left? {by_number} Type y to leave them blank and finish."
        )],
        Phase::Running | Phase::OnBreak | Phase::Closed(_) => {
            let left = left.map_or_else(
                || "Finish now?".to_owned(),
                |left| format!("Finish with {} left?", left_in_words(left)),
            );
            let flags = if flags.is_empty() {
                String::new()
            } else {
                format!(
                    " {}: {}.",
                    counted(flags.len(), "flag"),
                    ranges_in_words(flags)
                )
            };
            let mut said = vec![format!("{left} {by_number}{flags}")];
            if let Some(bring) = bring {
                said.push(format!("{bring} Type sweep to guess them first."));
            }
            said.push(
                "You can't come back after this. Type y to finish; anything else carries on."
                    .to_owned(),
            );
            said
        }
    }
}

/// What leaving means, before it is done.
fn ask_leave(away: AwayTime) -> String {
    let clock = away.sentence();
    format!(
        "Leave the program? You can carry on with this sitting later. {clock} Type y to leave; anything else stays."
    )
}

fn ask_fill(filling: FillOffer) -> String {
    let stay = filling.stay_blank();
    let stay = stay.map_or_else(String::new, |stay| format!(" {stay}"));
    let asks = filling.asks();
    format!("{asks}{stay} Type y to fill; anything else carries on.")
}

/// What was answered last before time was up.
pub fn last_in_time(question: QuestionNo, option: Label) -> String {
    format!("Your last answer in time: question {question}, {option}.")
}

fn spoken_reminder(reminder: &Reminder) -> String {
    let Reminder {
        left,
        blanks,
        guesses,
    } = reminder;
    let by_number = blanks_by_number(blanks);
    let left = left.map_or_else(
        || "Reminder.".to_owned(),
        |left| capital(&format!("{} left.", whole_minutes_left(left))),
    );
    let offer = guesses_bring(*guesses, blanks.len());
    let offer = offer.map(|bring| format!("Type sweep to guess them one by one. {bring}"));
    let said: Vec<String> = [left, by_number].into_iter().chain(offer).collect();
    said.join(" ")
}

/// The blanks by number: `3 blanks: 2, 4 and 9.`
pub fn blanks_by_number(blanks: &[QuestionNo]) -> String {
    if blanks.is_empty() {
        return "Nothing is blank.".to_owned();
    }
    let many = counted(blanks.len(), "blank");
    format!("{many}: {}.", ranges_in_words(blanks))
}
