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
