//! What practice says: each question, its hint, its working, and when it comes back.

use chrono::NaiveDate;

use crate::domain::labels::Label;
use crate::domain::practice::{
    LaterWorking, NoRoundMove, PracticeRound, RoundQuestion, RoundStage, WorkingShown,
};
use crate::domain::rule::QuestionNo;
use crate::season::practice::{ByGuessing, SecondTries};
use crate::words::ask::AskLine;
use crate::words::count::{agree, counted};
use crate::words::feedback::common_way;
use crate::words::numbers::{decimals, fine_percent, numbers_in_words, percent, ranges};
use crate::words::own_questions::question_text;
use crate::words::text::capital;
use crate::words::time::day;

/// Where one is.
pub const TITLE: &str = "Try again";

/// Before the first question.
pub const NO_HURRY: &str = "There's no clock here. Take your time.";

/// What a question has that came out wrong and has no hint.
pub const NO_HINT: &str = "There's no hint for this one. Read the question once more.";

/// Where a question has no working.
pub const NO_WORKING: &str = "There's no working for this one. Ask your tutor to show you.";

/// Where answers and workings are shown at the end.
pub const WORKING_AT_THE_END: &str = "The answer and the working come at the end.";

/// Where the tutor shows answers and workings.
pub const WORKING_BY_THE_TUTOR: &str = "Your tutor will go through this one with you.";

/// Over answers and workings that come together.
pub const WORKINGS: &str = "Answers and workings";

/// Asks what the catch was.
pub const CATCH: &str = "What was the catch? One line, if you like.";

/// That the line is kept.
pub const CATCH_KEPT: &str = "Your line is kept.";

/// Before the line as it is written.
pub const CATCH_SO_FAR: &str = "The catch:";

/// What can be typed while a question is open.
pub const WORDS_TO_TYPE: &str =
    "Type a letter to answer, hint for the hint, again to hear the question, or stop.";

/// What can be typed once a question is over.
pub const CATCH_OR_GO_ON: &str =
    "What was the catch? Type a line if you like, or press Enter to go on.";

/// That a single letter is no line about the catch.
pub const OVER_ALREADY: &str = "This question is done. Press Enter to go on, or type stop.";

/// What a key does.
pub const STOPS: &str = "stop for today";
/// See [`STOPS`].
pub const BEGINS_CATCH: &str = "write what the catch was";
/// See [`STOPS`].
pub const BEGINS_CATCH_SHORT: &str = "write the catch";
/// See [`STOPS`].
pub const GOES_ON: &str = "go on to the next question";
/// See [`STOPS`].
pub const KEEPS_LINE: &str = "keep the line";
/// See [`STOPS`].
pub const DROPS_LINE: &str = "drop the line";
/// See [`STOPS`].
pub const SHOWS_HINT: &str = "show the hint";

/// How many questions there are to try.
pub fn to_try(questions: usize) -> String {
    format!("{} to try again.", counted(questions, "question"))
}

/// `Question 2 of 7: question 9 of Saltmarsh Shield: practice paper A`.
pub fn place(round: &PracticeRound) -> Option<String> {
    let (at, all) = round.place();
    let open = round.question()?;
    let (number, title) = (open.which.question, &open.outline.title);
    Some(format!("{at} of {all}: question {number} of {title}"))
}

/// The words of a question, or where they are.
pub fn question(open: &RoundQuestion, figure_in_words: bool) -> Vec<AskLine> {
    let printed = open.printed();
    let text = printed.and_then(|printed| question_text(printed, open.labels(), figure_in_words));
    text.unwrap_or_else(|| {
        let (number, title) = (open.which.question, &open.outline.title);
        vec![AskLine::Words(format!(
            "Question {number} is on the printed paper: {title}."
        ))]
    })
}

/// How the open question can be answered.
pub fn answer_with(open: &RoundQuestion, stage: RoundStage) -> Option<String> {
    let range = open.labels().range();
    match stage {
        RoundStage::First { .. } => Some(format!("Answer {range}.")),
        RoundStage::Second { wrong } => Some(format!("Try once more: {range}, but not {wrong}.")),
        RoundStage::Over { .. } | RoundStage::Ended => None,
    }
}

/// What is said of the open question as it stands: the hint, or answer and working.
pub fn told(round: &PracticeRound) -> Vec<String> {
    let Some(open) = round.question() else {
        return Vec::new();
    };
    match round.stage() {
        RoundStage::First { hinted: false } | RoundStage::Ended => Vec::new(),
        RoundStage::First { hinted: true } => hint(open).into_iter().collect(),
        RoundStage::Second { wrong } => {
            let hint = hint(open).unwrap_or_else(|| NO_HINT.to_owned());
            vec![format!("{wrong} isn't right yet."), hint]
        }
        RoundStage::Over { .. } => match round.working() {
            WorkingShown::AtOnce => over(open, round.chosen(), round.is_hinted()),
            WorkingShown::AtTheEnd => over_later(open, round, WORKING_AT_THE_END),
            WorkingShown::ByTheTutor => over_later(open, round, WORKING_BY_THE_TUTOR),
        },
    }
}

fn hint(open: &RoundQuestion) -> Option<String> {
    Some(format!("Hint: {}", open.hint()?))
}

/// Answer and working, and how one comes to what was wrong.
fn over(open: &RoundQuestion, chosen: &[Label], hinted: bool) -> Vec<String> {
    let mut said = vec![was_right(open, chosen, hinted).unwrap_or_else(|| {
        let labels = open.labels().iter().filter(|label| open.accepts(*label));
        let labels: Vec<String> = labels.map(|label| label.to_string()).collect();
        format!("The answer is {}.", labels.join(" or "))
    })];
    let note = open.note();
    let working = note.and_then(|note| note.working.as_deref());
    said.push(working.map_or_else(
        || NO_WORKING.to_owned(),
        |working| format!("Working: {working}"),
    ));
    let wrong = chosen.iter().filter(|option| !open.accepts(**option));
    let lures = wrong.filter_map(|option| Some((option, note?.distractors.get(option)?)));
    said.extend(lures.map(|(option, lure)| common_way(*option, lure)));
    said
}

/// That the last try was right, where it was.
fn was_right(open: &RoundQuestion, chosen: &[Label], hinted: bool) -> Option<String> {
    let right = chosen.last().filter(|last| open.accepts(**last))?;
    Some(match chosen.len() {
        1 if hinted => format!("Yes, {right} is right."),
        1 => format!("Yes, {right} is right, at the first try."),
        _ => format!("Yes, {right} is right this time."),
    })
}

/// Whether the last try was right, and when the working comes.
fn over_later(open: &RoundQuestion, round: &PracticeRound, later: &str) -> Vec<String> {
    let chosen = round.chosen();
    let right = was_right(open, chosen, round.is_hinted());
    let wrong = || {
        let last = chosen.last().map_or_else(String::new, Label::to_string);
        format!("{last} isn't right either.")
    };
    let only = || {
        let last = chosen.last().map_or_else(String::new, Label::to_string);
        format!("{last} isn't right.")
    };
    let said = right.unwrap_or_else(|| if chosen.len() == 1 { only() } else { wrong() });
    vec![said, later.to_owned()]
}

/// Answers and workings that come together once a round has ended, question by question.
pub fn workings(round: &PracticeRound) -> Vec<Vec<String>> {
    let one = |own: &LaterWorking| {
        let (number, title) = (own.question.which.question, &own.question.outline.title);
        let mut said = vec![format!("Question {number} of {title}")];
        said.extend(over(&own.question, &own.chosen, own.hinted));
        said
    };
    round.later().iter().map(one).collect()
}

/// Why a move does nothing.
pub fn does_nothing(reason: NoRoundMove, open: Option<&RoundQuestion>) -> String {
    let range = open.map_or_else(String::new, |open| open.labels().range());
    match reason {
        NoRoundMove::NoOption => format!("Only letters count here: {range}."),
        NoRoundMove::TriedAlready(option) => {
            format!("You've tried {option} already. Try another one of {range}.")
        }
        NoRoundMove::NoHint => "There's no more hint for this one.".to_owned(),
        NoRoundMove::TryFirst => "Try the question first.".to_owned(),
        NoRoundMove::Over => "This question is done. Go on to the next one.".to_owned(),
        NoRoundMove::Ended => "There are no more questions.".to_owned(),
    }
}

/// Beside the place on the page, while the disk is waited for.
pub const NOT_SAVED_YET: &str = "   not saved yet";

/// That the line could not be saved; it is tried again.
pub fn not_saved(reason: impl std::fmt::Display) -> String {
    format!("Not saved yet: {reason}")
}

/// That the minutes are used up.
pub const PRACTICE_OVER: &str = "That's the time you had for practice.";

/// How it went: how many are over, and how many were right at once.
pub fn summary((over, right): (usize, usize)) -> Vec<String> {
    if over == 0 {
        return vec!["Nothing was finished this time.".to_owned()];
    }
    let mut said = vec![format!("You worked through {}.", counted(over, "question"))];
    if right > 0 {
        said.push(format!(
            "{} right at the first try, without the hint.",
            if right == over {
                agree(right, "It was", "All of them were").to_owned()
            } else {
                format!("{right} {}", agree(right, "was", "were"))
            }
        ));
    }
    said
}

/// When questions come back next: how many, and on which day.
pub fn comes_back(next: Option<(NaiveDate, usize)>) -> Option<String> {
    let (on, count) = next?;
    let come = agree(count, "comes", "come");
    Some(format!(
        "{} {come} back on {}.",
        counted(count, "question"),
        day(on)
    ))
}

/// Where nothing was ever missed, as far as answer keys tell.
pub fn none_missed(pupil: impl std::fmt::Display) -> String {
    format!("{pupil} has no missed questions to try again.")
}

/// Where nothing is to be tried today.
pub const NONE_TODAY: &str = "Nothing to try again today.";

/// Those that count as done for the day.
pub fn done_for_today(questions: &[QuestionNo]) -> Option<String> {
    let named = numbers_in_words(questions);
    let word = agree(questions.len(), "Question", "Questions");
    let done = agree(questions.len(), "was", "were");
    (!questions.is_empty()).then(|| {
        format!(
            "{word} {named} {done} right today, and {} done for the day.",
            agree(questions.len(), "is", "are")
        )
    })
}

/// That questions of a paper wait, since a sitting of it is not finished.
pub fn waits_for_sitting(paper: &str) -> String {
    format!("A sitting of {paper} isn't finished. Its questions wait until it is.")
}

/// The keys that leave after the last question.
pub const LEAVE_KEYS: &str = "Q Enter Esc Ctrl-C";

/// After the last question.
pub const LEAVE: &str = "Press Q or Enter to leave.";

/// The heading over practice.
pub fn heading(sessions: usize) -> String {
    format!("Tried again ({} of practice)", counted(sessions, "session"))
}

/// The columns and the rows of the table of both tries.
pub const SECOND_COLUMNS: [&str; 3] = ["", "then right", "then not"];
/// See [`SECOND_COLUMNS`].
pub const FIRST_ROWS: [&str; 2] = ["right in the sitting", "missed in the sitting"];

/// What chance makes of the table.
pub fn second_tries(table: &SecondTries) -> Option<String> {
    let chance = table.chance()?;
    Some(format!(
        "Right only the second time: {}; only the first time: {}. Chance alone parts them at least so far {} of the time \
         (McNemar's exact test).",
        table.second_only,
        table.first_only,
        fine_percent(chance)
    ))
}

/// What guessing alone would have brought at the second try.
pub fn by_guessing(told: &ByGuessing) -> String {
    format!(
        "Missed questions rise by chance alone: of the {} missed, about {} would come right by guessing among the options \
         left ({} or more happens {} of the time). {} did.",
        told.missed,
        decimals(told.expected, 1),
        told.at_least,
        percent(told.chance),
        told.right,
    )
}

/// What is said of a pupil's missed questions by where they stand.
pub fn standing(due: usize, waiting: usize, too_early: usize, secure: usize) -> String {
    let parts = [
        (due, "to try now"),
        (waiting, "waiting for their day"),
        (too_early, "right twice, but too early to call secure"),
        (
            secure,
            "secure: right twice without help, on different days",
        ),
    ];
    let parts = parts.iter().filter(|(count, _)| *count > 0);
    let parts: Vec<String> = parts.map(|(count, of)| format!("{count} {of}")).collect();
    format!("Missed questions: {}.", parts.join("; "))
}

/// Which missed questions were right at the first try in practice, by paper.
pub fn right_again(papers: &[(&str, Vec<QuestionNo>)]) -> Option<String> {
    let named = by_paper(papers)?;
    Some(format!(
        "Right when tried again (a slip, or time): {named}."
    ))
}

/// Which were not.
pub fn wrong_again(papers: &[(&str, Vec<QuestionNo>)]) -> Option<String> {
    let named = by_paper(papers)?;
    Some(format!("Wrong when tried again (worth teaching): {named}."))
}

/// `saltmarsh-a 3, 9, 11-14; saltmarsh-b 4`
fn by_paper(papers: &[(&str, Vec<QuestionNo>)]) -> Option<String> {
    let named = papers.iter();
    let named: Vec<String> = named
        .map(|(paper, questions)| format!("{paper} {}", ranges(questions)))
        .collect();
    (!named.is_empty()).then(|| named.join("; "))
}

/// What the pupil said was the catch.
pub fn catch(paper: &str, question: QuestionNo, text: &str) -> String {
    format!("The catch in {paper} {question}, as the pupil saw it: {text}")
}

/// For the pupil: what came of the questions of a sitting that were tried again.
pub fn tried_again(tried: usize, right: usize, secure: usize) -> Vec<String> {
    if tried == 0 {
        return Vec::new();
    }
    let mut said = vec![format!(
        "Since then you've tried {} again. {} right without help.",
        counted(tried, "question"),
        match right {
            0 => "None was".to_owned(),
            right => capital(&format!("{right} {}", agree(right, "was", "were"))),
        }
    )];
    if secure > 0 {
        said.push(format!(
            "{} secure now: right twice, on different days.",
            agree(secure, "One is", &format!("{secure} are"))
        ));
    }
    said
}
