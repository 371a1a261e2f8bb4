//! What a world's pupils got beside what was said before, at one number of sittings.

use crate::simulator::World;

/// What the plain rules say of the next mark from the earlier ones: their mean, the last, and a mean in which each
/// sitting counts three fifths of the next.
pub(crate) const RULES: [&str; 3] = ["mean", "last", "weighted"];

pub(crate) fn rules(marks: &[f64]) -> [f64; 3] {
    let mut weight = 1.0;
    let (mut sum, mut weights) = (0.0, 0.0);
    for mark in marks.iter().rev() {
        sum += weight * mark;
        weights += weight;
        weight *= 0.6;
    }
    let count = number(i64::try_from(marks.len()).unwrap());
    let last = *marks.last().unwrap();
    [marks.iter().sum::<f64>() / count, last, sum / weights]
}

pub(crate) fn number(whole: i64) -> f64 {
    f64::from(i32::try_from(whole).unwrap())
}

/// What was said of one pupil's next mark, and the marks that came: one that was sat, and others that might have been.
#[derive(Clone, Debug)]
pub(crate) struct Said {
    pub(crate) mean: f64,
    pub(crate) range: (f64, f64),
    /// The chance of each award.
    pub(crate) chances: [f64; 3],
    pub(crate) rules: [f64; 3],
    /// Each mark that came with the year's boundaries.
    pub(crate) came: Vec<(i64, [i64; 3])>,
}

/// The figures of a world at one number of sittings.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Cell {
    /// The share of marks inside the 80% interval.
    pub(crate) inside: f64,
    /// The mark that came less the forecast, as a share of the maximum.
    pub(crate) bias: f64,
    /// Root mean square errors, in marks.
    pub(crate) rmse: f64,
    pub(crate) rules: [f64; 3],
    /// By how much the mean squared error of the award chances (Brier 1950, *Monthly Weather Review* 78, 1-3, from
    /// memory) lies below that of saying the world's own rate of each award to everybody, as a share of the latter.
    pub(crate) skill: f64,
}

impl Cell {
    /// Each pupil counts once, however many marks came.
    pub(crate) fn of(said: &[Said], max: f64) -> Self {
        let all: Vec<(&Said, f64, &[i64; 3])> = said
            .iter()
            .flat_map(|one| {
                one.came
                    .iter()
                    .map(move |(mark, lines)| (one, number(*mark), lines))
            })
            .collect();
        let count = number(i64::try_from(all.len()).unwrap());
        let mean = |of: &dyn Fn(&Said, f64) -> f64| {
            all.iter().map(|(one, mark, _)| of(one, *mark)).sum::<f64>() / count
        };
        let rmse = |of: &dyn Fn(&Said) -> f64| mean(&|one, mark| (mark - of(one)).powi(2)).sqrt();
        let mut scores = (0.0, 0.0);
        for award in 0..3 {
            let came =
                |mark: f64, lines: &[i64; 3]| f64::from(u8::from(mark >= number(lines[award])));
            let rate = all
                .iter()
                .map(|(_, mark, lines)| came(*mark, lines))
                .sum::<f64>()
                / count;
            let score = |said: &dyn Fn(&Said) -> f64| {
                let each = all
                    .iter()
                    .map(|(one, mark, lines)| (said(one) - came(*mark, lines)).powi(2));
                each.sum::<f64>() / count
            };
            scores.0 += score(&|one| one.chances[award]);
            scores.1 += score(&|_| rate);
        }
        Self {
            inside: mean(&|one, mark| {
                f64::from(u8::from(one.range.0 <= mark && mark <= one.range.1))
            }),
            bias: mean(&|one, mark| mark - one.mean) / max,
            rmse: rmse(&|one| one.mean),
            rules: [0, 1, 2].map(|rule| rmse(&|one| one.rules[rule])),
            skill: 1.0 - scores.0 / scores.1,
        }
    }

    /// The smallest error of the plain rules.
    pub(crate) fn best_rule(&self) -> f64 {
        self.rules.iter().copied().fold(f64::INFINITY, f64::min)
    }
}

/// By how much the error may exceed that of the best plain rule.
const MORE_ERROR: f64 = 1.03;

impl World {
    /// What of a cell is not as it should be: its kind, and the figure.
    pub(crate) fn misses(&self, cell: &Cell) -> Vec<(&'static str, String)> {
        let (low, high) = self.inside;
        let best = cell.best_rule();
        let most = if self.learning { 1.0 } else { MORE_ERROR };
        let checks = [
            (!(low..=high).contains(&cell.inside), "inside", cell.inside),
            (cell.bias.abs() >= self.bias, "bias", cell.bias),
            (cell.rmse > best * most, "error", cell.rmse / best),
            (cell.skill <= 0.0, "skill", cell.skill),
        ];
        let missed = checks.into_iter().filter(|(missed, ..)| *missed);
        missed
            .map(|(_, kind, figure)| (kind, format!("{figure:.3}")))
            .collect()
    }
}

#[test]
fn the_figures_of_a_cell_are_those_of_the_definitions() {
    let of_two = [65.0, 70.0, (70.0 + 0.6 * 60.0) / 1.6];
    for (rule, should) in rules(&[60.0, 70.0]).into_iter().zip(of_two) {
        assert!((rule - should).abs() < 1e-12, "{rule} {should}");
    }
    let said = |mean, chances, mark| Said {
        mean,
        range: (50.0, 60.0),
        chances,
        rules: [55.0, 50.0, 60.0],
        came: vec![(mark, [55, 60, 100])],
    };
    let cell = Cell::of(
        &[
            said(50.0, [0.5, 0.2, 0.0], 54),
            said(60.0, [0.5, 0.4, 0.0], 60),
        ],
        100.0,
    );
    assert!((cell.inside - 1.0).abs() < 1e-12 && (cell.bias - 0.02).abs() < 1e-12);
    assert!(
        (cell.rmse - 8.0_f64.sqrt()).abs() < 1e-12
            && (cell.best_rule() - 13.0_f64.sqrt()).abs() < 1e-12
    );
    // Both awards were reached by one of two: a rate of a half scores 1/4 each; the chances 1/4 and (0.04 + 0.36) / 2.
    assert!(
        (cell.skill - (1.0 - 0.45 / 0.5)).abs() < 1e-12,
        "{}",
        cell.skill
    );
}
