//! Plans from times and chances that are given, as the planner's own numbers can be checked.

use proptest::prelude::*;

use super::*;

/// Minutes and chances of one plausible pupil (invented).
const PROFILE: [(u32, f64); 25] = [
    (60, 0.97),
    (60, 0.96),
    (90, 0.95),
    (90, 0.94),
    (120, 0.92),
    (120, 0.92),
    (150, 0.88),
    (330, 0.55),
    (150, 0.86),
    (180, 0.82),
    (180, 0.80),
    (360, 0.50),
    (210, 0.74),
    (210, 0.70),
    (240, 0.66),
    (240, 0.58),
    (420, 0.40),
    (270, 0.50),
    (180, 0.62),
    (300, 0.42),
    (360, 0.36),
    (240, 0.45),
    (420, 0.30),
    (480, 0.25),
    (480, 0.22),
];

fn task(number: usize, seconds: u32, chance: f64, marks: [i64; 3]) -> Task {
    let [right, wrong, blank] = marks.map(Mark::whole);
    Task {
        number: QuestionNo::from_index(number),
        seconds,
        chances: vec![chance],
        right,
        wrong,
        blank,
        options: 5,
    }
}

fn profile() -> Vec<Task> {
    PROFILE
        .iter()
        .enumerate()
        .map(|(place, (seconds, p))| task(place, *seconds, *p, [1, 0, 0]))
        .collect()
}

fn plan(tasks: Vec<Task>, minutes: u64, goal: Goal) -> Plan {
    let ends = [10, 15, 20, 25].map(QuestionNo);
    Plan::of_tasks(
        tasks,
        Mark::ZERO,
        Elapsed::minutes(minutes),
        goal,
        0.5,
        &ends,
        &Thresholds::default(),
    )
    .unwrap()
}

/// One minute kept for the sweep (computed independently, no published source).
#[test]
fn a_plan_leaves_what_costs_more_than_it_brings_and_beats_going_in_order() {
    for (minutes, marks, left, in_order, then_blank) in [
        (45, 14.670, "12, 17, 18, 20-25", 14.17, 12.17),
        (60, 15.520, "17, 20, 21, 23-25", 15.05, 13.65),
        (75, 15.940, "21, 23-25", 15.85, 15.05),
    ] {
        let plan = plan(profile(), minutes, Goal::Marks);
        assert_eq!(plan.reserve, 60);
        assert!((plan.expected(&plan.best) - marks).abs() < 1e-9);
        assert!((plan.expected(&plan.in_order) - in_order).abs() < 1e-9);
        assert!((plan.expected(&plan.then_blank) - then_blank).abs() < 1e-9);
        assert_eq!(crate::words::numbers::ranges(&plan.questions(false)), left);
        assert!(
            (4..=6).contains(&plan.pace.checkpoints.len()),
            "{:?}",
            plan.pace
        );
    }
}

#[test]
fn checkpoints_are_few_in_half_minutes_and_sit_at_the_ends_of_sections() {
    let plan = plan(profile(), 60, Goal::Marks);
    let said: Vec<_> = plan
        .pace
        .checkpoints
        .iter()
        .map(|c| (c.question.0, c.minutes.to_string()))
        .collect();
    let said: Vec<_> = said
        .iter()
        .map(|(question, minutes)| (*question, minutes.as_str()))
        .collect();
    assert_eq!(
        said,
        [
            (7, "11.5"),
            (10, "22.5"),
            (15, "42.5"),
            (19, "54"),
            (22, "58")
        ]
    );
    assert_eq!(plan.leave_after.unwrap() % 30, 0);
}

#[test]
fn a_long_paper_with_many_blanks_keeps_three_seconds_for_each() {
    let tasks = (0..50)
        .map(|place| task(place, 120, 0.6, [1, 0, 0]))
        .collect();
    let plan = plan(tasks, 30, Goal::Marks);
    let blanks = u32::try_from(plan.questions(false).len()).unwrap();
    assert!(
        plan.reserve >= blanks * SWEEP_EACH && plan.reserve < blanks * SWEEP_EACH + 60,
        "{} {blanks}",
        plan.reserve
    );
}

#[test]
fn where_a_blind_guess_loses_the_rest_stays_blank() {
    let tasks = vec![task(0, 60, 0.9, [3, -1, 0]), task(1, 4000, 0.9, [3, -1, 0])];
    let plan = plan(tasks, 30, Goal::Marks);
    assert_eq!(plan.best.tried, [true, false]);
    assert!((plan.expected(&plan.best) - 2.6).abs() < 1e-12);
    assert_eq!(
        (plan.best.rest[1], plan.in_order.rest[1]),
        (Rest::Blank, Rest::Blank)
    );
}

/// In half a minute a tenth is kept for the sweep; marks on a very fine grid are refused rather than computed
/// for hours.
#[test]
fn what_is_very_short_or_very_fine_comes_to_an_end() {
    let short = Plan::of_tasks(
        vec![task(0, 60, 0.9, [3, 0, 0])],
        Mark::ZERO,
        Elapsed::seconds(30),
        Goal::Marks,
        0.5,
        &[],
        &Thresholds::default(),
    )
    .unwrap();
    assert_eq!(
        (
            short.reserve,
            short.best.tried[0],
            short.pace.checkpoints.len()
        ),
        (3, false, 0)
    );
    let fine = Task {
        right: "1/999983".parse().unwrap(),
        wrong: Mark::whole(-1),
        ..task(0, 60, 0.9, [3, 0, 0])
    };
    assert_eq!(
        Plan::of_tasks(
            vec![fine],
            Mark::ZERO,
            Elapsed::minutes(30),
            Goal::Marks,
            0.5,
            &[],
            &Thresholds::default(),
        ),
        None
    );
}

/// A boundary on a finer grid than the marks is reached by the next step up.
#[test]
fn steps_round_up_to_the_boundary() {
    let mark = |text: &str| text.parse::<Mark>().unwrap();
    assert_eq!(steps_to_reach(mark("7"), 2), 14);
    assert_eq!(steps_to_reach(mark("7.5"), 1), 8);
    assert_eq!(steps_to_reach(mark("-7.5"), 1), -7);
    assert_eq!(steps_to_reach(mark("1/3"), 4), 2);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(32))]

    /// Marks and award, held against every way to take the paper.
    #[test]
    fn no_other_way_brings_more_or_is_likelier(
        pieces in prop::collection::vec((10u32..400, 0.0f64..=1.0, 1i64..8, -2i64..1, 0i64..2), 1..8),
        line in 0i64..25,
    ) {
        let tasks: Vec<Task> = pieces.iter().enumerate()
            .map(|(place, &(seconds, p, right, wrong, blank))| task(place, seconds, p, [right.max(blank + 1), wrong, blank]))
            .collect();
        let budget = 10 * 60 - 60;
        let (mut most, mut likeliest) = (f64::MIN, 0.0_f64);
        for way in 0..3_usize.pow(u32::try_from(tasks.len()).unwrap()) {
            let (mut used, mut total, mut rest) = (0, Distribution::certain(0), way);
            for task in &tasks {
                let outcomes = match rest % 3 {
                    0 => { used += task.seconds; task.trying(task.chance(), 1) }
                    1 => task.leaving(Rest::Guess, 1),
                    _ => task.leaving(Rest::Blank, 1),
                };
                total = total.with(&outcomes.unwrap()).unwrap();
                rest /= 3;
            }
            if used <= budget {
                most = most.max(total.mean());
                likeliest = likeliest.max(total.at_least(line));
            }
        }
        let marks = plan(tasks.clone(), 10, Goal::Marks);
        prop_assert!((marks.expected(&marks.best) - most).abs() < 1e-9);
        prop_assert!(marks.expected(&marks.best) >= marks.expected(&marks.in_order) - 1e-9);
        let award = plan(tasks, 10, Goal::Award { name: "tern".into(), boundary: Mark::whole(line) });
        prop_assert!((award.best.chance.unwrap()[0] - likeliest).abs() < 1e-9);
        prop_assert_eq!(award.gap, Some(0.0));
    }
}
