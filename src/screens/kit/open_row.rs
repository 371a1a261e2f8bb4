//! Where the terminal's cursor stands on a page of the kit: braille displays and magnifiers follow
//! it, so it is on the row that the keys act on.

use ratatui::buffer::Buffer;
use ratatui::layout::Position;
use ratatui::style::Modifier;

/// The first cell of the chosen row, which every set of styles shows reversed; else the top of the
/// body, below where you are.
pub fn open_row(page: &Buffer) -> Position {
    let area = page.area;
    let below = Position::new(area.x, (area.y + 2).min(area.bottom().saturating_sub(1)));
    area.positions()
        .find(|at| {
            page.cell(*at)
                .is_some_and(|cell| cell.modifier.contains(Modifier::REVERSED))
        })
        .unwrap_or(below)
}

#[cfg(test)]
mod tests {
    use ratatui::layout::Rect;

    use super::*;
    use crate::screens::theme::Theme;

    #[test]
    fn the_cursor_stands_on_the_chosen_row_or_at_the_top_of_the_body() {
        let mut page = Buffer::empty(Rect::new(0, 0, 30, 10));
        assert_eq!(open_row(&page), Position::new(0, 2));
        page.set_string(2, 6, "a row", Theme::plain().heading);
        page.set_string(2, 7, "the row", Theme::colour().chosen);
        assert_eq!(open_row(&page), Position::new(2, 7));
        let none = Buffer::empty(Rect::new(0, 0, 0, 0));
        assert_eq!(open_row(&none), Position::new(0, 0));
    }
}
