//! The tutor's review: past sittings in a list, one sitting on several pages, replay, two of them
//! side by side.
//!
//! [`Review`] is the state: keys in, a [`Request`] out for whoever can read and write files. What a
//! page shows is worked out when a sitting is opened (a `Study`) or a key is pressed, never while
//! drawing; nobody here reads a folder, a clock or a thread.

mod aloud;
mod axis;
mod beside;
mod compare;
mod curve;
mod findings;
mod keys;
mod lanes;
mod list;
mod listed;
mod marks;
mod model;
mod order;
mod pages;
mod player;
mod question;
mod replay;
mod reported;
mod request;
mod said;
mod study;
mod time;
mod view;
mod writing;

pub use aloud::SpokenPart;
pub use keys::Act;
pub use listed::{Listed, State, Summary, Version};
pub use model::Review;
pub use request::{Report, Request, Saying, Vouching};
pub use study::Opened;
pub use view::Tab;
