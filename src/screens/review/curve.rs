//! Marks by minute: the mark had the bell rung then, with the boundaries as lines.

use ratatui::text::Span;

use super::axis::Axis;
use super::said;
use super::study::Study;
use crate::analysis::Keyed;
use crate::analysis::MarkAt;
use crate::domain::mark::Mark;
use crate::domain::time::Elapsed;
use crate::screens::kit::PageWriter;
use crate::words::numbers::plain;
use crate::words::review as words;
use crate::words::text::fit_right;

/// Columns before the picture: the marks.
const BEFORE: usize = 7;
/// The fewest and the most lines of the picture.
const LEAST: usize = 6;
const MOST: usize = 30;

pub(super) fn write(ink: &mut PageWriter, study: &Study) {
    let Some(known) = &study.known else {
        said::no_key(ink, study, words::MARK_AT_A_MOMENT);
        return;
    };
    if study.analysis.choices().is_empty()
        || study.opened.header.mode == crate::domain::header::Mode::Entered
    {
        said::times(ink, study);
        ink.text(words::NO_CURVE);
        return;
    }
    let quarters = quarters(known);
    let rows = ink
        .room()
        .saturating_sub(4 + quarters.len())
        .clamp(LEAST, MOST);
    ink.plain(words::CURVE);
    let picture = Picture::of(study, known, rows, ink.width.saturating_sub(BEFORE).max(1));
    for line in picture.lines() {
        ink.line(vec![Span::raw(line)]);
    }
    ink.plain(&format!("{}{}", " ".repeat(BEFORE), picture.axis.ticks()));
    for line in quarters {
        ink.plain(&line);
    }
    let second = known.earned.second_pass;
    if second != Mark::ZERO {
        ink.text(&words::visits_after_the_first(second));
    }
}

/// What each quarter of an hour earned.
fn quarters(known: &Keyed) -> Vec<String> {
    known.earned.quarters.iter().map(words::quarter).collect()
}

/// A stair of the mark over the time used.
struct Picture {
    axis: Axis,
    /// The line of each column's mark, from 0 at the foot.
    heights: Vec<usize>,
    /// The boundaries' lines, with their names.
    boundaries: Vec<(usize, String)>,
    /// The lowest and the highest mark, and how many lines lie between.
    least: f64,
    most: f64,
    rows: usize,
}

impl Picture {
    fn of(study: &Study, known: &Keyed, rows: usize, columns: usize) -> Self {
        let points = &known.earned.by_minute;
        let axis = Axis {
            columns,
            ended: study.analysis.whole().used,
        };
        let awards = &known.marks.awards;
        let marks = points.iter().map(|point| point.mark.to_f64());
        let lines = awards.iter().map(|award| award.boundary.to_f64());
        let all = || marks.clone().chain(lines.clone());
        let mut picture = Self {
            axis,
            heights: Vec::new(),
            boundaries: Vec::new(),
            least: all().fold(0.0, f64::min),
            most: all().fold(1.0, f64::max),
            rows,
        };
        let end = |column| picture.axis.end_of(column);
        let heights = (0..columns).map(|column| picture.height(mark_after(points, end(column))));
        picture.heights = heights.collect();
        let line = |award: &crate::analysis::AwardMark| {
            let name = format!("{} {}", award.name, plain(award.boundary));
            (picture.height(award.boundary), name)
        };
        picture.boundaries = awards.iter().map(line).collect();
        picture
    }

    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a share of a few lines, never below zero"
    )]
    fn height(&self, mark: Mark) -> usize {
        let top = self.rows.saturating_sub(1);
        let share = (mark.to_f64() - self.least) / (self.most - self.least);
        let height = (share.clamp(0.0, 1.0) * crate::stats::real(top)).round();
        (height as usize).min(top)
    }

    /// The mark that a line stands for, said at the ends and on boundaries.
    fn label(&self, row: usize) -> String {
        let said = |value: f64| format!("{value:.0}");
        if row + 1 == self.rows {
            said(self.most)
        } else if row == 0 {
            said(self.least)
        } else {
            String::new()
        }
    }

    fn lines(&self) -> Vec<String> {
        let line = |row: usize| {
            let mut cells: Vec<char> = vec![' '; self.axis.columns];
            for (height, name) in &self.boundaries {
                if *height == row {
                    cells = vec!['╌'; self.axis.columns];
                    let said = format!(" {name} ");
                    for (cell, c) in cells.iter_mut().skip(2).zip(said.chars()) {
                        *cell = c;
                    }
                }
            }
            for (column, cell) in cells.iter_mut().enumerate() {
                if let Some(c) = self.stair(column, row) {
                    *cell = c;
                }
            }
            let cells: String = cells.into_iter().collect();
            format!("{} │{cells}", fit_right(&self.label(row), BEFORE - 2))
        };
        (0..self.rows).rev().map(line).collect()
    }

    /// The stair's piece in a cell.
    fn stair(&self, column: usize, row: usize) -> Option<char> {
        let own = *self.heights.get(column)?;
        let before = column
            .checked_sub(1)
            .and_then(|before| self.heights.get(before));
        let before = *before.unwrap_or(&own);
        let between = row > own.min(before) && row < own.max(before);
        match () {
            () if own == before => (row == own).then_some('─'),
            () if row == own => Some(if own > before { '┌' } else { '└' }),
            () if row == before => Some(if own > before { '┘' } else { '┐' }),
            () => between.then_some('│'),
        }
    }
}

/// The mark that stood once so much time was used.
fn mark_after(points: &[MarkAt], used: Elapsed) -> Mark {
    let count = points.partition_point(|point| point.used <= used);
    let point = points.get(count.saturating_sub(1));
    point.map_or(Mark::ZERO, |point| point.mark)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_stair_turns_where_the_mark_moves() {
        let picture = Picture {
            axis: Axis {
                columns: 6,
                ended: Elapsed::minutes(6),
            },
            heights: vec![0, 0, 2, 2, 1, 1],
            boundaries: vec![(1, "b".to_owned())],
            least: 0.0,
            most: 20.0,
            rows: 3,
        };
        let lines = picture.lines();
        assert_eq!(lines[0], "   20 │  ┌─┐ ");
        assert_eq!(lines[1], "      │╌╌│b└─");
        assert_eq!(lines[2], "    0 │──┘   ");
    }
}
