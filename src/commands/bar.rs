//! How far a long job is, as one line that is drawn where somebody watches, and vanishes at the end.

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

/// What the bar counts, and how its line says so.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Counts {
    /// Bytes of a list of answer sheets; the message says how many sheets.
    Sheets,
    /// Bytes of a column of marks.
    Bytes,
    /// Sittings that are read.
    Read,
    /// Pages that are written.
    Written,
}

impl Counts {
    const fn line(self) -> &'static str {
        match self {
            Self::Sheets => "[{bar:40}] {percent:>3}%  {msg} sheets",
            Self::Bytes => "Reading [{bar:20}] {percent:>3}%",
            Self::Read => "[{bar:24}] {pos} of {len} read",
            Self::Written => "[{bar:24}] {pos} of {len} written",
        }
    }
}

/// A bar, drawn on standard error.
#[derive(Debug)]
pub(super) struct Bar(ProgressBar);

impl Bar {
    /// A bar that is drawn only where `watched`, and where standard error is a terminal.
    pub(super) fn new(watched: bool, counts: Counts, all: u64) -> Self {
        let target = if watched {
            ProgressDrawTarget::stderr()
        } else {
            ProgressDrawTarget::hidden()
        };
        Self::drawn_on(target, counts, all)
    }

    fn drawn_on(target: ProgressDrawTarget, counts: Counts, all: u64) -> Self {
        let bar = ProgressBar::with_draw_target(Some(all), target);
        let style = ProgressStyle::with_template(counts.line());
        let style = style.unwrap_or_else(|_| ProgressStyle::default_bar());
        bar.set_style(style.progress_chars("#."));
        Self(bar)
    }

    /// So much is done.
    pub(super) fn at(&self, done: u64) {
        self.0.set_position(done);
    }

    /// One more is done.
    pub(super) fn one_more(&self) {
        self.0.inc(1);
    }

    /// What stands behind the bar.
    pub(super) fn say(&self, said: String) {
        self.0.set_message(said);
    }
}

impl Drop for Bar {
    fn drop(&mut self) {
        self.0.finish_and_clear();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_line_is_a_template_that_can_be_read() {
        for counts in [Counts::Sheets, Counts::Bytes, Counts::Read, Counts::Written] {
            assert!(
                ProgressStyle::with_template(counts.line()).is_ok(),
                "{counts:?}"
            );
        }
    }

    #[test]
    fn a_bar_that_nobody_watches_is_hidden_and_still_counts() {
        let bar = Bar::new(false, Counts::Read, 3);
        bar.one_more();
        bar.at(2);
        assert!(bar.0.is_hidden());
        assert_eq!((bar.0.position(), bar.0.length()), (2, Some(3)));
    }
}
