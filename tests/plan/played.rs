//! A plan and a forecast are one model: the same pupils, several papers, every way to take them.

use pacebell::domain::header::Alias;
use pacebell::domain::mark::Mark;
use pacebell::domain::paper::Paper;
use pacebell::domain::thresholds::Thresholds;
use pacebell::season::estimate::Estimates;
use pacebell::season::familiarity::MetInPractice;
use pacebell::season::forecast::Forecast;
use pacebell::season::plan::{Goal, Plan};
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;

use crate::season::{Pupil, evidence, sample, share};

/// Each sitting on questions of its own.
fn estimates(paper: &Paper, sittings: usize, random: &mut impl Rng) -> Estimates {
    let pupil = Pupil::drawn(random);
    let sat = |number: usize| {
        let mut known = sample("saltmarsh-a.paper.ron");
        known.outline.id = format!("heath-{number}");
        evidence("otter", &known, &pupil.sits(25, share(&known), random))
    };
    let season: Vec<_> = (0..sittings).map(sat).collect();
    Estimates::new(
        &Alias::new("otter").unwrap(),
        paper,
        &season,
        &MetInPractice::default(),
    )
    .unwrap()
}

fn plan(paper: &Paper, estimates: &Estimates, goal: Goal) -> Plan {
    Plan::new(paper, estimates, goal, &Thresholds::default()).unwrap()
}

#[test]
fn the_mark_in_order_is_the_forecast_for_every_pupil_and_paper() {
    let mut random = ChaCha8Rng::seed_from_u64(21);
    for name in [
        "saltmarsh-a.paper.ron",
        "saltmarsh-b.paper.ron",
        "saltmarsh-old.paper.ron",
    ] {
        let paper = sample(name);
        for sittings in 0..6 {
            let estimates = estimates(&paper, sittings, &mut random);
            let plan = plan(&paper, &estimates, Goal::Marks);
            let forecast = Forecast::new(&paper, &estimates).unwrap();
            let in_order = plan.expected(&plan.in_order);
            assert!((in_order - forecast.expected().0).abs() < 1e-6);
            assert_eq!(plan.range(&plan.in_order), forecast.range());
            assert_eq!(plan.other.offered, plan.best != plan.in_order);
            assert!(plan.expected(&plan.all_filled) >= in_order - 1e-9);
            assert!(plan.other.gain >= 0.0 && plan.other.sd >= 0.0);
            assert!(
                (4..=6).contains(&plan.pace.checkpoints.len()),
                "{:?}",
                plan.pace
            );
        }
    }
}

/// A pupil never has to leave a question that the plan tries before the time that they usually take for it.
#[test]
fn a_question_is_not_left_before_the_pupils_own_time() {
    let paper = sample("saltmarsh-b.paper.ron");
    let mut random = ChaCha8Rng::seed_from_u64(22);
    for sittings in 0..8 {
        let estimates = estimates(&paper, sittings, &mut random);
        let plan = plan(&paper, &estimates, Goal::Marks);
        let Some(leave) = plan.leave_after else {
            continue;
        };
        let tried = plan.tasks.iter().zip(&plan.best.tried);
        for ((task, _), each) in tried.filter(|(_, tried)| **tried).zip(&plan.leave_each) {
            assert!(f64::from(leave) >= task.seconds, "{leave} {task:?}");
            assert!(each.is_none_or(|each| each >= task.seconds), "{task:?}");
        }
        assert_eq!(leave % 30, 0);
    }
}

#[test]
fn where_time_was_left_last_time_there_is_nothing_to_leave() {
    let paper = sample("saltmarsh-b.paper.ron");
    let mut estimates = estimates(&paper, 3, &mut ChaCha8Rng::seed_from_u64(23));
    estimates.counted.time_left = true;
    let plan = plan(&paper, &estimates, Goal::Marks);
    assert_eq!((plan.leave_after, &plan.pace.leave), (None, &None));
    assert!(!plan.other.offered);
    assert!(plan.leave_each.iter().all(Option::is_none));
}

#[test]
fn the_chance_of_an_award_is_that_of_the_forecast() {
    let paper = sample("saltmarsh-old.paper.ron");
    let boundary = Mark::whole(58);
    for seed in [31, 32] {
        let estimates = estimates(&paper, 2, &mut ChaCha8Rng::seed_from_u64(seed));
        let goal = Goal::Award {
            name: "curlew".into(),
            boundary,
        };
        let plan = plan(&paper, &estimates, goal);
        let forecast = Forecast::new(&paper, &estimates).unwrap();
        let chance = plan.in_order.chance.unwrap();
        assert!((chance - forecast.chance_of(boundary)).abs() < 1e-9);
        assert!(plan.all_filled.chance.unwrap() >= chance - 1e-9);
    }
}
