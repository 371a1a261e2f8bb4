//! Characters that a screen acts on instead of showing them.

/// Whether a character changes the direction in which others are written (Unicode's `Bidi_Control`).
pub const fn turns_direction(c: char) -> bool {
    matches!(
        c,
        '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}'
    )
}

/// Whether a character begins a new line, or a paragraph, without being a line feed.
pub const fn parts_lines(c: char) -> bool {
    matches!(c, '\u{2028}' | '\u{2029}')
}

/// Whether a screen would act on a character: a control character, a change of direction, a line's end.
pub fn acts_on_a_screen(c: char) -> bool {
    c.is_control() || turns_direction(c) || parts_lines(c)
}

/// Whether nobody can see a character that is in a text: joiners, soft hyphens, tags, selectors of a form.
pub const fn is_invisible(c: char) -> bool {
    matches!(
        c,
        '\u{ad}'
            | '\u{34f}'
            | '\u{180b}'..='\u{180f}'
            | '\u{200b}'..='\u{200d}'
            | '\u{2060}'..='\u{2065}'
            | '\u{206a}'..='\u{206f}'
            | '\u{feff}'
            | '\u{fe00}'..='\u{fe0f}'
            | '\u{fff9}'..='\u{fffb}'
            | '\u{e0000}'..='\u{e0fff}'
    )
}

/// What was typed or pasted as one plain line: what nobody sees goes, and a tab or a line's end becomes a space. A text
/// from a word processor has such characters unasked.
pub fn plain_line(typed: &str) -> String {
    let seen = typed
        .chars()
        .filter(|c| !is_invisible(*c) && !turns_direction(*c));
    let plain: String = seen
        .map(|c| if acts_on_a_screen(c) { ' ' } else { c })
        .collect();
    plain.trim().to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_plain_line_keeps_what_is_seen() {
        assert_eq!(
            plain_line(" So\u{ad}lid\twork,\u{200f} \u{202e}otter\u{feff}!\n"),
            "Solid work, otter!"
        );
        assert_eq!(
            plain_line("\u{5db}\u{5dc} caf\u{e9}"),
            "\u{5db}\u{5dc} caf\u{e9}"
        );
        assert_eq!(plain_line("\u{200b}\t"), "");
    }
}
