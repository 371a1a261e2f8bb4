//! The invented seasons that `demo` makes, by their own simulation: each pupil's last sitting is held out.

use std::collections::BTreeMap;
use std::path::Path;
use std::sync::Arc;

use pacebell::analysis::evidence::Evidence;
use pacebell::analysis::{Analysis, Studied};
use pacebell::domain::mark::Mark;
use pacebell::domain::thresholds::Thresholds;
use pacebell::invented::papers::Sample;
use pacebell::invented::{MOST_SITTINGS, Made, SittingWanted, season};
use pacebell::season::familiarity::MetInPractice;
use pacebell::season::hindsight::{LookBack, Papers};
use pacebell::storage::files;

use crate::cells::{RULES, rules};

/// The evidence of a season, and its papers.
fn evidence(seed: u64, pupils: usize) -> (Vec<Evidence>, Papers) {
    let mut known = BTreeMap::new();
    for [(paper, text), (key, key_text)] in Sample::SEASON.iter().map(Sample::files) {
        let paper = files::paper::from_bytes(Path::new(&paper), text.as_bytes(), None).unwrap();
        let outline = Some(&paper.value.outline);
        let key = files::key::from_bytes(Path::new(&key), key_text.as_bytes(), outline).unwrap();
        let id = paper.value.outline.id.clone();
        known.insert(id, (Arc::new(paper.value), Arc::new(key.value)));
    }
    let wanted = SittingWanted {
        seed,
        pupils,
        sittings: MOST_SITTINGS,
    };
    let (mut all, mut papers) = (Vec::new(), Papers::new());
    let whole = season(wanted).unwrap().into_iter();
    for made in whole.filter(Made::is_whole) {
        let (paper, key) = &known[&made.header.paper.id];
        let limits = Arc::new(Thresholds::default());
        let analysis = Analysis::of(Arc::new(made.header), made.events.into(), limits);
        let studied = Studied {
            paper: Some(Arc::clone(paper)),
            ..Studied::new(analysis, Some(Arc::clone(key)))
        };
        if let Some(own) = Evidence::of(&studied) {
            papers.insert(own.paper.clone(), Arc::clone(paper));
            all.push(own);
        }
    }
    (all, papers)
}

/// What was said of each pupil's last sitting and what came, as shares of the maximum.
struct HeldOut {
    inside: bool,
    error: f64,
    rules: [f64; 3],
    /// Chances of awards, with what came.
    awards: Vec<(String, f64, f64)>,
}

fn held_out(seed: u64, pupils: usize) -> Vec<HeldOut> {
    let (all, papers) = evidence(seed, pupils);
    let practised = MetInPractice::default();
    let look = LookBack::over(&all, &practised, &papers);
    let mut found = Vec::new();
    for last in &all {
        let own = all
            .iter()
            .filter(|own| own.pupil == last.pupil && own.is_whole());
        let mut own: Vec<_> = own.collect();
        own.sort_by_key(|own| own.started);
        if own.last().is_none_or(|own| own.sitting != last.sitting) {
            continue;
        }
        let judged = look.at(&[last]).pop().unwrap();
        let Ok(said) = judged.said else { continue };
        let share = |mark: Mark| mark.to_f64() / last.totals.max.to_f64();
        let before = own.iter().rev().skip(1).rev();
        let before: Vec<f64> = before.map(|own| share(own.totals.in_time)).collect();
        let mark = share(last.totals.in_time);
        let came = |reached: bool| f64::from(u8::from(reached));
        found.push(HeldOut {
            inside: said.inside,
            error: mark - said.expected.0 / last.totals.max.to_f64(),
            rules: rules(&before).map(|rule| mark - rule),
            awards: said
                .awards
                .iter()
                .map(|own| (own.name.clone(), own.chance, came(own.reached)))
                .collect(),
        });
    }
    found
}

/// The share inside, the bias, the root mean square errors of forecast and rules, and the Brier skill.
fn figures(all: &[HeldOut]) -> (f64, f64, f64, [f64; 3], f64) {
    let count = f64::from(u32::try_from(all.len()).unwrap());
    let mean = |of: &dyn Fn(&HeldOut) -> f64| all.iter().map(of).sum::<f64>() / count;
    let mut by_award = BTreeMap::<&str, Vec<(f64, f64)>>::new();
    for (name, chance, came) in all.iter().flat_map(|own| &own.awards) {
        by_award.entry(name).or_default().push((*chance, *came));
    }
    let (mut score, mut base) = (0.0, 0.0);
    for own in by_award.values() {
        let rate = own.iter().map(|(_, came)| came).sum::<f64>()
            / f64::from(u32::try_from(own.len()).unwrap());
        score += own
            .iter()
            .map(|(chance, came)| (chance - came).powi(2))
            .sum::<f64>();
        base += own
            .iter()
            .map(|(_, came)| (rate - came).powi(2))
            .sum::<f64>();
    }
    (
        mean(&|own| f64::from(u8::from(own.inside))),
        mean(&|own| own.error),
        mean(&|own| own.error.powi(2)).sqrt(),
        [0, 1, 2].map(|rule| mean(&|own| own.rules[rule].powi(2)).sqrt()),
        1.0 - score / base,
    )
}

#[test]
#[ignore = "ten seasons take a minute"]
fn each_pupils_last_sitting_of_ten_invented_seasons() {
    let all: Vec<HeldOut> = (101..111).flat_map(|seed| held_out(seed, 12)).collect();
    let (inside, bias, rmse, rules, skill) = figures(&all);
    let _ = std::io::Write::write_fmt(
        &mut std::io::stderr(),
        format_args!(
            "demo: {} pupils, inside {:.0}%, bias {:+.1}% of the maximum, error {:.1} of 125; {}; skill {skill:.2}\n",
            all.len(),
            inside * 100.0,
            bias * 100.0,
            rmse * 125.0,
            RULES
                .iter()
                .zip(rules)
                .map(|(name, rule)| format!("{name} {:.1}", rule * 125.0))
                .collect::<Vec<_>>()
                .join(", "),
        ),
    );
    assert!(all.len() > 90, "{}", all.len());
    // 100 pupils have a sampling error of 4 in 100.
    assert!((0.70..=0.90).contains(&inside), "{inside}");
    assert!(bias.abs() < 0.07, "{bias}");
    assert!(rules.iter().all(|rule| rmse < *rule), "{rmse} {rules:?}");
    assert!(skill > 0.0, "{skill}");
}
