//! What the pages of the review say of one sitting.

use crate::analysis::findings::Tone;
use crate::analysis::{AwardMark, Quarter, Sweep, per_minute};
use crate::domain::event::{Ending, How};
use crate::domain::labels::Label;
use crate::domain::mark::Mark;
use crate::domain::marking::Outcome;
use crate::domain::rule::QuestionNo;
use crate::domain::sitting::Phase;
use crate::domain::step::Step;
use crate::domain::time::Elapsed;
use crate::words::count::counted;
use crate::words::how::in_a_column;
use crate::words::log;
use crate::words::numbers::{in_percent, marks, marks_to_a_tenth, plain};
use crate::words::shortfall::ways;
use crate::words::step::in_short;
use crate::words::text::capital;
use crate::words::time::{left_to_the_second, over_or_under, time_in_words};

/// Asks which sitting is looked at, in lines.
pub const WHICH_SITTING: &str = "Which sitting?";
/// Asks what of it is said.
pub const WHICH_PART: &str = "What would you like to hear?";
/// Asks which question.
pub const WHICH_QUESTION: &str = "Which question?";
/// The parts of a sitting in lines.
pub const PARTS: [&str; 5] = [
    "Findings: what a tutor would say",
    "Marks: by section, awards, and which were right",
    "Time: on each question, against the plan",
    "One question",
    "Practice: the pupil's missed questions that are due",
];

/// What a key does to whoever is chosen in the list.
pub const PRACTISE: &str = "let the chosen row's pupil try missed questions again";
/// See [`PRACTISE`].
pub const PRACTICE: &str = "practice";

/// Of a sitting in the list that has no end.
pub const STILL_OPEN: &str = "still open";

/// In the row of a sitting that counts for nothing.
pub const NOT_COUNTED: &str = "not counted";

/// Where one is with a file that cannot be shown, what is said of it, and of the others.
pub const A_FAULT: &str = "Review: a file with a problem";
/// See [`A_FAULT`].
pub const CANNOT_BE_SHOWN: &str = "This file can't be shown";
/// See [`A_FAULT`].
pub const OTHERS_UNTOUCHED: &str = "The other sittings are not affected.";

/// Where one is with a group's report.
pub const THE_GROUP: &str = "Review: the group";

/// Where one is with a group's term, and what the page is on.
pub const THE_TERM: &str = "Review: the group's term";
/// See [`THE_TERM`].
pub const EVERYBODYS_TERM: &str = "Everybody on every paper";
/// What the key does that opens it, and its name at the foot.
pub const OPEN_TERM: &str = "the group's term, and who needs a word";
/// See [`OPEN_TERM`].
pub const TERM: &str = "term";
/// In lines, the row that says it.
pub const TERM_ROW: &str = "The group's term, and who needs a word";

/// While a report is put together.
pub const READING: &str = "Reading the sittings.";

/// That notes were kept.
pub const KEPT: &str = "Saved next to the session file.";
/// That a sitting was set aside.
pub const LEFT_OUT_NOW: &str = "Left out of every figure now. F4 counts it again.";
/// That a sitting counts.
pub const COUNTS_NOW: &str = "This sitting counts.";
/// What the key does that leaves a sitting out, and its name at the foot.
pub const DECIDE: &str = "leave the sitting out of every figure, or count it again";
/// See [`DECIDE`].
pub const LEAVE_OUT: &str = "leave out";
/// What the keys do on the page of the reason.
pub const WRITE_REASON: &str = "write the reason";
/// See [`WRITE_REASON`].
pub const KEEP_REASON: &str = "keep the reason";
/// What the key does that opens the ticks.
pub const TICK_OFF: &str = "tick what you saw, for the evidence sheet";
/// What the keys do on the page of the ticks, and their names at the foot.
pub const TICK_TIME: &str = "tick that you saw the time kept";
/// See [`TICK_TIME`].
pub const TIME_KEPT: &str = "time kept";
/// See [`TICK_TIME`].
pub const TICK_THERE: &str = "tick that somebody was there";
/// See [`TICK_TIME`].
pub const SOMEBODY_THERE: &str = "somebody there";
/// See [`TICK_TIME`].
pub const WRITE_SENTENCE: &str = "write a sentence";
/// See [`TICK_TIME`].
pub const KEEP_TICKS: &str = "keep the ticks and the sentence";
/// What an empty reason means.
pub const NOTHING_COUNTS_IT: &str =
    "Type a few words, such as: false start. Enter with no words doesn't leave it out.";
/// Heads the ticks.
pub const TICKS: &str = "For the evidence sheet: what did you see?";
/// A tick.
pub const SAW_THE_TIME: &str = "F2  I saw the time kept.";
/// A tick.
pub const WAS_THERE: &str = "F3  Somebody was there throughout.";
/// Before the sentence.
pub const SENTENCE: &str = "A sentence of yours, if you like:";

/// The heading over the agreed steps.
pub const STEPS: &str = "Agreed steps";

/// Asks for the step of a talk.
pub const STEP: &str = "One step for next time, agreed with the pupil:";
/// What can be typed there.
pub const STEP_KINDS: &str = "A later log can judge: sweep 3:00 (begun with 3 minutes left); stay 4:00 (no question open for longer); checkpoint 10 by 12:00; checkpoints (of the plan); flags (looked at again). Anything else is in your own words. Nothing typed withdraws the step.";
/// What the keys do on its page, and what the key does that opens it.
pub const WRITE_STEP: &str = "write the step";
/// See [`WRITE_STEP`].
pub const KEEP_STEP: &str = "keep the step";
/// See [`WRITE_STEP`].
pub const AGREE: &str = "agree on one step for next time";

/// What is typed so far, as a step.
pub fn step_so_far(step: Option<&Step>) -> String {
    match step {
        None => "No step.".to_owned(),
        Some(Step::Listed(_)) => format!(
            "{}. The next log will judge it.",
            step.map_or_else(String::new, |own| capital(&in_short(own)))
        ),
        Some(Step::OwnWords(_)) => "In your own words. No log can judge it.".to_owned(),
    }
}

/// A tick, set or not.
pub fn tick(is_set: bool, says: &str) -> String {
    let mark = if is_set { "[x]" } else { "[ ]" };
    format!("{mark} {says}")
}

/// Asks why a sitting does not count.
pub fn why_left_out(title: &str) -> String {
    format!("Why doesn't it count? {title}")
}

/// Whose sitting, when and of which paper.
pub fn row_title(pupil: &str, day: &str, paper: &str) -> String {
    format!("{pupil}, {day}, {paper}")
}

/// Under a group's report.
pub const FIRST_WHOLE_COUNTED: &str = "- Counts each pupil's first whole sitting.\n";

/// Of a list with nothing in it, once everything is read.
pub const NO_SITTINGS: &str =
    "No sittings here yet. `pacebell sit` starts one; --sessions says where they are kept.";

/// Of a list with nothing in it so far.
pub const LOOKING: &str = "Looking for sittings.";

/// Below marks.
pub const NOT_OFFICIAL: &str = "For practice only: not an official result.";

/// Headings of the page of marks.
pub const SECTIONS: &str = "Sections, with the guess round";
/// See [`SECTIONS`].
pub const QUESTION_BY_QUESTION: &str = "Question by question";
/// See [`SECTIONS`].
pub const CAUSES: &str = "Causes of lost marks";

/// What cannot be shown without a key, for [`no_key`].
pub const MARKS_AWARDS_SIGNS: &str = "marks, awards and signs";
/// See [`MARKS_AWARDS_SIGNS`].
pub const WHETHER_RIGHT: &str = "whether it is right";
/// See [`MARKS_AWARDS_SIGNS`].
pub const MARK_AT_A_MOMENT: &str = "the mark at a moment";
/// See [`MARKS_AWARDS_SIGNS`].
pub const WHAT_WAS_EARNED: &str = "what an answer earned";

/// What the times are where the paper is printed.
pub const TIMES_BESIDE_PAPER: &str =
    "The paper was printed: times are how long a question was open on screen.";

/// Why there is no curve, and what it shows.
pub const NO_CURVE: &str = "No question was answered in time, so there is no curve.";
/// See [`NO_CURVE`].
pub const CURVE: &str = "The mark in time if time had been called at each minute of the time used.";

/// Why there are no lanes, and what is drawn in them.
pub const NO_LANES: &str = "No question was opened in time, so there is nothing to draw.";
/// See [`NO_LANES`].
pub const LANES: &str = "━ on screen   A letter: answer given   - rubbed out   : away";

/// Before the paper of a sitting that nobody sat, where others are real.
pub const INVENTED: &str = "invented: ";
/// Before a typed-in sheet that another one replaces.
pub const REPLACED: &str = "replaced: ";
/// Before a sitting that the tutor has set aside.
pub const SET_ASIDE: &str = "set aside: ";
/// Before a sitting of which two files say different things.
pub const DISPUTED: &str = "two versions: ";
/// Asks whether a very short sitting counts, in the one line there is for it.
pub fn does_it_count(used: Elapsed, allowed: Elapsed) -> String {
    format!(
        "Only {} of {} used. Does it count? F4 sets it aside.",
        used.stopwatch(),
        allowed.stopwatch()
    )
}

/// Before a sitting so short that the tutor is asked whether it counts.
pub const VERY_SHORT: &str = "counts? ";
/// Before the paper of a sitting whose file was cut short.
pub const TORN_END: &str = "torn end: ";

/// What the bars of the page of times are held against.
pub const PACE_PLAN: &str = "the pace plan";
/// See [`PACE_PLAN`].
pub const EVEN_SHARE: &str = "an equal share of the time";

/// Of a sitting without a finding.
pub const NOTHING_STANDS_OUT: &str = "Nothing stands out in this sitting.";

/// Headings over findings, by what they are for.
pub const TRY_OTHERWISE: &str = "To try next time, most marks first";
/// See [`TRY_OTHERWISE`].
pub const WENT_WELL: &str = "What went well";

/// The heading over findings of a tone.
pub const fn tone(tone: Tone) -> &'static str {
    match tone {
        Tone::Next => TRY_OTHERWISE,
        Tone::Know => "To know",
        Tone::Praise => WENT_WELL,
    }
}

/// The heading over the findings of one question.
pub const HOUR_SAYS: &str = "What the sitting shows";

/// Why a question's words are not shown.
pub const PAPER_NOT_AT_HAND: &str =
    "This version of the paper was not found, so the question's text can't be shown.";
/// See [`PAPER_NOT_AT_HAND`].
pub const PAPER_PRINTED: &str = "The paper is printed, so the question's text is not in the file.";

/// Asks what to compare with, and says that there is nothing.
pub const WHAT_BESIDE: &str = "Compare this sitting with:";
/// See [`WHAT_BESIDE`].
pub const NOTHING_BESIDE: &str =
    "Nothing to compare with yet: no other sitting of this pupil or paper, and no group.";

/// What may be made of two sittings: of two pupils, of one paper, of two papers.
pub const TWO_PUPILS: &str =
    "Two pupils on one paper: for the tutor only, never to be shown to either of them.";
/// See [`TWO_PUPILS`].
pub const SAME_PAPER: &str =
    "The same paper: the second time, the pupil had seen the questions before.";
/// See [`TWO_PUPILS`].
pub const TWO_PAPERS: &str =
    "Two papers: their marks don't compare directly. Two sittings can't show a trend.";

/// Figures of two sittings.
pub const BEST_AWARD: &str = "Best award in time";
/// See [`BEST_AWARD`].
pub const FIRST_PASS: &str = "First pass done";
/// See [`BEST_AWARD`].
pub const BLANKS: &str = "Blanks at the end";
/// See [`BEST_AWARD`].
pub const TIME_ON_BLANKS: &str = "Time on blanks";
/// See [`BEST_AWARD`].
pub const FLAGS: &str = "Flags at the end";
/// See [`BEST_AWARD`].
pub const LATER_VISITS: &str = "Gained by going back";

/// No cause of a lost mark.
pub const NO_CAUSE: &str = "no cause recorded";

/// Below the causes.
pub const ASK_FIRST: &str = "Ask the pupil first. The program only knows what was recorded.";

/// Before the review is left.
pub const ASK_LEAVE: &str = "Leave the review? Press Enter to leave, any other key to stay.";

/// Says that there is no key and what that costs; `reason` is the way out.
pub fn no_key(what: &str, reason: &str) -> String {
    format!("Without an answer key, {what} can't be shown. {reason}")
}

/// That a sitting that is still going on is not marked.
pub fn not_finished(what: &str) -> String {
    format!("This sitting isn't finished, so {what} can't be shown yet.")
}

/// Digits typed towards a question.
pub fn question_typed(typed: &str) -> String {
    format!("Question {typed}_   Enter open, Esc cancel.")
}

/// That a number that was typed is no question's.
pub fn no_such_question(typed: &str) -> String {
    format!("There's no question {typed} in this sitting.")
}

/// That there is no cause to set.
pub fn no_mark_lost(question: QuestionNo) -> String {
    format!("No marks were lost on question {question}, so there's no cause to record.")
}

/// Asks for a cause.
pub fn why_lost(question: QuestionNo) -> String {
    format!("Why were marks lost on question {question}?")
}

/// What a note is about.
pub fn note_on(question: Option<QuestionNo>) -> String {
    question.map_or_else(
        || "Note on the whole sitting".to_owned(),
        |question| format!("Note on question {question}"),
    )
}

/// How much room is left in a note, and where it goes.
pub fn note_room(left: usize) -> String {
    format!(
        "{left} characters left. The note is saved next to the session file. An empty note deletes it."
    )
}

/// What a report on a pupil is about.
pub fn over_the_sittings(pupil: &str) -> String {
    format!("{pupil}: all sittings")
}

/// How many sittings a list has, how many of them are read, wrong, and invented.
pub fn sittings(all: usize, read: usize, wrong: usize, invented: usize) -> String {
    let mut said = counted(all, "sitting");
    if read < all {
        said = format!("{said}, {read} read so far");
    }
    if wrong > 0 {
        said = format!("{said}, {wrong} with a problem");
    }
    match invented {
        0 => {}
        every if every == all => said.push_str(", all with invented data"),
        some => said = format!("{said}, {some} with invented data"),
    }
    said
}

/// The mark in time.
pub fn mark_in_time(mark: Mark, max: Mark) -> String {
    format!("Mark in time: {} of {}", plain(mark), plain(max))
}

/// The other marks.
pub fn other_marks(worked: Mark, round: Option<Mark>) -> String {
    let worked = format!("Worked out {}", plain(worked));
    match round {
        None => format!("{worked}."),
        Some(round) => format!("{worked}, with the guess round {}.", plain(round)),
    }
}

/// An award: whether it was reached, or how far it was.
pub fn award(award: &AwardMark) -> String {
    let from = plain(award.boundary);
    let name = &award.name;
    match &award.short {
        None => format!("{name} (from {from}): reached in time"),
        Some(short) => {
            let missing = marks(short.by);
            format!("{name} (from {from}): {missing} short; {}", ways(short))
        }
    }
}

/// The time used, and where the sitting stands.
pub fn time_used(used: Elapsed, allowed: Elapsed, extra_percent: Mark, phase: Phase) -> String {
    let extra = if extra_percent > Mark::ZERO {
        format!(" ({} extra time)", in_percent(plain(extra_percent)))
    } else {
        String::new()
    };
    format!(
        "{} of {} used{extra}; {}.",
        time_in_words(used),
        time_in_words(allowed),
        log::phase(phase)
    )
}

/// Blanks and when they are counted, the time that went on them, flags and changes.
pub fn blanks_flags_changes(
    phase: Phase,
    blanks: usize,
    on_blanks: Option<Elapsed>,
    flags: usize,
    changes: usize,
) -> String {
    let when = match phase {
        Phase::Running | Phase::OnBreak => "so far",
        Phase::Closed(Ending::FinishedEarly | Ending::Abandoned | Ending::Entered) => "at the end",
        Phase::TimeUp
        | Phase::GuessRound
        | Phase::Closed(Ending::TimeUp | Ending::GuessRoundDone) => "when time was up",
    };
    let mut parts = vec![format!("{} {when}", counted(blanks, "blank"))];
    if let Some(spent) = on_blanks.filter(|_| blanks > 0) {
        parts.push(format!("{} spent on them", time_in_words(spent)));
    }
    parts.push(counted(flags, "flag"));
    parts.push(counted(changes, "change"));
    format!("{}.", parts.join(", "))
}

/// When the first pass was done.
pub fn first_pass(opened: usize, used: Elapsed) -> String {
    format!(
        "First pass through {} done after {}.",
        counted(opened, "question"),
        time_in_words(used)
    )
}

/// The filling of blanks at the end.
pub fn sweep(sweep: &Sweep) -> String {
    let (left, took) = (left_to_the_second(sweep.left), time_in_words(sweep.took));
    let filled = counted(sweep.filled.len(), "blank");
    format!("At the end: {filled} filled in {took}, starting with {left} left.")
}

/// How long rest breaks were.
pub fn rest_breaks(span: Elapsed) -> String {
    format!("Rest breaks: {}.", time_in_words(span))
}

/// How long nobody was there otherwise.
pub fn away(span: Elapsed) -> String {
    format!("Away or asleep: {}.", time_in_words(span))
}

/// The time that no bar holds.
pub fn in_no_bar(span: Elapsed) -> String {
    format!(
        "Breaks and time away ({}) are not in the bars.",
        time_in_words(span)
    )
}

/// What minutes along a lane are counted from.
pub const fn minutes_since_the_start(gaps: bool) -> &'static str {
    if gaps {
        "Minutes since the start, including breaks and time away."
    } else {
        "Minutes since the start."
    }
}

/// What a quarter of the hour earned.
pub fn quarter(own: &Quarter) -> String {
    let rate = per_minute(own.earned, own.to.since(own.from));
    let rate = rate.map_or_else(String::new, |rate| format!(", {rate:.2} a minute"));
    format!(
        "{:>5} to {:>5}: {:>5} marks{rate}, {} first answers",
        own.from.stopwatch(),
        own.to.stopwatch(),
        plain(own.earned),
        own.answers
    )
}

/// What going back brought.
pub fn visits_after_the_first(brought: Mark) -> String {
    format!(
        "Going back to questions left earlier brought {}.",
        marks(brought)
    )
}

/// That not every finding shows.
pub fn some_findings(few: usize, all: usize) -> String {
    format!("The top {few} of {all} findings, enough for one talk. A shows all.")
}

/// What stands over the thresholds; `own` is the sign of the tutor's own ones, with what it means.
pub fn thresholds_heading(own: &str) -> String {
    format!("Thresholds used ({own}: set in thresholds.ron)")
}

/// What findings are held against: a group of so many, or none since it takes `least`.
pub fn held_against(people: Option<usize>, least: usize) -> String {
    match people {
        Some(people) => format!(
            "Compared with {people} people on this paper, each one's first whole sitting. With so few, one more could change the picture."
        ),
        None => format!(
            "No group yet: that takes {least} whole sittings of this paper by different pupils."
        ),
    }
}

/// What stands over a sitting beside its group.
pub fn beside_the_group(people: usize) -> String {
    format!("Compared with the median of {people} people, each one's first whole sitting.")
}

/// The group, offered for comparison.
pub fn the_groups_median(people: usize) -> String {
    format!("the group's median on this paper, {people} people")
}

/// A moment of a replay: where the clock and the sitting stand.
pub fn moment(
    at: Elapsed,
    used: Elapsed,
    left: Elapsed,
    phase: Phase,
    open: Option<QuestionNo>,
) -> String {
    let open = open.map_or_else(String::new, |open| format!(", Q{open} open"));
    format!(
        "{} after the start: {} used, {} left, {}{open}",
        at.stopwatch(),
        used.stopwatch(),
        left.countdown(),
        log::phase(phase)
    )
}

/// How a replay goes on, and what has just happened.
pub fn player(plays: bool, by: &str, speed: u64, now: &str) -> String {
    let how = if plays { "Playing" } else { "Paused" };
    format!("{how}, {speed}x. Steps by {by}. {now}")
}

/// The mark at a moment of a replay without a key, or of a sitting that still goes on.
pub fn no_mark_now(is_open: bool, answered: usize, of: usize) -> String {
    let why = if is_open {
        "Not finished"
    } else {
        "No answer key"
    };
    format!("{why}, so no mark. {answered} of {of} answered in time.")
}

/// The mark at a moment of a replay, with the guess round where that is another one.
pub fn mark_now(mark: Mark, max: Mark, round: Option<Mark>, answered: usize, of: usize) -> String {
    let guesses = round.map_or_else(String::new, |round| {
        format!(" ({} with the guesses)", plain(round))
    });
    format!(
        "Mark if time were called now: {} of {}{guesses}; {answered} of {of} answered.",
        plain(mark),
        plain(max)
    )
}

/// What became of one question.
#[derive(Clone, Copy, Debug)]
pub struct Became<'a> {
    /// The question.
    pub question: QuestionNo,
    /// What was chosen.
    pub given: Option<Label>,
    /// Whether that was after time was up.
    pub after_time: bool,
    /// The right options, where a key is at hand.
    pub right: &'a str,
    /// What it came to, what it brought and what it could have brought, where it is marked.
    pub marked: Option<(Outcome, Mark, Mark)>,
    /// The marks lost on it.
    pub lost: Option<Mark>,
}

/// What became of a question and what that cost, in a sentence or two.
pub fn became(of: &Became<'_>) -> String {
    let (number, right) = (of.question, of.right);
    let Some((outcome, got, full)) = of.marked else {
        return match of.given {
            Some(given) => format!("Question {number}: {given} was chosen."),
            None => format!("Question {number} was left blank."),
        };
    };
    let given = of.given.map_or_else(String::new, |given| given.to_string());
    let cost = of.lost.map_or_else(String::new, |lost| {
        let less = format!(": {} instead of {}", plain(got), plain(full));
        let less = if got == Mark::ZERO { "" } else { &less };
        format!(" That cost {}{less}.", marks(lost))
    });
    let when = if of.after_time {
        " after time was up"
    } else {
        ""
    };
    match outcome {
        Outcome::Right => {
            format!(
                "Question {number} is right: {given}{when}. It brought {}.",
                marks(got)
            )
        }
        Outcome::Wrong => {
            format!(
                "Question {number} is wrong: {given} was chosen{when}, but {right} is right.{cost}"
            )
        }
        Outcome::Blank => format!("Question {number} was left blank; {right} is right.{cost}"),
        Outcome::Void => {
            let given = if given.is_empty() {
                "nothing".to_owned()
            } else {
                given
            };
            format!(
                "Question {number} is void ({given} was chosen). It gave {}.",
                marks(got)
            )
        }
    }
}

/// What went into one question.
#[derive(Clone, Copy, Debug)]
pub struct Effort<'a> {
    /// Whether it was sat under the clock, and not typed in.
    pub timed: bool,
    /// How often it was opened.
    pub visits: usize,
    /// The time on it, where it has one of its own.
    pub time: Option<Elapsed>,
    /// Its share of the plan.
    pub plan: Elapsed,
    /// The group's median.
    pub median: Option<Elapsed>,
    /// How the answer was come by.
    pub how: Option<How>,
    /// The options that stood one after another, where they changed.
    pub changed: &'a [Label],
    /// Whether there is a flag beside it.
    pub flagged: bool,
}

/// The time on a question, its visits, changes and flag, in a sentence.
pub fn effort(of: &Effort<'_>) -> String {
    let mut parts = Vec::new();
    match of.time {
        _ if !of.timed => parts.push("typed in, so no time is known".to_owned()),
        _ if of.visits == 0 => parts.push("never opened".to_owned()),
        Some(time) => {
            let (against, what) = of.median.map_or((of.plan, "plan"), |own| (own, "median"));
            parts.push(format!(
                "{} in {} ({} {}, {})",
                time_in_words(time),
                counted(of.visits, "visit"),
                what,
                time_in_words(against),
                over_or_under(time, against),
            ));
        }
        None => parts.push("no time of its own".to_owned()),
    }
    if let Some(said) = of.how.filter(|said| *said != How::Worked) {
        parts.push(in_a_column(said).to_owned());
    }
    if !of.changed.is_empty() {
        let went: Vec<_> = of.changed.iter().map(ToString::to_string).collect();
        parts.push(format!("changed {}", went.join(" to ")));
    }
    if of.flagged {
        parts.push("flagged".to_owned());
    }
    capital(&parts.join(", ")) + "."
}

/// That the key says nothing of a wrong option.
pub fn key_says_nothing(of: Label) -> String {
    format!("The answer key has no note on how someone might get {of}.")
}

/// What the time over the plan was worth.
pub fn sunk(marks: f64) -> String {
    let marks = marks_to_a_tenth(marks);
    format!("The time over the plan could have earned about {marks} elsewhere: an estimate.")
}

/// How many in the group had it right.
pub fn right_in_group(right: usize, marked: usize) -> String {
    format!("{right} of {marked} in the group got it right.")
}

/// Sittings that a group's report leaves out, with the reason.
pub fn not_counted(sittings: &str) -> String {
    format!("- Left out: {sittings}.\n")
}

/// Session files that a group's report leaves out.
pub fn unread_files(count: usize) -> String {
    let files = counted(count, "session file");
    format!("! Left out because it can't be read: {files}; the list says why.\n")
}

/// Papers without a key, and where keys were looked for.
pub fn no_key_for(papers: &[String], looked: &str) -> String {
    format!(
        "There is no answer key for the paper {}. {looked}",
        papers.join(", ")
    )
}

/// That there is no group's report without a key, why there is none, and where keys were looked for.
pub fn no_group_without_key(why: &str, looked: &str) -> String {
    format!("Without an answer key the group can't be shown. {why} {looked}")
}

/// That there is no key for a paper, and where to put it.
pub fn no_key_beside(paper: &str) -> String {
    format!(
        "There is none for the paper `{paper}`: put its .key.ron file next to its .paper.ron file, or name it with --keys."
    )
}

/// Where keys are looked for.
pub fn keys_looked_for(places: &[String]) -> String {
    format!("Places searched for answer keys: {}.", places.join(", "))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Two lines of a window of 60 columns: the rest is the list's.
    #[test]
    fn the_question_whether_a_sitting_counts_is_short() {
        let hours = Elapsed::minutes(600);
        assert!(does_it_count(hours, hours).chars().count() <= 2 * 56);
        let asked = does_it_count(Elapsed::seconds(601), Elapsed::minutes(60));
        assert_eq!(
            asked,
            "Only 10:01 of 60:00 used. Does it count? F4 sets it aside."
        );
    }

    /// A sheet that was typed in has no visits: nobody can say that a question was never opened.
    #[test]
    fn a_sheet_that_was_typed_in_is_not_timed_and_never_called_unopened() {
        let of = |timed, visits| Effort {
            timed,
            visits,
            time: None,
            plan: Elapsed::minutes(2),
            median: None,
            how: None,
            changed: &[],
            flagged: true,
        };
        assert_eq!(
            effort(&of(false, 0)),
            "Typed in, so no time is known, flagged."
        );
        assert_eq!(effort(&of(true, 0)), "Never opened, flagged.");
        assert_eq!(effort(&of(true, 2)), "No time of its own, flagged.");
    }
}
