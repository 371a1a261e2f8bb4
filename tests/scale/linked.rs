//! Papers that other pupils or common questions link, and papers that nothing does.

use std::collections::BTreeMap;

use chrono::TimeDelta;
use pacebell::analysis::evidence::{Done, Evidence, Seen, place};
use pacebell::cohort::scale::equating::MeanEquating;
use pacebell::cohort::scale::{Counting, ItemDifficulty, Lack, ScaleCalibration};
use pacebell::domain::header::Alias;
use pacebell::domain::mark::Mark;
use pacebell::domain::paper::PaperId;
use pacebell::domain::paper::{Fingerprint, Paper};
use pacebell::domain::rule::QuestionNo;
use pacebell::reports::progress::{PracticeReport, Season, json::json, page};
use pacebell::season::familiarity::MetInPractice;
use pacebell::season::progress::{Conditions, Line, LineMarks, Of, OnScale, Progress, progress};
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;

use crate::season::{curve, deviate, evidence, happens, sample};

/// A printed paper of 25 questions worth a mark each, under the name given.
pub(crate) fn paper(id: &str) -> Paper {
    let mut paper = sample("saltmarsh-a.paper.ron");
    paper.outline.id = id.into();
    for section in &mut paper.outline.rule.sections {
        (section.right, section.wrong, section.blank) = (Mark::whole(1), Mark::ZERO, Mark::ZERO);
    }
    paper
}

/// How hard question `number` is in this made-up world, on a paper so much harder.
fn hard(number: u16, harder: f64) -> f64 {
    (f64::from(number) - 13.0) / 6.0 + harder
}

/// A sitting in which these questions are right.
fn sat(pupil: &str, paper: &Paper, right: impl FnMut(u16) -> bool) -> Evidence {
    let mut right = right;
    let seen = |number: u16| Seen {
        number: QuestionNo(number),
        place: place(QuestionNo(number), 25),
        done: if right(number) {
            Done::Right
        } else {
            Done::Wrong
        },
        seconds: None,
    };
    let answers: Vec<_> = (1..=25).map(seen).map(|seen| (seen, false)).collect();
    Evidence {
        sitting: format!("{pupil}-{}", paper.outline.id),
        ..evidence(pupil, paper, &answers)
    }
}

/// The same by chance, for a pupil at `value`.
fn drawn(pupil: &str, paper: &Paper, value: f64, harder: f64, random: &mut ChaCha8Rng) -> Evidence {
    sat(pupil, paper, |number| {
        happens(random, curve(value - hard(number, harder)))
    })
}

/// The first `count` questions and no other.
fn first(pupil: &str, paper: &Paper, count: u16) -> Evidence {
    sat(pupil, paper, |number| number <= count)
}

/// Otter's season over these sittings, a week apart, on one scale with those of others.
fn season(own: &[(Evidence, &Paper)], others: &[Evidence]) -> Progress {
    let mut evidence = others.to_vec();
    let mut lines = Vec::new();
    let mut outlines = BTreeMap::new();
    for ((one, paper), week) in own.iter().zip(0..) {
        let mut one = one.clone();
        one.started += TimeDelta::weeks(week);
        let right = one.answers.iter().filter(|seen| seen.done == Done::Right);
        let mark = Mark::whole(i64::try_from(right.count()).unwrap());
        outlines.insert(one.sitting.clone(), paper.outline.clone());
        lines.push(Line {
            questions: pacebell::season::familiarity::Questions::default(),
            sitting: one.sitting.clone(),
            started: one.started,
            paper: paper.outline.id.clone(),
            title: paper.outline.title.clone(),
            asked: 25,
            conditions: Conditions {
                extra_percent: Mark::ZERO,
                only: None,
                own_time: None,
                typed_in: false,
            },
            apart: None,
            marks: Some(LineMarks {
                in_time: mark,
                with_guess_round: mark,
                worked: mark,
                luck_out: mark,
                max: Mark::whole(25),
                award: None,
                margins: vec![],
                error: Some(2.4),
                range: None,
            }),
            habits: None,
            topics: vec![],
            evidence: None,
            causes: vec![],
        });
        evidence.push(one);
    }
    progress(
        Alias::new("otter").unwrap(),
        lines,
        &MetInPractice::default(),
    )
    .on_scale(&evidence, &outlines)
}

fn scale(progress: &Progress) -> &OnScale {
    progress.scale.as_ref().unwrap()
}

fn flat(progress: &Progress) -> String {
    let page = page(&Season {
        steps: Vec::new(),
        progress: progress.clone(),
        practice: PracticeReport::default(),
        remarks: vec![],
        invented: false,
    });
    for line in page.lines() {
        assert!(line.chars().count() <= 80, "{line}");
    }
    page.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// A made-up pair of papers, the second .6 logits harder, each sat by 60 pupils of whom 40 sat both: the distance
/// is found again within its error, and a mark on the harder paper is worth what the model itself expects.
#[test]
fn a_pair_of_papers_linked_by_pupils_is_found_again() {
    let (easy, harder) = (paper("a"), paper("b"));
    let mut random = ChaCha8Rng::seed_from_u64(41);
    let mut others = Vec::new();
    for pupil in 0..80 {
        let (name, value) = (format!("p{pupil}"), deviate(&mut random));
        if pupil < 60 {
            others.push(drawn(&name, &easy, value, 0.0, &mut random));
        }
        if pupil >= 20 {
            others.push(drawn(&name, &harder, value, 0.6, &mut random));
        }
    }
    let own = [
        (first("otter", &harder, 12), &harder),
        (first("otter", &easy, 14), &easy),
    ];
    let found = season(&own, &others);
    let on = scale(&found);
    assert_eq!((on.people, on.reference.as_str()), (80, "a"));
    assert_eq!(
        (on.papers.as_slice(), &on.shortage),
        (["a".to_owned(), "b".to_owned()].as_slice(), &None)
    );
    let refs: Vec<_> = others.iter().collect();
    let linked =
        ScaleCalibration::new(&refs, &[&PaperId::of(&easy.outline)], Counting::Asked).unwrap();
    let mean = |one: &Evidence| {
        let hard = one
            .answers
            .iter()
            .map(|seen| match linked.difficulty(one, seen.number) {
                Some(ItemDifficulty::Measured(found)) => found.difficulty,
                other => panic!("{other:?}"),
            });
        hard.sum::<f64>() / 25.0
    };
    let (on_easy, on_hard) = (&own[1].0, &own[0].0);
    let error = linked.link_error(on_hard, on_easy).unwrap();
    // Forty pupils with an error of about .45 on each paper: .45 * sqrt(2 / 40) = .10.
    assert!((0.07..0.14).contains(&error), "{error}");
    assert!(linked.link_error(on_easy, on_easy).unwrap() < 1e-9);
    let distance = mean(on_hard) - mean(on_easy);
    assert!((distance - 0.6).abs() < 2.5 * error, "{distance}");
    // What the world itself makes of 12 right on the harder paper, found by halving.
    let expected =
        |value: f64, by: f64| -> f64 { (1..=25).map(|n| curve(value - hard(n, by))).sum() };
    let (mut low, mut high) = (-6.0, 6.0);
    for _ in 0..60 {
        let middle = f64::midpoint(low, high);
        if expected(middle, 0.6) < 12.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    let standing = on.sittings["otter-b"];
    assert!(
        (standing.worth - expected(low, 0.0)).abs() < 1.0,
        "{standing:?}"
    );
    assert!(standing.range.0 < standing.worth && standing.worth < standing.range.1);
    // On its own paper a mark is worth itself, but for Warm's pull from the ends.
    let own = on.sittings["otter-a"];
    assert!((own.worth - 14.0).abs() < 0.2, "{own:?}");
    // The day (.47 logits, the root of the mean square of the days' prior) is in the error of both, the link in that of the other paper's alone.
    for (place, link) in [(own, 0.0), (standing, error)] {
        let at = |by: f64| expected(place.measure.value + by, 0.0);
        let spread = place.measure.error.hypot(0.4655).hypot(link);
        let by_hand = (at(0.01) - at(-0.01)) / 0.02 * spread;
        assert!(
            (place.error / by_hand - 1.0).abs() < 0.1,
            "{place:?} {by_hand}"
        );
    }
    let page = flat(&found);
    assert!(
        page.contains("On one scale: what the worked marks are worth on a (of 25)"),
        "{page}"
    );
    assert!(
        page.contains("From 80 other pupils and 2 papers")
            && page.contains("A practice estimate, not an official result."),
        "{page}"
    );
    assert!(
        page.contains("worth on the latest paper, in marks:")
            && page.contains("two sittings are too few to say"),
        "{page}"
    );
    assert_eq!(found.trends[0].0, Of::Worth);
}

/// The same with no pupil in common and eight questions that stand on both papers: they carry the link.
#[test]
fn common_questions_link_papers_that_no_pupil_shares() {
    let (easy, other) = (paper("a"), paper("b"));
    let mut random = ChaCha8Rng::seed_from_u64(7);
    let mut others = Vec::new();
    for pupil in 0..80 {
        let value = deviate(&mut random);
        let (paper, name) = if pupil % 2 == 0 {
            (&easy, "e")
        } else {
            (&other, "o")
        };
        others.push(drawn(
            &format!("{name}{pupil}"),
            paper,
            value,
            0.0,
            &mut random,
        ));
    }
    let own = [
        (first("otter", &other, 12), &other),
        (first("otter", &easy, 12), &easy),
    ];
    let apart = season(&own, &others);
    assert_eq!(
        (scale(&apart).apart.as_slice(), scale(&apart).people),
        (["b".to_owned()].as_slice(), 40)
    );
    assert!(
        flat(&apart)
            .contains("Not on the scale: b, because no other pupil or question links it to a.")
    );
    assert!(!scale(&apart).sittings.contains_key("otter-b"));
    let shared = |mut one: Evidence| {
        let texts = (9..=16).map(|n| (QuestionNo(n), Fingerprint::of([n.to_string().as_str()])));
        one.texts = texts.collect();
        one
    };
    let others: Vec<_> = others.into_iter().map(shared).collect();
    let linked = season(&own.map(|(one, paper)| (shared(one), paper)), &others);
    let on = scale(&linked);
    assert_eq!((on.people, on.apart.len(), on.shifts.len()), (80, 0, 0));
    let (a, b) = (on.sittings["otter-a"], on.sittings["otter-b"]);
    assert!(
        (a.worth - b.worth).abs() < 2.0 && b.error > a.error,
        "{a:?} {b:?}"
    );
}

#[test]
fn too_few_pupils_and_answers_that_say_nothing_are_told_in_a_sentence() {
    let paper = paper("a");
    let few: Vec<_> = (0..4)
        .map(|n| first(&format!("p{n}"), &paper, 5 + n))
        .collect();
    let own = [(first("otter", &paper, 12), &paper)];
    let found = season(&own, &few);
    assert!(flat(&found).contains("There's no common scale for these papers: only 4 other pupils with marked sittings can be set side by side, and it takes 5."));
    let all: Vec<_> = (0..8)
        .map(|n| first(&format!("p{n}"), &paper, 25))
        .collect();
    let refs: Vec<_> = all.iter().collect();
    let id = PaperId::of(&paper.outline);
    let lack = ScaleCalibration::new(&refs, &[&id], Counting::Asked).unwrap_err();
    assert_eq!(lack, Lack::FewBetween { found: 0 });
    assert!(
        flat(&season(&own, &all)).contains("no other pupil got some questions right and some not")
    );
    // Nobody marked: nothing is said at all.
    assert_eq!(season(&[], &all).scale, None);
    let told: serde_json::Value = serde_json::from_str(
        &json(&Season {
            steps: Vec::new(),
            progress: found,
            practice: PracticeReport::default(),
            remarks: vec![],
            invented: false,
        })
        .unwrap(),
    )
    .unwrap();
    assert_eq!(
        (&told["scale"]["people"], &told["scale"]["reference"]),
        (&0.into(), &"a".into())
    );
    assert!(
        told["sittings"][0]["worth"].is_null()
            && told["scale"]["note"]
                .as_str()
                .unwrap()
                .starts_with("There's no common scale")
    );
}

/// Thirty pupils a paper, none in common. Marks 7 and 13 in turn have the mean 10, marks 9 and 15 the mean 12; both
/// have the variance 9 * 30 / 29. So SE^2 = 2 * 9 / 29 and the weight is 2.25 / (2.25 + SE^2) (arithmetic).
#[test]
fn without_a_link_a_shift_is_drawn_to_none_by_its_error() {
    let (from, to) = (paper("a"), paper("b"));
    let mut others = Vec::new();
    for n in 0..30_u16 {
        others.push(first(
            &format!("f{n}"),
            &from,
            if n % 2 == 0 { 7 } else { 13 },
        ));
        others.push(first(
            &format!("t{n}"),
            &to,
            if n % 2 == 0 { 9 } else { 15 },
        ));
    }
    let own = [
        (first("otter", &from, 12), &from),
        (first("otter", &to, 12), &to),
    ];
    let found = season(&own, &others);
    let [shift] = scale(&found).shifts.as_slice() else {
        panic!("{:?}", scale(&found))
    };
    let square = 2.0 * 9.0 / 29.0;
    assert!((shift.seen - 2.0).abs() < 1e-9 && (shift.error - f64::sqrt(square)).abs() < 1e-9);
    assert!((shift.used - 2.0 * 2.25 / (2.25 + square)).abs() < 1e-9);
    assert_eq!((shift.people, shift.same_pupils), ((30, 30), false));
    assert!(
        flat(&found)
            .contains("a counts as 1.57 questions harder than b: seen 2.00, standard error 0.79"),
        "{}",
        flat(&found)
    );
    let refs: Vec<_> = others.iter().take(8).collect();
    let (from, to) = (PaperId::of(&from.outline), PaperId::of(&to.outline));
    assert_eq!(MeanEquating::between(&refs, &from, &to), None);
}

/// Six papers of 25 sat by the same pupils are 150 questions: they are calibrated in parts that hang together.
#[test]
fn a_long_season_is_calibrated_in_parts() {
    let papers: Vec<_> = (0..6).map(|n| paper(&format!("p{n}"))).collect();
    let mut random = ChaCha8Rng::seed_from_u64(3);
    let mut others = Vec::new();
    for pupil in 0..24 {
        let value = deviate(&mut random);
        for (paper, week) in papers.iter().zip(0..) {
            let mut one = drawn(&format!("o{pupil}"), paper, value, 0.0, &mut random);
            one.started += TimeDelta::weeks(week);
            others.push(one);
        }
    }
    let own: Vec<_> = papers
        .iter()
        .map(|paper| (first("otter", paper, 13), paper))
        .collect();
    let found = season(&own, &others);
    assert_eq!(
        (scale(&found).papers.len(), scale(&found).sittings.len()),
        (6, 6),
        "{:?}",
        scale(&found).shortage
    );
    let (of, trend) = &found.trends[0];
    assert_eq!(*of, Of::Worth);
    // Thirteen right every time: no direction beyond what the made-up papers differ by.
    assert!(trend.slope.abs() < 3.0 * trend.error.unwrap(), "{trend:?}");
}
