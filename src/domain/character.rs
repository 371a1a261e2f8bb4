//! Characters that a screen acts on instead of showing them, or that nobody sees, and texts without them.

use std::borrow::Cow;
use std::fmt::{self, Write as _};
use std::path::Path;

use serde::{Deserialize, Deserializer};

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

/// Whether nobody can see a character that is in a text: joiners, soft hyphens, tags, fillers, selectors of a form.
///
/// Unicode's `Default_Ignorable_Code_Point`, less what [`turns_direction`], and the marks of an annotation.
pub const fn is_invisible(c: char) -> bool {
    matches!(
        c,
        '\u{ad}'
            | '\u{34f}'
            | '\u{115f}'..='\u{1160}'
            | '\u{17b4}'..='\u{17b5}'
            | '\u{180b}'..='\u{180f}'
            | '\u{200b}'..='\u{200d}'
            | '\u{2060}'..='\u{2065}'
            | '\u{206a}'..='\u{206f}'
            | '\u{3164}'
            | '\u{feff}'
            | '\u{fe00}'..='\u{fe0f}'
            | '\u{ffa0}'
            | '\u{fff0}'..='\u{fffb}'
            | '\u{1bca0}'..='\u{1bca3}'
            | '\u{1d173}'..='\u{1d17a}'
            | '\u{e0000}'..='\u{e0fff}'
    )
}

/// Whether nobody can see a character, and no word needs it: Persian, Hindi and emoji are not written without the two
/// joiners and the selectors of a form.
pub const fn is_hidden(c: char) -> bool {
    let is_needed = matches!(
        c,
        '\u{200c}' | '\u{200d}' | '\u{fe00}'..='\u{fe0f}' | '\u{e0100}'..='\u{e01ef}'
    );
    is_invisible(c) && !is_needed
}

/// Whether a character may not reach whoever reads a text: a screen would act on it, or it is hidden.
pub fn is_unfit_for_a_screen(c: char) -> bool {
    acts_on_a_screen(c) || is_hidden(c)
}

/// Writes a character out as JSON escapes it, so that JSON stays what it is.
pub fn write_out(c: char, into: &mut impl fmt::Write) -> fmt::Result {
    for unit in c.encode_utf16(&mut [0; 2]) {
        write!(into, "\\u{unit:04x}")?;
    }
    Ok(())
}

/// A path as a sentence says it.
pub trait ShownPath {
    /// The path on one line, with what is not for a screen written out, a line's end included: a file's name can
    /// hold one, and what came behind it would look or sound like a sentence of its own.
    fn shown(&self) -> OnOneLine<'_>;
}

impl ShownPath for Path {
    fn shown(&self) -> OnOneLine<'_> {
        OnOneLine(self.to_string_lossy())
    }
}

/// A text on one line, as [`ShownPath`] has it.
pub fn on_one_line(text: &str) -> String {
    OnOneLine(Cow::Borrowed(text)).to_string()
}

/// Reads a name of one line from a record of ours. We write none that holds a line's end or anything a screen acts
/// on, so that only a forged record loses something by it.
///
/// # Errors
/// It is no text.
pub fn read_on_one_line<'de, D: Deserializer<'de>>(from: D) -> Result<String, D::Error> {
    let text = String::deserialize(from)?;
    Ok(if text.chars().any(is_unfit_for_a_screen) {
        on_one_line(&text)
    } else {
        text
    })
}

/// The same of a name that may be left out.
///
/// # Errors
/// It is no text.
pub fn read_any_on_one_line<'de, D: Deserializer<'de>>(
    from: D,
) -> Result<Option<String>, D::Error> {
    let text = Option::<String>::deserialize(from)?;
    Ok(text.map(|text| on_one_line(&text)))
}

/// A text on one line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OnOneLine<'a>(Cow<'a, str>);

impl fmt::Display for OnOneLine<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for c in self.0.chars() {
            if is_unfit_for_a_screen(c) {
                write_out(c, f)?;
            } else {
                f.write_char(c)?;
            }
        }
        Ok(())
    }
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
    fn a_path_is_said_on_one_line_and_nothing_in_it_is_hidden() {
        let name = "a\nb\t\u{1b}[31m\u{202e}\u{200b}\u{feff}\u{e0061}.ron";
        assert_eq!(
            Path::new(name).shown().to_string(),
            "a\\u000ab\\u0009\\u001b[31m\\u202e\\u200b\\ufeff\\udb40\\udc61.ron"
        );
        let fine = "sessions/\u{645}\u{6cc}\u{200c}\u{62e} \u{6f22}\u{1f469}\u{200d}\u{1f52c} e\u{301} \\ a.ron";
        assert_eq!(Path::new(fine).shown().to_string(), fine);
    }

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
