//! Every finding in words: for the tutor with its evidence and threshold, for the pupil in plain ones.
//!
//! What is said follows from what was done, never from who did it; a pupil hears what to try, not
//! what was wrong with them. `tests/wording.rs` holds these sentences against the words to avoid.

use crate::analysis::Trust;
use crate::analysis::findings::{Blind, Finding, QuickFrom, Seen};
use crate::analysis::stay::{Long, PriceFrom, Sink};
use crate::domain::marking::Outcome;
use crate::domain::rule::QuestionNo;
use crate::domain::time::Elapsed;
use crate::words::count::{agree, counted, counted_as};
use crate::words::numbers::{
    decimals, hundredths, it_or_them, marks, marks_about, q_list, q_list_of_some, questions_within,
    ranges, tenths,
};
use crate::words::thresholds::{Limit, Thresholds};
use crate::words::time::{roughly, seconds};

/// A finding for the tutor: what was seen, with its numbers, and the threshold it was held against.
#[expect(clippy::too_many_lines, reason = "a table of sentences, one a finding")]
#[must_use]
pub fn for_tutor(finding: &Finding, limits: &Thresholds) -> String {
    match &finding.seen {
        Seen::Sink(Sink {
            long,
            outcome,
            rate,
            from,
            cost,
            undone,
        }) => format!(
            "Q{} {} {} ({}) and earned nothing. {} over the plan of {} is about {} of a mark at {} a minute, the best of {} still undone ({}){}. {}",
            long.question,
            took(*long),
            long.time.stopwatch(),
            outcome_word(*outcome),
            long.over().stopwatch(),
            long.plan.stopwatch(),
            decimals(*cost, 2),
            decimals(*rate, 2),
            counted(undone.len(), "question"),
            price_from(*from),
            if *cost < long.over().as_seconds() / 60.0 * rate {
                ", and no more than all undone could give"
            } else {
                ""
            },
            long_threshold(limits),
        ),
        Seen::Earned(long) => format!(
            "Q{} {} {} and was right: expensive but earned (plan {}). {}",
            long.question,
            took(*long),
            long.time.stopwatch(),
            long.plan.stopwatch(),
            long_threshold(limits),
        ),
        Seen::LongStay(long) => format!(
            "Q{} {} {} (plan {}); without a key nothing can be said of what it earned. {}",
            long.question,
            took(*long),
            long.time.stopwatch(),
            long.plan.stopwatch(),
            long_threshold(limits),
        ),
        Seen::Rushed { questions, from } => {
            let each = questions.iter().map(|q| {
                format!(
                    "Q{} {} s (below {} s)",
                    q.question,
                    seconds(q.time),
                    seconds(q.below)
                )
            });
            let threshold = match from {
                QuickFrom::Own => format!("Threshold: {} of this pupil's middle time on the other questions of the section, or of a group's on the question where that is less.", limits.get(Limit::QuickShare)),
                QuickFrom::Group => "Threshold: a tenth of the group's mean time on the question, at most 10 s (NT10).".to_owned(),
                QuickFrom::Floor => format!("Threshold: a fixed floor of {} s, since neither this pupil's pace there nor a group's is known (common practice, no source).", seconds(limits.span(Limit::RushedFloorSeconds))),
            };
            format!(
                "Answered very quickly and wrong: {}. {threshold}",
                each.collect::<Vec<_>>().join(", ")
            )
        }
        Seen::LeftEasy { questions, people } => {
            let each = questions
                .iter()
                .map(|(q, share)| format!("Q{q} ({} of 10)", tenths(*share)));
            format!(
                "Never opened on the screen, though most of the group of {people} got it right: {}. Threshold: {} of the group.",
                each.collect::<Vec<_>>().join(", "),
                limits.get(Limit::EasyShare),
            )
        }
        Seen::ToWrong { questions, lost } => format!(
            "Changed from right to wrong: {}; {} lost.",
            q_list(questions),
            marks(*lost)
        ),
        Seen::ToRight {
            questions, gained, ..
        } => format!(
            "Changed from wrong to right: {}; {} gained.",
            q_list(questions),
            marks(*gained)
        ),
        Seen::Blanks {
            questions,
            unseen,
            blind: worth,
            right_before,
            on_screen: _,
        } => format!(
            "Blank at the end: {}: {}{}{}. {}",
            counted(questions.len(), "question"),
            ranges(questions),
            if *unseen > 0 {
                format!("; {unseen} of them never opened on the screen")
            } else {
                String::new()
            },
            if right_before.is_empty() {
                String::new()
            } else {
                format!("; right before it was rubbed out: {}", q_list(right_before))
            },
            blind(questions, worth),
        ),
        Seen::Swept {
            filled,
            left,
            took,
            blind: worth,
            blank,
            rest: _,
            or_keyed,
            unused: _,
        } => {
            let end = if blank.is_empty() {
                "nothing was blank at the end"
            } else {
                "not every blank was filled"
            };
            let keyed = if *or_keyed {
                " With the paper beside the screen this may also be the keying of answers worked out before."
            } else {
                ""
            };
            format!(
                "Swept in time: {} in {}, begun with {} left; {end}. {}{keyed}",
                q_list(filled),
                took.stopwatch(),
                left.countdown(),
                blind(filled, worth),
            )
        }
        Seen::ToAndFro(visits) => {
            let each = visits
                .iter()
                .map(|(q, visits)| format!("Q{q} {visits} times"));
            format!(
                "To and fro: opened {}. Threshold: {} visits.",
                each.collect::<Vec<_>>().join(", "),
                limits.count(Limit::ManyVisits)
            )
        }
        Seen::SlowStart {
            answers,
            took,
            plan,
        } => format!(
            "Slow start: the first {answers} answers took {} of the time (plan {}). Threshold: {} times the plan.",
            took.stopwatch(),
            plan.stopwatch(),
            limits.get(Limit::StartTimes),
        ),
        Seen::EndedEarly {
            left,
            flags,
            blanks,
        } => format!(
            "Handed in with {} left: {} with a flag ({}), {} blank.",
            left.countdown(),
            flags.len(),
            q_list_of_some(flags),
            blanks.len(),
        ),
        Seen::Unused {
            left,
            allowed,
            wrong,
            blank,
            quick,
            best,
        } => {
            let quick = if quick.is_empty() {
                String::new()
            } else {
                format!(" Quick and wrong: {}.", q_list(quick))
            };
            let best = best.first().map_or_else(String::new, |(_, price)| {
                let numbers: Vec<_> = best.iter().map(|(question, _)| *question).collect();
                let (rate, from) = (decimals(price.rate, 2), price_from(price.from));
                let on = q_list(&numbers);
                format!(" A minute earns most on {on}: up to {rate} of a mark ({from}).")
            });
            format!(
                "{} of {} unused, with {wrong} wrong and {blank} blank.{quick}{best} Threshold: {} of the time.",
                left.countdown(),
                allowed.countdown(),
                limits.get(Limit::UnusedShare),
            )
        }
        Seen::Luck {
            guesses,
            expected,
            actual,
            chance,
            good,
        } => {
            let side = if *good {
                "at least this much"
            } else {
                "at most this much"
            };
            format!(
                "{guesses} guesses brought {}; {} are expected. Guesses bring {side} {} times in 100.",
                marks(*actual),
                decimals(*expected, 1),
                hundredths(*chance),
            )
        }
        Seen::Late {
            question,
            planned,
            reached,
            done,
            of,
        } => {
            let when = reached.map_or_else(
                || "it never was".to_owned(),
                |reached| {
                    format!(
                        "it was at {}, {} late",
                        reached.stopwatch(),
                        reached.since(*planned).stopwatch()
                    )
                },
            );
            format!(
                "Checkpoint: Q{question} was to be done by {}; {when}. {done} of {of} were done by then.",
                planned.stopwatch()
            )
        }
        Seen::Kept { count, hurried } => format!(
            "{} of the pace plan kept{}.",
            if *count == 1 {
                "The checkpoint".to_owned()
            } else {
                format!("All {count} checkpoints")
            },
            if *hurried {
                ", but at a pace that left time unused or ran far ahead of it"
            } else {
                ""
            }
        ),
        Seen::SecondPass {
            questions,
            took,
            gained,
        } => format!(
            "Going back to {} brought {} in {}.",
            q_list(questions),
            marks(*gained),
            took.stopwatch()
        ),
        Seen::AllRight {
            section,
            right,
            guessed: 0,
            ..
        } => format!("Section {section}: all {right} right."),
        Seen::AllRight {
            section,
            right,
            guessed,
            ..
        } => {
            format!("Section {section}: all {right} right, {guessed} of them guessed or filled.")
        }
        Seen::NoBlank { count, timed, .. } => {
            let in_time = if *timed { " in time" } else { "" };
            format!("Every one of the {count} questions had an answer{in_time}.")
        }
    }
}

/// A finding for the pupil; nothing where there is nothing to try and nothing to enjoy.
#[must_use]
pub fn for_pupil(finding: &Finding) -> Option<String> {
    Some(match &finding.seen {
        Seen::Sink(Sink { long, undone, .. }) => format!(
            "{}{} {} still waiting. If it stays stuck, put a flag and move on.",
            took_about(*long),
            if long.only_open { "" } else { " What told you to stay?" },
            waiting(undone),
        ),
        // Nobody knows whether a question was worked on as long as it was open.
        Seen::Earned(Long { only_open: true, .. })
        | Seen::Kept { hurried: true, .. }
        | Seen::NoBlank { unused: true, .. } => return None,
        Seen::Earned(long) => format!("{} It came out right: the time was well used.", took_about(*long)),
        Seen::LongStay(long) => format!("{} Was it worth it? You can put a flag and come back later.", took_about(*long)),
        Seen::Rushed { questions, .. } => {
            let numbers: Vec<_> = questions.iter().map(|quick| quick.question).collect();
            format!("You answered {} very quickly. Read the last line of the question once more before you choose.", questions_within(&numbers))
        }
        Seen::LeftEasy { questions, .. } => {
            let numbers: Vec<_> = questions.iter().map(|(question, _)| *question).collect();
            format!("Try {} now: most people who sat this paper got {} right. Next time, look at every question once.", questions_within(&numbers), it_or_them(&numbers))
        }
        Seen::ToWrong { questions, .. } => format!("You had {} right before you changed {}. Change an answer when you can say why.", questions_within(questions), it_or_them(questions)),
        Seen::ToRight { checked, .. } if checked.is_empty() => return None,
        Seen::ToRight { checked, .. } => format!("You changed your answer to {} and put {} right. Well checked.", questions_within(checked), it_or_them(checked)),
        Seen::Blanks { .. } => blanks(&finding.seen)?,
        Seen::Swept { filled, blind, unused, .. } if *unused || blind.gaining != *filled => return None,
        Seen::Swept { blank, .. } if blank.is_empty() => "You filled your blanks before time was up, and nothing was left blank. Keep doing that.".to_owned(),
        Seen::Swept { filled, blank, rest, .. } => near_the_end(filled.len(), blank, &rest.gaining),
        Seen::ToAndFro(visits) => {
            let numbers: Vec<_> = visits.iter().map(|(question, _)| *question).collect();
            format!("You opened {} many times. Going back once, at the end, is often enough.", questions_within(&numbers))
        }
        Seen::SlowStart { answers, took, .. } => format!("The first {answers} answers took {}. They are the quickest questions: trust your first working and go on.", roughly(*took)),
        Seen::EndedEarly { left, flags, blanks } => {
            let open = if blanks.is_empty() { flags } else { blanks };
            format!("You handed in with {} left. Use that time to look at {} again.", roughly(*left), questions_within(open))
        }
        Seen::Unused { left, .. } => unused(*left, &finding.questions()),
        Seen::Luck { guesses, expected, actual, .. } => format!("You made {guesses} guesses. About {} usually come from so many; yours brought {actual}.", marks_about(*expected)),
        Seen::Late { question, planned, .. } => format!("The plan was to be done with question {question} after {}. Next time, look at the clock there, and leave what is stuck for later.", roughly(*planned)),
        Seen::Kept { .. } => "You kept to your pace plan. Well planned, well done.".to_owned(),
        Seen::SecondPass { .. } => "Going back to questions you had left brought you marks. That is a good habit.".to_owned(),
        Seen::AllRight { section, right, guessed: 0, timed: true } => format!("All {right} questions of section {section} were right. You worked them with care."),
        Seen::AllRight { section, right, .. } => format!("All {right} questions of section {section} were right."),
        Seen::NoBlank { timed: false, .. } => "Every question has an answer. Keep doing that.".to_owned(),
        Seen::NoBlank { .. } => "Every question had an answer before time was up. Keep doing that.".to_owned(),
    })
}

/// Blanks filled with some left, and those of them on which a blind guess gains: nobody is pushed to fill others.
fn near_the_end(filled: usize, blank: &[QuestionNo], gaining: &[QuestionNo]) -> String {
    let filled = counted_as(filled, "blank", "blanks");
    if gaining.is_empty() {
        return format!("You filled {filled} before time was up. Keep doing that.");
    }
    let sooner = if gaining == blank {
        "every blank gets an answer".to_owned()
    } else {
        format!("there is time for {} too", questions_within(gaining))
    };
    format!("You filled {filled} near the end. Start a little sooner, and {sooner}.")
}

fn blanks(seen: &Seen) -> Option<String> {
    let Seen::Blanks {
        questions,
        blind,
        right_before,
        on_screen,
        unseen: _,
    } = seen
    else {
        return None;
    };
    let were = counted(questions.len(), "question");
    // What is blank on the screen need not be blank on the paper beside it.
    let (blank, when) = if *on_screen {
        let left = agree(questions.len(), "was left blank", "were left blank");
        (left, "in the last three minutes")
    } else {
        ("had no answer", "before time is up")
    };
    let advice = if blind.gaining == *questions {
        format!("Next time, fill every blank {when}.")
    } else if blind.gaining.is_empty() {
        "Where you could cross some options out, a choice may have been worth it.".to_owned()
    } else {
        let gaining = questions_within(&blind.gaining);
        format!(
            "Next time, fill {gaining} {when}. Fill the others only where you can cross some options out."
        )
    };
    let rubbed_out = if right_before.is_empty() {
        String::new()
    } else {
        let (questions, it) = (questions_within(right_before), it_or_them(right_before));
        format!(" You had {questions} right before you rubbed {it} out.")
    };
    Some(format!("{were} {blank}. {advice}{rubbed_out}"))
}

/// What the time left could have been for.
pub fn unused(left: Elapsed, questions: &[QuestionNo]) -> String {
    let left = roughly(left);
    if questions.is_empty() {
        format!("You handed in with {left} left. Next time, use them to check your answers.")
    } else {
        let on = questions_within(questions);
        format!(
            "You handed in with {left} left. Next time, spend that time on {on}: more marks were there."
        )
    }
}

/// Why times on single questions are not shown, or not all; nothing where they all are.
#[must_use]
pub fn trust(trust: &Trust) -> Option<String> {
    match trust {
        Trust::Own => None,
        Trust::Blocks(blocks) => {
            let each = blocks.iter().map(|block| {
                format!(
                    "{} ({} together)",
                    q_list(&block.questions),
                    block.time.stopwatch()
                )
            });
            Some(format!(
                "Keyed in a batch from the printed paper, so without times of their own: {}.",
                each.collect::<Vec<_>>().join("; ")
            ))
        }
        Trust::Withheld { batched, asked, .. } => Some(format!(
            "{batched} of {asked} questions were answered in batches from the printed paper, so no question's time is shown. Key the number of the question you are starting, and the times can be used.",
        )),
        Trust::NoTimes => {
            Some("The answers were typed in from paper afterwards: there are no times.".to_owned())
        }
    }
}

fn long_threshold(limits: &Thresholds) -> String {
    format!(
        "Threshold: over {} times the plan and over the plan by {}.",
        limits.get(Limit::LongTimes),
        limits.span(Limit::LongOverSeconds).stopwatch(),
    )
}

const fn outcome_word(outcome: Outcome) -> &'static str {
    match outcome {
        Outcome::Wrong => "wrong",
        Outcome::Blank => "left blank",
        Outcome::Right | Outcome::Void => "does not count",
    }
}

const fn price_from(from: PriceFrom) -> &'static str {
    match from {
        PriceFrom::Group => "by the group's share right and times",
        PriceFrom::Default => "taking one in four right in the planned time",
        PriceFrom::Own => "by this pupil's own share right and the planned time",
    }
}

/// What blind guesses on some questions are worth on average, apart where they gain and where they do not.
fn blind(questions: &[QuestionNo], worth: &Blind) -> String {
    let rest = if worth.rest < 0.0 {
        format!("lose {} on average", marks_about(-worth.rest))
    } else {
        "bring nothing on average".to_owned()
    };
    if worth.gaining.is_empty() {
        return format!("Blind guesses on them {rest}.");
    }
    let gain = marks_about(worth.gain);
    if worth.gaining == questions {
        return format!("Blind guesses on them bring {gain} on average.");
    }
    let on = q_list(&worth.gaining);
    format!("Blind guesses on {on} bring {gain} on average; on the others they {rest}.")
}

const fn took(long: Long) -> &'static str {
    if long.only_open {
        "was open for"
    } else {
        "took"
    }
}

/// `Question 8 took 8 minutes.`
pub fn took_about(long: Long) -> String {
    let (took, time) = (took(long), roughly(long.time));
    format!("Question {} {took} {time}.", long.question)
}

fn waiting(questions: &[QuestionNo]) -> String {
    match questions {
        [one] => format!("Question {one} was"),
        [one, two] => format!("Questions {one} and {two} were"),
        [one, two, ..] => format!("Questions such as {one} and {two} were"),
        [] => "Other questions were".to_owned(),
    }
}
