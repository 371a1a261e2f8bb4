//! Estimates drawn from little and from much.

use crate::cohort::prior_means;
use chrono::DateTime;

use super::*;
use crate::analysis::evidence::{Seen, place};
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
        texts: std::collections::BTreeMap::new(),
        pupil: Alias::new(pupil).unwrap(),
        paper: PaperId::of(&paper.outline),
        started: DateTime::parse_from_rfc3339("2026-11-20T09:00:00+00:00").unwrap(),
        full: true,
        share,
        extra_percent: Mark::ZERO,
        trust: Trust::Own,
        answers: (1..=20).map(seen).collect(),
    }
}

fn estimates(paper: &Paper, evidence: &[Evidence]) -> Estimates {
    Estimates::new(&Alias::new("otter").unwrap(), paper, evidence).unwrap()
}

#[test]
fn with_nothing_known_the_default_takes_just_the_time_allowed() {
    let paper = paper("heron");
    let found = estimates(&paper, &[]);
    let sum: f64 = found.times.questions.iter().map(|time| time.seconds).sum();
    assert!((sum - 2400.0).abs() < 1e-6, "{sum}");
    let weights = found.ability.weights;
    assert!((weights.default - 1.0).abs() < 1e-9);
    assert!(
        found
            .times
            .questions
            .iter()
            .all(|time| (time.weights.default - 1.0).abs() < 1e-12)
    );
    assert_eq!(
        (found.sittings, found.full_sittings, found.group_sittings),
        (0, 0, 0)
    );
    assert!((found.sweeps.mean() - 0.5).abs() < 1e-12);
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
    for pair in found.windows(2) {
        assert!(first(&pair[0]).weights.own < first(&pair[1]).weights.own);
        assert!(pair[0].ability.weights.own < pair[1].ability.weights.own);
        assert!(first(&pair[0]).seconds > first(&pair[1]).seconds);
        assert!(pair[0].ability.posterior.mean() < pair[1].ability.posterior.mean());
        assert!(pair[0].attempt_rate.posterior.sd() > pair[1].attempt_rate.posterior.sd());
    }
    assert!(first(&found[0]).weights.group > 0.5);
    for weights in [found[1].ability.weights, first(&found[1]).weights] {
        assert!((weights.own + weights.group + weights.default - 1.0).abs() < 1e-12);
    }
    assert_eq!(
        (
            found[2].sittings,
            found[2].group_sittings,
            found[2].ability.group_pupils
        ),
        (4, 6, 6)
    );
    assert!(found[2].sat_before && found[2].sweeps.mean() < 0.2);
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
    let of = |number: u16| {
        found
            .scale
            .difficulty(&id, QuestionNo(number), place(QuestionNo(number), 20))
    };
    let by_place = prior_means::difficulty(place(QuestionNo(2), 20));
    assert!(
        of(2).mean > by_place.mean + 0.5 && of(2).sd < by_place.sd,
        "{:?}",
        of(2)
    );
    assert!(found.scale.holds(&id));
}
