//! What the feedback page says to its pupil beside the findings: kind, true and short.

use std::path::{Path, PathBuf};

use chrono::NaiveDate;

use crate::analysis::{Block, Trust};
use crate::domain::character::ShownPath as _;
use crate::domain::header::Alias;
use crate::domain::labels::Label;
use crate::domain::mark::Mark;
use crate::domain::notes::Cause;
use crate::domain::paper::Award;
use crate::domain::rule::QuestionNo;
use crate::domain::time::Elapsed;
use crate::odds::luck::Luck;
use crate::odds::shortfall::Short;
use crate::words::cause::means;
use crate::words::count::{agree, counted};
use crate::words::numbers::{marks_in_words, plain, questions_or_count, ranges};
use crate::words::result::Done;
use crate::words::shortfall::ways;
use crate::words::text::capital;
use crate::words::time::{day_near, time_in_words};

/// The heading over the tutor's own sentence.
pub const FROM_TUTOR: &str = "From your tutor";

/// Why a question was lost, as tutor and pupil agreed.
pub fn agreed(cause: Cause) -> String {
    format!("Agreed cause: {cause} ({}).", means(cause))
}

/// The heading of a page for parents.
pub fn for_parents(pupil: &Alias) -> String {
    format!("For the parents of {pupil}")
}

/// What a page for parents is.
pub const ABOUT_PARENTS: &str =
    "A short note on one practice paper. It's for learning, and isn't an official result.";
/// The heading over what went well, for parents.
pub const PARENTS_WELL: &str = WELL;
/// The heading over what to do next time, for parents.
pub const PARENTS_NEXT: &str = "What to try next time";
/// The heading over the step that pupil and tutor agreed, for parents.
pub const PARENTS_STEP: &str = "What was agreed for next time";
/// The heading over the causes of lost marks, for parents.
pub const PARENTS_CAUSES: &str = "Why marks were lost";

/// The causes that pupil and tutor agreed on, for parents: `This is what seems to have happened: a slip in one step (2 questions); ...`.
pub fn causes_for_parents(causes: &[(Cause, usize)]) -> Option<String> {
    let each = causes.iter();
    let each =
        each.map(|(cause, many)| format!("{} ({})", means(*cause), counted(*many, "question")));
    let each: Vec<_> = each.collect();
    (!each.is_empty()).then(|| format!("This is what seems to have happened: {}.", each.join("; ")))
}

/// The step for next time, for the pupil.
pub fn step_for_next_time(step: &str) -> String {
    format!("For next time: {step}")
}

/// The heading over the mark, for parents.
pub const PARENTS_MARK: &str = "The mark";

/// The mark, for parents.
pub fn mark_for_parents(mark: Mark, max: Mark, timed: bool) -> String {
    let (mark, max) = (plain(mark), marks_in_words(max));
    let counted = if timed {
        ", for the answers given in the time allowed"
    } else {
        ""
    };
    format!("{mark} of {max}{counted}.")
}

/// What parents read of a sitting that was given up.
pub const PARENTS_STOPPED: &str = "This sitting was stopped early, so there is no mark.";

/// The heading over what parents can do.
pub const PARENTS_HELP: &str = "What helps at home";
/// What parents can do, as far as it fits the sitting (common practice, no source).
pub fn helps(stopped: bool, blanks: usize, any_right: bool) -> Vec<&'static str> {
    if stopped {
        return vec!["It's fine to stop. Ask what would make it easier to begin again."];
    }
    let ask = if blanks > 0 {
        "Ask which questions were not answered, and why, rather than what the mark was."
    } else {
        "Ask which question was the hardest, rather than what the mark was."
    };
    let shown = any_right.then_some("Ask to be shown one question that went well.");
    let days = "One mark moves up and down from day to day, so please don't compare single papers.";
    [ask].into_iter().chain(shown).chain([days]).collect()
}

/// Who is spoken to in what went well and what comes next, for parents; nobody where no line says `you`.
pub fn spoken_to<'a>(lines: impl IntoIterator<Item = &'a String>) -> Option<&'static str> {
    let is_you = |word: &str| matches!(&*word.to_lowercase(), "you" | "your" | "yourself");
    let mut words = lines
        .into_iter()
        .flat_map(|line| line.split(|c: char| !c.is_alphabetic()));
    words
        .any(is_you)
        .then_some("Where it says \"you\", it means the pupil.")
}
/// The heading over the sentence of the tutor, for parents.
pub const PARENTS_TUTOR: &str = "From the tutor";

/// That several pages were written.
pub fn pages_put(pages: &[PathBuf]) -> String {
    let each: Vec<_> = pages.iter().map(|page| page.shown().to_string()).collect();
    format!("Written: {}", each.join("\n         "))
}

/// The heading of pages of several pupils in one file.
pub const JOINED: &str = "Feedback pages";

/// The heading over what went well.
pub const WELL: &str = "What went well";

/// The heading over [`blanks_now`] and what follows it.
pub const HABIT: &str = "Your habit: blanks";

/// The heading over the curve.
pub const BY_THE_MINUTE: &str = "Your mark by the minute";

/// The heading over the answers, where there are no bars.
pub const YOUR_ANSWERS: &str = "Your answers";

/// The heading over the bars.
pub const TIME_ON_EACH: &str = "Your time on each question";

/// The heading over the questions worth another go.
pub const TRY_AGAIN: &str = "Questions to try again";

/// The heading over what was tried again already.
pub const TRIED_AGAIN: &str = "What you've tried again";

/// The heading over those that come after the first few.
pub const TRY_LATER: &str = "When you have done those";

/// What the curve shows.
pub const CURVE: &str =
    "The blue line is the mark you would have had if time had been up at that moment.";

/// What the boundaries are.
pub const BOUNDARIES: &str =
    "These boundaries are for this paper. They can change from year to year.";

/// What is said after a sitting that was given up.
pub const STOPPED: &str = "It's fine to stop. When you're ready, sit this paper again or try another one. Tell your tutor what would make it easier to start.";

/// What the tutor's list of pages is for.
pub const FOR_THE_TUTOR: &str =
    "For the tutor only. Each page is for its own pupil and names nobody else.";

/// The order of that list, and what its blanks are.
pub const LIST_ORDER: &str = "In alphabetical order. Blanks are the ones left when time was up.";

/// The column of the best award.
pub const AWARD_IN_TIME: &str = "Award in time";

/// The heading over the sittings that got no page.
pub const WITHOUT_A_PAGE: &str = "Sittings without a page";

/// So few guesses that nothing is to be said of their luck.
const FEW_GUESSES: usize = 3;

/// More questions than this are counted instead of named.
const NAMED: usize = 6;

/// What became of a question in time, as the page names it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum State {
    /// Right.
    Right,
    /// Wrong.
    Wrong,
    /// Without an answer.
    Blank,
    /// It counts for nobody, or for everybody.
    Void,
    /// Answered, and nothing more is said.
    Answered,
}

impl State {
    /// The word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Right => "right",
            Self::Wrong => "wrong",
            Self::Blank => "blank",
            Self::Void => "void",
            Self::Answered => "done",
        }
    }

    /// What stands before the questions of which it holds.
    const fn heading(self) -> &'static str {
        match self {
            Self::Right => "Right",
            Self::Wrong => "Wrong",
            Self::Blank => "Blank",
            Self::Void => "Not counted",
            Self::Answered => "Answered",
        }
    }

    /// What its bar looks like.
    pub const fn bar(self) -> &'static str {
        match self {
            Self::Right => "a solid bar is right",
            Self::Wrong => "an empty bar is wrong",
            Self::Blank => "a dotted bar is blank",
            Self::Void => "void doesn't count",
            Self::Answered => "a dotted bar with a square is done",
        }
    }
}

/// What was done, without any key; a sheet that was typed in has nothing in time.
pub fn done(done: &Done, timed: bool) -> Vec<String> {
    let answered = if timed {
        done.answered()
    } else {
        let questions = counted(done.questions, "question");
        format!("You answered {} of {questions}.", done.in_time)
    };
    let mut lines = vec![answered];
    if done.after_time > 0 {
        lines.push(format!(
            "{} more came after time was up and {} counted separately.",
            done.after_time,
            agree(done.after_time, "is", "are")
        ));
    }
    lines
}

/// What kind of mark it is.
pub const fn kind_of_mark(timed: bool) -> &'static str {
    if timed {
        "In time"
    } else {
        "Times weren't recorded"
    }
}

/// ` in time`; nothing of a sheet that was typed in.
const fn in_time(timed: bool) -> &'static str {
    if timed { " in time" } else { "" }
}

/// How many questions that count were right.
pub fn right(right: usize, counting: usize, timed: bool) -> String {
    let questions = counted(counting, "question");
    format!("{right} of {questions} right{}.", in_time(timed))
}

/// `You guessed 10. About 2 are usually right; 3 were.`: a blind guess among m
/// options of which k are right comes right k times in m (the binomial's mean, question by question).
pub fn luck(luck: &Luck) -> Option<String> {
    let (all, right) = (luck.guesses, luck.right);
    if all < FEW_GUESSES {
        return None;
    }
    let expected = luck.expected_right.round();
    let usually = if expected < 1.0 {
        "Usually fewer than 1 is right".to_owned()
    } else if expected < 2.0 {
        "About 1 is usually right".to_owned()
    } else {
        format!("About {expected} are usually right")
    };
    let were = agree(right, "was", "were");
    Some(format!("You guessed {all}. {usually}; {right} {were}."))
}

/// The best award reached.
pub fn reached(award: &Award, timed: bool) -> String {
    let from = marks_in_words(award.boundary);
    format!(
        "You reached {} (from {from}){}.",
        award.name,
        in_time(timed)
    )
}

/// What the mark would have been with the guess round, and the award that only it would have reached.
pub fn with_guesses(mark: Mark, award: Option<&Award>) -> String {
    let (enough, only) = award.map_or_else(Default::default, |award| {
        let from = marks_in_words(award.boundary);
        (
            format!(", enough for {} (from {from})", award.name),
            " Only answers in time count towards an award.",
        )
    });
    let mark = plain(mark);
    format!("With the guesses after time was up, your mark would have been {mark}{enough}.{only}")
}

/// The next award, and how far it is.
pub fn next_award(award: &Award, short: Option<&Short>) -> String {
    let far = short.map_or_else(String::new, |short| {
        format!(" To reach it: {}.", ways(short))
    });
    let from = marks_in_words(award.boundary);
    format!("The next award is {} (from {from}).{far}", award.name)
}

/// Questions of the dearest section that were worked out; of a sheet without times nobody knows how they
/// came to be right.
pub fn dearest(questions: &[QuestionNo], each_worth: Mark, timed: bool) -> String {
    let each = agree(questions.len(), "", " each");
    let named = questions_or_count(questions, NAMED);
    let worth = marks_in_words(each_worth);
    let got = if timed {
        let were = agree(questions.len(), "is", "are");
        format!("You worked out {named}, which {were} worth {worth}{each}.")
    } else {
        let they = agree(questions.len(), "It's", "They're");
        format!("You got {named} right. {they} worth {worth}{each}.")
    };
    format!("{got} No question on this paper is worth more.")
}

/// What was left blank this time.
pub fn blanks_now(blanks: usize, questions: usize) -> String {
    format!(
        "This time: {blanks} of {} blank.",
        counted(questions, "question")
    )
}

/// What was left blank before: blanks, of how many questions, and on which day, the earliest first.
pub fn blanks_before(before: &[(usize, usize, NaiveDate)], now: NaiveDate) -> String {
    let each: Vec<_> = before
        .iter()
        .map(|(blanks, questions, day)| {
            format!("{blanks} of {questions} on {}", day_near(*day, now))
        })
        .collect();
    if each.is_empty() {
        "Before: no earlier sitting to compare with yet.".to_owned()
    } else {
        format!("Before: {}.", each.join("; "))
    }
}

/// That a blank is no fault where a wrong answer takes marks away.
pub const COSTS: &str =
    "On this paper a wrong answer can take marks away, so a blank can be the right choice.";

/// What to make of the blanks, with those of the sitting before; `costs` where a wrong answer takes marks away.
pub const fn blanks_compared(now: usize, last: Option<usize>, costs: bool) -> &'static str {
    match (now, last) {
        _ if costs => COSTS,
        (0, _) => "No blanks this time.",
        (now, Some(last)) if now < last => "That's fewer than last time. Keep going.",
        _ => "A good aim for next time: fewer blanks. Keep the last few minutes for them.",
    }
}

/// The questions of which one thing holds.
pub fn sheet(state: State, questions: &[QuestionNo]) -> String {
    format!("{}: {}.", state.heading(), ranges(questions))
}

/// What has to be said of the times.
pub fn times(trust: &Trust, on_screen: bool) -> Option<String> {
    match trust {
        Trust::Own if on_screen => None,
        Trust::Own => Some(
            "Your paper was printed, so each time shows how long the question was open on screen."
                .to_owned(),
        ),
        Trust::Blocks(blocks) => Some(format!(
            "You entered these answers together, so they have no times of their own: questions {}.",
            together(blocks)
        )),
        Trust::Withheld { .. } => Some(
            "You entered many answers together from your printed paper. That's fine for your mark. \
             But nobody can tell how long each question took, so there are no pictures of your \
             time. Next time, type each question's number as you start it. Then you'll see where \
             your time went."
                .to_owned(),
        ),
        Trust::NoTimes => Some(
            "Your answers were typed in afterwards, so there are no times to show."
                .to_owned(),
        ),
    }
}

fn together(blocks: &[Block]) -> String {
    let each = blocks.iter().map(|block| {
        let mut own = block.questions.clone();
        own.sort_unstable();
        ranges(&own)
    });
    each.collect::<Vec<_>>().join("; ")
}

/// What the bars look like that are drawn, and what the small line is.
pub fn bars(drawn: impl Iterator<Item = State>, plan: bool) -> String {
    let kinds: Vec<_> = drawn.map(State::bar).collect();
    let kinds = capital(&kinds.join(", "));
    let line = if plan {
        "your plan"
    } else {
        "an equal share of the time"
    };
    format!("{kinds}. The small upright line shows {line}.")
}

/// The title of the bars from one question to another.
pub fn bars_title(first: QuestionNo, last: QuestionNo) -> String {
    format!("Time on each question, {first} to {last}")
}

/// What is said of a time too short to be told: an answer shows that its question was open.
pub fn no_time(state: State, time: Elapsed) -> Option<&'static str> {
    match (state, time) {
        (State::Blank, Elapsed::ZERO) => Some("not opened"),
        (State::Void, Elapsed::ZERO) => Some("no time of its own"),
        (_, time) if time < Elapsed::seconds(1) => Some("under a second"),
        _ => None,
    }
}

/// A bar for those who do not see it: `Question 8: wrong, 8:10.`
pub fn bar(question: QuestionNo, state: State, time: Option<Elapsed>) -> String {
    let time = match time {
        None => "no time of its own".to_owned(),
        Some(time) => no_time(state, time).map_or_else(|| time_in_words(time), str::to_owned),
    };
    format!("Question {question}: {}, {time}.", state.word())
}

/// A mark of the curve at a quarter of the time, for those who do not see it, or at the end.
pub fn mark_after(minutes: Option<&str>, mark: Mark) -> String {
    let when = minutes.map_or_else(
        || "At the end".to_owned(),
        |minutes| format!("After {minutes} minutes"),
    );
    format!("{when}: {}.", plain(mark))
}

/// A boundary in the curve, for those who do not see it.
pub fn line_at(boundary: Mark, award: &str) -> String {
    format!("Line at {} for {award}.", plain(boundary))
}

/// A question to try again: `Question 8: you chose A`.
pub fn question_again(question: QuestionNo, given: Option<Label>) -> String {
    let chosen = given.map_or_else(
        || "left blank".to_owned(),
        |given| format!("you chose {given}"),
    );
    format!("Question {question}: {chosen}")
}

/// What a question is about; nothing where nobody says.
pub fn about(topics: &[String]) -> String {
    if topics.is_empty() {
        String::new()
    } else {
        format!("About {}.", topics.join(", "))
    }
}

/// A nudge.
pub fn hint(hint: &str) -> String {
    format!("Hint: {hint}")
}

/// The right option, or options, and the way there: `Answer: A or C. Half of 6 is 3.`
pub fn answer(options: &[Label], working: Option<&str>) -> String {
    let options: Vec<_> = options.iter().map(ToString::to_string).collect();
    let answer = format!("Answer: {}.", options.join(" or "));
    working.map_or_else(|| answer.clone(), |working| format!("{answer} {working}"))
}

/// How one comes to a wrong option.
pub fn common_way(option: Label, lure: &str) -> String {
    format!("A common way to get {option}: {lure}.")
}

/// How many pages were written, and where the tutor finds them listed.
pub fn pages_written(pages: usize, list: &Path) -> String {
    format!(
        "{} written. The tutor's list is {}",
        counted(pages, "page"),
        list.shown()
    )
}
