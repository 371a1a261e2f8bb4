//! The start page: who sits which paper, under which arrangements; or an open sitting taken up
//! again; or past sittings looked at.
//!
//! [`Start`] is the page's state: keys in, a [`Choice`] out. [`StartPage`] draws it. What there is
//! to choose from comes in as an [`Offer`]; nobody here reads a folder or a clock. Whatever starts
//! the clock or quits takes two different keys, so that a held key does neither.

mod foot;
mod form;
mod help;
mod keys;
mod model;
mod offer;
mod pages;
mod picker;
mod shortcut;
mod view;

pub use model::Start;
pub use offer::{Choice, Offer, PaperOffer, PastMarks, PastSitting, PastState, Seating};
pub use view::StartPage;
