//! What a text that cannot be read on probably comes from: a quotation mark that is not closed, one
//! that is curly, a comma left out. The reader stumbles later than the slip; this looks back.

use super::walk::Walker;

/// A slip, and where it is in the text, in bytes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum SyntaxHint {
    /// The text that begins here takes in what stands behind it.
    Unclosed(usize),
    /// A curly quotation mark where a straight one should be.
    Curly(usize),
}

/// What stands before a place.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Before {
    /// Where it ends, in bytes.
    pub(super) end: usize,
    /// Whether it is a text in quotation marks.
    pub(super) quoted: bool,
}

/// Curly quotation marks, as word processors put them in place of straight ones.
pub(super) const CURLY: [char; 4] = ['\u{201c}', '\u{201d}', '\u{201e}', '\u{201f}'];

/// The first slip that begins at or before `error`, and what stands last before it.
pub(super) fn look(text: &str, error: usize) -> (Option<SyntaxHint>, Before) {
    let mut walker = Walker::at(text, 0);
    let mut before = Before::default();
    loop {
        walker.blanks();
        let start = walker.offset();
        if start > error || walker.rest().is_empty() {
            return (None, before);
        }
        let quoted = walker.quoted();
        if !quoted {
            let word = walker.word();
            if let Some(at) = word.find(CURLY) {
                return (Some(SyntaxHint::Curly(start + at)), before);
            }
            if word.is_empty() {
                walker.skip_char();
            }
        }
        let end = walker.offset();
        let written = text.get(start..end).unwrap_or_default();
        if quoted && written.starts_with('"') && (runs_on(written) || takes_in(written)) {
            let next = walker.rest().chars().next();
            // Behind a text that was meant to have several lines there is a comma, a bracket or room;
            // behind one that took the next text's opening mark for its end, that text itself.
            if next.is_none_or(|c| !c.is_whitespace() && !",)]}:/".contains(c)) {
                return (Some(slip_in(start, written)), before);
            }
        }
        if end <= error {
            before = Before { end, quoted };
        }
    }
}

/// Whether a line ends within a text without being carried on by a stroke.
fn runs_on(written: &str) -> bool {
    let mut lines = written.split('\n');
    lines.next_back();
    lines.any(|line| !line.trim_end_matches('\r').ends_with('\\'))
}

/// Whether a text ends as what stands before the next text does.
fn takes_in(written: &str) -> bool {
    let meant = written.strip_suffix('"').unwrap_or(written);
    meant.trim_end().ends_with(['[', '(', '{', ':', ','])
}

/// A curly mark on the first line was meant to close the text.
fn slip_in(start: usize, written: &str) -> SyntaxHint {
    let line = written.lines().next().unwrap_or_default();
    match line.find(CURLY) {
        Some(at) => SyntaxHint::Curly(start + at),
        None => SyntaxHint::Unclosed(start),
    }
}
