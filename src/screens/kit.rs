//! What every page is made of: keys and the table of what they do, the frame, lists, a writer.
//!
//! A [`Page`] gives its keys as a [`KeyMap`] and its middle as a [`Body`]; [`Frame`] draws both. A
//! key does something if and only if the foot or the help names it, since all three come from the
//! one table; a key without a name there does only what a named one does, or is named with one.

mod body;
mod foot;
mod frame;
mod key;
mod key_map;
mod list;
mod message;
mod moves;
mod open_row;
mod page;
mod page_writer;
mod room;

pub use body::Body;
pub(super) use body::TEXT_WIDTH;
pub(super) use foot::Foot;
pub use frame::Frame;
pub use key::Key;
pub use key_map::{Binding, KeyMap, help_keys};
pub use list::List;
pub use message::Message;
pub use moves::Move;
pub use open_row::open_row;
pub use page::Page;
pub(super) use page_writer::{PageWriter, WIDE};
pub use room::{Room, SMALLEST, is_too_small};
