//! Plans played out by simulated pupils bring what was promised, and never less than going in order.

use pacebell::domain::header::Alias;
use pacebell::domain::mark::Mark;
use pacebell::domain::paper::Paper;
use pacebell::domain::thresholds::Thresholds;
use pacebell::season::estimate::Estimates;
use pacebell::season::plan::{Goal, Outlook, Plan, Rest};
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;

use crate::season::{Pupil, evidence, happens, sample, share};

fn plans(paper: &Paper, sittings: usize, random: &mut impl Rng, goal: Goal) -> Plan {
    let known = sample("saltmarsh-a.paper.ron");
    let pupil = Pupil::drawn(random);
    let season: Vec<_> = (0..sittings)
        .map(|_| evidence("otter", &known, &pupil.sits(25, share(&known), random)))
        .collect();
    let estimates = Estimates::new(&Alias::new("otter").unwrap(), paper, &season).unwrap();
    Plan::new(paper, &estimates, goal, &Thresholds::default()).unwrap()
}

/// One way through the paper by a pupil drawn from what is known of the one planned for.
fn played(plan: &Plan, outlook: &Outlook, case: usize, random: &mut impl Rng) -> f64 {
    let all = plan.tasks.iter().zip(&outlook.tried).zip(&outlook.rest);
    let marks = all.map(|((task, tried), rest)| {
        let guess = 1.0 / f64::from(u32::try_from(task.options).unwrap());
        let chance = match (tried, rest) {
            (true, _) => task.chances[case],
            (false, Rest::Guess) => guess,
            (false, Rest::Blank) => return task.blank,
        };
        if happens(random, chance) {
            task.right
        } else {
            task.wrong
        }
    });
    marks.sum::<Mark>().to_f64()
}

fn campaign(pupils: u64, plays: usize) {
    for (name, seed) in [
        ("saltmarsh-b.paper.ron", 21),
        ("saltmarsh-old.paper.ron", 22),
    ] {
        let paper = sample(name);
        let mut random = ChaCha8Rng::seed_from_u64(seed);
        for pupil in 0..pupils {
            let sittings = usize::try_from(pupil % 4).unwrap();
            let plan = plans(&paper, sittings, &mut random, Goal::Marks);
            let (promised, in_order) = (plan.expected(&plan.best), plan.expected(&plan.in_order));
            assert!(promised >= in_order - 1e-9, "{promised} {in_order}");
            let cases = plan.tasks[0].chances.len();
            let (mut sum, mut squares) = (0.0, 0.0);
            for play in 0..plays {
                let mark = played(&plan, &plan.best, play % cases, &mut random);
                sum += mark;
                squares += mark * mark;
            }
            let count = f64::from(u32::try_from(plays).unwrap());
            let mean = sum / count;
            let error = ((squares / count - mean * mean) / count).sqrt();
            // Four standard errors: one plan in 16,000 would be off by chance.
            assert!(
                (mean - promised).abs() < 4.0 * error,
                "{mean} {promised} {error}"
            );
            let seconds: u32 = plan
                .tasks
                .iter()
                .zip(&plan.best.tried)
                .filter(|(_, tried)| **tried)
                .map(|(task, _)| task.seconds)
                .sum();
            assert!(u64::from(seconds + plan.reserve) <= plan.allowed.as_millis() / 1000);
            assert!(
                (4..=6).contains(&plan.pace.checkpoints.len()),
                "{:?}",
                plan.pace
            );
        }
    }
}

#[test]
fn a_few_plans_bring_what_they_promise() {
    campaign(6, 1500);
}

#[test]
#[ignore = "a campaign of some minutes"]
fn many_plans_bring_what_they_promise() {
    campaign(100, 15_000);
}

#[test]
fn a_plan_for_an_award_is_at_least_as_likely_to_reach_it_as_a_plan_for_marks_and_as_going_in_order()
{
    let paper = sample("saltmarsh-old.paper.ron");
    let boundary = Mark::whole(58);
    for seed in [31, 32] {
        let goal = Goal::Award {
            name: "curlew".into(),
            boundary,
        };
        let award = plans(&paper, 2, &mut ChaCha8Rng::seed_from_u64(seed), goal);
        let marks = plans(&paper, 2, &mut ChaCha8Rng::seed_from_u64(seed), Goal::Marks);
        let line = boundary.steps(award.grid).unwrap();
        let chance = |outlook: &Outlook| outlook.marks.at_least(line);
        assert!(chance(&award.best) >= chance(&marks.best) - 1e-9);
        assert!(chance(&award.best) >= chance(&award.in_order) - 1e-9);
        let gap = award.gap.unwrap();
        assert!((0.0..0.2).contains(&gap), "{gap}");
    }
}
