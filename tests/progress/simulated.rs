//! Simulated pupils whose truth is known: what a range of a mark holds, and how often a page that has nothing to tell
//! names a direction.

use chrono::TimeDelta;
use pacebell::domain::event::How;
use pacebell::domain::header::Header;
use pacebell::domain::key::Key;
use pacebell::domain::mark::Mark;
use pacebell::domain::marking::{Answer, Marked, mark as marked};
use pacebell::domain::time::Elapsed;
use pacebell::season::familiarity::MetInPractice;
use pacebell::season::familiarity::Questions;
use pacebell::season::mark_range::{AnotherDay, NextMark};
use pacebell::season::progress::{
    Conditions, Habits, Line, LineMarks, Margin, Of, Progress, Swept, Trend, Verdict,
    luck_taken_out, progress,
};
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

use crate::script::{Part, header, key, label, q};

/// A normal deviate: the sum of twelve uniform ones less six.
pub(crate) fn deviate(random: &mut ChaCha8Rng) -> f64 {
    (0..12).map(|_| random.random::<f64>()).sum::<f64>() - 6.0
}

fn happens(random: &mut ChaCha8Rng, logit: f64) -> bool {
    random.random::<f64>() < 1.0 / (1.0 + (-logit).exp())
}

/// How far a pupil's days lie apart, in logits (SD): the day, the paper, and how far they get.
#[derive(Clone, Copy)]
pub(crate) struct Spread {
    pub(crate) day: f64,
    pub(crate) paper: f64,
    pub(crate) reach: f64,
}

pub(crate) const USUAL: Spread = Spread {
    day: 0.3,
    paper: 0.3,
    reach: 0.5,
};

/// A pupil whose ability is known.
#[derive(Clone, Copy)]
pub(crate) struct Pupil {
    pub(crate) ability: f64,
    reach: f64,
    /// Whether what is not reached is guessed.
    guesses: bool,
}

impl Pupil {
    pub(crate) fn drawn(random: &mut ChaCha8Rng) -> Self {
        Self {
            ability: deviate(random),
            reach: 1.2 * deviate(random),
            guesses: random.random::<f64>() < 0.5,
        }
    }

    /// A sitting on another day, of other questions of the same kind; the key is all A.
    pub(crate) fn sits(
        self,
        questions: u16,
        spread: Spread,
        random: &mut ChaCha8Rng,
    ) -> Vec<Answer> {
        let today = self.ability + spread.day.hypot(spread.paper) * deviate(random);
        let far = self.reach + spread.reach * deviate(random);
        let answer = |number: u16| {
            let place = f64::from(number - 1) / f64::from(questions - 1);
            let worked = happens(random, far + 4.0 - 5.0 * place);
            let hard = 4.0 * place - 2.5 + 0.7 * deviate(random);
            let knows = happens(random, today - hard);
            let lucky = random.random::<f64>() < 0.2;
            let right = if worked { knows } else { lucky };
            let given = (worked || self.guesses).then(|| label(if right { 'A' } else { 'B' }));
            Answer {
                number: q(number),
                given,
                how: given.map(|_| if worked { How::Worked } else { How::Guessed }),
                after_time: false,
            }
        };
        (1..=questions).map(answer).collect()
    }
}

const FREE: &[Part] = &[
    (1, 10, "4", "0", "0"),
    (11, 20, "5", "0", "0"),
    (21, 25, "7", "0", "0"),
];
const PENALTY: &[Part] = &[
    (1, 10, "4", "0", "0"),
    (11, 20, "5", "-1", "0"),
    (21, 25, "7", "-2", "0"),
];
const ONE_MARK: &[Part] = &[(1, 25, "1", "0", "0")];
const HARSH: &[Part] = &[(1, 40, "3", "-4", "0")];

struct Paper {
    header: Header,
    key: Key,
}

impl Paper {
    fn new(parts: &[Part]) -> Self {
        let header = header(60, parts);
        let key = key(&"A".repeat(usize::from(header.paper.questions)));
        Self { header, key }
    }

    fn marks(&self, answers: &[Answer]) -> Marked {
        marked(answers, &self.key, &self.header.paper.rule)
    }

    fn next(&self, after: &Marked) -> Option<NextMark> {
        NextMark::after(after, &self.header.paper)
    }
}

fn share(of: impl Iterator<Item = bool> + Clone) -> f64 {
    let count = |found: usize| f64::from(u32::try_from(found).unwrap());
    count(of.clone().filter(|held| *held).count()) / count(of.count())
}

/// Whether the range after a first sitting holds the next mark: of all, and by thirds of ability.
fn held(parts: &[Part], spread: Spread, pupils: usize, seed: u64) -> (f64, [f64; 3]) {
    let mut random = ChaCha8Rng::seed_from_u64(seed);
    let paper = Paper::new(parts);
    let questions = paper.header.paper.questions;
    let sat = (0..pupils).map(|_| {
        let pupil = Pupil::drawn(&mut random);
        let first = paper.marks(&pupil.sits(questions, spread, &mut random));
        let next = paper
            .marks(&pupil.sits(questions, spread, &mut random))
            .total;
        let (low, high) = paper.next(&first).unwrap().range().unwrap();
        assert!(low < high, "{low} to {high} after {}", first.total);
        (pupil.ability, (low..=high).contains(&next))
    });
    let mut sat: Vec<_> = sat.collect();
    sat.sort_by(|one, other| one.0.total_cmp(&other.0));
    let third = |index: usize| {
        share(
            sat.iter()
                .skip(index * pupils / 3)
                .take(pupils / 3)
                .map(|(_, held)| *held),
        )
    };
    (
        share(sat.iter().map(|(_, held)| *held)),
        [third(0), third(1), third(2)],
    )
}

#[test]
fn eight_in_ten_next_marks_lie_in_the_range() {
    for (name, parts) in [
        ("free", FREE),
        ("penalty", PENALTY),
        ("one mark", ONE_MARK),
        ("harsh", HARSH),
    ] {
        let (all, thirds) = held(parts, USUAL, 400, 7);
        // A tenth of the days' prior are pupils who jump far more than these: the range holds a little more.
        assert!((0.75..=0.87).contains(&all), "{name}: {all}");
        let near = |held: &f64| (0.70..=0.92).contains(held);
        assert!(thirds.iter().all(near), "{name}: {thirds:?}");
    }
}

/// A guess is right 1 time in 5 whatever became of it: the same pupil, lucky or not, has the same range. Nothing worked
/// out is nothing known of the next mark.
#[test]
fn said_guesses_are_chance_on_another_day_and_nothing_else() {
    let paper = Paper::new(&[(1, 40, "1", "0", "0")]);
    let sheet = |guessed: u16, option: char| {
        let answer = |number| Answer {
            number: q(number),
            given: Some(label(if number <= guessed || number % 2 == 0 {
                option
            } else {
                'B'
            })),
            how: Some(if number <= guessed {
                How::Guessed
            } else {
                How::Worked
            }),
            after_time: false,
        };
        paper.marks(&(1..=40).map(answer).collect::<Vec<_>>())
    };
    let day = |marked: &Marked| AnotherDay::after(marked, &paper.header.paper);
    let all = sheet(40, 'A');
    assert_eq!(all.total, Mark::whole(40));
    assert_eq!(day(&all), Some(AnotherDay::OnlyGuesses));
    assert!(paper.next(&all).is_none());
    // Ten guesses bring 2 on average: those that came right are no reason to expect more.
    let guessed = |option| {
        let mut answers: Vec<_> = sheet(10, 'A')
            .questions
            .iter()
            .map(|own| own.answer)
            .collect();
        for own in &mut answers[..10] {
            own.given = Some(label(option));
        }
        paper.marks(&answers)
    };
    let (lucky, unlucky) = (guessed('A'), guessed('B'));
    assert_eq!(lucky.total - unlucky.total, Mark::whole(10));
    assert_eq!(day(&lucky), day(&unlucky));
    assert!(day(&lucky).unwrap().range().is_some());
}

/// Sheets of every kind, empty and full ones and totals below zero among them.
#[test]
fn a_range_is_in_order_has_a_width_and_stays_within_the_paper() {
    let mut random = ChaCha8Rng::seed_from_u64(3);
    for parts in [FREE, PENALTY, ONE_MARK, HARSH] {
        let paper = Paper::new(parts);
        let questions = paper.header.paper.questions;
        let sheet = |of: &mut dyn FnMut() -> Option<char>| {
            let answer = |number| Answer {
                number: q(number),
                given: of().map(label),
                how: Some(How::Worked),
                after_time: false,
            };
            let answers: Vec<_> = (1..=questions).map(answer).collect();
            paper.marks(&answers)
        };
        let (full, empty, lowest) = (
            sheet(&mut || Some('A')),
            sheet(&mut || None),
            sheet(&mut || Some('B')),
        );
        let other = || {
            let chances = (random.random::<f64>(), random.random::<f64>());
            sheet(&mut || match random.random::<f64>() {
                draw if draw < chances.0 => Some('A'),
                draw if draw < chances.0 + chances.1 => Some('B'),
                _ => None,
            })
        };
        let others: Vec<_> = std::iter::repeat_with(other).take(40).collect();
        let least = lowest.total.min(empty.total);
        for marked in [&full, &empty, &lowest].into_iter().chain(&others) {
            let (low, high) = paper.next(marked).unwrap().range().unwrap();
            let told = format!("{low} to {high} after {} of {}", marked.total, full.total);
            assert!(least <= low && low < high && high <= full.total, "{told}");
            assert!((low..=high).contains(&marked.total), "{told}");
        }
    }
}

#[test]
fn a_short_sheet_has_no_range() {
    let paper = Paper::new(&[(1, 9, "1", "0", "0")]);
    let pupil = Pupil::drawn(&mut ChaCha8Rng::seed_from_u64(1));
    let sat = pupil.sits(9, USUAL, &mut ChaCha8Rng::seed_from_u64(1));
    assert_eq!(paper.next(&paper.marks(&sat)), None);
}

/// A pupil's season: `gain` is what ability and reach grow by from one sitting to the next, in logits.
fn season(sittings: u32, gain: f64, spread: Spread, random: &mut ChaCha8Rng) -> Progress {
    let pupil = Pupil::drawn(random);
    let line = |week: u32| {
        // Papers of 125 and of 25 marks, as a tutor mixes them.
        let paper = Paper::new(match week % 3 {
            0 => FREE,
            1 => ONE_MARK,
            _ => PENALTY,
        });
        let outline = &paper.header.paper;
        let now = Pupil {
            ability: pupil.ability + gain * f64::from(week),
            reach: pupil.reach + gain * f64::from(week),
            ..pupil
        };
        let answers = now.sits(25, spread, random);
        let marked = paper.marks(&answers);
        let next = paper.next(&marked);
        let boundary = Mark::from_steps((marked.max * 9).steps(1).unwrap(), 20);
        let blanks = answers.iter().filter(|own| own.given.is_none()).count();
        let sinks = (0..4).filter(|_| random.random::<f64>() < 0.2).count();
        let root = random.random_range(3..=9);
        let swept = Elapsed::seconds(root * root);
        Line {
            sitting: format!("{week}"),
            started: paper.header.started + TimeDelta::weeks(i64::from(week)),
            paper: format!("{week}"),
            title: String::new(),
            questions: Questions::default(),
            asked: 25,
            conditions: Conditions {
                extra_percent: Mark::ZERO,
                only: None,
                own_time: None,
                typed_in: false,
            },
            apart: None,
            marks: Some(LineMarks {
                in_time: marked.total,
                with_guess_round: marked.total,
                worked: marked.total,
                luck_out: luck_taken_out(&marked, &paper.key, outline),
                max: marked.max,
                award: None,
                margins: vec![Margin {
                    award: "dunlin".into(),
                    boundary,
                    over: marked.total - boundary,
                }],
                error: next.as_ref().map(NextMark::standard_error),
                range: AnotherDay::after(&marked, outline),
            }),
            habits: Some(Habits {
                blanks,
                sinks: Some(sinks),
                sweep: (random.random::<f64>() < 0.7).then_some(Swept {
                    filled: 3,
                    took: swept,
                    left: swept,
                    complete: true,
                }),
            }),
            topics: vec![],
            evidence: None,
            causes: vec![],
        }
    };
    progress(
        header(60, FREE).pupil,
        (0..sittings).map(line).collect(),
        &MetInPractice::default(),
    )
}

/// The share of pages that name a direction, of all and of the marks upwards.
fn named(seasons: usize, sittings: u32, gain: f64, spread: Spread, seed: u64) -> (f64, f64) {
    let mut random = ChaCha8Rng::seed_from_u64(seed);
    let pages: Vec<_> = (0..seasons)
        .map(|_| season(sittings, gain, spread, &mut random).trends)
        .collect();
    let rises = |(of, trend): &(Of, Trend)| {
        matches!(of, Of::Margin | Of::LuckOut) && trend.verdict == Verdict::Rising
    };
    let moves =
        |(_, trend): &(Of, Trend)| matches!(trend.verdict, Verdict::Rising | Verdict::Falling);
    (
        share(pages.iter().map(|page| page.iter().any(moves))),
        share(pages.iter().map(|page| page.iter().any(rises))),
    )
}

/// 200 seasons of each length: a sampling error of 1.5 in 100.
#[test]
fn a_season_without_change_seldom_names_a_direction_and_a_great_change_does() {
    for sittings in [3, 6] {
        let (any, _) = named(200, sittings, 0.0, USUAL, 5);
        assert!(any <= 0.05, "{sittings} sittings: {any}");
    }
    let (_, rising) = named(40, 8, 0.6, USUAL, 6);
    assert!(rising >= 0.8, "{rising}");
}

fn told(line: &str) {
    let _ = std::io::Write::write_fmt(&mut std::io::stderr(), format_args!("{line}\n"));
}

/// What DEVELOPERS.md says of ranges and trends.
#[test]
#[ignore = "a campaign of some minutes"]
fn the_rates_of_ranges_and_trends() {
    let wide = Spread { day: 0.6, ..USUAL };
    let none = Spread {
        day: 0.0,
        paper: 0.0,
        reach: 0.0,
    };
    for (name, parts) in [
        ("free", FREE),
        ("penalty", PENALTY),
        ("one mark", ONE_MARK),
        ("harsh", HARSH),
    ] {
        let usual = held(parts, USUAL, 2000, 17);
        let others = [wide, none].map(|spread| held(parts, spread, 2000, 18).0);
        told(&format!(
            "{name}: {usual:.3?}, wide days and none {others:.3?}"
        ));
        assert!((0.75..=0.87).contains(&usual.0), "{name}: {usual:?}");
    }
    for sittings in [3, 4, 6, 10] {
        let usual = named(2000, sittings, 0.0, USUAL, 20).0;
        let spread = named(1000, sittings, 0.0, wide, 21).0;
        let power = [0.1, 0.2, 0.4].map(|gain| named(200, sittings, gain, USUAL, 22).1);
        told(&format!(
            "{sittings} sittings: {usual:.3}, wide days {spread:.3}, power {power:.2?}"
        ));
        assert!(usual <= 0.05, "{sittings} sittings: {usual}");
    }
}
