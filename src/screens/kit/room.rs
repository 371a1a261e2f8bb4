//! How much room a page has.

use ratatui::layout::Size;

use crate::screens::theme::Theme;

/// The smallest window with everything in it.
pub const SMALLEST: Size = Size::new(60, 18);

/// Lines that are no body: where you are, the line below it, two for the message, two for the keys.
pub(super) const AROUND: u16 = 6;

/// Whether a window of this size gets the plain page that says so.
pub const fn is_too_small(size: Size) -> bool {
    size.width < SMALLEST.width || size.height < SMALLEST.height
}

/// The room in the middle of a page, and the styles to write it in.
#[derive(Clone, Copy, Debug)]
pub struct Room {
    /// Columns.
    pub width: usize,
    /// Lines that show at once.
    pub height: usize,
    /// The styles.
    pub theme: Theme,
}

impl Room {
    /// The room in a window of this size, with so many columns left free at either side.
    pub fn of(size: Size, edge: u16, theme: Theme) -> Self {
        Self {
            width: usize::from(size.width.saturating_sub(2 * edge)),
            height: usize::from(size.height.saturating_sub(AROUND)),
            theme,
        }
    }
}
