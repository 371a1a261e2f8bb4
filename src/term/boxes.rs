//! Pages without box characters, for terminals, fonts and readers that have none.

use std::borrow::Cow;

use ratatui::buffer::Buffer;

/// The variable that asks for it.
const NO_BOXES: &str = "PACEBELL_ASCII";

/// Whether pages and lines are wanted without box characters: `PACEBELL_ASCII` is set to anything
/// but `0`.
pub fn boxes_are_unwanted() -> bool {
    let is_set = |value: std::ffi::OsString| !value.is_empty() && value != "0";
    std::env::var_os(NO_BOXES).is_some_and(is_set)
}

/// What stands for a box character; nothing for any other.
const fn instead(c: char) -> Option<&'static str> {
    Some(match c {
        '─' | '━' | '═' | '┄' | '┈' | '╌' => "-",
        '│' | '┃' | '║' | '┆' | '┊' | '╎' => "|",
        '\u{2550}'..='\u{256c}' | '\u{250c}'..='\u{254b}' | '╭' | '╮' | '╰' | '╯' => "+",
        '╱' => "/",
        '╲' => "\\",
        '╳' => "x",
        '\u{2500}'..='\u{257f}' => "-",
        '\u{2580}'..='\u{259f}' => "#",
        _ => return None,
    })
}

/// A text with other characters in the place of its box characters.
pub fn without_boxes(text: &str) -> Cow<'_, str> {
    if text.chars().all(|c| instead(c).is_none()) {
        return Cow::Borrowed(text);
    }
    let shown = text
        .chars()
        .map(|c| instead(c).map_or_else(|| c.to_string(), str::to_owned));
    Cow::Owned(shown.collect())
}

/// The same for a page.
pub(super) fn take_boxes_off(page: &mut Buffer) {
    for cell in &mut page.content {
        let shown = cell.symbol().chars().next().and_then(instead);
        if let Some(shown) = shown {
            cell.set_symbol(shown);
        }
    }
}

#[cfg(test)]
mod tests {
    use ratatui::layout::Rect;
    use ratatui::style::Style;

    use super::*;

    /// Box Drawing and Block Elements (Unicode, U+2500 to U+259F).
    #[test]
    fn no_box_character_is_left_and_nothing_else_changes() {
        for c in '\u{2500}'..='\u{259f}' {
            let shown = without_boxes(&c.to_string()).into_owned();
            assert!(shown.is_ascii() && shown.len() == 1, "{c} {shown}");
        }
        assert_eq!(without_boxes("┌──┐ 4²×√2 °"), "+--+ 4²×√2 °");
        assert_eq!(without_boxes("a | b"), "a | b");
        let mut page = Buffer::empty(Rect::new(0, 0, 4, 1));
        page.set_string(0, 0, "│x─é", Style::new());
        take_boxes_off(&mut page);
        let shown: String = page
            .content
            .iter()
            .map(ratatui::buffer::Cell::symbol)
            .collect();
        assert_eq!(shown, "|x-é");
    }
}
