//! Text as a page takes it: without control characters, wrapped and cut by the columns it takes
//! on a screen, in tables.

use std::borrow::Cow;

use textwrap::{Options, WordSeparator, WordSplitter, WrapAlgorithm};
use unicode_truncate::UnicodeTruncateStr;
use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

use crate::domain::character::{is_unfit_for_a_screen, write_out};

/// What stands where something is missing.
const MORE: &str = "..";

/// Columns between tab stops.
const TAB: usize = 4;

/// A text in at most so many columns with its end kept: ids of one series differ there.
pub fn cut_start(text: &str, columns: usize) -> String {
    let text = clean(text);
    if width(&text) <= columns {
        return text;
    }
    let (end, _) = text.unicode_truncate_start(columns.saturating_sub(MORE.len()));
    format!(
        "{}{end}",
        MORE.get(..columns.min(MORE.len())).unwrap_or(MORE)
    )
}

/// How many columns a text takes.
pub fn width(text: &str) -> usize {
    text.width()
}

/// Text of one line without anything that a screen acts on or nobody sees, so that no file can paint it or turn it
/// round.
pub fn clean(text: &str) -> String {
    let spaced = text.chars().map(|c| match c {
        '\n' | '\t' => ' ',
        c => c,
    });
    spaced.filter(|c| !is_unfit_for_a_screen(*c)).collect()
}

/// Text as it may go to any terminal: what a screen would act on or nobody would see is written out, as JSON escapes
/// it, so that JSON stays what it is. Lines and tabs are kept.
pub fn visible(text: &str) -> Cow<'_, str> {
    let kept = |c: char| matches!(c, '\n' | '\t') || !is_unfit_for_a_screen(c);
    if text.chars().all(kept) {
        return Cow::Borrowed(text);
    }
    let mut out = String::with_capacity(text.len() + 16);
    let mut letters = text.chars().peekable();
    while let Some(c) = letters.next() {
        if kept(c) || (c == '\r' && letters.peek() == Some(&'\n')) {
            out.push(c);
        } else {
            // Writing to a text cannot go wrong.
            let _ = write_out(c, &mut out);
        }
    }
    Cow::Owned(out)
}

/// The same for text of several lines: their ends are kept, tabs reach the next tab stop.
pub fn clean_lines(text: &str) -> String {
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
            c if is_unfit_for_a_screen(c) => {}
            c => {
                out.push(c);
                column += c.width().unwrap_or(0);
            }
        }
    }
    out
}

/// Breaks text between words into lines of at most `columns`; a longer word is broken too.
///
/// Line ends are kept, and a line that fits stays as it is, spaces included. No column at all gives
/// no line.
pub fn wrap(text: &str, columns: usize) -> Vec<String> {
    if columns == 0 {
        return Vec::new();
    }
    let text = clean_lines(text);
    let lines = text.split('\n').flat_map(|line| {
        if line.width() <= columns {
            vec![line.trim_end().to_owned()]
        } else {
            greedy(line, columns, true)
        }
    });
    lines.collect()
}

/// Breaks a paragraph between words into lines of at most `columns`; a longer word, such as a
/// path, stays whole and stands alone. Nothing gives no line.
pub fn wrap_whole(text: &str, columns: usize) -> Vec<String> {
    let mut lines = greedy(&clean(text), columns, false);
    lines.retain(|line| !line.is_empty());
    lines
}

/// As many words on a line as fit, as a typewriter does it.
fn greedy(line: &str, columns: usize, break_words: bool) -> Vec<String> {
    let words: Vec<_> = line.split_whitespace().collect();
    let line = words.join(" ");
    let options = Options::new(columns)
        .wrap_algorithm(WrapAlgorithm::FirstFit)
        .word_separator(WordSeparator::AsciiSpace)
        .word_splitter(WordSplitter::NoHyphenation)
        .break_words(break_words);
    let lines = textwrap::wrap(&line, options).into_iter();
    lines.map(Cow::into_owned).collect()
}

/// A paragraph in `columns`, its sign before the first line, blanks before the others; a word too
/// long for a line stays whole.
pub fn hanging(sign: &str, text: &str, columns: usize) -> Vec<String> {
    let lines = wrap_whole(text, columns.saturating_sub(sign.width()));
    hung(sign, &lines)
}

/// Lines after a sign: it stands before the first, blanks before the others.
pub fn hung(sign: &str, lines: &[String]) -> Vec<String> {
    let blank = " ".repeat(sign.width());
    let signed = lines.iter().enumerate().map(|(index, line)| {
        let before = if index == 0 { sign } else { &blank };
        format!("{before}{line}")
    });
    signed.collect()
}

/// Puts sentences on lines of at most `columns`, as many on a line as fit whole.
pub fn pack(sentences: impl IntoIterator<Item = String>, columns: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for sentence in sentences {
        match lines.last_mut() {
            Some(line) if line.width() + 1 + sentence.width() <= columns => {
                line.push(' ');
                line.push_str(&sentence);
            }
            _ => lines.extend(wrap(&sentence, columns)),
        }
    }
    lines
}

/// Clean text of one line, cut to `columns`, with two dots where something is missing.
pub fn cut(text: &str, columns: usize) -> String {
    let clean = clean(text);
    if clean.width() <= columns {
        return clean;
    }
    let more: String = MORE.chars().take(columns).collect();
    let kept = start(&clean, columns.saturating_sub(MORE.len()));
    kept.trim_end().to_owned() + &more
}

/// The beginning of a text, as much as `columns` take.
pub fn start(text: &str, columns: usize) -> &str {
    text.unicode_truncate(columns).0
}

/// A text with its first letter as a capital.
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

/// A text in exactly so many columns, cut or filled up with blanks.
pub fn fit(text: &str, columns: usize) -> String {
    let text = cut(text, columns);
    let gap = columns.saturating_sub(text.width());
    text + &" ".repeat(gap)
}

/// The same, with the blanks before it.
pub fn fit_right(text: &str, columns: usize) -> String {
    let text = cut(text, columns);
    " ".repeat(columns.saturating_sub(text.width())) + &text
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
    fn words_stay_whole_where_they_can_and_wide_signs_count_two() {
        assert_eq!(wrap("one two three", 7), ["one two", "three"]);
        assert_eq!(wrap("abcdefgh ij", 3), ["abc", "def", "gh", "ij"]);
        assert_eq!(wrap("漢字漢字", 5), ["漢字", "漢字"]);
        assert_eq!(
            wrap("漢", 1),
            ["漢"],
            "a sign wider than the line stands alone"
        );
        assert_eq!(
            wrap("a half-time", 8),
            ["a", "half-tim", "e"],
            "a hyphen is no place to break"
        );
    }

    #[test]
    fn a_line_that_fits_stays_as_it_is() {
        assert_eq!(wrap("a\n\n  b", 5), ["a", "", "  b"]);
        assert_eq!(wrap("", 5), [""]);
        assert!(wrap("a", 0).is_empty());
    }

    #[test]
    fn a_path_is_never_broken_and_no_word_is_lost() {
        assert_eq!(wrap_whole("aa bb  cc", 5), ["aa bb", "cc"]);
        assert_eq!(
            wrap_whole("a too/long-a/path b", 4),
            ["a", "too/long-a/path", "b"]
        );
        assert!(wrap_whole("", 4).is_empty());
        assert_eq!(wrap_whole("one\ntwo", 9), ["one two"]);
    }

    #[test]
    fn a_sign_stands_before_the_first_line_only() {
        assert_eq!(hanging("! ", "one two", 5), ["! one", "  two"]);
        assert!(hanging("! ", "", 5).is_empty());
        assert_eq!(hung("漢 ", &["a".into(), "b".into()]), ["漢 a", "   b"]);
    }

    #[test]
    fn sentences_share_a_line_where_both_fit_whole() {
        let pack = |columns| pack(["One two.".to_owned(), "Three.".to_owned()], columns);
        assert_eq!(pack(15), ["One two. Three."]);
        assert_eq!(pack(14), ["One two.", "Three."]);
        assert_eq!(pack(6), ["One", "two.", "Three."]);
    }

    #[test]
    fn no_control_character_is_left() {
        assert_eq!(clean("a\u{1b}[31mb\r\nc\td"), "a[31mb c d");
        assert_eq!(
            clean_lines("a\tb\u{1b}[31m\r\n\tc\u{7}"),
            "a   b[31m\n    c"
        );
    }

    /// Unicode's general category Cc, its property `Bidi_Control` (PropList.txt, from memory), and U+2028 and U+2029.
    #[test]
    fn nothing_that_a_screen_acts_on_is_left() {
        let controls = ('\0'..='\u{1f}').chain('\u{7f}'..='\u{9f}');
        let turns = ['\u{61c}', '\u{200e}', '\u{200f}'].into_iter();
        let turns = turns
            .chain('\u{202a}'..='\u{202e}')
            .chain('\u{2066}'..='\u{2069}');
        // Of the general category Cf, from UnicodeData.txt, what has neither a form nor a use in a word.
        let hidden = [
            '\u{ad}',
            '\u{180e}',
            '\u{200b}',
            '\u{2060}',
            '\u{2064}',
            '\u{206f}',
            '\u{feff}',
            '\u{fffb}',
            '\u{e0001}',
            '\u{e007f}',
        ];
        let parts = ['\u{2028}', '\u{2029}'];
        for c in controls.chain(turns).chain(parts).chain(hidden) {
            let text = format!("a{c}b");
            assert!(["ab", "a b"].contains(&clean(&text).as_str()), "{c:?}");
            let shown = visible(&text);
            if matches!(c, '\n' | '\t') {
                assert_eq!(shown, text);
                continue;
            }
            assert!(!clean_lines(&text).contains(c), "{c:?}");
            assert!(!shown.contains(c), "{c:?}");
            // Between quotation marks it is JSON, and the character again.
            let json: String = serde_json::from_str(&format!("\"{shown}\"")).unwrap();
            assert_eq!(json, text);
        }
        let fine = "a\n\tcaf\u{e9} \u{6f22}\u{1f469}\u{200d}\u{1f52c}\u{2764}\u{fe0f} e\u{301}";
        assert!(matches!(visible(fine), Cow::Borrowed(same) if same == fine));
        assert_eq!(visible("a\r\nb\rc"), "a\r\nb\\u000dc");
    }

    #[test]
    fn what_is_cut_says_so() {
        assert_eq!(cut("a\u{1b}[31mb", 20), "a[31mb");
        assert_eq!(cut("Saltmarsh", 6), "Salt..");
        assert_eq!(cut("Saltmarsh", 9), "Saltmarsh");
        assert_eq!(cut("数学数学", 6), "数学..");
        assert_eq!(cut("数学数学", 5), "数..");
        assert_eq!(cut("数学数", 6), "数学数");
        assert_eq!(cut("abc", 1), ".");
        assert_eq!(cut("abc", 0), "");
        // A letter and its accent are never parted.
        assert_eq!(cut("e\u{301}e\u{301}e\u{301}e\u{301}", 3), "e\u{301}..");
    }

    #[test]
    fn the_start_is_cut_where_the_end_says_more() {
        assert_eq!(cut_start("saltmarsh-a", 11), "saltmarsh-a");
        assert_eq!(cut_start("saltmarsh-a", 6), "..sh-a");
        assert_eq!(cut_start("saltmarsh-a", 2), "..");
        assert_eq!(cut_start("saltmarsh-a", 1), ".");
        assert_eq!(cut_start("saltmarsh-a", 0), "");
        assert_eq!(cut_start("数学数学", 5), "..学");
    }

    #[test]
    fn a_capital_is_put_first() {
        assert_eq!(capital("tern"), "Tern");
        assert_eq!(capital("ßx"), "SSx");
        assert_eq!(capital(""), "");
    }

    #[test]
    fn text_fits_exactly() {
        assert_eq!(fit("ab", 4), "ab  ");
        assert_eq!(fit("abcdef", 5), "abc..");
        assert_eq!(fit_right("ab", 4), "  ab");
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
