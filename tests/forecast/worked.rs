//! Figures that an independent implementation of the same model worked out, held to a millionth.
//!
//! Twenty-five questions of 4, 5 and 7 marks (1-10, 11-20, 21-25) with five options; the group says nothing.

use chrono::{DateTime, TimeDelta};
use pacebell::analysis::evidence::{Done, Evidence, Seen, Timing, place};
use pacebell::analysis::{Totals, Trust};
use pacebell::domain::header::Alias;
use pacebell::domain::mark::Mark;
use pacebell::domain::paper::{Paper, PaperId};
use pacebell::domain::rule::QuestionNo;
use pacebell::domain::thresholds::Thresholds;
use pacebell::season::estimate::Estimates;
use pacebell::season::familiarity::MetInPractice;
use pacebell::season::forecast::{Forecast, ahead};
use pacebell::season::model::{Filling, Priors, Response, responses};
use pacebell::season::plan::{Goal, Plan};
use pacebell::stats::ability::{Difficulty, chance};

use crate::papers;

const FIRST: &str = "RRRRRRRRRRRRRWRLRWLWLUUUU";
const SECOND: &str = "RRRRRRRRWRRRRRWRRLWRWWUUU";
const THIRD: &str = "RRRRRRRRRRRRRRRRRWRLRWRGG";

/// An even share of an hour, in seconds.
const SHARE: f64 = 144.0;

pub(crate) fn paper(title: &str) -> Paper {
    with_losses(title, ["0", "0"])
}

/// What a wrong answer gives in the second section and in the third.
fn with_losses(title: &str, [second, third]: [&str; 2]) -> Paper {
    papers::paper(
        title,
        60,
        [
            papers::section(1, 10, ["4", "0", "0"]),
            papers::section(11, 20, ["5", second, "0"]),
            papers::section(21, 25, ["7", third, "0"]),
        ],
    )
}

/// A sitting by letters: right, wrong, left after a minute, never opened, and a guess in two seconds.
pub(crate) fn sitting(codes: &str, title: &str, week: i64) -> Evidence {
    let seen = |(index, code): (usize, char)| {
        let number = QuestionNo::from_index(index);
        let (done, seconds) = match code {
            'R' => (Done::Right, 60.0),
            'W' => (Done::Wrong, 60.0),
            'L' => (Done::Blank, 60.0),
            'U' => (Done::Blank, 0.0),
            _ => (Done::Guessed, 2.0),
        };
        Seen {
            number,
            place: place(number, 25),
            done,
            seconds: Some(seconds),
        }
    };
    let first = DateTime::parse_from_rfc3339("2026-09-05T09:00:00+00:00").unwrap();
    Evidence {
        sitting: format!("sitting-{week}"),
        pupil: otter(),
        paper: PaperId::of(&paper(title).outline),
        started: first + TimeDelta::weeks(week),
        not_whole: None,
        timing: Timing {
            share: SHARE,
            extra_percent: Mark::ZERO,
            trust: Trust::Own,
            glance: 10.0,
            early: false,
        },
        totals: Totals {
            in_time: Mark::ZERO,
            with_guess_round: None,
            max: Mark::whole(125),
        },
        answers: codes.chars().enumerate().map(seen).collect(),
        texts: std::collections::BTreeMap::new(),
    }
}

fn otter() -> Alias {
    Alias::new("otter").unwrap()
}

/// Three sittings, on papers of these titles.
pub(crate) fn three(titles: [&str; 3]) -> Vec<Evidence> {
    let sat = [FIRST, SECOND, THIRD].into_iter().zip(titles).zip(0..);
    sat.map(|((codes, title), week)| sitting(codes, title, week))
        .collect()
}

pub(crate) fn estimates(evidence: &[Evidence], asked: &Paper) -> Estimates {
    Estimates::new(&otter(), asked, evidence, &MetInPractice::default()).unwrap()
}

#[track_caller]
fn near(found: f64, worked: f64) {
    assert!((found - worked).abs() < 1e-6, "{found} {worked}");
}

#[track_caller]
fn all_near(found: &[f64], worked: &[f64]) {
    assert_eq!(found.len(), worked.len());
    for (found, worked) in found.iter().zip(worked) {
        near(*found, *worked);
    }
}

/// What a forecast says: mean, SD, range, and the chances of 54, 76 and 97 marks.
#[track_caller]
fn says(forecast: &Forecast, (mean, sd): (f64, f64), range: (i64, i64), chances: [f64; 3]) {
    let (expected, spread) = forecast.expected();
    near(expected, mean);
    near(spread, sd);
    let whole = (Mark::whole(range.0), Mark::whole(range.1));
    assert_eq!(forecast.range(), Some(whole));
    let found = [54, 76, 97].map(|mark| forecast.chance_of(Mark::whole(mark)));
    all_near(&found, &chances);
}

#[test]
fn the_chance_of_a_question_is_averaged_over_what_is_not_known_of_it() {
    let question = Difficulty {
        mean: -0.5,
        sd: 0.7,
    };
    near(chance(0.3, question), 0.673_387_125);
}

#[test]
fn what_was_cut_off_by_the_bell_was_not_got_to() {
    for (codes, became, reach) in [
        (FIRST, "RRRRRRRRRRRRRWRLRWLWUUUUU", 0.80),
        (SECOND, SECOND, 0.88),
        (THIRD, "RRRRRRRRRRRRRRRRRWRLRWRUU", 0.92),
    ] {
        let found = responses(&sitting(codes, "a", 0));
        let letters = found.iter().map(|own| match own {
            Response::Right => 'R',
            Response::Wrong => 'W',
            Response::Left { .. } => 'L',
            Response::Unreached { .. } => 'U',
        });
        assert_eq!(letters.collect::<String>(), became);
        let reached = found.iter().filter(|own| own.is_reached()).count();
        near(f64::from(u32::try_from(reached).unwrap()) / 25.0, reach);
    }
}

#[test]
fn before_any_sitting_the_priors_speak() {
    let asked = paper("t");
    let found = estimates(&[], &asked);
    let (level, sd) = found.model.level.mean_and_sd();
    all_near(&[level, sd], &[0.0, 1.499_293_322]);
    all_near(&found.model.level.day_weights(), &[0.33, 0.34, 0.23, 0.1]);
    all_near(
        &ahead(&asked, &found).unwrap().reaches,
        &[0.553_671_372, 0.737_556_627, 0.85, 0.962_443_373, 1.0],
    );
    says(
        &Forecast::new(&asked, &found).unwrap(),
        (62.059_621_773, 25.684_141_287),
        (28, 97),
        [0.617_736_289, 0.304_443_393, 0.104_214_155],
    );
}

#[test]
fn after_one_sitting() {
    let asked = paper("t");
    let found = estimates(&[sitting(FIRST, "a", 0)], &asked);
    let level = &found.model.level;
    let (mean, sd) = level.mean_and_sd();
    all_near(&[mean, sd], &[0.639_363_681, 0.687_841_774]);
    all_near(
        &level.day_weights(),
        &[0.340_162_310, 0.345_924_926, 0.224_447_451, 0.089_465_313],
    );
    let habits = found.model.habits;
    all_near(
        &[habits.fill, habits.left, habits.wrong],
        &[0.25, 0.25, 5.0 / 9.0],
    );
    let reaches = ahead(&asked, &found).unwrap().reaches;
    all_near(
        &reaches,
        &[
            0.671_040_385,
            0.754_590_320,
            0.804_504_344,
            0.857_153_243,
            0.939_994_559,
        ],
    );
    says(
        &Forecast::new(&asked, &found).unwrap(),
        (69.786_251_408, 16.021_463_586),
        (49, 90),
        [0.843_286_563, 0.353_068_879, 0.050_535_030],
    );
}

#[test]
fn after_three_sittings_of_three_papers() {
    let asked = paper("t");
    let found = estimates(&three(["a", "b", "c"]), &asked);
    let level = &found.model.level;
    let (mean, sd) = level.mean_and_sd();
    all_near(&[mean, sd], &[1.066_489_847, 0.433_157_101]);
    all_near(
        &level.day_weights(),
        &[0.374_496_458, 0.366_241_514, 0.201_664_888, 0.057_597_141],
    );
    let habits = found.model.habits;
    all_near(
        &[habits.fill, habits.left, habits.wrong],
        &[0.375, 1.0 / 6.0, 2.0 / 3.0],
    );
    let ahead = ahead(&asked, &found).unwrap();
    all_near(
        &ahead.reaches,
        &[
            0.753_989_938,
            0.823_072_521,
            0.865_928_431,
            0.908_675_926,
            0.978_397_236,
        ],
    );
    let right = ahead.right(&ahead.in_order());
    all_near(
        &[right[0].1, right[12].1, right[24].1],
        &[0.957_670_350, 0.795_242_948, 0.107_854_189],
    );
    says(
        &Forecast::new(&asked, &found).unwrap(),
        (80.875_307_692, 14.168_025_954),
        (62, 99),
        [0.970_126_627, 0.646_403_476, 0.140_029_482],
    );
}

/// The third sitting asks the first one's questions again: they count as easier, and the pupil as less good.
#[test]
fn a_paper_sat_again_says_less() {
    let asked = paper("t");
    let found = estimates(&three(["a", "b", "a"]), &asked);
    let (mean, sd) = found.model.level.mean_and_sd();
    all_near(&[mean, sd], &[0.973_036_152, 0.435_291_771]);
    says(
        &Forecast::new(&asked, &found).unwrap(),
        (79.606_096_397, 14.215_303_625),
        (61, 99),
        [0.963_721_233, 0.611_753_709, 0.121_481_844],
    );
}

/// With the whole paper met the forecast leads with new questions, and the other figure stands beside it.
#[test]
fn a_paper_that_was_met_is_forecast_as_new_and_as_met() {
    let asked = paper("a");
    let found = estimates(&three(["a", "b", "c"]), &asked);
    assert_eq!((found.familiarity.met, found.familiarity.asked), (25, 25));
    let forecast = Forecast::new(&asked, &found).unwrap();
    near(forecast.expected().0, 80.875_307_692);
    near(forecast.met_expected.unwrap(), 83.971_212_599);
    let met = found.model.before(&asked, &found.scale, false).unwrap();
    let marks = met.marks(&met.in_order(), Filling::Usual, None).unwrap();
    near(marks.sd(), 14.161_143_563);
    assert_eq!(
        (marks.quantile(0.1), marks.quantile(0.9)),
        (Some(66), Some(102))
    );
    let chances = [54, 76, 97].map(|mark| marks.at_least(mark));
    all_near(&chances, &[0.981_694_971, 0.723_394_711, 0.197_339_001]);
    let new = Forecast::new(
        &paper("t"),
        &estimates(&three(["a", "b", "c"]), &paper("t")),
    );
    assert_eq!(new.unwrap().met_expected, None);
}

#[test]
fn wrong_answers_that_lose_marks_are_taken_off() {
    let asked = with_losses("t", ["-1", "-2"]);
    says(
        &Forecast::new(&asked, &estimates(&three(["a", "b", "c"]), &asked)).unwrap(),
        (75.754_259_170, 15.592_132_752),
        (56, 96),
        [0.921_384_979, 0.505_975_316, 0.094_891_288],
    );
}

/// Times of 144 (0.2 + 1.6 place), as nothing else is known: the sittings' times cannot be trusted here.
#[test]
fn a_plan_in_order_is_the_forecast_and_says_what_filling_and_choosing_would_bring() {
    let asked = paper("t");
    let mut found = estimates(&three(["a", "b", "c"]), &asked);
    for (time, number) in found.times.questions.iter_mut().zip(1..) {
        time.seconds = SHARE * (0.2 + 1.6 * (f64::from(number) - 0.5) / 25.0);
    }
    let plan = Plan::new(&asked, &found, Goal::Marks, &Thresholds::default()).unwrap();
    near(plan.expected(&plan.in_order), 80.875_307_692);
    near(plan.filling().unwrap(), 4.157_789_167);
    near(plan.other.gain, 0.186_548_373);
    near(plan.other.sd, 0.459_553_599);
    let first: Vec<u16> = plan.other.first.iter().map(|number| number.0).collect();
    assert_eq!(
        first,
        [&(1..=18).collect::<Vec<_>>()[..], &[21, 22]].concat()
    );
    assert!(!plan.other.offered);
    assert_eq!(plan.best, plan.in_order);
}

/// Sets a constant otherwise.
type Spoil = fn(&mut Priors);

/// A constant that nothing reads would be believed and never used: each one moves the mark or its spread, and so is
/// held by the figures above.
#[test]
fn every_constant_moves_the_forecast() {
    let asked = paper("b");
    // Half of its questions are new to otter, so that those met before count as easier.
    let mut season = three(["a", "b", "a"]);
    season[1].answers.truncate(12);
    let of = |spoil: Spoil| {
        let mut priors = Priors::default();
        spoil(&mut priors);
        let found = Estimates::with(
            &priors,
            &otter(),
            &asked,
            &season,
            &MetInPractice::default(),
        )
        .unwrap();
        Forecast::new(&asked, &found).unwrap().expected()
    };
    let (mean, sd) = of(|_| {});
    let spoilt: [(&str, Spoil); 17] = [
        ("level", |own| own.level.0 += 1.0),
        ("level's SD", |own| own.level.1 = 0.7),
        ("days doubled", |own| {
            own.days = own.days.map(|(sd, weight)| (2.0 * sd, weight));
        }),
        ("days' weights", |own| {
            own.days = own.days.map(|(sd, _)| (sd, 0.25));
        }),
        ("paper", |own| own.paper = 0.6),
        ("no growth", |own| own.growth.0 = 0.0),
        ("growth's SD", |own| own.growth.1 = 0.2),
        ("no practice", |own| own.practice = [0.0; 3]),
        ("met", |own| own.met.0 = 0.75),
        ("met's SD", |own| own.met.1 = 0.75),
        ("two logits harder", |own| own.difficulty.first += 2.0),
        ("slope", |own| own.difficulty.slope += 2.0),
        ("difficulty's SD", |own| own.difficulty.sd = 1.4),
        ("reach", |own| own.reach = (0.6, 0.1, 0.07)),
        ("reach's day", |own| own.reach.2 = 0.2),
        ("filling", |own| own.habits.fill = (9.0, 1.0)),
        ("leaving", |own| {
            own.habits.left = (9.0, 1.0);
            own.habits.wrong = (1.0, 9.0);
        }),
    ];
    for (name, spoil) in spoilt {
        let (other, spread) = of(spoil);
        let moved = (other - mean).abs().max((spread - sd).abs());
        assert!(moved > 0.05, "{name}: {other} {spread}, {mean} {sd}");
    }
}
