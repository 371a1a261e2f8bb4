//! A distribution as a picture of characters.

use crate::domain::mark::Mark;
use crate::stats::luck::Distribution;
use crate::stats::steps;
use crate::words::text::{cut, width};

/// The most rows of a picture, and how long its longest bar is.
const ROWS: i64 = 14;
const BAR: f64 = 36.0;

/// A row of a picture: from which mark to which, and how likely that is.
struct HistogramBar {
    from: i64,
    to: i64,
    chance: f64,
}

/// A distribution in bars, `signs` beside the rows that their marks lie in; at most 80 columns.
pub fn histogram(marks: &Distribution, grid: i64, signs: &[(&str, &[Mark])]) -> Vec<String> {
    let bars = bars(marks, grid);
    let top = bars
        .iter()
        .map(|bar| bar.chance)
        .fold(f64::MIN_POSITIVE, f64::max);
    let label = |bar: &HistogramBar| {
        if bar.from == bar.to {
            bar.from.to_string()
        } else {
            format!("{} to {}", bar.from, bar.to)
        }
    };
    let widest = bars.iter().map(|bar| width(&label(bar))).max().unwrap_or(0);
    let row = |bar: &HistogramBar| {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a length between 0 and the longest bar"
        )]
        let length = (bar.chance / top * BAR).round() as usize;
        let inside = |mark: &Mark| (steps(bar.from)..steps(bar.to) + 1.0).contains(&mark.to_f64());
        let here = signs.iter().filter(|(_, marks)| marks.iter().any(inside));
        let here: Vec<_> = here.map(|(name, _)| *name).collect();
        let sign = if here.is_empty() {
            String::new()
        } else {
            format!("< {}", cut(&here.join(", "), 18))
        };
        let line = format!(
            "  {:>widest$}  {:<36}  {:>2.0}%  {sign}",
            label(bar),
            "#".repeat(length),
            bar.chance * 100.0
        );
        line.trim_end().to_owned()
    };
    bars.iter().map(row).collect()
}

/// Whole marks in rows of a round width; what lies far out is left off.
fn bars(marks: &Distribution, grid: i64) -> Vec<HistogramBar> {
    let grid = grid.max(1);
    let whole = |share: f64| marks.quantile(share).unwrap_or(0).div_euclid(grid);
    let (low, high) = (whole(0.005), whole(0.995));
    let widths = [1, 2, 5, 10, 20, 50, 100, 200, 500].into_iter();
    let fits = |width: &i64| high.div_euclid(*width) - low.div_euclid(*width) < ROWS;
    let width = widths
        .clone()
        .find(fits)
        .unwrap_or_else(|| (high - low) / (ROWS - 1) + 1);
    let first = low.div_euclid(width);
    (first..=high.div_euclid(width))
        .map(|row| {
            let (from, to) = (row * width, row * width + width - 1);
            let inside = marks
                .iter()
                .filter(|(total, _)| (from..=to).contains(&total.div_euclid(grid)));
            HistogramBar {
                from,
                to,
                chance: inside.map(|(_, p)| p).sum(),
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::stats::luck::{Chance, total};

    #[test]
    fn a_picture_keeps_to_its_width_and_shows_where_the_boundaries_lie() {
        let chances = [Chance {
            right: 9,
            wrong: -1,
            p: 0.5,
        }; 40];
        let lines = histogram(
            &total(0, &chances).unwrap(),
            2,
            &[
                ("a very long name of an award", &[Mark::whole(80)]),
                ("x", &[Mark::whole(83)]),
            ],
        );
        assert!(
            lines.len() <= 14 && lines.iter().all(|line| width(line) <= 80),
            "{lines:#?}"
        );
        assert_eq!(
            lines
                .iter()
                .filter(|line| line.contains("< a very"))
                .count(),
            1
        );
    }

    #[test]
    fn a_certain_mark_is_one_row() {
        let lines = histogram(&Distribution::certain(7), 1, &[]);
        assert_eq!(lines.len(), 1);
        assert!(lines[0].starts_with("  7  ####") && lines[0].ends_with("100%"));
    }
}
