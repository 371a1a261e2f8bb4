//! Every style, by meaning: the only place that names a colour.
//!
//! Words keep the terminal's own two colours, whose contrast its owner chose; emphasis is bold or
//! reversed. Only signs and words that stand alone are tinted, in colours of the fixed part of the
//! 256-colour palette that keep 4.5:1 (WCAG 2.2, 1.4.3) on black and on white alike. A tint never
//! says anything that the sign or word under it does not. The plain set has no colour at all,
//! since a terminal asked for no colour would otherwise lose the reversed row too.

use ratatui::style::{Color, Modifier, Style};

/// Blue, for notices.
const BLUE: u8 = 63;
/// Brownish red, for trouble.
const RED: u8 = 131;
/// Bluish green, for what is saved or right.
const GREEN: u8 = 29;

/// The styles of one run.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Theme {
    /// A page's heading.
    pub heading: Style,
    /// The row or choice that the keys act on.
    pub chosen: Style,
    /// An option filled in on the answer sheet.
    pub filled: Style,
    /// A flag's sign.
    pub flag: Style,
    /// The sign of something that asks for attention.
    pub notice: Style,
    /// The sign of something that went wrong.
    pub trouble: Style,
    /// The sign of something that is well.
    pub fine: Style,
    /// A key's name at the foot of the page.
    pub key: Style,
}

impl Theme {
    /// Without any colour.
    pub const fn plain() -> Self {
        let bold = Style::new().add_modifier(Modifier::BOLD);
        Self {
            heading: bold,
            chosen: Style::new().add_modifier(Modifier::REVERSED),
            filled: bold,
            flag: bold,
            notice: bold,
            trouble: bold,
            fine: bold,
            key: bold,
        }
    }

    /// With tinted signs.
    pub const fn colour() -> Self {
        let plain = Self::plain();
        Self {
            notice: plain.notice.fg(Color::Indexed(BLUE)),
            trouble: plain.trouble.fg(Color::Indexed(RED)),
            fine: plain.fine.fg(Color::Indexed(GREEN)),
            ..plain
        }
    }

    /// The set for a terminal that asks for no colour, or for one that shows some.
    pub const fn chosen_by(no_colour: bool) -> Self {
        if no_colour {
            Self::plain()
        } else {
            Self::colour()
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Relative luminance, WCAG 2.2 (formula from memory), of an entry of the 6x6x6 cube of the
    /// 256-colour palette, whose levels are 0, 95, 135, 175, 215, 255 (common practice, no source).
    fn luminance(index: u8) -> f64 {
        let level = |step: u8| [0.0, 95.0, 135.0, 175.0, 215.0, 255.0][usize::from(step)] / 255.0;
        let linear = |c: f64| {
            if c <= 0.04045 {
                c / 12.92
            } else {
                ((c + 0.055) / 1.055).powf(2.4)
            }
        };
        let i = index - 16;
        0.2126 * linear(level(i / 36))
            + 0.7152 * linear(level(i / 6 % 6))
            + 0.0722 * linear(level(i % 6))
    }

    #[test]
    fn every_tint_keeps_the_contrast_on_black_and_on_white() {
        for index in [BLUE, RED, GREEN] {
            let own = luminance(index);
            let (on_black, on_white) = ((own + 0.05) / 0.05, 1.05 / (own + 0.05));
            assert!(
                on_black >= 4.5 && on_white >= 4.5,
                "{index}: {on_black:.2} {on_white:.2}"
            );
        }
    }

    #[test]
    fn the_plain_set_names_no_colour() {
        let Theme {
            heading,
            chosen,
            filled,
            flag,
            notice,
            trouble,
            fine,
            key,
        } = Theme::plain();
        for style in [heading, chosen, filled, flag, notice, trouble, fine, key] {
            assert_eq!((style.fg, style.bg), (None, None));
        }
    }
}
