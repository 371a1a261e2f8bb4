//! Text from files, made fit for a page: one line, no control signs.
//!
//! Escaping is not done here: every text goes through the template's own escaping.

use crate::domain::character::{is_hidden, turns_direction};
use crate::words::text::clean_lines;

/// Text as one line: white space and what may not stand in a page become a space; signs that turn the direction of
/// text around, and what nobody sees, are dropped.
pub fn tidy(text: &str) -> String {
    let text = visible(text);
    let words: Vec<_> = text.split_whitespace().collect();
    words.join(" ")
}

/// The same of at most so many characters, cut at a word: for pictures, whose words say it whole.
pub fn label(text: &str, most: usize) -> String {
    let line = tidy(text);
    if line.chars().count() <= most {
        return line;
    }
    let room = most.saturating_sub(3);
    let mut cut: String = line.chars().take(room).collect();
    // A word that is cut in two reads badly, unless it is all there is.
    let inside = line.chars().nth(room).is_some_and(|c| c != ' ');
    if let Some(space) = cut.rfind(' ').filter(|space| inside && *space > 0) {
        cut.truncate(space);
    }
    format!("{}...", cut.trim_end())
}

/// Lines with their spaces, tabs as on a screen, and each made fit in the same way.
pub fn lines(text: &str) -> String {
    let lines = clean_lines(text);
    let each: Vec<_> = lines.lines().map(visible).collect();
    each.join("\n")
}

/// What may not stand in a page as a space, and no sign that turns text around.
fn visible(text: &str) -> String {
    let kept = text
        .chars()
        .filter(|c| !turns_direction(*c) && !is_hidden(*c));
    kept.map(|c| if may_stand(c) { c } else { ' ' }).collect()
}

/// Whether a character may stand in a page's text (HTML, "Text": no controls, no noncharacters).
const fn may_stand(c: char) -> bool {
    let code = c as u32;
    let nowhere = matches!(code, 0xFDD0..=0xFDEF) || code & 0xFFFE == 0xFFFE;
    !(nowhere || matches!(code, 0..=0x1F | 0x7F..=0x9F | 0x2028 | 0x2029))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_becomes_one_line_without_signs_that_paint_or_turn() {
        assert_eq!(tidy("a\u{0}b\n\tc\u{1b}[31m\u{85}d"), "a b c [31m d");
        assert_eq!(tidy("x\u{202e}y\u{2066}z"), "xyz");
        assert_eq!(tidy("x\u{200b}y\u{feff}z\u{ad}"), "xyz");
        assert_eq!(tidy("\u{ffff}\u{fdd0}\u{2028}"), "");
        assert_eq!(tidy("数学 <b>"), "数学 <b>");
    }

    #[test]
    fn lines_keep_their_spaces() {
        assert_eq!(lines("  a\u{1b}\n\tb \u{202e}\u{2028}c\n"), "  a\n    b c");
    }

    #[test]
    fn a_long_label_is_cut_at_a_word() {
        assert_eq!(label("one two three", 13), "one two three");
        assert_eq!(label("one two three", 12), "one two...");
        assert_eq!(label("abcdefghijkl", 8), "abcde...");
        assert_eq!(label("one two three", 10), "one two...");
    }
}
