//! The pages of a sitting: what a key says on each of them, and what each of them shows.
//!
//! Pure: no clock, no file, no thread. The loop brings a [`Desk`] that says how things stand at a
//! moment, gives every key to [`update()`], does what the [`Ask`] asks and draws the [`Page`]
//! again. What a key does is settled by the [`dialogue`](crate::dialogue): a page reads a key as a
//! move, and shows what is said to it.
//! Letters answer; everything else moves or says; nothing that cannot be taken back happens on one
//! key, nor on one key held down.

mod act;
mod answering;
mod arrangement;
mod body;
mod desk;
mod glance;
mod guessing;
mod help;
mod key_map;
mod keys;
mod layout;
mod model;
mod moments;
mod notes;
mod pace;
mod page;
mod panel_keys;
mod panels;
mod pieces;
mod question;
mod sheet;
mod sweeping;
mod update;

pub use desk::{Desk, SaveState};
pub use model::{Ask, Model};
pub use moments::{NextChange, next_change};
pub use page::{Page, draw, question_fits, top_row};
pub use update::{looked, opening, update};
