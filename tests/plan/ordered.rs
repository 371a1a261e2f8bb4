//! Another order than the paper's: offered only where the group has measured the questions and it clearly pays.

use pacebell::analysis::evidence::{Done, Evidence};
use pacebell::domain::header::Alias;
use pacebell::domain::paper::Paper;
use pacebell::domain::thresholds::Thresholds;
use pacebell::season::estimate::Estimates;
use pacebell::season::familiarity::MetInPractice;
use pacebell::season::plan::{Goal, Plan};
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;

use crate::season::Pupil;
use crate::season::{curve, deviate, evidence, happens, sample, share};

/// Forty others on a paper whose middle is far too hard and whose end is easy: nobody's place says so.
fn others(paper: &Paper) -> Vec<Evidence> {
    let mut random = ChaCha8Rng::seed_from_u64(4);
    let one = |number: usize, random: &mut ChaCha8Rng| {
        let level = deviate(random);
        let pupil = Pupil {
            level,
            reach: 9.0,
            pace: 1.0,
            sweeps: 0.0,
        };
        let mut sitting = pupil.sits(25, share(paper), random);
        for (index, (seen, _)) in sitting.iter_mut().enumerate() {
            let hard = match index {
                8..18 => 3.0,
                _ => -1.0,
            };
            seen.done = if happens(random, curve(level - hard)) {
                Done::Right
            } else {
                Done::Wrong
            };
        }
        evidence(&format!("other-{number}"), paper, &sitting)
    };
    (0..40).map(|number| one(number, &mut random)).collect()
}

/// Three sittings of otter's, who gets through about three quarters of a paper.
fn own() -> Vec<Evidence> {
    let mut random = ChaCha8Rng::seed_from_u64(6);
    let pupil = Pupil {
        level: 0.3,
        reach: -0.5,
        pace: 1.0,
        sweeps: 0.0,
    };
    let sat = |number: usize, random: &mut ChaCha8Rng| {
        let mut known = sample("saltmarsh-a.paper.ron");
        known.outline.id = format!("heath-{number}");
        evidence("otter", &known, &pupil.sits(25, share(&known), random))
    };
    (0..3).map(|number| sat(number, &mut random)).collect()
}

fn plan(paper: &Paper, season: &[Evidence]) -> Plan {
    let estimates = Estimates::new(
        &Alias::new("otter").unwrap(),
        paper,
        season,
        &MetInPractice::default(),
    )
    .unwrap();
    Plan::new(paper, &estimates, Goal::Marks, &Thresholds::default()).unwrap()
}

#[test]
fn where_the_group_measured_the_questions_and_it_pays_another_order_is_offered() {
    let paper = sample("saltmarsh-b.paper.ron");
    let season = [own(), others(&paper)].concat();
    let plan = plan(&paper, &season);
    assert!(plan.other.offered, "{:?}", plan.other);
    assert!(plan.other.gain > plan.other.sd.max(0.5));
    assert!((plan.other.promise() - plan.other.gain / 2.0).abs() < 1e-12);
    let gain = plan.expected(&plan.best) - plan.expected(&plan.in_order);
    assert!(
        (gain - plan.other.gain).abs() < 1e-6,
        "{gain} {:?}",
        plan.other
    );
    let said = pacebell::words::plan::order(&plan);
    assert!(
        said.contains("first could bring about") && said.contains("half of what was worked out"),
        "{said}"
    );
    // The hard middle comes last: it is what the plan leaves, and no checkpoint asks for it.
    let left: Vec<u16> = plan
        .pace
        .leave
        .as_ref()
        .unwrap()
        .iter()
        .map(|one| one.0)
        .collect();
    assert!(
        left.iter().all(|number| (9..=18).contains(number)),
        "{left:?}"
    );
    assert!(
        plan.pace
            .checkpoints
            .iter()
            .all(|own| !left.contains(&own.question.0))
    );
}

/// The same difficulties, but by place alone: in order, whatever the figures say.
#[test]
fn where_nobody_measured_the_questions_the_plan_goes_in_order() {
    let paper = sample("saltmarsh-b.paper.ron");
    let plan = plan(&paper, &own());
    assert!(!plan.other.offered && plan.pace.leave.is_none());
    assert_eq!(plan.best, plan.in_order);
    let said = pacebell::words::plan::order(&plan);
    assert!(said.starts_with("Going in order is as good"), "{said}");
}
