//! Numbers and columns as people read them.

use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

use crate::domain::mark::Mark;

/// A mark as people write it: `62`, `12.75`, `-2.5`; what has no short decimal, `12 1/3`.
pub fn plain(mark: Mark) -> String {
    let grid = mark.denominator();
    let Some(steps) = mark.steps(grid).map(i64::unsigned_abs) else {
        return mark.to_string();
    };
    let grid = grid.unsigned_abs();
    let sign = if mark < Mark::ZERO { "-" } else { "" };
    let (whole, rest) = (steps / grid, steps % grid);
    if rest == 0 {
        format!("{sign}{whole}")
    } else if 10_000_u64.is_multiple_of(grid) {
        let decimals = format!("{:04}", rest * (10_000 / grid));
        format!("{sign}{whole}.{}", decimals.trim_end_matches('0'))
    } else if whole == 0 {
        format!("{sign}{rest}/{grid}")
    } else {
        format!("{sign}{whole} {rest}/{grid}")
    }
}

/// `1 guess`, `3 guesses`.
pub fn counted(count: usize, one: &str, many: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { many })
}

/// A chance in words: `49 times in 100`.
pub fn times_in_100(chance: f64) -> String {
    let hundredths = (chance * 100.0).round();
    if chance >= 1.0 {
        "every time".into()
    } else if hundredths >= 100.0 {
        "more than 99 times in 100".into()
    } else if hundredths < 1.0 {
        "less than 1 time in 100".into()
    } else if hundredths < 2.0 {
        "1 time in 100".into()
    } else {
        format!("{hundredths:.0} times in 100")
    }
}

/// Text without control characters, so that no file can paint the screen.
pub fn clean(text: &str) -> String {
    text.chars().filter(|c| !c.is_control()).collect()
}

/// Clean text, cut to `columns`.
pub fn cut(text: &str, columns: usize) -> String {
    let clean = clean(text);
    if clean.width() <= columns {
        return clean;
    }
    let mut kept = String::new();
    let mut used = 0;
    for c in clean.chars() {
        used += c.width().unwrap_or(0);
        if used + 2 > columns {
            break;
        }
        kept.push(c);
    }
    kept + ".."
}

/// Which side of its column a cell keeps to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// Words.
    Left,
    /// Numbers.
    Right,
}

/// Rows as lines, each column as wide as its widest cell, two spaces between; no trailing space.
pub fn columns(sides: &[Side], rows: &[Vec<String>]) -> Vec<String> {
    let widest = |index: usize| {
        let cells = rows.iter().filter_map(|row| row.get(index));
        cells.map(|cell| cell.width()).max().unwrap_or(0)
    };
    let widths: Vec<_> = (0..sides.len()).map(widest).collect();
    let line = |row: &Vec<String>| {
        let cells = row.iter().zip(sides).zip(&widths);
        let padded = cells.map(|((cell, side), width)| {
            let space = " ".repeat(width.saturating_sub(cell.width()));
            match side {
                Side::Left => format!("{cell}{space}"),
                Side::Right => format!("{space}{cell}"),
            }
        });
        padded.collect::<Vec<_>>().join("  ").trim_end().to_owned()
    };
    rows.iter().map(line).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn marks_read_as_people_write_them() {
        let said = |text: &str| plain(text.parse().unwrap());
        for (mark, words) in [
            ("62", "62"),
            ("51/4", "12.75"),
            ("-5/2", "-2.5"),
            ("-1/4", "-0.25"),
            ("37/3", "12 1/3"),
            ("-1/3", "-1/3"),
            ("0", "0"),
            ("1/16", "0.0625"),
        ] {
            assert_eq!(said(mark), words);
        }
    }

    #[test]
    fn chances_are_times_in_a_hundred() {
        assert_eq!(times_in_100(0.488), "49 times in 100");
        assert_eq!(times_in_100(0.0101), "1 time in 100");
        assert_eq!(times_in_100(0.004), "less than 1 time in 100");
        assert_eq!(times_in_100(0.999), "more than 99 times in 100");
        assert_eq!(times_in_100(1.0), "every time");
    }

    #[test]
    fn long_text_is_cut_and_control_characters_are_dropped() {
        assert_eq!(cut("a\u{1b}[31mb", 20), "a[31mb");
        assert_eq!(cut("Saltmarsh", 6), "Salt..");
        assert_eq!(cut("数学数学", 6), "数学..");
        assert_eq!(cut("数学数", 6), "数学数");
    }

    #[test]
    fn columns_keep_to_their_side() {
        let rows = [["ab", "1"], ["c", "10"]].map(|row| row.map(String::from).to_vec());
        assert_eq!(
            columns(&[Side::Left, Side::Right], &rows),
            ["ab   1", "c   10"]
        );
    }
}
