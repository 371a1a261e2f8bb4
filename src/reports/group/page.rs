//! Lines of a page, 80 columns wide.

use crate::reports::text::COLUMNS;
use crate::words::text::{Side, columns, hanging};

/// A page being written.
#[derive(Default)]
pub(super) struct Page {
    pub(super) text: String,
}

impl Page {
    pub(super) fn line(&mut self, line: &str) {
        self.text.push_str(line.trim_end());
        self.text.push('\n');
    }

    /// An empty line and a heading.
    pub(super) fn part(&mut self, heading: &str) {
        self.line("");
        self.line(heading);
    }

    /// Words over as many lines as they need; those after the first are indented as far as `sign`.
    pub(super) fn words(&mut self, sign: &str, text: &str) {
        for line in hanging(sign, text, COLUMNS) {
            self.line(&line);
        }
    }

    pub(super) fn table(&mut self, sides: &[Side], rows: &[Vec<String>]) {
        for line in columns(sides, rows) {
            self.line(&line);
        }
    }
}

/// A bar of so much of `width` signs; what is more than nothing has one at the least.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a share between 0 and 1 of a few dozen signs"
)]
pub(super) fn bar(share: f64, width: u8) -> String {
    let signs = (share.clamp(0.0, 1.0) * f64::from(width)).round() as usize;
    "#".repeat(if share > 0.0 { signs.max(1) } else { 0 })
}
