//! What every page says of itself.

use ratatui::layout::Size;
use ratatui::text::Line;

use super::body::Body;
use super::key_map::KeyMap;
use super::message::Message;
use super::moves::Move;
use super::room::Room;
use crate::screens::theme::Theme;

/// A page: what it shows, and what its keys do.
pub trait Page {
    /// What a key can do.
    type Act;

    /// Where you are.
    fn trail(&self, theme: Theme) -> Line<'static>;

    /// The keys that work now.
    fn keys(&self) -> KeyMap<Self::Act>;

    /// The middle.
    fn body(&self, room: Room) -> Body;

    /// What is to be said above the keys.
    fn message(&self) -> Option<Message>;

    /// The columns of a text that would rather have the edges of the window than be broken.
    fn columns(&self) -> usize {
        0
    }

    /// Columns left free at either side.
    fn edge(&self, size: Size) -> u16 {
        u16::from(usize::from(size.width.saturating_sub(2)) >= self.columns())
    }

    /// The room in a window of this size.
    fn room(&self, size: Size, theme: Theme) -> Room {
        Room::of(size, self.edge(size), theme)
    }

    /// The place of the top line after a move, in a window of this size.
    fn scrolled(&self, by: Move, size: Size) -> usize {
        let room = self.room(size, Theme::plain());
        self.body(room).scrolled(by, room.height)
    }
}
