//! The start page: who sits which paper, under which arrangements; or an open sitting taken up
//! again; or past sittings looked at.
//!
//! [`Start`] is the page's state: keys in, a [`Choice`] out. What there is to choose from comes in
//! as an [`Offer`]; nobody here reads a folder or a clock. Whatever starts the clock or quits takes
//! two different keys, so that a held key does neither.

mod form;
mod keys;
mod offer;
mod pages;
mod state;

pub use keys::Act;
pub use offer::{Choice, Offer, PaperOffer, PastSitting, PastState, Seating};
pub use state::Start;
