//! The model by brute chance: pupils drawn from the priors, each counted by how likely their sittings are, who then
//! sit the next paper. No grid, no slice, no convolution; only the definition.

use pacebell::season::forecast::Forecast;
use rand::{Rng, RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

use crate::season::{deviate, happens};
use crate::worked;

const PUPILS: usize = 30_000;

/// Of each sitting what became of its questions: right, wrong, left, or not got to.
const SAT: [&str; 3] = [
    "RRRRRRRRRRRRRWRLRWLWUUUUU",
    "RRRRRRRRWRRRRRWRRLWRWWUUU",
    "RRRRRRRRRRRRRRRRRWRLRWRUU",
];
/// The habits after them: 0.5 + 1 of 4 days were filled in, 1 of 6 that were left, 2 of 3 that were missed answered.
const FILLED: f64 = 1.5 / 4.0;
const LEFT_FILLED: f64 = 1.0 / 6.0;
const ANSWERED: f64 = 2.0 / 3.0;

fn hard(question: u16) -> f64 {
    -2.5 + 4.0 * (f64::from(question) + 0.5) / 25.0
}

/// The chance to solve it, its difficulty known up to an SD of 0.7.
fn solves(level: f64, question: u16) -> f64 {
    let of = |off: f64| 1.0 / (1.0 + (hard(question) + 0.7 * off - level).exp());
    let root = 3.0_f64.sqrt();
    of(0.0) * 2.0 / 3.0 + (of(root) + of(-root)) / 6.0
}

fn practised(before: usize) -> f64 {
    [0.0, 1.0 / 6.0, 0.25][before.min(2)]
}

fn day(random: &mut impl Rng) -> f64 {
    let drawn: f64 = random.random();
    match drawn {
        drawn if drawn < 0.33 => 0.1,
        drawn if drawn < 0.67 => 0.3,
        drawn if drawn < 0.90 => 0.6,
        _ => 1.0,
    }
}

/// One pupil's next mark, and how likely their three sittings were.
fn drawn(random: &mut impl Rng) -> (f64, f64) {
    let (growth, first) = (0.03 + 0.05 * deviate(random), 1.5 * deviate(random));
    let (day, usual_reach) = (day(random), 0.85 + 0.2 * deviate(random));
    let mut log = 0.0;
    for (sat, (codes, before)) in SAT.iter().zip(0_u8..).enumerate() {
        let off = day.hypot(0.2) * deviate(random);
        let level = first + growth * f64::from(before) + practised(sat) + off;
        let mut reached = 0.0;
        for (question, code) in (0..).zip(codes.chars()) {
            let chance = solves(level, question);
            log += match code {
                'R' => chance.ln(),
                'U' => continue,
                _ => (1.0 - chance).ln(),
            };
            reached += 1.0 / 25.0;
        }
        log -= ((reached - usual_reach) / 0.07_f64).powi(2) / 2.0;
    }
    let level = first + growth * 3.0 + practised(3) + day.hypot(0.2) * deviate(random);
    let reach = (usual_reach + 0.07 * deviate(random)).min(1.0);
    let fills = happens(random, FILLED);
    let mut mark = 0.0;
    for question in 0..25_u16 {
        let worth = match question {
            0..10 => 4.0,
            10..20 => 5.0,
            _ => 7.0,
        };
        let got_to = happens(random, (reach * 25.0 - f64::from(question)).clamp(0.0, 1.0));
        let is_right = if got_to {
            let left = !happens(random, ANSWERED);
            happens(random, solves(level, question))
                || (left && happens(random, LEFT_FILLED) && happens(random, 0.2))
        } else {
            fills && happens(random, 0.2)
        };
        mark += if is_right { worth } else { 0.0 };
    }
    (mark, log)
}

#[test]
fn pupils_drawn_from_the_priors_and_weighed_by_their_sittings_get_the_forecast() {
    let mut random = ChaCha8Rng::seed_from_u64(5);
    let drawn: Vec<(f64, f64)> = (0..PUPILS).map(|_| drawn(&mut random)).collect();
    let top = drawn.iter().map(|(_, log)| *log).fold(f64::MIN, f64::max);
    let weighed = |of: &dyn Fn(f64) -> f64| {
        let weights = drawn
            .iter()
            .map(|(mark, log)| ((log - top).exp(), of(*mark)));
        let (whole, sum) = weights.fold((0.0, 0.0), |(whole, sum), (weight, value)| {
            (whole + weight, sum + weight * value)
        });
        sum / whole
    };
    let mean = weighed(&|mark| mark);
    let sd = weighed(&|mark| (mark - mean).powi(2)).sqrt();
    let reached = weighed(&|mark| f64::from(u8::from(mark >= 76.0)));
    let whole: f64 = drawn.iter().map(|(_, log)| (log - top).exp()).sum();
    let squares: f64 = drawn.iter().map(|(_, log)| (2.0 * (log - top)).exp()).sum();
    // As many pupils as the weights amount to; three standard errors each.
    let pupils = whole * whole / squares;
    assert!(pupils > 300.0, "{pupils}");
    let asked = worked::paper("t");
    let found = worked::estimates(&worked::three(["a", "b", "c"]), &asked);
    let forecast = Forecast::new(&asked, &found).unwrap();
    let (expected, spread) = forecast.expected();
    let error = sd / pupils.sqrt();
    assert!(
        (mean - expected).abs() < 3.0 * error,
        "{mean} {expected} {pupils}"
    );
    assert!((sd - spread).abs() < 3.0 * error, "{sd} {spread} {pupils}");
    let chance = forecast.chance_of(pacebell::domain::mark::Mark::whole(76));
    assert!(
        (reached - chance).abs() < 1.5 / pupils.sqrt(),
        "{reached} {chance}"
    );
}
