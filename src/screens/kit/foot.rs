//! The keys named at the foot of a page, as many as there is room for.

use std::borrow::Cow;

use ratatui::text::{Line, Span};

use crate::screens::theme::Theme;
use crate::words::text::width as columns;

/// The key that helps, and what it says once not every key has room.
const HELP: &str = "F1";
const ALL_KEYS: &str = "all keys";

/// A key, or some, and what it does.
#[derive(Clone, Debug)]
pub(super) struct Named {
    name: Cow<'static, str>,
    does: &'static str,
    /// The higher, the sooner it goes where room is short.
    rank: u8,
    /// Measured once: whoever lays out a foot asks again and again.
    columns: usize,
}

impl Named {
    pub(super) fn new(name: Cow<'static, str>, does: &'static str, rank: u8) -> Self {
        let columns = columns(&name) + 1 + columns(does);
        Self {
            name,
            does,
            rank,
            columns,
        }
    }
}

/// The room at the foot.
#[derive(Clone, Copy, Debug)]
pub(in crate::screens) struct Foot {
    pub(in crate::screens) width: usize,
    pub(in crate::screens) lines: usize,
    /// The blanks between two keys.
    pub(in crate::screens) between: &'static str,
}

impl Foot {
    /// As many of the keys as fit, in order; those least needed go first, and the key that helps,
    /// which stays since it leads to all the others, says that there are more.
    pub(super) fn lines(self, mut named: Vec<Named>, theme: Theme) -> Vec<Line<'static>> {
        if self.flow(&named).len() > self.lines
            && let Some(help) = named.iter_mut().find(|own| own.name == HELP)
        {
            *help = Named::new(std::mem::take(&mut help.name), ALL_KEYS, help.rank);
        }
        loop {
            let lines = self.flow(&named);
            let others = named.iter().filter(|own| own.name != HELP);
            let worst = others.map(|own| own.rank).max();
            let goes = |own: &Named| own.name != HELP && Some(own.rank) == worst;
            match named.iter().rposition(goes) {
                Some(last) if lines.len() > self.lines => {
                    named.remove(last);
                }
                _ => return lines.iter().map(|line| self.styled(line, theme)).collect(),
            }
        }
    }

    fn flow(self, named: &[Named]) -> Vec<Vec<&Named>> {
        let mut lines: Vec<Vec<&Named>> = Vec::new();
        let mut used = 0;
        for own in named {
            match lines.last_mut() {
                Some(line) if used + self.between.len() + own.columns <= self.width => {
                    line.push(own);
                    used += self.between.len() + own.columns;
                }
                _ => {
                    lines.push(vec![own]);
                    used = own.columns;
                }
            }
        }
        lines
    }

    fn styled(self, named: &[&Named], theme: Theme) -> Line<'static> {
        let mut line = Line::default();
        for own in named {
            if !line.spans.is_empty() {
                line.push_span(self.between);
            }
            line.push_span(Span::styled(own.name.to_string(), theme.key));
            line.push_span(format!(" {}", own.does));
        }
        line
    }
}
