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
    decimals, in_percent, it_or_them, marks, marks_about, marks_to_a_tenth, q_list, q_list_of_some,
    questions_within, ranges, short, tenths, times_in_100,
};
use crate::words::thresholds::{Limit, Thresholds};
use crate::words::time::{left_to_the_second, roughly, seconds, time_in_words};

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
            "Q{} {} {} ({}) and earned nothing. That is {} over the plan of {}, and could have earned about {}{}: the best of {} still to do was worth {} marks a minute ({}). {}",
            long.question,
            took(*long),
            time_in_words(long.time),
            outcome_word(*outcome),
            time_in_words(long.over()),
            time_in_words(long.plan),
            marks_to_a_tenth(*cost),
            if *cost < long.over().as_seconds() / 60.0 * rate {
                ", all there was"
            } else {
                ""
            },
            counted(undone.len(), "question"),
            decimals(*rate, 2),
            price_from(*from),
            long_threshold(limits),
        ),
        Seen::Earned(long) => format!(
            "Q{} {} {} and was right: it cost time but earned marks (plan {}). {}",
            long.question,
            took(*long),
            time_in_words(long.time),
            time_in_words(long.plan),
            long_threshold(limits),
        ),
        Seen::LongStay(long) => format!(
            "Q{} {} {} (plan {}). Without an answer key nobody can say what it earned. {}",
            long.question,
            took(*long),
            time_in_words(long.time),
            time_in_words(long.plan),
            long_threshold(limits),
        ),
        Seen::Rushed { questions, from } => {
            let each = questions.iter().map(|q| {
                format!(
                    "Q{} in {} s (under {} s)",
                    q.question,
                    seconds(q.time),
                    seconds(q.below)
                )
            });
            let threshold = match from {
                QuickFrom::Own => format!(
                    "Threshold: {} of this pupil's median time on the section's other questions, or of the group's median on the question if that is less.",
                    share(limits, Limit::QuickShare)
                ),
                QuickFrom::Group => {
                    "Threshold: a tenth of the group's mean time on the question, but at most 10 s."
                        .to_owned()
                }
                QuickFrom::Floor => format!(
                    "Threshold: {} s, a rule of thumb, because neither this pupil's pace there nor a group's is known.",
                    seconds(limits.span(Limit::RushedFloorSeconds))
                ),
            };
            format!(
                "Answered very quickly and wrong: {}. {threshold}",
                each.collect::<Vec<_>>().join(", ")
            )
        }
        Seen::LeftEasy { questions, people } => {
            let each = questions
                .iter()
                .map(|(q, share)| format!("Q{q} ({} in 10)", tenths(*share)));
            format!(
                "Never opened on screen, though most of {people} people got it right: {}. Threshold: right for {} of the group.",
                each.collect::<Vec<_>>().join(", "),
                share(limits, Limit::EasyShare),
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
            "Blank at the end: {} ({}){}{}. {}",
            counted(questions.len(), "question"),
            ranges(questions),
            if *unseen > 0 {
                format!("; {unseen} never opened on screen")
            } else {
                String::new()
            },
            if right_before.is_empty() {
                String::new()
            } else {
                format!("; right before being rubbed out: {}", q_list(right_before))
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
                " With a printed paper, these may also be answers worked out earlier and only entered now."
            } else {
                ""
            };
            format!(
                "Blanks filled in time: {} in {}, starting with {} left; {end}. {}{keyed}",
                q_list(filled),
                time_in_words(*took),
                left_to_the_second(*left),
                blind(filled, worth),
            )
        }
        Seen::ToAndFro(visits) => {
            let each = visits
                .iter()
                .map(|(q, visits)| format!("Q{q} {visits} times"));
            format!(
                "Back and forth: opened {}. Threshold: {} visits.",
                each.collect::<Vec<_>>().join(", "),
                limits.count(Limit::ManyVisits)
            )
        }
        Seen::SlowStart {
            answers,
            took,
            plan,
        } => format!(
            "Slow start: the first {answers} answers took {} (plan {}). Threshold: {} times the plan.",
            time_in_words(*took),
            time_in_words(*plan),
            limits.get(Limit::StartTimes),
        ),
        Seen::EndedEarly {
            left,
            flags,
            blanks,
        } => format!(
            "Finished with {} left: {} flagged ({}), {} blank.",
            left_to_the_second(*left),
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
                format!(" A minute could earn most on {on}: up to {rate} marks ({from}).")
            });
            format!(
                "{} of {} not used, with {wrong} wrong and {blank} blank.{quick}{best} Threshold: {} of the time.",
                left_to_the_second(*left),
                time_in_words(*allowed),
                share(limits, Limit::UnusedShare),
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
                "This much or more"
            } else {
                "This much or less"
            };
            format!(
                "{} brought {}; about {} would be usual. {side} happens {}.",
                counted_as(*guesses, "guess", "guesses"),
                marks(*actual),
                short(*expected, 1),
                times_in_100(*chance),
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
                || "it never was done".to_owned(),
                |reached| {
                    format!(
                        "it was done after {}, {} late",
                        time_in_words(reached),
                        time_in_words(reached.since(*planned))
                    )
                },
            );
            format!(
                "Checkpoint: the plan was to have Q{question} done after {}; {when}. At the checkpoint {done} of {of} were done.",
                time_in_words(*planned)
            )
        }
        Seen::Kept { count, hurried } => format!(
            "{} kept{}.",
            if *count == 1 {
                "The pace plan's checkpoint was".to_owned()
            } else {
                format!("All {count} checkpoints of the pace plan were")
            },
            if *hurried { BUT_HURRIED } else { "" }
        ),
        Seen::SecondPass {
            questions,
            took,
            gained,
        } => format!(
            "Going back to {} brought {} in {}.",
            q_list(questions),
            marks(*gained),
            time_in_words(*took)
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
            format!(
                "Section {section}: all {right} right, {guessed} of them guessed or filled at random."
            )
        }
        Seen::NoBlank { count, timed, .. } => {
            let in_time = if *timed { " in time" } else { "" };
            format!("All {count} questions had an answer{in_time}.")
        }
    }
}

/// A finding for the pupil; nothing where there is nothing to try and nothing to enjoy.
#[expect(clippy::too_many_lines, reason = "a table of sentences, one a finding")]
#[must_use]
pub fn for_pupil(finding: &Finding) -> Option<String> {
    Some(match &finding.seen {
        Seen::Sink(Sink { long, undone, .. }) => format!(
            "{}{} {} still to do. If you're stuck, flag the question and move on.",
            took_about(*long),
            if long.only_open {
                ""
            } else {
                " What made you stay?"
            },
            waiting(undone),
        ),
        // Nobody knows whether a question was worked on as long as it was open.
        Seen::Earned(Long {
            only_open: true, ..
        })
        | Seen::Kept { hurried: true, .. }
        | Seen::NoBlank { unused: true, .. } => return None,
        Seen::Earned(long) => format!("{} You got it right: time well spent.", took_about(*long)),
        Seen::LongStay(long) => format!(
            "{} Was it worth it? You can flag a question and come back later.",
            took_about(*long)
        ),
        Seen::Rushed { questions, .. } => {
            let numbers: Vec<_> = questions.iter().map(|quick| quick.question).collect();
            format!(
                "You answered {} very quickly. Read the last line of a question again before you choose.",
                questions_within(&numbers)
            )
        }
        Seen::LeftEasy { questions, .. } => {
            let numbers: Vec<_> = questions.iter().map(|(question, _)| *question).collect();
            format!(
                "Try {} now: most people who sat this paper got {} right. Next time, look at every question once.",
                questions_within(&numbers),
                it_or_them(&numbers)
            )
        }
        Seen::ToWrong { questions, .. } => format!(
            "You had {} right before you changed {}. Only change an answer when you can say why.",
            questions_within(questions),
            it_or_them(questions)
        ),
        Seen::ToRight { checked, .. } if checked.is_empty() => return None,
        Seen::ToRight { checked, .. } => format!(
            "You changed your answer to {} and got {} right. Well checked.",
            questions_within(checked),
            it_or_them(checked)
        ),
        Seen::Blanks { .. } => blanks(&finding.seen)?,
        Seen::Swept {
            filled,
            blind,
            unused,
            ..
        } if *unused || blind.gaining != *filled => return None,
        Seen::Swept { blank, .. } if blank.is_empty() => {
            "You filled your blanks before time was up, so nothing was left blank. Keep doing that."
                .to_owned()
        }
        Seen::Swept {
            filled,
            blank,
            rest,
            ..
        } => near_the_end(filled.len(), blank, &rest.gaining),
        Seen::ToAndFro(visits) => {
            let numbers: Vec<_> = visits.iter().map(|(question, _)| *question).collect();
            format!(
                "You opened {} many times. Going back once, at the end, is often enough.",
                questions_within(&numbers)
            )
        }
        Seen::SlowStart { answers, took, .. } => format!(
            "The first {answers} answers took {}. They're usually the quickest: trust your working and move on.",
            roughly(*took)
        ),
        Seen::EndedEarly {
            left,
            flags,
            blanks,
        } => {
            let open = if blanks.is_empty() { flags } else { blanks };
            format!(
                "You finished with {} left. Next time, use it to look at {} again.",
                roughly(*left),
                questions_within(open)
            )
        }
        Seen::Unused { left, .. } => unused(*left, &finding.questions()),
        Seen::Luck {
            guesses,
            expected,
            actual,
            ..
        } => format!(
            "You made {}. That usually brings about {}; yours brought {actual}.",
            counted_as(*guesses, "guess", "guesses"),
            marks_about(*expected)
        ),
        Seen::Late {
            question, planned, ..
        } => format!(
            "The plan was to have question {question} done after {}. Next time, check the clock there. Leave anything you're stuck on for later.",
            roughly(*planned)
        ),
        Seen::Kept { .. } => "You kept to your pace plan. Well done.".to_owned(),
        Seen::SecondPass { .. } => {
            "Going back to questions you'd left brought you marks. That's a good habit.".to_owned()
        }
        Seen::AllRight {
            section,
            right,
            guessed: 0,
            timed: true,
        } => format!(
            "You got all {right} questions in section {section} right. That was careful work."
        ),
        Seen::AllRight { section, right, .. } => {
            format!("You got all {right} questions in section {section} right.")
        }
        Seen::NoBlank { timed: false, .. } => {
            "Every question has an answer. Keep doing that.".to_owned()
        }
        Seen::NoBlank { .. } => {
            "Every question had an answer before time was up. Keep doing that.".to_owned()
        }
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
        format!("there's time for {} too", questions_within(gaining))
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
        "If you could rule out some options, choosing one may have been worth it.".to_owned()
    } else {
        let gaining = questions_within(&blind.gaining);
        format!(
            "Next time, fill {gaining} {when}. Fill the others only if you can rule some options out."
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
        format!("You finished with {left} left. Next time, use it to check your answers.")
    } else {
        let on = questions_within(questions);
        format!(
            "You finished with {left} left. Next time, spend it on {on}: there were marks to gain there."
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
                    time_in_words(block.time)
                )
            });
            Some(format!(
                "Entered together from the printed paper, so they have no times of their own: {}.",
                each.collect::<Vec<_>>().join("; ")
            ))
        }
        Trust::Withheld { batched, asked, .. } => Some(format!(
            "{batched} of {asked} questions were entered in batches from the printed paper, so no question's time is shown. The times can be used if the pupil types each question's number on starting it.",
        )),
        Trust::NoTimes => Some(
            "The answers were typed in from paper afterwards, so there are no times.".to_owned(),
        ),
    }
}

fn share(limits: &Thresholds, limit: Limit) -> String {
    in_percent(short(limits.get(limit).to_f64() * 100.0, 1))
}

fn long_threshold(limits: &Thresholds) -> String {
    format!(
        "Threshold: over {} times the plan, and over it by {}.",
        limits.get(Limit::LongTimes),
        time_in_words(limits.span(Limit::LongOverSeconds)),
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
        PriceFrom::Group => "from the group's share right and times",
        PriceFrom::Default => "assuming 1 in 4 right in the planned time",
        PriceFrom::Own => "from this pupil's own share right and the planned time",
    }
}

/// What is said beside checkpoints that were kept in a hurry.
pub(super) const BUT_HURRIED: &str =
    ", but at a pace that left time unused or ran far ahead of the plan";

/// What blind guesses on some questions are worth on average, apart where they gain and where they do not.
fn blind(questions: &[QuestionNo], worth: &Blind) -> String {
    let rest = if worth.rest <= -0.25 {
        format!("would lose about {} on average", marks_about(-worth.rest))
    } else if worth.rest < 0.0 {
        "would lose a little on average".to_owned()
    } else {
        "would bring nothing on average".to_owned()
    };
    let on_all = match questions {
        [_] => "A blind guess on it",
        _ => "Blind guesses on them",
    };
    if worth.gaining.is_empty() {
        return format!("{on_all} {rest}.");
    }
    let gain = marks_to_a_tenth(worth.gain);
    if worth.gaining == questions {
        return format!("{on_all} would bring about {gain} on average.");
    }
    let on = q_list(&worth.gaining);
    format!("Blind guesses on {on} would bring about {gain} on average; on the others they {rest}.")
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
        [one, two, ..] => format!("Questions like {one} and {two} were"),
        [] => "Other questions were".to_owned(),
    }
}
