//! How far a long list has been read, as a bar on one line that vanishes at the end.

use std::io::Write;

/// After how many sheets the bar is drawn, and then again.
const EVERY: usize = 1 << 16;

/// The bar's width.
const WIDTH: u64 = 40;

/// A bar, drawn where somebody can see it.
#[derive(Debug)]
pub(super) struct Progress {
    shown: bool,
    sheets: usize,
    drawn: bool,
}

impl Progress {
    pub(super) const fn new(shown: bool) -> Self {
        Self {
            shown,
            sheets: 0,
            drawn: false,
        }
    }

    /// So many sheets more, with `done` of `all` bytes behind them.
    pub(super) fn sheets(&mut self, more: usize, done: u64, all: u64, to: &mut dyn Write) {
        let before = self.sheets / EVERY;
        self.sheets += more;
        if self.shown && self.sheets / EVERY > before {
            self.drawn = true;
            // Nobody to see it is no reason to stop.
            let _ = write!(to, "\r{}", line(self.sheets, done, all)).and_then(|()| to.flush());
        }
    }

    /// Takes the bar away.
    pub(super) fn end(&self, to: &mut dyn Write) {
        if self.drawn {
            let _ = write!(to, "\r{:79}\r", "").and_then(|()| to.flush());
        }
    }
}

fn line(sheets: usize, done: u64, all: u64) -> String {
    let done = done.min(all);
    let signs = done.saturating_mul(WIDTH).checked_div(all).unwrap_or(WIDTH);
    let percent = done.saturating_mul(100).checked_div(all).unwrap_or(100);
    let bar: String = (0..WIDTH)
        .map(|place| if place < signs { '#' } else { '.' })
        .collect();
    format!("[{bar}] {percent:>3} %  {sheets} sheets")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_bar_shows_how_far_and_how_many() {
        let half = format!("[{}{}]  50 %  7 sheets", "#".repeat(20), ".".repeat(20));
        assert_eq!(line(7, 50, 100), half);
        assert!(line(7, 0, 0).contains("100 %") && line(7, 9, 3).contains("100 %"));
    }

    #[test]
    fn a_short_list_or_a_hidden_bar_draws_nothing() {
        let mut to = Vec::new();
        for (shown, sheets, drawn) in [
            (true, EVERY - 1, false),
            (false, EVERY, false),
            (true, EVERY, true),
        ] {
            let mut progress = Progress::new(shown);
            progress.sheets(sheets - 1, 1, 2, &mut to);
            progress.sheets(1, 1, 2, &mut to);
            progress.end(&mut to);
            assert_eq!(!to.is_empty(), drawn);
        }
        assert!(to.ends_with(b"\r") && !to.contains(&b'\n'));
    }
}
