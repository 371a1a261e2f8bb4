//! Each sentence from the facts that call for it, and facts from a played sitting.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::*;
use crate::analysis::{Analysis, Studied};
use crate::domain::event::{Ending, Event, How, Stamped};
use crate::domain::header::Header;
use crate::domain::key::Key;
use crate::domain::labels::Label;
use crate::{papers, sat};

fn q(numbers: &[u16]) -> Vec<QuestionNo> {
    numbers.iter().copied().map(QuestionNo).collect()
}

/// Twelve of twenty-five answered, nothing else known.
fn plain() -> Facts {
    Facts {
        questions: 25,
        answered: 12,
        ..Facts::default()
    }
}

/// A stay on a question that was planned for two minutes.
fn stay(question: u16, seconds: u64) -> Long {
    Long {
        question: QuestionNo(question),
        time: Elapsed::seconds(seconds),
        plan: Elapsed::minutes(2),
        only_open: false,
    }
}

fn with(change: impl FnOnce(&mut Facts)) -> Facts {
    let mut facts = plain();
    change(&mut facts);
    facts
}

fn key(change: impl FnOnce(&mut KeyFacts)) -> KeyFacts {
    let mut key = KeyFacts::default();
    change(&mut key);
    key
}

/// What is said where little or nothing is right: never how many were answered.
fn little_right() -> Vec<(Facts, &'static str, &'static str)> {
    vec![
        (
            with(|f| f.key = Some(key(|k| (k.right, k.wrong) = (q(&[2, 5]), q(&[4]))))),
            "You got questions 2 and 5 right.",
            "Try question 4 again.",
        ),
        (
            with(|f| {
                f.key = Some(key(|k| k.wrong = q(&[4])));
                (f.habits.saw_all, f.habits.until_time_up) = (true, true);
            }),
            "You looked at every question.",
            "Try question 4 again.",
        ),
        (
            with(|f| {
                f.key = Some(key(|k| k.wrong = q(&[4])));
                f.habits.until_time_up = true;
            }),
            "You stayed with the paper until time was up.",
            "Try question 4 again.",
        ),
        (
            with(|f| f.key = Some(key(|k| k.wrong = q(&[1, 2])))),
            "You sat down to a paper with a clock. Now you know where to begin.",
            "Try questions 1 and 2 again.",
        ),
    ]
}

/// What is no praise: every question answered where that may cost marks or left time unused, and a wrong answer
/// to a question gone back to.
fn no_praise() -> Vec<(Facts, &'static str, &'static str)> {
    vec![
        (
            with(|f| (f.answered, f.wrong_costs) = (25, true)),
            "You worked by the clock and answered 25 questions.",
            "Tell your tutor which three questions you would like to look at again.",
        ),
        (
            with(|f| {
                f.answered = 25;
                f.habits.unused = Some((Elapsed::minutes(20), q(&[])));
            }),
            "You worked by the clock and answered 25 questions.",
            "You finished with 20 minutes left. Next time, use it to check your answers.",
        ),
        (
            with(|f| {
                f.answered = 25;
                f.habits.unused = Some((Elapsed::minutes(20), q(&[4, 11])));
                f.key = Some(key(|k| (k.right, k.wrong) = (q(&[2, 5]), q(&[4, 11]))));
            }),
            "You got questions 2 and 5 right.",
            "You finished with 20 minutes left. Next time, spend it on questions 4 and 11: there were marks to gain there.",
        ),
        (
            with(|f| {
                f.habits.came_back = q(&[6]);
                f.key = Some(key(|k| (k.right, k.wrong) = (q(&[2, 5]), q(&[6]))));
            }),
            "You got questions 2 and 5 right.",
            "Try question 6 again.",
        ),
    ]
}

/// Facts, what went well, what to do next time.
fn bank() -> Vec<(Facts, &'static str, &'static str)> {
    let worked = "You worked by the clock and answered 12 questions.";
    let ask = "Tell your tutor which three questions you would like to look at again.";
    vec![
        (plain(), worked, ask),
        (
            Facts::default(),
            "You sat down to a paper with a clock. That's a start.",
            ask,
        ),
        (
            with(|f| f.key = Some(key(|k| k.front_right = 25))),
            "Every answer is right.",
            "Next time, try a paper with harder questions.",
        ),
        (
            with(|f| f.habits.swept = q(&[3, 7, 9])),
            "You filled the last 3 blanks before time was up.",
            ask,
        ),
        (
            with(|f| f.key = Some(key(|k| (k.came_back_right, k.wrong) = (q(&[8]), q(&[4]))))),
            "You left question 8, came back and got it right.",
            "Try question 4 again.",
        ),
        (
            with(|f| {
                f.key = Some(key(|k| {
                    (k.front_right, k.wrong) = (7, q(&[8, 9, 12, 13, 14, 15]));
                }));
            }),
            "Questions 1 to 7 are all right.",
            "Try questions 8, 9, 12 and 13 again.",
        ),
        (
            with(|f| f.key = Some(key(|k| k.changed_to_right = q(&[4, 5])))),
            "You looked again at questions 4 and 5 and got them right.",
            "Next time, try a paper with harder questions.",
        ),
        (
            with(|f| f.answered = 25),
            "Every question has an answer.",
            ask,
        ),
        (
            with(|f| f.habits.came_back = q(&[1, 2, 3, 4, 5, 6])),
            "You left 6 questions, came back and answered them.",
            ask,
        ),
        (
            with(|f| f.habits.said = 3),
            "You marked 3 answers as unsure or a guess. That shows what to look at.",
            "Go through the answers that you were not sure of first, with your tutor.",
        ),
        (
            with(|f| {
                f.blanks = q(&[3, 4]);
                f.habits.time_left = Some(Elapsed::minutes(12));
            }),
            worked,
            "You finished with 12 minutes left and 2 questions blank. Next time, use that time for them.",
        ),
        (
            with(|f| {
                f.blanks = q(&[19, 22]);
                f.habits.long_stay = Some(stay(8, 475));
            }),
            worked,
            "Question 8 took 8 minutes. What told you to stay? Next time, leave it sooner and come back.",
        ),
        (
            with(|f| {
                f.blanks = q(&[22]);
                f.wrong_costs = true;
                f.habits.reminder = Elapsed::minutes(3);
            }),
            worked,
            "1 question had no answer in time. Next time, look at the blanks once more before time is up, and answer where you can cross options out.",
        ),
        (
            with(|f| {
                f.blanks = q(&[1, 2, 3, 4, 5, 6]);
                f.habits.reminder = Elapsed::minutes(3);
            }),
            worked,
            "6 questions had no answer in time. Next time, keep the last 3 minutes for the blanks.",
        ),
        (
            with(|f| f.blanks = q(&[1])),
            worked,
            "1 question had no answer in time. Next time, fill the blanks before time is up.",
        ),
        (
            with(|f| {
                f.flags = q(&[9]);
                f.habits.time_left = Some(Elapsed::minutes(5));
            }),
            worked,
            "You finished with 5 minutes left. Next time, look at question 9 again first: the flag is still up.",
        ),
    ]
}

#[test]
fn every_sentence_follows_from_its_facts() {
    let all = bank().into_iter().chain(little_right()).chain(no_praise());
    for (facts, good, next) in all {
        assert_eq!(encouraging(&facts), good, "{facts:?}");
        assert_eq!(next_time(&facts), next, "{facts:?}");
    }
}

/// The words a pupil is never shown.
#[test]
fn no_sentence_hurts() {
    for (facts, ..) in bank().into_iter().chain(little_right()) {
        let said = format!("{} {}", encouraging(&facts), next_time(&facts)).to_lowercase();
        for word in [
            "fail", "careless", "weak", "ability", "streak", "points", "wasted",
        ] {
            assert!(!said.contains(word), "{said}");
        }
    }
}

/// Eight questions in sixteen minutes on the screen: the reminder comes at 14:24.
fn header() -> Header {
    let section = papers::section(1, 8, ["1", "0", "0"]);
    sat::header("otter", &papers::paper("Eight", 16, [section]))
}

fn open(question: u16) -> Event {
    Event::Opened(QuestionNo(question))
}

fn answer(question: u16, option: char) -> Event {
    Event::Answered(QuestionNo(question), Label::new(option).unwrap())
}

fn gathered(header: Header, script: Vec<(u64, Event)>, with_key: bool) -> Facts {
    Facts::of(&studied(header, script, with_key))
}

fn studied(header: Header, script: Vec<(u64, Event)>, with_key: bool) -> Studied {
    let header = Arc::new(header);
    let stamp = |(seconds, event)| Stamped {
        at: Elapsed::seconds(seconds),
        utc: header.started.to_utc(),
        event,
    };
    let events: Vec<_> = script.into_iter().map(stamp).collect();
    let key = Key {
        paper: "eight".into(),
        fingerprint: None,
        answers: "AAAAAAAA".chars().filter_map(Label::new).collect(),
        also_right: BTreeMap::new(),
        voids: BTreeMap::new(),
        notes: BTreeMap::new(),
    };
    let analysis = Analysis::of(Arc::clone(&header), events.into(), Arc::default());
    Studied::new(analysis, with_key.then(|| Arc::new(key)))
}

/// What a sweep calls a guess is no doubt of the pupil's; what the pupil says of it later is.
#[test]
fn a_sweeps_guesses_are_no_answers_that_the_pupil_marked() {
    let guess = |at, question| {
        let said = Event::Said(QuestionNo(question), How::Guessed);
        [(at, answer(question, 'B')), (at, said)]
    };
    let said = |more: Vec<(u64, Event)>| {
        let mut script = vec![(0, open(1)), (900, Event::SweepBegun)];
        script.extend(guess(901, 1));
        script.push((902, open(2)));
        script.extend(guess(903, 2));
        script.push((910, Event::SweepLeft));
        script.extend(more);
        gathered(header(), script, false).habits.said
    };
    assert_eq!(said(vec![]), 0);
    // The word of a changed answer is kept.
    assert_eq!(said(guess(920, 2).to_vec()), 0);
    let unsure = Event::Said(QuestionNo(2), How::Unsure);
    assert_eq!(said(vec![(920, unsure.clone())]), 1);
    let again = Event::Said(QuestionNo(2), How::Guessed);
    assert_eq!(said(vec![(920, unsure), (921, again)]), 1);
    let mut rubbed_out = vec![(920, Event::RubbedOut(QuestionNo(2)))];
    rubbed_out.extend(guess(921, 2));
    assert_eq!(said(rubbed_out), 1);
}

#[test]
fn nobody_who_was_away_stayed_with_the_paper() {
    let until = |away: Option<Event>| {
        let due = Elapsed::minutes(16);
        let mut script = vec![(0, open(1))];
        script.extend(away.map(|away| (700, away)));
        script.push((960, Event::TimeUp { due }));
        script.push((970, Event::Closed(Ending::GuessRoundDone)));
        gathered(header(), script, true).habits.until_time_up
    };
    assert!(until(None));
    let slept = Event::Slept {
        span: Elapsed::seconds(600),
        counts: true,
    };
    assert!(!until(Some(slept)));
}

/// 4 marks among five options on each of eight blanks: 6.4, by hand, whatever is crossed out later.
#[test]
fn the_result_says_what_guesses_were_worth_at_time_up() {
    let section = papers::section(1, 8, ["4", "0", "0"]);
    let mut header = sat::header("otter", &papers::paper("Eight", 16, [section]));
    header.paper.rule_checked = Some(crate::domain::paper::RuleChecked {
        on: header.started.date_naive(),
        by: "T.M.".into(),
    });
    let out = |option| Event::CrossedOut(QuestionNo(1), Label::new(option).unwrap());
    let due = Elapsed::minutes(16);
    let script = vec![
        (0, open(1)),
        (960, Event::TimeUp { due }),
        (970, Event::GuessRoundStarted),
        (971, out('A')),
        (972, out('B')),
        (973, out('C')),
        (980, Event::Closed(Ending::GuessRoundDone)),
    ];
    let told = crate::words::result::Ended::tell(&studied(header, script, true), String::new());
    let blocks = told.unwrap().blocks();
    assert_eq!(
        blocks[0].lines,
        ["At time up: 8 blanks. Guesses bring about 6.4 marks on average."]
    );
}

fn script() -> Vec<(u64, Event)> {
    vec![
        (0, open(1)),
        (50, answer(1, 'A')),
        (51, open(2)),
        (70, Event::Skipped(QuestionNo(2))),
        (71, open(3)),
        (600, answer(3, 'B')),
        (601, open(2)),
        (611, answer(2, 'A')),
        (611, Event::Said(QuestionNo(2), How::Unsure)),
        (612, open(4)),
        (620, answer(4, 'C')),
        (630, answer(4, 'A')),
        (631, open(5)),
        (870, answer(5, 'A')),
        (880, open(6)),
        (900, Event::Flagged(QuestionNo(6))),
        (
            960,
            Event::TimeUp {
                due: Elapsed::minutes(16),
            },
        ),
        (970, Event::GuessRoundStarted),
        (971, answer(7, 'A')),
        (980, Event::Closed(Ending::GuessRoundDone)),
    ]
}

#[test]
fn facts_are_gathered_from_events() {
    let facts = gathered(header(), script(), true);
    assert_eq!((facts.questions, facts.answered), (8, 5));
    assert_eq!(facts.blanks, q(&[6, 7, 8]));
    assert_eq!(facts.not_seen, q(&[7, 8]));
    assert_eq!(facts.flags, q(&[6]));
    assert_eq!(facts.habits.swept, q(&[]), "one late answer isn't a sweep");
    assert_eq!(facts.habits.came_back, q(&[2]));
    assert_eq!(facts.habits.said, 1);
    assert_eq!(facts.habits.time_left, None);
    assert!(facts.habits.until_time_up && !facts.habits.saw_all);
    // 71 s to 601 s on question 3, which is wrong; the even pace is two minutes.
    assert_eq!(facts.habits.long_stay, Some(stay(3, 530)));
    let key = facts.key.unwrap();
    assert_eq!(key.front_right, 2);
    assert_eq!(key.right, q(&[1, 2, 4, 5]));
    assert_eq!(key.changed_to_right, q(&[4]));
    assert_eq!(key.came_back_right, q(&[2]));
    assert_eq!(
        key.wrong,
        q(&[3]),
        "a guess after time isn't an answer in time"
    );
}

#[test]
fn without_the_key_or_with_a_printed_paper_less_is_known() {
    assert_eq!(gathered(header(), script(), false).habits.long_stay, None);
    let mut printed = header();
    printed.paper.on_screen = false;
    assert_eq!(gathered(printed, script(), true).habits.long_stay, None);
    let early = vec![
        (0, open(1)),
        (60, answer(1, 'A')),
        (360, Event::Closed(Ending::FinishedEarly)),
    ];
    let facts = gathered(header(), early, false);
    assert_eq!(facts.habits.time_left, Some(Elapsed::minutes(10)));
    assert_eq!(facts.habits.swept, []);
    assert!(!facts.habits.until_time_up);
}

/// Eight questions of the key's option, two of them at once at the end; question 2 was put right so many seconds
/// after its first answer.
fn with_a_slip(header: Header, after: u64, closes: u64) -> Facts {
    let mut script = vec![(0, open(1)), (100, answer(1, 'A')), (100, open(2))];
    script.extend([(180, answer(2, 'B')), (180 + after, answer(2, 'A'))]);
    for question in 3..=6_u16 {
        let at = 200 + u64::from(question - 3) * 100;
        script.extend([(at, open(question)), (at + 90, answer(question, 'A'))]);
    }
    let fills = closes - 20;
    script.extend([(fills, open(7)), (fills + 5, answer(7, 'A'))]);
    script.extend([(fills + 5, open(8)), (fills + 10, answer(8, 'B'))]);
    script.push((closes, Event::Closed(Ending::FinishedEarly)));
    gathered(header, script, true)
}

#[test]
fn a_slip_of_the_keys_is_no_second_look() {
    let looked = |after| with_a_slip(header(), after, 950).key.unwrap();
    assert_eq!(looked(10).changed_to_right, q(&[2]));
    assert_eq!(looked(9).changed_to_right, q(&[]));
    let mut entered = header();
    entered.mode = crate::domain::header::Mode::Entered;
    let typed_in = with_a_slip(entered, 10, 950).key.unwrap();
    assert_eq!(typed_in.changed_to_right, q(&[]));
}

#[test]
fn a_sweep_is_praised_where_each_guess_gains_and_no_time_was_left_unused() {
    let filled = "You filled the last 2 blanks before time was up.";
    assert_eq!(encouraging(&with_a_slip(header(), 10, 950)), filled);
    // Under a rule of 1 and -1 a blind guess loses on average.
    let section = papers::section(1, 8, ["1", "-1", "0"]);
    let costs = sat::header("otter", &papers::paper("Eight", 16, [section]));
    assert_ne!(encouraging(&with_a_slip(costs, 10, 950)), filled);
    // Handed in after 700 of 960 seconds, with question 8 wrong: the time left comes first.
    let facts = with_a_slip(header(), 10, 700);
    assert_ne!(encouraging(&facts), filled);
    assert_eq!(
        next_time(&facts),
        "You finished with 4 minutes left. Next time, spend it on question 8: there were marks to gain there."
    );
}

#[test]
fn beside_a_printed_paper_no_last_minutes_are_named() {
    let next = |on_screen| {
        let mut header = header();
        header.paper.on_screen = on_screen;
        let mut script = vec![(0, open(1))];
        for question in 1..=5_u16 {
            script.push((u64::from(question) * 100, open(question)));
            script.push((u64::from(question) * 100 + 90, answer(question, 'A')));
        }
        let due = Elapsed::minutes(16);
        script.extend([(600, open(6)), (700, open(7)), (800, open(8))]);
        script.extend([
            (960, Event::TimeUp { due }),
            (960, Event::Closed(Ending::TimeUp)),
        ]);
        next_time(&gathered(header, script, true))
    };
    assert!(next(true).contains("keep the last 1 min 36 s"));
    assert!(next(false).ends_with("Next time, fill the blanks before time is up."));
}

#[test]
fn after_stopping_nobody_is_told_what_to_do_better() {
    let next = |ending| {
        let script = vec![
            (0, open(1)),
            (60, answer(1, 'A')),
            (60, open(2)),
            (300, Event::Closed(ending)),
        ];
        next_time(&gathered(header(), script, true))
    };
    assert_eq!(next(Ending::Abandoned), STOPPED);
    assert!(next(Ending::FinishedEarly).starts_with("You finished with"));
}
