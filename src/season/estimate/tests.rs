//! Estimates drawn from little and from much.

use std::collections::BTreeMap;

use crate::cohort::prior_means;
use chrono::DateTime;

use super::*;
use crate::analysis::Totals;
use crate::analysis::evidence::{Done, Seen, Timing, place};
use crate::domain::paper::PaperId;
use crate::domain::rule::QuestionNo;
use crate::papers;

fn paper(id: &str) -> Paper {
    papers::paper(id, 40, [papers::section(1, 20, ["1", "0", "0"])])
}

/// A sitting in which the first `right` are right, the next wrong up to `worked`, the rest blank; each takes
/// `slow` times the default.
fn sitting(pupil: &str, paper: &Paper, right: u16, worked: u16, slow: f64) -> Evidence {
    let share = 120.0;
    let seen = |number: u16| {
        let place = place(QuestionNo(number), 20);
        let done = match number {
            n if n <= right => Done::Right,
            n if n <= worked => Done::Wrong,
            _ => Done::Blank,
        };
        let seconds = (number <= worked).then(|| share * prior_means::time_factor(place) * slow);
        Seen {
            number: QuestionNo(number),
            place,
            done,
            seconds,
        }
    };
    Evidence {
        sitting: String::new(),
        texts: BTreeMap::new(),
        pupil: Alias::new(pupil).unwrap(),
        paper: PaperId::of(&paper.outline),
        started: DateTime::parse_from_rfc3339("2026-11-20T09:00:00+00:00").unwrap(),
        not_whole: None,
        timing: Timing {
            share,
            extra_percent: Mark::ZERO,
            trust: Trust::Own,
            glance: 10.0,
            early: false,
        },
        totals: Totals {
            in_time: Mark::ZERO,
            with_guess_round: None,
            max: Mark::whole(20),
        },
        answers: (1..=20).map(seen).collect(),
    }
}

fn estimates(paper: &Paper, evidence: &[Evidence]) -> Estimates {
    Estimates::new(
        &Alias::new("otter").unwrap(),
        paper,
        evidence,
        &MetInPractice::default(),
    )
    .unwrap()
}

#[test]
fn with_nothing_known_the_default_takes_just_the_time_allowed() {
    let paper = paper("heron");
    let found = estimates(&paper, &[]);
    let sum: f64 = found.times.questions.iter().map(|time| time.seconds).sum();
    assert!((sum - 2400.0).abs() < 1e-6, "{sum}");
    assert!((found.weights.default - 1.0).abs() < 1e-3);
    let weights = found.times.questions.iter().map(|time| time.weights);
    assert!(
        weights
            .into_iter()
            .all(|own| (own.default - 1.0).abs() < 1e-12)
    );
    assert_eq!(
        (found.counted, found.group_sittings),
        (Counted::default(), 0)
    );
    assert!((found.model.habits.fill - 0.5).abs() < 1e-12);
}

#[test]
fn more_sittings_weigh_more_and_draw_further_from_the_group() {
    let paper = paper("heron");
    let group: Vec<_> = (0..6)
        .map(|n| sitting(&format!("g{n}"), &paper, 8 + n, 14 + n % 3, 1.5))
        .collect();
    let with = |own: usize| {
        let own = (0..own).map(|_| sitting("otter", &paper, 14, 16, 0.7));
        estimates(
            &paper,
            &group.iter().cloned().chain(own).collect::<Vec<_>>(),
        )
    };
    let found = [with(0), with(1), with(4)];
    let first = |found: &Estimates| found.times.questions[4];
    let level = |found: &Estimates| found.model.level.mean_and_sd().0;
    for pair in found.windows(2) {
        assert!(first(&pair[0]).weights.own < first(&pair[1]).weights.own);
        assert!(pair[0].weights.own < pair[1].weights.own);
        assert!(first(&pair[0]).seconds > first(&pair[1]).seconds);
        assert!(level(&pair[0]) < level(&pair[1]));
    }
    assert!(first(&found[0]).weights.group > 0.5);
    for weights in [found[1].weights, first(&found[1]).weights] {
        assert!((weights.own + weights.group + weights.default - 1.0).abs() < 1e-12);
    }
    assert_eq!(
        (
            found[2].counted.whole,
            found[2].counted.fresh,
            found[2].group_sittings,
            found[2].group_pupils
        ),
        (4, 1, 6, 6)
    );
    assert!(found[2].familiarity.is_sat_before() && found[2].model.habits.fill < 0.2);
}

/// The weight that is printed is the one that is used: the mean of times moves by so much of what the pupil's own
/// times move, in logarithms, but for what their spread moves.
#[test]
fn the_weight_of_the_pupils_own_times_is_the_one_that_is_used() {
    let paper = paper("heron");
    let group = [sitting("g", &paper, 8, 14, 1.5)];
    let with = |slow: f64| {
        let own = sitting("otter", &paper, 14, 20, slow);
        let found = estimates(&paper, &[group[0].clone(), own]);
        found.times.questions
    };
    for (one, other) in with(1.0).iter().zip(with(1.1)) {
        let moved = (other.seconds / one.seconds).ln() / 1.1_f64.ln();
        assert!((moved - one.weights.own).abs() < 0.01, "{moved} {one:?}");
    }
}

/// The same for the level, as far as the posterior is normal: the group's mean and the pupil's own, by their weights.
#[test]
fn the_weight_of_the_pupils_own_answers_is_the_one_that_is_used() {
    let paper = paper("heron");
    let level = |mean: f64| {
        let priors = Priors {
            level: (mean, 1.5),
            ..Priors::default()
        };
        let own: Vec<_> = (0..3)
            .map(|_| sitting("otter", &paper, 10, 16, 1.0))
            .collect();
        let own: Vec<_> = own.iter().collect();
        let none = MetInPractice::default();
        let model = PupilModel::new(
            &own,
            none.met_by(&own[0].pupil),
            &DifficultyScale::default(),
            &priors,
        )
        .unwrap();
        (model.level.mean_and_sd().0, weights(&model, 0))
    };
    let ((low, weights), (high, _)) = (level(-0.2), level(0.2));
    let of_prior = (high - low) / 0.4;
    assert!(
        (of_prior - weights.default).abs() < 0.02,
        "{of_prior} {weights:?}"
    );
}

/// A part of a paper and one with the time cut short say which questions were met, and nothing else.
#[test]
fn what_is_not_whole_counts_for_what_was_met_only() {
    let asked = paper("heron");
    let part = Evidence {
        not_whole: Some(Exclusion::Part),
        ..sitting("otter", &asked, 20, 20, 1.0)
    };
    let found = estimates(&asked, std::slice::from_ref(&part));
    assert_eq!(
        (
            found.counted.marked,
            found.counted.whole,
            found.counted.left_out.as_slice()
        ),
        (1, 0, [Exclusion::Part].as_slice())
    );
    assert!(found.model.level.mean_and_sd().0.abs() < 1e-9);
    assert_eq!(found.familiarity.met, 20);
    assert!(!found.are_enough());
}

/// Papers that take the pupil's mark for different mosts are averaged as shares.
#[test]
fn the_plain_average_is_of_shares_of_the_most() {
    let whole = Mark::whole;
    let counted = Counted {
        marks: vec![(whole(10), whole(20)), (whole(30), whole(40))],
        ..Counted::default()
    };
    assert!((counted.average_of(whole(80)).unwrap() - 50.0).abs() < 1e-12);
    assert_eq!(Counted::default().average_of(whole(80)), None);
}

/// Answers in perfect order cannot be calibrated, and too few pupils are not; both are said.
#[test]
fn where_the_group_cannot_be_calibrated_the_reason_is_kept() {
    let paper = paper("heron");
    let few = estimates(&paper, &[sitting("g", &paper, 5, 9, 1.0)]);
    assert_eq!(few.scale.people, 0);
    assert!(
        few.scale
            .shortage
            .unwrap()
            .starts_with("only 1 other pupil")
    );
    let ordered: Vec<_> = (0..8)
        .map(|n| sitting(&format!("g{n}"), &paper, 4 + n, 20, 1.0))
        .collect();
    let found = estimates(&paper, &ordered);
    assert!(found.scale.shortage.is_some() && found.scale.people == 0);
}

/// Twelve pupils, each with one of the questions 3 to 14 right out of turn: those that many missed are harder
/// than their place says.
#[test]
fn a_group_that_can_be_calibrated_moves_the_difficulties() {
    let paper = paper("heron");
    let mut group: Vec<_> = (0..12_u16)
        .map(|n| sitting(&format!("g{n}"), &paper, 3 + n, 20, 1.0))
        .collect();
    for (n, one) in group.iter_mut().enumerate() {
        one.answers[1].done = if n % 3 == 0 { Done::Right } else { Done::Wrong };
        one.answers[19 - n].done = Done::Right;
        one.answers[0].done = if n == 5 { Done::Wrong } else { Done::Right };
    }
    let found = estimates(&paper, &group);
    assert_eq!(found.scale.shortage, None);
    let id = PaperId::of(&paper.outline);
    let of = |number: u16| found.scale.measured(&id, QuestionNo(number)).unwrap();
    let by_place = prior_means::difficulty(place(QuestionNo(2), 20));
    assert!(
        of(2).mean > by_place.mean + 0.5 && of(2).sd < by_place.sd,
        "{:?}",
        of(2)
    );
    assert!(found.scale.holds(&id));
}
