//! Text for a page: cleaned, wrapped and cut by what it takes on the screen.

use unicode_segmentation::UnicodeSegmentation;
use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

/// Columns between tab stops.
const TAB: usize = 4;

/// How many columns `text` takes.
pub(super) fn columns(text: &str) -> usize {
    text.width()
}

/// Expands tabs and drops every other control character but the line break.
pub(super) fn clean(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut column = 0;
    for c in text.chars() {
        match c {
            '\n' => {
                out.push(c);
                column = 0;
            }
            '\t' => {
                let step = TAB - column % TAB;
                out.extend(std::iter::repeat_n(' ', step));
                column += step;
            }
            c if c.is_control() => {}
            c => {
                out.push(c);
                column += c.width().unwrap_or(0);
            }
        }
    }
    out
}

/// Breaks cleaned text into lines of at most `width` columns, between words where it can.
///
/// A line that fits stays as it is, spaces included.
pub(super) fn wrap(text: &str, width: usize) -> Vec<String> {
    let width = width.max(1);
    let mut lines = Vec::new();
    for paragraph in clean(text).split('\n') {
        if columns(paragraph) <= width {
            lines.push(paragraph.trim_end().to_owned());
        } else {
            wrap_paragraph(paragraph, width, &mut lines);
        }
    }
    lines
}

fn wrap_paragraph(paragraph: &str, width: usize, lines: &mut Vec<String>) {
    let mut line = String::new();
    for word in paragraph.split_whitespace() {
        if !line.is_empty() && columns(&line) + 1 + columns(word) <= width {
            line.push(' ');
            line.push_str(word);
            continue;
        }
        if !line.is_empty() {
            lines.push(std::mem::take(&mut line));
        }
        for sign in word.graphemes(true) {
            if !line.is_empty() && columns(&line) + columns(sign) > width {
                lines.push(std::mem::take(&mut line));
            }
            line.push_str(sign);
        }
    }
    lines.push(line);
}

/// The first line of `text`, cut to `width` columns, with two dots where something is missing.
pub(super) fn fit(text: &str, width: usize) -> String {
    let text = clean(text);
    let line = text.split('\n').next().unwrap_or_default();
    if columns(line) <= width {
        return line.to_owned();
    }
    let dots = ".".repeat(width.min(2));
    let mut out = String::new();
    for sign in line.graphemes(true) {
        if columns(&out) + columns(sign) + dots.len() > width {
            break;
        }
        out.push_str(sign);
    }
    out + &dots
}

/// Puts sentences on lines of at most `width` columns, as many on a line as fit whole.
pub(super) fn pack(sentences: impl IntoIterator<Item = String>, width: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for sentence in sentences {
        match lines.last_mut() {
            Some(line) if columns(line) + 1 + columns(&sentence) <= width => {
                line.push(' ');
                line.push_str(&sentence);
            }
            _ => lines.extend(wrap(&sentence, width)),
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_stay_whole_where_they_can_and_wide_signs_count_two() {
        assert_eq!(wrap("one two three", 7), ["one two", "three"]);
        assert_eq!(wrap("abcdefgh", 3), ["abc", "def", "gh"]);
        assert_eq!(wrap("漢字漢字", 5), ["漢字", "漢字"]);
        assert_eq!(
            wrap("漢", 1),
            ["漢"],
            "a sign wider than the line stands alone"
        );
        assert_eq!(wrap("a\n\n  b", 5), ["a", "", "  b"]);
        assert_eq!(wrap("", 5), [""]);
    }

    #[test]
    fn no_control_character_is_left_and_tabs_are_spaces() {
        assert_eq!(clean("a\tb\u{1b}[31m\r\n\tc\u{7}"), "a   b[31m\n    c");
    }

    #[test]
    fn sentences_share_a_line_where_both_fit_whole() {
        let pack = |width| pack(["One two.".to_owned(), "Three.".to_owned()], width);
        assert_eq!(pack(15), ["One two. Three."]);
        assert_eq!(pack(14), ["One two.", "Three."]);
        assert_eq!(pack(6), ["One", "two.", "Three."]);
    }

    #[test]
    fn what_is_cut_says_so() {
        assert_eq!(fit("a longer title", 8), "a long..");
        assert_eq!(fit("short", 8), "short");
        assert_eq!(fit("漢字漢字", 5), "漢..");
        assert_eq!(fit("abc", 1), ".");
        assert_eq!(fit("abc", 0), "");
    }
}
